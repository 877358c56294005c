"""Eccentric walls and weak ends: the lower of the nonlinear prebuckled load and factor times classical is official.

An axial load that enters off the line on which the wall stays straight bends the edges, and the hoop compression of
that bending may lose the perfect barrel far below its classical load. So for walls that couple axial bending with
stretching (and for any wall whose load is said to enter off the skin middle, or whose ends hold less than SS3) the
first loss on the nonlinear axisymmetric path is worked out: edges, springs and single rings of the case, the load at
its height, the minimum pressure held fixed. It carries factor 1, because nothing in it is covered by the tests behind
the factors. It is a net line load of the wall at that pressure, so closed ends carry p R/2 more, as with every
capacity. What it gains by the pressure in its state never counts above factor times classical without pressure. It may
fall again with more pressure (by a few per cent where tried), which the thrust of closed ends outweighs: with open ends
the maximum pressure is tried too, and the lower counts.

A line load of bending is judged as if the peak fibre's load stood all around (own rule, conservative).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..core.errors import ShellbuckError
from ..core.records import Beside, Check, EdgeBendingStatus, Knockdown, Load, LoadCaseResult, MarginRow, Verdict
from ..model.walls import bends, eccentric, load_height
from .rows import PairCapacity
from .state import State

MODE = "general instability"
SOURCE = "own Rayleigh-Ritz engine; factor 1 is an own rule"
FACTOR_ONE = "factor 1 on the nonlinear prebuckled load (own rule)"


def needed(state: State) -> bool:
    """Whether edge bending is to be looked at."""
    return bool(bends(state.case.barrel, state.wall))


@dataclass(frozen=True)
class EdgeBending:
    """What edge bending says about general instability in one load case.

    `status`: "not needed" for walls without eccentricity, "computed" with the first loss, "followed" where nothing is
    lost up to `line_load`, "not available" for the `reason` given, "not checked" where it was not asked for.
    `line_load` [N/m] is the net load of the wall at `pressure` [Pa]. `load` is its record; `new` where it does not
    stand among the loads of the edges yet.
    """

    status: EdgeBendingStatus
    line_load: float | None = None
    load: Load | None = None
    new: bool = False
    reason: str = ""
    pressure: float = 0.0
    classical: tuple[float, float] = (np.inf, np.inf)
    """Net capacities of axial compression and bending by factor times classical [N/m]."""

    @property
    def caps(self) -> tuple[bool, bool]:
        """Whether it lies below factor times classical, for axial compression and for bending."""
        return tuple(self.line_load is not None and self.line_load < net for net in self.classical)

    def governs(self, state: State) -> bool:
        """Whether it sets the capacity of a load that the load case has."""
        axial, bending = self.caps
        return (axial and state.N_a > 0) or (bending and state.N_b > 0)

    def limited(self, state: State, capacity: PairCapacity) -> PairCapacity:
        """Capacities, none above it."""
        if self.line_load is None:
            return capacity
        net, total = self.line_load, self.line_load + state.relief
        return PairCapacity(
            min(capacity.axial, total),
            min(capacity.bending, total),
            min(capacity.axial_net, net),
            min(capacity.bending_net, net),
        )

    def factors(self, knockdown: Knockdown) -> Knockdown:
        """The knockdown of the row: 1 for what rests on the nonlinear prebuckled load."""
        if not any(self.caps):
            return knockdown
        pairs = zip(self.caps, (knockdown.axial, knockdown.bending), strict=True)
        axial, bending = (1.0 if capped else factor for capped, factor in pairs)
        what = "axial and bending" if all(self.caps) else "axial" if self.caps[0] else "bending"
        return replace(knockdown, axial=axial, bending=bending, source=f"{what}: {FACTOR_ONE}; else {knockdown.source}")

    def equation(self, state: State, classical: str) -> str:
        """The row's equation where factor times classical reads `classical`."""
        if not self.governs(state):
            return classical
        which = "" if all(self.caps) else "axial: " if self.caps[0] else "bending: "
        text = f"{which}factor 1 times the nonlinear prebuckled load ({self._words}) + p R/2"
        return text if all(self.caps) else f"{text}; else {classical}"

    def beside(self, state: State, knockdown: Knockdown) -> tuple[Beside, ...]:
        """Both loads, with what they are."""
        if self.line_load is None:
            return ()
        relief = f"; with p R/2 of closed ends {(self.line_load + state.relief) / 1e3:.1f} kN/m" if state.relief else ""
        pairs = (("axial compression", knockdown.axial), ("bending", knockdown.bending))
        return (
            Beside(
                "nonlinear prebuckled load, factor 1",
                self.line_load,
                f"{self._words}; net load of the wall at p = {self.pressure / 1e3:g} kPa{relief}",
            ),
            *(
                Beside(f"factor times classical, {what}", net, f"factor {factor:.3g}")
                for (what, factor), net in zip(pairs, self.classical, strict=True)
            ),
        )

    def check(self, state: State) -> tuple[Check, ...]:
        """What must be said: a warning where it governs, is not available or was not asked for."""
        if self.status == "not needed":
            return ()
        where = state.load.name
        if self.status == "not available":
            text = f"{MODE}: the nonlinear prebuckled load is not available: {self.reason}"
            return (Check("edge-bending", "warned", text, where, SOURCE),)
        if self.status == "not checked":
            text = f"{MODE}: EDGE BENDING NOT CHECKED: the nonlinear prebuckled load was not asked for"
            return (Check("edge-bending", "warned", text, where, SOURCE),)
        from ..compare.edges import path_words  # as in `_solved`

        lower = min(self.classical)
        path = "" if self.load is None else f"; {path_words(self.load)}"
        figures = f"the nonlinear prebuckled load, {self.line_load / 1e3:.1f} kN/m ({self._words}), factor 1,"
        if self.governs(state):
            reason = (
                "the bending near the edges loses the perfect barrel first"
                if self.status == "computed"
                else "it is known to hold up to there only"
            )
            text = f"{MODE}: {figures} is below factor times classical, {lower / 1e3:.1f} kN/m, and counts: {reason}"
            text += path
            return (Check("edge-bending", "warned", text, where, SOURCE),)
        text = f"{MODE}: {figures} does not limit factor times classical, {lower / 1e3:.1f} kN/m{path}"
        return (Check("edge-bending", "passed", text, where, SOURCE),)

    def judged(self, row: MarginRow) -> MarginRow:
        """The row, unknown where the nonlinear prebuckled load should count and is not there."""
        if self.status != "not available" or row.status != "holds":
            return row
        note = (
            f"withheld: edge bending counts for this wall and its nonlinear prebuckled load is not available "
            f"({self.reason}); factor times classical alone would give a margin of {row.margin:+.3f}"
        )
        return replace(row, status="withheld", capacity=None, margin=None, net_margin=None, net_note="", note=note)

    @property
    def _words(self) -> str:
        load = self.load
        ended = f"n = {load.n}" if self.status == "computed" else "nothing lost up to there"
        return f"Ritz, {load.theory}, {load.edges}, load at {load.load_position}, {ended}"


def edge_bending(state: State, nets: tuple[float, float]) -> EdgeBending:
    """The nonlinear prebuckled load of a load case's wall, pressure and temperature, each state solved once.

    Parameters
    ----------
    state : State
    nets : tuple of float
        Net capacities of axial compression and bending by factor times classical [N/m].
    """
    if not needed(state):
        return EdgeBending("not needed")
    if not state.engines.edge_bending:
        return EdgeBending("not checked", classical=nets)
    found, load = _state(state, state.load.p_min), state.load
    if not state.case.barrel.closed and load.p_max > load.p_min and found.line_load is not None:
        pressed = _state(state, load.p_max)
        # a wall that the pressure alone takes beyond yield is judged by its strength
        if "pressure-beyond-yield" not in pressed.reason and not found.line_load <= (pressed.line_load or 0.0):
            found = pressed
    return replace(found, classical=nets)


def _state(state: State, pressure: float) -> EdgeBending:
    key = ("nonlinear", state.temperature, pressure)
    return state.engines.kept(key, lambda: _solved(state, pressure))


def _solved(state: State, pressure: float) -> EdgeBending:
    from ..compare import refuse_yield, ritz_barrel
    from ..engines import ritz  # the engine and its sparse solver load only when they are needed
    from .edges import case_effect, named

    try:
        refuse_yield(state.case, state.wall, replace(state.load, pressure_minimum=pressure))
        model = ritz_barrel(state.case, state.wall, state.temperature)
        height = load_height(state.case.barrel, state.wall)
        at = dict(pressure=pressure, z_load=height, each_harmonic=False)
        new = state.case.barrel.edges is None or pressure != state.load.p_min
        found = ritz.nonlinear(model, **at) if new else case_effect(state).nonlinear
        if found.n == 1 and not _drifts(state):
            # the barrel as a column has its own row
            found, new = ritz.nonlinear(model, **at, tilt=False), True
    except ShellbuckError as error:
        return EdgeBending("not available", reason=error.problems[0].sentence())
    except (ArithmeticError, ValueError, np.linalg.LinAlgError) as error:
        return EdgeBending("not available", reason=f"the engine failed: {type(error).__name__}: {error}"[:300])
    status = "computed" if found.n is not None else "followed"
    return EdgeBending(status, found.line_load, named(model, found), new, pressure=pressure)


def _drifts(state: State) -> bool:
    """Whether an end is free to move sideways: then n = 1 is no pinned column and stays in."""
    barrel = state.case.barrel
    return "FREE" in (barrel.edges, barrel.edges_far)


def with_edge_bending(verdict: Verdict, state: State, cases: tuple[LoadCaseResult, ...]) -> Verdict:
    """The verdict with what it says about edge bending: whether it counts, and what was taken for granted.

    `state` is that of any load case: whether edges count does not depend on it.
    """
    if not needed(state):
        return verdict
    statuses = {load.edge_bending for load in cases} - {""}
    missing = statuses & {"not checked", "not available"}
    unsaid, barrel, text, one_sided = [], state.case.barrel, verdict.text, bool(eccentric(state.wall))
    if barrel.load_height is None and one_sided:
        unsaid.append("the axial load enters at the skin middle")
    if barrel.edges is None and one_sided:
        unsaid.append("the edges are SS3")
    assumed = " and ".join(unsaid)
    if missing:
        text += "; EDGE BENDING NOT CHECKED"
    if assumed:
        text += f"; assumed, because the case does not say it: {assumed}"
    how = "not checked" if missing else "checked" if statuses else "not needed"
    return replace(verdict, text=text, edge_bending=how, assumed=assumed)
