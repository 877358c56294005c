"""Every margin of random barrels and of the demo cases against arithmetic that shares nothing with the package."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import designs
import differences as d
import pytest

import shellbuck as sb
from shellbuck.core.errors import Incomplete, Refusal
from shellbuck.model.walls.mass import weigh

CASES = sorted(Path(__file__).parents[2].joinpath("cases").glob("*.toml"))
# the own arithmetic has no hats that sway and no skin that buckles
DEMO = [path for path in CASES if path.name.count(".") == 1 and not path.name.startswith("intertank")]


def _agree(wrong):
    assert not wrong, "\n".join(["", *map(str, wrong)])


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_demo_cases(path):
    case = sb.read_case(path)
    case = getattr(case, "case", case)
    _agree(d.differences(case, *d.run_rows(case), path.stem))


def _random(seeds, door, odd=False, least=0.9, further=False, stout=False, drawn=False):
    wrong, solved = [], 0
    for seed in seeds:
        try:
            case = designs.random_case(seed, odd, stout)
            if drawn:
                case = designs.with_drawn_sections(case, seed)
            if further:
                case = designs.with_further_loads(case, seed)
            found = door(case)
        except (Refusal, Incomplete):
            continue
        solved += 1
        wrong += d.differences(case, *found, f"seed {seed}", designs.KINDS[seed % len(designs.KINDS)])
    _agree(wrong)
    assert solved > least * len(seeds)


def test_random_barrels_one_by_one():
    _random(range(12), d.run_rows)


def test_random_barrels_as_arrays():
    _random(range(12, 42), d.batch_rows)


@pytest.mark.slow
def test_many_random_barrels():
    _random(range(42, 240), d.batch_rows)


def test_odd_proportions():
    """R/t 22 to 2500, L/R .04 to 20; the model refuses some."""
    _random(range(1000, 1020), d.batch_rows, odd=True, least=0.5)


def test_torque_shear_force_and_external_pressure():
    """One of every wall in usual and one in stout proportions."""
    _random([0, 1, 2, 3, 10, 5, 29], d.batch_rows, further=True)
    _random([12, 13, 14, 9, 4, 17], d.batch_rows, further=True, stout=True)


def test_further_loads_one_by_one():
    _random([6, 13], d.run_rows, further=True)


@pytest.mark.slow
def test_many_barrels_with_further_loads():
    _random(range(100, 150), d.batch_rows, further=True)
    _random(range(1000, 1006), d.batch_rows, odd=True, least=0.5, further=True)
    _random(range(5000, 5020), d.batch_rows, further=True, stout=True, least=0.8)  # some are refused by the model


@pytest.mark.slow
def test_further_loads_of_many_barrels_one_by_one():
    _random(range(288, 298), d.run_rows, further=True)


WITH_FAMILIES = [
    seed for seed in range(600) if designs.KINDS[seed % len(designs.KINDS)] in ("stringers", "rings", "both")
]


def test_drawn_sections():
    """Tees, angles, zees, hats, I sections and bulbs: crippling, column between rings, rolling, and every other row."""
    # every kind decides a row here: riveted zees and angles that roll, tees by Gerard, the width of skin of a column
    _random([29, 63, 70, 81, 87, 89, 112, 117, 335, 389, 406, 473], d.batch_rows, drawn=True)
    _random(WITH_FAMILIES[:12], d.batch_rows, drawn=True, least=0.7)  # some are refused by the model
    _random(WITH_FAMILIES[40:48], d.batch_rows, drawn=True, least=0.2, stout=True)
    _random([63, 117], d.run_rows, drawn=True)


@pytest.mark.slow
def test_many_drawn_sections():
    _random(WITH_FAMILIES[60:180], d.batch_rows, drawn=True, least=0.6)
    _random(WITH_FAMILIES[60:90], d.batch_rows, drawn=True, least=0.2, stout=True)
    _random(WITH_FAMILIES[60:70], d.batch_rows, drawn=True, least=0.2, further=True)


@pytest.mark.parametrize("seed", [1, 2, 7, 8])
def test_fillets_in_the_mass(seed):
    """Rounded pocket corners: the mass of the walls that `run` weighs."""
    case = designs.random_case(seed)
    h = case.wall.height(case.barrel.middle_radius) if case.wall.kind == "triangular grid" else 0.02
    wall = replace(case.wall, corner_radius=0.1 * h)
    barrel = designs.barrel_of(replace(case, wall=wall), case.load_cases[0])
    assert designs.own.fillets(barrel) > 0
    assert weigh(replace(case, wall=wall)).total == pytest.approx(designs.own.mass(barrel), rel=1e-12)
