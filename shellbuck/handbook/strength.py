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


@formula("MS", "", "practice", "margin of safety on stress")
def stress_margin(F, f_s, sigma):
    """Margin of an allowable stress over a limit stress.

    Parameters
    ----------
    F : float
        Allowable stress [Pa].
    f_s : float
        Factor of safety.
    sigma : float
        Limit stress [Pa].

    Examples
    --------
    >>> stress_margin(300.0, 1.5, 100.0)
    1.0
    """
    return F / (f_s * sigma) - 1
