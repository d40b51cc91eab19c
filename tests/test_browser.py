"""The book in a real browser, as a reader meets it: README.md's start command, mouse, keyboard, no error anywhere."""

import io
import json
import re

import numpy as np
import pytest
from PIL import Image

import access
import browser
from tempkit.chain import file, scenario
from tempkit.exercises import prediction

pytestmark = pytest.mark.browser
CHAPTERS = sorted(path.name for path in (browser.ROOT / "notebooks").glob("[0-9][0-9]-*.ipynb"))
CHOICES = ".tempkit-choices"
OBJECT_TEXT = re.compile(r"\b[A-Z]\w+\((children|value|layout|options|description)=|<\w+(\.\w+)* object at|Traceback")


def stored_cells(name):
    notebook = json.loads((browser.ROOT / "notebooks" / name).read_text(encoding="utf-8"))
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]


class Handle:
    """An explorer on the page, and the three things in it that a reader watches."""

    def __init__(self, box):
        self.box = box

    def slider(self, label):
        return self.box.get_by_label(re.compile(f"^{re.escape(label)}(?!.*typed)"))

    def seen(self):
        """Picture and words as they stand now."""
        return self.picture(), self.told()

    def picture(self):
        pictures = self.box.locator("img")
        return pictures.first.get_attribute("src") if pictures.count() else ""

    def told(self):
        return self.box.locator(".tempkit-words").first.inner_text()

    def wait_for_change(self, before, patience_ms=browser.PATIENCE_MS):
        """Whether picture and words are other ones before our patience ends."""
        return browser.until(self.box.page, lambda: self.seen() != before, patience_ms)

    def expect_told(self, *parts):
        """Wait until the words hold all parts."""
        came = browser.until(self.box.page, lambda: all(part in self.told() for part in parts))
        assert came, f"{parts} not in: {self.told()}"


def explorers(page):
    """The explorers that now stand on the page with sliders."""
    return [Handle(box) for box in page.locator(".tempkit-explorer:has(.tempkit-slide)").all()]


@pytest.fixture
def bench(lab, page):
    """Chapter 00's explorer, live, as the start command shows it."""
    lab.open(page, "00-start-here.ipynb")
    browser.run_all(page)
    (only,) = explorers(page)
    return only


def test_start_command_opens_the_first_chapter(lab, page):
    page.goto(lab.start_page())
    page.locator(".jp-Notebook h1").first.wait_for()
    assert page.title().startswith("00-start-here") or "00-start" in page.title()


@pytest.mark.parametrize("name", CHAPTERS)
def test_a_chapter_that_was_not_run_can_be_read(name, lab, page):
    """Every stored box shows its picture with alt text, a table, or sentences; nowhere the text of an object."""
    lab.open(page, name)
    shown = page.locator(".jp-OutputArea-output")
    stored = [output for cell in stored_cells(name) for output in cell["outputs"]]
    assert shown.count() == len(stored)
    for output, box in zip(stored, shown.all(), strict=True):
        text = box.inner_text()
        assert not OBJECT_TEXT.search(text), text
        for picture in box.locator("img").all():
            assert len(picture.get_attribute("alt")) > 20
            assert picture.evaluate("img => img.decode().then(() => img.naturalWidth)") > 100
        html = "".join(output.get("data", {}).get("text/html", ""))
        assert box.locator("img").count() == html.count("<img ")
        if output["output_type"] == "display_data" or "text/html" in output.get("data", {}):
            readable = box.locator("img").count() or box.locator("table tr:has(th) td").count()
            assert readable or re.search(r"\w+ \w+ \w+.*[.?]", text), text


@pytest.mark.parametrize("name", CHAPTERS)
def test_a_chapter_runs_and_every_slider_works_from_the_keyboard(name, lab, page):
    lab.open(page, name)
    browser.run_all(page)
    meant_to_fail = [cell for cell in stored_cells(name) if "raises-exception" in cell["metadata"].get("tags", [])]
    failed = page.locator('.jp-OutputArea-output[data-mime-type="application/vnd.jupyter.stderr"]')
    assert failed.count() == len(meant_to_fail), failed.all_inner_texts()
    browser.unfold(page)
    found = explorers(page)
    assert found or not any("explorers" in "".join(cell["source"]) for cell in stored_cells(name))
    for explorer in found:
        for slider in explorer.box.locator(".tempkit-slide input[type=range]:not([disabled])").all():
            assert follows_keys(explorer, slider), f"{slider.get_attribute('aria-valuetext')}: no key changes anything"
        assert "cannot be shown" not in explorer.told()


def follows_keys(explorer, slider):
    """Whether picture or words change when the slider is moved to an end, or from there to the other."""
    for key in ("End", "Home"):
        before, value = explorer.seen(), slider.input_value()
        slider.press(key)
        if slider.input_value() != value and explorer.wait_for_change(before, 5_000):
            explorer.box.get_by_role("button", name="Reset").click()
            return True
    return False


def test_mouse_drag(bench):
    slider = bench.slider("temperature")
    before = bench.seen()
    slider.scroll_into_view_if_needed()
    place, mouse = slider.bounding_box(), slider.page.mouse
    low, high, value = (float(slider.get_attribute(name) or 0) for name in ("min", "max", "step"))
    value = float(slider.input_value())
    x, y = place["x"] + place["width"] * (value - low) / (high - low), place["y"] + place["height"] / 2
    mouse.move(x, y)
    mouse.down()
    mouse.move(x + 40, y, steps=8)
    mouse.up()
    assert bench.wait_for_change(before)
    dragged = float(slider.input_value())
    assert dragged > value + 5
    bench.expect_told(f"The air is at {dragged:.1f} °C.")
    assert bench.picture() != before[0]
    assert bench.box.locator("input[inputmode=decimal]").first.input_value() == f"{dragged:.1f}"


def test_keys_move_the_slider(bench):
    slider = bench.slider("temperature")
    slider.press("PageUp")
    bench.expect_told("The air is at 41.5 °C.")
    slider.press("PageDown")
    bench.expect_told("The air is at 25.0 °C.")
    slider.press("Home")
    bench.expect_told("The air is at −40.0 °C")


def test_the_notebook_leaves_keys_to_the_slider(bench):
    """The arrow keys are the slider's; letters that are the notebook's commands elsewhere do nothing here."""
    slider, page = bench.slider("temperature"), bench.box.page
    cells = page.locator(".jp-Notebook .jp-Cell").count()
    slider.press("a")
    slider.press("ArrowRight")
    slider.press("ArrowUp")
    assert browser.until(page, lambda: "The air is at 25.2 °C." in bench.told(), 5_000)
    assert page.locator(".jp-Notebook .jp-Cell").count() == cells


def test_typed_number_and_reset(bench):
    field = bench.box.get_by_label("temperature, °C, typed")
    before = bench.seen()
    field.fill("18")
    field.press("Tab")
    bench.expect_told("The air is at 18.0 °C.", f"code {scenario().code(18.0)} ")
    assert float(bench.slider("temperature").input_value()) == 18.0
    field.fill("999")
    field.blur()
    said = bench.box.locator(".tempkit-slide p").first
    assert browser.until(bench.box.page, lambda: said.inner_text().startswith("“999” is not taken."))
    assert said.inner_text().endswith("Type one from −40 to 125 °C. It is 18 °C as before.")
    assert said.get_attribute("aria-live") == "polite" and field.input_value() == "18.0"
    assert field.get_attribute("aria-describedby") == said.get_attribute("id")
    bench.expect_told("The air is at 18.0 °C.")
    bench.box.get_by_role("button", name="Reset").click()
    bench.expect_told(before[1])
    assert browser.until(bench.box.page, lambda: bench.seen() == before)


def test_enter_takes_a_typed_number(bench):
    field = bench.box.get_by_label("temperature, °C, typed")
    field.fill("18")
    field.press("Enter")
    assert browser.until(bench.box.page, lambda: "The air is at 18.0 °C." in bench.told(), 5_000)


def test_a_comma_and_a_true_minus_are_read(bench):
    """Typed key by key, and pasted, as a reader does; a number field would make 25 and 5 of them."""
    field, page = bench.box.get_by_label("temperature, °C, typed"), bench.box.page
    for text, told in (("2,5", "2.5 °C"), ("\N{MINUS SIGN}5.0 °C", "−5.0 °C"), ("77 °F", "25.0 °C")):
        field.select_text()
        page.keyboard.type(text)
        field.press("Enter")
        bench.expect_told(f"The air is at {told}.")
    field.select_text()
    page.keyboard.insert_text("\N{MINUS SIGN}5.0")
    field.press("Tab")
    bench.expect_told("The air is at −5.0 °C.")
    assert field.input_value() == "-5.0"


def active(page, index):
    """Whether the cell with this number is the notebook's active one, has the focus and is in command mode."""
    return page.locator(".jp-Notebook .jp-Cell").nth(index).evaluate(
        """cell => cell.matches(".jp-mod-active") && cell === document.activeElement
        && cell.closest(".jp-Notebook").matches(".jp-mod-commandMode")"""
    )


def prompt_number(cell):
    return cell.locator(".jp-InputPrompt").first.inner_text()


def leads_back(page, control):
    """Escape goes from the control to its cell; Shift+Enter and Ctrl+Enter run that cell, as in its text."""
    place = "e => [...document.querySelectorAll('.jp-Notebook .jp-Cell')].indexOf(e.closest('.jp-Cell'))"
    index = control.evaluate(place)
    cell = page.locator(".jp-Notebook .jp-Cell").nth(index)
    control.focus()
    page.keyboard.press("Escape")
    assert browser.until(page, lambda: active(page, index), 5_000), "Escape"
    before = prompt_number(cell)
    for keys, then in (("Control+Enter", index), ("Shift+Enter", index + 1)):
        yield keys
        page.keyboard.press(keys)
        ran = browser.until(page, lambda: prompt_number(cell) not in (before, "[*]:"), 15_000)  # noqa: B023
        assert ran, f"{keys} does not run the cell: {before}"
        assert browser.until(page, lambda: active(page, then), 5_000), keys  # noqa: B023
        before = prompt_number(cell)


@pytest.mark.parametrize("kind", ["input[type=range]", "input[inputmode=decimal]", "select", "button"])
def test_keys_lead_from_an_explorer_back_to_its_cell(kind, lab, page):
    lab.open(page, "03-supply-and-reference.ipynb")
    browser.run_all(page)
    control = page.locator(".tempkit-explorer:has(.tempkit-slide)").first.locator(f"{kind}:visible").first
    control.wait_for()
    for _ in leads_back(page, control):
        control.wait_for()
        control.focus()


@pytest.mark.parametrize("kind", ["select", "input[type=text]", "input[type=radio]"])
def test_keys_lead_from_choices_predictions_and_practice_back_to_the_cell(kind, lab, page):
    names = {"input[type=radio]": "02-bit-depth.ipynb", "input[type=text]": "06-noise-and-averaging.ipynb"}
    lab.open(page, names.get(kind, "00-start-here.ipynb"))
    browser.run_all(page)
    boxes = {"select": ".tempkit-choices", "input[type=radio]": ".tempkit-card:has(input[type=radio])"}
    place = boxes.get(kind, ".tempkit-explorer:has-text('my prediction')")
    control = page.locator(place).first.locator(f"{kind}:visible").first
    control.wait_for()
    for _ in leads_back(page, control):
        control.wait_for()
        control.focus()


def outline(page, control):
    """How many pixels of an outline can really be seen beyond a control's four sides, halfway along each.

    A pixel counts where its contrast to the same place without focus is 3:1 or more (WCAG 2.2, 2.4.13).
    """
    control.scroll_into_view_if_needed()
    place = control.bounding_box()
    left, top = (int(place[name] + 0.5) - 9 for name in ("x", "y"))
    right, bottom = int(place["x"] + place["width"] + 0.5) + 9, int(place["y"] + place["height"] + 0.5) + 9
    clip = {"x": left, "y": top, "width": right - left, "height": bottom - top}
    page.evaluate("document.activeElement.blur()")
    before = _luminance(page.screenshot(clip=clip))
    control.focus()
    page.keyboard.press("Shift")  # now the browser knows that the keyboard is used
    after = _luminance(page.screenshot(clip=clip))
    ratio = (np.maximum(before, after) + 0.05) / (np.minimum(before, after) + 0.05)
    across, down = (ratio >= 3)[:, clip["width"] // 2], (ratio >= 3)[clip["height"] // 2, :]
    return [int(side.sum()) for side in (across[:9], across[-9:], down[:9], down[-9:])]


def _luminance(png):
    rgb = np.asarray(Image.open(io.BytesIO(png)).convert("RGB")) / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    return linear @ [0.2126, 0.7152, 0.0722]


@pytest.mark.parametrize("theme", ["Light", "Dark"])
@pytest.mark.parametrize("name", ["00-start-here.ipynb", "02-bit-depth.ipynb", "h01-temperature-to-code.ipynb"])
def test_the_focus_is_seen_on_every_kind_of_control(name, theme, lab, page):
    """On cards, sheets, choices, predictions and explorers: 3 px on all sides, 3:1, and nothing cuts it."""
    lab.open(page, name)
    browser.run_all(page)
    browser.theme(page, theme)
    if name.startswith("h01"):
        page.get_by_label("Course code").fill("BENCH-9")
        page.get_by_label("Student code").fill("ROBIN")
        page.get_by_label("Student code").press("Enter")
        page.locator(".tempkit-card").first.wait_for()
    weak, seen = [], set()
    for box in page.locator(access.BOXES).all():
        for kind in ("button", "select", "input"):
            for control in box.locator(f"{kind}:visible:not([disabled])").all()[:40]:
                what = control.evaluate("e => `${e.closest('.tempkit-practice') ? 'card' : 'box'} ${e.type}`")
                if what not in seen:
                    sides = outline(page, control)
                    seen.add(what)
                    weak += [] if min(sides) >= 3 else [(what, sides)]
    assert not weak and len(seen) >= 3, (weak, seen)


def test_escape_leaves_a_half_typed_number_alone(bench):
    field = bench.box.get_by_label("temperature, °C, typed")
    field.fill("77")
    field.press("Escape")
    bench.box.page.wait_for_timeout(500)
    assert field.input_value() == "25.0" and "The air is at 25.0 °C." in bench.told()


def test_toggles_say_whether_they_are_on(bench):
    for name in ("Number table", "My design file", "Back-row size"):
        toggle = bench.box.get_by_role("button", name=name, exact=True)
        assert toggle.get_attribute("aria-pressed") == "false"
        for state in ("true", "false"):
            toggle.press("Space")
            assert browser.until(bench.box.page, lambda: toggle.get_attribute("aria-pressed") == state), name  # noqa: B023
            shadow = "e => getComputedStyle(e).boxShadow.includes('inset')"
            assert browser.until(bench.box.page, lambda: toggle.evaluate(shadow) == (state == "true")), "seen"  # noqa: B023


def test_a_prediction_is_answered_and_moves_the_explorer(bench):
    content = prediction("00-how-well")
    asked = bench.box.page.locator(".tempkit-explorer", has=bench.box.page.get_by_role("button", name="Show of hands"))
    told = asked.locator('[role="status"]')
    assert told.inner_text() == ""
    asked.get_by_role("button", name=re.compile("^A: ")).click()
    assert browser.until(bench.box.page, lambda: "You predict A." in told.inner_text())
    before = bench.told()
    asked.get_by_role("button", name="Move it there").press("Enter")
    assert browser.until(bench.box.page, lambda: bench.told() != before)
    for seen, so in sorted(content.seen, key=lambda pair: pair[1]):
        assert content.why not in told.inner_text()
        asked.get_by_role("button", name=seen).press("Enter")
        said = content.why if so else f"“{seen}”: look again"
        assert browser.until(bench.box.page, lambda said=said: said in told.inner_text()), told.inner_text()
    assert bench.box.locator(".tempkit-heard").inner_text() == bench.told()


def test_room_size_and_number_table(bench):
    bench.slider("temperature").press("Home")
    bench.slider("temperature").press("End")
    bench.expect_told("The air is at 125.0 °C")
    bench.box.get_by_role("button", name="Reset").click()
    bench.box.get_by_role("button", name="Number table").click()
    table = bench.box.locator("table", has_text="true temperature")
    table.wait_for()
    assert "163" in table.inner_text()
    bench.box.get_by_role("button", name="Back-row size").click()
    words = bench.box.locator(".tempkit-words").first
    assert browser.until(bench.box.page, lambda: words.evaluate("e => getComputedStyle(e).fontSize") == "31px")
    bench.slider("temperature").press("PageUp")
    bench.expect_told("The air is at 41.5 °C.")


def test_a_choice_holds_for_the_whole_book(lab, page):
    """Chosen in chapter 00, kept in a file beside the notebooks, followed by chapter 03."""
    lab.open(page, "00-start-here.ipynb")
    browser.run_all(page)
    page.locator(CHOICES).get_by_label("temperatures in").select_option(label="degrees Fahrenheit, °F")
    told = page.locator(CHOICES).locator('[role="status"]')
    told.filter(has_text="The book is set to °F").wait_for()
    assert json.loads((lab.folder / "notebooks" / "my-book.json").read_text(encoding="utf-8"))["scale"] == "degF"
    lab.open(page, "03-supply-and-reference.ipynb")
    browser.run_all(page)
    explorers(page)[0].expect_told("At 77.0 °F the sensor gives 0.800 V.")


def test_a_log_of_the_reader_s_own_is_opened(lab, page):
    """Its path is typed on the page; a wrong one is told and changes nothing; the file is a choice afterwards."""
    rows = "".join(f"t={t} read={21 + t % 2 / 10:.1f}\n" for t in range(900))
    (lab.folder / "notebooks" / "my-evening.log").write_text(rows)
    lab.open(page, "10-reading-a-log.ipynb")
    browser.run_all(page)
    scrub = explorers(page)[0]
    start = scrub.told()
    scrub.box.get_by_role("button", name="My log file").click()
    field, said = scrub.box.get_by_label("log file", exact=True), scrub.box.locator('[role="status"]')
    for typed, told in (("my-morning.log", "Not opened: my-morning.log: No such file"), ("my-evening.log", "Opened: ")):
        assert scrub.told() == start
        field.fill(typed)
        scrub.box.get_by_role("button", name="Open", exact=True).press("Enter")
        said.filter(has_text=told).wait_for()
    scrub.expect_told("my-evening.log, column read: 900 lines: 900 rows, 0 skipped.")
    assert scrub.box.get_by_label("recorded log").evaluate("e => e.selectedOptions[0].text") == "my-evening.log"
    scrub.box.get_by_role("button", name="Reset").click()
    scrub.expect_told(start)
    scrub.box.get_by_label("recorded log").select_option(label="my-evening.log")
    scrub.expect_told("my-evening.log, column read")


def test_a_design_file_is_saved_and_loaded(lab, page):
    lab.open(page, "03-supply-and-reference.ipynb")
    browser.run_all(page)
    bench = explorers(page)[0]
    start = bench.told()
    reference = bench.box.get_by_label("true reference, V, typed")
    reference.fill("4.75")
    reference.press("Tab")
    bench.expect_told("the supply of 4.75 V", "off by +5.3 °C")
    moved = bench.seen()
    bench.box.get_by_role("button", name="My design file").click()
    bench.box.get_by_label("design file", exact=True).fill("my-low-supply.toml")
    bench.box.get_by_role("button", name="Save").click()
    bench.box.locator('[role="status"]', has_text="Saved to my-low-supply.toml.").wait_for()
    assert file.read(lab.folder / "notebooks" / "my-low-supply.toml").chain.reference.true_v == 4.75
    bench.box.get_by_role("button", name="Reset").click()
    bench.expect_told(start)
    bench.box.get_by_role("button", name="Load").click()
    bench.expect_told("the supply of 4.75 V", "off by +5.3 °C")
    assert browser.until(page, lambda: bench.seen() == moved)
