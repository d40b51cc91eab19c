"""The inputs of a card: one text field, a choice, ticks, or a grid of fields, each read in the same way."""

from collections.abc import Callable
from dataclasses import dataclass

import ipywidgets

from tempkit.homework import units
from tempkit.homework.checking import cell_labels, parts, picked
from tempkit.homework.problem import Choice, Number

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
    known = (answer.unit,) if answer.own_unit else units.signs(answer.quantity)
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
    columns = answer.columns * len(answer.rows(posed.figures))
    fields = tuple(
        _field(f"{name} [{column.unit}]" if column.unit not in ("", "code") else name, "26em")
        for name, column in zip(cell_labels(answer, posed.figures), columns, strict=True)
    )
    head = ipywidgets.Label(f"Answers to {label}:")
    per_row = len(answer.columns)
    rows = tuple(_row(*fields[start : start + per_row]) for start in range(0, len(fields), per_row))

    def write(text, _):
        for field, part in zip(fields, parts(text), strict=False):
            field.value = part.strip()

    return Entry(
        ipywidgets.VBox((head, *rows)), (head, *rows, *fields), lambda: ([f.value for f in fields], None), write
    )
