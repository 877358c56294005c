"""Classical lamination theory: a ply's plane-stress stiffness, turned to the wall's axes, and its share of A, B, D."""

from __future__ import annotations

from .formula import formula


@formula("Q_11", "Pa", "laminate", "plane stress")
def ply_stiffness_along(E_1, E_2, nu_12):
    """Stiffness of a ply along its fibres.

    Parameters
    ----------
    E_1, E_2 : float
        Modulus along and across the fibres [Pa].
    nu_12 : float
        Strain across over strain along under stress along, positive for a contraction.

    Examples
    --------
    >>> ply_stiffness_along(4.0, 1.0, 0.0)
    4.0
    """
    return E_1 / (1 - nu_12**2 * E_2 / E_1)


@formula("Q_12", "Pa", "laminate", "plane stress")
def ply_stiffness_cross(E_1, E_2, nu_12):
    """Stiffness that joins both directions of a ply.

    Parameters
    ----------
    E_1, E_2 : float
        Modulus along and across the fibres [Pa].
    nu_12 : float
        Strain across over strain along under stress along, positive for a contraction.

    Examples
    --------
    >>> ply_stiffness_cross(1.0, 1.0, 0.5)
    0.66666...
    """
    return nu_12 * E_2 / (1 - nu_12**2 * E_2 / E_1)


@formula("Q_22", "Pa", "laminate", "plane stress")
def ply_stiffness_across(E_1, E_2, nu_12):
    """Stiffness of a ply across its fibres.

    Parameters
    ----------
    E_1, E_2 : float
        Modulus along and across the fibres [Pa].
    nu_12 : float
        Strain across over strain along under stress along, positive for a contraction.

    Examples
    --------
    >>> ply_stiffness_across(4.0, 1.0, 0.0)
    1.0
    """
    return E_2 / (1 - nu_12**2 * E_2 / E_1)


@formula("Qb_11", "Pa", "laminate", "turned by the angle from the axis, cosine c and sine s")
def turned_axial(Q_11, Q_12, Q_22, Q_66, c, s):
    """Axial stiffness of a turned ply; around with c and s exchanged.

    Parameters
    ----------
    Q_11, Q_12, Q_22, Q_66 : float
        Stiffness along, joining, across, in shear, in the ply's own axes [Pa].
    c, s : float
        Cosine and sine of the angle of the fibres from the axis of the barrel.

    Examples
    --------
    >>> turned_axial(4.0, 1.0, 2.0, 1.0, 1.0, 0.0)
    4.0
    """
    return Q_11 * c**4 + 2 * (Q_12 + 2 * Q_66) * c**2 * s**2 + Q_22 * s**4


@formula("Qb_12", "Pa", "laminate", "turned by the angle from the axis, cosine c and sine s")
def turned_cross(Q_11, Q_12, Q_22, Q_66, c, s):
    """Stiffness of a turned ply that joins axis and hoop.

    Parameters
    ----------
    Q_11, Q_12, Q_22, Q_66 : float
        Stiffness along, joining, across, in shear, in the ply's own axes [Pa].
    c, s : float
        Cosine and sine of the angle of the fibres from the axis of the barrel.

    Examples
    --------
    >>> turned_cross(4.0, 1.0, 2.0, 1.0, 1.0, 0.0)
    1.0
    """
    return (Q_11 + Q_22 - 4 * Q_66) * c**2 * s**2 + Q_12 * (c**4 + s**4)


@formula("Qb_66", "Pa", "laminate", "turned by the angle from the axis, cosine c and sine s")
def turned_shear(Q_11, Q_12, Q_22, Q_66, c, s):
    """Shear stiffness of a turned ply.

    Parameters
    ----------
    Q_11, Q_12, Q_22, Q_66 : float
        Stiffness along, joining, across, in shear, in the ply's own axes [Pa].
    c, s : float
        Cosine and sine of the angle of the fibres from the axis of the barrel.

    Examples
    --------
    >>> turned_shear(4.0, 1.0, 2.0, 1.0, 1.0, 0.0)
    1.0
    """
    return (Q_11 + Q_22 - 2 * Q_12 - 2 * Q_66) * c**2 * s**2 + Q_66 * (c**4 + s**4)


@formula("Qb_16", "Pa", "laminate", "turned by the angle from the axis, cosine c and sine s")
def turned_axial_shear(Q_11, Q_12, Q_22, Q_66, c, s):
    """Stiffness of a turned ply that joins axial strain and shear.

    Parameters
    ----------
    Q_11, Q_12, Q_22, Q_66 : float
        Stiffness along, joining, across, in shear, in the ply's own axes [Pa].
    c, s : float
        Cosine and sine of the angle of the fibres from the axis of the barrel.

    Examples
    --------
    >>> turned_axial_shear(4.0, 1.0, 2.0, 1.0, 1.0, 0.0)
    0.0
    """
    return (Q_11 - Q_12 - 2 * Q_66) * c**3 * s + (Q_12 - Q_22 + 2 * Q_66) * c * s**3


@formula("Qb_26", "Pa", "laminate", "turned by the angle from the axis, cosine c and sine s")
def turned_hoop_shear(Q_11, Q_12, Q_22, Q_66, c, s):
    """Stiffness of a turned ply that joins hoop strain and shear.

    Parameters
    ----------
    Q_11, Q_12, Q_22, Q_66 : float
        Stiffness along, joining, across, in shear, in the ply's own axes [Pa].
    c, s : float
        Cosine and sine of the angle of the fibres from the axis of the barrel.

    Examples
    --------
    >>> turned_hoop_shear(4.0, 1.0, 2.0, 1.0, 1.0, 0.0)
    0.0
    """
    return (Q_11 - Q_12 - 2 * Q_66) * c * s**3 + (Q_12 - Q_22 + 2 * Q_66) * c**3 * s


@formula("A_ply", "N/m", "laminate", "share of the sum over plies")
def ply_membrane_share(Qb, t_p):
    """Share of a ply in the membrane stiffness.

    Parameters
    ----------
    Qb : float
        Turned stiffness [Pa].
    t_p : float
        Thickness of the ply [m].

    Examples
    --------
    >>> ply_membrane_share(3.0, 2.0)
    6.0
    """
    return Qb * t_p


@formula("B_ply", "N", "laminate", "share of the sum over plies")
def ply_coupling_share(Qb, t_p, z_p):
    """Share of a ply in the coupling stiffness.

    Parameters
    ----------
    Qb : float
        Turned stiffness [Pa].
    t_p, z_p : float
        Thickness of the ply, and its middle above that of the wall [m].

    Examples
    --------
    >>> ply_coupling_share(3.0, 2.0, 0.5)
    3.0
    """
    return Qb * t_p * z_p


@formula("D_ply", "N m", "laminate", "share of the sum over plies")
def ply_bending_share(Qb, t_p, z_p):
    """Share of a ply in the bending stiffness.

    Parameters
    ----------
    Qb : float
        Turned stiffness [Pa].
    t_p, z_p : float
        Thickness of the ply, and its middle above that of the wall [m].

    Examples
    --------
    >>> ply_bending_share(3.0, 2.0, 1.0)
    8.0
    """
    return Qb * (t_p * z_p**2 + t_p**3 / 12)


@formula("e_1", "", "laminate", "strain along the fibres; across with c and s exchanged and the shear reversed")
def strain_along(e_x, e_theta, g, c, s):
    """Strain along the fibres of a turned ply.

    Parameters
    ----------
    e_x, e_theta, g : float
        Axial and hoop strain of the wall, engineering shear.
    c, s : float
        Cosine and sine of the angle of the fibres from the axis of the barrel.

    Examples
    --------
    >>> strain_along(1.0, 2.0, 0.0, 1.0, 0.0)
    1.0
    """
    return e_x * c**2 + e_theta * s**2 + g * c * s


@formula("g_12", "", "laminate", "engineering shear in the ply's own axes")
def strain_sheared(e_x, e_theta, g, c, s):
    """Shear strain of a turned ply.

    Parameters
    ----------
    e_x, e_theta, g : float
        Axial and hoop strain of the wall, engineering shear.
    c, s : float
        Cosine and sine of the angle of the fibres from the axis of the barrel.

    Examples
    --------
    >>> strain_sheared(1.0, 2.0, 0.5, 1.0, 0.0)
    0.5
    """
    return 2 * (e_theta - e_x) * c * s + g * (c**2 - s**2)
