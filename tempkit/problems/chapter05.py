"""Practice for chapter 05: from a line of a specification to a standard uncertainty, from many to one, to a report."""

from dataclasses import replace
from math import sqrt

from tempkit.chain import Converter, Design, Extras, Noise, scenario
from tempkit.exercises import Amount, Choice, Column, Draw, Number, Option, Prediction, Problem, Table, Wrong
from tempkit.exercises import plain as n
from tempkit.signal import quantisation_noise
from tempkit.uncertainty import Input, chain_budget, coverage_factor, numerical_tolerance, propagate, worst_case

HUNDREDTH = "A hundredth of a degree is told: half of it is the room for rounding."

# Standard uncertainties, one and several

HALF_UNIT = "Half a unit of the last digit asked for is the room for rounding."
kinds_of_lines = Problem(
    "05-kinds-of-lines", 1, "Which lines are limits?",
    "Tell limits from standard and expanded uncertainties.",
    asks="Below are lines from papers about the bench. Which of them are limits with every value between alike, so"
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
    asks="A sensor's specification says: accuracy ±{limit_c} °C, maximum. Nothing is said about which values between"
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
    asks="A converter of {bits} bits over {reference_v} V reads a sensor of {slope_mv_per_c} mV/°C once, without"
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
    asks="The reference is within ±{percent} % of what the program assumes, all values alike. The sensor gives 500 mV"
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
    asks="Three independent contributions have the standard uncertainties {sensor_c} °C (sensor), {reference_c} °C"
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
    asks="A thermometer comes with a certificate: U = {certificate_c} °C, k = 2. Its reading also has noise with a"
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
    asks="{readings} independent readings of a still bath scatter with a standard deviation of {s_c} °C. Take that"
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


# Shares, what to improve, what is shared, what is known, what to report

PARTS = Draw(
    "reference_c sensor_c converter_c",
    ((2.2, 1.2, 0.6), (0.7, 1.2, 0.6), (1.5, 0.6, 0.4), (0.9, 0.3, 0.5), (2.6, 0.8, 1.1)),
)


def _budget_parts(f):
    return f.reference_c, f.sensor_c, f.converter_c


def _whole(f):
    return sqrt(sum(part**2 for part in _budget_parts(f)))


def _budget(f, **changed):
    parts = f._replace(**changed)
    return propagate(lambda *each: sum(each), [Input(0.0, standard=part) for part in _budget_parts(parts)])


share = Problem(
    "05-share", 1, "Whose uncertainty is it?",
    "Work out a share of the variance.",
    asks="The standard uncertainties in a budget are {reference_c} °C (reference), {sensor_c} °C (sensor) and"
         " {converter_c} °C (converter). Which share of the variance has the reference, in per cent?",
    figures=(PARTS,),
    answer=Number(
        lambda f: 100 * _budget(f).contributions[0].share, "percent", "%", 0.6,
        "Whole per cent are enough for a share; a little more than a half is the room for rounding.",
        wrong=(
            Wrong("not-squared", lambda f: 100 * f.reference_c / sum(_budget_parts(f)),
                  "The share was worked out from the uncertainties themselves. What adds up to the whole: they, or"
                  " their squares?"),
            Wrong("of-combined", lambda f: 100 * f.reference_c / _whole(f),
                  "This is the part of the combined uncertainty. Shares worked out so add up to more than all."),
            Wrong("of-the-others", lambda f: 100 * f.reference_c**2 / (f.sensor_c**2 + f.converter_c**2),
                  "The reference was compared with the others. The whole has the reference in it."),
    )),
    hints=("Square all three.", "The reference's square over the sum of the squares."),
    solution=lambda f: (
        f"Squares: {', '.join(n(part**2, 4) for part in _budget_parts(f))}; together {n(_whole(f) ** 2, 5)} °C²\n"
        f"Share: {n(f.reference_c**2, 4)} ÷ {n(_whole(f) ** 2, 5)} × 100 %"
        f" = {n(100 * f.reference_c**2 / _whole(f) ** 2, 4)} %"
    ),
)


def _halved(f):
    return sqrt(f.reference_c**2 / 4 + f.sensor_c**2 + f.converter_c**2)


improve = Problem(
    "05-improve", 1, "What half of it is worth",
    "Say what an improvement of one contribution takes off the expanded uncertainty.",
    asks="The standard uncertainties in a budget are {reference_c} °C (reference), {sensor_c} °C (sensor) and"
         " {converter_c} °C (converter). A better reference would have half of its uncertainty. By how much does the"
         " expanded uncertainty fall, k = 2?",
    figures=(PARTS,),
    answer=Number(
        lambda f: 2 * (_budget(f).standard - _budget(f, reference_c=f.reference_c / 2).standard),
        "temperature span", "°C", 0.012,
        "It is the difference of two numbers, each rounded to a hundredth.",
        wrong=(
            Wrong("half-of-all", _whole,
                  "Half of the expanded uncertainty was taken off. Only the reference gets better."),
            Wrong("linear", lambda f: f.reference_c,
                  "Half of the reference was taken off as it stands, times k. The contributions add as squares."),
            Wrong("k-forgotten", lambda f: _whole(f) - _halved(f),
                  "This is the fall of the standard uncertainty. The expanded one falls by more."),
            Wrong("what-is-left", lambda f: 2 * _halved(f),
                  "This is the expanded uncertainty afterwards. The question asks for the fall."),
            Wrong("all-of-it", lambda f: 2 * (_whole(f) - sqrt(f.sensor_c**2 + f.converter_c**2)),
                  "The reference was taken out altogether. Half of it stays."),
    )),
    hints=("Combine twice: as it is, and with half the reference.", "Expand both, then take the difference."),
    solution=lambda f: (
        f"Now: 2 × √({' + '.join(n(part**2, 4) for part in _budget_parts(f))}) = {n(2 * _whole(f), 5)} °C\n"
        f"Then: 2 × √({n(f.reference_c**2 / 4, 4)} + {n(f.sensor_c**2, 4)} + {n(f.converter_c**2, 4)})"
        f" = {n(2 * _halved(f), 5)} °C\n"
        f"Fall: {n(2 * _whole(f), 5)} − {n(2 * _halved(f), 5)} = {n(2 * (_whole(f) - _halved(f)), 4)} °C"
    ),
)

TWO_SENSORS = (Draw("own_c", (0.2, 0.3, 0.5, 0.15)), Draw("shared_c", (1.1, 0.8, 2.2, 1.5)))
TOLD = ("Two sensors hang on one board. Each reading has a standard uncertainty of {own_c} °C of its own, and"
        " {shared_c} °C from the reference, which is the same for both at the same moment. ")


def _pair(f, weights):
    """First order with the reference as one common input."""
    inputs = [Input(0.0, standard=size) for size in (f.own_c, f.own_c, f.shared_c)]
    return propagate(lambda a, b, r: weights[0] * (a + r) + weights[1] * (b + r), inputs).standard


difference = Problem(
    "05-difference", 2, "The difference of two sensors",
    "Let go what two readings share.",
    asks=TOLD + "Both are at about the same temperature. What is the standard uncertainty of the difference of the two"
         " readings?",
    figures=TWO_SENSORS,
    answer=Number(
        lambda f: _pair(f, (1.0, -1.0)), "temperature span", "°C", 0.005, HUNDREDTH,
        wrong=(
            Wrong("correlation-ignored", lambda f: sqrt(2 * (f.own_c**2 + f.shared_c**2)),
                  "The readings were taken for independent. One wrong reference moves both by the same amount."),
            Wrong("added", lambda f: 2 * f.own_c,
                  "What each has of its own was added as it stands. Those two are independent."),
            Wrong("one-reading", lambda f: sqrt(f.own_c**2 + f.shared_c**2),
                  "This is the uncertainty of one reading. The question asks for a difference."),
            Wrong("one-own", lambda f: f.own_c,
                  "Only one of the two readings was counted. Both bring something of their own."),
            Wrong("cancelled-too", lambda f: 0.0,
                  "All was taken to cancel. Only what is the same in both does."),
    )),
    hints=("What happens to the difference when the reference falls and both readings rise alike?",
           "What is left is each reading's own part. Those add as squares."),
    solution=lambda f: (
        "The reference moves both readings alike: it drops out of the difference.\n"
        f"u = √({n(f.own_c)}² + {n(f.own_c)}²) = {n(sqrt(2) * f.own_c, 5)} °C"
    ),
)


def _mean(f):
    return sqrt(f.own_c**2 / 2 + f.shared_c**2)


mean_of_two = Problem(
    "05-mean-of-two", 2, "The mean of two sensors",
    "Keep in a mean what two readings share.",
    asks=TOLD + "The program shows the mean of the two readings. What is the standard uncertainty of the mean?",
    figures=TWO_SENSORS,
    answer=Number(
        lambda f: _pair(f, (0.5, 0.5)), "temperature span", "°C", 0.005, HUNDREDTH,
        wrong=(
            Wrong("correlation-ignored", lambda f: sqrt((f.own_c**2 + f.shared_c**2) / 2),
                  "The readings were taken for independent, so that all of it fell with the root of two. Does a second"
                  " sensor mend the reference?"),
            Wrong("one-reading", lambda f: sqrt(f.own_c**2 + f.shared_c**2),
                  "This is one reading. What each has of its own does get smaller in the mean."),
            Wrong("own-only", lambda f: f.own_c / sqrt(2),
                  "Only the readings' own parts were counted. What both share stays in the mean."),
            Wrong("added", lambda f: f.own_c / sqrt(2) + f.shared_c,
                  "The two parts were added as they stand. They are independent of each other."),
    )),
    hints=("The reference is off by the same in both, so it is off by the same in their mean.",
           "Own parts: over the root of two. Then join them with the shared part as squares."),
    solution=lambda f: (
        f"Own parts: {n(f.own_c)} °C ÷ √2 = {n(f.own_c / sqrt(2), 4)} °C; shared: {n(f.shared_c)} °C\n"
        f"u = √({n(f.own_c / sqrt(2), 4)}² + {n(f.shared_c)}²) = {n(_mean(f), 5)} °C"
    ),
)


def _column(*values):
    return tuple((value,) for value in values)


def _left(step_c):
    return Input(0.0, half_width=step_c / 2, shape="rectangular").standard


lower_edge = Problem(
    "05-lower-edge", 1, "Known is corrected, unknown is budgeted",
    "Tell a bias that is known from a doubt that is not.",
    asks="A program takes the lower edge of its step for the reading; a step is {step_c} °C. How much must be added to"
         " a reading, and which standard uncertainty do the steps leave afterwards?",
    figures=(Draw("step_c", (0.488, 0.322, 0.24, 0.62, 1.25)),),
    answer=Table(
        rows=lambda f: ("Correction", "Standard uncertainty left"),
        columns=(Column("in degrees", "temperature span", "°C", 0.0026),),
        value=lambda f: _column(f.step_c / 2, _left(f.step_c)),
        reason="Half a unit of the third digit of a quarter of a degree is about 0.001; this is twice that.",
        wrong=(
            Wrong("counted-as-noise", lambda f: _column(0.0, f.step_c / sqrt(3)),
                  "The bias was put into the uncertainty. It is known, and always to the same side: take it out."),
            Wrong("counted-twice", lambda f: _column(f.step_c / 2, f.step_c / sqrt(3)),
                  "It was corrected and still counted as a doubt. What has been taken out is not there any more."),
            Wrong("wrong-way", lambda f: _column(-f.step_c / 2, f.step_c / sqrt(12)),
                  "The sign is turned. Does a lower edge read too low or too high?"),
            Wrong("nothing-left", lambda f: _column(f.step_c / 2, 0.0),
                  "The correction moves the reading to the middle. Where in its step does the truth lie then?"),
            Wrong("half-width", lambda f: _column(f.step_c / 2, f.step_c / 2),
                  "The correction is right. What is left is a half-width; divide it."),
    )),
    hints=("On average the truth lies in the middle of the step. How far is that from the lower edge?",
           "Afterwards the truth lies within half a step to each side, all places alike."),
    solution=lambda f: (
        f"To the middle: {n(f.step_c)} °C ÷ 2 = {n(f.step_c / 2, 4)} °C\n"
        f"Left: {n(f.step_c / 2, 4)} °C ÷ √3 = {n(f.step_c / sqrt(12), 4)} °C"
    ),
)

LIMITS = Draw("sensor_c reference_c offset_lsb", ((2, 3.75, 2), (1, 1.5, 3), (0.5, 0.75, 2), (2, 0.6, 4)))
STEP_C = 0.488


def _limits(f):
    return f.sensor_c, f.reference_c, f.offset_lsb * STEP_C


def _worst(f):
    inputs = [Input(0.0, half_width=size, shape="rectangular") for size in (*_limits(f)[:2], f.offset_lsb)]
    return worst_case(lambda sensor, reference, offset: sensor + reference + STEP_C * offset, inputs).half_width


worst = Problem(
    "05-worst-case", 2, "Everything to one side",
    "Add limits for the worst case.",
    asks="The limits in a budget are ±{sensor_c} °C for the sensor, ±{reference_c} °C in the reading for the reference,"
         " and ±{offset_lsb} steps for the converter's offset; a step is 0.488 °C. How far can the reading be off at"
         " most, by these three?",
    figures=(LIMITS,),
    answer=Number(
        _worst, "temperature span", "°C", 0.05,
        "Half a tenth leaves room for rounding the offset's limits to a hundredth.",
        wrong=(
            Wrong("squares", lambda f: sqrt(sum(limit**2 for limit in _limits(f))),
                  "The limits were added as squares. That is for what is likely; here all err to one side."),
            Wrong("standard", lambda f: sum(_limits(f)) / sqrt(3),
                  "The limits were made standard uncertainties first. The worst case is made of the limits."),
            Wrong("steps-as-degrees", lambda f: f.sensor_c + f.reference_c + f.offset_lsb,
                  "Steps were taken for degrees. How much is a step?"),
            Wrong("one-step", lambda f: f.sensor_c + f.reference_c + STEP_C,
                  "A single step was taken for the offset. How many does the line say?"),
            Wrong("expanded", lambda f: 2 * sqrt(sum(limit**2 for limit in _limits(f)) / 3),
                  "This is an expanded uncertainty, k = 2. It is likely, not certain, to hold the error."),
    )),
    hints=("Bring all three to degrees of reading.", "The worst case has all of them off to the same side, fully."),
    solution=lambda f: (
        f"Offset: {n(f.offset_lsb)} × 0.488 °C = {n(f.offset_lsb * STEP_C)} °C\n"
        f"Worst: {n(f.sensor_c)} + {n(f.reference_c)} + {n(f.offset_lsb * STEP_C)} = {n(sum(_limits(f)))} °C"
    ),
)

report = Problem(
    "05-report", 2, "How to write it down",
    "Report a result with its uncertainty so that others can use it.",
    asks="The corrected reading is 25.1487 °C, its combined standard uncertainty 2.54019 °C. Which sentence belongs in"
         " the report?",
    figures=(),
    answer=Choice(
        options=(
            Option("all", "(25.1487 ± 4.97867) °C, with every digit that the budget gives",
                   "Who can know a doubt to six digits? And what does ± mean here: limits, u, or U?"),
            Option("two", "(25.1 ± 5.0) °C: ± is the expanded uncertainty, k = 1.96, 95 %",
                   "Two digits of U, the reading to the same place, and the factor beside it."),
            Option("bare", "(25 ± 5) °C, where ± is what the budget of the bench has come to",
                   "The digits are honest. But is it u, U or a worst case? The next reader has to guess."),
            Option("small", "(25.1 ± 2.5) °C, as the reading and its uncertainty were found",
                   "Without a word, readers take ± for something that nearly always holds. This is a single u."),
        ),
        right="two",
    ),
    hints=("An uncertainty has two digits at most, and the result ends at the same decimal place.",
           "What must the next reader know to get back to u?"),
    solution=lambda f: "U = 1.96 × 2.54 °C, rounded to 5.0 °C; the reading to tenths; and k and the level beside it,"
                       " so that the next one can divide.",
)


# What trials say about the formula, and how many of them it takes


def _room(f, digits):
    return numerical_tolerance(f.u_c, digits)


def _apart(f):
    return max(abs(f.low_c + 1.96 * f.u_c), abs(f.high_c - 1.96 * f.u_c))


def _digits(f):
    """How many digits of u the formula is good for: 0, 1 or 2."""
    return max((digits for digits in (1, 2) if _apart(f) <= _room(f, digits)), default=0)


def _remark(digits, text):
    return lambda f: text if digits == _digits(f) else (
        "Both ends have to lie within half a unit of the last digit that is claimed. How far apart are these?"
    )


clause_8 = Problem(
    "05-clause-8", 1, "Formula or trials?",
    "Judge by trials how far the formula may be used.",
    asks="By the formula u is {u_c} °C, so 95 % of the errors lie within ±1.96 u. A million trials of the same"
         " budget put 95 % of them between {low_c} °C and {high_c} °C. JCGM 101, clause 8: both ends have to agree"
         " within half a unit of the last digit of u that one wants to claim. How many digits of u may be claimed from"
         " the formula?",
    figures=(
        Draw("u_c low_c high_c", (
            (2.54, -4.59, 5.06), (1.27, -2.47, 2.51), (3.12, -5.98, 6.27), (2.31, -3.55, 4.92), (1.43, -2.83, 2.77),
            (4.21, -7.35, 8.64),
        )),
    ),
    answer=Choice(
        options=(
            Option("two", "Two digits", _remark(2, "Both ends agree within half a unit of the second digit.")),
            Option("none", "None: report the interval of the trials",
                   _remark(0, "Even half a unit of the first digit is too little for the worse of the two ends.")),
            Option("one", "One digit", _remark(1, "Within half a unit of the first digit, not of the second.")),
        ),
        right=lambda f: ("none", "one", "two")[_digits(f)],
    ),
    hints=("First 1.96 u. How far is each end of the trials from the formula's?",
           "The larger of the two decides. Compare it with half a unit of the second digit, and of the first."),
    solution=lambda f: (
        f"Formula: ±{n(1.96 * f.u_c, 4)} °C. Ends apart: {n(abs(f.low_c + 1.96 * f.u_c), 2)} °C and"
        f" {n(abs(f.high_c - 1.96 * f.u_c), 2)} °C. Room for two digits {n(_room(f, 2))} °C, for one"
        f" {n(_room(f, 1))} °C: {('none', 'one digit', 'two digits')[_digits(f)]}."
    ),
)


def _more(f):
    return f.known_c / f.wanted_c


trials = Problem(
    "05-trials", 2, "How many trials",
    "Count the trials that a finer end of an interval takes.",
    asks="{trials} trials were drawn. Drawn again with other random numbers, the end of their 95 % interval moves by"
         " about {known_c} °C. It shall move by no more than about {wanted_c} °C. How many trials does that take?",
    figures=(Draw("trials", (10000, 20000, 50000)),
             Draw("known_c wanted_c", ((0.05, 0.01), (0.06, 0.02), (0.08, 0.02), (0.05, 0.005)))),
    answer=Number(
        lambda f: f.trials * (f.known_c / f.wanted_c) ** 2, "number", "",
        lambda f: 0.05 * f.trials * _more(f) ** 2,
        "A twentieth: nobody knows such a scatter better.",
        whole=True, wrong=(
            Wrong("in-proportion", lambda f: f.trials * _more(f),
                  "The number was raised in proportion. By what does the scatter of a mean fall?"),
            Wrong("root", lambda f: f.trials * _more(f) ** 0.5,
                  "The root was taken. It is the scatter that goes with a root of the number; turn that round."),
            Wrong("fewer", lambda f: f.trials / _more(f) ** 2,
                  "These are fewer than now. Does a finer end need fewer trials?"),
            Wrong("fourth", lambda f: f.trials * _more(f) ** 4,
                  "Squared twice. Once is what the root of the number asks for."),
    )),
    hints=("Chance falls with the root of the number of trials.",
           "How many times finer? That, squared, times as many."),
    solution=lambda f: (
        f"Finer: {n(f.known_c)} ÷ {n(f.wanted_c)} = {n(_more(f))} times\n"
        f"{n(f.trials)} × {n(_more(f))}² = {n(f.trials * _more(f) ** 2)}"
    ),
)


def _filled(f, step_part=2.0, divisor=3**0.5, add=lambda us: sqrt(sum(u * u for u in us))):
    """The budget as a table: half-width, divisor, standard uncertainty of each line; the last line is the whole."""
    halves = (f.limit_c, f.reference_c, f.step_c / step_part)
    us = tuple(half / divisor for half in halves)
    return (*((half, divisor, u) for half, u in zip(halves, us, strict=True)), (None, None, add(us)))


half_worked = Problem(
    "05-half-worked", 1, "A budget half worked out",
    "Complete the table of an error budget.",
    asks="Below is a budget that somebody has begun. The sensor is right within ±{limit_c} °C. The supply is the"
         " reference. One step of the converter is {step_c} °C, and the program takes its middle. Fill in what is"
         " missing; every line is a rectangle.",
    figures=(
        Draw("limit_c", (1.5, 0.5, 1, 2)), Draw("reference_c", (2.6, 0.9, 1.7, 3.3)), Draw("step_c", (0.61, 0.4, 0.31)),
    ),
    answer=Table(
        rows=lambda f: ("Sensor", "Reference", "Steps", "All together"),
        columns=(
            Column("half-width", "temperature span", "°C", 0.006),
            Column("divided by", "number", "", 0.006),
            Column("standard uncertainty", "temperature span", "°C", 0.006),
        ),
        value=lambda f: (
            *_budget_rows(f),
            (None, None, propagate(lambda *errors: sum(errors), _lines(f)).standard),
        ),
        reason="Hundredths of a degree are told; a little more than half of one is room for rounding.",
        shown=((0, 0), (0, 1), (1, 0), (1, 1), (1, 2), (2, 1), (3, 0), (3, 1)),
        wrong=(
            Wrong("whole-step", lambda f: _filled(f, step_part=1.0),
                  "The whole step was taken. From its middle the truth lies half a step away at most."),
            Wrong("added", lambda f: _filled(f, add=sum),
                  "The uncertainties were added as they stand. Independent ones add as squares."),
            Wrong("no-root", lambda f: _filled(f, divisor=3.0),
                  "The half-width was divided by three. Look at the divisor that stands in the table."),
            Wrong("root-forgotten", lambda f: _filled(f, add=lambda us: sum(u * u for u in us)),
                  "That is the sum of the squares. One thing is left to do."),
        ),
    ),
    hints=("Across: half-width, divided by the divisor, is the standard uncertainty.",
           "Down: square the three, add them, take the root."),
    solution=lambda f: (
        f"Sensor: {n(f.limit_c)} °C ÷ 1.732 = {n(f.limit_c / sqrt(3), 4)} °C\n"
        f"Steps: {n(f.step_c)} °C ÷ 2 = {n(f.step_c / 2)} °C,\n"
        f"and {n(f.step_c / 2)} °C ÷ 1.732 = {n(f.step_c / 2 / sqrt(3), 4)} °C\n"
        f"All together: the root of the sum of squares = {n(_filled(f)[-1][-1], 4)} °C"
    ),
)


def _lines(f):
    halves = (f.limit_c, f.reference_c, f.step_c / 2)
    return [Input(0.0, half_width=half, shape="rectangular") for half in halves]


def _budget_rows(f):
    return tuple((line.half_width, sqrt(3), line.standard) for line in _lines(f))


PROBLEMS = (
    kinds_of_lines, rectangle, step, reference, root_sum, expanded, few_readings, share, improve, difference,
    mean_of_two, lower_edge, worst, report, clause_8, trials, half_worked,
)  # fmt: skip

# Predictions: the bench with all that its specification says

_CHAIN = replace(scenario(), converter=Converter(bits=10, offset_lsb=2.0, gain_lsb=2.0, inl_lsb=1.0))
_BENCH = Design("bench", _CHAIN, noise=Noise(0.002, 16), budget=Extras(50.0, 10.0, 0.0, 0.2, 0.001))
_SETTINGS = {
    "t_c": 25.0, "accuracy_c": 1.5, "tolerance_percent": 5.0, "offset_lsb": 2.0, "gain_lsb": 2.0, "inl_lsb": 1.0,
    "heating_c": 0.2, "lead_mv": 1.0, "calibrated": "none",
}  # fmt: skip


def _with_sensor(accuracy_c):
    """The budget at 25 °C with a sensor of this accuracy."""
    chain = replace(_CHAIN, sensor=replace(_CHAIN.sensor, accuracy_c=accuracy_c))
    return chain_budget(replace(_BENCH, chain=chain), 25.0)


PREDICTIONS = (
    Prediction(
        "05-share",
        "At 25 °C the sensor is good to ±1.5 °C and the reference to ±5 %; converter, noise, self-heating and leads add"
        " a little. Of all the doubt in the reading, as a variance, how much comes from the sensor?",
        "Now look at the picture of the budget, and compare the parts.",
        "Shares go by squares, so one large contribution leaves little to the others. 5 % of 0.800 V are 5 °C.",
        number=Amount(
            lambda: 100 * _with_sensor(1.5).row("sensor accuracy").share, "%", 0, near=2,
            wrong=(
                Wrong("unsquared", lambda: 100 * 1.5 / 6.5, "The limits were compared. Variances are squares."),
                Wrong("half", lambda: 50, "Two contributions share evenly only where they are alike."),
        )),
        explorer="error_budget", settings=_SETTINGS,
        saw=lambda found: 100 * found.budget.row("sensor accuracy").share,
    ),
    Prediction(
        "05-better-sensor",
        "With all contributions together the reading is good to about ±6.1 °C (95 %). A sensor of ±0.5 °C takes the"
        " place of the one of ±1.5 °C. The reading is then good to plus or minus how much?",
        "Now set the sensor's accuracy to 0.5 °C in the picture, and look at the expanded uncertainty.",
        "The reference is as bad as before, and it was the larger of the two.",
        number=Amount(
            lambda: _with_sensor(0.5).expanded_c, "°C", 1, "temperature span", near=0.2,
            wrong=(
                Wrong("subtracted", lambda: _with_sensor(1.5).expanded_c - 1,
                      "The degree was taken off as it is. Squares add up, and the largest decides."),
                Wrong("in-proportion", lambda: _with_sensor(1.5).expanded_c / 3,
                      "All was divided by three. Only the sensor's part became smaller."),
        )),
        explorer="error_budget", settings=_SETTINGS | {"accuracy_c": 0.5},
        saw=lambda found: found.budget.expanded_c,
    ),
)
