"""Springs at ends and rings as they are: limits, order, rigid motions, and the second engine of dense.py.

Isotropic barrels, E = 1, nu = 0.3. Everything here is own derivation unless a test names a source.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from builders import slow
from dense import Dense, on_circle

from shellbuck.core.errors import Refusal
from shellbuck.engines.ritz import Edges, HoopRing, RitzBarrel, Springs, external_pressure, membrane, nonlinear
from shellbuck.engines.ritz.prebuckling import Prebuckling
from shellbuck.model.walls import RibFamily, Skin, SmearedWall

R, T, L = 1.0, 0.02, 0.9
WALL = SmearedWall.of(Skin(1.0, 0.3, T))
NO = Springs()


def both(name: str, springs: Springs = NO) -> Edges:
    return Edges(name, name, springs, springs)


def shell(edges: Edges, theory: str = "Sanders", **more) -> RitzBarrel:
    return RitzBarrel(WALL, R, more.pop("L", L), edges, theory, **more)


# springs

STIFF = [
    ("SS1", "SS3", {"v": 1e4}),
    ("SS3", "C3", {"rotation": 1e2}),
    ("SS3", "SS4", {"u": 1e4}),
    ("FREE", "C4", {"u": 1e4, "v": 1e4, "w": 1e4, "rotation": 1e2}),
]


@pytest.mark.parametrize(("soft", "hard", "springs"), STIFF)
def test_very_stiff_springs_hold(soft, hard, springs):
    """A load falls short of the held set's by a reaction's flexibility: relative to the wall's own (A22 = .02, layer
    .08: 1 N/m^2; D/layer: 1e-5 N) the springs are 1e4 and 1e7 times stiffer, so 1e-5 with room. Never above, to
    rounding."""
    sprung, held = shell(both(soft, Springs(**springs))), shell(both(hard))
    for load in (membrane, lambda b: nonlinear(b, each_harmonic=False)):
        found, limit = load(sprung), load(held)
        assert limit.line_load * (1 - 1e-5) <= found.line_load <= limit.line_load * (1 + 2e-8)
        assert found.n == limit.n


def test_zero_springs_change_nothing():
    """The same matrices: equal to the last bit but for the order of sums, 1e-12."""
    assert shell(both("SS3", Springs(0.0, 0.0, 0.0, 0.0))).edges == both("SS3")
    for name in ("SS1", "SS3"):
        tiny = shell(both(name, Springs(rotation=1e-30)))
        assert membrane(tiny).line_load == pytest.approx(membrane(shell(both(name))).line_load, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "quantity", "sizes"),
    [
        ("SS1", "v", (1e-4, 1e-3, 1e-2, 1e-1)),
        ("SS1", "u", (1e-4, 1e-3, 1e-2, 1e-1)),
        ("SS3", "rotation", (1e-6, 1e-5, 1e-4)),
        ("FREE", "w", (1e-3, 1e-2, 1e-1)),
    ],
)
def test_load_rises_with_every_spring(name, quantity, sizes):
    """A spring adds a square to the energy: no membrane load may fall, and it moves by more than rounding overall."""
    end = Edges("C4", name)
    loads = [membrane(shell(end), leave_out=(0, 1)).line_load]
    loads += [
        membrane(shell(replace(end, end_springs=Springs(**{quantity: k}))), leave_out=(0, 1)).line_load for k in sizes
    ]
    assert all(b >= a * (1 - 1e-9) for a, b in pairwise(loads))
    assert loads[-1] > loads[0] * (1 + 1e-6)


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_springs_equal_the_dense_engine(theory):
    """Different springs at two different ends; dense and piecewise polynomials both converge to rounding, 1e-8."""
    start, end = Springs(u=0.005, v=0.02, rotation=1e-5), Springs(u=0.01, v=0.001, w=0.02, rotation=1e-6)
    found = membrane(shell(Edges("SS1", "FREE", start, end), theory), leave_out=(0, 1))
    values = np.array([start.values, end.values])
    dense = Dense(WALL.matrix, R, L, "SS1", "FREE", theory == "Sanders", springs=values)
    assert (found.line_load, found.n) == (pytest.approx(dense.lowest(range(3, 6), axial=1.0)[0], rel=1e-8), 4)


def test_springs_follow_the_unit_of_length():
    """Lengths times k: u, v, w springs [N/m^2] stay, the rotation spring [N] grows by k^2, the load [N/m] by k."""
    k = 25.4

    def load(scale: float) -> float:
        springs = Springs(u=0.01, v=0.002, rotation=2e-6 * scale**2)
        wall = SmearedWall.of(Skin(1.0, 0.3, T * scale))
        ring = HoopRing(
            0.4 * scale, 1.0, 0.4, 1e-3 * scale**2, 1e-7 * scale**4, 3e-7 * scale**4, 2e-7 * scale**4, 0.03 * scale
        )
        return membrane(RitzBarrel(wall, R * scale, L * scale, both("SS1", springs), rings=(ring,))).line_load

    assert load(k) == pytest.approx(k * load(1.0), rel=1e-9)


@pytest.mark.parametrize(("name", "quantity"), [("SS3", "v"), ("SS2", "u"), ("SS1", "w"), ("C1", "rotation")])
def test_held_and_sprung_is_refused(name, quantity):
    with pytest.raises(Refusal, match="held and has a spring too"):
        Edges("SS3", name, NO, Springs(**{quantity: 1.0}))


@pytest.mark.parametrize("value", [-1.0, float("nan")])
def test_springs_that_are_no_springs(value):
    with pytest.raises(Refusal, match=r"spring\.v: the value is outside its range.*allowed: 0 or more and finite"):
        Springs(v=value)


def test_springs_stand_in_for_what_is_held_against_rigid_motion():
    """Clear of rigid motion needs v or w at both ends, or at one with u or the slope held or sprung somewhere."""
    for start, end, springs in [("FREE", "FREE", Springs(v=1.0)), ("SS3", "FREE", NO), ("FREE", "SS1", NO)]:
        with pytest.raises(Refusal, match="leave the barrel a rigid motion"):
            Edges(start, end, springs)
    Edges("FREE", "FREE", Springs(w=1.0), Springs(v=1.0))
    Edges("FREE", "FREE", Springs(v=1.0, u=1.0))
    Edges("SS3", "FREE", NO, Springs(u=1.0))
    Edges("SS3", "FREE", Springs(rotation=1.0))


# rings

RING = dict(E=2.0, G=0.7, area=3e-4, inertia=4e-7, inertia_out=2e-7, torsion=1e-7, z=-0.05)


def ring_at(x: float, **more) -> HoopRing:
    return HoopRing(x, **{**RING, **more})


@pytest.mark.parametrize("n", [0, 1, 2, 7])
def test_ring_energy_is_that_of_a_rod_on_a_circle(n):
    """Sanders; the rod's strains are derived in dense.py, with v a quarter wave beside w. Rounding, 1e-12."""
    rows, ring = on_circle(1.3, n, RING["z"]), ring_at(0.0)
    stiffness = {"stretch": 2 * 3e-4, "bend": 2 * 4e-7, "sideways": 2 * 2e-7, "twist": 0.7 * 1e-7}
    expected = sum(k * np.outer(rows[q].conj(), rows[q]) for q, k in stiffness.items())
    phase = np.diag([1, 1j, 1, 1])  # v = V sin is the real part of -i V exp(i n theta)
    expected = phase @ expected @ phase.conj()
    found = np.tensordot((n / 1.3) ** np.arange(5.0), ring.energy(1.3, True), 1)
    assert found == pytest.approx(expected.real, abs=1e-12 * np.abs(expected).max())
    assert np.abs(expected.imag).max() <= 1e-15


def test_ring_stores_nothing_in_rigid_motion():
    """n = 1, own: shift of the whole section w = cos, v = -sin; tilt about a diameter at a distance x, where the axial
    displacement falls with the height: u = -a (R + z) cos, w = a x cos, v = -a x sin, w' = a. Under Sanders exactly."""
    radius, a, x = 1.3, 0.02, 0.4
    K = np.tensordot((1 / radius) ** np.arange(5.0), ring_at(0.0).energy(radius, True), 1)
    for motion in ([0, -1, 1, 0], [-a * radius, -a * x, a * x, a], [-a * radius, 0, 0, a]):
        y = np.array(motion, float)
        assert abs(y @ K @ y) <= 1e-14 * (np.abs(y) @ np.abs(K) @ np.abs(y))
    axial = np.array([1.0, 0, 0, 0])  # n = 0: shift along the axis
    assert axial @ ring_at(0.0).energy(radius, True)[0] @ axial == 0


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_zero_ring_changes_nothing(theory):
    """Only the pieces move: both resolutions are converged to 1e-8, the path's bracket to 1e-6."""
    plain = shell(both("C3"), theory)
    ringed = replace(plain, rings=(HoopRing(0.3, 1.0, 0.4, 0.0, 0.0),))
    assert membrane(ringed).line_load == pytest.approx(membrane(plain).line_load, rel=1e-8)
    loads = [nonlinear(b, each_harmonic=False).line_load for b in (ringed, plain)]
    assert loads[0] == pytest.approx(loads[1], rel=1e-6)


@pytest.mark.parametrize("at", [0.0, 0.3, 0.45, 0.9])
@pytest.mark.parametrize("part", ["area", "inertia", "inertia_out", "torsion", "z"])
def test_ring_never_lowers_a_membrane_load(at, part):
    """Its energy is a sum of squares and membrane prebuckling leaves it without force; 1e-8 is the resolution."""
    more = {"inertia": 0.0, "inertia_out": 0.0, "torsion": 0.0, "z": 0.0}
    more[part] = RING[part]
    edges = both("SS1", Springs(u=1e-3))
    with_ring = shell(
        edges,
        rings=(
            ring_at(
                at, area=0.0 if part not in ("area", "z") else 3e-4, **{k: v for k, v in more.items() if k != "area"}
            ),
        ),
    )
    assert membrane(with_ring, leave_out=(0, 1)).line_load >= _bare() * (1 - 1e-8)


def _bare(found: list[float] = []) -> float:  # noqa: B006  computed once
    if not found:
        found.append(membrane(shell(both("SS1", Springs(u=1e-3))), leave_out=(0, 1)).line_load)
    return found[0]


@pytest.mark.parametrize("z", [0.03, -0.03])
def test_end_ring_equals_the_dense_engine(z):
    """A free end with an eccentric ring and a weak axial spring, Sanders: 1e-8 as for the springs."""
    ring = HoopRing(L, 1.0, 0.4, 1e-3, 1e-7, 2e-7, 3e-7, z)
    found = membrane(shell(Edges("SS3", "FREE", NO, Springs(u=1e-3)), rings=(ring,)), leave_out=(0, 1))
    dense = Dense(
        WALL.matrix,
        R,
        L,
        "SS3",
        "FREE",
        True,
        springs=np.array([[0, 0, 0, 0], [1e-3, 0, 0, 0]]),
        rings=((1, 1e-3, 1e-7, 2e-7, 0.4 * 3e-7, z),),
    )
    assert found.line_load == pytest.approx(dense.lowest(range(2, 5), axial=1.0)[0], rel=1e-8)


@pytest.mark.parametrize("z", [0.0, 0.02])
def test_rigid_end_ring_clamps_every_harmonic_but_the_rigid_motions(z):
    """A ring stiff in every sense moves as a rigid body only. That has n = 0 (along the axis, which the load does
    anyway) and n = 1 (shift, tilt), so for n of 2 or more and for n = 0 the free end is C4: both squares of the plane
    leave (n^2 - 1) W = 0, the two others (n^2 - 1) U = 0. Stiffness 1e3 against 1e-2 of the wall: 1e-6."""
    ring = HoopRing(L, 1.0, 1.0, 1e3, 1e3, 1e3, 1e3, z)
    found = membrane(shell(Edges("C4", "FREE"), rings=(ring,)), leave_out=(1,))
    assert found.line_load == pytest.approx(membrane(shell(both("C4")), leave_out=(1,)).line_load, rel=1e-6)


def test_end_ring_stiff_in_its_plane_supports_n_of_two_or_more():
    """Without stiffness sideways and in twist, u and the slope stay free: SS3 for n of 2 or more, 1e-6 as above."""
    ring = HoopRing(L, 1.0, 1.0, 1e3, 1e3)
    found = membrane(shell(Edges("SS3", "FREE", Springs(rotation=1e-12)), rings=(ring,)), leave_out=(0, 1))
    assert found.line_load == pytest.approx(membrane(shell(both("SS3")), leave_out=(0, 1)).line_load, rel=1e-6)


@pytest.mark.parametrize("theory", ["Sanders", *slow("Donnell")])
@pytest.mark.parametrize(
    ("z", "torsion"),
    [(0.02, 0.0), (-0.02, 0.0), *[pytest.param(z, 1e-9, marks=pytest.mark.slow) for z in (0.02, -0.02)]],
)
@pytest.mark.parametrize("kind", ["axial", "lateral"])
def test_many_rings_are_the_smeared_ring_wall(kind, z, torsion, theory):
    """24 and 48 rings of the same sum, in the middles of their shares of an SS3 barrel. A sum of sin^2 or cos^2 at such
    stations equals the integral, so only the waviness between rings parts the two, and it falls as the spacing squared:
    the extrapolated load without torsion is the smeared wall's to 5e-5 (the next power: a sixteenth of 1e-3 at most).
    A ring's twist (n/R_c)(W' + u_c/R_c) differs from the wall's 2 k_xt by z/R = .02 and terms 1/n^2: 3 % of the
    torsion's own part, which is a few hundredths of the load: 2e-3. Rings outside leave n = 0 the lowest axial mode,
    inside not."""
    length, skin = 0.6, Skin(1.0, 0.3, 0.01)

    def load(wall: SmearedWall, rings: tuple[HoopRing, ...] = ()) -> tuple[float, int]:
        barrel = RitzBarrel(wall, R, length, both("SS3"), theory, rings=rings)
        found = membrane(barrel, leave_out=(1,)) if kind == "axial" else external_pressure(barrel)
        return found.line_load, found.n

    def rings(count: int) -> tuple[HoopRing, ...]:
        part, bay = 24 / count, length / count
        return tuple(
            HoopRing((i + 0.5) * bay, 1.0, 0.4, 4e-5 * part, 3e-9 * part, torsion=torsion * part, z=z)
            for i in range(count)
        )

    family = RibFamily("rings", 90.0, length / 24, 1.0, 0.4, 4e-5, 3e-9, torsion, z, 0.3)
    smeared, n = load(SmearedWall.of(skin, (family,)))
    bare, _ = load(SmearedWall.of(skin))
    (coarse, _), (fine, n_fine) = (load(SmearedWall.of(skin), rings(count)) for count in (24, 48))
    assert smeared > 1.01 * bare
    assert n_fine == n
    assert kind == "lateral" or (n == 0) == (z > 0)
    assert fine >= coarse * (1 - 1e-8)
    assert (4 * fine - coarse) / 3 == pytest.approx(smeared, rel=2e-3 if torsion else 5e-5)


def test_rigid_rings_part_the_barrel_into_clamped_bays():
    """Three equal bays between ends and two rings rigid in every sense are three C4 barrels (n of 2 or more): the same
    load under axial compression and external pressure, 1e-6 as for the rigid end ring."""
    rings = tuple(HoopRing(x, 1.0, 1.0, 1e3, 1e3, 1e3, 1e3) for x in (0.4, 0.8))
    whole, bay = shell(both("C4"), L=1.2, rings=rings), shell(both("C4"), L=0.4)
    assert external_pressure(whole).line_load == pytest.approx(external_pressure(bay).line_load, rel=1e-6)
    axial = [membrane(b, leave_out=(0, 1)).line_load for b in (whole, bay)]
    assert axial[0] == pytest.approx(axial[1], rel=1e-6)


def test_rings_stiff_in_their_plane_part_it_into_supported_bays():
    """W = V = 0 at the rings, u and the slope pass through: the SS3 mode of a bay continues with the other sign in the
    next one, and no mode lies lower, because every bay alone would then lie below its SS3 load. External pressure."""
    rings = tuple(HoopRing(x, 1.0, 1.0, 1e3, 1e3) for x in (0.4, 0.8))
    whole, bay = shell(both("SS3"), L=1.2, rings=rings), shell(both("SS3"), L=0.4)
    found, expected = external_pressure(whole, shapes=1), external_pressure(bay)
    assert (found.n, found.line_load) == (expected.n, pytest.approx(expected.line_load, rel=1e-6))
    assert found.shapes[0].half_waves == 3


def test_load_between_weak_and_heavy_rings_rises_to_the_bay():
    """Heavier rings in the middle of a long barrel raise the pressure load from the bare barrel's to the bay's, where
    the mode has its node at the ring: the last two are the same number, to rounding."""

    def load(inertia: float) -> float:
        return external_pressure(shell(both("SS3"), L=2.0, rings=(HoopRing(1.0, 1.0, 0.4, 1e-3, inertia),))).line_load

    rising = [load(i) for i in (0.0, 1e-7, 1e-6, 1e-5, 1e-3)]
    bay = external_pressure(shell(both("SS3"), L=1.0)).line_load
    assert all(b >= a * (1 - 1e-12) for a, b in pairwise(rising))
    assert rising[-1] <= bay * (1 + 1e-8)
    assert rising[-1] == pytest.approx(bay, rel=1e-6)
    assert rising[0] < 0.7 * bay


@pytest.mark.parametrize("axial_share", [0.0, 0.4, -0.5])
def test_ring_pinches_a_long_pressurised_tube(axial_share):
    """The tube is a beam on the foundation k = E t/R^2 (Hetenyi, Beams on Elastic Foundation, 1946; formula from
    memory, derived again here with the axial force). D w'''' + N w'' + k w = q has the decaying solutions exp(-a x)
    cos, sin of b x with a^2, b^2 = sqrt(k/4D) -+ N/4D; a line load P is carried by 2 D w''' with w' = 0 at the ring:
    w(0) = P/(4 D a (a^2 + b^2)). The ring carries P = E A w_ring/R^2. Far ends: exp(-a L/2) is 1e-8. Polynomials of
    degree 8 on pieces of a layer: 1e-7 of the expansion."""
    t, pressure, area = 0.01, 1e-5, 2e-4
    D, k = t**3 / (12 * 0.91), t / R**2
    N = axial_share * 2 * math.sqrt(k * D)
    a, b = math.sqrt(math.sqrt(k / 4 / D) - N / 4 / D), math.sqrt(math.sqrt(k / 4 / D) + N / 4 / D)
    far = (pressure + 0.3 * N / R) / k
    give = 1 / (4 * D * a * (a * a + b * b))
    at_ring = far / (1 + area / R**2 * give)
    length = 2 * 18.5 / a
    barrel = RitzBarrel(
        SmearedWall.of(Skin(1.0, 0.3, t)),
        R,
        length,
        both("SS3"),
        piece=1.0,
        rings=(HoopRing(length / 2, 1.0, 0.4, area, 1e-9, 1e-3),),
    )
    state = Prebuckling(barrel, pressure).shape(N)
    x = np.abs(barrel.pieces.stations - length / 2)
    expected = far - (far - at_ring) * np.exp(-a * x) * (np.cos(b * x) + a / b * np.sin(b * x))
    middle = x < length / 4  # the ends' own layers fall as exp(-a L/4) = 1e-4 of their size there
    assert state.prestress.rings[0] == pytest.approx(area * at_ring / R, rel=1e-6)
    assert state.deflection[x < 0.5 / a] == pytest.approx(expected[x < 0.5 / a], abs=1e-6 * far)
    assert state.deflection[middle] == pytest.approx(expected[middle], abs=1e-3 * far)
    if N == 0:  # the usual form: w_ring = w_far/(1 + A/(2 t) beta), beta^4 = 3 (1 - nu^2)/(R t)^2
        beta = (3 * 0.91 / (R * t) ** 2) ** 0.25
        assert at_ring == pytest.approx(far / (1 + area * beta / (2 * t)), rel=1e-12)


def test_ring_holds_its_edge_on_the_nonlinear_path():
    """A ring with a huge E A, E I sideways and so on is a clamped end there too (n = 1 apart: here n is 6); 1e-5."""
    ring = HoopRing(L, 1.0, 1.0, 1e3, 1e3, 1e3, 1e3)
    found = nonlinear(shell(Edges("C4", "FREE", NO, Springs(v=1e3, w=1e3)), rings=(ring,)), each_harmonic=False)
    assert found.line_load == pytest.approx(nonlinear(shell(both("C4")), each_harmonic=False).line_load, rel=1e-5)


@pytest.mark.parametrize("at", [-0.1, 0.91, float("nan")])
def test_ring_outside_is_refused(at):
    with pytest.raises(Refusal, match="a ring stands outside the barrel"):
        shell(both("SS3"), rings=(HoopRing(at, 1.0, 0.4, 1e-4, 1e-8),))


def test_record_names_rings_and_springs():
    load = membrane(shell(Edges("SS1", "SS1", Springs(v=0.5)), rings=(HoopRing(0.3, 2.0, 0.4, 1e-4, 1e-8),)))
    assert "x = 0: SS1 (w held) with springs v 0.5 N/m^2" in load.edges
    assert "ring at x = 0.3 m (E A = 0.0002 N, E I = 2e-08 N m^2)" in load.edges


@pytest.mark.parametrize("theory", ["Donnell", "Sanders"])
def test_energy_shares_of_springs_and_ring_are_what_stiffening_them_gains(theory):
    """N = x'Kx/x'Gx is stationary in x, so a part of the stiffness with the share s of the energy raises N by s per
    unit of its own relative growth: d ln N/d ln k, by central differences of the load (1e-3, error 1e-6 of a share
    of order .1)."""
    springs = Springs(u=2e-2, v=3e-3, rotation=2e-6)

    def lowest(on_springs: float = 1.0, on_ring: float = 1.0):
        ends = Springs(*(on_springs * k for k in springs.values))
        rings = tuple(HoopRing(x, on_ring, on_ring / 2.6, 1e-4, 1e-8, 1e-8, 1e-8, 0.01) for x in (0.0, 0.9))
        edges = Edges("SS1", "SS1", ends, ends)
        one = RitzBarrel(SmearedWall.of(Skin(1.0, 0.3, 0.01)), 1.0, 0.9, edges, theory, rings=rings)
        return membrane(one, shapes=1)

    found = lowest()
    shares = dict(found.shapes[0].energy)
    for name, change in (("springs", {"on_springs": 1.0}), ("rings", {"on_ring": 1.0})):
        up, down = (lowest(**dict.fromkeys(change, 1 + h)).line_load for h in (1e-3, -1e-3))
        gain = math.log(up / down) / math.log(1.001 / 0.999)
        assert gain > 0.01, name
        assert shares[name] == pytest.approx(gain, abs=2e-5), name
