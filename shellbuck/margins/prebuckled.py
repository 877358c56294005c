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

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from ..core.errors import ShellbuckError
from ..core.records import Beside, Check, ComponentUse, EdgeBendingStatus, Knockdown, Load, LoadCaseResult, Verdict
from ..model.walls import bends, eccentric
from .components import AXIAL, BENDING
from .engines import Mask, Number
from .post_buckled import post_buckled_skin, stable_wall
from .state import State

MODE = "general instability"
SOURCE = "own Rayleigh-Ritz engine; factor 1 is an own rule"
FACTOR_ONE = "factor 1 on the nonlinear prebuckled load (own rule)"

STATUSES_KEPT = "edge bending"
"""Where a state of many load cases keeps their statuses (N,)."""

CLEAR_BY = 0.1
"""Of many load cases: where the nonlinear prebuckled loads at a lower and at a higher pressure, less this share, lie
above factor times classical, it does not limit in between (own rule). Of loads that are linear in the pressure mode by
mode the lowest never falls below the lesser of two ends; the nonlinear state departs from that by a few per cent where
tried. What is left of buckled skin is told apart in the same way, at one pair of pressures: twelve shares of it on each
of 30 eccentric walls, short clamped ones among them, had no load below the lesser of two neighbours."""


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
    classical: Mapping[str, float] = field(default_factory=dict)
    """Net capacities by factor times classical, by load component [N/m]."""
    missing: Mask = False
    """Of many load cases: where it is not available."""

    @property
    def caps(self) -> dict[str, bool]:
        """Whether it lies below factor times classical, by load component."""
        return {key: self.line_load is not None and self.line_load < net for key, net in self.classical.items()}

    def governs(self, state: State) -> bool:
        """Whether it sets the capacity of a load that the load case has."""
        demand = {AXIAL: state.N_a, BENDING: state.N_b}
        return any(capped and demand[key] > 0 for key, capped in self.caps.items())

    def factors(self, knockdown: Knockdown) -> Knockdown:
        """The knockdown of the row: 1 for what rests on the nonlinear prebuckled load."""
        caps = self.caps
        if not any(caps.values()):
            return knockdown
        factors = tuple((key, 1.0 if caps[key] else factor) for key, factor in knockdown.factors)
        what = " and ".join(key for key, capped in caps.items() if capped)
        return replace(knockdown, factors=factors, source=f"{what}: {FACTOR_ONE}; else {knockdown.source}")

    def equation(self, state: State, classical: str) -> str:
        """The row's equation where factor times classical reads `classical`."""
        if not self.governs(state):
            return classical
        every = all(self.caps.values())
        which = "" if every else "".join(f"{key}: " for key, capped in self.caps.items() if capped)
        text = f"{which}factor 1 times the nonlinear prebuckled load ({self._words}) + p R/2"
        return text if every else f"{text}; else {classical}"

    def beside(self, state: State, knockdown: Knockdown) -> tuple[Beside, ...]:
        """Both loads, with what they are."""
        if self.line_load is None:
            return ()
        relief = f"; with p R/2 of closed ends {(self.line_load + state.relief) / 1e3:.1f} kN/m" if state.relief else ""
        own = Beside(
            "nonlinear prebuckled load, factor 1",
            self.line_load,
            f"{self._words}; net load of the wall at p = {self.pressure / 1e3:g} kPa{relief}",
        )
        named = {AXIAL: "axial compression", BENDING: "bending"}
        return own, *(
            Beside(f"factor times classical, {named[key]}", float(self.classical[key]), f"factor {factor:.3g}")
            for key, factor in knockdown.factors
        )

    def check(self, state: State) -> tuple[Check, ...]:
        """What must be said: a warning where it governs, is not available or was not asked for."""
        if self.status in ("", "not needed"):
            return ()
        where = state.load.name
        if self.status == "not available":
            text = f"{MODE}: the nonlinear prebuckled load is not available: {self.reason}"
            return (Check("edge-bending", "warned", text, where, SOURCE),)
        if self.status == "not checked":
            text = f"{MODE}: EDGE BENDING NOT CHECKED: the nonlinear prebuckled load was not asked for"
            return (Check("edge-bending", "warned", text, where, SOURCE),)
        from ..compare.edges import path_words  # as in `_solved`

        lower = min(self.classical.values())
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

    def withholds(self, margin: Number) -> Mask:
        """Where a margin cannot be given: the nonlinear prebuckled load should count and is not there."""
        return np.asarray(margin >= 0) & (self.missing | (self.status == "not available"))

    def judged(self, fields: dict[str, Any], margin: Number) -> dict[str, Any]:
        """Fields of the row, without a capacity where it is withheld."""
        if not self.withholds(margin):
            return fields
        note = (
            f"withheld: edge bending counts for this wall and its nonlinear prebuckled load is not available "
            f"({self.reason}); factor times classical alone would give a margin of {margin:+.3f}"
        )
        uses = tuple(ComponentUse(use.component, use.knockdown) for use in fields["components"])
        return fields | dict(capacity=None, net_margin=None, net_note="", note=note, components=uses)

    @property
    def _words(self) -> str:
        load = self.load
        ended = f"n = {load.n}" if self.status == "computed" else "nothing lost up to there"
        return f"Ritz, {load.theory}, {load.edges}, load at {load.load_position}, {ended}"


def edge_bending(state: State, nets: Mapping[str, Number], counts: bool) -> EdgeBending:
    """The nonlinear prebuckled load of a load case's wall, pressure and temperature, each state solved once.

    Parameters
    ----------
    state : State
        Of many designs it is left out, see `Batch.edge_bending`.
    nets : mapping of str to float or numpy.ndarray
        Net capacities by factor times classical, by load component [N/m].
    counts : bool
        Whether a general margin rests on it.
    """
    if state.engines.alone is not None:
        return _of_load_cases(state, nets)
    if not (counts and state.engines.single):
        return EdgeBending("")
    if not needed(state):
        return EdgeBending("not needed", classical=nets)
    if not state.engines.edge_bending:
        return EdgeBending("not checked", classical=nets)
    return replace(_found(state), classical=nets)


def _found(state: State) -> EdgeBending:
    """The nonlinear prebuckled load that counts for a load case: of open ends the lower of both pressures."""
    found, load = _state(state, state.load.p_min), state.load
    if not state.case.barrel.closed and load.p_max > load.p_min and found.line_load is not None:
        pressed = _state(state, load.p_max)
        # a wall that the pressure alone takes beyond yield is judged by its strength
        if "pressure-beyond-yield" not in pressed.reason and not found.line_load <= (pressed.line_load or 0.0):
            found = pressed
    return found


def _of_load_cases(state: State, nets: Mapping[str, Number]) -> EdgeBending:
    """The nonlinear prebuckled load of many load cases of one design, solved for those that it may limit."""
    engines, size = state.engines, state.engines.size
    statuses = np.full(size, "", dtype=object)
    state.kept[STATUSES_KEPT] = statuses
    cap = np.maximum.reduce([np.broadcast_to(N, (size,)) for N in nets.values()])
    # a net load that is no number has no factor; the words of one load case know edge bending only where it counts
    counts = np.nonzero(np.broadcast_to(state.compressed, (size,)) & np.isfinite(cap))[0]
    bent = np.broadcast_to(bends(state.case.barrel, state.wall), (size,))
    statuses[counts] = "not needed"
    counts = counts[bent[counts]]
    if not engines.edge_bending:
        statuses[counts] = "not checked"
        return EdgeBending("", classical=nets)
    lines, missing = np.full(size, np.inf), np.zeros(size, dtype=bool)
    alone = {i: State(state.case, engines.loads[i], engines.alone) for i in counts}
    found = post_buckled_skin(state)
    acts, phi = (np.broadcast_to(x, (size,)) for x in ((False, 1.0) if found is None else (found.acts, found.phi)))
    alike: dict[tuple, list[int]] = {}
    for i in counts:
        load = alone[i].load
        alike.setdefault((alone[i].temperature, *((load.p_min, load.p_max) if acts[i] else ())), []).append(i)
    for key, group in alike.items():
        _settle(group, alone, cap, lines, missing, statuses, phi if key[1:] else None)
    return EdgeBending("", lines, classical=nets, missing=missing)


def _settle(
    at: list[int],
    states: Mapping[int, State],
    cap: np.ndarray,
    lines: np.ndarray,
    missing: np.ndarray,
    words: np.ndarray,
    phi: np.ndarray | None = None,
) -> None:
    """Line loads of load cases of one temperature: infinite where both neighbours are well above `cap`.

    Neighbours in pressure; where `phi` is given, in what is left of buckled skin, each a wall of its own at one pair of
    pressures.
    """
    soft = phi is not None
    order = phi if soft else {i: states[i].load.p_min for i in at}
    # of open ends the lower of two pressures counts, which no pressure in between tells
    between = soft or states[at[0]].case.barrel.closed
    known: dict[Any, EdgeBending] = {}

    def found(i: int) -> EdgeBending:
        key = i if soft else (states[i].load.p_min, states[i].load.p_max)
        if key not in known:
            known[key] = _found(states[i])
        return known[key]

    at = sorted(at, key=lambda i: order[i])
    ends = [at[0], at[-1]]
    solved = {i: found(i) for i in ends}
    for i in at:
        if between and not soft and order[i] in (order[at[0]], order[at[-1]]):
            solved[i] = found(i)
    spans = [(0, len(at) - 1)] if len(at) > 2 else []
    while spans:
        low, high = spans.pop()
        inner = [at[k] for k in range(low + 1, high) if at[k] not in solved]
        if not inner:
            continue
        loads = [solved[at[k]].line_load for k in (low, high)]
        bound = 0.0 if None in loads or not between else (1 - CLEAR_BY) * min(loads)
        if np.max(cap[inner]) <= bound:
            words[inner] = "not limiting"
            continue
        middle = (low + high) // 2
        if bound and loads[0] <= loads[1]:  # as far as the lower end reaches, if that helps
            reached = np.maximum.accumulate(cap[at[low + 1 : high]]) <= bound
            middle = max(low + 1, min(low + int(reached.sum()) + 1, high - 1))
        solved.setdefault(at[middle], found(at[middle]))
        spans += [(low, middle), (middle, high)]
    for i, one in solved.items():
        words[i], missing[i] = one.status, one.line_load is None
        lines[i] = np.inf if one.line_load is None else one.line_load


def _state(state: State, pressure: float) -> EdgeBending:
    key = ("nonlinear", state.temperature, pressure, id(stable_wall(state)))
    return state.engines.kept(key, lambda: _solved(state, pressure))


def _solved(state: State, pressure: float) -> EdgeBending:
    from ..compare import problem_of, refuse_yield  # the engine and its sparse solver load only when they are needed
    from ..engines.problem import Effort
    from ..engines.registry import engine
    from .edges import case_effect, named

    wall = stable_wall(state)
    try:
        refuse_yield(state.case, state.wall, replace(state.load, pressure_minimum=pressure))
        of = dict(pressure=pressure, prestress="edge bending", effort=Effort(each_harmonic=False))
        problem, path = problem_of(state.case, wall, state.temperature, **of), engine("Ritz with edge bending")
        whole = wall is state.wall and state.case.barrel.edges is not None
        new = not whole or pressure != state.load.p_min
        found = path.ready(problem)().load if new else case_effect(state).nonlinear
        if found.n == 1 and not _drifts(state):
            # the barrel as a column has its own row
            found, new = path.ready(replace(problem, tilt=False))().load, True
    except ShellbuckError as error:
        return EdgeBending("not available", reason=error.problems[0].sentence())
    except (ArithmeticError, ValueError, np.linalg.LinAlgError) as error:
        return EdgeBending("not available", reason=f"the engine failed: {type(error).__name__}: {error}"[:300])
    status = "computed" if found.n is not None else "followed"
    return EdgeBending(status, found.line_load, named(problem, found), new, pressure=pressure)


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
