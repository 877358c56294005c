"""Random designs of every pattern: a template case and varied arrays, sound ones and ones that are refused."""

from __future__ import annotations

from dataclasses import replace

import builders
import numpy as np

import shellbuck as sb

COLD = sb.Material(
    "metal over temperature",
    "test",
    2800.0,
    0.33,
    (
        sb.MaterialPoint(90.0, 79e9, 420e6, 520e6, compression_modulus=80e9, compression_yield="as tension"),
        sb.MaterialPoint(294.0, 70e9, 400e6, 450e6, compression_modulus=72e9, compression_yield=380e6),
        sb.MaterialPoint(400.0, 65e9, 330e6, 390e6, compression_yield=330e6),
    ),
)
STEEL = sb.Material("rib metal", "test", 7900.0, 0.29, (sb.MaterialPoint(294.0, 195e9, 700e6, 900e6, None, 700e6),))


def blade(side: str, **more) -> sb.Stiffeners:
    return sb.Stiffeners(side, "blade", 0.02, 0.0025, **more)


def section(side: str, **more) -> sb.Stiffeners:
    return sb.Stiffeners(side, "given", area=2e-4, inertia=5e-8, eccentricity=0.02, torsion_constant=4e-10, **more)


WALLS = {
    "plain": sb.PlainWall(),
    "grid hoop inside": sb.TriangularGrid("hoop", "inside", 0.013, 0.0025, triangle_height=0.09),
    "grid axial outside": sb.TriangularGrid("axial", "outside", 0.013, 0.0025, count_around=100),
    "stringers outside": sb.StiffenedWall(blade("outside", count=100)),
    "stringers inside, rings": sb.StiffenedWall(blade("inside", spacing=0.08), section("outside", count=4)),
    "steel stringers, rings inside": sb.StiffenedWall(
        replace(blade("outside", count=90), material=STEEL), replace(section("inside", spacing=0.4), material=STEEL)
    ),
    "given stringers": sb.StiffenedWall(section("inside", count=90)),
    "rings": sb.StiffenedWall(None, blade("inside", count=5)),
    "orthogrid": sb.Orthogrid("inside", 0.012, 0.0025, 0.0025, stringer_spacing=0.08, ring_count=19),
}
"""Patterns by name."""

_SCALE = {
    "depth": 0.6,
    "thickness": 0.5,
    "spacing": 0.6,
    "height": 0.6,
    "side": 0.6,
    "area": 0.8,
    "inertia": 1.0,
    "eccentricity": 0.6,
    "torsion_constant": 1.0,
}


def template(kind: str, rng: np.random.Generator, **policy) -> sb.Case:
    """A template with two load cases, the second under pressure; ends, temperature and thrust by chance."""
    closed = bool(rng.integers(2))
    barrel = builders.barrel(
        ends="closed" if closed else "open", radius_is=str(rng.choice(["skin middle", "inner", "outer"]))
    )
    second = dict(pressure_minimum=5e4, pressure_maximum=8e4)
    if closed:
        second |= dict(axial_force_includes_thrust=False)
        if rng.integers(2):
            second |= dict(axial_force_includes_thrust=True, thrust_pressure=6e4)
    steel = kind.startswith("steel")
    if not steel and rng.integers(2):
        second |= dict(temperature=120.0)
    loads = (builders.load(), builders.load(name="pressed", **second))
    return builders.case(WALLS[kind], *loads, barrel=barrel, material=builders.METAL if steel else COLD, **policy)


def varied(case: sb.Case, rng: np.random.Generator, size: int) -> dict[str, np.ndarray]:
    """Arrays for the numbers of a template: mostly sound, some refused."""

    def times(value: float, spread: float) -> np.ndarray:
        return value * 10 ** rng.uniform(-spread, spread, size)

    nominal = times(2.6e-3, 0.5)
    found = {
        "barrel.skin_thickness": nominal,
        "barrel.skin_thickness_minimum": nominal * rng.choice([0.9, 0.95, 1.0, 1.05], size, p=[0.4, 0.3, 0.25, 0.05]),
        "barrel.length": times(2.0, 0.8),
        "load_cases.0.axial_force": times(8e5, 0.7) * rng.choice([1.0, 1.0, 0.0, -0.3], size),
        "load_cases.0.bending_moment": times(2e5, 0.7) * rng.choice([1.0, -1.0, 0.0], size),
        "load_cases.1.axial_force": times(1e6, 0.7) * rng.choice([1.0, -0.4], size, p=[0.8, 0.2]),
        "load_cases.1.bending_moment": times(4e5, 0.7) * rng.choice([1.0, 0.0], size, p=[0.8, 0.2]),
        "load_cases.1.pressure_minimum": times(5e4, 0.6) * rng.choice([1.0, 0.0, -1.0], size, p=[0.8, 0.15, 0.05]),
        "load_cases.1.pressure_maximum": times(2.5e5, 0.4),
        "load_cases.1.factors.ultimate_factor": rng.uniform(1.0, 2.0, size),
    }
    if case.load_cases[1].temperature is not None:
        found["load_cases.1.temperature"] = rng.uniform(80.0, 415.0, size)
    if rng.integers(2):
        found["barrel.radius"] = rng.uniform(1.2, 2.0, size)
        found["load_cases.0.factors.yield_factor"] = rng.uniform(1.0, 1.5, size)
        found["material.poissons_ratio"] = rng.uniform(0.28, 0.36, size)
        if len(case.material.points) > 1:
            found["material.points.1.youngs_modulus"] = rng.uniform(66e9, 74e9, size)
            found["material.points.0.compression_yield"] = rng.uniform(3e8, 5e8, size)
        else:
            found["material.density"] = rng.uniform(2600.0, 2900.0, size)
    if getattr(getattr(case.wall, "stringers", None), "material", None) is not None:
        found["wall.stringers.material.points.0.youngs_modulus"] = rng.uniform(190e9, 200e9, size)
        found["wall.rings.material.density"] = rng.uniform(7700.0, 8000.0, size)
    if case.policy.own_knockdown is not None:
        found["policy.own_knockdown.axial"] = rng.uniform(0.2, 1.0, size)
    for owner, prefix in (
        (case.wall, "wall"),
        (getattr(case.wall, "stringers", None), "wall.stringers"),
        (getattr(case.wall, "rings", None), "wall.rings"),
    ):
        if owner is None or (prefix != "wall" and isinstance(case.wall, sb.Orthogrid)):
            continue
        for key, value in vars(owner).items():
            if isinstance(value, bool) or not isinstance(value, int | float):
                continue
            if key.endswith("count") or key == "count_around":
                found[f"{prefix}.{key}"] = np.maximum(1, np.round(times(value, 0.3))).astype(int)
            else:
                spread = next(s for k, s in _SCALE.items() if key.endswith(k))
                found[f"{prefix}.{key}"] = times(value, spread)
    return found
