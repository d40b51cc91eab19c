"""The loop of a board in whole numbers, as the generated code runs it: codes in, level, state and outputs out."""

from tempkit.alarmstep import Stepper
from tempkit.boardnumbers import PARTS
from tempkit.integers import nearest

NO_CODE = -1


class BoardLoop:
    """A board in service, fed one code at a time: the model that generated code has to equal, number for number.

    numbers : `tempkit.boardnumbers.BoardNumbers`. What it keeps: `level`, the smoothed sum; `sum`, `taken`, `good` of
    the reading that is being collected; `last_sum`, `repeats` for a code that stands still; `alarm`, a `Stepper`.

    >>> from tempkit.boardnumbers import numbers
    >>> from tempkit.chainfile import read
    >>> loop = BoardLoop(numbers(read("data/chains/north-bench.toml")))
    >>> [loop.take(153) for _ in range(16)].index(True), loop.milli_c
    (15, 24951)
    """

    def __init__(self, numbers):
        self.numbers = numbers
        self.alarm = Stepper(numbers.trips)
        self.level = self.sum = self.cold_sum = self.taken = self.repeats = 0
        self.last_sum = NO_CODE
        self.good, self.smooth = True, False

    @property
    def milli_c(self):
        """The reading [0.001 degC] of the level; says nothing before the first valid reading."""
        return self.numbers.conversion.of(self.level)

    def take(self, code, cold_code=NO_CODE):
        """One code, `NO_CODE` (or anything below 0) where none came in time; true when a reading is complete.

        cold_code : of a thermocouple's second input. A reading is invalid when a code is missing or outside first_code
        to last_code, or when its sum has been the same `stuck_repeats` times after its first. Smoothing begins anew
        with the first valid reading, at power-on and after `invalid_delay` invalid ones in a row; it goes on while the
        invalid call stands.
        """
        n = self.numbers
        self.good = self.good and n.first_code <= code <= n.last_code
        self.sum += max(code, 0)
        if n.cold:
            self.good = self.good and n.cold.first_code <= cold_code <= n.cold.last_code
            self.cold_sum += max(cold_code, 0)
        self.taken += 1
        if self.taken < n.samples:
            return False
        self._read()
        self.sum, self.cold_sum, self.taken, self.good = 0, 0, 0, True
        return True

    def _read(self):
        n = self.numbers
        again = self.good and self.sum == self.last_sum
        self.repeats = min(self.repeats + 1, n.stuck_repeats) if again else 0
        self.last_sum = self.sum if self.good else NO_CODE
        valid = self.good and not (n.stuck_repeats and self.repeats == n.stuck_repeats)
        target = self.sum << n.fraction_bits
        if n.cold:
            target += n.cold.levels.of(self.cold_sum)
            valid = valid and n.cold.first_level <= target <= n.cold.last_level
        if valid:
            self._smooth(target)
        self.alarm.step(self.level, valid)
        self.smooth = self.smooth and self.alarm.wrong < n.trips.invalid_delay

    def _smooth(self, target):
        n = self.numbers
        if n.factor and self.smooth:
            self.level += nearest((target - self.level) * n.factor, PARTS)
        else:
            self.level = target
        self.smooth = True
