"""A trace of a link told in sentences and as rows of a table."""

import numpy as np

from tempkit.explorers.stage import warning


def words(seen, book):
    """What came, in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.live_trace import explorer
    >>> print(words(explorer(happens="none").result(), Book()))
    Pretend board, invented readings: 117 lines in the last 120 s, each a reading, no gap. The latest is 21.3 °C,
    0.2 s old; the lowest 21.3 °C, the highest 24.1 °C.
    """
    told = f"{seen.source or 'Pretend board, invented readings'}: {count(seen.times_s.size + seen.odd_s.size, 'line')} "
    told += f"in the last {seen.shown_s:.0f} s, {_odd(seen)}, {gaps_told(seen)}. "
    if seen.last_c is None:
        return told + f"No reading has come yet; the port is {seen.state}." + warning(problems(seen, book))
    low, high = (book.temperature(end(seen.readings_c)) for end in (np.min, np.max))
    told += (
        f"The latest is {book.temperature(seen.last_c)}, {seen.age_s:.1f} s old; the lowest {low}, the highest {high}."
    )
    return told + warning(problems(seen, book))


def count(number, what):
    """A count in words.

    >>> count(1, "line"), count(3, "line")
    ('1 line', '3 lines')
    """
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _odd(seen):
    if not seen.odd_s.size:
        return "each a reading" if seen.times_s.size else "none a reading"
    return f"{seen.odd_s.size} of them no reading"


def gaps_told(seen):
    """The gaps shown, with their length.

    >>> from tempkit.explorers.live_trace import explorer
    >>> gaps_told(explorer().result())
    '1 gap of 18.6 s'
    """
    if not seen.gaps:
        return "no gap"
    total = sum(end - start for start, end in seen.gaps)
    return f"{count(len(seen.gaps), 'gap')} of {total:.1f} s" + (" together" if len(seen.gaps) > 1 else "")


def problems(seen, book):
    """What a look at the trace should raise doubts about."""
    if seen.age_s is not None and seen.age_s > 5.0:
        yield f"nothing has come for {seen.age_s:.1f} s; the latest reading is not the present one"
    if seen.readings_c.size > 20 and np.ptp(seen.readings_c[-20:]) == 0:
        yield "the last 20 readings are all the same; a converter that sticks looks so"
    jumps = np.abs(np.diff(seen.readings_c))
    if jumps.size and jumps.max() > 10.0:
        yield f"one reading is more than {book.span(10.0)} from the one before; air does not jump so"


def facts(seen, book):
    """Rows of the number table."""
    rows = [
        ("source", seen.source or "pretend board, invented readings"),
        ("port", seen.state),
        ("time shown", f"{seen.shown_s:.0f} s"),
        ("lines in it", str(seen.times_s.size + seen.odd_s.size)),
        ("lines that are no reading", str(seen.odd_s.size)),
        ("gaps in it", gaps_told(seen)),
        ("lines since the start", str(seen.lines)),
        ("gaps since the start", str(seen.gap_count)),
        ("read from", seen.column or "nothing yet"),
    ]
    if seen.last_c is not None:
        rows += [
            ("latest reading", f"{book.temperature(seen.last_c)}, {seen.age_s:.1f} s old"),
            ("lowest", book.temperature(seen.readings_c.min())),
            ("highest", book.temperature(seen.readings_c.max())),
        ]
    return [*rows, *(("mind", told) for told in problems(seen, book))]
