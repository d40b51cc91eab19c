"""No guess in a log: what can be read in one way only is read, the rest is refused with its reason; nothing is lost."""

import io
import tracemalloc

import numpy as np
import pytest

from tempkit.logs import log, readings_c
from tempkit.logs.reader import REASONS

EVENING = np.datetime64("2026-11-25T18:00:59", "s").astype(int)
STAMPS = {  # each is 18:00:59 on that day, in UTC
    "2026-11-25 18:00:59": "",
    "20261125T180059": "ISO 8601",
    "20261125T180059Z": "ISO 8601",
    "2026-11-25T19:00:59+0100": "colon",
    "2026-11-25T19:00:59+01": "minutes",
    "25.11.2026 18:00:59": "day, month, year",
    "25.11.2026 06:00:59 PM": "AM and PM",
    "11/25/2026 6:00:59 pm": "month, day, year",
    "25/11/2026 18:00:59": "day, month, year",
    "25-11-2026 18:00:59": "day, month, year",
    "2026/11/25 18:00:59": "year, month, day",
}


@pytest.mark.parametrize("mark", [",", ";", "\t", " "])
@pytest.mark.parametrize("stamp", list(STAMPS))
def test_every_way_to_write_a_date(stamp, mark):
    written, why = (f"{stamp}{mark}20.1\n{stamp}{mark}20.2\n".encode(), STAMPS[stamp])
    record = log.read(written)
    assert record.names == ("time", "value") and record.column("value").tolist() == [20.1, 20.2]
    assert record.times_s.tolist() == [EVENING, EVENING] and not record.skipped
    assert why in " ".join(record.told)


def test_hours_of_twelve():
    """Every minute of a day, told apart by nothing but AM and PM; the seconds may be missing."""
    for form, step_s in (("%I:%M:%S %p", 1), ("%I:%M %p", 0)):
        times = [np.datetime64("2026-11-25T00:00:00") + np.timedelta64(61 * nth, "s") for nth in range(1400)]
        lines = [f"{time.astype(object).strftime(form)},20.1\n" for time in times]
        of_day = [(time - times[0]).astype(int) // (1 if step_s else 60) * (1 if step_s else 60) for time in times]
        record = log.read("".join(lines).encode())
        assert record.times_s.tolist() == of_day and not record.skipped


def test_a_date_whose_order_nothing_tells_is_refused():
    record = log.read(b"11/12/2026 18:00:59,20.1\n10/12/2026 18:00:59,20.2\n")
    assert record.rows == 0 and record.account()["unsure date"] == 2


READ = {  # log -> names and rows
    "two numbers, one name": (b"value: 20.02 C (163)\n" * 2, ("value", "value 2"), [[20.02, 163]] * 2),
    "an unnamed number first": (b"163 value: 20.02\n" * 2, ("value 2", "value"), [[163, 20.02]] * 2),
    "a column called time": (b"12:00:00 time=5\n" * 2, ("time 2", "time"), [[43200, 5]] * 2),
    "a board's host_s": (b"0.100\thost_s=5\n" * 2, ("host_s", "host_s 2"), [[0.1, 5]] * 2),
    "a header that says a name thrice": (b"a,a,a\n1,2,3\n", ("a", "a 2", "a 3"), [[1, 2, 3]]),
    "one name, two units": (b"T=20.1 C\nT=68.2 F\n" * 2, ("T", "T 2"), [[20.1, None], [None, 68.2]] * 2),
    "hexadecimal": (b"0x096\n0x0A7\n", ("value",), [[150], [167]]),
    "hexadecimal, named": (b"code=0X96 read=20.1\ncode=0xa7 read=20.2\n", ("code", "read"), [[150, 20.1], [167, 20.2]]),
    "quotes, decimal commas": (b'"t","T"\n"1","20,1"\n"2","20,25"\n', ("t", "T"), [[1, 20.1], [2, 20.25]]),
    "quotes where need be": (b't,T\n1,"20,1"\n2,20\n3,"20,25"\n', ("t", "T"), [[1, 20.1], [2, 20], [3, 20.25]]),
    "quotes, semicolons": (b'"1";"20,125"\n"2";"20,250"\n', ("value 1", "value 2"), [[1, 20.125], [2, 20.25]]),
    "UTF-8 with a mark": (b"\xef\xbb\xbft,T\n1,20.1\n", ("t", "T"), [[1, 20.1]]),
    "UTF-8 with a mark, no header": (b"\xef\xbb\xbf20.1\n20.2\n", ("value",), [[20.1], [20.2]]),
    "UTF-16": ("t;T/°C\r\n1;20,1\r\n".encode("utf-16"), ("t", "T/°C"), [[1, 20.1]]),
    "UTF-16, the other way round": (b"\xfe\xff" + "20.1\n20.2\n".encode("utf-16-be"), ("value",), [[20.1], [20.2]]),
    "colours": (b"\x1b[32m20.1\x1b[0m\n\x1b[1;31m30.2\x1b[0m\x1b[K\n", ("value",), [[20.1], [30.2]]),
    "a typeset minus": ("T=\u22125.1\nT=5.2\n".encode(), ("T",), [[-5.1], [5.2]]),
    "numbered with #": (b"#12 20.1\n#13 20.2\n# a comment\n", ("value 1", "value 2"), [[12, 20.1], [13, 20.2]]),
    "digits in a name": (b"T1=20.1 V2: 3.3\n" * 2, ("T1", "V2"), [[20.1, 3.3]] * 2),
}


class Drops:
    """A stream that gives one byte at a time, so that every mark falls between two reads."""

    def __init__(self, data):
        self.rest = data

    def read(self, _):
        given, self.rest = self.rest[:1], self.rest[1:]
        return given


@pytest.mark.parametrize("name", list(READ))
def test_what_is_read(name):
    data, names, rows = READ[name]
    for source in (io.BytesIO(data), Drops(data)):
        record = log.read(source)
        assert record.names == names and not record.skipped
        found = zip(*(column.tolist() for column in record.columns), strict=True)
        assert [[None if np.isnan(each) else each for each in row] for row in found] == rows


REFUSED = {  # line -> why; each stands in a log of its own, and after twenty good lines of its kind
    b"1_000": "unsure number",
    b"1d3": "unsure number",
    b"id=3F2A t=20.1": "unsure number",
    b"1'234.5": "unsure number",
    "1’234.5".encode(): "unsure number",
    b'1,"1,234"': "unsure number",
    b"T=- 5.1": "unsure number",
    b"- 5.1": "unsure number",
    "20–25".encode(): "unsure number",
    "20.1\u00a0153".encode(): "unsure number",
    b"20261125T1800": "unsure number",
    b"1.2.3": "broken number",
}


@pytest.mark.parametrize("line", list(REFUSED))
def test_what_is_refused(line):
    why = REFUSED[line]
    alone = log.read((line + b"\n") * 3)
    assert alone.rows == 0 and alone.account()[why] == 3 and REASONS[why] in str(alone)
    good = b"T=20.1\n" if b"T=" in line else b"20.1\n"
    record = log.read(good * 20 + line + b"\n" + good)
    assert record.rows == 21 and record.skipped_count == 1 and record.skipped[0].lines == (21,)


def test_utf_16_without_its_mark_is_refused_with_its_reason():
    record = log.read("t,T\n1,20.1\n2,20.2\n".encode("utf-16-le"))
    assert record.rows == 0 and record.skipped_count == record.lines and REASONS["wrong bytes"] in str(record)


@pytest.mark.parametrize(
    "data", [b"a;b\n1;2,3\n", b"a;b;c\n1;2\n3\n4,5;6;7\n", b"a;b\n1;2|3\n4;5,x=6\n", b"a|b\n1|2;3\n"]
)
def test_a_heading_with_other_fields_than_its_lines(data):
    """The heading is none, and is counted; nothing raises."""
    for decimal in (".", ",", "auto"):
        record = log.read(data * 3, decimal=decimal)
        assert sum(record.account().values()) == record.lines and len(set(record.names)) == len(record.names)


@pytest.mark.parametrize(
    "data",
    [b"T=293.15 K\n", b"T: 293.15 kelvin\n", b"t,T_K\n1,293.15\n", b"t,T [K]\n1,293.15\n", b"t,T (F)\n1,68.0\n"]
    + [b"T=68.0 F\n", b"temp=753 mV read=20.0\n", b"T=20.0 Celsius\n"],
)
def test_readings_are_in_degrees_celsius_whatever_the_log_is_in(data):
    assert readings_c(log.read(data))[2].tolist() == pytest.approx([20.0])


# ---- our own recorder's file

HEAD = b"# tempkit record 1: seconds since the start\n# start 2026-11-25T18:00:00.000+00:00\n# port COM3\n"


@pytest.mark.parametrize("torn", [b"2", b"2.", b"2.1", b"2.100", b"20.3"])
def test_a_torn_stamp_is_no_data(torn):
    """Also where so few lines follow that most are torn; the next one, torn in its body, is known by the remark."""
    record = log.read(HEAD + b"0.100\t20.1\n" + torn + b"\n" + torn + b"\n")
    assert record.column("value").tolist() == [20.1] and record.account()["torn stamp"] == 2
    assert record.times_s.tolist() == [0.1]


@pytest.mark.parametrize("size", [1, 2**18])
def test_a_line_that_the_recorder_found_torn_is_no_data(size, monkeypatch):
    """25.1 torn to 2 looks whole; the remark below it tells. Whatever falls into one block, and what into the next."""
    monkeypatch.setattr("tempkit.logs.reader.blocks.__defaults__", (size,))
    monkeypatch.setattr("tempkit.logs.reader.SAMPLE_BYTES", 130)
    data = HEAD + b"0.100\t25.1\n1.100\t25.2\n2.100\t2\n# torn: the line before has no end\n# gap\n# port COM3\n"
    record = log.read(data + b"3.100\t25\n")
    assert record.line_numbers.tolist() == [4, 5, 10] and record.account()["no line end"] == 1
    assert record.gaps().rows.tolist() == [2] and record.skipped[0].lines == (6,)
    assert sum(record.account().values()) == record.lines == 10
    assert record.unsure.tolist() == [0, 2]


def test_the_first_line_of_a_recorder_is_unsure():
    """After the head, after each new opening, and only where it is a row."""
    more = b"2.100\t20.2\n# gap at 3 s\n# open again at 4 s\n\n4.100\tboard started\n5.100\t20.3\n"
    record = log.read(HEAD + b"0.100\t0.1\n1.100\t20.1\n" + more + b"# gap\n# open again at 6 s\n\n6.100\t5.1\n")
    assert record.line_numbers[record.unsure].tolist() == [4, 15]
    assert "unsure (first once the recorder listened, perhaps half a line): 2, lines 4, 15" in str(record)
    assert not log.read(b"# port COM3\n0.1\n20.1\n").unsure.size, "not the recorder's own file"


def test_a_clock_that_was_set_is_told():
    told = log.read(HEAD + b"0.100\t20.1\n# clock at 1.000 s: set by +3600.000 s\n1.100\t20.2\n").told[-1]
    assert "1 times the computer's clock was set" in told


# ---- times without a time column


def test_a_skipped_line_takes_one_period():
    record = log.read(b"boot\n20.1\n\n# note\n20.2\n2\xff0.3\nnot ready\n20.4\n\n20.5\n", period_s=0.5)
    assert record.times_s.tolist() == [0, 0.5, 2.0, 2.5]
    assert "each of the 3 skipped lines counting as a row; how long they really took cannot be known" in record.told[-1]
    assert record.gaps().missing.tolist() == [2]
    gap = log.read(b"20.1\n# gap\n20.2\n").told[-1]
    assert "how long the 1 marked gaps were" in gap
    assert log.read(b"20.1\n20.2\n").told[-1].endswith("times are row number times 1 s")


def test_periods_are_counted_across_blocks():
    """Against a plain loop, with more skipped lines than are kept by number."""
    rng, lines, times, turn = np.random.default_rng(7), [], [], 0
    for kind in rng.choice(["20.1", "", "# note", "boot", "2\x005"], 60_000, p=[0.6, 0.1, 0.1, 0.1, 0.1]):
        lines.append(str(kind))
        times += [turn] if kind == "20.1" else []
        turn += kind not in ("", "# note")
    record = log.read(("\n".join(lines) + "\n").encode(), keep=5)
    assert (record.times_s - record.times_s[0]).tolist() == (np.array(times) - times[0]).tolist()


def test_rows_are_counted_rightly_behind_a_torn_one():
    """Without a time column blank lines take no time; the torn row is gone, and its blank line with it."""
    lines = (b"0.100\t1;20.1", b"", b"0.200\t2;20.2", b"# torn: x", b"0.300\t3;20.3", b"", b"0.400\t4;20.4")
    record = log.read(HEAD + b"0.000\tn;read\n" + b"\n".join(lines) + b"\n", time=False, period_s=2.0)
    assert record.column("n").tolist() == [1, 3, 4]
    assert record.times_s.tolist() == [0.0, 4.0, 6.0], "the torn line counts as a skipped one"


# ---- memory

BESIDE = {
    "garbage": lambda nth: b"\xff\x81 %d\n" % nth,
    "blank lines": lambda _: b"\n",
    "comments": lambda _: b"# note\n",
    "gaps": lambda _: b"# gap at 1 s\n",
    "openings": lambda _: b"# port COM3\n",
    "torn lines": lambda nth: b"# torn\n" if nth % 2 else b"1.0\n",
    "headers again": lambda _: b"0.100\tt;read\n",
    "lines of ever new forms": lambda nth: b"0.100\tx%dy 1\n" % nth,
    "a line without an end": lambda _: b"7" * 20,
}


@pytest.fixture
def small_bounds(monkeypatch):
    """Small bounds, for speed; a bound that is gone shows all the same."""
    monkeypatch.setattr("tempkit.logs.reader.blocks.__defaults__", (2**11,))
    monkeypatch.setattr("tempkit.logs.reader.SAMPLE_BYTES", 2**11)
    monkeypatch.setattr("tempkit.logs.reader.KNOWN_AT_MOST", 500)


@pytest.mark.usefixtures("small_bounds")
@pytest.mark.parametrize("name", list(BESIDE))
def test_memory_does_not_grow_with_lines_that_are_no_rows(name):
    """What is kept of lines beyond the arrays has a bound: four times as many take no more."""
    start = HEAD + b"0.100\tt;read\n" + b"0.100\t1;20.1\n" * 30

    def peak(count):
        tracemalloc.start()
        try:
            record = log.read(Lines(start, BESIDE[name], count))
            assert record.rows == 30 and record.lines >= 34
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    few, many = peak(4_000), peak(16_000)
    assert many < few + 150_000


def test_the_bounds_that_are_in_force_are_small():
    """15 MB of comments pass through less memory than they fill."""
    tracemalloc.start()
    try:
        record = log.read(Lines(HEAD + b"0.100\t1;20.1\n" * 30, lambda _: b"# %b\n" % (b"note " * 100), 30_000))
        assert record.rows == 30 and tracemalloc.get_traced_memory()[1] < 12e6
    finally:
        tracemalloc.stop()


class Lines:
    """A stream of made lines that is never whole in memory."""

    def __init__(self, start, make, count):
        self.ready, self.make, self.count, self.nth = start, make, count, 0

    def read(self, size):
        while len(self.ready) < size and self.nth < self.count:
            self.ready += b"".join(self.make(self.nth + more) for more in range(1000))
            self.nth += 1000
        given, self.ready = self.ready[:size], self.ready[size:]
        return given


@pytest.mark.usefixtures("small_bounds")
def test_memory_of_rows_is_that_of_their_arrays():
    """Blank lines between all rows: the arrays, what joining them takes, and a share for the blank lines."""

    def peak(count):
        tracemalloc.start()
        try:
            record = log.read(Lines(b"", lambda nth: b"20.1\n" if nth % 2 else b"\n", count))
            return tracemalloc.get_traced_memory()[1], record
        finally:
            tracemalloc.stop()

    (few, one), (many, four) = peak(20_000), peak(160_000)
    arrays = sum(each.nbytes for each in (*four.columns, four.times_s, four.line_numbers)) * 7 // 8
    assert four.rows == 80_000 == 8 * one.rows and many - few < 2.5 * arrays
