"""C99 for a board: a header, a source and a short example main loop, in whole numbers only."""

from string import Template

from tempkit.board.code_words import WARNING, comment, facts
from tempkit.board.whole_numbers import PARTS, Line

HEADER = Template("""\
/* $title
 *
$facts
 *
$warning
 *
 * example_main.c is the main loop; of you it wants four functions: inputs (the key's too), outputs, clock, serial line.
 */
#ifndef CHAIN_H
#define CHAIN_H

#include <stdbool.h>
#include <stdint.h>

#define CHAIN_SAMPLES ${samples}u /* codes for one reading */
#define CHAIN_PERIOD_MS ${period_ms}u /* from one reading to the next */
#define CHAIN_NO_CODE INT32_C(-1) /* give this where no code came in time */

struct chain {
    int32_t level; /* smoothed sum of codes, $per_code to a code */
    int32_t sum, last_sum; /* of the reading being collected, and of the last one */$cold_field
    uint16_t taken, repeats;
    uint16_t above, below, back, wrong, right; /* readings in a row */
    int8_t state; /* -1 low, 0 normal, +1 high */
    bool good, smooth; /* all codes so far; the level may be smoothed */
    bool known, invalid, silenced; /* a valid reading has come; the invalid call stands; the buzzer is off */
};

void chain_start(struct chain *c); /* at power-on: no call stands, nothing is known */
/* one code$cold_words; true when a reading is complete */
bool chain_take(struct chain *c, int32_t code$cold_code);
bool chain_valid(const struct chain *c); /* the last reading can be believed */
int32_t chain_milli_c(int32_t level); /* a level as 0.001 degC; right where `known` and not `invalid` */
void chain_silence(struct chain *c); /* the operator's key: buzzer off, the call stays */
bool chain_lamp(const struct chain *c, bool test); /* low or invalid; with `test`: on */
bool chain_buzzer(const struct chain *c, bool test); /* high or invalid; with `test`: on */

#endif
""")

SOURCE = Template("""\
/* $title: see chain.h for the design's numbers and the cautions. */
#include "chain.h"

#define FIRST_CODE INT32_C($first_code)
#define LAST_CODE INT32_C($last_code)
$alarm_defines
static $wide nearest($wide a, $wide b) /* the nearest whole number to a / b, halves away from zero; b is above 0 */
{
    return (a < 0 ? a - b / 2 : a + b / 2) / b;
}

$conversion
$cold_conversion
static uint16_t count_up(uint16_t count, bool goes_on, uint16_t enough)
{
    if (!goes_on) {
        return 0;
    }
    return count < enough ? (uint16_t)(count + 1u) : enough;
}

static bool is_high(int32_t level)
{
    $is_high
}

static bool is_low(int32_t level)
{
    $is_low
}

static bool is_back(int32_t level, int8_t state)
{
    if (state > 0) {
        $high_off
    }
    $low_off
}

static bool stands(const struct chain *c)
{
    return c->state != 0 || c->invalid;
}

static void decide(struct chain *c)
{
    int8_t before = c->state;

    if (c->above == ON_DELAY) {
        c->state = 1;
    } else if (c->below == ON_DELAY) {
        c->state = -1;
    } else if (c->back == OFF_DELAY) {
        c->state = 0;
    }
    if (c->state != before) {
        c->back = 0;
    }
    if (c->wrong == INVALID_DELAY) {
        c->invalid = true;
    } else if (c->right == OFF_DELAY) {
        c->invalid = false;
    }
}

static void step(struct chain *c, bool valid)
{
    int8_t state = c->state;
    bool invalid = c->invalid;

    c->known = c->known || valid;
    c->above = count_up(c->above, valid && is_high(c->level), ON_DELAY);
    c->below = count_up(c->below, valid && is_low(c->level), ON_DELAY);
    c->back = count_up(c->back, valid && state != 0 && is_back(c->level, state), OFF_DELAY);
    c->wrong = count_up(c->wrong, !valid, INVALID_DELAY);
    c->right = count_up(c->right, valid, OFF_DELAY);
    decide(c);
    /* a silence ends with the last call, and with every call that is new */
    if ((c->state != 0 && c->state != state) || (c->invalid && !invalid) || !stands(c)) {
        c->silenced = false;
    }
}

static void smoothed(struct chain *c, int32_t target)
{
    $smoothing
}

static void read_sum(struct chain *c)
{
    bool valid = c->good;
    int32_t target = $target;
$cold$stuck
    if (valid) {
        smoothed(c, target);
    }
    step(c, valid);
    c->smooth = c->smooth && c->wrong < INVALID_DELAY; /* it goes on while the invalid call stands */
}

void chain_start(struct chain *c)
{
    static const struct chain power_on = {.last_sum = CHAIN_NO_CODE, .good = true};

    *c = power_on;
}

bool chain_take(struct chain *c, int32_t code$cold_code)
{
    c->good = c->good && code >= FIRST_CODE && code <= LAST_CODE$cold_good;
    if (c->good) {
        c->sum += code;$cold_add
    }
    c->taken++;
    if (c->taken < CHAIN_SAMPLES) {
        return false;
    }
    read_sum(c);
    c->sum = 0;$cold_reset
    c->taken = 0;
    c->good = true;
    return true;
}

bool chain_valid(const struct chain *c)
{
    return c->right > 0u;
}

void chain_silence(struct chain *c)
{
    c->silenced = stands(c);
}

bool chain_lamp(const struct chain *c, bool test)
{
    return test || c->state < 0 || c->invalid || c->silenced;
}

bool chain_buzzer(const struct chain *c, bool test)
{
    return test || ((c->state > 0 || c->invalid) && !c->silenced);
}
""")

MAIN = Template("""\
/* $title: an example of the main loop. It runs on your board with these four functions, in a file of your own. */
#include "chain.h"

enum { CONVERTER, ${cold_name}KEY };
enum { LAMP, BUZZER };

/* CONVERTER: one code, or CHAIN_NO_CODE where none came in time; keep samples apart in time$cold_told;
   KEY: above 0 while the key that silences is pressed */
int32_t read_input(uint8_t input);
void set_output(uint8_t output, bool on); /* LAMP or BUZZER */
uint32_t now_ms(void); /* a clock that counts on and on, and after 2^32 - 1 from 0 */
void send(char sign); /* one character to the serial line */

static bool is_past(uint32_t t_ms)
{
    return now_ms() - t_ms < UINT32_C(0x80000000);
}

static void say(const char *text)
{
    while (*text) {
        send(*text++);
    }
}

static void say_whole(uint32_t value)
{
    if (value > 9u) {
        say_whole(value / 10u);
    }
    send((char)('0' + value % 10u));
}

static void say_tenths(int32_t tenths)
{
    uint32_t size = tenths < 0 ? 0u - (uint32_t)tenths : (uint32_t)tenths;

    say(tenths < 0 ? "-" : "");
    say_whole(size / 10u);
    say(".");
    say_whole(size % 10u);
}

/* t=12.3 code=163 read=24.8, the mean code with a decimal where there are several; nan where nothing is known */
static void say_line(uint32_t t_ms, int32_t sum, const struct chain *c)
{
    int32_t milli_c = chain_valid(c) ? chain_milli_c(c->level) : 0;

    say("t=");
    say_tenths((int32_t)(t_ms / 100u + (t_ms % 100u + 50u) / 100u));
    say(" code=");
    if (sum < 0) {
        say("nan");
    } else if (CHAIN_SAMPLES == 1u) {
        say_whole((uint32_t)sum);
    } else {
        uint32_t whole = (uint32_t)sum / CHAIN_SAMPLES, rest = (uint32_t)sum % CHAIN_SAMPLES;

        say_tenths((int32_t)(10u * whole + (10u * rest + CHAIN_SAMPLES / 2u) / CHAIN_SAMPLES));
    }
    say(" read=");
    if (chain_valid(c)) {
        say_tenths((milli_c < 0 ? milli_c - 50 : milli_c + 50) / 100);
    } else {
        say("nan");
    }
    say("\\r\\n");
}

int main(void)
{
    static struct chain chain;
    uint32_t start_ms, due_ms;
    bool held = false;

    chain_start(&chain);
    set_output(LAMP, true); /* see and hear both at power-on: an output that has died says nothing */
    set_output(BUZZER, true);
    start_ms = now_ms() + 1000u;
    while (!is_past(start_ms)) {
    }
    due_ms = start_ms;
    for (;;) {
        int32_t code, sum = 0;

        do {
            code = read_input(CONVERTER);
            sum = sum < 0 || code < 0 ? -1 : sum + code;
        } while (!chain_take(&chain, code$cold_read));
        say_line(due_ms - start_ms, sum, &chain);
        do { /* the next moment of a fixed beat, so that nothing adds up; what is late skips beats */
            due_ms += CHAIN_PERIOD_MS;
        } while (is_past(due_ms));
        do { /* also the place to feed the board's watchdog */
            bool pressed = read_input(KEY) > 0;

            if (pressed && !held) {
                chain_silence(&chain);
            }
            held = pressed;
            set_output(LAMP, chain_lamp(&chain, false));
            set_output(BUZZER, chain_buzzer(&chain, false));
        } while (!is_past(due_ms));
    }
}
""")

COLD = """\
    target += cold_level(c->cold_sum);
    valid = valid && target >= FIRST_LEVEL && target <= LAST_LEVEL;
"""

LINE = Template("""\
int32_t chain_milli_c(int32_t level)
{
    return $cast nearest($product + $addend, $divisor);
}
""")

TABLE = Template("""\
$head /* $what every $width from $start on; straight between */
{
    static const int32_t table[] = {
$values
    };
    int32_t piece = ($given - INT32_C($start)) / INT32_C($width);
    int32_t rest;

    if ($given < INT32_C($start)) {
        piece = 0;
    }
    if (piece > INT32_C($last)) {
        piece = INT32_C($last);
    }
    rest = $given - INT32_C($start) - piece * INT32_C($width);
    return table[piece] + $cast nearest($product * rest, $width_wide);
}
""")


def files(n):
    """Names and texts of the C files for `BoardNumbers`: chain.h, chain.c, example_main.c.

    >>> from tempkit.board.whole_numbers import numbers
    >>> from tempkit.chain import read
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
