"""Reading a log block by block: what is exactly of a known form at once, every other line on its own."""

import contextlib
from array import array
from dataclasses import dataclass, field

import numpy as np

from tempkit import logfast
from tempkit.logblocks import Tally, blocks, respelled, sample, spellings
from tempkit.logform import SECONDS, decide
from tempkit.loglines import LONGEST, STAMPED, decimals, doubt, form, is_comment, is_text, number, skeleton, tokens
from tempkit.logtimes import stamp_seconds

CLOCK, TORN, OPENED = b"# clock", b"# torn", (b"# port", b"# open again")
SAMPLE_BYTES = 2**20
SHAPES = 4
LONG_NUMBER = 64  # bytes
KNOWN_AT_MOST = 10_000  # kept decisions about forms of lines, so that garbage cannot fill the memory


@dataclass(eq=False)
class Reader:
    """The state of one reading: `layout` once it is known, counts of all lines, and the rows found so far.

    Of each block: `line_numbers` and `columns` of its rows, and in `asides` how many lines that take no time (blank,
    comment, header) stood before each. As numbers of rows: `marks`, the first behind each marked gap; `unsure`, right
    behind a remark that the recorder began to listen; `torn`, cut short as the recorder says. `clocks` : how often it
    says that its computer's clock was set.
    """

    kept: int
    decimal: str
    layout: object = None
    lines: int = 0
    blank: int = 0
    comments: int = 0
    headers: int = 0
    skipped: dict = field(default_factory=dict)
    clocks: int = 0
    rows: int = 0
    marks: array = field(default_factory=lambda: array("q"))
    unsure: array = field(default_factory=lambda: array("q"))
    torn: array = field(default_factory=lambda: array("q"))
    asides: list = field(default_factory=list)
    _asides: int = 0
    _aside_at: list = field(default_factory=list)
    _gap_at: list = field(default_factory=list)
    _open_at: list = field(default_factory=list)
    _torn_at: list = field(default_factory=list)
    line_numbers: list = field(default_factory=list)
    columns: list = field(default_factory=list)

    def read(self, stream):
        """Read a stream of bytes to its end."""
        held, size = [], 0
        for block in blocks(stream):
            if self.layout is None and size < SAMPLE_BYTES:
                held.append(block)
                size += len(block[0])
                continue
            self._begin(held)
            self._take(*block)
        self._begin(held)
        return self

    def _begin(self, held):
        if self.layout is None:
            data = b"".join(data for data, finished in held if finished)
            lines = sample(data)
            self._spellings = spellings(lines, self.decimal)
            lines = [respelled(line, self._spellings) for line in lines]
            self.layout = decide(lines, self.decimal, [why for why, _, _ in self._spellings])
            self.columns = [[] for _ in self.layout.names]
            self._plan()
        for block in held:
            self._take(*block)
        held.clear()

    def _plan(self):
        layout, before = self.layout, b"0.000\t" if self.layout.stamped else b""
        self._known, self._shapes = {}, []
        for bones, body in layout.examples.items():
            spans = tokens(body, layout.decimal)
            plan = self._known[bones] = layout.forms.get(form(body, spans))
            made = logfast.shape(before + body, layout.decimal)
            values = [i for i, literal in enumerate(made.literal) if literal is None]
            hash_apart = body.lstrip().startswith(b"#")  # a blank behind it makes a comment, and blanks are left out
            if len(values) == len(spans) + self._host_size() and len(self._shapes) < SHAPES and not hash_apart:
                self._shapes.append((made, values, plan))

    def _host_size(self):
        """How many numbers the recorder's seconds are: with decimal commas their point parts them in two."""
        return self.layout.stamped * (2 if self.layout.decimal == "," else 1)

    # ---- many lines at once

    def _take(self, data, finished):
        first, data = self.lines + 1, respelled(data, self._spellings)
        if not finished:
            self._last(data[:-1], first)
            return
        block = logfast.take_apart(data, self.layout.decimal)
        total = block.line_ends.size
        todo, found = np.ones(total, dtype=bool), []
        for made, values, plan in self._shapes:
            lines, starts, ends = logfast.matching(block, made)
            if lines.size:
                columns, good = self._numbers(block.raw, starts[:, values], ends[:, values], plan)
                found.append((lines, columns) if good.all() else (lines[good], [each[good] for each in columns]))
                todo[found[-1][0]] = False
        found += self._one_by_one(data, block.line_ends, np.flatnonzero(todo), first)
        lines = self._keep(found) + first if found else np.empty(0, np.int64)
        self._beside(lines, first + total)
        self.line_numbers.append(lines)
        self.rows += lines.size
        self.lines += total

    def _beside(self, lines, following):
        """What stood between the rows of a block, whose line numbers are given, up to the line `following`."""
        ends = self._asides + np.searchsorted(self._aside_at, lines[[0, -1]] if lines.size else lines)
        if lines.size and ends[0] != ends[1]:
            self.asides.append(self._asides + np.searchsorted(np.array(self._aside_at, dtype=np.int64), lines))
        else:
            self.asides.append(np.broadcast_to(ends[:1], lines.shape))
        self._asides += len(self._aside_at)
        if self._gap_at:
            self.marks.extend(np.setdiff1d(self.rows + np.searchsorted(lines, self._gap_at), self.marks[-1:]).tolist())
        if self._open_at:
            self.unsure.extend((self.rows + _among(lines, self._open_at, 1)).tolist())
            self._open_at = [line for line in self._open_at if line == following - 1]
        if self._torn_at:
            last = self.line_numbers[-1][-1:] if self.line_numbers else lines[:0]
            torn = _among(np.concatenate([last, lines]), self._torn_at, -1)
            self.torn.extend((self.rows - last.size + torn).tolist())
        self._aside_at, self._gap_at, self._torn_at = [], [], []

    def asides_before(self):
        """How many lines that take no time stood before each row; one number where it is the same for all."""
        parts = [each for each in self.asides if each.size]
        self.asides = []
        if all(each[0] == each[-1] == parts[0][0] for each in parts):
            return 0
        return np.concatenate(parts)

    def _keep(self, found):
        lines = np.concatenate([each for each, _ in found]) if len(found) > 1 else found[0][0]
        order = np.argsort(lines) if len(found) > 1 else slice(None)
        for nth, kept in enumerate(self.columns):
            parts = [columns[nth] for _, columns in found]
            kept.append((np.concatenate(parts) if len(parts) > 1 else parts[0])[order])
        return lines[order]

    def _numbers(self, raw, starts, ends, plan):
        """Columns of lines of one shape, `nan` where the shape has none, and which lines hold what they should."""
        count, layout = starts.shape[0], self.layout
        columns, good, at = [None] * len(layout.names), np.ones(count, dtype=bool), 0
        if layout.stamped:
            at = self._host_size()
            columns[0], good = _host_seconds(raw, starts[:, :at], ends[:, :at])
        for place, column in plan:
            parts = []
            for nth in range(place.size):
                behind = layout.guess[column] if nth == SECONDS.get(place.kind, 0) else 0
                fixed = place.kind == "number" and layout.fixed[column] is not None
                values, fits = self._column(raw, starts[:, at], ends[:, at], behind, fixed)
                parts.append(values)
                good &= fits
                at += 1
            columns[column], fits = stamp_seconds(place.kind, parts)
            good &= fits
        nothing = np.full(count, np.nan) if any(each is None for each in columns) else None
        return [nothing if each is None else each for each in columns], good

    def _column(self, raw, starts, ends, behind, fixed):
        """One number of each line; unless the decimals are fixed, any number of them, or powers of ten."""
        decimal = self.layout.decimal
        first = raw[starts[0] : ends[0]].tobytes().lower() if starts.size else b""
        if b"e" in first and not fixed:
            values, good = logfast.powers(raw, starts, ends, decimal)
        else:
            values, good = logfast.numbers(raw, starts, ends, behind, decimal)
        if fixed or good.all():
            return values, good
        for attempt in (*range(8), None) if b"e" not in first else range(8):
            left = np.flatnonzero(~good)
            if not left.size:
                return values, good
            parts = (raw, starts[left], ends[left])
            done = logfast.powers(*parts, decimal) if attempt is None else logfast.numbers(*parts, attempt, decimal)
            values[left], good[left] = done
        _all_others(raw, starts, ends, decimal, values, good)
        return values, good

    # ---- one line at a time

    def _one_by_one(self, data, line_ends, left, first):
        """Rows of the lines that are left; the others are counted with what is the matter with them."""
        lines, rows = [], []
        for nth in left.tolist():
            line = data[int(line_ends[nth - 1]) + 1 if nth else 0 : int(line_ends[nth])]
            row = self._line(line, first + nth)
            if row is not None:
                lines.append(nth)
                rows.append(row)
        return [(np.array(lines), list(np.array(rows).T))] if rows else []

    def _last(self, line, line_number):
        """A last line without its end: whether it is whole cannot be known, so it is no row."""
        self.lines += 1
        if not self._aside(line, line_number):
            self._skip("no line end", line_number, line)

    def _aside(self, line, line_number, own=True):
        """Whether a line is blank or a comment; it is counted then. `own` : not what a board sent to the recorder."""
        blank, comment = not line.strip(), is_comment(line)
        if not blank and not comment:
            return False
        self.blank += blank
        self.comments += comment
        self._aside_at.append(line_number)
        if self._open_at and self._open_at[-1] == line_number - 1:
            self._open_at.append(line_number)
        if comment and own and line.startswith(b"# gap"):
            self._gap_at.append(line_number)
        if comment and own and self.layout.stamped:
            self._remark(line, line_number)
        return True

    def _remark(self, line, line_number):
        """What a remark of our recorder says of the lines beside it."""
        self.clocks += line.startswith(CLOCK)
        if line.startswith(OPENED):
            self._open_at.append(line_number)
        if line.startswith(TORN):
            self._torn_at.append(line_number)

    def cut_short(self, line_numbers):
        """Count rows as skipped after all, since the recorder found these lines torn."""
        for line_number in line_numbers:
            self._skip("no line end", line_number, b"")

    def _skip(self, reason, line_number, line):
        self.skipped.setdefault(reason, Tally(self.kept)).add(line_number, line)

    def _line(self, line, line_number):
        """The row of a line, or None once it is counted as something else."""
        if self._aside(line, line_number):
            return None
        if len(line) > LONGEST:
            return self._skip("too long", line_number, line)
        if not is_text(line):
            return self._skip("wrong bytes", line_number, line)
        body, host = line, None
        if self.layout.stamped:
            host = STAMPED.match(line)
            if not host:
                return self._skip("torn stamp", line_number, line)
            body = line[host.end() :]
            if self._aside(body, line_number, own=False):
                return None
        if self.layout.header is not None and body.strip() == self.layout.header.strip():
            self.headers += 1
            self._aside_at.append(line_number)
            return None
        return self._row(body, host, line_number, line)

    def _row(self, body, host, line_number, line):
        body, spans, plan = self._understood(body)
        if isinstance(plan, str):
            return self._skip(plan, line_number, line)
        row = np.full(len(self.layout.names), np.nan)
        if host:
            row[0] = float(host[1])
        at = 0
        for place, column in plan:
            words = [body[start:end] for start, end in spans[at : at + place.size]]
            at += place.size
            try:
                parts = [np.array([number(word, self.layout.decimal)]) for word in words]
            except ValueError:
                return self._skip("broken number", line_number, line)
            if place.kind == "number" and self._other_decimals(words[0], column):
                return self._skip("other decimals", line_number, line)
            value, good = stamp_seconds(place.kind, parts)
            if not good.all():
                return self._skip("impossible time", line_number, line)
            row[column] = value[0]
        return row

    def _other_decimals(self, word, column):
        fixed = self.layout.fixed[column]
        return fixed is not None and word[-1:].isdigit() and decimals(word, self.layout.decimal) != fixed

    def _understood(self, body):
        """A line, its numbers and where they go, or why they go nowhere; empty cells count as nan."""
        spans, plan = self._look_up(body)
        mark = self.layout.delimiter
        if not isinstance(plan, str) or not mark or mark not in body or not spans:
            return body, spans, plan
        filled = mark.join(cell if cell.strip() else b"nan" for cell in body.split(mark))
        more, other = self._look_up(filled)
        return (body, spans, plan) if isinstance(other, str) else (filled, more, other)

    def _look_up(self, body):
        spans = tokens(body, self.layout.decimal)
        if not spans:
            return spans, "no number"
        bones = skeleton(body, spans)
        plan = self._known.get(bones)
        if plan is None:
            plan = doubt(body, spans, self.layout.decimal) or self.layout.forms.get(form(body, spans)) or "other form"
            if len(self._known) < KNOWN_AT_MOST:
                self._known[bones] = plan
        return spans, plan


def _among(lines, others, step):
    """Which of the lines stand so many lines behind one of the others."""
    return np.flatnonzero(np.isin(lines, np.array(others) + step))


def _all_others(raw, starts, ends, decimal, values, good):
    """Put in what no shorter way could read: together if all are numbers, else each on its own."""
    left = np.flatnonzero(~good)
    if not left.size:
        return
    with contextlib.suppress(ValueError):
        if (ends[left] - starts[left]).max() <= LONG_NUMBER:
            values[left] = logfast.exactly(raw, starts[left], ends[left], decimal)
            good[left] = np.isfinite(values[left])
            return
    for nth in left.tolist():
        with contextlib.suppress(ValueError):
            values[nth], good[nth] = number(raw[starts[nth] : ends[nth]].tobytes(), decimal), True


def _host_seconds(raw, starts, ends):
    """The recorder's seconds from one number with three decimals, or from two around the point."""
    unsigned = ((raw[starts] - np.uint8(48)) < 10).all(axis=1)
    if starts.shape[1] == 1:
        values, good = logfast.numbers(raw, starts[:, 0], ends[:, 0], 3)
        return values, good & unsigned
    (whole, good), (part, fits) = (logfast.numbers(raw, starts[:, nth], ends[:, nth], 0) for nth in (0, 1))
    together = (starts[:, 1] == ends[:, 0] + 1) & (ends[:, 1] - starts[:, 1] == 3) & (whole < 10**12)
    return (1000 * whole + part) / 1000, good & fits & unsigned & together
