"""How far the quantities of a sensor or circuit are off their stated values: a mapping from key to number.

Sensors and circuits know their own keys (`doubts`), and take such a mapping, `off`, where they compute what is really
there. What is not named is exact. Tolerances of resistors, gains and currents count in percent, so that the error
budget can show them as they are written in a parts list.
"""

from types import MappingProxyType
from typing import NamedTuple

from tempkit.ranges import scalar

EXACT = MappingProxyType({})


class Doubt(NamedTuple):
    """What may be off in a part by +- `half_width`, in `unit`; `of` the field that states it.

    `name` in words: some 13 letters fit beside a bar in the back row.
    """

    half_width: float
    unit: str
    name: str
    of: str


class Asked(dict):
    """Deviations of nothing that note in `seen` which of them a formula asks for."""

    def __init__(self, keys):
        super().__init__(dict.fromkeys(keys, 0.0))
        self.seen = set()

    def __contains__(self, key):
        self.seen.add(key)
        return super().__contains__(key)

    def get(self, key, default=None):
        """The same as of any mapping; the key counts as asked for."""
        self.seen.add(key)
        return super().get(key, default)


def factor(off, key):
    """1 + the deviation in percent of that key; 1.0 where it is not named.

    >>> factor({"fixed": 2.0}, "fixed"), factor(EXACT, "fixed")
    (1.02, 1.0)
    """
    return 1.0 + 0.01 * off[key] if key in off else 1.0


def check_known(off, *doubts):
    """Raise `ValueError` for a deviation whose key is in none of the doubts: it would be left out without a word.

    >>> check_known({"fixed": 1.0}, {"fixed": (1.0, "%")})
    """
    if unknown := sorted(set(off).difference(*doubts)):
        known = ", ".join(sorted(set().union(*doubts))) or "nothing"
        raise ValueError(f"deviation {unknown[0]!r} is none that this circuit has: what may be off in it is {known}")


def percent(thing, of, name):
    """The `Doubt` of a field that is a relative tolerance, in percent.

    >>> from types import SimpleNamespace
    >>> percent(SimpleNamespace(gain_tolerance=0.01), "gain_tolerance", "amplifier gain")
    Doubt(half_width=1.0, unit='%', name='amplifier gain', of='gain_tolerance')
    """
    return Doubt(100 * getattr(thing, of), "%", name, of)


def check_tolerance(thing, *names):
    """Raise `ValueError` unless each named field is relative, from 0 to below 1.

    >>> from types import SimpleNamespace
    >>> check_tolerance(SimpleNamespace(gain_tolerance=0.01), "gain_tolerance")
    """
    for name in names:
        value = getattr(thing, name)
        if not 0 <= scalar(value, name) < 1:
            raise ValueError(f"{name} {value:g} is outside 0 to 1: it is relative, 1 % is 0.01")


def check_above(thing, low, **names):
    """Raise `ValueError` unless each named field is a finite number above `low`; its unit follows the name.

    >>> from types import SimpleNamespace
    >>> check_above(SimpleNamespace(gain=2.0), 0, gain="(ratio)")
    """
    for name, unit in names.items():
        value = getattr(thing, name)
        if not low < scalar(value, name) < float("inf"):
            raise ValueError(f"{name} {value:g} {unit} must be above {low:g} {unit}, and finite: correct it")


def check_from(thing, low, **names):
    """Raise `ValueError` unless each named field is a finite number of at least `low`; its unit follows the name.

    >>> from types import SimpleNamespace
    >>> check_from(SimpleNamespace(lead_ohm=0.0), 0, lead_ohm="ohm")
    """
    for name, unit in names.items():
        value = getattr(thing, name)
        if not low <= scalar(value, name) < float("inf"):
            raise ValueError(f"{name} {value:g} {unit} must be {low:g} {unit} or more, and finite: correct it")


def check_choice(thing, **names):
    """Raise `ValueError` unless each named field is one of the given values.

    >>> from types import SimpleNamespace
    >>> check_choice(SimpleNamespace(wires=3), wires=(2, 3, 4))
    """
    for name, choices in names.items():
        value = getattr(thing, name)
        if value not in choices:
            words = ", ".join(map(str, choices))
            raise ValueError(f"{name} {value!r} is not one of {words}: choose one of these")
