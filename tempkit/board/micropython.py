"""MicroPython for a board: the same whole numbers as the C code, and a short example main loop."""

from string import Template

from tempkit.board.code_words import WARNING, comment, facts
from tempkit.board.whole_numbers import PARTS, Line

MODULE = Template('''\
# $title
#
$facts
#
$warning
#
# example_main.py is the main loop; of you it wants two functions: inputs (the key's too), and outputs.

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
$cold_names$table

def nearest(a, b):
    """The nearest whole number to a / b, halves away from zero; b is above 0."""
    return -((-a + b // 2) // b) if a < 0 else (a + b // 2) // b


def milli_c(level):
    """A level as 0.001 degC; right where the chain is known and not invalid."""
$conversion

$cold_level
def count_up(count, goes_on, enough):
    return min(count + 1, enough) if goes_on else 0


def reaches(level, trip, side):
    """Whether a level is at or past a trip on its warm side (1) or its cold side (-1); without a trip: never."""
    return trip is not None and side * WARM * (level - trip) >= 0


class Chain:
    """From codes to a call. At power-on no call stands and nothing is known."""

    def __init__(self):
        self.level = 0  # smoothed sum of codes, $per_code to a code
        self.sum = ${cold_sum}self.taken = self.repeats = 0
        self.last_sum = NO_CODE
        self.good = True
        self.smooth = False
        self.above = self.below = self.back = self.wrong = self.right = 0  # readings in a row
        self.state = 0  # -1 low, 0 normal, 1 high
        self.known = self.invalid = self.silenced = False

    def take(self, code$cold_code):
        """One code$cold_words; true when a reading is complete."""
        self.good = self.good and FIRST_CODE <= code <= LAST_CODE$cold_good
        if self.good:
            self.sum += code$cold_add
        self.taken += 1
        if self.taken < SAMPLES:
            return False
        self.read_sum()
        self.sum = ${cold_sum}self.taken = 0
        self.good = True
        return True

    def read_sum(self):
        again = self.good and self.sum == self.last_sum
        self.repeats = min(self.repeats + 1, STUCK_REPEATS) if again else 0
        self.last_sum = self.sum if self.good else NO_CODE
        valid = self.good and not (STUCK_REPEATS and self.repeats == STUCK_REPEATS)
        target = self.sum * FINER$cold
        if valid:
            self.smoothed(target)
        self.step(valid)
        self.smooth = self.smooth and self.wrong < INVALID_DELAY  # it goes on while the invalid call stands

    def smoothed(self, target):
        if FACTOR and self.smooth:
            self.level += nearest((target - self.level) * FACTOR, $parts)
        else:
            self.level = target  # the first valid reading, or the first after a row of invalid ones
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

    def valid(self):
        """Whether the last reading can be believed."""
        return self.right > 0

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
# $title: an example of the main loop. It runs on your board with two functions, in a file board.py of your own:
#
# read_input(input): CONVERTER: one code, or NO_CODE where none came in time; keep samples apart in time.$cold_told
#     KEY: true while the key that silences is pressed.
# set_output(output, on): LAMP or BUZZER.
import time

from board import read_input, set_output
from chain import PERIOD_MS, SAMPLES, Chain, milli_c, nearest

CONVERTER$cold_name, KEY = 0, 1$cold_number
LAMP, BUZZER = 0, 1


def tenths(value):
    return "%s%d.%d" % ("-" if value < 0 else "", abs(value) // 10, abs(value) % 10)


def told(t_ms, total, chain):
    """t=12.3 code=163 read=24.8, the mean code with a decimal where there are several; nan where nothing is known."""
    code = "nan" if total < 0 else str(total) if SAMPLES == 1 else tenths((10 * total + SAMPLES // 2) // SAMPLES)
    reading = tenths(nearest(milli_c(chain.level), 100)) if chain.valid() else "nan"
    return "t=%s code=%s read=%s" % (tenths((t_ms + 50) // 100), code, reading)


def main():
    chain = Chain()
    held = False
    set_output(LAMP, True)  # see and hear both at power-on: an output that has died says nothing
    set_output(BUZZER, True)
    time.sleep_ms(1000)
    due = time.ticks_ms()
    t_ms = 0
    while True:
        total = 0
        while True:
            code = read_input(CONVERTER)
            total = -1 if total < 0 or code < 0 else total + code
            if chain.take(code$cold_read):
                break
        print(told(t_ms, total, chain))
        beats = max(time.ticks_diff(time.ticks_ms(), due) // PERIOD_MS + 1, 1)
        # the next moment of a fixed beat, so that nothing adds up; what is late skips beats
        due = time.ticks_add(due, beats * PERIOD_MS)
        t_ms += beats * PERIOD_MS
        while True:  # also the place to feed the board's watchdog
            pressed = bool(read_input(KEY))
            if pressed and not held:
                chain.silence()
            held = pressed
            set_output(LAMP, chain.lamp())
            set_output(BUZZER, chain.buzzer())
            if time.ticks_diff(time.ticks_ms(), due) >= 0:
                break
            time.sleep_ms(1)


main()
''')

LINE = "    return nearest({0} * level + {1}, {2})"
TABLE = """\
    return between(level, START, WIDTH, TABLE)"""
BETWEEN = '''

def between(place, start, width, table):
    """Straight between the values of a table."""
    piece = min(max((place - start) // width, 0), len(table) - 2)
    rest = place - start - piece * width
    return table[piece] + nearest((table[piece + 1] - table[piece]) * rest, width)
'''
COLD_LEVEL = '''
def cold_level(total):
    """What the terminals add to a level, from a sum of the second input's codes."""
    return between(total, COLD_START, COLD_WIDTH, COLD_TABLE)

'''
COLD = """
        target += cold_level(self.cold_sum)
        valid = valid and FIRST_LEVEL <= target <= LAST_LEVEL"""


def files(n):
    """Names and texts of the MicroPython files for `BoardNumbers`: chain.py and example_main.py.

    >>> from tempkit.board.whole_numbers import numbers
    >>> from tempkit.chain import read
    >>> sorted(files(numbers(read("data/chains/north-bench.toml"))))
    ['chain.py', 'example_main.py']
    """
    title = comment(n.title)
    line = isinstance(n.conversion, Line)
    cold = _cold(n)
    module = MODULE.substitute(
        vars(n) | vars(n.trips),
        title=title,
        facts="\n".join(f"# {text}" for text in facts(n)),
        warning="\n".join(f"# {text}" for text in WARNING),
        warm=1 if n.trips.rising else -1,
        parts=PARTS,
        finer=1 << n.fraction_bits,
        per_code=n.per_code,
        table="" if line else _table(n.conversion, "readings [0.001 degC]", "") + BETWEEN,
        **cold,
        conversion=LINE.format(*vars(n.conversion).values()) if line else TABLE,
    )
    return {"chain.py": module, "example_main.py": MAIN.substitute(cold, title=title)}


def _cold(n):
    """What a second input adds to the texts; nothing without one."""
    names = ("names", "level", "sum", "code", "words", "good", "add", "told", "name", "number", "read")
    if n.cold is None:
        return dict.fromkeys(("cold", *(f"cold_{name}" for name in names)), "")
    ends = {"FIRST_COLD": n.cold.first_code, "LAST_COLD": n.cold.last_code}
    ends |= {"FIRST_LEVEL": n.cold.first_level, "LAST_LEVEL": n.cold.last_level}
    return {
        "cold_names": "".join(f"{name} = {value}\n" for name, value in ends.items())
        + _table(n.cold.levels, "what the terminals add to a level", "COLD_"),
        "cold_level": COLD_LEVEL,
        "cold": COLD,
        "cold_sum": "self.cold_sum = ",
        "cold_code": ", cold_code",
        "cold_words": ", and one of the second input",
        "cold_good": " and FIRST_COLD <= cold_code <= LAST_COLD",
        "cold_add": "\n            self.cold_sum += cold_code",
        "cold_told": " COLD: one of the sensor at the terminals.",
        "cold_name": ", COLD",
        "cold_number": ", 2",
        "cold_read": ", read_input(COLD)",
    }


def _table(table, what, name):
    rows = [", ".join(map(str, table.values[i : i + 10])) for i in range(0, len(table.values), 10)]
    body = ",\n    ".join(rows)
    return (
        f"# {what} every {name}WIDTH from {name}START on; straight between\n"
        f"{name}START = {table.start}\n{name}WIDTH = {table.width}\n{name}TABLE = (\n    {body},\n)\n"
    )
