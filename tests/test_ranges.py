"""The rule for values out of range, and arithmetic in blocks."""

import tracemalloc

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from tempkit.ranges import BLOCK, in_blocks, keep, like

WORDS = {"name": "supply", "unit": "V", "advice": "measure it with a meter"}
any_float = st.floats(allow_nan=True, allow_infinity=True)


@given(any_float)
def test_a_scalar_is_kept_or_refused(value):
    if -40.0 <= value <= 125.0:
        assert keep(value, -40.0, 125.0, **WORDS) == value
        return
    with pytest.raises(ValueError) as error:
        keep(value, -40.0, 125.0, **WORDS)
    for part in ("supply", f"{value:.6g} V", "-40 to 125 V", "measure it with a meter"):
        assert part in str(error.value)


@given(hnp.arrays(float, hnp.array_shapes(min_dims=1, max_dims=3, min_side=0), elements=any_float))
def test_an_array_is_kept_or_nan(values):
    got = keep(values, -40.0, 125.0, **WORDS)
    inside = (values >= -40.0) & (values <= 125.0)
    assert got.shape == values.shape
    assert (got[inside] == values[inside]).all()
    assert np.isnan(got[~inside]).all()


@pytest.mark.parametrize("end", [-40.0, 125.0])
def test_both_ends_belong_to_the_range(end):
    assert keep(end, -40.0, 125.0, **WORDS) == end
    with pytest.raises(ValueError):
        keep(np.nextafter(end, 10 * end), -40.0, 125.0, **WORDS)


@pytest.mark.parametrize(
    ("low", "high", "value", "words"),
    [
        (0.0, np.inf, -1.0, "supply -1 V must be 0 V or more: measure it with a meter"),
        (-np.inf, 5.5, 6.0, "supply 6 V must be 5.5 V or less: measure it with a meter"),
        (2.7, 5.5, 6.0, "supply 6 V is outside 2.7 to 5.5 V: measure it with a meter"),
        (2.7, 5.5, np.nan, "supply nan V is outside 2.7 to 5.5 V: measure it with a meter"),
    ],
)
def test_the_whole_sentence(low, high, value, words):
    with pytest.raises(ValueError) as error:
        keep(value, low, high, **WORDS)
    assert str(error.value) == words


def test_the_argument_is_never_changed_nor_shared():
    for values in (np.array([1.0, 200.0]), np.array([1.0, 2.0])):
        before = values.copy()
        got = keep(values, 0.0, 100.0, **WORDS)
        assert (values == before).all()
        assert not np.shares_memory(got, values)


@pytest.mark.parametrize("number", [3, 3.0, np.float64(3), np.int32(3), np.array(3)])
def test_a_scalar_of_any_kind_comes_back_as_a_float(number):
    assert type(keep(number, 0, 5, **WORDS)) is float


@pytest.mark.parametrize(
    "shape", [(0,), (1,), (BLOCK,), (BLOCK + 1,), (3 * BLOCK - 1,), (5, 0), (3, BLOCK // 2, 3)]
)
def test_blocks_give_what_the_whole_gives(shape):
    values = np.random.default_rng(2).normal(size=shape)
    got = in_blocks(np.exp, values, float)
    assert got.shape == shape
    assert (got == np.exp(values)).all()


def test_blocks_of_an_array_that_is_not_contiguous():
    values = np.arange(24.0).reshape(4, 6)
    for view in (values.T, values[::2, ::-1], np.asfortranarray(values)):
        assert (in_blocks(np.negative, view, float) == -view).all()


def test_blocks_need_one_new_array_and_little_more():
    values = np.zeros(40 * BLOCK)
    a_few_blocks = 4 * 8 * BLOCK  # bytes
    tracemalloc.start()
    try:
        in_blocks(lambda block: np.sqrt(block + 1) * 2, values, float)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < values.nbytes + a_few_blocks


def test_like():
    assert type(like(3, np.float64(2.5))) is float
    assert type(like(3, np.bool_(True))) is bool
    assert like([3], np.array([2.5])).tolist() == [2.5]
