"""One load case by every engine: they must tell one story where they can, and say why where not."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from builders import METAL, barrel, case, pressed

import shellbuck as sb
from shellbuck.compare import engines
from shellbuck.compare.cases import modelled_wall
from shellbuck.compare.engines import agreement
from shellbuck.compare.words import Compared, differences
from shellbuck.core.records import Finding, Load, MeshMode, Mode, ModeShape
from shellbuck.engines import fe
from shellbuck.engines.fe_barrel.engine import extrapolated
from shellbuck.engines.fe_barrel.meshing import Part, half_wave, planned, skin_wave
from shellbuck.engines.fe_barrel.repeating import drawn
from shellbuck.engines.fe_barrel.solving import Solving
from shellbuck.engines.mesh import Blades, Extent, StraightRibs, choose_divisions, shape_of
from shellbuck.engines.mesh.shapes import WHOLE
from shellbuck.engines.problem import BucklingProblem

SHORT = barrel(radius=1.0, length=0.6, skin_thickness=5e-3, skin_thickness_minimum=5e-3)
STOUT = barrel(radius=1.0, length=0.4, skin_thickness=0.01, skin_thickness_minimum=0.01)
"""Few elements; N/A11 is .0055."""


def blades(count: int, depth: float = 0.03, side: str = "outside") -> sb.StiffenedWall:
    family = sb.Stiffeners(side=side, section="blade", depth=depth, thickness=4e-3, count=count)
    return sb.StiffenedWall(stringers=family)


def test_modelled_section_runs_from_the_skin_middle():
    """A = b (d + t/2), centroid at half of that (convention of the discrete model)."""
    wall = modelled_wall(case(blades(48), barrel=SHORT), None)
    (rib,) = wall.ribs
    assert rib.area == pytest.approx(4e-3 * (0.03 + 2.5e-3), rel=1e-14)
    assert rib.z == pytest.approx((0.03 + 2.5e-3) / 2, rel=1e-14)
    inside = modelled_wall(case(blades(48, side="inside"), barrel=SHORT), None)
    assert inside.ribs[0].z == -rib.z


def test_half_wave_of_a_sheet():
    """pi (R t)^(1/2) / (12 (1 - nu^2))^(1/4), 1.728 sqrt(R t) at nu = .3 (textbook)."""
    wall = sb.SmearedWall.of(sb.Skin(7e10, 0.3, 2e-3))
    assert half_wave(wall, 1.5) == pytest.approx(math.pi * math.sqrt(1.5 * 2e-3) / (12 * 0.91) ** 0.25, rel=1e-12)


@pytest.mark.parametrize(("share", "multiple"), [(1.0, 1), (0.55, 2), (0.4, 3), (0.3, 4), (0.1, 12)])
def test_the_largest_part_that_fits_is_meshed(share, multiple):
    """48 bays, n = 12: parts of pi/k with k a divisor of both 12 and 24; sides shared, hence the slack in `share`."""
    n = 12
    the_case = case(blades(48), barrel=SHORT)
    wall = modelled_wall(the_case, None)
    shape, wave = shape_of(SHORT, the_case.wall, 5e-3), skin_wave(wall, 1.0)
    most = round(share * planned(shape, wave, n, most=10**7).plan.size.unknowns)
    part = planned(shape, wave, n, most=most)
    assert part.plan.size.unknowns <= most
    assert n % part.multiple == 0
    assert part.multiple == multiple
    assert part.angle == pytest.approx(math.pi / part.multiple)


def test_a_part_that_does_not_fit_is_refused():
    the_case = case(blades(48), barrel=SHORT)
    wall = modelled_wall(the_case, None)
    with pytest.raises(sb.Refusal, match=r"would be too large.*allow more unknowns"):
        planned(shape_of(SHORT, the_case.wall, 5e-3), skin_wave(wall, 1.0), 12, most=2000)


def test_plain_barrel_by_every_engine():
    """R/t 100: Ritz equals the closed form (1e-8); full gradients differ from Sanders' rotations by some N/A11."""
    found, solved = agreement(case(sb.PlainWall(), barrel=STOUT), case(sb.PlainWall()).load_cases[0], want=3, meshes=1)
    as_drawn, meshed, by_ritz, smeared, flexible = (load.line_load for load in found.loads.values())
    assert as_drawn == meshed
    assert by_ritz == pytest.approx(meshed, rel=1e-8)
    assert smeared == pytest.approx(by_ritz, rel=1.1e-2)  # twice N/A11
    assert flexible < smeared  # transverse shear softens
    assert flexible == pytest.approx(smeared, rel=3e-3)  # theory: .3 % at R/t 100 and .04 % at 500 (own measurement)
    assert all(mode.general for mode in found.modes)
    # one (m, n) and its twin; 1e-3: w is interpolated between the stations of the Ritz record
    assert found.likeness == pytest.approx(1.0, abs=1e-3)
    assert all(run.counted == len(run.line_loads) for run in (*found.smeared_runs, *found.discrete_runs))
    assert drawn(solved).displacement(0).shape == (len(solved.mesh.points), 3)
    lowest = max(found.modes[0].energy, key=lambda item: item[1])
    assert lowest == ("skin", pytest.approx(1.0))


@pytest.mark.slow
def test_ribs_as_they_are_close_to_the_smeared_wall():
    """48 stout blades, some four bays to a wave: within 5 % at one prestress (measured findings: .4 to .7 % for many
    bays and up to 5 % for 4 to 6), the mesh below.

    Within 2 % was asked for while a part of the barrel stood for the whole: it held n = 12, and the lowest n = 11 was
    passed over.
    """
    the_case = case(blades(48), barrel=SHORT)
    found, solved = agreement(the_case, the_case.load_cases[0], want=2, meshes=1)
    assert found.findings[0].value == 0.0
    assert set(solved.scanned.solved) | set(solved.scanned.empty) == set(range(25))
    general = [mode for mode in found.modes if mode.general]
    assert general
    ratio = general[0].line_load / found.loads["smeared mesh"].line_load
    assert 0.95 < ratio < 1.0
    assert any("lowest general mode" in words for words in found.words)
    assert any(words.startswith("rib prestress acts at the rib centroid") for words in found.words)


def test_pressure_is_held_fixed_in_every_engine():
    the_case = case(sb.PlainWall(), pressed(1.6e6), barrel=STOUT)
    found, _ = agreement(the_case, the_case.load_cases[0], want=1, meshes=1)
    loads = [load.line_load for load in found.loads.values()]
    assert max(loads) == pytest.approx(min(loads), rel=1.1e-2)  # N/A11 and transverse shear, as above
    assert all("held fixed" in load.pressure_treatment for load in found.loads.values())


@pytest.mark.parametrize(
    ("loads", "limit", "step"),
    [((1.04, 1.01, 1.0025), 1.0, 0.0025 / 1.0025), ((1.0, 1.0), 1.0, 0.0), ((1.0, 1.1, 1.05), 1.05, 0.05 / 1.05)],
)
def test_extrapolation(loads, limit, step):
    """A geometric row goes to its limit; a row that swings keeps its last value and its last step."""
    found = extrapolated(loads)
    assert found == pytest.approx((limit, step), abs=1e-12)


def test_given_stiffness_and_springs_have_no_mesh():
    block = ((1e9, 3e8, 0.0), (3e8, 1e9, 0.0), (0.0, 0.0, 3e8))
    small = tuple(tuple(x * 1e-5 for x in row) for row in block)
    none = ((0.0,) * 3,) * 3
    given = sb.Case(
        sb.Barrel(radius=1.0, length=0.6, ends="closed"),
        sb.GivenStiffness(block, none, small, 10.0),
        case(sb.PlainWall()).load_cases,
        None,
        sb.Policy(),
    )
    with pytest.raises(sb.Refusal, match="no ribs to mesh"):
        agreement(given, given.load_cases[0])
    sprung = barrel(edges="SS3", edge_springs=sb.EdgeSprings(rotation=1e4))
    with pytest.raises(sb.Refusal, match="neither edge springs nor single rings"):
        agreement(case(sb.PlainWall(), barrel=sprung), case(sb.PlainWall()).load_cases[0])


def test_bays_of_a_bare_barrel_are_free():
    assert StraightRibs(1.0, 0.6, 5e-3, bays=6).around == 6
    assert METAL.name


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["uniform strain", "linear statics"])
def test_half_a_barrel_solved_twice_is_the_whole(kind):
    """Modes even and odd about the plane together are those of the whole barrel, under either prestress.

    The prestress of linear statics is even about the plane: odd supports would hold what the load moves. 1e-6: the
    meshes are the same elements; the eigenvalues agree to rounding of the factor.
    """
    shape = StraightRibs(1.0, 0.6, 5e-3, Blades(8, 0.03, 4e-3, "outside"))
    sections = {name: fe.sheet(7e10, 0.3, t) for name, t in (("skin", 5e-3), ("stringer", 4e-3))}
    half = Extent(sector=4, cut="between")
    plan = choose_divisions(shape, 0.3, extent=half, order=3)
    found = []
    for extent, angle, families in ((WHOLE, 2 * math.pi, ("all",)), (half, math.pi, ("even", "odd"))):
        part = Part(plan, extent, angle, families, 1, 8)
        found.append(Solving(shape, sections, ("SS3", "C4"), 9e5, 5e4, 4).one("", part, kind=kind).line_loads)
    assert found[1] == pytest.approx(found[0], rel=1e-6)


@pytest.mark.slow
def test_prestress_by_linear_statics_stands_beside():
    """The row and its words say the same; stress of edge bending alone moves a plain barrel by some per cent only (own
    measurement: +.5 % here; the change of shape, which nonlinear theory has, is left out and said so)."""
    the_case = case(sb.PlainWall(), barrel=replace(SHORT, edges="C4"))
    found, _ = agreement(the_case, the_case.load_cases[0], want=1, meshes=1, statics=True)
    uniform, by_statics = (found.loads[f"mesh with ribs{how}"] for how in ("", ", linear statics"))
    assert by_statics.prestress.startswith("linear statics between flat rigid platens")
    ratio = by_statics.line_load / uniform.line_load
    assert ratio == pytest.approx(1.0, abs=0.05)
    assert ratio != pytest.approx(1.0, abs=1e-4)
    (said,) = (words for words in found.words if words.startswith("with the prestress of linear statics"))
    assert f"{100 * (ratio - 1):+.2f} %" in said
    assert "change of shape" in said


def compared(gap: float = 0.0, alike_load: float = 1.0, general: bool = True, content=((2, 8, 0.95),)) -> Compared:
    """Engines that agree but for a general mesh load off by `gap`."""
    wall = modelled_wall(case(blades(48), barrel=SHORT), None)
    one = Load("x", 1e6, "t", "SS3", "p", "l", "t", "d", "s", m=1, n=8, lowest_by_n=(Mode(1, 8, 1e6),))
    (m, n, share), *_ = content
    mode = MeshMode(1e6 * (1 + gap), m, n, share, general, (("skin", 1.0),), content)
    loads = dict.fromkeys(("closed form as drawn", "closed form as meshed", "Ritz", "mesh with ribs"), one)
    loads["smeared mesh"] = replace(one, line_load=1e6 * alike_load)
    problem = BucklingProblem(wall, SHORT.middle_radius, SHORT.length)
    return Compared(loads, (mode,), 1, Part(None, WHOLE, 1.0, ("all",), 1, 48), True, problem)


def judged(said: list) -> dict[str, Finding]:
    return {one.quantity: one for one in said if isinstance(one, Finding)}


@pytest.mark.parametrize(("gap", "passed"), [(0.4, False), (-0.06, False), (0.04, True), (-0.04, True)])
def test_general_load_is_judged_by_its_difference(gap, passed):
    """Either way: +40 % is no agreement."""
    found = judged(differences(compared(gap)))["general load from the smeared one"]
    assert (found.value, found.passed) == (pytest.approx(gap), passed)


def test_local_modes_never_pass():
    found = judged(differences(compared(general=False)))
    assert found["local modes below the general one"].passed is False
    assert found["general load from the smeared one"].value is None
    assert found["general load from the smeared one"].passed is False


def test_the_difference_of_theories_is_printed_with_its_factor():
    """2 N/A11: 2 x 1e6 / A11 of the section, computed here from the sheet and the blades of 4 x 32.5 mm every
    2 pi/48 m; what was printed for it was N/A11."""
    nu = METAL.poissons_ratio
    E = METAL.at(None).compressive_modulus
    A11 = E * 5e-3 / (1 - nu**2) + E * 4e-3 * 32.5e-3 / (2 * math.pi / 48)
    said = differences(compared(alike_load=0.99419))
    text = next(one.text for one in said if isinstance(one, Finding) and one.quantity == "smeared mesh from Ritz")
    assert text.startswith("the smeared mesh differs from Ritz by -0.581 %")
    assert text.endswith(f"2 N/A11 = {100 * 2e6 / A11:.2f} %")


def test_a_mode_of_many_waves_has_no_single_m():
    said = differences(compared(content=((2, 8, 0.24), (3, 8, 0.23), (4, 8, 0.22), (5, 8, 0.25))))
    text = judged(said)["general load from the smeared one"].text
    assert "n = 8, no single m" in text
    assert "(2, 8)" not in text


def test_likeness_takes_the_best_ritz_mode_of_the_same_n(monkeypatch):
    """Two modes of one n at nearly one load: the mesh may have them in the other order."""
    made = {1: 0.02, 2: 0.97}
    monkeypatch.setattr(engines, "_alike", lambda _s, _m, _g, shape: made[shape.half_waves])
    mode = MeshMode(1e6, 7, 10, 0.95, True, (("skin", 1.0),), ((7, 10, 0.95),))
    shapes = tuple(ModeShape(n, 1e6, m, 1.0, (), (), (), (), ()) for m, n in ((1, 10), (2, 10), (1, 11)))
    assert engines.likeness(None, (mode,), shapes) == 0.97
    assert engines.likeness(None, (mode,), shapes[2:]) is None
