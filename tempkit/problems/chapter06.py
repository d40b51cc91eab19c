"""Chapter 06: noise, averaging and smoothing: what they bring, what they cost, and what they cannot do."""

import math

import numpy as np

from tempkit.chain import scenario
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
    sketch,
    wrong_step,
)
from tempkit.exercises import plain as n
from tempkit.signal import (
    averaged_error_lsb,
    averaging_floor_lsb,
    averaging_gain,
    samples_for_bits,
    smoothed_noise_ratio,
    smoothing_factor,
    smoothing_lag_s,
    step,
)
from tempkit.uncertainty import coverage_factor, type_a

# Noise and averaging

BENCH = scenario(supply_v=5.0)
HALF_UNIT = "Half a unit of the last digit asked for is the room for rounding."


def _one_c(f):
    return f.noise_mv / f.slope_mv_per_c


mean_noise = Problem(
    "06-mean-noise", 3, "Noise of a mean, in degrees",
    "Divide noise by the root of the number of samples.",
    asks="The noise at the pin has a standard deviation of {noise_mv} mV. The sensor gives {slope_mv_per_c} mV/°C."
         " {samples} independent samples are averaged for one reading. How large is the noise of the reading, in"
         " degrees? Leave the steps of the converter out of it.",
    figures=(Draw("noise_mv", (6, 8, 5, 4.5, 7)), Draw("slope_mv_per_c", (12, 18, 8)),
             Draw("samples", (25, 64, 9, 100, 16))),
    answer=Number(
        lambda f: _one_c(f) / math.sqrt(f.samples), "temperature span", "°C", 0, HALF_UNIT, digits=2, wrong=(
            Wrong("divided-by-count", lambda f: _one_c(f) / f.samples,
                  "The noise was divided by the number of samples. The sum of the samples grows too, with its root."),
            Wrong("one-sample", _one_c, "This is the noise of a single sample. What does averaging do to it?"),
            Wrong("in-millivolts", lambda f: f.noise_mv / math.sqrt(f.samples),
                  "This is the noise of the mean in millivolts. The slope turns it into degrees."),
            Wrong("logarithm", lambda f: _one_c(f) / math.log2(f.samples),
                  "The noise was divided by the power of two. Noise goes with a root, not with a logarithm."),
            Wrong("summed", lambda f: _one_c(f) * math.sqrt(f.samples),
                  "This is the noise of the sum. The mean is the sum divided by the number of samples."),
    )),
    hints=("The variance of a mean of independent samples is the variance of one, divided by their number.",
           "So the standard deviation falls with the root of the number. Then use the slope."),
    solution=lambda f: (
        f"One sample: {n(f.noise_mv)} mV ÷ {n(f.slope_mv_per_c)} mV/°C = {n(_one_c(f))} °C\n"
        f"Mean: {n(_one_c(f))} °C ÷ √{f.samples} = {n(_one_c(f) / f.samples**0.5)} °C"
    ),
)


def _readings(f):
    """Forty readings of still air, in order, to a hundredth of a degree."""
    return [round(float(r), 2) for r in 22 + f.noise_c * np.random.default_rng(f.record).standard_normal(40)]


def _trace(f):
    scales = Scale("time", "s", (0, 40), 1), Scale("reading", "°C", (18, 26), 0.1)
    return Graph("Forty readings of still air", *scales, (Curve("reading", tuple(enumerate(_readings(f))), "dots"),))


trace_noise = Problem(
    "06-trace-noise", 1, "Noise by eye",
    "Estimate a standard deviation from a trace.",
    asks="The graph shows forty readings of air that stands still. Estimate the standard deviation of the noise,"
         " without"
         " working it out.",
    figures=(Draw("noise_c", (0.5, 0.25, 0.8, 0.35)), Draw("record", (1, 2, 4, 5))),
    picture=_trace,
    answer=Number(
        lambda f: type_a(_readings(f)).s, "temperature span", "°C", 0,
        "An eye is good for a third more or a quarter less.", within_factor=1.5, wrong=(
            Wrong("whole-spread", lambda f: max(_readings(f)) - min(_readings(f)),
                  "This is about the whole spread, from the lowest reading to the highest. It holds four to five"
                  " standard deviations."),
            Wrong("of-a-mean", lambda f: type_a(_readings(f)).s / math.sqrt(40),
                  "This would be the noise of the mean of all forty."),
    )),
    hints=("About two thirds of the readings lie within one standard deviation of the mean.",
           "Or take the whole spread: of forty readings it is four to five standard deviations."),
    solution=lambda f: (
        f"From {n(min(_readings(f)))} °C to {n(max(_readings(f)))} °C are"
        f" {n(max(_readings(f)) - min(_readings(f)), 3)} °C; a quarter to a fifth of it. Worked out from the forty"
        f" readings: s = {n(float(np.std(_readings(f), ddof=1)), 4)} °C"
    ),
)

CASES = ("quiet", "noise", "wave")
STILL = {"quiet": (0, 0, 0, 0, 0), "noise": (0, 1, 0, 0, 1), "wave": (3, -3, 3, -3, 3)}


def _log(f):
    codes = (f.code + off for off in STILL[f.case])
    return [f"t={f.second + k:.1f} code={code} read={BENCH.reading(code):.1f}" for k, code in enumerate(codes)]


def _for_case(case, right, otherwise):
    return lambda f: right if f.case == case else otherwise


five_lines = Problem(
    "06-five-lines", 1, "Five lines of a log",
    "Read from a log whether averaging will help.",
    asks="Five lines of a board's log, in air that stands still; the lamps of the glasshouse are on. Tests with a"
         " steady"
         " voltage gave codes like these as well. The owner wants a reading that is nearer to the truth than one step."
         " What do you advise?",
    figures=(Draw("case", CASES), Draw("code", (158, 161, 166)), Draw("second", (12, 31, 44))),
    listing=_log,
    answer=Choice(
        options=(
            Option("nothing", "Averaging will change nothing here; add noise, or finer steps",
                   _for_case("quiet", "All codes are alike, and so is their mean. Where in its step the voltage lies"
                             " cannot be seen.", "The codes differ from line to line. Do they differ by chance?")),
            Option("average", "Average many samples: their mean will lie nearer to the truth",
                   _for_case("noise", "The codes change by a step, by chance: noise over an edge, and a mean can tell"
                             " where in the step.", "A mean helps where samples differ by chance. Do they here?")),
            Option("burst", "Take many samples within 100 ms, once a second, and average these",
                   _for_case("wave", "Up and down by the same amount in turn is a wave, seen once a second: hum. Whole"
                             " periods take it out.", "That takes out a wave. Do these codes go up and down in"
                             " turn?")),
        ),
        right=lambda f: {"quiet": "nothing", "noise": "average", "wave": "burst"}[f.case],
    ),
    hints=("Do the codes differ at all? By chance, or in turn?",
           "Chance: average. In turn: a wave, so whole periods. Not at all: nothing to average."),
    solution=lambda f: {
        "quiet": "The same code every time: nothing changes, so a mean changes nothing.",
        "noise": "The codes change by one step, by chance: a mean tells where in the step the voltage lies.",
        "wave": "The codes jump up and down in turn: a wave of the mains, met once a second. Samples spread evenly over"
                " 100 ms hold whole periods of it.",
    }[f.case],
)

STEP_C = 0.61


def _errors(f):
    """Points of the curve: rms error of the mean of 2^x samples [degC]."""
    sigma = f.noise_mv / f.step_mv
    return tuple((x, averaged_error_lsb(sigma, 2**x) * STEP_C) for x in range(11))


def _error_curve(f):
    scales = Scale("samples averaged, as a power of 2", "", (0, 10), 1), Scale("rms error", "°C", (0, 0.3), 0.005)
    return Graph("Error of the mean against the number of samples", *scales, (Curve("error", _errors(f)),))


what_is_left = Problem(
    "06-what-is-left", 1, "What is left in the end",
    "Read from a curve what no number of samples removes.",
    asks="The graph shows the rms error of a mean, for noise of {noise_mv} mV in steps of {step_mv} mV. The samples"
         " count"
         " in powers of 2: 4 stands for 16 samples, 10 for 1024. How large will the error be with a million samples?",
    figures=(Draw("noise_mv", (0.8, 0.5, 1, 0.6, 0.9)), Draw("step_mv", (5, 6))),
    picture=_error_curve,
    answer=Number(
        lambda f: averaged_error_lsb(f.noise_mv / f.step_mv, 2**20) * STEP_C, "temperature span", "°C", 0.007,
        "An eye reads the height to about half a hundredth of a degree.",
        wrong=(
            Wrong("nothing", lambda f: 0.0, "Does the curve go down to zero, or does it level out?"),
            Wrong("first", lambda f: _errors(f)[0][1], "This is the error of a single sample. Look at the other end."),
    )),
    hints=("Look at the right end. Does it still fall?",
           "What has levels out there stays: it is the same in all samples."),
    solution=lambda f: (
        "At the right end the curve is flat. What is left there is the same in each sample, and stays.\n"
        f"Error = {n(averaging_floor_lsb(f.noise_mv / f.step_mv) * STEP_C, 3)} °C"
    ),
)

two_noises = Problem(
    "06-two-noises", 1, "Two noises together",
    "Add two independent noises as squares.",
    asks="The sensor's output has noise of {sensor_mv} mV, the board adds noise of {board_mv} mV of its own;"
         " both are standard deviations, and the two have nothing to do with each other. How large is the noise"
         " at the converter's pin?",
    figures=(Draw("sensor_mv", (3, 2, 4, 5, 2.4, 1.8)), Draw("board_mv", (1.5, 2.5, 4, 3, 1.2, 3.2))),
    answer=Number(
        lambda f: math.hypot(f.sensor_mv, f.board_mv), "voltage", "mV", 0, HALF_UNIT, digits=3, wrong=(
            Wrong("added", lambda f: f.sensor_mv + f.board_mv,
                  "The two were added as they stand. They would have to peak together, always; do they?"),
            Wrong("no-root", lambda f: f.sensor_mv**2 + f.board_mv**2,
                  "This is the sum of the squares. Its unit is mV². What brings it back to mV?"),
            Wrong("mean", lambda f: (f.sensor_mv + f.board_mv) / 2,
                  "This is the mean of the two. A second noise never makes the first one smaller."),
            Wrong("difference", lambda f: abs(f.sensor_mv - f.board_mv),
                  "One was taken away from the other. Independent noises cannot be relied on to cancel."),
            Wrong("larger", lambda f: max(f.sensor_mv, f.board_mv),
                  "Only the larger one was taken. It dominates, but the other still counts a little."),
    )),
    hints=("Independent noises add as variances, that is, as squares of standard deviations.",
           "Square both, add them, and take the root of the sum."),
    solution=lambda f: (
        f"Squares: {n(f.sensor_mv**2)} mV² + {n(f.board_mv**2)} mV² = {n(f.sensor_mv**2 + f.board_mv**2)} mV²\n"
        f"Root: √{n(f.sensor_mv**2 + f.board_mv**2)} mV = {n((f.sensor_mv**2 + f.board_mv**2) ** 0.5)} mV"
    ),
)

faster = Problem(
    "06-faster", 1, "Ten times as many samples a second",
    "Say what faster sampling does to a slow sensor.",
    asks="A sensor takes about {slow_s} s to follow the air. The program looks at it once a second. A classmate wants"
         " the"
         " buzzer to come sooner, and makes the program look ten times a second. How much sooner does it come?",
    figures=(Draw("slow_s", (40, 30, 60, 25)),),
    answer=Choice(
        options=(
            Option("tenfold", lambda f: f"Ten times sooner: after some {n(f.slow_s / 10)} s",
                   "Samples look at the sensor; they do not warm it. Who decides when it gets there?"),
            Option("half", lambda f: f"Some {n(f.slow_s / 2)} s sooner, in half of the time",
                   "Does looking more often make the sensor itself any quicker?"),
            Option("second", "Sooner by less than a second, each time",
                   "The sensor gets there when it gets there. Only the wait for the next look becomes shorter."),
        ),
        right="second",
    ),
    asks_how_sure=True,
    hints=("When does the sensor itself reach the limit? Does the program change that?",
           "How long can a look be away, at most, once a second?"),
    solution=lambda f: "The sensor follows at its own pace. A look once a second is at most one second late, and ten"
                       " looks a second are at most a tenth of a second late: that is all that is gained.",
)


def _plan(f):
    """The four steps of a plan as texts, each from the one before, with the slip in step `f.wrong`."""
    sigma = f.noise_mv / f.step_mv
    one = math.sqrt(sigma**2 + (1 if f.wrong == 2 else 1 / 12)) * STEP_C
    ratio = one / f.wanted_c
    samples = math.ceil(ratio if f.wrong == 3 else ratio**2)
    window_ms = 20 if f.wrong == 4 else 100
    inside = "σ² + 1" if f.wrong == 2 else "σ² + 1/12"
    power = "" if f.wrong == 3 else ", squared"
    spread = "one period of 50 Hz" if f.wrong == 4 else "5 periods of 50 Hz, 6 of 60 Hz"
    shown = f.step_mv / f.noise_mv if f.wrong == 1 else sigma
    if f.wrong == 1:
        one = math.sqrt(shown**2 + 1 / 12) * STEP_C
        samples = math.ceil((one / f.wanted_c) ** 2)
    over = f"{n(f.step_mv)} mV ÷ {n(f.noise_mv)} mV" if f.wrong == 1 else f"{n(f.noise_mv)} mV ÷ {n(f.step_mv)} mV"
    return (
        f"1. Noise in steps: σ = {over} = {n(shown, 3)}",
        f"2. One sample is off by √({inside}) steps × 0.61 °C = {n(one, 3)} °C",
        f"3. Samples: {n(one, 3)} ÷ {n(f.wanted_c)}{power}: {samples}",
        f"4. Spread evenly over {window_ms} ms, for schools with 50 Hz and with 60 Hz: {spread}",
    )


find_the_slip = Problem(
    "06-find-the-slip", 1, "One step of a plan is wrong",
    "Find the wrong step in a plan for averaging.",
    asks="The noise at the pin is {noise_mv} mV, a step is {step_mv} mV or 0.61 °C. Noise and steps together are to"
         " leave"
         " {wanted_c} °C rms, in places with mains of 50 Hz and of 60 Hz. A classmate makes a plan. One step is wrong,"
         " and"
         " those after it follow from it. Which?",
    figures=(Draw("wrong", (3, 2, 4, 1)), Draw("noise_mv step_mv", ((3, 5), (2.5, 4), (3.5, 5))),
             Draw("wanted_c", (0.06, 0.1, 0.05))),
    listing=_plan,
    answer=wrong_step(lambda f: f.wrong, (
        ("The ratio is upside down: how many steps wide is the noise?", "Noise over step: this is sound."),
        ("The error of a step is not a whole step. Its rms is a step over √12.",
         "Noise and the error of the step, as squares: this is sound."),
        ("A mean falls with the root: the ratio must be squared.", "The ratio squared, rounded up: this is sound."),
        ("20 ms hold whole periods of 50 Hz only.", "100 ms hold whole periods of both: this is sound."),
    )),
    hints=("Work out each step from the one before, without looking at theirs.",
           "Which windows hold whole periods of 50 Hz, and which of 60 Hz?"),
    solution=lambda f: f"Step {f.wrong}: " + (
        "noise in steps is noise over step.", "the step's part is 1/12 of its square.",
        "four times the samples halve the error, so the ratio is squared.",
        "20 ms hold 1.2 periods of 60 Hz; 100 ms suit both.")[f.wrong - 1],
)  # fmt: skip

samples_for_more = Problem(
    "06-samples-for-bits", 2, "Samples for more bits",
    "Count the samples that oversampling takes.",
    asks="A converter has {bits} bits. By oversampling its codes are to become as fine as {fine} bits. The noise is"
         " half a"
         " step, and different in every sample. How many samples go into one result?",
    figures=(Draw("bits fine", ((10, 12), (10, 13), (10, 14), (8, 10), (8, 11), (8, 12), (12, 14), (12, 15), (12, 16),
                                (10, 15))),),
    answer=Number(
        lambda f: samples_for_bits(f.fine - f.bits), "samples", "samples", 0.0,
        "Samples are counted: the number is right or it is not.",
        wrong=(
            Wrong("twice", lambda f: 2 ** (f.fine - f.bits),
                  "Twice the samples were taken for each bit. Noise falls only with the root of their number."),
            Wrong("four-each", lambda f: 4 * (f.fine - f.bits),
                  "Four samples were added for each bit. Each bit multiplies what was there before."),
            Wrong("bits-as-samples", lambda f: f.fine - f.bits,
                  "This is the number of bits gained. How often must the error be halved?"),
            Wrong("sixteen", lambda f: 16 ** (f.fine - f.bits),
                  "The square was taken once too often. A bit halves the error; what halves a root?"),
        ), whole=True,
    ),
    hints=("One more bit means half the error.",
           "The error falls with the root of the number of samples: how many times the samples halve it?"),
    solution=lambda f: (
        f"More bits: {f.fine} − {f.bits} = {f.fine - f.bits}\n"
        f"Samples: 4 multiplied {f.fine - f.bits} times = {1 << 2 * (f.fine - f.bits)} samples"
    ),
)


def _step_c(f):
    return 1000 * f.reference_v / 2**f.bits / f.slope_mv_per_c


without_noise = Problem(
    "06-without-noise", 3, "Averaging without noise",
    "Know what averaging leaves where there is no noise.",
    asks="A quiet input stands still somewhere in a step: there is no noise at all. The converter has {bits} bits over"
         " {reference_v} V, the sensor gives {slope_mv_per_c} mV/°C. The program averages {samples} samples and takes"
         " the middle of the step. How large is the rms error over all places in the step?",
    figures=(Draw("bits", (10, 8, 12)), Draw("reference_v", (3.3, 5, 2.5, 4.096)), Draw("slope_mv_per_c", (12, 18)),
             Draw("samples", (64, 16, 256))),
    answer=Number(
        lambda f: averaged_error_lsb(0.0, f.samples) * _step_c(f), "temperature span", "°C", 0, HALF_UNIT,
        digits=2, wrong=(
            Wrong("averaged", lambda f: _step_c(f) / math.sqrt(12 * f.samples),
                  "The error was divided by the root of the number of samples. Do the samples differ from each other?"),
            Wrong("whole-step", _step_c, "This is a whole step. The error is never more than a half of it."),
            Wrong("half-step", lambda f: _step_c(f) / 2,
                  "This is the largest error. The rms over all places in the step is smaller."),
            Wrong("no-root", lambda f: _step_c(f) / 12,
                  "The step was divided by twelve. The twelfth part belongs to the square of the step."),
            Wrong("divided-by-count", lambda f: _step_c(f) / math.sqrt(12) / f.samples,
                  "The error was divided by the number of samples. Do the samples differ from each other?"),
    )),
    hints=("Without noise all samples give the same code. What is the mean of equal numbers?",
           "An error that lies anywhere between minus and plus half a step has an rms of a step over √12."),
    solution=lambda f: (
        f"One step: {n(1000 * f.reference_v)} mV ÷ {2**f.bits} ÷ {n(f.slope_mv_per_c)} mV/°C = {n(_step_c(f))} °C\n"
        f"All samples are alike, so the error stays: {n(_step_c(f))} °C ÷ √12 = {n(_step_c(f) / 12**0.5)} °C"
    ),
)

no_dither = Problem(
    "06-no-dither", 2, "A very quiet board",
    "Recognise where averaging cannot help.",
    asks="A board is so quiet that its noise is a twentieth of a step. The air stands still, and the reading is the"
         " same code every time. A pupil averages 256 samples, to make the reading finer. What comes of it?",
    figures=(),
    answer=Choice(
        options=(
            Option("sixteen", "The error becomes a sixteenth, since the root of 256 is 16",
                   "That holds for what differs from sample to sample. Do these samples differ?"),
            Option("four-bits", "The reading has four more bits",
                   "The digits can be printed, but nothing new stands in them. Where would it come from?"),
            Option("nothing", "Hardly anything: the same code stays the same code",
                   "The mean of equal codes is that code. Noise of about half a step is what lets averaging work."),
        ),
        right="nothing",
    ),
    hints=("Write down five of the samples. How do they differ?",
           "Averaging reduces what changes from sample to sample, and nothing else."),
    solution=lambda f: (
        "All samples are the same code, and so is their mean: the error of the step stays. Noise of about half a step"
        " would help."
    ),
)

FREEDOM = "k for 95 % is 12.7 for 1 degree of freedom, 4.30 for 2, 3.18 for 3, 2.78 for 4, 2.57 for 5, 2.26 for 9"


def _few(f, k):
    return k * f.s_c / math.sqrt(f.readings)


few_readings = Problem(
    "06-few-readings", 1, "A factor for few readings",
    "Choose the coverage factor by the degrees of freedom.",
    asks="{readings} independent readings of a still bath scatter with a standard deviation of {s_c} °C. Take that"
         " scatter as the only contribution. " + FREEDOM + ". What is the expanded uncertainty of their mean, for"
         " 95 %?",
    figures=(Draw("readings", (5, 4, 3, 10)), Draw("s_c", (0.2, 0.12, 0.3, 0.16))),
    answer=Number(
        lambda f: _few(f, coverage_factor(f.readings - 1)), "temperature span", "°C",
        lambda f: 0.005 * _few(f, coverage_factor(f.readings - 1)),
        "Half a per cent leaves room for the three digits of the factors in the text.",
        digits=2, wrong=(
            Wrong("two", lambda f: _few(f, 2.0),
                  "The factor 2 was used. Few readings hardly know their own scatter; the list of k says how hardly."),
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


def _period(f):
    """Samples in one period of the mains, found by trying."""
    return next(m for m in range(2, 200) if averaging_gain(float(f.mains_hz), float(f.rate_hz), m) < 1e-9)


def _whole(value):
    return int(value) if float(value).is_integer() else None


mains_samples = Problem(
    "06-mains-samples", 1, "Average the hum away",
    "Choose a window that holds a whole period.",
    asks="The sensor's lead picks up hum of {mains_hz} Hz from a lamp nearby. The converter takes {rate_hz} samples a"
         " second, evenly. What is the smallest number of samples to average so that nothing of the hum is left?",
    figures=(Draw("mains_hz", (50, 60)), Draw("rate_hz", (600, 1200, 1500, 3000, 900, 2400, 1800, 300))),
    answer=Number(
        _period, "samples", "samples", 0.0, "Samples are counted: the number is right or it is not.",
        wrong=(
            Wrong("half-period", lambda f: _whole(f.rate_hz / f.mains_hz / 2),
                  "This is half a period: its mean is not zero. When do the upper and the lower half both go in?"),
            Wrong("other-mains", lambda f: _whole(f.rate_hz / (110 - f.mains_hz)),
                  "This is one period of the other mains frequency. Which one hums here?"),
            Wrong("a-second", lambda f: f.rate_hz,
                  "A whole second rejects the hum, but it is not the smallest number of samples."),
            Wrong("frequency", lambda f: f.mains_hz,
                  "The frequency was taken for the number of samples. How many samples fall into one period?"),
        ), whole=True,
    ),
    hints=("Over one whole period a sine has the mean zero.",
           "One period lasts 1 ÷ frequency. How many samples are taken in that time?"),
    solution=lambda f: (
        f"One period: {n(f.rate_hz)} samples/s ÷ {n(f.mains_hz)} periods/s = {n(f.rate_hz / f.mains_hz)} samples"
    ),
)

# Smoothed readings: eight of them in a row; factor, noise, lag

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
    asks="A program smooths its readings: new = old + {factor} × (reading − old). For a long time all readings were"
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

factor = Problem(
    "06-smoothing-factor", 2, "The factor of smoothing",
    "Turn a time constant into a smoothing factor.",
    asks="A program smooths a reading every {dt_s} s: new = old + factor × (reading − old). The wanted time constant is"
         " {tau_s} s. Which factor is exact?",
    figures=(Draw("dt_s", (1, 0.5, 2)), Draw("tau_s", (4, 8, 3, 6, 5))),
    sensible=lambda f: 0.1 <= f.dt_s / f.tau_s <= 0.7,
    answer=Number(
        lambda f: smoothing_factor(f.dt_s, f.tau_s), "number", "", 0.0012,
        "Three digits are asked for, and a common approximation lies only a little further off.",
        wrong=(
            Wrong("ratio", lambda f: f.dt_s / f.tau_s,
                  "This is the ratio of the two times. It is a straight line where the step response is a curve."),
            Wrong("ratio-of-sum", lambda f: f.dt_s / (f.tau_s + f.dt_s),
                  "This is an approximation often seen, period over period plus time constant. The exact factor is a"
                  " little different."),
            Wrong("what-is-left", lambda f: math.exp(-f.dt_s / f.tau_s),
                  "This is the part of the old value that is kept. The factor is the part of the new one."),
            Wrong("upside-down", lambda f: 1 - math.exp(-f.tau_s / f.dt_s),
                  "The ratio of the times is upside down: a longer time constant must give a smaller factor."),
    )),
    hints=("After one period, a lag of first order has gone the part 1 − exp(−time ÷ time constant) of a jump.",
           "The factor is that part, with the sample period as the time."),
    solution=lambda f: (
        f"Ratio: {n(f.dt_s)} s ÷ {n(f.tau_s)} s = {n(f.dt_s / f.tau_s)}\n"
        f"Factor: 1 − exp(−{n(f.dt_s / f.tau_s)}) = {n(1 - math.exp(-f.dt_s / f.tau_s))}"
    ),
)


def _quiet(f):
    return f.noise_c * math.sqrt(f.factor / (2 - f.factor))


smoothed_noise = Problem(
    "06-smoothed-noise", 2, "What smoothing leaves of the noise",
    "Work out the noise behind first-order smoothing.",
    asks="Readings have independent noise with a standard deviation of {noise_c} °C. They are smoothed with a factor of"
         " {factor}. How large is the noise of the smoothed reading, once it has settled?",
    figures=(Draw("noise_c", (0.4, 0.25, 0.6, 0.32, 0.5)), Draw("factor", (0.2, 0.1, 0.25, 0.15, 0.3))),
    answer=Number(
        lambda f: f.noise_c * smoothed_noise_ratio(f.factor), "temperature span", "°C", 0, HALF_UNIT,
        digits=2, wrong=(
            Wrong("times-factor", lambda f: f.noise_c * f.factor,
                  "The noise was multiplied by the factor. That is the share of the newest reading alone; older ones"
                  " still count."),
            Wrong("root-of-factor", lambda f: f.noise_c * math.sqrt(f.factor),
                  "The root of the factor is too much: the weights fall off, and their squares add to less."),
            Wrong("no-root", lambda f: f.noise_c * f.factor / (2 - f.factor),
                  "This ratio is one of variances. What makes it one of standard deviations?"),
            Wrong("what-is-kept", lambda f: f.noise_c * (1 - f.factor),
                  "The noise was multiplied by what is kept of the old value. That value is already quiet."),
    )),
    hints=("The squares of the weights add up to factor ÷ (2 − factor).",
           "That is the ratio of the variances; noise goes with its root."),
    solution=lambda f: (
        f"Ratio of variances: {n(f.factor)} ÷ (2 − {n(f.factor)}) = {n(f.factor / (2 - f.factor))}\n"
        f"Noise: {n(f.noise_c)} °C × √{n(f.factor / (2 - f.factor))} = {n(_quiet(f))} °C"
    ),
)


def _lag_s(f):
    return f.dt_s * (1 - f.factor) / f.factor


lag = Problem(
    "06-smoothing-lag", 1, "The price of quiet",
    "Work out how far a smoothed reading trails a rising temperature.",
    asks="The air warms by {rate_c_per_min} °C a minute, steadily. A reading every {dt_s} s is smoothed with a"
         " factor of {factor}. How far does the smoothed reading trail behind the air, once it has settled?",
    figures=(Draw("rate_c_per_min", (0.5, 2, 1.5, 0.8)), Draw("dt_s", (2, 5, 4, 10)),
             Draw("factor", (0.2, 0.1, 0.25, 0.08))),
    answer=Number(
        lambda f: f.rate_c_per_min / 60 * smoothing_lag_s(f.factor, f.dt_s), "temperature span", "°C", 0, HALF_UNIT,
        digits=3, wrong=(
            Wrong("period-over-factor", lambda f: f.rate_c_per_min / 60 * f.dt_s / f.factor,
                  "The lag was taken as period over factor. The newest reading counts at once: one period less."),
            Wrong("one-period", lambda f: f.rate_c_per_min / 60 * f.dt_s,
                  "This is what the air gains in one period. The smoothing looks back further."),
            Wrong("not-per-second", lambda f: f.rate_c_per_min * _lag_s(f),
                  "The rate is given for a minute, the lag came out in seconds."),
            Wrong("times-factor", lambda f: f.rate_c_per_min / 60 * f.dt_s * f.factor,
                  "The period was multiplied by the factor. A smaller factor must make the lag longer."),
    )),
    hints=("Once settled, the lag is the period times what is kept of the old value, divided by the factor.",
           "That is a time. Multiply it by the rate, in °C per second."),
    solution=lambda f: (
        f"Lag: {n(f.dt_s)} s × (1 − {n(f.factor)}) ÷ {n(f.factor)} = {n(_lag_s(f))} s\n"
        f"Trails by: {n(f.rate_c_per_min)} °C/min ÷ 60 s/min × {n(_lag_s(f))} s"
        f" = {n(f.rate_c_per_min / 60 * _lag_s(f))} °C"
    ),
)

what_stays = Problem(
    "06-what-stays", 1, "What a mean leaves as it is",
    "Know what averaging never mends.",
    asks="A program takes the mean of {samples} samples for each reading. Which of these are as large in the mean as in"
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


PROBLEMS = (
    mean_noise, trace_noise, five_lines, what_is_left, two_noises, faster,
    find_the_slip, no_dither, what_stays, without_noise, mains_samples, eight_readings, smoothed_noise, lag, factor,
    samples_for_more, few_readings,
)  # fmt: skip

# Lines to complete: the bench of the book in still air

NOISE_V = 0.002
NOISE_C = NOISE_V / BENCH.sensor.slope_v_per_c
STEP = BENCH.step_c(25.0)
HALF_WORKED_LSB = 0.0025 / BENCH.converter.step_v(5.0)


def _of_thousand(codes, volts=0.8, sigma_v=NOISE_V):
    """Samples of 1,000 that give a code, under normal noise: the part between the edges of its step."""
    from scipy.special import ndtr

    step_v = BENCH.converter.step_v(5.0)
    return 1000 * (ndtr(((codes + 1) * step_v - volts) / sigma_v) - ndtr((codes * step_v - volts) / sigma_v))


def _span(value, tolerance, reason, *wrong):
    return Number(value, "temperature span", "°C", tolerance, reason, wrong)


LINES = (
    sketch(
        "06-sketch-codes",
        "Draw which codes a still temperature gives.",
        "The air stands at 25.0 °C: 0.800 V, or 163.84 steps. The noise is 0.41 steps. How many of 1,000 samples give"
        " code 161, 162, 163, 164, 165 and 166? A rough shape will do.",
        "", 110.0, "A shape is asked for, not a table of the normal distribution.",
        Sketch((161, 162, 163, 164, 165, 166), _of_thousand, ("code", "", 160, 167), ("samples", 0, 1000)),
        wrong=(
            Wrong("all-in-one", lambda f, at: np.where(at == 163, 1000.0, 0.0), "All in one code. The noise carries"
                                                                                " some"
                  " over the edge, which is near."),
            Wrong("around-the-code", lambda f, at: _of_thousand(at, 163.5 * 5 / 1024), "Alike to both sides of 163. Is"
                  " 163.84 in the middle of its step?"),
            Wrong("rounded", lambda f, at: _of_thousand(at, 163.84 * 5 / 1024 + 2.5 / 1024), "As if the converter"
                  " rounded. It counts full steps: code 164 begins at 164.00."),
            Wrong("spread", lambda f, at: _of_thousand(at, sigma_v=4 * NOISE_V), "Too wide: two thirds lie within 0.41"
                  " steps of 163.84."),
        ),
        quantity="number",
        then="A third lies beyond the edge at 164. So the shares tell where in its step the temperature lies.",
    ),
    Line(
        "06-mean-of-16",
        "Work out the noise of a mean.",
        "One reading has noise of 0.25 °C, different each time. How large is the noise of the mean of 16 readings?",
        _span(lambda f: NOISE_C / 4, 0.0006, "Two digits of a small number.",
              Wrong("by-count", lambda f: NOISE_C / 16, "Divided by 16. The sum's noise grows too, by the root of 16."),
              Wrong("unmoved", lambda f: NOISE_C, "This is one reading. Highs and lows partly cancel in a mean."),
              Wrong("sum", lambda f: NOISE_C * 4, "This is the noise of the sum. Now divide by 16.")),
        rail=("noise", 0, 0.3),
    ),
    Line(
        "06-log-slope",
        "Read a slope where both axes go in factors.",
        "From 1 to 100 samples, two factors of ten, the error falls from 0.306 °C to 0.031 °C. What is the slope of the"
        " line: how many factors of ten in the error for each factor of ten in the samples? Mind the sign.",
        Number(lambda f: math.log10(averaged_error_lsb(NOISE_V * 1024 / 5, 100) / averaged_error_lsb(
            NOISE_V * 1024 / 5, 1)) / 2, "number", "", 0.02, "The line is straight to within its width.", (
               Wrong("by-count", lambda f: -1.0, "This would be the error over the number of samples: a hundredth. It"
                     " is a tenth."),
               Wrong("difference", lambda f: (0.031 - 0.306) / 99, "Degrees over samples. On these axes count factors"
                                                                   " of"
                     " ten."))),
        rail=("slope", -1.2, 0.4),
        then="A root: a tenth of the error for a hundred times the samples.",
    ),
    Line(
        "06-why-quiet",
        "Say why averaging does not help a quiet board.",
        "The quiet board gives code 163 in each of 256 samples. Why does their mean stay off?",
        Choice(
            options=(
                Option("alike", "because all its samples are alike", "Equal numbers have that number for a mean. What"
                       " does not change, no mean removes."),
                Option("few", "because 256 samples are too few", "A million samples of code 163 have the mean 163."),
                Option("small", "because its noise is too large", "It has almost none: the code never changes."),
            ),
            right="alike",
        ),
    ),
    Line(
        "06-window",
        "Choose a window for hum.",
        "A window has to hold whole periods of 50 Hz and of 60 Hz. How long, in ms, is the shortest?",
        Number(lambda f: 100.0, "time", "ms", 0.5, "A whole number of periods is exact.", (
            Wrong("one-period", lambda f: 20.0, "One period of 50 Hz, and 1.2 of 60 Hz."),
            Wrong("one-of-60", lambda f: 1000 / 60, "One period of 60 Hz, and five sixths of one of 50 Hz."),
            Wrong("half", lambda f: 50.0, "Three periods of 60 Hz, and two and a half of 50 Hz."),
            Wrong("twice", lambda f: 200.0, "This suits both. Is there a shorter one?"),
            Wrong("added", lambda f: 1000 / 50 + 1000 / 60, "One period of each, added. The window must suit both at"
                  " once."),
            Wrong("second", lambda f: 1000.0, "This suits both. Is there a shorter one?"))),
        rail=("window", 0, 200),
        then="Five periods of 50 Hz and six of 60 Hz.",
    ),
    Line(
        "06-smooth-once",
        "Smooth one reading.",
        "The smoothed value is 24.8 °C, the next reading 25.4 °C, and f = 0.18. What is the new smoothed value?",
        Number(lambda f: 24.8 + 0.18 * 0.6, "temperature", "°C", 0.05, "A tenth is what the board prints.", (
            Wrong("all-the-way", lambda f: 25.4, "This is the reading itself. Only the part f of the way is gone."),
            Wrong("what-is-kept", lambda f: 24.8 + 0.82 * 0.6, "Old and new are swapped: f counts the new reading."),
            Wrong("half-way", lambda f: 25.1, "Half of the way. How far does f go?"),
            Wrong("old", lambda f: 24.8, "This is the old value. The reading moves it by the part f of the way."))),
        rail=("temperature", 24.5, 25.6),
    ),
    Line(
        "06-agree-lamp",
        "Compare two means and decide what to do.",
        "Mean of 16 readings before a lamp was moved: 24.92 °C; after it: 25.10 °C. One reading scatters by 0.25 °C."
        " Did"
        " the lamp change the air, and what do you do?",
        Choice(
            options=(
                Option("more", "on the edge, take more readings", "0.18 °C beside 2 × √2 × 0.0625 °C = 0.18 °C. 95 % is"
                       " no cliff: 64 readings each halve the doubt."),
                Option("moved", "yes, put the lamp back again", "Work out the uncertainty of the difference: 2 × √2 ×"
                       " 0.0625 °C. Is 0.18 °C clearly more?"),
                Option("same", "no, nothing has changed here", "That is not shown either. The difference is as large as"
                       " its uncertainty."),
            ),
            right="more",
        ),
    ),
    Line(
        "06-agree-long-mean",
        "Say what a long mean leaves, and decide what to do.",
        "The mean of 1,600 readings is 25.00 °C. Beside it the program prints ±0.012 °C, from 2 × 0.25 °C / √1600. A"
        " thermometer in the same air shows 25.6 °C ± 0.2 °C. The supply is measured; U of one reading is 2.3 °C"
        " (chapter 05). Do they agree?",
        Choice(
            options=(
                Option("limits", "agree, print ±2.3 °C beside it", "Averaging took the noise. Sensor and converter are"
                       " as unsure as before, and √(2.3² + 0.2²) is more than 0.6 °C."),
                Option("broken", "disagree, change the thermometer", "Which part of U did the 1,600 readings remove?"
                       " Look at the budget of chapter 05."),
                Option("more", "disagree, average even more", "The noise is gone already. What is left is the same in"
                                                              " all"
                       " readings."),
            ),
            right="limits",
        ),
    ),
    Line(
        "06-half-samples",
        "Count the samples that a wanted error takes.",
        "One sample is off by 0.359 °C rms. The mean is to be off by no more than 0.05 °C rms, and the root holds. How"
        " many samples at least?",
        Number(lambda f: math.ceil((averaged_error_lsb(HALF_WORKED_LSB, 1) * STEP / 0.05) ** 2), "number", "", 0.0,
               "Samples are counted.", whole=True, wrong=(
               Wrong("not-squared", lambda f: 8, "The ratio itself. The error falls with the root, so square the"
                                                 " ratio."),
               Wrong("ratio-down", lambda f: 7, "The ratio, cut off. The error falls with the root, so square the"
                                                " ratio."),
               Wrong("power-of-two", lambda f: 64, "A power of two comes next. How many are just enough?"),
               Wrong("rounded-down", lambda f: 51, "Just too few: 51 leave a little more than 0.05 °C."))),
        rail=("samples", 0, 120),
        then="64 is the next power of two: a shift divides by it.",
    ),
    Line(
        "06-half-rate",
        "Spread samples over a window.",
        "64 samples are spread evenly over 100 ms. How many samples a second is that?",
        Number(lambda f: 640, "number", "", 0.0, "A whole number is exact.", whole=True, wrong=(
            Wrong("by-window", lambda f: 64 / 100, "Samples for each millisecond. How many milliseconds has a second?"),
            Wrong("times", lambda f: 6400.0, "Divided by 10 ms. The window has 100."))),
        rail=("per second", 0, 1500),
        then="The board can do 1,000.",
    ),
)

PREDICTIONS = (
    Prediction(
        "06-quiet",
        "A board has no noise at all. The temperature may lie anywhere in its step of 0.610 °C, so one reading is off"
        " by"
        " 0.176 °C rms (rms: root of the mean of the squared errors). What is the rms error of the mean of 16"
        " readings?",
        "Under “Try it”, set the noise to nothing and the samples to 16 (the slider at 4). Look at the error of the"
        " mean.",
        "All 16 readings are the same code, and so is their mean. Averaging removes only what changes.",
        number=Amount(
            lambda: averaged_error_lsb(0.0, 16) * STEP, "°C", 3, "temperature span", near=0.005,
            wrong=(
                Wrong("root", lambda: STEP / math.sqrt(12) / 4,
                      "It was divided by the root of 16. That holds for errors that differ from reading to reading."),
                Wrong("all", lambda: STEP / math.sqrt(12) / 16,
                      "It was divided by 16. Not even noise is averaged as fast as that."),
        )),
        explorer="noise_averaging", settings={"noise_mv": 0.0, "samples_2n": 4},
        saw=lambda result: float(result.error_c(16)),
    ),
)
