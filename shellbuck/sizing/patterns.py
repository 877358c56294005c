"""The patterns: which dimensions a wall has, and how a row of values becomes a wall."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from ..core.errors import Refusal
from ..model import Orthogrid, PlainWall, StiffenedWall, Stiffeners, TriangularGrid
from ..model.wall import Side, Wall
from ..model.walls.mass import rectangle_corners, triangle_corners
from . import shop
from .shop import Rule, Setting, Values
from .space import Space, Variable


@dataclass(frozen=True)
class Pattern:
    """A way to build the wall.

    Parameters
    ----------
    name, title : str
    made : {"sheet", "milled", "built up"}
        One rolled sheet, skin and ribs from one plate, or sheet with separate stiffeners joined to it.
    pressurised : bool
        The barrel never has less than the standby pressure.
    credits_pressure : bool
        False puts every minimum pressure to zero.
    space : callable
        Setting -> Space.
    wall : callable
        (Setting, values, whole) -> Wall; counts that are not whole are written as spacings.
    fields : callable
        (Setting, values) -> dotted field of the case -> (N,) for arrays of designs, spacings for counts.
    thickness : callable
        (Setting, values) -> (N,) mass per area over density [m].
    rules : callable
        (Setting, values) -> rules.
    """

    name: str
    title: str
    made: str
    space: Callable[[Setting], Space]
    wall: Callable[[Setting, Mapping[str, float], bool], Wall]
    fields: Callable[[Setting, Values], dict[str, np.ndarray]]
    thickness: Callable[[Setting, Values], np.ndarray]
    rules: Callable[[Setting, Values], list[Rule]]
    pressurised: bool = False
    credits_pressure: bool = True


def _plain() -> Pattern:
    return Pattern(
        "plain",
        "plain sheet, no credit for pressure",
        "sheet",
        space=lambda s: Space((shop.skin(s.limits, False),)),
        wall=lambda _s, _v, _w: PlainWall(),
        fields=lambda _s, _v: {},
        thickness=lambda _s, v: v["skin"],
        rules=lambda _s, _v: [],
        credits_pressure=False,
    )


def _pressurised() -> Pattern:
    base = _plain()
    return Pattern(
        "plain-pressurised",
        "plain sheet that lives on its pressure",
        "sheet",
        base.space,
        base.wall,
        base.fields,
        base.thickness,
        base.rules,
        pressurised=True,
    )


def _triangular(side: Side, family: str) -> Pattern:
    root3 = math.sqrt(3)

    def height(s: Setting, v: Values):
        pitch = s.around(v) / v["count"]
        return pitch * root3 / 2 if family == "hoop" else pitch

    def space(s: Setting) -> Space:
        # spacing between parallel ribs is the triangle height; an axial family repeats in pairs of columns
        count = shop.around(s, root3 / 2) if family == "hoop" else shop.around(s, step=2)
        heights = 2 * math.pi * s.barrel.radius * (root3 / 2 if family == "hoop" else 1)
        low = max(count[0], 7 if family == "hoop" else 14, math.ceil(heights / s.barrel.length))
        if low > count[1]:
            raise Refusal.of(
                "range-empty",
                "no triangle of an allowed spacing fits the barrel several times",
                "limits.spacing_least",
                f"{s.limits.spacing_least * 1e3:g} mm",
                "",
                "lower spacing_least",
            )
        return Space(
            (
                shop.skin(s.limits, True),
                *shop.rib(s.limits, "", True),
                Variable("count", low, count[1], True, 1 if family == "hoop" else 2),
            )
        )

    def wall(s: Setting, v: Mapping[str, float], whole: bool) -> TriangularGrid:
        size = {"count_around": round(v["count"])} if whole else {"triangle_height": float(height(s, v))}
        return TriangularGrid(family, side, float(v["depth"]), float(v["thickness"]), **size, **_corner(s, whole))

    def thickness(s: Setting, v: Values) -> np.ndarray:
        h, own = height(s, v), (90.0, 30.0, 30.0) if family == "hoop" else (0.0, 60.0, 60.0)
        ribs = sum(s.lengthened(v, v["depth"], side, angle) for angle in own)
        corners = triangle_corners(s.limits.cutter_radius, v["depth"], h)
        return v["skin"] + v["depth"] * v["thickness"] / h * ribs + corners

    def rules(s: Setting, v: Values) -> list[Rule]:
        free = 2 / 3 * height(s, v) - v["thickness"]  # width across the circle inside the pocket
        return [
            shop.slender(s, v["depth"], v["thickness"], "rib"),
            shop.pocket(s, free, "circle inside"),
            shop.plate(s, v["skin"], v["depth"]),
        ]

    axial = "" if family == "hoop" else "axial-"
    title = f"triangular grid {side}" + ("" if family == "hoop" else ", one rib family along the axis")
    return Pattern(
        f"triangular-grid-{axial}{side}",
        title,
        "milled",
        space,
        wall,
        fields=lambda s, v: {
            "wall.rib_depth": v["depth"],
            "wall.rib_thickness": v["thickness"],
            "wall.triangle_height": height(s, v),
        },
        thickness=thickness,
        rules=rules,
    )


def _corner(s: Setting, whole: bool) -> dict[str, float]:
    """The fillets of a drawn design; they count in its mass alone."""
    return {"corner_radius": s.limits.cutter_radius} if whole else {}


def _stringer_pitch(s: Setting, v: Values):
    return s.around(v) / v["stringers"]


def _ring_pitch(s: Setting, v: Values):
    return s.barrel.length / (v["rings"] + 1)


def _orthogrid(side: Side) -> Pattern:
    def space(s: Setting) -> Space:
        widths = (s.limits.rib_thickness_least, s.limits.rib_thickness_most)
        return Space(
            (
                shop.skin(s.limits, True),
                Variable("depth", *shop.depths(s.limits, True)),
                Variable("stringer_thickness", *widths),
                Variable("ring_thickness", *widths),
                Variable("stringers", *shop.around(s), True),
                Variable("rings", *shop.along(s), True),
            )
        )

    def wall(s: Setting, v: Mapping[str, float], whole: bool) -> Orthogrid:
        size = (
            {"stringer_count": round(v["stringers"]), "ring_count": round(v["rings"])}
            if whole
            else {"stringer_spacing": float(_stringer_pitch(s, v)), "ring_spacing": float(_ring_pitch(s, v))}
        )
        return Orthogrid(
            side,
            float(v["depth"]),
            float(v["stringer_thickness"]),
            float(v["ring_thickness"]),
            **size,
            **_corner(s, whole),
        )

    def thickness(s: Setting, v: Values) -> np.ndarray:
        around, along = _stringer_pitch(s, v), _ring_pitch(s, v)
        rings = v["ring_thickness"] * v["rings"] / s.barrel.length * s.lengthened(v, v["depth"], side)
        corners = rectangle_corners(s.limits.cutter_radius, v["depth"], around, along)
        return v["skin"] + v["depth"] * (v["stringer_thickness"] / around + rings) + corners

    def rules(s: Setting, v: Values) -> list[Rule]:
        return [
            shop.slender(s, v["depth"], v["stringer_thickness"], "stringer"),
            shop.slender(s, v["depth"], v["ring_thickness"], "ring"),
            shop.pocket(s, _stringer_pitch(s, v) - v["stringer_thickness"], "around"),
            shop.pocket(s, _ring_pitch(s, v) - v["ring_thickness"], "along"),
            shop.plate(s, v["skin"], v["depth"]),
        ]

    return Pattern(
        f"orthogrid-{side}",
        f"orthogrid {side}",
        "milled",
        space,
        wall,
        fields=lambda s, v: {
            "wall.rib_depth": v["depth"],
            "wall.stringer_thickness": v["stringer_thickness"],
            "wall.ring_thickness": v["ring_thickness"],
            "wall.stringer_spacing": _stringer_pitch(s, v),
            "wall.ring_spacing": _ring_pitch(s, v),
        },
        thickness=thickness,
        rules=rules,
    )


def _stiffened(name: str, title: str, stringers: Side | None, rings: Side | None) -> Pattern:
    families = [f for f, side in (("stringer", stringers), ("ring", rings)) if side is not None]
    pitch = {"stringer": _stringer_pitch, "ring": _ring_pitch}

    def space(s: Setting) -> Space:
        found = [shop.skin(s.limits, False)]
        for f in families:
            found += shop.rib(s.limits, f"{f}_", False)
        for f in families:
            found.append(Variable(f"{f}s", *(shop.around(s) if f == "stringer" else shop.along(s)), True))
        return Space(tuple(found))

    def wall(s: Setting, v: Mapping[str, float], whole: bool) -> StiffenedWall:
        made = {}
        for f, side in (("stringer", stringers), ("ring", rings)):
            if side is None:
                continue
            size = {"count": round(v[f"{f}s"])} if whole else {"spacing": float(pitch[f](s, v))}
            made[f"{f}s"] = Stiffeners(side, "blade", float(v[f"{f}_depth"]), float(v[f"{f}_thickness"]), **size)
        return StiffenedWall(**made)

    def fields(s: Setting, v: Values) -> dict[str, np.ndarray]:
        found = {}
        for f in families:
            found |= {f"wall.{f}s.{k}": v[f"{f}_{k}"] for k in ("depth", "thickness")}
            found[f"wall.{f}s.spacing"] = pitch[f](s, v)
        return found

    def thickness(s: Setting, v: Values) -> np.ndarray:
        # as many rings as they are, one fewer than bays, each of the length of its own centroid
        found = v["skin"]
        if stringers is not None:
            found = found + v["stringer_depth"] * v["stringer_thickness"] / _stringer_pitch(s, v)
        if rings is not None:
            longer = s.lengthened(v, v["ring_depth"], rings)
            found = found + v["ring_depth"] * v["ring_thickness"] * v["rings"] / s.barrel.length * longer
        return found

    def rules(s: Setting, v: Values) -> list[Rule]:
        found = []
        for f in families:
            found.append(shop.slender(s, v[f"{f}_depth"], v[f"{f}_thickness"], f))
            found.append(shop.gap(pitch[f](s, v), v[f"{f}_thickness"], f"{f}s"))
        return found

    return Pattern(name, title, "built up", space, wall, fields, thickness, rules)


_ALL = (
    _plain(),
    _pressurised(),
    _triangular("inside", "hoop"),
    _triangular("outside", "hoop"),
    _triangular("inside", "axial"),
    _triangular("outside", "axial"),
    _orthogrid("inside"),
    _orthogrid("outside"),
    _stiffened("stringers-inside", "stringers inside", "inside", None),
    _stiffened("stringers-outside", "stringers outside", "outside", None),
    _stiffened("rings-inside", "rings inside", None, "inside"),
    _stiffened("rings-outside", "rings outside", None, "outside"),
    _stiffened("stringers-rings-inside", "stringers and rings inside", "inside", "inside"),
    _stiffened("stringers-rings-outside", "stringers outside, rings inside", "outside", "inside"),
)

PATTERNS: dict[str, Pattern] = {p.name: p for p in _ALL}
"""Every pattern by its name."""

COMPARED = (
    "plain",
    "plain-pressurised",
    "triangular-grid-inside",
    "triangular-grid-outside",
    "orthogrid-inside",
    "orthogrid-outside",
    "stringers-rings-inside",
    "stringers-rings-outside",
)
"""Patterns of a comparison that names none."""


def pattern_named(name: str) -> Pattern:
    """A pattern by its name.

    Raises
    ------
    Refusal
        When there is none; the message names the nearest.
    """
    import difflib

    if name in PATTERNS:
        return PATTERNS[name]
    near = difflib.get_close_matches(name, PATTERNS, 1, 0.4)
    raise Refusal.of(
        "pattern-unknown",
        "no such pattern",
        "--pattern",
        name[:60],
        ", ".join(PATTERNS),
        f"did you mean {near[0]}?" if near else "",
    )
