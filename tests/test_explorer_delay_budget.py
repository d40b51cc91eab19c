"""Chapter 08's second explorer: its bars are the delay budget, and its words tell what makes an alarm late."""

from dataclasses import replace

import pytest

from tempkit.alarm import alarm_delay
from tempkit.book import Book
from tempkit.chain import Link, Response, Smoothing
from tempkit.explorers import delay_budget, north_bench
from tempkit.explorers.controls import BENCH_ALARM, completed
from tempkit.explorers.delay_budget import ADDED, BARS, EXACT, PAINT
from tempkit.signal import Ramp

SETTINGS = {
    "t_c": 34.0, "shape": "ramp", "rate_c": 2.0, "characters": 45, "printing": "waits", "shown_s": 120,
}  # fmt: skip


def late(wait_s=1.0, tau_s=40.0, smoothing_s=5.0, baud=9600, **settings):
    bench = replace(
        north_bench(),
        response=Response(tau_s),
        smoothing=Smoothing(smoothing_s),
        link=Link(baud=baud),
        alarm=replace(BENCH_ALARM, sample_period_s=wait_s),
    )
    return delay_budget.compute(bench, **{**SETTINGS, **settings})


def test_no_printing_is_the_budget_of_the_design():
    here = late(characters=0)
    plain = alarm_delay(completed(north_bench()), Ramp(22.0, 34.0, 2.0))
    assert here.budget.worst_s == pytest.approx(plain.worst_s) and here.loop.period_s == 1.0


def test_three_lines_of_fifteen_at_9600():
    """46.9 ms on the line: a loop that waits 100 ms takes 146.9 ms, buffered 100 ms."""
    waits, buffered = late(wait_s=0.1), late(wait_s=0.1, printing="buffered")
    assert waits.loop.period_s == pytest.approx(0.146875) and buffered.loop.period_s == pytest.approx(0.1)
    assert waits.budget.part("smoothing").worst_s > 1.4 * buffered.budget.part("smoothing").worst_s
    assert "takes 0.147 s, not 0.100 s" in delay_budget.words(waits, Book())
    assert "Mind" not in delay_budget.words(buffered, Book())


def test_a_buffer_that_is_too_small_holds_the_loop_for_the_rest():
    """60 characters, 48 in the buffer: the other 12 take 12.5 ms."""
    assert late(wait_s=0.1, printing="buffered", characters=60).loop.period_s == pytest.approx(0.1125)


def test_a_line_that_never_rests_is_told():
    here = late(wait_s=0.1, printing="buffered", baud=1200, characters=60)
    assert here.loop.full and "buffer stands full" in delay_budget.words(here, Book())
    assert here.budget.part("line").worst_s == pytest.approx(0.5 - 0.1 + 48 / 120)


def drawn(explorer):
    """The pieces of each bar that are seen, from left to right: bar -> [(part, from, to)]."""
    found = {name: [] for name in BARS}
    chart = explorer._picture.panels[0][0]
    for part, collection in zip(PAINT, chart.axes.collections, strict=True):
        for path in collection.get_paths():
            (start, foot), (end, top) = path.vertices.min(axis=0), path.vertices.max(axis=0)
            name = next(name for name, (y, _, _) in BARS.items() if foot < y < top)
            found[name].append((part, start, end))
    return {name: sorted(pieces, key=lambda piece: piece[1]) for name, pieces in found.items()}


def test_bars_that_run_out_are_told_and_end_at_the_edge():
    explorer = delay_budget.explorer(tau_s=180.0, shown_s=30)
    assert "run out of the picture" in explorer.words()
    for pieces in drawn(explorer).values():
        ends = [end for _, _, end in pieces]
        assert max(ends) == 30.0 and ends == sorted(ends)
    assert "run out" not in explorer.move(shown_s=600)


def test_bars_are_the_budget():
    explorer = delay_budget.explorer(smoothing_s=40.0, on_delay=10, shape="step")
    budget, bars = explorer.result().budget, drawn(explorer)
    assert [part for part, _, _ in bars["at worst"]] == list(EXACT) == [part for part, _, _ in bars["average"]]
    assert [part for part, _, _ in bars["added"]] == list(ADDED)
    assert [bars[name][-1][2] for name in BARS] == pytest.approx(
        [budget.worst_s, budget.mean_s, budget.added_worst_s]
    )
    for pieces in bars.values():
        starts, ends = zip(*((start, end) for _, start, end in pieces), strict=True)
        assert starts == pytest.approx((0.0, *ends[:-1])), "one behind the other"
    assert bars["at worst"][0][2] == pytest.approx(budget.together_s)
    assert budget.together_s != pytest.approx(explorer.result().together_added_s, rel=0.1)


@pytest.mark.parametrize("room, both", [(False, "lag + smoothing"), (True, "both")])
def test_the_key_tells_each_part_at_its_worst(room, both):
    explorer = delay_budget.explorer(room=room)
    for values in ({}, {"smoothing_s": 40.0}):
        explorer.move(**values)
        budget = explorer.result().budget
        told = {text.get_text() for text in explorer._picture.page.texts}
        assert {f"{both} {budget.together_s:.1f} s", f"lag {budget.part('lag').worst_s:.1f} s", "line 0.04 s"} <= told


def test_paints_are_told_apart_without_colour():
    hatches = [hatch for _, _, hatch in PAINT.values()]
    assert len(set(hatches)) == len(hatches)


@pytest.mark.parametrize("t_c", [22.0, 25.0, 18.5])
def test_where_no_limit_is_passed(t_c):
    here = late(t_c=t_c)
    assert here.budget is None and "no limit is passed" in delay_budget.words(here, Book())
    explorer = delay_budget.explorer(t_c=t_c)
    assert explorer._picture.values[0].get_text() == "no limit is passed"
    assert drawn(explorer) == {name: [] for name in BARS}


def test_a_design_without_a_low_limit():
    bench = replace(north_bench(), alarm=replace(BENCH_ALARM, low_c=None))
    here = delay_budget.compute(bench, **{**SETTINGS, "t_c": 10.0})
    assert here.budget is None and "None" not in delay_budget.words(here, Book())


def test_the_temperature_goes_on_while_the_alarm_waits():
    here = late(rate_c=5.0)
    assert here.budget.reached_worst_c == pytest.approx(27.0 + 5.0 / 60 * here.budget.worst_s)
    assert f"it is {here.budget.reached_worst_c:.1f} °C by then" in delay_budget.words(here, Book())


def test_table_gives_every_part_alone_with_its_reason():
    rows = dict(delay_budget.facts(late(), Book()))
    for name in ADDED:
        assert "at worst" in rows[f"{name} alone"] and ";" in rows[f"{name} alone"]
    assert rows["lamp and buzzer, at worst"] != rows["all, exactly, at worst"]
