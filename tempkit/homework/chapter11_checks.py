"""Practice for chapter 11: weighing two causes, choosing the check, and what comes first."""

from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.noise import alias_frequency


def _share(fits, common):
    return 100 * fits / (fits + common)


two_causes = Problem(
    "11-two-causes", 1, "Fit is not all",
    "Combine how well a log fits two causes with how common they are.",
    text="A log fits a wrong constant {fits} times as well as a sagging supply. In this class a sagging supply happens"
         " {common} times as often as a wrong constant. No other cause is left. Which share of belief, in per cent,"
         " does the wrong constant get?",
    figures=(Draw("fits", (6, 9, 4, 15)), Draw("common", (2, 3, 10, 5))),
    answer=Number(
        lambda f: 100 / (1 + f.common / f.fits),
        "percent", "%", 0.5,
        "Half a per cent is more than such counts are good for.",
        wrong=(
            Wrong("fit-alone", lambda f: _share(f.fits, 1),
                  "Only the fit was used. What of how often each cause happens?"),
            Wrong("common-alone", lambda f: _share(1, f.common),
                  "Only how common the causes are was used. The log speaks too."),
            Wrong("other", lambda f: _share(f.common, f.fits),
                  "This is the other cause's share."),
            Wrong("product", lambda f: _share(f.fits * f.common, 1),
                  "Both were counted for the same cause. Which cause does each speak for?"),
    )),
    hints=("For each cause: how well it fits, times how common it is.",
           "Only the ratio of the two products matters; the two shares make 100 %."),
    solution=lambda f: (
        f"Wrong constant: {n(f.fits)} × 1, sagging supply: 1 × {n(f.common)}\n"
        f"Share: {n(f.fits)} ÷ ({n(f.fits)} + {n(f.common)}) = {n(_share(f.fits, f.common), 4)} %"
    ),
)


def _wave_s(f):
    period_s = f.period_ms / 1000
    turns = f.mains_hz * period_s
    return period_s / abs(turns - round(turns))


slow_wave = Problem(
    "11-slow-wave", 2, "Hum that looks slow",
    "Find how slow mains hum looks in a log with an even period.",
    text="A pin is open and picks up hum of {mains_hz} Hz. The board prints a reading every {period_ms} ms, exactly."
         " In the log the hum is a slow wave. How many seconds does one wave last there?",
    figures=(Draw("mains_hz", (50, 60)), Draw("period_ms", (1028, 1007, 513, 258))),
    answer=Number(
        lambda f: 1 / alias_frequency(float(f.mains_hz), 1000 / f.period_ms),
        "time", "s", lambda f: 0.02 / alias_frequency(float(f.mains_hz), 1000 / f.period_ms),
        "Two hundredths of it: nobody reads a wave off a log more finely.",
        digits=2, wrong=(
            Wrong("mains", lambda f: 1 / f.mains_hz,
                  "This is one period of the mains. The board looks far less often."),
            Wrong("periods", lambda f: f.period_ms / 1000 / (f.mains_hz * f.period_ms / 1000 % 1)
                  if f.mains_hz * f.period_ms / 1000 % 1 > 0.5 else None,
                  "More than half a turn from line to line looks like less than half a turn backwards."),
            Wrong("lines", lambda f: _wave_s(f) * 1000 / f.period_ms,
                  "This is the wave's length in lines. How long is a line?"),
    )),
    hints=("How many turns of the mains pass from one line to the next? Only what is left of a whole turn shows.",
           "So many lines make one wave; a line lasts one period of the board."),
    solution=lambda f: (
        f"Turns from line to line: {n(f.mains_hz)} Hz × {n(f.period_ms / 1000)} s"
        f" = {n(f.mains_hz * f.period_ms / 1000)}\n"
        f"Off a whole turn: {n(abs(f.mains_hz * f.period_ms / 1000 - round(f.mains_hz * f.period_ms / 1000)), 4)}\n"
        f"Wave: {n(f.period_ms / 1000)} s ÷"
        f" {n(abs(f.mains_hz * f.period_ms / 1000 - round(f.mains_hz * f.period_ms / 1000)), 4)} = {n(_wave_s(f), 5)} s"
    ),
    sensible=lambda f: abs(f.mains_hz * f.period_ms / 1000 - round(f.mains_hz * f.period_ms / 1000)) > 0.02,
)

first_of_all = Problem(
    "11-first", 1, "First of all",
    "Know what comes before every thought about the cause.",
    text="The bench has just been wired anew. Its first lines read more than 250 °C, and it smells. What is the first"
         " thing to do?",
    figures=(),
    answer=Choice(
        options=(
            Option("touch", "Touch the sensor, to feel whether it is warm",
                   "It may burn the finger. What takes the heat away without a hand near it?"),
            Option("meter", "Measure the supply, to see whether it sags",
                   "A good thought for later. Meanwhile the sensor goes on heating."),
            Option("log", "Store ten more lines, so that the log can be ranked",
                   "The log will say the same tomorrow. The sensor may not be there tomorrow."),
            Option("power", "Remove the power, and wait until all is cool",
                   "Power off first. Then look how the sensor is turned."),
        ),
        right="power",
    ),
    hints=("What stops the heating at once?", "Reading and measuring can wait; heat cannot."),
    solution=lambda f: "Remove the power. Let it cool. Then hold the sensor beside the drawing.",
)

which_check = Problem(
    "11-check", 2, "The check that parts two causes",
    "Choose the measurement at which two causes differ most.",
    text="A log is right at rest, and jumps by some 6 °C while the buzzer sounds. Two causes are left: the buzzer sags"
         " the supply, or it lifts the sensor's ground through a long thin lead. Which measurement parts them best?",
    figures=(),
    answer=Choice(
        options=(
            Option("rest", "The converter's pin, the buzzer silent",
                   "In both cases the pin is right then. Where do the two differ?"),
            Option("change", "The sensor's ground leg against the board's, as the buzzer starts",
                   "It rises by tenths of a volt with the shared lead, and stays at 0 V with the sagging supply."),
            Option("lamp", "The lamp, while it is tested",
                   "Neither cause touches the lamp."),
            Option("warm", "The reading, while the sensor is held between two fingers for long",
                   "Both follow the hand alike."),
        ),
        right="change",
    ),
    hints=("For each measurement, say what it shows with the one cause and with the other.",
           "The best one shows the largest difference, counted in what the meter and the bench leave open."),
    solution=lambda f: "The sensor's ground leg as the buzzer starts: some tenths of a volt with the shared lead,"
                       " nothing with the sagging supply.",
)

log_alone = Problem(
    "11-log-alone", 1, "What no log can say",
    "Know which faults leave the log as it is.",
    text="The supply is the converter's reference, and the board prints code and reading. Which of these faults leave"
         " no trace in the log, however long it is?",
    figures=(),
    answer=Choice(
        options=(
            Option("lamp", "The lamp (LED) is the wrong way round",
                   "It draws no current, and no code knows of it."),
            Option("count", "The program divides by 2^N − 1",
                   "The code beside the reading tells: each reading is a little more than its code says."),
            Option("noisy", "The supply is noisy",
                   "Here the supply is the reference, and every reading is counted against it."),
            Option("baud", "The screen listens at another speed",
                   "Nothing else shows so plainly: there is no readable line."),
        ),
        right="lamp",
    ),
    hints=("For each fault, follow the chain: does anything on the way to the code change?",
           "And if nothing does: does the line on the screen?"),
    solution=lambda f: "The lamp. A meter across it tells at once: all of the supply in place of about 2 V.",
)

open_pin = Problem(
    "11-open-pin", 1, "Signs of a pin with nothing on it",
    "Tell an open pin from a wrong supply and from a wrong line speed.",
    text="The sensor's wire has come off the converter's pin; power is on and nothing is warm. Which of these signs fit"
         " that?",
    figures=(),
    answer=Choice(
        options=(
            Option("hand", "In the hand test the sensor gets warm between two fingers, and the readings do not follow",
                   "The sensor works, and what it says does not reach the pin."),
            Option("letters", "Lines come at an even pace, and no character of them can be read",
                   "The line is sent and heard at two speeds. The pin has no part in that."),
            Option("wave", "The readings go up and down in a wave, slow and even",
                   "Hum of the mains on a free pin, looked at once in each period, looks like a slow wave."),
            Option("share", "All readings are too warm by the same part of their voltage",
                   "That is a scale, so it is the reference. A free pin keeps to no scale."),
            Option("far", "Readings come that no air in a glasshouse can have",
                   "Nothing ties the pin to a temperature."),
        ),
        right=("hand", "wave", "far"),
        several=True,
    ),
    hints=("What holds the voltage of a pin when no sensor does?",
           "Which signs are about the line, or about the scale?"),
    solution=lambda f: "The hand test, the wave and the impossible readings. Unreadable lines are a wrong line speed;"
                       " the same part of every voltage is the reference.",
)

off_the_card = Problem(
    "11-card", 1, "A code that is not on the card",
    "Act on the limits of a bench card.",
    text="The bench card says for the room of today: a right bench gives a first code from {low} to {high}. The bench"
         " has just been wired; its first code is {code}. What now?",
    figures=(Draw("low high code", ((140, 160, 171), (139, 158, 133), (143, 164, 175), (288, 322, 341))),),
    answer=Choice(
        options=(
            Option("average", "Average more samples until it comes back between the limits",
                   "All noise of a right bench is in these limits already. What is beyond them is no noise."),
            Option("constant", "Change the constant in the program until the reading fits the room",
                   "That hides the fault, and the next temperature is wrong again."),
            Option("near", "Go on: it is only a few codes away",
                   "The limits hold everything that may be off in a right bench, added up. Few is not none."),
            Option("off", "Power off, and look for what is wrong",
                   "Beyond the last row something is wrong; look for it cold."),
        ),
        right="off",
    ),
    hints=("What has been added up in the card's last row?", "Can a bench without a fault give this code?"),
    solution=lambda f: f"Power off. No right bench gives {f.code}: the limits {f.low} to {f.high} hold all that may be"
                       " off in it. Then compare the wiring with the drawing, point by point.",
)

CHECKS = (two_causes, slow_wave, first_of_all, which_check, log_alone, open_pin, off_the_card)
