"""Front doors: the lowest membrane load with its certificate, and the first load on the nonlinear path."""

from __future__ import annotations

import math

import numpy as np

from ..eigen import count_below, lowest_banded
from ..errors import Incomplete, Problem
from ..records import Certificate, Load, Mode
from .barrel import RitzBarrel
from .critical import first_critical
from .operators import Operators, Prestress

BAND = 1.2
"""Harmonics that reach below this multiple of the lowest load are solved; the others are proved to hold nothing."""

_DEFINITION = "net axial line load of the wall at bifurcation, compression positive; closed ends may carry p R/2 more"

_MOST_HARMONICS = 3000
_MARCH_MARGIN = 6


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


def membrane(barrel: RitzBarrel, *, pressure: float = 0.0, leave_out: tuple[int, ...] = ()) -> Load:
    """Lowest buckling load with membrane prebuckling, over every harmonic.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed and dead [Pa]; 0 or more.
    leave_out : tuple of int
        Harmonics that are not searched.

    Returns
    -------
    Load
        `lowest_by_n` holds the harmonics that reach below 1.2 times the lowest load (m is 0: no half-waves are
        counted); `near_tie_count` is the number of further load factors below 1.2 times the lowest, by inertia.

    Raises
    ------
    Incomplete
        When completeness cannot be shown.
    """
    ring, waves = barrel.operators(Prestress.membrane(pressure * barrel.R))

    def pick(n: int) -> Operators:
        return waves if n else ring

    guess = long_barrel_load(barrel)
    best, found = math.inf, {}
    top, n = harmonic_reach(barrel, guess), 0
    while n <= top:
        if n not in leave_out and (best == math.inf or not pick(n).stable(n, BAND * best)):
            found[n] = lowest_banded(*pick(n).bands(n), min(guess, found.get(n - 1, guess)))
            best = min(best, found[n])
        n += 1
        if n > top and max((k for k, v in found.items() if v <= BAND * best), default=0) >= top - 2:
            top = min(_MOST_HARMONICS, math.ceil(1.3 * top))
            if n > _MOST_HARMONICS:
                raise Incomplete(Problem("search-too-large", "the range of harmonics does not end", "wall"))
    within = {k: v for k, v in found.items() if v <= BAND * best}
    count = sum(count_below(pick(k).K(k), pick(k).G(k), BAND * best) for k in within)
    lowest_n = min(within, key=within.get)
    return Load(
        name=f"Ritz, {barrel.theory}, membrane prebuckling", line_load=best, theory=barrel.theory,
        edges=barrel.edges.words, prestress="membrane, uniform N_x and N_theta", load_position="skin middle",
        pressure_treatment=pressure_words(pressure),
        definition=_DEFINITION,
        source="own Rayleigh-Ritz engine", n=lowest_n,
        certificate=Certificate(
            0, top, leave_out, f"inertia counts: {count} load factors below {BAND:g} times the lowest, in "
            f"{len(within)} harmonics; every other harmonic up to n = {top} holds none", BAND,
        ),
        near_tie_count=count - 1, lowest_by_n=tuple(Mode(0, k, v) for k, v in sorted(within.items())),
    )  # fmt: skip


def nonlinear(barrel: RitzBarrel, *, pressure: float = 0.0, z_load: float = 0.0) -> Load | None:
    """First buckling load on the nonlinear axisymmetric prebuckling path, or None below the march's limit.

    Parameters
    ----------
    barrel : RitzBarrel
    pressure : float
        Internal pressure, fixed [Pa].
    z_load : float
        Height of the axial load above the skin middle [m].

    Raises
    ------
    Incomplete
        When the march could not be carried through.
    """
    ring = barrel.operators(Prestress.membrane(0.0))[0]
    # the path ends where its own linear operator turns singular: the axisymmetric membrane load of these edges
    limit = lowest_banded(*ring.bands(0), long_barrel_load(barrel)) * (1 - 1e-6)
    top = harmonic_reach(barrel, limit) + _MARCH_MARGIN
    point = first_critical(barrel, limit, range(top + 1), pressure=pressure, z_load=z_load)
    if point.line_load is None:
        return None
    position = "skin middle" if z_load == 0 else f"{z_load:g} m above the skin middle"
    return Load(
        name=f"Ritz, {barrel.theory}, nonlinear prebuckling", line_load=point.line_load, theory=barrel.theory,
        edges=barrel.edges.words, prestress="nonlinear axisymmetric, edge bending under load and pressure together",
        load_position=position, pressure_treatment=pressure_words(pressure),
        definition=_DEFINITION,
        source="own Rayleigh-Ritz engine", n=point.n,
        certificate=Certificate(
            0, point.n_searched, (), f"march of {point.steps} steps from zero load, every harmonic up to n = "
            f"{point.n_searched} positive definite at each (weaker than a spectrum: between steps it is not watched)",
            1.0,
        ),
    )  # fmt: skip


def pressure_words(pressure: float) -> str:
    """How a fixed pressure is named in a record."""
    return "no pressure" if pressure == 0 else f"hoop tension of {pressure:.6g} Pa held fixed, dead"
