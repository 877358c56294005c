"""Steel shells by EN 1993-1-6: axial compression of plain cylinders, both generations. A second opinion only.

From memory unless a formula says otherwise; a reader with the standard at hand confirms it there.
"""

from __future__ import annotations

from numpy import sqrt

from .formula import formula

LEAST_RELATIVE_LENGTH = 0.5
"""omega below which nothing is given (own limit: next to a plate)."""

SHORT_TO = 1.7
"""omega up to which the coefficient of short cylinders holds."""

MOST_RADIUS_TO_THICKNESS = 5000.0
"""Upper end of the standard's range of R/t (from memory)."""

SLENDERNESS_LIMIT = 0.2
"""lambda_0, up to which the wall reaches its yield strength. Of 2007; taken for the second generation too."""

PLASTIC_RANGE_2007 = 0.6
"""beta of the first generation."""

EXPONENT_2007 = 1.0
"""eta of the first generation."""

FIRST, SECOND = "EN 1993-1-6:2007", "EN 1993-1-6 second generation"


@formula("omega", "", "en1993-1-6", "D.1.2", "R/t 20 to 5000")
def relative_length(L, R, t):
    """Relative length of a cylinder.

    Parameters
    ----------
    L, R, t : float
        Length between supports, middle radius, skin thickness [m].

    Examples
    --------
    >>> relative_length(2.0, 1.0, 0.01)
    20.0
    """
    return L / sqrt(R * t)


@formula("C_x", "", "en1993-1-6", "D.1.2", "omega up to 1.7; own lower limit 0.5")
def short_length_factor(omega):
    """Length factor of a short cylinder.

    Parameters
    ----------
    omega : float
        Relative length.

    Examples
    --------
    >>> short_length_factor(1.0)
    1.5999999999999999
    """
    return 1.36 - 1.83 / omega + 2.07 / omega**2


@formula("C_x", "", "en1993-1-6", "D.1.2", "omega above R/(2 t); 0.6 at least; C_xb 1 for simply supported ends")
def long_length_factor(omega, R_over_t, C_xb):
    """Length factor of a long cylinder.

    Parameters
    ----------
    omega, R_over_t : float
        Relative length, radius over thickness.
    C_xb : float
        1 with both ends simply supported, 3 with one clamped, 6 with both.

    Examples
    --------
    >>> long_length_factor(100.0, 100.0, 1.0)
    0.8
    """
    return 1 + 0.2 / C_xb * (1 - 2 * omega / R_over_t)


@formula("sigma_cr", "Pa", "en1993-1-6", "D.1.2")
def shell_critical_stress(E, C_x, R_over_t):
    """Elastic critical stress of a steel cylinder (nu = 0.3).

    Parameters
    ----------
    E : float
        Modulus [Pa].
    C_x, R_over_t : float
        Length factor, radius over thickness.

    Examples
    --------
    >>> shell_critical_stress(210.0, 1.0, 100.0)
    1.2705
    """
    return 0.605 * E * C_x / R_over_t


@formula("w_t", "", "en1993-1-6", "D.1.2", "quality class A 40, B 25, C 16")
def quality_amplitude(R_over_t, Q):
    """Amplitude of the dent that a fabrication quality class allows, over the thickness.

    Parameters
    ----------
    R_over_t : float
        Radius over thickness.
    Q : float
        Fabrication quality parameter of the class.

    Examples
    --------
    >>> quality_amplitude(100.0, 25.0)
    0.4
    """
    return sqrt(R_over_t) / Q


@formula("alpha", "", "en1993-1-6", "D.1.2")
def imperfection_factor(w_t):
    """Elastic imperfection factor, first generation.

    Parameters
    ----------
    w_t : float
        Amplitude of the dent over the thickness.

    Examples
    --------
    >>> imperfection_factor(1.0)
    0.21305...
    """
    return 0.62 / (1 + 1.91 * w_t**1.44)


@formula("alpha", "", "en1993-1-6-second", "axial compression")
def imperfection_factor_second(w_t):
    """Elastic imperfection factor, second generation.

    Parameters
    ----------
    w_t : float
        Amplitude of the dent over the thickness.

    Examples
    --------
    >>> imperfection_factor_second(1.0)
    0.25937...
    """
    return 0.83 / (1 + 2.2 * w_t**0.75)


@formula("beta_p", "", "en1993-1-6-second", "axial compression")
def plastic_range_second(w_t):
    """Plastic range factor, second generation.

    Parameters
    ----------
    w_t : float
        Amplitude of the dent over the thickness.

    Examples
    --------
    >>> plastic_range_second(0.0)
    0.25
    """
    return 1 - 0.75 / (1 + 1.1 * w_t)


@formula("eta_0", "", "en1993-1-6-second", "axial compression")
def squash_exponent_second(w_t):
    """Interaction exponent at the squash limit, second generation.

    Parameters
    ----------
    w_t : float
        Amplitude of the dent over the thickness.

    Examples
    --------
    >>> squash_exponent_second(0.5)
    1.3
    """
    return 1.35 - 0.1 * w_t


@formula("eta_p", "", "en1993-1-6-second", "axial compression")
def elastic_exponent_second(w_t):
    """Interaction exponent at the end of the plastic range, second generation.

    Parameters
    ----------
    w_t : float
        Amplitude of the dent over the thickness.

    Examples
    --------
    >>> elastic_exponent_second(0.5)
    1.23456...
    """
    return 1 / (0.45 + 0.72 * w_t)


@formula("lamda", "", "en1993-1-6", "8.5.2")
def relative_slenderness(f_y, sigma_cr):
    """Relative slenderness of a shell.

    Parameters
    ----------
    f_y, sigma_cr : float
        Yield strength, elastic critical stress [Pa].

    Examples
    --------
    >>> relative_slenderness(4.0, 1.0)
    2.0
    """
    return sqrt(f_y / sigma_cr)


@formula("lamda_p", "", "en1993-1-6", "8.5.2")
def plastic_slenderness(alpha_x, beta_p):
    """Slenderness beyond which a shell buckles elastically.

    Parameters
    ----------
    alpha_x, beta_p : float
        Imperfection factor, plastic range factor.

    Examples
    --------
    >>> plastic_slenderness(0.4, 0.6)
    1.0
    """
    return sqrt(alpha_x / (1 - beta_p))


@formula("eta_b", "", "en1993-1-6-second", "linear between both ends (from memory)")
def interaction_exponent(lamda, lamda_0, lamda_p, eta_0, eta_p):
    """Interaction exponent between the squash limit and the end of the plastic range.

    Parameters
    ----------
    lamda, lamda_0, lamda_p : float
        Slenderness of the shell, at the squash limit, at the end of the plastic range.
    eta_0, eta_p : float
        Exponents at both.

    Examples
    --------
    >>> interaction_exponent(0.5, 0.0, 1.0, 1.0, 2.0)
    1.5
    """
    return eta_0 + (eta_p - eta_0) * (lamda - lamda_0) / (lamda_p - lamda_0)


@formula("chi", "", "en1993-1-6", "8.5.2", "lamda between lamda_0 and lamda_p; 1 below")
def plastic_reduction(lamda_0, lamda, lamda_p, beta_p, eta_b):
    """Buckling reduction factor in the range of elastic-plastic interaction.

    Parameters
    ----------
    lamda_0, lamda, lamda_p : float
        Slenderness at the squash limit, of the shell, at the end of the plastic range.
    beta_p, eta_b : float
        Plastic range factor, interaction exponent.

    Examples
    --------
    >>> plastic_reduction(0.2, 0.6, 1.0, 0.6, 1.0)
    0.7000000000000001
    """
    return 1 - beta_p * ((lamda - lamda_0) / (lamda_p - lamda_0)) ** eta_b


@formula("chi", "", "en1993-1-6", "8.5.2", "lamda above lamda_p")
def elastic_reduction(alpha_x, lamda):
    """Buckling reduction factor in the elastic range.

    Parameters
    ----------
    alpha_x, lamda : float
        Imperfection factor, slenderness of the shell.

    Examples
    --------
    >>> elastic_reduction(0.4, 2.0)
    0.1
    """
    return alpha_x / lamda**2


@formula("p_s", "", "en1993-1-6", "D.1.2", "internal pressure")
def relative_pressure(p, R, t, sigma_cr):
    """Hoop stress of internal pressure over the elastic critical stress.

    Parameters
    ----------
    p : float
        Internal pressure: the smallest for the elastic factor, the largest for the plastic one [Pa].
    R, t : float
        Middle radius, skin thickness [m].
    sigma_cr : float
        Elastic critical stress [Pa].

    Examples
    --------
    >>> relative_pressure(1.0, 10.0, 1.0, 20.0)
    0.5
    """
    return p * R / (t * sigma_cr)


@formula("alpha_xpe", "", "en1993-1-6", "D.1.2", "internal pressure, elastic")
def pressurised_elastic_factor(alpha_x, p_s):
    """Imperfection factor with the help of internal pressure.

    Parameters
    ----------
    alpha_x, p_s : float
        Factor without pressure, relative pressure at its smallest.

    Examples
    --------
    >>> pressurised_elastic_factor(0.25, 0.6)
    0.625
    """
    return alpha_x + (1 - alpha_x) * p_s / (p_s + 0.3 / sqrt(alpha_x))


@formula("s", "", "en1993-1-6", "D.1.2")
def pressure_thinness(R_over_t):
    """Thinness in the factor of plastic collapse under pressure.

    Parameters
    ----------
    R_over_t : float
        Radius over thickness.

    Examples
    --------
    >>> pressure_thinness(800.0)
    2.0
    """
    return R_over_t / 400


@formula("alpha_xpp", "", "en1993-1-6", "D.1.2", "p R/t up to the yield strength")
def pressurised_plastic_factor(lamda, p_g, s):
    """Factor of plastic collapse by bulging near a held end under internal pressure.

    Parameters
    ----------
    lamda, p_g, s : float
        Slenderness of the shell, relative pressure at its largest, thinness.

    Examples
    --------
    >>> pressurised_plastic_factor(1.0, 0.0, 1.0)
    0.58377...
    """
    return (1 - (p_g / lamda**2) ** 2) * (1 - 1 / (1.12 + s**1.5)) * ((s**2 + 1.21 * lamda**2) / (s * (s + 1)))


@formula("N_Rk", "N/m", "en1993-1-6", "8.5.2")
def characteristic_line_load(chi, f_y, t):
    """Characteristic buckling resistance as a line load.

    Parameters
    ----------
    chi : float
        Buckling reduction factor.
    f_y : float
        Yield strength [Pa].
    t : float
        Skin thickness [m].

    Examples
    --------
    >>> characteristic_line_load(0.5, 200.0, 0.01)
    1.0
    """
    return chi * f_y * t
