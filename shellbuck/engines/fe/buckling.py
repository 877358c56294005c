"""Buckling loads of a barrel with its ribs as they are: prestress, pencil, certified lowest load factors.

The pencil is (K + p Kg[p = 1]) x = N (-Kg[N = 1]) x with N the net axial line load of the barrel, its axial force over
2 pi R, compression positive, and p the internal pressure, fixed and dead.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy import sparse

from ...core.errors import Incomplete, Refusal
from ...model.barrel import HELD as EDGE_SETS
from ..eigen.blocked import Progress, lowest_counted, not_definite
from ..eigen.factor import Elimination, factorise, factorise_shifted
from .assembly import geometric, stiffness
from .constraints import elimination_of, reduced, reduction, without_drift
from .prestress import Kind, Prestress, Support, held_by, linear_statics, uniform_strain
from .repeating import SideParts, Sides, real_phase
from .shell import Shell

_SILENT = 1.0
"""Factorisations that take less than this are not reported one by one [s]."""


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


class Loaded:
    """A shell under its prestress, assembled once, for modes of any phase.

    Parameters
    ----------
    shell : Shell
    support : Support
        Its phase is left aside: every question brings its own.
    pressure, prestress, memory_limit
        As in `buckle`.
    """

    def __init__(
        self,
        shell: Shell,
        support: Support,
        *,
        pressure: float = 0.0,
        prestress: Kind | Prestress = "uniform strain",
        memory_limit: float | None = None,
    ):
        self.shell, self.support, self.pressure, self.memory_limit = shell, support, pressure, memory_limit
        self._prestress = prestress
        self._elastic = False
        self._whole: dict[bool, tuple[sparse.csc_matrix, sparse.csc_matrix]] = {}
        self._orders: dict[float, Elimination] = {}
        self._parts: dict[bool, tuple[SideParts, SideParts]] = {}

    def _matrices(self, *, repeats: bool) -> tuple[sparse.csc_matrix, sparse.csc_matrix]:
        """K with the fixed pressure and G per unit line load, of all unknowns, whatever is held. A sector that repeats
        has the prestress of one whose sides are tied."""
        if repeats not in self._whole:
            K = stiffness(self.shell)
            state = self._prestress
            if state == "uniform strain":
                state = uniform_strain(self.shell, self.support.radius)
            elif state == "linear statics":
                support = replace(self.support, phase=0.0 if repeats else None)
                state = linear_statics(self.shell, K, support, self.memory_limit)
            if self.pressure:
                K = K + self.pressure * geometric(self.shell, state.pressure)
            self._whole[repeats] = K, geometric(self.shell, -state.axial)
        return self._whole[repeats]

    def lowest(
        self,
        guess: float,
        want: int = 1,
        *,
        phase: float | None = None,
        shift: float | None = None,
        progress: Progress = lambda _: None,
    ) -> Buckling:
        """The lowest loads of one phase; arguments as in `buckle`. A phase of 0 has all sectors alike, and like one of
        pi a second field of zeros."""
        T, order, matrices = self._problem(phase)
        tell: Progress = progress if order.seconds > _SILENT else lambda _: None
        tell(f"{len(order.places)} free unknowns, about {order.seconds:.0f} s for every factorisation")
        try:
            found = lowest_counted(*matrices(), guess, want, order, shift, tell, definite=self._elastic)
        except Incomplete as error:
            raise _reason(error, self.pressure) from None
        # without a fixed pressure one phase that is held shows that the shell's own energy is positive in all
        self._elastic = phase is not None and not self.pressure
        modes = T @ found.modes
        if phase is not None:
            modes = np.concatenate([modes, np.zeros((2 * self.shell.size - len(modes), modes.shape[1]))])
        return Buckling(found.values, modes, found.counted, found.shift, found.factorisations, found.order)

    def count(self, load: float, phase: float | None = None) -> int:
        """How many loads of one phase lie below a load, by the inertia of one factor, twins counted as two; with a
        fixed pressure a second factor shows that it does not buckle the shell alone.

        Raises
        ------
        Incomplete
            When it does, or a factorisation cannot be trusted.
        """
        _, order, matrices = self._problem(phase)
        K, G = matrices()
        if self.pressure and (negative := factorise(K, order).negative):
            raise _reason(not_definite(negative), self.pressure)
        return factorise_shifted(K, G, load, order).negative

    def _problem(
        self, phase: float | None
    ) -> tuple[sparse.csc_matrix, Elimination, Callable[[], tuple[sparse.csc_matrix, sparse.csc_matrix]]]:
        """Map from the free unknowns, the order of their elimination, and what makes the reduced K and G: what will not
        fit is refused before."""
        shell, held = self.shell, held_by(self.shell, self.support)
        if phase is None:
            T = reduction(shell.size, without_drift(shell, held), self.support.ties)
            order = self._order(math.nan, T, None)
            return T, order, lambda: tuple(reduced(A, T) for A in self._matrices(repeats=False))
        refuse_loose(self.support.start, self.support.end)
        if self.support.ties:
            raise Refusal.of(
                "mesh-shape",
                "a sector that repeats with a phase takes no other ties",
                "ties",
                f"{len(self.support.ties)} beside a phase of {phase:.3g} rad",
                way_out="leave them out: the phase ties the sides; or give ties without a phase",
            )
        alike = real_phase(phase) == 1.0
        # a shift along the axis and a turn about it are the same in all sectors
        sides = Sides(shell, without_drift(shell, held) if alike else held)
        T, owner = sides.map(phase)
        order = self._order(real_phase(phase), T, owner)

        def matrices() -> tuple[sparse.csc_matrix, sparse.csc_matrix]:
            if alike not in self._parts:
                K, G = self._matrices(repeats=True)
                self._parts[alike] = sides.parts(K), sides.parts(G)
            K, G = self._parts[alike]
            return K.at(phase), G.at(phase)

        return T, order, matrices

    def _order(self, kind: float, T: sparse.csc_matrix, owner: np.ndarray | None) -> Elimination:
        """The order is one for all phases of a kind: the same entries stand."""
        if kind not in self._orders:
            self._orders[kind] = elimination_of(self.shell, T, self.memory_limit, owner)
        return self._orders[kind]


def buckle(
    shell: Shell,
    support: Support,
    guess: float,
    *,
    want: int = 1,
    pressure: float = 0.0,
    prestress: Kind | Prestress = "uniform strain",
    memory_limit: float | None = None,
    shift: float | None = None,
    progress: Progress = lambda _: None,
) -> Buckling:
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
        Receives a line of text on each step where one factorisation takes longer than a second.

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
    if support.phase is not None and real_phase(support.phase) == 1.0:
        raise Refusal.of(
            "edges-free",
            "with a phase of zero all sectors do the same",
            "phase",
            f"{support.phase:.3g} rad",
            way_out="tie the sides instead",
        )
    loaded = Loaded(shell, support, pressure=pressure, prestress=prestress, memory_limit=memory_limit)
    return loaded.lowest(guess, want, phase=support.phase, shift=shift, progress=progress)


def refuse_loose(start: str, end: str) -> None:
    """Refuse ends (names of EDGE_SETS) that may leave a sector that repeats with a phase a rigid motion.

    Raises
    ------
    Refusal
        When an end does not hold w.
    """
    if not all("w" in EDGE_SETS[name] for name in (start, end)):
        raise Refusal.of(
            "edges-free",
            "a sector that repeats with a phase needs ends that hold w",
            "edges",
            f"{start}/{end}",
            way_out="mesh the whole barrel, or a part between planes of symmetry",
        )


def _reason(error: Incomplete, pressure: float) -> Incomplete:
    """The error, with the pressure named where it is what buckles the wall before any axial load acts."""
    (problem,) = error.problems
    if problem.code != "not-definite" or not pressure:
        return error
    how = (
        "outside pressure buckles it"
        if pressure < 0
        else "the hoop strain of internal pressure compresses what lies along the axis (Poisson)"
    )
    return Incomplete.of(
        "not-definite",
        f"the fixed pressure of {pressure:.4g} Pa buckles the wall alone, before any axial load acts: {how}",
        "pressure",
        f"{problem.got} under it",
        way_out="lower the pressure: at this one there is no axial load to find",
    )
