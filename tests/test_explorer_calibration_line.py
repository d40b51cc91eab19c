"""Chapter 09's explorer: corrections and their uncertainty by other routes, and boiling points."""

from dataclasses import replace

import numpy as np
import pytest

from references import reference
from tempkit.book import Book
from tempkit.chain import Design, scenario
from tempkit.draw import ORANGE, PAPER
from tempkit.exercises import Posed, problem
from tempkit.exercises.kinds import record
from tempkit.explorers import calibration_line, north_bench
from tempkit.explorers.calibration_line import TOP_C
from tempkit.uncertainty import Input, fit_line, propagate

START = {"ice_off_c": 0.7, "warm_off_c": 1.3, "hot_off_c": 2.1, "warm_c": 40.0, "better_c": 0.2}
WRITTEN_DIGITS = 0.005  # two digits after the point
CROWD = 0.01  # relative: some 6 standard errors of the spread of 200,000 trials


def at(t_c, points, altitude_m=300.0, design=None, **changed):
    settings = {**START, **changed}
    return calibration_line.compute(design or north_bench(), t_c, points=points, altitude_m=altitude_m, **settings)


def test_two_points_by_hand():
    """Readings 0.7 and 41.3, true 0 and 40: slope 40/40.6, so 25.0 becomes 24.3 x 0.98522 = 23.94."""
    here = at(25.0, "near")
    assert here.corrected_c == pytest.approx(23.941, abs=0.001)
    assert here.correction_c == pytest.approx(-1.059, abs=0.001)
    assert here.residuals_c == pytest.approx((0.0, 0.0))


def test_one_point_shifts_by_the_same_everywhere():
    for t_c in (-30.0, 25.0, 90.0):
        assert at(t_c, "one").correction_c == pytest.approx(-0.7, abs=1e-4)


def test_band_of_one_point_holds_the_slopes_that_the_tolerance_allows():
    """Independent route: a crowd of slopes spread evenly over +-5 %, all right at the ice point."""
    slopes = np.random.default_rng(7).uniform(-0.05, 0.05, 200_000)
    ice = np.random.default_rng(8).normal(0.0, at(27.0, "one").u_c[0], slopes.size)
    crowd = ice + slopes * (27.0 - 0.7)
    assert at(27.0, "one").u_correction_c == pytest.approx(crowd.std(), rel=CROWD)


def test_a_known_reference_leaves_one_point_nothing_to_widen():
    fixed = Design("fixed reference (invented)", scenario(nominal_v=2.5, kind="fixed", supply_v=5.0))
    assert at(90.0, "one", design=fixed).u_correction_c == pytest.approx(at(0.7, "one").u_correction_c)


@pytest.mark.parametrize("t_c", [-30.0, 25.0, 61.3, 90.0])
def test_the_line_carries_each_point_as_the_law_of_propagation_does(t_c):
    """`propagate` differentiates the whole fit numerically; the explorer uses the points' weights."""
    here = at(t_c, "line")
    inputs = [Input(t, standard=u) for t, u in zip(here.true_c, here.u_c, strict=True)]
    result = propagate(lambda *true: fit_line(here.readings_c, true).predict(t_c), inputs)
    assert here.corrected_c == pytest.approx(result.value, abs=1e-9)
    assert here.u_correction_c == pytest.approx(result.standard, rel=1e-6)


def test_scatter_against_numpy():
    here = at(25.0, "scatter")
    x, y = np.array(here.readings_c), np.array(here.true_c) - np.array(here.readings_c)
    slope, level = np.polyfit(x, y, 1)
    left = y - level - slope * x
    spread = np.sqrt((left**2).sum() / (x.size - 2))
    standard = spread * np.sqrt(1 / 3 + (25.0 - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum())
    assert here.u_correction_c == pytest.approx(standard, rel=1e-9)
    assert here.k == pytest.approx(12.71, abs=WRITTEN_DIGITS)  # JCGM 100:2008, Table G.2


def test_points_near_each_other_say_little_far_away():
    near = at(90.0, "near", warm_c=20.0).expanded_c
    assert near > 1.5 * at(90.0, "far").expanded_c  # the weather's limits widen the far point
    assert near > 10 * at(90.0, "far", pressure="barometer").expanded_c


def test_boiling_point_follows_the_altitude():
    """ISO 2533:1975 for the pressure and IAPWS for the boiling point, as stored in references/water.json."""
    entry = reference("isa")
    heights, boiling = entry.inputs["h_geopotential_m"], entry.expected["boil_degC"]
    for height, printed in zip(heights, boiling, strict=True):
        assert at(25.0, "far", height).true_c[2] == pytest.approx(printed, abs=entry.tolerance["boil"])


def test_a_barometer_narrows_the_boiling_point():
    """Limits of 2,000 Pa and of 100 Pa, rectangles, at 0.0285 degC for 100 Pa at 300 m; reading 0.05 degC."""
    loose, tight = at(25.0, "far").u_c[2], at(25.0, "far", pressure="barometer").u_c[2]
    expected = [(0.0285**2 * hpa**2 / 3 + 0.05**2) ** 0.5 for hpa in (20, 1)]
    assert [loose, tight] == pytest.approx(expected, rel=0.003)


def test_what_does_not_work_is_told():
    book = Book()
    told = " ".join(at(90.0, "near").problems(book))
    assert "41.3 °C" in told and "guess" in told
    assert "wrong slope" in " ".join(at(25.0, "one").problems(book))
    assert not list(at(25.0, "line").problems(book))
    sensor = replace(scenario().sensor, range_c=(0.0, 60.0))
    cool = Design("cool sensor (invented)", replace(scenario(), sensor=sensor))
    assert "range does not hold boiling" in " ".join(at(25.0, "far", design=cool).problems(book))


def lines(explorer):
    """The lines of the chart by what they are: the points with their bars, the way to a place beyond, U, the ring."""
    drawn = explorer._picture.panels[0][0].axes.lines
    points = [dict(zip(("leader", "bar", "mark"), drawn[4 + 3 * i : 7 + 3 * i], strict=True)) for i in range(3)]
    return points, dict(zip(("beyond", "expanded", "down", "across", "ring"), drawn[13:], strict=True))


def test_a_correction_beyond_the_scale_is_told_and_drawn():
    explorer = calibration_line.explorer(ice_off_c=3.0, hot_off_c=-3.0, points="far", t_c=-30.0)
    assert explorer.result().correction_c < -TOP_C
    assert "beyond the picture's scale" in explorer.words()
    _, way = lines(explorer)
    assert way["beyond"].get_visible() and not way["ring"].get_visible()
    explorer.move(hot_off_c=3.0)
    assert way["ring"].get_visible() and not way["beyond"].get_visible()


def test_points_are_drawn_where_they_read_and_filled_where_they_count():
    explorer = calibration_line.explorer(points="far")
    at, (points, way) = explorer.result(), lines(explorer)
    for i, point in enumerate(points):
        off_c = at.true_c[i] - at.readings_c[i]
        assert point["mark"].get_xdata() == [at.readings_c[i]] and point["mark"].get_ydata() == pytest.approx([off_c])
        assert point["bar"].get_ydata() == pytest.approx([off_c - 2 * at.u_c[i], off_c + 2 * at.u_c[i]])
    assert [point["mark"].get_markerfacecolor() for point in points] == [ORANGE, PAPER, ORANGE]
    assert way["expanded"].get_ydata() == pytest.approx(
        [at.correction_c - at.expanded_c, at.correction_c + at.expanded_c]
    )


def test_marks_that_can_be_dragged_name_controls_that_are_there():
    marks = calibration_line.CHART.marks
    handles = {getattr(mark, name, "") for mark in marks for name in ("handle", "handle_y")} - {""}
    assert handles == {"t_c", "ice_off_c", "warm_off_c", "warm_c", "hot_off_c"}
    assert handles <= {control.name for control in calibration_line.PLAN.controls}


def test_practice_knows_the_published_line_and_its_usual_slip():
    """JCGM 100:2008, H.3: 0.0041 degC at 30 degC, and 0.0073 degC where the covariance is left out."""
    posed = problem("09-covariance").problem
    figures = record(posed.names)(0.0029, 0.00067, -0.93, 30)
    published = reference("gum-h3-b30").expected["u_b"]
    assert Posed(posed, figures).check(f"{published} °C").right
    assert Posed(posed, figures).check("0.0073 °C").way == "covariance-ignored"
