"""Practice for chapter 06: noise, averaging and smoothing, and what they cannot do."""

import math

from tempkit.chain import scenario
from tempkit.exercises import Amount, Choice, Column, Draw, Number, Option, Prediction, Problem, Table, Wrong
from tempkit.exercises import plain as n
from tempkit.signal import (
    averaged_error_lsb,
    averaging_gain,
    samples_for_bits,
    smoothed_noise_ratio,
    smoothing_factor,
    smoothing_lag_s,
    step,
)

# Noise and averaging

two_noises = Problem(
    "06-two-noises", 1, "Two noises together",
    "Add two independent noises as squares.",
    asks="The sensor's output has noise of {sensor_mv} mV, the board adds noise of {board_mv} mV of its own;"
         " both are standard deviations, and the two have nothing to do with each other. How large is the noise"
         " at the converter's pin?",
    figures=(Draw("sensor_mv", (3, 2, 4, 5, 2.4, 1.8)), Draw("board_mv", (1.5, 2.5, 4, 3, 1.2, 3.2))),
    answer=Number(
        lambda f: math.hypot(f.sensor_mv, f.board_mv), "voltage", "mV",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=3, wrong=(
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


def _one_c(f):
    return f.noise_mv / f.slope_mv_per_c


mean_noise = Problem(
    "06-mean-noise", 2, "Noise of a mean, in degrees",
    "Divide noise by the root of the number of samples.",
    asks="The noise at the pin has a standard deviation of {noise_mv} mV. The sensor gives {slope_mv_per_c} mV/°C."
         " {samples} independent samples are averaged for one reading. How large is the noise of the reading, in"
         " degrees? Leave the steps of the converter out of it.",
    figures=(Draw("noise_mv", (6, 8, 5, 4.5, 7)), Draw("slope_mv_per_c", (10, 19.5, 8)),
             Draw("samples", (16, 25, 64, 9, 100))),
    answer=Number(
        lambda f: _one_c(f) / math.sqrt(f.samples), "temperature span", "°C",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=2, wrong=(
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

samples_for_more = Problem(
    "06-samples-for-bits", 1, "Samples for more bits",
    "Count the samples that oversampling takes.",
    asks="A converter of {bits} bits shall give codes as fine as {fine} bits by oversampling. The noise is half a"
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
    "06-without-noise", 2, "Averaging without noise",
    "Know what averaging leaves where there is no noise.",
    asks="A quiet input stands still somewhere in a step: there is no noise at all. The converter has {bits} bits over"
         " {reference_v} V, the sensor gives {slope_mv_per_c} mV/°C. The program averages {samples} samples and takes"
         " the middle of the step. How large is the rms error over all places in the step?",
    figures=(Draw("bits", (10, 8, 12)), Draw("reference_v", (5, 3.3, 2.5, 4.096)), Draw("slope_mv_per_c", (10, 19.5)),
             Draw("samples", (16, 64, 256))),
    answer=Number(
        lambda f: averaged_error_lsb(0.0, f.samples) * _step_c(f), "temperature span", "°C",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
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
    "06-no-dither", 1, "A very quiet board",
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
            Option("worse", "The error becomes larger, since 256 errors of the steps are added",
                   "They are added and divided again. The mean of equal errors is the same error."),
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

both_mains = Problem(
    "06-both-mains", 1, "A window for both mains frequencies",
    "Find the shortest window that suits 50 Hz and 60 Hz.",
    asks="A board shall be used in places with 50 Hz and in places with 60 Hz. Which is the shortest averaging window"
         " that leaves nothing of either?",
    figures=(),
    answer=Choice(
        options=(
            Option("20ms", "20 ms", "That is one period of 50 Hz, and 1.2 periods of 60 Hz."),
            Option("100ms", "100 ms", "It holds 5 periods of 50 Hz and 6 periods of 60 Hz: both whole."),
            Option("37ms", "36.7 ms, one period of each",
                   "The two periods were added. The window must hold whole periods of each, not one after the other."),
            Option("1s", "1 s", "It rejects both, but there is a shorter one."),
        ),
        right="100ms",
    ),
    hints=("Write down the windows that hold whole periods of 50 Hz, then those of 60 Hz.",
           "The first that stands in both lists is the one."),
    solution=lambda f: (
        "50 Hz: 20, 40, 60, 80, 100 ms. 60 Hz: 16.7, 33.3, 50, 66.7, 83.3, 100 ms.\n"
        "The first that stands in both lists: 100 ms."
    ),
)


# Eight smoothed readings one after the other; what no averaging mends

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


# First-order smoothing: its factor, its noise, its lag

factor = Problem(
    "06-smoothing-factor", 1, "The factor of smoothing",
    "Turn a time constant into a smoothing factor.",
    asks="A program smooths a reading every {dt_s} s: new = old + factor × (reading − old). The time constant shall be"
         " {tau_s} s. Which factor is exact?",
    figures=(Draw("dt_s", (1, 0.5, 2)), Draw("tau_s", (5, 4, 8, 3, 6))),
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
        lambda f: f.noise_c * smoothed_noise_ratio(f.factor), "temperature span", "°C",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
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
        lambda f: f.rate_c_per_min / 60 * smoothing_lag_s(f.factor, f.dt_s), "temperature span", "°C",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
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


PROBLEMS = (
    two_noises, mean_noise, samples_for_more, without_noise, no_dither, mains_samples, both_mains, factor,
    smoothed_noise, lag, eight_readings, what_stays,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "06-quiet",
        "There is no noise at all. The temperature may lie anywhere in its step of 0.610 °C, so one reading is off by"
        " 0.176 °C rms. What is the rms error of the mean of 16 readings?",
        "Now set the noise to nothing and the samples to 16, and look at the error that stays.",
        "All 16 samples are the same code, and so is their mean.",
        number=Amount(
            lambda: averaged_error_lsb(0.0, 16) * scenario().step_c(25.0), "°C", 3, "temperature span", near=0.002,
            wrong=(
                Wrong("root", lambda: scenario().step_c(25.0) / math.sqrt(12) / 4,
                      "It was divided by the root of 16. That holds for errors that differ from sample to sample."),
                Wrong("all", lambda: scenario().step_c(25.0) / math.sqrt(12) / 16,
                      "It was divided by 16. Not even noise is averaged as fast as that."),
        )),
        explorer="noise_averaging", settings={"noise_mv": 0.0, "samples_2n": 4},
        saw=lambda result: float(result.error_c(16)),
    ),
)
