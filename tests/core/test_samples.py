"""Arrays as text come back as they went in, to the step that is stated."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from shellbuck.core.samples import Samples, pack

FINITE = st.floats(-1e6, 1e6, allow_nan=False, width=32)


@given(hnp.arrays(np.float64, hnp.array_shapes(max_dims=3, max_side=6), elements=FINITE))
def test_sixteen_bits_keep_half_a_step(values):
    """The step is the largest magnitude over 32767; rounding leaves half of it, plus rounding of the product."""
    back = pack(values, "i2").array()
    step = np.abs(values).max() / 32767
    assert back.shape == values.shape
    assert np.abs(back - values).max() <= 0.5 * step * (1 + 1e-9) + 1e-300


@given(hnp.arrays(np.uint32, hnp.array_shapes(max_dims=2, max_side=6)))
def test_whole_numbers_are_exact(values):
    assert np.array_equal(pack(values, "u4").array(), values)


def test_single_precision_is_that_of_single_precision():
    values = np.linspace(-2, 3, 101)
    assert np.array_equal(pack(values, "f4").array(), values.astype(np.float32).astype(float))


@pytest.mark.parametrize(
    ("values", "dtype"), [([np.nan], "f4"), ([np.inf], "i2"), ([-1], "u4"), ([256], "u1"), ([0.5], "u1")]
)
def test_what_cannot_be_kept_is_refused(values, dtype):
    with pytest.raises(ValueError, match="finite" if not np.isfinite(values[0]) else "whole numbers"):
        pack(np.array(values), dtype)


def test_data_that_do_not_fill_the_shape_are_refused():
    good = pack(np.arange(6.0), "f4")
    with pytest.raises(ValueError):
        Samples("f4", (7,), 1.0, good.data).array()
    with pytest.raises(ValueError):
        Samples("f4", (6,), 1.0, "not base64!").array()
