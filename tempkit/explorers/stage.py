"""What all explorers share: compute -> picture -> words, with controls, reset, back-row size and design files.

An explorer is a `Plan`; `Explorer(plan)` at the end of a notebook's cell shows it. DEVELOPERS.md has a whole one in 35
lines, under "How to add".
"""

import html
import os
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import ipywidgets

from tempkit import book as books
from tempkit.chain import Design, scenario
from tempkit.draw import Fact, Keys, Look, Shown, size_all
from tempkit.explorers.panel import Panel, Slide


@dataclass(frozen=True)
class Plan:
    """An explorer as it is declared: what can be moved, what follows, and how that is drawn and told.

    title : stands above the number table.
    controls : a tuple of `Control`, in the order of the screen.
    compute(design, **own) -> result : all arithmetic, temperatures in degC. `design` is the chain as the controls have
        set it; a control without `get` and `put` is the explorer's own, and its value comes under its name. The result
        may be any object, but the same settings must give the same one.
    picture : `Charts`, or any function of a look and a book that gives a `Picture`.
    words(result, book) -> two or three sentences with the numbers, which are the picture's alt text too: say each
        number once, as a `Fact`, and write `FACTS.sentences("It shows {now}.")`.
    facts(result, book) -> rows (name, text) of the number table: `FACTS.rows`. What the picture shows stands there.
    table(result, book), where there is one -> HTML that always stands beneath the words.

    `book` is the reader's choice of scale: `book.temperature(t_c)` and `book.span(d_c)` give text with its unit.

    >>> from tempkit.draw import Axis, Chart, Charts, Facts, Ring
    >>> from tempkit.explorers import Control
    >>> facts = Facts([Fact("twice", "twice as much", lambda volts, book: f"{volts:.1f} V")])
    >>> voltage = Control("half_v", "voltage", "V", 0, 5, 0.1, 1, start=2.0)
    >>> ring = Ring(lambda volts: (volts / 2, volts), handle="half_v")
    >>> charts = Charts(Chart(Axis("voltage", "V", (0, 5)), Axis("twice", "V", (0, 10)), (ring,)))
    >>> words = facts.sentences("Twice as much is {twice}.")
    >>> plan = Plan("Twice", (voltage,), lambda design, half_v: 2 * half_v, charts, words, facts.rows)
    >>> Explorer(plan).move(half_v=3.0)
    'Twice as much is 6.0 V.'
    """

    title: str
    controls: tuple
    compute: Callable
    picture: Callable
    words: Callable
    facts: Callable
    table: Callable | None = None


def north_bench():
    """The design every explorer starts from: the scenario's chain, invented like all of the bench.

    >>> north_bench().chain.code(25.0)
    163
    """
    return Design("North bench, air above the seedlings (invented)", scenario(supply_v=5.0))


def warning(problems):
    """What cannot work in a combination, as sentences that follow the others.

    >>> warning(["the supply is too low"])
    ' Mind: the supply is too low.'
    """
    return "".join(f" Mind: {problem}." for problem in problems)


def minds(problems):
    """Rows of the number table for what deserves a second look, one for each problem.

    >>> minds(["the supply is too low"])
    [('mind', 'the supply is too low')]
    """
    return [("mind", problem) for problem in problems]


# The same as one fact, for what follows from the chain alone; left out where all is well.
MIND = Fact("mind", "mind", lambda result, book: "; ".join(result.problems(book.temperature)) or None)


def or_none(value, say):
    """A value as `say` tells it in a table, or "none" where there is none.

    >>> or_none(None, str), or_none(163, str)
    ('none', '163')
    """
    return "none" if value is None else say(value)


STYLE = """<style>
.tempkit-words { color: var(--jp-ui-font-color1, #1a1a1a); font-size: 15px; line-height: 1.5; max-width: 60em; }
.tempkit-words td, .tempkit-words th { text-align: left; padding: 2px 1.2em 2px 0; }
.tempkit-words th { font-weight: normal; }
.tempkit-explorer .widget-dropdown .widget-label { width: 12.5em; text-align: left; font-size: 14px; }
.tempkit-heard { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
.tempkit-explorer .widget-button, .tempkit-explorer .widget-toggle-button { width: auto; min-width: 9em;
  color: var(--jp-ui-font-color1, #1a1a1a); background: var(--jp-layout-color2, #eee);
  border: 1px solid var(--jp-ui-font-color2, #616161); }
.tempkit-explorer.tempkit-room .widget-dropdown .widget-label { width: 8.4em; white-space: normal; }
.tempkit-room.tempkit-room .tempkit-words code { font-size: 1.05em !important; }
.tempkit-room.tempkit-room .widget-dropdown, .tempkit-room.tempkit-room .widget-text { width: auto; height: auto;
  min-height: 46px; max-width: 100%; }
.tempkit-room.tempkit-room .tempkit-words, .tempkit-room.tempkit-room .widget-label.widget-label,
.tempkit-room.tempkit-room select, .tempkit-room.tempkit-room button,
.tempkit-room.tempkit-room input { font-size: 31px; line-height: 1.35; height: auto; }
</style>"""


def paragraph(words):
    """Words as HTML in the book's style.

    >>> paragraph("18 < 27")
    '<div class="tempkit-words">18 &lt; 27</div>'
    """
    return f'<div class="tempkit-words">{html.escape(words)}</div>'


def heard(words, look="tempkit-words"):
    """Words that a screen reader hears as they change.

    >>> heard("Saved.")
    '<div class="tempkit-words" role="status">Saved.</div>'
    """
    return paragraph(words).replace('class="tempkit-words"', f'class="{look}" role="status"', 1)


def number_table(title, rows):
    """Rows (name, value) of text as an HTML table with its title.

    >>> number_table("Bench", [("code", "163")])[58:]
    '<tr><th scope="row">code</th><td>163</td></tr></table></div>'
    """
    cells = "".join(
        f'<tr><th scope="row">{html.escape(name)}</th><td>{html.escape(value)}</td></tr>' for name, value in rows
    )
    return f'<div class="tempkit-words"><table><caption>{html.escape(title)}</caption>{cells}</table></div>'


def _columns(room):
    """As many columns of controls as have room for a slider that can be grasped."""
    return f"repeat(auto-fit, minmax(min({640 if room else 400}px, 100%), 1fr))"


class Explorer(Shown):
    """A `Plan` brought to life: a box with its controls, a picture that follows them, and the same told in words.

    plan : what it is made of; start_design : the `Design` it starts from, the north bench where none is given; book,
    room : scale and size of its own, the whole book's where none are given; start : values of controls by name.

    In a notebook `move(t_c=30.0, ...)` sets controls by name, temperatures in degC whatever the reader's scale, and
    returns the words. `settings()` gives all values, `result()` what `compute` makes of them, `design()` the chain as
    it stands, `words()` the readout; `reset()` goes back to the start. An error while drawing is told in place of the
    picture with what to do, and raised as well where the environment holds TEMPKIT_STRICT.

    >>> from tempkit.explorers import whole_chain
    >>> bench = Explorer(whole_chain.PLAN, t_c=18.0)
    >>> bench.settings()["t_c"], bench.result().code
    (18.0, 152)
    """

    def __init__(self, plan, start_design=None, book=None, room=None, **start):
        self.plan = plan
        self.book = book or books.current()
        if room is not None:
            self.book = replace(self.book, room=room)
        self._lock = threading.RLock()
        self._design = start_design or north_bench()
        self._start = start
        self._first = self._design
        self._panel = Panel(plan.controls, self.book)
        self._inputs = self._panel.inputs
        self._make_view()
        super().__init__()
        self._style, self._grid, *self._below = self._rows()
        self._keys = Keys()
        self.add_class("tempkit-explorer")
        self._panel.set({**self._panel.read(self._design), **start})
        self._size()
        for control in plan.controls:
            widget = self._inputs[control.name]
            widget.observe(self._changed, "value")
            if isinstance(widget, Slide):
                widget.observe(lambda _: self._guard(self._speak), "settled")

    # ---- making the widgets

    def _make_view(self):
        self._image = ipywidgets.HTML()
        self._told = ipywidgets.HTML()
        self._beneath = ipywidgets.HTML(layout={} if self.plan.table else {"display": "none"})
        self._spoken = ipywidgets.HTML()
        self._table = ipywidgets.HTML(layout={"display": "none"})
        self._file = ipywidgets.Text(
            value="my-design.toml", description="design file", style={"description_width": "initial"}
        )
        self._file_note = ipywidgets.HTML(heard(""))

    def _button(self, words, action, kind=ipywidgets.Button, **state):
        button = kind(description=words, **state)
        if kind is ipywidgets.Button:
            button.on_click(lambda _: self._guard(action))
        else:
            button.observe(lambda change: self._guard(lambda: action(change["new"])), "value")
        return button

    def _rows(self):
        grid = ipywidgets.GridBox(
            list(self._inputs.values()),
            layout={
                "grid_template_columns": _columns(self.book.room),
                "grid_gap": "4px 28px",
                "padding": "0 0 8px 0",
            },
        )
        self._room_button = self._button("Back-row size", self._switch, ipywidgets.ToggleButton, value=self.book.room)
        load, save = self._button("Load", self.load), self._button("Save", self.save)
        self._table_button = self._button("Number table", self._open_table, ipywidgets.ToggleButton)
        files = self._folded("My design file", self._file, load, save, self._file_note)
        self._buttons = ipywidgets.HBox(
            [self._button("Reset", self.reset), self._room_button, self._table_button, files[0]],
            layout={"flex_flow": "row wrap"},
        )
        style = ipywidgets.HTML(STYLE, layout={"display": "none"})
        return [style, grid, self._told, self._beneath, self._spoken, self._buttons, self._table, files[1]]

    def _folded(self, words, *widgets):
        """A toggle and the row of widgets that it unfolds."""
        row = ipywidgets.HBox(widgets, layout={"display": "none", "flex_flow": "row wrap"})
        return self._button(words, lambda on: _unfold(row, on), ipywidgets.ToggleButton), row

    def _open_table(self, on):
        if on:
            self._fill_table(self.result())
        _unfold(self._table, on)

    # ---- values

    def settings(self):
        """The value of every control by name, temperatures in degC."""
        return self._panel.settings()

    def design(self):
        """The design as the controls now have it."""
        return self._panel.write(self._design)

    def result(self):
        """What `compute` makes of the present settings."""
        return self.plan.compute(self.design(), **self._panel.own())

    def words(self):
        """The readout: two or three sentences with the numbers; also the alt text of the picture."""
        return self.plan.words(self.result(), self.book)

    # ---- following the controls

    def _changed(self, change):
        if not self._panel.moving:
            self._guard(lambda: self._draw(settled=not isinstance(change["owner"], Slide)))

    def _speak(self, settled=True):
        """Once the reader let go, and only then, a screen reader is told; until then there is nothing to hear."""
        self._spoken.value = heard(self._words if settled else "", "tempkit-heard")

    def _tell(self, words, settled=True):
        self._words, self._told.value = words, paragraph(words)
        self._speak(settled)

    def _guard(self, action):
        """Run an action; what goes wrong is told in the words in place of the picture, never lost."""
        try:
            with self._lock:
                action()
        except Exception as error:
            self._image.value = self._beneath.value = self._table.value = ""
            self._tell(f"This cannot be shown: {error}. Move a control back, or press Reset.")
            if os.environ.get("TEMPKIT_STRICT"):
                raise

    def _draw(self, settled=True):
        self._panel.rest(self._design)
        result = self.result()
        words = self.plan.words(result, self.book)
        self._image.value = self._picture.show(result).img(words)
        self._beneath.value = self._table_beneath(result)
        self._tell(words, settled)
        self._fill_table(result)

    def _table_beneath(self, result):
        return self.plan.table(result, self.book) if self.plan.table else ""

    def _fill_table(self, result):
        """Worked out only where it is seen; it opens with the present numbers."""
        if self._table_button.value:
            self._table.value = number_table(self.plan.title, self.plan.facts(result, self.book))

    def _size(self):
        """Make the picture anew at the chosen size; in a room it comes first, with a slider next to it."""
        self._grid.layout.grid_template_columns = _columns(self.book.room)
        inputs = self._inputs.values()
        slides_first = sorted(inputs, key=lambda widget: not isinstance(widget, Slide))
        self._grid.children = slides_first if self.book.room else list(inputs)
        top = [self._image, self._grid] if self.book.room else [self._grid, self._image]
        self.children = [self._style, self._keys, *top, *self._below]
        self._picture = self.plan.picture(Look(self.book.room), self.book)
        (self.add_class if self.book.room else self.remove_class)("tempkit-room")
        self._guard(self._draw)

    def _switch(self, room):
        """One button is the switch of the whole notebook."""
        self.size(room)
        size_all(room)

    def size(self, room):
        """Take back-row size (`room` True) or desk size, and set the button so."""
        if room != self.book.room:
            self.book = replace(self.book, room=room)
            self._room_button.value = room
            self._size()

    # ---- what the reader can do

    def move(self, **values):
        """Set controls by name and return the words, as a reader's hand on the sliders would."""
        self._panel.set(values)
        self._guard(self._draw)
        return self.words()

    def reset(self):
        """Back to the start."""
        self._design = self._first
        self._panel.set({**self._panel.read(self._first), **self._start})
        self._draw()

    def load(self):
        """Take the reader's own design file; a file that cannot be used here is named with what is wrong."""
        from tempkit.chain import read

        try:
            found = read(self._file.value)
            self.plan.compute(found, **self._panel.own())
        except (OSError, ValueError) as error:
            self._file_note.value = heard(f"Not loaded: {error}")
            return
        self._design = found
        self._panel.set(self._panel.read(self._design) | self._own_settings())
        rests = [control.label for control in self.plan.controls if not control.applies(found)]
        at_rest = f" This design has no part for these, which rest: {', '.join(rests)}." if rests else ""
        self._file_note.value = heard(f"Loaded: {self._design.title}.{at_rest}")
        self._draw()

    def _own_settings(self):
        settings = self.settings()
        return {control.name: settings[control.name] for control in self.plan.controls if control.get is None}

    def save(self):
        """Write the present design to the reader's file; what was in the file before is kept beside it."""
        from tempkit.chain import write

        path = Path(self._file.value)
        try:
            kept = _keep_previous(path)
            write(self.design(), path)
        except (OSError, ValueError) as error:
            self._file_note.value = heard(f"Not saved: {error}")
            return
        self._file_note.value = heard(f"Saved to {path}.{kept}")

    def static_html(self):
        """Picture, words and numbers for readers without a kernel."""
        result = self.result()
        words = self.plan.words(result, self.book)
        picture = self._picture.show(result).img(words)
        told = paragraph(words) + self._table_beneath(result)
        return picture + told + number_table(self.plan.title, self.plan.facts(result, self.book))


def _unfold(box, on):
    box.layout.display = "flex" if on else "none"


def _keep_previous(path):
    """Copy an existing file aside; the sentence that says so."""
    if not path.exists():
        return ""
    import shutil

    aside = path.with_name(f"{path.stem}-before{path.suffix}")
    shutil.copy2(path, aside)
    return f" What it held before is in {aside.name}."
