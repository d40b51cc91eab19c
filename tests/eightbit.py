"""The 8-bit core, simulated: all that tests and benchmarks know of its compiler, its simulator and its registers.

Any core will do whose `int` has 16 bits, with 2 KiB of RAM, 32 KiB of program, a serial port 0 and a timer 1.
"""

import shutil
import subprocess
from functools import cache

MISSING = "no compiler, or no simulator, of an 8-bit core"
COMPILER, SIMULATOR, SIZES = "avr-gcc", "simavr", "avr-size"
FIT = """
#include <avr/io.h>
#if __SIZEOF_INT__ != 2 || RAMEND < 0x8FF || FLASHEND < 0x7FFF || !defined UDR0 || !defined UCSR0B || !defined TCNT1
#error does not fit
#endif
"""
# What a test program may use: KEPT and kept() for a table beside the program, send_sign, start_count and count, stop.
HEAD = """
#include <avr/io.h>
#include <avr/interrupt.h>
#include <avr/pgmspace.h>
#include <avr/sleep.h>
#include <stdint.h>
#define KEPT PROGMEM
static inline int16_t kept(const int16_t *at)
{
    return (int16_t)pgm_read_word(at);
}
static inline void send_sign(char sign)
{
    UCSR0B = (1 << TXEN0);
    while (!(UCSR0A & (1 << UDRE0))) {
    }
    UDR0 = (uint8_t)sign;
}
static inline void start_count(void)
{
    TCCR1B = 1;
}
static inline uint16_t count(void)
{
    return TCNT1;
}
static inline void stop(void)
{
    cli();
    sleep_enable();
    sleep_cpu();
}
"""


def there():
    """Whether compiler and simulator are installed."""
    return all(map(shutil.which, (COMPILER, SIMULATOR)))


@cache
def compiler():
    """The command that compiles for a core that fits, the first by name that compiler and simulator both know."""
    known = subprocess.run([SIMULATOR, "--list-cores"], capture_output=True, text=True).stdout.split()
    for name in sorted(set(known)):
        command = [COMPILER, f"-mmcu={name}"]
        fits = [*command, "-E", "-xc", "-", "-o", "/dev/null"]
        if not subprocess.run(fits, input=FIT, capture_output=True, text=True).returncode:
            return command
    raise RuntimeError(f"no 8-bit core that {COMPILER} and {SIMULATOR} both know fits: see FIT in tests/eightbit.py")


def run(binary):
    """What a program says by its serial port until it stops, as words."""
    command = [SIMULATOR, "-m", compiler()[1].partition("=")[2], "-f", "16000000", str(binary)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=300)
    return (done.stdout + done.stderr).replace("\x1b[32m", "").replace("\x1b[0m", "").split()


def bytes_of(binary):
    """Bytes of program and of constant data in a linked program."""
    told = subprocess.run([SIZES, str(binary)], capture_output=True, text=True, check=True).stdout.split()
    return int(told[6]) + int(told[7])
