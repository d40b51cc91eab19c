"""The picture of chapter 02: a staircase of readings over temperature, and the error of each as a saw-tooth below."""

from dataclasses import dataclass

import numpy as np

from tempkit.book import Book, tidy
from tempkit.draw import BLUE, GREEN, INK, ORANGE, PAPER, QUIET, Picture

# --- All codes of a converter as a rail, above the staircase of chapter 02.

class CodeRail:
    """All codes of the converter as a rail: filled where the sensor's range reaches them, a mark at the present one."""

    def __init__(self, picture):
        from matplotlib.patches import Rectangle

        self.left, self.right = picture.left, picture.right
        width, height = picture.look.size
        axes = self.axes = picture.figure.add_axes((0, (height - 48) / height, 1, 48 / height))
        axes.set(xlim=(0, width), ylim=(0, 48))
        axes.axis("off")
        axes.add_patch(Rectangle((self.left, 6), self.right - self.left, 11, facecolor=PAPER, edgecolor=GREEN, lw=1.2))
        used = Rectangle((self.left, 6), 0, 11, facecolor=GREEN, edgecolor=GREEN, lw=1.2, zorder=2)
        self.used = picture.moving(axes.add_patch(used))
        self.words = picture.moving(picture.text(axes, self.left, 23, va="bottom"))
        self.mark = picture.moving(axes.plot([], [], color=INK, lw=picture.look.line * 1.4, zorder=3)[0])

    def move(self, result):
        way = result.way
        first, last = result.used
        per_code = (self.right - self.left) / way.codes
        self.used.set(x=self.left + per_code * first, width=per_code * result.used_codes)
        share = 100 * result.used_codes / way.codes
        self.words.set_text(
            f"codes 0 to {way.codes - 1}; the sensor's range uses {first} to {last}: {share:.0f} % of them"
        )
        self.mark.set_visible(way.code is not None)
        if way.code is not None:
            x = self.left + per_code * (way.code + 0.5)
            self.mark.set_data([x, x], [2, 21])


# --- Pages of a temperature axis: a view of fixed width that turns like a page, so that axes stand still in a drag.

# width of a page, between ticks, between ticks in a room; in the reader's scale; the whole range has no width
VIEWS = {
    "degC": {
        "closest": (0.25, 0.05, 0.1),
        "close": (1, 0.2, 0.5),
        "near": (5, 1, 2),
        "wide": (20, 5, 10),
        "whole": (0, 25, 50),
    },
    "degF": {
        "closest": (0.5, 0.1, 0.2),
        "close": (2, 0.5, 1),
        "near": (10, 2, 4),
        "wide": (40, 10, 20),
        "whole": (0, 50, 100),
    },
}
HALF = 0.6  # half of what is seen, in page widths: pages overlap a little
REACH = 0.2  # half of what a strip of errors shows, in page widths
MARGIN = 0.04  # beyond the whole range, as a part of it


@dataclass(frozen=True)
class Page:
    """Limits and ticks of a page, relative to its middle, in the reader's scale.

    `limits` of the axis; `reach` of an error strip, to both sides; `ticks` and `error_tick`; how many digits after
    the point their labels need. `width` is 0 for the whole range, which never turns.
    """

    width: float
    limits: tuple
    reach: float
    ticks: tuple
    error_tick: float
    tick_digits: int
    error_digits: int

    def centre(self, shown):
        """The middle of the page on which a temperature in the reader's scale lies.

        >>> page("degC", "near", (-40.0, 125.0)).centre(27.4), page("degC", "near", (-40.0, 125.0)).centre(27.6)
        (25.0, 30.0)
        """
        return self.width * float(np.floor(shown / self.width + 0.5)) if self.width else 0.0


def page(scale, view, whole, room=False):
    """The page of a view; `whole` is the sensor's range in the reader's scale.

    >>> page("degC", "near", (-40.0, 125.0)).limits, page("degC", "near", (-40.0, 125.0)).ticks
    ((-3.0, 3.0), (-3, -2, -1, 0, 1, 2, 3))
    """
    width, *ticks = VIEWS[scale][view]
    tick = ticks[room]
    span = width or whole[1] - whole[0]
    limits = (-HALF * width, HALF * width) if width else (whole[0] - MARGIN * span, whole[1] + MARGIN * span)
    first, last = int(np.ceil(limits[0] / tick - 1e-9)), int(np.floor(limits[1] / tick + 1e-9))
    error_tick = tick if tick < 0.8 * REACH * span else tick / 2
    places = tuple(tick * i for i in range(first, last + 1))
    return Page(width, limits, REACH * span, places, error_tick, _digits(tick), _digits(error_tick))


def _digits(step):
    """Digits after the point that multiples of a step need, at most 3."""
    return next((digits for digits in range(3) if abs(round(step, digits) - step) < 1e-9), 3)


MOST_TREADS = 220
TINT = "#e4e4e4"
PIXEL_GAP = 6


class Staircase(Picture):
    """Reading over temperature as stairs, with the error below on the same axis; shows a `bit_depth.Steps`.

    The view is a page of fixed width around a round temperature; as a slider is dragged, the tick labels move and the
    axes stay. Shaded: the temperatures that the present code stands for. Hatched: beyond the sensor's range. Where the
    steps are too fine to be seen, a band holds them.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        room = self.look.room
        width, height = self.look.size
        self.left, self.right = (128, width - 30) if room else (82, width - 24)
        self.strip_y = (90, 172) if room else (62, 156)
        self.main_y = (218, height - 42) if room else (194, height - 80)

    def frame(self, result):
        return result.view, result.way.sensor_c if result.view == "whole" else None

    def _rel(self, t_c):
        return self.book.from_celsius(t_c) - self.centre

    def _to_celsius(self, relative):
        return self.book.to_celsius(relative + self.centre)

    # ---- parts that stand still

    def build(self, frame):
        view, whole_c = frame
        whole = whole_c and tuple(self.book.from_celsius(end) for end in whole_c)
        self.page = page(self.book.scale, view, whole, self.look.room)
        self.limits, self.reach = self.page.limits, self.page.reach
        low, high = self.limits
        foot = (1.9 if self.look.room else 2.4) * self.look.body / (self.main_y[1] - self.main_y[0])
        self.floor = low - foot * (high - low)  # below the stairs there is a row for the width of a step
        self.main = self._axes(self.main_y, (self.floor, high))
        self.strip = self._axes(self.strip_y, (-self.reach, self.reach))
        self.per_px = (self.limits[1] - self.limits[0]) / (self.right - self.left)
        self.per_py = (high - self.floor) / (self.main_y[1] - self.main_y[0])
        self._frame_texts()
        self._ticks()
        self._moving_parts()
        self.rail = None if self.look.room else CodeRail(self)

    def _axes(self, y_px, y_limits):
        axes = self.figure.add_axes(self.part(self.left, y_px[0], self.right - self.left, y_px[1] - y_px[0]))
        axes.set(xlim=self.limits, ylim=y_limits, xticks=[], yticks=[])
        axes.set_axisbelow(True)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        for side in ("left", "bottom"):
            axes.spines[side].set_zorder(9)
            self.moving(axes.spines[side])
        return axes

    def _frame_texts(self):
        sign = self.book.sign
        above = {"xycoords": "axes fraction", "textcoords": "offset pixels"}
        self._note(self.main, f"reading, {sign}", (0, 1), (0, PIXEL_GAP), "left", "bottom", **above)
        self._note(self.strip, f"error, {sign}", (0, 1), (0, PIXEL_GAP), "left", "bottom", **above)
        drop = -(self.look.body * 1.55 + PIXEL_GAP)
        self._note(self.strip, f"true temperature, {sign}", (1, 0), (0, drop), "right", "top", **above)
        self._note(self.main, "dashed: no error", (1, 1), (0, PIXEL_GAP), "right", "bottom", **above)

    def _note(self, axes, words, at, shift, ha, va, **coords):
        points = self.look.points(self.look.body)
        axes.annotate(words, at, xytext=shift, ha=ha, va=va, fontsize=points, color=INK, **coords)

    def _ticks(self):
        """Lines that stand still; the labels beside them move with the page."""
        for tick in self.page.ticks:
            for axes in (self.main, self.strip):
                axes.axvline(tick, color="#d9d9d9", lw=0.8, zorder=0)
            self.main.axhline(tick, color="#d9d9d9", lw=0.8, zorder=0)
        beside = self.limits[0] - 8 * self.per_px
        below = -self.reach * (1 + 16 / (self.strip_y[1] - self.strip_y[0]))
        right, top = {"ha": "right", "va": "center"}, {"ha": "center", "va": "top"}
        self.y_labels = [self.moving(self.text(self.main, beside, tick, **right)) for tick in self.page.ticks]
        self.x_labels = [self.moving(self.text(self.strip, tick, below, **top)) for tick in self.page.ticks]
        for sign in (-1, 0, 1) if not self.look.room else (0,):
            y = sign * self.page.error_tick
            self.strip.axhline(y, color="#d9d9d9", lw=0.8, zorder=0)
            self.text(self.strip, beside, y, tidy(y, self.page.error_digits, signed=True), **right)

    # ---- parts that move

    def _moving_parts(self):
        line = self.look.line
        self.spans = [self._patch(axes, {"facecolor": TINT, "edgecolor": "none", "zorder": 1}) for axes in self._both()]
        beyond = {"facecolor": PAPER, "edgecolor": QUIET, "hatch": "////", "lw": 0, "zorder": 2}
        self.beyond = [[self._patch(axes, beyond) for _ in range(2)] for axes in self._both()]
        self.edges = [self._line(axes, color=INK, lw=1.2, ls=(0, (2, 3)), zorder=4) for axes in self._both()]
        for axes, y in ((self.main, self.limits), (self.strip, (0, 0))):
            ideal = {"color": BLUE, "lw": line * 0.7, "ls": (0, (6, 4)), "zorder": 3}
            self.moving(axes.plot(self.limits, y, **ideal)[0])
        self.treads = self._line(self.main, color=GREEN, lw=line, zorder=5, solid_joinstyle="miter")
        self.teeth = self._line(self.strip, color=ORANGE, lw=line * 0.8, zorder=5)
        self.tread_band = self._band(self.main, GREEN)
        self.tooth_band = self._band(self.strip, ORANGE)
        self.drop = self._line(self.main, color=INK, lw=line * 0.6, zorder=6)
        self.stem = self._line(self.strip, color=INK, lw=line * 0.6, zorder=6)
        style = {"marker": "o", "ms": 4 * line, "mfc": PAPER, "mec": INK, "mew": line, "ls": "", "clip_on": False}
        self.dots = [self._line(axes, zorder=10, **style) for axes in self._both()]
        self.bracket = self._line(
            self.main, color=INK, lw=line * 0.7, marker="|", ms=5 * line, mew=line * 0.7, zorder=7
        )
        self.codes = [self.moving(self.text(self.main, 0, 0, zorder=8)) for _ in range(16)]
        self._moving_texts()

    def _moving_texts(self):
        (low, high), look = self.limits, self.look
        x, top = low + 12 * self.per_px, high - 2 * self.per_py
        self.head = self.moving(self.text(self.main, x, top, size=look.big, bold=True, va="top", zorder=11))
        self.under = self.moving(self.text(self.main, x, top - 1.35 * look.big * self.per_py, va="top", zorder=11))
        self.step = self.moving(
            self.text(self.main, 0, self.floor + 0.8 * look.body * self.per_py, va="center", zorder=11)
        )
        self.off = self.moving(
            self.text(
                self.strip, 1, 1, size=look.gap, bold=True, ha="right", va="bottom", transform=self.strip.transAxes
            )
        )
        for text in (self.head, self.under, self.step):
            text.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.5, "alpha": 0.85})

    def _both(self):
        return self.main, self.strip

    def _patch(self, axes, style):
        from matplotlib.patches import Rectangle

        low, high = axes.get_ylim()
        return self.moving(axes.add_patch(Rectangle((0, low), 0, high - low, visible=False, **style)))

    def _line(self, axes, **style):
        return self.plotted(axes, **style)

    def _band(self, axes, colour):
        from matplotlib.patches import Polygon

        shape = Polygon([(0, 0), (0, 0)], facecolor=colour, edgecolor=colour, lw=1.5, zorder=5, visible=False)
        return self.moving(axes.add_patch(shape))

    def move(self, result):
        self.centre = self.page.centre(self.book.from_celsius(result.way.t_c))
        for labels in (self.x_labels, self.y_labels):
            for label, tick in zip(labels, self.page.ticks, strict=True):
                label.set_text(tidy(tick + self.centre, self.page.tick_digits))
        self._move_beyond(result)
        self._move_point(result)
        self._move_stairs(result)
        if self.rail:
            self.rail.move(result)

    def _span(self, patch, low, high):
        low, high = np.clip((low, high), *self.limits)
        patch.set(x=low, width=high - low, visible=bool(high > low))

    def _move_beyond(self, result):
        low, high = (self._rel(end) for end in result.way.sensor_c)
        for left, right in self.beyond:
            self._span(left, self.limits[0], low)
            self._span(right, high, self.limits[1])

    def _move_stairs(self, result):
        stairs = result.stairs(*(self._to_celsius(end) for end in self.limits), MOST_TREADS)
        for artist in (self.treads, self.teeth, self.tread_band, self.tooth_band, *self.codes):
            artist.set_visible(False)
        if stairs is None:
            return
        begins, ends, readings = (self._rel(t_c) for t_c in (stairs.begins_c, stairs.ends_c, stairs.readings_c))
        if stairs.thinned:
            self._move_bands(begins, ends, readings)
            return
        x, y = np.ravel([begins, ends], order="F"), np.repeat(readings, 2)
        self.treads.set(data=(x, y), visible=True)
        self.teeth.set(data=(x, y - x), visible=True)
        if np.median(ends - begins) > 3.6 * self.look.body * self.per_px:
            self._move_codes(result, stairs.codes, (begins, ends, readings))

    def _move_bands(self, begins, ends, readings):
        """The hull of the stairs: highest at the begin of each tread, lowest at its end."""
        x = np.concatenate([begins, ends[::-1]])
        y = np.concatenate([readings, readings[::-1]])
        self.tread_band.set(xy=np.column_stack([x, y]), visible=True)
        self.tooth_band.set(xy=np.column_stack([x, y - x]), visible=True)

    def _move_codes(self, result, codes, stairs):
        """A number on each tread, where the dashed line leaves room: above its first half, or below its second."""
        begins, ends, readings = stairs
        above = np.median((readings - begins) / (ends - begins)) > 0.25
        side = begins + 4 * self.per_px if above else ends - 4 * self.per_px
        up = (0.7 + self.look.line) * (1 if above else -1)
        full = ends - begins > 0.9 * np.median(ends - begins)
        rows = zip(codes, side, readings + up * self.per_py, full, strict=True)
        for label, (code, x, y, whole) in zip(self.codes, rows, strict=False):
            reach = (0.7 * len(str(code)) + 0.6) * self.look.body * self.per_px
            low, high = (x, x + reach) if above else (x - reach, x)
            present = code == result.way.code
            free = whole and self._is_free(low, high, y) and not (present and low < self._rel(result.way.t_c) < high)
            label.set(position=(x, y), text=str(code), visible=bool(free), fontweight="bold" if present else "normal")
            label.set(ha="left" if above else "right", va="bottom" if above else "top")

    def _is_free(self, low, high, y):
        """True where a label from `low` to `high` above or below `y` stays in the page and off the words at its top."""
        top = self.limits[1] - 1.3 * self.look.body * self.per_py
        headed = low < self.head_end and y > top - 1.3 * self.look.big * self.per_py
        return self.limits[0] < low and high < self.limits[1] and self.limits[0] < y < top and not headed

    def _move_point(self, result):
        way = result.way
        there = way.code is not None
        self.head_end = self.limits[0]
        for artist in (*self.spans, *self.edges, *self.dots, self.drop, self.stem, self.bracket, self.step, self.under):
            artist.set_visible(there)
        if not there:
            self.head.set_text("no code here")
            self.under.set(text="beyond the sensor's range", visible=True)
            self.off.set_text("")
            return
        digits = result.digits
        self.head.set_text(f"code {way.code} prints {self.book.temperature(result.reading_c, digits)}")
        self.head_end = self.limits[0] + 0.7 * self.look.big * len(self.head.get_text()) * self.per_px
        self.off.set_text(f"off by {self.book.span(result.error_c, digits, signed=True)}")
        self._move_step(result)
        self._move_dots(self._rel(way.t_c), self._rel(result.reading_c))

    def _move_step(self, result):
        low, high = sorted(self._rel(edge) for edge in result.way.edges_c)
        seen = np.clip((low, high), *self.limits)
        for span, edge in zip(self.spans, self.edges, strict=True):
            self._span(span, low, high)
            bottom, top = edge.axes.get_ylim()
            edge.set_data([low, low, np.nan, high, high], [bottom, top, np.nan, bottom, top])
        y = self.step.get_position()[1]
        self.bracket.set_data(seen, [y, y])
        self.step.set_text(f"one step: {self.book.span(result.way.step_c, result.digits + 1)}")
        right_px = (self.limits[1] - seen[1]) / self.per_px
        fits = right_px > 0.6 * self.look.body * len(self.step.get_text())
        gap = 12 * self.per_px
        self.step.set(x=seen[1] + gap if fits else seen[0] - gap, ha="left" if fits else "right")
        if high - low > 0.9 * (self.limits[1] - self.limits[0]):
            self.step.set(x=0.5 * sum(self.limits), ha="center")

    def _move_dots(self, x, y):
        low, high = self.limits
        error = y - x
        self.dots[0].set(data=([x], [y]), visible=bool(low <= y <= high))
        self.dots[1].set(data=([x], [error]), visible=bool(abs(error) <= self.reach))
        self.drop.set_data([x, x], [self.floor, np.clip(y, low, high)])
        self.stem.set_data([x, x], [np.clip(error, -self.reach, self.reach), self.reach])
        lost = not (low <= y <= high and abs(error) <= self.reach)
        self.under.set(text="beyond this view: choose a wider one", visible=lost)
