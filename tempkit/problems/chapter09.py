"""Practice for chapter 09: calibration at points and by a fitted line, with what each is worth."""

from math import sqrt

from tempkit.exercises import Amount, Choice, Draw, Number, Option, Prediction, Problem, Wrong
from tempkit.exercises import plain as n
from tempkit.scales import celsius_span_to_fahrenheit
from tempkit.uncertainty import (
    Input,
    boiling_point_at_altitude,
    boiling_point_c,
    en_number,
    fit_line,
    one_point,
    propagate,
    two_points,
)

# Points

ice_bath = Problem(
    "09-ice-bath", 2, "An ice bath that is at 0 °C",
    "Choose the way of making an ice bath that can be trusted.",
    asks="Four students make an ice bath for the sensor of the bench. Whose bath can be trusted to be within"
         " ±0.1 °C of 0 °C?",
    figures=(),
    answer=Choice(
        options=(
            Option("cubes", "A few large cubes float in a glass of tap water; the sensor stands at the"
                            " bottom",
                   "The water at the bottom can be several degrees warm. Where does it touch ice?"),
            Option("freezer", "Dry cubes straight from the freezer, packed round the sensor",
                   "Ice without water is as cold as the freezer was. What has to be there for 0 °C?"),
            Option("slush", "Crushed ice packed in clean water, the sensor in a thin dry tube in the middle",
                   "Ice and water touch everywhere. Give the sensor time, until its reading stands still."),
            Option("salt", "Crushed ice and water with a spoon of salt, so that it stays cold longer",
                   "Salt lowers the temperature at which ice melts, by a degree or more."),
        ),
        right="slush",
    ),
    hints=("0 °C is where ice and water are both there, touching.",
           "No salt or sugar in the water, and no air gap that warms the sensor."),
    solution=lambda f: "Packed slush of clean water: ice and water touch everywhere. The tube keeps the"
                       " leads dry.",
)

PRESSURES = Draw("station_hpa report_hpa", ((965, 1005), (958, 1021), (972, 1012), (981, 1016), (990, 1025)))
BOILING_RULE = "Near 1000 hPa water boils at 99.61 °C, and 0.28 °C lower for each 10 hPa less"


def _boils_c(hpa):
    return 99.61 - 0.028 * (1000 - hpa)


boiling_point = Problem(
    "09-boiling-point", 1, "Where water boils today",
    "Find the boiling point from the pressure at the place.",
    asks="A barometer beside the pot shows {station_hpa} hPa. The weather report, which is reduced to sea"
         " level,"
         " says {report_hpa} hPa. " + BOILING_RULE + ". At which temperature does the water boil?",
    figures=(PRESSURES,),
    answer=Number(
        lambda f: boiling_point_c(100.0 * f.station_hpa),
        "temperature", "°C", 0.06,
        "The rule in the text is good to a few hundredths of a degree here.",
        wrong=(
            Wrong("hundred", lambda f: 100.0,
                  "100 °C is a name from the schoolbook. Where does water really boil at this pressure?"),
            Wrong("sea-level", lambda f: _boils_c(f.report_hpa),
                  "The report's pressure was used: that of a sea level which is not here."),
            Wrong("upwards", lambda f: 99.61 + 0.028 * (1000 - f.station_hpa),
                  "With less air above it, water boils more easily. Which way does the boiling point move?"),
            Wrong("per-hpa", lambda f: 99.61 - 0.28 * (1000 - f.station_hpa),
                  "0.28 °C was taken for each hectopascal. The rule counts them in tens."),
    )),
    hints=("Only the pressure at the pot counts, not the one reduced to sea level.",
           "How far is it below 1000 hPa, counted in steps of 10 hPa?"),
    solution=lambda f: (
        f"{n(1000 - f.station_hpa)} hPa below 1000 hPa: {n((1000 - f.station_hpa) / 10)} × 0.28 °C"
        f" = {n(0.028 * (1000 - f.station_hpa), 3)} °C\n"
        f"99.61 °C − {n(0.028 * (1000 - f.station_hpa), 3)} °C = {n(_boils_c(f.station_hpa), 4)} °C"
    ),
)

one_point_correction = Problem(
    "09-one-point", 2, "One point, and which way it goes",
    "Apply a one-point correction with its sign.",
    asks="In the ice bath, at 0.0 °C, the bench reads {ice_c} °C. Over the trays it now reads {t_c} °C."
         " What is"
         " the corrected reading after this one point?",
    figures=(Draw("ice_c", (0.7, -0.6, 1.2, -0.9, 1.6)), Draw("t_c", (25, 18.4, 21.6, 26.8))),
    answer=Number(
        lambda f: one_point(f.ice_c, 0.0).correct(f.t_c),
        "temperature", "°C", 0.05,
        "The readings are given to a tenth; half a tenth is room enough.",
        wrong=(
            Wrong("sign", lambda f: f.t_c + f.ice_c,
                  "The deviation was added. A bench that reads too high needs which sign?"),
            Wrong("none", lambda f: f.t_c, "This is the reading itself. What did the ice bath say about it?"),
            Wrong("correction-only", lambda f: -f.ice_c,
                  "This is the correction. It still has to be added to the reading."),
            Wrong("half", lambda f: f.t_c - f.ice_c / 2,
                  "Only half of the correction was used. One point shifts every reading by all of it."),
    )),
    hints=("Correction: true minus reading, at the point.", "Corrected: reading plus correction."),
    solution=lambda f: (
        f"Correction: 0 °C − {n(f.ice_c)} °C = {n(-f.ice_c)} °C\n"
        f"Corrected: {n(f.t_c)} °C + ({n(-f.ice_c)} °C) = {n(f.t_c - f.ice_c)} °C"
    ),
)


def _by_two_c(f):
    return f.warm_true_c * (f.t_c - f.ice_c) / (f.warm_reads_c - f.ice_c)


two_point_correction = Problem(
    "09-two-points", 2, "Two points and a reading between them",
    "Correct a reading with the line through two points.",
    asks="In the ice bath, at 0.0 °C, the bench reads {ice_c} °C. In warm water beside a better"
         " thermometer that"
         " shows {warm_true_c} °C it reads {warm_reads_c} °C. Now it reads {t_c} °C. What is the corrected"
         " reading?",
    figures=(
        Draw(
            "ice_c warm_true_c warm_reads_c",
            ((0.7, 40, 42.3), (-0.9, 45, 46.2), (0.6, 38, 35.4), (1.1, 50, 53.4)),
        ),
        Draw("t_c", (25, 21.5, 18.5, 27.4)),
    ),
    answer=Number(
        lambda f: two_points((f.ice_c, f.warm_reads_c), (0.0, f.warm_true_c)).correct(f.t_c),
        "temperature", "°C", 0.05,
        "Half of a tenth leaves room for rounding the slope to four digits.",
        wrong=(
            Wrong("one-point", lambda f: f.t_c - f.ice_c,
                  "Only the ice point was used. What does the second point say about the slope?"),
            Wrong("slope-only", lambda f: f.t_c * f.warm_true_c / f.warm_reads_c,
                  "Only the warm point was used, as if the line went through zero. The ice bath says"
                  " otherwise."),
            Wrong("inverse", lambda f: f.ice_c + f.t_c * (f.warm_reads_c - f.ice_c) / f.warm_true_c,
                  "The line was walked the wrong way: it turned a true temperature into a reading."),
            Wrong("mean", lambda f: f.t_c - (f.ice_c + f.warm_reads_c - f.warm_true_c) / 2,
                  "The mean of the two corrections belongs halfway between the points. Where is this"
                  " reading?"),
    )),
    hints=("How many true degrees lie between the points, and how many degrees of reading?",
           "Count the reading from the ice point, then stretch it."),
    solution=lambda f: (
        f"Slope: ({n(f.warm_true_c)} − 0) ÷ ({n(f.warm_reads_c)} − ({n(f.ice_c)}))"
        f" = {n(f.warm_true_c / (f.warm_reads_c - f.ice_c), 5)}\n"
        f"Corrected: ({n(f.t_c)} − ({n(f.ice_c)})) × {n(f.warm_true_c / (f.warm_reads_c - f.ice_c), 5)}"
        f" = {n(_by_two_c(f), 4)} °C"
    ),
)


def _parts(f):
    return f.thermometer_c / 2, f.bath_c / sqrt(3)


def _point(f):
    thermometer = Input(0.0, standard=f.thermometer_c / 2)
    return propagate(lambda a, b: a + b, (thermometer, Input(0.0, half_width=f.bath_c, shape="rectangular")))


point_uncertainty = Problem(
    "09-point-uncertainty", 2, "What a point is worth",
    "Combine a certificate and limits into the standard uncertainty of a calibration point.",
    asks="The better thermometer comes with a certificate: U = {thermometer_c} °C, k = 2. Between it and"
         " the sensor"
         " the stirred bath may differ by up to ±{bath_c} °C, anywhere in these limits alike. What is the"
         " combined standard uncertainty of the point?",
    figures=(Draw("thermometer_c", (0.2, 0.3, 0.1, 0.4)), Draw("bath_c", (0.2, 0.1, 0.3, 0.25))),
    answer=Number(
        lambda f: _point(f).standard,
        "temperature span", "°C", 0,
        "Two digits are what an uncertainty is worth: half a unit of the second is room for rounding.",
        digits=2, wrong=(
            Wrong("k-forgotten", lambda f: sqrt(f.thermometer_c**2 + f.bath_c**2 / 3),
                  "The certificate's U went in as it stands. It is k times the standard uncertainty."),
            Wrong("half-width", lambda f: sqrt((f.thermometer_c / 2) ** 2 + f.bath_c**2),
                  "The limits of the bath were taken for a standard uncertainty. Which divisor makes it"
                  " one?"),
            Wrong("added", lambda f: sum(_parts(f)),
                  "The parts were added. Independent parts are added as squares."),
            Wrong("both", lambda f: sqrt(f.thermometer_c**2 + f.bath_c**2),
                  "Neither figure is a standard uncertainty yet. Change both first."),
    )),
    hints=("Make a standard uncertainty of each: divide U by k, and the half-width by the root of 3.",
           "Then take the root of the sum of the squares."),
    solution=lambda f: (
        f"Thermometer: {n(f.thermometer_c)} °C ÷ 2 = {n(_parts(f)[0], 4)} °C\n"
        f"Bath: {n(f.bath_c)} °C ÷ √3 = {n(_parts(f)[1], 4)} °C\n"
        f"Together: √({n(_parts(f)[0], 4)}² + {n(_parts(f)[1], 4)}²)"
        f" = {n(sqrt(_parts(f)[0] ** 2 + _parts(f)[1] ** 2), 4)} °C"
    ),
)


def _en(f, a=1.0, b=1.0):
    return (f.ours_c - f.theirs_c) / sqrt((a * f.u_ours_c) ** 2 + (b * f.u_theirs_c) ** 2)


agreement = Problem(
    "09-agreement", 1, "Do the two agree?",
    "Work out the En number of two results.",
    asks="After calibration the bench says {ours_c} °C with U = {u_ours_c} °C. A school nearby has a"
         " thermometer from"
         " a laboratory beside it: {theirs_c} °C with U = {u_theirs_c} °C. Both U are expanded, k = 2."
         " What is the"
         " En number, bench minus thermometer?",
    figures=(
        Draw("ours_c theirs_c", ((24.3, 23.9), (21.2, 21.6), (26.7, 26.2), (18.4, 18.7))),
        Draw("u_ours_c", (0.4, 0.5, 0.3)),
        Draw("u_theirs_c", (0.2, 0.3)),
    ),
    answer=Number(
        lambda f: en_number(f.ours_c, f.u_ours_c, f.theirs_c, f.u_theirs_c),
        "number", "", 0.02,
        "Two digits after the point are usual for this number.",
        wrong=(
            Wrong("unexpanded", lambda f: _en(f, 0.5, 0.5),
                  "Standard uncertainties went in. The En number is made for expanded ones."),
            Wrong("added", lambda f: (f.ours_c - f.theirs_c) / (f.u_ours_c + f.u_theirs_c),
                  "The two U were added. Independent uncertainties are added as squares."),
            Wrong("ours-only", lambda f: (f.ours_c - f.theirs_c) / f.u_ours_c,
                  "Only the bench's U was used. The thermometer has one too."),
            Wrong("other-way", lambda f: -_en(f), "The sign is turned: bench minus thermometer is asked."),
    )),
    hints=("The difference stands above; below stands what both claim, together.",
           "Square both U, add, take the root."),
    solution=lambda f: (
        f"({n(f.ours_c)} − {n(f.theirs_c)}) ÷ √({n(f.u_ours_c)}² + {n(f.u_theirs_c)}²) = {n(_en(f), 3)}\n"
        f"{'They agree' if abs(_en(f)) <= 1 else 'They do not agree'}: the limit is 1 either way."
    ),
)


def _after(f, step=1.0, drift=1.0):
    return (f.u_points_c, step * 0.488 / sqrt(12), drift * f.drift_c / sqrt(3))


def _after_u(f, **how):
    return sqrt(sum(part**2 for part in _after(f, **how)))


def _after_budget(f):
    step = Input(0.0, half_width=0.488 / 2, shape="rectangular")
    drift = Input(0.0, half_width=f.drift_c, shape="rectangular")
    return propagate(lambda *parts: sum(parts), (Input(0.0, standard=f.u_points_c), step, drift))


budget_after = Problem(
    "09-budget-after", 2, "The budget after calibration",
    "Give the expanded uncertainty of a reading after calibration.",
    asks="After calibration three parts are left in a reading: the correction, standard uncertainty"
         " {u_points_c} °C;"
         " the converter's step of 0.488 °C, the true value anywhere within it; and drift since the"
         " calibration,"
         " limits ±{drift_c} °C. What is the expanded uncertainty, k = 2?",
    figures=(Draw("u_points_c", (0.1, 0.15, 0.2, 0.25)), Draw("drift_c", (0.3, 0.5, 0.4, 0.2))),
    answer=Number(
        lambda f: 2 * _after_budget(f).standard,
        "temperature span", "°C", 0.01,
        "A hundredth of a degree leaves room for rounding the parts to three digits.",
        wrong=(
            Wrong("k-forgotten", _after_u,
                  "This is the standard uncertainty. The question asks for the expanded one."),
            Wrong("half-widths", lambda f: 2 * sqrt(f.u_points_c**2 + 0.244**2 + f.drift_c**2),
                  "Limits went in as if they were standard uncertainties. What is the divisor?"),
            Wrong("whole-step", lambda f: 2 * _after_u(f, step=2),
                  "The whole step was taken for a half-width. It reaches half a step to each side."),
            Wrong("forgot-drift", lambda f: 2 * _after_u(f, drift=0),
                  "Drift is missing. A calibration speaks of its own day only."),
    )),
    hints=("Three standard uncertainties first. A step has the half-width of half a step.",
           "Root of the sum of squares, then k."),
    solution=lambda f: (
        f"Step: 0.244 °C ÷ √3 = {n(_after(f)[1], 3)} °C; drift: {n(f.drift_c)} °C ÷ √3 ="
        f" {n(_after(f)[2], 3)} °C\n"
        f"Together: {n(_after_u(f), 4)} °C; U = 2 × {n(_after_u(f), 4)} °C = {n(2 * _after_u(f), 3)} °C"
    ),
)


# The fitted line, its scatter and its doubt; spans; what wanders

BATHS_C = (0.0, 20.0, 40.0, 60.0)


def _residuals(f):
    return f.first_c, f.second_c, f.third_c, f.fourth_c


def _squares(f):
    return sum(residual**2 for residual in _residuals(f))


scatter = Problem(
    "09-scatter", 2, "How far the points scatter about their line",
    "Work out the residual standard deviation with the right count.",
    asks="A line was fitted to the corrections at four baths, 0 °C, 20 °C, 40 °C and 60 °C. The residuals are"
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
    asks="A fitted line gives the correction as level + slope × (t − 20 °C). The level at 20 °C has the"
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
    asks="The line gives a correction of {correction_c} °C. The display of the bench shows °F. How many °F"
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
    asks="On one afternoon a bench is calibrated at two points, 0 °C and {warm_c} °C, against a better thermometer, and"
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


PROBLEMS = (
    ice_bath, boiling_point, one_point_correction, two_point_correction, point_uncertainty, scatter, covariance,
    span_in_fahrenheit, wanders, agreement, budget_after,
)  # fmt: skip

_NEAR = two_points((0.0, 20.0), (0.0, 20.0), u_references=(0.1, 0.1))

PREDICTIONS = (
    Prediction(
        "09-boiling",
        "A class in the mountains, at 1,500 m, calibrates in boiling water. Their book says that water boils at 100 °C."
        " What does it do on their stove, on a day of average weather?",
        "Now set the altitude to 1,500 m in the picture, and look where water boils.",
        "There is less air above the pot, so the steam has less to push against.",
        number=Amount(
            lambda: boiling_point_at_altitude(1500.0).value, "°C", 1, "temperature", near=0.5,
            wrong=(Wrong("book", lambda: 100.0, "Near the sea the book is right to some tenths of a degree."),),
        ),
        explorer="calibration_line", settings={"altitude_m": 1500.0}, saw=lambda found: found.true_c[2],
    ),
    Prediction(
        "09-far",
        "A bench was calibrated in ice and in water of 20 °C, each good to some 0.2 °C (k = 2). Somebody uses its line"
        " at 90 °C. Near the points the correction is good to some 0.2 °C too. How large is its expanded uncertainty"
        " at 90 °C?",
        "Now choose the two near points in the picture, the warm one at 20 °C, and let the bench read 90 °C.",
        "Small doubts at two near points tilt the line, and far out a tilt is large.",
        number=Amount(
            lambda: float(2 * _NEAR.u_correct(90.0)), "°C", 1, "temperature span", near=0.1,
            wrong=(Wrong("as-near", lambda: 0.2, "That holds amid the points. The line can tilt about them."),),
        ),
        explorer="calibration_line", settings={"points": "near", "warm_c": 20.0, "better_c": 0.2, "t_c": 90.0},
        saw=lambda found: found.expanded_c,
    ),
)
