"""What all explorers share: compute -> picture -> words, with controls, reset, back-row size and design files."""

import os
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import ipywidgets

from tempkit import book as books
from tempkit import chain, design
from tempkit.explorers.pick import Pick
from tempkit.explorers.slide import Slide
from tempkit.homework.keys import Keys
from tempkit.pictures import Look
from tempkit.shown import Shown, size_all

STYLE = """<style>
.tempkit-words { color: var(--jp-ui-font-color1, #1a1a1a); font-size: 15px; line-height: 1.5; max-width: 60em; }
.tempkit-words td, .tempkit-words th { text-align: left; padding: 2px 1.2em 2px 0; }
.tempkit-words th { font-weight: normal; }
.tempkit-explorer .widget-dropdown .widget-label { width: 12.5em; text-align: left; font-size: 14px; }
.tempkit-heard { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
.tempkit-explorer .widget-button, .tempkit-explorer .widget-toggle-button { width: auto; min-width: 9em;
  color: var(--jp-ui-font-color1, #1a1a1a); background: var(--jp-layout-color2, #eee);
  border: 1px solid var(--jp-ui-font-color2, #616161); }
.tempkit-explorer select:focus-visible, .tempkit-explorer button:focus-visible, .tempkit-explorer input:focus-visible {
  outline: 3px solid var(--jp-brand-color1, #0b5cad) !important; outline-offset: 2px; }
.tempkit-explorer.tempkit-room .widget-dropdown .widget-label { width: 8.4em; white-space: normal; }
.tempkit-room.tempkit-room .tempkit-words code { font-size: 1.05em !important; }
.tempkit-room.tempkit-room .widget-dropdown, .tempkit-room.tempkit-room .widget-text { width: auto; height: auto;
  min-height: 46px; max-width: 100%; }
.tempkit-room.tempkit-room .tempkit-words, .tempkit-room.tempkit-room .widget-label.widget-label,
.tempkit-room.tempkit-room select, .tempkit-room.tempkit-room button,
.tempkit-room.tempkit-room input { font-size: 31px; line-height: 1.35; height: auto; }
</style>"""


@dataclass(frozen=True)
class Plan:
    """What makes one explorer: its controls and its three pure parts.

    `compute(design, **own)` gives a frozen result, `own` being the controls that live in no design;
    `picture(look, book)` gives a `Picture`; `words(result, book)` gives two or three sentences with the numbers;
    `facts(result, book)` gives rows (name, value) that hold what the picture shows. `table(result, book)`, where
    there is one, gives HTML that always stands beneath the words.
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
    153
    """
    return design.Design("North bench, air above the seedlings (invented)", chain.scenario(supply_v=5.0))


def _columns(room):
    """As many columns of controls as have room for a slider that can be grasped."""
    return f"repeat(auto-fit, minmax(min({640 if room else 400}px, 100%), 1fr))"


def warning(problems):
    """What cannot work in a combination, as sentences that follow the others.

    >>> warning(["the supply is too low"])
    ' Mind: the supply is too low.'
    """
    return "".join(f" Mind: {problem}." for problem in problems)


def or_none(value, say):
    """A value as `say` tells it in a table, or "none" where there is none.

    >>> or_none(None, str), or_none(153, str)
    ('none', '153')
    """
    return "none" if value is None else say(value)


class Explorer(Shown):
    """A box with controls, a picture that follows them, and the same told in words.

    `move(t_c=30.0, ...)` sets controls by name (temperatures in degC whatever the reader's scale) and returns the
    words. `settings()` gives all values. An error while drawing is told in the words with what to do, and raised
    where the environment holds TEMPKIT_STRICT.
    """

    def __init__(self, plan, start_design=None, book=None, room=None, **start):
        self.plan = plan
        self.book = book or books.current()
        if room is not None:
            self.book = replace(self.book, room=room)
        self._lock = threading.RLock()
        self._moving = False
        self._design = start_design or north_bench()
        self._start = start
        self._first = self._design
        self._inputs = {control.name: self._input(control) for control in plan.controls}
        self._make_view()
        super().__init__()
        self._style, self._grid, *self._below = self._rows()
        self._keys = Keys()
        self.add_class("tempkit-explorer")
        self._set_inputs({**self._values_of(self._design), **start})
        self._size()
        for control in plan.controls:
            widget = self._inputs[control.name]
            widget.observe(self._changed, "value")
            widget.observe(self._heard, "settled" if isinstance(widget, Slide) else "value")

    # ---- making the widgets

    def _input(self, control):
        if control.options:
            options = [(words, value) for value, words in control.options]
            return Pick(options=options, description=control.label, layout={"width": "auto"})
        unit = self.book.sign if control.scale else control.unit
        low, high = self._shown(control, control.low), self._shown(control, control.high)
        return Slide(
            value=low,
            low=low,
            high=high,
            step=control.step,
            digits=control.digits,
            unit=unit,
            label=f"{control.label}, {unit}" if unit != control.label else unit,
        )

    def _shown(self, control, value):
        """A control's value as the slider shows it, in the reader's scale."""
        if control.scale == "temperature":
            return self.book.from_celsius(value)
        return self.book.span_from_celsius(value) if control.scale == "span" else value

    def _meant(self, control, value):
        """A slider's value in the units of the maths, degC."""
        if control.scale == "temperature":
            return self.book.to_celsius(value)
        return value / self.book.span_from_celsius(1.0) if control.scale == "span" else value

    def _make_view(self):
        self._image = ipywidgets.HTML()
        self._told = ipywidgets.HTML()
        self._beneath = ipywidgets.HTML(layout={} if self.plan.table else {"display": "none"})
        self._spoken = ipywidgets.HTML()
        self._table = ipywidgets.HTML(layout={"display": "none"})
        self._file = ipywidgets.Text(
            value="my-design.toml", description="design file", style={"description_width": "initial"}
        )
        self._file_note = ipywidgets.HTML()

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
        file_row = ipywidgets.HBox(
            [self._file, self._button("Load", self.load), self._button("Save", self.save), self._file_note],
            layout={"display": "none", "flex_flow": "row wrap"},
        )
        buttons = [
            self._button("Reset", self.reset),
            self._room_button,
            self._button("Number table", lambda on: self._unfold(self._table, on), ipywidgets.ToggleButton),
            self._button("My design file", lambda on: self._unfold(file_row, on), ipywidgets.ToggleButton),
        ]
        button_row = ipywidgets.HBox(buttons, layout={"flex_flow": "row wrap"})
        style = ipywidgets.HTML(STYLE, layout={"display": "none"})
        return [style, grid, self._told, self._beneath, self._spoken, button_row, self._table, file_row]

    def _unfold(self, box, on):
        box.layout.display = "flex" if on else "none"

    # ---- values

    def _values_of(self, a_design):
        return {control.name: control.read(a_design) for control in self.plan.controls}

    def settings(self):
        """The value of every control by name, temperatures in degC."""
        return {
            control.name: self._meant(control, self._inputs[control.name].value)
            if not control.options
            else self._inputs[control.name].value
            for control in self.plan.controls
        }

    def _set_inputs(self, values):
        """Set controls by name; a range that is too narrow for a value from a design is made wide enough."""
        controls = {control.name: control for control in self.plan.controls}
        unknown = sorted(set(values) - set(controls))
        if unknown:
            raise ValueError(f"no control is called {', '.join(unknown)}: there are {', '.join(controls)}")
        self._moving = True
        try:
            for name, value in values.items():
                if not controls[name].options:
                    value = float(self._shown(controls[name], value))
                    slide = self._inputs[name]
                    slide.low, slide.high = min(slide.low, value), max(slide.high, value)
                self._inputs[name].value = value
        finally:
            self._moving = False

    def design(self):
        """The design as the controls now have it."""
        present = self._design
        settings = self.settings()
        for control in self.plan.controls:
            if control.put is not None and settings[control.name] != control.read(present):
                present = control.write(present, settings[control.name])
        return present

    def result(self):
        """What `compute` makes of the present settings."""
        return self.plan.compute(self.design(), **self._own_values())

    def _own_values(self):
        """Values of the controls that live in no design."""
        settings = self.settings()
        return {control.name: settings[control.name] for control in self.plan.controls if control.put is None}

    def words(self):
        """The readout: two or three sentences with the numbers; also the alt text of the picture."""
        return self.plan.words(self.result(), self.book)

    # ---- following the controls

    def _changed(self, _):
        if not self._moving:
            self._guard(self._draw)

    def _heard(self, _):
        """Once the reader let go, and only then, a screen reader is told."""
        text = self._told.value.replace('class="tempkit-words"', 'class="tempkit-heard" role="status"')
        self._spoken.value = text

    def _guard(self, action):
        """Run an action; what goes wrong is told in the words in place of the picture, never lost."""
        try:
            with self._lock:
                action()
        except Exception as error:
            self._image.value = self._beneath.value = ""
            self._told.value = _paragraph(f"This cannot be shown: {error}. Move a control back, or press Reset.")
            if os.environ.get("TEMPKIT_STRICT"):
                raise

    def _rest(self):
        """Let controls rest that have no effect in the present settings, or no place in the present design."""
        for control in self.plan.controls:
            self._inputs[control.name].disabled = not control.applies(self._design) or self._waits(control)

    def _waits(self, control):
        if not control.only_if or control.only_if[0] not in self._inputs:
            return False
        other, wanted = control.only_if
        wanted = wanted if isinstance(wanted, tuple) else (wanted,)
        return self._inputs[other].value not in wanted

    def _draw(self):
        self._rest()
        result = self.result()
        words = self.plan.words(result, self.book)
        self._image.value = self._picture.show(result).img(words)
        self._told.value = _paragraph(words)
        self._beneath.value = self._table_beneath(result)
        if self._table.layout.display != "none":
            self._fill_table(result)

    def _table_beneath(self, result):
        return self.plan.table(result, self.book) if self.plan.table else ""

    def _fill_table(self, result):
        self._table.value = _table(self.plan.title, self.plan.facts(result, self.book))

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
        self._fill_table(self.result())
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
        self._set_inputs(values)
        self._guard(self._draw)
        return self.words()

    def reset(self):
        """Back to the start."""
        self._design = self._first
        self._set_inputs({**self._values_of(self._first), **self._start})
        self._draw()

    def load(self):
        """Take the reader's own design file; a file that cannot be used here is named with what is wrong."""
        from tempkit import chainfile

        try:
            found = chainfile.read(self._file.value)
            self.plan.compute(found, **self._own_values())
        except (OSError, ValueError) as error:
            self._file_note.value = _paragraph(f"Not loaded: {error}")
            return
        self._design = found
        self._set_inputs(self._values_of(self._design) | self._own_settings())
        rests = [control.label for control in self.plan.controls if not control.applies(found)]
        at_rest = f" This design has no part for these, which rest: {', '.join(rests)}." if rests else ""
        self._file_note.value = _paragraph(f"Loaded: {self._design.title}.{at_rest}")
        self._draw()

    def _own_settings(self):
        settings = self.settings()
        return {control.name: settings[control.name] for control in self.plan.controls if control.get is None}

    def save(self):
        """Write the present design to the reader's file; what was in the file before is kept beside it."""
        from tempkit import chainfile

        path = Path(self._file.value)
        try:
            kept = _keep_previous(path)
            chainfile.write(self.design(), path)
        except (OSError, ValueError) as error:
            self._file_note.value = _paragraph(f"Not saved: {error}")
            return
        self._file_note.value = _paragraph(f"Saved to {path}.{kept}")

    def static_html(self):
        """Picture, words and numbers for readers without a kernel."""
        result = self.result()
        words = self.plan.words(result, self.book)
        picture = self._picture.show(result).img(words)
        told = _paragraph(words) + self._table_beneath(result)
        return picture + told + _table(self.plan.title, self.plan.facts(result, self.book))


def _keep_previous(path):
    """Copy an existing file aside; the sentence that says so."""
    if not path.exists():
        return ""
    import shutil

    aside = path.with_name(f"{path.stem}-before{path.suffix}")
    shutil.copy2(path, aside)
    return f" What it held before is in {aside.name}."


def _paragraph(words):
    import html

    return f'<div class="tempkit-words">{html.escape(words)}</div>'


def _table(title, rows):
    import html

    cells = "".join(
        f'<tr><th scope="row">{html.escape(name)}</th><td>{html.escape(value)}</td></tr>' for name, value in rows
    )
    return f'<div class="tempkit-words"><table><caption>{html.escape(title)}</caption>{cells}</table></div>'
