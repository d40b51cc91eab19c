"""Practice for chapter 01: from the specification of a sensor to its line, and what its limits say."""

from tempkit.chain import LinearSensor, scenario
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
)
from tempkit.exercises import plain as n
from tempkit.problems.common import BENCH_C, SENSOR_TEXT, SENSORS, WITH_OFFSET, inside, millivolts, sensor

FORGOT = "The output at 0 °C has been left out. Which voltage does the line start from?"

# Volts, degrees, and the line between them

AT_25 = "The output at 0 °C was used as if it belonged to 25 °C. Which temperature does it belong to?"

volts_from_temperature = Problem(
    "01-volts-from-temperature", 2, "Volts from a temperature",
    "Walk along the sensor's line from a temperature to a voltage.",
    asks=SENSOR_TEXT + ". The air above the seedlings is at {t_c} °C. What voltage does the sensor give?",
    figures=(Draw("t_c", (*BENCH_C, -8, 4, 11.5, 36)), SENSORS),
    sensible=lambda f: inside(f, f.t_c),
    answer=Number(
        lambda f: sensor(f).volts(f.t_c) * 1000, "voltage", "mV", 0.5,
        "The line is exact; half a millivolt leaves room for rounding to whole millivolts.",
        wrong=(
            Wrong("forgot-offset", lambda f: f.slope_mv_per_c * f.t_c, FORGOT),
            Wrong("offset-at-25", lambda f: f.at_0c_mv + f.slope_mv_per_c * (f.t_c - 25), AT_25),
            Wrong("offset-subtracted", lambda f: f.slope_mv_per_c * f.t_c - f.at_0c_mv,
                  "The output at 0 °C was taken away. Is the voltage at 0 °C higher or lower than no"
                  " voltage?"),
            Wrong("divided", lambda f: f.at_0c_mv + f.t_c / f.slope_mv_per_c,
                  "The temperature was divided by the slope. Look at the unit of the slope: what cancels"
                  " the degree?"),
    )),
    hints=("A straight line needs a start and a slope. The specification gives both.",
           "First the rise above 0 °C: degrees times millivolts for each degree. It is negative below 0 °C.",
           "Then add the rise to the output at 0 °C."),
    solution=lambda f: (
        f"Rise: {n(f.t_c)} °C × {n(f.slope_mv_per_c)} mV/°C = {n(f.t_c * f.slope_mv_per_c)} mV\n"
        f"Output: {n(f.at_0c_mv)} mV + ({n(f.t_c * f.slope_mv_per_c)} mV) = {n(millivolts(f, f.t_c))} mV"
    ),
)


temperature_from_volts = Problem(
    "01-temperature-from-volts", 2, "A temperature from volts",
    "Walk the line backwards from a meter reading to a temperature.",
    asks=SENSOR_TEXT + ". A meter on its output shows {v_mv} mV. What is the temperature?",
    figures=(Draw("v_mv", (774, 655, 692, 727, 743, 761, 785, 808, 821, 846)), SENSORS),
    sensible=lambda f: inside(f, _back(f)),
    answer=Number(
        lambda f: sensor(f).celsius(f.v_mv / 1000), "temperature", "°C", 0.1,
        "A tenth of a degree is far finer than the sensor's own accuracy.",
        wrong=(
            Wrong("forgot-offset", lambda f: f.v_mv / f.slope_mv_per_c, FORGOT),
            Wrong("offset-added", lambda f: (f.v_mv + f.at_0c_mv) / f.slope_mv_per_c,
                  "On the way back the output at 0 °C was added. Undo the steps of the line in reverse"
                  " order."),
            Wrong("offset-at-25", lambda f: 25 + (f.v_mv - f.at_0c_mv) / f.slope_mv_per_c, AT_25),
            Wrong("offset-late", lambda f: f.v_mv / f.slope_mv_per_c - f.at_0c_mv / 1000,
                  "Volts were taken away from degrees. Take the output at 0 °C away while all is still in"
                  " millivolts."),
            Wrong("fahrenheit", lambda f: 1.8 * ((f.v_mv - f.at_0c_mv) / f.slope_mv_per_c) + 32,
                  "This is the figure in °F. The slope is for each °C: the line gives °C."),
    )),
    hints=("The line goes from degrees to millivolts by multiplying, then adding. Undo that, last step"
           " first.",
           "Take the output at 0 °C away from the meter reading: this is the rise.",
           "Divide the rise by the slope."),
    solution=lambda f: (
        f"Rise: {n(f.v_mv)} mV − {n(f.at_0c_mv)} mV = {n(f.v_mv - f.at_0c_mv)} mV\n"
        f"Temperature: {n(f.v_mv - f.at_0c_mv)} mV ÷ {n(f.slope_mv_per_c)} mV/°C = {n(_back(f), 4)} °C"
    ),
)

TWO_POINTS = (Draw("t1_c", (20, 10, 25, -10, 15)), Draw("t2_c", (85, 50, 60, 75, 100)), SENSORS)


def _points(f):
    first, second = (f"{n(millivolts(f, t_c))} mV at {n(t_c)} °C" for t_c in (f.t1_c, f.t2_c))
    return f"{first} and {second}"


def _rise(f):
    return millivolts(f, f.t2_c) - millivolts(f, f.t1_c)


slope_from_points = Problem(
    "01-slope-from-points", 2, "The slope from two points",
    "Find the slope of a sensor from two points of its specification.",
    asks=lambda f: f"A specification gives two points only: {_points(f)}. What is the slope of this linear"
                   " sensor?",
    figures=TWO_POINTS,
    sensible=lambda f: inside(f, f.t1_c) and inside(f, f.t2_c),
    answer=Number(
        lambda f: 1000 * (sensor(f).volts(f.t2_c) - sensor(f).volts(f.t1_c)) / (f.t2_c - f.t1_c),
        "sensor slope", "mV/°C", 0.05,
        "The two points are exact; the tolerance leaves room for rounding to a tenth of a millivolt.",
        wrong=(
            Wrong("through-origin", lambda f: millivolts(f, f.t2_c) / f.t2_c,
                  "One point was divided by itself. That holds only for a line through 0 mV at 0 °C."),
            Wrong("upside-down", lambda f: (f.t2_c - f.t1_c) / _rise(f),
                  "This is degrees for each millivolt. The unit of the slope tells which difference stands"
                  " on top."),
            Wrong("ends-added", lambda f: _rise(f) / (f.t2_c + f.t1_c),
                  "The temperatures were added. A slope needs the distance between them; mind the sign"
                  " below 0 °C."),
            Wrong("per-fahrenheit", lambda f: _rise(f) / (1.8 * (f.t2_c - f.t1_c)),
                  "This is the slope for each °F. The question's temperatures are in °C."),
    )),
    hints=("A slope is a difference divided by a difference.",
           "Take the difference of the voltages, and the difference of the temperatures, in the same order."),
    solution=lambda f: (
        f"Voltages: {n(millivolts(f, f.t2_c))} mV − {n(millivolts(f, f.t1_c))} mV = {n(_rise(f))} mV\n"
        f"Temperatures: {n(f.t2_c)} °C − ({n(f.t1_c)} °C) = {n(f.t2_c - f.t1_c)} °C\n"
        f"Slope: {n(_rise(f))} mV ÷ {n(f.t2_c - f.t1_c)} °C = {n(_rise(f) / (f.t2_c - f.t1_c))} mV/°C"
    ),
)


def _slope(f):
    return _rise(f) / (f.t2_c - f.t1_c)


def _at_0c_v(first_v, second_v, f):
    """Where the line through two points meets 0 °C, which may lie outside the sensor's range [V]."""
    return first_v - (second_v - first_v) / (f.t2_c - f.t1_c) * f.t1_c


offset_from_points = Problem(
    "01-offset-from-points", 2, "The output at 0 °C from two points",
    "Find where a sensor's line starts from two points of its specification.",
    asks=lambda f: f"A specification gives two points: {_points(f)}. What does this linear sensor give at 0"
                   " °C?",
    figures=TWO_POINTS,
    sensible=lambda f: inside(f, f.t1_c) and inside(f, f.t2_c),
    answer=Number(
        lambda f: 1000 * _at_0c_v(*(sensor(f).volts(t_c) for t_c in (f.t1_c, f.t2_c)), f), "voltage", "mV", 1.0,
        "One millivolt leaves room for a slope that was rounded on the way.",
        wrong=(
            Wrong("first-point", lambda f: millivolts(f, f.t1_c),
                  "This is the voltage of the first point. It belongs to its own temperature, not to 0 °C."),
            Wrong("wrong-direction", lambda f: millivolts(f, f.t1_c) + _slope(f) * f.t1_c,
                  "The step from the first point to 0 °C was taken in the wrong direction. Is 0 °C colder"
                  " or warmer?"),
            Wrong("points-mixed", lambda f: millivolts(f, f.t1_c) - _slope(f) * f.t2_c,
                  "The voltage of one point met the temperature of the other. Stay with one point."),
    )),
    hints=("Find the slope first. Then walk from one of the points to 0 °C.",
           "From a point at t to 0 °C the way is −t degrees: multiply it by the slope.",
           "Both points must lead to the same voltage. Use the second as a check."),
    solution=lambda f: (
        f"Slope: {n(_rise(f))} mV ÷ {n(f.t2_c - f.t1_c)} °C = {n(_slope(f))} mV/°C\n"
        f"At 0 °C: {n(millivolts(f, f.t1_c))} mV − ({n(f.t1_c)} °C × {n(_slope(f))} mV/°C)"
        f" = {n(millivolts(f, f.t1_c) - _slope(f) * f.t1_c)} mV"
    ),
)

range_in_volts = Problem(
    "01-range-in-volts", 2, "The sensor's range in volts",
    "Turn the temperature range of a specification into the range of voltages to expect.",
    asks=SENSOR_TEXT + ". It is specified from {from_c} °C to {to_c} °C. Give its output at both ends.",
    figures=(
        Draw("from_c", (-25, -15, -10, 0, 5)),
        Draw("to_c", (110, 85, 95, 60)),
        Draw("at_0c_mv slope_mv_per_c", ((600, 8), (350, 18), (0, 12))),
    ),
    sensible=lambda f: f.at_0c_mv + f.slope_mv_per_c * f.from_c >= 0,
    answer=Table(
        rows=lambda f: (f"Output at {n(f.from_c)} °C", f"Output at {n(f.to_c)} °C"),
        columns=(Column("output", "voltage", "V", 0.005),),
        value=lambda f: _both(f, _line(f).volts),
        reason="Five millivolts leave room for rounding to hundredths of a volt.",
        wrong=(
            Wrong("swapped", lambda f: _both(f, lambda t_c: _volts(f, t_c))[::-1],
                  "The two ends are swapped. The slope is positive: which end has the higher voltage?"),
            Wrong("forgot-offset", lambda f: _both(f, lambda t_c: f.slope_mv_per_c * t_c / 1000), FORGOT),
            Wrong("sign-lost", lambda f: ((_volts(f, abs(f.from_c)),), (_volts(f, f.to_c),)),
                  "The minus sign of the colder end was lost: below 0 °C the line falls."),
            Wrong("offset-at-25", lambda f: _both(f, lambda t_c: _volts(f, t_c - 25)), AT_25),
    )),
    hints=("Use the line twice, once for each end of the range.",
           "Below 0 °C the rise is negative: the output is lower than at 0 °C."),
    solution=lambda f: "\n".join(
        f"At {n(t_c)} °C: {n(f.at_0c_mv)} mV + {n(f.slope_mv_per_c)} mV/°C × ({n(t_c)} °C)"
        f" = {n(_volts(f, t_c))} V"
        for t_c in (f.from_c, f.to_c)
    ),
)


def _volts(f, t_c):
    return (f.at_0c_mv + f.slope_mv_per_c * t_c) / 1000


def _both(f, volts):
    return ((volts(f.from_c),), (volts(f.to_c),))


def _line(f):
    ends = (float(f.from_c), float(f.to_c))
    return LinearSensor(at_0c_v=f.at_0c_mv / 1000, slope_v_per_c=f.slope_mv_per_c / 1000, range_c=ends)


# Supply window and accuracy limits, and what these are not


def _back(f):
    return (f.v_mv - f.at_0c_mv) / f.slope_mv_per_c


SUPPLIES = (
    ("two-fresh", "Two alkaline cells, fresh, 1.6 V each", 3.2),
    ("two-flat", "Two alkaline cells, nearly empty, 1.1 V each", 2.2),
    ("three-flat", "Three alkaline cells, nearly empty, 1.1 V each", 3.3),
    ("four-fresh", "Four alkaline cells, fresh, 1.6 V each", 6.4),
    ("four-flat", "Four alkaline cells, nearly empty, 1.1 V each", 4.4),
    ("usb-low", "A USB port at the lowest voltage its standard allows, 4.75 V", 4.75),
)


def _supply_option(key, text, supply_v):
    def remark(f):
        if supply_v < f.lowest_v:
            return f"{n(supply_v)} V is below the window: the specification no longer holds."
        if supply_v > f.highest_v:
            return f"{n(supply_v)} V is above the window: the sensor may be damaged."
        return f"{n(supply_v)} V lies inside the window."

    return Option(key, text, remark)


supply_window = Problem(
    "01-supply-window", 2, "The supply window",
    "Decide whether a supply keeps a sensor inside its specification, fresh and empty.",
    asks="A sensor's specification holds for supplies from {lowest_v} V to {highest_v} V. Which of these"
         " supplies lie in that window? The supply goes straight to the sensor. Tick all that do.",
    figures=(Draw("lowest_v", (3.0, 2.1, 2.9, 3.1)), Draw("highest_v", (5.6, 5.3, 6.0))),
    answer=Choice(
        options=tuple(_supply_option(*supply) for supply in SUPPLIES),
        right=lambda f: tuple(key for key, _, supply_v in SUPPLIES if f.lowest_v <= supply_v <= f.highest_v),
        several=True,
    ),
    hints=("Cells in a row add their voltages.",
           "Compare each sum with both ends of the window. A battery must pass when fresh and when nearly"
           " empty."),
    solution=lambda f: "\n".join(
        f"{text}: {n(volts)} V in all, {'inside' if f.lowest_v <= volts <= f.highest_v else 'outside'}"
        f" {n(f.lowest_v)} V to {n(f.highest_v)} V."
        for _, text, volts in SUPPLIES
    ),
)

accuracy_in_mv = Problem(
    "01-accuracy-in-mv", 3, "Accuracy limits in millivolts",
    "Turn accuracy limits in degrees into the width of the band around the line.",
    asks=SENSOR_TEXT + ". Its accuracy limits are ±{accuracy_c} °C. By how many millivolts may the output"
                       " lie above the line?",
    figures=(Draw("accuracy_c", (1.5, 0.5, 1, 2, 2.5, 3, 4)), SENSORS),
    answer=Number(
        lambda f: 1000 * (sensor(f).volts(25.0 + f.accuracy_c) - sensor(f).volts(25.0)), "voltage", "mV", 0.5,
        "The product is exact; half a millivolt leaves room for rounding.",
        wrong=(
            Wrong("offset-added", lambda f: f.at_0c_mv + f.slope_mv_per_c * f.accuracy_c,
                  "The limits are a span of temperature, not a temperature: what has the output at 0 °C to"
                  " do with it?"),
            Wrong("both-sides", lambda f: 2 * f.slope_mv_per_c * f.accuracy_c,
                  "This is the width of the whole band. The question asks for one side of the line."),
            Wrong("half", lambda f: f.slope_mv_per_c * f.accuracy_c / 2,
                  "The limits are already one-sided: plus and minus, each by the full figure."),
            Wrong("fahrenheit", lambda f: f.slope_mv_per_c * f.accuracy_c * 1.8,
                  "The limits were changed to °F, but the slope is for each °C."),
    )),
    hints=("The limits are a span of temperature. Which part of the line turns a span into millivolts?",
           "Only the slope matters: the output at 0 °C is the same for the line and for the edge of the"
           " band."),
    solution=lambda f: f"{n(f.accuracy_c)} °C × {n(f.slope_mv_per_c)} mV/°C ="
                       f" {n(f.accuracy_c * f.slope_mv_per_c)} mV",
)

warmest_true = Problem(
    "01-warmest-true", 2, "The warmest it can be",
    "Say in degrees what a meter reading allows when the sensor keeps its accuracy limits.",
    asks=SENSOR_TEXT + ", with accuracy limits of ±{accuracy_c} °C. A meter shows {v_mv} mV. What is the"
                       " highest temperature that the air can have?",
    figures=(Draw("v_mv", (786, 707, 738, 757, 814, 839)), Draw("accuracy_c", (1.5, 0.8, 1, 2, 3)), SENSORS),
    sensible=lambda f: inside(f, _back(f) + f.accuracy_c),
    answer=Number(
        lambda f: sensor(f).celsius(f.v_mv / 1000) + f.accuracy_c, "temperature", "°C", 0.1,
        "A tenth of a degree is finer than the limits that the question is about.",
        wrong=(
            Wrong("line-only", lambda f: (f.v_mv - f.at_0c_mv) / f.slope_mv_per_c,
                  "This is the temperature on the line. The accuracy limits have not been used yet."),
            Wrong("coldest", lambda f: (f.v_mv - f.at_0c_mv) / f.slope_mv_per_c - f.accuracy_c,
                  "This is the coldest it can be. The question asks for the other edge of the band."),
            Wrong("half", lambda f: (f.v_mv - f.at_0c_mv) / f.slope_mv_per_c + f.accuracy_c / 2,
                  "Only half of the limits was used. The figure after ± counts in full on each side."),
            Wrong("forgot-offset", lambda f: f.v_mv / f.slope_mv_per_c + f.accuracy_c, FORGOT),
    )),
    hints=("Find the temperature on the line first.",
           "The true temperature may lie on either side of it by the accuracy limits."),
    solution=lambda f: (
        f"On the line: ({n(f.v_mv)} mV − {n(f.at_0c_mv)} mV) ÷ {n(f.slope_mv_per_c)} mV/°C"
        f" = {n(_back(f), 4)} °C\n"
        f"Warmest: {n(_back(f), 4)} °C + {n(f.accuracy_c)} °C = {n(_back(f) + f.accuracy_c, 4)} °C"
    ),
)

limits_stay = Problem(
    "01-limits-stay", 2, "A hundred readings of one sensor",
    "Tell limits from noise, and a typical value from a promise.",
    asks="A specification says of a sensor: typically within ±{typical_c} °C, at most ±{limit_c} °C. One such sensor"
         " hangs in air that keeps still. Its voltage trembles a little; the mean of 100 readings is {t_c} °C. What may"
         " be promised about the air?",
    figures=(Draw("t_c", (25, 22.5, 18, 27, 30.5)),
             Draw("typical_c limit_c", ((0.6, 1.5), (0.5, 2), (0.8, 2.5), (1.2, 3)))),
    answer=Choice(
        options=(
            Option("typical", lambda f: f"It is between {n(f.t_c - f.typical_c)} °C and {n(f.t_c + f.typical_c)} °C",
                   "Many sensors of this kind keep to that. Who says that yours is one of them?"),
            Option("tenth", lambda f: f"It is within ±{n(f.limit_c / 10)} °C of the mean, for the root of 100 is 10",
                   "Averaging helps against what differs from reading to reading. Does the sensor's own error?"),
            Option("exact", lambda f: f"It is {n(f.t_c)} °C, as well as the mean is known",
                   "The mean of the readings is known well. How far may the sensor itself be off, every time alike?"),
            Option("limits", lambda f: f"It is between {n(f.t_c - f.limit_c)} °C and {n(f.t_c + f.limit_c)} °C",
                   "The limits are the promise, and no number of readings makes them narrower."),
        ),
        right="limits",
    ),
    asks_how_sure=True,
    hints=("An error that is the same in all readings is in their mean, too.",
           "Of the two figures of the specification, which one holds for each single sensor?"),
    solution=lambda f: (
        f"The mean takes the trembling away. The sensor may be off by up to {n(f.limit_c)} °C in all 100 readings"
        f" alike: the air is between {n(f.t_c - f.limit_c)} °C and {n(f.t_c + f.limit_c)} °C. Typical is not a promise."
    ),
)


# A curve in place of a line of the specification


def _curve(f):
    """The specification's curve: volts at every tenth degree over the sensor's whole range."""
    first, last = -(-f.low_c // 10) * 10, f.high_c // 10 * 10
    points = tuple((t_c, sensor(f).volts(t_c)) for t_c in range(first, last + 1, 10))
    top_v = 1.5 if f.slope_mv_per_c < 10 else 2.5
    return Graph(
        "Output of a sensor", Scale("temperature", "°C", (-40, 120), 1, tuple(range(-40, 121, 20))),
        Scale("output", "V", (0, top_v), 0.01, tuple(step * top_v / 10 for step in range(11))),
        (Curve("output", points),),
    )


read_the_curve = Problem(
    "01-read-the-curve", 1, "A temperature from a curve",
    "Read a temperature off the curve of a specification.",
    asks="A specification shows its sensor by a curve only. A meter on the sensor's output shows {v_mv} mV. What is the"
         " temperature?",
    figures=(Draw("v_mv", (880, 640, 720, 800, 960, 1040, 1120, 1180)), WITH_OFFSET),
    sensible=lambda f: inside(f, _back(f)),
    picture=_curve,
    answer=Number(
        lambda f: sensor(f).celsius(f.v_mv / 1000), "temperature", "°C", 2.0,
        "An eye reads this curve to about a degree; another one is room for the hand.",
        wrong=(
            Wrong("forgot-offset", lambda f: f.v_mv / f.slope_mv_per_c,
                  "That is right for a line through 0 V at 0 °C. Where does this curve cross 0 °C?"),
            Wrong("half-grid", lambda f: _back(f) / 2,
                  "Look at the numbers at the axis: how many degrees is the way from one to the next?"),
            Wrong("fahrenheit", lambda f: 1.8 * _back(f) + 32, "This is the figure in °F. The axis is in °C."),
    )),
    hints=("Go from the meter's voltage straight across to the curve, then straight down to the axis.",
           "Between two marks of an axis, halve the way, and halve it again."),
    solution=lambda f: (
        f"The curve is straight. It has {n(millivolts(f, 0))} mV at 0 °C and {n(millivolts(f, 50))} mV at 50 °C:"
        f" {n(f.slope_mv_per_c)} mV for each degree.\n"
        f"({n(f.v_mv)} mV − {n(f.at_0c_mv)} mV) ÷ {n(f.slope_mv_per_c)} mV/°C = {n(_back(f), 4)} °C"
    ),
)


PROBLEMS = (
    volts_from_temperature, temperature_from_volts, slope_from_points, offset_from_points, range_in_volts,
    supply_window, accuracy_in_mv, warmest_true, limits_stay, read_the_curve,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "01-warmest",
        "The sensor keeps its specification: 600 mV at 0 °C, 8 mV for each °C more, limits of ±1.5 °C. A meter on its"
        " output shows 0.800 V. How warm may the air really be, at most?",
        "Now read on as far as the picture of the sensor's line. Set it to 25 °C, and look which temperatures fit"
        " 0.800 V.",
        "0.800 V stand for 25 °C, and the sensor may read 1.5 °C low: so the air may be that much warmer.",
        number=Amount(
            lambda: scenario().sensor.celsius(0.8) + scenario().sensor.accuracy_c, "°C", 1, "temperature", near=0.2,
            wrong=(
                Wrong("nominal", lambda: scenario().sensor.celsius(0.8),
                      "This is what the line says, and the sensor need not lie on it."),
                Wrong("forgot-offset", lambda: 100.0, "The 600 mV at 0 °C were left out."),
        )),
        explorer="spec_line", settings={"t_c": 25.0}, saw=lambda at: at.fits_c[1],
    ),
)
