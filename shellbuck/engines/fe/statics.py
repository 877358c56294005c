"""Linear statics with constraints."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import sparse

from ...core.errors import Incomplete
from ..eigen.factor import Order, factorise
from .constraints import reduced

BALANCE = 1e-3
"""Largest difference between forces and reactions, relative."""


@dataclass(frozen=True, eq=False)
class Answer:
    """Displacements [m], [rad] and reactions K d - f [N], [N m] of all unknowns: (unknowns,) or (unknowns, cases)."""

    displacements: np.ndarray
    reactions: np.ndarray


def solve(
    K: sparse.csc_matrix,
    f: np.ndarray,
    T: sparse.csc_matrix,
    given: np.ndarray | None = None,
    order: Order = "MMD_AT_PLUS_A",
) -> Answer:
    """Solve K d = f with d = T q + given.

    Parameters
    ----------
    K : scipy.sparse.csc_matrix
        (unknowns, unknowns).
    f : numpy.ndarray
        (unknowns,) or (unknowns, cases) forces [N], [N m].
    T : scipy.sparse.csc_matrix
        (unknowns, free) from `constraints.reduction`.
    given : numpy.ndarray or None
        Prescribed displacements, of the shape of f; zero where unknowns are free.
    order : {"NATURAL", "MMD_AT_PLUS_A"} or Elimination
        Of the free unknowns, see `constraints.elimination_of`.

    Returns
    -------
    Answer

    Raises
    ------
    Incomplete
        When the factorisation cannot be trusted, or forces and stresses do not balance: a rigid motion is left.
    """
    start = np.zeros_like(f) if given is None else given
    factor = factorise(reduced(K, T), order)
    rest = T.T @ (f - K @ start)
    q = factor.solve(rest)
    q = q + factor.solve(rest - T.T @ (K @ (T @ q)))  # thin shells are ill-conditioned: one step of refinement
    d = T @ q + start
    reactions = K @ d - f
    # judged against the forces, not as backward error: only so does a body that drifts away show
    size = np.abs(f).max() + np.abs(K @ start).max()
    off = np.abs(T.T @ reactions).max() / size if size else 0.0
    if factor.negative or not off < BALANCE:
        raise unbalanced(off)
    return Answer(d, reactions)


def unbalanced(off: float) -> Incomplete:
    """The error that says how far, relative, forces are from balance."""
    return Incomplete.of(
        "fe-balance",
        "forces and stresses of the linear statics do not balance",
        "prestress",
        f"relative difference {off:.1e}",
        f"below {BALANCE:g}",
        "check the connections of the mesh and its supports",
    )
