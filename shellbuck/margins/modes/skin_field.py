"""The skin between ribs: triangular pockets, strips between stringers, pockets between stringers and rings. Factor 1.

Hoop tension, which helps, is ignored. Where the skin buckles below the ultimate line load, what rests on the unbuckled
stiffness is withheld.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from ...core.records import Beside, ComponentUse, Worked
from ...handbook import grid, plates, work
from ..basis import plate_basis
from ..components import EXTERNAL
from ..engines import Number
from ..findings import Findings, Row, Story
from ..flows import flow_elements, pressure_elements, skin_compression, skin_shear
from ..further import flows_of, left_of, plastic_lines
from ..inelastic import reduced_field
from ..interaction import Capacity, Interaction, along
from ..keys import SKIN_FIELD
from ..plasticity import ONE_EDGE_FREE, SUPPORTED_PLATE, Plastic
from ..post_buckled import REFUSED, skin_checks, strip_of
from ..state import State
from .mode import FailureMode
from .wording import NO_COMPRESSION, joined

FACTOR_ONE = "local modes carry factor 1 (own rule)"
_CENTRES, _CLEAR = "centre-to-centre width", "clear width between lines of attachment"
_STRIP = "sigma = 4 pi^2 E/(12 (1 - nu^2)) (t/b)^2 over the {}; the skin's share of the line load is t/(t + A_s/b)"
_TRIANGLES = ("isolated simply supported triangle", "handbook coefficient 10.2 (unsafe for slender ribs)")
_TRIANGLE_SOURCES = (
    "own converged coefficient of the isolated triangle (lower bound for a continuous skin)",
    "NASA CR-124075 Rev A (second-hand)",
)


def applies(case) -> bool:
    """Whether ribs divide the skin into fields."""
    return case.skin_field is not None


def name_of(s: State) -> str:
    """What the field is called."""
    return "skin strip" if s.case.skin_field.shape == "strip" else "skin pocket"


def rows(s: State, _: Findings) -> Iterator[Row]:
    """The skin field against the line load of the whole wall."""
    yield _triangle(s) if s.case.skin_field.shape == "triangle" else _strip(s)


class Field(NamedTuple):
    """Elastic line load of a field [N/m], and the stresses [Pa] at which it buckles under axial compression, hoop
    compression and shear alone."""

    line_load: Number
    axial: Number
    hoop: Number
    shear: Number


class Told(NamedTuple):
    """Of a single design: lines up to the line load, up to the stresses under hoop compression and shear, what the
    field is, fields of the row."""

    lines: tuple[Worked, ...]
    hoop_lines: tuple[Worked, ...]
    shear_lines: tuple[Worked, ...]
    field: str
    fields: dict


def _row(s: State, of: Field, tell: Callable[[], Told]) -> Row:
    """Row of a field, limited to first yield of the wall."""
    title = name_of(s)
    left = reduced_field(s, of.line_load)
    more: dict[tuple[str, ...], tuple[Plastic, Number]] = {}
    if flows := flows_of(s):
        sheared = dict(tau=of.shear, s_xy=skin_shear(s.wall))
        elements = flow_elements(s, s.wall)
        more[flows] = left_of(plates.field_flow(**sheared), elements, ONE_EDGE_FREE, cut=True)
    if EXTERNAL in s.further:
        s_x, s_y = skin_compression(s, s.wall)
        pressed = dict(sigma_x=of.axial, sigma_y=of.hoop, s_x=s_x, s_y=s_y)
        elements = pressure_elements(s, s.wall)
        more[EXTERNAL,] = left_of(plates.field_pressure(**pressed), elements, SUPPORTED_PLATE, cut=True)
    capacities = {key: N for keys, (_, N) in more.items() for key in keys}
    mix = Interaction(s, Capacity.relieved(s, along(left.nets["field"])).beside(capacities))
    chosen = s.case.policy.post_buckled_skin is not None
    refused = s.mixed & chosen

    def told() -> Story:
        lines, hoop_lines, shear_lines, field, fields = tell()
        line = float(of.line_load)
        lines = (*lines, *left.worked)
        fields |= dict(knockdown_source=FACTOR_ONE, note=left.note, worked=lines)
        base = Story(checks=left.checks(s, title), elastic=((title, line),))
        if not s.stressed:
            uses = tuple(ComponentUse(key, 1.0) for key in s.demands)
            return base.more(row=fields | dict(note=joined(left.note, NO_COMPRESSION), components=uses))
        for keys, (plastic, _) in more.items():
            lines += (
                (*hoop_lines, work(plates.field_pressure, **pressed))
                if EXTERNAL in keys
                else (*shear_lines, work(plates.field_flow, **sheared))
            )
            lines += plastic_lines(plastic, keys)
        if chosen and mix.margin < 0:
            checks, note = skin_checks(s, title, float(mix.margin))
            base, left_note = base.more(checks=checks), joined(left.note, note)
            fields["note"] = note if refused else left_note
        return base.more(
            row=fields
            | dict(basis=plate_basis(s, line, "field between ribs", field, left.limited))
            | mix.fields(dict.fromkeys(s.demands, 1.0), lines, net=False)
        )

    return Row(
        title,
        mix.margin,
        s.stressed,
        refused={REFUSED: refused & (mix.margin < 0)} if chosen else {},
        story=told,
        allowed=chosen,
    )


def grid_terms(s: State) -> tuple[Number, Callable, dict[str, Number]]:
    """Height of the triangles [m], and the formula of their rib area ratio with its terms."""
    h, rib = s.case.skin_field.b, s.wall.ribs[0]
    if rib.depth is None:
        return h, grid.flanged_rib_ratio, dict(A=rib.area, t=s.t, h=h)
    return h, grid.rib_ratio, dict(b=rib.thickness, d=rib.depth, t=s.t, h=h)


def _triangle(s: State) -> Row:
    skin, t = s.wall.skin, s.t
    h, of_ribs, ratio = grid_terms(s)
    alpha = of_ribs(**ratio)
    family = s.case.skin_field.family
    across = "axial" if family == "hoop" else "hoop"
    isolated = dict(c_0=grid.ISOLATED_TRIANGLE[family], nu=skin.nu)
    handbook = int(bool(s.case.policy.handbook_pocket))
    coefficients = (grid.isolated_pocket_coefficient(**isolated), grid.HANDBOOK_POCKET)
    terms = dict(E=skin.E, t=t, h=h)
    own = {
        key: grid.pocket_line_load(
            grid.isolated_pocket_coefficient(grid.ISOLATED_TRIANGLE[name], skin.nu), alpha=0.0, **terms
        )
        / t
        for key, name in (("axial", family), ("hoop", across))
    }
    # a shear is a compression under 45 degrees with a tension across it, which helps
    least = np.minimum(own["axial"], own["hoop"])
    elastic = grid.pocket_line_load(coefficients[handbook], alpha=alpha, **terms)

    def tell() -> Told:
        official, other = (
            work(grid.pocket_line_load, c=coefficients[k], alpha=alpha, **terms) for k in (handbook, 1 - handbook)
        )
        of_triangle = () if handbook else (work(grid.isolated_pocket_coefficient, **isolated),)
        field = (
            f"triangular skin pocket between ribs, height {h:.4g} m, skin {t:.4g} m: it "
            "buckles by itself, about one buckle to a pocket"
        )
        hoop = work(grid.isolated_pocket_coefficient, c_0=grid.ISOLATED_TRIANGLE[across], nu=skin.nu)
        return Told(
            (work(of_ribs, **ratio), *of_triangle, official),
            (hoop,),
            (hoop,),
            field,
            dict(
                equation=f"N = c E t (1 + alpha) (t/h)^2, {_TRIANGLES[handbook]}"
                + ("; shear and hoop compression by the coefficient of the isolated triangle" if s.further else ""),
                source=_TRIANGLE_SOURCES[handbook],
                beside=(Beside(_TRIANGLES[1 - handbook], other.value),),
            ),
        )

    return _row(s, Field(elastic, own["axial"], own["hoop"], least), tell)


def _strip(s: State) -> Row:
    field, skin, t, strip = s.case.skin_field, s.wall.skin, s.t, strip_of(s)
    b, plate, sigma, A_b = strip.b, strip.plate, strip.sigma, strip.A_b
    other = field.clear if s.case.policy.clear_width is None else field.b
    sheet = dict(E=skin.E, nu=skin.nu, t=t)
    elastic = plates.strip_line_load(sigma, t, A_b)
    a = s.L if field.length is None else field.length
    short, long = np.minimum(a, b), np.maximum(a, b)
    sheared = dict(k=plates.shear_coefficient(short, long), **sheet, b=short)
    # hoop compression runs across the strip: its loaded sides are as long as the pocket
    pressed = dict(k=plates.least_rectangle_coefficient(b, a), **sheet, b=a)

    def tell() -> Told:
        Z_b = float(plates.strip_curvature(b, s.R, t, skin.nu))
        form = plates.curved_strip_coefficient if Z_b <= plates.CURVED_SWITCH else plates.wide_strip_coefficient
        k = float(form(Z_b))
        beside = [
            Beside(
                "curved strip, simply supported",
                float(elastic) * k / plates.LONG_SIMPLY_SUPPORTED,
                f"k = {k:.3f} at Z_b = {Z_b:.2f}; no knockdown is published for it",
            )
        ]
        if field.length is not None:
            m, k = plates.lowest_rectangle(field.length, b)
            beside.append(
                Beside(
                    "flat pocket of finite length",
                    float(elastic) * k / plates.LONG_SIMPLY_SUPPORTED,
                    f"k = {k:.3f} at {m} half-waves",
                )
            )
        widths = [_CENTRES, _CLEAR][:: 1 if s.case.policy.clear_width is None else -1]
        beside.append(
            Beside(f"flat strip over the {widths[1]}", float(elastic * (b / other) ** 2), f"{float(other):.4g} m")
        )
        words = (
            f"{name_of(s)} between stringers, width {b:.4g} m, skin {t:.4g} m: half-waves about as long as the strip "
            "is wide, alternately inward and outward from strip to strip"
        )
        lines = work(plates.plate_stress, **plate), work(plates.strip_line_load, sigma=sigma, t=t, A_b=A_b)
        m, _ = plates.lowest_rectangle(b, a)
        across = work(plates.rectangle_coefficient, m=m, a=b, b=a), work(plates.plate_stress, **pressed)
        of_shear = work(plates.shear_coefficient, b=short, a=long), work(plates.plate_stress, **sheared)
        equation = _STRIP.format(widths[0])
        fields = dict(equation=equation, source="Timoshenko & Gere (memory)", beside=tuple(beside))
        return Told(lines, across, of_shear, words, fields)

    return _row(s, Field(elastic, sigma, plates.plate_stress(**pressed), plates.plate_stress(**sheared)), tell)


MODES = (
    FailureMode(
        SKIN_FIELD,
        "skin pocket, skin strip",
        40,
        "local",
        applies,
        rows,
        order=0,
        walls="grids and walls with stringers",
        capacity="plate formula of the field, limited to first yield of the wall, plus p R/2 of closed ends",
        knockdown="1",
        source="Timoshenko & Gere (memory); own coefficients of the triangle; NASA CR-124075 Rev A",
        formulas=("plate-stress", "strip-line-load", "pocket-line-load", "field-flow", "field-pressure"),
        shape="the skin buckles between ribs that stay straight",
    ),
)
