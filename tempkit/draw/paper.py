"""What is meant for paper: one page of HTML in ink on white, without scripts, for A4 or Letter."""

import html
import io

from tempkit.draw.pictures import DPI, PAPER, img

FINE = 3  # times as many dots as on a screen
STYLE = """
@page { margin: 12mm; }
* { box-sizing: border-box; }
body { font: 10pt/1.35 sans-serif; color: #000; background: #fff; max-width: 184mm; margin: 0 auto; padding: 4mm; }
h1 { font-size: 16pt; margin: 0 0 1mm; }
h2 { font-size: 11.5pt; margin: 5mm 0 1mm; border-bottom: 1.2pt solid #000; break-after: avoid; }
p { margin: 1mm 0; }
table { border-collapse: collapse; width: 100%; margin-top: 1mm; }
th, td { border: 0.5pt solid #000; padding: 0.8mm 1.5mm; text-align: left; vertical-align: top; }
thead th { border-bottom-width: 1.2pt; }
tbody th { font-weight: normal; }
tr { break-inside: avoid; }
img { display: block; width: 100%; height: auto; }
.caution { border: 1.6pt solid #000; padding: 1.5mm 3mm; margin: 2mm 0; font-weight: bold; break-inside: avoid; }
@media print { body { max-width: none; padding: 0; } }
"""


def print_page(title, parts, style=""):
    """A self-contained HTML page to print, from its title as text and its parts as HTML; `style` comes on top.

    >>> print_page("North & south", ["<p>Low voltage only.</p>"]).splitlines()[0]
    '<!DOCTYPE html>'
    """
    head = f'<meta charset="utf-8"><title>{html.escape(title)}</title><style>{STYLE}{style}</style>'
    return f'<!DOCTYPE html>\n<html lang="en"><head>{head}</head><body>\n' + "\n".join(parts) + "\n</body></html>\n"


def fine_img(figure, words):
    """A figure as an HTML `img` that is fine enough for paper, with `words` as its alt text."""
    buffer = io.BytesIO()
    figure.savefig(buffer, format="png", dpi=FINE * DPI, facecolor=PAPER)
    return img(buffer.getvalue(), words, figure.canvas.get_width_height()[0])
