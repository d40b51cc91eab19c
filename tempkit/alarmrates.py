"""How often a noisy reading trips an alarm: delays and deadband in closed form, for samples that do not hang together.

Every formula here is for independent samples. Smoothed or averaged readings with overlapping windows are not: there
runs beyond a limit last longer, and a delay helps less.
"""

from dataclasses import dataclass

import numpy as np

from tempkit.ranges import keep, like, whole_number

_MOST = np.finfo(float).max


@dataclass(frozen=True)
class AlarmRate:
    """`fraction` of the time in alarm, 0 to 1, and `raises_per_1000` samples.

    >>> AlarmRate(0.02, 20.0).raises_per_1000
    20.0
    """

    fraction: float
    raises_per_1000: float


def _probability(p):
    return keep(p, 0.0, 1.0, name="p_beyond", unit="(ratio)", advice="a probability; 5 % is 0.05")


def _delay(samples, name):
    return whole_number(samples, 1, name=name, unit="samples", advice="1 acts at once")


def _log_wait(p, delay):
    """log of the mean number of samples until `delay` in a row happened, each with probability p.

    (1 - p^n) / (p^n (1 - p)): the geometric sum 1 + p + ... + p^(n-1), over p^n.
    """
    p = np.asarray(p, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        log_p = np.log(p)
        summed = np.where(p < 1, -np.expm1(delay * log_p) / -np.expm1(log_p), delay)
        return np.where(np.isnan(p), np.nan, np.log(summed) - delay * log_p)


def _rate(value, log_normal, log_alarm):
    """The rate of an alarm that waits exp(log_normal) samples to raise and exp(log_alarm) to return, on average."""
    from scipy.special import expit

    with np.errstate(under="ignore", invalid="ignore"):
        fraction = expit(log_alarm - log_normal)
        raises = 1000 * np.exp(-np.logaddexp(log_normal, log_alarm))
    return AlarmRate(like(value, fraction), like(value, raises))


def delayed_alarm(p_beyond, on_delay, off_delay):
    """One limit with delays on independent samples: `AlarmRate`.

    `p_beyond` [1], the probability that one sample lies beyond the limit, 0 to 1, scalar or array; `on_delay`,
    `off_delay` [samples, 1 = at once]. Raises `ValueError` for a probability outside (`nan` in an array) or a delay
    below 1. With n and m in a row, p and q = 1 - p, the mean stay in normal is (1 - p^n) / (p^n q), in alarm
    (1 - q^m) / (q^m p), and a raise comes once in their sum. Source: delay-timer chains, J. Process Control 21 (2011)
    1318-1331.

    >>> rate = delayed_alarm(0.158655, 2, 1)
    >>> round(rate.fraction, 5), round(rate.raises_per_1000, 2)
    (0.02517, 21.18)
    """
    p = _probability(p_beyond)
    on, off = _delay(on_delay, "on_delay"), _delay(off_delay, "off_delay")
    return _rate(p_beyond, _log_wait(p, on), _log_wait(1 - np.asarray(p), off))


def detection_samples(p_beyond, on_delay):
    """Mean number of independent samples until an alarm is raised, the raising one counted: (1 - p^n) / (p^n (1 - p)).

    `p_beyond` [1], 0 to 1, scalar or array; `on_delay` n [samples]. Never beyond gives inf, always beyond gives n.
    Raises `ValueError` for a probability outside (`nan` in an array) or a delay below 1. Source: mean waiting time for
    a run of n successes (W. Feller, An Introduction to Probability Theory, vol. 1, XIII.7, from memory).

    >>> [round(detection_samples(p, 3), 4) for p in (0.9, 0.5)]
    [3.7174, 14.0]
    """
    p = _probability(p_beyond)
    with np.errstate(over="ignore"):
        waits = np.exp(_log_wait(p, _delay(on_delay, "on_delay")))
    return like(p_beyond, waits)


def deadband_alarm(mean_minus_limit_sigma, deadband_sigma):
    """A high limit with a deadband, without delays, on independent normal samples: `AlarmRate`.

    Both arguments in standard deviations of the noise, scalars or arrays that broadcast: the mean minus the limit,
    and the deadband d >= 0. Raised above the limit, returned below limit - d. With p1 = P(x > L) and
    p2 = P(x < L - d) the fraction is p1 / (p1 + p2), and there are 1000 p1 p2 / (p1 + p2) raises. Raises `ValueError`
    for a deadband below 0 (`nan` in an array). A low limit: give limit minus mean. Source: two-state Markov chain.

    >>> rate = deadband_alarm(-1.0, 2.0)
    >>> round(rate.fraction, 4), round(rate.raises_per_1000, 2)
    (0.5, 79.33)
    """
    from scipy.special import log_ndtr

    distance = keep(mean_minus_limit_sigma, -_MOST, _MOST, name="mean", unit="sigma", advice="give a number")
    deadband = keep(deadband_sigma, 0.0, _MOST, name="deadband", unit="sigma", advice="give it without a sign")
    distance, deadband = np.asarray(distance), np.asarray(deadband)
    shaped = distance + deadband
    return _rate(shaped, -log_ndtr(distance) + 0 * shaped, -log_ndtr(-shaped) + 0 * shaped)
