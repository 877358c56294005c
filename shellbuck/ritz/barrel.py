"""The barrel as the engine sees it: wall, edges, rings, pieces, and the matrices of its harmonics."""

from __future__ import annotations

import operator
from dataclasses import dataclass
from functools import cached_property, reduce
from itertools import pairwise
from typing import Literal

import numpy as np

from ..errors import Problem, Refusal
from ..walls import SmearedWall
from .basis import Pieces, graded
from .edges import Edges
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
from .rings import HoopRing

Theory = Literal["Donnell", "Sanders"]

DEGREE = 8
PIECE = 3.2
"""Length of an inner piece in boundary-layer lengths."""

_MOST_PIECES = 4000
_CLOSE = 1e-3
"""Two rings, or a ring and an end, closer than this share of the length stand at one place."""


@dataclass(frozen=True)
class Mix:
    """The unit load: what one unit of the load factor brings.

    Parameters
    ----------
    axial : float
        Axial compression [N/m per unit].
    hoop : float
        Hoop compression p R of an external pressure p [N/m per unit].
    shear : float
        Shear N_xtheta [N/m per unit]; its sign matters beside 16/26 terms only.
    live : bool
        The external pressure stays normal to the wall.
    """

    axial: float = 0.0
    hoop: float = 0.0
    shear: float = 0.0
    live: bool = False


AXIAL = Mix(axial=1.0)


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
        Length of an inner piece in boundary-layer lengths, shorter towards the ends; smaller refines.
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
        if self.degree < 4 or not self.piece > 0:
            raise ValueError(f"degree must be 4 or more and piece above 0, got {self.degree} and {self.piece:g}")
        if not self.wall.positive_definite:
            raise Refusal(Problem(
                "stiffness-indefinite", "the 6x6 stiffness is not positive definite", "wall",
                way_out="check the signs and the order x, theta, x-theta of A, B and D",
            ))  # fmt: skip
        if self.L / (self.piece * self.layer) > _MOST_PIECES:
            raise Refusal(Problem(
                "resolution-absurd", "the barrel is too long for its boundary layers", "barrel.length",
                f"{self.L / self.layer:.3g} layer lengths", f"{_MOST_PIECES * self.piece:g}",
            ))  # fmt: skip
        for ring in self.rings:
            if not self.R + ring.z > 0:
                raise ValueError(f"a ring's centroid lies on the axis or beyond it: z = {ring.z:g} m")
            if not 0 <= ring.at <= self.L:
                raise Refusal(Problem(
                    "ring-outside", "a ring stands outside the barrel", "rings", f"{ring.at:g} m", f"0 to {self.L:g} m"
                ))  # fmt: skip

    @cached_property
    def layer(self) -> float:
        """Boundary-layer length (D11* R^2/A22*)^(1/4) [m]."""
        flexibility = np.linalg.inv(self.wall.A)
        return float((self.wall.reduced_bending[0, 0] * self.R**2 * flexibility[1, 1]) ** 0.25)

    @cached_property
    def coupled(self) -> bool:
        """Whether 16 or 26 terms join the two families."""
        return not self.wall.orthotropic

    @cached_property
    def pieces(self) -> Pieces:
        stops = self._stops
        stretches = [a + graded(b - a, self.piece * self.layer) for a, b in pairwise(stops)]
        ends = np.concatenate([stretches[0], *(s[1:] for s in stretches[1:])])
        ends[-1] = self.L
        return Pieces(ends, self.degree)

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

    @cached_property
    def patterns(self) -> tuple[Pattern, Pattern]:
        """Patterns of n = 0 and of n of 1 or more."""
        numbers, ends, _ = self.pieces.numbering()
        nf = self.degree + 1
        held = [ends[q][i] for i, names in enumerate(self.edges.held) for q in names]
        # n = 0: the axial resultant is prescribed, so u is only kept from drifting; twist only beside 16/26 terms
        ring = [ends[q][i] for i, names in enumerate(self.edges.held) for q in names - {"u", "v"}] + [ends["u"][0]]
        if not self.coupled:
            ring += [*numbers[:, nf : 2 * nf].ravel()]
        else:
            ring += [ends["v"][0]]
        return Pattern.of(self.pieces, np.array(ring, int)), Pattern.of(self.pieces, np.array(held, int))

    def operators(self, prestress: Prestress, mix: Mix = AXIAL) -> tuple[Operators, Operators]:
        """Operators of n = 0 and of n of 1 or more. A shear load does no work on n = 0 here."""
        pieces, again = self.pieces.distinct if prestress.uniform else (self.pieces, None)
        strains = Strains(pieces, self.R, self.theory == "Sanders", prestress.beta)
        C, hoop = self.wall.matrix, hoop_work(strains, prestress.N_theta)
        every = strain_energy(strains, C, odd=self.coupled) + hoop
        none = axisymmetric_energy(strains, C) + hoop if self.coupled else every
        every, none = _repeated(every, again), Energy(_repeated(none, again).even[:1])
        if self.rings or any(springs.sprung for springs in self.edges.springs):
            lines = self._lines(prestress)
            every, none = every + lines[0], none + lines[1]
        ring, waves = self.patterns
        work = self._work(mix)
        return (
            Operators(self.R, ring.gathered(none), work[0], ring),
            Operators(self.R, waves.gathered(every), work[1], waves),
        )

    def _work(self, mix: Mix) -> tuple[Gathered, Gathered]:
        """Work of a mix on n = 0 and on n of 1 or more: the same for every prebuckled state, so it is kept."""
        if mix not in self._works:
            pieces, again = self.pieces.distinct
            strains = Strains(pieces, self.R, self.theory == "Sanders", np.zeros((1, 1)))
            whole = _repeated(_work_of(mix, strains), again)
            ring, waves = self.patterns
            self._works[mix] = ring.gathered(Energy(whole.even[:1])), waves.gathered(whole)
        return self._works[mix]

    @cached_property
    def _works(self) -> dict[Mix, tuple[Gathered, Gathered]]:
        return {}

    def _lines(self, prestress: Prestress) -> tuple[Energy, Energy]:
        """Springs and rings as entries of the pieces beside them: for n of 1 or more, and for n = 0."""
        d, e, nf = 3 * (self.degree + 1), self.pieces.count, self.degree + 1
        left, right = np.array([0, nf, 2 * nf, 2 * nf + 1]), np.array([nf - 1, 2 * nf - 1, 3 * nf - 2, 3 * nf - 1])
        waves, ring = np.zeros((5, e, d, d)), np.zeros((1, e, d, d))
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
        return Energy(waves), Energy(ring)

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


def _repeated(energy: Energy, again: np.ndarray | None) -> Energy:
    """Energy of all pieces out of that of the distinct ones; `again` says which each piece is."""
    if again is None:
        return energy
    return Energy(energy.even[:, again], None if energy.odd is None else energy.odd[:, again])
