"""All margins of many designs of one pattern, the numbers of `assess`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from functools import cached_property
from itertools import islice

import numpy as np

from ..core.workers import PIECES_PER_WORKER, LocalWorkers, map_chunks, whole_from_one
from ..io.language.case_file import as_case
from ..model import Case
from ..model.allowables import with_allowables
from ..model.arrays import arrayed, read, refusals
from ..model.walls import bends, weigh
from .chain import found_rows
from .engines import Engines
from .keys import GENERAL
from .modes.ribs import slender_rings
from .state import State
from .statuses import FAILS, REFUSED, STATUSES, is_unknown

CHUNK = 8192
"""Designs worked on together: some tens of MB."""


@dataclass(frozen=True, eq=False)
class Batch:
    """Margins of N designs.

    Parameters
    ----------
    modes, keys, load_cases : tuple of str
        Titles of rows in the order of `assess`, the key of each row's failure mode, names of load cases.
    margins : numpy.ndarray
        (N, load cases, modes) the official margins of the rows; nan where `assess` gives the row no margin (not
        compressed, withheld, refused) or gives no result.
    statuses : numpy.ndarray
        (N, load cases, modes) int8: why a row has a margin or none, as an index into `statuses.STATUSES`, the words of
        `records.Status`. Every row of a design that the model or an engine refuses is refused.
    classical : numpy.ndarray
        (N, load cases) classical load of general instability without pressure [N/m]: the standard's equation for plain
        walls, else the lower of Donnell and Sanders; nan where it is withheld.
    thinness : numpy.ndarray
        (N, load cases) the largest R/t or R/t_e of a factor whose range ends there, 0 where there is none; beyond 1500
        the row is refused.
    mass_per_area : numpy.ndarray
        (N,) [kg/m^2], nan for designs that the model refuses.
    refused : numpy.ndarray
        (N,) bool: the model refuses the design, `assess` raises, or a row is refused.
    reasons : numpy.ndarray
        (N,) object: code of the first refusal, "" where there is none.
    idle : numpy.ndarray
        (N,) bool: a load case without any load, which leaves the design unchecked.
    edge_bending : numpy.ndarray
        (N,) object: "not checked" where `assess` holds the nonlinear prebuckled load against the general margin, which
        arrays do not work out: the margin here is that of factor times classical alone, and may be too high; else
        "not needed", "" for designs that the model refuses.
    """

    modes: tuple[str, ...]
    keys: tuple[str, ...]
    load_cases: tuple[str, ...]
    margins: np.ndarray
    statuses: np.ndarray
    classical: np.ndarray
    thinness: np.ndarray
    mass_per_area: np.ndarray
    refused: np.ndarray
    reasons: np.ndarray
    idle: np.ndarray
    edge_bending: np.ndarray

    @cached_property
    def unknown(self) -> np.ndarray:
        """Designs with a row that is refused, withheld or not covered (N,): nothing says that they hold."""
        return is_unknown(self.statuses).any(axis=(1, 2)) | self.refused

    @cached_property
    def fails(self) -> np.ndarray:
        """Designs with a negative margin (N,), whatever else is unknown about them."""
        return (self.statuses == FAILS).any(axis=(1, 2))

    @cached_property
    def holds(self) -> np.ndarray:
        """Designs of which every row holds or carries nothing, with something loaded in every load case (N,)."""
        return ~self.unknown & ~self.fails & ~self.idle

    @cached_property
    def smallest_known(self) -> np.ndarray:
        """Smallest of the margins that there are (N,); nan where there is none. Where `unknown`, the smallest margin is
        this or less."""
        least = np.fmin.reduce(self._flat, axis=1)
        return least if self._flat.shape[1] else np.full(self.refused.size, np.nan)

    @cached_property
    def smallest(self) -> np.ndarray:
        """Smallest margin of every design (N,); nan where there is none and where a row is unknown."""
        return np.where(self.unknown, np.nan, self.smallest_known)

    @cached_property
    def governing(self) -> np.ndarray:
        """Row of the smallest margin (N,): load case times number of modes plus mode; -1 where there is none or where
        a row is unknown."""
        return np.where(np.isnan(self.smallest), -1, self._least_row)

    def governing_row(self, i: int) -> tuple[str, str] | None:
        """Load case and mode of the smallest margin of design i."""
        return self._named(int(self.governing[i]))

    def known_row(self, i: int) -> tuple[str, str] | None:
        """Load case and mode of the smallest of the margins that design i has."""
        return self._named(-1 if np.isnan(self.smallest_known[i]) else int(self._least_row[i]))

    def status(self, i: int, load_case: str, mode: str) -> str:
        """Status of one row of design i in words."""
        return STATUSES[self.statuses[i, self.load_cases.index(load_case), self.modes.index(mode)]]

    @cached_property
    def _least_row(self) -> np.ndarray:
        return np.argmin(np.where(np.isnan(self._flat), np.inf, self._flat), axis=1)

    def _named(self, row: int) -> tuple[str, str] | None:
        return None if row < 0 else (self.load_cases[row // len(self.modes)], self.modes[row % len(self.modes)])

    @property
    def _flat(self) -> np.ndarray:
        return self.margins.reshape(self.margins.shape[0], -1)


def evaluate(case: Case, varied: Mapping[str, np.ndarray], *, workers: int = 1, chunk: int = CHUNK) -> Batch:
    """Margins of every load case and failure mode for many designs.

    Parameters
    ----------
    case : Case
        The template: everything that does not vary. Its edges and the height of its load are left out, see
        `Batch.edge_bending`.
    varied : mapping of str to numpy.ndarray
        Dotted field names of the case with their values in SI, all (N,): "barrel.skin_thickness",
        "wall.stringers.count", "load_cases.0.axial_force", "material.points.0.youngs_modulus" ...
    workers : int
        Processes that share the work; a script then starts it under ``if __name__ == "__main__"``.
    chunk : int
        Designs worked on together.

    Returns
    -------
    Batch
        The margins of `assess` of every design without edge bending (to rounding). What the model or `assess` refuses
        is refused here.

    Raises
    ------
    Refusal
        For a wall of given stiffness, a name that is no number of the case, arrays that are no designs, a pattern that
        no value can mend, or `workers` or `chunk` below 1.

    Examples
    --------
    >>> from shellbuck.model import Barrel, Factors, LoadCase, Material, MaterialPoint
    >>> from shellbuck.model.walls import PlainWall
    >>> metal = Material("metal", "example", 2800.0, 0.33, (MaterialPoint(294.0, 70e9, 400e6, 450e6, None, 380e6),))
    >>> load = LoadCase("flight", Factors(1.4, 1.1, "example"), axial_force=400e3)
    >>> case = Case(Barrel(1.5, 2.0, "closed", 2.6e-3, 2.5e-3), PlainWall(), (load,), metal)
    >>> found = evaluate(case, {"barrel.skin_thickness_minimum": np.array([1.5e-3, 2.5e-3, 2.7e-3])})
    >>> found.smallest.round(3), list(found.reasons)
    (array([-0.758, -0.118,    nan]), ['', '', 'skin-thickness-order'])
    """
    return joined(list(chunks(case, varied, chunk, workers)))


def chunks(case: Case, varied: Mapping[str, np.ndarray], size: int = CHUNK, workers: int = 1) -> Iterator[Batch]:
    """The same, some designs at a time, in order; memory stays flat when each part is used and dropped."""
    whole_from_one("chunk", size)
    whole_from_one("workers", workers)
    case = as_case(case)
    read(case, varied)
    jobs = ((case, part) for part in cut(varied, size))
    if workers == 1:
        yield from map(_part, jobs)
        return
    rounds = iter(lambda: list(islice(jobs, PIECES_PER_WORKER * workers)), [])
    with LocalWorkers(workers) as local:
        for parts in map_chunks(_part, rounds, local):
            yield from parts


def cut(varied: Mapping[str, np.ndarray], size: int = CHUNK) -> Iterator[dict[str, np.ndarray]]:
    """The varied fields in parts of `size` designs."""
    total = max((len(v) for v in varied.values()), default=1)
    for first in range(0, total, size):
        yield {name: np.asarray(values)[first : first + size] for name, values in varied.items()}


def joined(parts: list[Batch]) -> Batch:
    """Parts of one pattern put together."""
    return _combined(parts[0], lambda name: np.concatenate([getattr(part, name) for part in parts]))


def _combined(like: Batch, value: Callable[[str], np.ndarray]) -> Batch:
    """A batch of the same rows with arrays by the name of their field."""
    names = [f.name for f in fields(Batch) if isinstance(getattr(like, f.name), np.ndarray)]
    return replace(like, **{name: value(name) for name in names})


def _part(job: tuple[Case, dict[str, np.ndarray]]) -> Batch:
    case, varied = job
    fields, size = read(case, varied)
    reasons = np.full(size, "", dtype=object)
    with np.errstate(all="ignore"):  # masked designs may divide by anything
        for code, mask, _ in refusals(arrayed(case, fields), fields):
            reasons[np.broadcast_to(mask, (size,)) & (reasons == "")] = code
        keep = np.nonzero(reasons == "")[0]
        if keep.size:
            made = with_allowables(arrayed(case, fields, keep))
            return _spread(_designs(made, keep.size), keep, reasons)
        empty = _designs(with_allowables(case), 1)
    return _spread(empty, keep, reasons)


def _designs(case: Case, size: int) -> Batch:
    """Margins of designs that the model accepts."""
    engines = Engines(case, size=size)
    cases = []
    refused: list[tuple[str, np.ndarray]] = []
    idle = np.zeros(size, dtype=bool)
    for load in case.load_cases:
        state = State(case, load, engines)
        found = found_rows(state)
        idle |= state.idle
        refused += found.refusals()
        refused.append(("ring-slenderness", slender_rings(state)))
        filed = [row.filed(size) for _, row in found.rows]
        classical = next(row.classical for row in found.of(GENERAL))
        ranges = (np.broadcast_to(x, (size,)) for x in (classical, found.limit("thinness")))
        cases.append((*(np.stack(x, axis=-1) for x in zip(*filed, strict=True)), *ranges))
    margins, statuses, classical, thinness = zip(*cases, strict=True)
    margins, statuses, classical = np.stack(margins, axis=1), np.stack(statuses, axis=1), np.stack(classical, axis=-1)
    reasons = np.full(size, "", dtype=object)
    for code, mask in (*engines.failures, *refused):
        reasons[np.broadcast_to(mask, (size,)) & (reasons == "")] = code
    for _, mask in engines.failures:  # `assess` gives no result at all
        margins[mask], statuses[mask], classical[mask] = np.nan, REFUSED, np.nan
    return Batch(
        tuple(row.title for _, row in found.rows),
        tuple(mode.key for mode, _ in found.rows),
        tuple(load.name for load in case.load_cases),
        margins,
        statuses,
        classical,
        np.stack(thinness, axis=-1),
        np.array(np.broadcast_to(weigh(case).per_area, (size,)), dtype=float),
        reasons != "",
        reasons,
        idle,
        _edge_bending(case, engines, size),
    )


def _edge_bending(case: Case, engines: Engines, size: int) -> np.ndarray:
    bent = bends(case.barrel, State(case, case.load_cases[0], engines).wall)
    return np.array(np.broadcast_to(np.where(bent, "not checked", "not needed"), (size,)), dtype=object)


def _spread(part: Batch, keep: np.ndarray, reasons: np.ndarray) -> Batch:
    """Results of the designs `keep` among all designs; the others are refused for their reasons."""
    reasons[keep] = part.reasons[: keep.size]
    blank = {"statuses": REFUSED, "idle": False, "edge_bending": "", "refused": True, "reasons": ""}

    def wide(name: str) -> np.ndarray:
        values = getattr(part, name)
        full = np.full((reasons.size, *values.shape[1:]), blank.get(name, np.nan), dtype=values.dtype)
        full[keep] = values[: keep.size]
        return full

    return replace(_combined(part, wide), refused=reasons != "", reasons=reasons)
