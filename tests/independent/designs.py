"""Cases of the package as plain numbers for `barrel_margins`, and seeded random cases."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace

import barrel_margins as own
import numpy as np
import sections
import smeared

import shellbuck as sb

ROOM = 294.0


def metal_of(material, temperature):
    """Values at the temperature, linear between the points (own interpolation)."""
    T = ROOM if temperature is None else temperature
    points = material.points

    def value(pick):
        if points[0].temperature >= T:
            return pick(points[0])
        for a, b in itertools.pairwise(points):
            if b.temperature >= T:
                return pick(a) + (T - a.temperature) / (b.temperature - a.temperature) * (pick(b) - pick(a))
        return pick(points[-1])

    return smeared.Metal(
        value(lambda q: q.youngs_modulus),
        material.poissons_ratio,
        value(lambda q: q.tension_yield),
        value(lambda q: q.ultimate),
        material.density,
        value(lambda q: q.compression_modulus or q.youngs_modulus),
        value(lambda q: q.compression_yield if isinstance(q.compression_yield, float) else q.tension_yield),
        material.hardening_exponent,
    )


def barrel_of(case, load):
    """The barrel of a case at the temperature of a load case."""
    b, w = case.barrel, case.wall
    t_nominal, t_minimum = b.skin_thickness, b.skin_thickness_minimum
    R = b.radius + {"skin middle": 0.0, "inner": t_nominal / 2, "outer": -t_nominal / 2}[b.radius_is]
    metal = metal_of(case.material, load.temperature)
    t = t_nominal if case.policy.stability_thickness == "nominal" else t_minimum
    barrel = smeared.Barrel(R, b.length, b.ends == "closed", t, t_nominal, t_minimum, metal)

    def ribs(side, spacing, count, depth=None, thickness=None, torsion=None, material=None, **section):
        m = metal if material is None else metal_of(material, load.temperature)
        return smeared.Ribs(side == "outside", spacing, m, depth, thickness, torsion=torsion, count=count, **section)

    barrel.corner_radius = getattr(w, "corner_radius", None) or 0.0
    if w.kind == "triangular grid":
        barrel.kind, barrel.hoop_family = "grid", w.family == "hoop"
        h = w.triangle_height
        if w.triangle_side is not None:
            h = w.triangle_side * math.sqrt(3) / 2
        if w.count_around is not None:
            h = 2 * math.pi * R / w.count_around * (math.sqrt(3) / 2 if barrel.hoop_family else 1)
        barrel.grid = ribs(w.side, h, None, w.rib_depth, w.rib_thickness, w.torsion_constant)
    elif w.kind == "orthogrid":
        barrel.kind = "orthogrid"
        s = w.stringer_spacing or 2 * math.pi * R / w.stringer_count
        r = w.ring_spacing or b.length / (w.ring_count + 1)
        barrel.stringers = ribs(
            w.side, s, w.stringer_count, w.rib_depth, w.stringer_thickness, w.stringer_torsion_constant
        )
        barrel.rings = ribs(w.side, r, w.ring_count, w.rib_depth, w.ring_thickness, w.ring_torsion_constant)
    elif w.kind == "stiffened":
        barrel.kind = "stiffened"
        for name, f in (("stringers", w.stringers), ("rings", w.rings)):
            if f is None:
                continue
            spacing = f.spacing
            if spacing is None:
                spacing = 2 * math.pi * R / f.count if name == "stringers" else b.length / (f.count + 1)
            if f.section not in ("blade", "given"):
                made = ribs(f.side, spacing, f.count, material=f.material)
                setattr(barrel, name, replace(made, shape=shape_of(f)))
                continue
            setattr(
                barrel,
                name,
                ribs(
                    f.side,
                    spacing,
                    f.count,
                    f.depth,
                    f.thickness,
                    f.torsion_constant,
                    f.material,
                    area=f.area,
                    inertia=f.inertia,
                    eccentricity=f.eccentricity,
                ),
            )
    return barrel


def shape_of(f):
    """A drawn section that is no blade."""
    leaf = lambda name: (getattr(f, f"{name}_width"), getattr(f, f"{name}_thickness") or f.thickness)  # noqa: E731
    if f.section == "hat":
        widths = f.crown_width, f.base_width, f.foot_width
        return sections.hat(f.depth, f.thickness, *widths, f.joint, f.torsion_constant)
    if f.section == "bulb":
        return sections.bulb(f.depth, f.thickness, f.bulb_diameter)
    if f.section in ("zee", "i"):
        parts = dict(flange=leaf("flange"), foot=leaf("foot"))
    else:
        parts = {"flange" if f.attached == "web" else "foot": leaf("flange")}
    one_sided = f.section in ("zee", "angle")
    return sections.webbed(f.section, f.depth, f.thickness, f.joint, one_sided=one_sided, **parts)


def load_of(load):
    lowest = load.pressure_minimum or 0.0
    p_min = max(lowest, 0.0)
    p_max = max(load.pressure_maximum or 0.0, p_min)
    thrust = 0.0
    if load.axial_force_includes_thrust:
        thrust = lowest if load.thrust_pressure is None else load.thrust_pressure
    f = load.factors
    further = max(-lowest, 0.0), load.torque, load.shear_force
    factors = f.ultimate_factor, f.yield_factor
    return smeared.Load(load.axial_force, load.bending_moment, p_min, p_max, *factors, thrust, *further)


def margins_of(case, load, prebuckled=math.inf):
    """Own margins of a case's load case; `prebuckled` is its nonlinear prebuckled load."""
    policy = case.policy
    asked = own.Choices(
        gain=bool(policy.computed_pressure_gain), handbook=bool(policy.handbook_pocket), prebuckled=prebuckled
    )
    if knock := policy.own_knockdown:
        asked.own = knock.axial, knock.bending
        asked.panel = None if knock.panel_axial is None else (knock.panel_axial, knock.panel_bending)
    asked.crippling = "" if policy.section_crippling is None else policy.section_crippling.method
    return own.margins(barrel_of(case, load), load_of(load), asked)


def load_height(case, stiff):
    """Height of the axial load over the skin middle; the wall's centroid is where axial strain alone has its force."""
    z = getattr(case.barrel, "load_height", None)
    A, B = stiff[0], stiff[1]
    if z == "wall centroid":
        return float(B[0] @ np.linalg.inv(A)[:, 0])
    return 0.0 if z in (None, "skin middle") else z


# random cases


def _metal(r, name="own metal"):
    steel = r.random() < 0.3
    E = r.uniform(180e9, 210e9) if steel else r.uniform(65e9, 80e9)
    y = r.uniform(3e8, 9e8) if steel else r.uniform(2.5e8, 5e8)
    point = sb.MaterialPoint(
        temperature=294.0,
        youngs_modulus=E,
        compression_modulus=E * r.choice([1.0, r.uniform(0.97, 1.03)]),
        tension_yield=y,
        compression_yield=y * r.uniform(0.6, 1.05),
        ultimate=y * r.uniform(1.05, 1.5),
    )
    points = [point]
    if r.random() < 0.4:
        points.insert(
            0,
            sb.MaterialPoint(
                temperature=90.0,
                youngs_modulus=E * 1.07,
                compression_modulus=E * 1.08,
                tension_yield=y * 1.1,
                compression_yield=y * r.uniform(0.7, 1.1),
                ultimate=y * 1.6,
            ),
        )
    n = None if r.random() < 0.5 else r.uniform(3, 40)
    return sb.Material(
        hardening_exponent=n,
        hardening_source="" if n is None else "invented",
        name=name,
        source="invented",
        density=7900.0 if steel else 2750.0,
        poissons_ratio=r.uniform(0.26, 0.34),
        points=tuple(points),
    )


def _wall(r, kind, R, L, t):
    side = lambda: r.choice(["inside", "outside"])  # noqa: E731
    if kind == "plain":
        return sb.PlainWall()
    depth, thick = t * r.uniform(1, 12), t * r.uniform(0.5, 2)
    if kind == "grid":
        return sb.TriangularGrid(
            family=r.choice(["hoop", "axial"]),
            side=side(),
            rib_depth=depth,
            rib_thickness=thick,
            count_around=max(8, round(2 * math.pi * R / (t * r.uniform(20, 60)))),
        )
    stringers = round(2 * math.pi * R / (t * r.uniform(20, 70)))
    rings = max(1, round(L / (t * r.uniform(40, 250))) - 1)
    if kind == "orthogrid":
        return sb.Orthogrid(
            side=side(),
            rib_depth=depth,
            stringer_thickness=thick,
            ring_thickness=t * r.uniform(0.5, 2),
            stringer_count=stringers,
            ring_count=rings,
        )

    def family(count, most):
        extra = {"material": _metal(r, "rib metal")} if r.random() < 0.25 else {}
        if r.random() < 0.25:
            d, b = t * r.uniform(4, 12), t * r.uniform(1, 2)
            return sb.Stiffeners(
                side(),
                "given",
                area=b * d,
                inertia=b * d**3 / 12 * r.uniform(1, 2),
                eccentricity=d * r.uniform(0.6, 1),
                torsion_constant=b**3 * d / 3,
                count=count,
                **extra,
            )
        return sb.Stiffeners(
            side(), "blade", depth=t * r.uniform(3, most), thickness=t * r.uniform(0.6, 2), count=count, **extra
        )

    return sb.StiffenedWall(
        family(stringers, 13) if kind in ("stringers", "both") else None,
        family(rings, 9) if kind in ("rings", "both") else None,
    )


KINDS = ("plain", "grid", "orthogrid", "stringers", "rings", "both")


def random_case(seed, odd=False, stout=False):
    """A case of every kind in turn, loads of the order of what the wall carries; odd proportions when asked.

    One in six is stout (all when asked): it goes beyond yield.
    """
    r = random.Random(seed)
    kind = KINDS[seed % len(KINDS)]
    R = r.uniform(0.5, 3.0)
    ratio = math.exp(r.uniform(math.log(22 if odd else 120), math.log(2500 if odd else 1200)))
    if stout := r.random() < 1 / 6 or stout:
        ratio = r.uniform(30, 120)
    t = R / ratio
    aspect = math.exp(r.uniform(math.log(0.04 if odd else 0.4), math.log(20 if odd else 4.8)))
    if kind == "plain" and r.random() < 0.3:
        aspect = r.uniform(3, 14) if r.random() < 0.7 else r.uniform(14, 50)
    L = R * aspect
    metal = _metal(r)
    ends = r.choice(["closed", "closed", "open"])
    t_min = t * r.uniform(0.92, 1.0)
    wall = _wall(r, kind, R, L, t)
    barrel = sb.Barrel(radius=R, length=L, ends=ends, skin_thickness=t, skin_thickness_minimum=t_min)
    if kind != "plain" and r.random() < 0.4:
        barrel = replace(barrel, load_height=r.choice(["skin middle", "wall centroid", t * r.uniform(-3, 3)]))
    E = metal.points[-1].youngs_modulus
    N = 0.6 * E * t**2 / R * r.uniform(0.1, 1.5) * (1.0 if kind == "plain" else 2.5)
    if stout:
        N = min(N, metal.points[-1].compression_yield * t * r.uniform(0.3, 1.5))
    loads = []
    for i in range(r.choice([1, 2])):
        share = r.uniform(0, 1)
        axial = 2 * math.pi * R * N * share
        if r.random() < 0.12:
            axial = -axial * 0.4
        moment = math.pi * R**2 * N * (1 - share)
        hoop = r.uniform(0.02, 0.5) * metal.points[-1].tension_yield
        p_max = hoop * t / R if r.random() < 0.7 else 0.0
        p_min = p_max * r.choice([0.0, r.uniform(0.2, 1.0)])
        more = {}
        if p_max > 0:
            more = {"pressure_minimum": p_min, "pressure_maximum": p_max}
            if ends == "closed":
                includes = r.random() < 0.3
                more["axial_force_includes_thrust"] = includes
                if includes:
                    more["thrust_pressure"] = q = r.uniform(p_min, p_max)
                    axial -= math.pi * R**2 * q
        if len(metal.points) > 1 and r.random() < 0.5:
            more["temperature"] = r.uniform(95, 290) if wall.kind != "stiffened" else 294.0
        loads.append(
            sb.LoadCase(
                f"load {i}",
                sb.Factors(r.uniform(1.1, 1.5), r.uniform(1.0, 1.25), "test"),
                axial_force=axial,
                bending_moment=moment,
                **more,
            )
        )
    return sb.Case(barrel, wall, tuple(loads), metal, _policy(r))


def with_further_loads(case, seed):
    """The case with torque, shear force and external pressure in most load cases, of the order of what it carries."""
    r = random.Random(f"further {seed}")
    b, R = case.barrel, case.barrel.radius
    E, t = case.material.points[-1].youngs_modulus, b.skin_thickness
    ribs = 1.0 if case.wall.kind == "plain" else 4.0
    flow = ribs * 0.7 * E * (t / R) ** 1.25 / (b.length / R) ** 0.5 * t
    crush = ribs * 0.9 * E * (t / R) ** 2.5 / (b.length / R)
    loads = []
    for load in case.load_cases:
        change = {}
        if r.random() < 0.75:
            change["torque"] = r.choice([-1, 1]) * flow * 2 * math.pi * R**2 * r.uniform(0.02, 0.5)
        if r.random() < 0.75:
            change["shear_force"] = r.choice([-1, 1]) * flow * math.pi * R * r.uniform(0.02, 0.5)
        if r.random() < 0.5:
            q = crush * r.uniform(0.02, 0.6)
            high = r.choice([0.0, -0.5 * q, 3 * q, load.pressure_maximum or 0.0])
            change |= {"pressure_minimum": -q, "pressure_maximum": high}
            change |= {"axial_force_includes_thrust": None, "thrust_pressure": None}
            if b.ends == "closed":
                includes = r.random() < 0.4
                change["axial_force_includes_thrust"] = includes
                change["thrust_pressure"] = r.uniform(-q, high) if includes else None
        if r.random() < 0.15:
            change |= {"axial_force": 0.0, "bending_moment": 0.0}
        loads.append(replace(load, **change))
    return replace(case, load_cases=tuple(loads))


def _policy(r):
    """The default rules mostly; own factors, the pressure gain, the handbook's pocket, the nominal skin at times."""
    knock = None
    if r.random() < 0.15:
        panel = (r.uniform(0.2, 0.9), r.uniform(0.2, 0.9)) if r.random() < 0.5 else (None, None)
        knock = sb.OwnKnockdown(r.uniform(0.2, 0.9), r.uniform(0.2, 0.9), "test", *panel)
    reason = sb.Reason("test")
    return sb.Policy(
        "nominal" if r.random() < 0.1 else "minimum",
        knock,
        reason if r.random() < 0.1 else None,
        reason if r.random() < 0.1 else None,
    )


def _drawn(r, t, side, count, least, **extra):
    """A family of any drawn section but a blade, of the order of `t`; `least` is the thickness of what stands out over
    its width."""
    s = t * r.uniform(0.7, 1.8)
    depth, wide = s * r.uniform(10, 30), lambda: s * r.uniform(4, 0.9 / least)
    kind = r.choice(["tee", "angle", "zee", "hat", "i", "bulb"])
    joint = r.choice(["integral", "riveted", "welded"])
    keys = {"depth": depth, "thickness": s, "joint": joint}
    if kind == "hat":
        crown, base, foot = (s * r.uniform(8, 25), s * r.uniform(8, 25), wide())
        return sb.Stiffeners(
            side, kind, crown_width=crown, base_width=base, foot_width=foot, torsion_constant=s**3 * depth, count=count,
            **keys, **extra,
        )  # fmt: skip
    if kind == "bulb" or (attached := r.choice(["web", "flange"])) == "web":
        keys["joint"] = r.choice(["integral", "welded"])
    if kind == "bulb":
        keys["depth"] = s * r.uniform(6, 0.9 / least)
        return sb.Stiffeners(side, kind, bulb_diameter=s * r.uniform(1.5, 4), count=count, **keys, **extra)
    own = lambda: r.choice([None, s * r.uniform(0.9, 1.6)])  # noqa: E731
    keys |= {"flange_width": wide(), "flange_thickness": own()}
    if kind in ("zee", "i"):
        keys |= {"joint": joint, "foot_width": wide(), "foot_thickness": own()}
    else:
        keys["attached"] = attached
        if attached == "web":
            keys["depth"] = s * r.uniform(10, 20)
    return sb.Stiffeners(side, kind, count=count, **keys, **extra)


def with_drawn_sections(case, seed):
    """The case of a skin with stringers, rings or both, whose sections are drawn ones; at times with a metal of their
    own, and crippling by a formula of whole sections."""
    r = random.Random(f"sections {seed}")
    t, wall = case.barrel.skin_thickness, case.wall
    families = {}
    for name, family in (("stringers", wall.stringers), ("rings", wall.rings)):
        if family is not None:
            metal = family.material or case.material
            p = metal.points[-1]
            # rings whose edges stand out farther than twice the flat-bar limit are refused
            limit = 0.8 * math.sqrt(p.compression_modulus / max(q.compression_yield for q in metal.points))
            spacing = 2 * math.pi * case.barrel.radius / family.count
            count = family.count if name == "rings" else round(family.count * min(1.0, spacing / (70 * t)))
            families[name] = _drawn(r, t, family.side, count, 1 / limit, material=family.material)
    method, share = r.choice([None, None, "Gerard", "Needham"]), r.choice([1.0, 0.3, 0.1, 0.03])
    # lighter loads leave the skin between stringers unbuckled, so that rows beside it are given
    loads = [
        replace(x, axial_force=x.axial_force * share, bending_moment=x.bending_moment * share) for x in case.load_cases
    ]
    policy = replace(case.policy, section_crippling=method and sb.SectionCrippling(method, "test"))
    return replace(case, load_cases=tuple(loads), wall=sb.StiffenedWall(**families), policy=policy)
