"""The lines of a requirement as text: what is wanted, what a design does, and the margin."""

from math import isinf

from tempkit.requirement import PRICE, TEMPERATURES

UNITS = {"s": "s", "1/min": "a minute", "": ""}


def told(line, value, book):
    """A number of a line as text, in the reader's scale; "none" where a design cannot do it at all.

    >>> from tempkit.book import Book
    >>> from tempkit.requirement import Line
    >>> told(Line("late by", "s", 60.0, 47.517), 47.517, Book())
    '47.5 s'
    """
    if isinf(value):
        return "none"
    if line.unit == "degC":
        return book.temperature(value) if line.name in TEMPERATURES else book.span(value, 2)
    if line.name == PRICE:
        return f"{value:.2f}"
    return f"{round(value, 1 if line.unit == 's' else 2):g} {UNITS[line.unit]}".strip()


def wanted_told(line, book):
    """What a line wants, as text.

    >>> from tempkit.book import Book
    >>> from tempkit.requirement import Line
    >>> wanted_told(Line("warmest reading", "degC", 45.0, 125.0, most=False), Book())
    'at least 45.0 °C'
    """
    return f"at {'most' if line.most else 'least'} {told(line, line.wanted, book)}"


def margin_told(line, book, sign=True):
    """A line's margin as text, with its sign or as a bare size; the margin of a temperature is a span.

    >>> from tempkit.book import Book
    >>> from tempkit.requirement import Line
    >>> margin_told(Line("warmest reading", "degC", 45.0, 40.0, most=False), Book())
    '−5.00 °C'
    """
    if isinf(line.margin):
        return "none" if sign else "no end"
    size = book.span(abs(line.margin), 2) if line.unit == "degC" else told(line, abs(line.margin), book)
    return f"{'+' if line.margin >= 0 else '−'}{size}" if sign else size


def verdict_told(line, book):
    """A line with its verdict in one row of text.

    >>> from tempkit.book import Book
    >>> from tempkit.requirement import Line
    >>> verdict_told(Line("late by", "s", 60.0, 47.517), Book())
    'passes  late by: 47.5 s, wanted at most 60 s, margin +12.5 s'
    """
    told_all = f"{told(line, line.does, book)}, wanted {wanted_told(line, book)}, margin {margin_told(line, book)}"
    return f"{'passes' if line.passes else 'fails '}  {line.name}: {told_all}"


def requirement_told(requirement, book):
    """A requirement in a few sentences, in short lines.

    >>> from tempkit.book import Book
    >>> from tempkit.requirement import Requirement
    >>> print(requirement_told(Requirement(), Book()))
    Read from 0.0 °C to 45.0 °C. The lamp is silent at 19.0 °C and called at 17.0 °C; the buzzer is silent at 26.0 °C
    and called at 28.0 °C; each with a probability of 95 %. While the temperature changes by 0.50 °C a minute, the call
    is at most 60 s late. Calls a minute on a limit itself: at most 3. Price of the parts: at most 12.00 (invented).
    """
    t, need = book.temperature, requirement
    lamp = f"The lamp is silent at {t(need.low_c[0])} and called at {t(need.low_c[1])}"
    buzzer = f"the buzzer is silent at {t(need.high_c[0])} and called at {t(need.high_c[1])}"
    return (
        f"Read from {t(need.range_c[0])} to {t(need.range_c[1])}.\n"
        f"{lamp};\n{buzzer};\neach with a probability of {100 * need.level:g} %.\n"
        f"While the temperature changes by {book.span(need.rate_c_per_min, 2)} a minute, the call is at most "
        f"{need.late_s:g} s late.\nCalls a minute on a limit itself: at most {need.raises_per_min:g}.\n"
        f"Price of the parts: at most {need.price:.2f} (invented)."
    )
