"""Torque, shear force and external pressure, each alone: what a wall, a bay, a skin field carries of it.

Nothing of the package. A shear flow q [N/m] is |T|/(2 pi R^2) of a torque and |V|/(pi R) of a shear force at its most
sheared fibre; the capacity is one. External pressure p [Pa] is lateral for open ends, hydrostatic for closed ones.
Sources: NASA SP-8007 Rev 2 (2020), Eqs 19-40, 64, 65, 69, 70; the stiffness of an energy with a stress function, the
sine series of the torsion load and the handling of skin fields are derived here.

Choices: Eq 70 takes D_y - C_y^2/E_y as Eq 69 does. Stresses of a bay with plain equations are p R/t and q/t. Without a
given exponent, and in panels and fields always, no load goes beyond that at which the stress that eta is taken at
reaches the compressive yield. A field's stresses are those of its skin and of the compressed ribs around it.
"""

from __future__ import annotations

import math

import numpy as np
import plastic
from scipy.optimize import minimize_scalar
from scipy.sparse.linalg import svds
from smeared import PI, along, families, plane_stress

PRESSURE, TORSION = 0.75, 0.67  # sqrt(gamma) and gamma^.75 of a plain wall; factors of a stiffened one
LONG_PRESSURE, LONG_TORSION = 0.90, 0.80


# moduli beyond the elastic range


def eq_30(s, t):
    return s * (0.5 + 0.5 * math.sqrt(0.25 + 0.75 * t / s))


def eq_31(s, t):
    return s * math.sqrt(math.sqrt(t / s) * (0.25 + 0.75 * t / s))


def eq_32(s, t):
    return s * (0.25 + 0.75 * t / s)


def secant(s, t):
    return s


def reduced(stresses, elastic, eta, cut):
    """Load x = eta(c x) x_e; `stresses` is [(metal, c)] with c the stress of a unit load; the least of all elements."""
    least = elastic
    for metal, c in stresses:
        if c <= 0:
            continue
        root = plastic._root(lambda x, m=metal, c=c: x - eta(*plastic.shares(m, c * x)) * elastic, elastic)
        least = min(least, root)
        if cut or metal.hardening is None:
            least = min(least, metal.compression_yield / c)
    return least


# stresses of a unit load


def skin_and_ribs(barrel, stiff, N):
    """(skin stresses, [(metal, compression) of every rib]) of line loads N (tension positive)."""
    m = barrel.metal
    strain = np.linalg.inv(stiff[0]) @ np.array(N)
    ribs = [(r.metal, -r.metal.E_compression * float(along(angle) @ strain)) for _, angle, r in families(barrel)]
    return plane_stress(m.E_compression, m.nu) @ strain, ribs


def under_pressure(barrel, stiff):
    s, ribs = skin_and_ribs(barrel, stiff, [-barrel.R / 2 if barrel.closed else 0.0, -barrel.R, 0.0])
    return [(barrel.metal, math.sqrt(s[0] ** 2 - s[0] * s[1] + s[1] ** 2)), *ribs]


def under_shear(barrel, stiff):
    """Twice the skin's shear stress; a rib is compressed by the flow one way or the other."""
    s, ribs = skin_and_ribs(barrel, stiff, [0.0, 0.0, 1.0])
    return [(barrel.metal, 2 * abs(s[2])), *((m, abs(c)) for m, c in ribs)]


# plain walls and bare bays


def curvature(barrel, L):
    return L**2 / (barrel.R * barrel.t) * math.sqrt(1 - barrel.metal.nu**2)


def pressure_coefficient(gamma_Z, closed):
    """Least k of Eq 19 (lateral) or 20 (hydrostatic) over real aspects."""

    def k(log_b):
        b = math.exp(2 * log_b)
        return ((1 + b) ** 2 + 12 * gamma_Z**2 / (PI**4 * (1 + b) ** 2)) / (b + (0.5 if closed else 0.0))

    if gamma_Z > 100:
        return 1.04 * math.sqrt(gamma_Z)
    grid = np.linspace(-4, 4, 400)
    i = int(np.argmin([k(x) for x in grid]))
    found = minimize_scalar(
        k, bounds=(grid[max(i - 1, 0)], grid[min(i + 1, 399)]), method="bounded", options={"xatol": 1e-12}
    )
    return float(min(found.fun, k(grid[i])))


def plain_pressure(barrel, L, cut=False):
    E, nu, R, t = barrel.metal.E_compression, barrel.metal.nu, barrel.R, barrel.t
    gamma = PRESSURE**2
    gamma_Z = gamma * curvature(barrel, L)
    if gamma_Z > 11.8 * (R / t) ** 2 * (1 - nu**2):
        elastic, eta = LONG_PRESSURE * E * (t / R) ** 3 / (4 * (1 - nu**2)), eq_32
    else:
        elastic = pressure_coefficient(gamma_Z, barrel.closed) * PI**2 * E * t**3 / (12 * (1 - nu**2) * R * L**2)
        far = min(max((gamma_Z - 5) / 95, 0.0), 1.0)
        eta = lambda s, t: eq_30(s, t) + far * (eq_31(s, t) - eq_30(s, t))  # noqa: E731
    return reduced([(barrel.metal, R / t)], elastic, eta, cut)


def plain_shear(barrel, L, cut=False):
    E, nu, R, t = barrel.metal.E_compression, barrel.metal.nu, barrel.R, barrel.t
    gamma_Z = TORSION ** (4 / 3) * curvature(barrel, L)
    if gamma_Z > 78 * (R / t) ** 2 * (1 - nu**2):
        tau = LONG_TORSION * E * (t / R) ** 1.5 / (3 * math.sqrt(2) * (1 - nu**2) ** 0.75)
    else:
        k = 0.85 * gamma_Z**0.75
        k = k if gamma_Z >= 50 else max(5.34, k)
        tau = k * PI**2 * E * t**2 / (12 * (1 - nu**2) * L**2)
    return reduced([(barrel.metal, 2 / t)], tau * t, secant, cut)


# stiffened walls


def energy(stiff, R, a, b):
    """S(a, b) of w = sin(a x) cos(b y) by a stress function F of the same shape: no large terms are subtracted.

    N = -F (b^2, a^2, -a b) fulfils equilibrium, k = (a^2, b^2, 2 a b); from e = A^-1 (N - B k) the compatibility of
    e_x,yy + e_y,xx - g,xy = w,xx/R asks (b^2, a^2, -a b) . e = a^2/R. The energy is N A^-1 N + k (D - B A^-1 B) k.
    """
    A, B, D = stiff
    inverse = np.linalg.inv(A)
    a, b = np.broadcast_arrays(a, b)
    k = np.stack([a * a, b * b, 2 * a * b], axis=-1)
    n = np.stack([b * b, a * a, -a * b], axis=-1)
    bend = np.einsum("...i,ij,...j->...", k, D - B @ inverse @ B, k)
    couple = a * a / R + np.einsum("...i,ij,...j->...", n, inverse @ B, k)
    return bend + couple**2 / np.einsum("...i,ij,...j->...", n, inverse, n)


def few_waves(n):
    """Donnell's theory is up to 1/n^2 high where there are few waves."""
    return np.where(n <= 4, 1 - 1 / np.asarray(n, float) ** 2, 1.0)


def _bending(stiff):
    """(slack, D_1, D_2) with k D* k >= slack (D_1 a^4 + D_2 b^4)."""
    A, B, D = stiff
    free = D - B @ np.linalg.solve(A, B)
    H = free[0, 1] + 2 * free[2, 2]
    return (1.0 if H >= 0 else max(1e-3, 1 - abs(H) / math.sqrt(free[0, 0] * free[1, 1]))), free[0, 0], free[1, 1]


def pressure_of_mode(stiff, R, L, m, n, closed):
    """Eq 64 (n^2) or 65 (n^2 + (m pi R/L)^2/2), few waves reduced."""
    m, n = np.asarray(m, float), np.asarray(n, float)
    a = PI * m / L
    return R * energy(stiff, R, a, n / R) / (n**2 + (0.5 * (a * R) ** 2 if closed else 0.0)) * few_waves(n)


def critical_pressure(stiff, R, L, closed):
    """The least over all modes: (p, m, n)."""

    def p(m, n):
        return pressure_of_mode(stiff, R, L, m, n, closed)

    m, n = np.meshgrid(np.arange(1.0, 30), np.unique(np.geomspace(2, 900, 90).astype(int)).astype(float), indexing="ij")
    slack, first, second = _bending(stiff)
    # with x = a^2, y = b^2: (D_1 x^2 + D_2 y^2)/(y + x/2) >= min(D_1, D_2) max(x, y)/1.5
    most = 1.5 / 0.75 * np.min(p(m, n)) * R / (slack * min(first, second))
    best, high_m, high_n = (math.inf, 0, 0), math.ceil(L * math.sqrt(most) / PI) + 1, math.ceil(R * math.sqrt(most)) + 2
    n = np.arange(2.0, high_n + 1)[None, :]
    for start in range(1, high_m + 1, 200):
        m = np.arange(start, min(start + 200, high_m + 1), dtype=float)[:, None]
        found = p(m, n)
        i, j = np.unravel_index(np.argmin(found), found.shape)
        best = min(best, (float(found[i, j]), int(m[i, 0]), int(n[0, j])))
    return best


def flow_of_waves(stiff, R, L, n, terms):
    """Least shear flow with n waves around, w = sum of sin(m pi x/L) (A_m cos(n y/R), odd m; B_m sin(n y/R), even m).

    The flow's work q w,x w,y joins odd m with even p only: pi n q 4 m p/(p^2 - m^2) A_m B_p beside the energies
    pi R L/4 S_m A_m^2. So 1/q is the largest singular value of 8 n/(R L) m p/(p^2 - m^2)/sqrt(S_m S_p).
    """
    m = np.arange(1.0, 2 * terms + 1)
    root = np.sqrt(energy(stiff, R, PI * m / L, n / R + 0 * m))
    odd, even, r, s = m[::2, None], m[None, 1::2], root[::2, None], root[None, 1::2]
    work = 8 * n / (R * L) * odd * even / (even**2 - odd**2) / (r * s)
    if terms < 40:
        return 1 / float(np.linalg.norm(work, 2))
    return 1 / float(svds(work, k=1, return_singular_vectors=False, tol=0, v0=np.ones(terms))[0])


def _settled(stiff, R, L, n, near):
    """Terms doubled until the load stands still: it comes down as terms^-5 or so."""
    terms, last = 8, math.inf
    while True:
        found = flow_of_waves(stiff, R, L, n, terms)
        if abs(found - last) < near * found or terms > 1000:
            return found * float(few_waves(n))
        terms, last = 2 * terms, found


def critical_flow(stiff, R, L):
    """Least shear flow over n >= 2, few waves reduced: (q, n). Roughly over all n, then down from the lowest ones."""
    seen: dict[int, float] = {}

    def q(n):
        if n not in seen:
            seen[n] = _settled(stiff, R, L, n, 1e-4)
        return seen[n]

    slack, first, second = _bending(stiff)
    start = min(q(int(n)) for n in np.unique(np.geomspace(2, 300, 10).astype(int)))
    # a plate without end: (D_1 a^4 + D_2 b^4)/(2 a b) >= .877 (D_1 D_2^3)^(1/4) b^2
    most = math.ceil(R * math.sqrt(1.3 * start / (0.877 * slack * (first * second**3) ** 0.25))) + 4
    for n in np.unique(np.geomspace(2, most, 24).astype(int)):
        q(int(n))
    tried = sorted(seen)
    lows = [n for i, n in enumerate(tried) if seen[n] <= min(seen[x] for x in tried[max(i - 1, 0) : i + 2])]
    for n in sorted(lows, key=seen.get)[:3]:
        i = tried.index(n)
        low, high = tried[max(i - 1, 0)], tried[min(i + 1, len(tried) - 1)]
        while high - low > 5:
            a, b = low + (high - low) // 3, high - (high - low) // 3
            low, high = (low, b) if q(a) <= q(b) else (a, high)
        for k in range(low, high + 1):
            q(k)
    least = min(seen.values())
    return min((_settled(stiff, R, L, n, 1e-11), n) for n, x in seen.items() if x <= least * (1 + 1e-3))


def simple_torsion(stiff, R, L):
    """Shear flow of Eq 69, none where Eq 70 is not met; stiffnesses about the neutral lines."""
    A, B, D = stiff
    D_x, D_y = D[0, 0] - B[0, 0] ** 2 / A[0, 0], D[1, 1] - B[1, 1] ** 2 / A[1, 1]
    hoop = (A[0, 0] * A[1, 1] - A[0, 1] ** 2) / A[1, 1]
    if (D_y / D_x) ** (5 / 6) * math.sqrt(hoop / (12 * D_x)) * L**2 / R <= 500:
        return math.inf
    return 21.75 * D_y ** (5 / 8) * hoop ** (3 / 8) * R**1.25 / L**0.5 / (2 * PI * R**2)


def stiffened_pressure(barrel, stiff, L, cut=False):
    elastic = PRESSURE * critical_pressure(stiff, barrel.R, L, barrel.closed)[0]
    return reduced(under_pressure(barrel, stiff), elastic, eq_31, cut)


def stiffened_shear(barrel, stiff, L, cut=False):
    elastic = TORSION * min(simple_torsion(stiff, barrel.R, L), critical_flow(stiff, barrel.R, L)[0])
    return reduced(under_shear(barrel, stiff), elastic, secant, cut)


# skin fields


def _plate(barrel, width):
    m = barrel.metal
    return PI**2 * m.E_compression / (12 * (1 - m.nu**2)) * (barrel.t / width) ** 2


def across(width, length):
    """k of a plate loaded along its width (held all around), with the stress of its length: (m a/b + b/(m a))^2."""
    return min((m * length / width + width / (m * length)) ** 2 for m in range(1, 2 + 2 * math.ceil(width / length)))


def field_stresses(barrel):
    """Elastic (axial, hoop, shear) buckling stresses of the skin between ribs."""
    if barrel.grid:
        unit = barrel.metal.E_compression / (1 - barrel.metal.nu**2) * (barrel.t / barrel.grid.spacing) ** 2
        axial, hoop = (6.0136, 6.0974) if barrel.hoop_family else (6.0974, 6.0136)
        return axial * unit, hoop * unit, 6.0136 * unit
    b, a = barrel.stringers.spacing, barrel.rings.spacing if barrel.rings else barrel.L
    short, long = min(a, b), max(a, b)
    return (
        4 * _plate(barrel, b),
        across(b, a) * _plate(barrel, a),
        (5.34 + 4 * (short / long) ** 2) * _plate(barrel, short),
    )


def field_pressure(barrel, stiff):
    axial, hoop, _ = field_stresses(barrel)
    s, _ = skin_and_ribs(barrel, stiff, [-barrel.R / 2 if barrel.closed else 0.0, -barrel.R, 0.0])
    ratios = max(-s[0], 0.0) / axial + max(-s[1], 0.0) / hoop
    return reduced(under_pressure(barrel, stiff), 1 / ratios, plastic.field, True)


def field_shear(barrel, stiff):
    tau = field_stresses(barrel)[2]
    (_, twice), *_ = stresses = under_shear(barrel, stiff)
    return reduced(stresses, tau / (twice / 2), secant, True)
