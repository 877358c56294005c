"""The barrel as the engine sees it: wall, edges, rings, pieces, and the matrices of its harmonics."""

from __future__ import annotations

import math
import operator
from dataclasses import dataclass, replace
from functools import cached_property, reduce
from itertools import pairwise
from numbers import Integral

import numpy as np

from ...core.errors import Refusal
from ...model.walls import SmearedWall
from ...model.walls.doors import check_barrel, check_definite, check_theory
from ..problem import AXIAL, BucklingProblem, Mix, Theory
from ..supports import Edges, HoopRing
from .basis import Pieces, graded
from .energies import (
    Energy,
    Prestress,
    Strains,
    axial_work,
    axisymmetric_energy,
    hoop_work,
    live_work,
    shear_work,
    strain_energy,
)
from .operators import Gathered, Operators, Pattern
from .products import Kept

DEGREE = 8
PIECE = 3.2
"""Length of an inner piece in boundary-layer lengths."""

_LEAST, _PER_LAYER = 12, 0.7
"""Degree of a piece as long as the stretch: so many, and so many per boundary-layer length. Axial waves of modes below
1.2 times the load of a long barrel have at most 1.36 radians a layer length; a polynomial follows k radians over its
whole length from degree k/2 on, and 12 more settle the digits (measured from 4 to 500 layer lengths)."""
_MOST_WHOLE = 1000
"""Layer lengths of the longest stretch for a piece of that length (tables of its functions grow as the square)."""
_MOST_STRETCHES = 4
"""Beyond so many the band of long pieces is wider than pays (measured: 5 take as long as short pieces)."""

_MOST_PIECES = 4000
_CLOSE = 1e-3
"""Two rings, or a ring and an end, closer than this share of the length stand at one place."""


@dataclass(frozen=True, eq=False)
class RitzBarrel:
    """A smeared barrel with its edges.

    Parameters
    ----------
    wall : SmearedWall
        Any 6x6; 16 and 26 terms double the unknowns.
    R, L : float
        Middle radius, length [m].
    edges : Edges
    theory : {"Sanders", "Donnell"}
    degree : int
        Of the polynomials.
    piece : float
        Length of an inner piece in boundary-layer lengths, shorter towards the ends; smaller refines. Infinite makes
        each stretch between ends and rings one piece.
    rings : tuple of HoopRing
        Rings that are not smeared, at the ends or between.
    """

    wall: SmearedWall
    R: float
    L: float
    edges: Edges
    theory: Theory = "Sanders"
    degree: int = DEGREE
    piece: float = PIECE
    rings: tuple[HoopRing, ...] = ()

    def __post_init__(self) -> None:
        check_theory(self.theory)
        check_barrel(self.wall, self.R, self.L)
        if not (isinstance(self.degree, Integral) and self.degree >= 4 and self.piece > 0):
            raise Refusal.of(
                "value-range",
                "no resolution of trial functions",
                "degree, piece",
                f"{self.degree} and {self.piece:g}",
                "a whole degree of 4 or more and a piece above 0",
            )
        check_definite(self.wall)
        if self.L / (self.piece * self.layer) > _MOST_PIECES:
            raise Refusal.of(
                "resolution-absurd",
                "the barrel is too long for its boundary layers",
                "barrel.length",
                f"{self.L / self.layer:.3g} layer lengths",
                f"{_MOST_PIECES * self.piece:g}",
            )
        for ring in self.rings:
            if not self.R + ring.z > 0:
                raise Refusal.of(
                    "rib-beyond-axis",
                    "the centroid of a ring lies on the axis of the barrel or beyond it",
                    "rings",
                    f"z = {ring.z:g} m at a middle radius of {self.R:g} m",
                    "R + z above 0",
                )
            if not 0 <= ring.at <= self.L:
                raise Refusal.of(
                    "ring-outside", "a ring stands outside the barrel", "rings", f"{ring.at:g} m", f"0 to {self.L:g} m"
                )

    @classmethod
    def of(cls, problem: BucklingProblem) -> RitzBarrel:
        """The barrel of a problem at the usual resolution."""
        return cls(problem.wall, problem.R, problem.L, problem.edges, problem.theory, rings=problem.rings)

    @cached_property
    def layer(self) -> float:
        """Boundary-layer length (D11* R^2/A22*)^(1/4) [m]."""
        flexibility = np.linalg.inv(self.wall.A)
        return float((self.wall.reduced_bending[0, 0] * self.R**2 * flexibility[1, 1]) ** 0.25)

    @cached_property
    def least_bending(self) -> float:
        """Least reduced bending stiffness over the directions of waves [N m]."""
        D = self.wall.reduced_bending
        d11, d22, mixed = D[0, 0], D[1, 1], 2 * (D[0, 1] + 2 * D[2, 2])
        x = np.linspace(0.0, 1.0, 201)
        return float((d11 * x**2 + mixed * x * (1 - x) + d22 * (1 - x) ** 2).min())

    @cached_property
    def coupled(self) -> bool:
        """Whether 16 or 26 terms join the two families."""
        return not self.wall.orthotropic

    @cached_property
    def pieces(self) -> Pieces:
        stops = self._stops
        if math.isinf(self.piece):
            return Pieces(np.array(stops), self.degree)
        stretches = [a + graded(b - a, self.piece * self.layer) for a, b in pairwise(stops)]
        ends = np.concatenate([stretches[0], *(s[1:] for s in stretches[1:])])
        ends[-1] = self.L
        return Pieces(ends, self.degree)

    @cached_property
    def whole(self) -> RitzBarrel:
        """The barrel with pieces as long as the stretches, for prestress that is the same everywhere: then few products
        of functions remain. A resolution chosen by hand stays; very long or much divided barrels keep their pieces."""
        longest = float(np.diff(self._stops).max()) / self.layer
        chosen = (self.degree, self.piece) != (DEGREE, PIECE)
        if chosen or longest > _MOST_WHOLE or len(self._stops) - 1 > _MOST_STRETCHES:
            return self
        return replace(self, degree=math.ceil(_LEAST + _PER_LAYER * longest), piece=math.inf)

    def refined(self, times: int) -> RitzBarrel:
        """The barrel with a finer resolution, `times` steps."""
        if math.isinf(self.piece):
            return replace(self, degree=math.ceil(self.degree * 1.25**times))
        return replace(self, piece=self.piece * 0.6**times)

    @cached_property
    def _stops(self) -> list[float]:
        """Ends and ring stations, rising; what stands close together is one."""
        stops, near = [0.0], _CLOSE * self.L
        for x in sorted(r.at for r in self.rings):
            if x - stops[-1] > near and self.L - x > near:
                stops.append(x)
        return [*stops, self.L]

    def _station(self, x: float) -> float:
        return min(self._stops, key=lambda stop: abs(stop - x))

    def operators(self, prestress: Prestress, mix: Mix = AXIAL) -> tuple[Operators, Operators]:
        """Operators of n = 0 and of n of 1 or more. A shear load does no work on n = 0 here."""
        return self.harmonic(0, prestress, mix), self.harmonic(1, prestress, mix)

    def harmonic(self, n: int, prestress: Prestress, mix: Mix = AXIAL) -> Operators:
        """Operators of n = 0, or those of every n of 1 or more."""
        strains = Strains(self.R, self.theory == "Sanders", prestress.beta)
        C, waves = self.wall.matrix, n > 0
        if waves or not self.coupled:
            energy = strain_energy(strains, C, odd=self.coupled)
        else:
            energy = axisymmetric_energy(strains, C)
        energy += hoop_work(strains, prestress.N_theta)
        kept = "all" if not prestress.uniform else "constant" if self.coupled or mix.shear else "mirrored"
        pattern, lines = self._pattern(kept, waves), self._lines(prestress)
        gathered = pattern.gathered(
            self.pieces, energy if waves else energy.without_waves, None if lines is None else lines[waves]
        )
        return Operators(self.R, gathered, self._work(mix, kept, waves), pattern)

    def _pattern(self, kept: Kept, waves: bool) -> Pattern:
        """Pattern of n = 0, or of n of 1 or more."""
        if (kept, waves) not in self._patterns:
            numbers, ends, _ = self.pieces.numbering()
            nf = self.degree + 1
            free = set() if waves else {"u", "v"}
            held = [ends[q][i] for i, names in enumerate(self.edges.held) for q in names - free]
            if not waves:  # N_x is prescribed: u is only kept from drifting; twist beside 16/26 terms only
                held += [ends["u"][0], *([ends["v"][0]] if self.coupled else numbers[:, nf : 2 * nf].ravel())]
            self._patterns[kept, waves] = Pattern.of(self.pieces, np.array(held, int), kept)
        return self._patterns[kept, waves]

    @cached_property
    def _patterns(self) -> dict[tuple[Kept, bool], Pattern]:
        return {}

    def _work(self, mix: Mix, kept: Kept, waves: bool) -> Gathered:
        """Work of a mix: the same for every prebuckled state, so it is held."""
        if (mix, kept, waves) not in self._works:
            whole = _work_of(mix, Strains(self.R, self.theory == "Sanders", np.zeros((1, 1))))
            energy = whole if waves else whole.without_waves
            self._works[mix, kept, waves] = self._pattern(kept, waves).gathered(self.pieces, energy)
        return self._works[mix, kept, waves]

    @cached_property
    def _works(self) -> dict[tuple[Mix, Kept, bool], Gathered]:
        return {}

    def _lines(self, prestress: Prestress) -> tuple[np.ndarray, np.ndarray] | None:
        """Springs and rings as entries of the pieces beside them, for n = 0 and for n of 1 or more; None without."""
        if not self.rings and not any(springs.sprung for springs in self.edges.springs):
            return None
        d, e, nf = 3 * (self.degree + 1), self.pieces.count, self.degree + 1
        left, right = np.array([0, nf, 2 * nf, 2 * nf + 1]), np.array([nf - 1, 2 * nf - 1, 3 * nf - 2, 3 * nf - 1])
        ring, waves = np.zeros((1, e, d, d)), np.zeros((5, e, d, d))
        for i, (springs, at) in enumerate(zip(self.edges.springs, (left, right), strict=True)):
            waves[0, -i, at, at] += springs.values
            ring[0, -i, at, at] += (0.0, 0.0, *springs.values[2:])
        forces = prestress.rings or (0.0,) * len(self.rings)
        for one, force in zip(self.rings, forces, strict=True):
            k, at = self.beside(one, left, right)
            block = one.energy(self.R, self.theory == "Sanders", force)
            for power in range(5):
                waves[power, k][np.ix_(at, at)] += block[power]
            ring[0, k][np.ix_(at, at)] += block[0]
        return ring, waves

    def beside(self, ring: HoopRing, left: np.ndarray, right: np.ndarray) -> tuple[int, np.ndarray]:
        """The piece that starts at a ring (the last one for a ring at the end), and its unknowns of that node."""
        k = int(np.argmin(np.abs(self.pieces.ends - self._station(ring.at))))
        return (k, left) if k < self.pieces.count else (k - 1, right)


def _work_of(mix: Mix, strains: Strains) -> Energy:
    parts = []
    if mix.axial:
        parts.append(axial_work(strains) * mix.axial)
    if mix.hoop:
        parts.append(hoop_work(strains, np.ones((1, 1))) * mix.hoop)
        if mix.live:
            parts.append(live_work(strains) * (mix.hoop / strains.R))
    if mix.shear:
        parts.append(shear_work(strains) * mix.shear)
    return reduce(operator.add, parts)


def long_barrel_load(barrel: RitzBarrel) -> float:
    """A load of the right size: the axisymmetric load of a long barrel without coupling [N/m]."""
    flexibility = np.linalg.inv(barrel.wall.A)
    return float(2 / barrel.R * math.sqrt(barrel.wall.reduced_bending[0, 0] / flexibility[1, 1]))
