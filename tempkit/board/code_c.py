"""C99 for a board: a header, a source and a short example main loop, in whole numbers only."""

from tempkit.board.c_templates import COLD, HEADER, LINE, MAIN, SOURCE, TABLE
from tempkit.board.code_text import WARNING, comment, facts
from tempkit.boardconversion import Line
from tempkit.boardnumbers import PARTS


def files(n):
    """Names and texts of the C files for `BoardNumbers`: chain.h, chain.c, example_main.c.

    >>> from tempkit.boardnumbers import numbers
    >>> from tempkit.chainfile import read
    >>> sorted(files(numbers(read("data/chains/north-bench.toml"))))
    ['chain.c', 'chain.h', 'example_main.c']
    """
    shared = {
        "title": comment(n.title),
        "facts": "\n".join(f" * {line}" for line in facts(n)),
        "warning": "\n".join(f" * {line}" for line in WARNING),
        "samples": n.samples,
        "period_ms": n.period_ms,
        "per_code": n.per_code,
        "cold_field": "\n    int32_t cold_sum; /* of the second input's codes */" if n.cold else "",
        "cold_code": ", int32_t cold_code" if n.cold else "",
        "cold_words": ", cold_code the second input's" if n.cold else "",
        "cold_name": "COLD, " if n.cold else "",
        "cold_read": ", read_input(COLD)" if n.cold else "",
        "cold_told": ", COLD: one of the sensor at the terminals" if n.cold else "",
    }
    source = SOURCE.substitute(
        shared,
        first_code=n.first_code,
        last_code=n.last_code,
        alarm_defines=_defines(n),
        wide="int64_t" if _needs_wide(n) else "int32_t",
        conversion=_conversion(n),
        cold_conversion=_cold_table(n),
        target="c->sum" if n.fraction_bits == 0 else f"c->sum * INT32_C({1 << n.fraction_bits})",
        cold=COLD if n.cold else "",
        cold_good=" && cold_code >= FIRST_COLD && cold_code <= LAST_COLD" if n.cold else "",
        cold_add="\n        c->cold_sum += cold_code;" if n.cold else "",
        cold_reset="\n    c->cold_sum = 0;" if n.cold else "",
        is_high=_reaches(n.trips, "high_on", +1),
        is_low=_reaches(n.trips, "low_on", -1),
        high_off=_reaches(n.trips, "high_off", -1),
        low_off=_reaches(n.trips, "low_off", +1),
        smoothing=_smoothing(n),
        stuck=STUCK if n.stuck_repeats else "",
    )
    return {"chain.h": HEADER.substitute(shared), "chain.c": source, "example_main.c": MAIN.substitute(shared)}


STUCK = """\
    bool again = valid && c->sum == c->last_sum;

    c->repeats = again ? count_up(c->repeats, true, STUCK_REPEATS) : 0;
    c->last_sum = valid ? c->sum : CHAIN_NO_CODE;
    valid = valid && c->repeats != STUCK_REPEATS;"""


def _needs_wide(n):
    """Smoothing multiplies a difference of levels by up to 32768, and that wants 64 bits."""
    return n.wide or n.factor > 0


def _defines(n):
    edges = {name: getattr(n.trips, name) for name in ("high_on", "high_off", "low_on", "low_off")}
    counts = {name: getattr(n.trips, name.lower()) for name in ("ON_DELAY", "OFF_DELAY", "INVALID_DELAY")}
    counts |= {"STUCK_REPEATS": n.stuck_repeats} if n.stuck_repeats else {}
    if n.cold:
        edges |= {f"{end}_cold": getattr(n.cold, f"{end}_code") for end in ("first", "last")}
        edges |= {f"{end}_level": getattr(n.cold, f"{end}_level") for end in ("first", "last")}
    lines = [f"#define {name.upper()} INT32_C({level})" for name, level in edges.items() if level is not None]
    return "\n".join([*lines, *(f"#define {name} {count}u" for name, count in counts.items())]) + "\n"


def _reaches(trips, name, side):
    """The comparison of a level with an edge, on the side that warming (+1) or cooling (-1) leads to."""
    if getattr(trips, name) is None:
        return "(void)level;\n    return false; /* the design has no such limit */"
    return f"return level {'>=' if (side > 0) == trips.rising else '<='} {name.upper()};"


def _number(value, wide):
    return f"INT64_C({value})" if wide else f"INT32_C({value})"


def _conversion(n):
    """The function that turns a level into a reading, in integers as wide as the numbers on the way need."""
    wide, cast = _needs_wide(n), "(int32_t)" if _needs_wide(n) else ""
    if isinstance(n.conversion, Line):
        line = n.conversion
        return LINE.substitute(
            cast=cast,
            product=f"{_number(line.multiplier, wide)} * level",
            addend=_number(line.addend, wide),
            divisor=_number(line.divisor, wide),
        )
    return _table(n, n.conversion, "int32_t chain_milli_c(int32_t level)", "readings [0.001 degC]", "level")


def _cold_table(n):
    """The function that tells what a sum of the second input's codes adds to a level."""
    head = "static int32_t cold_level(int32_t sum)"
    return _table(n, n.cold.levels, head, "what the terminals add to a level", "sum") if n.cold else ""


def _table(n, table, head, what, given):
    wide, cast = _needs_wide(n), "(int32_t)" if _needs_wide(n) else ""
    values = [f"INT32_C({value})" for value in table.values]
    rows = ["        " + ", ".join(values[i : i + 6]) for i in range(0, len(values), 6)]
    slope = "(table[piece + 1] - table[piece])"
    return TABLE.substitute(
        head=head,
        what=what,
        given=given,
        width=table.width,
        start=table.start,
        values=",\n".join(rows),
        last=len(table.values) - 2,
        cast=cast,
        product=f"(int64_t){slope}" if wide else slope,
        width_wide=_number(table.width, wide),
    )


def _smoothing(n):
    if not n.factor:
        return "c->level = target;\n    c->smooth = true;"
    return f"""\
if (c->smooth) {{
        c->level += (int32_t)nearest((int64_t)(target - c->level) * INT64_C({n.factor}), INT64_C({PARTS}));
    }} else {{
        c->level = target; /* the first valid reading, or the first after a row of invalid ones */
    }}
    c->smooth = true;"""
