"""Load cases and factors of safety."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from ..core.errors import Problem
from .around import LineLoadAround
from .checked import Checked, Quantity, Text
from .rules import Rule, Rules, larger
from .thermal import Thermal


@dataclass(frozen=True)
class Factors(Checked):
    """Factors of safety; buckling is judged at the ultimate factor unless the set has one for it.

    Parameters
    ----------
    ultimate_factor, yield_factor : float
        On limit loads, for ultimate strength and buckling, and for yield.
    source : str
        Standard or agreement that requires them.
    name : str
        Of the set.
    buckling_factor : float or None
        On limit loads, for buckling, crippling and the column; the ultimate factor without it.
    proof_factor, burst_factor : float or None
        On the maximum pressure alone, for yield and for ultimate strength; no such row without them.
    """

    ultimate_factor: Annotated[float, Quantity("number", 1.0, 5.0)]
    yield_factor: Annotated[float, Quantity("number", 1.0, 5.0)]
    source: Annotated[str, Text(required=True)]
    name: Annotated[str, Text(longest=60)] = "own factors"
    buckling_factor: Annotated[float, Quantity("number", 1.0, 5.0)] | None = None
    proof_factor: Annotated[float, Quantity("number", 1.0, 5.0)] | None = None
    burst_factor: Annotated[float, Quantity("number", 1.0, 5.0)] | None = None

    @property
    def on_buckling(self) -> float:
        """Factor of safety on buckling."""
        return self.ultimate_factor if self.buckling_factor is None else self.buckling_factor


FACTOR_SETS = {
    "agency prototype": Factors(
        1.4, 1.0, "NASA-STD-5001B, metallic structures, prototype verification (second-hand)", "agency prototype"
    ),
    "agency protoflight": Factors(
        1.4, 1.25, "NASA-STD-5001B, metallic structures, protoflight verification (second-hand)", "agency protoflight"
    ),
    "expendable vehicle": Factors(
        1.25, 1.1, "practice for expendable launch vehicles (from memory, low standing: confirm)", "expendable vehicle"
    ),
}


def outside_pressures(thrust: Any, low: Any, high: Any) -> Any:
    """Where a thrust pressure lies outside minimum and maximum, for numbers or arrays, but for rounding of units."""
    slack = 1e-9 * (abs(low) + abs(high))
    return (thrust < low - slack) | (thrust > high + slack)


@dataclass(frozen=True)
class LoadCase(Checked):
    """Limit loads at the station, with the pressures that go with them.

    Parameters
    ----------
    name : str
        Tells load cases apart.
    factors : Factors
        Name of a set, or a table.
    axial_force : float
        [N], compression positive.
    bending_moment : float
        [N m]; the sign does not matter, both generators are checked.
    torque, shear_force : float
        Torque about the axis [N m] and shear force across it [N]; the signs do not matter.
    pressure_minimum, pressure_maximum : float or None
        Gauge pressure across the wall at the station [Pa], internal positive. Stability uses the minimum,
        strength the maximum. A negative minimum is external pressure, which carries the factor of safety. A missing
        minimum is taken as 0 and warned.
    axial_force_includes_thrust : bool or None
        Whether `axial_force` already contains the pressure thrust pi R^2 p on closed ends (a tension).
        Must be said for closed ends under pressure; there is no default.
    thrust_pressure : float or None
        The pressure whose thrust `axial_force` contains [Pa], within minimum and maximum; needed when they differ.
    temperature : float or None
        [K]; None means room temperature.
    thermal : Thermal or None
        Temperature differences that the wall cannot follow freely.
    around : LineLoadAround or None
        What stands behind the axial force of a load case made of a table: in a file `line_load_table` names, in place
        of axial_force and bending_moment, a CSV or XLSX with theta and line_load; two load cases follow, of the peak
        and of the least all around.
    """

    CALLED: ClassVar[str] = "load case"

    name: Annotated[str, Text(required=True, longest=80)]
    factors: Factors
    axial_force: Annotated[float, Quantity("force", -1e10, 1e10)] = 0.0
    bending_moment: Annotated[float, Quantity("moment", -1e11, 1e11)] = 0.0
    torque: Annotated[float, Quantity("moment", -1e11, 1e11)] = 0.0
    shear_force: Annotated[float, Quantity("force", -1e10, 1e10)] = 0.0
    pressure_minimum: Annotated[float, Quantity("pressure", -1e8, 1e8)] | None = None
    pressure_maximum: Annotated[float, Quantity("pressure", -1e8, 1e8)] | None = None
    axial_force_includes_thrust: bool | None = None
    thrust_pressure: Annotated[float, Quantity("pressure", -1e8, 1e8)] | None = None
    temperature: Annotated[float, Quantity("temperature", 1.0, 1500.0)] | None = None
    thermal: Thermal | None = None
    around: LineLoadAround | None = None

    def rules(self) -> Rules:
        low, high, includes = self._low, self.pressure_maximum, self.axial_force_includes_thrust
        thrust = self.thrust_pressure
        if high is None:
            yield Rule(
                "pressure-maximum-missing",
                low > 0,
                lambda: (
                    "strength needs the maximum pressure",
                    "pressure_maximum",
                    "",
                    "",
                    "give pressure_maximum (the relief pressure, with its tolerance)",
                ),
            )
        else:
            yield Rule(
                "pressure-order",
                high < low,
                lambda: (
                    "the maximum pressure is below the minimum",
                    "pressure_maximum",
                    f"{high / 1e3:g} kPa",
                    f"at least {low / 1e3:g} kPa",
                ),
            )
        if includes and thrust is None:
            yield Rule(
                "thrust-pressure-missing",
                low != self.p_max,
                lambda: (
                    "the axial force contains a thrust, but at which pressure is not said",
                    "thrust_pressure",
                    "",
                    "",
                    "give the pressure at which the axial force was worked out",
                ),
            )
        elif thrust is not None and not includes:
            yield Problem(
                "thrust-pressure-idle",
                "a thrust pressure without axial_force_includes_thrust = true",
                "thrust_pressure",
                way_out="set axial_force_includes_thrust = true or drop thrust_pressure",
            )
        elif thrust is not None:
            yield Rule(
                "thrust-pressure-outside",
                outside_pressures(thrust, low, self.p_max),
                lambda: (
                    "the thrust pressure is none that this load case has",
                    "thrust_pressure",
                    f"{thrust / 1e3:g} kPa",
                    f"{low / 1e3:g} to {self.p_max / 1e3:g} kPa",
                    "give the pressure at which the axial force was worked out, internal positive; for a force worked "
                    "out at another pressure take its thrust out and set axial_force_includes_thrust = false",
                ),
            )

    @property
    def _low(self) -> float:
        return 0.0 if self.pressure_minimum is None else self.pressure_minimum + 0.0  # no minus zero

    @property
    def p_min(self) -> float:
        """Internal pressure for stability [Pa]; 0 under external pressure."""
        return larger(self._low, 0.0)

    @property
    def external_pressure(self) -> float:
        """External pressure for stability [Pa]."""
        return larger(-self._low, 0.0)

    @property
    def beyond_axial(self) -> tuple[str, ...]:
        """What acts beside axial force, bending and internal pressure."""
        acts = {"torque": self.torque, "shear force": self.shear_force, "external pressure": self.external_pressure}
        return tuple(name for name, value in acts.items() if value)

    @property
    def p_max(self) -> float:
        """Pressure for strength [Pa]."""
        return larger(0.0 if self.pressure_maximum is None else self.pressure_maximum, self.p_min)

    @property
    def contained_thrust_pressure(self) -> float:
        """Pressure whose thrust is inside `axial_force` [Pa]; 0 when there is none."""
        if not self.axial_force_includes_thrust:
            return 0.0
        return self._low if self.thrust_pressure is None else self.thrust_pressure
