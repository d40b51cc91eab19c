"""The controls of chapter 07: the bench's temperature, its readings, and what the alarm is set to."""

from dataclasses import replace

from tempkit.explorers.controls import TEMPERATURE, Control
from tempkit.explorers.response_controls import ON_DELAY as ON_DELAY
from tempkit.explorers.response_controls import completed, setting


def _limit(field, start):
    """Reader and writer of one limit; where a design has none the slider stands at the bench's."""

    def get(design):
        value = getattr(completed(design).alarm, field)
        return start if value is None else value

    return {"get": get, "put": setting("alarm", field)["put"]}


BENCH_AT = replace(TEMPERATURE, label="bench at", low=16.0, high=30.0, start=26.0)
SWING = Control("swing_c", "swings by, ±", low=0.0, high=5.0, start=1.5, scale="span")
NOISE_C = Control("noise_c", "noise of a reading", low=0.0, high=1.5, step=0.05, digits=2, start=0.3, scale="span")
LOW = Control("low_c", "low limit", low=15.0, high=22.0, scale="temperature", **_limit("low_c", 18.0))
HIGH = Control("high_c", "high limit", low=22.5, high=31.0, scale="temperature", **_limit("high_c", 27.0))
DEADBAND = Control("deadband_c", "deadband", low=0.0, high=3.0, scale="span", **setting("alarm", "deadband_c"))
OFF_DELAY = Control("off_delay", "off-delay", "samples", 1, 20, 1, 0, **setting("alarm", "off_delay_samples", round))
LEAD = Control(
    "lead",
    "the lead",
    start="whole",
    options=(("whole", "is whole"), ("open", "is open, 4 to 5 min"), ("loose", "is loose, 4 to 5 min")),
)
TRUE_AT = replace(TEMPERATURE, label="true temperature", low=14.0, high=32.0, start=26.5)
DOUBT = Control("standard_c", "standard uncertainty", low=0.05, high=3.0, step=0.05, digits=2, start=0.8, scale="span")
GUARD = Control(
    "level",
    "guard band for",
    start=0.95,
    options=((None, "none"), (0.9, "90 %, one side"), (0.95, "95 %, one side"), (0.99, "99 %, one side")),
)
USUAL = Control("usual_c", "bench is usually at", low=18.0, high=27.0, start=24.0, scale="temperature")
SPREAD = Control("spread_c", "give or take", low=0.5, high=4.0, start=2.0, scale="span")
