"""Printed hand-outs with the key, and the marking desk as a form in the notebook."""

import html
import re

import ipywidgets
import pytest

from classroom import KIM, LATER, PLAN, ROBIN, answered, hand_in, right
from tempkit.__main__ import main
from tempkit.exercises import SHEETS, Choice, Number, Record, cells, check, course, offered, problem
from tempkit.exercises.cards import entry, static_card
from tempkit.marking import desk_box, invent, mark_folder, on_paper
from tempkit.marking.marks import mark_record
from tempkit.marking.roster import Student
from tempkit.marking.student_pages import options

NO_DATES = course.Course()


def plain(text):
    return html.unescape(re.sub(r"<[^>]+>", " ", text))


@pytest.mark.parametrize("plan", SHEETS, ids=lambda plan: plan.id)
def test_everyone_has_pages_with_their_own_figures(plan):
    text = on_paper.handouts(plan, (ROBIN, KIM), NO_DATES)
    assert len(re.findall(r"<section class='page of-\d+'>", text)) == 2 and "<script" not in text
    for n, student in enumerate((ROBIN, KIM)):
        assert f"class='page of-{n}'><h1>Sheet {plan.id}" in text and f".of-{n} {{ page: of-{n}; }}" in text
        foot = f"Sheet {plan.id}, student {student.student}, course {student.course}"
        assert f"@page of-{n} {{ @bottom-left {{ content: '{foot}'" in text
        for posed in plan.posed(*student.key):
            assert html.escape(posed.text, quote=True) in text
    assert text.count("class='line'") == 2 * sum(isinstance(p.answer, Number) for p in plan.problems)
    options = sum(len(p.answer.options) for p in plan.problems if isinstance(p.answer, Choice))
    assert text.count("class='box'") == 2 * options


@pytest.mark.parametrize("plan", SHEETS, ids=lambda plan: plan.id)
def test_no_hand_out_tells_an_answer_with_its_tolerance(plan):
    text = plain(on_paper.handouts(plan, (ROBIN,), NO_DATES))
    for posed in plan.posed(*ROBIN.key):
        if isinstance(posed.problem.answer, Number):
            assert on_paper.right_text(posed) not in text


@pytest.mark.parametrize("plan", SHEETS, ids=lambda plan: plan.id)
def test_the_key_holds_answers_that_are_right(plan):
    """The second route: what the key prints is typed in as a student would, and checked."""
    text = plain(on_paper.key(plan, (ROBIN,)))
    for posed in plan.posed(*ROBIN.key):
        told = on_paper.right_text(posed)
        assert told in text
        answer = posed.problem.answer
        if isinstance(answer, Number):
            typed = told.partition(" ± ")[0].partition(" (within")[0].removeprefix("code ")
            assert check(posed.problem, posed.figures, typed).right, told
        elif isinstance(answer, Choice):
            texts = [posed.problem.say(option.text, posed.figures) for option in answer.options]
            ticked = [text for text in texts if text in told]
            assert check(posed.problem, posed.figures, ticked if answer.several else told).right
        else:
            parts = [part.rpartition(": ")[2].partition(" ± ")[0].removeprefix("code ") for part in told.split("; ")]
            assert check(posed.problem, posed.figures, parts).right, told


@pytest.mark.parametrize("plan", SHEETS, ids=lambda plan: plan.id)
def test_options_stand_in_one_order_everywhere(plan):
    """On the card, on paper, in the key and on the page of remarks; a posed problem of the catalogue has the same."""
    record = Record(ROBIN.course, plan.id, ROBIN.student)
    marks = {one.id: one.posed for one in mark_record(record, plan, NO_DATES).problems}
    orders = set()
    for number, posed in enumerate(plan.posed(*ROBIN.key), 1):
        keys, texts = zip(*posed.options, strict=True) if posed.options else ((), ())
        codes = {"course": ROBIN.course.lower(), "sheet": plan.id, "student": f" {ROBIN.student} "}
        assert problem(posed.problem.id, **codes).options == marks[posed.problem.id].options == posed.options
        if not texts:
            continue
        inputs = entry(posed, "it").inputs
        shown = [text for w in inputs if isinstance(w, ipywidgets.RadioButtons) for text, _ in w.options]
        assert texts == tuple(shown + [w.description for w in inputs if isinstance(w, ipywidgets.Checkbox)])
        for told in (on_paper._problem(number, posed), options(marks[posed.problem.id]), static_card(posed)):
            items = re.findall(r"(?:<li>|class='box'></span> )(.*?)<", told)
            assert tuple(map(html.unescape, items)) == texts
        right = posed.problem.answer.keys(posed.figures)
        assert on_paper.right_text(posed) == "; ".join(text for key, text in posed.options if key in right)
        declared = tuple(option.key for option in posed.problem.answer.options)
        orders.add(tuple(map(declared.index, keys)))
    assert len(orders) > 1


def test_the_key_shows_what_wrong_ways_give():
    text = plain(on_paper.key(PLAN, (ROBIN,)))
    posed = PLAN.posed(*ROBIN.key)[0]
    for _, value in offered(posed.problem, posed.figures):
        (number,) = cells(posed.problem.answer, value)
        assert on_paper._values((number,), ("mV",)) in text


def test_names_are_escaped_and_the_due_date_is_told():
    dates = course.Course(zone="+01:00", sheets={"h01": course.Dates(due=course.datetime(2026, 12, 4, 18))})
    text = on_paper.handouts(PLAN, (Student("B", "S", "<b>&\x00"),), dates)
    assert "&lt;b&gt;&amp;\ufffd" in text
    assert "Due on 4 December 2026, 18:00 (+01:00). An answer after that counts in full." in text


def test_the_command_prints_both(tmp_path, capsys):
    (tmp_path / "roster.csv").write_text("student,course\nROBIN,BENCH-9\n")
    base = ["homework", "print", "--roster", str(tmp_path / "roster.csv"), "--out", str(tmp_path / "print")]
    assert main([*base, "--sheet", "h02"]) == 0
    assert "1 hand-outs of sheet h02 and the key" in capsys.readouterr().out
    assert sorted(p.name for p in (tmp_path / "print").iterdir()) == ["h02-hand-outs.html", "h02-key.html"]
    assert main([*base, "--sheet", "h88"]) == 2
    assert "no sheet 'h88'" in capsys.readouterr().err


@pytest.fixture
def class_of_six(tmp_path):
    invent(tmp_path / "c", 6, seed=3)
    return tmp_path / "c"


def test_the_form_marks_a_folder(class_of_six):
    box = desk_box.MarkingDesk(class_of_six / "handed-in", class_of_six / "roster.csv", class_of_six / "out")
    (button,) = (w for w in walk(box) if isinstance(w, ipywidgets.Button))
    button.click()
    assert "h01: 4 of 6 (67 %) handed in" in plain(box._said.value)
    assert "To teach again" in box._found.value and "Odd in the folder" in box._found.value
    assert (class_of_six / "out" / "marks.csv").is_file()
    assert (box._bar.value, box._bar.max, box._bar.description) == (6, 6, "pages")


def walk(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def test_the_form_says_what_is_missing(class_of_six):
    box = desk_box.MarkingDesk()
    assert box.mark() is None and "fill in: Folder with what was handed in" in plain(box._said.value)
    for name, value in (
        ("folder", class_of_six / "none"),
        ("roster", class_of_six / "roster.csv"),
        ("out", class_of_six),
    ):
        box.fields[name].value = str(value)
    assert box.mark() is None and "is not a folder" in plain(box._said.value)
    box.fields["course"].value = str(class_of_six / "none.toml")
    assert box.mark() is None and "is not a course file" in plain(box._said.value)
    assert "marking desk" in box.words() and box.words() in html.unescape(box.static_html())


def test_parts_of_the_report_say_in_text_what_they_show(tmp_path):
    hand_in(tmp_path / "in", answered("1 °C", right()))
    (tmp_path / "roster.csv").write_text("student,course\nROBIN,BENCH-9\n")
    marked = mark_folder(tmp_path / "in", tmp_path / "roster.csv", tmp_path / "out", now=LATER)
    assert marked.mark_of("ROBIN", "h01") == marked.mean("h01") == 1.0 and marked.mark_of("KIM", "h01") is None
    for part in (desk_box.completion, desk_box.teach_again, desk_box.wrong_ways, desk_box.odd):
        shown = part(marked)
        assert "<" not in repr(shown) and len(repr(shown)) > 5
        assert "tempkit-report" in shown._repr_html_() and "<h2" not in shown._repr_html_()
    assert "1 of 1 (100 %) | 1 of 11 (9 %)" in repr(desk_box.completion(marked))
    with pytest.raises(ValueError, match="sheet 'h77' was not marked: h01"):
        desk_box.wrong_ways(marked, "h77")
