"""Chapter 07: limits, deadband, delays, codes; noise at a limit; states of an alarm; what a call is worth."""

import math
from statistics import NormalDist

from tempkit.alarm import Alarm, deadband_alarm, delayed_alarm, trip_codes
from tempkit.chain import scenario
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
    wrong_step,
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
    """The code whose reading is the limit: a step is 5 mV, 0.625 °C; reading = (code + 0.5) × 0.625 - 75."""
    return round((f.low_c + 75) / 0.625 - 0.5)


first_code = Problem(
    "07-first-code", 2, "The first code that calls",
    "Find the first code whose reading is below a limit.",
    asks="A sensor gives 600 mV at 0 °C and 8 mV/°C. A 10-bit converter with a reference of 5.12 V has steps of 5 mV,"
         " and the program takes the middle of each step: reading = (code + 0.5) × 0.625 °C − 75 °C. The lamp lights"
         " when the reading is below {low_c} °C. The bench cools slowly. Which is the first code that lights the lamp?",
    figures=(Draw("low_c", (18.4375, 17.1875, 17.8125, 19.0625, 19.6875)),),
    answer=code(
        lambda f: trip_codes(scenario(nominal_v=5.12, kind="fixed"), Alarm(low_c=f.low_c)).low_on,
        wrong=(
            Wrong("equal", _equal_code,
                  "Work out the reading of this code. Is it below the limit, or equal to it?"),
            Wrong("no-offset", lambda f: round(f.low_c / 0.625 - 1.5),
                  "The 75 °C are missing: at 0 °C the sensor does not give 0 V."),
            Wrong("last-quiet", lambda f: _equal_code(f) + 1,
                  "The reading of this code is still above the limit."),
            Wrong("two-on", lambda f: _equal_code(f) - 2,
                  "This code calls, but on the way down another one comes before it."),
    )),
    hints=("Turn the formula round: for which code is the reading equal to the limit?",
           "Equal is not below. Which is the next whole code on the way down?"),
    solution=lambda f: (
        f"Equal: ({n(f.low_c)} + 75) ÷ 0.625 − 0.5 = {n(_equal_code(f))}, and equality calls nobody\n"
        f"First code below: {n(_equal_code(f))} − 1 = {n(_equal_code(f) - 1)} code"
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
    "07-invalid", 2, "Readings that cannot be true",
    "Tell readings that must be called invalid from those that are only extreme.",
    asks="The bench has a sensor for −25 °C to 110 °C on a 10-bit converter with a reference of 5 V: codes 81 to 303."
         " Its noise moves the code by a step or two. Which of these must be called invalid, neither high nor low?"
         " Choose all.",
    figures=(),
    answer=Choice(
        options=(
            Option("ground", "Code 0, again and again",
                   "Below code 81 this sensor cannot be: its output lies on ground, or its supply is off."),
            Option("hot", "Code 174, a reading of 32 °C on a bench that should be below 27 °C",
                   "That is a very good reason for an alarm. Could the sensor read it?"),
            Option("top", "Code 1023, again and again",
                   "No voltage of this sensor gives the top code: the pin lies on the supply, or hangs free."),
            Option("stuck", "Code 167, the very same for an hour",
                   "A noisy reading that stands still does not come from the sensor any more."),
            Option("cold", "Code 130, a reading of 5 °C in a winter night",
                   "Cold, and possible. Which alarm is this one for?"),
        ),
        right=("ground", "top", "stuck"),
        several=True,
    ),
    hints=("First: is the code one that the sensor can give at all?",
           "Then: does it behave as a living reading with this noise would?"),
    solution=lambda f: "Codes 0 and 1023 lie outside 81 to 303, and a noisy code does not stand still for an hour."
                       " 32 °C and 5 °C are extreme, but possible: they are what the alarm is for.",
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
        "The display shows tenths of a degree: half of one is room for rounding.",
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
    asks_how_sure=True,
    hints=("The calls are raised by one reading each. Which remedy looks at more than one before it raises?",
           "Deadband and off-delay act on the return."),
    solution=lambda f: "An on-delay of 3 samples: noise must go beyond three times in a row. It costs 2 s.",
)


def _sigma_c(f):
    return f.noise_mv / f.slope_mv


deadband_size = Problem(
    "07-deadband-size", 2, "How wide a deadband",
    "Choose the width of a deadband from the noise of the readings.",
    asks="The readings of a bench have noise with a standard deviation of {noise_mv} mV at the pin; the sensor gives"
         " {slope_mv} mV for each degree. Noise alone should hardly make the alarm come and go, by the rule of"
         " chapter 07. How wide is the deadband?",
    figures=(Draw("noise_mv", (3, 2.4, 1.5, 3.6, 6)), Draw("slope_mv", (8, 12, 18))),
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
           "Then as many standard deviations as end the chatter in chapter 07."),
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
                   "The share given here is that of the smoothed readings. What do neighbours have in common?"),
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


# A trace, and five lines of a log

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


SIGNS = ("stale", "short", "open", "stuck", "warm")
NOISY = ((0, 1, -1, 0, 1), (1, 0, 1, -1, 0), (0, -1, 0, 1, 1))  # invented, in steps


def _five(f):
    """Five lines of a log that show one sign: seconds since the start, code, reading as the program works it out."""
    noise, sign = NOISY[f.bench - 1], SIGNS[f.sign - 1]
    middle = {"short": 0, "open": 1023, "warm": 172 + f.bench}.get(sign, 157 + 2 * f.bench)
    still = sign in ("short", "open", "stuck")
    times = [20 * f.bench + k + (58 * (k > 2) if sign == "stale" else 0) for k in range(5)]
    codes = [middle + (0 if still else step + (k if sign == "warm" else 0)) for k, step in enumerate(noise)]
    return tuple(
        f"t={t}.0 code={code} read={scenario().reading(code, checked=False):.1f}"
        for t, code in zip(times, codes, strict=True)
    )


five_lines = Problem(
    "07-five-lines", 1, "Five lines of a log",
    "Say from five lines of a log whether a reading can be true.",
    asks="The board prints a line each second. Its sensor, for −25 °C to 110 °C, gives codes 81 to 303, and noise moves"
         " the code by a step or two. A resistor from the pin to the supply pulls the pin up where nothing else holds"
         " it. The limits are 18 °C and 27 °C. What do these five lines call for? If all five codes are"
         " the same, they have been for a minute.",
    figures=(Draw("sign", (1, 2, 3, 4, 5)), Draw("bench", (1, 2, 3))),
    listing=_five,
    answer=Choice(
        options=(
            Option("stale", "Invalid: the readings are stale",
                   "Look at the times: for a minute nobody knew anything, and the last reading was an old one."),
            Option("short", "Invalid: the signal lies on ground",
                   "A code far below the sensor's lowest cannot come from air: the pin is held at 0 V."),
            Option("open", "Invalid: the lead hangs open",
                   "The resistor pulls the pin to the supply, and the converter stands at its top code."),
            Option("stuck", "Invalid: the code is stuck",
                   "Codes are possible ones, but a noisy code does not stand still for a minute."),
            Option("warm", "High alarm: these readings can be true",
                   "Codes within the range, moving as noise does, and beyond the limit: that is what it is for."),
        ),
        right=lambda f: SIGNS[f.sign - 1],
        in_order=True,
    ),
    asks_how_sure=True,
    hints=("Times first: is there a line for each second? Then the codes: can the sensor give them?",
           "Codes that are possible must move as the noise does."),
    solution=lambda f: _FIVE_SAID[f.sign - 1],
)

_FIVE_SAID = (
    "From the third line to the fourth nearly a minute is missing: the readings went stale, and that is a call.",
    "Code 0 lies far below 81, the lowest that this sensor gives: the signal is short to ground.",
    "Code 1023 lies far above 303: the lead is open, and the resistor pulls the pin up.",
    "The code is possible, but it does not move at all where noise should move it: stuck.",
    "Every line can be true, and the readings are above 27 °C: the high alarm is right.",
)


# Odds of a thousand nights, an estimate, a setting with a slip, a part from a list


def _counted(f):
    """(calls with trouble, calls without) in 1000 nights."""
    return f.trouble * f.caught / 100, (1000 - f.trouble) * f.false / 100


of_a_thousand = Problem(
    "07-of-a-thousand", 1, "Of 1,000 nights",
    "Work out what share of the calls is real.",
    asks="Of 1,000 nights, {trouble} bring real trouble at the bench. The alarm calls in {caught} % of the nights with"
         " trouble, and falsely in {false} % of all other nights. It calls. With what probability is the trouble real?"
         " Answer in %.",
    figures=(Draw("trouble", (20, 10, 40, 5)), Draw("caught", (90, 80, 95)), Draw("false", (5, 2, 10))),
    answer=Number(
        lambda f: 100 * _counted(f)[0] / sum(_counted(f)), "percent", "%", 0.5,
        "Whole per cents are enough for anybody who is called at night.",
        wrong=(
            Wrong("caught", lambda f: float(f.caught),
                  "That is how many troubles are called. Of the calls, how many are troubles?"),
            Wrong("quiet-is-right", lambda f: 100.0 - f.false,
                  "That is the share of quiet nights without a call. Count calls, not nights."),
            Wrong("false-share", lambda f: 100 * _counted(f)[1] / sum(_counted(f)),
                  "That is the share of the false ones among the calls."),
            Wrong("of-all-nights", lambda f: _counted(f)[0] / 10,
                  "That is the share of all nights. It calls: which nights are left to count?"),
            Wrong("rates", lambda f: 100 * f.caught / (f.caught + f.false),
                  "The two rates were compared as if there were as many nights of both kinds."),
    )),
    asks_how_sure=True,
    hints=("Count nights: how many with trouble are called, how many without?",
           "Real calls ÷ all calls."),
    solution=lambda f: (
        f"Called with trouble: {n(_counted(f)[0])} nights; without: {n(_counted(f)[1])} nights\n"
        f"{n(_counted(f)[0])} ÷ {n(sum(_counted(f)))} × 100 % = {n(100 * _counted(f)[0] / sum(_counted(f)), 4)} %"
    ),
)

false_calls = Problem(
    "07-false-calls", 1, "How many false calls",
    "Estimate how often noise alone will call.",
    asks="A still bench stands close to its limit for {hours} h of each day, with a reading every {period_s} s. There"
         " noise fills the on-delay once in 12,000 readings. About how many false calls are that in a year?",
    figures=(Draw("hours", (6, 3, 2, 4)), Draw("period_s", (5, 1, 2))),
    answer=Number(
        lambda f: f.hours * 3600 / f.period_s * 365 / 12_000, "number", "", 0.0,
        "It is about who will still listen: a factor of three does not change that.",
        within_factor=3,
        wrong=(
            Wrong("one-day", lambda f: f.hours * 3600 / f.period_s / 12_000,
                  "That is one day. How many are there in a year?"),
            Wrong("readings", lambda f: f.hours * 3600 / f.period_s * 365,
                  "Those are the readings. How many of them does one false call take?"),
            Wrong("times", lambda f: f.hours * 3600 * f.period_s * 365 / 12_000 if f.period_s > 3 else None,
                  "A longer period makes fewer readings, not more."),
    )),
    hints=("Round: an hour has about 4000 s. Readings in a day first.",
           "Readings in all the days of a year, and one call for 12,000 of them."),
    solution=lambda f: (
        f"About 4000 s × {n(f.hours)} ÷ {n(f.period_s)} s is {n(4000 * f.hours / f.period_s, 3)} readings a day.\n"
        f"{n(4000 * f.hours / f.period_s, 3)} × 400 ÷ 12000"
        f" = {n(4000 * f.hours / f.period_s * 400 / 12_000, 2)}"
    ),
)

SLIPS = ("no-divisor", "two-sided", "added", "outside", "deadband")


def _setting(f):
    """A setting in five lines; each goes on from what the line above says, right or wrong."""
    slip = SLIPS[f.slip - 1]
    stays = round(f.limit_c / (1 if slip == "no-divisor" else 3**0.5), 3)
    whole = round(stays + f.noise_c if slip == "added" else math.hypot(stays, f.noise_c), 3)
    factor = 1.96 if slip == "two-sided" else 1.645
    guard_c = round(factor * whole, 2)
    set_c = round(27 + guard_c if slip == "outside" else 27 - guard_c, 2)
    of = whole if slip == "deadband" else f.noise_c
    stays_told = f"the limits, {n(f.limit_c)} °C" if slip == "no-divisor" else f"{n(f.limit_c)} °C ÷ √3"
    both = f"{n(stays)} °C + {n(f.noise_c)} °C" if slip == "added" else f"√({n(stays)}² + {n(f.noise_c)}²) °C"
    return (
        f"Step 1. Standard uncertainty of what stays: {stays_told} = {n(stays)} °C",
        f"Step 2. With the noise of a reading: {both} = {n(whole)} °C",
        f"Step 3. Guard band for 95 %: {n(factor)} × {n(whole)} °C = {n(guard_c)} °C",
        f"Step 4. Set to: 27 °C {'+' if slip == 'outside' else '−'} {n(guard_c)} °C = {n(set_c)} °C",
        f"Step 5. Deadband: 4 × {n(of)} °C = {n(round(4 * of, 3))} °C",
    )


wrong_setting = Problem(
    "07-wrong-setting", 1, "One step is wrong",
    "Find the wrong step in the setting of an alarm.",
    asks="A bench at a true 27 °C is to be called with a probability of 95 %. The sensor is right within ±{limit_c} °C,"
         " and a reading has noise of {noise_c} °C. Somebody worked out setting and deadband in five steps. One of them"
         " is wrong, and the others go on from it soundly. Which one?",
    figures=(Draw("slip", (2, 1, 3, 4, 5)), Draw("limit_c", (1.5, 0.5, 0.9)), Draw("noise_c", (0.3, 0.25, 0.2))),
    listing=_setting,
    answer=wrong_step(
        lambda f: STEP_OF[f.slip - 1],
        (
            ("Limits are a half-width. What makes a standard uncertainty of them?",
             "A half-width over √3 is the standard uncertainty of a rectangle. That is sound."),
            ("Independent contributions add as squares.",
             "Two independent contributions were added as squares. That is sound."),
            ("Only readings on one side of the setting stay quiet. Which factor is one-sided?",
             "1.645 leaves 5 % on one side. That is sound, whatever the uncertainty is."),
            ("Outside the limit a bench at 27 °C is hardly ever called. The guard band lies inside.",
             "The guard band was taken off a high limit. That is sound."),
            ("A deadband is against what changes from reading to reading. Which of the two is that?",
             "Four standard deviations of the noise, and of the noise alone. That is sound."),
        ),
    ),
    hints=("Check each line by itself: does it do what its words say?",
           "A strange number may come from the line above. Ask of each line only what it does with it."),
    solution=lambda f: f"Step {STEP_OF[f.slip - 1]} is wrong: {_SETTING_SAID[f.slip - 1]}",
)

STEP_OF = (1, 3, 2, 4, 5)  # of each of SLIPS
_SETTING_SAID = (
    "divide the limits by √3.", "take 1.645, the one-sided factor.", "add the two as squares.",
    "take the guard band off the limit.", "take four standard deviations of the noise alone.",
)

SOUNDERS = {  # invented: loudness at arm's length [dB], current [mA], supply from and to [V]
    "a": (85, 30, 3, 6), "b": (72, 9, 3, 7), "c": (78, 12, 4, 6), "d": (88, 14, 8, 15), "e": (76, 8, 2, 5.5),
}


def _sounder_price(f, key):
    return getattr(f, f"price_{key}")


def _sounder_lacks(f, key):
    """What a sounder lacks, in a sentence without its figures; "" where it meets all wishes."""
    loud, current_ma, low_v, high_v = SOUNDERS[key]
    if not low_v <= f.supply_v <= high_v:
        return "It is not made for this supply. Compare both ends."
    if current_ma > f.pin_ma:
        return "It takes more than the pin may give, and there is no transistor to help."
    return "" if loud >= f.loud else "It is not loud enough. A price does not make up for that."


def _sounders(f):
    return [key for key in SOUNDERS if not _sounder_lacks(f, key)]


cheapest_sounder = Problem(
    "07-cheapest-sounder", 1, "The cheapest sounder that will do",
    "Choose the cheapest part that a pin can drive.",
    asks="Wanted: a buzzer straight on a pin of the board, without a transistor. The pin may give {pin_ma} mA, the"
         " supply is {supply_v} V, and at arm's length the buzzer is to reach {loud} dB. The list is invented. Which is"
         " the cheapest that meets all three?",
    figures=(
        Draw("pin_ma supply_v loud", ((15, 5, 70), (10, 5, 70), (15, 4.5, 75), (12, 3.3, 60))),
        Draw("price_a price_b price_c price_d price_e",
             ((0.6, 1.4, 1.1, 0.9, 1.9), (0.8, 1.2, 1.7, 1.5, 1.3), (0.5, 1.6, 1.3, 0.7, 1.1))),
    ),
    sensible=lambda f: len(_sounders(f)) >= 2,
    listing=lambda f: listed(
        ("buzzer", "at arm's length", "current", "supply", "price"),
        tuple(
            (key.upper(), f"{loud} dB", f"{current} mA", f"{n(low)} to {n(high)} V", n(_sounder_price(f, key)))
            for key, (loud, current, low, high) in SOUNDERS.items()
        ),
    ),
    answer=cheapest(tuple((key, f"Buzzer {key.upper()}") for key in SOUNDERS), _sounder_price, _sounder_lacks),
    hints=("Strike out every buzzer that misses one of the three. Then look at the prices.",
           "The loudest is of no use where it hurts the pin."),
    solution=lambda f: (
        f"These meet all three: {', '.join(key.upper() for key in _sounders(f))}. The cheapest of them is"
        f" {min(_sounders(f), key=lambda key: _sounder_price(f, key)).upper()}, at"
        f" {n(min(_sounder_price(f, key) for key in _sounders(f)))}."
    ),
)


# Lines to complete: air at 26.75 °C, noise of 0.25 °C, a limit of 27 °C; then the calls of many nights

P_BEYOND = 0.159  # of the readings lie one standard deviation above their mean, or more; given in the texts
SIGMAS = NormalDist().inv_cdf(1 - P_BEYOND)  # how many standard deviations that share stands for

no_number = Line(
    "07-no-number",
    "Say what a first program makes of a missing reading.",
    "The lead comes off, and the program marks the reading as “not a number”: neither above nor below anything. Which"
    " of the riddle's three lines acts on it?",
    Choice(
        options=(
            Option("first", "the first", "Its condition is: above 27 °C. Is no number above 27 °C?"),
            Option("second", "the second", "Its condition is: below 18 °C. Is no number below 18 °C?"),
            Option("third", "the third", "It asks for two things, above and below. Is one of them true?"),
            Option("none", "none", "All three conditions are false, and the outputs stay as they were."),
        ),
        right="none",
    ),
    then="A loose lead looks like a calm day.",
)

back_low = Line(
    "07-back-low",
    "Put the deadband of a low alarm on the right side.",
    "The low limit is 18 °C and the deadband 0.5 °C. The low alarm has been raised. Above which reading, in °C, does it"
    " return?",
    Number(
        lambda f: Alarm(low_c=18.0, high_c=27.0, deadband_c=0.5).low_back_c,
        "temperature", "°C", 0.05, "The figures are exact to a tenth.", wrong=(
            Wrong("wrong-side", lambda f: 17.5, "That is colder still. On which side of a low limit is normal?"),
            Wrong("no-deadband", lambda f: 18.0, "This is the limit itself. What is the deadband for?"),
            Wrong("half", lambda f: 18.25, "The deadband counts whole, from the limit."),
            Wrong("other-limit", lambda f: 26.5, "The high alarm returns there. Which one has been raised?"),
        )),
    rail=("reading", 17, 20),
)

two_sigma = Line(
    "07-two-sigma",
    "Work out how often an alarm with a deadband is raised.",
    "The deadband is 0.5 °C. Of the readings, 0.159 lie above 27.0 °C and 0.159 below 26.5 °C. How many times in 1,000"
    " readings is the alarm raised? (A number alone.)",
    Number(
        lambda f: deadband_alarm(-SIGMAS, 2 * SIGMAS).raises_per_1000, "number", "", 0.6,
        "A half and a little leave room for rounding.",
        wrong=(
            Wrong("no-deadband", lambda f: 1000 * P_BEYOND * (1 - P_BEYOND),
                  "So it is without a deadband. Which readings let it return now?"),
            Wrong("readings-above", lambda f: 1000 * P_BEYOND,
                  "These are the readings above the limit. An alarm that stands is not raised again."),
            Wrong("product", lambda f: 1000 * P_BEYOND**2,
                  "That is one above and the next one below. How long is the wait for each?"),
            Wrong("time-in-alarm", lambda f: 500.0, "That is how many readings find it raised."),
        )),
    rail=("raises", 0, 200),
    then="Without a deadband it was 134. Four standard deviations, 1.0 °C, leave 1.3.",
)

why_up = Line(
    "07-why-up",
    "Say why a wide deadband keeps an alarm up.",
    "With a deadband of 1.0 °C the alarm stands for 99 % of the time, though the air keeps at 26.75 °C. Why?",
    Choice(
        options=(
            Option("rare", "readings below 26 °C are rare",
                   "Once called, it returns only there: three standard deviations below the air."),
            Option("noise", "the noise has grown larger", "The noise is as it was. What does the alarm wait for now?"),
            Option("limit", "the limit is now 26 °C", "It is still raised above 27 °C. Where does it return?"),
        ),
        right="rare",
    ),
    then="That is the price: once called, it wants proof that all is well.",
)

sawtooth = sketch(
    "07-sketch-state",
    "Draw the state of an alarm with a deadband.",
    "The reading climbs steadily from 26 °C at 0 min to 28 °C at 2 min, and falls back to 26 °C at 4 min. The limit is"
    " 27 °C, the deadband 0.5 °C. Write the state, 1 raised or 0 not, at 0.75, 1.5, 2.5, 3.25 and 3.75 min.",
    "", 0.1, "A state is raised or it is not.",
    Sketch((0.75, 1.5, 2.5, 3.25, 3.75), lambda at: ((at > 1) & (at <= 3.5)).astype(float),
           ("time", "min", 0, 4), ("state", -0.1, 1.1)),
    quantity="number",
    wrong=(
        Wrong("same-shape", lambda f, at: (2 - abs(at - 2)) / 2,
              "That has the shape of the reading. A state knows two values only."),
        Wrong("no-deadband", lambda f, at: ((at > 1) & (at < 3)).astype(float),
              "On the way down it does not return at the limit."),
        Wrong("both-ways", lambda f, at: ((at > 0.5) & (at <= 3.5)).astype(float),
              "On the way up the limit counts, not the edge of the deadband."),
        Wrong("never-returns", lambda f, at: (at > 1).astype(float),
              "Once raised, it stayed raised for good. What is the last reading, and where does it return?"),
    ),
    then="At 0.75 and at 3.25 min the reading is the same, 26.75 °C, and the state is not.",
)

back_after = Line(
    "07-back-after",
    "Read the time of a return off a slope.",
    "The air cools steadily: 27.6 °C at 14:02, 26.8 °C at 14:06. How many seconds pass from 27.0 °C, the limit, to"
    " 26.5 °C, where the alarm returns?",
    Number(
        lambda f: 0.5 / (0.8 / 240), "time", "s", 1.0, "A second is room for rounding the slope.", wrong=(
            Wrong("slope-upside-down", lambda f: 0.5 * 0.2 * 60,
                  "The slope was multiplied. Degrees divided by degrees a second give seconds."),
            Wrong("from-the-top", lambda f: 1.1 / (0.8 / 240), "That is the time from 14:02. Begin at the limit."),
            Wrong("to-the-limit", lambda f: 0.6 / (0.8 / 240), "That is the way from 27.6 °C down to the limit."),
            Wrong("a-degree-a-minute", lambda f: 30.0, "That would be 1 °C a minute. How steep is it here?"),
        )),
    rail=("time", 0, 400),
)

by_chance = Line(
    "07-by-chance",
    "Count the rows that noise alone puts beyond a limit.",
    "In still air 0.159 of the readings lie above the limit, each independent of the others. Take 1,000 rows of three"
    " readings. In how many rows do all three lie above? (A number alone.)",
    Number(
        lambda f: 1000 * P_BEYOND**3, "number", "", 0.05, "A twentieth is room for rounding.", wrong=(
            Wrong("power-less", lambda f: 1000 * P_BEYOND**2, "That is two in a row. The third has to lie above, too."),
            Wrong("divided", lambda f: 1000 * P_BEYOND / 3,
                  "The share was divided by three. For all of them, shares multiply."),
            Wrong("at-least-one", lambda f: 1000 * (1 - (1 - P_BEYOND) ** 3),
                  "In so many rows at least one lies above."),
            Wrong("singles", lambda f: 1000 * P_BEYOND,
                  "So many single readings lie above. Three in a row are asked for."),
        )),
    rail=("rows", 0, 60),
)

delay_cost = Line(
    "07-delay-cost",
    "Say what an on-delay costs.",
    "The board reads every 2 s and the on-delay is 5 readings. How many seconds pass from the first reading beyond the"
    " limit to the call?",
    Number(
        lambda f: Alarm(high_c=27.0, on_delay=5)
        .run([20.0] + [28.0] * 9, [2.0 * k for k in range(10)]).events[0].start_s - 2.0,
        "time", "s", 0.05, "The figures are exact.", wrong=(
            Wrong("one-too-many", lambda f: 10.0, "Count the gaps between the readings. The first is beyond already."),
            Wrong("samples", lambda f: 5.0, "The delay counts readings. How far apart are they?"),
            Wrong("gaps-as-seconds", lambda f: 4.0, "These are the gaps. How long is each?"),
        )),
    rail=("time", 0, 15),
)

code_4 = Line(
    "07-code-4",
    "Tell a reading that cannot be true.",
    "The board gives code 4, and works it out to −72 °C. What should it call?",
    Choice(
        options=(
            Option("low", "low", "It would send somebody to heat the bench. Can this sensor give code 4?"),
            Option("invalid", "invalid", "Code 4 lies below this sensor's lowest code: it does not come from air."),
            Option("nothing", "nothing", "Then nobody knows that nobody is watching."),
        ),
        right="invalid",
    ),
)

real_calls = Line(
    "07-real-calls",
    "Work out what a call is worth.",
    "Of 1,000 nights, 10 bring real trouble. The alarm calls in 9 of these, and falsely in 20 others. It calls. What is"
    " the probability, in %, that the trouble is real?",
    Number(
        lambda f: 100 * 9 / (9 + 20), "percent", "%", 0.5, "Whole per cents are enough at night.", wrong=(
            Wrong("caught", lambda f: 90.0, "So many troubles are called. Of the calls, how many are troubles?"),
            Wrong("false-share", lambda f: 100 * 20 / 29, "That is the share of false calls."),
            Wrong("of-all-nights", lambda f: 0.9, "That is the share of all nights. Which nights have a call?"),
            Wrong("against-false", lambda f: 45.0, "9 was divided by 20. Divide it by all calls."),
        )),
    rail=("real calls", 0, 100),
)

agree_limit = Line(
    "07-agree-limit",
    "Decide about a reading just beyond a limit.",
    "One reading a second. This one is 27.2 °C ± 0.5 °C, the limit 27.0 °C exactly. Is the air beyond it, and what"
    " does the alarm do?",
    Choice(
        options=(
            Option("wait", "cannot tell, ask for five in a row",
                   "The gap is smaller than ± 0.5 °C. Five in a row tell far more than one, in 4 s."),
            Option("call", "beyond, so call at once", "Of 1,000 such readings about 200 have the air below the limit."),
            Option("ignore", "cannot tell, so forget it",
                   "It is likelier beyond than not. What costs little and tells?"),
        ),
        right="wait",
    ),
)

agree_nights = Line(
    "07-agree-nights",
    "Decide whether a new setting is better.",
    "False calls in 1,000 nights: 20 with the old deadband, 12 with the new one. Do the two counts agree, and what"
    " would you do?",
    Choice(
        options=(
            Option("keep", "agree, keep counting",
                   "The difference is 8, and 2 × √(12 + 20) is 11.3: chance alone does that."),
            Option("better", "disagree, the new is better", "Compare 8 with twice the root of 12 + 20."),
            Option("wider", "disagree, make it wider", "Compare 8 with twice the root of 12 + 20."),
        ),
        right="keep",
    ),
)

half_u = Line(
    "07-half-u",
    "Put what stays and what changes together.",
    "What stays the same has a standard uncertainty of 0.4 °C, the noise of a reading is 0.2 °C. What are both"
    " together, in °C?",
    Number(
        lambda f: math.hypot(0.4, 0.2), "temperature span", "°C", 0.005, "Hundredths are enough.", wrong=(
            Wrong("added", lambda f: 0.6, "Independent contributions add as squares."),
            Wrong("no-root", lambda f: 0.4**2 + 0.2**2, "That is the sum of the squares. One thing is left to do."),
            Wrong("larger", lambda f: 0.4, "The larger one alone. The noise counts, too."),
        )),
    rail=("uncertainty", 0, 1),
)

half_set = Line(
    "07-half-set",
    "Set an alarm with a guard band.",
    "Take the standard uncertainty of step 3. Of 1,000 readings on benches at a true 27 °C, 950 are to lie beyond the"
    " setting. To how many °C do you set the alarm?",
    Number(
        lambda f: 27.0 - guard_band(math.hypot(0.4, 0.2), 0.95), "temperature", "°C", 0.05, "A display shows tenths.",
        wrong=(
            Wrong("two-sided", lambda f: 27 - 1.96 * 0.447, "1.960 is for both sides. Quiet is only one of them."),
            Wrong("outwards", lambda f: 27 + 1.645 * 0.447, "Out there a bench at the limit is hardly ever called."),
            Wrong("standard", lambda f: 27 - 0.447, "One standard uncertainty gives 84 %."),
            Wrong("none", lambda f: 27.0, "Set to the limit itself, every second bench at the limit stays quiet."),
            Wrong("guard-alone", lambda f: 1.645 * 0.447, "That is the guard band. Where does the alarm stand then?"),
        )),
    rail=("setting", 25, 29),
    then="95 % is not certain: of 1,000 such readings 50 stay quiet.",
)

LINES = (
    no_number, back_low, two_sigma, why_up, sawtooth, back_after, by_chance, delay_cost, code_4, real_calls,
    agree_limit, agree_nights, half_u, half_set,
)  # fmt: skip

PROBLEMS = (
    deadband_size, trace, five_lines, in_a_row, of_a_thousand, equality,
    eight_states, first_code, guard, wrong_setting, on_delay, remedy, alike, invalid, people, false_calls,
    deadband_raises, deadband_in_f, cheapest_sounder,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "07-raises",
        "The air keeps at 26.75 °C, one standard deviation of the noise below the limit of 27 °C. About 680 of 1,000"
        " readings lie within one standard deviation of the air; of the others half lie above 27 °C: 159, by the"
        " tables. Each is independent of the others. The buzzer is on at a reading above and off at any other. How many"
        " times in 1,000 readings does it start to sound?",
        "Now work it out: how many of the readings above come right after one that is not above?",
        "It starts at each reading above that follows one below: 1,000 × 0.159 × 0.841.",
        number=Amount(
            lambda: delayed_alarm(P_BEYOND, 1, 1).raises_per_1000, "times", 0, near=10,
            wrong=(
                Wrong("readings", lambda: 159, "All readings above were counted. Several in a row are one alarm."),
                Wrong("both-ways", lambda: 267, "Starts and stops were counted. It starts half as often."),
                Wrong("never", lambda: 0, "The air stays below, but its readings do not."),
        )),
    ),
    Prediction(
        "07-set-higher",
        "A cold morning, 16 °C over the trays. The lamp calls below 18 °C. Somebody in a hurry sets that limit to"
        " 22 °C. What becomes of the bench?",
        "Now set *bench at* to 16 °C and *swings by* to 0 °C, and move *low limit* to 22 °C. Look at the ink line, the"
        " truth.",
        "An alarm compares and calls. It heats nothing, so a limit that is set higher changes when the lamp lights, and"
        " nothing else.",
        options=(
            Idea("It stays as cold as it is", right=True),
            Idea("It gets warm more quickly",
                 refuted="That is a tap for heat. Even a thermostat gives no more of it when it is set higher, and this"
                         " board has no heater at all.",
                 source="Kempton 1986: the thermostat as a valve"),
            Idea("It warms up to 22 °C only",
                 refuted="Something would have to heat it. The lamp only calls a person.", source="ours"),
        ),
        explorer="thresholds", settings={"t_c": 16.0, "swing_c": 0.0, "low_c": 22.0},
    ),
)
