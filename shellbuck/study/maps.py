"""Maps of one case: which plan of a grid answers which question."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ..core.errors import Refusal
from ..io.language.case_file import CaseFile, case_from_text
from ..io.language.study_file import plan_of
from ..io.language.study_plan import CASE, MAP, STUDY, StudyPlan
from ..io.store.kept import kept_study, kept_texts
from ..margins import assess
from ..model import Case, LoadCase

KINDS = ("loads", "pressure", "thickness", "ribs", "sides")
"""loads: axial force against moment; pressure: axial force against pressure, with the safe window; thickness, ribs:
skin thickness or rib depth against a factor on all loads; sides: thickness against it, ribs inside and outside."""

_TOP = 1.6
"""Loads are drawn up to this multiple of the largest of the case."""


@dataclass(frozen=True)
class Marker:
    """A load case as a point of a map, in SI; `panel` is the value of the third input it belongs to, None for all."""

    x: float
    y: float
    label: str
    panel: Any = None


@dataclass(frozen=True, eq=False)
class Map:
    """A map: its plan, which of its inputs is swept for windows (None: none), the load cases as
    points, and what was assumed, in words."""

    kind: str
    plan: StudyPlan
    sweep: int | None
    markers: tuple[Marker, ...]
    words: tuple[str, ...]


def external(case: Case) -> Case:
    """The case with every axial force given without pressure thrust, so that a factor or a new pressure leaves the
    thrust alone."""
    loads = tuple(
        replace(
            load,
            axial_force=case.external_axial_force(load),
            thrust_pressure=None,
            axial_force_includes_thrust=False if case.barrel.closed else None,
        )
        for load in case.load_cases
    )
    return replace(case, load_cases=loads)


def map_of(
    file: CaseFile,
    kind: str,
    *,
    load_case: str | None = None,
    across: int = 21,
    up: int = 21,
    x: tuple[Any, Any] | None = None,
    y: tuple[Any, Any] | None = None,
    pressures: Sequence[Any] = (),
    text: str = "",
) -> Map:
    """A map of a case.

    Parameters
    ----------
    file : CaseFile
    kind : str
        One of `KINDS`.
    load_case : str, optional
        The load case whose temperature, factors and other loads hold all over a map of loads or pressure (without it
        the one with the smallest margin); for the others the only one that counts (without it all of them).
    across, up : int
        Points along x and y.
    x, y : pair, optional
        Ends of the axes, as in a case file ("0 kN", "2 MN"), or SI numbers.
    pressures : sequence
        For a map of loads: one panel for each, minimum and maximum alike; without them the load case's own.
    text : str
        Of the case file, to be kept beside the map; with it a point of the map can be opened.

    Raises
    ------
    Refusal
        For a kind that the wall does not have, or ranges that mean nothing.
    """
    if kind not in KINDS:
        raise Refusal.of("value-choice", "no such map", "kind", kind[:40], ", ".join(KINDS))
    if pressures and kind != "loads":
        what = "panels of pressure belong to a map of loads"
        way_out = "leave --pressure out; --x and --y give the ends of the axes"
        raise Refusal.of("study-range", what, "--pressure", kind, "loads", way_out)
    for name, n in (("across", across), ("up", up)):
        if not 2 <= n <= 500:
            raise Refusal.of("study-range", "too few or too many points", name, str(n), "2 to 500")
    case = external(file.case)
    base = replace(file, case=case)
    raw: dict[str, Any] = {
        "method": "grid",
        "outputs": ["smallest_margin", "governing_mode", "governing_load_case", "mass_per_area", "margins"],
    }
    asked = {"kind": kind, "load_case": load_case, "across": across, "up": up, "x": x, "y": y, "pressures": pressures}
    texts = {CASE: text, MAP: json.dumps(asked, indent=1) + "\n"} if text else {}
    words = ["axial forces are without pressure thrust"] if case.barrel.closed else []
    title = case.identity.title
    if kind in ("loads", "pressure"):
        load = _governing(case, load_case)
        raw["load_cases"] = [load.name]
        raw["title"] = f"{title}: margin over {'loads' if kind == 'loads' else 'load and pressure'}"
        words.append(f"temperature, factors and what is not on an axis are those of load case {load.name}")
        if kind == "loads":
            raw["vary"], markers = _loads(case, load, (across, up), x, y, pressures)
            sweep = None
        else:
            raw["vary"], markers = _pressure(case, load, (across, up), x, y)
            words.append("minimum and maximum pressure are alike")
            sweep = 1
    else:
        if load_case is not None:
            raw["load_cases"] = [_named(case, load_case).name]
        raw["title"] = f"{title}: {'rib depth' if kind == 'ribs' else 'skin thickness'} against load"
        raw["vary"] = _sizes(case, kind, (across, up), x, y)
        words.append("the factor multiplies axial force and bending moment of every load case, the pressures stay")
        markers, sweep = (), 1
    return Map(kind, plan_of(raw, base, si=True, texts=texts), sweep, tuple(markers), tuple(words))


def kept_plan(folder: str | Path) -> StudyPlan:
    """The plan of a study or map out of its folder.

    Raises
    ------
    Refusal
        When the folder holds neither.
    """
    texts = kept_texts(Path(folder))
    if STUDY in texts:
        return kept_study(texts)
    try:
        asked = json.loads(texts[MAP])
        return map_of(case_from_text(texts[CASE], CASE), **asked, text=texts[CASE]).plan
    except (ValueError, TypeError):
        what = "the folder's map.json cannot be read"
        raise Refusal.of("study-folder-other", what, str(folder)[:200]) from None


def _named(case: Case, name: str) -> LoadCase:
    for load in case.load_cases:
        if load.name == name:
            return load
    names = "; ".join(load.name for load in case.load_cases)
    raise Refusal.of("load-case-unknown", "no such load case", "--load-case", name[:80], names)


def _governing(case: Case, name: str | None) -> LoadCase:
    if name is not None:
        return _named(case, name)
    rows = assess(case).margins  # the smallest of those that are known, where one is not
    return case.load_cases[0] if not rows or rows[0].margin is None else _named(case, rows[0].load_case)


def _loads(case: Case, load: LoadCase, counts: tuple[int, int], x: Any, y: Any, pressures: Sequence[Any]):
    most_P = max((abs(c.axial_force) for c in case.load_cases), default=0.0)
    most_M = max((abs(c.bending_moment) for c in case.load_cases), default=0.0)
    R = case.barrel.middle_radius
    # a case without one of the two still gets an axis: what the other would mean at the peak fibre (P = 2 M/R)
    P = most_P or 2 * most_M / R or 1e6
    M = most_M or P * R / 2
    vary = [
        _axis(f"load_cases.{load.name}.axial_force", "axial force", counts[0], x or (0.0, _TOP * P)),
        _axis(f"load_cases.{load.name}.bending_moment", "bending moment", counts[1], y or (0.0, _TOP * M)),
    ]
    if pressures:
        vary.append(
            {
                "key": f"load_cases.{load.name}.pressure_minimum",
                "name": "pressure",
                "values": list(pressures),
                "also": [{"key": f"load_cases.{load.name}.pressure_maximum"}],
            }
        )
    return vary, [
        Marker(c.axial_force, abs(c.bending_moment), c.name, c.p_min if pressures else None) for c in case.load_cases
    ]


def _pressure(case: Case, load: LoadCase, counts: tuple[int, int], x: Any, y: Any):
    most = max(abs(c.axial_force) for c in case.load_cases) or 1e6
    p = max(c.p_max for c in case.load_cases) or _yield_pressure(case)
    vary = [
        _axis(f"load_cases.{load.name}.axial_force", "axial force", counts[0], x or (0.0, _TOP * most)),
        {
            **_axis(f"load_cases.{load.name}.pressure_minimum", "pressure", counts[1], y or (0.0, 2 * p)),
            "also": [{"key": f"load_cases.{load.name}.pressure_maximum"}],
        },
    ]
    # at another moment a load case would not be a point of this map
    same = [c for c in case.load_cases if abs(c.bending_moment) == abs(load.bending_moment)]
    return vary, [Marker(c.axial_force, c.p_min, c.name) for c in same]


def _yield_pressure(case: Case) -> float:
    """Pressure whose hoop stress is a fifth of yield: a scale for an axis, where the case has no pressure."""
    t, metal = case.barrel.skin_thickness_minimum, case.material
    if t is None or metal is None:
        return 1e5
    return 0.2 * metal.at(case.load_cases[0].temperature).tension_yield * t / case.barrel.middle_radius


def _axis(key: str, name: str, count: int, ends: tuple[Any, Any]) -> dict[str, Any]:
    return {"key": key, "name": name, "from": ends[0], "to": ends[1], "count": count}


def _sizes(case: Case, kind: str, counts: tuple[int, int], x: Any, y: Any) -> list[dict[str, Any]]:
    vary: list[dict[str, Any]] = [
        {
            "key": ["load_cases.*.axial_force", "load_cases.*.bending_moment"],
            "name": "factor on all loads",
            "factor": True,
            "from": _factor(x, 0, 0.5),
            "to": _factor(x, 1, 2.0),
            "count": counts[0],
        }
    ]
    t, t_min = case.barrel.skin_thickness, case.barrel.skin_thickness_minimum
    if t is None:
        raise Refusal.of(
            "study-map-none", "a wall of given stiffness has no dimensions to map", "kind", kind, "loads, pressure"
        )
    if kind == "ribs":
        key, depth = _rib(case)
        vary.append(_axis(key, "rib depth", counts[1], y or (0.5 * depth, 2.0 * depth)))
        return vary
    vary.append(
        {
            **_axis("barrel.skin_thickness", "skin thickness", counts[1], y or (0.5 * t, 2.0 * t)),
            "also": [{"key": "barrel.skin_thickness_minimum", "less": t - t_min}],
        }
    )
    if kind == "sides":
        key = _rib(case)[0].rsplit(".", 1)[0] + ".side"
        vary.append({"key": key, "name": "side of the ribs", "values": ["inside", "outside"]})
    return vary


def _factor(x: Any, i: int, default: float) -> float:
    if x is None:
        return default
    try:
        return float(x[i])
    except (TypeError, ValueError):
        raise Refusal.of(
            "value-kind", "a factor is a plain number", "--x", str(x[i])[:40], "for example 0.5 2"
        ) from None


def _rib(case: Case) -> tuple[str, float]:
    """Key and value of the rib depth that a map varies."""
    for ribs in case.ribs:
        depth, _ = ribs.section.blade
        if depth is not None:
            return ribs.key("depth"), depth
    raise Refusal.of(
        "study-map-none", "this wall has no blade ribs to map", "kind", case.wall.kind, "loads, pressure, thickness"
    )
