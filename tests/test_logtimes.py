"""What a log leaves open: the comma, the time column, counters that wrap or begin again, gaps; and a real record."""

import gzip
from importlib import resources

import numpy as np
import pytest

from tempkit.alarm import Alarm
from tempkit.logs import log
from tempkit.logs.lines import decimal_sign
from tempkit.logs.times import mended, stamp_seconds

# ---- decimal comma or separator


@pytest.mark.parametrize(
    "lines, sign",
    [
        (["25.1", "25.2"], "."),
        (["163,25.1"], "."),
        (["25,1;0,75"], ","),
        (["25,1\t0,75"], ","),
        (["T=25,1 C, U=0,75 V"], ","),
        (["T: 25,1"], ","),
        (["code,temp", "163,25"], "."),
        (["163 25,1", "164 25,2"], ","),
        (["0,751,25,1"], "."),
        (["25,05", "25,12"], ","),
        (["25,1", "25,2", "25,3"], ","),
        (["163,25", "164,26"], "."),
        (["12:00:01,163", "12:00:02,164"], "."),
        (["2026-11-25 12:00:01;25,1"], ","),
        (["163"], "."),
    ],
)
def test_the_rule_of_the_comma(lines, sign):
    assert decimal_sign([line.encode() for line in lines])[0] == sign


def test_the_reader_can_say_what_the_comma_is_and_the_record_tells_it():
    data = b"163,25\n164,26\n"
    assert log.read(data).names == ("value 1", "value 2")
    asked = log.read(data, decimal=",")
    assert asked.column("value").tolist() == [163.25, 164.26] and asked.decimal == ","
    assert "comma is the decimal sign: as asked" in asked.told
    assert any("nothing speaks for decimals" in told for told in log.read(data).told)


def test_the_account_in_words():
    told = str(log.read(b"t=1 c=1\nt=2 c=1\nt=3 c=1\nboot\nt=13 c=1\n"))
    assert "5 lines: 4 rows, 1 no number" in told and "line 4, 'boot'" in told
    assert "1 gaps, 9 rows missing at one each 1 s" in told and "times come from t" in told


# ---- which column is the time


@pytest.mark.parametrize(
    "data, name, times",
    [
        (b"t=1.0 c=5\nt=2.0 c=6\n", "t", [1.0, 2.0]),
        (b"t=25.1 C\nt=25.2 C\n", None, [0.0, 1.0]),
        (b"t=25.1\nt=25.0\nt=25.1\nt=24.9\n", None, [0.0, 1.0, 2.0, 3.0]),
        (b"t_ms: 500, c: 5\nt_ms: 1000, c: 6\n", "t_ms", [0.5, 1.0]),
        (b"time: 500 ms, c: 5\ntime: 1000 ms, c: 6\n", "time", [0.5, 1.0]),
        (b"t_us;c\n500000;7\n1000000;8\n", "t_us", [0.5, 1.0]),
        (b"uptime=5 c=5\nuptime=6 c=6\n", "uptime", [5.0, 6.0]),
        (b"".join(b"%d 163\n" % (500 * n) for n in range(12)), "value 1", [0.5 * n for n in range(12)]),
        (b"".join(b"163 %d\n" % (500 * n) for n in range(12)), None, [float(n) for n in range(12)]),
    ],
)
def test_the_time_column_is_found(data, name, times):
    record = log.read(data)
    assert record.time_name == name and record.times_s.tolist() == pytest.approx(times)


@pytest.mark.parametrize("of", ["milli", "micro"])
@pytest.mark.parametrize("ending", ["", "s", "seconds", "sec"])
def test_any_heading_of_thousandths_and_millionths_is_read(of, ending):
    step = {"milli": 500, "micro": 500_000}[of]
    record = log.read(f"{of}{ending},c\n{step},5\n{2 * step},6\n".encode())
    assert record.time_name == of + ending and record.times_s.tolist() == pytest.approx([0.5, 1.0])


def test_a_thousandth_of_a_volt_is_no_time():
    assert log.read(b"millivolts,c\n500,5\n1000,6\n").time_name is None


def test_the_reader_can_say_which_column_is_the_time():
    data = b"".join(b"163 %d\n" % n for n in range(3))
    assert log.read(data, time="value 2").times_s.tolist() == [0, 1, 2]
    assert log.read(data, time=1).time_name == "value 2"
    assert log.read(b"t=1 c=1\nt=2 c=2\n", time=False, period_s=0.5).times_s.tolist() == [0, 0.5]


def test_stamps_as_seconds_against_numpy():
    """Independent route: numpy's own reading of the same dates."""
    rng = np.random.default_rng(3)
    for moment in rng.integers(-2_000_000_000, 4_000_000_000, 300):
        text = str(np.datetime64(int(moment), "s"))
        parts = [np.array([float(part)]) for part in text.replace("T", "-").replace(":", "-").split("-")]
        seconds, good = stamp_seconds("datetime", parts)
        assert good.all() and seconds[0] == moment
        assert log.read(f"{text} 25.1\n".encode()).times_s.tolist() == [moment]


def test_days_that_do_not_exist():
    for date, exists in (((2024, 2, 29), True), ((2023, 2, 29), False), ((2100, 2, 29), False), ((2023, 13, 1), False)):
        assert stamp_seconds("date", [np.array([float(part)]) for part in date])[1].all() == exists


# ---- times that jump


def of(record, kind):
    return next((found.lines for found in record.time_notes if found.reason == kind), ())


def stamped(milliseconds):
    return b"".join(b"ms=%d c=163\n" % t for t in milliseconds)


def test_a_counter_of_32_bits_wraps():
    """2^32 ms = 4,294,967,296 ms = 49.7 days: the counter of most boards."""
    record = log.read(stamped([4_294_966_000, 4_294_966_500, 4_294_967_000, 204, 704]))
    assert (np.diff(record.times_s) == pytest.approx(0.5)) and of(record, "wrap") == (4,)
    assert not record.gaps().rows.size


def test_a_board_that_begins_again_goes_on_one_step_later():
    record = log.read(stamped([60_000, 60_500, 61_000, 0, 500, 1000, 0, 500]))
    assert record.times_s.tolist() == pytest.approx([60 + 0.5 * n for n in range(8)])
    assert of(record, "reset") == (4, 7)


def test_one_damaged_time_shifts_no_other():
    for damaged in (56, 99_999_999, 60_400):
        record = log.read(stamped([60_000, 60_500, damaged, 61_500, 62_000]))
        assert record.times_s.tolist() == pytest.approx([60, 60.5, 61, 61.5, 62]) and of(record, "stray") == (3,)
        assert record.column("ms")[2] == damaged


def test_steps_back_and_repeats_are_told_and_left():
    record = log.read(stamped([60_000, 60_500, 60_500, 61_000, 40_000, 40_500, 41_000]))
    assert of(record, "repeat") == (3,) and of(record, "back") == (5,)
    assert record.times_s.tolist() == pytest.approx([60, 60.5, 60.5, 61, 40, 40.5, 41])


def test_rows_without_a_time_have_the_one_before():
    times, found = mended(np.array([np.nan, 1.0, np.nan, 2.0]), 1.0)
    assert times.tolist() == [1, 1, 1, 2] and found["none"].tolist() == [0, 2]


def test_gaps_are_counted_in_missing_rows():
    """Two rows lost, then a marked gap that lost none, then a hundred rows lost."""
    lines = [f"{t:.3f}\t25.1\r" for t in (0, 1, 2, 5, 6)] + ["# gap"] + [f"{t:.3f}\t25.1\r" for t in (7, 108, 109)]
    gaps = log.read("\n".join([*lines, ""]).encode()).gaps()
    assert gaps.rows.tolist() == [3, 5, 6] and gaps.missing.tolist() == [2, 0, 100]
    assert gaps.marked.tolist() == [False, True, False] and gaps.seconds.tolist() == pytest.approx([3, 1, 101])


# ---- a real record


@pytest.fixture(scope="module")
def sea(tmp_path_factory):
    """Sea surface temperatures, half-hourly, of the package bokeh-sampledata 2026.1, written as a text log."""
    packed = resources.files("bokeh_sampledata") / "_data" / "sea_surface_temperature.csv.gz"
    _, *rows = gzip.decompress(packed.read_bytes()).decode("ascii").splitlines()
    data = [row.split(",") for row in rows]
    path = tmp_path_factory.mktemp("sea") / "sea.txt"
    lines = [f"{stamp};{value}\r\n" for stamp, value in data]
    lines[5000:5000] = ["station restarted\r\n", "\r\n"]
    path.write_text("time;sea\r\n" + "".join(lines), encoding="ascii", newline="")
    return log.read(path), data


def test_the_sea_record_against_facts_about_it(sea):
    """19,226 rows from 2016-02-15 to 2017-03-22 with one gap of 12 hours, one step of an hour and one time twice, as
    found by independent code from bokeh-sampledata 2026.1 (NERACOOS buoy data)."""
    record, data = sea
    assert record.rows == 19_226 and record.headers == 1 and record.blank == 1
    assert [(found.reason, found.lines) for found in record.skipped] == [("no number", (5002,))]
    assert np.array_equal(record.column("sea"), [float(value) for _, value in data])
    assert record.times_s[0] == np.datetime64("2016-02-15T00:00", "s").astype(int)
    assert str(np.datetime64(int(record.times_s[-1]), "s"))[:10] == "2017-03-22"
    assert record.period_s == 1800
    assert sorted(record.gaps().seconds.tolist()) == [3600, 43_200]
    assert [found.count for found in record.time_notes if found.reason == "repeat"] == [1]
    assert sorted(record.gaps().missing.tolist()) == [1, 23]


def test_the_sea_record_through_the_alarm(sea):
    """Every state as a plain loop finds it; a reading equal to the limit neither raises nor returns."""
    record, _ = sea
    times, values = record.series("sea")
    run = Alarm(high_c=20.0, deadband_c=0.5).run(values, times)
    state, states = 0, []
    for value in values.tolist():
        state = 1 if value > 20.0 else 0 if value < 19.5 else state
        states.append(state)
    raises = sum(after > before for before, after in zip([0, *states], states, strict=False))
    assert run.state.tolist() == states and 5 < raises < sum(states)
    assert [event.kind for event in run.events] == ["high"] * raises
