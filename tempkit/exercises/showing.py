"""What a problem shows beside its text, as HTML: lines of a log, a graph, a table with some of its numbers in it."""

import html
from functools import lru_cache

from tempkit.exercises.kinds import Table, plain

MOST_KEPT = 256


def listing_html(posed):
    """The listing of a posed problem in type of one width, "" without.

    >>> from tempkit.exercises import problem
    >>> listing_html(problem("02-step-in-mv"))
    ''
    """
    return f"<pre>{escaped(chr(10).join(posed.listing))}</pre>" if posed.listing else ""


def picture_html(posed, room=False):
    """The graph of a posed problem as an image with its alt text, "" without; `room` for the back row.

    >>> from tempkit.exercises import problem
    >>> picture_html(problem("02-step-in-mv"))
    ''
    """
    return _drawn(posed.graph, room) if posed.graph else ""


@lru_cache(maxsize=MOST_KEPT)
def _drawn(graph, room):
    from tempkit import draw

    return draw.img(graph.png(room), graph.alt, draw.Look(room).size[0])


def table_html(posed):
    """The table of a posed problem where some of its numbers stand in it already, the others as question marks; "" for
    every other problem.

    >>> from tempkit.exercises import problem
    >>> table_html(problem("02-step-in-mv"))
    ''
    """
    answer = posed.problem.answer
    return shown_table(posed, "<td>?</td>") if isinstance(answer, Table) and answer.shown else ""


def shown_table(posed, blank):
    """The table of a posed problem, with `blank` (HTML) for each number that is asked for."""
    answer, figures = posed.problem.answer, posed.figures
    asked = set(answer.asked(figures))
    head = "".join(f"<th scope='col'>{escaped(_column(column))}</th>" for column in answer.columns)

    def row(r, label, numbers):
        cells = ("" if cell is None else plain(cell, 4) for cell in numbers)
        told = (blank if (r, c) in asked else f"<td>{escaped(cell)}</td>" for c, cell in enumerate(cells))
        return f"<tr><th scope='row'>{escaped(label)}</th>{''.join(told)}</tr>"

    labelled = enumerate(zip(answer.rows(figures), answer.value(figures), strict=True))
    rows = "".join(row(r, *rest) for r, rest in labelled)
    return f"<table><thead><tr><td></td>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _column(column):
    return column.name if column.unit in ("", "code") else f"{column.name}, {column.unit}"


def escaped(text):
    """Text for HTML: markup signs escaped, control signs made visible.

    >>> escaped("<b>\\x00")
    '&lt;b&gt;\\ufffd'
    """
    return html.escape("".join(sign if sign.isprintable() or sign == "\n" else "\ufffd" for sign in str(text)))
