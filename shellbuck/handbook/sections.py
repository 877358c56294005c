"""Sections and members: open rectangles, crippling, columns, ring stiffness."""

from __future__ import annotations

from numpy import pi, sqrt

from .formula import formula


@formula("J", "m^4", "timoshenko", "torsion of a rectangle (series, 1 % or better)", "lo no larger than hi")
def rectangle_torsion(lo, hi):
    """Torsion constant of an open rectangle.

    Parameters
    ----------
    lo, hi : float
        Short and long side [m].

    Examples
    --------
    >>> rectangle_torsion(1.0, 1.0)
    0.1408...
    """
    return hi * lo**3 * (1 / 3 - 0.21 * lo / hi * (1 - lo**4 / (12 * hi**4)))


@formula("J", "m^4", "bredt", "closed cell of two thicknesses", "cross-section keeps its shape")
def closed_cell_torsion(A_m, c, t, b, t_s):
    """Torsion constant of the closed cell that a hat makes with the skin.

    Parameters
    ----------
    A_m : float
        Area inside the middle lines [m^2].
    c, t : float
        Length of the hat's middle line around the cell, and its thickness [m].
    b, t_s : float
        Width of the skin in the cell, and its thickness times its shear modulus over the hat's [m].

    Examples
    --------
    >>> closed_cell_torsion(1.0, 3.0, 1.0, 1.0, 1.0)
    1.0
    """
    return 4 * A_m**2 / (c / t + b / t_s)


@formula(
    "J",
    "m^4",
    "own",
    "cell whose crown sways against the bending of its webs, hinged at the skin (finite strips of the tests: no more)",
    "share of the crown in the area swept, no less than 1/2",
)
def swaying_cell_torsion(J_c, t, B, c, w, nu, r, L):
    """Torsion constant of a hat without bulkheads that twists to and fro along its length.

    Parameters
    ----------
    J_c : float
        Of the closed cell that keeps its shape [m^4].
    t : float
        Thickness of the hat [m].
    B, c, w : float
        Width at the base, at the crown, and of a web [m].
    nu : float
        Poisson's ratio.
    r : float
        Share of the crown, c/(B + c), no less than 1/2.
    L : float
        Half-wave of the twist [m].

    Examples
    --------
    >>> swaying_cell_torsion(4.0, 1.0, 1.0, 1.0, 1.0, 0.0, 0.5, 3.141592653589793)
    1.6
    """
    return J_c / (1 + r**2 * J_c * (pi / L) ** 2 * (1 - nu) * (c + 2 * w) / (2 * t**3 * (B / c) ** 2))


@formula("F", "Pa", "johnson", "", "L/rho up to pi sqrt(2 E/F_cc); longer: Euler")
def johnson_stress(F_cc, E, slenderness):
    """Column stress of a crippling section, Johnson's parabola.

    Parameters
    ----------
    F_cc : float
        Crippling stress [Pa].
    E : float
        Compression modulus [Pa].
    slenderness : float
        Effective length over radius of gyration.

    Examples
    --------
    >>> johnson_stress(40e3, 10.3e6, 40.0)
    33704.3...
    """
    return F_cc - F_cc**2 * slenderness**2 / (4 * pi**2 * E)


@formula("L_rho", "", "johnson", "where the parabola meets Euler's curve")
def johnson_switch(F_cc, E):
    """Slenderness at which Johnson's parabola gives way to Euler's curve.

    Parameters
    ----------
    F_cc, E : float
        Crippling stress and compression modulus [Pa].

    Examples
    --------
    >>> johnson_switch(40e3, 10.3e6)
    71.29...
    """
    return pi * (2 * E / F_cc) ** 0.5


@formula("sigma_E", "Pa", "timoshenko", "Euler's column, pinned ends")
def euler_stress(E, slenderness):
    """Column stress of an elastic column.

    Parameters
    ----------
    E : float
        Compression modulus [Pa].
    slenderness : float
        Effective length over radius of gyration.

    Examples
    --------
    >>> euler_stress(4.0, 2.0)
    9.8696...
    """
    return pi**2 * E / slenderness**2


@formula("rho", "m", "own", "stringer and skin that bend together, skin by its modulus")
def stringer_gyration(A, I, z, n, b, t):  # noqa: E741
    """Radius of gyration of a stringer with a width of skin, about their common centroid.

    Parameters
    ----------
    A : float
        Area of the stringer [m^2].
    I : float
        Its second moment about its own centroid [m^4].
    z : float
        Its centroid from the middle of the skin [m].
    n : float
        Modulus of the skin over that of the stringer.
    b, t : float
        Width and thickness of the skin [m].

    Examples
    --------
    >>> stringer_gyration(1.0, 0.0, 2.0, 1.0, 1.0, 1e-9)
    6.32...e-05
    """
    return sqrt((I + n * b * t**3 / 12 + A * z**2 * n * b * t / (A + n * b * t)) / (A + n * b * t))


@formula("b_e", "m", "karman", "skin at the stringer's stress", "no more than the spacing")
def effective_width(b, sigma_cr, sigma):
    """Width of a buckled skin that carries the stress of its stringers.

    Parameters
    ----------
    b : float
        Spacing [m].
    sigma_cr, sigma : float
        Buckling stress of the skin, and stress of the stringers [Pa].

    Examples
    --------
    >>> effective_width(1.0, 1.0, 4.0)
    0.5
    """
    return b * sqrt(sigma_cr / sigma)


@formula(
    "sigma",
    "Pa",
    "own",
    "Vlasov's bar with a fixed axis of rotation, one half-wave, cross-section rigid (finite strips in the tests: 0 to "
    "5 % less at stresses below yield, where the web flexes)",
    "open sections, no restraint by the skin's bending",
)
def rolling_stress(G, J, E, C_w, I_p, L):
    """Stress at which a stringer rolls about its line of attachment.

    Parameters
    ----------
    G : float
        Shear modulus [Pa].
    J : float
        Torsion constant [m^4].
    E : float
        Compression modulus [Pa].
    C_w : float
        Warping constant about the line of attachment [m^6].
    I_p : float
        Polar second moment about it [m^4].
    L : float
        Length between supports that hold the section upright [m].

    Examples
    --------
    >>> rolling_stress(2.0, 3.0, 1.0, 0.0, 4.0, 1.0)
    1.5
    """
    return (G * J + E * C_w * (pi / L) ** 2) / I_p


@formula(
    "sigma", "Pa", "own", "the same with any number of waves", "open sections; the curvature of a ring is left out"
)
def ring_rolling_stress(G, J, I_p):
    """Stress at which a ring rolls about its line of attachment in long waves.

    Parameters
    ----------
    G : float
        Shear modulus [Pa].
    J, I_p : float
        Torsion constant, and polar second moment about the line of attachment [m^4].

    Examples
    --------
    >>> ring_rolling_stress(2.0, 3.0, 4.0)
    1.5
    """
    return G * J / I_p


@formula("F_cc", "Pa", "gerard", "angles and multi-corner sections", "cut off at 0.7 to 0.9 F_cy")
def gerard_crippling(g, t, A, E, F_cy):
    """Crippling stress of angles and multi-corner sections.

    Parameters
    ----------
    g : float
        Flanges plus cuts that part the section into flats.
    t, A : float
        Thickness [m] and area [m^2].
    E, F_cy : float
        Compression modulus and compressive yield [Pa].

    Examples
    --------
    >>> gerard_crippling(2.0, 1.0, 2.0, 1.0, 1.0)
    0.56
    """
    return F_cy * 0.56 * (g * t**2 / A * (E / F_cy) ** 0.5) ** 0.85


@formula("F_cc", "Pa", "gerard", "tees, cruciforms and I sections", "cut off at 0.8 F_cy")
def gerard_tee_crippling(g, t, A, E, F_cy):
    """Crippling stress of sections whose plates keep straight edges.

    Parameters
    ----------
    g : float
        Flanges plus cuts that part the section into flats.
    t, A : float
        Thickness [m] and area [m^2].
    E, F_cy : float
        Compression modulus and compressive yield [Pa].

    Examples
    --------
    >>> gerard_tee_crippling(3.0, 1.0, 3.0, 1.0, 1.0)
    0.67
    """
    return F_cy * 0.67 * (g * t**2 / A * (E / F_cy) ** 0.5) ** 0.4


@formula("F_cc", "Pa", "gerard", "zees, channels: two corners", "cut off at 0.9 F_cy")
def gerard_two_corner_crippling(t, A, E, F_cy):
    """Crippling stress of zees and channels.

    Parameters
    ----------
    t, A : float
        Thickness [m] and area [m^2].
    E, F_cy : float
        Compression modulus and compressive yield [Pa].

    Examples
    --------
    >>> gerard_two_corner_crippling(1.0, 16.0, 1.0, 1.0)
    0.4
    """
    return F_cy * 3.2 * (t**2 / A * (E / F_cy) ** (1 / 3)) ** 0.75


@formula("F_cc", "Pa", "gerard", "cut-offs of the crippling formulas (from memory)")
def crippling_cut_off(c, F_cy):
    """Largest crippling stress that the formulas of sections give.

    Parameters
    ----------
    c : float
        Share of yield: 0.7 angles, 0.8 tees and sections of several corners, 0.9 zees.
    F_cy : float
        Compressive yield [Pa].

    Examples
    --------
    >>> crippling_cut_off(0.7, 100.0)
    70.0
    """
    return c * F_cy


NEEDHAM = {2: 0.316, 1: 0.342, 0: 0.366}
"""Needham's coefficient of an angle by its number of free edges (from memory)."""


@formula("F_cc", "Pa", "needham", "angles that a section is parted into")
def needham_crippling(C_e, E, F_cy, b, t):
    """Crippling stress of an angle as a part of a section.

    Parameters
    ----------
    C_e : float
        0.316 with two free edges, 0.342 with one, 0.366 without.
    E, F_cy : float
        Compression modulus and compressive yield [Pa].
    b, t : float
        Mean of both legs, and thickness [m].

    Examples
    --------
    >>> needham_crippling(0.316, 4.0, 1.0, 16.0, 1.0)
    0.079
    """
    return C_e * (E * F_cy) ** 0.5 / (b / t) ** 0.75


@formula("F_cc", "Pa", "needham", "mean of the parts of a section by their areas", "cut off at F_cy")
def mean_crippling(F_1, A_1, F_2, A_2):
    """Crippling stress of a section of two kinds of angles.

    Parameters
    ----------
    F_1, A_1 : float
        Stress [Pa] and area [m^2] of one kind.
    F_2, A_2 : float
        Stress [Pa] and area [m^2] of the other.

    Examples
    --------
    >>> mean_crippling(1.0, 1.0, 4.0, 2.0)
    3.0
    """
    return (F_1 * A_1 + F_2 * A_2) / (A_1 + A_2)


@formula("EI", "N m^2", "shanley", "", "empirical; usually, not always, conservative")
def shanley_ring_stiffness(M, D, L):
    """Ring stiffness that keeps general instability away, an empirical first guess.

    Parameters
    ----------
    M : float
        Bending moment; for an axial line load N put N pi R^2 [N m].
    D : float
        Barrel diameter [m].
    L : float
        Ring spacing [m].

    Examples
    --------
    >>> from math import pi
    >>> shanley_ring_stiffness(1000 * pi * 48**2, 96.0, 20.0)
    208461...
    """
    return M * D**2 / (16000 * L)
