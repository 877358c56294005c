"""Membrane strength."""

from __future__ import annotations

from numpy import sqrt

from .formula import formula


@formula("sigma_vm", "Pa", "mises", "plane stress")
def von_mises_stress(sigma_x, sigma_y, tau):
    """Equivalent stress of a plane stress state.

    Parameters
    ----------
    sigma_x, sigma_y, tau : float
        Axial, hoop and shear stress [Pa].

    Examples
    --------
    >>> von_mises_stress(1.0, 0.0, 0.0)
    1.0
    """
    return sqrt(sigma_x**2 - sigma_x * sigma_y + sigma_y**2 + 3 * tau**2)


@formula("MS", "", "practice", "margin of safety on the stress at the factored state")
def stress_margin(F, sigma):
    """Margin of an allowable stress over the stress at the factored loads.

    Parameters
    ----------
    F : float
        Allowable stress [Pa].
    sigma : float
        Stress at the factored loads, pressure as said [Pa].

    Examples
    --------
    >>> stress_margin(300.0, 150.0)
    1.0
    """
    return F / sigma - 1


@formula("sigma", "Pa", "own", "membrane strains A^-1 N along a rib", "smeared wall, curvature left out")
def rib_stress(E, a_x, a_theta, N_x, N_theta):
    """Stress of a rib, compression positive, of the line loads of its wall.

    Parameters
    ----------
    E : float
        Modulus of the rib [Pa].
    a_x, a_theta : float
        Strain along the rib per axial and per hoop line load, from A^-1 [m/N].
    N_x, N_theta : float
        Axial and hoop line load, tension positive [N/m].

    Examples
    --------
    >>> rib_stress(2.0, 1.0, -0.25, -1.0, 2.0)
    3.0
    """
    return -E * (a_x * N_x + a_theta * N_theta)


@formula("s", "Pa", "own", "the same with the strain that a shear flow brings along an inclined rib")
def sheared_rib_stress(s_L, E, a_xy, q):
    """Stress of a rib under line loads and a shear flow, compression positive.

    Parameters
    ----------
    s_L : float
        Stress of the line loads [Pa].
    E : float
        Modulus of the rib [Pa].
    a_xy : float
        Size of the strain along the rib per shear flow, from A^-1 [m/N].
    q : float
        Shear flow [N/m].

    Examples
    --------
    >>> sheared_rib_stress(2.0, 3.0, 1.0, 2.0)
    8.0
    """
    return s_L + E * a_xy * q


@formula("g", "", "own", "inverse of the membrane stiffness")
def shear_strain(G_xy, q):
    """Shear strain of the wall under a shear flow.

    Parameters
    ----------
    G_xy : float
        Membrane shear stiffness A_33 [N/m].
    q : float
        Shear flow [N/m].

    Examples
    --------
    >>> shear_strain(2.0, 1.0)
    0.5
    """
    return q / G_xy


@formula("tau", "Pa", "own", "plane stress")
def skin_shear_stress(E, nu, g):
    """Shear stress of the skin.

    Parameters
    ----------
    E : float
        Modulus of the skin [Pa].
    nu : float
        Poisson's ratio.
    g : float
        Shear strain.

    Examples
    --------
    >>> skin_shear_stress(2.5, 0.25, 1.0)
    1.0
    """
    return E / (2 * (1 + nu)) * g


@formula("sigma", "Pa", "own", "strain along the rib, shear strain included")
def inclined_rib_stress(E, e_x, e_theta, g, c, s):
    """Direct stress of an inclined rib of a sheared wall, tension positive.

    Parameters
    ----------
    E : float
        Modulus of the rib [Pa].
    e_x, e_theta, g : float
        Membrane strains, axial, hoop and shear.
    c, s : float
        Cosine and sine of the angle from the axis.

    Examples
    --------
    >>> inclined_rib_stress(2.0, 3.0, 1.0, 1.0, 1.0, 0.0)
    6.0
    """
    return E * (e_x * c**2 + e_theta * s**2 + g * c * s)


@formula("N_y", "N/m", "mises", "first yield of the skin under net compression and fixed hoop tension")
def skin_yield_line_load(s, k, q, F):
    """Net axial line load, compression positive, at which the skin yields: von Mises of N s + q is F.

    Parameters
    ----------
    s : float
        Von Mises stress of the skin per unit of net compressive line load [1/m].
    k : float
        Mixed term of both stresses, s_x q_x + s_y q_y - (s_x q_y + s_y q_x)/2, of unit load and hoop load [Pa/m].
    q : float
        Von Mises stress of the skin of the hoop line load p R alone [Pa].
    F : float
        Compressive yield [Pa].

    Examples
    --------
    >>> skin_yield_line_load(1.0, 0.0, 0.0, 3.0)
    3.0
    """
    return (sqrt(k**2 - s**2 * (q**2 - F**2)) - k) / s**2


@formula("N_y", "N/m", "own", "first yield of a rib under net compression and fixed hoop tension")
def rib_yield_line_load(s, q, F):
    """Net axial line load, compression positive, at which a rib yields.

    Parameters
    ----------
    s : float
        Size of the rib's stress per unit of net compressive line load [1/m].
    q : float
        Rib stress of the hoop line load p R alone, positive where it opposes `s` [Pa].
    F : float
        Yield in the direction of `s` [Pa].

    Examples
    --------
    >>> rib_yield_line_load(2.0, 1.0, 3.0)
    2.0
    """
    return (F + q) / s


@formula("N_x", "N/m", "practice", "factored loads", "p is 0 for open ends, N_b below 0 on the tensioned generator")
def factored_axial_line_load(p, R, f_s, N_a, N_b):
    """Axial line load of a generator at the factored loads, tension positive.

    Parameters
    ----------
    p : float
        Pressure of the state whose thrust stretches the wall [Pa].
    R : float
        Middle radius [m].
    f_s : float
        Factor of safety.
    N_a, N_b : float
        Limit line loads of axial force and bending, compression positive [N/m].

    Examples
    --------
    >>> factored_axial_line_load(2.0, 3.0, 1.5, 4.0, 2.0)
    -6.0
    """
    return p * R / 2 - f_s * (N_a + N_b)


@formula("e_x", "", "own", "inverse of the membrane stiffness")
def axial_strain(E_x, E_y, E_xy, N_x, N_theta):
    """Axial membrane strain of the wall under its line loads.

    Parameters
    ----------
    E_x, E_y, E_xy : float
        Membrane stiffness A_11, A_22, A_12 [N/m].
    N_x, N_theta : float
        Axial and hoop line load, tension positive [N/m].

    Examples
    --------
    >>> axial_strain(2.0, 2.0, 0.0, 1.0, 0.0)
    0.5
    """
    return (E_y * N_x - E_xy * N_theta) / (E_x * E_y - E_xy**2)


@formula("e_theta", "", "own", "inverse of the membrane stiffness")
def hoop_strain(E_x, E_y, E_xy, N_x, N_theta):
    """Hoop membrane strain of the wall under its line loads.

    Parameters
    ----------
    E_x, E_y, E_xy : float
        Membrane stiffness A_11, A_22, A_12 [N/m].
    N_x, N_theta : float
        Axial and hoop line load, tension positive [N/m].

    Examples
    --------
    >>> hoop_strain(2.0, 2.0, 0.0, 1.0, 3.0)
    1.5
    """
    return (E_x * N_theta - E_xy * N_x) / (E_x * E_y - E_xy**2)


@formula("sigma_x", "Pa", "own", "plane stress")
def skin_axial_stress(E, nu, e_x, e_theta):
    """Axial stress of the skin.

    Parameters
    ----------
    E : float
        Modulus of the skin [Pa].
    nu : float
        Poisson's ratio.
    e_x, e_theta : float
        Membrane strains.

    Examples
    --------
    >>> skin_axial_stress(3.0, 0.5, 1.0, 2.0)
    8.0
    """
    return E / (1 - nu**2) * (e_x + nu * e_theta)


@formula("sigma_y", "Pa", "own", "plane stress")
def skin_hoop_stress(E, nu, e_x, e_theta):
    """Hoop stress of the skin.

    Parameters
    ----------
    E : float
        Modulus of the skin [Pa].
    nu : float
        Poisson's ratio.
    e_x, e_theta : float
        Membrane strains.

    Examples
    --------
    >>> skin_hoop_stress(3.0, 0.5, 1.0, 2.0)
    10.0
    """
    return E / (1 - nu**2) * (e_theta + nu * e_x)


@formula("sigma", "Pa", "own", "strain along the rib")
def rib_direct_stress(E, e_x, e_theta, c):
    """Direct stress of a rib at an angle to the axis, tension positive.

    Parameters
    ----------
    E : float
        Modulus of the rib [Pa].
    e_x, e_theta : float
        Membrane strains.
    c : float
        Cosine of the angle from the axis.

    Examples
    --------
    >>> rib_direct_stress(2.0, 3.0, 1.0, 1.0)
    6.0
    """
    return E * (e_x * c**2 + e_theta * (1 - c**2))
