"""The circuit of a chain, drawn from the chain itself with standard symbols and with its values on it."""

import io
from dataclasses import dataclass

from tempkit import book
from tempkit.chain import (
    Bridge,
    ColdJunction,
    CurrentDrive,
    Direct,
    Divider,
    circuit_words,
    current_words,
    sensor_words,
    within,
)
from tempkit.draw.pictures import DPI, PAPER, Look, img
from tempkit.draw.symbols import (
    DECOUPLING,
    LINE,
    PART,
    PULL,
    STYLES,
    Levels,
    Sheet,
    above_rail,
    amplifier,
    amplifier_room,
    assumed,
    capacitor,
    column,
    column_width,
    converter,
    converter_width,
    fixed_lines,
    fixed_reference,
    ground_y,
    rails,
    supply_lines,
    to_pin,
)
from tempkit.text import ohms, volts

# --- Circuit diagrams of divider, current source, bridge and thermocouple amplifier, from left to right.
# Symbols from memory: IEC 60617 draws a resistor as a box and an amplifier as a box with a triangle in it; IEEE 315 a
# zigzag and a triangle. A resistor that follows temperature has a line with a foot through it, in both.

@dataclass(frozen=True)
class Plan:
    """A sheet in the making: the chain, its heights, and where the supply wire begins and goes."""

    chain: object
    sheet: object
    at: Levels
    left: float
    supply_at: tuple

    @property
    def fed_from_reference(self):
        """True where a fixed reference feeds the circuit itself."""
        return fed_from_reference(self.chain)


def fed_from_reference(chain):
    """True where a fixed reference feeds the circuit itself, so that the upper wire is that reference."""
    asked = isinstance(chain.circuit, Divider | Bridge)
    return asked and chain.reference.kind == "fixed" and chain.circuit.supply_v is None


def _levels_of(sheet, parts_below, parts_above, top_lines, middle_shift=0.0, tall=0.0):
    """Heights for columns of so many parts below and above the level of the output."""
    half = max(0.85 * sheet.unit, (3 * LINE + 0.4) / 2 * sheet.em)
    ground = ground_y(sheet)
    below = max(parts_below * PART * sheet.unit, half + 2.2 * sheet.em) + middle_shift
    above = max(parts_above * PART * sheet.unit, half + 2.2 * sheet.em, tall) - middle_shift
    middle = ground + below
    rail = middle + above
    return Levels(ground, middle - half, middle, middle + half, rail, rail + above_rail(sheet, top_lines))


def _begin(chain, sheet, at, supplied=True):
    """The left edge: terminal and capacitor, or the fixed reference that feeds all; or nothing."""
    em, unit = sheet.em, sheet.unit
    if not supplied:
        return Plan(chain, sheet, at, 1.5 * em, ())
    if fed_from_reference(chain):
        lines, x = fixed_lines(chain.reference), 1.5 * em + 0.5 * unit
        sheet.source((x, at.ground), (x, at.rail))
        sheet.text(x + 0.5 * unit + 0.6 * em, (at.ground + at.rail) / 2, *lines)
        return Plan(chain, sheet, at, x + 0.5 * unit + sheet.widest(*lines) + 2.5 * em, (x,))
    terminal, x = 1.5 * em, 1.5 * em + 0.8 * unit
    capacitor(sheet, x, at)
    sheet.symbol("Dot", (terminal, at.rail), open=True)
    sheet.wire((terminal, at.rail), (x, at.rail))
    left = x + 0.25 * unit + sheet.width_of(DECOUPLING) + 2.5 * em
    return Plan(chain, sheet, at, left, (x,))


def has_amplifier(circuit):
    """True where an amplifier is drawn: also where a difference must be taken.

    >>> has_amplifier(Divider(fixed_ohm=1e4)), has_amplifier(CurrentDrive(current_a=1e-3, wires=4))
    (False, True)
    """
    return circuit.amplified or isinstance(circuit, Bridge | ColdJunction) or circuit.wires > 2


# ---- parts


def _sensor_part(chain):
    return "sensor", sensor_words(chain.sensor).split(", ")


def _lead(circuit, count=1):
    """Lead wires as a part: a resistor with its value, or a bare wire where there is none."""
    if not circuit.lead_ohm:
        return "wire", []
    value = within(ohms(circuit.lead_ohm), circuit.lead_tolerance)
    return "resistor", [f"{count} leads, each" if count > 1 else "lead", value]


def _end(plan, start, rail_joints, ground_joints):
    """Converter and reference at the right, and the long wires; returns the finished figure.

    rail_joints, ground_joints : where columns meet the supply and the ground.
    """
    chain, sheet, at, em = plan.chain, plan.sheet, plan.at, plan.sheet.em
    on_rail = chain.reference.kind == "supply" or plan.fed_from_reference
    pin = to_pin(sheet, start, chain.circuit.source_ohm, at)
    right = pin + converter_width(sheet)
    x = converter(chain, sheet, pin, right, at, on_rail)
    end, width = (
        (x, max(right, x + sheet.width_of("reference") + em))
        if on_rail
        else fixed_reference(chain.reference, sheet, right, at)
    )
    on_top = [*plan.supply_at, *rail_joints, *([x] if on_rail else [])]
    _long_wire(sheet, on_top, at.rail)
    _long_wire(sheet, [*plan.supply_at, *ground_joints, x, *([end] if end != x else [])], at.ground)
    sheet.symbol("Ground", (min([*plan.supply_at, *ground_joints, x]), at.ground))
    lines = [] if not plan.supply_at or plan.fed_from_reference else supply_lines(chain)
    if lines:
        sheet.text(1.5 * em, at.rail + (len(lines) * LINE / 2 + 0.7) * em, *lines)
        width = max(width, 1.5 * em + sheet.widest(*lines))
    return sheet.finished(width + em, at.height)


def _long_wire(sheet, places, y):
    """A wire across all places, with a dot at each but the last."""
    if len(places) > 1:
        sheet.wire((min(places), y), (max(places), y))
    for x in sorted(places)[:-1]:
        sheet.symbol("Dot", (x, y))


# ---- the circuits


def _divider(chain, sheet):
    circuit = chain.circuit
    fixed = ("resistor", [within(ohms(circuit.fixed_ohm), circuit.fixed_tolerance)])
    sensor = [_lead(circuit, 2), _sensor_part(chain)] if circuit.lead_ohm else [_sensor_part(chain)]
    if circuit.wires > 2:
        return _sensed(chain, sheet, [fixed], circuit.wires)
    below, above = (sensor, [fixed]) if circuit.sensor_at == "bottom" else ([fixed], sensor[::-1])
    tall = amplifier_room(chain.circuit, sheet) if circuit.amplified else 0.0
    shift = PULL * sheet.unit if circuit.amplified else 0.0
    at = _levels_of(sheet, len(below), len(above), supply_lines(chain), -shift, tall + shift)
    plan = _begin(chain, sheet, at)
    x = plan.left + column_width(sheet, [*below, *above])
    node = at.middle + shift
    column(sheet, x, node, at.rail, above)
    column(sheet, x, at.ground, node, below)
    sheet.symbol("Dot", (x, node))
    if not circuit.amplified:
        return _from_node(plan, x)
    left = x + 0.9 * sheet.unit
    foot = left - 0.25 * sheet.unit
    return _amplified(plan, left, (x, node), (foot, at.ground), [x], [x, foot])


def _from_node(plan, x):
    """From a column's node to the converter, without an amplifier."""
    start = x + 0.6 * plan.sheet.unit
    plan.sheet.wire((x, plan.at.middle), (start, plan.at.middle))
    return _end(plan, start, [x], [x])


def _amplified(plan, left, plus, minus, rail_joints, ground_joints):
    """Amplifier between two places (x, y) and the converter; the wires of its inputs bend just before it."""
    right, end = amplifier(plan.chain.circuit, plan.sheet, left, plan.at)
    for (x, y), side in ((plus, 1), (minus, -1)):
        level = plan.at.middle + side * PULL * plan.sheet.unit
        bend = left - 0.25 * plan.sheet.unit
        points = [(x, y), (left, level)] if abs(y - level) < 1 else [(x, y), (bend, y), (bend, level), (left, level)]
        plan.sheet.wire(*points)
    plan.sheet.wire((right, plan.at.middle), (end, plan.at.middle))
    return _end(plan, end, rail_joints, ground_joints)


def _current(chain, sheet):
    circuit = chain.circuit
    source = ("current", current_words(circuit).replace(" over ", " over|").split("|"))
    if not has_amplifier(circuit):
        leads = [_lead(circuit, 2)] if circuit.lead_ohm else []
        below = [*leads, _sensor_part(chain)]
        at = _levels_of(sheet, len(below), 1, supply_lines(chain))
        plan = _begin(chain, sheet, at)
        x = plan.left + column_width(sheet, [source, *below])
        column(sheet, x, at.middle, at.rail, [source])
        column(sheet, x, at.ground, at.middle, below)
        sheet.symbol("Dot", (x, at.middle))
        return _from_node(plan, x)
    return _sensed(chain, sheet, [source], circuit.wires)


def _sensed(chain, sheet, above, wires):
    """A sensor between its leads, and an amplifier that takes its voltage where so many wires let it."""
    circuit, unit = chain.circuit, sheet.unit
    below = [_lead(circuit), _sensor_part(chain), _lead(circuit)]
    at = _levels_of(sheet, 1.5, 2.5, supply_lines(chain), 0.0, amplifier_room(chain.circuit, sheet))
    plan = _begin(chain, sheet, at)
    x = plan.left + column_width(sheet, [*above, *below])
    node = at.ground + 3 * PART * unit
    column(sheet, x, node, at.rail, above)
    ends = column(sheet, x, at.ground, node, below)
    if wires == 3:
        return _three(plan, x, ends, above)
    left = x + 1.4 * unit
    foot = left - 0.25 * unit
    sheet.symbol("Dot", (x, ends[1] if wires == 4 else ends[0]))
    if wires == 4:
        sheet.symbol("Dot", (x, ends[2]))
        return _amplified(plan, left, (x, ends[1]), (x, ends[2]), [x], [x])
    return _amplified(plan, left, (x, ends[0]), (foot, ends[3]), [x], [x, foot])


def _three(plan, x, ends, above):
    """Two equal currents: the second one flows through a lead of its own into the sensor's lower end."""
    sheet, at, unit = plan.sheet, plan.at, plan.sheet.unit
    lead = _lead(plan.chain.circuit)
    far = x + 0.9 * unit + max([PART * unit, *map(sheet.width_of, lead[1])])
    low = ends[2]
    (sheet.resistor if lead[0] == "resistor" else sheet.wire)((x, low), (far, low))
    if lead[1]:
        sheet.text((x + far) / 2, low - 0.3 * unit - len(lead[1]) * LINE * sheet.em / 2, *lead[1], align="center")
    column(sheet, far, ends[0], at.rail, [(above[0][0], ["the same"])], "right")
    sheet.wire((far, ends[0]), (far, low))
    for place in ((x, ends[0]), (x, low), (far, low)):
        sheet.symbol("Dot", place)
    return _amplified(plan, far + 0.8 * unit, (x, ends[0]), (far, low), [x, far], [x])


def _bridge(chain, sheet):
    circuit, unit = chain.circuit, sheet.unit
    upper = ("resistor", [within(ohms(circuit.top_ohm), circuit.arm_tolerance)])
    lower = ("resistor", [within(ohms(circuit.balance_ohm), circuit.arm_tolerance)])
    first = [_lead(circuit, 2 if circuit.wires == 2 else 1), _sensor_part(chain)]
    second = [_lead(circuit) if circuit.wires == 3 else ("wire", []), lower]
    joined = circuit.wires == 3 and circuit.lead_ohm > 0
    if joined:
        first = [_lead(circuit), _sensor_part(chain), _lead(circuit)]
    elif not circuit.lead_ohm:
        first, second = first[1:], second[1:]
    at = _levels_of(sheet, len(first), 1, supply_lines(chain), 0.0, amplifier_room(chain.circuit, sheet) + 0.4 * unit)
    plan = _begin(chain, sheet, at)
    x = plan.left + column_width(sheet, [upper, *first])
    other = x + 0.8 * unit + column_width(sheet, [upper, *second])
    high, low = at.middle + PULL * unit, at.middle - PULL * unit
    foot = at.ground
    for place, node, parts in ((x, high, first), (other, low, second)):
        column(sheet, place, high, at.rail, [upper])
        if node != high:
            sheet.wire((place, high), (place, node))
        ends = column(sheet, place, foot, node, parts)
        sheet.symbol("Dot", (place, node))
        if joined and place == x:  # the arm beside joins the sensor's far end, above the common lead
            foot = ends[2]
            sheet.wire((x, foot), (other, foot))
            sheet.symbol("Dot", (x, foot))
    return _amplified(plan, other + 0.6 * unit, (x, high), (other, low), [x, other], [x] if joined else [x, other])


def _cold_junction(chain, sheet):
    circuit, em, unit = chain.circuit, sheet.em, sheet.unit
    supplied = chain.reference.kind == "supply"
    lines = supply_lines(chain) if supplied else []
    couple = sensor_words(chain.sensor).split(", ")
    tall = max(amplifier_room(chain.circuit, sheet), PULL * unit + (len(couple) * LINE + 1.6) * em) + em
    cold = ["cold junction", f"{circuit.cold_c:.1f} °C"]
    if circuit.cold_accuracy_c:
        cold.append(f"its sensor ±{circuit.cold_accuracy_c:.3g} °C")
    if circuit.cold_at_0c_v is not None:
        cold.append("on a second input")
    deep = (PULL * unit + (len(cold) * LINE + 2.4) * em) / (PART * unit)
    at = _levels_of(sheet, deep, 1, lines, 0.0, tall)
    plan = _begin(chain, sheet, at, supplied)
    hot = plan.left + 0.3 * unit
    ends = hot + max(1.4 * unit, sheet.widest(*couple) + em)
    sheet.symbol("Dot", (hot, at.middle))
    for side, sign in ((1, "+"), (-1, "−")):
        y = at.middle + side * PULL * unit
        sheet.wire((hot, at.middle), (hot + 0.6 * unit, y), (ends, y))
        sheet.symbol("Dot", (ends, y), open=True)
        sheet.text(ends - 0.9 * em, y + side * 0.75 * em, sign, align="center")
    sheet.text(plan.left, at.middle + PULL * unit + (len(couple) * LINE / 2 + 1.6) * em, *couple)
    middle = ends + sheet.widest(*cold) / 2 - 1.5 * em
    sheet.text(middle, at.middle - PULL * unit - (len(cold) * LINE / 2 + 1.6) * em, *cold, align="center")
    left = max(ends + 0.5 * unit, middle + sheet.widest(*cold) / 2 + em)
    plus, minus = ((ends, at.middle + side * PULL * unit) for side in (1, -1))
    return _amplified(plan, left, plus, minus, [], [])


MEASURING_CIRCUITS = {Divider: _divider, CurrentDrive: _current, Bridge: _bridge, ColdJunction: _cold_junction}


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


CIRCUITS = {Direct: _direct, **MEASURING_CIRCUITS}


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
    what = "The amplifier's output" if has_amplifier(circuit) else "The middle"
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
