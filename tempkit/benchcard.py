"""The bench card of a design: parts, wiring order, checks, meter readings, first power, first codes, symptoms.

A card is data: a title and sections, each a list or a table. `card_text` writes it as plain text; `tempkit.benchsheet`
puts the same on paper.
"""

import textwrap
from dataclasses import dataclass, replace
from itertools import zip_longest

from tempkit.benchmeter import first_codes, meter_points
from tempkit.benchsteps import CAUTIONS, before_power, first_power, parts, wiring_order
from tempkit.book import Book
from tempkit.circuit import ColdJunction
from tempkit.describe import in_scale, problems
from tempkit.faultcases import ROOM_LIMITS_C
from tempkit.quantity import volts
from tempkit.symptoms import WARMEST_ROOM_C, names, symptoms

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

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Design
    >>> bench_card(Design("North bench", scenario())).section("METER").rows[5]
    ("the converter's pin", '0.710 V', '0.675 V to 0.746 V')
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
    circuit = design.chain.circuit
    if not isinstance(circuit, ColdJunction):
        return design
    known = circuit.measured_cold_c
    said_c = None if known is None else room_c + known - circuit.cold_c
    there = replace(circuit, cold_c=room_c, measured_cold_c=said_c)
    return replace(design, chain=replace(design.chain, circuit=there))


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


# ---- plain text


def card_text(card):
    """A card as plain text of at most 96 columns; ends with a line feed.

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Design
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
