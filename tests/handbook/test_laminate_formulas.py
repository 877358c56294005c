"""Plies turned by hand: 30 degrees has whole numbers of sixteenths for its powers of cosine and sine."""

from __future__ import annotations

import math

import pytest

from shellbuck.handbook import laminate

Q = dict(Q_11=16.0, Q_12=4.0, Q_22=8.0, Q_66=2.0)
C, S = math.sqrt(3) / 2, 0.5


def test_a_ply_at_thirty_degrees_by_hand():
    """c^4, c^2 s^2, s^4 are 9, 3 and 1 sixteenths, c^3 s and c s^3 are 3 and 1 times sqrt(3)/16. Their sums
    Q_11 + Q_22 + 2 Q_12 = 32 and Q_66 - Q_12 = -2 are those of the ply itself."""
    found = {
        "11": laminate.turned_axial(**Q, c=C, s=S),
        "22": laminate.turned_axial(**Q, c=S, s=C),
        "12": laminate.turned_cross(**Q, c=C, s=S),
        "66": laminate.turned_shear(**Q, c=C, s=S),
        "16": laminate.turned_axial_shear(**Q, c=C, s=S),
        "26": laminate.turned_hoop_shear(**Q, c=C, s=S),
    }
    by_hand = {
        "11": (16 * 9 + 2 * 8 * 3 + 8 * 1) / 16,
        "22": (16 * 1 + 2 * 8 * 3 + 8 * 9) / 16,
        "12": ((16 + 8 - 8) * 3 + 4 * 10) / 16,
        "66": ((16 + 8 - 8 - 4) * 3 + 2 * 10) / 16,
        "16": (8 * 3 + 0 * 1) * math.sqrt(3) / 16,
        "26": (8 * 1 + 0 * 3) * math.sqrt(3) / 16,
    }
    assert found == pytest.approx(by_hand, rel=1e-14)
    assert by_hand["11"] + by_hand["22"] + 2 * by_hand["12"] == 32
    assert by_hand["66"] - by_hand["12"] == -2


def test_energy_does_not_know_the_axes():
    """Twice the energy of one strain, by the turned stiffness and by the strains of the ply's own axes."""
    e = dict(e_x=0.3, e_theta=-0.7, g=0.4)
    own = (
        laminate.strain_along(**e, c=C, s=S),
        laminate.strain_along(e["e_x"], e["e_theta"], -e["g"], c=S, s=C),
        laminate.strain_sheared(**e, c=C, s=S),
    )
    ply = 16 * own[0] ** 2 + 8 * own[0] * own[1] + 8 * own[1] ** 2 + 2 * own[2] ** 2
    x, y, g = e.values()
    turned = 12.5 * x**2 + 11 * x * y + 8.5 * y**2 + 3.5 * g**2 + math.sqrt(3) * (3 * x + y) * g
    assert ply == pytest.approx(turned, rel=1e-14)
