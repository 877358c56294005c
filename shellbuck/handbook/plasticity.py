"""Plastic buckling: the stress-strain curve, its moduli, and the factors that reduce an elastic buckling stress."""

from __future__ import annotations

from numpy import sqrt

from .formula import formula
from .plain import SHORT_LIMIT

OFFSET = 0.002
"""Plastic strain at the yield strength."""


@formula("epsilon", "", "ramberg-osgood", "with the .002 offset at yield")
def ramberg_osgood_strain(sigma, E, F_cy, n):
    """Strain of a metal by Ramberg and Osgood.

    Parameters
    ----------
    sigma : float
        Stress [Pa].
    E : float
        Compression modulus [Pa].
    F_cy : float
        Compressive yield strength, .2 % offset [Pa].
    n : float
        Hardening exponent.

    Examples
    --------
    >>> ramberg_osgood_strain(300e6, 75e9, 300e6, 10.0)
    0.006
    """
    return sigma / E + OFFSET * (sigma / F_cy) ** n


@formula("E_s", "Pa", "ramberg-osgood", "stress over strain")
def secant_modulus(sigma, E, F_cy, n):
    """Secant modulus of a Ramberg-Osgood metal.

    Parameters
    ----------
    sigma : float
        Effective stress [Pa].
    E : float
        Compression modulus [Pa].
    F_cy : float
        Compressive yield strength, .2 % offset [Pa].
    n : float
        Hardening exponent.

    Examples
    --------
    >>> secant_modulus(300e6, 75e9, 300e6, 10.0)
    50000000000.0
    """
    return sigma / (sigma / E + OFFSET * (sigma / F_cy) ** n)


@formula("E_t", "Pa", "ramberg-osgood", "slope of the curve")
def tangent_modulus(sigma, E, F_cy, n):
    """Tangent modulus of a Ramberg-Osgood metal.

    Parameters
    ----------
    sigma : float
        Effective stress [Pa].
    E : float
        Compression modulus [Pa].
    F_cy : float
        Compressive yield strength, .2 % offset [Pa].
    n : float
        Hardening exponent.

    Examples
    --------
    >>> tangent_modulus(300e6, 75e9, 300e6, 10.0)
    12500000000.0
    """
    return sigma / (sigma / E + OFFSET * n * (sigma / F_cy) ** n)


@formula("sigma_e", "Pa", "mises", "skin under an axial line load and a fixed hoop tension")
def skin_effective_stress(s, k, q, N):
    """Effective (von Mises) stress of the skin under a net axial line load and fixed hoop tension.

    Parameters
    ----------
    s : float
        Effective stress of an axial line load of 1 N/m [1/m].
    k : float
        Mixed term of both stress states [Pa/m].
    q : float
        Effective stress of the hoop tension alone [Pa].
    N : float
        Net axial line load, compression positive [N/m].

    Examples
    --------
    >>> skin_effective_stress(2.0, 0.0, 3.0, 2.0)
    5.0
    """
    return sqrt((s * N) ** 2 + 2 * k * N + q**2)


@formula("eta", "", "sp8007", "Eq 11", "gamma Z above 2.85; the knockdown goes into the elastic load first")
def moderately_long_factor(E_s, E_t, E):
    """Plasticity factor of a moderately long cylinder in axial compression.

    Parameters
    ----------
    E_s, E_t, E : float
        Secant, tangent and elastic modulus [Pa].

    Examples
    --------
    >>> moderately_long_factor(8.0, 2.0, 10.0)
    0.4
    """
    return sqrt(E_s * E_t) / E


@formula("eta", "", "sp8007", "Eq 12 (very short cylinders); tangent modulus of columns")
def tangent_modulus_factor(E_t, E):
    """Plasticity factor of a column and of a very short cylinder in axial compression.

    Parameters
    ----------
    E_t, E : float
        Tangent and elastic modulus [Pa].

    Examples
    --------
    >>> tangent_modulus_factor(2.0, 10.0)
    0.2
    """
    return E_t / E


@formula(
    "eta",
    "",
    "sp8007",
    "between Eqs 11 and 12, linear in Z (from 0 to the class limit: own reading)",
    "gamma Z to 2.85",
)
def short_cylinder_factor(E_s, E_t, E, gamma_Z):
    """Plasticity factor of a short cylinder in axial compression.

    Parameters
    ----------
    E_s, E_t, E : float
        Secant, tangent and elastic modulus [Pa].
    gamma_Z : float
        Knockdown times Batdorf's length parameter.

    Examples
    --------
    >>> short_cylinder_factor(8.0, 2.0, 10.0, 1.425)
    0.3...
    """
    return (E_t + gamma_Z / SHORT_LIMIT * (sqrt(E_s * E_t) - E_t)) / E


@formula("eta", "", "gerard-becker", "long plate, simply supported; the form of SP-8007 Rev 2, Eq 30 (gamma Z below 5)")
def supported_plate_factor(E_s, E_t, E):
    """Plasticity factor of a long simply supported plate, and of a very short cylinder under external pressure.

    Parameters
    ----------
    E_s, E_t, E : float
        Secant, tangent and elastic modulus [Pa].

    Examples
    --------
    >>> supported_plate_factor(8.0, 0.0, 10.0)
    0.6...
    """
    return E_s / E * (1 / 2 + 1 / 2 * sqrt(1 / 4 + 3 / 4 * E_t / E_s))


@formula("eta", "", "gerard-becker", "long plate, one edge free; SP-8007 Rev 2, Eq 40 (torsion) at a stress of 2 tau")
def secant_modulus_factor(E_s, E):
    """Plasticity factor of a long plate with one edge free, and of a cylinder in torsion.

    Parameters
    ----------
    E_s, E : float
        Secant and elastic modulus [Pa].

    Examples
    --------
    >>> secant_modulus_factor(8.0, 10.0)
    0.8
    """
    return E_s / E


@formula("eta", "", "sp8007", "Eq 31", "gamma Z from 100 to 11.8 (R/t)^2 (1 - nu^2); linear in Z from 5 to 100")
def moderately_long_pressure_factor(E_s, E_t, E):
    """Plasticity factor of a moderately long cylinder under external pressure.

    Parameters
    ----------
    E_s, E_t, E : float
        Secant, tangent and elastic modulus [Pa].

    Examples
    --------
    >>> moderately_long_pressure_factor(8.0, 8.0, 10.0)
    0.8
    """
    return E_s / E * sqrt(sqrt(E_t / E_s) * (1 / 4 + 3 / 4 * E_t / E_s))


@formula("eta", "", "sp8007", "Eq 32", "gamma Z above 11.8 (R/t)^2 (1 - nu^2)")
def long_pressure_factor(E_s, E_t, E):
    """Plasticity factor of a long cylinder under external pressure.

    Parameters
    ----------
    E_s, E_t, E : float
        Secant, tangent and elastic modulus [Pa].

    Examples
    --------
    >>> long_pressure_factor(8.0, 0.0, 10.0)
    0.2
    """
    return E_s / E * (1 / 4 + 3 / 4 * E_t / E_s)


@formula("eta", "", "sp8007", "Eqs 30-32, linear in gamma Z from 5 to 100", "weights that add up to 1")
def external_pressure_factor(E_s, E_t, E, w_s, w_m, w_l):
    """Plasticity factor of a cylinder under external pressure, of any length.

    Parameters
    ----------
    E_s, E_t, E : float
        Secant, tangent and elastic modulus [Pa].
    w_s, w_m, w_l : float
        Weights of the equations for short, moderately long and long cylinders.

    Examples
    --------
    >>> external_pressure_factor(8.0, 8.0, 10.0, 0.5, 0.25, 0.25)
    0.8
    """
    mixed = 1 / 4 + 3 / 4 * E_t / E_s
    return E_s / E * (w_s * (1 / 2 + 1 / 2 * sqrt(mixed)) + w_m * sqrt(sqrt(E_t / E_s) * mixed) + w_l * mixed)


@formula("eta", "", "own", "J2 flow theory, axisymmetric mode", "perfect plain wall, moderately long, uniaxial stress")
def axisymmetric_flow_factor(E_t, E, nu):
    """Plasticity factor of the axisymmetric mode of a plain cylinder by flow theory.

    Parameters
    ----------
    E_t, E : float
        Tangent and elastic modulus [Pa].
    nu : float
        Elastic Poisson's ratio.

    Examples
    --------
    >>> axisymmetric_flow_factor(2.0, 8.0, 0.0)
    0.4588...
    """
    return 2 * sqrt(1 - nu**2) / sqrt((5 - 4 * nu) * E / E_t - (1 - 2 * nu) ** 2)


@formula(
    "eta", "", "own", "J2 deformation theory, axisymmetric mode", "perfect plain wall, moderately long, uniaxial stress"
)
def axisymmetric_deformation_factor(E_s, E_t, E, nu):
    """Plasticity factor of the axisymmetric mode of a plain cylinder by deformation theory.

    Parameters
    ----------
    E_s, E_t, E : float
        Secant, tangent and elastic modulus [Pa].
    nu : float
        Elastic Poisson's ratio.

    Examples
    --------
    >>> axisymmetric_deformation_factor(8.0, 2.0, 8.0, 0.5)
    0.5
    """
    return 2 * sqrt(1 - nu**2) / sqrt(3 * E**2 / (E_s * E_t) + 2 * (1 - 2 * nu) * E / E_t - (1 - 2 * nu) ** 2)


@formula("N", "N/m", "sp8007", "Eq 8: the factor enters the elastic load, then eta")
def plastic_line_load(eta, N_e):
    """Line load of buckling in the plastic range.

    Parameters
    ----------
    eta : float
        Plasticity factor at the stress of this very load.
    N_e : float
        Elastic line load, its knockdown applied [N/m].

    Examples
    --------
    >>> plastic_line_load(0.5, 8.0)
    4.0
    """
    return eta * N_e


@formula("sigma", "Pa", "gerard-becker", "elastic stress times its plasticity factor")
def plastic_stress(eta, sigma_el):
    """Stress at which a plate buckles in the plastic range.

    Parameters
    ----------
    eta : float
        Plasticity factor at this very stress.
    sigma_el : float
        Elastic buckling stress [Pa].

    Examples
    --------
    >>> plastic_stress(0.5, 8.0)
    4.0
    """
    return eta * sigma_el


@formula("P", "N", "engesser", "tangent modulus in place of the elastic one")
def plastic_column_load(eta, P_E):
    """Buckling load of a column in the plastic range.

    Parameters
    ----------
    eta : float
        Plasticity factor at the stress of this very load.
    P_E : float
        Elastic column load [N].

    Examples
    --------
    >>> plastic_column_load(0.5, 8.0)
    4.0
    """
    return eta * P_E
