"""Propagation of distributions by a Monte Carlo method (JCGM 101), in memory that stays the same."""

from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor, sqrt

import numpy as np

from tempkit.ranges import floats, keep, whole_number
from tempkit.uncertainty.inputs import correlation_matrix, draw

KEPT = 1_000_000
# Trials drawn at a time: in the cache with all inputs. Part of what a seed means, so it stays as it is.
BLOCK = 8_192
# Beyond KEPT trials: quantiles at these probabilities, averaged over runs of KEPT. At most 1e-4 apart.
_PROBABILITIES = 0.5 - 0.5 * np.cos(np.linspace(0.0, np.pi, 2**14 + 1))


@dataclass(frozen=True, eq=False)
class Simulated:
    """What a Monte Carlo run shows: `value` (mean) and `standard` of `trials` less the `invalid` ones.

    Up to 10**6 trials `values` holds the valid ones. Beyond, it is `None` and `quantiles` holds the quantile
    function as averaged over runs of 10**6, at probabilities no more than 1e-4 apart.

    >>> Simulated(0.0, 1.0, 3, 0, np.array([-1.0, 0.0, 1.0]), None).trials
    3
    """

    value: float
    standard: float
    trials: int
    invalid: int
    values: np.ndarray | None
    quantiles: np.ndarray | None

    @cached_property
    def _ordered(self):
        return np.sort(self.values)

    def interval(self, level=0.95, shortest=False):
        """Coverage interval (low, high): two-sided `level`, equal tails, or the shortest such interval.

        Raises `ValueError` for a level that leaves less than one trial in a tail.
        Source: JCGM 101:2008, 7.7 (also 5.3.3 and 5.3.4).

        >>> Simulated(0.0, 1.0, 101, 0, np.arange(101.0), None).interval(0.9)
        (4.0, 95.0)
        """
        count = self.trials - self.invalid
        inside = floor(level * count + 0.5) if 0 < level < 1 else count
        if not 1 <= inside < count:
            raise ValueError(
                f"level {level:g} (ratio) is outside {1 / count:.3g} to {1 - 1 / count:.9g} (ratio), "
                f"which is what {count} trials can show: take a lower level or more trials"
            )
        if self.values is None:
            return _table_interval(self.quantiles, level, shortest)
        return _ordered_interval(self._ordered, inside, shortest)


def _ordered_interval(ordered, inside, shortest):
    count = ordered.size
    if shortest:
        first = int(np.argmin(ordered[inside:] - ordered[:-inside]))
    else:
        first = max(floor((count - inside + 1) / 2), 1) - 1
    return float(ordered[first]), float(ordered[first + inside])


def _table_interval(quantiles, level, shortest):
    starts = np.array([(1 - level) / 2])
    if shortest:
        starts = (1 - level) * _PROBABILITIES
    low = np.interp(starts, _PROBABILITIES, quantiles)
    high = np.interp(starts + level, _PROBABILITIES, quantiles)
    best = int(np.argmin(high - low))
    return float(low[best]), float(high[best])


class _Pool:
    """Mean, spread and quantiles of a stream of trials, in the memory of `KEPT` of them."""

    def __init__(self, capacity=KEPT):
        self.buffer = np.empty(min(capacity, KEPT))
        self.filled = self.count = self.invalid = self.folded = 0
        self.mean = self.squares = 0.0
        self.quantiles = np.zeros(_PROBABILITIES.size)

    def add(self, values):
        mean = float(values.mean())
        if not np.isfinite(mean):
            valid = values[np.isfinite(values)]
            self.invalid += values.size - valid.size
            if not valid.size:
                return
            values, mean = valid, float(valid.mean())
        self._moments(values, mean)
        while values.size:
            if self.filled == KEPT:
                self._fold()
            part = values[: self.buffer.size - self.filled]
            self.buffer[self.filled : self.filled + part.size] = part
            self.filled += part.size
            values = values[part.size :]

    def _moments(self, values, mean):
        apart = np.square(
            values - mean
        )  # not a dot product: that starts threads, which cost more than it saves
        total, shift = self.count + values.size, mean - self.mean
        self.squares += float(apart.sum()) + shift**2 * self.count * values.size / total
        self.mean += shift * values.size / total
        self.count = total

    def _fold(self):
        ordered = np.sort(self.buffer[: self.filled])
        table = np.interp(_PROBABILITIES * (self.filled - 1), np.arange(self.filled), ordered)
        self.folded += self.filled
        self.quantiles += (table - self.quantiles) * (self.filled / self.folded)
        self.filled = 0

    @property
    def standard(self):
        return sqrt(self.squares / (self.count - 1))

    def result(self):
        if self.count < 2:
            raise ValueError(
                f"{self.count} of {self.count + self.invalid} trials gave a finite result, 2 are the fewest: "
                "the inputs lie outside the range of the function"
            )
        values = self.buffer[: self.filled]
        if self.folded:
            self._fold()
            values = None
        trials = self.count + self.invalid
        table = self.quantiles if self.folded else None
        return Simulated(self.mean, self.standard, trials, self.invalid, values, table)


def _mixing(inputs, matrix):
    """Indices of the correlated inputs, and the matrix that makes standard normal trials correlate so."""
    linked = np.flatnonzero((matrix != np.eye(len(inputs))).any(axis=1))
    for i in linked:
        if inputs[i].shape != "normal":
            raise ValueError(
                f"input {i + 1} is {inputs[i].shape} and correlated: only normal inputs can be "
                "(JCGM 101:2008, 6.4.8); give the two a common input instead"
            )
    roots, vectors = np.linalg.eigh(matrix[np.ix_(linked, linked)])
    return linked, vectors * np.sqrt(np.clip(roots, 0.0, None))


def _sampler(inputs, correlations):
    """A function (rng, count) -> list of one array (count,) for each input."""
    matrix = correlation_matrix(correlations, inputs)
    if matrix is None or (matrix == np.eye(len(inputs))).all():
        return lambda rng, count: [draw(given, rng, count) for given in inputs]
    linked, mixing = _mixing(inputs, matrix)
    joint = dict(zip(linked.tolist(), mixing, strict=True))

    def sample(rng, count):
        normal = rng.standard_normal((len(joint), count))
        return [
            given.value + given.standard * np.einsum("k,kn->n", joint[i], normal)
            if i in joint
            else draw(given, rng, count)
            for i, given in enumerate(inputs)
        ]

    return sample


def _evaluate(function, arrays, count):
    try:
        result = floats(function(*arrays), "the function's result")
    except TypeError as error:
        error.add_note("Monte Carlo calls the function with arrays: use numpy's functions, not those of math")
        raise
    if result.shape not in ((), (count,)):
        raise ValueError(
            f"the function gave shape {result.shape} for {count} trials: one number each is needed"
        )
    return np.broadcast_to(result, (count,))


def monte_carlo(function, inputs, trials=KEPT, seed=0, correlations=None):
    """Spread of `function(*values)` when every `Input` is drawn from its own distribution.

    `function` is called with one array for each input, in blocks, and returns one number for each trial.
    Result: `.value` (mean), `.standard`, `.interval(level, shortest=False)`, `.trials`, and `.invalid`, the
    count of trials that gave no finite number (left out of the rest: look at it). `correlations` is a matrix
    (n, n); only normal inputs can be correlated. Memory stays the same from 10**6 to 10**8 trials: beyond
    10**6 an interval comes from quantiles averaged over runs of 10**6, read between probabilities no more
    than 1e-4 apart. Same seed, same result. Raises `ValueError` on fewer than 2 trials.
    Source: JCGM 101:2008, clause 7.

    >>> from tempkit.uncertainty.inputs import Input
    >>> inputs = [Input(20.0, standard=0.3), Input(0.0, standard=0.4)]
    >>> result = monte_carlo(lambda a, b: a + b, inputs, trials=100_000, seed=1)
    >>> round(result.value, 1), round(result.standard, 2)
    (20.0, 0.5)
    """
    trials = whole_number(trials, 2, name="trials", unit="trials", advice="10**6 is usual")
    sample, rng, pool = _sampler(inputs, correlations), np.random.default_rng(seed), _Pool(trials)
    for start in range(0, trials, BLOCK):
        count = min(BLOCK, trials - start)
        pool.add(_evaluate(function, sample(rng, count), count))
    return pool.result()


def numerical_tolerance(standard, digits=2):
    """Half a unit in the last of the `digits` significant digits of a standard uncertainty, in its unit.

    Raises `ValueError` for an uncertainty that is not above zero. Source: JCGM 101:2008, 7.9.2.

    >>> numerical_tolerance(0.35, digits=2)
    0.005
    """
    if not 0 < standard < np.inf:
        raise ValueError(f"standard uncertainty {standard:g} has no digits: it must be above 0 and finite")
    digits = whole_number(digits, 1, name="digits", unit="digits", advice="2 is usual")
    power = int(f"{standard:.{digits - 1}e}".split("e")[1])
    return 0.5 * 10.0 ** (power - digits + 1)


@dataclass(frozen=True, eq=False)
class Adaptive:
    """A Monte Carlo run that stopped by itself: the `simulated` whole, the `tolerance` asked for, and whether
    value, standard and both ends of the interval are `stable` within it.

    >>> Adaptive(None, 0.05, True).stable
    True
    """

    simulated: Simulated
    tolerance: float
    stable: bool


def adaptive_monte_carlo(
    function, inputs, digits=2, level=0.95, seed=0, correlations=None, *, finer=1.0, most_trials=10**7
):
    """Monte Carlo that goes on until `digits` digits of the standard uncertainty stand still.

    Runs of max(10**4, 100 / (1 - level)) trials are added until twice the standard deviation of the mean of
    each of value, standard and both ends of the equal-tailed interval is within the numerical tolerance
    divided by `finer`. Stops unfinished, and says so in `.stable`, at `most_trials`.
    Source: JCGM 101:2008, 7.9.4; `finer=5` for checking the first-order method, 8.2.

    >>> from tempkit.uncertainty.inputs import Input
    >>> adaptive_monte_carlo(lambda a: 2 * a, [Input(1.0, standard=0.1)], digits=1, seed=1).stable
    True
    """
    keep(level, 1e-6, 1 - 1e-6, name="level", unit="(ratio)", advice="0.95 is usual")
    run = max(10_000, ceil(100 / (1 - level)))
    sample, rng, pool = _sampler(inputs, correlations), np.random.default_rng(seed), _Pool()
    first, total, squares, runs = None, 0.0, 0.0, 0
    while True:
        part = _Pool(run)
        part.add(_evaluate(function, sample(rng, run), run))
        one = part.result()
        pool.add(one.values)
        pool.invalid += one.invalid
        figures = np.array([one.value, one.standard, *one.interval(level)])
        first = figures if first is None else first
        total, squares, runs = total + (figures - first), squares + (figures - first) ** 2, runs + 1
        if runs == 1:
            continue
        spread = np.sqrt(np.clip(squares - total**2 / runs, 0.0, None) / (runs * (runs - 1)))
        tolerance = numerical_tolerance(pool.standard, digits) / finer
        stable = bool((2 * spread <= tolerance).all())
        if stable or (runs + 1) * run > most_trials:
            return Adaptive(pool.result(), tolerance, stable)
