"""Problems as cards in a notebook: text, inputs, check, hints, other figures, worked solution."""

import html
import math
import os
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

import ipywidgets

from tempkit import book
from tempkit.draw import Keys, Shown
from tempkit.exercises import reading
from tempkit.exercises.catalogue import Posed, for_all, problems
from tempkit.exercises.checking import cell_labels, parts, picked
from tempkit.exercises.figures import columns, count, other_figures
from tempkit.exercises.kinds import Choice, Number
from tempkit.exercises.showing import listing_html, picture_html, table_html

# Inputs

WIDE = {"description_width": "initial"}
NO_UNIT = "choose a unit"


@dataclass(frozen=True)
class Entry:
    """Inputs of one answer: the `box` to show, all `inputs` in it, `read`, giving (text, unit), and `write`,
    which takes the same and puts it into the inputs."""

    box: ipywidgets.Widget
    inputs: tuple
    read: Callable
    write: Callable

    def close(self):
        """Take the widgets away for good."""
        for widget in (*self.inputs, self.box):
            widget.close()


def entry(posed, label):
    """The inputs for a posed problem; `label` names the problem for those who hear the page."""
    answer = posed.problem.answer
    if isinstance(answer, Number):
        return _number(answer, label)
    if isinstance(answer, Choice):
        texts = [(text, key) for key, text in posed.options]
        return _ticks(texts, label) if answer.several else _options(texts, label)
    return _grid(posed, answer, label)


def _field(description, width="24em"):
    return ipywidgets.Text(
        description=description,
        placeholder="number",
        style=WIDE,
        layout={"width": width, "max_width": "calc(100% - 4px)"},
    )


def _number(answer, label):
    field = _field(f"Answer to {label}")
    known = (answer.unit,) if answer.own_unit else reading.signs(answer.quantity)
    if len(known) == 1:
        trailing = () if known[0] in ("", "code") else (ipywidgets.Label(known[0]),)
        return Entry(
            _row(field, *trailing), (field, *trailing), lambda: (field.value, None), lambda text, _: _put(field, text)
        )
    options = [(NO_UNIT, ""), *((sign, sign) for sign in known)]
    chosen = ipywidgets.Dropdown(
        options=options,
        value="",
        description="Unit",
        style=WIDE,
        layout={"width": "14em", "max_width": "calc(100% - 4px)"},
    )

    def write(text, unit):
        _put(field, text)
        chosen.value = unit if unit in known else ""

    return Entry(_row(field, chosen), (field, chosen), lambda: (field.value, chosen.value or None), write)


def _put(field, text):
    field.value = text if isinstance(text, str) else "; ".join(text)


def _row(*widgets):
    return ipywidgets.HBox(widgets, layout={"flex_flow": "row wrap", "align_items": "center"})


def _options(texts, label):
    radio = ipywidgets.RadioButtons(
        options=texts, index=None, description=f"Choice for {label}", style=WIDE, layout={"width": "100%"}
    )

    def write(text, _):
        radio.value = next((key for told, key in texts if text in (key, told)), None)

    return Entry(ipywidgets.VBox((radio,)), (radio,), lambda: (radio.value or "", None), write)


def _ticks(texts, label):
    boxes = tuple(
        ipywidgets.Checkbox(description=text, indent=False, style=WIDE, layout={"width": "auto"}) for text, _ in texts
    )
    head = ipywidgets.Label(f"Choices for {label}: tick all that apply.")
    keys = [key for _, key in texts]

    def write(text, _):
        for (told, key), box in zip(texts, boxes, strict=True):
            box.value = key in picked(text) or told in picked(text)

    return Entry(
        ipywidgets.VBox((head, *boxes)),
        (head, *boxes),
        lambda: ([key for key, box in zip(keys, boxes, strict=True) if box.value], None),
        write,
    )


def _grid(posed, answer, label):
    parts_asked = columns(answer, posed.figures)
    fields = tuple(
        _field(f"{name} [{column.unit}]" if column.unit not in ("", "code") else name, "26em")
        for name, column in zip(cell_labels(answer, posed.figures), parts_asked, strict=True)
    )
    head = ipywidgets.Label(f"Answers to {label}:")
    placed = tuple(zip(answer.asked(posed.figures), fields, strict=True))
    rows = tuple(
        _row(*(field for (row, _), field in placed if row == number))
        for number in dict.fromkeys(row for (row, _), _ in placed)
    )

    def write(text, _):
        for field, part in zip(fields, parts(text), strict=False):
            field.value = part.strip()

    return Entry(
        ipywidgets.VBox((head, *rows)), (head, *rows, *fields), lambda: ([f.value for f in fields], None), write
    )


SURE = (("a guess", 1), ("rather sure", 2), ("sure", 3))
SURE_AND_WRONG = "You were sure of it. What surprises you here is worth a note: find the step where it parts."
ATTEMPTS = 3
LATE_S = 0.6
KINDS = {"✓": "tempkit-right", "✗": "tempkit-not-yet", "≈": "tempkit-not-read", "?": "tempkit-not-read"}
STYLE = """<style>
.tempkit-practice h3 { margin: 0 0 4px; font-size: 17px; }
.tempkit-practice .tempkit-card-text { color: var(--jp-ui-font-color1, inherit); font-size: 15px;
  line-height: 1.5; max-width: 60em; white-space: pre-line; }
.tempkit-card-text.tempkit-right { border-left: 5px solid #009E73; padding-left: 10px; }
.tempkit-card-text.tempkit-not-yet { border-left: 5px dashed #D55E00; padding-left: 10px; }
.tempkit-card-text.tempkit-not-read { border-left: 5px dotted #0072B2; padding-left: 10px; }
.tempkit-practice pre { font: 14px/1.5 monospace; white-space: pre-wrap; padding: 4px 0 4px 10px;
  color: var(--jp-ui-font-color1, inherit); border-left: 2px solid var(--jp-border-color1, #888); }
.tempkit-practice table { border-collapse: collapse; color: var(--jp-ui-font-color1, inherit); font-size: 15px; }
.tempkit-practice th, .tempkit-practice td { border: 1px solid var(--jp-border-color1, #888); padding: 2px 10px;
  text-align: left; }
.tempkit-practice .tempkit-card { border-top: 1px solid var(--jp-border-color1, #888); padding: 10px 0 14px; }
.tempkit-practice .widget-label { font-size: 14px; }
.tempkit-practice .widget-radio-box label, .tempkit-practice .widget-checkbox label { white-space: normal;
  overflow: visible; height: auto; line-height: 1.4; font-size: 14px; }
.tempkit-practice .widget-radio { height: auto; flex-flow: column; align-items: flex-start; }
.tempkit-practice .widget-radio-box { height: auto; }
.tempkit-practice .widget-radio-box label { display: flex; gap: 8px; align-items: flex-start; padding: 2px 0; }
.tempkit-practice .widget-radio-box label input { order: -1; flex: none; margin: 3px 0 0; }
.tempkit-practice .widget-checkbox { height: auto; }
.tempkit-practice .widget-toggle-buttons, .tempkit-practice .widget-toggle-buttons > div { height: auto;
  overflow: visible; }
.tempkit-practice .widget-toggle-button { width: auto; padding: 0 0.8em; margin: 6px; overflow: visible; }
.tempkit-practice .widget-button { width: auto; min-width: 8em; color: var(--jp-ui-font-color1, inherit);
  background: var(--jp-layout-color2, transparent); border: 1px solid var(--jp-ui-font-color2, #616161); }
.tempkit-practice.tempkit-room .tempkit-card-text, .tempkit-practice.tempkit-room .widget-label,
.tempkit-practice.tempkit-room pre, .tempkit-practice.tempkit-room table,
.tempkit-practice.tempkit-room input, .tempkit-practice.tempkit-room select,
.tempkit-practice.tempkit-room label, .tempkit-practice.tempkit-room .widget-text,
.tempkit-practice.tempkit-room .widget-dropdown,
.tempkit-practice.tempkit-room button { font-size: 31px; line-height: 1.35; height: auto; }
</style>"""


def text_html(text, kind="", role=""):
    """Escaped text in the practice's own look, lines kept; `role` "status" lets a screen reader hear changes.

    >>> text_html("5 < 6")
    '<div class="tempkit-card-text">5 &lt; 6</div>'
    """
    attributes = f' role="{role}" aria-live="polite"' if role else ""
    name = f"tempkit-card-text {kind}".strip()
    return f'<div class="{name}"{attributes}>{html.escape(text)}</div>'


class Card(ipywidgets.VBox):
    """One problem to answer. `check()`, `hint()`, `other()` and `solve()` are what its buttons do.

    `posed` is the problem with its figures, `verdict` the last verdict or None, `attempts` the number of
    different answers that were read and not right, `hints_shown` how many hints were taken, `solution_open`
    True after a right answer or three attempts. `sure` is how sure the reader says to be, 1 to 3, or None: it is never
    asked for a mark.
    """

    def __init__(self, posed, label):
        self.posed, self.label = posed, label
        self._lock = threading.RLock()
        self._head, self._remark, self._more = (ipywidgets.HTML() for _ in range(3))
        self._answer = ipywidgets.VBox()
        self._entry = None
        self._how_sure = self._sure_buttons() if posed.problem.asks_how_sure else None
        self._buttons = {
            name: self._button(text, action)
            for name, text, action in (
                ("check", "Check", self._ask),
                ("hint", "Hint", self.hint),
                ("other", "Other figures", self.other),
                ("solution", "Worked solution", self.solve),
            )
        }
        self._begin()
        row = ipywidgets.HBox(tuple(self._buttons.values()), layout={"flex_flow": "row wrap"})
        asked = (self._how_sure,) if self._how_sure else ()
        super().__init__((self._head, self._answer, *asked, row, self._remark, self._more))
        self.add_class("tempkit-card")

    def _sure_buttons(self):
        return ipywidgets.ToggleButtons(
            options=SURE,
            value=None,
            description=f"How sure are you of {self.label}? It never counts",
            style=WIDE,
        )

    @property
    def sure(self):
        """How sure the reader says to be: 1, 2 or 3; None where it is not said."""
        return self._how_sure.value if self._how_sure else None

    def _told(self, verdict):
        """The verdict with its remark as HTML, and one line more for who was sure and is not right."""
        more = f"\n{SURE_AND_WRONG}" if self.sure == SURE[-1][1] and verdict.attempt else ""
        return text_html(f"{verdict!r}{more}", KINDS[verdict.headline[0]], "status")

    def _button(self, text, action):
        button = ipywidgets.Button(description=text, tooltip=f"{text}: {self.label}")
        button.on_click(lambda _: self._guarded(action))
        return button

    def _guarded(self, action):
        """Run a callback; an error is told in the remark with what to do, and raised under TEMPKIT_STRICT."""
        try:
            with self._lock:
                action()
        except Exception as error:
            told = f"This did not work ({type(error).__name__}: {error}). Run the cell again."
            self._remark.value = text_html(told, "tempkit-not-read", "status")
            if os.environ.get("TEMPKIT_STRICT"):
                raise

    def _begin(self):
        """Set out the problem with its figures, with nothing answered yet."""
        self.verdict, self._tried, self.hints_shown = None, set(), 0
        self._solved = self.solution_open = False
        self._asked_at, self._tried_before = -math.inf, frozenset()
        title = html.escape(f"{self.label[:1].upper()}{self.label[1:]}: {self.posed.problem.title}")
        head = f'<h3 class="tempkit-card-text">{title}</h3>'
        self._head.value = f"{head}{text_html(self.posed.text)}{_beside(self.posed)}"
        if self._how_sure:
            self._how_sure.value = None
        old, self._entry = self._entry, entry(self.posed, self.label)
        for widget in self._entry.inputs:
            widget.on_msg(self._heard)
            if widget.has_trait("value"):
                widget.observe(lambda _: self._guarded(self._late), "value")
        self._answer.children = (self._entry.box,)
        if old:
            old.close()
        self._remark.value = text_html("", "", "status")
        self._show_more()

    def _heard(self, _, content, buffers):
        """Enter in a field checks the answer."""
        if content.get("event") == "submit":
            self._guarded(self._ask)

    def _ask(self):
        """Check because the reader asked, with Enter or the button."""
        self._asked_at, self._tried_before = time.monotonic(), frozenset(self._tried)
        self.check()

    def _late(self):
        """The last keys of fast typing may reach the kernel after the Enter that ends it: then check again.

        What was judged without them does not count as an attempt.
        """
        if time.monotonic() - self._asked_at < LATE_S:
            self._tried = set(self._tried_before)
            self.check()

    @property
    def inputs(self):
        """The input widgets, in reading order."""
        return self._entry.inputs

    @property
    def attempts(self):
        """How many different answers were read and found not right."""
        return len(self._tried)

    def check(self):
        """Check what is entered, and say what came of it."""
        text, unit = self._entry.read()
        self.verdict = self.posed.check(text, unit)
        if self.verdict.attempt:
            self._tried.add(repr(self.verdict.value))
        self.solution_open = self.solution_open or self.verdict.right or self.attempts >= ATTEMPTS
        self._remark.value = self._told(self.verdict)
        self._show_more()
        return self.verdict

    def hint(self):
        """Show the next hint."""
        self.hints_shown = min(self.hints_shown + 1, len(self.posed.hints))
        self._show_more()

    def other(self):
        """Go on to other figures of the same problem."""
        self.posed = self.posed.other()
        self._begin()
        self._remark.value = text_html("Other figures are set. The fields are empty again.", "", "status")

    def solve(self):
        """Show the worked solution, once it may be seen."""
        self._solved = self.solution_open
        self._show_more()

    def _show_more(self):
        hints = self.posed.hints
        parts = [f"Hint {n} of {len(hints)}: {hint}" for n, hint in enumerate(hints[: self.hints_shown], 1)]
        if self._solved:
            parts.append(f"Worked solution:\n{self.posed.solution()}")
        self._more.value = text_html("\n".join(parts), "", "status")
        left = len(hints) - self.hints_shown
        self._buttons["hint"].description = f"Hint ({left} left)" if left else "No more hints"
        self._buttons["other"].layout.display = None if count(self.posed.problem) > 1 else "none"
        self._buttons["solution"].layout.display = None if self.solution_open else "none"


def _beside(posed):
    """What a problem shows beneath its text: lines, a graph, a table that is half filled in."""
    return f"{listing_html(posed)}{picture_html(posed, book.current().room)}{table_html(posed)}"


def posed_afresh(problem):
    """A problem as practice first asks it: the chapter has worked with the figures of turn 0 already.

    >>> posed_afresh(problems("02-step-in-mv")["02-step-in-mv"]).turn
    1
    """
    return Posed(problem, other_figures(problem, 1), 1)


class Practice(Shown):
    """Cards for some problems of one chapter, one under the other. `cards` holds those that are open, in order: the
    first ones, for everybody, and after `more()`, which is what the button does, all."""

    def __init__(self, problems, first=None):
        self.problems = tuple(problems)
        self.first = len(self.problems) if first is None else min(first, len(self.problems))
        self._list = ipywidgets.VBox()
        self._more = ipywidgets.Button(description=f"More problems ({len(self.problems) - self.first})")
        self._more.on_click(lambda _: self.more())
        self._lock = threading.RLock()
        self.cards = ()
        self._open(self.first)
        super().__init__((ipywidgets.HTML(STYLE), Keys(), self._list, self._more))
        self.add_class("tempkit-practice")
        if book.current().room:
            self.add_class("tempkit-room")

    def _open(self, number):
        of = f" of {len(self.problems)}" if len(self.problems) > 1 else ""
        self.cards += tuple(
            Card(posed_afresh(problem), f"problem {place}{of}")
            for place, problem in enumerate(self.problems[:number], 1)
            if place > len(self.cards)
        )
        self._list.children = self.cards
        self._more.layout.display = "none" if len(self.cards) == len(self.problems) else None

    def more(self):
        """Open the problems that are not for everybody."""
        with self._lock:
            self._open(len(self.problems))

    def words(self):
        """What is here, in a line or two that do not change while answering."""
        number, rest = self.first, len(self.problems) - self.first
        count_text = f"{number} problem{'s' if number > 1 else ''}" + (f" for everybody, {rest} more" if rest else "")
        return f"Practice for chapter {self.problems[0].chapter:02d}: {count_text}.\nRun this cell to answer."

    def static_html(self):
        """The problems' texts with their first figures, for readers without a kernel."""
        items = [f"<li>{static_card(posed_afresh(problem))}</li>" for problem in self.problems]
        first, rest = "".join(items[: self.first]), "".join(items[self.first :])
        told = f"<p>{html.escape(self.words())}</p><ol>{first}</ol>"
        if not rest:
            return told
        return f'{told}<details><summary>More problems</summary><ol start="{self.first + 1}">{rest}</ol></details>'


def static_card(posed):
    """A posed problem as HTML to read only: its title, its text, what it shows, and the options of a choice."""
    told = f"<strong>{html.escape(posed.problem.title)}.</strong> {html.escape(posed.text)}"
    items = "".join(f"<li>{html.escape(text)}</li>" for _, text in posed.options)
    return f"{told}{_beside(posed)}{f'<ul>{items}</ul>' if items else ''}"


def practice(which):
    """Cards for a chapter, `practice("02")`, or for one problem, `practice("02-step-in-degrees")`. Of a chapter the
    first problems stand open, as many as it has for everybody; a button opens the others.

    Raises `ValueError` that lists what there is, for a chapter or an id that does not exist.

    >>> practice("02-step-in-degrees").words().splitlines()[0]
    'Practice for chapter 02: 1 problem.'
    """
    found = tuple(problems(which).values())
    return Practice(found, for_all(which) if len(found) > 1 else None)
