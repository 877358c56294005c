"""Forces in skin and ribs of a mesh before it buckles, for pictures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import fe
from .solving import Solved


@dataclass(frozen=True, eq=False)
class Forces:
    """Membrane forces per length of surface (e,) [N/m] along the axis and around, tension positive, mean of each
    element."""

    axial: np.ndarray
    hoop: np.ndarray


def forces_before(solved: Solved, radius: float, line_load: float, pressure: float) -> Forces:
    """Forces under an axial line load and an internal pressure, at the prestress that the modes were solved with.

    Parameters
    ----------
    solved : Solved
    radius : float
        Of the skin middle [m].
    line_load : float
        Net axial line load, compression positive [N/m].
    pressure : float
        Internal pressure, held fixed [Pa].
    """
    shell = solved.shell
    unit = fe.uniform_strain(shell, radius)
    N = line_load * unit.axial + pressure * unit.pressure
    found = np.zeros((len(N), 2))
    for part, elements in shell.batches(np.arange(len(N)), 100 * N.shape[1]):
        s = elements.surface
        for k in (0, 1):
            a, b = np.moveaxis(np.einsum("eqaj,eqj->eqa", s.frame[:, :, :2], s.directions[:, :, k]), -1, 0)
            n = N[part]
            along = a * a * n[..., 0] + b * b * n[..., 1] + 2 * a * b * n[..., 2]
            found[part, k] = (along * s.area).sum(axis=1) / s.area.sum(axis=1)
    return Forces(found[:, 0], found[:, 1])
