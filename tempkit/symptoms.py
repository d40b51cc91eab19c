"""Symptoms and their likely causes, computed: what a fault's simulated logs show that healthy ones do not."""

import re
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tempkit.book import Book
from tempkit.faultcases import HandTest
from tempkit.faultchecks import tell_apart
from tempkit.faultmatch import signatures
from tempkit.faults import fault, possible
from tempkit.faultsigns import SIGNS

CLEAR = 3.0  # standard deviations of healthy logs, doubt included
MOST = 0.75  # part of a fault's logs that must show a sign
HAND_C, WARMEST_ROOM_C = 33.0, 28.0


@dataclass(frozen=True)
class Symptom:
    """A row: what is seen in the log, the causes that show it (keys of faults), and the first thing to do."""

    seen: str
    causes: tuple
    check: str


def hand_test(room_c):
    """The `HandTest` in a room of this temperature [degC], with fingers of 33 degC.

    Raises `ValueError` for a room above 28 degC: a hand warms nothing there.

    >>> hand_test(21.0).hand_c
    33.0
    """
    return HandTest(room_c, HAND_C)


@lru_cache(maxsize=32)
def shown(key, design, test):
    """What logs with a fault show and healthy ones do not: a dict of sign to (direction, lowest, highest value).

    direction : 1 more, -1 less, 0 now one and now the other. The values are those of the middle four fifths of logs,
    in the sign's unit; for direction 0 their sizes.

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Design
    >>> sorted(shown("no supply", Design("bench", scenario()), HandTest()))
    ['jump_c', 'level_c', 'response', 'saturated']
    """
    known = signatures(design, test)
    logs, healthy = known[key], known["healthy"]
    found = {}
    for place, sign in enumerate(SIGNS):
        values, usual = (sign.plain(each[:, place]) for each in (logs, healthy))
        there, usual = values[~np.isnan(values)], usual[~np.isnan(usual)]
        if there.size >= MOST * values.size:
            middle, width = (usual.mean(), usual.std()) if usual.size else (0.0, 0.0)
            direction = _direction((there - middle) / (CLEAR * np.hypot(sign.plain(sign.doubt), width)))
            if direction is not None:
                sizes = there if direction else np.abs(there)
                found[sign.key] = (direction, *np.quantile(sizes, [0.1, 0.9]).tolist())
    return found


def _direction(off):
    """1 or -1 where most logs lie that way by more than one unit; 0 where most lie off, but not one way; else None."""
    ways = {1: off > 1, -1: off < -1, 0: np.abs(off) > 1}
    return next((way for way, beyond in ways.items() if beyond.mean() >= MOST), None)


def told(found, book=None):
    """Signs as `shown` gives them, in words; the plainest first.

    >>> told({"level_c": (1, 40.0, 50.0), "saturated": (1, 1.0, 1.0)})
    'reads 40.0 °C to 50.0 °C too high; the code stands at an end'
    """
    book = book or Book()
    if "unreadable" in found:
        return "characters that cannot be read"
    phrases = [phrase for key, say in WORDS.items() if key in found and (phrase := say(*found[key], found, book))]
    return "; ".join(phrases) or "nothing to see in the log"


def _range(low, high, book):
    """A span of temperature as "a to b", or as one where both print alike."""
    ends = [book.span(abs(each)) for each in sorted((low, high), key=abs)]
    return ends[0] if ends[0] == ends[1] else " to ".join(ends)


def _level(direction, low, high, found, book):
    return f"reads {_range(low, high, book)} too {('high or too low', 'high', 'low')[direction]}"


def _response(direction, low, high, found, book):
    if max(abs(low), abs(high)) < 0.2:
        return "does not follow a warm hand"
    if "spread_c" in found or direction == 0:
        return ""
    return f"follows a warm hand {'too far' if direction > 0 else 'too little'}"


def _spread(direction, low, high, found, book):
    if direction <= 0:
        return "stands still" if direction else ""
    return f"scatters by {_range(low, high, book)}" + (", in a steady wave" if "tone" in found else "")


def _jump(direction, low, high, found, book):
    scatter = found["spread_c"][2] if "spread_c" in found else 0.0
    return f"jumps by up to {book.span(high)}" if direction > 0 and high > 5 * scatter else ""


def _gap(direction, low, high, found, book):
    if "saturated" in found:
        return ""
    size = book.span(min(abs(low), abs(high)), 2)
    return f"prints {size} or more {('off', 'above', 'below')[direction]} what its own code says"


def _saturated(direction, low, high, found, book):
    return "the code stands at an end"


WORDS = {
    "level_c": _level,
    "saturated": _saturated,
    "response": _response,
    "spread_c": _spread,
    "jump_c": _jump,
    "gap_c": _gap,
}


def symptoms(design, room_c=21.0, book=None):
    """Every `Symptom` of a bench of this design in a room of this temperature [degC], as a tuple.

    Faults that show the same signs in the same direction share a row. Computed from `tempkit.faultmatch.signatures`.

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Design
    >>> [row.causes for row in symptoms(Design("bench", scenario())) if "cannot be read" in row.seen]
    [('baud',)]
    """
    test = hand_test(room_c)
    groups = {}
    for each in possible(design):
        if each.key != "healthy":
            found = shown(each.key, design, test)
            groups.setdefault(re.sub(r"[\d.]+", "#", told(found)), {})[each.key] = found
    return tuple(_row(group, design, test, book) for group in groups.values())


def _row(group, design, test, book):
    keys, each = tuple(group), list(group.values())
    joint = {
        sign: (each[0][sign][0], min(one[sign][1] for one in each), max(one[sign][2] for one in each))
        for sign in each[0]
        if all(sign in one for one in each)
    }
    pair = keys[:2] if len(keys) > 1 else ("healthy", keys[0])
    return Symptom(told(joint, book), keys, tell_apart(*pair, design, test).words)


def names(keys):
    """Names of causes in a line.

    >>> names(("no supply", "lamp"))
    'supply lead of the sensor open, or lamp (LED) the wrong way round'
    """
    return ", or ".join(fault(key).name for key in keys)
