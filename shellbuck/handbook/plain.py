"""Plain (isotropic, unstiffened) cylinders: NASA SP-8007 Rev 2 (2020)."""

from __future__ import annotations

from numpy import exp, interp, pi, sqrt

from .formula import formula

MOST_RADIUS_TO_THICKNESS = 1500.0
"""Upper limit of the axial knockdown curve (SP-8007 Rev 2, Eqs 9-10)."""

SHORT_LIMIT = 2.85
"""gamma Z below which the short form of k_x holds (SP-8007 Rev 2, Eqs 5-6)."""


@formula("N_cl", "N/m", "sp8007", "Eqs 1-4 (long form)", "gamma Z above 2.85")
def classical_line_load(E, nu, t, R):
    """Classical axial line load of a plain cylinder.

    Parameters
    ----------
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, R : float
        Skin thickness and middle radius [m].

    Examples
    --------
    >>> classical_line_load(1e7, 0.3, 0.1, 100.0)
    605.2275...
    """
    return E * t**2 / (R * sqrt(3 * (1 - nu**2)))


@formula("Z", "", "sp8007", "Eq 3 (Batdorf parameter)")
def batdorf_parameter(L, R, t, nu):
    """Batdorf's length parameter.

    Parameters
    ----------
    L, R, t : float
        Length between supports, middle radius, skin thickness [m].
    nu : float
        Poisson's ratio.

    Examples
    --------
    >>> batdorf_parameter(200.0, 100.0, 0.1, 0.3)
    3815.75...
    """
    return L**2 * sqrt(1 - nu**2) / (R * t)


@formula("k_x", "", "sp8007", "Eq 5", "gamma Z above 2.85")
def buckling_coefficient_long(gamma, Z):
    """Axial buckling coefficient of a moderately long plain cylinder.

    Parameters
    ----------
    gamma : float
        Knockdown factor (1 for the classical load).
    Z : float
        Batdorf parameter.

    Examples
    --------
    >>> buckling_coefficient_long(1.0, 2.849)
    1.9999...
    """
    return 4 * sqrt(3) / pi**2 * gamma * Z


@formula("k_x", "", "sp8007", "Eq 6", "gamma Z below 2.85; no test covers L/R below 0.5")
def buckling_coefficient_short(gamma, Z):
    """Axial buckling coefficient of a short, simply supported plain cylinder.

    Parameters
    ----------
    gamma : float
        Knockdown factor (1 for the classical load).
    Z : float
        Batdorf parameter.

    Examples
    --------
    >>> buckling_coefficient_short(1.0, 1.0)
    1.1231...
    """
    return 1 + 12 * (gamma * Z) ** 2 / pi**4


@formula("N", "N/m", "sp8007", "Eq 1 times t")
def line_load_of_coefficient(k_x, E, nu, t, L):
    """Line load that belongs to an axial buckling coefficient.

    Parameters
    ----------
    k_x : float
        Buckling coefficient.
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, L : float
        Skin thickness, length [m].

    Examples
    --------
    >>> line_load_of_coefficient(1.0, 12.0, 0.0, 1.0, 1.0)
    9.8696...
    """
    return k_x * pi**2 * E * t**3 / (12 * (1 - nu**2) * L**2)


@formula("gamma", "", "sp8007", "Eqs 9-10", "R/t 20 to 1500; tests from R/t 80; not verified above L/R 5")
def axial_knockdown(R_over_t):
    """Empirical knockdown of a plain cylinder in axial compression.

    Parameters
    ----------
    R_over_t : float
        Middle radius over minimum skin thickness.

    Examples
    --------
    >>> axial_knockdown(500.0)
    0.32173...
    """
    return 1 - 0.901 * (1 - exp(-sqrt(R_over_t) / 16))


@formula("gamma", "", "sp8007", "Eqs 14-15", "R/t 20 to 1500; caution above")
def bending_knockdown(R_over_t):
    """Empirical knockdown of a plain cylinder in bending.

    Parameters
    ----------
    R_over_t : float
        Middle radius over minimum skin thickness.

    Examples
    --------
    >>> bending_knockdown(500.0)
    0.44970...
    """
    return 1 - 0.731 * (1 - exp(-sqrt(R_over_t) / 16))


@formula("p_bar", "", "sp8007", "Fig 4-5 (abscissa)")
def pressure_parameter(p, E, R, t):
    """Pressure parameter of the increment curve.

    Parameters
    ----------
    p : float
        Minimum internal pressure [Pa].
    E : float
        Compression modulus [Pa].
    R, t : float
        Middle radius, skin thickness [m].

    Examples
    --------
    >>> pressure_parameter(7e4, 7e10, 1.0, 0.001)
    1.0...
    """
    return p / E * (R / t) ** 2


# SP-8007 Rev 2, Fig 4-5: the lower of two independent digitisations (second-hand); they scatter by +-10 % below
# p_bar = 0.1 and +-5 % from there on, and part at the plateau (0.25 and 0.265: the lower is kept).
_P_BAR = (0.0, 0.02, 0.026, 0.04, 0.06, 0.1, 0.15, 0.2, 0.31, 0.4, 0.5, 0.77, 1.0, 1.5, 2.0)
_READ = (0.0, 0.028, 0.035, 0.048, 0.065, 0.092, 0.117, 0.134, 0.164, 0.178, 0.191, 0.216, 0.226, 0.243, 0.250)
_REDUCED = tuple(d * (0.90 if x < 0.1 else 0.95) for x, d in zip(_P_BAR, _READ, strict=True))


def increment(p_bar):
    """Increment of the knockdown of a pressurised plain cylinder.

    SP-8007 Rev 2, Fig 4-5, each digitised point first reduced by its scatter, then linear between the reduced
    points, 0 at 0, constant above p_bar = 2. Only for plain walls with the standard's own factor.

    Parameters
    ----------
    p_bar : float
        Pressure parameter, see `pressure_parameter`.

    Examples
    --------
    >>> increment(0.5)
    0.18145
    """
    value = interp(p_bar, _P_BAR, _REDUCED)
    return value if getattr(p_bar, "shape", ()) else float(value)


@formula("N_a", "N/m", "sp8007", "Eq 48 over 2 pi R", "moderately long; p is the minimum internal pressure")
def pressurised_axial_line_load(E, nu, t, R, gamma, d_gamma, p):
    """Axial capacity of a pressurised plain cylinder with closed ends, applied load per length.

    Parameters
    ----------
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, R : float
        Skin thickness, middle radius [m].
    gamma, d_gamma : float
        Axial knockdown and its pressure increment.
    p : float
        Pressure whose thrust relieves the wall [Pa]; 0 for open ends.

    Examples
    --------
    >>> pressurised_axial_line_load(1e7, 0.3, 0.1, 100.0, 1.0, 0.0, 2.0)
    705.2275...
    """
    return E * t**2 / R * (gamma / sqrt(3 * (1 - nu**2)) + d_gamma) + p * R / 2


@formula("N_b", "N/m", "sp8007", "Eq 50 over pi R^2", "moderately long; p is the minimum internal pressure")
def pressurised_bending_line_load(E, nu, t, R, gamma, d_gamma, p):
    """Bending capacity of a pressurised plain cylinder with closed ends, peak line load.

    The pressure term 0.8 p R is the standard's; the balance of the fibre alone would give 0.5 p R.

    Parameters
    ----------
    E : float
        Compression modulus [Pa].
    nu : float
        Poisson's ratio.
    t, R : float
        Skin thickness, middle radius [m].
    gamma, d_gamma : float
        Bending knockdown and its pressure increment.
    p : float
        Pressure whose thrust relieves the wall [Pa]; 0 for open ends.

    Examples
    --------
    >>> pressurised_bending_line_load(1e7, 0.3, 0.1, 100.0, 1.0, 0.0, 2.0)
    765.2275...
    """
    return E * t**2 / R * (gamma / sqrt(3 * (1 - nu**2)) + d_gamma) + 0.8 * p * R


@formula("N", "N/m", "own-rule", "linear in L/R from the standard's load at 3 to the lower of both at 5", "L/R 3 to 5")
def faded_line_load(N_std, N_low, L_over_R):
    """Capacity of a barrel between the lengths for which the standard's load and the Sanders load count.

    Parameters
    ----------
    N_std : float
        Capacity by the standard's equation [N/m].
    N_low : float
        The lower of that and the capacity by the Sanders load [N/m].
    L_over_R : float
        Length over middle radius.

    Examples
    --------
    >>> faded_line_load(4.0, 2.0, 3.5)
    3.5
    """
    return N_std - (L_over_R - 3) / 2 * (N_std - N_low)


@formula("M", "N m", "sp8007", "Eq 16", "very long tube; elastic")
def ovalisation_moment(E, nu, t, R):
    """Collapse moment of a very long tube that flattens.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    t, R : float
        Skin thickness, middle radius [m].

    Examples
    --------
    >>> ovalisation_moment(1.0, 0.0, 1.0, 1.0)
    0.987...
    """
    return 0.987 * E * R * t**2 / sqrt(1 - nu**2)


@formula("d_gamma", "", "sp8007", "Fig 4-5, points second-hand, reduced by their scatter", "between two points")
def increment_between(d_0, d_1, p_0, p_1, p_bar):
    """Increment of the knockdown by pressure, between two points of the curve.

    Parameters
    ----------
    d_0, d_1 : float
        Reduced increment of the points left and right.
    p_0, p_1 : float
        Their pressure parameters.
    p_bar : float
        Pressure parameter of the wall.

    Examples
    --------
    >>> increment_between(0.1, 0.2, 1.0, 3.0, 2.0)
    0.15...
    """
    return d_0 + (d_1 - d_0) * (p_bar - p_0) / (p_1 - p_0)


def increment_points(p_bar):
    """The two points (p_bar, reduced increment) of the curve that enclose a pressure parameter; beyond the last point
    the last two, with the last increment twice.

    Examples
    --------
    >>> increment_points(0.6)
    ((0.5, 0.18145), (0.77, 0.2052))
    """
    points = tuple(zip(_P_BAR, (float(d) for d in _REDUCED), strict=True))
    if p_bar >= _P_BAR[-1]:
        return (points[-2][0], points[-1][1]), points[-1]
    at = next(i for i, (x, _) in enumerate(points) if x > p_bar)
    return points[at - 1], points[at]
