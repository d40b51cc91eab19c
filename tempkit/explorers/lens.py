"""Styles that pictures share which are not declared yet."""

from tempkit.draw import INK, PAPER

HATCH = {"facecolor": PAPER, "edgecolor": "#8c8c8c", "hatch": "////", "lw": 0}
DOTS, DASHES = (0, (2, 3)), (0, (5, 3))


def dot(look):
    """The style of the dot on the ink line."""
    width = look.line
    style = {"marker": "o", "ms": 4 * width, "mfc": PAPER, "mec": INK, "mew": width}
    return {**style, "ls": "", "zorder": 9, "clip_on": False}


def rectangle(axes, x, y, width, height, **style):
    """A rectangle on axes."""
    from matplotlib.patches import Rectangle

    return axes.add_patch(Rectangle((x, y), width, height, **style))
