"""Logs as a bad day makes them: for hypothesis in the tests, and by the thousand."""

import codecs
import io

import numpy as np
from hypothesis import strategies as st

FORMS = (
    "{v}\n",
    "{t},{v}\r\n",
    "t={t} read={v}\r\n",
    "T1: {v} C\n",
    "{t}\t{v}\n",
    "It is {v} °C now\n",
    "{t}.000\t{v}\r\n",
    "{t}.000\tt={t} read={v}\r\n",
    "2026-11-25 10:00:00 {v}\n",
    "25.11.2026 10:00 {v}\n",
    "10:{t:02d}:00 PM,{v}\n",
    '"{t}","{v}"\n',
    "0x{t:02X} {v}\n",
    "value: {t} C ({v})\n",
    "#{t} {v}\n",
)
STYLES = (".0f", ".1f", ".2f", ".3f", ".2f", ".1f", ".4e", "g")
PIECES = (b"\n", b"\r", b"\r\n", b"\x00", b"\xff", b"\xc2", b"25.1", b"-3", b"1.2.3", b"1e5", b"nan", b"T=", b",", b";")
PIECES += (
    b"\t",
    b" ",
    b".",
    b"-",
    b"+",
    b"# gap",
    b"#",
    b"t=",
    b" C",
    b"\xc2\xb0C",
    b"12:00:00",
    b"2026-11-25T10:00:00Z",
)
PIECES += (b"\xef\xbb\xbf", b"\xff\xfe", b"\x1b[32m", b"\xe2\x88\x92", b"\xc2\xa0", b"'", b'"', b'","', b"0x", b"_")
PIECES += (b"T", b" PM", b"11/25/2026", b"01.02.2026", b"+0100", b"a;b;c\n", b"# torn\n", b"# port\n", b"- 5")
PIECES += (b"# tempkit record 1\n", b" F", b" K")
PIECES += (b"0.100\t", b"e", b"T1=", b"boot", b"1e999", b"\x1b", b"7" * 20, b"x" * 5000)

anything = st.one_of(st.binary(max_size=400), st.lists(st.sampled_from(PIECES), max_size=60).map(b"".join))


@st.composite
def logs(draw):
    """A log of one form with bytes lost, changed, put in, cut off, or lines doubled."""
    seed = draw(st.integers(0, 2**32 - 1))
    return damaged(np.random.default_rng(seed))


def damaged(rng):
    """One damaged log, drawn with `rng`."""
    form, count = FORMS[rng.integers(len(FORMS))], int(rng.integers(1, 80))
    style = STYLES[rng.integers(len(STYLES))]
    written = [format(value, style) for value in rng.normal(25, 20, count).tolist()]
    if rng.random() < 0.2 and "{t}," not in form:
        written = [text.replace(".", ",") for text in written]
    data = bytearray("".join(form.format(t=t, v=text) for t, text in enumerate(written)).encode())
    for _ in range(int(rng.integers(0, 12))):
        at = int(rng.integers(0, len(data) + 1))
        action = rng.integers(4)
        if action == 0:
            del data[at : at + int(rng.integers(1, 20))]
        elif action == 1:
            data[at:at] = PIECES[rng.integers(len(PIECES))]
        elif action == 2:
            data[at : at + 3] = rng.integers(0, 256, 3, dtype=np.uint8).tobytes()
        else:
            data[at:at] = data[max(0, at - 30) : at]
    return bytes(data)


def lines_of(data):
    """Independent count: Python's own universal line ends, of what a byte order mark says it is."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        data = data.decode("utf-16", "replace").encode()
    data = data.removeprefix(codecs.BOM_UTF8)
    return len(list(io.TextIOWrapper(io.BytesIO(data), encoding="latin-1", newline=None)))


def check_account(data, record):
    """Every line is exactly one thing, and the record agrees with itself."""
    assert sum(record.account().values()) == record.lines == lines_of(data)
    listed = [line for found in record.skipped for line in found.lines] + record.line_numbers.tolist()
    assert len(set(listed)) == len(listed) and all(1 <= line <= record.lines for line in listed)
    assert all(len(found.lines) == min(found.count, 1000) for found in record.skipped)
    assert all(column.size == record.rows == record.times_s.size for column in record.columns)
    assert (np.diff(record.line_numbers) > 0).all() and np.isfinite(record.times_s).all()
    assert len(set(record.names)) == len(record.names), "no two columns share a name"
    assert ((record.unsure >= 0) & (record.unsure < max(record.rows, 1))).all()
    if record.time_name is None:
        steps = np.diff(record.line_numbers)
        assert (np.diff(record.times_s) <= steps).all() and (np.diff(record.times_s) >= 1).all()
    gaps = record.gaps()
    assert ((gaps.rows > 0) & (gaps.rows < max(record.rows, 1))).all() and str(record) and repr(record)


def run(read, check, count, seed=1):
    """Read so many damaged logs, and as much plain noise, and check each; the number read."""
    rng = np.random.default_rng(seed)
    for nth in range(count):
        data = damaged(rng) if nth % 2 else rng.integers(0, 256, int(rng.integers(0, 400)), dtype=np.uint8).tobytes()
        check(data, read(data))
    return count
