"""The rails: what is filled, outlined and hatched, and where the ink line falls."""

import pytest

from tempkit.chain import scenario, walk
from tempkit.draw import Look
from tempkit.draw.rails import CODE, READING, VOLTS, T
from tempkit.explorers import whole_chain


def spans(rails, rail, name):
    """Where the visible bars of a kind lie on a rail."""
    bars = [bar for bar in rails.bars[rail][name] if bar.get_visible()]
    return [pytest.approx((bar.get_x(), bar.get_x() + bar.get_width())) for bar in bars]


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("reference_v", [5.0, 2.0])
def test_the_bars_say_what_the_sensor_uses_and_what_the_next_step_cannot_see(room, reference_v):
    """-25 to 110 degC of the sensor, 0.4 to 1.48 V; a reference of 2 V leaves the rest of the voltage rail unseen."""
    rails = whole_chain.PLAN.picture(Look(room=room), None)
    rails.show(walk(scenario(nominal_v=reference_v), 25.0))
    used_t = (rails.x_t(-25.0), rails.x_t(110.0))
    used_v = (rails.x_v(0.4), rails.x_v(1.48))
    end = rails.x_v(reference_v)
    for rail in (T, READING):
        assert spans(rails, rail, "filled") == [used_t]
        assert spans(rails, rail, "hatched") == [(rails.left, used_t[0]), (used_t[1], rails.right)]
    for rail in (VOLTS, CODE):
        assert spans(rails, rail, "filled") == [used_v]
        assert spans(rails, rail, "outlined") == [(rails.left, end)]
    assert spans(rails, VOLTS, "hatched") == ([(end, rails.right)] if end < rails.right else [])
    assert spans(rails, CODE, "hatched") == []
