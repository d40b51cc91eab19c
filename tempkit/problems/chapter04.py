"""Practice for chapter 04: from codes back to degrees, in floating point and in integers."""

import math

from tempkit import scales
from tempkit.board import decimals, fits, nearest, program, tenths, towards_zero
from tempkit.chain import scenario
from tempkit.exercises import (
    Amount,
    Choice,
    Column,
    Curve,
    Draw,
    Graph,
    Idea,
    Line,
    Number,
    Option,
    Prediction,
    Problem,
    Scale,
    Sketch,
    Table,
    Wrong,
    code,
    sketch,
    wrong_step,
)
from tempkit.exercises import plain as n
from tempkit.problems.common import SENSOR_TEXT, WITH_OFFSET, chain

# Floating point

CODES = Draw("code", (163, 149, 154, 158, 167, 172, 180))
SUPPLIES = Draw("reference_v bits", ((5, 10), (3.3, 10), (3.3, 12), (5, 12)))


def _mv(f, code, half=0.5):
    return (code + half) * 1000 * f.reference_v / 2**f.bits


def _c(f, mv):
    return (mv - f.at_0c_mv) / f.slope_mv_per_c


def _code(f):
    return f.code * 2 ** (f.bits - 10)


def _seen_c(f):
    return _c(f, _mv(f, _code(f)))


def _believable(f):
    return f.low_c < _seen_c(f) < 60


def _program_c(f):
    return chain(f, f.reference_v).reading(_code(f))


CODE_TEXT = SENSOR_TEXT + ". A converter of {bits} bits refers to {reference_v} V and floors. "

code_to_degrees = Problem(
    "04-code-to-degrees", 3, "From a code to degrees",
    "Walk back from a code to a temperature.",
    asks=lambda f: code_to_degrees.say(CODE_TEXT, f)
    + f"It gives code {_code(f)}. What is the temperature? Use the middle of the code's step.",
    figures=(CODES, SUPPLIES, WITH_OFFSET),
    sensible=_believable,
    answer=Number(
        _program_c, "temperature", "°C", 0.06,
        "A little more than half a tenth leaves room for rounding to the tenth that is printed.",
        wrong=(
            Wrong("forgot-offset", lambda f: _mv(f, _code(f)) / f.slope_mv_per_c,
                  "The output at 0 °C has not been taken away."),
            Wrong("lower-edge", lambda f: _c(f, _mv(f, _code(f), 0)),
                  "This is the lower edge of the step. A converter that floors was up to one step above it."),
            Wrong("offset-at-25", lambda f: 25 + _seen_c(f),
                  "The output at 0 °C was used as if it belonged to room temperature."),
            Wrong("fahrenheit", lambda f: 1.8 * _seen_c(f) + 32,
                  "This is the figure in °F. Choose the unit that belongs to it, or stay in °C."),
    )),
    hints=("Undo the chain from its end: code to volts, then volts to degrees.",
           "Code plus one half, times the size of a step.",
           "Take the output at 0 °C away and divide by the slope."),
    solution=lambda f: (
        f"Volts: ({_code(f)} + 0.5) × {n(1000 * f.reference_v)} mV ÷ {n(2**f.bits)} = {n(_mv(f, _code(f)))}"
        " mV\n"
        f"Temperature: ({n(_mv(f, _code(f)))} mV − {n(f.at_0c_mv)} mV) ÷ {n(f.slope_mv_per_c)} mV/°C"
        f" = {n(_seen_c(f))} °C"
    ),
)

reading_in_fahrenheit = Problem(
    "04-reading-in-fahrenheit", 2, "A reading in °F",
    "Change a reading from °C to °F.",
    asks="The program has worked out {t_c} °C. What does it print in °F?",
    figures=(Draw("t_c", (24.9, 16.3, 17.2, 18.1, 19.6, 20.3, 21.5, 22.8, 23.4, 26.8, -4.5, 27.7, 29.4)),),
    answer=Number(
        lambda f: scales.celsius_to_fahrenheit(f.t_c), "temperature", "°F", 0.06,
        "A little more than half a tenth leaves room for rounding to a tenth.",
        own_unit=True, wrong=(
            Wrong("forgot-32", lambda f: f.t_c * 9 / 5,
                  "This is how a span of temperature changes its scale. A temperature also has another"
                  " zero."),
            Wrong("32-first", lambda f: (f.t_c + 32) * 9 / 5,
                  "The 32 was added before multiplying: it was stretched as well."),
            Wrong("backwards", lambda f: (f.t_c - 32) * 5 / 9,
                  "This is the way from °F to °C."),
            Wrong("divided", lambda f: f.t_c * 5 / 9 + 32,
                  "Degrees on the other scale are smaller, so there are more of them."),
    )),
    hints=("Two things change: the size of a degree and the place of zero.",
           "Multiply first, then move the zero."),
    solution=lambda f: f"{n(f.t_c)} × 1.8 + 32 = {n(round(f.t_c * 9 / 5 + 32, 4))} °F",
)

span_in_fahrenheit = Problem(
    "04-span-in-fahrenheit", 2, "A span in °F",
    "Change a span of temperature from °C to °F.",
    asks="An alarm that called above the limit goes quiet once the air is {span_c} °C below it. How large"
         " is that gap in °F?",
    figures=(Draw("span_c", (0.5, 0.6, 0.8, 1, 1.2, 1.5, 1.8, 2, 2.5, 3, 4)),),
    answer=Number(
        lambda f: scales.celsius_span_to_fahrenheit(f.span_c), "temperature span", "°F", 0.05,
        "The product is exact; half a tenth leaves room for rounding to a tenth.",
        own_unit=True, wrong=(
            Wrong("added-32", lambda f: f.span_c * 9 / 5 + 32,
                  "The 32 belongs to a temperature. A gap has no zero of its own: think of no gap at all."),
            Wrong("divided", lambda f: f.span_c * 5 / 9,
                  "Degrees on the other scale are smaller, so a gap counts more of them."),
            Wrong("added-32-first", lambda f: (f.span_c + 32) * 9 / 5,
                  "A gap has nothing to do with the 32, before or after multiplying."),
    )),
    hints=("A gap is a difference of two temperatures. Change both ends and take the difference.",
           "What is the same at both ends goes away in the difference."),
    solution=lambda f: f"{n(f.span_c)} × 1.8 = {n(round(f.span_c * 9 / 5, 4))} °F",
)

digits_to_print = Problem(
    "04-digits-to-print", 2, "How many digits to print",
    "Print as many digits as the reading can stand for.",
    asks="One step is worth {step_c} °C and the sensor's limits are ±{accuracy_c} °C. The program holds"
         " 24.79248046875. What should it print for a person at the bench?",
    figures=(Draw("step_c", (0.61, 0.4, 0.3)), Draw("accuracy_c", (1.5, 2, 1))),
    answer=Choice(
        options=(
            Option("all", "24.79248046875 °C: no digit that was worked out may be lost",
                   "Most of these digits come from the arithmetic, not from the air."),
            Option("hundredths", "24.79 °C: two digits behind the point look precise",
                   "A hundredth is far less than one step: these digits can only jump."),
            Option("tens", "20 °C: the last digit is not sure, so leave it out",
                   "This throws away what the sensor can tell. How large are its limits?"),
            Option("tenths", "24.8 °C, with the limits said beside it",
                   "One digit finer than a step shows each change of code, and the limits say what it is"
                   " worth."),
        ),
        right="tenths",
    ),
    hints=("Which is the smallest change that the converter can show?",
           "Digits that cannot be seen or trusted only distract; the limits must be said with the number."),
    solution=lambda f: (
        f"One step is {n(f.step_c)} °C, so a tenth shows every change of code and a hundredth shows nothing"
        " more."
        f" The reading is printed as 24.8 °C, with ±{n(f.accuracy_c)} °C said beside it."
    ),
)

swapped_constants = Problem(
    "04-swapped-constants", 2, "Two constants swapped",
    "Foresee what a program prints whose two constants are swapped.",
    asks="The line should be t = (v − 0.6) ÷ 0.008, with v in volts. Somebody wrote t = (v − 0.008) ÷ 0.6."
         " The sensor gives {v_mv} mV. Which number does the program print as the temperature?",
    figures=(Draw("v_mv", (800, 724, 732, 743, 755, 762, 770, 778, 785, 811, 818, 829, 840)),),
    answer=Number(
        lambda f: (f.v_mv / 1000 - 0.008) / 0.6, "number", "", 0.01,
        "A hundredth leaves room for rounding.",
        wrong=(
            Wrong("right-line", lambda f: (f.v_mv - 600) / 8,
                  "This is what the right line gives. Follow the line as it was written."),
            Wrong("millivolts", lambda f: (f.v_mv - 0.008) / 0.6,
                  "The line wants volts; millivolts were put in."),
            Wrong("no-brackets", lambda f: f.v_mv / 1000 - 0.008 / 0.6,
                  "The brackets were passed over: the difference comes first."),
            Wrong("multiplied", lambda f: (f.v_mv / 1000 - 0.008) * 0.6,
                  "It was multiplied by the last number. The line divides."),
    )),
    hints=("Do what the program does, not what it should do.",
           "Millivolts to volts first, then the brackets, then the division."),
    solution=lambda f: (
        f"v = {n(f.v_mv / 1000)} V; ({n(f.v_mv / 1000)} − 0.008) ÷ 0.6 = {n((f.v_mv - 8) / 600)}\n"
        "Such a value is a likely reading for a cold day: only a second thermometer shows the slip."
    ),
)


def _four(f, cell):
    return tuple(cell(f.first + k * f.apart) for k in range(4))


def _four_answers(f, bench):
    return _four(f, lambda code: (1000 * bench.converter.volts(code, f.reference_v), bench.reading(code)))


four_codes = Problem(
    "04-four-codes", 2, "Four codes of a log",
    "Turn a short log of codes into volts and degrees.",
    asks=lambda f: f"A log holds the codes {', '.join(str(f.first + k * f.apart) for k in range(4))}."
    f" {four_codes.say(SENSOR_TEXT, f)}; the {f.bits}-bit converter refers to {n(f.reference_v)} V and"
    " floors. Give the middle of each step in millivolts, and the reading.",
    figures=(
        Draw("first apart", ((149, 9), (155, 4), (160, 7), (158, 3), (151, 6), (162, 5))),
        Draw("reference_v bits", ((5, 10), (4.75, 10))),
        WITH_OFFSET,
    ),
    answer=Table(
        rows=lambda f: _four(f, lambda code: f"Code {code}"),
        columns=(Column("voltage", "voltage", "mV", 0.6), Column("reading", "temperature", "°C", 0.06)),
        value=lambda f: _four_answers(f, chain(f, f.reference_v)),
        reason="A little more than half of the last digit printed: whole millivolts and tenths of a degree.",
        wrong=(
            Wrong("lower-edge", lambda f: _four(f, lambda code: (_mv(f, code, 0), _c(f, _mv(f, code, 0)))),
                  "These are the lower edges. The middle lies half a step higher."),
            Wrong("forgot-offset", lambda f: _four(
                f, lambda code: (_mv(f, code), _mv(f, code) / f.slope_mv_per_c)),
                "The output at 0 °C has not been taken away."),
            Wrong("upper-edge", lambda f: _four(f, lambda code: (_mv(f, code, 1), _c(f, _mv(f, code, 1)))),
                  "These are the upper edges: half a step too much was added."),
            Wrong("fahrenheit", lambda f: _four(
                f, lambda code: (_mv(f, code), 1.8 * _c(f, _mv(f, code)) + 32)),
                "The readings are in °F; the column asks for °C."),
    )),
    hints=("Each row is the same walk back: code, middle of the step, degrees.",
           "The middle of a step is code plus one half, times the size of a step."),
    solution=lambda f: "\n".join(_four(f, lambda code: (
        f"Code {code}: ({code} + 0.5) × {n(1000 * f.reference_v)} mV ÷ {n(2**f.bits)} = {n(_mv(f, code))} mV,"
        f" reading = {n(_c(f, _mv(f, code)))} °C"))),
)


# Integers, and how a slip in them is found

EXACT = "An integer result: it is right or it is not."
WORD = 2**16


def _wrapped(product):
    """A product as a 16-bit signed integer holds it: two's complement, the higher bits lost."""
    low = product & (WORD - 1)
    return low - WORD if low & (WORD >> 1) else low


overflow = Problem(
    "04-overflow", 2, "Sixteen bits are not enough",
    "Work out what a 16-bit signed integer makes of a product that does not fit.",
    asks="A program works out {code} × {factor} in 16-bit signed integers (−32768 to 32767). The product"
         " does not fit: only its lowest 16 bits stay, read in two's complement. Which value is left? (The"
         " C standard promises nothing here; this is what such machines commonly do.)",
    figures=(CODES, Draw("factor", (5000, 3300, 500, 330))),
    answer=Number(
        lambda f: _wrapped(f.code * f.factor), "number", "", 0.0, EXACT,
        wrong=(
            Wrong("no-overflow", lambda f: f.code * f.factor,
                  "This is the whole product. How many bits does it need?"),
            Wrong("unsigned", lambda f: f.code * f.factor % 65536,
                  "These are the lowest 16 bits without a sign. What does the topmost bit mean here?"),
            Wrong("saturated", lambda f: 32767,
                  "Integers do not stop at their highest value: they wrap round."),
            Wrong("wrong-modulus", lambda f: f.code * f.factor % 32768,
                  "One turn of the wheel has 65536 values, negative ones included."),
        ),
        whole=True,
    ),
    hints=("Sixteen bits can hold 65536 different values: a wheel of that many places.",
           "Take 65536 away from the product until what is left fits.",
           "What is left must lie between −32768 and 32767: it may be negative."),
    solution=lambda f: (
        f"Product: {f.code} × {n(f.factor)} = {n(f.code * f.factor)}\n"
        f"Whole turns: {n(round(f.code * f.factor / 65536))} × 65536"
        f" = {n(round(f.code * f.factor / 65536) * 65536)}\n"
        f"Left: {n(f.code * f.factor)} − {n(round(f.code * f.factor / 65536) * 65536)}"
        f" = {n(f.code * f.factor - round(f.code * f.factor / 65536) * 65536)}"
    ),
)

divide_first = Problem(
    "04-divide-first", 2, "Dividing first",
    "See what the order of multiplication and division costs in integers.",
    asks="All numbers are integers; a division drops the remainder. A program works out the millivolts as"
         " ({supply_mv} ÷ {count}) × {code}, the division first. Which number comes out?",
    figures=(
        Draw("code", (163, 149, 154, 158, 167, 172, 180)),
        Draw("supply_mv count", ((5000, 1024), (3300, 1024), (4750, 1024), (5000, 256), (3300, 256))),
    ),
    answer=Number(
        lambda f: f.supply_mv // f.count * f.code, "number", "", 0.0, EXACT,
        wrong=(
            Wrong("multiplied-first", lambda f: f.supply_mv * f.code // f.count,
                  "Here the product was made first. The brackets say otherwise."),
            Wrong("floating-point", lambda f: f.supply_mv / f.count * f.code,
                  "This keeps the remainder. What does an integer division do with it?"),
            Wrong("rounded-division", lambda f: math.floor(f.supply_mv / f.count + 0.5) * f.code,
                  "The division was rounded. An integer division goes down."),
            Wrong("zero", lambda f: 0,
                  "Nothing is left only where the upper number is the smaller one. Look again."),
        ),
        whole=True,
    ),
    hints=("Do the brackets first, and drop the remainder at once.",
           "Multiply what is left by the code."),
    solution=lambda f: (
        f"{n(f.supply_mv)} ÷ {n(f.count)}, without the remainder: {n(f.supply_mv // f.count)}\n"
        f"{n(f.supply_mv // f.count)} × {f.code} = {n(f.supply_mv // f.count * f.code)}"
    ),
)


nothing_left = Problem(
    "04-nothing-left", 3, "A quotient of two constants",
    "Foresee what C makes of a quotient of two integer constants.",
    asks="A program in C works out volts = {volts} / {count} * code, where code is an int and volts a"
         " double. What stands in volts for code {code}?",
    figures=(Draw("volts", (5, 3)), Draw("count", (1024, 4096)), Draw("code", (163, 612, 448))),
    answer=Choice(
        options=(
            Option("right-volts", "The right voltage: volts is a double, so all is worked out in doubles",
                   "The variable on the left does not decide how the right side is worked out."),
            Option("whole-volts", "The voltage without its fraction: one integer division, at the end",
                   "There is one integer division, not at the end. In which order are / and * done?"),
            Option("zero", "Zero, here and for every other code of the converter",
                   "The quotient comes first, both numbers are integers, and the upper one is smaller."),
            Option("compiler", "No compiler takes this line: the types do not fit",
                   "It is sound C. An int turns into a double without a word, too late to help."),
        ),
        right="zero",
    ),
    hints=("Of / and * the left one is done first.",
           "What is left of a small integer divided by a larger one?"),
    solution=lambda f: (
        f"{n(f.volts)} / {n(f.count)} is an integer division: 0 remains, and 0 times any code is 0."
        f" Write {n(f.volts)}.0 / {n(f.count)}.0 instead. (ISO C, multiplicative operators: quotients of"
        " integers are truncated, and operators of one rank are taken from the left.)"
    ),
)


def _cut(value):
    return math.trunc(value)


def _pair(f, rule):
    return ((rule(f.warm),), (rule(f.cold),))


half_divisor = Problem(
    "04-half-a-divisor", 1, "Half a divisor, and whose sign",
    "Round an integer division to the nearest, below zero too.",
    asks="A program in C holds a temperature as a whole number of hundredths of a degree and wants whole tenths, to the"
         " nearest. The division by 10 cuts off towards zero. Which tenths does a sound program get from {warm} and"
         " which from {cold}?",
    figures=(Draw("warm", (2147, 1836, 2258, 1979, 2706)), Draw("cold", (-123, -354, -42, -214, -531))),
    answer=Table(
        rows=lambda f: (f"From {n(f.warm)} hundredths", f"From {n(f.cold)} hundredths"),
        columns=(Column("tenths", "number", "", 0.0, whole=True),),
        value=lambda f: _pair(f, lambda hundredths: nearest(hundredths, 10)),
        reason=EXACT,
        wrong=(
            Wrong("cut-off", lambda f: _pair(f, lambda x: _cut(x / 10)),
                  "Nothing was added before the division: what stands behind the point is simply gone."),
            Wrong("always-plus", lambda f: _pair(f, lambda x: _cut((x + 5) / 10)),
                  "Half the divisor was added both times. Where does that move a number below zero?"),
            Wrong("always-down", lambda f: _pair(f, lambda x: x // 10),
                  "Both were taken down to the next whole number. Asked is the nearest, and C does not go down below"
                  " zero."),
            Wrong("whole-divisor", lambda f: _pair(f, lambda x: _cut((x + math.copysign(10, x)) / 10)),
                  "All of the divisor was added. That makes one more, whatever the remainder."),
        ),
    ),
    hints=("Half the divisor is 5. Add it before dividing, away from zero.",
           "Below zero, away from zero is downwards: there the half is taken off."),
    solution=lambda f: "\n".join(
        f"({n(x)} {'+' if x > 0 else '−'} 5) ÷ 10, without the remainder = {n(_cut((x + math.copysign(5, x)) / 10))}"
        for x in (f.warm, f.cold)
    ),
)

believable = Problem(
    "04-believable", 2, "Two claims that could be true",
    "Find a slip whose claim could be true.",
    asks="Two boards hang side by side. One program divides by 1023 where it should divide by 1024, the other holds"
         " {belief_mv} mV for a reference of 5000 mV. In a room of {room_c} °C both print temperatures that a room may"
         " have. How are such slips found, and told from an honest board?",
    figures=(Draw("belief_mv", (4900, 5100, 4950, 5080)), Draw("room_c", (21, 19.5, 22, 23.5))),
    answer=Choice(
        options=(
            Option("mean", "By a longer record: the mean of an hour gives them away",
                   "Both are wrong in each reading alike. Is there anything in the record to see it by?"),
            Option("sense", "By common sense: a wrong line prints a temperature that cannot be",
                   "Then a claim that can be would be a right one. Is each of the two a claim that can be?"),
            Option("one", "By comparing with a good thermometer, once, in the room",
                   "Where two lines cross, a wrong one agrees, too. What would a second place show?"),
            Option("two", "By reading the line, and comparing at temperatures far apart",
                   "The line tells what is wrong; two places apart tell that something is."),
        ),
        right="two",
    ),
    hints=("A slip that prints frost in summer is found at once. These do not.",
           "A wrong line can cross the right one somewhere. What shows that it does?"),
    solution=lambda f: "Read each line of the program against the chain, and compare at two temperatures well apart,"
                       " ice and a warm hand for instance. A record of its own cannot show what is wrong in all of it.",
)


# A walk back with one wrong step

SLIPS = ("count", "edge", "offset", "slope", "scale")


def _walk(f):
    """The walk from a code to °F in five lines; each goes on from what the line above says, right or wrong."""
    slip = SLIPS[f.slip - 1]
    parts = 1023 if slip == "count" else 1024
    step = round(5000 / parts, 4)
    half = 0 if slip == "edge" else 0.5
    middle = round((f.code + half) * step, 1)
    above = round(middle + f.at_0c_mv if slip == "offset" else middle - f.at_0c_mv, 1)
    t_c = round(above * f.slope_mv_per_c if slip == "slope" else above / f.slope_mv_per_c, 2)
    t_f = round((t_c + 32) * 1.8 if slip == "scale" else t_c * 1.8 + 32, 2)
    code = f"({f.code} + 0.5)" if half else f"{f.code}"
    sign, way = "+" if slip == "offset" else "−", "×" if slip == "slope" else "÷"
    shown_f = f"({n(t_c)} + 32) × 1.8" if slip == "scale" else f"{n(t_c)} × 1.8 + 32"
    return (
        f"Step 1. One step: 5000 mV ÷ {parts} = {n(step)} mV",
        f"Step 2. Middle of the code's step: {code} × {n(step)} mV = {n(middle)} mV",
        f"Step 3. Above 0 °C: {n(middle)} mV {sign} {n(f.at_0c_mv)} mV = {n(above)} mV",
        f"Step 4. In °C: {n(above)} mV {way} {n(f.slope_mv_per_c)} mV/°C = {n(t_c)} °C",
        f"Step 5. In °F: {shown_f} = {n(t_f)} °F",
    )


wrong_walk = Problem(
    "04-wrong-walk", 1, "One step is wrong",
    "Find the wrong step in a walk from a code to a temperature.",
    asks=SENSOR_TEXT + ". A 10-bit converter refers to 5 V, floors, and gives code {code}. Somebody worked out the"
                       " temperature in five steps. One of them is wrong, and the others go on from it soundly. Which"
                       " one?",
    figures=(Draw("slip", (3, 1, 2, 4, 5)), CODES, WITH_OFFSET),
    listing=_walk,
    answer=wrong_step(
        lambda f: f.slip,
        (
            ("Ten bits make 1024 codes, and as many steps from 0 V to the reference.",
             "5 V is parted into the count of codes. That is sound."),
            ("That is the lower edge. The middle lies half a step higher.",
             "Half a step was added to the code. That is the middle."),
            ("The output at 0 °C has to be taken away to find the rise above 0 °C.",
             "The output at 0 °C was taken away. That is sound."),
            ("Millivolts become degrees by dividing: so many millivolts make one degree.",
             "The rise was divided by the slope. That is sound, whatever the rise is."),
            ("First times 1.8, then plus 32. In the other order the 32 is stretched, too.",
             "Times 1.8, then plus 32: that is the rule, whatever the temperature is."),
        ),
    ),
    hints=("Check each line by itself: does it do what its words say?",
           "A strange number may come from the line above. Ask of each line only what it does with it."),
    solution=lambda f: f"Step {f.slip} is wrong: {_WALK_SAID[f.slip - 1]}",
)

_WALK_SAID = (
    "divide by 1024, the count of codes.", "add one half to the code before multiplying.",
    "take the output at 0 °C away.", "divide by the slope.", "multiply by 1.8 first, then add 32.",
)


# A program's step read off a graph, a walk half worked out, five lines of a log, kelvin

BENCH = scenario()
STEP_MV = 5000 / 1024
SHOWN_C, MARKS_C = range(0, 61, 10), tuple(range(-20, 81, 10))


def _bench_c(mv):
    """The bench's sensor backwards, by bare arithmetic [degC]."""
    return (mv - 600) / 8


def _claim_c(at_c, step_mv):
    """What a program prints that takes each step for so many mV, steps left out [degC]."""
    return _bench_c((600 + 8 * at_c) / STEP_MV * step_mv)


program_step = Problem(
    "04-step-of-a-program", 1, "The step that a program believes in",
    "Read off a graph which step a program believes in.",
    asks="On the bench one step of the converter is 4.883 mV. In its program somebody wrote another number for it. The"
         " graph shows what it prints, against the true temperature. Which step does the program believe in?",
    figures=(Draw("wrong_mv", (4.2, 5.4, 4.5, 5.2, 4, 5.6)),),
    picture=lambda f: Graph(
        "What the program prints", Scale("air", "°C", (0, 60), 1), Scale("printed", "°C", (-20, 85), 0.5, MARKS_C),
        (Curve("printed", tuple((at_c, _claim_c(at_c, f.wrong_mv)) for at_c in SHOWN_C)),),
    ),
    answer=Number(
        lambda f: 1000 * (BENCH.converter.step_v(5.0) * f.wrong_mv / STEP_MV), "voltage", "mV", 0.15,
        "An eye reads both ends to a degree, of sixty: that is a tenth of a millivolt or a little more.",
        wrong=(
            Wrong("true-step", lambda f: STEP_MV,
                  "That is the converter's step. With it the line would rise by one degree for each degree of air."),
            Wrong("height", lambda f: _claim_c(60, f.wrong_mv) / 60 * STEP_MV,
                  "A height is no slope. Take two points, and divide rise by run."),
            Wrong("upside-down", lambda f: STEP_MV**2 / f.wrong_mv,
                  "The ratio is upside down. Does a larger step in the program make a steeper line or a flatter one?"),
    )),
    hints=("How steep is the line? Read two points far apart.",
           "A line of slope 1 belongs to the right step. In what proportion do step and slope stand?"),
    solution=lambda f: (
        f"Rise: {n(_claim_c(60, f.wrong_mv), 3)} °C − ({n(_claim_c(0, f.wrong_mv), 3)} °C) over 60 °C is a slope of"
        f" {n(f.wrong_mv / STEP_MV, 3)}.\n"
        f"Step: {n(f.wrong_mv / STEP_MV, 3)} × 4.883 mV = {n(f.wrong_mv, 3)} mV"
    ),
)


def _integer_walk(f, code, half=0.5, cut=False, degrees=False):
    """Product, sum, millivolts and tenths of one code, as one column."""
    def divided(a, b):
        return a // b if cut else math.floor(a / b + 0.5)

    product = code * f.supply_mv
    sum_ = product + round(half * f.supply_mv)
    mv = divided(sum_, 1024)
    return product, sum_, mv, (mv - 600) // 8 if degrees else divided((mv - 600) * 10, 8)


def _two_walks(f, **change):
    """The walk of the first code as it should be, beside that of the second."""
    return tuple(zip(_integer_walk(f, f.first), _integer_walk(f, f.second, **change), strict=True))


def _walked(f):
    def walk(code):
        product = code * f.supply_mv
        mv = nearest(product + f.supply_mv // 2, 1024)
        return product, product + f.supply_mv // 2, mv, nearest((mv - 600) * 10, 8)

    return tuple(zip(walk(f.first), walk(f.second), strict=True))


half_worked = Problem(
    "04-half-worked", 1, "A walk with integers, half worked out",
    "Carry an integer walk from a code to tenths of a degree to its end.",
    asks="A sensor gives 600 mV at 0 °C and 8 mV/°C; a 10-bit converter refers to {supply_mv} mV and floors. A program"
         " with 32-bit integers goes from the code to tenths of a degree. Both divisions go to the nearest. The walk of"
         " code {first} is there. Fill in that of code {second}.",
    figures=(Draw("first second", ((158, 171), (149, 167), (154, 176), (161, 147), (165, 153), (172, 159))),
             Draw("supply_mv", (5000, 4750, 4900, 5120))),
    answer=Table(
        rows=lambda f: ("Code times the supply", "And half a step more", "Millivolts", "Tenths of a degree"),
        columns=(
            Column("first code", "number", "", 0.0, whole=True),
            Column("second code", "number", "", 0.0, whole=True),
        ),
        value=_walked,
        reason="An integer result: it is right or it is not.",
        shown=((0, 0), (1, 0), (2, 0), (3, 0)),
        wrong=(
            Wrong("cut-off", lambda f: _two_walks(f, cut=True),
                  "The divisions were cut off. What is added before a division to get to the nearest?"),
            Wrong("lower-edge", lambda f: _two_walks(f, half=0),
                  "That is the lower edge of the step. Half the supply brings the sum to its middle."),
            Wrong("whole-degrees", lambda f: _two_walks(f, degrees=True),
                  "At the end stand whole degrees. Tenths are asked for: multiply before you divide."),
        ),
    ),
    hints=("Follow the first column line by line: what was done from one to the next?",
           "Millivolts: divide by 1024. Tenths: less 600, times 10, divided by 8. Add half the divisor each time."),
    solution=lambda f: (
        f"Product: {f.second} × {f.supply_mv} = {f.second * f.supply_mv}\n"
        f"Half a step more: + {f.supply_mv // 2} = {_walked(f)[1][1]}\n"
        f"({_walked(f)[1][1]} + 512) ÷ 1024, without the remainder = {_walked(f)[2][1]}\n"
        f"(({_walked(f)[2][1]} − 600) × 10 + 4) ÷ 8, without the remainder = {_walked(f)[3][1]}"
    ),
)

CAUSES = ("divide_first", "product16", "offset", "supply", "none")


def _logged(f):
    loop = program(BENCH, "c", "integers", CAUSES[f.cause - 1])
    codes = (f.first + k * f.apart for k in range(5))
    return tuple(f"code {code}   {tenths(loop.values(code)['tenths_c'])} degC" for code in codes)


five_lines = Problem(
    "04-five-lines", 1, "Five lines of a log",
    "Name a program's slip from five lines of its log.",
    asks="The bench: 600 mV at 0 °C and 8 mV/°C, 10 bits, a true supply of 5 V. Converter and sensor are in order. Here"
         " are five lines of its log, from a night in which the air warmed slowly. What is wrong in the program?",
    figures=(Draw("cause", (4, 1, 2, 3, 5)), Draw("first apart", ((131, 19), (126, 21), (137, 17)))),
    listing=_logged,
    answer=Choice(
        options=(
            Option("divide_first", "It divides before it multiplies",
                   "Between two lines the print takes just 4 mV for each code: 4.883 mV, cut off."),
            Option("product16", "Its product is kept in 16 bits",
                   "A product that does not fit wraps round: impossible readings that rise and fall."),
            Option("offset", "The 600 mV are not taken away",
                   "Without it each reading is 75 °C too high, the same for every code."),
            Option("supply", "It believes in another supply",
                   "Between two lines the print takes 3.22 mV for each code: 1024 of them are not 5 V."),
            Option("none", "Nothing: it prints what it should",
                   "Work one line out: code plus one half, times 4.883 mV, less 600 mV, divided by 8."),
        ),
        right=lambda f: CAUSES[f.cause - 1],
    ),
    asks_how_sure=True,
    hints=("Work out by hand what the first line should say.",
           "From the first line to the last: how many millivolts does the print take for each code?"),
    solution=lambda f: _LOGGED_SAID[f.cause - 1],
)

_LOGGED_SAID = (
    "From line to line the print takes 4 mV for each code: 5000 / 1024 was done first, and 0.883 mV of each step lost.",
    "No air is so cold, and the readings do not rise with the codes: the product has wrapped round.",
    "Every line is 75 °C too high: 600 mV divided by 8 mV/°C. They were not taken away.",
    "From line to line the print takes 3.22 mV for each code: it believes in 3.3 V.",
    "Each line is what code plus one half, times 4.883 mV, less 600 mV, divided by 8 gives.",
)

kelvin = Problem(
    "04-kelvin", 1, "A temperature in kelvin",
    "Change a temperature from kelvin to °C.",
    asks="A colleague's log holds temperatures in kelvin. One line says {t_k} K. What is that in °C?",
    figures=(Draw("t_k", (297.8, 291.3, 300.4, 295.6, 301.2, 289.9, 270.7)),),
    answer=Number(
        lambda f: f.t_k - scales.ZERO_K, "temperature", "°C", 0.06,
        "A little more than half a tenth leaves room for rounding to a tenth.",
        own_unit=True, wrong=(
            Wrong("rounded-zero", lambda f: f.t_k - 273,
                  "The zero was rounded. 0 °C lies a little higher than at 273 K."),
            Wrong("added", lambda f: f.t_k + 273.15, "It was added. Which of the two scales begins lower?"),
            Wrong("fahrenheit", lambda f: (f.t_k - 273.15) * 1.8 + 32, "This is the figure in °F."),
    )),
    hints=("The degrees are alike; the zeros are not.", "How many kelvin are 0 °C? Two digits behind the point count."),
    solution=lambda f: f"{n(f.t_k)} − 273.15 = {n(round(f.t_k - 273.15, 2))} °C",
)


# Lines to complete

CUT = program(BENCH, "c", "integers", "divide_first")
WRAPS = program(BENCH, "c", "integers", "product16")
RIGHT = program(BENCH, "c", "integers")
COLD_CODE = 152  # near the lamp's limit

way_back = Line(
    "04-way-back",
    "Walk back from a code to a temperature.",
    "The converter gives code 152. What temperature, in °C, does the right loop work out?",
    Number(
        lambda f: BENCH.reading(COLD_CODE),
        "temperature", "°C", 0.05, "Half a tenth of a degree is far below a step.", wrong=(
            Wrong("lower-edge", lambda f: _bench_c(COLD_CODE * STEP_MV), "That is the lower edge of the step."),
            Wrong("upper-edge", lambda f: _bench_c((COLD_CODE + 1) * STEP_MV), "That is the upper edge of the step."),
            Wrong("forgot-offset", lambda f: (COLD_CODE + 0.5) * STEP_MV / 8,
                  "The output at 0 °C has not been taken away."),
        )),
    rail=("reading", 15, 21),
    then="Just above the lamp's limit.",
)

digits = Line(
    "04-digits",
    "Print as many digits as the steps support.",
    "One step is 0.610 °C. How many digits after the point show each change of code, and are no finer than needed?",
    Number(
        lambda f: decimals(BENCH.step_c(25.0)), "digits", "digits", 0.0, "A count is whole.", whole=True, wrong=(
            Wrong("none", lambda f: 0,
                  "Then some changes of code would not be seen, and others would be a whole degree."),
            Wrong("as-the-step", lambda f: 3, "So many has the step itself. How fine must a digit be to show it?"),
            Wrong("hundredths", lambda f: 2, "A hundredth of a degree is far finer than a step. What would it show?"),
        )),
    rail=("digits", -1, 6),
)

agree_jump = Line(
    "04-agree-jump",
    "Compare two readings with the step, and act.",
    "The display says 24.8 °C, a second later 25.4 °C. One step is 0.610 °C. What do you make of it?",
    Choice(
        options=(
            Option("nothing", "one step, do nothing",
                   "In still air the least noise carries the voltage over an edge. Nothing has happened."),
            Option("window", "warmer, open a window", "Air does not warm by 0.6 °C in a second. How much is one step?"),
            Option("print", "one step, print more",
                   "It is one step. But more digits make the same jump look like news."),
        ),
        right="nothing",
    ),
)

slash = Line(
    "04-slash",
    "Foresee what C makes of a quotient of two integers.",
    "C works out 5 / 1024 * (code + 0.5) from left to right. How many V does it get for code 163?",
    Number(
        lambda f: program(BENCH, "c", "float", "divide_first").values(163)["volts"],
        "voltage", "V", 0.0005, "Half a millivolt is a tenth of a step.", wrong=(
            Wrong("fraction-kept", lambda f: 163.5 * 5 / 1024,
                  "This keeps the fraction of 5 / 1024. Both numbers are integers."),
            Wrong("one-step", lambda f: 5 / 1024,
                  "This is one step, with its fraction. What is left of it as an integer?"),
        )),
    rail=("voltage", -0.2, 1),
    then="The same for every code: the board prints −75 °C in any air. A reading that never moves is a strong hint.",
)

divide_late = Line(
    "04-divide-late",
    "Multiply before you divide.",
    "All numbers are integers. How many mV are 163 × 5000 / 1024, with the product worked out first?",
    Number(
        lambda f: towards_zero(RIGHT.values(163)["product"], 1024), "voltage", "mV", 0.0, EXACT, whole=True, wrong=(
            Wrong("divided-first", lambda f: 5000 // 1024 * 163, "Here the division came first: 4 mV for each code."),
            Wrong("rounded", lambda f: 796, "It was rounded. An integer division drops the remainder."),
            Wrong("no-offset", lambda f: 163 * 5000 // 1024 - 600,
                  "Something was taken away. Only the quotient is asked for."),
        )),
    rail=("voltage", 600, 850),
    then="Divided first it would be 652 mV.",
)

sketch_claims = sketch(
    "04-sketch-claims",
    "Draw what a slip does over the whole range.",
    "A program takes each step for 4 mV, where it is 4.883 mV. What does it print at 0, 25, 50 and 75 °C? Reckon"
    " as if codes had fractions.",
    "°C", 1.0, "As good as the eye.",
    Sketch((0, 25, 50, 75), lambda at: _claim_c(at, CUT.values(1)["mv"]), ("air", "°C", 0, 75), ("printed", -40, 80)),
    wrong=(
        Wrong("always-the-same", lambda f, at: at + _claim_c(25, 4) - 25,
              "A part of each step is lost, so more is lost where there are more steps."),
        Wrong("unharmed", lambda f, at: at, "This would be a program without a slip."),
        Wrong("of-degrees", lambda f, at: at * 4 / STEP_MV,
              "The degrees were shrunk. It is the voltage that shrinks, and 0 °C has 600 mV."),
    ),
    then="Nowhere impossible: at 25 °C it looks like a cool morning.",
)

claim_slope = Line(
    "04-claim-slope",
    "Read the slope of a program's print.",
    "Look at your four numbers. By how many degrees does the print rise for each degree of air?",
    Number(
        lambda f: (_claim_c(75, 4) - _claim_c(0, 4)) / 75,
        "number", "", 0.03, "As good as a drawn curve.", wrong=(
            Wrong("height", lambda f: _claim_c(75, 4) / 75, "A height is no rise. Take the difference of two points."),
            Wrong("upside-down", lambda f: STEP_MV / 4, "That is air for each degree printed. Turn it round."),
            Wrong("one", lambda f: 1.0, "Then the error would be the same everywhere. Is it?"),
            Wrong("rise", lambda f: 61.5, "This is the whole rise. Over how many degrees of air?"),
        )),
    rail=("slope", 0, 1.5),
    then="That is 4 / 4.883, the part of each step that is left.",
)

fits_16 = Line(
    "04-fits",
    "Find how far 16 bits reach.",
    "Up to which code does code × 5000 fit in a signed integer of 16 bits?",
    code(lambda f: max(code for code in range(1024) if fits(code * 5000, bits=16)), wrong=(
        Wrong("one-too-many", lambda f: 7, "Work out its product, and compare with 32767."),
        Wrong("unsigned", lambda f: 13, "Half of the patterns stand for negative numbers."),
    )),
    rail=("code", 0, 16),
    then="The sensor gives codes from 81 to 303: not one of them fits.",
)

left_over = Line(
    "04-left-over",
    "Work out what is left of a product that does not fit.",
    "At code 152 the product is 760000. What is left of it in a signed integer of 16 bits, as machines commonly do it?",
    Number(
        lambda f: WRAPS.values(COLD_CODE)["product"], "number", "", 0.0, EXACT, whole=True, wrong=(
            Wrong("no-overflow", lambda f: 760000, "That is the whole product. Does it fit?"),
            Wrong("unsigned", lambda f: 760000 % 65536, "Not yet between −32768 and 32767: one more turn."),
            Wrong("saturated", lambda f: 32767, "Integers do not stop at their highest value: they wrap round."),
            Wrong("wrong-modulus", lambda f: 760000 % 32768, "A whole turn of the wheel is 65536."),
        )),
    rail=("what is left", -32768, 65536),
)

why_worse = Line(
    "04-why-worse",
    "Say which slip is the dangerous one.",
    "In air of 25 °C one slip prints −75.0 °C, another one 24.9 °C. Why is the second the more dangerous?",
    Choice(
        options=(
            Option("doubt", "nobody doubts what it prints",
                   "The first gives itself away at once. The second is found by reading the line, or never."),
            Option("larger", "its error is the larger one", "At 25 °C it is not even half a step."),
            Option("noise", "it comes and goes with noise", "A wrong line is wrong in every reading alike."),
        ),
        right="doubt",
    ),
)

same_code = Line(
    "04-same-code",
    "Compare two programs, and act.",
    "For the same code 163 program A prints 24.79 °C, program B, in integers, 24.7 °C. What do you do?",
    Choice(
        options=(
            Option("mend", "mend B: it cuts off",
                   "No uncertainty stands between them: the same code must give the same number, 24.8 °C to a tenth."),
            Option("both", "keep both: ±1.5 °C",
                   "The sensor's limits belong to the sensor. Both programs have the same code before them."),
            Option("mean", "take the mean of both", "The mean of a right number and a cut one is still too low."),
        ),
        right="mend",
    ),
)

half_mv = Line(
    "04-half-mv",
    "Divide integers to the nearest.",
    "760000 + 2500 are to be divided by 1024, to the nearest. How many mV is that?",
    Number(
        lambda f: RIGHT.values(COLD_CODE)["mv"], "voltage", "mV", 0.0, EXACT, whole=True, wrong=(
            Wrong("cut-off", lambda f: 762500 // 1024, "It was cut off. Add half the divisor first."),
            Wrong("lower-edge", lambda f: (760000 + 512) // 1024, "The half step is missing: 2500 belong to the sum."),
            Wrong("divided-first", lambda f: 4 * COLD_CODE, "Here the division came first."),
        )),
    rail=("voltage", 600, 800),
)

half_tenths = Line(
    "04-half-tenths",
    "Go from millivolts to tenths of a degree, with integers.",
    "Take the millivolts that you just found; the sensor gives 600 mV at 0 °C, and 8 mV for each degree. How many"
    " tenths of a degree is that, to the nearest?",
    Number(
        lambda f: RIGHT.values(COLD_CODE)["tenths_c"], "number", "", 0.0, EXACT, whole=True, wrong=(
            Wrong("whole-degrees", lambda f: 145 // 8, "These are whole degrees. Times 10 comes before the division."),
            Wrong("divided-first", lambda f: 145 // 8 * 10, "The division came before the product."),
            Wrong("forgot-offset", lambda f: nearest(7450, 8), "The 600 mV have not been taken away."),
        )),
    rail=("tenths", 0, 300),
    then="Printed with a point before the last digit: 18.1 °C, and not a fraction in the whole walk.",
)

limits_f = Line(
    "04-limits-f",
    "Change a span from °C to °F.",
    "The sensor's limits are ±1.5 °C. How many °F are they, to either side?",
    Number(
        lambda f: scales.celsius_span_to_fahrenheit(1.5), "temperature span", "°F", 0.05,
        "Half a tenth is room for rounding.", own_unit=True, wrong=(
            Wrong("added-32", lambda f: 34.7, "The 32 belongs to a temperature. Must no gap stay no gap?"),
            Wrong("divided", lambda f: 1.5 / 1.8, "A degree on the other scale is smaller, so there are more of them."),
        )),
    rail=("limits", 0, 40),
)

zero_k = Line(
    "04-zero-k",
    "See what a rounded zero costs.",
    "A program takes 273 from kelvin to get °C. By how many °C is each of its temperatures too high?",
    Number(
        lambda f: scales.ZERO_K - 273.0, "temperature span", "°C", 0.01, "A hundredth of a degree.", wrong=(
            Wrong("other-way", lambda f: -0.15, "Too little is taken away. Is what is left too high or too low?"),
            Wrong("nothing", lambda f: 0.0, "A span would not change. These are temperatures."),
            Wrong("in-fahrenheit", lambda f: 0.27, "This is the gap in °F."),
        )),
    rail=("too high", -0.3, 0.5),
    then="Too little to see beside these steps, and too much in a calibration.",
)

LINES = (
    way_back, digits, agree_jump, slash, divide_late, sketch_claims, claim_slope, fits_16, left_over, why_worse,
    same_code, half_mv, half_tenths, limits_f, zero_k,
)  # fmt: skip

PROBLEMS = (
    four_codes, wrong_walk, program_step, half_worked, five_lines, kelvin,
    digits_to_print, overflow, divide_first, nothing_left, half_divisor, believable, span_in_fahrenheit,
    reading_in_fahrenheit, code_to_degrees, swapped_constants,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "04-one-more-digit",
        "The display jumps between 24.8 °C and 25.4 °C. Its program gets one more digit after the point. What will the"
        " display show?",
        "Now move the temperature slowly through this range, and read in the table what the loop's t_c holds.",
        "Each code has one reading, and neighbours lie 0.610 °C apart: 24.79 and 25.40. The new digit only tells how"
        " the steps happen to fall. What lies between was dropped by the converter, and no program brings it back.",
        options=(
            Idea("The same jump, in hundredths", right=True),
            Idea("The true value in between",
                 refuted="Nothing between two codes ever reaches the program.",
                 source="Kok et al. 2019: more decimals are taken for more trust"),
            Idea("A smaller jump than before",
                 refuted="A digit changes how a reading is written, and not which readings there are.",
                 source="ours"),
        ),
        explorer="loop_walk", settings={"t_c": 25.0},
    ),
    Prediction(
        "04-sixteen-bits",
        "The air is at 25 °C (77 °F), and the code is 163. The program multiplies it by 5000 and keeps the product in"
        " an integer of 16 bits, which holds −32768 to 32767. But 163 × 5000 is 815000. What does the board print?",
        "Now choose integers in the picture, and then the product kept in 16 bits. Look at what the loop prints.",
        "It is neither stuck nor random: what is left of the product is 28568, and the rest of the sum goes on from"
        " there. In this chapter you work it out by hand.",
        number=Amount(
            lambda: program(scenario(), "c", "integers", "product16").reading_c(scenario().code(25.0)),
            "°C", 1, "temperature", near=2.0,
            wrong=(
                Wrong("unharmed", lambda: 24.8, "This is what the board prints where the product has room."),
        )),
        explorer="loop_walk", settings={"t_c": 25.0, "arithmetic": "integers", "change": "product16"},
        saw=lambda loop: loop.reading_c,
    ),
)
