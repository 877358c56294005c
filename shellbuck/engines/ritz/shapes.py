"""Mode shapes along the axis and where their energy is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.fft import dst

from ...core.records import ModeShape, PrebuckledShape
from ...model.walls import SmearedWall
from .barrel import RitzBarrel
from .basis import KINDS
from .energies import Prestress, Strains
from .operators import Operators
from .prebuckling import Prebuckled

_DIGITS = 6
_SERIES_POINTS = 2048


@dataclass(frozen=True, eq=False)
class ModeRecorder:
    """Records the modes of one barrel under one prestress of the fixed loads; what they share is built once."""

    barrel: RitzBarrel
    prestress: Prestress

    @cached_property
    def strains(self) -> Strains:
        return Strains(self.barrel.R, self.barrel.theory == "Sanders", self.prestress.beta)

    @cached_property
    def parts(self) -> dict[str, np.ndarray]:
        """6x6 stiffnesses that add up to the wall's, by name."""
        return _parts(self.barrel.wall)

    def record(self, operators: Operators, n: int, line_load: float, x: np.ndarray) -> ModeShape:
        """Record of one mode.

        Parameters
        ----------
        operators : Operators
            Of harmonic n, in which x (unknowns,) was found.
        n : int
        line_load : float
            [N/m]
        x : numpy.ndarray
        """
        barrel = self.barrel
        _, _, size = barrel.pieces.numbering()
        families = np.zeros((2, size))
        families[:, operators.pattern.free] = operators.family(x)
        if operators.doubled:
            families = _turned(barrel, families)
        stations, first = barrel.pieces.profile(families[0])
        _, second = barrel.pieces.profile(families[1])
        joined = operators.doubled
        peak = np.sqrt(first[2] ** 2 + second[2] ** 2)
        at = int(np.argmax(peak))
        size_w = peak[at] if peak[at] > 0 else np.abs(first).max()
        scale = (1.0 if joined or first[2][at] >= 0 else -1.0) / size_w
        half_waves, share = _half_waves(stations, first[2])
        twin = [_rounded(scale * row) for row in second] if joined else [(), (), ()]
        return ModeShape(
            n,
            line_load,
            half_waves,
            share,
            _energy_shares(self, n, families),
            _rounded(stations),
            *(_rounded(scale * row) for row in first),
            *twin,
        )


def prebuckled_shape(barrel: RitzBarrel, state: Prebuckled) -> PrebuckledShape:
    """Record of the axisymmetric state."""
    return PrebuckledShape(
        _rounded(barrel.pieces.stations.ravel()),
        _rounded(state.deflection.ravel()),
        _rounded(state.prestress.N_theta.ravel()),
    )


def _rounded(values: np.ndarray) -> tuple[float, ...]:
    """Six significant digits of the largest: records stay small."""
    top = np.abs(values).max(initial=0.0)
    if top == 0:
        return tuple(np.zeros(values.size).tolist())
    step = 10.0 ** (np.floor(np.log10(top)) - _DIGITS + 1)
    return tuple(float(f"{v:.9g}") for v in np.round(values / step) * step)


def _turned(barrel: RitzBarrel, families: np.ndarray) -> np.ndarray:
    """The same double mode turned about the axis so that the first family holds the peak of w."""
    w = [barrel.pieces.profile(f)[1][2] for f in families]
    at = int(np.argmax(w[0] ** 2 + w[1] ** 2))
    angle = np.arctan2(w[1][at], w[0][at])
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    return turn @ families


def _half_waves(x: np.ndarray, w: np.ndarray) -> tuple[int, float]:
    """Axial half-wave number of the largest sine term of w, and its share of w^2."""
    even = np.interp(np.linspace(x[0], x[-1], _SERIES_POINTS + 1), x, w)
    terms = dst(even[1:-1], type=1) / _SERIES_POINTS
    whole = 2 * float((even**2).mean())
    power = terms**2
    return int(np.argmax(power)) + 1, float(min(1.0, power.max() / whole)) if whole > 0 else 0.0


def _energy_shares(recorder: ModeRecorder, n: int, families: np.ndarray) -> tuple[tuple[str, float], ...]:
    """Shares of the energy by skin, ribs, rings, springs and hoop prestress."""
    barrel, prestress, strains = recorder.barrel, recorder.prestress, recorder.strains
    pieces, b = barrel.pieces, n / barrel.R
    numbers, ends, _ = pieces.numbering()
    local = (families[0] - 1j * families[1])[numbers].reshape(pieces.count, 3, -1)
    values = np.stack(
        [
            np.einsum("edq,ed->eq", pieces.functions[kind], local[:, field])
            for kind, field in zip(KINDS, (0, 0, 1, 1, 2, 2, 2), strict=True)
        ]
    )
    powers = b ** np.arange(3)

    def amplitude(rows: np.ndarray) -> np.ndarray:
        return np.tensordot(np.tensordot(powers[: len(rows)], rows, 1), values, 1)

    strain = amplitude(strains.plain) + strains.beta * amplitude(strains.by_slope)
    if n:
        strain[[2, 5]] *= -1j  # shear and twist stand a quarter wave beside the rest
    dx = pieces.functions["dx"]

    def energy(C: np.ndarray) -> float:
        return float(np.einsum("seq,st,teq,eq->", strain.conj(), C, strain, dx).real)

    found = {name: energy(C) for name, C in recorder.parts.items()}
    hoop = np.abs(amplitude(strains.hoop_rotation)) ** 2
    if barrel.theory == "Sanders":
        hoop = hoop + np.abs(amplitude(strains.normal_rotation)) ** 2
    found["hoop prestress"] = float((hoop * prestress.N_theta * dx).sum())
    at = [np.array([families[:, ends[q][i]] for q in ("u", "v", "w", "w'")]) for i in (0, 1)]
    found["springs"] = sum(
        float((np.array(s.values)[:, None] * values**2).sum())
        for s, values in zip(barrel.edges.springs, at, strict=True)
    )
    found["rings"] = _ring_energy(barrel, prestress, b, families, numbers)
    total = sum(found.values())
    return tuple((name, round(value / total, 6)) for name, value in found.items() if value != 0)


def _ring_energy(
    barrel: RitzBarrel, prestress: Prestress, b: float, families: np.ndarray, numbers: np.ndarray
) -> float:
    nf, total = barrel.degree + 1, 0.0
    left, right = np.array([0, nf, 2 * nf, 2 * nf + 1]), np.array([nf - 1, 2 * nf - 1, 3 * nf - 2, 3 * nf - 1])
    forces = prestress.rings or (0.0,) * len(barrel.rings)
    for ring, force in zip(barrel.rings, forces, strict=True):
        k, at = barrel.beside(ring, left, right)
        block = np.tensordot(b ** np.arange(5), ring.energy(barrel.R, barrel.theory == "Sanders", force), 1)
        values = families[:, numbers[k][at]]
        total += float(np.einsum("fi,ij,fj->", values, block, values))
    return total


def _parts(wall: SmearedWall) -> dict[str, np.ndarray]:
    """6x6 stiffnesses that add up to the wall's, by name."""
    zero, blank = np.zeros((3, 3)), np.zeros((6, 6))

    def only(i: int, j: int, matrix: np.ndarray) -> np.ndarray:
        out = blank.copy()
        out[3 * i : 3 * i + 3, 3 * j : 3 * j + 3] = matrix
        return out

    whole = wall.matrix
    if wall.skin is None:
        coupling = np.block([[zero, wall.B], [wall.B, zero]])
        return {"membrane": only(0, 0, wall.A), "bending": only(1, 1, wall.D), "coupling": coupling}
    skin = SmearedWall.of(wall.skin)
    return {"skin membrane": only(0, 0, skin.A), "skin bending": only(1, 1, skin.D), "ribs": whole - skin.matrix}
