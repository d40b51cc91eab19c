"""The controls of chapter 11: the fault, the bench that has it, the log to be judged, and the reader's guess."""

from dataclasses import replace

from tempkit.explorers.controls import TEMPERATURE, Control

SHORT = {
    "healthy": "nothing wrong",
    "turned": "sensor turned",
    "no signal": "signal lead open",
    "no ground": "ground lead open",
    "no supply": "supply lead open",
    "constant": "wrong constant",
    "count": "2^N − 1 for 2^N",
    "integer": "integer division",
    "other supply": "3.3 V for 5 V",
    "offset": "wrong offset",
    "leads": "long thin leads",
    "lamp": "lamp turned",
    "sag": "buzzer sags supply",
    "noisy": "noisy supply",
    "baud": "wrong line speed",
}
UNDECIDED = "none"

ROOM = replace(TEMPERATURE, label="room", low=10.0, high=28.0, start=21.0)
RULER = replace(TEMPERATURE, label="ruler", low=-60.0, high=140.0, start=25.0)
FAULT = Control("fault", "the fault", start="no signal", options=tuple(SHORT.items()))
BENCH = Control("bench", "bench", "number", 1, 20, 1, 0, start=1)
LOG = Control("log", "log", "number", 1, 60, 1, 0, start=1)
PRINTS = Control(
    "prints", "the board prints", start="both", options=(("both", "code and reading"), ("reading", "reading"))
)
GUESS = Control("guess", "my cause", start=UNDECIDED, options=((UNDECIDED, "not yet"), *SHORT.items()))
