"""Smeared stiffness about the skin middle.

``N = A e + B k`` and ``M = B e + D k``, order x, theta, x-theta, engineering shear and twist, tension and outward
positive, ``k = (-w,xx, -w,yy, -2 w,xy)``. Ribs are smeared by one routine for every direction (the smeared-stiffener
method, Baruch & Singer 1963; own energy check in tests/derivations).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from ...core.errors import Refusal
from ..material import Material
from ..sections import Element
from .doors import ABOVE_0, FINITE, NOT_BELOW_0, POISSON, check_numbers, check_stiffness

ORTHOTROPY = 1e-9
"""Relative 16/26 coupling up to which a wall counts as orthotropic about axis and hoop."""


@dataclass(frozen=True)
class Skin:
    """An isotropic sheet: modulus [Pa], Poisson's ratio, thickness [m]."""

    E: float
    nu: float
    t: float

    def __post_init__(self) -> None:
        check_numbers(self, {"E": ABOVE_0, "nu": POISSON, "t": ABOVE_0}, "skin")


@dataclass(frozen=True)
class RibFamily:
    """Parallel ribs smeared over the wall.

    Parameters
    ----------
    name : str
        As it is printed, e.g. "stringers".
    angle : float
        Direction from the axis [degrees].
    spacing : float
        Perpendicular distance between ribs [m].
    E, G : float
        Moduli [Pa].
    area, inertia, torsion : float
        Area [m^2], second moment about the own centroid [m^4], torsion constant [m^4].
    z : float
        Centroid above the skin middle, outward positive [m].
    depth, thickness : float or None
        Of a blade [m]; None for a given section.
    nu : float
        Poisson's ratio of the rib's metal.
    elements : tuple of Element
        Flat elements of the section; empty where they are not known.
    material : Material or None
        The rib's own metal; None where it is the skin's.
    """

    name: str
    angle: float
    spacing: float
    E: float
    G: float
    area: float
    inertia: float
    torsion: float
    z: float
    nu: float
    depth: float | None = None
    thickness: float | None = None
    elements: tuple[Element, ...] = ()
    material: Material | None = None

    def __post_init__(self) -> None:
        check_numbers(
            self,
            {
                "angle": FINITE,
                "spacing": ABOVE_0,
                "E": ABOVE_0,
                "G": NOT_BELOW_0,
                "area": ABOVE_0,
                "inertia": NOT_BELOW_0,
                "torsion": NOT_BELOW_0,
                "z": FINITE,
                "nu": POISSON,
                "depth": ABOVE_0,
                "thickness": ABOVE_0,
            },
            self.name,
        )

    @property
    def cos_sin(self) -> tuple[float, float]:
        """Cosine and sine of the angle, exact along axis and hoop."""
        return _cos_sin(self.angle)

    @property
    def direction(self) -> np.ndarray:
        """(3,): membrane strain along the rib per (e_x, e_theta, g)."""
        c, q = _cos_sin(self.angle)
        return np.array([c * c, q * q, c * q])


def _cos_sin(angle: float) -> tuple[float, float]:
    # exact zeros at 0 and 90 degrees keep stringers and rings free of rounding shear terms
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0)}
    return exact.get(angle, (math.cos(math.radians(angle)), math.sin(math.radians(angle))))


def sheet_stiffness(skin: Skin) -> tuple[np.ndarray, np.ndarray]:
    """Membrane and bending stiffness of a sheet about its middle: A [N/m] and D [N m], each (..., 3, 3)."""
    plane, t = plane_stress_stiffness(skin.E, skin.nu), _wide(skin.t)
    return plane * t, plane * t**3 / 12


def plane_stress_stiffness(E: float | np.ndarray, nu: float | np.ndarray) -> np.ndarray:
    """Stresses (x, theta, x-theta) per strain (e_x, e_theta, g) in plane stress (..., 3, 3) [Pa]."""
    E, nu = _wide(E), _wide(nu)
    return E / (1 - nu**2) * (_DIRECT + nu * _CROSS + (1 - nu) / 2 * _SHEAR)


_DIRECT, _CROSS, _SHEAR = np.diag([1.0, 1.0, 0.0]), np.zeros((3, 3)), np.diag([0.0, 0.0, 1.0])
_CROSS[0, 1] = _CROSS[1, 0] = 1.0


def _wide(x: float | np.ndarray) -> np.ndarray:
    """A number, or numbers of many designs (N,), ready to multiply 3x3 blocks."""
    return np.asarray(x, dtype=float)[..., None, None]


def rib_stiffness(rib: RibFamily) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Smeared A [N/m], B [N], D [N m] of one rib family about the skin middle, each (..., 3, 3)."""
    c, q = _cos_sin(rib.angle)
    e = rib.direction
    twist = np.array([-c * q, c * q, (c * c - q * q) / 2])
    E, G, s, z = rib.E, rib.G, rib.spacing, rib.z
    along = np.outer(e, e)
    return (
        _wide(E * rib.area / s) * along,
        _wide(z * E * rib.area / s) * along,
        _wide(E * (rib.inertia + rib.area * z**2) / s) * along + _wide(G * rib.torsion / s) * np.outer(twist, twist),
    )


def _frozen(matrix: np.ndarray) -> np.ndarray:
    copy = np.array(matrix, dtype=float)
    copy.setflags(write=False)
    return copy


@dataclass(frozen=True, eq=False)
class SmearedWall:
    """The wall as the smeared engines see it.

    Parameters
    ----------
    A, B, D : numpy.ndarray
        (3, 3) stiffness [N/m], [N], [N m] about the skin middle; read-only. Walls of many designs are stacks
        (N, 3, 3) with (N,) numbers in skin and ribs: sums, stresses and `reduced_bending` hold for them too.
    skin : Skin or None
        None for a given stiffness.
    ribs : tuple of RibFamily
    """

    A: np.ndarray
    B: np.ndarray
    D: np.ndarray
    skin: Skin | None = None
    ribs: tuple[RibFamily, ...] = field(default=())

    def __post_init__(self) -> None:
        for key in "ABD":
            object.__setattr__(self, key, _frozen(getattr(self, key)))
        if max(block.ndim for block in (self.A, self.B, self.D)) <= 2:  # stacks hold refused designs too
            check_stiffness(self.A, self.B, self.D)

    @classmethod
    def of(cls, skin: Skin, ribs: tuple[RibFamily, ...] = ()) -> SmearedWall:
        """Skin and rib families added up."""
        A, D = sheet_stiffness(skin)
        B = np.zeros_like(A)
        for rib in ribs:
            a, b, d = rib_stiffness(rib)
            A, B, D = A + a, B + b, D + d
        return cls(A, B, D, skin, ribs)

    @cached_property
    def flexibility(self) -> np.ndarray:
        """A^-1 (..., 3, 3): membrane strains per line load without curvature [m/N]; read-only."""
        return _frozen(np.linalg.inv(self.A))

    @property
    def matrix(self) -> np.ndarray:
        """The 6x6 stiffness."""
        return np.block([[self.A, self.B], [self.B, self.D]])

    @property
    def reduced_bending(self) -> np.ndarray:
        """D - B A^-1 B (3, 3): bending stiffness when the membrane forces are zero [N m]."""
        return self.D - self.B @ np.linalg.solve(self.A, self.B)

    @property
    def positive_definite(self) -> bool:
        """True when every strain state stores energy."""
        matrix = self.matrix
        scale = np.sqrt(np.abs(np.diag(matrix)))
        if not np.all(scale > 0):
            return False
        return bool(np.linalg.eigvalsh(matrix / np.outer(scale, scale))[0] > 1e-12)

    @property
    def orthotropy_defect(self) -> float:
        """Largest 16, 26 coupling of A, B or D against the geometric mean of its direct stiffnesses."""
        matrix = self.matrix
        scale = np.sqrt(np.diag(matrix))
        relative = np.abs(matrix / np.outer(scale, scale))
        shear, direct = [2, 5], [0, 1, 3, 4]
        return float(relative[np.ix_(shear, direct)].max())

    @property
    def orthotropic(self) -> bool:
        """True when 16 and 26 terms are negligible."""
        return self.orthotropy_defect <= ORTHOTROPY

    @property
    def uncoupled(self) -> np.ndarray:
        """The 6x6 with its 16 and 26 terms struck out, for engines that are exact for orthotropic walls only.

        Raises
        ------
        Refusal
            When those terms are not negligible.
        """
        if not self.orthotropic:
            raise Refusal.of(
                "shear-coupling",
                "the wall couples shear with stretching or bending",
                "wall",
                f"relative coupling {self.orthotropy_defect:.2g}",
                f"at most {ORTHOTROPY:g}",
                "the engines here are exact for orthotropic walls only",
            )
        matrix = self.matrix.copy()
        for i in (2, 5):
            for j in (0, 1, 3, 4):
                matrix[i, j] = matrix[j, i] = 0.0
        return matrix

    def without(self, *names: str) -> SmearedWall:
        """The same wall without the named rib families; only for a wall that has a skin."""
        return SmearedWall.of(self.skin, tuple(r for r in self.ribs if r.name not in names))
