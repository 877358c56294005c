"""Charts, normals and frames."""

from __future__ import annotations

import numpy as np
import pytest
from fe_charts import SPHERE, TWISTED
from fe_meshes import grid, ring, skin, stringer

from shellbuck.engines.fe.element import Elements
from shellbuck.engines.fe.geometry import CARTESIAN, CYLINDRICAL

R = 2.0
LINE = np.linspace(0.1, 0.5, 3)


@pytest.mark.parametrize("chart", [CYLINDRICAL, CARTESIAN, SPHERE, TWISTED])
def test_derivatives_of_charts_by_differences(chart):
    """Central differences, step 1e-5: errors of the order of 1e-10."""
    c, h = np.array([[0.3, 0.8, 1.4], [1.1, -0.4, 0.9]]), 1e-5
    _, J, H = chart.position(c)
    for k in range(3):
        step = h * np.eye(3)[k]
        (up, J_up, _), (down, J_down, _) = chart.position(c + step), chart.position(c - step)
        assert J[..., k] == pytest.approx((up - down) / (2 * h), abs=1e-8)
        assert H[..., k] == pytest.approx((J_up - J_down) / (2 * h), abs=1e-8)


@pytest.mark.parametrize("chart", [CYLINDRICAL, CARTESIAN])
def test_handedness_and_orthonormal_directions(chart):
    T = chart.directions(np.array([[0.3, 0.8, 1.4]]))[0]
    assert pytest.approx(np.eye(3), abs=1e-15) == T @ T.T
    assert np.linalg.det(T) == pytest.approx(chart.handedness)


def test_frame_of_a_skin_is_axis_and_hoop_and_its_normal_points_outward():
    s = Elements(CYLINDRICAL, 4, skin(R, LINE, LINE)).surface
    assert s.normal == pytest.approx(s.directions[:, :, 2], abs=1e-13)
    assert s.frame == pytest.approx(s.directions[:, :, :2], abs=1e-6)  # tangents through the nodes: interpolation
    # curvature 1/R about the hoop, none along the axis
    along = s.to_frame @ s.turning
    assert along[:, :, 0] == pytest.approx(0, abs=1e-6)
    assert np.sum(along[:, :, 1] * s.frame[:, :, 1], -1) == pytest.approx(1 / R, rel=1e-6)


def test_frames_of_webs():
    """A stringer's web starts along the axis, a ring's, normal to the axis, along the hoop."""
    web = Elements(CYLINDRICAL, 4, stringer(0.7, LINE, LINE)).surface
    assert web.frame[:, :, 0] == pytest.approx(web.directions[:, :, 0], abs=1e-12)
    assert np.abs(np.sum(web.frame[:, :, 1] * web.directions[:, :, 2], -1)) == pytest.approx(1, abs=1e-12)
    assert web.turning == pytest.approx(0, abs=1e-12)
    hoop = Elements(CYLINDRICAL, 4, ring(0.7, LINE, LINE)).surface
    assert hoop.frame[:, :, 0] == pytest.approx(hoop.directions[:, :, 1], abs=1e-6)
    assert hoop.turning == pytest.approx(0, abs=1e-12)


def test_web_along_an_inclined_line_is_a_helicoid():
    """Its normal is normal to the radius everywhere and turns along it: mixed curvature only along rulings."""
    corners = grid(LINE, np.array([R, R + 0.2]), lambda t, r: np.stack([0.8 * t, t, r], -1))
    s = Elements(CYLINDRICAL, 4, corners).surface
    assert np.sum(s.normal * s.directions[:, :, 2], -1) == pytest.approx(0, abs=1e-12)
    # the normal turns along the radius: pitch c = dx/dtheta, angle atan(c/r), rate c/(c^2 + r^2)
    radius = np.linalg.norm(s.tangent[:, :, 1], axis=-1)[..., None]
    rate = np.linalg.norm(s.turning[:, :, 1], axis=-1) / radius[..., 0]
    inner = (np.polynomial.legendre.leggauss(5)[0] + 1) / 2 * 0.2 + R
    assert rate.reshape(-1, 5, 5) == pytest.approx(np.broadcast_to(0.8 / (0.64 + inner**2), (2, 5, 5)), rel=1e-9)


def test_area_of_a_sphere():
    """Zone between latitudes 0.1 and 0.5, 0.4 wide: R^2 0.4 (sin 0.5 - sin 0.1)."""
    corners = grid(LINE, LINE, lambda b, a: np.stack([a, b, np.full_like(a, R)], -1))
    area = Elements(SPHERE, 4, corners).surface.area.sum()
    assert area == pytest.approx(R * R * 0.4 * (np.sin(0.5) - np.sin(0.1)), rel=1e-9)
