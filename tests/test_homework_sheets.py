"""A homework sheet driven as a student would: enter codes, answer, close, open again, begin again."""

import html
import re
from dataclasses import replace

import ipywidgets
import pytest

from tempkit.exercises import (
    SHEETS,
    Choice,
    Number,
    Table,
    catalogue,
    personal,
    personal_then,
    problem,
    sheet,
    sheet_box,
    sheet_plan,
)
from tempkit.exercises import answers as keeper
from tempkit.exercises import answers as records
from tempkit.exercises.sheet_box import NOBODY, progress
from tempkit.exercises.sheets import standing


@pytest.fixture(autouse=True)
def strict(monkeypatch, caplog):
    """An error in a callback is raised; the click that swallows and logs it fails the test."""
    monkeypatch.setenv("TEMPKIT_STRICT", "1")
    monkeypatch.setattr(sheet_box, "LATE_S", 0.0)
    monkeypatch.setattr("tempkit.exercises.cards.LATE_S", 0.0)
    yield
    assert not [record for record in caplog.get_records("call") if "callback" in record.getMessage()]


def opened(which="h01"):
    return sheet(which, "BENCH-9", "ROBIN")


def walk(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def button(box, text):
    (found,) = [w for w in walk(box) if isinstance(w, ipywidgets.Button) and w.description.startswith(text)]
    return found


def told(box):
    texts = [w.value for w in walk(box) if isinstance(w, ipywidgets.HTML)]
    return html.unescape(re.sub(r"<[^>]+>", " ", " ".join(texts)))


def field(box, name):
    (found,) = [w for w in walk(box) if isinstance(w, ipywidgets.Text) and w.description == name]
    return found


def seen(widget):
    return widget.layout.display != "none"


@pytest.mark.parametrize("plan", SHEETS, ids=lambda plan: plan.id)
def test_a_sheet_names_problems_of_its_chapters(plan):
    assert 8 <= len(plan.ids) == len(set(plan.ids)) <= 18
    assert all(found.id == name for found, name in zip(plan.problems, plan.ids, strict=True))
    assert {Choice, Number} <= {type(found.answer) for found in plan.problems}


def test_the_sheets_cover_the_book_in_order():
    covered = [sorted({int(name[:2]) for name in plan.ids}) for plan in SHEETS]
    assert len(SHEETS) >= 7 and all(1 <= len(found) <= 2 for found in covered)
    assert tuple(number for found in covered for number in found) == catalogue.chapters()


def test_every_answer_kind_is_on_a_sheet():
    answers = [found.answer for plan in SHEETS for found in plan.problems]
    assert {type(answer) for answer in answers} == {Number, Choice, Table}
    assert any(answer.several for answer in answers if isinstance(answer, Choice))
    tables = [answer for answer in answers if isinstance(answer, Table)]
    assert {len(answer.columns) > 1 for answer in tables} == {True, False}
    assert any(answer.unit == "code" for answer in answers if isinstance(answer, Number))


def test_no_problem_stands_on_two_sheets():
    ids = [name for plan in SHEETS for name in plan.ids]
    assert len(ids) == len(set(ids))
    with pytest.raises(ValueError, match=f"there is no sheet 'h99': the sheets are {', '.join(p.id for p in SHEETS)}$"):
        sheet_plan("h99")


@pytest.mark.parametrize("plan", SHEETS, ids=lambda plan: plan.id)
def test_every_problem_can_be_answered_and_comes_back(plan):
    box = opened(plan.id)
    for number, card in enumerate(box.cards, 1):
        assert box.answer(number, card.posed.model_answer()).right, card.posed.problem.id
    again = opened(plan.id)
    for card, before in zip(again.cards, box.cards, strict=True):
        assert card.verdict == before.verdict and card._entry.read() == before._entry.read()
        assert "✓ Right" in told(card)
    assert (
        str(again.standing())
        == f"{plan.id}: {len(plan.ids)} of {len(plan.ids)} right, 0 answered and not right yet, 0 open"
    )


@pytest.mark.parametrize("plan", SHEETS, ids=lambda plan: plan.id)
def test_figures_are_the_students_own_and_the_same_every_time(plan):
    for posed, card in zip(plan.posed("bench-9", "robin"), opened(plan.id).cards, strict=True):
        assert posed.figures == card.posed.figures == personal(posed.problem, "BENCH-9", plan.id, "ROBIN")
        assert posed.options == card.posed.options
    others = [p.figures for p in plan.posed("BENCH-9", "KIM")]
    mine = [p.figures for p in plan.posed("BENCH-9", "ROBIN")]
    assert sum(a != b for a, b in zip(mine, others, strict=True)) >= 5


def test_codes_are_asked_for_once():
    box = sheet("h01")
    assert seen(box._form) and not box.cards and box.progress() == NOBODY
    button(box._form, "Begin").click()
    assert NOBODY in told(box)
    field(box, "Course code").value, field(box, "Student code").value = "bench-9", "../robin"
    button(box._form, "Begin").click()
    assert "the student code '../robin' cannot be used" in told(box) and not box.cards
    field(box, "Student code").value = " robin "
    button(box._form, "Begin").click()
    assert not seen(box._form) and len(box.cards) == 11
    assert "Course BENCH-9, student ROBIN." in told(box)
    other = sheet("h02")
    assert len(other.cards) == 15 and "student ROBIN" in told(other)


def test_enter_in_a_code_field_begins():
    box = sheet("h01")
    field(box, "Course code").value, field(box, "Student code").value = "BENCH-9", "ROBIN"
    field(box, "Student code")._handle_custom_msg({"event": "submit"}, [])
    assert len(box.cards) == 11


def test_other_codes_have_a_record_of_their_own():
    box = opened()
    box.answer(1, "1 mV")
    button(box, "Other codes").click()
    assert seen(box._form) and not box._list.children
    field(box, "Course code").value, field(box, "Student code").value = "BENCH-9", "KIM"
    button(box._form, "Begin").click()
    assert box.cards[0].verdict is None
    box.begin("BENCH-9", "ROBIN")
    assert box.cards[0].attempts == 1


def test_plain_code_without_codes_or_with_a_wrong_number_is_refused():
    with pytest.raises(ValueError, match="Enter your course code"):
        sheet("h01").answer(1, "1 mV")
    for which in (0, 12, "x", None):
        with pytest.raises(ValueError, match="not on sheet h01"):
            opened().answer(which, "1 mV")
    with pytest.raises(ValueError, match="cannot be used"):
        sheet("h01", "BENCH 9", "ROBIN")


def test_each_answer_is_on_the_disk_before_the_remark(monkeypatch):
    box = opened()
    card = box.cards[0]
    monkeypatch.setattr(
        type(card), "_judge", lambda self, verdict: found.append(len(records.read_record(self._keeper.path).answers))
    )
    found = []
    box.answer(1, "1 mV")
    box.answer(1, "2 mV")
    assert found == [1, 2]


def test_an_answer_that_cannot_be_written_is_said(monkeypatch):
    monkeypatch.delenv("TEMPKIT_STRICT")
    card = opened().cards[0]

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(records, "write_bytes", full)
    card._entry.write("1 mV", None)
    button(card, "Check").click()
    assert "No space left on device" in told(card) and "press Check again" in told(card)


def test_an_empty_field_is_no_answer():
    box = opened()
    for number, nothing in ((1, ""), (1, "  "), (4, []), (9, ["", ""])):
        assert not box.answer(number, nothing).understood
    assert box.keeper.answers() == () and not box.keeper.path.exists()


def test_unread_answers_come_back_too_and_are_no_attempt():
    box = opened()
    box.answer(1, "many")
    card = opened().cards[0]
    assert card._entry.read()[0] == "many" and card.attempts == 0 and "? Not read" in told(card)


def test_hints_and_attempts_come_back():
    box = opened()
    button(box.cards[0], "Hint").click()
    for text in ("1 mV", "2 mV"):
        box.answer(1, text)
    card = opened().cards[0]
    assert card.hints_shown == 1 and "Hint 1 of" in told(card) and card.attempts == 2


def test_keys_that_arrive_after_enter_replace_what_was_unfinished(monkeypatch):
    monkeypatch.setattr(sheet_box, "LATE_S", 3600.0)
    monkeypatch.setattr("tempkit.exercises.cards.LATE_S", 3600.0)
    box = opened()
    card = box.cards[0]
    card.inputs[0].value = "7"
    card.inputs[0]._handle_custom_msg({"event": "submit"}, [])
    for text in ("75", "750", "750 mV"):
        card.inputs[0].value = text
    assert [a.text for a in box.keeper.answers()] == ["750 mV"]


def test_no_other_figures_on_a_sheet():
    for card in opened().cards:
        assert not seen(button(card, "Other figures"))


def test_the_solution_opens_after_a_right_answer_only():
    box = opened()
    solution = button(box.cards[5], "Worked solution")
    for text in ("1 °C", "2 °C", "3 °C", "4 °C"):
        box.answer(6, text)
        assert not seen(solution)
    box.cards[5].solve()
    assert "Worked solution:" not in told(box.cards[5])
    box.answer(6, box.cards[5].posed.model_answer())
    assert seen(solution)
    solution.click()
    assert "Worked solution:" in told(box.cards[5])


def test_begin_again_asks_first_and_keeps_the_old_record():
    box = opened()
    box.answer(1, "1 mV")
    button(box, "Begin this sheet again").click()
    assert seen(box._sure) and "Begin sheet h01 again?" in told(box) and box.keeper.answers()
    button(box, "No, keep").click()
    assert not seen(box._sure) and "Nothing was changed" in told(box) and box.cards[0].attempts == 1
    button(box, "Begin this sheet again").click()
    button(box, "Yes, begin again").click()
    assert box.cards[0].verdict is None and box.keeper.answers() == ()
    (aside,) = (keeper.folder() / keeper.OLD).iterdir()
    assert records.read_record(aside).answers[0].text == "1 mV" and str(aside) in told(box)
    assert opened().cards[0].verdict is None


def test_a_corrected_problem_asks_again(monkeypatch):
    box = opened()
    box.answer(1, box.cards[0].posed.model_answer())
    name = box.cards[0].posed.problem.id
    old = catalogue.problems

    def newer(which=None):
        found = old(which)
        return {id_: replace(p, version=p.version + 1) if id_ == name else p for id_, p in found.items()}

    monkeypatch.setattr("tempkit.exercises.sheets.problems", newer)
    card = opened().cards[0]
    assert card.verdict is None and "has been corrected since you answered it" in told(card)
    mine = box.keeper.answers()[0]
    then = personal_then(card.posed.problem, mine.version, mine.figures, "BENCH-9", "h01", "ROBIN")
    assert then == box.cards[0].posed.figures
    now = standing(sheet_plan("h01"), box.keeper.record)
    assert str(now) == "h01: 0 of 11 right, 0 answered and not right yet, 11 open"


def test_progress_over_the_book():
    box = opened()
    box.answer(1, box.cards[0].posed.model_answer())
    box.answer(2, "1 °C")
    lines = box.progress().splitlines()
    assert lines[0] == "h01: 1 of 11 right, 1 answered and not right yet, 9 open"
    assert len(lines) == len(SHEETS) and "0 of 15" in lines[1]
    assert standing(sheet_plan("h01"), box.keeper.record) == box.standing()
    with pytest.raises(ValueError, match="no codes were entered"):
        progress()
    keeper.enter("BENCH-9", "ROBIN")
    assert progress().splitlines() == lines
    box.keeper.path.write_text("{")
    assert progress().startswith("h01: the record cannot be read")


def test_a_sheet_is_read_without_a_kernel():
    box = sheet("h01")
    bundle = box._repr_mimebundle_()
    assert bundle["text/plain"] == box.words() and bundle["text/html"].count("<li><strong>") == 11
    before = bundle["text/html"]
    box.begin("BENCH-9", "ROBIN")
    box.answer(1, "1 mV")
    assert sheet("h01").static_html() == before == box.static_html()
    assert problem(box.plan.ids[0]).text in html.unescape(before)
