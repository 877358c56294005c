"""Local modes: skin pockets and strips, stringer webs, grid ribs. Factor 1; hoop tension is ignored."""

from __future__ import annotations

from ..handbook import grid, plates, work
from ..model import Orthogrid, StiffenedWall, TriangularGrid
from ..model.case import ring_spacing
from ..records import Beside, Worked
from ..walls import RibFamily
from .basis import plate_basis
from .elastic import CUT_NOTE, LIMIT, cut_check
from .rows import local_row
from .state import Part, State


def pockets(state: State) -> Part:
    """The skin between ribs; its rows decide whether loads on unbuckled stiffness may be shown."""
    wall = state.case.wall
    if isinstance(wall, TriangularGrid):
        return _triangular_pocket(state, wall)
    if isinstance(wall, StiffenedWall | Orthogrid) and wall.stringers is not None:
        return _strip(state, wall)
    return Part()


def ribs(state: State) -> Part:
    """Crippling of blades that carry axial load."""
    wall = state.case.wall
    if isinstance(wall, TriangularGrid):
        return _grid_ribs(state, wall)
    stringers = next((r for r in state.wall.ribs if r.name == "stringers"), None)
    if stringers is not None and stringers.depth is not None:
        return _web(state, stringers)
    return Part()


def _row(
    state: State, mode: str, elastic: float, at_yield: float, *, worked: tuple[Worked, ...], equation: str,
    source: str, beside: tuple[Beside, ...], region: str, field: str,
) -> Part:  # fmt: skip
    """Row of a local elastic load [N/m] of the field that is described, cut off at the load `at_yield` of compressive
    yield."""
    cut = elastic > at_yield
    row = local_row(
        state, mode, min(elastic, at_yield), equation=equation, source=source, worked=worked, beside=beside,
        note=CUT_NOTE if cut else "", basis=plate_basis(state, elastic, region, field, LIMIT if cut else ""),
    )  # fmt: skip
    return Part((row,), (cut_check(mode),) if cut else (), elastic=((mode, elastic),))


def _grid_terms(state: State, wall: TriangularGrid) -> tuple[float, Worked]:
    h = wall.height(state.R)
    return h, work(grid.rib_ratio, b=wall.rib_thickness, d=wall.rib_depth, t=state.t, h=h)


def _triangular_pocket(state: State, wall: TriangularGrid) -> Part:
    E, nu, t = state.wall.skin.E, state.wall.skin.nu, state.t
    h, alpha = _grid_terms(state, wall)
    terms = dict(E=E, t=t, alpha=alpha.value, h=h)
    c = work(grid.isolated_pocket_coefficient, c_0=grid.ISOLATED_TRIANGLE[wall.family], nu=nu)
    isolated = work(grid.pocket_line_load, c=c.value, **terms)
    handbook = work(grid.pocket_line_load, c=grid.HANDBOOK_POCKET, **terms)
    names = ("isolated simply supported triangle", "handbook coefficient 10.2 (unsafe for slender ribs)")
    sources = (
        "own converged coefficient of the isolated triangle (lower bound for a continuous skin)",
        "NASA CR-124075 Rev A (second-hand)",
    )
    chosen = 1 if state.case.policy.handbook_pocket else 0
    official, other = ((isolated, handbook), (handbook, isolated))[chosen]
    return _row(
        state, "skin pocket", official.value, state.point.compressive_yield * t * (1 + alpha.value),
        worked=(alpha, *((c,) if chosen == 0 else ()), official), equation=f"N = c E t (1 + alpha) (t/h)^2, "
        f"{names[chosen]}", source=sources[chosen], beside=(Beside(names[1 - chosen], other.value),),
        region="field between ribs", field=f"triangular skin pocket between ribs, height {h:.4g} m, skin {t:.4g} m: it "
        "buckles by itself, about one buckle to a pocket",
    )  # fmt: skip


def _grid_ribs(state: State, wall: TriangularGrid) -> Part:
    E, nu, t = state.wall.skin.E, state.wall.skin.nu, state.t
    _, alpha = _grid_terms(state, wall)
    b, d = wall.rib_thickness, wall.rib_depth
    handbook = work(
        grid.rib_crippling_line_load, c=grid.HANDBOOK_CRIPPLING[wall.family], E=E, t=t, alpha=alpha.value, b=b, d=d
    )
    k = work(plates.one_edge_free_coefficient, nu=nu)
    sigma = work(plates.plate_stress, k=k.value, E=E, nu=nu, t=b, b=d)
    s = grid.RIB_STRESS[wall.family]
    hinged = grid.hinged_rib_line_load(sigma.value, t, alpha.value, s)
    at_yield = float(grid.hinged_rib_line_load(state.point.compressive_yield, t, alpha.value, s))
    return _row(
        state, "rib crippling", handbook.value, at_yield, worked=(alpha, handbook),
        equation=f"N = c E t (1 + alpha) (b/d)^2, c = {grid.HANDBOOK_CRIPPLING[wall.family]:g} "
        f"({wall.family} family)", source="NASA CR-124075 Rev A (second-hand)",
        beside=(Beside("hinged rib root, long plate with one edge free", float(hinged)),),
        region="rib", field=f"rib of the grid as a plate, depth {d:.4g} m, thickness {b:.4g} m: its free edge waves "
        "sideways, the skin stays",
    )  # fmt: skip


def _strip(state: State, wall: StiffenedWall | Orthogrid) -> Part:
    skin, R, t = state.wall.skin, state.R, state.t
    stringer = next(r for r in state.wall.ribs if r.name == "stringers")
    b = stringer.spacing
    A_b = stringer.area / b * stringer.E / skin.E
    sigma = work(plates.plate_stress, k=plates.LONG_SIMPLY_SUPPORTED, E=skin.E, nu=skin.nu, t=t, b=b)
    flat = work(plates.strip_line_load, sigma=sigma.value, t=t, A_b=A_b)
    Z_b = float(plates.strip_curvature(b, R, t, skin.nu))
    form = plates.curved_strip_coefficient if Z_b <= plates.CURVED_SWITCH else plates.wide_strip_coefficient
    k_curved = float(form(Z_b))
    beside = [Beside(
        "curved strip, simply supported", flat.value * k_curved / plates.LONG_SIMPLY_SUPPORTED,
        f"k = {k_curved:.3f} at Z_b = {Z_b:.2f}; no knockdown is published for it",
    )]  # fmt: skip
    pocket = wall.rings is not None
    if pocket:
        a = ring_spacing(wall.rings, state.L)
        m, k = plates.lowest_rectangle(a, b)
        beside.append(Beside(
            "flat pocket of finite length", flat.value * k / plates.LONG_SIMPLY_SUPPORTED,
            f"k = {k:.3f} at {m} half-waves",
        ))  # fmt: skip
    return _row(
        state, "skin pocket" if pocket else "skin strip", flat.value, state.point.compressive_yield * (t + A_b),
        worked=(sigma, flat), equation="sigma = 4 pi^2 E/(12 (1 - nu^2)) (t/b)^2 over the centre-to-centre width; "
        "the skin's share of the line load is t/(t + A_s/b)", source="Timoshenko & Gere (memory)",
        beside=tuple(beside), region="field between ribs", field=f"{'skin pocket' if pocket else 'skin strip'} "
        f"between stringers, width {b:.4g} m, skin {t:.4g} m: half-waves about as long as the strip is wide, "
        "alternately inward and outward from strip to strip",
    )  # fmt: skip


def _web(state: State, stringer: RibFamily) -> Part:
    skin = state.wall.skin
    ratio = stringer.E / skin.E
    k = work(plates.one_edge_free_coefficient, nu=stringer.nu)
    sigma = work(plates.plate_stress, k=k.value, E=stringer.E, nu=stringer.nu, t=stringer.thickness, b=stringer.depth)
    terms = dict(t=state.t, A_b=stringer.area / stringer.spacing * ratio, n_E=ratio)
    line = work(plates.web_line_load, sigma=sigma.value, **terms)
    at_yield = float(plates.web_line_load(state.rib_point(stringer).compressive_yield, **terms))
    return _row(
        state, "stringer web", line.value, at_yield, worked=(k, sigma, line),
        equation="hinged root, long plate with one edge free, at the skin's strain",
        source="own exact limit (textbook value 0.4255 at nu = 0.3)", beside=(), region="rib",
        field=f"stringer web as a plate, depth {stringer.depth:.4g} m, thickness {stringer.thickness:.4g} m: its free "
        "edge waves sideways, the skin stays",
    )  # fmt: skip
