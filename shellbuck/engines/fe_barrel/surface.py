"""What is drawn of a solved mesh: its nodes, its facets, and a mode's displacement on them."""

from __future__ import annotations

import numpy as np
from numpy.polynomial import legendre

from ...core.samples import MeshSurface, Samples, pack
from ..mesh import Mesh
from ..mesh.points import lobatto, normals
from .solving import Solved


def surface_of(solved: Solved) -> MeshSurface:
    """Nodes and facets of the finest mesh; every element is cut along the lines of its nodes.

    Parameters
    ----------
    solved : Solved
    """
    mesh, p = solved.mesh, solved.mesh.order
    local = np.arange((p + 1) ** 2).reshape(p + 1, p + 1)
    quads = np.stack([local[:-1, :-1], local[1:, :-1], local[1:, 1:], local[:-1, 1:]], -1).reshape(-1, 4)
    return MeshSurface(
        pack(mesh.points, "f4"),
        pack(mesh.elements[:, quads].reshape(-1, 4), "u4"),
        pack(np.repeat(mesh.part, p * p), "u1"),
        mesh.parts,
        pack(skin_weights(mesh), "f4"),
        solved.part.angle,
        solved.part.families != ("all",),
    )


def skin_weights(mesh: Mesh) -> np.ndarray:
    """(nodes,) area of the skin at every node [m^2], by Gauss-Lobatto quadrature: they add up to the skin's area."""
    p, on = mesh.order, mesh.of_part("skin")
    s = lobatto(p)
    g = 2 / (p * (p + 1) * legendre.legval(s, np.eye(p + 1)[p]) ** 2)
    size = np.linalg.norm(normals(mesh.corners[on], s, mesh.coordinates), axis=-1)
    weights = np.zeros(len(mesh.points))
    np.add.at(weights, mesh.elements[on], (size * np.outer(g, g)).reshape(len(on), -1))
    return weights


def displacement_of(solved: Solved, i: int) -> Samples:
    """Axial, hoop and radial displacement (nodes, 3) of a mode over the largest radial one of the skin."""
    d = solved.modes[:, i].reshape(-1, 6)[:, :3]
    return pack(d / np.abs(d[solved.mesh.nodes_of("skin"), 2]).max(), "i2")
