"""A seeded generator of case files: valid ones, broken ones and hostile ones, as (kind, bytes)."""

from __future__ import annotations

import json
from collections.abc import Callable
from random import Random

METALS = ("2195-T8", "2219-T87", "6061-T6", "7075-T6", "304 annealed", "301 full hard", "Ti-6Al-4V")
Tree = dict


def _mm(value: float) -> str:
    return f"{value * 1e3:.4g} mm"


def _length(rng: Random, value: float) -> str:
    """The same length in one of the trade's units."""
    unit, scale = rng.choice([("mm", 1e-3), ("m", 1.0), ("in", 0.0254), ("cm", 0.01), ("ft", 0.3048), ("mil", 2.54e-5)])
    return f"{value / scale:.8g} {unit}"


def valid_tree(rng: Random) -> Tree:
    """A barrel that a designer might draw, with loads from harmless to far too much."""
    R = rng.uniform(0.3, 5.0)
    t = R / 10 ** rng.uniform(1.9, 3.3)
    L = R * 10 ** rng.uniform(-0.9, 0.9)
    walls = {
        "plain": _plain,
        "triangular grid": _grid,
        "stiffened": _stiffened,
        "orthogrid": _orthogrid,
        "given stiffness": _given,
    }
    kind = rng.choice(list(walls))
    tree: Tree = {
        "identity": {"title": f"invented {rng.randrange(10**6)}"},
        "barrel": {
            "radius": _length(rng, R),
            "length": _length(rng, L),
            "ends": rng.choice(["closed", "open"]),
            "radius_is": rng.choice(["skin middle", "inner", "outer"]),
            "skin_thickness": _length(rng, t),
            "skin_thickness_minimum": _length(rng, t * rng.choice([0.9, 0.95, 0.9999])),
        },
        "wall": {"kind": kind, **walls[kind](rng, R, L, t)},
        "load_cases": [_load(rng, i, R, t) for i in range(rng.choice([1, 1, 1, 2, 3]))],
    }
    if kind != "given stiffness" or rng.random() < 0.3:
        tree["material"] = rng.choice(METALS)
    if tree["barrel"]["ends"] == "open":
        for load in tree["load_cases"]:
            load.pop("axial_force_includes_thrust", None)
            load.pop("thrust_pressure", None)
    if rng.random() < 0.2:
        tree["policy"] = rng.choice(
            [
                {"stability_thickness": "nominal"},
                {"handbook_pocket": {"reason": "test"}},
                {"own_knockdown": {"axial": 0.4, "bending": 0.5, "reason": "test"}},
                {"computed_pressure_gain": {"reason": "test"}},
            ]
        )
    return tree


def _plain(rng: Random, R: float, L: float, t: float) -> Tree:
    return {}


def _grid(rng: Random, R: float, L: float, t: float) -> Tree:
    depth = t * rng.uniform(2, 12)
    height = min(L * 0.9, R * 0.9, t * rng.uniform(20, 80))
    size = rng.choice(
        [
            {"triangle_height": _mm(height)},
            {"triangle_side": _mm(height * 1.1547)},
            {"count_around": max(8, round(6.28 * R / (height * 1.1547)))},
        ]
    )
    return {
        "family": rng.choice(["hoop", "axial"]),
        "side": _side(rng),
        "rib_depth": _mm(min(depth, R * 0.15)),
        "rib_thickness": _mm(min(t * rng.uniform(0.5, 2), height / 3)),
        **size,
    }


def _side(rng: Random) -> str:
    return rng.choice(["inside", "outside"])


def _family(rng: Random, R: float, t: float, spacing: float) -> Tree:
    width = min(t * rng.uniform(0.5, 3), spacing / 3)
    depth = min(t * rng.uniform(2, 20), R * 0.15)
    if rng.random() < 0.6:
        body = {"section": "blade", "depth": _mm(depth), "thickness": _mm(width)}
    else:
        body = {
            "section": "given",
            "area": f"{depth * width * 1e6:.5g} mm^2",
            "eccentricity": _mm(depth / 2),
            "inertia": f"{width * depth**3 / 12 * 1e12:.5g} mm^4",
            "torsion_constant": f"{depth * width**3 / 3 * 1e12:.5g} mm^4",
        }
    if rng.random() < 0.1:
        body["material"] = rng.choice(METALS)
    return {"side": _side(rng), **body}


def _stiffened(rng: Random, R: float, L: float, t: float) -> Tree:
    spacing, bay = min(R / 3, t * rng.uniform(15, 100)), L / rng.randrange(3, 12)
    stringers = {"stringers": {**_family(rng, R, t, spacing), "spacing": _mm(spacing)}}
    rings = {"rings": {**_family(rng, R, t, bay), "count": round(L / bay) - 1}}
    return rng.choice([stringers, rings, {**stringers, **rings}])


def _orthogrid(rng: Random, R: float, L: float, t: float) -> Tree:
    spacing, bay = min(R / 3, t * rng.uniform(15, 80)), min(L / 3, t * rng.uniform(15, 120))
    return {
        "side": _side(rng),
        "rib_depth": _mm(min(t * rng.uniform(1, 15), R * 0.15)),
        "stringer_thickness": _mm(min(t, spacing / 3)),
        "ring_thickness": _mm(min(t, bay / 3)),
        "stringer_spacing": _mm(spacing),
        "ring_spacing": _mm(bay),
    }


def _given(rng: Random, R: float, L: float, t: float) -> Tree:
    E, nu, up, z = 72e9, 0.33, rng.uniform(1, 4), t * rng.uniform(-2, 2)
    a, d = E * t / (1 - nu**2), E * t**3 / 12 / (1 - nu**2) * rng.uniform(1, 50)

    def block(unit: str, x: float, y: float, shear: float, cross: float) -> Tree:
        return {"unit": unit, "rows": [[x, cross, 0.0], [cross, y, 0.0], [0.0, 0.0, shear]]}

    return {
        "mass_per_area": f"{2800 * t * up:.5g} kg/m^2",
        "A": block("N/m", a * up, a, a * (1 - nu) / 2, a * nu),
        "B": block("N", a * (up - 1) * z, 0.0, 0.0, 0.0),
        "D": block("N*m", d + a * up * z**2, d, d * (1 - nu) / 2, d * nu),
    }


def _load(rng: Random, i: int, R: float, t: float) -> Tree:
    N = 0.6 * 72e9 * t**2 / R * 10 ** rng.uniform(-2, 1)
    load: Tree = {"name": f"case {i}", "factors": rng.choice(["agency prototype", "expendable vehicle"])}
    if rng.random() < 0.85:
        load["axial_force"] = f"{N * 6.28 * R / 1e3 * rng.choice([1, 1, 1, 0, -0.3]):.5g} kN"
    if rng.random() < 0.7:
        load["bending_moment"] = f"{N * 3.14 * R**2 / 1e3 * rng.choice([1, 0.3, -1, 0]):.5g} kN*m"
    if rng.random() < 0.6:
        p = 200e6 * t / R * rng.random() * rng.choice([1, 0.1, 0])
        load |= {
            "pressure_minimum": f"{p / 1e3:.5g} kPa",
            "pressure_maximum": f"{p / 1e3 * 1.3:.5g} kPa",
            "axial_force_includes_thrust": False,
        }
        if rng.random() < 0.2:
            load |= {"axial_force_includes_thrust": True, "thrust_pressure": f"{p / 1e3:.5g} kPa"}
    return load


# --- breaking a valid tree


def tables(tree: object) -> list:
    """Every table and list of a tree, itself first."""
    found = [tree] if isinstance(tree, dict | list) else []
    for value in tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else []:
        found += tables(value)
    return found


def _entry(rng: Random, tree: Tree) -> tuple[Tree, str]:
    table = rng.choice([t for t in tables(tree) if isinstance(t, dict) and t])
    return table, rng.choice(list(table))


def _drop(rng: Random, tree: Tree) -> None:
    for _ in range(rng.randrange(1, 4)):
        table, key = _entry(rng, tree)
        del table[key]


def _misspell(rng: Random, tree: Tree) -> None:
    table, key = _entry(rng, tree)
    at = rng.randrange(len(key))
    table[key[:at] + rng.choice(["", "x", key[at] * 2, "_", "é"]) + key[at + 1 :]] = table.pop(key)


WRONG = (
    0,
    -1,
    1.5,
    True,
    [],
    {},
    "",
    " ",
    "2.3",
    "2.3 mmm",
    "nan mm",
    "-3 mm",
    "3 K",
    "1e400 m",
    "0 mm",
    "0 N",
    "1 psia",
    [[1, 2], [3]],
    {"a": {"b": []}},
    float("nan"),
    float("inf"),
    -float("inf"),
    10**30,
    10**400,
    "1e9 km",
    "-1e9 MN",
    "1e-300 m",
    "5e-324 N",
    "1e308 N",
    "1e6 GPa",
    "2,5 mm",
    "plain",
    "closed",
    [{}],
    [1],
    ["x"],
)


def _spoil(rng: Random, tree: Tree) -> None:
    for _ in range(rng.randrange(1, 4)):
        table, key = _entry(rng, tree)
        table[key] = rng.choice(WRONG)


def _stretch(rng: Random, tree: Tree) -> None:
    """Right kind, absurd size: every quantity of a table times a power of ten."""
    for _ in range(rng.randrange(1, 4)):
        table, key = _entry(rng, tree)
        if isinstance(table[key], str) and table[key][:1].isdigit() and " " in table[key]:
            number, unit = table[key].split(" ", 1)
            table[key] = f"{float(number) * 10.0 ** rng.randrange(-9, 10):.6g} {unit}"


HOSTILE = (
    "<script>alert(1)</script>",
    "\x00",
    "\x1b[31m",
    "\u202e",
    "{{ 7*7 }}",
    "{% raw %}",
    "' OR 1=1",
    "../../etc",
    "\ud7ff\U0001f680",
    "\u0000\u0008",
    "a" * 5000,
    "%s%n",
    "${HOME}",
    "[/bold]",
    "\\",
    '"',
    "\r\n",
    "-" * 90,
    "مرحبا",
    "\u0301" * 50,
    "</style>",
    "NaN",
    "&amp;",
    "1" * 4000,
)


def _poison(rng: Random, tree: Tree) -> None:
    for _ in range(rng.randrange(1, 4)):
        table, key = _entry(rng, tree)
        text = rng.choice(HOSTILE)
        if rng.random() < 0.3:
            table[text] = table[key]
        else:
            table[key] = rng.choice([text, f"2 {text}", f"{table[key]}{text}"])


BREAKERS: dict[str, Callable[[Random, Tree], None]] = {
    "dropped": _drop,
    "misspelt": _misspell,
    "spoilt": _spoil,
    "stretched": _stretch,
    "poisoned": _poison,
}


# --- writing


def toml(tree: Tree) -> str:
    """TOML of a tree, tables inline."""
    return "".join(f"{_key(k)} = {_value(v)}\n" for k, v in tree.items())


def _key(key: str) -> str:
    return json.dumps(key, ensure_ascii=True).replace("\\ud83d\\ude80", "\\U0001f680").replace("\x7f", "\\u007f")


def _value(value: object) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return _key(value) if isinstance(value, str) else str(value)


def _mangled(rng: Random, text: str) -> bytes:
    """Bytes that were a case: cut, doubled, re-encoded, sprinkled with rubbish, or nested without end."""
    data = text.encode()
    at = rng.randrange(len(data))
    return rng.choice(
        [
            lambda: data[:at],
            lambda: data + data,
            lambda: text.encode("utf-16"),
            lambda: b"\xff" + data,
            lambda: data[:at] + rng.randbytes(rng.randrange(1, 20)) + data[at:],
            lambda: rng.randbytes(500),
            lambda: b"",
            lambda: b"\xef\xbb\xbf" + data,
            lambda: text.replace("\n", "\r\n").encode(),
            lambda: data.replace(b'"', b"'"),
            lambda: b"a = " + b"[" * 3000 + b"]" * 3000 + b"\n" + data,
            lambda: b"a = " + b"1" * 5000 + b"\n" + data,
            lambda: data + b"[a" + b".a" * 2000 + b"]\n",
            lambda: data + b"# " + b"x" * 2_000_000,
            lambda: data + b"x = 1\n" * 3,
            lambda: text.swapcase().encode(),
            lambda: data.replace(b"=", b":"),
        ]
    )()


def case_file(seed: int) -> tuple[str, bytes]:
    """The case file of a seed: what was done to it, and its bytes."""
    rng = Random(seed)
    tree = valid_tree(rng)
    kind = rng.choice(["valid", "valid", "valid", *BREAKERS, "mangled"])
    if kind in BREAKERS:
        BREAKERS[kind](rng, tree)
    if kind == "mangled":
        return kind, _mangled(rng, toml(tree))
    return kind, toml(tree).encode()
