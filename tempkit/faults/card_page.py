"""The bench card on paper: one HTML page with the circuit in it, for A4 or Letter, in ink on white, without scripts."""

import html
from pathlib import Path

from tempkit.draw import diagram, fine_img, print_page, words
from tempkit.faults.card import card_text

TICK, ANSWER = "&#9744;", "read"
TO_DO = ("BEFORE POWER", "FIRST POWER", "WIRING, power off")
STYLE = """
ol, ul { margin: 1mm 0 0; padding: 0; list-style: none; }
li { margin: 0.6mm 0; padding-left: 13mm; text-indent: -13mm; break-inside: avoid; }
li b { display: inline-block; width: 13mm; text-indent: 0; font-weight: normal; }
ul li { padding-left: 5mm; text-indent: -5mm; }
ul li b { width: 5mm; }
td.answer { min-width: 24mm; }
img { max-width: 125mm !important; margin: 2mm auto; }
"""
FIRST = "Power off before a wire is moved. A sensor that gets warm: remove the power at once."


def sheet_html(card, design):
    """A card and its design -> one self-contained HTML page, to be printed; the circuit is a picture with alt text.

    >>> from tempkit.faults.card import bench_card
    >>> from tempkit.chain import Design, scenario
    >>> bench = Design("North bench", scenario())
    >>> sheet_html(bench_card(bench), bench).splitlines()[0]
    '<!DOCTYPE html>'
    """
    title = f"Bench card. {card.title}"
    body = [
        f"<h1>{html.escape(title)}</h1>",
        f"<p>Room {html.escape(card.room)}. Low voltage only. Date: ______________ Name: ______________________</p>",
        f'<p class="caution">{FIRST}</p>',
        "<h2>CIRCUIT</h2>",
        _circuit(design.chain),
        *(_section(section) for section in card.sections),
    ]
    return print_page(title, body, STYLE)


def _circuit(chain):
    """The circuit diagram, with its words as alt text."""
    return fine_img(diagram(chain), words(chain))


def _section(section):
    note = f"<p>{html.escape(section.note)}</p>" if section.note else ""
    inner = _table(section) if section.heads else _list(section)
    return f"<section><h2>{html.escape(section.title)}</h2>{note}{inner}</section>"


def _list(section):
    box = f"{TICK} " if section.title in TO_DO else ""
    marks = (f"{box}{number}." if section.numbered else "&#8211;" for number in range(1, len(section.rows) + 1))
    items = (f"<li><b>{mark}</b>{html.escape(text)}</li>" for mark, (text,) in zip(marks, section.rows, strict=True))
    tag = "ol" if section.numbered else "ul"
    return f"<{tag}>{''.join(items)}</{tag}>"


def _table(section):
    """A table; where something is to be read off, with an empty column for it."""
    asked = section.title in ("METER", "FIRST CODES")
    heads = (*section.heads, ANSWER) if asked else section.heads
    head = "".join(f'<th scope="col">{html.escape(each)}</th>' for each in heads)
    blank = '<td class="answer"></td>' if asked else ""
    rows = "".join(_row(row, blank) for row in section.rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _row(row, blank):
    first, *rest = (html.escape(cell) for cell in row)
    cells = "".join(f"<td>{cell}</td>" for cell in rest)
    return f'<tr><th scope="row">{first}</th>{cells}{blank}</tr>'


def write(card, design, folder, name):
    """Write a card to `folder` as `NAME-bench-card.txt` and `.html`, and return the two paths.

    The folder is made where it is missing. Raises `ValueError` where it cannot be written.
    """
    folder = Path(folder)
    pages = {".txt": card_text(card), ".html": sheet_html(card, design)}
    paths = tuple(folder / f"{name}-bench-card{ending}" for ending in pages)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, text in zip(paths, pages.values(), strict=True):
            path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise ValueError(f"--out {folder} cannot be written ({error.strerror}): name a folder of your own") from None
    return paths
