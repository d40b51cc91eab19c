"""A labelled slider with its unit: a native range input and a number field, so that every browser's own keys work."""

import math

import anywidget
import traitlets

_SCRIPT = """
function render({ model, el }) {
  const id = "slide-" + Math.random().toString(36).slice(2);
  el.classList.add("tempkit-slide");
  el.innerHTML = `<label for="${id}"></label><input type="range" id="${id}"><input type="number">`;
  const [label, range, number] = el.children;
  // The notebook's one-key commands stay quiet here. It looks at the focused element first, so say it there.
  for (const input of [range, number]) input.dataset.lmSuppressShortcuts = "true";
  const show = () => {
    const value = model.get("value");
    label.textContent = model.get("label");
    number.setAttribute("aria-label", model.get("label") + ", typed");
    for (const input of [range, number]) {
      input.min = model.get("low");
      input.max = model.get("high");
      input.disabled = model.get("disabled");
    }
    range.step = model.get("step");
    number.step = "any";
    range.value = value;
    range.setAttribute("aria-valuetext", value.toFixed(model.get("digits")) + " " + model.get("unit"));
    if (document.activeElement !== number) number.value = value.toFixed(model.get("digits"));
  };
  const send = (value, settled) => {
    model.set("value", value);
    if (settled) model.set("settled", model.get("settled") + 1);
    model.save_changes();
  };
  range.addEventListener("input", () => send(Number(range.value), false));
  range.addEventListener("change", () => send(Number(range.value), true));
  const take = () => {
    const value = Number(number.value);
    const fits = number.value !== "" && value >= model.get("low") && value <= model.get("high");
    number.setCustomValidity(fits ? "" : `from ${model.get("low")} to ${model.get("high")} ${model.get("unit")}`);
    number.reportValidity();
    if (fits) send(value, true);
  };
  number.addEventListener("change", take);
  number.addEventListener("keydown", (event) => { if (event.key === "Enter") take(); });
  number.addEventListener("input", () => number.setCustomValidity(""));
  number.addEventListener("blur", show);
  for (const name of ["value", "label", "low", "high", "step", "disabled"]) model.on("change:" + name, show);
  show();
}
export default { render };
"""

_STYLE = """
.tempkit-slide { display: grid; grid-template-columns: 12.5em minmax(6em, 1fr) 5.5em; gap: 0.6em;
  align-items: center; min-height: 2.2em; color: var(--jp-ui-font-color1, #1a1a1a);
  font: 14px var(--jp-ui-font-family, sans-serif); }
.tempkit-slide input[type=range] { width: 100%; min-height: 24px; accent-color: var(--jp-brand-color1, #0b5cad); }
.tempkit-slide input[type=number] { font: inherit; color: inherit; padding: 2px 4px;
  background: var(--jp-layout-color1, #fff); border: 1px solid var(--jp-ui-font-color2, #616161); }
.tempkit-slide input:focus-visible { outline: 3px solid var(--jp-brand-color1, #0b5cad); outline-offset: 2px; }
.tempkit-slide input[type=number] { box-sizing: border-box; width: 100%; appearance: textfield; }
.tempkit-room .tempkit-slide { font-size: 31px; grid-template-columns: 8.7em minmax(2em, 1fr) 4em; gap: 0.3em; }
.tempkit-room .tempkit-slide label { line-height: 1.05; }
"""


class Slide(anywidget.AnyWidget):
    """A number between `low` and `high` in steps of `step`, with a label that names the unit.

    `settled` counts the times the reader let go of the handle, pressed a key or typed a value: what is announced to
    a screen reader waits for it. A value outside the range raises `traitlets.TraitError`; it is never clamped.

    >>> Slide(value=25.0, low=-40.0, high=125.0, step=0.1, label="temperature, °C", unit="°C", digits=1).value
    25.0
    >>> Slide(value=130.0, low=-40.0, high=125.0, label="temperature, °C", unit="°C")
    Traceback (most recent call last):
        ...
    traitlets.traitlets.TraitError: temperature, °C: 130 °C is outside -40 to 125 °C; choose a value in this range
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

    @traitlets.validate("value")
    def _inside(self, proposal):
        value = proposal["value"]
        if not (math.isfinite(value) and self.low <= value <= self.high):
            raise traitlets.TraitError(
                f"{self.label}: {value:g} {self.unit} is outside {self.low:g} to {self.high:g} {self.unit}; "
                "choose a value in this range"
            )
        return value
