"""First-order lag: against published figures, against an integrated differential equation, and its own properties."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.signal import (
    change_between_samples,
    lagged,
    period_for_change,
    ramp_lag,
    self_heating,
    sine_response,
    smoothing_factor,
    step,
    time_to_reach,
)
from tempkit.signal.response import ramp, recurring, two_lags

CLOSED = 1e-12  # relative: two closed forms in double precision
INTEGRATED_C = 1e-7  # degC: the tolerance asked of the integrator, with room for its own error
TAUS = st.floats(0.01, 1e4)
TEMPERATURES = st.floats(-50.0, 150.0)


def integrated(course, tau_s, times_s, start_c):
    """What a lag makes of a temperature `course(t)`, by numerical integration of its differential equation."""
    from scipy.integrate import solve_ivp

    def slope(t, y):
        return (course(t) - y) / tau_s

    found = solve_ivp(slope, (0.0, times_s[-1]), [start_c], t_eval=times_s, rtol=1e-10, atol=1e-10, max_step=1.0)
    return found.y[0]


def test_parts_of_a_jump():
    entry = reference("fo-step")
    found = step(12.0 * np.array(entry.inputs["k_tau"]), 12.0, 0.0, 1.0)
    assert found == pytest.approx(entry.expected["fraction"], abs=entry.tolerance["abs"])


def test_thermal_time_constant_of_the_standard():
    entry = reference("fo-iec60539")
    shown = step(7.0, 7.0, entry.inputs["T0"], entry.inputs["Tinf"])
    assert shown == pytest.approx(entry.expected["T_degC"], abs=entry.tolerance["abs"])


def test_a_jump_there_and_back():
    entry = reference("fo-step2")
    given_ = entry.inputs
    shown = step(np.array(given_["t_s"]), given_["tau_s"], given_["T0"], given_["Tinf"])
    assert shown == pytest.approx(entry.expected["T"], abs=entry.tolerance["abs"])
    needed = time_to_reach(given_["Tinf"] - 0.5, given_["tau_s"], given_["T0"], given_["Tinf"])
    assert needed == pytest.approx(entry.expected["t_to_within_0.5K_s"], abs=1e-4)


def test_smoothing_is_the_same_lag():
    entry = reference("ema")
    factor = smoothing_factor(entry.inputs["dt_s"], entry.inputs["tau_s"])
    assert step(entry.inputs["dt_s"], entry.inputs["tau_s"], 0.0, 1.0) == pytest.approx(factor, rel=CLOSED)
    assert factor == pytest.approx(entry.expected["alpha_exact"], abs=entry.tolerance["abs"])


def test_self_heating_of_a_platinum_sensor():
    entry = reference("selfheat-rtd")
    power_w = entry.inputs["I_A"] ** 2 * entry.inputs["R"]
    assert power_w == pytest.approx(entry.expected["P_W"], rel=entry.tolerance["rel"])
    warmer = self_heating(power_w, 1 / entry.inputs["coef_K_per_W"])
    assert warmer == pytest.approx(entry.expected["dT_K"], rel=entry.tolerance["rel"])


TIMES_S = np.linspace(0.0, 240.0, 97)


def test_a_jump_as_integrated():
    assert step(TIMES_S, 40.0, 22.0, 35.0) == pytest.approx(
        integrated(lambda t: 35.0, 40.0, TIMES_S, 22.0), abs=INTEGRATED_C
    )


def test_a_ramp_as_integrated():
    found = integrated(lambda t: 22.0 + 0.05 * t, 40.0, TIMES_S, 22.0)
    assert ramp(TIMES_S, 40.0, 22.0, 0.05) == pytest.approx(found, abs=INTEGRATED_C)


def test_a_settled_ramp_trails_by_the_lag():
    late = 22.0 + 0.05 * 4000.0 - ramp(4000.0, 40.0, 22.0, 0.05)
    assert late == pytest.approx(ramp_lag(0.05, 40.0), rel=1e-9)
    assert ramp_lag(-0.05, 40.0) == -ramp_lag(0.05, 40.0)


@pytest.mark.parametrize("period_s", [60.0, 251.3, 1800.0])
def test_a_sine_as_integrated(period_s):
    """After ten time constants the start is forgotten; height and lateness are then those of the closed form."""
    times = np.linspace(0.0, 400.0 + 2 * period_s, 4001)
    found = integrated(lambda t: math.sin(2 * math.pi * t / period_s), 40.0, times, 0.0)
    answer = sine_response(period_s, 40.0)
    angle = 2 * np.pi * times / period_s + math.radians(answer.phase_deg)
    late = times > 400.0
    assert found[late] == pytest.approx((answer.gain * np.sin(angle))[late], abs=5e-5)  # exp(-10) is left
    assert answer.phase_deg < 0 and answer.delay_s == pytest.approx(-answer.phase_deg / 360 * period_s)


def test_a_sine_as_its_complex_gain():
    periods = np.geomspace(1.0, 1e5, 40)
    gain = 1 / (1 + 2j * np.pi * 40.0 / periods)
    answer = sine_response(periods, 40.0)
    assert answer.gain == pytest.approx(np.abs(gain), rel=CLOSED)
    assert answer.phase_deg == pytest.approx(np.degrees(np.angle(gain)), rel=CLOSED)


@pytest.mark.parametrize("taus", [(40.0, 12.0), (12.0, 40.0), (40.0, 40.0), (40.0, 39.9999999), (40.0, 1e-3)])
def test_two_lags_as_two_integrators(taus):
    from scipy.signal import lsim, lti

    first, second = taus
    system = lti([1.0], np.polymul([first, 1.0], [second, 1.0]))
    _, found, _ = lsim(system, np.ones(TIMES_S.size), TIMES_S)
    assert two_lags(TIMES_S, first, second, 0.0, 1.0) == pytest.approx(found, abs=1e-6)


def test_the_second_lag_alone_where_the_first_is_short():
    assert two_lags(TIMES_S, 1e-9, 40.0, 22.0, 35.0) == pytest.approx(step(TIMES_S, 40.0, 22.0, 35.0), abs=1e-8)


def ragged(seed=3, count=400):
    rng = np.random.default_rng(seed)
    times = np.cumsum(rng.uniform(0.05, 8.0, count))
    return times, 22.0 + np.cumsum(rng.normal(0.0, 0.5, count))


@given(
    st.lists(st.floats(-40.0, 125.0), min_size=2, max_size=60),
    st.floats(0.01, 100.0),
    st.floats(0.01, 100.0),
    st.floats(-40.0, 125.0),
)
def test_a_record_as_solved_by_the_matrix_exponential(values, dt_s, tau_s, start_c):
    """scipy.signal.lsim solves the same equation another way, for input that runs straight between samples."""
    from scipy.signal import lsim

    times = dt_s * np.arange(len(values))
    _, found, _ = lsim(([1.0], [tau_s, 1.0]), values, times, X0=[start_c * tau_s])
    np.testing.assert_allclose(lagged(times, values, tau_s, start_c), found, rtol=0, atol=1e-7)


def test_a_long_record_of_a_jump_and_of_a_ramp():
    """Closed forms over a day and more: nothing of the past is lost, nothing adds up."""
    times = 0.5 * np.arange(200_000)
    jump = lagged(times, np.full(times.size, 30.0), 40.0, start_c=20.0)
    np.testing.assert_allclose(jump, 30.0 - 10.0 * np.exp(-times / 40.0), rtol=0, atol=1e-9)
    slow = lagged(times, 0.001 * times, 50_000.0)
    np.testing.assert_allclose(slow, ramp(times, 50_000.0, 0.0, 0.001), rtol=0, atol=1e-9)


@pytest.mark.parametrize("tau_s", [1e-3, 0.05, 0.08])
def test_a_lag_far_shorter_than_a_period(tau_s):
    """A ramp that ends trails by rate times tau."""
    shown = lagged(np.arange(4.0), [0.0, 1.0, 1.0, 1.0], tau_s)
    np.testing.assert_allclose(shown[1:], [1.0 - tau_s, 1.0, 1.0], rtol=0, atol=1e-4)


@given(st.lists(TEMPERATURES, min_size=1, max_size=300), st.floats(0.0, 0.9999))
def test_a_recurrence_by_doubling_is_the_one_step_by_step(driven, kept):
    y = recurring(np.array(driven), kept)
    for k in range(1, len(driven)):
        assert y[k] == pytest.approx(kept * y[k - 1] + driven[k], rel=1e-9, abs=1e-9 * max(map(abs, driven)))


def test_an_uneven_record_is_the_even_one_with_points_left_out():
    """Points on the straight line between two others may be left out without a change."""
    times, values = ragged()
    fine = np.arange(0.0, 2000.0, 0.25)
    corners = fine[np.unique(np.searchsorted(fine, times[times < 1900]))]
    course = np.interp(corners, times, values)
    whole = lagged(fine, np.interp(fine, corners, course), 15.0, start_c=30.0)
    before = fine <= corners[0]
    first = whole[before][-1]
    assert lagged(corners, course, 15.0, start_c=first) == pytest.approx(whole[np.isin(fine, corners)], abs=1e-9)


def test_a_record_of_a_jump_and_of_a_ramp():
    times = np.arange(200.0)
    assert lagged(times, np.full(200, 35.0), 40.0, start_c=22.0) == pytest.approx(
        step(times, 40.0, 22.0, 35.0), abs=1e-10
    )
    assert lagged(times, 22.0 + 0.05 * times, 40.0) == pytest.approx(ramp(times, 40.0, 22.0, 0.05), abs=1e-10)


def test_no_lag_and_no_record():
    assert lagged([0.0, 2.0], [22.0, 25.0], 0.0).tolist() == [22.0, 25.0]
    assert lagged([], [], 40.0).size == 0
    assert lagged([5.0], [22.0], 40.0, start_c=20.0).tolist() == [20.0]


@given(st.floats(0.0, 1e4), TAUS, TEMPERATURES, TEMPERATURES)
def test_a_jump_stays_between_its_ends(t_s, tau_s, start_c, end_c):
    low, high = sorted((start_c, end_c))
    assert low - 1e-9 <= step(t_s, tau_s, start_c, end_c) <= high + 1e-9


@given(TAUS, TEMPERATURES, TEMPERATURES, st.floats(0.0, 0.999))
def test_time_to_reach_turns_step_round(tau_s, start_c, end_c, part):
    target = start_c + part * (end_c - start_c)
    if abs(end_c - start_c) > 1e-3:
        needed = time_to_reach(target, tau_s, start_c, end_c)
        assert step(needed, tau_s, start_c, end_c) == pytest.approx(target, abs=1e-9 * (1 + abs(target)))


@given(st.floats(0.0, 1e3), TAUS, TAUS)
def test_a_second_lag_is_always_later(t_s, one_s, two_s):
    both = two_lags(t_s, one_s, two_s, 0.0, 1.0)
    assert both <= min(step(t_s, one_s, 0.0, 1.0), step(t_s, two_s, 0.0, 1.0)) + 1e-12
    assert both == pytest.approx(two_lags(t_s, two_s, one_s, 0.0, 1.0), abs=1e-12)


@given(st.lists(TEMPERATURES, min_size=2, max_size=40), TAUS, st.floats(0.01, 100.0))
def test_a_record_stays_within_what_happened_and_adds_up(values, tau_s, dt_s):
    times = dt_s * np.arange(len(values))
    shown = lagged(times, values, tau_s)
    assert min(values) - 1e-9 <= shown.min() and shown.max() <= max(values) + 1e-9
    assert lagged(times, 2 * np.array(values) + 5.0, tau_s) == pytest.approx(2 * shown + 5.0, abs=1e-8)


@given(st.floats(0.01, 0.99), TAUS, st.floats(-50.0, 50.0).filter(lambda step_c: abs(step_c) > 0.01))
def test_sample_period_turns_change_round(part, tau_s, step_c):
    period = period_for_change(part * step_c, step_c, tau_s)
    assert change_between_samples(step_c, period, tau_s) == pytest.approx(part * step_c, rel=1e-9)


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: step(-1.0, 12.0, 20.0, 80.0), r"time -1 s must be 0 s or more: count"),
        (lambda: step(1.0, 0.0, 20.0, 80.0), r"time constant 0 s must be above 0 s"),
        (lambda: step(1.0, 12.0, math.nan, 80.0), r"start nan degC must be a finite number"),
        (lambda: time_to_reach(80.0, 12.0, 20.0, 80.0), r"target 80 degC is outside 20 to 80 degC: .*short of the end"),
        (lambda: time_to_reach(19.0, 12.0, 20.0, 80.0), r"target 19 degC is outside 20 to 80"),
        (lambda: time_to_reach(20.0, 12.0, 20.0, 20.0), r"both 20 degC"),
        (lambda: ramp(-1.0, 12.0, 20.0, 0.1), r"time -1 s"),
        (lambda: ramp_lag(math.inf, 12.0), r"rate inf degC/s"),
        (lambda: ramp_lag(0.1, -12.0), r"time constant -12 s"),
        (lambda: sine_response(0.0, 12.0), r"period 0 s"),
        (lambda: self_heating(-1.0, 0.05), r"power -1 W"),
        (lambda: self_heating(1.0, 0.0), r"dissipation constant 0 W/K"),
        (lambda: lagged([0.0, 1.0], [1.0], 5.0), r"one length"),
        (lambda: lagged([0.0, 1.0, 1.0], [1.0, 2.0, 3.0], 5.0), r"time 1 s of sample 2 .*sort"),
        (lambda: lagged([0.0, 1.0], [1.0, math.nan], 5.0), r"1 of 2 samples"),
        (lambda: lagged([0.0, 1.0], [1.0, 2.0], -5.0), r"time constant -5 s"),
        (lambda: change_between_samples(10.0, -1.0, 5.0), r"sample period -1 s"),
        (lambda: period_for_change(10.0, 10.0, 5.0), r"change / step 1 .*whole step"),
        (lambda: two_lags(1.0, 0.0, 5.0, 0.0, 1.0), r"time constant 0 s"),
    ],
)
def test_bad_input_is_told(call, told):
    with pytest.raises(ValueError, match=told):
        call()


def test_arrays_give_nan_where_a_scalar_raises():
    assert np.isnan(step(np.array([-1.0, 1.0]), 12.0, 20.0, 80.0)).tolist() == [True, False]
    assert np.isnan(time_to_reach([19.0, 50.0, 80.0], 12.0, 20.0, 80.0)).tolist() == [True, False, True]
    assert np.isnan(sine_response([0.0, 60.0], 12.0).gain).tolist() == [True, False]
    assert np.isnan(self_heating([0.1, -0.1], 0.05)).tolist() == [False, True]
    assert isinstance(step(1.0, 2.0, 3.0, 4.0), float) and isinstance(ramp_lag(1.0, 2.0), float)
