"""Noise: closed forms against simulation, against sampled waves, and against published figures."""

from math import log10, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.signal import (
    alias_frequency,
    averaged_error_lsb,
    averaging_floor_lsb,
    averaging_gain,
    oversampled_code,
    quantisation_noise,
    samples_for_bits,
    simulated_averaging_error_lsb,
    smoothed_noise_ratio,
    smoothing_factor,
    smoothing_lag_s,
    window_gain,
)

TRIALS = 20_000
SCATTER = 5 / sqrt(2 * TRIALS)  # relative: five standard deviations of an rms figure from so many trials
UNIFORM = 0.005  # LSB: five standard deviations of the mean of 10^5 uniform errors
CLOSED = 1e-12  # relative: two closed forms in double precision


def test_quantisation_noise_and_the_ratio_it_allows():
    entry = reference("adc-q")
    step_v = entry.inputs["FSR"] / 2 ** entry.inputs["N"]
    noise_v = quantisation_noise(step_v)
    assert abs(noise_v * 1000 - entry.expected["q_rms_mV"]) <= entry.tolerance["q"]
    sine_v = entry.inputs["FSR"] / 2 / sqrt(2)
    assert abs(20 * log10(sine_v / noise_v) - entry.expected["SNR_dB_exact"]) <= entry.tolerance["dB"]


def test_quantisation_error_of_the_three_readings():
    entry = reference("adc-qerr")
    true = 100 * np.random.default_rng(1).random(100_000)
    readings = {
        "floor,code*LSB": np.floor(true),
        "floor,(code+0.5)*LSB": np.floor(true) + 0.5,
        "round,code*LSB": np.floor(true + 0.5),
    }
    for name, reading in readings.items():
        error = reading - true
        expected = entry.expected[name]
        assert abs(error.mean() - expected["mean"]) <= UNIFORM, name
        assert abs(sqrt((error**2).mean()) - expected["rms"]) <= UNIFORM, name
        assert abs(error.std() - quantisation_noise(1.0)) <= UNIFORM, name


def test_averaging_with_enough_noise():
    entry = reference("adc-oversample")
    counts = np.array(entry.inputs["M"])
    for sigma, expected in entry.expected["rms_err_LSB"].items():
        ours = averaged_error_lsb(float(sigma), counts)
        assert ours == pytest.approx(expected, rel=entry.tolerance["rel"])


@pytest.mark.parametrize("sigma", [0.0, 0.05, 0.1, 0.2, 0.3, 0.5, 1.0])
@pytest.mark.parametrize("samples", [1, 4, 64])
def test_closed_form_is_what_a_simulation_finds(sigma, samples):
    simulated = simulated_averaging_error_lsb(sigma, samples, trials=TRIALS, seed=2)
    assert simulated == pytest.approx(averaged_error_lsb(sigma, samples), rel=SCATTER)


def test_one_sample_adds_the_two_variances():
    sigma = np.array([0.0, 0.01, 0.3, 2.0])
    assert averaged_error_lsb(sigma, 1) == pytest.approx(np.sqrt(sigma**2 + 1 / 12), rel=CLOSED)


def test_no_noise_is_not_averaged():
    assert averaged_error_lsb(0.0, 10**6) == pytest.approx(quantisation_noise(1.0), rel=CLOSED)


@pytest.mark.parametrize("sigma", [0.01, 0.05, 0.0871, 0.0873, 0.2, 0.6])
def test_floor_is_its_series(sigma):
    """The series as it stands, with enough terms for the least noise; the code changes form at 0.0872."""
    k = np.arange(1, 2001)
    series = 0.5 * np.sum((np.exp(-2 * pi**2 * k**2 * sigma**2) / (pi * k)) ** 2)
    assert averaging_floor_lsb(sigma) == pytest.approx(sqrt(series), rel=1e-11)


@given(st.floats(0.0, 3.0), st.integers(1, 4096), st.integers(1, 4096))
def test_more_samples_never_hurt_and_never_beat_the_floor(sigma, few, more):
    few, more = sorted((few, more))
    floor = averaging_floor_lsb(sigma)
    assert floor <= averaged_error_lsb(sigma, more) * (1 + 1e-12)
    assert averaged_error_lsb(sigma, more) <= averaged_error_lsb(sigma, few) * (1 + 1e-12)


def test_four_to_the_n_samples_for_n_bits():
    assert [samples_for_bits(n) for n in (0, 1, 2, 3, 0.5)] == [1, 4, 16, 64, 2]
    assert all(type(samples_for_bits(n)) is int for n in (0, 1.5))
    assert samples_for_bits([1, 2]).tolist() == [4, 16]
    gain = averaged_error_lsb(0.5, 1) / averaged_error_lsb(0.5, samples_for_bits(2))
    assert gain == pytest.approx(4.0, rel=0.001), "two bits: a quarter of the error, but for what stays"


def test_oversampled_code_has_the_extra_bits():
    """A level of 512.3 LSB, noise of 1 LSB: 16 codes make a 12-bit code near 4 * 512.3."""
    rng = np.random.default_rng(3)
    codes = np.floor(512.3 + rng.standard_normal((4000, 16))).astype(int)
    fine = oversampled_code(codes, 2)
    assert fine.dtype.kind == "i" and fine.shape == (4000,)
    # a floor code lies half a step low, of the code and of the sum: 4 * 0.5 and 0.5 of the fine steps
    error = (fine + 0.5 + 2.0 - 0.5) / 4 - 512.3
    assert error.mean() == pytest.approx(0.0, abs=5 * 0.27 / sqrt(4000) + 0.125)
    assert error.std() == pytest.approx(averaged_error_lsb(1.0, 16), rel=0.1)
    assert oversampled_code([1, 2, 3, 3], 1) == (1 + 2 + 3 + 3) // 2
    assert type(oversampled_code([5], 0)) is int


def test_smoothing_factor_and_what_it_leaves():
    entry = reference("ema")
    tolerance = entry.tolerance["abs"]
    factor = smoothing_factor(entry.inputs["dt_s"], entry.inputs["tau_s"])
    assert abs(factor - entry.expected["alpha_exact"]) <= tolerance
    assert abs(smoothed_noise_ratio(factor) - entry.expected["white_noise_sd_ratio"]) <= tolerance


@pytest.mark.parametrize("factor", [0.05, 0.3, 1.0])
def test_smoothing_found_in_a_filtered_stream(factor):
    from scipy.signal import lfilter

    noise = np.random.default_rng(4).standard_normal(200_000)
    smoothed = lfilter([factor], [1, factor - 1], noise)[1000:]
    # the samples hang together: as if there were factor/2 as many
    scatter = 5 / sqrt(factor * 200_000)
    assert smoothed.std() == pytest.approx(smoothed_noise_ratio(factor), rel=scatter)
    ramp = np.arange(2000.0)
    trailing = ramp - lfilter([factor], [1, factor - 1], ramp)
    assert trailing[-1] == pytest.approx(smoothing_lag_s(factor, 1.0), rel=1e-9)


def test_step_response_reaches_63_percent_after_tau():
    factor = smoothing_factor(0.5, 12.0)
    assert 1 - (1 - factor) ** 24 == pytest.approx(1 - np.exp(-1), rel=CLOSED)


@pytest.mark.parametrize("mains_hz", [50.0, 60.0])
def test_whole_periods_of_the_mains_cancel(mains_hz):
    assert window_gain(mains_hz, 0.1) == pytest.approx(0.0, abs=1e-12)
    assert window_gain(mains_hz, 1 / mains_hz) == pytest.approx(0.0, abs=1e-12)
    assert averaging_gain(mains_hz, 1000.0, 100) == pytest.approx(0.0, abs=1e-12)
    # worst case between two zeros: the window's first side lobe, 0.2172 of the wave (table of sin x / x)
    windows = np.linspace(1 / mains_hz, 2 / mains_hz, 2001)
    assert window_gain(mains_hz, windows).max() == pytest.approx(0.2172, abs=0.0001)


@given(st.floats(0.1, 400.0), st.integers(1, 300), st.floats(20.0, 2000.0))
def test_averaging_gain_is_that_of_a_sampled_wave(frequency, samples, rate):
    times = np.arange(samples) / rate
    sampled = abs(np.exp(2j * pi * frequency * times).mean())
    assert averaging_gain(frequency, rate, samples) == pytest.approx(sampled, abs=1e-9)


def test_many_samples_are_an_unbroken_window():
    assert averaging_gain(37.0, 1e6, 30_000) == pytest.approx(window_gain(37.0, 0.03), abs=1e-6)


@given(st.floats(0.1, 400.0), st.floats(20.0, 2000.0))
def test_alias_has_the_same_samples(frequency, rate):
    k = np.arange(8)
    alias = alias_frequency(frequency, rate)
    assert 0 <= alias <= rate / 2 * (1 + 1e-12)
    real, seen = (np.cos(2 * pi * f * k / rate) for f in (frequency, alias))
    assert real == pytest.approx(seen, abs=1e-8)


def test_shapes_and_types():
    plain = [averaged_error_lsb(1, 16), averaging_floor_lsb(0), quantisation_noise(1), window_gain(50, 0.01)]
    plain += [
        averaging_gain(50, 1000, 7),
        alias_frequency(50, 49),
        smoothing_factor(1, 2),
    ]
    plain += [smoothed_noise_ratio(1), smoothing_lag_s(1, 1), simulated_averaging_error_lsb(0, 1, 9)]
    assert {type(result) for result in plain} == {float}
    assert averaged_error_lsb(np.ones((2, 3)), 4).shape == (2, 3)
    assert averaging_floor_lsb([0.1, 0.2]).shape == (2,)


def test_out_of_range_in_an_array_is_nan():
    assert np.isnan(averaged_error_lsb([-1.0, 1.0], 4)).tolist() == [True, False]
    assert np.isnan(smoothed_noise_ratio([0.0, 0.5, 1.5])).tolist() == [True, False, True]
    assert np.isnan(averaging_floor_lsb([np.nan, 0.1])).tolist() == [True, False]


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: quantisation_noise(0.0), "step 0 "),
        (lambda: averaged_error_lsb(-0.5, 4), "noise -0.5 LSB"),
        (lambda: averaged_error_lsb(0.5, 0), "samples 0 samples"),
        (lambda: simulated_averaging_error_lsb(0.5, 0), "samples 0 samples"),
        (lambda: samples_for_bits(-1), "extra bits -1 bit"),
        (lambda: oversampled_code([1, 2, 3], 1), "4 integers"),
        (lambda: oversampled_code([1.0, 2.0, 3.0, 4.0], 1), "4 integers"),
        (lambda: smoothing_factor(-1.0, 5.0), "sample period -1 s"),
        (lambda: smoothing_factor(1.0, 0.0), "time constant 0 s"),
        (lambda: smoothed_noise_ratio(1.5), "smoothing factor 1.5"),
        (lambda: window_gain(-50.0, 0.1), "frequency -50 Hz"),
        (lambda: averaging_gain(50.0, 0.0, 10), "sampling rate 0 Hz"),
        (lambda: alias_frequency(50.0, -1.0), "sampling rate -1 Hz"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()
