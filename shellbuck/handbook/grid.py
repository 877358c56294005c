"""Triangular grids: NASA CR-124075 Rev A (second-hand) with its coefficients and their safe counterparts.

The grid's formulas hold for one metal; its smeared state is isotropic with Poisson's ratio 1/3.
"""

from __future__ import annotations

from numpy import pi, sqrt

from .formula import formula

HANDBOOK_POCKET = 10.2
"""Skin pocket, NASA CR-124075: unsafe for slender ribs (own meshes gave 7.4 to 8.3 for ribs as thick as the skin)."""

HANDBOOK_CRIPPLING = {"hoop": 0.616, "axial": 0.411}
"""Rib crippling, NASA CR-124075. With a hoop family the inclined ribs carry 2/3 of the smeared stress, with an
axial family the axial ribs all of it: hence the ratio 1.5."""

ISOLATED_TRIANGLE = {"hoop": 6.0136, "axial": 6.0974}
"""pi^2/12-type coefficient of the isolated simply supported triangle, times 1/(1 - nu^2): load perpendicular to a
side (hoop family) or along one (axial family). Own converged solution, recomputed in
tests/handbook/test_triangles_published.py."""


@formula("alpha", "", "isogrid", "rib area ratio")
def rib_ratio(b, d, t, h):
    """Rib area over skin area of one triangle height.

    Parameters
    ----------
    b, d : float
        Rib width and depth from the skin surface [m].
    t, h : float
        Skin thickness and triangle height [m].

    Examples
    --------
    >>> rib_ratio(0.06, 0.5, 0.06, 3.0)
    0.16666...
    """
    return b * d / (t * h)


@formula("alpha", "", "isogrid", "areas of web and flange, alpha + mu there")
def flanged_rib_ratio(A, t, h):
    """Area of a flanged rib over skin area of one triangle height.

    Parameters
    ----------
    A : float
        Area of a rib [m^2].
    t, h : float
        Skin thickness and triangle height [m].

    Examples
    --------
    >>> flanged_rib_ratio(0.083, 0.08, 4.0)
    0.259...
    """
    return A / (t * h)


@formula("beta", "", "isogrid", "unflanged grid")
def grid_beta(alpha, delta):
    """Bending parameter of an unflanged grid.

    Parameters
    ----------
    alpha, delta : float
        Rib area ratio b d/(t h) and depth ratio d/t.

    Examples
    --------
    >>> grid_beta(1 / 6, 25 / 3)
    7.6305...
    """
    return sqrt(3 * alpha * (1 + delta) ** 2 + (1 + alpha) * (1 + alpha * delta**2))


@formula("beta", "", "own", "flanged grid, re-derived from the section's exact inertia")
def flanged_grid_beta(alpha, delta, mu, lamda):
    """Bending parameter of a flanged grid; `grid_beta` when mu = 0.

    Parameters
    ----------
    alpha, delta : float
        Rib area ratio b d/(t h) and web depth ratio d/t.
    mu, lamda : float
        Flange area ratio w c/(t h) and flange thickness ratio c/t.

    Examples
    --------
    >>> flanged_grid_beta(1 / 6, 25 / 3, 0.0, 0.0)
    7.6305...
    """
    web = 3 * (1 + delta) ** 2 + 3 * mu * (lamda + delta) ** 2 + 1 + alpha * delta**2 + mu * lamda**2
    return sqrt((1 + alpha + mu) * web - 3 * ((1 + delta) - mu * (lamda + delta)) ** 2)


@formula("t_star", "m", "isogrid", "equivalent isotropic sheet")
def grid_equivalent_thickness(t, alpha, beta):
    """Thickness of the isotropic sheet equivalent to the grid.

    Parameters
    ----------
    t : float
        Skin thickness [m].
    alpha, beta : float
        Rib area ratio, bending parameter.

    Examples
    --------
    >>> grid_equivalent_thickness(0.06, 1 / 6, 7.630551)
    0.39242...
    """
    return t * beta / (1 + alpha)


@formula("E_star", "Pa", "isogrid", "equivalent isotropic sheet")
def grid_equivalent_modulus(E, alpha, beta):
    """Modulus of the isotropic sheet equivalent to the grid.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    alpha, beta : float
        Rib area ratio, bending parameter.

    Examples
    --------
    >>> grid_equivalent_modulus(10.3e6, 1 / 6, 7.630551)
    18372...
    """
    return E * (1 + alpha) ** 2 / beta


@formula("N", "N/m", "isogrid", "general instability", "isotropic grid, nu = 1/3, moderately long")
def grid_general_line_load(c_0, E, t, beta, R):
    """General instability of a triangular grid.

    Parameters
    ----------
    c_0 : float
        0.612372 (1/sqrt(3 (1 - 1/9))) times the knockdown.
    E : float
        Modulus [Pa].
    t : float
        Skin thickness [m].
    beta : float
        Bending parameter.
    R : float
        Radius [m].

    Examples
    --------
    >>> grid_general_line_load(0.612372, 10.3e6, 0.06, 7.630551, 48.0)
    3609.6...
    """
    return c_0 * E * t**2 * beta / R


@formula("c", "", "own", "isolated simply supported triangle, converged (lower bound for a continuous skin)")
def isolated_pocket_coefficient(c_0, nu):
    """Pocket coefficient of the isolated simply supported triangle.

    Parameters
    ----------
    c_0 : float
        6.0136 for a hoop family, 6.0974 for an axial family.
    nu : float
        Poisson's ratio.

    Examples
    --------
    >>> isolated_pocket_coefficient(6.0136, 1 / 3)
    6.7653...
    """
    return c_0 / (1 - nu**2)


@formula("N", "N/m", "isogrid", "skin pocket")
def pocket_line_load(c, E, t, alpha, h):
    """Line load at which the triangular skin pockets buckle.

    Parameters
    ----------
    c : float
        Pocket coefficient.
    E : float
        Compression modulus [Pa].
    t : float
        Skin thickness [m].
    alpha : float
        Rib area ratio.
    h : float
        Triangle height [m].

    Examples
    --------
    >>> pocket_line_load(10.2, 10.3e6, 0.06, 1 / 6, 3.0)
    2941.6...
    """
    return c * E * t * (1 + alpha) * (t / h) ** 2


@formula("N", "N/m", "isogrid", "rib crippling", "blade ribs of the skin's metal")
def rib_crippling_line_load(c, E, t, alpha, b, d):
    """Line load at which the ribs of a triangular grid cripple.

    Parameters
    ----------
    c : float
        0.616 with a hoop family, 0.411 with an axial family.
    E : float
        Compression modulus [Pa].
    t : float
        Skin thickness [m].
    alpha : float
        Rib area ratio.
    b, d : float
        Rib width and depth [m].

    Examples
    --------
    >>> rib_crippling_line_load(0.616, 10.3e6, 0.06, 1 / 6, 0.06, 0.5)
    6395.5...
    """
    return c * E * t * (1 + alpha) * (b / d) ** 2


@formula("N", "N/m", "isogrid", "open grid, general instability at gamma = 1")
def open_grid_line_load(E, beta_o, d, R):
    """General instability of an open (skinless) triangular grid, no knockdown.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    beta_o : float
        Rib width over triangle side b/a.
    d, R : float
        Rib depth, radius [m].

    Examples
    --------
    >>> 0.65 * open_grid_line_load(1.0, 1.0, 1.0, 1.0)
    0.4596...
    """
    return E * beta_o * d**2 / (sqrt(2) * R)


@formula("t_bar", "m", "isogrid", "mass thickness, node overlaps counted twice")
def grid_mass_thickness(t, alpha):
    """Thickness of the sheet that weighs as much as the grid.

    Parameters
    ----------
    t : float
        Skin thickness [m].
    alpha : float
        Rib area ratio.

    Examples
    --------
    >>> grid_mass_thickness(2.0, 0.5)
    5.0
    """
    return t * (1 + 3 * alpha)


@formula("N", "N/m", "isogrid", "open grid, rib as a hinged strut between nodes (own reading)")
def open_grid_rib_line_load(E, beta_o, d):
    """Rib buckling of an open (skinless) triangular grid.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    beta_o : float
        Rib width over triangle side b/a.
    d : float
        Rib depth [m].

    Examples
    --------
    >>> open_grid_rib_line_load(1.0, 1.0, 1.0)
    1.4245...
    """
    return sqrt(3) * pi**2 / 12 * E * beta_o**3 * d
