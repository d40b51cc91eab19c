"""Noise of a converted reading: quantisation, averaging, oversampling, dither, smoothing, mains."""

import numpy as np

from tempkit.ranges import LARGEST, SMALLEST, keep, like, numbers, plain, positive, scalar, size, whole_number


def _count(samples):
    return keep(samples, 1.0, LARGEST, name="samples", unit="samples", advice="average at least one")


def quantisation_noise(step):
    """Rms error [unit of step] of one ideal step when the input lies anywhere in it: step / sqrt(12).

    `step` > 0, scalar or array; raises `ValueError` otherwise (`nan` in an array). The error is that of the
    middle of the step. Source: JCGM 100:2008, F.2.2.1.

    >>> round(quantisation_noise(1.0), 6)
    0.288675
    """
    return plain(positive(step, "step", "(unit of the step)", "a step is above 0") / np.sqrt(12.0))


def averaging_floor_lsb(sigma_lsb):
    """Rms error [LSB] that no averaging removes, for normal input noise `sigma_lsb` [LSB].

    sqrt(B), B = 1/2 sum_k (exp(-2 pi^2 k^2 sigma^2) / (pi k))^2, for an input that lies anywhere between two
    code edges. Without noise it is 1/sqrt(12), the whole quantisation error; at half an LSB it is 0.0016.
    `sigma_lsb` >= 0, scalar or array; raises `ValueError` otherwise (`nan` in an array).
    Source: Fourier series of the mean code (Widrow and Kollar, Quantization Noise, 2008, from memory);
    checked here by simulation.

    >>> round(averaging_floor_lsb(0.0), 6), round(averaging_floor_lsb(0.5), 4)
    (0.288675, 0.0016)
    """
    return like(sigma_lsb, np.sqrt(_bias_square(size(sigma_lsb, "noise", "LSB"))))


def _bias_square(sigma):
    """The series B. Little noise makes it converge slowly: its closed form there is good to 1e-15."""
    sigma = np.asarray(sigma, dtype=float)
    decay = 4 * np.pi**2 * sigma**2
    k = np.arange(1, 13).reshape(-1, *[1] * sigma.ndim)
    series = (np.exp(-(k**2) * decay) / k**2).sum(axis=0) / (2 * np.pi**2)
    return np.where(decay < 0.3, 1 / 12 - sigma / np.sqrt(np.pi) + sigma**2, series)


def averaged_error_lsb(sigma_lsb, samples):
    """Rms error [LSB] of the mean of `samples` codes, for input noise of standard deviation `sigma_lsb`.

    sqrt(B + (sigma^2 + 1/12 - B) / M), B the square of `averaging_floor_lsb`: averaging divides only what
    changes from sample to sample. From half an LSB of noise on it is sqrt((sigma^2 + 1/12) / M) in practice.
    `sigma_lsb` >= 0 and `samples` >= 1, scalars or arrays; raises `ValueError` otherwise (`nan` in an array).
    Samples must be independent, and the reading the middle of its step. Source: see `averaging_floor_lsb`.

    >>> round(averaged_error_lsb(1.0, 16), 4)
    0.2602
    """
    sigma, samples = size(sigma_lsb, "noise", "LSB"), _count(samples)
    stays = _bias_square(sigma)
    error = np.sqrt(stays + (sigma**2 + 1 / 12 - stays) / samples)
    return plain(error)


def simulated_averaging_error_lsb(sigma_lsb, samples, trials=4000, seed=0):
    """Rms error [LSB] of averaging `samples` codes, by simulation: the other way to `averaged_error_lsb`.

    Each trial takes an input anywhere between two code edges, adds normal noise to every sample, rounds half
    up, and averages. Scalars only; about 1 / sqrt(2 trials) relative from its own expectation. Raises
    `ValueError` for noise below 0 LSB or fewer than 1 sample.

    >>> round(simulated_averaging_error_lsb(0.0, 16, trials=20_000, seed=1), 2)
    0.29
    """
    sigma = size(scalar(sigma_lsb, "noise"), "noise", "LSB")
    samples = whole_number(samples, 1, name="samples", unit="samples", advice="average at least one")
    rng, squares = np.random.default_rng(seed), 0.0
    rows = max(1, 1_000_000 // samples)
    for start in range(0, trials, rows):
        true = rng.random((min(rows, trials - start), 1))
        codes = np.floor(true + sigma * rng.standard_normal((true.size, samples)) + 0.5)
        squares += float(((codes.mean(axis=1) - true[:, 0]) ** 2).sum())
    return float(np.sqrt(squares / trials))


def samples_for_bits(extra_bits):
    """Samples to average for `extra_bits` more bits: 4**n, a whole number, rounded up.

    `extra_bits` from 0 to 15, scalar or array; raises `ValueError` for a scalar outside. Holds only with
    noise of about half an LSB or more, different in every sample. Common practice, no source; follows from
    `averaged_error_lsb`.

    >>> samples_for_bits(2)
    16
    """
    bits = keep(extra_bits, 0.0, 15.0, name="extra bits", unit="bit", advice="no board averages longer")
    counts = np.ceil(4.0**bits * (1 - 1e-12))
    return int(counts) if np.ndim(counts) == 0 else counts


def oversampled_code(codes, extra_bits):
    """Sum of 4**n codes shifted right by n: one code of n more bits, in whole numbers, as a board does it.

    `codes`: integers, last axis 4**n long, taken together; returns an int, or an integer array without the
    last axis. Raises `ValueError` for another length. A floor converter's sum stays a floor code.
    Common practice, no source.

    >>> oversampled_code([512, 513, 512, 513], 1)
    1025
    """
    codes = numbers(codes, "codes")
    bits = whole_number(extra_bits, 0, 15, name="extra bits", unit="bit", advice="0 adds none")
    if codes.ndim == 0 or codes.shape[-1] != samples_for_bits(bits) or codes.dtype.kind not in "iu":
        raise ValueError(
            f"codes of shape {codes.shape} and type {codes.dtype} give no {bits} extra bits: "
            f"give {samples_for_bits(bits)} integers for each result"
        )
    sums = codes.sum(axis=-1, dtype=np.int64) >> bits
    return sums if sums.ndim else int(sums)


def smoothing_factor(dt_s, tau_s):
    """Factor f of first-order smoothing, y += f (x - y): exactly 1 - exp(-dt / tau) [1].

    `dt_s` [s] >= 0 between samples, `tau_s` [s] > 0 the time constant; scalars or arrays. Raises `ValueError`
    otherwise (`nan` in an array). dt / (tau + dt) is an approximation often seen. Source: step response of
    a first-order lag, sampled.

    >>> round(smoothing_factor(1.0, 12.0), 7)
    0.0799556
    """
    dt = size(dt_s, "sample period", "s")
    factor = -np.expm1(-dt / positive(tau_s, "time constant", "s", "for no smoothing, leave it out"))
    return plain(factor)


def smoothed_noise_ratio(factor):
    """Noise after first-order smoothing / noise before [1], independent samples: sqrt(f / (2 - f)).

    `factor` above 0, up to 1, scalar or array; raises `ValueError` otherwise (`nan` in an array). Smoothed
    readings are not independent of each other. Source: variance of a geometric moving average.

    >>> round(smoothed_noise_ratio(0.0799556), 6)
    0.204065
    """
    f = _factor(factor)
    ratio = np.sqrt(f / (2 - f))
    return plain(ratio)


def _factor(factor):
    return keep(factor, SMALLEST, 1.0, name="smoothing factor", unit="(ratio)", advice="1: none")


def smoothing_lag_s(factor, dt_s):
    """Time [s] by which a smoothed ramp trails the ramp, once settled: dt (1 - f) / f. The price of quiet.

    `factor` above 0, up to 1; `dt_s` [s] >= 0; scalars or arrays; raises `ValueError` otherwise (`nan` in an
    array). For a small factor it is the time constant. Source: geometric series of the weights.

    >>> smoothing_lag_s(0.25, 1.0)
    3.0
    """
    f = _factor(factor)
    return size(dt_s, "sample period", "s") * (1 - f) / f


def window_gain(frequency_hz, window_s):
    """What is left [1] of a sine after averaging over an unbroken window: |sin(pi f T) / (pi f T)|.

    Zero where the window holds whole periods: 0.1 s rejects 50 Hz (5 periods) and 60 Hz (6). `frequency_hz`
    [Hz] >= 0, `window_s` [s] >= 0, scalars or arrays; raises `ValueError` otherwise (`nan` in an array).
    Source: Fourier transform of a rectangle.

    >>> round(window_gain(50.0, 0.01), 4), round(window_gain(60.0, 0.1), 12)
    (0.6366, 0.0)
    """
    turns = size(frequency_hz, "frequency", "Hz") * size(window_s, "window", "s")
    gain = np.abs(np.sinc(turns))
    return plain(gain)


def averaging_gain(frequency_hz, sample_rate_hz, samples):
    """What is left [1] of a sine after averaging `samples` taken at an even rate r.

    |sin(pi f M / r) / (M sin(pi f / r))|. Equals `window_gain` for many samples, but comes back to 1 at every
    multiple of the sampling rate: there the sine looks constant. `frequency_hz` >= 0, `sample_rate_hz` > 0
    [Hz], `samples` >= 1, scalars or arrays; raises `ValueError` otherwise (`nan` in an array). Source:
    geometric series.

    >>> round(averaging_gain(50.0, 1000.0, 20), 12), averaging_gain(50.0, 50.0, 20)
    (0.0, 1.0)
    """
    rate = positive(sample_rate_hz, "sampling rate", "Hz", "sample at some rate")
    turns = size(frequency_hz, "frequency", "Hz") / rate
    turns, samples = turns - np.round(turns), _count(samples)
    gain = np.abs(np.sinc(turns * samples) / np.sinc(turns))
    return plain(gain)


def alias_frequency(frequency_hz, sample_rate_hz):
    """Frequency [Hz] at which a sine shows up once sampled: its distance to the nearest multiple of the rate.

    `frequency_hz` >= 0, `sample_rate_hz` > 0 [Hz], scalars or arrays; raises `ValueError` otherwise (`nan` in
    an array). Source: sampling theorem.

    >>> alias_frequency(50.0, 49.0), alias_frequency(50.0, 10.0)
    (1.0, 0.0)
    """
    rate = positive(sample_rate_hz, "sampling rate", "Hz", "sample at some rate")
    turns = size(frequency_hz, "frequency", "Hz")
    alias = np.abs(turns - rate * np.round(turns / rate))
    return plain(alias)
