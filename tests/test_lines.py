"""Every line that a reader completes: right is right in any unit, slips have names, `blank` is no answer."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from line_answers import ANSWERS
from tempkit.draw import Look, LowLook, RailPicture
from tempkit.exercises import (
    Choice,
    Column,
    Line,
    Number,
    Table,
    Wrong,
    blank,
    cells,
    convert,
    lands,
    lines,
    offered,
    problems,
    tolerances,
)
from tempkit.exercises.adversary import convict
from tempkit.exercises.completing import Lands, judged, slip
from tempkit.exercises.figures import columns, figures_at, place, target
from tempkit.exercises.reading import signs

ALL = tuple(lines().values())
NUMERIC = [line for line in ALL if not isinstance(line.answer, Choice)]
SINGLE = [line for line in NUMERIC if isinstance(line.answer, Number)]
CHOICES = [line for line in ALL if isinstance(line.answer, Choice)]
SKETCHES = [line for line in ALL if line.sketch]
MOST_REMARK, LONGEST_NAME = 25, 15
F = figures_at(ALL[0], 0)
GIVEN_AWAY = "Full ink", "full: the right curve"


def by_id(line):
    return line.id


every_line = pytest.mark.parametrize("line", ALL, ids=by_id)
every_numeric = pytest.mark.parametrize("line", NUMERIC, ids=by_id)
every_single = pytest.mark.parametrize("line", SINGLE, ids=by_id)
every_choice = pytest.mark.parametrize("line", CHOICES, ids=by_id)
every_sketch = pytest.mark.parametrize("line", SKETCHES, ids=by_id)


def right(line):
    """The right value, as a reader's own arithmetic gives it: a number, or a list of them."""
    found = cells(line.answer, target(line, F))
    return found[0] if isinstance(line.answer, Number) else list(found)


def landed(line):
    """What the rail shows for a value: a function of it."""
    return lambda value: Lands(line, value)._landed()


# ---- what a line is


def test_ids_are_unique_and_no_problem_has_one():
    ids = [line.id for line in ALL]
    assert len(set(ids)) == len(ids) and not set(ids) & set(problems())


@every_line
def test_a_line_is_complete(line):
    assert re.fullmatch(r"\d\d(-[a-z0-9]+)+", line.id) and line.goal.count(".") == 1 and line.goal[-1] == "."
    assert line.text(F)[-1] in ".?)" and line.then[-1:] in ("", ".", "?")
    answer = line.answer
    if isinstance(answer, Choice):
        assert len({option.key for option in answer.options}) == len(answer.options) >= 2 and not line.rail
        remarks = [option.remark for option in answer.options]
    else:
        assert answer.reason.endswith(".") and len({way.key for way in answer.wrong}) == len(answer.wrong) >= 2
        remarks = [way.remark for way in answer.wrong]
    told = [line.say(remark, F) for remark in remarks]
    assert all(remark[-1] in ".?" and len(remark.split()) <= MOST_REMARK for remark in told), told
    assert not re.search(r"\{|  |-\d", "\n".join((line.text(F), line.then, *told)))


@every_single
def test_the_rail_holds_the_right_value_and_half_of_the_slips(line):
    name, low, high = line.rail
    assert len(name) <= LONGEST_NAME and low < right(line) < high
    ways = [value for _, value in offered(line, F)]
    assert 2 * sum(low <= value <= high for value in ways) >= len(ways), "widen the rail"


@every_sketch
def test_the_chart_holds_the_curve(line):
    (_, _, start, end), (_, low, high) = line.sketch.across, line.sketch.up
    places = np.linspace(start, end, 99)
    assert [start, *line.sketch.at, end] == sorted([start, *line.sketch.at, end])
    assert np.all((low <= line.sketch.curve(places)) & (line.sketch.curve(places) <= high))


def test_every_computed_line_has_a_second_route():
    assert {line.id for line in NUMERIC} == set(ANSWERS)


@every_numeric
def test_the_second_route_gives_the_same(line):
    expected = ANSWERS[line.id] if isinstance(ANSWERS[line.id], list) else [ANSWERS[line.id]]
    found = list(map(float, cells(line.answer, target(line, F))))
    assert found == pytest.approx(list(map(float, expected)), rel=1e-9, abs=1e-9)


@every_numeric
def test_nothing_is_unfair(line):
    assert convict(line) == () and line.sets() == (F,)


# ---- what becomes of a value


@every_numeric
def test_the_right_value_is_right_in_its_own_unit(line):
    value = right(line)
    several = isinstance(value, list)
    forms = [value, np.float64(value) if not several else np.array(value)]
    forms.append("; ".join(map(repr, value)) if several else repr(value))
    for form in forms:
        shown = Lands(line, form)
        assert shown.verdict.right and shown.words().startswith("✓ Right"), shown.words()


@every_single
def test_the_right_value_is_right_in_every_unit_of_its_kind(line):
    answer = line.answer
    for sign in signs(answer.quantity) if not answer.own_unit else (answer.unit,):
        text = f"{convert(float(right(line)), answer.unit, sign, answer.quantity)!r} {sign}"
        verdict = judged(line, text)
        assert verdict.right and "chose" not in verdict.remark, (text, verdict)


@every_single
def test_too_few_digits_are_told_and_shown_dashed(line):
    goal, (width,) = float(right(line)), tolerances(line.answer, F)
    asked = place(line.answer, goal, width)
    if asked and (few := round(goal / (10 * asked)) * 10 * asked) and abs(few - goal) > width:
        verdict, shown = judged(line, few), landed(line)(few)
        assert (verdict.rounded or verdict.way) and not verdict.right, (few, verdict)
        assert shown.right is None and shown.yours == pytest.approx(few)


@every_numeric
def test_each_slip_is_named_and_gives_nothing_away(line):
    for way, value in offered(line, F):
        shown = Lands(line, value if isinstance(line.answer, Number) else list(cells(line.answer, value)))
        assert shown.verdict.way == way.key and line.say(way.remark, F) in shown.words(), (way.key, shown.words())
        assert way.key.replace("-", " ") in shown.words() and shown.words().startswith("✗ Not yet")
        assert not any(sign in shown.words() for sign in GIVEN_AWAY)
        if line.rail:
            found = shown._landed()
            assert found.right is None and found.yours == value and way.key.replace("-", " ") in found.told
        if line.sketch:
            assert shown._curve().right == ((), ()) and shown._curve().yours == cells(line.answer, value)


@every_line
def test_blank_tells_what_to_write_and_draws_nothing(line):
    shown = lands(line.id, blank)
    assert shown.verdict is None and shown.words() == lands(line.id).words()
    assert shown.words().startswith("✎ Write here: ") and line.text(F) in shown.words()
    units = {part.unit for part in columns(line.answer, F)} if not isinstance(line.answer, Choice) else set()
    assert all(unit in line.text(F) for unit in units - {"code"}), "a bare number counts in the answer's unit: name it"
    assert not any(sign in shown.words() for sign in GIVEN_AWAY) and "  " not in shown.words()
    if line.rail:
        assert (shown._landed().yours, shown._landed().right) == (None, None)
        assert shown._landed().value == "write here"
    if line.sketch:
        assert shown._curve().yours == () and shown._curve().right == ((), ())


@every_line
@pytest.mark.parametrize("room", [False, True])
def test_the_picture_says_what_the_words_say(line, room):
    for value in (blank, 0.0):
        shown = Lands(line, value)
        shown.size(room)
        html = shown._page.value
        assert html.count("<img") == (not isinstance(line.answer, Choice) and bool(line.rail or line.sketch))
        assert re.sub(r"&#x27;|&quot;", "'", html).count(shown.words().replace('"', "'")) == 1 + html.count("<img")
        assert "<script" not in html and "http" not in re.sub(r"base64,[^\"]*", "", html)


@every_choice
def test_words_of_a_choice(line):
    keys = line.answer.keys(F)
    for option in line.answer.options:
        for said in (option.key, line.say(option.text, F).upper(), f"{line.say(option.text, F)}."):
            verdict = judged(line, said)
            assert verdict.understood and verdict.right == (frozenset({option.key}) == keys), (said, verdict)
    assert not judged(line, "neither of them").understood and not judged(line, 7).understood


# ---- forms of a value; what is no value


def words(name, *value):
    return lands(name, *value).words()


def test_numbers_are_taken_as_they_come():
    for value in (172, 172.0, np.int16(172), np.float32(172), np.array(172), "172", " 172 ", "code 172", "172 codes"):
        assert lands("03-type-code", value).verdict.right, value
    for value in ("842 mV", "0,842 V", "0.842", np.float32(0.842), 0.8422851562500001):
        assert lands("03-type-volts", value).verdict.right, value
    assert lands("03-innocent", False).verdict.right and not lands("03-innocent", True).verdict.right


NO_NUMBERS = None, True, "a lot", float("nan"), float("inf"), 1j, {}, [], [172, 3], "172 V", "", 10**80, object(), print


@pytest.mark.parametrize("value", NO_NUMBERS)
def test_what_is_no_number_is_told_and_no_attempt(value):
    for name in ("03-type-code", "08-sketch"):
        shown = lands(name, value)
        assert shown.words().startswith("? Not read: ") and not shown.verdict.attempt, shown.words()
        assert "Dashed" not in shown.words()


def test_a_value_beyond_the_rail_is_told():
    assert "beyond the right end of the code rail" in words("03-type-code", 5000)
    assert "beyond the left end of the voltage rail" in words("03-type-volts", -1)


def test_a_sketch_tells_where_it_departs_and_to_which_side():
    late = words("08-sketch", [20, 21, 26.3, 27.8, 28.6, 29.5])
    assert "Too low at 20 s: there it comes too late." in late and "high" not in late
    early = words("08-sketch", [20, 30, 30, 30, 30, 30])
    assert "Too high at 20, 40, 60, 80 s: there it comes too early." in early and "(at once)" in early
    assert "Too high at 162. Too low at 164." in words("06-sketch-codes", [0, 150, 700, 150, 0, 0]), "codes are no time"
    (line,) = lines("08-sketch").values()
    falling = replace(line, sketch=replace(line.sketch, curve=lambda at: 50 - line.sketch.curve(at)))
    cooling = replace(
        falling, answer=replace(line.answer, value=lambda f: tuple((50 - v,) for (v,) in target(line, F)), wrong=())
    )
    assert "Too high at 20 s: there it comes too late." in Lands(cooling, [30, 29, 23.7, 22.2, 21.4, 20.5]).words()


def test_a_part_of_a_sketch_may_still_be_blank():
    told = words("08-sketch", [20, blank, 26, blank, 29, 30])
    assert told.startswith("✎ Write here") and "2 of 6 are still to be written." in told
    assert "still to be" not in words("08-sketch")


def test_a_table_is_told_in_words():
    columns_ = Column("code", "code", "code", 0.0, whole=True), Column("voltage", "voltage", "V", 0.0005, digits=3)
    ways = Wrong("a", lambda f: ((9, 0.1),), "Way A."), Wrong("b", lambda f: ((8, 0.2),), "Way B.")
    answer = Table(lambda f: ("at 25 °C",), columns_, lambda f: ((163, 0.8),), "Three digits.", ways)
    made = Line("03-table", "Fill a row.", "Which code, which voltage in V?", answer)
    assert convict(made) == () and made.sets() == (F,)
    assert Lands(made, [163, 0.8]).words() == "✓ Right: all 2 numbers."
    assert Lands(made, (163, "800 mV")).verdict.right and Lands(made, np.array([[163, 0.8]])).verdict.right
    assert Lands(made, [9, 0.1]).words().startswith("✗ Not yet (a): 0 of 2 numbers are right.")
    asked = "Give a whole number for code and three digits for voltage."
    assert asked in Lands(made).words() and "1 of 2 are still to be written" in Lands(made, [163, blank]).words()
    assert "<img" not in Lands(made).static_html()


def test_nothing_is_drawn_before_it_is_shown_and_it_follows_the_size():
    from tempkit.draw import size_all

    shown = lands("03-type-code", 172)
    assert shown._page.value == ""
    shown._repr_mimebundle_()
    desk = shown._page.value
    size_all(True)
    assert shown._page.value != desk and 'width="1080"' in shown._page.value
    size_all(False)
    assert shown._page.value == desk and 'width="960"' in desk


def test_arithmetic_with_blank_is_still_blank():
    assert words("03-half-worked", (163.5 * blank / 1024 - 600) / 8) == words("03-half-worked")


def test_an_unknown_line_lists_those_of_the_chapter():
    with pytest.raises(ValueError, match="there is no line '03-typed': chapter 03 has .*03-type-code, 03-type-volts"):
        lands("03-typed", 1)
    with pytest.raises(ValueError, match="chapters with lines are .*03.*08"):
        lands("77-none", 1)
    with pytest.raises(ValueError, match="is a chapter: choose one of its lines, .*03-type-code"):
        lands("03", 1)


def test_what_is_stored_is_words_and_html_only():
    bundle = lands("03-type-code", 163)._repr_mimebundle_()
    data = bundle[0] if isinstance(bundle, tuple) else bundle
    assert data["text/plain"] == words("03-type-code", 163)
    assert data["text/html"].startswith('<img alt="✗ Not yet (assumed supply)')


@every_single
@pytest.mark.parametrize("room", [False, True])
def test_no_words_of_a_rail_leave_the_picture(line, room):
    """The left words end before the rail; the words beside the ink stay inside, the longest in the middle too."""
    _, low, high = line.rail
    longest = max((way.key for way, _ in offered(line, F)), key=len)
    told = [landed(line)(value) for value in (blank, right(line), high + (high - low))]
    told.append(replace(told[1], yours=(low + high) / 2, told=f"yours: {slip(longest)}"))
    for shown in told:
        picture = RailPicture(LowLook(room)).show(shown)
        width, height = picture.look.size
        renderer = picture.canvas.get_renderer()
        for number, text in enumerate(picture.page.texts):
            box = text.get_window_extent(renderer)
            assert box.x0 >= 0 and box.x1 <= width and box.y0 >= 0 and box.y1 <= height, text.get_text()
            assert number > 1 or box.x1 <= picture.left, text.get_text()
        assert picture.look.body == Look(room).body


def test_a_slip_that_hides_or_an_unfair_line_is_found():
    (line,) = lines("03-type-code").values()
    hidden = replace(line, answer=replace(line.answer, wrong=(*line.answer.wrong, line.answer.wrong[0])))
    assert convict(hidden) == (), "the same value twice is offered once"
    same = replace(line.answer.wrong[0], key="same", value=lambda f: 172)
    assert replace(line, answer=replace(line.answer, wrong=(*line.answer.wrong, same))).sets() == ()
    copied = replace(line, asks="The code is 172. Which code is it?")
    assert any("a number of the text" in told for told in convict(copied))


def test_columns_of_a_sketch_are_its_places():
    (line,) = lines("08-sketch").values()
    assert len(columns(line.answer, F)) == len(line.sketch.at) and line.answer.rows(F)[1] == "after 20 s"


def test_the_written_examples_are_fair_lines():
    """The lines that the recipe in DEVELOPERS.md makes, run as it stands."""
    page = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"
    part = page.read_text(encoding="utf-8").partition("**A line to complete.**")[2]
    made = {}
    exec(re.search(r"```python\n(.*?)```", part, re.DOTALL)[1], made)
    for line in (made["type_code"], made["by_eye"]):
        assert convict(line) == () and line.sets() == (F,)
        assert len(offered(line, F)) == len(line.answer.wrong) and Lands(line, right(line)).verdict.right


def test_a_choice_takes_letters_in_the_order_shown():
    for name in ("03-agree-supply", "03-innocent"):
        asked = lands(name).words()
        verdicts = [lands(name, letter) for letter in "AB"]
        assert all(f"{letter}: " in asked for letter in "AB") and all(v.verdict.understood for v in verdicts)
        assert [v.verdict.right for v in verdicts].count(True) <= 1 and lands(name, "a").words() == verdicts[0].words()


def test_digits_that_a_slip_shares_do_not_count_as_right():
    """0.840 comes to the package as 0.84: that may be the lower edge, 0.8398 V, as well as the middle, rounded."""
    assert "cannot tell" in words("03-type-volts", 0.84)
    assert "lower edge" in words("03-type-volts", 172 * 5 / 1024)
