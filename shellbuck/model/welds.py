"""Weld lands: the thick strips along the axis in which the plates of a barrel are welded together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Any

from ..core.errors import Problem
from .checked import Checked, Quantity, Text, Whole
from .rules import Rule, Rules

MOST_SHARE = 0.25
"""Share of the circumference that lands may take (own limit: wider ones are a wall of their own)."""


@dataclass(frozen=True)
class WeldLands(Checked):
    """Axial weld lands, all alike.

    Parameters
    ----------
    count : int
        Number around.
    width : float
        Whole width of a land, the weld in its middle [m].
    thickness, thickness_minimum : float
        Nominal thickness, which weighs, and least thickness, which carries stress [m].
    tension_yield, ultimate : float or None
        Welded allowables across the weld [Pa], both with `allowable_source` or none; without them the strength of the
        weld is refused.
    allowable_source : str
        Where they come from.
    offset : float
        Step between the middles of both sides of a weld [m].
    peaking : float
        Angle between the tangents of both sides of a weld [rad].
    """

    count: Annotated[int, Whole(1, 1000)]
    width: Annotated[float, Quantity("length", 1e-3, 10.0)]
    thickness: Annotated[float, Quantity("length", 1e-5, 1.0)]
    thickness_minimum: Annotated[float, Quantity("length", 1e-5, 1.0)]
    tension_yield: Annotated[float, Quantity("stress", 5e6, 3e9)] | None = None
    ultimate: Annotated[float, Quantity("stress", 5e6, 4e9)] | None = None
    allowable_source: Annotated[str, Text()] = ""
    offset: Annotated[float, Quantity("length", 0.0, 1.0)] = 0.0
    peaking: Annotated[float, Quantity("angle", 0.0, 0.35)] = 0.0

    @property
    def has_allowables(self) -> bool:
        """Whether welded allowables are given."""
        return self.tension_yield is not None

    def rules(self) -> Rules:
        given = [self.tension_yield is not None, self.ultimate is not None, bool(self.allowable_source)]
        if any(given) and not all(given):
            names = ("tension_yield", "ultimate", "allowable_source")
            yield Problem(
                "weld-allowable-pair",
                "welded allowables are a yield and an ultimate strength with their source",
                names[given.index(False)],
                ", ".join(name for name, one in zip(names, given, strict=True) if one),
                ", ".join(names),
                "give all three, or none: the strength of the weld is then refused",
            )
        elif all(given):
            yield Rule(
                "strength-order",
                self.ultimate < self.tension_yield,
                lambda: (
                    "the ultimate strength of the weld is below its yield strength",
                    "ultimate",
                    f"{self.ultimate / 1e6:g} MPa",
                    f"at least {self.tension_yield / 1e6:g} MPa",
                ),
            )
        yield Rule(
            "weld-land-thickness",
            self.thickness_minimum > self.thickness,
            lambda: (
                "the least thickness of the land is larger than the nominal",
                "thickness_minimum",
                f"{self.thickness_minimum * 1e3:g} mm",
                f"at most {self.thickness * 1e3:g} mm",
            ),
        )

    def on(self, R: Any, t: Any, t_min: Any) -> Rules:
        """What is refused of them on a barrel of this middle radius and skin thickness [m]."""
        yield Rule(
            "weld-land-thickness",
            (self.thickness < t) | (self.thickness_minimum < t_min),
            lambda: (
                "a weld land is thinner than the skin beside it",
                "weld_lands.thickness",
                f"{self.thickness * 1e3:g} mm, least {self.thickness_minimum * 1e3:g} mm",
                f"at least {t * 1e3:g} mm and {t_min * 1e3:g} mm",
                "give the land's own thickness, or leave weld_lands out",
            ),
        )
        share = self.count * self.width / (2 * math.pi * R)
        yield Rule(
            "weld-land-width",
            share > MOST_SHARE,
            lambda: (
                "the weld lands take too much of the circumference",
                "weld_lands.width",
                f"{100 * share:.0f} %",
                f"at most {100 * MOST_SHARE:g} %",
                "a land is the narrow thick strip at a weld",
            ),
        )

    def area_per_surface(self, R: Any, t: Any) -> Any:
        """Volume of the lands beyond the skin over the area of the skin middle [m]."""
        return self.count * self.width * (self.thickness - t) / (2 * math.pi * R)
