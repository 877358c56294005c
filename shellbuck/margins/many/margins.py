"""Margins of one load case for many designs: the rows of `assess`, formula by formula, with masks for its branches.

Every number comes from the handbook's functions and the walls of `shellbuck.model.walls`; which one counts follows
`assess/` line by line, and tests compare the two on random designs.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from ...core.records import Status
from ...handbook import interaction, orthotropic, plain
from ...model.walls import SmearedWall
from ..state import LEAST_CAPACITY, LEAST_LOAD, State
from .engines import Engines
from .statuses import status_of

NO_ELASTIC_RANGE = 1e6
"""Use of the elastic range where pressure alone is beyond yield: more than any, and finite for a search."""


@dataclass
class Rows:
    """Margins by mode in the order of `assess`, nan where a row has none, and the status of every row as a code of
    `statuses`; refusals as (code, mask); the largest general net elastic capacity over compressive yield (N,), and the
    largest R/t or R/t_e of a factor that ends there, 0 where there is none."""

    size: int
    margins: dict[str, np.ndarray] = field(default_factory=dict)
    statuses: dict[str, np.ndarray] = field(default_factory=dict)
    refusals: list[tuple[str, np.ndarray]] = field(default_factory=list)
    yield_use: np.ndarray | float = 0.0
    thinness: np.ndarray | float = 0.0

    def add(
        self,
        mode: str,
        margin: np.ndarray,
        loaded: np.ndarray | bool = True,
        *,
        refused: np.ndarray | bool = False,
        withheld: np.ndarray | bool = False,
        idle: Status = "not compressed",
    ) -> np.ndarray:
        """File a row: its margin, and why it has none where it has none.

        Parameters
        ----------
        mode : str
        margin : numpy.ndarray
            (N,), used where the row is loaded and neither refused nor withheld. What is no number there is filed as
            refused, because what is unknown never holds.
        loaded : numpy.ndarray or bool
            Where something loads the row; elsewhere its status is `idle`.
        refused, withheld : numpy.ndarray or bool
            Where `assess` refuses or withholds the row. A refusal needs its code too, see `refuse`.
        idle : str
            Status without a load: "not compressed", or "holds" for a part without stress.

        Returns
        -------
        numpy.ndarray
            (N,) the margins that were filed.
        """
        flat = (np.broadcast_to(x, (self.size,)) for x in (np.asarray(margin, dtype=float), loaded, refused, withheld))
        margin, loaded, refused, withheld = flat
        kept = np.where(loaded & ~refused & ~withheld, margin, np.nan)
        self.margins[mode], self.statuses[mode] = kept, status_of(margin, loaded, refused, withheld, idle)
        return kept

    def take(self, other: Rows) -> None:
        """The rows of another after these."""
        self.margins |= other.margins
        self.statuses |= other.statuses

    def thick_enough(self, exists: np.ndarray, thinness: np.ndarray | float) -> np.ndarray:
        """Where a factor used at this R/t (0: at any) is in its range; the others are refused."""
        self.thinness = np.fmax(self.thinness, np.where(exists, thinness, 0.0))
        within = np.asarray(thinness <= plain.MOST_RADIUS_TO_THICKNESS)
        self.refuse("radius-to-thickness", exists & ~within)
        return within

    def refuse(self, code: str, mask: np.ndarray) -> None:
        """Say that designs have no margin for a reason that makes `assess` refuse."""
        self.refusals.append((code, np.broadcast_to(np.asarray(mask, dtype=bool), (self.size,))))


@dataclass(frozen=True, eq=False)
class ArrayState(State):
    """One load case of many designs: the names of `State`, each a number or (N,)."""

    engines: Engines

    @property
    def size(self) -> int:
        return self.engines.size

    @cached_property
    def P(self) -> np.ndarray:  # noqa: N802
        P = self.case.external_axial_force(self.load)
        return np.where(np.abs(P) >= LEAST_LOAD, P, 0.0)

    @cached_property
    def M(self) -> np.ndarray:  # noqa: N802
        M = np.abs(self.load.bending_moment)
        return np.where(M >= LEAST_LOAD, M, 0.0)

    @cached_property
    def p_max(self) -> np.ndarray:
        high = self.load.pressure_maximum
        return np.maximum(0.0 if high is None else high, self.load.p_min)

    @cached_property
    def compressed(self) -> np.ndarray:
        return (self.N_b > 0) | (self.N_a > 0)

    @cached_property
    def pressures(self) -> dict[str, np.ndarray]:
        return {"minimum pressure": self.load.p_min, "maximum pressure": self.p_max}

    @cached_property
    def wall_yield(self) -> np.ndarray:
        return self.yield_line_load(self.wall)


@dataclass(frozen=True, eq=False)
class Capacity:
    """Capacities of axial compression and of bending (N,) [N/m], with pressure relief and without it."""

    axial: np.ndarray
    bending: np.ndarray
    axial_net: np.ndarray
    bending_net: np.ndarray

    @classmethod
    def relieved(cls, state: ArrayState, axial_net: np.ndarray, bending_net: np.ndarray) -> Capacity:
        """Net capacities with p R/2 on top; none below `LEAST_CAPACITY`."""
        total = (np.maximum(net + state.relief, LEAST_CAPACITY) for net in (axial_net, bending_net))
        return cls(*total, axial_net, bending_net)


def pair_margin(state: ArrayState, capacity: Capacity) -> np.ndarray:
    """Margin of axial compression with bending; meaningful where the wall is compressed."""
    N_a, N_b, f_s = state.N_a, state.N_b, state.factor
    relieved = interaction.tension_relieved_margin(capacity.bending, np.maximum(-N_a, 0.0), f_s, N_b)
    return np.where(N_a < 0, relieved, interaction.interaction_margin(N_a, N_b, capacity.axial, capacity.bending, f_s))


def mixed_net(state: ArrayState, capacity: Capacity) -> np.ndarray:
    """Net line load that the mix of axial compression and bending reaches (N,) [N/m]."""
    N_a, N_b = state.N_a, state.N_b
    mixed = interaction.pair_capacity(N_a, N_b, capacity.axial_net, capacity.bending_net)
    alone = np.where(N_a > 0, capacity.axial_net, capacity.bending_net)
    return np.where((N_a <= 0) | (N_b == 0), alone, mixed)


def local_margin(state: ArrayState, elastic: np.ndarray) -> np.ndarray:
    """Margin of a skin field with this elastic line load, cut off at first yield of the wall."""
    elastic = np.maximum(np.minimum(elastic, state.wall_yield), LEAST_CAPACITY - state.relief)
    tension = np.maximum(-state.N_a, 0.0)
    compression = np.where(state.N_a < 0, state.N_b, state.N_a + state.N_b)
    return interaction.local_margin(elastic, tension + state.relief, state.factor, compression)


def add_general(rows: Rows, mode: str, state: ArrayState, capacity: Capacity, holds, thinness) -> None:
    """A row of general instability: withheld where a skin pocket does not hold (`holds`), refused beyond the factor's
    range or beyond compressive yield."""
    exists = holds & state.compressed
    thick_enough = rows.thick_enough(exists, thinness)
    limit = state.wall_yield
    # pressure alone beyond yield leaves no elastic range at all
    use = np.where(limit > 0, mixed_net(state, capacity) / np.where(limit > 0, limit, 1.0), NO_ELASTIC_RANGE)
    elastic = use <= 1
    rows.yield_use = np.fmax(rows.yield_use, np.where(exists & thick_enough, use, 0.0))
    rows.refuse("elastic-limit", exists & thick_enough & ~elastic)
    refused = ~(thick_enough & elastic)
    rows.add(mode, pair_margin(state, capacity), state.compressed, refused=refused, withheld=~np.asarray(holds))


def add_panel(rows: Rows, state: ArrayState, wall: SmearedWall, nets, holds, thinness) -> None:
    """A row of the panel between rings: withheld and refused as above, cut off at compressive yield of `wall`."""
    thick_enough = rows.thick_enough(holds & state.compressed, thinness)
    limit = state.yield_line_load(wall)
    least = LEAST_CAPACITY - state.relief
    capacity = Capacity.relieved(state, *(np.maximum(np.minimum(n, limit), least) for n in nets))
    rows.add(
        "panel between rings",
        pair_margin(state, capacity),
        state.compressed,
        refused=~thick_enough,
        withheld=~np.asarray(holds),
    )


def stiffened_factors(wall: SmearedWall, R, t) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Axial and bending knockdown of a stiffened wall and the R/t_e that limits them, 0 where nothing does; see
    `assess.knockdown`."""
    A, B, D = wall.A, wall.B, wall.D
    t_e = orthotropic.equivalent_thickness(
        A[..., 0, 0], A[..., 1, 1], B[..., 0, 0], B[..., 1, 1], D[..., 0, 0], D[..., 1, 1]
    )
    ratio = t_e / t
    close, light = ratio >= orthotropic.STIFFENED_FROM, ratio <= orthotropic.UNSTIFFENED_TO
    pairs = (
        (orthotropic.orthotropic_axial_knockdown(R, t_e), orthotropic.AXIAL_KNOCKDOWN),
        (orthotropic.orthotropic_bending_knockdown(R, t_e), orthotropic.BENDING_KNOCKDOWN),
    )
    axial, bending = (
        np.where(close, constant, np.where(light, sheet, orthotropic.blended_knockdown(sheet, constant, t_e, t)))
        for sheet, constant in pairs
    )
    return axial, bending, np.where(close, 0.0, R / t_e)
