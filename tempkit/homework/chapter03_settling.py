"""Practice for chapter 03, second part: settling of the reference and of the input; what the top code says."""

import math

from tempkit.converter import settling_error, settling_time_s
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n

after_a_change = Problem(
    "03-after-a-change", 2, "The first conversion after a change",
    "Know what to do with the first conversion after the reference was changed.",
    text="A program switches the converter from the supply to its internal reference and converts at once."
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
    "03-settling-left", 1, "Not settled yet",
    "Say how much of a jump the sampling capacitor still misses.",
    text="A converter samples for {sample_us} µs on a capacitor of {hold_pf} pF, behind a source of"
         " {source_kohm} kΩ. What part of a jump in voltage is still missing at the end?",
    figures=(Draw("sample_us", (1.5, 2, 3, 4)), Draw("hold_pf", (14, 10, 20)),
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
    "03-largest-source", 1, "The largest source",
    "Choose a source that settles to half a step in time.",
    text="A converter of {bits} bits samples for {sample_us} µs on a capacitor of {hold_pf} pF. How large"
         " may the source be, so that a jump over the whole range settles to half a step?",
    figures=(Draw("bits", (10, 12, 8)), Draw("sample_us", (1.5, 1, 2, 3)), Draw("hold_pf", (14, 10, 20))),
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
    "03-top-code", 2, "The top code, again and again",
    "Know what the top code says, and what it does not.",
    text="A converter of {bits} bits is set to an internal reference of {reference_v} V. A linear sensor hangs on it,"
         " 500 mV at 0 °C and 10 mV/°C. For an hour the log shows code {top} and nothing else. What does it say about"
         " the air?",
    figures=(Draw("bits top", ((10, 1023), (8, 255), (12, 4095))), Draw("reference_v", (1.1, 1.024, 0.9))),
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
    return round((1000 * f.reference_v - 500) / 10, 1)


SETTLING = (after_a_change, settling_left, largest_source, top_code)
