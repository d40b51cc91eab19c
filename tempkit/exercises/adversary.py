"""Somebody who wants a mark without the work: types what is near an answer and reports every unfair verdict."""

from math import inf

from tempkit.exercises import reading
from tempkit.exercises.checking import FACTOR, NO_SLIP, OTHER_UNIT, SIGN, check
from tempkit.exercises.figures import (
    cells,
    columns,
    factor_of,
    factors,
    given,
    offered,
    place,
    power,
    target,
    tolerances,
    usable_sets,
)
from tempkit.exercises.kinds import MINUS, Choice, Number

MOST_DIGITS = 4


def convict(problem, sets=None):
    """What is unfair in the marking of a problem, one sentence for each kind of case, with an example; () for nothing.

    For every usable set of figures, or those given, it types each number of the text in its own unit, the answer
    with the other sign, rounded, with a comma for thousands, in each other unit, and each wrong way rounded.

    >>> from tempkit.exercises.catalogue import problems
    >>> convict(problems("02-step-in-mv")["02-step-in-mv"])
    ()
    """
    found = {}
    for figures in () if isinstance(problem.answer, Choice) else usable_sets(problem) if sets is None else sets:
        for kind, text, told in _Trial(problem, figures).unfair():
            found.setdefault((kind, told), f"{problem.id}, {tuple(figures)}: {kind}, typed “{text}”: {told}")
    return tuple(found.values())


class _Trial:
    """One problem with one set of figures."""

    def __init__(self, problem, figures):
        self.problem, self.figures, answer = problem, figures, problem.answer
        self.parts = columns(answer, figures)
        self.goal = cells(answer, target(problem, figures))
        self.width = tolerances(answer, figures)
        self.asked = tuple(map(place, self.parts, self.goal, self.width))
        self.ways = [(way.key, cells(answer, value)) for way, value in offered(problem, figures)]

    def unfair(self):
        """All unfair verdicts, as (kind, typed text, what is wrong with it)."""
        for n in range(len(self.goal)):
            for kind, text, fair in self._cases(n):
                verdict = self._check(n, text)
                told = fair(verdict) or (len(self.goal) == 1 and self._farther(verdict, text))
                if told:
                    yield kind, text, told
        yield from self._wrong_ways()

    def _check(self, n, text):
        """The verdict on a text for number n; the other numbers of a table are right."""
        if isinstance(self.problem.answer, Number):
            return check(self.problem, self.figures, text)
        right = [f"{value!r} {part.unit}" for value, part in zip(self.goal, self.parts, strict=True)]
        return check(self.problem, self.figures, [*right[:n], text, *right[n + 1 :]])

    def _cases(self, n):
        part, goal, width, asked = self.parts[n], self.goal[n], self.width[n], self.asked[n]
        for value, sign in given(self.problem, self.figures, part) if isinstance(self.problem.answer, Number) else ():
            yield "a number of the text", f"{value!r} {sign}", _never_right
        if abs(2 * goal) > width:
            yield "the other sign", f"{-goal!r} {part.unit}", _slip
        for digits in range(1, MOST_DIGITS + 1) if goal else ():
            text, off = _rounded(goal, power(abs(goal)) / 10 ** (digits - 1))
            enough = factor_of(part) or off <= width * (1 + 1e-9) + 1e-12 * abs(goal)
            yield f"{digits} digits", f"{text} {part.unit}", _right if enough else self._few(n, float(text), digits)
        yield "the digits asked for", f"{_rounded(goal, asked)[0]} {part.unit}", _right
        if abs(goal) >= 1000:
            fair = _right if part.whole or abs(goal) >= 1e6 else _comma_told
            yield "a comma for thousands", f"{round(goal):,} {part.unit}", fair
        for sign in reading.signs(part.quantity):
            if sign != part.unit:
                yield from self._in_unit(n, sign)

    def _in_unit(self, n, sign):
        part, goal, width = self.parts[n], self.goal[n], self.width[n]
        there = reading.convert(goal, part.unit, sign, part.quantity)
        fair = _refused if part.own_unit else _right
        yield "another unit", f"{there!r} {sign}", fair
        ratio = reading.find(part.unit, part.quantity).factor / reading.find(sign, part.quantity).factor
        asked = place(part, there, width) if part.digits else power(self.asked[n] * ratio) if self.asked[n] else 0.0
        yield "another unit, rounded", f"{_rounded(there, asked)[0]} {sign}", fair
        factor = factor_of(part)
        if factors(goal, there, factor) > 1 + 1e-9 if factor else abs(goal - there) > width * ratio:
            yield "the figure with another unit", f"{goal!r} {sign}", _refused if part.own_unit else _slip

    def _few(self, n, typed, digits):
        """Too few digits are their own state, but where a wrong way or a neighbour gives that very figure."""
        part = self.parts[n]
        same = any(abs(values[n] - typed) <= 1e-9 * abs(typed) for _, values in self.ways)

        def fair(verdict):
            if verdict.right:
                return "a number with too few digits is right"
            told_so = verdict.rounded or same or (part.whole and (digits == 1 or NO_SLIP not in verdict.remark))
            return "" if told_so else f"too few digits are told as: {verdict.remark}"

        return fair

    def _wrong_ways(self):
        for key, values in self.ways:
            for digits in range(2, MOST_DIGITS + 1):
                texts = [
                    _rounded(value, max(power(abs(value)) / 10 ** (digits - 1), asked))[0] if value else "0"
                    for value, asked in zip(values, self.asked, strict=True)
                ]
                off = [
                    factors(float(t), g, factor_of(p)) if factor_of(p) else abs(float(t) - g) / (w or 1e-12)
                    for t, g, w, p in zip(texts, self.goal, self.width, self.parts, strict=True)
                ]
                typed = [f"{text} {part.unit}" for text, part in zip(texts, self.parts, strict=True)]
                verdict = check(self.problem, self.figures, typed[0] if len(typed) == 1 else typed)
                told = max(off) > 1 + 1e-6 and (_slip if any(map(float, texts)) else _never_right)(verdict)
                told = told or (len(typed) == 1 and self._farther(verdict, typed[0]))
                if told:
                    yield f"wrong way {key}, {digits} digits", "; ".join(typed), told

    def _farther(self, verdict, text):
        """A remark that names something farther off than something else."""
        if verdict.right or verdict.rounded or not verdict.understood:
            return ""
        number, _, sign = text.replace(MINUS, "-").replace(",", "").rpartition(" ")
        part, goal = self.parts[0], self.goal[0]
        unit = reading.find(sign, part.quantity)
        if not number or unit is None or verdict.remark.endswith("decimal mark."):
            return ""
        typed = float(number)

        def off(value, to=unit.sign):
            return gap(reading.convert(value, part.unit, to, part.quantity))

        def gap(value):
            return factors(value, typed, factor_of(part)) if factor_of(part) else abs(value - typed)

        there = reading.convert(goal, part.unit, unit.sign, part.quantity)
        away = {key: off(values[0]) for key, values in self.ways}
        away |= {"the right value": off(goal), "the sign": gap(-there)}
        others = (off(goal, other) for other in reading.signs(part.quantity) if other != unit.sign)
        away["the unit"] = min(others, default=inf)
        shifts = (1e3, 1e-3, *((1e2, 1e-2) if part.quantity == "percent" else ()))
        away["the factor"] = min(gap(there * shift) for shift in shifts)
        marks = {SIGN: "the sign", OTHER_UNIT: "the unit", FACTOR: "the factor"}
        named = verdict.way or next((name for mark, name in marks.items() if verdict.remark.startswith(mark)), None)
        nearest = min(away, key=away.get)
        if named and away[named] > away[nearest] + 1e-9 * abs(typed) + 1e-12:
            return f"the remark names {named}, but {nearest} is nearer"
        return ""


def _rounded(value, step):
    """A value rounded to a power of ten as text, and how far off that is; 0.0 keeps all digits."""
    if not step:
        return repr(value), 0.0
    text = f"{round(value / step) * step:.{max(0, -round(_exponent(step)))}f}"
    return text, abs(float(text) - value)


def _exponent(step):
    return int(f"{step:e}".partition("e")[2])


def _right(verdict):
    return "" if verdict.right else f"a right answer is refused: {verdict.remark}"


def _never_right(verdict):
    return "it counts as right" if verdict.right else ""


def _slip(verdict):
    if NO_SLIP in verdict.remark:
        return "a usual slip is told as none"
    return _never_right(verdict)


def _refused(verdict):
    return "another unit is taken" if verdict.understood else ""


def _comma_told(verdict):
    told = verdict.right or "comma" in verdict.remark
    return "" if told else f"a comma for thousands is not told: {verdict.remark}"
