"""Every boundary case of the alarm as a table, each row made by running it; and any rule of branches, audited."""

import operator
from dataclasses import dataclass
from itertools import pairwise
from math import nan

import numpy as np

from tempkit.alarm.rule import Alarm
from tempkit.alarm.validity import Rules
from tempkit.ranges import floats

_BENCH = {"low_c": 18.0, "high_c": 27.0, "deadband_c": 0.5}
_WIDE = Alarm(low_c=18.0, high_c=27.0, deadband_c=12.0)
_LATE = Alarm(**_BENCH, on_delay=2)
_SLOW = Alarm(**_BENCH, off_delay=2)
_PATIENT = Alarm(**_BENCH, invalid_delay=2)
_DAY_S = (0.0, 1.0, 43_201.0, 43_202.0)
_SIGNS = {-1: "low", 0: "-", 1: "high"}


@dataclass(frozen=True)
class Case:
    """One row: `what` is tried, the `alarm`, its `readings_c` [degC], and after each of them the `state` and the
    `invalid` call. `rules`, where there are any, judge the readings by their `times_s` [s] first.

    >>> Case("at the high limit", Alarm(high_c=27.0), (27.0,)).state
    (0,)
    """

    what: str
    alarm: Alarm
    readings_c: tuple
    times_s: tuple | None = None
    rules: Rules | None = None

    @property
    def _run(self):
        valid = None if self.rules is None else self.rules.reasons(self.readings_c, self.times_s) == 0
        return self.alarm.run(self.readings_c, self.times_s, valid)

    @property
    def state(self):
        """The state after each reading: -1, 0, +1."""
        return tuple(self._run.state.tolist())

    @property
    def invalid(self):
        """Whether the invalid call stands after each reading."""
        return tuple(self._run.invalid.tolist())

    @property
    def answers(self):
        """The states in words: "-" is normal, "?" not yet known; "!" where the invalid call stands.

        >>> Case("a reading without a number", Alarm(high_c=27.0), (28.0, float("nan"))).answers
        'high, high!'
        """
        run = self._run
        words = [_SIGNS[state] if known else "?" for state, known in zip(self.state, run.known, strict=True)]
        calls = zip(words, self.invalid, strict=True)
        return ", ".join(word + "!" * call for word, call in calls)


def cases():
    """All boundary cases, a tuple of `Case`.

    Limits are 18 and 27 degC and the deadband is 0.5 degC unless the row says otherwise.

    >>> print(cases()[0].what, "|", cases()[0].answers)
    equal to the high limit | -
    """
    bench = Alarm(**_BENCH)
    gap = Rules(stale_s=5.0)
    rows = (
        ("equal to the high limit", bench, (27.0,)),
        ("just above the high limit", bench, (27.001,)),
        ("equal to the low limit", bench, (18.0,)),
        ("just below the low limit", bench, (17.999,)),
        ("back to the edge of the high deadband", bench, (28.0, 26.5)),
        ("just past it", bench, (28.0, 26.499)),
        ("back to the edge of the low deadband", bench, (17.0, 18.5)),
        ("just past it", bench, (17.0, 18.501)),
        ("inside the deadband, not raised before", bench, (22.0, 26.8)),
        ("inside the deadband, raised before", bench, (28.0, 26.8)),
        ("no deadband: equal to the limit, raised", Alarm(18.0, 27.0), (28.0, 27.0)),
        ("beyond from the first sample on", bench, (28.0,)),
        ("from high to low in one sample", bench, (28.0, 17.0)),
        ("the same, on-delay 2", _LATE, (28.0, 28.0, 17.0, 17.0)),
        ("the same, off-delay 2", _SLOW, (28.0, 17.0)),
        ("on-delay 2: one sample is not enough", _LATE, (28.0, 26.9, 28.0, 28.0)),
        ("on-delay 2: equality ends the row", _LATE, (28.0, 27.0, 28.0)),
        ("off-delay 2: the edge ends the row", _SLOW, (28.0, 26.0, 26.5, 26.0, 26.0)),
        ("only a high limit, far below", Alarm(high_c=27.0), (-30.0,)),
        ("only a low limit, far above", Alarm(low_c=18.0), (90.0,)),
        ("deadband 12 (window 9): in the middle", _WIDE, (28.0, 22.0)),
        ("the same: at the other limit", _WIDE, (28.0, 18.0, 17.0, 22.0, 28.0)),
        ("not a number, normal before", bench, (22.0, nan, 22.0)),
        ("not a number, high before", bench, (28.0, nan, 28.0)),
        ("not a number at power-on", bench, (nan, 22.0)),
        ("on-delay 2: invalid ends the row", _LATE, (28.0, nan, 28.0, 28.0)),
        ("off-delay 2: invalid does not return it", _SLOW, (28.0, 20.0, nan, 20.0, 20.0)),
        ("invalid-delay 2: one is not enough", _PATIENT, (22.0, nan, 22.0, nan, nan)),
        ("infinite is invalid, not high", bench, (float("inf"),)),
        ("on-delay 2: 12 h gap, not looked at", _LATE, (22.0, 28.0, 28.0, 28.0), _DAY_S),
        ("the same, stale after 5 s", _LATE, (22.0, 28.0, 28.0, 28.0), _DAY_S, gap),
        ("the same time twice, stale after 5 s", bench, (28.0, 28.0), (0.0, 0.0), gap),
    )
    return tuple(Case(*row) for row in rows)


def table():
    """The boundary cases as lines of text: what is tried, the readings, the answers.

    >>> print(table().splitlines()[1])
    just above the high limit             | 27.001                | high
    """
    lines = ((case.what, ", ".join(f"{each:g}" for each in case.readings_c), case.answers) for case in cases())
    return "\n".join(f"{what:<39} | {readings:<21} | {answers}" for what, readings, answers in lines)


# A rule written as branches: where none of them speaks, and where two do

TESTS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge, "==": operator.eq, "!=": operator.ne}


@dataclass(frozen=True, init=False)
class Branch:
    """One `if` of a rule: what it `says`, and its conditions, each an operator and a limit [degC], all of which hold.

    No condition: it always speaks. Raises `ValueError` for an operator that is none of Python's six.

    >>> Branch("normal", (">", 18.0), ("<", 27.0)).speaks([18.0, 20.0]).tolist()
    [False, True]
    """

    says: str
    conditions: tuple

    def __init__(self, says, *conditions):
        for test, _ in conditions:
            if test not in TESTS:
                raise ValueError(f"operator {test!r} is not one of {' '.join(TESTS)}: write it as Python does")
        object.__setattr__(self, "says", says)
        object.__setattr__(self, "conditions", conditions)

    def speaks(self, readings_c):
        """Where this branch is taken; what is no number takes none that has a condition with < or >."""
        readings = floats(readings_c, "readings_c")
        taken = np.ones(readings.shape, bool)
        for test, limit in self.conditions:
            taken &= TESTS[test](readings, limit)
        return taken


@dataclass(frozen=True, eq=False)
class Audit:
    """What a rule does with each of `readings_c` [degC]: `count`, how many branches speak.

    >>> found = audit([Branch("buzzer", (">", 27.0)), Branch("lamp", ("<", 18.0))], [17.0, 27.0, 28.0])
    >>> found.silent.tolist(), found.double.tolist(), found.silent_at.tolist()
    ([27.0], [], [1])
    """

    readings_c: np.ndarray
    count: np.ndarray

    @property
    def silent_at(self):
        """Indices of the readings for which no branch speaks; for the readings of all codes these are the codes."""
        return np.flatnonzero(self.count == 0)

    @property
    def double_at(self):
        """Indices of the readings for which two branches or more speak."""
        return np.flatnonzero(self.count > 1)

    @property
    def silent(self):
        """The readings for which no branch speaks [degC]."""
        return self.readings_c[self.silent_at]

    @property
    def double(self):
        """The readings for which two branches or more speak [degC]."""
        return self.readings_c[self.double_at]


def audit(branches, readings_c):
    """Ask every branch about every reading [degC], one row of any length: `Audit`.

    Branches are taken as separate `if`s, as a first program has them; where they are `elif`s the first one wins and
    two that speak do no harm.
    """
    readings = np.atleast_1d(floats(readings_c, "readings_c"))
    return Audit(readings, np.sum([branch.speaks(readings) for branch in branches], axis=0, dtype=int))


@dataclass(frozen=True)
class Place:
    """A part of the number line on which a rule does one thing: `where`, and what the branches there say.

    >>> Place("exactly 27", ()).says
    ()
    """

    where: str
    says: tuple


def number_line(branches):
    """What a rule does everywhere: below, at, between and above all its limits, and for no number; a tuple of `Place`.

    A rule of these operators cannot change anywhere else, so this is the whole answer, whatever the readings.

    >>> rule = [Branch("lamp", ("<", 18.0)), Branch("normal", (">", 18.0), ("<", 27.0)), Branch("buzzer", (">", 27.0))]
    >>> [place.where for place in number_line(rule) if not place.says]
    ['exactly 18', 'exactly 27', 'not a number']
    """
    limits = sorted({limit for branch in branches for _, limit in branch.conditions})
    if not limits:
        return (Place("everywhere", tuple(branch.says for branch in branches)),)
    places = [(f"below {limits[0]:g}", -np.inf)]
    for low, high in pairwise(limits):
        places += [(f"exactly {low:g}", low), (f"between {low:g} and {high:g}", (low + high) / 2)]
    places += [(f"exactly {limits[-1]:g}", limits[-1]), (f"above {limits[-1]:g}", np.inf), ("not a number", np.nan)]
    return tuple(Place(where, _said(branches, value)) for where, value in places)


def _said(branches, value):
    return tuple(branch.says for branch in branches if branch.speaks(value))
