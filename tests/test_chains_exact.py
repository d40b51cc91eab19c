"""Every code of the chain files with other sensors, against 40-digit decimal arithmetic written down a second time.

Circuits are turned round in rational numbers; then the sensor's curve is solved with `decimal`, by bisection and
Newton. Coefficients: IEC 60751 as printed, and NIST's as the package thermocouple-its90 carries them.
"""

from dataclasses import replace
from decimal import Decimal, getcontext
from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from thermocouple_its90 import _data

from references import reference
from tempkit.chain import file

getcontext().prec = 40
CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
NAMES = (
    "north-bench-thermistor",
    "north-bench-platinum-2-wire",
    "north-bench-platinum-3-wire",
    "north-bench-platinum-4-wire",
    "north-bench-platinum-bridge",
    "north-bench-thermocouple-k",
)
BITS = (8, 10, 12)
# Roundings of floats: 1e-16 of some volts at the pin, over 2 to 50 mV/degC, and of R or E before its curve.
CLOSE_C = 2e-10


def chain_of(name, bits):
    chain = file.read(CHAINS / f"{name}.toml").chain
    return replace(chain, converter=replace(chain.converter, bits=bits))


def exact(number):
    """A decimal number of a chain file as a fraction: 0.1 is one tenth."""
    return Fraction(repr(number))


def decimal(fraction):
    return Decimal(fraction.numerator) / Decimal(fraction.denominator)


# ---- circuits turned round, in fractions: what the sensor must give for a voltage that is `part` of the reference


def ohms_of_divider(chain, part):
    return exact(chain.circuit.fixed_ohm) * part / (1 - part)


def ohms_of_current(chain, part):
    """gain R / set_ohm is the part of the reference; the program knows of no leads."""
    return part * exact(chain.circuit.set_ohm) / exact(chain.circuit.gain)


def ohms_of_bridge(chain, part):
    top, balance = exact(chain.circuit.top_ohm), exact(chain.circuit.balance_ohm)
    across = part / exact(chain.circuit.gain) + balance / (top + balance)
    return top * across / (1 - across)


def millivolts_of_amplifier(chain, part):
    v = part * exact(chain.reference.nominal_v) - exact(chain.circuit.bias_v)
    return 1000 * v / exact(chain.circuit.gain)


# ---- sensors turned round, in decimals


def celsius_of_beta(chain, r_ohm):
    sensor = chain.sensor
    log = (decimal(r_ohm) / Decimal(repr(sensor.r25_ohm))).ln()
    return 1 / (1 / Decimal("298.15") + log / Decimal(repr(sensor.beta_k))) - Decimal("273.15")


@cache
def platinum_coefficients():
    return tuple(Decimal(repr(reference("pt-coeff").expected[key])) for key in "ABC")


def platinum_ratio(t):
    a, b, c = platinum_coefficients()
    return 1 + t * (a + t * (b + (c * (t - 100) * t if t < 0 else 0)))


def celsius_of_platinum(chain, r_ohm):
    return solved(platinum_ratio, decimal(r_ohm) / Decimal(repr(chain.sensor.r0_ohm)), Decimal(-200), Decimal(850))


def reference_mv(t):
    """Type K: the piece below or above 0 degC."""
    piece = _data.TYPES["K"]["forward"][int(t > 0)]
    total = Decimal(0)
    for c in reversed(piece["coeffs"]):
        total = total * t + Decimal(repr(c))
    bump = piece.get("exponential") if t > 0 else None
    if bump:
        a0, a1, a2 = (Decimal(repr(bump[key])) for key in ("a0", "a1", "a2"))
        total += a0 * (a1 * (t - a2) ** 2).exp()
    return total


def celsius_of_thermocouple(chain, mv):
    whole = decimal(mv) + reference_mv(Decimal(repr(chain.circuit.cold_c)))
    return solved(reference_mv, whole, Decimal(-270), Decimal(1372))


def solved(function, wanted, low, high):
    """The root of a rising function between two ends: 12 halvings, then secants between ends that enclose it."""
    below, above = function(low) - wanted, function(high) - wanted
    if not below <= 0 <= above:
        return None
    middle, last = low, None
    for turn in range(200):
        middle = (low + high) / 2 if turn < 12 or turn % 7 == 0 else low - below * (high - low) / (above - below)
        off = function(middle) - wanted
        if off <= 0:
            low, below = middle, off
        else:
            high, above = middle, off
        if off == 0 or (last is not None and abs(middle - last) < Decimal("1e-16")):
            break
        last = middle
    return middle


ROUTES = {
    "north-bench-thermistor": (ohms_of_divider, celsius_of_beta),
    "north-bench-platinum-bridge": (ohms_of_bridge, celsius_of_platinum),
    "north-bench-thermocouple-k": (millivolts_of_amplifier, celsius_of_thermocouple),
}


@cache
def exact_edges_c(name, bits):
    """Temperature that the program would give to each half of a step: index 2 k is the lower edge of code k."""
    chain = chain_of(name, bits)
    before, curve = ROUTES.get(name, (ohms_of_current, celsius_of_platinum))
    parts = (Fraction(half, 2 ** (bits + 1)) for half in range(1, 2 ** (bits + 1)))
    found = [curve(chain, before(chain, part)) for part in parts]
    return np.array([np.nan if each is None else float(each) for each in [None, *found, None]])


every = pytest.mark.parametrize(("name", "bits"), [(name, bits) for name in NAMES for bits in BITS])


@every
def test_every_code_read(name, bits):
    chain, exact_c = chain_of(name, bits), exact_edges_c(name, bits)[1::2]
    low, high = chain.sensor.range_c
    readings_c = chain.reading(np.arange(2**bits), checked=False)
    known = ~np.isnan(exact_c)
    near = known & (exact_c > low - 20) & (exact_c < high + 20)
    assert near.sum() > 2**bits / 4
    assert np.abs(readings_c - exact_c)[near].max() < CLOSE_C
    checked = chain.reading(np.arange(2**bits))
    assert (~np.isnan(checked) <= near).all()
    inside = known & (exact_c >= low) & (exact_c <= high)
    assert (np.isnan(checked) <= ~inside).all()
    for code in np.flatnonzero(inside)[::37].tolist():
        assert chain.reading(code) == pytest.approx(exact_c[code], abs=CLOSE_C)


@every
def test_every_edge_of_a_code(name, bits):
    """Just beside each edge the code is one or the other: the converter's true staircase, edge by edge.

    The edges are the program's, so a chain whose leads it forgot is first given leads of none.
    """
    chain = chain_of(name, bits)
    if name.startswith("north-bench-platinum"):
        chain = replace(chain, circuit=replace(chain.circuit, lead_ohm=0.0))
    edges_c = exact_edges_c(name, bits)[0::2]
    low, high = chain.sensor.range_c
    codes = np.flatnonzero(~np.isnan(edges_c) & (edges_c > low + 1e-6) & (edges_c < high - 1e-6))
    beside_c = 1e-8
    rises = chain.volts(high) > chain.volts(low)
    warm, cool = chain.code(edges_c[codes] + beside_c), chain.code(edges_c[codes] - beside_c)
    above, below = (warm, cool) if rises else (cool, warm)
    assert len(codes) > 2**bits / 4
    assert above.tolist() == codes.tolist()
    assert below.tolist() == (codes - 1).tolist()


@pytest.mark.parametrize("bits", BITS)
def test_forgotten_leads_through_every_code(bits):
    """Two forgotten leads of 0.5 ohm move every reading by 1 ohm of the curve: at the true temperature R - 1 ohm."""
    chain = chain_of("north-bench-platinum-2-wire", bits)
    codes = np.arange(2**bits)
    seen = chain.celsius_at_pin(chain.converter.volts(codes, 3.3))
    exact_c = exact_edges_c("north-bench-platinum-2-wire", bits)[1::2]
    inside = (exact_c > -30) & (exact_c < 120)
    slope = (0.39083 - 2 * 5.775e-5 * exact_c[inside]) * 1.0
    assert (exact_c - seen)[inside] == pytest.approx(1 / slope, abs=0.01)
