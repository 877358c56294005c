"""Waves, energy, phase and likeness of modes: fields put in by hand, and buckled barrels of every kind of mesh."""

from __future__ import annotations

import math

import numpy as np
import pytest
from fe_meshes import built, edge, plate, ring, skin, stringer

from shellbuck.engines.fe import Shell, Support, buckle, sheet, side_ties, stiffness, symmetry_at
from shellbuck.engines.fe.content import skin_w, standard_phase, subspace_mac, wave_content
from shellbuck.engines.fe.energy import element_energies, energy_shares
from shellbuck.engines.mesh import WHOLE, Blades, Divisions, Extent, StraightRibs, TriangularRibs, build_mesh

E, NU, R, L = 70e9, 0.33, 1.0, 0.8


def shell_of(mesh, t: float = 6e-3) -> Shell:
    return Shell(mesh, {name: sheet(E, NU, t) for name in mesh.parts})


def plain(order: int = 4, around: int = 16, along: int = 4, length: float = L) -> Shell:
    return shell_of(
        built(
            order, closed=True, skin=skin(R, np.linspace(0, 2 * np.pi, around + 1), np.linspace(0, length, along + 1))
        )
    )


def grid(family: str = "hoop", extent: Extent = WHOLE) -> Shell:
    pitch = 2 * math.pi * R / 10
    row = pitch * math.sqrt(3) / 2 if family == "hoop" else pitch / math.sqrt(3)
    shape = TriangularRibs(family, R, 4 * row, 4e-3, 10, 0.03, 4e-3, "inside", 4)
    return shell_of(build_mesh(shape, Divisions(around=1, order=4), extent))


def put(shell: Shell, w) -> np.ndarray:
    """A field w(x, theta) on skin and ribs alike."""
    d = np.zeros((len(shell.mesh.points), 6))
    d[:, 2] = w(*shell.mesh.points[:, :2].T)
    return d.ravel()


def span(shell: Shell) -> float:
    return float(np.ptp(shell.mesh.points[:, 0]))


def mixture(length: float):
    """(2, 5) with 4/7 of w^2, (1, 3) with 1/7, (3, 0) with 2/7: n = 0 has twice the mean square."""

    def w(x, theta):
        s = [np.sin(m * np.pi * x / length) for m in (1, 2, 3)]
        return 2 * s[1] * np.cos(5 * theta + 0.7) + s[0] * np.sin(3 * theta) - s[2]

    return w


@pytest.mark.parametrize(
    "shell",
    [plain(), plain(2, 48, 16), plain(6, 10, 3), grid(), grid("axial")],
    ids=["order 4", "order 2", "order 6", "hoop grid", "axial grid"],
)
def test_shares_of_a_mixture_on_any_skin(shell):
    found = wave_content(shell, put(shell, mixture(span(shell))), span(shell))
    assert [row[:2] for row in found.largest[:3]] == [(2, 5), (3, 0), (1, 3)]
    assert [row[2] for row in found.largest[:3]] == pytest.approx([4 / 7, 2 / 7, 1 / 7], rel=0.01)
    assert (found.m, found.n, found.share) == found.largest[0]
    assert len(found.largest) == 8


def test_shares_add_up_to_one():
    """Also when the ends move, which a sine can only approach: w = 1 has 8/(pi m)^2 of its square in odd m."""
    shell = plain()
    found = wave_content(shell, put(shell, mixture(L)), L, rows=10_000)
    assert sum(row[2] for row in found.largest) == pytest.approx(1, abs=1e-3)
    blown = wave_content(shell, put(shell, lambda x, _: 1 + 0 * x), L, most=(5, 3))
    assert blown.largest[0] == (1, 0, pytest.approx(8 / np.pi**2, rel=1e-3))
    assert blown.largest[1] == (3, 0, pytest.approx(8 / np.pi**2 / 9, rel=1e-3))


def test_quadrature_of_the_skin():
    """Weights are its area, exactly, on any mesh; a shift across the axis is cos theta, however coarse the elements."""
    for shell in (plain(1, 5, 1), grid(), grid("hoop", Extent(sector=2))):
        field = skin_w(shell, np.zeros(shell.size))
        assert field.weights.sum() == pytest.approx(R * span(shell) * shell.mesh.angle, rel=1e-12)
    shell = plain(1, 5, 1)
    theta = shell.mesh.points[:, 1]
    d = np.zeros((len(theta), 6))
    d[:, 1], d[:, 2] = -np.sin(theta), np.cos(theta)
    field = skin_w(shell, np.stack([d.ravel(), 2 * d.ravel()], 1))
    assert field.w == pytest.approx(np.cos(field.points[:, 1:]) * [1, 2], abs=1e-12)
    assert len(skin_w(shell, d.ravel(), 3).w) == 9 * 5


@pytest.mark.parametrize(
    ("sides", "wave", "harmonics"),
    [("repeat", lambda a: np.cos(a + 0.4), (8, 16)), ("even", np.cos, (4, 12)), ("odd", np.sin, (8, 4))],
)
def test_sector_goes_on_as_its_sides_say(sides, wave, harmonics):
    """A quarter of pi; mirrors allow n = 4 k, a repeating sector n = 8 k, and which it is shows."""
    big, small = harmonics
    theta = np.linspace(0.2, 0.2 + np.pi / 4, 5)
    shell = shell_of(built(4, skin=skin(R, theta, np.linspace(0, L, 4))))
    d = put(shell, lambda x, t: np.sin(np.pi * x / L) * (3 * wave(big * (t - 0.2)) + wave(small * (t - 0.2))))
    d = d.reshape(-1, 6)
    d[:, 1] = 1e-6 * np.sin(np.pi * (shell.mesh.points[:, 1] - 0.2) / (np.pi / 4))
    if sides == "repeat":
        d[:, 1] = 1.0
    if sides == "even":  # what a mirror leaves free must not be mistaken for what it holds
        d[:, 0], d[:, 4] = 1.0, 1.0
    if sides == "odd":
        d[edge(shell.mesh, 1, 0.2), 2] = d[edge(shell.mesh, 1, 0.2 + np.pi / 4), 2] = 0
        d[:, 1], d[:, 3] = 1e-6, 1.0
    for given in (None, sides):
        found = wave_content(shell, d.ravel(), L, np.pi / 4, sides=given)
        assert [row[:2] for row in found.largest[:2]] == [(1, big), (1, small)]
        assert [row[2] for row in found.largest[:2]] == pytest.approx([0.9, 0.1], rel=1e-2)


def test_half_a_barrel_has_odd_half_waves():
    shell = plain(along=2, length=L / 2)
    found = wave_content(shell, put(shell, lambda x, t: np.sin(3 * np.pi * x / L) * np.cos(2 * t)), L)
    assert (found.m, found.n) == (3, 2)
    assert found.share == pytest.approx(1, abs=1e-2)
    assert all(m % 2 for m, _, _ in found.largest)


def test_what_cannot_be_counted():
    shell = plain()
    nothing = np.zeros(shell.size)
    assert wave_content(shell, nothing, L).largest == ()
    assert not any(share for _, share in energy_shares(shell, nothing).shares)
    moved = put(shell, lambda x, _: 1 + 0 * x)
    with pytest.raises(ValueError, match="neither the whole nor half"):
        wave_content(shell, moved, 3 * L)
    with pytest.raises(ValueError, match="no whole part"):
        wave_content(shell, moved, L, 2.0)
    flat = Shell(plate(2, np.array([0.0, 1.0]), np.array([0.0, 1.0])), {"skin": sheet(E, NU, 0.01)})
    with pytest.raises(ValueError, match="skin of a barrel"):
        skin_w(flat, np.zeros(flat.size))


@pytest.fixture(scope="module")
def buckled():
    shell = plain(4, 18, 3)
    shell = Shell(shell.mesh, {"skin": sheet(E, NU, 0.02)})
    return shell, buckle(shell, Support(R, L), 1.5e7, want=4)


def test_buckled_plain_barrel_is_one_wave(buckled):
    """SS3: the exact mode is a single (m, n)."""
    shell, found = buckled
    for mode in found.modes.T:
        content = wave_content(shell, mode, L)
        assert content.share > 0.99
        energy = energy_shares(shell, mode)
        assert energy.shares == (("skin", pytest.approx(1)),)
        assert energy.general
        assert not energy.local


def test_pair_turned_anyhow_returns_to_its_standard_phase(buckled):
    shell, found = buckled
    loads = found.line_loads
    assert loads[1] / loads[0] - 1 < 1e-6
    standard = standard_phase(shell, loads, found.modes, L)
    for angle, flip in ((0.3, 1), (2.0, -1), (4.5, 1)):
        c, s = np.cos(angle), np.sin(angle)
        turned = found.modes.copy()
        turned[:, :2] = found.modes[:, :2] @ np.array([[c, -flip * s], [s, flip * c]])
        again = standard_phase(shell, loads, turned, L)
        assert again[:, :2] == pytest.approx(standard[:, :2], abs=1e-5 * np.abs(standard[:, :2]).max())
    assert np.array_equal(standard_phase(shell, loads[:0], found.modes[:, :0], L), found.modes[:, :0])
    # crest at theta = 0, outward; the other has its node there and rises
    on = shell.mesh.nodes_of("skin")
    at_0 = on[shell.mesh.points[on, 1] == 0]
    w = standard.reshape(-1, 6, 4)[:, 2]
    assert w[at_0, 0].max() == pytest.approx(np.abs(w[:, 0]).max(), rel=1e-3)
    assert np.abs(w[at_0, 1]).max() < 1e-3 * np.abs(w[:, 1]).max()
    beside = on[np.argsort(np.where(shell.mesh.points[on, 1] > 0, shell.mesh.points[on, 1], 9), kind="stable")[:3]]
    x = shell.mesh.points[beside, 0]
    inner = beside[(x > 0) & (x < L)]
    assert (w[inner, 0] * w[inner, 1]).sum() >= 0


def test_single_modes_get_a_sign_and_groups_keep_their_plane(buckled):
    shell, _ = buckled
    m2 = put(shell, lambda x, _: np.sin(2 * np.pi * x / L))
    ring_wave = put(shell, lambda x, t: -np.sin(np.pi * x / L) * (1 + 0.1 * np.cos(t)))
    for sign in (1, -1):
        found = standard_phase(shell, np.array([1.0, 2.0]), np.column_stack([sign * m2, sign * ring_wave]), L)
        assert found == pytest.approx(np.column_stack([m2, -ring_wave]))
    # equal loads, but no cosine and sine of one wave; three at one load
    found = standard_phase(shell, np.array([1.0, 1.0]), np.column_stack([-m2, ring_wave]), L)
    assert found == pytest.approx(np.column_stack([m2, -ring_wave]))
    found = standard_phase(shell, np.ones(3), np.column_stack([-m2, ring_wave, m2]), L)
    assert found == pytest.approx(np.column_stack([m2, -ring_wave, m2]))
    found = standard_phase(shell, np.ones(2), np.column_stack([m2, m2]), L)
    assert found == pytest.approx(np.column_stack([m2, m2]))


def test_likeness_of_spaces(buckled):
    """A pair turned is the same pair; modes of other n are strangers; one mode of a turned pair may say anything."""
    shell, found = buckled
    field = skin_w(shell, found.modes)
    pair, other = field.w[:, :2], field.w[:, 2:]
    turn = np.array([[0.6, -0.8], [0.8, 0.6]])
    assert subspace_mac(pair, pair @ turn, field.weights) == pytest.approx([1, 1], abs=1e-12)
    assert subspace_mac(pair, 1e9 * other, field.weights) == pytest.approx([0, 0], abs=1e-4)
    assert subspace_mac(pair[:, :1], (pair @ turn)[:, :1], field.weights) == pytest.approx([0.36], abs=0.01)
    n = wave_content(shell, found.modes[:, 0], L).n
    m = wave_content(shell, found.modes[:, 0], L).m
    x, theta = field.points.T
    smeared = np.stack([np.sin(m * np.pi * x / L) * f(n * theta) for f in (np.cos, np.sin)], 1)
    assert subspace_mac(pair, smeared, field.weights) == pytest.approx([1, 1], abs=1e-3)
    with pytest.raises(ValueError, match="independent"):
        subspace_mac(pair, pair @ np.ones((2, 2)), field.weights)
    with pytest.raises(ValueError, match="independent"):
        subspace_mac(pair, 0 * pair, field.weights)


def bay_shell(extent: Extent, t: float = 6e-3, web: float = 6e-3) -> Shell:
    shape = StraightRibs(R, L, t, Blades(6, 0.05, web, "outside"), Blades(1, 0.04, web))
    mesh = build_mesh(shape, Divisions(around=4, along=4, order=4), extent)
    return Shell(mesh, {name: sheet(E, NU, t if name == "skin" else web) for name in mesh.parts})


def test_energy_of_the_parts_is_that_of_the_matrix():
    shell = bay_shell(Extent(sector=1))
    d = np.random.default_rng(3).standard_normal(shell.size)
    assert element_energies(shell, d).sum() == pytest.approx(d @ stiffness(shell) @ d / 2, rel=1e-12)
    energy = energy_shares(shell, d)
    assert [name for name, _ in energy.shares] == ["skin", "stringer", "ring"]
    assert sum(share for _, share in energy.shares) == pytest.approx(1)


def test_stringer_sector_buckles_between_its_ribs():
    """Six wide bays: the skin buckles between stringers; n is a multiple of six. Its ribs hardly move."""
    shell = bay_shell(Extent(sector=1), t=3e-3)
    found = buckle(shell, Support(R, L, angle=shell.mesh.angle, ties=(side_ties(shell.mesh),)), 4e5)
    mode = found.modes[:, 0]
    content, energy = wave_content(shell, mode, L, shell.mesh.angle), energy_shares(shell, mode)
    assert content.n % 6 == 0
    assert sum(row[2] for row in content.largest) < 1 + 1e-6
    assert energy.local
    assert dict(energy.shares)["skin"] > 0.8


def test_general_and_local_motions_by_hand():
    """The rule: ribs share w (ratio 1), ribs at rest (0), between; a panel between two rings is local to the barrel."""
    theta, x = np.linspace(0, 2 * np.pi, 17), np.linspace(0, L, 5)
    r = R + np.array([0, 0.02])
    at = theta[:-1:2]
    mesh = built(
        4,
        closed=True,
        skin=skin(R, theta, x),
        stringer=np.concatenate([stringer(a, r, x) for a in at]),
        ring=ring(L / 2, r[::-1] - 0.02, theta),
    )
    shell = shell_of(mesh)

    def content(w):
        found = energy_shares(shell, put(shell, w))
        return found, dict(found.rib_motion)

    found, motion = content(lambda x, t: np.sin(np.pi * x / L) * np.cos(2 * t))
    assert found.general
    assert motion == {"stringer": pytest.approx(1, rel=1e-3), "ring": pytest.approx(2, rel=1e-3)}
    found, motion = content(lambda x, t: np.sin(np.pi * x / L) * np.sin(4 * t))
    assert motion["stringer"] == pytest.approx(0, abs=1e-12)
    assert found.local
    found, motion = content(lambda x, t: np.sin(2 * np.pi * x / L) * np.cos(2 * t))
    assert found.local  # between the end and the ring
    assert motion["stringer"] == pytest.approx(1, rel=1e-3)
    for small, general in ((0.9, True), (1.1, False)):  # a/(a + b) = 1/1.81 and 1/2.21
        found, _ = content(lambda x, t, k=small: np.sin(np.pi * x / L) * (np.cos(2 * t) + k * np.sin(4 * t)))
        assert found.general is general


def test_grid_buckles_in_its_pockets_or_as_a_whole():
    """Deep ribs and a thin skin: pockets buckle while the ribs rest. A wave put over all of it is general."""
    shell = grid("hoop", Extent(sector=1))
    length, angle = span(shell), shell.mesh.angle
    thin = Shell(shell.mesh, {**shell.sections, "skin": sheet(E, NU, 2e-3)})
    found = buckle(thin, Support(R, length, angle=angle, ties=(side_ties(shell.mesh),)), 4e5)
    energy = energy_shares(thin, found.modes[:, 0])
    assert energy.local
    assert [name for name, _ in energy.rib_motion] == ["rib"]
    content = wave_content(thin, found.modes[:, 0], length, angle)
    assert content.n % 10 == 0
    wave = put(shell, lambda x, t: np.sin(np.pi * x / length) * np.cos(10 * t))
    assert energy_shares(shell, wave).general
    assert wave_content(shell, wave, length, angle).largest[0] == (1, 10, pytest.approx(1, abs=0.02))


def test_modes_of_mirror_planes_are_counted_by_half_the_circle():
    """Between mirrors pi/5 apart the lowest mode of the bare barrel has n = 5 k, even."""
    t, angle = 0.01, np.pi / 5
    mesh = built(4, skin=skin(R, np.linspace(0, angle, 4), np.linspace(0, L, 6)))
    shell = Shell(mesh, {"skin": sheet(E, NU, t)})
    held = np.concatenate([symmetry_at(edge(mesh, 1, at), 1) for at in (0, angle)])
    found = buckle(shell, Support(R, L, angle=angle, held=tuple(held.tolist())), 4e6, want=3)
    for mode in found.modes.T:
        content = wave_content(shell, mode, L, angle)
        assert content.n % 5 == 0
        assert content.share > 0.98
