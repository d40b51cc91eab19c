"""Chapter 01: reading a specification; from it to a sensor's line, and what its limits say."""

from tempkit.chain import LinearSensor, PlatinumSensor, scenario, specification
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
    listed,
    sketch,
    wrong_step,
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
    ("usb-low", "A computer's USB port at the lowest voltage that its standard allows, 4.75 V", 4.75),
)


def _supply_option(key, text, supply_v):
    def remark(f):
        if supply_v < f.lowest_v:
            return f"{n(supply_v)} V is below the window: the specification no longer holds."
        if supply_v > f.highest_v:
            return f"{n(supply_v)} V is above the window: nothing is promised, and the sensor may not survive."
        return f"{n(supply_v)} V lies inside the window."

    return Option(key, text, remark)


supply_window = Problem(
    "01-supply-window", 3, "The supply window",
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
    "01-limits-stay", 3, "A hundred readings of one sensor",
    "Tell limits from noise, and a typical value from a promise.",
    asks="A specification says of a sensor: typically within ±{typical_c} °C, at most ±{limit_c} °C. One such sensor"
         " hangs in air that keeps still. Its voltage trembles a little; the mean of 100 readings is {t_c} °C. What may"
         " be promised about the air?",
    figures=(Draw("t_c", (22.5, 18, 27, 30.5, 21)),
             Draw("typical_c limit_c", ((0.5, 2), (0.8, 2.5), (1.2, 3), (0.4, 1)))),
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


# Slope and height

SLOPES = ((600, 8), (350, 18), (0, 12))  # three sensors: output at 0 degC [mV], slope [mV/degC]
ORDERS = ((0, 1, 2), (0, 2, 1), (1, 0, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0))


def _named(f):
    """Pairs of a letter and the (output at 0 degC, slope) that it stands for."""
    return [(letter, SLOPES[place]) for letter, place in zip("abc", ORDERS[f.order], strict=True)]


def _mv_at(f, letter):
    start, slope = dict(_named(f))[letter]
    return start + slope * f.t_c


def _steepest(f):
    return max(_named(f), key=lambda pair: pair[1][1])[0]


def _three_curves(f):
    curves = tuple(
        Curve(f"sensor {letter.upper()}", tuple((t_c, (start + slope * t_c) / 1000) for t_c in range(0, 51, 10)))
        for letter, (start, slope) in _named(f)
    )
    return Graph(
        "Output of three sensors", Scale("temperature", "°C", (0, 50), 1, tuple(range(0, 51, 10))),
        Scale("output", "V", (0, 1.4), 0.01, tuple(step * 0.2 for step in range(8))), curves,
    )


def _of_three(letter):
    def remark(f):
        if letter == _steepest(f):
            return "Its line rises fastest: it gives most millivolts for each degree more."
        highest = max("abc", key=lambda other: _mv_at(f, other))
        if letter == highest:
            return "Its output is the highest there. Sensitive means: it rises most for one degree more."
        return "Compare how far each line climbs from one mark of the axis to the next."

    return Option(letter, f"Sensor {letter.upper()}", remark)


steepest = Problem(
    "01-steepest", 1, "The most sensitive sensor",
    "Tell the slope of a line from its height.",
    asks="The picture shows the output of three linear sensors. Which is the most sensitive at {t_c} °C, that is, which"
         " output changes most for one degree?",
    figures=(Draw("t_c", (10, 5, 15, 20)), Draw("order", (3, 0, 1, 2, 4, 5))),
    picture=_three_curves,
    answer=Choice(tuple(_of_three(letter) for letter in "abc"), right=_steepest, in_order=True),
    hints=("How high a line stands, and how fast it climbs, are two questions.",
           "Read each line at two marks of the axis, and take the difference."),
    solution=lambda f: "\n".join(
        f"Sensor {letter.upper()}: {n(10 * slope)} mV more from 10 °C to 20 °C, {n(slope)} mV for each degree"
        for letter, (_, slope) in _named(f)
    ),
)


# Pages of the invented catalogue

HEADS = ("", "lowest", "typical", "highest", "unit", "conditions")
AIR, BOARD, BEAD, WIRE = (specification(name) for name in ("air-sensor", "board", "thermistor", "platinum"))


def _lines_of(spec, rows):
    """What stands in large type on a page, and some of its lines."""
    large = "; ".join(f"{figure} {what}" for figure, what in spec.headline)
    return f"In large type: {large}", *listed(HEADS, tuple(row.cells() for row in rows))


GRADE_KEYS = {"P": "accuracy_c", "Q": "accuracy_q_c", "R": "accuracy_r_c"}


def _accuracy(f, column="high"):
    return AIR.figure(GRADE_KEYS[f.grade], column)


safe_reading = Problem(
    "01-safe-reading", 1, "A reading that is surely warm enough",
    "Take the right figure from a page, and the right side of it.",
    asks="A bench has the air sensor of the catalogue in grade {grade}; part of its page stands below. The seedlings"
         " need {t_c} °C at least. Suppose that only the sensor is in error. Which is the lowest reading at which the"
         " air is surely no colder?",
    figures=(Draw("t_c", (18, 16, 19, 20.5, 21.2)), Draw("grade", ("Q", "R", "P"))),
    listing=lambda f: _lines_of(AIR, [AIR.row(key) for key in GRADE_KEYS.values()]),
    answer=Number(
        lambda f: f.t_c + _accuracy(f), "temperature", "°C", 0.05, "The page gives its limits to a tenth of a degree.",
        wrong=(
            Wrong("typical", lambda f: f.t_c + _accuracy(f, "typical"),
                  "The typical figure was taken. One sensor in three is worse than that."),
            Wrong("as-it-reads", lambda f: f.t_c,
                  "A sensor that reads too high would show this in colder air. How far too high may it read?"),
            Wrong("other-side", lambda f: f.t_c - _accuracy(f),
                  "At this reading the air may be too cold by twice the limits. Which way must the reading keep off?"),
            Wrong("large-type", lambda f: f.t_c + 0.6,
                  "The figure in large type was taken. Which grade is it for, and is it a limit?"),
        )),
    hints=("Find the line of the grade. Which of its two figures does every sensor keep?",
           "The worst case is a sensor that reads too high by all that it may."),
    solution=lambda f: (
        f"The limit of grade {f.grade} is ±{n(_accuracy(f))} °C. A sensor may read {n(_accuracy(f))} °C too high:\n"
        f"{n(f.t_c)} °C + {n(_accuracy(f))} °C = {n(f.t_c + _accuracy(f))} °C"
    ),
)

PLACES = (  # part, key of its page, where it hangs
    ("air sensor", "tau_moving_s", "where a fan moves the air at 2 m/s"), ("air sensor", "tau_s", "in still air"),
    ("air sensor", "tau_box_s", "in a louvred box, in still air"), ("thermistor", "tau_s", "in still air"),
    ("thermistor", "tau_moving_s", "where a fan moves the air at 2 m/s"),
)


def _slow_rows(f):
    spec = AIR if f.part == "air sensor" else BEAD
    return spec, [row for row in spec.values if row.key.startswith("tau")]


def _slow(f, column="high"):
    return _slow_rows(f)[0].figure(f.key, column)


def _elsewhere(f, further):
    """The limit that stands so many lines further on, the first after the last."""
    rows = _slow_rows(f)[1]
    return rows[([row.key for row in rows].index(f.key) + further) % len(rows)].base("high")


slow_place = Problem(
    "01-slow-place", 1, "A figure with a condition",
    "Choose the line of a page whose conditions are those of the bench.",
    asks="The *time constant* says how slowly a sensor follows the air. Three time constants after a sudden change it"
         " has done 95 % of it. Below is what the page of the {part} has on it. The sensor will hang {place}. After"
         " how many seconds has every such sensor done 95 %?",
    figures=(Draw("part key place", PLACES),),
    listing=lambda f: _lines_of(*_slow_rows(f)),
    answer=Number(
        lambda f: 3 * _slow(f), "time", "s", 0.5, "The page gives whole seconds.",
        wrong=(
            Wrong("typical", lambda f: 3 * _slow(f, "typical"),
                  "That is from the typical value. Some sensors are slower; which figure do all of them keep?"),
            Wrong("one-only", lambda f: _slow(f), "That is one time constant. The question asks for 95 %."),
            Wrong("other-place", lambda f: 3 * _elsewhere(f, 1), "That holds in another place. Read the conditions."),
            Wrong("third-place", lambda f: 3 * _elsewhere(f, 2), "That holds in another place. Read the conditions."),
        )),
    hints=("First find the line by its conditions, at its right end. Then choose the column.",
           "“Every such sensor” asks for a limit."),
    solution=lambda f: (
        f"For a sensor {f.place} the page has {n(_slow(f, 'typical'))} s typical, {n(_slow(f))} s at most.\n"
        f"3 × {n(_slow(f))} s = {n(3 * _slow(f))} s"
    ),
)

CLASSES = {"B": (0.3, 0.005), "A": (0.15, 0.002)}  # of IEC 60751: at 0 degC, and more for each degree away from it


def _class_limit_c(f, letter=None, distance=abs):
    at_zero, more = CLASSES[letter or f.letter]
    return at_zero + more * distance(f.t_c)


small_type = Problem(
    "01-small-type", 1, "A limit that grows",
    "Find the rule that a page has in its small type.",
    asks="Below is what the page of a platinum sensor has on its accuracy, and a note in small type. A sensor of class"
         " {letter} stands in a bath of {t_c} °C. By how much may it be off there?",
    figures=(Draw("t_c", (60, 40, -20, 75, 90)), Draw("letter", ("B", "A"))),
    listing=lambda f: (
        *_lines_of(WIRE, [WIRE.row(key) for key in ("tolerance_b_c", "tolerance_a_c")]),
        "In small type: Class B: ±(0.3 + 0.005 |t|) °C. Class A: ±(0.15 + 0.002 |t|) °C. t in °C.",
    ),
    answer=Number(
        lambda f: PlatinumSensor(100.0, f.letter).tolerance_c(float(f.t_c)), "temperature span", "°C", 0.005,
        "The rule has hundredths of a degree.",
        wrong=(
            Wrong("at-zero", lambda f: CLASSES[f.letter][0],
                  "That is the limit at 0 °C, as its conditions say. How does it go on away from there?"),
            Wrong("growth-alone", lambda f: _class_limit_c(f) - CLASSES[f.letter][0],
                  "That is only what is added for the distance from 0 °C."),
            Wrong("other-class", lambda f: _class_limit_c(f, "AB"[f.letter == "A"]), "That is the other class."),
            Wrong("sign-kept", lambda f: _class_limit_c(f, distance=float) if f.t_c < 0 else None,
                  "Below 0 °C the limit grows, too: the strokes around t take its sign away."),
        )),
    hints=("Which conditions stand at the end of the row? The note tells the rest.",
           "First the distance from 0 °C, times what is added for each degree. Then the limit at 0 °C."),
    solution=lambda f: (
        f"{n(CLASSES[f.letter][0])} °C + {n(CLASSES[f.letter][1])} × {n(abs(f.t_c))} °C = {n(_class_limit_c(f))} °C"
    ),
)

_PIN_SAID = {"meant": "are inside the range.", "survives": "lie between: do not build it.", "fails": "are beyond both."}
PIN_ABSOLUTE = next(row for row in BOARD.absolute if row.name == "current of a pin")
PIN_MEANT = BOARD.row("pin_a")


def _pin(f):
    if f.drawn_ma <= PIN_MEANT.high:
        return "meant"
    return "survives" if f.drawn_ma <= PIN_ABSOLUTE.high else "fails"


def _pin_option(key, text, why):
    return Option(key, text, lambda f: why if key == _pin(f) else "Compare with both lines, and mind what each is for.")


pin_current = Problem(
    "01-pin-current", 1, "A lamp on a pin",
    "Tell an absolute limit from the operating range.",
    asks="The page of the bench's board has these two lines about one pin; the first stands under *absolute limits*,"
         " the second under *operating range*. A lamp is to draw {drawn_ma} mA from a pin. What does the page say to"
         " that?",
    figures=(Draw("drawn_ma", (20, 12, 24, 9, 33, 18, 14, 40, 26)),),
    listing=lambda f: _lines_of(BOARD, (PIN_ABSOLUTE, PIN_MEANT)),
    answer=Choice(
        options=(
            _pin_option("meant", "The pin is meant for it", "It lies inside the operating range: the page holds."),
            _pin_option("survives", "The pin may stand it, no more",
                        "Between the two lines nothing is promised: neither the voltage of the pin nor a long life."),
            _pin_option("fails", "The board may fail at once", "It lies beyond the absolute limit."),
        ),
        right=_pin,
    ),
    hints=("An absolute limit says what a part survives, the operating range what it is built for.",
           "The figure in large type is one of the two. Which?"),
    solution=lambda f: (
        f"Operating range: ±{n(PIN_MEANT.high)} mA. Absolute limit: ±{n(PIN_ABSOLUTE.high)} mA. So {n(f.drawn_ma)} mA"
        f" {_PIN_SAID[_pin(f)]}"
    ),
)

OFFERS = {  # invented: typical and limit [degC], the range they hold over [degC], lowest supply [V]
    "a": (0.3, 1.0, -10, 60, 3.0), "b": (0.2, 1.6, -25, 110, 2.6), "c": (0.4, 0.8, 25, 25, 2.8),
    "d": (0.1, 0.4, -25, 110, 3.0), "e": (0.5, 1.2, -20, 90, 4.4),
}


def _price_of(f, key):
    return getattr(f, f"price_{key}")


def _lacks(f, key):
    """What an offer lacks, in a sentence without its figures; "" where it has all that is wanted."""
    _, limit_c, low_c, high_c, supply_v = OFFERS[key]
    if low_c > f.low_c or high_c < f.high_c:
        return "Its limit does not hold at all the temperatures that are wanted. Look at its conditions."
    if limit_c > f.limit_c:
        return "Its limit is wider than wanted. Its typical value promises nothing."
    return "" if supply_v <= f.supply_v else "It needs a higher supply than there is."


def _meets(f):
    return [key for key in OFFERS if not _lacks(f, key)]


cheapest_page = Problem(
    "01-cheapest-page", 1, "Five pages, one sensor",
    "Choose the cheapest part by its limits and their conditions.",
    asks="Wanted: a sensor that is surely right within ±{limit_c} °C from {low_c} °C to {high_c} °C, on a supply of"
         " {supply_v} V. From five pages (invented) somebody copied one line each. Which is the cheapest that will do?",
    figures=(
        Draw("limit_c low_c high_c supply_v", ((1, 10, 40, 3.3), (1.3, 5, 50, 5), (1.2, 0, 45, 4.8), (1, -5, 55, 3))),
        Draw("price_a price_b price_c price_d price_e", (
            (2.1, 1.2, 0.9, 4.6, 1.7), (1.9, 2.4, 1.1, 3.8, 0.8), (3.2, 1.5, 0.7, 2.8, 3.1), (2.6, 0.9, 1.4, 3.4, 2.2),
        )),
    ),
    sensible=lambda f: len(_meets(f)) >= 2,
    listing=lambda f: listed(
        ("sensor", "typical", "limit", "limit holds", "supply from", "price"),
        tuple(
            (key.upper(), f"±{n(typical)} °C", f"±{n(limit)} °C",
             f"at {n(low)} °C" if low == high else f"{n(low)} to {n(high)} °C", f"{n(supply)} V", n(_price_of(f, key)))
            for key, (typical, limit, low, high, supply) in OFFERS.items()
        ),
    ),
    answer=cheapest(tuple((key, f"Sensor {key.upper()}") for key in OFFERS), _price_of, _lacks),
    hints=("“Surely” asks for the column of limits.",
           "A limit that holds at one temperature says nothing of the others."),
    solution=lambda f: (
        f"These have all that is wanted: {', '.join(key.upper() for key in _meets(f))}. The cheapest of them is"
        f" {min(_meets(f), key=lambda key: _price_of(f, key)).upper()}."
    ),
)


# Two results

side_by_side = Problem(
    "01-side-by-side", 1, "Two sensors in the same air",
    "Find what two readings with their limits leave open.",
    asks="Two sensors hang side by side, each right within ±{limit_c} °C. One reads {low_c} °C, the other {high_c}"
         " °C, and both keep their limits. What is the coldest that the air can be?",
    figures=(
        Draw("low_c high_c", ((23.7, 25.4), (18.2, 19.6), (26.1, 26.9), (21.3, 22.2))), Draw("limit_c", (1.5, 1, 2)),
    ),
    sensible=lambda f: f.high_c - f.low_c <= 2 * f.limit_c,
    answer=Number(
        lambda f: f.high_c - f.limit_c, "temperature", "°C", 0.05, "The readings have tenths of a degree.",
        wrong=(
            Wrong("lower-alone", lambda f: f.low_c - f.limit_c,
                  "The lower reading allows that. Does the higher one allow it, too?"),
            Wrong("mean", lambda f: (f.low_c + f.high_c) / 2,
                  "That is the middle. How far from it may the air be without breaking a promise?"),
            Wrong("warmest", lambda f: f.low_c + f.limit_c, "That is the other end: the warmest that it can be."),
            Wrong("mean-less-limit", lambda f: (f.low_c + f.high_c) / 2 - f.limit_c,
                  "The mean of two readings has no limits of its own. Look at each sensor by itself."),
        )),
    hints=("Each reading gives an interval of temperatures. The air lies in both.",
           "Which of the two intervals begins later?"),
    solution=lambda f: (
        f"{n(f.low_c)} °C allows {n(f.low_c - f.limit_c)} °C to {n(f.low_c + f.limit_c)} °C.\n"
        f"{n(f.high_c)} °C allows {n(f.high_c - f.limit_c)} °C to {n(f.high_c + f.limit_c)} °C.\n"
        f"The air lies in both. Its coldest: {n(f.high_c)} °C − {n(f.limit_c)} °C = {n(f.high_c - f.limit_c)} °C"
    ),
)


# A walk back with one wrong step


def _walk(f):
    """From a meter to the air in five lines; each goes on from what the line above says, right or wrong."""
    slip = f.slip
    sign, way = "+" if slip == 1 else "−", "×" if slip == 2 else "÷"
    above = f.v_mv + 600 if slip == 1 else f.v_mv - 600
    on_line = above * 8 if slip == 2 else above / 8
    limit, column = (0.6, "typical") if slip == 3 else (1.5, "highest")
    coldest = on_line - 2 * limit if slip == 4 else on_line - limit
    warmest = on_line + limit / 2 if slip == 5 else on_line + limit
    twice, half = "2 × " if slip == 4 else "", " ÷ 2" if slip == 5 else ""
    return (
        f"Step 1. Above 0 °C: {n(f.v_mv)} mV {sign} 600 mV = {n(above)} mV",
        f"Step 2. On the line: {n(above)} mV {way} 8 mV/°C = {n(on_line)} °C",
        f"Step 3. The sensor keeps within, from the column “{column}”: {n(limit)} °C",
        f"Step 4. Coldest that the air can be: {n(on_line)} °C − {twice}{n(limit)} °C = {n(coldest)} °C",
        f"Step 5. Warmest that the air can be: {n(on_line)} °C + {n(limit)} °C{half} = {n(warmest)} °C",
    )


wrong_walk = Problem(
    "01-wrong-walk", 1, "One step is wrong",
    "Find the wrong step between a meter and the air.",
    asks="A meter on the bench's air sensor (600 mV at 0 °C, 8 mV for each degree, accuracy ±0.6 °C typical, ±1.5 °C"
         " highest) shows {v_mv} mV. Somebody worked out between which temperatures the air lies. One step is wrong,"
         " and the others go on from it soundly. Which one?",
    figures=(Draw("slip", (3, 5, 1, 4, 2)), Draw("v_mv", (772, 756, 828, 788))),
    listing=_walk,
    answer=wrong_step(
        lambda f: f.slip,
        (
            ("Undo the line: the output at 0 °C has to be taken away.", "The output at 0 °C was taken away. Sound."),
            ("So many millivolts make one degree: divide by the slope.", "The rise was divided by the slope. Sound."),
            ("Typical is what many parts keep to. All parts keep the limit.", "It is the limit. Sound."),
            ("The limits stand with ±: they count once to each side.", "The limit was taken away once. Sound."),
            ("Half of the limit was added. It counts in full to each side.", "The limit was added once. Sound."),
        ),
    ),
    hints=("Check each line by itself: does it do what its words say?",
           "A strange number may come from the line above. Ask of each line only what it does with it."),
    solution=lambda f: f"Step {f.slip} is wrong: {_WALK_SAID[f.slip - 1]}",
)

_WALK_SAID = (
    "take the 600 mV away.", "divide by the slope.", "take the limit, not the typical value.",
    "take the limit away once.", "add the whole limit.",
)


PROBLEMS = (
    temperature_from_volts, safe_reading, steepest, slope_from_points, limits_stay, side_by_side,
    warmest_true, pin_current, slow_place, small_type, wrong_walk, cheapest_page, supply_window, read_the_curve,
    volts_from_temperature, accuracy_in_mv, range_in_volts,
)  # fmt: skip


# Lines to complete: the bench's air sensor, and its page

_BENCH = scenario().sensor
GRADE_P = AIR.row("accuracy_c")

type_volts = Line(
    "01-type-volts",
    "Walk along the sensor's line.",
    "The air is at 27 °C, the buzzer's limit. The sensor's line starts at 600 mV and rises by 8 mV for each degree. How"
    " many mV does it give?",
    Number(
        lambda f: 1000 * _BENCH.volts(27.0), "voltage", "mV", 0.5, "Half a millivolt is a sixteenth of a degree.",
        wrong=(
            Wrong("forgot-offset", lambda f: 8 * 27, FORGOT),
            Wrong("offset-at-25", lambda f: 600 + 8 * 2, "The 600 mV belong to 0 °C, not to 25 °C."),
            Wrong("offset-per-degree", lambda f: 608 * 27, "Only the 8 mV come once for each degree."),
        )),
    rail=("output", 0, 1000),
    then="Below this voltage the buzzer is silent.",
)

type_back = Line(
    "01-type-back",
    "Walk the line backwards.",
    "A meter on the sensor's output shows 744 mV. The sensor gives 600 mV at 0 °C and 8 mV more for each degree. Which"
    " temperature is that, in °C?",
    Number(
        lambda f: _BENCH.celsius(0.744), "temperature", "°C", 0.1, "A tenth of a degree is finer than the limits.",
        wrong=(
            Wrong("forgot-offset", lambda f: 744 / 8, "The 600 mV that stand there at 0 °C have not been taken away."),
            Wrong("offset-added", lambda f: (744 + 600) / 8, "Undo the line: the 600 mV go away, first."),
            Wrong("offset-at-25", lambda f: 25 + 144 / 8, "The 600 mV belong to 0 °C, not to 25 °C."),
        )),
    rail=("air", -25, 110),
    then="In air colder than that the lamp lights.",
)

why_offset = Line(
    "01-why-offset",
    "Say why a sensor's line starts above 0 V.",
    "Why does the maker let the line start at 600 mV, and not at 0 V?",
    Choice(
        options=(
            Option("frost", "so that it can tell frost",
                   "On one supply no output goes below 0 V. From 600 mV there is room for 25 degrees of frost and"
                   " more."),
            Option("noise", "so that noise is smaller",
                   "A fixed voltage more does nothing to what trembles on top of it."),
            Option("slope", "so that it is steeper",
                   "The slope is the same, wherever the line starts."),
        ),
        right="frost",
    ),
)

bet = Line(
    "01-bet",
    "Choose the figure of a page that one may bet on.",
    "How far, in °C, may one sensor of grade P be off and still be as the page says? Give it without the sign.",
    Number(
        lambda f: GRADE_P.base("high"), "temperature span", "°C", 0.05, "The page gives tenths of a degree.", wrong=(
            Wrong("typical", lambda f: GRADE_P.base("typical"),
                  "That is typical: about one sensor in three is worse. Which figure do all of them keep?"),
            Wrong("other-grade", lambda f: AIR.figure("accuracy_q_c", "high"), "That is the limit of another grade."),
            Wrong("grade-r", lambda f: AIR.figure("accuracy_r_c", "high"), "That is the limit of another grade."),
            Wrong("on-that-day", lambda f: 1.2, "So far was one sensor off on one day. What does the page allow?"),
            Wrong("both-sides", lambda f: 2 * GRADE_P.base("high"), "It counts to each side, once."),
        )),
    rail=("limits", 0, 4),
    then="This is the figure that a budget needs.",
)

supply_six = Line(
    "01-supply-six",
    "Tell the operating range from what a part survives.",
    "Somebody feeds the sensor with 6.0 V. What does the page say to that?",
    Choice(
        options=(
            Option("keeps", "it keeps its limits", "Look at the operating range: where does it end?"),
            Option("survives", "it survives, no more",
                   "6.0 V is beyond the operating range, and short of the absolute limit. No figure of the page"
                   " holds."),
            Option("breaks", "it breaks at once", "Look at the absolute limits: where do they end?"),
        ),
        right="survives",
    ),
)

sketch_band = sketch(
    "01-sketch-band",
    "Draw what limits in degrees are in millivolts.",
    "A sensor of grade P reads too high by all that its page allows, at every temperature. One degree is 8 mV. How"
    " many mV does its output lie above the line at 0, 25, 50 and 100 °C?",
    "mV", 2.0, "As good as the eye.",
    Sketch(
        (0, 25, 50, 100), lambda at: 1000 * (_BENCH.line(at + 1.5) - _BENCH.line(at)), ("air", "°C", 0, 100),
        ("above", 0, 50),
    ),
    wrong=(
        Wrong("from-nothing", lambda f, at: 0.48 * at, "At 0 °C this sensor reads too high by just as many degrees."),
        Wrong("with-the-output", lambda f, at: 0.015 * (600 + 8 * at),
              "That is a fixed part of the output. The limits are a fixed number of degrees."),
        Wrong("whole-output", lambda f, at: 612 + 8 * at, "That is the whole output. How far above the line is it?"),
        Wrong("degrees", lambda f, at: 1.5 + 0 * at, "These are not millivolts. How many of them is one degree worth?"),
        Wrong("both-sides", lambda f, at: 24 + 0 * at, "That is from edge to edge. How far is one edge from the line?"),
        Wrong("lower-edge", lambda f, at: -12 + 0 * at, "That is the lower edge. This sensor reads too high."),
    ),
    quantity="voltage",
    then="Only the slope turns degrees into millivolts; the offset plays no part.",
)

hundred = Line(
    "01-hundred",
    "Say what averaging does to the limits.",
    "You take the mean of 100 readings of one sensor in still air. What gets narrower?",
    Choice(
        options=(
            Option("noise", "the trembling alone",
                   "What differs from reading to reading shrinks. The sensor's own error is in every one of them"
                   " alike."),
            Option("limits", "the limits alone", "The sensor's own error is the same in all 100 readings."),
            Option("both", "both of them alike", "Is the sensor's own error another one in each reading?"),
        ),
        right="noise",
    ),
)

agree_thermometer = Line(
    "01-agree-thermometer",
    "Compare two results by their limits, and act.",
    "The sensor says 25.0 °C, and its limit is on the page. The good thermometer says 26.2 °C ± 0.2 °C. Do they agree,"
    " and what do you do?",
    Choice(
        options=(
            Option("keep", "agree, keep the sensor",
                   "1.2 °C apart, 1.7 °C allowed. Nothing is broken; the thermometer knows the air better."),
            Option("mean", "agree, take the mean", "They agree, but a mean drags the better one towards the worse."),
            Option("return", "disagree, return it", "They are 1.2 °C apart. Add up how far both may be off."),
        ),
        right="keep",
    ),
)

agree_pair = Line(
    "01-agree-pair",
    "Compare two sensors of one kind, and act.",
    "Two sensors of grade P hang side by side. They read 24.1 °C and 26.4 °C. Do they agree, and what do you do?",
    Choice(
        options=(
            Option("bath", "agree, test in one bath",
                   "2.3 °C apart, 3.0 °C allowed: no proof against either. One bath for both tells which is off, and"
                   " how far."),
            Option("cooler", "agree, trust the lower one", "They agree, but nothing favours the lower reading."),
            Option("return", "disagree, return both", "They are 2.3 °C apart. Add up how far both may be off."),
        ),
        right="bath",
    ),
)

half_slope = Line(
    "01-half-slope",
    "Find a slope from two points.",
    "A sensor gives 530 mV at 10 °C and 1610 mV at 70 °C. What is its slope, in mV/°C?",
    Number(
        lambda f: 1000 * _STEEP.volts_per_c(40.0), "sensor slope", "mV/°C", 0.05, "Room for rounding.",
        wrong=(
            Wrong("through-origin", lambda f: 1610 / 70, "One point over itself: that needs a line from 0 mV at 0 °C."),
            Wrong("ends-added", lambda f: 1080 / 80, "The temperatures were added. How far apart are they?"),
            Wrong("upside-down", lambda f: 60 / 1080, "This is degrees for each millivolt."),
        )),
    rail=("slope", 0, 30),
)

half_start = Line(
    "01-half-start",
    "Find where a line starts.",
    "The same sensor gives 530 mV at 10 °C, and its slope is the one that you found. What does it give at 0 °C, in mV?",
    Number(
        lambda f: 1000 * _STEEP.volts(0.0), "voltage", "mV", 1.0, "A millivolt leaves room for a rounded slope.",
        wrong=(
            Wrong("one-degree", lambda f: 530 - 18, "That is one degree down. How many are there to 0 °C?"),
            Wrong("first-point", lambda f: 530, "That is at 10 °C. How far is it from there to 0 °C?"),
            Wrong("wrong-direction", lambda f: 530 + 180, "0 °C is colder than 10 °C: does the output rise or fall?"),
            Wrong("points-mixed", lambda f: 530 - 18 * 70, "Start at 10 °C: the way to 0 °C is ten degrees."),
        )),
    rail=("at 0 °C", 0, 1000),
    then="Check it with the point that was not used: 350 mV + 70 × 18 mV is 1610 mV.",
)

_STEEP = LinearSensor(at_0c_v=0.350, slope_v_per_c=0.018, range_c=(-20.0, 110.0))

LINES = (
    bet, supply_six, type_volts, type_back, why_offset, sketch_band, hundred, agree_thermometer, agree_pair, half_slope,
    half_start,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "01-sent-back",
        "The page says ±0.6 °C in large type. The sensor says 25.0 °C, a good thermometer beside it 26.2 °C. The maker"
        " writes: this part keeps its specification. Who is right?",
        "Now read the page below. Look for every figure that it has on the accuracy of grade P.",
        "The large figure is a typical one. The limit, which every part keeps, stands in the table, further to the"
        " right. It is wider than 1.2 °C, and so this sensor keeps it.",
        options=(
            Idea("The maker: 1.2 °C off is allowed", right=True),
            Idea("The school: 0.6 °C is the most",
                 refuted="Typical is what the maker saw on many parts: about one in three is worse, and none of them is"
                         " faulty.",
                 source="ours"),
            Idea("Neither: a mean would settle it",
                 refuted="The sensor's own error is the same in each of a hundred readings, and so it is in their"
                         " mean.",
                 source="ours"),
        ),
        looks=("A second figure, wider than 0.6 °C", "A second figure, finer than 0.6 °C", "No other figure than 0.6"
                                                                                           " °C"),
    ),
    Prediction(
        "01-twice-as-warm",
        "At 25 °C the sensor gives 0.800 V. The air gets warmer, from 25 °C to 50 °C. What does the sensor give then?",
        "Now set the temperature to 50 °C in the picture below, and look at the output.",
        "Every degree brings the same 8 mV: 25 degrees more are 0.200 V more. The 0.600 V at 0 °C are there already,"
        " and they do not double.",
        number=Amount(
            lambda: _BENCH.volts(50.0), "V", 3, near=0.02,
            wrong=(
                Wrong("doubled", lambda: 1.6, "The output was doubled with the degrees. A line from 0 V does so."),
                Wrong("offset-added", lambda: 1.4, "The output at 0 °C was added. It is in the 0.800 V already."),
        )),
        explorer="spec_line", settings={"t_c": 50.0}, saw=lambda at: at.volts,
    ),
)
