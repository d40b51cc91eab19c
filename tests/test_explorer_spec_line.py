"""Chapter 01's explorer: the line, what its limits allow, and where nothing is promised."""

from dataclasses import replace

import numpy as np
import pytest

from tempkit.book import Book
from tempkit.chain import Design, LinearSensor, scenario
from tempkit.draw import Look
from tempkit.explorers import north_bench, spec_line
from tempkit.explorers.controls import SENSOR_SUPPLY

BOOK = Book()
HALF_MILLIVOLT = 0.0005  # what three digits after the point leave open


def bench(chain=None, **sensor):
    chain = chain or scenario()
    return Design("test bench (invented)", replace(chain, sensor=LinearSensor(**sensor)))


def told(explorer):
    return spec_line.words(explorer.result(), BOOK)


def test_the_line_of_the_bench():
    """600 mV + 25 x 8 mV = 800 mV, and 1.5 degC are 12 mV: worked by hand."""
    at = spec_line.compute(north_bench(), 25.0)
    assert at.volts == pytest.approx(0.800, abs=1e-12)
    assert at.band_v == pytest.approx((0.788, 0.812), abs=1e-12)
    assert at.fits_c == pytest.approx((23.5, 26.5), abs=1e-12)
    assert at.ends_v == pytest.approx((0.4, 1.48), abs=1e-12)
    assert at.side == "inside"
    assert at.problems() == ()


@pytest.mark.parametrize(
    ("slope", "limits_c", "t_c"), [(0.008, 1.5, 25.0), (0.018, 3.0, 18.0), (-0.005, 1.5, 27.0)]
)
def test_a_crowd_of_allowed_sensors_fills_the_limits(slope, limits_c, t_c):
    """Independent route: many sensors, each with its own constant error within the limits, tried by force."""
    at = spec_line.compute(bench(at_0c_v=1.0, slope_v_per_c=slope, accuracy_c=limits_c), t_c)
    errors_c = np.linspace(-limits_c, limits_c, 401)
    outputs = 1.0 + slope * (t_c + errors_c)
    assert (outputs.min(), outputs.max()) == pytest.approx(at.band_v, abs=1e-9)
    air_c = np.linspace(t_c - 10, t_c + 10, 2001)
    lowest = np.min(1.0 + slope * (air_c[:, None] + errors_c), axis=1)
    highest = np.max(1.0 + slope * (air_c[:, None] + errors_c), axis=1)
    fit = air_c[(lowest <= at.volts + 1e-12) & (at.volts - 1e-12 <= highest)]
    assert (fit.min(), fit.max()) == pytest.approx(at.fits_c, abs=0.011)  # the grid's step is 0.01 degC


def test_two_points_give_back_the_line():
    """530 mV at 10 degC and 1430 mV at 60 degC: 900 mV over 50 degC, by hand 18 mV/degC and 350 mV."""
    design = bench(at_0c_v=0.35, slope_v_per_c=0.018)
    volts = [spec_line.compute(design, t_c).volts for t_c in (10.0, 60.0)]
    assert volts == pytest.approx([0.530, 1.430], abs=1e-9)


@pytest.mark.parametrize(
    ("supply_v", "side"),
    [(2.0, "below"), (2.95, "below"), (3.0, "inside"), (5.6, "inside"), (5.65, "above"), (6.0, "above")],
)
def test_the_ends_of_the_window_belong_to_it(supply_v, side):
    explorer = spec_line.explorer(sensor_supply_v=supply_v)
    at = explorer.result()
    assert at.side == side
    assert (at.volts is None) == (side != "inside")
    assert f"is {side} the window of 3 V to 5.6 V" in told(explorer)


@pytest.mark.parametrize("t_c", [-25.0, 110.0])
def test_the_ends_of_the_range_belong_to_it(t_c):
    at = spec_line.compute(north_bench(), t_c)
    assert at.volts == pytest.approx(0.6 + 0.008 * t_c, abs=1e-12)
    assert at.fits_c == ((-25.0, -23.5) if t_c < 0 else (108.5, 110.0))
    assert "where the range ends" in spec_line.words(at, BOOK)


@pytest.mark.parametrize("t_c", [-25.1, 110.1, 125.0])
def test_beyond_the_range_nothing_is_promised(t_c):
    at = spec_line.compute(north_bench(), t_c)
    assert (at.volts, at.band_v, at.fits_c) == (None, None, None)
    assert "−25.0 °C to 110.0 °C" in spec_line.words(at, BOOK)


@pytest.mark.parametrize("t_c", [-25.0, 110.0])
@pytest.mark.parametrize("slope_mv", np.arange(1.0, 20.5, 0.5))
def test_rounding_does_not_push_an_end_out(slope_mv, t_c):
    at = spec_line.compute(bench(at_0c_v=1.0, slope_v_per_c=slope_mv / 1000), t_c)
    assert at.held_c == at.range_c
    assert at.volts is not None


def test_a_line_below_0_v_is_cut_and_told():
    explorer = spec_line.explorer(at_0c_mv=0.0, t_c=-10.0)
    assert explorer.result().volts is None
    assert "below 0.0 °C the line asks for less than 0 V" in told(explorer)
    assert explorer.move(t_c=10.0).startswith("At 10.0 °C the line gives 0.080 V.")


def test_a_line_above_the_supply_is_cut_and_told():
    """1000 mV + 20 mV/degC reaches 3.00 V at 100 degC."""
    explorer = spec_line.explorer(at_0c_mv=1000.0, slope_mv=20.0, sensor_supply_v=3.0, t_c=110.0)
    at = explorer.result()
    assert at.volts is None
    assert at.held_c == pytest.approx((-25.0, 100.0), abs=1e-9)
    assert "above 100.0 °C the line asks for more than the supply of 3.00 V" in told(explorer)


def test_a_falling_line_is_cut_at_its_own_end():
    """1000 mV - 10 mV/degC reaches 0 V at 100 degC."""
    at = spec_line.compute(bench(at_0c_v=1.0, slope_v_per_c=-0.01), 110.0)
    assert at.held_c == pytest.approx((-25.0, 100.0), abs=1e-9)
    assert at.problems(BOOK.temperature) == (
        "above 100.0 °C the line asks for less than 0 V, which a sensor on one supply cannot give",
    )


def test_a_line_wholly_above_the_supply_is_told():
    at = spec_line.compute(bench(at_0c_v=9.0), 25.0)
    assert (at.held_c, at.volts) == (None, None)
    assert "everywhere the line asks for more than the supply of 5.00 V" in at.problems()[0]
    picture = spec_line.PLAN.picture(Look(), BOOK)
    assert picture.show(at).png().startswith(b"\x89PNG")


def test_a_true_sensor_never_gives_less_than_0_v_or_more_than_its_supply():
    assert spec_line.compute(bench(at_0c_v=0.0), 1.0).band_v == pytest.approx((0.0, 0.02), abs=1e-12)
    at = spec_line.compute(bench(at_0c_v=4.79), 25.0)
    assert at.band_v == pytest.approx((4.978, 5.0), abs=1e-12)


def test_without_limits_one_temperature_fits():
    words = spec_line.explorer(accuracy_c=0.0).words()
    assert "which no real sensor has, 0.800 V fits 25.0 °C alone" in words


@pytest.mark.parametrize(
    ("chain", "supply_v"),
    [
        (scenario(), 5.0),
        (scenario(true_v=4.83), 4.83),
        (scenario(nominal_v=1.2, kind="fixed", supply_v=3.3), 3.3),
        (scenario(nominal_v=1.2, kind="fixed"), 5.0),
    ],
)
def test_the_supply_comes_from_the_design_and_goes_back_there(chain, supply_v):
    design = Design("test bench (invented)", chain)
    assert SENSOR_SUPPLY.read(design) == supply_v
    changed = SENSOR_SUPPLY.write(design, 3.05)
    assert SENSOR_SUPPLY.read(changed) == 3.05
    assert spec_line.compute(changed, 25.0).supply_v == 3.05
    assert changed.chain.reference.nominal_v == chain.reference.nominal_v


def test_a_ratiometric_line_follows_its_supply():
    """At 4.75 V instead of 5 V the output is 95 % of 0.8 V; the limits stay what they are in degrees."""
    design = Design("test bench (invented)", scenario(true_v=4.75, ratiometric_at_v=5.0))
    at = spec_line.compute(design, 25.0)
    assert at.volts == pytest.approx(0.76, abs=1e-12)
    assert at.fits_c == (23.5, 26.5)


def test_the_reader_s_scale_changes_words_and_not_volts():
    at = spec_line.compute(north_bench(), 25.0)
    words = spec_line.words(at, Book("degF"))
    assert words.startswith("At 77.0 °F the line gives 0.800 V. With limits of ±2.7 °F")
    assert "from 74.3 °F to 79.7 °F" in words
    assert "°C" not in words


def test_the_sum_above_the_chart_gives_the_same_voltage_in_both_scales():
    at = spec_line.compute(north_bench(), 25.0)
    sums = [spec_line.line_sum(at, Book(scale)) for scale in ("degC", "degF")]
    assert sums == ["600 mV + 8.0 mV/°C × 25.0 °C", "600 mV + 4.44 mV/°F × (77.0 °F − 32 °F)"]
    assert 0.6 + 0.00444 * (77 - 32) == pytest.approx(at.volts, abs=HALF_MILLIVOLT)


@pytest.mark.parametrize("room", [False, True])
def test_axes_stand_still_while_a_slider_moves(room):
    picture = spec_line.PLAN.picture(Look(room), BOOK)
    frames = set()
    for control in spec_line.PLAN.controls:
        for value in (control.low, control.high):
            frames.add(picture.frame(spec_line.explorer(**{control.name: value}).result()))
    assert len(frames) == 1


def test_facts_hold_what_the_picture_shows():
    rows = dict(spec_line.FACTS.rows(spec_line.compute(north_bench(), 25.0), BOOK))
    assert rows["lowest and highest output within the limits"] == "0.788 V to 0.812 V"
    assert (rows["limits"], rows["limits as a voltage"]) == ("±1.5 °C", "±12 mV")
    assert "mind" not in rows


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("limits_c", [0.1, 0.4, 1.5, 5.0])
def test_the_ends_of_both_bars_are_told_apart(limits_c, room):
    """However narrow the limits are, no two numbers at an axis of the lens touch."""
    picture = spec_line.explorer(accuracy_c=limits_c, room=room)._picture
    renderer = picture.canvas.get_renderer()
    axes = picture.panels[0][1].axes
    for ends in (("0.7", "0.8"), ("2", "3")):
        boxes = [each.get_window_extent(renderer) for each in axes.texts if each.get_text().startswith(ends)]
        assert len(boxes) == 2 and not boxes[0].overlaps(boxes[1])
