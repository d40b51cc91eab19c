"""The audit of a rule written as branches: for which readings does none of them speak, for which do two?"""

import operator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tempkit.ranges import floats

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
