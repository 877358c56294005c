"""Margins of combined loads.

Axial and bending line loads keep their own capacities; the sum of their ratios is 1 at buckling (SP-8007 Rev 2,
Eq 41). Relief by pressure sits inside the capacities and is not scaled.
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


@formula("MS", "", "sp8007", "Eq 41, proportional multiplier over the factor")
def interaction_margin(N_a, N_b, a, b, f_s):
    """Margin of axial compression with bending, pressure relief inside the capacities.

    Parameters
    ----------
    N_a, N_b : float
        Limit line loads of axial compression and bending [N/m].
    a, b : float
        Their capacities [N/m].
    f_s : float
        Factor of safety.

    Examples
    --------
    >>> interaction_margin(1.0, 1.0, 4.0, 4.0, 1.0)
    1.0
    """
    return 1 / (f_s * (N_a / a + N_b / b)) - 1


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


@formula("N_net", "N/m", "sp8007", "Eq 41 solved for the sum at its limit mix")
def pair_capacity(N_a, N_b, a, b):
    """Line load that a mix of axial compression and bending reaches.

    Parameters
    ----------
    N_a, N_b : float
        Limit line loads; only their ratio counts [N/m].
    a, b : float
        Capacities [N/m].

    Examples
    --------
    >>> pair_capacity(1.0, 1.0, 4.0, 4.0)
    4.0
    """
    return (N_a + N_b) / (N_a / a + N_b / b)


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


@formula("MS", "", "practice", "local mode with unfactored relief")
def local_margin(N_local, relief, f_s, N):
    """Margin of a local mode against the peak line load.

    Parameters
    ----------
    N_local : float
        Local buckling load [N/m].
    relief : float
        Unfactored relief, p R/2 for closed ends [N/m].
    f_s : float
        Factor of safety.
    N : float
        Limit line load [N/m].

    Examples
    --------
    >>> local_margin(3.0, 1.0, 2.0, 1.0)
    1.0
    """
    return (N_local + relief) / (f_s * N) - 1


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


@formula("MS", "", "practice", "axial tension held fixed and unfactored, as every stabilising load")
def tension_relieved_margin(b, T, f_s, N_b):
    """Margin of bending when the axial force is a tension.

    Parameters
    ----------
    b : float
        Bending capacity with pressure relief [N/m].
    T : float
        Axial tension line load, positive [N/m].
    f_s : float
        Factor of safety.
    N_b : float
        Limit peak line load of bending [N/m].

    Examples
    --------
    >>> tension_relieved_margin(3.0, 1.0, 2.0, 1.0)
    1.0
    """
    return (b + T) / (f_s * N_b) - 1


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
