"""Chapter 12: the fixed resistor of a thermistor's divider, chosen for a range of temperatures."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.book import Book, tidy
from tempkit.chain import Chain
from tempkit.draw import BLUE, GREEN, INK, ORANGE, PAPER, QUIET, Picture
from tempkit.explorers.controls import FIXED, FROM, SEEN_AT, SENSOR_AT, TO, in_divider, thermistor_bench, with_divider
from tempkit.explorers.lens import DASHES, DOTS, dot, rectangle
from tempkit.explorers.stage import Explorer, Plan, or_none, warning
from tempkit.scales import celsius_to_kelvin
from tempkit.signal import preferred_values
from tempkit.text import ohms

# --- The picture of a thermistor's divider: its curve and slope, and what every resistor would do in the range asked.

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


NARROWEST_C = 2.0
POINTS = 61
DECADES = (0.02, 20.0)  # resistors from and to, in parts of the sensor's resistance at 25 degC


@dataclass(frozen=True)
class Chosen:
    """A divider over a range of interest, and what every other resistor of the E24 series would do there.

    `t_c` is where it is asked; `over_c`, `volts`, `slope_v_per_c` hold the curve over the sensor's range. Over
    `range_c` the straight line that fits best runs through `line_v` at its ends; `stray_c` is how far the divider
    strays from it at most. `resistors_ohm`, `middle_v_per_c` and `strays_c` go together, one entry a resistor.
    """

    chain: Chain
    t_c: float
    range_c: tuple
    over_c: np.ndarray
    volts: np.ndarray
    slope_v_per_c: np.ndarray
    line_v: tuple
    stray_c: float
    resistors_ohm: np.ndarray
    middle_v_per_c: np.ndarray
    strays_c: np.ndarray
    stands_in: bool
    asked_c: tuple

    @property
    def fixed_ohm(self):
        """The resistor of this divider [ohm]."""
        return self.chain.circuit.fixed_ohm

    @property
    def middle_c(self):
        """The middle of the range of interest [degC]."""
        return sum(self.range_c) / 2

    @property
    def feed_v(self):
        """What feeds the divider [V]."""
        return self.chain.circuit.feed_v(self.chain.reference.actual_v, self.chain.reference.kind)

    @property
    def straightest(self):
        """The preferred resistor that strays least [ohm], and by how much [degC]."""
        least = int(self.strays_c.argmin())
        return float(self.resistors_ohm[least]), float(self.strays_c[least])

    @property
    def steepest(self):
        """The preferred resistor with the most sensitivity in the middle [ohm], and that [V/degC]."""
        most = int(np.abs(self.middle_v_per_c).argmax())
        return float(self.resistors_ohm[most]), float(self.middle_v_per_c[most])

    @property
    def inflection_ohm(self):
        """The resistor whose curve does not bend in the middle [ohm], None where there is none."""
        try:
            return inflection_resistor(self.chain.sensor, self.middle_c)
        except ValueError:
            return None

    def at(self, t_c):
        """Volts at the pin, slope [V/degC] and codes per degC there."""
        chain = self.chain
        v = chain.circuit.volts(chain.sensor, t_c, self.feed_v)
        slope = chain.circuit.volts_per_c(chain.sensor, t_c, self.feed_v)
        return float(v), float(slope), abs(slope) / chain.converter.step_v(chain.reference.actual_v)

    def problems(self, book):
        """What does not work, one sentence each."""
        low, high = self.chain.sensor.range_c
        if self.stands_in:
            yield f"the design has {self.stands_in}; the bench's thermistor stands in for it"
        if self.range_c != self.asked_c:
            yield f"a range from low to high and {book.span(NARROWEST_C)} wide at least was made of the two sliders"
        if not low <= self.t_c <= high:
            yield f"the sensor's range ends at {book.temperature(low if self.t_c < low else high)}"


def inflection_resistor(sensor, t_c):
    """The fixed resistor [ohm] for which a divider's voltage does not bend at `t_c` [degC].

    R_fixed = R (beta - 2 T) / (beta + 2 T) with T in kelvin, from d2V/dT2 = 0 for V = R / (R + R_fixed) and
    R = R25 exp(beta (1/T - 1/298.15 K)); handbooks give the same (from memory), and a test differentiates twice. For a
    thermistor by Steinhart-Hart its beta at that temperature is taken, -T^2 (dR/dT) / R. Raises `ValueError` where
    beta is not above 2 T: then no resistor does it.

    >>> round(inflection_resistor(thermistor_bench().chain.sensor, 25.0), 1)
    7376.8
    """
    t_k = celsius_to_kelvin(t_c)
    r_ohm = sensor.line(t_c)
    beta_k = -t_k * t_k * sensor.slope(t_c) / r_ohm
    if not beta_k > 2 * t_k:
        raise ValueError(f"beta {beta_k:.0f} K is not above {2 * t_k:.0f} K: no resistor straightens this thermistor")
    return float(r_ohm * (beta_k - 2 * t_k) / (beta_k + 2 * t_k))


def stray(t_c, volts):
    """Largest distance from the least-squares line, in degC along it; and the line's volts at both ends.

    `t_c` [degC] and `volts` [V] : arrays of one length, evenly spread.

    >>> by_c, ends = stray(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.3, 2.0]))
    >>> round(by_c, 3), [round(float(v), 3) for v in ends]
    (0.2, [0.1, 2.1])
    """
    slope, level = np.polyfit(t_c, volts, 1)
    line = level + slope * t_c
    return float(np.abs(volts - line).max() / abs(slope)), (float(line[0]), float(line[-1]))


def resistors(sensor):
    """The preferred resistors [ohm] of the E24 series from a fiftieth to twenty times the sensor's at 25 degC.

    >>> len(resistors(thermistor_bench().chain.sensor))
    73
    """
    low, high = (part * sensor.line(25.0) for part in DECADES)
    all_ohm = [float(f"{number}e{decade}") for decade in range(-1, 8) for number in preferred_values()]
    return np.array([r_ohm for r_ohm in all_ohm if low * 0.9999 <= r_ohm <= high * 1.0001])


def compute(design, t_c, low_c, high_c):
    """A design's divider at `t_c`, over the range from `low_c` to `high_c` [degC].

    >>> chosen = compute(thermistor_bench(), 25.0, 10.0, 40.0)
    >>> chosen.straightest[0], chosen.steepest[0], round(chosen.stray_c, 2)
    (7500.0, 10000.0, 0.64)
    """
    asked = float(low_c), float(high_c)
    low, high = sorted(asked)
    range_c = low, max(high, low + NARROWEST_C)
    stands_in = "" if in_divider(design) else f"{design.chain.sensor.called} and {design.chain.circuit.called}"
    chain = with_divider(design).chain
    feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
    over, inside = np.linspace(*chain.sensor.range_c, 2 * POINTS), np.linspace(*range_c, POINTS)
    stray_c, line_v = stray(inside, chain.circuit.volts(chain.sensor, inside, feed_v))
    choice = resistors(chain.sensor)
    others = [replace(chain.circuit, fixed_ohm=float(r_ohm)) for r_ohm in choice]
    return Chosen(
        chain=chain,
        t_c=float(t_c),
        range_c=range_c,
        over_c=over,
        volts=chain.circuit.volts(chain.sensor, over, feed_v),
        slope_v_per_c=chain.circuit.volts_per_c(chain.sensor, over, feed_v),
        line_v=line_v,
        stray_c=stray_c,
        resistors_ohm=choice,
        middle_v_per_c=np.array([each.volts_per_c(chain.sensor, sum(range_c) / 2, feed_v) for each in others]),
        strays_c=np.array([stray(inside, each.volts(chain.sensor, inside, feed_v))[0] for each in others]),
        stands_in=stands_in,
        asked_c=asked,
    )


def per_degree(v_per_c, book):
    """A slope as text, in mV for a degree of the reader's scale.

    >>> from tempkit.book import Book
    >>> per_degree(-0.0555, Book()), per_degree(-0.0555, Book("degF"))
    ('−55.5 mV/°C', '−30.8 mV/°F')
    """
    return f"{tidy(1000 * v_per_c / book.span_from_celsius(1.0), 1)} mV/{book.sign}"


def words(chosen, book):
    """The divider in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    With 10.0 kΩ the pin is at 2.500 V at 25.0 °C and moves by −55.5 mV/°C, 11.4 codes a degree. From 10.0 °C to 40.0 °C
    it strays from a straight line by up to 0.64 °C. There 7.50 kΩ is the straightest (0.21 °C), and 10.0 kΩ moves most
    in the middle.
    """
    v, slope, codes = chosen.at(chosen.t_c)
    (best_ohm, best_c), (steep_ohm, _) = chosen.straightest, chosen.steepest
    low, high = (book.temperature(end) for end in chosen.range_c)
    return (
        f"With {ohms(chosen.fixed_ohm)} the pin is at {v:.3f} V at {book.temperature(chosen.t_c)} and moves by "
        f"{per_degree(slope, book)}, {_codes(codes, book)} codes a degree. From {low} to {high} it strays from a "
        f"straight line by up to {book.span(chosen.stray_c, 2)}. There {ohms(best_ohm)} is the straightest "
        f"({book.span(best_c, 2)}), and {ohms(steep_ohm)} moves most in the middle."
    ) + warning(chosen.problems(book))


def _codes(per_c, book):
    return tidy(per_c / book.span_from_celsius(1.0), 1)


def facts(chosen, book):
    """Rows of the number table."""
    (best_ohm, best_c), (steep_ohm, steep) = chosen.straightest, chosen.steepest
    rows = [("fixed resistor", ohms(chosen.fixed_ohm)), ("thermistor at", f"the {chosen.chain.circuit.sensor_at}")]
    for t_c in (chosen.t_c, *chosen.range_c):
        v, slope, codes = chosen.at(t_c)
        told = f"{v:.3f} V, {per_degree(slope, book)}, {_codes(codes, book)} codes a degree"
        rows.append((f"at {book.temperature(t_c)}", told))
    rows += [
        ("strays from a straight line by up to", book.span(chosen.stray_c, 2)),
        ("straightest resistor", f"{ohms(best_ohm)}, {book.span(best_c, 2)}"),
        ("no bend in the middle", or_none(chosen.inflection_ohm, ohms)),
        ("moves most in the middle", f"{ohms(steep_ohm)}, {per_degree(steep, book)}"),
        ("thermistor in the middle", ohms(float(chosen.chain.sensor.line(chosen.middle_c)))),
    ]
    return [*rows, *(("mind", told) for told in chosen.problems(book))]


PLAN = Plan(
    title="A divider for a range of temperatures",
    controls=(SEEN_AT, FIXED, FROM, TO, SENSOR_AT),
    compute=compute,
    picture=lambda look, book: DividerPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The first explorer of chapter 12; `design` from a design file, `start` values of controls by name.

    >>> explorer(fixed_kohm=7.5).result().fixed_ohm
    7500.0
    """
    return Explorer(PLAN, design or thermistor_bench(), **start)
