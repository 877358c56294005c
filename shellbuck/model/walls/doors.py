"""What every engine asks of a wall, a barrel and modes before it computes: refused in the words of case files."""

from __future__ import annotations

import math
from collections.abc import Iterator
from numbers import Real
from typing import TYPE_CHECKING, Any

import numpy as np

from ...core.errors import Problem, Refusal

if TYPE_CHECKING:
    from .stiffness import SmearedWall

THEORIES = ("Donnell", "Sanders")
SYMMETRY = 1e-9
"""Largest difference across the diagonal of A, B or D over the largest entry, as in a case file."""


def refuse(*problems: Problem) -> None:
    """Raise the problems, if there are any."""
    if problems:
        raise Refusal(problems)


def check_theory(theory: object) -> None:
    """Refuse what is neither of the two shell theories.

    Raises
    ------
    Refusal

    Examples
    --------
    >>> check_theory("sanders")
    Traceback (most recent call last):
        ...
    shellbuck.core.errors.Refusal: theory: no such theory; got 'sanders'; allowed: Donnell, Sanders; write 'Sanders' ...
    """
    if theory not in THEORIES:
        near = next((name for name in THEORIES if str(theory).strip().lower() == name.lower()), "")
        raise Refusal.of(
            "theory-unknown",
            "no such theory",
            "theory",
            repr(theory),
            ", ".join(THEORIES),
            f"write {near!r}" if near else "",
        )


def check_stiffness(A: np.ndarray, B: np.ndarray, D: np.ndarray) -> None:
    """Refuse blocks of one wall that are not 3 by 3, finite and symmetric.

    Raises
    ------
    Refusal
    """
    refuse(*(problem for key, block in zip("ABD", (A, B, D), strict=True) for problem in _block(key, block)))


def _block(key: str, block: np.ndarray) -> Iterator[Problem]:
    if block.shape != (3, 3) or not np.isfinite(block).all():
        yield Problem("stiffness-shape", "three rows of three finite numbers are needed", key, f"shape {block.shape}")
    elif np.abs(block - block.T).max() > SYMMETRY * np.abs(block).max():
        i, j = (int(k) for k in np.unravel_index(np.argmax(np.abs(block - block.T)), (3, 3)))
        yield Problem(
            "stiffness-symmetry",
            "the block is not symmetric",
            key,
            f"{block[i, j]:.6g} at ({i + 1}, {j + 1}), {block[j, i]:.6g} at ({j + 1}, {i + 1})",
        )


def check_numbers(of: object, names: dict[str, tuple[float, float]], where: str) -> None:
    """Refuse numbers of a record outside their ranges; what is no single number (arrays of designs) is left alone.

    Parameters
    ----------
    of : object
    names : dict
        Attribute to its range, ends included: `ABOVE_0`, `NOT_BELOW_0`, `FINITE`, `POISSON`.
    where : str
        The record, for the message.

    Raises
    ------
    Refusal
    """
    problems = []
    for name, (low, high) in names.items():
        value = getattr(of, name)
        if not isinstance(value, Real):
            continue
        if not low <= value <= high:
            allowed = _range_words(low, high)
            problems.append(
                Problem("value-range", "the value is outside its range", f"{where}.{name}", f"{value:g}", allowed)
            )
    refuse(*problems)


_TINY = float(np.nextafter(0.0, 1.0))
_LARGE = float(np.finfo(float).max)
ABOVE_0 = (_TINY, _LARGE)
NOT_BELOW_0 = (0.0, _LARGE)
FINITE = (-_LARGE, _LARGE)
POISSON = (float(np.nextafter(-1.0, 0.0)), 0.5)


def _range_words(low: float, high: float) -> str:
    if (low, high) == FINITE:
        return "a finite number"
    floor = "above 0" if low == _TINY else "0 or more" if low == 0.0 else f"above {low:.3g}"
    return f"{floor} and finite" if high == _LARGE else f"{floor}, up to {high:g}"


def check_barrel(wall: SmearedWall, R: Any, L: Any) -> None:
    """Refuse a radius or length that is none, and ribs whose centroid lies on the axis or beyond it.

    Raises
    ------
    Refusal
    """
    problems = [
        Problem("value-range", f"the {name} is no length", key, f"{value!r}", "a finite number above 0")
        for name, key, value in (("middle radius", "R", R), ("length", "L", L))
        if not (isinstance(value, Real) and 0 < value < math.inf)
    ]
    if not problems:
        problems = [
            Problem(
                "rib-beyond-axis",
                "the centroid of a rib lies on the axis of the barrel or beyond it",
                rib.name,
                f"z = {rib.z:g} m at a middle radius of {R:g} m",
                "R + z above 0",
            )
            for rib in wall.ribs
            if isinstance(rib.z, Real) and not R + rib.z > 0
        ]
    refuse(*problems)


def check_definite(
    wall: SmearedWall, way_out: str = "check the signs and the order x, theta, x-theta of A, B and D"
) -> None:
    """Refuse a 6x6 that is not positive definite.

    Raises
    ------
    Refusal
    """
    if not wall.positive_definite:
        raise Refusal.of("stiffness-indefinite", "the 6x6 stiffness is not positive definite", "wall", way_out=way_out)


def check_modes(m: Any, n: Any) -> None:
    """Refuse wave numbers that are no whole numbers, m below 1, n below 0, and empty arrays.

    Raises
    ------
    Refusal

    Examples
    --------
    >>> check_modes([1, 2], 0)
    >>> check_modes(0.5, 3)
    Traceback (most recent call last):
        ...
    shellbuck.core.errors.Refusal: m: ...
    """
    problems = []
    for key, what, least, values in (("m", "half-waves", 1, m), ("n", "waves around", 0, n)):
        found = np.asarray(values)
        allowed = f"{least}, {least + 1}, {least + 2} ..."
        if found.size == 0:
            problems.append(Problem("array-empty", "an array without entries", key, "0 entries", "at least one"))
        elif not (np.issubdtype(found.dtype, np.number) and np.isrealobj(found)):
            problems.append(Problem("mode-number", f"a number of {what} is a whole number", key, repr(values), allowed))
        else:
            bad = ~((found >= least) & (found < np.inf) & (found == np.floor(found)))
            if bad.any():
                first = found[bad].flat[0] if found.ndim else found
                problems.append(
                    Problem("mode-number", f"a number of {what} is a whole number", key, f"{float(first):g}", allowed)
                )
    refuse(*problems)
