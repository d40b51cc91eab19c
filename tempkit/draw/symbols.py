"""What all circuit diagrams share: supply and ground, converter, reference, amplifier, and columns of parts."""

from dataclasses import dataclass

from tempkit.draw.pictures import DPI, PAPER
from tempkit.text import DECOUPLING, ohms, volts, within

# ---- A sheet for circuit diagrams: wires and standard symbols, and text that is measured before it is placed.
# Symbols (standards from memory): IEC 60617 has a box for a resistor, a circle with a line through it for a voltage
# source or across it for a current source, and the signs of analog and digital for a converter; IEEE 315 has a zigzag,
# a circle with two signs or an arrow, and letters. Capacitor, terminal, junction and ground are drawn alike.

INK = "#111111"
STYLES = ("iec", "ieee")
LINE = 1.3  # distance of two lines of text, in sizes of type


class Sheet:
    """A sheet to draw on, in pixels from its lower left corner: symbols by schemdraw, text by matplotlib.

    `unit` is the length of a symbol. schemdraw imports pyplot by itself; nothing here uses it, and it never
    hears of our figure.
    """

    def __init__(self, look, style):
        import schemdraw
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure

        self.figure = Figure(dpi=DPI, facecolor=PAPER)
        FigureCanvasAgg(self.figure)
        self.axes = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set_axis_off()
        self.look, self.style, self.em = look, style, look.body
        self.unit = 40 + 2.3 * self.em
        width = look.points(0.8 * look.line)
        self.drawing = schemdraw.Drawing(canvas=self.axes, show=False, lw=width, color=INK)

    def width_of(self, words):
        """Width of a text [px]."""
        from matplotlib.font_manager import FontProperties
        from matplotlib.textpath import TextPath

        path = TextPath((0, 0), words, size=self.em, prop=FontProperties(family=["sans-serif"]))
        return path.get_extents().xmax

    def widest(self, *lines):
        return max(map(self.width_of, lines))

    def symbol(self, name, start, end=None, **options):
        """Place a symbol of schemdraw from one point [px] to another."""
        from schemdraw import elements

        element = getattr(elements, name)(**options).at(self._units(start))
        self.drawing.add(element.to(self._units(end)) if end else element)

    def wire(self, *points):
        for start, end in zip(points, points[1:], strict=False):
            self.symbol("Line", start, end)

    def resistor(self, start, end):
        self.symbol("ResistorIEC" if self.style == "iec" else "ResistorIEEE", start, end)

    def source(self, minus, plus):
        """A voltage source between two points."""
        if self.style == "iec":
            self.symbol("Source", minus, plus)
            self.wire(minus, plus)
        else:
            self.symbol("SourceV", minus, plus)

    def current(self, x, high, low):
        """A current source between two heights [px] at `x`; the current flows downwards."""
        self.symbol("Source", (x, low), (x, high))
        y, half = (low + high) / 2, 0.5 * self.unit
        if self.style == "iec":
            self.wire((x - half, y), (x + half, y))
            return
        tip, wing = y - 0.6 * half, 0.2 * half
        self.wire((x, y + 0.6 * half), (x, tip))
        self.wire((x - wing, tip + 2 * wing), (x, tip), (x + wing, tip + 2 * wing))

    def block(self, left, bottom, right, top):
        self.wire((left, bottom), (right, bottom), (right, top), (left, top), (left, bottom))

    def text(self, x, y, *lines, align="left"):
        """Lines of text, the middle of them at (x, y) [px]."""
        size, high = self.look.points(self.em), LINE * self.em
        for number, line in enumerate(lines):
            line_y = y + (len(lines) / 2 - number - 0.5) * high
            place = (x / self.unit, line_y / self.unit)
            self.axes.text(*place, line, fontsize=size, family="sans-serif", color=INK, ha=align, va="center")

    def finished(self, width, height):
        """Draw all symbols and cut the sheet to size [px]; returns the figure."""
        self.drawing.draw(show=False)
        self.axes.set(xlim=(0, width / self.unit), ylim=(0, height / self.unit), aspect="auto")
        self.figure.set_size_inches(width / DPI, height / DPI)
        return self.figure

    def _units(self, point):
        return point[0] / self.unit, point[1] / self.unit


CONVERTER_SIGN = {"iec": "∩ / #", "ieee": "A / D"}
PART = 1.45  # length of a part in a column, in symbols
PULL = 0.3  # half the distance of an amplifier's two inputs, in symbols


def supply_lines(chain):
    """The supply in words, a line each: what it is, and what a meter says.

    >>> from tempkit.chain import scenario
    >>> supply_lines(scenario(true_v=4.83))
    ['supply and reference: 5.000 V ±5 %', 'measured: 4.830 V']
    """
    reference = chain.reference
    if reference.kind == "supply":
        return [f"supply and reference: {reference.words()}", *measured(reference)]
    supply_v = chain.circuit.supply_v
    if supply_v is None:
        return ["supply: not stated"]
    return [f"supply: {within(volts(supply_v), getattr(chain.circuit, 'supply_tolerance', 0.0))}"]


def measured(reference):
    """What a meter says of the reference, as no line or one.

    >>> from tempkit.chain import Reference
    >>> measured(Reference(5.0, true_v=4.83))
    ['measured: 4.830 V']
    """
    return [] if reference.true_v is None else [f"measured: {volts(reference.true_v)}"]


@dataclass(frozen=True)
class Levels:
    """Heights [px] of what lies across the whole drawing, from the bottom up."""

    ground: float
    bottom: float
    middle: float
    top: float
    rail: float
    height: float


def ground_y(sheet):
    """Height [px] of the ground wire."""
    return sheet.em + 0.7 * sheet.unit


def above_rail(sheet, lines):
    """Room [px] above the supply wire for lines of text."""
    return (len(lines) * LINE + 1.4) * sheet.em


def rails(sheet, terminal, joints, ground_joints, rail_end, ground_end, at):
    """Supply above, ground below, with a dot at each joint and the ground symbol under the first."""
    sheet.wire((terminal, at.rail), (rail_end, at.rail))
    sheet.wire((joints[0], at.ground), (ground_end, at.ground))
    sheet.symbol("Dot", (terminal, at.rail), open=True)
    for x in (each for each in joints if each != rail_end):
        sheet.symbol("Dot", (x, at.rail))
    for x in (*joints, *ground_joints):
        sheet.symbol("Dot", (x, at.ground))
    sheet.symbol("Ground", (joints[0], at.ground))


def capacitor(sheet, x, at):
    """The capacitor between supply and ground."""
    middle = (at.rail + at.ground) / 2
    sheet.symbol("Capacitor", (x, at.rail), (x, at.ground))
    sheet.text(x + 0.25 * sheet.unit + 0.5 * sheet.em, middle, DECOUPLING)


def to_pin(sheet, start, source_ohm, at, out="output"):
    """The way from an output to the converter's input; returns where it ends."""
    em, raised = sheet.em, at.middle + 0.8 * sheet.em
    output = sheet.width_of(out) + em
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
    sheet.text(start + 0.5 * em, raised, out)
    if not sheet.look.room:
        sheet.text(end - 0.5 * em, raised, "input", align="right")
    return end


def converter(chain, sheet, left, right, at, from_rail):
    """The converter's block; returns where ground, and reference where it comes `from_rail`, leave it."""
    x = (left + right) / 2
    sheet.block(left, at.bottom, right, at.top)
    lines = ("converter", f"{chain.converter.bits} bit", CONVERTER_SIGN[sheet.style])
    sheet.text(x, at.middle, *lines, align="center")
    sheet.wire((x, at.bottom), (x, at.ground))
    sheet.text(x + 0.6 * sheet.em, (at.bottom + at.ground) / 2, "ground")
    if from_rail:
        sheet.wire((x, at.rail), (x, at.top))
        sheet.text(x + 0.6 * sheet.em, (at.rail + at.top) / 2, "reference")
    return x


def converter_width(sheet):
    """Width [px] of the converter's block."""
    return max(sheet.widest("converter", "reference") + 2 * sheet.em, 1.7 * sheet.unit)


def fixed_reference(reference, sheet, start, at):
    """A fixed reference to the right of the converter; returns where it meets ground, and the right edge."""
    em = sheet.em
    x = start + max(sheet.width_of("reference") + em, 0.8 * sheet.unit)
    sheet.wire((start, at.middle), (x, at.middle))
    sheet.source((x, at.ground), (x, at.middle))
    sheet.text(start + 0.5 * em, at.middle + 0.8 * em, "reference")
    lines = fixed_lines(reference)
    text_x = x + 0.5 * sheet.unit + 0.6 * em
    sheet.text(text_x, (at.ground + at.middle) / 2, *lines)
    return x, text_x + sheet.widest(*lines)


def fixed_lines(reference):
    """A fixed reference as lines of text.

    >>> from tempkit.chain import Reference
    >>> fixed_lines(Reference(2.5, kind="fixed"))
    ['fixed', '2.500 V']
    """
    lines = ["fixed", reference.words()]
    return lines if reference.true_v is None else [*lines, "measured", volts(reference.true_v)]


# ---- columns


def _thermal(sheet, x, low, high):
    """A resistor that follows temperature, upright: the resistor, and a line with a foot through it."""
    sheet.resistor((x, high), (x, low))
    y, u = (low + high) / 2, sheet.unit
    sheet.wire((x - 0.5 * u, y - 0.38 * u), (x - 0.32 * u, y - 0.38 * u), (x + 0.32 * u, y + 0.38 * u))


def column(sheet, x, low, high, parts, side="left"):
    """Parts one under the other between two heights; returns the heights of their ends, from the top down.

    A part is (kind, lines): "resistor", "sensor", "current" or "wire"; its lines stand on that side of it.
    """
    step = (high - low) / len(parts)
    ends = [high - step * number for number in range(len(parts) + 1)]
    draw = {"resistor": lambda a, b: sheet.resistor((x, a), (x, b)), "sensor": lambda a, b: _thermal(sheet, x, b, a)}
    draw |= {"current": lambda a, b: sheet.current(x, a, b), "wire": lambda a, b: sheet.wire((x, a), (x, b))}
    reach = 0.55 * sheet.unit + 0.3 * sheet.em
    place = (x - reach, "right") if side == "left" else (x + reach, "left")
    for (kind, lines), (top, bottom) in zip(parts, zip(ends, ends[1:], strict=False), strict=True):
        draw[kind](top, bottom)
        if lines:
            sheet.text(place[0], (top + bottom) / 2, *lines, align=place[1])
    return ends


def column_width(sheet, parts):
    """Width [px] that a column's lines take beside it."""
    return max(sheet.width_of(line) for _, lines in parts for line in lines) + 0.55 * sheet.unit + 0.3 * sheet.em


def amplifier(circuit, sheet, left, at):
    """The amplifier with its words above it; returns where its output is, and where its words end."""
    u = sheet.unit
    lines = circuit.amplifier_words().split(", ")
    top, bottom, right = at.middle + 0.65 * u, at.middle - 0.65 * u, left + 1.1 * u
    if sheet.style == "iec":
        sheet.block(left, bottom, right, top)
        s, x = 0.22 * u, left + 0.65 * u
        sheet.wire((x - s, at.middle - s), (x - s, at.middle + s), (x + s, at.middle), (x - s, at.middle - s))
    else:
        sheet.wire((left, bottom), (left, top), (right, at.middle), (left, bottom))
    for side, sign in ((1, "+"), (-1, "−")):
        sheet.text(left + 0.35 * sheet.em, at.middle + side * PULL * u, sign)
    sheet.text(left, top + (0.5 + len(lines) * LINE / 2) * sheet.em, *lines)
    return right, max(right, left + sheet.widest(*lines))


def amplifier_room(circuit, sheet):
    """Height [px] that the amplifier and its words take above the middle."""
    lines = circuit.amplifier_words().split(", ")
    return 0.65 * sheet.unit + (len(lines) * LINE + 1.2) * sheet.em
