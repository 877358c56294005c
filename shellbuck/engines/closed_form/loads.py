"""Line load of one mode of a simply supported barrel, of one design or many.

The field u = U cos(a x) cos(b y), v = V sin(a x) sin(b y), w = W sin(a x) cos(b y), a = m pi/L, b = n/R, satisfies
w = v = M_x = N_x = 0 at the ends exactly, so the energy of (U, V, W) is the whole problem.

U and V are replaced by two of the membrane strains they cause. The strain that w leaves behind, of order
a^2/(b^2 R), then stands in the matrix as itself instead of as a small difference of large terms: the plain
determinant loses five digits at n >> m R pi/L, this one none. `columns` gives strains, curvatures and rotations per
unit of the three unknowns; tests derive them and the plain form again with sympy.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from ...core.errors import Refusal
from ...model.walls.doors import SYMMETRY, check_barrel, check_definite, check_modes, check_theory
from ...model.walls.stiffness import ORTHOTROPY, SmearedWall
from ..problem import Theory


class Terms(NamedTuple):
    """Stiffness terms about the skin middle, each (N,) [N/m], [N], [N m]: orthotropic about axis and hoop."""

    A11: np.ndarray
    A12: np.ndarray
    A22: np.ndarray
    A66: np.ndarray
    B11: np.ndarray
    B12: np.ndarray
    B22: np.ndarray
    B66: np.ndarray
    D11: np.ndarray
    D12: np.ndarray
    D22: np.ndarray
    D66: np.ndarray

    @classmethod
    def of(cls, A: np.ndarray, B: np.ndarray, D: np.ndarray) -> Terms:
        """Terms of stacks (N, 3, 3).

        Raises
        ------
        Refusal
            When a block is not symmetric, or a wall couples shear with stretching or bending.
        """
        stacks = [np.asarray(M, float).reshape(-1, 3, 3) for M in (A, B, D)]
        A, B, D = np.broadcast_arrays(*stacks)
        for key, M in (("A", A), ("B", B), ("D", D)):
            apart, size = np.abs(M - np.swapaxes(M, 1, 2)).max((1, 2), initial=0.0), np.abs(M).max((1, 2), initial=0.0)
            if (apart > SYMMETRY * size).any():
                raise Refusal.of("stiffness-symmetry", "the block is not symmetric", key)
        scale = np.sqrt(np.concatenate([np.diagonal(M, axis1=1, axis2=2) for M in (A, D)], axis=1))
        for M, rows, columns in ((A, 0, 0), (B, 0, 3), (B, 3, 0), (D, 3, 3)):
            for j in (0, 1):
                coupling = np.abs(M[:, j, 2]) / (scale[:, rows + j] * scale[:, columns + 2])
                if not np.all(coupling <= ORTHOTROPY):
                    raise Refusal.of(
                        "shear-coupling",
                        "a wall couples shear with stretching or bending, or is not positive definite",
                        "wall",
                    )
        at = ((0, 0), (0, 1), (1, 1), (2, 2))
        return cls(*(np.ascontiguousarray(M[:, i, j]) for M in (A, B, D) for i, j in at))

    @classmethod
    def one(cls, wall: SmearedWall) -> Terms:
        """Terms of one wall, as numbers.

        Raises
        ------
        Refusal
            When it couples shear with stretching or bending.
        """
        C = wall.uncoupled
        rows, columns = (0, 0, 1, 2, 0, 0, 1, 2, 3, 3, 4, 5), (0, 1, 1, 2, 3, 4, 4, 5, 3, 4, 4, 5)
        return cls(*(float(v) for v in C[rows, columns]))

    def at(self, i) -> Terms:
        """Terms of designs i."""
        return Terms(*(x[i] for x in self))


class Columns(NamedTuple):
    """What the unknowns 1, 2 and 3 of modes cause: strains `x`, `y`, curvatures `p` (hoop) and `q` (twist), rotation
    about the normal `f`. Unknowns are (e_y, g, W) where b >= a and (e_x, g, W) where a > b, so that g is unknown 2; the
    axial curvature is a^2 W."""

    x: tuple
    y: tuple
    p: tuple
    q: tuple
    f: tuple


def columns(a: Any, b: Any, R: Any, theory: Theory) -> Columns:
    """Columns of modes with axial wave number `a` and hoop wave number `b` [1/m], broadcast together."""
    many = b >= a
    s = np.where(many, a / np.where(many, b, 1.0), b / a)
    o, s2 = 1 / R, s * s
    c = o if theory == "Sanders" else 0.0 * o  # curvatures that Donnell leaves out
    curved = np.where(many, c * o, 0.0)
    around = np.where(b == 0, 0.0, 1.0)  # n = 0: v is a torsion that w does not touch
    return Columns(
        (np.where(many, -s2, 1.0), np.where(many, s, 0.0), np.where(many, s2 * o, 0.0)),
        (np.where(many, 1.0, -s2), np.where(many, 0.0, s), np.where(many, 0.0, o)),
        (np.where(many, c, -s2 * c), np.where(many, 0.0, s * c), b * b - curved),
        (np.where(many, 2 * s * c, -2 * s * c), np.where(many, -0.5 * c, 1.5 * c), 2 * (a * b - s * curved)),
        (np.where(many, s, -s) * around, np.where(many, -0.5, 0.5) * around, np.where(many, -s * o, 0.0) * around),
    )


def hoop_rotation(a: Any, b: Any, R: Any) -> tuple:
    """Rotation on which hoop tension works in Sanders' theory, per unit of the three unknowns."""
    many = b >= a
    inverse = 1 / R / np.where(many, b, a) * np.where(b == 0, 0.0, 1.0)
    return np.where(many, inverse, -b / a * inverse), np.where(many, 0.0, inverse), b - np.where(many, inverse / R, 0.0)


class Condensed(NamedTuple):
    """Energy of modes: block of the two membrane unknowns, their coupling with W, what W leaves once they follow it
    (`S`), and how they follow (`g1`, `g2`, with the sign turned)."""

    k11: Any
    k12: Any
    k22: Any
    k13: Any
    k23: Any
    det: Any
    S: Any
    g1: Any
    g2: Any


def condensed(t: Terms, R: Any, N_theta: Any, a: Any, b: Any, theory: Theory, of: Columns) -> Condensed:
    """The energy of modes, hoop tension in it; everything broadcast together."""
    (x1, x2, x3), (y1, y2, y3), (p1, p2, p3), (q1, q2, q3), (f1, f2, f3) = of
    a2 = a * a
    X1, Y1 = t.A11 * x1 + t.A12 * y1 + t.B12 * p1, t.A12 * x1 + t.A22 * y1 + t.B22 * p1
    H1 = t.B12 * x1 + t.B22 * y1 + t.D22 * p1
    X2, Y2 = t.A11 * x2 + t.A12 * y2 + t.B12 * p2, t.A12 * x2 + t.A22 * y2 + t.B22 * p2
    H2 = t.B12 * x2 + t.B22 * y2 + t.D22 * p2
    X3 = t.A11 * x3 + t.A12 * y3 + t.B11 * a2 + t.B12 * p3
    Y3 = t.A12 * x3 + t.A22 * y3 + t.B12 * a2 + t.B22 * p3
    H3 = t.B12 * x3 + t.B22 * y3 + t.D12 * a2 + t.D22 * p3
    M3 = t.B11 * x3 + t.B12 * y3 + t.D11 * a2 + t.D12 * p3
    S2, T1, T2 = t.A66 + t.B66 * q2, t.D66 * q1, t.B66 + t.D66 * q2
    k11 = x1 * X1 + y1 * Y1 + p1 * H1 + q1 * T1
    k12 = x2 * X1 + y2 * Y1 + p2 * H1 + q1 * T2
    k22 = x2 * X2 + y2 * Y2 + S2 + p2 * H2 + q2 * T2
    k13 = x1 * X3 + y1 * Y3 + p1 * H3 + q3 * T1
    k23 = x2 * X3 + y2 * Y3 + p2 * H3 + q3 * T2
    k33 = x3 * X3 + y3 * Y3 + a2 * M3 + p3 * H3 + t.D66 * q3 * q3
    if np.any(N_theta):
        if theory == "Donnell":
            k33 = k33 + N_theta * b * b
        else:
            r1, r2, r3 = hoop_rotation(a, b, R)
            k11, k12 = k11 + N_theta * (r1 * r1 + f1 * f1), k12 + N_theta * (r1 * r2 + f1 * f2)
            k13, k22 = k13 + N_theta * (r1 * r3 + f1 * f3), k22 + N_theta * (r2 * r2 + f2 * f2)
            k23, k33 = k23 + N_theta * (r2 * r3 + f2 * f3), k33 + N_theta * (r3 * r3 + f3 * f3)
    det = k11 * k22 - k12 * k12
    g1, g2 = (k22 * k13 - k12 * k23) / det, (k11 * k23 - k12 * k13) / det
    return Condensed(k11, k12, k22, k13, k23, det, k33 - (k13 * g1 + k23 * g2), g1, g2)


def mode_loads(t: Terms, R: Any, L: Any, m: Any, n: Any, *, N_theta: Any = 0.0, theory: Theory = "Donnell") -> Any:
    """`line_loads` of checked input, of one design or one each.

    Raises
    ------
    Refusal
        When a fixed external pressure makes a mode of one design unstable without axial load.
    """
    a, b = np.pi * np.asarray(m, float) / L, np.asarray(n, float) / R
    of = columns(a, b, R, theory)
    k = condensed(t, R, N_theta, a, b, theory, of)
    if np.ndim(N_theta) == 0 and N_theta < 0:
        _refuse_unstable((k.k11 > 0) & (k.det > 0) & (k.S > 0), N_theta, R, m, n)
    a2 = a * a
    if theory == "Donnell":
        return k.S / a2
    # (a^2 W^2 + f^2) is the work of the axial load: a quadratic for 1/N with the roots' larger one wanted
    f1, f2, f3 = of.f
    h1, h2 = (k.k22 * f1 - k.k12 * f2) / k.det, (k.k11 * f2 - k.k12 * f1) / k.det
    q = f1 * h1 + f2 * h2
    rest = f3 - (k.k13 * h1 + k.k23 * h2)
    c1 = (a2 + rest * rest) / k.S + q
    return 2 / (c1 + np.sqrt(np.maximum(c1 * c1 - 4 * a2 * q / k.S, 0.0)))


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
    return mode_loads(Terms.one(wall), R, L, m, n, N_theta=N_theta, theory=theory)


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
        raise Refusal.of("value-range", "the fixed hoop tension is no number", "N_theta", f"{N_theta!r}", "finite")


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


def amplitudes(
    wall: SmearedWall,
    R: float,
    L: float,
    m: int,
    n: int,
    *,
    N_theta: float = 0.0,
    theory: Theory = "Donnell",
    line_load: float | None = None,
) -> tuple[float, float, float]:
    """Amplitudes (U, V, W) of a mode, W = 1: u = U cos(a x) cos(b y), v = V sin(a x) sin(b y), w = W sin(a x) cos(b y).

    Arguments as for `line_loads`. The two membrane unknowns follow W in the first two rows of (K - N G) q = 0, N the
    load of the mode unless another `line_load` [N/m] is given.

    Examples
    --------
    >>> from shellbuck.model.walls import Skin, SmearedWall
    >>> U, V, W = amplitudes(SmearedWall.of(Skin(1e7, 0.3, 0.1)), 100.0, 200.0, 32, 19)
    >>> round(U, 4), round(V, 4), W
    (0.0024, -0.0141, 1.0)
    """
    check_input(wall, R, L, N_theta, theory)
    check_modes(m, n)
    t, a, b, f1, f2, f3 = Terms.one(wall), np.pi * m / L, n / R, 0.0, 0.0, 0.0
    of, N = columns(a, b, R, theory), line_load
    if N is None:
        N = float(mode_loads(t, R, L, m, n, N_theta=N_theta, theory=theory))
    if theory == "Sanders":
        f1, f2, f3 = of.f
    k = condensed(t, R, N_theta, a, b, theory, of)
    block = [[k.k11 - N * f1 * f1, k.k12 - N * f1 * f2], [k.k12 - N * f1 * f2, k.k22 - N * f2 * f2]]
    first, second = np.linalg.solve(block, [N * f1 * f3 - k.k13, N * f2 * f3 - k.k23])
    if b >= a:  # the unknowns are e_y = b V + 1/R and g = a V - b U
        V = (first - 1 / R) / b
        return float((a * V - second) / b), float(V), 1.0
    U = -first / a  # the unknowns are e_x = -a U and g
    return float(U), float((second + b * U) / a) if n else 0.0, 1.0
