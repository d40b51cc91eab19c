"""Electrical quantities as text: what a table, a drawing and its words all write in the same way."""

from tempkit.book import tidy

DECOUPLING = "100 nF"  # the capacitor beside every supply; common practice, no source


def within(size, tolerance):
    """A size with its tolerance in percent, where it has one.

    >>> within("10.0 kΩ", 0.01), within("10.0 kΩ", 0.0)
    ('10.0 kΩ ±1 %', '10.0 kΩ')
    """
    return f"{size} ±{100 * tolerance:.3g} %" if tolerance else size


def volts(v):
    """Voltage [V] as text, to the millivolt.

    >>> volts(5.0), volts(-0.65)
    ('5.000 V', '−0.650 V')
    """
    return f"{tidy(v, 3)} V"


def millivolts(v):
    """Voltage [V] as text in millivolts, to three digits.

    >>> millivolts(0.6), millivolts(0.0048828125)
    ('600 mV', '4.88 mV')
    """
    return f"{digits(v * 1000)} mV"


def digits(number):
    """A number to three digits, without an exponent while it is of a human size.

    >>> digits(4.8828125), digits(99.99999999), digits(1024), digits(0.0), digits(1e12)
    ('4.88', '100', '1024', '0', '1e+12')
    """
    if not 1e-4 <= abs(number) < 1e6:
        return f"{number:.3g}"
    size = int(f"{abs(number):.2e}".split("e")[1])
    return tidy(number, max(0, 2 - size))


def ohms(r_ohm):
    """Resistance [ohm] as text, to three digits, with the usual prefixes.

    >>> ohms(0.0), ohms(470.0), ohms(1000.0), ohms(4.7e6)
    ('0 Ω', '470 Ω', '1.00 kΩ', '4.70 MΩ')
    """
    for size, prefix in ((1e6, "M"), (1e3, "k")):
        if r_ohm >= size:
            return f"{digits(r_ohm / size)} {prefix}Ω"
    return f"{digits(r_ohm)} Ω"
