"""The circuit of a chain, drawn from the chain itself with standard symbols and with its values on it."""

import io
from dataclasses import dataclass

from tempkit import book, circuit_drawings
from tempkit.circuit import Direct
from tempkit.drawing import (
    DECOUPLING,
    Levels,
    above_rail,
    assumed,
    capacitor,
    converter,
    converter_width,
    fixed_reference,
    ground_y,
    rails,
    supply_lines,
    to_pin,
)
from tempkit.partwords import circuit_words, sensor_words
from tempkit.pictures import DPI, PAPER, Look, img
from tempkit.quantity import ohms, volts
from tempkit.sheet import LINE, STYLES, Sheet

# ---- the drawing of a sensor that goes straight to the converter


def _sensor_lines(chain):
    kind, *rest = sensor_words(chain.sensor).split(", ")
    at_v = chain.circuit.ratiometric_at_v
    return [f"{kind} sensor", *rest, *([] if at_v is None else [f"ratiometric, at {volts(at_v)}"])]


def _levels(sheet, sensor_lines, top_lines):
    em, lead = sheet.em, 2.2 * sheet.em
    ground = ground_y(sheet)
    bottom = ground + lead
    top = bottom + max((len(sensor_lines) * LINE + 1.4) * em, 1.7 * sheet.unit)
    rail = top + lead
    return Levels(ground, bottom, (bottom + top) / 2, top, rail, rail + above_rail(sheet, top_lines))


def _direct(chain, sheet):
    """Draw sensor, resistance, converter and reference from left to right."""
    em, top_lines, sensor_lines = sheet.em, supply_lines(chain), _sensor_lines(chain)
    at = _levels(sheet, sensor_lines, top_lines)
    terminal, first = 1.5 * em, 1.5 * em + 0.8 * sheet.unit
    left = first + 0.25 * sheet.unit + sheet.width_of(DECOUPLING) + 2 * em
    right = left + sheet.widest(*sensor_lines) + 2 * em
    capacitor(sheet, first, at)
    sensor_x = _sensor(sheet, left, right, sensor_lines, at)
    pin = to_pin(sheet, right, chain.circuit.source_ohm, at)
    converter_right = pin + converter_width(sheet)
    supplied = chain.reference.kind == "supply"
    converter_x = converter(chain, sheet, pin, converter_right, at, supplied)
    rail_end, ground_end, width = (
        (converter_x, converter_x, max(converter_right, converter_x + sheet.width_of("reference") + em))
        if supplied
        else (sensor_x, *fixed_reference(chain.reference, sheet, converter_right, at))
    )
    rails(sheet, terminal, (first, sensor_x), (converter_x,) * (not supplied), rail_end, ground_end, at)
    sheet.text(terminal, at.rail + (len(top_lines) * LINE / 2 + 0.7) * em, *top_lines)
    return sheet.finished(max(width, terminal + sheet.widest(*top_lines)) + em, at.height)


def _sensor(sheet, left, right, lines, at):
    """The sensor's block with its three terminals; returns where supply and ground leave it."""
    x = (left + right) / 2
    sheet.block(left, at.bottom, right, at.top)
    sheet.text(x, at.middle, *lines, align="center")
    sheet.wire((x, at.rail), (x, at.top))
    sheet.wire((x, at.bottom), (x, at.ground))
    sheet.text(x + 0.6 * sheet.em, (at.rail + at.top) / 2, "supply")
    sheet.text(x + 0.6 * sheet.em, (at.bottom + at.ground) / 2, "ground")
    return x


CIRCUITS = {Direct: _direct, **circuit_drawings.CIRCUITS}


def diagram(chain, room=False, style="iec"):
    """The circuit of a chain as a matplotlib figure of our own, ink on white; `room` for the back row.

    style : "iec" (IEC 60617) or "ieee" (IEEE 315). Raises `ValueError` for another style.

    >>> from tempkit.chain import scenario
    >>> type(diagram(scenario())).__name__
    'Figure'
    """
    if style not in STYLES:
        raise ValueError(f"style {style!r} is not one of {', '.join(STYLES)}: choose the symbols' standard")
    return CIRCUITS[type(chain.circuit)](chain, Sheet(Look(room), style))


def words(chain):
    """The same circuit in plain sentences: the alt text, and the text where no picture can be shown.

    >>> from tempkit.chain import scenario
    >>> print(words(scenario()).split(". ")[0])
    Circuit diagram: a supply of 5.000 V ±5 % feeds the sensor (linear, 500 mV at 0 °C, 10 mV/°C)
    """
    told = _told(chain) if isinstance(chain.circuit, Direct) else _told_other(chain)
    return " ".join((f"Circuit diagram: {next(told)}", *told, *_reference(chain)))


def _told(chain):
    reference, circuit = chain.reference, chain.circuit
    feed_v = circuit.feed_v(reference.actual_v, reference.kind)
    supply = "that is not stated" if feed_v is None else f"of {volts(feed_v)}"
    if reference.kind == "supply":
        supply = f"of {assumed(reference)}"
    at_v = circuit.ratiometric_at_v
    ratio = "" if at_v is None else f", whose output follows its supply and is specified at {volts(at_v)}"
    through = f"through {ohms(circuit.source_ohm)}" if circuit.source_ohm else "directly"
    yield f"a supply {supply} feeds the sensor ({sensor_words(chain.sensor)}){ratio}."
    yield f"A capacitor of {DECOUPLING} stands between supply and ground, close to the sensor."
    yield f"The sensor's output goes {through} to the input of a {chain.converter.bits}-bit converter."


def _told_other(chain):
    """The same for the other circuits: what `describe` says of them, as sentences."""
    circuit, rows = chain.circuit, dict(circuit_words(chain))
    kind = rows.pop("kind")
    rows.pop("power in sensor", None)
    if rows.get("fed", "").startswith("by the reference"):
        rows["fed"] = "by the reference"
    yield f"{kind}. The sensor is {_article(sensor_words(chain.sensor))}."
    told = "; ".join(f"{label}: {text}" for label, text in rows.items())
    yield f"{told[0].upper()}{told[1:]}."
    if chain.reference.kind == "supply":
        yield f"The supply is {assumed(chain.reference)}; a capacitor of {DECOUPLING} stands beside it."
    what = "The amplifier's output" if circuit_drawings.has_amplifier(circuit) else "The middle"
    through = f"through {ohms(circuit.source_ohm)}" if circuit.source_ohm else "directly"
    yield f"{what} goes {through} to the input of a {chain.converter.bits}-bit converter."


def _article(text):
    return f"a {text}" if not text.startswith("platinum") else f"platinum{text.removeprefix('platinum')}"


def _reference(chain):
    reference = chain.reference
    if reference.kind == "supply":
        yield "The converter's reference is the supply itself."
    else:
        yield f"The converter's reference is a fixed voltage source of {assumed(reference)}."
    if reference.true_v is not None:
        yield f"A meter says {volts(reference.true_v)} for the reference."
    yield "All parts share one ground."


@dataclass(frozen=True)
class CircuitDiagram:
    """A picture that a notebook shows, with its words as alt text and as plain text."""

    words: str
    png: bytes
    width: int

    def _repr_mimebundle_(self, **kwargs):
        return {"text/plain": self.words, "text/html": img(self.png, self.words, self.width)}


def circuit_diagram(chain, room=None, style="iec"):
    """The circuit of a chain for a notebook cell; `room` None: as chosen for the book.

    >>> from tempkit.chain import scenario
    >>> sorted(circuit_diagram(scenario())._repr_mimebundle_())
    ['text/html', 'text/plain']
    """
    room = book.current().room if room is None else room
    figure, buffer = diagram(chain, room, style), io.BytesIO()
    figure.savefig(buffer, format="png", dpi=DPI, facecolor=PAPER)
    return CircuitDiagram(words(chain), buffer.getvalue(), figure.canvas.get_width_height()[0])
