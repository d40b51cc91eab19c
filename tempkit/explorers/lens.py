"""The lens of chapter 01: one place on the line, enlarged, with what the limits allow there."""

import math

from tempkit.book import tidy
from tempkit.draw import BLUE, INK, ORANGE, PAPER

HATCH = {"facecolor": PAPER, "edgecolor": "#8c8c8c", "hatch": "////", "lw": 0}
DOTS, DASHES = (0, (2, 3)), (0, (5, 3))
ROOM_FOR_NAME_C = 2.2  # length of a bar from which on its name fits beside it


def dot(look):
    """The style of the dot on the ink line."""
    width = look.line
    style = {"marker": "o", "ms": 4 * width, "mfc": PAPER, "mec": INK, "mew": width}
    return {**style, "ls": "", "zorder": 9, "clip_on": False}


def rectangle(axes, x, y, width, height, **style):
    """A rectangle on axes."""
    from matplotlib.patches import Rectangle

    return axes.add_patch(Rectangle((x, y), width, height, **style))


class Band:
    """A shaded area between two dashed edges."""

    def __init__(self, picture, axes):
        from matplotlib.patches import Polygon

        self.area = axes.add_patch(Polygon([(0, 0)] * 4, facecolor=BLUE, alpha=0.22, lw=0, zorder=2))
        style = {"color": BLUE, "lw": picture.look.line * 0.6, "ls": DASHES, "zorder": 3}
        self.edges = [axes.plot([], [], **style)[0] for _ in range(2)]
        picture.moving(self.area, *self.edges)

    def move(self, x, lower, upper, shown):
        self.area.set_xy([(x[0], lower[0]), (x[1], lower[1]), (x[1], upper[1]), (x[0], upper[0])])
        self.edges[0].set_data(x, lower)
        self.edges[1].set_data(x, upper)
        for artist in (self.area, *self.edges):
            artist.set_visible(shown)


class Lens:
    """A few degrees of the line around the present place; both axes in degrees from there.

    The line is a diagonal. The bar at the left holds the voltages that a sensor within its limits may give at
    this temperature; the bar below holds the temperatures that the line's voltage fits.
    """

    def __init__(self, picture, place_px, reach_c):
        self.picture, self.look, self.book = picture, picture.look, picture.book
        self.place, self.reach = place_px, reach_c
        axes = self.axes = picture.figure.add_axes(picture.part(*place_px))
        axes.set(xlim=(-reach_c, reach_c), ylim=(-reach_c, reach_c), xticks=[], yticks=[])
        for side in axes.spines.values():
            side.set_zorder(6)
            picture.moving(side)
        self.cut = [picture.moving(self._cut()) for _ in range(2)]
        self.band = Band(picture, axes)
        self._lines()
        self._labels()

    def _cut(self):
        return rectangle(self.axes, 0, -self.reach, 0, 2 * self.reach, zorder=4, **HATCH)

    def _lines(self):
        line = self.look.line
        self.line = self.picture.plotted(self.axes, color=BLUE, lw=line * 1.2, zorder=3.5)
        self.drops = self.picture.plotted(self.axes, color=INK, lw=line * 0.6, ls=DOTS, zorder=5)
        style = {"lw": line * 2.6, "solid_capstyle": "butt", "zorder": 8, "clip_on": False}
        self.v_bar = self.picture.plotted(self.axes, color=ORANGE, **style)
        self.t_bar = self.picture.plotted(self.axes, color=INK, **style)
        self.dot = self.picture.plotted(self.axes, **dot(self.look))

    def _text(self, axes, *place, **options):
        return self.picture.moving(self.picture.text(axes, *place, **options))

    def _labels(self):
        page, (left, bottom, _, _) = self.picture.page, self.place
        x, y = left - 10, bottom - 10
        self.v_labels = [self._text(page, x, 0, ha="right", va=va) for va in ("top", "bottom")]
        self.t_labels = [self._text(page, 0, y, ha=ha, va="top") for ha in ("right", "left")]
        self.v_name = self._text(page, x, 0, "may\ngive", ha="right", va="center")
        self.t_name = self._text(page, 0, y, "fits", ha="center", va="top")
        self.limits = self._text(self.axes, -0.94 * self.reach, 0.92 * self.reach, va="top", zorder=7)
        self.limits.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1})
        self.nothing = self._text(self.axes, 0, 0, "nothing\npromised", ha="center", va="center")

    def _x(self, degrees):
        """Degrees from the middle -> pixels of the page."""
        return self.place[0] + self.place[2] * (degrees + self.reach) / (2 * self.reach)

    def _y(self, degrees):
        return self.place[1] + self.place[3] * (degrees + self.reach) / (2 * self.reach)

    def move(self, at):
        there = at.volts is not None
        self.nothing.set_visible(not there)
        lines = (self.line, self.drops, self.v_bar, self.t_bar, self.dot, *self.cut)
        texts = (self.limits, *self.v_labels, *self.t_labels, self.v_name, self.t_name)
        for artist in (*lines, *texts):
            artist.set_visible(there)
        up = math.copysign(self.reach, at.slope_v_per_c)
        x, y = (-self.reach, self.reach), (-up, up)
        self.band.move(x, [v - at.accuracy_c for v in y], [v + at.accuracy_c for v in y], there)
        self.line.set_data(x, y)
        if there:
            self._move_cut(at)
            self._move_bars(at)

    def _move_cut(self, at):
        low, high = (end - at.t_c for end in at.range_c)
        for patch, left, right in zip(self.cut, (-self.reach, high), (low, self.reach), strict=True):
            patch.set(x=left, width=max(right - left, 0), visible=right > left)

    def _move_bars(self, at):
        reach, per_c = self.reach, abs(at.slope_v_per_c)
        widths = [end - at.t_c for end in at.fits_c]
        heights = [(v - at.volts) / per_c for v in at.band_v]
        ways = [((end, end), (-reach, 0)) for end in widths] + [((-reach, 0), (end, end)) for end in heights]
        ways += [(widths, (0, 0)), ((0, 0), heights)]
        self.drops.set_data(*([v for way in ways for v in (*way[i], math.nan)] for i in range(2)))
        self.t_bar.set_data(widths, [-reach, -reach])
        self.v_bar.set_data([-reach, -reach], heights)
        self.dot.set_data([0], [0])
        self._move_labels(at, heights, widths)

    def _move_labels(self, at, heights, widths):
        """The ends of both bars; their units only at the desk, their names only where there is room."""
        room, limits = self.look.room, f"±{self.book.span(at.accuracy_c)}"
        self.limits.set_text(limits if room else f"limits\n{limits}")
        volt, degree = ("", "") if room else (" V", f" {self.book.sign}")
        for label, v, y, gap in zip(self.v_labels, at.band_v, heights, (-2, 2), strict=True):
            label.set(text=f"{v:.3f}{volt}", y=self._y(y) + gap)
        for label, end, x, gap in zip(self.t_labels, at.fits_c, widths, (-3, 3), strict=True):
            label.set(text=f"{tidy(self.book.from_celsius(end), 1)}{degree}", x=self._x(x) + gap)
        self.v_name.set(y=self._y(sum(heights) / 2), visible=self._fits(heights))
        self.t_name.set(x=self._x(sum(widths) / 2), visible=self._fits(widths))
        self._one_or_two(at.accuracy_c > 0)

    def _fits(self, ends):
        return not self.look.room and ends[1] - ends[0] > ROOM_FOR_NAME_C

    def _one_or_two(self, apart):
        """Without limits both ends of a bar are one place, told once."""
        self.v_labels[0].set_va("top" if apart else "center")
        self.t_labels[0].set_ha("right" if apart else "center")
        for labels in (self.v_labels, self.t_labels):
            labels[1].set_visible(apart)
