"""Whether a grid search ever finds a lighter wall than the optimiser, on random problems.

    OMP_NUM_THREADS=1 python benchmarks/optimum_against_grid.py [--count 50] [--seed 1] [--from 0] [--two-ways]

Radius .6 to 3.5 m, L/R .6 to 3, 30 to 900 N/mm of axial force and bending, with and without pressure, four metals,
random limits of the shop, nine patterns of up to four dimensions; with --two-ways instead orthogrids and stringers with
rings, of six and seven, on a coarser grid (minutes each). The grid (tests/sizing/grid_challenge.py) looks at
the whole range and five times closer around its own best; it does not know what the optimiser found. Passed: it is
nowhere lighter by more than .1 %, and where one finds nothing the other finds nothing either. The ratio of designs
judged is printed, not a time.
"""

from __future__ import annotations

import argparse
import math
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "tests" / "sizing"))

from grid_challenge import PATTERNS, grid_search, random_problem, task_of

from shellbuck.sizing.search import search

ALLOWED = 1e-3
TWO_WAYS = ("orthogrid-inside", "orthogrid-outside", "stringers-rings-inside", "stringers-rings-outside")


def main() -> None:
    reader = argparse.ArgumentParser()
    reader.add_argument("--count", type=int, default=50)
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--from", dest="first", type=int, default=0)
    reader.add_argument("--two-ways", action="store_true", help="ribs both ways: six and seven dimensions")
    asked = reader.parse_args()
    kinds, points = (TWO_WAYS, 5) if asked.two_ways else (PATTERNS, 7)
    beaten, gains, designs, judged, nothing = [], [], 0, 0, 0
    for number in range(asked.first, asked.first + asked.count):
        problem = random_problem(number, asked.seed, kinds)
        task = task_of(problem)
        found = search(task, [1])[0]
        mass = math.inf if found.best is None else found.best.mass
        designs += found.evaluations
        before = task.evaluations
        by_grid = grid_search(task, points=points)
        judged += task.evaluations - before
        nothing += math.isinf(mass) and math.isinf(by_grid)
        gain = 0.0 if math.isinf(mass) and math.isinf(by_grid) else 1 - by_grid / mass if math.isfinite(mass) else 1.0
        gains.append(gain)
        if gain > ALLOWED:
            beaten.append(problem.words)
        print(f"{problem.words}: {mass:.5g} kg/m2, grid {by_grid:.5g} ({100 * gain:+.4f} % lighter)", flush=True)
    print(
        f"{asked.count} problems, {nothing} that nothing holds; grid lighter by at most {100 * max(gains):.4f} % "
        f"(allowed {100 * ALLOWED:g} %), heavier by up to {-100 * min(gains):.2f} %; the grid judged "
        f"{judged / max(designs, 1):.1f} times as many designs"
    )
    if beaten:
        sys.exit("BEATEN:\n" + "\n".join(beaten))


if __name__ == "__main__":
    main()
