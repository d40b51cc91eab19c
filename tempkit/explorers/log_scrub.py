"""Chapter 10: a recorded log, the book's or one's own, to scrub through, with what was skipped and the model beside."""

import functools
from dataclasses import dataclass, replace
from pathlib import Path

import ipywidgets
import numpy as np

from tempkit.book import Book
from tempkit.draw import BLUE, INK, ORANGE, QUIET, Picture
from tempkit.explorers.controls import TEMPERATURE, Control, noise_of
from tempkit.explorers.lens import DASHES
from tempkit.explorers.stage import Explorer, Plan, heard, warning
from tempkit.logs import FEWEST, compare, read, readings_c

# --- The controls of chapter 10's recorded log: which log, where in it, how long a window.

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
TRUTH = replace(TEMPERATURE, label="truth beside it", start=23.2)


# --- The picture of a recorded log: all of it above, with the window; the window below, beside truth and model.

WINDOW_TINT, MODEL_TINT, GAP_TINT = "#c3ddee", "#f3e3d6", "#ececec"
KEY = "ink: truth; dashed, tinted: model ± U; hatched: gap; ×: skipped line"
KEY_ROOM = "minutes (ink: truth; dashed: model; ×: skipped)"
# (left, bottom, width, height) of the whole log and of the window [px]; x and y of the values at the top
DESK = ((64, 318, 880, 92), (64, 62, 880, 204), (64, 380, 640), (490, 468))
ROOM = ((124, 330, 926, 76), (124, 88, 926, 212), (14, 400, 730), (None, 474))


class LogPicture(Picture):
    """Shows a `tempkit.explorers.log_scrub.Scrubbed`.

    Above: the outline of all readings, the window as a tinted band. Below: the readings of the window as dots, the
    truth as an ink line, the model's reading dashed, with its expanded uncertainty as a band. Gaps are hatched, skipped
    lines are crosses at the foot.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        *self.boxes, self.heads, self.head_y = ROOM if self.look.room else DESK

    def frame(self, result):
        return result.loaded.duration_min, result.window_min, result.loaded.scale_c

    # ---- parts that stand still

    def build(self, frame):
        duration, window, scale_c = frame
        self.lay_page()
        self.scale = [self.book.from_celsius(end) for end in scale_c]
        room = self.look.room
        over, under = ("", KEY_ROOM) if room else ("minutes of the log", "minutes of the window")
        self.whole = self.chart(self.boxes[0], "", self.book.sign, (0, duration), self.scale)
        self.whole.set_xlabel(over, fontsize=self.look.points(self.look.body), color=INK, loc="left", labelpad=1)
        self.near = self.chart(self.boxes[1], under, self.book.sign, (0, window), self.scale)
        for axes in (self.whole, self.near):
            axes.locator_params(axis="y", nbins=3 if axes is self.whole or room else 5, integer=True)
            axes.locator_params(axis="x", nbins=5 if room else 10, integer=True)
        if room:
            low, high = self.scale
            self.whole.set_yticks([round(low + part * (high - low)) for part in (0.2, 0.8)])
            self.whole.tick_params(axis="x", labelbottom=False)
        self._moving_whole()
        self._moving_near()
        self._moving_heads()

    def _collection(self, axes, zorder, **style):
        from matplotlib.collections import PolyCollection

        return self.moving(axes.add_collection(PolyCollection([], zorder=zorder, **style), autolim=False))

    def _both(self, axes):
        """What both charts show: gaps and skipped lines."""
        look = self.look
        gap = {"facecolor": GAP_TINT, "edgecolor": QUIET, "hatch": "////", "lw": 0}
        cross = {"marker": "x", "ms": 3 * look.line, "mew": 0.8 * look.line, "mec": ORANGE, "ls": "", "clip_on": False}
        return self._collection(axes, 2, **gap), self.plotted(axes, zorder=7, **cross)

    def _moving_whole(self):
        self.band = self._collection(self.whole, 1, facecolor=WINDOW_TINT, edgecolor=BLUE, lw=0.6 * self.look.line)
        self.outline = self._collection(self.whole, 3, facecolor=BLUE, edgecolor=BLUE, lw=0.4 * self.look.line)
        self.whole_gaps, self.whole_skips = self._both(self.whole)

    def _moving_near(self):
        line = self.look.line
        self.model_band = self._collection(self.near, 1, facecolor=MODEL_TINT, edgecolor="none", lw=0)
        self.near_gaps, self.near_skips = self._both(self.near)
        self.dots = self.plotted(self.near, color=BLUE, ls="", marker=".", ms=2 * line, zorder=4)
        self.truth = self.plotted(self.near, color=INK, lw=line, zorder=5)
        self.model = self.plotted(self.near, color=ORANGE, lw=line, ls=DASHES, zorder=6)

    def _moving_heads(self):
        name_y, value_y = self.head_y
        names = ("offset, reading minus truth", "noise", "drift, an hour")
        for x, name in zip(self.heads, names, strict=True) if name_y else ():
            self.text(self.page, x, name_y, name, va="top", zorder=3)
        if name_y:
            self.text(self.page, 944, 285, KEY, ha="right", va="top", zorder=3)
        self.lay_values(self.heads, value_y)

    # ---- moving

    def move(self, result):
        loaded, scale = result.loaded, self.book.from_celsius
        low, high = self.scale
        minutes, lowest, highest = loaded.outline
        self.outline.set_verts(_strips(minutes, scale(lowest), scale(highest), loaded.duration_min / lowest.size))
        self.band.set_verts(_boxes(np.array([[result.start_min, result.end_min]]), low, high))
        foot = low + 0.04 * (high - low)
        for gaps, skips, zero in ((self.whole_gaps, self.whole_skips, 0), (self.near_gaps, self.near_skips, result)):
            start = 0.0 if zero == 0 else result.start_min
            length = loaded.duration_min if zero == 0 else result.window_min
            gaps.set_verts(_boxes(np.clip(loaded.gaps - start, 0, length), low, high))
            at = loaded.skipped - start
            at = at[(at >= 0) & (at <= length)]
            skips.set_data(at, np.full(at.size, foot))
        self.dots.set_data(result.minutes - result.start_min, scale(result.readings_c))
        self._move_lines(result)
        self._move_heads(result)

    def _move_lines(self, result):
        scale, ends = self.book.from_celsius, [0, result.window_min]
        expected = result.found.expected
        self.truth.set_data(ends, [scale(result.t_c)] * 2)
        self.model.set_visible(expected is not None)
        self.model_band.set_visible(expected is not None)
        if expected is not None:
            self.model.set_data(ends, [scale(expected.reading_c)] * 2)
            reach = (expected.reading_c + side * expected.expanded_c for side in (-1, 1))
            self.model_band.set_verts(_boxes(np.array([ends]), *(scale(end) for end in reach)))

    def _move_heads(self, result):
        found = result.found
        texts = ("too few readings", "", "")
        if found.offset_c is not None:
            values = (found.offset_c, found.noise_c, found.drift_c)
            texts = tuple(self._figure(each, digits) for each, digits in zip(values, (2, 3, 2), strict=True))
            if self.look.room:
                texts = tuple(f"{n} {t}" for n, t in zip(("offset", "noise", "drift"), texts, strict=True))
                texts = (*texts[:2], f"{texts[2]}/h")
        for artist, text in zip(self.values, texts, strict=True):
            artist.set_text(text)

    def _figure(self, estimate, digits):
        """An estimate as text; at desk size with its expanded uncertainty."""
        value = self.book.span(estimate.value, digits, signed=digits == 2)
        if self.look.room:
            return value
        return f"{value.rpartition(' ')[0]} ± {self.book.span(estimate.expanded(), digits)}"


def _boxes(spans, low, high):
    """Corners of rectangles over spans (from, to), between two heights."""
    return [[(start, low), (end, low), (end, high), (start, high)] for start, end in spans if end > start]


def _strips(starts, lowest, highest, width):
    """Corners of a narrow rectangle for each piece of an outline."""
    return np.stack(
        [
            np.column_stack([starts, lowest]),
            np.column_stack([starts + width, lowest]),
            np.column_stack([starts + width, highest]),
            np.column_stack([starts, highest]),
        ],
        axis=1,
    )


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
    return Loaded(record, column, minutes, readings, _outline(minutes, readings), (ends - zero) / 60, (at - zero) / 60)


def _outline(minutes, readings):
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
    (581, -0.08)
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


def words(at, book):
    """The window in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    6980 lines: 6975 rows, 0 skipped. Window from 22.0 to 32.0 min: 581 readings, 0 missing, mean 23.12 °C; offset
    −0.08 °C ± 0.01 °C from 23.2 °C, noise 0.065 °C ± 0.004 °C (model 0.061 °C), drift +1.12 °C ± 0.11 °C an hour.
    """
    window = f"Window from {at.start_min:.1f} to {at.end_min:.1f} min: {at.found.count} readings, {at.missing} missing"
    own = f"{at.log.name}, column {at.loaded.column}: " if isinstance(at.log, Path) else ""
    told = f"{own}{_account(at.loaded.record)} {window}"
    if at.found.offset_c is not None:
        told += (
            f", mean {book.temperature(at.found.mean_c, 2)}; offset {_offset(at, book)} from "
            f"{book.temperature(at.t_c)}, noise {_noise(at, book)}{_model(at, book)}, drift {_drift(at, book)} an hour"
        )
    return told + "." + warning(at.problems(book))


def _account(record):
    kinds = ", ".join(f"{found.count} {found.reason}" for found in record.skipped)
    return f"{record.lines} lines: {record.rows} rows, {record.skipped_count} skipped{f' ({kinds})' if kinds else ''}."


def _offset(at, book):
    return _with(at.found.offset_c, book, 2)


def _drift(at, book):
    return _with(at.found.drift_c, book, 2)


def _with(estimate, book, digits):
    return f"{book.span(estimate.value, digits, signed=True)} ± {book.span(estimate.expanded(), digits)}"


def _noise(at, book):
    noise = at.found.noise_c
    return f"{book.span(noise.value, 3)} ± {book.span(noise.expanded(), 3)}"


def _model(at, book):
    return f" (model {book.span(at.found.expected.noise_c, 3)})" if at.found.expected else ""


def facts(at, book):
    """Rows of the number table."""
    record, found = at.loaded.record, at.found
    account = record.account()
    rows = [("column of the readings", at.loaded.column), ("lines of the log", str(record.lines))]
    rows += [("how it was read", told) for told in record.told]
    rows += [(f"of these {kind}", str(count)) for kind, count in account.items() if count or kind == "rows"]
    rows += [("skipped lines", str(record.skipped_count)), ("gaps", str(record.gaps().rows.size))]
    rows += [(f"first line skipped: {each.reason}", f"{each.lines[0]}") for each in record.skipped]
    rows += [
        ("usual time between rows", f"{record.period_s:.3f} s"),
        ("window", f"{at.start_min:.1f} to {at.end_min:.1f} min"),
        ("readings in it", str(found.count)),
        ("missing in it", str(at.missing)),
        ("lines skipped in it", str(at.skipped)),
        ("truth", book.temperature(at.t_c)),
    ]
    if found.offset_c is not None:
        rows += [
            ("mean", book.temperature(found.mean_c, 2)),
            ("offset, reading minus truth (95 %)", _offset(at, book)),
            ("noise (95 %)", _noise(at, book)),
            ("drift in an hour (95 %)", _drift(at, book)),
        ]
    if found.expected is not None:
        rows += [
            ("the model's noise", book.span(found.expected.noise_c, 3)),
            ("the model's reading", book.temperature(found.expected.reading_c, 2)),
            ("expanded uncertainty of a reading by the budget", book.span(found.expected.expanded_c, 1)),
        ]
    return [*rows, *(("mind", told) for told in at.problems(book))]


PLAN = Plan(
    title="A recorded log, a window of it, and the model",
    controls=(LOG, POSITION, WINDOW, TRUTH),
    compute=compute,
    picture=lambda look, book: LogPicture(look, book),
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
