"""Margins of many load cases of one design against those of one load case.

    OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python benchmarks/many_load_cases.py [--count 500]

The demo cases under load cases with forces, moments and pressures of their own. Wrong answers are not timed: a sample
must agree with the same load cases one by one to 1e-12. Aim: 500 load cases in three times one load case plus a second.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

import shellbuck as sb
from shellbuck.margins import assess

CASES = Path(__file__).parent.parent / "cases"
SAMPLE, ROUNDING = 12, 1e-12


def many(case: sb.Case, count: int) -> sb.Case:
    """The case under `count` load cases about its third."""
    rng, base = np.random.default_rng(1), case.load_cases[2]
    return replace(
        case,
        load_cases=tuple(
            replace(
                base,
                name=f"load case {i}",
                axial_force=base.axial_force * float(rng.uniform(-0.5, 2)),
                bending_moment=base.bending_moment * float(rng.uniform(0, 2)),
                pressure_minimum=(base.pressure_minimum or 0.0) * float(rng.uniform(0, 1)),
            )
            for i in range(count)
        ),
    )


def differs(case: sb.Case, found: sb.Result) -> float:
    """Largest difference of a sample of margins from those one by one."""
    at = np.linspace(0, len(case.load_cases) - 1, SAMPLE).astype(int)
    some = assess(replace(case, load_cases=tuple(case.load_cases[i] for i in at)))
    worst = 0.0
    for i, one in zip(at, some.load_cases, strict=True):
        for a, b in zip(found.load_cases[i].margins, one.margins, strict=True):
            if (a.status, a.margin is None) != (b.status, b.margin is None):
                return float("inf")
            if a.margin is not None:
                worst = max(worst, abs(a.margin - b.margin) / max(1.0, abs(b.margin)))
    return worst


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=500)
    count = parser.parse_args().count
    good = True
    for path in sorted(CASES.glob("*.toml")):
        if path.name.count(".") > 1:  # sizing and study files
            continue
        case = sb.read_case(path).case
        one = replace(case, load_cases=case.load_cases[2:3])
        assess(one)
        start = time.perf_counter()
        assess(one)
        single = time.perf_counter() - start
        given = many(case, count)
        start = time.perf_counter()
        found = assess(given)
        spent = time.perf_counter() - start
        error = differs(given, found)
        if error > ROUNDING:
            print(f"{path.stem}: differs by {error:.1e}, not timed")
            good = False
            continue
        kept = spent <= 3 * single + 1
        good &= kept
        print(
            f"{path.stem}: one load case {single:.2f} s, {count} in {spent:.2f} s, ratio {spent / single:.1f} "
            f"({'within' if kept else 'BEYOND'} three times one plus 1 s), differs by {error:.0e}"
        )
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
