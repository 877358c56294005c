"""A stack of barrels under loads by station: section forces from a table, head pressure of a liquid.

A barrel buckles as a whole, so every cut through it is judged at the least of the minimum and the most of the maximum
pressures at its two ends (own rule). Section forces are linear between the rows of their table. The use of an
interaction is convex in them, so that no cut between two rows is worse than both: cuts at the ends of the barrel and at
the rows between them are all that are needed.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

import numpy as np

from ..core.errors import Problem, Refusal
from .checked import Checked, Quantity, Text
from .loads import Factors, LoadCase

FORCES = ("axial_force", "bending_moment", "shear_force", "torque")
"""Section forces that a table of stations may hold; the first two must be there."""

TOUCHING = 1e-6
"""Barrels nearer than this follow one another [m]: the rounding of written lengths."""


@dataclass(frozen=True)
class StackBarrel(Checked):
    """A barrel of a stack.

    Parameters
    ----------
    case : str
        Its case file, beside the stack file; the load cases in it are left to its own run.
    station : float
        Of its end with the smaller station [m]; it reaches as far as its length.
    tank : str
        The tank whose pressure acts in it; empty for none, as in an intertank.
    """

    case: Annotated[str, Text(required=True)]
    station: Annotated[float, Quantity("length", -1000.0, 1000.0)]
    tank: Annotated[str, Text(longest=50)] = ""


@dataclass(frozen=True)
class TankState(Checked):
    """Pressure and liquid of a tank in an event.

    Parameters
    ----------
    tank : str
        As barrels name it.
    ullage_pressure_minimum, ullage_pressure_maximum : float
        Gauge pressure above the liquid [Pa].
    fluid_density : float or None
        Of the liquid [kg/m^3]; with it acceleration and level. None without a liquid.
    axial_acceleration : float or None
        That presses the liquid towards the tail, gravity on the pad included [m/s^2].
    liquid_level : float or None
        Station of the surface [m].
    """

    CALLED: ClassVar[str] = "tank"

    tank: Annotated[str, Text(required=True, longest=50)]
    ullage_pressure_minimum: Annotated[float, Quantity("pressure", -1e8, 1e8)]
    ullage_pressure_maximum: Annotated[float, Quantity("pressure", -1e8, 1e8)]
    fluid_density: Annotated[float, Quantity("density", 10.0, 3000.0)] | None = None
    axial_acceleration: Annotated[float, Quantity("acceleration", 0.0, 300.0)] | None = None
    liquid_level: Annotated[float, Quantity("length", -1000.0, 1000.0)] | None = None

    def cross_problems(self) -> Iterator[Problem]:
        keys = ("fluid_density", "axial_acceleration", "liquid_level")
        missing = [key for key in keys if getattr(self, key) is None]
        if missing and len(missing) < len(keys):
            what = "a head of liquid needs density, acceleration and level"
            yield Problem("station-head", what, missing[0], "nothing", "", f"give {' and '.join(missing)}")
        if self.ullage_pressure_maximum < self.ullage_pressure_minimum:
            low, high = self.ullage_pressure_minimum / 1e3, self.ullage_pressure_maximum / 1e3
            what = "the maximum pressure is below the minimum"
            yield Problem("pressure-order", what, "ullage_pressure_maximum", f"{high:g} kPa", f"at least {low:g} kPa")

    def pressures(self, station: float, upward: bool) -> tuple[float, float]:
        """Minimum and maximum pressure at a station [Pa], p = p_ullage + rho a h.

        Parameters
        ----------
        station : float
            [m].
        upward : bool
            Whether stations grow towards the nose.
        """
        head = 0.0
        if self.fluid_density is not None:
            depth = (self.liquid_level - station) * (1 if upward else -1)
            head = self.fluid_density * self.axial_acceleration * max(depth, 0.0)
        return self.ullage_pressure_minimum + head, self.ullage_pressure_maximum + head


@dataclass(frozen=True)
class StationEvent(Checked):
    """An event with section forces along the stack.

    Parameters
    ----------
    name : str
        Tells events apart.
    table : str
        CSV or XLSX with the columns station, axial_force, bending_moment, and shear_force and torque where there are
        any, each with its unit; linear between its lines.
    factors : Factors
        Name of a set, or a table.
    tanks : tuple of TankState
        Pressure and liquid of every tank that a barrel names.
    axial_force_includes_thrust : bool or None
        As of a load case.
    thrust_pressure : float or None
        As of a load case [Pa].
    temperature : float or None
        [K]; None means room temperature.
    """

    CALLED: ClassVar[str] = "event"

    name: Annotated[str, Text(required=True, longest=50)]
    table: Annotated[str, Text(required=True)]
    factors: Factors
    tanks: tuple[TankState, ...] = ()
    axial_force_includes_thrust: bool | None = None
    thrust_pressure: Annotated[float, Quantity("pressure", -1e8, 1e8)] | None = None
    temperature: Annotated[float, Quantity("temperature", 1.0, 1500.0)] | None = None

    def cross_problems(self) -> Iterator[Problem]:
        names = [state.tank for state in self.tanks]
        for i, name in enumerate(names):
            if name in names[:i]:
                yield Problem("station-tank", "the tank is given twice", f"tanks.{i}.tank", name, "once")

    def tank(self, name: str) -> TankState | None:
        """The state of a tank by its name."""
        return next((state for state in self.tanks if state.tank == name), None)


@dataclass(frozen=True, eq=False)
class StationTable:
    """Section forces along the stack: stations [m], strictly rising, and forces by name (S,), SI."""

    stations: np.ndarray
    forces: dict[str, np.ndarray]

    def at(self, station: float) -> dict[str, float]:
        """Section forces at a station inside the table."""
        return {key: float(np.interp(station, self.stations, values)) for key, values in self.forces.items()}

    def cuts(self, low: float, high: float) -> list[float]:
        """Both ends of a barrel, and the rows between them."""
        inside = self.stations[(self.stations > low + TOUCHING) & (self.stations < high - TOUCHING)]
        return [low, *map(float, inside), high]

    def covers(self, low: float, high: float) -> bool:
        """Whether a barrel lies within the table, but for rounding."""
        return bool(self.stations[0] <= low + TOUCHING and high - TOUCHING <= self.stations[-1])


@dataclass(frozen=True)
class Cut:
    """A load case of a barrel: event and station [m]."""

    event: str
    station: float
    load: LoadCase


def cuts_of(
    barrel: StackBarrel,
    length: float,
    closed: bool,
    events: Sequence[tuple[StationEvent, StationTable]],
    direction: Literal["forward", "aft"],
) -> Iterator[Cut]:
    """The load cases of a barrel, event by event along it.

    Raises
    ------
    Refusal
        For what a load case refuses.
    """
    low, high = barrel.station, barrel.station + length
    for event, table in events:
        pressure: dict[str, object] = {"pressure_minimum": 0.0, "pressure_maximum": 0.0}
        if barrel.tank:
            state = event.tank(barrel.tank)
            if state is None:
                given = ", ".join(one.tank for one in event.tanks) or "none"
                what = f"the event {event.name} says nothing of the tank of this barrel"
                way_out = "add [[events.tanks]] with its ullage pressures, 0 kPa for a vented tank"
                raise Refusal.of("station-tank", what, "tank", barrel.tank, given, way_out)
            ends = [state.pressures(x, direction == "forward") for x in (low, high)]
            pressure = {"pressure_minimum": min(p for p, _ in ends), "pressure_maximum": max(p for _, p in ends)}
            pressure["axial_force_includes_thrust"] = event.axial_force_includes_thrust if closed else None
            pressure["thrust_pressure"] = event.thrust_pressure
        for station in table.cuts(low, high):
            name = f"{event.name} at {station:.6g} m"
            more = dict(factors=event.factors, temperature=event.temperature, **pressure)
            yield Cut(event.name, station, LoadCase(name=name, **table.at(station), **more))


def overlaps(barrels: Sequence[tuple[StackBarrel, float]]) -> Iterator[tuple[int, int]]:
    """Positions of barrels that overlap; each with its length [m]."""
    order = sorted(range(len(barrels)), key=lambda i: barrels[i][0].station)
    for i, k in itertools.pairwise(order):
        (one, length), (other, _) = barrels[i], barrels[k]
        if one.station + length > other.station + TOUCHING:
            yield i, k
