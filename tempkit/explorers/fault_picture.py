"""The picture of chapter 11: a log of the hand test against time, beside a healthy one or under a ruler."""

import numpy as np

from tempkit.book import Book
from tempkit.draw import BLUE, INK, ORANGE, PAPER, Picture
from tempkit.explorers.lens import DASHES, DOTS, rectangle

VIEWS_C = ((-10.0, 60.0), (-60.0, 130.0), (-60.0, 460.0))
# (left, bottom, width, height) of the chart, x of the heads, y of their names and of their values [px]
DESK = ((84, 62, 846, 350), (20, 430, 700), (488, 464))
ROOM = ((132, 88, 918, 276), (14, 610), (474, 432))
MOST = {False: 30, True: 25}  # characters of a line that fit
HELD = "#e6e6e6"
KEEPS = 0.98  # part of the readings that a view must hold


class FaultPicture(Picture):
    """Shows a result with `t_s`, `reading_c`, `healthy_s`, `healthy_c` (empty for none), `ruler_c` (None for none),
    `held_s` (start and end), `line` (bytes) and `heads` (two pairs of name and value, written by the book).

    Blue: the log. Orange dashes: the healthy one. Ink: the ruler. Grey: held between two fingers.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y = ROOM if self.look.room else DESK

    def frame(self, at):
        """The smallest view that holds nearly all readings."""
        shown = np.concatenate([at.reading_c, at.healthy_c])
        fits = [((low <= shown) & (shown <= high)).mean() >= KEEPS for low, high in VIEWS_C] if shown.size else [True]
        view = VIEWS_C[fits.index(True)] if True in fits else VIEWS_C[-1]
        return (*view, *at.held_s, bool(at.healthy_c.size), at.end_s)

    # ---- parts that stand still

    def build(self, frame):
        low, high, start_s, end_s, healthy, last_s = frame
        self.lay_page()
        self.lay_heads(self.heads, *self.head_y)
        self.values[0].set_family("monospace")
        ends = [self.book.from_celsius(t_c) for t_c in (low, high)]
        dashed = "; dashed: healthy" if healthy else "; dashed: the ruler"
        where = f"time, s{dashed}" if self.look.room else f"time, s (grey: held between two fingers{dashed})"
        axes = self.axes = self.chart(self.box, where, f"reading, {self.book.sign}", (0, last_s), ends)
        rectangle(axes, start_s, ends[0], end_s - start_s, ends[1] - ends[0], zorder=0.5, facecolor=HELD, lw=0)
        self._lines(axes)

    def _lines(self, axes):
        line = self.look.line
        self.healthy = self.plotted(axes, color=ORANGE, lw=line * 1.2, ls=DASHES, zorder=5)
        self.log = self.plotted(axes, color=BLUE, lw=line, zorder=6)
        self.ruler = self.plotted(axes, color=INK, lw=line * 0.8, ls=DOTS, zorder=7)
        place = {"ha": "center", "va": "center", "transform": axes.transAxes, "zorder": 8}
        self.note = self.moving(self.text(axes, 0.5, 0.86, size=self.look.gap, bold=True, **place))
        self.note.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 3})

    # ---- moving

    def move(self, at):
        names = ("a line of the log", *(name for name, _ in at.heads(self.book, self.look.room)))
        values = (self._line(at.line), *(value for _, value in at.heads(self.book, self.look.room)))
        for artists, texts in ((self.names, names), (self.values, values)):
            for artist, words in zip(artists, texts, strict=False):
                artist.set_text(words)
        self.log.set_data(at.t_s, self.book.from_celsius(at.reading_c))
        self.healthy.set_data(at.healthy_s, self.book.from_celsius(at.healthy_c))
        ruled = at.ruler_c is not None
        self.ruler.set_visible(ruled)
        if ruled:
            self.ruler.set_data([0, at.end_s], [self.book.from_celsius(at.ruler_c)] * 2)
        self.note.set_text("" if at.reading_c.size else "no line can be read")

    def _line(self, line):
        text = readable(line)
        text = text.removeprefix(text.split(" ")[0] + " ") if self.look.room and text.startswith("t=") else text
        most = MOST[self.look.room]
        return text if len(text) <= most else f"{text[: most - 1]}…"


def readable(line):
    r"""A line's bytes as text: letters, digits and signs as they are, every other character as a dot in the middle.

    >>> readable(b"t=1.0 read=25\xff\r\n")
    't=1.0 read=25·'
    """
    shown = line.rstrip(b"\r\n")
    text = "".join(chr(byte) if 32 <= byte < 127 else "·" for byte in shown)
    return text.replace("$", "·")
