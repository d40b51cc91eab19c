"""The bench card of a design: parts, wiring order, checks, meter readings, first power, first codes, symptoms.

A card is data: a title and sections, each a list or a table. `card_text` writes it as plain text, `card_page.py`
puts the same on paper.
"""

import re
import textwrap
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import zip_longest

import numpy as np

from tempkit.book import Book
from tempkit.chain import in_scale, problems
from tempkit.faults.bench_meter import first_codes, meter_points
from tempkit.faults.bench_steps import CAUTIONS, WARMEST_ROOM_C, before_power, first_power, parts, wiring_order
from tempkit.faults.cases import ROOM_LIMITS_C, HandTest
from tempkit.faults.deciding_checks import tell_apart
from tempkit.faults.evidence import SIGNS
from tempkit.faults.kinds import fault, possible
from tempkit.faults.ranking import signatures
from tempkit.text import volts

# Symptoms and their likely causes: what a fault's logs show that healthy ones do not

CLEAR = 3.0  # standard deviations of healthy logs, doubt included
MOST = 0.75  # part of a fault's logs that must show a sign
HAND_C = 33.0


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

    >>> from tempkit.chain import Design, scenario
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

    Faults that show the same signs in the same direction share a row. Computed from `tempkit.faults.signatures`.

    >>> from tempkit.chain import Design, scenario
    >>> [row.causes for row in symptoms(Design("bench", scenario())) if "cannot be read" in row.seen]
    [('baud',)]
    """
    test = hand_test(room_c)
    groups = {}
    for each in possible(design):
        if each.key != "healthy":
            found = shown(each.key, design, test)
            groups.setdefault(re.sub(r"[\d.]+", "#", told(found)), {})[each.key] = found
    return tuple(_symptom_row(group, design, test, book) for group in groups.values())


def _symptom_row(group, design, test, book):
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


ROOM_C = 21.0
WIDTH, GAP = 96, 2


@dataclass(frozen=True)
class Section:
    """A section of the card: `title`, a `note` beneath it, and `rows`, each a tuple of texts.

    heads : the heads of a table's columns, () for a list; numbered : whether a list counts its items; widths : of the
    columns in plain text, in characters.
    """

    title: str
    rows: tuple
    heads: tuple = ()
    note: str = ""
    numbered: bool = False
    widths: tuple = ()


@dataclass(frozen=True)
class Card:
    """A bench card: `title` of the design, the room's temperature [degC], and the sections in their order."""

    title: str
    room_c: float
    room: str
    sections: tuple

    def section(self, title):
        """The section of that title. Raises `ValueError` where there is none."""
        for each in self.sections:
            if each.title == title:
                return each
        raise ValueError(f"no section {title!r}: there are {', '.join(each.title for each in self.sections)}")


def bench_card(design, room_c=ROOM_C, book=None):
    """A design and today's room temperature [degC] -> `Card`, in the scale of `book` (degC without one).

    Raises `ValueError` for a room outside the sensor's range, or where the converter saturates.

    >>> from tempkit.chain import Design, scenario
    >>> bench_card(Design("North bench", scenario())).section("METER").rows[5]
    ("the converter's pin", '0.768 V', '0.742 V to 0.794 V')
    """
    book = book or Book()
    _check(design, room_c, book)
    design = _at_room(design, room_c)
    room = book.temperature(room_c)
    found = problems(design)
    sections = (
        *([Section("WHAT CANNOT WORK", _items(in_scale(each, book) for each in found))] if found else []),
        Section("PARTS", parts(design), ("part", "value", "note"), widths=(24, 29, 37)),
        Section("WIRING, power off", _items(wiring_order(design)), numbered=True),
        Section("BEFORE POWER", _items(before_power(design)), numbered=True),
        Section("FIRST POWER", _items(first_power(design, room_c, book)), numbered=True),
        _meter(design, room_c, room, book),
        _codes(design, room_c, room, book),
        _symptoms(design, room_c, book),
        Section("CAUTIONS", _items(CAUTIONS)),
    )
    return Card(design.title, room_c, room, sections)


def _items(texts):
    return tuple((text,) for text in texts)


def _check(design, room_c, book):
    low, high = design.chain.sensor.range_c
    if not low <= room_c <= high:
        where = f"{book.temperature(low)} to {book.temperature(high)}"
        raise ValueError(f"room {book.temperature(room_c)} is outside the sensor's range of {where}: measure it again")


def _at_room(design, room_c):
    """The design with a thermocouple's terminals as warm as the room."""
    return replace(design, chain=replace(design.chain, circuit=design.chain.circuit.in_room(room_c)))


def _meter(design, room_c, room, book):
    rows = tuple(
        (each.where, volts(each.volts), f"{volts(each.low_v)} to {volts(each.high_v)}")
        for each in meter_points(design, room_c)
    )
    note = (
        f"Volts against the board's ground, the sensor at {room} ± {book.span(ROOM_LIMITS_C)}. Limits added up: the "
        "sensor, its supply, the room thermometer, the meter (0.5 % and two digits). Outside them something is wrong."
    )
    return Section("METER", rows, ("point", "expect", "right between"), note, widths=(38, 14, 30))


def _codes(design, room_c, room, book):
    codes = first_codes(design, room_c)
    ranges = (("19 of 20 benches", codes.likely, codes.likely_c), ("every right bench", codes.widest, codes.widest_c))
    rows = [("a bench without error", str(codes.code), book.temperature(codes.reading_c))]
    rows += [
        (name, f"{low} to {high}", " to ".join(book.temperature(end) for end in ends))
        for name, (low, high), ends in ranges
    ]
    note = f"From the error budget at {room}, room thermometer included. A code outside the last row: power off."
    return Section("FIRST CODES", tuple(rows), ("for", "code", "reading"), note, widths=(28, 20, 30))


def _symptoms(design, room_c, book):
    test_c = min(room_c, WARMEST_ROOM_C)
    rows = tuple((row.seen, names(row.causes), row.check) for row in symptoms(design, test_c, book))
    note = (
        "A minute at rest, a minute between two fingers, a minute at rest. Computed: 60 simulated benches with each "
        "fault. Ranges hold four logs of five."
    )
    if test_c < room_c:
        note += f" For a room of {book.temperature(test_c)}: in a warmer one a hand warms too little to tell."
    return Section("SYMPTOMS", rows, ("the log", "likely cause", "first do this"), note, widths=(30, 25, 35))


# Plain text


def card_text(card):
    """A card as plain text of at most 96 columns; ends with a line feed.

    >>> from tempkit.chain import Design, scenario
    >>> print(card_text(bench_card(Design("North bench", scenario()))).splitlines()[0])
    BENCH CARD. North bench
    """
    title = f"BENCH CARD. {card.title}"
    lines = [title, "=" * len(title), f"Room: {card.room}. Low voltage only. Print it and keep it beside the bench."]
    for section in card.sections:
        lines += ["", section.title, *_wrapped(section.note, "  ")]
        lines += _table(section) if section.heads else _list(section)
    return "\n".join(lines) + "\n"


def _wrapped(text, indent, first=None):
    return textwrap.wrap(text, WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent)


def _list(section):
    for number, (text,) in enumerate(section.rows, start=1):
        mark = f"  {f'{number}.' if section.numbered else '-':<4}"
        yield from _wrapped(text, " " * len(mark), mark)


def _table(section):
    yield from _row(section.heads, section.widths)
    yield "  " + "-" * (sum(section.widths) + GAP * (len(section.widths) - 1))
    for row in section.rows:
        yield from _row(row, section.widths)


def _row(cells, widths):
    columns = [textwrap.wrap(cell, width) or [""] for cell, width in zip(cells, widths, strict=True)]
    for parts_of in zip_longest(*columns, fillvalue=""):
        padded = (f"{part:<{width + GAP}}" for part, width in zip(parts_of, widths, strict=True))
        yield ("  " + "".join(padded)).rstrip()
