"""The few lines of a board's program that take a code back to degrees: what each says, and what it leaves.

The same loop in C and in Python, with floating point and with integers, as it should be or with one line
changed. The right loop with floating point is `Chain.reading`, written out; the one with integers agrees to a
tenth of a degree.
"""

from dataclasses import dataclass

import numpy as np

from tempkit.integers import tenths
from tempkit.looplines import float_change, float_lines, integer_change, integer_lines, numbers
from tempkit.ranges import like

LANGUAGES = ("c", "python")
ARITHMETICS = ("float", "integers")
CHANGES = ("none", "divide_first", "count", "supply", "product16", "span", "offset", "millivolt")


@dataclass(frozen=True)
class Program:
    """A loop: its `lines` before the print, and which variable's line is `changed` ("" for none)."""

    lines: tuple
    language: str
    arithmetic: str
    change: str
    changed: str

    def values(self, code):
        """What every variable holds for a code (whole number or array): a dict in the order of the lines."""
        v = {"code": code}
        for line in self.lines:
            v[line.name] = line.run(v)
        return {line.name: v[line.name] for line in self.lines}

    def texts(self):
        """Every line as written, the print at the end."""
        return (*(line.text(self.language) for line in self.lines), self._print())

    def _print(self):
        return PRINTS[self.language, self.arithmetic]

    def printed(self, code):
        """What the loop prints for a code.

        >>> from tempkit.chain import scenario
        >>> program(scenario(), "c", "integers", "product16").printed(153)
        '-51.8 degC  -61.2 degF'
        """
        v = self.values(code)
        if self.arithmetic == "integers":
            return f"{tenths(v['tenths_c'])} degC  {tenths(v['tenths_f'])} degF"
        return f"{v['t_c']:.1f} degC  {v['t_f']:.1f} degF"

    def reading_c(self, code):
        """The temperature [degC] that the print claims, without its rounding; scalar or array.

        It is the one of the degF print where that print was changed.
        """
        v = self.values(code)
        t_c = v["tenths_c"] / 10 if self.arithmetic == "integers" else v["t_c"]
        if self.change == "span":
            t_f = v["tenths_f"] / 10 if self.arithmetic == "integers" else v["t_f"]
            t_c = (t_f - 32) / 1.8
        return like(code, np.asarray(t_c) + 0.0 * np.asarray(code))

    def source(self):
        """The whole program text: what it needs, and the loop's body as one function `measure`."""
        body = "\n".join("    " + text for text in self.texts())
        if self.language == "python":
            imports = "from tempkit.integers import nearest, tenths, wrapped\n\n\n"
            return f"{imports if self.arithmetic == 'integers' else ''}def measure():\n{body}\n"
        wide = next((line.kind for line in self.lines if line.name == "mv"), "")
        helpers = C_INTEGERS.replace("int32_t", wide) if wide else ""
        return f"{C_HEAD}{helpers}\nvoid measure(void)\n{{\n{body}\n}}\n"


PRINTS = {
    ("c", "float"): r'printf("%.1f degC  %.1f degF\n", t_c, t_f);',
    ("c", "integers"): "print_tenths(tenths_c, tenths_f);",
    ("python", "float"): 'print(f"{t_c:.1f} degC  {t_f:.1f} degF")',
    ("python", "integers"): 'print(tenths(tenths_c), "degC ", tenths(tenths_f), "degF")',
}

C_HEAD = """#include <stdint.h>
#include <stdio.h>

int32_t read_converter(void);  /* the board's own */
"""

C_INTEGERS = r"""
static int32_t nearest(int32_t a, int32_t b)
{
    return (a < 0 ? a - b / 2 : a + b / 2) / b;
}

static void print_one(int32_t t, const char *unit)
{
    long size = (long)(t < 0 ? -t : t);
    printf("%s%ld.%ld %s", t < 0 ? "-" : "", size / 10, size % 10, unit);
}

static void print_tenths(int32_t c, int32_t f)
{
    print_one(c, "degC  ");
    print_one(f, "degF\n");
}
"""


def program(chain, language="c", arithmetic="float", change="none"):
    """The loop for a chain, as it should be or with one line changed.

    language : "c" or "python"; arithmetic : "float" or "integers"; change : one of `CHANGES`. Where the loop
    has no such line, nothing is changed and `changed` is "". Raises `ValueError` for anything else.

    >>> from tempkit.chain import scenario
    >>> right = program(scenario(), "c", "integers")
    >>> right.values(153)
    {'supply_mv': 5000, 'code': 153, 'product': 765000, 'mv': 750, 'tenths_c': 250, 'tenths_f': 770}
    """
    for name, value, allowed in (
        ("language", language, LANGUAGES),
        ("arithmetic", arithmetic, ARITHMETICS),
        ("change", change, CHANGES),
    ):
        if value not in allowed:
            raise ValueError(f"{name} {value!r} is not one of {', '.join(allowed)}: choose one of these")
    n = numbers(chain)
    with_floats = arithmetic == "float"
    lines = float_lines(n) if with_floats else integer_lines(n)
    new = float_change(n, change) if with_floats else integer_change(n, change)
    if new is not None:
        lines = tuple(new if line.name == new.name else line for line in lines)
    return Program(lines, language, arithmetic, change, new.name if new else "")
