"""The lowest buckling load of an endless wall over both phases.

Two definitions are offered. With the lines of the rib roots held in w the pockets are all that can buckle, with the
turn and the sideways motion of their ribs: this is the local load. Without, waves over many pockets are the global
branch, whose load on a flat wall goes to zero with their length; they are searched up to a wavelength of a stated
number of cells.

Loads change smoothly with the phases. Modes found at some phases make a small basis in which all others are scanned;
the lowest place is solved, its modes join the basis, and the scan is repeated until both agree. Ritz's loads in a basis
lie above the true ones: therefore one factorisation just below the lowest load at each of a net of phases counts what
lies below it there.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
from scipy.linalg import eigh
from scipy.optimize import minimize

from ...core.errors import Incomplete
from .loads import CellLoad, LoadedCell, Phases
from .meshing import alike
from .shapes import StringerCell

_AGREE = 2e-4
"""Relative difference of scan and solution at which the lowest place is found."""
_BELOW = 1e-3
"""How far below the lowest load, relative, the others are counted."""
_ROUNDS = 12
_NET = 8
"""Phases of the net in a whole turn."""
_SCAN = 36
"""Phases of the scan in a whole turn."""
_RATIO = 1.2
"""From one half-wave along a stringer to the next of the net."""

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Lowest:
    """The lowest load over phases.

    Parameters
    ----------
    load : CellLoad
    phases : tuple of float
        (phi_x, phi_theta) [rad].
    skin_share : float
        Of the strain energy of its mode in the skin; the rest is in the ribs.
    counted : int
        Phases at which a count shows that nothing lies more than .1 % below it.
    cells : float or None
        Longest wavelength searched, in widths; None with the lines held, where there is no limit.
    """

    load: CellLoad
    phases: Phases
    skin_share: float
    counted: int
    cells: float | None

    @property
    def half_wave(self) -> float:
        """Length of a half-wave along the first vector, in lengths of the vector; inf where its cells are alike."""
        turn = abs(math.remainder(self.phases[0], 2 * math.pi))
        return math.pi / turn if turn > 1e-9 else math.inf


def lowest_over_phases(
    loaded: LoadedCell, *, cells: float = 4.0, proof: bool = True, tell: Tell = lambda _: None
) -> Lowest:
    """The lowest load over both phases.

    Parameters
    ----------
    loaded : LoadedCell
        With its lines held or not.
    cells : float
        Without held lines: the longest wavelength, crest to crest, in units of the larger width of the skin field. All
        cells alike, phases (0, 0), is always among the states.
    proof : bool
        Whether a count at each of a net of phases is asked for.
    tell : callable
        Receives a line of text on each step.

    Raises
    ------
    Incomplete
        When scan and solution do not meet.
    """
    space = _Space(loaded, None if loaded.held_lines else cells)
    basis = _Basis(loaded)
    best: tuple[float, Phases] = (math.inf, (0.0, 0.0))
    for phases in space.starts:
        best = min(best, (basis.solve(phases, best[0]), phases))
    net = space.net() if proof else []
    counted: set[Phases] = set()
    for _ in range(_ROUNDS):
        best = _settled(basis, space, best, tell)
        below = best[0] * (1 - _BELOW)
        for phases in net:
            if phases in counted:
                continue
            if loaded.count(phases, below):
                tell(f"phases {_degrees(phases)} hold less")
                best = min(best, (basis.solve(phases, below), phases))
                counted.clear()
                break
            counted.add(phases)
        else:
            break
    else:
        raise Incomplete.of(
            "phases-search", "the search over phases found ever lower loads", "phases", f"{best[0]:.6g}"
        )
    factor, phases = best
    factors, modes = loaded.lowest(phases, 2, factor)
    return Lowest(loaded.told(factors)[0], phases, loaded.skin_share(modes[:, 0]), len(counted), space.cells)


def _settled(basis: _Basis, space: _Space, best: tuple[float, Phases], tell: Tell) -> tuple[float, Phases]:
    """The lowest place of the scan, solved until both agree, or the best so far where that is lower."""
    for _ in range(_ROUNDS):
        seen, phases = basis.lowest(space)
        if seen >= best[0] * (1 - _AGREE):
            return best
        found = basis.solve(phases, seen)
        tell(f"phases {_degrees(phases)}: {found:.5g}")
        best = min(best, (found, phases))
    raise Incomplete.of("phases-search", "scan and solution do not agree on the lowest phases", "phases")


def _degrees(phases: Phases) -> str:
    return "({:.0f}, {:.0f}) deg".format(*np.degrees(phases))


class _Space:
    """Which phases are searched."""

    def __init__(self, loaded: LoadedCell, cells: float | None):
        self.cell, self.cells = loaded.meshed.cell, cells
        self.mirrored = loaded.load.shear == 0.0
        self.least = 0.0 if cells is None else 2 * math.pi / cells / max(self.cell.widths)
        self.reciprocal = 2 * math.pi * np.linalg.inv(self.cell.vectors)
        self.straight = isinstance(self.cell, StringerCell)
        if isinstance(self.cell, StringerCell):
            blade = self.cell.stringer.depth
            longest = max(4 * self.cell.pitch, 12 * blade) if cells is None else cells * self.cell.pitch / 2
            steps = max(1, math.ceil(math.log(max(longest / self.cell.length, 1.0)) / math.log(_RATIO)))
            self.along = [
                math.pi * (self.cell.length / max(longest, self.cell.length)) ** (k / steps) for k in range(steps + 1)
            ]
            self.along.append(0.0)
        self.starts = [p for p in self._starts() if self.allows(p)]

    def _starts(self) -> list[Phases]:
        pi = math.pi
        if self.straight:
            few = self.along[:: max(1, len(self.along) // 4)]
            return [(x, y) for x in (*few, self.along[-1]) for y in (0.0, pi)]
        few = [(0.0, 0.0), (pi, 0.0), (0.0, pi), (pi, pi), (2 * pi / 3, 2 * pi / 3), (2 * pi / 3, -2 * pi / 3)]
        if self.cells is None:
            return few
        # the longest waves, which none of the others resembles
        k = 2 * math.pi / self.cells
        return [*few, (k, 0.0), (0.0, k), (k, k), (k, -k)]

    def allows(self, phases: Phases) -> bool:
        """Whether waves of these phases are short enough; all cells alike always are."""
        if self.cells is None or alike(phases):
            return True
        part = np.array([math.remainder(p, 2 * math.pi) for p in phases]) / (2 * math.pi)
        shifts = np.array(list(product((-1, 0, 1), repeat=2)))
        return bool(np.linalg.norm((part + shifts) @ self.reciprocal.T, axis=1).min() >= self.least * (1 - 1e-9))

    def net(self) -> list[Phases]:
        """Phases at which loads are counted; of those that are mirror images or opposites, one."""
        around = [2 * math.pi * k / _NET for k in range(_NET)]
        found: dict[tuple[int, int], Phases] = {}
        for phases in product(self.along if self.straight else around, around):
            if self.allows(phases):
                found.setdefault(min(_key(p) for p in self._alike(phases)), phases)
        return list(found.values())

    def scan(self) -> np.ndarray:
        """(k, 2) phases of the scan."""
        around = np.linspace(0.0, 2 * math.pi, _SCAN, endpoint=False)
        first = np.array(self.along) if self.straight else around[: _SCAN // 2 + 1]
        every = [(float(x), float(y)) for x, y in product(first, around)]
        return np.array([p for p in every if self.allows(p) and not alike(p)])

    def _alike(self, phases: Phases) -> list[Phases]:
        x, y = phases
        mirrored = (x, -y)
        if self.cell.triangles:  # theta to -theta: what runs along hoop or axis is turned or stays, the other changes
            mirrored = (x, x - y) if self.cell.vectors[1, 0] else (x - y, -y)
        every = [phases, mirrored] if self.mirrored else [phases]
        return every + [(-a, -b) for a, b in every]


def _key(phases: Phases) -> tuple[int, int]:
    x, y = (round(math.remainder(p, 2 * math.pi) / (2 * math.pi) * 5040) % 5040 for p in phases)
    return x, y


class _Basis:
    """Modes of some phases, in which those of all others are sought."""

    def __init__(self, loaded: LoadedCell):
        self.loaded = loaded
        self.vectors = np.empty((len(loaded.ties.owner), 0))
        self._small: tuple[np.ndarray, np.ndarray] | None = None

    def solve(self, phases: Phases, guess: float) -> float:
        """The lowest load factor of these phases; its modes join the basis."""
        factors, modes = self.loaded.lowest_free(phases, 3, guess if math.isfinite(guess) else None)
        scale = self.loaded.scale[:, None]
        more = np.column_stack([self.vectors, modes.real * scale, modes.imag * scale])
        left, size, _ = np.linalg.svd(more / np.maximum(np.linalg.norm(more, axis=0), 1e-300), full_matrices=False)
        self.vectors = left[:, size > 1e-7 * size[0]]
        self._small = None
        return float(factors[0])

    def factors(self, phases: np.ndarray) -> np.ndarray:
        """(k,) lowest load factor in the basis at phases (k, 2)."""
        if self._small is None:
            V = self.vectors / self.loaded.scale[:, None]
            stiff, geometric = self.loaded.sums
            self._small = stiff.projected(V), geometric.projected(V)
        K, G = self._small
        found = np.empty(len(phases))
        for i, p in enumerate(phases):
            ahead = np.exp(1j * (self.loaded.sums[0].shifts @ p))
            top = eigh(
                np.tensordot(ahead, G, 1),
                np.tensordot(ahead, K, 1),
                eigvals_only=True,
                subset_by_index=[K.shape[1] - 1] * 2,
            )
            found[i] = 1 / top[0] if top[0] > 0 else math.inf
        return found

    def lowest(self, space: _Space) -> tuple[float, Phases]:
        """Lowest load factor in the basis, and its phases."""
        scan = space.scan()
        found = self.factors(scan)
        start = scan[np.argmin(found)]
        step = math.pi / _SCAN
        polished = minimize(
            lambda p: float(self.factors(p[None])[0]) if space.allows(tuple(p)) else math.inf,
            start,
            method="Nelder-Mead",
            options={
                "initial_simplex": start + step * np.array([[0, 0], [1, 0], [0, 1]]),
                "xatol": 1e-3,
                "fatol": 0.0,
                "maxiter": 60,
            },
        )
        x, y = (float(v) for v in polished.x)
        return float(polished.fun), (x, y)
