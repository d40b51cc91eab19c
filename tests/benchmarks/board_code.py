"""Generated C in the simulated 8-bit core: cycles and bytes of a conversion, beside the same with floating point.

Counted by the core's own timer and by the size of the linked program; both repeat exactly.
"""

import tempfile
from pathlib import Path

from tests import eightbit, generated

from .measure import Comparison, UnavailableError

COUNT = """
static int32_t converted(int32_t level);
static void work(void)
{
    uint32_t sum = 0;
    volatile int32_t level, out;
    for (int32_t code = FIRST; code <= LAST; code += STEP) {
        uint16_t start;
        level = code * PER_CODE;
        start_count();
        start = count();
        out = converted(level);
        sum += (uint16_t)(count() - start);
    }
    (void)out;
    say(sum / (uint32_t)((LAST - FIRST) / STEP + 1));
}
"""

INTEGERS = "static int32_t converted(int32_t level)\n{\n    return chain_milli_c(level);\n}\n"

LINEAR = """
static int32_t converted(int32_t level)
{
    float v = ((float)level / PER_CODE + 0.5f) * (5.0f / 1024.0f);
    return (int32_t)((v - 0.5f) / 0.01f * 1000.0f);
}
"""

# The usual formula of a thermistor in a divider, with the logarithm of the floating-point library.
CURVED = """
#include <math.h>
static int32_t converted(int32_t level)
{
    float part = ((float)level / PER_CODE + 0.5f) / 1024.0f;
    float r = 10000.0f * part / (1.0f - part);
    return (int32_t)((1.0f / (1.0f / 298.15f + (float)log((double)(r / 10000.0f)) / 3950.0f) - 273.15f) * 1000.0f);
}
"""

SIZE_ONLY = """
static int32_t converted(int32_t level);
static void work(void)
{
    volatile int32_t level = FIRST;
    volatile int32_t out = converted(level);
    (void)out;
}
"""


def comparisons():
    """Rows for a linear chain and for a table, cycles and bytes each."""
    from tempkit.board import numbers
    from tempkit.chain import read

    if not eightbit.there():
        raise UnavailableError(eightbit.MISSING)
    for what, name, floating in (("linear", "north-bench", LINEAR), ("thermistor", "north-bench-thermistor", CURVED)):
        path = generated.ROOT / "data" / "chains" / f"{name}.toml"
        if not path.exists():
            raise UnavailableError(f"{path.name} is not in data/chains")
        design = read(path)
        n = numbers(design)
        yield Comparison(
            f"C in an 8-bit core, {what} chain: a conversion",
            lambda d=design, n=n: cycles(d, n, INTEGERS),
            lambda d=design, n=n, f=floating: cycles(d, n, f),
            "the formula with floating point",
            aim=1.0,
            rounds=1,
            unit="cycles",
        )
        yield Comparison(
            f"C in an 8-bit core, {what} chain: code and table",
            lambda d=design, n=n: size(d, n, INTEGERS),
            lambda d=design, n=n, f=floating: size(d, n, f),
            "the formula with floating point",
            aim=1.0,
            rounds=1,
            unit="bytes",
        )


def cycles(design, n, converted):
    """Mean cycles of a conversion over up to 200 codes, the call and the reading of the timer included."""
    step = max(1, (n.last_code - n.first_code) // 200)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        source(design, converted + COUNT, folder)
        (told,) = generated.simulated(["chain.c", "core.c"], folder, [*generated.defines(n), f"-DSTEP={step}L", "-lm"])
        return int(told, 16)


def size(design, n, converted):
    """Bytes of a conversion in the linked program, less those of a program that converts nothing."""
    nothing = "static int32_t converted(int32_t level)\n{\n    return level;\n}\n"
    return linked(design, n, converted) - linked(design, n, nothing)


def linked(design, n, converted):
    options = ["-ffunction-sections", "-fdata-sections", "-Wl,--gc-sections", "-lm"]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        source(design, converted + SIZE_ONLY, folder)
        return eightbit.bytes_of(generated.built(["chain.c", "core.c"], folder, [*generated.defines(n), *options]))


def source(design, work, folder):
    from tempkit.board import write

    write(design, "c", folder)
    (folder / "core.c").write_text(generated.CORE_HEAD + work, encoding="utf-8")
