"""The circuit of a chain, drawn from the chain itself with standard symbols and with its values on it."""

import io
from dataclasses import dataclass

from tempkit import book
from tempkit.circuit import Direct
from tempkit.partwords import sensor_words
from tempkit.pictures import DPI, PAPER, Look, img
from tempkit.quantity import ohms, volts
from tempkit.sheet import LINE, STYLES, Sheet

CONVERTER_SIGN = {"iec": "∩ / #", "ieee": "A / D"}
DECOUPLING = "100 nF"  # common practice, no source


# ---- what is written on the drawing


def supply_lines(chain):
    """The supply in words, a line each: what it is, and what a meter says.

    >>> from tempkit.chain import scenario
    >>> supply_lines(scenario(true_v=4.83))
    ['supply and reference: 5.000 V ±5 %', 'measured: 4.830 V']
    """
    reference = chain.reference
    if reference.kind == "supply":
        return [f"supply and reference: {_assumed(reference)}", *_measured(reference)]
    feed_v = chain.circuit.feed_v(reference.actual_v, reference.kind)
    return ["supply: not stated" if feed_v is None else f"supply: {volts(feed_v)}"]


def _assumed(reference):
    tolerance = f" ±{reference.tolerance * 100:.3g} %" if reference.tolerance else ""
    return volts(reference.nominal_v) + tolerance


def _measured(reference):
    return [] if reference.true_v is None else [f"measured: {volts(reference.true_v)}"]


def _sensor_lines(chain):
    kind, *rest = sensor_words(chain.sensor).split(", ")
    at_v = chain.circuit.ratiometric_at_v
    return [f"{kind} sensor", *rest, *([] if at_v is None else [f"ratiometric, at {volts(at_v)}"])]


# ---- the drawing


@dataclass(frozen=True)
class Levels:
    """Heights [px] of what lies across the whole drawing, from the bottom up."""

    ground: float
    bottom: float
    middle: float
    top: float
    rail: float
    height: float


def _levels(sheet, sensor_lines, top_lines):
    em, lead = sheet.em, 2.2 * sheet.em
    ground = em + 0.7 * sheet.unit
    bottom = ground + lead
    top = bottom + max((len(sensor_lines) * LINE + 1.4) * em, 1.7 * sheet.unit)
    rail = top + lead
    return Levels(ground, bottom, (bottom + top) / 2, top, rail, rail + (len(top_lines) * LINE + 1.4) * em)


def _direct(chain, sheet):
    """Draw sensor, resistance, converter and reference from left to right."""
    em, top_lines, sensor_lines = sheet.em, supply_lines(chain), _sensor_lines(chain)
    at = _levels(sheet, sensor_lines, top_lines)
    terminal, capacitor = 1.5 * em, 1.5 * em + 0.8 * sheet.unit
    left = capacitor + 0.25 * sheet.unit + sheet.width_of(DECOUPLING) + 2 * em
    right = left + sheet.widest(*sensor_lines) + 2 * em
    _capacitor(sheet, capacitor, at)
    sensor_x = _sensor(sheet, left, right, sensor_lines, at)
    pin = _to_pin(sheet, right, chain.circuit.source_ohm, at)
    converter_right = pin + max(sheet.widest("converter", "reference") + 2 * em, 1.7 * sheet.unit)
    converter_x = _converter(chain, sheet, pin, converter_right, at)
    supplied = chain.reference.kind == "supply"
    rail_end, ground_end, width = (
        (converter_x, converter_x, max(converter_right, converter_x + sheet.width_of("reference") + em))
        if supplied
        else (sensor_x, *_fixed(chain.reference, sheet, converter_right, at))
    )
    _rails(sheet, terminal, (capacitor, sensor_x), (converter_x,) * (not supplied), rail_end, ground_end, at)
    sheet.text(terminal, at.rail + (len(top_lines) * LINE / 2 + 0.7) * em, *top_lines)
    return sheet.finished(max(width, terminal + sheet.widest(*top_lines)) + em, at.height)


def _rails(sheet, terminal, joints, ground_joints, rail_end, ground_end, at):
    """Supply above, ground below, with a dot at each joint and the ground symbol under the first."""
    sheet.wire((terminal, at.rail), (rail_end, at.rail))
    sheet.wire((joints[0], at.ground), (ground_end, at.ground))
    sheet.symbol("Dot", (terminal, at.rail), open=True)
    for x in (each for each in joints if each != rail_end):
        sheet.symbol("Dot", (x, at.rail))
    for x in (*joints, *ground_joints):
        sheet.symbol("Dot", (x, at.ground))
    sheet.symbol("Ground", (joints[0], at.ground))


def _capacitor(sheet, x, at):
    middle = (at.rail + at.ground) / 2
    sheet.symbol("Capacitor", (x, at.rail), (x, at.ground))
    sheet.text(x + 0.25 * sheet.unit + 0.5 * sheet.em, middle, DECOUPLING)


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


def _to_pin(sheet, start, source_ohm, at):
    """The way from the sensor's output to the converter's input; returns where it ends."""
    em, raised = sheet.em, at.middle + 0.8 * sheet.em
    output = sheet.width_of("output") + em
    pin_name = em if sheet.look.room else sheet.width_of("input") + em
    value = ohms(source_ohm)
    middle = max(1.2 * sheet.unit, sheet.width_of(value) + em) if source_ohm else em
    end = start + output + middle + pin_name
    if source_ohm:
        first, last = start + output, start + output + middle
        sheet.wire((start, at.middle), (first, at.middle))
        sheet.resistor((first, at.middle), (last, at.middle))
        sheet.wire((last, at.middle), (end, at.middle))
        sheet.text((first + last) / 2, at.middle + 0.25 * sheet.unit + 0.9 * em, value, align="center")
    else:
        sheet.wire((start, at.middle), (end, at.middle))
    sheet.text(start + 0.5 * em, raised, "output")
    if not sheet.look.room:
        sheet.text(end - 0.5 * em, raised, "input", align="right")
    return end


def _converter(chain, sheet, left, right, at):
    """The converter's block; returns where reference (from the supply) and ground leave it."""
    x = (left + right) / 2
    sheet.block(left, at.bottom, right, at.top)
    lines = ("converter", f"{chain.converter.bits} bit", CONVERTER_SIGN[sheet.style])
    sheet.text(x, at.middle, *lines, align="center")
    sheet.wire((x, at.bottom), (x, at.ground))
    sheet.text(x + 0.6 * sheet.em, (at.bottom + at.ground) / 2, "ground")
    if chain.reference.kind == "supply":
        sheet.wire((x, at.rail), (x, at.top))
        sheet.text(x + 0.6 * sheet.em, (at.rail + at.top) / 2, "reference")
    return x


def _fixed(reference, sheet, start, at):
    """A fixed reference to the right of the converter; returns where it meets ground, and the right edge."""
    em = sheet.em
    x = start + max(sheet.width_of("reference") + em, 0.8 * sheet.unit)
    sheet.wire((start, at.middle), (x, at.middle))
    sheet.source((x, at.ground), (x, at.middle))
    sheet.text(start + 0.5 * em, at.middle + 0.8 * em, "reference")
    lines = ["fixed", _assumed(reference)]
    lines += [] if reference.true_v is None else ["measured", volts(reference.true_v)]
    text_x = x + 0.5 * sheet.unit + 0.6 * em
    sheet.text(text_x, (at.ground + at.middle) / 2, *lines)
    return x, text_x + sheet.widest(*lines)


CIRCUITS = {Direct: _direct}


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
    return " ".join((f"Circuit diagram: {_feed(chain)}.", *_way(chain), *_reference(chain)))


def _feed(chain):
    reference, circuit = chain.reference, chain.circuit
    feed_v = circuit.feed_v(reference.actual_v, reference.kind)
    supply = "that is not stated" if feed_v is None else f"of {volts(feed_v)}"
    if reference.kind == "supply":
        supply = f"of {_assumed(reference)}"
    at_v = circuit.ratiometric_at_v
    ratio = "" if at_v is None else f", whose output follows its supply and is specified at {volts(at_v)}"
    return f"a supply {supply} feeds the sensor ({sensor_words(chain.sensor)}){ratio}"


def _way(chain):
    source_ohm = chain.circuit.source_ohm
    through = f"through {ohms(source_ohm)}" if source_ohm else "directly"
    yield f"A capacitor of {DECOUPLING} stands between supply and ground, close to the sensor."
    yield f"The sensor's output goes {through} to the input of a {chain.converter.bits}-bit converter."


def _reference(chain):
    reference = chain.reference
    if reference.kind == "supply":
        yield "The converter's reference is the supply itself."
    else:
        yield f"The converter's reference is a fixed voltage source of {_assumed(reference)}."
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
