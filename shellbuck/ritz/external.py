"""Lateral and hydrostatic external pressure, dead or live, with membrane prebuckling.

A live pressure stays normal to the deformed wall. Per area it adds -(p/2R)(w^2 + v^2 - 2 v w,theta + 2 R w u,x) for
an internal p; it has a potential only where u or v is held at each end, and belongs to Sanders kinematics.
"""

from __future__ import annotations

import math

import numpy as np

from ..eigen import lowest_pairs
from ..errors import Incomplete, Problem, Refusal
from ..records import Certificate, Load, Mode
from .barrel import RitzBarrel
from .operators import Operators, Prestress, energies

_MOST_HARMONICS = 400


def external_pressure(barrel: RitzBarrel, *, hydrostatic: bool = False, live: bool = False) -> Load:
    """Lowest external pressure over every n of 2 or more.

    Parameters
    ----------
    barrel : RitzBarrel
    hydrostatic : bool
        True loads the end caps too (N_x = -p R/2).
    live : bool
        True keeps the pressure normal to the wall, False keeps its direction (dead).

    Returns
    -------
    Load
        `line_load` is the hoop line load p R [N/m] at bifurcation; the pressure is line_load / R.

    Raises
    ------
    Refusal
        For a live pressure with Donnell kinematics, or at an end that holds neither u nor v.
    """
    if live:
        _refuse_live(barrel)
    operators = _operators(barrel, hydrostatic, live)
    found: dict[int, float] = {}
    guess, n = math.inf, 2
    while n <= _MOST_HARMONICS:
        K, G = operators.K(n), operators.G(n)
        start = guess if guess < math.inf else 3 * barrel.wall.reduced_bending[1, 1] / barrel.R**3
        found[n] = float(lowest_pairs(K, G, start).values[0])
        guess = found[n]
        best = min(found, key=found.get)
        # beyond the lowest n the load rises like n^2; two in a row above twice the lowest end the search
        if n >= best + 3 and all(found[k] > 2 * found[best] for k in (n, n - 1)):
            break
        n += 1
    else:
        raise Incomplete(Problem("search-too-large", "the range of harmonics does not end", "wall"))
    p = found[best]
    return Load(
        name=f"Ritz, {barrel.theory}, {'hydrostatic' if hydrostatic else 'lateral'} external pressure",
        line_load=p * barrel.R, theory=barrel.theory, edges=barrel.edges.words,
        prestress="membrane, uniform N_theta" + (" and N_x = -p R/2" if hydrostatic else ", N_x = 0"),
        load_position="skin middle",
        pressure_treatment=f"external pressure is the load, {'live' if live else 'dead'}",
        definition="hoop line load p R at bifurcation", source="own Rayleigh-Ritz engine", n=best,
        certificate=Certificate(
            0, n, (0, 1), f"the lowest load of every n from 2 to {n}, each closed by an inertia count; the last two "
            "lie above twice the lowest", 2.0,
        ),
        lowest_by_n=tuple(Mode(0, k, v * barrel.R) for k, v in sorted(found.items())),
    )  # fmt: skip


def _refuse_live(barrel: RitzBarrel) -> None:
    if barrel.theory != "Sanders":
        raise Refusal(Problem(
            "live-pressure-theory", "a live pressure belongs to Sanders kinematics", "theory", barrel.theory, "Sanders"
        ))  # fmt: skip
    for place, held in zip(("x = 0", "x = L"), barrel.edges.held, strict=True):
        if not held & {"u", "v"}:
            raise Refusal(Problem(
                "live-pressure-edges", "a live pressure has no potential at an end that holds neither u nor v", place,
                ", ".join(sorted(held)) or "nothing", "u or v held",
            ))  # fmt: skip


def _operators(barrel: RitzBarrel, hydrostatic: bool, live: bool) -> Operators:
    """Stiffness without pressure, and the work of a unit external pressure in place of that of an axial load."""
    sanders = barrel.theory == "Sanders"
    R, C = barrel.R, barrel.wall.uncoupled
    stiffness, axial = energies(barrel.pieces, C, R, sanders, Prestress.membrane(0.0))
    # N_theta = -p R: what a unit hoop tension adds, taken out R times
    tensioned, _ = energies(barrel.pieces, np.zeros((6, 6)), R, sanders, Prestress.membrane(1.0))
    work = R * tensioned[:3]
    if hydrostatic:
        work = work + R / 2 * axial
    if live:
        work = work + _live_work(barrel)
    return barrel.patterns[1].operators(R, stiffness, work)


def _live_work(barrel: RitzBarrel) -> np.ndarray:
    """(3, e, d, d): -(1/R)(W W + V V + 2 n V W + 2 R W U'), symmetrised, powers of b = n/R first."""
    f, R = barrel.pieces.functions(), barrel.R
    e, nf, _ = f["u"].shape
    dx = f["dx"][:, None, :]
    out = np.zeros((3, e, 3 * nf, 3 * nf))
    u, v, w = (slice(k * nf, (k + 1) * nf) for k in range(3))

    def product(left: np.ndarray, right: np.ndarray) -> np.ndarray:
        return (left * dx) @ np.swapaxes(right, 1, 2)

    out[0, :, w, w] -= product(f["w"], f["w"]) / R
    out[0, :, v, v] -= product(f["u"], f["u"]) / R
    cross = product(f["w"], f["u'"])
    out[0, :, w, u] -= cross
    out[0, :, u, w] -= np.swapaxes(cross, 1, 2)
    mixed = product(f["u"], f["w"])
    out[1, :, v, w] -= mixed
    out[1, :, w, v] -= np.swapaxes(mixed, 1, 2)
    return out
