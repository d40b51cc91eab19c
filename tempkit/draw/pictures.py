"""The shared look: palette, sizes, and pictures that are drawn once and then only move their moving artists."""

import base64
import io
import threading
from dataclasses import dataclass

INK = "#1a1a1a"
QUIET = "#595959"
PAPER = "#ffffff"
BLUE, ORANGE, GREEN, PINK = "#0072B2", "#D55E00", "#009E73", "#CC79A7"  # Okabe and Ito's colour-blind-safe set
DPI = 100
ABOVE = 100


@dataclass(frozen=True)
class Look:
    """Sizes in pixels for a desk or, with `room=True`, for the back row of a room.

    >>> Look().body < Look(room=True).body
    True
    """

    room: bool = False

    @property
    def size(self):
        """Width and height of a picture [px]."""
        return (1080, 480) if self.room else (960, 500)

    @property
    def body(self):
        """Type of labels and ticks [px]; 31 px gives capitals of 22 px, 3 % of a 720 px screen."""
        return 31 if self.room else 14

    @property
    def big(self):
        """Type of the values that matter most [px]."""
        return 40 if self.room else 22

    @property
    def gap(self):
        """Type of a verdict beside a line [px]."""
        return 40 if self.room else 17

    @property
    def line(self):
        """Width of the lines that matter most [px]."""
        return 5 if self.room else 2.5

    def points(self, pixels):
        """Pixels as typographic points at the picture's resolution."""
        return pixels * 72 / DPI


class Picture:
    """One figure whose background is drawn once; `show` then moves artists and `png` draws only those.

    A subclass builds its axes and artists in `build(frame)`, returns the hashable `frame` of a result (whatever
    decides limits, ticks and labels that stand still), and moves its artists in `move(result)`. Artists that move
    are registered with `moving`; a frame that differs from the last one costs one full draw.
    """

    def __init__(self, look=None):
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure

        self.look = look or Look()
        width, height = self.look.size
        self.figure = Figure(figsize=(width / DPI, height / DPI), dpi=DPI, facecolor=PAPER)
        self.canvas = FigureCanvasAgg(self.figure)
        self._lock = threading.RLock()
        self._frame = self._background = None
        self._movers = []

    def moving(self, *artists):
        """Register artists that change from one result to the next; returns the first."""
        for artist in artists:
            artist.set_animated(True)
            self._movers.append(artist)
        return artists[0]

    def plotted(self, axes, **style):
        """A line that moves, without points at first."""
        return self.moving(axes.plot([], [], **style)[0])

    def text(self, axes, x, y, words="", size=None, bold=False, **options):
        """Text in ink; size in pixels."""
        points = self.look.points(size or self.look.body)
        options = {"color": INK, "fontweight": "bold" if bold else "normal", **options}
        return axes.text(x, y, words, fontsize=points, **options)

    def chart(self, box, x_label, y_label, x_span, y_span):
        """Axes for a chart in `box` (left, bottom, width, height [px]), with spines drawn last."""
        axes = self.figure.add_axes(self.part(*box))
        axes.set(xlim=x_span, ylim=y_span)
        axes.set_axisbelow(True)
        points = self.look.points(self.look.body)
        axes.set_xlabel(x_label, fontsize=points, color=INK)
        axes.set_ylabel(y_label, fontsize=points, color=INK)
        axes.tick_params(labelsize=points, colors=INK, width=1, length=5)
        axes.grid(color="#d9d9d9", linewidth=0.8)
        axes.locator_params(nbins=4 if self.look.room else 7)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        for side in ("left", "bottom"):
            axes.spines[side].set_zorder(8.5)
            self.moving(axes.spines[side])
        return axes

    def part(self, x, y, across, up):
        """A box in pixels as parts of the picture, as `chart` takes it."""
        width, height = self.look.size
        return x / width, y / height, across / width, up / height

    def lay_page(self):
        """Axes over the whole picture in pixels, without a frame, for words and marks; returns width and height."""
        width, height = self.look.size
        self.page = self.figure.add_axes((0, 0, 1, 1), zorder=2)
        self.page.set(xlim=(0, width), ylim=(0, height), facecolor="none")
        self.page.axis("off")
        return width, height

    def lay_values(self, heads, y):
        """Moving texts of the values that matter most, one at each x of `heads` [px], their tops at `y`."""
        style = {"size": self.look.body if self.look.room else self.look.big, "bold": True, "va": "top"}
        self.values = [self.text(self.page, x, y, zorder=6 + i, **style) for i, x in enumerate(heads)]
        self.moving(*self.values)

    def lay_heads(self, heads, name_y, value_y):
        """Moving names above moving values, one of each at each x of `heads` [px]; no names where `name_y` is None."""
        names = () if name_y is None else heads
        self.names = [self.text(self.page, x, name_y, va="top", zorder=3 + i) for i, x in enumerate(names)]
        self.lay_values(heads, value_y)
        for name in self.names:
            self.moving(name)

    def show(self, result):
        """Bring the artists to a result; draw the background again only where the frame changed."""
        with self._lock:
            frame = self.frame(result)
            if frame != self._frame:
                self.figure.clear()
                self._movers = []
                self.build(frame)
                for artist in self._movers:  # above all that stands still, as the fast way draws them
                    artist.set_zorder(artist.get_zorder() + ABOVE)
                self.canvas.draw()
                self._background = self.canvas.copy_from_bbox(self.figure.bbox)
                self._frame = frame
            self.move(result)
        return self

    def png(self):
        """The picture as PNG bytes: the kept background with the moving artists on it."""
        with self._lock:
            self.paint()
            return self.encode()

    def paint(self):
        """Paint the moving artists over the kept background, in the canvas."""
        self.canvas.restore_region(self._background)
        renderer = self.canvas.get_renderer()
        for artist in sorted(self._movers, key=self._order):
            artist.draw(renderer)

    def encode(self):
        """What the canvas holds, as PNG bytes; packed lightly, for speed."""
        from PIL import Image

        width, height = self.canvas.get_width_height()
        image = Image.frombuffer("RGBA", (width, height), self.canvas.buffer_rgba(), "raw", "RGBA", 0, 1)
        out = io.BytesIO()
        image.convert("RGB").save(out, "png", compress_level=1)
        return out.getvalue()

    def _order(self, artist):
        """Axes one after the other, and in each from the bottom up, as a full draw goes."""
        return self.figure.axes.index(artist.axes), artist.get_zorder()

    def img(self, words):
        """The picture as an HTML `img` with `words` as its alt text."""
        return img(self.png(), words, self.look.size[0])

    def frame(self, result):
        """What of a result decides the parts that stand still; the same for all results unless a subclass says so."""
        return ()

    def build(self, frame):
        raise NotImplementedError("a picture builds its axes and artists")

    def move(self, result):
        raise NotImplementedError("a picture moves its artists to a result")


def img(png, words, width):
    """PNG bytes as an HTML `img` with alt text, on paper of its own so that it holds on a dark page.

    >>> img(b"", "A line.", 10)[:28]
    '<img alt="A line." width="10'
    """
    import html

    data = base64.b64encode(png).decode("ascii")
    return (
        f'<img alt="{html.escape(words)}" width="{width}" style="max-width:100%;height:auto;'
        f'background:#fff;border-radius:4px" src="data:image/png;base64,{data}">'
    )
