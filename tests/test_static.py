"""Every notebook as it is stored, where nothing runs: exported to HTML, and for a previewer of plain outputs."""

import re
from html.parser import HTMLParser

import nbconvert
import pytest

import notebooks

BOOK = notebooks.in_the_book()
SHOWN = {"text/plain", "text/html", "image/png"}
DEAD = re.compile(r"widget-view|widget-state|[A-Z]\w*\(children=|<tempkit\.|<\w+ object at", re.ASCII)
SENTENCE = re.compile(r"\w+ \w+ \w+.*[.?:]", re.DOTALL)


class Reader(HTMLParser):
    """The pictures' alt texts and the visible text of a piece of HTML."""

    def __init__(self, html):
        super().__init__()
        self.alts, self.parts, self.hidden = [], [], 0
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.hidden += tag in ("style", "script")
        if tag == "img":
            self.alts.append(dict(attributes).get("alt") or "")

    def handle_endtag(self, tag):
        self.hidden -= tag in ("style", "script")

    def handle_data(self, data):
        if not self.hidden:
            self.parts.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.parts).split())


def rich(notebook):
    """The data of every output that is more than plain text."""
    outputs = (output for cell in notebook.cells for output in cell.get("outputs", ()))
    return [output.data for output in outputs if set(output.get("data", {})) - {"text/plain"}]


@pytest.mark.parametrize("path", BOOK, ids=lambda path: path.stem)
def test_a_plain_previewer_can_show_every_box(path):
    """text/html or a picture, with text to fall back on; and nothing that asks for a kernel."""
    for data in rich(notebooks.read(path)):
        assert set(data) <= SHOWN and {"text/html", "image/png"} & set(data)
        assert SENTENCE.search(data["text/plain"]) and not DEAD.search(data["text/plain"]), data["text/plain"]
        shown = Reader(data.get("text/html", ""))
        assert all(len(alt.split()) >= 5 for alt in shown.alts), shown.alts
        assert shown.alts or "text/html" not in data or SENTENCE.search(shown.text), shown.text


@pytest.mark.parametrize("path", BOOK, ids=lambda path: path.stem)
def test_the_exported_page_shows_pictures_and_sentences(path):
    notebook = notebooks.read(path)
    page, _ = nbconvert.HTMLExporter().from_notebook_node(notebook)
    whole = Reader(page)
    assert not DEAD.search(whole.text)
    assert "application/vnd.jupyter.widget" not in page
    stored = [Reader(data.get("text/html", "")) for data in rich(notebook)]
    for box in stored:
        assert box.text in whole.text
    assert whole.alts == [alt for box in stored for alt in box.alts]
