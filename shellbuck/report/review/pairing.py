"""Modes of two runs paired by their shapes: likeness across runs, one sign for both."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from ...core.samples import Samples, pack
from .fields import Fields
from .identity import Name, pairs

LEAST = 0.5
"""Likeness from which two modes are one mode in two runs."""
_AROUND, _ALONG = 8, 61
_MOST = 720


@dataclass(frozen=True)
class Pairing:
    """Places of the modes of both runs that are one mode (None where a run has none), and the likeness of every pair of
    one load case and engine that was compared; empty where shapes could not be read and titles decide."""

    pairs: tuple[tuple[int | None, int | None], ...]
    likeness: Mapping[tuple[int, int], float]
    signs: Mapping[tuple[int, int], float]

    def alike(self, i: int | None, j: int | None) -> float | None:
        """Likeness of two modes; None where it is not known."""
        return self.likeness.get((i, j)) if i is not None and j is not None else None


def paired(first: Mapping[str, Any], second: Mapping[str, Any]) -> Pairing:
    """Pair the modes of two pages' review data.

    Of one load case and engine the likest pairs go together, modes of one title before others that are as alike; x is
    taken as a share of the length, and modes may be turned about the axis.
    """
    names = [[Name(m["id"], m["case"], m["title"]) for m in data["modes"]] for data in (first, second)]
    try:
        spectra = [_spectra(data) for data in (first, second)]
    except (KeyError, TypeError, ValueError, IndexError, AttributeError):  # a page of another version, or damaged
        return Pairing(tuple(pairs(*names)), {}, {})
    likeness, signs = {}, {}
    for i, a in enumerate(first["modes"]):
        for j, b in enumerate(second["modes"]):
            if (a["case"], a["engine"]) == (b["case"], b["engine"]):
                likeness[i, j], signs[i, j] = _alike(spectra[0][i], spectra[1][j])

    def rank(at: tuple[int, int]) -> tuple[float, ...]:
        a, b = first["modes"][at[0]], second["modes"][at[1]]
        return (a["title"] != b["title"], -round(likeness[at], 2), a["id"] != b["id"], *at)

    found: dict[int, int] = {}
    taken: set[int] = set()
    for i, j in sorted((at for at, value in likeness.items() if value >= LEAST), key=rank):
        if i not in found and j not in taken:
            found[i] = j
            taken.add(j)
    back = {j: i for i, j in found.items()}
    both = [(back.get(j), j) for j in range(len(second["modes"]))]
    return Pairing(tuple(both + [(i, None) for i in range(len(first["modes"])) if i not in found]), likeness, signs)


def _spectra(data: Mapping[str, Any]) -> list[np.ndarray]:
    """Of every mode the harmonics around of w at equal shares of the length, over their norm."""
    fields, found = Fields(data), []
    for mode in data["modes"]:
        w = fields.of(mode).grid(min(_AROUND * max(int(mode["n"]), 12), _MOST), _ALONG).w
        harmonics = np.fft.rfft(w, axis=1) / w.shape[1]
        found.append(harmonics / max(float(np.linalg.norm(harmonics)), 1e-300))
    return found


def _alike(a: np.ndarray, b: np.ndarray) -> tuple[float, float]:
    """Likeness of two modes at the best turn about the axis, and the sign of the second that fits as they stand."""
    count = min(a.shape[1], b.shape[1])
    product = (a[:, :count] * b[:, :count].conj()).sum(axis=0)
    # a harmonic 0 < n counts twice in the mean of a real field, in products and in norms alike but for n = 0
    weight = np.where(np.arange(count) == 0, 1.0, 2.0)
    norms = [float((np.where(np.arange(m.shape[1]) == 0, 1.0, 2.0) * np.abs(m) ** 2).sum()) for m in (a, b)]
    turned = np.fft.fft(weight * product, 16 * max(count, 1)).real
    scale = np.sqrt(norms[0] * norms[1])
    sign = -1.0 if float((weight * product.real).sum()) < 0 else 1.0
    return float(min(1.0, (np.abs(turned).max() / scale) ** 2)), sign


def with_one_sign(data: Mapping[str, Any], pairing: Pairing) -> dict[str, Any]:
    """The second run's data with the sign of every paired mode turned to fit its partner."""
    modes = list(data["modes"])
    for i, j in pairing.pairs:
        if i is not None and j is not None and pairing.signs.get((i, j), 1.0) < 0:
            modes[j] = _turned(modes[j])
    return {**data, "modes": modes}


_SHAPES: Sequence[str] = ("u", "v", "w", "twin_u", "twin_v", "twin_w", "displacement")


def _turned(mode: Mapping[str, Any]) -> dict[str, Any]:
    """A mode with the other sign, which is the same mode."""

    def other(samples: Mapping[str, Any]) -> dict[str, Any]:
        found = Samples(**{**samples, "shape": tuple(samples["shape"])})
        return asdict(pack(-found.array(), found.dtype))

    return {**mode, **{key: other(mode[key]) for key in _SHAPES if key in mode}}
