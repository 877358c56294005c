"""Engines as one protocol: found by name, refuse what they do not cover, give a status also where there is no load."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shellbuck.core.errors import Refusal
from shellbuck.engines import closed_form, ritz
from shellbuck.engines.problem import BucklingProblem, Effort, Mix
from shellbuck.engines.registry import HOMES, engine
from shellbuck.engines.supports import Edges, HoopRing, Springs
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

R, L = 1.0, 0.4
TUBE = BucklingProblem(SmearedWall.of(Skin(70e9, 0.3, 0.01)), R, L, pressure=1e5)
CLAMPED = replace(TUBE, edges=Edges("C4", "C4"))


@pytest.mark.parametrize("name", HOMES)
def test_every_engine_has_its_name(name):
    assert engine(name).name == name


def test_what_an_engine_finds_is_what_its_front_door_finds():
    barrel = ritz.RitzBarrel(TUBE.wall, R, L, Edges("C4", "C4"))
    found = engine("Ritz").solve(replace(CLAMPED, effort=Effort(modes=2)))
    assert (found.engine, found.status, found.error) == ("Ritz", "bifurcation", None)
    assert found.load == ritz.membrane(barrel, pressure=1e5, shapes=2)
    path = engine("Ritz with edge bending").solve(replace(CLAMPED, prestress="edge bending", load_height=1e-3))
    assert path.load == ritz.nonlinear(barrel, pressure=1e5, z_load=1e-3)
    classical = engine("closed form").solve(CLAMPED.classical).load
    assert classical == closed_form.lowest(TUBE.wall, R, L, 1e5 * R, theory="Sanders")


def test_other_growing_loads_leave_n_of_0_and_1_out():
    barrel = ritz.RitzBarrel(TUBE.wall, R, L, Edges("SS3", "SS3"))
    for tilt in (True, False):
        found = engine("Ritz").solve(replace(TUBE, growing=Mix(shear=1.0), tilt=tilt)).load
        assert found.line_load == ritz.torsion(barrel, pressure=1e5).line_load
        assert found.certificate.n_left_out == (0, 1)


def test_a_path_that_stays_stable_is_followed():
    """A short clamped wall with rings reaches the slope or deflection that ends its path before any loss."""
    rings = RibFamily("rings", 90.0, 0.03, 70e9, 27e9, 1.2e-3, 2.56e-6, 0.0, 0.09, 0.3)
    wall = SmearedWall.of(Skin(70e9, 0.3, 0.02), (rings,))
    effort = Effort(each_harmonic=False)
    short = replace(CLAMPED, wall=wall, L=0.25, pressure=0.0, theory="Donnell", prestress="edge bending", effort=effort)
    found = engine("Ritz with edge bending").solve(short)
    assert (found.status, found.load.n) == ("followed", None)


RING = HoopRing(0.2, 70e9, 27e9, 1e-4, 1e-9)
SPRUNG = Edges("SS3", "SS3", Springs(rotation=1e3))


@pytest.mark.parametrize(
    ("name", "change", "where"),
    [
        ("closed form", {"edges": Edges("C4", "C4")}, "edges"),
        ("closed form", {"growing": Mix(hoop=1.0)}, "growing load"),
        ("closed form", {"rings": (RING,)}, "barrel"),
        ("Ritz", {"prestress": "edge bending"}, "prestress"),
        ("Ritz with edge bending", {"prestress": "edge bending", "growing": Mix(shear=1.0)}, "growing load"),
        ("smeared mesh", {"edges": SPRUNG}, "barrel"),
        ("smeared mesh", {"theory": "Donnell"}, "theory"),
        ("mesh with ribs", {}, "wall"),
    ],
)
def test_what_an_engine_does_not_cover_is_refused(name, change, where):
    found = engine(name).solve(replace(TUBE, **change))
    assert (found.status, found.load) == ("refused", None)
    assert [(one.code, one.where) for one in found.error.problems] == [("engine-range", where)]
    with pytest.raises(Refusal, match="engine-range"):
        engine(name).ready(replace(TUBE, **change))


def test_a_mesh_starts_from_its_own_estimate():
    """Without a load that is known: R/t 100, where full gradients differ from Sanders' rotations by 2 N/A11."""
    short = replace(TUBE, L=0.2)
    found = engine("smeared mesh").solve(replace(short, effort=Effort(modes=1, meshes=1)))
    known = engine("Ritz").solve(short).load.line_load
    assert found.load.line_load == pytest.approx(known, rel=2 * known / TUBE.wall.A[0, 0])
    too_large = engine("smeared mesh").solve(replace(TUBE, effort=Effort(unknowns=100)))
    assert (too_large.status, too_large.error.problems[0].code) == ("refused", "mesh-too-large")
