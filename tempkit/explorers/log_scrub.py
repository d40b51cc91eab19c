"""Chapter 10: a recorded log, the book's or one's own, to scrub through, with what was skipped and the model beside."""

import functools
from dataclasses import dataclass, replace
from pathlib import Path

import ipywidgets
import numpy as np

from tempkit.draw import (
    HATCHED,
    INK,
    ORANGE,
    QUIET,
    SENSOR,
    SHADED,
    TINTED,
    TRUTH,
    Axis,
    Bars,
    Chart,
    Charts,
    Fact,
    Facts,
    Levels,
    Line,
    Stroke,
)
from tempkit.explorers.controls import TEMPERATURE, Control, noise_of
from tempkit.explorers.stage import Explorer, Plan, heard, minds, warning
from tempkit.logs import FEWEST, compare, read, readings_c

LOG = Control(
    "log",
    "recorded log",
    start="evening",
    options=(
        ("evening", "a quiet evening"),
        ("messy", "a bad day"),
        ("csv", "a sunny morning"),
        ("comma", "a busy door"),
        ("drift", "a steady room"),
    ),
)
POSITION = Control("position", "window at", "%", 0.0, 100.0, 0.5, 1, start=20.0)
WINDOW = Control(
    "window_min",
    "window of",
    start=10,
    options=((2, "2 minutes"), (5, "5 minutes"), (10, "10 minutes"), (30, "30 minutes")),
)
BESIDE = replace(TEMPERATURE, label="truth beside it", start=23.2)

FOLDER = Path(__file__).resolve().parents[2] / "data" / "logs"
COLUMNS = 400  # of the whole log's outline
MOVES = 5.0  # times the noise; a window with more in it than that is not quiet


@dataclass(frozen=True, eq=False)
class Loaded:
    """A log ready to be drawn: its `record`; `minutes` and `readings_c` of the `column` of its temperature; `outline`,
    minutes with the lowest and the highest reading of each of some hundred pieces; `gaps`, pairs (from, to) in minutes;
    `skipped`, where skipped lines stood, in minutes between the rows around them."""

    record: object
    column: str
    minutes: np.ndarray
    readings_c: np.ndarray
    outline: tuple
    gaps: np.ndarray
    skipped: np.ndarray

    @property
    def duration_min(self):
        """From the first row to the last [min]."""
        return float(self.minutes.max())

    @property
    def scale_c(self):
        """Whole degrees around all readings [degC]."""
        return float(np.floor(self.readings_c.min() - 0.5)), float(np.ceil(self.readings_c.max() + 0.5))


def load(path, chain=None):
    """Read a log file for the explorer, once for each state of the file; `Loaded`. A log of codes wants their chain.

    Raises `ValueError` for a log with fewer than two readings of temperature, `OSError` where there is no such file.
    """
    path = Path(path)
    state = path.stat()
    return _loaded(path, chain, state.st_mtime_ns, state.st_size)


@functools.lru_cache(maxsize=8)
def _loaded(path, chain, *_):
    record = read(path)
    column, times, readings = readings_c(record, chain)
    if times.size < 2 or not np.ptp(times) > 0:
        raise ValueError(f"the log holds {times.size} readings: two or more, at different times, are needed")
    zero = times.min()
    gaps = record.gaps()
    ends = np.column_stack([record.times_s[gaps.rows - 1], record.times_s[gaps.rows]])
    lines = np.array(sorted(line for found in record.skipped for line in found.lines), dtype=float)
    at = np.interp(lines, record.line_numbers, record.times_s)
    minutes = (times - zero) / 60
    return Loaded(record, column, minutes, readings, _pieces(minutes, readings), (ends - zero) / 60, (at - zero) / 60)


def _pieces(minutes, readings):
    """Minutes, lowest and highest reading of each piece of equal time that holds any; rows must not fall in time."""
    order = np.argsort(minutes, kind="stable")
    minutes, readings = minutes[order], readings[order]
    pieces = np.minimum((minutes - minutes[0]) / np.ptp(minutes) * COLUMNS, COLUMNS - 1).astype(int)
    starts = np.flatnonzero(np.diff(pieces, prepend=-1))
    lowest, highest = np.minimum.reduceat(readings, starts), np.maximum.reduceat(readings, starts)
    return minutes[starts], lowest, highest


@dataclass(frozen=True, eq=False)
class Scrubbed:
    """A window of a log beside the model: `log`, by its name in the book or its path; `loaded`; `start_min` and
    `window_min`; `minutes` and `readings_c` in it; `found`, a `logmodel.Compared` with the true temperature `t_c`
    [degC]; `skipped` lines and `missing` rows in it."""

    log: str | Path
    loaded: Loaded
    t_c: float
    start_min: float
    window_min: float
    minutes: np.ndarray
    readings_c: np.ndarray
    found: object
    skipped: int
    missing: int

    @property
    def end_min(self):
        """The window's end [min]."""
        return self.start_min + self.window_min

    def problems(self, book):
        """What the window cannot tell, or not be trusted with, one sentence each."""
        if self.found.count < FEWEST:
            yield f"{self.found.count} readings are too few for figures; move the window"
            return
        moved_c = abs(self.found.drift_c.value) * self.window_min / 60
        quiet_c = self.found.expected.noise_c if self.found.expected else self.found.noise_c.value
        if self.found.noise_c.value > MOVES * quiet_c or moved_c > MOVES * self.found.noise_c.value:
            yield "the temperature itself moves in this window; noise and drift belong to a quiet stretch"
        if self.found.expected is None:
            yield f"the model sees nothing at {book.temperature(self.t_c)}"
        if not self.loaded.scale_c[0] <= self.t_c <= self.loaded.scale_c[1]:
            yield f"{book.temperature(self.t_c)} lies beyond the picture's scale"


def compute(design, t_c, log, position, window_min):
    """The window of a `log`, a name of the book's or a path, at `position` [%] of what fits, beside `t_c` [degC].

    >>> from tempkit.explorers.stage import north_bench
    >>> there = compute(north_bench(), 23.2, "evening", 20.0, 10)
    >>> there.found.count, round(there.found.offset_c.value, 2)
    (581, -0.09)
    """
    loaded = load(log if isinstance(log, Path) else FOLDER / f"north-bench-{log}.txt", design.chain)
    window_min = min(float(window_min), loaded.duration_min)
    start = position / 100 * (loaded.duration_min - window_min)
    inside = (loaded.minutes >= start) & (loaded.minutes <= start + window_min)
    minutes, readings = loaded.minutes[inside], loaded.readings_c[inside]
    gaps, counts = loaded.gaps, loaded.record.gaps().missing
    meets = (gaps[:, 1] > start) & (gaps[:, 0] < start + window_min)
    return Scrubbed(
        log,
        loaded,
        float(t_c),
        start,
        window_min,
        minutes,
        readings,
        compare(60 * minutes, readings, t_c, replace(design, noise=noise_of(design))),
        int(((loaded.skipped >= start) & (loaded.skipped <= start + window_min)).sum()),
        int(counts[meets].sum()),
    )


# ---- told


def _figure(name, digits, signed=True, brief=None):
    """A figure of the window with its expanded uncertainty; for the back row without, `brief` behind it."""

    def tell(at, book):
        found = getattr(at.found, name)
        if found is None:
            return None
        value = book.span(found.value, digits, signed)
        return f"{value} ± {book.span(found.expanded(), digits)}" if brief is None else value + brief

    return tell


def _of_model(tell):
    """The text of what only a model that sees something has."""
    return lambda at, book: tell(at.found.expected, book) if at.found.expected else None


def _of_record(tell):
    """A text about the log as a whole, None where it is empty."""
    return lambda at, _: str(tell(at.loaded.record)) or None


def _skipped(record):
    kinds = ", ".join(f"{found.count} {found.reason}" for found in record.skipped)
    return f"{record.skipped_count} skipped{f' ({kinds})' if kinds else ''}"


def _account(record):
    return ", ".join(f"{count} {kind}" for kind, count in record.account().items() if count or kind == "rows")


FACTS = Facts([
    Fact("log", "log file", lambda at, _: at.log.name if isinstance(at.log, Path) else None),
    Fact("column", "column of the readings", lambda at, _: at.loaded.column),
    Fact("lines", "lines of the log", _of_record(lambda record: record.lines)),
    Fact("read", "how it was read", _of_record(lambda record: "; ".join(record.told))),
    Fact("rows", "rows of numbers", _of_record(lambda record: record.rows)),
    Fact("account", "its lines are", _of_record(_account)),
    Fact("skipped", "left out", _of_record(_skipped)),
    Fact("first", "first line skipped",
         _of_record(lambda record: ", ".join(f"{each.reason}: {each.lines[0]}" for each in record.skipped))),
    Fact("gaps", "gaps", _of_record(lambda record: record.gaps().rows.size)),
    Fact("period", "usual time between rows", _of_record(lambda record: f"{record.period_s:.3f} s")),
    Fact("window", "window", lambda at, _: f"{at.start_min:.1f} to {at.end_min:.1f} min"),
    Fact("count", "readings in it", lambda at, _: str(at.found.count)),
    Fact("missing", "missing in it", lambda at, _: str(at.missing)),
    Fact("lost", "lines skipped in it", lambda at, _: str(at.skipped)),
    Fact("truth", "truth", lambda at, book: book.temperature(at.t_c)),
    Fact("mean", "mean", lambda at, book: book.temperature(at.found.mean_c, 2) if at.found.count else None),
    Fact("offset", "offset, reading minus truth (95 %)", _figure("offset_c", 2),
         "offset, reading minus truth", "offset", brief=_figure("offset_c", 2, brief="")),
    Fact("noise", "noise (95 %)", _figure("noise_c", 3, False), "noise", "noise",
         brief=_figure("noise_c", 3, False, brief="")),
    Fact("drift", "drift in an hour (95 %)", _figure("drift_c", 2), "drift, an hour", "drift",
         brief=_figure("drift_c", 2, brief="/h")),
    Fact("model_noise", "the model's noise", _of_model(lambda model, book: book.span(model.noise_c, 3))),
    Fact("model", "the model's reading", _of_model(lambda model, book: book.temperature(model.reading_c, 2))),
    Fact("expanded", "expanded uncertainty of a reading by the budget",
         _of_model(lambda model, book: book.span(model.expanded_c, 1))),
])  # fmt: skip


def words(at, book):
    """The window in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    6980 lines: 6975 rows, 0 skipped. Window from 22.0 to 32.0 min: 581 readings, 0 missing, mean 23.11 °C; offset
    −0.09 °C ± 0.01 °C from 23.2 °C, noise 0.082 °C ± 0.005 °C (model 0.076 °C), drift +1.21 °C ± 0.14 °C an hour.
    """
    told = FACTS.told(at, book)
    own = "{log}, column {column}: " if told["log"] else ""
    model = " (model {model_noise})" if at.found.expected else ""
    figures = f", mean {{mean}}; offset {{offset}} from {{truth}}, noise {{noise}}{model}, drift {{drift}} an hour"
    template = (
        f"{own}{{lines}} lines: {{rows}} rows, {{skipped}}. Window from {{window}}: {{count}} readings, "
        f"{{missing}} missing{figures if told['offset'] else ''}."
    )
    return template.format_map(told) + warning(at.problems(book))


def facts(at, book):
    """Rows of the number table."""
    return [*FACTS.rows(at, book), *minds(at.problems(book))]


# ---- the picture: all of the log above, with the window; the window below, beside truth and model


def _outline(at):
    minutes, lowest, highest = at.loaded.outline
    return np.column_stack([minutes, minutes + at.loaded.duration_min / lowest.size, lowest, highest])


def _stretch(at, near):
    """Where the window, or else the whole log, begins and how long it is [min]."""
    return (at.start_min, at.window_min) if near else (0.0, at.loaded.duration_min)


def _gaps(near):
    def rows(at):
        start, length = _stretch(at, near)
        inside = np.clip(at.loaded.gaps - start, 0, length)
        return [(*ends, *at.loaded.scale_c) for ends in inside if ends[1] > ends[0]]

    return Bars(rows, HATCHED, "gap" if near else "")


def _skips(near, foot):
    """Skipped lines, near the foot by its share of the scale."""

    def points(at):
        start, length = _stretch(at, near)
        inside = at.loaded.skipped - start
        inside = inside[(inside >= 0) & (inside <= length)]
        low, high = at.loaded.scale_c
        return inside, np.full(inside.size, low + foot * (high - low))

    return Line(points, Stroke(QUIET), "skipped" if near else "", dots="x", joined=False, size=3.0)


def _model(at):
    expected = at.found.expected
    return (expected.reading_c,) if expected else ()


def _model_band(at):
    expected = at.found.expected
    reach = (expected.reading_c + side * expected.expanded_c for side in (-1, 1)) if expected else ()
    return [(0.0, at.window_min, *reach)] if expected else ()


WINDOWED = {**SHADED, "edgecolor": INK, "lw": 1.5}
SCALE = Axis(span=lambda at: at.loaded.scale_c, scale="temperature")
WHOLE = Chart(
    Axis("minutes of the log", span=lambda at: (0.0, at.loaded.duration_min), room=False),
    SCALE,
    (
        Bars(lambda at: [(at.start_min, at.end_min, *at.loaded.scale_c)], WINDOWED, handle="position"),
        _gaps(near=False),
        Bars(_outline, {"facecolor": ORANGE, "edgecolor": ORANGE, "lw": 1.0}),
        _skips(near=False, foot=0.17),
    ),
    tall=0.46,
)
NEAR = Chart(
    Axis("minutes of the window", span=lambda at: (0.0, at.window_min)),
    SCALE,
    (
        Bars(_model_band, TINTED),
        _gaps(near=True),
        Line(lambda at: (at.minutes - at.start_min, at.readings_c), Stroke(ORANGE), dots=".", joined=False, size=2.0),
        Levels(lambda at: (at.t_c,), TRUTH, most=1, handle="t_c", key="truth"),
        Levels(_model, SENSOR, most=1, key="model ± U"),
        _skips(near=True, foot=0.08),
    ),
)
PLAN = Plan(
    title="A recorded log, a window of it, and the model",
    controls=(LOG, POSITION, WINDOW, BESIDE),
    compute=compute,
    picture=Charts(WHOLE, NEAR, heads=FACTS),
    words=words,
    facts=facts,
)


class Scrub(Explorer):
    """The explorer, which also opens a log of the reader's own: `open_log("my-evening.log")`, or by its button."""

    def __init__(self, design=None, file=None, **start):
        super().__init__(PLAN, design, **start)
        if file is not None:
            self.open_log(file)
            self._start = self._start | {"log": self.settings()["log"]}

    def _rows(self):
        self._log_note = ipywidgets.HTML(heard(""))
        wide = {"description_width": "initial"}
        self._log_file = ipywidgets.Text(placeholder="my-evening.log", description="log file", style=wide)
        button = self._button("Open", lambda: self._open_told(self._log_file.value))
        rows = super()._rows()
        toggle, row = self._folded("My log file", self._log_file, button, self._log_note)
        self._buttons.children += (toggle,)
        return [*rows, row]

    def open_log(self, path):
        """Show a log by its path, and return the words; from then on it is one of the choices.

        Raises `OSError` or `ValueError`, with what to do, for a file that cannot be used; then nothing changes.
        """
        path = str(path).strip().strip("\"'")
        if not path:
            raise ValueError("no file is named: type the path of your log")
        file = Path(path).expanduser()
        try:
            self.plan.compute(self.design(), **self._panel.own() | {"log": file})
        except OSError as error:
            told = f"{file}: {error.strerror}. A path begins in {Path.cwd()}, or is a whole one: correct it"
            raise type(error)(told) from None
        except ValueError as error:
            raise ValueError(f"{file.name}: {error}") from None
        self._panel.offer("log", file.name, file)
        return self.move(log=file)

    def _open_told(self, path):
        try:
            self.open_log(path)
            told = f"Opened: {'; '.join((self._inputs['log'].label, *self.result().loaded.record.told))}."
        except (OSError, ValueError) as error:
            told = f"Not opened: {error}."
        self._log_note.value = heard(told)


def explorer(design=None, file=None, **start):
    """The explorer of chapter 10's recorded logs; `design` from a design file, `file` the path of a log of one's own,
    `start` values of controls by name.

    >>> explorer(log="messy").result().loaded.record.skipped_count
    10
    """
    return Scrub(design, file, **start)
