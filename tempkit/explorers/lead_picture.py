"""The picture of lead errors: the worst error over the length of the lead, and how the wires run."""

import numpy as np

from tempkit.book import Book, tidy
from tempkit.explorers.spec_lens import DASHES, DOTS, dot, rectangle
from tempkit.pictures import BLUE, GREEN, INK, ORANGE, PAPER, Picture
from tempkit.quantity import ohms

ERRORS_C = (0.001, 300.0)
AT = -9  # of the lengths: where the lines have their names
CLASS_AT_M = 2.2
STYLES = {2: {"color": ORANGE, "ls": "-"}, 3: {"color": BLUE, "ls": DASHES}}
# chart (left, bottom, width, height); x of heads; y of names, values; left, right, middle, pitch of the wires [px]
DESK = ((84, 58, 500, 362), (20, 330, 640), (488, 468), (660, 880, 270, 46))
ROOM = ((138, 88, 590, 296), (14, 420, 760), (None, 470), (830, 1000, 262, 64))
TOLD = {
    2: ("both leads count", "both count"),
    3: ("two equal currents: like leads cancel", "like leads cancel"),
    4: ("no current where it measures", "leads do not count"),
}


class LeadPicture(Picture):
    """Shows a `tempkit.explorers.lead_error.Led`.

    Both scales go by tenfolds. The lines are the largest error with two wires and with three; with four there is none.
    The dotted green line is the limit of the sensor's own class. Beside it the wires: thick ones carry the current,
    dashed ones only measure.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y, self.place = ROOM if self.look.room else DESK

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        span = [self.book.span_from_celsius(c) for c in ERRORS_C]
        names = "length of the lead, m", f"largest error, {self.book.sign}"
        self.axes = self.chart(self.box, *names, (1.0, 100.0), span)
        self._logarithmic()
        self._lines()
        self._wiring()
        self.lay_heads(self.heads, *self.head_y)

    def _logarithmic(self):
        from matplotlib.ticker import NullLocator

        axes, room = self.axes, self.look.room
        axes.set(xscale="log", yscale="log")
        axes.set_xticks([1, 10, 100] if room else [1, 2, 5, 10, 20, 50, 100])
        axes.set_xticklabels([f"{tick:g}" for tick in axes.get_xticks()])
        axes.set_yticks([0.01, 1.0, 100.0] if room else [0.001, 0.01, 0.1, 1.0, 10.0, 100.0])
        axes.set_yticklabels([f"{tick:g}" for tick in axes.get_yticks()])
        axes.xaxis.set_minor_locator(NullLocator())
        axes.yaxis.set_minor_locator(NullLocator())

    def _lines(self):
        line = self.look.line
        self.limit = self.plotted(self.axes, color=GREEN, lw=line, ls=DOTS, zorder=4)
        self.limit_name = self.moving(self.text(self.axes, CLASS_AT_M, 1, "its class", va="center", ha="center"))
        self.limit_name.set(zorder=8.1, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
        self.lines, self.names_of = {}, {}
        for count, style in STYLES.items():
            self.lines[count] = self.plotted(self.axes, lw=1.2 * line, zorder=5 + count / 10, **style)
            name = self.moving(self.text(self.axes, 0, 0, f"{count} wires", zorder=8 + count / 10))
            name.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
            self.names_of[count] = name
        self.way = self.plotted(self.axes, color=INK, lw=line, zorder=7)
        self.dot = self.plotted(self.axes, **dot(self.look))

    def _wiring(self):
        """The sensor at the right, four wires to the board at the left, each hidden where the count has it not."""
        left, right, middle, pitch = self.place
        line = self.look.line
        rectangle(self.page, right, middle - pitch / 2, 0.5 * pitch, pitch, facecolor=PAPER, edgecolor=INK, lw=line)
        for y in (-1, 1):
            self.page.plot([right + 0.25 * pitch] * 2, [middle + y * pitch / 2, middle + y * 1.2 * pitch], color=INK)
        self.text(self.page, right + 0.25 * pitch, middle + 1.9 * pitch, "sensor", ha="center", va="bottom")
        self.text(self.page, left, middle + 1.9 * pitch, "board", ha="center", va="bottom")
        self.wires = {}
        for key, at in (("upper", 1.2), ("lower", -1.2), ("upper sense", 1.6), ("lower sense", -1.6)):
            y = middle + at * pitch
            turn = [left, right + 0.25 * pitch, right + 0.25 * pitch]
            self.wires[key] = self.moving(self.page.plot(turn, [y, y, middle + 1.2 * pitch * np.sign(at)])[0])
            self.wires[key].set_zorder(4)
        deep = 1.9 if self.look.room else 2.6  # above the chart's tick labels, which are beside it
        self.told = self.moving(
            self.text(self.page, (left + right) / 2, middle - deep * pitch, ha="center", va="top", zorder=9)
        )
        if not self.look.room:
            low = middle - 3.6 * pitch
            for y, carries, name in ((low, True, "carries current"), (low - 22, False, "measures")):
                self.page.plot([left - 20, left + 30], [y, y], **self._style(carries))
                self.text(self.page, left + 42, y, name, va="center")

    def _style(self, carries):
        """A wire that carries the current is thick, one that only measures is thin and dashed."""
        line = self.look.line
        return {"color": INK, "lw": 1.6 * line, "ls": "-"} if carries else {"color": BLUE, "lw": line, "ls": DASHES}

    # ---- moving

    def move(self, led):
        from tempkit.explorers.lead_error import LENGTHS_M

        foot, top = self.axes.get_ylim()
        for count, line in self.lines.items():
            y = self.book.span_from_celsius(led.lines_c[count])
            line.set_data(LENGTHS_M, np.maximum(y, foot))
            at = float(np.clip(y[AT], 1.6 * foot, 0.5 * top))
            self.names_of[count].set_position((LENGTHS_M[AT], at))
            self.names_of[count].set(ha="center", va="center", visible=bool(y[AT] > foot))
        worst = self.book.span_from_celsius(led.worst_c(led.wires))
        y, x = min(max(worst, foot), top), max(led.length_m, 1.0)
        self.way.set_data([x, x, 1.0], [foot, y, y])
        self.dot.set_data([x], [y])
        self._move_limit(led)
        self._move_wiring(led)
        self._move_heads(led)

    def _move_limit(self, led):
        known = led.class_c is not None
        y = self.book.span_from_celsius(led.class_c) if known else 1.0
        self.limit.set_data([1.0, 100.0], [y, y])
        self.limit_name.set_y(y)
        self.limit.set_visible(known)
        self.limit_name.set_visible(known)

    def _move_wiring(self, led):
        carries = {"upper": True, "lower": True, "lower sense": led.wires == 3, "upper sense": False}
        shown = {"lower sense": led.wires >= 3, "upper sense": led.wires == 4}
        for key, wire in self.wires.items():
            wire.set(visible=shown.get(key, True), **self._style(carries[key]))
        self.told.set_text(TOLD[led.wires][self.look.room])

    def _move_heads(self, led):
        book = self.book
        right, worst = book.span(led.errors_c[led.wires][0], 2, signed=True), book.span(led.worst_c(led.wires), 2)
        if self.look.room:
            told = f"{tidy(led.length_m, 1)} m: {ohms(led.lead_ohm)}", f"off {right}", f"up to {worst}"
        else:
            names = f"each of {led.wires} leads", f"reading at {book.temperature(led.t_c)} is off by"
            names += ("at most, either way",)
            for artist, name in zip(self.names, names, strict=True):
                artist.set_text(name)
            told = ohms(led.lead_ohm), right, worst
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)
