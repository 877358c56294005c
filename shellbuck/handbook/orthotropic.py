"""Orthotropic and stiffened cylinders: NASA SP-8007 Rev 2 (2020) and exact limits.

Symbols follow the standard: E_x, E_y, E_xy membrane stiffness A11, A22, A12 [N/m]; C_x, C_y, C_xy coupling B11,
B22, B12 [N]; D_x, D_y bending stiffness D11, D22 [N m], all about the skin middle.
"""

from __future__ import annotations

from numpy import exp, pi, sqrt

from .formula import formula

AXIAL_KNOCKDOWN = 0.65
"""Closely spaced, moderately large stiffeners, axial compression (SP-8007 Rev 2, 4.1.2.1)."""

BENDING_KNOCKDOWN = 0.75
"""The same in bending (SP-8007 Rev 2, 4.1.2.2)."""

STIFFENED_FROM = 3.0
"""t_e/t from which the constant factors apply (own rule: the standard gives no threshold)."""

UNSTIFFENED_TO = 1.5
"""t_e/t up to which the wall counts as an orthotropic sheet (own rule)."""


@formula("t_e", "m", "own-rule", "SP-8007 Rev 2, Eqs 60-63 taken about the neutral axes")
def equivalent_thickness(E_x, E_y, C_x, C_y, D_x, D_y):
    """Thickness of the plain sheet with the wall's mean bending to membrane ratio.

    Parameters
    ----------
    E_x, E_y : float
        Membrane stiffness [N/m].
    C_x, C_y : float
        Coupling stiffness [N].
    D_x, D_y : float
        Bending stiffness about the skin middle [N m].

    Examples
    --------
    >>> equivalent_thickness(48.0, 3.0, 0.0, 0.0, 1.0, 1.0)
    0.9999...
    """
    return sqrt(12) * ((D_x - C_x**2 / E_x) * (D_y - C_y**2 / E_y) / (E_x * E_y)) ** 0.25


@formula("gamma", "", "sp8007", "Eqs 60-61", "R/t_e up to 1500")
def orthotropic_axial_knockdown(R, t_e):
    """Knockdown of an unstiffened orthotropic cylinder in axial compression.

    Parameters
    ----------
    R, t_e : float
        Middle radius and equivalent thickness [m].

    Examples
    --------
    >>> orthotropic_axial_knockdown(133.66, 1.0)
    0.53665...
    """
    return 1 - 0.901 * (1 - exp(-sqrt(R / (t_e / sqrt(12))) / 29.8))


@formula("gamma", "", "sp8007", "Eqs 62-63", "R/t_e up to 1500")
def orthotropic_bending_knockdown(R, t_e):
    """Knockdown of an unstiffened orthotropic cylinder in bending.

    Parameters
    ----------
    R, t_e : float
        Middle radius and equivalent thickness [m].

    Examples
    --------
    >>> orthotropic_bending_knockdown(133.66, 1.0)
    0.62407...
    """
    return 1 - 0.731 * (1 - exp(-sqrt(R / (t_e / sqrt(12))) / 29.8))


@formula("gamma", "", "own-rule", "linear in t_e/t, Eqs 60-63 to the constant", "t_e from 1.5 t to 3 t")
def blended_knockdown(gamma_o, gamma_c, t_e, t):
    """Knockdown of a wall between an orthotropic sheet and a closely stiffened wall.

    Parameters
    ----------
    gamma_o : float
        Factor of the orthotropic form at the wall's own equivalent thickness.
    gamma_c : float
        Constant factor of closely stiffened walls.
    t_e, t : float
        Equivalent thickness and skin thickness [m].

    Examples
    --------
    >>> round(blended_knockdown(0.35, 0.65, 2.25, 1.0), 12)
    0.5
    """
    return gamma_o + (t_e / t - 1.5) / 1.5 * (gamma_c - gamma_o)


@formula("N_0", "N/m", "own", "axisymmetric limit of a long barrel (theory check)", "long barrel, n = 0")
def axisymmetric_limit(R, E_x, E_y, E_xy, C_x, C_xy, D_x):
    """Axisymmetric buckling load of a long barrel.

    Parameters
    ----------
    R : float
        Middle radius [m].
    E_x, E_y, E_xy : float
        Membrane stiffness [N/m].
    C_x, C_xy : float
        Coupling stiffness [N].
    D_x : float
        Axial bending stiffness [N m].

    Examples
    --------
    >>> axisymmetric_limit(1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 1.0)
    2.0
    """
    return 2 / R * (sqrt((D_x - C_x**2 / E_x) * (E_y - E_xy**2 / E_x)) + C_xy - E_xy * C_x / E_x)


@formula("N", "N/m", "own", "limit R to infinity, n = 0 (theory check)", "flat panel, simply supported ends")
def wide_column_line_load(D_x, C_x, E_x, L):
    """Buckling load of the wall as a wide column.

    Parameters
    ----------
    D_x, C_x, E_x : float
        Bending [N m], coupling [N] and membrane stiffness [N/m] along the axis.
    L : float
        Length between supports [m].

    Examples
    --------
    >>> wide_column_line_load(1.0, 0.0, 1.0, 1.0)
    9.8696...
    """
    return pi**2 * (D_x - C_x**2 / E_x) / L**2


@formula("EI", "N m^2", "own", "tube of the smeared wall (theory check)")
def tube_bending_stiffness(R, E_x, E_y, E_xy):
    """Bending stiffness of the barrel as a beam, hoop strain free.

    Parameters
    ----------
    R : float
        Middle radius [m].
    E_x, E_y, E_xy : float
        Membrane stiffness [N/m].

    Examples
    --------
    >>> tube_bending_stiffness(1.0, 1.0, 1.0, 0.0)
    3.1415...
    """
    return pi * R**3 * (E_x - E_xy**2 / E_y)


@formula("P", "N", "practice", "Euler column, pinned ends")
def column_load(EI, L):
    """Buckling load of the barrel as a pinned column.

    Parameters
    ----------
    EI : float
        Bending stiffness of the tube [N m^2].
    L : float
        Length between supports [m].

    Examples
    --------
    >>> column_load(1.0, 1.0)
    9.8696...
    """
    return pi**2 * EI / L**2


@formula("N_cap", "N/m", "sp8007", "4.1.2.1-2, 4.1.1.5.4", "p is the pressure whose thrust relieves the wall")
def factored_line_load(gamma, N, p, R):
    """Capacity of a stiffened wall: factor times classical, with the relief of the pressure's thrust.

    Parameters
    ----------
    gamma : float
        Knockdown.
    N : float
        Classical line load [N/m].
    p : float
        Pressure whose thrust relieves the wall, 0 for open ends [Pa].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> factored_line_load(0.5, 100.0, 2.0, 3.0)
    53.0
    """
    return gamma * N + p * R / 2
