"""Where a reader's value lands: on one rail, or as a curve on a chart; dashed is the reader's, full ink is right."""

from dataclasses import dataclass

import numpy as np

from tempkit.draw.chart import DASHES, SENSOR, TRUTH, Axis, Chart, Charts, Line, Markers
from tempkit.draw.pictures import BLUE, GREEN, INK, ORANGE, PAPER, PINK, QUIET, Look, Picture

COLORS = {"temperature": BLUE, "temperature span": BLUE, "voltage": ORANGE, "code": GREEN}
MARKED_ROOM, MARKED = 4, 9


@dataclass(frozen=True)
class LowLook(Look):
    """The look of a picture that is one rail only; `empty`, it needs no room for ink.

    >>> LowLook().size, LowLook(room=True).size, LowLook(empty=True).size
    ((960, 120), (1080, 240), (960, 72))
    """

    empty: bool = False

    @property
    def size(self):
        """Width and height of the picture [px]."""
        return (1080, 160 if self.empty else 240) if self.room else (960, 72 if self.empty else 120)


class FlatLook(Look):
    """The look of a chart that stands among the lines of a page."""

    @property
    def size(self):
        """Width and height of the picture [px]."""
        return (1080, 480) if self.room else (960, 300)


@dataclass(frozen=True)
class Landed:
    """What a rail shows: its `name`, `quantity` and ends; `yours`, dashed, with `told` beside it; `right`, in full ink.

    Either is None where it is not shown; `value` is the text beneath the name. A value beyond an end stands there as
    an arrow.
    """

    name: str
    quantity: str
    low: float
    high: float
    value: str
    yours: float | None = None
    right: float | None = None
    told: str = ""


class RailPicture(Picture):
    """One rail with the ink that lands on it: shows a `Landed`."""

    def __init__(self, look=None):
        super().__init__(look or LowLook())

    def frame(self, landed):
        return landed

    def move(self, landed):
        pass  # nothing moves: a new value is a new picture

    def build(self, landed):
        width, height = self.lay_page()
        look, body = self.look, self.look.body
        self.left, self.right = 14 + 5.5 * look.big + 1.8 * body, width - 1.65 * body
        self.span, self.thick = (landed.low, landed.high), 4.2 * look.line
        self.y = self.thick / 2 + 12 + 1.5 * body
        self.top = height - 4
        self.text(self.page, 14, self.y + 0.45 * body, landed.name, va="bottom")
        self.text(self.page, 14, self.y + 0.1 * body, landed.value, size=look.big, bold=True, va="top")
        self._rail(COLORS.get(landed.quantity, PINK))
        if landed.right is not None:
            self._ink(landed.right, "-")
        if landed.yours is not None:
            self._ink(landed.yours, DASHES)
            self._told(landed)

    def x(self, value):
        """The place of a value [px]; what lies beyond an end stands at it."""
        low, high = self.span
        return self.left + (self.right - self.left) * (float(np.clip(value, low, high)) - low) / (high - low)

    def _rail(self, color):
        from matplotlib.patches import Rectangle

        low, high = self.span
        bar = Rectangle(
            (self.left, self.y - self.thick / 2), self.right - self.left, self.thick, facecolor=color, edgecolor=color
        )
        self.page.add_patch(bar)
        foot = self.y - self.thick / 2
        for place in marks(low, high, MARKED_ROOM if self.look.room else MARKED):
            x = self.x(place)
            self.page.plot([x, x], [foot - 6, foot], color=INK, lw=1.2)
            words = f"{place:g}".replace("-", "\N{MINUS SIGN}")
            self.text(self.page, x, foot - 8, words, ha="center", va="top")

    def _ink(self, value, dash):
        low, high = self.span
        line, x = self.look.line, self.x(value)
        marker = "<" if value < low else ">" if value > high else "o"
        edge = INK if dash == "-" else QUIET
        self.page.plot([x, x], [self.y, self.top], color=edge, lw=line, ls=dash, zorder=6)
        ring = {"marker": marker, "ms": 4 * line, "mfc": PAPER, "mec": edge, "mew": line * (1 if dash == "-" else 0.6)}
        self.page.plot([x], [self.y], ls="", zorder=7 if dash == "-" else 6.5, **ring)

    def _told(self, landed):
        """Words beside the dashed ink, on the side with more room."""
        x = self.x(landed.yours)
        left = x > (self.left + self.right) / 2
        gap = 0.6 * self.look.body * (-1 if left else 1)
        y = (self.y + self.thick / 2 + self.top) / 2
        self.text(self.page, x + gap, y, landed.told, ha="right" if left else "left", va="center", zorder=8)


def marks(low, high, most):
    """Round places from `low` to `high`, `most` steps at most; quarters of a power of two, as codes count.

    >>> marks(0, 1024, 9), marks(0.5, 1.0, 4)
    ([0.0, 256.0, 512.0, 768.0, 1024.0], [0.6, 0.8, 1.0])
    """
    from matplotlib.ticker import MaxNLocator

    if low == 0 and high > 64 and float(np.log2(high)).is_integer():
        places = np.linspace(0, high, 5)
    else:
        places = MaxNLocator(most, steps=[1, 2, 5, 10]).tick_values(low, high)
    return [round(float(place), 9) for place in places if low - 1e-9 <= place <= high + 1e-9]


@dataclass(frozen=True)
class DrawnCurve:
    """What a chart shows of a curve: the reader's values `yours` at the places `at`, dashed, and the `right` curve.

    Either may be empty; `right` is a pair of arrays. `across` is (name, unit, low, high), `up` the same.
    """

    across: tuple
    up: tuple
    at: tuple
    yours: tuple = ()
    right: tuple = ((), ())


def curve_picture(drawn, look=None):
    """The picture that shows a `DrawnCurve`, with a key to its marks.

    >>> curve_picture(DrawnCurve(("after", "s", 0, 9), ("shown", "°C", 0, 9), (1, 2))).img("No curve yet.")[:24]
    '<img alt="No curve yet."'
    """
    (name, unit, *span), (label, sign, *rise) = drawn.across, drawn.up
    marks = [Line(lambda d: d.right, TRUTH, key="right")] if len(drawn.right[0]) else []
    if drawn.yours:
        yours = {"at": lambda d: (d.at, d.yours)}
        marks += [Line(**yours, stroke=SENSOR, key="yours"), Markers(**yours)]
    charts = Charts(Chart(Axis(name, unit, tuple(span)), Axis(label, sign, tuple(rise)), tuple(marks)))
    return charts(look or FlatLook()).show(drawn)
