"""Air temperature against time, and a sensor that follows it with a first-order lag."""

import math

import numpy as np


def air_at(air_c, t_s):
    """True air temperature [degC] at times [s], an array: from a number, a function of time, or (times, temperatures).

    Between the times of a pair it runs straight, before and after it stays.

    >>> air_at(([0.0, 10.0], [20.0, 22.0]), np.array([5.0, 20.0]))
    array([21., 22.])
    """
    if callable(air_c):
        air_c = air_c(t_s)
    elif isinstance(air_c, tuple):
        air_c = np.interp(t_s, *air_c)
    return np.broadcast_to(np.asarray(air_c, dtype=float), np.shape(t_s)).copy()


def lagged(values, dt_s, tau_s, start=None):
    """First-order lag of values an even `dt_s` apart, with time constant `tau_s` [s]; same shape, one dimension.

    Exact where the input runs straight between two values. start : the output at the first value, None for settled.
    `tau_s` 0 is no lag. Raises `ValueError` for dt_s not above 0 s or tau_s below 0 s.

    >>> lagged(np.array([0.0, 1.0, 1.0]), 1.0, 1.0).round(4)
    array([0.    , 0.3679, 0.7675])
    """
    if not (dt_s > 0 and tau_s >= 0):
        raise ValueError(f"dt_s {dt_s:g} s must be above 0 s and tau_s {tau_s:g} s 0 s or more: correct them")
    values = np.asarray(values, dtype=float)
    if tau_s == 0 or values.size == 0:
        return values.copy()
    factor = -math.expm1(-dt_s / tau_s)
    ramp = 1 - factor * tau_s / dt_s
    driven = factor * values[:-1] + ramp * np.diff(values)
    return np.concatenate(_relaxed(driven, 1 - factor, values[0] if start is None else float(start)))


def _relaxed(driven, kept, state):
    """Blocks of y[k + 1] = kept y[k] + driven[k] from y[0] = state, short enough for the powers of `kept`."""
    if kept < 1e-6:  # a lag far shorter than a period: two terms hold all but 1e-12 of it
        before = np.concatenate([[state], driven])[: driven.size]
        return [np.array([state]), driven + kept * before]
    size = min(4096, int(-25 / math.log(kept)) + 1)
    powers, parts = kept ** np.arange(1, size + 1), [np.array([state])]
    for first in range(0, driven.size, size):
        block, power = driven[first : first + size], powers[: driven.size - first]
        parts.append(power * (parts[-1][-1] + np.cumsum(block / power)))
    return parts
