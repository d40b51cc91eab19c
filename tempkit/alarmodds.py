"""Missed and false alarms: how likely an alarm is at a true temperature, and over all temperatures that come along."""

from dataclasses import dataclass
from math import inf

import numpy as np

from tempkit.alarmrates import delayed_alarm
from tempkit.conformity import global_risk
from tempkit.ranges import keep, like, scalar

_Z = np.linspace(-8.5, 8.5, 3401)


def alarm_probability(t_c, limit_c, standard_c, noise_c=0.0, on_delay=1, off_delay=1, side="high"):
    """Probability [1] of being in alarm at a true temperature `t_c` [degC] that stays; scalar or array.

    limit_c [degC]: what the reading is compared with; standard_c [degC] >= 0: standard uncertainty of what stays the
    same from sample to sample (of this board, unknown); noise_c [degC] >= 0: standard deviation of what differs from
    sample to sample, independent. One of the two is above 0. Delays in samples; side "high" or "low". Without delays it
    is a normal integral with both combined; with delays the fraction of the time in alarm, `delayed_alarm`, averaged
    over the unknown part. Raises `ValueError` for sizes below 0, both 0, another side or a delay below 1. Source:
    JCGM 106:2012, 7.2, and delay-timer chains, J. Process Control 21 (2011) 1318-1331.

    >>> round(alarm_probability(27.5, 27.0, 0.4), 4), round(alarm_probability(27.5, 27.0, 0.4, side="low"), 4)
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
