"""Flat and slightly curved plates: skin strips, rectangular pockets, blade webs."""

from __future__ import annotations

import math

import numpy as np
from numpy import pi, sqrt

from .formula import formula

LONG_SIMPLY_SUPPORTED = 4.0
"""Long plate, all edges simply supported (textbook)."""

LONG_CLAMPED = 6.9709
"""Long plate, unloaded edges clamped, at half-wave 0.6608 b (own Levy solution, see the plate tests)."""

LONG_CLAMPED_FREE = 1.2804
"""Long plate, one unloaded edge clamped, the other free, nu = 0.3, at half-wave 1.638 b (own Levy solution)."""

CURVED_SWITCH = 11.40
"""Curvature parameter at which the long-strip form takes over."""


@formula("sigma", "Pa", "timoshenko", "plates under uniform compression")
def plate_stress(k, E, nu, t, b):
    """Buckling stress of a flat plate.

    Parameters
    ----------
    k : float
        Plate coefficient.
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, b : float
        Thickness and loaded width [m].

    Examples
    --------
    >>> plate_stress(4.0, 70e9, 0.3, 0.001, 0.1)
    25306...
    """
    return k * pi**2 * E / (12 * (1 - nu**2)) * (t / b) ** 2


@formula("k", "", "own", "exact limit of the Levy solution of a long plate")
def one_edge_free_coefficient(nu):
    """Coefficient of a long plate, one unloaded edge simply supported, the other free.

    Parameters
    ----------
    nu : float
        Poisson's ratio.

    Examples
    --------
    >>> one_edge_free_coefficient(0.3)
    0.4255...
    """
    return 6 * (1 - nu) / pi**2


@formula("k", "", "timoshenko", "simply supported rectangle, m half-waves along the load")
def rectangle_coefficient(m, a, b):
    """Coefficient of a simply supported rectangle for one number of half-waves.

    Parameters
    ----------
    m : int
        Half-waves along the load.
    a, b : float
        Length along the load and width [m].

    Examples
    --------
    >>> rectangle_coefficient(1, 1.0, 1.0)
    4.0
    """
    return (m * b / a + a / (m * b)) ** 2


@formula("k_s", "", "timoshenko", "simply supported, in shear; no length for a long strip", "b up to a")
def shear_coefficient(b, a):
    """Coefficient of a simply supported plate in shear.

    Parameters
    ----------
    b, a : float
        Short and long side [m].

    Examples
    --------
    >>> shear_coefficient(1.0, 2.0)
    6.34
    """
    return 5.34 + 4 * (b / a) ** 2


@formula("q", "N/m", "practice", "the skin's own stress from A^-1")
def field_flow(tau, s_xy):
    """Shear flow of a wall at which a field of its skin buckles.

    Parameters
    ----------
    tau : float
        Shear buckling stress of the field [Pa].
    s_xy : float
        Shear stress of the skin per shear flow of the wall [1/m].

    Examples
    --------
    >>> field_flow(4.0, 2.0)
    2.0
    """
    return tau / s_xy


@formula("p", "Pa", "own-rule", "sum of both ratios (safe: stable loads form a convex region); stresses from A^-1")
def field_pressure(sigma_x, sigma_y, s_x, s_y):
    """External pressure at which a field of the skin buckles.

    Parameters
    ----------
    sigma_x, sigma_y : float
        Buckling stress of the field under axial and under hoop compression alone [Pa].
    s_x, s_y : float
        Axial and hoop compression of the skin per pressure; 0 for a tension.

    Examples
    --------
    >>> field_pressure(4.0, 4.0, 1.0, 3.0)
    1.0
    """
    return 1 / (s_x / sigma_x + s_y / sigma_y)


def lowest_rectangle(a: float, b: float) -> tuple[int, float]:
    """Half-waves and coefficient of the lowest mode of a simply supported rectangle.

    Examples
    --------
    >>> lowest_rectangle(3.0, 1.0)
    (3, 4.0)
    """
    near = max(1, math.floor(a / b))
    return min(((m, float(rectangle_coefficient(m, a, b))) for m in (near, near + 1)), key=lambda mk: mk[1])


def least_rectangle_coefficient(a, b):
    """The coefficient of `lowest_rectangle`, numbers or (N,).

    Examples
    --------
    >>> float(least_rectangle_coefficient(3.0, 1.0)), float(least_rectangle_coefficient(1.0, 2.0))
    (4.0, 6.25)
    """
    near = np.maximum(1.0, np.floor(np.asarray(a) / b))
    return np.minimum(rectangle_coefficient(near, a, b), rectangle_coefficient(near + 1, a, b))[()]


@formula("d/t", "", "dnv-rp-c202", "flat-bar rings")
def flat_bar_slenderness(E, F_cy):
    """Depth over thickness up to which a flat-bar ring stays straight up to yield.

    Parameters
    ----------
    E : float
        Compression modulus of the ring [Pa].
    F_cy : float
        Compressive yield of the ring [Pa].

    Examples
    --------
    >>> flat_bar_slenderness(100.0, 1.0)
    4.0
    """
    return 0.4 * sqrt(E / F_cy)


@formula("Z_b", "", "batdorf", "curvature parameter of a strip")
def strip_curvature(b, R, t, nu):
    """Curvature parameter of a strip between stringers.

    Parameters
    ----------
    b, R, t : float
        Width, radius, thickness [m].
    nu : float
        Poisson's ratio.

    Examples
    --------
    >>> strip_curvature(1.0, 1.0, 0.1, 0.0)
    10.0
    """
    return b**2 * sqrt(1 - nu**2) / (R * t)


@formula("k", "", "own", "Donnell strip, simply supported; gives 4 when flat", "Z_b up to 11.40")
def curved_strip_coefficient(Z_b):
    """Coefficient of a long curved strip, simply supported at its sides, wide half-waves.

    Parameters
    ----------
    Z_b : float
        Curvature parameter.

    Examples
    --------
    >>> curved_strip_coefficient(5.0)
    4.7699...
    """
    return 4 + 3 * Z_b**2 / pi**4


@formula("k", "", "own", "Donnell strip, the classical cylinder's stress", "Z_b from 11.40")
def wide_strip_coefficient(Z_b):
    """Coefficient of a strip so curved that it buckles at the classical cylinder's stress.

    Parameters
    ----------
    Z_b : float
        Curvature parameter.

    Examples
    --------
    >>> wide_strip_coefficient(20.0)
    14.039...
    """
    return 4 * sqrt(3) / pi**2 * Z_b


@formula("N", "N/m", "practice", "skin and stringers at the same strain")
def strip_line_load(sigma, t, A_b):
    """Line load of skin and stringers when the skin reaches a stress.

    Parameters
    ----------
    sigma : float
        Skin buckling stress [Pa].
    t : float
        Skin thickness [m].
    A_b : float
        Stringer area over spacing, times the ratio of moduli where the metals differ [m].

    Examples
    --------
    >>> strip_line_load(1e6, 0.002, 0.001)
    3000.0
    """
    return sigma * (t + A_b)


@formula("N", "N/m", "own", "equilateral triangle, simply supported, equal biaxial load (exact)")
def triangle_biaxial_line_load(E, nu, t, h):
    """Equal biaxial buckling load of a simply supported equilateral triangle.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    t, h : float
        Thickness and triangle height [m].

    Examples
    --------
    >>> triangle_biaxial_line_load(12.0, 0.0, 1.0, 2.0)
    9.8696...
    """
    return 4 * pi**2 * E * t**3 / (12 * (1 - nu**2)) / h**2
