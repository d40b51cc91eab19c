"""Readings that cannot be true: open, short, stuck, saturated, stale, not a number. Each sample gets a reason.

A lead that hangs free reads anything: no window can tell. A resistor from the pin to the reference or to ground makes
an open lead read at an end, where a window does tell.
"""

from dataclasses import dataclass, field
from math import isfinite

import numpy as np

from tempkit.ranges import floats, scalar, whole_number

REASONS = ("fine", "not a number", "stale", "saturated", "open", "short", "stuck")
FINE, NO_NUMBER, STALE, SATURATED, OPEN, SHORT, STUCK = range(len(REASONS))
WINDOWS = {SATURATED: "saturated", OPEN: "open", SHORT: "short"}


@dataclass(frozen=True)
class Rules:
    """What makes a sample invalid. Values are codes, or volts at the pin, but the same in all rules; None: no rule.

    open, short : (low, high), both included: a value in there is such a lead. saturated : (low, high): a value at or
    below the first, or at or above the second, lies at the converter's end. stuck_samples : the same value so many
    times in a row, from that sample on; only with noise of a step or more, since a calm reading stays the same by
    itself. stale_s [s] : a sample that comes later than this after the one before; so is one whose time is not later
    than that of the one before. Where several rules speak the reason is the first of `REASONS`. Raises `ValueError`
    for windows that are the wrong way round, fewer than 2 samples, or a time that is not above 0 s.

    >>> rules = Rules(open=(1000, 1023), short=(0, 19), stuck_samples=3)
    >>> rules.names([163, 163, 163, 4, 1023, float("nan")])
    ['fine', 'fine', 'stuck', 'short', 'open', 'not a number']
    """

    open: tuple | None = None
    short: tuple | None = None
    saturated: tuple | None = None
    stuck_samples: int | None = None
    stale_s: float | None = None

    def __post_init__(self):
        for name in WINDOWS.values():
            window = getattr(self, name)
            if window is not None and not (len(window) == 2 and window[0] <= window[1]):
                raise ValueError(f"{name} {window} is no window: give (low, high) in codes or volts, low first")
        stuck, stale = self.stuck_samples, self.stale_s
        if stuck is not None:
            whole_number(stuck, 2, name="stuck_samples", unit="samples", advice="one is never stuck")
        if stale is not None and not scalar(stale, "stale_s") > 0:
            raise ValueError(f"stale_s {stale:g} s must be above 0 s: give a few sample periods")

    @classmethod
    def for_chain(cls, chain, pull="up", stuck_samples=None, stale_s=None):
        """Windows in codes for a chain whose signal rises with temperature, from its sensor's range.

        The codes below those of the range are a short to ground, those above an open lead on a pin that is pulled
        "up"; pulled "down", an open lead looks like the short, and both are called open. Where the range itself
        reaches a converter's end, that end is called saturated. Raises `ValueError` for another pull, or a chain
        whose codes fall with temperature.

        >>> from tempkit.chain import scenario
        >>> Rules.for_chain(scenario())
        Rules(open=(304, 1023), short=(0, 80), saturated=None, stuck_samples=None, stale_s=None)
        """
        if pull not in ("up", "down"):
            raise ValueError(f"pull {pull!r} is not one of up, down: a pin that hangs free cannot be judged")
        nominal, top = chain.with_true_reference(None), chain.converter.codes - 1
        first, last = (nominal.code(end) for end in chain.sensor.range_c)
        if first > last:
            raise ValueError(
                f"codes fall from {first} to {last} over the range: give Rules the windows of this circuit"
            )
        below, above = ((0, first - 1) if first > 0 else None), ((last + 1, top) if last < top else None)
        at_ends = (0 if below is None else -1, top if above is None else top + 1)
        saturated = None if at_ends == (-1, top + 1) else at_ends
        leads = {"open": above, "short": below} if pull == "up" else {"open": below, "short": None}
        return cls(**leads, saturated=saturated, stuck_samples=stuck_samples, stale_s=stale_s)

    def reasons(self, values, times_s=None):
        """A reason for each sample, as numbers (0 is fine, see `REASONS`); of one row of values in order of time.

        What is masked is not a number. `times_s` [s], one for each value, is needed where there is a rule for stale
        samples.
        """
        values = floats(values, "values")
        found = np.zeros(values.shape, np.int8)
        for number in range(STUCK, FINE, -1):
            broken = self._broken(number, values, times_s)
            if broken is not None:
                found[broken] = number
        return found

    def _broken(self, number, values, times_s):
        if number == NO_NUMBER:
            return ~np.isfinite(values)
        if number == STALE:
            return self._stale(values, times_s)
        if number == STUCK:
            return self._stuck(values)
        window = getattr(self, WINDOWS[number])
        if window is None:
            return None
        return _in_window(number, window, values)

    def _stuck(self, values):
        if self.stuck_samples is None:
            return None
        same = np.concatenate([[False], values[1:] == values[:-1]])[: values.size]
        index = np.arange(values.size)
        began = np.maximum.accumulate(np.where(same, 0, index))
        return index - began + 1 >= self.stuck_samples

    def _stale(self, values, times_s):
        if self.stale_s is None:
            return None
        times = floats(() if times_s is None else times_s, "times_s")
        if times.shape != values.shape:
            raise ValueError(
                f"times_s of shape {times.shape} does not fit {values.size} values: give one for each in s"
            )
        late = np.diff(times)
        return np.concatenate([[False], ~((late > 0) & (late <= self.stale_s))])[: values.size]

    def names(self, values, times_s=None):
        """The reasons as words, a list.

        >>> Rules(stale_s=5.0).names([163, 163, 163], [0.0, 1.0, 60.0])
        ['fine', 'fine', 'stale']
        """
        return [REASONS[number] for number in self.reasons(values, times_s)]

    def start(self):
        """The rules at power-on, to be asked one sample at a time: `Watch`."""
        return Watch(self)


@dataclass
class Watch:
    """The rules as a board runs them. It keeps the last value, how often it came, and the last time.

    >>> watch = Rules(short=(0, 19)).start()
    >>> [REASONS[watch.step(code)] for code in (163, 4)]
    ['fine', 'short']
    """

    rules: Rules
    value: float = field(default=float("nan"))
    time_s: float | None = None
    count: int = 0

    def step(self, value, time_s=None):
        """One sample: its value, and its time [s] where there is a rule for stale ones; returns the reason's number."""
        rules, before_s = self.rules, self.time_s
        enough = rules.stuck_samples or 1
        self.count = min(self.count + 1, enough) if value == self.value else 1
        self.value, self.time_s = value, time_s
        if not isfinite(scalar(value)):
            return NO_NUMBER
        if rules.stale_s is not None and before_s is not None and not 0 < time_s - before_s <= rules.stale_s:
            return STALE
        for number, name in WINDOWS.items():
            window = getattr(rules, name)
            if window is not None and _in_window(number, window, value):
                return number
        return STUCK if rules.stuck_samples and self.count >= enough else FINE


def _in_window(number, window, value):
    low, high = window
    return (value <= low) | (value >= high) if number == SATURATED else (value >= low) & (value <= high)
