"""The smeared shell written out: coefficients of one mode and the load that they give.

Field u = U cos(a x) cos(b y), v = V sin(a x) sin(b y), w = W sin(a x) cos(b y), with U counted against x. The engine
(`closed_form`) solves the same problem in other unknowns, which lose no digits; these lines are for a reader to repeat.
"""

from __future__ import annotations

from numpy import pi

from .formula import formula


@formula("a", "1/m", "sp8007", "Eqs 52-59")
def axial_wave_number(m, L):
    """Axial wave number of a mode.

    Parameters
    ----------
    m : int
        Axial half-waves.
    L : float
        Length [m].

    Examples
    --------
    >>> axial_wave_number(2, 3.0)
    2.094395...
    """
    return pi * m / L


@formula("b", "1/m", "sp8007", "Eqs 52-59")
def hoop_wave_number(n, R):
    """Hoop wave number of a mode.

    Parameters
    ----------
    n : int
        Full waves around.
    R : float
        Middle radius [m].

    Examples
    --------
    >>> hoop_wave_number(6, 1.5)
    4.0
    """
    return n / R


@formula("A_11", "N/m^3", "sp8007", "Eq 52, coefficients of Donnell's theory")
def donnell_a11(E_x, G_xy, a, b):
    """Coefficient of axial displacement in the axial equation, Donnell.

    Parameters
    ----------
    E_x : float
        Axial membrane stiffness A_11 [N/m].
    G_xy : float
        Shear stiffness A_33 [N/m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> donnell_a11(1.0, 2.0, 0.5, 3.0)
    18.25
    """
    return E_x * a**2 + G_xy * b**2


@formula("A_12", "N/m^3", "sp8007", "Eq 52, coefficients of Donnell's theory")
def donnell_a12(E_xy, G_xy, a, b):
    """Coefficient of hoop displacement in the axial equation, Donnell.

    Parameters
    ----------
    E_xy : float
        Membrane coupling A_12 [N/m].
    G_xy : float
        Shear stiffness A_33 [N/m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> donnell_a12(1.0, 2.0, 0.5, 3.0)
    4.5
    """
    return (E_xy + G_xy) * a * b


@formula("A_13", "N/m^3", "sp8007", "Eq 52, coefficients of Donnell's theory")
def donnell_a13(E_xy, C_x, C_xy, K_xy, R, a, b):
    """Coefficient of radial displacement in the axial equation, Donnell.

    Parameters
    ----------
    E_xy : float
        Membrane coupling A_12 [N/m].
    C_x : float
        Axial coupling B_11 [N].
    C_xy : float
        Cross coupling B_12 [N].
    K_xy : float
        Shear coupling B_33 [N].
    R : float
        Middle radius [m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> donnell_a13(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5)
    202.5
    """
    return E_xy * a / R + C_x * a**3 + (C_xy + 2 * K_xy) * a * b**2


@formula("A_22", "N/m^3", "sp8007", "Eq 52, coefficients of Donnell's theory")
def donnell_a22(E_y, G_xy, a, b):
    """Coefficient of hoop displacement in the hoop equation, Donnell.

    Parameters
    ----------
    E_y : float
        Hoop membrane stiffness A_22 [N/m].
    G_xy : float
        Shear stiffness A_33 [N/m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> donnell_a22(1.0, 2.0, 0.5, 3.0)
    9.5
    """
    return E_y * b**2 + G_xy * a**2


@formula("A_23", "N/m^3", "sp8007", "Eq 52, coefficients of Donnell's theory")
def donnell_a23(E_y, C_y, C_xy, K_xy, R, a, b):
    """Coefficient of radial displacement in the hoop equation, Donnell.

    Parameters
    ----------
    E_y : float
        Hoop membrane stiffness A_22 [N/m].
    C_y : float
        Hoop coupling B_22 [N].
    C_xy : float
        Cross coupling B_12 [N].
    K_xy : float
        Shear coupling B_33 [N].
    R : float
        Middle radius [m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> donnell_a23(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5)
    168.75
    """
    return E_y * b / R + (C_xy + 2 * K_xy) * a**2 * b + C_y * b**3


@formula("A_33", "N/m^3", "sp8007", "Eq 52, with the hoop tension of the state")
def radial_a33(E_y, C_y, C_xy, D_x, D_y, D_c, D_t, N_theta, R, a, b):
    """Coefficient of radial displacement in the radial equation, both theories.

    Parameters
    ----------
    E_y : float
        Hoop membrane stiffness A_22 [N/m].
    C_y : float
        Hoop coupling B_22 [N].
    C_xy : float
        Cross coupling B_12 [N].
    D_x : float
        Axial bending stiffness D_11 [N m].
    D_y : float
        Hoop bending stiffness D_22 [N m].
    D_c : float
        Cross bending stiffness D_12 [N m].
    D_t : float
        Twisting stiffness D_33 [N m].
    N_theta : float
        Hoop tension in the state [N/m].
    R : float
        Middle radius [m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> radial_a33(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5, 5.0, 0.75, 2.5, 3.5)
    1363.272...
    """
    return (
        E_y / R**2
        + 2 * C_xy * a**2 / R
        + 2 * C_y * b**2 / R
        + N_theta * b**2
        + D_x * a**4
        + (2 * D_c + 4 * D_t) * a**2 * b**2
        + D_y * b**4
    )


@formula("N", "N/m", "sp8007", "Eq 52, the determinant solved for the load")
def determinant_line_load(A_11, A_12, A_13, A_22, A_23, A_33, a):
    """Line load at which the determinant of the coefficients vanishes.

    Parameters
    ----------
    A_11 : float
        Coefficient A_11 [N/m^3].
    A_12 : float
        Coefficient A_12 [N/m^3].
    A_13 : float
        Coefficient A_13 [N/m^3].
    A_22 : float
        Coefficient A_22 [N/m^3].
    A_23 : float
        Coefficient A_23 [N/m^3].
    A_33 : float
        Coefficient A_33 [N/m^3].
    a : float
        Axial wave number [1/m].

    Examples
    --------
    >>> determinant_line_load(3.0, 1.0, 0.5, 4.0, 1.5, 5.0, 2.0)
    1.107954...
    """
    return (A_33 - (A_13**2 * A_22 - 2 * A_12 * A_13 * A_23 + A_23**2 * A_11) / (A_11 * A_22 - A_12**2)) / a**2
