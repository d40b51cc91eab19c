"""Chapter 10's recorded log: what the window says, from the file by other routes; skipped lines and gaps in place."""

import html
import re

import numpy as np
import pytest

from tempkit.book import Book
from tempkit.explorers import log_scrub, north_bench
from tempkit.logs import beside_model, log
from tempkit.signal import averaged_error_lsb

BENCH = north_bench()


def at(log="evening", position=20.0, window_min=10, t_c=23.2):
    return log_scrub.compute(BENCH, t_c, log, position, window_min)


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
    spread = np.sqrt(((codes[:, 0] - codes[:, 1]) ** 2).mean() / 2) * 0.6103515625
    found = at().found.expected
    assert found.noise_c == pytest.approx(spread, rel=0.03)
    assert found.noise_c < averaged_error_lsb(sigma, 16) * found.step_c + 1e-12
    assert found.reading_c == pytest.approx(23.2) and 5 < found.expanded_c < 7


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
    _, times, readings = beside_model.readings_c(record)
    found = beside_model.compare(times, readings, 21.0, BENCH)
    low, high = found.drift_c.interval(0.99)
    assert low <= 0.6 <= high or found.drift_c.value == pytest.approx(0.6, abs=0.01)


def test_a_log_of_ones_own(tmp_path):
    made = [f"{t},{24.0 + 0.1 * (t % 3):.1f}\n" for t in range(0, 1200)]
    made[600:900] = ["\xff\n"]
    (tmp_path / "mine.txt").write_text("time_s,temp_c\n" + "".join(made), encoding="latin-1")
    here = at(tmp_path / "mine.txt", position=50.0, window_min=10, t_c=24.0)
    assert here.missing == 300 and here.skipped == 1 and here.found.count == 300
    assert here.found.offset_c.value == pytest.approx(0.1, abs=0.01)
    (tmp_path / "none.txt").write_text("hello\n", encoding="ascii")
    with pytest.raises(ValueError, match="holds no numbers"):
        at(tmp_path / "none.txt")
    with pytest.raises(OSError):
        at(tmp_path / "nowhere.txt")


# ---- the reader's own file, opened in the explorer


@pytest.fixture
def own(tmp_path, monkeypatch):
    """A log of codes in the folder of the notebook, as a board may print it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TEMPKIT_STRICT", "1")
    lines = [f"{t};{163 + t % 2}\n" for t in range(1200)]
    (tmp_path / "my-evening.log").write_text("t_s;adc\n" + "".join(lines), encoding="ascii")
    return tmp_path


def open_by_button(explorer, typed):
    explorer._log_file.value = typed
    row = next(box for box in explorer.children if explorer._log_file in getattr(box, "children", ()))
    next(each for each in row.children if getattr(each, "description", "") == "Open").click()
    assert 'role="status"' in explorer._log_note.value
    return html.unescape(re.sub("<[^>]*>", "", explorer._log_note.value))


def test_a_file_may_be_called_what_it_will(own):
    (own / "my-evening.log").rename(own / "{lines} 100 %.log")
    assert log_scrub.explorer(file="{lines} 100 %.log").words().startswith("{lines} 100 %.log, column adc: 1201 lines")


@pytest.mark.parametrize("typed", ["my-evening.log", ' "{0}/my-evening.log" ', "./my-evening.log"])
def test_the_reader_s_own_log_is_opened(own, typed):
    """By its path; codes become temperatures by the design's chain, and the file is one of the choices from then on."""
    explorer = log_scrub.explorer(t_c=25.2)
    start = explorer.words()
    said = open_by_button(explorer, typed.format(own))
    assert said.startswith("Opened: my-evening.log; ") and "times come from t_s" in said
    words = explorer.words()
    assert words.startswith("my-evening.log, column adc: 1201 lines: 1200 rows, 0 skipped. Window from 2.0 to 12.0 min")
    assert words.replace("'", "&#x27;") in explorer._told.value and words[:40] in explorer._spoken.value
    assert explorer.result().found.mean_c == pytest.approx(BENCH.chain.reading(np.array([163, 164])).mean(), abs=0.01)
    pick = explorer._inputs["log"]
    explorer.reset()
    assert explorer.words() == start and pick.value == "evening"
    pick.value = next(value for label, value in pick.options if label == "my-evening.log")
    assert explorer.words() == words
    open_by_button(explorer, typed.format(own))
    assert [label for label, _ in pick.options].count("my-evening.log") == 1
    assert ("column of the readings", "adc") in explorer.plan.facts(explorer.result(), Book())


def test_a_log_that_grows_is_read_anew(own):
    explorer = log_scrub.explorer(file="my-evening.log")
    with (own / "my-evening.log").open("a", encoding="ascii") as log:
        log.write("1200;163\n")
    assert "1201 rows" in explorer.move(position=30.0)


@pytest.mark.parametrize(
    "typed, content, why",
    [
        ("", None, "no file is named: type the path of your log"),
        ("nowhere.log", None, "nowhere.log: No such file or directory. A path begins in {0}, or is a whole one"),
        (".", None, ".: Is a directory"),
        ("words.log", b"hello\nworld\n", "words.log: the log holds no numbers beside the time: look at"),
        ("bytes.log", bytes(range(256)), "bytes.log: the log holds no numbers"),
        ("empty.log", b"", "empty.log: the log holds no numbers"),
        ("one.log", b"25.1\n", "one.log: the log holds 1 readings: two or more, at different times, are needed"),
        ("a\0b", None, "embedded null"),
    ],
)
def test_a_log_that_cannot_be_used_is_refused_and_nothing_is_lost(own, typed, content, why):
    if content is not None:
        (own / typed).write_bytes(content)
    explorer = log_scrub.explorer(log="messy", position=70.0)
    before = (explorer.words(), explorer._image.value, explorer._inputs["log"].options)
    said = open_by_button(explorer, typed)
    assert said.startswith("Not opened: ") and why.format(own) in said
    assert (explorer.words(), explorer._image.value, explorer._inputs["log"].options) == before
    with pytest.raises((OSError, ValueError), match=re.escape(why.format(own))):
        explorer.open_log(typed)


def test_an_own_log_can_be_read_where_nothing_runs(own):
    """Given in the cell, it is the start that Reset goes back to, and the stored output needs no kernel and no file."""
    explorer = log_scrub.explorer(file="my-evening.log")
    words = explorer.words()
    explorer.move(log="messy")
    explorer.reset()
    assert explorer.words() == words
    bundle = explorer._repr_mimebundle_()
    assert bundle["text/plain"] == words and bundle["text/html"].startswith("<img alt=")
    assert "my-evening.log" in bundle["text/html"] and str(own) not in bundle["text/html"]


def test_what_a_window_cannot_tell_is_told():
    book = Book()
    assert not list(at().problems(book))
    assert "the temperature itself moves" in " ".join(at(position=50.5, window_min=30).problems(book))
    assert "the temperature itself moves" in " ".join(at("csv", 50.0, 30, 22.0).problems(book))
    far = " ".join(at(t_c=130.0).problems(book))
    assert "sees nothing at 130.0 °C" in far and "beyond the picture's scale" in far


def test_too_few_readings_give_no_figures():
    found = beside_model.compare([0.0, 1.0], [25.0, 25.1], 25.0, BENCH)
    assert found.count == 2 and found.offset_c is None
    assert np.isnan(beside_model.compare([], [], 25.0).mean_c)


@pytest.mark.parametrize(
    "data, name, readings",
    [
        (b"code=163 temp=24.8\ncode=164 temp=25.4\n", "temp", [24.8, 25.4]),
        (b"n=7 x=77.0 F\nn=8 x=68.0 F\n", "x", [25.0, 20.0]),
        (b"t_s;adc\n1;163\n2;164\n", "adc", [163.5 * 5000 / 1024 / 8 - 75, 164.5 * 5000 / 1024 / 8 - 75]),
        (b"25.1\n25.2\n", "value", [25.1, 25.2]),
    ],
)
def test_the_column_of_temperatures(data, name, readings):
    found = beside_model.readings_c(log.read(data), BENCH.chain)
    assert found[0] == name and found[2].tolist() == pytest.approx(readings)


# ---- drawn


def bars(panel, which):
    """From, to, foot and top of each bar of one mark."""
    paths = panel.axes.collections[which].get_paths()
    return np.array([np.r_[path.get_extents().intervalx, path.get_extents().intervaly] for path in paths])


def test_the_picture_shows_the_window_its_gaps_and_its_skipped_lines():
    explorer = log_scrub.explorer(log="messy", position=70.0)
    here, ((whole,), (near,)) = explorer.result(), explorer._picture.panels
    low, high = here.loaded.scale_c
    np.testing.assert_allclose(bars(whole, 0), [[here.start_min, here.end_min, low, high]])
    np.testing.assert_allclose(bars(whole, 1)[:, :2], here.loaded.gaps)
    inside = [gap for gap in here.loaded.gaps if gap[1] > here.start_min and gap[0] < here.end_min]
    drawn = bars(near, 1)
    np.testing.assert_allclose(drawn[:, :2], np.clip(inside, here.start_min, here.end_min) - here.start_min)
    assert (drawn[:, 2:] == [low, high]).all()
    crosses, (readings, *_, near_crosses) = whole.axes.lines[-1], near.axes.lines
    np.testing.assert_allclose(crosses.get_xdata(), here.loaded.skipped)
    assert near_crosses.get_xdata().size == here.skipped and readings.get_xdata().size == here.found.count


def test_handles_are_controls_and_the_back_row_hears_figures_alone():
    marks = (*log_scrub.WHOLE.marks, *log_scrub.NEAR.marks)
    assert {mark.handle for mark in marks if getattr(mark, "handle", "")} == {"position", "t_c"}
    explorer = log_scrub.explorer(room=True)
    assert [value.get_text() for value in explorer._picture.values] == [
        "offset −0.09 °C", "noise 0.082 °C", "drift +1.21 °C/h"
    ]  # fmt: skip
    explorer.size(False)
    assert explorer._picture.values[1].get_text() == "0.082 °C ± 0.005 °C"


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("log", ["evening", "csv", "comma"])
def test_numbers_of_a_low_chart_do_not_touch(room, log):
    explorer = log_scrub.explorer(log=log, room=room)
    renderer = explorer._picture.canvas.get_renderer()
    for (panel,) in explorer._picture.panels:
        low, high = panel.axes.get_ylim()
        ticks = [tick for tick in panel.axes.yaxis.get_major_ticks() if low <= tick.get_loc() <= high]
        boxes = sorted((tick.label1.get_window_extent(renderer) for tick in ticks), key=lambda box: box.y0)
        assert boxes and all(under.y1 < over.y0 + 2 for under, over in zip(boxes, boxes[1:], strict=False))
