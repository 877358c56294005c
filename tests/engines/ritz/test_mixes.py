"""Loads in proportion: pure cases, the SS3 closed form, the convex stable domain, what is refused."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from builders import GRID, STIFFENED, case
from dense import Dense

import shellbuck as sb
from shellbuck.core.errors import Refusal
from shellbuck.engines import closed_form
from shellbuck.engines.ritz import Edges, HoopRing, Mix, RitzBarrel, external_pressure, membrane, proportional, torsion
from shellbuck.model.walls import Skin, SmearedWall

R, L = 1.0, 0.8
PLAIN = SmearedWall.of(Skin(1.0, 0.3, 0.01))


def barrel(ends: tuple[str, str] = ("SS3", "SS3"), theory: str = "Donnell", wall: SmearedWall = PLAIN) -> RitzBarrel:
    return RitzBarrel(wall, R, L, Edges(*ends), theory)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
@pytest.mark.parametrize("ends", [("SS3", "SS3"), ("C4", "SS2")])
def test_pure_mixes_are_the_single_loads(ends, theory):
    """The same problem by another door; a unit of any size. Two solutions, 1e-8 for the resolution that one refines."""
    shell = barrel(ends, theory)
    axial = membrane(shell)
    for size in (1.0, 2.5e3):
        found = proportional(shell, Mix(axial=size))
        assert (found.n, found.line_load) == (axial.n, pytest.approx(axial.line_load, rel=1e-8))
    lateral, hydrostatic = external_pressure(shell), external_pressure(shell, hydrostatic=True)
    assert proportional(shell, Mix(hoop=3.0)).line_load == pytest.approx(lateral.line_load, rel=1e-9)
    assert proportional(shell, Mix(axial=1.0, hoop=2.0), leave_out=(0, 1)).line_load == pytest.approx(
        hydrostatic.line_load, rel=1e-9
    )  # the hoop part is the larger one
    twist = torsion(shell).line_load
    for sign in (1.0, -1.0):  # without 16/26 terms the torque has no preferred sense
        assert abs(proportional(shell, Mix(shear=2 * sign)).line_load) == pytest.approx(twist, rel=1e-9)


@pytest.mark.parametrize("wall", ["plain", "grid", "stiffened"])
@pytest.mark.parametrize("share", [0.05, 0.3, 1.0, 4.0, -0.5])
def test_axial_with_lateral_pressure_is_the_closed_form(wall, share):
    """SS3, Donnell: S(m, n) = N (a^2 + share b^2) for N_x = -N and p R = -share N, with S from the closed form's axial
    load. The sine field is exact: 1e-7 asked, the least over every m and n."""
    built = {"plain": PLAIN, "grid": sb.build_wall(case(GRID)), "stiffened": sb.build_wall(case(STIFFENED))}[wall]
    radius, length = (R, L) if wall == "plain" else (1.5, 2.0)
    m, n = np.arange(1, 60)[:, None], np.concatenate([[0], np.arange(2, 70)])
    a2, b2 = (m * np.pi / length) ** 2, (n / radius) ** 2
    S = closed_form.line_loads(built, radius, length, m, n) * a2
    work = a2 + share * b2
    table = np.where(work > 0, S / np.where(work > 0, work, 1.0), np.inf)
    shell = RitzBarrel(built, radius, length, Edges("SS3", "SS3"), "Donnell")
    found = proportional(shell, Mix(axial=1.0, hoop=share), leave_out=(1,))
    assert found.line_load == pytest.approx(table.min() * max(1.0, share), rel=1e-7)
    assert found.n == n[np.unravel_index(np.argmin(table), table.shape)[1]]


@pytest.mark.parametrize("pressure", [0.0, 1e-5])
def test_fixed_pressure_beside_a_mix_is_the_closed_form(pressure):
    """A fixed hoop tension p R adds p R b^2 to S; it is not scaled with the load. 1e-7 as above."""
    m, n = np.arange(1, 40)[:, None], np.arange(2, 60)
    a2, b2 = (m * np.pi / L) ** 2, n**2 / R**2
    S = closed_form.line_loads(PLAIN, R, L, m, n) * a2
    found = proportional(barrel(), Mix(axial=1.0, hoop=0.2), pressure=pressure, leave_out=(0, 1))
    assert found.line_load == pytest.approx(((S + pressure * R * b2) / (a2 + 0.2 * b2)).min(), rel=1e-7)


KINDS = [("axial", "hoop"), ("axial", "shear"), ("hoop", "shear")]


@pytest.mark.parametrize("kinds", KINDS)
@pytest.mark.parametrize(("ends", "theory"), [(("SS3", "SS3"), "Donnell"), (("C4", "SS1"), "Sanders")])
def test_stable_domain_is_convex(kinds, ends, theory):
    """Stable loads are those where K minus a combination of works is positive: a mean of two stable points is stable.
    Exact in one trial space; every critical point is good to 1e-9."""
    shell, points = barrel(ends, theory), []
    pure = [
        external_pressure(shell)
        if k == "hoop"
        else torsion(shell)
        if k == "shear"
        else membrane(shell, leave_out=(0, 1))
        for k in kinds
    ]
    scale = [p.line_load for p in pure]
    for angle in np.linspace(0, np.pi / 2, 5):
        mix = dict(zip(kinds, (scale[0] * math.cos(angle), scale[1] * math.sin(angle)), strict=True))
        unit = {k: v for k, v in mix.items() if v > 1e-12 * max(scale)}
        found = proportional(shell, Mix(**unit), leave_out=(0, 1))
        factor = found.line_load / max(unit.values())
        points.append((factor * math.cos(angle), factor * math.sin(angle)))
    assert points[0][0] == pytest.approx(1.0, rel=1e-8)
    assert points[-1][1] == pytest.approx(1.0, rel=1e-8)
    for p, q in [*pairwise(points), (points[0], points[2]), (points[1], points[4])]:
        middle = {k: s * (x + y) / 2 for k, s, x, y in zip(kinds, scale, p, q, strict=True) if x + y > 1e-12}
        found = proportional(shell, Mix(**middle), leave_out=(0, 1))
        assert found.line_load / max(middle.values()) >= 1 - 1e-8
    # between two pure loads the domain holds at least the triangle, at most the rectangle
    assert all(x + y >= 1 - 1e-8 and max(x, y) <= 1 + 1e-8 for x, y in points)


@pytest.mark.parametrize("share", [0.2, 0.8])
def test_tension_along_with_the_pressure_helps(share):
    """Axial tension adds to the stiffness. Closed form, Donnell: S = p R (b^2 - share a^2), where a mode with a
    negative bracket is never lost; some harmonics (n = 2 at share .8) hold no other modes and must not stop the search.
    1e-7."""
    m, n = np.arange(1, 30)[:, None], np.arange(2, 60)
    a2, b2 = (m * np.pi / L) ** 2, n**2 / R**2
    S, work = closed_form.line_loads(PLAIN, R, L, m, n) * a2, b2 - share * a2
    expected = np.where(work > 0, S / np.where(work > 0, work, 1), np.inf).min()
    found = proportional(barrel(), Mix(axial=-share, hoop=1.0))
    assert found.line_load == pytest.approx(expected, rel=1e-7)
    assert found.line_load > external_pressure(barrel()).line_load


def test_tension_larger_than_the_pressure_keeps_its_sign():
    """Twice as much axial tension as hoop compression, N the hoop load by the dense engine: the record's load is the
    hoop compression N, or the axial part with its sign, -2 N; a compression of 2 N it is not. 1e-8."""
    shell = barrel(theory="Sanders", wall=SmearedWall.of(Skin(1.0, 0.3, 0.02)))
    found = proportional(shell, Mix(axial=-2.0, hoop=1.0))
    dense = Dense(shell.wall.matrix, R, L, "SS3", "SS3", True)
    N = dense.load(found.n, axial=-2.0, hoop=1.0)
    expected = N if found.definition.startswith("external pressure") else -2 * N
    assert found.line_load == pytest.approx(expected, rel=1e-8)


def test_live_pressure_equals_the_dense_engine():
    """Live and dead, Sanders, an end that holds u only and one that holds v only: 1e-8. Live is lower where n is
    small."""
    shell, loads = barrel(("SS2", "SS3"), "Sanders", SmearedWall.of(Skin(1.0, 0.3, 0.02))), []
    dense = Dense(shell.wall.matrix, R, L, "SS2", "SS3", True)
    for live in (True, False):
        found = proportional(shell, Mix(axial=0.3, hoop=1.0, live=live), leave_out=(0, 1))
        factor, n = dense.lowest(range(found.n - 1, found.n + 2), axial=0.3, hoop=1.0, live=live)
        assert (found.n, found.line_load) == (n, pytest.approx(factor, rel=1e-8))
        loads.append(found.line_load)
    assert loads[0] < loads[1]


def test_shapes_of_a_mix():
    """As many as asked for, the first at the load itself; under shear in two families. The load is that of the
    record."""
    shell = barrel(("C4", "C4"), "Sanders")
    for mix in (Mix(axial=1.0, hoop=0.1), Mix(axial=1.0, shear=0.5)):
        found = proportional(shell, mix, shapes=3)
        assert len(found.shapes) == 3
        assert found.shapes[0].line_load == pytest.approx(found.line_load, rel=1e-9)
        assert found.shapes[0].n == found.n
        loads = [s.line_load for s in found.shapes]
        assert loads == sorted(loads)
        assert bool(found.shapes[0].twin_w) == (mix.shear != 0)


@pytest.mark.parametrize("mix", [Mix(), Mix(axial=-1.0), Mix(hoop=-2.0), Mix(axial=-1.0, hoop=-1.0)])
def test_nothing_compresses(mix):
    with pytest.raises(Refusal, match="nothing compresses or shears the wall"):
        proportional(barrel(), mix)


def test_live_pressure_is_refused():
    with pytest.raises(Refusal, match="belongs to Sanders kinematics"):
        proportional(barrel(), Mix(hoop=1.0, live=True))
    for ends, place in ((("SS1", "C4"), "x = 0"), (("C4", "C1"), "x = L"), (("C4", "FREE"), "x = L")):
        with pytest.raises(Refusal, match=f"{place}.*holds neither u nor v"):
            proportional(barrel(ends, "Sanders"), Mix(hoop=1.0, axial=0.2, live=True))
    proportional(barrel(("C2", "SS3"), "Sanders"), Mix(hoop=1.0, live=True))


def test_record_says_what_the_load_is():
    shell = RitzBarrel(PLAIN, R, L, Edges("SS3", "SS3"), "Sanders", rings=(HoopRing(0.4, 1.0, 0.4, 1e-4, 1e-8),))
    found = proportional(shell, Mix(axial=0.5, hoop=1.0, shear=0.25, live=True), name="mixed")
    assert found.definition.startswith("external pressure, p R at bifurcation")
    assert "axial compression 0.5 times that" in found.definition
    assert "shear tau t 0.25 times that" in found.definition
    assert found.prestress == "membrane, uniform N_x and N_theta and N_xtheta"
    assert found.pressure_treatment == "external pressure is the load, live"
    assert "ring at x = 0.4 m" in found.edges
