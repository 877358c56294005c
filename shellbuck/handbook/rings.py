"""Stiffness that a ring needs to keep a stiffened barrel round."""

from __future__ import annotations

from numpy import pi

from .formula import formula


@formula("M", "N m", "practice", "moment of the same peak line load")
def peak_moment(N, R):
    """Bending moment with this line load at its peak fibre.

    Parameters
    ----------
    N : float
        Line load at the peak fibre [N/m].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> peak_moment(1.0, 1.0)
    3.14159...
    """
    return N * pi * R**2


@formula("EI_need", "N m^2", "shanley", "", "empirical, of barrels in bending; usually but not always conservative")
def ring_stiffness_needed(M, D, L):
    """Bending stiffness of a ring below which general instability is expected before the panels.

    Parameters
    ----------
    M : float
        Bending moment, factored [N m].
    D, L : float
        Diameter of the barrel, spacing of the rings [m].

    Examples
    --------
    >>> ring_stiffness_needed(16000.0, 2.0, 4.0)
    1.0
    """
    return M * D**2 / (16000 * L)


@formula("EI_r", "N m^2", "own", "two parts about their common neutral axis")
def ring_with_skin_stiffness(EI_own, EA_r, EA_s, EI_s, z):
    """Bending stiffness of a ring together with a strip of skin.

    Parameters
    ----------
    EI_own : float
        Of the ring about its own centroid [N m^2].
    EA_r, EA_s : float
        Extensional stiffness of the ring and of the strip [N].
    EI_s : float
        Of the strip about its own middle [N m^2].
    z : float
        Distance of both centroids [m].

    Examples
    --------
    >>> ring_with_skin_stiffness(1.0, 2.0, 2.0, 1.0, 3.0)
    11.0
    """
    return EI_own + EI_s + EA_r * EA_s / (EA_r + EA_s) * z**2
