"""Practice for chapter 11: what a fault does to volts, code and reading, and how to tell two causes apart."""

from functools import lru_cache

import numpy as np

from tempkit.chain import Design, scenario
from tempkit.exercises import Amount, Choice, Draw, Number, Option, Prediction, Problem, Wrong
from tempkit.exercises import plain as n
from tempkit.faults import HandTest, Wiring, fault, heard_lines, meter_limits_v, voltages
from tempkit.signal import alias_frequency, wire_ohms_per_m

# What a fault does

SENSOR = "The sensor gives 500 mV at 0 °C and 10 mV more for each degree"


def _lift_c(f, ways=1.0):
    return ways * f.current_ma * f.length_m * f.ohm_per_m / 10


lead_lift = Problem(
    "11-lead-lift", 1, "A ground that is shared",
    "Find what a buzzer's current in the sensor's ground lead does to the reading.",
    asks="The sensor stands at the end of {length_m} m of thin lead, {ohm_per_m} Ω for each metre of one wire. Its"
         " ground wire carries the buzzer's {current_ma} mA back to the board as well. The sensor gives 10 mV for each"
         " degree. By how much does the reading jump when the buzzer starts?",
    figures=(
        Draw("length_m", (8, 12, 15, 20)), Draw("ohm_per_m", (0.21, 0.34, 0.54)), Draw("current_ma", (25, 30, 40)),
    ),
    answer=Number(
        lambda f: 100 * (
            voltages(scenario(), 21.0, Wiring(lead_ohm=f.length_m * f.ohm_per_m, shared_ground=True,
                                              buzzer_a=f.current_ma / 1000), buzzer=True).pin_v
            - voltages(scenario(), 21.0, Wiring(lead_ohm=f.length_m * f.ohm_per_m, shared_ground=True)).pin_v
        ),
        "temperature span", "°C", 0.1,
        "A tenth of a degree is what the bench prints.",
        wrong=(
            Wrong("both-ways", lambda f: _lift_c(f, 2),
                  "The buzzer's current flows in one wire of this lead only. Which one?"),
            Wrong("one-metre", lambda f: f.current_ma * f.ohm_per_m / 10,
                  "This is the drop along one metre. How long is the wire?"),
            Wrong("millivolts", lambda f: _lift_c(f) * 10,
                  "This is the drop in millivolts. How many degrees are they to this program?"),
            Wrong("down", lambda f: -_lift_c(f),
                  "The size is right. Does the sensor's ground go up or down against the board's?"),
    )),
    hints=("Resistance of one wire first, then the voltage along it by Ohm's law.",
           "The sensor stands on that voltage, and the program takes it for degrees."),
    solution=lambda f: (
        f"Wire: {n(f.length_m)} m × {n(f.ohm_per_m)} Ω/m = {n(f.length_m * f.ohm_per_m, 4)} Ω\n"
        f"Drop: {n(f.current_ma)} mA × {n(f.length_m * f.ohm_per_m, 4)} Ω = {n(10 * _lift_c(f), 4)} mV\n"
        f"Jump, upwards: {n(10 * _lift_c(f), 4)} mV ÷ 10 mV/°C = {n(_lift_c(f), 4)} °C"
    ),
)


def _sagged_c(f, part):
    return (part * (500 + 10 * f.t_c) - 500) / 10


sagging_supply = Problem(
    "11-sag", 1, "A supply that sags",
    "Find what the program reads when the supply, which is the reference, falls.",
    asks=SENSOR + ", whatever its supply. The converter's reference is the supply, which the program takes for 5 V."
         " The air is at {t_c} °C. The buzzer starts, and the supply falls to {true_v} V. What does the bench read now?"
         " Leave the steps of the converter aside.",
    figures=(Draw("t_c", (27, 27.4, 28, 26.5)), Draw("true_v", (4.6, 4.4, 4.7, 4.5))),
    answer=Number(
        lambda f: (5.0 / f.true_v * scenario().volts(float(f.t_c)) - 0.5) / 0.01,
        "temperature", "°C", 0.1,
        "A tenth of a degree is what the bench prints.",
        wrong=(
            Wrong("other-way", lambda f: _sagged_c(f, f.true_v / 5),
                  "The ratio stands upside down. A lower reference makes more steps of the same voltage."),
            Wrong("nothing", lambda f: float(f.t_c),
                  "The sensor's output stays, but is it counted against the same reference?"),
            Wrong("on-degrees", lambda f: f.t_c * 5 / f.true_v,
                  "The degrees were stretched. What is stretched is the voltage, and it has 500 mV at 0 °C."),
            Wrong("drop", lambda f: f.t_c + (5 - f.true_v) * 100,
                  "The drop of the supply was added to the signal. It changes the measure, not the signal."),
    )),
    hints=("The code is the part of the reference that the signal is.",
           "The program multiplies that part by 5 V, takes off 500 mV, and divides by 10 mV."),
    solution=lambda f: (
        f"Signal: 500 mV + 10 mV/°C × {n(f.t_c)} °C = {n(500 + 10 * f.t_c)} mV\n"
        f"Taken for: {n(500 + 10 * f.t_c)} mV × 5 V ÷ {n(f.true_v)} V = {n(5 / f.true_v * (500 + 10 * f.t_c), 6)} mV\n"
        f"Reading: ({n(5 / f.true_v * (500 + 10 * f.t_c), 6)} mV − 500 mV) ÷ 10 mV/°C"
        f" = {n(_sagged_c(f, 5 / f.true_v), 4)} °C"
    ),
)


def _constant_v(f, at_0c_mv=500):
    return (at_0c_mv + 10 * f.reads_c) / 1000 * 1024 / (f.code + 0.5)


found_constant = Problem(
    "11-constant", 1, "The constant behind a line",
    "Find from one line of the log which reference the program believes in.",
    asks="A line of the log says: code {code}, reading {reads_c} °C. " + SENSOR + ". The converter has 10 bits, and the"
         " program takes the middle of each step. Which reference, in volts, does it hold?",
    figures=(Draw("code reads_c", ((145, -3.1), (145, 8.2), (160, 28.4), (220, 21.1), (151, -13.0), (168, 32.3))),),
    answer=Number(
        lambda f: scenario().volts(float(f.reads_c)) * 1024 / (f.code + 0.5),
        "voltage", "V", 0.02,
        "The reading is printed to a tenth of a degree, which is 0.02 V of the reference at most.",
        wrong=(
            Wrong("offset", lambda f: _constant_v(f, 0),
                  "The sensor's volts at 0 °C are missing. What voltage does that reading stand for?"),
            Wrong("five", lambda f: 5.0 if abs(_constant_v(f) - 5.0) > 0.1 else None,
                  "5 V is what one expects. Does this line agree with it?"),
            Wrong("upside-down", lambda f: (500 + 10 * f.reads_c) / 1000 * (f.code + 0.5) / 1024,
                  "The ratio stands upside down: the voltage is a part of the reference, not more than it."),
    )),
    hints=("Which voltage does the program believe in when it prints this reading?",
           "That voltage is the code, plus a half, of the 1024 steps of the reference."),
    solution=lambda f: (
        f"Voltage: 500 mV + 10 mV/°C × ({n(f.reads_c)} °C) = {n(500 + 10 * f.reads_c)} mV\n"
        f"Reference: {n((500 + 10 * f.reads_c) / 1000, 5)} V × 1024 ÷ {n(f.code + 0.5)} = {n(_constant_v(f), 4)} V"
    ),
)

dead_sensor = Problem(
    "11-no-supply", 2, "A sensor without supply",
    "Know the reading that a code of 0 stands for.",
    asks="The sensor's supply lead has come off, so its output is at 0 V and the code is 0. A linear sensor of this"
         " kind gives {at_0c_mv} mV at 0 °C and {slope_mv} mV more for each degree. One step of the converter is"
         " {step_mv} mV, and the program takes the middle of each step. What does the bench read?",
    figures=(Draw("at_0c_mv slope_mv", ((500, 10), (400, 19.5), (750, 10))), Draw("step_mv", (4.88, 3.22, 0.81))),
    answer=Number(
        lambda f: (f.step_mv / 2 - f.at_0c_mv) / f.slope_mv,
        "temperature", "°C", 0.05,
        "A tenth of a degree is printed; the middle of the step is worth less than that with fine steps.",
        wrong=(
            Wrong("zero", lambda f: 0.0,
                  "0 V is not 0 °C for this sensor: what does it give there?"),
            Wrong("plus", lambda f: (f.step_mv / 2 + f.at_0c_mv) / f.slope_mv,
                  "The sign is turned: the volts at 0 °C are taken off."),
            Wrong("ten", lambda f: (f.step_mv / 2 - f.at_0c_mv) / 10 if f.slope_mv != 10 else None,
                  "10 mV for each degree is another sensor's slope."),
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
    mv = 500 + 10 * (f.room_c + sensor * f.limits_c + room * 1)
    return mv + meter * (0.005 * mv + 2)


meter_table = Problem(
    "11-meter", 1, "The last voltage that is still right",
    "Work out the highest voltage that a healthy bench may show at the pin.",
    asks=SENSOR + ", within ±{limits_c} °C. The room thermometer says {room_c} °C, within ±1 °C. The meter may be off"
         " by 0.5 % of what it shows and 2 mV. Add all limits: above which voltage at the pin is something wrong?",
    figures=(Draw("limits_c", (2, 1, 1.5)), Draw("room_c", (21, 19, 24, 17))),
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
            Wrong("low", lambda f: 2 * (500 + 10 * f.room_c) - _high_mv(f),
                  "This lies on the other side. The highest voltage is asked."),
    )),
    hints=("Where may the sensor believe to be, at most?", "Its voltage there, and the meter's limits on top."),
    solution=lambda f: (
        f"Highest: {n(f.room_c)} °C + 1 °C + {n(f.limits_c)} °C = {n(f.room_c + 1 + f.limits_c)} °C\n"
        f"There: 500 mV + 10 mV/°C × {n(f.room_c + 1 + f.limits_c)} °C = {n(_high_mv(f, meter=0))} mV\n"
        f"Meter: 0.005 × {n(_high_mv(f, meter=0))} mV + 2 mV = {n(0.005 * _high_mv(f, meter=0) + 2, 4)} mV\n"
        f"Together: {n(_high_mv(f, meter=0))} mV + {n(0.005 * _high_mv(f, meter=0) + 2, 4)} mV = {n(_high_mv(f), 5)} mV"
    ),
)

lead_length = Problem(
    "11-lead-length", 1, "How long may the lead be?",
    "Turn a limit on the jump of a reading into a length of wire.",
    asks="A bench whose sensor shares its ground wire with a buzzer of {current_ma} mA may jump by {most_c} °C at most"
         " when it sounds. The sensor gives 10 mV for each degree; the wire is of gauge {gauge}, copper at 20 °C, with"
         " {mohm_per_m} mΩ for each metre. How long may the wire be?",
    figures=(
        Draw("current_ma", (25, 30, 40)), Draw("most_c", (0.5, 1, 0.3)),
        Draw("gauge mohm_per_m", ((26, 133.9), (28, 212.9), (30, 338.6))),
    ),
    answer=Number(
        lambda f: 0.01 * f.most_c / (f.current_ma / 1000) / wire_ohms_per_m(f.gauge),
        "length", "m", lambda f: 0.01 * 0.01 * f.most_c / (f.current_ma / 1000) / wire_ohms_per_m(f.gauge),
        "A hundredth of it is more than any tape and table agree to.",
        digits=3, wrong=(
            Wrong("both-ways", lambda f: 5000 * f.most_c / (f.current_ma * f.mohm_per_m),
                  "Only one wire carries the current that lifts the sensor."),
            Wrong("slope", lambda f: 1e6 * f.most_c / (f.current_ma * f.mohm_per_m),
                  "A degree is not a volt: how many millivolts is it?"),
            Wrong("one-ohm", lambda f: 1000 / f.mohm_per_m,
                  "This is the length of one ohm. Which resistance is allowed here?"),
    )),
    hints=("From degrees to millivolts, from millivolts to a resistance.", "Then from a resistance to a length."),
    solution=lambda f: (
        f"Voltage: {n(f.most_c)} °C × 10 mV/°C = {n(10 * f.most_c)} mV\n"
        f"Resistance: {n(10 * f.most_c)} mV ÷ {n(f.current_ma)} mA = {n(10 * f.most_c / f.current_ma, 5)} Ω\n"
        f"Length: {n(10 * f.most_c / f.current_ma, 5)} Ω ÷ {n(f.mohm_per_m / 1000)} Ω/m"
        f" = {n(10_000 * f.most_c / (f.current_ma * f.mohm_per_m), 5)} m"
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
    "11-first", 1, "First of all",
    "Know what comes before every thought about the cause.",
    asks="The bench has just been wired anew. Its first lines read more than 250 °C, and it smells. What is the first"
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
    asks="A log is right at rest, and jumps by some 6 °C while the buzzer sounds. Two causes are left: the buzzer sags"
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
    "11-card", 1, "A code that is not on the card",
    "Act on the limits of a bench card.",
    asks="The bench card says for the room of today: a right bench gives a first code from {low} to {high}. The bench"
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


PROBLEMS = (
    lead_lift, sagging_supply, found_constant, dead_sensor, meter_table, lead_length, two_causes, slow_wave,
    first_of_all, which_check, log_alone, open_pin, off_the_card, five_lines,
)  # fmt: skip


def _at_rest_c(found):
    """What the explorer's log reads before a hand warms the sensor [degC]."""
    return float(np.median(found.log.reading_c[found.log.t_s < found.test.rest_s]))


PREDICTIONS = (
    Prediction(
        "11-unfed",
        "The lead that feeds the sensor has come off. Ground and signal are still on, so the sensor's output is at 0 V."
        " What does the bench read?",
        "Now choose the open supply lead in the picture, and look at the log.",
        "0 V is not 0 °C: this sensor gives 600 mV there, and its line goes on down.",
        number=Amount(
            lambda: scenario().celsius_at_pin(scenario().converter.volts(0, 5.0)), "°C", 1, "temperature", near=1.0,
            wrong=(Wrong("zero", lambda: 0.0, "0 V is not 0 °C: which voltage does the sensor give there?"),),
        ),
        explorer="fault_log", settings={"fault": "no supply"}, saw=_at_rest_c,
    ),
    Prediction(
        "11-other-board",
        "A board was taken from the cupboard that runs on 3.3 V; the program still believes in 5 V. The room is at"
        " 21 °C, and the sensor gives 768 mV as ever. What does the bench read?",
        "Now choose 3.3 V for 5 V in the picture, on bench 4, and look at the log at rest.",
        "768 mV are more steps of a smaller reference, and the program takes each step for 4.88 mV.",
        number=Amount(
            lambda: scenario(true_v=3.3).reading(scenario(true_v=3.3).code(21.0)), "°C", 1, "temperature", near=2.0,
            wrong=(
                Wrong("unmoved", lambda: 21.0, "The sensor is well. The converter compares with less."),
                Wrong("scaled-degrees", lambda: 21 * 5 / 3.3, "Degrees were scaled. It is the voltage that scales."),
                Wrong("other-way", lambda: (768 * 3.3 / 5 - 600) / 8, "The ratio is upside down."),
        )),
        explorer="fault_log", settings={"fault": "other supply", "bench": 4, "t_c": 21.0}, saw=_at_rest_c,
    ),
)
