"""Practice for chapter 04: from codes back to degrees, in floating point and in integers."""


from tempkit import scales
from tempkit.homework.chapter04_integers import INTEGERS
from tempkit.homework.parts import SENSOR_TEXT, WITH_OFFSET, chain
from tempkit.homework.problem import Choice, Column, Draw, Number, Option, Problem, Table, Wrong
from tempkit.homework.problem import plain as n

CODES = Draw("code", (153, 139, 144, 148, 157, 162, 170))
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
    "04-code-to-degrees", 2, "From a code to degrees",
    "Walk back from a code to a temperature.",
    text=lambda f: code_to_degrees.say(CODE_TEXT, f)
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
    text="The program has worked out {t_c} °C. What does it print in °F?",
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
    text="An alarm that called above the limit goes quiet once the air is {span_c} °C below it. How large"
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
    "04-digits-to-print", 1, "How many digits to print",
    "Print as many digits as the reading can stand for.",
    text="One step is worth {step_c} °C and the sensor's limits are ±{accuracy_c} °C. The program holds"
         " 24.951171875. What should it print for a person at the bench?",
    figures=(Draw("step_c", (0.49, 0.32, 0.64)), Draw("accuracy_c", (2, 1.5, 1))),
    answer=Choice(
        options=(
            Option("all", "24.951171875 °C: no digit that was worked out may be lost",
                   "Most of these digits come from the arithmetic, not from the air."),
            Option("hundredths", "24.95 °C: two digits behind the point look precise",
                   "A hundredth is far less than one step: these digits can only jump."),
            Option("tens", "20 °C: the last digit is not sure, so leave it out",
                   "This throws away what the sensor can tell. How large are its limits?"),
            Option("tenths", "25.0 °C, with the limits said beside it",
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
        f" The reading is printed as 25.0 °C, with ±{n(f.accuracy_c)} °C said beside it."
    ),
)

swapped_constants = Problem(
    "04-swapped-constants", 1, "Two constants swapped",
    "Foresee what a program prints whose two constants are swapped.",
    text="The line should be t = (v − 0.5) ÷ 0.01, with v in volts. Somebody wrote t = (v − 0.01) ÷ 0.5."
         " The sensor gives {v_mv} mV. Which number does the program print as the temperature?",
    figures=(Draw("v_mv", (750, 674, 682, 693, 705, 712, 720, 728, 735, 761, 768, 779, 790)),),
    answer=Number(
        lambda f: (f.v_mv / 1000 - 0.01) / 0.5, "number", "", 0.01,
        "A hundredth leaves room for rounding.",
        wrong=(
            Wrong("right-line", lambda f: (f.v_mv - 500) / 10,
                  "This is what the right line gives. Follow the line as it was written."),
            Wrong("millivolts", lambda f: (f.v_mv - 0.01) / 0.5,
                  "The line wants volts; millivolts were put in."),
            Wrong("no-brackets", lambda f: f.v_mv / 1000 - 0.01 / 0.5,
                  "The brackets were passed over: the difference comes first."),
            Wrong("multiplied", lambda f: (f.v_mv / 1000 - 0.01) * 0.5,
                  "It was multiplied by the last number. The line divides."),
    )),
    hints=("Do what the program does, not what it should do.",
           "Millivolts to volts first, then the brackets, then the division."),
    solution=lambda f: (
        f"v = {n(f.v_mv / 1000)} V; ({n(f.v_mv / 1000)} − 0.01) ÷ 0.5 = {n((f.v_mv - 10) / 500)}\n"
        "Such a value is a likely reading for a cold day: only a second thermometer shows the slip."
    ),
)


def _four(f, cell):
    return tuple(cell(f.first + k * f.apart) for k in range(4))


def _four_answers(f, bench):
    return _four(f, lambda code: (1000 * bench.converter.volts(code, f.reference_v), bench.reading(code)))


four_codes = Problem(
    "04-four-codes", 1, "Four codes of a log",
    "Turn a short log of codes into volts and degrees.",
    text=lambda f: f"A log holds the codes {', '.join(str(f.first + k * f.apart) for k in range(4))}."
    f" {four_codes.say(SENSOR_TEXT, f)}; the {f.bits}-bit converter refers to {n(f.reference_v)} V and"
    " floors. Give the middle of each step in millivolts, and the reading.",
    figures=(
        Draw("first apart", ((139, 9), (145, 4), (150, 7), (148, 3), (141, 6), (152, 5))),
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

PROBLEMS = (
    code_to_degrees,
    reading_in_fahrenheit,
    span_in_fahrenheit,
    digits_to_print,
    swapped_constants,
    four_codes,
    *INTEGERS,
)
