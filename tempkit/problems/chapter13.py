"""Practice for chapter 13: a requirement against a design, line by line, and what settings and parts do to it."""

from math import sqrt

from tempkit.choose import Choice as Combination
from tempkit.choose import Line, Requirement, assemble, binding, catalogue, check, search
from tempkit.exercises import (
    Amount,
    Choice,
    Column,
    Draw,
    Number,
    Option,
    Prediction,
    Problem,
    Table,
    Wrong,
    cheapest,
    listed,
)
from tempkit.exercises import plain as n
from tempkit.signal import smoothed_noise_ratio
from tempkit.uncertainty import Input, guard_band, propagate

# Requirement and design

ONE_SIDED = {90: 1.282, 95: 1.645, 99: 2.326}  # normal distribution, four digits; as printed in the problem
TWO_SIDED = {90: 1.645, 95: 1.960, 99: 2.576}

guard = Problem(
    "13-guard-band", 2, "One side is enough",
    "Choose the factor of a guard band by the side on which an error hurts.",
    asks="At the buzzer's limit a smoothed reading has a standard uncertainty of {u_c} °C. From a table of the normal"
         " distribution for {level} %: one side {one}, both sides {two}. How far beyond the limit must the true"
         " temperature be so that a single reading calls with a probability of {level} %?",
    figures=(
        Draw("level one two", tuple((level, ONE_SIDED[level], TWO_SIDED[level]) for level in (95, 90, 99))),
        Draw("u_c", (0.42, 0.35, 0.28, 0.51, 0.64)),
    ),
    answer=Number(
        lambda f: guard_band(f.u_c, f.level / 100),
        "temperature span", "°C", 0.005,
        "Half a hundredth of a degree covers a factor with four digits.",
        wrong=(
            Wrong("two-sided", lambda f: f.two * f.u_c,
                  "The factor for both sides was taken. Can a reading be too far beyond the limit to call?"),
            Wrong("no-factor", lambda f: f.u_c,
                  "One standard uncertainty was taken. With which probability does a reading call there?"),
            Wrong("k-two", lambda f: 2 * f.u_c,
                  "k = 2 belongs to an expanded uncertainty, both sides. What is asked here?"),
            Wrong("whole-width", lambda f: 2 * f.one * f.u_c,
                  "The guard band was laid on both sides of the limit and added up. From where is it counted?"),
    )),
    hints=("Only a reading that falls short of the limit misses the call.",
           "Guard band = factor for one side × standard uncertainty."),
    solution=lambda f: f"{n(f.one)} × {n(f.u_c)} °C = {n(f.one * f.u_c, 4)} °C",
)

where = Problem(
    "13-where-the-limit-goes", 1, "Where the limit goes",
    "Put a limit midway between silent and called.",
    asks="The buzzer has to be silent at {silent_c} °C and called at {called_c} °C, both with the same probability."
         " The guard band is {guard_c} °C to each side. Where does the limit of the alarm go so that both have the"
         " same margin?",
    figures=(
        Draw("silent_c called_c", ((26, 28.4), (25.5, 28.5), (26.2, 28), (24.8, 27), (26.5, 28.9))),
        Draw("guard_c", (0.4, 0.5, 0.6, 0.7)),
    ),
    answer=Number(
        lambda f: Requirement(high_c=(f.silent_c, f.called_c)).limits_c[1],
        "temperature", "°C", 0.02,
        "The figures have one digit after the point; the middle needs at most two.",
        wrong=(
            Wrong("at-called", lambda f: f.called_c,
                  "With the limit there, a reading calls in only half of all cases. What was promised?"),
            Wrong("at-silent", lambda f: f.silent_c,
                  "With the limit there, half of the readings call where it has to be silent."),
            Wrong("below-called", lambda f: f.called_c - f.guard_c,
                  "One guard band below called keeps one promise with nothing to spare. And the margin of the other?"),
            Wrong("above-silent", lambda f: f.silent_c + f.guard_c,
                  "One guard band above silent keeps one promise with nothing to spare. And the margin of the other?"),
    )),
    hints=("Each side has the room from the limit to its temperature.",
           "Equal guard bands on both sides leave equal margins only if the rooms are equal."),
    solution=lambda f: f"({n(f.silent_c)} °C + {n(f.called_c)} °C) ÷ 2 = {n((f.silent_c + f.called_c) / 2, 4)} °C",
)


def _limits(f):
    return f.sensor_c, f.reference_c, f.converter_c


def _u(f):
    inputs = [Input(0.0, half_width=each, shape="rectangular") for each in _limits(f)]
    return propagate(lambda *parts: sum(parts), inputs).standard


uncertainty = Problem(
    "13-three-doubts", 2, "Three doubts of a design",
    "Combine the limits of independent parts into one standard uncertainty.",
    asks="At 27 °C the sensor of a design may be off by ±{sensor_c} °C, its reference is worth ±{reference_c} °C and"
         " its converter ±{converter_c} °C; all values within these limits are alike, and one part knows nothing of the"
         " others. What is the standard uncertainty of a reading?",
    figures=(
        Draw("sensor_c", (1, 0.5, 2)),
        Draw("reference_c converter_c", ((0.77, 0.4), (3.85, 0.6), (0.15, 0.3), (1.2, 0.5))),
    ),
    answer=Number(
        _u, "temperature span", "°C", 0.006,
        "Two digits after the point are enough for a decision.",
        wrong=(
            Wrong("added", lambda f: sum(_limits(f)) / sqrt(3),
                  "The uncertainties were added. Independent parts are added as squares."),
            Wrong("half-widths", lambda f: sqrt(sum(each**2 for each in _limits(f))),
                  "The limits went in as if they were standard uncertainties. Which divisor makes them so?"),
            Wrong("worst-case", lambda f: sum(_limits(f)),
                  "This is the worst case: all three at their ends at once. A standard uncertainty is asked."),
            Wrong("largest-only", lambda f: max(_limits(f)) / sqrt(3),
                  "Only the largest part was counted. The others are smaller, not nothing."),
    )),
    hints=("Divide each limit by the root of 3.", "Then the root of the sum of the squares."),
    solution=lambda f: (
        f"√(({n(f.sensor_c)}² + {n(f.reference_c)}² + {n(f.converter_c)}²) ÷ 3)"
        f" = {n(sqrt(sum(each**2 for each in _limits(f)) / 3), 4)} °C"
    ),
)


def _gaps(f):
    return f.silent_low_c - f.called_low_c, f.called_high_c - f.silent_high_c


def _margins(f, factor=1.645, part=0.5):
    return tuple((part * gap - factor * u,) for gap, u in zip(_gaps(f), (f.u_low_c, f.u_high_c), strict=True))


def _checked(f):
    need = Requirement(low_c=(f.silent_low_c, f.called_low_c), high_c=(f.silent_high_c, f.called_high_c))
    guards = (guard_band(u, 0.95) for u in (f.u_low_c, f.u_high_c))
    return tuple((Line("guard", "degC", room, does).margin,) for room, does in zip(need.room_c, guards, strict=True))


margins = Problem(
    "13-margins", 1, "Two lines of the table",
    "Work out the margin of a guard band, with its sign.",
    asks="The lamp: silent at {silent_low_c} °C, called at {called_low_c} °C, standard uncertainty at its limit"
         " {u_low_c} °C. The buzzer: silent at {silent_high_c} °C, called at {called_high_c} °C, standard uncertainty"
         " {u_high_c} °C. The limits stand midway. For 95 %, one side, the factor is 1.645; both sides, 1.960."
         " What are the two margins: room less guard band?",
    figures=(
        Draw("silent_low_c called_low_c", ((19, 17), (18.8, 17.2), (18.6, 17.4))),
        Draw("silent_high_c called_high_c", ((26, 28), (26.2, 27.8), (26.4, 27.6))),
        Draw("u_low_c u_high_c", ((0.32, 0.34), (0.45, 0.48), (0.55, 0.62), (0.71, 0.78))),
    ),
    answer=Table(
        lambda f: ("lamp", "buzzer"),
        (Column("margin", "temperature span", "°C", 0.005),),
        _checked,
        "Two digits after the point decide whether a line passes.",
        wrong=(
            Wrong("sign", lambda f: tuple((-row[0],) for row in _margins(f)),
                  "The sign is turned: a margin is positive where the design is better than wanted."),
            Wrong("two-sided", lambda f: _margins(f, 1.96),
                  "The factor for both sides was taken. On how many sides of the limit can a call be missed?"),
            Wrong("whole-gap", lambda f: _margins(f, part=1.0),
                  "All the way from silent to called was taken for the room. Where does the limit stand?"),
            Wrong("no-factor", lambda f: _margins(f, 1.0),
                  "The standard uncertainty was taken for the guard band. What makes one from the other?"),
    )),
    hints=("The room is half of the way from silent to called.",
           "Guard band: 1.645 × standard uncertainty. Margin: room less guard band, with its sign."),
    solution=lambda f: "\n".join(
        f"{name}: {n(gap / 2)} °C − 1.645 × {n(u)} °C = {n(gap / 2 - 1.645 * u, 4)} °C"
        for name, gap, u in zip(("Lamp", "Buzzer"), _gaps(f), (f.u_low_c, f.u_high_c), strict=True)
    ),
)


def _lines(f):
    does = (f.late_s, f.guard_c, f.price, f.calls)
    return tuple(Line(*row, got) for row, got in zip(_WANTED, does, strict=True))


_WANTED = (("late", "s", 60.0), ("guard", "degC", 1.0), ("price", "", 12.0), ("calls", "1/min", 3.0))


def _used(name, place, unit):
    return Option(
        name,
        lambda f: f"{('Late by', 'Guard band', 'Price', 'Calls on the limit')[place]}:"
                  f" {n(_lines(f)[place].does)}{unit} of at most {n(_lines(f)[place].wanted)}{unit}",
        lambda f: "It has used up the largest part of what is allowed." if binding(_lines(f)).name == name
        else "Its margin may look small as a number, but margins in different units cannot be compared. Which part of"
             " what is allowed is used?",
    )


binds = Problem(
    "13-what-binds", 1, "Which line binds?",
    "Find the line that leaves least, whatever its unit.",
    asks="A design passes all lines. Which line binds: which has used up the largest part of what it is allowed?",
    figures=(
        Draw("late_s guard_c price calls", (
            (57, 0.6, 10, 1.2), (48, 0.95, 9, 0.5), (42, 0.7, 11.4, 2.1), (51, 0.5, 7, 2.91), (58, 0.9, 8, 2.4),
            (36, 0.8, 9.3, 2.7),
        )),
    ),
    answer=Choice(
        options=(
            _used("late", 0, " s"),
            _used("guard", 1, " °C"),
            _used("price", 2, ""),
            _used("calls", 3, " a minute"),
        ),
        right=lambda f: binding(_lines(f)).name,
    ),
    hints=("Seconds and degrees cannot be compared. Parts of what is allowed can.",
           "Divide what the design does by what is wanted, line by line."),
    solution=lambda f: "Parts used: " + ", ".join(f"{line.name} {100 * line.used:.0f} %" for line in _lines(f))
                       + f". The largest binds: {binding(_lines(f)).name}.",
)

in_numbers = Problem(
    "13-in-numbers", 1, "Which lines are a requirement?",
    "Write a requirement in numbers, without naming a part.",
    asks="A grower wants an alarm for a bench of seedlings that must not get above {called_c} °C. Which of these lines"
         " belong in the requirement? Choose all.",
    figures=(Draw("called_c silent_c", ((28, 26), (30, 28), (26, 24.5))),),
    answer=Choice(
        options=(
            Option("bits", "The converter has at least 12 bits",
                   "That is an answer already. Which question would it have to be checked against?"),
            Option("pair", lambda f: f"Silent at {n(f.silent_c)} °C and called at {n(f.called_c)} °C, each with 95 %",
                   "It says what happens on the bench, in numbers, and a test can show it."),
            Option("exact", lambda f: f"The call comes exactly at {n(f.called_c)} °C",
                   "At the limit itself half of the readings lie on the wrong side. Can anybody keep that?"),
            Option("late", "While the air warms by 1 °C a minute, the call comes at most 60 s late",
                   "It says how late, and at which rate. Both can be measured."),
            Option("good", "The readings are as accurate as the state of the art allows",
                   "By which number would one see that it is met, or that it is not?"),
        ),
        right=("pair", "late"),
        several=True,
    ),
    hints=("Of each: does it say what happens on the bench, or what is to be bought?",
           "And: with which measurement would you show that it is kept?"),
    solution=lambda f: "Silent and called with their probability, and how late at which rate: both are numbers about"
                       " the bench, and name no part.",
)

on_paper = Problem(
    "13-on-paper", 1, "All lines pass",
    "Know what a design that passes on paper is good for.",
    asks="A design passes every line of its table, the narrowest with {percent} % of what is allowed used up. All parts"
         " have come. The seedlings are sown on Monday. What does the table allow?",
    figures=(Draw("percent", (51, 73, 88, 95)),),
    answer=Choice(
        options=(
            Option("trust", "To rely on the alarm from Monday on: every line has a margin",
                   "The table knows the errors that somebody put into it. What of a lead that nobody counted?"),
            Option("another", "Nothing, as long as a line has used up more than half of what it is allowed",
                   "A margin is a margin. What would half of it show that the bench itself cannot?"),
            Option("simulate", "To rely on it once a million trials give the same table",
                   "The trials know what the table knows. Do they know how the bench is wired?"),
            Option("build", "To build it, and then to check it on the bench: bench card, calibration, a log",
                   "Paper is leave to build. What was forgotten on paper shows on the bench."),
        ),
        right="build",
    ),
    hints=("A budget holds what was put into it. Where would an error show that nobody thought of?",
           "What has to be seen on the bench itself before somebody relies on it?"),
    solution=lambda f: "To build it. Codes and volts by the bench card, a calibration, and a log in which the bench"
                       " does what the table says: then it may be relied on, for what it was made for.",
)


# What the settings of the program do to the lines, and the price


def _noise_c(f):
    return f.noise_mv / f.slope_mv


averaged = Problem(
    "13-averaged", 2, "Noise after averaging",
    "Say what averaging leaves of the noise of a reading.",
    asks="At the converter's pin of a design stands noise of {noise_mv} mV (standard deviation); one degree is worth"
         " {slope_mv} mV there. The program takes the mean of {samples} samples for one reading. What is the noise of a"
         " reading, in °C?",
    figures=(
        Draw("noise_mv", (2, 3, 1.5, 4)),
        Draw("slope_mv", (10, 19.5, 12.5)),
        Draw("samples", (16, 4, 64)),
    ),
    answer=Number(
        lambda f: _noise_c(f) / sqrt(f.samples),
        "temperature span", "°C", lambda f: 0.02 * _noise_c(f) / sqrt(f.samples),
        "Two digits of a noise are all that is ever known of it.",
        digits=2, wrong=(
            Wrong("divided-by-n", lambda f: _noise_c(f) / f.samples,
                  "The noise was divided by the number of samples. How does the spread of a mean fall with it?"),
            Wrong("not-averaged", _noise_c, "This is the noise of a single sample. What does the mean do to it?"),
            Wrong("multiplied", lambda f: _noise_c(f) * sqrt(f.samples),
                  "The root went the wrong way: a mean spreads less than one sample, not more."),
            Wrong("in-mv", lambda f: f.noise_mv / sqrt(f.samples),
                  "These are still millivolts. How many of them is a degree worth?"),
    )),
    hints=("First from millivolts to degrees.", "The spread of a mean falls with the root of the number of samples."),
    solution=lambda f: (
        f"{n(f.noise_mv)} mV ÷ {n(f.slope_mv)} mV/°C = {n(_noise_c(f), 4)} °C\n"
        f"{n(_noise_c(f), 4)} °C ÷ √{n(f.samples)} = {n(_noise_c(f) / sqrt(f.samples), 4)} °C"
    ),
)

smoothed = Problem(
    "13-smoothed", 2, "Smoothed on top of it",
    "Say what a first-order smoothing leaves of the noise of its readings.",
    asks="Each reading of a design has noise of {noise_c} °C (standard deviation), and one reading knows nothing of"
         " the next. The program smooths them: new = old + a × (reading − old), with a = {a}. What noise is left in the"
         " smoothed value?",
    figures=(Draw("noise_c", (0.2, 0.12, 0.3, 0.08)), Draw("a", (0.2, 0.1, 0.4, 0.05))),
    answer=Number(
        lambda f: f.noise_c * smoothed_noise_ratio(f.a),
        "temperature span", "°C", lambda f: 0.02 * f.noise_c * smoothed_noise_ratio(f.a),
        "Two digits of a noise are all that is ever known of it.",
        digits=2, wrong=(
            Wrong("times-a", lambda f: f.noise_c * f.a,
                  "Only the newest reading was counted. The older ones are still in the smoothed value."),
            Wrong("root-a", lambda f: f.noise_c * sqrt(f.a),
                  "This would be a plain mean of 1/a readings. Smoothing weighs its readings in another way."),
            Wrong("no-root", lambda f: f.noise_c * f.a / (2 - f.a),
                  "That is what is left of the variance. What is asked is a standard deviation."),
            Wrong("kept", lambda f: f.noise_c * (1 - f.a),
                  "1 − a is the share of the old value, not the share of the noise that is left."),
    )),
    hints=("The weights are a, a(1 − a), a(1 − a)², and so on. Variances add with the squares of the weights.",
           "The sum of these squares is a ÷ (2 − a)."),
    solution=lambda f: (
        f"{n(f.noise_c)} °C × √({n(f.a)} ÷ (2 − {n(f.a)})) = {n(f.noise_c * sqrt(f.a / (2 - f.a)), 4)} °C"
    ),
)


def _late_s(f, periods=1, sampling=1):
    return f.lag_s + f.smoothing_s + sampling * f.period_s + (f.on_delay - periods) * f.period_s


late = Problem(
    "13-late", 2, "Late, and by how much too late",
    "Add up what makes a call late and compare it with what is allowed.",
    asks="A steady change passes the limit. The sensor follows it {lag_s} s late, the smoothing another {smoothing_s}"
         " s. A sample is taken every {period_s} s, and {on_delay} readings in a row beyond the limit make the call. It"
         " may be {late_s} s late. What is the margin at worst?",
    figures=(
        Draw("lag_s", (40, 25, 15)),
        Draw("smoothing_s", (5, 20, 9)),
        Draw("period_s", (2, 1, 4)),
        Draw("on_delay", (3, 5, 8)),
        Draw("late_s", (60, 75, 45)),
    ),
    answer=Number(
        lambda f: Line("late by", "s", float(f.late_s), float(_late_s(f))).margin,
        "time", "s", 0.5,
        "All figures are whole seconds; half of the smallest period leaves no doubt.",
        wrong=(
            Wrong("n-periods", lambda f: f.late_s - _late_s(f, periods=0),
                  "As many periods as readings were counted. How many gaps lie between n readings in a row?"),
            Wrong("no-sampling", lambda f: f.late_s - _late_s(f, sampling=0),
                  "At worst the limit is passed just after a sample. How long until the next?"),
            Wrong("sign", lambda f: _late_s(f) - f.late_s,
                  "The sign is turned: a margin is positive where the design is better than wanted."),
            Wrong("as-squares", lambda f: f.late_s - sqrt(f.lag_s**2 + f.smoothing_s**2) - f.period_s * f.on_delay,
                  "Lag and smoothing were added as squares. These are delays one after the other, not errors."),
            Wrong("no-margin", _late_s,
                  "This is by how much the call is late. The margin is what is left of what is allowed."),
    )),
    hints=("Delays one after the other are added.",
           "Worst case: one whole period until the next sample, then the gaps between the readings in a row."),
    solution=lambda f: (
        f"Late: {n(f.lag_s)} s + {n(f.smoothing_s)} s + {n(f.period_s)} s + ({n(f.on_delay)} − 1) × {n(f.period_s)} s"
        f" = {n(f.lag_s + f.smoothing_s + f.on_delay * f.period_s)} s\n"
        f"Margin: {n(f.late_s)} s − {n(f.lag_s + f.smoothing_s + f.on_delay * f.period_s)} s"
        f" = {n(f.late_s - f.lag_s - f.smoothing_s - f.on_delay * f.period_s)} s"
    ),
)


def _price(f):
    return f.front + f.reference + f.converter


price = Problem(
    "13-price", 2, "What is left of the money",
    "Work out the margin of the price with every part in it.",
    asks="A design takes a front end at {front}, a reference at {reference} and a converter at {converter}"
         " (invented prices). The parts may cost {most}. What is the margin?",
    figures=(
        Draw("front", (5.5, 3, 1.4, 4)),
        Draw("reference", (2, 0.8, 3.5)),
        Draw("converter", (3.5, 1, 2, 6)),
        Draw("most", (12, 8, 6.5)),
    ),
    answer=Number(
        lambda f: Line("price (invented)", "", float(f.most), _price(f)).margin,
        "number", "", 0.05,
        "Prices are given to a tenth.",
        wrong=(
            Wrong("no-converter", lambda f: f.most - f.front - f.reference,
                  "The converter is missing from the sum. A design needs all three."),
            Wrong("no-reference", lambda f: f.most - f.front - f.converter,
                  "The reference is missing from the sum. A design needs all three."),
            Wrong("sum-only", _price, "This is the price. The margin is what is left of what may be spent."),
            Wrong("sign", lambda f: _price(f) - f.most,
                  "The sign is turned: a margin is positive where the design is better than wanted."),
    )),
    hints=("Add up all three parts.", "Margin: what is allowed less what it costs."),
    solution=lambda f: (
        f"Price: {n(f.front)} + {n(f.reference)} + {n(f.converter)} = {n(f.front + f.reference + f.converter)}\n"
        f"Margin: {n(f.most)} − {n(f.front + f.reference + f.converter)}"
        f" = {n(f.most - f.front - f.reference - f.converter)}"
    ),
)

deadband = Problem(
    "13-deadband", 1, "A deadband that is one",
    "Choose a deadband wider than a step and narrower than the room to silent.",
    asks="The buzzer's limit lies {room_c} °C above the temperature at which it has to be silent. One step of the"
         " converter is {step_c} °C there, and nothing is averaged. Which deadband meets the requirement?",
    figures=(
        Draw("room_c step_c fits_c small_c wide_c", (
            (1, 0.49, 0.7, 0.3, 1.5), (0.8, 0.25, 0.5, 0.1, 1.2), (0.6, 0.32, 0.4, 0.2, 0.9), (1.2, 0.39, 0.8, 0.2, 2),
        )),
    ),
    answer=Choice(
        options=(
            Option("small", lambda f: f"{n(f.small_c)} °C",
                   "A reading moves by whole steps. Would one step up and one step down not cross both edges?"),
            Option("none", "0 °C: the on-delay keeps it from chattering",
                   "An on-delay makes the call late; it does not keep the bench from hanging about the limit."),
            Option("fits", lambda f: f"{n(f.fits_c)} °C", "Wider than a step, and it ends before silent."),
            Option("wide", lambda f: f"{n(f.wide_c)} °C",
                   "With it the call still stands where the buzzer has to be silent. Where does the deadband end?"),
        ),
        right="fits",
    ),
    hints=("A single step must not lead from one edge of the deadband to the other.",
           "The other edge has to lie above the temperature at which it is silent."),
    solution=lambda f: f"{n(f.step_c)} °C < {n(f.fits_c)} °C < {n(f.room_c)} °C: wider than a step, narrower than the"
                       " room to silent.",
)


def _guard_c(bias_c, u_c, factor=1.645):
    return bias_c + factor * u_c


def _u_c(f):
    return sqrt(f.sensor_c**2 / 3 + f.warmed_c**2 / 12)


bias = Problem(
    "13-bias", 1, "A doubt with a direction",
    "Add a bias to a guard band as it is, and only the rest as squares.",
    asks="A thermistor is right within ±{sensor_c} °C. Its own current warms it, by 0 °C to {warmed_c} °C, nobody"
         " knows how much. Both are rectangles; the program corrects nothing. How wide is the guard band on the side"
         " where the warming hurts, for one side and 95 % (factor 1.645)?",
    figures=(Draw("sensor_c", (0.2, 0.5, 1, 0.35)), Draw("warmed_c", (0.3, 0.6, 0.9, 0.4))),
    answer=Number(
        lambda f: _guard_c(f.warmed_c / 2, _u_c(f)),
        "temperature span", "°C", 0.006,
        "Half a hundredth of a degree, and a little for a factor with four digits.",
        wrong=(
            Wrong("no-bias", lambda f: _guard_c(0, _u_c(f)),
                  "Only the spread was counted. Where does the middle of the warming lie?"),
            Wrong("squared", lambda f: 1.645 * sqrt(_u_c(f) ** 2 + f.warmed_c**2 / 4),
                  "The middle of the warming went in as a square. It always points the same way: does it ever cancel?"),
            Wrong("whole", lambda f: _guard_c(f.warmed_c, f.sensor_c / sqrt(3)),
                  "The warming was taken at its worst, as if it were known. Its middle is known, the rest is spread."),
            Wrong("two-sided", lambda f: _guard_c(f.warmed_c / 2, _u_c(f), 1.96),
                  "The factor for both sides was taken. On how many sides does this error hurt?"),
            Wrong("half-width", lambda f: _guard_c(f.warmed_c / 2, sqrt(f.sensor_c**2 + f.warmed_c**2 / 4)),
                  "Half-widths were used as standard uncertainties. What belongs below a rectangle's half-width?"),
    )),
    hints=("The middle of the warming is a bias: it adds as it is.",
           "The rest is a rectangle of half the width: divide its half-width by √3, and add squares with the"
           " sensor's."),
    solution=lambda f: (
        f"Bias: {n(f.warmed_c)} °C ÷ 2 = {n(f.warmed_c / 2)} °C\n"
        f"Spread: √({n(f.sensor_c)}² ÷ 3 + {n(f.warmed_c / 2)}² ÷ 3) °C = {n(_u_c(f), 4)} °C\n"
        f"{n(f.warmed_c / 2)} °C + 1.645 × {n(_u_c(f), 4)} °C = {n(_guard_c(f.warmed_c / 2, _u_c(f)), 4)} °C"
    ),
)

DESIGNS = "abcde"


def _designs(f):
    """Price and guard band of each of the five."""
    return {key: (getattr(f, f"price_{key}"), getattr(f, f"guard_{key}")) for key in DESIGNS}


def _better(f, key):
    """The designs that are cheaper than one, and narrower too."""
    price, guard_c = _designs(f)[key]
    return [other for other, (p, g) in _designs(f).items() if p < price and g < guard_c]


def _front(f):
    return tuple(key for key in DESIGNS if not _better(f, key))


def _on_the_front(key):
    def remark(f):
        better = _better(f, key)
        return f"{better[0].upper()} is cheaper, and narrower too." if better else "Nothing cheaper is narrower."

    return Option(key, key.upper(), remark)


front = Problem(
    "13-front", 1, "The front",
    "Find the designs for which a narrower guard band must be paid.",
    asks="Five designs meet a requirement: A costs {price_a}, guard band {guard_a} °C; B {price_b}, {guard_b} °C; C"
         " {price_c}, {guard_c} °C; D {price_d}, {guard_d} °C; E {price_e}, {guard_e} °C (all invented). Which of them"
         " lie on the front?",
    figures=(
        Draw("price_a guard_a price_b guard_b price_c guard_c price_d guard_d price_e guard_e", (
            (2, 0.8, 3, 0.9, 4, 0.5, 6, 0.55, 9, 0.3), (3, 0.7, 1.5, 0.6, 2.5, 0.4, 3.5, 0.5, 7, 0.2),
            (4.1, 0.6, 2.2, 0.9, 4.5, 0.7, 5, 0.3, 11, 0.35), (6, 0.5, 5, 0.35, 2, 0.8, 9, 0.4, 3, 0.45),
        )),
    ),
    answer=Choice(options=tuple(_on_the_front(key) for key in DESIGNS), right=_front, several=True),
    hints=("A design is off the front when another one is better in both.",
           "Go up in price: which is narrower than all before?"),
    solution=lambda f: f"{', '.join(key.upper() for key in _front(f))}. Each of the others has one that is cheaper and"
                       " narrower.",
)


# A part from a list

OFFERS = {  # invented: coldest and warmest [degC], limits [degC], lowest supply [V]
    "a": (-25, 110, 1.5, 3.0), "b": (-10, 60, 0.8, 2.4), "c": (5, 90, 1.0, 4.0), "d": (-30, 95, 0.5, 2.8),
    "e": (-15, 110, 2.5, 2.2),
}


def _price_of(f, key):
    return getattr(f, f"price_{key}")


def _lacks(f, key):
    """What an offer lacks, in a sentence without its figures; "" where it meets all three wishes."""
    low_c, high_c, limit_c, supply_v = OFFERS[key]
    if low_c > f.low_c or high_c < f.high_c:
        return "Its range does not hold all the temperatures that are wanted. Compare both ends."
    if limit_c > f.limit_c:
        return "Its limits are wider than wanted. A price does not make up for that."
    return "" if supply_v <= f.supply_v else "It needs a higher supply than there is."


def _meets(f):
    return [key for key in OFFERS if not _lacks(f, key)]


cheapest_sensor = Problem(
    "13-cheapest-sensor", 1, "The cheapest that will do",
    "Choose the cheapest part that meets every line of a requirement.",
    asks="Wanted: a sensor for {low_c} °C to {high_c} °C, right within ±{limit_c} °C, on a supply of {supply_v} V. The"
         " list is invented. Which is the cheapest that meets all three?",
    figures=(
        Draw("low_c high_c limit_c supply_v", (
            (5, 45, 1.5, 3.3), (-10, 50, 1.5, 5), (10, 40, 1, 4.5), (0, 80, 2.5, 3),
        )),
        Draw("price_a price_b price_c price_d price_e", (
            (1.8, 2.6, 1.2, 4.5, 0.9), (2.2, 1.7, 1.1, 3.9, 1.4), (1.3, 3.1, 2.4, 2, 0.8), (2.7, 2.5, 1.9, 2.9, 1.6),
        )),
    ),
    sensible=lambda f: len(_meets(f)) >= 2,
    listing=lambda f: listed(
        ("sensor", "range", "limits", "supply from", "price"),
        tuple(
            (key.upper(), f"{n(low)} to {n(high)} °C", f"±{n(limit)} °C", f"{n(supply)} V", n(_price_of(f, key)))
            for key, (low, high, limit, supply) in OFFERS.items()
        ),
    ),
    answer=cheapest(tuple((key, f"Sensor {key.upper()}") for key in OFFERS), _price_of, _lacks),
    hints=("Strike out every sensor that misses one of the three. Then look at the prices.",
           "Both ends of the range count, and the supply must not be below the lowest one."),
    solution=lambda f: (
        f"These meet all three: {', '.join(key.upper() for key in _meets(f))}. The cheapest of them is"
        f" {min(_meets(f), key=lambda key: _price_of(f, key)).upper()}, at"
        f" {n(min(_price_of(f, key) for key in _meets(f)))}."
    ),
)


PROBLEMS = (
    where, guard, uncertainty, margins, averaged, smoothed, late, price, deadband, bias, front, binds, in_numbers,
    on_paper, cheapest_sensor,
)  # fmt: skip


def _wider_guard_c():
    """The wider guard band of the bench as it stands [degC]."""
    design, price = assemble(catalogue(), Combination(0, 0, 1), Requirement())
    return max(line.does for line in check(design, Requirement(), price) if line.name.startswith("guard band"))


PREDICTIONS = (
    Prediction(
        "13-guard",
        "The bench as it stands has a sensor that may be off by ±1.5 °C, the 5 V supply (±5 %) as its reference, and a"
        " 10-bit converter. At 27 °C one degree is worth 8 mV of 816 mV. To call with a probability of 95 %, the true"
        " temperature has to be some way beyond the limit: the guard band. How wide is it at 27 °C?",
        "Now look at the first design in the picture, and find its guard band.",
        "5 % of 816 mV are 5.1 °C, and the sensor's 1.5 °C come on top, as squares.",
        number=Amount(
            _wider_guard_c, "°C", 1, "temperature span", near=0.3,
            wrong=(
                Wrong("limits-added", lambda: 6.6, "The limits were added. Such luck does not come all at once."),
                Wrong("sensor-only", lambda: 1.5, "The reference was left out, and it is the larger one."),
        )),
        explorer="design_project", settings={"front_end": 0, "reference": 0, "converter": 1},
        saw=lambda held: held.guard_c,
    ),
    Prediction(
        "13-share",
        "The catalogue has 11 front ends (a front end is a sensor with all that stands between it and the converter), 6"
        " references and 5 converters. With a few settings of the program that makes 105,600 designs. What part of them"
        " meets the requirement?",
        "Now read on as far as the search through all designs, and look how many pass.",
        "Every line must pass at once: good at nine and bad at one is out.",
        number=Amount(lambda: 100 * float(search(catalogue(), Requirement()).passes.mean()), "%", 1, near=1),
    ),
)
