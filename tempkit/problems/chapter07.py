"""Practice for chapter 07: limits, deadband, delays, codes; noise at a limit; the states of an alarm."""

from tempkit.alarm import Alarm, delayed_alarm, detection_samples, trip_codes
from tempkit.chain import scenario
from tempkit.exercises import (
    Amount,
    Choice,
    Column,
    Curve,
    Draw,
    Graph,
    Number,
    Option,
    Prediction,
    Problem,
    Scale,
    Table,
    Wrong,
    code,
)
from tempkit.exercises import plain as n
from tempkit.scales import celsius_to_fahrenheit
from tempkit.uncertainty import guard_band

# Limits, deadband, delays, codes

equality = Problem(
    "07-equality", 1, "A reading equal to the limit",
    "Say what a rule of separate branches does at equality.",
    asks="A first program has three lines: if the reading is above {high_c} °C, buzzer on. If it is below {low_c} °C,"
         " lamp on. If it is above {low_c} °C and below {high_c} °C, both off. The buzzer is on, and the reading falls"
         " to exactly {high_c} °C and stays there. What does the board do?",
    figures=(Draw("low_c high_c", ((18, 27), (16, 26), (19, 28), (17, 25))),),
    answer=Choice(
        options=(
            Option("off", "It switches the buzzer off, because the reading is not above the limit any more",
                   "Only the third line switches off. Is its condition met at equality?"),
            Option("stays", "No line speaks, so the buzzer stays on, for as long as the reading stays",
                   "The three conditions leave out equality; the outputs keep what they were."),
            Option("both", "Two lines speak, and the last one wins", "With >= and <= two would. Which signs are here?"),
            Option("rare", "That cannot happen: a reading is never exactly equal to a limit",
                   "Readings come in steps. How many different readings has a 10-bit converter at most?"),
        ),
        right="stays",
    ),
    hints=("Put the reading into each of the three conditions, one after the other.",
           "What does a program do with an output that no line mentions?"),
    solution=lambda f: (
        f"{n(f.high_c)} > {n(f.high_c)} is false; {n(f.high_c)} < {n(f.low_c)} is false; {n(f.high_c)} < {n(f.high_c)}"
        " is false. No line speaks, and the buzzer stays as it was."
    ),
)

WINDOWS = Draw("low_c high_c", ((18, 27), (16, 26), (19, 28), (17, 25)))

deadband_low = Problem(
    "07-deadband-low", 1, "Where a low alarm returns",
    "Put the deadband of a low alarm on the right side.",
    asks="The alarm has a low limit of {low_c} °C, a high limit of {high_c} °C and a deadband of {band_c} °C. The low"
         " alarm has been raised. Above which reading does it return to normal?",
    figures=(WINDOWS, Draw("band_c", (0.5, 0.8, 1.2, 1.5))),
    answer=Number(
        lambda f: Alarm(low_c=f.low_c, high_c=f.high_c, deadband_c=f.band_c).low_back_c,
        "temperature", "°C", 0.05, "The figures are exact to a tenth; half of that is room.",
        wrong=(
            Wrong("wrong-side", lambda f: f.low_c - f.band_c,
                  "That is even colder than the limit. On which side of a low limit is normal?"),
            Wrong("none", lambda f: float(f.low_c), "This is the limit itself. What is the deadband for?"),
            Wrong("half", lambda f: f.low_c + f.band_c / 2,
                  "Half of the deadband was used. It counts whole, from the limit."),
            Wrong("other-limit", lambda f: f.high_c - f.band_c,
                  "This is where the high alarm returns. Which alarm has been raised?"),
    )),
    hints=("The reading has to come back past its limit, and further by the deadband.",
           "Normal lies above a low limit: add."),
    solution=lambda f: f"{n(f.low_c)} °C + {n(f.band_c)} °C = {n(f.low_c + f.band_c)} °C",
)


def _back_f(f):
    return celsius_to_fahrenheit(Alarm(high_c=f.high_c, deadband_c=f.band_c).high_back_c)


deadband_in_f = Problem(
    "07-deadband-fahrenheit", 2, "The same alarm in °F",
    "Turn a limit and a deadband into °F, each by its own rule.",
    asks="An alarm is set to a high limit of {high_c} °C with a deadband of {band_c} °C. It is to be shown in °F. Below"
         " which reading in °F does the high alarm return?",
    figures=(Draw("high_c", (27, 26, 28, 25)), Draw("band_c", (0.5, 0.8, 1.2, 1.5))),
    answer=Number(
        _back_f, "temperature", "°F", 0.05, "A display in °F shows tenths; half of one is room.",
        own_unit=True, wrong=(
            Wrong("span-kept", lambda f: celsius_to_fahrenheit(f.high_c) - f.band_c,
                  "The deadband was taken over as it stands. A span of 1 °C is more than a span of 1 °F."),
            Wrong("span-as-temperature", lambda f: celsius_to_fahrenheit(f.high_c) - celsius_to_fahrenheit(f.band_c),
                  "The deadband was turned into °F with the 32. It is a span; where a scale begins does not matter."),
            Wrong("wrong-side", lambda f: celsius_to_fahrenheit(f.high_c + f.band_c),
                  "That is warmer than the limit. On which side of a high limit is normal?"),
            Wrong("none", lambda f: celsius_to_fahrenheit(f.high_c),
                  "This is the limit itself. What is the deadband for?"),
    )),
    hints=("A temperature: times 1.8, plus 32. A span: times 1.8, nothing more.",
           "Or take the deadband off in °C first, and turn the result into °F."),
    solution=lambda f: (
        f"In °C: {n(f.high_c)} − {n(f.band_c)} = {n(f.high_c - f.band_c)} °C\n"
        f"In °F: {n(f.high_c - f.band_c)} × 1.8 + 32 = {n(_back_f(f), 4)} °F"
    ),
)


def _equal_code(f):
    """The code whose reading is the limit: a step is 5 mV, 0.5 °C; reading = code / 2 - 49.75."""
    return round(2 * (f.high_c + 49.75))


first_code = Problem(
    "07-first-code", 1, "The first code that trips",
    "Find the first code whose reading is above a limit.",
    asks="A sensor gives 500 mV at 0 °C and 10 mV/°C. A 10-bit converter with a reference of 5.12 V has steps of 5 mV,"
         " and the program takes the middle of each step: reading = (code + 0.5) × 0.5 °C − 50 °C. The buzzer sounds"
         " when the reading is above {high_c} °C. Which is the first code that makes it sound?",
    figures=(Draw("high_c", (27.25, 27.75, 28.25, 28.75, 29.25)),),
    answer=code(
        lambda f: trip_codes(scenario(nominal_v=5.12, kind="fixed"), Alarm(high_c=f.high_c)).high_on,
        wrong=(
            Wrong("equal", _equal_code,
                  "Work out the reading of this code. Is it above the limit, or equal to it?"),
            Wrong("no-offset", lambda f: round(2 * f.high_c + 0.5),
                  "The 50 °C are missing: at 0 °C the sensor does not give 0 V."),
            Wrong("last-quiet", lambda f: _equal_code(f) - 1,
                  "The reading of this code is still below the limit."),
            Wrong("two-on", lambda f: _equal_code(f) + 2,
                  "This code trips, but there is one before it that does."),
    )),
    hints=("Turn the formula round: for which code is the reading equal to the limit?",
           "Equal is not above. What is the next whole code?"),
    solution=lambda f: (
        f"Equal: ({n(f.high_c)} + 50) ÷ 0.5 − 0.5 = {n(_equal_code(f))}, and equality does not trip\n"
        f"First code above: {n(_equal_code(f))} + 1 = {n(_equal_code(f) + 1)} code"
    ),
)

on_delay = Problem(
    "07-on-delay", 2, "How long an on-delay takes",
    "Turn an on-delay in samples into seconds.",
    asks="The board takes a reading every {period_s} s. The on-delay is {count} samples, where 1 would be at once. The"
         " readings go beyond the limit and stay there. How long after the first reading beyond the limit is the alarm"
         " raised?",
    figures=(Draw("period_s", (2, 5, 0.5, 4)), Draw("count", (3, 4, 5, 6))),
    answer=Number(
        lambda f: Alarm(high_c=27.0, on_delay=f.count)
        .run([20.0] + [28.0] * 9, [f.period_s * k for k in range(10)]).events[0].start_s - f.period_s,
        "time", "s", 0.05, "The figures are exact; half a tenth of a second is room for rounding.",
        wrong=(
            Wrong("one-too-many", lambda f: f.count * f.period_s,
                  "Count the gaps between the samples, not the samples. The first one is already beyond."),
            Wrong("samples-as-seconds", lambda f: float(f.count),
                  "The delay counts samples. How long is it from one sample to the next?"),
            Wrong("gaps-as-seconds", lambda f: float(f.count - 1),
                  "The gaps are counted rightly, but each was taken for a second."),
            Wrong("next-sample", lambda f: (f.count + 1) * f.period_s,
                  "The alarm is raised with the last of these samples, not with the one after it."),
    )),
    hints=("Draw the samples as marks on a line. The first mark is the first reading beyond the limit.",
           "How many gaps lie between the first mark and the one that raises it?"),
    solution=lambda f: (
        f"{n(f.count)} samples in a row have {n(f.count - 1)} gaps\n"
        f"{n(f.count - 1)} × {n(f.period_s)} s = {n((f.count - 1) * f.period_s)} s"
    ),
)

invalid = Problem(
    "07-invalid", 1, "Readings that cannot be true",
    "Tell readings that must be called invalid from those that are only extreme.",
    asks="The bench has a sensor for −40 °C to 125 °C on a 10-bit converter with a reference of 5 V: codes 20 to 358."
         " Its noise moves the code by a step or two. Which of these must be called invalid, neither high nor low?"
         " Choose all.",
    figures=(),
    answer=Choice(
        options=(
            Option("ground", "Code 0, again and again",
                   "Below code 20 this sensor cannot be: its output lies on ground, or its supply is off."),
            Option("hot", "Code 174, a reading of 35 °C on a bench that should be below 27 °C",
                   "That is a very good reason for an alarm. Could the sensor read it?"),
            Option("top", "Code 1023, again and again",
                   "No voltage of this sensor gives the top code: the pin lies on the supply, or hangs free."),
            Option("stuck", "Code 153, the very same for an hour",
                   "A noisy reading that stands still does not come from the sensor any more."),
            Option("cold", "Code 110, a reading of 4 °C in a winter night",
                   "Cold, and possible. Which alarm is this one for?"),
        ),
        right=("ground", "top", "stuck"),
        several=True,
    ),
    hints=("First: is the code one that the sensor can give at all?",
           "Then: does it behave as a living reading with this noise would?"),
    solution=lambda f: "Codes 0 and 1023 lie outside 20 to 358, and a noisy code does not stand still for an hour."
                       " 35 °C and 4 °C are extreme, but possible: they are what the alarm is for.",
)


# Noise and delays, raises with a deadband, guard bands

ROWS = Draw("count", (2, 3, 4))


def _p(f):
    return f.percent / 100


in_a_row = Problem(
    "07-in-a-row", 2, "All of them beyond, by chance",
    "Work out how likely it is that noise alone fills an on-delay.",
    asks="The bench is near its limit, and noise puts {percent} % of the readings beyond it, each independent of the"
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
    asks="The bench is really too warm, and {percent} % of the independent readings lie beyond the limit. With an"
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
    asks="The bench stays close to its high limit. An independent noisy reading lies above the limit with probability"
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
    asks="The standard uncertainty of a reading is {u_c} °C. The buzzer is to call with a probability of 95 % when the"
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
    asks="The air stands {gap_c} °C below the high limit, and its readings have noise of {noise_c} °C. The buzzer"
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
    asks="The readings of a bench have noise with a standard deviation of {noise_mv} mV at the pin; the sensor gives"
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
    asks="The air keeps still below the limit, and {percent} % of the readings lie above it, by noise alone. The alarm"
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


# The states of an alarm, reading by reading, and those who live with it

# Eight readings as tenths of a degree from the limit: each list meets equality, the deadband, and both ways out of it.
TENTHS = (
    (-3, 0, 2, 1, -2, -4, -6, -1),
    (-1, 1, -3, -5, -4, -7, 0, 3),
    (0, -2, 4, -5, -1, -6, -3, 0),
    (-4, 3, 1, -1, -5, 2, -8, -2),
    (2, -4, -5, -2, 0, -6, 0, 1),
    (-6, 0, 0, 5, -3, -5, -9, 1),
)
NAMES = " ".join(f"d{k}" for k in range(1, 9))


def _readings(f):
    return [round(f.high_c + tenths / 10, 1) for tenths in f[1:]]


def _rows(states):
    return tuple((int(state),) for state in states)


def _walk(f, raises, returns):
    """States by the rule itself, one reading after the other: the second route, and that of the wrong ways."""
    state, found = 0, []
    for d in f[1:]:
        state = 0 if state and returns(d) else 1 if raises(d) else state
        found.append(state)
    return found


def _solution(f):
    states = _walk(f, lambda d: d > 0, lambda d: d < -5)
    before = [0, *states]
    return "\n".join(
        f"{n(reading)} °C: {_why(d, before[k])}, state = {states[k]}"
        for k, (reading, d) in enumerate(zip(_readings(f), f[1:], strict=True))
    )


def _why(tenths, raised):
    if tenths > 0:
        return "above the limit"
    if tenths < -5:
        return "below the deadband"
    return "not below the deadband, it stays raised" if raised else "not above the limit, it stays down"


eight_states = Problem(
    "07-eight-states", 1, "Eight readings, eight states",
    "Follow an alarm with a deadband from one reading to the next.",
    asks=lambda f: f"An alarm is raised above {f.high_c} °C, at once, and has a deadband of 0.5 °C. It is not raised"
                   f" yet. The readings are, in order, {', '.join(n(r) for r in _readings(f))} °C. What is its state at"
                   " each reading? Write 1 where it is raised and 0 where it is not.",
    figures=(Draw("high_c", (27, 26, 28, 25, 29)), Draw(NAMES, TENTHS)),
    answer=Table(
        rows=lambda f: tuple(f"Reading {k}, {n(reading)} °C" for k, reading in enumerate(_readings(f), 1)),
        columns=(Column("state", "number", "", 0.0, whole=True),),
        value=lambda f: _rows(Alarm(high_c=float(f.high_c), deadband_c=0.5).run(_readings(f)).state),
        reason="A state is raised or it is not.",
        wrong=(
            Wrong("no-deadband", lambda f: _rows(_walk(f, lambda d: d > 0, lambda d: d <= 0)),
                  "The alarm was taken back as soon as the reading was not above the limit. What is the deadband for?"),
            Wrong("equality-raises", lambda f: _rows(_walk(f, lambda d: d >= 0, lambda d: d < -5)),
                  "A reading equal to the limit was taken as above it."),
            Wrong("equality-returns", lambda f: _rows(_walk(f, lambda d: d > 0, lambda d: d <= -5)),
                  "A reading just at the edge of the deadband was taken as below it."),
            Wrong("never-returns", lambda f: _rows(_walk(f, lambda d: d > 0, lambda d: False)),
                  "Once raised, it stayed raised for good. Where does it return?"),
            Wrong("deadband-above", lambda f: _rows(_walk(f, lambda d: d > 5, lambda d: d <= 0)),
                  "The deadband was put above the limit. It delays the way back, not the call."),
        ),
    ),
    hints=("Go from left to right and keep the state in mind: what would change it at this reading?",
           "Down, it changes only above the limit. Raised, only below the limit less the deadband."),
    solution=_solution,
    echoes=True,
)  # fmt: skip

people = Problem(
    "07-power-on", 1, "Power-on, test, silence",
    "Know what an alarm does at power-on, at a test, and when it is silenced.",
    asks="An alarm with lamp and buzzer is built for people who live with it. Which of these does it have to do? Choose"
         " all.",
    figures=(),
    answer=Choice(
        options=(
            Option("normal", "At power-on it takes the state for normal until a reading says otherwise",
                   "Normal is a claim. What does it know before the first valid reading?"),
            Option("unknown", "At power-on its state is not yet known, and it says so if it is asked",
                   "Before the first valid reading there is nothing to go by."),
            Option("test", "A button switches lamp and buzzer on, and changes nothing else",
                   "A dead buzzer is silent in both cases; only a test tells."),
            Option("reset", "The test button clears the state, so that all begins anew",
                   "Then a test would hide a call. What should a test touch?"),
            Option("clear", "Silence clears the alarm: the lamp goes out with the buzzer",
                   "The bench is as warm as before. Who still sees that?"),
            Option("stays", "Silence stops the buzzer alone, and a new call brings it back",
                   "The state stays, the lamp stays lit, and what is new is heard."),
        ),
        right=("unknown", "test", "stays"),
        several=True,
    ),
    hints=("Of each: is there a moment at which somebody would believe something that is not so?",
           "A test and a silence are for ears and eyes. What is the state made of?"),
    solution=lambda f: "Not yet known until the first valid reading; a test that switches both outputs on and changes"
                       " nothing else; a silence that stops the sound, not the alarm, and ends with a new call.",
)


# A trace

# Invented readings in tenths of a degree, one every 10 s; none is on the limit or where an alarm returns.
TRACES = (
    (264, 267, 271, 271, 268, 269, 272, 278, 271, 268, 264, 271, 273, 274, 266, 262, 261, 271, 274, 271, 264, 261, 273),
    (271, 263, 264, 271, 264, 269, 275, 283, 277, 276, 268, 268, 273, 273, 266, 264, 266, 269, 268, 277, 274, 277, 271),
    (271, 269, 267, 263, 261, 268, 272, 277, 282, 281, 273, 269, 271, 271, 271, 268, 264, 266, 271, 272, 278, 271, 273),
    (273, 264, 263, 266, 274, 275, 273, 261, 264, 267, 274, 276, 272, 268, 266, 266, 271, 277, 273, 264, 262, 260, 261),
    (273, 274, 268, 262, 267, 271, 276, 277, 273, 266, 271, 271, 275, 277, 268, 264, 271, 273, 277, 268, 267, 264, 274),
    (274, 271, 271, 268, 266, 271, 276, 275, 268, 258, 266, 267, 272, 273, 272, 273, 271, 263, 261, 263, 266, 269, 271),
    (274, 275, 273, 271, 268, 272, 277, 271, 266, 260, 267, 272, 275, 268, 263, 268, 273, 276, 273, 267, 257, 264, 274),
    (275, 276, 274, 264, 266, 267, 277, 276, 273, 269, 277, 277, 276, 269, 262, 258, 268, 271, 277, 273, 267, 264, 271),
    (276, 277, 273, 263, 261, 267, 275, 276, 267, 260, 271, 280, 278, 272, 271, 267, 269, 274, 273, 267, 263, 271, 268),
    (277, 271, 271, 267, 266, 272, 277, 271, 264, 262, 267, 280, 280, 277, 264, 264, 267, 273, 275, 273, 262, 264, 271),
)


def _readings_c(f):
    return [tenths / 10 for tenths in TRACES[f.trace - 1]]


def _raised(f, band_c=0.5, on_delay=2):
    """How often the high alarm is raised on the trace."""
    return len(Alarm(high_c=27.0, deadband_c=band_c, on_delay=on_delay).run(_readings_c(f)).events)


def _trace(f):
    return Graph(
        "Readings of the bench", Scale("time", "s", (0, 220), 10), Scale("reading", "°C", (25.5, 28.5), 0.1),
        (Curve("reading", tuple((10 * k, c) for k, c in enumerate(_readings_c(f))), "dots"),), (("high limit", 27),),
    )


trace = Problem(
    "07-trace", 1, "Calls on a trace",
    "Follow deadband and delay along a trace of readings.",
    asks="The trace shows a reading every 10 s. A high alarm with a limit of 27 °C is raised by two readings in a row"
         " above the limit. It returns at once when a reading is below 26.5 °C. It is normal at the start. How many"
         " times is it raised?",
    figures=(Draw("trace", (4, 1, 2, 3, 5, 6, 7, 8, 9, 10)),),
    picture=_trace,
    answer=Number(
        _raised, "number", "", 0.0, "A count is a whole number: it is right or it is not.", whole=True,
        wrong=(
            Wrong("no-deadband", lambda f: _raised(f, band_c=0.0),
                  "The alarm was let return at the limit. Where does it return?"),
            Wrong("no-delay", lambda f: _raised(f, on_delay=1),
                  "Every single reading above the limit was taken for a call. How many in a row does it need?"),
            Wrong("every-reading", lambda f: sum(c > 27 for c in _readings_c(f)),
                  "The readings above the limit were counted. While the alarm stands, it is not raised again."),
            Wrong("every-crossing", lambda f: _raised(f, band_c=0.0, on_delay=1),
                  "Every crossing of the limit was counted. What do delay and deadband do?"),
    )),
    hints=("Go from left to right with a finger, and keep in mind whether the alarm stands.",
           "Normal: wait for the readings in a row above the limit. Raised: wait for one below the lower level."),
    solution=lambda f: (
        f"Raised at {', '.join(_at_s(f))}; between these the readings fall below 26.5 °C.\n"
        f"Times raised = {len(_at_s(f))}"
    ),
)


def _at_s(f):
    """When the alarm is raised, by counting along the trace."""
    raised, row, found = False, 0, []
    for k, c in enumerate(_readings_c(f)):
        row = row + 1 if c > 27 else 0
        if raised and c < 26.5:
            raised = False
        elif not raised and row >= 2:
            raised = True
            found.append(f"{10 * k} s")
    return found


PROBLEMS = (
    equality, deadband_low, deadband_in_f, first_code, on_delay, invalid, in_a_row, detection, deadband_raises, guard,
    remedy, deadband_size, alike, eight_states, people, trace,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "07-raises",
        "The true temperature stands still, one standard deviation of the noise below the limit. So 15.9 % of the"
        " readings lie above it, each independent of the others. The alarm compares each with the limit and does"
        " nothing else. How many times in 1000 readings is it raised anew?",
        "Now work it out: how often does a reading above follow one below?",
        "It is raised at each reading above that follows one below: 1000 × 0.159 × 0.841.",
        number=Amount(
            lambda: delayed_alarm(0.158655, 1, 1).raises_per_1000, "times", 0, near=10,
            wrong=(
                Wrong("readings", lambda: 159, "All readings above were counted. Several in a row are one alarm."),
                Wrong("never", lambda: 0, "The temperature stays below, but its readings do not."),
        )),
    ),
)
