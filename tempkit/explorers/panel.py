"""The controls of one explorer as widgets, and their values in the units of the maths."""

import math

import anywidget
import ipywidgets
import traitlets

from tempkit import exercises
from tempkit.exercises import read

# ---- A labelled slider with its unit: a native range input, and a text field that is read as the answer cards are.

_SCRIPT = """
function render({ model, el }) {
  const id = "slide-" + Math.random().toString(36).slice(2);
  el.classList.add("tempkit-slide");
  el.innerHTML = `<label for="${id}"></label><input type="range" id="${id}"><input type="text" inputmode="decimal"
    autocomplete="off" aria-describedby="${id}-said"><p id="${id}-said" aria-live="polite"></p>`;
  const [label, range, number, said] = el.children;
  // The notebook's one-key commands stay quiet here. It looks at the focused element first, so say it there.
  for (const input of [range, number]) input.dataset.lmSuppressShortcuts = "true";
  const told = (value) => {  // with its usual digits, or with all that it has
    const usual = value.toFixed(model.get("digits"));
    return Math.abs(usual - value) < 1e-6 ? usual : String(Number(value.toPrecision(7)));
  };
  const show = () => {
    const value = model.get("value");
    label.textContent = model.get("label");
    number.setAttribute("aria-label", model.get("label") + ", typed");
    for (const input of [range, number]) input.disabled = model.get("disabled");
    range.min = model.get("low");
    range.max = model.get("high");
    range.step = model.get("step");
    range.value = value;
    range.setAttribute("aria-valuetext", told(value) + " " + model.get("unit"));
    if (document.activeElement !== number) number.value = told(value);
    if (said.textContent !== model.get("said")) said.textContent = model.get("said");
  };
  const send = (value, settled) => {
    model.set("value", value);
    if (settled) model.set("settled", model.get("settled") + 1);
    model.save_changes();
  };
  range.addEventListener("input", () => send(Number(range.value), false));
  range.addEventListener("change", () => send(Number(range.value), true));
  let sent = null;  // the kernel reads it, once
  const take = () => { if (number.value !== sent) model.send({ typed: (sent = number.value) }); };
  number.addEventListener("change", take);
  number.addEventListener("keydown", (event) => {
    if (event.key === "Escape") number.value = sent = told(model.get("value"));
    if (event.key === "Enter") { sent = null; take(); }
  });
  number.addEventListener("input", () => { sent = null; });
  number.addEventListener("blur", show);
  for (const name of ["value", "label", "low", "high", "step", "disabled", "said"]) model.on("change:" + name, show);
  show();
}
export default { render };
"""

_STYLE = """
.tempkit-slide { display: grid; grid-template-columns: 12.5em minmax(6em, 1fr) 5.5em; gap: 0.6em;
  align-items: center; min-height: 2.2em; color: var(--jp-ui-font-color1, #1a1a1a);
  font: 14px var(--jp-ui-font-family, sans-serif); }
.tempkit-slide input[type=range] { width: 100%; min-height: 24px; accent-color: var(--jp-brand-color1, #0b5cad); }
.tempkit-slide input[type=text] { font: inherit; color: inherit; padding: 2px 4px; box-sizing: border-box; width: 100%;
  background: var(--jp-layout-color1, #fff); border: 1px solid var(--jp-ui-font-color2, #616161); }
.tempkit-slide p { grid-column: 1 / -1; margin: 0; }
.tempkit-room .tempkit-slide { font-size: 31px; grid-template-columns: 8.7em minmax(2em, 1fr) 4em; gap: 0.3em; }
.tempkit-room .tempkit-slide label { line-height: 1.05; }
"""


def number_in(text, unit, family=None):
    """A typed number in `unit`, by the reader of the answer cards: (value, note), or (None, why it is refused).

    Where `family` names one of `tempkit.exercises.reading`, its other units are turned into this one.

    >>> number_in("2,5", "V"), number_in("250 mV", "V", "voltage")
    ((2.5, ''), (0.25, ''))
    >>> number_in("250 mV", "V")
    (None, 'The unit here is V: write your number in it.')
    """
    typed = read(str(text))
    if typed.value is None or typed.unit in ("", unit):
        return typed.value, typed.refusal or typed.note
    name = unit.partition(" ")[0]
    kin = family or exercises.family_of(name)
    known = exercises.find(typed.unit, kin) if kin else None
    if known is None or not (family or known == exercises.find(name, kin)):
        return None, f"The unit here is {unit}: write your number in it." if unit else "Write the number alone."
    return exercises.convert(typed.value, typed.unit, name, kin), typed.note


def _plainly(number):
    return f"{number:g}".replace("-", "\N{MINUS SIGN}")


class Slide(anywidget.AnyWidget):
    """A number between `low` and `high` in steps of `step`, with a label that names the unit.

    `settled` counts the times the reader let go of the handle, pressed a key or typed a value: what is announced to
    a screen reader waits for it. A value outside the range raises `traitlets.TraitError`; it is never clamped.
    `family` of units says what else than `unit` may be typed, `whole` that only whole numbers may.

    >>> Slide(value=25.0, low=-25.0, high=110.0, step=0.1, label="temperature, °C", unit="°C", digits=1).value
    25.0
    >>> Slide(value=130.0, low=-25.0, high=110.0, label="temperature, °C", unit="°C")
    Traceback (most recent call last):
        ...
    traitlets.traitlets.TraitError: temperature, °C: 130 °C is outside -25 to 110 °C; choose a value in this range
    """

    _esm = _SCRIPT
    _css = _STYLE

    low = traitlets.Float(0.0).tag(sync=True)
    high = traitlets.Float(1.0).tag(sync=True)
    step = traitlets.Float(0.1).tag(sync=True)
    digits = traitlets.Int(1).tag(sync=True)
    label = traitlets.Unicode().tag(sync=True)
    unit = traitlets.Unicode().tag(sync=True)
    disabled = traitlets.Bool(False).tag(sync=True)
    settled = traitlets.Int(0).tag(sync=True)
    value = traitlets.Float(0.0).tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)

    def __init__(self, family=None, whole=False, **traits):
        self._family, self._whole = family or exercises.family_of(traits["unit"].partition(" ")[0]), whole
        super().__init__(**traits)
        self.on_msg(lambda _, content, __: self.enter(content["typed"]))

    def enter(self, text):
        """Take what was typed beside the slider; what is refused keeps the value, and `said` tells why.

        >>> slide = Slide(value=2.0, low=0.0, high=5.0, label="supply, V", unit="V", digits=2)
        >>> slide.enter("2750 mV")
        >>> slide.enter("five")
        >>> slide.value, slide.said[-57:]
        (2.75, 'its unit. Type one from 0 to 5 V. It is 2.75 V as before.')
        """
        value, told = number_in(text, self.unit, self._family)
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        if value is not None and self._whole and value != int(value):
            value, told = None, "Only whole numbers will do."
        elif value is not None and not self.low - slack <= value <= self.high + slack:
            value, told = None, "It lies outside the range."
        if value is None:
            low, high, still = (_plainly(each) for each in (self.low, self.high, self.value))
            why = f"“{text.strip()[:40]}” is not taken. {told}"
            self.said = f"{why} Type one from {low} to {high} {self.unit}. It is {still} {self.unit} as before."
            return
        self.value = min(max(value, self.low), self.high)
        self.said = told
        self.settled += 1

    @traitlets.observe("value")
    def _moved(self, _):
        self.said = ""

    @traitlets.validate("value")
    def _inside(self, proposal):
        value = proposal["value"]
        if not (math.isfinite(value) and self.low <= value <= self.high):
            raise traitlets.TraitError(
                f"{self.label}: {value:g} {self.unit} is outside {self.low:g} to {self.high:g} {self.unit}; "
                "choose a value in this range"
            )
        return value


# ---- A list to choose from, in which "none" is a choice like any other.

class Pick(ipywidgets.Dropdown):
    """A `Dropdown` among whose values may be None; the plain one then shows an empty field.

    >>> pick = Pick(options=[("none", None), ("in proportion", 5.0)])
    >>> pick.value = 5.0
    >>> pick.value = None
    >>> pick.index, pick.label
    (0, 'none')
    """

    @traitlets.observe("value")
    def _propagate_value(self, change):
        values = [value for _, value in self.options]
        self.index = values.index(change.new) if change.new in values else None


class Panel:
    """A widget for each control, by name in `inputs`; `book` gives the scale in which a reader sees temperatures.

    While `set` works, `moving` is True: what follows a widget's change waits till all are set.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.controls import TEMPERATURE
    >>> panel = Panel((TEMPERATURE,), Book("degF"))
    >>> panel.set({"t_c": 25.0})
    >>> panel.inputs["t_c"].value, panel.settings()
    (77.0, {'t_c': 25.0})
    """

    def __init__(self, controls, book):
        self.controls = controls
        self.book = book
        self.moving = False
        self.inputs = {control.name: self._input(control) for control in controls}

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
            family={"temperature": "temperature", "span": "temperature span"}.get(control.scale),
            whole=isinstance(control.step, int),
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

    def settings(self):
        """The value of every control by name, temperatures in degC."""
        return {
            control.name: self._meant(control, self.inputs[control.name].value)
            if not control.options
            else self.inputs[control.name].value
            for control in self.controls
        }

    def own(self):
        """Values of the controls that live in no design."""
        settings = self.settings()
        return {control.name: settings[control.name] for control in self.controls if control.put is None}

    def set(self, values):
        """Set controls by name; a range that is too narrow for a value from a design is made wide enough."""
        controls = {control.name: control for control in self.controls}
        unknown = sorted(set(values) - set(controls))
        if unknown:
            raise ValueError(f"no control is called {', '.join(unknown)}: there are {', '.join(controls)}")
        self.moving = True
        try:
            for name, value in values.items():
                if not controls[name].options:
                    value = float(self._shown(controls[name], value))
                    slide = self.inputs[name]
                    slide.low, slide.high = min(slide.low, value), max(slide.high, value)
                    slide.said = ""
                self.inputs[name].value = value
        finally:
            self.moving = False

    def offer(self, name, words, value):
        """Add a choice to a control, where it is not there yet; what is chosen stays so."""
        pick = self.inputs[name]
        if value not in [known for _, known in pick.options]:
            chosen, self.moving = pick.value, True
            pick.options = (*pick.options, (words, value))
            pick.value, self.moving = chosen, False

    def read(self, design):
        """The value of every control as a design has it."""
        return {control.name: control.read(design) for control in self.controls}

    def write(self, design):
        """The design with what the controls now say."""
        settings = self.settings()
        for control in self.controls:
            if control.put is not None and settings[control.name] != control.read(design):
                design = control.write(design, settings[control.name])
        return design

    def rest(self, design):
        """Let controls rest that have no effect in the present settings, or no place in the design."""
        for control in self.controls:
            self.inputs[control.name].disabled = not control.applies(design) or self._waits(control)

    def _waits(self, control):
        if not control.only_if or control.only_if[0] not in self.inputs:
            return False
        other, wanted = control.only_if
        wanted = wanted if isinstance(wanted, tuple) else (wanted,)
        return self.inputs[other].value not in wanted
