"""What the comments of generated code say: the design's numbers and the cautions."""

from math import ceil

from tempkit.board.whole_numbers import Line

WARNING = (
    "Whole numbers only. Not a safety device: it calls a person and switches nothing else. Low voltage only; what is",
    "on mains is switched by certified equipment, installed by qualified people under local codes. Try it with a",
    "sensor that is unplugged, shorted, warmed and cooled before you trust it.",
)


def comment(text):
    """A title as it may stand in a comment of any language: one line, without what would end the comment.

    >>> comment("bench */ one\\n#two")
    'bench * / one #two'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in text).replace("*/", "* /").split())


def facts(n):
    """Lines that tell the numbers of a `BoardNumbers`, and how wrong they are at most."""
    lines = [
        f"{n.bits}-bit converter, {n.samples} code{'s' * (n.samples > 1)} summed for a reading, one reading in"
        f" {n.period_ms} ms.",
        f"A warmer sensor gives a {'higher' if n.trips.rising else 'lower'} code; codes from {n.first_code} to"
        f" {n.last_code} can be true, others are invalid.",
        *_inputs(n),
        *_limit("high", n, n.trips.high_on, n.trips.high_off),
        *_limit("low", n, n.trips.low_on, n.trips.low_off),
        f"Delays: on {n.trips.on_delay}, off {n.trips.off_delay}, invalid {n.trips.invalid_delay} readings in a row.",
        *_conversion(n),
    ]
    if n.factor:
        lines.append(f"Smoothing: {n.factor} / 32768 of the way to each new sum.")
    if n.stuck_repeats:
        lines.append(f"A sum that comes {n.stuck_repeats + 1} times in a row is invalid.")
    return lines


def _limit(name, n, level, back):
    if level is None:
        return
    raises, returns = (n.conversion.of(at) / 1000 for at in (level, back))
    yield (
        f"{name.capitalize()} call: from level {level} on (reading {raises:.3f} degC), back from level {back}"
        f" ({returns:.3f} degC)."
    )


def _inputs(n):
    """Which inputs of the converter the reading comes from."""
    if n.cold is None:
        yield "One input of the converter is read."
        return
    codes, levels = (n.cold.first_code, n.cold.last_code), (n.cold.first_level, n.cold.last_level)
    yield f"Two inputs are read: the thermocouple's, and that of its terminals' sensor, codes {codes[0]} to {codes[1]}."
    yield f"A level is that of terminals at 0 degC; levels from {levels[0]} to {levels[1]} can be true."


def _conversion(n):
    if isinstance(n.conversion, Line):
        way = "Reading: one exact fraction of the level"
    else:
        way = f"Reading: a table of {len(n.conversion.values)} values, straight between"
    yield f"{way}; at most {ceil(n.worst_c * 1e4 - 1e-6) / 1e4:.4f} degC from the exact chain, at every level."
    rounded = ["smoothing"] * bool(n.factor) + ["the table of the terminals"] * bool(n.cold)
    if rounded:
        yield f"What is rounded in {' and in '.join(rounded)} is in that figure."
