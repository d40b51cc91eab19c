"""A change in a record: a step, when and how large; and the time constant with which readings follow one."""

from dataclasses import dataclass
from math import sqrt

import numpy as np

from tempkit.estimates import Estimate, pair
from tempkit.ranges import scalar

POINTS = 200  # for the first guess of a lag


@dataclass(frozen=True)
class Step:
    """A step in a record: `time_s` [s] and `size` (after minus before) as `Estimate`; `before` and `after`, the two
    levels; `s`, the scatter about them; `chance`, an upper bound of the probability that noise alone shows so large a
    step somewhere."""

    time_s: Estimate
    size: Estimate
    before: float
    after: float
    s: float
    chance: float


def step(times_s, readings):
    """The step that divides a record best into two levels: `Step`.

    times_s [s], rising, and readings: rows of one length, 5 or more. There is always a best place: look at `chance`
    before you believe in it. Noise counts as normal, alike and independent, the levels as flat. Raises `ValueError` for
    fewer readings or times that fall. Each place between two readings is weighted by its posterior probability, all
    times alike beforehand: in proportion to dt (n1 n2)^(-1/2) S^(-(n - 2) / 2), S the sum of squares about two means.
    `chance` is Bonferroni's bound on the largest t of all places. Source: Bayes' theorem with flat priors (Smith,
    Biometrika 62 (1975), from memory); checked here by simulation.

    >>> found = step(np.arange(10.0), [20.0, 20.1, 19.9, 20.0, 20.1, 22.1, 22.0, 21.9, 22.0, 22.1])
    >>> round(found.time_s.value, 3), round(found.size.value, 2)
    (4.5, 2.0)
    """
    times, readings = pair(times_s, readings, 5)
    if (np.diff(times) < 0).any():
        raise ValueError("times fall: sort the record, or take the stretch before they do")
    count, n1 = readings.size, np.arange(1, readings.size)
    n2 = count - n1
    left = readings - readings.mean()
    sums, squares = np.cumsum(left)[:-1], float(left @ left)
    size = -sums / n2 - sums / n1
    about = np.maximum(squares - sums**2 * (1 / n1 + 1 / n2), 1e-20 * max(squares, 1e-300))
    log_weight = np.log(np.maximum(np.diff(times), 1e-300)) - 0.5 * np.log(n1 * n2) - (count - 2) / 2 * np.log(about)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    best, s = int(weight.argmax()), sqrt(float(weight @ about) / (count - 2))
    before = float(readings[: best + 1].mean())
    return Step(
        _mixed(weight, (times[1:] + times[:-1]) / 2, np.diff(times) / sqrt(12), count - 2),
        _mixed(weight, size, s * np.sqrt(1 / n1 + 1 / n2), count - 2),
        before,
        float(readings[best + 1 :].mean()),
        s,
        _chance(size / np.sqrt(about / (count - 2) * (1 / n1 + 1 / n2)), count - 2),
    )


def _mixed(weight, values, standards, dof):
    """Mean and standard deviation of a mixture of estimates."""
    mean = float(weight @ values)
    return Estimate(mean, sqrt(float(weight @ (standards**2 + (values - mean) ** 2))), dof)


def _chance(t, dof):
    from scipy.special import stdtr

    return float(min(1.0, t.size * 2 * stdtr(dof, -np.abs(t).max())))


@dataclass(frozen=True)
class Lag:
    """How readings followed a sudden change: `tau_s` [s], `start` and `end` levels, and `at_s`, when it happened [s]
    (uncertainty 0 where it was given), as `Estimate`; `s`, the scatter about the curve."""

    tau_s: Estimate
    start: Estimate
    end: Estimate
    at_s: Estimate
    s: float


def lag(times_s, readings, at_s=None):
    """Time constant from a record of one sudden change, by least squares: `Lag`.

    start + (end - start) (1 - exp(-(t - at) / tau)) from `at_s` on. times_s [s] and readings: rows of one length, 8 or
    more; at_s : when the change happened [s], None to find that too, which needs readings from before it. The end level
    is found with the rest, so a record shorter than two or three time constants tells little: see the uncertainty.
    Noise counts as normal, alike and independent. Raises `ValueError` where there is no change to fit. Source: response
    of a first-order lag as in `tempkit.response.step`; uncertainties of non-linear least squares, s^2 (J'J)^-1.

    >>> t = np.arange(0.0, 200.0, 5.0)
    >>> found = lag(t, 80.0 - 60.0 * np.exp(-t / 40.0), at_s=0.0)
    >>> round(found.tau_s.value, 6), round(found.end.value, 6)
    (40.0, 80.0)
    """
    from scipy.optimize import least_squares

    times, readings = pair(times_s, readings, 8)
    zero, scale = times[0], float(np.ptp(readings))
    if scale == 0:
        raise ValueError(f"all readings are {readings[0]:g}: there is no change to fit")
    t, y = times - zero, readings
    given = None if at_s is None else scalar(at_s, "at_s") - zero
    tau, at, start, end = _guess(t, y, given)
    free = [np.log(tau), start, end] + ([] if given is not None else [at])

    def off(p):
        return _curve(t, np.exp(p[0]), given if given is not None else p[3], p[1], p[2]) - y

    fit = least_squares(off, free, x_scale="jac", xtol=1e-12, ftol=1e-12, gtol=1e-12)
    tau, dof = float(np.exp(fit.x[0])), t.size - len(free)
    if not fit.success or not 1e-3 * np.diff(t).max() < tau < 100 * np.ptp(t):
        raise ValueError(f"no time constant fits (tau {tau:.3g} s): give a stretch with one sudden change in it")
    s = sqrt(2 * fit.cost / dof)
    u = s * np.sqrt(np.diag(np.linalg.pinv(fit.jac.T @ fit.jac)))
    found = Estimate(zero + given, 0.0) if given is not None else Estimate(zero + float(fit.x[3]), float(u[3]), dof)
    start, end = (Estimate(float(fit.x[nth]), float(u[nth]), dof) for nth in (1, 2))
    return Lag(Estimate(tau, tau * float(u[0]), dof), start, end, found, s)


def _curve(t, tau, at, start, end):
    return start + (end - start) * -np.expm1(-np.maximum(t - at, 0.0) / tau)


def _guess(t, y, at):
    """Time constant, time of the change and both levels, the best of a grid; on means of neighbours where many."""
    size = -(-t.size // POINTS)
    whole = t.size // size * size
    t, y = (each[:whole].reshape(-1, size).mean(axis=1) for each in (t, y))
    span = float(np.ptp(t))
    taus = np.geomspace(span / 200, 3 * span, 40)
    ats = np.linspace(t[0], t[0] + 0.9 * span, 60) if at is None else np.array([at])
    taus, ats = (each.ravel() for each in np.meshgrid(taus, ats))
    rise = -np.expm1(-np.maximum(t - ats[:, None], 0.0) / taus[:, None])
    centred = rise - rise.mean(axis=1, keepdims=True)
    square = (centred**2).sum(axis=1)
    along = centred @ (y - y.mean())
    best = int(np.argmax(np.where(square > 1e-12, along**2 / np.maximum(square, 1e-300), -1.0)))
    change = along[best] / max(square[best], 1e-300)
    start = float(y.mean() - change * rise[best].mean())
    return float(taus[best]), float(ats[best]), start, float(start + change)
