"""Front doors for axial compression: the membrane spectrum, and the first load on the nonlinear path."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from ..eigen import lowest_banded
from ..errors import Problem, Refusal
from ..records import Certificate, Load, Mode, ModeShape
from .barrel import RitzBarrel
from .critical import Critical, critical_points
from .energies import Prestress
from .prebuckling import Prebuckling
from .shapes import ModeRecorder, prebuckled_shape
from .spectrum import BAND, Spectrum, spectrum

_DEFINITION = "net axial line load of the wall at bifurcation, compression positive; closed ends may carry p R/2 more"

_MARCH_WIDER = 1.4
"""Edge bending brings hoop compression: harmonics beyond those of the membrane state are followed."""

PATH_SHARE = 0.995
"""Share of the limit point up to which the path is followed: closer, slopes are no longer small and the theory ends."""

_RESOLVED = 3e-9
"""Relative change under one more degree above which the pieces are shortened and the work is done again."""
_REFINEMENTS = 3
_ERRORS = (1e-7, 1e-6, 1e-5, 1e-4, 1e-3)


def harmonic_reach(barrel: RitzBarrel, load: float) -> int:
    """Harmonics up to which a mode below `load` may lie: n of b <= rho/2 with rho^2 = load/D_min, widened.

    The bound is a proof for simply supported Donnell barrels (free membrane); here it sets the first range, which is
    extended while its top is not proved empty.
    """
    D = barrel.wall.reduced_bending
    d11, d22, mixed = D[0, 0], D[1, 1], 2 * (D[0, 1] + 2 * D[2, 2])
    x = np.linspace(0.0, 1.0, 201)
    D_min = float((d11 * x**2 + mixed * x * (1 - x) + d22 * (1 - x) ** 2).min())
    return max(6, math.ceil(1.1 * math.sqrt(BAND * load / D_min) * barrel.R / 2))


def long_barrel_load(barrel: RitzBarrel) -> float:
    """A load of the right size: the axisymmetric load of a long barrel without coupling [N/m]."""
    flexibility = np.linalg.inv(barrel.wall.A)
    return float(2 / barrel.R * math.sqrt(barrel.wall.reduced_bending[0, 0] / flexibility[1, 1]))


def membrane_spectrum(barrel: RitzBarrel, pressure: float = 0.0, leave_out: tuple[int, ...] = ()) -> Spectrum:
    """Spectrum under axial compression with membrane prebuckling and a fixed pressure [Pa]."""
    ring, waves = barrel.operators(Prestress.membrane(pressure * barrel.R))
    guess = long_barrel_load(barrel)
    top = harmonic_reach(barrel, guess)
    return spectrum(lambda n: waves if n else ring, guess, top, leave_out=leave_out)


def membrane(
    barrel: RitzBarrel, *, pressure: float = 0.0, leave_out: tuple[int, ...] = (), shapes: int = 0
) -> Load:
    """Lowest buckling load with membrane prebuckling, over every harmonic.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa]; 0 or more.
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
    count = found.count(BAND * found.lowest[found.best])
    recorder = ModeRecorder(barrel, Prestress.membrane(pressure * barrel.R))
    drawn = tuple(
        recorder.record(found.pick(n), n, value, x) for value, n, x in found.lowest_modes(shapes)
    ) if shapes else ()  # fmt: skip
    return Load(
        name=f"Ritz, {barrel.theory}, membrane prebuckling", line_load=found.lowest[found.best], theory=barrel.theory,
        edges=edge_words(barrel), prestress="membrane, uniform N_x and N_theta", load_position="skin middle",
        pressure_treatment=pressure_words(pressure),
        definition=_DEFINITION,
        source="own Rayleigh-Ritz engine", n=found.best,
        certificate=spectrum_certificate(found, count, leave_out, error),
        near_tie_count=count - 1, lowest_by_n=tuple(Mode(0, k, v) for k, v in found.lowest.items()),
        shapes=drawn, resolution_error=error,
    )  # fmt: skip


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


def spectrum_certificate(found: Spectrum, count: int, leave_out: tuple[int, ...], error: float | None) -> Certificate:
    """The record of a certified spectrum."""
    resolved = "" if error is None else f"; two more degrees move the lowest by {error:.0e}"
    return Certificate(
        0, found.top, leave_out, f"inertia counts: {count} load factors below {BAND:g} times the lowest, in "
        f"{len(found.lowest)} harmonics; every other harmonic up to n = {found.top} holds none{resolved}", BAND,
    )  # fmt: skip


def nonlinear(
    barrel: RitzBarrel, *, pressure: float = 0.0, z_load: float = 0.0, each_harmonic: bool = True, limit: float = 0.0
) -> Load | None:
    """First buckling load on the nonlinear axisymmetric prebuckling path, or None below the march's limit.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed [Pa].
    z_load : float
        Height of the axial load above the skin middle [m].
    each_harmonic : bool
        Find the lowest critical load of every other harmonic too, up to the limit.
    limit : float
        Axial compression up to which to march [N/m]; 0 goes to .995 of the limit point of the path.

    Raises
    ------
    Incomplete
        When the march could not be carried through.
    """
    if limit < 0:
        raise Refusal(Problem("no-compression", "the march needs a compression to go up to", "limit", f"{limit:g} N/m"))
    ring = barrel.harmonic(0, Prestress.membrane(0.0))
    # the path ends where its own linear operator turns singular: the axisymmetric membrane load of these edges
    singular = lowest_banded(*ring.bands(0), long_barrel_load(barrel))[0]
    end = min(limit or math.inf, PATH_SHARE * singular)
    top = math.ceil(_MARCH_WIDER * harmonic_reach(barrel, end)) + 1
    found = critical_points(
        barrel, end, range(1, top + 1), pressure=pressure, z_load=z_load, singular=singular, each=each_harmonic
    )
    if found.line_load is None:
        return None
    path = Prebuckling(barrel, pressure, z_load)
    state = path.shape(found.line_load)
    ops = barrel.harmonic(found.n, state.prestress)
    position = "skin middle" if z_load == 0 else f"{z_load:g} m above the skin middle"
    return Load(
        name=f"Ritz, {barrel.theory}, nonlinear prebuckling", line_load=found.line_load, theory=barrel.theory,
        edges=edge_words(barrel), prestress="nonlinear axisymmetric, edge bending under load and pressure together",
        load_position=position, pressure_treatment=pressure_words(pressure),
        definition=_DEFINITION,
        source="own Rayleigh-Ritz engine", n=found.n,
        certificate=_march_certificate(found),
        lowest_by_n=tuple(Mode(0, n, load) for n, load in sorted(found.by_harmonic.items())),
        shapes=(ModeRecorder(barrel, state.prestress).record(ops, found.n, found.line_load, found.mode),),
        prebuckled=prebuckled_shape(barrel, state),
        resolution_error=_path_resolution(barrel, pressure, z_load, found),
    )  # fmt: skip


def _march_certificate(found: Critical) -> Certificate:
    return Certificate(
        0, found.n_searched, (), f"march up to {found.line_load:.6g} N/m in {found.steps} steps, every harmonic to n = "
        f"{found.n_searched} positive definite at each, the last steps sixteen times finer (weaker than a spectrum: "
        "between steps it is not watched); first losses of other harmonics are linearised, to 1e-3, or 3e-3 near the "
        "limit", 1.0,
    )  # fmt: skip


def _path_resolution(barrel: RitzBarrel, pressure: float, z_load: float, found: Critical) -> float:
    """Smallest of 1e-7, 1e-6, ... such that one more degree loses its stability within it of the critical load."""
    finer, n = replace(barrel, degree=barrel.degree + 1), found.n
    path = Prebuckling(finer, pressure, z_load)

    def stable(N: float) -> bool:
        return finer.harmonic(n, path.state(N)).stable(n, N)

    for error in _ERRORS:
        if stable(found.line_load * (1 - error)) and not stable(found.line_load * (1 + error)):
            return error
    return 1.0


def edge_words(barrel: RitzBarrel) -> str:
    """Edges and rings of a barrel in words."""
    return "; ".join([barrel.edges.words, *(ring.words for ring in barrel.rings)])


def pressure_words(pressure: float) -> str:
    """How a fixed pressure is named in a record."""
    return "no pressure" if pressure == 0 else f"hoop tension of {pressure:.6g} Pa held fixed, dead"
