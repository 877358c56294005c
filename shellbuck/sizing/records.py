"""Results of a sizing: frozen records, SI, ready for JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ..core.records import Check, Verdict

Status = Literal["found", "none feasible", "stopped"]


@dataclass(frozen=True)
class Dimension:
    """One chosen dimension: its optimum, its value in the sized case, its range, and at which end of it it lies.

    `price` is the mass that 0.1 mm of the limit costs [kg/m^2], None inside the range and for counts.
    """

    name: str
    words: str
    value: float
    rounded: float
    low: float
    high: float
    whole: bool
    at: Literal["", "low", "high"]
    price: float | None = None


@dataclass(frozen=True)
class Active:
    """An active row or rule of the shop: its slack (log of what it has over what it needs) and
    `price`, the mass that one per cent more of it would cost [kg/m^2]."""

    words: str
    rule: bool
    slack: float
    price: float


@dataclass(frozen=True)
class SeedRun:
    """One search: its seed, its mass per area [kg/m^2] (None without a design), its values and its cost."""

    seed: int
    mass_per_area: float | None
    values: tuple[tuple[str, float], ...]
    evaluations: int


@dataclass(frozen=True)
class EngineLoad:
    """A net line load of the perfect sized case by one engine [N/m]."""

    engine: str
    load_case: str
    pressure: float
    line_load: float
    over_closed_form: float


@dataclass(frozen=True)
class RowOf:
    """A margin row of the sized case, in short."""

    load_case: str
    mode: str
    status: str
    margin: float | None


@dataclass(frozen=True)
class Production:
    """What the sized case costs beside mass. None where it does not apply or no input was given.

    Parameters
    ----------
    mass_per_area, mass, mean_thickness : float
        [kg/m^2], [kg], [m].
    line_load, load_index : float
        Largest factored design line load N [N/m], and N/R [Pa].
    specific_load : float
        N/(rho t_bar) [N m/kg].
    local_to_general : float or None
        Smallest local elastic load over the general one, before any factor.
    pressure_gain : float or None
        Computed load at minimum pressure over that without, largest over the load cases.
    equivalent_ratio : float
        t_e/t.
    raw_mass, chip_mass, buy_to_fly, chip_fraction : float
        Raw metal and chips [kg], raw over finished, share of the raw metal that becomes chips.
    milled_volume : float
        [m^3].
    corner_mass : float
        Metal that the cutter leaves in the corners of the pockets [kg]; it is in the mass.
    pockets, parts : int
        Milled pockets; parts of the barrel.
    weld_length, joint_length : float
        Welds between panels, ends left out; joints of separate stiffeners with the skin [m].
    cost : float or None
        In the user's currency.
    heat : float or None
        Conducted along the wall [W].
    """

    mass_per_area: float
    mass: float
    mean_thickness: float
    line_load: float
    load_index: float
    specific_load: float
    local_to_general: float | None
    pressure_gain: float | None
    equivalent_ratio: float
    raw_mass: float
    chip_mass: float
    buy_to_fly: float
    chip_fraction: float
    milled_volume: float
    corner_mass: float
    pockets: int
    parts: int
    weld_length: float
    joint_length: float
    cost: float | None
    heat: float | None


@dataclass(frozen=True)
class Sized:
    """The lightest wall of one pattern in one metal.

    `mass_per_area` is that of the optimum, `production` those of the sized case, whose dimensions are rounded up.
    `price_line_load` is the mass that one more N/mm of axial compression in every load case costs [kg/m^2].
    `attempt` names, when none is feasible, the rows that the nearest design fails. `seeds_agree` is None of one
    seed.
    """

    pattern: str
    title: str
    material: str
    status: Status
    words: tuple[str, ...]
    mass_per_area: float | None
    relaxed_mass_per_area: float | None
    dimensions: tuple[Dimension, ...]
    active: tuple[Active, ...]
    price_line_load: float | None
    threshold: str
    seeds: tuple[SeedRun, ...]
    seeds_agree: bool | None
    attempt: tuple[str, ...]
    production: Production | None
    verdict: Verdict | None
    margins: tuple[RowOf, ...]
    warnings: tuple[Check, ...]
    engines: tuple[EngineLoad, ...]
    case_text: str


@dataclass(frozen=True)
class Entry:
    """One pattern in one metal: its sizing, and the masses per area [kg/m^2] beside it: with knockdown 1 (`perfect`),
    and with no credit for pressure (`unpressed`; None too where the pattern takes none). None where none is feasible.

    `metal` is the short word for the material that tells it from the others of the comparison."""

    pattern: str
    material: str
    sized: Sized
    perfect: float | None
    unpressed: float | None
    made: str
    metal: str


@dataclass(frozen=True)
class NotSized:
    """A pattern in a metal that could not be sized, and why."""

    pattern: str
    material: str
    reason: str


@dataclass(frozen=True)
class Answer:
    """The comparison in words."""

    answer: tuple[str, ...]
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    changes: tuple[str, ...]
    policy_picks: bool


@dataclass(frozen=True)
class Comparison:
    """Patterns side by side, the lightest first. `asked` counts the jobs; fewer are there when it was stopped.

    `trouble` says why it ended before all were finished where nobody stopped it.
    """

    entries: tuple[Entry, ...]
    missing: tuple[NotSized, ...]
    answer: Answer
    complete: bool
    asked: int
    trouble: str = ""
