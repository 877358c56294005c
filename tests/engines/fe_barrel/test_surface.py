"""What is drawn of a mesh covers it, faces outward, and carries the mode."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest

from shellbuck.engines.fe_barrel.surface import displacement_of, skin_weights, surface_of
from shellbuck.engines.mesh import Blades, Divisions, Extent, StraightRibs, build_mesh

R, L, COUNT = 1.2, 0.8, 12
SHAPE = StraightRibs(R, L, 2e-3, stringers=Blades(COUNT, 0.03, 2e-3, "outside"))
MESH = build_mesh(SHAPE, Divisions(around=2, along=4, order=3), Extent(sector=6, cut="between"))


def solved(modes):
    part = SimpleNamespace(angle=math.pi, families=("even", "odd"))
    return SimpleNamespace(mesh=MESH, modes=modes, part=part)


MODES = np.zeros((MESH.unknowns, 1))
MODES[2::6, 0] = np.where(MESH.points[:, 2] > R, 7.0, -2.0 * np.sin(np.pi * MESH.points[:, 0] / L))
SURFACE = surface_of(solved(MODES))


def test_weights_add_up_to_the_area_of_the_skin():
    """Gauss-Lobatto integrates the constant Jacobian of a cylinder exactly: rounding only."""
    weights = skin_weights(MESH)
    assert weights.sum() == pytest.approx(math.pi * R * L, rel=1e-12)
    assert (weights[MESH.points[:, 2] > R + 1e-9] == 0).all()
    assert (weights >= 0).all()


def test_weights_integrate_a_wave():
    """Integral of sin^2 over the skin is half its area; order 3 with four elements to a half-wave: 1e-6."""
    x = MESH.points[:, 0]
    assert skin_weights(MESH) @ np.sin(np.pi * x / L) ** 2 == pytest.approx(math.pi * R * L / 2, rel=1e-6)


def test_facets_cover_skin_and_webs_and_face_outward():
    points, facets = SURFACE.points.array(), SURFACE.facets.array()
    part = np.array(SURFACE.parts)[SURFACE.part.array()]
    assert len(facets) == 9 * len(MESH.elements)
    x, theta, r = points[facets].transpose(2, 0, 1)
    # twice the signed area in the (theta, x) plane by the shoelace rule
    t2, x2 = np.roll(theta, -1, 1), np.roll(x, -1, 1)
    signed = (theta * x2 - t2 * x).sum(axis=1) / 2 * R
    assert (signed[part == "skin"] > 0).all()
    assert signed[part == "skin"].sum() == pytest.approx(math.pi * R * L, rel=1e-6)  # stored in single precision
    assert (r[part == "stringer"] >= R - 1e-6).all()
    assert (SURFACE.angle, SURFACE.mirror) == (math.pi, True)


def test_displacement_is_over_the_peak_of_the_skin_not_of_the_ribs():
    """Webs may move further than the skin; the skin's peak is 1 to half a step of sixteen bits."""
    d = displacement_of(solved(MODES), 0).array()
    skin = MESH.nodes_of("skin")
    assert np.abs(d[skin, 2]).max() == pytest.approx(1, abs=3.5 / 32767)
    assert d[:, 2].max() == pytest.approx(3.5, abs=1e-3)
