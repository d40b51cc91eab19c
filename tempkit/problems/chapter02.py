"""Practice for chapter 02: the size of a step in volts and in degrees; codes, floor and round, 2^N and 2^N − 1."""

import math

import numpy as np

from tempkit.chain import Converter, scenario
from tempkit.exercises import Amount, Choice, Column, Draw, Number, Option, Prediction, Problem, Table, Wrong, code
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

count_of_codes = Problem(
    "02-count-of-codes", 1, "How many codes",
    "Count the codes of a converter, and tell the count from the highest code.",
    asks="How many different codes can a converter of {bits} bits give?",
    figures=(Draw("bits", (10, 8, 9, 11, 12, 13, 14, 15, 16, 18)),),
    answer=Number(
        lambda f: Converter(bits=f.bits).codes, "number", "", 0.0,
        "A count is a whole number: it is right or it is not.",
        wrong=(
            Wrong("highest-code", lambda f: 2**f.bits - 1,
                  "This is the highest code. Counting starts at 0, and 0 is a code too."),
            Wrong("doubled", lambda f: 2 * f.bits,
                  "The bits were doubled. What does one more bit do to the count?"),
            Wrong("squared", lambda f: f.bits**2,
                  "Base and exponent are swapped. Each bit has two states."),
            Wrong("one-bit-short", lambda f: 2 ** (f.bits - 1),
                  "One bit is missing. A converter of 1 bit already has two codes."),
        ),
        whole=True,
    ),
    hints=("One bit makes two codes, two bits make four.",
           "Each further bit doubles the count."),
    solution=lambda f: f"Each bit doubles the count, {f.bits} times: 2^{f.bits} = {n(2**f.bits)}",
)

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


PROBLEMS = (
    count_of_codes, step_in_mv, step_in_degrees, bits_needed, finer_converter, code_for_temperature, floor_and_round,
    highest_code_error, codes_of_range,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "02-step",
        "The converter of 10 bits compares with 5 V. The sensor gives 8 mV more for each degree Celsius. The air warms"
        " slowly, and the code stands still. Then it goes up by one. How far must the air warm until it goes up by one"
        " again?",
        "Now read on as far as the picture of the steps, and look how wide one is.",
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
