"""The form of every notebook of the book: what a reader, a screen reader and the next edition rely on."""

import ast
import re
from functools import cache
from itertools import pairwise

import nbformat.v4 as nb
import pytest

import form
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
CAUTIONS = ("00", "07", "09", "11", "12", "13")  # heat, ice, mains or current are near
PRACTICE_PROBLEMS = 6
LONGEST_CELL, LONGEST_IMPORTS = 5, 8
MIME_TYPES = {"text/plain", "text/html", "image/png"}

PATHS = {path.stem: path for path in book.in_the_book()}
GLOSSARY = "99-words"  # may do without code
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
    """The series that a notebook belongs to: the chapters, the sheets ("h"); the desk and the glossary stand alone."""
    return {"h": "h", "9": name}.get(name[0], "chapter")


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
    if code(name) or name != GLOSSARY:
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
    assert not list(form.wrong_order(read(name), name[:2] in CAUTIONS))


@pytest.mark.parametrize("name", [name for name in PATHS if name[:2] < "90" and name[0] != "h"])
def test_a_chapter_is_short_and_leaves_the_reader_to_act(name):
    assert not list(form.beyond_limits(read(name), name[:2]))


@every_notebook
def test_only_what_few_need_is_folded(name):
    assert not list(form.wrong_folds(read(name)))


@every_notebook
def test_cautions_stand_where_they_are_due(name):
    if name.partition("-")[0] in CAUTIONS:
        assert "Cautions" in [text for level, text in headings(name) if level == 2]


def test_the_words_stand_in_order_each_with_its_chapters():
    source = "\n".join(cell.source for cell in prose(GLOSSARY))
    rows = [row.split(" | ") for row in re.findall(r"^\| (.+) \|$", source, re.M) if not row.startswith("word |")]
    words = [re.sub(r"<[^>]*>|[*]", "", row[0]).lower() for row in rows]
    assert len(rows) > 100 and all(len(row) == 3 and all(row) for row in rows), [row for row in rows if len(row) != 3]
    assert words == sorted(set(words))
    chapters = {number for row in rows for number in row[2].split(", ")}
    assert chapters <= {name[:2] for name in CHAPTERS}, chapters


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


# ---- the form of a chapter, on one made for it


def ran(source, plain="", page=""):
    data = {"text/plain": plain} | ({"text/html": page} if page else {})
    outputs = [nb.new_output("execute_result", data, execution_count=1)] if plain else []
    return nb.new_code_cell(source, outputs=outputs)


def printed(source, text):
    return nb.new_code_cell(source, outputs=[nb.new_output("stream", text=text)])


EXPLORER = '<img alt="At 25 °C: code 163."><div class="tempkit-words">At 25 °C: code 163.</div>'


def a_chapter():
    """A chapter; two of its sections are folded."""
    return nb.new_notebook(
        cells=[
            nb.new_markdown_cell("# 03 Made\n\n*About 45 minutes. Bring: nothing.*"),
            nb.new_code_cell("from tempkit.exercises import blank, lands"),
            nb.new_markdown_cell("## The riddle\n\nA [riddle](02-a.ipynb)."),
            nb.new_markdown_cell("## Predict first"),
            ran('predict("03-made")', "Predict: 1 2 3", "<p>Predict: 1 2 3</p>"),
            nb.new_markdown_cell("## Try it\n\n- make it **7**\n- make it 8"),
            ran("explorer()", "At 25 °C: code 163.", EXPLORER),
            ran("explorer()", "At 25 °C: code 163.", EXPLORER),
            nb.new_markdown_cell("## Half worked"),
            ran("code = blank\nlands('03-made', code)", "Write 1 to 9", "<p>Write 1 to 9</p>"),
            printed("print(1.5)", "1.5 and \N{MINUS SIGN}2, T2\n"),
            ran("diagram()", "of 5 V", '<img alt="of 5 V">'),
            ran("specification_page()", "3.0 to 5.6 V", "<div class='tempkit-page'>3.0 to 5.6 V</div>"),
            printed("print(lands)", "4,000\n"),
            nb.new_markdown_cell("## Deeper: more"),
            nb.new_markdown_cell("Words that few read, 1, 2, 3."),
            printed("print(9)", "1 2 3 4 5"),
            nb.new_markdown_cell("### Deeper still"),
            nb.new_markdown_cell("## Cautions\n\n```\nno words\n```\n<b>Hot</b>."),
            nb.new_markdown_cell("## Practice"),
            ran('practice("03")', "Practice: 6 problems.", "<ol></ol>"),
            nb.new_markdown_cell("## What you can do now"),
            nb.new_markdown_cell("## Sources"),
            nb.new_markdown_cell("Of all."),
            nb.new_markdown_cell("## Where next\n\n[On](04-b.ipynb)"),
        ]
    )


@pytest.fixture
def chapter():
    made = a_chapter()
    book.normalise(made)
    return made


def test_the_figures_of_a_form(chapter):
    assert form.measured(chapter) == form.Form(words=37, cells=21, numbers=5, code=9, acting=5)


def test_a_chapter_in_the_new_form_has_no_fault(chapter):
    assert not list(form.wrong_order(chapter, cautions=True)) and not list(form.wrong_folds(chapter))
    assert not list(form.beyond_limits(chapter, "03"))
    folded = [cell.source for cell in chapter.cells if cell.metadata.get(form.FOLD)]
    assert folded == ["## Deeper: more", "## Sources"]


@pytest.mark.parametrize(
    ("cell", "put", "told"),
    [
        ("## The riddle", "## The question", "the sections are"),
        ("## Practice", "## Summary", "the sections are"),
        ("## Where next", "## Practice", "the sections are"),
        ("## Half worked", "## All worked", "no section 'Half worked'"),
        ("lands('03", "print('03", "with a line to complete"),
        ("- make it", "make", "list of one to 3 tasks"),
        ("- make it", "- a\n- b\n- c\n- d", "list of one to 3 tasks"),
        ("## Sources", "## Sources\n\nOf all.", "is not folded"),
        ("## Cautions", "## Other", "before the hands need them"),
    ],
)
def test_a_wrong_order_is_told(chapter, cell, put, told):
    for each in chapter.cells:
        each.source = put if each.source.startswith(cell) else each.source.replace(cell, put)
        each.metadata.pop(form.FOLD, None)
    book.normalise(chapter)
    assert any(told in sentence for sentence in form.wrong_order(chapter, cautions=True))


def test_a_wrong_fold_is_told(chapter):
    chapter.cells[5].metadata[form.FOLD] = True
    chapter.cells[-3].source += "\n\nOf all."
    assert [sentence.split(":")[0].split(" is ")[0] for sentence in form.wrong_folds(chapter)] == [
        chapter.cells[5].id,
        chapter.cells[-3].id,
    ]


@pytest.mark.parametrize(
    ("more", "times", "told"),
    [
        (nb.new_markdown_cell("a word"), 600, "words that everybody sees: 1200 at most"),
        (nb.new_markdown_cell(""), 30, "cells that everybody sees: 40 at most"),
        (printed("print(1)", " ".join(map(str, range(100)))), 1, "printed numbers that everybody sees: 100 at most"),
        (printed("print(1)", "no"), 3, "the reader acts in 5 of 12 code cells: half"),
    ],
)
def test_what_is_beyond_the_limits_is_told(chapter, more, times, told):
    chapter.cells[2:2] = [more] * times
    assert any(told in sentence for sentence in form.beyond_limits(chapter, "03"))
    chapter.cells.insert(2, nb.new_markdown_cell("## Deeper: all"))
    assert not list(form.beyond_limits(chapter, "03")), "folded, it costs nothing"


def test_the_first_notebook_is_shorter(chapter):
    chapter.cells.append(nb.new_markdown_cell("word " * 700))
    assert any("700 at most" in sentence for sentence in form.beyond_limits(chapter, "00"))
    assert not any("words" in sentence for sentence in form.beyond_limits(chapter, "03"))


def test_the_table_tells_every_chapter():
    told = list(form.table(book.chapters(PATHS.values())))
    assert [line[:2] for line in told[1:]] == [name[:2] for name in ("00-start-here", *CHAPTERS)]
