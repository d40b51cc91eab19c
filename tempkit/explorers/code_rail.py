"""All codes of a converter as a rail, above the staircase of chapter 02."""

from tempkit.pictures import GREEN, INK, PAPER


class CodeRail:
    """All codes of the converter as a rail: filled where the sensor's range reaches them, a mark at the present one."""

    def __init__(self, picture):
        from matplotlib.patches import Rectangle

        self.left, self.right = picture.left, picture.right
        width, height = picture.look.size
        axes = self.axes = picture.figure.add_axes((0, (height - 48) / height, 1, 48 / height))
        axes.set(xlim=(0, width), ylim=(0, 48))
        axes.axis("off")
        axes.add_patch(Rectangle((self.left, 6), self.right - self.left, 11, facecolor=PAPER, edgecolor=GREEN, lw=1.2))
        used = Rectangle((self.left, 6), 0, 11, facecolor=GREEN, edgecolor=GREEN, lw=1.2, zorder=2)
        self.used = picture.moving(axes.add_patch(used))
        self.words = picture.moving(picture.text(axes, self.left, 23, va="bottom"))
        self.mark = picture.moving(axes.plot([], [], color=INK, lw=picture.look.line * 1.4, zorder=3)[0])

    def move(self, result):
        way = result.way
        first, last = result.used
        per_code = (self.right - self.left) / way.codes
        self.used.set(x=self.left + per_code * first, width=per_code * result.used_codes)
        share = 100 * result.used_codes / way.codes
        self.words.set_text(
            f"codes 0 to {way.codes - 1}; the sensor's range uses {first} to {last}: {share:.0f} % of them"
        )
        self.mark.set_visible(way.code is not None)
        if way.code is not None:
            x = self.left + per_code * (way.code + 0.5)
            self.mark.set_data([x, x], [2, 21])
