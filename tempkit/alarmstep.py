"""The alarm one sample at a time, as a board runs it: a state, five counts, and what the operator presses."""

import math

from tempkit.ranges import flags, numbers, scalar


class Stepper:
    """An alarm in service, made by `Alarm.start()`; `rule` is an `Alarm`, or trip codes with the same two questions.

    What a board keeps between two samples, and nothing else:

    state : -1, 0 or +1; known : a valid reading has come since power-on; valid : the last reading was valid;
    invalid : the invalid call stands; silenced : the call that stands has been silenced;
    above, below, back, wrong, right : counts of samples in a row, each kept at its delay once it has got there.

    At power-on every count is 0, the state is 0 and not known, and both outputs are off until the first `step`.

    >>> from tempkit.alarm import Alarm
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
