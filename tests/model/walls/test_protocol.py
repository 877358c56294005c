"""What wall kinds say about themselves, alone and as arrays, and that nobody else tells kinds apart by their class."""

from __future__ import annotations

import ast
from pathlib import Path

import builders
import numpy as np
import pytest

import shellbuck as sb
from shellbuck.model.arrays import arrayed, design, read
from shellbuck.model.rules import Rule, worded
from shellbuck.model.sections import SECTIONS
from shellbuck.model.walls import WALLS, Stiffeners, Wall, build_wall, weigh

ROOT = Path(sb.__file__).parent
CLASSES = {cls.__name__ for cls in (*WALLS.values(), *SECTIONS.values(), Stiffeners)}
AT_HOME = ("model/walls/", "model/sections/")
R, L = 1.5, 2.0


def classes_asked_for(tree: ast.AST):
    """Names of classes that a module tests objects for."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("isinstance", "issubclass"):
            kinds = node.args[1]
        elif isinstance(node, ast.MatchClass):
            kinds = node.cls
        else:
            continue
        yield from (getattr(part, "id", getattr(part, "attr", "")) for part in ast.walk(kinds))


@pytest.mark.parametrize("path", sorted(ROOT.rglob("*.py")), ids=lambda p: str(p.relative_to(ROOT)))
def test_kinds_of_walls_and_sections_are_told_apart_at_home_only(path):
    where = path.relative_to(ROOT).as_posix()
    if where.startswith(AT_HOME):
        return
    assert not CLASSES & set(classes_asked_for(ast.parse(path.read_text(encoding="utf-8"))))


def test_every_kind_is_found_by_its_word_and_by_python():
    assert set(WALLS.values()) == set(Wall.__subclasses__())
    for word, cls in WALLS.items():
        assert cls.kind == word
        assert getattr(sb, cls.__name__) is cls


@pytest.mark.parametrize("name", builders.WALLS)
def test_ribs_say_what_the_smeared_wall_is_made_of(name):
    wall = builders.WALLS[name]
    made = build_wall(builders.case(wall)).ribs
    assert [(r.name, r.angle, r.spacing) for r in made] == [(r.name, r.angle, r.spacing) for r in wall.ribs(R, L)]


def test_fields_of_skin():
    """Triangle height by the pitch around; strips of stringers alone; pockets where rings cross them; rings alone leave
    none, because nothing divides the skin along the axis."""
    found = {name: wall.skin_field(R, L) for name, wall in builders.WALLS.items()}
    assert (found["plain"], found["rings"]) == (None, None)
    assert (found["grid"].shape, found["grid"].b, found["grid"].family) == ("triangle", 0.09, "hoop")
    assert (found["stringers"].shape, found["stringers"].b, found["stringers"].length) == ("strip", 0.08, None)
    assert (found["stiffened"].shape, found["stiffened"].length) == ("rectangle", pytest.approx(0.4))
    assert found["orthogrid"].area == pytest.approx(0.08 * 0.1)
    assert found["grid"].area == pytest.approx(0.09**2 / 3**0.5), "side times height over two, side 2 h/sqrt(3)"


@pytest.mark.parametrize(
    ("wall", "key", "values"),
    [
        (builders.GRID, "triangle_height", [0.08, 0.1]),
        (builders.ORTHOGRID, "rib_depth", [0.01, 0.02]),
        (builders.STIFFENED, "stringers.thickness", [0.002, 0.003]),
        (builders.STIFFENED, "rings.eccentricity", [0.02, 0.04]),
    ],
)
def test_arrays_give_the_numbers_of_single_walls(wall, key, values):
    varied = {f"wall.{key}": np.array(values)}
    case = builders.case(wall)
    many = arrayed(case, read(case, varied)[0])
    stiffness, mass = build_wall(many), weigh(many).per_area
    for i in range(2):
        one = design(case, varied, i)
        single = build_wall(one)
        for block in "ABD":
            entry = np.broadcast_to(getattr(stiffness, block), (2, 3, 3))[i]
            assert entry == pytest.approx(getattr(single, block), rel=1e-13, abs=1e-9)
        assert mass[i] == pytest.approx(weigh(one).per_area, rel=1e-14)


def test_words_of_a_rule_are_made_where_it_is_broken_alone():
    def never() -> tuple[str, ...]:
        raise AssertionError("nobody reads these")

    rules = [Rule("value-range", np.False_, never), Rule("grid-too-coarse", True, lambda: ("what", "where"))]
    assert [(p.code, p.what, p.where) for p in worded(rules)] == [("grid-too-coarse", "what", "where")]


@pytest.mark.parametrize("name", builders.WALLS)
def test_a_sound_wall_breaks_none_of_its_rules(name):
    assert not any(rule.broken for rule in builders.WALLS[name].limits(R, L))
