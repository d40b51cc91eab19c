"""The error budget of a design as a plain-text table, as one pastes it in a report."""

from functools import partial

from tempkit.book import Book
from tempkit.chain import points_c
from tempkit.text import digits
from tempkit.uncertainty.whole_chain import before_after, chain_budget

WIDTHS = (32, 17, 14, 15, 15, 9)
HEADINGS = ("quantity", "limits or u", "distribution", "sensitivity", "contribution", "share")
TRIALS, SEED = 200_000, 1
SMALL = 1e-6


def budget_table(design, book=None, at=None, level=0.95):
    """Design -> its error budget as plain text, in the scale of `book` (degC without one); ends with a line feed.

    `at` is the true temperature in that scale; without it the middle of the alarm's window, or of the sensor's range.
    Where the design has a calibration, the budget after it follows. Raises `ValueError` for a temperature outside the
    sensor's range, or where the converter saturates.

    >>> from tempkit.chain import Design, scenario
    >>> print(budget_table(Design("North bench", scenario()), at=25.0).splitlines()[3])
    ERROR BUDGET of the reading at 25.0 °C
    """
    book = book or Book()
    t_c = points_c(design)[len(points_c(design)) // 2] if at is None else book.to_celsius(at)
    points = design.calibration.points_c if design.calibration else ()
    for each_c in (t_c, *points):
        _check(design.chain, each_c, book)
    budget = chain_budget(design, t_c, level)
    lines = [design.title, "=" * len(design.title), "", f"ERROR BUDGET of the reading at {book.temperature(t_c)}"]
    lines += _budget(budget, book)
    if design.calibration is not None:
        lines += ["", f"AFTER A CALIBRATION at {' and '.join(map(book.temperature, points))}"]
        lines += _budget(before_after(budget, design.calibration).after, book)
    return "\n".join(lines) + "\n"


def refusal(chain, t_c, book):
    """Why a chain has no budget at the temperature `t_c` [degC], in the scale of `book`; None where it has one.

    >>> from tempkit.chain import scenario
    >>> refusal(scenario(), 25.0, Book()) is None
    True
    """
    (low, high), reference_v = chain.sensor.range_c, chain.reference.actual_v
    if not low <= t_c <= high:
        where = f"{book.temperature(low)} to {book.temperature(high)}"
        return f"temperature {book.temperature(t_c)} is outside the sensor's range of {where}: choose one inside it"
    v = chain.volts(t_c)
    if not chain.converter.saturated(v, reference_v):
        return None
    return (
        f"temperature {book.temperature(t_c)} gives {v:.4g} V, outside the converter's 0 to {reference_v:.4g} V: "
        "its code is saturated and the reading says nothing; choose another temperature or reference"
    )


def _check(chain, t_c, book):
    told = refusal(chain, t_c, book)
    if told:
        raise ValueError(told)


def _budget(budget, book):
    heads = _cells(HEADINGS)
    rows = [_row(row, book) for row in budget.rows]
    return ["", heads, "  " + "-" * (len(heads) - 2), *rows, "", *_sums(budget, book)]


def _cells(cells):
    left = "".join(f"{cell:<{width}}" for cell, width in zip(cells[:3], WIDTHS[:3], strict=True))
    return "  " + left + "".join(f"{cell:>{width}}" for cell, width in zip(cells[3:], WIDTHS[3:], strict=True))


def _row(row, book):
    size, unit = _size(row, book)
    per = book.sign if row.unit == "degC" else row.unit
    factor = 1.0 if row.unit == "degC" else book.span_from_celsius(1.0)
    cells = (
        row.name,
        f"{'±' if row.limits else 'u = '}{size} {unit}",
        row.shape,
        f"{_number(row.sensitivity * factor)} {book.sign}/{per}",
        _span(row.standard_c, book),
        f"{100 * row.share:.1f} %",
    )
    return _cells(cells)


def _size(row, book):
    """The size of a row and its unit as one writes them: volts below one in millivolts."""
    if row.unit == "degC":
        return _number(book.span_from_celsius(row.size)), book.sign
    if row.unit == "V" and row.size < 1:
        return _number(row.size * 1000), "mV"
    return _number(row.size), row.unit


def _number(value):
    return digits(value if abs(value) > SMALL else 0.0)


def _span(d_c, book, signed=False):
    text = _number(book.span_from_celsius(d_c))
    return f"{'+' if signed and not text.startswith('−') and float(text) else ''}{text} {book.sign}"


def _sums(budget, book):
    span = partial(_span, book=book)
    percent = f"{100 * budget.level:g} %"
    low, high = (end - budget.reading_c for end in budget.simulated(TRIALS, SEED).interval(budget.level))
    worst, trials = (" to ".join(span(end, signed=True) for end in ends) for ends in (budget.worst_c, (low, high)))
    freedom = "infinite" if budget.dof == float("inf") else digits(budget.dof)
    return [
        _line("combined standard uncertainty", f"u_c = {span(budget.standard_c)}, degrees of freedom {freedom}"),
        _line("expanded uncertainty", f"U = {span(budget.expanded_c)}, k = {budget.k:.2f}, level {percent}"),
        _line(f"Monte Carlo, {TRIALS} trials", f"{trials}, level {percent}"),
        _line("worst case, sum of the limits", f"±{span(budget.worst_sum_c)}; u of a normal row counts three times"),
        _line("worst case, whole formula", worst),
        *_corrections(budget, span),
    ]


def _line(label, text):
    return f"  {label:<{WIDTHS[0]}}{text}"


def _corrections(budget, span):
    lines = [_line("correction to add to a reading", span(budget.correction_c, signed=True))]
    lines += [_line(f"  for {name}", span(part_c, signed=True)) for name, part_c in budget.corrections]
    if abs(budget.lower_edge_correction_c) > SMALL:
        half_step = span(budget.lower_edge_correction_c, signed=True)
        lines.append(_line("  where lower edges are read", f"{half_step} more, half a step"))
    return lines
