"""Practice for chapter 02: the size of a step, in volts and in degrees."""

import math

from tempkit.converter import Converter
from tempkit.homework.chapter02_codes import CODES
from tempkit.homework.parts import (
    BITS,
    REFERENCES,
    SENSOR_TEXT,
    SENSORS,
    chain,
    step_mv,
)
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n

TOP_CODE = "The reference was divided by the highest code. Count the steps from 0 V to the reference instead."

count_of_codes = Problem(
    "02-count-of-codes", 1, "How many codes",
    "Count the codes of a converter, and tell the count from the highest code.",
    text="How many different codes can a converter of {bits} bits give?",
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
    text="A converter of {bits} bits refers to {reference_v} V. How large is one step?",
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
    "02-step-in-degrees", 1, "One step in degrees",
    "Say what one step of the converter is worth in degrees.",
    text=SENSOR_TEXT + ". A converter of {bits} bits refers to {reference_v} V. How many degrees is one"
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
    "02-bits-needed", 1, "Bits for a wanted step",
    "Choose the number of bits for a wanted step in degrees.",
    text="A step should be worth {wanted_c} °C or less, with a sensor of {slope_mv_per_c} mV/°C and a"
         " reference of {reference_v} V. How many bits must the converter have at least?",
    figures=(Draw("wanted_c", (0.2, 0.1, 0.05, 0.25, 0.5, 1)),
             Draw("slope_mv_per_c", (10, 19.5)), REFERENCES),
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
    "02-finer-converter", 1, "A finer converter",
    "Tell a finer step from a better reading.",
    text="A bench uses a sensor with accuracy limits of ±{accuracy_c} °C and a 10-bit converter with a step"
         " of {step_c} °C. Someone puts a 12-bit converter with the same reference in its place. What"
         " becomes better?",
    figures=(Draw("accuracy_c", (2, 1.5, 1, 3)), Draw("step_c", (0.49, 0.32, 0.24))),
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
    hints=("Write down each cause of error on its own: sensor, reference, step.",
           "Which of them does the number of bits touch?"),
    solution=lambda f: (
        f"Two more bits divide the step of {n(f.step_c)} °C by four. The sensor's ±{n(f.accuracy_c)} °C is"
        " not touched: the reading is finer, hardly truer."
    ),
)

PROBLEMS = (
    count_of_codes,
    step_in_mv,
    step_in_degrees,
    bits_needed,
    finer_converter,
    *CODES,
)
