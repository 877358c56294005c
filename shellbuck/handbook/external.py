"""External pressure on plain and stiffened cylinders: NASA SP-8007 Rev 2, Eqs 19-29 and 64-68.

The pressure is lateral, or hydrostatic where it also loads the ends. The factor of the moderately long class decides
where the long class begins (own choice); there the capacity jumps, because the standard's factor changes.
"""

from __future__ import annotations

import numpy as np
from numpy import pi, sqrt

from .formula import formula

MODERATE_FACTOR = 0.75**2
"""Factor gamma of short and moderately long plain cylinders (Eq 28: sqrt(gamma) = 0.75)."""

LONG_FACTOR = 0.90
"""Factor of long cylinders that become oval (Eq 29)."""

STIFFENED_FACTOR = 0.75
"""Factor of orthotropic and stiffened cylinders (4.1.2.3)."""

MODERATE_FROM = 100.0
"""gamma Z from which a cylinder is moderately long."""

FEW_WAVES = 4
"""n up to which the theory of shallow shells overstates the load by n^2/(n^2 - 1)."""


@formula("k_y", "", "sp8007", "Eq 19", "lateral pressure; gamma Z up to 100")
def lateral_coefficient(b, gamma, Z):
    """Coefficient of lateral pressure for one number of waves.

    Parameters
    ----------
    b : float
        Aspect of the buckles, n L/(pi R).
    gamma : float
        Factor.
    Z : float
        Batdorf's parameter.

    Examples
    --------
    >>> lateral_coefficient(1.0, 0.5625, 0.0)
    4.0
    """
    return ((1 + b**2) ** 2 + 12 * gamma**2 * Z**2 / (pi**4 * (1 + b**2) ** 2)) / b**2


@formula("k_p", "", "sp8007", "Eq 20", "hydrostatic pressure; gamma Z up to 100")
def hydrostatic_coefficient(b, gamma, Z):
    """Coefficient of hydrostatic pressure for one number of waves.

    Parameters
    ----------
    b : float
        Aspect of the buckles, n L/(pi R).
    gamma : float
        Factor.
    Z : float
        Batdorf's parameter.

    Examples
    --------
    >>> hydrostatic_coefficient(0.0, 0.5625, 0.0)
    2.0
    """
    return ((1 + b**2) ** 2 + 12 * gamma**2 * Z**2 / (pi**4 * (1 + b**2) ** 2)) / (b**2 + 1 / 2)


@formula("k_y", "", "sp8007", "Eqs 21 and 22", "gamma Z from 100 to 11.8 (R/t)^2 (1 - nu^2)")
def moderate_coefficient(gamma, Z):
    """Coefficient of external pressure on a moderately long cylinder.

    Parameters
    ----------
    gamma : float
        Factor.
    Z : float
        Batdorf's parameter.

    Examples
    --------
    >>> moderate_coefficient(0.5625, 900.0)
    23.4...
    """
    return 1.04 * sqrt(gamma * Z)


@formula("p", "Pa", "sp8007", "Eqs 19 and 21 solved for the pressure")
def coefficient_pressure(k, E, nu, t, R, L):
    """Pressure of a coefficient of external pressure.

    Parameters
    ----------
    k : float
        Coefficient.
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, R, L : float
        Skin thickness, middle radius, length [m].

    Examples
    --------
    >>> coefficient_pressure(12.0, 1.0, 0.0, 1.0, 1.0, 1.0)
    9.8696...
    """
    return k * pi**2 * E * t**3 / (12 * (1 - nu**2) * R * L**2)


@formula("p", "Pa", "sp8007", "Eq 27", "gamma Z beyond 11.8 (R/t)^2 (1 - nu^2); two waves around")
def long_pressure(E, nu, t, R, gamma):
    """External pressure under which a long cylinder becomes oval.

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
    >>> long_pressure(29e6, 0.29, 0.375, 6.75, 1.0)
    1357...
    """
    return gamma * E * (t / R) ** 3 / (4 * (1 - nu**2))


@formula("gamma_Z", "", "sp8007", "class limit of Eqs 26 and 31")
def long_pressure_limit(R_over_t, nu):
    """Class limit of gamma Z from which a cylinder under external pressure is long.

    Parameters
    ----------
    R_over_t : float
        Middle radius over skin thickness.
    nu : float
        Poisson's ratio.

    Examples
    --------
    >>> long_pressure_limit(10.0, 0.0)
    1180.0
    """
    return 11.8 * R_over_t**2 * (1 - nu**2)


@formula("p", "Pa", "sp8007", "Eq 64, lateral pressure; factor of 4.1.2.3", "n of 2 or more")
def stiffened_lateral_pressure(gamma, S, R, n):
    """Capacity of an orthotropic cylinder under lateral pressure.

    Parameters
    ----------
    gamma : float
        Factor.
    S : float
        Determinant over its leading minor, N (m pi/L)^2 of the same mode [Pa/m].
    R : float
        Middle radius [m].
    n : float
        Full waves around.

    Examples
    --------
    >>> stiffened_lateral_pressure(0.75, 8.0, 3.0, 2.0)
    4.5
    """
    return gamma * S * R / n**2


@formula("p", "Pa", "sp8007", "Eq 65, hydrostatic pressure; factor of 4.1.2.3", "n of 2 or more")
def stiffened_hydrostatic_pressure(gamma, S, R, n, a):
    """Capacity of an orthotropic cylinder under hydrostatic pressure.

    Parameters
    ----------
    gamma : float
        Factor.
    S : float
        Determinant over its leading minor, N (m pi/L)^2 of the same mode [Pa/m].
    R : float
        Middle radius [m].
    n : float
        Full waves around.
    a : float
        Axial wave number m pi/L [1/m].

    Examples
    --------
    >>> stiffened_hydrostatic_pressure(0.75, 8.0, 1.0, 1.0, 2.0)
    2.0
    """
    return gamma * S * R / (n**2 + (a * R) ** 2 / 2)


@formula("p", "Pa", "own", "exact ratio of the long ring under live pressure", "n up to 4")
def few_waves_pressure(p, n):
    """External pressure of a mode of few waves, for which the theory of shallow shells is too high.

    Parameters
    ----------
    p : float
        Pressure by that theory [Pa].
    n : float
        Full waves around.

    Examples
    --------
    >>> few_waves_pressure(4.0, 2.0)
    3.0
    """
    return p * (1 - 1 / n**2)


def lowest_aspect(gamma_Z, hydrostatic: bool):
    """Aspect b of the buckles at the least coefficient of external pressure, numbers or (N,).

    With u = 1 + b^2 and c = 12 (gamma Z)^2/pi^4 the least of (u^2 + c/u^2)/(u - s), s = 1 (lateral) or 1/2
    (hydrostatic), is where u^5 - 2 s u^4 - 3 c u + 2 s c = 0: its largest root.

    Examples
    --------
    >>> float(lowest_aspect(0.0, False)), float(lowest_aspect(0.0, True))
    (1.0, 0.0)
    """
    c, s = 12 * np.square(np.asarray(gamma_Z, dtype=float)) / pi**4, 0.5 if hydrostatic else 1.0
    u = 2 * s + (3 * c) ** 0.25  # above the root, where the polynomial is convex: Newton comes down to it
    for _ in range(60):
        u = u - (u**5 - 2 * s * u**4 - 3 * c * u + 2 * s * c) / (5 * u**4 - 8 * s * u**3 - 3 * c)
    return np.sqrt(np.maximum(u - 1, 0.0))[()]
