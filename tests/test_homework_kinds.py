"""Graphs, lines, estimates, half-filled tables, wrong steps, lists of parts, how sure: on cards, on paper, in marks."""

import html
import json
import re
from dataclasses import replace
from datetime import UTC, datetime

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from classroom import ROBIN
from tempkit.exercises import (
    Answer,
    Course,
    Curve,
    Graph,
    Number,
    Option,
    Record,
    RecordError,
    Scale,
    Table,
    answers,
    cheapest,
    figures_digest,
    listed,
    personally,
    practice,
    problem,
    problems,
    sheet_plan,
    wrong_step,
)
from tempkit.exercises.answers import Keeper
from tempkit.exercises.cards import SURE_AND_WRONG, Card, Practice, static_card
from tempkit.exercises.figures import factors
from tempkit.exercises.sheet_box import SheetCard
from tempkit.exercises.sheets import SheetPlan
from tempkit.marking import on_paper
from tempkit.marking.invented import _as_text
from tempkit.marking.marks import mark_record
from tempkit.marking.student_pages import _problem as on_the_page
from test_homework_cards import answer, button, enter_right_answer, told

NEW = (
    "01-read-the-curve",
    "07-trace",
    "10-lines-of-a-winter",
    "04-wrong-walk",
    "05-half-worked",
    "13-cheapest-sensor",
    "11-five-lines",
)
PLAN = SheetPlan("k01", "All kinds", NEW)
AT = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
NO_DATES = Course()


@pytest.fixture(autouse=True)
def strict(monkeypatch):
    monkeypatch.setenv("TEMPKIT_STRICT", "1")


def card(name):
    return practice(name).cards[0]


def mine(name):
    return personally(problems(name)[name], ROBIN.course, PLAN.id, ROBIN.student)


def tried(name, *texts, **changes):
    """A record of these answers to one problem of the sheet of all kinds."""
    posed, found = mine(name), []
    for number, text in enumerate(texts, 1):
        verdict = posed.check(text)
        kept = text if isinstance(text, str) else tuple(text)
        digest = figures_digest(posed.problem, posed.figures)
        known = (number, name, posed.problem.version, digest, AT, kept, verdict.understood, verdict.right)
        found.append(Answer(*known, **changes))
    return Record(ROBIN.course, PLAN.id, ROBIN.student, tuple(found))


def marked(record, name):
    return mark_record(record, PLAN, NO_DATES).problems[NEW.index(name)]


# Every kind, everywhere


@pytest.mark.parametrize("name", NEW)
def test_it_is_answered_on_its_card_and_marked(name):
    box = card(name)
    enter_right_answer(box)
    assert box.verdict.right
    right = mine(name).model_answer()
    assert marked(tried(name, right), name).mark == 1
    wrong = "1e9" if isinstance(right, str) else ["1e9"] * len(right)
    if mine(name).options:
        wrong = next(key for key, _ in mine(name).options if key != right)
    one = marked(tried(name, wrong), name)
    assert one.mark == 0 and (not mine(name).options or one.ways == (wrong,))


@pytest.mark.parametrize("name", NEW)
def test_what_it_shows_stands_on_card_stored_output_hand_out_and_page(name):
    posed = mine(name)
    record = marked(tried(name, posed.model_answer()), name)
    seen = {
        "card": Card(problem(name), "problem 1").children[0].value,
        "stored": static_card(problem(name)),
        "paper": on_paper._problem(1, posed),
        "page": on_the_page(1, record, solutions=False),
    }
    for where, text in seen.items():
        shown = problem(name) if where in ("card", "stored") else posed
        for line in shown.listing:
            assert html.escape(line) in text, where
        assert ("<pre>" in text) is bool(shown.listing)
        if shown.graph:
            assert html.escape(shown.graph.alt) in text
            assert ("<img alt=" in text and "data:image/png;base64," in text) is (where != "page")
        if isinstance(posed.problem.answer, Table):
            assert text.count("<td>0.61</td>") + text.count("<td>1.732</td>") >= 1
            blanks = text.count("<td class='blank'></td>") if where == "paper" else text.count("<td>?</td>")
            assert blanks == len(posed.problem.answer.asked(posed.figures)) == 4


def test_a_sheet_of_all_kinds_is_printed_with_its_key():
    text = on_paper.handouts(PLAN, (ROBIN,), NO_DATES)
    assert text.count("<img alt=") == 2 and "img-src data:" in text and "<script" not in text
    key = html.unescape(on_paper.key(PLAN, (ROBIN,)))
    assert "(within a factor of 3)" in key and "<img" not in key and "img-src" not in key
    for name in NEW:
        assert on_paper.right_text(mine(name)) in key


def test_nothing_is_drawn_to_check_to_mark_or_to_write_the_pages(monkeypatch):
    def drawn(*_):
        raise AssertionError("a picture was drawn")

    monkeypatch.setattr(Graph, "png", drawn)
    for name in ("01-read-the-curve", "07-trace"):
        one = marked(tried(name, mine(name).model_answer()), name)
        assert one.mark == 1 and mine(name).graph.alt in html.unescape(on_the_page(1, one, solutions=True))


# Graphs and lines

ACROSS, UP = Scale("time", "s", (0, 60), 10), Scale("reading", "°C", (20, 30), 0.5)


def test_the_words_of_a_graph_are_read_no_finer_than_an_eye_reads():
    graph = Graph("T", ACROSS, UP, (Curve("air", ((0, 21.26), (33, 24.9))),), (("limit", 27),))
    assert graph.alt.endswith("Limit: 27 °C. Air at 0, 30 s: 21.5, 25 °C.")
    assert graph.png()[:4] == b"\x89PNG" and graph.png() != replace(graph, limits=()).png()


def test_of_a_long_curve_the_told_points_are_named():
    points = tuple((t, 21 + t / 100) for t in range(60))
    with pytest.raises(ValueError, match="told_at"):
        Curve("air", points)
    assert Curve("air", points, told_at=(0, 30)).told == (points[0], points[30])


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: Scale("t", "s", (5, 5), 1), "low below high"),
        (lambda: Scale("t", "s", (0, 5), 0), "fineness above 0"),
        (lambda: Curve("air", ((0, 1),)), "two points"),
        (lambda: Curve("air", ((1, 1), (0, 1))), "rising x"),
        (lambda: Curve("air", ((0, 1), (1, 1)), "bars"), "not one of line, steps, dots"),
        (lambda: Curve("air", ((0, 1), (1, 1)), told_at=(2,)), "without a point"),
    ],
)
def test_a_graph_that_cannot_be_drawn_is_refused_when_it_is_declared(made, said):
    with pytest.raises(ValueError, match=said):
        made()


def test_markup_in_lines_graphs_and_tables_is_shown_as_text():
    nasty = "<b onclick=x>&\x00"
    shown = Graph(nasty, ACROSS, UP, (Curve(nasty[:-1], ((0, 21), (10, 22))),))
    plain = problems("05-half-worked")["05-half-worked"]
    table = replace(plain.answer, rows=lambda f: (nasty, *plain.answer.rows(f)[1:]))
    made = replace(plain, listing=lambda f: (nasty,), picture=lambda f: shown, answer=table)
    box = Practice([made])
    for text in (box.cards[0].children[0].value, box.static_html()):
        assert "<b onclick" not in text and text.count("&lt;b onclick=x&gt;&amp;") >= 4


def test_a_log_is_computed_not_typed():
    """Other figures, other lines; the same figures, the same lines."""
    posed = problem("11-five-lines")
    assert posed.listing == problem("11-five-lines").listing != posed.other().listing


# Estimates


def test_an_estimate_is_right_within_its_factor_and_asks_for_no_digits():
    posed = problem("10-lines-of-a-winter")
    assert posed.text.endswith("An estimate will do: right within a factor of 3.") and "Give" not in posed.text
    for text, right in (("4e6", True), ("1,300,000", True), ("11000000", True), ("12000000", False), ("1e6", False)):
        verdict = posed.check(text)
        assert (verdict.right, verdict.rounded) == (right, False), (text, verdict)
    assert posed.check("4e6").remark == "worked out, it is 3888000."
    assert "Not far off" in posed.check("1e6").remark
    assert posed.check("1080").way == "hours"
    for text in ("0", "-4e6", "nan", "inf", "1e400", "about a million"):
        assert not posed.check(text).right


@given(st.floats(min_value=1e-9, max_value=1e9), st.floats(min_value=1e-9, max_value=1e9))
def test_factors_are_even_and_add_up(a, b):
    assert factors(a, b, 3.0) == pytest.approx(factors(b, a, 3.0))
    assert factors(a, 3 * a, 3.0) == pytest.approx(1) and factors(-a, b, 3.0) == float("inf") == factors(0.0, b, 3.0)


@pytest.mark.parametrize("more", [{"digits": 2}, {"tolerance": 0.5}, {"whole": True}, {"within_factor": 1.0}])
def test_an_estimate_has_no_digits_and_no_tolerance(more):
    with pytest.raises(ValueError, match="within_factor"):
        Number(lambda f: 1.0, "number", "", **({"tolerance": 0.0, "reason": "R.", "within_factor": 3} | more))


# Tables, steps, parts


def test_of_a_half_filled_table_only_the_blanks_are_typed_and_named():
    posed = problem("05-half-worked")
    right = posed.model_answer()
    assert len(right) == 4 and posed.check(right).value[0][:2] == (1.5, 3**0.5)
    verdict = posed.check(["0.50", *right[1:]])
    assert "3 of 4 numbers are right. Look again at: Sensor, standard uncertainty." in verdict.remark
    assert "4 numbers are needed" in posed.check([*right, "1"]).remark
    way = posed.problem.answer.wrong[0]
    assert posed.check(_as_text(posed, way.value(posed.figures), 1.0)).way == "whole-step"
    assert "1.732" in posed.problem.in_sight(posed.figures) and "None" not in posed.problem.in_sight(posed.figures)


def test_steps_and_parts_stay_in_their_order_for_everybody():
    for name in ("04-wrong-walk", "13-cheapest-sensor"):
        (found,) = problems(name).values()
        orders = {tuple(key for key, _ in personally(found, "A", "k01", f"S{n}").options) for n in range(20)}
        assert orders == {tuple(option.key for option in found.answer.options)}


def test_a_wrong_step_and_a_sound_one_have_their_own_remarks():
    asked = wrong_step(lambda f: f, [("Caught 1.", "Sound 1."), (lambda f: f"Caught {f}.", "Sound 2.")])
    assert [option.remark(2) for option in asked.options] == ["Sound 1.", "Caught 2."]
    assert [option.remark(1) for option in asked.options] == ["Caught 1.", "Sound 2."]


def test_the_cheapest_is_told_from_what_lacks_and_what_costs_more():
    prices, lacking = {"a": 2, "b": 1, "c": 3}, {"b": "Too narrow."}
    asked = cheapest([(k, k) for k in prices], lambda f, k: prices[k], lambda f, k: lacking.get(k, ""))
    assert asked.keys(None) == {"a"} and isinstance(asked.options[0], Option)
    told_ = [option.remark(None) for option in asked.options]
    assert told_[0].startswith("It costs 2") and told_[1] == "Too narrow." and "costs less" in told_[2]
    assert len({line.index("2") for line in listed(("part", "x"), (("A", "2"), ("long", "2")))[1:]}) == 1


# How sure

SURE = "11-five-lines"


def wrong_key(posed):
    return next(key for key, _ in posed.options if key != posed.model_answer())


def test_it_is_asked_only_where_the_problem_asks():
    assert card(SURE)._how_sure is not None and card("02-step-in-mv")._how_sure is None
    assert [told_ for told_, _ in card(SURE)._how_sure.options] == ["a guess", "rather sure", "sure"]
    assert card("02-step-in-mv").sure is None is card(SURE).sure


@pytest.mark.parametrize(("sure", "right"), [(s, r) for s in (None, 1, 2, 3) for r in (True, False)])
def test_one_calm_line_when_sure_and_wrong_and_never_another_verdict(sure, right):
    box = card(SURE)
    box._how_sure.value = sure
    answer(box, box.posed.model_answer() if right else wrong_key(box.posed))
    assert (SURE_AND_WRONG in told(box)) is (sure == 3 and not right)
    assert box.verdict == box.posed.check(box.inputs[0].value)
    button(box, "Other figures").click()
    assert box.sure is None and SURE_AND_WRONG not in told(box)


def sheet_card(folder):
    return SheetCard(mine(SURE), "it", Keeper(ROBIN.course, PLAN.id, ROBIN.student, folder), NO_DATES, lambda: None)


def test_a_sheet_keeps_it_with_the_answer_and_shows_it_again(tmp_path):
    box = sheet_card(tmp_path)
    box.answer(wrong_key(box.posed), sure=3)
    box.answer(box.posed.model_answer())
    kept = box._keeper.answers()
    assert [a.sure for a in kept] == [3, msgspec.UNSET]
    assert sheet_card(tmp_path).sure is None
    box.answer(wrong_key(box.posed), sure=3)
    again = sheet_card(tmp_path)
    assert again.sure == 3 and SURE_AND_WRONG in told(again)


def test_the_same_answer_surer_is_the_same_answer(tmp_path):
    """Who has read the remark knows better: what was said before it stays."""
    box = sheet_card(tmp_path)
    for sure in (1, 3):
        box.answer(wrong_key(box.posed), sure=sure)
    assert [a.sure for a in box._keeper.answers()] == [1]


@pytest.mark.parametrize("sure", [1, 2, 3])
def test_it_never_counts(sure):
    for text, mark in ((mine(SURE).model_answer(), 1), (wrong_key(mine(SURE)), 0)):
        with_it, without = (marked(tried(SURE, text, **more), SURE) for more in ({"sure": sure}, {}))
        assert with_it.mark == without.mark == mark and with_it.note == without.note == ""


def test_a_record_has_it_only_where_it_was_said():
    """Records of earlier editions have no such entry; they are read, and written again as they were."""
    without, with_it = tried(SURE, "healthy"), tried(SURE, "healthy", sure=2)
    assert "sure" not in json.loads(answers.encode(without))["answers"][0]
    assert json.loads(answers.encode(with_it))["answers"][0]["sure"] == 2
    for record in (without, with_it):
        assert answers.decode(answers.encode(record)) == record


@pytest.mark.parametrize("sure", [0, 4, -1, 1.5, "3", None, True, [1]])
def test_anything_else_in_its_place_is_no_record(sure):
    made = json.loads(answers.encode(tried(SURE, "healthy", sure=2)))
    made["answers"][0]["sure"] = sure
    with pytest.raises(RecordError, match="not an answer record"):
        answers.decode(json.dumps(made).encode())


@pytest.mark.parametrize("sure", [True, 1.0])
def test_what_equals_a_degree_is_written_as_a_whole_number(sure, tmp_path):
    box = sheet_card(tmp_path)
    box.answer(box.posed.model_answer(), sure=sure)
    assert answers.read_record(box._keeper.path).answers[0].sure == 1


def test_a_sheet_refuses_another_degree_of_it(tmp_path):
    from tempkit.exercises.sheet_box import Sheet

    box = Sheet(sheet_plan("h01"), "BENCH-9", "ROBIN", tmp_path)
    with pytest.raises(ValueError, match="1 .a guess., 2 .rather sure. or 3 .sure."):
        box.answer(1, "1 mV", sure=7)


# A practice that is short


def test_the_first_six_are_for_everybody_and_a_button_opens_the_rest(monkeypatch):
    box = practice("02")
    assert len(box.cards) == 6 and "6 problems for everybody" in box.words()
    before = box.cards
    button(box, "More problems").click()
    assert len(box.cards) == len(problems("02")) and box.cards[:6] == before
    assert [w for w in box.children if w is box._more and w.layout.display == "none"]
    box.more()
    assert len(box.cards) == len(problems("02"))


def test_the_stored_output_folds_the_rest_and_goes_on_counting():
    text = practice("02").static_html()
    first, _, rest = text.partition("<details>")
    assert first.count("<li><strong>") == 6 and '<ol start="7">' in rest
    assert rest.count("<li><strong>") == len(problems("02")) - 6


def test_a_chapter_says_how_many_are_for_everybody(monkeypatch):
    from tempkit.problems import chapter02

    monkeypatch.setattr(chapter02, "FOR_ALL", 4, raising=False)
    assert len(practice("02").cards) == 4
    monkeypatch.setattr(chapter02, "FOR_ALL", 40)
    box = practice("02")
    assert len(box.cards) == len(problems("02")) and "more" not in box.words()
    assert not re.search("<details>", box.static_html())
