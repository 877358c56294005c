"""Margins of combined loads.

Every load component keeps its own capacity; the sum of their ratios is 1 at buckling (SP-8007 Rev 2, Eqs 41-47). Relief
by pressure sits inside the capacities and is not scaled.
"""

from __future__ import annotations

from numpy import cos, pi, sqrt

from .formula import formula


@formula("N_a", "N/m", "practice", "thin ring")
def axial_line_load(P, R):
    """Line load of an axial force.

    Parameters
    ----------
    P : float
        Axial force without pressure thrust, compression positive [N].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> axial_line_load(2.0, 1 / 3.141592653589793)
    1.0
    """
    return P / (2 * pi * R)


@formula("N_b", "N/m", "practice", "thin ring, peak fibre")
def bending_line_load(M, R):
    """Peak line load of a bending moment.

    Parameters
    ----------
    M : float
        Bending moment [N m].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> bending_line_load(3.141592653589793, 1.0)
    1.0
    """
    return M / (pi * R**2)


@formula("r", "", "sp8007", "ratio of Eqs 41-47")
def load_ratio(N, c):
    """Share of its capacity that a load component takes alone.

    Parameters
    ----------
    N : float
        Limit line load or shear flow [N/m].
    c : float
        Capacity, pressure relief and axial tension inside it [N/m].

    Examples
    --------
    >>> load_ratio(1.0, 4.0)
    0.25
    """
    return N / c


@formula("r", "", "sp8007", "ratio of Eqs 42-44")
def pressure_ratio(p, c):
    """Share of its capacity that an external pressure takes alone.

    Parameters
    ----------
    p : float
        Limit external pressure [Pa].
    c : float
        Capacity [Pa].

    Examples
    --------
    >>> pressure_ratio(1.0, 4.0)
    0.25
    """
    return p / c


@formula("MS", "", "sp8007", "Eqs 41-47: the ratios add up to 1; multiplier over the factor")
def interaction_margin(r, f_s):
    """Margin of load components together, pressure relief inside their capacities.

    Parameters
    ----------
    r : float
        Sum of the ratios of the limit loads.
    f_s : float
        Factor of safety.

    Examples
    --------
    >>> interaction_margin(0.25, 2.0)
    1.0
    """
    return 1 / (f_s * r) - 1


@formula("N", "N/m", "sp8007", "Eqs 41-47 solved for the sum at its limit mix")
def mixed_capacity(N_L, r):
    """Line load or shear flow that a mix of components reaches.

    Parameters
    ----------
    N_L : float
        Limit value of it [N/m].
    r : float
        Sum of the ratios of the limit loads.

    Examples
    --------
    >>> mixed_capacity(1.0, 0.25)
    4.0
    """
    return N_L / r


@formula("p", "Pa", "sp8007", "Eqs 41-47 solved for the pressure at its limit mix")
def mixed_pressure(p_L, r):
    """External pressure that a mix of components reaches.

    Parameters
    ----------
    p_L : float
        Limit value of it [Pa].
    r : float
        Sum of the ratios of the limit loads.

    Examples
    --------
    >>> mixed_pressure(1.0, 0.25)
    4.0
    """
    return p_L / r


@formula("b", "N/m", "practice", "axial tension held fixed and unfactored, as every stabilising load")
def tension_relieved_capacity(b, T):
    """Bending capacity of a wall under an axial tension.

    Parameters
    ----------
    b : float
        Bending capacity with pressure relief [N/m].
    T : float
        Axial tension line load, positive [N/m].

    Examples
    --------
    >>> tension_relieved_capacity(3.0, 1.0)
    4.0
    """
    return b + T


@formula("f_M", "", "practice", "secant form of the pinned column, factored axial force", "P below P_E")
def moment_amplification(P, P_E):
    """Growth of the bending moment of a long barrel by its own axial force.

    Parameters
    ----------
    P : float
        Factored axial force without pressure thrust, compression positive [N].
    P_E : float
        Column load of the pinned barrel [N].

    Examples
    --------
    >>> round(moment_amplification(1.0, 4.0), 12)
    1.414213562373
    """
    return 1 / cos(pi / 2 * sqrt(P / P_E))


@formula("N", "N/m", "practice", "statics of closed ends")
def relieved_line_load(N_net, p, R):
    """Line load that a wall carries beside the thrust of closed ends.

    Parameters
    ----------
    N_net : float
        Net line load of the wall, compression positive [N/m].
    p : float
        Pressure whose thrust relieves the wall [Pa].
    R : float
        Middle radius [m].

    Examples
    --------
    >>> relieved_line_load(1.0, 2.0, 3.0)
    4.0
    """
    return N_net + p * R / 2


@formula("MS", "", "practice", "net form: the wall's own capacity over its net load")
def net_margin(N_net, f_s, N, relief):
    """Margin of the net capacity over the net factored load.

    Parameters
    ----------
    N_net : float
        Capacity without any pressure relief [N/m].
    f_s : float
        Factor of safety.
    N : float
        Limit line load [N/m].
    relief : float
        Unfactored relief, p R/2 for closed ends [N/m].

    Examples
    --------
    >>> net_margin(2.0, 1.0, 3.0, 2.0)
    1.0
    """
    return N_net / (f_s * N - relief) - 1


@formula("MS", "", "practice", "net form beside other components, whose ratios pressure does not relieve")
def net_mixed_margin(N_net, f_s, N, relief, r):
    """Margin of the net capacity over the net factored load, other load components acting too.

    Parameters
    ----------
    N_net : float
        Capacity without any pressure relief [N/m].
    f_s : float
        Factor of safety.
    N : float
        Limit line load [N/m].
    relief : float
        Unfactored relief, p R/2 for closed ends [N/m].
    r : float
        Sum of the ratios of the other limit loads.

    Examples
    --------
    >>> net_mixed_margin(4.0, 1.0, 3.0, 2.0, 0.25)
    1.0
    """
    return 1 / ((f_s * N - relief) / N_net + f_s * r) - 1


@formula("MS", "", "practice", "crippling stress over the rib's own stress; pressure fixed and unfactored")
def rib_margin(s_c, s_p, f_s, s_L):
    """Margin of a rib's crippling stress, stresses compression positive.

    Parameters
    ----------
    s_c : float
        Crippling stress of the rib [Pa].
    s_p : float
        Rib stress of what is held fixed: pressure, and an axial tension that relieves the rib [Pa].
    f_s : float
        Factor of safety.
    s_L : float
        Rib stress of the limit loads that scale [Pa].

    Examples
    --------
    >>> rib_margin(5.0, 1.0, 2.0, 1.0)
    1.0
    """
    return (s_c - s_p) / (f_s * s_L) - 1


@formula("MS", "", "practice", "force over force")
def force_margin(P_cr, f_s, P):
    """Margin of a critical force.

    Parameters
    ----------
    P_cr : float
        Critical force [N].
    f_s : float
        Factor of safety.
    P : float
        Limit force [N].

    Examples
    --------
    >>> force_margin(4.0, 2.0, 1.0)
    1.0
    """
    return P_cr / (f_s * P) - 1
