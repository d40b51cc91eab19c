"""Practice for chapter 13: a requirement against a design, line by line, and what settings and parts do to it."""

from math import sqrt

import numpy as np

from tempkit.choose import Choice as Combination
from tempkit.choose import Line as Row
from tempkit.choose import Requirement, assemble, binding, catalogue, check, price_of, search
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
from tempkit.uncertainty import Input, conformance_probability, guard_band, propagate

# Requirement and design

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


def _gaps(f):
    return f.silent_low_c - f.called_low_c, f.called_high_c - f.silent_high_c


def _margins(f, factor=1.645, part=0.5):
    return tuple((part * gap - factor * u,) for gap, u in zip(_gaps(f), (f.u_low_c, f.u_high_c), strict=True))


def _checked(f):
    need = Requirement(low_c=(f.silent_low_c, f.called_low_c), high_c=(f.silent_high_c, f.called_high_c))
    guards = (guard_band(u, 0.95) for u in (f.u_low_c, f.u_high_c))
    return tuple((Row("guard", "degC", room, does).margin,) for room, does in zip(need.room_c, guards, strict=True))


margins = Problem(
    "13-margins", 2, "Two lines of the table",
    "Work out the margin of a guard band, with its sign.",
    asks="The lamp: silent at {silent_low_c} °C, called at {called_low_c} °C, standard uncertainty at its limit"
         " {u_low_c} °C. The buzzer: silent at {silent_high_c} °C, called at {called_high_c} °C, standard uncertainty"
         " {u_high_c} °C. The limits stand midway. For 95 %, one side, the factor is 1.645; both sides, 1.960."
         " What are the two margins: room less guard band?",
    figures=(
        Draw("silent_low_c called_low_c", ((18.8, 17.2), (19, 17), (18.6, 17.4))),
        Draw("silent_high_c called_high_c", ((26.2, 27.8), (26, 28), (26.4, 27.6))),
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
    return tuple(Row(*row, got) for row, got in zip(_WANTED, does, strict=True))


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
    "13-in-numbers", 2, "Which lines are a requirement?",
    "Write a requirement in numbers, without naming a part.",
    asks="A grower wants an alarm for a bench of seedlings that must not get above {called_c} °C. Which of these lines"
         " belong in the requirement? Choose all.",
    figures=(Draw("called_c silent_c", ((30, 28), (28, 26), (26, 24.5))),),
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


# What the settings of the program do to the lines, and what has a direction


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
        lambda f: Row("late by", "s", float(f.late_s), float(_late_s(f))).margin,
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


deadband = Problem(
    "13-deadband", 2, "A deadband that is one",
    "Choose a deadband wider than a step and narrower than the room to silent.",
    asks="The buzzer's limit lies {room_c} °C above the temperature at which it has to be silent. One step of the"
         " converter is {step_c} °C there, and nothing is averaged. Which deadband meets the requirement?",
    figures=(
        Draw("room_c step_c fits_c small_c wide_c", (
            (1, 0.61, 0.8, 0.3, 1.5), (0.8, 0.31, 0.5, 0.1, 1.2), (0.6, 0.15, 0.4, 0.1, 0.9), (1.2, 0.41, 0.7, 0.2, 2),
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
    "13-bias", 2, "An error with a direction",
    "Add a bias to a guard band as it is, and only the rest as squares.",
    asks="A thermistor is right within ±{sensor_c} °C. Its own current warms it, by 0 °C to {warmed_c} °C, nobody"
         " knows how much. Both are rectangles; the program corrects nothing. How wide is the guard band on the side"
         " where the warming hurts, for one side and 95 % (factor 1.645)?",
    figures=(Draw("sensor_c", (0.5, 0.2, 1, 0.35)), Draw("warmed_c", (0.6, 0.3, 0.9, 0.4))),
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


# Half worked, one step wrong, a curve, an estimate: the design's errors and what they cost

PER_CENT_C = 8.16 / 8  # at 27 degC one per cent of the reference is one of 816 mV, at 8 mV/degC


def _u(*half_widths):
    """Standard uncertainty of independent limits together, each a rectangle."""
    inputs = [Input(0.0, half_width=half, shape="rectangular") for half in half_widths]
    return propagate(lambda *parts: sum(parts), inputs).standard


def _budget(f, per_cent_c=PER_CENT_C, add=lambda us: sqrt(sum(u * u for u in us)), factor=1.645):
    """The whole table by bare arithmetic, with one thing done in another way."""
    halves = f.sensor_c, f.percent * per_cent_c, f.converter_c
    us = tuple(half / sqrt(3) for half in halves)
    rows = tuple(zip(halves, us, strict=True))
    return (*rows, (None, add(us)), (None, factor * add(us)))


def _budget_value(f):
    halves = f.sensor_c, f.percent * PER_CENT_C, f.converter_c
    u_c = _u(*halves)
    rows = tuple((half, _u(half)) for half in halves)
    return (*rows, (None, u_c), (None, guard_band(u_c, 0.95)))


half_budget = Problem(
    "13-half-budget", 1, "A guard band half worked out",
    "Complete the budget of a design down to its guard band.",
    asks="Somebody has begun the budget of a design at 27 °C. There the sensor gives 816 mV, and one degree more gives"
         " 8 mV more. The reference is right within ±{percent} %. Every line is a rectangle, and u its standard"
         " uncertainty. The guard band is for one side and 95 %. Fill in what is missing.",
    figures=(
        Draw("percent", (2, 0.5, 1, 3)), Draw("sensor_c", (0.8, 1.2, 0.4)), Draw("converter_c", (0.5, 0.9, 0.3)),
    ),
    answer=Table(
        rows=lambda f: ("Sensor", "Reference", "Converter", "All together", "Guard band, 1.645 u"),
        columns=(
            Column("half-width", "temperature span", "°C", 0.006),
            Column("u", "temperature span", "°C", 0.006),
        ),
        value=_budget_value,
        reason="Hundredths of a degree are shown; a little more than half of one is room for rounding.",
        shown=((0, 0), (0, 1), (2, 0), (3, 0), (4, 0)),
        wrong=(
            Wrong("scaled-degrees", lambda f: _budget(f, per_cent_c=0.27),
                  "The per cent were taken of 27 °C. The reference stretches the voltage: take them of that."),
            Wrong("added", lambda f: _budget(f, add=sum),
                  "The uncertainties were added as they stand. Independent ones add as squares."),
            Wrong("two-sided", lambda f: _budget(f, factor=1.96),
                  "The factor for both sides was taken. On how many sides of the limit can a call be missed?"),
            Wrong("in-mv", lambda f: _budget(f, per_cent_c=8.16),
                  "The half-width of the reference is still in millivolts. How many of them make a degree?"),
        ),
    ),
    hints=("The reference first: so many per cent of the voltage, then divided by the slope.",
           "Across: divide by √3. Down: squares, sum, root. Last: times the factor."),
    solution=lambda f: (
        f"Reference: {n(f.percent)} % of 816 mV, over 8 mV/°C = {n(f.percent * PER_CENT_C, 4)} °C,"
        f" and ÷ √3 = {n(_budget(f)[1][1], 4)} °C\n"
        f"Converter: {n(f.converter_c)} °C ÷ √3 = {n(_budget(f)[2][1], 4)} °C\n"
        f"All together: the root of the sum of squares = {n(_budget(f)[3][1], 4)} °C\n"
        f"Guard band: 1.645 × {n(_budget(f)[3][1], 4)} °C = {n(_budget(f)[4][1], 4)} °C"
    ),
)

STEPS = ("limit", "room", "add", "factor", "margin")
_STEPS_SAID = (
    "the limit goes midway between silent and called.", "the room goes from the limit to called.",
    "independent limits add as squares.", "one side counts: the factor is 1.645.",
    "the margin is the room less the guard band.",
)


def _check_steps(f):
    """A design checked in five lines; each goes on from what the line above says, right or wrong."""
    slip = STEPS[f.slip - 1]
    limit = f.silent_c if slip == "limit" else round((f.silent_c + f.called_c) / 2, 2)
    said = "where it is silent" if slip == "limit" else f"({n(f.silent_c)} °C + {n(f.called_c)} °C) ÷ 2"
    start = f.silent_c if slip == "room" else limit
    room = round(f.called_c - start, 2)
    u_c = round((f.a_c + f.b_c) / sqrt(3) if slip == "add" else sqrt((f.a_c**2 + f.b_c**2) / 3), 2)
    summed = f"({n(f.a_c)} + {n(f.b_c)}) ÷ √3" if slip == "add" else f"√(({n(f.a_c)}² + {n(f.b_c)}²) ÷ 3)"
    factor = 1.96 if slip == "factor" else 1.645
    guard = round(factor * u_c, 2)
    less = (guard, room) if slip == "margin" else (room, guard)
    return (
        f"Step 1. Limit of the alarm: {said} = {n(limit)} °C",
        f"Step 2. Room: {n(f.called_c)} °C − {n(start)} °C = {n(room)} °C",
        f"Step 3. Sensor ±{n(f.a_c)} °C, reference ±{n(f.b_c)} °C: u = {summed} = {n(u_c)} °C",
        f"Step 4. Guard band for 95 %: {factor:.3f} × {n(u_c)} °C = {n(guard)} °C",
        f"Step 5. Margin: {n(less[0])} °C − {n(less[1])} °C = {n(round(less[0] - less[1], 2))} °C",
    )


wrong_check = Problem(
    "13-wrong-check", 1, "A check with one wrong step",
    "Find the wrong step in the check of a design.",
    asks="The buzzer has to be silent at {silent_c} °C and called at {called_c} °C. Somebody checks a design in five"
         " steps; the limits of its parts are rectangles. One step is wrong, and the others go on from it soundly."
         " Which one?",
    figures=(
        Draw("slip", (4, 1, 3, 2, 5)),
        Draw("silent_c called_c", ((25, 27), (26.2, 29), (24.5, 26.9))),
        Draw("a_c b_c", ((0.5, 1.2), (1, 0.6), (0.8, 0.9))),
    ),
    listing=_check_steps,
    answer=wrong_step(
        lambda f: f.slip,
        (
            ("With the limit there, half of all benches call where they have to be silent.",
             "The limit stands midway. Both promises have the same margin."),
            ("From silent to called there are two rooms, one on each side of the limit.",
             "The room goes from the limit to called. That is sound, wherever the limit stands."),
            ("These limits were added as they stand. Do both parts err to their end at the same time?",
             "Half-widths over √3, added as squares. That is sound."),
            ("That factor is for both sides. Can a reading be too far beyond the limit to call?",
             "One side, 95 %: the factor is sound."),
            ("A margin is positive where the design is better than wanted. Here it is turned.",
             "Room less guard band: that is sound, whatever comes out."),
        ),
    ),
    asks_how_sure=True,
    hints=("Check each line by itself: does it do what its words say?",
           "A strange number may come from the line above. Ask of each line only what it does with it."),
    solution=lambda f: f"Step {f.slip} is wrong: {_STEPS_SAID[f.slip - 1]}",
)


def _guard_at(f, percent):
    return guard_band(_u(f.sensor_c, percent * PER_CENT_C, 0.4), 0.95)


def _tolerance_curve(f):
    return Graph(
        "Guard band of a design at 27 °C",
        Scale("tolerance of the reference", "%", (0, 3), 0.1, tuple(k / 2 for k in range(7))),
        Scale("guard band", "°C", (0, 4.5), 0.05, tuple(k / 2 for k in range(10))),
        (Curve("guard band", tuple((k / 4, _guard_at(f, k / 4)) for k in range(13))),),
    )


def _tolerance(f):
    """The tolerance of the reference [%] at which the guard band just fits into the room."""
    most = f.room_c / guard_band(1.0, 0.95)
    return sqrt(most**2 - _u(f.sensor_c, 0.4) ** 2) / _u(PER_CENT_C)


read_tolerance = Problem(
    "13-read-tolerance", 1, "How good a reference it takes",
    "Read off a curve what a part must be, and where a better one buys nothing.",
    asks="The curve shows the guard band of a design for references of every tolerance; sensor and converter stay. The"
         " guard band has to fit into a room of {room_c} °C. Which tolerance may the reference have at most?",
    figures=(Draw("room_c", (2.2, 2.4, 1.9, 2.6)), Draw("sensor_c", (1.8, 1.5, 2, 2.2))),
    sensible=lambda f: f.room_c > _guard_at(f, 0.5),
    picture=_tolerance_curve,
    answer=Number(
        _tolerance, "percent", "%", 0.15, "An eye reads this curve to a tenth; half of one is room for the hand.",
        wrong=(
            Wrong("other-axis", lambda f: _guard_at(f, f.room_c),
                  "You went up from the room's number on the axis below. On which axis does the room stand?"),
            Wrong("straight-line", lambda f: 3 * f.room_c / _guard_at(f, 3),
                  "That is right for a straight line from the corner. The curve begins flat, above 0 °C."),
    )),
    hints=("Find the room on the axis that says guard band. Go across to the curve, then down.",
           "Where the curve is flat, sensor and converter rule, and a better reference buys nothing."),
    solution=lambda f: (
        f"With a perfect reference it would still be {n(_guard_at(f, 0), 3)} °C: the curve is flat there.\n"
        f"Across at {n(f.room_c)} °C, then down: tolerance = {n(_tolerance(f), 3)} %"
    ),
)

# Guard band [degC] from 1.645 u, price: every pair of three sensors and two references

SENSORS_C = {"A": 1.5, "B": 1, "C": 0.5}
REFERENCES = {"P": 1, "Q": 0.2}  # per cent


def _pairs(f, added=False):
    """Price and guard band [degC] of every pair, cheapest first."""
    found = []
    for sensor, limit_c in SENSORS_C.items():
        for reference, percent in REFERENCES.items():
            halves = limit_c, percent * PER_CENT_C, 0.4
            u_c = sum(halves) / sqrt(3) if added else sqrt(sum(half**2 for half in halves) / 3)
            price = getattr(f, f"price_{sensor.lower()}") + getattr(f, f"price_{reference.lower()}")
            found.append((round(price, 2), 1.645 * u_c, sensor, reference))
    return sorted(found)


def _first_if_added(f):
    return next((price for price, guard_c, *_ in _pairs(f, added=True) if guard_c <= f.room_c), None)


def _pair_price(f):
    fits = [
        getattr(f, f"price_{sensor.lower()}") + getattr(f, f"price_{reference.lower()}")
        for sensor, limit_c in SENSORS_C.items()
        for reference, percent in REFERENCES.items()
        if guard_band(_u(limit_c, percent * PER_CENT_C, 0.4), 0.95) <= f.room_c
    ]
    return min(fits)


def _pair_told(f):
    price, guard_c, sensor, reference = next(row for row in _pairs(f) if row[1] <= f.room_c)
    return f"Sensor {sensor} and reference {reference}: guard band {n(guard_c, 3)} °C.\nPrice = {n(price)}"


cheapest_pair = Problem(
    "13-cheapest-pair", 1, "What a room costs",
    "Choose two parts that meet a guard band together, and say what they cost.",
    asks="At 27 °C the guard band may be {room_c} °C wide: 1.645 u. The converter's limits are ±0.4 °C, and 1 % of the"
         " reference is worth 1.02 °C there. All limits are rectangles, and the list is invented. What does the"
         " cheapest pair of a sensor and a reference cost whose guard band fits?",
    figures=(
        Draw("room_c", (1.25, 1.6, 0.9)),
        Draw("price_a price_b price_c price_p price_q", (
            (2, 3, 5.5, 0.8, 3.5), (1.4, 2.2, 3.1, 0.5, 1.9), (1.1, 2.6, 6.2, 1.2, 4.1), (2.5, 3.4, 4.2, 1.5, 2),
        )),
    ),
    listing=lambda f: listed(
        ("part", "limits", "price"),
        (
            *((f"sensor {key}", f"±{n(limit)} °C", n(getattr(f, f"price_{key.lower()}")))
              for key, limit in SENSORS_C.items()),
            *((f"reference {key}", f"±{n(percent)} %", n(getattr(f, f"price_{key.lower()}")))
              for key, percent in REFERENCES.items()),
        ),
    ),
    answer=Number(
        _pair_price, "number", "", 0.05, "Prices are given to a tenth.",
        wrong=(
            Wrong("cheapest-of-all", lambda f: _pairs(f)[0][0],
                  "That is the cheapest pair there is. Does its guard band fit?"),
            Wrong("narrowest", lambda f: min(_pairs(f), key=lambda row: row[1])[0],
                  "That is the pair with the narrowest guard band. Is there a cheaper one that still fits?"),
            Wrong("added", _first_if_added,
                  "The uncertainties were added as they stand. Independent ones add as squares."),
    )),
    hints=("u of a pair: the root of the sum of the three squared half-widths, over √3.",
           "Begin with the cheapest pair, and go up in price until one fits."),
    solution=_pair_told,
)

winters = Problem(
    "13-winters", 1, "How long a trial shows nothing",
    "Estimate how long one must wait to see a rare miss.",
    asks="By its numbers a design misses the call on {missed} of 1000 frosty nights. Your bench has {nights}"
         " frosty nights a winter. About how many winters does it take until a first miss is to be expected?",
    figures=(Draw("missed", (2, 1)), Draw("nights", (12, 10, 11, 14, 13))),
    answer=Number(
        lambda f: 1000 / f.missed / f.nights, "number", "", 0.0,
        "An estimate says whether a trial can show it at all; a factor of three does not matter for that.",
        within_factor=3,
        wrong=(
            Wrong("nights", lambda f: 1000 / f.missed, "These are nights. How many of them has a winter?"),
            Wrong("upside-down", lambda f: f.missed * f.nights / 1000,
                  "These are the misses in one winter. How many winters until they make one?"),
    )),
    hints=("How many frosty nights go by for one miss?", "And how many winters have so many?"),
    solution=lambda f: (
        "A quiet winter shows little about a rare miss. That is why a budget is made, and not a trial alone.\n"
        f"One miss in {n(1000 / f.missed)} nights. {n(1000 / f.missed)} ÷ {n(f.nights)} ="
        f" {n(1000 / f.missed / f.nights, 2)} winters"
    ),
)

PROBLEMS = (
    half_budget, wrong_check, late, read_tolerance, cheapest_pair, winters, margins, binds, where, bias, deadband,
    in_numbers, on_paper, front, cheapest_sensor,
)  # fmt: skip

# Lines: the bench as it stands against the chapter's requirement

NEED = Requirement()
FIRST = Combination(0, 0, 1)
LIMITS_C = (1.5, 5.1, 1.22, 0.61)  # at 27 degC: sensor, reference, offset, INL; as printed in the chapter
SPREAD_C = 0.6


def _calling(at_c, ahead_c=0.0):
    """Of 1000 benches, how many have a reading beyond 27 degC at each true temperature."""
    return 1000 * conformance_probability(at_c, SPREAD_C, lower=27.0 - ahead_c)


sketch_calls = sketch(
    "13-sketch-calls",
    "Draw how a design goes from silent to called.",
    "The limit is 27 °C, u of a reading is 0.6 °C, and its spread is normal. Of 1000 benches of this design, how many"
    " call at a true 26, 26.5, 27, 27.5 and 28 °C?",
    "", 80, "As good as the eye.",
    Sketch((26, 26.5, 27, 27.5, 28), _calling, ("air", "°C", 25.5, 28.5), ("calls", -20, 1020)),
    wrong=(
        Wrong("all-at-once", lambda f, at: np.where(at < 27, 0.0, 1000.0),
              "No two benches read alike. At 26.5 °C some read beyond the limit already."),
        Wrong("sure-at-limit", lambda f, at: _calling(at, 0.987),
              "At the limit itself a reading is as often below as above."),
        Wrong("other-way", lambda f, at: 1000 - _calling(at), "The warmer it is, the more of them call."),
    ),
    quantity="number",
    then="At 28 °C some 50 of 1000 benches still stay silent: 95 % is not all.",
)

hand_u = Line(
    "13-hand-u",
    "Combine the limits of a design into one standard uncertainty.",
    "The limits are ±1.5, ±5.1, ±1.22 and ±0.61 °C, rectangles, independent of each other. What is the standard"
    " uncertainty, in °C?",
    Number(
        lambda f: _u(*LIMITS_C), "temperature span", "°C", 0.02, "Two digits after the point.", wrong=(
            Wrong("half-widths", lambda f: sqrt(sum(each**2 for each in LIMITS_C)),
                  "A limit is no standard uncertainty. Which divisor makes it one?"),
            Wrong("added", lambda f: sum(LIMITS_C) / sqrt(3),
                  "The uncertainties were added. Independent parts add as squares."),
            Wrong("largest-only", lambda f: 5.1 / sqrt(3), "Only the reference was counted. The others are smaller, not"
                                                           " nothing."),
            Wrong("worst-case", lambda f: sum(LIMITS_C), "That is the worst case, with all at their ends at once."),
        )),
    rail=("u", 0, 9),
)

hand_guard = Line(
    "13-hand-guard",
    "Turn a standard uncertainty into a guard band.",
    "Take the standard uncertainty that you just found. How wide is the guard band for 95 %, one side, in °C?",
    Number(
        lambda f: guard_band(_u(*LIMITS_C), 0.95), "temperature span", "°C", 0.035,
        "Two digits after the point, from a first result to 0.02.",
        wrong=(
            Wrong("two-sided", lambda f: 1.96 * _u(*LIMITS_C),
                  "That factor is for both sides. On which side is a call missed?"),
            Wrong("no-factor", lambda f: _u(*LIMITS_C), "One standard uncertainty holds for 84 of 100, one side."),
            Wrong("both-sides", lambda f: 2 * 1.645 * _u(*LIMITS_C),
                  "The guard band was laid on both sides of the limit."),
        )),
    rail=("guard band", 0, 12),
    then="The room is 1 °C. The bench as it stands fails by more than 4 °C.",
)

hand_late = Line(
    "13-hand-late",
    "Add up what makes a call late.",
    "The sensor follows 40 s late, the smoothing adds 4.5 s, a sample is taken each second, and three readings in a row"
    " make the call. By how many s is the call late at worst?",
    Number(
        lambda f: _row("late by").does, "time", "s", 0.4, "Less than half a sample.", wrong=(
            Wrong("n-periods", lambda f: 48.5, "Three readings in a row have two gaps between them."),
            Wrong("no-sampling", lambda f: 46.5, "At worst the limit is passed just after a sample."),
            Wrong("as-squares", lambda f: sqrt(40**2 + 4.5**2) + 3,
                  "These are delays one after the other, not errors: they simply add."),
            Wrong("no-waits", lambda f: 44.5, "The program waits too: for the next sample, and for two more readings."),
            Wrong("margin", lambda f: 60 - 47.5, "That is what is left of 60 s. How late is the call?"),
            Wrong("smoothing-only", lambda f: 7.5, "The sensor's own lag is missing, and it is the largest."),
        )),
    rail=("late", 0, 60),
    then="60 s are allowed: this line passes, with a margin of 12.5 s.",
)


def _row(name):
    """A row of the table of the bench as it stands."""
    design, price = assemble(catalogue(), FIRST, NEED)
    return next(row for row in check(design, NEED, price) if row.name == name)


def _cheapest(name=""):
    """The least price of a design that passes, with a front end that has this word in its name."""
    found, fronts = search(catalogue(), NEED), catalogue().front_ends
    named = [place for place, front in enumerate(fronts) if name in front.name]
    places, *_ = np.unravel_index(np.arange(found.passes.size), [len(axis) for axis in found.axes])
    return float(found.price[found.passes & np.isin(places, named)].min())


cheapest_linear = Line(
    "13-cheapest-linear",
    "Find the cheapest design that passes.",
    "What is the price of the cheapest design that passes every line with a linear sensor? Write the number alone.",
    Number(
        lambda f: _cheapest("linear"), "number", "", 0.05, "Prices are given to a tenth.", wrong=(
            Wrong("just-short", lambda f: price_of(catalogue(), (1, 4, 2)),
                  "That one fails, by little: look at the two guard bands."),
            Wrong("one-dearer", lambda f: price_of(catalogue(), (2, 4, 1)),
                  "It passes. A steeper line makes the converter's errors smaller in degrees."),
            Wrong("as-it-stands", lambda f: _row("price (invented)").does, "That is the bench as it stands. It fails."),
            Wrong("not-linear", lambda f: _cheapest(),
                  "That is the cheapest of all, with another kind of sensor."),
        )),
    rail=("price", 0, 12),
    then="Remember it: the next section has a surprise.",
)

front_slope = Line(
    "13-front-slope",
    "Read the slope of a front.",
    "At a price of 1.90 the best guard band is 0.612 °C, at 6.00 it is 0.419 °C. By how many °C does it fall for each"
    " unit of money?",
    Number(
        lambda f: (0.612 - 0.419) / (6.00 - 1.90), "temperature span", "°C", 0, "Two digits.", digits=2, wrong=(
            Wrong("height", lambda f: 0.419 / 6.00, "A height over a price is no slope. Take the difference of two."),
            Wrong("rise", lambda f: 0.612 - 0.419, "That is the whole fall. For how much money?"),
            Wrong("start", lambda f: 0.612 / 1.90, "That is the first height over its price. What changed since?"),
        )),
    rail=("slope", 0, 0.4),
    then="From 7.50 to 10.00 it is less than 0.001 °C for each: there one stops paying.",
)

why_thermistor = Line(
    "13-why-no-reference",
    "Say why a poor reference can do no harm.",
    "Why does the supply of 5 %, which spoiled the bench, do no harm to the thermistor in its divider?",
    Choice(
        options=(
            Option("shared", "divider and converter share it",
                   "The divider gives a part of the supply, and the converter measures parts of the supply."),
            Option("averaged", "averaging takes the error out",
                   "A supply that is 5 % low is so in every sample. What does a mean do to that?"),
            Option("current", "a thermistor needs no supply",
                   "Without a supply there is no voltage at its divider. Where does the divider get it?"),
        ),
        right="shared",
    ),
)

which_binds = Line(
    "13-which-binds",
    "Find the line that leaves least.",
    "A design uses 0.54 of 1 °C for its guard band, 22.5 of 60 s, and 3.40 of 12.00. Which line binds?",
    Choice(
        options=(
            Option("guard", "guard band", "54 % of what is allowed is used; of the others 38 % and 28 %."),
            Option("late", "late by", "22.5 s is the larger number. Which part of what is allowed is it?"),
            Option("price", "price", "3.40 is the larger number. Which part of what is allowed is it?"),
        ),
        right="guard",
    ),
)

SENSOR_C, WARMED_C, MOST_U_C = 0.2, 0.3, 0.152  # as printed in the chapter


def _used_c():
    return _u(SENSOR_C, WARMED_C / 2)


half_u = Line(
    "13-half-u",
    "Combine a sensor's limits with a warming.",
    "The sensor is right within ±0.2 °C. Its warming lies between 0 and 0.3 °C. Both are rectangles. What is the"
    " standard uncertainty of both together, in °C?",
    Number(
        lambda f: _used_c(), "temperature span", "°C", 0.001, "Three digits after the point.", wrong=(
            Wrong("half-width", lambda f: sqrt(SENSOR_C**2 + WARMED_C**2 / 4),
                  "A half-width is no standard uncertainty. Which divisor makes it one?"),
            Wrong("sensor-only", lambda f: _u(SENSOR_C),
                  "Only the sensor was counted. The warming is uncertain as well."),
            Wrong("whole-width", lambda f: _u(SENSOR_C, WARMED_C),
                  "From 0 to 0.3 °C the half-width is 0.15 °C."),
            Wrong("added", lambda f: _u(SENSOR_C) + _u(WARMED_C / 2), "Independent parts add as squares."),
        )),
    rail=("u", 0, 0.4),
)

half_left = Line(
    "13-half-left",
    "Find what is left for all the other parts.",
    "u may be 0.152 °C in all. Take the part away that you just found. What is left for all other parts, in °C?",
    Number(
        lambda f: sqrt(MOST_U_C**2 - _used_c() ** 2), "temperature span", "°C", 0.0025,
        "What a first result to 0.001 may change.",
        wrong=(
            Wrong("subtracted", lambda f: MOST_U_C - _used_c(), "Squares add, so squares are taken away."),
            Wrong("added", lambda f: sqrt(MOST_U_C**2 + _used_c() ** 2), "What is used up is taken away, not added."),
            Wrong("no-root", lambda f: MOST_U_C**2 - _used_c() ** 2,
                  "That is the difference of the squares. One thing is left to do."),
        )),
    rail=("left", 0, 0.25),
    then="Enough for a straight converter of 12 bits, at 7.50 in all. Nothing cheaper in the catalogue does it.",
)

agree_ice = Line(
    "13-agree-ice",
    "Compare a first reading with the budget, and act.",
    "The budget of a new bench says ±0.5 °C at 0 °C. In slush, 0.0 °C ± 0.1 °C, it reads 1.1 °C. Do they agree, and"
    " what do you do?",
    Choice(
        options=(
            Option("cause", "disagree, find the cause",
                   "1.1 °C apart, 0.51 °C allowed: something is there that the budget does not know."),
            Option("correct", "disagree, take 1.1 °C away",
                   "Ice would be right then. Would 27 °C, when nobody knows what the error is?"),
            Option("keep", "agree, leave it as it is",
                   "They are 1.1 °C apart. Both ± together are the root of 0.5² + 0.1²."),
        ),
        right="cause",
    ),
)

agree_limit = Line(
    "13-agree-limit",
    "Compare a test near the limit with the claim, and act.",
    "The claim of a design is ±0.3 °C. In its first test it reads 27.31 °C; the thermometer beside it says"
    " 27.0 °C ± 0.1 °C. Do they agree, and what do you do?",
    Choice(
        options=(
            Option("again", "agree, test it again",
                   "0.31 °C apart, 0.316 °C allowed: it passes by a hair, at one point, on one day."),
            Option("trust", "agree, rely on it now",
                   "It passes by 0.006 °C. What will it do at 18 °C, or tomorrow?"),
            Option("scrap", "disagree, scrap it",
                   "It is 0.31 °C off, more than 0.3 °C. But the thermometer is not exact either."),
        ),
        right="again",
    ),
)

LINES = (
    sketch_calls, hand_u, hand_guard, hand_late, cheapest_linear, front_slope, why_thermistor, which_binds, half_u,
    half_left, agree_ice, agree_limit,
)  # fmt: skip

PREDICTIONS = (
    Prediction(
        "13-one-part",
        "The bench has a sensor of ±1.5 °C, its supply of ±5 % as the reference, and a converter of 10 bits. There is"
        " money for one better part: a sensor of ±0.5 °C, a converter of 12 bits with smaller errors, or a reference of"
        " ±1 %. Which one narrows the guard band most?",
        "Now choose *linear sensor, 0.5 °C* in the picture and note the guard band. Press *Reset*, and do the same with"
        " *12 bit, straight*, and with *2.5 V, 1 %*.",
        "The guard band is 5.2 °C, and the reference alone would make 4.8 °C of it: uncertainties add as squares, so"
        " the rest hardly counts. The sensor or the converter brings it to 5.1 °C, the reference to 1.9 °C.",
        options=(
            Idea("The close reference, 0.80 more", right=True),
            Idea("The better sensor, 3.50 more",
                 refuted="It takes 0.2 °C off. Its share was 8 % of the variance; the largest part stays.",
                 source="ours"),
            Idea("The finer converter, 2.50 more",
                 refuted="It takes 0.2 °C off. Steps and their errors were a small part; more bits show the same wrong"
                         " voltage more finely.",
                 source="ours"),
        ),
        explorer="design_project", settings={"front_end": 0, "reference": 0, "converter": 1},
    ),
    Prediction(
        "13-share",
        "The catalogue has 11 front ends, 6 references and 5 converters. With a few settings of the program that makes"
        " 105,600 designs. What part of them meets the requirement?",
        "Now run the next cell: it tries them all.",
        "Every line must pass at once: good at nine and bad at one is out.",
        number=Amount(
            lambda: 100 * float(search(catalogue(), NEED).passes.mean()), "%", 1, near=1,
            wrong=(
                Wrong("half", lambda: 50.0, "As if each design had an even chance. It must pass ten lines, not one."),
        )),
    ),
)
