"""Skin that buckled between stringers: what it still carries, and what is left of its stiffness."""

from __future__ import annotations

from numpy import sqrt

from .formula import formula

WINTER = 0.22
"""Winter's allowance for imperfect plates; 0 leaves von Karman's effective width."""

_ELASTIC = "edge stress above that at which the ratio is 1, and below yield"


@formula("b_e", "m", "winter", "stiffened elements", "sigma from 0.453 sigma_cr on")
def winter_effective_width(b, sigma_cr, sigma):
    """Effective width of an imperfect plate.

    Parameters
    ----------
    b : float
        Width [m].
    sigma_cr, sigma : float
        Buckling stress of the perfect plate, and stress at its supported edges [Pa].

    Examples
    --------
    >>> winter_effective_width(1.0, 25.0, 100.0)
    0.445
    """
    return b * sqrt(sigma_cr / sigma) * (1 - 0.22 * sqrt(sigma_cr / sigma))


@formula("sigma_e", "Pa", "own", "root of N = sigma_e (rho t + a), which rises with sigma_e", _ELASTIC)
def edge_stress(N, t, a, sigma_cr, c):
    """Edge stress of a buckled skin that shares an axial line load with its stringers.

    Parameters
    ----------
    N : float
        Line load, compression positive [N/m].
    t : float
        Thickness of the skin [m].
    a : float
        Area of a stringer over the spacing, times its modulus over that of the skin [m].
    sigma_cr : float
        Buckling stress of the skin [Pa].
    c : float
        0.22 with Winter's effective width, 0 with von Karman's.

    Examples
    --------
    >>> edge_stress(300.0, 1.0, 2.0, 25.0, 0.0)
    122.3...
    """
    return (
        2 * (N + c * t * sigma_cr) / (t * sqrt(sigma_cr) + sqrt(t**2 * sigma_cr + 4 * a * (N + c * t * sigma_cr)))
    ) ** 2


@formula("phi", "", "own", "slope of rho sigma_e, of either effective width", "sigma_e from sigma_cr on")
def tangent_ratio(sigma_cr, sigma_e):
    """What more load a buckled skin takes with more strain, over an unbuckled one.

    Parameters
    ----------
    sigma_cr : float
        Buckling stress of the skin [Pa].
    sigma_e : float
        Stress at its supported edges [Pa].

    Examples
    --------
    >>> tangent_ratio(25.0, 100.0)
    0.25
    """
    return sqrt(sigma_cr / sigma_e) / 2


@formula("A", "N/m", "own-rule", "the whole skin counts with the ratio phi")
def softened_stretching(K_0, S, phi):
    """Stretching stiffness of a wall whose skin counts in part.

    Parameters
    ----------
    K_0, S : float
        Of the wall with all of its skin, and of the skin in it [N/m].
    phi : float
        What is left of the skin.

    Examples
    --------
    >>> softened_stretching(10.0, 4.0, 0.25)
    7.0
    """
    return K_0 - (1 - phi) * S


@formula("D", "N m", "own-rule", "the whole skin counts with the ratio phi")
def softened_bending(K_0, S, phi):
    """Bending stiffness of a wall whose skin counts in part.

    Parameters
    ----------
    K_0, S : float
        Of the wall with all of its skin, and of the skin in it [N m].
    phi : float
        What is left of the skin.

    Examples
    --------
    >>> softened_bending(10.0, 4.0, 0.25)
    7.0
    """
    return K_0 - (1 - phi) * S


@formula("S_x", "N/m", "own", "sheet whose axial compliance grows by 1/rho, its hoop compliance stays")
def shed_axial_stretching(E, nu, t, rho):
    """Axial stretching stiffness of a buckled skin with its hoop strain held.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    t : float
        Thickness [m].
    rho : float
        Effective width over width.

    Examples
    --------
    >>> shed_axial_stretching(1.0, 0.0, 1.0, 0.5)
    0.5
    """
    return E * t * rho / (1 - rho * nu**2)


@formula("S_y", "N/m", "own", "sheet whose axial compliance grows by 1/rho, its hoop compliance stays")
def shed_hoop_stretching(E, nu, t, rho):
    """Hoop stretching stiffness of a buckled skin with its axial strain held.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    t : float
        Thickness [m].
    rho : float
        Effective width over width.

    Examples
    --------
    >>> shed_hoop_stretching(1.0, 0.5, 1.0, 0.5)
    1.142...
    """
    return E * t / (1 - rho * nu**2)


@formula("A_11", "N/m", "own", "")
def shed_axial_sum(K_0, S_0, S_x):
    """Axial stretching stiffness of a wall whose skin has shed load.

    Parameters
    ----------
    K_0 : float
        Of the wall with its unbuckled skin [N/m].
    S_0, S_x : float
        Of the unbuckled skin in it, and of the buckled one [N/m].

    Examples
    --------
    >>> shed_axial_sum(10.0, 4.0, 1.0)
    7.0
    """
    return K_0 - S_0 + S_x


@formula("g", "", "own", "upper bound for a thin tube softer in compression (exact: tests)", "eta from 0.03 to 1")
def tension_side_growth(eta):
    """What the tensioned side of a bent barrel carries over M/(pi R^2) where its compressed side is softer.

    Parameters
    ----------
    eta : float
        Axial stiffness of the compressed side over that of the tensioned side.

    Examples
    --------
    >>> tension_side_growth(0.25)
    1.5
    """
    return (1 + 1 / sqrt(eta)) / 2
