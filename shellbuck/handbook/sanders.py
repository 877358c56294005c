"""Coefficients of one mode of the smeared shell in Sanders' theory; field and determinant as in `shell`.

Bending strains are k_y = -w,yy + v,y/R and k_xy = -2 w,xy + (3 v,x - u,y)/(2 R); the axial load works on the rotation
about the normal, (v,x - u,y)/2, too, so that it stands in its own coefficients: put in, the determinant gives it back.
"""

from __future__ import annotations

from .formula import formula


@formula("A_11", "N/m^3", "sanders", "own derivation of the coefficients; they contain the load itself")
def sanders_a11(E_x, G_xy, K_xy, D_t, N_theta, N, R, a, b):
    """Coefficient of axial displacement in the axial equation, Sanders.

    Parameters
    ----------
    E_x : float
        Axial membrane stiffness A_11 [N/m].
    G_xy : float
        Shear stiffness A_33 [N/m].
    K_xy : float
        Shear coupling B_33 [N].
    D_t : float
        Twisting stiffness D_33 [N m].
    N_theta : float
        Hoop tension in the state [N/m].
    N : float
        Line load of the mode, compression positive [N/m].
    R : float
        Middle radius [m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> sanders_a11(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5, 5.0, 0.75)
    25.59765...
    """
    return E_x * a**2 + b**2 * (G_xy - K_xy / R + 0.25 * D_t / R**2) + (N_theta - N) * b**2 / 4


@formula("A_12", "N/m^3", "sanders", "own derivation of the coefficients; they contain the load itself")
def sanders_a12(E_xy, G_xy, C_xy, K_xy, D_t, N_theta, N, R, a, b):
    """Coefficient of hoop displacement in the axial equation, Sanders.

    Parameters
    ----------
    E_xy : float
        Membrane coupling A_12 [N/m].
    G_xy : float
        Shear stiffness A_33 [N/m].
    C_xy : float
        Cross coupling B_12 [N].
    K_xy : float
        Shear coupling B_33 [N].
    D_t : float
        Twisting stiffness D_33 [N m].
    N_theta : float
        Hoop tension in the state [N/m].
    N : float
        Line load of the mode, compression positive [N/m].
    R : float
        Middle radius [m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> sanders_a12(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5, 5.0, 0.75, 2.5)
    5.751562...
    """
    return a * b * (E_xy + G_xy + (C_xy + K_xy) / R - 0.75 * D_t / R**2) - (N_theta - N) * a * b / 4


@formula("A_13", "N/m^3", "sanders", "own derivation of the coefficients; they contain the load itself")
def sanders_a13(E_xy, C_x, C_xy, K_xy, D_t, R, a, b):
    """Coefficient of radial displacement in the axial equation, Sanders.

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
    D_t : float
        Twisting stiffness D_33 [N m].
    R : float
        Middle radius [m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> sanders_a13(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5, 5.0)
    248.5312...
    """
    return E_xy * a / R + C_x * a**3 + (C_xy + 2 * K_xy - D_t / R) * a * b**2


@formula("A_22", "N/m^3", "sanders", "own derivation of the coefficients; they contain the load itself")
def sanders_a22(E_y, G_xy, C_y, K_xy, D_y, D_t, N_theta, N, R, a, b):
    """Coefficient of hoop displacement in the hoop equation, Sanders.

    Parameters
    ----------
    E_y : float
        Hoop membrane stiffness A_22 [N/m].
    G_xy : float
        Shear stiffness A_33 [N/m].
    C_y : float
        Hoop coupling B_22 [N].
    K_xy : float
        Shear coupling B_33 [N].
    D_y : float
        Hoop bending stiffness D_22 [N m].
    D_t : float
        Twisting stiffness D_33 [N m].
    N_theta : float
        Hoop tension in the state [N/m].
    N : float
        Line load of the mode, compression positive [N/m].
    R : float
        Middle radius [m].
    a : float
        Axial wave number [1/m].
    b : float
        Hoop wave number [1/m].

    Examples
    --------
    >>> sanders_a22(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5, 5.0, 0.75, 2.5, 3.5)
    218.7256...
    """
    return (
        b**2 * (E_y + 2 * C_y / R + D_y / R**2)
        + a**2 * (G_xy + 3 * K_xy / R + 2.25 * D_t / R**2)
        + (N_theta - N) * a**2 / 4
        + N_theta / R**2
    )


@formula("A_23", "N/m^3", "sanders", "own derivation of the coefficients; they contain the load itself")
def sanders_a23(E_y, C_y, C_xy, K_xy, D_y, D_c, D_t, N_theta, R, a, b):
    """Coefficient of radial displacement in the hoop equation, Sanders.

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
    >>> sanders_a23(1.0, 2.0, 0.5, 3.0, 0.25, 4.0, 1.5, 5.0, 0.75, 2.5, 3.5)
    530.5902...
    """
    return (
        E_y * b / R
        + (C_xy + 2 * K_xy) * a**2 * b
        + C_y * (b**3 + b / R**2)
        + ((D_c + 3 * D_t) * a**2 * b + D_y * b**3 + N_theta * b) / R
    )
