"""Membrane resultants at the integration points, and loads on the surface."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from .shell import Shell

SKIN = ("skin",)


def membrane_resultants(shell: Shell, d: np.ndarray) -> np.ndarray:
    """N = A e + B k of a displacement field.

    Parameters
    ----------
    shell : Shell
    d : numpy.ndarray
        (unknowns,) [m], [rad].

    Returns
    -------
    numpy.ndarray
        (e, q, 3) at the integration points [N/m], order 11, 22, 12 of the surface frame, tension positive.
    """
    mesh = shell.mesh
    values = d.reshape(-1, 6)
    C = shell.section_matrices[:, :3, :6]
    N = np.empty((len(mesh.elements), (mesh.order + 1) ** 2, 3))
    for part, elements in shell.batches(np.arange(len(N)), 2 * 162 * N.shape[1]):
        strains = elements.strains(values[mesh.elements[part]])
        N[part] = np.einsum("eij,eqj->eqi", C[mesh.part[part]], strains)
    return N


def _rib_lines(shell: Shell, ribs: np.ndarray) -> Iterator[tuple[np.ndarray, ...]]:
    """Of the ribs `ribs` (k,), a few at a time: their numbers, strain along the rib per strain of the barrel (e, q, 3),
    resultant in the frame per force along the rib (e, q, 3), area (e, q)."""
    for part, elements in shell.batches(ribs, 100 * (shell.mesh.order + 1) ** 2):
        s = elements.surface
        line = np.cross(s.normal, s.directions[:, :, 2])
        size = np.linalg.norm(line, axis=-1, keepdims=True)
        if size.min() < 0.5:
            raise ValueError("a rib that lies in the skin's surface has no line along which it follows")
        line /= size
        a, b = np.moveaxis(np.einsum("eqaj,eqj->eqa", s.frame, line), -1, 0)
        c, q = np.moveaxis(np.einsum("eqaj,eqj->eqa", s.directions[:, :, :2], line), -1, 0)
        yield ribs[part], np.stack([c * c, q * q, c * q], -1), np.stack([a * a, b * b, a * b], -1), s.area


def _sheet_modulus(shell: Shell) -> np.ndarray:
    """(parts,) stiffness along one direction with nothing across, E t [N/m]."""
    A = shell.section_matrices[:, :3, :3]
    return A[:, 0, 0] - A[:, 0, 1] ** 2 / A[:, 1, 1]


def uniform_resultants(shell: Shell, strain: np.ndarray, skin: tuple[str, ...] = SKIN) -> np.ndarray:
    """Resultants when the whole barrel has one membrane strain and does not bend.

    The skin follows with all its strains. A rib follows with the strain along its line (the direction of its surface
    that is not radial), and nothing acts across: N = E t e_rib along, zero across.

    Parameters
    ----------
    shell : Shell
    strain : numpy.ndarray
        (3,) e_x, e_theta, engineering shear.
    skin : tuple of str
        Parts that count as skin.

    Returns
    -------
    numpy.ndarray
        (e, q, 3) [N/m].
    """
    mesh = shell.mesh
    strain = np.asarray(strain, dtype=float)
    q = (mesh.order + 1) ** 2
    N = np.repeat((shell.section_matrices[mesh.part, :3, :3] @ strain)[:, None], q, axis=1)
    modulus = _sheet_modulus(shell)
    ribs = np.setdiff1d(np.arange(len(N)), mesh.of_part(*skin))
    for some, along, resultant, _ in _rib_lines(shell, ribs):
        N[some] = (modulus[mesh.part[some], None] * (along @ strain))[..., None] * resultant
    return N


def uniform_stiffness(shell: Shell, skin: tuple[str, ...] = SKIN) -> np.ndarray:
    """Membrane stiffness of skin and ribs under one strain without bending, per area of the skin: (3, 3) [N/m]."""
    mesh = shell.mesh
    total, area = np.zeros((3, 3)), 0.0
    on_skin = mesh.of_part(*skin)
    for part, elements in shell.batches(on_skin, 100 * (mesh.order + 1) ** 2):
        each = elements.surface.area.sum(axis=1)
        total += np.einsum("e,eij->ij", each, shell.section_matrices[mesh.part[on_skin[part]], :3, :3])
        area += each.sum()
    modulus = _sheet_modulus(shell)
    for some, along, _, weight in _rib_lines(shell, np.setdiff1d(np.arange(len(mesh.elements)), on_skin)):
        total += np.einsum("e,eq,eqi,eqj->ij", modulus[mesh.part[some]], weight, along, along)
    return total / area


def surface_load(shell: Shell, parts: tuple[str, ...], traction: np.ndarray) -> np.ndarray:
    """Nodal forces of a uniform dead traction on some parts.

    Parameters
    ----------
    shell : Shell
    parts : tuple of str
    traction : numpy.ndarray
        (3,) force per area in space [Pa].

    Returns
    -------
    numpy.ndarray
        (unknowns,) [N].
    """
    return _load(shell, parts, np.asarray(traction, dtype=float))


def pressure_load(shell: Shell, parts: tuple[str, ...] = SKIN) -> np.ndarray:
    """Nodal forces of unit dead pressure, normal to the surface and outward positive: (unknowns,) [N/Pa].

    Outward is the side of the radial direction, however the elements are numbered.
    """
    return _load(shell, parts, None)


def _load(shell: Shell, parts: tuple[str, ...], traction: np.ndarray | None) -> np.ndarray:
    mesh, f = shell.mesh, np.zeros((len(shell.mesh.points), 6))
    loaded = mesh.of_part(*parts)
    for part, elements in shell.batches(loaded, 100 * (mesh.order + 1) ** 2):
        s = elements.surface
        if traction is None:
            outward = np.sign(np.sum(s.normal * s.directions[:, :, 2], -1))
            force = s.normal * (s.area * outward)[..., None]
        else:
            force = s.area[..., None] * traction
        in_space = np.einsum("qn,eqc->enc", elements.table.shape[:, 0], force)
        nodal = np.einsum("endc,enc->end", elements.directions, in_space)
        np.add.at(f[:, :3], mesh.elements[loaded[part]], nodal)
    return f.ravel()
