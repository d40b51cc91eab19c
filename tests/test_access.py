"""Every box of every notebook in a real browser: axe-core, letters for the back row, zoom, order of the keys.

Each notebook is run once. It is judged in the light theme at desk size, then in the dark one at back-row size.
"""

import re

import pytest

import access
import browser
import house
from notebooks import in_the_book, read

pytestmark = pytest.mark.browser
NOTEBOOKS = sorted(path.name for path in in_the_book() if any(cell.cell_type == "code" for cell in read(path).cells))
SCREEN = {"width": 1280, "height": 720}
ZOOMED = {"width": 640, "height": 360}  # 200 % of the same screen
# What JupyterLab 4.6 and ipywidgets 8.1 cause outside all boxes of ours, by axe's rule, and why it is not ours.
THEIRS = {
    "aria-allowed-attr": "a button of the tool bar",
    "aria-input-field-name": "the notebook's own code editors have no name",
    "aria-required-children": "the list of cells",
    "button-name": "the buttons that fold a heading",
    "region": "parts of the page outside all landmarks",
}


@pytest.fixture
def screen():
    """A projector's."""
    return SCREEN


@pytest.fixture(scope="module", autouse=True)
def axe():
    house.require("axe", not access.missing(), access.missing())


def opened(lab, page, name):
    """A notebook that has run, without side bar, as README.md says for the projector."""
    lab.open(page, name)
    page.keyboard.press("Control+b")
    browser.run_all(page)
    browser.unfold(page)


def unfold(page):
    """Bring to light all that a box can show: tables, files, remarks, hints; a sheet's cards."""
    for button in ("Number table", "My design file", "My log file"):
        for each in page.get_by_role("button", name=button).all():
            each.click()
    if page.get_by_label("Student code").is_visible():  # the next sheets know the codes of the first
        page.get_by_label("Course code").fill("BENCH-9")
        page.get_by_label("Student code").fill("ROBIN")
        page.get_by_label("Student code").press("Enter")
        assert browser.until(page, lambda: page.locator(".tempkit-card:visible").count() > 7)
    cards = page.locator(".tempkit-card:visible")
    for button in ("Hint", "Check"):
        for each in cards.get_by_role("button", name=button).all():
            each.click()
    assert browser.until(page, lambda: len(remarks(cards)) == cards.count())


def remarks(cards):
    return [told for told in cards.locator('[role="status"]').all_inner_texts() if "Hint 1 of" in told]


def to_the_back_row(page):
    """One button for the whole notebook; a page without explorer has none, and takes the class that it would set."""
    switch = page.get_by_role("button", name="Back-row size")
    boxes = page.locator(access.BOXES)
    if not switch.count():
        boxes.evaluate_all("boxes => boxes.forEach((box) => box.classList.add('tempkit-room'))")
        return
    switch.first.click()
    boxes_in_it = page.locator(".tempkit-room")
    follow = browser.until(page, lambda: boxes_in_it.count() == boxes.count())
    names = boxes.evaluate_all("boxes => boxes.map((box) => box.className)")
    pressed = switch.evaluate_all("all => all.map((one) => [one.className, one.disabled, one.isConnected])")
    assert follow, f"a box does not follow the switch: {names}, the switches {pressed}"
    pictures = page.locator(".tempkit-explorer:has(.tempkit-slide) img")
    wide = "images => images.every((image) => image.naturalWidth === 1080)"
    assert browser.until(page, lambda: pictures.evaluate_all(wide)), "a picture does not follow the switch"


def count_hands(page):
    """A class of nine predicts; the answer is told only when it is revealed."""
    for box in page.locator(".tempkit-explorer:has(button:text-is('Reveal'))").all():
        number = box.get_by_label(re.compile("^a prediction"))
        if number.count():
            number.fill("21")
            number.press("Tab")
        hands = box.get_by_label("hands", exact=True) if number.count() else box.get_by_label("hands for A")
        hands.fill("9")
        hands.press("Enter")
        told = box.locator('[role="status"]')
        counted = "9 hands: 9 for 21" if number.count() else "9 hands: 9 for A"
        assert browser.until(page, lambda told=told, counted=counted: counted in told.inner_text()), told.inner_text()
        assert "held back" in told.inner_text() and "It is" not in told.inner_text()
        box.get_by_role("button", name="Reveal").press("Enter")
        assert browser.until(page, lambda told=told: "It is" in told.inner_text()), told.inner_text()
        assert "◀ the answer" in box.locator("table").inner_text()


def predict_alone(page):
    """One reader commits to 21, or to the first idea: then what was seen can be said, and nothing is told before."""
    for box in page.locator(".tempkit-explorer:has(button:text-is('Show of hands'))").all():
        number = box.get_by_label(re.compile("^my prediction"))
        if number.count():
            number.fill("21")
            number.press("Enter")
        else:
            box.get_by_role("button", name=re.compile("^A: ")).press("Enter")
        told = box.locator('[role="status"]')
        assert browser.until(page, lambda told=told: "You predict" in told.inner_text()), told.inner_text()
        asked = box.get_by_text("What did you see?", exact=True)
        assert browser.until(page, asked.is_visible)


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_every_box_of_a_notebook(name, lab, page):
    opened(lab, page, name)
    unfold(page)
    predict_alone(page)
    assert access.violations(page) == []
    assert access.pale(page) == []
    assert access.cut(page) == []
    page.set_viewport_size(ZOOMED)
    page.wait_for_timeout(200)
    assert access.cut(page) == [], "at 200 % zoom"
    page.set_viewport_size(SCREEN)

    browser.theme(page, "Dark")
    to_the_back_row(page)
    count_hands(page)
    assert access.violations(page) == []
    assert access.pale(page) == []
    assert access.cut(page) == []
    assert access.small_letters(page) == []
    for alt, scale in access.pictures(page):
        assert len(alt) > 20 and scale >= 0.999, "a picture is made smaller, and its letters with it"
    for explorer in page.locator(".tempkit-explorer:has(.tempkit-slide)").all():
        assert picture_and_slider_fit(page, explorer)


def picture_and_slider_fit(page, explorer):
    """Whether the whole picture and the first slider stand on the screen together."""
    explorer.evaluate("box => box.scrollIntoView({ block: 'start' })")
    page.wait_for_timeout(50)
    panel = page.locator(".jp-WindowedPanel-outer:visible").first.bounding_box()
    picture, slider = (explorer.locator(each).first.bounding_box() for each in ("img", "input[type=range]"))
    bottom = panel["y"] + panel["height"]
    return picture["y"] >= panel["y"] - 1 and slider["y"] + slider["height"] <= bottom


def test_what_jupyterlab_itself_causes(lab, page):
    """Outside our boxes: known rules, each with its reason, and no other."""
    opened(lab, page, "00-start-here.ipynb")
    found = access.violations(page, include=("body",), exclude=(access.OURS,))
    print("\n".join(found))
    assert {told.partition(":")[0] for told in found} <= set(THEIRS)


def test_axe_finds_what_is_wrong(lab, page):
    """The check can fail: a field without a name, pale words, a picture without alt text, small letters, a cut line."""
    opened(lab, page, "00-start-here.ipynb")
    page.locator(".tempkit-explorer").last.evaluate(
        """box => { box.insertAdjacentHTML("beforebegin",
          `<p style="color:#888;font-size:12px;background:#fff" class="tempkit-explorer">pale</p>`);
        box.insertAdjacentHTML("beforeend", `<input><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">
          <div style="width:3000px">wide</div>`); }"""
    )
    found = {told.partition(":")[0] for told in access.violations(page)}
    assert {"label", "image-alt"} <= found
    contrast = 1.05 / (0.2462 + 0.05)  # grey 0x88, relative luminance 0.2462 (WCAG 2.2), on white
    assert [round(contrast, 2), "pale"] in access.pale(page)
    assert any("wide" in told for told in access.cut(page))
    assert "pale" in [text for _, text in access.small_letters(page)]


def test_tab_walks_through_an_explorer_as_one_reads(lab, page):
    """From the first slider to the last button: down and to the right, nothing left out, and out again."""
    opened(lab, page, "03-supply-and-reference.ipynb")
    box = page.locator(".tempkit-explorer:has(.tempkit-slide)").first
    wanted = box.locator("input:visible:not([disabled]), select:visible:not([disabled]), button:visible")
    names = "e => e.getAttribute('aria-label') || e.labels?.[0]?.textContent || e.textContent"
    expected = [each.evaluate(names) for each in wanted.all()]
    wanted.first.focus()
    page.keyboard.press("Shift")  # now the browser knows that the keyboard is used
    walked = []
    for _ in expected:
        walked.append(page.evaluate(f"() => ({names})(document.activeElement)"))
        assert page.evaluate("() => getComputedStyle(document.activeElement).outlineStyle") != "none", walked[-1]
        page.keyboard.press("Tab")
    assert walked == expected and all(walked)
    places = [each.bounding_box() for each in wanted.all()]
    rows = [round(place["y"] + place["height"] / 2) // 12 for place in places]
    assert rows == sorted(rows)
    assert not box.evaluate("box => box.contains(document.activeElement)")


def test_keys_on_a_button_are_not_the_notebooks(lab, page):
    """Enter and Space press the button that has the focus; letters do nothing, whatever they do in the notebook."""
    opened(lab, page, "03-supply-and-reference.ipynb")
    cells = page.locator(".jp-Notebook .jp-Cell").count()
    box = page.locator(".tempkit-explorer:has(.tempkit-slide)").first
    button = box.get_by_role("button", name="Number table")
    table = box.locator("table", has_text="true temperature")
    button.press("Enter")
    table.wait_for()
    for letter in "abxdd":
        button.press(letter)
    button.press("Space")
    table.wait_for(state="hidden")
    assert page.locator(".jp-Notebook .jp-Cell").count() == cells
    assert page.locator(".jp-Notebook.jp-mod-editMode").count() == 0


def test_a_readout_is_announced_once(lab, page):
    """Ten steps of a drag and one release: a live region changes once, and then holds the words that are seen."""
    opened(lab, page, "03-supply-and-reference.ipynb")
    box = page.locator(".tempkit-explorer:has(.tempkit-slide)").first
    box.evaluate(
        """box => { window.heard = [box.querySelector("[role=status]").textContent]; new MutationObserver(() => {
          const told = box.querySelector("[role=status]")?.textContent;
          if (told && told !== window.heard.at(-1)) window.heard.push(told);
        }).observe(box, { subtree: true, childList: true, characterData: true }); }"""
    )
    slider = box.locator("input[type=range]").first
    words = box.locator(".tempkit-words").first
    slider.evaluate(
        """async (slider) => { for (let value = 30; value < 40; value += 1) {
          slider.value = value; slider.dispatchEvent(new Event("input", { bubbles: true }));
          await new Promise((done) => setTimeout(done, 60)); } }"""
    )
    assert browser.until(page, lambda: "39.0 °C" in words.inner_text())
    assert len(page.evaluate("() => window.heard")) == 1, "a drag is not announced"
    slider.dispatch_event("change")
    assert browser.until(page, lambda: page.evaluate("() => window.heard.length") == 2)
    assert page.evaluate("() => window.heard[1].trim()") == words.inner_text().strip()
