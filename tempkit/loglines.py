"""The grammar of one line of a log: its numbers, their names and units, time stamps, and what is no text."""

import re
from dataclasses import dataclass

LONGEST = 4096  # bytes; a longer line is no line of a board
MARK = b"\0"
SIZES = {"clock": 3, "date": 3, "datetime": 6, "datetime+": 8, "datetime-": 8}  # tokens of a time stamp
GLUE = frozenset(b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_") | frozenset(range(0x80, 0x100))

_WORDS = rb"|(?<![A-Za-z0-9_.])[+-]?(?:nan|inf|ovf)(?![A-Za-z0-9_])"
_EXPONENT = rb"|(?<=[0-9])[eE](?=[+-]?[0-9])"
TOKEN = {
    ".": re.compile(rb"(?:[0-9]|\.(?=[0-9])|(?<![0-9])[+-](?=\.?[0-9])" + _EXPONENT + rb")+" + _WORDS, re.IGNORECASE),
    ",": re.compile(
        rb"(?:[0-9]|(?<=[0-9]),(?=[0-9])|(?<![0-9])[+-](?=[0-9])" + _EXPONENT + rb")+" + _WORDS, re.IGNORECASE
    ),
}
STAMPED = re.compile(rb" *([0-9]+\.[0-9]{3}) *\t")
STAMP = re.compile(
    r"(?<![\d.])(?:(?P<date>\d{4}-\d\d-\d\d)"
    r"(?:[T ](?P<of_day>\d\d:\d\d:\d\d(?:[.,]\d+)?)(?:Z|(?P<zone>[+-]\d\d:\d\d))?)?"
    r"|(?P<clock>\d\d?:\d\d:\d\d(?:[.,]\d+)?))(?![\d:])"
)
_CONTROL = re.compile(rb"[\x00-\x08\x0a-\x1f\x7f]")
_SEPARATOR = re.compile(r"[,;\t|]")
_UNIT = re.compile(
    r"\s*(%|°\s?[CF]|deg(?:rees?)?\s?[CF]|degrees?|[Kk]elvins?|[Cc]elsius|[Ff]ahrenheit|m?V|[uµ]V|m?A|[uµ]A|k?[oO]hms?|k?Ω|ms|[uµ]s|min|LSB|Hz|hPa|Pa|[CFKsh])"
    r"(?![\w°µΩ%/])"
)
_GROWN = re.compile(rb"[A-Za-z_\x80-\xff]+[0-9][0-9A-Za-z_]*(?![0-9A-Za-z_]| *[=:])")
_GROUPED = re.compile(rb"[0-9] *(?:'|\xe2\x80\x99) *[0-9]")
_SIGN_APART = re.compile(rb"(?:^|[=:,;|(\t]) *- +\.?[0-9]")
_IN_QUOTES = re.compile(rb'"[^"]*[0-9],[0-9][^"]*"(?=,)|(?<=,)"[^"]*[0-9],[0-9][^"]*"')
_UNORDERED = re.compile(rb"(?<![0-9/.-])[0-9]{1,2}([/-])[0-9]{1,2}\1(?:19|20)[0-9]{2}(?![0-9/.-])")
_WORDY = re.compile(r"[^\W\d_][\w /.-]*")
_EDGES = " \t:=<>-([{)]}\"'~"


def is_comment(line):
    """True for a line that begins with # and no number right behind it, as #12 is one.

    >>> is_comment(b" # gap"), is_comment(b"#12 20.1")
    (True, False)
    """
    bare = line.lstrip()
    return bare.startswith(b"#") and not bare[1:2].isdigit()


def free(name, taken):
    """A name that is not taken yet: the name itself, or with the first number that makes it another.

    >>> free("value", {"value", "value 2"})
    'value 3'
    """
    nth, found = 1, name
    while found in taken:
        nth += 1
        found = f"{name} {nth}"
    return found


def doubt(line, spans, decimal="."):
    """Why the numbers of a line cannot be known, a key of `logblocks.REASONS`; "" where they can.

    >>> doubt(b"1_000", [(0, 1)]), doubt(b"11/12/2026", []), doubt(b"3V3=3.31", [(0, 1), (4, 8)])
    ('unsure number', 'unsure date', '')
    """
    stamp = _stamp(line, spans)
    inside = range(stamp[0], stamp[0] + stamp[2]) if stamp else ()
    if _UNORDERED.search(line):
        return "unsure date"
    grown = any(_GROWN.match(line, end) for nth, (_, end) in enumerate(spans) if nth not in inside)
    unsure = (_GROUPED, _SIGN_APART, _IN_QUOTES) if decimal == "." else (_GROUPED, _SIGN_APART)
    return "unsure number" if grown or any(pattern.search(line) for pattern in unsure) else ""


def is_text(line):
    """True where the bytes are text: no control bytes but the tab; UTF-8, or ASCII with a Latin-1 ° or µ.

    >>> is_text(b"T=25.1 \\xb0C"), is_text(b"T=2\\xff5.1"), is_text(b"T=2\\x005.1")
    (True, False, False)
    """
    if _CONTROL.search(line):
        return False
    return line.isascii() or "\ufffd" not in decoded(line)


def decoded(line):
    """Bytes of a line -> text; what cannot be text becomes U+FFFD.

    >>> decoded(b"25.1 \\xb0C")
    '25.1 °C'
    """
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        latin = line.replace(b"\xb0", b"\xc2\xb0").replace(b"\xb5", b"\xc2\xb5")
        return latin.decode("utf-8", "replace")


def tokens(line, decimal):
    """The numbers of a line as pairs (start, end). Digits glued to a name, as in T1, belong to the name.

    The T of 2026-11-25T12:00:00 is no name.

    >>> tokens(b"T1=25.1 n=-3", ".")
    [(3, 7), (10, 12)]
    """
    found = []
    for match in TOKEN[decimal].finditer(line):
        start = match.start()
        glued = start and line[start - 1] in GLUE
        if glued and not (line[start - 1] == 0x54 and start > 1 and 48 <= line[start - 2] <= 57):
            continue
        found.append(match.span())
    return found


def skeleton(line, spans):
    """A line with each number replaced by one mark and the blanks taken out: lines of one form have the same.

    >>> skeleton(b"T1 = 25.1 C", [(5, 9)]).replace(MARK, b"#")
    b'T1=#C'
    """
    pieces, last = [], 0
    for start, end in spans:
        pieces += (line[last:start], MARK)
        last = end
    return b"".join([*pieces, line[last:]]).replace(b" ", b"")


def number(token, decimal):
    """Bytes of a token -> float; `nan` for nan and ovf. Raises `ValueError` where it is no number, as 1.2.3.

    >>> number(b"-25,5", ",")
    -25.5
    """
    if decimal == ",":
        token = token.replace(b",", b".")
    value = float("nan") if token.lower().endswith(b"ovf") else float(token)
    if value in (float("inf"), float("-inf")) and token[-1:].isdigit():
        raise ValueError(f"{token.decode()} is beyond what a number can hold")
    return value


def decimals(token, decimal):
    """Digits behind the decimal sign; None for a word or a power of ten, which fix none.

    >>> decimals(b"25.10", "."), decimals(b"153", "."), decimals(b"1e-5", ".")
    (2, 0, None)
    """
    if token.isdigit():
        return 0
    whole, _, behind = token.partition(decimal.encode())
    if (behind and not behind.isdigit()) or not whole.lstrip(b"+-").isdigit() and not behind:
        return None
    return len(behind)


@dataclass(frozen=True)
class Place:
    """Where a number or a time stamp of a line goes.

    kind : "number", "date", "datetime" (with its sign where an offset from UTC follows), "clock"; column : its name, or
    its place (field, number in the field); unit : as written behind it, or ""; size : how many tokens it takes.
    """

    kind: str
    column: str | tuple
    unit: str = ""
    size: int = 1

    @property
    def named(self):
        """True where the line itself names the number."""
        return isinstance(self.column, str)


def form(line, spans):
    """What the numbers of a line are, in order: a tuple of `Place`, and text between them as ("word",) or as it is.

    Two lines with the same form say the same things. A number is named by the words before it; without words by
    its place: (field, place in the field), fields being parted by comma, semicolon, tab or bar.

    >>> [place.column for place in form(b"t=12.0 code=153", [(2, 6), (12, 15)])]
    ['t', 'code']
    >>> form(b"25.1 C", [(0, 4)])
    (Place(kind='number', column=(0, 0), unit='C', size=1),)
    """
    elements, field, nth, last, index, seen = [], 0, 0, 0, 0, set()
    stamp = _stamp(line, spans)
    while index < len(spans):
        here = stamp if stamp and stamp[0] == index else None
        start = spans[index][0]
        size = here[2] if here else 1
        end = here[3] if here else spans[index][1]
        before = decoded(line[last:start])
        *closed, label = _SEPARATOR.split(before)
        for place, text in enumerate(closed):
            elements += _slot(text, glued=index and not place)
            field, nth = field + 1, 0
        name = _name(label)
        elements += [] if name else _slot(label, glued=index and not closed)
        unit = _UNIT.match(decoded(line[end : end + 16])) if not here else None
        elements.append(_place(here, _unique(name, seen) or (field, nth), unit, size))
        nth += 1
        last, index = end + (len(unit[0].encode()) if unit and line[end:].isascii() else 0), index + size
        if unit and not line[end:].isascii():
            last = _after_unit(line, end, unit[0])
    for place, text in enumerate(_SEPARATOR.split(decoded(line[last:]))):
        elements += _slot(text, glued=spans and not place)
    return tuple(elements)


def _place(stamp, column, unit, size):
    return Place(stamp[1] if stamp else "number", column, unit[1].replace(" ", "") if unit else "", size)


def _after_unit(line, end, unit):
    """The unit's length in bytes depends on how ° and µ are written."""
    for length in range(len(unit), 2 * len(unit) + 1):
        if decoded(line[end : end + length]) == unit:
            return end + length
    return end


def _stamp(line, spans):
    """The first time stamp: (index of its first token, kind, how many tokens, its end in the line), or None."""
    text = line.decode("latin-1")
    for match in STAMP.finditer(text):
        inside = [i for i, (start, end) in enumerate(spans) if match.start() <= start and end <= match.end()]
        kind = _kind(match)
        if inside and len(inside) == SIZES[kind]:
            return inside[0], kind, len(inside), match.end()
    return None


def _kind(match):
    if match["clock"]:
        return "clock"
    return "date" if not match["of_day"] else f"datetime{(match['zone'] or '')[:1]}"


def _name(label):
    """The name in the words before a number; "" where there are none."""
    label = label.strip(_EDGES + ".") if "=" not in label else (label.strip(_EDGES).split() or [""])[-1].strip(_EDGES)
    return label if any(letter.isalpha() for letter in label) else ""


def _unique(name, seen):
    if not name:
        return None
    seen.add(name := free(name, seen))
    return name


def _slot(text, glued):
    """Text that names no number: any word counts as the same, anything else, or glued to a number, as itself."""
    bare = text.strip(" ")
    if not bare:
        return []
    apart = not glued or text.startswith(" ")
    return [("word",)] if apart and _WORDY.fullmatch(bare) else [(bare,)]
