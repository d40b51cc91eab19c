"""How a sensor follows its surroundings: first-order lag of step, ramp, sine and record; self-heating; sampling."""

import math
from dataclasses import dataclass
from itertools import accumulate

import numpy as np

from tempkit.ranges import LARGEST, SMALLEST, floats, keep, plain, positive, size

EVEN = 1e-6  # times count as even when their spacings differ by no more than this part of one


def _tau(tau_s):
    return positive(tau_s, "time constant", "s", "a lag has one above 0 s")


def _finite(value, name, unit):
    return keep(value, -LARGEST, LARGEST, name=name, unit=unit, advice="give a finite number")


def _elapsed(t_s):
    return size(t_s, "time", "s", "count from the moment of the change")


def step(t_s, tau_s, start_c, end_c):
    """What a sensor shows [degC] the time `t_s` [s] after its surroundings jumped from `start_c` to `end_c` [degC].

    end + (start - end) exp(-t / tau). `t_s` >= 0, `tau_s` > 0 [s]; scalars or arrays that broadcast. Raises
    `ValueError` otherwise (`nan` in an array). After one time constant 63.2 % of the jump are done, not all.
    Source: first-order lag; the time constant as in IEC 60539-1 (63.2 % of the change).

    >>> round(step(12.0, 12.0, 20.0, 80.0), 3)
    57.927
    """
    gone = np.exp(-_elapsed(t_s) / _tau(tau_s))
    start, end = _finite(start_c, "start", "degC"), _finite(end_c, "end", "degC")
    return plain(end + (start - end) * gone)


def time_to_reach(target_c, tau_s, start_c, end_c):
    """Time [s] after a jump from `start_c` to `end_c` [degC] until a sensor shows `target_c` [degC].

    tau ln((end - start) / (end - target)). The target lies between start and end; the end itself is never reached.
    `tau_s` > 0 [s]; `target_c` and `tau_s` scalars or arrays, start and end scalars. Raises `ValueError` otherwise
    (`nan` in an array). Source: `step` solved for the time.

    >>> round(time_to_reach(79.5, 12.0, 20.0, 80.0), 4)
    57.4499
    """
    tau = _tau(tau_s)
    start, end = float(_finite(start_c, "start", "degC")), float(_finite(end_c, "end", "degC"))
    low, high = sorted((start, float(np.nextafter(end, start))))
    target = keep(
        target_c,
        low,
        high,
        name="target",
        unit="degC",
        advice=f"it must lie from start to short of the end {end:g} degC",
    )
    if start == end:
        raise ValueError(f"start and end are both {start:g} degC: without a change there is nothing to reach")
    return plain(tau * np.log((end - start) / (end - np.asarray(target))))


def ramp(t_s, tau_s, start_c, rate_c_per_s):
    """What a sensor shows [degC] the time `t_s` [s] after its surroundings, till then at rest, began to change.

    start + rate (t - tau (1 - exp(-t / tau))). `t_s` >= 0, `tau_s` > 0 [s], `rate_c_per_s` [degC/s] of either sign;
    scalars or arrays that broadcast. Raises `ValueError` otherwise (`nan` in an array). Source: first-order lag.

    >>> round(ramp(40.0, 40.0, 22.0, 0.05), 4)
    22.7358
    """
    t, tau = _elapsed(t_s), _tau(tau_s)
    rate, start = _finite(rate_c_per_s, "rate", "degC/s"), _finite(start_c, "start", "degC")
    return plain(start + rate * (t + tau * np.expm1(-t / tau)))


def ramp_lag(rate_c_per_s, tau_s):
    """How far [degC] a sensor trails behind a steady ramp, once settled: rate times tau.

    `rate_c_per_s` [degC/s], negative for falling (the reading is then too high, and so the lag negative); `tau_s` > 0
    [s]; scalars or arrays. Raises `ValueError` otherwise (`nan` in an array). In time it trails by tau, at any rate.
    Source: first-order lag.

    >>> round(ramp_lag(2.0 / 60, 45.0), 6)
    1.5
    """
    return plain(_finite(rate_c_per_s, "rate", "degC/s") * _tau(tau_s))


@dataclass(frozen=True)
class SineResponse:
    """A slow sine behind a lag: `gain` [1] of its height, `phase_deg` [deg], negative for late, `period_s` [s]."""

    gain: float
    phase_deg: float
    period_s: float

    @property
    def delay_s(self):
        """The same phase as a time [s]: how much later the reading has its highest point."""
        return -self.phase_deg / 360.0 * self.period_s


def sine_response(period_s, tau_s):
    """How much of a sine of period `period_s` [s] a sensor shows, and how late: a `SineResponse`.

    gain 1 / sqrt(1 + x^2), phase -atan(x), x = 2 pi tau / period. Both above 0 s, scalars or arrays; raises
    `ValueError` otherwise (`nan` in an array). The phase never gets beyond -90 deg. Source: first-order lag.

    >>> answer = sine_response(600.0, 40.0)
    >>> round(answer.gain, 4), round(answer.phase_deg, 2), round(answer.delay_s, 1)
    (0.9224, -22.73, 37.9)
    """
    period = positive(period_s, "period", "s", "a period is above 0 s")
    x = 2 * math.pi * _tau(tau_s) / period
    return SineResponse(plain(1 / np.hypot(1.0, x)), plain(-np.degrees(np.arctan(x))), period)


def self_heating(power_w, dissipation_w_per_k):
    """How much warmer [degC] than its surroundings a sensor is by its own power: power / dissipation constant.

    `power_w` [W] >= 0, `dissipation_w_per_k` [W/K] > 0, scalars or arrays: a matter of the sensor and of what surrounds
    it, in stirred water some 5 to 15 times that of still air (common practice, no source). Raises `ValueError`
    otherwise (`nan` in an array). Source: definition of the dissipation factor, IEC 60539-1; self-heating in IEC 60751.

    >>> round(self_heating(0.001**2 * 100.0, 0.05), 9)
    0.002
    """
    power = size(power_w, "power", "W")
    constant = positive(dissipation_w_per_k, "dissipation constant", "W/K", "it is above 0 W/K")
    return plain(power / constant)


def two_lags(t_s, first_tau_s, second_tau_s, start_c, end_c):
    """A jump seen through two first-order lags, one after the other [degC]: a sensor, then smoothing.

    Of the jump is still to come exp(-t/a) (1 + (t/a) (1 - exp(-x)) / x), with x = t/b - t/a and a the longer of the
    two. `t_s` >= 0, both time constants > 0 [s]; scalars or arrays that broadcast. Raises `ValueError` otherwise
    (`nan` in an array). Which of the lags is first makes no difference. Source: convolution of the two lags.

    >>> round(two_lags(24.0, 12.0, 12.0, 0.0, 100.0), 3)
    59.399
    """
    t, one, two = _elapsed(t_s), _tau(first_tau_s), _tau(second_tau_s)
    start, end = _finite(start_c, "start", "degC"), _finite(end_c, "end", "degC")
    longer, x = np.maximum(one, two), t / np.minimum(one, two) - t / np.maximum(one, two)
    share = np.where(x > 0, -np.expm1(-x) / np.where(x > 0, x, 1.0), 1.0)
    return plain(end + (start - end) * np.exp(-t / longer) * (1 + t / longer * share))


def lagged(times_s, values_c, tau_s, start_c=None):
    """What a sensor shows of a recorded temperature: arrays `times_s` [s] and `values_c` [degC], same length.

    Exact where the temperature runs straight between two samples. `tau_s` >= 0 [s], 0 for no lag; `start_c` is what the
    sensor shows at the first time, None for settled. Returns an array [degC]. Raises `ValueError` for times that do
    not rise, for values that are masked or not finite, for arrays of different length. Even times go by
    whole arrays, a million in some ten milliseconds; uneven ones one after the other.
    Source: the lag's distance d from the temperature obeys d' = -d/tau - (slope), solved over each piece.

    >>> lagged([0.0, 1.0, 2.0], [0.0, 1.0, 1.0], 1.0).round(4)
    array([0.    , 0.3679, 0.7675])
    """
    times, values = _record(times_s, values_c)
    if tau_s == 0 or times.size == 0:
        return values.copy()
    gaps = np.diff(times)
    even = bool(np.ptp(gaps) <= EVEN * gaps[0]) if gaps.size else False
    gaps = np.full(gaps.size, gaps.mean()) if even else gaps
    kept = np.exp(-gaps / _tau(tau_s))
    driven = np.diff(values) * np.expm1(-gaps / tau_s) * tau_s / gaps
    apart = 0.0 if start_c is None else float(_finite(start_c, "start", "degC")) - values[0]
    return values + _decaying(kept, driven, apart, even)


def _record(times_s, values_c):
    times, values = floats(times_s, "times_s"), floats(values_c, "values_c")
    if times.ndim != 1 or times.shape != values.shape:
        raise ValueError(f"times {times.shape} and values {values.shape} must be two lists of one length")
    lost = int(np.count_nonzero(~np.isfinite(values) | ~np.isfinite(times)))
    if lost:
        raise ValueError(f"{lost} of {values.size} samples are masked or not finite: cut or fill them first")
    if not np.all(np.diff(times) > 0):
        at = int(np.argmax(np.diff(times) <= 0)) + 1
        raise ValueError(f"time {times[at]:g} s of sample {at} must be above {times[at - 1]:g} s: sort the record")
    return times, values


def _decaying(kept, driven, first, even):
    """d[0] = first, d[k + 1] = kept[k] d[k] + driven[k], as an array one longer than the two."""
    if even:
        return recurring(np.concatenate([[first], driven]), kept[0] if kept.size else 0.0)
    pairs = zip(kept.tolist(), driven.tolist(), strict=True)
    return np.array(list(accumulate(pairs, lambda d, pair: pair[0] * d + pair[1], initial=float(first))))


def recurring(driven, kept):
    """y[k] = kept y[k - 1] + driven[k] from y[0] = driven[0], an array; `kept` from 0 to below 1.

    Each round adds twice as many terms of the sum over the past, until what is left of it is below any rounding.

    >>> recurring(np.array([1.0, 0.0, 0.0, 1.0]), 0.5)
    array([1.   , 0.5  , 0.25 , 1.125])
    """
    y, reach = np.array(floats(driven, "driven")), 1
    while reach < y.size and kept > 1e-20:
        y[reach:] += kept * y[:-reach]
        reach, kept = 2 * reach, kept * kept
    return y


def change_between_samples(step_c, period_s, tau_s):
    """The largest change [degC] from one sample to the next after a jump of `step_c` [degC]: step (1 - exp(-T/tau)).

    `period_s` >= 0 and `tau_s` > 0 [s]; scalars or arrays. Raises `ValueError` otherwise (`nan` in an array).
    What happens between two samples the program cannot know. Source: `step`.

    >>> round(change_between_samples(10.0, 8.0, 40.0), 3)
    1.813
    """
    period = size(period_s, "sample period", "s")
    return plain(_finite(step_c, "step", "degC") * -np.expm1(-period / _tau(tau_s)))


def period_for_change(change_c, step_c, tau_s):
    """Sample period [s] with which a jump of `step_c` moves no more than `change_c` [degC] from sample to sample.

    -tau ln(1 - change / step): the inverse of `change_between_samples`. The change is above 0 and below the step, of
    one sign; `tau_s` > 0 [s]. Scalars or arrays; raises `ValueError` otherwise (`nan` in an array).

    >>> round(period_for_change(1.813, 10.0, 40.0), 2)
    8.0
    """
    part = np.asarray(_finite(change_c, "change", "degC")) / _finite(step_c, "step", "degC")
    part = keep(
        part, SMALLEST, float(np.nextafter(1.0, 0.0)), name="change / step", unit="(ratio)",
        advice="ask for less than the whole step, and more than nothing",
    )  # fmt: skip
    return plain(-_tau(tau_s) * np.log1p(-part))
