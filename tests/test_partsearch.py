"""A requirement, a catalogue of parts, and the search: against the whole budget, and against asking one by one."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.chain import ChainFileError, Design, Limits, loads, scenario
from tempkit.chain.file import dumps
from tempkit.choose import (
    Choice,
    Line,
    Requirement,
    assemble,
    binding,
    catalogue,
    check,
    doubt,
    places_of,
    price_of,
    search,
)
from tempkit.choose.requirement import noise_left, raises_per_min
from tempkit.uncertainty import chain_budget

PARTS, BENCH = catalogue(), Requirement()
FOUND = search(PARTS, BENCH)
SHAPE = tuple(len(axis) for axis in FOUND.axes)


def test_the_catalogue_gives_a_hundred_thousand_combinations():
    assert FOUND.passes.size == np.prod(SHAPE) > 100_000
    assert FOUND.passes.any() and not FOUND.passes.all()


def test_every_front_end_can_be_read_with_some_reference_or_fails_for_a_stated_reason():
    """No part of the catalogue is dead weight: each front end passes somewhere, or misses only guard band or price."""
    for number in range(SHAPE[0]):
        design, price = assemble(PARTS, Choice(number, 0, 1), BENCH)
        failed = {line.name for line in check(design, BENCH, price) if not line.passes}
        assert failed <= {"guard band at the low limit", "guard band at the high limit", "price (invented)"}


@given(st.integers(0, FOUND.passes.size - 1))
def test_the_search_says_what_the_check_says(number):
    """Independent route: one design at a time, by `propagate` for its own converter and samples."""
    choice = FOUND.choice(number)
    design, price = assemble(PARTS, choice, BENCH)
    lines = {line.name: line for line in check(design, BENCH, price)}
    assert FOUND.passes[number] == all(line.passes for line in lines.values())
    assert FOUND.price[number] == pytest.approx(price)
    assert FOUND.late_s[number] == pytest.approx(lines["late by"].does, abs=1e-6)
    if np.isfinite(FOUND.guard_c[number]):
        guards = [lines[f"guard band at the {side} limit"].does for side in ("low", "high")]
        assert FOUND.guard_c[number] == pytest.approx(max(guards), rel=1e-6)


def test_the_best_are_beaten_by_none():
    best = FOUND.best()
    price, guard = FOUND.price[FOUND.passes], FOUND.guard_c[FOUND.passes]
    assert best.size > 3 and FOUND.passes[best].all()
    for number in best:
        better = (price <= FOUND.price[number]) & (guard < FOUND.guard_c[number])
        assert not better.any()
    assert (np.diff(FOUND.price[best]) > 0).all() and (np.diff(FOUND.guard_c[best]) < 0).all()


def test_calls_are_counted_on_the_side_where_they_come_more_often():
    """A thermistor's noise in degC is not the same at both limits: what only the quieter one bears does not pass."""
    for number in np.flatnonzero(FOUND.passes):
        design, price = assemble(PARTS, FOUND.choice(number), BENCH)
        seen = [doubt(design, limit).smoothed(noise_left(design)).noise_c for limit in BENCH.limits_c]
        calls = raises_per_min(design.alarm.deadband_c, np.array(seen), 1.0)
        if max(calls) > 1.2 * min(calls) > 1e-3:
            break
    for allowed, passes in ((max(calls) * 1.01, True), (sum(calls) / 2, False)):
        assert search(PARTS, replace(BENCH, raises_per_min=allowed)).passes[number] == passes
    assert design.chain.sensor.called == "a thermistor"


def test_nothing_passes_an_impossible_requirement():
    assert search(PARTS, replace(BENCH, price=0.1)).best().size == 0


@pytest.mark.parametrize("front_end", range(SHAPE[0]))
def test_the_doubt_is_that_of_the_whole_budget(front_end):
    """The tables' own route: `chain_budget`, with its corrections as the bias."""
    design, _ = assemble(PARTS, Choice(front_end, 1, 2), BENCH)
    for limit in BENCH.limits_c:
        whole, ours = chain_budget(design, limit), doubt(design, limit)
        assert ours.standard_c == pytest.approx(whole.standard_c, rel=1e-9)
        assert ours.bias_c == pytest.approx(-whole.correction_c, abs=1e-9)
        assert ours.noise_c == pytest.approx(whole.row("noise at the pin").standard_c, rel=1e-9)


def test_a_line_by_hand():
    """The scenario at 27 degC: 1.5 degC of the sensor and 5 % of the reference, rectangular; one sample, no noise.

    u^2 = (1.5^2 + (0.05 * 102)^2 + (0.610 / 2)^2) / 3, guard 1.645 u; z from a table of the normal distribution.
    """
    design = Design("bench", scenario(), alarm=Limits(18.0, 27.0))
    line = next(line for line in check(design, BENCH) if line.name == "guard band at the high limit")
    by_hand = 1.6449 * ((1.5**2 + (0.05 * 102) ** 2 + 0.3052**2) / 3) ** 0.5
    assert line.does == pytest.approx(by_hand, rel=2e-3)  # the quotient of voltages is not quite a straight line
    assert line.margin == BENCH.room_c[1] - line.does and not line.passes


def test_calls_on_the_limit_against_a_simulation():
    """10^6 independent normal readings about the middle of the deadband, walked through by `Alarm`."""
    from tempkit.alarm import Alarm

    deadband, noise = 0.5, 0.4
    readings = np.random.default_rng(3).normal(27.0 - deadband / 2, noise, 1_000_000)
    raised = len(Alarm(high_c=27.0, deadband_c=deadband).run(readings).events)
    assert raises_per_min(deadband, noise, 1.0) == pytest.approx(raised * 60 / readings.size, rel=0.01)
    assert raises_per_min(0.5, 0.0, 1.0) == 0.0


def test_a_design_of_the_search_goes_through_a_chain_file():
    for number in FOUND.best():
        design, _ = assemble(PARTS, FOUND.choice(number), BENCH)
        assert loads(dumps(design)) == design


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"low_c": (17.0, 19.0)}, "must rise: coldest, called low"),
        ({"range_c": (20.0, 45.0)}, "must rise"),
        ({"level": 0.4}, "level 0.4 is outside 0.5 to 1"),
        ({"late_s": 0.0}, "late_s 0 s must be above 0"),
        ({"price": -1.0}, "price -1"),
    ],
)
def test_a_requirement_that_cannot_hold_is_refused(changes, words):
    with pytest.raises(ValueError, match=words):
        replace(BENCH, **changes)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("nonsense", "cannot be read"),
        ("[[reference]]\n", r"\[\[front_end\]\]: missing"),
        ("reference=[{name='x', price=-1.0}]\nfront_end=[]\nconverter=[]", "price = -1.0: must be a number, 0 or more"),
        ("reference=[{price=1.0}]\nfront_end=[]\nconverter=[]", "name = None: must be a text"),
        ("converter=[{name='x', price=1.0, bits=99}]\nfront_end=[]\nreference=[]", "bits = 99: must be a whole number"),
        (
            "front_end=[{name='x', price=1.0, colour='red'}]\nconverter=[]\nreference=[]",
            "colour: no such key; allowed here: name, price",
        ),
    ],
)
def test_a_catalogue_that_is_not_one_is_refused(text, words, tmp_path):
    path = tmp_path / "parts.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ChainFileError, match=words):
        catalogue(path)
    with pytest.raises(ChainFileError, match="cannot be read"):
        catalogue(tmp_path / "none.toml")


def test_a_limit_off_the_middle_has_less_room():
    """The room is to silent or to called, whichever is nearer; outside both it is below nothing."""
    design, _ = assemble(PARTS, Choice(6, 0, 2), BENCH)
    for high_c, room in ((27.0, 1.0), (27.75, 0.25), (26.25, 0.25), (28.5, -0.5)):
        moved = replace(design, alarm=replace(design.alarm, high_c=high_c))
        line = next(line for line in check(moved, BENCH) if line.name == "guard band at the high limit")
        assert line.wanted == pytest.approx(room)
    back = next(line for line in check(moved, BENCH) if line.name == "deadband")
    assert back.wanted == pytest.approx(1.0)  # the low limit still stands midway


def test_a_limit_that_cannot_be_seen_fails_without_end():
    low = replace(PARTS.references[2].part, nominal_v=0.7)  # saturated above 20 degC
    design, _ = assemble(PARTS, Choice(0, 2, 1), BENCH)
    lines = check(replace(design, chain=replace(design.chain, reference=low)), BENCH)
    does = {line.name: (line.does, line.passes) for line in lines}
    for name in ("guard band at the high limit", "calls on the limit", "one step at the limits"):
        assert does[name] == (float("inf"), False)


@pytest.mark.parametrize("alarm", [None, Limits(high_c=27.0), Limits(low_c=18.0)])
def test_a_design_without_both_limits_is_refused(alarm):
    with pytest.raises(ValueError, match="must have low_c and high_c"):
        check(Design("bench", scenario(), alarm=alarm), BENCH)


def test_what_binds_is_the_largest_part_used_not_the_smallest_margin():
    """A margin of 1 s of 60 s binds; one of 0.5 of 1 does not, though it is smaller."""
    lines = (Line("late by", "s", 60.0, 59.0), Line("deadband", "degC", 1.0, 0.5), Line("x", "s", 1.0, 2.0))
    assert binding(lines).name == "late by"
    assert binding(lines[2:]) is None


def test_parts_are_found_again_and_priced():
    for choice in (Choice(0, 0, 1), Choice(10, 5, 4), Choice(7, 2, 0)):
        design, price = assemble(PARTS, choice, BENCH)
        places = places_of(PARTS, design)
        assert places == (choice.front_end, choice.reference, choice.converter)
        assert price_of(PARTS, places) == price
    other = replace(design, chain=replace(design.chain, converter=replace(design.chain.converter, bits=9)))
    assert places_of(PARTS, other) == (7, 2, None) and price_of(PARTS, (7, 2, None)) is None


def test_a_margin_of_nothing_passes():
    assert Line("x", "s", 2.0, 2.0).passes and not Line("x", "s", 2.0, 2.1).passes
