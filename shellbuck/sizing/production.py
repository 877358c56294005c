"""What a wall costs beside its mass: plate, chips, pockets, welds, parts, money, heat."""

from __future__ import annotations

import math

from ..core.records import Result
from ..margins.keys import GENERAL
from ..model import ROOM_TEMPERATURE, Case
from ..model.demand import Demand, Heat, Prices
from ..model.walls import build_wall, weigh
from .records import Production

CONDUCTED = {
    "304 annealed": {20.0: 2920.0, 77.0: 2610.0, 90.0: 2510.0, 111.0: 2310.0},
    "6061-T6": {20.0: 31100.0, 77.0: 27800.0, 90.0: 26600.0, 111.0: 24600.0},
}
"""Library metal -> integral of the conductivity from a cold end [K] to 294 K [W/m] (NIST cryogenic fits, evaluated)."""


def production(demand: Demand, case: Case, result: Result) -> Production:
    """Quantities of a case as it would be built.

    Parameters
    ----------
    demand : Demand
    case : Case
    result : Result
        Of `case`.
    """
    R, L = case.barrel.middle_radius, case.barrel.length
    density, mass = case.material.density, result.wall.mass
    bought = result.wall.raw_to_finished or 1.0  # what is not milled leaves no chips
    raw = mass * bought
    chips = raw - mass
    pockets = _pockets(case, R, L)
    around = max(1, math.ceil(2 * math.pi * R / demand.limits.plate_width))
    along = max(1, math.ceil(L / demand.limits.plate_length))
    welds = around * L + (along - 1) * 2 * math.pi * R
    stiffeners, joints = _stiffeners(case, R, L)
    parts = around * along + stiffeners
    N = max((c.buckling_factor or c.ultimate_factor) * c.line_load for c in result.load_cases)
    gains = [c.pressure_gain for c in result.load_cases if c.pressure_gain is not None]
    t_bar = result.wall.mean_thickness
    return Production(
        mass_per_area=result.wall.mass_per_area,
        mass=mass,
        mean_thickness=t_bar,
        line_load=N,
        load_index=N / R,
        specific_load=N / (density * t_bar),
        local_to_general=_local_to_general(result),
        pressure_gain=max(gains, default=None),
        equivalent_ratio=result.wall.equivalent_thickness / result.wall.stability_thickness,
        raw_mass=raw,
        chip_mass=chips,
        buy_to_fly=bought,
        chip_fraction=chips / raw,
        milled_volume=chips / density,
        corner_mass=weigh(case).corners * density,
        pockets=pockets,
        parts=parts,
        weld_length=welds,
        joint_length=joints,
        cost=_cost(demand.prices, case.material.name, raw, chips, welds + joints, parts),
        heat=_heat(demand.heat, case),
    )


def _pockets(case: Case, R: float, L: float) -> int:
    """Milled pockets."""
    field = case.wall.skin_field(R, L) if case.wall.milled else None
    return 0 if field is None else round(2 * math.pi * R * L / field.area)


def _stiffeners(case: Case, R: float, L: float) -> tuple[int, float]:
    """Separate stiffeners, and the length of their joints with the skin [m]."""
    if case.wall.milled:
        return 0, 0.0
    count, length = 0, 0.0
    for ribs in case.wall.ribs(R, L):
        along = ribs.angle == 0.0
        n = round(2 * math.pi * R / ribs.spacing) if along else round(L / ribs.spacing) - 1
        count, length = count + n, length + n * ribs.section.seams * (L if along else 2 * math.pi * R)
    return count, length


def _local_to_general(result: Result) -> float | None:
    ratios = []
    for case in result.load_cases:
        general = [
            ld.line_load
            for ld in case.loads
            if ld.mode == GENERAL and not ld.component and ld.pressure_treatment.startswith("no pressure")
        ]
        local = [
            r.capacity - case.relief - max(-case.component("axial").line_load, 0.0)
            for r in case.margins
            if r.kind == "local" and r.quantity == "line load" and r.capacity is not None
        ]
        if general and local:
            ratios.append(min(local) / min(general))
    return min(ratios, default=None)


def _cost(prices: Prices | None, metal: str, raw: float, chips: float, joined: float, parts: int) -> float | None:
    """Cost of the barrel in the user's currency; None without a price of the metal."""
    plate = None if prices is None else next((p.per_kg for p in prices.plates if p.material == metal), None)
    if plate is None:
        return None
    return raw * plate + chips * prices.milling_per_kg + joined * prices.weld_per_metre + parts * prices.part_each


def conducted(heat: Heat, metal: str) -> float | None:
    """Integral of a metal's conductivity from the cold end to room temperature [W/m]; None where it is not known."""
    own = next((c for c in heat.conductivities if c.material == metal), None)
    if own is not None:
        return own.mean * (ROOM_TEMPERATURE - heat.cold_end)
    table = CONDUCTED.get(metal, {})
    near = sorted(table)
    if not near or not near[0] <= heat.cold_end <= near[-1]:
        return None
    high = next(T for T in near if heat.cold_end <= T)
    low = max((T for T in near if heat.cold_end >= T), default=high)
    share = 0.0 if high == low else (heat.cold_end - low) / (high - low)
    return table[low] + share * (table[high] - table[low])


def _heat(heat: Heat | None, case: Case) -> float | None:
    """Heat along the wall [W]: ribs at an angle to the axis count with the square of its cosine."""
    through = None if heat is None else conducted(heat, case.material.name)
    if through is None:
        return None
    wall = build_wall(case, case.reference_temperature, thickness=case.barrel.skin_thickness)
    axial = case.barrel.skin_thickness + sum(
        rib.area / rib.spacing * math.cos(math.radians(rib.angle)) ** 2 for rib in wall.ribs
    )
    return 2 * math.pi * case.barrel.middle_radius * axial * through / case.barrel.length
