"""Practice for chapter 11: what a fault does to volts, code and reading, and how to tell two causes apart."""

from tempkit.chain import scenario
from tempkit.homework.chapter11_checks import CHECKS
from tempkit.homework.problem import Draw, Number, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.outputs import wire_ohms_per_m
from tempkit.wiring import Wiring, meter_limits_v, voltages

SENSOR = "The sensor gives 500 mV at 0 °C and 10 mV more for each degree"


def _lift_c(f, ways=1.0):
    return ways * f.current_ma * f.length_m * f.ohm_per_m / 10


lead_lift = Problem(
    "11-lead-lift", 1, "A ground that is shared",
    "Find what a buzzer's current in the sensor's ground lead does to the reading.",
    text="The sensor stands at the end of {length_m} m of thin lead, {ohm_per_m} Ω for each metre of one wire. Its"
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
    text=SENSOR + ", whatever its supply. The converter's reference is the supply, which the program takes for 5 V."
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
    text="A line of the log says: code {code}, reading {reads_c} °C. " + SENSOR + ". The converter has 10 bits, and the"
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
    text="The sensor's supply lead has come off, so its output is at 0 V and the code is 0. A linear sensor of this"
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
    text=SENSOR + ", within ±{limits_c} °C. The room thermometer says {room_c} °C, within ±1 °C. The meter may be off"
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
    text="A bench whose sensor shares its ground wire with a buzzer of {current_ma} mA may jump by {most_c} °C at most"
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

PROBLEMS = (lead_lift, sagging_supply, found_constant, dead_sensor, meter_table, lead_length, *CHECKS)
