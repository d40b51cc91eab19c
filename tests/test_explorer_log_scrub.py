"""Chapter 10's recorded log: what the window says, from the file by other routes; skipped lines and gaps in place."""

import numpy as np
import pytest

from tempkit import log, logmodel
from tempkit.book import Book
from tempkit.explorers import log_scrub
from tempkit.explorers.stage import north_bench
from tempkit.noise import averaged_error_lsb

BENCH = north_bench()


def at(log_name="evening", position=20.0, window_min=10, t_c=23.2, **more):
    return log_scrub.compute(BENCH, t_c, log_name, position, window_min, **more)


def plain(name):
    """Recorder seconds and readings of a demo log, by splitting text."""
    lines = (log_scrub.FOLDER / f"north-bench-{name}.txt").read_text(encoding="latin-1").split("\n")
    rows = [line.split("\t") for line in lines if line and not line.startswith("#")]
    return np.array([[float(seconds), float(said.split("read=")[1])] for seconds, said in rows]).T


def test_a_window_by_plain_text_and_numpy():
    here, (seconds, readings) = at(), plain("evening")
    minutes = (seconds - seconds[0]) / 60
    inside = (minutes >= here.start_min) & (minutes <= here.end_min)
    assert here.start_min == pytest.approx(0.2 * (minutes[-1] - 10))
    assert here.found.count == inside.sum() and np.array_equal(here.readings_c, readings[inside])
    assert here.found.offset_c.value == pytest.approx(readings[inside].mean() - 23.2)
    slope, level = np.polyfit(minutes[inside] / 60, readings[inside], 1)
    assert here.found.drift_c.value == pytest.approx(slope)
    by_row = np.polyfit(np.arange(inside.sum()), readings[inside], 1)
    left = readings[inside] - np.polyval(by_row, np.arange(inside.sum()))
    assert here.found.noise_c.value == pytest.approx(np.sqrt(left @ left / (inside.sum() - 2)))


def test_the_models_noise_by_hand():
    """2 mV over a step of 5 V / 1024 = 4.883 mV is 0.41 LSB; sixteen samples of that and of a step's 1/sqrt(12)."""
    sigma = 2.0 / 4.8828125
    rng = np.random.default_rng(2)
    codes = np.floor(rng.random((20_000, 1, 1)) + sigma * rng.standard_normal((20_000, 2, 16)) + 0.5).mean(axis=2)
    spread = np.sqrt(((codes[:, 0] - codes[:, 1]) ** 2).mean() / 2) * 0.48828125
    found = at().found.expected
    assert found.noise_c == pytest.approx(spread, rel=0.03)
    assert found.noise_c < averaged_error_lsb(sigma, 16) * found.step_c + 1e-12
    assert found.reading_c == pytest.approx(23.2) and 4 < found.expanded_c < 6


def test_the_bad_day_is_accounted_for():
    """Ten lines skipped and four kinds of fault, as data/README.md tells how the log was made."""
    record = at("messy").loaded.record
    assert sum(record.account().values()) == record.lines
    assert {found.reason for found in record.skipped} == {"wrong bytes", "other form", "other decimals"}
    unplugged = at("messy", position=70.0)
    assert unplugged.missing == 73 and "73 missing" in log_scrub.words(unplugged, Book())
    ends = unplugged.loaded.gaps
    widest = ends[np.argmax(ends[:, 1] - ends[:, 0])]
    assert widest * 60 == pytest.approx([1500, 1576], abs=3)


def test_skipped_lines_stand_between_their_neighbours():
    loaded = at("messy").loaded
    (bad,) = [found for found in loaded.record.skipped if found.reason == "wrong bytes"]
    before = loaded.record.line_numbers.searchsorted(bad.lines[0]) - 1
    zero = loaded.record.times_s[0]
    low, high = (loaded.record.times_s[row] - zero for row in (before, before + 1))
    assert (60 * loaded.skipped >= low).any() and ((60 * loaded.skipped >= low) & (60 * loaded.skipped <= high)).any()


def test_the_drift_that_was_put_in_comes_back():
    """data/README.md: a room that keeps to 21.0 degC, and an output that drifts by 0.6 degC an hour."""
    record = log.read(log_scrub.FOLDER / "north-bench-drift.txt")
    _, times, readings = logmodel.readings_c(record)
    found = logmodel.compare(times, readings, 21.0, BENCH)
    low, high = found.drift_c.interval(0.99)
    assert low <= 0.6 <= high or found.drift_c.value == pytest.approx(0.6, abs=0.01)


def test_a_log_of_ones_own(tmp_path):
    made = [f"{t},{24.0 + 0.1 * (t % 3):.1f}\n" for t in range(0, 1200)]
    made[600:900] = ["\xff\n"]
    (tmp_path / "north-bench-mine.txt").write_text("time_s,temp_c\n" + "".join(made), encoding="latin-1")
    here = at("mine", position=50.0, window_min=10, t_c=24.0, folder=tmp_path)
    assert here.missing == 300 and here.skipped == 1 and here.found.count == 300
    assert here.found.offset_c.value == pytest.approx(0.1, abs=0.01)
    (tmp_path / "north-bench-none.txt").write_text("hello\n", encoding="ascii")
    with pytest.raises(ValueError, match="holds no numbers"):
        at("none", folder=tmp_path)
    with pytest.raises(OSError):
        at("nowhere", folder=tmp_path)


def test_what_a_window_cannot_tell_is_told():
    book = Book()
    assert not list(at().problems(book))
    assert "the temperature itself moves" in " ".join(at(position=50.5, window_min=30).problems(book))
    assert "the temperature itself moves" in " ".join(at("csv", 50.0, 30, 22.0).problems(book))
    far = " ".join(at(t_c=130.0).problems(book))
    assert "sees nothing at 130.0 °C" in far and "beyond the picture's scale" in far


def test_too_few_readings_give_no_figures():
    found = logmodel.compare([0.0, 1.0], [25.0, 25.1], 25.0, BENCH)
    assert found.count == 2 and found.offset_c is None
    assert np.isnan(logmodel.compare([], [], 25.0).mean_c)


@pytest.mark.parametrize(
    "data, name, readings",
    [
        (b"code=153 temp=25.0\ncode=154 temp=25.5\n", "temp", [25.0, 25.5]),
        (b"n=7 x=77.0 F\nn=8 x=68.0 F\n", "x", [25.0, 20.0]),
        (b"t_s;adc\n1;153\n2;154\n", "adc", [24.951171875, 25.439453125]),
        (b"25.1\n25.2\n", "value", [25.1, 25.2]),
    ],
)
def test_the_column_of_temperatures(data, name, readings):
    found = logmodel.readings_c(log.read(data), BENCH.chain)
    assert found[0] == name and found[2].tolist() == pytest.approx(readings)
