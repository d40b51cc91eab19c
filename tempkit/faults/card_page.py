"""The bench card on paper: one HTML page with the circuit in it, for A4 or Letter, in ink on white, without scripts."""

import html
import io
from pathlib import Path

from tempkit.draw import DPI, PAPER, diagram, img, words
from tempkit.faults.card import card_text

TICK, ANSWER = "&#9744;", "read"
FINE = 3  # times as many dots as on a screen
TO_DO = ("BEFORE POWER", "FIRST POWER", "WIRING, power off")
STYLE = """
@page { margin: 12mm; }
* { box-sizing: border-box; }
body { font: 10pt/1.35 sans-serif; color: #000; background: #fff; max-width: 184mm; margin: 0 auto; padding: 4mm; }
h1 { font-size: 16pt; margin: 0 0 1mm; }
h2 { font-size: 11.5pt; margin: 5mm 0 1mm; border-bottom: 1.2pt solid #000; break-after: avoid; }
p { margin: 1mm 0; }
ol, ul { margin: 1mm 0 0; padding: 0; list-style: none; }
li { margin: 0.6mm 0; padding-left: 13mm; text-indent: -13mm; break-inside: avoid; }
li b { display: inline-block; width: 13mm; text-indent: 0; font-weight: normal; }
ul li { padding-left: 5mm; text-indent: -5mm; }
ul li b { width: 5mm; }
table { border-collapse: collapse; width: 100%; margin-top: 1mm; }
th, td { border: 0.5pt solid #000; padding: 0.8mm 1.5mm; text-align: left; vertical-align: top; }
thead th { border-bottom-width: 1.2pt; }
tbody th { font-weight: normal; }
tr { break-inside: avoid; }
td.answer { min-width: 24mm; }
img { display: block; width: 100%; max-width: 125mm !important; height: auto; margin: 2mm auto; }
.caution { border: 1.6pt solid #000; padding: 1.5mm 3mm; margin: 2mm 0; font-weight: bold; break-inside: avoid; }
@media print { body { max-width: none; padding: 0; } }
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
    title = html.escape(f"Bench card. {card.title}")
    body = [
        f"<h1>{title}</h1>",
        f"<p>Room {html.escape(card.room)}. Low voltage only. Date: ______________ Name: ______________________</p>",
        f'<p class="caution">{FIRST}</p>',
        "<h2>CIRCUIT</h2>",
        _circuit(design.chain),
        *(_section(section) for section in card.sections),
    ]
    head = f'<meta charset="utf-8"><title>{title}</title><style>{STYLE}</style>'
    return f'<!DOCTYPE html>\n<html lang="en"><head>{head}</head><body>\n' + "\n".join(body) + "\n</body></html>\n"


def _circuit(chain):
    """The circuit diagram, fine enough for paper, with its words as alt text."""
    figure, buffer = diagram(chain), io.BytesIO()
    figure.savefig(buffer, format="png", dpi=FINE * DPI, facecolor=PAPER)
    return img(buffer.getvalue(), words(chain), figure.canvas.get_width_height()[0])


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
