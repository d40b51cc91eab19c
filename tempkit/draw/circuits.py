"""The circuit of a chain, drawn from the chain itself with standard symbols and with its values on it.

A circuit says in `drawn` what it is made of, by the verbs of a `CircuitSheet`, which knows where each stands.
"""

import io
from dataclasses import dataclass

from tempkit import book
from tempkit.draw.pictures import DPI, PAPER, Look, img
from tempkit.draw.symbols import (
    LINE,
    PART,
    PULL,
    STYLES,
    Levels,
    Sheet,
    above_rail,
    amplifier,
    amplifier_room,
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
from tempkit.text import DECOUPLING, volts

# Symbols from memory: IEC 60617 draws a resistor as a box and an amplifier as a box with a triangle in it; IEEE 315 a
# zigzag and a triangle. A resistor that follows temperature has a line with a foot through it, in both.


class CircuitSheet(Sheet):
    """A sheet on which a circuit draws itself, from left to right: supply, circuit, amplifier, converter, reference.

    A part of a column is (kind, lines): "resistor", "sensor", "current" or "wire", and the lines that stand beside it;
    `sensor` is that of the chain's sensor. Each verb that ends at the converter gives the finished figure.
    """

    def __init__(self, chain, look, style):
        super().__init__(look, style)
        self.chain, self.circuit = chain, chain.circuit
        self.supply = supply_lines(chain)
        self.sensor = "sensor", chain.sensor.words().split(", ")
        # a fixed reference that feeds the circuit itself, so that the upper wire is that reference
        asked = self.circuit.across_feed and self.circuit.supply_v is None
        self.fed_by_reference = asked and chain.reference.kind == "fixed"
        self.at, self.left, self.supply_at = None, 0.0, ()

    # ---- verbs of a circuit

    def tapped_column(self, above, below):
        """A column of parts, and the pin where the two halves of it meet; behind an amplifier where there is one."""
        amplified = self.circuit.amplified
        shift = PULL * self.unit if amplified else 0.0
        tall = amplifier_room(self.circuit, self) + shift if amplified else 0.0
        self._begin(len(below), len(above), -shift, tall)
        x = self.left + column_width(self, [*below, *above])
        node = self.at.middle + shift
        column(self, x, node, self.at.rail, above)
        column(self, x, self.at.ground, node, below)
        self.symbol("Dot", (x, node))
        if not amplified:
            start = x + 0.6 * self.unit
            self.wire((x, node), (start, node))
            return self._end(start, [x], [x])
        left = x + 0.9 * self.unit
        foot = left - 0.25 * self.unit
        return self._amplified(left, (x, node), (foot, self.at.ground), [x], [x, foot])

    def sensed(self, above):
        """A sensor between its leads, and an amplifier that takes its voltage where so many wires let it."""
        circuit, unit = self.circuit, self.unit
        below = [circuit.lead(), self.sensor, circuit.lead()]
        self._begin(1.5, 2.5, 0.0, amplifier_room(circuit, self))
        x = self.left + column_width(self, [*above, *below])
        node = self.at.ground + 3 * PART * unit
        column(self, x, node, self.at.rail, above)
        ends = column(self, x, self.at.ground, node, below)
        if circuit.wires == 3:
            return self._three(x, ends, above)
        left = x + 1.4 * unit
        foot = left - 0.25 * unit
        self.symbol("Dot", (x, ends[1] if circuit.wires == 4 else ends[0]))
        if circuit.wires == 4:
            self.symbol("Dot", (x, ends[2]))
            return self._amplified(left, (x, ends[1]), (x, ends[2]), [x], [x])
        return self._amplified(left, (x, ends[0]), (foot, ends[3]), [x], [x, foot])

    def _three(self, x, ends, above):
        """Two equal currents: the second one flows through a lead of its own into the sensor's lower end."""
        at, unit = self.at, self.unit
        lead = self.circuit.lead()
        far = x + 0.9 * unit + max([PART * unit, *map(self.width_of, lead[1])])
        low = ends[2]
        (self.resistor if lead[0] == "resistor" else self.wire)((x, low), (far, low))
        if lead[1]:
            self.text((x + far) / 2, low - 0.3 * unit - len(lead[1]) * LINE * self.em / 2, *lead[1], align="center")
        column(self, far, ends[0], at.rail, [(above[0][0], ["the same"])], "right")
        self.wire((far, ends[0]), (far, low))
        for place in ((x, ends[0]), (x, low), (far, low)):
            self.symbol("Dot", place)
        return self._amplified(far + 0.8 * unit, (x, ends[0]), (far, low), [x, far], [x])

    def two_columns(self, upper, first, second, joined):
        """Two columns under equal upper parts, and the amplifier between them.

        joined : the second ends at the last joint of the first, above the lead that both share.
        """
        unit = self.unit
        self._begin(len(first), 1, 0.0, amplifier_room(self.circuit, self) + 0.4 * unit)
        at = self.at
        x = self.left + column_width(self, [upper, *first])
        other = x + 0.8 * unit + column_width(self, [upper, *second])
        high, low = at.middle + PULL * unit, at.middle - PULL * unit
        foot = at.ground
        for place, node, parts in ((x, high, first), (other, low, second)):
            column(self, place, high, at.rail, [upper])
            if node != high:
                self.wire((place, high), (place, node))
            ends = column(self, place, foot, node, parts)
            self.symbol("Dot", (place, node))
            if joined and place == x:
                foot = ends[2]
                self.wire((x, foot), (other, foot))
                self.symbol("Dot", (x, foot))
        ground = [x] if joined else [x, other]
        return self._amplified(other + 0.6 * unit, (x, high), (other, low), [x, other], ground)

    def couple(self, cold):
        """Two wires from a hot junction to terminals, with these lines beside them, and the amplifier."""
        em, unit = self.em, self.unit
        supplied = self.chain.reference.kind == "supply"
        if not supplied:
            self.supply = []
        hot_lines = self.sensor[1]
        tall = max(amplifier_room(self.circuit, self), PULL * unit + (len(hot_lines) * LINE + 1.6) * em) + em
        deep = (PULL * unit + (len(cold) * LINE + 2.4) * em) / (PART * unit)
        self._begin(deep, 1, 0.0, tall, supplied)
        middle_y = self.at.middle
        hot = self.left + 0.3 * unit
        ends = hot + max(1.4 * unit, self.widest(*hot_lines) + em)
        self.symbol("Dot", (hot, middle_y))
        for side, sign in ((1, "+"), (-1, "−")):
            y = middle_y + side * PULL * unit
            self.wire((hot, middle_y), (hot + 0.6 * unit, y), (ends, y))
            self.symbol("Dot", (ends, y), open=True)
            self.text(ends - 0.9 * em, y + side * 0.75 * em, sign, align="center")
        self.text(self.left, middle_y + PULL * unit + (len(hot_lines) * LINE / 2 + 1.6) * em, *hot_lines)
        middle = ends + self.widest(*cold) / 2 - 1.5 * em
        self.text(middle, middle_y - PULL * unit - (len(cold) * LINE / 2 + 1.6) * em, *cold, align="center")
        left = max(ends + 0.5 * unit, middle + self.widest(*cold) / 2 + em)
        plus, minus = ((ends, middle_y + side * PULL * unit) for side in (1, -1))
        return self._amplified(left, plus, minus, [], [])

    def three_legs(self, lines):
        """A sensor as a block with supply, ground and output, its lines in it and its output on the pin."""
        em, reference = self.em, self.chain.reference
        ground, lead = ground_y(self), 2.2 * em
        bottom = ground + lead
        top = bottom + max((len(lines) * LINE + 1.4) * em, 1.7 * self.unit)
        rail = top + lead
        at = Levels(ground, bottom, (bottom + top) / 2, top, rail, rail + above_rail(self, self.supply))
        terminal, first = 1.5 * em, 1.5 * em + 0.8 * self.unit
        left = first + 0.25 * self.unit + self.width_of(DECOUPLING) + 2 * em
        right = left + self.widest(*lines) + 2 * em
        capacitor(self, first, at)
        sensor_x = self._block(left, right, lines, at)
        pin = to_pin(self, right, self.circuit.source_ohm, at)
        converter_right = pin + converter_width(self)
        supplied = reference.kind == "supply"
        converter_x = converter(self.chain, self, pin, converter_right, at, supplied)
        rail_end, ground_end, width = (
            (converter_x, converter_x, max(converter_right, converter_x + self.width_of("reference") + em))
            if supplied
            else (sensor_x, *fixed_reference(reference, self, converter_right, at))
        )
        rails(self, terminal, (first, sensor_x), (converter_x,) * (not supplied), rail_end, ground_end, at)
        self.text(terminal, at.rail + (len(self.supply) * LINE / 2 + 0.7) * em, *self.supply)
        return self.finished(max(width, terminal + self.widest(*self.supply)) + em, at.height)

    def _block(self, left, right, lines, at):
        """The sensor's block with its three terminals; returns where supply and ground leave it."""
        x = (left + right) / 2
        self.block(left, at.bottom, right, at.top)
        self.text(x, at.middle, *lines, align="center")
        self.wire((x, at.rail), (x, at.top))
        self.wire((x, at.bottom), (x, at.ground))
        self.text(x + 0.6 * self.em, (at.rail + at.top) / 2, "supply")
        self.text(x + 0.6 * self.em, (at.bottom + at.ground) / 2, "ground")
        return x

    # ---- what stands left and right of any of them

    def _begin(self, parts_below, parts_above, middle_shift=0.0, tall=0.0, supplied=True):
        """Heights for so many parts below and above the output's level; terminal and capacitor, or what feeds all."""
        em, unit = self.em, self.unit
        half = max(0.85 * unit, (3 * LINE + 0.4) / 2 * em)
        ground = ground_y(self)
        below = max(parts_below * PART * unit, half + 2.2 * em) + middle_shift
        above = max(parts_above * PART * unit, half + 2.2 * em, tall) - middle_shift
        middle = ground + below
        rail = middle + above
        at = self.at = Levels(ground, middle - half, middle, middle + half, rail, rail + above_rail(self, self.supply))
        if not supplied:
            self.left = 1.5 * em
            return
        terminal, x = 1.5 * em, 1.5 * em + (0.5 if self.fed_by_reference else 0.8) * unit
        self.supply_at = (x,)
        if self.fed_by_reference:
            lines = fixed_lines(self.chain.reference)
            self.source((x, at.ground), (x, at.rail))
            self.text(x + 0.5 * unit + 0.6 * em, (at.ground + at.rail) / 2, *lines)
            self.left = x + 0.5 * unit + self.widest(*lines) + 2.5 * em
            return
        capacitor(self, x, at)
        self.symbol("Dot", (terminal, at.rail), open=True)
        self.wire((terminal, at.rail), (x, at.rail))
        self.left = x + 0.25 * unit + self.width_of(DECOUPLING) + 2.5 * em

    def _amplified(self, left, plus, minus, rail_joints, ground_joints):
        """Amplifier between two places (x, y) and the converter; the wires of its inputs bend just before it."""
        right, end = amplifier(self.circuit, self, left, self.at)
        middle = self.at.middle
        for (x, y), side in ((plus, 1), (minus, -1)):
            level = middle + side * PULL * self.unit
            bend = left - 0.25 * self.unit
            straight = abs(y - level) < 1
            self.wire(*[(x, y), (left, level)] if straight else [(x, y), (bend, y), (bend, level), (left, level)])
        self.wire((right, middle), (end, middle))
        return self._end(end, rail_joints, ground_joints)

    def _end(self, start, rail_joints, ground_joints):
        """Converter and reference at the right, and the long wires; returns the finished figure.

        rail_joints, ground_joints : where columns meet the supply and the ground.
        """
        chain, at, em = self.chain, self.at, self.em
        on_rail = chain.reference.kind == "supply" or self.fed_by_reference
        pin = to_pin(self, start, self.circuit.source_ohm, at)
        right = pin + converter_width(self)
        x = converter(chain, self, pin, right, at, on_rail)
        end, width = (
            (x, max(right, x + self.width_of("reference") + em))
            if on_rail
            else fixed_reference(chain.reference, self, right, at)
        )
        self._long_wire([*self.supply_at, *rail_joints, *([x] if on_rail else [])], at.rail)
        self._long_wire([*self.supply_at, *ground_joints, x, *([end] if end != x else [])], at.ground)
        self.symbol("Ground", (min([*self.supply_at, *ground_joints, x]), at.ground))
        lines = [] if not self.supply_at or self.fed_by_reference else self.supply
        if lines:
            self.text(1.5 * em, at.rail + (len(lines) * LINE / 2 + 0.7) * em, *lines)
            width = max(width, 1.5 * em + self.widest(*lines))
        return self.finished(width + em, at.height)

    def _long_wire(self, places, y):
        """A wire across all places, with a dot at each but the last."""
        if len(places) > 1:
            self.wire((min(places), y), (max(places), y))
        for x in sorted(places)[:-1]:
            self.symbol("Dot", (x, y))


def diagram(chain, room=False, style="iec"):
    """The circuit of a chain as a matplotlib figure of our own, ink on white; `room` for the back row.

    style : "iec" (IEC 60617) or "ieee" (IEEE 315). Raises `ValueError` for another style.

    >>> from tempkit.chain import scenario
    >>> type(diagram(scenario())).__name__
    'Figure'
    """
    if style not in STYLES:
        raise ValueError(f"style {style!r} is not one of {', '.join(STYLES)}: choose the symbols' standard")
    return chain.circuit.drawn(chain, CircuitSheet(chain, Look(room), style))


def words(chain):
    """The same circuit in plain sentences: the alt text, and the text where no picture can be shown.

    >>> from tempkit.chain import scenario
    >>> print(words(scenario()).split(". ")[0])
    Circuit diagram: a supply of 5.000 V ±5 % feeds the sensor (linear, 600 mV at 0 °C, 8 mV/°C)
    """
    return f"Circuit diagram: {' '.join((*chain.circuit.told(chain), *_reference(chain)))}"


def _reference(chain):
    reference = chain.reference
    if reference.kind == "supply":
        yield "The converter's reference is the supply itself."
    else:
        yield f"The converter's reference is a fixed voltage source of {reference.words()}."
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
