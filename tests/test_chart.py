"""Declared charts: how they share a picture."""

import numpy as np
import pytest

from tempkit.book import Book
from tempkit.draw import Axis, Chart, Charts, Fact, Facts, Line, Look, Markers


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("wide_first", [False, True])
def test_charts_above_one_another_begin_at_one_x_and_nothing_is_cut(room, wide_first):
    """However wide the numbers at their axes are, and whichever stands above."""
    line = Line(lambda result: (np.array([0.0, 1.0]), np.array([0.0, 1.0])))
    rows = [Chart(Axis("time", "s", (0, 1)), Axis("count", "", (0, top)), (line,)) for top in (1, 2_000_000)]
    picture = Charts(*(reversed(rows) if wide_first else rows))(Look(room=room)).show(None)
    renderer, axes = picture.canvas.get_renderer(), [row[0].axes for row in picture.panels]
    assert axes[0].get_position().x0 == pytest.approx(axes[1].get_position().x0)
    boxes = [each.get_tightbbox(renderer) for each in axes]
    assert all(box.x0 >= 0 and box.y0 >= 0 and box.x1 <= picture.look.size[0] for box in boxes)
    assert boxes[0].y0 >= boxes[1].y1, "the upper one stands above the lower one"


def ticks_of(axis, low, high):
    return [label.get_text() for label in axis.get_ticklabels() if low <= label.get_position()[0] <= high]


@pytest.mark.parametrize("span, told", [((0.2, 20.0), "0.2 0.5 1 2 5 10 20".split()), ((0.01, 100.0), None)])
def test_a_short_scale_of_tenfolds_has_numbers_within_each(span, told):
    """A long one has the tenfolds alone, and not so many that they meet."""
    line = Line(lambda result: (np.array(span), np.array(span)))
    picture = Charts(Chart(Axis("error", "V", span, log=True), Axis("y", "", span), (line,)))(Look()).show(None)
    picture.png()
    shown = ticks_of(picture.panels[0][0].axes.xaxis, *span)
    assert shown == told or all(float(number) in 10.0 ** np.arange(-2, 3) for number in shown)


def test_markers_beyond_the_axes_are_left_out():
    markers = Markers(lambda x: ([x, 2.0], [0.5, 0.5]))
    picture = Charts(Chart(Axis("x", "", (0, 3)), Axis("y", "", (0, 1)), (markers,)))().show(-1.0)
    drawn = picture.panels[0][0].axes.lines[0]
    assert drawn.get_xdata().tolist() == [2.0]
    assert picture.show(1.0) and drawn.get_xdata().tolist() == [1.0, 2.0]


def test_a_bare_chart_draws_its_marks_alone():
    line = Line(lambda result: ((0, 1), (0, 1)))
    charts = [Chart(Axis(ticks=()), Axis(ticks=()), (line,), bare=bare) for bare in (True, False)]
    bare, framed = (Charts(chart)().show(None).panels[0][0].axes for chart in charts)
    assert not any(side.get_visible() for side in bare.spines.values()) and not bare.axison
    assert framed.spines["left"].get_visible() and framed.axison


def test_the_back_row_may_have_fewer_heads_each_with_its_share():
    told = [Fact(key, key, lambda result, book: "1", head=key, short=short, wide=wide)
            for key, short, wide in (("a", "a", 2.0), ("b", "b", 1.0), ("c", None, 1.0))]  # fmt: skip
    chart = Chart(Axis("x"), Axis("y"), (Line(lambda result: ((0, 1), (0, 1))),))
    for room, parts in ((False, [0, 2 / 4, 3 / 4]), (True, [0, 2 / 3])):
        picture = Charts(chart, heads=Facts(told))(Look(room=room), Book(room=room)).show(None)
        places = [20 + part * (picture.look.size[0] - 20) for part in parts]
        assert [text.get_position()[0] for text in picture.values] == pytest.approx(places)
