"""Shape functions: what defines them."""

from __future__ import annotations

import numpy as np
import pytest

from shellbuck.engines.fe.shapes import gauss, lagrange, nodes, tabulate
from shellbuck.engines.mesh.points import HIGHEST_ORDER as HIGHEST
from shellbuck.engines.mesh.points import lobatto


@pytest.mark.parametrize("order", range(1, HIGHEST + 1))
def test_functions_are_one_at_their_node_and_reproduce_polynomials(order):
    """Rounding: 1e-12."""
    s = np.linspace(-1, 1, 7)
    N, dN = lagrange(order, s)
    assert lagrange(order, lobatto(order))[0] == pytest.approx(np.eye(order + 1), abs=1e-12)
    for k in range(order + 1):
        assert N @ lobatto(order) ** k == pytest.approx(s**k, abs=1e-12)
        assert dN @ lobatto(order) ** k == pytest.approx(k * s ** max(k - 1, 0), abs=1e-11)


def test_lobatto_points_are_the_tabulated_ones():
    """Order 5: +-sqrt((7 +- 2 sqrt 7)/21), any table of quadrature."""
    inner = [np.sqrt((7 + k * 2 * np.sqrt(7)) / 21) for k in (1, -1)]
    assert lobatto(5) == pytest.approx([-1, -inner[0], -inner[1], inner[1], inner[0], 1])


def test_node_order_is_first_direction_times_width_plus_second():
    table = nodes(3)
    assert table.at[:4, 0] == pytest.approx(-1.0)
    assert table.at[:4, 1] == pytest.approx(lobatto(3))
    assert table.shape[:, 0] == pytest.approx(np.eye(16), abs=1e-12)


@pytest.mark.parametrize("order", [1, 4])
def test_gauss_integrates_products_of_two_functions(order):
    """The mass matrix of the reference square against integration with many more points."""
    fine, w = np.polynomial.legendre.leggauss(2 * order + 4)
    at = np.stack([a.ravel() for a in np.meshgrid(fine, fine, indexing="ij")], -1)
    many = tabulate(order, at, np.outer(w, w).ravel())
    mass = [np.einsum("q,qi,qj->ij", t.weight, t.shape[:, 0], t.shape[:, 0]) for t in (gauss(order), many)]
    assert mass[0] == pytest.approx(mass[1], abs=1e-13)


@pytest.mark.parametrize("order", [0, HIGHEST + 1])
def test_orders_that_do_not_exist(order):
    with pytest.raises(ValueError, match="no element of order"):
        lobatto(order)
