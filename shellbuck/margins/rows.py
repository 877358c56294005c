"""From capacities to a margin row: the one place where a margin is worked out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..core.records import Beside, Check, Knockdown, Load, MarginRow, ModeBasis, Worked
from ..handbook import interaction, work
from .state import LEAST_CAPACITY, State

NO_COMPRESSION = "the wall carries no compression"
LOW_WAVES = 4
"""Up to this many waves around Donnell's theory is poor (SP-8007 Rev 2, 4.1.2.1)."""


@dataclass(frozen=True)
class PairCapacity:
    """Capacities of axial compression and of bending [N/m]: with pressure relief (total) and without (net)."""

    axial: float
    bending: float
    axial_net: float
    bending_net: float

    @classmethod
    def relieved(cls, state: State, axial_net: float, bending_net: float) -> PairCapacity:
        """Net capacities with p R/2 on top; never below `LEAST_CAPACITY`, so that a ratio exists."""
        total = (max(net + state.relief, LEAST_CAPACITY) for net in (axial_net, bending_net))
        return cls(*total, axial_net, bending_net)


def mixed_net(state: State, capacity: PairCapacity) -> float:
    """Net line load that the load case's own mix of axial compression and bending reaches [N/m]."""
    if state.N_a <= 0 or not state.N_b:
        return capacity.axial_net if state.N_a > 0 else capacity.bending_net
    return float(interaction.pair_capacity(state.N_a, state.N_b, capacity.axial_net, capacity.bending_net))


def blank_row(state: State, mode: str, kind: str, **more) -> MarginRow:
    """A row with the load case's own data filled in and no margin yet."""
    base = dict(
        load_case=state.load.name,
        mode=mode,
        kind=kind,
        status="not compressed",
        quantity="line load",
        temperature=state.temperature,
        factor=state.factor,
        demand=state.N_a + state.N_b,
        capacity=None,
        margin=None,
    )
    return MarginRow(**{**base, **more})


def verdict_of(margin: float) -> str:
    """Status word of a margin."""
    return "holds" if margin >= 0 else "fails"


def pair_row(
    state: State,
    mode: str,
    capacity: PairCapacity,
    knockdown: Knockdown,
    *,
    equation: str,
    source: str,
    worked: tuple[Worked, ...] = (),
    beside: tuple[Beside, ...] = (),
    note: str = "",
    basis: ModeBasis | None = None,
) -> MarginRow:
    """Margin of axial compression with bending, in total and in net form; for a wall that is compressed."""
    row = blank_row(
        state,
        mode,
        "stability",
        knockdown_axial=knockdown.axial,
        knockdown_bending=knockdown.bending,
        knockdown_source=knockdown.source,
        equation=equation,
        source=source,
        beside=beside,
        note=note,
        basis=basis,
    )
    N_a, N_b, f_s = state.N_a, state.N_b, state.factor
    tension = max(-N_a, 0.0)
    if tension:
        total = work(interaction.tension_relieved_margin, b=capacity.bending, T=tension, f_s=f_s, N_b=N_b)
        shown, own = capacity.bending, capacity.bending_net
        steps = (total,)
    else:
        mix = dict(N_a=N_a, N_b=N_b)
        total = work(interaction.interaction_margin, **mix, a=capacity.axial, b=capacity.bending, f_s=f_s)
        pair = work(interaction.pair_capacity, **mix, a=capacity.axial_net, b=capacity.bending_net)
        shown = float(interaction.pair_capacity(N_a, N_b, capacity.axial, capacity.bending))
        own, steps = pair.value, (total, pair)
    compression = N_b if tension else N_a + N_b
    relief = tension + state.relief
    net_note, net = "", None
    if f_s * compression - relief > 0:
        net = work(interaction.net_margin, N_net=own, f_s=f_s, N=compression, relief=relief)
        steps += (net,)
    else:
        net_note = "net tension"
    return replace(
        row,
        status=verdict_of(total.value),
        capacity=shown,
        margin=total.value,
        net_margin=None if net is None else net.value,
        net_note=net_note,
        worked=(*worked, *state.worked_loads, *steps),
    )


def local_row(
    state: State,
    mode: str,
    N_local: float,
    *,
    equation: str,
    source: str,
    worked: tuple[Worked, ...],
    beside: tuple[Beside, ...] = (),
    note: str = "",
    basis: ModeBasis | None = None,
) -> MarginRow:
    """Margin of a local mode: factor 1, relief of closed ends only."""
    row = blank_row(
        state,
        mode,
        "local",
        equation=equation,
        source=source,
        beside=beside,
        note=note,
        worked=worked,
        basis=basis,
        knockdown_axial=1.0,
        knockdown_bending=1.0,
        knockdown_source="local modes carry factor 1 (own rule)",
    )
    if not state.compressed:
        return replace(row, note=_joined(note, NO_COMPRESSION), basis=None)
    tension = max(-state.N_a, 0.0)
    compression = state.N_b if tension else state.N_a + state.N_b
    relief = tension + state.relief
    total = work(interaction.local_margin, N_local=N_local, relief=relief, f_s=state.factor, N=compression)
    return replace(
        row,
        status=verdict_of(total.value),
        capacity=N_local + relief,
        margin=total.value,
        worked=(*worked, *state.worked_loads, total),
    )


def refused_row(state: State, mode: str, note: str, **more) -> MarginRow:
    """A stability row that has no margin, and why."""
    return blank_row(state, mode, "stability", status="refused", note=note, **more)


def uncompressed_row(state: State, mode: str) -> MarginRow:
    """A stability row of a wall that no load compresses."""
    return blank_row(state, mode, "stability", note=NO_COMPRESSION)


def waves_check(state: State, mode: str, load: Load) -> Check:
    """Whether few waves around govern, where Donnell's theory is poor."""
    if load.n > LOW_WAVES:
        text = f"{mode}: n = {load.n} governs, above {LOW_WAVES}"
        return Check("low-wave-number", "passed", text, state.load.name)
    return Check(
        "low-wave-number",
        "warned",
        f"{mode}: n = {load.n} governs; Donnell's theory is 10 to 40 % off for n up to {LOW_WAVES}, the Sanders load "
        "stands beside it and the lower counts",
        state.load.name,
        "NASA SP-8007 Rev 2, 4.1.2.1",
    )


def _joined(*notes: str) -> str:
    return "; ".join(n for n in notes if n)
