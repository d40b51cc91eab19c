"""Pages of a temperature axis: a view of fixed width that turns like a page, so that axes stand still in a drag."""

from dataclasses import dataclass

import numpy as np

# width of a page, between ticks, between ticks in a room; in the reader's scale; the whole range has no width
VIEWS = {
    "degC": {
        "closest": (0.25, 0.05, 0.1),
        "close": (1, 0.2, 0.5),
        "near": (5, 1, 2),
        "wide": (20, 5, 10),
        "whole": (0, 25, 50),
    },
    "degF": {
        "closest": (0.5, 0.1, 0.2),
        "close": (2, 0.5, 1),
        "near": (10, 2, 4),
        "wide": (40, 10, 20),
        "whole": (0, 50, 100),
    },
}
HALF = 0.6  # half of what is seen, in page widths: pages overlap a little
REACH = 0.2  # half of what a strip of errors shows, in page widths
MARGIN = 0.04  # beyond the whole range, as a part of it


@dataclass(frozen=True)
class Page:
    """Limits and ticks of a page, relative to its middle, in the reader's scale.

    `limits` of the axis; `reach` of an error strip, to both sides; `ticks` and `error_tick`; how many digits after
    the point their labels need. `width` is 0 for the whole range, which never turns.
    """

    width: float
    limits: tuple
    reach: float
    ticks: tuple
    error_tick: float
    tick_digits: int
    error_digits: int

    def centre(self, shown):
        """The middle of the page on which a temperature in the reader's scale lies.

        >>> page("degC", "near", (-40.0, 125.0)).centre(27.4), page("degC", "near", (-40.0, 125.0)).centre(27.6)
        (25.0, 30.0)
        """
        return self.width * float(np.floor(shown / self.width + 0.5)) if self.width else 0.0


def page(scale, view, whole, room=False):
    """The page of a view; `whole` is the sensor's range in the reader's scale.

    >>> page("degC", "near", (-40.0, 125.0)).limits, page("degC", "near", (-40.0, 125.0)).ticks
    ((-3.0, 3.0), (-3, -2, -1, 0, 1, 2, 3))
    """
    width, *ticks = VIEWS[scale][view]
    tick = ticks[room]
    span = width or whole[1] - whole[0]
    limits = (-HALF * width, HALF * width) if width else (whole[0] - MARGIN * span, whole[1] + MARGIN * span)
    first, last = int(np.ceil(limits[0] / tick - 1e-9)), int(np.floor(limits[1] / tick + 1e-9))
    error_tick = tick if tick < 0.8 * REACH * span else tick / 2
    places = tuple(tick * i for i in range(first, last + 1))
    return Page(width, limits, REACH * span, places, error_tick, _digits(tick), _digits(error_tick))


def _digits(step):
    """Digits after the point that multiples of a step need, at most 3."""
    return next((digits for digits in range(3) if abs(round(step, digits) - step) < 1e-9), 3)
