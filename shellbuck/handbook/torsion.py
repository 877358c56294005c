"""Torsion of plain and stiffened cylinders, as a shear flow: NASA SP-8007 Rev 2, Eqs 33-40, 69 and 70.

The factor of the moderately long class decides where the long class begins (own choice).
"""

from __future__ import annotations

from numpy import pi, sqrt

from .formula import formula

MODERATE_POWER = 0.67
"""gamma^0.75 of moderately long plain cylinders, and the factor of stiffened ones (4.1.2.4)."""

MODERATE_FACTOR = MODERATE_POWER ** (4 / 3)
"""Factor gamma of moderately long plain cylinders (Eq 37)."""

LONG_FACTOR = 0.80
"""Factor of very long cylinders (Eq 39)."""

MODERATE_FROM = 50.0
"""gamma Z from which the equation of moderately long cylinders is given; below only a figure exists."""

FLAT_PLATE = 5.34
"""Coefficient of a long flat plate in shear, simply supported (textbook)."""

LEAST_RANGE = 500.0
"""Parameter of Eq 70 from which Eq 69 holds."""


@formula("q", "N/m", "practice", "thin ring (Bredt)")
def torque_flow(T, R):
    """Shear flow of a torque.

    Parameters
    ----------
    T : float
        Torque about the axis of the barrel [N m].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> torque_flow(6.283185307179586, 1.0)
    1.0
    """
    return T / (2 * pi * R**2)


@formula("q", "N/m", "practice", "thin ring, greatest shear flow")
def shear_force_flow(V, R):
    """Greatest shear flow of a transverse shear force.

    Parameters
    ----------
    V : float
        Shear force across the axis [N].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> shear_force_flow(2.0, 1 / 3.141592653589793)
    2.0
    """
    return V / (pi * R)


@formula("k_xy", "", "sp8007", "Eq 34", "gamma Z from 50 to 78 (R/t)^2 (1 - nu^2)")
def torsion_coefficient(gamma, Z):
    """Coefficient of torsion of a moderately long cylinder.

    Parameters
    ----------
    gamma : float
        Factor.
    Z : float
        Batdorf's parameter.

    Examples
    --------
    >>> torsion_coefficient(1.0, 16.0)
    6.8
    """
    return 0.85 * (gamma * Z) ** 0.75


@formula("q", "N/m", "sp8007", "Eq 33 times the thickness")
def coefficient_flow(k, E, nu, t, L):
    """Shear flow of a coefficient of torsion.

    Parameters
    ----------
    k : float
        Coefficient.
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, L : float
        Skin thickness, length [m].

    Examples
    --------
    >>> coefficient_flow(12.0, 1.0, 0.0, 1.0, 1.0)
    9.8696...
    """
    return k * pi**2 * E * t**3 / (12 * (1 - nu**2) * L**2)


@formula("q", "N/m", "sp8007", "Eq 38 times the thickness", "gamma Z beyond 78 (R/t)^2 (1 - nu^2)")
def long_flow(E, nu, t, R, gamma):
    """Shear flow at which a very long cylinder buckles in torsion.

    Parameters
    ----------
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, R : float
        Skin thickness, middle radius [m].
    gamma : float
        Factor.

    Examples
    --------
    >>> long_flow(1.0, 0.0, 1.0, 1.0, 1.0)
    0.2357...
    """
    return gamma * E * t * (t / R) ** 1.5 / (3 * sqrt(2) * (1 - nu**2) ** 0.75)


@formula("gamma_Z", "", "sp8007", "class limit of Eqs 37 and 38")
def long_torsion_limit(R_over_t, nu):
    """Class limit of gamma Z from which a cylinder in torsion is very long.

    Parameters
    ----------
    R_over_t : float
        Middle radius over skin thickness.
    nu : float
        Poisson's ratio.

    Examples
    --------
    >>> long_torsion_limit(10.0, 0.0)
    7800.0
    """
    return 78 * R_over_t**2 * (1 - nu**2)


@formula("D", "N m", "own", "bending stiffness about the neutral axis, in place of that about the skin (Eqs 69, 70)")
def neutral_stiffness(D, C, S):
    """Bending stiffness of a wall about its own neutral axis.

    Parameters
    ----------
    D : float
        Bending stiffness about the skin middle [N m].
    C : float
        Coupling of the same direction [N].
    S : float
        Extensional stiffness of the same direction [N/m].

    Examples
    --------
    >>> neutral_stiffness(5.0, 2.0, 4.0)
    4.0
    """
    return D - C**2 / S


@formula("S_x", "N/m", "sp8007", "Eqs 69 and 70")
def free_stretching(E_x, E_y, E_xy):
    """Axial stiffness of a wall that is free to contract around.

    Parameters
    ----------
    E_x, E_y, E_xy : float
        Extensional stiffness, axial, hoop and mixed [N/m].

    Examples
    --------
    >>> free_stretching(5.0, 4.0, 2.0)
    4.0
    """
    return E_x - E_xy**2 / E_y


@formula("q", "N/m", "sp8007", "Eq 69 over 2 pi R^2, D_y about the neutral axis", "parameter of Eq 70 above 500")
def stiffened_torsion_flow(gamma, D_y, S_x, R, L):
    """Capacity of an orthotropic cylinder in torsion.

    Parameters
    ----------
    gamma : float
        Factor.
    D_y : float
        Hoop bending stiffness about the neutral axis [N m].
    S_x : float
        Axial stiffness, free to contract around [N/m].
    R, L : float
        Middle radius, length [m].

    Examples
    --------
    >>> stiffened_torsion_flow(1.0, 1.0, 1.0, 1.0, 1.0)
    3.4616...
    """
    return 21.75 / (2 * pi) * gamma * D_y ** (5 / 8) * S_x ** (3 / 8) * R ** (-3 / 4) / sqrt(L)


@formula("q", "N/m", "own-rule", "the standard's factor of 4.1.2.4 on the computed load, simply supported")
def computed_torsion_flow(gamma, q_e):
    """Capacity of an orthotropic cylinder in torsion by its computed load.

    Parameters
    ----------
    gamma : float
        Factor.
    q_e : float
        Computed shear flow of the perfect cylinder [N/m].

    Examples
    --------
    >>> computed_torsion_flow(0.5, 4.0)
    2.0
    """
    return gamma * q_e


@formula("r", "", "sp8007", "Eq 70, both stiffnesses about the neutral axes")
def stiffened_torsion_range(D_x, D_y, S_x, R, L):
    """Parameter above which the equation of an orthotropic cylinder in torsion applies.

    Parameters
    ----------
    D_x, D_y : float
        Bending stiffness, axial and hoop, about the neutral axes [N m].
    S_x : float
        Axial stiffness, free to contract around [N/m].
    R, L : float
        Middle radius, length [m].

    Examples
    --------
    >>> stiffened_torsion_range(1.0, 1.0, 12.0, 1.0, 3.0)
    9.0
    """
    return (D_y / D_x) ** (5 / 6) * sqrt(S_x / (12 * D_x)) * L**2 / R
