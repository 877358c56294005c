"""From a shape to its mesh; what it will cost is known before."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...core.errors import Refusal
from .lattice import Lattice
from .mesh import Mesh
from .shapes import WHOLE, Divisions, Extent, Shape, StraightRibs, TriangularRibs
from .straight import straight_counts, straight_lattice
from .triangles import triangular_counts, triangular_lattice

MOST_UNKNOWNS = 6_000_000
"""No mesh of more is built (own limit, far above what can be solved on a desk)."""


@dataclass(frozen=True)
class Size:
    """What a mesh holds: numbers of elements and nodes."""

    elements: int
    nodes: int

    @property
    def unknowns(self) -> int:
        """Six a node."""
        return 6 * self.nodes

    def __str__(self) -> str:
        return f"{self.elements} elements, {self.nodes} nodes, {self.unknowns} unknowns"


def mesh_size(shape: Shape, divisions: Divisions, extent: Extent = WHOLE) -> Size:
    """The size of a mesh, before it is built.

    Parameters
    ----------
    shape : StraightRibs or TriangularRibs
    divisions : Divisions
    extent : Extent

    Raises
    ------
    Refusal
        When shape, divisions and extent do not fit together, or the mesh would be far too large.

    Examples
    --------
    >>> str(mesh_size(StraightRibs(1.0, 2.0, 1e-3), Divisions(around=12, along=6, order=2)))
    '72 elements, 312 nodes, 1872 unknowns'
    """
    _check(shape, divisions, extent)
    counts = straight_counts if isinstance(shape, StraightRibs) else triangular_counts
    corners, edges, elements = counts(shape, divisions, extent)
    inner = divisions.order - 1
    size = Size(elements, corners + inner * edges + inner**2 * elements)
    if size.unknowns > MOST_UNKNOWNS:
        raise _too_large(str(size))
    return size


def build_mesh(shape: Shape, divisions: Divisions, extent: Extent = WHOLE) -> Mesh:
    """The mesh of a barrel.

    Parameters
    ----------
    shape : StraightRibs or TriangularRibs
    divisions : Divisions
    extent : Extent
        The whole barrel, a sector of some bays, half the length.

    Raises
    ------
    Refusal
        As `mesh_size`.

    Examples
    --------
    >>> from shellbuck.engines.mesh import Blades
    >>> shape = StraightRibs(1.0, 2.0, 1e-3, Blades(8, 0.02, 2e-3), Blades(3, 0.02, 2e-3))
    >>> mesh = build_mesh(shape, Divisions(along=4, order=2), Extent(sector=1))
    >>> mesh.parts, len(mesh.elements), len(mesh.left)
    (('skin', 'stringer', 'ring'), 25, 27)
    """
    mesh_size(shape, divisions, extent)
    return _lattice(shape, divisions, extent).mesh(divisions.order)


def _lattice(shape: Shape, divisions: Divisions, extent: Extent) -> Lattice:
    make = straight_lattice if isinstance(shape, StraightRibs) else triangular_lattice
    return make(shape, divisions, extent)


def _check(shape: Shape, divisions: Divisions, extent: Extent) -> None:
    bays = extent.sector or shape.around
    if extent.sector is not None and extent.sector > shape.around:
        raise Refusal.of(
            "mesh-shape", "a sector has no more bays than the barrel", "sector", str(extent.sector), str(shape.around)
        )
    straight = isinstance(shape, StraightRibs)
    if extent.sector is not None and extent.cut == "between" and (not straight or divisions.around % 2):
        what = "half-way between two stringers an element would be cut" if straight else "a grid is cut along its ribs"
        raise Refusal.of(
            "mesh-shape", what, "cut", "between", "an even number of elements around a bay" if straight else "on"
        )
    around = bays * divisions.around
    least = math.ceil(3 * bays / shape.around)
    if straight and around < least:
        raise Refusal.of(
            "mesh-too-coarse",
            "too few elements around",
            "around",
            f"{around} in all",
            f"{least} or more",
            f"take around = {math.ceil(least / bays)}",
        )
    if isinstance(shape, TriangularRibs):  # its pieces take time and room of their own
        rows = shape.row_count // 2 if extent.half else shape.row_count
        least_nodes = 6 * bays * rows * (divisions.around * divisions.order) ** 2
        if 6 * least_nodes > MOST_UNKNOWNS:
            raise _too_large(f"more than {6 * least_nodes} unknowns")


def _too_large(got: str) -> Refusal:
    return Refusal.of(
        "mesh-too-large",
        "the mesh would be too large",
        "mesh",
        got,
        f"{MOST_UNKNOWNS} unknowns",
        "mesh a sector of one bay, or take fewer elements",
    )
