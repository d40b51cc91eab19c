"""Practice for chapter 13, continued: what the settings of the program do to the lines, and the price."""

from math import sqrt

from tempkit.homework.problem import Choice, Draw, Number, Option, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.noise import smoothed_noise_ratio
from tempkit.requirement import Line


def _noise_c(f):
    return f.noise_mv / f.slope_mv


averaged = Problem(
    "13-averaged", 2, "Noise after averaging",
    "Say what averaging leaves of the noise of a reading.",
    text="At the converter's pin of a design stands noise of {noise_mv} mV (standard deviation); one degree is worth"
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
    text="Each reading of a design has noise of {noise_c} °C (standard deviation), and one reading knows nothing of"
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
    text="A steady change passes the limit. The sensor follows it {lag_s} s late, the smoothing another {smoothing_s}"
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
    text="A design takes a front end at {front}, a reference at {reference} and a converter at {converter}"
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
    text="The buzzer's limit lies {room_c} °C above the temperature at which it has to be silent. One step of the"
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
    text="A thermistor is right within ±{sensor_c} °C. Its own current warms it, by 0 °C to {warmed_c} °C, nobody"
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
    text="Five designs meet a requirement: A costs {price_a}, guard band {guard_a} °C; B {price_b}, {guard_b} °C; C"
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

SETTINGS = (averaged, smoothed, late, price, deadband, bias, front)
