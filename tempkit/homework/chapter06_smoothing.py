"""Practice for chapter 06, second part: first-order smoothing, its factor, its noise and its lag."""

import math

from tempkit.homework.problem import Draw, Number, Problem, Wrong
from tempkit.homework.problem import plain as n
from tempkit.noise import smoothed_noise_ratio, smoothing_factor, smoothing_lag_s

factor = Problem(
    "06-smoothing-factor", 1, "The factor of smoothing",
    "Turn a time constant into a smoothing factor.",
    text="A program smooths a reading every {dt_s} s: new = old + factor × (reading − old). The time constant shall be"
         " {tau_s} s. Which factor is exact?",
    figures=(Draw("dt_s", (1, 0.5, 2)), Draw("tau_s", (5, 4, 8, 3, 6))),
    sensible=lambda f: 0.1 <= f.dt_s / f.tau_s <= 0.7,
    answer=Number(
        lambda f: smoothing_factor(f.dt_s, f.tau_s), "number", "", 0.0012,
        "Three digits are asked for, and a common approximation lies only a little further off.",
        wrong=(
            Wrong("ratio", lambda f: f.dt_s / f.tau_s,
                  "This is the ratio of the two times. It is a straight line where the step response is a curve."),
            Wrong("ratio-of-sum", lambda f: f.dt_s / (f.tau_s + f.dt_s),
                  "This is an approximation often seen, period over period plus time constant. The exact factor is a"
                  " little different."),
            Wrong("what-is-left", lambda f: math.exp(-f.dt_s / f.tau_s),
                  "This is the part of the old value that is kept. The factor is the part of the new one."),
            Wrong("upside-down", lambda f: 1 - math.exp(-f.tau_s / f.dt_s),
                  "The ratio of the times is upside down: a longer time constant must give a smaller factor."),
    )),
    hints=("After one period, a lag of first order has gone the part 1 − exp(−time ÷ time constant) of a jump.",
           "The factor is that part, with the sample period as the time."),
    solution=lambda f: (
        f"Ratio: {n(f.dt_s)} s ÷ {n(f.tau_s)} s = {n(f.dt_s / f.tau_s)}\n"
        f"Factor: 1 − exp(−{n(f.dt_s / f.tau_s)}) = {n(1 - math.exp(-f.dt_s / f.tau_s))}"
    ),
)


def _quiet(f):
    return f.noise_c * math.sqrt(f.factor / (2 - f.factor))


smoothed_noise = Problem(
    "06-smoothed-noise", 2, "What smoothing leaves of the noise",
    "Work out the noise behind first-order smoothing.",
    text="Readings have independent noise with a standard deviation of {noise_c} °C. They are smoothed with a factor of"
         " {factor}. How large is the noise of the smoothed reading, once it has settled?",
    figures=(Draw("noise_c", (0.4, 0.25, 0.6, 0.32, 0.5)), Draw("factor", (0.2, 0.1, 0.25, 0.15, 0.3))),
    answer=Number(
        lambda f: f.noise_c * smoothed_noise_ratio(f.factor), "temperature span", "°C",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=2, wrong=(
            Wrong("times-factor", lambda f: f.noise_c * f.factor,
                  "The noise was multiplied by the factor. That is the share of the newest reading alone; older ones"
                  " still count."),
            Wrong("root-of-factor", lambda f: f.noise_c * math.sqrt(f.factor),
                  "The root of the factor is too much: the weights fall off, and their squares add to less."),
            Wrong("no-root", lambda f: f.noise_c * f.factor / (2 - f.factor),
                  "This ratio is one of variances. What makes it one of standard deviations?"),
            Wrong("what-is-kept", lambda f: f.noise_c * (1 - f.factor),
                  "The noise was multiplied by what is kept of the old value. That value is already quiet."),
    )),
    hints=("The squares of the weights add up to factor ÷ (2 − factor).",
           "That is the ratio of the variances; noise goes with its root."),
    solution=lambda f: (
        f"Ratio of variances: {n(f.factor)} ÷ (2 − {n(f.factor)}) = {n(f.factor / (2 - f.factor))}\n"
        f"Noise: {n(f.noise_c)} °C × √{n(f.factor / (2 - f.factor))} = {n(_quiet(f))} °C"
    ),
)


def _lag_s(f):
    return f.dt_s * (1 - f.factor) / f.factor


lag = Problem(
    "06-smoothing-lag", 1, "The price of quiet",
    "Work out how far a smoothed reading trails a rising temperature.",
    text="The air warms by {rate_c_per_min} °C a minute, steadily. A reading every {dt_s} s is smoothed with a"
         " factor of {factor}. How far does the smoothed reading trail behind the air, once it has settled?",
    figures=(Draw("rate_c_per_min", (0.5, 2, 1.5, 0.8)), Draw("dt_s", (2, 5, 4, 10)),
             Draw("factor", (0.2, 0.1, 0.25, 0.08))),
    answer=Number(
        lambda f: f.rate_c_per_min / 60 * smoothing_lag_s(f.factor, f.dt_s), "temperature span", "°C",
        0,
        "Half a unit of the last digit asked for is the room for rounding.",
        digits=3, wrong=(
            Wrong("period-over-factor", lambda f: f.rate_c_per_min / 60 * f.dt_s / f.factor,
                  "The lag was taken as period over factor. The newest reading counts at once: one period less."),
            Wrong("one-period", lambda f: f.rate_c_per_min / 60 * f.dt_s,
                  "This is what the air gains in one period. The smoothing looks back further."),
            Wrong("not-per-second", lambda f: f.rate_c_per_min * _lag_s(f),
                  "The rate is given for a minute, the lag came out in seconds."),
            Wrong("times-factor", lambda f: f.rate_c_per_min / 60 * f.dt_s * f.factor,
                  "The period was multiplied by the factor. A smaller factor must make the lag longer."),
    )),
    hints=("Once settled, the lag is the period times what is kept of the old value, divided by the factor.",
           "That is a time. Multiply it by the rate, in °C per second."),
    solution=lambda f: (
        f"Lag: {n(f.dt_s)} s × (1 − {n(f.factor)}) ÷ {n(f.factor)} = {n(_lag_s(f))} s\n"
        f"Trails by: {n(f.rate_c_per_min)} °C/min ÷ 60 s/min × {n(_lag_s(f))} s"
        f" = {n(f.rate_c_per_min / 60 * _lag_s(f))} °C"
    ),
)

SMOOTHING = (factor, smoothed_noise, lag)
