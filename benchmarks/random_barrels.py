"""Random barrels meshed and solved: how many come back complete and certified, and which are withheld, in words.

    OMP_NUM_THREADS=1 python benchmarks/random_barrels.py [--count 100] [--seed 1] [--from 1] [--most 60000]

Walls plain, with stringers, rings, both, and triangular grids of either family; ribs inside or outside; edge sets of
either kind; with and without internal pressure; prestress of uniform strain or linear statics; whole barrels, repeating
sectors, halves; 5 000 to 60 000 unknowns. The guess is a smeared or local load, up to 20 % off at random. Every result
is checked once more: by another order of elimination, a count just below the first load must be nil, and just above the
last it must be the one returned. `--from` skips barrels already done: the same seed draws the same ones.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter

import numpy as np

from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.engines.eigen import count_below
from shellbuck.engines.fe import (
    Shell,
    Support,
    buckle,
    geometric,
    linear_statics,
    reduction,
    sheet,
    side_ties,
    stiffness,
    symmetry_at,
    uniform_strain,
    without_drift,
)
from shellbuck.engines.fe.constraints import reduced
from shellbuck.engines.fe.prestress import held_by
from shellbuck.engines.mesh import Blades, Divisions, Extent, StraightRibs, TriangularRibs, build_mesh, mesh_size

E, NU, WANT = 70e9, 0.33, 4
LEAST, MOST = 5_000, 60_000
WALLS = ("plain", "stringers", "rings", "orthogrid", "hoop grid", "axial grid")
EDGES = ("SS1", "SS2", "SS3", "SS4", "C1", "C2", "C3", "C4")


def drawn(rng: np.random.Generator, most: int = MOST):
    """A random barrel that can be meshed: words, shape, divisions, extent."""
    while True:
        wall = str(rng.choice(WALLS))
        R, t = float(rng.uniform(0.5, 3)), 0.0
        t = R / float(np.exp(rng.uniform(np.log(80), np.log(800))))
        L = R * float(rng.uniform(0.3, 1.5))
        side = str(rng.choice(["inside", "outside"]))
        depth, web = t * float(rng.uniform(4, 15)), t * float(rng.uniform(0.7, 3))
        blades = lambda count: Blades(count, depth, web, side)  # noqa: B023, E731  used at once
        half = bool(rng.random() < 0.25)
        sector = int(rng.integers(1, 4)) if wall != "plain" and rng.random() < 0.4 else None
        try:
            if wall.endswith("grid") and wall != "orthogrid":
                count = int(rng.integers(8, 30)) * 2
                shape = TriangularRibs(wall.split()[0], R, L, t, count, depth, web, side)
                divisions = Divisions(around=1, depth=1, order=int(rng.integers(3, 5)))
            else:
                stringers = blades(int(rng.integers(8, 60))) if wall in ("stringers", "orthogrid") else None
                rings = blades(int(rng.integers(1, 6))) if wall in ("rings", "orthogrid") else None
                shape = StraightRibs(R, L, t, stringers, rings)
                wave = 1.728 * np.sqrt(R * t) * float(rng.uniform(1, 2.5))
                divisions = Divisions(max(1, round(shape.bay / wave)), max(2, round(L / wave)), order=4)
            extent = Extent(sector=sector, half=half)
            size = mesh_size(shape, divisions, extent).unknowns
        except Refusal:
            continue
        if LEAST <= size <= most:
            edges = (str(rng.choice(EDGES)), str(rng.choice(EDGES)))
            pressure = float(rng.choice([0.0, rng.uniform(0.1, 3)])) * E * (t / R) ** 2
            prestress = str(rng.choice(["uniform strain", "linear statics"]))
            words = (
                f"{wall} {side}, R/t {R / t:.0f}, L/R {L / R:.2f}, {edges[0]}/{edges[1]}, pR/N {pressure * R:.2g} N/m, "
                f"{prestress}, sector {sector}, half {half}, {size} unknowns"
            )
            return words, shape, divisions, extent, edges, pressure, prestress


def trial(rng: np.random.Generator, most: int = MOST) -> tuple[str, str]:
    """Words of a random barrel, and "" or why nothing was returned for it."""
    words, shape, divisions, extent, edges, pressure, prestress = drawn(rng, most)
    mesh = build_mesh(shape, divisions, extent)
    thickness = {"skin": shape.thickness}
    web = shape.rib_thickness if isinstance(shape, TriangularRibs) else (shape.stringers or shape.rings)
    web = getattr(web, "thickness", web)
    sections = {}
    for name in mesh.parts:
        t = thickness.get(name, web)
        sections[name] = sheet(E, NU, t / 2 if name.endswith("in plane") else t)
    shell = Shell(mesh, sections)
    length, held, end = shape.length, (), edges[1]
    if extent.half:
        length, end = shape.length / 2, "FREE"
        held = tuple(symmetry_at(mesh.nodes_at(length), 0).tolist())
    ties = (side_ties(mesh),) if extent.sector else ()
    support = Support(shape.radius, length, edges[0], end, mesh.angle, held, ties)
    classical = E * shape.thickness**2 / (shape.radius * np.sqrt(3 * (1 - NU**2)))
    guess = (classical + pressure * shape.radius / 2) * _off(rng)
    try:
        found = buckle(shell, support, guess, want=WANT, pressure=pressure, prestress=prestress)
    except (Refusal, Incomplete) as error:
        return words, str(error)
    lower, upper = counts(shell, support, pressure, prestress, found.line_loads)
    if lower or upper != found.counted:
        sys.exit(f"WRONG: {words}: {lower} below the first, {upper} up to the last of {found.counted}")
    return f"{words}: {found.factorisations} factorisations", ""


def _off(rng: np.random.Generator) -> float:
    """By how much the guess of a barrel is off: the last number drawn for it."""
    return float(rng.uniform(0.8, 1.2))


def counts(shell, support, pressure, prestress, loads) -> tuple[int, int]:
    """Counts just below the first and just above the last load, by another order."""
    K = stiffness(shell)
    uniform = prestress == "uniform strain"
    state = uniform_strain(shell, support.radius) if uniform else linear_statics(shell, K, support)
    T = reduction(shell.size, without_drift(shell, held_by(shell, support)), support.ties)
    K = reduced(K + pressure * geometric(shell, state.pressure), T)
    G = reduced(geometric(shell, -state.axial), T)
    return tuple(count_below(K, G, at, "MMD_AT_PLUS_A") for at in (loads[0] * (1 - 1e-6), loads[-1] * (1 + 1e-6)))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--from", type=int, default=1, dest="first", help="number of the first barrel to solve")
    parser.add_argument("--most", type=int, default=MOST, help="largest number of unknowns; it changes what is drawn")
    args = parser.parse_args()
    print(f"seed {args.seed}, {LEAST} to {args.most} unknowns")
    rng = np.random.default_rng(args.seed)
    for _ in range(args.first - 1):
        drawn(rng, args.most)
        _off(rng)
    withheld, walls, start = [], Counter(), time.perf_counter()
    for i in range(args.first - 1, args.count):
        words, why = trial(rng, args.most)
        walls[words.split(",")[0].rsplit(" ", 1)[0], not why] += 1
        past = time.perf_counter() - start
        print(f"{i + 1:4d} {past:6.0f} s  {words}{'; WITHHELD: ' + why if why else ''}", flush=True)
        if why:
            withheld.append(f"{words}\n      {why}")
    tried = args.count - args.first + 1
    print(f"{tried - len(withheld)} of {tried} complete and certified")
    for wall in WALLS:
        print(f"  {wall}: {walls[wall, True]} complete, {walls[wall, False]} withheld")
    for line in withheld:
        print("  withheld:", line)


if __name__ == "__main__":
    main()
