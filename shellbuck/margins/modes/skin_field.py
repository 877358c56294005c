"""The skin between ribs: triangular pockets, strips between stringers, pockets between stringers and rings. Factor 1.

Hoop tension, which helps, is ignored. Where the skin buckles below the ultimate line load, what rests on the unbuckled
stiffness is withheld.
"""

from __future__ import annotations

from collections.abc import Iterator

from ...core.records import Beside, ComponentUse, Worked
from ...handbook import grid, interaction, plates, work
from ..basis import plate_basis
from ..components import AXIAL, BENDING
from ..engines import Number
from ..findings import Findings, Row, Story
from ..inelastic import reduced_field
from ..interaction import local_margin, local_uses
from ..keys import SKIN_FIELD
from ..state import State
from .mode import FailureMode
from .wording import NO_COMPRESSION, joined

FACTOR_ONE = "local modes carry factor 1 (own rule)"
_STRIP = (
    "sigma = 4 pi^2 E/(12 (1 - nu^2)) (t/b)^2 over the centre-to-centre width; the skin's share of the line load is "
    "t/(t + A_s/b)"
)
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


def _row(s: State, elastic: Number, story) -> Row:
    """Row of a field with this elastic line load [N/m], cut off at first yield of the wall; `story` gives its worked
    lines and other fields."""
    title = name_of(s)
    left = reduced_field(s, elastic)
    margin = local_margin(s, left.nets["field"])

    def told() -> Story:
        worked, field, fields = story()
        line = float(elastic)
        fields |= dict(knockdown_source=FACTOR_ONE, note=left.note, worked=(*worked, *left.worked))
        base = Story(checks=left.checks(s, title), elastic=((title, line),))
        if not s.compressed:
            uses = (ComponentUse(AXIAL, 1.0), ComponentUse(BENDING, 1.0))
            return base.more(row=fields | dict(note=joined(left.note, NO_COMPRESSION), components=uses))
        relief = float(s.tension + s.relief)
        net = float(left.nets["field"])
        total = work(interaction.local_margin, N_local=net, relief=relief, f_s=s.factor, N=s.compression)
        return base.more(
            row=fields
            | dict(
                capacity=net + relief,
                components=local_uses(s, net + relief),
                worked=(*fields["worked"], *s.worked_loads, total),
                basis=plate_basis(s, line, "field between ribs", field, left.limited),
            )
        )

    return Row(title, margin, s.compressed, story=told)


def grid_terms(s: State) -> tuple[Number, dict[str, Number]]:
    """Height of the triangles [m], and the terms of their rib area ratio."""
    h, rib = s.case.skin_field.b, s.wall.ribs[0]
    return h, dict(b=rib.thickness, d=rib.depth, t=s.t, h=h)


def _triangle(s: State) -> Row:
    skin, t = s.wall.skin, s.t
    h, ratio = grid_terms(s)
    alpha = grid.rib_ratio(**ratio)
    isolated = dict(c_0=grid.ISOLATED_TRIANGLE[s.case.skin_field.family], nu=skin.nu)
    handbook = int(bool(s.case.policy.handbook_pocket))
    coefficients = (grid.isolated_pocket_coefficient(**isolated), grid.HANDBOOK_POCKET)
    elastic = grid.pocket_line_load(coefficients[handbook], skin.E, t, alpha, h)

    def story() -> tuple[tuple[Worked, ...], str, dict]:
        terms = dict(E=skin.E, t=t, alpha=alpha, h=h)
        official, other = (work(grid.pocket_line_load, c=coefficients[k], **terms) for k in (handbook, 1 - handbook))
        of_triangle = () if handbook else (work(grid.isolated_pocket_coefficient, **isolated),)
        field = (
            f"triangular skin pocket between ribs, height {h:.4g} m, skin {t:.4g} m: it "
            "buckles by itself, about one buckle to a pocket"
        )
        return (
            (work(grid.rib_ratio, **ratio), *of_triangle, official),
            field,
            dict(
                equation=f"N = c E t (1 + alpha) (t/h)^2, {_TRIANGLES[handbook]}",
                source=_TRIANGLE_SOURCES[handbook],
                beside=(Beside(_TRIANGLES[1 - handbook], other.value),),
            ),
        )

    return _row(s, elastic, story)


def _strip(s: State) -> Row:
    field, skin, t = s.case.skin_field, s.wall.skin, s.t
    stringer, b = next(rib for rib in s.wall.ribs if rib.name == "stringers"), field.b
    A_b = stringer.area / b * stringer.E / skin.E
    plate = dict(k=plates.LONG_SIMPLY_SUPPORTED, E=skin.E, nu=skin.nu, t=t, b=b)
    sigma = plates.plate_stress(**plate)
    elastic = plates.strip_line_load(sigma, t, A_b)

    def story() -> tuple[tuple[Worked, ...], str, dict]:
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
        words = (
            f"{name_of(s)} between stringers, width {b:.4g} m, skin {t:.4g} m: half-waves about as long as the strip "
            "is wide, alternately inward and outward from strip to strip"
        )
        lines = work(plates.plate_stress, **plate), work(plates.strip_line_load, sigma=sigma, t=t, A_b=A_b)
        return lines, words, dict(equation=_STRIP, source="Timoshenko & Gere (memory)", beside=tuple(beside))

    return _row(s, elastic, story)


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
        capacity="plate formula of the field, cut off at first yield of the wall, plus p R/2 of closed ends",
        knockdown="1",
        source="Timoshenko & Gere (memory); own coefficients of the triangle; NASA CR-124075 Rev A",
        formulas=("plate-stress", "strip-line-load", "pocket-line-load", "local-margin"),
        shape="the skin buckles between ribs that stay straight",
    ),
)
