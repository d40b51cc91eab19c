"""The picture of chapter 05: contributions as bars of share, and what they come to in three ways on one axis."""

import numpy as np

from tempkit.book import Book, tidy
from tempkit.explorers.spec_lens import DASHES, rectangle
from tempkit.pictures import BLUE, INK, ORANGE, PAPER, QUIET, Picture

REACH_C = {False: 12.0, True: 5.0}  # half of the lower axis: from the specification, after a calibration
BINS = 96
SUMS = ("expanded ±U", "Monte Carlo", "worst case")
SHORT = {
    "sensor accuracy": "sensor",
    "reference voltage": "reference",
    "reference drift": "drift",
    "converter offset": "offset",
    "converter gain, at full scale": "gain",
    "converter INL": "INL",
    "noise at the pin": "noise",
    "thermometer of the calibration": "thermometer",
    "readings at the first point": "1st point",
    "readings at the second point": "2nd point",
    "sensor, away from the points": "sensor, left",
    "thermistor at 25 degC": "thermistor",
    "thermistor's beta": "beta",
    "fixed resistor": "resistor",
    "bridge, above the sensor": "bridge, side",
    "bridge, above the balance": "bridge, far",
    "bridge, balance resistor": "balance",
    "lead resistance": "leads",
    "supply of the circuit": "feed",
    "measuring current": "current",
    "amplifier offset": "amp. offset",
    "amplifier gain": "amp. gain",
    "cold-junction sensor": "cold junction",
}


class BudgetPicture(Picture):
    """Shows a `tempkit.explorers.error_budget.Budgeted`.

    Above, one bar a contribution, largest first, as long as its share of the variance; the last row takes the rest
    together. Beside it stand the standard uncertainty and what half of it would take off U. Below, on one axis, the
    shape of the trials with the normal curve of the same u dashed over it, the expanded uncertainty (filled), the
    Monte Carlo interval (a line between two ticks) and the worst case (hatched).
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        room = self.look.room
        self.rows, self.pitch = (4, 42) if room else (10, 23)
        self.left, self.right = (248, 684) if room else (250, 620)
        self.columns = {"share": 800, "gain": 1068} if room else {"u": 728, "share": 812, "gain": 944}
        self.top = self.look.size[1] - (44 if room else 26)
        self.name_x = 10

    def frame(self, at):
        return at.calibrated

    def build(self, frame):
        width, height = self.lay_page()
        page = self.page
        self._heads(page)
        self._bars(page)
        self._intervals(page, REACH_C[frame])
        place = {"ha": "center", "va": "center", "zorder": 20}
        self.nothing = self.moving(
            self.text(page, (self.left + self.right) / 2, self._row_y(1), "no budget here", **place)
        )
        self.nothing.set_bbox({"facecolor": PAPER, "edgecolor": INK, "pad": 8})

    # ---- what stands above

    def _heads(self, page):
        room = self.look.room
        y = self.top + 6
        self.text(page, self.left, y, "share of the variance" + ("" if room else ", 0 to 100 %"))
        saves = "half saves" if room else "half of it saves"
        names = {"share": "share, %", "gain": f"{saves}, {self.book.sign}", "u": f"u, {self.book.sign}"}
        for column, x in self.columns.items():
            self.text(page, x, y, names[column], ha="right")

    def _bars(self, page):
        last = self.top - self.rows * self.pitch
        for x in (self.left, (self.left + self.right) / 2, self.right):
            page.plot([x, x], [last, self.top], color=QUIET, lw=1, zorder=1)
        self.bars, self.names, self.cells = [], [], []
        for i in range(self.rows):
            y = self._row_y(i)
            up = self.pitch * 0.62
            style = {"facecolor": BLUE, "edgecolor": INK, "lw": 1, "zorder": 2 + i / 100}
            self.bars.append(self.moving(rectangle(page, self.left, y - up / 2, 0, up, **style)))
            line = {"va": "center_baseline", "zorder": 3 + i / 100, "bold": i == 0}
            self.names.append(self.moving(self.text(page, self.name_x, y, **line)))
            cells = {column: self.text(page, x, y, ha="right", **line) for column, x in self.columns.items()}
            self.moving(*cells.values())
            self.cells.append(cells)

    def _row_y(self, i):
        return self.top - (i + 0.5) * self.pitch

    # ---- what stands below

    def _intervals(self, page, reach_c):
        room = self.look.room
        foot, tall = (84, 36) if room else (58, 26)
        self.reach = self.book.span_from_celsius(reach_c)
        box = (self.left, foot, self.right - self.left, 3 * tall)
        axes = self.chart(box, f"error, {self.book.sign}", "", (-self.reach, self.reach), (3, 0))
        step = (reach_c // 2.2) * (2 if self.book.scale == "degF" else 1)
        axes.set_xticks([step * count for count in ((-2, 0, 2) if room else (-2, -1, 0, 1, 2))])
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.axvline(0, color=QUIET, lw=1.2, zorder=1.5)
        sizes = [self.text(page, self.right + 14, 0, va="center_baseline", zorder=6 + i / 10) for i in range(3)]
        self.sizes = self._placed(page, sizes, foot, tall)
        line = self.look.line
        self.expanded = self.moving(rectangle(axes, 0, 0.2, 0, 0.6, facecolor=BLUE, edgecolor=INK, lw=1, zorder=3))
        hatch = {"facecolor": PAPER, "edgecolor": INK, "hatch": "////", "lw": 1, "ls": DASHES}
        self.worst = self.moving(rectangle(axes, 0, 2.2, 0, 0.6, zorder=3.1, **hatch))
        trials = {"color": ORANGE, "lw": line * 1.4, "marker": "|", "ms": tall * 0.5, "mew": line * 1.4, "zorder": 3.2}
        self.trials = self.plotted(axes, solid_capstyle="butt", **trials)
        beyond = {"color": INK, "ls": "", "ms": tall * 0.3, "clip_on": False, "zorder": 5}
        self.beyond = [self.plotted(axes, marker=marker, **beyond) for marker in ("<", ">")]

        self._curve(page, foot + 3 * tall + (4 if room else 10))

    def _curve(self, page, foot):
        up = self.top - self.rows * self.pitch - foot - 12
        axes = self.figure.add_axes(self.part(self.left, foot, self.right - self.left, up))
        axes.set(xlim=(-self.reach, self.reach), ylim=(0, 1.35), facecolor="none")
        axes.axis("off")
        trials = {"facecolor": ORANGE, "edgecolor": INK, "lw": 0.8, "zorder": 3}
        self.edges = np.linspace(-self.reach, self.reach, BINS + 1)
        self.shape = self.moving(axes.stairs(np.zeros(BINS), self.edges, fill=True, **trials))
        style = {"color": BLUE, "lw": self.look.line, "ls": DASHES, "zorder": 4}
        self.bell = self.plotted(axes, **style)
        y = foot + up / 2
        self.text(page, self.name_x, y, "trials", va="center_baseline")
        told = "dashed: normal" if self.look.room else "dashed: normal curve with the same u"
        self.text(page, self.right + 14, y, told, va="center_baseline")

    def _placed(self, page, sizes, foot, tall):
        for i, artist in enumerate(sizes):
            y = foot + (2.5 - i) * tall
            self.text(page, self.name_x, y, SUMS[i], va="center_baseline")
            artist.set_y(y)
        self.moving(*sizes)
        return sizes

    # ---- moving

    def move(self, at):
        self.nothing.set_visible(at.budget is None)
        shown = self._shown(at.parts)
        for i in range(self.rows):
            self._move_row(i, shown[i] if i < len(shown) else None)
        self._move_sums(at)
        self._move_curve(at)

    def _shown(self, parts):
        """(name, share, u [degC], gain [degC]) of the rows; what has no row of its own is taken together."""
        own = parts if len(parts) <= self.rows else parts[: self.rows - 1]
        rows = [(self._name(part.name), part.share, part.standard_c, part.gain_c) for part in own]
        rest = parts[len(own) :]
        if rest:
            together = sum(part.standard_c**2 for part in rest) ** 0.5
            rows.append((f"{len(rest)} others", sum(part.share for part in rest), together, None))
        return rows

    def _name(self, name):
        return SHORT.get(name, name) if self.look.room else name

    def _move_row(self, i, row):
        name, share, standard_c, gain_c = row or ("", 0.0, 0.0, None)
        self.names[i].set_text(name)
        self.bars[i].set_width(max(share, 0.0) * (self.right - self.left))
        self.bars[i].set_visible(row is not None)
        texts = {
            "u": tidy(self.book.span_from_celsius(standard_c), 2),
            "share": tidy(100 * share, 0 if self.look.room else 1),
            "gain": "" if gain_c is None else tidy(self.book.span_from_celsius(gain_c), 2),
        }
        for column, artist in self.cells[i].items():
            artist.set_text(texts[column] if row else "")

    def _move_sums(self, at):
        ends = [(0.0, 0.0)] * 3
        for artist in (self.expanded, self.worst, self.trials):
            artist.set_visible(at.budget is not None)
        if at.budget is not None:
            ends = [(-at.budget.expanded_c, at.budget.expanded_c), at.simulated_c]
            ends.append((-at.budget.worst_sum_c, at.budget.worst_sum_c))
        ends = [tuple(self.book.span_from_celsius(end) for end in pair) for pair in ends]
        for artist, (low, high) in ((self.expanded, ends[0]), (self.worst, ends[2])):
            artist.set(x=low, width=high - low)
        self.trials.set_data(ends[1], [1.5, 1.5])
        for artist, side in zip(self.beyond, (-1, 1), strict=True):
            over = [i + 0.5 for i, pair in enumerate(ends) if side * pair[side > 0] > self.reach]
            artist.set_data([side * self.reach] * len(over), over)
        for artist, told in zip(self.sizes, self._told(at), strict=True):
            artist.set_text(told)

    def _move_curve(self, at):
        """Heights as parts of the normal curve's top, whatever u is."""
        self.bell.set_visible(at.budget is not None)
        self.shape.set_visible(at.budget is not None)
        if at.budget is None:
            return
        u = self.book.span_from_celsius(at.budget.standard_c)
        off = self.book.span_from_celsius(at.trials_c)
        counts = np.histogram(off, self.edges)[0]
        width = self.edges[1] - self.edges[0]
        self.shape.set_data(values=counts / (off.size * width) * u * np.sqrt(2 * np.pi))
        x = np.linspace(-self.reach, self.reach, 4 * BINS + 1)
        self.bell.set_data(x, np.exp(-0.5 * (x / u) ** 2))

    def _told(self, at):
        if at.budget is None:
            return "", "", ""
        low, high = (self.book.span(end, 2, signed=True) for end in at.simulated_c)
        expanded, worst = (self.book.span(each, 2) for each in (at.budget.expanded_c, at.budget.worst_sum_c))
        k = "" if self.look.room else f"   (k = {at.budget.k:.2f}, {100 * at.budget.level:g} %)"
        return f"±{expanded}{k}", f"{low.removesuffix(f' {self.book.sign}')} to {high}", f"±{worst}"
