"""The few lines of a board's program that take a code back to degrees: what each says, and what it leaves.

The same loop in C and in Python, with floating point and with integers, as it should be or with one line
changed. The right loop with floating point is `Chain.reading`, written out; the one with integers agrees to a
tenth of a degree.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from tempkit.board.integers import fits, nearest, tenths, towards_zero, wrapped
from tempkit.ranges import like

# Lines, as they should be and changed


@dataclass(frozen=True)
class Line:
    """One line: the variable `name` of C type `kind`, its right side in `c` and in `python`, its meaning.

    `run(v)` gives its value from a dict `v` of the values so far, scalars or arrays.
    """

    name: str
    kind: str
    c: str
    python: str
    meaning: str
    run: Callable

    def text(self, language):
        """The line as it stands in the program.

        >>> Line("mv", "int32_t", "volts / 2", "volts // 2", "half", None).text("c")
        'int32_t mv = volts / 2;'
        """
        return f"{self.kind} {self.name} = {self.c};" if language == "c" else f"{self.name} = {self.python}"


def _line(name, kind, text, meaning, run, python=None):
    return Line(name, kind, text, python or text, meaning, run)


@dataclass(frozen=True)
class Numbers:
    """What the program believes of its chain: reference [V], [mV], count of codes, line at the pin."""

    supply_v: float
    count: int
    half: float
    at_0c_v: float
    slope_v_per_c: float
    supply_mv: int
    at_0c_mv: int
    tenths_per_mv: Fraction

    @property
    def wrong_v(self):
        """A supply of another board [V]."""
        return 5.0 if self.supply_v < 4.0 else 3.3

    @property
    def supply_top(self):
        """The supply as an integer constant, and how many of its units are a volt: (5, 1) or (3300, 1000)."""
        return (self.supply_mv, 1000) if self.supply_mv % 1000 else (self.supply_mv // 1000, 1)

    @property
    def code_kind(self):
        return "int16_t" if self.count <= 2**15 else "int32_t"

    @property
    def wide(self):
        """The integer that holds the largest product."""
        return "int32_t" if fits((self.count + 1) * max(self.supply_mv, 5000), 32) else "int64_t"


def loop_numbers(chain):
    """The constants of the program, from the nominal values of a chain with a straight-line sensor.

    Raises `ValueError` for another sensor, and for a slope below one microvolt a degree.

    >>> from tempkit.chain import scenario
    >>> n = loop_numbers(scenario())
    >>> n.supply_mv, n.at_0c_mv, n.count, n.tenths_per_mv
    (5000, 600, 1024, Fraction(5, 4))
    """
    if not chain.sensor.straight:
        raise ValueError("this loop is for a sensor with a straight line: take a chain with a linear sensor")
    reference = chain.reference
    feed_v = chain.circuit.feed_v(reference.nominal_v, reference.kind)
    at_0c_v = chain.circuit.volts(chain.sensor, 0.0, feed_v)
    slope = chain.circuit.volts_per_c(chain.sensor, 0.0, feed_v)
    if not round(abs(slope) * 1e6):
        raise ValueError(f"slope {slope:g} V/degC must be 1e-06 V/degC or more: the loop counts microvolts")
    return Numbers(
        supply_v=_written(reference.nominal_v),
        count=chain.converter.codes,
        half=0.5 if chain.converter.transfer == "floor" else 0.0,
        at_0c_v=_written(at_0c_v),
        slope_v_per_c=_written(slope),
        supply_mv=round(1000 * reference.nominal_v),
        at_0c_mv=round(1000 * at_0c_v),
        tenths_per_mv=Fraction(10_000, round(slope * 1e6)),
    )


def _written(number):
    """A constant with as many digits as a programmer writes."""
    return round(float(number), 9)


def _plain(number):
    """A constant as text of a program: 5.0, 0.01."""
    return repr(_written(number))


# Floating point


def float_lines(n):
    """The right loop with floating point, for `numbers` of a chain."""
    middle = "(code + 0.5)" if n.half else "code"
    return (
        _line("supply_v", "const double", _plain(n.supply_v), "assumed reference, V", lambda v: n.supply_v),
        _line("code", n.code_kind, "read_converter()", f"code, 0 to {n.count - 1}", lambda v: v["code"]),
        _volts(
            n, f"{middle} * supply_v / {n.count}", lambda v: (v["code"] + n.half) * v["supply_v"] / n.count
        ),
        _t_c(
            f"(volts - {_plain(n.at_0c_v)}) / {_plain(n.slope_v_per_c)}",
            lambda v: (v["volts"] - n.at_0c_v) / n.slope_v_per_c,
        ),
        _line("t_f", "double", "t_c * 1.8 + 32", "temperature, °F", lambda v: v["t_c"] * 1.8 + 32),
    )


def _volts(n, text, run, python=None):
    meaning = "middle of the step, V" if n.half else "voltage, V"
    return _line("volts", "double", text, meaning, run, python)


def _t_c(text, run):
    return _line("t_c", "double", text, "temperature, °C", run)


def float_change(n, change):
    """The line that stands in the place of the right one; None where this loop has no such line."""
    middle = "(code + 0.5)" if n.half else "code"
    if change == "divide_first":
        return _float_divide_first(n, middle)
    changes = {
        "count": _volts(
            n,
            f"{middle} * supply_v / {n.count - 1}",
            lambda v: (v["code"] + n.half) * v["supply_v"] / (n.count - 1),
        ),
        "supply": replace(
            float_lines(n)[0], c=_plain(n.wrong_v), python=_plain(n.wrong_v), run=lambda v: n.wrong_v
        ),
        "span": _line("t_f", "double", "t_c * 1.8", "temperature, °F", lambda v: v["t_c"] * 1.8),
        "offset": _t_c(f"volts / {_plain(n.slope_v_per_c)}", lambda v: v["volts"] / n.slope_v_per_c),
        "millivolt": _t_c(
            f"(volts - {_plain(1000 * n.at_0c_v)}) / {_plain(1000 * n.slope_v_per_c)}",
            lambda v: (v["volts"] - _written(1000 * n.at_0c_v)) / _written(1000 * n.slope_v_per_c),
        ),
    }
    return changes.get(change)


def _float_divide_first(n, middle):
    """A quotient of two integer constants; in volts where the supply is a whole number of them, or in mV."""
    top, parts = n.supply_top
    tail = "" if parts == 1 else f" / {parts}"
    left = towards_zero(top, n.count)
    return _volts(
        n,
        f"{top} / {n.count} * {middle}{tail}",
        lambda v: left * (v["code"] + n.half) / parts,
        python=f"{top} // {n.count} * {middle}{tail}",
    )


# Integers


def integer_lines(n):
    """The right loop with integers: millivolts, then tenths of a degree, for `numbers` of a chain."""
    half = " + supply_mv / 2" if n.half else ""
    return (
        _supply_mv(n, n.supply_mv),
        _line("code", n.code_kind, "read_converter()", f"code, 0 to {n.count - 1}", lambda v: v["code"]),
        _line("product", n.wide, "code * supply_mv", "code times mV", lambda v: v["code"] * v["supply_mv"]),
        _mv(n, f"nearest(product{half}, {n.count})", lambda v: _middle_mv(n, v, n.count)),
        _tenths_c(n, f"mv - {n.at_0c_mv}", lambda v: v["mv"] - n.at_0c_mv),
        _line(
            "tenths_f",
            n.wide,
            "nearest(tenths_c * 9, 5) + 320",
            "tenths of 1 °F",
            lambda v: nearest(v["tenths_c"] * 9, 5) + 320,
        ),
    )


def _supply_mv(n, value):
    return _line("supply_mv", f"const {n.wide}", str(value), "assumed reference, mV", lambda v: value)


def _mv(n, text, run):
    meaning = "middle of the step, mV" if n.half else "voltage, mV"
    return _line("mv", n.wide, text, meaning, run, python=text.replace(" / ", " // "))


def _middle_mv(n, v, divisor):
    half_mv = towards_zero(v["supply_mv"], 2) if n.half else 0
    return nearest(v["product"] + half_mv, divisor)


def _tenths_c(n, text, mv):
    """Millivolts above those at 0 degC as tenths of a degree, `text` and `mv` giving these millivolts."""
    above, below = n.tenths_per_mv.numerator, n.tenths_per_mv.denominator
    if n.tenths_per_mv == 1:
        return _line("tenths_c", n.wide, text, "tenths of 1 °C", mv)
    inner = f"({text})" if " " in text else text
    return _line(
        "tenths_c",
        n.wide,
        f"nearest({inner} * {above}, {below})",
        "tenths of 1 °C",
        lambda v: nearest(mv(v) * above, below),
    )


def integer_change(n, change):
    """The line that stands in the place of the right one; None where this loop has no such line."""
    half = " + supply_mv / 2" if n.half else ""
    changes = {
        "divide_first": _mv(
            n, f"supply_mv / {n.count} * code", lambda v: towards_zero(v["supply_mv"], n.count) * v["code"]
        ),
        "count": _mv(n, f"nearest(product{half}, {n.count - 1})", lambda v: _middle_mv(n, v, n.count - 1)),
        "supply": _supply_mv(n, round(1000 * n.wrong_v)),
        "product16": _line(
            "product",
            "int16_t",
            "code * supply_mv",
            "code times mV",
            lambda v: wrapped(v["code"] * v["supply_mv"]),
            python="wrapped(code * supply_mv, 16)",
        ),
        "span": _line(
            "tenths_f",
            n.wide,
            "nearest(tenths_c * 9, 5)",
            "tenths of 1 °F",
            lambda v: nearest(v["tenths_c"] * 9, 5),
        ),
        "offset": _tenths_c(n, "mv", lambda v: v["mv"]),
        "millivolt": _supply_mv(n, max(1, round(n.supply_v))),
    }
    return changes.get(change)


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
        >>> program(scenario(), "c", "integers", "product16").printed(163)
        '-71.3 degC  -96.3 degF'
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
            imports = "from tempkit.board.integers import nearest, tenths, wrapped\n\n\n"
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
    >>> right.values(163)
    {'supply_mv': 5000, 'code': 163, 'product': 815000, 'mv': 798, 'tenths_c': 248, 'tenths_f': 766}
    """
    for name, value, allowed in (
        ("language", language, LANGUAGES),
        ("arithmetic", arithmetic, ARITHMETICS),
        ("change", change, CHANGES),
    ):
        if value not in allowed:
            raise ValueError(f"{name} {value!r} is not one of {', '.join(allowed)}: choose one of these")
    n = loop_numbers(chain)
    with_floats = arithmetic == "float"
    lines = float_lines(n) if with_floats else integer_lines(n)
    new = float_change(n, change) if with_floats else integer_change(n, change)
    if new is not None:
        lines = tuple(new if line.name == new.name else line for line in lines)
    return Program(lines, language, arithmetic, change, new.name if new else "")
