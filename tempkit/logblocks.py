"""A log as blocks of whole lines, a sample of them, one spelling for all, and the count of lines that are no rows."""

import codecs
import re
from dataclasses import dataclass, field

from tempkit.loglines import LONGEST, decoded

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
_DAY = r"(?<![0-9.])([0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}"
_QUOTED = re.compile(rb'"([+-]?[0-9]+),([0-9]+)"')
_QUOTED_CELL = re.compile(rb'"[^"\n]*"(?=,)|(?<=,)"[^"\n]*"')


def _date(year, month, day):
    return lambda found: b"%b-%b-%b" % (found[year], found[month].zfill(2), found[day].zfill(2))


def _of_24(found):
    return b"%02d%b%b" % (int(found[1]) % 12 + 12 * (found[4] in b"pP"), found[2], found[3] or b":00")


SPELLINGS = (  # in this order: why, what, and what stands there in the spelling that the grammar of a line knows
    (
        "numbers that begin with 0x are hexadecimal",
        r"(?<![0-9A-Za-z_.\x80-\xff])0[xX]([0-9A-Fa-f]{1,12})(?![0-9A-Za-z_.\x80-\xff])",
        lambda found: b"%d" % int(found[1], 16),
    ),
    (
        "dates and times without signs between are those of ISO 8601",
        r"(?<![0-9A-Za-z.])([0-9]{4})([01][0-9])([0-3][0-9])T([0-2][0-9])([0-5][0-9])([0-6][0-9])(?![0-9])",
        rb"\1-\2-\3T\4:\5:\6",
    ),
    (
        "dates with points are day, month, year",
        r"(?<![0-9.])([0-3]?[0-9])\.([01]?[0-9])\.([0-9]{4})(?![0-9.])",
        _date(3, 2, 1),
    ),
    (
        "dates with strokes are year, month, day",
        r"(?<![0-9/])([0-9]{4})/([0-9]{1,2})/([0-9]{1,2})(?![0-9/])",
        _date(1, 2, 3),
    ),
    (
        "AM and PM are read as hours from 0 to 24",
        r"(?<![0-9:.])(1[0-2]|0?[1-9])(:[0-5][0-9])(:[0-6][0-9](?:[.,][0-9]+)?)? ?([AaPp])\.?[Mm](?![A-Za-z])\.?",
        _of_24,
    ),
    ("times of day behind a date may lack seconds", _DAY + ")(?![0-9:])", rb"\1:00"),
    (
        "offsets from UTC may lack minutes, or their colon",
        _DAY + r":[0-9]{2}(?:[.,][0-9]+)?[+-][0-9]{2})([0-9]{2})?(?![0-9:.])",
        lambda found: b"%b:%b" % (found[1], found[2] or b"00"),
    ),
)
SPELLINGS = tuple((why, re.compile(pattern.encode("latin-1")), written) for why, pattern, written in SPELLINGS)


def spellings(lines, decimal="auto"):
    """Which spellings of numbers and dates a sample of lines needs read in another way: (why, pattern, replacement).

    >>> found = spellings([b"25.11.2026 18:00;20,1"])
    >>> respelled(b"25.11.2026 18:00;20,1", found), [why for why, _, _ in found][0]
    (b'2026-11-25 18:00:00;20,1', 'dates with points are day, month, year')
    """
    text, needed = b"\n".join(lines), []
    for each in (*SPELLINGS[:4], *_order(text), *SPELLINGS[4:]):
        if each[1].search(text):
            needed.append(each)
            text = each[1].sub(each[2], text)
    quoted = [_QUOTED.fullmatch(cell) for cell in _QUOTED_CELL.findall(text)]
    if decimal == "auto" and any(found and len(found[2]) != 3 for found in quoted):
        needed.append(("a comma in a number in quotes is its decimal sign", _QUOTED, rb"\1.\2"))
    return tuple(needed)


def _order(text):
    """The spelling of dates that end with the year; none where day and month cannot be told apart."""
    found = _ORDERED.findall(text)
    day, month = any(int(first) > 12 for first, *_ in found), any(int(second) > 12 for _, _, second, _ in found)
    if day != month:
        why = "day, month, year" if day else "month, day, year"
        yield f"dates are {why}, as a number above 12 tells", _ORDERED, _date(4, 3, 1) if day else _date(4, 1, 3)


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
