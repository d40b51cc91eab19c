"""The rails: what is filled, outlined and hatched, and where the ink line falls."""

import pytest

from tempkit.chain import scenario, walk
from tempkit.draw import Look, Rails


def spans(rails, row, name):
    """Where the visible bars of a kind lie on a rail."""
    bars = [bar for bar in rails.bars[row][name] if bar.get_visible()]
    return [pytest.approx((bar.get_x(), bar.get_x() + bar.get_width())) for bar in bars]


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("reference_v", [5.0, 2.0])
def test_the_bars_say_what_the_sensor_uses_and_what_the_next_step_cannot_see(room, reference_v):
    """-40 to 125 degC of the sensor, 0.1 to 1.75 V; a reference of 2 V leaves the rest of the voltage rail unseen."""
    rails = Rails(Look(room=room))
    rails.show(walk(scenario(nominal_v=reference_v), 25.0))
    used_t = (rails.x_t(-40.0), rails.x_t(125.0))
    used_v = (rails.x_v(0.1), rails.x_v(1.75))
    end = rails.x_v(reference_v)
    for row in ("temperature", "reading"):
        assert spans(rails, row, "filled") == [used_t]
        assert spans(rails, row, "hatched") == [(rails.left, used_t[0]), (used_t[1], rails.right)]
    for row in ("voltage", "code"):
        assert spans(rails, row, "filled") == [used_v]
        assert spans(rails, row, "outlined") == [(rails.left, end)]
    assert spans(rails, "voltage", "hatched") == ([(end, rails.right)] if end < rails.right else [])
    assert spans(rails, "code", "hatched") == []
