"""A barrel as plain numbers, its smeared stiffness, and its classical load by the energy of the simply supported field,
minimised over (m, n) by brute force and polished at 40 digits. Nothing of the package."""

from __future__ import annotations

import math
from dataclasses import dataclass

import mpmath
import numpy as np

PI = math.pi


# what a barrel is


@dataclass
class Metal:
    """Moduli, yields, ultimate [Pa], Poisson's ratio, density [kg/m^3] at the load case's temperature."""

    E: float
    nu: float
    tension_yield: float
    ultimate: float
    density: float
    E_compression: float | None = None
    compression_yield: float | None = None
    hardening: float | None = None  # n of the metal's curve

    def __post_init__(self):
        self.E_compression = self.E_compression or self.E
        self.compression_yield = self.compression_yield or self.tension_yield


@dataclass
class Ribs:
    """One family. A blade has depth and thickness, a given section area, inertia, eccentricity and torsion, another
    drawn one its `shape` (sections.Shape)."""

    outside: bool
    spacing: float
    metal: Metal
    depth: float | None = None
    thickness: float | None = None
    area: float | None = None
    inertia: float | None = None
    eccentricity: float | None = None
    torsion: float | None = None
    count: float | None = None  # rings between the ends, stringers around; for the mass
    shape: object = None

    @property
    def blade(self):
        return self.depth is not None

    def section(self, t):
        """(area, own inertia, torsion constant, signed height of the centroid over the skin middle)."""
        sign = 1.0 if self.outside else -1.0
        if self.shape is not None:
            return self.shape.area, self.shape.inertia, self.shape.twist, sign * (t / 2 + self.shape.up)
        if not self.blade:
            return self.area, self.inertia, self.torsion or 0.0, sign * self.eccentricity
        d, b = self.depth, self.thickness
        J = self.torsion
        if J is None:
            hi, lo = max(b, d), min(b, d)
            J = hi * lo**3 * (1 / 3 - 0.21 * lo / hi * (1 - lo**4 / (12 * hi**4)))
        return b * d, b * d**3 / 12, J, sign * (t + d) / 2


@dataclass
class Barrel:
    """Middle radius, length, skin; `kind` is plain, grid, stiffened or orthogrid."""

    R: float
    L: float
    closed: bool
    t: float  # decides stability
    t_nominal: float
    t_strength: float
    metal: Metal
    kind: str = "plain"
    stringers: Ribs | None = None
    rings: Ribs | None = None
    grid: Ribs | None = None  # spacing is the triangle's height
    hoop_family: bool = True
    corner_radius: float = 0.0  # fillets of the pockets of a grid or orthogrid


@dataclass
class Load:
    """Limit loads, compression positive; `thrust_pressure` is that whose thrust `axial` contains (0: none)."""

    axial: float
    moment: float
    p_min: float
    p_max: float
    ultimate_factor: float
    yield_factor: float
    thrust_pressure: float = 0.0
    external: float = 0.0  # external pressure; p_min is 0 then
    torque: float = 0.0
    shear: float = 0.0


# stiffness


def families(barrel):
    """(name, angle from the axis in degrees, ribs) of every family."""
    found = []
    if barrel.stringers:
        found.append(("stringers", 0.0, barrel.stringers))
    if barrel.rings:
        found.append(("rings", 90.0, barrel.rings))
    if barrel.grid:
        first, second = (90.0, 30.0) if barrel.hoop_family else (0.0, 60.0)
        found.append((f"ribs at {first:g} deg", first, barrel.grid))
        found += [(f"ribs at +-{second:g} deg", angle, barrel.grid) for angle in (second, -second)]
    return found


def along(angle):
    """Strain along a rib is along(angle) . (e_x, e_theta, g)."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    c, s = (0.0, 1.0) if angle == 90 else (c, s)
    return np.array([c * c, s * s, c * s])


def twist(angle):
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    c, s = (0.0, 1.0) if angle == 90 else (c, s)
    return np.array([-c * s, c * s, (c * c - s * s) / 2])


def plane_stress(E, nu):
    return E / (1 - nu**2) * np.array([[1, nu, 0], [nu, 1, 0], [0, 0, (1 - nu) / 2]])


def stiffness(barrel, t, modulus="E_compression", leave_out=()):
    """A, B, D about the skin middle."""
    E, nu = getattr(barrel.metal, modulus), barrel.metal.nu
    Q = plane_stress(E, nu)
    A, B, D = Q * t, np.zeros((3, 3)), Q * t**3 / 12
    for name, angle, ribs in families(barrel):
        if name in leave_out:
            continue
        area, inertia, J, z = ribs.section(t)
        Er = getattr(ribs.metal, modulus)
        G = Er / (2 * (1 + ribs.metal.nu))
        ee, tt = np.outer(along(angle), along(angle)), np.outer(twist(angle), twist(angle))
        A = A + Er * area / ribs.spacing * ee
        B = B + z * Er * area / ribs.spacing * ee
        D = D + Er * (inertia + area * z**2) / ribs.spacing * ee + G * J / ribs.spacing * tt
    return A, B, D


# classical loads: energy of the simply supported field


def _strain_rows(a, b, R, sanders):
    """Rows e_x, e_theta, g, k_x, k_theta, 2k_xt against (U, V, W) for u = U cos ax cos bt, v = V sin sin, w = W sin cos
    (b = n/R): direct strains go with sin ax cos nt, shear and twist with cos ax sin nt."""
    zero, one = 0 * a, 1 + 0 * a
    rows = [
        [-a, zero, zero],
        [zero, b, one / R],
        [-b, a, zero],
        [zero, zero, a * a],
        [zero, b / R if sanders else zero, b * b],
        [b / (2 * R) if sanders else zero, 3 * a / (2 * R) if sanders else zero, 2 * a * b],
    ]
    rotation = [b / 2, a / 2, zero]  # f = (v,x - u,t/R)/2 about the normal
    tilt = [zero, one / R, b]  # B = (v - w,t)/R
    return rows, rotation, tilt


def _many(stiff, R, L, m, n, N_theta, sanders):
    """Lowest load of each mode (arrays m, n >= 2)."""
    A, B, D = stiff
    C = np.block([[A, B], [B, D]])
    a, b = PI * m / L, n / R
    rows, rotation, tilt = _strain_rows(a, b, R, sanders)
    S = np.moveaxis(np.array(rows), 2, 0)  # modes x 6 x 3
    K = np.swapaxes(S, 1, 2) @ C @ S
    f = np.moveaxis(np.array(rotation), 1, 0) * (1.0 if sanders else 0.0)
    h = np.moveaxis(np.array(tilt), 1, 0) if sanders else np.stack([0 * a, 0 * a, b], axis=-1)
    K = K + N_theta * (h[:, :, None] * h[:, None, :] + f[:, :, None] * f[:, None, :])
    slope = np.stack([0 * a, 0 * a, a], axis=-1)
    g = np.stack([slope, f], axis=-1)  # work of a unit load: |slope|^2 + f^2
    small = np.swapaxes(g, 1, 2) @ np.linalg.solve(K, g)
    if not sanders:
        return 1 / small[:, 0, 0]
    mean, half = (small[:, 0, 0] + small[:, 1, 1]) / 2, (small[:, 0, 0] - small[:, 1, 1]) / 2
    return 1 / (mean + np.sqrt(half**2 + small[:, 0, 1] ** 2))


def one_mode(stiff, R, L, m, n, N_theta=0.0, sanders=False):
    """Load of one mode at 40 digits."""
    with mpmath.workdps(40):
        A, B, D = stiff
        C = mpmath.matrix(np.block([[A, B], [B, D]]).tolist())
        R_, a = mpmath.mpf(R), mpmath.pi * m / mpmath.mpf(L)
        b = n / R_
        if n == 0:  # V is a torsion that w does not touch
            S = mpmath.matrix([[-a, 0], [0, 1 / R_], [0, 0], [0, a * a], [0, 0], [0, 0]])
            K = S.T * C * S
            return float((K[1, 1] - K[0, 1] ** 2 / K[0, 0]) / a**2)
        rows, rotation, tilt = _strain_rows(a, b, R_, sanders)
        S = mpmath.matrix(rows)
        K = S.T * C * S
        f = mpmath.matrix(rotation) * (1 if sanders else 0)
        h = mpmath.matrix(tilt) if sanders else mpmath.matrix([0, 0, b])
        K = K + mpmath.mpf(N_theta) * (h * h.T + f * f.T)
        slope = mpmath.matrix([0, 0, a])
        x, y = mpmath.lu_solve(K, slope), mpmath.lu_solve(K, f)
        p, q, r = (slope.T * x)[0], (slope.T * y)[0], (f.T * y)[0]
        return float(1 / ((p + r) / 2 + mpmath.sqrt(((p - r) / 2) ** 2 + q**2)))


def classical(stiff, R, L, N_theta=0.0, sanders=False):
    """Lowest load over every (m, n) but n = 1: (load, m, n)."""
    A, B, D = stiff
    free = D - B @ np.linalg.solve(A, B)  # bending with free membrane: a lower bound of the energy
    wide = _mesh(np.unique(np.geomspace(1, 400, 40).astype(int)), np.unique(np.geomspace(2, 600, 60).astype(int)))
    coarse = min(
        np.min(_many(stiff, R, L, *wide, N_theta, False)), np.min(_axisymmetric(stiff, R, L, np.arange(1, 400)))
    )
    # D_x a^2 + 2 H b^2 + D_y b^4/a^2 <= N: H below 0 is allowed for by the weaker form with half of each
    H = free[0, 1] + 2 * free[2, 2]
    slack = 1.0 if H >= 0 else max(1e-3, 1 - abs(H) / math.sqrt(free[0, 0] * free[1, 1]))
    a_most = math.sqrt(1.3 * coarse / (slack * free[0, 0]))
    b_most = (1.3 * coarse * a_most**2 / (slack * free[1, 1])) ** 0.25
    m_most, n_most = math.ceil(a_most * L / PI) + 2, math.ceil(b_most * R) + 2
    best = (math.inf, 0, 0)
    m0 = np.arange(1, m_most + 1)
    found = [(_axisymmetric(stiff, R, L, m0), m0, 0 * m0)]
    for first in range(1, m_most + 1, 400):
        m, n = _mesh(np.arange(first, min(first + 400, m_most + 1)), np.arange(2, n_most + 1))
        found.append((_many(stiff, R, L, m, n, N_theta, sanders), m, n))
    lowest = min(np.min(x) for x, _, _ in found)
    for x, m, n in found:
        for i in np.flatnonzero(x <= lowest * (1 + 1e-7))[:20]:
            load = one_mode(stiff, R, L, int(m[i]), int(n[i]), N_theta, sanders)
            best = min(best, (load, int(m[i]), int(n[i])))
    return best


def _axisymmetric(stiff, R, L, m):
    """n = 0: V is a torsion that w does not touch, U is condensed."""
    A, B, D = stiff
    a = PI * m / L
    axial = A[0, 1] / R * a + B[0, 0] * a**3
    return (D[0, 0] * a**4 + A[1, 1] / R**2 + 2 * B[0, 1] / R * a**2 - axial**2 / (A[0, 0] * a**2)) / a**2


def _mesh(m, n):
    m, n = np.meshgrid(m, n, indexing="ij")
    return m.ravel().astype(float), n.ravel().astype(float)
