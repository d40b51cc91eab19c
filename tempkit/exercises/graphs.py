"""A graph that a problem shows: data and words, drawn only where somebody looks at it."""

import math
from dataclasses import dataclass, replace

from tempkit.exercises.kinds import plain

MOST_TOLD = 40
LOOKS = ("line", "steps", "dots")


@dataclass(frozen=True)
class Scale:
    """One axis of a graph: its `name`, `unit`, the `span` (low, high), and how finely an eye can read it, `reads_to`
    (in the same unit). `marks` are the places with a number and a line; without, the picture chooses them. Raises
    `ValueError` for a span or a fineness that is none.

    >>> Scale("time", "min", (0, 60), 1).told(12.34)
    '12 min'
    """

    name: str
    unit: str
    span: tuple
    reads_to: float
    marks: tuple = ()

    def __post_init__(self):
        low, high = self.span
        if not (low < high and 0 < self.reads_to < high - low):
            raise ValueError(
                f"scale {self.name!r}: span {self.span} {self.unit} read to {self.reads_to:g} {self.unit}: give (low,"
                " high) with low below high, and a fineness above 0 and below the span"
            )

    def number(self, value):
        """A value as an eye reads it, as text."""
        digits = max(0, -math.floor(math.log10(self.reads_to) + 1e-9) + 1)
        return plain(round(round(value / self.reads_to) * self.reads_to, digits))

    def told(self, value):
        """The same with its unit."""
        return f"{self.number(value)} {self.unit}".strip()

    @property
    def label(self):
        """Name and unit, as printed at the axis."""
        return f"{self.name}, {self.unit}" if self.unit else self.name


@dataclass(frozen=True)
class Curve:
    """One curve of a graph: its `name` and `points`, pairs (x, y). `look` is "line", "steps" (each value holds until
    the next point) or "dots". Of more than 40 points say at which x the alt text tells the curve: `told_at`.

    Raises `ValueError` for another look, fewer than two points, an x that does not rise, and too many points to tell.
    """

    name: str
    points: tuple
    look: str = "line"
    told_at: tuple = ()

    def __post_init__(self):
        if self.look not in LOOKS:
            raise ValueError(f"look {self.look!r} of curve {self.name!r} is not one of {', '.join(LOOKS)}")
        xs = [x for x, _ in self.points]
        if len(xs) < 2 or any(a >= b for a, b in zip(xs, xs[1:], strict=False)):
            raise ValueError(f"curve {self.name!r} needs two points or more with rising x, not {xs[:6]}")
        if not set(self.told_at) <= set(xs):
            raise ValueError(f"curve {self.name!r}: told_at names x without a point: take some of its own x")
        if len(self.told_at or xs) > MOST_TOLD:
            raise ValueError(
                f"curve {self.name!r} has {len(xs)} points, of which the alt text tells {MOST_TOLD} at most: say which"
                " x, told_at=(...)"
            )

    @property
    def told(self):
        """The points that the alt text tells."""
        return tuple(point for point in self.points if not self.told_at or point[0] in self.told_at)


@dataclass(frozen=True)
class Graph:
    """A graph: `title`, the scales `x` and `y`, its `curves`, and `limits`, pairs (name, y) of lines all across.

    `alt` says in words what the eye sees: title, axes, every curve by its points as finely as they can be read, the
    limits. It is made from the same data, and does not say what the problem asks.

    >>> graph = Graph("Bench", Scale("time", "s", (0, 20), 1), Scale("reading", "°C", (20, 30), 0.1),
    ...               (Curve("reading", ((0, 25.04), (10, 26.12)), "dots"),), (("high limit", 27),))
    >>> graph.alt.partition("Up: ")[2]
    'reading, 20 °C to 30 °C. High limit: 27 °C. Reading at 0, 10 s: 25, 26.1 °C.'
    """

    title: str
    x: Scale
    y: Scale
    curves: tuple
    limits: tuple = ()

    @property
    def alt(self):
        """The graph in words."""
        told = [f"Graph: {self.title}"]
        for way, scale in (("Across", self.x), ("Up", self.y)):
            told.append(f"{way}: {scale.name}, {scale.told(scale.span[0])} to {scale.told(scale.span[1])}")
        told += [f"{_first_up(name)}: {self.y.told(at)}" for name, at in self.limits]
        for curve in self.curves:
            xs, ys = zip(*curve.told, strict=True)
            across, up = ", ".join(map(self.x.number, xs)), ", ".join(map(self.y.number, ys))
            told.append(f"{_first_up(curve.name)} at {across} {self.x.unit}: {up} {self.y.unit}")
        return ". ".join(told) + "."

    def png(self, room=False):
        """The graph drawn, as PNG bytes; `room` True for the back row. Only this draws."""
        from tempkit import draw

        strokes = draw.CURVE, replace(draw.READING, dash=draw.DASHES, width=1.0), replace(draw.TRUTH, dash=draw.DOTS)
        marks = [
            draw.Line(
                lambda _, points=curve.points: tuple(zip(*points, strict=True)),
                strokes[nth % len(strokes)],
                curve.name,
                steps=curve.look == "steps",
                dots="o" if curve.look == "dots" else "",
                joined=curve.look != "dots",
            )
            for nth, curve in enumerate(self.curves)
        ]
        marks += [
            draw.Levels(lambda _, at=at: (at,), key=f"{name}, {self.y.told(at)}", most=1) for name, at in self.limits
        ]
        x, y = (draw.Axis(s.name, s.unit, s.span, ticks=s.marks or None) for s in (self.x, self.y))
        return draw.Charts(draw.Chart(x, y, tuple(marks)))(draw.Look(room)).show(self).png()


def _first_up(text):
    return text[:1].upper() + text[1:]
