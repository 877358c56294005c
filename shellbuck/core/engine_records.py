"""What engines hand over: buckling loads, modes, meshes. Frozen records, SI, ready for JSON; `records` has them too.

A buckling load is never a bare number: theory, edges, prestress, load position and the treatment of pressure are
part of it, and so is the statement why no lower mode was missed.
"""

from __future__ import annotations

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
class PathEnd:
    """How far a nonlinear axisymmetric prebuckling path was followed, and what ended it.

    With `status` "bifurcation" the load beside it is the first loss of stability; with "no bifurcation" nothing is lost
    up to `followed_to` [N/m], and that is the load beside it: no buckling load, but one that the barrel carries.
    `limit_load` [N/m] is where the deflection of the path grows without bound, None where the loads bend no
    axisymmetric mode that was tried. `slope` and `deflection` [m] are the largest of the state at `followed_to`.
    """

    status: Literal["bifurcation", "no bifurcation"]
    followed_to: float
    ended_by: Literal["bifurcation", "slope", "deflection", "load asked for"]
    limit_load: float | None
    slope: float
    deflection: float


Role = Literal[
    "closed form as drawn",
    "closed form as meshed",
    "Ritz",
    "smeared mesh",
    "mesh with ribs",
    "mesh with ribs, linear statics",
]


@dataclass(frozen=True)
class Load:
    """A buckling load with everything needed to compare it.

    `line_load` [N/m], compression positive. `definition` says what it is (net wall load or applied load).
    `lowest_by_n` is the lowest load of every harmonic that was solved; `shapes` are the lowest modes asked for;
    `resolution_error` is the relative change of the load under richer trial functions. `path` belongs to nonlinear
    prebuckling: where nothing is lost on the path, `line_load` is the load up to which it was followed and `n` is None.
    `mode` is the key of the failure mode that it belongs to, empty for others. `component` is empty for axial loads;
    else the load component whose load it is, a shear flow or the hoop line load p R of an external pressure [N/m].
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
    path: PathEnd | None = None
    mode: str = ""
    component: str = ""


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
class Finding:
    """A number by which an agreement is judged.

    `value` stands against `limit`; `passed` says whether it keeps to it. A number that could not be formed is None and
    never passed.
    """

    quantity: str
    value: float | None
    limit: float
    passed: bool
    text: str


@dataclass(frozen=True)
class Agreement:
    """One load case by every engine at one prestress, and where and why they part.

    `loads` are known by name; the runs go from coarse to fine; `modes` are those of the finest mesh with ribs as they
    are: the first `listed` of them are its lowest, none is missing between; a general mode that was found higher up may
    follow. `likeness` is the subspace MAC of its lowest general modes with the Ritz mode of the same n (cosine and
    sine), by w on the skin; None where there is no such pair. `words` tell all; `findings` are the numbers among them
    that are judged.
    """

    load_case: str
    temperature: float
    pressure: float
    loads: dict[Role, Load]
    smeared_runs: tuple[MeshRun, ...]
    discrete_runs: tuple[MeshRun, ...]
    modes: tuple[MeshMode, ...]
    words: tuple[str, ...]
    likeness: float | None = None
    surface: MeshSurface | None = None
    findings: tuple[Finding, ...] = ()
    listed: int = 0
