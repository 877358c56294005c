"""Strain energy of a mode by part, and whether the ribs move with the skin (general) or stay behind (local)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre

from ..mesh.mesh import family_of
from .content import skin_w
from .shapes import lagrange
from .shell import Shell, W

GENERAL = 0.5
"""Mean square of w on the roots of a family of ribs over that of the skin, above which a mode is general."""


@dataclass(frozen=True)
class EnergyContent:
    """Shares of the strain energy by part; `rib_motion`: mean square of w at the roots of a family of ribs over that of
    the skin; `general`: every family moves with the skin, always so without ribs."""

    shares: tuple[tuple[str, float], ...]
    rib_motion: tuple[tuple[str, float], ...]

    @property
    def general(self) -> bool:
        return all(ratio > GENERAL for _, ratio in self.rib_motion)

    @property
    def local(self) -> bool:
        return not self.general


def energy_shares(shell: Shell, mode: np.ndarray) -> EnergyContent:
    """Strain energy of a mode by part, without the work of a pressure, and whether the ribs move.

    A mode (unknowns, 2) of a sector that repeats with a phase is the sum of its two fields, as over the whole barrel.

    Let w be a part that the ribs share and one that is zero on them, not correlated, of mean squares a and b over the
    skin. Ribs that are not few to a wave sample the first fairly, so the mean square of w on their roots over that on
    the skin is a/(a + b): above GENERAL = 1/2 most of w^2 is motion of the ribs. Families count one by one (stringers,
    rings, all ribs of a grid): a panel that buckles between rings which stay round is local, as in the assessment.
    """
    fields = np.asarray(mode).reshape(shell.size, -1)
    each = np.sum([element_energies(shell, one) for one in fields.T], axis=0)
    total = float(each.sum())
    parts = [float(each[shell.mesh.part == i].sum()) for i in range(len(shell.mesh.parts))]
    shares = tuple((name, e / total if total > 0 else 0.0) for name, e in zip(shell.mesh.parts, parts, strict=True))
    families = [name for name in dict.fromkeys(map(family_of, shell.mesh.parts)) if name != "skin"]
    if not families:
        return EnergyContent(shares, ())
    field = skin_w(shell, fields)
    skin = float(field.weights @ np.sum(field.w**2, axis=1) / field.weights.sum())
    motion = ((name, _root_mean_square(shell, fields, name)) for name in families)
    return EnergyContent(shares, tuple((name, r / skin if skin > 0 else 0.0) for name, r in motion if r is not None))


def element_energies(shell: Shell, mode: np.ndarray) -> np.ndarray:
    """(e,) strain energies of the elements [J]; every distinct element is integrated once."""
    mesh, (first, kind) = shell.mesh, shell.alike
    n = mesh.elements.shape[1]
    order = np.argsort(kind, kind="stable")
    begin = np.searchsorted(kind[order], np.arange(len(first) + 1))
    values, energy = mode.reshape(-1, 6), np.empty(len(mesh.elements))
    for part, elements in shell.batches(first, 36 * n * n):
        K = elements.stiffness(shell.section_matrices[mesh.part[first[part]]])
        for k, matrix in zip(part, K.transpose(0, 1, 3, 2, 4).reshape(len(part), 6 * n, 6 * n), strict=True):
            alike = order[begin[k] : begin[k + 1]]
            d = values[mesh.elements[alike]].reshape(len(alike), -1)
            energy[alike] = np.sum((d @ matrix) * d, axis=1) / 2
    return energy


def _root_mean_square(shell: Shell, fields: np.ndarray, family: str) -> float | None:
    """Mean square of w along the lines where a family of ribs meets the skin; None where it does not."""
    mesh, p = shell.mesh, shell.mesh.order
    on_skin = np.zeros(len(mesh.points), dtype=bool)
    on_skin[mesh.nodes_of("skin")] = True
    ribs = mesh.of_part(family)
    at, corners = mesh.elements[ribs].reshape(-1, p + 1, p + 1), mesh.corners[ribs]
    numbers = np.concatenate([at[:, 0], at[:, p], at[:, :, 0], at[:, :, p]])
    ends = np.concatenate([corners[:, 0], corners[:, 1], corners[:, :, 0], corners[:, :, 1]])
    root = on_skin[numbers].all(axis=1)
    if not root.any():
        return None
    line = ends[root, 1] - ends[root, 0]
    size = np.hypot(line[:, 0], line[:, 1] * ends[root, 0, 2])
    s, g = legendre.leggauss(p + 1)
    square = 0.0
    for one in fields.T:
        w = one.reshape(-1, 6)[numbers[root], W] @ lagrange(p, s)[0].T
        square += float(size @ (w**2 @ g) / (2 * size.sum()))
    return square
