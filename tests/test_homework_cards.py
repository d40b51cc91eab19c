"""Cards driven as a reader would: type, press Enter, click; no browser needed."""

import html
import re
import warnings
from dataclasses import replace

import ipywidgets
import pytest

from tempkit import book
from tempkit.draw import Keys, Shown
from tempkit.exercises import Choice, Number, Posed, Table, cards, practice, problem, problems
from tempkit.exercises.cards import Card, Practice
from tempkit.exercises.catalogue import chapters


@pytest.fixture(autouse=True)
def strict(monkeypatch, caplog):
    """An error in a callback is raised; the click that swallows and logs it fails the test."""
    monkeypatch.setenv("TEMPKIT_STRICT", "1")
    monkeypatch.setattr(cards, "LATE_S", 0.0)
    yield
    assert not [record for record in caplog.get_records("call") if "callback" in record.getMessage()]


@pytest.fixture
def step():
    """The card of one problem with a number and a unit: one step in degrees."""
    return Card(problem("02-step-in-degrees"), "problem 1")


def button(card, text):
    """The button of a card whose label starts with the text."""
    (found,) = [b for b in walk(card) if isinstance(b, ipywidgets.Button) and b.description.startswith(text)]
    return found


def walk(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def told(card):
    """All text of a card as it is heard, without marks."""
    texts = [w.value for w in walk(card) if isinstance(w, ipywidgets.HTML)]
    return html.unescape(re.sub(r"<[^>]+>", " ", " ".join(texts)))


def press_enter(field):
    field._handle_custom_msg({"event": "submit"}, [])


def answer(card, text, unit=None):
    card.inputs[0].value = text
    if unit is not None:
        card.inputs[1].value = unit
    button(card, "Check").click()


def enter_right_answer(card):
    """Fill in the model answer through the widgets, whatever their kind."""
    posed, kind = card.posed, card.posed.problem.answer
    right = posed.model_answer()
    if isinstance(kind, Number):
        card.inputs[0].value = right
    elif isinstance(kind, Table):
        fields = [w for w in card.inputs if isinstance(w, ipywidgets.Text)]
        for field, text in zip(fields, right, strict=True):
            field.value = text
    elif kind.several:
        boxes = [w for w in card.inputs if isinstance(w, ipywidgets.Checkbox)]
        for box, (key, _) in zip(boxes, posed.options, strict=True):
            box.value = key in right
    else:
        card.inputs[0].value = right
    button(card, "Check").click()


@pytest.mark.parametrize("chapter", chapters())
def test_every_problem_can_be_answered_in_its_card(chapter):
    box = practice(chapter)
    box.more()
    assert len(box.cards) == len(problems(chapter))
    for card in box.cards:
        assert card.posed.text in told(card)
        enter_right_answer(card)
        assert card.verdict.right, card.verdict
        assert "✓ Right" in told(card)


def test_wrong_then_hint_then_right(step):
    answer(step, "39,06", "°C")
    assert "✗ Not yet: The step was multiplied" in told(step) and step.attempts == 1
    assert "Hint 1 of 3" not in told(step)
    button(step, "Hint").click()
    assert "Hint 1 of 3" in told(step) and "Hint 2" not in told(step)
    answer(step, "0,610", "°C")
    assert "✓ Right" in told(step) and "✗" not in told(step)


def test_enter_in_the_field_checks(step):
    step.inputs[0].value = "0.610 °C"
    assert step.verdict is None
    press_enter(step.inputs[0])
    assert step.verdict.right


def test_keys_that_arrive_after_enter_are_still_judged(step, monkeypatch):
    """Fast typing: the field had "7" when Enter came, and "7.5 °C" and at last the right text a moment later."""
    monkeypatch.setattr(cards, "LATE_S", 3600.0)
    step.inputs[0].value = "7 °C"
    press_enter(step.inputs[0])
    step.inputs[0].value = "7.5 °C"
    assert step.verdict.value == 7.5 and step.attempts == 1
    step.inputs[0].value = "0.610 °C"
    assert step.verdict.right and step.attempts == 0
    assert button(step, "Worked solution").layout.display is None


def test_typing_alone_is_not_judged(step):
    step.inputs[0].value = "7 °C"
    assert step.verdict is None
    press_enter(step.inputs[0])
    step.inputs[0].value = "0.610 °C"
    assert not step.verdict.right and step.attempts == 1


def test_an_open_solution_stays_open(step):
    for text in ("0.610 °C", "7 °C"):
        answer(step, text)
        assert button(step, "Worked solution").layout.display is None


def test_the_choice_of_a_unit_comes_with_its_question(step):
    answer(step, "0.610")
    assert "? Not read: Give the unit too" in told(step) and step.attempts == 0
    assert step.inputs[1].options[0] == ("choose a unit", "")


def test_too_few_digits_are_told_and_are_no_attempt(step):
    answer(step, "0.6 °C")
    assert "≈ Too few digits: Right, but to one digit; give three digits." in told(step) and step.attempts == 0
    assert button(step, "Worked solution").layout.display == "none"
    answer(step, "0.610 °C")
    assert "✓ Right" in told(step)


def test_where_the_unit_is_the_question_there_is_no_other_to_choose():
    card = Card(problem("04-span-in-fahrenheit"), "problem 1")
    assert not [each for each in walk(card) if isinstance(each, ipywidgets.Dropdown)]
    answer(card, "0.5 °C")
    assert "? Not read: The question asks for °F" in told(card) and card.attempts == 0
    answer(card, "0.9")
    assert card.verdict.right


def test_hints_come_one_by_one_and_end(step):
    for number in (1, 2, 3, 3, 3):
        button(step, "Hint" if step.hints_shown < 3 else "No more").click()
        assert step.hints_shown == number
    assert button(step, "No more hints").description == "No more hints"


def test_the_solution_opens_after_three_different_wrong_answers(step):
    solution = button(step, "Worked solution")
    for text in ("1 °C", "1 °C", "1.0 °C", "words", "", "2 °C"):
        answer(step, text)
        assert solution.layout.display == "none"
    solution.click()
    assert "Worked solution:" not in told(step)
    answer(step, "3 °C")
    assert solution.layout.display is None and step.attempts == 3
    solution.click()
    assert "= 0.610352 °C" in told(step)


def test_the_solution_opens_after_a_right_answer(step):
    answer(step, "0.610", "°C")
    button(step, "Worked solution").click()
    assert "= 0.610352 °C" in told(step)


def test_other_figures_start_afresh(step):
    before, figures = step.posed.text, step.posed.figures
    answer(step, "0.610", "°C")
    button(step, "Hint").click()
    button(step, "Other figures").click()
    assert step.posed.figures != figures and before not in told(step) and step.posed.text in told(step)
    assert (step.verdict, step.attempts, step.hints_shown) == (None, 0, 0)
    assert (step.inputs[0].value, step.inputs[1].value) == ("", "")
    assert button(step, "Worked solution").layout.display == "none" and "Right" not in told(step)
    enter_right_answer(step)
    assert step.verdict.right


def test_a_problem_with_one_set_has_no_other_figures():
    card = practice("03-after-a-change").cards[0]
    assert button(card, "Other figures").layout.display == "none"


def test_other_figures_change_the_labels_of_a_table():
    card = practice("04-four-codes").cards[0]
    labels = [w.description for w in card.inputs if isinstance(w, ipywidgets.Text)]
    button(card, "Other figures").click()
    changed = [w.description for w in card.inputs if isinstance(w, ipywidgets.Text)]
    assert len(labels) == len(changed) == 8 and labels != changed


def test_every_input_has_a_label_of_its_own_and_none_is_cut_off():
    for card in practice("01").cards + practice("04").cards:
        inputs = [
            w for w in card.inputs if isinstance(w, ipywidgets.Text | ipywidgets.Dropdown | ipywidgets.RadioButtons)
        ]
        inputs += [w for w in card.inputs if isinstance(w, ipywidgets.Checkbox)]
        labels = [w.description for w in inputs]
        assert inputs and all(labels) and len(set(labels)) == len(labels)
        assert all(w.style.description_width == "initial" for w in inputs)


def test_what_changes_is_a_status_for_screen_readers(step):
    answer(step, "0.610", "°C")
    regions = [w.value for w in walk(step) if isinstance(w, ipywidgets.HTML) and 'role="status"' in w.value]
    assert len(regions) == 2 and all('aria-live="polite"' in region for region in regions)
    assert any("✓ Right" in region for region in regions)


def test_right_and_wrong_are_told_by_words_and_signs():
    card = Card(problem("02-step-in-degrees"), "problem 1")
    for text, sign in (("0.610 °C", "✓ Right"), ("7 °C", "✗ Not yet"), ("?", "? Not read")):
        answer(card, text)
        assert sign in told(card)


def test_text_is_escaped():
    problem = replace(problems()["02-step-in-mv"], title="<b>Step</b>", asks="Is 1 < 2 & <script>x</script>?")
    box = Practice([problem])
    head = box.cards[0].children[0].value
    for shown in (head, box.static_html()):
        assert "<script>" not in shown and "<b>Step" not in shown and "1 &lt; 2 &amp; &lt;script&gt;" in shown
    answer(box.cards[0], "5 <img src=x>")
    assert "<img" not in box.cards[0]._remark.value and "&lt;img" in box.cards[0]._remark.value


def test_an_error_in_a_callback_is_told_with_what_to_do(step, monkeypatch):
    def broken(*_):
        raise RuntimeError("the sky < fell")

    monkeypatch.setattr(Posed, "check", broken)
    with pytest.raises(RuntimeError):
        step._guarded(step.check)
    monkeypatch.delenv("TEMPKIT_STRICT")
    answer(step, "1 °C")
    assert "RuntimeError: the sky < fell" in told(step) and "Run the cell again" in told(step)
    assert "sky &lt; fell" in step._remark.value


def test_the_stored_output_reads_without_a_kernel():
    box = practice("02")
    assert isinstance(box, Shown)
    bundle = box._repr_mimebundle_()
    assert bundle["text/plain"] == box.words() == practice("02").words()
    rest = len(problems("02")) - 6
    assert box.words().startswith(f"Practice for chapter 02: 6 problems for everybody, {rest} more.")
    box.more()
    for each, card in zip(problems("02").values(), box.cards, strict=True):
        assert html.escape(each.title) in bundle["text/html"] and html.escape(card.posed.text) in bundle["text/html"]
    assert "<script" not in bundle["text/html"] and not re.search(r'src=(?!"data:image/png)', bundle["text/html"])
    choice = practice("03-after-a-change").static_html()
    assert choice.count("<li>") == 5


def test_the_stored_output_does_not_change_while_answering():
    box = practice("02")
    before = box.words(), box.static_html()
    for card in box.cards:
        enter_right_answer(card)
        card.other()
    assert (box.words(), box.static_html()) == before


def test_two_boxes_share_nothing():
    one, other = practice("02-step-in-degrees").cards[0], practice("02-step-in-degrees").cards[0]
    answer(one, "0.610", "°C")
    one.other()
    assert other.verdict is None and other.posed.figures != one.posed.figures and other.inputs[0].value == ""


def test_no_output_widget_and_no_warning():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        box = practice("04")
        for card in box.cards:
            enter_right_answer(card)
            card.other()
    assert not [w for w in walk(box) if isinstance(w, ipywidgets.Output)]


def test_each_box_keeps_its_keys_from_the_notebook():
    assert sum(isinstance(widget, Keys) for widget in practice("02").children) == 1


def test_back_row_size_follows_the_book():
    assert "tempkit-room" not in practice("02-step-in-mv")._dom_classes
    book.choose(room=True)
    assert "tempkit-room" in practice("02-step-in-mv")._dom_classes


def test_old_inputs_are_closed_when_figures_change(step):
    old = step.inputs
    button(step, "Other figures").click()
    assert all(widget.comm is None for widget in old) and all(widget.comm is not None for widget in step.inputs)


def test_a_card_says_its_number_of_how_many():
    box = practice("02")
    box.more()
    heads = [card.children[0].value for card in box.cards]
    assert all(f"Problem {number} of {len(heads)}: " in head for number, head in enumerate(heads, 1))
    assert all(isinstance(card, Card) for card in box.cards)


def test_unknown_practice_says_what_there_is():
    with pytest.raises(ValueError, match="chapters with problems are 01, 02"):
        practice("88")


def test_choices_are_set_out_with_every_option():
    for card in practice("03").cards + practice("01").cards:
        kind = card.posed.problem.answer
        if isinstance(kind, Choice):
            shown = [w.description for w in card.inputs if isinstance(w, ipywidgets.Checkbox)]
            shown += [text for w in card.inputs if isinstance(w, ipywidgets.RadioButtons) for text, _ in w.options]
            assert shown == [text for _, text in card.posed.options]
            assert {key for key, _ in card.posed.options} == {option.key for option in kind.options}


def test_practice_does_not_begin_with_the_figures_that_the_chapter_works_with():
    card = practice("02-code-for-temperature").cards[0]
    assert card.posed.figures != problem("02-code-for-temperature").figures and card.posed.turn == 1
