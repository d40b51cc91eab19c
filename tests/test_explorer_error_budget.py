"""Chapter 05's explorer: shares, gains and verdicts by other routes, and each slider at its own bar."""

from dataclasses import replace
from math import inf, sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.book import Book
from tempkit.chain import Calibration, Design, Extras, Noise, file, kinds, scenario
from tempkit.draw import Look
from tempkit.explorers import Explorer, error_budget
from tempkit.explorers.error_budget import (
    BINS,
    FOOT,
    PLAN,
    REACH_C,
    ROWS,
    SHORT,
    TRIALS,
    compute,
    facts,
    gain_c,
    words,
)
from tempkit.uncertainty import NAMES, chain_budget, propagate

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
BENCH = file.read(CHAINS / "north-bench-ice-point.toml")
SPEC = replace(BENCH, calibration=None)  # before any calibration
TWO = replace(BENCH, calibration=Calibration(0.0, second_c=40.0, thermometer_u_c=0.05, left_c=0.5))
DESIGNS = [SPEC, BENCH, TWO]
# The standard deviation of n trials is uncertain by u / root(2 n) or less here: 0.3 %; four of these, and
# what the reference's 5 % bend the formula (0.05^2), make 2 %.
CROWD = 0.02


def parts(design, t_c=25.0):
    return {part.name: part for part in compute(design, t_c).parts}


@pytest.mark.parametrize("design", DESIGNS)
@pytest.mark.parametrize("t_c", [-25.0, 0.0, 25.0, 110.0])
def test_shares_make_a_whole_and_stand_in_order(design, t_c):
    found = compute(design, t_c).parts
    assert sum(part.share for part in found) == pytest.approx(1.0, abs=1e-9)
    sizes = [part.standard_c for part in found]
    assert sizes == sorted(sizes, reverse=True)
    assert [part.gain_c for part in found] == sorted((part.gain_c for part in found), reverse=True)


def test_the_figures_by_hand():
    """±1.5 degC over root 3; 5 % of 801.3 mV at 8 mV/degC over root 3; ±2 steps of 0.610 degC over root 3.

    801.3 mV: 800 mV, half of the 1.6 mV of self-heating and half of the 1 mV of the lead.
    """
    found = parts(SPEC)
    assert found["sensor accuracy"].standard_c == pytest.approx(1.5 / sqrt(3))
    assert found["reference voltage"].standard_c == pytest.approx(0.05 * 801.3 / 8 / sqrt(3), rel=1e-4)
    assert found["converter offset"].standard_c == pytest.approx(2 * 5000 / 1024 / 8 / sqrt(3))
    assert found["sensor accuracy"].worst_c == pytest.approx(1.5)


HALVED = {
    "sensor accuracy": lambda d: _sensor(d, accuracy_c=d.chain.sensor.accuracy_c / 2),
    "reference voltage": lambda d: _chain(d, "reference", tolerance=d.chain.reference.tolerance / 2),
    "converter offset": lambda d: _chain(d, "converter", offset_lsb=d.chain.converter.offset_lsb / 2),
    "converter gain, at full scale": lambda d: _chain(d, "converter", gain_lsb=d.chain.converter.gain_lsb / 2),
    "converter INL": lambda d: _chain(d, "converter", inl_lsb=d.chain.converter.inl_lsb / 2),
    "reference drift": lambda d: replace(d, budget=replace(d.budget, board_swing_c=d.budget.board_swing_c / 2)),
    "self-heating": lambda d: replace(d, budget=replace(d.budget, self_heating_c=d.budget.self_heating_c / 2)),
    "lead drop": lambda d: replace(d, budget=replace(d.budget, lead_drop_v=d.budget.lead_drop_v / 2)),
}


def _chain(design, part, **fields):
    changed = {part: replace(getattr(design.chain, part), **fields)}
    return replace(design, chain=replace(design.chain, **changed))


def _sensor(design, **fields):
    return _chain(design, "sensor", **fields)


@pytest.mark.parametrize("name", HALVED)
@pytest.mark.parametrize("t_c", [-20.0, 25.0, 90.0])
def test_halving_gains_what_the_changed_design_gains(name, t_c):
    """Independent route: the whole budget of a design with half of it. Its best estimate moves by half of a
    correction at most, and with it the reference's part: 0.1 degC of 100 degC, squared in the root."""
    before, after = chain_budget(SPEC, t_c), chain_budget(HALVED[name](SPEC), t_c)
    assert parts(SPEC, t_c)[name].gain_c == pytest.approx(before.expanded_c - after.expanded_c, rel=0.002, abs=0.004)


@pytest.mark.parametrize("design", DESIGNS)
def test_halving_gains_what_the_law_of_propagation_says(design):
    """Every contribution, also those of the steps and of the calibration, with its own input halved."""
    at = compute(design, 25.0)
    gains = {part.name: part.gain_c for part in at.parts}
    for i, one in enumerate(at.budget.inputs):
        half = replace(one, standard=one.standard / 2, half_width=one.half_width and one.half_width / 2)
        inputs = [*at.budget.inputs[:i], half, *at.budget.inputs[i + 1 :]]
        left_c = propagate(at.budget.function, inputs).expanded(0.95)
        assert gains[one.name] == pytest.approx(at.budget.expanded_c - left_c, rel=1e-4, abs=1e-6), one.name


@given(st.lists(st.floats(0.0, 10.0), min_size=2, max_size=10).filter(lambda parts: max(parts) > 0.01))
def test_the_largest_contribution_gains_most(sizes):
    whole = sqrt(sum(size**2 for size in sizes))
    gains = [gain_c(whole, size, 2.0) for size in sizes]
    assert gains[sizes.index(max(sizes))] == max(gains)
    assert all(-1e-9 <= gain <= whole * (1 + 1e-9) for gain in gains)


@pytest.mark.parametrize("design", DESIGNS)
@pytest.mark.parametrize("t_c", [0.0, 25.0, 60.0])
def test_trials_and_first_order_have_the_same_spread(design, t_c):
    """Their mean lies off by what first order leaves out: a third of 0.05 squared of the signal, in degC."""
    at = compute(design, t_c)
    assert at.trials_c.size == TRIALS
    assert at.trials_c.std() == pytest.approx(at.budget.standard_c, rel=CROWD)
    assert abs(at.trials_c.mean()) < CROWD * at.budget.standard_c + 0.002 * abs(t_c + 75)


# What a slider moves: the named rows and no other. Bits and noise act on what is counted in steps.
IN_STEPS = {"converter offset", "converter gain, at full scale", "converter INL", "quantisation"}
MOVES = {
    "accuracy_c": (4.0, {"sensor accuracy"}),
    "tolerance_percent": (8.0, {"reference voltage"}),
    "drift_ppm": (400.0, {"reference drift"}),
    "offset_lsb": (5.0, {"converter offset"}),
    "gain_lsb": (6.0, {"converter gain, at full scale"}),
    "inl_lsb": (4.0, {"converter INL"}),
    "bits": (8, IN_STEPS),
    "noise_mv": (0.5, {"noise at the pin", "quantisation"}),
    "heating_c": (1.5, {"self-heating"}),
    "lead_mv": (8.0, {"lead drop"}),
}


@pytest.mark.parametrize("control", MOVES)
def test_each_slider_moves_its_own_bar(control):
    value, own = MOVES[control]
    explorer = error_budget.explorer(SPEC)
    before = {part.name: part for part in explorer.result().parts}
    explorer.move(**{control: value})
    after = {part.name: part for part in explorer.result().parts}
    for name, part in after.items():
        moved = abs(part.standard_c / before[name].standard_c - 1) > 0.05
        assert moved == (name in own), name


def test_sliders_of_the_calibration_move_their_bars():
    explorer = error_budget.explorer(BENCH)
    assert explorer._inputs["thermometer_u_c"].disabled is False
    before = {part.name: part for part in explorer.result().parts}
    explorer.move(thermometer_u_c=0.3)
    assert parts(explorer.design())["thermometer of the calibration"].standard_c == pytest.approx(0.3)
    explorer.move(left_c=1.5)
    after = {part.name: part for part in explorer.result().parts}
    assert after["sensor, away from the points"].standard_c == pytest.approx(1.5 / sqrt(3))
    assert after["reference voltage"].standard_c == pytest.approx(before["reference voltage"].standard_c)
    explorer.move(calibrated="two")
    assert explorer.design().calibration == Calibration(0.0, second_c=40.0, thermometer_u_c=0.3, left_c=1.5)
    assert {part.name for part in explorer.result().parts} >= {"readings at the second point"}
    explorer.move(calibrated="none")
    assert explorer.design().calibration is None and explorer._inputs["left_c"].disabled
    assert "thermometer of the calibration" not in {part.name for part in explorer.result().parts}


def test_a_calibration_that_uses_the_usual_second_point_first_gets_another():
    warm = replace(BENCH, calibration=Calibration(40.0, thermometer_u_c=0.05))
    explorer = error_budget.explorer(warm)
    explorer.move(calibrated="two")
    assert explorer.design().calibration.points_c == (40.0, 0.0)


def normal_bench():
    """Noise of one sample towers over the rest, so the trials are as good as normal."""
    chain = scenario(bits=16)
    chain = replace(
        chain,
        sensor=replace(chain.sensor, accuracy_c=0.0),
        reference=replace(chain.reference, kind="fixed", tolerance=0.0),
    )
    return Design("noise alone (invented)", chain, noise=Noise(input_v=0.008, samples=1))


def test_what_clause_8_says():
    """u = 1 degC, normal: no end can be off by half a degree. The bench's one wide rectangle: too far even for that.

    Route for the second: the ends of a million other trials. A reference of 3 % leaves two rectangles of like width.
    """
    quiet, bench = compute(normal_bench(), 25.0), compute(SPEC, 25.0)
    assert quiet.holds(Book())[0] is True and quiet.apart_c < 3 * quiet.blur_c
    assert bench.holds(Book()) == (False, False) and "report the Monte Carlo interval" in words(bench, Book())
    low, high = bench.budget.simulated(10**6, seed=99).interval(0.95)
    own = np.array([low, high]) - bench.budget.reading_c
    assert bench.simulated_c == pytest.approx(own, abs=2 * bench.blur_c)
    better = compute(_chain(SPEC, "reference", tolerance=0.03), 25.0)
    assert better.holds(Book()) == (True, False)
    assert "too far for two digits of u (0.05 °C), near enough for one (0.5 °C)" in words(better, Book())


def test_a_verdict_that_trials_cannot_give_is_not_given():
    at = compute(SPEC, 25.0)
    near = replace(at, apart_c=0.06, blur_c=0.02)
    assert near.holds(Book()) == (True, None) and "perhaps too far for two digits" in words(near, Book())
    one = replace(at, apart_c=0.51, blur_c=0.02)
    assert one.holds(Book())[0] is None and "more trials must say" in words(one, Book())
    fine = replace(at, apart_c=0.01, blur_c=0.02)
    assert fine.holds(Book()) == (True, True) and "that two digits of u allow" in words(fine, Book())


def test_digits_are_those_of_the_readers_scale():
    """0.84 degC has its first digit in the tenths, 1.51 degF before the point."""
    at = compute(BENCH, 25.0)
    assert at.allowed(Book()) == pytest.approx((0.05, 0.005))
    assert at.allowed(Book("degF")) == pytest.approx((0.5, 0.05))


def test_a_measured_reference_is_told():
    measured = file.read(CHAINS / "north-bench-measured.toml")
    at = compute(measured, 25.0)
    assert parts(measured)["reference voltage"].standard_c == 0.0
    assert "its tolerance plays no part" in words(at, Book())
    assert dict(facts(at, Book()))["correction to add to a reading"] == "−3.52 °C"


def test_no_budget_where_nothing_is_seen():
    """South bench: 80 degC give 1.24 V, and the reference is 1.2 V. In degF the reason is told in degF."""
    south = file.read(CHAINS / "south-bench-low-reference.toml")
    at = compute(south, 80.0)
    assert at.budget is None and "176.0 °F" in words(at, Book("degF")) and "saturated" in words(at, Book())
    assert facts(at, Book())[1][0] == "no budget"
    for room in (False, True):
        shares, sums = drawn(at, room)
        assert "no budget here" in seen(shares) and not bars(shares).get_paths()
        assert not [path for c in sums.collections for path in c.get_paths()] and not seen(sums)
    hot_point = replace(south, calibration=Calibration(80.0, thermometer_u_c=0.1))
    assert "80.0 °C" in words(compute(hot_point, 25.0), Book())


def drawn(at, room, book=None):
    """The two charts of a picture: contributions, and what they come to."""
    picture = PLAN.picture(Look(room), book or Book()).show(at)
    return [panel.axes for [panel] in picture.panels]


def bars(axes, place=0):
    return axes.collections[place]


def ends(axes, place):
    """From and to of the first bar of a mark."""
    x = axes.collections[place].get_paths()[0].vertices[:, 0]
    return x.min(), x.max()


def seen(axes):
    """The words on a chart by their places."""
    return {text.get_text(): text for text in axes.texts if text.get_visible() and text.get_text()}


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("scale", ["degC", "degF"])
def test_the_picture_holds_what_the_budget_says(room, scale):
    book = Book(scale, room)
    at = compute(BENCH, 25.0)
    upper, lower = drawn(at, room, book)
    shares = [np.ptp(path.vertices[:, 0]) for path in bars(upper).get_paths()]
    assert len(shares) == ROWS[room] and sum(shares) == pytest.approx(1.0, abs=1e-9)
    assert shares[0] == pytest.approx(at.parts[0].share)
    assert f"{len(at.parts) - ROWS[room] + 1} others" in seen(upper)
    expanded, worst, simulated = (ends(lower, place) for place in range(3))
    for drawn_ends, sum_c in ((expanded, at.budget.expanded_c), (worst, at.budget.worst_sum_c)):
        assert drawn_ends == pytest.approx([side * book.span_from_celsius(sum_c) for side in (-1, 1)])
    assert simulated == pytest.approx([book.span_from_celsius(end) for end in at.simulated_c])
    told = [word for word in seen(lower) if word.startswith(f"±{book.span(at.budget.expanded_c, 2)}")]
    assert len(told) == 1 and ("k = " in told[0]) == (not room)


@pytest.mark.parametrize("room", [False, True])
def test_trials_and_normal_curve_have_the_same_area(room):
    """Both are one normal curve's height at most; the axis holds all of them here."""
    at = compute(SPEC, 25.0)
    _, lower = drawn(at, room)
    x, y = next(patch.get_xy() for patch in lower.patches if patch.get_visible()).T
    trials = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
    curve_x, curve_y = next(line.get_data() for line in lower.lines if len(line.get_xdata()) == 4 * BINS + 1)
    assert trials == pytest.approx(np.trapezoid(curve_y - FOOT, curve_x), rel=0.01)


@pytest.mark.parametrize("room", [False, True])
def test_every_name_fits_beside_its_bar(room):
    """Also in bold, as the first has it."""
    upper, _ = drawn(compute(SPEC, 25.0), room)
    first = seen(upper)["reference" if room else "reference voltage"]
    assert first.get_fontweight() == "bold"
    parts = [part for role in ("sensor", "circuit") for kind in kinds(role).values() for part, _ in kind.examples()]
    doubts = [each.doubts(25.0 if each.role == "sensor" else "fixed") for each in parts]
    for name in (*NAMES.values(), *(doubt.name for each in doubts for doubt in each.values())):
        first.set_text(SHORT.get(name, name) if room else name)
        box = first.get_window_extent(upper.figure.canvas.get_renderer())
        assert 0 < box.x0 and box.x1 < upper.get_window_extent().x0, name


def test_the_axis_stands_still_but_for_the_calibration():
    """What is wider than the axis is told by an arrow and its number."""
    explorer = error_budget.explorer(SPEC)
    picture = explorer._picture
    frames = set()
    for control, (value, _) in MOVES.items():
        explorer.move(**{control: value})
        frames.add(picture._frame)
    assert len(frames) == 1
    explorer.move(accuracy_c=5.0, tolerance_percent=10.0, t_c=100.0)
    assert explorer.result().budget.worst_sum_c > REACH_C[False]
    arrows = [line for line in picture.panels[1][0].axes.lines if line.get_marker() in "<>"]
    assert [len(artist.get_xdata()) for artist in arrows] == [3, 3]
    explorer.reset()
    assert [len(artist.get_xdata()) for artist in arrows] == [0, 0]


def test_extras_of_the_file_survive_a_slider():
    explorer = Explorer(error_budget.PLAN, SPEC)
    explorer.move(drift_ppm=100.0)
    assert explorer.design().budget == replace(SPEC.budget, reference_drift_ppm_per_c=100.0)
    bare = Explorer(error_budget.PLAN)
    bare.move(drift_ppm=100.0)
    assert bare.design().budget == Extras(reference_drift_ppm_per_c=100.0, board_swing_c=10.0)
    assert bare.result().budget.dof == inf
