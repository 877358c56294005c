"""Loads that grow in proportion: axial compression, external pressure and torsion, alone or together.

Membrane prebuckling. An external pressure is dead, or live: then it stays normal to the deformed wall, which has a
potential only where u or v is held at each end, and belongs to Sanders kinematics. A shear joins the cosine and sine
family of a harmonic: every load factor is double (the mode may be turned about the axis), and without 16/26 terms has a
partner of the other sign (the torque's sense).
"""

from __future__ import annotations

from ...core.errors import Refusal
from ...core.records import Load
from ..problem import Mix, pressure_words
from .barrel import RitzBarrel
from .energies import Prestress
from .record import of_spectrum
from .solve import harmonic_reach, long_barrel_load, refuse_unstable
from .spectrum import spectrum

_KINDS = {"axial": "axial compression", "hoop": "external pressure, p R", "shear": "shear tau t"}


def external_pressure(barrel: RitzBarrel, *, hydrostatic: bool = False, live: bool = False, shapes: int = 0) -> Load:
    """Lowest external pressure over every n of 2 or more.

    Parameters
    ----------
    barrel : RitzBarrel
    hydrostatic : bool
        True loads the end caps too (N_x = -p R/2).
    live : bool
        True keeps the pressure normal to the wall, False keeps its direction (dead).
    shapes : int
        How many of the lowest modes to hand over with their shapes.

    Returns
    -------
    Load
        `line_load` is the hoop line load p R [N/m] at bifurcation; the pressure is line_load / R.

    Raises
    ------
    Refusal
        For a live pressure with Donnell kinematics, or at an end that holds neither u nor v.
    """
    mix = Mix(axial=0.5 if hydrostatic else 0.0, hoop=1.0, live=live)
    return proportional(
        barrel,
        mix,
        shapes=shapes,
        leave_out=(0, 1),
        name=f"{'hydrostatic' if hydrostatic else 'lateral'} external pressure",
    )


def torsion(barrel: RitzBarrel, *, pressure: float = 0.0, shapes: int = 0) -> Load:
    """Lowest shear line load tau t of torsion over every n of 2 or more.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa]; negative is external, up to what the unloaded barrel carries.
    shapes : int
        How many of the lowest modes to hand over with their shapes.

    Returns
    -------
    Load
        `line_load` is the shear line load [N/m]; the torque is 2 pi R^2 times it.
    """
    return proportional(barrel, Mix(shear=1.0), pressure=pressure, shapes=shapes, leave_out=(0, 1), name="torsion")


def proportional(
    barrel: RitzBarrel,
    mix: Mix,
    *,
    pressure: float = 0.0,
    shapes: int = 0,
    leave_out: tuple[int, ...] = (),
    name: str = "proportional loads",
) -> Load:
    """Lowest load of a mix that grows in proportion, beside a fixed internal pressure.

    Parameters
    ----------
    barrel : RitzBarrel
    mix : Mix
        The loads at load factor 1 [N/m]; a shear does no work on n = 0 here.
    pressure : float
        Internal pressure, fixed and dead [Pa]; negative is external, up to what the unloaded barrel carries.
    shapes : int
        How many of the lowest modes to hand over with their shapes.
    leave_out : tuple of int
        Harmonics that are not searched; without axial compression n = 0 and 1 are left out.
    name : str
        Of the load case, for the record.

    Returns
    -------
    Load
        `line_load` [N/m] is the largest part of the mix at bifurcation, named in `definition` with the others.

    Raises
    ------
    Refusal
        When nothing compresses, when the fixed pressure alone makes the barrel unstable, or for a live pressure as in
        `external_pressure`.
    """
    parts = mix.components
    if not (mix.axial > 0 or mix.hoop > 0 or mix.shear):
        raise Refusal.of(
            "no-compression",
            "nothing compresses or shears the wall",
            "mix",
            str(parts or "no load"),
            way_out="give an axial or hoop compression or a shear",
        )
    if mix.live:
        _refuse_live(barrel)
    if mix.axial <= 0:
        leave_out = tuple(sorted({0, 1, *leave_out}))
    barrel = barrel.whole
    prestress = Prestress.membrane(pressure * barrel.R)
    ring, waves = barrel.operators(prestress, mix)
    refuse_unstable(waves, barrel, pressure)
    size = max(abs(v) for v in parts.values())
    guess = (long_barrel_load(barrel) if mix.axial == size else _pressure_guess(barrel)) / size
    found = spectrum(
        lambda n: waves if n else ring, guess, harmonic_reach(barrel, long_barrel_load(barrel)), leave_out=leave_out
    )
    main = max(parts, key=lambda key: abs(parts[key]))
    size = parts[main] if main != "shear" else abs(parts[main])
    rest = "".join(f"; with it {_KINDS[k]} {v / parts[main]:g} times that" for k, v in parts.items() if k != main)
    live = ", live" if mix.live else ", dead" if mix.hoop else ""
    held = pressure_words(pressure) if pressure or not mix.hoop else f"external pressure is the load{live}"
    forces = " and ".join({"axial": "N_x", "hoop": "N_theta", "shear": "N_xtheta"}[key] for key in parts)
    words = name, f"membrane, uniform {forces}", f"{_KINDS[main]} at bifurcation{rest}", held
    return of_spectrum(barrel, found, pressure, words, shapes=shapes, leave_out=leave_out, size=size)


def _pressure_guess(barrel: RitzBarrel) -> float:
    """A hoop or shear load of the right size [N/m]: that of a plate strip of the boundary-layer length."""
    return float(3 * barrel.wall.reduced_bending[1, 1] / min(barrel.R, barrel.L) ** 2)


def _refuse_live(barrel: RitzBarrel) -> None:
    if barrel.theory != "Sanders":
        raise Refusal.of(
            "live-pressure-theory", "a live pressure belongs to Sanders kinematics", "theory", barrel.theory, "Sanders"
        )
    ends = zip(("x = 0", "x = L"), barrel.edges.held, strict=True)
    for place, held in ends:
        if not held & {"u", "v"}:
            raise Refusal.of(
                "live-pressure-edges",
                "a live pressure has no potential at an end that holds neither u nor v",
                place,
                ", ".join(sorted(held)) or "nothing",
                "u or v held",
            )
