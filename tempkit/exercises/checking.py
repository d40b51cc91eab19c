"""An answer as typed -> a verdict and a remark that helps. Never an exception, whatever was typed."""

import re
from dataclasses import dataclass

from tempkit.exercises import reading
from tempkit.exercises.figures import (
    cells,
    columns,
    factor_of,
    factors,
    offered,
    place,
    power,
    target,
    tolerances,
)
from tempkit.exercises.kinds import Choice, Number, Table, plain
from tempkit.exercises.reading import read

NEAR = 3.0
SHIFTS = (1000.0, 1e-3)
PERCENT_SHIFTS = (100.0, 1e-2, *SHIFTS)
ALL = 99
SIGN = "The size is right, the sign is not."
FACTOR = "The digits are right, the value is off by a factor of"
NO_SLIP = "No usual slip explains this value. Start again from the figures."
OTHER_UNIT = "The figure is right for another unit:"
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True, repr=False)
class Verdict:
    """What came of an answer: `right`, a `remark`, the key of the recognised wrong `way` (or None), and the
    `value` as understood, in the answer's unit (a number, a tuple of rows, a key or a tuple of keys).
    `understood` is False where the answer could not be read, `rounded` True where it is the right value with fewer
    digits than asked for: neither is an attempt.

    >>> Verdict(True, "4.883 mV.", value=4.88)
    ✓ Right: 4.883 mV.
    """

    right: bool
    remark: str
    way: str | None = None
    value: object = None
    understood: bool = True
    rounded: bool = False

    @property
    def attempt(self):
        """True for a wrong answer, which counts."""
        return self.understood and not self.right and not self.rounded

    @property
    def headline(self):
        """The verdict in a sign and a word."""
        if self.rounded:
            return "≈ Too few digits"
        return "✓ Right" if self.right else "✗ Not yet" if self.understood else "? Not read"

    def __repr__(self):
        return f"{self.headline}: {self.remark}"


def check(problem, f, typed, unit=None):
    """Check what was typed as the answer to a problem with the figures `f`; `unit` is the sign chosen from a
    list.

    `typed` is a string; for a choice the key or text of an option; for several of many a list of these, or one
    string with semicolons; for a table a flat list of strings, row after row, or one string with semicolons
    or lines."""
    if isinstance(problem.answer, Choice):
        return _check_choice(problem, f, typed)
    if isinstance(problem.answer, Number):
        return _check_number(problem, f, typed, unit)
    return _check_table(problem, f, typed, unit)


def quantity_text(value, unit, digits=4):
    """A number with its unit, as it stands in a remark.

    >>> quantity_text(4.8828125, "mV"), quantity_text(101, "code"), quantity_text(5, "%")
    ('4.883 mV', 'code 101', '5 %')
    """
    if unit == "code":
        return f"code {plain(value, digits)}"
    return f"{plain(value, digits)} {unit}".strip()


def _refused(remark):
    return Verdict(False, remark, understood=False)


def digits_text(problem, figures):
    """How many digits the answer needs, as a sentence, or how near an estimate has to be; "" for a choice.

    >>> from tempkit.exercises.catalogue import problem
    >>> digits_text(problem("02-step-in-degrees").problem, problem("02-step-in-degrees").figures)
    'Give three digits.'
    """
    answer = problem.answer
    if isinstance(answer, Choice):
        return ""
    if factor_of(answer):
        return f"An estimate will do: right within a factor of {plain(factor_of(answer))}."
    asked = dict(zip(columns(answer, figures), tolerances(answer, figures), strict=True))
    alike = {_asked(part, width) for part, width in asked.items()}
    if len(alike) > 1:
        return f"Give {' and '.join(_asked(part, width, part.name) for part, width in asked.items())}."
    name = "each number" if isinstance(answer, Table) else "it"
    return f"Give {next(_asked(part, width, name) for part, width in asked.items())}."


def _asked(part, width, name="it"):
    """The digits that a `Number` or `Column` asks for, in words; a column among others is named."""
    if part.whole or part.digits:
        whole = "whole numbers" if name == "each number" else "a whole number"
        told = _digits(part.digits) if part.digits else whole
        return told if name in ("it", "each number") else f"{told} for {name}"
    return f"{name} to {quantity_text(place(part, 0.0, width), part.unit)}"


def _digits(count):
    return f"{NUMBERS[count]} digit{'s' if count > 1 else ''}"


@dataclass(frozen=True)
class _Understood:
    typed: float = 0.0
    unit: str = ""
    value: float = 0.0
    note: str = ""
    comma: bool = False
    refusal: str = ""
    place: float = 1.0


def understand(text, part, chosen=None, told=str):
    """Typed text and chosen unit -> the value in the unit of a `Number` or `Column`, with notes or a refusal; a bare
    ° is of the scale chosen, or of the only one in the question, which `told()` gives."""
    found, quantity = read(text, part.whole), part.quantity
    if found.refusal:
        return _Understood(refusal=found.refusal)
    family = (part.unit,) if part.own_unit else reading.signs(quantity)
    notes = [found.note] if found.note else []
    typed = found.unit
    if reading.bare_degree(typed) and "°C" in reading.signs(quantity):
        scales = [chosen or part.unit] if chosen or part.own_unit else [s for s in ("°C", "°F") if s in told()]
        if len(scales) != 1:
            return _Understood(refusal="A bare ° does not say which scale: write °C or °F.")
        typed = scales[0]
    if typed:
        pasted = reading.find(typed, quantity)
        if pasted is None:
            return _Understood(refusal=_other_unit(typed, quantity))
        if chosen and chosen != pasted.sign:
            notes.append(f"You typed {pasted.sign} and chose {chosen}: {pasted.sign} was taken.")
        chosen = pasted.sign
    elif not chosen:
        if len(family) > 1:
            return _Understood(refusal="Give the unit too: a number alone does not say what it counts.")
        chosen = family[0]
    elif reading.find(chosen, quantity) is None:
        return _Understood(refusal=_other_unit(chosen, quantity))
    sign = reading.find(chosen, quantity).sign
    if sign not in family:
        return _Understood(refusal=f"The question asks for {part.unit}: work the value out, do not give it in {sign}.")
    value = reading.convert(found.value, sign, part.unit, quantity)
    return _Understood(found.value, sign, value, " ".join(notes), bool(found.note), place=found.place)


def _other_unit(typed, quantity):
    known = ", ".join(sign for sign in reading.signs(quantity) if sign)
    here = f"Units understood here: {known}." if known else "The answer is a plain number, without a unit."
    family = reading.family_of(typed)
    if family is None:
        return f"The unit “{typed}” is not known here. {here}"
    return f"“{typed}” is a unit of another kind ({family}); the question asks for a {quantity}. {here}"


def _within(value, target, width):
    return abs(value - target) <= width * (1 + 1e-9) + 1e-12 * abs(target)


def _fits(part, value, goal, width):
    """True within the tolerance, or within the factor of an estimate."""
    factor = factor_of(part)
    return factors(value, goal, factor) <= 1 + 1e-9 if factor else _within(value, goal, width)


def _gap(part, a, b):
    """How far two values lie apart, for comparing: as a ratio for an estimate, else as a difference."""
    return factors(a, b, factor_of(part)) if factor_of(part) else abs(a - b)


def _check_number(problem, figures, text, unit):
    answer = problem.answer
    got = understand(text, answer, unit, lambda: problem.text(figures))
    if got.refusal:
        return _refused(got.refusal)
    goal, (width,) = target(problem, figures), tolerances(answer, figures)
    kept = _kept_right(got, answer, goal, width)
    if kept == ALL:
        told = f"worked out, it is {quantity_text(goal, answer.unit, 2)}" if factor_of(answer) else ""
        return Verdict(True, f"{told or quantity_text(goal, answer.unit)}. {got.note}".strip(), value=got.value)
    slip = _nearest_slip(problem, figures, got, goal, width)
    if kept and not (slip and slip.key and _within(got.typed, slip.value, 0.0)):
        slips = (way.value(figures) for way in answer.wrong)
        alike = any(value is not None and _within(got.value, value, width) for value in slips)
        told = f"{_digits(kept)} cannot tell this from a usual slip" if alike else f"Right, but to {_digits(kept)}"
        remark = f"{told[0].upper()}{told[1:]}; {_more(answer, width)}. {got.note}"
        return Verdict(False, remark.strip(), value=got.value, rounded=True)
    remark = problem.say(slip.remark, figures) if slip else _plain_remark(answer, got.value, goal, width)
    return Verdict(False, f"{remark} {got.note}".strip(), slip.key if slip else None, got.value)


def _more(part, width):
    return "here every digit counts" if part.whole else f"give {_asked(part, width)}"


def _kept_right(got, part, goal, width):
    """The same as `_kept` of the right value: `ALL` within the tolerance, and off by one is not rounded."""
    if _fits(part, got.value, goal, width):
        return ALL
    if factor_of(part):
        return 0
    return 0 if part.whole and abs(got.value - goal) == 1 else _kept(got, part, goal, width)


def _kept(got, part, goal, width):
    """How many digits were kept of a value `goal` (in the unit of the part) that was rounded: `ALL` where these are
    as many as asked for, 0 where it was not rounded or is another value."""
    there = reading.convert(goal, part.unit, got.unit, part.quantity)
    if not there:
        return 0
    asked = _place_there(part, goal, width, got.unit) or 1.0
    unit, count, kept = power(abs(there)), 1, 0
    while unit > 0.9 * asked and count < len(NUMBERS):
        written = part.whole or got.place > 0.9 * unit or got.place >= 1.0
        whole_units = abs(got.typed / unit - round(got.typed / unit)) < 1e-6
        if written and whole_units and abs(got.typed - there) <= unit / 2 * (1 + 1e-9):
            kept = count if unit > 1.1 * asked else ALL
        unit, count = unit / 10, count + 1
    return 0 if part.whole and kept == 1 else kept


def _place_there(part, goal, width, unit):
    """The unit of the last digit asked for, for a value written in another unit."""
    if part.digits:
        return place(part, reading.convert(goal, part.unit, unit, part.quantity), width)
    asked = place(part, goal, width) * _ratio(part, unit)
    return power(asked) if asked else 0.0


def _ratio(part, unit):
    """How many of `unit` make one of the part's unit."""
    return reading.find(part.unit, part.quantity).factor / reading.find(unit, part.quantity).factor


@dataclass(frozen=True)
class _Slip:
    value: float
    reach: float
    remark: object
    key: str | None = None


def _nearest_slip(problem, figures, got, goal, width):
    """What explains a wrong number best: of all wrong ways and general slips the one that lies nearest to what was
    typed, compared in the unit that was typed; None where that does not fit."""
    answer = problem.answer
    there = _Slip(reading.convert(goal, answer.unit, got.unit, answer.quantity), 0.0, "")
    best, away = there, _gap(answer, got.typed, there.value)
    for slip in _slips(problem, figures, got, goal, width):
        distance = _gap(answer, got.typed, slip.value)
        if distance < away - 1e-9 * (1 if factor_of(answer) else abs(got.typed)):
            best, away = slip, distance
    if best is there:
        return None
    value = reading.convert(best.value, got.unit, answer.unit, answer.quantity)
    fits = _fits(answer, got.typed, best.value, best.reach) or (
        not factor_of(answer) and _kept(got, answer, value, width) >= 2
    )
    return best if fits else None


def _slips(problem, figures, got, goal, width):
    answer = problem.answer
    family = answer.quantity
    there, room = reading.convert(goal, answer.unit, got.unit, family), width * _ratio(answer, got.unit)
    for way, wrong in offered(problem, figures):
        reach = room * (max(1.0, abs(wrong / goal)) if goal else 1.0)
        yield _Slip(reading.convert(wrong, answer.unit, got.unit, family), reach, way.remark, way.key)
    for other in reading.signs(family):
        if other != got.unit:
            value, remark = reading.convert(goal, answer.unit, other, family), _unit_remark(got.unit, other, family)
            yield _Slip(value, width * _ratio(answer, other), remark)
    for shift in PERCENT_SHIFTS if family == "percent" else SHIFTS:
        remark = f"{FACTOR} {max(shift, 1 / shift):.0f}."
        if got.comma and shift == 1000.0:
            remark = "If a thousand was meant, write it without a comma."
        yield _Slip(there / shift, room / shift, remark)
    yield _Slip(-there, room, SIGN)


def _nearest_way(problem, figures, values, right, fits):
    """The offered wrong way that fits every cell that is not right; of several, the one that fits most."""
    goal, width = cells(problem.answer, right), tolerances(problem.answer, figures)
    best, best_score = None, None
    for way, result in offered(problem, figures):
        wrong = cells(problem.answer, result)
        misses = [_miss(*numbers) for numbers in zip(values, wrong, goal, width, strict=True)]
        if all(miss <= 1 for miss, fit in zip(misses, fits, strict=True) if not fit):
            score = (sum(miss > 1 for miss in misses), sum(misses))
            if best is None or score < best_score:
                best, best_score = way, score
    return best


def _miss(value, wrong, goal, width):
    """Distance from the wrong way's value in tolerances, which grow with the value, as rounding does."""
    scale = max(1.0, abs(wrong / goal)) if goal else 1.0
    reach = width * scale * (1 + 1e-9) + 1e-12 * abs(wrong)
    if value == wrong:
        return 0.0
    return abs(value - wrong) / reach if reach else float("inf")


def _unit_remark(unit, other, quantity):
    ratio = reading.find(unit, quantity).factor / reading.find(other, quantity).factor
    factor = ratio if ratio >= 1 else 1 / ratio
    hint = f" Between them lies a factor of {plain(factor)}." if not quantity.startswith("temperature") else ""
    return f"{OTHER_UNIT} {other} instead of {unit}.{hint}"


def _plain_remark(answer, value, target, width):
    if factor_of(answer):
        near = factors(value, target, factor_of(answer)) <= 2
        return "Not far off. Round each figure once more, and count the zeros again." if near else NO_SLIP
    if answer.whole and value != round(value):
        return "Only a whole number makes sense here. Ask which way the remainder goes."
    if answer.whole and abs(value - target) == 1:
        return "Off by one. Ask what happens to the remainder, and whether counting starts at 0 or at 1."
    if _within(value, target, NEAR * width):
        return "Close. Check the rounding: keep all digits until the last step, and round once."
    return NO_SLIP


def _check_choice(problem, figures, text):
    answer = problem.answer
    named = picked(text) if answer.several else [str(text).strip()]
    by_name = {name: option for option in answer.options for name in (option.key, problem.say(option.text, figures))}
    unknown = [name for name in named if name not in by_name]
    if unknown or not named or named == [""]:
        return _refused(f"Choose {'one or more' if answer.several else 'one'} of the answers offered.")
    chosen = tuple(dict.fromkeys(by_name[name].key for name in named))
    right = answer.keys(figures)
    value = chosen if answer.several else chosen[0]
    remarks = {option.key: problem.say(option.remark, figures) for option in answer.options}
    if frozenset(chosen) == right:
        return Verdict(True, " ".join(remarks[key] for key in chosen), value=value)
    astray = next((key for key in chosen if key not in right), None)
    if astray is None:
        return Verdict(False, "All you chose belongs to the answer, but something is still missing.", value=value)
    return Verdict(False, remarks[astray], astray, value)


def picked(text):
    """The options named in an answer: a list of them, or one text with semicolons.

    >>> picked("a; b;"), picked(["a"])
    (['a', 'b'], ['a'])
    """
    names = text.split(";") if isinstance(text, str) else list(text)
    return [str(name).strip() for name in names if str(name).strip()]


def parts(text):
    """The numbers of a table in an answer, as texts: a list of them, or one text with semicolons or lines.

    >>> parts("1 mV; 2 mV")
    ['1 mV', ' 2 mV']
    """
    return re.split(r"[;\n]", text.strip()) if isinstance(text, str) else list(text)


def _check_table(problem, figures, text, unit):
    answer, given = problem.answer, parts(text)
    labels = cell_labels(answer, figures)
    if len(given) != len(labels):
        return _refused(f"{len(labels)} numbers are needed, {len(given)} were given: part them with semicolons.")
    asked = columns(answer, figures)
    got = [understand(part, column, unit or column.unit) for part, column in zip(given, asked, strict=True)]
    for label, cell in zip(labels, got, strict=True):
        if cell.refusal:
            return _refused(f"{label}: {cell.refusal}")
    values = tuple(cell.value for cell in got)
    notes = " ".join(dict.fromkeys(cell.note for cell in got if cell.note))
    goal = target(problem, figures)
    put = dict(zip(answer.asked(figures), values, strict=True))
    shaped = tuple(tuple(put.get((r, c), cell) for c, cell in enumerate(row)) for r, row in enumerate(goal))
    rows = list(zip(got, asked, cells(answer, goal), tolerances(answer, figures), strict=True))
    kept = [_kept_right(*row) for row in rows]
    if all(digits == ALL for digits in kept):
        return Verdict(True, f"all {len(kept)} numbers. {notes}".strip(), value=shaped)
    if all(kept) and values not in [cells(answer, wrong) for _, wrong in offered(problem, figures)]:
        few = [
            f"{label} to {_digits(digits)}, {_more(row[1], row[3])}"
            for label, digits, row in zip(labels, kept, rows, strict=True)
            if digits != ALL
        ]
        return Verdict(False, f"Right, but {'; '.join(few)}. {notes}".strip(), value=shaped, rounded=True)
    way = _nearest_way(problem, figures, values, goal, kept)
    again = ", ".join(label for label, digits in zip(labels, kept, strict=True) if digits != ALL)
    said = problem.say(way.remark, figures) if way else "Start from the figures of that row."
    remark = f"{kept.count(ALL)} of {len(kept)} numbers are right. Look again at: {again}. {said} {notes}"
    return Verdict(False, remark.strip(), way.key if way else None, shaped)


def cell_labels(answer, figures):
    """A label for each number asked for in a `Table`, row after row, with the column's name where there are several."""
    rows, alone = answer.rows(figures), len(answer.columns) == 1
    return tuple(rows[r] if alone else f"{rows[r]}, {answer.columns[c].name}" for r, c in answer.asked(figures))
