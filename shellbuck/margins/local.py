"""Local modes: skin pockets and strips, stringer webs, grid ribs. Factor 1.

Pockets and strips ignore hoop tension, which helps them; ribs are judged by their own stress, into which it counts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..core.records import Beside, Worked
from ..handbook import grid, interaction, plates, strength, work
from ..model import Orthogrid, StiffenedWall, TriangularGrid
from ..model.case import ring_spacing
from ..model.walls import RibFamily
from .basis import plate_basis
from .crippling import most_compressed, rib_states
from .elastic import CUT_NOTE, LIMIT, cut_at_yield, cut_check
from .membrane import AXIAL, LEAST_STRESS, rib_strain
from .rows import blank_row, local_row, verdict_of
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
    """Crippling of blades by their own stress, stringers and rings."""
    wall = state.case.wall
    if isinstance(wall, TriangularGrid):
        return _grid_ribs(state, wall)
    part = Part()
    for rib in state.wall.ribs:
        if rib.depth is not None:
            part += _web(state, rib)
    return part


def _pocket_row(
    state: State,
    mode: str,
    elastic: float,
    *,
    worked: tuple[Worked, ...],
    equation: str,
    source: str,
    beside: tuple[Beside, ...],
    field: str,
) -> Part:
    """Row of a skin field with this elastic line load [N/m], cut off at first yield of the wall."""
    cut = cut_at_yield(state, state.wall, mode, (elastic,))
    row = local_row(
        state,
        mode,
        cut.nets[0],
        equation=equation,
        source=source,
        worked=(*worked, *cut.worked),
        beside=beside,
        note=cut.note,
        basis=plate_basis(state, elastic, "field between ribs", field, cut.limited),
    )
    return Part((row,), cut.checks, elastic=((mode, elastic),))


def _rib_row(
    state: State,
    mode: str,
    ribs: Sequence[RibFamily],
    crippling: Worked,
    *,
    worked: tuple[Worked, ...],
    equation: str,
    source: str,
    field: str,
    beside: tuple[Beside, ...] = (),
) -> Part:
    """Row of ribs with this crippling stress [Pa] against their own stress, the worst of every state."""
    at_yield = state.rib_point(ribs[0]).compressive_yield
    cut = crippling.value > at_yield
    limit = min(crippling.value, at_yield)
    states = list(rib_states(state, ribs, limit))
    base = blank_row(
        state,
        mode,
        "local",
        quantity="stress",
        equation=equation,
        source=source,
        worked=worked,
        beside=beside,
        knockdown_axial=1.0,
        knockdown_bending=1.0,
        knockdown_source="local modes carry factor 1 (own rule)",
        demand=max(float(one.limit) for one in states),
        capacity=limit,
        note=CUT_NOTE if cut else "",
    )
    checks = (cut_check(mode),) if cut else ()
    axial = max(float(strength.rib_stress(**unit)) for unit in _units(state, ribs))
    elastic = ((mode, crippling.value / axial),) if axial > 0 else ()
    judged = [one for one in states if one.loaded]
    if not judged:
        return Part(
            (replace(base, note="; ".join(filter(None, (base.note, "no rib is compressed")))),), checks, elastic=elastic
        )
    worst = min(judged, key=lambda one: float(one.margin))
    fixed, scaled = (work(strength.rib_stress, **terms) for terms in (worst.fixed_terms, worst.limit_terms))
    where = ", ".join(filter(None, (worst.rib.name, worst.generator, worst.pressure)))
    if worst.limit > LEAST_STRESS:
        total = work(interaction.rib_margin, s_c=limit, s_p=fixed.value, f_s=state.factor, s_L=scaled.value)
        steps, demand, capacity = (*state.worked_loads, fixed, scaled, total), scaled.value, limit - fixed.value
    else:
        total = work(strength.stress_margin, F=limit, sigma=fixed.value)
        where += ": cripples under the fixed loads alone"
        steps, demand, capacity = (fixed, total), fixed.value, limit
    return Part(
        (
            replace(
                base,
                status=verdict_of(total.value),
                demand=demand,
                capacity=capacity,
                margin=total.value,
                worked=(*worked, *steps),
                note="; ".join(filter(None, (base.note, where))),
                basis=plate_basis(
                    state, crippling.value / axial if axial > 0 else 0.0, "rib", field, LIMIT if cut else ""
                ),
            ),
        ),
        checks,
        elastic=elastic,
    )


def _units(state: State, ribs: Sequence[RibFamily]) -> Iterator[dict[str, float]]:
    """Terms of the stress of every rib under an axial line load of 1 N/m."""
    for rib in ribs:
        yield dict(E=rib.E, a_x=rib_strain(state.wall, rib, AXIAL), a_theta=0.0, N_x=-1.0, N_theta=0.0)


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
    return _pocket_row(
        state,
        "skin pocket",
        official.value,
        worked=(alpha, *((c,) if chosen == 0 else ()), official),
        equation=f"N = c E t (1 + alpha) (t/h)^2, {names[chosen]}",
        source=sources[chosen],
        beside=(Beside(names[1 - chosen], other.value),),
        field=f"triangular skin pocket between ribs, height {h:.4g} m, skin {t:.4g} m: it "
        "buckles by itself, about one buckle to a pocket",
    )


def _grid_ribs(state: State, wall: TriangularGrid) -> Part:
    E, nu, t = state.wall.skin.E, state.wall.skin.nu, state.t
    _, alpha = _grid_terms(state, wall)
    b, d = wall.rib_thickness, wall.rib_depth
    handbook = work(
        grid.rib_crippling_line_load, c=grid.HANDBOOK_CRIPPLING[wall.family], E=E, t=t, alpha=alpha.value, b=b, d=d
    )
    rib, per_load = most_compressed(state.wall)
    unit = next(u for u, one in zip(_units(state, state.wall.ribs), state.wall.ribs, strict=True) if one is rib)
    crippling = work(strength.rib_stress, **{**unit, "N_x": -handbook.value})
    k = work(plates.one_edge_free_coefficient, nu=nu)
    sigma = work(plates.plate_stress, k=k.value, E=E, nu=nu, t=b, b=d)
    return _rib_row(
        state,
        "rib crippling",
        state.wall.ribs,
        crippling,
        worked=(alpha, handbook, crippling),
        equation=f"stress of the most compressed rib ({rib.name}) at N = c E t (1 + alpha) (b/d)^2, "
        f"c = {grid.HANDBOOK_CRIPPLING[wall.family]:g} ({wall.family} family), over every rib's own stress",
        source="NASA CR-124075 Rev A (second-hand)",
        beside=(Beside("hinged rib root, long plate with one edge free", sigma.value / float(per_load)),),
        field=f"grid rib as a plate, depth {d:.4g} m, thickness {b:.4g} m: its free edge waves sideways, the skin "
        "stays",
    )


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
    beside = [
        Beside(
            "curved strip, simply supported",
            flat.value * k_curved / plates.LONG_SIMPLY_SUPPORTED,
            f"k = {k_curved:.3f} at Z_b = {Z_b:.2f}; no knockdown is published for it",
        )
    ]
    pocket = wall.rings is not None
    if pocket:
        a = ring_spacing(wall.rings, state.L)
        m, k = plates.lowest_rectangle(a, b)
        beside.append(
            Beside(
                "flat pocket of finite length",
                flat.value * k / plates.LONG_SIMPLY_SUPPORTED,
                f"k = {k:.3f} at {m} half-waves",
            )
        )
    return _pocket_row(
        state,
        "skin pocket" if pocket else "skin strip",
        flat.value,
        worked=(sigma, flat),
        equation="sigma = 4 pi^2 E/(12 (1 - nu^2)) (t/b)^2 over the centre-to-centre width; "
        "the skin's share of the line load is t/(t + A_s/b)",
        source="Timoshenko & Gere (memory)",
        beside=tuple(beside),
        field=f"{'skin pocket' if pocket else 'skin strip'} "
        f"between stringers, width {b:.4g} m, skin {t:.4g} m: half-waves about as long as the strip is wide, "
        "alternately inward and outward from strip to strip",
    )


def web_mode(rib: RibFamily) -> str:
    """Name of the crippling row of a blade family."""
    return f"{rib.name.removesuffix('s')} web"


def _web(state: State, rib: RibFamily) -> Part:
    k = work(plates.one_edge_free_coefficient, nu=rib.nu)
    sigma = work(plates.plate_stress, k=k.value, E=rib.E, nu=rib.nu, t=rib.thickness, b=rib.depth)
    return _rib_row(
        state,
        web_mode(rib),
        (rib,),
        sigma,
        worked=(k, sigma),
        equation="hinged root, long plate with one edge free, over the rib's own stress",
        source="own exact limit (textbook value 0.4255 at nu = 0.3)",
        field=f"{web_mode(rib)} as a plate, depth {rib.depth:.4g} m, thickness {rib.thickness:.4g} m: its free "
        "edge waves sideways, the skin stays",
    )
