"""The controls of chapter 10's recorded log: which log, where in it, how long a window."""

from dataclasses import replace

from tempkit.explorers.controls import TEMPERATURE, Control

LOG = Control(
    "log",
    "recorded log",
    start="evening",
    options=(
        ("evening", "a quiet evening"),
        ("messy", "a bad day"),
        ("csv", "a sunny morning"),
        ("comma", "a busy door"),
        ("drift", "a steady room"),
    ),
)
POSITION = Control("position", "window at", "%", 0.0, 100.0, 0.5, 1, start=20.0)
WINDOW = Control(
    "window_min",
    "window of",
    start=10,
    options=((2, "2 minutes"), (5, "5 minutes"), (10, "10 minutes"), (30, "30 minutes")),
)
TRUTH = replace(TEMPERATURE, label="truth beside it", start=23.2)
