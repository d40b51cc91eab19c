"""Practice for chapter 07, second part: noise and delays, raises with a deadband, guard bands."""

from tempkit.alarmrates import detection_samples
from tempkit.conformity import guard_band
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n

ROWS = Draw("count", (2, 3, 4))


def _p(f):
    return f.percent / 100


in_a_row = Problem(
    "07-in-a-row", 2, "All of them beyond, by chance",
    "Work out how likely it is that noise alone fills an on-delay.",
    text="The bench is near its limit, and noise puts {percent} % of the readings beyond it, each independent of the"
         " others. The on-delay is {count} samples. With what probability do the next {count} readings all lie beyond?"
         " Answer in %.",
    figures=(Draw("percent", (20, 10, 30, 25, 15)), ROWS),
    answer=Number(
        lambda f: 100 * _p(f) ** f.count, "percent", "%",
        lambda f: 0.02 * 100 * _p(f) ** f.count, "Two digits are enough; 2 % of the answer is room for rounding.",
        digits=2, wrong=(
            Wrong("power-less", lambda f: 100 * _p(f) ** (f.count - 1),
                  "The power is one too small. The first reading has to lie beyond as well."),
            Wrong("divided", lambda f: f.percent / f.count,
                  "The probability was divided. For all of them to lie beyond, probabilities multiply."),
            Wrong("one-of-them", lambda f: 100 * (1 - (1 - _p(f)) ** f.count),
                  "This is the probability that at least one lies beyond. All of them are asked for."),
            Wrong("no-percent", lambda f: float(f.percent) ** f.count,
                  "The percents were raised to a power as they stand. Turn them into a plain probability first."),
    )),
    hints=("Independent: the probability of both is the product.",
           "As a plain probability, to the power of the delay, and back to %."),
    solution=lambda f: f"{n(_p(f))} to the power {n(f.count)}: 100 % × {n(_p(f) ** f.count)} ="
                       f" {n(100 * _p(f) ** f.count, 4)} %",
)


def _waits(f):
    p = _p(f)
    return (1 - p**f.count) / (p**f.count * (1 - p))


detection = Problem(
    "07-detection", 1, "How long until it notices",
    "Work out the mean number of samples until an on-delay is filled.",
    text="The bench is really too warm, and {percent} % of the independent readings lie beyond the limit. With an"
         " on-delay of {count} samples, how many samples does it take on average until the alarm is raised, the raising"
         " one counted? The mean wait for a row of k with probability p is (1 − pᵏ) ÷ (pᵏ (1 − p)).",
    figures=(Draw("percent", (50, 60, 70, 80, 90)), ROWS),
    answer=Number(
        lambda f: detection_samples(_p(f), f.count), "samples", "samples",
        lambda f: 0.01 * _waits(f), "1 % is room for rounding the powers.",
        digits=3, wrong=(
            Wrong("delay", lambda f: float(f.count),
                  "This is the delay itself. It would be so if every reading lay beyond."),
            Wrong("stretched", lambda f: f.count / _p(f),
                  "Samples in a row are asked for. After each reading within the limit the count begins again."),
            Wrong("whole-rows", lambda f: f.count / _p(f) ** f.count,
                  "This tries whole rows one after the other. A new row may begin at any sample."),
            Wrong("one-power", lambda f: 1 / _p(f) ** f.count,
                  "One over the probability of a row is not the wait: rows overlap. Use the formula as it stands."),
    )),
    hints=("Turn the percents into a plain probability first.", "Work out pᵏ once; it stands above and below."),
    solution=lambda f: (
        f"pᵏ = {n(_p(f))} to the power {n(f.count)}: {n(_p(f) ** f.count)}\n"
        f"(1 − {n(_p(f) ** f.count)}) ÷ ({n(_p(f) ** f.count)} × {n(1 - _p(f))}) = {n(_waits(f), 5)} samples"
    ),
)


def _raises(f):
    return 1000 * f.beyond * f.back / (f.beyond + f.back)


deadband_raises = Problem(
    "07-deadband-raises", 1, "Raises with a deadband",
    "Work out how often an alarm with a deadband is raised by noise.",
    text="The bench stays close to its high limit. An independent noisy reading lies above the limit with probability"
         " {beyond}, and below limit minus deadband with probability {back}. There are no delays. How many times in"
         " 1000 samples is the alarm raised, on average? A raise and a return take 1/p₁ + 1/p₂ samples together.",
    figures=(Draw("beyond", (0.1, 0.2, 0.15, 0.3)), Draw("back", (0.25, 0.4, 0.05, 0.35))),
    answer=Number(
        _raises, "number", "", lambda f: 0.01 * _raises(f), "1 % is room for rounding.",
        digits=3, wrong=(
            Wrong("samples-beyond", lambda f: 1000 * f.beyond,
                  "This counts samples above the limit. An alarm that stands already is not raised again."),
            Wrong("product", lambda f: 1000 * f.beyond * f.back,
                  "The product is the chance of one reading and then the other. How long is the wait for each?"),
            Wrong("no-deadband", lambda f: 1000 * f.beyond * (1 - f.beyond),
                  "This is the alarm without a deadband. Which readings let it return?"),
            Wrong("fraction", lambda f: 1000 * f.beyond / (f.beyond + f.back),
                  "This is the time in alarm, not the number of raises."),
    )),
    hints=("How many samples pass on average until one lies above? And then until one lies below the deadband?",
           "One raise comes in each such round."),
    solution=lambda f: (
        f"A round: 1 ÷ {n(f.beyond)} + 1 ÷ {n(f.back)} = {n(1 / f.beyond + 1 / f.back, 5)} samples\n"
        f"1000 ÷ {n(1 / f.beyond + 1 / f.back, 5)} = {n(_raises(f), 4)}"
    ),
)

guard = Problem(
    "07-guard-band", 2, "A limit with a guard band",
    "Set an alarm so that a bench at the limit is called with a given probability.",
    text="The standard uncertainty of a reading is {u_c} °C. The buzzer is to call with a probability of 95 % when the"
         " true temperature stands at {high_c} °C. At which reading must the alarm be set? For a normal distribution"
         " 95 % lie above −1.645 standard deviations, and 95 % within ±1.960.",
    figures=(Draw("u_c", (0.4, 0.5, 0.8, 0.3, 1.1)), Draw("high_c", (27, 26, 28))),
    answer=Number(
        lambda f: f.high_c - guard_band(f.u_c, 0.95), "temperature", "°C", 0.05,
        "The reading is told to a tenth of a degree: half of a tenth is room for rounding.",
        wrong=(
            Wrong("two-sided", lambda f: f.high_c - 1.959964 * f.u_c,
                  "The two-sided factor was used. Only readings on one side of the setting stay quiet."),
            Wrong("outwards", lambda f: f.high_c + guard_band(f.u_c, 0.95),
                  "The guard band was put outside. There a bench at the limit is hardly ever called."),
            Wrong("standard", lambda f: f.high_c - f.u_c,
                  "One standard uncertainty gives 84 %. What is the factor for 95 %?"),
            Wrong("none", lambda f: float(f.high_c),
                  "Set to the limit itself, half of the readings of a bench at the limit stay quiet."),
    )),
    hints=("Where must the setting lie so that only 5 % of the readings about the limit fall below it?",
           "One side only: the limit minus 1.645 standard uncertainties."),
    solution=lambda f: (
        f"Guard band: 1.645 × {n(f.u_c)} °C = {n(1.645 * f.u_c, 4)} °C\n"
        f"{n(f.high_c)} °C − {n(1.645 * f.u_c, 4)} °C = {n(f.high_c - guard_band(f.u_c, 0.95), 4)} °C"
    ),
)



remedy = Problem(
    "07-remedy", 1, "Which remedy for which trouble",
    "Choose the remedy that fits the trouble.",
    text="The air stands {gap_c} °C below the high limit, and its readings have noise of {noise_c} °C. The buzzer"
         " sounds for a second, about twice an hour, and then is quiet again: single readings beyond the limit. A real"
         " warming must be called within 10 s; there is a reading every second. What helps best?",
    figures=(Draw("gap_c noise_c", ((1.0, 0.3), (0.8, 0.24), (1.2, 0.36), (0.9, 0.27))),),
    answer=Choice(
        options=(
            Option("deadband", "A deadband of 0.2 °C",
                   "It keeps an alarm up for longer. Does it stop a single reading from raising one?"),
            Option("higher", "A limit that is 3 °C higher", "Quiet, and wrong: what is called at the old limit now?"),
            Option("off-delay", "An off-delay of 5 samples",
                   "It makes each of the calls longer. It does not make them fewer."),
            Option("on-delay", "An on-delay of 3 samples",
                   "Three in a row by chance hardly ever come, and 2 s are lost out of the 10 s."),
        ),
        right="on-delay",
    ),
    hints=("The calls are raised by one reading each. Which remedy looks at more than one before it raises?",
           "Deadband and off-delay act on the return."),
    solution=lambda f: "An on-delay of 3 samples: noise must go beyond three times in a row. It costs 2 s.",
)



def _sigma_c(f):
    return f.noise_mv / f.slope_mv


deadband_size = Problem(
    "07-deadband-size", 1, "How wide a deadband",
    "Choose the width of a deadband from the noise of the readings.",
    text="The readings of a bench have noise with a standard deviation of {noise_mv} mV at the pin; the sensor gives"
         " {slope_mv} mV for each degree. How wide is the deadband that chapter 07 finds wide enough, so that noise"
         " alone hardly makes the alarm come and go?",
    figures=(Draw("noise_mv", (2, 3, 1.5, 2.5, 4)), Draw("slope_mv", (10, 19.5, 20))),
    answer=Number(
        lambda f: 4 * f.noise_mv / f.slope_mv, "temperature span", "°C", 0.006,
        "Half a hundredth of a degree, and a little for rounding.",
        wrong=(
            Wrong("one", _sigma_c, "This is one standard deviation. How often does noise alone go further than that?"),
            Wrong("half", lambda f: 2 * _sigma_c(f),
                  "This is two to each side of a middle. A deadband lies on one side of its limit, all of it."),
            Wrong("both-sides", lambda f: 8 * _sigma_c(f),
                  "The deadband was laid on both sides of the limit. It lies on the way back only."),
            Wrong("multiplied", lambda f: 4 * f.noise_mv * f.slope_mv,
                  "Millivolts were multiplied by millivolts for each degree. Write the units down and cancel them."),
            Wrong("millivolts", lambda f: 4.0 * f.noise_mv, "These are the millivolts. How many degrees are they?"),
    )),
    hints=("First the noise in degrees: what is a millivolt worth?",
           "Then as many standard deviations as chapter 07 found enough to end chatter."),
    solution=lambda f: (
        f"Noise: {n(f.noise_mv)} mV ÷ {n(f.slope_mv)} mV/°C, that is {n(_sigma_c(f), 4)} °C\n"
        f"4 × {n(_sigma_c(f), 4)} °C = {n(4 * _sigma_c(f), 4)} °C"
    ),
)

alike = Problem(
    "07-alike", 1, "In a row, but not independent",
    "Know when the odds of an on-delay do not hold.",
    text="The air keeps still below the limit, and {percent} % of the readings lie above it, by noise alone. The alarm"
         " is raised at the {count}th reading in a row above the limit. The readings are smoothed, so that each is much"
         " like the one before. Somebody works out {share} to the power of {count} as the chance that {count} readings"
         " one after the other all lie above the limit. What is right?",
    figures=(Draw("percent share", ((10, 0.1), (20, 0.2), (5, 0.05))), Draw("count", (4, 5, 6))),
    answer=Choice(
        options=(
            Option("right", "It holds: a probability does not ask where the readings come from",
                   "The power is made of one factor for each reading. When may chances be multiplied?"),
            Option("more", "It is too small: after one reading above the limit the next is likely to be above it, too",
                   "Readings that are alike lie beyond a limit in long rows; then an on-delay helps less."),
            Option("fewer", "It is too large: smoothing makes the noise smaller, so that the rows get shorter",
                   "The share that is told here is that of the smoothed readings. What do neighbours have in common?"),
            Option("delay", "It holds as soon as one more reading is asked for",
                   "One more factor of the same kind. Is the kind right?"),
        ),
        right="more",
    ),
    hints=("Chances multiply where one says nothing about the other.",
           "A smoothed reading is above the limit. What would you bet on the next one?"),
    solution=lambda f: "Chances multiply only for independent readings. Smoothed ones stay above the limit in rows, so"
                       " that alarms by chance are more frequent than the power says. Run the alarm over a record to"
                       " know.",
)

ODDS = (in_a_row, detection, deadband_raises, guard, remedy, deadband_size, alike)
