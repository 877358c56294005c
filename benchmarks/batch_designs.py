"""Many designs at once against a careful numpy loop over single designs, and all margins against the search alone.

    OPENBLAS_NUM_THREADS=1 python benchmarks/batch_designs.py [--full] [--workers 2]

100 000 designs (a million with --full) of five patterns, R/t 200 to 1500, L/R .5 to 4, half of them pressurised. Wrong
answers are not timed: a sample must agree with `closed_form.lowest` to 1e-12 and with `assess` to 1e-10. The loop takes
one design at a time with all its modes in one array, from the same first bound over the same proved range, with the
same formulas. Aims: a million designs on two cores in about 20 s; all margins in ten times the search or less.
"""

from __future__ import annotations

import argparse
import os
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

import shellbuck as sb
from shellbuck.engines.closed_form import Terms, lowest, lowest_loads
from shellbuck.engines.closed_form.batch_tables import Designs, axisymmetric
from shellbuck.engines.closed_form.loads import mode_loads
from shellbuck.engines.closed_form.search import _SANDERS_WIDENING, reach
from shellbuck.margins import assess, chunks
from shellbuck.model.arrays import design
from shellbuck.model.walls import RibFamily, Skin, SmearedWall
from shellbuck.model.walls.doors import THEORIES

PATTERNS = {
    "plain": (),
    "stringers": (0.0,),
    "stringers and rings": (0.0, 90.0),
    "triangular, hoop": (90.0, 30.0, -30.0),
    "triangular, axial": (0.0, 60.0, -60.0),
}
PART = 8192
LOOP, SAMPLE, ASSESSED = 400, 60, 40
ANSWER = {"lowest": 1e-12, "assess": 1e-10}


def walls(angles: tuple, size: int, rng: np.random.Generator) -> tuple[SmearedWall, np.ndarray, np.ndarray, np.ndarray]:
    """Stacked walls on R = 1 with their lengths and hoop tensions."""
    t = 10 ** rng.uniform(-np.log10(1500), -np.log10(200), size)
    ribs, shape = [], None
    for angle in angles:
        if shape is None or len(angles) < 3:  # one shape for a grid
            depth, width = t * rng.uniform(2, 12, size), t * rng.uniform(0.5, 2, size)
            spacing, side = t * rng.uniform(20, 60, size), np.where(rng.random(size) < 0.5, -1, 1)
            shape = depth, width, spacing, side * (depth + t) / 2
        d, b, s, z = shape
        ribs.append(RibFamily(f"{angle:g}", angle, s, 72e9, 27e9, b * d, b * d**3 / 12, d * b**3 / 3, z, 0.33))
    wall = SmearedWall.of(Skin(72e9, 0.33, t), tuple(ribs))
    tension = 72e9 * t * 1e-3 * rng.random(size) * (rng.random(size) < 0.5)
    return wall, 10 ** rng.uniform(np.log10(0.5), np.log10(4), size), tension, t


def job(number: int) -> tuple[Terms, np.ndarray, np.ndarray]:
    """Designs of one part: terms, lengths, hoop tensions."""
    rng = np.random.default_rng(number)
    share = PART // len(PATTERNS) + 1
    made = [walls(angles, share, rng) for angles in PATTERNS.values()]
    terms = [Terms.of(w.A, w.B, w.D) for w, *_ in made]
    joined = Terms(*(np.concatenate(x)[:PART] for x in zip(*terms, strict=True)))
    return joined, *(np.concatenate([m[k] for m in made])[:PART] for k in (1, 2))


def search(number: int) -> float:
    """Seconds of CPU for one part."""
    terms, length, tension = job(number)
    start = time.process_time()
    lowest_loads(terms, 1.0, length, tension)
    return time.process_time() - start


def loop(terms: Terms, length: np.ndarray, tension: np.ndarray) -> np.ndarray:
    """The careful loop: lowest Donnell and Sanders load (2, N) of one design after another."""
    found = np.empty((2, length.size))
    every = np.arange(length.size)
    whole = Designs.of(terms, np.ones(length.size), length, tension)
    for i in every:
        one = whole.take(every[i : i + 1])
        upper = axisymmetric(one)[0][0] * _SANDERS_WIDENING**2
        D = tuple(float(v[0]) for v in one.r[-4:])
        a, b = reach(D, upper)
        m = np.arange(1.0, max(2, a * length[i] / np.pi) + 1)[:, None]
        n = np.concatenate([[0.0], np.arange(2.0, max(4, b) + 1)])
        x, y = (np.pi * m / length[i]) ** 2, n * n
        inside = D[0] * x + 2 * (D[1] + 2 * D[3]) * y + D[2] * y * y / x <= upper
        m, n = m[np.nonzero(inside)[0], 0], n[np.nonzero(inside)[1]]
        state = one.t.at(0), 1.0, length[i], m, n
        found[:, i] = [mode_loads(*state, N_theta=tension[i], theory=theory).min() for theory in THEORIES]
    return found


def margins_case() -> sb.Case:
    """An orthogrid under two load cases; everything that a sizing run varies."""
    factors = sb.Factors(1.4, 1.1, "benchmark")
    loads = (
        sb.LoadCase("pad", factors, axial_force=4e5, bending_moment=2e5),
        sb.LoadCase(
            "flight",
            factors,
            axial_force=8e5,
            bending_moment=3e5,
            pressure_minimum=5e4,
            pressure_maximum=1e5,
            axial_force_includes_thrust=False,
        ),
    )
    metal = sb.Material("metal", "benchmark", 2800.0, 0.33, (sb.MaterialPoint(294.0, 70e9, 400e6, 450e6, None, 400e6),))
    wall = sb.Orthogrid("inside", 0.012, 0.0025, 0.0025, stringer_count=120, ring_count=19)
    return sb.Case(sb.Barrel(1.5, 2.4, "closed", 2.6e-3, 2.5e-3), wall, loads, metal)


def varied(size: int, seed: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(seed)
    t = rng.uniform(1.2e-3, 4e-3, size)
    return {
        "barrel.skin_thickness": t,
        "barrel.skin_thickness_minimum": t - 1e-4,
        "wall.rib_depth": rng.uniform(8e-3, 30e-3, size),
        "wall.stringer_thickness": rng.uniform(1.5e-3, 4e-3, size),
        "wall.ring_thickness": rng.uniform(1.5e-3, 4e-3, size),
        "wall.stringer_count": rng.integers(60, 200, size),
        "wall.ring_count": rng.integers(9, 30, size),
    }


def margins(number: int) -> tuple[float, float]:
    """Seconds of CPU for all margins of one part, and for the closed-form searches they need."""
    import shellbuck.margins.engines as engines

    spent = [0.0]

    def timed(*args, **more):
        start = time.process_time()
        found = lowest_loads(*args, **more)
        spent[0] += time.process_time() - start
        return found

    engines.lowest_loads = timed
    start = time.process_time()
    for _ in chunks(margins_case(), varied(PART, number)):
        pass
    return time.process_time() - start, spent[0]


def check() -> None:
    """Stop at a wrong answer."""
    terms, length, tension = job(0)
    pick = np.random.default_rng(1).choice(PART, SAMPLE, replace=False)
    part = Terms(*(x[pick] for x in terms))
    found = lowest_loads(terms, 1.0, length, tension)
    for k, i in enumerate(pick):
        A, B, D = (
            np.array([[p, q, 0.0], [q, r, 0.0], [0.0, 0.0, s]])
            for p, q, r, s in ([float(x[k]) for x in part[j : j + 4]] for j in (0, 4, 8))
        )
        for theory, got in (("Donnell", found.donnell), ("Sanders", found.sanders)):
            single = lowest(SmearedWall(A, B, D), 1.0, length[i], N_theta=tension[i], theory=theory).line_load
            if abs(got.line_load[i] / single - 1) > ANSWER["lowest"]:
                sys.exit(f"wrong answer, not timed: design {i}, {theory}: {got.line_load[i]} against {single}")
    case, fields = margins_case(), varied(ASSESSED, 0)
    batch = next(chunks(case, fields))
    for i in range(ASSESSED):
        rows = [row.margin for load_case in assess(design(case, fields, i)).load_cases for row in load_case.margins]
        expected = np.array([np.nan if m is None else m for m in rows])
        got = batch.margins[i].ravel()
        if not np.allclose(got, expected, rtol=ANSWER["assess"], atol=ANSWER["assess"], equal_nan=True):
            sys.exit(f"wrong answer, not timed: design {i}: {got} against {expected}")


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--full", action="store_true")
    asked.add_argument("--workers", type=int, default=1)
    options = asked.parse_args()
    check()
    parts = (1_000_000 if options.full else 100_000) // PART + 1
    size = parts * PART
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start = time.perf_counter()
    if options.workers > 1:
        with ProcessPoolExecutor(options.workers) as pool:
            cpu = sum(pool.map(search, range(parts)))
    else:
        cpu = sum(search(k) for k in range(parts))
    wall = time.perf_counter() - start
    peak = max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    terms, length, tension = job(0)
    own = Terms(*(x[: LOOP * 20 : 20] for x in terms)), length[: LOOP * 20 : 20], tension[: LOOP * 20 : 20]
    start = time.process_time()
    slow = loop(*own)
    slow_time = (time.process_time() - start) / LOOP
    fast = lowest_loads(own[0], 1.0, *own[1:])
    if max(abs(fast.donnell.line_load / slow[0] - 1).max(), abs(fast.sanders.line_load / slow[1] - 1).max()) > 1e-12:
        sys.exit("wrong answer: the loop and the tables differ")
    print(
        f"closed form, both theories: {size} designs in {wall:.1f} s on {options.workers} core(s), designs made "
        f"included; {cpu / size * 1e6:.1f} us of CPU each = {size / cpu:.0f} designs/s per core"
    )
    print(f"careful loop: {slow_time * 1e6:.0f} us each = {slow_time * size / cpu:.1f} times slower")
    print(f"peak memory {peak / 1e3:.0f} MB, {before / 1e3:.0f} MB before")
    count = max(1, parts // 5)
    total, inner = (sum(x) for x in zip(*(margins(k) for k in range(count)), strict=True))
    case, fields = margins_case(), varied(20, 0)
    start = time.process_time()
    for i in range(20):
        assess(design(case, fields, i))
    single = (time.process_time() - start) / 20
    each = total / (count * PART)
    print(
        f"all margins, orthogrid, 2 loads: {each * 1e6:.1f} us = {total / inner:.2f} times its searches (aim 10); "
        f"assess one by one {single * 1e3:.1f} ms = {single / each:.0f} times slower"
    )


if __name__ == "__main__":
    main()
