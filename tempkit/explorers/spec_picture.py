"""The picture of chapter 01: a sensor's line over its range, a lens on its limits, the supply at the side."""

import math
from dataclasses import dataclass

from tempkit.book import tidy
from tempkit.explorers.spec_lens import DOTS, HATCH, Band, Lens, dot, rectangle
from tempkit.pictures import BLUE, GREEN, INK, PAPER, QUIET, Picture

MARGIN_C = 15.0
LENS_C = 8.0


@dataclass(frozen=True)
class Place:
    """Where things stand [px]: chart, lens and rail as (left, bottom, width, height), and the texts."""

    chart: tuple
    lens: tuple
    rail: tuple
    heads: tuple
    head_y: tuple
    verdict_y: float


DESK = Place((78, 72, 432, 328), (612, 92, 236, 308), (890, 72, 16, 328), (20, 556, 866), (482, 446), 34)
ROOM = Place((96, 92, 352, 278), (594, 92, 252, 278), (936, 92, 24, 278), (14, 478, 900), (474, 434), 40)


class SpecPicture(Picture):
    """Shows a `tempkit.explorers.spec_line.SpecLine`.

    Hatched: where the specification promises nothing. Solid: the line. Shaded between dashes: the limits. The
    ink line goes from the temperature up to the line and across to the voltage. The lens enlarges that place.
    """

    def __init__(self, look=None, book=None):
        from tempkit.book import Book

        super().__init__(look)
        self.book = book or Book()
        self.place = ROOM if self.look.room else DESK

    def frame(self, at):
        top_v = float(math.ceil(max(*at.ends_v, 4.0)))
        top_supply_v = max(at.supply_v, at.window_v[1], 6.0) + 0.5
        return at.range_c, at.window_v, top_v, top_supply_v, max(LENS_C, 1.6 * at.accuracy_c)

    def build(self, frame):
        self.range_c, self.window_v, self.top_v, self.top_supply_v, self.reach_c = frame
        self.lay_page()
        self._heads()
        self._chart()
        self.lens = Lens(self, self.place.lens, self.reach_c)
        self._rail()

    def _heads(self):
        (name_y, value_y), heads = self.place.head_y, self.place.heads
        self.names = [self.text(self.page, x, name_y, va="top") for x in heads]
        style = {"size": self.look.big, "bold": True, "va": "top"}
        self.values = [self.text(self.page, x, value_y, **style) for x in heads]
        self.moving(*self.names, *self.values)

    # ---- the line over its range

    def _x(self, t_c):
        return self.book.from_celsius(t_c)

    def _chart(self):
        low, high = self.range_c
        ends = self._x(low - MARGIN_C), self._x(high + MARGIN_C)
        axes = self.chart(self.place.chart, f"temperature, {self.book.sign}", "output, V", ends, (0, self.top_v))
        for left, right in ((ends[0], self._x(low)), (self._x(high), ends[1])):
            rectangle(axes, left, 0, right - left, self.top_v, zorder=1.5, **HATCH)
        if not self.look.room:
            middle = {"x": (self._x(high) + ends[1]) / 2, "y": self.top_v / 2, "ha": "center", "va": "center"}
            label = self.text(axes, words="beyond its range", rotation=90, **middle)
            label.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.5})
        self.cut = [self.moving(rectangle(axes, 0, 0, 0, self.top_v, zorder=1.6, **HATCH)) for _ in range(2)]
        self.band = Band(self, axes)
        self._start_of_line(axes)
        line = self.look.line
        style = {"color": BLUE, "lw": line * 1.2, "zorder": 5}
        self.line = self.plotted(axes, **style)
        self.formula = self.plotted(axes, color=QUIET, lw=line * 0.7, ls=DOTS, zorder=4)
        self.end = self.moving(self.text(axes, 0, 0, "the line", ha="right", va="bottom", zorder=6))
        self.way = self.plotted(axes, color=INK, lw=line, zorder=7, solid_joinstyle="round")
        self.dot = self.plotted(axes, **dot(self.look))

    def _start_of_line(self, axes):
        """The output at 0 °C, told above the line at the end of a dotted leader."""
        self.leader = self.plotted(axes, color=INK, lw=1.2, ls=DOTS, zorder=4)
        x, y = self._x(0.0), 0.74 * self.top_v
        self.start = self.moving(self.text(axes, x, y, ha="center", va="bottom", zorder=8))
        self.start.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.5})

    # ---- the supply

    def _y_supply(self, v):
        _, bottom, _, height = self.place.rail
        return bottom + height * v / self.top_supply_v

    def _rail(self):
        left, bottom, width, height = self.place.rail
        low, high = (self._y_supply(v) for v in self.window_v)
        rectangle(self.page, left, bottom, width, height, **{**HATCH, "edgecolor": QUIET, "lw": 1.2})
        rectangle(self.page, left, low, width, high - low, facecolor=GREEN, edgecolor=GREEN, lw=1.2)
        for v, y in zip(self.window_v, (low, high), strict=True):
            self.page.plot([left + width, left + width + 6], [y, y], color=INK, lw=1.2)
            self.text(self.page, left + width + 10, y, f"{v:g} V", va="center")
        line = self.look.line
        style = {"color": INK, "lw": line * 1.4, "zorder": 7}
        self.supply = self.plotted(self.page, **style)
        self.supply_dot = self.plotted(self.page, **{**dot(self.look), "marker": ">"})
        y = self.place.verdict_y
        self.verdict = self.moving(self.text(self.page, self.place.heads[2], y, va="center", bold=True))

    # ---- moving

    def move(self, at):
        self._move_heads(at)
        self._move_line(at)
        self._move_way(at)
        self.lens.move(at)
        self._move_supply(at)

    def _move_heads(self, at):
        fits = at.fits_c is not None
        line, lens, supply = self.values
        line.set_text(f"{self.book.temperature(at.t_c)} → {f'{at.volts:.3f} V' if fits else '?'}")
        lens.set_text(self._interval(at.fits_c) if fits else "?")
        supply.set_text(f"{at.supply_v:.2f} V")
        gives = "the line gives" if fits else "no promise"
        self.names[0].set_text(gives if self.look.room else self._sum(at))
        self.names[1].set_text(f"{at.volts:.3f} V fits" if fits else "lens")
        self.names[2].set_text("supply")

    def _interval(self, fits_c):
        low, high = (tidy(self.book.from_celsius(end), 1) for end in fits_c)
        return f"{low} to {high} {self.book.sign}" if low != high else f"{low} {self.book.sign}"

    def _sum(self, at):
        """The line with its numbers, in the reader's scale."""
        celsius = self.book.scale == "degC"
        slope = tidy(1000 * at.slope_v_per_c / self.book.span_from_celsius(1.0), 1 if celsius else 2)
        start, t = tidy(1000 * at.at_0c_v, 0), self.book.temperature(at.t_c)
        rise = t if celsius else f"({t} − {self.book.temperature(0.0, 0)})"
        return f"{start} mV + {slope} mV/{self.book.sign} × {rise}"

    def _move_line(self, at):
        low, high = at.range_c
        x, ends_v = [self._x(low), self._x(high)], at.ends_v
        self.formula.set_data(x, ends_v)
        held = at.held_c or (low, low)
        held_x, held_v = [self._x(end) for end in held], [at.at_0c_v + at.slope_v_per_c * end for end in held]
        good = at.side == "inside" and at.held_c is not None
        self.line.set_data(held_x, held_v)
        self.line.set_visible(good)
        reach = abs(at.slope_v_per_c) * at.accuracy_c
        lower, upper = ([v + sign * reach for v in held_v] for sign in (-1, 1))
        self.band.move(held_x, lower, upper, good)
        for patch, (left, right) in zip(self.cut, ((x[0], held_x[0]), (held_x[1], x[1])), strict=True):
            patch.set(x=left, width=right - left, visible=right > left)
        self._move_end(at, held[1], held_v[1], good)
        self._move_start(at)

    def _move_end(self, at, end_c, end_v, good):
        """The name of the line above its end; hidden where the dot stands on it, or where it has no room."""
        x = self._x(end_c if good else at.range_c[1])
        y = (end_v if good else at.ends_v[1]) + 0.025 * self.top_v
        self.end.set(x=x, y=y, text="the line" if good else "no promise")
        near = at.volts is not None and end_c - at.t_c < 0.1 * (at.range_c[1] - at.range_c[0])
        short = self.look.room and good and end_c < at.range_c[1]
        self.end.set_visible(not near and not short)

    def _move_start(self, at):
        top_v = self.top_v
        foot = self._x(0.0)
        self.leader.set_data([foot, foot], [0, 0.74 * top_v])
        start = f"{tidy(1000 * at.at_0c_v, 0)} mV"
        self.start.set_text(start if self.look.room else f"{start} at {self.book.temperature(0.0, 0)}")
        here = at.range_c[0] <= 0 <= at.range_c[1]
        struck = at.volts is not None and 0.7 * top_v < at.volts < 0.86 * top_v
        for artist in (self.leader, self.start):
            artist.set_visible(here and not struck)

    def _move_way(self, at):
        x = self._x(at.t_c)
        edge = self._x(self.range_c[0] - MARGIN_C)
        if at.volts is None:
            foot = 0.075 * self.top_v
            self.way.set_data([x, x], [0, foot])
            self.dot.set_data([x], [foot])
        else:
            self.way.set_data([x, x, edge], [0, at.volts, at.volts])
            self.dot.set_data([x], [at.volts])

    def _move_supply(self, at):
        left, _, width, _ = self.place.rail
        y = self._y_supply(at.supply_v)
        self.supply.set_data([left - 6, left + width + 4], [y, y])
        self.supply_dot.set_data([left - 12], [y])
        self.verdict.set_text(at.side if self.look.room else f"{at.side}\nits window")
