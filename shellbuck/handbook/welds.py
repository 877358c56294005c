"""Axial weld lands: stress across the weld, with the bending of a joint that is not in line."""

from __future__ import annotations

from numpy import sqrt

from .formula import formula


@formula("sigma_h", "Pa", "practice", "membrane equilibrium")
def land_hoop_stress(N_theta, t_w):
    """Hoop membrane stress of a weld land: the hoop line load passes through it.

    Parameters
    ----------
    N_theta : float
        Hoop line load, tension positive [N/m].
    t_w : float
        Least thickness of the land [m].

    Examples
    --------
    >>> land_hoop_stress(6.0, 2.0)
    3.0
    """
    return N_theta / t_w


@formula("sigma_x", "Pa", "own", "plane stress at the axial strain of the wall")
def land_axial_stress(E, nu, e_x, sigma_h):
    """Axial membrane stress of a weld land, which is strained as the wall is.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    e_x : float
        Axial membrane strain of the wall.
    sigma_h : float
        Hoop membrane stress of the land [Pa].

    Examples
    --------
    >>> land_axial_stress(2.0, 0.5, 1.0, 4.0)
    4.0
    """
    return E * e_x + nu * sigma_h


@formula("M_o", "N", "own", "equal parts with their middles a step apart, far from other bending")
def offset_moment(N_theta, e_o):
    """Bending moment at a butt joint whose sides are out of line by a step.

    Parameters
    ----------
    N_theta : float
        Hoop line load [N/m].
    e_o : float
        Step between the middles of both sides [m].

    Examples
    --------
    >>> offset_moment(6.0, 1.0)
    3.0
    """
    return N_theta * e_o / 2


@formula("M_k", "N", "own", "hoop tension, which straightens the kink; sides long against sqrt(D/N_theta)")
def peaking_moment(N_theta, D_w, psi):
    """Bending moment at a butt joint whose sides meet at an angle.

    Parameters
    ----------
    N_theta : float
        Hoop tension [N/m].
    D_w : float
        Bending stiffness of the land [N m].
    psi : float
        Angle between the tangents of both sides (radians).

    Examples
    --------
    >>> peaking_moment(4.0, 9.0, 0.1)
    0.30000...
    """
    return psi / 2 * sqrt(N_theta * D_w)


@formula("sigma_b", "Pa", "practice", "plate bending")
def land_bending_stress(M_o, M_k, t_w):
    """Bending stress of a weld land at its faces, both moments at their worst together.

    Parameters
    ----------
    M_o, M_k : float
        Moments of step and of angle [N].
    t_w : float
        Least thickness of the land [m].

    Examples
    --------
    >>> land_bending_stress(1.0, 1.0, 2.0)
    3.0
    """
    return 6 * (M_o + M_k) / t_w**2


@formula("MS", "", "sp8007", "4.1.5.1 (25 % or more); the share is taken off the whole load, own rule")
def margin_less_share(margin, share):
    """Margin that is left when a share of the load at buckling is lost.

    Parameters
    ----------
    margin, share : float
        Margin without the loss, lost share of the load at buckling.

    Examples
    --------
    >>> margin_less_share(1.0, 0.25)
    0.5
    """
    return (1 - share) * (1 + margin) - 1
