"""An answer as typed -> a verdict and a remark that helps. Never an exception, whatever was typed."""

import re
from dataclasses import dataclass

from tempkit.homework import units
from tempkit.homework.figures import cells, offered, target, tolerance, tolerances
from tempkit.homework.problem import Choice, Number, plain
from tempkit.homework.reading import read

NEAR = 3.0
SHIFTS = (1000.0, 1e-3)
PERCENT_SHIFTS = (100.0, 1e-2, *SHIFTS)


@dataclass(frozen=True, repr=False)
class Verdict:
    """What came of an answer: `right`, a `remark`, the key of the recognised wrong `way` (or None), and the
    `value` as understood, in the answer's unit (a number, a tuple of rows, a key or a tuple of keys).
    `understood` is False where the answer could not be read: that is no attempt.

    >>> Verdict(True, "4.883 mV.", value=4.88)
    ✓ Right: 4.883 mV.
    """

    right: bool
    remark: str
    way: str | None = None
    value: object = None
    understood: bool = True

    @property
    def headline(self):
        """The verdict in a sign and a word."""
        return "✓ Right" if self.right else "✗ Not yet" if self.understood else "? Not read"

    def __repr__(self):
        return f"{self.headline}: {self.remark}"


def check(problem, figures, text, unit=None):
    """Check what was typed as the answer to a problem with these figures; `unit` is the sign chosen from a
    list.

    `text` is a string; for a choice the key or text of an option; for several of many a list of these, or one
    string with semicolons; for a table a flat list of strings, row after row, or one string with semicolons
    or lines."""
    if isinstance(problem.answer, Choice):
        return _check_choice(problem, figures, text)
    if isinstance(problem.answer, Number):
        return _check_number(problem, figures, text, unit)
    return _check_table(problem, figures, text, unit)


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


@dataclass(frozen=True)
class _Understood:
    typed: float = 0.0
    unit: str = ""
    value: float = 0.0
    note: str = ""
    comma: bool = False
    refusal: str = ""


def understand(text, quantity, wanted, chosen=None):
    """Typed text and chosen unit -> the value in the `wanted` unit of its family, with notes or a refusal."""
    found = read(text)
    if found.refusal:
        return _Understood(refusal=found.refusal)
    family = units.signs(quantity)
    notes = [found.note] if found.note else []
    if found.unit:
        pasted = units.find(found.unit, quantity)
        if pasted is None:
            return _Understood(refusal=_other_unit(found.unit, quantity))
        if chosen and chosen != pasted.sign:
            notes.append(f"You typed {pasted.sign} and chose {chosen}: {pasted.sign} was taken.")
        chosen = pasted.sign
    elif not chosen:
        if len(family) > 1:
            return _Understood(refusal="Give the unit too: a number alone does not say what it counts.")
        chosen = family[0]
    elif units.find(chosen, quantity) is None:
        return _Understood(refusal=_other_unit(chosen, quantity))
    sign = units.find(chosen, quantity).sign
    value = units.convert(found.value, sign, wanted, quantity)
    return _Understood(found.value, sign, value, " ".join(notes), bool(found.note))


def _other_unit(typed, quantity):
    known = ", ".join(sign for sign in units.signs(quantity) if sign)
    here = f"Units understood here: {known}." if known else "The answer is a plain number, without a unit."
    family = units.family_of(typed)
    if family is None:
        return f"The unit “{typed}” is not known here. {here}"
    return f"“{typed}” is a unit of another kind ({family}); the question asks for a {quantity}. {here}"


def _within(value, target, width):
    return abs(value - target) <= width * (1 + 1e-9) + 1e-12 * abs(target)


def _check_number(problem, figures, text, unit):
    answer = problem.answer
    got = understand(text, answer.quantity, answer.unit, unit)
    if got.refusal:
        return _refused(got.refusal)
    goal, width = target(problem, figures), tolerance(answer, figures)
    if _within(got.value, goal, width):
        return Verdict(True, f"{quantity_text(goal, answer.unit)}. {got.note}".strip(), value=got.value)
    way = _nearest_way(problem, figures, (got.value,), goal)
    remark = problem.say(way.remark, figures) if way else _number_remark(answer, got, goal, width)
    return Verdict(False, f"{remark} {got.note}".strip(), way.key if way else None, got.value)


def _nearest_way(problem, figures, values, right):
    """The offered wrong way that fits every cell that is not right; of several, the one that fits most."""
    goal, width = cells(problem.answer, right), tolerances(problem.answer, figures)
    best, best_score = None, None
    for way, result in offered(problem, figures):
        wrong = cells(problem.answer, result)
        misses = [_miss(*numbers) for numbers in zip(values, wrong, goal, width, strict=True)]
        wanted = [not _within(*numbers) for numbers in zip(values, goal, width, strict=True)]
        if any(wanted) and all(miss <= 1 for miss, needed in zip(misses, wanted, strict=True) if needed):
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


def _number_remark(answer, got, target, width):
    for unit in units.FAMILIES[answer.quantity]:
        if unit.sign != got.unit and _within(
            units.convert(got.typed, unit.sign, answer.unit, answer.quantity), target, width
        ):
            return _unit_remark(got.unit, unit.sign, answer.quantity)
    for shift in PERCENT_SHIFTS if answer.quantity == "percent" else SHIFTS:
        if _within(got.value * shift, target, width):
            if got.comma and shift == 1000.0:
                return "If a thousand was meant, write it without a comma."
            return f"The digits are right, the value is off by a factor of {max(shift, 1 / shift):.0f}."
    if target and _within(-got.value, target, width):
        return "The size is right, the sign is not."
    return _plain_remark(answer, got.value, target, width)


def _unit_remark(unit, other, quantity):
    ratio = units.find(unit, quantity).factor / units.find(other, quantity).factor
    factor = ratio if ratio >= 1 else 1 / ratio
    hint = f" Between them lies a factor of {plain(factor)}." if not quantity.startswith("temperature") else ""
    return f"The figure is right for another unit: {other} instead of {unit}.{hint}"


def _plain_remark(answer, value, target, width):
    if answer.whole and value != round(value):
        return "Only a whole number makes sense here. Ask which way the remainder goes."
    if answer.whole and abs(value - target) == 1:
        return "Off by one. Ask what happens to the remainder, and whether counting starts at 0 or at 1."
    if _within(value, target, NEAR * width):
        return "Close. Check the rounding: keep all digits until the last step, and round once."
    return "No usual slip explains this value. Start again from the figures, or take a hint."


def _check_choice(problem, figures, text):
    answer = problem.answer
    named = picked(text) if answer.several else [str(text).strip()]
    by_name = {name: option for option in answer.options for name in (option.key, problem.say(option.text, figures))}
    unknown = [name for name in named if name not in by_name]
    if unknown or not named or named == [""]:
        keys = ", ".join(option.key for option in answer.options)
        return _refused(f"Choose {'one or more' if answer.several else 'one'} of these: {keys}.")
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
    columns = answer.columns * len(answer.rows(figures))
    got = [
        understand(part, column.quantity, column.unit, unit or column.unit)
        for part, column in zip(given, columns, strict=True)
    ]
    for label, cell in zip(labels, got, strict=True):
        if cell.refusal:
            return _refused(f"{label}: {cell.refusal}")
    values = tuple(cell.value for cell in got)
    shaped = tuple(values[i : i + len(answer.columns)] for i in range(0, len(values), len(answer.columns)))
    notes = " ".join(dict.fromkeys(cell.note for cell in got if cell.note))
    goal = target(problem, figures)
    fits = [_within(*numbers) for numbers in zip(values, cells(answer, goal), tolerances(answer, figures), strict=True)]
    if all(fits):
        return Verdict(True, f"all {len(fits)} numbers. {notes}".strip(), value=shaped)
    way = _nearest_way(problem, figures, values, goal)
    again = ", ".join(label for label, fit in zip(labels, fits, strict=True) if not fit)
    said = problem.say(way.remark, figures) if way else "Start from the figures of that row, or take a hint."
    remark = f"{sum(fits)} of {len(fits)} numbers are right. Look again at: {again}. {said} {notes}"
    return Verdict(False, remark.strip(), way.key if way else None, shaped)


def cell_labels(answer, figures):
    """A label for each number of a `Table`, row after row, with the column's name where there are several."""
    rows = answer.rows(figures)
    if len(answer.columns) == 1:
        return tuple(rows)
    return tuple(f"{row}, {column.name}" for row in rows for column in answer.columns)
