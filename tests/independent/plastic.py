"""Elastic capacities reduced for the metal's curve, every load by a root found numerically. Nothing of the package.

Curve of a metal: strain = s/E + .002 (s/F)^n with modulus and yield in compression; n = 5 where none is given.
The load N that a wall carries solves N = eta(sigma(N)) N_e, N_e its elastic load with the factor already in it. Along
N the wall is in the state (N_x, N_theta) = (m - N, p R); sigma is the largest effective stress there: von Mises in the
skin, compression along the ribs. Each metal gives its own N and the least counts.
sigma(N) is convex, and never taken below sigma(0): it does not fall, eta does not rise, so N has one root in (0, N_e].
"""

from __future__ import annotations

import math

import numpy as np
from scipy.optimize import brentq
from smeared import along, families, plane_stress

OFFSET, ASSUMED = 0.002, 5.0
SHORT = 2.85  # gamma Z of a short wall


# the curve


def shares(metal, stress):
    """(E_s/E, E_t/E): with the plastic strain as a share b of the elastic one, 1/(1 + b) and 1/(1 + n b)."""
    n = ASSUMED if metal.hardening is None else metal.hardening
    F = metal.compression_yield
    b = OFFSET * metal.E_compression / F * min(stress / F, 1e4) ** (n - 1)  # no load is found there: no overflow
    return 1 / (1 + b), 1 / (1 + n * b)


# eta of E_s/E and E_t/E


def sheet(gamma, L, R, t, nu):
    """SP-8007 Eqs 11, 12: sqrt(E_s E_t)/E of a moderately long wall, E_t/E of one without length, linear between."""
    Z = L**2 / (R * t) * math.sqrt(1 - nu**2)
    long = min(gamma * Z / SHORT, 1.0)
    return lambda secant, tangent: tangent + long * (math.sqrt(secant * tangent) - tangent)


def field(secant, tangent):
    """Gerard, long plate held along both edges."""
    return secant * (0.5 + 0.5 * math.sqrt(0.25 + 0.75 * tangent / secant))


def free_edge(secant, tangent):
    """Gerard, long plate with one edge free and the other hinged."""
    return secant


def column(secant, tangent):
    return tangent


# loads


def elements(barrel, stiff, load, thrust=True):
    """[(metal, start, slope, form)] of every element at both pressures: its stresses are start + N slope, and the
    effective stress is that of `form`. `thrust` False leaves the thrust of closed ends out (columns)."""
    inverse, skin = np.linalg.inv(stiff[0]), barrel.metal
    Q = plane_stress(skin.E_compression, skin.nu)
    found = []
    for p in sorted({load.p_min, load.p_max}):
        m = (p - load.p_min) * barrel.R / 2 if thrust and barrel.closed else 0.0
        strain, slope = inverse @ [m, p * barrel.R, 0.0], inverse @ [-1.0, 0.0, 0.0]
        found.append((skin, Q @ strain, Q @ slope, _mises))
        for _, angle, ribs in families(barrel):
            E = -ribs.metal.E_compression * along(angle)  # compression positive
            found.append((ribs.metal, E @ strain, E @ slope, _compression))
    return found


def _mises(s):
    return math.sqrt(s[0] ** 2 - s[0] * s[1] + s[1] ** 2 + 3 * s[2] ** 2)


def _compression(s):
    return max(s, 0.0)


def stress(those, N):
    """Effective stress of the most stressed of those elements under N, not below that under N = 0."""
    return max(form(start + x * slope) for _, start, slope, form in those for x in (0.0, N))


def reduced(all_elements, elastic, eta):
    """The load that an elastic one comes down to."""
    loads = [elastic]
    for metal in {id(each[0]): each[0] for each in all_elements}.values():
        those = [each for each in all_elements if each[0] is metal]
        loads.append(_root(lambda N, x=those, y=metal: N - eta(*shares(y, stress(x, N))) * elastic, elastic))
        if metal.hardening is None:
            loads.append(first_yield(those, metal.compression_yield, elastic))
    return min(loads)


def first_yield(those, strength, most):
    """The load at which the most stressed element reaches its strength; `most` where it is above that."""
    if stress(those, 0.0) >= strength:
        return 0.0
    if stress(those, most) <= strength:
        return most
    return _root(lambda N: stress(those, N) - strength, most)


def _root(f, most):
    """Root in [0, most] of a function that rises through it."""
    if f(most) <= 0:
        return most
    if f(0.0) >= 0:
        return 0.0
    return brentq(f, 0.0, most, xtol=1e-15 * most, rtol=1e-14, maxiter=500)


def crippling(metal, elastic):
    """Stress of a rib that cripples at an elastic stress, cut off at yield."""
    s = _root(lambda s: s - free_edge(*shares(metal, s)) * elastic, elastic)
    return min(s, metal.compression_yield)
