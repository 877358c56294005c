"""The barrel: radius, length between rigid supports, skin, ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

from ..errors import Problem
from .checked import Checked, Quantity

EdgeSet = Literal["SS1", "SS2", "SS3", "SS4", "C1", "C2", "C3", "C4", "FREE"]
"""SS1 holds w; SS2 w, u; SS3 w, v; SS4 w, u, v; C1 to C4 the slope w' too; FREE nothing."""


TILTING = ("SS1", "SS3")
"""Edge sets about which a barrel with its other end free turns as a rigid body."""


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
    """

    radius: Annotated[float, Quantity("length", 0.01, 100.0)]
    length: Annotated[float, Quantity("length", 0.01, 1000.0)]
    ends: Literal["closed", "open"]
    skin_thickness: Annotated[float, Quantity("length", 1e-5, 1.0)] | None = None
    skin_thickness_minimum: Annotated[float, Quantity("length", 1e-5, 1.0)] | None = None
    radius_is: Literal["skin middle", "inner", "outer"] = "skin middle"
    edges: EdgeSet | None = None
    edges_far: EdgeSet | None = None

    def cross_problems(self) -> Iterator[Problem]:
        t, t_min = self.skin_thickness, self.skin_thickness_minimum
        if (t is None) != (t_min is None):
            missing = "skin_thickness" if t is None else "skin_thickness_minimum"
            yield Problem(
                "skin-thickness-pair", "nominal and minimum skin thickness go together", missing,
                way_out=f"give {missing} too (the same value where the drawing has no tolerance)",
            )
        elif t is not None and t_min > t:
            yield Problem(
                "skin-thickness-order", "the minimum skin thickness is larger than the nominal",
                "skin_thickness_minimum", f"{t_min * 1e3:g} mm", f"at most {t * 1e3:g} mm",
            )
        if self.edges_far is not None and self.edges is None:
            yield Problem("edges-pair", "edges_far without edges", "edges_far", way_out="give edges too")
        ends = (self.edges, self.edges_far or self.edges)
        if "FREE" in ends and set(ends) <= {"FREE", *TILTING}:
            what = "with both ends free the barrel is not held" if set(ends) == {"FREE"} else "the barrel can tilt"
            yield Problem(
                "edges-free", what, "edges", "/".join(ends), "beside a free end, an end that holds u or the slope",
            )
        if t is None and self.radius_is != "skin middle":
            yield Problem(
                "radius-reference", "without a skin thickness the radius must be that of the skin middle",
                "radius_is", self.radius_is, "skin middle",
            )

    @property
    def middle_radius(self) -> float:
        """Radius of the (nominal) skin mid-surface [m]; every formula uses it."""
        half = 0.0 if self.skin_thickness is None else self.skin_thickness / 2
        return self.radius + {"skin middle": 0.0, "inner": half, "outer": -half}[self.radius_is]

    @property
    def closed(self) -> bool:
        """True when the ends pass the pressure thrust through the wall."""
        return self.ends == "closed"
