"""Every margin of one barrel, worked out anew from the conventions by the arithmetic written here and in `smeared`.

This file is the judge of the package's margins, so it imports nothing of it and shares no formula with it. The closed
form is the energy of the simply supported field put through the strain operators, minimised over (m, n) by brute force
and polished at 40 digits; yield is found as the root of a quadratic; local, strength and mass rows are written out.

Sources: NASA SP-8007 Rev 2 (2020), Eqs 1-16, 48, 50, 60-63 and Fig 4-5 (two digitisations); NASA CR-124075 for the
grid's ribs; Timoshenko & Gere for plates (textbook); Sanders' kinematics (1963); DNV-RP-C202 for flat bars (from
memory). The rest are the project's fixed conventions, restated beside each function.

Choices where the conventions leave one open
--------------------------------------------
1.  A rib's stress is E_rib times the strain of A^-1 (N_x, N_theta) along it, of the wall at stability thickness with
    compression moduli (crippling is stability). s_L belongs to axial plus bending line load at the peak fibre, limit
    values, hoop force 0; external axial tension is held fixed and joins s_p. The stretched generator is tried as well:
    hoop ribs are compressed there. Rings of orthogrids and ringed walls have the row too, as hinged long plates.
2.  The crippling stress of a rib is cut off at the rib's own compressive yield (a rib's stress is uniaxial).
3.  Every rib family of a grid that the load compresses is tried with the grid's one crippling stress; one that neither
    load nor pressure compresses is left out.
4.  First yield of the wall: von Mises in the skin against its compressive yield; a rib against compressive yield where
    it is compressed, tension yield where it is stretched. The limit at a pressure is the largest net line load before
    yield; the applied one is p R/2 higher (closed ends) at that very pressure; the lower of both pressures counts.
    A stringered panel takes its own limit, without rings; a bare bay that of the whole wall, as strength does.
5.  Of a capacity made of an axial and a bending part each part is cut off at first yield by itself (the lower reading);
    a general load is not cut off but reduced by the metal's curve.
6.  The column is cut off at 2 pi R times the net line load of first yield: its row has no relief (the lower reading).
7.  Strength: {p_max with the factor on everything, p_min unfactored} x {compressed, stretched generator}; every other
    mix of the two pressures lies between and the stress is convex.
8.  Plain walls between L/R 3 and 5: the capacities are mixed, Eqs 48 and 50 with their increment and their pressure
    terms on one side, the lower of them and factor x Sanders + p R/2 on the other. Bare bays too.
9.  The secant factor takes Euler's elastic load of the column, and the factor of safety of its row.
10. Tension T at the fibre adds to the bending capacity: margin (b + T)/(f_s N_b) - 1.
11. The skin's share of a strip counts a rib of another metal by its modulus: t/(t + (E_s/E) A_s/b).
12. The nonlinear prebuckled load limits the axial and the bending part of the general capacity each by itself; Sanders'
    kinematics, at minimum pressure.
13. Masses take a blade's centroid above the nominal skin.
14. Above the elastic range (`plastic`): a capacity has its factor first, then eta, each load component by itself and in
    the net line load; what pressure adds stays. Without a given hardening exponent no component goes beyond first
    yield. A panel of a stringered wall has its own stresses, without rings; a bare bay those of the whole wall (4.).
15. Where the hoop tension is beyond yield under every axial load nothing is left of any capacity, relief included; a
    first yield below zero leaves as little of what is cut off there.
16. Torque, shear force and external pressure (`further_loads`): 1/(f_s sum of ratios) - 1, each ratio that of a load
    alone; external axial tension relieves bending only, and internal pressure neither flow nor external pressure.
    In the net form the further ratios stay as they are beside (f_s N - relief - T)/net capacity.
17. External pressure never acts beside internal pressure: ribs are tried at p_min, at p_max, and under external
    pressure, which relieves ribs along the axis of open ends; strength at f p_max and at -f p_e. The flow has either
    sign.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import further_loads
import numpy as np
import plastic
import sections
from smeared import PI, along, classical, families, plane_stress, stiffness


@dataclass
class Row:
    """A margin of a mode, or why there is none."""

    margin: float | None
    status: str = ""
    net: float | None = None
    axial_factor: float | None = None
    bending_factor: float | None = None
    note: str = ""
    extra: dict = field(default_factory=dict)


# factors of the standard


def plain_factors(R_over_t):
    """SP-8007 Eqs 9-10 and 14-15, to R/t 1500."""
    if R_over_t > 1500:
        return None
    drop = 1 - math.exp(-math.sqrt(R_over_t) / 16)
    return 1 - 0.901 * drop, 1 - 0.731 * drop


def equivalent_thickness(stiff):
    A, B, D = stiff
    bending = (D[0, 0] - B[0, 0] ** 2 / A[0, 0]) * (D[1, 1] - B[1, 1] ** 2 / A[1, 1])
    return math.sqrt(12) * (bending / (A[0, 0] * A[1, 1])) ** 0.25


def stiffened_factors(stiff, R, t):
    """Eqs 60-63 at t_e <= 1.5 t, .65/.75 at t_e >= 3 t, linear in t_e/t between (own rule)."""
    t_e = equivalent_thickness(stiff)
    ratio = t_e / t
    if ratio >= 3:
        return 0.65, 0.75
    if R / t_e > 1500:
        return None
    drop = 1 - math.exp(-math.sqrt(R / (t_e / math.sqrt(12))) / 29.8)
    sheet = 1 - 0.901 * drop, 1 - 0.731 * drop
    share = min(max((ratio - 1.5) / 1.5, 0.0), 1.0)
    return sheet[0] + share * (0.65 - sheet[0]), sheet[1] + share * (0.75 - sheet[1])


_CURVE = [  # Fig 4-5, lower of two digitisations
    (0.02, 0.028),
    (0.026, 0.035),
    (0.04, 0.048),
    (0.06, 0.065),
    (0.1, 0.092),
    (0.15, 0.117),
    (0.2, 0.134),
    (0.31, 0.164),
    (0.4, 0.178),
    (0.5, 0.191),
    (0.77, 0.216),
    (1.0, 0.226),
    (1.5, 0.243),
    (2.0, 0.250),
]


def increment(p, E, R, t):
    """The pressure increment, each point reduced by its scatter (10 % below .1, 5 % from there)."""
    x = p / E * (R / t) ** 2
    points = [(0.0, 0.0)] + [(q, y * (0.9 if q < 0.1 else 0.95)) for q, y in _CURVE]
    return float(np.interp(x, [q for q, _ in points], [y for _, y in points]))


# loads at the fibre


@dataclass
class Fibre:
    """Limit line loads: axial, bending (amplified), relief of closed ends at p_min, axial tension held fixed."""

    axial: float
    bending: float
    relief: float
    flow: float = 0.0  # of torque and shear force
    external: float = 0.0  # pressure

    @property
    def idle(self):
        return self.compression + self.bending + self.flow + self.external == 0

    def further(self, capacities):
        """Ratios of shear flow and external pressure to their capacities (functions: worked where needed)."""
        flow, external = capacities
        return (self.flow and self.flow / flow()) + (self.external and self.external / external())

    @property
    def tension(self):
        return max(-self.axial, 0.0)

    @property
    def compression(self):
        return max(self.axial, 0.0)

    @property
    def total(self):
        return self.axial + self.bending


def external_force(barrel, load):
    return load.axial + (PI * barrel.R**2 * load.thrust_pressure if barrel.closed else 0.0)


def euler_load(barrel, stiff):
    A = stiff[0]
    return PI**2 * PI * barrel.R**3 * (A[0, 0] - A[0, 1] ** 2 / A[1, 1]) / barrel.L**2


def amplification(barrel, load, factor, euler):
    P = external_force(barrel, load)
    if barrel.L / barrel.R <= 10 or P <= 0:
        return 1.0
    ratio = factor * P / euler
    return math.inf if ratio >= 1 else 1 / math.cos(PI / 2 * math.sqrt(ratio))


def fibre(barrel, load, factor, euler):
    N_b = abs(load.moment) / (PI * barrel.R**2)
    if N_b:
        N_b *= amplification(barrel, load, factor, euler)
    flow = abs(load.torque) / (2 * PI * barrel.R**2) + abs(load.shear) / (PI * barrel.R)
    relief = load.p_min * barrel.R / 2 if barrel.closed else 0.0
    return Fibre(external_force(barrel, load) / (2 * PI * barrel.R), N_b, relief, flow, load.external)


def pair(at, a, b):
    """Capacity of the pair at this mix, axial tension left out: (N_a + N_b)/(N_a/a + N_b/b)."""
    N_a, N_b = at.compression, at.bending
    if (N_a and not a) or (N_b and not b):
        return 0.0
    return (N_a + N_b) / ((N_a and N_a / a) + (N_b and N_b / b))


# first yield


def yield_line_load(barrel, stiff, p):
    """Largest net compressive line load before first yield with the hoop tension p R; None if none exists."""
    metal = barrel.metal
    inverse = np.linalg.inv(stiff[0])
    per_load, hoop = -inverse[:, 0], inverse[:, 1] * p * barrel.R  # strain of unit compression; of the pressure
    Q = plane_stress(metal.E_compression, metal.nu)
    x, y = Q @ per_load, Q @ hoop
    strength = metal.compression_yield
    mises = np.array([[1, -0.5, 0], [-0.5, 1, 0], [0, 0, 3]])
    quad, lin, const = x @ mises @ x, 2 * x @ mises @ y, y @ mises @ y - strength**2
    disc = lin**2 - 4 * quad * const
    if disc < 0:
        return None
    limits = [(-lin + math.sqrt(disc)) / (2 * quad)]
    for _, angle, ribs in families(barrel):
        slope = -ribs.metal.E_compression * along(angle) @ per_load  # compression positive
        start = -ribs.metal.E_compression * along(angle) @ hoop
        if slope > 0:
            limits.append((ribs.metal.compression_yield - start) / slope)
        elif slope < 0:
            limits.append((-ribs.metal.tension_yield - start) / slope)
    return min(limits)


def yield_limits(barrel, stiff, load):
    """(lowest applied line load at first yield, lowest net one), or None."""
    net = {p: yield_line_load(barrel, stiff, p) for p in {load.p_min, load.p_max}}
    if any(x is None for x in net.values()):
        return None
    return min(x + (p * barrel.R / 2 if barrel.closed else 0.0) for p, x in net.items()), min(net.values())


# rows


def _over(at, f_s, a, b, further):
    """1/(f_s sum of ratios) - 1; a fixed tension relieves bending."""
    with_nothing_left = (at.compression and a <= 0) or (at.bending and b + at.tension <= 0)
    if with_nothing_left:
        return -1.0
    ratios = (at.compression and at.compression / a) + (at.bending and at.bending / (b + at.tension)) + further
    return 1 / (f_s * ratios) - 1


def _stability(at, f_s, a, b, a_net, b_net, limit, cut, capacities):
    """Row of a capacity with an axial and a bending part; `limit` is the applied line load at first yield."""
    if at.idle:
        return Row(None, "not compressed")
    note = ""
    if limit is None or (cut and max(a, b) > limit):
        most, note = max(limit or 0.0, 0.0), "cut off"
        a, b = min(a, most), min(b, most)
        a_net, b_net = min(a_net, most - at.relief), min(b_net, most - at.relief)
    further = at.further(capacities)
    compressed = at.compression + at.bending
    margin = _over(at, f_s, a, b, further)
    rest, net = f_s * compressed - at.relief - at.tension, None
    if rest > 0:
        left = pair(at, a_net, b_net)
        net = 1 / (rest / left + f_s * further) - 1 if left > 0 else -1.0
    return Row(margin, "holds" if margin >= 0 else "fails", net, note=note)


def _short(E, nu, t, R, L, gamma):
    Z = L**2 / (R * t) * math.sqrt(1 - nu**2)
    return gamma * Z < 2.85, PI**2 * E * t**3 / (12 * (1 - nu**2) * L**2) * (1 + 12 * (gamma * Z) ** 2 / PI**4)


def plain_row(barrel, load, at, stiff, L, bay, limit, own=None, whole=None):
    """Plain wall (bay False, Eqs 48 and 50) or bare bay between rings (bay True: relief p R/2, no increment), whose
    stresses are those of the `whole` wall's stiffness."""
    E, nu, t, R = barrel.metal.E_compression, barrel.metal.nu, barrel.t, barrel.R
    factors = own or plain_factors(R / t)
    if factors is None:
        return Row(None, "refused", note="R/t above 1500")
    p, root = load.p_min, math.sqrt(3 * (1 - nu**2))
    fade = min(max((L / R - 3) / 2, 0.0), 1.0)
    sanders = classical(stiff, R, L, sanders=True)[0] if fade > 0 else math.inf
    d_gamma = 0.0 if bay or own else increment(p, E, R, t)
    bulge = at.relief if bay else 1.6 * at.relief  # .8 p R of Eq 50 for closed ends
    totals, nets = [], []
    stressed = plastic.elements(barrel, whole or stiff, load)
    for gamma, relief in zip(factors, (at.relief, bulge), strict=True):
        short, load_short = _short(E, nu, t, R, L, gamma)
        if short:
            letter_net, relief = load_short, at.relief
        else:
            letter_net = E * t**2 / R * (gamma / root + d_gamma)
        letter = letter_net + relief
        lower = min(letter, gamma * sanders + at.relief)
        lower_net = letter_net if lower == letter else gamma * sanders
        total, elastic = letter + fade * (lower - letter), letter_net + fade * (lower_net - letter_net)
        nets.append(plastic.reduced(stressed, elastic, plastic.sheet(gamma, L, R, t, nu)))
        totals.append(total - elastic + nets[-1])
    carried = (lambda: further_loads.plain_shear(barrel, L, bay), lambda: further_loads.plain_pressure(barrel, L, bay))
    row = _stability(at, load.ultimate_factor, *totals, *nets, limit, bay, carried)
    row.axial_factor, row.bending_factor = factors
    return row


def stiffened_row(barrel, load, at, stiff, L, limit, cut, own=None, gain=False, prebuckled=math.inf):
    """General instability or the panel between rings: factor x classical + p R/2."""
    factors = own or stiffened_factors(stiff, barrel.R, barrel.t)
    if factors is None:
        return Row(None, "refused", note="R/t_e above 1500")
    hoop = load.p_min * barrel.R if gain else 0.0
    found = min(classical(stiff, barrel.R, L, hoop, sanders) for sanders in (False, True))
    t_e, stressed = equivalent_thickness(stiff), plastic.elements(barrel, stiff, load)
    a, b = (
        plastic.reduced(stressed, min(g * found[0], prebuckled), plastic.sheet(g, L, barrel.R, t_e, barrel.metal.nu))
        for g in factors
    )
    carried = (
        lambda: further_loads.stiffened_shear(barrel, stiff, L, cut),
        lambda: further_loads.stiffened_pressure(barrel, stiff, L, cut),
    )
    row = _stability(at, load.ultimate_factor, a + at.relief, b + at.relief, a, b, limit, cut, carried)
    row.axial_factor, row.bending_factor = factors
    row.extra = {"load": found[0], "m": found[1], "n": found[2]}
    return row


def local_row(barrel, load, at, stiff, elastic, limit):
    """(N_local + p_min R/2)/(f_s N) - 1, cut off at first yield, beside flow and external pressure."""
    if at.idle:
        return Row(None, "not compressed")
    capacity = plastic.reduced(plastic.elements(barrel, stiff, load), elastic, plastic.field) + at.relief
    note = ""
    if limit is None or capacity > limit:
        capacity, note = max(limit or 0.0, 0.0), "cut off"
    further = at.further(
        (lambda: further_loads.field_shear(barrel, stiff), lambda: further_loads.field_pressure(barrel, stiff))
    )
    margin = _over(at, load.ultimate_factor, capacity, capacity, further)
    return Row(margin, "holds" if margin >= 0 else "fails", note=note)


def rib_row(barrel, load, at, stiff, tried, crippling):
    """Ribs by an elastic crippling stress of plates with a free edge, reduced and cut off at yield."""
    return stressed_row(barrel, load, at, stiff, tried, lambda metal: plastic.crippling(metal, crippling))


def stressed_row(barrel, load, at, stiff, tried, allowed):
    """Own stress of ribs: (s_crip - s_p)/(f_s s_L) - 1 over both pressures, both generators and every rib in `tried`.

    Axial tension relieves the compressed generator and is fixed there; it loads the stretched one, where it scales.
    """
    inverse = np.linalg.inv(stiff[0])
    found = []
    states = ((at.tension, at.compression + at.bending), (0.0, at.axial - at.bending))  # fixed tension, scaled load
    for _, angle, ribs in tried:
        E, e = ribs.metal.E_compression, along(angle)
        strength = allowed(ribs.metal)
        for p, p_e in {(load.p_min, 0.0), (load.p_max, 0.0), (load.p_min, at.external)}:
            thrust = p * barrel.R / 2 if barrel.closed else 0.0
            for fixed, scaled in states:
                s_p = -E * e @ inverse @ np.array([thrust + fixed, p * barrel.R, 0.0])
                outer = p_e * barrel.R / 2 if barrel.closed else 0.0
                s_L = E * e @ inverse @ np.array([scaled + outer, p_e * barrel.R, 0.0])
                s_L += abs(E * e @ inverse @ np.array([0.0, 0.0, at.flow]))
                if s_L > 0:
                    found.append(((strength - s_p) / (load.ultimate_factor * s_L) - 1, p))
                elif s_p >= strength:
                    found.append((strength / s_p - 1, p))
    if not found:
        return Row(None, "not compressed")
    margin, p = min(found)
    return Row(margin, "holds" if margin >= 0 else "fails", extra={"p": p})


def strength_rows(barrel, load, euler):
    """Skin (von Mises) and every rib family (direct stress), yield and ultimate."""
    stiff = stiffness(barrel, barrel.t_strength, "E")
    inverse = np.linalg.inv(stiff[0])
    Q = plane_stress(barrel.metal.E, barrel.metal.nu)
    rows = {}
    for limit in ("yield", "ultimate"):
        f_s = load.yield_factor if limit == "yield" else load.ultimate_factor
        at = fibre(barrel, load, f_s, euler)
        worst: dict[str, float] = {}
        for p in (f_s * load.p_max, -f_s * load.external if load.external else load.p_min):
            for sign, turn in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
                N_x = -f_s * (at.axial + sign * at.bending) + (p * barrel.R / 2 if barrel.closed else 0.0)
                strain = inverse @ np.array([N_x, p * barrel.R, turn * f_s * at.flow])
                x, y, xy = Q @ strain
                mises = math.sqrt(x * x - x * y + y * y + 3 * xy * xy)
                m = barrel.metal
                F = min(m.tension_yield, m.compression_yield) if limit == "yield" else m.ultimate
                _worst(worst, "skin", mises / F)
                for name, angle, ribs in families(barrel):
                    s = ribs.metal.E * along(angle) @ strain
                    F = ribs.metal.ultimate
                    if limit == "yield":
                        F = ribs.metal.tension_yield if s > 0 else ribs.metal.compression_yield
                    _worst(worst, name, abs(s) / F)
        for name, use in worst.items():
            margin = 1 / use - 1 if use > 0 else None
            rows[f"{name}, {limit}"] = Row(margin, "holds" if margin is None else "")
    return rows


def _worst(found, name, use):
    found[name] = max(found.get(name, 0.0), use)


def web_stress(ribs):
    """Hinged root, long plate with one edge free: k = 6 (1 - nu)/pi^2."""
    nu = ribs.metal.nu
    k = 6 * (1 - nu) / PI**2
    return k * PI**2 * ribs.metal.E_compression / (12 * (1 - nu**2)) * (ribs.thickness / ribs.depth) ** 2


@dataclass
class Choices:
    """What a case asks for beyond the rules: own factors (axial, bending) of the barrel and of its panel, the computed
    pressure gain, the handbook's 10.2 for triangular pockets; `prebuckled` is the load of `edge_bending` (factor 1);
    `crippling` names a formula of whole sections."""

    own: tuple | None = None
    panel: tuple | None = None
    gain: bool = False
    handbook: bool = False
    prebuckled: float = math.inf
    crippling: str = ""


def margins(barrel, load, asked=None):
    """Every margin row of one load case by mode name."""
    asked = asked or Choices()
    own = asked.own
    f_s = load.ultimate_factor
    stiff = stiffness(barrel, barrel.t)
    euler = euler_load(barrel, stiff)
    at = fibre(barrel, load, f_s, euler)
    t, metal = barrel.t, barrel.metal
    both = yield_limits(barrel, stiff, load)
    limit = None if both is None else both[0]
    rows: dict[str, Row] = {}
    if math.isinf(at.bending):
        return {"column (n = 1)": _column(barrel, load, stiff, euler, both)}

    if barrel.kind == "plain":
        rows["general instability"] = plain_row(barrel, load, at, stiff, barrel.L, False, limit, own)
    else:
        rows["general instability"] = stiffened_row(
            barrel, load, at, stiff, barrel.L, limit, False, own, asked.gain, asked.prebuckled
        )
    rows["column (n = 1)"] = _column(barrel, load, stiff, euler, both)

    if barrel.rings:
        bay, panel, length = (
            stiffness(barrel, t, leave_out=("rings",)),
            replace(barrel, rings=None),
            barrel.rings.spacing,
        )
        if barrel.stringers:
            own_limit = (yield_limits(panel, bay, load) or [None])[0]
            rows["panel between rings"] = stiffened_row(panel, load, at, bay, length, own_limit, True, asked.panel)
        else:
            rows["panel between rings"] = plain_row(barrel, load, at, bay, length, True, limit, asked.panel, stiff)

    if barrel.stringers:
        ribs = barrel.stringers
        sigma = 4 * PI**2 * metal.E_compression / (12 * (1 - metal.nu**2)) * (t / ribs.spacing) ** 2
        n_E = ribs.metal.E_compression / metal.E_compression
        N_local = sigma * (t + n_E * ribs.section(t)[0] / ribs.spacing)
        rows["skin pocket" if barrel.rings else "skin strip"] = local_row(barrel, load, at, stiff, N_local, limit)
        if ribs.blade:
            rows["stringer web"] = rib_row(barrel, load, at, stiff, [("", 0.0, ribs)], web_stress(ribs))
    if barrel.rings and barrel.rings.blade:
        rows["ring web"] = rib_row(barrel, load, at, stiff, [("", 90.0, barrel.rings)], web_stress(barrel.rings))
    for family in ("stringer", "ring"):
        ribs = barrel.stringers if family == "stringer" else barrel.rings
        if ribs and ribs.shape:
            rows.update(_drawn_rows(barrel, load, at, stiff, family, ribs, asked.crippling))
    if barrel.grid:
        ribs, nu, E, h = barrel.grid, metal.nu, metal.E_compression, barrel.grid.spacing
        c = (6.0136 if barrel.hoop_family else 6.0974) / (1 - nu**2)
        c = 10.2 if asked.handbook else c
        alpha = ribs.thickness * ribs.depth / (t * h)
        rows["skin pocket"] = local_row(barrel, load, at, stiff, c * E * t * (1 + alpha) * (t / h) ** 2, limit)
        handbook = (0.616 if barrel.hoop_family else 0.411) * E * t * (1 + alpha) * (ribs.thickness / ribs.depth) ** 2
        inverse = np.linalg.inv(stiff[0])
        tried = families(barrel)
        per_load = max(r.metal.E_compression * along(angle) @ inverse[:, 0] for _, angle, r in tried)
        rows["rib crippling"] = rib_row(barrel, load, at, stiff, tried, handbook * per_load)

    # loads on unbuckled stiffness are withheld where the skin buckles below the ultimate line load
    pocket = rows.get("skin pocket") or rows.get("skin strip")
    if pocket and pocket.margin is not None and pocket.margin < 0:
        for name in ("general instability", "panel between rings", COLUMN):
            if name in rows and rows[name].status != "not compressed":
                row = rows[name]
                row.extra["shown"] = row.margin
                row.margin, row.net, row.status = None, None, "withheld"
    rows.update(strength_rows(barrel, load, euler))
    return rows


COLUMN = "stringer column between rings"


def _drawn_rows(barrel, load, at, stiff, family, ribs, method):
    """Crippling, rolling and, of stringers between rings, the column, each against the rib's own stress."""
    shape, metal, angle = ribs.shape, ribs.metal, 0.0 if family == "stringer" else 90.0
    cripples = sections.crippling_stress(shape, metal, method)
    stresses = {f"{family} {sections.crippling_name(shape)}": cripples}
    if shape.hinge:
        same = barrel.rings and barrel.stringers and barrel.rings.outside == barrel.stringers.outside
        length = None if family == "ring" else barrel.rings.spacing if same else barrel.L
        stresses[f"{family} rolling"] = sections.rolling_stress(shape, metal, length)
    if family == "stringer" and barrel.rings:
        where = barrel.metal, barrel.t, ribs.spacing, barrel.rings.spacing
        stresses[COLUMN] = sections.column_stress(shape, metal, *where, cripples)
    return {
        name: stressed_row(barrel, load, at, stiff, [("", angle, ribs)], lambda _, s=s: s)
        for name, s in stresses.items()
    }


def _column(barrel, load, stiff, euler, both):
    P = external_force(barrel, load)
    if P <= 0:
        return Row(None, "not compressed")
    around, most = 2 * PI * barrel.R, max(both[1], 0.0) if both else 0.0
    N = plastic.reduced(plastic.elements(barrel, stiff, load, thrust=False), euler / around, plastic.column)
    capacity = min(N, most) * around
    margin = capacity / (load.ultimate_factor * P) - 1
    return Row(margin, "holds" if margin >= 0 else "fails", note="cut off" if capacity < euler else "")


# mass


def fillets(barrel):
    """Volume of the rounded corners of all pockets: r^2 (1 - pi/4) each of four, r^2 (sqrt 3 - pi/3) each of three."""
    r, R, L = barrel.corner_radius, barrel.R, barrel.L
    if barrel.grid:
        h = barrel.grid.spacing
        pockets = 2 * PI * R * L / (h * h / math.sqrt(3))  # a h/2 with a = 2 h/sqrt 3
        return pockets * 3 * r**2 * (math.sqrt(3) - PI / 3) * barrel.grid.depth
    if barrel.kind == "orthogrid":
        pockets = 2 * PI * R * L / (barrel.stringers.spacing * barrel.rings.spacing)
        return pockets * 4 * r**2 * (1 - PI / 4) * barrel.stringers.depth
    return 0.0


def mass(barrel):
    """Nominal skin; rings as many as they are at their centroid; inclined ribs by their helix there [kg]."""
    R, L, t = barrel.R, barrel.L, barrel.t_nominal
    total = barrel.metal.density * 2 * PI * R * L * t
    for _, angle, ribs in families(barrel):
        area, _, _, z = ribs.section(t)
        if angle == 90:
            count = ribs.count if ribs.count is not None else L / ribs.spacing
            length = count * 2 * PI * (R + z)
        elif angle == 0:
            length = 2 * PI * R / ribs.spacing * L
        else:
            c = math.cos(math.radians(angle))
            around = math.tan(math.radians(angle)) * (R + z) / R
            length = 2 * PI * R * c / ribs.spacing * L * math.sqrt(1 + around**2)
        total += ribs.metal.density * area * length
    return total + barrel.metal.density * fillets(barrel)


def ring_slenderness(ring):
    """(d/t, 0.4 sqrt(E/F_cy)): warned above the second, refused above twice it."""
    return ring.depth / ring.thickness, 0.4 * math.sqrt(ring.metal.E_compression / ring.metal.compression_yield)
