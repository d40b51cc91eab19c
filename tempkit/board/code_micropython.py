"""MicroPython for a board: the same whole numbers as the C code, and a short example main loop."""

from string import Template

from tempkit.board.code_text import WARNING, comment, facts
from tempkit.boardconversion import Line
from tempkit.boardnumbers import PARTS

MODULE = Template('''\
# $title
#
$facts
#
$warning

SAMPLES = $samples  # codes for one reading
PERIOD_MS = $period_ms  # from one reading to the next
NO_CODE = -1  # give this where no code came in time
FIRST_CODE = $first_code
LAST_CODE = $last_code
HIGH_ON = $high_on
HIGH_OFF = $high_off
LOW_ON = $low_on
LOW_OFF = $low_off
WARM = $warm  # 1: a warmer sensor gives a higher level; -1: a lower one
ON_DELAY = $on_delay
OFF_DELAY = $off_delay
INVALID_DELAY = $invalid_delay
STUCK_REPEATS = $stuck_repeats  # 0: no such rule
FACTOR = $factor  # smoothing, parts of $parts; 0: none
FINER = $finer  # a level is a sum of codes times this
$table

def nearest(a, b):
    """The nearest whole number to a / b, halves away from zero; b is above 0."""
    return -((-a + b // 2) // b) if a < 0 else (a + b // 2) // b


def milli_c(level):
    """A level as 0.001 degC; right where the chain is known and not invalid."""
$conversion


def count_up(count, goes_on, enough):
    return min(count + 1, enough) if goes_on else 0


def reaches(level, trip, side):
    """Whether a level is at or past a trip on its warm side (1) or its cold side (-1); without a trip: never."""
    return trip is not None and side * WARM * (level - trip) >= 0


class Chain:
    """From codes to a call. At power-on no call stands and nothing is known."""

    def __init__(self):
        self.level = 0  # smoothed sum of codes, $per_code to a code
        self.sum = self.taken = self.repeats = 0
        self.last_sum = NO_CODE
        self.good = True
        self.smooth = False
        self.above = self.below = self.back = self.wrong = self.right = 0  # readings in a row
        self.state = 0  # -1 low, 0 normal, 1 high
        self.known = self.invalid = self.silenced = False

    def take(self, code):
        """One code; true when a reading is complete."""
        self.good = self.good and FIRST_CODE <= code <= LAST_CODE
        if self.good:
            self.sum += code
        self.taken += 1
        if self.taken < SAMPLES:
            return False
        self.read_sum()
        self.sum = self.taken = 0
        self.good = True
        return True

    def read_sum(self):
        again = self.good and self.sum == self.last_sum
        self.repeats = min(self.repeats + 1, STUCK_REPEATS) if again else 0
        self.last_sum = self.sum if self.good else NO_CODE
        valid = self.good and not (STUCK_REPEATS and self.repeats == STUCK_REPEATS)
        if valid:
            self.smoothed()
        self.step(valid)
        self.smooth = self.smooth and not self.invalid

    def smoothed(self):
        target = self.sum * FINER
        if FACTOR and self.smooth:
            self.level += nearest((target - self.level) * FACTOR, $parts)
        else:
            self.level = target  # the first valid reading, or the first after an invalid call
        self.smooth = True

    def step(self, valid):
        state, invalid, level = self.state, self.invalid, self.level
        self.known = self.known or valid
        self.above = count_up(self.above, valid and reaches(level, HIGH_ON, 1), ON_DELAY)
        self.below = count_up(self.below, valid and reaches(level, LOW_ON, -1), ON_DELAY)
        self.back = count_up(self.back, valid and state != 0 and self.is_back(), OFF_DELAY)
        self.wrong = count_up(self.wrong, not valid, INVALID_DELAY)
        self.right = count_up(self.right, valid, OFF_DELAY)
        self.decide()
        # a silence ends with the last call, and with every call that is new
        if self.state not in (0, state) or (self.invalid and not invalid) or not self.stands():
            self.silenced = False

    def is_back(self):
        if self.state > 0:
            return reaches(self.level, HIGH_OFF, -1)
        return reaches(self.level, LOW_OFF, 1)

    def decide(self):
        before = self.state
        if self.above == ON_DELAY:
            self.state = 1
        elif self.below == ON_DELAY:
            self.state = -1
        elif self.back == OFF_DELAY:
            self.state = 0
        if self.state != before:
            self.back = 0
        if self.wrong == INVALID_DELAY:
            self.invalid = True
        elif self.right == OFF_DELAY:
            self.invalid = False

    def stands(self):
        return self.state != 0 or self.invalid

    def silence(self):
        """The operator's key: buzzer off, the call stays."""
        self.silenced = self.stands()

    def lamp(self, test=False):
        """Low or invalid; with `test`: on."""
        return test or self.state < 0 or self.invalid or self.silenced

    def buzzer(self, test=False):
        """High or invalid; with `test`: on."""
        return test or ((self.state > 0 or self.invalid) and not self.silenced)
''')

MAIN = Template('''\
# $title: an example of the main loop. Fill in the three functions for your board.
from chain import PERIOD_MS, Chain

LAMP, BUZZER = 0, 1


def read_converter():
    """One code, or chain.NO_CODE where none came in time; keep samples apart in time."""
    raise NotImplementedError("read the converter")


def set_output(output, on):
    raise NotImplementedError("set the pin of the lamp or the buzzer")


def wait_ms(ms):
    """Also the place to look at the silence key and to feed the board's watchdog."""
    raise NotImplementedError("wait")


def main():
    chain = Chain()
    set_output(LAMP, True)  # see and hear both at power-on: an output that has died says nothing
    set_output(BUZZER, True)
    wait_ms(1000)
    while True:
        while not chain.take(read_converter()):
            pass
        set_output(LAMP, chain.lamp())
        set_output(BUZZER, chain.buzzer())
        wait_ms(PERIOD_MS)


main()
''')

LINE = "    return nearest({0} * level + {1}, {2})"
TABLE = """\
    piece = min(max((level - START) // WIDTH, 0), len(TABLE) - 2)
    rest = level - START - piece * WIDTH
    return TABLE[piece] + nearest((TABLE[piece + 1] - TABLE[piece]) * rest, WIDTH)"""


def files(n):
    """Names and texts of the MicroPython files for `BoardNumbers`: chain.py and example_main.py.

    >>> from tempkit.boardnumbers import numbers
    >>> from tempkit.chainfile import read
    >>> sorted(files(numbers(read("data/chains/north-bench.toml"))))
    ['chain.py', 'example_main.py']
    """
    title = comment(n.title)
    line = isinstance(n.conversion, Line)
    module = MODULE.substitute(
        vars(n) | vars(n.trips),
        title=title,
        facts="\n".join(f"# {text}" for text in facts(n)),
        warning="\n".join(f"# {text}" for text in WARNING),
        warm=1 if n.trips.rising else -1,
        parts=PARTS,
        finer=1 << n.fraction_bits,
        per_code=n.per_code,
        table="" if line else _table(n.conversion),
        conversion=LINE.format(*vars(n.conversion).values()) if line else TABLE,
    )
    return {"chain.py": module, "example_main.py": MAIN.substitute(title=title)}


def _table(table):
    rows = [", ".join(map(str, table.values[i : i + 10])) for i in range(0, len(table.values), 10)]
    body = ",\n    ".join(rows)
    return (
        f"# readings [0.001 degC] every WIDTH levels from level START on; straight between\n"
        f"START = {table.start}\nWIDTH = {table.width}\nTABLE = (\n    {body},\n)\n"
    )
