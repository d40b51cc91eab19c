"""Practice for chapter 06, third part: eight smoothed readings one after the other; what no averaging mends."""

import math

from tempkit.homework.problem import Choice, Column, Draw, Option, Problem, Table, Wrong
from tempkit.homework.problem import plain as n
from tempkit.response import step

EIGHT = range(1, 9)


def _each(value):
    return tuple((value(k),) for k in EIGHT)


def _by_hand(f):
    """The eight values by the rule itself, one after the other: the second route."""
    old, found = f.start_c, []
    for _ in EIGHT:
        old += f.factor * (f.end_c - old)
        found.append(old)
    return found


def _straight(f, k):
    return f.start_c + min(k * f.factor, 1.0) * (f.end_c - f.start_c)


def _lines(f):
    before = [f.start_c, *_by_hand(f)]
    return "\n".join(
        f"Value {k}: {n(round(before[k - 1], 4))} °C + {f.factor} × ({f.end_c} − {n(round(before[k - 1], 4))}) °C"
        f" = {n(round(before[k], 4))} °C"
        for k in EIGHT
    )


eight_readings = Problem(
    "06-eight-readings", 1, "Eight readings after a jump",
    "Follow first-order smoothing from one reading to the next.",
    text="A program smooths its readings: new = old + {factor} × (reading − old). For a long time all readings were"
         " {start_c} °C. Then somebody breathes on the sensor, and every reading is {end_c} °C. Give the eight smoothed"
         " values after the change, in order.",
    figures=(Draw("start_c end_c", ((20, 28), (18, 26), (21, 31), (22, 30), (19, 29), (17, 27), (23, 29))),
             Draw("factor", (0.2, 0.25, 0.4, 0.3))),
    answer=Table(
        rows=lambda f: tuple(f"Value {k}" for k in EIGHT),
        columns=(Column("smoothed", "temperature", "°C", 0.03),),
        value=lambda f: _each(lambda k: step(float(k), -1 / math.log1p(-f.factor), float(f.start_c), float(f.end_c))),
        reason="Who rounds every value to a hundredth before going on may be off by a few hundredths in the end.",
        wrong=(
            Wrong("from-the-start", lambda f: _each(lambda k: f.start_c + f.factor * (f.end_c - f.start_c)),
                  "Every value was reckoned from the one before the jump. Which value is old the second time?"),
            Wrong("straight-line", lambda f: _each(lambda k: _straight(f, k)),
                  "The same amount was added each time. The difference that is left becomes smaller; what of the"
                  " part of it?"),
            Wrong("what-is-kept", lambda f: _each(lambda k: f.end_c + (f.start_c - f.end_c) * f.factor**k),
                  "Factor and its rest are swapped: here the old value counts by the factor, and not the new reading."),
            Wrong("one-late", lambda f: _each(lambda k: f.end_c + (f.start_c - f.end_c) * (1 - f.factor) ** (k - 1)),
                  "The list begins with the value before the change. The first reading after it counts at once."),
        ),
    ),
    hints=("Take one reading at a time: what is old, and how far is the reading from it?",
           "The difference to the new temperature shrinks by the same part at every reading."),
    solution=_lines,
)  # fmt: skip

what_stays = Problem(
    "06-what-stays", 1, "What a mean leaves as it is",
    "Know what averaging never mends.",
    text="A program takes the mean of {samples} samples for each reading. Which of these are as large in the mean as in"
         " a single sample? Choose all.",
    figures=(Draw("samples", (1000, 64, 256, 400)),),
    answer=Choice(
        options=(
            Option("noise", "The noise of the sensor, independent from sample to sample",
                   "Up at one sample, down at another: that is what a mean takes away."),
            Option("reference", "The error of a reference that is 2 % too low",
                   "It stretches each sample by the same part, and so their mean."),
            Option("sensor", "The error of a sensor that reads 1.5 °C too warm",
                   "It is in each of the samples, and always to the same side."),
            Option("hum", "A hum of the mains over which the samples are spread, whole periods of it",
                   "Over whole periods the hum is up as long as down."),
            Option("bend", "The bend (INL) of the converter at this code, where all samples have nearly the same one",
                   "The same code has the same error, however often it is taken."),
        ),
        right=("reference", "sensor", "bend"),
        several=True,
    ),
    hints=("Of each: does it differ from one sample to the next, or is it the same in all?",
           "What is the same in all samples is in their mean, whole."),
    solution=lambda f: "Reference, sensor and INL: they are the same in every sample. Noise falls with the root of the"
                       " number, and hum cancels over whole periods.",
)

LISTS = (eight_readings, what_stays)
