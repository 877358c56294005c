"""The barrel: radius, length between rigid supports, skin, ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

from ..core.errors import Problem
from .checked import Checked, Quantity
from .rules import Rule, Rules
from .welds import WeldLands

if TYPE_CHECKING:
    from .demand import BareBarrel

EdgeSet = Literal["SS1", "SS2", "SS3", "SS4", "C1", "C2", "C3", "C4", "FREE"]
"""SS1 holds w; SS2 w, u; SS3 w, v; SS4 w, u, v; C1 to C4 the slope w' too; FREE nothing."""


LOAD_HEIGHTS = ("skin middle", "wall centroid")
"""Words for the height of the axial load: 0, and where it leaves a free wall straight."""

LoadHeight = Annotated[float | str, Quantity("length", -10.0, 10.0, words=LOAD_HEIGHTS)]


def holds_fast(start: frozenset[str], end: frozenset[str]) -> bool:
    """Whether two ends that grip these quantities leave no rigid motion of n = 1 (shift across the axis, tilt)."""
    sideways = [bool(grip & {"v", "w"}) for grip in (start, end)]
    return any(sideways) and (all(sideways) or bool((start | end) & {"u", "w'"}))


HELD: dict[str, frozenset[str]] = {
    "SS1": frozenset({"w"}),
    "SS2": frozenset({"w", "u"}),
    "SS3": frozenset({"w", "v"}),
    "SS4": frozenset({"w", "u", "v"}),
    "C1": frozenset({"w", "w'"}),
    "C2": frozenset({"w", "w'", "u"}),
    "C3": frozenset({"w", "w'", "v"}),
    "C4": frozenset({"w", "w'", "u", "v"}),
    "FREE": frozenset(),
}
"""What every edge set holds: axial u, hoop v, radial w, slope w'."""


@dataclass(frozen=True)
class EdgeSprings(Checked):
    """Line springs along an end, on what its edge set does not hold; 0 is no spring.

    Parameters
    ----------
    axial, hoop, radial : float
        Force per length and displacement [N/m^2].
    rotation : float
        Moment per length and slope [N].
    """

    axial: Annotated[float, Quantity("line spring", 0.0, 1e16)] = 0.0
    hoop: Annotated[float, Quantity("line spring", 0.0, 1e16)] = 0.0
    radial: Annotated[float, Quantity("line spring", 0.0, 1e16)] = 0.0
    rotation: Annotated[float, Quantity("rotation spring", 0.0, 1e16)] = 0.0

    @property
    def sprung(self) -> frozenset[str]:
        """Names of the quantities with a spring."""
        values = {"u": self.axial, "v": self.hoop, "w": self.radial, "w'": self.rotation}
        return frozenset(name for name, value in values.items() if value > 0)


@dataclass(frozen=True)
class SingleRing(Checked):
    """A ring that is not smeared: at an end or heavy between. It acts in the edge loads only and has no mass here.

    Parameters
    ----------
    station : float
        From x = 0 [m]; 0 and the barrel's length are the ends.
    area, inertia : float
        Section area [m^2], second moment for bending in the plane of the ring about its own centroid [m^4].
    side : {"inside", "outside"}
        Of the skin.
    eccentricity : float
        Distance of its centroid from the skin middle [m].
    inertia_out_of_plane, torsion_constant : float
        [m^4]; 0 neglects them.
    youngs_modulus : float or None
        [Pa]; None takes the barrel's material.
    """

    station: Annotated[float, Quantity("length", 0.0, 1000.0)]
    area: Annotated[float, Quantity("area", 1e-10, 1.0)]
    inertia: Annotated[float, Quantity("second moment of area", 0.0, 1.0)]
    side: Literal["inside", "outside"]
    eccentricity: Annotated[float, Quantity("length", 0.0, 10.0)]
    inertia_out_of_plane: Annotated[float, Quantity("second moment of area", 0.0, 1.0)] = 0.0
    torsion_constant: Annotated[float, Quantity("second moment of area", 0.0, 1.0)] = 0.0
    youngs_modulus: Annotated[float, Quantity("stress", 1e8, 1e13)] | None = None


def end_rules(barrel: Barrel | BareBarrel) -> Rules:
    """What is refused of edge sets and of the height of the load."""
    if barrel.edges_far is not None and barrel.edges is None:
        yield _alone("edges_far")
    height = barrel.load_height
    if height is not None and not isinstance(height, str):
        yield Rule(
            "load-height-far",
            abs(height) > barrel.radius / 5,
            lambda: (
                "the axial load enters far from the wall",
                "load_height",
                f"{height * 1e3:g} mm",
                f"at most a fifth of the radius, {barrel.radius * 200:g} mm, to either side",
                "give the height above the skin middle, outward positive",
            ),
        )


def _alone(key: str) -> Problem:
    return Problem("edges-pair", f"{key} without edges", key, way_out="give edges too")


@dataclass(frozen=True)
class Barrel(Checked):
    """A circular cylinder between two supports that hold it round.

    Parameters
    ----------
    radius : float
        [m], measured to `radius_is`.
    length : float
        Distance between the supports [m].
    ends : {"closed", "open"}
        Closed ends pass the pressure thrust pi R^2 p through the wall; open ends do not.
    skin_thickness, skin_thickness_minimum : float or None
        Nominal and minimum skin thickness [m]. The minimum decides stability and strength, the nominal mass.
        Only a wall of given stiffness may leave them out.
    radius_is : {"skin middle", "inner", "outer"}
        Which surface `radius` is measured to; inner and outer mean the faces of the nominal skin.
    edges, edges_far : str or None
        What the supports hold, by edge set, at x = 0 and x = L (the same when `edges_far` is None). Given, the run
        shows what these edges do to the perfect barrel; the margins stay with the simply supported classical load.
    edge_springs, edge_springs_far : EdgeSprings or None
        Springs at x = 0 and x = L on what `edges` do not hold (the same when `edge_springs_far` is None).
    single_rings : tuple of SingleRing
        Rings at the ends or between that are not smeared.
    load_height : {"skin middle", "wall centroid"}, float or None
        Where the axial load enters the ends: a height above the skin middle [m], outward positive, or a word for it. It
        matters for walls with ribs on one side, whose edges it bends. None is the skin middle, and the verdict says so.
    weld_lands : WeldLands or None
        Thick strips along the axis in which the plates are welded together.
    edge_strength : bool
        Judge the stress of skin and ribs that bulge and bend beside the named edges in rows of strength; shown beside
        the margins otherwise.
    """

    radius: Annotated[float, Quantity("length", 0.01, 100.0)]
    length: Annotated[float, Quantity("length", 0.01, 1000.0)]
    ends: Literal["closed", "open"]
    skin_thickness: Annotated[float, Quantity("length", 1e-5, 1.0)] | None = None
    skin_thickness_minimum: Annotated[float, Quantity("length", 1e-5, 1.0)] | None = None
    radius_is: Literal["skin middle", "inner", "outer"] = "skin middle"
    edges: EdgeSet | None = None
    edges_far: EdgeSet | None = None
    edge_springs: EdgeSprings | None = None
    edge_springs_far: EdgeSprings | None = None
    single_rings: tuple[SingleRing, ...] = ()
    load_height: LoadHeight | None = None
    weld_lands: WeldLands | None = None
    edge_strength: bool = False

    def rules(self) -> Rules:
        t, t_min = self.skin_thickness, self.skin_thickness_minimum
        if (t is None) != (t_min is None):
            missing = "skin_thickness" if t is None else "skin_thickness_minimum"
            yield Problem(
                "skin-thickness-pair",
                "nominal and minimum skin thickness go together",
                missing,
                way_out=f"give {missing} too (the same value where the drawing has no tolerance)",
            )
        elif t is not None:
            yield Rule(
                "skin-thickness-order",
                t_min > t,
                lambda: (
                    "the minimum skin thickness is larger than the nominal",
                    "skin_thickness_minimum",
                    f"{t_min * 1e3:g} mm",
                    f"at most {t * 1e3:g} mm",
                ),
            )
        yield from end_rules(self)
        yield from self._edge_rules()
        if self.weld_lands is not None:
            if t is None:
                way_out = "give skin_thickness and skin_thickness_minimum"
                yield Problem("weld-land-thickness", "weld lands need a skin", "weld_lands", way_out=way_out)
            elif t_min is not None:
                yield from self.weld_lands.rules()
                yield from self.weld_lands.on(self.middle_radius, t, t_min)
        if t is None and self.radius_is != "skin middle":
            yield Problem(
                "radius-reference",
                "without a skin thickness the radius must be that of the skin middle",
                "radius_is",
                self.radius_is,
                "skin middle",
            )

    def _edge_rules(self) -> Rules:
        for key in ("edge_springs", "edge_springs_far", "single_rings", "edge_strength"):
            if getattr(self, key) and self.edges is None:
                yield _alone(key)
        for i, ring in enumerate(self.single_rings):
            yield from self._ring_rules(ring, f"single_rings.{i}")
        if self.edges is None:
            return
        ends = (self.edges, self.edges_far or self.edges)
        grips = []
        for name, springs, key in zip(ends, self.springs, ("edge_springs", "edge_springs_far"), strict=True):
            sprung = springs.sprung if springs else frozenset()
            if twice := HELD[name] & sprung:
                yield Problem(
                    "edges-sprung-and-held",
                    "a quantity is held and has a spring too",
                    key,
                    ", ".join(sorted(twice)),
                    f"{name} holds {', '.join(sorted(HELD[name]))}",
                    "leave the spring out or name another edge set",
                )
            grips.append(HELD[name] | sprung)
        if not holds_fast(*grips):
            what = "with both ends free the barrel is not held" if set(ends) == {"FREE"} else "the barrel can tilt"
            yield Problem(
                "edges-free", what, "edges", "/".join(ends), "beside a free end, an end that holds u or the slope"
            )

    def _ring_rules(self, ring: SingleRing, where: str) -> Rules:
        yield Rule(
            "rib-beyond-axis",
            (ring.eccentricity >= self.middle_radius) & (ring.side == "inside"),
            lambda: (
                "the centroid of a ring lies on the axis of the barrel or beyond it",
                f"{where}.eccentricity",
                f"{ring.eccentricity:g} m",
                f"below the middle radius of {self.middle_radius:g} m",
            ),
        )
        yield Rule(
            "ring-outside",
            ring.station > self.length,
            lambda: (
                "a ring stands outside the barrel",
                f"{where}.station",
                f"{ring.station:g} m",
                f"0 to {self.length:g} m",
            ),
        )

    @property
    def springs(self) -> tuple[EdgeSprings | None, EdgeSprings | None]:
        """Springs at x = 0 and x = L."""
        return self.edge_springs, self.edge_springs_far or self.edge_springs

    @property
    def middle_radius(self) -> float:
        """Radius of the (nominal) skin mid-surface [m]; every formula uses it."""
        half = 0.0 if self.skin_thickness is None else self.skin_thickness / 2
        return self.radius + {"skin middle": 0.0, "inner": half, "outer": -half}[self.radius_is]

    @property
    def closed(self) -> bool:
        """True when the ends pass the pressure thrust through the wall."""
        return self.ends == "closed"
