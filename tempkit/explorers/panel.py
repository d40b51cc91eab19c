"""The controls of one explorer as widgets, and their values in the units of the maths."""

from tempkit.explorers.pick import Pick
from tempkit.explorers.slide import Slide


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
