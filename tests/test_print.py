"""What is meant for paper, laid out by a real browser as it prints: black on white, within A4 and within Letter."""

import pytest

from classroom import KIM, ROBIN
from tempkit.chain import Design, scenario, specification, specification_names
from tempkit.draw import catalogue_page_html
from tempkit.exercises import SHEETS, course
from tempkit.faults import bench_card
from tempkit.faults.card_page import sheet_html
from tempkit.marking import invent, mark_folder, on_paper

pytestmark = pytest.mark.browser
A4_MM, LETTER_MM = 210, 215.9
MARGINS_MM = 30
PX_PER_MM = 96 / 25.4
FAULTS = """() => {
  const numbers = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const grey = (colour) => numbers(colour).slice(0, 3).reduce((sum, each) => sum + each) / 3;
  const clear = (colour) => numbers(colour)[3] === 0;
  const shown = [...document.querySelectorAll("body, body *")].filter((each) => each.getClientRects().length);
  const style = (each) => getComputedStyle(each);
  return {
    pale: shown.filter((each) => each.innerText && grey(style(each).color) > 60).map((each) => each.outerHTML),
    dark: shown.filter((each) => !each.matches(".bar") && !clear(style(each).backgroundColor)
      && grey(style(each).backgroundColor) < 250).map((each) => each.outerHTML),
    out: shown.filter((each) => each.getBoundingClientRect().right > innerWidth + 1).map((each) => each.outerHTML),
    small: shown.filter((each) => each.innerText && parseFloat(style(each).fontSize) < 12).map((each) => each.tagName),
    lines: [...document.querySelectorAll(".line, .box, td.blank, td.answer")].filter((each) => {
      const { width, height } = each.getBoundingClientRect();
      return width < 10 || height < 10 || parseFloat(style(each).borderBottomWidth) < 0.5;
    }).map((each) => each.outerHTML),
  };
}"""


@pytest.fixture(scope="module")
def catalogue():
    return {f"catalogue, {name}": catalogue_page_html(specification(name)) for name in specification_names()}


@pytest.fixture(scope="module")
def papers(catalogue, tmp_path_factory):
    """Everything that is printed: name -> HTML."""
    folder = tmp_path_factory.mktemp("class")
    invent(folder / "c", 6, seed=3)
    mark_folder(folder / "c" / "handed-in", folder / "c" / "roster.csv", folder / "out")
    bench = Design("North bench", scenario())
    found = {f"{plan.id}, hand-outs": on_paper.handouts(plan, (ROBIN, KIM), course.Course()) for plan in SHEETS}
    found |= {f"{plan.id}, key": on_paper.key(plan, (ROBIN, KIM)) for plan in SHEETS}
    found["class report"] = (folder / "out" / "class-report.html").read_text(encoding="utf-8")
    found["remarks"] = next((folder / "out" / "pages").glob("*.html")).read_text(encoding="utf-8")
    found |= catalogue
    found["bench card"] = sheet_html(bench_card(bench), bench)
    return found


@pytest.mark.parametrize("across_mm", [A4_MM, LETTER_MM], ids=["A4", "Letter"])
def test_paper(across_mm, papers, chromium):
    """Though the reader's screen is dark: dark ink, white ground, nothing beyond the edge, room to write."""
    size = {"width": round((across_mm - MARGINS_MM) * PX_PER_MM), "height": 1000}
    context = chromium.new_context(viewport=size, color_scheme="dark")
    page = context.new_page()
    page.emulate_media(media="print", color_scheme="dark")
    for name, html in papers.items():
        page.set_content(html)
        faults = {fault: found for fault, found in page.evaluate(FAULTS).items() if found}
        assert not faults, name
    context.close()


def test_every_student_has_pages_of_their_own(papers, chromium, tmp_path):
    """Printed together, hand-outs take the sum of their pages: nobody's begins on another's sheet."""
    plan = SHEETS[0]
    page = chromium.new_page()
    counts = []
    for students in ((ROBIN,), (KIM,), (ROBIN, KIM)):
        page.set_content(on_paper.handouts(plan, students, course.Course()))
        counts.append(page.pdf(format="A4").count(b"/Type /Page\n"))
    page.close()
    assert counts[0] >= 1 and counts[2] == counts[0] + counts[1], counts


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_a_page_of_the_catalogue_is_one_sheet(size, catalogue, chromium):
    page = chromium.new_page()
    for name, html in catalogue.items():
        page.set_content(html)
        assert page.pdf(format=size).count(b"/Type /Page\n") == 1, name
    page.close()
