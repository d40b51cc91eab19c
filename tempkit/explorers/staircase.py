"""The picture of chapter 02: a staircase of readings over temperature, and the error of each as a saw-tooth below.

The view is a page of fixed width around a round temperature, which turns like a page: in a drag the labels at the axes
move and the axes stand still.
"""

from dataclasses import dataclass

import numpy as np

from tempkit.book import Book, tidy
from tempkit.draw import (
    DASHES,
    EDGE,
    GREEN,
    HATCHED,
    INK,
    ON_PAPER,
    ORANGE,
    READING,
    SHADED,
    Area,
    Axis,
    Bars,
    Chart,
    Charts,
    Labels,
    Levels,
    Line,
    Named,
    Ring,
    Segment,
    Stroke,
)

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

        >>> page("degC", "near", (-25.0, 110.0)).centre(27.4), page("degC", "near", (-25.0, 110.0)).centre(27.6)
        (25.0, 30.0)
        """
        return self.width * float(np.floor(shown / self.width + 0.5)) if self.width else 0.0


def page(scale, view, whole, room=False):
    """The page of a view; `whole` is the sensor's range in the reader's scale.

    >>> page("degC", "near", (-25.0, 110.0)).limits, page("degC", "near", (-25.0, 110.0)).ticks
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
MOST_NUMBERS = 16
FLOOR = 0.14  # below the stairs there is a row for the width of a step, a part of the page
BAND = {"facecolor": ORANGE, "edgecolor": ORANGE, "lw": 1.5}
THIN = Stroke(INK, width=0.6)


@dataclass(frozen=True)
class Sight:
    """What the page of a `book` shows of a `bit_depth.Steps`: numbers of the reader's scale, from the page's middle."""

    book: Book
    room: bool

    def page(self, result):
        whole = tuple(self.book.from_celsius(end) for end in result.way.sensor_c) if result.view == "whole" else None
        return page(self.book.scale, result.view, whole, self.room)

    def centre(self, result):
        return self.page(result).centre(self.book.from_celsius(result.way.t_c))

    def from_middle(self, result, t_c):
        return self.book.from_celsius(t_c) - self.centre(result)

    def limits(self, result):
        return self.page(result).limits

    def heights(self, result):
        low, high = self.limits(result)
        return low - FLOOR * (high - low), high

    def errors(self, result):
        reach = self.page(result).reach
        return -reach, reach

    # ---- along the axes

    def widest(self, result):
        """Ticks of the page with the longest label there can be."""
        words = tidy(-188, self.page(result).tick_digits)
        return tuple((tick, words) for tick in self.page(result).ticks)

    def labels(self, result):
        digits, centre = self.page(result).tick_digits, self.centre(result)
        return [(tick, tidy(tick + centre, digits)) for tick in self.page(result).ticks]

    def error_ticks(self, result):
        a_page = self.page(result)
        places = (0.0,) if self.room else (-a_page.error_tick, 0.0, a_page.error_tick)
        return tuple((place, tidy(place, a_page.error_digits, signed=True)) for place in places)

    # ---- behind the stairs

    def step(self, result):
        """From where to where the temperatures lie that the present code stands for."""
        edges_c = result.way.edges_c or ()
        return sorted(self.from_middle(result, edge_c) for edge_c in edges_c)

    def step_bar(self, result):
        foot, top = self.heights(result)
        return [(*self.step(result), foot, top)] if self.step(result) else []

    def beyond(self, result):
        """Where the sensor promises nothing."""
        (left, right), (foot, top) = self.limits(result), self.heights(result)
        low, high = (self.from_middle(result, end) for end in result.way.sensor_c)
        return [(min(left, low), low, foot, top), (high, max(right, high), foot, top)]

    # ---- the stairs

    def stairs(self, result):
        """Codes, begins, ends and readings of the treads, and whether they are too fine to be seen; or None."""
        ends_c = (self.book.to_celsius(end + self.centre(result)) for end in self.limits(result))
        some = result.stairs(*ends_c, MOST_TREADS)
        if some is None:
            return None
        begins, ends, readings = (
            self.from_middle(result, t_c) for t_c in (some.begins_c, some.ends_c, some.readings_c)
        )
        return some.codes, begins, ends, readings, some.thinned

    def treads(self, result, errors=False):
        some = self.stairs(result)
        if some is None or some[-1]:
            return (), ()
        _, begins, ends, readings, _ = some
        x, y = np.ravel([begins, ends], order="F"), np.repeat(readings, 2)
        return x, y - x if errors else y

    def teeth(self, result):
        return self.treads(result, errors=True)

    def band(self, result, errors=False):
        """The hull of treads too fine to be seen: highest at the begin of each, lowest at its end."""
        some = self.stairs(result)
        if some is None or not some[-1]:
            return (), (), ()
        _, begins, ends, readings, _ = some
        level = begins if errors else 0
        return begins, np.interp(begins, ends, readings) - level, readings - level

    def tooth_band(self, result):
        return self.band(result, errors=True)

    # ---- now

    def place(self, result):
        """Temperature and reading, or None."""
        if result.reading_c is None:
            return None
        return tuple(self.from_middle(result, t_c) for t_c in (result.way.t_c, result.reading_c))

    def ring(self, result):
        """The place, where it lies in the page."""
        place, (low, high) = self.place(result), self.limits(result)
        return place if place and low <= place[1] <= high else None

    def error_ring(self, result):
        place, (low, high) = self.place(result), self.errors(result)
        return (place[0], place[1] - place[0]) if place and low <= place[1] - place[0] <= high else None

    def drop(self, result):
        place = self.place(result)
        return place and (place[0], None, place[0], float(np.clip(place[1], *self.heights(result))))

    def stem(self, result):
        place, (low, high) = self.place(result), self.errors(result)
        return place and (place[0], float(np.clip(place[1] - place[0], low, high)), place[0], high)

    def notes(self, result):
        (left, right), (_, top) = self.limits(result), self.heights(result)
        if result.reading_c is None:
            more = "\nbeyond the sensor's range"
        else:
            more = "" if self.ring(result) and self.error_ring(result) else "\nbeyond this view: choose a wider one"
        yield left + 0.01 * (right - left), top, f"dashed: no error{more}"


@dataclass(frozen=True)
class Numbers:
    """The code of each tread, where the dashed line leaves room: above its first half, or below its second."""

    sight: Sight

    def build(self, panel):
        body, box = panel.look.body, panel.axes.get_window_extent()
        (left, right), (foot, top) = panel.axes.get_xlim(), panel.axes.get_ylim()
        x_px, y_px = (right - left) / box.width, (top - foot) / box.height
        texts = [panel.words() for _ in range(MOST_NUMBERS)]
        noted = left + 11 * body * x_px, top - 3 * body * y_px  # the words at the top left

        def move(result):
            some = self.sight.stairs(result)
            for text in texts:
                text.set_visible(False)
            if some is None or some[-1]:
                return
            codes, begins, ends, readings, _ = some
            if np.median(ends - begins) <= 3.6 * body * x_px:
                return
            above = np.median((readings - begins) / (ends - begins)) > 0.25
            sides = begins + 4 * x_px if above else ends - 4 * x_px
            ys = readings + (0.7 + panel.look.line) * y_px * (1 if above else -1)
            whole = ends - begins > 0.9 * np.median(ends - begins)
            now = self.sight.place(result)
            for text, code, x, y, is_whole in zip(texts, codes, sides, ys, whole, strict=False):
                reach = (0.7 * len(str(code)) + 0.6) * body * x_px
                low, high = (x, x + reach) if above else (x - reach, x)
                free = left < low and high < right and left < y < top - 1.3 * body * y_px
                free = free and not (low < noted[0] and y > noted[1])
                present = code == result.way.code
                struck = present and now and low < now[0] < high
                text.set(position=(x, y), text=str(code), visible=bool(is_whole and free and not struck))
                text.set(ha="left" if above else "right", va="bottom" if above else "top")
                text.set(fontweight="bold" if present else "normal")

        return move


@dataclass(frozen=True)
class Width:
    """The width of the present step, as a bracket beneath the stairs with its words beside."""

    sight: Sight
    told: object

    def build(self, panel):
        (left, right), foot = panel.axes.get_xlim(), panel.axes.get_ylim()[0]
        line = panel.look.line
        bracket = panel.line(THIN, marker="|", ms=5 * line, mew=0.7 * line)
        words = panel.words(va="center", bbox=ON_PAPER)
        gap = 12 * (right - left) / panel.axes.get_window_extent().width
        y = foot + 0.5 * FLOOR * (right - left)

        def move(result):
            ends = np.clip(self.sight.step(result), left, right)
            for artist in (bracket, words):
                artist.set_visible(len(ends) > 0)
            if not len(ends):
                return
            bracket.set_data(ends, [y, y])
            words.set_text(f"one step: {self.told(result, panel.book)}")
            long = 0.6 * panel.look.body * len(words.get_text()) * gap / 12
            x, side = (left + right) / 2, "center"
            if right - ends[1] > gap + long:
                x, side = ends[1] + gap, "left"
            elif ends[0] - left > gap + long:
                x, side = ends[0] - gap, "right"
            words.set(position=(x, y), ha=side)

        return move


def _used(result):
    first, last = result.used
    return [(first / result.way.codes, (last + 1) / result.way.codes, 0, 1)]


def _present(result):
    code = result.way.code
    x = None if code is None else (code + 0.5) / result.way.codes
    return None if x is None else (x, 0, x, 1)


def charts(look, book, heads, step_told):
    """The picture: readings as stairs, errors beneath; at a desk all codes as a rail above them.

    What stands on a page depends on the reader's scale and on the size, so that it is declared for these.
    """
    sight = Sight(book, look.room)
    x = Axis("true temperature", book.sign, sight.limits, ticks=sight.widest)
    behind = (Bars(sight.step_bar, SHADED), Bars(sight.beyond, HATCHED), Levels(sight.step, upright=True, stroke=EDGE))
    rail = Chart(
        Axis(ticks=lambda result: ((0, "code 0"), (1, f"code {result.way.codes - 1}"))),
        Axis(ticks=()),
        (Bars(_used, {"facecolor": GREEN, "lw": 0}), Segment(_present, Stroke(INK, width=1.4))),
        tall=0.12,
        room=False,
        boxed=True,
    )
    stairs = Chart(
        x,
        Axis("reading", book.sign, sight.heights, ticks=sight.widest),
        (
            *behind,
            Line(lambda result: 2 * (sight.limits(result),), Stroke(INK, DASHES, 0.7)),
            Line(sight.treads, Stroke(ORANGE)),
            Area(sight.band, BAND),
            Segment(sight.drop, THIN),
            Numbers(sight),
            Width(sight, step_told),
            Ring(sight.ring, drops=False, handle="t_c"),
            Named(sight.notes, va="top", paper=True),
            Labels(sight.labels, upright=True),
        ),
        tall=2.4,
    )
    errors = Chart(
        x,
        Axis("error", book.sign, sight.errors, ticks=sight.error_ticks),
        (
            *behind,
            Line(lambda result: (sight.limits(result), (0, 0)), Stroke(INK, DASHES, 0.7)),
            Line(sight.teeth, READING),
            Area(sight.tooth_band, BAND),
            Segment(sight.stem, THIN),
            Ring(sight.error_ring, drops=False, handle="t_c"),
            Labels(sight.labels),
        ),
    )
    return Charts(rail, stairs, errors, heads=heads)(look, book)
