"""What holds and stiffens a barrel at single stations: edges by what they hold, springs, rings as they are.

Some authors number the edge sets in the opposite sense, so the held quantities are stored.

A ring of centroid height z follows the wall: hoop strain b V + W/R + z k_theta, in-plane bending k_theta, out-of-plane
bending -(n/R_c)^2 u_c - W'/R_c and twist -(n/R_c) (W' + u_c/R_c), with u_c = U - z W' and R_c = R + z. Those two vanish
when the barrel tilts as a rigid body. Membrane prebuckling leaves a ring without force.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core.errors import Refusal
from ..model.barrel import HELD as EDGE_SETS
from ..model.barrel import holds_fast
from ..model.walls.doors import FINITE, NOT_BELOW_0, check_numbers


@dataclass(frozen=True)
class Springs:
    """Line springs along an end: forces per length and displacement.

    Parameters
    ----------
    u, v, w : float
        Axial, hoop, radial [N/m^2].
    rotation : float
        About the hoop direction, acting on w' [N].
    """

    u: float = 0.0
    v: float = 0.0
    w: float = 0.0
    rotation: float = 0.0

    def __post_init__(self) -> None:
        check_numbers(self, dict.fromkeys(("u", "v", "w", "rotation"), NOT_BELOW_0), "spring")

    @property
    def sprung(self) -> frozenset[str]:
        """The quantities with a spring, "w'" for the rotation."""
        return frozenset(q for q, k in zip(("u", "v", "w", "w'"), self.values, strict=True) if k > 0)

    @property
    def values(self) -> tuple[float, float, float, float]:
        return self.u, self.v, self.w, self.rotation

    @property
    def words(self) -> str:
        """The springs in words, empty without any."""
        units = {"u": "N/m^2", "v": "N/m^2", "w": "N/m^2", "rotation": "N"}
        named = [f"{q} {getattr(self, q):.4g} {unit}" for q, unit in units.items() if getattr(self, q) > 0]
        return "springs " + ", ".join(named) if named else ""


NO_SPRINGS = Springs()


@dataclass(frozen=True)
class Edges:
    """What is held at x = 0 (`start`) and x = L (`end`): names of EDGE_SETS, and line springs on what is not held."""

    start: str
    end: str
    start_springs: Springs = NO_SPRINGS
    end_springs: Springs = NO_SPRINGS

    def __post_init__(self) -> None:
        for name in (self.start, self.end):
            if name not in EDGE_SETS:
                raise Refusal.of("edge-set-unknown", "no such edge set", "edges", repr(name), ", ".join(EDGE_SETS))
        for place, held, springs in zip(("x = 0", "x = L"), self.held, self.springs, strict=True):
            if twice := held & springs.sprung:
                raise Refusal.of(
                    "edges-sprung-and-held",
                    "a quantity is held and has a spring too",
                    f"edges at {place}",
                    ", ".join(sorted(twice)),
                    way_out="leave the spring out, or name an edge set that does not hold it",
                )
        if not holds_fast(*(held | springs.sprung for held, springs in zip(self.held, self.springs, strict=True))):
            raise Refusal.of(
                "edges-free",
                "these edges leave the barrel a rigid motion",
                "edges",
                self.short,
                "beside a free end, an end that holds u or the slope",
            )

    @property
    def held(self) -> tuple[frozenset[str], frozenset[str]]:
        """Held quantities at the two ends."""
        return EDGE_SETS[self.start], EDGE_SETS[self.end]

    @property
    def springs(self) -> tuple[Springs, Springs]:
        """Springs at the two ends."""
        return self.start_springs, self.end_springs

    @property
    def short(self) -> str:
        """The names alone, "+ springs" where there are some."""
        names = [
            f"{name}{' + springs' if s.sprung else ''}"
            for name, s in zip((self.start, self.end), self.springs, strict=True)
        ]
        return names[0] if names[0] == names[1] else "/".join(names)

    @property
    def words(self) -> str:
        """The edges in words."""

        def said(name: str, springs: Springs) -> str:
            held = [q for q in ("u", "v", "w", "w'") if q in EDGE_SETS[name]]
            text = f"{name} ({', '.join(held) or 'nothing'} held)"
            return f"{text} with {springs.words}" if springs.sprung else text

        first, last = said(self.start, self.start_springs), said(self.end, self.end_springs)
        return f"both ends {first}" if first == last else f"x = 0: {first}; x = L: {last}"


@dataclass(frozen=True)
class HoopRing:
    """A ring at one station.

    Parameters
    ----------
    at : float
        Station x [m]; 0 and L are the ends.
    E, G : float
        Moduli [Pa].
    area : float
        [m^2].
    inertia : float
        Second moment for bending in the plane of the ring, about its own centroid [m^4].
    inertia_out : float
        Second moment for bending out of that plane [m^4].
    torsion : float
        Torsion constant [m^4].
    z : float
        Centroid above the skin middle, outward positive [m].
    """

    at: float
    E: float
    G: float
    area: float
    inertia: float
    inertia_out: float = 0.0
    torsion: float = 0.0
    z: float = 0.0

    def __post_init__(self) -> None:
        positive = dict.fromkeys(("E", "G", "area", "inertia", "inertia_out", "torsion"), NOT_BELOW_0)
        check_numbers(self, {**positive, "z": FINITE}, "ring")

    def energy(self, R: float, sanders: bool, tension: float = 0.0) -> np.ndarray:
        """(5, 4, 4) energy on the unknowns [u, v, w, w'] at the station, powers of b = n/R first.

        Parameters
        ----------
        R : float
            Middle radius of the skin [m].
        sanders : bool
        tension : float
            Hoop force from prebuckling [N].
        """
        curved = 1.0 / R if sanders else 0.0
        R_c, z = R + self.z, self.z
        ratio = R / R_c
        bend = {1: [0, curved, 0, 0], 2: [0, 0, 1, 0]}
        stretch = {0: [0, 0, 1 / R, 0], 1: [0, 1 + z * curved, 0, 0], 2: [0, 0, z, 0]}
        sideways = {0: [0, 0, 0, -1 / R_c], 2: [-(ratio**2), 0, 0, z * ratio**2]}
        twist = {1: [-ratio / R_c, 0, 0, -ratio * (1 - z / R_c)]}
        roll = {0: [0, curved, 0, 0], 1: [0, 0, 1, 0]}
        swing = {1: [ratio, 0, 0, -z * ratio]}
        out = np.zeros((5, 4, 4))
        for stiffness, strain in (
            (self.E * self.area, stretch),
            (self.E * self.inertia, bend),
            (self.E * self.inertia_out, sideways),
            (self.G * self.torsion, twist),
            (tension, roll),
            (tension, swing),
        ):
            for i, left in strain.items():
                for j, right in strain.items():
                    out[i + j] += stiffness * np.outer(left, right)
        return out

    @property
    def words(self) -> str:
        """The ring in words."""
        return f"ring at x = {self.at:g} m (E A = {self.E * self.area:.4g} N, E I = {self.E * self.inertia:.4g} N m^2)"
