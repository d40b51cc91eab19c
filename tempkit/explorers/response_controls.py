"""The controls of chapter 08: how a temperature changes, and all that makes a reading and an alarm late."""

from dataclasses import replace

from tempkit.design import Limits, Link, Response, Smoothing
from tempkit.explorers.controls import TEMPERATURE, Control

# Taken where a design states none; invented, as the bench is.
BENCH_ALARM = Limits(low_c=18.0, high_c=27.0, deadband_c=0.5, on_delay_samples=3, sample_period_s=1.0)
STATED = {
    "response": Response(tau_s=40.0),
    "smoothing": Smoothing(tau_s=10.0),
    "alarm": BENCH_ALARM,
    "link": Link(baud=9600),
}


def completed(design):
    """The design with the bench's lag, smoothing, alarm and link where it states none.

    >>> from tempkit.explorers.stage import north_bench
    >>> completed(north_bench()).alarm.high_c
    27.0
    """
    return replace(design, **{name: part for name, part in STATED.items() if getattr(design, name) is None})


def setting(part, field, kind=float):
    """Reader and writer of a field of a part that a design may leave out.

    >>> from tempkit.explorers.stage import north_bench
    >>> setting("alarm", "high_c")["get"](north_bench())
    27.0
    """

    def get(design):
        return getattr(getattr(completed(design), part), field)

    def put(design, value):
        return replace(design, **{part: replace(getattr(completed(design), part), **{field: kind(value)})})

    return {"get": get, "put": put}


GOES_TO = replace(TEMPERATURE, label="goes to", low=10.0, high=40.0, start=34.0)
SHAPE = Control(
    "shape",
    "change",
    start="ramp",
    options=(("step", "at once"), ("ramp", "steady"), ("swing", "to and fro")),
)
STEP_OR_RAMP = replace(SHAPE, options=SHAPE.options[:2])
RATE = Control("rate_c", "in a minute", "", 0.2, 10.0, 0.1, 1, 2.0, "span", only_if=("shape", "ramp"))
SWING = Control("swing_min", "there and back", "min", 0.5, 20.0, 0.5, 1, 8.0, only_if=("shape", "swing"))
LAG = Control("tau_s", "lag of the sensor", "s", 0.0, 180.0, 1.0, 0, **setting("response", "tau_s"))
SMOOTHING = Control("smoothing_s", "smoothing", "s", 0.0, 120.0, 1.0, 0, **setting("smoothing", "tau_s"))
PERIOD = Control("period_s", "sample every", "s", 0.2, 60.0, 0.2, 1, **setting("alarm", "sample_period_s"))
WAIT = Control("wait_s", "loop waits", "s", 0.05, 10.0, 0.05, 2, **setting("alarm", "sample_period_s"))
ON_DELAY = Control("on_delay", "on-delay", "samples", 1, 20, 1, 0, **setting("alarm", "on_delay_samples", round))
SPEED = Control("kbit_s", "line", "kbit/s", 0.3, 38.4, 0.3, 1, factor=0.001, **setting("link", "baud", round))
CHARACTERS = Control("characters", "prints", "characters", 0, 300, 5, 0, 60)
PRINTING = Control(
    "printing",
    "printing",
    start="waits",
    options=(("waits", "waits"), ("buffered", "buffer 64")),
)
SECONDS = Control(
    "shown_s",
    "shows",
    start=120,
    options=((30, "30 s"), (120, "2 min"), (600, "10 min")),
)
