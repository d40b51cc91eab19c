"""How often a noisy reading trips an alarm, with delays or a deadband; and how often it is missed or false.

Every formula here is for independent samples. Smoothed or averaged readings with overlapping windows are not: there
runs beyond a limit last longer, and a delay helps less.
"""

from dataclasses import dataclass
from math import inf

import numpy as np

from tempkit.ranges import LARGEST, keep, like, scalar, whole_number
from tempkit.uncertainty import global_risk


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

    distance = keep(mean_minus_limit_sigma, -LARGEST, LARGEST, name="mean", unit="sigma", advice="give a number")
    deadband = keep(deadband_sigma, 0.0, LARGEST, name="deadband", unit="sigma", advice="give it without a sign")
    distance, deadband = np.asarray(distance), np.asarray(deadband)
    shaped = distance + deadband
    return _rate(shaped, -log_ndtr(distance) + 0 * shaped, -log_ndtr(-shaped) + 0 * shaped)


# With a doubt that stays: missed and false alarms

_Z = np.linspace(-8.5, 8.5, 3401)


def alarm_odds(t_c, limit_c, standard_c, noise_c=0.0, on_delay=1, off_delay=1, side="high"):
    """Probability [1] of being in alarm at a true temperature `t_c` [degC] that stays; scalar or array.

    limit_c [degC]: what the reading is compared with; standard_c [degC] >= 0: standard uncertainty of what stays the
    same from sample to sample (of this board, unknown); noise_c [degC] >= 0: standard deviation of what differs from
    sample to sample, independent. One of the two is above 0. Delays in samples; side "high" or "low". Without delays it
    is a normal integral with both combined; with delays the fraction of the time in alarm, `delayed_alarm`, averaged
    over the unknown part. Raises `ValueError` for sizes below 0, both 0, another side or a delay below 1. Source:
    JCGM 106:2012, 7.2, and delay-timer chains, J. Process Control 21 (2011) 1318-1331.

    >>> round(alarm_odds(27.5, 27.0, 0.4), 4), round(alarm_odds(27.5, 27.0, 0.4, side="low"), 4)
    (0.8944, 0.1056)
    """
    from scipy.special import ndtr

    standard, noise = (_size(size, name) for size, name in ((standard_c, "standard_c"), (noise_c, "noise_c")))
    if not standard + noise:
        raise ValueError("standard_c and noise_c are both 0 degC: without doubt compare with the limit directly")
    if side not in ("high", "low"):
        raise ValueError(f"side {side!r} is not one of high, low: choose one of these")
    t = keep(t_c, -273.15, 1e9, name="temperature", unit="degC", advice="give a temperature in degC")
    past = (np.asarray(t) - limit_c) * (1 if side == "high" else -1)
    if on_delay == off_delay == 1 or not noise:
        return like(t_c, ndtr(past / np.hypot(standard, noise)))
    return like(t_c, _averaged(past, standard, noise, on_delay, off_delay))


def _size(size, name):
    return keep(scalar(size, name), 0.0, inf, name=name, unit="degC", advice="give a size, without a sign")


def _averaged(past, standard, noise, on_delay, off_delay):
    """Mean fraction in alarm over a normal unknown: each rise of the fraction counts where the unknown is past it."""
    from scipy.special import ndtr

    fraction = delayed_alarm(ndtr(_Z), on_delay, off_delay).fraction
    if not standard:
        return np.interp(past / noise, _Z, fraction, left=0.0, right=1.0)
    middles, rises = 0.5 * noise * (_Z[1:] + _Z[:-1]), np.diff(fraction)
    flat = np.ravel(past)
    shares = np.array([ndtr((each - middles) / standard) @ rises for each in flat])
    return shares.reshape(np.shape(past))


@dataclass(frozen=True)
class AlarmRisk:
    """Shares of all moments: `missed`, beyond a limit and no alarm; `false`, alarm and within the limits; `beyond`,
    and `called`, in alarm.

    >>> AlarmRisk(0.01, 0.02, 0.05, 0.06).missed
    0.01
    """

    missed: float
    false: float
    beyond: float
    called: float


def alarm_risk(prior_mean_c, prior_standard_c, standard_c, low_c=None, high_c=None, guard_c=0.0):
    """Missed and false alarms over all temperatures that come along, one reading judged at a time: `AlarmRisk`.

    The true temperature is normal about `prior_mean_c` with `prior_standard_c` > 0 [degC]; a reading has a normal
    error of `standard_c` > 0 [degC]. Being beyond is judged by the limits; the alarm is set `guard_c` [degC] inside
    them (a guarded rejection: fewer missed, more false), outside where it is below 0. Raises `ValueError` for no
    limit, or a guard band that leaves nothing between the limits. Source: JCGM 106:2012, 9.5, where a missed alarm is
    the consumer's risk and a false one the producer's.

    >>> bare, guarded = (alarm_risk(22.0, 2.5, 0.5, 18.0, 27.0, guard_c=g) for g in (0.0, 0.8))
    >>> [round(each, 4) for each in (bare.missed, bare.false, guarded.missed, guarded.false)]
    [0.0107, 0.0164, 0.0007, 0.0776]
    """
    if low_c is None and high_c is None:
        raise ValueError("an alarm needs low_c or high_c [degC]: give at least one limit")
    low, high = -inf if low_c is None else low_c, inf if high_c is None else high_c
    if not low + guard_c < high - guard_c:
        raise ValueError(f"guard_c {guard_c:g} degC leaves nothing from {low:g} to {high:g} degC: take a smaller one")
    risk = global_risk(prior_mean_c, prior_standard_c, standard_c, (low, high), (low + guard_c, high - guard_c))
    return AlarmRisk(risk.consumer, risk.producer, 1 - risk.conforming, 1 - risk.accepted)
