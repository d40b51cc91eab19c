"""The picture of the delay budget: bars of the parts one behind the other, exactly and added one by one."""

from tempkit.book import Book, tidy
from tempkit.explorers.lag_picture import seconds
from tempkit.explorers.spec_lens import rectangle
from tempkit.pictures import BLUE, GREEN, INK, ORANGE, PAPER, PINK, Picture

# fill, edge and hatch of each part: told apart without colour too
PAINT = {
    "lag": ("#c3ddee", BLUE, ""),
    "smoothing": ("#f1dce8", PINK, "//"),
    "both": ("#dfe6ec", INK, "\\\\"),
    "on-delay": ("#fbe0cf", ORANGE, "--"),
    "sampling": ("#cfeae0", GREEN, "xx"),
    "line": (PAPER, INK, "||||"),
}
NAMES = {"both": "lag + smoothing"}
ROWS = ("at worst", "average", "added")
EXACT = ("both", "on-delay", "sampling", "line")
ADDED = ("lag", "smoothing", "on-delay", "sampling", "line")
KEY = ("lag", "smoothing", "both", "on-delay", "sampling", "line")
BAR = 0.62
# (left, bottom, width, height) of the chart; x of heads; y of names and values; key: y of rows, x of columns [px]
DESK = ((92, 58, 836, 276), (20, 350, 660), (488, 468), ((404, 370), (92, 366, 640)))
ROOM = ((158, 88, 900, 176), (14, 400, 740), (None, 476), ((388, 318), (14, 366, 750)))


class DelayPicture(Picture):
    """Shows a `tempkit.explorers.delay_budget.Lateness`.

    Two bars are exact, at worst and on average: lag and smoothing are one part there, because together they take
    another time than one by one. The third bar adds the parts, each alone and at its worst.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y, self.key = ROOM if self.look.room else DESK

    def frame(self, late):
        return late.shown_s

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        label = "time since the truth passed the limit, s"
        self.axes = self.chart(self.box, label, "", (0, frame), (-0.5, 2.5))
        self.axes.set_yticks([2, 1, 0], ROWS)
        self.axes.tick_params(axis="y", length=0)
        self.axes.grid(axis="y", visible=False)
        self.shown_s = frame
        self.bars = [self._row(2 - i, EXACT if i < 2 else ADDED) for i in range(3)]
        self._key()
        self.lay_heads(self.heads, *self.head_y)

    def _row(self, y, names):
        return [
            (name, self._piece(self.axes, name, 0, y - BAR / 2, 0, BAR, zorder=3 + i)) for i, name in enumerate(names)
        ]

    def _piece(self, axes, name, x, y, across, up, zorder):
        fill, edge, hatch = PAINT[name]
        piece = rectangle(
            axes, x, y, across, up, facecolor=fill, edgecolor=edge, hatch=hatch, lw=self.look.line / 2, zorder=zorder
        )
        return piece if axes is self.page else self.moving(piece)

    def _key(self):
        """Name and time of each part at its worst, beside a patch of its paint."""
        ys, xs = self.key
        side = self.look.body
        self.told = []
        for i, name in enumerate(KEY):
            x, y = xs[i % 3], ys[i // 3]
            self._piece(self.page, name, x, y - side * 0.15, 1.6 * side, side, zorder=2)
            self.told.append(self.moving(self.text(self.page, x + 2 * side, y, zorder=9 + i / 10)))

    # ---- moving

    def move(self, late):
        budget = late.budget
        lengths = ({}, {}, {}) if budget is None else _lengths(budget)
        for row, length in zip(self.bars, lengths, strict=True):
            self._fill(row, length)
        for text, name in zip(self.told, KEY, strict=True):
            text.set_text(f"{self._short(name)} {self._long(budget, name)}")
        self._move_heads(late)

    def _short(self, name):
        return "both" if self.look.room and name == "both" else NAMES.get(name, name)

    def _long(self, budget, name):
        if budget is None:
            return "–"
        worst_s = _worst(budget, name)
        return f"{tidy(worst_s, 2)} s" if self.look.room and worst_s < 1 else seconds(worst_s)

    def _fill(self, row, length):
        """Pieces one behind the other; what lies beyond the picture ends at its edge."""
        at = 0.0
        for name, piece in row:
            end = at + length.get(name, 0.0)
            shown = [min(place, self.shown_s) for place in (at, end)]
            piece.set(x=shown[0], width=shown[1] - shown[0])
            piece.set_visible(shown[1] > shown[0])
            at = end

    def _move_heads(self, late):
        book, budget = self.book, late.budget
        if budget is None:
            names, values = ("", "", ""), ("no limit is passed", "", "")
        else:
            names = "late at worst", "late on average", f"past {book.temperature(budget.limit_c)}, the truth is then"
            values = seconds(budget.worst_s), seconds(budget.mean_s), book.temperature(budget.reached_worst_c)
        if self.look.room and budget:
            values = f"worst {values[0]}", f"mean {values[1]}", f"then {values[2]}"
        for artist, name in zip(self.names, names, strict=False):
            artist.set_text(name)
        for artist, value in zip(self.values, values, strict=True):
            artist.set_text(value)


def _worst(budget, name):
    return budget.together_s if name == "both" else budget.part(name).worst_s


def _lengths(budget):
    """What the three bars are made of [s]: exact at worst, exact on average, and every part added at its worst."""
    worst = {part.name: part.worst_s for part in budget.parts}
    mean = {part.name: part.mean_s for part in budget.parts}
    both = {"both": budget.together_s}
    return worst | both, mean | both, worst
