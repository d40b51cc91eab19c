"""Declared charts: how they share a picture."""

import numpy as np
import pytest

from tempkit.draw import Look
from tempkit.draw.chart import Axis, Chart, Charts, Line


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
