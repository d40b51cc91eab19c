"""Practice for chapter 05, second part: shares, what to improve, what is shared, what is known, what to report."""

from math import sqrt

from tempkit.budget import Input, propagate, worst_case
from tempkit.homework.problem import Choice, Column, Draw, Number, Option, Problem, Table, Wrong
from tempkit.homework.problem import plain as n

HUNDREDTH = "A hundredth of a degree is told: half of it is the room for rounding."
PARTS = Draw(
    "reference_c sensor_c converter_c",
    ((2.2, 1.2, 0.6), (0.7, 1.2, 0.6), (1.5, 0.6, 0.4), (0.9, 0.3, 0.5), (2.6, 0.8, 1.1)),
)


def _parts(f):
    return f.reference_c, f.sensor_c, f.converter_c


def _whole(f):
    return sqrt(sum(part**2 for part in _parts(f)))


def _budget(f, **changed):
    parts = f._replace(**changed)
    return propagate(lambda *each: sum(each), [Input(0.0, standard=part) for part in _parts(parts)])


share = Problem(
    "05-share", 1, "Whose uncertainty is it?",
    "Work out a share of the variance.",
    text="The standard uncertainties in a budget are {reference_c} °C (reference), {sensor_c} °C (sensor) and"
         " {converter_c} °C (converter). Which share of the variance has the reference, in per cent?",
    figures=(PARTS,),
    answer=Number(
        lambda f: 100 * _budget(f).contributions[0].share, "percent", "%", 0.6,
        "Whole per cent are enough for a share; a little more than a half is the room for rounding.",
        wrong=(
            Wrong("not-squared", lambda f: 100 * f.reference_c / sum(_parts(f)),
                  "The share was worked out from the uncertainties themselves. What adds up to the whole: they, or"
                  " their squares?"),
            Wrong("of-combined", lambda f: 100 * f.reference_c / _whole(f),
                  "This is the part of the combined uncertainty. Shares worked out so add up to more than all."),
            Wrong("of-the-others", lambda f: 100 * f.reference_c**2 / (f.sensor_c**2 + f.converter_c**2),
                  "The reference was compared with the others. The whole has the reference in it."),
    )),
    hints=("Square all three.", "The reference's square over the sum of the squares."),
    solution=lambda f: (
        f"Squares: {', '.join(n(part**2, 4) for part in _parts(f))}; together {n(_whole(f) ** 2, 5)} °C²\n"
        f"Share: {n(f.reference_c**2, 4)} ÷ {n(_whole(f) ** 2, 5)} × 100 %"
        f" = {n(100 * f.reference_c**2 / _whole(f) ** 2, 4)} %"
    ),
)


def _halved(f):
    return sqrt(f.reference_c**2 / 4 + f.sensor_c**2 + f.converter_c**2)


improve = Problem(
    "05-improve", 1, "What half of it is worth",
    "Say what an improvement of one contribution takes off the expanded uncertainty.",
    text="The standard uncertainties in a budget are {reference_c} °C (reference), {sensor_c} °C (sensor) and"
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
        f"Now: 2 × √({' + '.join(n(part**2, 4) for part in _parts(f))}) = {n(2 * _whole(f), 5)} °C\n"
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
    text=TOLD + "Both are at about the same temperature. What is the standard uncertainty of the difference of the two"
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
    text=TOLD + "The program shows the mean of the two readings. What is the standard uncertainty of the mean?",
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
    text="A program takes the lower edge of its step for the reading; a step is {step_c} °C. How much must be added to"
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
    text="The limits in a budget are ±{sensor_c} °C for the sensor, ±{reference_c} °C in the reading for the reference,"
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
    text="The corrected reading is 25.1487 °C, its combined standard uncertainty 2.54019 °C. Which sentence belongs in"
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

BUDGET = (share, improve, difference, mean_of_two, lower_edge, worst, report)
