"""Practice for chapter 03: the reference decides the reading; settling, and what the top code says."""

import math

from tempkit.chain import (
    Chain,
    Converter,
    Direct,
    LinearSensor,
    Reference,
    scenario,
    settling_error,
    settling_time_s,
)
from tempkit.exercises import (
    Choice,
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
    Wrong,
    cheapest,
    code,
    listed,
    sketch,
)
from tempkit.exercises import plain as n
from tempkit.problems.common import (
    BENCH_C,
    SENSOR_TEXT,
    WITH_OFFSET,
    chain,
    clear_of_edges,
    inside,
    millivolts,
    sensor,
    step_mv,
)

# The reference

TRUE_V = Draw("true_v", (4.75, 4.83, 5.25, 4.62, 4.91, 5.12))
LOW_REFERENCES = Draw("reference_v", (1.2, 2.5, 1.5, 2.048, 1.024))
ASSUMED = "The assumed supply was used. Which reference does the converter have before it?"
FORGOT = "The output at 0 °C has been left out: the whole voltage is stretched, not only the part above 0 °C."


def _seen_mv(f):
    """What the program believes to see [mV], steps left out."""
    return millivolts(f, f.t_c) * 5 / f.true_v


def _error_c(f):
    return (_seen_mv(f) - millivolts(f, f.t_c)) / f.slope_mv_per_c


supply_error = Problem(
    "03-supply-error", 3, "The supply is not what the program assumes",
    "Work out the reading error that a wrong assumed reference makes.",
    asks=SENSOR_TEXT + ", whatever its supply. The converter refers to the supply. The program assumes 5 V;"
                       " a meter shows {true_v} V. The air is at {t_c} °C. By how many degrees is the"
                       " reading off (reading minus true temperature)? Leave the steps of the converter out"
                       " of it.",
    figures=(TRUE_V, Draw("t_c", BENCH_C), WITH_OFFSET),
    answer=Number(
        lambda f: sensor(f).celsius(sensor(f).volts(f.t_c) * 5.0 / f.true_v) - f.t_c,
        "temperature span", "°C", 0.05,
        "The reading is told to a tenth of a degree: half of a tenth is room for rounding.",
        wrong=(
            Wrong("other-way", lambda f: millivolts(f, f.t_c) * (f.true_v / 5 - 1) / f.slope_mv_per_c,
                  "The ratio is upside down. With a lower true reference the same voltage gives a higher"
                  " code."),
            Wrong("forgot-offset", lambda f: f.t_c * (5 / f.true_v - 1), FORGOT),
            Wrong("difference", lambda f: (5 - f.true_v) * 1000 / f.slope_mv_per_c,
                  "The whole gap of the supply was taken for a sensor voltage. It stretches the scale in"
                  " proportion."),
            Wrong("reading", lambda f: (_seen_mv(f) - f.at_0c_mv) / f.slope_mv_per_c,
                  "This is the reading itself. The question asks how far it is from the true temperature."),
            Wrong("fahrenheit", lambda f: 1.8 * _error_c(f),
                  "This is the error in °F. Choose the unit, or leave out the change of scale."),
    )),
    hints=("The code is the voltage compared with the true reference; the program multiplies by the assumed"
           " one.",
           "So the program sees the sensor's voltage times assumed over true.",
           "Turn the gap between seen and real voltage into degrees with the slope."),
    solution=lambda f: (
        f"Sensor: {n(millivolts(f, f.t_c))} mV. Seen: {n(millivolts(f, f.t_c))} mV × 5 V ÷ {n(f.true_v)} V"
        f" = {n(_seen_mv(f))} mV\n"
        f"Error: ({n(_seen_mv(f))} mV − {n(millivolts(f, f.t_c))} mV) ÷ {n(f.slope_mv_per_c)} mV/°C"
        f" = {n(_error_c(f), 4)} °C"
    ),
)


def _middle_mv(f, reference_v, half=0.5):
    return (f.code + half) * 1000 * reference_v / 1024


def _corrected_c(f):
    return (_middle_mv(f, f.true_v) - f.at_0c_mv) / f.slope_mv_per_c


def _assumed_c(f):
    return (_middle_mv(f, 5) - f.at_0c_mv) / f.slope_mv_per_c


corrected_reading = Problem(
    "03-corrected-reading", 2, "A reading put right",
    "Use a measured supply to put a reading right.",
    asks=SENSOR_TEXT + ". A 10-bit converter refers to the supply and floors. It gives code {code}; a meter"
                       " shows that the supply is {true_v} V, not 5 V. What is the temperature? Use the"
                       " middle of the code's step.",
    figures=(Draw("code", (163, 158, 160, 166, 171, 178)), TRUE_V, WITH_OFFSET),
    answer=Number(
        lambda f: sensor(f).celsius(Converter(bits=10).volts(f.code, f.true_v)),
        "temperature", "°C", 0.05,
        "Half a tenth of a degree is far below one step and leaves room for rounding to a tenth.",
        wrong=(
            Wrong("assumed-supply", _assumed_c, ASSUMED),
            Wrong("other-way", lambda f: (_middle_mv(f, 25 / f.true_v) - f.at_0c_mv) / f.slope_mv_per_c,
                  "The correction went the wrong way. A step is worth less when the reference is lower."),
            Wrong("scaled-degrees", lambda f: _assumed_c(f) * f.true_v / 5,
                  "The degrees were scaled. It is the voltage that scales with the reference."),
            Wrong("lower-edge", lambda f: (_middle_mv(f, f.true_v, 0) - f.at_0c_mv) / f.slope_mv_per_c,
                  "This is the lower edge of the step. Its middle is the better guess of a converter that"
                  " floors."),
            Wrong("forgot-offset", lambda f: _middle_mv(f, f.true_v) / f.slope_mv_per_c,
                  "The output at 0 °C has not been taken away."),
    )),
    hints=("Turn the code back into a voltage with the reference that the converter really had.",
           "Middle of the step: code plus one half, times the size of the step.",
           "Then walk the sensor's line backwards."),
    solution=lambda f: (
        f"Volts: ({f.code} + 0.5) × {n(1000 * f.true_v)} mV ÷ 1024 = {n(_middle_mv(f, f.true_v))} mV\n"
        f"Temperature: ({n(_middle_mv(f, f.true_v))} mV − {n(f.at_0c_mv)} mV) ÷ {n(f.slope_mv_per_c)} mV/°C"
        f" = {n(_corrected_c(f))} °C"
    ),
)

low_reference_step = Problem(
    "03-low-reference-step", 3, "A finer step from a lower reference",
    "See what a lower reference does to the step in degrees.",
    asks="A board runs on 5 V. Its converter of {bits} bits is switched to the internal reference of"
         " {reference_v} V. What is one step worth with a sensor of {slope_mv_per_c} mV/°C?",
    figures=(LOW_REFERENCES, Draw("bits", (10, 12, 8)), WITH_OFFSET),
    answer=Number(
        lambda f: chain(f, f.reference_v, kind="fixed").step_c(25.0),
        "temperature span", "°C", 0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=2, wrong=(
            Wrong("supply", lambda f: 5000 / 2**f.bits / f.slope_mv_per_c,
                  "The supply was divided into steps. The converter no longer looks at the supply."),
            Wrong("step-in-mv", step_mv, "This is the step in millivolts. How many of them make a degree?"),
            Wrong("span-as-temperature", lambda f: (step_mv(f) - f.at_0c_mv) / f.slope_mv_per_c,
                  "The output at 0 °C was taken away. A step is a span, not a temperature."),
            Wrong("part-of-supply", lambda f: f.reference_v / 5 * step_mv(f) / f.slope_mv_per_c,
                  "The step was made smaller twice. The reference alone decides its size."),
    )),
    hints=("The codes are spread from 0 V to the reference in use.",
           "Find the step in millivolts, then divide it by the slope."),
    solution=lambda f: (
        f"One step: {n(1000 * f.reference_v)} mV ÷ {n(2**f.bits)} = {n(step_mv(f))} mV\n"
        f"In degrees: {n(step_mv(f))} mV ÷ {n(f.slope_mv_per_c)} mV/°C = {n(step_mv(f) / f.slope_mv_per_c)}"
        " °C"
    ),
)

highest_temperature = Problem(
    "03-highest-temperature", 2, "The highest temperature a reference can see",
    "Find where a low reference cuts the sensor off.",
    asks=SENSOR_TEXT + ", from {low_c} °C to {high_c} °C. The converter refers to {reference_v} V. At"
                       " which temperature does the sensor's output reach the reference, so that everything above gets"
                       " the highest code?",
    figures=(LOW_REFERENCES, Draw("bits", (10, 8)), WITH_OFFSET),
    sensible=lambda f: inside(f, (1000 * f.reference_v - f.at_0c_mv) / f.slope_mv_per_c),
    answer=Number(
        lambda f: chain(f, f.reference_v, kind="fixed").span_c()[1],
        "temperature", "°C", 0.1,
        "A tenth of a degree leaves room for rounding.",
        wrong=(
            Wrong("forgot-offset", lambda f: 1000 * f.reference_v / f.slope_mv_per_c,
                  "The output at 0 °C uses up a part of the reference already."),
            Wrong("supply", lambda f: (5000 - f.at_0c_mv) / f.slope_mv_per_c,
                  "5 V was used. Which voltage does the highest code stand for?"),
            Wrong("sensor-range", lambda f: f.high_c,
                  "This is the end of the sensor's range. The converter's range ends earlier."),
            Wrong("offset-added", lambda f: (1000 * f.reference_v + f.at_0c_mv) / f.slope_mv_per_c,
                  "The output at 0 °C was added. Undo the sensor's line: last step first."),
    )),
    hints=("How many millivolts are at the pin there?",
           "Walk the sensor's line backwards from the reference."),
    solution=lambda f: (
        f"({n(1000 * f.reference_v)} mV − {n(f.at_0c_mv)} mV) ÷ {n(f.slope_mv_per_c)} mV/°C"
        f" = {n((1000 * f.reference_v - f.at_0c_mv) / f.slope_mv_per_c)} °C"
    ),
)


def _ratiometric(f):
    return Chain(
        sensor=sensor(f),
        circuit=Direct(ratiometric_at_v=5.0),
        reference=Reference(nominal_v=5.0, true_v=f.true_v),
        converter=Converter(bits=10),
    )


def _steps_at_5v(f):
    return millivolts(f, f.t_c) * 1024 / 5000


ratiometric_code = Problem(
    "03-ratiometric-code", 2, "A sensor that follows its supply",
    "See what happens when sensor and converter follow the same supply.",
    asks=SENSOR_TEXT + ", both in proportion to its supply and specified at 5 V. Sensor and 10-bit"
                       " converter share the supply, which is {true_v} V now. The converter floors. Which"
                       " code does {t_c} °C give?",
    figures=(TRUE_V, Draw("t_c", BENCH_C), WITH_OFFSET),
    sensible=lambda f: clear_of_edges(_steps_at_5v(f)),
    answer=code(
        lambda f: _ratiometric(f).code(float(f.t_c)),
        wrong=(
            Wrong("sensor-fixed", lambda f: math.floor(_steps_at_5v(f) * 5 / f.true_v),
                  "Only the converter followed the supply. What does the sensor's output do?"),
            Wrong("converter-fixed", lambda f: math.floor(_steps_at_5v(f) * f.true_v / 5),
                  "Only the sensor followed the supply. What does the converter compare its output with?"),
            Wrong("rounded", lambda f: math.floor(_steps_at_5v(f) + 0.5),
                  "The count of steps was rounded. This converter drops the remainder."),
            Wrong("followed-twice", lambda f: math.floor(_steps_at_5v(f) * (f.true_v / 5) ** 2),
                  "The supply was counted twice. Write down both ratios: one of them is a division."),
    )),
    hints=("Write the sensor's voltage as a part of its supply.",
           "The converter measures parts of the same supply. What cancels?"),
    solution=lambda f: (
        f"The supply cancels. At 5 V: {n(millivolts(f, f.t_c))} mV × 1024 ÷ 5000 mV = {n(_steps_at_5v(f))}\n"
        f"Without the remainder: code = {n(math.floor(_steps_at_5v(f)))}"
    ),
)

headroom = Problem(
    "03-headroom", 2, "Headroom",
    "Find the room between the warmest signal and the reference.",
    asks=SENSOR_TEXT + ", from {low_c} °C to {high_c} °C. The converter refers to a supply that a program"
                       " takes for 5 V and a meter shows as {true_v} V. How much room is left between the"
                       " highest signal and the reference?",
    figures=(Draw("true_v", (4.75, 4.62, 4.68, 4.83, 4.91, 4.96, 5.04, 5.12, 5.25)),
             Draw("bits", (10,)), WITH_OFFSET),
    answer=Number(
        lambda f: chain(f, 5, true_v=f.true_v).headroom_v()[1],
        "voltage", "V", 0.005,
        "Five millivolts leave room for rounding to hundredths of a volt.",
        wrong=(
            Wrong("assumed-supply", lambda f: 5 - millivolts(f, f.high_c) / 1000, ASSUMED),
            Wrong("forgot-offset", lambda f: f.true_v - f.slope_mv_per_c * f.high_c / 1000,
                  "The output at 0 °C has been left out of the signal."),
            Wrong("lowest-signal", lambda f: f.true_v - millivolts(f, f.low_c) / 1000,
                  "This is the room above the lowest signal. Which temperature gives the highest?"),
            Wrong("the-signal", lambda f: millivolts(f, f.high_c) / 1000,
                  "This is the highest signal itself. How far is it from the reference?"),
    )),
    hints=("Find the sensor's output at the warmest end of its range.",
           "Compare it with the reference that the converter really has."),
    solution=lambda f: (
        f"Highest signal: {n(f.at_0c_mv)} mV + {n(f.slope_mv_per_c)} mV/°C × {n(f.high_c)} °C"
        f" = {n(millivolts(f, f.high_c) / 1000)} V\n"
        f"Room: {n(f.true_v)} V − {n(millivolts(f, f.high_c) / 1000)} V"
        f" = {n(f.true_v - millivolts(f, f.high_c) / 1000)} V"
    ),
)


# Settling of the reference and of the input; the top code

after_a_change = Problem(
    "03-after-a-change", 2, "The first conversion after a change",
    "Know what to do with the first conversion after the reference was changed.",
    asks="A program switches the converter from the supply to its internal reference and converts at once."
         " The first code is far from all later ones. What is the sound way to go on?",
    figures=(),
    answer=Choice(
        options=(
            Option("average", "Average it with the next readings, so that it hardly counts",
                   "An average still carries a part of a value known to be wrong."),
            Option("discard", "Wait as specified, convert once, and discard that code",
                   "The reference needs time to settle; what was converted meanwhile says nothing."),
            Option("calibrate", "Keep it, and take its error off in the program",
                   "The error depends on how far the reference has settled: it is not the same each time."),
            Option("alarm", "Let the alarm decide: it is a real change of temperature",
                   "Air does not change that fast. What changed at the same moment?"),
        ),
        right="discard",
    ),
    asks_how_sure=True,
    hints=("A reference is a voltage on a capacitor. What does a capacitor need after a change?",
           "A value known to be wrong helps nobody, not even in an average."),
    solution=lambda f: (
        "Wait the settling time of the specification, convert once, throw that code away, and use the next"
        " ones."
    ),
)


def _times_tau(f):
    return f.sample_us / (f.source_kohm * 1e-3 * f.hold_pf)


def _percent_left(f):
    return 100 * math.exp(-_times_tau(f))


settling_left = Problem(
    "03-settling-left", 2, "Not settled yet",
    "Say how much of a jump the sampling capacitor still misses.",
    asks="A converter samples for {sample_us} µs on a capacitor of {hold_pf} pF, behind a source of"
         " {source_kohm} kΩ. What part of a jump in voltage is still missing at the end?",
    figures=(Draw("sample_us", (1.2, 2, 3, 4)), Draw("hold_pf", (11, 8, 20)),
             Draw("source_kohm", (47, 100, 68, 33))),
    sensible=lambda f: 0.05 < _percent_left(f) < 40,
    answer=Number(
        lambda f: 100 * settling_error(f.sample_us * 1e-6, f.source_kohm * 1e3, f.hold_pf * 1e-12),
        "percent", "%", lambda f: 0.05 * _percent_left(f),
        "Two digits are asked for, and the capacitor is not known better than to a few percent.",
        digits=2, wrong=(
            Wrong("settled-part", lambda f: 100 - _percent_left(f),
                  "This is the part that has arrived. The question asks for what is missing."),
            Wrong("straight-line", lambda f: 100 / _times_tau(f),
                  "Settling is not a straight line: in each time constant the same part of the rest goes."),
            Wrong("halves", lambda f: 100 * 2 ** -_times_tau(f),
                  "In one time constant the rest does not fall to a half. Which number belongs there?"),
            Wrong("tens", lambda f: 100 * 10 ** -_times_tau(f),
                  "In one time constant the rest does not fall to a tenth. Which number belongs there?"),
    )),
    hints=("Resistance times capacitance is the time constant: kΩ times pF is ns.",
           "How many time constants fit into the sampling time?",
           "What is missing falls as exp(−t/RC)."),
    solution=lambda f: (
        f"RC: {n(f.source_kohm)} kΩ × {n(f.hold_pf)} pF = {n(f.source_kohm * f.hold_pf)} ns\n"
        f"t/RC: {n(1000 * f.sample_us)} ns ÷ {n(f.source_kohm * f.hold_pf)} ns = {n(_times_tau(f))}\n"
        f"Missing: exp(−{n(_times_tau(f))}) = {n(_percent_left(f), 4)} %"
    ),
)


def _largest_kohm(f, parts):
    return 1000 * f.sample_us / f.hold_pf / math.log(parts)


largest_source = Problem(
    "03-largest-source", 3, "The largest source",
    "Choose a source that settles to half a step in time.",
    asks="A converter of {bits} bits samples for {sample_us} µs on a capacitor of {hold_pf} pF. How large"
         " may the source be, so that a jump over the whole range settles to half a step?",
    figures=(Draw("bits", (10, 12, 8)), Draw("sample_us", (1.2, 1.6, 2, 3)), Draw("hold_pf", (11, 8, 20))),
    answer=Number(
        lambda f: 1e-3 * f.sample_us * 1e-6 / settling_time_s(1.0, f.hold_pf * 1e-12, f.bits),
        "resistance", "kΩ", lambda f: 0.01 * _largest_kohm(f, 2 ** (f.bits + 1)),
        "One part in a hundred is finer than the capacitor is known.",
        digits=3, wrong=(
            Wrong("whole-step", lambda f: _largest_kohm(f, 2**f.bits),
                  "This settles to a whole step. Half a step needs a little more time."),
            Wrong("decimal-logarithm", lambda f: _largest_kohm(f, 2 ** (f.bits + 1)) * math.log(10),
                  "The logarithm to base ten was used. Settling goes with powers of e."),
            Wrong("bits-as-count", lambda f: 1000 * f.sample_us / f.hold_pf / f.bits,
                  "The sampling time was divided by the bits. How many time constants does it take?"),
            Wrong("one-time-constant", lambda f: 1000 * f.sample_us / f.hold_pf,
                  "The source was chosen for one time constant: then more than a third is still missing."),
    )),
    hints=("Half a step is one part in 2^(N+1) of the whole range.",
           "How many time constants until exp(−t/RC) has fallen to that part? Use the natural logarithm.",
           "Divide the sampling time by that number and by the capacitance."),
    solution=lambda f: (
        f"Time constants: ln(2^{f.bits + 1}) = {n(math.log(2 ** (f.bits + 1)))}\n"
        f"Source: {n(f.sample_us)} µs ÷ {n(f.hold_pf)} pF ÷ {n(math.log(2 ** (f.bits + 1)))}"
        f" = {n(_largest_kohm(f, 2 ** (f.bits + 1)))} kΩ"
    ),
)

top_code = Problem(
    "03-top-code", 3, "The top code, again and again",
    "Know what the top code says, and what it does not.",
    asks="A converter of {bits} bits is set to an internal reference of {reference_v} V. A linear sensor hangs on it,"
         " 600 mV at 0 °C and 8 mV/°C. For an hour the log shows code {top} and nothing else. What does it say about"
         " the air?",
    figures=(Draw("bits top", ((10, 1023), (8, 255), (12, 4095))), Draw("reference_v", (1.2, 1.024, 0.9))),
    answer=Choice(
        options=(
            Option("steady", "That it has kept very still for an hour",
                   "Everything above the reference gets the same code. Would you see it move?"),
            Option("above", lambda f: f"Hardly anything: the pin has had nearly {n(f.reference_v)} V, or more",
                   "A converter at its end is saturated: the code is a bound, not a value."),
            Option("value", lambda f: f"That it has {n(_top_c(f))} °C, for that is what the code works out to",
                   "That is where the staircase ends. What code does a warmer sensor give?"),
            Option("broken", "That the converter is broken, for no converter gives its top code",
                   "It gives that code for every voltage which is too high, as it should."),
        ),
        right="above",
    ),
    hints=("What code does the converter give for a voltage well above its reference?",
           "One code stands for one step everywhere but at the top. For what does it stand there?"),
    solution=lambda f: (
        f"Code {f.top} means: {n(f.reference_v)} V less one step, or anything above. A lower reference makes finer"
        f" steps and ends sooner, here at {n(_top_c(f))} °C. The program has to call such a code saturated, not print a"
        " temperature."
    ),
)


def _top_c(f):
    return round((1000 * f.reference_v - 600) / 8, 1)


# A log to judge, a graph to read, a reference to choose, an error by head

CAUSES = ("low", "high", "surplus", "none")
LOW_V, HIGH_V, SURPLUS_MV = (4.7, 4.6), (5.4, 5.3), (50, 40)
RISE_C = (0, 11, 21, 31, 42)  # a tray that is warmed from the cold, on a thermometer beside the sensor


def _logged_chain(f):
    which = f.size - 1
    if CAUSES[f.cause - 1] == "surplus":
        line = LinearSensor(0.600 + SURPLUS_MV[which] / 1000, 0.008, range_c=(-25.0, 110.0))
        return Chain(line, reference=Reference(nominal_v=5.0), converter=Converter(bits=10))
    return scenario(true_v={"low": LOW_V[which], "high": HIGH_V[which], "none": 5.0}[CAUSES[f.cause - 1]])


def _logged(f):
    chain, program = _logged_chain(f), scenario()
    for t_c in (f.from_c + rise for rise in RISE_C):
        code = chain.code(float(t_c))
        yield f"thermometer {t_c:4.1f} °C   code {code}   reading {program.reading(code):.1f} °C"


five_lines = Problem(
    "03-five-lines", 1, "Five lines of a log",
    "Name the cause from five lines of a log.",
    asks="A bench, 600 mV at 0 °C and 8 mV/°C, has been moved. Its program believes in a reference of 5 V. Its tray is"
         " warmed slowly, with a good thermometer beside the sensor. Here are five lines of the log. What do they say?",
    figures=(Draw("cause", (3, 1, 2, 4)), Draw("size", (1, 2)), Draw("from_c", (2, 4, 7))),
    listing=lambda f: tuple(_logged(f)),
    answer=Choice(
        options=(
            Option("low", "The supply gives less than 5 V",
                   "The reading is too high, and more so where it is warm: a part of a growing voltage."),
            Option("high", "The supply gives more than 5 V",
                   "The reading is too low, and more so where it is warm: a part of a growing voltage."),
            Option("surplus", "The sensor gives a fixed surplus",
                   "The gap is the same everywhere but for half a step: an offset, not a scale."),
            Option("none", "Nothing: it reads as it should",
                   "No line is off by more than half a step, as a right bench is."),
        ),
        right=lambda f: CAUSES[f.cause - 1],
    ),
    asks_how_sure=True,
    hints=("Write reading minus thermometer beside each line. Half a step, 0.3 °C, means nothing.",
           "Does the gap grow from the first line to the last, or stay?"),
    solution=lambda f: _LOGGED_SAID[f.cause - 1],
)

_LOGGED_SAID = (
    "Too high everywhere, and more so in the last line: the scale is stretched, the supply gives less than 5 V.",
    "Too low everywhere, and more so in the last line: the scale is shrunk, the supply gives more than 5 V.",
    "Too high by the same in all lines, within half a step: the sensor gives a fixed surplus.",
    "No gap is larger than half a step: sensor and supply are as the program believes.",
)

GRAPH_C = range(0, 81, 10)


def _gap_c(f, at_c):
    return millivolts(f, at_c) * (5 / f.true_v - 1) / f.slope_mv_per_c


def _errors(f):
    errors_c = [_gap_c(f, at_c) for at_c in GRAPH_C]
    low, high = min(0, math.floor(errors_c[-1])), max(0, math.ceil(errors_c[-1]))
    return Graph(
        "Reading minus true temperature", Scale("air", "°C", (0, 80), 1), Scale("error", "°C", (low, high), 0.1),
        (Curve("error", tuple(zip(GRAPH_C, errors_c, strict=True))),),
    )


def _slope(f):
    return (_gap_c(f, 80) - _gap_c(f, 0)) / 80


error_graph = Problem(
    "03-error-graph", 1, "A supply read off its error",
    "Find the true supply from the slope of the error it makes.",
    asks="A converter refers to the supply, which the program takes for 5 V. The graph shows how far the readings of a"
         " linear sensor are off, without the steps. How high is the supply? You need no figure of the sensor.",
    figures=(Draw("true_v", (4.6, 5.3, 4.7, 5.4, 4.75, 5.25)), WITH_OFFSET),
    picture=_errors,
    answer=Number(
        lambda f: 5.0 / (1 + _slope(f)),
        "voltage", "V", 0.03, "An eye reads both ends to a fifth of a degree, of eighty: some twenty millivolts.",
        wrong=(
            Wrong("other-way", lambda f: 5 * (1 + _slope(f)),
                  "The ratio is upside down. Readings that rise too fast come from a lower supply."),
            Wrong("height", lambda f: 5 / (1 + _gap_c(f, 80) / 80),
                  "A height is no slope: the error does not begin at nothing. Take two points."),
            Wrong("slope-taken-away", lambda f: 5 - _gap_c(f, 80) + _gap_c(f, 0),
                  "A rise in degrees was taken from volts. Make a ratio of it first."),
    )),
    hints=("The reading rises by one degree and the slope of the error for each degree of air.",
           "By what ratio of supplies is the reading stretched?"),
    solution=lambda f: (
        f"Slope: ({n(_gap_c(f, 80), 3)} °C − ({n(_gap_c(f, 0), 3)} °C)) ÷ 80 °C is {n(_slope(f), 3)}.\n"
        f"The reading is stretched by {n(1 + _slope(f), 4)}:"
        f" 5 V ÷ {n(1 + _slope(f), 4)} = {n(5 / (1 + _slope(f)), 3)} V"
    ),
)

# Invented: reference [V], limits [%].
OFFERS = {"a": (5.0, 5), "b": (2.6, 0.5), "c": (1.2, 8), "d": (2.1, 0.1), "e": (1.3, 1)}


def _price_of(f, key):
    return getattr(f, f"price_{key}")


def _lacks(f, key):
    reference_v, limit = OFFERS[key]
    if (1000 * reference_v - 600) / 8 < f.top_c:
        return "The sensor's voltage passes it before the warmest air. From there on every code is the top code."
    return "" if limit / 100 * 800 / 8 <= f.limit_c else "Its limits cost more degrees than are allowed."


def _meets(f):
    return [key for key in OFFERS if not _lacks(f, key)]


cheapest_reference = Problem(
    "03-cheapest-reference", 1, "The cheapest reference that will do",
    "Choose the cheapest reference that meets what is wanted.",
    asks="The bench's sensor gives 600 mV at 0 °C and 8 mV/°C. Wanted: at 25 °C a wrong reference may cost {limit_c} °C"
         " at most, and air of {top_c} °C must be read. The list is invented. Which is the cheapest that meets both?",
    figures=(
        Draw("limit_c top_c", ((1, 70), (1, 100), (6, 100), (0.6, 60), (2, 80))),
        Draw("price_a price_b price_c price_d price_e", (
            (0.4, 2.4, 0.3, 2.9, 1.7), (0.5, 1.6, 0.2, 1.3, 2.1), (0.6, 1.9, 0.4, 3.5, 2.3), (1.8, 1.5, 0.9, 2.2, 1.2),
        )),
    ),
    listing=lambda f: listed(("reference", "volts", "limits", "price"), tuple(
        (key.upper(), f"{n(volts)} V", f"±{n(limit)} %", n(_price_of(f, key)))
        for key, (volts, limit) in OFFERS.items())),
    answer=cheapest(tuple((key, f"Reference {key.upper()}") for key in OFFERS), _price_of, _lacks),
    hints=("At 25 °C there are 800 mV. How many degrees is one per cent of them?",
           "What does the sensor give in the warmest air? Strike out every reference below that."),
    solution=lambda f: (
        "At 25 °C one per cent is 8 mV, one degree. These meet both:"
        f" {', '.join(key.upper() for key in _meets(f))}. The cheapest of them is"
        f" {min(_meets(f), key=lambda key: _price_of(f, key)).upper()}, at"
        f" {n(min(_price_of(f, key) for key in _meets(f)))}."
    ),
)

per_cent_by_head = Problem(
    "03-per-cent-by-head", 1, "Per cent by head",
    "Estimate what a supply that is too low costs.",
    asks="The bench's sensor gives 600 mV at 0 °C and 8 mV/°C. The supply is {percent} % below what the program"
         " believes. Without a calculator: by about how many degrees does air of {t_c} °C read too warm?",
    figures=(Draw("percent", (4, 6, 3, 8)), Draw("t_c", (20, 30, 10))),
    answer=Number(
        lambda f: scenario().sensor.celsius(_bench_v(f) * 100 / (100 - f.percent)) - f.t_c,
        "temperature span", "°C", 0.0, "A factor of one and a half is enough to know whether it matters.",
        within_factor=1.5,
        wrong=(
            Wrong("of-degrees", lambda f: f.t_c * f.percent / 100,
                  "It is a part of the voltage, and there are 600 mV at 0 °C already."),
            Wrong("of-supply", lambda f: 50 * f.percent / 8,
                  "That is a part of the supply. The reading is off by that part of the sensor's voltage."),
    )),
    hints=("About how many millivolts does the sensor give? Round.", "That many per cent of them, divided by 8 mV."),
    solution=lambda f: (
        f"About {n(_about_mv(f))} mV; {f.percent} % of that is {n(_about_mv(f) * f.percent / 100)} mV.\n"
        f"÷ 8 mV/°C = {n(_about_mv(f) * f.percent / 800, 2)} °C"
    ),
)


def _bench_v(f):
    return scenario().sensor.volts(float(f.t_c))


def _about_mv(f):
    return round(10 * _bench_v(f)) * 100


# Lines to complete: the bench on a supply of 4.75 V, its program at 5 V

INNER = scenario(nominal_v=1.2, kind="fixed")
NEW_SOCKET = scenario(true_v=4.75)
MEASURED_V = 4.90


def _bench_c(steps, reference_v):
    """A count of steps of the bench's converter as the sensor's temperature [degC], by bare arithmetic."""
    return (steps * 1000 * reference_v / 1024 - 600) / 8


type_code = Line(
    "03-type-code",
    "Work out the code that a lower supply gives.",
    "The air is at 25 °C and the sensor gives 0.800 V. The supply, which is the reference, is 4.75 V. The converter has"
    " 10 bits and floors. Which code does it give?",
    code(lambda f: NEW_SOCKET.code(25.0), wrong=(
        Wrong("assumed-supply", lambda f: math.floor(800 / (5000 / 1024)), ASSUMED),
        Wrong("other-way", lambda f: math.floor(800 / (5000 / 1024) * 4.75 / 5),
              "The ratio is upside down. A lower reference makes smaller steps: do more or fewer of them fit?"),
        Wrong("forgot-offset", lambda f: math.floor(200 / (4750 / 1024)), FORGOT),
    )),
    rail=("code", 0, 1024),
    then="The same 0.800 V gave 163 before.",
)

type_volts = Line(
    "03-type-volts",
    "Say which voltage the program believes in.",
    "Take the code that you just found. The program takes the reference for 5 V, and each code for the middle of its"
    " step. What voltage, in V, does it believe in?",
    Number(
        lambda f: NEW_SOCKET.converter.volts(172, NEW_SOCKET.reference.nominal_v),
        "voltage", "V", 0.0005, "Half a millivolt is a tenth of a step.", digits=3, wrong=(
            Wrong("true-supply", lambda f: 0.8,
                  "This is what the pin really has. The program does not know the true supply."),
            Wrong("lower-edge", lambda f: 172 * 5 / 1024,
                  "This is the lower edge of the step. Where is its middle?"),
            Wrong("upper-edge", lambda f: 173 * 5 / 1024,
                  "This is the upper edge of the step. Where is its middle?"),
        )),
    rail=("voltage", 0.7, 1.0),
    then="The sensor gives 0.800 V.",
)

half_worked = Line(
    "03-half-worked",
    "Put a reading right with a measured supply.",
    "The display says 24.8 °C, which is code 163; a meter on the supply says 4.90 V. The program believes in 5 V. How"
    " warm is it? Take the middle of the step.",
    Number(
        lambda f: NEW_SOCKET.sensor.celsius(NEW_SOCKET.converter.volts(163, MEASURED_V)),
        "temperature", "°C", 0.05, "Half a tenth of a degree is far below one step.", wrong=(
            Wrong("assumed-supply", lambda f: _bench_c(163.5, 5), ASSUMED),
            Wrong("other-way", lambda f: _bench_c(163.5, 25 / MEASURED_V),
                  "The correction went the wrong way. A step is worth less when the reference is lower."),
            Wrong("scaled-degrees", lambda f: _bench_c(163.5, 5) * MEASURED_V / 5,
                  "The degrees were scaled. It is the voltage that scales with the reference."),
            Wrong("lower-edge", lambda f: _bench_c(163, MEASURED_V),
                  "This is the lower edge of the step. Its middle is the better guess."),
            Wrong("forgot-offset", lambda f: 163.5 * 1000 * MEASURED_V / 1024 / 8,
                  "The output at 0 °C has not been taken away."),
        )),
    rail=("temperature", 15, 35),
)

innocent = Line(
    "03-innocent",
    "Tell which part of the chain a lower supply touches.",
    "The supply falls from 5 V to 4.75 V, the air stays at 25 °C. Does the sensor's voltage change?",
    Choice(
        options=(
            Option("yes", "yes", "The sensor makes its voltage from the temperature. What else uses the supply?"),
            Option("no", "no", "The sensor is innocent: only what its voltage is compared with has changed."),
        ),
        right="no",
    ),
)

type_reading = Line(
    "03-type-reading",
    "Say what a board with a wrong reference prints.",
    "The program takes that voltage for the sensor's: 0.600 V at 0 °C and 0.008 V more for each degree. What"
    " temperature, in °C, does it print?",
    Number(
        lambda f: NEW_SOCKET.reading(172),
        "temperature", "°C", 0.1, "A tenth of a degree leaves room for a rounded voltage.", wrong=(
            Wrong("forgot-offset", lambda f: 842 / 8,
                  "The 0.600 V that stand there at 0 °C have not been taken away."),
            Wrong("true-temperature", lambda f: 25.0, "That is the air. The program does not know it."),
            Wrong("stretched-degrees", lambda f: 25 * 5 / 4.75,
                  "The degrees were stretched. It is the voltage that is stretched."),
        )),
    rail=("reading", -25, 110),
    then="More than five degrees off, and nothing is broken.",
)


def _off_c(at_c, true_v=4.75):
    """Reading minus true temperature with this supply, steps left out [degC]."""
    return NEW_SOCKET.sensor.celsius(NEW_SOCKET.sensor.volts(at_c) * 5.0 / true_v) - at_c


sketch_error = sketch(
    "03-sketch-error",
    "Draw how an error of the reference runs over temperature.",
    "The supply is 4.75 V, the program believes 5 V. By how many degrees is the reading too high at 0, 25, 50 and"
    " 75 °C? Leave the steps out.",
    "°C", 0.6, "As good as the eye.",
    Sketch((0, 25, 50, 75), _off_c, ("air", "°C", 0, 75), ("error", -2, 12)),
    wrong=(
        Wrong("always-the-same", lambda f, at: 0 * at + _off_c(25.0),
              "A fixed part of a growing voltage grows with it."),
        Wrong("in-proportion", lambda f, at: at * (5 / 4.75 - 1),
              "Proportional to the temperature it would vanish at 0 °C. How many volts are there at 0 °C?"),
        Wrong("readings", lambda f, at: at + _off_c(at), "These are readings. Take the true temperature away."),
        Wrong("other-way", lambda f, at: _off_c(at, 25 / 4.75),
              "Smaller steps are more steps. Does the program print more degrees, or fewer?"),
    ),
    quantity="temperature span",
)

error_slope = Line(
    "03-error-slope",
    "Read the slope of an error.",
    "Look at your four numbers. By how many degrees does the error grow for each degree of air?",
    Number(
        lambda f: (_off_c(75.0) - _off_c(0.0)) / 75,
        "number", "", 0.002, "As good as a drawn curve.", wrong=(
            Wrong("in-per-cent", lambda f: 100 * (5 / 4.75 - 1), "This is in per cent. Give it as a plain number."),
            Wrong("height", lambda f: _off_c(75.0) / 75,
                  "This is the height at 75 °C over 75 °C. The slope is the rise over 75 °C."),
            Wrong("start", lambda f: _off_c(0.0) / 25, "A height is no rise. Take the difference of two points."),
            Wrong("rise", lambda f: 75 * (5 / 4.75 - 1), "This is the whole rise. Over how many degrees of air?"),
        )),
    rail=("slope", 0, 0.2),
    then="That is 5 / 4.75 minus 1: the 5.3 per cent of the voltage.",
)

agree_supply = Line(
    "03-agree-supply",
    "Compare two results with their uncertainty, and act.",
    "The label on a supply says 5.00 V ± 0.25 V, your meter says 4.92 V ± 0.05 V. Do they agree, and what do you do?",
    Choice(
        options=(
            Option("keep", "agree, keep 5.00 V",
                   "They agree, but the meter knows five times more about this supply on this day."),
            Option("use", "agree, use 4.92 V",
                   "0.08 V apart, 0.25 V allowed: nothing is broken. Compute with the narrower one."),
            Option("replace", "disagree, replace it",
                   "They are 0.08 V apart. Both uncertainties together are the root of 0.25² + 0.05²."),
        ),
        right="use",
    ),
)

inner_step = Line(
    "03-inner-step",
    "See what a lower reference gains.",
    "The reference is the board's inner one, 1.2 V, and the converter has 10 bits. What is one step worth in °C?",
    Number(
        lambda f: INNER.step_c(25.0),
        "temperature span", "°C", 0, "Two digits.", digits=2, wrong=(
            Wrong("supply", lambda f: 5000 / 1024 / 8, "The converter no longer looks at the 5 V."),
            Wrong("step-in-mv", lambda f: 1200 / 1024, "This is the step in millivolts. How many make a degree?"),
            Wrong("multiplied", lambda f: 1200 / 1024 * 8, "The slope says millivolts for each degree: divide by it."),
        )),
    rail=("one step", 0, 1.3),
    then="A quarter of the step that 5 V made.",
)

inner_top = Line(
    "03-inner-top",
    "See what a lower reference loses.",
    "The reference is 1.2 V. Above which temperature, in °C, is every code the top code?",
    Number(
        lambda f: INNER.span_c()[1],
        "temperature", "°C", 0.3, "Two steps.", wrong=(
            Wrong("forgot-offset", lambda f: 1200 / 8, "0.600 V of the 1.2 V are used up at 0 °C already."),
            Wrong("sensor-range", lambda f: 110.0, "This is where the sensor ends. The converter ends earlier."),
            Wrong("offset-added", lambda f: 1800 / 8, "The 0.600 V were added. Undo the line: take them away first."),
        )),
    rail=("air", -25, 160),
    then="On a bench for seedlings that loses nothing: the air never comes near it.",
)

agree_boards = Line(
    "03-agree-boards",
    "Compare two results of very different worth, and act.",
    "In the same air one board reads 25.0 °C ± 1.8 °C, a second 30.8 °C ± 9 °C. Do they agree, and what do you do?",
    Choice(
        options=(
            Option("first", "agree, trust the first",
                   "5.8 °C apart, 9.2 °C allowed. The second board says little until its reference is measured once."),
            Option("mean", "agree, take the mean",
                   "They agree, but a plain mean lets the vague one pull the good one off."),
            Option("broken", "disagree, one is broken",
                   "They are 5.8 °C apart. Both ± together are the root of 1.8² + 9²."),
        ),
        right="first",
    ),
)

half_volts = Line(
    "03-half-volts",
    "Turn a code back into the true voltage.",
    "The converter gave code 163 with a true supply of 4.90 V. What voltage, in V, is in the middle of that step?",
    Number(
        lambda f: NEW_SOCKET.converter.volts(163, MEASURED_V),
        "voltage", "V", 0.0005, "Half a millivolt is a tenth of a step.", digits=3, wrong=(
            Wrong("assumed-supply", lambda f: 163.5 * 5 / 1024, ASSUMED),
            Wrong("other-way", lambda f: 163.5 * 25 / 4.9 / 1024, "Smaller steps make a lower voltage."),
            Wrong("lower-edge", lambda f: 163 * 4.9 / 1024,
                  "This is the lower edge of the step. Where is its middle?"),
        )),
    rail=("voltage", 0.7, 0.9),
)

LINES = (
    innocent, type_code, type_volts, type_reading, sketch_error, error_slope, agree_supply, inner_step, inner_top,
    agree_boards, half_volts, half_worked,
)  # fmt: skip

PROBLEMS = (
    corrected_reading, five_lines, error_graph, per_cent_by_head, cheapest_reference, headroom,
    supply_error, low_reference_step, highest_temperature, ratiometric_code, after_a_change, settling_left,
    largest_source, top_code,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "03-new-socket",
        "The board was moved to another USB socket. Nobody touched sensor, board or program. Since then it reads 27 °C"
        " where a thermometer shows 22 °C. What changed with the socket?",
        "Now move the true reference in the picture below, and watch which rails move with it.",
        "The converter counts how many steps of its reference fit into the sensor's voltage. The new socket gives less"
        " than 5 V, so the steps are smaller and more of them fit. The program takes each for a step of 5 V.",
        options=(
            Idea("The converter compares with less", right=True),
            Idea("The sensor gives out more volts",
                 refuted="This sensor's output does not follow its supply: a meter finds the same voltage as before.",
                 source="ours"),
            Idea("The program has a new fault now",
                 refuted="Nobody touched it, and it does the same sum with the code as before. It is the code that"
                         " differs.",
                 source="ours"),
        ),
        looks=("The code moved, the voltage did not", "The voltage moved, and the code too", "Only the reading moved"),
        explorer="reference", settings={"t_c": 10.0, "true_v": 4.6},
    ),
)
