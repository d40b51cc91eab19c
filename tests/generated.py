"""Generated code run for real: on the host, in a simulated 8-bit core, in a MicroPython interpreter."""

import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

from tempkit.board import write
from tempkit.chain import Limits, Noise, read

if __package__:  # a benchmark's helper
    from tests import eightbit
else:
    import eightbit

ROOT = Path(__file__).resolve().parent.parent
CHAINS = sorted((ROOT / "data" / "chains").glob("*.toml"))
STRICT = ["-std=c99", "-Wall", "-Wextra", "-Wconversion", "-Werror", "-pedantic"]
SANITIZED = ["-O1", "-fsanitize=undefined", "-fno-sanitize-recover=all"]
KEY = -1000  # in a trace: the operator's silence key

EVERY_CODE = """
#include <stdio.h>
#include "chain.h"
int main(void)
{
    for (int32_t code = FIRST; code <= LAST; code++) {
        printf("%ld\\n", (long)chain_milli_c(code * PER_CODE));
    }
    return 0;
}
"""

TRACE = """
#include <stdio.h>
#include "chain.h"
int main(void)
{
    static struct chain c;
    long code, cold;
    chain_start(&c);
    while (scanf("%ld %ld", &code, &cold) == 2) {
        if (code == KEY) {
            chain_silence(&c);
        } else if (TAKE(&c, (int32_t)code, (int32_t)cold)) {
            printf("%ld %d %d %d %d %d %d %ld\\n", (long)c.level, c.state, c.known, c.invalid, c.silenced,
                   chain_lamp(&c, false), chain_buzzer(&c, false), (long)chain_milli_c(c.level));
        }
    }
    return 0;
}
"""

MICRO = """
import sys
sys.path.insert(0, {folder!r})
from chain import Chain, milli_c
if {codes!r}:
    for code in range({codes!r}[0], {codes!r}[1] + 1):
        print(milli_c(code * {per_code}))
c = Chain()
for line in open({trace!r}):
    code, cold = [int(each) for each in line.split()]
    if code == {key}:
        c.silence()
    elif c.take(code, *[cold] * {cold}):
        told = (c.state, c.known, c.invalid, c.silenced, c.lamp(), c.buzzer())
        print(c.level, *(int(each) for each in told), milli_c(c.level))
"""

# A student's part of the example, on a clock of its own: a converter's code takes 7 ms, a look at the clock 1 ms.
BOARD = """
#include "chain.h"
static const int16_t script[] KEPT = {{{script}}};
static uint32_t t_ms = UINT32_C(0xFFFFF000); /* soon it begins again at 0 */
static uint16_t at, said;
int32_t read_input(uint8_t input);
void set_output(uint8_t output, bool on);
uint32_t now_ms(void);
void send(char sign);
int32_t read_input(uint8_t input)
{{
    if (input == {key}) {{
        uint32_t since = t_ms - UINT32_C(0xFFFFF000);
        return since >= {press}UL && since < {press}UL + 4500UL;
    }}
    if (input > 0) {{
        return kept(&script[at - 1]);
    }}
    t_ms += 7;
    at = (uint16_t)(at + 2);
    TELL("# code at %lu\\n", (unsigned long)(t_ms - 7 - UINT32_C(0xFFFFF000)));
    return kept(&script[at - 2]);
}}
void set_output(uint8_t output, bool on)
{{
    static bool is[2];
    if (is[output] != on) {{
        TELL("# output %d", output);
        TELL(" is %d", on);
        TELL(" at %lu\\n", (unsigned long)(t_ms - UINT32_C(0xFFFFF000)));
    }}
    is[output] = on;
}}
uint32_t now_ms(void)
{{
    return t_ms++;
}}
void send(char sign)
{{
    SEND(sign);
    said = (uint16_t)(said + (sign == '\\n'));
    if (said == {lines}) {{
        STOP;
    }}
}}
"""
BOARD_ON_HOST = """
#include <stdio.h>
#include <stdlib.h>
#define KEPT
#define kept(place) (*(place))
#define TELL(text, value) printf(text, value)
#define SEND(sign) putchar(sign)
#define STOP exit(0)
"""
BOARD_IN_CORE = eightbit.HEAD + """
#define TELL(text, value) ((void)(value))
#define SEND(sign) send_sign(sign)
#define STOP stop()
"""
BOARD_IN_MICROPYTHON = """
import sys
START, TICKS = 2**30 - 4096, 2**30
script = [{script}]
class Clock:
    now = 0
    def ticks_ms(self):
        self.now += 1
        return (START + self.now - 1) % TICKS
    def ticks_add(self, ticks, ms):
        return (ticks + ms) % TICKS
    def ticks_diff(self, late, early):
        return (late - early + TICKS // 2) % TICKS - TICKS // 2
    def sleep_ms(self, ms):
        self.now += ms
clock = sys.modules["time"] = Clock()
at, states = 0, [False, False]
def read_input(input):
    global at
    if input == {key}:
        return {press} <= clock.now < {press} + 4500
    if input > 0:
        return script[at - 1]
    if at == len(script):
        raise SystemExit
    print("# code at", clock.now)
    clock.now += 7
    at += 2
    return script[at - 2]
def set_output(output, on):
    if states[output] != on:
        print("# output", output, "is", int(on), "at", clock.now)
    states[output] = on
"""


# The core tells a digest of what it has found by its serial line, and stops.
CORE_HEAD = (
    eightbit.HEAD
    + """
#include "chain.h"
typedef char int_has_16_bits[sizeof(int) == 2 ? 1 : -1];
static void say(uint32_t value)
{
    for (int8_t at = 28; at >= 0; at = (int8_t)(at - 4)) {
        uint8_t digit = (uint8_t)((value >> at) & 15u);
        send_sign((char)(digit < 10 ? '0' + digit : 'a' + digit - 10));
    }
    send_sign('\\n');
}
static uint32_t digest = UINT32_C(2166136261);
static void add(int32_t value)
{
    for (uint8_t i = 0; i < 4; i++) {
        digest = (digest ^ (((uint32_t)value >> (8 * i)) & 255u)) * UINT32_C(16777619);
    }
}
static void work(void);
int main(void)
{
    (void)add;
    (void)say;
    work();
    stop();
    return 0;
}
"""
)

WALK = """
    static struct chain c;
    for (int32_t cold = COLD_LOW - COLD_STEP; cold <= COLD_HIGH + COLD_STEP; cold += COLD_STEP) {
        for (int32_t code = 0; code < CODES; code += CODE_STEP) {
            chain_start(&c);
            (void)chain_take(&c, code, cold);
            TOLD(chain_valid(&c) ? chain_milli_c(c.level) : NOT_VALID);
        }
    }
"""
NOT_VALID = -300_000  # below any reading [0.001 degC]
GRID = f"""
#include <stdio.h>
#include "chain.h"
#define TOLD(each) printf("%ld\\n", (long)(each))
int main(void)
{{{WALK}    return 0;
}}
"""
GRID_IN_CORE = f"""
#define TOLD(each) add(each)
static void work(void)
{{{WALK}    say(digest);
}}
"""

CODES_IN_CORE = """
static void work(void)
{
    for (int32_t code = FIRST; code <= LAST; code++) {
        add(chain_milli_c(code * PER_CODE));
        if ((code & 255) == 255 || code == LAST) {
            say(digest);
        }
    }
}
"""

TRACE_IN_CORE = """
static const int16_t trace[] KEPT = {{{trace}}};
static void work(void)
{{
    static struct chain c;
    chain_start(&c);
    for (uint16_t i = 0; i < sizeof trace / sizeof trace[0]; i += 2) {{
        int16_t code = kept(&trace[i]), cold = kept(&trace[i + 1]);
        if (code == KEY) {{
            chain_silence(&c);
        }} else if (TAKE(&c, code, cold)) {{
            add(c.level);
            add(c.state);
            add(c.known);
            add(c.invalid);
            add(c.silenced);
            add(chain_lamp(&c, false));
            add(chain_buzzer(&c, false));
            add(chain_milli_c(c.level));
        }}
    }}
    say(digest);
}}
"""


def designs(bits=(8, 10, 12, 16)):
    """Every catalogue chain at so many bits, an alarm amid its readings, no smoothing: pairs of name and design."""
    for path in CHAINS:
        for each in bits:
            design = read(path)
            chain = replace(design.chain, converter=replace(design.chain.converter, bits=each))
            yield (
                f"{path.stem}-{each}",
                replace(design, chain=chain, alarm=middle(chain), noise=Noise(), smoothing=None),
            )


def middle(chain, deadband=1.0):
    """Limits at 30 and 70 % of what a chain can read, so that every chain trips both ways."""
    codes = np.arange(1, 2**chain.converter.bits - 1)
    readings = chain.reading(codes)
    low, high = np.nanmin(readings), np.nanmax(readings)
    span = float(high - low)
    limits = {"low_c": float(low + 0.3 * span), "high_c": float(low + 0.7 * span)}
    return Limits(**limits, deadband_c=deadband * span / 50, on_delay_samples=3, off_delay_samples=2)


def fnv(values):
    """FNV-1a digest of 32 bits over whole numbers of 4 bytes, low byte first."""
    digest = 2166136261
    for byte in np.asarray(values, dtype="<i4").tobytes():
        digest = (digest ^ byte) * 16777619 & 0xFFFFFFFF
    return digest


def ends(n):
    """First and last code that a level can be true for; with a second input those of terminals at 0 degC."""
    if n.cold is None:
        return n.first_code, n.last_code
    return n.cold.first_level // n.per_code, n.cold.last_level // n.per_code


def defines(n):
    """What the small test programs need of `BoardNumbers`; TAKE hands on the second input's code where there is one."""
    first, last = ends(n)
    values = {"FIRST": first, "LAST": last, "PER_CODE": n.per_code, "KEY": KEY}
    take = "chain_take(c, a, b)" if n.cold else "((void)(b), chain_take(c, a))"
    return [*(f"-D{name}={value}L" for name, value in values.items()), f"-DTAKE(c, a, b)={take}"]


def grid(n):
    """Codes of both inputs for a program `GRID`, every one a pair: a row for each cold code, beyond its ends too."""
    codes, span = 2**n.bits, n.cold.last_code - n.cold.first_code
    steps = {"CODE_STEP": max(1, codes // 61), "COLD_STEP": max(1, span // 29)}
    ends = {"COLD_LOW": n.cold.first_code, "COLD_HIGH": n.cold.last_code, "CODES": codes, "NOT_VALID": NOT_VALID}
    options = [f"-D{name}=({value}L)" for name, value in {**steps, **ends}.items()]
    step = steps["COLD_STEP"]
    cold = np.arange(n.cold.first_code - step, n.cold.last_code + step + 1, step)
    return np.arange(0, codes, steps["CODE_STEP"]), cold[:, None], options


def fed(trace):
    """A trace of pairs as the programs read it, a pair to a line."""
    return "\n".join(f"{code} {cold}" for code, cold in trace)


def on_host(design, n, program, folder, feed="", options=(), **choices):
    """Lines that a C program with the generated chain prints; compiled strictly, undefined behaviour is an error."""
    write(design, "c", folder, **choices)
    (folder / "test.c").write_text(program, encoding="utf-8")
    binary = folder / "test"
    files = [str(folder / name) for name in ("chain.c", "test.c")]
    command = ["gcc", *STRICT, *SANITIZED, *defines(n), *options, "-o", str(binary), *files]
    subprocess.run(command, check=True)
    done = subprocess.run([str(binary)], input=feed, capture_output=True, text=True, check=True)
    return done.stdout.splitlines()


def in_core(design, n, folder, work=CODES_IN_CORE, options=(), **choices):
    """Lines that the generated chain prints in a simulated 8-bit core."""
    write(design, "c", folder, **choices)
    (folder / "core.c").write_text(CORE_HEAD + work, encoding="utf-8")
    return simulated(["chain.c", "core.c"], folder, [*defines(n), *options])


def trace_in_core(design, n, folder, trace, **choices):
    """The digest of all that a trace of codes below 32768 makes of the chain, in the simulated core."""
    return in_core(design, n, folder, TRACE_IN_CORE.format(trace=", ".join(map(str, sum(trace, ())))), **choices)


def simulated(files, folder, options=()):
    """Compile C files for the core, strictly, run them in the simulator, and return the words of 8 signs it says."""
    told = [word.rstrip(".") for word in eightbit.run(built(files, folder, options))]
    return [word for word in told if len(word) == 8]


def built(files, folder, options=()):
    """A program for the core from C files of a folder, compiled strictly; options may name libraries."""
    binary = folder / "core.elf"
    sources = [str(folder / name) for name in files]
    subprocess.run([*eightbit.compiler(), "-Os", *STRICT, "-o", str(binary), *sources, *options], check=True)
    return binary


def compiled(compiler, sources, out):
    """Compile C files as strictly as we can, into an object file; a warning is an error."""
    subprocess.run([*compiler, *STRICT, "-c", "-o", str(out), *map(str, sources)], check=True)


def micropython():
    """Path of a MicroPython interpreter, or None."""
    beside = Path(sys.executable).with_name("micropython")
    return str(beside) if beside.exists() else shutil.which("micropython")


def in_micropython(design, n, folder, trace=(), codes=None, **choices):
    """Lines that the generated MicroPython prints: every code where asked for, then a trace."""
    write(design, "micropython", folder, **choices)
    path = folder / "trace.txt"
    path.write_text(fed(trace), encoding="utf-8")
    cold = int(n.cold is not None)
    text = MICRO.format(folder=str(folder), codes=codes, per_code=n.per_code, key=KEY, trace=str(path), cold=cold)
    (folder / "test.py").write_text(text, encoding="utf-8")
    done = subprocess.run([micropython(), str(folder / "test.py")], capture_output=True, text=True, check=True)
    return done.stdout.splitlines()


def board_text(text, n, script, press):
    """The student's part, with what the converter gives, and when the key is pressed for 4.5 s [ms since the start]."""
    told = {"key": 2 if n.cold else 1, "press": press, "lines": len(script) // n.samples}
    return text.format(script=", ".join(map(str, sum(script, ()))), **told)


def example_on_host(design, n, folder, script, press, **choices):
    """What the example's main loop prints on the host: lines of the board, remarks of the student's part."""
    write(design, "c", folder, **choices)
    (folder / "board.c").write_text(BOARD_ON_HOST + board_text(BOARD, n, script, press), encoding="utf-8")
    files = [str(folder / name) for name in ("chain.c", "example_main.c", "board.c")]
    subprocess.run(["gcc", *STRICT, *SANITIZED, "-o", str(folder / "main"), *files], check=True)
    return subprocess.run([str(folder / "main")], capture_output=True, check=True, timeout=60).stdout


def example_in_core(design, n, folder, script, press, **choices):
    """The words that the example's main loop says in the simulated core."""
    write(design, "c", folder, **choices)
    (folder / "board.c").write_text(BOARD_IN_CORE + board_text(BOARD, n, script, press), encoding="utf-8")
    told = eightbit.run(built(["chain.c", "example_main.c", "board.c"], folder))
    return [word.rstrip(".") for word in told if word.startswith(("t=", "code=", "read="))]


def example_in_micropython(design, n, folder, script, press, **choices):
    """What the example's main loop prints in MicroPython, as `example_on_host`."""
    write(design, "micropython", folder, **choices)
    (folder / "board.py").write_text(board_text(BOARD_IN_MICROPYTHON, n, script, press), encoding="utf-8")
    start = f"import sys; sys.path.insert(0, {str(folder)!r}); import board; import example_main"
    done = subprocess.run([micropython(), "-c", start], capture_output=True, check=True, timeout=60)
    return done.stdout
