"""Which part of a barrel to mesh, how finely, and with which sections.

A barrel with a mirror plane through its axis is meshed by half, or by a smaller part between two such planes, and
solved twice, with modes even and odd about the planes. What is too large for that is meshed by one bay that repeats
with a phase, and solved wave by wave.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from ...core.errors import Refusal
from ...model.walls import SmearedWall
from .. import fe
from ..mesh import Extent, Plan, choose_divisions
from ..mesh.build import mesh_size
from ..mesh.shapes import WHOLE, Shape
from ..problem import Effort
from .harmonics import first_harmonics

MOST_UNKNOWNS = Effort().unknowns
BAY = Extent(sector=1)


@dataclass(frozen=True, eq=False)
class Part:
    """A mesh to be solved: plan, extent, angle [rad], the symmetries under which it is solved, the number that n is a
    multiple of, and the bays on the whole circumference. One bay that repeats with a phase has the `harmonics` for
    which it is solved from the start."""

    plan: Plan
    extent: Extent
    angle: float
    families: tuple[str, ...]
    multiple: int
    bays: int
    harmonics: tuple[int, ...] = ()


def half_wave(wall: SmearedWall, R: float) -> float:
    """Half-wave that elements are counted by [m]: pi (D R^2/A22*)^(1/4), 1.728 sqrt(R t) of a sheet.

    D is the geometric mean of D11* and D22*: a wall with stringers is stiff along and soft around, and elements as long
    as its axisymmetric half-wave are too wide for its waves around (measured: .8 % high at one to a half-wave).
    """
    flexibility = np.linalg.inv(wall.A)
    D = math.sqrt(wall.reduced_bending[0, 0] * wall.reduced_bending[1, 1])
    return math.pi * float((D * R**2 * flexibility[1, 1]) ** 0.25)


def planned(
    shape: Shape,
    wave: float,
    n: int,
    *,
    density: float | None = None,
    order: int = 4,
    most: int = MOST_UNKNOWNS,
    smooth: bool = False,
    waves: tuple[int, ...] = (),
) -> Part:
    """The largest part of a barrel that stays below `most` unknowns and holds modes of n waves around.

    Half the circumference holds every mode; a part of pi/k between two mirror planes holds those whose n is a multiple
    of k; k divides n where it can, else it is near n. A triangular grid has no mirror plane of this kind and is meshed
    whole. A `smooth` wall may be turned about its axis: its even modes stand for its odd ones. Where no such part is
    small enough, one bay that repeats is solved for these `waves` around.

    Raises
    ------
    Refusal
        When no such part is small enough.
    """

    plan = partial(choose_divisions, shape, wave, per_half_wave=density, order=order)

    def fits(extent: Extent) -> Plan | None:
        try:
            found = plan(extent=extent)
        except Refusal as refusal:
            if refusal.problems[0].code != "mesh-too-large":
                raise
            return None
        return found if found.size.unknowns <= most else None

    if not shape.mirrored:
        if (found := fits(WHOLE)) is not None:
            return Part(found, WHOLE, 2 * math.pi, ("all",), 1, shape.around)
        return _one_bay(plan(extent=BAY), shape, waves, most)
    fitting = [k for k in range(1, shape.around // 2 + 1) if shape.around % (2 * k) == 0]
    own = [k for k in fitting if n and n % k == 0] or [1]
    near = sorted((k for k in fitting if k not in own and k <= 2 * n), key=lambda k: abs(k - n))
    for k in (*own, *near[:2]):
        cut = "between" if shape.stringers is not None else "on"
        extent = Extent(sector=shape.around // (2 * k), cut=cut)
        if (found := fits(extent)) is not None:
            return Part(found, extent, math.pi / k, ("even",) if smooth else ("even", "odd"), k, shape.around)
    return _one_bay(plan(extent=BAY), shape, waves, most)


def bay_of(shape: Shape, part: Part, waves: tuple[int, ...], most: int) -> Part:
    """One bay of a larger part, with the same elements.

    Raises
    ------
    Refusal
        When its two fields are too large.
    """
    return _one_bay(replace(part.plan, size=mesh_size(shape, part.plan.divisions, BAY)), shape, waves, most)


def _one_bay(plan: Plan, shape: Shape, waves: tuple[int, ...], most: int) -> Part:
    """One bay that repeats, for these waves around and the harmonics that are always solved; refused where its two
    fields are more than `most` unknowns."""
    bays = shape.around
    if 2 * plan.size.unknowns > most:
        raise Refusal.of(
            "mesh-too-large",
            "a mesh with ribs as they are would be too large",
            "mesh",
            f"one bay of {bays}, two fields of {plan.size}",
            f"{most} unknowns",
            "allow more unknowns",
        )
    return Part(plan, BAY, 2 * math.pi / bays, ("all",), 1, bays, first_harmonics(waves, bays))


def skin_wave(wall: SmearedWall, R: float) -> float:
    """Axisymmetric half-wave of the bare skin [m]: the shortest a pocket can hold."""
    return half_wave(SmearedWall.of(wall.skin), R)


def sections_of(wall: SmearedWall) -> dict[str, fe.Section]:
    """Sections of skin and ribs."""
    skin = wall.skin
    found = {"skin": fe.sheet(skin.E, skin.nu, skin.t)}
    for rib in wall.ribs:
        name = {"stringers": "stringer", "rings": "ring"}.get(rib.name, "rib")
        found[name] = fe.sheet(rib.E, rib.nu, rib.thickness)
    return found
