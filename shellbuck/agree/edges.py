"""What the edges and the bending near them do to the load: classical, Ritz membrane and Ritz nonlinear side by side.

The empirical knockdown belongs to the classical load and to no other; a benefit of clamped edges is not credited.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .. import closed_form, ritz
from ..model import Case, LoadCase
from ..records import Load
from ..ritz.barrel import Theory
from ..walls import SmearedWall, build_wall


@dataclass(frozen=True)
class EdgeEffect:
    """Loads of one edge set at one fixed pressure.

    `classical` is simply supported (SS3) with membrane prestress and n = 1 left out, in the same theory; `nonlinear` is
    None when nothing buckles below the axisymmetric membrane load.
    """

    edges: str
    classical: Load
    membrane: Load
    nonlinear: Load | None

    @property
    def words(self) -> str:
        """The effect in words."""
        held = self.membrane.line_load / self.classical.line_load - 1
        parts = [f"these edges change the membrane load by {100 * held:+.1f} %"]
        if self.nonlinear is None:
            parts.append("no bifurcation below the axisymmetric membrane load with edge bending")
        else:
            bent = self.nonlinear.line_load / self.membrane.line_load - 1
            parts.append(f"bending near them by a further {100 * bent:+.1f} %")
        if self.membrane.n == 1 or (self.nonlinear is not None and self.nonlinear.n == 1):
            parts.append("n = 1 governs: the end plane is free to tilt, a real mode of these edges")
        return ", ".join(parts)


def edge_effect(
    wall: SmearedWall, R: float, L: float, edges: ritz.Edges, *, pressure: float = 0.0, theory: Theory = "Sanders"
) -> EdgeEffect:
    """Classical, membrane and nonlinear load of one barrel.

    Parameters
    ----------
    wall : SmearedWall
    R, L : float
        Middle radius, length [m].
    edges : Edges
    pressure : float
        Internal pressure, fixed and dead [Pa].
    theory : {"Sanders", "Donnell"}
    """
    barrel = ritz.RitzBarrel(wall, R, L, edges, theory)
    return EdgeEffect(
        edges.short, closed_form.lowest(wall, R, L, N_theta=pressure * R, theory=theory),
        ritz.membrane(barrel, pressure=pressure), ritz.nonlinear(barrel, pressure=pressure),
    )  # fmt: skip


def edge_effects(
    case: Case, edge_sets: Sequence[str], *, theory: Theory = "Sanders"
) -> Iterator[tuple[str, EdgeEffect]]:
    """Loads of a case under several edge sets, one after the other as they are found.

    Parameters
    ----------
    case : Case
    edge_sets : sequence of str
        Names of `shellbuck.ritz.EDGE_SETS`, the same at both ends.
    theory : {"Sanders", "Donnell"}

    Yields
    ------
    (str, EdgeEffect)
        Names of the load cases that share temperature and minimum pressure, and the effect.
    """
    for names, load in _distinct(case):
        wall = build_wall(case, load.temperature)
        for name in edge_sets:
            yield names, edge_effect(
                wall, case.barrel.middle_radius, case.barrel.length, ritz.Edges(name, name), pressure=load.p_min,
                theory=theory,
            )  # fmt: skip


def _distinct(case: Case) -> Iterator[tuple[str, LoadCase]]:
    groups: dict[tuple[float | None, float], list[LoadCase]] = {}
    for load in case.load_cases:
        groups.setdefault((load.temperature, load.p_min), []).append(load)
    for loads in groups.values():
        yield "; ".join(load.name for load in loads), loads[0]
