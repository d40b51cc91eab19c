"""The form of every notebook of the book: what a reader, a screen reader and the next edition rely on."""

import ast
import re
from functools import cache
from itertools import pairwise

import pytest

import notebooks as book

EXPECTED = (
    "00-start-here",
    "01-from-spec-to-line",
    "02-bit-depth",
    "03-supply-and-reference",
    "04-codes-to-degrees",
    "05-error-budget",
    "06-noise-and-averaging",
    "07-thresholds",
    "08-response-time",
    "09-calibration",
    "10-reading-a-log",
    "11-fault-finding",
    "12-other-sensors",
    "13-design-project",
)
SECTIONS = ("The question", "Predict first", "Practice", "Summary", "Sources")
CAUTIONS = ("00", "07", "09", "11", "12", "13")  # heat, ice, mains or current are near
PRACTICE_PROBLEMS = 6
LONGEST_CELL, LONGEST_IMPORTS = 5, 8
MIME_TYPES = {"text/plain", "text/html", "image/png"}

PATHS = {path.stem: path for path in book.in_the_book()}
CHAPTERS = [name for name in PATHS if re.match(r"\d\d-", name) and "00" < name[:2] < "90"]
every_notebook = pytest.mark.parametrize("name", list(PATHS))
every_chapter = pytest.mark.parametrize("name", CHAPTERS)

IMAGE = re.compile(r"<img\b[^>]*>", re.I | re.S)
ALT = re.compile(r"\balt\s*=\s*(\"[^\"]*\w[^\"]*\"|'[^']*\w[^']*')", re.I)
MARKDOWN_IMAGE = re.compile(r"!\[([^\]]*)\]\(")
EMBEDDED = re.compile(r"data:image/\w+;base64,[A-Za-z0-9+/=]+")
ABSOLUTE = re.compile(r"(?<![\w.:/<])/(?:home|root|tmp|usr|opt|var|etc|mnt|Users)/|\b[A-Za-z]:\\\w|file://")
READABLE_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
WARNING = re.compile(r"\b\w*Warning\b:")
LINK = re.compile(r"\]\(([^)\s]+\.ipynb)(?:#[^)]*)?\)")


@cache
def read(name):
    return book.read(PATHS[name])


def code(name):
    return [cell for cell in read(name).cells if cell.cell_type == "code"]


def prose(name):
    return [cell for cell in read(name).cells if cell.cell_type == "markdown"]


def outputs(name):
    """Pairs of cell and output."""
    return [(cell, output) for cell in code(name) for output in cell.outputs]


def output_texts(name):
    """Pairs of cell id and text for all that is shown as text, embedded pictures left out."""
    for cell, output in outputs(name):
        shown = [output.get("text", ""), output.get("evalue", ""), *output.get("traceback", ())]
        data = output.get("data", {})
        shown += [data.get("text/plain", ""), data.get("text/html", "")]
        yield from ((cell.id, EMBEDDED.sub("", text)) for text in shown if text)


def headings(name):
    """Pairs of level and text, code blocks left out."""
    source = "\n\n".join(cell.source for cell in prose(name))
    source = re.sub(r"^```.*?^```", "", source, flags=re.M | re.S)
    return [(len(marks), text.strip()) for marks, text in re.findall(r"^(#{1,6}) +(.+)$", source, re.M)]


def imports(cell):
    nodes = ast.walk(ast.parse(cell.source))
    return [node for node in nodes if isinstance(node, ast.Import | ast.ImportFrom)]


def kind(name):
    """The series that a notebook belongs to: a chapter, a sheet ("h"), or the desk ("9")."""
    return name[0] if name[0] in "h9" else "chapter"


def test_the_book_has_its_chapters():
    missing = sorted(set(EXPECTED) - set(PATHS))
    assert not missing, f"notebooks/ lacks {', '.join(missing)}"


@every_notebook
def test_name_belongs_to_the_series(name):
    assert re.fullmatch(r"(\d\d|h\d\d)-[a-z0-9]+(-[a-z0-9]+)*", name)


def test_numbers_are_unique():
    numbers = [name.partition("-")[0] for name in PATHS]
    assert len(numbers) == len(set(numbers)), numbers


@every_notebook
def test_stored_in_the_one_form(name):
    """`python tests/notebooks.py NAME` brings it into this form."""
    notebook = book.read(PATHS[name])
    book.normalise(notebook)
    assert PATHS[name].read_text(encoding="utf-8") == book.as_text(notebook)


@every_notebook
def test_metadata_is_fixed(name):
    """One kernel for all, no version of Python, no state of widgets."""
    assert dict(read(name).metadata) == {"kernelspec": book.KERNEL, "language_info": book.LANGUAGE}


@every_notebook
def test_headings_form_an_outline(name):
    levels = [level for level, _ in headings(name)]
    assert levels[:1] == [1] and levels.count(1) == 1, f"one H1, first: {headings(name)}"
    skipped = [text for (above, _), (level, text) in pairwise(headings(name)) if level > above + 1]
    assert not skipped, f"a level is skipped before {skipped}"


@every_notebook
def test_ids_are_readable_and_unique(name):
    ids = [cell.id for cell in read(name).cells]
    assert len(ids) == len(set(ids))
    assert not [name for name in ids if book.RANDOM_ID.fullmatch(name) or not READABLE_ID.fullmatch(name)]


@every_notebook
def test_every_code_cell_was_run_in_order(name):
    assert [cell.execution_count for cell in code(name)] == list(range(1, len(code(name)) + 1))
    assert all(cell.source.strip() for cell in code(name)), "an empty code cell"


@every_notebook
def test_code_cells_are_short(name):
    for number, cell in enumerate(code(name)):
        most = LONGEST_IMPORTS if number == 0 else LONGEST_CELL
        assert len(cell.source.splitlines()) <= most, f"{cell.id} is longer than {most} lines"


@every_notebook
def test_imports_stand_in_the_first_code_cell(name):
    late = [cell.id for cell in code(name)[1:] if imports(cell)]
    assert not late
    assert imports(code(name)[0]), "the first code cell imports what the notebook needs"


@every_notebook
def test_outputs_are_text_and_png(name):
    for cell, output in outputs(name):
        assert set(output.get("data", ())) <= MIME_TYPES, cell.id
        html = output.get("data", {}).get("text/html", "")
        assert not re.search(r"<(svg|script|iframe)\b", html, re.I), cell.id


@every_notebook
def test_nothing_went_wrong_when_it_was_stored(name):
    for cell, output in outputs(name):
        assert not (output.output_type == "stream" and output.name == "stderr"), f"{cell.id}: {output.text}"
        meant = "raises-exception" in cell.metadata.get("tags", ())
        assert output.output_type != "error" or meant, f"{cell.id}: {output.evalue}"
    assert not [text for _, text in output_texts(name) if WARNING.search(text)]


@every_notebook
def test_a_cell_meant_to_fail_fails(name):
    for cell in code(name):
        if "raises-exception" in cell.metadata.get("tags", ()):
            assert any(output.output_type == "error" for output in cell.outputs), cell.id


@every_notebook
def test_every_image_has_alt_text(name):
    html = [(c.id, c.source) for c in prose(name)]
    html += [(cell.id, output.get("data", {}).get("text/html", "")) for cell, output in outputs(name)]
    for where, text in html:
        assert all(ALT.search(tag) for tag in IMAGE.findall(text)), f"{where}: an <img> without alt text"
    for cell in prose(name):
        alts = MARKDOWN_IMAGE.findall(cell.source)
        assert all(alt.strip() for alt in alts), f"{cell.id}: an image without alt text"
    for cell, output in outputs(name):
        if "image/png" in output.get("data", ()):
            alt = output.metadata.get("image/png", {}).get("alt", "")
            assert alt.strip(), f"{cell.id}: a bare PNG; show it as <img alt=...>"


@every_notebook
def test_no_path_of_one_machine(name):
    for where, text in [*((cell.id, cell.source) for cell in read(name).cells), *output_texts(name)]:
        assert not ABSOLUTE.search(text), f"{where}: {ABSOLUTE.search(text)[0]}"
        assert str(book.FOLDER.parent) not in text, where


@every_notebook
def test_links_lead_to_notebooks_that_exist(name):
    links = [link for cell in prose(name) for link in LINK.findall(cell.source) if "://" not in link]
    missing = [link for link in links if not (PATHS[name].parent / link).is_file()]
    assert not missing


@every_notebook
def test_the_last_cell_leads_on(name):
    """The last cell links the notebooks before and after in the series."""
    series = [other for other in PATHS if kind(other) == kind(name)]
    place = series.index(name)
    neighbours = series[max(place - 1, 0) : place] + series[place + 1 : place + 2]
    last = read(name).cells[-1]
    assert last.cell_type == "markdown"
    assert {f"{other}.ipynb" for other in neighbours} <= set(LINK.findall(last.source))


@every_chapter
def test_chapter_has_its_sections_in_order(name):
    found = [text for level, text in headings(name) if level == 2]
    assert [text for text in found if text in SECTIONS] == list(SECTIONS)


@every_notebook
def test_cautions_stand_where_they_are_due(name):
    if name.partition("-")[0] in CAUTIONS:
        assert "Cautions" in [text for level, text in headings(name) if level == 2]


@every_chapter
def test_chapter_has_enough_practice(name):
    """The cell in the book shows the problems of this chapter, and there are enough of them."""
    from tempkit.exercises import problems

    number = name[:2]
    shown = rf"\b(practice|problem)\(\s*[\"']{number}"
    assert any(re.search(shown, cell.source) for cell in code(name))
    assert len(problems(number)) >= PRACTICE_PROBLEMS


def test_the_lesson_plan_agrees_with_the_chapters_and_the_sheets():
    """README.md's table has the minutes from the head of each chapter, and the sheet that its problems stand on."""
    from tempkit.exercises import SHEETS

    readme = (book.FOLDER.parent / "README.md").read_text(encoding="utf-8")
    plan = {row[0]: row[1:] for row in re.findall(r"^\| (\d\d) \| (\d+) \| .* \| ?(h\d\d)? ?\|$", readme, re.M)}
    sheets = {name[:2]: sheet.id for sheet in SHEETS for name in sheet.ids}
    for name in ("00-start-here", *CHAPTERS):
        (minutes,) = re.findall(r"^\*About (\d+) minutes\. Bring: ", read(name).cells[0].source, re.M)
        assert plan[name[:2]] == (minutes, sheets.get(name[:2], "")), name
