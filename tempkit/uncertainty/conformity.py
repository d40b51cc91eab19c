"""Deciding against limits: conformance probability, guard bands, consumer's and producer's risk."""

from dataclasses import dataclass
from math import inf, isnan

import numpy as np

from tempkit.ranges import SMALLEST, floats, keep, positive, scalar

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_TAILS = (1e-300, 1e-16, 1e-13, 1e-10, 1e-8, 1e-6, 1e-4, 1e-3, 0.01, 0.1, 0.3)


def _above_zero(standard, name="standard uncertainty"):
    advice = "an uncertainty is above 0; without one, compare with the limits directly"
    return positive(standard, name, "(unit of the value)", advice)


def _between(low, high):
    """P(low <= z <= high) of a standard normal, accurate in both tails."""
    from scipy.special import ndtr

    flip = low > 0
    return ndtr(np.where(flip, -low, high)) - ndtr(np.where(flip, -high, low))


def conformance_probability(value, standard, lower=-inf, upper=inf):
    """Probability [1] that the true value lies in `lower`..`upper`, given a normal state of knowledge.

    `value` and `standard` (> 0) in the unit of the limits; scalars or arrays; a limit may be infinite. Raises
    `ValueError` for a standard uncertainty not above zero (`nan` in an array) or limits the wrong way round.
    Source: JCGM 106:2012, 7.2 and 7.4.

    >>> round(conformance_probability(26.5, 0.4, upper=27.0), 4)
    0.8944
    """
    lower, upper, value = floats(lower, "lower"), floats(upper, "upper"), floats(value, "value")
    if not np.all(lower <= upper):
        raise ValueError(f"lower limit {lower} is above upper limit {upper}: swap them")
    standard = _above_zero(standard)
    probability = _between((lower - value) / standard, (upper - value) / standard)
    return probability if np.ndim(probability) else float(probability)


def _quantile(level):
    from scipy.special import ndtri

    allowed = keep(
        level, SMALLEST, 1 - 2**-53, name="level", unit="(ratio)", advice="0.95 is usual"
    )
    return -ndtri(1 - np.asarray(allowed)) if np.ndim(allowed) else float(ndtri(allowed))


def guard_band(standard, level):
    """Width to keep from a limit so that what just passes conforms with one-sided probability `level`.

    g = z(level) standard, in the unit of `standard` (> 0); negative for a level below 0.5. Scalars or arrays.
    Raises `ValueError` for a standard uncertainty not above zero or a level outside 0 to 1 (`nan` in an
    array). Source: JCGM 106:2012, 8.3.2 and 7.3.

    >>> round(guard_band(0.4, 0.95), 3)
    0.658
    """
    return _quantile(level) * _above_zero(standard)


def guarded_limit(limit, relative_standard, level):
    """Reading that shows the true value beyond `limit`, when the uncertainty grows with the reading.

    limit / (1 - z relative_standard), z for the one-sided probability `level`.
    `limit` > 0 in its own unit, `relative_standard` [1] > 0. Raises `ValueError` where z relative_standard
    reaches 1: no reading is then enough. Source: JCGM 106:2012, 8.3.3, example.

    >>> round(guarded_limit(100.0, 0.02, 0.999), 1)
    106.6
    """
    part = _quantile(scalar(level)) * _above_zero(scalar(relative_standard), "relative standard uncertainty")
    if part >= 1:
        raise ValueError(
            f"relative standard uncertainty {relative_standard:g} (ratio) must be below "
            f"{relative_standard / part:.3g} (ratio) at level {level:g}: no reading is enough, measure better"
        )
    return positive(limit, "limit", "(its unit)", "above 0") / (1 - part)


@dataclass(frozen=True)
class GlobalRisk:
    """Shares of all items: `consumer` (accepted, does not conform), `producer` (rejected, conforms),
    `conforming` and `accepted`.

    >>> GlobalRisk(0.01, 0.02, 0.95, 0.94).consumer
    0.01
    """

    consumer: float
    producer: float
    conforming: float
    accepted: float


@dataclass(frozen=True)
class _Normal:
    mean: float
    standard: float

    def pdf(self, x):
        return np.exp(-0.5 * ((x - self.mean) / self.standard) ** 2) / (self.standard * np.sqrt(2 * np.pi))

    def cdf(self, x):
        from scipy.special import ndtr

        return ndtr((np.asarray(x) - self.mean) / self.standard)

    def ppf(self, p):
        from scipy.special import ndtri

        return self.mean + self.standard * ndtri(p)

    def isf(self, p):
        from scipy.special import ndtri

        return self.mean - self.standard * ndtri(p)


def _pair(limits, name):
    low, high = floats(limits, name).tolist()
    if isnan(low) or isnan(high) or low >= high:
        raise ValueError(
            f"{name} limits ({low:g}, {high:g}) enclose nothing: give (lower, upper), inf for none"
        )
    return low, high


def _panels(prior, standard, tolerance, acceptance):
    """Edges between which prior and chance of acceptance are smooth: tails, limits, some sigma about them."""
    tails = np.array(_TAILS)
    edges = np.concatenate([prior.ppf(tails), [prior.ppf(0.5)], prior.isf(tails)])
    near = [limit + m * standard for limit in acceptance for m in (-9, -5, -2.5, -1, 0, 1, 2.5, 5, 9)]
    low, high = float(edges.min()), float(edges.max())
    inner = np.array([edge for edge in (*near, *tolerance) if low < edge < high])
    return np.unique(np.concatenate([edges[np.isfinite(edges)], inner]))


def global_risk(prior_mean, prior_standard, measurement_standard, tolerance, acceptance, prior=None):
    """Risks of accepting and rejecting by measurement, over all that comes along: `GlobalRisk`.

    Items have a true value from a normal prior (`prior_mean`, `prior_standard`), or from `prior`, a frozen
    distribution of scipy.stats with a density, which then counts instead. Each is measured with normal error
    of `measurement_standard` and accepted when the reading lies in `acceptance`; it conforms when the true
    value lies in `tolerance`. Both are pairs (lower, upper) in one unit; an infinite limit is none. For an
    alarm: "accepted" is silent, the consumer's risk is a missed alarm, the producer's a false one.
    Good to 1e-9 absolute. Raises `ValueError` for uncertainties not above zero, empty pairs, or a prior too
    rough to integrate. Source: JCGM 106:2012, 9.5, formulas (24) to (27) (numbers from memory).

    >>> risk = global_risk(1500.0, 0.12, 0.04, (1499.8, 1500.2), (1499.8, 1500.2))
    >>> round(risk.consumer, 4), round(risk.producer, 4)
    (0.0189, 0.0372)
    """
    standard = _above_zero(scalar(measurement_standard), "measurement standard uncertainty")
    tolerance, acceptance = _pair(tolerance, "tolerance"), _pair(acceptance, "acceptance")
    if prior is None:
        prior = _Normal(scalar(prior_mean), _above_zero(scalar(prior_standard), "prior standard uncertainty"))
    edges = _panels(prior, standard, tolerance, acceptance)
    half = np.diff(edges)[:, None] / 2
    true = edges[:-1, None] + half * (1 + _NODES)
    mass = prior.pdf(true) * half * _WEIGHTS
    if abs(float(mass.sum()) - 1) > 1e-7:
        raise ValueError(
            f"the density of the prior adds up to {mass.sum():.6g}, not 1: take one without spikes"
        )
    accepted = _between((acceptance[0] - true) / standard, (acceptance[1] - true) / standard)
    conforms = (true > tolerance[0]) & (true < tolerance[1])
    return GlobalRisk(
        float((mass * accepted)[~conforms].sum()),
        float((mass * (1 - accepted))[conforms].sum()),
        float(mass[conforms].sum()),
        float((mass * accepted).sum()),
    )
