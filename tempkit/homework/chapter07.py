"""Practice for chapter 07: limits, equality, deadband, delays, codes, readings that cannot be true."""

from tempkit.alarm import Alarm
from tempkit.chain import scenario
from tempkit.homework.chapter07_odds import ODDS
from tempkit.homework.chapter07_states import STATES
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong, code
from tempkit.homework.problem import plain as n
from tempkit.scales import celsius_to_fahrenheit
from tempkit.tripping import trip_codes

equality = Problem(
    "07-equality", 1, "A reading equal to the limit",
    "Say what a rule of separate branches does at equality.",
    text="A first program has three lines: if the reading is above {high_c} °C, buzzer on. If it is below {low_c} °C,"
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
    text="The alarm has a low limit of {low_c} °C, a high limit of {high_c} °C and a deadband of {band_c} °C. The low"
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
    text="An alarm is set to a high limit of {high_c} °C with a deadband of {band_c} °C. It is to be shown in °F. Below"
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
    text="A sensor gives 500 mV at 0 °C and 10 mV/°C. A 10-bit converter with a reference of 5.12 V has steps of 5 mV,"
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
    text="The board takes a reading every {period_s} s. The on-delay is {count} samples, where 1 would be at once. The"
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
    text="The bench has a sensor for −40 °C to 125 °C on a 10-bit converter with a reference of 5 V: codes 20 to 358."
         " Its noise moves the code by a step or two. Which of these must be called invalid, neither high nor low?"
         " Choose all.",
    figures=(),
    answer=Choice(
        options=(
            Option("ground", "Code 0, again and again",
                   "Below code 20 this sensor cannot be: its lead lies on ground, or hangs open."),
            Option("hot", "Code 174, a reading of 35 °C on a bench that should be below 27 °C",
                   "That is a very good reason for an alarm. Could the sensor read it?"),
            Option("top", "Code 1023, again and again",
                   "No voltage of this sensor gives the top code: an open lead, or the reference is gone."),
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

PROBLEMS = (equality, deadband_low, deadband_in_f, first_code, on_delay, invalid, *ODDS, *STATES)
