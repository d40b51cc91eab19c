"""Chapter 09: calibration at points and by a fitted line, with what each is worth; practice, lines, predictions."""

from math import exp, sqrt

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
    "09-one-point", 3, "One point, and which way it goes",
    "Apply a one-point correction with its sign.",
    asks="In the ice bath, at 0.0 °C, the bench reads {ice_c} °C. Over the trays it now reads {t_c} °C. What is the"
         " corrected reading after this one point?",
    figures=(Draw("ice_c", (1.2, -0.6, 0.7, -0.9, 1.6)), Draw("t_c", (21.6, 18.4, 25, 26.8))),
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
    "09-two-points", 3, "Two points and a reading between them",
    "Correct a reading with the line through two points.",
    asks="In the ice bath, at 0.0 °C, the bench reads {ice_c} °C. In warm water beside a better thermometer that shows"
         " {warm_true_c} °C it reads {warm_reads_c} °C. Now it reads {t_c} °C. What is the corrected reading?",
    figures=(
        Draw(
            "ice_c warm_true_c warm_reads_c",
            ((-0.9, 45, 46.2), (0.7, 40, 42.3), (0.6, 38, 35.4), (1.1, 50, 53.4)),
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
                  "Only the warm point was used, as if the line went through zero. The ice bath says otherwise."),
            Wrong("inverse", lambda f: f.ice_c + f.t_c * (f.warm_reads_c - f.ice_c) / f.warm_true_c,
                  "The line was walked the wrong way: it turned a true temperature into a reading."),
            Wrong("mean", lambda f: f.t_c - (f.ice_c + f.warm_reads_c - f.warm_true_c) / 2,
                  "The mean of the two corrections belongs halfway between the points. Where is this reading?"),
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
    asks="The better thermometer comes with a certificate: U = {thermometer_c} °C, k = 2. Between it and the sensor"
         " the stirred bath may differ by up to ±{bath_c} °C, anywhere in these limits alike. What is the combined"
         " standard uncertainty of the point?",
    figures=(Draw("thermometer_c", (0.2, 0.3, 0.1, 0.4)), Draw("bath_c", (0.2, 0.1, 0.3, 0.25))),
    answer=Number(
        lambda f: _point(f).standard,
        "temperature span", "°C", 0,
        "Two digits are what an uncertainty is worth: half a unit of the second is room for rounding.",
        digits=2, wrong=(
            Wrong("k-forgotten", lambda f: sqrt(f.thermometer_c**2 + f.bath_c**2 / 3),
                  "The certificate's U went in as it stands. It is k times the standard uncertainty."),
            Wrong("half-width", lambda f: sqrt((f.thermometer_c / 2) ** 2 + f.bath_c**2),
                  "The limits of the bath were taken for a standard uncertainty. Which divisor makes it one?"),
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
    asks="After calibration the bench says {ours_c} °C with U = {u_ours_c} °C. A school nearby has a thermometer from"
         " a laboratory beside it: {theirs_c} °C with U = {u_theirs_c} °C. Both U are expanded, k = 2. What is the En"
         " number, bench minus thermometer?",
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


STEP_C = 0.61


def _after(f, half=2.0, divisor=3**0.5, add=lambda us: sqrt(sum(u * u for u in us)), k=2.0):
    """The budget after calibration as a table: half-width, divisor, standard uncertainty; the whole, and k times it."""
    halves = (STEP_C / half, f.drift_c)
    us = (f.u_points_c, *(each / divisor for each in halves))
    rows = ((each, divisor, u) for each, u in zip(halves, us[1:], strict=True))
    return ((None, None, us[0]), *rows, (None, None, add(us)), (None, None, k * add(us)))


def _after_budget(f):
    limits = [Input(0.0, half_width=half, shape="rectangular") for half in (STEP_C / 2, f.drift_c)]
    whole = propagate(lambda *parts: sum(parts), (Input(0.0, standard=f.u_points_c), *limits)).standard
    rows = ((line.half_width, sqrt(3), line.standard) for line in limits)
    return ((None, None, f.u_points_c), *rows, (None, None, whole), (None, None, 2 * whole))


budget_after = Problem(
    "09-budget-after", 3, "The budget after calibration, half worked out",
    "Complete the budget of a reading after calibration.",
    asks="Somebody has begun the budget of a reading after calibration. The correction has a standard uncertainty of"
         " {u_points_c} °C. One step of the converter is 0.61 °C, and the program takes its middle. Drift since the"
         " calibration stays within ±{drift_c} °C. Fill in what is missing.",
    figures=(Draw("u_points_c", (0.12, 0.15, 0.2, 0.25)), Draw("drift_c", (0.3, 0.5, 0.4, 0.8))),
    answer=Table(
        rows=lambda f: ("Correction", "Step", "Drift", "Together", "Times k = 2"),
        columns=(
            Column("half-width", "temperature span", "°C", 0.006),
            Column("divided by", "number", "", 0.006),
            Column("uncertainty", "temperature span", "°C", 0.006),
        ),
        value=_after_budget,
        reason="Hundredths of a degree are told; a little more than half of one is room for rounding.",
        shown=((0, 0), (0, 1), (0, 2), (1, 1), (2, 0), (2, 1), (3, 0), (3, 1), (4, 0), (4, 1)),
        wrong=(
            Wrong("whole-step", lambda f: _after(f, half=1.0),
                  "The whole step was taken. From its middle the truth lies half a step away at most."),
            Wrong("added", lambda f: _after(f, add=sum),
                  "The uncertainties were added as they stand. Independent ones add as squares."),
            Wrong("no-root", lambda f: _after(f, divisor=3.0),
                  "The half-width was divided by three. Look at the divisor that stands in the table."),
            Wrong("k-forgotten", lambda f: _after(f, k=1.0),
                  "The last line repeats the one above. What does the coverage factor do?"),
        ),
    ),
    hints=("Across: half-width, divided by the divisor, is the standard uncertainty.",
           "Down: square the three, add them, take the root. Then times k."),
    solution=lambda f: (
        f"Step: 0.61 °C ÷ 2 = {n(STEP_C / 2)} °C,\n"
        f"and {n(STEP_C / 2)} °C ÷ 1.732 = {n(_after(f)[1][2], 4)} °C\n"
        f"Drift: {n(f.drift_c)} °C ÷ 1.732 = {n(_after(f)[2][2], 4)} °C\n"
        f"Together: the root of the sum of squares = {n(_after(f)[3][2], 4)} °C\n"
        f"Expanded: two times that = {n(_after(f)[4][2], 4)} °C"
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
         " {first_c} °C, {second_c} °C, {third_c} °C and {fourth_c} °C. What is the residual standard deviation?",
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
                  "The squares were divided by the number of points. The line has already used some of them up."),
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
    asks="A fitted line gives the correction as level + slope × (t − 20 °C). The level at 20 °C has the standard"
         " uncertainty {u_level_c} °C, the slope {u_slope} °C per °C, and their correlation coefficient is {r}. What"
         " is the standard uncertainty of the correction at {t_c} °C?",
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


# A curve to read, a wrong step, five readings in ice, an estimate, a decision

CURVES_C = (  # corrections at readings of 0, 10, 20, 30, 40 degC; invented
    (0.8, 0.4, -0.4, -1.0, -1.8), (-1.4, -1.0, -0.4, 0.4, 1.0), (0.6, 1.0, 1.6, 1.4, 0.8),
    (-0.4, -1.2, -1.6, -1.0, -0.6),
)


def _curve(f):
    corrections = CURVES_C[f.curve - 1]
    return Graph(
        "Corrections of a bench", Scale("reading", "°C", (0, 40), 1, (0, 10, 20, 30, 40)),
        Scale("correction", "°C", (-2, 2), 0.1, (-2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2)),
        (Curve("correction", tuple((10.0 * k, c) for k, c in enumerate(corrections))),),
    )


def _corrections_c(f):
    """The corrections at the marks on both sides of the reading; twice the same where it stands on one."""
    low, rest = divmod(f.t_c, 10)
    return CURVES_C[f.curve - 1][low], CURVES_C[f.curve - 1][low + (rest > 0)]


def _read_off_c(f):
    return sum(_corrections_c(f)) / 2


certificate_curve = Problem(
    "09-correction-curve", 1, "A correction from a curve",
    "Read a correction off a curve, and use it with its sign.",
    asks="The curve shows the correction of a bench, true minus reading, between the points of its calibration. Now the"
         " bench reads {t_c} °C. How warm is it?",
    figures=(Draw("curve", (1, 2, 3, 4)), Draw("t_c", (25, 15, 35, 30, 20))),
    sensible=lambda f: abs(_read_off_c(f)) > 0.2,
    picture=_curve,
    answer=Number(
        lambda f: f.t_c + _read_off_c(f), "temperature", "°C", 0.15,
        "An eye reads this curve to a tenth of a degree; half of one more is room for the hand.",
        wrong=(
            Wrong("sign", lambda f: f.t_c - _read_off_c(f),
                  "The correction was taken away. It is true minus reading: what does one do with it?"),
            Wrong("correction-only", lambda f: _read_off_c(f),
                  "This is the correction. It still has to be added to the reading."),
            Wrong("one-point", lambda f: f.t_c + CURVES_C[f.curve - 1][0],
                  "This is the correction in ice, used far away from it. Where on the curve is this reading?"),
    )),
    hints=("Go up or down from the reading to the curve, then straight across to the axis.",
           "Corrected: reading plus correction, and mind its sign."),
    solution=lambda f: (
        f"At {n(f.t_c)} °C the curve stands at {n(round(_read_off_c(f), 2))} °C.\n"
        f"{n(f.t_c)} °C + ({n(round(_read_off_c(f), 2))} °C) = {n(round(f.t_c + _read_off_c(f), 2))} °C"
    ),
)

SLIPS = ("certificate", "bath", "mean", "added", "expanded")


def _walk(f):
    """From certificate, limits and scatter to an expanded uncertainty; each line goes on from those above."""
    slip = SLIPS[f.slip - 1]
    thermometer = round(f.certificate_c / (1 if slip == "certificate" else 2), 3)
    bath = round(f.bath_c / (1 if slip == "bath" else sqrt(3)), 3)
    mean = round(f.s_c / (f.count if slip == "mean" else sqrt(f.count)), 3)
    parts = (thermometer, bath, mean)
    whole = round(sum(parts) if slip == "added" else sqrt(sum(part**2 for part in parts)), 3)
    expanded = round(whole / 2 if slip == "expanded" else 2 * whole, 2)
    squares = " + ".join(f"{n(part)}²" for part in parts)
    together = " + ".join(map(n, parts)) if slip == "added" else f"√({squares})"
    return (
        f"Step 1. Certificate: {n(f.certificate_c)} °C{'' if slip == 'certificate' else ' ÷ 2'} → {n(thermometer)} °C",
        f"Step 2. Bath: {n(f.bath_c)} °C{'' if slip == 'bath' else ' ÷ √3'} → {n(bath)} °C",
        f"Step 3. Mean: {n(f.s_c)} °C ÷ {'' if slip == 'mean' else '√'}{f.count} → {n(mean)} °C",
        f"Step 4. Together: {together} → {n(whole)} °C",
        f"Step 5. U, k = 2: {n(whole)} °C {'÷' if slip == 'expanded' else '×'} 2 → {n(expanded)} °C",
    )


wrong_point = Problem(
    "09-wrong-step", 1, "One step is wrong",
    "Find the wrong step in the uncertainty of a calibration point.",
    asks="A better thermometer has U = {certificate_c} °C, k = 2. The stirred bath may differ between it and the"
         " sensor by ±{bath_c} °C at most. The bench's {count} readings, independent of each other, scatter with a"
         " standard deviation of {s_c} °C; their mean is used. Somebody worked out the point's U in five steps. One is"
         " wrong, and the others go on from it soundly. Which one?",
    figures=(
        Draw("slip", (3, 1, 2, 4, 5)), Draw("certificate_c", (0.3, 0.2, 0.4)), Draw("bath_c", (0.2, 0.15)),
        Draw("count s_c", ((25, 0.4), (16, 0.3), (100, 0.5))),
    ),
    listing=_walk,
    answer=wrong_step(
        lambda f: f.slip,
        (
            ("A certificate's U is k times the standard uncertainty.",
             "U was divided by its k. That is sound."),
            ("Limits, all values within them alike, have to be divided by the root of 3.",
             "The limits were divided by the root of 3. That is sound."),
            ("The standard deviation of a mean falls with the root of the number.",
             "The scatter was divided by the root of the number, as for a mean of independent readings."),
            ("Independent standard uncertainties add as squares.",
             "Squares, sum, root: that is sound, whatever the parts are."),
            ("The expanded uncertainty is k times the standard one, so it is the larger.",
             "Times k: that is sound, whatever the standard uncertainty is."),
        ),
    ),
    hints=("Check each line by itself: does it do what its words say?",
           "Three lines make a standard uncertainty. Each of them needs another divisor."),
    solution=lambda f: f"Step {f.slip} is wrong: {_WALK_SAID[f.slip - 1]}",
)

_WALK_SAID = (
    "divide the certificate's U by its k.", "divide the limits by the root of 3.",
    "divide by the root of the number of readings.", "add the squares, then take the root.", "multiply by k.",
)

CAUSES = ("settling", "shallow", "salt", "floating", "sound")
IN_SLUSH_MM = 6.3  # a tube's length in ice that hardly moves, over which e times less of the room is left
SHALLOW_MM, DEEP_MM = 20, 60


def _in_ice_c(f, minute, depth_mm):
    """What a right thermometer in a tube shows in a bath made in one of the five ways [degC]; invented."""
    cause = CAUSES[f.cause - 1]
    left_c = f.room_c * exp(-depth_mm / IN_SLUSH_MM)
    if cause == "settling":
        return left_c + f.room_c * exp(-(minute + 1.5) / 1.2)
    if cause == "salt":
        return left_c - 1.6 + 0.04 * minute
    if cause == "floating":
        return left_c + 0.6 + 0.03 * minute + 0.07 * (depth_mm - DEEP_MM)
    return left_c


def _ice_lines(f):
    deep = SHALLOW_MM if CAUSES[f.cause - 1] == "shallow" else DEEP_MM
    places = [(minute, deep) for minute in range(4)] + [(4, deep + 20)]
    return tuple(f"{at} min, {deep} mm deep: {_tenths(_in_ice_c(f, at, deep))} °C" for at, deep in places)


def _tenths(t_c):
    return f"{round(t_c, 1) + 0.0:.1f}".replace("-", "\N{MINUS SIGN}")


in_ice = Problem(
    "09-five-lines", 1, "Five readings in ice",
    "Tell from five readings what is wrong with an ice bath.",
    asks="A thermometer that is right within 0.1 °C goes from a room of {room_c} °C, in its tube, into an ice bath."
         " After the fourth reading somebody pushes the tube 20 mm deeper. What do the five readings say about the"
         " bath?",
    figures=(Draw("cause", (4, 1, 2, 3, 5)), Draw("room_c", (20, 22, 24))),
    listing=_ice_lines,
    answer=Choice(
        options=(
            Option("settling", "The tube has not stood in it for long enough yet",
                   "It is still on its way, fast at first, then slower, and depth has no part in it. Wait."),
            Option("shallow", "The tube did not reach deep enough into it",
                   "It had come to rest above 0 °C, and going deeper took that away. The room came down the tube."),
            Option("salt", "Something is dissolved in its water, such as salt",
                   "It stands below 0 °C at every depth. What moves the melting point of ice?"),
            Option("floating", "Its ice floats on top, with water beneath it",
                   "Deeper is warmer. Water of 4 °C is the densest, and gathers at the bottom."),
            Option("sound", "Nothing is wrong with it: it may be used",
                   "It stands at 0 °C, and 20 mm more change nothing."),
        ),
        right=lambda f: CAUSES[f.cause - 1],
    ),
    asks_how_sure=True,
    hints=("First the four readings at one depth: do they still move?",
           "Then the last step: what does going deeper change, and which way?"),
    solution=lambda f: _ICE_SAID[f.cause - 1],
)


_ICE_SAID = (
    "The readings fall fast, then slower, and go on as before after the push: it had not settled. Wait, then read.",
    "The readings stand still above 0 °C, and the push brings them down: the tube was not deep enough.",
    "The readings stand below 0 °C at both depths: salt or sugar is in the water. Make a new bath of clean water.",
    "Deeper is warmer: the ice floats on a lake. Pour water off, and pack ice after it.",
    "The readings stand at 0 °C and stay there 20 mm deeper: the bath and the depth will do.",
)


def _lower_c(f):
    return boiling_point_at_altitude(0.0).value - boiling_point_at_altitude(float(f.altitude_m)).value


how_much_lower = Problem(
    "09-how-much-lower", 1, "How much lower it boils",
    "Estimate the boiling point's fall from the altitude.",
    asks="A school stands at {altitude_m} m. About how many degrees lower than at the sea does water boil there, on a"
         " day of average weather?",
    figures=(Draw("altitude_m", (1200, 2400, 1800, 3000, 900)),),
    answer=Number(
        _lower_c, "temperature span", "°C", 0.0,
        "An estimate tells whether the altitude matters; a factor of one and a half does not change that.",
        within_factor=1.5,
        wrong=(
            Wrong("per-100", lambda f: f.altitude_m / 100,
                  "That is one degree for each 100 m. The rule of thumb has a larger step."),
            Wrong("per-1000", lambda f: f.altitude_m / 1000,
                  "That is one degree for each 1000 m. The rule of thumb has a smaller step."),
            Wrong("boiling-point", lambda f: 100 - f.altitude_m / 300,
                  "This is about where it boils. How much lower than at the sea is that?"),
    )),
    hints=("There is a rule of thumb: one degree for so many hundred metres.",
           "It is one degree for about 300 m."),
    solution=lambda f: (
        f"One degree for about 300 m: {n(f.altitude_m)} ÷ 300 gives about {n(f.altitude_m / 300)}.\n"
        f"With the pressure of the standard atmosphere there = {n(round(_lower_c(f), 1))} °C"
    ),
)


def _apart_c(f):
    return abs(f.bench_c - f.other_c)


def _both_c(f):
    return sqrt(f.u_bench_c**2 + f.u_other_c**2)


agree_and_act = Problem(
    "09-agree-and-act", 1, "A bath that was not used",
    "Decide whether a calibration is confirmed, and act on it.",
    asks="After its calibration the bench goes into a bath that was not used for it. It says {bench_c} °C with U ="
         " {u_bench_c} °C, the better thermometer {other_c} °C with U = {u_other_c} °C; both k = 2. What do you do?",
    figures=(
        Draw("bench_c other_c", ((24.7, 25.3), (30.4, 30.0), (35.2, 34.9), (20.1, 20.6))),
        Draw("u_bench_c u_other_c", ((0.3, 0.2), (0.4, 0.3), (0.2, 0.1))),
    ),
    sensible=lambda f: abs(_apart_c(f) - _both_c(f)) > 0.02,
    answer=Choice(
        options=(
            Option("use", "Use it: the difference is within what both claim",
                   "The difference is smaller than the root of the sum of both squares. Agreement is no proof, but"
                   " there is no reason to act."),
            Option("again", "Stir, go deeper, wait, and measure it again",
                   "The difference is larger than both claims together explain: one of the two was not measured well."),
            Option("widen", "Write down a larger U, so that both agree",
                   "Then U says what one wishes. A U follows from its parts, not from the result."),
            Option("mean", "Take the mean of the two as the true value",
                   "The mean hides the difference. First decide whether there is one."),
        ),
        right=lambda f: "use" if _apart_c(f) <= _both_c(f) else "again",
    ),
    asks_how_sure=True,
    hints=("Compare the difference with what both claim together.",
           "Together means: square both U, add, take the root. Bars that overlap are not the test."),
    solution=lambda f: (
        f"The difference is {n(round(_apart_c(f), 2))} °C; both together claim {n(_both_c(f), 2)} °C. "
        + ("They agree: use it." if _apart_c(f) <= _both_c(f) else "They do not agree: measure it again.")
    ),
)

# Lines to complete: the north bench, which reads 0.7 degC in ice and 41.3 degC in warm water of 40 degC

ICE, WARM = (0.7, 0.0), (41.3, 40.0)  # what it reads, and what is true
RIDDLE_C = 26.1  # what it reads above the trays
LEFT_AT_20_MM_C = 0.93
_LINE = two_points((ICE[0], WARM[0]), (ICE[1], WARM[1]))
_ALIKE = two_points((0.0, 40.0), (0.0, 40.0), u_references=(0.1, 0.1))
_PER_DEGREE = (WARM[1] - WARM[0] - ICE[1] + ICE[0]) / (WARM[0] - ICE[0])
DRAWN_AT_C = (0, 20, 40, 60, 80)

warm_correction = Line(
    "09-correction", "Give a correction its sign.",
    "In warm water of 40.0 °C the bench reads 41.3 °C. What is its correction there, in °C?",
    Number(lambda f: WARM[1] - WARM[0], "temperature span", "°C", 0.05, "The readings are given to a tenth.", wrong=(
        Wrong("sign", lambda f: WARM[0] - WARM[1], "This is the error, reading minus true. What undoes it?"),
        Wrong("one-point", lambda f: ICE[1] - ICE[0],
              "This is the correction in ice. Here the bench is off by something else."),
    )),
    rail=("correction", -2, 2),
)

left_over = Line(
    "09-left-over", "Tell error from uncertainty.",
    "The program now adds the correction, and the display in the ice says 0.0 °C. What is still left there?",
    Choice(
        options=(
            Option("nothing", "nothing, it is right now",
                   "It agrees with the ice bath. How well does anybody know the bath?"),
            Option("error", "the error, as it was before", "The error was known, and has been corrected away."),
            Option("uncertainty", "the uncertainty of the bath",
                   "Correcting takes away what is known. What is not known of the bath stays."),
        ),
        right="uncertainty",
    ),
)

deeper = Line(
    "09-deeper", "Say what depth does to the heat that comes down a tube.",
    "In a slush that hardly moves, a thin steel tube from a room of 22 °C is 20 mm deep and still 0.93 °C too warm."
    " Each 20 mm leave the same part of what came in. How much too warm is it at 40 mm, in °C?",
    Number(lambda f: LEFT_AT_20_MM_C**2 / 22, "temperature span", "°C", 0.005, "Hundredths of a degree matter here.",
           wrong=(
               Wrong("straight-line", lambda f: LEFT_AT_20_MM_C / 2,
                     "Half of it: that would be a straight line. What part of 22 °C is left after 20 mm?"),
               Wrong("squared", lambda f: LEFT_AT_20_MM_C**2,
                     "The degrees were squared. Square the part that is left, then take it of 22 °C."),
               Wrong("twice", lambda f: LEFT_AT_20_MM_C / 4,
                     "Halved twice. The part that is left is not a half: divide by 22 °C."),
           )),
    rail=("too warm", 0, 1),
    then="Twice as deep, and the room is gone.",
)

weather = Line(
    "09-weather", "Make a standard uncertainty of the weather.",
    "At 300 m the weather moves the boiling point by up to 0.57 °C either way. What is its standard uncertainty, in"
    " °C?",
    Number(lambda f: Input(0.0, half_width=0.57, shape="rectangular").standard, "temperature span", "°C", 0,
           "Two digits are what an uncertainty is worth.", digits=2, wrong=(
               Wrong("half-width", lambda f: 0.57,
                     "These are limits. Which divisor makes a standard uncertainty of them?"),
               Wrong("halved", lambda f: 0.285, "Halved, as an expanded uncertainty is. These are limits."),
               Wrong("no-root", lambda f: 0.19,
                     "Divided by three. The variance of a rectangle has a root to be taken."),
           )),
    rail=("uncertainty", 0, 1),
)

slope = Line(
    "09-slope", "Read the slope off two corrections.",
    "In ice, at 0.0 °C, the bench reads 0.7 °C; in warm water of 40.0 °C it reads 41.3 °C. By how many degrees does the"
    " correction change for each degree of reading?",
    Number(lambda f: _LINE.slope - 1.0, "number", "", 0, "Two digits are enough to correct to a hundredth.", digits=2,
           wrong=(
               Wrong("sign", lambda f: -_PER_DEGREE, "The correction falls while the reading rises."),
               Wrong("from-zero", lambda f: -1.3 / 41.3, "One point was used, as if the line went through zero."),
               Wrong("rise-alone", lambda f: -0.6, "This is the whole change. Over how many degrees of reading?"),
               Wrong("per-cent", lambda f: 100 * _PER_DEGREE, "These are per cent. Degrees for each degree are asked."),
           )),
    rail=("slope", -0.05, 0.05),
)

by_two = Line(
    "09-by-two-points", "Correct a reading by two points.",
    "Above the trays the bench reads 26.1 °C, that is 25.4 °C of reading beyond the ice point. Start with the"
    " correction in ice, and go on with the slope that you found. What is the corrected reading, in °C?",
    Number(lambda f: _LINE.correct(RIDDLE_C), "temperature", "°C", 0.03, "The slope was rounded on the way.", wrong=(
        Wrong("one-point", lambda f: RIDDLE_C + ICE[1] - ICE[0],
              "Only the ice point was used: that is the riddle's 25.4 °C."),
        Wrong("slope-only", lambda f: RIDDLE_C + 25.4 * _PER_DEGREE, "The correction in ice itself is missing."),
        Wrong("mean", lambda f: RIDDLE_C - 1.0,
              "The mean of both corrections belongs midway. This reading lies elsewhere."),
        Wrong("sign", lambda f: RIDDLE_C + 0.7 - 25.4 * _PER_DEGREE,
              "Both corrections were taken away. They are added."),
        Wrong("none", lambda f: RIDDLE_C, "This is the reading itself. Add the correction."),
        Wrong("ice-twice", lambda f: RIDDLE_C - 1.4 + 25.4 * _PER_DEGREE,
              "The display's 25.4 °C has the correction in ice already. Add it once."),
        Wrong("warm", lambda f: RIDDLE_C + WARM[1] - WARM[0],
              "Only the warm point was used. The correction lies between those of the two points."),
    )),
    rail=("corrected", 24, 28),
    then="So bench and thermometer agree above the trays, too.",
)

band = sketch(
    "09-sketch-band", "Draw how sure a line by two points is.",
    "Both points, at 0 and 40 °C, are known to ±0.2 °C (k = 2), independently. Draw the ± of the line through them, at"
    " readings of 0, 20, 40, 60 and 80 °C.",
    "°C", 0.03, "As good as the eye.",
    Sketch(DRAWN_AT_C, lambda at: 2 * _ALIKE.u_correct(at), ("reading", "°C", 0, 90), ("±", 0, 0.7)),
    wrong=(
        Wrong("everywhere-alike", lambda f, at: 0.2 + 0 * at,
              "As sure everywhere as at the points. Tilt the line in thought."),
        Wrong("exact-points", lambda f, at: 0.2 * abs(at / 40 * (1 - at / 40)),
              "At a point it is as sure as that point, no surer."),
        Wrong("grows-from-zero", lambda f, at: 0.2 * at / 40, "It would be exact in ice. How sure is that point?"),
        Wrong("added", lambda f, at: 0.2 * (abs(1 - at / 40) + abs(at / 40)),
              "Both shares were added. Independent ones add as squares."),
    ),
    quantity="temperature span",
    then="Between the points each one pulls its end; beyond them the line is a lever.",
)

why_beyond = Line(
    "09-why-beyond", "Say why a line is unsure beyond its points.",
    "Why does the ± grow beyond the points?",
    Choice(
        options=(
            Option("hot", "warm water is less sure than ice",
                   "Both points are alike here, and it grows on both sides."),
            Option("tilt", "a small tilt moves the far end a lot",
                   "Two unsure points let the line tilt, and far out a tilt is large."),
            Option("range", "the sensor leaves its range there",
                   "The range ends far beyond. The line's own points decide."),
        ),
        right="tilt",
    ),
)

BETWEEN_C = 0.15

half_between = Line(
    "09-half-between", "Turn limits into a standard uncertainty.",
    "Between thermometer and sensor the bath may differ by ±0.15 °C at most. What is the standard uncertainty, in °C?",
    Number(lambda f: Input(0.0, half_width=BETWEEN_C, shape="rectangular").standard, "temperature span", "°C", 0,
           "Two digits are what an uncertainty is worth.", digits=2, wrong=(
               Wrong("half-width", lambda f: BETWEEN_C,
                     "These are limits. Which divisor makes a standard uncertainty of them?"),
               Wrong("halved", lambda f: BETWEEN_C / 2, "Halved, as an expanded uncertainty is. These are limits."),
           )),
    rail=("uncertainty", 0, 0.2),
)

half_point = Line(
    "09-half-point", "Combine what is unsure in a calibration point.",
    "The thermometer has u = 0.10 °C, the bath what you have just found. What is the standard uncertainty of the"
    " point, in °C?",
    Number(lambda f: propagate(lambda a, b: a + b, (
        Input(0.0, standard=0.1), Input(0.0, half_width=BETWEEN_C, shape="rectangular"),
    )).standard, "temperature span", "°C", 0, "Two digits are what an uncertainty is worth.", digits=2, wrong=(
        Wrong("added", lambda f: 0.1 + BETWEEN_C / sqrt(3), "The parts were added. Independent ones add as squares."),
        Wrong("expanded", lambda f: 2 * sqrt(0.01 + BETWEEN_C**2 / 3), "This is the expanded uncertainty, k = 2."),
        Wrong("root-forgotten", lambda f: 0.01 + BETWEEN_C**2 / 3,
              "This is the sum of the squares. One thing is left to do."),
    )),
    rail=("uncertainty", 0, 0.3),
)

TESTED = (30.4, 0.3, 30.0, 0.2)

en = Line(
    "09-en", "Work out an E_n number.",
    "A bath that was not used: the corrected bench says 30.4 °C ± 0.3 °C, the thermometer 30.0 °C ± 0.2 °C, both k = 2."
    " What is the E_n number?",
    Number(lambda f: en_number(*TESTED), "number", "", 0.02, "Two digits after the point are usual.", wrong=(
        Wrong("added", lambda f: 0.4 / 0.5, "The two U were added. Independent ones add as squares."),
        Wrong("unexpanded", lambda f: 0.8 / sqrt(0.13),
              "Standard uncertainties went in. This number takes expanded ones."),
        Wrong("ours-only", lambda f: 0.4 / 0.3, "Only the bench's U was used. The thermometer has one, too."),
    )),
    rail=("E_n", 0, 3),
)

agree_test = Line(
    "09-agree-test", "Decide on a calibration that was tested.",
    "The bench at 30.4 °C ± 0.3 °C, the thermometer at 30.0 °C ± 0.2 °C. Do they agree, and what do you do?",
    Choice(
        options=(
            Option("overlap", "agree, for their bars overlap",
                   "Bars that overlap allow the sum of both. Independent claims add as squares."),
            Option("widen", "disagree, write a larger U", "A U follows from its parts, not from what one wishes."),
            Option("stir", "disagree, stir and measure again",
                   "E_n is above 1: the calibration is not confirmed. Stir, go deeper, wait, repeat."),
        ),
        right="stir",
    ),
)

agree_ice = Line(
    "09-agree-ice", "Decide on two ice points a year apart.",
    "In ice the bench reads 0.7 °C today; a year ago it was 0.4 °C. Each slush was good to U = 0.12 °C, k = 2. Do they"
    " agree, and what do you do?",
    Choice(
        options=(
            Option("keep", "agree, keep last year's line",
                   "0.3 °C is nearly twice what both slushes explain together."),
            Option("mean", "disagree, take the mean of both",
                   "The bench has only today's state. A mean fits neither day."),
            Option("new", "disagree, take today's, look sooner",
                   "It has drifted, or one slush was poor. Check with a second slush, and shorten the interval."),
        ),
        right="new",
    ),
)

LINES = (
    warm_correction, left_over, deeper, weather, slope, by_two, band, why_beyond, half_between,
    half_point, en, agree_test, agree_ice,
)  # fmt: skip

PROBLEMS = (
    two_point_correction, in_ice, boiling_point, certificate_curve, agree_and_act, budget_after, one_point_correction,
    wrong_point, wanders, how_much_lower, point_uncertainty, agreement, ice_bath, scatter, covariance,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "09-set-right",
        "Another bench reads 0.7 °C in ice. Its program now takes 0.7 °C off every reading, and in ice the display says"
        " 0.0 °C. Nothing else was tried. How good is its display at 25 °C?",
        "Now choose “ice alone” in the picture. Look how wide the band is at 0 °C, then at 25 °C.",
        "One point gives one correction. Whether the error is the same elsewhere, one point cannot say: a wrong slope"
        " leaves no trace there.",
        options=(
            Idea("It is right there as well",
                 refuted="That holds if the error is the same everywhere. A wrong reference makes one that grows.",
                 source="ours"),
            Idea("That is still unknown", right=True),
            Idea("It is worse than before",
                 refuted="It may be better or worse: the ice point says nothing about 25 °C.", source="ours"),
        ),
        looks=("The band is much wider at 25 °C", "The band is as narrow at 25 °C", "The band ends before 25 °C"),
        explorer="calibration_line", settings={"points": "one", "t_c": 26.1},
    ),
    Prediction(
        "09-boiling",
        "A class in the mountains, at 1,500 m, calibrates in boiling water. Their book says that water boils at 100 °C."
        " At which temperature does it boil on their stove, on a day of average weather?",
        "Now set the altitude to 1,500 m in the picture, and look where water boils.",
        "There is less air above the pot, so the steam has less to push against.",
        number=Amount(
            lambda: boiling_point_at_altitude(1500.0).value, "°C", 1, "temperature", near=0.5,
            wrong=(Wrong("book", lambda: 100.0, "Near the sea the book is right to some tenths of a degree."),),
        ),
        explorer="calibration_line", settings={"altitude_m": 1500.0}, saw=lambda found: found.true_c[2],
    ),
)
