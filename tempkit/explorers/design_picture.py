"""The picture of chapter 13: guard band against price, all combinations, the best that pass, and this design."""

from tempkit.book import Book
from tempkit.explorers.design_controls import PARTS
from tempkit.explorers.spec_lens import DASHES, DOTS, dot
from tempkit.partsearch import search
from tempkit.pictures import BLUE, INK, QUIET, Picture

PRICES = (0.0, 22.0)
GUARDS_C = (0.25, 16.0)
TICKS = (0.25, 0.5, 1, 2, 5, 10, 20)
# (left, bottom, width, height) of the chart, x of the key, its y from the top and its pitch, y of the head [px]
DESK = ((92, 62, 600, 366), 724, 424, 34, 468)
ROOM = ((148, 96, 560, 306), 748, 380, 62, 436)


class DesignPicture(Picture):
    """Shows a `tempkit.explorers.design_project.Held`.

    Each small cross is a combination of parts, samples and smoothing that fails with any delay and deadband; each
    square one that passes with some. The ink stairs join the best: for their price none has a narrower guard band. A
    dashed line stands at the price that is allowed, a dotted one at the room there is for a guard band; the ring is the
    present design.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.key_x, self.key_y, self.pitch, self.head_y = ROOM if self.look.room else DESK

    def frame(self, held):
        return held.requirement

    # ---- parts that stand still

    def build(self, requirement):
        self.lay_page()
        ends = self.book.span_from_celsius(GUARDS_C[0]), self.book.span_from_celsius(GUARDS_C[1])
        self.axes = self.chart(self.box, "price (invented)", f"guard band, {self.book.sign}", PRICES, ends)
        self._scale(ends)
        self._cloud(requirement)
        self._allowed(requirement)
        self._key()
        self._present()

    def _scale(self, ends):
        from matplotlib.ticker import FixedLocator, NullLocator

        self.axes.set_yscale("log")
        ticks = [tick for tick in TICKS if ends[0] <= tick <= ends[1]]
        self.axes.yaxis.set_major_locator(FixedLocator(ticks))
        self.axes.yaxis.set_minor_locator(NullLocator())
        self.axes.set_yticklabels([f"{tick:g}" for tick in ticks])

    def _cloud(self, requirement):
        all_of = search(PARTS, requirement)
        price, guard_c, passes = all_of.points()
        guard = self.book.span_from_celsius(guard_c)
        size = 5 if self.look.room else 3
        fail = {"marker": "x", "ms": size, "mew": 0.6, "color": QUIET, "alpha": 0.35, "ls": ""}
        self.axes.plot(price[~passes], guard[~passes], zorder=2, **fail)
        self.axes.plot(price[passes], guard[passes], marker="s", ms=size, color=BLUE, ls="", zorder=3)
        best = all_of.best()
        front = {"color": INK, "lw": 0.7 * self.look.line, "marker": "D", "ms": 1.6 * size, "zorder": 4}
        steps = self.book.span_from_celsius(all_of.guard_c[best])
        self.axes.plot(all_of.price[best], steps, drawstyle="steps-post", **front)

    def _allowed(self, requirement):
        line = {"color": INK, "lw": 0.6 * self.look.line, "zorder": 3.5}
        self.axes.axvline(requirement.price, ls=DASHES, **line)
        self.axes.axhline(self.book.span_from_celsius(min(requirement.room_c)), ls=DOTS, **line)

    def _key(self):
        names = ("this design", "best that pass", "passes", "fails", "price allowed", "room allowed")
        size = 5 if self.look.room else 3
        styles = (
            {**dot(self.look), "zorder": 3},
            {"color": INK, "lw": 0.7 * self.look.line, "marker": "D", "ms": 1.6 * size},
            {"color": BLUE, "marker": "s", "ms": 1.6 * size, "ls": ""},
            {"color": QUIET, "marker": "x", "ms": 1.6 * size, "ls": ""},
            {"color": INK, "lw": 0.6 * self.look.line, "ls": DASHES},
            {"color": INK, "lw": 0.6 * self.look.line, "ls": DOTS},
        )
        long = 40 if self.look.room else 30
        for place, (name, style) in enumerate(zip(names, styles, strict=True)):
            y = self.key_y - place * self.pitch
            xs = [self.key_x, self.key_x + long] if style.get("ls", "-") != "" else [self.key_x + long / 2]
            self.page.plot(xs, [y] * len(xs), **style)
            self.text(self.page, self.key_x + long + 14, y, name, va="center")

    # ---- moving

    def _present(self):
        drop = {"color": INK, "lw": 0.5 * self.look.line, "zorder": 8}
        self.drop = self.plotted(self.axes, **drop)
        self.here = self.plotted(self.axes, **dot(self.look))
        size = self.look.big if not self.look.room else self.look.gap
        self.head = self.moving(self.text(self.page, self.box[0], self.head_y, size=size, bold=True, va="center"))

    def move(self, held):
        shown = held.price is not None and held.guard_c < float("inf")
        self.head.set_text(self._verdict(held))
        self.here.set_visible(shown)
        self.drop.set_visible(shown)
        if shown:
            y = self.book.span_from_celsius(held.guard_c)
            self.here.set_data([held.price], [y])
            self.drop.set_data([held.price, held.price, PRICES[0]], [self.axes.get_ylim()[0], y, y])

    def _verdict(self, held):
        room = self.look.room
        fails = f"fails {len(held.fails)} of {len(held.lines)}{'' if room else ' lines'}"
        price = "no price" if held.price is None else f"price {held.price:.2f}"
        guard = self.book.span(held.guard_c, 2) if held.guard_c < float("inf") else "none"
        return f"{fails if held.fails else 'passes'}: {price}, guard{'' if room else ' band'} {guard}"
