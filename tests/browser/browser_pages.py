"""Pages for the browser tests, made from known fields: what the script must show is known in closed form."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import math
from dataclasses import asdict
from importlib.resources import files
from pathlib import Path

import numpy as np

from shellbuck.core.samples import pack
from shellbuck.core.style import DISPLACEMENT
from shellbuck.engines.mesh import Blades, Divisions, Extent, StraightRibs, build_mesh

RADIUS, LENGTH = 1.5, 2.0
CASES = ("pad, empty", "flight")


def wave(number: int, m: int, n: int, load: float, *, case: str = CASES[0], **more) -> dict:
    """The simply supported mode (m, n): W = sin(m pi x/L), u and v a tenth of it; `twin` turns it by 30 degrees."""
    x = np.linspace(0.0, LENGTH, 24 * m + 1)
    s, c = np.sin(m * math.pi * x / LENGTH), np.cos(m * math.pi * x / LENGTH)
    turned = math.pi / 6 if more.pop("twin", False) else 0.0
    a, b = math.cos(turned), math.sin(turned)
    shape = {"u": 0.1 * a * c, "v": -0.1 * a * s, "w": a * s}
    if turned:
        shape |= {"twin_u": 0.1 * b * c, "twin_v": -0.1 * b * s, "twin_w": b * s}
    return {
        "id": f"mode {number}",
        "case": case,
        "engine": "closed form",
        "title": "closed form, Sanders, without pressure",
        "line_load": load,
        "load_text": f"{load / 1e3:.1f} kN/m",
        "ratio": 1.0,
        "design_text": f"{0.65 * load / 1e3:.1f} kN/m",
        "m": m,
        "n": n,
        "share": 1.0,
        "kind": "general",
        "facts": [
            ["Theory", "Sanders"],
            ["Edges", "simply supported, both ends"],
            ["Prestress", "membrane, uniform"],
            ["Pressure", "none"],
            ["Completeness", "every (m, n) below the bound of the search, none left out"],
        ],
        "content": [[m, n, 1.0]],
        "energy": [["skin membrane", 0.42], ["skin bending", 0.2], ["stringers", 0.3], ["rings", 0.08]],
        "form": "waves",
        "x": asdict(pack(x, "f4")),
        **{k: asdict(pack(v, "f4")) for k, v in shape.items()},
        **more,
    }


def mesh_surface(bays: int = 12, sector: int = 6) -> tuple[dict, np.ndarray]:
    """A mesh of a barrel with stringers and rings outside, between two mirror planes, and its points."""
    shape = StraightRibs(RADIUS, LENGTH, 3e-3, Blades(bays, 0.12, 4e-3, "outside"), Blades(3, 0.08, 4e-3, "outside"))
    mesh = build_mesh(
        shape, Divisions(around=4, along=24, depth=1, layers=False, order=3), Extent(sector=sector, cut="between")
    )
    p = mesh.order + 1
    node = mesh.elements.reshape(-1, p, p)
    facets = np.stack([node[:, :-1, :-1], node[:, 1:, :-1], node[:, 1:, 1:], node[:, :-1, 1:]], -1).reshape(-1, 4)
    part = np.repeat(mesh.part, (p - 1) ** 2)
    return {
        "points": asdict(pack(mesh.points, "f4")),
        "facets": asdict(pack(facets, "u4")),
        "part": asdict(pack(part, "u1")),
        "parts": list(mesh.parts),
        "angle": 2 * math.pi * sector / bays,
        "mirror": True,
    }, mesh.points


def mesh_mode(
    number: int, m: int, n: int, load: float, points: np.ndarray, surface: str, *, symmetry: str = "even", **more
) -> dict:
    """A known field on the mesh: skin as `wave` (cosine or sine about the first mirror plane), webs turning with it."""
    x, theta, r = points.T
    at = n * (theta - theta.min())
    c, s = (np.cos(at), np.sin(at)) if symmetry == "even" else (np.sin(at), -np.cos(at))
    b = m * math.pi / LENGTH
    w = np.sin(b * x) * c
    arm = r - RADIUS
    u = 0.1 * np.cos(b * x) * c - arm * b * np.cos(b * x) * c
    v = -0.1 * np.sin(b * x) * s + arm * n / RADIUS * np.sin(b * x) * s
    return {
        **wave(number, m, n, load),
        "engine": "mesh",
        "title": f"mesh, ribs as they are, {symmetry} half",
        "form": "mesh",
        "surface": surface,
        "displacement": asdict(pack(np.stack([u, v, w], -1), "i2")),
        "symmetry": symmetry,
        "content": [[m, n, 0.93], [m, n + 2, 0.04], [m + 2, n, 0.02]],
        "share": 0.93,
        **more,
    }


def review_data(**changes) -> dict:
    """Review data of two load cases with modes of all engines and both forms."""
    half, points = mesh_surface()
    sixth, small = mesh_surface(sector=2)
    modes = [
        wave(1, 5, 8, 986_600.0),
        wave(
            2,
            1,
            4,
            1_012_000.0,
            engine="Ritz, membrane",
            title="Ritz, edges C4, membrane prestress",
            ratio=1.0257,
            twin=True,
        ),
        mesh_mode(3, 5, 8, 991_000.0, points, "mesh 1", ratio=1.0045),
        mesh_mode(4, 5, 7, 1_004_000.0, points, "mesh 1", symmetry="odd", ratio=1.0176),
        mesh_mode(5, 9, 6, 1_130_000.0, small, "mesh 2", symmetry="odd", ratio=1.145, kind="local"),
        wave(6, 3, 5, 1_430_000.0, case=CASES[1]),
    ]
    for mode in modes:
        if mode["form"] == "mesh":
            for key in ("x", "u", "v", "w"):
                mode.pop(key)
    first = modes[0]["line_load"]
    around = range(2, 16)
    loads = [[n, first * (1 + 0.012 * (n - 8) ** 2), "mode 1" if n == 8 else None] for n in around]
    ritz = [[n, 1_012_000.0 * (1 + 0.010 * (n - 4) ** 2), "mode 2" if n == 4 else None] for n in around]
    x = np.linspace(0, LENGTH, 81)
    edge = np.exp(-x / 0.08) * np.cos(x / 0.08)
    edge = edge + edge[::-1]
    data = {
        "version": 1,
        "title": "Demo barrel (invented)",
        "part": "DV-7",
        "revision": "B",
        "digest": "0" * 64,
        "program": "0.1.0",
        "barrel": {"radius": RADIUS, "length": LENGTH},
        "units": {"length": {"factor": 0.001, "name": "mm"}, "line load": {"factor": 1000.0, "name": "kN/m"}},
        "palette": list(DISPLACEMENT),
        "surfaces": {"mesh 1": half, "mesh 2": sixth},
        "modes": modes,
        "spectra": [
            {
                "case": CASES[0],
                "lowest": first,
                "marks": [[m["n"], m["line_load"], m["id"]] for m in modes if m["form"] == "mesh"],
                "series": [
                    {"engine": "closed form", "name": "closed form, Sanders", "points": loads},
                    {"engine": "Ritz, membrane", "name": "Ritz, C4, membrane", "points": ritz},
                ],
            },
            {
                "case": CASES[1],
                "lowest": 1_430_000.0,
                "marks": [],
                "series": [
                    {
                        "engine": "closed form",
                        "name": "closed form, Sanders",
                        "points": [
                            [n, 1_430_000.0 * (1 + 0.02 * (n - 5) ** 2), "mode 6" if n == 5 else None] for n in around
                        ],
                    }
                ],
            },
        ],
        "likeness": [
            {
                "case": CASES[0],
                "rows": ["mode 1", "mode 2"],
                "columns": ["mode 3", "mode 4", "mode 5"],
                "values": [[0.98, 0.03, 0.0], [0.0, 0.01, 0.0]],
            }
        ],
        "prebuckled": [
            {
                "case": CASES[0],
                "x": x.tolist(),
                "deflection": (1e-3 * (1 - edge)).tolist(),
                "hoop_force": (2e4 * edge).tolist(),
            }
        ],
        "margins": [
            {
                "case": CASES[0],
                "mode": "general instability",
                "margin": 0.31,
                "text": "+0.31",
                "status": "holds",
                "basis": "mode 1",
            },
            {
                "case": CASES[0],
                "mode": "skin pocket",
                "margin": None,
                "text": "withheld",
                "status": "withheld",
                "basis": None,
            },
            {
                "case": CASES[1],
                "mode": "general instability",
                "margin": -0.04,
                "text": "-0.04",
                "status": "fails",
                "basis": "mode 6",
            },
        ],
    }
    return data | changes


def packed(value: object) -> str:
    """JSON that may stand inside a script element."""
    return json.dumps(value, allow_nan=False).replace("<", "\\u003c")


def page_text(
    data: dict | str | None, remarks: object = None, beside: dict | None = None, *, given: bool = False
) -> str:
    """A page of the contract's skeleton around review data (or around any text in their place), and a second run's;
    `given` where the remarks are those of an earlier page."""
    report = files("shellbuck.report")
    script = report.joinpath("review/bundle/review.js").read_text(encoding="utf-8")
    style = "".join(
        report.joinpath(f"pages/templates/{name}.css").read_text(encoding="utf-8") for name in ("page", "review")
    )
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    block = data if isinstance(data, str) else packed(data)
    margins, stills = "", ""
    if isinstance(data, dict):
        for row in data["margins"]:
            case, mode = html.escape(row["case"]), html.escape(row["mode"])
            text = html.escape(row["text"])
            margins += f'<tr><td>{mode}</td><td class="n" data-case="{case}" data-row="{mode}">{text}</td></tr>'
        stills = "".join(
            f'<div class="still" data-mode="{html.escape(m["id"])}"><p>{html.escape(m["title"])}</p></div>'
            for m in data["modes"]
        )
    pair = "" if beside is None else '<div id="viewer-beside" hidden aria-label="modes of the second run"></div>'
    second = (
        "" if beside is None else f'<script type="application/json" id="review-data-beside">{packed(beside)}</script>'
    )
    blocks = "" if data is None else f'<script type="application/json" id="review-data">{block}</script>'
    return f"""<!doctype html>
<html lang="en" class="no-script"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; img-src data: blob:; style-src 'unsafe-inline'; script-src 'sha256-{digest}'">
<title>Demo barrel: margins</title><style>{style}</style></head><body>
<header class="top"><h1>Demo barrel (invented)</h1></header><main>
<h2 id="margins">1 Margins</h2><table><thead><tr><th>Failure mode</th><th class="n">margin</th></tr></thead>
<tbody>{margins}</tbody></table>
<section id="modes"><h2>2 Modes</h2>
<div id="viewer" hidden aria-label="interactive view of the modes"></div>{stills}</section>{pair}
<section id="remarks"><h2>3 Remarks</h2><div class="still"><p>No remarks were given.</p></div>
<div id="remarks-editor" hidden{" data-given" if given else ""}></div></section>
</main>{blocks}{second}<script type="application/json" id="review-remarks">{packed(remarks)}</script>
<script>{script}</script></body></html>
"""


def write_page(path: Path, data: dict | str | None, remarks: object = None, beside: dict | None = None) -> Path:
    """Write `page_text` to a file."""
    path.write_text(page_text(data, remarks, beside), encoding="utf-8")
    return path
