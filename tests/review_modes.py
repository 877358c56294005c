"""Modes of review data made from formulas, for tests of what is drawn of them."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

import numpy as np

from shellbuck.core.samples import pack
from shellbuck.engines.mesh import Blades, Divisions, Extent, StraightRibs, build_mesh

RADIUS, LENGTH = 1.6, 2.4


def entry(name: str, m: int, n: int, **more: Any) -> dict[str, Any]:
    """What every mode has beside its shape."""
    base = {
        "id": name,
        "case": "pad, empty",
        "engine": "closed form",
        "title": "closed form, Sanders",
        "line_load": 9e5,
        "load_text": "900 kN/m",
        "ratio": 1.0,
        "design_text": "",
        "m": m,
        "n": n,
        "share": 1.0,
        "kind": "general",
        "rows": [],
        "margins": "",
        "pair": f"({m}, {n})",
        "waves": f"{m} half-wave{'s' * (m > 1)} along the axis; "
        + (f"{n} full wave{'s' * (n > 1)} around" if n else "the same all around"),
        "facts": [],
        "content": [[m, n, 1.0]],
        "energy": [],
    }
    return base | more


def packed(values: np.ndarray, dtype: str = "f4") -> dict[str, Any]:
    return asdict(pack(values, dtype))


def wave(m: int, n: int, name: str = "mode 1", sign: float = 1.0, stations: int = 241, **more: Any) -> dict[str, Any]:
    """w = sin(m pi x/L) cos(n theta), with u and v beside it."""
    x = np.linspace(0, LENGTH, stations)
    w = sign * np.sin(m * math.pi * x / LENGTH)
    u, v = 0.1 * np.cos(m * math.pi * x / LENGTH), -w / max(n, 1)
    arrays = {"x": packed(x), "u": packed(u), "v": packed(v), "w": packed(w)}
    return entry(name, m, n, form="waves", **arrays, **more)


def meshed(
    m: int,
    n: int,
    symmetry: str = "even",
    name: str = "mode 2",
    *,
    stringers: int = 24,
    side: str = "outside",
    sector: int | None = None,
    along: int = 8,
) -> tuple[dict[str, Any], dict[str, Any]]:
    """A mode on a part of a barrel with stringers, between two mirror planes through the middles of bays (`sector` 0:
    on all of it); webs turn with the skin. Returns the mode and its surface."""
    shape = StraightRibs(RADIUS, LENGTH, 3e-3, Blades(stringers, 0.05, 3e-3, side))
    bays = stringers // 2 if sector is None else sector
    extent = Extent() if bays == 0 else Extent(sector=bays, cut="between")
    mesh = build_mesh(shape, Divisions(around=4, along=along, order=2), extent)
    x, theta, r = mesh.points.T
    start = theta.min() if bays else 0.0
    c, s = np.cos(n * (theta - start)), np.sin(n * (theta - start))
    if symmetry == "odd":
        c, s = s, -c
    W, slope = np.sin(m * math.pi * x / LENGTH), m * math.pi / LENGTH * np.cos(m * math.pi * x / LENGTH)
    # the normal turns by -dw/dx along and (v - dw/dtheta)/R around; v = 0 at the skin
    d = np.column_stack([-(r - RADIUS) * slope * c, (r - RADIUS) / RADIUS * n * W * s, W * c])
    p = mesh.order
    at = np.arange((p + 1) ** 2).reshape(p + 1, p + 1)
    quads = np.stack([at[:-1, :-1], at[1:, :-1], at[1:, 1:], at[:-1, 1:]], -1).reshape(-1, 4)
    surface = {
        "points": packed(mesh.points),
        "facets": packed(mesh.elements[:, quads].reshape(-1, 4), "u4"),
        "part": packed(np.repeat(mesh.part, p * p), "u1"),
        "parts": list(mesh.parts),
        "angle": mesh.angle,
        "mirror": bays > 0,
    }
    mode = entry(
        name,
        m,
        n,
        engine="mesh",
        title="mesh with ribs",
        form="mesh",
        surface="mesh 1",
        displacement=packed(d, "i2"),
        symmetry=symmetry if bays else "all",
    )
    return mode, surface


def review(*modes: dict[str, Any], surface: dict[str, Any] | None = None, length_unit: str = "mm") -> dict[str, Any]:
    """Review data of some modes."""
    return {
        "version": 1,
        "title": "Barrel",
        "part": "P",
        "revision": "A",
        "digest": "",
        "program": "",
        "barrel": {"radius": RADIUS, "length": LENGTH},
        "units": {"length": {"factor": 1e-3, "name": length_unit}, "line load": {"factor": 1e3, "name": "kN/m"}},
        "palette": [],
        "surfaces": {} if surface is None else {"mesh 1": surface},
        "modes": list(modes),
        "spectra": [],
        "likeness": [],
        "prebuckled": [],
        "margins": [],
        "first": modes[0]["id"] if modes else None,
        "first_words": "",
    }
