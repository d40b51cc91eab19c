"""A sheet for circuit diagrams: wires and standard symbols, and text that is measured before it is placed.

Symbols (standards from memory): IEC 60617 has a box for a resistor, a circle with a line through it for a
voltage source or across it for a current source, and the signs of analog and digital for a converter; IEEE 315 has a
zigzag, a circle with two signs or an arrow, and letters. Capacitor, terminal, junction and ground are drawn alike.
"""

from tempkit.pictures import DPI, PAPER

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
