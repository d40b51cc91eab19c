"""The C99 texts that `code_c` fills in."""

from string import Template

HEADER = Template("""\
/* $title
 *
$facts
 *
$warning
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
    int32_t sum, last_sum; /* of the reading being collected, and of the last one */
    uint16_t taken, repeats;
    uint16_t above, below, back, wrong, right; /* readings in a row */
    int8_t state; /* -1 low, 0 normal, +1 high */
    bool good, smooth; /* all codes so far; the level may be smoothed */
    bool known, invalid, silenced; /* a valid reading has come; the invalid call stands; the buzzer is off */
};

void chain_start(struct chain *c); /* at power-on: no call stands, nothing is known */
bool chain_take(struct chain *c, int32_t code); /* one code; true when a reading is complete */
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

static void smoothed(struct chain *c)
{
    $smoothing
}

static void read_sum(struct chain *c)
{
    bool valid = c->good;
$stuck
    if (valid) {
        smoothed(c);
    }
    step(c, valid);
    c->smooth = c->smooth && !c->invalid;
}

void chain_start(struct chain *c)
{
    static const struct chain power_on = {.last_sum = CHAIN_NO_CODE, .good = true};

    *c = power_on;
}

bool chain_take(struct chain *c, int32_t code)
{
    c->good = c->good && code >= FIRST_CODE && code <= LAST_CODE;
    if (c->good) {
        c->sum += code;
    }
    c->taken++;
    if (c->taken < CHAIN_SAMPLES) {
        return false;
    }
    read_sum(c);
    c->sum = 0;
    c->taken = 0;
    c->good = true;
    return true;
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
/* $title: an example of the main loop. Fill in the three functions for your board. */
#include "chain.h"

#define LAMP 0
#define BUZZER 1

int32_t read_converter(void); /* one code, or CHAIN_NO_CODE where none came in time; keep samples apart in time */
void set_output(uint8_t output, bool on);
void wait_ms(uint32_t ms); /* also the place to look at the silence key and to feed the board's watchdog */

int main(void)
{
    static struct chain chain;

    chain_start(&chain);
    set_output(LAMP, true); /* see and hear both at power-on: an output that has died says nothing */
    set_output(BUZZER, true);
    wait_ms(1000);
    for (;;) {
        while (!chain_take(&chain, read_converter())) {
        }
        set_output(LAMP, chain_lamp(&chain, false));
        set_output(BUZZER, chain_buzzer(&chain, false));
        wait_ms(CHAIN_PERIOD_MS);
    }
}
""")

LINE = Template("""\
int32_t chain_milli_c(int32_t level)
{
    return $cast nearest($product + $addend, $divisor);
}
""")

TABLE = Template("""\
/* readings [0.001 degC] every $width levels from level $start on; straight between */
static const int32_t table[] = {
$values
};

int32_t chain_milli_c(int32_t level)
{
    int32_t piece = (level - INT32_C($start)) / INT32_C($width);
    int32_t rest;

    if (level < INT32_C($start)) {
        piece = 0;
    }
    if (piece > INT32_C($last)) {
        piece = INT32_C($last);
    }
    rest = level - INT32_C($start) - piece * INT32_C($width);
    return table[piece] + $cast nearest($product * rest, $width_wide);
}
""")
