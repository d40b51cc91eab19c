"""A record against the model: offset, slope, noise, drift, a step and a lag, each with its standard uncertainty.

Readings one after the other are seldom independent: smoothing, the sensor's lag and draughts make neighbours alike, and
then n readings are worth fewer. The functions here find that from the readings themselves, by the correlation of
neighbours, and widen the uncertainties; slower wandering than that stays unseen, and no statistics on one record sees
an error that is the same in all its readings.
"""

from dataclasses import dataclass, replace
from math import inf, sqrt

import numpy as np

from tempkit.ranges import floats, scalar
from tempkit.uncertainty import coverage_factor, fit_line

# A value and its uncertainty

FEWEST = 3


@dataclass(frozen=True)
class Estimate:
    """A value found from readings, its standard uncertainty, both in one unit, and the degrees of freedom.

    >>> low, high = Estimate(0.5, 0.1, 9.0).interval()
    >>> round(low, 3), round(high, 3)
    (0.274, 0.726)
    """

    value: float
    standard: float
    dof: float = inf

    def expanded(self, level=0.95):
        """Expanded uncertainty: the standard one times the t factor. Source: JCGM 100:2008, G.3."""
        return coverage_factor(self.dof, level) * self.standard

    def interval(self, level=0.95):
        """The interval (low, high) that holds the true value with probability `level`."""
        reach = self.expanded(level)
        return self.value - reach, self.value + reach


@dataclass(frozen=True)
class Spread(Estimate):
    """A standard deviation found from readings; its own interval is not symmetric.

    >>> low, high = Spread(1.0, 0.24, 9.0).interval()
    >>> round(low, 3), round(high, 3)
    (0.688, 1.826)
    """

    def interval(self, level=0.95):
        """The interval that holds the true standard deviation, for normal noise: by the chi-square distribution."""
        from scipy.special import chdtri

        tail = (1 - level) / 2
        return tuple(self.value * sqrt(self.dof / chdtri(self.dof, p)) for p in (tail, 1 - tail))


def row(values, name, fewest=FEWEST):
    """One row of finite numbers, none masked, as an array; raises `ValueError` that says what else it is.

    >>> row([1, 2, 3], "readings")
    array([1., 2., 3.])
    """
    values = floats(values, "values")
    if values.ndim != 1 or not np.isfinite(values).all():
        raise ValueError(f"{name} of shape {values.shape} must be one row of finite numbers: take `Record.series`")
    if values.size < fewest:
        raise ValueError(f"{values.size} {name} are too few: give {fewest} or more")
    return values


def pair(times_s, readings, fewest=FEWEST):
    """Times [s] and readings as arrays; raises `ValueError` unless they are rows of one length with differing times.

    >>> pair([0, 1, 2], [20.0, 20.1, 20.2])[0]
    array([0., 1., 2.])
    """
    times, readings = row(times_s, "times", fewest), row(readings, "readings", fewest)
    if times.size != readings.size:
        raise ValueError(f"{times.size} times do not fit {readings.size} readings: give one time for each")
    if np.ptp(times) == 0:
        raise ValueError(f"all times are {times[0]:g} s: nothing can be told against time")
    return times, readings


# A step and a lag

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
    of a first-order lag as in `tempkit.signal.step`; uncertainties of non-linear least squares, s^2 (J'J)^-1.

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


HOUR_S = 3600.0


@dataclass(frozen=True)
class Against:
    """Readings against a reference: `offset` at the reference's mean `centre`, reading minus reference; `slope`, the
    change of reading for one of reference; `s`, the scatter about the line."""

    centre: float
    offset: Estimate
    slope: Estimate
    s: float


def neighbours(values, trend=1):
    """Correlation of each value with the next, after the mean (trend 0) or a straight line (trend 1) is taken away.

    The estimate is biased low by (1 + 3 r) / n or so, which is added; 0 where it is below 2 / sqrt(n), since
    independent values give as much by chance. Source: Marriott and Pope, Biometrika 41 (1954), from memory.

    >>> neighbours([1.0, -1.0] * 10)
    0.0
    """
    values = row(values, "readings")
    left = values - np.polyval(np.polyfit(np.arange(values.size), values, trend), np.arange(values.size))
    square = float(left @ left)
    if square <= 1e-24 * float(values @ values):
        return 0.0
    found = float(left[1:] @ left[:-1]) / square
    found += (1 + 3 * max(found, 0.0)) / values.size
    return min(found, 0.99) if found > 2 / sqrt(values.size) else 0.0


def worth(values, trend=1):
    """How many independent values these are worth: n (1 - r) / (1 + r), r the correlation of neighbours; at least 2.

    Holds where correlation dies out as after one lag (an autoregressive process of order 1).
    Source: follows from the variance of the mean of such a process; JCGM 100:2008, 4.2.7 warns of the case.

    >>> worth(np.random.default_rng(1).normal(size=100))
    100.0
    """
    count, r = len(values), neighbours(values, trend)
    return max(2.0, count * (1 - r) / (1 + r))


def offset(readings, truth=0.0, u_truth=0.0, step=0.0):
    """Mean of reading minus truth, an `Estimate` in the unit of the readings.

    readings : one row; truth : what the better thermometer says, a number or a row; u_truth : its standard uncertainty,
    the same error in all; step : what one step of the readings is worth, which counts as a rectangular error of half a
    step to each side: readings that never change say nothing about where in the step they are. Raises `ValueError` for
    fewer than 3 readings, or what is masked or not finite. Source: JCGM 100:2008, 4.2 and F.2.2.1, with `worth` for n.

    >>> found = offset([25.1, 25.3, 25.2], 25.0)
    >>> round(found.value, 3), round(found.standard, 4), found.dof
    (0.2, 0.0577, 2.0)
    """
    off = row(floats(readings, "readings") - floats(truth, "truth"), "readings")
    count = worth(off, trend=0)
    s = float(off.std(ddof=1)) * sqrt(count * (off.size - 1) / (off.size * (count - 1)))
    mean = Estimate(float(off.mean()), s / sqrt(count), count - 1)
    return _with(mean, u_truth, step / sqrt(12))


def _with(estimate, *more):
    """An estimate with independent standard uncertainties of infinite degrees of freedom; by Welch-Satterthwaite."""
    total = sqrt(estimate.standard**2 + sum(u**2 for u in more))
    known = estimate.standard > 0
    dof = estimate.dof * (total / estimate.standard) ** 4 if known and estimate.standard > 1e-9 * total else inf
    return replace(estimate, standard=total, dof=dof)


def against(readings, reference):
    """Readings against a reference that was read at the same times: `Against`.

    Two rows of one length. The reference counts as exact: its own error, the same in all, belongs beside the offset.
    Raises `ValueError` for fewer than 3 pairs or a reference that stands still. Source: JCGM 100:2008, H.3.

    >>> found = against([0.5, 10.6, 20.4, 30.5], [0.0, 10.0, 20.0, 30.0])
    >>> round(found.offset.value, 3), round(found.slope.value, 4)
    (0.5, 0.998)
    """
    readings, reference = row(readings, "readings"), row(reference, "reference values")
    centre = float(reference.mean())
    fit = fit_line(reference, readings, x0=centre)
    wider, dof = _wider(fit.residuals)
    return Against(
        centre,
        Estimate(fit.intercept - centre, fit.u_intercept * wider, dof),
        Estimate(fit.slope, fit.u_slope * wider, dof),
        fit.s,
    )


def _wider(residuals):
    """By how much neighbours that are alike widen the uncertainties of a line, and its degrees of freedom."""
    count = worth(residuals, trend=0) if residuals.size >= FEWEST else residuals.size
    return sqrt(residuals.size / count), max(count - 2.0, 1.0)


def noise(readings):
    """Standard deviation of readings about their straight line, a `Spread` in their unit.

    The line takes drift away; a step or a curve stays in: choose a quiet stretch. Where neighbours are alike this is
    still the scatter of single readings, and known less well. Raises `ValueError` for fewer than 4 readings.
    Source: JCGM 100:2008, H.3 (s of a line) and E.4.3 (its own uncertainty, s / sqrt(2 dof)).

    >>> round(noise(np.random.default_rng(1).normal(25.0, 0.2, 10_000)).value, 2)
    0.2
    """
    readings = row(readings, "readings", 4)
    fit = fit_line(np.arange(readings.size), readings, x0=(readings.size - 1) / 2)
    r = neighbours(readings)
    dof = max(1.0, (readings.size - 2) * (1 - r**2) / (1 + r**2))
    return Spread(fit.s, fit.s / sqrt(2 * dof), dof)


def noise_of_steps(readings):
    """Standard deviation of independent readings from the steps between neighbours: sqrt(mean square step / 2).

    Drift, a slow curve and a single step hardly count in it; readings that are alike to their neighbours make it too
    small. Degrees of freedom 2 (n - 1)^2 / (3 n - 4). Source: von Neumann and others, Annals of Mathematical
    Statistics 12 (1941), the variance from memory; checked here by simulation.

    >>> round(noise_of_steps([25.0, 25.2, 25.1, 25.3]).value, 4)
    0.1225
    """
    readings = row(readings, "readings")
    steps, count = np.diff(readings), readings.size
    s = sqrt(float(steps @ steps) / (2 * (count - 1)))
    dof = 2 * (count - 1) ** 2 / (3 * count - 4)
    return Spread(s, s / sqrt(2 * dof), dof)


def drift(times_s, readings):
    """Slope of readings against time, an `Estimate` in their unit an hour.

    times_s [s]: one for each reading, in any steps. A straight line: look at the record before believing it. Raises
    `ValueError` for fewer than 3 readings or times that are all the same. Source: JCGM 100:2008, H.3.

    >>> round(drift([0.0, 1800.0, 3600.0, 5400.0], [20.0, 20.11, 20.19, 20.3]).value, 3)
    0.196
    """
    times, readings = pair(times_s, readings)
    fit = fit_line((times - times.mean()) / HOUR_S, readings)
    wider, dof = _wider(fit.residuals)
    return Estimate(fit.slope, fit.u_slope * wider, dof)
