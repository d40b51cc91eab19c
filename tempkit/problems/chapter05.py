"""Chapter 05: from lines of a specification to one standard uncertainty, to a purchase and to a report."""

from dataclasses import replace
from math import sqrt

import numpy as np

from tempkit.chain import Converter, Design, Noise, scenario
from tempkit.exercises import (
    Amount,
    Choice,
    Column,
    Curve,
    Draw,
    Graph,
    Line,
    Number,
    Option,
    Prediction,
    Problem,
    Scale,
    Sketch,
    Table,
    Wrong,
    cheapest,
    listed,
    sketch,
    wrong_step,
)
from tempkit.exercises import plain as n
from tempkit.uncertainty import Input, chain_budget, numerical_tolerance, propagate, worst_case

HUNDREDTH = "The answer is told to a hundredth of a degree: half of that is the room for rounding."
STEP_C = 0.61


def _u(half_width):
    """The standard uncertainty of limits between which every value is alike."""
    return Input(0.0, half_width=half_width, shape="rectangular").standard


def _combined(*standards):
    """Independent standard uncertainties, one: first order, the law of propagation."""
    return propagate(lambda *parts: sum(parts), [Input(0.0, standard=each) for each in standards]).standard


def _root_sum(parts):
    return sqrt(sum(part**2 for part in parts))


# Standard uncertainties, one and several

kinds_of_lines = Problem(
    "05-kinds-of-lines", 2, "Which lines are limits?",
    "Tell limits from standard and expanded uncertainties.",
    asks="Below are lines from papers about a bench. Which of them are limits with every value between them equally"
         " likely, so that half of their width is divided by √3? Choose all.",
    figures=(),
    answer=Choice(
        options=(
            Option("accuracy", "Sensor: accuracy ±2 °C, maximum",
                   "“Maximum” says that it lies within, and nothing says where: a rectangle."),
            Option("certificate", "Thermometer: U = 0.2 °C, k = 2",
                   "This is an expanded uncertainty. Which number on the line takes it back to a standard one?"),
            Option("noise", "Readings in a still bath: standard deviation 0.24 °C",
                   "This is a standard deviation already."),
            Option("supply", "Supply: 5 V, within ±5 %",
                   "A window with no word about its inside: a rectangle."),
            Option("stirred", "Bath: within ±0.1 °C of the thermometer, mostly near the middle",
                   "Limits, but the middle is likelier than the ends. Which shape says so?"),
            Option("step", "Converter: a step is 0.61 °C; the truth lies anywhere within it",
                   "Every place within the step is alike: a rectangle, half a step to each side."),
        ),
        right=("accuracy", "supply", "step"),
        several=True,
    ),
    hints=("Ask of each line: is it a border that is not crossed, or a measure of spread?",
           "Of the borders, which say nothing about what lies between?"),
    solution=lambda f: "The accuracy, the supply and the step are rectangles: half-width over √3. The certificate is"
                       " divided by its k. The standard deviation stays as it is. The stirred bath is better described"
                       " by a triangle: half-width over √6.",
)

error_or_doubt = Problem(
    "05-error-or-doubt", 1, "Error or uncertainty?",
    "Tell an error, which is corrected, from an uncertainty, which is budgeted.",
    asks="Six sentences from a notebook on the bench. Which of them tell an error with its size and sign, so that it"
         " can be taken off each reading? Choose all.",
    figures=(),
    answer=Choice(
        options=(
            Option("ice", "In melting ice the bench reads 0.7 °C too high",
                   "A size and a sign, found at the bench: an error. Take it off there."),
            Option("limits", "The sensor is off by no more than 1.5 °C",
                   "Which way, and by how much today? The sentence gives a border only."),
            Option("edge", "The program prints the lower edge of its step",
                   "Half a step too low on average, always to the same side: known, so corrected."),
            Option("expanded", "The thermometer has U = 0.2 °C, k = 2",
                   "It has no sign. It says how widely the true value may lie."),
            Option("scatter", "The display's readings have a standard deviation of 0.25 °C",
                   "A spread has no sign: the next reading may be above or below."),
            Option("metered", "The supply is 4.75 V; the program takes it for 5 V",
                   "Measured, so the error of each reading can be worked out and taken off."),
        ),
        right=("ice", "edge", "metered"),
        several=True,
    ),
    hints=("An error has a sign. Which sentences say too high or too low, or let you work it out?",
           "What has only a ± cannot be taken off."),
    solution=lambda f: "Ice, lower edge and measured supply have a size and a sign: correct them. The limits, the U and"
                       " the scatter have none: they go into the budget.",
)


def _signal_mv(f):
    return 600 + 8 * f.t_c


def _reference_c(f):
    """Half-width [degC]: the reading follows the signal over the reference."""
    return _signal_mv(f) * f.percent / 100 / 8


def _reference_u(f):
    reference = Input(1.0, half_width=f.percent / 100, shape="rectangular")
    return propagate(lambda r: (_signal_mv(f) / r - 600) / 8, [reference]).standard


OF_THE_READING = "The percentage was taken of the temperature. The reference scales the voltage: what is it a part of?"

reference = Problem(
    "05-reference-share", 3, "Per cent of what?",
    "Carry a relative tolerance of the reference to the reading.",
    asks="The reference is within ±{percent} % of what the program assumes, all values equally likely. The sensor gives"
         " 600 mV at 0 °C and 8 mV more for each degree; the air is at {t_c} °C. Which standard uncertainty, in"
         " degrees, does the reference bring into the reading?",
    figures=(Draw("percent", (3, 2, 5, 10, 1)), Draw("t_c", (18, 27, 35, 40))),
    answer=Number(
        _reference_u, "temperature span", "°C", 0.005, HUNDREDTH,
        wrong=(
            Wrong("percent-of-reading", lambda f: f.percent / 100 * f.t_c / sqrt(3), OF_THE_READING),
            Wrong("percent-as-degrees", lambda f: f.percent / sqrt(3),
                  "Per cent were taken for degrees. A relative figure needs something that it is relative to."),
            Wrong("half-width", _reference_c,
                  "These are the limits in degrees, carried rightly. What makes a standard uncertainty of them?"),
            Wrong("in-millivolts", lambda f: _signal_mv(f) * f.percent / 100 / sqrt(3),
                  "This is in millivolts. How many of them make a degree?"),
            Wrong("of-full-scale", lambda f: 5000 * f.percent / 100 / 8 / sqrt(3),
                  "The percentage was taken of 5 V. What part of the reference does the signal use?"),
    )),
    hints=("A reference too low by a per cent makes the measured voltage too high by a per cent.",
           "Per cent of the sensor's voltage here, then over the slope, then the rectangle's divisor."),
    solution=lambda f: (
        f"Signal: 600 mV + 8 mV/°C × {n(f.t_c)} °C = {n(_signal_mv(f))} mV\n"
        f"Limits: {n(f.percent)} % of it = {n(_signal_mv(f) * f.percent / 100)} mV"
        f" = {n(_reference_c(f))} °C\n"
        f"u = {n(_reference_c(f))} °C ÷ √3 = {n(_reference_c(f) / sqrt(3), 4)} °C"
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


def _expanded(f, divisor=2.0, k=2.0):
    return k * sqrt((f.certificate_c / divisor) ** 2 + f.noise_c**2)


expanded = Problem(
    "05-expanded", 3, "A factor in, a factor out",
    "Use the coverage factor once on the way in and once on the way out.",
    asks="A thermometer comes with a certificate: U = {certificate_c} °C, k = 2. Its reading also has noise with a"
         " standard uncertainty of {noise_c} °C. What is the expanded uncertainty of the reading, k = 2?",
    figures=(Draw("certificate_c", (0.3, 0.2, 0.5, 0.4)), Draw("noise_c", (0.12, 0.05, 0.2, 0.08))),
    answer=Number(
        lambda f: 2 * _combined(f.certificate_c / 2, f.noise_c), "temperature span", "°C", 0.005, HUNDREDTH,
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

# What to buy: a curve, a list of parts, one contribution halved

BENCH_LIMITS = 1.5, 5.0, 2 * 0.6103515625, 0.6103515625  # sensor, reference, offset, INL at 25 °C [degC]


def _of_tolerance(percent, accuracy_c):
    """U at 25 °C [degC] of a sensor of 18 mV/°C that gives 800 mV there, on the bench's converter of 10 bits."""
    step_c = 5000 / 1024 / 18
    limits = accuracy_c, percent / 100 * 800 / 18, 2 * step_c, step_c
    return 1.96 * _combined(*(_u(limit) for limit in limits))


def _curve_of(f):
    points = tuple((p / 2, _of_tolerance(p / 2, f.accuracy_c)) for p in range(17))
    scales = Scale("tolerance of the reference", "%", (0, 8), 0.25), Scale("U", "°C", (0, 6), 0.05)
    return Graph("U at 25 °C against the reference's tolerance", *scales, (Curve("U", points),))


def _rise(f):
    return _of_tolerance(8, f.accuracy_c) - _of_tolerance(f.low_percent, f.accuracy_c)


tolerance_slope = Problem(
    "05-tolerance-slope", 1, "What a per cent costs",
    "Read from a curve what one per cent of the reference is worth.",
    asks="The graph shows the expanded uncertainty U of another bench at 25 °C, for references of different tolerance."
         " By"
         " how many degrees does U grow from {low_percent} % to 8 %, for each per cent?",
    figures=(Draw("accuracy_c", (2, 1.5, 2.5, 1)), Draw("low_percent", (4, 3, 5))),
    picture=_curve_of,
    answer=Number(
        lambda f: _rise(f) / (8 - f.low_percent), "temperature span", "°C", 0.05,
        "An eye reads both heights to about a tenth of a degree.",
        wrong=(
            Wrong("height", lambda f: _of_tolerance(8, f.accuracy_c) / 8,
                  "A height was divided by its place. The curve does not start at zero: take the rise between two"
                  " points."),
            Wrong("undivided", _rise, "This is the whole rise. It is asked for each per cent."),
            Wrong("upside-down", lambda f: (8 - f.low_percent) / _rise(f),
                  "This is per cent for each degree. It is asked the other way round."),
    )),
    hints=("Read U at both ends of that part.",
           "A slope is the rise over the way: degrees over per cent."),
    solution=lambda f: (
        f"U at {n(f.low_percent)} %: {n(_of_tolerance(f.low_percent, f.accuracy_c), 3)} °C; at 8 %:"
        f" {n(_of_tolerance(8, f.accuracy_c), 3)} °C\n"
        f"For each per cent: {n(_rise(f), 3)} °C ÷ {n(8 - f.low_percent)} = {n(_rise(f) / (8 - f.low_percent), 3)} °C"
    ),
)

PARTS_FOR_SALE = (
    ("sensor", "Sensor within ±0.5 °C"), ("bits", "Converter of 12 bits"),
    ("one", "Reference within ±1 %"), ("fine", "Reference within ±0.2 %"),
)  # fmt: skip


def _with_part(key):
    """U at 25 °C [degC] once this part is in; offset and INL are given in steps, which 12 bits make a quarter."""
    sensor, reference_c, *steps = BENCH_LIMITS
    made = {
        "sensor": (0.5, reference_c, *steps),
        "bits": (sensor, reference_c, *(each / 4 for each in steps)),
        "one": (sensor, 1.0, *steps),
        "fine": (sensor, 0.2, *steps),
    }
    return 1.96 * _combined(*(_u(limit) for limit in made[key]))


def _price(f, key):
    return getattr(f, f"{key}_price")


which_part = Problem(
    "05-which-part", 1, "The cheapest part that will do",
    "Choose what to buy by what it takes off the expanded uncertainty.",
    asks="At 25 °C a bench has these standard uncertainties: sensor 0.87 °C, reference 2.89 °C, converter offset"
         " 0.70 °C, INL 0.35 °C. One part may be replaced, so that U (k = 1.96) is at most {wanted_c} °C. For each per"
         " cent of the reference the reading is off by 1 °C; offset and INL are given in steps, and 12 bits make a step"
         " a quarter as wide. Which is the cheapest part that will do?",
    figures=(
        Draw("wanted_c", (2.8, 2.4, 6, 3.5)),
        Draw("sensor_price bits_price one_price fine_price", (
            (14, 22, 9, 19), (4, 26, 8, 15), (12, 5, 16, 21), (18, 11, 13, 30))),
    ),
    listing=lambda f: listed(("part", "price"), [(name, n(_price(f, key))) for key, name in PARTS_FOR_SALE]),
    answer=cheapest(
        PARTS_FOR_SALE, _price,
        lambda f, key: "" if _with_part(key) <= f.wanted_c else
        "With it, U stays above what is wanted. Put its new standard uncertainty into the sum of squares.",
    ),
    hints=("Work out U with each part: only one of the four squares changes, or two.",
           "Leave out those that do not reach the wanted U. Then look at the price."),
    solution=lambda f: "; ".join(f"{name}: U = {n(_with_part(key), 3)} °C" for key, name in PARTS_FOR_SALE)
                       + f". Wanted: {n(f.wanted_c)} °C at most, for the least money.",
)

PARTS = Draw(
    "reference_c sensor_c converter_c",
    ((2.2, 1.2, 0.6), (0.7, 1.2, 0.6), (1.5, 0.6, 0.4), (0.9, 0.3, 0.5), (2.6, 0.8, 1.1)),
)


def _budget_parts(f):
    return f.reference_c, f.sensor_c, f.converter_c


def _whole(f):
    return _root_sum(_budget_parts(f))


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
        lambda f: 2 * (_combined(*_budget_parts(f)) - _combined(f.reference_c / 2, f.sensor_c, f.converter_c)),
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

# How sure, and a slip to find

twenty_boards = Problem(
    "05-twenty-boards", 1, "What 95 % promises",
    "Say what an expanded uncertainty of 95 % promises, and what it does not.",
    asks="Classes of several schools build {boards} boards of one kind. For each board the budget says U for 95 %, and"
         " the budget is right. Then all are compared with a far better thermometer. How many will be off by more than"
         " U?",
    figures=(Draw("boards", (40, 20, 60, 100)),),
    answer=Choice(
        options=(
            Option("none", "None of them: U is the border that no board crosses",
                   "A worst case is such a border. 95 % leaves one case in twenty outside, on average."),
            Option("some", lambda f: f"About {n(f.boards / 20)}, or a few more or less, by chance",
                   "One case in twenty on average. A single count may well be another."),
            Option("each", "Each of them, in one reading out of twenty, by chance",
                   "A supply that is too low is too low in every reading. It is boards that differ here."),
        ),
        right="some",
    ),
    asks_how_sure=True,
    hints=("95 of 100 lie within. And the others?",
           "What is off in a board: does it change from reading to reading?"),
    solution=lambda f: f"Outside lie 5 in 100 on average, so about {n(f.boards / 20)} of {n(f.boards)}; a board outside"
                       " is outside in all its readings. (Where one rectangle rules the budget, as on the book's bench,"
                       " there are fewer.)",
)

# Which step is wrong: the steps that follow agree with it

WRONG_STEPS = Draw("wrong", (2, 4, 1, 3))


def _worked(f):
    """The five steps as texts, each from the one before, with the slip in step `f.wrong`."""
    signal = 8 * f.t_c if f.wrong == 1 else 600 + 8 * f.t_c
    limit = f.percent / 100 * (f.t_c if f.wrong == 2 else signal / 8)
    divisor = 2 if f.wrong == 3 else sqrt(3)
    sensor, reference_c = f.accuracy_c / divisor, limit / divisor
    sum_c = sensor + reference_c if f.wrong == 4 else _root_sum((sensor, reference_c))
    sign, of = ("2", f"{n(f.t_c)} °C") if f.wrong == 3 else ("√3", f"{n(f.t_c)} °C")
    signal_text = f"8 × {n(f.t_c)} mV" if f.wrong == 1 else f"600 mV + 8 × {n(f.t_c)} mV"
    share = f"{n(f.percent)} % of {of}" if f.wrong == 2 else f"{n(f.percent)} % of it, over 8 mV/°C"
    joined = f"{n(sensor, 3)} + {n(reference_c, 3)}" if f.wrong == 4 else f"√({n(sensor, 3)}² + {n(reference_c, 3)}²)"
    return (
        f"1. Signal: {signal_text} = {n(signal)} mV",
        f"2. Limits by the reference: {share}: ±{n(limit, 3)} °C",
        f"3. Standard uncertainties: ±{n(f.accuracy_c)} °C and ±{n(limit, 3)} °C, over {sign}:"
        f" {n(sensor, 3)} °C and {n(reference_c, 3)} °C",
        f"4. Combined: {joined} = {n(sum_c, 3)} °C",
        f"5. Expanded: 1.96 × {n(sum_c, 3)} °C = {n(1.96 * sum_c, 3)} °C",
    )


find_the_slip = Problem(
    "05-find-the-slip", 1, "One step is wrong",
    "Find the wrong step in a worked budget.",
    asks="A sensor gives 600 mV at 0 °C and 8 mV more for each degree; it is within ±{accuracy_c} °C. The reference is"
         " within ±{percent} %; all values between limits are equally likely. A classmate works out the expanded"
         " uncertainty at {t_c} °C from these two. One step is wrong, and those after it follow from it. Which?",
    figures=(WRONG_STEPS, Draw("accuracy_c percent t_c", ((1, 2, 18), (2, 3, 27), (0.5, 4, 21), (2.5, 10, 30)))),
    listing=_worked,
    answer=wrong_step(lambda f: f.wrong, (
        ("The voltage at 0 °C was left out.", "The line starts at 600 mV, and it is there."),
        ("Per cent of the temperature were taken. The reference scales the voltage.",
         "Per cent of the signal, and the slope makes degrees of it: this is sound."),
        ("A rectangle's half-width is divided by √3, not by 2.",
         "Half-widths over √3, for values that are equally likely: this is sound."),
        ("Standard uncertainties were added as they stand. Their squares add.",
         "Squares, sum, root: this is sound."),
        ("", "One factor, once, at the end: this is sound."),
    )),
    hints=("Work out each step from the one before, without looking at theirs.",
           "Where do you part for the first time?"),
    solution=lambda f: f"Step {f.wrong}: " + (
        "the signal at 0 °C is missing.", "the percentage is of the voltage, not of the temperature.",
        "the divisor of a rectangle is √3.", "squares add, not sizes.")[f.wrong - 1],
)  # fmt: skip

# What is shared, what is known, what is the worst, what to report

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
                  "The readings were taken for independent, so that all of it became smaller. Does a second sensor mend"
                  " the reference?"),
            Wrong("one-reading", lambda f: sqrt(f.own_c**2 + f.shared_c**2),
                  "This is one reading. What each has of its own does get smaller in the mean."),
            Wrong("own-only", lambda f: f.own_c / sqrt(2),
                  "Only the readings' own parts were counted. What both share stays in the mean."),
            Wrong("added", lambda f: f.own_c / sqrt(2) + f.shared_c,
                  "The two parts were added as they stand. They are independent of each other."),
    )),
    hints=("The reference is off by the same in both, so it is off by the same in their mean.",
           "Own parts: half of each, added as squares. Then the shared part, whole, as a square too."),
    solution=lambda f: (
        f"Own parts: √(({n(f.own_c)} ÷ 2)² + ({n(f.own_c)} ÷ 2)²) = {n(f.own_c / sqrt(2), 4)} °C;"
        f" shared: {n(f.shared_c)} °C\n"
        f"u = √({n(f.own_c / sqrt(2), 4)}² + {n(f.shared_c)}²) = {n(_mean(f), 5)} °C"
    ),
)


def _column(*values):
    return tuple((value,) for value in values)


lower_edge = Problem(
    "05-lower-edge", 2, "Known is corrected, unknown is budgeted",
    "Tell a bias that is known from a doubt that is not.",
    asks="A program takes the lower edge of its step for the reading; a step is {step_c} °C. How much must be added to"
         " a reading, and which standard uncertainty do the steps leave afterwards?",
    figures=(Draw("step_c", (0.322, 0.24, 0.145, 0.48, 1.25)),),
    answer=Table(
        rows=lambda f: ("Correction", "Standard uncertainty left"),
        columns=(Column("in degrees", "temperature span", "°C", 0.0026),),
        value=lambda f: _column(f.step_c / 2, _u(f.step_c / 2)),
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


def _limits(f):
    return f.sensor_c, f.reference_c, f.offset_lsb * STEP_C


def _worst(f):
    inputs = [Input(0.0, half_width=size, shape="rectangular") for size in (*_limits(f)[:2], f.offset_lsb)]
    return worst_case(lambda sensor, reference, offset: sensor + reference + STEP_C * offset, inputs).half_width


worst = Problem(
    "05-worst-case", 3, "Everything to one side",
    "Add limits for the worst case.",
    asks="The limits in a budget are ±{sensor_c} °C for the sensor, ±{reference_c} °C in the reading for the reference,"
         " and ±{offset_lsb} steps for the converter's offset; a step is 0.61 °C. How far can the reading be off at"
         " most, by these three?",
    figures=(LIMITS,),
    answer=Number(
        _worst, "temperature span", "°C", 0.05,
        "Half a tenth leaves room for rounding the offset's limits to a hundredth.",
        wrong=(
            Wrong("squares", lambda f: _root_sum(_limits(f)),
                  "The limits were added as squares. That is for what is likely; here all err to one side."),
            Wrong("standard", lambda f: sum(_limits(f)) / sqrt(3),
                  "The limits were made standard uncertainties first. The worst case is made of the limits."),
            Wrong("steps-as-degrees", lambda f: f.sensor_c + f.reference_c + f.offset_lsb,
                  "Steps were taken for degrees. How much is a step?"),
            Wrong("one-step", lambda f: f.sensor_c + f.reference_c + STEP_C,
                  "A single step was taken for the offset. How many does the line say?"),
            Wrong("expanded", lambda f: 2 * _root_sum(_limits(f)) / sqrt(3),
                  "This is an expanded uncertainty, k = 2. It is likely, not certain, to hold the error."),
    )),
    hints=("Bring all three to degrees of reading.", "The worst case has all of them off to the same side, fully."),
    solution=lambda f: (
        f"Offset: {n(f.offset_lsb)} × 0.61 °C = {n(f.offset_lsb * STEP_C)} °C\n"
        f"Worst: {n(f.sensor_c)} + {n(f.reference_c)} + {n(f.offset_lsb * STEP_C)} = {n(sum(_limits(f)))} °C"
    ),
)

report = Problem(
    "05-report", 3, "How to write it down",
    "Report a result with its uncertainty so that others can use it.",
    asks="The corrected reading is 24.8731 °C, its combined standard uncertainty 1.31294 °C. Which sentence belongs in"
         " the report?",
    figures=(),
    answer=Choice(
        options=(
            Option("all", "(24.8731 ± 2.57336) °C, with every digit that the budget gives",
                   "Who can know a doubt to six digits? And what does ± mean here: limits, u, or U?"),
            Option("two", "(24.9 ± 2.6) °C: ± is the expanded uncertainty, k = 1.96, 95 %",
                   "Two digits of U, the reading to the same place, and the factor beside it."),
            Option("bare", "(25 ± 3) °C, where ± is what the budget of the bench has come to",
                   "The digits are honest. But is it u, U or a worst case? The next reader has to guess."),
            Option("small", "(24.9 ± 1.3) °C, as the reading and its uncertainty were found",
                   "Without a word, readers take ± for something that nearly always holds. This is a single u."),
        ),
        right="two",
    ),
    hints=("An uncertainty has two digits at most, and the result ends at the same decimal place.",
           "What must the next reader know to get back to u?"),
    solution=lambda f: "U = 1.96 × 1.31294 °C, rounded to 2.6 °C; the reading to tenths; and k and the level beside it,"
                       " so that the next one can divide.",
)


# What trials say about the formula


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
    "05-clause-8", 2, "Formula or trials?",
    "Judge by trials how far the formula may be used.",
    asks="By the formula u is {u_c} °C, so 95 % of the errors lie within ±1.96 u. A million trials of the same"
         " budget put 95 % of them between {low_c} °C and {high_c} °C. JCGM 101, clause 8: both ends have to agree"
         " within half a unit of the last digit of u that one wants to claim. How many digits of u may be claimed from"
         " the formula?",
    figures=(
        Draw("u_c low_c high_c", (
            (2.54, -4.59, 5.06), (1.27, -2.47, 2.51), (3.42, -6.58, 6.87), (2.31, -3.55, 4.92), (1.43, -2.83, 2.77),
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

PROBLEMS = (
    kinds_of_lines, reference, half_worked, expanded, tolerance_slope, twenty_boards,
    which_part, find_the_slip, improve, error_or_doubt, lower_edge, difference, mean_of_two, worst, report, clause_8,
)  # fmt: skip

# Lines to complete: the bench of the book, by its papers

_CHAIN = replace(scenario(supply_v=5.0), converter=Converter(bits=10, offset_lsb=2.0, gain_lsb=2.0, inl_lsb=1.0))
BENCH = Design("North bench (invented)", _CHAIN, noise=Noise(0.002, 16))
FOUR = tuple(_u(limit) for limit in BENCH_LIMITS)
AT_18C = (1.5, 0.05 * (600 + 8 * 18) / 8, 2 * 0.6103515625, 0.6103515625)


def _with(accuracy_c=1.5, tolerance=0.05):
    """The bench's budget at 25 °C with a sensor of this accuracy and a reference of this tolerance."""
    chain = replace(
        _CHAIN,
        sensor=replace(_CHAIN.sensor, accuracy_c=accuracy_c),
        reference=replace(_CHAIN.reference, tolerance=tolerance),
    )
    return chain_budget(replace(BENCH, chain=chain), 25.0)


def _span(value, tolerance, reason, *wrong):
    return Number(value, "temperature span", "°C", tolerance, reason, wrong)


def _sensors(at):
    """Sensors of 1,000 in a class half a degree wide around `at` [degC], of a rectangle of ±1.5 °C."""
    return np.where(np.abs(at) < 1.5, 1000 / 6, 0.0)


def _bell(at):
    """The same for a bell of the same standard deviation."""
    u = _u(1.5)
    return 1000 * 0.5 / (u * np.sqrt(2 * np.pi)) * np.exp(-(at**2) / (2 * u**2))


def _slope_c_per_v():
    """Degrees of reading for each volt of the true reference, at 25 °C: the tangent by the budget."""
    return _with().row("reference voltage").sensitivity


LINES = (
    Line(
        "05-lower-edge-add",
        "Correct what is known.",
        "A program prints the lower edge of its step instead of the middle. A step is worth 0.610 °C. How much do you"
        " add to each reading?",
        _span(lambda f: _CHAIN.step_c(25.0) / 2, 0.005, HUNDREDTH,
              Wrong("whole-step", lambda f: _CHAIN.step_c(25.0),
                    "A whole step leads to the upper edge. How far is the middle?"),
              Wrong("doubt", lambda f: _CHAIN.step_c(25.0) / sqrt(12),
                    "This is what the steps leave open. The correction goes from the edge to the middle.")),
        rail=("to add", 0, 1),
        then="It was too low every time: an error, and it is gone.",
    ),
    sketch(
        "05-sketch-rectangle",
        "Draw what limits alone say about the inside.",
        "Sort 1,000 sensors of this kind by their error, into classes half a degree wide. How many fall into the class"
        " around −1.75 °C, around −1.25 °C, and so on to 1.75 °C?",
        "", 12.0, "The last digits do not matter for a shape.",
        Sketch((-1.75, -1.25, -0.75, -0.25, 0.25, 0.75, 1.25, 1.75), _sensors,
               ("error", "°C", -2.0, 2.0), ("sensors", 0, 300)),
        wrong=(
            Wrong("bell", lambda f, at: _bell(at), "This is a bell. Who says that the middle is likelier?"),
            Wrong("beyond", lambda f, at: np.full(np.shape(at), 125.0), "Some lie beyond the limits. A maximum is never"
                  " passed."),
        ),
        quantity="number",
        then="As likely near the limits as in the middle, and never beyond.",
    ),
    Line(
        "05-sensor-u",
        "Turn limits into a standard uncertainty.",
        "The sensor is within ±1.5 °C, maximum. Nothing says that some values between are likelier. What is its"
        " standard uncertainty?",
        _span(lambda f: _with().row("sensor accuracy").standard_c, 0.005, HUNDREDTH,
              Wrong("half-width", lambda f: 1.5, "These are the limits. Most values do not lie at the ends."),
              Wrong("no-root", lambda f: 0.5, "Divided by 3. The divisor is the root of 3."),
              Wrong("halved", lambda f: 0.75, "What stands behind ± is half of the width already."),
              Wrong("whole-width", lambda f: 3 / sqrt(3), "The whole width was divided. Behind ± stands the half."),
              Wrong("triangle", lambda f: 1.5 / sqrt(6), "√6 is for a triangle: values likelier in the middle.")),
        rail=("u", 0, 2),
    ),
    Line(
        "05-reference-slope",
        "Find a sensitivity by pushing a little.",
        "The air stays at 25 °C. With a true reference of 4.95 V the board reads 26.01 °C, with 5.05 V it reads"
        " 24.01 °C. How many degrees does the reading move for each volt of reference? Mind the sign.",
        Number(lambda f: _slope_c_per_v(), "number", "", 0.4,
               "The two readings are rounded to a hundredth.", (
               Wrong("height", lambda f: 26.01 / 4.95, "A height was divided by its place. A slope is a rise over a"
                     " way."),
               Wrong("undivided", lambda f: -2.0, "This is the whole fall. By how much did the voltage rise?"),
               Wrong("upside-down", lambda f: -0.05, "Volts for each degree. It is asked the other way round."))),
        rail=("°C for each V", -28, 8),
        then="A higher reference makes the reading lower.",
    ),
    Line(
        "05-reference-u",
        "Carry a tolerance in per cent to the reading.",
        "The reference is within ±5 % of 5 V, all values equally likely, and the sensor gives 0.800 V at 25 °C. What"
        " standard uncertainty does that bring into the reading?",
        _span(lambda f: _with().row("reference voltage").standard_c, 0.02, "Two hundredths leave room for rounding.",
              Wrong("percent-of-reading", lambda f: 1.25 / sqrt(3), "Five per cent of 25 °C. It is the voltage that is"
                    " stretched."),
              Wrong("limits-of-reading", lambda f: 1.25, "Five per cent of 25 °C. The reference stretches 0.800 V. How"
                    " many degrees are 5 % of that?"),
              Wrong("half-width", lambda f: 5.0, "These are the limits, ±5 °C. Now make a standard uncertainty of"
                    " them."),
              Wrong("of-full-scale", lambda f: 250 / 8 / sqrt(3), "Five per cent of 5 V. The signal is 0.800 V."),
              Wrong("halved", lambda f: 2.5, "The limits were halved. A rectangle is divided by √3."),
              Wrong("no-root", lambda f: 5 / 3, "Divided by 3. The divisor is the root of 3.")),
        rail=("u", 0, 6),
    ),
    Line(
        "05-combined",
        "Combine standard uncertainties.",
        "Your sensor and your reference, the offset with 0.70 °C and the INL with 0.35 °C: all independent. What is"
        " the combined standard uncertainty, in °C?",
        _span(lambda f: _combined(*FOUR), 0.02, "The four are rounded to a hundredth.",
              Wrong("added", lambda f: sum(FOUR), "Added as they stand, as if all erred to one side."),
              Wrong("no-root", lambda f: sum(u**2 for u in FOUR), "This is the sum of the squares: a variance. What is"
                    " missing?"),
              Wrong("two-only", lambda f: _root_sum(FOUR[:2]), "Sensor and reference alone. Offset and INL belong to"
                    " it, too."),
              Wrong("root-mean", lambda f: _root_sum(FOUR) / 2, "The squares were averaged. More doubts never make less"
                    " doubt.")),
        rail=("u", 0, 8),
    ),
    Line(
        "05-sensor-share",
        "Work out a share of the variance.",
        "You have the sensor's standard uncertainty and the combined one. What share of the variance, in %, comes from"
        " the sensor?",
        Number(lambda f: 100 * _u(1.5) ** 2 / _combined(*FOUR) ** 2, "percent", "%", 0.2,
               "Both were rounded before, and squares double what rounding does.", (
               Wrong("not-squared", lambda f: 100 * _u(1.5) / _combined(*FOUR), "Shares go by squares, not by sizes."),
               Wrong("of-the-sum", lambda f: 100 * _u(1.5) / sum(FOUR), "Sizes over the sum of sizes. Take squares over"
                     " the sum of squares."),
               Wrong("limits", lambda f: 100 * 1.5 / sum(BENCH_LIMITS), "Limits were compared. Take squares of"
                     " standard uncertainties."))),
        rail=("share", 0, 50),
        then="And 86 % come from the reference.",
    ),
    Line(
        "05-expand",
        "Expand once, at the end.",
        "Take your combined standard uncertainty. What is the expanded uncertainty, in °C, with k = 1.96?",
        _span(lambda f: 1.96 * _combined(*FOUR), 0.05, "Two digits are enough for an uncertainty.",
              Wrong("divided", lambda f: _combined(*FOUR) / 1.96, "Divided. A certificate is divided on the way in; a"
                    " result is multiplied on the way out."),
              Wrong("two", lambda f: 2 * _combined(*FOUR), "This is with k = 2. Here k is 1.96."),
              Wrong("root-three", lambda f: _combined(*FOUR) * sqrt(3), "√3 belongs to a rectangle's limits. Here k is"
                    " given.")),
        rail=("U", 0, 12),
    ),
    Line(
        "05-after-reference",
        "Say what a better reference brings.",
        "In the explorer, at 25 °C, set the reference to ±1 % and leave all else. What is the expanded uncertainty U?",
        _span(lambda f: _with(tolerance=0.01).expanded_c, 0.05, "A tenth of a degree is seen in the picture.",
              Wrong("in-proportion", lambda f: _with().expanded_c / 5, "A fifth of all. Only the reference became five"
                    " times better."),
              Wrong("four-off", lambda f: _with().expanded_c - 4, "Four degrees were taken off as they stand. Squares"
                    " add, not sizes."),
              Wrong("standard", lambda f: _with(tolerance=0.01).standard_c, "This is u, before k.")),
        rail=("U", 0, 8),
        then="The better sensor brought 6.1 °C down to 5.9 °C.",
    ),
    Line(
        "05-why-squares",
        "Say why small contributions hardly matter.",
        "The noise of a reading has 0.06 °C, a fiftieth of the combined uncertainty, and takes less than a thousandth"
        " of"
        " the variance. Why so little?",
        Choice(
            options=(
                Option("squares", "because squares make small ones smaller", "A fiftieth, squared, is 0.0004: less"
                                                                             " than a"
                       " thousandth."),
                Option("corrected", "because small ones are corrected first", "Noise has no sign that one could take"
                       " off."),
                Option("limits", "because small ones stay off their limits", "So may large ones. What is done with each"
                       " before they are added?"),
            ),
            right="squares",
        ),
    ),
    Line(
        "05-agree-thermometer",
        "Compare two results and decide what to do.",
        "The bench reads 25.0 °C ± 6.1 °C, a thermometer beside it 19.5 °C ± 0.2 °C. Do they agree, and what do you"
        " do?",
        Choice(
            options=(
                Option("measure", "agree, measure the supply", "5.5 °C is within √(6.1² + 0.2²). So nothing is shown to"
                       " be broken; but so wide an agreement helps nobody."),
                Option("fine", "agree, all is well here", "They agree because U is wide. Would you rely on 25.0 °C?"),
                Option("replace", "disagree, replace the sensor", "Work out √(6.1² + 0.2²), and compare the difference"
                       " with it."),
            ),
            right="measure",
        ),
    ),
    Line(
        "05-agree-pair",
        "Take out what two results share before you compare them.",
        "Two sensors of one board lie side by side in the same air. One reads 25.9 °C, the other 23.2 °C. Of its own"
        " each has u = 0.87 °C; all else is shared. Do they agree, and what do you do?",
        Choice(
            options=(
                Option("swap", "disagree, swap the two sensors", "2.7 °C is more than 1.96 × √2 × 0.87 °C = 2.4 °C. If"
                       " the difference goes with the sensor, it is the sensor."),
                Option("supply", "agree, measure the supply", "A wrong supply moves both alike. What can their"
                       " difference still come from?"),
                Option("mean", "agree, take the mean of both", "What both share drops out of the difference. Compare"
                       " 2.7 °C with what is left."),
            ),
            right="swap",
        ),
    ),
    Line(
        "05-lamp-budget",
        "Finish a budget at the lamp's limit.",
        "At 18 °C the standard uncertainties are 0.87 °C (sensor), 2.68 °C (reference), 0.70 °C (offset) and 0.35 °C"
        " (INL). What is U, with k = 1.96?",
        _span(lambda f: 1.96 * _combined(*(_u(limit) for limit in AT_18C)), 0.05,
              "Two digits are enough for an uncertainty.",
              Wrong("k-forgotten", lambda f: _root_sum(AT_18C) / sqrt(3), "This is the combined standard uncertainty."
                    " Expand it."),
              Wrong("added", lambda f: 1.96 * sum(AT_18C) / sqrt(3), "The sizes were added. Squares add."),
              Wrong("as-at-25", lambda f: 1.96 * _combined(*FOUR), "This is U at 25 °C. The reference brings less at 18"
                    " °C.")),
        rail=("U", 0, 12),
        then="With all lines of the file, the package finds 5.7 °C too.",
    ),
)

# Predictions: the bench with all that its papers say

_SETTINGS = {
    "t_c": 25.0, "accuracy_c": 1.5, "tolerance_percent": 5.0, "offset_lsb": 2.0, "gain_lsb": 2.0, "inl_lsb": 1.0,
    "noise_mv": 2.0, "heating_c": 0.0, "lead_mv": 0.0, "drift_ppm": 0.0, "calibrated": "none",
}  # fmt: skip

PREDICTIONS = (
    Prediction(
        "05-better-sensor",
        "By all its papers together, the bench is good to ±6.1 °C, in 95 cases of 100. A sensor of ±0.5 °C takes the"
        " place of the one of ±1.5 °C. The bench is then good to plus or minus how much?",
        "Under “Try it”, set the accuracy limits to 0.5 °C in the picture, and look at the expanded uncertainty.",
        "Contributions add as squares. The reference alone has 86 of 100 parts of the variance; the sensor had 8, and"
        " most of these 8 are gone.",
        number=Amount(
            lambda: _with(accuracy_c=0.5).expanded_c, "°C", 1, "temperature span", near=0.2,
            wrong=(
                Wrong("subtracted", lambda: _with().expanded_c - 1,
                      "The degree was taken off as it is. Squares add up, and the largest decides."),
                Wrong("in-proportion", lambda: _with().expanded_c / 3,
                      "All was divided by three. Only the sensor's part became smaller."),
        )),
        explorer="error_budget", settings=_SETTINGS | {"accuracy_c": 0.5},
        saw=lambda found: found.budget.expanded_c,
    ),
)
