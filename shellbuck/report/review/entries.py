"""Entries of the review's data: one mode each, of a closed form, of Ritz, of a mesh or of the tube as a beam."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any, Literal

import numpy as np

from ...core.records import Agreement, Load, LoadCaseResult, MarginRow, ModeShape
from ...core.samples import pack
from ...engines.closed_form import amplitudes
from ...io import CaseFile
from ...margins.keys import PANEL, SKIN_FIELD
from ...margins.post_buckled import mode_wall
from ...model import Case
from ..text.display import Display
from .waves import Nodal, Wave, named, sine_content

_STATIONS = 121
COLUMN = "column"

State = tuple[float, float, str]
"""Temperature [K] and minimum pressure [Pa] of a load case: load cases of one state have the same loads and modes. With
skin that may buckle every load case has its own, by name."""
Role = Literal["rests", "limited", "beside"]
"""A margin rests on the mode; would rest on it if yield did not come first; does not: the mode stands beside it."""


def state_of(case: LoadCaseResult, of: Case) -> State:
    """The state that the loads of a load case belong to."""
    own = case.name if of.policy.post_buckled_skin is not None else ""
    return case.temperature, case.pressure_minimum, own


@dataclass(eq=False)
class Collection:
    """What is being collected: entries of the page's data, and the fields behind them."""

    file: CaseFile
    display: Display
    modes: list[dict[str, Any]] = field(default_factory=list)
    fields: dict[str, Wave | Nodal] = field(default_factory=dict)
    surfaces: dict[str, Any] = field(default_factory=dict)
    spectra: list[dict[str, Any]] = field(default_factory=list)
    by_load: dict[tuple[State, str, int], str] = field(default_factory=dict)
    """By state, name of the load and waves around: its mode; of several with one n the lowest."""
    margins: dict[tuple[str, str], tuple[str, Role]] = field(default_factory=dict)
    """By load case and failure mode: the mode that is shown for the margin row, and as what."""

    def add(self, mode: dict[str, Any], shape: Wave | Nodal) -> str:
        """Number a mode, name its waves and keep it."""
        name = f"mode {len(self.modes) + 1}"
        barrel = self.file.case.barrel
        pair, waves = named(mode["content"], shape, barrel.middle_radius, barrel.length, self.length)
        self.modes.append({"id": name, **mode, "pair": pair, "waves": waves})
        self.fields[name] = shape
        return name

    def keep(self, case: LoadCaseResult, load: str, mode: dict[str, Any], shape: Wave | Nodal) -> str:
        """Add a mode of a load under the name by which margins find it."""
        name = self.add(mode, shape)
        self.by_load.setdefault((state_of(case, self.file.case), load, mode["n"]), name)
        return name

    def renumber(self) -> None:
        """Number the modes of every load case by rising load."""
        first: dict[str, int] = {}
        for i, mode in enumerate(self.modes):
            first.setdefault(mode["case"], i)
        self.modes.sort(key=lambda mode: (first[mode["case"]], mode["line_load"]))
        new = {mode["id"]: f"mode {i}" for i, mode in enumerate(self.modes, 1)}
        self.fields = {new[name]: shape for name, shape in self.fields.items()}
        self.by_load = {key: new[name] for key, name in self.by_load.items()}
        self.margins = {row: (new[name], role) for row, (name, role) in self.margins.items()}
        for mode in self.modes:
            mode["id"] = new[mode["id"]]
        for spectrum in self.spectra:
            for point in [p for series in spectrum["series"] for p in series["points"]] + spectrum["marks"]:
                point[2] = new.get(point[2])

    def shown(self, value: float) -> str:
        return self.display.shown(value, "line load", 5)

    def length(self, value: float) -> str:
        return self.display.shown(value, "length", 3)


def _facts(load: Load) -> list[list[str]]:
    facts = [
        ["Theory", load.theory],
        ["Edges", load.edges],
        ["Prestress", load.prestress],
        ["Load position", load.load_position],
        ["Pressure", load.pressure_treatment],
        ["Load is", load.definition],
    ]
    if load.certificate is not None:
        facts.append(["Completeness", load.certificate.proof])
    if load.resolution_error is not None:
        facts.append(["Resolution", f"{100 * load.resolution_error:.2g} %"])
    return [*facts, ["Source", load.source]]


def _entry(review: Collection, case: LoadCaseResult, load: Load, engine: str, title: str) -> dict[str, Any]:
    return {
        "case": case.name,
        "engine": engine,
        "title": title,
        "line_load": load.line_load,
        "load_text": review.shown(load.line_load),
        "ratio": 1.0,
        "kind": "",
        "energy": [],
        "facts": _facts(load),
    }


def closed(review: Collection, case: LoadCaseResult, load: Load) -> str:
    """The mode of a closed form, drawn from its formula; a panel's bays buckle alike, in turn in and out."""
    used = review.file.case
    R, L = used.barrel.middle_radius, used.barrel.length
    bays = round(L / used.ring_bay) if load.mode == PANEL else 1
    wall = mode_wall(used, case.name, panel=load.mode == PANEL)
    N_theta = 0.0 if load.pressure_treatment.startswith("no pressure") else case.pressure_minimum * R
    U, V, _ = amplitudes(wall, R, L / bays, load.m, load.n, N_theta=N_theta, theory=load.theory)
    m = load.m * bays
    x = np.linspace(0, L, max(_STATIONS, 16 * m + 1))
    sine, cosine = np.sin(m * np.pi * x / L), np.cos(m * np.pi * x / L)
    entry = _entry(review, case, load, "closed form", f"{load.name}") | {
        "kind": "general" if bays == 1 else "local",
        "m": m,
        "n": load.n,
        "share": 1.0,
        "content": [[m, load.n, 1.0]],
        "form": "waves",
        **_packed(x=x, u=U * cosine, v=V * sine, w=sine),
    }
    if bays > 1:
        entry["facts"].append(["Bays", f"{bays} alike, {load.m} half-waves each, drawn in turn inward and outward"])
    ties = load.near_tie_count
    entry["facts"].append(["Near it", f"{ties} other modes within 2 %"])
    wave = Wave(load.n, x, sine.astype(complex))
    return review.keep(case, load.name, entry, wave)


def column(review: Collection, case: LoadCaseResult, row: MarginRow) -> str:
    """The barrel as a beam: every cross-section moves sideways as it is and turns with the axis, u = -z d'(x)."""
    barrel, basis = review.file.case.barrel, row.basis
    R, L = barrel.middle_radius, barrel.length
    x = np.linspace(0, L, _STATIONS)
    d, slope = np.sin(np.pi * x / L), np.pi / L * np.cos(np.pi * x / L)
    entry = {
        "case": case.name,
        "engine": "column formula",
        "title": f"{row.mode}, tube as a beam",
        "line_load": basis.line_load,
        "load_text": review.shown(basis.line_load),
        "ratio": 1.0,
        "kind": "general",
        "energy": [],
        "m": 1,
        "n": 1,
        "share": 1.0,
        "content": [[1, 1, 1.0]],
        "form": "waves",
        **_packed(x=x, u=-R * slope, v=-d, w=d),
        "facts": [
            ["Theory", basis.theory],
            ["Edges", basis.edges],
            ["Prestress", basis.prestress],
            ["Load position", "axis of the barrel"],
            ["Pressure", "none: the column effect of the contents cancels the thrust"],
            ["Load is", "axial force over the circumference, compression positive"],
            ["Completeness", "one half-wave is the lowest of a column pinned at both ends"],
            ["Source", row.source],
        ],
    }
    return review.keep(case, COLUMN, entry, Wave(1, x, d.astype(complex)))


def ritz_modes(
    review: Collection, case: LoadCaseResult, load: Load, shapes: tuple[ModeShape, ...], engine: str
) -> dict[tuple[int | None, int], str]:
    """Names of the modes, the lowest of every n under that n."""
    names: dict[tuple[int | None, int], str] = {}
    for shape in shapes:
        names.setdefault((None, shape.n), _ritz(review, case, load, shape, engine))
    return names


def _ritz(review: Collection, case: LoadCaseResult, load: Load, shape: ModeShape, engine: str) -> str:
    x, w = np.array(shape.x), np.array(shape.w)
    Z = w - 1j * np.array(shape.twin_w) if shape.twin_w else w.astype(complex)
    wave = Wave(shape.n, x, Z)
    content = sine_content(wave)
    entry = _entry(review, case, load, engine, f"{load.name}, n = {shape.n}") | {
        "line_load": shape.line_load,
        "load_text": review.shown(shape.line_load),
        "m": shape.half_waves,
        "n": shape.n,
        "share": shape.half_wave_share,
        "content": [list(row) for row in content],
        "energy": [list(row) for row in shape.energy],
        "form": "waves",
        **_packed(x=x, u=shape.u, v=shape.v, w=w),
    }
    if shape.twin_w:
        entry |= _packed(twin_u=shape.twin_u, twin_v=shape.twin_v, twin_w=shape.twin_w)
    return review.keep(case, load.name, entry, wave)


def mesh_modes(review: Collection, case: LoadCaseResult, agreement: Agreement) -> list[list[Any]]:
    """Modes of the finest mesh; their marks in the spectrum."""
    if agreement.surface is None:
        return []
    name = f"mesh {len(review.surfaces) + 1}"
    surface = agreement.surface
    review.surfaces[name] = {
        "points": asdict(surface.points),
        "facets": asdict(surface.facets),
        "part": asdict(surface.part),
        "parts": list(surface.parts),
        "angle": surface.angle,
        "mirror": surface.mirror,
    }
    load = agreement.loads["mesh with ribs"]
    run, marks = agreement.discrete_runs[-1], []
    for i, mode in enumerate(agreement.modes, 1):
        entry = _entry(review, case, load, "mesh", f"mode {i} of {load.name}") | {
            "line_load": mode.line_load,
            "load_text": review.shown(mode.line_load),
            "kind": "general" if mode.general else "local",
            "m": mode.m,
            "n": mode.n,
            "share": mode.share,
            "content": [list(row) for row in mode.content],
            "energy": [list(row) for row in mode.energy],
            "form": "mesh",
            "surface": name,
            "displacement": asdict(mode.displacement),
            "symmetry": mode.symmetry,
        }
        entry["facts"].append(["Mesh", run.sentence])
        found = review.add(entry, Nodal.of(surface, mode))
        marks.append([mode.n, mode.line_load, found])
        if not mode.general:
            for row in case.margins:
                if row.key == SKIN_FIELD:
                    review.margins.setdefault((case.name, row.mode), (found, "beside"))
    return marks


def _packed(**arrays: Any) -> dict[str, Any]:
    return {name: asdict(pack(np.asarray(values, dtype=float), "f4")) for name, values in arrays.items()}
