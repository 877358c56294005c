"""Line load of one mode of a simply supported barrel.

The field u = U cos(a x) cos(b y), v = V sin(a x) sin(b y), w = W sin(a x) cos(b y), a = m pi/L, b = n/R, satisfies
w = v = M_x = N_x = 0 at the ends exactly, so the energy of (U, V, W) is the whole problem.

U and V are replaced by two of the membrane strains they cause. The strain that w leaves behind, of order
a^2/(b^2 R), then stands in the matrix as itself instead of as a small difference of large terms: the plain
determinant loses five digits at n >> m R pi/L, this one none. Rows below are the strains and curvatures
(e_x, e_y, g, k_x, k_y, k_xy) per unit of the three unknowns; tests derive both forms again with sympy.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ...core.errors import Problem, Refusal
from ...model.walls.doors import check_barrel, check_definite, check_modes, check_theory, refuse
from ...model.walls.stiffness import SmearedWall
from ..problem import Theory


class Kinematics(NamedTuple):
    """Rows over modes, each (..., 3): six strains, rotation about the normal `f`, hoop rotation `r`."""

    strains: np.ndarray  # (..., 6, 3)
    f: np.ndarray
    r: np.ndarray


def kinematics(a: np.ndarray, b: np.ndarray, R: float, theory: Theory) -> Kinematics:
    """Strain rows of modes with axial wave number `a` and hoop wave number `b` [1/m], broadcast together.

    Unknowns are (e_y, g, W) where b >= a and (e_x, g, W) where a > b.
    """
    a, b = np.broadcast_arrays(np.asarray(a, float), np.asarray(b, float))
    curved = 1.0 if theory == "Sanders" else 0.0
    strains = np.zeros((*a.shape, 6, 3))
    f, r = np.zeros((*a.shape, 3)), np.zeros((*a.shape, 3))
    strains[..., 3, 2] = a * a

    many = b >= a  # e_y and g are the unknowns
    p, q = a[many], b[many]
    s = p / q
    rows = np.zeros((p.size, 6, 3))
    rows[:, 0] = np.stack([-s * s, s, s * s / R], -1)
    rows[:, 1, 0] = 1.0
    rows[:, 2, 1] = 1.0
    rows[:, 3, 2] = p * p
    rows[:, 4, 0], rows[:, 4, 2] = curved / R, q * q - curved / R**2
    rows[:, 5] = np.stack(
        [2 * s / R * curved, np.full_like(s, -0.5 / R * curved), 2 * p * q - 2 * s / R**2 * curved], -1
    )
    strains[many] = rows
    f[many] = np.stack([s, np.full_like(s, -0.5), -s / R], -1)
    r[many] = np.stack([1 / (q * R), np.zeros_like(s), q - 1 / (q * R**2)], -1)

    few = ~many  # e_x and g are the unknowns
    p, q = a[few], b[few]
    s = q / p
    rows = np.zeros((p.size, 6, 3))
    rows[:, 0, 0] = 1.0
    rows[:, 1] = np.stack([-s * s, s, np.full_like(s, 1 / R)], -1)
    rows[:, 2, 1] = 1.0
    rows[:, 3, 2] = p * p
    rows[:, 4] = np.stack([-s * s / R * curved, s / R * curved, q * q], -1)
    rows[:, 5] = np.stack([-2 * s / R * curved, np.full_like(s, 1.5 / R * curved), 2 * p * q], -1)
    strains[few] = rows
    f[few] = np.stack([-s, np.full_like(s, 0.5), np.zeros_like(s)], -1)
    r[few] = np.stack([-s / (p * R), 1 / (p * R), q], -1)

    # n = 0: v is a torsion that w does not touch; its rotation must not appear as a buckling mode
    ring = b == 0
    f[ring] = 0.0
    r[ring] = 0.0
    return Kinematics(strains, f, r)


def _condense(K: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Eliminate the two membrane unknowns: inverse of their block (..., 2, 2), coupling, S, and their product."""
    k11, k12, k22 = K[..., 0, 0], K[..., 0, 1], K[..., 1, 1]
    det = k11 * k22 - k12 * k12
    inverse = np.stack([np.stack([k22, -k12], -1), np.stack([-k12, k11], -1)], -2) / det[..., None, None]
    coupling = K[..., :2, 2]
    follow = np.einsum("...ij,...j->...i", inverse, coupling)
    S = K[..., 2, 2] - np.einsum("...i,...i->...", coupling, follow)
    return inverse, coupling, S, follow


def line_loads(
    wall: SmearedWall,
    R: float,
    L: float,
    m: np.ndarray,
    n: np.ndarray,
    *,
    N_theta: float = 0.0,
    theory: Theory = "Donnell",
) -> np.ndarray:
    """Net axial line load of modes (m, n) of a simply supported barrel.

    Parameters
    ----------
    wall : SmearedWall
        Orthotropic about axis and hoop.
    R, L : float
        Middle radius, length [m].
    m, n : array_like of int
        Axial half-waves (1 or more) and full waves around (0 or more), broadcast together.
    N_theta : float
        Fixed hoop tension p R [N/m], dead (it keeps its direction); negative is external pressure, up to what each
        mode carries without axial load.
    theory : {"Donnell", "Sanders"}

    Returns
    -------
    numpy.ndarray
        Lowest positive load of each mode [N/m], compression positive, load at the skin middle, uniform membrane
        prestress. The load of the wall itself: closed ends add p R/2 to what may be applied.

    Raises
    ------
    Refusal
        For walls that couple shear with stretching, modes that are none, and modes that a fixed external pressure makes
        unstable without axial load.

    Examples
    --------
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> float(line_loads(SmearedWall.of(Skin(1e7, 0.3, 0.1)), 100.0, 200.0, 32, 19))
    605.2280...
    """
    check_input(wall, R, L, N_theta, theory)
    check_modes(m, n)
    return mode_loads(wall, R, L, m, n, N_theta=N_theta, theory=theory)


def check_input(wall: SmearedWall, R: float, L: float, N_theta: float, theory: str) -> None:
    """Refuse what no closed form can be given.

    Raises
    ------
    Refusal
    """
    check_theory(theory)
    check_barrel(wall, R, L)
    wall.uncoupled  # noqa: B018  refuses walls that couple shear
    check_definite(wall)
    if not np.isfinite(N_theta):
        refuse(Problem("value-range", "the fixed hoop tension is no number", "N_theta", f"{N_theta!r}", "finite"))


def mode_loads(
    wall: SmearedWall,
    R: float,
    L: float,
    m: np.ndarray,
    n: np.ndarray,
    *,
    N_theta: float = 0.0,
    theory: Theory = "Donnell",
) -> np.ndarray:
    """`line_loads` of checked input."""
    C = wall.uncoupled
    a, b = np.broadcast_arrays(np.asarray(m) * np.pi / L, np.asarray(n) / R)
    kin = kinematics(a, b, R, theory)
    K = np.swapaxes(kin.strains, -1, -2) @ (C @ kin.strains)
    if theory == "Donnell":
        S = _condense(K)[2] + N_theta * b**2
        if N_theta < 0:
            _refuse_unstable(S > 0, N_theta, R, m, n)
        return S / a**2
    if N_theta:
        K = K + N_theta * (_square(kin.r) + _square(kin.f))
    inverse, coupling, S, _ = _condense(K)
    if N_theta < 0:
        k11, k22 = K[..., 0, 0], K[..., 1, 1]
        _refuse_unstable((k11 > 0) & (k11 * k22 > K[..., 0, 1] ** 2) & (S > 0), N_theta, R, m, n)
    # (a^2 W^2 + f^2) is the work of the axial load: a quadratic for 1/N with the roots' larger one wanted
    f12, f3 = kin.f[..., :2], kin.f[..., 2]
    half = np.einsum("...ij,...j->...i", inverse, f12)
    q = np.einsum("...i,...i->...", f12, half)
    rest = f3 - np.einsum("...i,...i->...", coupling, half)
    c1 = a**2 / S + q + rest**2 / S
    c2 = a**2 * q / S
    return 2 / (c1 + np.sqrt(np.maximum(c1 * c1 - 4 * c2, 0.0)))


def _refuse_unstable(stable: np.ndarray, N_theta: float, R: float, m: np.ndarray, n: np.ndarray) -> None:
    """Refuse a fixed external pressure under which a mode is unstable without any axial load: its stiffness is not
    positive definite, and what the quadratic gives then is no first load but a later one, which rises with pressure."""
    if not stable.all():
        at = np.argmin(stable)
        m, n = (np.broadcast_to(v, stable.shape).flat[at] for v in (m, n))
        raise Refusal.of(
            "unstable-under-pressure",
            "unstable under the fixed pressure alone",
            "N_theta",
            f"{N_theta:.6g} N/m, an external pressure of {-N_theta / R:.6g} Pa, under which (m, n) = ({m:g}, "
            f"{n:g}) is lost without any axial load",
            "an external pressure below the one at which the barrel buckles without other loads",
            "give less external pressure, or make it the load: external_pressure",
        )


def _square(v: np.ndarray) -> np.ndarray:
    return v[..., :, None] * v[..., None, :]


def amplitudes(
    wall: SmearedWall, R: float, L: float, m: int, n: int, *, N_theta: float = 0.0, theory: Theory = "Donnell"
) -> tuple[float, float, float]:
    """Amplitudes (U, V, W) of a mode, W = 1: u = U cos(a x) cos(b y), v = V sin(a x) sin(b y), w = W sin(a x) cos(b y).

    Arguments as for `line_loads`. The two membrane unknowns follow W in the first two rows of (K - N G) q = 0.

    Examples
    --------
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> U, V, W = amplitudes(SmearedWall.of(Skin(1e7, 0.3, 0.1)), 100.0, 200.0, 32, 19)
    >>> round(U, 4), round(V, 4), W
    (0.0024, -0.0141, 1.0)
    """
    check_input(wall, R, L, N_theta, theory)
    check_modes(m, n)
    a, b = m * np.pi / L, n / R
    kin = kinematics(np.array(a), np.array(b), R, theory)
    rows = kin.strains
    K = rows.T @ wall.uncoupled @ rows
    if theory == "Sanders":
        N = float(line_loads(wall, R, L, m, n, N_theta=N_theta, theory=theory))
        K = K + N_theta * (np.outer(kin.r, kin.r) + np.outer(kin.f, kin.f)) - N * np.outer(kin.f, kin.f)
    first, second = np.linalg.solve(K[:2, :2], -K[:2, 2])
    if b >= a:  # the unknowns are e_y = b V + 1/R and g = a V - b U
        V = (first - 1 / R) / b
        return float((a * V - second) / b), float(V), 1.0
    U = -first / a  # the unknowns are e_x = -a U and g
    return float(U), float((second + b * U) / a) if n else 0.0, 1.0
