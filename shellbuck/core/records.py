"""What the assessment hands over, and what engines do (`engine_records`): frozen records, SI, ready for JSON."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from .engine_records import (
    Agreement,
    Certificate,
    Finding,
    Load,
    MeshMode,
    MeshRun,
    Mode,
    ModeShape,
    PathEnd,
    PrebuckledShape,
)

__all__ = [
    "Agreement",
    "Beside",
    "Certificate",
    "Check",
    "Comparison",
    "Finding",
    "Knockdown",
    "Load",
    "LoadCaseResult",
    "MarginRow",
    "MeshMode",
    "MeshRun",
    "Mode",
    "ModeBasis",
    "ModeShape",
    "PathEnd",
    "PrebuckledShape",
    "Result",
    "Status",
    "Verdict",
    "WallFigures",
    "Worked",
    "shown_margin",
]


@dataclass(frozen=True)
class Worked:
    """One evaluated formula: `formula` is its key in the handbook, `inputs` the numbers put in (SI); `symbol` is what
    the value is called here, empty for the formula's own."""

    formula: str
    inputs: tuple[tuple[str, float], ...]
    value: float
    symbol: str = ""


@dataclass(frozen=True)
class Beside:
    """A figure shown beside the official one, never used for the verdict."""

    name: str
    line_load: float | None
    note: str = ""


@dataclass(frozen=True)
class ComponentLoad:
    """One load component of a load case: what is applied [`unit`], external loads without any pressure thrust, and its
    limit line load [N/m]: at the peak fibre, compression positive, of what acts `along` the axis, the shear flow of
    what acts in "shear", the hoop line load of an external "pressure"."""

    component: str
    applied: float
    unit: Literal["N", "N m", "Pa"]
    line_load: float
    acts: Literal["along", "shear", "pressure"] = "along"


@dataclass(frozen=True)
class ComponentUse:
    """What one load component takes of a row's capacity.

    `demand` is its limit value and `capacity` its allowable alone, in the quantity of the row; `knockdown` is the
    factor in that capacity. `ratio` is the share of the interaction sum at the factored loads: the ratios of a row add
    up to 1/(1 + margin). 0 for a tension, which is held fixed; None where the row gives none.
    """

    component: str
    knockdown: float | None = None
    demand: float | None = None
    capacity: float | None = None
    ratio: float | None = None


@dataclass(frozen=True)
class ModeBasis:
    """What a stability or local margin rests on: the very mode, or what stands there in place of one.

    `kind` is "mode" for a computed mode of barrel or bay, "equation" for a formula of the standard that gives a load
    and no mode, "path" for a nonlinear path on which nothing was lost, "column" for the tube as a beam, "plate" for a
    field between ribs or a rib, which `field` describes.
    `load` names that load among the `loads` of the load case; empty where it is not one of them. `line_load` [N/m] is
    the load before any factor and before the relief p R/2; `temperature` [K] and `pressure` [Pa] are those of its state
    (pressure 0: no hoop tension in it, whatever the load case has). `region` has the length `length` [m]; `m`
    half-waves lie along it, `n` full waves around. `limited` says what sets the capacity in place of the mode; empty
    where the mode does. `beside` names the load whose mode is shown for comparison where `kind` has none of its own.
    `component` is empty for axial loads, else the load component that takes the largest share of the row; `line_load`
    is then its shear flow or hoop line load.
    """

    kind: Literal["mode", "equation", "path", "column", "plate"]
    load_case: str
    load: str
    temperature: float
    pressure: float
    theory: str
    edges: str
    prestress: str
    line_load: float
    region: Literal["barrel", "bay between rings", "field between ribs", "rib"]
    length: float | None = None
    m: int | None = None
    n: int | None = None
    field: str = ""
    limited: str = ""
    beside: str = ""
    component: str = ""


Status = Literal["holds", "fails", "refused", "withheld", "not compressed", "not covered", "buckles, allowed"]
"""Of a row. "buckles, allowed" is a skin field that buckles below the ultimate line load where the case allows it: it
has no margin, and the other rows count what it sheds."""

UNKNOWN: tuple[Status, ...] = ("refused", "withheld", "not covered")
"""Statuses of rows about which nothing is known: a design that has one is never counted as held, and its smallest
margin is not known."""


@dataclass(frozen=True)
class MarginRow:
    """One load case against one failure mode.

    `margin` is the official (total) margin, `net_margin` the net form beside it. `demand` is the limit value of
    the line load or shear flow [N/m], the axial force [N], the pressure or the stress [Pa], `capacity` its allowable;
    `quantity` says which.
    `key` names the failure mode, of which `mode` is the title of this row. `components` divides both by load component.
    `basis` is what the capacity rests on; None for strength and for rows without a capacity.
    """

    load_case: str
    mode: str
    kind: Literal["stability", "local", "strength"]
    status: Status
    quantity: Literal["line load", "shear flow", "pressure", "force", "stress", "strain"]
    temperature: float
    factor: float
    demand: float | None
    capacity: float | None
    margin: float | None
    net_margin: float | None = None
    net_note: str = ""
    components: tuple[ComponentUse, ...] = ()
    knockdown_source: str = ""
    equation: str = ""
    source: str = ""
    note: str = ""
    worked: tuple[Worked, ...] = ()
    beside: tuple[Beside, ...] = ()
    basis: ModeBasis | None = None
    key: str = ""

    def knockdown(self, component: str) -> float | None:
        """Knockdown factor of a load component; None without one."""
        return next((use.knockdown for use in self.components if use.component == component), None)


@dataclass(frozen=True)
class Check:
    """One line of the validity list; `headline` is what of it the verdict repeats, empty for most."""

    code: str
    status: Literal["passed", "warned", "refused"]
    text: str
    where: str = ""
    source: str = ""
    headline: str = ""


@dataclass(frozen=True)
class Knockdown:
    """Knockdown factors of one mode by load component, with the rule that gave them."""

    mode: str
    factors: tuple[tuple[str, float], ...]
    source: str
    worked: tuple[Worked, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """A second opinion or a screen beside the margins: never in the verdict, a sizing or a count of what holds.

    `outcome` says in a word how it stands: "above" where its capacity exceeds its demand, "below" where not, "for
    scale" for a figure that is not meant for this wall, "not compressed", "outside its scope" without a figure for the
    reason in `note`. `demand` is the factored value of the `quantity` that it is compared with, `capacity` its own;
    `excess` is capacity over demand less 1, None without both.
    """

    load_case: str
    key: str
    title: str
    outcome: Literal["above", "below", "for scale", "not compressed", "outside its scope"]
    quantity: Literal["line load", "shear flow", "pressure", "force", "stress", "strain", "bending stiffness of a ring"]
    demand: float | None = None
    capacity: float | None = None
    excess: float | None = None
    equation: str = ""
    source: str = ""
    note: str = ""
    worked: tuple[Worked, ...] = ()


EdgeBendingStatus = Literal["", "not needed", "computed", "followed", "not limiting", "not available", "not checked"]


@dataclass(frozen=True)
class LoadCaseResult:
    """All that was found for one load case.

    `components` are its loads by component; `relief` [N/m] is p R/2 at the minimum pressure for closed ends.
    `pressure_gain` is the computed stabilised load over the load at zero pressure (stiffened walls); `warnings` are
    the checks of this load case that did not pass. `edge_bending` says whether the nonlinear prebuckled load of an
    eccentric wall stands behind its general margin: "computed", "followed" (nothing lost up to the load that counts),
    "not limiting" (well above at the pressures next to it), "not available", "not checked"; empty where no general load
    was worked out. Without `in_full` it is one of many load cases that are given by their margins alone: its rows have
    no demand, capacity or worked lines, and it has no loads.
    """

    name: str
    temperature: float
    components: tuple[ComponentLoad, ...]
    pressure_minimum: float
    pressure_maximum: float
    relief: float
    ultimate_factor: float
    yield_factor: float
    factor_source: str
    pressure_gain: float | None
    loads: tuple[Load, ...]
    knockdowns: tuple[Knockdown, ...]
    margins: tuple[MarginRow, ...]
    warnings: tuple[Check, ...]
    edge_bending: EdgeBendingStatus = ""
    comparisons: tuple[Comparison, ...] = ()
    """Second opinions and screens beside the margins."""
    in_full: bool = True
    buckling_factor: float | None = None
    """Factor of safety on buckling."""

    def component(self, name: str) -> ComponentLoad:
        """Its load of a component."""
        return next(load for load in self.components if load.component == name)

    @property
    def line_load(self) -> float:
        """Limit line load along the axis at the peak fibre [N/m]."""
        return sum(load.line_load for load in self.components if load.acts == "along")


@dataclass(frozen=True)
class WallFigures:
    """Smeared stiffness at stability thickness and `temperature` [K], mass at nominal thickness.

    `A` [N/m], `B` [N], `D` [N m] about the skin middle; lengths [m], masses [kg], [kg/m^2].
    """

    kind: str
    temperature: float
    middle_radius: float
    length: float
    skin_thickness: float | None
    stability_thickness: float | None
    A: tuple[tuple[float, ...], ...]
    B: tuple[tuple[float, ...], ...]
    D: tuple[tuple[float, ...], ...]
    equivalent_thickness: float
    mass_per_area: float
    mass: float
    mean_thickness: float | None
    raw_to_finished: float | None
    rib_families: tuple[str, ...] = ()
    """Rib families in the order in which the worked lines number them."""
    worked: tuple[Worked, ...] = ()


@dataclass(frozen=True)
class Verdict:
    """The outcome in words. `exit_status`: 0 all margins hold, 1 a margin is negative, 2 refused, 3 incomplete.

    `smallest_margin` and where it governs are None where no row has a margin, and where a row is unknown (`UNKNOWN`):
    it could be the smallest.
    `modes_checked` counts the failure modes with an answer in every load case, `not_checked` names the others,
    `checked_elsewhere` those that the case says were checked outside, with the reference; `withheld` rows and
    `warnings` of the validity list are counted. Withheld and unchecked modes never count as held.
    `edge_bending` says whether the general margins count the bending near the edges: "not needed" for walls that axial
    load does not bend, else "checked", or "not checked" where a load case lacks it. `assumed` names what the verdict
    takes for granted because the case does not say it.
    """

    exit_status: int
    word: Literal["holds", "does not hold", "refused", "incomplete"]
    text: str
    smallest_margin: float | None
    governing_load_case: str | None
    governing_mode: str | None
    modes_checked: int = 0
    not_checked: tuple[str, ...] = ()
    checked_elsewhere: tuple[tuple[str, str], ...] = ()
    withheld: int = 0
    warnings: int = 0
    edge_bending: Literal["not needed", "checked", "not checked"] = "not needed"
    assumed: str = ""


@dataclass(frozen=True)
class Result:
    """The whole answer to a case."""

    verdict: Verdict
    wall: WallFigures
    load_cases: tuple[LoadCaseResult, ...]
    validity: tuple[Check, ...]
    departures: tuple[tuple[str, str], ...]
    not_covered: tuple[str, ...]
    cautions: tuple[str, ...]
    agreements: tuple[Agreement, ...] = ()

    @property
    def margins(self) -> tuple[MarginRow, ...]:
        """Every margin row, smallest first; rows without a margin last."""
        rows = [row for case in self.load_cases for row in case.margins]
        return tuple(sorted(rows, key=lambda row: (row.margin is None, row.margin or 0.0)))


def shown_margin(margin: float) -> str:
    """A margin as it is printed: signed, two decimals, rounded down.

    Examples
    --------
    >>> shown_margin(0.3), shown_margin(0.3099), shown_margin(-0.001), shown_margin(250.0)
    ('+0.30', '+0.30', '-0.01', '> +99')
    """
    if margin > 99:
        return "> +99"
    # the tiny term keeps 0.30 from printing as 0.29 for the want of one bit
    hundredths = math.floor(margin * 100 + 1e-9)
    if margin < 0:
        hundredths = min(hundredths, -1)
    return f"{'-' if hundredths < 0 else '+'}{abs(hundredths) / 100:.2f}"
