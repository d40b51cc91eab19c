"""The rule for values out of range, and arithmetic in blocks."""

import tracemalloc

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from tempkit.alarm import Alarm, Rules
from tempkit.chain import Converter, Direct, Divider, Limits, LinearSensor, Noise, Reference, scenario
from tempkit.ranges import BLOCK, flags, floats, in_blocks, keep, like, numbers, scalar, whole_number
from tempkit.signal import loop, speed_limits
from tempkit.uncertainty import Input, monte_carlo, one_point

WORDS = {"name": "supply", "unit": "V", "advice": "measure it with a meter"}
any_float = st.floats(allow_nan=True, allow_infinity=True)


@given(any_float)
def test_a_scalar_is_kept_or_refused(value):
    if -25.0 <= value <= 110.0:
        assert keep(value, -25.0, 110.0, **WORDS) == value
        return
    with pytest.raises(ValueError) as error:
        keep(value, -25.0, 110.0, **WORDS)
    for part in ("supply", f"{value:.6g} V", "-25 to 110 V", "measure it with a meter"):
        assert part in str(error.value)


@given(hnp.arrays(float, hnp.array_shapes(min_dims=1, max_dims=3, min_side=0), elements=any_float))
def test_an_array_is_kept_or_nan(values):
    got = keep(values, -25.0, 110.0, **WORDS)
    inside = (values >= -40.0) & (values <= 125.0)
    assert got.shape == values.shape
    assert (got[inside] == values[inside]).all()
    assert np.isnan(got[~inside]).all()


@pytest.mark.parametrize("end", [-25.0, 110.0])
def test_both_ends_belong_to_the_range(end):
    assert keep(end, -25.0, 110.0, **WORDS) == end
    with pytest.raises(ValueError):
        keep(np.nextafter(end, 10 * end), -25.0, 110.0, **WORDS)


@pytest.mark.parametrize(
    ("low", "high", "value", "words"),
    [
        (0.0, np.inf, -1.0, "supply -1 V must be 0 V or more: measure it with a meter"),
        (-np.inf, 5.5, 6.0, "supply 6 V must be 5.5 V or less: measure it with a meter"),
        (3.0, 5.6, 6.0, "supply 6 V is outside 3 to 5.6 V: measure it with a meter"),
        (3.0, 5.6, np.nan, "supply nan V is outside 3 to 5.6 V: measure it with a meter"),
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


# ---- what is no number


def test_masked_at_any_depth_is_nan():
    masked = np.ma.array([20.0, 21.0], mask=[False, True])
    for value in (masked, [20.0, np.ma.masked], (20.0, np.float64("nan"))):
        assert np.isnan(floats(value)).tolist() == [False, True]
    assert np.isnan(floats([masked, [1, 2]])).tolist() == [[False, True], [False, False]]
    assert np.isnan(scalar(np.ma.masked))
    assert masked.mask.tolist() == [False, True]


def test_masked_validity_is_no_validity():
    assert flags(np.ma.array([True, True, False], mask=[False, True, False])).tolist() == [True, False, False]
    valid = np.ma.array([True, True], mask=[False, True])
    assert Alarm(high_c=27.0).run([28.0, 28.0], valid=valid).valid.tolist() == [True, False]


def test_a_masked_sample_is_invalid_for_the_alarm_as_it_runs():
    bench = Alarm(high_c=27.0).start()
    assert (bench.step(np.ma.masked), bench.invalid) == (0, True)
    watch = Rules(short=(0, 19)).start()
    assert watch.step(np.ma.masked) == watch.step(float("nan"))


@pytest.mark.parametrize("value", ["25", b"25", True, None, [1.0, True], ["2"], [None], np.array([True]), [1.0, "2"]])
def test_no_number(value):
    for take in (floats, numbers, lambda x: keep(x, 0.0, 30.0, **WORDS)):
        with pytest.raises(ValueError, match="is not a number: give a number, without quotes"):
            take(value)


def test_whole_numbers_stay_whole():
    assert numbers([1, 2]).dtype.kind == "i" and numbers(2**70).item() == float(2**70)
    assert whole_number(np.int32(3), 1, name="bits", unit="bit", advice="count") == 3


@pytest.mark.parametrize("value", [10.0, np.float64(10), True, np.bool_(True), "10", None, 0, 25, [10], np.ma.masked])
def test_no_whole_number(value):
    with pytest.raises(ValueError, match="^bits .* bit must be a whole number, 1 to 24: count$"):
        whole_number(value, 1, 24, name="bits", unit="bit", advice="count")


NUMBER = "is not a number: give a number, without quotes"
WHOLE = "must be a whole number, "


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda bad: scenario().code(bad), NUMBER),
        (lambda bad: scenario().volts(bad), NUMBER),
        (lambda bad: scenario().reading(bad), NUMBER),
        (lambda bad: scenario().celsius_at_pin(bad), NUMBER),
        (lambda bad: Converter(10).code(bad, 5.0), NUMBER),
        (lambda bad: Converter(10).code(0.75, bad), NUMBER),
        (lambda bad: Converter(10, inl_lsb=bad), NUMBER),
        (lambda bad: Reference(bad), NUMBER),
        (lambda bad: Reference(5.0, tolerance=bad), NUMBER),
        (lambda bad: LinearSensor(slope_v_per_c=bad), NUMBER),
        (lambda bad: LinearSensor(range_c=(bad, 125.0)), NUMBER),
        (lambda bad: Direct(source_ohm=bad), NUMBER),
        (lambda bad: Divider(fixed_ohm=bad), NUMBER),
        (lambda bad: Divider(fixed_ohm=1e4, fixed_tolerance=bad), NUMBER),
        (lambda bad: Alarm(high_c=bad), NUMBER),
        (lambda bad: Alarm(high_c=27.0, deadband_c=bad), NUMBER),
        (lambda bad: Alarm(high_c=27.0).start().step(bad), NUMBER),
        (lambda bad: Limits(low_c=bad), NUMBER),
        (lambda bad: Noise(input_v=bad), NUMBER),
        (lambda bad: Input(bad, standard=0.1), NUMBER),
        (lambda bad: Input(1.0, standard=bad), NUMBER),
        (lambda bad: one_point(bad, 0.0), NUMBER),
        (lambda bad: Converter(bits=bad), WHOLE),
        (lambda bad: Alarm(high_c=27.0, on_delay=bad), WHOLE),
        (lambda bad: Alarm(high_c=27.0, off_delay=bad), WHOLE),
        (lambda bad: Alarm(high_c=27.0, invalid_delay=bad), WHOLE),
        (lambda bad: Limits(low_c=18.0, on_delay_samples=bad), WHOLE),
        (lambda bad: Noise(samples=bad), WHOLE),
        (lambda bad: Rules(stuck_samples=bad), WHOLE),
        (lambda bad: monte_carlo(sum, [Input(1.0, standard=0.1)], trials=bad), WHOLE),
        (lambda bad: loop((bad,), 0.1), WHOLE),
        (lambda bad: loop((20,), 0.1, buffer=bad), WHOLE),
        (lambda bad: speed_limits("8N1", bad), "samples"),
    ],
)
@pytest.mark.parametrize("bad", ["10", True])
def test_one_rule_everywhere(call, words, bad):
    with pytest.raises(ValueError, match=words):
        call(bad)


def test_ten_point_nothing_is_no_count():
    for call in (lambda: Converter(bits=10.0), lambda: Alarm(high_c=27.0, on_delay=2.0), lambda: Noise(samples=4.0)):
        with pytest.raises(ValueError, match=WHOLE):
            call()
