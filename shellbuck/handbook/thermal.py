"""Restrained thermal stress: a gradient through the skin, and rings of another temperature than the skin between them.

The skin between rings is a strip on an elastic foundation, E_y/R^2 from its hoop stiffness, and bends at every ring in
the same way: slope 0 at rings and half way. With x from half way, f = cosh(b x) cos(b x) and g = sinh(b x) sin(b x) it
is w = K (g' f - f' g), f' and g' at the ring; what follows is that solution there (own derivation, checked against the
solution by exponentials in tests/handbook/test_thermal_formulas.py).
"""

from __future__ import annotations

from numpy import cos, exp, pi, sqrt

from .formula import formula


@formula("sigma_T", "Pa", "timoshenko", "closed shell", "curvature fully restrained; higher beside a free edge")
def gradient_stress(E, nu, alpha_T, dT):
    """Stress at the faces of a skin whose faces differ in temperature, equal along and around.

    Parameters
    ----------
    E : float
        Modulus [Pa].
    nu : float
        Poisson's ratio.
    alpha_T : float
        Coefficient of thermal expansion [1/K].
    dT : float
        Temperature of the outer face over that of the inner one [K].

    Examples
    --------
    >>> gradient_stress(2.0, 0.5, 1.0, 3.0)
    6.0
    """
    return E * alpha_T * dT / (2 * (1 - nu))


@formula("k_free", "", "timoshenko", "thermal stress of a long tube beside its free end")
def free_edge_share(nu):
    """Hoop stress of a gradient at a free end over that far from it.

    Parameters
    ----------
    nu : float
        Poisson's ratio.

    Examples
    --------
    >>> free_edge_share(0.3)
    1.25075...
    """
    return 1 - nu + sqrt((1 - nu**2) / 3)


@formula("beta_s", "1/m", "own", "strip on its hoop stiffness")
def decay_number(E_y, D_x, R):
    """Decay of bending along the axis from a ring.

    Parameters
    ----------
    E_y : float
        Hoop stiffness of the wall without rings at no axial force [N/m].
    D_x : float
        Its axial bending stiffness without membrane forces [N m].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> decay_number(4.0, 1.0, 1.0)
    1.0
    """
    return (E_y / (4 * D_x * R**2)) ** 0.25


@formula("k_r", "Pa", "practice", "hoop stiffness of a ring")
def ring_radial_stiffness(E, A, R):
    """Radial line load per deflection of a ring.

    Parameters
    ----------
    E : float
        Modulus of the ring [Pa].
    A : float
        Its area [m^2].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> ring_radial_stiffness(8.0, 2.0, 2.0)
    4.0
    """
    return E * A / R**2


@formula("k_s", "Pa", "own", "all rings alike; 8 beta^3 D far apart, E_y s/R^2 close together")
def skin_radial_stiffness(D_x, beta_s, s):
    """Radial line load per deflection of the skin at every ring.

    Parameters
    ----------
    D_x : float
        Axial bending stiffness of the wall without rings [N m].
    beta_s : float
        Decay along the axis [1/m].
    s : float
        Spacing of the rings [m].

    Examples
    --------
    >>> skin_radial_stiffness(1.0, 1.0, 100.0)
    8.0
    """
    q, b = exp(-beta_s * s), beta_s * s
    return 8 * beta_s**3 * D_x * (1 + q**2 - 2 * q * cos(b)) / (1 - q**2 + 2 * q * cos(b - pi / 2))


@formula("e_w", "", "own", "ring and skin in equilibrium")
def ring_strain(alpha_r, dT, k_r, k_s):
    """Hoop strain of ring and skin at a ring that is hotter than the skin.

    Parameters
    ----------
    alpha_r : float
        Coefficient of thermal expansion of the ring [1/K].
    dT : float
        Temperature of the ring over that of the skin [K].
    k_r, k_s : float
        Radial stiffness of ring and skin [Pa].

    Examples
    --------
    >>> ring_strain(0.1, 4.0, 3.0, 1.0)
    0.30000...
    """
    return alpha_r * dT * k_r / (k_r + k_s)


@formula("kappa", "1/m", "own", "of the skin at a ring, tension outside where the ring pushes out")
def ring_curvature(e_w, R, beta_s, s):
    """Change of curvature of the skin along the axis at a ring.

    Parameters
    ----------
    e_w : float
        Hoop strain at the ring.
    R : float
        Middle radius [m].
    beta_s : float
        Decay along the axis [1/m].
    s : float
        Spacing of the rings [m].

    Examples
    --------
    >>> ring_curvature(0.5, 2.0, 1.0, 100.0)
    2.0
    """
    q, b = exp(-beta_s * s), beta_s * s
    wave = 2 * q * cos(b - pi / 2)
    return 2 * beta_s**2 * e_w * R * (1 - q**2 - wave) / (1 - q**2 + wave)


@formula("sigma_r", "Pa", "own", "strain of the ring less its free expansion")
def ring_thermal_stress(E, e_w, alpha_r, dT):
    """Thermal stress of a ring, tension positive.

    Parameters
    ----------
    E : float
        Modulus of the ring [Pa].
    e_w : float
        Hoop strain at the ring.
    alpha_r : float
        Coefficient of thermal expansion of the ring [1/K].
    dT : float
        Temperature of the ring over that of the skin [K].

    Examples
    --------
    >>> ring_thermal_stress(2.0, 0.5, 0.25, 4.0)
    -1.0
    """
    return E * (e_w - alpha_r * dT)
