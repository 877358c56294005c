"""Stringers and rings of drawn sections: area, inertia, plates, crippling, column and rolling. Nothing of the package.

A section is a cloud of weighted points that integrates squares exactly (three Gauss points each way of every rectangle,
four points of a disc), and a tree of plates along its middle lines. Heights run from the surface of the skin.

Sources: Timoshenko & Gere for plates (k = 4, and 6 (1 - nu)/pi^2 with a free edge); Gerard's crippling of multi-corner
sections (g of 2 for an angle, 11 for a hat), and from memory .67 and .40 with g of 3 for a tee, 7 for an I, zees by two
corners, cut off at .7, .8, .9 of yield; Needham's C_e (E F)^(1/2)/(b/t)^(3/4) with .316, .342, .366 by free edges (from
memory); Johnson's parabola and Euler (textbook); Vlasov's bar that turns about a line (sectorial areas written out).

Choices where the conventions leave one open
--------------------------------------------
1. Plates run between middle lines; an integral foot is skin; the least thickness of a section goes into Gerard.
2. What cripples: the weakest plate, reduced by its own eta, no more than Gerard's stress, no more than yield. A formula
   that the case chooses takes the place of the plates.
3. A column between rings bends with the whole width of skin or with von Karman's at the crippling stress, whichever
   has the lesser radius of gyration; Johnson's parabola up to half the crippling stress, then Euler's, tangent modulus.
4. A section turns about its row of rivets (middle of a one-sided foot) or the root of its web; warping is taken less
   its mean; over the bay where rings stand on the same side, else over the barrel. Rings: in long waves, GJ/I_p.
5. A hat is closed: its torsion is given here (the package's reduction by sway is its own and has tests of its own).
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field

import numpy as np

PI = math.pi
_GAUSS = ((-math.sqrt(0.6), 5 / 18), (0.0, 8 / 18), (math.sqrt(0.6), 5 / 18))


@dataclass
class Plate:
    """A plate between two points of middle lines, its thickness, whether an edge is free, its name."""

    start: tuple
    end: tuple
    t: float
    free: bool
    name: str

    @property
    def width(self):
        return math.dist(self.start, self.end)


@dataclass
class Shape:
    """A section: cloud (y, z, area), plates that may buckle, arms of the tree of its middle line from the root of its
    web (each a list of points with a thickness), hinge or None, what Gerard calls it, corners for Needham."""

    cloud: list
    plates: list
    arms: list
    hinge: tuple | None
    gerard: tuple
    corners: list = field(default_factory=list)
    twist: float = 0.0

    @property
    def area(self):
        return sum(a for _, _, a in self.cloud)

    @property
    def up(self):
        return sum(z * a for _, z, a in self.cloud) / self.area

    @property
    def inertia(self):
        return sum((z - self.up) ** 2 * a for _, z, a in self.cloud)

    @property
    def polar(self):
        y0, z0 = self.hinge
        return sum(((y - y0) ** 2 + (z - z0) ** 2) * a for y, z, a in self.cloud)

    @property
    def warping(self):
        """Integral of (omega - mean)^2 by many points on every arm, omega twice the area that the radius sweeps."""
        values, weights = [], []
        for points, t, first in self.arms:
            omega = first
            for (y0, z0), (y1, z1) in itertools.pairwise(points):
                cross = (y0 - self.hinge[0]) * (z1 - z0) - (z0 - self.hinge[1]) * (y1 - y0)
                for x, w in _GAUSS:
                    values.append(omega + cross * (1 + x) / 2)
                    weights.append(w * math.dist((y0, z0), (y1, z1)) * t)
                omega += cross
        values, weights = np.array(values), np.array(weights)
        return float(weights @ (values - weights @ values / weights.sum()) ** 2)


def _rectangle(start, end, t):
    """Cloud of a rectangle along a line."""
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    found = []
    for x, w in _GAUSS:
        for y, v in _GAUSS:
            u, n = x * length / 2, y * t / 2
            point = (middle[0] + u * along[0] - n * along[1], middle[1] + u * along[1] + n * along[0])
            found.append((*point, w * v * length * t))
    return found


def _strips(rectangles):
    return sum(length * t**3 for length, t in rectangles) / 3


def webbed(name, depth, t, joint, flange=None, foot=None, one_sided=False):
    """Tee, angle, zee, I: `flange` and `foot` are (width over all, thickness) or None."""
    low = foot[1] if foot else 0.0
    high = depth - (flange[1] if flange else 0.0)
    z0, z1 = low / 2, (depth + high) / 2
    cloud = _rectangle((0.0, low), (0.0, high), t)
    plates = [Plate((0.0, z0), (0.0, z1), t, flange is None, "web")]
    root = (0.0, z0)
    arms = [([root, (0.0, z1)], t, 0.0)]
    parts, leaves = [(high - low, t)], []
    hinge = (0.0, 0.0)
    for what, leaf, z, side in (("foot", foot, z0, -1), ("flange", flange, z1, 1 if name == "zee" else -1)):
        if leaf is None:
            continue
        width, s = leaf
        out = width - t / 2 if one_sided else width / 2
        ends = [(side * out, -side * t / 2)] if one_sided else [(-width / 2, width / 2)]
        a, b = sorted(ends[0])
        cloud += _rectangle((a, z), (b, z), s)
        parts.append((width, s))
        leaves.append((out, s))
        for way in (side,) if one_sided else (-1, 1):
            edge = (way * out, z)
            arms.append(([(0.0, z), edge], s, what))
            if not (what == "foot" and joint == "integral"):
                plates.append(Plate((0.0, z), edge, s, True, what))
        if what == "foot" and joint == "riveted" and one_sided:
            hinge = ((a + b) / 2, 0.0)
    # omega at the head of the web, where a flange starts
    head = (root[0] - hinge[0]) * (z1 - z0)
    arms = [(points, s, head if first == "flange" else 0.0) for points, s, first in arms]
    least = min(s for _, s in parts)
    gerard = {"tee": ("tee", 3, 0.8), "i": ("tee", 7, 0.8), "angle": ("corner", 2, 0.7), "zee": ("two", 0, 0.9)}[name]
    corners = []
    web = z1 - z0
    if name == "angle":
        corners = [(web, leaves[0][0], min(t, leaves[0][1]), 2)]
    if name == "zee":
        corners = [(web / 2, out, min(t, s), 1) for out, s in leaves]
    return Shape(cloud, plates, arms, hinge, (*gerard, least), corners, _strips(parts))


def hat(depth, t, crown, base, foot, joint, twist):
    """One sheet by its middle line; held on two lines, so that it does not roll."""
    z0, z1 = t / 2, depth - t / 2
    line = [(-base / 2 - foot, z0), (-base / 2, z0), (-crown / 2, z1), (crown / 2, z1), (base / 2, z0)]
    line.append((base / 2 + foot, z0))
    cloud, plates = [], []
    for i, name in enumerate(("foot", "web", "crown", "web", "foot")):
        cloud += _rectangle(line[i], line[i + 1], t)
        if name != "foot" or joint != "integral":
            plates.append(Plate(line[i], line[i + 1], t, name == "foot", name))
    web = math.dist(line[1], line[2])
    corners = [(foot, web / 2, t, 1), (web / 2, crown / 2, t, 0)]
    return Shape(cloud, plates, [], None, ("corner", 11, 0.8, t), corners, twist)


def bulb(depth, t, D):
    z = depth - D / 2
    disc = [(s * D / 2 / math.sqrt(2) * a, z + s * D / 2 / math.sqrt(2) * b, PI * D**2 / 16) for s in (1, -1)
            for a, b in ((1, 0), (0, 1))]  # fmt: skip
    cloud = _rectangle((0.0, 0.0), (0.0, depth - D), t) + disc
    plates = [Plate((0.0, 0.0), (0.0, z), t, True, "web")]
    twist = (depth - D) * t**3 / 3 + PI * D**4 / 32
    return Shape(cloud, plates, [([(0.0, 0.0), (0.0, z)], t, 0.0)], (0.0, 0.0), ("", 0, 0, t), [], twist)


# stresses


def _root(f, most):
    low, high = 0.0, most
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if f(middle) < 0 else (low, middle)
    return high


def left_of(metal, elastic, eta):
    """s = eta(s) elastic by bisection; `eta` of (E_s/E, E_t/E)."""
    n = 5.0 if metal.hardening is None else metal.hardening
    E, F = metal.E_compression, metal.compression_yield

    def rest(s):
        b = 0.002 * E / F * min(s / F, 1e4) ** (n - 1)
        return s - eta(1 / (1 + b), 1 / (1 + n * b)) * elastic

    return elastic if rest(elastic) <= 0 else _root(rest, elastic)


def _held(secant, tangent):
    return secant * (0.5 + 0.5 * math.sqrt(0.25 + 0.75 * tangent / secant))


def plate_stress(metal, p):
    E, nu = metal.E_compression, metal.nu
    k = 6 * (1 - nu) / PI**2 if p.free else 4.0
    elastic = k * PI**2 * E / (12 * (1 - nu**2)) * (p.t / p.width) ** 2
    return left_of(metal, elastic, (lambda secant, _: secant) if p.free else _held)


def published(shape, metal):
    """Gerard's stress, or None."""
    kind, g, most, t = shape.gerard
    E, F, A = metal.E_compression, metal.compression_yield, shape.area
    if kind == "corner":
        share = 0.56 * (g * t * t / A * math.sqrt(E / F)) ** 0.85
    elif kind == "tee":
        share = 0.67 * (g * t * t / A * math.sqrt(E / F)) ** 0.4
    elif kind == "two":
        share = 3.2 * (t * t / A * (E / F) ** (1 / 3)) ** 0.75
    else:
        return None
    return F * min(share, most)


def needham(shape, metal):
    """By corners, weighed by their areas; None where a section is not made of angles."""
    if not shape.corners:
        return None
    E, F = metal.E_compression, metal.compression_yield
    total = area = 0.0
    for a, b, t, free in shape.corners:
        C = {2: 0.316, 1: 0.342, 0: 0.366}[free]
        total += C * math.sqrt(E * F) * ((a + b) / 2 / t) ** -0.75 * (a + b) * t
        area += (a + b) * t
    return min(total / area, F)


def crippling_stress(shape, metal, method=""):
    weakest = min([metal.compression_yield, *(plate_stress(metal, p) for p in shape.plates)])
    found = needham(shape, metal) if method == "Needham" else published(shape, metal)
    if found is None:
        return weakest
    return min(found, metal.compression_yield) if method else min(found, weakest)


def crippling_name(shape):
    return "crippling" if len(shape.plates) > 1 else "web"


def column_stress(shape, metal, skin, t, spacing, bay, crippling):
    """Stress at which a stringer bows between rings; `skin` is the metal of the skin, t thick."""
    E = metal.E_compression
    n = skin.E_compression / E
    buckles = 4 * PI**2 * skin.E_compression / (12 * (1 - skin.nu**2)) * (t / spacing) ** 2
    radii = []
    for b in (spacing, min(spacing, spacing * math.sqrt(buckles / (crippling * n)))):
        areas = [(shape.area, shape.up + t / 2, shape.inertia), (n * b * t, 0.0, n * b * t**3 / 12)]
        total = sum(a for a, _, _ in areas)
        z = sum(a * x for a, x, _ in areas) / total
        radii.append(math.sqrt(sum(i + a * (x - z) ** 2 for a, x, i in areas) / total))
    slender = bay / min(radii)
    euler = PI**2 * E / slender**2
    # the parabola touches Euler's curve at half the crippling stress
    johnson = crippling * (1 - crippling / (4 * euler)) if euler > crippling / 2 else euler
    return min(johnson, left_of(metal, euler, lambda _, tangent: tangent), metal.compression_yield)


def rolling_stress(shape, metal, length):
    """Sigma I_p = G J + E C_w (pi/L)^2; `length` None for rings."""
    E = metal.E_compression
    resists = E / (2 * (1 + metal.nu)) * shape.twist
    if length is not None:
        resists += E * shape.warping * (PI / length) ** 2
    elastic = resists / shape.polar
    return min(left_of(metal, elastic, lambda _, tangent: tangent), metal.compression_yield)
