"""The barrel as the engine sees it: wall, edges, pieces, and the matrices of its harmonics."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from ..errors import Problem, Refusal
from ..walls import SmearedWall
from .basis import Pieces
from .edges import Edges
from .operators import Operators, Pattern, Prestress, energies

Theory = Literal["Donnell", "Sanders"]

DEGREE = 7
PIECE = 2.5
"""Length of a piece in boundary-layer lengths."""

_MOST_PIECES = 4000


@dataclass(frozen=True, eq=False)
class RitzBarrel:
    """A smeared barrel with its edges.

    Parameters
    ----------
    wall : SmearedWall
        Orthotropic about axis and hoop; membrane-bending coupling allowed.
    R, L : float
        Middle radius, length [m].
    edges : Edges
    theory : {"Sanders", "Donnell"}
    degree : int
        Of the polynomials.
    piece : float
        Length of a piece in boundary-layer lengths; smaller refines.
    """

    wall: SmearedWall
    R: float
    L: float
    edges: Edges
    theory: Theory = "Sanders"
    degree: int = DEGREE
    piece: float = PIECE

    def __post_init__(self) -> None:
        self.wall.uncoupled  # noqa: B018  refuses walls that couple shear before anything is worked out
        if self.L / (self.piece * self.layer) > _MOST_PIECES:
            raise Refusal(Problem(
                "resolution-absurd", "the barrel is too long for its boundary layers", "barrel.length",
                f"{self.L / self.layer:.3g} layer lengths", f"{_MOST_PIECES * self.piece:g}",
            ))  # fmt: skip

    @cached_property
    def layer(self) -> float:
        """Boundary-layer length (D11* R^2/A22*)^(1/4) [m]."""
        flexibility = np.linalg.inv(self.wall.A)
        return float((self.wall.reduced_bending[0, 0] * self.R**2 * flexibility[1, 1]) ** 0.25)

    @cached_property
    def pieces(self) -> Pieces:
        count = max(4, math.ceil(self.L / (self.piece * self.layer)))
        return Pieces(np.linspace(0.0, self.L, count + 1), self.degree)

    @cached_property
    def patterns(self) -> tuple[Pattern, Pattern]:
        """Patterns of n = 0 and of n of 1 or more."""
        numbers, ends, _ = self.pieces.numbering()
        nf = self.degree + 1
        held = [ends[q][i] for i, names in enumerate(self.edges.held) for q in names]
        # n = 0: no twist; the axial resultant is prescribed, so u is only kept from drifting
        ring = [ends[q][i] for i, names in enumerate(self.edges.held) for q in names - {"u"}]
        ring += [*numbers[:, nf : 2 * nf].ravel(), ends["u"][0]]
        return Pattern.of(self.pieces, np.array(ring, int)), Pattern.of(self.pieces, np.array(held, int))

    def operators(self, prestress: Prestress) -> tuple[Operators, Operators]:
        """Operators of n = 0 and of n of 1 or more."""
        stiffness, axial = energies(
            self.pieces, self.wall.uncoupled, self.R, self.theory == "Sanders", prestress
        )  # fmt: skip
        ring, waves = self.patterns
        return ring.operators(self.R, stiffness[:1], axial[:1]), waves.operators(self.R, stiffness, axial)
