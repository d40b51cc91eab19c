"""Practice for chapter 11: what a fault does to volts, code and reading, and how to tell two causes apart."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from tempkit.chain import Design, scenario
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
    sketch,
    wrong_step,
)
from tempkit.exercises import plain as n
from tempkit.faults import HandTest, Wiring, fault, heard_lines, meter_limits_v, voltages
from tempkit.signal import alias_frequency, step

# What a fault does

SENSOR = "The sensor gives 600 mV at 0 °C and 8 mV more for each degree"


def _lift_c(f, ways=1.0):
    return ways * f.current_ma * f.length_m * f.ohm_per_m / 8


lead_lift = Problem(
    "11-lead-lift", 2, "A ground that is shared",
    "Find what a buzzer's current in the sensor's ground lead does to the reading.",
    asks="The sensor stands at the end of {length_m} m of thin lead, {ohm_per_m} Ω for each metre of one wire. Its"
         " ground wire carries the buzzer's {current_ma} mA back to the board as well. The sensor gives 8 mV for each"
         " degree. By how much does the reading jump when the buzzer starts?",
    figures=(
        Draw("length_m", (8, 12, 15, 20)), Draw("ohm_per_m", (0.21, 0.34, 0.54)), Draw("current_ma", (25, 30, 40)),
    ),
    answer=Number(
        lambda f: 125 * (
            voltages(scenario(), 21.0, Wiring(lead_ohm=f.length_m * f.ohm_per_m, shared_ground=True,
                                              buzzer_a=f.current_ma / 1000), buzzer=True).pin_v
            - voltages(scenario(), 21.0, Wiring(lead_ohm=f.length_m * f.ohm_per_m, shared_ground=True)).pin_v
        ),
        "temperature span", "°C", 0.1,
        "A tenth of a degree is what the bench prints.",
        wrong=(
            Wrong("both-ways", lambda f: _lift_c(f, 2),
                  "The buzzer's current flows in one wire of this lead only. Which one?"),
            Wrong("one-metre", lambda f: f.current_ma * f.ohm_per_m / 8,
                  "This is the drop along one metre. How long is the wire?"),
            Wrong("millivolts", lambda f: _lift_c(f) * 8,
                  "This is the drop in millivolts. How many degrees are they to this program?"),
            Wrong("down", lambda f: -_lift_c(f),
                  "The size is right. Does the sensor's ground go up or down against the board's?"),
    )),
    hints=("Resistance of one wire first, then the voltage along it by Ohm's law.",
           "The sensor stands on that voltage, and the program takes it for degrees."),
    solution=lambda f: (
        f"Wire: {n(f.length_m)} m × {n(f.ohm_per_m)} Ω/m = {n(f.length_m * f.ohm_per_m, 4)} Ω\n"
        f"Drop: {n(f.current_ma)} mA × {n(f.length_m * f.ohm_per_m, 4)} Ω = {n(8 * _lift_c(f), 4)} mV\n"
        f"Jump, upwards: {n(8 * _lift_c(f), 4)} mV ÷ 8 mV/°C = {n(_lift_c(f), 4)} °C"
    ),
)


def _constant_v(f, at_0c_mv=600):
    return (at_0c_mv + 8 * f.reads_c) / 1000 * 1024 / (f.code + 0.5)


found_constant = Problem(
    "11-constant", 2, "The constant behind a line",
    "Find from one line of the log which reference the program believes in.",
    asks="A line of the log says: code {code}, reading {reads_c} °C. " + SENSOR + ". The converter has 10 bits, and the"
         " program takes the middle of each step. Which reference, in volts, does it hold?",
    figures=(Draw("code reads_c", ((165, 15.9), (157, -11.6), (150, 26.0), (170, 23.9), (152, -19.2), (161, 23.6))),),
    answer=Number(
        lambda f: scenario().volts(float(f.reads_c)) * 1024 / (f.code + 0.5),
        "voltage", "V", 0.02,
        "The reading is printed to a tenth of a degree, which is 0.02 V of the reference at most.",
        wrong=(
            Wrong("offset", lambda f: _constant_v(f, 0),
                  "The sensor's volts at 0 °C are missing. What voltage does that reading stand for?"),
            Wrong("five", lambda f: 5.0 if abs(_constant_v(f) - 5.0) > 0.1 else None,
                  "5 V is what one expects. Does this line agree with it?"),
            Wrong("upside-down", lambda f: (600 + 8 * f.reads_c) / 1000 * (f.code + 0.5) / 1024,
                  "The ratio stands upside down: the voltage is a part of the reference, not more than it."),
    )),
    hints=("Which voltage does the program believe in when it prints this reading?",
           "That voltage is the code, plus a half, of the 1024 steps of the reference."),
    solution=lambda f: (
        f"Voltage: 600 mV + 8 mV/°C × ({n(f.reads_c)} °C) = {n(600 + 8 * f.reads_c)} mV\n"
        f"Reference: {n((600 + 8 * f.reads_c) / 1000, 5)} V × 1024 ÷ {n(f.code + 0.5)} = {n(_constant_v(f), 4)} V"
    ),
)

dead_sensor = Problem(
    "11-no-supply", 3, "A sensor without supply",
    "Know the reading that a code of 0 stands for.",
    asks="The sensor's supply lead has come off, so its output is at 0 V and the code is 0. A linear sensor of this"
         " kind gives {at_0c_mv} mV at 0 °C and {slope_mv} mV more for each degree. One step of the converter is"
         " {step_mv} mV, and the program takes the middle of each step. What does the bench read?",
    figures=(Draw("at_0c_mv slope_mv", ((350, 18), (600, 8))), Draw("step_mv", (4.88, 3.22, 1.17, 0.81))),
    answer=Number(
        lambda f: (f.step_mv / 2 - f.at_0c_mv) / f.slope_mv,
        "temperature", "°C", 0.05,
        "A tenth of a degree is printed; the middle of the step is worth less than that with fine steps.",
        wrong=(
            Wrong("zero", lambda f: 0.0,
                  "0 V is not 0 °C for this sensor: what does it give there?"),
            Wrong("plus", lambda f: (f.step_mv / 2 + f.at_0c_mv) / f.slope_mv,
                  "The sign is turned: the volts at 0 °C are taken off."),
            Wrong("eight", lambda f: (f.step_mv / 2 - f.at_0c_mv) / 8 if f.slope_mv != 8 else None,
                  "8 mV for each degree is another sensor's slope."),
    )),
    hints=("Code 0 is taken for half a step.", "Then walk the sensor's line backwards."),
    solution=lambda f: (
        f"Taken for: {n(f.step_mv)} mV ÷ 2 = {n(f.step_mv / 2)} mV\n"
        f"Reading: ({n(f.step_mv / 2)} mV − {n(f.at_0c_mv)} mV) ÷ {n(f.slope_mv)} mV/°C"
        f" = {n((f.step_mv / 2 - f.at_0c_mv) / f.slope_mv, 5)} °C"
    ),
)


def _high_v(f):
    return scenario().volts(f.room_c + f.limits_c + 1.0)


def _high_mv(f, sensor=1.0, room=1.0, meter=1.0):
    mv = 600 + 8 * (f.room_c + sensor * f.limits_c + room * 1)
    return mv + meter * (0.005 * mv + 2)


meter_table = Problem(
    "11-meter", 2, "The last voltage that is still right",
    "Work out the highest voltage that a healthy bench may show at the pin.",
    asks=SENSOR + ", within ±{limits_c} °C. The room thermometer says {room_c} °C, within ±1 °C. The meter may be off"
         " by 0.5 % of what it shows and 2 mV. Add all limits: above which voltage at the pin is something wrong?",
    figures=(Draw("limits_c", (2, 1.5, 1)), Draw("room_c", (19, 24, 17, 22))),
    answer=Number(
        lambda f: 1000 * (_high_v(f) + meter_limits_v(_high_v(f))),
        "voltage", "mV", 1.0,
        "The meter shows whole millivolts.",
        wrong=(
            Wrong("no-meter", lambda f: _high_mv(f, meter=0),
                  "The meter's own limits are missing."),
            Wrong("no-room", lambda f: _high_mv(f, room=0),
                  "The room thermometer may be off as well."),
            Wrong("no-sensor", lambda f: _high_mv(f, sensor=0),
                  "The sensor's own limits are missing."),
            Wrong("low", lambda f: 2 * (600 + 8 * f.room_c) - _high_mv(f),
                  "This lies on the other side. The highest voltage is asked."),
    )),
    hints=("Where may the sensor believe to be, at most?", "Its voltage there, and the meter's limits on top."),
    solution=lambda f: (
        f"Highest: {n(f.room_c)} °C + 1 °C + {n(f.limits_c)} °C = {n(f.room_c + 1 + f.limits_c)} °C\n"
        f"There: 600 mV + 8 mV/°C × {n(f.room_c + 1 + f.limits_c)} °C = {n(_high_mv(f, meter=0))} mV\n"
        f"Meter: 0.005 × {n(_high_mv(f, meter=0))} mV + 2 mV = {n(0.005 * _high_mv(f, meter=0) + 2, 4)} mV\n"
        f"Together: {n(_high_mv(f, meter=0))} mV + {n(0.005 * _high_mv(f, meter=0) + 2, 4)} mV = {n(_high_mv(f), 5)} mV"
    ),
)

# Weighing two causes, choosing the check, what comes first


def _share(fits, common):
    return 100 * fits / (fits + common)


two_causes = Problem(
    "11-two-causes", 1, "Fit is not all",
    "Combine how well a log fits two causes with how common they are.",
    asks="A log fits a wrong constant {fits} times as well as a sagging supply. In this class a sagging supply happens"
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
    asks="A pin is open and picks up hum of {mains_hz} Hz. The board prints a reading every {period_ms} ms, exactly."
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
    "11-first", 2, "First of all",
    "Know what comes before every thought about the cause.",
    asks="The bench has just been wired anew. Its first lines read more than 300 °C, and it smells. What is the first"
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
    "11-check", 3, "The check that parts two causes",
    "Choose the measurement at which two causes differ most.",
    asks="A log is right at rest, and jumps by some 9 °C while the buzzer sounds. Two causes are left: the buzzer sags"
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
    asks="The supply is the converter's reference, and the board prints code and reading. Which of these faults leave"
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
    asks="The sensor's wire has come off the converter's pin; power is on and nothing is warm. Which of these signs fit"
         " that?",
    figures=(),
    answer=Choice(
        options=(
            Option("hand", "In the hand test the sensor gets warm between two fingers, and the readings do not follow",
                   "The sensor works, and what it says does not reach the pin."),
            Option("letters", "Lines come at an even pace, and no character of them can be read",
                   "The line is sent and heard at two speeds. The pin has no part in that."),
            Option("wave", "The readings go up and down in a wave, slow and even",
                   "Hum of the mains on a free pin, sampled at even times, can look like a slow wave."),
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
    "11-card", 2, "A code that is not on the card",
    "Act on the limits of a bench card.",
    asks="The bench card says for the room of today: a right bench gives a first code from {low} to {high}. The bench"
         " has just been wired; its first code is {code}. What now?",
    figures=(Draw("low high code", ((146, 178, 184), (137, 168, 131), (132, 163, 169), (149, 182, 190))),),
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


# Five lines of a log

CAUSES = ("no supply", "no signal", "integer", "baud", "healthy")
OF_THE_TEST = (40, 56, 90, 104, 116)  # two lines at rest, three while the sensor is held


@lru_cache(maxsize=256)
def _heard(f):
    case = fault(CAUSES[f.cause - 1]).case(Design("bench", scenario()), np.random.default_rng(f.bench))
    heard = heard_lines(case, HandTest(room_c=float(f.room_c)))
    return tuple(_as_seen(heard[place]) for place in OF_THE_TEST)


def _as_seen(line):
    """A line as a terminal shows it: what is no sign of ASCII in its hexadecimal form."""
    return "".join(chr(byte) if 32 <= byte < 127 else f"\\x{byte:02x}" for byte in line.rstrip(b"\r\n"))


five_lines = Problem(
    "11-five-lines", 1, "Five lines of a log",
    "Name the cause from five lines of a log.",
    asks="The room has {room_c} °C. The sensor rests; from 60 s on it is held between two fingers. Here are five lines"
         " of the log. What is the likely cause?",
    figures=(Draw("cause", (3, 1, 2, 4, 5)), Draw("bench", (1, 2, 3, 4)), Draw("room_c", (21, 19, 23))),
    listing=_heard,
    answer=Choice(
        options=(
            Option("no supply", "The supply lead of the sensor is open",
                   "Without supply the output lies at 0 V, and the code at its lowest, held or not."),
            Option("no signal", "The signal lead of the sensor is open",
                   "An open pin takes what it picks up: codes that wander and do not care about fingers."),
            Option("integer", "The program divides integers too early",
                   "The code follows the fingers, and the reading does not do what the code says."),
            Option("baud", "The listener runs at another speed than the board",
                   "Signs that nobody printed come from a listener that cuts the bits in other places."),
            Option("healthy", "Nothing: room and fingers look like that",
                   "Code and reading are those of the room, and rise together when the sensor is held."),
        ),
        right=lambda f: CAUSES[f.cause - 1],
    ),
    asks_how_sure=True,
    hints=("Do the lines look like lines? Then go on to the codes, and to the readings last.",
           "Which of the two follows the fingers: the code, the reading, both, none?"),
    solution=lambda f: _FIVE_SAID[f.cause - 1],
)

_FIVE_SAID = (
    "The code is at its lowest whatever happens: the sensor has no supply. The meter at its supply leg decides.",
    "The code wanders about and does not follow the fingers: the pin is open. Pull gently at the signal lead.",
    "The code rises in the fingers, the reading does not go with it as it should: the program. Read its line.",
    "No line has the form that the board prints: the two speeds differ. Set the listener to the board's.",
    "Code and reading agree, start at the room and rise in the fingers: nothing is wrong in these lines.",
)


# A trace with a jump, a walk with one wrong step, two faults at two points, and how fast it burns

ROOM_S, EVERY_S = 20, 4


def _trace_c(f):
    """Readings [degC] every 4 s: held from 20 s on; from the first one above 27 °C the buzzer sags the supply."""
    sensor, found, sounding = scenario().sensor, [], False
    for t_s in range(0, 101, EVERY_S):
        t_c = f.room_c if t_s <= ROOM_S else step(t_s - ROOM_S, 40.0, float(f.room_c), 33.0)
        read_c = sensor.celsius(sensor.volts(float(t_c)) * (5 / (5 - f.fall_v) if sounding else 1))
        sounding = sounding or read_c > 27
        found.append(float(read_c))
    return found


def _jump(f):
    """The reading before the jump, and the first one after it."""
    found = _trace_c(f)
    place = next(k for k, read_c in enumerate(found) if read_c > 27)
    return found[place], found[place + 1]


def _seen_mv(read_c):
    return 600 + 8 * read_c


def _fall_v(f):
    """What the two readings say of the fall, the sensor taken as still between them."""
    before, after = _jump(f)
    return 5 * (1 - _seen_mv(before) / _seen_mv(after))


read_the_jump = Problem(
    "11-read-the-jump", 1, "How far does the supply fall?",
    "Read from a trace how far a supply sags.",
    asks=SENSOR + ". The supply is the reference, and the program takes it for 5 V, which it is while all is quiet. The"
         " sensor is held between two fingers; the buzzer starts after the first reading above 27 °C, and the supply"
         " falls. By how many volts? Take the last reading before the jump and the first one after it.",
    figures=(Draw("fall_v", (0.42, 0.3, 0.36, 0.5)), Draw("room_c", (21, 19, 23))),
    picture=lambda f: Graph(
        "A hand test with a jump", Scale("time", "s", (0, 100), 4), Scale("reading", "°C", (15, 50), 0.5),
        (Curve("reading", tuple((EVERY_S * k, c) for k, c in enumerate(_trace_c(f))), "dots"),), (("high limit", 27),),
    ),
    answer=Number(
        _fall_v, "voltage", "V", 0.06, "The two readings can be read to half a degree, which is some 0.05 V.",
        wrong=(
            Wrong("supply", lambda f: 5 - _fall_v(f),
                  "This is the supply that is left. How far has it fallen?"),
            Wrong("on-degrees", lambda f: 5 * (1 - _jump(f)[0] / _jump(f)[1]),
                  "The degrees were compared. What is stretched is the voltage, and 600 mV of it stand at 0 °C."),
            Wrong("millivolts", lambda f: 8 * (_jump(f)[1] - _jump(f)[0]),
                  "This is the jump in millivolts at the pin, as the program believes it. The pin has not moved."),
        )),
    hints=("Turn both readings into the voltage that the program believes in.",
           "The pin stays as it was. So the believed voltages are as 5 V to the new supply."),
    solution=lambda f: (
        f"Before: 600 mV + 8 mV/°C × {n(_jump(f)[0], 3)} °C = {n(_seen_mv(_jump(f)[0]), 4)} mV\n"
        f"After: 600 mV + 8 mV/°C × {n(_jump(f)[1], 3)} °C = {n(_seen_mv(_jump(f)[1]), 4)} mV\n"
        f"Supply: 5 V × {n(_seen_mv(_jump(f)[0]), 4)} ÷ {n(_seen_mv(_jump(f)[1]), 4)} ="
        f" {n(5 - _fall_v(f), 4)} V\n"
        f"Fall: 5 V − {n(5 - _fall_v(f), 4)} V = {n(_fall_v(f), 3)} V"
    ),
)

SLIPS = ("offset", "count", "upside-down", "other-way", "sign")


def _walk(f):
    """From a room and a code to the reading in five steps; each goes on from the one above, right or wrong."""
    slip = SLIPS[f.slip - 1]
    mv = 8 * f.room_c if slip == "offset" else 600 + 8 * f.room_c
    parts = 1000 if slip == "count" else 1024
    part = round((f.code + 0.5) / parts, 4)
    reference_mv = round(mv * part) if slip == "upside-down" else round(mv / part)
    seen_mv = round(mv * reference_mv / 5000 if slip == "other-way" else mv * 5000 / reference_mv)
    reads_c = round((seen_mv + 600 if slip == "sign" else seen_mv - 600) / 8, 1)
    given = f"8 mV/°C × {n(f.room_c)} °C" if slip == "offset" else f"600 mV + 8 mV/°C × {n(f.room_c)} °C"
    way = "×" if slip == "upside-down" else "÷"
    seen = f"{n(reference_mv)} ÷ 5000" if slip == "other-way" else f"5000 ÷ {n(reference_mv)}"
    return (
        f"Step 1. The sensor gives {given} = {n(mv)} mV.",
        f"Step 2. The code is ({n(f.code)} + 0.5) ÷ {parts} = {n(part)} of the reference.",
        f"Step 3. The reference is {n(mv)} mV {way} {n(part)} = {n(reference_mv)} mV.",
        f"Step 4. The program believes in {n(mv)} mV × {seen} = {n(seen_mv)} mV.",
        f"Step 5. It prints ({n(seen_mv)} mV {'+' if slip == 'sign' else '−'} 600 mV) ÷ 8 mV/°C = {n(reads_c)} °C.",
    )


wrong_walk = Problem(
    "11-wrong-walk", 1, "A walk with one wrong step",
    "Find the wrong step in a walk through a faulty chain.",
    asks=SENSOR + ". The converter has 10 bits, and its reference is the supply, which the program takes for 5 V. In a"
         " room of {room_c} °C it gives code {code}. Somebody works out the supply and the reading. One step is wrong;"
         " the others follow from what stands above them. Which one?",
    figures=(Draw("slip", (3, 5, 1, 4, 2)), Draw("room_c code", ((22, 167), (19, 175), (24, 149), (20, 186)))),
    listing=_walk,
    answer=wrong_step(lambda f: f.slip, (
        ("What does this sensor give at 0 °C?", "The sensor's line is right. Does the next step use all of it?"),
        ("A converter of 10 bits has another count of steps.", "Middle of the step, of all the steps: that is right."),
        ("The reference is larger than its part. Which operation makes it so?",
         "The voltage, divided by the part that it is: so far that follows."),
        ("A low reference makes the reading high. Does this step do so?",
         "The believed voltage is the true one times believed over true reference: that follows."),
        ("Undo the sensor's line: what is done with the output at 0 °C?",
         "Take off what stands at 0 °C, divide by the slope: that follows."),
    )),
    hints=("Say for each step what comes in and what goes out, with its unit.",
           "Do the figures make sense? The pin is some 0.8 V, the reference near 5 V."),
    solution=lambda f: f"Step {f.slip}. " + (
        "The 600 mV that stand at 0 °C are missing.", "10 bits are 1024 steps.", "Divide by the part: the whole is"
        " larger than its part.", "The ratio is upside down: believed over true.",
        "The 600 mV are taken off, not added.",
    )[f.slip - 1],
)


def _both_c(f, supply=True, offset=True):
    """Reading minus true temperature at 0 and 50 degC with a wrong supply, a wrong constant, or both."""
    sensor = scenario().sensor
    believed = replace(sensor, at_0c_v=0.6 - (f.less_mv / 1000 if offset else 0.0), range_c=(-1e3, 1e3))
    ratio = 5 / f.true_v if supply else 1.0
    return tuple(believed.celsius(sensor.volts(t_c) * ratio) - t_c for t_c in (0.0, 50.0))


def _points(supply, offset, both=None):
    return (supply, offset, both or tuple(a + b for a, b in zip(supply, offset, strict=True)))


def _stretch_c(f, *mvs):
    return tuple((5 / f.true_v - 1) * mv / 8 for mv in mvs)


def _less_c(f):
    return f.less_mv / 8


two_points = Problem(
    "11-two-points", 1, "Two faults at two points",
    "Tell a wrong reference from a wrong offset by errors at two temperatures.",
    asks=SENSOR + ". Bench 1 has a supply, which is its reference, of {true_v} V where the program believes 5 V. On"
         " bench 2 the program takes off {less_mv} mV too little. Bench 3 has both. Complete the table of errors,"
         " reading less true temperature. Leave the steps out.",
    figures=(Draw("true_v", (4.8, 4.7, 4.9, 4.65)), Draw("less_mv", (40, 24, 56, 32))),
    answer=Table(
        rows=lambda f: ("Bench 1: the supply", "Bench 2: the offset", "Bench 3: both"),
        columns=(
            Column("at 0 °C", "temperature span", "°C", 0.06), Column("at 50 °C", "temperature span", "°C", 0.06),
        ),
        value=lambda f: (_both_c(f, offset=False), _both_c(f, supply=False), _both_c(f)),
        shown=((0, 0), (1, 1)),
        reason="A tenth of a degree is what the bench prints; a little more than half of it is room for rounding.",
        wrong=(
            Wrong("same-everywhere",
                  lambda f: _points(_stretch_c(f, 600, 600), (_less_c(f),) * 2),
                  "A wrong reference stretches the whole voltage. Is there as much of it at 50 °C as at 0 °C?"),
            Wrong("offset-grows",
                  lambda f: _points(_stretch_c(f, 600, 1000), (0.6 * _less_c(f), _less_c(f))),
                  "A wrong offset shifts every reading alike."),
            Wrong("supply-alone",
                  lambda f: _points(_stretch_c(f, 600, 1000), (_less_c(f),) * 2, _stretch_c(f, 600, 1000)),
                  "On bench 3 the offset was left out. Both errors are there."),
            Wrong("other-way",
                  lambda f: _points(_stretch_c(f, 600, 1000), (_less_c(f),) * 2,
                                    tuple(c - _less_c(f) for c in _stretch_c(f, 600, 1000))),
                  "On bench 3 one error was taken off the other. Both go the same way."),
        ),
    ),
    hints=("The whole voltage is stretched by 5 V over the true supply: 600 mV at 0 °C, 1000 mV at 50 °C.",
           "The offset is the same number of millivolts everywhere. Turn millivolts into degrees with the slope."),
    solution=lambda f: (
        f"Bench 1 at 50 °C: 1000 mV × (5 ÷ {n(f.true_v)} − 1) ÷ 8 mV/°C = {n(_stretch_c(f, 1000)[0], 4)} °C\n"
        f"Bench 2 at 0 °C, as at 50 °C: {n(f.less_mv)} mV ÷ 8 mV/°C = {n(_less_c(f))} °C\n"
        f"Bench 3: {n(_stretch_c(f, 600)[0], 4)} °C + {n(_less_c(f))} °C ="
        f" {n(_stretch_c(f, 600)[0] + _less_c(f), 4)} °C at 0 °C,\n"
        f"and {n(_stretch_c(f, 1000)[0], 4)} °C + {n(_less_c(f))} °C ="
        f" {n(_stretch_c(f, 1000)[0] + _less_c(f), 4)} °C at 50 °C"
    ),
)

how_fast = Problem(
    "11-how-fast-hot", 1, "Why there is no time to feel",
    "Estimate how fast a sensor turned round gets hot.",
    asks="A sensor turned round lets {current_ma} mA through at {volts} V. Its small case has a mass of {mass_mg} mg;"
         " plastic takes about 1 J to warm 1 g by 1 °C (all invented, of a common size). About how fast does it warm at"
         " first?",
    figures=(Draw("current_ma", (400, 350, 500)), Draw("volts", (3, 3.5, 4)), Draw("mass_mg", (200, 150, 250))),
    answer=Number(
        lambda f: f.current_ma * f.volts / f.mass_mg, "rate of temperature", "°C/s", 0.0,
        "It matters whether it takes seconds or minutes; a factor of three does not.",
        within_factor=3, wrong=(
            Wrong("milliwatts", lambda f: 1000 * f.current_ma * f.volts / f.mass_mg,
                  "Milliwatts were taken for watts, or milligrams for grams: a factor of a thousand."),
            Wrong("upside-down", lambda f: f.mass_mg / (f.current_ma * f.volts),
                  "Upside down: these are the seconds for one degree. Asked are the degrees in one second."),
            Wrong("a-minute", lambda f: 60 * f.current_ma * f.volts / f.mass_mg,
                  "That is in a minute. How far does it come in a second?"),
        )),
    hints=("Volts times amperes are watts, and a watt is a joule each second.",
           "So many joules each second, shared by so many grams."),
    solution=lambda f: (
        f"{n(f.volts)} V × {n(f.current_ma / 1000)} A = {n(f.volts * f.current_ma / 1000)} J each second\n"
        f"{n(f.volts * f.current_ma / 1000)} J/s ÷ {n(f.mass_mg / 1000)} J/°C ="
        f" {n(f.current_ma * f.volts / f.mass_mg, 2)} °C/s\n"
        "In ten seconds it burns a finger. Remove the power first."
    ),
)

# Lines to complete: the bench whose buzzer sags its supply from 5 V to 4.60 V

SAGGED = scenario(true_v=4.6)
SHOWN_C, LOWER = 31.5, scenario(true_v=4.5)
REPLACED = "The degrees were compared. What is stretched is the voltage."
TURNED = "The ratio is upside down. A lower reference makes a higher reading."


def _held_c(at_c, chain=SAGGED):
    """What the bench reads with such a supply [degC], steps left out."""
    return chain.sensor.celsius(chain.sensor.volts(at_c) * chain.reference.nominal_v / chain.reference.actual_v)


which_supply = Line(
    "11-which-supply",
    "Find the supply that explains a wrong reading.",
    "The display says 31.5 °C and the air is at 23 °C. The supply is the reference, and the program believes 5 V. With"
    " which supply, in V, would that be so? Leave the steps out.",
    Number(
        lambda f: 5.0 * SAGGED.sensor.volts(23.0) / SAGGED.sensor.volts(SHOWN_C),
        "voltage", "V", 0.01, "The display shows tenths of a degree; each is worth 4 mV here.", wrong=(
            Wrong("degrees", lambda f: 5 * 23 / 31.5, REPLACED),
            Wrong("other-way", lambda f: 5 * 852 / 784, TURNED),
            Wrong("as-millivolts", lambda f: 5 - 8.5 * 0.008,
                  "The error was taken as a voltage at the pin. The pin has not moved."),
        )),
    rail=("supply", 3, 6),
    then="So much for the story. Now somebody has to measure it.",
)

silent_at = Line(
    "11-silent-at",
    "Find where a bench that holds itself lets go.",
    "The buzzer sounds, and the supply is what you just found. It falls silent when the display is below 26.5 °C. At"
    " which true temperature of the air, in °C, is that?",
    Number(
        lambda f: SAGGED.sensor.celsius(SAGGED.sensor.volts(26.5) * SAGGED.reference.actual_v / 5.0),
        "temperature", "°C", 0.2, "As good as a supply that was rounded to hundredths.", wrong=(
            Wrong("display", lambda f: 26.5, "That is the display. Walk back from it to the air."),
            Wrong("stretched-degrees", lambda f: 26.5 * 4.6 / 5, REPLACED),
            Wrong("other-way", lambda f: (812 * 5 / 4.6 - 600) / 8,
                  "The ratio is upside down. The true voltage is smaller than the believed one."),
        )),
    rail=("air", 10, 40),
    then="Once it sounds, the air has to cool by more than eight degrees.",
)


def _air_c(at):
    return np.where(at <= 4, 24.0 + at, 32.0 - at)


def _latched_c(at, held=_held_c):
    """The display over minutes: the air until it is above 27 °C, and from then on as with the sagged supply."""
    return np.where(np.asarray(at) <= 3, _air_c(at), held(_air_c(at)))


sketch_latch = sketch(
    "11-sketch-latch",
    "Draw the display of a bench that holds itself.",
    "The air starts at 24 °C, warms by 1 °C a minute for 4 min, then cools as fast. The supply is 5 V until the buzzer"
    " starts above 27 °C; from then on it is what you found. What does the display show after 0, 2, 4, 6 and 8 min?"
    " Leave steps and lag out.",
    "°C", 1.0, "As good as the eye.",
    Sketch((0, 2, 4, 6, 8), _latched_c, ("after", "min", 0, 8), ("display", 15, 40)),
    wrong=(
        Wrong("as-the-air", lambda f, at: _air_c(at), "That is the air. What does the supply do after 3 minutes?"),
        Wrong("lets-go", lambda f, at: np.where(_air_c(at) > 27, _held_c(_air_c(at)), _air_c(at)),
              "It would return below 26.5 °C on the display. Does the display come down so far?"),
        Wrong("falls", lambda f, at: _latched_c(at, lambda c: (0.92 * (600 + 8 * c) - 600) / 8),
              "The supply falls. Does the reading fall with it?"),
    ),
)

error_slope = Line(
    "11-error-slope",
    "Read the slope of an error.",
    "With a supply of 4.50 V the reading is 8.33 °C too high in slush, at 0 °C, and 11.11 °C too high at 25 °C; in"
    " between it runs straight. By how many degrees does the error grow for each degree of air?",
    Number(
        lambda f: (_held_c(25.0, LOWER) - 25 - _held_c(0.0, LOWER)) / 25,
        "number", "", 0, "Two digits.", digits=2, wrong=(
            Wrong("in-per-cent", lambda f: 100 / 9, "That is in per cent. Asked are degrees for one degree."),
            Wrong("height", lambda f: 11.11 / 25, "That is the height at 25 °C. Take the rise from 0 °C on."),
            Wrong("start", lambda f: 8.33 / 25, "That is the height at 0 °C. Take the rise from there on."),
            Wrong("rise", lambda f: 2.78, "This is the whole rise. Over how many degrees of air?"),
        )),
    rail=("slope", 0, 0.5),
    then="It is 5 / 4.5 less 1. Go on along it: there is no error where this sensor gives 0 V.",
)

which_shape = Line(
    "11-which-shape",
    "Tell two faults apart by their errors at two temperatures.",
    "Another bench reads 2.5 °C too high in slush, and 2.5 °C too high at 25 °C. Which fault fits both?",
    Choice(
        options=(
            Option("supply", "a supply that is too low", "Then the error would grow with the voltage."),
            Option("offset", "a wrong offset in the program", "Shifted by the same everywhere: 20 mV of the offset."),
            Option("slope", "a wrong slope in the program", "Then there would be no error at 0 °C."),
        ),
        right="offset",
    ),
)

why_code = Line(
    "11-why-code",
    "Say why a board under test prints its code.",
    "Why does a board under test print the code beside the reading?",
    Choice(
        options=(
            Option("wires", "it tells program from wires",
                   "Work the reading out from the code: what differs is the program's."),
            Option("digits", "it has more digits than °C",
                   "Digits do not find faults. What lies between code and reading?"),
            Option("sure", "it cannot be wrong itself",
                   "An open pin gives wrong codes as well. What does it stand between?"),
        ),
        right="wires",
    ),
)

of_a_hundred = Line(
    "11-of-a-hundred",
    "Weigh how well a log fits by how common a cause is.",
    "Of 1,000 faulty benches 50 have a wrong constant and 200 a sagging supply. A log like yours comes from 45 of those"
    " 50, from 60 of those 200, and from no other. Of 100 such logs, how many come from a wrong constant?",
    Number(
        lambda f: 100 * 45 / (45 + 60), "number", "", 0, "Two digits.", digits=2, wrong=(
            Wrong("fit-alone", lambda f: 90.0,
                  "So many wrong constants give such a log. How many such logs come from elsewhere?"),
            Wrong("fits-compared", lambda f: 75.0, "Both fits were compared as if both faults were equally common."),
            Wrong("common-alone", lambda f: 20.0, "Only how common they are was used. The log speaks too."),
            Wrong("not-of-100", lambda f: 45.0, "So many of all such logs. How many of such logs are there in all?"),
            Wrong("other", lambda f: 100 * 60 / 105, "That is the sagging supply's share."),
        )),
    rail=("of 100", 0, 100),
    then="It fits better, and it is still the less likely one.",
)

next_place = Line(
    "11-next-place",
    "Choose the measurement that tells something new.",
    "The display says 30.3 °C, the air is at 25 °C. Another sensor gave the same, and so did another board of the kind,"
    " on the same cable and plug. Where does the meter go next?",
    Choice(
        options=(
            Option("pin", "at the converter's pin", "It would say 0.800 V: two swaps have shown that much already."),
            Option("supply", "at the board's supply", "What was not swapped is the supply, and it is the reference."),
            Option("lamp", "at the lamp's resistor", "The lamp does not touch the code. What was not swapped yet?"),
        ),
        right="supply",
    ),
)

agree_pin = Line(
    "11-agree-pin",
    "Compare two results, and say in which direction to search.",
    "The display says 24.8 °C, a thermometer beside the sensor 21.0 °C. A meter says 5.00 V for the supply, and 0.800 V"
    " ± 0.004 V between pin and ground. The code stands for 0.798 V ± 0.013 V, by the converter's budget. Both ± are U."
    " What now?",
    Choice(
        options=(
            Option("sensor", "agree: search at the sensor",
                   "0.002 V apart, 0.014 V allowed. Converter and program do what the pin says."),
            Option("converter", "differ: search at the board",
                   "They are 0.002 V apart. How much do both uncertainties together allow?"),
            Option("program", "agree: search the program",
                   "They agree; so does the program, for 0.800 V is 25 °C. What gives these 0.800 V?"),
        ),
        right="sensor",
    ),
)

half_reference = Line(
    "11-half-reference",
    "Find the true reference from a room and a code.",
    "The sensor gives 0.768 V, and the code is 238.4 on average. What is the reference, in V? Take the middle of the"
    " step.",
    Number(
        lambda f: SAGGED.sensor.volts(21.0) * 1024 / 238.9, "voltage", "V", 0.02, "A supply wanders so.", wrong=(
            Wrong("upside-down", lambda f: 0.768 * 238.9 / 1024,
                  "The voltage is a part of the reference, not more than it."),
            Wrong("believed", lambda f: 5.0, "That is what the program believes. Use what the sensor gives."),
        )),
    rail=("reference", 0, 5.5),
    then="A board that runs on 3.3 V, then.",
)

agree_repair = Line(
    "11-agree-repair",
    "Compare two results after a repair, and act.",
    "After the repair the bench reads 22.6 °C, ± 2.4 °C by its budget with the supply measured; the room's thermometer"
    " says 21.0 °C, ± 0.2 °C by its paper (both ± are U). What do you do?",
    Choice(
        options=(
            Option("store", "agree: store the hand test",
                   "1.6 °C apart, 2.4 °C allowed. Nothing shows a fault: keep the log as the healthy one."),
            Option("shift", "agree: take 1.6 °C off",
                   "They agree. One point in a room is no calibration: chapter 09 has it."),
            Option("search", "differ: search for more",
                   "They are 1.6 °C apart. How much do both uncertainties together allow?"),
        ),
        right="store",
    ),
)

LINES = (
    which_supply, silent_at, sketch_latch, error_slope, which_shape, why_code, of_a_hundred, next_place, agree_pin,
    half_reference, agree_repair,
)  # fmt: skip

PROBLEMS = (
    found_constant, first_of_all, lead_lift, five_lines, read_the_jump, two_points, wrong_walk, which_check, two_causes,
    how_fast, log_alone, open_pin, meter_table, dead_sensor, slow_wave, off_the_card,
)  # fmt: skip


def _at_rest_c(found):
    """What the explorer's log reads before a hand warms the sensor [degC]."""
    return float(np.median(found.log.reading_c[found.log.t_s < found.test.rest_s]))


PREDICTIONS = (
    Prediction(
        "11-stuck-buzzer",
        "The buzzer began at 27 °C. Now the thermometer in the tray says 23 °C, the display 31.5 °C, and it still"
        " sounds. Unplugged for a moment, the same bench reads 23 °C and is silent. What keeps the buzzer on?",
        "Now look at the log in the picture: where does it leave the dashes, and does it come back?",
        "The buzzer's current lowers the supply, and the supply is the reference. A lower reference makes the reading"
        " higher, and a higher reading keeps the buzzer on.",
        options=(
            Idea("The buzzer pulls the supply down", right=True),
            Idea("The sensor has kept its old heat",
                 refuted="A sensor gives its heat away within minutes, and no plug cools it.", source="ours"),
            Idea("The program forgot to switch off",
                 refuted="It does as it is told: what it reads is above its limit, so it has to call.", source="ours"),
        ),
        looks=("It leaves the dashes and stays above", "It leaves the dashes and comes back", "It stays on the dashes"),
        explorer="fault_log", settings={"fault": "sag", "bench": 8},
    ),
    Prediction(
        "11-unfed",
        "The lead that feeds the sensor has come off. Ground and signal are still on, so the sensor's output is at 0 V."
        " What does the bench read?",
        "Now look at the log in the picture, at rest and in the hand.",
        "0 V is not 0 °C: this sensor gives 600 mV there, and its line goes on down.",
        number=Amount(
            lambda: scenario().celsius_at_pin(scenario().converter.volts(0, 5.0)), "°C", 1, "temperature", near=1.0,
            wrong=(Wrong("zero", lambda: 0.0, "0 V is not 0 °C: which voltage does the sensor give there?"),),
        ),
        explorer="fault_log", settings={"fault": "no supply"}, saw=_at_rest_c,
    ),
)
