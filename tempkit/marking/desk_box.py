"""The marking desk in a notebook: parts of the class report to look at, and a form that marks a folder."""

import html
import re

import ipywidgets

from tempkit import book
from tempkit.draw import Keys, Shown
from tempkit.exercises import STYLE, Course, read_course, text_html
from tempkit.marking import report
from tempkit.marking.desk import mark_folder
from tempkit.marking.student_pages import STYLE as PAGE_STYLE

FIELDS = (
    ("folder", "Folder with what was handed in"),
    ("roster", "Class list, CSV"),
    ("out", "Folder for the results"),
    ("course", "Course file, if you have one"),
    ("override", "Marks set by hand, if you have some"),
)


class Part:
    """A part of the class report as a cell shows it; `text` is the same for those who see no HTML."""

    def __init__(self, body):
        self.body = body

    @property
    def text(self):
        """The words alone, a line for each row or entry."""
        lines = re.sub(r"</(tr|li|h\d|p|table)>|<br>|<ul>", "\n", self.body)
        cells = re.sub(r"</t[hd]>", " | ", lines)
        plain = html.unescape(re.sub(r"<[^>]+>", "", cells))
        return "\n".join(line.strip(" |") for line in plain.splitlines() if line.strip(" |"))

    def __repr__(self):
        return self.text

    def _repr_html_(self):
        rules = re.findall(r"^((?:table|caption|th|td|ul|\.bar|\.track|\.where)\b[^{]*)(\{[^}]*\})", PAGE_STYLE, re.M)
        rules += [
            ("td, th, tr, p, li", "{ font-size: inherit; line-height: inherit; background: none; }"),
            ("table", "{ width: 100%; table-layout: fixed; font-size: inherit; overflow-wrap: anywhere; }"),
        ]
        scoped = "".join(f"{_scope(names)} {body}\n" for names, body in rules)
        size = " style='font-size: 31px; line-height: 1.3'" if book.current().room else ""
        return f"<style>{scoped}</style><div class='tempkit-report'{size}>{self.body}</div>"


def _scope(names):
    """Rules for our part of the page only, and stronger than those of the notebook."""
    return ", ".join(f".tempkit-report.tempkit-report {name.strip()}" for name in names.split(","))


def _part(body):
    """A part of the report under the notebook's own heading."""
    return Part(re.sub(r"^<h2>.*?</h2>", "", body))


def teach_again(marked):
    """The three ideas to teach again."""
    return _part(report.teach_again(marked.marks))


def wrong_ways(marked, sheet=None):
    """Problems against wrong ways of a sheet (None: the first), with the share of those who handed in."""
    plans = [plan for plan in marked.marks.plans if sheet in (None, plan.id)]
    if not plans:
        raise ValueError(f"sheet {sheet!r} was not marked: {', '.join(p.id for p in marked.marks.plans) or 'none was'}")
    return _part(report.wrong_ways(marked.marks, plans[0]))


def completion(marked):
    """How many handed in, how much was answered, how the marks spread."""
    return _part(report.completion(marked.marks))


def odd(marked):
    """Everything odd in the folder, with its reason."""
    return _part(report.odd_list(marked.marks))


class MarkingDesk(Shown):
    """A form that marks a folder: `mark()` is what its button does, `marked` the last result or None.

    Names of the fields: folder, roster, out, course, override; `names` is the tick for a report with names.
    """

    def __init__(self, folder="", roster="", out=""):
        given = {"folder": str(folder), "roster": str(roster), "out": str(out)}
        self.fields = {name: self._field(label, given.get(name, "")) for name, label in FIELDS}
        self.names = ipywidgets.Checkbox(value=True, description="class report with names", indent=False)
        button = ipywidgets.Button(description="Mark", tooltip="Mark the folder and write the results")
        button.on_click(lambda _: self.mark())
        self._bar = ipywidgets.IntProgress(value=0, min=0, max=1, description="files")
        self._said, self._found = ipywidgets.HTML(text_html("", "", "status")), ipywidgets.HTML()
        row = ipywidgets.HBox((button, self._bar), layout={"flex_flow": "row wrap"})
        parts = (*self.fields.values(), self.names, row, self._said, self._found)
        super().__init__((ipywidgets.HTML(STYLE), Keys(), *parts))
        self.marked = None
        self.add_class("tempkit-practice")
        if book.current().room:
            self.add_class("tempkit-room")

    def _field(self, label, value):
        return ipywidgets.Text(
            value=value,
            description=label,
            style={"description_width": "initial"},
            layout={"width": "44em", "max_width": "calc(100% - 4px)"},
        )

    def mark(self):
        """Mark the folder and write the results; what cannot be done is said in words."""
        try:
            self.marked = mark_folder(**self._settings(), names=self.names.value, tell=self._progress)
        except ValueError as error:
            self._said.value = text_html(str(error), "tempkit-not-read", "status")
            return None
        self._said.value = text_html(self.marked.words(), "", "status")
        shown = (report.completion, report.teach_again, report.odd_list)
        self._found.value = Part("".join(show(self.marked.marks) for show in shown))._repr_html_()
        return self.marked

    def _settings(self):
        values = {name: field.value.strip() for name, field in self.fields.items()}
        empty = [label for name, label in FIELDS[:3] if not values[name]]
        if empty:
            raise ValueError(f"fill in: {', '.join(empty)}")
        course = read_course(values["course"]) if values["course"] else Course()
        values.pop("course", None)
        return {**values, "course": course, "override": values["override"] or None}

    def _progress(self, what):
        self._bar.description = what

        def tell(done, of):
            self._bar.max, self._bar.value = max(of, 1), done

        return tell

    def words(self):
        """What is here, in lines that do not change while marking."""
        return "The marking desk: a folder of hand-ins, a class list, a folder for the results.\nRun this cell to mark."
