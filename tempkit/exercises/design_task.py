"""The design project: a requirement of each student's own, and the marks of a chain file that is handed in for it."""

import hashlib
from typing import NamedTuple

from tempkit.board import numbers
from tempkit.book import Book
from tempkit.chain import ChainFileError, Extras, Noise, Response, loads
from tempkit.choose import (
    MISFITS,
    PERIOD_S,
    PRICE,
    SAMPLES,
    Requirement,
    catalogue,
    check,
    margin_told,
    places_of,
    price_of,
    requirement_told,
    verdict_told,
)
from tempkit.exercises.answers import safe_code
from tempkit.exercises.figures import tidy_code

SCHEME = "project 1"  # to be raised with every change below: who has a requirement keeps it by its scheme
MIDDLES_C = ((16.0, 17.0, 18.0, 19.0), (25.0, 26.0, 27.0, 28.0))
ROOMS_C = (0.6, 0.8, 1.0)
LISTS = {
    "range_c": ((0.0, 45.0), (-10.0, 50.0), (5.0, 40.0)),
    "level": (0.9, 0.95, 0.98),
    "rate_c_per_min": (0.3, 0.5, 1.0),
    "late_s": (35.0, 45.0, 60.0),
    "raises_per_min": (1.0, 3.0, 6.0),
    "price": (6.5, 8.0, 10.0, 12.0),
}
LONGEST_SMOOTHING_S, LONGEST_DELAY = 300.0, 100
IDEAS = {
    MISFITS: "a part gets a supply outside its window, or the converter sees nothing of it (chapters 01 and 03)",
    "coldest reading": "below it the sensor or the converter is at its end (chapters 01 and 03)",
    "warmest reading": "above it the sensor or the converter is at its end (chapters 01 and 03)",
    "guard band at the low limit": "ask the error budget for its largest part, and whether the limit stands midway",
    "guard band at the high limit": "ask the error budget for its largest part, and whether the limit stands midway",
    "late by": "lag, smoothing and on-delay all take time (chapter 08)",
    "calls on the limit": "a wider deadband, or less noise in a reading (chapters 06 and 07)",
    "deadband": "the call has to end before the silent temperature (chapter 07)",
    "one step at the limits": "a deadband narrower than a step is none (chapters 02 and 07)",
    PRICE: "look for the part that costs most and does least for the budget",
}


class Marked(NamedTuple):
    """Marks of a project: `marks` out of `of`, one for each line that passes, and a remark for each line."""

    marks: int
    of: int
    remarks: tuple


def requirement_of(course, student):
    """The `Requirement` of one student: the same for years on every machine.

    Course and student code count without regard to case and outer spaces, and decide by a digest alone. Raises
    `ValueError` for an empty one.

    >>> requirement_of("Year 9", "Robin").price
    10.0
    """
    text = "\x1f".join((SCHEME, tidy_code(course), tidy_code(student)))
    left = int.from_bytes(hashlib.sha256(text.encode()).digest(), "big")
    drawn = []
    for values in (*MIDDLES_C, ROOMS_C, ROOMS_C, *LISTS.values()):
        left, place = divmod(left, len(values))
        drawn.append(values[place])
    low, high, low_room, high_room, *rest = drawn
    return Requirement(
        low_c=(round(low + low_room, 1), round(low - low_room, 1)),
        high_c=(round(high - high_room, 1), round(high + high_room, 1)),
        **dict(zip(LISTS, rest, strict=True)),
    )


def project_told(course, student, book=None):
    """What the project asks of one student, in sentences."""
    return requirement_told(requirement_of(course, student), book or Book())


def mark_project(text, course, student, book=None):
    """The marks of a chain file's text as handed in by a student: `Marked`, which is (marks, of, remarks).

    The text is read as a chain file and nothing else: nothing in it is executed. Raises `ChainFileError`, a
    `ValueError`, for a text that is no chain file, for parts that are not of the catalogue, and for settings outside
    the rules of the project, with all that is wrong.
    """
    return mark_design(loads(text, "project"), course, student, book)


def mark_design(design, course, student, book=None, parts=None):
    """The marks of a `Design` for a student's project: as `mark_project`."""
    parts, book = parts or catalogue(), book or Book()
    wrong = broken_rules(design, parts)
    if wrong:
        raise ChainFileError("project", wrong)
    lines = check(design, requirement_of(course, student), price_of(parts, places_of(parts, design)))
    remarks = [*(_remark(line, book) for line in lines), *_notes(design)]
    return Marked(sum(line.passes for line in lines), len(lines), tuple(remarks))


def broken_rules(design, parts):
    """Where a design goes outside the rules of the project: a sentence each, empty where it does not."""
    places = places_of(parts, design)
    kinds = zip(
        ("sensor", "reference", "converter"), (parts.front_ends, parts.references, parts.converters), strict=True
    )
    wrong = [_stranger(name, rows) for (name, rows), place in zip(kinds, places, strict=True) if place is None]
    if places[0] is not None:
        wrong += _claims(design, parts.front_ends[places[0]])
    return wrong + list(_settings(design))


def _stranger(name, rows):
    known = "; ".join(each.name for each in rows)
    with_circuit = " with its [circuit]" if name == "sensor" else ""
    return f"[{name}]{with_circuit} is not of the catalogue; take one of its parts unchanged: {known}"


def _claims(design, front):
    """Where the file says something else of a front end than the catalogue does."""
    stated = (
        ("[noise] input_v", (design.noise or Noise()).input_v, front.noise_v, "V"),
        ("[response] tau_s", (design.response or Response()).tau_s, front.tau_s, "s"),
        ("[budget] self_heating_c", (design.budget or Extras()).self_heating_c, front.self_heating_c, "degC"),
    )
    for name, says, is_so, unit in stated:
        if says != is_so:
            yield f"{name} = {says:g} {unit}: the {front.name} of the catalogue has {is_so:g} {unit}; write that"


def _settings(design):
    alarm, most = design.alarm, max(SAMPLES)
    if alarm is None or None in (alarm.low_c, alarm.high_c):
        yield "[alarm] low_c, high_c: the project wants both limits; give them"
    samples = design.noise.samples if design.noise else 1
    if samples > most:
        yield f"[noise] samples = {samples:g}: must be 1 to {most} in this project; the board has no time for more"
    smoothing_s = design.smoothing.tau_s if design.smoothing else 0.0
    if not smoothing_s <= LONGEST_SMOOTHING_S:
        yield f"[smoothing] tau_s = {smoothing_s:g} s: must be 0 to {LONGEST_SMOOTHING_S:g} s; shorten it"
    if alarm and alarm.sample_period_s != PERIOD_S:
        yield f"[alarm] sample_period_s = {alarm.sample_period_s:g} s: the project's board reads every {PERIOD_S:g} s"
    if alarm and max(alarm.on_delay_samples, alarm.off_delay_samples) > LONGEST_DELAY:
        yield f"[alarm] on_delay_samples, off_delay_samples: must be 1 to {LONGEST_DELAY} samples; shorten them"


def _remark(line, book):
    told = verdict_told(line, book)
    return told if line.passes else f"{told}. Short by {margin_told(line, book, sign=False)}: {IDEAS[line.name]}."


def _notes(design):
    """What earns and costs no mark, but should be known."""
    if design.calibration:
        yield "note    [calibration] is not counted: the requirement has to be met before anybody calibrates"
    try:
        numbers(design)
    except ValueError as error:
        yield f"note    code for the board cannot be written: {error}"


def project_text(course, student, design=None, book=None):
    """What the command prints: the requirement and, with a design, its table and marks.

    Raises `ValueError` for a code that no sheet takes.
    """
    course, student = safe_code(course, "the course code"), safe_code(student, "the student code")
    told = f"Requirement of {student} in {course}\n{project_told(course, student, book)}\n"
    if design is None:
        return told
    marked = mark_design(design, course, student, book)
    return told + "\n" + "\n".join(marked.remarks) + f"\n\n{marked.marks} of {marked.of} lines pass\n"
