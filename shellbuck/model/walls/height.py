"""Where the axial load enters a wall, and whether that bends it: heights above the skin middle, outward positive."""

from __future__ import annotations

import numpy as np

from ..barrel import HELD, Barrel
from .stiffness import SmearedWall

BALANCED = 1e-9
"""Coupling, relative to sqrt(A_11 D_11), up to which axial load and axial bending count as uncoupled."""


def eccentric(wall: SmearedWall) -> np.ndarray:
    """Whether axial bending is coupled with stretching: B_11, B_12 or B_16 is not zero, as with stringers or inclined
    ribs on one side; rings alone leave it uncoupled. Of many walls (N,)."""
    scale = np.sqrt(wall.A[..., 0, 0] * wall.D[..., 0, 0])
    return np.abs(wall.B[..., 0, :]).max(axis=-1) > BALANCED * scale


def centroid_height(wall: SmearedWall) -> np.ndarray:
    """Height at which an axial load leaves a free wall straight [m], of many walls (N,).

    With no curvature and no hoop force M_x = (B A^-1)_11 N_x. For stringers that is the centroid of skin and stringers
    weighted by their moduli, E A_s z/(E t b + E_s A_s).
    """
    return (wall.B @ np.linalg.inv(wall.A))[..., 0, 0]


def load_height(barrel: Barrel, wall: SmearedWall) -> float:
    """Height of the axial load that the barrel names [m]; the skin middle where it names none."""
    said = barrel.load_height
    if said is None or said == "skin middle":
        return 0.0
    return float(centroid_height(wall)) if said == "wall centroid" else float(said)


def weak_ends(barrel: Barrel) -> bool:
    """Whether an end that the case names holds less than SS3, the edges of the classical load."""
    named = (barrel.edges, barrel.edges_far or barrel.edges)
    return any(name is not None and not HELD["SS3"] <= HELD[name] for name in named)


def bends(barrel: Barrel, wall: SmearedWall) -> np.ndarray:
    """Whether the edges can lose the barrel before factor times classical does, so that they must be looked at: the
    wall is eccentric, a height off the skin middle is given, or an end holds less than SS3. Of many walls (N,)."""
    said = barrel.load_height
    return eccentric(wall) | (isinstance(said, float | int) and said != 0) | weak_ends(barrel)
