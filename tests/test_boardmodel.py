"""The board as data: its codes against the chain's, each misbehaviour by hand."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.board import Misbehaviour, air_at, lines, loop_period_s, readings, simulate
from tempkit.board.model import RIGHT
from tempkit.chain import Design, Limits, Link, file, scenario
from tempkit.signal import lagged

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
NORTH = file.read(CHAINS / "north-bench.toml")
PLAIN = Design("plain", scenario(), alarm=Limits(high_c=27.0), link=Link())
ROUNDING_C = 1e-9  # double precision on temperatures below 1000 degC, many steps long


# ---- air


def test_air_from_a_number_a_function_or_pairs():
    times = np.array([0.0, 5.0, 20.0])
    for air_c in (21.0, lambda t_s: 21.0, ([0.0, 10.0], [21.0, 21.0])):
        np.testing.assert_array_equal(air_at(air_c, times), [21.0, 21.0, 21.0])
    np.testing.assert_array_equal(air_at(lambda t_s: 20 + t_s, times), [20.0, 25.0, 40.0])


# ---- the right board


@given(st.floats(-25, 110), st.sampled_from(["north-bench", "north-bench-measured", "cold-frame-3v3"]))
def test_without_noise_it_is_the_chain(t_c, name):
    design = replace(file.read(CHAINS / f"{name}.toml"), noise=None)
    made = simulate(design, t_c, seconds=3, seed=1)
    assert made.code.tolist() == [design.chain.code(t_c)] * len(made.t_s)
    assert made.reading_c[0] == design.chain.reading(design.chain.code(t_c), checked=False)


def test_scatter_of_a_mean_of_samples():
    """sqrt((sigma^2 + 1/12) / M) from half an LSB of noise on: `averaged_error_lsb`, JCGM 100 F.2.2.1."""
    made = simulate(NORTH, 25.0, seconds=20_000, seed=3, program=Misbehaviour(noise_scale=3.0))
    sigma_lsb = 3 * 0.002 / (5.0 / 1024)
    expected = np.sqrt((sigma_lsb**2 + 1 / 12) / 16)
    five_deviations = 5 / np.sqrt(2 * made.code.size)
    assert abs(made.code.std() / expected - 1) < five_deviations
    assert abs(made.reading_c.mean() - 25.0) < 5 * expected * 0.6104 / np.sqrt(made.code.size)


def test_the_sensor_follows_the_air():
    made = simulate(NORTH, lambda t_s: np.where(t_s >= 60, 30.0, 20.0), seconds=400, seed=1)
    np.testing.assert_array_equal(made.sensor_c, lagged(made.t_s, made.air_c, 40.0))
    assert made.sensor_c[0] == 20.0 and abs(made.sensor_c[-1] - 30.0) < 0.01


def test_a_second_stretch_goes_on_where_the_first_ended():
    air = lambda t_s: 20 + 0.05 * t_s  # noqa: E731
    design = replace(NORTH, noise=None)
    whole = simulate(design, air, seconds=60, seed=1)
    half = whole.t_s.size // 2
    rest = simulate(design, air, 60 - whole.t_s[half], 1, start_s=whole.t_s[half], sensor_c=whole.sensor_c[half])
    np.testing.assert_allclose(rest.sensor_c, whole.sensor_c[half:], rtol=0, atol=ROUNDING_C)
    assert lines(rest) == lines(whole, half)


def test_the_seed_decides():
    first, again, other = (simulate(NORTH, 25.0, 60, seed).code for seed in (1, 1, 2))
    np.testing.assert_array_equal(first, again)
    assert (first != other).any()


# ---- its line and its time


def test_lines_read_back():
    made = simulate(NORTH, 25.0, seconds=30, seed=5)
    pattern = re.compile(rb"t=(\d+\.\d) code=(\d+\.\d) read=(-?\d+\.\d)\r\n")
    found = np.array([[float(each) for each in pattern.fullmatch(each).groups()] for each in lines(made)])
    for column, exact in zip(found.T, (made.t_s, made.code, made.reading_c), strict=True):
        np.testing.assert_allclose(column, exact, rtol=0, atol=0.05 + 1e-9)
    assert lines(made, 3, 5) == lines(made)[3:5]


def test_period_by_hand():
    """9600 bit/s 8N1 is 960 characters a second. The line is 29 of them, ends included."""
    assert len(b"t=1000.0 code=128 read=25.0\r\n") == 29
    assert loop_period_s(PLAIN) == pytest.approx(1 + 29 / 960, abs=1e-12)
    assert loop_period_s(PLAIN, wait_s=0.1, buffer=48) == 0.1
    assert loop_period_s(PLAIN, wait_s=0.0, buffer=48) == pytest.approx(29 / 960)
    slow = replace(PLAIN, link=Link(baud=300, frame="7E1"))
    assert loop_period_s(slow, wait_s=0.0) == pytest.approx(29 * 10 / 300)
    made = simulate(PLAIN, 25.0, seconds=60, seed=1)
    np.testing.assert_allclose(np.diff(made.t_s), made.period_s)
    assert made.t_s[-1] < 60 <= made.t_s[-1] + made.period_s


# ---- misbehaviour, by hand


def reading_of(**what):
    return simulate(PLAIN, 25.0, 1, seed=1, program=Misbehaviour(**what)).reading_c[0]


def test_wrong_programs():
    """Code 163 of 1024 at 5 V, middle of the step 0.798340 V."""
    assert reading_of() == pytest.approx(24.792480, abs=1e-6)
    assert reading_of(change="count") == pytest.approx((163.5 * 5 / 1023 - 0.6) / 0.008)
    assert reading_of(change="divide_first") == pytest.approx(-75.0)  # 5 / 1024 is 0 in integers
    assert reading_of(arithmetic="integers") == pytest.approx(24.8)  # 798 mV, 247.5 tenths
    assert reading_of(assumed_v=3.3) == pytest.approx((163.5 * 3.3 / 1024 - 0.6) / 0.008)
    assert reading_of(at_0c_v=0.4) == pytest.approx(49.792480, abs=1e-6)
    assert reading_of(slope_v_per_c=0.016) == pytest.approx(24.792480 / 2, abs=1e-6)
    assert reading_of(stuck_code=1023) == pytest.approx((1023.5 * 5 / 1024 - 0.6) / 0.008)


def test_wrong_pins():
    assert reading_of(pin_v=0.0) == pytest.approx((0.5 * 5 / 1024 - 0.6) / 0.008)
    assert reading_of(pin_v=9.0) == reading_of(stuck_code=1023)
    lifted = reading_of(pin_v=lambda t_s, signal_v: signal_v + 0.1)
    assert lifted == pytest.approx((184.5 * 5 / 1024 - 0.6) / 0.008)  # 0.9 V is code 184


def test_a_reference_that_is_not_what_the_program_believes():
    """3.3 V instead of 5 V: 0.8 V is code 248, read as 1.213 V."""
    design = replace(PLAIN, chain=PLAIN.chain.with_true_reference(3.3))
    made = simulate(design, 25.0, 1, seed=1)
    assert made.code[0] == 248
    assert made.reading_c[0] == pytest.approx((248.5 * 5 / 1024 - 0.6) / 0.008)


def test_a_noisy_supply_shows_in_proportion_to_the_code():
    noisy = Misbehaviour(reference_noise_v=0.05)
    for t_c in (0.0, 100.0):
        code = simulate(PLAIN, t_c, 20_000, seed=1, program=noisy).code
        level = PLAIN.chain.volts(t_c) / 5 * 1024
        expected = np.sqrt((0.01 * level) ** 2 + 1 / 12)
        assert abs(code.std() / expected - 1) < 0.03  # 5 / sqrt(2 * 20 000), and the floor's own error
    ratiometric = replace(NORTH, noise=None, chain=scenario(ratiometric_at_v=5.0))
    assert simulate(ratiometric, 25.0, 50, seed=1, program=noisy).code.std() == 0.0


def test_a_sagging_supply_keeps_the_buzzer_on():
    """A rise above 27 degC sounds it; 0.3 V less lifts the reading by some 6 degC, so that it goes on far too long."""
    air = lambda t_s: np.where((t_s > 10) & (t_s < 20), 28.0, 24.0)  # noqa: E731
    right, sagging = (simulate(PLAIN, air, 60, seed=1, program=each) for each in (RIGHT, Misbehaviour(sag_v=0.3)))
    assert (right.reading_c[-10:] < 25).all()
    assert (sagging.reading_c[-10:] > 27).all() and sagging.air_c[-1] == 24.0
    assert (sagging.reading_c[:9] < 25).all(), "silent until the rise"
    calm = simulate(PLAIN, 24.0, 60, 1, program=Misbehaviour(sag_v=0.3))
    np.testing.assert_array_equal(calm.code, [162] * 59)  # 792 mV * 1024 / 5 V: 162.2


def test_readings_of_scalars_and_arrays():
    assert isinstance(readings(NORTH, 163), float)
    assert readings(NORTH, np.array([163, 164])).shape == (2,)
    assert readings(NORTH, 163, Misbehaviour(arithmetic="integers")) == 24.8


def test_refused():
    for what, words in (
        ({"change": "nothing"}, "is not one of none"),
        ({"arithmetic": "roman"}, "is not one of float"),
        ({"noise_scale": -1.0}, "must be 0"),
        ({"sag_v": float("nan")}, "must be 0 V or more"),
    ):
        with pytest.raises(ValueError, match=words):
            Misbehaviour(**what)
    for t_c, seconds, wait_s, words in (
        (200.0, 1, None, "the sensor's temperature 200 degC is outside -25 to 110 degC"),
        (25.0, 0, None, "seconds 0 s must be above 0 s"),
        (25.0, 1e9, None, "simulate it in pieces"),
        (25.0, 1, -1, "wait -1 s is outside"),
    ):
        with pytest.raises(ValueError, match=words):
            simulate(PLAIN, t_c, seconds, seed=1, wait_s=wait_s)
    bent = file.read(CHAINS / "north-bench-thermistor.toml")
    with pytest.raises(ValueError, match="take a linear sensor"):
        readings(bent, 163, Misbehaviour(at_0c_v=0.4))
