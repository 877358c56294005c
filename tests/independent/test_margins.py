"""Every margin of random barrels and of the demo cases against arithmetic that shares nothing with the package."""

from __future__ import annotations

from pathlib import Path

import designs
import differences as d
import pytest

import shellbuck as sb
from shellbuck.errors import Incomplete, Refusal

CASES = sorted(Path(__file__).parents[2].joinpath("cases").glob("*-*.toml"))
DEMO = [path for path in CASES if path.name.count(".") == 1]


def _agree(wrong):
    assert not wrong, "\n".join(["", *map(str, wrong)])


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_demo_cases(path):
    case = sb.read_case(path)
    case = getattr(case, "case", case)
    _agree(d.differences(case, *d.run_rows(case), path.stem))


def _random(seeds, door):
    wrong, solved = [], 0
    for seed in seeds:
        case = designs.random_case(seed)
        try:
            found = door(case)
        except (Refusal, Incomplete):
            continue
        solved += 1
        wrong += d.differences(case, *found, f"seed {seed}", designs.KINDS[seed % len(designs.KINDS)])
    _agree(wrong)
    assert solved > 0.9 * len(seeds)


def test_random_barrels_one_by_one():
    _random(range(18), d.run_rows)


def test_random_barrels_as_arrays():
    _random(range(18, 60), d.batch_rows)


@pytest.mark.slow
def test_many_random_barrels():
    _random(range(60, 400), d.batch_rows)
