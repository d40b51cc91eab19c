"""Chapter 11's explorers: figures by other routes, what stays untold until a cause is named, bytes as text."""

import re
from pathlib import Path

import numpy as np
import pytest

from tempkit.book import Book
from tempkit.chain import file
from tempkit.explorers import fault_hunt, fault_log, north_bench
from tempkit.explorers.controls import GUESS, SHORT, UNDECIDED
from tempkit.explorers.fault_hunt import TEST, true_key
from tempkit.explorers.fault_picture import readable, view_c
from tempkit.faults import FAULTS, fault, heard_lines, possible, rank

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
BENCH = fault_log.furnished(north_bench())
KEYS = tuple(each.key for each in possible(BENCH))


@pytest.fixture(autouse=True)
def strict(monkeypatch):
    monkeypatch.setenv("TEMPKIT_STRICT", "1")


def words_seen(explorer):
    """All words that are seen in the picture."""
    texts = explorer._picture.figure.findobj(lambda artist: hasattr(artist, "get_text") and artist.get_visible())
    return [text.get_text() for text in texts]


# ---- a fault and its log


def test_every_fault_can_be_chosen_and_has_a_short_name():
    assert tuple(SHORT) == tuple(each.key for each in FAULTS)
    assert max(map(len, SHORT.values())) <= 18


def test_a_healthy_bench_stands_beside_the_same_bench():
    at = fault_log.compute(north_bench(), 21.0, "healthy", 3)
    assert np.array_equal(at.log.reading_c, at.healthy.reading_c)
    assert at.met == at.right


@pytest.mark.parametrize("key", KEYS)
def test_the_log_is_that_of_the_fault(key):
    """By the other route: the case simulated and written out here."""
    at = fault_log.compute(north_bench(), 21.0, key, 5)
    lines = heard_lines(fault(key).case(BENCH, np.random.default_rng(5)), TEST)
    assert at.line == lines[1]
    if key != "baud":
        printed = [float(re.search(rb"read=(-?[\d.]+)", line)[1]) for line in lines]
        assert at.log.reading_c == pytest.approx(printed)


def test_the_same_bench_number_is_the_same_bench():
    """Without the fault both are one bench: same true supply, same sensor."""
    first, *others = [fault_log.compute(north_bench(), 21.0, key, 7).healthy for key in ("sag", "lamp", "noisy")]
    assert all(np.array_equal(first.reading_c, other.reading_c) for other in others)


def test_the_meter_tells_what_the_log_cannot():
    lamp = fault_log.compute(north_bench(), 21.0, "lamp", 1)
    assert np.array_equal(lamp.log.reading_c, lamp.healthy.reading_c)
    assert (lamp.met[2].lamp_v, lamp.right[2].lamp_v) == (pytest.approx(5.0, abs=0.3), 2.0)
    table = fault_log.table(lamp, Book())
    assert table.count("&#9664;") == 1 and "lamp, tested" in table.split("&#9664;")[1].split("</tr>")[0]


def test_heat_and_safety_are_told():
    words = fault_log.explorer(fault="turned").words()
    assert "Remove the power at once" in words and "1.20 W turn into heat" in words
    assert "1.20 W" not in fault_log.explorer(fault="no ground").words()


def test_a_log_that_cannot_be_read():
    explorer = fault_log.explorer(fault="baud")
    assert "No line can be read" in explorer.words()
    assert "no line can be read" in words_seen(explorer)
    assert "No line" not in explorer.move(fault="sag")
    assert "no line can be read" not in words_seen(explorer)


def test_a_fault_that_a_bench_cannot_have_is_told():
    """A thermistor in a divider has no legs to turn."""
    design = file.read(CHAINS / "north-bench-thermistor.toml")
    explorer = fault_log.explorer(design, fault="turned")
    assert "cannot have that fault" in explorer.words()
    assert np.array_equal(explorer.result().log.reading_c, explorer.result().healthy.reading_c)


@pytest.mark.parametrize("path", sorted(CHAINS.glob("*.toml")), ids=lambda path: path.stem)
def test_every_design_file_works(path):
    explorer = fault_log.explorer(file.read(path))
    for key in SHORT:
        assert re.search(r"\d", explorer.move(fault=key))


def test_views_hold_the_readings_and_stand_still_while_the_room_changes():
    explorer = fault_log.explorer(fault="sag")
    frames = {
        explorer._picture.frame(explorer.plan.compute(north_bench(), t_c, "sag", 1)) for t_c in (15.0, 21.0, 28.0)
    }
    assert len(frames) == 1
    for key in KEYS:
        at = fault_log.compute(north_bench(), 21.0, key, 1)
        low, high = view_c(at.logs)
        assert at.log.reading_c.size == 0 or ((low <= at.log.reading_c) & (at.log.reading_c <= high)).mean() >= 0.98


@pytest.mark.parametrize("line, text", [(b"t=1.0 read=25\r\n", "t=1.0 read=25"), (b"\x00\xff$a\n", "···a"), (b"", "")])
def test_bytes_as_text(line, text):
    assert readable(line) == text


# ---- a log and its cause


def test_nothing_is_given_away_before_a_cause_is_named():
    explorer = fault_hunt.explorer()
    for number in range(1, 16):
        words = explorer.move(log=number)
        true = explorer.result().true
        shown = (
            words + explorer._table.value + explorer.static_html() + str(explorer.plan.facts(explorer.result(), Book()))
        )
        assert "Name a cause" in words
        assert true.name not in shown and true.look not in shown, number
        assert "Remove the power" not in shown


def test_naming_a_cause_tells_ranking_truth_and_check():
    explorer = fault_hunt.explorer(log=2)
    at = explorer.result()
    wrong = next(key for key in KEYS if key not in (at.true.key, at.ranking.best.fault.key))
    words = explorer.move(guess=wrong)
    assert f"It was: {at.true.name}." in words and f"You said: {fault(wrong).name}." in words
    assert at.check in words and at.ranking.best.fault.name in words
    assert "You found it." in explorer.move(guess=at.true.key)


def test_another_log_takes_the_cause_back():
    explorer = fault_hunt.explorer(log=2, guess="sag")
    assert "It was" in explorer.words()
    explorer._inputs["log"].value = 3.0
    assert explorer.settings()["guess"] == UNDECIDED and "Name a cause" in explorer.words()
    explorer._inputs["guess"].value = "sag"
    explorer._inputs["prints"].value = "reading"
    assert explorer.settings()["guess"] == UNDECIDED
    explorer._inputs["guess"].value = "sag"
    explorer._inputs["t_c"].value = 40.0
    assert explorer.settings()["guess"] == "sag"


def test_every_cause_comes_once_in_a_round_and_the_order_is_not_that_of_the_list():
    first = [true_key(number, KEYS) for number in range(1, len(KEYS) + 1)]
    second = [true_key(number, KEYS) for number in range(len(KEYS) + 1, 2 * len(KEYS) + 1)]
    assert sorted(first) == sorted(second) == sorted(KEYS)
    assert first != second and first != list(KEYS)


def test_most_logs_can_be_found():
    """Of sixty logs, how often does the ranking name the true cause, or one that no log can tell from it?"""
    found = 0
    for number in range(1, 61):
        at = fault_hunt.compute(north_bench(), 25.0, number, "both", UNDECIDED)
        found += at.true.key in {at.ranking.best.fault.key, *(each.key for each in at.ranking.alike)}
    assert found >= 57


def test_without_the_code_the_log_says_less():
    explorer = fault_hunt.explorer(log=1, guess="count")
    both = explorer.result()
    alone = explorer.plan.compute(north_bench(), 25.0, 1, "reading", "count")
    assert b"code" in both.line and b"code" not in alone.line
    assert alone.code_at_rest() is None and both.code_at_rest() is not None
    again = rank([b"read=%.1f" % value for value in alone.log.reading_c], BENCH, TEST)
    assert again.best.fault.key == alone.ranking.best.fault.key


def test_the_ruler_counts():
    explorer = fault_hunt.explorer(log=2)
    readings = explorer.result().log.reading_c
    for ruler in (-20.0, 22.0, 60.0):
        words = explorer.move(t_c=ruler)
        count = int((readings > ruler).sum())
        assert not readings.size or f"{count} of {readings.size} readings lie above the ruler" in words


def test_guesses_are_all_faults():
    assert [value for value, _ in GUESS.options] == [UNDECIDED, *SHORT]


def test_every_cause_that_is_named_is_whole_above_the_picture():
    explorer = fault_hunt.explorer()
    picture = explorer._picture
    renderer = picture.canvas.get_renderer()
    for key in SHORT:
        explorer.move(guess=key)
        boxes = [text.get_window_extent(renderer) for text in picture.values]
        assert all(left.x1 < right.x0 for left, right in zip(boxes, boxes[1:], strict=False)), SHORT[key]
        assert boxes[-1].x1 <= picture.look.size[0], SHORT[key]
