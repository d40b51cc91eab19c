"""Practice for chapter 09, second part: the fitted line, its scatter and its doubt; spans; what wanders."""

from math import sqrt

from tempkit.budget import Input, propagate
from tempkit.calibration import fit_line
from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.scales import celsius_span_to_fahrenheit

BATHS_C = (0.0, 20.0, 40.0, 60.0)


def _residuals(f):
    return f.first_c, f.second_c, f.third_c, f.fourth_c


def _squares(f):
    return sum(residual**2 for residual in _residuals(f))


scatter = Problem(
    "09-scatter", 2, "How far the points scatter about their line",
    "Work out the residual standard deviation with the right count.",
    text="A line was fitted to the corrections at four baths, 0 °C, 20 °C, 40 °C and 60 °C. The residuals are"
         " {first_c} °C, {second_c} °C, {third_c} °C and {fourth_c} °C. What is the residual standard"
         " deviation?",
    figures=(
        Draw(
            "first_c second_c third_c fourth_c",
            ((0.03, -0.09, 0.09, -0.03), (0.06, -0.1, 0.02, 0.02), (-0.05, 0.05, 0.05, -0.05),
             (0.02, -0.14, 0.22, -0.1), (0.1, -0.18, 0.06, 0.02)),
        ),
    ),
    answer=Number(
        lambda f: fit_line(BATHS_C, _residuals(f)).s,
        "temperature span", "°C", 0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=2, wrong=(
            Wrong("divided-by-n", lambda f: sqrt(_squares(f) / 4),
                  "The squares were divided by the number of points. The line has already used some of"
                  " them up."),
            Wrong("n-minus-one", lambda f: sqrt(_squares(f) / 3),
                  "One degree of freedom was taken off, as for a mean. How many numbers make a line?"),
            Wrong("no-root", lambda f: _squares(f) / 2,
                  "This is the variance. The standard deviation is its root."),
            Wrong("mean-size", lambda f: sum(map(abs, _residuals(f))) / 4,
                  "This is the mean size of the residuals. The standard deviation goes by squares."),
    )),
    hints=("Square the residuals and add them up.",
           "Divide by the number of points less the number of things that were fitted."),
    solution=lambda f: (
        f"Sum of squares: {n(_squares(f))} °C²\nDegrees of freedom: 4 − 2 = 2\n"
        f"s = √({n(_squares(f))} ÷ 2) = {n(sqrt(_squares(f) / 2), 4)} °C"
    ),
)


def _apart(f):
    return f.t_c - 20


def _line_u(f, r=None, apart=None):
    away = (_apart(f) if apart is None else apart) * f.u_slope
    square = f.u_level_c**2 + away**2 + 2 * (f.r if r is None else r) * f.u_level_c * away
    return sqrt(square)


def _line(f):
    inputs = Input(0.0, standard=f.u_level_c), Input(0.0, standard=f.u_slope)
    return propagate(lambda level, slope: level + slope * _apart(f), inputs, [[1.0, f.r], [f.r, 1.0]])


covariance = Problem(
    "09-covariance", 1, "The doubt of a line away from its points",
    "Carry level, slope and their correlation into the uncertainty of a line.",
    text="A fitted line gives the correction as level + slope × (t − 20 °C). The level at 20 °C has the"
         " standard"
         " uncertainty {u_level_c} °C, the slope {u_slope} °C per °C, and their correlation coefficient is"
         " {r}."
         " What is the standard uncertainty of the correction at {t_c} °C?",
    figures=(
        Draw("u_level_c u_slope r", ((0.0029, 0.00067, -0.93), (0.05, 0.004, -0.9), (0.08, 0.006, -0.85))),
        Draw("t_c", (30, 35, 38)),
    ),
    answer=Number(
        lambda f: _line(f).standard,
        "temperature span", "°C", lambda f: 0.03 * _line_u(f),
        "Two digits are asked for: three parts in a hundred are room for their rounding.",
        digits=2, wrong=(
            Wrong("covariance-ignored", lambda f: _line_u(f, r=0.0),
                  "Level and slope were taken for independent. They come from the same points: use r."),
            Wrong("sign-of-r", lambda f: _line_u(f, r=-f.r),
                  "The correlation went in with the wrong sign. A level too high goes with a slope too low."),
            Wrong("from-zero", lambda f: _line_u(f, apart=f.t_c),
                  "The slope was counted from 0 °C. From where does this line count?"),
            Wrong("level-only", lambda f: f.u_level_c,
                  "The slope's doubt is missing. It grows with the distance from 20 °C."),
    )),
    hints=("Three terms: level squared, (distance × slope) squared, and twice their product times r.",
           "Mind the sign of r, then take the root."),
    solution=lambda f: (
        f"Distance: {n(f.t_c)} − 20 = {n(_apart(f))} °C; slope's part: {n(_apart(f) * f.u_slope, 4)} °C\n"
        f"u² = {n(f.u_level_c)}² + {n(_apart(f) * f.u_slope, 4)}²"
        f" + 2 × ({n(f.r)}) × {n(f.u_level_c)} × {n(_apart(f) * f.u_slope, 4)}\n"
        f"u = {n(_line_u(f), 2)} °C"
    ),
)

span_in_fahrenheit = Problem(
    "09-span-in-fahrenheit", 2, "A correction for a display in °F",
    "Tell a span of temperature from a temperature.",
    text="The line gives a correction of {correction_c} °C. The display of the bench shows °F. How many °F"
         " must be"
         " added to its reading?",
    figures=(Draw("correction_c", (-0.7, 1.2, -1.5, 0.9, 2.1)),),
    answer=Number(
        lambda f: celsius_span_to_fahrenheit(f.correction_c),
        "temperature span", "°F", 0.05,
        "The product is exact; half a tenth leaves room for rounding to a tenth.",
        own_unit=True, wrong=(
            Wrong("as-temperature", lambda f: 1.8 * f.correction_c + 32,
                  "32 was added, as for a temperature. A correction is a span: where does it start?"),
            Wrong("unchanged", lambda f: f.correction_c,
                  "The number was kept. A degree Fahrenheit is smaller than a degree Celsius."),
            Wrong("divided", lambda f: f.correction_c / 1.8,
                  "The span was divided by 1.8. Which of the two degrees is the smaller?"),
            Wrong("sign", lambda f: -1.8 * f.correction_c, "The sign is turned. A correction is added as"
                                                           " it is."),
    )),
    hints=("100 °C of span are 180 °F of span.", "No 32 here: that belongs to temperatures."),
    solution=lambda f: f"{n(f.correction_c)} °C × 1.8 °F/°C = {n(1.8 * f.correction_c, 4)} °F",
)

wanders = Problem(
    "09-what-wanders", 2, "What an afternoon with ice can mend",
    "Tell what calibration takes out from what it does not.",
    text="On one afternoon a bench is calibrated at two points, 0 °C and {warm_c} °C, against a better thermometer, and"
         " the correction goes into the program. Its reference is the supply. Which of these does that take out for"
         " good? Choose all.",
    figures=(Draw("warm_c", (40, 45, 50, 38)),),
    answer=Choice(
        options=(
            Option("offset", "A sensor that reads 1.2 °C too warm everywhere",
                   "It is the same every day: the first point sees it."),
            Option("supply", "A supply of 4.9 V today and 5.05 V later",
                   "Today's is taken out. What of the later one?"),
            Option("slope", "A sensor with a slope that is 1 % too steep",
                   "It is the same every day: two points see a slope."),
            Option("noise", "Readings that scatter by 0.3 °C about their mean",
                   "Each reading is off by something else. Which correction would suit them all?"),
            Option("drift", "A sensor that drifts by 0.1 °C a year from now on",
                   "Nobody can correct on that afternoon what comes later: calibrate again, and look."),
        ),
        right=("offset", "slope"),
        several=True,
    ),
    hints=("Of each: will it be the same next week, at the same temperature?",
           "A correction is a fixed rule. It takes out what is fixed."),
    solution=lambda f: "The offset and the slope: they stand still. A supply that wanders is mended by a fixed"
                       " reference, before calibrating; noise by averaging; drift by calibrating again.",
)

LINE = (scatter, covariance, span_in_fahrenheit, wanders)
