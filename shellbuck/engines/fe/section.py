"""Stiffness of a sheet or of a smeared wall, as the elements take it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.walls.stiffness import Skin, sheet_stiffness

SHEAR_FACTOR = 5 / 6
DRILLING = 1e-3
"""Stiffness against rotation about the normal relative to the sheet, in units of its shear stiffness."""


@dataclass(frozen=True, eq=False)
class Section:
    """N = A e + B k, M = B e + D k, Q = S g: order 1, 2, 12 of the surface frame, engineering shear and twist.

    Parameters
    ----------
    A, B, D : numpy.ndarray
        (3, 3) stiffness [N/m], [N], [N m] about the meshed surface, along the normal positive.
    S : numpy.ndarray
        (2, 2) transverse shear stiffness [N/m].
    drilling : float
        Stiffness against rotation about the normal relative to the sheet's own [N/m].
    """

    A: np.ndarray
    B: np.ndarray
    D: np.ndarray
    S: np.ndarray
    drilling: float

    @property
    def matrix(self) -> np.ndarray:
        """(9, 9): membrane, bending, transverse shear, drilling."""
        C = np.zeros((9, 9))
        C[:6, :6] = np.block([[self.A, self.B], [self.B, self.D]])
        C[6:8, 6:8] = self.S
        C[8, 8] = self.drilling
        return C


def sheet(E: float, nu: float, t: float, *, shear_scale: float = 1.0, drilling: float = DRILLING) -> Section:
    """An isotropic sheet about its middle.

    Parameters
    ----------
    E, nu, t : float
        Modulus [Pa], Poisson's ratio, thickness [m].
    shear_scale : float
        Multiple of the transverse shear stiffness 5/6 G t; a large one comes near thin-shell theory.
    drilling : float
        In units of G t.

    Examples
    --------
    >>> section = sheet(1.0, 0.0, 2.0)
    >>> [round(float(M[0, 0]), 6) for M in (section.A, section.D, section.S)]
    [2.0, 0.666667, 0.833333]
    """
    A, D = sheet_stiffness(Skin(E, nu, t))
    G = E / (2 * (1 + nu))
    S = shear_scale * SHEAR_FACTOR * G * t * np.eye(2)
    return Section(A, np.zeros((3, 3)), D, S, drilling * G * t)


def smeared(
    C: np.ndarray, S: np.ndarray | None = None, *, shear_scale: float = 1.0, drilling: float = DRILLING
) -> Section:
    """A smeared wall.

    Parameters
    ----------
    C : numpy.ndarray
        (6, 6) A, B, D about the skin middle, order x, theta, x-theta.
    S : numpy.ndarray or None
        (2, 2) transverse shear stiffness [N/m]. Smearing does not give one; without it, 5/6 of the membrane shear
        stiffness A66 in both directions, the value of the skin alone.
    shear_scale : float
        Multiple of S.
    drilling : float
        In units of A66.
    """
    C = np.asarray(C, dtype=float)
    S = SHEAR_FACTOR * C[2, 2] * np.eye(2) if S is None else np.asarray(S, dtype=float)
    return Section(C[:3, :3], C[:3, 3:], C[3:, 3:], shear_scale * S, drilling * C[2, 2])
