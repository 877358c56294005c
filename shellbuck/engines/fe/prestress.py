"""How a barrel is held, and the state of stress before it buckles: uniform strain, or linear statics."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import sparse

from ...model.barrel import HELD as EDGE_SETS
from .constraints import elimination_of, held_at, reduction, side_ties, without_drift
from .resultants import membrane_resultants, pressure_load, uniform_resultants, uniform_stiffness
from .shell import Shell, U
from .statics import BALANCE, solve, unbalanced

Kind = Literal["uniform strain", "linear statics"]


@dataclass(frozen=True, eq=False)
class Support:
    """How a barrel, or a sector of it, is held.

    Parameters
    ----------
    radius, length : float
        Of the skin middle, between the ends x = 0 and x = length [m]. Of half a barrel, half the length: its far end is
        "FREE" and the plane of symmetry among `held`.
    start, end : str
        Names of EDGE_SETS.
    angle : float
        Of the meshed sector [rad].
    held : tuple of int
        Further unknowns held, for example in planes of symmetry.
    ties : tuple of numpy.ndarray
        Unknowns that move together (`constraints.reduction`), for example at the sides of a repeating sector.
    phase : float or None
        By which the right side of a repeating sector leads its left one [rad]: n waves times the angle. Modes are then
        two fields (`repeating`), and every load comes twice, but for a phase of pi: there the second field is zero and
        loads come as often as the whole barrel has them.
    """

    radius: float
    length: float
    start: str = "SS3"
    end: str = "SS3"
    angle: float = 2 * math.pi
    held: tuple[int, ...] = ()
    ties: tuple[np.ndarray, ...] = ()
    phase: float | None = None

    @property
    def arc(self) -> float:
        """Length of the meshed circumference [m]."""
        return self.radius * self.angle


@dataclass(frozen=True, eq=False)
class Prestress:
    """Membrane resultants (e, q, 3) per unit axial line load (compression) and per unit internal pressure [m]."""

    axial: np.ndarray
    pressure: np.ndarray


def uniform_strain(shell: Shell, radius: float) -> Prestress:
    """Prestress of one membrane strain without bending: A e = (-1, 0, 0) for the load, (0, R, 0) for pressure.

    A is that of the modelled section, skin and ribs (`uniform_stiffness`).
    """
    A = uniform_stiffness(shell)
    axial, pressure = np.linalg.solve(A, [[-1.0, 0.0], [0.0, radius], [0.0, 0.0]]).T
    return Prestress(uniform_resultants(shell, axial), uniform_resultants(shell, pressure))


def linear_statics(
    shell: Shell, K: sparse.csc_matrix, support: Support, memory_limit: float | None = None
) -> Prestress:
    """Prestress of linear statics between flat rigid platens.

    All nodes of an end, skin and ribs, move alike along the axis. The load is the axial force of the platen. Pressure
    acts on the skin as a dead load and leaves the platens without force, as open ends do. Other quantities are held as
    in `support`. The state of a sector that repeats is the same in all sectors, whatever the phase of the modes: its
    sides are tied.

    Raises
    ------
    Refusal
        When the factorisation will not fit into memory.
    Incomplete
        When the far end does not react the applied force to BALANCE.
    """
    mesh = shell.mesh
    first, last = 6 * mesh.nodes_at(0.0) + U, 6 * mesh.nodes_at(support.length) + U
    held = held_by(shell, support)
    held = without_drift(shell, np.union1d(held[~np.isin(held, last)], first))
    sides = () if support.phase is None else (side_ties(mesh),)
    T = reduction(shell.size, held, [last, *sides, *support.ties])
    f = np.column_stack([np.zeros(shell.size), pressure_load(shell)])
    f[last[0], 0] = -support.arc
    answer = solve(K, f, T, order=elimination_of(shell, T, memory_limit))
    reacted = answer.reactions[first].sum(axis=0)
    off = np.abs(reacted - [support.arc, 0.0]) / [support.arc, support.arc * support.radius]
    if not np.all(off < BALANCE):
        raise unbalanced(off.max())
    return Prestress(*(membrane_resultants(shell, d) for d in answer.displacements.T))


def held_by(shell: Shell, support: Support) -> np.ndarray:
    """(k,) unknowns that a support holds."""
    return np.unique(
        np.concatenate(
            [
                held_at(shell, 0.0, EDGE_SETS[support.start]),
                held_at(shell, support.length, EDGE_SETS[support.end]),
                np.asarray(support.held, dtype=np.int64),
            ]
        )
    )
