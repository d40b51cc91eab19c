"""The grammar of a log: of a line its numbers, names, units and time stamps; of a sample of lines the layout."""

import re
from collections import Counter
from dataclasses import dataclass, field

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
    r"\s*(%|°\s?[CF]|deg(?:rees?)?\s?[CF]|degrees?|[Kk]elvins?|[Cc]elsius|[Ff]ahrenheit|"
    r"m?V|[uµ]V|m?A|[uµ]A|k?[oO]hms?|k?Ω|ms|[uµ]s|min|LSB|Hz|hPa|Pa|[CFKsh])"
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
    """Why the numbers of a line cannot be known, a key of `reader.REASONS`; "" where they can.

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

    >>> decimals(b"25.10", "."), decimals(b"163", "."), decimals(b"1e-5", ".")
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

    >>> [place.column for place in form(b"t=12.0 code=163", [(2, 6), (12, 15)])]
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


# What a sample of lines says: columns, header, decimal sign

SECONDS = {"clock": 2, "datetime": 5, "datetime+": 5, "datetime-": 5}  # which token of a time stamp holds seconds
SURE, AGREED = 20, 0.95  # lines, and share of lines, from which on equal decimals count as a rule
QUANTITY = re.compile(
    r"(?i)\W*(temp\w*|t(_?c)?|degc?|°c|code|adc|raw|counts?|m?v|volts?|mvolts?|reading|read|value)\b.*"
)
HEAD = b"# tempkit record "  # how a file of our own recorder begins
_COMMA = re.compile(rb"(?<=[0-9]),(?=[0-9])")
_POINT = re.compile(rb"(?<=[0-9])\.(?=[0-9])")
_NAMED_COMMA = re.compile(rb"[A-Za-z_)\xb0-\xff]\s*[=:]\s*[+-]?[0-9]+,[0-9]")
_BLANKS = re.compile(rb"[0-9] +[+-]?[0-9]")
_ONE_COMMA = re.compile(rb"[0-9],([0-9]+)(?![0-9,])")


@dataclass(frozen=True, eq=False)
class Layout:
    """How a log is read.

    decimal : "." or ","; stamped : True where each line begins with our recorder's seconds and a tab; names, units :
    of the columns; fixed : the columns' decimals where the lines of the sample agree, else None; guess : the commonest
    decimals; forms : accepted forms -> tuple of (`Place`, column number); header : the header line, or None; told :
    the decisions, a sentence each; examples : skeleton -> a line of the sample that has it, the commonest first.
    """

    decimal: str
    stamped: bool
    names: tuple = ()
    units: tuple = ()
    fixed: tuple = ()
    guess: tuple = ()
    forms: dict = field(default_factory=dict)
    header: bytes | None = None
    told: tuple = ()
    examples: dict = field(default_factory=dict)
    kinds: tuple = ()
    delimiter: bytes = b""


def decide(lines, decimal="auto", told=()):
    """The `Layout` of a log from some of its lines (bytes without their ends); `told` goes before its own sentences.

    >>> layout = decide([b"t=1.0 code=163", b"t=2.0 code=164", b"reset"])
    >>> layout.names, layout.decimal
    (('t', 'code'), '.')
    """
    recorded = any(line.startswith(HEAD) for line in lines)
    stamped, bodies = _bodies([line for line in lines if line.strip() and not is_comment(line)], recorded)
    bodies = [body for body in bodies if body.strip() and not is_comment(body) and is_text(body)]
    decimal, why = (decimal, "as asked") if decimal != "auto" else decimal_sign(bodies)
    sample, counts, examples = [], Counter(), {}
    for body in bodies:
        spans = tokens(body, decimal)
        bones = skeleton(body, spans)
        sample.append((body, spans, bones))
        counts[bones] += 1
        if bones not in examples or (spans and not _plain(examples[bones]) and _plain(body)):
            examples[bones] = body
    forms = {bones: _sure_form(body, decimal) for bones, body in examples.items()}
    sample = [(body, spans, forms[bones]) for body, spans, bones in sample]
    accepted = _accepted(forms, counts)
    kept = {bones: examples[bones] for bones, _ in counts.most_common() if forms[bones] in accepted}
    said = [*told]
    said += [f"{'comma' if decimal == ',' else 'point'} is the decimal sign: {why}"] if why else []
    if stamped:
        said.append("each line begins with the recorder's seconds and a tab")
    return _columns(sample, decimal, stamped, accepted, kept, said)


def _sure_form(body, decimal):
    spans = tokens(body, decimal)
    return () if spans and doubt(body, spans, decimal) else form(body, spans)


def _plain(body):
    return not re.search(rb"(?i)(nan|inf|ovf)", body)


def _bodies(lines, recorded):
    """Whether the recorder's stamps are there, as its head or most lines say, and the lines without them."""
    match = [STAMPED.match(line) for line in lines]
    if not recorded and (not lines or sum(map(bool, match)) < 0.8 * len(lines)):
        return False, lines
    return True, [line[found.end() :] for line, found in zip(lines, match, strict=True) if found]


# The decimal sign


def decimal_sign(bodies):
    """The decimal sign and why, from lines; without a comma between digits there is nothing to decide: why is "".

    The rule, in this order: numbers with a point make the comma a separator; semicolon or tab in the lines make it
    decimal; so does a name and = or : before each such number; a header with as many commas makes it a separator; so
    does a comma beside another comma, unless blanks part the numbers; a single comma in each line is decimal only
    where what follows looks like decimals: always as long, and once with a leading zero, or one digit that takes three
    values. Else it separates.

    >>> decimal_sign([b"25,1;0,75"])[0], decimal_sign([b"163,25.1"])[0], decimal_sign([b"163,25"])[0]
    (',', '.', '.')
    """
    bare = [STAMP.sub("0", decoded(body)).encode() for body in bodies]
    commas = [line for line in bare if _COMMA.search(line)]
    if not commas:
        return ".", ""
    many = 0.5 * len(commas)
    if sum(bool(_POINT.search(line)) for line in bare) > 0.1 * len(commas):
        return ".", "numbers hold points, so the comma separates"
    if sum(b";" in line or b"\t" in line for line in commas) > many:
        return ",", "semicolon or tab separates"
    if sum(len(_NAMED_COMMA.findall(line)) >= len(_COMMA.findall(line)) for line in commas) > many:
        return ",", "each number with a comma has its name before it"
    usual = Counter(len(_COMMA.findall(line)) for line in commas).most_common(1)[0][0]
    if any(_header_cells(body, b",") == usual + 1 for body in bodies):
        return ".", "the header has commas too, so the comma separates"
    if sum(bool(_BLANKS.search(line)) for line in commas) > many:
        return ",", "blanks separate"
    if usual == 1 and _look_like_decimals(commas):
        return ",", "one comma a line, and what follows it looks like decimals"
    return ".", "the comma separates, since nothing speaks for decimals"


def _header_cells(body, delimiter):
    """How many cells a line of words has; 0 where a cell is no word."""
    cells = body.strip().split(delimiter)
    return len(cells) if all(re.search(rb"[A-Za-z]", cell) and not tokens(cell, ".") for cell in cells) else 0


def _look_like_decimals(commas):
    behind = [match[1] for line in commas if (match := _ONE_COMMA.search(line))]
    if len({len(each) for each in behind}) != 1:
        return False
    return len(set(behind)) >= 3 if len(behind[0]) == 1 else any(each.startswith(b"0") for each in behind)


# Forms and columns


def _places(elements):
    return [element for element in elements if isinstance(element, Place)]


def _accepted(forms, counts):
    """The commonest form with a number, and others that name all their numbers and come often enough."""
    often = Counter()
    for bones, elements in forms.items():
        if _places(elements):
            often[elements] += counts[bones]
    if not often:
        return []
    (main, top), *others = often.most_common()
    enough = max(1 if top < 3 else 2, top / 50)
    if not all(place.named or place.kind != "number" for place in _places(main)):
        return [main]
    return [main, *(each for each, count in others if count >= enough and all(p.named for p in _places(each)))]


def _columns(sample, decimal, stamped, accepted, examples, said):
    """The layout once the accepted forms are known."""
    if not accepted:
        return Layout(decimal, stamped, told=(*said, "no line holds a number"))
    header, titles, delimiter = _header(sample, accepted[0], decimal)
    if header is not None:
        said.append(f"the header names the columns: {decoded(header).strip()}")
    columns = [("host_s", "host_s", "s", "host")] if stamped else []
    given = {place.column for elements in accepted for place in _places(elements) if place.named}
    forms = {}
    for elements in accepted:
        plan = []
        for place in _places(elements):
            title = place.column if place.named else free(_title(place, elements, titles), given)
            plan.append((place, _column(columns, title, place, {nth for _, nth in plan})))
        forms[elements] = tuple(plan)
    fixed, guess = _decimals(sample, decimal, forms, len(columns))
    names, units, kinds = (tuple(each[nth] for each in columns) for nth in (1, 2, 3))
    return Layout(
        decimal, stamped, names, units, fixed, guess, forms, header, tuple(said), examples, kinds, delimiter
    )  # fmt: skip


def _column(columns, title, place, taken):
    """The number of a place's column: one of its title, kind and unit that no number of its line has, or a new one."""
    for nth, (known, name, unit, kind) in enumerate(columns):
        same = known == title and kind == place.kind and (not unit or not place.unit or unit == place.unit)
        if same and nth not in taken:
            columns[nth] = (known, name, unit or place.unit, kind)
            return nth
    columns.append((title, free(title, {name for _, name, _, _ in columns}), place.unit, place.kind))
    return len(columns) - 1


def _title(place, elements, titles):
    """The name of a column that the line does not name: from the header, or by its place."""
    if place.column in titles:
        return titles[place.column]
    if place.kind != "number":
        return "time"
    unnamed = [p for p in _places(elements) if not p.named and p.kind == "number"]
    return "value" if len(unnamed) == 1 else f"value {unnamed.index(place) + 1}"


def _header(sample, main, decimal):
    """The header line, the names by place, and what parts the fields; a header stands before the first data line."""
    places = _places(main)
    bodies = [body for body, _, _ in sample]
    first = next(i for i, (_, _, elements) in enumerate(sample) if elements == main)
    delimiter = _delimiter(bodies[first], decimal)
    for body in reversed(bodies[:first]):
        if delimiter:
            cells = [decoded(cell).strip(" \"'") for cell in body.strip().split(delimiter)]
            fields = bodies[first].count(delimiter) + 1
            wordy = _header_cells(body, delimiter) == fields
        else:
            cells, wordy = decoded(body).split(), not tokens(body, decimal)
            fields = len(main)
            wordy = wordy and (fields > 1 or bool(QUANTITY.fullmatch(cells[0]))) and body is bodies[first - 1]
        apart = not delimiter or all(place.column[0] < fields for place in places if not place.named)
        if wordy and len(cells) == fields and apart and not any(place.named for place in places):
            names = {}
            for nth, place in enumerate(main):
                if isinstance(place, Place):
                    title = cells[place.column[0]] if delimiter else cells[nth]
                    names[place.column] = title if place.column[1] == 0 or not delimiter else f"{title} 2"
            return body, _different(names), delimiter
    return None, {}, delimiter


def _different(names):
    """Names of a header by place; a name that comes twice gets a number."""
    out = {}
    for place, name in names.items():
        out[place] = free(name, set(out.values()))
    return out


def _delimiter(body, decimal):
    """The byte that parts the fields of a line, or b"" for blanks."""
    found = [mark for mark in (b";", b"\t", b",", b"|") if mark in body and not (mark == b"," and decimal == ",")]
    return found[0] if found else b""


def _decimals(sample, decimal, forms, count):
    """Decimals of each column: fixed where all agree in enough lines, and the commonest."""
    seen = [Counter() for _ in range(count)]
    for body, spans, elements in sample:
        index = 0
        for place, column in forms.get(elements, ()):
            start, end = spans[index + SECONDS.get(place.kind, 0)]
            seen[column][decimals(body[start:end], decimal)] += 1
            index += place.size
    guess = tuple(next((d for d, _ in each.most_common() if d is not None), 0) for each in seen)
    sure = (each[d] >= SURE and each[d] >= AGREED * sum(each.values()) for d, each in zip(guess, seen, strict=True))
    return tuple(d if agreed and d else None for agreed, d in zip(sure, guess, strict=True)), guess
