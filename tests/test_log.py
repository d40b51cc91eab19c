"""Reading logs: every kind that boards write, every line accounted for, the fast way equal to the slow one."""

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import fuzzed
from fuzzed import check_account, lines_of
from tempkit.logs import log, reader

# What each kind of log holds: bytes, columns, their values row by row, times [s], and what was skipped, by line.
KINDS = {
    "one number a line": (b"25.1\n25.2\n25.3\n", ("value",), [[25.1], [25.2], [25.3]], [0, 1, 2], {}),
    "several numbers": (b"163 25.1\n164 25.6\n", ("value 1", "value 2"), [[163, 25.1], [164, 25.6]], [0, 1], {}),
    "name=value": (
        b"t=12.0 code=163 read=24.8\r\nt=13.0 code=164 read=25.4\r\n",
        ("t", "code", "read"),
        [[12, 163, 24.8], [13, 164, 25.4]],
        [12, 13],
        {},
    ),
    "name: value unit": (
        b"Air temperature: 25.1 C, pin: 751 mV\nAir temperature: -3.0 C, pin: 470 mV\n",
        ("Air temperature", "pin"),
        [[25.1, 751], [-3.0, 470]],
        [0, 1],
        {},
    ),
    "one field a line": (
        b"pin: 0.75 V\ntemp: 25.1 C\npin: 0.76 V\ntemp: 26.1 C\n",
        ("pin", "temp"),
        [[0.75, None], [None, 25.1], [0.76, None], [None, 26.1]],
        [0, 1, 2, 3],
        {},
    ),
    "a header": (
        b"time_ms,code,temp_c\n0,163,25.0\n500,164,25.5\n1000,,25.5\n",
        ("time_ms", "code", "temp_c"),
        [[0, 163, 25.0], [500, 164, 25.5], [1000, None, 25.5]],
        [0, 0.5, 1.0],
        {},
    ),
    "text with numbers": (
        b"It is 25.1 degrees now.\nIt is 25.2 degrees now.\n",
        ("It is",),
        [[25.1], [25.2]],
        [0, 1],
        {},
    ),
    "numbers in names": (b"T1=25.1 T2=20.0\nT1=25.2 T2=20.5\n", ("T1", "T2"), [[25.1, 20], [25.2, 20.5]], [0, 1], {}),
    "a word behind": (
        b"25.1 ok\n25.2 ok\n25.3 ok\n27.9 HIGH\n",
        ("value",),
        [[25.1], [25.2], [25.3], [27.9]],
        None,
        {},
    ),
    "a reset": (
        b"t=900 c=1\nt=901 c=2\nt=902 c=3\nBench v1.2 ready\nt=0 c=4\nt=1 c=5\n",
        ("t", "c"),
        [[900, 1], [901, 2], [902, 3], [0, 4], [1, 5]],
        [900, 901, 902, 903, 904],
        {"no number": (4,)},
    ),
    "a half line": (
        b"5.1 code=163\n" + b"t=1 temp=25.10\nt=2 temp=25.20\n" * 10 + b"t=3 temp=25.\nt=4 temp=2\nt=5 te",
        ("t", "temp"),
        [[1, 25.1], [2, 25.2]] * 10,
        None,
        {"other form": (1, 22), "other decimals": (23,), "no line end": (24,)},
    ),
    "wrong bytes": (
        b"25.1\n\xff\xfe\xf08\n25.2\n2\x005.3\n\x1b[31\n",
        ("value",),
        [[25.1], [25.2]],
        [0, 2],
        {"wrong bytes": (2, 4, 5)},
    ),
    "no number at all": (b"25.1\n25.2\n1.2.3\n", ("value",), [[25.1], [25.2]], [0, 1], {"broken number": (3,)}),
    "degree signs": ("25.1 °C\n".encode() + b"25.2 \xb0C\n", ("value",), [[25.1], [25.2]], [0, 1], {}),
    "CR LF": (b"25.1\r\n\r\n25.2\r\n", ("value",), [[25.1], [25.2]], [0, 1], {}),
    "lone CR": (b"25.1\r25.2\r", ("value",), [[25.1], [25.2]], [0, 1], {}),
    "not a number": (b"25.1\nnan\nNAN\n", ("value",), [[25.1], [None], [None]], [0, 1, 2], {}),
    "powers of ten": (b"2.51e+01\n2.52E1\n-1e-3\n", ("value",), [[25.1], [25.2], [-0.001]], [0, 1, 2], {}),
    "decimal commas": (b"25,1;0,75\n25,2;0,76\n", ("value 1", "value 2"), [[25.1, 0.75], [25.2, 0.76]], [0, 1], {}),
    "dates": (
        b"2016-02-15T00:00:00Z,4.929\n2016-02-30T00:30:00Z,4.887\n2016-02-15T01:00:00Z,4.821\n",
        ("time", "value"),
        [[1455494400, 4.929], [1455498000, 4.821]],
        [1455494400, 1455498000],
        {"impossible time": (2,)},
    ),
    "an offset from UTC": (
        b"2016-02-15 01:30:00+01:30 4.929\n",
        ("time", "value"),
        [[1455494400, 4.929]],
        [1455494400],
        {},
    ),
    "times of day": (
        b"23:59:59.500 -> 25.1\n00:00:00.500 -> 25.2\n",
        ("time", "value"),
        [[86399.5, 25.1], [0.5, 25.2]],
        [86399.5, 86400.5],
        {},
    ),
    "our recorder": (
        b"0.100\tcode=163\r\n1.100\tcode=164\r\n# gap 1.2 9.0\n9.100\tcode=155\r\n10.100\tcode\n",
        ("host_s", "code"),
        [[0.1, 163], [1.1, 164], [9.1, 155]],
        [0.1, 1.1, 9.1],
        {"no number": (5,)},
    ),
    "comments": (b"# bench, invented\n25.1\n  # more\n", ("value",), [[25.1]], [0], {}),
    "a line that never ends": (
        b"25.1\n" + b"7" * 70_000 + b"\n25.2\n",
        ("value",),
        [[25.1], [25.2]],
        [0, 2],
        {"too long": (2,)},
    ),
    "nothing but words": (b"hello\nworld\n", (), [], [], {"no number": (1, 2)}),
    "nothing": (b"", (), [], [], {}),
}


def of_rows(record):
    return [
        [None if np.isnan(v) else v for v in row] for row in zip(*(c.tolist() for c in record.columns), strict=True)
    ]


@pytest.mark.parametrize("name", list(KINDS))
def test_every_kind_of_log(name, tmp_path):
    """From bytes, a file, an open file, and a file that gives few bytes at a time."""
    data, names, rows, times, skipped = KINDS[name]
    path = tmp_path / "board.txt"
    path.write_bytes(data)
    with path.open("rb") as stream:
        records = [log.read(data), log.read(path), log.read(str(path)), log.read(stream)]
    records.append(log.read(Drops(data)))
    for record in records:
        assert record.names == names
        assert of_rows(record) == rows
        if times is not None:
            assert record.times_s.tolist() == pytest.approx(times, abs=1e-9)
        assert {found.reason: found.lines for found in record.skipped} == skipped
        assert sum(record.account().values()) == record.lines == lines_of(data)


class Drops:
    """A stream that gives three bytes at a time."""

    def __init__(self, data):
        self.rest = data

    def read(self, size):
        given, self.rest = self.rest[: min(3, size)], self.rest[3:]
        return given


def test_a_text_stream_is_read_too():
    assert log.read(io.StringIO("25.1\n25.2\n")).column("value").tolist() == [25.1, 25.2]


def test_bad_arguments_are_named():
    with pytest.raises(ValueError, match="period_s 0 s must be above 0 s"):
        log.read(b"", period_s=0)
    with pytest.raises(ValueError, match="decimal ';'"):
        log.read(b"", decimal=";")
    with pytest.raises(ValueError, match="choose one of value"):
        log.read(b"25.1\n", time="t")
    with pytest.raises(ValueError, match="there is no column 'temp': choose one of value"):
        log.read(b"25.1\n").column("temp")
    with pytest.raises(OSError):
        log.read("no-such-file.txt")


# ---- every line accounted for


def same(one, other):
    """Two records that say the same."""
    assert one.names == other.names and one.account() == other.account()
    assert [(f.reason, f.lines) for f in one.skipped] == [(f.reason, f.lines) for f in other.skipped]
    assert np.array_equal(one.line_numbers, other.line_numbers) and np.array_equal(one.times_s, other.times_s)
    for a, b in zip(one.columns, other.columns, strict=True):
        assert np.array_equal(a, b, equal_nan=True)


def read_slowly(data):
    """Every line on its own, as a check of the fast way."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "SHAPES", 0)
        return log.read(data)


@settings(max_examples=150, deadline=None)
@given(fuzzed.anything)
def test_whatever_the_file_holds_every_line_is_accounted_for(data):
    check_account(data, log.read(data))


@settings(max_examples=150, deadline=None)
@given(fuzzed.logs())
def test_a_damaged_log_is_read_the_same_fast_and_slow(data):
    record = log.read(data)
    check_account(data, record)
    same(record, read_slowly(data))


def check_both_ways(data, record):
    check_account(data, record)
    same(record, read_slowly(data))


@pytest.mark.long
def test_ten_thousand_damaged_logs():
    assert fuzzed.run(log.read, check_both_ways, 10_000) == 10_000


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=60), st.sampled_from(fuzzed.FORMS), st.sampled_from([1, 2, 6])
)
def test_what_a_program_prints_comes_back_to_the_last_bit(values, form, digits):
    """Round trip: each number as Python's own float reads it."""
    written = [f"{value:.{digits}f}" for value in values]
    data = "".join(form.format(t=nth, v=text) for nth, text in enumerate(written)).encode()
    record = log.read(data)
    name = record.names[-1]
    assert record.rows == len(values) and not record.skipped
    assert record.column(name).tolist() == [float(text) for text in written]


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_damage_to_some_lines_leaves_the_others_alone(data):
    """Lines replaced by garbage are exactly the lines that are skipped."""
    lines = [f"t={nth} code={150 + nth % 7} read={20 + nth % 50 / 10:.1f}".encode() for nth in range(60)]
    damaged = data.draw(st.sets(st.integers(0, 59), max_size=15))
    for nth in damaged:
        lines[nth] = data.draw(
            st.sampled_from([b"\xff" + lines[nth], b"Bench ready", lines[nth][:-2] + b"\x00", b"t="])
        )
    record = log.read(b"\n".join(lines) + b"\n")
    assert {line - 1 for found in record.skipped for line in found.lines} == damaged
    assert (record.line_numbers - 1).tolist() == [nth for nth in range(60) if nth not in damaged]


def test_counts_stay_exact_where_line_numbers_are_not_kept():
    record = log.read(b"25.1\n" + b"boot\n" * 5000, keep=10)
    (found,) = record.skipped
    assert (found.count, found.lines, found.example) == (5000, tuple(range(2, 12)), "boot")


# ---- long logs against numpy's own reader


def test_a_hundred_thousand_lines_as_numpy_reads_them():
    rng = np.random.default_rng(4)
    rows = np.column_stack([np.arange(100_000) * 500, rng.integers(0, 1024, 100_000), rng.normal(0, 30, 100_000)])
    out = io.StringIO()
    np.savetxt(out, rows, fmt=["%d", "%d", "%.3f"], delimiter=",")
    record = log.read(out.getvalue().encode())
    assert np.array_equal(np.column_stack(record.columns), np.loadtxt(io.StringIO(out.getvalue()), delimiter=","))
    assert record.time_name == "value 1" and record.period_s == 0.5 and not record.skipped


@pytest.mark.parametrize("fmt", ["%.18e", "%.14e", "%.3E", "%.17g", "%.0f", "%g", "%+.2f", "%12.4f"])
def test_every_way_to_print_a_number(fmt):
    values = np.random.default_rng(5).normal(0, 1000, 500)
    written = [fmt % value for value in values]
    record = log.read("\n".join([*written, ""]).encode())
    assert record.column("value").tolist() == [float(text) for text in written]


def test_a_word_that_first_comes_late_is_understood():
    """The sample sees only "ok"; a state in words elsewhere is the same form."""
    record = log.read(b"25.1 ok\n" * 300_000 + b"27.9 HIGH\n" * 3)
    assert record.rows == 300_003 and record.columns[0][-1] == 27.9
