"""Two limits, deadband, delays and invalid readings: one sample after the other, or a whole record at once."""

import math
from dataclasses import dataclass
from math import inf, isfinite

import numpy as np

from tempkit.alarm.events import Events
from tempkit.ranges import flags, floats, numbers, scalar, whole_number
from tempkit.signal import smoothed

# A whole record at once: rows of true and false, then only the places where something acts

BLOCK = 65_536  # samples at a time: the rows of one block stay in the cache
UP, DOWN, BACK_UP, BACK_DOWN = 1, 2, 4, 8


def held(mask, delay):
    """True where `mask` has been true for `delay` samples in a row, this one counted.

    Each pass doubles the length of row that has been looked at.

    >>> held(np.array([True, False, True, True, True]), 2)
    array([False, False, False,  True,  True])
    """
    done, width = mask, 1
    while width < delay:
        step = min(width, int(delay) - width)
        longer = np.zeros(done.shape, bool)
        np.logical_and(done[step:], done[: max(0, done.size - step)], out=longer[step:])
        done, width = longer, width + step
    return done


def begins(row):
    """True where a row of true and false becomes true; at its first place where it is true there.

    >>> begins(np.array([True, True, False, True]))
    array([ True, False, False,  True])
    """
    out = row.copy()
    np.greater(row[1:], row[:-1], out=out[1:])
    return out


def acts(rows, count, reach):
    """Indices of all samples where something begins to hold, and what: a sum of UP, DOWN, BACK_UP and BACK_DOWN.

    `rows(start, stop)` gives a dict from these four to a row, true where the condition has lasted long enough, as if
    the record began at `start`; a row may be left out. `reach` is the longest delay: a block looks back that far.

    >>> acts(lambda start, stop: {UP: np.array([False, True, True, False])[start:stop]}, 4, 1)
    (array([1]), array([1], dtype=uint8))
    """
    size, found = max(BLOCK, 4 * reach), [(np.empty(0, np.intp), np.empty(0, np.uint8))]
    for start in range(0, count, size):
        first = max(0, start - reach)
        here = {bit: begins(row)[start - first :] for bit, row in rows(first, min(start + size, count)).items()}
        if here:
            at = np.flatnonzero(np.logical_or.reduce(list(here.values())))
            found.append((at + start, _sum_of(here, at)))
    ats, acted = zip(*found, strict=True)
    return np.concatenate(ats), np.concatenate(acted)


def _sum_of(here, at):
    acted = np.zeros(at.size, np.uint8)
    for bit, row in here.items():
        acted += row[at].view(np.uint8) * np.uint8(bit)
    return acted


def changes(at, acted):
    """Where a state changes and what it becomes: indices, and +1, 0 or -1; it is 0 at first. From `acts`.

    UP makes the state +1 and DOWN makes it -1, whatever it was; BACK_UP makes +1 to 0 and BACK_DOWN makes -1 to 0.
    UP never falls together with DOWN or BACK_UP, nor DOWN with BACK_DOWN. So the state is +1 exactly where the last
    one of UP, DOWN and BACK_UP was an UP, and -1 where the last one of UP, DOWN and BACK_DOWN was a DOWN.

    >>> changes(np.array([0, 1, 3, 4]), np.array([4, 1, 4, 2], np.uint8))
    (array([1, 3, 4]), array([ 1,  0, -1], dtype=int8))
    """
    state = _last_is(acted, UP, UP | DOWN | BACK_UP) - _last_is(acted, DOWN, UP | DOWN | BACK_DOWN)
    new = state != np.concatenate([np.zeros(1, np.int8), state[:-1]])[: state.size]
    return at[new], state[new]


def _last_is(acted, wanted, among):
    """For each act 1 where the last one `among` these was the `wanted` one, else 0."""
    last = np.maximum.accumulate(np.where(acted & among, np.arange(acted.size, dtype=np.int32), 0))
    return ((acted[last] & wanted) > 0).astype(np.int8)


def filled(at, values, count):
    """The state at each of `count` samples, from where it changes.

    >>> filled(np.array([1, 3]), np.array([1, 0], np.int8), 5)
    array([0, 1, 1, 0, 0], dtype=int8)
    """
    if not at.size:
        return np.zeros(count, np.int8)
    lengths = np.diff(np.concatenate([[0], at, [count]]).astype(np.intp))
    return np.repeat(np.concatenate([np.zeros(1, np.int8), values.astype(np.int8)]), lengths)


def stays(at, values, count):
    """Starts, ends and values of all stays away from 0; one that lasts to the end of the record ends at `count`.

    >>> stays(np.array([1, 3, 4]), np.array([1, 0, -1], np.int8), 6)
    (array([1, 4]), array([3, 6]), array([ 1, -1], dtype=int8))
    """
    away = values != 0
    return at[away], np.append(at[1:], count)[: at.size][away], values[away]


# One sample at a time, as a board runs it


class Stepper:
    """An alarm in service, made by `Alarm.start()`; `rule` is an `Alarm`, or trip codes with the same two questions.

    What a board keeps between two samples, and nothing else:

    state : -1, 0 or +1; known : a valid reading has come since power-on; valid : the last reading was valid;
    invalid : the invalid call stands; silenced : the call that stands has been silenced;
    above, below, back, wrong, right : counts of samples in a row, each kept at its delay once it has got there.

    At power-on every count is 0, the state is 0 and not known, and both outputs are off until the first `step`.

    >>> bench = Alarm(low_c=18.0, high_c=27.0).start()
    >>> bench.step(28.0), bench.outputs()
    (1, (False, True))
    >>> bench.silence()
    >>> bench.outputs(), bench.step(28.0), bench.outputs(test=True)
    ((True, False), 1, (True, True))
    """

    def __init__(self, rule):
        self.rule = rule
        self.state = self.above = self.below = self.back = self.wrong = self.right = 0
        self.known = self.valid = self.invalid = self.silenced = False

    def step(self, reading, valid=True):
        """One sample: the reading, and whether it is believed; returns the state.

        A reading that is no finite number is invalid whatever `valid` says. A sample that did not come in time is
        `step(nan)`.
        """
        before = (self.state, self.invalid)
        self.valid = bool(valid) and math.isfinite(scalar(reading, "reading"))
        self.known = self.known or self.valid
        self._count(reading)
        self._decide()
        self._end_silence(*before)
        return self.state

    def _count(self, reading):
        rule = self.rule
        beyond = rule.beyond(reading) if self.valid else 0
        back = self.valid and self.state != 0 and rule.is_back(reading, self.state)
        self.above = _next(self.above, beyond > 0, rule.on_delay)
        self.below = _next(self.below, beyond < 0, rule.on_delay)
        self.back = _next(self.back, back, rule.off_delay)
        self.wrong = _next(self.wrong, not self.valid, rule.invalid_delay)
        self.right = _next(self.right, self.valid, rule.off_delay)

    def _decide(self):
        rule, before = self.rule, self.state
        if self.above == rule.on_delay:
            self.state = 1
        elif self.below == rule.on_delay:
            self.state = -1
        elif self.back == rule.off_delay:
            self.state = 0
        if self.state != before:
            self.back = 0
        if self.wrong == rule.invalid_delay:
            self.invalid = True
        elif self.right == rule.off_delay:
            self.invalid = False

    def _end_silence(self, state, invalid):
        """A silence ends with the last call, and with every call that is new."""
        raised = self.state not in (0, state) or (self.invalid and not invalid)
        if raised or not self._stands():
            self.silenced = False

    def _stands(self):
        return self.state != 0 or self.invalid

    def silence(self):
        """The operator silences the call that stands: the buzzer stops, the lamp stays, the state stays.

        It ends when the last call returns, or when a new one is raised. Without a call it does nothing. Silencing, not
        clearing, is the operator's action in the terms of ANSI/ISA-18.2 and IEC 62682.
        """
        self.silenced = self._stands()

    def outputs(self, test=False):
        """Lamp and buzzer now, (lamp, buzzer), true for on; with `test` both are on and nothing else changes."""
        if test:
            return True, True
        lamp, buzzer = lamp_and_buzzer(self.state, self.invalid, self.silenced)
        return bool(lamp), bool(buzzer)


def _next(count, goes_on, enough):
    return min(count + 1, enough) if goes_on else 0


def lamp_and_buzzer(state, invalid, silenced):
    """Which output is on: lamp and buzzer, for scalars or arrays.

    The lamp calls for low, the buzzer for high, both for invalid: a reading that cannot be believed must not look
    like a good one. A silenced call keeps the lamp on and the buzzer off. What is masked calls for nothing.

    >>> lamp_and_buzzer(1, False, False), lamp_and_buzzer(1, False, True), lamp_and_buzzer(0, True, False)
    ((False, True), (True, False), (True, True))
    """
    state, invalid, silenced = numbers(state, "state"), flags(invalid), flags(silenced)
    lamp, buzzer = (state < 0) | invalid | silenced, ((state > 0) | invalid) & ~silenced
    return (lamp, buzzer) if lamp.ndim else (bool(lamp), bool(buzzer))


INVALID = 2


@dataclass(frozen=True)
class Alarm:
    """An alarm with a low and a high limit [degC]; one of them may be None.

    deadband_c [degC] >= 0: how far a reading must come back past its limit; on_delay, off_delay, invalid_delay:
    samples in a row, 1 = at once. Raises `ValueError` for anything else.

    For each sample, in this order:

    1. A reading that is masked or not finite, or marked as not valid, is invalid. It is neither high nor low: the state
       stays, and the counts of valid samples begin again. After `invalid_delay` of them in a row the invalid call is
       raised.
    2. reading > high_c, `on_delay` valid samples in a row: the state becomes +1, from 0 and from -1 alike.
    3. reading < low_c, `on_delay` in a row: the state becomes -1, from 0 and from +1 alike.
    4. state +1 and reading < high_c - deadband_c, `off_delay` in a row: back to 0.
       State -1 and reading > low_c + deadband_c, `off_delay` in a row: back to 0.
    5. The invalid call returns after `off_delay` valid samples in a row.

    Equality never acts: a reading equal to a limit does not raise, one equal to a deadband's edge does not return.
    The state at power-on is 0, and not yet known until the first valid reading. Delays count samples, not seconds: a
    gap in the times is not seen, unless `tempkit.alarm.validity` marks the sample after it. `tempkit.alarm.cases()`
    runs every boundary case and gives the table. The order of 2 to 4 and the rule for invalid readings are ours;
    deadband, on-delay and off-delay as in ANSI/ISA-18.2 and IEC 62682 (terms) and OPC 10000-9, B.1.5.

    >>> run = Alarm(low_c=18.0, high_c=27.0, deadband_c=0.5).run([20.0, 27.0, 27.1, 26.5, 26.4, 17.9])
    >>> run.state.tolist(), [(event.kind, event.start) for event in run.events]
    ([0, 0, 1, 1, 0, -1], [('high', 2), ('low', 5)])
    """

    low_c: float | None = None
    high_c: float | None = None
    deadband_c: float = 0.0
    on_delay: int = 1
    off_delay: int = 1
    invalid_delay: int = 1

    def __post_init__(self):
        for name in ("on_delay", "off_delay", "invalid_delay"):
            whole_number(getattr(self, name), 1, name=name, unit="samples", advice="1 acts at once")
        if not 0 <= scalar(self.deadband_c, "deadband_c") < inf:
            raise ValueError(f"deadband_c {self.deadband_c:g} degC must be 0 degC or more: give it without a sign")
        _check_limits(self.low_c, self.high_c)

    @classmethod
    def from_limits(cls, limits):
        """The alarm of a design: `limits` is a `tempkit.chain.Limits`.

        >>> from tempkit.chain import Limits
        >>> Alarm.from_limits(Limits(low_c=18.0, on_delay_samples=5)).on_delay
        5
        """
        delays = {"on_delay": limits.on_delay_samples, "off_delay": limits.off_delay_samples}
        return cls(low_c=limits.low_c, high_c=limits.high_c, deadband_c=limits.deadband_c, **delays)

    @property
    def high_back_c(self):
        """Edge of the deadband [degC] below which a high alarm returns; None without a high limit."""
        return None if self.high_c is None else self.high_c - self.deadband_c

    @property
    def low_back_c(self):
        """Edge of the deadband [degC] above which a low alarm returns; None without a low limit."""
        return None if self.low_c is None else self.low_c + self.deadband_c

    def beyond(self, reading_c):
        """Which limit one valid reading [degC] is beyond: +1, -1, or 0 for none.

        >>> Alarm(low_c=18.0, high_c=27.0).beyond(27.0)
        0
        """
        if self.high_c is not None and reading_c > self.high_c:
            return 1
        return -1 if self.low_c is not None and reading_c < self.low_c else 0

    def is_back(self, reading_c, state):
        """Whether one valid reading [degC] is past the deadband of a `state` of +1 or -1.

        >>> Alarm(high_c=27.0, deadband_c=0.5).is_back(26.5, 1)
        False
        """
        return reading_c < self.high_back_c if state > 0 else reading_c > self.low_back_c

    def start(self):
        """The alarm at power-on, to be fed one sample at a time: `tempkit.alarm.Stepper`.

        >>> bench = Alarm(high_c=27.0).start()
        >>> bench.step(27.5)
        1
        """
        return Stepper(self)

    def run(self, readings_c, times_s=None, valid=None):
        """A whole record of readings [degC], one row of any length, through the alarm from power-on: `Run`.

        `times_s` [s], not falling, one for each reading, gives the events their times; `valid`, true or false for
        each reading, comes from `Rules`. Raises `ValueError` for other shapes, or times that run backwards.
        """
        readings, good = _record(readings_c, valid)
        count, reach = readings.size, max(self.on_delay, self.off_delay, self.invalid_delay)
        states = changes(*acts(lambda *ends: self._rows(readings[slice(*ends)], good[slice(*ends)]), count, reach))
        calls = changes(*acts(lambda *ends: self._calls(good[slice(*ends)]), 0 if good.all() else count, reach))
        events = _joined(states, calls, count, _times(times_s, count))
        return Run(filled(*states, count), good, filled(*calls, count).view(bool), events)

    def smoothed(self, readings_c, factor, valid=None):
        """A record as a board smooths it before it comes to this alarm [degC], for `run`; `nan` where it is invalid.

        new = old + factor (reading - old), `factor` above 0, up to 1. It begins anew with the first valid reading, at
        the start and after `invalid_delay` invalid ones in a row; it goes on while the invalid call stands.

        >>> Alarm(high_c=27.0, off_delay=3).smoothed([20.0, 22.0, float("nan"), 30.0, 32.0], 0.5)
        array([20., 21., nan, 30., 31.])
        """
        readings, good = _record(readings_c, valid)
        good &= np.isfinite(readings)
        anew = np.cumsum(held(~good, self.invalid_delay))[good]
        parts = np.split(readings[good], np.flatnonzero(np.diff(anew)) + 1)
        out = np.full(readings.shape, np.nan)
        out[good] = np.concatenate([smoothed(part, factor, part[0] if part.size else 0.0) for part in parts])
        return out

    def _rows(self, readings, good):
        """Where each condition has lasted for its delay. A row that acts nowhere is left out: one that is never true,
        or a way back that is true all along, which began before this block or in no alarm. `good`, in place, loses
        the readings that are no finite number."""
        low, high, rows = readings.min(), readings.max(), {}
        if not isfinite(low) or not isfinite(high):
            good &= np.isfinite(readings)
        whole = good.all()
        for bit, test, edge, delay in self._conditions():
            ends = [test(low, edge), test(high, edge)]
            idle = not any(ends) or (all(ends) and whole and bit in (BACK_UP, BACK_DOWN))
            if not (low <= high and idle):
                mask = test(readings, edge)
                rows[bit] = held(mask if whole else mask & good, delay)
        return rows

    def _conditions(self):
        """What acts on the state: the mark, the comparison, the edge [degC] and the delay [samples]."""
        if self.high_c is not None:
            yield UP, np.greater, self.high_c, self.on_delay
            yield BACK_UP, np.less, self.high_back_c, self.off_delay
        if self.low_c is not None:
            yield DOWN, np.less, self.low_c, self.on_delay
            yield BACK_DOWN, np.greater, self.low_back_c, self.off_delay

    def _calls(self, good):
        return {UP: held(~good, self.invalid_delay), BACK_UP: held(good, self.off_delay)}


@dataclass(frozen=True, eq=False)
class Run:
    """What an alarm made of a record; arrays have one value for each reading.

    state : -1 low, 0 normal, +1 high, as the valid readings last said; valid : false for an invalid reading;
    invalid : true while the invalid call stands; events : `tempkit.alarm.Events`.

    >>> run = Alarm(low_c=18.0, high_c=27.0).run([28.0, float("nan"), 20.0])
    >>> run.state.tolist(), run.invalid.tolist(), run.lamp.tolist(), run.buzzer.tolist()
    ([1, 1, 0], [False, True, False], [False, True, False], [True, True, False])
    """

    state: np.ndarray
    valid: np.ndarray
    invalid: np.ndarray
    events: Events

    @property
    def known(self):
        """True from the first valid reading on; before it the state's 0 means not yet known."""
        return np.logical_or.accumulate(self.valid)

    @property
    def lamp(self):
        """Where the lamp is on: low, or invalid. Nothing is silenced in a record."""
        return lamp_and_buzzer(self.state, self.invalid, False)[0]

    @property
    def buzzer(self):
        """Where the buzzer is on: high, or invalid."""
        return lamp_and_buzzer(self.state, self.invalid, False)[1]


def _record(readings_c, valid):
    readings = floats(readings_c, "readings_c")
    if readings.ndim != 1:
        raise ValueError(f"readings of shape {readings.shape} are no record: give one row, in the order of time")
    good = np.ones(readings.shape, bool) if valid is None else flags(valid)
    if good.shape != readings.shape:
        raise ValueError(f"valid of shape {good.shape} does not fit {readings.size} readings: give one for each")
    return readings, good


def _check_limits(low_c, high_c):
    for name, value in (("low_c", low_c), ("high_c", high_c)):
        if value is not None and not isfinite(scalar(value, name)):
            raise ValueError(f"{name} {value:g} degC is no finite number: give a limit, or None for no such limit")
    if low_c is None and high_c is None:
        raise ValueError("an alarm needs low_c or high_c [degC]: give at least one limit")
    if None not in (low_c, high_c) and not low_c < high_c:
        raise ValueError(f"low_c {low_c:g} degC must be below high_c {high_c:g} degC: swap or correct them")


def _times(times_s, count):
    if times_s is None:
        return None
    times = floats(times_s, "times_s")
    if times.shape != (count,):
        raise ValueError(f"times_s of shape {times.shape} does not fit {count} readings: give one time for each")
    wrong = np.flatnonzero(~(np.diff(times) >= 0))
    if wrong.size or not np.isfinite(times[:1]).all():
        at = int(wrong[0]) + 1 if wrong.size else 0
        raise ValueError(f"times_s {times[at]:g} s at sample {at} runs backwards: sort the record, or split it there")
    return times


def _joined(states, calls, count, times):
    """Stays in alarm and stays of the invalid call as one list, by start; a tie puts the invalid call first."""
    invalid, beyond = stays(*calls, count), stays(*states, count)
    starts, ends = (np.concatenate([invalid[part], beyond[part]]) for part in (0, 1))
    kinds = np.concatenate([np.full(len(invalid[0]), INVALID, np.int8), beyond[2]])
    if len(invalid[0]):
        order = np.argsort(starts, kind="stable")
        starts, ends, kinds = starts[order], ends[order], kinds[order]
    return Events(kinds, starts, ends, count, times)
