"""Homework in a real browser: a student answers h01, closes the kernel and goes on; an instructor marks a class."""

import json

import pytest

import browser
from tempkit.exercises import answers, sheet_plan
from tempkit.exercises import cards as cards_module

pytestmark = pytest.mark.browser
SHEET = "h01-temperature-to-code.ipynb"
CODES = ("BENCH-9", "ROBIN")


def cards(page):
    return page.locator(".tempkit-card:visible")


def remark(card):
    return card.locator('[role="status"]').first


def expect(page, place, *parts):
    """Wait until a place on the page tells all parts."""
    assert browser.until(page, lambda: all(part in place.inner_text() for part in parts)), place.inner_text()


def opened(lab, page):
    lab.open(page, SHEET)
    browser.run_all(page)
    return page.locator(".tempkit-practice")


def begun(lab, page):
    """The sheet with the codes entered, from the keyboard."""
    box = opened(lab, page)
    box.get_by_label("Course code").fill(CODES[0])
    box.get_by_label("Student code").fill(CODES[1])
    box.get_by_label("Student code").press("Enter")
    assert browser.until(page, lambda: cards(page).count() == 11)
    return box


def record(lab):
    return answers.read_record(lab.folder / "notebooks" / "answers" / f"h01_{'_'.join(CODES)}.json")


def test_a_student_answers_closes_and_goes_on(lab, page):
    begun(lab, page)
    posed = sheet_plan("h01").posed(*CODES)
    first, second = cards(page).nth(0), cards(page).nth(1)
    assert posed[0].text in first.inner_text()
    first.get_by_label("Answer to problem 1 of 11").fill("1,5 V")
    first.get_by_label("Answer to problem 1 of 11").press("Enter")
    expect(page, remark(first), "✗ Not yet")
    page.wait_for_timeout(2 * 1000 * cards_module.LATE_S)  # what is typed sooner counts as the end of the same answer
    first.get_by_label("Answer to problem 1 of 11").fill(posed[0].model_answer())
    first.get_by_role("button", name="Check").click()
    expect(page, remark(first), "✓ Right")
    second.get_by_label("Answer to problem 2 of 11").fill("12")
    second.get_by_label("Unit").select_option("°C")
    second.get_by_role("button", name="Check").press("Enter")
    expect(page, remark(second), "✗ Not yet")
    fourth = cards(page).nth(3)
    fourth.get_by_label(dict(posed[3].options)[posed[3].model_answer()]).check()
    fourth.get_by_role("button", name="Check").click()
    expect(page, remark(fourth), "✓ Right")
    assert [a.right for a in record(lab).answers] == [False, True, False, True]

    lab.renew(keep_answers=True)  # ends the kernel, and brings the stored notebook back
    opened(lab, page)
    assert browser.until(page, lambda: cards(page).count() == 11)
    again = cards(page).nth(0)
    assert again.get_by_label("Answer to problem 1 of 11").input_value() == posed[0].model_answer()
    assert "✓ Right" in remark(again).inner_text() and "✗ Not yet" in remark(cards(page).nth(1)).inner_text()
    third = cards(page).nth(2)
    third.get_by_label("Answer to problem 3 of 11").fill(posed[2].model_answer())
    third.get_by_role("button", name="Check").click()
    expect(page, remark(third), "✓ Right")
    expect(page, page.locator(".tempkit-practice"), "h01: 3 of 11 right, 1 answered and not right yet, 7 open")
    assert len(record(lab).answers) == 5


def test_begin_again_asks_first(lab, page):
    box = begun(lab, page)
    cards(page).nth(0).get_by_label("Answer to problem 1 of 11").fill("7 V")
    cards(page).nth(0).get_by_role("button", name="Check").click()
    expect(page, remark(cards(page).nth(0)), "✗ Not yet")
    box.get_by_role("button", name="Begin this sheet again").click()
    expect(page, box, "Begin sheet h01 again?")
    assert record(lab).answers
    box.get_by_role("button", name="Yes, begin again").click()
    expect(page, box, "The sheet is empty again.", "0 of 11 right, 0 answered")
    assert list((lab.folder / "notebooks" / "answers" / "old").iterdir())


def test_the_sheet_in_back_row_size(lab, page):
    (lab.folder / "notebooks" / "my-book.json").write_text(json.dumps({"room": True}))
    begun(lab, page)
    text = cards(page).nth(0).locator(".tempkit-card-text").nth(1)
    assert text.evaluate("e => getComputedStyle(e).fontSize") == "31px"


def test_an_instructor_marks_a_class_and_can_say_what_to_teach_again(lab, page):
    """The notebook's invented class of 30, then the same by the form, after its student S-10 was deleted."""
    lab.open(page, "90-marking-desk.ipynb")
    browser.run_all(page)
    ideas = page.locator(".tempkit-report > ol > li > strong")
    assert browser.until(page, lambda: ideas.count() == 3)
    before = ideas.all_inner_texts()
    page.get_by_role("button", name="Mark", exact=True).click()
    form = page.locator(".tempkit-practice")
    expect(page, form, "h01: 26 of 30 (87 %) handed in", "teach again 1: ", "teach again 3: ", "Odd in the folder")
    assert form.locator("ol > li > strong").first.inner_text() in before
    form.get_by_label("Class list, CSV").fill("no-such-list.csv")
    page.get_by_role("button", name="Mark", exact=True).press("Enter")
    expect(page, form, "no-such-list.csv: cannot be opened: No such file or directory")
