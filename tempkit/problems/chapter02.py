"""Practice for chapter 02: steps in volts and in degrees; codes, floor and round, 2^N and 2^N − 1."""

import math

import numpy as np

from tempkit.chain import Converter, scenario
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
    cheapest,
    code,
    listed,
    sketch,
)
from tempkit.exercises import plain as n
from tempkit.problems.common import (
    BENCH_C,
    BITS,
    REFERENCES,
    SENSOR_TEXT,
    SENSORS,
    chain,
    clear_of_edges,
    inside,
    millivolts,
    step_mv,
    steps_at,
)

# Steps

TOP_CODE = "The reference was divided by the highest code. Count the steps from 0 V to the reference instead."

step_in_mv = Problem(
    "02-step-in-mv", 2, "One step in millivolts",
    "Work out what one step of a converter is worth in volts.",
    asks="A converter of {bits} bits refers to {reference_v} V. How large is one step?",
    figures=(REFERENCES, BITS),
    answer=Number(
        lambda f: 1000 * Converter(bits=f.bits).step_v(float(f.reference_v)),
        "voltage", "mV", lambda f: 0.0004 * step_mv(f),
        "Four digits are asked for: they part the count of steps from the highest code at 10 bits.",
        digits=4, wrong=(
            Wrong("highest-code", lambda f: 1000 * f.reference_v / (2**f.bits - 1), TOP_CODE),
            Wrong("by-the-bits", lambda f: 1000 * f.reference_v / f.bits,
                  "The reference was divided by the number of bits. How many codes do these bits make?"),
            Wrong("one-bit-more", lambda f: 1000 * f.reference_v / 2 ** (f.bits + 1),
                  "This is half a step: a power of two too far."),
            Wrong("one-bit-less", lambda f: 1000 * f.reference_v / 2 ** (f.bits - 1),
                  "This is two steps: a power of two is missing."),
    )),
    hints=("All steps together fill the range from 0 V to the reference, evenly.",
           "Count the codes of the converter first: each has a step of its own.",
           "Reference in millivolts, divided by that count."),
    solution=lambda f: (
        f"Steps: 2^{f.bits} = {n(2**f.bits)}\n"
        f"One step: {n(1000 * f.reference_v)} mV ÷ {n(2**f.bits)} = {n(step_mv(f))} mV"
    ),
)

step_in_degrees = Problem(
    "02-step-in-degrees", 2, "One step in degrees",
    "Say what one step of the converter is worth in degrees.",
    asks=SENSOR_TEXT + ". A converter of {bits} bits refers to {reference_v} V. How many degrees is one"
                       " step worth?",
    figures=(REFERENCES, BITS, SENSORS),
    answer=Number(
        lambda f: chain(f, f.reference_v).step_c(25.0),
        "temperature span", "°C", 0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=3, wrong=(
            Wrong("highest-code", lambda f: 1000 * f.reference_v / (2**f.bits - 1) / f.slope_mv_per_c,
                  TOP_CODE, faint=True),
            Wrong("multiplied", lambda f: step_mv(f) * f.slope_mv_per_c,
                  "The step was multiplied by the slope. Look at the units: millivolts must cancel."),
            Wrong("step-in-mv", lambda f: step_mv(f),
                  "This is the step in millivolts. One thing is left to do: how many of them make a degree?"),
            Wrong("span-as-temperature", lambda f: (step_mv(f) - f.at_0c_mv) / f.slope_mv_per_c,
                  "The output at 0 °C was taken away. A step is a span of temperature, not a temperature."),
            Wrong("fahrenheit", lambda f: 1.8 * step_mv(f) / f.slope_mv_per_c,
                  "This is the step in °F. Choose the unit that belongs to the slope, or change the unit."),
    )),
    hints=("Two steps: first what one step is worth in millivolts.",
           "The slope says how many millivolts make one degree.",
           "Divide the step by the slope. The output at 0 °C plays no part in a span."),
    solution=lambda f: (f"One step: {n(1000 * f.reference_v)} mV ÷ {n(2**f.bits)} = {n(step_mv(f))} mV\n"
                        f"In degrees: {n(step_mv(f))} mV ÷ {n(f.slope_mv_per_c)} mV/°C ="
                        f" {n(step_mv(f) / f.slope_mv_per_c)} °C"),
)


def _steps_needed(f):
    return 1000 * f.reference_v / (f.slope_mv_per_c * f.wanted_c)


bits_needed = Problem(
    "02-bits-needed", 2, "Bits for a wanted step",
    "Choose the number of bits for a wanted step in degrees.",
    asks="A step should be worth {wanted_c} °C or less, with a sensor of {slope_mv_per_c} mV/°C and a"
         " reference of {reference_v} V. How many bits must the converter have at least?",
    figures=(Draw("wanted_c", (0.2, 0.1, 0.05, 0.25, 0.5, 1)),
             Draw("slope_mv_per_c", (8, 18)), REFERENCES),
    sensible=lambda f: 0.05 < math.log2(_steps_needed(f)) % 1 < 0.95,
    answer=Number(
        lambda f: next(
            bits for bits in range(1, 25)
            if 1000 * Converter(bits=bits).step_v(float(f.reference_v)) <= f.slope_mv_per_c * f.wanted_c
        ),
        "bits", "bit", 0.0,
        "Bits are whole: the smallest number that reaches the step is the answer.",
        wrong=(
            Wrong("one-short", lambda f: math.floor(math.log2(_steps_needed(f))),
                  "With this number the step is still larger than wanted. Try the size of the step it"
                  " gives."),
            Wrong("one-more", lambda f: math.ceil(math.log2(_steps_needed(f))) + 1,
                  "That is fine enough, but fewer bits would do. The question asks for the least."),
            Wrong("decimal-digits", lambda f: math.ceil(math.log10(_steps_needed(f))),
                  "This counts decimal digits. Bits are powers of two."),
            Wrong("no-slope", lambda f: math.ceil(math.log2(1000 * f.reference_v / f.wanted_c)),
                  "Degrees were taken for millivolts. How many millivolts are the wanted degrees?"),
        ),
        whole=True,
    ),
    hints=("Turn the wanted step from degrees into millivolts.",
           "How many such steps fit into the reference?",
           "Look for the first power of two that is not smaller than that number."),
    solution=lambda f: (
        f"Wanted step: {n(f.wanted_c)} °C × {n(f.slope_mv_per_c)} mV/°C = {n(f.wanted_c * f.slope_mv_per_c)}"
        " mV\n"
        f"Steps: {n(1000 * f.reference_v)} mV ÷ {n(f.wanted_c * f.slope_mv_per_c)} mV ="
        f" {n(_steps_needed(f), 5)}\n"
        f"2^{math.floor(math.log2(_steps_needed(f)))} is too few, so bits ="
        f" {math.ceil(math.log2(_steps_needed(f)))}"
    ),
)

finer_converter = Problem(
    "02-finer-converter", 2, "A finer converter",
    "Tell a finer step from a better reading.",
    asks="A bench uses a sensor with accuracy limits of ±{accuracy_c} °C and a 10-bit converter with a step"
         " of {step_c} °C. Someone puts a 12-bit converter with the same reference in its place. What"
         " becomes better?",
    figures=(Draw("accuracy_c", (1.5, 2, 1, 3)), Draw("step_c", (0.61, 0.4, 0.31))),
    answer=Choice(
        options=(
            Option("four-times-truer", "The readings are four times closer to the true temperature",
                   "The step is only one part of the error. Which part is the largest, and did it change?"),
            Option("finer-only", "The step is four times smaller; the sensor's limits stay as they are",
                   "Small changes show sooner, but the sensor's own limits still decide how true the"
                   " reading is."),
            Option("nothing", "Nothing at all: the sensor's limits are larger than either step",
                   "Something does change: think of a slow drift of a tenth of a degree."),
            Option("twice", "The step is smaller by two bits, so half as large",
                   "Each bit alone halves the step. How many bits were added?"),
        ),
        right="finer-only",
    ),
    asks_how_sure=True,
    hints=("Write down each cause of error on its own: sensor, reference, step.",
           "Which of them does the number of bits touch?"),
    solution=lambda f: (
        f"Two more bits divide the step of {n(f.step_c)} °C by four. The sensor's ±{n(f.accuracy_c)} °C is"
        " not touched: the reading is finer, hardly truer."
    ),
)


# Codes, floor and round

FORGOT = "The output at 0 °C has been left out. What does the sensor give before the code is made?"


def _below_reference(f):
    fits = inside(f, f.t_c) and millivolts(f, f.t_c) < 1000 * f.reference_v
    return fits and clear_of_edges(steps_at(f, f.t_c))


code_for_temperature = Problem(
    "02-code-for-temperature", 2, "The code for a temperature",
    "Walk from a temperature to the code that the converter gives.",
    asks=SENSOR_TEXT + ". The converter has {bits} bits, refers to {reference_v} V and drops the remainder"
                       " (it floors). Which code does {t_c} °C give?",
    figures=(Draw("t_c", BENCH_C), REFERENCES, BITS, SENSORS),
    sensible=_below_reference,
    answer=code(
        lambda f: chain(f, f.reference_v).code(float(f.t_c)),
        wrong=(
            Wrong("rounded", lambda f: math.floor(steps_at(f, f.t_c) + 0.5),
                  "The count of steps was rounded. What does a converter that floors do with the remainder?"),
            Wrong("forgot-offset", lambda f: math.floor(f.slope_mv_per_c * f.t_c / step_mv(f)), FORGOT),
            Wrong("millivolts", lambda f: math.floor(millivolts(f, f.t_c)),
                  "This is the sensor's output in millivolts. How many steps of the converter fit into it?"),
    )),
    hints=("First the sensor: what voltage does it give?",
           "Then the converter: how many whole steps fit into that voltage?",
           "Voltage divided by the size of a step; drop what is left over."),
    solution=lambda f: (
        f"Sensor: {n(millivolts(f, f.t_c))} mV\n"
        f"Steps: {n(millivolts(f, f.t_c))} mV × {n(2**f.bits)} ÷ {n(1000 * f.reference_v)} mV ="
        f" {n(steps_at(f, f.t_c))}\n"
        f"Without the remainder: code = {n(math.floor(steps_at(f, f.t_c)))}"
    ),
)


def _floored(f):
    return math.floor(f.v_mv / step_mv(f))


def _pair(first, second):
    return ((first,), (second,))


floor_and_round = Problem(
    "02-floor-and-round", 1, "Floor and round",
    "Tell a converter that floors from one that rounds.",
    asks="Two converters of {bits} bits refer to {reference_v} V. One floors, the other rounds to the"
         " nearest code. Both see {v_mv} mV. Which codes do they give?",
    figures=(Draw("v_mv", (750, 705, 723, 731, 748, 765, 784, 806, 818)), REFERENCES, BITS),
    sensible=lambda f: f.v_mv / step_mv(f) % 1 > 0.52 and clear_of_edges(f.v_mv / step_mv(f)),
    answer=Table(
        rows=lambda f: ("Code of the one that floors", "Code of the one that rounds"),
        columns=(Column("code", "code", "code", 0.0, whole=True),),
        value=lambda f: _pair(*(
            Converter(bits=f.bits, transfer=way).code(f.v_mv / 1000, float(f.reference_v))
            for way in ("floor", "round")
        )),
        reason="A code is a whole number: it is right or it is not.",
        wrong=(
            Wrong("swapped", lambda f: _pair(_floored(f) + 1, _floored(f)),
                  "The two are swapped. Which of them drops the remainder?"),
            Wrong("both-floored", lambda f: _pair(_floored(f), _floored(f)),
                  "Both were floored. The remainder here is more than half a step."),
            Wrong("both-rounded", lambda f: _pair(_floored(f) + 1, _floored(f) + 1),
                  "Both were rounded. One of the two never goes up."),
    )),
    hints=("Count the steps that fit into the voltage, with the remainder.",
           "Flooring drops the remainder; rounding goes up from half a step on."),
    solution=lambda f: (
        f"Steps: {n(f.v_mv)} mV × {n(2**f.bits)} ÷ {n(1000 * f.reference_v)} mV = {n(f.v_mv / step_mv(f))}\n"
        f"Floored = {n(math.floor(f.v_mv / step_mv(f)))}\n"
        f"Rounded = {n(math.floor(f.v_mv / step_mv(f) + 0.5))}"
    ),
)


def _too_high_c(f):
    """What dividing by the highest code adds to a reading, from one fraction [degC]."""
    return f.code * 1000 * f.reference_v / (2**f.bits * (2**f.bits - 1)) / f.slope_mv_per_c


highest_code_error = Problem(
    "02-highest-code-error", 3, "Dividing by the highest code",
    "See what dividing by 2^N − 1 instead of 2^N costs in degrees.",
    asks="A program turns code {code} of a converter with {bits} bits into volts as code × {reference_v} V"
         " ÷ (2^{bits} − 1). Its author should have divided by the count of codes. By how many degrees does"
         " that change the reading of a sensor with {slope_mv_per_c} mV/°C?",
    figures=(
        Draw("bits code", ((8, 120), (8, 77), (8, 200), (10, 163), (10, 410), (10, 800),
                           (12, 1800), (12, 3900))),
        REFERENCES,
        Draw("slope_mv_per_c", (8, 18)),
    ),
    answer=Number(
        lambda f: 1000 * f.code * (
            f.reference_v / (Converter(bits=f.bits).codes - 1)
            - Converter(bits=f.bits).step_v(float(f.reference_v))
        ) / f.slope_mv_per_c,
        "temperature span", "°C", lambda f: 0.01 * _too_high_c(f),
        "The error itself is small; two digits of it are more than anything that matters.",
        digits=2, wrong=(
            Wrong("whole-step", lambda f: step_mv(f) / f.slope_mv_per_c,
                  "This is a whole step. The change grows with the code: it is a whole step only at the"
                  " top."),
            Wrong("in-mv", lambda f: _too_high_c(f) * f.slope_mv_per_c,
                  "This is the change in millivolts. The slope turns it into degrees."),
            Wrong("sign", lambda f: -_too_high_c(f),
                  "The size is right. Does dividing by a smaller number make the volts larger or smaller?"),
            Wrong("half-step", lambda f: step_mv(f) / f.slope_mv_per_c / 2,
                  "This is half a step, the middle of a step from its edge. Here two scales are compared."),
    )),
    hints=("Work out the volts twice, once with each divisor, and keep all digits.",
           "Take the difference, and turn it into degrees with the slope."),
    solution=lambda f: (
        f"With the highest code: {f.code} × {n(1000 * f.reference_v)} mV ÷ {n(2**f.bits - 1)}"
        f" = {n(f.code * 1000 * f.reference_v / (2**f.bits - 1), 9)} mV\n"
        f"With the count: {f.code} × {n(1000 * f.reference_v)} mV ÷ {n(2**f.bits)} ="
        f" {n(f.code * step_mv(f), 9)} mV\n"
        f"Difference ÷ {n(f.slope_mv_per_c)} mV/°C = {n(_too_high_c(f), 4)} °C"
    ),
)


def _end_steps(f):
    return [millivolts(f, t_c) / step_mv(f) for t_c in (f.low_c, f.high_c)]


def _range_fits(f):
    """The range lies below the reference, its ends clear of the edges of steps (0 mV is an end by itself)."""
    steps = [step for step in _end_steps(f) if step]
    return all(clear_of_edges(step) for step in steps) and millivolts(f, f.high_c) < 1000 * f.reference_v


codes_of_range = Problem(
    "02-codes-of-range", 2, "Codes that the sensor uses",
    "See how few of a converter's codes a sensor may use.",
    asks=SENSOR_TEXT + ", from {low_c} °C to {high_c} °C. A converter of {bits} bits refers to"
                       " {reference_v} V and floors. How many different codes can this sensor give, both"
                       " ends included?",
    figures=(REFERENCES, BITS, SENSORS),
    sensible=_range_fits,
    answer=Number(
        lambda f: 1 + int(np.diff(chain(f, f.reference_v).code([f.low_c, f.high_c]))[0]),
        "number", "", 0.0,
        "A count is a whole number: it is right or it is not.",
        wrong=(
            Wrong("fence-posts", lambda f: math.floor(_end_steps(f)[1]) - math.floor(_end_steps(f)[0]),
                  "One is missing: from the 3rd to the 5th there are three, not two."),
            Wrong("all-codes", lambda f: 2**f.bits,
                  "These are all codes of the converter. Which of them does the sensor never reach?"),
            Wrong("from-zero", lambda f: math.floor(_end_steps(f)[1]) + 1,
                  "It was counted from code 0. Does the coldest end give code 0?"),
            Wrong("one-too-many", lambda f: math.floor(_end_steps(f)[1]) - math.floor(_end_steps(f)[0]) + 2,
                  "One too many: only one of the two ends is added to the difference."),
        ),
        whole=True,
    ),
    hints=("Find the code at each end of the sensor's range.",
           "Count from one to the other, and count both ends."),
    solution=lambda f: (
        f"Coldest: {n(millivolts(f, f.low_c))} mV gives code {n(math.floor(_end_steps(f)[0]))}\n"
        f"Warmest: {n(millivolts(f, f.high_c))} mV gives code {n(math.floor(_end_steps(f)[1]))}\n"
        f"Codes: {n(math.floor(_end_steps(f)[1]))} − {n(math.floor(_end_steps(f)[0]))} + 1"
        f" = {n(math.floor(_end_steps(f)[1]) - math.floor(_end_steps(f)[0]) + 1)}"
    ),
)


# A staircase to read, edges to judge, a converter to choose, a step by head

READ_C = 6  # how many degrees the staircase shows


def _stairs_seen(f):
    """The code against the temperature: a point where each tread begins, and one at the end."""
    end_c = f.from_c + READ_C
    first, last = (math.floor(steps_at(f, t_c)) for t_c in (f.from_c, end_c))
    begins_c = [(k * step_mv(f) - f.at_0c_mv) / f.slope_mv_per_c for k in range(first + 1, last + 1)]
    points = ((f.from_c, first), *zip(begins_c, range(first + 1, last + 1), strict=True), (end_c, last))
    return Graph(
        "Codes of a bench whose air warms slowly", Scale("air", "°C", (f.from_c, end_c), 0.05),
        Scale("code", "", (first - 1, last + 2), 1), (Curve("code", points, "steps"),),
    )


def _step_c(f):
    return step_mv(f) / f.slope_mv_per_c


def _readable(f):
    fits = millivolts(f, f.from_c + READ_C) < 1000 * f.reference_v and inside(f, f.from_c)
    clear = all(clear_of_edges(steps_at(f, t_c), 0.1) for t_c in (f.from_c, f.from_c + READ_C))
    return fits and clear and 0.25 < _step_c(f) < 0.85


read_the_stairs = Problem(
    "02-read-the-stairs", 1, "A step read off a staircase",
    "Read the size of a step off a staircase of codes.",
    asks="The picture shows the codes of a bench while its air warms slowly. Neither sensor nor reference is known."
         " What is one step worth, in degrees? Use many treads, not one.",
    figures=(Draw("reference_v bits", ((3.3, 10), (2.5, 10), (5, 10), (1.8, 8), (2.5, 8), (3.3, 8))), SENSORS,
             Draw("from_c", (18, 20, 15))),
    sensible=_readable,
    picture=_stairs_seen,
    answer=Number(
        lambda f: chain(f, f.reference_v).step_c(25.0), "temperature span", "°C", lambda f: 0.03 * _step_c(f),
        "Over many treads the eye reads the width of one to three per cent.",
        digits=2, wrong=(
            Wrong("upside-down", lambda f: 1 / _step_c(f),
                  "These are codes for each degree. Asked are degrees for each code."),
            Wrong("half-step", lambda f: _step_c(f) / 2, "This is half a tread: from its edge to its middle."),
            Wrong("one-degree", lambda f: 1.0,
                  "A code is a step of the converter, and not a degree. Read the picture."),
    )),
    hints=("Where does the first full tread begin, and where does the last one end?",
           "Divide that distance by the number of treads between."),
    solution=lambda f: (
        f"From one tread to the next the code goes up by one. {_between(f)[0]} treads take {n(_between(f)[1], 4)} °C.\n"
        f"{n(_between(f)[1], 4)} °C ÷ {_between(f)[0]} = {n(_step_c(f), 4)} °C"
    ),
)


def _between(f):
    """The full treads in the picture, and what they take [degC]."""
    treads = math.floor(steps_at(f, f.from_c + READ_C)) - math.floor(steps_at(f, f.from_c)) - 1
    return treads, treads * _step_c(f)


EDGE_MV = 4  # one step of 10 bits and 4.096 V
FOUND = ("floors", "rounds", "offset", "wide")
EARLY = (0, 0.5, 3, 0)  # by how many steps each code comes early


def _edge_mv(f, k):
    wide = 1.02 if FOUND[f.found - 1] == "wide" else 1
    return (k - EARLY[f.found - 1]) * EDGE_MV * wide


first_edges = Problem(
    "02-first-edges", 1, "Where the codes begin",
    "Judge a converter by the voltages at which its codes begin.",
    asks="A converter of 10 bits refers to 4.096 V, so its step should be 4 mV; its specification says that it floors."
         " A known voltage is raised slowly. The list says at how many millivolts a code first appears. What do you"
         " find?",
    figures=(Draw("found", (2, 1, 3, 4)), Draw("first", (150, 125, 175))),
    listing=lambda f: listed(("code", "first appears at"), tuple(
        (f"{k}", f"{n(_edge_mv(f, k))} mV") for k in range(f.first, f.first + 250, 50))),
    answer=Choice(
        options=(
            Option("floors", "It floors, as its specification says",
                   "Each code begins at just so many full steps of 4 mV."),
            Option("rounds", "Its codes come half a step early",
                   "So do those of a converter that rounds, or of one with an offset of half a step. Either way the"
                   " program adds no half."),
            Option("offset", "Its codes come whole steps early",
                   "The staircase is shifted by the same voltage everywhere: an offset."),
            Option("wide", "Its steps are wider than they should be",
                   "The gap grows with the code: it is no shift. The reference is higher than it should be."),
        ),
        right=lambda f: FOUND[f.found - 1],
    ),
    asks_how_sure=True,
    hints=("Divide each voltage by 4 mV, and compare with the code.",
           "Is the gap the same in all lines? How large is it, in steps?"),
    solution=lambda f: _EDGES_SAID[f.found - 1],
)

_EDGES_SAID = (
    "Voltage ÷ 4 mV gives the code itself in every line: the converter floors.",
    "Voltage ÷ 4 mV is half a step below the code in every line: the codes come half a step early.",
    "Voltage ÷ 4 mV is three below the code in every line: an offset of three steps.",
    "Voltage ÷ 4 mV exceeds the code by two per cent in every line: each step is wider, so the reference is higher.",
)

# Invented: bits, reference [V].
OFFERS = {"a": (8, 2.5), "b": (10, 5.0), "c": (12, 5.0), "d": (10, 1.2), "e": (12, 3.3)}


def _price_of(f, key):
    return getattr(f, f"price_{key}")


def _lacks(f, key):
    bits, reference_v = OFFERS[key]
    if (1000 * reference_v - 600) / 8 < f.top_c:
        return "The sensor's voltage passes its reference before the warmest air. What does it say from there on?"
    return "" if 1000 * reference_v / 2**bits / 8 <= f.step_c else "Its step is worth more than is wanted."


def _meets(f):
    return [key for key in OFFERS if not _lacks(f, key)]


cheapest_converter = Problem(
    "02-cheapest-converter", 1, "The cheapest converter that will do",
    "Choose the cheapest converter that meets what is wanted.",
    asks="A sensor gives 600 mV at 0 °C and 8 mV/°C. Wanted: a step of {step_c} °C or less, and readings of air up to"
         " {top_c} °C. The list is invented. Which converter is the cheapest that gives both?",
    figures=(
        Draw("step_c top_c", ((0.2, 60), (0.7, 100), (0.2, 100), (0.65, 70))),
        Draw("price_a price_b price_c price_d price_e", (
            (0.7, 1.4, 3.1, 1.9, 2.6), (0.5, 2.3, 2.2, 2.9, 3.4), (0.9, 1.1, 2.4, 0.8, 2.7), (1.2, 1.8, 3.6, 2.1, 1.5),
        )),
    ),
    listing=lambda f: listed(("converter", "bits", "reference", "price"), tuple(
        (key.upper(), f"{bits}", f"{n(reference_v)} V", n(_price_of(f, key)))
        for key, (bits, reference_v) in OFFERS.items())),
    answer=cheapest(tuple((key, f"Converter {key.upper()}") for key in OFFERS), _price_of, _lacks),
    hints=("Work out the step of each in millivolts, then in degrees.",
           "What does the sensor give in the warmest air? Strike out every reference below that."),
    solution=lambda f: (
        f"These meet both: {', '.join(key.upper() for key in _meets(f))}. The cheapest of them is"
        f" {min(_meets(f), key=lambda key: _price_of(f, key)).upper()}, at"
        f" {n(min(_price_of(f, key) for key in _meets(f)))}."
    ),
)

step_by_head = Problem(
    "02-step-by-head", 1, "A step by head",
    "Estimate a step without a calculator.",
    asks="A converter of {bits} bits refers to {reference_v} V; the sensor gives {slope_mv_per_c} mV for each degree."
         " Without a calculator: about how many degrees is one step worth?",
    figures=(Draw("bits", (16, 18, 20)), Draw("reference_v", (5, 2.5, 3.3)), Draw("slope_mv_per_c", (12, 8))),
    answer=Number(
        lambda f: 1000 * Converter(bits=f.bits).step_v(float(f.reference_v)) / f.slope_mv_per_c,
        "temperature span", "°C", 0.0, "By head a factor of two is good enough to see what is worth printing.",
        within_factor=2,
        wrong=(
            Wrong("ten-bits", lambda f: 1000 * f.reference_v / 1024 / f.slope_mv_per_c,
                  "Ten bits make about a thousand steps. The bits beyond ten double that, again and again."),
            Wrong("step-in-mv", step_mv, "This is the step in millivolts. How many of them make a degree?"),
            Wrong("by-the-bits", lambda f: 1000 * f.reference_v / f.bits / f.slope_mv_per_c,
                  "The reference was divided by the number of bits. How many steps do these bits make?"),
    )),
    hints=("Ten bits are about a thousand steps: the reference in volts becomes as many millivolts a step.",
           "Each further bit halves that. Then divide by the slope."),
    solution=lambda f: (
        f"Ten bits: about {n(f.reference_v)} mV a step. {f.bits - 10} more bits: ÷ {2 ** (f.bits - 10)}, about"
        f" {n(f.reference_v / 2 ** (f.bits - 10), 2)} mV.\n"
        f"÷ {n(f.slope_mv_per_c)} mV/°C = {n(f.reference_v / 2 ** (f.bits - 10) / f.slope_mv_per_c, 2)} °C"
    ),
)


# Lines to complete: the bench, and a cold frame with 3.3 V

BENCH = scenario()
FRAME = scenario(nominal_v=3.3, bits=12)
STEP_C = 5000 / 1024 / 8
SLOPE_MV = 8


def _bench_c(steps, reference_v=5, codes=1024):
    """A count of steps as the bench's sensor's temperature [degC], by bare arithmetic."""
    return (steps * 1000 * reference_v / codes - 600) / SLOPE_MV


type_step_mv = Line(
    "02-type-step-mv",
    "Work out what one step of a converter is worth in volts.",
    "The converter has 10 bits and the reference is 5 V. How large is one step, in mV?",
    Number(
        lambda f: 1000 * BENCH.converter.step_v(5.0),
        "voltage", "mV", 0, "Four digits part the count of steps from the highest code.", digits=4, wrong=(
            Wrong("highest-code", lambda f: 5000 / 1023, TOP_CODE),
            Wrong("one-bit-more", lambda f: 5000 / 2048, "This is half a step: a power of two too far."),
            Wrong("one-bit-less", lambda f: 5000 / 512, "These are two steps: a power of two is missing."),
            Wrong("by-the-bits", lambda f: 500.0,
                  "The reference was divided by the bits. How many codes do they make?"),
        )),
    rail=("one step", 0, 12),
    then="Two more bits make a quarter of it.",
)

type_step_c = Line(
    "02-type-step-c",
    "Say what one step is worth in degrees.",
    "Take the step that you just found; the sensor gives 8 mV for each degree. What is one step worth, in °C?",
    Number(
        lambda f: BENCH.step_c(25.0),
        "temperature span", "°C", 0, "Half a unit of the last digit is room for rounding.", digits=2, wrong=(
            Wrong("multiplied", lambda f: 5000 / 1024 * SLOPE_MV,
                  "The step was multiplied by the slope. Look at the units: millivolts must cancel."),
            Wrong("upside-down", lambda f: SLOPE_MV / (5000 / 1024),
                  "These are steps for each degree. Asked are degrees for one step."),
            Wrong("step-in-mv", lambda f: 5000 / 1024,
                  "This is the step in millivolts. How many of them make a degree?"),
            Wrong("span-as-temperature", lambda f: _bench_c(1),
                  "The output at 0 °C was taken away. A step is a span, not a temperature."),
        )),
    rail=("one step", 0, 40),
    then="Nothing between two neighbouring readings can ever be printed.",
)

type_code = Line(
    "02-type-code",
    "Walk from a temperature to a code.",
    "The air is at 20 °C, and the sensor gives 600 mV + 20 × 8 mV. How many full steps is that: which code?",
    code(lambda f: BENCH.code(20.0), wrong=(
        Wrong("rounded", lambda f: 156, "The count was rounded. What does a converter that floors do with the rest?"),
        Wrong("forgot-offset", lambda f: math.floor(160 / (5000 / 1024)), FORGOT),
        Wrong("millivolts", lambda f: 760, "This is the sensor's output in millivolts. How many steps fit into it?"),
    )),
    rail=("code", 0, 1024),
)

warmest = Line(
    "02-warmest",
    "Say which temperatures a code stands for.",
    "Up to which temperature, in °C, does the bench say 167?",
    Number(
        lambda f: BENCH.celsius_at_pin(168 * BENCH.converter.step_v(5.0)),
        "temperature", "°C", 0.02, "A fiftieth of a degree is far below a step.", wrong=(
            Wrong("lower-edge", lambda f: _bench_c(167), "There it begins. Where does the next code begin?"),
            Wrong("middle", lambda f: _bench_c(167.5), "That is the middle of the step. Go on to its end."),
            Wrong("one-too-far", lambda f: _bench_c(169), "There code 168 ends. One code too far."),
        )),
    rail=("air", 26, 29),
)

sketch_codes = sketch(
    "02-sketch-codes",
    "Draw a staircase.",
    "Which code does the bench give at 24.4, 24.8, 25.0, 25.2, 25.6 and 25.8 °C?",
    "code", 0.0, "A code is whole: it is right or it is not.",
    Sketch((24.4, 24.8, 25.0, 25.2, 25.6, 25.8), lambda at: BENCH.code(at).astype(float), ("air", "°C", 24.2, 26.2),
           ("converter says", 161, 167)),
    wrong=(
        Wrong("one-degree", lambda f, at: np.floor(163 + at - 25),
              "The code went up by one for each degree. What is one step worth?"),
        Wrong("rounded", lambda f, at: np.floor((600 + SLOPE_MV * at) / (5000 / 1024) + 0.5),
              "These are the nearest codes. Our converter floors."),
        Wrong("always-the-same", lambda f, at: 163 + 0 * at, "These degrees hold more than one code."),
    ),
    quantity="code", whole=True,
)

code_slope = Line(
    "02-code-slope",
    "Read the slope of a staircase.",
    "Lay a straight line along many treads. By how many codes does it rise for each degree of air?",
    Number(
        lambda f: 1 / BENCH.step_c(25.0),
        "number", "", 0, "Two digits.", digits=2, wrong=(
            Wrong("upside-down", lambda f: STEP_C, "These are degrees for each code. Turn it round."),
            Wrong("flat", lambda f: 0.0, "One tread is flat. The question is how steep the stairs are."),
            Wrong("millivolts", lambda f: float(SLOPE_MV),
                  "These are millivolts for each degree. How many codes are they?"),
        )),
    rail=("slope", 0, 3),
)

why_middle = Line(
    "02-why-middle",
    "Say why a program takes the middle of a step.",
    "Why does the program print the middle of a step, and not its lower edge?",
    Choice(
        options=(
            Option("both", "so it errs to both sides alike",
                   "At most half a step off, up or down. The lower edge would read low by half a step on average."),
            Option("often", "the air is there most often",
                   "The air does not know of steps: it is as often at an edge as in the middle."),
            Option("half", "it makes the step half as wide",
                   "The step stays as wide as it is. What changes is how far off its ends can be."),
        ),
        right="both",
    ),
)

type_middle = Line(
    "02-type-middle",
    "Turn a code back into a temperature.",
    "The converter floors and says 158. What temperature, in °C, does a right program print?",
    Number(
        lambda f: BENCH.reading(158),
        "temperature", "°C", 0.05, "Half a tenth of a degree is far below a step.", wrong=(
            Wrong("lower-edge", lambda f: _bench_c(158), "That is the lower edge of the step. Where is its middle?"),
            Wrong("upper-edge", lambda f: _bench_c(159), "That is the upper edge of the step. Where is its middle?"),
            Wrong("forgot-offset", lambda f: 158.5 * 5000 / 1024 / SLOPE_MV,
                  "The output at 0 °C has not been taken away."),
        )),
    rail=("reading", 20, 24),
)

wrong_half = Line(
    "02-wrong-half",
    "See what it costs to take one kind of converter for the other.",
    "A program adds ½ to the codes of a converter that rounds. By how many °C are its readings too high on average?",
    Number(
        lambda f: BENCH.step_c(25.0) / 2,
        "temperature span", "°C", 0.01, "A hundredth of a degree.", wrong=(
            Wrong("whole-step", lambda f: STEP_C, "Two edges lie a whole step apart. How much was added?"),
            Wrong("evens-out", lambda f: 0.0, "Errors even out about the middle. Is the program at the middle here?"),
            Wrong("in-mv", lambda f: 2500 / 1024, "This is half a step in millivolts. How many degrees is that?"),
        )),
    rail=("bias", 0, 3),
    then="Each reading is off the same way, so averaging keeps it.",
)

one_code = Line(
    "02-one-code",
    "Say what one code can prove.",
    "The bench's specification says that it floors, with an offset error of up to 2 steps. You feed 0.800 V, 163.84"
    " steps, and get code 164. Does your converter round?",
    Choice(
        options=(
            Option("yes", "yes, it rounds", "So would a converter that floors and is a fifth of a step off."),
            Option("no", "no, it floors", "The specification says so. But what does one code show?"),
            Option("cannot", "cannot tell",
                   "A small offset does the same. Several voltages tell what this board does."),
        ),
        right="cannot",
    ),
)

divisor_added = Line(
    "02-divisor-added",
    "See what dividing by the highest code costs.",
    "At 25 °C the sensor gives 0.800 V. How many °C does dividing by 1023 in place of 1024 add to the reading?",
    Number(
        lambda f: (BENCH.converter.volts(163, 5.0) * 1024 / 1023 - BENCH.converter.volts(163, 5.0)) / 0.008,
        "temperature span", "°C", 0.004, "It leaves room for 0.800 V in place of the middle of the step.", wrong=(
            Wrong("of-degrees", lambda f: 25 / 1023, "The degrees were made larger. It is the voltage that grows."),
            Wrong("whole-step", lambda f: STEP_C, "A whole step is added only at the top code."),
            Wrong("warm-end", lambda f: 1480 / 1023 / SLOPE_MV, "That is at 110 °C. Here the voltage is lower."),
            Wrong("in-mv", lambda f: 800 / 1023, "This is the change in millivolts. How many degrees is that?"),
        )),
    rail=("added", 0, 1),
    then="It hides below one step. That is why it lives on.",
)

agree_bits = Line(
    "02-agree-bits",
    "Compare two results with their limits, and act.",
    "In the same air 10 bits say 24.79 °C ± 0.31 °C, 12 bits 25.02 °C ± 0.08 °C, on the same sensor. Do they agree, and"
    " what do you do?",
    Choice(
        options=(
            Option("nothing", "agree, nothing to do",
                   "0.23 °C apart, 0.39 °C allowed. Both share sensor and supply, so neither is shown to be truer."),
            Option("truer", "agree, the finer is truer",
                   "They agree, but both share sensor and supply. Finer steps do not make these better."),
            Option("broken", "disagree, one is broken",
                   "They are 0.23 °C apart. How much is allowed: both limits added?"),
        ),
        right="nothing",
    ),
)

agree_boards = Line(
    "02-agree-boards",
    "Compare two results with their limits, and look for a cause.",
    "In the same air 8 bits say 23.88 °C ± 1.22 °C, 10 bits 27.23 °C ± 0.31 °C. Do they agree, and what do you do?",
    Choice(
        options=(
            Option("coarse", "agree, 8 bits are coarse",
                   "They are coarse by 1.22 °C at most. How far apart are the two?"),
            Option("finer", "disagree, take the 10 bits",
                   "They disagree; but finer steps are no proof. Look first for what else the two do not share."),
            Option("cause", "disagree, find the cause",
                   "3.35 °C apart, 1.53 °C allowed. Steps do not explain it: two sensors, or two supplies?"),
        ),
        right="cause",
    ),
)

half_bits = Line(
    "02-half-bits",
    "Choose the number of bits for a wanted step.",
    "3.3 V must be cut into 2062.5 steps or more. How many bits does the converter need at least?",
    Number(
        lambda f: next(bits for bits in range(1, 25) if 1000 * scenario(bits=bits).converter.step_v(3.3) <= 1.6),
        "bits", "bit", 0.0, "Bits are whole.", whole=True, wrong=(
            Wrong("one-short", lambda f: 11, "Eleven bits make 2048 steps. Is that enough?"),
            Wrong("one-more", lambda f: 13, "Fine enough, but fewer would do."),
            Wrong("decimal-digits", lambda f: 4, "This counts decimal digits. Bits are powers of two."),
        )),
    rail=("bits", 0, 16),
)

half_code = Line(
    "02-half-code",
    "Walk from a temperature to a code with another converter.",
    "Take the bits that you just found, and a reference of 3.3 V. Which code does a converter that floors give for"
    " 616 mV?",
    code(lambda f: FRAME.code(2.0), wrong=(
        Wrong("rounded", lambda f: math.floor(616 * 4096 / 3300 + 0.5),
              "The count was rounded. This converter drops the rest."),
        Wrong("other-reference", lambda f: math.floor(616 * 4096 / 5000),
              "That is with the bench's 5 V. Here it is 3.3 V."),
        Wrong("ten-bits", lambda f: math.floor(616 * 1024 / 3300), "That is with 10 bits. Here there are more."),
    )),
    rail=("code", 0, 4096),
)

half_reading = Line(
    "02-half-reading",
    "Turn the code of another converter back into a temperature.",
    "Take the code that you just found. What does the program print, in °C, from the middle of its step?",
    Number(
        lambda f: FRAME.reading(764),
        "temperature", "°C", 0.02, "Less than a fifth of a step.", wrong=(
            Wrong("lower-edge", lambda f: _bench_c(764, 3.3, 4096), "That is the lower edge of the step."),
            Wrong("upper-edge", lambda f: _bench_c(765, 3.3, 4096), "That is the upper edge of the step."),
            Wrong("other-reference", lambda f: _bench_c(764.5, 5, 4096),
                  "That is with the bench's 5 V. Here it is 3.3 V."),
        )),
    rail=("reading", 1, 3),
    then="Off by a hundredth: less than half a step, as it should be.",
)

LINES = (
    type_step_mv, type_step_c, type_code, warmest, sketch_codes, code_slope, why_middle, type_middle, wrong_half,
    one_code, divisor_added, agree_bits, agree_boards, half_bits, half_code, half_reading,
)  # fmt: skip

PROBLEMS = (
    bits_needed, read_the_stairs, first_edges, floor_and_round, cheapest_converter, highest_code_error,
    code_for_temperature, step_in_degrees, finer_converter, codes_of_range, step_by_head, step_in_mv,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "02-finer-board",
        "A converter of 12 bits takes the place of one with 10 bits, on the same sensor and the same supply. What gets"
        " better, whatever else may be wrong?",
        "Now change the bits, and watch what changes with them: the treads, the error, the sensor's voltage.",
        "Four times as many steps over the same 5 V: each is a quarter as wide. The sensor may be off by as much as"
        " before, and a wrong reference stretches fine steps as it stretches coarse ones.",
        options=(
            Idea("The smallest change we can see", right=True),
            Idea("How near readings are to the true air",
                 refuted="They may, by luck. Sensor and reference decide most of it, and both are the same as"
                         " before.",
                 source="Kok et al. 2019: more decimals are taken for more trust"),
            Idea("The limits of the sensor itself",
                 refuted="They stand in the sensor's specification. What is behind the sensor cannot change them.",
                 source="ours"),
        ),
        looks=("Treads and teeth got finer", "The sensor's voltage changed"),
        explorer="bit_depth", settings={"t_c": 25.0},
    ),
    Prediction(
        "02-step",
        "The converter of 10 bits compares with 5 V. The sensor gives 8 mV more for each degree Celsius. The air warms"
        " slowly, and the code stands still. Then it goes up by one. How far must the air warm until it goes up by one"
        " again?",
        "Now warm the air until the code goes up, and on until it goes up again.",
        "5 V in 1024 steps makes 4.883 mV each, and 8 mV are one degree Celsius.",
        number=Amount(
            lambda: scenario().step_c(25.0), "°C", 3, "temperature span", near=0.02,
            wrong=(
                Wrong("one-degree", lambda: 1.0, "A code is a step of the converter, and not a degree."),
                Wrong("upside-down", lambda: 8 / (5000 / 1024), "That is steps for a degree, not degrees for a step."),
        )),
        explorer="bit_depth", settings={"t_c": 25.0}, saw=lambda steps: steps.way.step_c,
    ),
    Prediction(
        "02-divisor",
        "The sensor is at its warmest, at 110 °C. What does dividing by 1023 add to the reading?",
        "Now set the picture to 110 °C, and let the program divide by 1023.",
        "0.098 % of 1.48 V is 1.4 mV, and 8 mV are one degree. It is the voltage that grows, not the degrees.",
        number=Amount(
            lambda: (scenario().converter.volts(scenario().code(110.0), 5.0) / 1023) / 0.008, "°C", 2,
            "temperature span", near=0.02,
            wrong=(
                Wrong("of-degrees", lambda: 110 / 1023, "The degrees were made larger. It is the voltage that grows."),
                Wrong("a-step", lambda: scenario().step_c(25.0), "A whole step is added only at the top code."),
        )),
        explorer="bit_depth", settings={"t_c": 110.0, "edge": "middle", "divisor": "top"},
        saw=lambda steps: steps.divisor_c,
    ),
)
