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


@formula("N_y", "N/m", "mises", "first yield of the skin under net compression and fixed hoop tension")
def skin_yield_line_load(s_x, s_y, q_x, q_y, F):
    """Net axial line load, compression positive, at which the skin yields.

    Parameters
    ----------
    s_x, s_y : float
        Axial and hoop stress of the skin per unit of net compressive line load [1/m].
    q_x, q_y : float
        Axial and hoop stress of the skin of the hoop line load p R alone [Pa].
    F : float
        Compressive yield [Pa].

    Examples
    --------
    >>> skin_yield_line_load(-1.0, 0.0, 0.0, 0.0, 3.0)
    3.0
    """
    a = s_x**2 - s_x * s_y + s_y**2
    b = 2 * s_x * q_x - s_x * q_y - s_y * q_x + 2 * s_y * q_y
    c = q_x**2 - q_x * q_y + q_y**2 - F**2
    return (sqrt(b**2 - 4 * a * c) - b) / (2 * a)


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
