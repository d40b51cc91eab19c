"""Practice for chapter 05: from a line of a specification to a standard uncertainty, and from many to one."""

from math import sqrt

from tempkit.budget import Input, coverage_factor, propagate
from tempkit.homework.chapter05_budget import BUDGET
from tempkit.homework.chapter05_trials import TRIALS
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.noise import quantisation_noise

HALF_UNIT = "Half a unit of the last digit asked for is the room for rounding."
HUNDREDTH = "A hundredth of a degree is told: half of it is the room for rounding."

kinds_of_lines = Problem(
    "05-kinds-of-lines", 1, "Which lines are limits?",
    "Tell limits from standard and expanded uncertainties.",
    text="Below are lines from papers about the bench. Which of them are limits with every value between alike, so"
         " that half of their width is divided by √3? Choose all.",
    figures=(),
    answer=Choice(
        options=(
            Option("accuracy", "Sensor: accuracy ±2 °C, maximum",
                   "“Maximum” says that it lies within, and nothing says where: a rectangle."),
            Option("certificate", "Thermometer: U = 0.2 °C, k = 2",
                   "This is an expanded uncertainty. Which number on the line takes it back to a standard one?"),
            Option("noise", "Sixteen readings of a still bath: standard deviation 0.24 °C",
                   "This is a standard deviation already. What does the mean of sixteen make of it?"),
            Option("supply", "Supply: 5 V, within ±5 %",
                   "A window with no word about its inside: a rectangle."),
            Option("stirred", "Bath: within ±0.1 °C of the thermometer, mostly near the middle",
                   "Limits, but the middle is likelier than the ends. Which shape says so?"),
            Option("step", "Converter: a step is 0.488 °C; the truth lies anywhere within it",
                   "Every place within the step is alike: a rectangle, half a step to each side."),
        ),
        right=("accuracy", "supply", "step"),
        several=True,
    ),
    hints=("Ask of each line: is it a border that is not crossed, or a measure of spread?",
           "Of the borders, which say nothing about what lies between?"),
    solution=lambda f: "The accuracy, the supply and the step are rectangles: half-width over √3. The certificate is"
                       " divided by its k, the standard deviation by √16; the stirred bath is better told by a"
                       " triangle: half-width over √6.",
)

rectangle = Problem(
    "05-rectangle", 2, "Limits into a standard uncertainty",
    "Turn the limits of a specification into a standard uncertainty.",
    text="A sensor's specification says: accuracy ±{limit_c} °C, maximum. Nothing is said about which values between"
         " are likelier. What is the standard uncertainty?",
    figures=(Draw("limit_c", (2, 1, 0.5, 1.5, 3, 4, 0.25)),),
    answer=Number(
        lambda f: Input(0.0, half_width=f.limit_c, shape="rectangular").standard,
        "temperature span", "°C", 0.005, HUNDREDTH,
        wrong=(
            Wrong("half-width", lambda f: f.limit_c,
                  "The half-width was taken as it stands. A standard uncertainty is smaller than the limits: most"
                  " values do not lie at their ends."),
            Wrong("no-root", lambda f: f.limit_c / 3,
                  "The half-width was divided by the number itself. It is the square that is divided by it."),
            Wrong("triangle", lambda f: f.limit_c / sqrt(6),
                  "That is the divisor of a triangle, for values that are likelier in the middle. Is that said here?"),
            Wrong("halved", lambda f: f.limit_c / 2,
                  "The limits were halved, as if they were an expanded uncertainty with a factor of two."),
            Wrong("halved-and-root", lambda f: f.limit_c / 2 / sqrt(3),
                  "The limits were halved first. What stands behind ± is a half-width already."),
    )),
    hints=("All values between the limits are alike: which shape is that?",
           "The variance of a rectangle is the square of its half-width, divided by three."),
    solution=lambda f: f"u = {n(f.limit_c)} °C ÷ √3 = {n(f.limit_c / sqrt(3), 4)} °C",
)

STEPS = (Draw("bits", (10, 12, 8)), Draw("reference_v", (5, 3.3, 2.5)), Draw("slope_mv_per_c", (10, 19.5)))


def _step_mv(f):
    return 1000 * f.reference_v / 2**f.bits


def _step_c(f):
    return _step_mv(f) / f.slope_mv_per_c


step = Problem(
    "05-step", 2, "What the steps alone leave open",
    "Find the standard uncertainty of quantisation in degrees.",
    text="A converter of {bits} bits over {reference_v} V reads a sensor of {slope_mv_per_c} mV/°C once, without"
         " noise, and the program takes the middle of the step. Which standard uncertainty do the steps alone leave"
         " in the reading?",
    figures=STEPS,
    answer=Number(
        lambda f: quantisation_noise(_step_c(f)), "temperature span", "°C",
        0, HALF_UNIT,
        digits=2, wrong=(
            Wrong("halved-twice", lambda f: _step_c(f) / 4 / sqrt(3),
                  "It was halved twice. Half a step to each side is the half-width; it is not halved again."),
            Wrong("whole-step", lambda f: _step_c(f) / sqrt(3),
                  "The whole step was taken for the half-width. How far from the middle can the truth lie?"),
            Wrong("half-width", lambda f: _step_c(f) / 2,
                  "This is the largest error. As a rectangle's half-width it still has to be divided."),
            Wrong("in-volts", lambda f: _step_mv(f) / sqrt(12),
                  "This is in millivolts. The sensor's slope makes degrees of them."),
            Wrong("triangle", lambda f: _step_c(f) / 2 / sqrt(6),
                  "A triangle's divisor was used. Every place within the step is alike."),
    )),
    hints=("Step in millivolts, step in degrees, half of it to each side.",
           "A rectangle: its half-width over √3. For a whole step that is the same as over √12."),
    solution=lambda f: (
        f"Step: {n(f.reference_v)} V ÷ {2**f.bits} = {n(_step_mv(f), 5)} mV,"
        f" ÷ {n(f.slope_mv_per_c)} mV/°C = {n(_step_c(f), 5)} °C\n"
        f"u = {n(_step_c(f), 5)} °C ÷ 2 ÷ √3 = {n(_step_c(f) / sqrt(12), 4)} °C"
    ),
)


def _signal_mv(f):
    return 500 + 10 * f.t_c


def _reference_c(f):
    """Half-width [degC]: the reading follows the signal over the reference."""
    return _signal_mv(f) * f.percent / 100 / 10


def _reference_u(f):
    reference = Input(1.0, half_width=f.percent / 100, shape="rectangular")
    return propagate(lambda r: (_signal_mv(f) / r - 500) / 10, [reference]).standard


reference = Problem(
    "05-reference-share", 2, "Five per cent of what?",
    "Carry a relative tolerance of the reference to the reading.",
    text="The reference is within ±{percent} % of what the program assumes, all values alike. The sensor gives 500 mV"
         " at 0 °C and 10 mV more for each degree; the air is at {t_c} °C. Which standard uncertainty, in degrees,"
         " does the reference bring into the reading?",
    figures=(Draw("percent", (5, 3, 2, 10, 1)), Draw("t_c", (25, 18, 27, 40))),
    answer=Number(
        _reference_u, "temperature span", "°C", 0.005, HUNDREDTH,
        wrong=(
            Wrong("percent-of-reading", lambda f: f.percent / 100 * f.t_c / sqrt(3),
                  "The percentage was taken of the temperature. The reference scales the voltage: of what is it part?"),
            Wrong("percent-as-degrees", lambda f: f.percent / sqrt(3),
                  "Per cent were taken for degrees. A relative figure needs something that it is relative to."),
            Wrong("half-width", _reference_c,
                  "The limits were carried rightly, and then taken for a standard uncertainty."),
            Wrong("in-millivolts", lambda f: _signal_mv(f) * f.percent / 100 / sqrt(3),
                  "This is in millivolts. The sensitivity, a degree for each 10 mV, is missing."),
            Wrong("of-full-scale", lambda f: 5000 * f.percent / 100 / 10 / sqrt(3),
                  "The percentage was taken of 5 V. What part of the reference does the signal use?"),
    )),
    hints=("A reference too low by a per cent makes the measured voltage too high by a per cent.",
           "Per cent of the sensor's voltage here, then over the slope, then the rectangle's divisor."),
    solution=lambda f: (
        f"Signal: 500 mV + 10 mV/°C × {n(f.t_c)} °C = {n(_signal_mv(f))} mV\n"
        f"Limits: {n(f.percent)} % of it = {n(_signal_mv(f) * f.percent / 100)} mV"
        f" = {n(_reference_c(f))} °C\n"
        f"u = {n(_reference_c(f))} °C ÷ √3 = {n(_reference_c(f) / sqrt(3), 4)} °C"
    ),
)

THREE_PARTS = (Draw("sensor_c", (1.15, 0.58, 0.87)), Draw("reference_c", (2.17, 1.3, 0.43)),
               Draw("offset_c", (0.56, 0.28, 0.7)))


def _parts(f):
    return f.sensor_c, f.reference_c, f.offset_c


def _root_sum(parts):
    return sqrt(sum(part**2 for part in parts))


def _combined(f):
    return propagate(lambda *parts: sum(parts), [Input(0.0, standard=part) for part in _parts(f)])


root_sum = Problem(
    "05-root-sum", 2, "Three contributions, one uncertainty",
    "Combine independent standard uncertainties.",
    text="Three independent contributions have the standard uncertainties {sensor_c} °C (sensor), {reference_c} °C"
         " (reference) and {offset_c} °C (converter offset). What is the combined standard uncertainty?",
    figures=THREE_PARTS,
    answer=Number(
        lambda f: _combined(f).standard, "temperature span", "°C",
        0.005, HUNDREDTH,
        wrong=(
            Wrong("added", lambda f: sum(_parts(f)),
                  "They were added as they stand, as if all were always off to the same side. Add squares."),
            Wrong("no-root", lambda f: sum(part**2 for part in _parts(f)),
                  "This is the sum of the squares: a variance, in °C². What brings it back?"),
            Wrong("largest", lambda f: max(_parts(f)),
                  "Only the largest was taken. It rules, but the others still count."),
            Wrong("mean", lambda f: _root_sum(_parts(f)) / sqrt(3),
                  "The squares were averaged. A further contribution never makes the sum smaller."),
    )),
    hints=("Variances add, standard uncertainties do not.", "Square, add, take the root."),
    solution=lambda f: (
        f"Squares: {' + '.join(n(part**2, 5) for part in _parts(f))}"
        f" = {n(sum(part**2 for part in _parts(f)), 6)} °C²\n"
        f"u = √{n(sum(part**2 for part in _parts(f)), 6)} °C² = {n(_root_sum(_parts(f)), 5)} °C"
    ),
)


def _expanded(f, divisor=2.0, k=2.0):
    return k * sqrt((f.certificate_c / divisor) ** 2 + f.noise_c**2)


def _certified(f):
    inputs = Input(0.0, standard=f.certificate_c / 2), Input(0.0, standard=f.noise_c)
    return propagate(lambda a, b: a + b, inputs).standard


expanded = Problem(
    "05-expanded", 2, "A factor in, a factor out",
    "Use the coverage factor once on the way in and once on the way out.",
    text="A thermometer comes with a certificate: U = {certificate_c} °C, k = 2. Its reading also has noise with a"
         " standard uncertainty of {noise_c} °C. What is the expanded uncertainty of the reading, k = 2?",
    figures=(Draw("certificate_c", (0.2, 0.3, 0.5, 0.4)), Draw("noise_c", (0.05, 0.12, 0.2, 0.08))),
    answer=Number(
        lambda f: 2 * _certified(f), "temperature span", "°C", 0.005, HUNDREDTH,
        wrong=(
            Wrong("k-forgotten", lambda f: _expanded(f, k=1.0),
                  "This is the combined standard uncertainty. The question asks for the expanded one."),
            Wrong("k-twice", lambda f: _expanded(f, divisor=1.0),
                  "The certificate's U went in as it stands, and the factor was put on it once more."),
            Wrong("halved-twice", lambda f: _expanded(f, divisor=4.0),
                  "The certificate was halved twice. Its k is divided out once."),
            Wrong("added", lambda f: f.certificate_c + 2 * f.noise_c,
                  "The two expanded uncertainties were added. Independent contributions add as squares."),
            Wrong("as-limits", lambda f: 2 * sqrt(f.certificate_c**2 / 3 + f.noise_c**2),
                  "The certificate was taken for limits of a rectangle. It names its k: use that."),
    )),
    hints=("Bring both to standard uncertainties first. Only one of them is expanded.",
           "Combine as squares, and expand at the very end."),
    solution=lambda f: (
        f"Certificate: {n(f.certificate_c)} °C ÷ 2 = {n(f.certificate_c / 2)} °C\n"
        f"Combined: √({n(f.certificate_c / 2)}² + {n(f.noise_c)}²) = {n(_expanded(f, k=1.0), 5)} °C\n"
        f"U = 2 × {n(_expanded(f, k=1.0), 5)} °C = {n(_expanded(f), 5)} °C"
    ),
)

FREEDOM = "k for 95 % is 12.7 for 1 degree of freedom, 4.30 for 2, 3.18 for 3, 2.78 for 4, 2.57 for 5, 2.26 for 9"


def _few(f, k):
    return k * f.s_c / sqrt(f.readings)


few_readings = Problem(
    "05-few-readings", 2, "A factor for few readings",
    "Choose the coverage factor by the degrees of freedom.",
    text="{readings} independent readings of a still bath scatter with a standard deviation of {s_c} °C. Take that"
         " scatter as the only contribution. " + FREEDOM + ". What is the expanded uncertainty of their mean, for"
         " 95 %?",
    figures=(Draw("readings", (4, 5, 3, 10)), Draw("s_c", (0.12, 0.2, 0.3, 0.16))),
    answer=Number(
        lambda f: coverage_factor(f.readings - 1) * f.s_c / sqrt(f.readings), "temperature span", "°C",
        lambda f: 0.005 * _few(f, coverage_factor(f.readings - 1)),
        "Half a per cent leaves room for the three digits of the factors in the text.",
        digits=2, wrong=(
            Wrong("two", lambda f: _few(f, 2.0),
                  "The factor 2 was used. Few readings hardly know their own scatter; the table says how hardly."),
            Wrong("one-more", lambda f: _few(f, coverage_factor(f.readings)),
                  "The number of readings was taken for the degrees of freedom. The mean has used up some."),
            Wrong("no-mean", lambda f: coverage_factor(f.readings - 1) * f.s_c,
                  "This is for a single reading. What does the mean of several make of the scatter?"),
            Wrong("divided-by-n", lambda f: coverage_factor(f.readings - 1) * f.s_c / f.readings,
                  "The scatter was divided by the number of readings. It falls with the root."),
            Wrong("k-forgotten", lambda f: _few(f, 1.0), "This is the standard uncertainty of the mean: expand it."),
    )),
    hints=("Standard uncertainty of a mean: scatter over the root of the number.",
           "A mean uses up one degree of freedom. Read k beside what is left."),
    solution=lambda f: (
        f"u = {n(f.s_c)} °C ÷ √{f.readings} = {n(_few(f, 1.0), 4)} °C, with {f.readings - 1} degrees of freedom\n"
        f"U = {n(coverage_factor(f.readings - 1), 3)} × {n(_few(f, 1.0), 4)} °C"
        f" = {n(_few(f, coverage_factor(f.readings - 1)), 4)} °C"
    ),
)

PROBLEMS = (kinds_of_lines, rectangle, step, reference, root_sum, expanded, few_readings, *BUDGET, *TRIALS)
