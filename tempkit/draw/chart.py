"""A chart as it is declared: axes, marks and facts; where each stands on the screen is worked out here, for every size.

A mark is anything with `build(panel)`, which makes its artists on `panel.axes` and returns `move(result)`. The marks
below are enough for most charts; a mark of one's own is a small class with that one function.
"""

import itertools
import math
import string
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from tempkit.book import Book
from tempkit.draw.pictures import BLUE, GREEN, INK, ORANGE, PAPER, Look, Picture

DASHES, DOTS = (0, (5, 3)), (0, (2, 3))


@dataclass(frozen=True)
class Stroke:
    """How a line is drawn: colour, `dash` ("-", DASHES or DOTS), and `width` in widths of the look's main line."""

    color: str
    dash: object = "-"
    width: float = 1.0

    def style(self, look):
        """As keywords of a line."""
        return {"color": self.color, "ls": self.dash, "lw": self.width * look.line}


TRUTH = Stroke(INK)
SENSOR = Stroke(BLUE, DASHES)
READING = Stroke(ORANGE, width=0.8)
CURVE = Stroke(BLUE)
LIMIT = Stroke(GREEN, DOTS, 0.8)
EDGE = Stroke(INK, DOTS, 0.6)
HATCHED = {"facecolor": "none", "edgecolor": "#8c8c8c", "hatch": "////", "lw": 0}
TINTED = {"facecolor": BLUE, "alpha": 0.22, "lw": 0}
SHADED = {"facecolor": "#e6e6e6", "lw": 0}
ON_PAPER = {"facecolor": PAPER, "edgecolor": "none", "pad": 1.5, "alpha": 0.85}


@dataclass(frozen=True)
class Axis:
    """One axis: its `label`, `unit` and `span` (low, high), which may be a function of the result.

    With `scale` "temperature" or "span" numbers are given in degC and shown in the reader's scale, which is the unit;
    with "per span" they are so many of `unit` for 1 degC.
    `factor` turns given numbers into shown ones (1 / 60: seconds as minutes). `ticks` are places to mark, as a tuple
    or pairs (place, words), a function of the result giving these, or None to leave them to the picture. With `room`
    False an x axis has neither numbers nor name in the back row.

    >>> float(Axis("time", "min", factor=1 / 60).shown(120.0, Book()))
    2.0
    >>> slope = Axis("slope", "mV", scale="per span")
    >>> slope.name(Book("degF")), float(slope.shown(18.0, Book("degF")))
    ('slope, mV/°F', 10.0)
    """

    label: str = ""
    unit: str = ""
    span: tuple | Callable = (0.0, 1.0)
    scale: str | None = None
    factor: float = 1.0
    log: bool = False
    ticks: tuple | Callable | None = None
    room: bool = True

    def shown(self, values, book):
        """Given numbers as the axis shows them."""
        if self.scale == "temperature":
            return book.from_celsius(values)
        if self.scale == "per span":
            return np.divide(values, book.span_from_celsius(1.0))[()]
        return book.span_from_celsius(values) if self.scale == "span" else np.multiply(values, self.factor)[()]

    def unit_told(self, book):
        """The unit as the reader sees it."""
        if self.scale == "per span":
            return f"{self.unit}/{book.sign}"
        return book.sign if self.scale else self.unit

    def name(self, book):
        """Label and unit, as printed at the axis."""
        return ", ".join(part for part in (self.label, self.unit_told(book)) if part)

    def ends(self, result, book):
        """The span as shown, for a result."""
        return tuple(float(self.shown(end, book)) for end in _of(self.span, result))


def _of(value, result):
    """A declared value: itself, or what the function of the result gives."""
    return value(result) if callable(value) else value


def _sign(place):
    """A place as the sign of its tick, with a true minus."""
    return f"{place:g}".replace("-", "\N{MINUS SIGN}")


@dataclass(frozen=True)
class Fact:
    """A number of an explorer, said once: `key` for sentences, `name` for the table, `value(result, book)` its text.

    With `head` it stands above the picture too, under that name; `short` is said in front of it where the back row
    leaves no room for names; both may be functions of the result. `short` None leaves it out of the back row's head,
    `wide` is its share of the head's width. `value` gives None where there is nothing to say; `brief`, where there is
    one, is told in its place in the back row's head.

    >>> Fact("late", "late by", lambda result, book: f"{result} s").value(49.5, Book())
    '49.5 s'
    """

    key: str
    name: str
    value: Callable
    head: str | Callable = ""
    short: str | Callable | None = ""
    table: bool = True
    wide: float = 1.0
    brief: Callable | None = None


class Facts(tuple):
    """The facts of an explorer, from which its sentences, heads, table and alt text are made.

    >>> facts = Facts([Fact("late", "late by", lambda result, book: f"{result} s")])
    >>> facts.sentences("It is {late} late.")(50, Book()), facts.rows(50, Book())
    ('It is 50 s late.', [('late by', '50 s')])
    """

    def told(self, result, book):
        """The text of every fact by its key."""
        return {fact.key: fact.value(result, book) for fact in self}

    def rows(self, result, book):
        """Rows (name, text) of the number table; facts with nothing to say are left out."""
        rows = ((fact.name, fact.value(result, book)) for fact in self if fact.table)
        return [(name, text) for name, text in rows if text is not None]

    def sentences(self, template):
        """A function (result, book) -> words, from a text with {keys}; `ValueError` for a key that no fact has."""
        keys = [fact.key for fact in self]
        for _, key, _, _ in string.Formatter().parse(template):
            if key is not None and key not in keys:
                raise ValueError(f"the sentence asks for {{{key}}}, which is no fact: write one of {', '.join(keys)}")
        return lambda result, book: template.format_map(self.told(result, book))


@dataclass(frozen=True)
class Chart:
    """One pair of axes with its marks; `tall` and `wide` are its share of the picture beside other charts.

    `room` False leaves it out in the back row, `boxed` draws all four sides, as of a lens. A `bare` one shows its marks
    alone, without axes, as a drawing.
    """

    x: Axis
    y: Axis
    marks: tuple
    tall: float = 1.0
    wide: float = 1.0
    room: bool = True
    boxed: bool = False
    bare: bool = False


class Panel:
    """A chart on its axes: what a mark needs to draw itself.

    `x(values)` and `y(values)` turn given numbers into shown ones; `moves(artist)` registers an artist that moves.
    """

    def __init__(self, picture, chart, axes):
        self.picture, self.chart, self.axes = picture, chart, axes
        self.look, self.book = picture.look, picture.book
        self._orders = itertools.count(1)

    def x(self, values):
        """Given numbers as the x axis shows them."""
        return self.chart.x.shown(values, self.book)

    def y(self, values):
        """Given numbers as the y axis shows them."""
        return self.chart.y.shown(values, self.book)

    def order(self):
        """The next place in the pile: each mark lies above those declared before it."""
        return 2 + next(self._orders) / 10

    def moves(self, artist):
        """Register an artist that moves, on top of what stands so far, and return it."""
        artist.set_zorder(self.order())
        return self.picture.moving(artist)

    def line(self, stroke, **options):
        """A line that moves, without points at first."""
        return self.moves(self.axes.plot([], [], **{**stroke.style(self.look), **options})[0])

    def patch(self, patch):
        """A patch that moves."""
        return self.moves(self.axes.add_patch(patch))

    def words(self, **options):
        """Words that move."""
        return self.moves(self.picture.text(self.axes, 0, 0, **options))


class Charts:
    """The declaration of a picture: rows of charts, the upper first, and the facts at its head.

    Where rows above one another have the same x axes, these have numbers and names once, beneath the lowest.
    Called with a look and a book it gives the picture: `Charts(chart, heads=FACTS)(Look(), Book())`.
    """

    def __init__(self, *rows, heads=()):
        self.rows = tuple(row if isinstance(row, tuple) else (row,) for row in rows)
        self.heads = tuple(fact for fact in heads if fact.head or fact.short)

    def __call__(self, look=None, book=None):
        return ChartPicture(self, look, book)


class ChartPicture(Picture):
    """The picture of some `Charts`: heads at the top, a key of the named marks, the charts beneath."""

    def __init__(self, declared, look=None, book=None):
        super().__init__(look or Look())
        self.declared, self.book = declared, book or Book()
        self.heads = [fact for fact in declared.heads if not (self.look.room and fact.short is None)]
        rows = [[chart for chart in row if chart.room or not self.look.room] for row in declared.rows]
        self.rows = [row for row in rows if row]
        self.charts = [chart for row in self.rows for chart in row]

    def frame(self, result):
        """Ends and ticks of all axes: what stands still from one result to the next."""
        return tuple(
            (axis.ends(result, self.book), _of(axis.ticks, result))
            for chart in self.charts
            for axis in (chart.x, chart.y)
        )

    def build(self, frame):
        width, height = self.lay_page()
        top = self._lay_heads(height)
        top = self._lay_key(top)
        settled = iter(frame)
        self.panels = [[self._panel(chart, next(settled), next(settled)) for chart in row] for row in self.rows]
        for above, beneath in itertools.pairwise(self.panels):
            for panel in above if _share(above, beneath) else ():
                panel.axes.tick_params(axis="x", labelbottom=False)
                panel.axes.set_xlabel("")
        _place(self, self.panels, (0, 0, width, top))
        for panel in itertools.chain(*self.panels):
            _clear_corner(panel, self.canvas.get_renderer())
        self._movers_of_marks = [
            move for row in self.panels for panel in row for mark in panel.chart.marks if (move := mark.build(panel))
        ]

    def _lay_heads(self, height):
        """Names and values of the facts at the head, each with its share; returns the height left beneath them."""
        if not self.heads:
            return height - 0.5 * self.look.body
        body, shares = self.look.body, np.cumsum([0, *(fact.wide for fact in self.heads)])
        xs = [20 + share * (self.look.size[0] - 20) / shares[-1] for share in shares[:-1]]
        names = None if self.look.room else height - 10
        values = height - 8 if self.look.room else height - 10 - 1.5 * body
        self.lay_heads(xs, names, values)
        return values - 1.7 * (body if self.look.room else self.look.big)

    def _lay_key(self, top):
        """One sample and name for each named mark, in as many rows as they need; returns the height left beneath.

        A mark whose `key` is a fact is named with its value, which has room for a time.
        """
        body, self._told_keys = self.look.body, []
        x, y = 20.0, top - 0.6 * body
        named = [mark for chart in self.charts for mark in chart.marks if getattr(mark, "key", "")]
        for mark in named:
            told = self._called(mark.key) if isinstance(mark.key, Fact) else ""
            long = (1.6 if hasattr(mark, "paint") else 3) * body
            name = self.text(self.page, 0, 0, f"{told} 000.0 s" if told else mark.key, va="center")
            across = long + 0.6 * body + name.get_window_extent(self.canvas.get_renderer()).width
            if x > 20 and x + across > self.look.size[0] - 10:
                x, y = 20.0, y - 1.4 * body
            mark.sample(self, x, y, long)
            name.set_position((x + long + 0.6 * body, y))
            if told:
                self._told_keys.append((mark.key, told, self.moving(name)))
            x += across + 1.2 * body
        return y - 1.1 * body if named else top

    def _called(self, fact):
        return fact.short if self.look.room and fact.short else fact.name

    def _panel(self, chart, x, y):
        axes = self.chart((0, 0, 1, 1), chart.x.name(self.book), chart.y.name(self.book), x[0], y[0])
        for axis, (ends, ticks), declared in ((axes.xaxis, x, chart.x), (axes.yaxis, y, chart.y)):
            if declared.log:
                (axes.set_xscale if axis is axes.xaxis else axes.set_yscale)("log")
                if max(ends) < 300 * min(ends):  # else whole tenfolds are enough
                    axis.get_major_locator().set_params(subs=(1, 2, 5))
                axis.set_minor_formatter("")
                axis.set_major_formatter("{x:g}")
            if ticks is not None:
                pairs = [tick if isinstance(tick, tuple) else (tick, None) for tick in ticks]
                places = [declared.shown(place, self.book) for place, _ in pairs]
                words = [_sign(place) if word is None else word for place, (_, word) in zip(places, pairs, strict=True)]
                axis.set_ticks(places, words)
                axis.set_ticks([], minor=True)
        axes.set(xlim=x[0], ylim=y[0])
        if chart.bare:
            axes.axis("off")
            for side in axes.spines.values():
                side.set_visible(False)
        for side in ("top", "right") if chart.boxed else ():
            axes.spines[side].set(visible=True, zorder=8.5)
            self.moving(axes.spines[side])
        if self.look.room and not chart.x.room:
            axes.tick_params(axis="x", labelbottom=False)
            axes.set_xlabel("")
        return Panel(self, chart, axes)

    def move(self, result):
        for fact, value in zip(self.heads, getattr(self, "values", ()), strict=False):
            told = (self.look.room and fact.brief or fact.value)(result, self.book)
            if self.look.room and told is not None:
                told = f"{_of(fact.short, result)} {told}".lstrip()
            value.set_text(told or "")
        for fact, name in zip(self.heads, getattr(self, "names", ()), strict=False):
            name.set_text(_of(fact.head, result) if fact.value(result, self.book) is not None else "")
        for fact, called, name in self._told_keys:
            name.set_text(f"{called} {fact.value(result, self.book) or ''}")
        for move in self._movers_of_marks:
            move(result)


def _share(above, beneath):
    return [panel.chart.x for panel in above] == [panel.chart.x for panel in beneath]


def _place(picture, rows, box):
    """Give every panel its box: rows by their share of the height, in each row by share of the width.

    How far ticks and labels stand out is measured, so that nothing is cut at any size; panels above one another
    begin and end at the same x.
    """
    renderer, (left, bottom, width, height) = picture.canvas.get_renderer(), box
    gap = picture.look.body
    talls = [max(panel.chart.tall for panel in row) for row in rows]
    for row, tall in zip(rows, talls, strict=True):
        for panel in row:
            _thin_out(panel, 0.6 * height * tall / sum(talls))
    gaps = [0.3 * gap if _share(*pair) else gap for pair in itertools.pairwise(rows)]
    outs = [[_stands_out(panel, renderer) for panel in row] for row in rows]
    first, last = max(20, *(row[0][0] for row in outs)), max(0.8 * gap, *(row[-1][3] for row in outs))
    needs = [max(out[1] for out in row) + max(out[2] for out in row) for row in outs]
    free = height - sum(needs) - sum(gaps) - 0.4 * gap
    y = bottom + height - 0.2 * gap
    for row, out, tall, beneath in zip(rows, outs, talls, [*gaps, 0], strict=True):
        up = free * tall / sum(talls)
        y -= max(each[2] for each in out) + up
        lefts = [first, *(each[0] + gap for each in out[1:])]
        rights = [*(max(each[3], 0.8 * gap) for each in out[:-1]), last]
        rest = width - 6 - sum(lefts) - sum(rights)
        x, wides = left, sum(panel.chart.wide for panel in row)
        for panel, before, after in zip(row, lefts, rights, strict=True):
            across = rest * panel.chart.wide / wides
            panel.axes.set_position(picture.part(x + before, y, across, up))
            x += before + across + after
            if panel.axes.yaxis.label.get_window_extent(renderer).height > up + 2 * gap:
                panel.axes.set_ylabel(panel.chart.y.unit_told(panel.book))
        y -= max(each[1] for each in out) + beneath


def _thin_out(panel, up):
    """Fewer numbers at the y axis of a chart that is about `up` pixels high, as many as find room."""
    if panel.chart.y.ticks is None and not panel.chart.y.log:
        most = min(4 if panel.look.room else 7, int(up / (1.6 * panel.look.body)))
        panel.axes.locator_params(axis="y", nbins=max(1, most), min_n_ticks=1)


def _clear_corner(panel, renderer):
    """Leave out the lowest number of the y axis where it would touch the first of the x axis."""
    low, high = sorted(panel.axes.get_xlim())
    beneath = [
        tick.label1.get_window_extent(renderer)
        for tick in panel.axes.xaxis.get_major_ticks()
        if low <= tick.get_loc() <= high and tick.label1.get_visible()
    ]
    for label in panel.axes.get_yticklabels():
        if any(label.get_window_extent(renderer).padded(2).overlaps(other) for other in beneath):
            label.set_visible(False)


def _stands_out(panel, renderer):
    """How far (left, bottom, top, right [px]) ticks, labels and names stand out of a panel's axes."""
    panel.axes.set_position((0.3, 0.15, 0.5, 0.7))
    inner, outer = panel.axes.get_window_extent(renderer), panel.axes.get_tightbbox(renderer, for_layout_only=True)
    left, right = [inner.x0 - outer.x0 + 4], [outer.x1 - inner.x1]
    for mark in panel.chart.marks:
        left += [mark.before(panel)] if hasattr(mark, "before") else []
        right += [mark.beside(panel)] if hasattr(mark, "beside") else []
    return max(left), inner.y0 - outer.y0 + 4, outer.y1 - inner.y1, max(right)


# ---- marks


@dataclass(frozen=True)
class Line:
    """A curve through `at(result)` -> (x, y), with its name `key`; `steps` draws stairs, `dots` marks the points.

    `size` is that of a point, in widths of the look's main line; without `joined` there are only the points.
    """

    at: Callable
    stroke: Stroke = CURVE
    key: str = ""
    steps: bool = False
    dots: str = ""
    joined: bool = True
    size: float = 1.7

    def _style(self, look):
        style = {**self.stroke.style(look), **({"drawstyle": "steps-post"} if self.steps else {})}
        if self.dots:
            style |= {"marker": self.dots, "ms": self.size * look.line, "mew": look.line if self.dots == "x" else 1.0}
        return style if self.joined else {**style, "ls": ""}

    def build(self, panel):
        line = panel.moves(panel.axes.plot([], [], **self._style(panel.look))[0])

        def move(result):
            x, y = self.at(result)
            line.set_data(panel.x(np.asarray(x, float)), panel.y(np.asarray(y, float)))

        return move

    def sample(self, picture, x, y, long):
        """The sample in the key."""
        style = {**self._style(picture.look), "drawstyle": "default"}
        picture.page.plot([x, x + long] if self.joined else [x + long / 2], [y, y] if self.joined else [y], **style)


@dataclass(frozen=True)
class Area:
    """The area between two curves, `at(result)` -> (x, lower, upper); painted by `paint` (TINTED, HATCHED, ...)."""

    at: Callable
    paint: dict = field(default_factory=lambda: TINTED)
    key: str = ""
    edges: Stroke | None = None

    def build(self, panel):
        from matplotlib.patches import Polygon

        area = panel.patch(Polygon([(0, 0)] * 3, **self.paint))
        lines = [panel.line(self.edges) for _ in range(2)] if self.edges else []

        def move(result):
            x, lower, upper = (np.asarray(values, float) for values in self.at(result))
            lower, upper = (panel.y(np.broadcast_to(y, x.shape)) for y in (lower, upper))
            x = panel.x(x)
            area.set_visible(x.size > 0)
            if x.size:
                area.set_xy(np.column_stack([np.r_[x, x[::-1]], np.r_[lower, upper[::-1]]]))
            for line, y in zip(lines, (lower, upper), strict=False):
                line.set_data(x, y)

        return move

    def sample(self, picture, x, y, long):
        """The sample in the key."""
        _patch_sample(picture, self.paint, x, y, long)


def _patch_sample(picture, paint, x, y, long):
    from matplotlib.patches import Rectangle

    up = 0.9 * picture.look.body
    picture.page.add_patch(Rectangle((x, y - up / 2), long, up, **{"zorder": 2, **paint}))


@dataclass(frozen=True)
class Bars:
    """Bars along x, `at(result)` -> rows (from, to, foot, top); painted by `paint`. As many as there are.

    They are one artist, however many. `handle` names the control that a reader moves by taking one along x.
    """

    at: Callable
    paint: dict
    key: str | Fact = ""
    handle: str = ""

    def build(self, panel):
        from matplotlib.collections import PolyCollection

        bars = panel.moves(panel.axes.add_collection(PolyCollection([], **self.paint), autolim=False))

        def move(result):
            rows = np.asarray(self.at(result), float).reshape(-1, 4)
            x0, x1 = panel.x(rows[:, 0]), panel.x(rows[:, 1])
            y0, y1 = panel.y(rows[:, 2]), panel.y(rows[:, 3])
            bars.set_verts(np.stack([np.c_[x0, y0], np.c_[x1, y0], np.c_[x1, y1], np.c_[x0, y1]], axis=1))

        return move

    def sample(self, picture, x, y, long):
        """The sample in the key."""
        _patch_sample(picture, self.paint, x, y, long)


@dataclass(frozen=True)
class Levels:
    """Lines all across at each of `at(result)` -> values of y; `name(value, book)` stands at the right end.

    Where two names would touch, the lower one is left out. `upright` draws them from foot to top at values of x,
    without names. `most` is how many there can be. `handle` names the control that a reader moves by taking one.
    """

    at: Callable
    stroke: Stroke = LIMIT
    name: Callable | None = None
    upright: bool = False
    most: int = 2
    handle: str = ""
    key: str = ""

    def build(self, panel):
        across = panel.axes.get_xaxis_transform() if self.upright else panel.axes.get_yaxis_transform()
        lines = [panel.line(self.stroke, transform=across) for _ in range(self.most)]
        beside = {"va": "center", "transform": across, "clip_on": False}
        names = [panel.words(**beside) for _ in range(self.most if self.name else 0)]

        def move(result):
            values = [value for value in self.at(result) if value is not None and math.isfinite(value)]
            shown = (panel.x if self.upright else panel.y)(np.asarray(values, float))
            low, high = sorted(panel.axes.get_xlim() if self.upright else panel.axes.get_ylim())
            apart = 1.1 * panel.look.body * (high - low) / max(1.0, _up(panel))
            taken = []
            for i, line in enumerate(lines):
                there = i < len(values) and low <= shown[i] <= high
                ends, at = (0, 1), (shown[i], shown[i]) if there else (0, 0)
                line.set_visible(there)
                line.set_data(*((at, ends) if self.upright else (ends, at)))
                if names:
                    free = there and all(abs(shown[i] - other) > apart for other in taken)
                    names[i].set(position=(1.012, at[0]), visible=free)
                    names[i].set_text(self.name(values[i], panel.book) if free else "")
                    taken += [shown[i]] if free else []

        return move

    def beside(self, panel):
        """The room that the names need at the right [px]."""
        return 4.6 * panel.look.body if self.name else 0

    def sample(self, picture, x, y, long):
        """The sample in the key."""
        _line_sample(picture, self.stroke, x, y, long)


def _line_sample(picture, stroke, x, y, long):
    picture.page.plot([x, x + long], [y, y], solid_capstyle="butt", **stroke.style(picture.look))


def _up(panel):
    return panel.axes.get_window_extent().height


@dataclass(frozen=True)
class Segment:
    """A straight piece between two points, `at(result)` -> (x0, y0, x1, y1), or None where there is none.

    An end that is None lies at the foot of the axes.
    """

    at: Callable
    stroke: Stroke = EDGE
    key: str = ""

    def build(self, panel):
        line = panel.line(self.stroke, solid_capstyle="butt")

        def move(result):
            ends = self.at(result)
            line.set_visible(ends is not None)
            if ends is not None:
                x0, y0, x1, y1 = ends
                foot = min(panel.axes.get_ylim())
                ys = [foot if y is None else panel.y(y) for y in (y0, y1)]
                line.set_data([panel.x(x0), panel.x(x1)], ys)

        return move

    def sample(self, picture, x, y, long):
        """The sample in the key."""
        _line_sample(picture, self.stroke, x, y, long)


@dataclass(frozen=True)
class Ring:
    """Where we are now: a ring at `at(result)` -> (x, y), or None, with ink to both axes.

    `handle` names the control that a reader moves by taking the ring along x; `handle_y` along y. A `hollow` ring
    shows what lies beneath it.
    """

    at: Callable
    drops: bool = True
    handle: str = ""
    handle_y: str = ""
    hollow: bool = False

    def build(self, panel):
        lines = [panel.line(TRUTH) for _ in range(2 if self.drops else 0)]
        width = panel.look.line
        style = {"marker": "o", "ms": 4 * width, "mec": INK, "mew": width, "ls": "", "clip_on": False}
        ring = panel.moves(panel.axes.plot([], [], mfc="none" if self.hollow else PAPER, **style)[0])

        def move(result):
            place = self.at(result)
            for artist in (*lines, ring):
                artist.set_visible(place is not None)
            if place is None:
                return
            x, y = panel.x(place[0]), panel.y(place[1])
            ring.set_data([x], [y])
            left, foot = min(panel.axes.get_xlim()), min(panel.axes.get_ylim())
            for line, ends in zip(lines, (([x, x], [foot, y]), ([left, x], [y, y])), strict=False):
                line.set_data(*ends)

        return move


@dataclass(frozen=True)
class Named:
    """Words at places, `at(result)` -> rows (x, y, words); `ha` and `va` as in matplotlib; `most` there can be.

    Words may be a function of the panel, for its book and look. With `paper` they stand on paper of their own.
    """

    at: Callable
    most: int = 1
    ha: str = "left"
    va: str = "bottom"
    bold: bool = False
    paper: bool = False

    def build(self, panel):
        texts = [panel.words(ha=self.ha, va=self.va, bold=self.bold) for _ in range(self.most)]
        for text in texts if self.paper else ():
            text.set_bbox(ON_PAPER)

        def move(result):
            rows = list(self.at(result))
            for i, text in enumerate(texts):
                text.set_visible(i < len(rows))
                if i < len(rows):
                    x, y, words = rows[i]
                    text.set(position=(panel.x(x), panel.y(y)))
                    text.set_text(words(panel) if callable(words) else words)

        return move


@dataclass(frozen=True)
class Labels:
    """Labels along the x axis that move, `at(result)` -> pairs (place, words), or with `upright` along the y axis.

    The axis declares as many `ticks`, with the longest words there can be: these are not seen, and keep the room free;
    without `marked` nothing of the ticks is. Two neighbours that would touch are pushed apart. Words as for `Named`.
    """

    at: Callable
    upright: bool = False
    marked: bool = True

    def build(self, panel):
        axes = panel.axes
        which = "y" if self.upright else "x"
        axes.tick_params(which, labelcolor="none", length=5 if self.marked else 0)
        axes.grid(self.marked, axis=which)
        where = axes.get_yaxis_text1_transform if self.upright else axes.get_xaxis_text1_transform
        transform, va, ha = where(8.5 if self.marked else 3.5)
        count = len((axes.yaxis if self.upright else axes.xaxis).get_ticklocs())
        texts = [panel.words(transform=transform, va=va, ha=ha, clip_on=False) for _ in range(count)]
        renderer = panel.picture.canvas.get_renderer()

        def move(result):
            rows = sorted(self.at(result), key=lambda row: row[0])
            places = [(panel.y if self.upright else panel.x)(place) for place, _ in rows]
            for i, text in enumerate(texts):
                words = rows[i][1] if i < len(rows) else ""
                text.set(visible=i < len(rows), text=words(panel) if callable(words) else words)
            places = self._apart(panel, places, [text.get_window_extent(renderer).width for text in texts])
            for text, place in zip(texts, places, strict=False):
                text.set(**{which: place})

        return move

    def _apart(self, panel, places, widths):
        box = panel.axes.get_window_extent()
        ends, long = (panel.axes.get_ylim(), box.height) if self.upright else (panel.axes.get_xlim(), box.width)
        for i in range(1, len(places)):
            least = 1.15 * panel.look.body if self.upright else sum(widths[i - 1 : i + 1]) / 2 + 0.4 * panel.look.body
            lacks = least * (max(ends) - min(ends)) / long - (places[i] - places[i - 1])
            if lacks > 0:
                places[i - 1], places[i] = places[i - 1] - lacks / 2, places[i] + lacks / 2
        return places


@dataclass(frozen=True)
class Markers:
    """Hollow markers at the places `at(result)` -> (x, y), numbers or arrays; beyond the axes they are left out.

    `handle` names the control that a reader moves by taking one along x.
    """

    at: Callable
    marker: str = "o"
    edge: str = INK
    face: str = PAPER
    key: str = ""
    handle: str = ""

    def _style(self, look):
        rim = look.line if self.face == PAPER else look.line / 3
        return {"ms": 3 * look.line, "mew": rim, "marker": self.marker, "mec": self.edge, "mfc": self.face, "ls": ""}

    def build(self, panel):
        markers = panel.moves(panel.axes.plot([], [], clip_on=False, **self._style(panel.look))[0])
        (low, high), (foot, top) = panel.axes.get_xlim(), panel.axes.get_ylim()

        def move(result):
            x, y = (np.atleast_1d(np.asarray(values, float)) for values in self.at(result))
            x, y = panel.x(x), panel.y(y)
            inside = (low <= x) & (x <= high) & (foot <= y) & (y <= top)
            markers.set_data(x[inside], y[inside])

        return move

    def sample(self, picture, x, y, long):
        """The sample in the key."""
        picture.page.plot([x + long / 2], [y], **self._style(picture.look))
