"""Ribs as they are against the smeared wall of the same section, in the modes in which the ribs move with the skin.

Both carry uniform strain, so both have the same N_x and N_theta. The smeared twin is a shear-flexible mesh too, so that
what is left is the ribs: they shear, twist and stand apart. Blades divided into more and thinner ones keep area,
eccentricity and second moment per length around; their own torsion constant, of a thinner blade, is followed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from shellbuck import fe, ritz
from shellbuck.agree.meshing import half_wave, sections_of
from shellbuck.fe.content import energy_shares, skin_w, subspace_mac
from shellbuck.handbook.sections import rectangle_torsion
from shellbuck.mesh import Blades, Divisions, Extent, StraightRibs, build_mesh
from shellbuck.walls import RibFamily, Skin, SmearedWall

E, NU, R, T = 70e9, 0.3, 1.0, 4e-3
G = E / (2 * (1 + NU))


@dataclass(frozen=True)
class Barrel:
    """A barrel of one mode family: waves around n, and blades (count, depth, width); side 1 outside, -1 inside."""

    n: int
    length: float
    side: int
    stringers: tuple[int, float, float] | None = None
    rings: tuple[int, float, float] | None = None

    @property
    def wall(self) -> SmearedWall:
        """The section as meshed: every blade runs from the skin's middle to its free edge."""
        ribs = []
        for name, angle, size, blades in (("stringers", 0.0, 2 * math.pi * R, self.stringers),
                                          ("rings", 90.0, self.length, self.rings)):  # fmt: skip
            if blades is not None:
                count, depth, b = blades
                d, bays = depth + T / 2, count + (name == "rings")
                J = float(rectangle_torsion(min(b, d), max(b, d)))
                ribs.append(RibFamily(name, angle, size / bays, E, G, b * d, b * d**3 / 12, J, self.side * d / 2, NU,
                                      depth=d, thickness=b))  # fmt: skip
        return SmearedWall.of(Skin(E, NU, T), tuple(ribs))

    def _shape(self) -> StraightRibs:
        side = "outside" if self.side > 0 else "inside"
        stringers, rings = (None if b is None else Blades(*b, side) for b in (self.stringers, self.rings))
        return StraightRibs(R, self.length, T, stringers, rings, None if stringers else 2 * self.n)

    def solve(self, shape: StraightRibs, sections, divisions: Divisions, guess: float, want: int, even: bool):
        """Modes of the part pi/n between mirror planes."""
        cut = "between" if shape.stringers else "on"
        mesh = build_mesh(shape, divisions, Extent(sector=shape.around // (2 * self.n), cut=cut))
        shell = fe.Shell(mesh, {name: sections[name] for name in mesh.parts})
        sides = np.union1d(mesh.left, mesh.right)
        held = [6 * sides + k for k in ((1, 3, 5) if even else (0, 2, 4))]
        support = fe.Support(R, self.length, angle=math.pi / self.n, held=tuple(np.concatenate(held).tolist()))
        return shell, fe.buckle(shell, support, guess, want=want)

    def general(self, divisions: Divisions, even: bool = True, want: int = 4):
        """Shell, load and mode of the lowest mode in which every family of ribs moves."""
        shell, found = self.solve(self._shape(), sections_of(self.wall), divisions, self.smeared, want, even)
        for load, mode in zip(found.line_loads, found.modes.T, strict=True):
            if energy_shares(shell, mode).general:
                return shell, float(load), mode
        raise AssertionError(f"the {want} lowest modes are local")

    @property
    def smeared(self) -> float:
        """Load of the smeared mesh."""
        bare = StraightRibs(R, self.length, T, bays=2 * self.n)
        along = math.ceil(3 * self.length / half_wave(self.wall, R))
        section = {"skin": fe.smeared(self.wall.uncoupled)}
        guess = 0.6 * E * T * T / R
        return float(self.solve(bare, section, Divisions(around=3, along=along), guess, 1, True)[1].line_loads[0])


if __name__ == "__main__":
    import time
    for side in (1, -1):
        for per_wave in (6, 12, 24):
            for n in (6,):
                base = Barrel(n, 0.6, side, stringers=(per_wave * n, 0.03, 0.004 * 36 / (per_wave * n) * n / 6))
                t0 = time.time()
                ld = ritz.membrane(ritz.RitzBarrel(base.wall, R, base.length, ritz.Edges("SS3", "SS3")))
                sm = base.smeared
                for al in (4,):
                    try:
                        shell, load, mode = base.general(Divisions(around=2, along=al))
                    except AssertionError as e:
                        print(e); continue
                    print(side, per_wave, n, "ritz n", ld.n, sm / ld.line_load - 1, load / sm - 1, shell.size, time.time() - t0)
