"""Chapter 13's explorer: its table against the check, its picture against the search, its file against the parts."""

import re
from dataclasses import replace

import numpy as np
import pytest

from tempkit.board import write
from tempkit.book import Book
from tempkit.chain import file
from tempkit.choose import Choice, Line, Requirement, assemble, check, margin_told, places_of, search, told
from tempkit.explorers import Explorer, design_project, north_bench
from tempkit.explorers.design_project import GUARDS_C, OWN_PART, PARTS, PRICES, compute, explorer, table
from tempkit.uncertainty import chain_budget

BENCH = Requirement()
STRICT = replace(BENCH, low_c=(18.5, 17.5), high_c=(26.5, 27.5), late_s=40.0, price=6.0)
GOOD = {"front_end": 6, "converter": 2, "samples_2n": 6, "smoothing_s": 5.0, "on_delay": 3, "deadband_c": 0.2}


@pytest.fixture(autouse=True)
def strict(monkeypatch):
    monkeypatch.setenv("TEMPKIT_STRICT", "1")


def ring_of(explorer):
    """The ring of the present design in the picture."""
    return next(line for line in explorer._picture.panels[0][0].axes.lines if line.get_marker() == "o")


def test_the_controls_make_the_design_that_the_search_makes():
    """The explorer sets one part after the other, `assemble` all at once: every choice of the front, to the digit."""
    best = search(PARTS, BENCH)
    one = explorer()
    for number in best.best():
        choice = best.choice(number)
        one.move(
            front_end=choice.front_end,
            reference=choice.reference,
            converter=choice.converter,
            samples_2n=np.log2(choice.samples),
            smoothing_s=choice.smoothing_s,
            on_delay=choice.on_delay,
            deadband_c=choice.deadband_c,
        )
        held, (made, price) = one.result(), assemble(PARTS, choice, BENCH)
        alarm = replace(held.design.alarm, off_delay_samples=made.alarm.off_delay_samples)
        assert replace(held.design, alarm=alarm, title=made.title, link=None) == made
        assert held.price == price and not held.fails
        assert held.guard_c == pytest.approx(best.guard_c[number], rel=1e-9)


def test_what_a_reading_is_worth_is_that_of_the_whole_budget():
    """Independent route: `chain_budget` of the unsmoothed design, its noise times what smoothing leaves by hand."""
    held = explorer(smoothing_s=10.0, t_c=22.0).result()
    whole = chain_budget(held.design, 22.0)
    noise = whole.row("noise at the pin").standard_c
    factor = 1 - np.exp(-1.0 / 10.0)
    by_hand = np.sqrt(whole.standard_c**2 - noise**2 + noise**2 * factor / (2 - factor))
    assert held.standard_c == pytest.approx(by_hand, rel=1e-9)


def test_beyond_the_sensor_there_is_no_reading():
    held = explorer(front_end=9, t_c=-20.0).result()
    assert held.standard_c is None and "At −20.0 °C there is no reading." in design_project.words(held, Book())


def test_the_table_says_passes_or_fails_in_words():
    held = explorer().result()
    rows = re.findall(r'<th scope="row">(.*?)</th>.*?<td>([^<]*|<strong>fails</strong>)</td></tr>', table(held, Book()))
    assert [name for name, _ in rows] == [line.name for line in held.lines]
    assert ["fails" in verdict for _, verdict in rows] == [not line.passes for line in held.lines]
    assert all(re.fullmatch(r"passes|<strong>fails</strong>", verdict) for _, verdict in rows)


@pytest.mark.parametrize(
    ("line", "scale", "does", "margin"),
    [
        (Line("late by", "s", 60.0, 47.56), "degC", "47.6 s", "+12.4 s"),
        (Line("warmest reading", "degC", 45.0, 40.0, most=False), "degF", "104.0 °F", "−9.00 °F"),
        (Line("deadband", "degC", 1.0, 0.5), "degF", "0.90 °F", "+0.90 °F"),
        (Line("price (invented)", "", 12.0, 12.5), "degC", "12.50", "−0.50"),
        (Line("coldest reading", "degC", 0.0, float("inf")), "degC", "none", "none"),
        (Line("calls on the limit", "1/min", 3.0, 3.25), "degC", "3.25 a minute", "−0.25 a minute"),
    ],
)
def test_numbers_and_margins_as_told(line, scale, does, margin):
    assert told(line, line.does, Book(scale)) == does
    assert margin_told(line, Book(scale)) == margin


def test_the_scale_of_the_picture_holds_every_combination():
    price, guard, _ = search(PARTS, BENCH).points()
    assert PRICES[0] <= price.min() and price.max() <= PRICES[1]
    assert GUARDS_C[0] <= guard.min() and guard.max() <= GUARDS_C[1]


def test_the_points_are_the_combinations():
    all_of = search(PARTS, BENCH)
    price, guard, passes = all_of.points()
    seen = np.isfinite(all_of.guard_c)
    every = {*zip(all_of.price[seen].round(9), all_of.guard_c[seen].round(9), strict=True)}
    good = {*zip(all_of.price[all_of.passes].round(9), all_of.guard_c[all_of.passes].round(9), strict=True)}
    shown = list(zip(price.round(9), guard.round(9), strict=True))
    assert set(shown) == every
    assert {point for point, passed in zip(shown, passes, strict=True) if passed} == good


def test_a_drag_searches_nothing(monkeypatch):
    """The cloud is worked out with the first picture; after that only one design is checked a move."""
    one = explorer(requirement=STRICT)
    searched = search.cache_info().misses
    monkeypatch.setattr(one._picture, "build", lambda *_: pytest.fail("built anew while dragging"))
    one.move(**GOOD)
    one.move(smoothing_s=20.0, deadband_c=0.5)
    assert search.cache_info().misses == searched


def test_another_requirement_is_another_cloud_and_another_table():
    wide, narrow = explorer(**GOOD), explorer(requirement=STRICT, **GOOD)
    assert not wide.result().fails and wide._image.value != narrow._image.value
    assert narrow.result().requirement == STRICT
    assert [line.wanted for line in narrow.result().lines][-1] == 6.0
    assert search.cache_info().maxsize == 4  # so that a class of requirements does not fill the memory


def test_the_present_design_stands_at_its_price_and_guard_band():
    one = explorer(**GOOD)
    held, ring = one.result(), ring_of(one)
    assert ring.get_xydata().tolist() == [[held.price, held.guard_c]]
    one.move(reference=2, front_end=9)  # the reference is below what the bridge gives at 18 degC
    held = one.result()
    assert ring.get_visible() == (held.guard_c < float("inf"))


def test_a_part_that_is_not_of_the_catalogue_has_no_price():
    one = Explorer(design_project.PLAN, north_bench())
    assert one.settings()["converter"] == OWN_PART and one.result().price is None
    assert len(one.result().lines) == 9 and "not of the catalogue" in one.words()
    assert not ring_of(one).get_visible()
    one.move(converter=1)
    assert one.result().price == 3.0 and len(one.result().lines) == 10


def test_a_design_without_limits_gets_those_of_the_requirement():
    assert compute(north_bench(), 25.0, STRICT).design.alarm.high_c == 27.0
    moved = replace(STRICT, high_c=(26.0, 27.0))
    assert compute(north_bench(), 25.0, moved).design.alarm.high_c == 26.5


def test_a_saved_design_becomes_code_for_a_board(tmp_path):
    """The way of the chapter: explorer, chain file, C and MicroPython."""
    one = explorer(**GOOD)
    one._file.value = str(tmp_path / "my-design.toml")
    one.save()
    design = file.read(tmp_path / "my-design.toml")
    assert places_of(PARTS, design) == (6, 0, 2)
    assert all(line.passes for line in check(design, BENCH, one.result().price))
    names = {path.name for language in ("c", "micropython") for path in write(design, language, tmp_path / language)}
    assert {"chain.h", "chain.c", "chain.py"} <= names


def test_every_combination_of_parts_is_told_without_an_error():
    one = explorer()
    for front_end in range(len(PARTS.front_ends)):
        for reference in range(len(PARTS.references)):
            told = one.move(front_end=front_end, reference=reference)
            assert "of 10 lines pass" in told and "nan" not in told and not re.search(r"\binf\b", told)


def test_choice_of_the_first_design_is_the_bench_as_it_stands():
    """The chapter's first design fails on the guard bands alone."""
    held = explorer().result()
    assert assemble(PARTS, Choice(0, 0, 1), BENCH)[0].chain == held.design.chain
    assert {line.name for line in held.fails} == {"guard band at the low limit", "guard band at the high limit"}
