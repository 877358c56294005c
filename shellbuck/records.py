"""What engines and the assessment hand over: frozen records, SI, ready for JSON.

A buckling load is never a bare number: theory, edges, prestress, load position and the treatment of pressure are
part of it, and so is the statement why no lower mode was missed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from .samples import MeshSurface, Samples


@dataclass(frozen=True)
class Mode:
    """One buckling mode: `m` axial half-waves, `n` full waves around, line load [N/m]."""

    m: int
    n: int
    line_load: float


@dataclass(frozen=True)
class Certificate:
    """Why the lowest mode is the lowest.

    `m_searched` and `n_searched` are the largest wave numbers evaluated (every m from 1, every n from 0, less
    `n_left_out`). `proof` states the bound that excludes all others; `edge_ratio` is the lowest load on the rim
    of the searched range over the lowest load (above 1: the minimum lies inside).
    """

    m_searched: int
    n_searched: int
    n_left_out: tuple[int, ...]
    proof: str
    edge_ratio: float


@dataclass(frozen=True)
class ModeShape:
    """A mode along the axis: u = U cos, v = V sin, w = W cos (n theta), scaled so that the largest |w| is 1.

    `x` [m] stations; `u`, `v`, `w` amplitudes there; `twin_u`, `twin_v`, `twin_w` those of the family turned by a
    quarter wave (u = U sin, v = -V cos, w = W sin), empty where the two do not mix. `half_waves` is the axial count m
    whose sine series term holds the largest share `half_wave_share` of w^2. `energy` names shares of the strain energy,
    pressure included, that add up to 1.
    """

    n: int
    line_load: float
    half_waves: int
    half_wave_share: float
    energy: tuple[tuple[str, float], ...]
    x: tuple[float, ...]
    u: tuple[float, ...]
    v: tuple[float, ...]
    w: tuple[float, ...]
    twin_u: tuple[float, ...] = ()
    twin_v: tuple[float, ...] = ()
    twin_w: tuple[float, ...] = ()


@dataclass(frozen=True)
class PrebuckledShape:
    """The axisymmetric state at the critical load: stations x [m], outward deflection [m], hoop force [N/m]."""

    x: tuple[float, ...]
    deflection: tuple[float, ...]
    hoop_force: tuple[float, ...]


@dataclass(frozen=True)
class Load:
    """A buckling load with everything needed to compare it.

    `line_load` [N/m], compression positive. `definition` says what it is (net wall load or applied load).
    `lowest_by_n` is the lowest load of every harmonic that was solved; `shapes` are the lowest modes asked for;
    `resolution_error` is the relative change of the load under richer trial functions.
    """

    name: str
    line_load: float
    theory: str
    edges: str
    prestress: str
    load_position: str
    pressure_treatment: str
    definition: str
    source: str
    m: int | None = None
    n: int | None = None
    certificate: Certificate | None = None
    near_ties: tuple[Mode, ...] = ()
    near_tie_count: int = 0
    lowest_by_n: tuple[Mode, ...] = ()
    shapes: tuple[ModeShape, ...] = ()
    prebuckled: PrebuckledShape | None = None
    resolution_error: float | None = None


@dataclass(frozen=True)
class MeshRun:
    """One mesh that was solved: what it is in words, its size, elements per half-wave, the load factors found [N/m] and
    how many exist up to the last of them by inertia counts."""

    sentence: str
    unknowns: int
    per_half_wave: float
    line_loads: tuple[float, ...]
    counted: int


@dataclass(frozen=True)
class MeshMode:
    """A mode of a mesh: line load [N/m], leading (m, n) and its share of the skin's w^2, whether ribs move with the
    skin (`general`) or the skin moves between them, and shares of the strain energy by part.

    `content` lists the largest shares of w^2 by (m, n); `displacement` (k, 3), axial, hoop and radial, stands on the
    nodes of the agreement's surface, over the largest |w| of the skin; `symmetry` is that about the mirror planes.
    """

    line_load: float
    m: int
    n: int
    share: float
    general: bool
    energy: tuple[tuple[str, float], ...]
    content: tuple[tuple[int, int, float], ...] = ()
    displacement: Samples | None = None
    symmetry: Literal["even", "odd", "all"] = "all"


@dataclass(frozen=True)
class Agreement:
    """One load case by every engine at one prestress, and where and why they part.

    `loads` are those of the closed form as drawn and as meshed, Ritz, smeared mesh and mesh with ribs as they are,
    then, where asked for, of the last with the prestress of linear statics; the runs go from coarse to fine; `modes`
    are those of the finest mesh with ribs as they are. `likeness` is the subspace MAC of its lowest general modes with
    the lowest Ritz mode (cosine and sine), by w on the skin; None where their n differ.
    """

    load_case: str
    temperature: float
    pressure: float
    loads: tuple[Load, ...]
    smeared_runs: tuple[MeshRun, ...]
    discrete_runs: tuple[MeshRun, ...]
    modes: tuple[MeshMode, ...]
    words: tuple[str, ...]
    likeness: float | None = None
    surface: MeshSurface | None = None


@dataclass(frozen=True)
class Worked:
    """One evaluated formula: `formula` is its key in the handbook, `inputs` the numbers put in (SI)."""

    formula: str
    inputs: tuple[tuple[str, float], ...]
    value: float


@dataclass(frozen=True)
class Beside:
    """A figure shown beside the official one, never used for the verdict."""

    name: str
    line_load: float | None
    note: str = ""


@dataclass(frozen=True)
class ModeBasis:
    """What a stability or local margin rests on: the very mode, or what stands there in place of one.

    `kind` is "mode" for a computed mode of barrel or bay, "equation" for a formula of the standard that gives a load
    and no mode, "column" for the tube as a beam, "plate" for a field between ribs or a rib, which `field` describes.
    `load` names that load among the `loads` of the load case; empty where it is not one of them. `line_load` [N/m] is
    the load before any factor and before the relief p R/2; `temperature` [K] and `pressure` [Pa] are those of its state
    (pressure 0: no hoop tension in it, whatever the load case has). `region` has the length `length` [m]; `m`
    half-waves lie along it, `n` full waves around. `limited` says what sets the capacity in place of the mode; empty
    where the mode does. `beside` names the load whose mode is shown for comparison where `kind` has none of its own.
    """

    kind: Literal["mode", "equation", "column", "plate"]
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


Status = Literal["holds", "fails", "refused", "withheld", "not compressed", "not covered"]


@dataclass(frozen=True)
class MarginRow:
    """One load case against one failure mode.

    `margin` is the official (total) margin, `net_margin` the net form beside it. `demand` is the limit value of
    the line load [N/m], the axial force [N] or the stress [Pa], `capacity` its allowable; `quantity` says which.
    `basis` is what the capacity rests on; None for strength and for rows without a capacity.
    """

    load_case: str
    mode: str
    kind: Literal["stability", "local", "strength"]
    status: Status
    quantity: Literal["line load", "force", "stress"]
    temperature: float
    factor: float
    demand: float | None
    capacity: float | None
    margin: float | None
    net_margin: float | None = None
    net_note: str = ""
    knockdown_axial: float | None = None
    knockdown_bending: float | None = None
    knockdown_source: str = ""
    equation: str = ""
    source: str = ""
    note: str = ""
    worked: tuple[Worked, ...] = ()
    beside: tuple[Beside, ...] = ()
    basis: ModeBasis | None = None


@dataclass(frozen=True)
class Check:
    """One line of the validity list."""

    code: str
    status: Literal["passed", "warned", "refused"]
    text: str
    where: str = ""
    source: str = ""


@dataclass(frozen=True)
class Knockdown:
    """Knockdown factors of one mode, with the rule that gave them."""

    mode: str
    axial: float
    bending: float
    source: str
    worked: tuple[Worked, ...] = ()


@dataclass(frozen=True)
class LoadCaseResult:
    """All that was found for one load case.

    `external_axial_force` [N] is without any pressure thrust; `axial_line_load`, `bending_line_load` [N/m] are its
    parts at the peak fibre, compression positive; `relief` [N/m] is p R/2 at the minimum pressure for closed ends.
    `pressure_gain` is the computed stabilised load over the load at zero pressure (stiffened walls); `warnings` are
    the checks of this load case that did not pass.
    """

    name: str
    temperature: float
    external_axial_force: float
    bending_moment: float
    axial_line_load: float
    bending_line_load: float
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


@dataclass(frozen=True)
class Verdict:
    """The outcome in words. `exit_status`: 0 all margins hold, 1 a margin is negative, 2 refused, 3 incomplete."""

    exit_status: int
    word: Literal["holds", "does not hold", "refused", "incomplete"]
    text: str
    smallest_margin: float | None
    governing_load_case: str | None
    governing_mode: str | None


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
