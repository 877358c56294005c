"""Buckling loads of a barrel with its ribs as they are: prestress, pencil, certified lowest load factors.

The pencil is (K + p Kg[p = 1]) x = N (-Kg[N = 1]) x with N the net axial line load of the barrel, its axial force over
2 pi R, compression positive, and p the internal pressure, fixed and dead.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import sparse

from ..eigen.blocked import Progress, lowest_counted
from ..errors import Incomplete, Problem, Refusal
from ..model.barrel import HELD as EDGE_SETS
from .assembly import geometric, stiffness
from .constraints import elimination_of, held_at, reduced, reduction, without_drift
from .repeating import phased_reduction, twofold
from .resultants import membrane_resultants, pressure_load, uniform_resultants, uniform_stiffness
from .shell import Shell, U
from .statics import BALANCE, solve, unbalanced

Kind = Literal["uniform strain", "linear statics"]


_TURN = 1e-9
"""1 - cos of a phase that counts as none."""
_SILENT = 1.0
"""Factorisations that take less than this are not reported one by one [s]."""


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
        two fields (`repeating`), and every load comes twice.
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


@dataclass(frozen=True, eq=False)
class Buckling:
    """Lowest line loads (k,) [N/m], rising; modes (unknowns, k); how many loads lie at or below the last, by count.

    `shift` is the line load at which they were counted [N/m], `factorisations` what it took, `order` the order of
    elimination used.
    """

    line_loads: np.ndarray
    modes: np.ndarray
    counted: int
    shift: float = math.nan
    factorisations: int = 0
    order: str = ""


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
    in `support`.

    Raises
    ------
    Refusal
        When the factorisation will not fit into memory.
    Incomplete
        When the far end does not react the applied force to BALANCE.
    """
    mesh = shell.mesh
    first, last = 6 * mesh.nodes_at(0.0) + U, 6 * mesh.nodes_at(support.length) + U
    held = _held(shell, support)
    held = without_drift(shell, np.union1d(held[~np.isin(held, last)], first))
    T = reduction(shell.size, held, [last, *support.ties])
    f = np.column_stack([np.zeros(shell.size), pressure_load(shell)])
    f[last[0], 0] = -support.arc
    answer = solve(K, f, T, order=elimination_of(shell, T, memory_limit))
    reacted = answer.reactions[first].sum(axis=0)
    off = np.abs(reacted - [support.arc, 0.0]) / [support.arc, support.arc * support.radius]
    if not np.all(off < BALANCE):
        raise unbalanced(off.max())
    return Prestress(*(membrane_resultants(shell, d) for d in answer.displacements.T))


def _held(shell: Shell, support: Support) -> np.ndarray:
    return np.unique(np.concatenate([
        held_at(shell, 0.0, EDGE_SETS[support.start]), held_at(shell, support.length, EDGE_SETS[support.end]),
        np.asarray(support.held, dtype=np.int64),
    ]))  # fmt: skip


def buckle(
    shell: Shell, support: Support, guess: float, *, want: int = 1, pressure: float = 0.0,
    prestress: Kind | Prestress = "uniform strain", memory_limit: float | None = None, shift: float | None = None,
    progress: Progress = lambda _: None,
) -> Buckling:  # fmt: skip
    """The lowest buckling loads, proved complete by a count.

    Parameters
    ----------
    shell : Shell
    support : Support
    guess : float
        A line load near the lowest, from either side [N/m]; for example of the smeared wall.
    want : int
        How many.
    pressure : float
        Internal pressure, fixed and dead [Pa].
    prestress : {"uniform strain", "linear statics"} or Prestress
        Linear statics holds what `support` holds; modes odd about a plane need the prestress of even ones, given.
    memory_limit : float or None
        [B] that the factorised problem may take; None takes a share of the machine's memory.
    shift : float or None
        Line load at which loads are counted first, for example that of a coarser mesh [N/m]; None takes just above the
        guess.
    progress : callable
        Is told what is done where one factorisation takes longer than a second.

    Returns
    -------
    Buckling

    Raises
    ------
    Refusal
        When the edges leave a rigid motion, or the problem will not fit into memory.
    Incomplete
        Without balance, convergence, or when the count disagrees.
    """
    held, owner = _held(shell, support), None
    if support.phase is None:
        T = reduction(shell.size, without_drift(shell, held), support.ties)
    else:
        refuse_loose(support.start, support.end)
        _refuse_alike(support)
        T, owner = phased_reduction(shell, held, support.phase)
    order = elimination_of(shell, T, memory_limit, owner)
    tell: Progress = progress if order.seconds > _SILENT else lambda _: None
    tell(f"{len(order.places)} free unknowns, about {order.seconds:.0f} s for every factorisation")
    K = stiffness(shell)
    if isinstance(prestress, Prestress):
        state = prestress
    elif prestress == "uniform strain":
        state = uniform_strain(shell, support.radius)
    else:
        state = linear_statics(shell, K, support, memory_limit)
    if pressure:
        K = K + pressure * geometric(shell, state.pressure)
    G = geometric(shell, -state.axial)
    if support.phase is not None:
        K, G = twofold(K), twofold(G)
    K, G = reduced(K, T), reduced(G, T)
    try:
        found = lowest_counted(K, G, guess, want, order, shift, tell)
    except Incomplete as error:
        raise _reason(error, pressure) from None
    return Buckling(
        found.values, T @ found.modes, found.counted, found.shift, found.factorisations, found.order
    )  # fmt: skip


def refuse_loose(start: str, end: str) -> None:
    """Refuse ends (names of EDGE_SETS) that may leave a sector that repeats with a phase a rigid motion.

    Raises
    ------
    Refusal
        When an end does not hold w.
    """
    if not all("w" in EDGE_SETS[name] for name in (start, end)):
        raise Refusal(Problem(
            "edges-free", "a sector that repeats with a phase needs ends that hold w", "edges",
            f"{start}/{end}", way_out="mesh the whole barrel, or a part between planes of symmetry",
        ))  # fmt: skip


def _refuse_alike(support: Support) -> None:
    if math.cos(support.phase) > 1 - _TURN:
        raise Refusal(Problem(
            "edges-free", "with a phase of zero all sectors do the same", "phase", f"{support.phase:.3g} rad",
            way_out="tie the sides instead",
        ))  # fmt: skip


def _reason(error: Incomplete, pressure: float) -> Incomplete:
    """The error, with the pressure named where it is what buckles the wall before any axial load acts."""
    (problem,) = error.problems
    if problem.code != "not-definite" or not pressure:
        return error
    how = (
        "outside pressure buckles it" if pressure < 0
        else "the hoop strain of internal pressure compresses what lies along the axis (Poisson)"
    )  # fmt: skip
    return Incomplete(Problem(
        "not-definite",
        f"the fixed pressure of {pressure:.4g} Pa buckles the wall alone, before any axial load acts: {how}",
        "pressure", f"{problem.got} under it", way_out="lower the pressure: at this one there is no axial load to find",
    ))  # fmt: skip
