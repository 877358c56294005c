"""Smeared stiffness written out: the sheet, each rib family over its spacing, and their sums in the wall's directions.

For ribs at an angle with cosine c and sine s the shares f are c^4 (entries 11), s^4 (22) and c^2 s^2 (12, 33); twisting
counts with c^2 s^2 (11, 22), -c^2 s^2 (12) and (c^2 - s^2)^2/4 (33).
"""

from __future__ import annotations

from .formula import formula


@formula("S", "N/m", "own", "plane stress")
def sheet_stretching(E, nu, t):
    """Membrane stiffness of the skin.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    t : float
        Thickness [m].

    Examples
    --------
    >>> sheet_stretching(3.0, 0.5, 2.0)
    8.0
    """
    return E * t / (1 - nu**2)


@formula("S_D", "N m", "own", "plane stress")
def sheet_bending(E, nu, t):
    """Bending stiffness of the skin about its middle.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    t : float
        Thickness [m].

    Examples
    --------
    >>> sheet_bending(9.0, 0.5, 1.0)
    1.0
    """
    return E * t**3 / (12 * (1 - nu**2))


@formula("k", "N/m", "baruch-singer", "smeared over the spacing")
def rib_stretching(E, A, s):
    """Stiffness of a rib family along its ribs.

    Parameters
    ----------
    E : float
        Modulus of the rib [Pa].
    A : float
        Area of a rib [m^2].
    s : float
        Distance between ribs [m].

    Examples
    --------
    >>> rib_stretching(6.0, 2.0, 3.0)
    4.0
    """
    return E * A / s


@formula("q", "N", "baruch-singer", "about the skin middle")
def rib_coupling(E, A, z, s):
    """Coupling of a rib family between stretching and bending.

    Parameters
    ----------
    E : float
        Modulus of the rib [Pa].
    A : float
        Area of a rib [m^2].
    z : float
        Centroid above the skin middle, outward positive [m].
    s : float
        Distance between ribs [m].

    Examples
    --------
    >>> rib_coupling(6.0, 2.0, 0.5, 3.0)
    2.0
    """
    return E * A * z / s


@formula("r", "N m", "baruch-singer", "about the skin middle")
def rib_bending(E, I, A, z, s):  # noqa: E741
    """Bending stiffness of a rib family about the skin middle.

    Parameters
    ----------
    E : float
        Modulus of the rib [Pa].
    I : float
        Second moment about the rib's own centroid [m^4].
    A : float
        Area of a rib [m^2].
    z : float
        Centroid above the skin middle, outward positive [m].
    s : float
        Distance between ribs [m].

    Examples
    --------
    >>> rib_bending(6.0, 1.0, 2.0, 0.5, 3.0)
    3.0
    """
    return E * (I + A * z**2) / s


@formula("g", "N m", "baruch-singer", "smeared over the spacing")
def rib_twisting(G, J, s):
    """Torsional stiffness of a rib family.

    Parameters
    ----------
    G : float
        Shear modulus of the rib [Pa].
    J : float
        Torsion constant of a rib [m^4].
    s : float
        Distance between ribs [m].

    Examples
    --------
    >>> rib_twisting(3.0, 2.0, 3.0)
    2.0
    """
    return G * J / s


@formula("A_ij", "N/m", "baruch-singer", "sum over the families")
def membrane_sum(S, k_1, f_1, k_2, f_2, k_3, f_3):
    """Membrane stiffness of the wall: the skin's part and every rib family in its direction.

    Parameters
    ----------
    S : float
        Part of the skin [N/m].
    k_1 : float
        Stiffness of family 1, 0 where there is none [N/m].
    f_1 : float
        Its share.
    k_2 : float
        Stiffness of family 2, 0 where there is none [N/m].
    f_2 : float
        Its share.
    k_3 : float
        Stiffness of family 3, 0 where there is none [N/m].
    f_3 : float
        Its share.

    Examples
    --------
    >>> membrane_sum(1.0, 2.0, 1.0, 4.0, 0.25, 0.0, 0.0)
    4.0
    """
    return S + k_1 * f_1 + k_2 * f_2 + k_3 * f_3


@formula("B_ij", "N", "baruch-singer", "sum over the families")
def coupling_sum(q_1, f_1, q_2, f_2, q_3, f_3):
    """Coupling stiffness of the wall: every rib family in its direction.

    Parameters
    ----------
    q_1 : float
        Coupling of family 1, 0 where there is none [N].
    f_1 : float
        Its share.
    q_2 : float
        Coupling of family 2, 0 where there is none [N].
    f_2 : float
        Its share.
    q_3 : float
        Coupling of family 3, 0 where there is none [N].
    f_3 : float
        Its share.

    Examples
    --------
    >>> coupling_sum(2.0, 1.0, 4.0, 0.25, 0.0, 0.0)
    3.0
    """
    return q_1 * f_1 + q_2 * f_2 + q_3 * f_3


@formula("D_ij", "N m", "baruch-singer", "sum over the families")
def bending_sum(S_D, r_1, f_1, g_1, h_1, r_2, f_2, g_2, h_2, r_3, f_3, g_3, h_3):
    """Bending stiffness of the wall: the skin's part, every rib family bent and twisted in its direction.

    Parameters
    ----------
    S_D : float
        Part of the skin [N m].
    r_1 : float
        Bending stiffness of family 1, 0 where there is none [N m].
    f_1 : float
        Its share.
    g_1 : float
        Torsional stiffness of family 1, 0 where there is none [N m].
    h_1 : float
        Its share.
    r_2 : float
        Bending stiffness of family 2, 0 where there is none [N m].
    f_2 : float
        Its share.
    g_2 : float
        Torsional stiffness of family 2, 0 where there is none [N m].
    h_2 : float
        Its share.
    r_3 : float
        Bending stiffness of family 3, 0 where there is none [N m].
    f_3 : float
        Its share.
    g_3 : float
        Torsional stiffness of family 3, 0 where there is none [N m].
    h_3 : float
        Its share.

    Examples
    --------
    >>> bending_sum(1.0, 2.0, 1.0, 4.0, 0.25, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    4.0
    """
    bent = r_1 * f_1 + r_2 * f_2 + r_3 * f_3
    return S_D + bent + g_1 * h_1 + g_2 * h_2 + g_3 * h_3
