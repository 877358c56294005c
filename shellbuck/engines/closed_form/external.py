"""External pressure on a simply supported smeared barrel (Donnell): NASA SP-8007 Rev 2, Eqs 64-65.

Elastic bifurcation loads only; the assessment does not use them until external pressure has its capacities.
"""

from __future__ import annotations

import math

import numpy as np

from ...core.errors import Incomplete
from ...core.records import Certificate, Load, Mode
from ...model.walls.stiffness import SmearedWall
from .batch_terms import Reduced
from .loads import Terms, check_input, mode_loads
from .search import EDGES, LOAD_POSITION


def external_pressure(wall: SmearedWall, R: float, L: float, *, hydrostatic: bool = False) -> Load:
    """Lowest external pressure of a simply supported barrel, n of 2 or more.

    Parameters
    ----------
    wall : SmearedWall
    R, L : float
        Middle radius, length [m].
    hydrostatic : bool
        True loads the end caps too; False is lateral pressure only.

    Returns
    -------
    Load
        `line_load` is the hoop line load p R [N/m]; the pressure is line_load / R.

    Examples
    --------
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> load = external_pressure(SmearedWall.of(Skin(1.0, 0.3, 0.01)), 1.0, 1.0, hydrostatic=True)
    >>> round(load.line_load * 1e8, 3), load.n
    (983.845, 8)
    """

    check_input(wall, R, L, 0.0, "Donnell")
    t = Terms.one(wall)

    def pressures(m: np.ndarray, n: np.ndarray) -> np.ndarray:
        S = mode_loads(t, R, L, m, n) * (m * np.pi / L) ** 2
        waves = n**2 + ((m * np.pi * R / L) ** 2 / 2 if hydrostatic else 0)
        return R * S / waves

    # S >= D_min (a^2 + b^2)^2 bounds p from below: b <= rho and a <= rho hold every mode below p
    D_min = float(Reduced.of(t).least)
    upper = float(pressures(np.ones(1), np.arange(2, 2000)).min())
    rho = math.sqrt(upper * R / D_min)
    m = np.arange(1, max(2, math.floor(rho * L / math.pi) + 1) + 1)[:, None]
    n = np.arange(2, max(6, math.floor(rho * R) + 1) + 1)
    if m.size * n.size > 4_000_000:
        raise Incomplete.of("search-too-large", "too many modes would have to be searched", "wall")
    table = pressures(m, n)
    i, j = np.unravel_index(np.argmin(table), table.shape)
    least = float(table[i, j])
    rim = float(min(table[-1].min(), table[:, -1].min())) / least
    if rim <= 1.0:
        raise Incomplete.of("search-rim", "the lowest load lies on the rim of the searched range", "wall")
    return Load(
        name="hydrostatic external pressure" if hydrostatic else "lateral external pressure",
        line_load=least * R,
        theory="Donnell",
        edges=EDGES,
        prestress="membrane, uniform",
        load_position=LOAD_POSITION,
        pressure_treatment="external pressure is the load; dead",
        definition="hoop line load p R at bifurcation",
        source="NASA SP-8007 Rev 2, Eqs 64-65",
        m=int(m[i, 0]),
        n=int(n[j]),
        certificate=Certificate(int(m[-1, 0]), int(n[-1]), (0, 1), "bending energy with free membrane", rim),
        lowest_by_n=tuple(
            Mode(int(m[k, 0]), int(nn), float(table[k, c]) * R)
            for c, (k, nn) in enumerate(zip(np.argmin(table, axis=0), n, strict=True))
        ),
    )
