"""The form of a chapter in figures: what everybody reads, and in which code cells the reader does something.

What stands under a heading *Deeper: ...* or *Sources* is folded: it costs a reader one line, and counts as one cell.
"""

import ast
import html
import re
from dataclasses import dataclass

MOST_WORDS, MOST_WORDS_IN_00, MOST_CELLS, MOST_NUMBERS, MOST_TASKS = 1200, 700, 40, 100, 3
ASKING = {"lands", "predict", "practice", "recall"}
FIRST = ("The riddle", "Predict first")
LAST = ("Practice", "What you can do now", "Sources", "Where next")
HALF_WORKED = "Half worked"
FOLD = "jp-MarkdownHeadingCollapsed"
LOOKED_UP = "class='tempkit-page'"  # a page of the catalogue

HEADING = re.compile(r"^(#{1,6}) +(.+?) *$", re.M)
FENCE = re.compile(r"^```.*?^```", re.M | re.S)
LINK = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")
TAG = re.compile(r"<[^>]*>")
NUMBER = re.compile(r"(?<![\w.,])[+\N{MINUS SIGN}-]?\d+(?:[.,]\d+)*")
ITEM = re.compile(r"^\s*(?:[-*]|\d+\.) +\S", re.M)


def heading(cell):
    """Level and text of a cell's first heading, or None."""
    found = HEADING.search(FENCE.sub("", cell.source)) if cell.cell_type == "markdown" else None
    return (len(found[1]), found[2]) if found else None


def folds(cell):
    """True for a cell that begins what is folded."""
    found = heading(cell)
    return found is not None and (found[1].startswith("Deeper:") or found[1] == "Sources")


def seen(notebook):
    """The cells that everybody sees, in order: all but those under a folded heading."""
    level = None
    for cell in notebook.cells:
        found = heading(cell)
        if found and level is not None and found[0] <= level:
            level = None
        if level is None:
            yield cell
        if folds(cell) and level is None:
            level = found[0]


def words(source):
    """How many words of a markdown text are read: no marks, targets of links, code blocks, tags.

    >>> words("**Two** [words](01-a.ipynb) | --- |")
    2
    """
    text = TAG.sub(" ", LINK.sub(r"\1", FENCE.sub(" ", source)))
    return sum(bool(re.search(r"\w", word)) for word in text.split())


def shown(output):
    """The text of an output that is seen: printed, or the words of a result.

    The alt text of a mere picture is not, and a page of the catalogue is looked things up in, like a picture.
    """
    data = output.get("data", {})
    page = data.get("text/html", "")
    if page and (LOOKED_UP in page or not TAG.sub(" ", page).strip()):
        return ""
    return output.get("text", "") or data.get("text/plain", "")


def called(cell):
    """Names of the functions that a code cell calls."""
    calls = [node.func for node in ast.walk(ast.parse(cell.source)) if isinstance(node, ast.Call)]
    return {getattr(function, "id", getattr(function, "attr", "")) for function in calls}


def explores(cell):
    """True for a code cell that shows an explorer: picture and words, as it is stored."""
    pages = [output.get("data", {}).get("text/html", "") for output in cell.get("outputs", ())]
    return any("<img" in page and 'class="tempkit-words"' in page for page in pages)


def asks(cell):
    """True for a code cell whose answer the reader gives: a line to complete, a prediction, problems."""
    return bool(called(cell) & ASKING)


@dataclass(frozen=True)
class Form:
    """A notebook in figures: `words` and `cells` that everybody sees, `numbers` printed there, `code` cells after the
    imports, and in how many of them the reader is `acting`."""

    words: int
    cells: int
    numbers: int
    code: int
    acting: int


def measured(notebook):
    """The figures of a notebook. Numbers of what is asked do not count, nor does a text that was printed before."""
    cells = list(seen(notebook))
    code = [cell for cell in cells if cell.cell_type == "code"]
    printed = dict.fromkeys(shown(output) for cell in code if not asks(cell) for output in cell.outputs)
    return Form(
        sum(words(cell.source) for cell in cells if cell.cell_type == "markdown"),
        len(cells),
        sum(len(NUMBER.findall(html.unescape(text))) for text in printed),
        len(code[1:]),
        sum(asks(cell) or explores(cell) for cell in code[1:]),
    )


def beyond_limits(notebook, number):
    """What exceeds the limits of a chapter, one sentence each."""
    form = measured(notebook)
    most = MOST_WORDS_IN_00 if number == "00" else MOST_WORDS
    for what, found, limit in (
        ("words", form.words, most),
        ("cells", form.cells, MOST_CELLS),
        ("printed numbers", form.numbers, MOST_NUMBERS),
    ):
        if found > limit:
            yield f"{found} {what} that everybody sees: {limit} at most; fold, cut or leave it to the explorer"
    if 2 * form.acting < form.code:
        yield f"the reader acts in {form.acting} of {form.code} code cells: half of them at least"


def sections(notebook):
    """Pairs of the text of an H2 and its cells."""
    found = []
    for cell in notebook.cells:
        told = heading(cell)
        if told and told[0] == 2:
            found.append((told[1], []))
        if found:
            found[-1][1].append(cell)
    return found


def wrong_folds(notebook):
    """What is not folded as it should be, in any notebook, one sentence each."""
    for cell in notebook.cells:
        if cell.metadata.get(FOLD) and not folds(cell):
            yield f"{cell.id} is folded: only Deeper: ... and Sources may be"
        if folds(cell) and cell.metadata.get(FOLD) and "\n" in cell.source.strip():
            yield f"{cell.id}: a folded heading stays in sight with its cell; put the text into the next one"


def wrong_order(notebook, cautions=False):
    """What is not in the order of a chapter, one sentence each; `cautions` where they are due."""
    found = sections(notebook)
    names = [name for name, _ in found]
    fixed = [name for name in names if name in FIRST + LAST]
    if fixed != [*FIRST, *LAST] or names[: len(FIRST)] != list(FIRST) or names[-len(LAST) :] != list(LAST):
        yield f"the sections are {names}: first {', '.join(FIRST)}, last {', '.join(LAST)}, your own between"
    if not any(name == HALF_WORKED and "lands" in code_called(cells) for name, cells in found):
        yield f"no section {HALF_WORKED!r} with a line to complete, lands(...)"
    if not any(any(map(explores, cells)) and 1 <= tasks(cells) <= MOST_TASKS for _, cells in found):
        yield f"no section with an explorer and a list of one to {MOST_TASKS} tasks for it"
    for cell in notebook.cells:
        if folds(cell) and not cell.metadata.get(FOLD):
            yield f"{cell.id} is not folded: it holds its heading alone, and python tests/notebooks.py folds it"
    if cautions and "Cautions" not in names[: names.index("Practice") if "Practice" in names else 0]:
        yield "Cautions stand before Practice, before the hands need them"


def code_called(cells):
    return set().union(*(called(cell) for cell in cells if cell.cell_type == "code"))


def tasks(cells):
    """How many tasks a section lists: in its text, or in what its explorer shows."""
    texts = [len(ITEM.findall(cell.source)) for cell in cells if cell.cell_type == "markdown"]
    pages = [output.get("data", {}).get("text/html", "") for cell in cells if explores(cell) for output in cell.outputs]
    return sum(texts) + sum(page.count("<li") for page in pages)


def table(notebooks):
    """The figures of notebooks (number -> notebook) as lines of text, with what is beyond the limits in brackets."""
    yield f"{'':4}{'words':>8}{'cells':>8}{'numbers':>9}{'acting':>9}  of code"
    for number, notebook in notebooks.items():
        form, most = measured(notebook), MOST_WORDS_IN_00 if number == "00" else MOST_WORDS
        figures = ((form.words, most, 8), (form.cells, MOST_CELLS, 8), (form.numbers, MOST_NUMBERS, 9))
        told = "".join(f"{f'[{found}]' if found > limit else f'{found} ':>{wide}}" for found, limit, wide in figures)
        acting = f"[{form.acting}]" if 2 * form.acting < form.code else f"{form.acting} "
        yield f"{number:4}{told}{acting:>9}{form.code:>9}"
