"""Practice for chapter 01, second part: supply window, accuracy limits, and what these are not."""

from tempkit.homework.parts import SENSOR_TEXT, SENSORS, inside, sensor
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n

FORGOT = "The output at 0 °C has been left out. Which voltage does the line start from?"


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
    "01-supply-window", 1, "The supply window",
    "Decide whether a supply keeps a sensor inside its specification, fresh and empty.",
    text="A sensor's specification holds for supplies from {lowest_v} V to {highest_v} V. Which of these"
         " supplies lie in that window? The supply goes straight to the sensor. Tick all that do.",
    figures=(Draw("lowest_v", (2.7, 2.1, 3.0, 3.1)), Draw("highest_v", (5.5, 5.25, 6.0))),
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
    "01-accuracy-in-mv", 2, "Accuracy limits in millivolts",
    "Turn accuracy limits in degrees into the width of the band around the line.",
    text=SENSOR_TEXT + ". Its accuracy limits are ±{accuracy_c} °C. By how many millivolts may the output"
                       " lie above the line?",
    figures=(Draw("accuracy_c", (2, 0.5, 1, 1.5, 2.5, 3, 4)), SENSORS),
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
    "01-warmest-true", 1, "The warmest it can be",
    "Say in degrees what a meter reading allows when the sensor keeps its accuracy limits.",
    text=SENSOR_TEXT + ", with accuracy limits of ±{accuracy_c} °C. A meter shows {v_mv} mV. What is the"
                       " highest temperature that the air can have?",
    figures=(Draw("v_mv", (755, 668, 702, 721, 783, 804)), Draw("accuracy_c", (2, 0.8, 1, 1.5, 3)), SENSORS),
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
    "01-limits-stay", 1, "A hundred readings of one sensor",
    "Tell limits from noise, and a typical value from a promise.",
    text="A specification says of a sensor: typically within ±{typical_c} °C, at most ±{limit_c} °C. One such sensor"
         " hangs in air that keeps still. Its voltage trembles a little; the mean of 100 readings is {t_c} °C. What may"
         " be promised about the air?",
    figures=(Draw("t_c", (25, 22.5, 18, 27, 30.5)),
             Draw("typical_c limit_c", ((1, 2), (0.5, 1.5), (0.8, 2.5), (1.2, 3)))),
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
    hints=("An error that is the same in all readings is in their mean, too.",
           "Of the two figures of the specification, which one holds for each single sensor?"),
    solution=lambda f: (
        f"The mean takes the trembling away. The sensor may be off by up to {n(f.limit_c)} °C in all 100 readings"
        f" alike: the air is between {n(f.t_c - f.limit_c)} °C and {n(f.t_c + f.limit_c)} °C. Typical is not a promise."
    ),
)

LIMITS = (supply_window, accuracy_in_mv, warmest_true, limits_stay)
