"""The picture of a thermistor's divider: its curve and slope, and what every resistor would do in the range asked."""

from tempkit.book import Book, tidy
from tempkit.explorers.spec_lens import DASHES, DOTS, dot, rectangle
from tempkit.pictures import BLUE, GREEN, INK, ORANGE, PAPER, QUIET, Picture
from tempkit.quantity import ohms

STRAYS_C = (0.01, 100.0)
STEEPEST_PER_V = 0.02  # of the feed, a degree: room for the steepest thermistors in the cold
# (left, bottom, width, height) of the charts: volts, slope, slope of others, stray of others; heads [px]
DESK = (
    ((84, 262, 380, 160), (84, 56, 380, 160), (568, 262, 374, 160), (568, 56, 374, 160)),
    (20, 330, 600),
    (488, 468),
)
ROOM = (((104, 88, 430, 296), None, None, (680, 88, 380, 296)), (14, 380, 740), (None, 470))


class DividerPicture(Picture):
    """Shows a `tempkit.explorers.divider_choice.Chosen`.

    Left: volts at the pin, with the straight line that fits best across the shaded range, and below its slope. Right:
    for every resistor of the series the slope in the middle of the range and how far it strays from a straight line;
    the ring is the present one, the upright dotted line the best.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.boxes, self.heads, self.head_y = ROOM if self.look.room else DESK

    def frame(self, chosen):
        ends = float(chosen.over_c[0]), float(chosen.over_c[-1])
        return (*ends, float(chosen.resistors_ohm[0]), float(chosen.resistors_ohm[-1]), chosen.feed_v)

    # ---- parts that stand still

    def build(self, frame):
        low, high, least, most, feed_v = frame
        self.lay_page()
        self.lay_heads(self.heads, *self.head_y)
        across = [self.book.from_celsius(end) for end in (low, high)]
        self.ends, self.feed_v = across, feed_v
        per = 1000 * STEEPEST_PER_V * feed_v / self.book.span_from_celsius(1.0)
        sign, room = self.book.sign, self.look.room
        volts, slope, slopes, strays = self.boxes
        self.volts = self.chart(volts, f"temperature, {sign}" if room else "", "volts at the pin", across, (0, feed_v))
        self.slope = slope and self.chart(slope, f"temperature, {sign}", f"mV for 1 {sign}", across, (0, per))
        span = least / 1000, most / 1000
        self.slopes = slopes and self.chart(slopes, "", "mV, in the middle", span, (0, per))
        self.strays = self.chart(
            strays, "fixed resistor, kΩ", f"strays by, {sign}", span, [self.book.span_from_celsius(c) for c in STRAYS_C]
        )
        for axes in (self.slopes, self.strays):
            self._logarithmic(axes, span, axes is self.strays)
        self._curves()
        self._choice()

    def _logarithmic(self, axes, span, both):
        from matplotlib.ticker import NullLocator

        if axes is None:
            return
        ticks = [10.0**n for n in range(-3, 5)]
        axes.set_xscale("log")
        shown = [tick for tick in ticks if span[0] <= tick <= span[1]]
        axes.set_xticks(shown, [f"{tick:g}" for tick in shown])
        if both:
            axes.set_yscale("log")
            axes.set_yticks([0.01, 0.1, 1.0, 10.0, 100.0], ["0.01", "0.1", "1", "10", "100"])
            axes.yaxis.set_minor_locator(NullLocator())
        axes.xaxis.set_minor_locator(NullLocator())

    def _curves(self):
        line = self.look.line
        self.shades = []
        for axes in filter(None, (self.volts, self.slope)):
            top = axes.get_ylim()[1]
            self.shades.append(self.moving(rectangle(axes, 0, 0, 1, top, facecolor=GREEN, alpha=0.16, lw=0, zorder=2)))
        self.curve = self.plotted(self.volts, color=BLUE, lw=line * 1.2, zorder=5)
        self.straight = self.plotted(self.volts, color=ORANGE, lw=line, ls=DASHES, zorder=5.5)
        self.way = self.plotted(self.volts, color=INK, lw=line, zorder=7)
        self.dots = [self.plotted(self.volts, **dot(self.look))]
        if self.slope:
            self.steep = self.plotted(self.slope, color=BLUE, lw=line * 1.2, zorder=5)
            self.steep_way = self.plotted(self.slope, color=INK, lw=line, zorder=7)
            self.dots.append(self.plotted(self.slope, **dot(self.look)))

    def _choice(self):
        """For each chart over resistors: curve, upright line of the best with its name, ring of the present one."""
        line = self.look.line
        self.others = []
        for axes, name in ((self.slopes, "steepest"), (self.strays, "straightest")):
            if axes is None:
                continue
            curve = self.plotted(axes, color=BLUE, lw=line * 1.2, zorder=5)
            best = self.plotted(axes, color=QUIET, lw=line * 0.8, ls=DOTS, zorder=4)
            ring = self.plotted(axes, **dot(self.look))
            at_top = name == "straightest"
            place = {"ha": "center", "va": "top" if at_top else "bottom", "zorder": 8}
            foot, top = axes.get_ylim()
            label = self.moving(self.text(axes, 1, top if at_top else foot, name, **place))
            label.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
            self.others.append((axes, curve, best, ring, label))

    # ---- moving

    def move(self, chosen):
        self._move_heads(chosen)
        low, high = (self.book.from_celsius(end) for end in chosen.range_c)
        for shade in self.shades:
            shade.set(x=low, width=high - low)
        over = self.book.from_celsius(chosen.over_c)
        self.curve.set_data(over, chosen.volts)
        self.straight.set_data([low, high], chosen.line_v)
        v, slope, _ = chosen.at(chosen.t_c)
        x = self.book.from_celsius(chosen.t_c)
        self.way.set_data([x, x, self.ends[0]], [0, v, v])
        self.dots[0].set_data([x], [v])
        if self.slope:
            y = self._per(abs(slope))
            self.steep.set_data(over, self._per(abs(chosen.slope_v_per_c)))
            self.steep_way.set_data([x, x, self.ends[0]], [0, y, y])
            self.dots[1].set_data([x], [y])
        self._move_choice(chosen)

    def _per(self, v_per_c):
        """Slope in mV for a degree of the reader's scale."""
        return 1000 * v_per_c / self.book.span_from_celsius(1.0)

    def _move_choice(self, chosen):
        kohm = chosen.resistors_ohm / 1000
        middle = abs(chosen.chain.circuit.volts_per_c(chosen.chain.sensor, chosen.middle_c, chosen.feed_v))
        rows = {
            self.slopes: (self._per(abs(chosen.middle_v_per_c)), chosen.steepest[0], self._per(middle)),
            self.strays: (
                self.book.span_from_celsius(chosen.strays_c),
                chosen.straightest[0],
                self.book.span_from_celsius(chosen.stray_c),
            ),
        }
        for axes, curve, best, ring, label in self.others:
            y, best_ohm, here = rows[axes]
            curve.set_data(kohm, y)
            best.set_data([best_ohm / 1000] * 2, axes.get_ylim())
            ring.set_data([chosen.fixed_ohm / 1000], [here])
            ring.set_visible(kohm[0] <= chosen.fixed_ohm / 1000 <= kohm[-1] and here >= axes.get_ylim()[0])
            label.set_x(min(max(best_ohm / 1000, 3.5 * kohm[0]), kohm[-1] / 3.5))

    def _move_heads(self, chosen):
        book = self.book
        v, slope, _ = chosen.at(chosen.t_c)
        moves = f"{tidy(self._per(slope), 1)} mV/{book.sign}"
        strays, best = book.span(chosen.stray_c, 2), ohms(chosen.straightest[0])
        low, high = (tidy(book.from_celsius(end), 0) for end in chosen.range_c)
        if self.look.room:
            told = moves, f"strays {strays}", f"best {best}"
        else:
            names = f"at {book.temperature(chosen.t_c)}", f"strays over {low} to {high} {book.sign} by"
            names += ("straightest; moves most in the middle",)
            for artist, name in zip(self.names, names, strict=True):
                artist.set_text(name)
            told = f"{v:.3f} V, {moves}", strays, f"{best}; {ohms(chosen.steepest[0])}"
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)
