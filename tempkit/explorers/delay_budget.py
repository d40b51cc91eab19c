"""Chapter 08: how late the alarm is. Lag, smoothing, sampling, on-delay and line, each alone and exactly together."""

from dataclasses import dataclass

from tempkit import signal
from tempkit.alarm import DelayBudget, alarm_delay
from tempkit.book import Book, tidy
from tempkit.draw import BLUE, GREEN, INK, ORANGE, PAPER, PINK, Picture
from tempkit.explorers.controls import (
    CHARACTERS,
    GOES_TO,
    LAG,
    ON_DELAY,
    PRINTING,
    RATE,
    SECONDS,
    SMOOTHING,
    SPEED,
    STEP_OR_RAMP,
    WAIT,
    completed,
)
from tempkit.explorers.lag import START_C, limits_told, seconds
from tempkit.explorers.lens import rectangle
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.signal import Loop, Ramp, Step

# --- The picture of the delay budget: bars of the parts one behind the other, exactly and added one by one.

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


BUFFER = 64  # characters; common practice, no source


@dataclass(frozen=True)
class Lateness:
    """A change, the loop that watches it, and the delay budget of its alarm, None where no limit is passed."""

    change: Step | Ramp
    limits_c: tuple
    loop: Loop
    wait_s: float
    budget: DelayBudget | None
    shown_s: float

    @property
    def together_added_s(self):
        """Lag and smoothing, added one by one [s]."""
        return self.budget.part("lag").worst_s + self.budget.part("smoothing").worst_s

    def problems(self):
        """What makes it later than it looks, one sentence each."""
        if self.loop.period_s > 1.1 * self.wait_s:
            yield (
                f"a pass of the loop takes {seconds(self.loop.period_s)}, not {seconds(self.wait_s)}, so that delays "
                "counted in samples and the smoothing are longer than the program believes"
            )
        if self.loop.full:
            yield "the line never rests; the buffer stands full, and what is read there is old"
        if self.budget and max(self.budget.worst_s, self.budget.added_worst_s) > self.shown_s:
            yield "the bars run out of the picture; let it show a longer time"


def compute(design, t_c, shape, rate_c, characters, printing, shown_s):
    """The delay budget of a design's alarm for a change from 22 degC to `t_c`, with what printing takes.

    >>> from tempkit.explorers.stage import north_bench
    >>> late = compute(north_bench(), 34.0, "ramp", 2.0, 60, "waits", 120)
    >>> round(late.budget.worst_s, 2), late.loop.period_s
    (52.99, 1.0625)
    """
    full = completed(design)
    change = Step(START_C, t_c) if shape == "step" else Ramp(START_C, t_c, rate_c)
    alarm, link = full.alarm, full.link
    buffer = BUFFER if printing == "buffered" else None
    loop = signal.loop((round(characters),), alarm.sample_period_s, link.baud, link.frame, buffer)
    limit_c = alarm.high_c if change.rise_c > 0 else alarm.low_c
    passed = limit_c is not None and change.passes(limit_c)
    budget = alarm_delay(full, change, loop) if passed else None
    return Lateness(change, (alarm.low_c, alarm.high_c), loop, alarm.sample_period_s, budget, float(shown_s))


def words(late, book):
    """How late the alarm is and where the temperature has got to, in a few sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    The truth passes 27.0 °C and goes on at 2.0 °C a minute. The alarm is read 53.0 s later at worst, 52.5 s on average;
    it is 28.8 °C by then. Lag and smoothing take 49.7 s together; one by one they would add up to 49.8 s.
    """
    if late.budget is None:
        ends = f"from {book.temperature(late.change.start_c)} to {book.temperature(late.change.end_c)}"
        told = f"On the way {ends} no limit is passed; they stand at {limits_told(late.limits_c, book)}."
        return told + warning(late.problems())
    budget = late.budget
    return (
        f"The truth passes {book.temperature(budget.limit_c)} {_way(late.change, book)}. The alarm is read "
        f"{seconds(budget.worst_s)} later at worst, {seconds(budget.mean_s)} on average; it is "
        f"{book.temperature(budget.reached_worst_c)} by then. Lag and smoothing take {seconds(budget.together_s)} "
        f"together; one by one they would add up to {seconds(late.together_added_s)}."
    ) + warning(late.problems())


def _way(change, book):
    if isinstance(change, Step):
        return f"at once, on its way to {book.temperature(change.end_c)}"
    return f"and goes on at {book.span(change.rate_c_per_min)} a minute"


def facts(late, book):
    """Rows of the number table."""
    rows = [
        ("the truth", f"{book.temperature(late.change.start_c)} to {book.temperature(late.change.end_c)}"),
        ("it changes", _way(late.change, book)),
        ("limits", limits_told(late.limits_c, book)),
    ]
    if late.budget:
        rows += _parts(late.budget, book)
        rows.append(("lag and smoothing, added", seconds(late.together_added_s)))
    rows += [
        ("the loop waits", seconds(late.wait_s)),
        ("a pass of the loop takes", seconds(late.loop.period_s)),
        ("characters on the line take", seconds(late.loop.line_s)),
        ("printing holds it up", seconds(late.loop.held_s)),
    ]
    return [*rows, *(("mind", told) for told in late.problems())]


def _parts(budget, book):
    """Each part at its worst and its mean, and the totals."""
    rows = [
        (f"{part.name} alone", f"{seconds(part.worst_s)} at worst, {seconds(part.mean_s)} on average; {part.why}")
        for part in budget.parts
    ]
    return [
        ("limit passed", book.temperature(budget.limit_c)),
        *rows,
        ("lag and smoothing, exactly", seconds(budget.together_s)),
        ("all, exactly, at worst", seconds(budget.worst_s)),
        ("all, exactly, on average", seconds(budget.mean_s)),
        ("all, added, at worst", seconds(budget.added_worst_s)),
        ("lamp and buzzer, at worst", seconds(budget.output_worst_s)),
        ("the truth then, at worst", book.temperature(budget.reached_worst_c)),
        ("the truth then, on average", book.temperature(budget.reached_mean_c)),
    ]


PLAN = Plan(
    title="How late the alarm is",
    controls=(
        STEP_OR_RAMP,
        GOES_TO,
        RATE,
        LAG,
        SMOOTHING,
        ON_DELAY,
        WAIT,
        CHARACTERS,
        SPEED,
        PRINTING,
        SECONDS,
    ),
    compute=compute,
    picture=lambda look, book: DelayPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 08; `design` from a design file, `start` values of controls by name.

    >>> explorer(printing="buffered").result().loop.period_s
    1.0
    """
    return Explorer(PLAN, design, **start)
