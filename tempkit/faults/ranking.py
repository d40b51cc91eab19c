"""From a log to its likely causes: its signs against those of many simulated benches with each fault.

The likelihood of a fault is the mean, over its simulated benches, of how well the signs agree, each sign with a
normal doubt (`tempkit.faults.SIGNS`). All causes are taken as equally common beforehand, and beside them stands
"something else", which may give any signs at all. So the scores are shares of belief, not frequencies of a workshop.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import exp, inf, log, pi, sqrt

import numpy as np

from tempkit.board import loop_period_s
from tempkit.chain import Design, Noise
from tempkit.faults.cases import Fault, HandTest, heard_lines, link, record
from tempkit.faults.evidence import DOUBT, NEEDS_CODE, REACH, printed, read_lines, signs, vector
from tempkit.faults.kinds import FAULTS, possible

TRIALS, SEED = 60, 11
BAUD_LINES = 12
MISSING = -8.0  # log likelihood of a sign that one log has and the other lacks
QUARTER = 0.3186  # half-width, in standard deviations, of the middle quarter of a normal
WIDER = 0.5  # a fault that varies from bench to bench is known the less well, by so much of its spread
ALIKE = 0.2
ELSE = Fault("else", "something else", look="None of the faults known here gives such a log: look with fresh eyes.")


@lru_cache(maxsize=16)
def signatures(design, test, trials=TRIALS, seed=SEED):
    """Signs of `trials` simulated benches with each possible fault: a dict of key to an array (trials, signs).

    Every fault gets the same benches, so that faults without effect on the log tie exactly.
    """
    return {each.key: _signature(each, design, test, trials, seed) for each in possible(design)}


def _signature(fault, design, test, trials, seed):
    rng = np.random.default_rng(seed)
    return np.array([vector(signs(_heard(fault.case(design, rng), test), design, test)) for _ in range(trials)])


def _heard(case, test):
    """A simulated log as read; written out only where the line garbles it."""
    if case.heard_baud != link(case.design).baud:
        return read_lines(heard_lines(case, test, most=BAUD_LINES))
    return printed(record(case, test), (case.design.noise or Noise()).samples)


def _doubts(benches):
    """Doubt of each sign for a fault: the sign's own, and part of how the sign varies from bench to bench."""
    return np.hypot(DOUBT, WIDER * np.array([_local_spread(column[~np.isnan(column)]) for column in benches.T]))


def _local_spread(values):
    """Standard deviation of a normal that is as dense as the densest quarter of some values; 0 for fewer than four.

    A fault may come in kinds (another constant, another offset): the spread of one kind counts, not that between them.
    """
    if values.size < 4:
        return 0.0
    ordered, quarter = np.sort(values), -(-values.size // 4)
    return float((ordered[quarter - 1 :] - ordered[: values.size - quarter + 1]).min() / (2 * QUARTER))


def _log_densities(seen, benches, used, doubts):
    """Log density of the signs `seen` around each simulated bench, over the signs `used`."""
    off = (benches - seen)[:, used] / doubts[used]
    each = -0.5 * off**2 - np.log(doubts[used] * sqrt(2 * pi))
    missing, absent = np.isnan(benches[:, used]), np.isnan(seen[used])
    each = np.where(missing != absent, MISSING, each)
    return np.where(missing & absent, 0.0, each).sum(axis=1)


def _mean_log(densities):
    top = densities.max()
    return float(top + np.log(np.exp(densities - top).mean()))


@dataclass(frozen=True)
class Cause:
    """A cause and its score, a share of belief from 0 to 1."""

    fault: Fault
    score: float


@dataclass(frozen=True)
class Ranking:
    """The causes of a log, the likeliest first; ties stand in the order of `tempkit.faults.FAULTS`.

    `signs` are those of the log; `alike` are the faults that cannot be told from the first by such a log.
    """

    causes: tuple
    signs: dict
    alike: tuple
    design: Design
    test: HandTest

    @property
    def best(self):
        """The likeliest cause."""
        return self.causes[0]

    @property
    def healthy(self):
        """True where the likeliest is that nothing is wrong."""
        return self.best.fault.key == "healthy"

    def score(self, key):
        """The score of one cause. Raises `ValueError` where it was not ranked."""
        for cause in self.causes:
            if cause.fault.key == key:
                return cause.score
        raise ValueError(f"cause {key!r} is not one of {', '.join(each.fault.key for each in self.causes)}")


def rank(lines, design, test=None):
    """Lines of a log of a `HandTest`, as bytes -> `Ranking`. Lines may lack the code, or carry bare readings only.

    Raises `ValueError` where there are no lines at all.

    >>> from tempkit.chain import scenario
    >>> from tempkit.faults.kinds import fault
    >>> bench = Design("bench", scenario())
    >>> rank(heard_lines(fault("no supply").case(bench)), bench).best.fault.name
    'supply lead of the sensor open'
    """
    if not lines:
        raise ValueError("the log has 0 lines and must have 1 or more: record one before asking for its cause")
    test = test or HandTest()
    seen_signs = signs(read_lines(lines, loop_period_s(design)), design, test)
    seen = vector(seen_signs)
    used = _used(seen)
    known = signatures(design, test)
    levels = {key: _mean_log(_log_densities(seen, benches, used, _doubts(benches))) for key, benches in known.items()}
    there = used & ~np.isnan(seen)
    levels["else"] = float(-np.log(REACH[there]).sum()) + log(0.5) * int((used & ~there).sum())
    causes = _scored(levels)
    likes = alike_keys(design, test, tuple(used)).get(causes[0].fault.key, ())
    alike = tuple(each for each in possible(design) if each.key in likes)
    return Ranking(causes, seen_signs, alike, design, test)


def _used(seen):
    """Signs that count: where a readable log has no codes, only those that need none."""
    no_code = np.isnan(seen[NEEDS_CODE]).all() and not np.isnan(seen[~NEEDS_CODE][1])
    return ~NEEDS_CODE if no_code else np.ones(seen.size, dtype=bool)


def _scored(levels):
    top = max(levels.values())
    weights = {key: exp(level - top) for key, level in levels.items()}
    total, faults = sum(weights.values()), {each.key: each for each in (*FAULTS, ELSE)}
    causes = [Cause(faults[key], weight / total) for key, weight in weights.items()]
    return tuple(sorted(causes, key=lambda cause: -cause.score))


# Which faults no log can tell apart


def confusion(design, test=None, used=None):
    """How often a fault's log looks more like another's, for each pair: a dict of (key, key) to a share, 0 to 1.

    The share of belief that the second gets, of the two alone, in the mean over logs of the first; each bench is
    left out of its own signature. One half: not to be told apart at all.

    >>> from tempkit.chain import Outputs, scenario
    >>> mixed = confusion(Design("bench", scenario(), outputs=Outputs(0.006)))
    >>> round(mixed["healthy", "lamp"], 2), round(mixed["healthy", "no supply"], 2)
    (0.5, 0.0)
    """
    used = tuple([True] * DOUBT.size) if used is None else tuple(bool(each) for each in used)
    return _confusion(design, test or HandTest(), used)


@lru_cache(maxsize=16)
def _confusion(design, test, used):
    known, mask = signatures(design, test), np.array(used)
    levels = {(a, b): _levels(known[a], known[b], mask) for a in known for b in known}
    shares = {}
    for a, b in levels:
        if a != b:
            shares[a, b] = float(np.mean(1 / (1 + np.exp(np.clip(levels[a, a] - levels[a, b], -500, 500)))))
    return shares


def _levels(logs, benches, mask):
    """Mean log density of each log among the benches of a fault, the bench of the same number left out."""
    doubts = _doubts(benches)
    found = np.array([_log_densities(each, benches, mask, doubts) for each in logs])
    np.fill_diagonal(found, -inf)
    top = found.max(axis=1, keepdims=True)
    return top[:, 0] + np.log(np.exp(found - top).sum(axis=1) / (found.shape[1] - 1))


def alike_keys(design, test=None, used=None):
    """Faults that a log of this kind cannot tell apart: a dict of key to the keys of its likes, itself left out.

    Two are alike where, of the two alone, the wrong one gets a fifth of the belief or more.

    >>> from tempkit.chain import Outputs, scenario
    >>> alike_keys(Design("bench", scenario(), outputs=Outputs(0.006)))["lamp"]
    ('healthy',)
    """
    shares = confusion(design, test, used)
    keys = [each.key for each in possible(design)]
    return {a: tuple(b for b in keys if b != a and max(shares[a, b], shares[b, a]) >= ALIKE) for a in keys}
