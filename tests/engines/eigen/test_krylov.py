"""Lanczos at a shift: what it finds below, and where it guesses the wanted number, on spectra known beforehand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import sparse

from shellbuck.core.errors import Incomplete
from shellbuck.engines.eigen import krylov
from shellbuck.engines.eigen.blocked import lowest_counted
from shellbuck.engines.eigen.factor import factorise_shifted
from shellbuck.engines.eigen.krylov import place_above, shapes_below


def pencil(values: np.ndarray) -> tuple[sparse.csc_matrix, sparse.csc_matrix]:
    """Diagonal K and G with these load factors; G's size varies, so that K and G weigh the unknowns differently."""
    weights = 1 + np.arange(len(values)) % 7
    return sparse.diags(values * weights).tocsc(), sparse.diags(1.0 * weights).tocsc()


def crowd(pairs: int = 600) -> np.ndarray:
    """A pair apart and then a crowd, 130 load factors in one percent, as of an unstiffened barrel at R/t 500."""
    rest = 1.012 + 1.5e-4 * np.arange(pairs)
    return np.sort(np.repeat([1.0, *rest], 2))


def test_shapes_below_are_as_many_as_the_factor_counts():
    values = crowd()
    K, G = pencil(values)
    factor = factorise_shifted(K, G, 1.01203, "NATURAL")
    x = shapes_below(G, factor, 1.01203)
    assert x.shape[1] == factor.negative == np.count_nonzero(values < 1.01203)
    # on a diagonal pencil every mode lives on the unknowns of one load factor
    loads = np.einsum("ij,ij->j", x, K @ x) / np.einsum("ij,ij->j", x, G @ x)
    assert np.sort(loads) == pytest.approx(values[: x.shape[1]], rel=1e-9)


@pytest.mark.parametrize(
    ("shift", "want"),
    [(0.95, 4), (0.95, 10), (0.95, 25), (0.99, 4), (0.99, 10), (1.005, 10), (1.0121, 10), (1.0121, 25)],
)
def test_place_has_the_wanted_number_below_and_not_many_more(shift, want):
    """Never fewer: values of a part of the space lie above those of the whole. Three times as many and 16 is what the
    search takes; from 5 % below a crowd one more factorisation may be needed, so there ten times is asked."""
    values = crowd()
    K, G = pencil(values)
    factor = factorise_shifted(K, G, shift, "NATURAL")
    assert factor.negative < want
    below = np.count_nonzero(values < place_above(G, factor, shift, want))
    assert want <= below <= (3 * want + 16 if shift > 0.98 else 10 * want)


@pytest.mark.parametrize("start", [0.9, 0.97, 1.0, 1.01, 1.03, 1.2])
def test_crowded_spectrum_takes_few_factorisations_from_any_guess(start):
    """A bracket halved without looking ahead took up to twelve."""
    values = crowd()
    found = lowest_counted(*pencil(values), start, 10, "NATURAL")
    assert found.values == pytest.approx(values[:10], rel=1e-9)
    assert found.factorisations <= 7


@given(st.lists(st.floats(1.0, 2.0), min_size=1, max_size=30), st.integers(1, 12), st.floats(0.5, 0.999))
def test_never_fewer_below_the_place_than_wanted(values, want, shift):
    values = np.sort(np.concatenate([values, np.linspace(2.0, 50.0, 400)]))
    K, G = pencil(values)
    factor = factorise_shifted(K, G, shift, "NATURAL")
    assert np.count_nonzero(values < place_above(G, factor, shift, want) * (1 + 1e-9)) >= want


def test_without_positive_directions_nothing_is_said():
    K, G = pencil(np.linspace(1.0, 30.0, 400))
    assert place_above(-G, factorise_shifted(K, -G, 0.5, "NATURAL"), 0.5, 3) == np.inf


def test_load_factors_far_below_the_shift_are_found_too(monkeypatch):
    """Next to the crowd at -1/s, of load factors that are negative or large, they need more than one filled basis."""
    low = np.linspace(0.11, 0.16, 2)
    values = np.concatenate([low, 1.01 + 3e-4 * np.arange(40), -np.geomspace(1e-2, 1e4, 3000)])
    K, G = pencil(np.abs(values))
    G = G @ sparse.diags(np.sign(values))
    found = lowest_counted(K, G.tocsc(), 1.0, 2, "NATURAL", 1.004)
    assert found.values == pytest.approx(low, rel=1e-9)
    monkeypatch.setattr(krylov, "_RESTARTS", 1)
    monkeypatch.setattr(krylov, "_ROUNDS", 1)
    with pytest.raises(Incomplete, match="withheld"):
        lowest_counted(K, G.tocsc(), 1.0, 2, "NATURAL", 1.004)
