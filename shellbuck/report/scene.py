"""The data of the review: every engine's modes with their shapes, spectra, likeness and margins, ready for JSON.

The page's script and the static figures both draw from this one object, so that they cannot differ.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np

from .. import __version__
from ..closed_form import amplitudes
from ..files import CaseFile
from ..looks import DISPLACEMENT
from ..model.case import ring_spacing
from ..records import Agreement, Load, LoadCaseResult, MarginRow, ModeShape, Result
from ..samples import pack
from ..walls import build_wall
from .inputs import input_rows
from .modes import edge_pair
from .waves import Nodal, Wave, alike, sine_content
from .wording import Display, knockdown_text, margin_text

VERSION = 1

GOVERNING_SHAPES, OTHER_SHAPES = 5, 1
"""Ritz membrane modes shown of the governing load case, and of every other."""
_STATIONS = 121
GENERAL = "general instability"


@dataclass(eq=False)
class _Review:
    """What is being collected: entries of the page's data, and the fields behind them."""

    file: CaseFile
    display: Display
    modes: list[dict[str, Any]] = field(default_factory=list)
    fields: dict[str, Wave | Nodal] = field(default_factory=dict)
    surfaces: dict[str, Any] = field(default_factory=dict)
    spectra: list[dict[str, Any]] = field(default_factory=list)
    basis: dict[tuple[str, str], str] = field(default_factory=dict)

    def add(self, mode: dict[str, Any], shape: Wave | Nodal) -> str:
        """Number a mode and keep it."""
        name = f"mode {len(self.modes) + 1}"
        self.modes.append({"id": name, **mode})
        self.fields[name] = shape
        return name

    def renumber(self) -> None:
        """Number the modes of every load case by rising load."""
        first: dict[str, int] = {}
        for i, mode in enumerate(self.modes):
            first.setdefault(mode["case"], i)
        self.modes.sort(key=lambda mode: (first[mode["case"]], mode["line_load"]))
        new = {mode["id"]: f"mode {i}" for i, mode in enumerate(self.modes, 1)}
        self.fields = {new[name]: shape for name, shape in self.fields.items()}
        self.basis = {row: new[name] for row, name in self.basis.items()}
        for mode in self.modes:
            mode["id"] = new[mode["id"]]
        for spectrum in self.spectra:
            for point in [p for series in spectrum["series"] for p in series["points"]] + spectrum["marks"]:
                point[2] = new.get(point[2])

    def shown(self, value: float) -> str:
        return self.display.shown(value, "line load", 5)


def review_data(result: Result, file: CaseFile, display: Display) -> dict[str, Any]:
    """Everything that the review page draws.

    Parameters
    ----------
    result : Result
    file : CaseFile
        The case file the result belongs to.
    display : Display
        Units of the texts; numbers are SI.

    Returns
    -------
    dict
        JSON-ready; arrays are `shellbuck.samples.Samples` as dictionaries.
    """
    review = _Review(file, display)
    agreed = {item.load_case: item for item in result.agreements}
    least = next((row.load_case for row in result.margins), result.load_cases[0].name)
    main = next(iter(agreed), least)
    states: dict[tuple[float, float], str] = {}
    for case in sorted(result.load_cases, key=lambda c: c.name != main):
        state = (case.temperature, case.pressure_minimum)
        if state in states:
            _same_state(review, case, states[state])
            continue
        states[state] = case.name
        _case_modes(review, case, agreed.get(case.name), case.name == main)
    review.renumber()
    identity = file.case.identity
    return {
        "version": VERSION, "title": identity.title, "part": identity.part or "", "revision": identity.revision or "",
        "digest": file.digest, "program": __version__,
        "verdict": result.verdict.text, "inputs": [[r.key, r.read, r.used] for r in input_rows(file)],
        "barrel": {"radius": result.wall.middle_radius, "length": result.wall.length},
        "mass_per_area": result.wall.mass_per_area,
        "mass_text": display.shown(result.wall.mass_per_area, "area density"),
        "units": {
            name: dict(zip(("factor", "name"), display.units[name], strict=True)) for name in ("length", "line load")
        },
        "palette": list(DISPLACEMENT), "surfaces": review.surfaces, "modes": _with_ratio(review.modes),
        "spectra": review.spectra, "likeness": _likeness(review), "prebuckled": _prebuckled(result),
        "margins": [_margin(review, row) for row in result.margins],
    }  # fmt: skip


def _same_state(review: _Review, case: LoadCaseResult, twin: str) -> None:
    """Margins of a load case at the temperature and pressure of another rest on that one's modes."""
    for (name, row), mode in list(review.basis.items()):
        if name == twin:
            review.basis[case.name, row] = mode


def _case_modes(review: _Review, case: LoadCaseResult, agreement: Agreement | None, main: bool) -> None:
    """Modes of one state: all that there are of the `main` load case, the lowest of each kind of another."""
    series, marks, shapes = [], [], GOVERNING_SHAPES if main else OTHER_SHAPES
    general = _at_pressure(case, GENERAL)
    for load in general:
        lowest = load is min(general, key=lambda x: x.line_load)
        names = {(load.m, load.n): _closed(review, case, load, GENERAL)} if main or lowest else {}
        series.append(_series(load, "closed form", names))
        if lowest:
            review.basis[case.name, GENERAL] = names[load.m, load.n]
    for load in sorted(_at_pressure(case, "panel between rings"), key=lambda x: x.line_load)[:1]:
        review.basis[case.name, "panel between rings"] = _closed(review, case, load, "panel between rings")
    for load, engine, count in _edge_loads(case, shapes):
        series.append(_series(load, engine, _ritz_modes(review, case, load, load.shapes[:count], engine)))
    if agreement is not None:
        marks = _mesh_modes(review, case, agreement)
        by_ritz = next(x for x in agreement.loads if x.shapes)
        names = _ritz_modes(review, case, by_ritz, by_ritz.shapes[:shapes], "Ritz, membrane")
        series.append(_series(by_ritz, "Ritz, membrane", names))
    loads = [p[1] for s in series for p in s["points"]] + [m[1] for m in marks]
    if loads:
        review.spectra.append({"case": case.name, "series": series, "marks": marks, "lowest": min(loads)})


def _at_pressure(case: LoadCaseResult, what: str) -> list[Load]:
    """Closed-form loads of a failure mode at the load case's own pressure, those without where there are none with."""
    found = [x for x in case.loads if x.name.startswith(what) and x.m is not None]
    pressed = [x for x in found if x.name.endswith("at minimum pressure")]
    return pressed or found


def _edge_loads(case: LoadCaseResult, shapes: int) -> list[tuple[Load, str, int]]:
    pair = edge_pair(case)
    if pair is None:
        return []
    found = [(pair[0], "Ritz, membrane", shapes)]
    return found if pair[1] is None else [*found, (pair[1], "Ritz, edge bending", 1)]


def _facts(load: Load) -> list[list[str]]:
    facts = [
        ["Theory", load.theory], ["Edges", load.edges], ["Prestress", load.prestress],
        ["Load position", load.load_position], ["Pressure", load.pressure_treatment], ["Load is", load.definition],
    ]  # fmt: skip
    if load.certificate is not None:
        facts.append(["Completeness", load.certificate.proof])
    if load.resolution_error is not None:
        facts.append(["Resolution", f"{100 * load.resolution_error:.2g} %"])
    return [*facts, ["Source", load.source]]


def _design(review: _Review, case: LoadCaseResult, what: str) -> str:
    """The allowable of the margin row that rests on a classical load, in words."""
    row = next((r for r in case.margins if r.mode == what), None)
    if row is None or row.capacity is None:
        return ""
    return f"{review.display.shown(row.capacity, row.quantity)} allowable, knockdown {knockdown_text(row)}"


def _entry(review: _Review, case: LoadCaseResult, load: Load, engine: str, title: str) -> dict[str, Any]:
    return {
        "case": case.name, "engine": engine, "title": title, "line_load": load.line_load,
        "load_text": review.shown(load.line_load), "ratio": 1.0, "design_text": "", "kind": "", "energy": [],
        "facts": _facts(load),
    }  # fmt: skip


def _closed(review: _Review, case: LoadCaseResult, load: Load, what: str) -> str:
    """The lowest mode of a closed form, drawn from its formula; a panel's bays buckle alike, in turn in and out."""
    used, wall = review.file.case, build_wall(review.file.case, case.temperature)
    R, L = used.barrel.middle_radius, used.barrel.length
    rings = getattr(used.wall, "rings", None) if what != GENERAL else None
    bays = 1 if rings is None else round(L / ring_spacing(rings, L))
    N_theta = 0.0 if load.pressure_treatment.startswith("no pressure") else case.pressure_minimum * R
    U, V, _ = amplitudes(wall, R, L / bays, load.m, load.n, N_theta=N_theta, theory=load.theory)
    m = load.m * bays
    x = np.linspace(0, L, max(_STATIONS, 16 * m + 1))
    sine, cosine = np.sin(m * np.pi * x / L), np.cos(m * np.pi * x / L)
    entry = _entry(review, case, load, "closed form", f"{load.name}") | {
        "design_text": _design(review, case, what), "kind": "general" if bays == 1 else "local",
        "m": m, "n": load.n, "share": 1.0, "content": [[m, load.n, 1.0]],
        "form": "waves", **_packed(x=x, u=U * cosine, v=V * sine, w=sine),
    }  # fmt: skip
    if bays > 1:
        entry["facts"].append(["Bays", f"{bays} alike, {load.m} half-waves each, drawn in turn inward and outward"])
    ties = load.near_tie_count
    entry["facts"].append(["Near it", f"{ties} other modes within 2 %"])
    return review.add(entry, Wave(load.n, x, sine.astype(complex)))


def _ritz_modes(
    review: _Review, case: LoadCaseResult, load: Load, shapes: tuple[ModeShape, ...], engine: str
) -> dict[tuple[int | None, int], str]:
    """Names of the modes, the lowest of every n under that n."""
    names: dict[tuple[int | None, int], str] = {}
    for shape in shapes:
        names.setdefault((None, shape.n), _ritz(review, case, load, shape, engine))
    return names


def _ritz(review: _Review, case: LoadCaseResult, load: Load, shape: ModeShape, engine: str) -> str:
    x, w = np.array(shape.x), np.array(shape.w)
    Z = w - 1j * np.array(shape.twin_w) if shape.twin_w else w.astype(complex)
    wave = Wave(shape.n, x, Z)
    content = sine_content(wave)
    entry = _entry(review, case, load, engine, f"{load.name}, n = {shape.n}") | {
        "line_load": shape.line_load, "load_text": review.shown(shape.line_load),
        "m": shape.half_waves, "n": shape.n, "share": shape.half_wave_share, "content": [list(row) for row in content],
        "energy": [list(row) for row in shape.energy], "form": "waves",
        **_packed(x=x, u=shape.u, v=shape.v, w=w),
    }  # fmt: skip
    if shape.twin_w:
        entry |= _packed(twin_u=shape.twin_u, twin_v=shape.twin_v, twin_w=shape.twin_w)
    return review.add(entry, wave)


def _mesh_modes(review: _Review, case: LoadCaseResult, agreement: Agreement) -> list[list[Any]]:
    """Modes of the finest mesh; their marks in the spectrum."""
    if agreement.surface is None:
        return []
    name = f"mesh {len(review.surfaces) + 1}"
    surface = agreement.surface
    review.surfaces[name] = {
        "points": asdict(surface.points), "facets": asdict(surface.facets), "part": asdict(surface.part),
        "parts": list(surface.parts), "angle": surface.angle, "mirror": surface.mirror,
    }  # fmt: skip
    # a load of another prestress may stand last; the modes are those of the mesh before it
    load = [x for x in agreement.loads if not x.prestress.startswith("linear statics")][-1]
    run, marks = agreement.discrete_runs[-1], []
    for i, mode in enumerate(agreement.modes, 1):
        entry = _entry(review, case, load, "mesh", f"mode {i} of {load.name}") | {
            "line_load": mode.line_load, "load_text": review.shown(mode.line_load),
            "kind": "general" if mode.general else "local", "m": mode.m, "n": mode.n, "share": mode.share,
            "content": [list(row) for row in mode.content], "energy": [list(row) for row in mode.energy],
            "form": "mesh", "surface": name, "displacement": asdict(mode.displacement), "symmetry": mode.symmetry,
        }  # fmt: skip
        entry["facts"].append(["Mesh", run.sentence])
        found = review.add(entry, Nodal.of(surface, mode))
        marks.append([mode.n, mode.line_load, found])
        if not mode.general:
            for row in case.margins:
                if row.mode in ("skin strip", "skin pocket"):
                    review.basis.setdefault((case.name, row.mode), found)
    return marks


def _packed(**arrays: Any) -> dict[str, Any]:
    return {name: asdict(pack(np.asarray(values, dtype=float), "f4")) for name, values in arrays.items()}


def _series(load: Load, engine: str, names: dict[tuple[int | None, int], str]) -> dict[str, Any]:
    """One engine's lowest load of every n; the points whose mode is on the page carry its name."""
    def name_of(m: int, n: int) -> str | None:
        return names.get((m, n)) or names.get((None, n))

    points = [[p.n, p.line_load, name_of(p.m, p.n)] for p in load.lowest_by_n]
    return {"engine": engine, "name": load.name, "points": points}


def _with_ratio(modes: list[dict[str, Any]]) -> list[dict[str, Any]]:
    lowest: dict[str, float] = {}
    for mode in modes:
        lowest[mode["case"]] = min(mode["line_load"], lowest.get(mode["case"], np.inf))
    return [mode | {"ratio": mode["line_load"] / lowest[mode["case"]]} for mode in modes]


def _likeness(review: _Review) -> list[dict[str, Any]]:
    """Every mode of a load case against every other, subspace MAC."""
    found = []
    for case in dict.fromkeys(mode["case"] for mode in review.modes):
        names = [mode["id"] for mode in review.modes if mode["case"] == case]
        values = [[round(alike(review.fields[a], review.fields[b]), 4) for b in names] for a in names]
        found.append({"case": case, "rows": names, "columns": names, "values": values})
    return found


def _prebuckled(result: Result) -> list[dict[str, Any]]:
    found = []
    for case in result.load_cases:
        pair = edge_pair(case)
        state = None if pair is None or pair[1] is None else pair[1].prebuckled
        if state is not None:
            found.append({
                "case": case.name, "x": list(state.x), "deflection": list(state.deflection),
                "hoop_force": list(state.hoop_force),
            })  # fmt: skip
    return found


def _margin(review: _Review, row: MarginRow) -> dict[str, Any]:
    return {
        "case": row.load_case, "mode": row.mode, "margin": row.margin, "text": margin_text(row), "status": row.status,
        "basis": review.basis.get((row.load_case, row.mode)),
    }  # fmt: skip
