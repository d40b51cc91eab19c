"""Reading a log block by block: what is exactly of a known form at once, every other line on its own."""

import codecs
import contextlib
import re
from array import array
from dataclasses import dataclass, field

import numpy as np

from tempkit.logs import many_lines
from tempkit.logs.lines import (
    LONGEST,
    SECONDS,
    STAMPED,
    decide,
    decimals,
    decoded,
    doubt,
    form,
    is_comment,
    is_text,
    number,
    skeleton,
    tokens,
)
from tempkit.logs.times import stamp_seconds

# Blocks of whole lines, a sample of them, one spelling for all, and the count of the rest

BLOCK = 2**18
SAMPLE_LINES, RUN = 2000, 100
REASONS = {
    "wrong bytes": "holds bytes that are no text",
    "no number": "holds no number: a banner or a message",
    "other form": "has not the form of this log's lines",
    "other decimals": "holds a number with other decimals than all others, as half a line does",
    "broken number": "holds what is no number",
    "unsure number": "holds digits grown together with letters, parted by an apostrophe or by a comma in quotes, or a "
    "minus apart from its number: which number is meant cannot be known",
    "unsure date": "holds a date whose first two parts may be day and month or month and day",
    "torn stamp": "has no whole stamp of the recorder",
    "impossible time": "holds a date or time of day that does not exist",
    "too long": f"is longer than {LONGEST} bytes",
    "no line end": "ends with the file, or where the recorder was torn away, so it may be cut short",
}
COLOUR, MINUS = re.compile(rb"\x1b\[[0-9;]{0,16}[mK]"), "\u2212".encode()
_ORDERED = re.compile(rb"(?<![0-9/.-])([0-9]{1,2})([/-])([0-9]{1,2})\2((?:19|20)[0-9]{2})(?![0-9/.-])")
_YEAR_LAST = re.compile(rb"[/-](?:19|20)[0-9]{2}")
_DAY = r"(?<![0-9.])([0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}"
_QUOTED = re.compile(rb'"([+-]?[0-9]+),([0-9]+)"')
_QUOTED_CELL = re.compile(rb'"[^"\n]*"(?=,)|(?<=,)"[^"\n]*"')


def _date(year, month, day):
    return lambda found: b"%b-%b-%b" % (found[year], found[month].zfill(2), found[day].zfill(2))


def _of_24(found):
    return b"%02d%b%b" % (int(found[1]) % 12 + 12 * (found[4] in b"pP"), found[2], found[3] or b":00")


SPELLINGS = (  # in this order: why, what is in every such text and quickly found, what, and what it is written as
    (
        "numbers that begin with 0x are hexadecimal",
        r"0[xX]",
        r"(?<![0-9A-Za-z_.\x80-\xff])0[xX]([0-9A-Fa-f]{1,12})(?![0-9A-Za-z_.\x80-\xff])",
        lambda found: b"%d" % int(found[1], 16),
    ),
    (
        "dates and times without signs between are those of ISO 8601",
        r"T[0-9]{6}",
        r"(?<![0-9A-Za-z.])([0-9]{4})([01][0-9])([0-3][0-9])T([0-2][0-9])([0-5][0-9])([0-6][0-9])(?![0-9])",
        rb"\1-\2-\3T\4:\5:\6",
    ),
    (
        "dates with points are day, month, year",
        r"\.[0-9]{1,2}\.[0-9]",
        r"(?<![0-9.])([0-3]?[0-9])\.([01]?[0-9])\.([0-9]{4})(?![0-9.])",
        _date(3, 2, 1),
    ),
    (
        "dates with strokes are year, month, day",
        r"/[0-9]{1,2}/",
        r"(?<![0-9/])([0-9]{4})/([0-9]{1,2})/([0-9]{1,2})(?![0-9/])",
        _date(1, 2, 3),
    ),
    (
        "AM and PM are read as hours from 0 to 24",
        r"[AaPp]\.?[Mm]",
        r"(?<![0-9:.])(1[0-2]|0?[1-9])(:[0-5][0-9])(:[0-6][0-9](?:[.,][0-9]+)?)? ?([AaPp])\.?[Mm](?![A-Za-z])\.?",
        _of_24,
    ),
    ("times of day behind a date may lack seconds", r"-[0-9]{2}[T ]", _DAY + ")(?![0-9:])", rb"\1:00"),
    (
        "offsets from UTC may lack minutes, or their colon",
        r"-[0-9]{2}[T ]",
        _DAY + r":[0-9]{2}(?:[.,][0-9]+)?[+-][0-9]{2})([0-9]{2})?(?![0-9:.])",
        lambda found: b"%b:%b" % (found[1], found[2] or b"00"),
    ),
)
SPELLINGS = tuple(
    (why, re.compile(sign.encode("latin-1")), re.compile(what.encode("latin-1")), written)
    for why, sign, what, written in SPELLINGS
)


def spellings(lines, decimal="auto"):
    """Which spellings of numbers and dates a sample of lines needs read in another way: (why, pattern, replacement).

    >>> found = spellings([b"25.11.2026 18:00;20,1"])
    >>> respelled(b"25.11.2026 18:00;20,1", found), [why for why, _, _ in found][0]
    (b'2026-11-25 18:00:00;20,1', 'dates with points are day, month, year')
    """
    text, needed = b"\n".join(lines), []
    for why, sign, what, written in (*SPELLINGS[:4], *_order(text), *SPELLINGS[4:]):
        if sign.search(text) and what.search(text):
            needed.append((why, what, written))
            text = what.sub(written, text)
    quoted = [_QUOTED.fullmatch(cell) for cell in _QUOTED_CELL.findall(text)] if b'"' in text else ()
    if decimal == "auto" and any(found and len(found[2]) != 3 for found in quoted):
        needed.append(("a comma in a number in quotes is its decimal sign", _QUOTED, rb"\1.\2"))
    return tuple(needed)


def _order(text):
    """The spelling of dates that end with the year; none where day and month cannot be told apart."""
    found = _ORDERED.findall(text) if _YEAR_LAST.search(text) else ()
    day, month = any(int(first) > 12 for first, *_ in found), any(int(second) > 12 for _, _, second, _ in found)
    if day != month:
        why = "day, month, year" if day else "month, day, year"
        written = _date(4, 3, 1) if day else _date(4, 1, 3)
        yield f"dates are {why}, as a number above 12 tells", _YEAR_LAST, _ORDERED, written


def respelled(data, needed):
    """Bytes of whole lines in the spelling that the grammar of a line knows."""
    for _, pattern, replacement in needed:
        data = pattern.sub(replacement, data)
    return data


@dataclass(eq=False)
class Tally:
    """Lines of one kind: how many, the first `kept` line numbers, and what the first one said."""

    kept: int
    count: int = 0
    lines: list = field(default_factory=list)
    example: str = ""

    def add(self, line_number, line):
        """Count one line."""
        if not self.count:
            self.example = decoded(line[:80])
        self.count += 1
        if len(self.lines) < self.kept:
            self.lines.append(line_number)


def blocks(stream, size=BLOCK):
    """Whole lines of a stream of bytes as (bytes, finished), each line ending in a line feed whatever it ended in.

    CR LF, CR and LF end a line. finished is False for a last line without its end. A line without end is kept to
    little more than the longest a log may have.

    >>> import io
    >>> list(blocks(io.BytesIO(b"1\\r\\n2\\r3\\n4")))
    [(b'1\\n2\\n3\\n', True), (b'4\\n', False)]
    """
    rest = b""
    for chunk in _chunks(stream, size):
        data = rest + chunk
        late = b"\r" if data.endswith(b"\r") else b""  # its line feed may come with the next block
        if b"\r" in data:
            data = data[: len(data) - len(late)].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        cut = data.rfind(b"\n") + 1
        if cut:
            yield _bare(data[:cut]), True
        rest = data[cut:]
        if len(rest) > 2 * LONGEST:
            rest = rest[: 2 * LONGEST]
        rest += late
    if rest:
        yield _bare(rest.removesuffix(b"\r") + b"\n"), rest.endswith(b"\r")


def _chunks(stream, size):
    """Bytes of a stream without its byte order mark, UTF-16 as UTF-8; a text stream as UTF-8."""
    first = b""
    while len(first) < 3 and (chunk := stream.read(size)):
        first += chunk.encode() if isinstance(chunk, str) else chunk
    wide = first.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    decode = codecs.getincrementaldecoder("utf-16")("replace").decode if wide else None
    yield decode(first).encode() if decode else first.removeprefix(codecs.BOM_UTF8)
    while chunk := stream.read(size):
        yield decode(chunk).encode() if decode else chunk.encode() if isinstance(chunk, str) else chunk
    if decode:
        yield decode(b"", True).encode()  # half a sign at the end is no text


def _bare(data):
    """Without the colours of a terminal, and with the minus of typesetting as a hyphen."""
    if 0x1B in data:
        data = COLOUR.sub(b"", data)
    return data.replace(MINUS, b"-") if MINUS[0] in data else data


def sample(data):
    """Some two thousand lines of bytes: the first ones, and runs of neighbours from all over.

    >>> len(sample(b"25.1\\n" * 100_000)), sample(b"1\\n2\\n")
    (2000, [b'1', b'2'])
    """
    if data.count(b"\n") <= SAMPLE_LINES:
        return data.split(b"\n")[:-1]
    lines = []
    for nth in range(SAMPLE_LINES // RUN):
        start = data.find(b"\n", nth * len(data) // (SAMPLE_LINES // RUN)) + 1 if nth else 0
        lines += data[start : start + 64 * RUN].split(b"\n")[:-1][:RUN]
    return lines


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
            made = many_lines.shape(before + body, layout.decimal)
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
        block = many_lines.take_apart(data, self.layout.decimal)
        total = block.line_ends.size
        todo, found = np.ones(total, dtype=bool), []
        for made, values, plan in self._shapes:
            lines, starts, ends = many_lines.matching(block, made)
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
            values, good = many_lines.powers(raw, starts, ends, decimal)
        else:
            values, good = many_lines.numbers(raw, starts, ends, behind, decimal)
        if fixed or good.all():
            return values, good
        for attempt in (*range(8), None) if b"e" not in first else range(8):
            left = np.flatnonzero(~good)
            if not left.size:
                return values, good
            parts = (raw, starts[left], ends[left])
            many = many_lines
            done = many.powers(*parts, decimal) if attempt is None else many.numbers(*parts, attempt, decimal)
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
            values[left] = many_lines.exactly(raw, starts[left], ends[left], decimal)
            good[left] = np.isfinite(values[left])
            return
    for nth in left.tolist():
        with contextlib.suppress(ValueError):
            values[nth], good[nth] = number(raw[starts[nth] : ends[nth]].tobytes(), decimal), True


def _host_seconds(raw, starts, ends):
    """The recorder's seconds from one number with three decimals, or from two around the point."""
    unsigned = ((raw[starts] - np.uint8(48)) < 10).all(axis=1)
    if starts.shape[1] == 1:
        values, good = many_lines.numbers(raw, starts[:, 0], ends[:, 0], 3)
        return values, good & unsigned
    (whole, good), (part, fits) = (many_lines.numbers(raw, starts[:, nth], ends[:, nth], 0) for nth in (0, 1))
    together = (starts[:, 1] == ends[:, 0] + 1) & (ends[:, 1] - starts[:, 1] == 3) & (whole < 10**12)
    return (1000 * whole + part) / 1000, good & fits & unsigned & together
