"""Front doors for axial compression: the membrane spectrum, and the first load on the nonlinear path."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from ...core.errors import Incomplete, Refusal
from ...core.records import Certificate, Load, Mode, ModeShape, PathEnd
from ..eigen import lowest_banded, nearest_mode
from ..problem import pressure_words
from .barrel import RitzBarrel, long_barrel_load
from .critical import Critical, March, critical_points, unstable_under
from .ends import PathLimits, path_limits
from .energies import Prestress
from .operators import Operators
from .prebuckling import Prebuckling
from .record import of_spectrum, record
from .shapes import ModeRecorder, prebuckled_shape
from .spectrum import BAND, Spectrum, spectrum

_HELD = "net axial line load up to which nothing is lost on the path, compression positive; no buckling load: see path"
_DEFINITION = "net axial line load of the wall at bifurcation, compression positive; closed ends may carry p R/2 more"

_MARCH_WIDER = 1.4
"""Edge bending brings hoop compression: harmonics beyond those of the membrane state are followed."""

_EACH_SHARE = 0.995
"""Share of the limit load up to which first losses of the other harmonics are looked for."""

_RESOLVED = 3e-9
"""Relative change under one more degree above which the pieces are shortened and the work is done again."""
_REFINEMENTS = 3
_ARRIVED = 1e-6
"""The march ends so far below an axisymmetric bifurcation, or closer."""
_PATH_RESOLVED = 1e-5
"""The same for the path, whose loads are known in powers of ten."""
_ERRORS = (1e-7, 1e-6, 1e-5, 1e-4, 1e-3)


def harmonic_reach(barrel: RitzBarrel, load: float) -> int:
    """Harmonics up to which a mode below `load` may lie: n of b <= rho/2 with rho^2 = load/D_min, widened.

    The bound is a proof for simply supported Donnell barrels (free membrane); here it sets the first range, which is
    extended while its top is not proved empty.
    """
    return max(6, math.ceil(1.1 * math.sqrt(BAND * load / barrel.least_bending) * barrel.R / 2))


def membrane_spectrum(barrel: RitzBarrel, pressure: float = 0.0, leave_out: tuple[int, ...] = ()) -> Spectrum:
    """Spectrum under axial compression with membrane prebuckling and a fixed pressure [Pa]."""
    ring, waves = barrel.operators(Prestress.membrane(pressure * barrel.R))
    refuse_unstable(waves, barrel, pressure)
    guess = long_barrel_load(barrel)
    top = harmonic_reach(barrel, guess)
    return spectrum(lambda n: waves if n else ring, guess, top, leave_out=leave_out)


def membrane(barrel: RitzBarrel, *, pressure: float = 0.0, leave_out: tuple[int, ...] = (), shapes: int = 0) -> Load:
    """Lowest buckling load with membrane prebuckling, over every harmonic.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa]; negative is external, up to what the unloaded barrel carries.
    leave_out : tuple of int
        Harmonics that are not searched.
    shapes : int
        How many of the lowest modes to hand over with their shapes.

    Returns
    -------
    Load
        `lowest_by_n` holds the harmonics that reach below 1.2 times the lowest (m is 0: no half-waves are counted), the
        lowest to rounding, the others proved within 1e-6; `near_tie_count` is the number of further load factors below
        1.2 times the lowest, by inertia.

    Raises
    ------
    Refusal
        When the fixed pressure alone makes the barrel unstable.
    Incomplete
        When completeness cannot be shown.
    """
    whole = barrel.whole
    for times in range(_REFINEMENTS):
        barrel = whole.refined(times)
        found = membrane_spectrum(barrel, pressure, leave_out)
        error = resolution_error(barrel, pressure, found)
        if error <= _RESOLVED:
            break
    words = "membrane prebuckling", "membrane, uniform N_x and N_theta", _DEFINITION, pressure_words(pressure)
    return of_spectrum(barrel, found, pressure, words, shapes=shapes, leave_out=leave_out, error=error)


def every_mode(barrel: RitzBarrel, *, pressure: float = 0.0) -> tuple[int, Iterator[ModeShape]]:
    """Every membrane mode below 1.2 times the lowest: how many there are, and the modes harmonic by harmonic.

    A band can hold thousands of modes; the number is known before any of them is solved.
    """
    barrel = barrel.whole
    found = membrane_spectrum(barrel, pressure)
    bound = BAND * found.lowest[found.best]
    recorder = ModeRecorder(barrel, Prestress.membrane(pressure * barrel.R))

    def modes() -> Iterator[ModeShape]:
        for n, values, x in found.all_below(bound):
            for i, value in enumerate(values):
                yield recorder.record(found.pick(n), n, float(value), x[:, i])

    return found.count(bound), modes()


def resolution_error(barrel: RitzBarrel, pressure: float, found: Spectrum) -> float:
    """Relative change of the lowest load under two more degrees of the trial functions: one odd, one even."""
    finer = replace(barrel, degree=barrel.degree + 2)
    n, value = found.best, found.lowest[found.best]
    ops = finer.harmonic(n, Prestress.membrane(pressure * barrel.R))
    return abs(lowest_banded(*ops.bands(n), value * (1 - 1e-5))[0] / value - 1)


def nonlinear(
    barrel: RitzBarrel,
    *,
    pressure: float = 0.0,
    z_load: float = 0.0,
    each_harmonic: bool = True,
    limit: float = 0.0,
    tilt: bool = True,
) -> Load:
    """First buckling load on the nonlinear axisymmetric prebuckling path, or how far nothing is lost.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed [Pa]; negative is external, up to what the unloaded barrel carries.
    z_load : float
        Height of the axial load above the skin middle [m].
    each_harmonic : bool
        Find the lowest critical load of every other harmonic too, up to .995 of the limit load.
    limit : float
        Axial compression up to which to march [N/m]; 0 goes on until the path leaves the theory (see `ends`).
    tilt : bool
        Follow n = 1 too, the barrel as a column whose end planes tilt.

    Returns
    -------
    Load
        Always with `path`: its `status` says whether `line_load` is a bifurcation or the load up to which the path was
        followed with nothing lost, its `limit_load` where the deflection grows without bound. A bifurcation with n = 0
        is a mode that has no share in the deflection of the path.

    Raises
    ------
    Refusal
        When the fixed pressure alone makes the barrel unstable, or bends it beyond the theory.
    Incomplete
        When the march could not be carried through.
    """
    if limit < 0:
        raise Refusal.of("no-compression", "the march needs a compression to go up to", "limit", f"{limit:g} N/m")
    for times in range(_REFINEMENTS):
        finer = barrel.refined(times)
        found, ends = _marched(finer, pressure, z_load, each_harmonic, limit, tilt)
        harmonics = range(1 if tilt else 2, found.n_searched + 1)
        error = _path_resolution(finer, pressure, z_load, found, harmonics, ends)
        if error <= _PATH_RESOLVED:
            break
    if not found.n and error:
        raise Incomplete.of(
            "path-unresolved",
            f"richer trial functions lose stability below {found.limit:.6g} N/m where the others hold: withheld",
            "wall",
        )
    path = Prebuckling(finer, pressure, z_load)
    held = found.line_load is None
    load = found.limit if held else found.line_load
    state = path.shape(load if found.n else found.limit)  # next to, not at, a load that is singular for the path itself
    end = PathEnd(
        "no bifurcation" if held else "bifurcation",
        load,
        ends.ended_by if held else "bifurcation",
        ends.limit_load,
        float(np.abs(state.prestress.beta).max()),
        float(np.abs(state.deflection).max()),
    )
    shapes = ()
    if not held:  # n = 0 has no part in the slope: u follows it at no cost
        prestress = state.prestress if found.n else Prestress.membrane(0.0)
        ops = finer.harmonic(found.n, prestress)
        shapes = (ModeRecorder(finer, prestress).record(ops, found.n, load, found.mode),)
    words = (
        f"nonlinear prebuckling{', nothing lost up to' if held else ''}",
        "nonlinear axisymmetric, edge bending under load and pressure together",
        _HELD if held else _DEFINITION,
        pressure_words(pressure),
    )
    return record(
        barrel,
        words,
        load,
        "skin middle" if z_load == 0 else f"{z_load:g} m above the skin middle",
        n=found.n,
        certificate=_march_certificate(found, load, tilt),
        lowest_by_n=tuple(Mode(0, n, value) for n, value in sorted(found.by_harmonic.items())),
        shapes=shapes,
        prebuckled=prebuckled_shape(finer, state),
        resolution_error=error,
        path=end,
    )


def _marched(
    barrel: RitzBarrel, pressure: float, z_load: float, each_harmonic: bool, limit: float, tilt: bool
) -> tuple[Critical, PathLimits]:
    """The march on one trial space, and where its path ends."""
    ends = path_limits(Prebuckling(barrel, pressure, z_load))
    if limit and limit < ends.followed:
        ends = replace(ends, followed=limit, ended_by="load asked for")
    top = max(
        math.ceil(_MARCH_WIDER * harmonic_reach(barrel, min(ends.followed, ends.singular))) + 1,
        pressure_reach(barrel, pressure),
    )
    found = critical_points(
        barrel,
        ends.followed,
        range(1 if tilt else 2, top + 1),
        pressure=pressure,
        z_load=z_load,
        singular=ends.singular,
        each=each_harmonic,
        last_each=_EACH_SHARE * ends.singular,
    )
    if found.line_load is None and ends.ended_by == "bifurcation":
        ring = barrel.harmonic(0, Prestress.membrane(0.0))
        mode = nearest_mode(ring.tangent(found.limit).band(0))
        found = replace(found, line_load=ends.bifurcation, n=0, mode=mode)
    if ends.bifurcation is not None and (found.line_load or 0.0) <= ends.bifurcation <= ends.followed * (1 + _ARRIVED):
        found = replace(found, by_harmonic={0: ends.bifurcation} | found.by_harmonic)
    return found, ends


def _march_certificate(found: Critical, load: float, tilt: bool) -> Certificate:
    return Certificate(
        0,
        found.n_searched,
        () if tilt else (1,),
        f"march up to {load:.6g} N/m in {found.steps} steps, every harmonic to n = "
        f"{found.n_searched} positive definite at each, the last steps sixteen times finer (weaker than a spectrum: "
        "between steps it is not watched); first losses of other harmonics are linearised, to 1e-3, or 3e-3 near the "
        "limit",
        1.0,
    )


def _path_resolution(
    barrel: RitzBarrel, pressure: float, z_load: float, found: Critical, harmonics: range, ends: PathLimits
) -> float:
    """Smallest of 1e-7, 1e-6, ... such that one more degree loses its stability within it of the critical load. Where
    no wave around is lost: 0 if two more degrees lose none either, at the last load and at two before it."""
    if not found.n:
        finer = replace(barrel, degree=barrel.degree + 2)
        march = March(finer, Prebuckling(finer, pressure, z_load))
        left = (ends.limit_load or 2 * found.limit) - found.limit
        looks = (found.limit, *(N for k in (1, 3) if (N := found.limit - k * left) > 0))
        return 1.0 if any(True for N in looks for _ in march.at(N).lost(harmonics)) else 0.0
    finer, n = replace(barrel, degree=barrel.degree + 1), found.n
    path = Prebuckling(finer, pressure, z_load)

    def stable(N: float) -> bool:
        return finer.harmonic(n, path.state(N)).stable(n, N)

    for error in _ERRORS:
        if stable(found.line_load * (1 - error)) and not stable(found.line_load * (1 + error)):
            return error
    return 1.0


def pressure_reach(barrel: RitzBarrel, pressure: float) -> int:
    """Harmonics that a fixed external pressure [Pa] may make unstable: D_min b^4 <= |p| R b^2, widened; 0 inside."""
    return math.ceil(1.1 * barrel.R * math.sqrt(max(0.0, -pressure) * barrel.R / barrel.least_bending)) + 1


def refuse_unstable(waves: Operators, barrel: RitzBarrel, pressure: float) -> None:
    """Refuse a fixed external pressure [Pa] under which a barrel buckles without any other load.

    `waves` are its operators of n of 1 or more under that pressure.

    Raises
    ------
    Refusal
    """
    if pressure < 0 and (n := next(waves.tangent(0.0).lost(range(1, pressure_reach(barrel, pressure) + 1)), None)):
        raise Refusal(unstable_under(pressure, n))
