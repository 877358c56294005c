"""Local buckling of a case's wall from one cell that repeats for ever, beside the handbook's coefficients.

The ribs' plates start at the skin's surface (root "offset"), so that line loads are those of the section as drawn. Flat
unless a radius is given; the barrel's ends are far away, and the material is elastic.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from ..core.errors import Refusal
from ..engines.cell import Cell, CellRib, Fineness, LineLoads, LoadedCell, OrthogridCell, StringerCell, TriangleCell
from ..engines.cell.meshing import MeshedCell, mesh_cell
from ..engines.cell.search import Lowest, lowest_over_phases
from ..handbook import grid, interaction, plates, torsion
from ..model import Case, LoadCase
from ..model.walls import RibFamily, SmearedWall, build_wall

SLENDER_POCKET = 6.0
"""Length over width from which a pocket between stringers and rings is a strip without end: its rings are left out,
which is on the safe side."""

Tell = Callable[[str], None]


@dataclass(frozen=True)
class WallCell:
    """The cell of a case's wall.

    Parameters
    ----------
    cell : Cell
    wall : SmearedWall
        Of the section as drawn.
    left_out : str
        What of the wall the cell leaves out; empty for nothing.
    """

    cell: Cell
    wall: SmearedWall
    left_out: str = ""

    def mesh(self, radius: float | None = None) -> MeshedCell:
        """The cell as meshed here; flat without a radius [m]."""
        fineness = Fineness(along=1) if isinstance(self.cell, StringerCell) else Fineness()
        return mesh_cell(self.cell, radius=radius, root="offset", fineness=fineness)


def cell_of(case: Case, temperature: float | None = None) -> WallCell:
    """The cell of a case's wall at a temperature [K], with the skin thickness that decides stability.

    Raises
    ------
    Refusal
        For walls without a field of isotropic skin between blades.
    """
    wall = build_wall(case, temperature)
    field, skin = case.skin_field, wall.skin
    if field is None or skin is None:
        raise _refused("a cell repeats between stringers or in a grid", case.wall.kind)
    metal = dict(thickness=skin.t, youngs_modulus=skin.E, poissons_ratio=skin.nu)
    if field.shape == "triangle":
        side = field.b * 2 / math.sqrt(3)
        return WallCell(TriangleCell(**metal, family=field.family, side=side, rib=_rib(wall.ribs[0])), wall)
    stringers = next(rib for rib in wall.ribs if rib.angle == 0.0)
    rings = next((rib for rib in wall.ribs if rib.angle == 90.0), None)
    stringer = _rib(stringers)
    if rings is not None and field.length <= SLENDER_POCKET * field.b and rings.depth is not None:
        return WallCell(
            OrthogridCell(**metal, pitch=field.b, length=field.length, stringer=stringer, ring=_rib(rings)), wall
        )
    # half-waves down to half a width, or to the depth of the stringer
    length = min(field.b / 2, stringer.depth)
    left_out = "" if rings is None else "the rings: the strip between stringers is taken without end"
    return WallCell(StringerCell(**metal, pitch=field.b, length=length, stringer=stringer), wall, left_out)


def _rib(rib: RibFamily) -> CellRib:
    if rib.depth is None:
        raise _refused("only blades are modelled as plates", f"{rib.name} of another section")
    side = "outside" if rib.z > 0 else "inside"
    return CellRib(rib.depth, rib.thickness, side, youngs_modulus=rib.E, poissons_ratio=rib.nu)


def _refused(what: str, got: str) -> Refusal:
    return Refusal.of(
        "mesh-shape",
        f"no repeating cell for this wall: {what}",
        "wall",
        got,
        "blades",
        "see the rows of `shellbuck run`",
    )


@dataclass(frozen=True)
class Coefficient:
    """A buckling coefficient, computed and as handbooks have it.

    Parameters
    ----------
    symbol : str
    value : float
    handbook : tuple of (str, float)
        What each is, and its value.
    """

    symbol: str
    value: float
    handbook: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class CellState:
    """A load ratio and the lowest load over phases.

    Parameters
    ----------
    name : str
    lowest : Lowest
    field : Coefficient
        Of the skin field.
    rib : Coefficient
        Of the most compressed rib.
    """

    name: str
    lowest: Lowest
    field: Coefficient
    rib: Coefficient | None


UNIT = {"N_x": LineLoads(axial=1.0), "N_theta": LineLoads(hoop=1.0), "N_xtheta": LineLoads(shear=1.0)}
"""Line loads that act alone."""


def alone(
    of: WallCell, *, held: bool = True, radius: float | None = None, tell: Tell = lambda _: None
) -> Iterator[CellState]:
    """Every line load alone: the local load, or with `held` False the lowest of waves up to four cells long; flat
    without a radius [m]."""
    meshed = of.mesh(radius)
    for name, load in UNIT.items():
        tell(f"{name}: searching phases")
        yield _state(of, name, lowest_over_phases(LoadedCell(meshed, load, held_lines=held), tell=tell))


def _state(of: WallCell, name: str, lowest: Lowest) -> CellState:
    return CellState(name, lowest, field_coefficient(of, name, lowest), rib_coefficient(of, lowest))


def field_coefficient(of: WallCell, name: str, lowest: Lowest) -> Coefficient:
    """The coefficient of the skin field: of triangles c = N/(E t (1 + alpha)) (h/t)^2, of rectangles and strips k = 12
    (1 - nu^2) sigma/(pi^2 E) (b/t)^2 with the skin's own stress."""
    cell, skin = of.cell, of.wall.skin
    if isinstance(cell, TriangleCell):
        loads = lowest.load.loads
        N = {"N_x": loads.axial, "N_theta": loads.hoop, "N_xtheta": loads.shear}[name]
        alpha = grid.rib_ratio(cell.rib.thickness, cell.rib.depth, cell.thickness, cell.height)
        c = N / (skin.E * skin.t * (1 + alpha)) * (cell.height / skin.t) ** 2
        if name == "N_xtheta":
            return Coefficient("c", c)
        family = cell.family if name == "N_x" else {"hoop": "axial", "axial": "hoop"}[cell.family]
        isolated = grid.isolated_pocket_coefficient(grid.ISOLATED_TRIANGLE[family], skin.nu)
        known = (("isolated triangle", isolated),)
        return Coefficient("c", c, (*known, ("handbook", grid.HANDBOOK_POCKET)) if name == "N_x" else known)
    e_x, e_theta, g = lowest.load.strain
    plane = skin.E / (1 - skin.nu**2)
    stress = {
        "N_x": -plane * (e_x + skin.nu * e_theta),
        "N_theta": -plane * (e_theta + skin.nu * e_x),
        "N_xtheta": plane * (1 - skin.nu) / 2 * abs(g),
    }[name]
    b = cell.pitch
    a = cell.length if isinstance(cell, OrthogridCell) else math.inf
    short = min(a, b) if name == "N_xtheta" else b
    k = stress * 12 * (1 - skin.nu**2) / (math.pi**2 * skin.E) * (short / skin.t) ** 2
    if name == "N_xtheta":
        known = plates.shear_coefficient(short, max(a, b)) if math.isfinite(a) else 5.34
    elif name == "N_x":
        known = plates.LONG_SIMPLY_SUPPORTED
    else:  # over the width b, loaded sides as long as the pocket
        known = plates.least_rectangle_coefficient(b, a) * (b / a) ** 2 if math.isfinite(a) else 1.0
    return Coefficient("k", float(k), (("simply supported", float(known)),))


def rib_coefficient(of: WallCell, lowest: Lowest) -> Coefficient | None:
    """k = 12 (1 - nu^2) e/pi^2 (d/b)^2 of the most compressed rib, beside that of a long plate with one edge free; None
    where no rib is compressed."""
    strain = np.array(lowest.load.strain)
    found = [(-float(rib.direction @ strain), rib) for rib in of.wall.ribs if rib.depth is not None]
    e, rib = max(found, key=lambda each: each[0])
    if e <= 0:
        return None
    k = e * 12 * (1 - rib.nu**2) / math.pi**2 * (rib.depth / rib.thickness) ** 2
    known = [
        ("hinged root", float(plates.one_edge_free_coefficient(rib.nu))),
        ("clamped root", plates.LONG_CLAMPED_FREE),
    ]
    return Coefficient(f"k of {rib.name}", float(k), tuple(known))


def interaction_curve(
    of: WallCell, first: str, second: str, points: int = 5, tell: Tell = lambda _: None
) -> Iterator[tuple[LineLoads, Lowest]]:
    """Line loads at which pockets and ribs buckle under two line loads together, from the first alone to the second
    alone, at even angles in the plane of both over their loads alone; lines held, no count.

    Parameters
    ----------
    of : WallCell
    first, second : str
        Of UNIT.
    points : int
        Both ends included.
    """
    meshed, ends = of.mesh(), []
    for name in (first, second):
        ends.append(lowest_over_phases(LoadedCell(meshed, UNIT[name], held_lines=True), proof=False))
    for i in range(points):
        if i in (0, points - 1):
            found = ends[i > 0]
        else:
            angle = math.pi / 2 * i / (points - 1)
            load = _sum(
                UNIT[first].times(ends[0].load.factor * math.cos(angle)),
                UNIT[second].times(ends[1].load.factor * math.sin(angle)),
            )
            tell(f"{first} with {second}: {i} of {points - 2}")
            found = lowest_over_phases(LoadedCell(meshed, load, held_lines=True), proof=False)
        yield found.load.loads, found


def _sum(one: LineLoads, other: LineLoads) -> LineLoads:
    return LineLoads(one.axial + other.axial, one.hoop + other.hoop, one.shear + other.shear)


def loads_of(case: Case, load: LoadCase) -> tuple[LineLoads | None, LineLoads | None]:
    """Limit line loads of a load case at the peak fibre, which grow, and the hoop tension of its minimum pressure, held
    fixed; None where there is none. An axial tension is left out, as are the thrust of closed ends under internal
    pressure and the growth of the moment on a long barrel; external pressure brings the thrust of closed ends."""
    R = case.barrel.middle_radius
    axial = max(interaction.axial_line_load(case.external_axial_force(load), R), 0.0)
    axial += interaction.bending_line_load(abs(load.bending_moment), R)
    hoop = load.external_pressure * R
    axial += hoop / 2 if case.barrel.closed else 0.0
    shear = torsion.torque_flow(abs(load.torque), R) + torsion.shear_force_flow(abs(load.shear_force), R)
    grows = LineLoads(axial, hoop, shear) if any((axial, hoop, shear)) else None
    return grows, LineLoads(hoop=-load.p_min * R) if load.p_min else None


def of_load_case(
    of: WallCell, grows: LineLoads, fixed: LineLoads | None, *, radius: float | None = None, tell: Tell = lambda _: None
) -> Lowest:
    """The local load of a load case's own ratio, with a fixed load."""
    return lowest_over_phases(LoadedCell(of.mesh(radius), grows, held_lines=True, fixed=fixed), tell=tell)
