"""Uncertainty budget: first order (JCGM 100), worst case, and Monte Carlo (JCGM 101) as a check on it."""

from dataclasses import dataclass
from math import inf, isfinite, isnan, sqrt

import numpy as np

from tempkit.ranges import floats, size
from tempkit.uncertainty.inputs import correlation_matrix, sensitivities
from tempkit.uncertainty.montecarlo import Simulated, adaptive_monte_carlo, numerical_tolerance


def coverage_factor(dof, level=0.95):
    """Factor k such that +-k standard uncertainties hold the two-sided `level`: Student's t with `dof`.

    `dof` is above 0, whole or not, infinite for the normal distribution; `level` lies between 0 and 1.
    Raises `ValueError` outside. Source: JCGM 100:2008, G.3 and Table G.2.

    >>> round(coverage_factor(9, 0.95), 2)
    2.26
    """
    from scipy.special import ndtri, stdtrit

    if not dof > 0:
        raise ValueError(
            f"{dof:g} degrees of freedom is outside the range above 0: take more readings; where it is nan, "
            "inputs with few degrees of freedom are correlated and there is no formula, use monte_carlo"
        )
    if not 0 < level < 1:
        raise ValueError(f"level {level:g} (ratio) is outside 0 to 1 (ratio), ends excluded: 0.95 is usual")
    return float(-ndtri((1 - level) / 2) if dof == inf else -stdtrit(dof, (1 - level) / 2))


def welch_satterthwaite(components, dofs):
    """Effective degrees of freedom of a sum of independent components of uncertainty (one unit for all).

    `components` are the u_i(y), sensitivity times standard uncertainty; `dofs` their degrees of freedom.
    Returns a float, infinite where no component with finite dof contributes. Raises `ValueError` on unequal
    lengths or a dof not above 0. Source: JCGM 100:2008, G.4.1, formula (G.2b).

    >>> round(welch_satterthwaite([5.8, 3.9, 6.7], [24, 5, 8]), 1)
    25.4
    """
    parts, dofs = np.abs(floats(components, "components")), floats(dofs, "dofs")
    if parts.shape != dofs.shape or parts.ndim != 1:
        raise ValueError(f"{parts.size} components and {dofs.size} degrees of freedom: give one dof for each")
    if not (dofs > 0).all():
        wrong = float(dofs[~(dofs > 0)][0])
        raise ValueError(f"{wrong:g} degrees of freedom is outside the range above 0: inf says known exactly")
    largest = float(parts.max(initial=0.0))
    if largest == 0:
        return inf
    scaled = parts / largest
    below = float((scaled**4 / dofs).sum())
    return float((scaled**2).sum() ** 2 / below) if below else inf


@dataclass(frozen=True)
class Contribution:
    """One line of a budget: an input and its part in the result.

    `standard` is |sensitivity| times `input_standard`, in the unit of the result; `share` is its part of the
    variance: shares add up to 1, and that of a correlated input can be negative.

    >>> Contribution("offset", "V", 0.0, 0.001, inf, 100.0, 0.1, 1.0).standard
    0.1
    """

    name: str
    unit: str
    value: float
    input_standard: float
    dof: float
    sensitivity: float
    standard: float
    share: float


@dataclass(frozen=True)
class Propagated:
    """First-order result: `value`, `standard`, effective `dof`, and one of `contributions` an input.

    `dof` is `nan` where correlated inputs have finite degrees of freedom: there is no formula for it.

    >>> round(Propagated(20.0, 0.5, inf, ()).expanded(0.95), 2)
    0.98
    """

    value: float
    standard: float
    dof: float
    contributions: tuple

    def coverage_factor(self, level=0.95):
        """k for the two-sided `level` with the effective degrees of freedom, not rounded.

        >>> round(Propagated(20.0, 0.5, 10.0, ()).coverage_factor(0.95), 2)
        2.23
        """
        return coverage_factor(self.dof, level)

    def expanded(self, level=0.95):
        """Expanded uncertainty U = k u, in the unit of the value (JCGM 100:2008, 6.2 and G.6).

        >>> round(Propagated(20.0, 0.5, 10.0, ()).expanded(0.95), 2)
        1.11
        """
        return self.coverage_factor(level) * self.standard

    def interval(self, level=0.95):
        """(value - U, value + U).

        >>> Propagated(20.0, 0.0, inf, ()).interval()
        (20.0, 20.0)
        """
        half = self.expanded(level)
        return self.value - half, self.value + half


def _effective_dof(parts, inputs, matrix):
    dofs = [given.dof for given in inputs]
    if matrix is not None:
        linked = (matrix != np.eye(len(inputs))).any(axis=1)
        if any(link and part and isfinite(dof) for link, part, dof in zip(linked, parts, dofs, strict=True)):
            return float("nan")
    total = sum(part**2 for part in parts) if matrix is None else float(parts @ matrix @ parts)
    own = welch_satterthwaite(parts, dofs) if parts.size else inf
    return own * (total / sum(part**2 for part in parts)) ** 2 if isfinite(own) else own


def propagate(function, inputs, correlations=None):
    """First-order uncertainty of `function(*values)`: the law of propagation.

    u^2 = sum_i sum_j c_i c_j r_ij u_i u_j. `function` is called with plain numbers. Result: `.value`,
    `.standard`, `.dof` (Welch-Satterthwaite), `.contributions`, `.coverage_factor(level)`,
    `.expanded(level)`.
    `correlations`: matrix (n, n) or `None` for independent inputs. Raises `ValueError` where the function
    does, or on a matrix that cannot be one. Source: JCGM 100:2008, 5.1.2 and 5.2.2, G.4.

    >>> from tempkit.uncertainty.inputs import Input
    >>> result = propagate(lambda a, b: a + b, [Input(20.0, standard=0.3), Input(0.0, standard=0.4)])
    >>> result.value, round(result.standard, 6)
    (20.0, 0.5)
    """
    inputs, matrix = tuple(inputs), correlation_matrix(correlations, inputs)
    value = float(function(*(float(given.value) for given in inputs)))
    if isnan(value):
        raise ValueError("the function is not a number at the values of the inputs: keep them in its range")
    slopes = sensitivities(function, inputs)
    parts = np.array([c * given.standard for c, given in zip(slopes, inputs, strict=True)])
    variances = parts * (parts if matrix is None else matrix @ parts)
    variance = max(float(variances.sum()), 0.0)
    shares = variances / variance if variance else variances
    lines = tuple(map(_line, range(len(inputs)), inputs, slopes, parts.tolist(), shares.tolist()))
    return Propagated(value, sqrt(variance), _effective_dof(parts, inputs, matrix), lines)


def _line(i, given, slope, part, share):
    name = given.name or f"x{i + 1}"
    value = float(given.value)
    return Contribution(name, given.unit, value, given.standard, given.dof, slope, abs(part), share)


@dataclass(frozen=True)
class WorstCase:
    """Every input at its worst at once: `value` +- `half_width`; `parts` are |sensitivity| times each limit.

    >>> WorstCase(20.0, 2.0, (1.5, 0.5), 3.0).half_width
    2.0
    """

    value: float
    half_width: float
    parts: tuple
    k: float


def worst_case(function, inputs, k=3.0):
    """Sum of |sensitivity| times limit over all inputs: what no combination can exceed, to first order.

    The limit of a bounded shape is its half-width (curvilinear: plus its inexactness). A normal or t input
    has no limit: `k` standard uncertainties stand for it, 3 unless said otherwise (99.7 % of a normal), and
    the result repeats `k`. Raises `ValueError` for a negative k. Common practice, no source.

    >>> from tempkit.uncertainty.inputs import Input
    >>> inputs = [Input(20.0, half_width=2.0, shape="rectangular"), Input(0.0, standard=0.1)]
    >>> round(worst_case(lambda a, b: a + b, inputs).half_width, 6)
    2.3
    """
    size(k, "k", "(ratio)", "3 is usual")
    slopes = sensitivities(function, inputs)
    parts = tuple(abs(c) * _limit(given, k) for c, given in zip(slopes, inputs, strict=True))
    return WorstCase(float(function(*(float(given.value) for given in inputs))), sum(parts), parts, k)


def _limit(given, k):
    if given.half_width is None:
        return k * given.standard
    return given.half_width + (given.beta if given.shape == "curvilinear" else 0.0)


@dataclass(frozen=True)
class Comparison:
    """Do the ends of the first-order interval agree with those of Monte Carlo, for the digits claimed?

    `good` says so: `d_low` and `d_high`, the distances of the ends, are both within `tolerance`.
    `stable` is whether the Monte Carlo run was fine enough to judge (`None`: not looked at).

    >>> Comparison(True, 0.05, 0.01, 0.02, None, None, None).good
    True
    """

    good: bool
    tolerance: float
    d_low: float
    d_high: float
    first_order: Propagated
    simulated: Simulated
    stable: bool | None


def compare(first_order, simulated, digits=2, level=0.95, stable=None):
    """Hold a first-order result against a Monte Carlo result: is it good enough for `digits` digits of u?

    Source: JCGM 101:2008, 8.1, formulas (20) and (21) from memory.

    >>> from types import SimpleNamespace
    >>> compare(Propagated(0.0, 2.0, inf, ()), SimpleNamespace(interval=lambda level: (-3.88, 3.88))).good
    True
    """
    tolerance = numerical_tolerance(first_order.standard, digits)
    low, high = simulated.interval(level)
    ours_low, ours_high = first_order.interval(level)
    d_low, d_high = abs(ours_low - low), abs(ours_high - high)
    good = d_low <= tolerance and d_high <= tolerance
    return Comparison(good, tolerance, d_low, d_high, first_order, simulated, stable)


def validate(function, inputs, digits=2, level=0.95, seed=0, correlations=None, most_trials=10**7):
    """Run both methods and say whether first order is good enough for `digits` digits: a `Comparison`.

    Monte Carlo goes on until it is stable within a fifth of the tolerance, or `most_trials` are spent:
    look at `.stable`. Source: JCGM 101:2008, clause 8.

    >>> from tempkit.uncertainty.inputs import Input
    >>> inputs = [Input(0.0, standard=0.3), Input(0.0, standard=0.4)]
    >>> validate(lambda a, b: a + b, inputs, digits=1, seed=1).good
    True
    """
    first_order = propagate(function, inputs, correlations)
    finer = {"finer": 5.0, "most_trials": most_trials}
    run = adaptive_monte_carlo(function, inputs, digits, level, seed, correlations, **finer)
    return compare(first_order, run.simulated, digits, level, run.stable)
