"""The trace of a link: what is read of it, and a link that really runs and is followed without making anybody wait."""

import re
import time

import numpy as np
import pytest

import boards
from tempkit.board import Received, Splitter
from tempkit.book import Book
from tempkit.draw import Look
from tempkit.explorers import live_trace, live_watch, north_bench
from tempkit.explorers.lag import WIDE_C
from tempkit.explorers.trace import PICTURE, fitting, problems, trace, words


def came(*texts, first=0, every_s=1.0):
    """Lines as received, one after the other; None for a gap."""
    return [Received(first + i, first + i * every_s, each and each.encode()) for i, each in enumerate(texts)]


def seen(received, now_s=None, shown_s=60.0, **more):
    now_s = received[-1].at_s + 0.5 if now_s is None else now_s
    return trace(received, now_s, shown_s, len(received), 0, "PORT", **more)


# ---- what is read


def test_by_hand():
    lines = [f"t={i}.0 code=163 read=24.{i}" for i in range(5)]
    at = seen(came(*lines[:3], None, "board started", lines[3], "\x81\xff~", lines[4]))
    np.testing.assert_array_equal(at.readings_c, [24.0, 24.1, 24.2, 24.3, 24.4])
    np.testing.assert_array_equal(at.times_s, [0.0, 1.0, 2.0, 5.0, 7.0])
    np.testing.assert_array_equal(at.odd_s, [4.0, 6.0])
    assert at.gaps == ((3.0, 4.0),) and at.column == "read"
    assert at.last_c == 24.4 and at.age_s == 0.5


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("12.0,163,{:.1f}", None),
        ("{:.1f}", None),
        ("temp: {:.1f} C  supply: 4.99 V", "temp"),
        ("t_c={:.2f};163", "t_c"),
    ],
)
def test_lines_of_many_kinds(line, column):
    at = seen(came(*(line.format(24.0 + i / 10) for i in range(8))))
    np.testing.assert_allclose(at.readings_c, 24.0 + np.arange(8) / 10)
    assert column is None or at.column == column


def test_only_the_last_while_counts():
    at = seen(came(*(f"read={20 + i}" for i in range(30))), now_s=29.0, shown_s=10.0)
    np.testing.assert_array_equal(at.readings_c, np.arange(39, 50))


def test_a_gap_that_lasts_reaches_to_now():
    at = seen(came("read=24.8", None), now_s=31.0)
    assert at.gaps == ((1.0, 31.0),)
    assert "nothing has come for 31.0 s" in " ".join(problems(at, Book()))


def test_nothing_yet():
    at = seen([], now_s=3.0, state="opening")
    assert at.last_c is None and at.age_s is None and at.column == ""
    assert words(at, Book()) == (
        "PORT: 0 lines in the last 60 s, none a reading, no gap. No reading has come yet; the port is opening."
    )
    boot = seen(came("ready"))
    assert "1 line in the last 60 s, 1 of them no reading" in words(boot, Book())


def test_doubts():
    stuck = seen(came(*["read=24.8"] * 25))
    assert "all the same" in " ".join(problems(stuck, Book()))
    jump = seen(came("read=24.8", "read=249.0", "read=24.8"))
    assert "more than 10.0 °C from the one before" in " ".join(problems(jump, Book()))
    assert "18.0 °F" in " ".join(problems(jump, Book("degF")))
    assert not list(problems(seen(came("read=24.8", "read=24.7")), Book()))


def test_the_scale_fits_and_stands_still():
    for low, high in ((22.9, 23.4), (18.0, 27.0), (-10.0, 30.0)):
        bottom, top = fitting(np.array([low, high]))
        assert bottom <= low and high <= top
    assert fitting(np.array([23.0])) == fitting(np.array([23.2])), "a little movement leaves it"
    assert fitting(np.array([-74.7, 23.0])) == WIDE_C
    assert fitting(np.zeros(0), (18.0, 27.0)) == fitting(np.array([18.0, 27.0]))


# ---- the stored stretch


def stretch(happens, t_c=21.0, shown_s=120):
    return live_trace.compute(north_bench(), t_c, happens, shown_s)


def test_each_trouble_shows():
    calm = stretch("none")
    assert not calm.gaps and not calm.odd_s.size and np.abs(np.diff(calm.readings_c)).max() < 1.0
    assert calm.readings_c[:30].mean() == pytest.approx(24.0, abs=0.1)
    assert stretch("unplug").gaps[0][1] - stretch("unplug").gaps[0][0] == pytest.approx(18.0, abs=1.5)
    assert stretch("garbage").odd_s.size >= 3
    assert stretch("reset").odd_s.size == 1
    assert stretch("point").readings_c.size == calm.readings_c.size - 1, "its form is another"
    assert stretch("stuck").last_c == -74.7  # the middle of the lowest step: 2.4 mV
    assert stretch("reference").last_c == pytest.approx(calm.last_c * 5 / 4.75 + 75 * (5 / 4.75 - 1), abs=0.7)


def test_the_same_settings_give_the_same_stretch():
    first, again = stretch("garbage"), stretch("garbage")
    np.testing.assert_array_equal(first.readings_c, again.readings_c)
    assert words(first, Book()) == words(again, Book())


# ---- a link that runs


def read_lines(watch):
    """How many readings the present words count."""
    found = re.search(r"(\d+) lines? in the last", watch.words())
    return int(found[1]) if found else 0


@pytest.mark.slow
def test_the_pretend_board_is_followed_and_says_so(tmp_path):
    out = tmp_path / "log.txt"
    watch = live_watch.watch(out=out, pretend=("--scene", "steady", "--wait", "0.02"))
    assert watch.words() == live_watch.IDLE and watch._image.value == ""
    started = time.monotonic()
    watch.start()
    assert time.monotonic() - started < 0.5, "the notebook does not wait"
    boards.wait_for(lambda: read_lines(watch) > 5)
    assert watch.words().startswith("Pretend board, invented readings: ")
    assert 'alt="Pretend board' in watch._image.value and watch._button.description == "Stop"
    assert watch.stop() and watch._button.description == "Start"
    assert len(boards.rows(out.read_bytes())) > 5
    before = watch.words()
    time.sleep(0.7)
    assert watch.words() == before


@pytest.mark.slow
def test_a_port_is_followed_through_a_gap_and_started_again():
    board = boards.TcpBoard()
    watch = live_watch.watch(port=board.port)
    watch.start()
    board.plug()
    send_until(board, lambda: read_lines(watch) >= 2)
    assert watch.words().startswith(board.port)
    board.unplug()
    boards.wait_for(lambda: "1 gap" in watch.words())
    board.plug()
    send_until(board, lambda: "1 gap" in watch.words() and "The port" not in watch.words())
    watch.stop()
    board.unplug()
    watch.start()
    board.plug()
    send_until(board, lambda: "no gap" in watch.words() and read_lines(watch) >= 2)
    assert watch.stop()
    board.unplug()
    board.close()


def send_until(board, condition):
    def once():
        try:
            board.send(b"read=24.8\r\n")
        except OSError:  # the link has just hung up
            return True
        time.sleep(0.02)
        return condition()

    boards.wait_for(once)


def test_what_cannot_run_is_told(tmp_path):
    (tmp_path / "log.txt").write_text("precious\n", encoding="utf-8")
    for options, told in (
        ({"port": "nonsense://x"}, "nonsense"),
        ({"port": "PORT", "out": tmp_path / "log.txt"}, "no record with a start"),
        ({"pretend": ("--scene", "storm")}, "did not start"),
    ):
        watch = live_watch.watch(**options)
        watch.start()
        boards.wait_for(lambda: "cannot run" in watch.words())  # noqa: B023
        assert told in watch.words() and "press Start again" in watch.words()
        boards.wait_for(lambda: watch._button.description == "Start")  # noqa: B023
        assert "cannot run" in watch._spoken.value, "it is heard"
        assert watch.stop()


def test_stored_it_needs_no_kernel():
    bundle = live_watch.watch()._repr_mimebundle_()
    assert bundle["text/plain"] == live_watch.IDLE
    assert bundle["text/html"] == f"<p>{live_watch.IDLE}</p>"


def test_it_follows_the_reader_s_choices():
    watch = live_watch.watch(book=Book("degF", True))
    assert "tempkit-room" in watch._dom_classes and watch._picture.look.room


def test_splitter_never_loses_a_byte():
    rng = np.random.default_rng(3)
    data = rng.integers(8, 14, 5000).astype(np.uint8).tobytes()
    splitter, lines = Splitter(), []
    for chunk in boards.in_chunks(rng, data):
        lines += splitter.take(chunk)
    assert b"\n".join([*lines, splitter.half]) == data


# ---- drawn


@pytest.mark.parametrize("room", [False, True])
def test_no_number_of_one_axis_touches_one_of_the_other(room):
    """The scale begins at a whole 21 degC here, where the time begins too."""
    picture = PICTURE(Look(room), Book()).show(seen(came("read=22.9", "read=23.4")))
    (axes,) = (panel.axes for row in picture.panels for panel in row)
    renderer = picture.canvas.get_renderer()
    names = [
        [label.get_window_extent(renderer) for label in axis.get_ticklabels() if label.get_visible()]
        for axis in (axes.xaxis, axes.yaxis)
    ]
    assert axes.get_ylim() == (21.0, 25.0) and all(len(each) > 2 for each in names)
    assert not [1 for below in names[0] for beside in names[1] if below.overlaps(beside)]


def test_what_is_drawn_is_the_trace():
    """Dots, a hole in the line and a hatched bar for a gap, a cross for a line that is no reading."""
    at = seen(came("read=24.0", "read=24.2", None, "board started", "read=24.4"), limits_c=(18.0, 27.0))
    picture = PICTURE(Look(), Book()).show(at)
    axes = picture.panels[0][0].axes
    _, _, thread, dots, crosses = axes.lines
    np.testing.assert_allclose(dots.get_xdata(), [-4.5, -3.5, -0.5])
    assert np.isnan(thread.get_ydata()).sum() == 1 and np.isnan(thread.get_ydata()[2])
    np.testing.assert_allclose(crosses.get_xdata(), [-1.5])
    (bar,) = axes.collections[0].get_paths()
    assert bar.get_extents().x0 == -2.5 and bar.get_extents().x1 == -1.5
    assert [value.get_text() for value in picture.values] == ["24.4 °C", "0.5 s", "5", "0"]
    axes = picture.show(seen([], now_s=3.0)).panels[0][0].axes
    assert "no reading yet" in [text.get_text() for text in axes.texts]
