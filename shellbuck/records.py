"""What engines and the assessment hand over: frozen records, SI, ready for JSON.

A buckling load is never a bare number: theory, edges, prestress, load position and the treatment of pressure are
part of it, and so is the statement why no lower mode was missed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


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
class Load:
    """A buckling load with everything needed to compare it.

    `line_load` [N/m], compression positive. `definition` says what it is (net wall load or applied load).
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


Status = Literal["holds", "fails", "refused", "withheld", "not compressed", "not covered"]


@dataclass(frozen=True)
class MarginRow:
    """One load case against one failure mode.

    `margin` is the official (total) margin, `net_margin` the net form beside it. `demand` is the limit value of
    the line load [N/m], the axial force [N] or the stress [Pa], `capacity` its allowable; `quantity` says which.
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


@dataclass(frozen=True)
class Check:
    """One line of the validity list."""

    code: str
    status: Literal["passed", "warned", "refused"]
    text: str
    where: str = ""
    source: str = ""
