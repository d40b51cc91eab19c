"""Reference and converter: a voltage becomes a code, and a code becomes the middle of a step again."""

import math
from dataclasses import dataclass
from typing import ClassVar, Literal

import numpy as np

from tempkit.chain.quantities import Bits, Lsb, Relative, Volts
from tempkit.ranges import floats, in_blocks, keep, like, scalar, whole_number
from tempkit.text import volts, within

# ---- How straight a converter's staircase is: differential and integral nonlinearity from its transitions.

@dataclass(frozen=True, eq=False)
class Linearity:
    """The fitted staircase and what departs from it.

    `gain`: factor that turns the measured slope into the ideal one (ideal step / fitted step, [1]).
    `dnl`: width of each inner step less one step [LSB], one fewer than the transitions.
    `inl`: each transition less its place on the fitted line [LSB].
    `fitted_step`, `first`: slope of the line and where it puts the first transition, in the unit given.

    >>> Linearity(1.0, np.array([0.1]), np.array([0.0, 0.0]), 1.0, 0.5).gain
    1.0
    """

    gain: float
    dnl: np.ndarray
    inl: np.ndarray
    fitted_step: float
    first: float


def _line(levels, fit):
    if fit == "endpoint":
        return (levels[-1] - levels[0]) / (levels.size - 1), levels[0]
    codes = np.arange(levels.size)
    slope = np.polynomial.polynomial.polyfit(codes, levels, 1)
    return slope[1], slope[0]


def linearity(transitions, step=None, fit="endpoint"):
    """Gain, DNL and INL of a converter from its measured code transitions, lowest first, none left out.

    `transitions` [V, or any unit]: 2**N - 1 inputs at which the code changes. `step` [same unit]: the ideal
    step. With it, DNL holds each step against the ideal one; without it, against the fitted one, and `gain`
    takes the transitions as given in ideal steps. `fit`: the line INL is held against, "endpoint" (through
    the first and last transition) or "best" (least squares of transition on code). INL is in fitted steps,
    so a gain error does not count twice. A DNL of -1 is a missing code.
    Raises `ValueError` for fewer than 3 transitions, one that is masked or not finite, a step not above zero, a
    falling line, or another fit.
    Source: IEEE Std 1241-2010, terminal-based and independently based gain (from memory); there the error
    of a transition has the opposite sign.

    >>> linearity([0.5, 1.6, 2.5], step=1.0).dnl.round(3)
    array([ 0.1, -0.1])
    """
    levels = floats(transitions, "transitions")
    if levels.ndim != 1 or levels.size < 3 or not np.isfinite(levels).all():
        raise ValueError(
            f"transitions of shape {levels.shape} cannot be judged: give 3 or more finite numbers"
        )
    if fit not in ("endpoint", "best"):
        raise ValueError(f'fit {fit!r} is unknown: take "endpoint" or "best"')
    if step is not None:
        keep(
            step,
            np.finfo(float).tiny,
            np.inf,
            name="step",
            unit="(unit of the transitions)",
            advice="above 0",
        )
    fitted, first = (float(x) for x in _line(levels, fit))
    if fitted <= 0:
        raise ValueError(f"the fitted step {fitted:g} must be above 0: put the transitions lowest first")
    ideal = 1.0 if step is None else float(step)
    dnl = np.diff(levels) / (fitted if step is None else ideal) - 1
    inl = (levels - first) / fitted - np.arange(levels.size)
    return Linearity(ideal / fitted, dnl, inl, fitted, first)


KINDS = ("supply", "fixed")
TRANSFERS = ("floor", "round")
NO_CODE = -1


def _positive(value, name, unit, advice):
    if not 0 < scalar(value, name) < math.inf:
        raise ValueError(f"{name} {value:g} {unit} must be above 0 {unit}: {advice}")


@dataclass(frozen=True)
class Reference:
    """The voltage that a full count stands for: what the program believes, and what it really is.

    nominal_v : what the program assumes [V]; tolerance : limits, relative, +- (0.05 is 5 %); kind : "supply" or
    "fixed"; true_v : what a meter says [V], None while nobody has measured. Raises `ValueError` for a voltage
    that is not above zero, a tolerance outside 0..1, or another kind.

    >>> Reference(nominal_v=5.0, tolerance=0.05).actual_v, Reference(nominal_v=5.0, true_v=4.83).actual_v
    (5.0, 4.83)
    """

    nominal_v: Volts
    tolerance: Relative = 0.0
    kind: Literal["supply", "fixed"] = "supply"
    true_v: Volts | None = None

    stated: ClassVar[tuple] = ("kind",)

    def __post_init__(self):
        _positive(self.nominal_v, "nominal_v", "V", "give the reference that the program assumes")
        if self.true_v is not None:
            _positive(self.true_v, "true_v", "V", "give what a meter says, or leave it out")
        if not 0 <= scalar(self.tolerance, "tolerance") < 1:
            raise ValueError(f"tolerance {self.tolerance:g} is outside 0 to 1: it is relative, 5 % is 0.05")
        if self.kind not in KINDS:
            raise ValueError(
                f"kind {self.kind!r} is not one of {', '.join(KINDS)}: choose what the converter refers to"
            )

    @property
    def actual_v(self):
        """The measured value [V] where there is one, else the nominal value."""
        return self.nominal_v if self.true_v is None else self.true_v

    def words(self):
        """What the program assumes of it, with its tolerance.

        >>> Reference(2.5, 0.005, "fixed").words()
        '2.500 V ±0.5 %'
        """
        return within(volts(self.nominal_v), self.tolerance)


@dataclass(frozen=True)
class Converter:
    """An analog-to-digital converter with 2**bits codes over 0 .. reference, one step = reference / 2**bits.

    bits : 1 to 24; transfer : "floor" (code k means k step <= v < (k + 1) step) or "round" (half-up, k step is the
    middle of code k). A specification tells it by its first edge: at one step, or at half a step, as many draw their
    ideal staircase. offset_lsb, gain_lsb, inl_lsb : limits of its errors, +- [LSB], for the error budget. Source:
    transition-level conventions of IEEE Std 1241 (from memory). Raises `ValueError` for anything else.

    >>> converter = Converter(bits=10)
    >>> converter.codes, converter.step_v(5.0), converter.code(0.8, 5.0)
    (1024, 0.0048828125, 163)
    """

    bits: Bits
    transfer: Literal["floor", "round"] = "floor"
    offset_lsb: Lsb = 0.0
    gain_lsb: Lsb = 0.0
    inl_lsb: Lsb = 0.0

    def __post_init__(self):
        whole_number(self.bits, 1, 24, name="bits", unit="bit", advice="give it without a point")
        if self.transfer not in TRANSFERS:
            raise ValueError(f"transfer {self.transfer!r} is not one of {', '.join(TRANSFERS)}: choose one of these")
        for name in ("offset_lsb", "gain_lsb", "inl_lsb"):
            if not scalar(getattr(self, name), name) >= 0:
                raise ValueError(f"{name} {getattr(self, name):g} LSB must be 0 or more: give limits without a sign")

    @property
    def codes(self):
        """The count of codes, 2**bits. The highest code is one less."""
        return 2**self.bits

    def step_v(self, reference_v):
        """One step [V]: reference_v / 2**bits. Raises `ValueError` for a reference that is not above 0 V.

        >>> Converter(bits=12).step_v(3.3)
        0.0008056640625
        """
        _positive(reference_v, "reference_v", "V", "a converter needs a reference")
        return reference_v / self.codes

    def code(self, v, reference_v):
        """Voltage [V] -> code (integer), scalar or array; below 0 V it is 0, from the reference on the top code.

        Real converters saturate, so this does too; `saturated` says where. `nan` raises `ValueError` in a scalar and
        gives -1 (no code) in an array. Formula: floor(v 2**bits / reference_v), or with + 1/2 inside for "round". An
        input within one rounding of a float (2e-16 of it) from a transition level may fall on either side.

        >>> Converter(bits=10).code([-0.1, 0.8, 5.2], 5.0)
        array([   0,  163, 1023])
        """
        self.step_v(reference_v)
        if np.ndim(v):
            return in_blocks(lambda block: self._codes_of(block, reference_v), v, np.int64)
        v = scalar(v, "voltage")
        if math.isnan(v):
            raise ValueError("voltage nan V lies in no range: the converter has no code for it, give a number")
        return int(self._codes_of(np.array([v], dtype=float), reference_v)[0])

    def _codes_of(self, v, reference_v):
        """Codes as floats of an array of voltages: one exact product by a power of two, one rounded division."""
        codes = np.multiply(v, float(self.codes))
        codes /= reference_v
        if self.transfer == "round":
            codes += 0.5
        np.floor(codes, out=codes)
        np.clip(codes, 0, self.codes - 1, out=codes)
        codes[np.isnan(codes)] = NO_CODE
        return codes

    def volts(self, code, reference_v, edge="middle"):
        """Code -> voltage [V]: the middle of its step, or its lower edge; scalar or array.

        For "floor" the middle is (code + 1/2) step, for "round" it is code step. The mean of several codes, not a
        whole number, is allowed. Raises `ValueError` for a code outside 0 .. 2**bits - 1 (`nan` in an array).

        >>> converter = Converter(bits=10)
        >>> converter.volts(163, 5.0), converter.volts(163, 5.0, edge="lower")
        (0.79833984375, 0.7958984375)
        """
        if edge not in ("middle", "lower"):
            raise ValueError(f"edge {edge!r} is not one of middle, lower: choose one of these")
        code = keep(code, 0, self.codes - 1, name="code", unit="LSB", advice="no such code here")
        return (code + self._shift(edge)) * self.step_v(reference_v)

    def _shift(self, edge):
        """From a whole code to the wanted point of its step [LSB]."""
        lower = 0.0 if self.transfer == "floor" else -0.5
        return lower + (0.5 if edge == "middle" else 0.0)

    def saturated(self, v, reference_v):
        """True where the input [V] lies outside what the codes can tell apart; scalar or array.

        That is below the lower edge of code 0, or at and above the upper edge of the top code.

        >>> Converter(bits=10).saturated([-0.1, 0.75, 5.0], 5.0)
        array([ True, False,  True])
        """
        step = self.step_v(reference_v)
        low = self._shift("lower") * step
        v_array = floats(v, "v")
        return like(v, (v_array < low) | (v_array >= low + self.codes * step))


def ideal_snr_db(bits):
    """Signal-to-noise ratio of an ideal converter for a full-scale sine [dB]: 20 log10(2**bits sqrt(3/2)).

    `bits` from 1 to 64, not always whole, scalar or array. Raises `ValueError` outside (`nan` in an array).
    Source: IEEE Std 1241 (from memory); about 6.02 bits + 1.76 dB.

    >>> round(ideal_snr_db(12), 2)
    74.01
    """
    bits = keep(bits, 1, 64, name="bits", unit="bit", advice="give the converter's number of bits")
    return like(bits, 20 * np.log10(2.0**bits * np.sqrt(1.5)))


def settling_error(time_s, source_ohm, hold_f):
    """Part of a step that the sampling capacitor still misses after `time_s`: exp(-t / (R C)), 0 to 1.

    time_s : sampling time [s]; source_ohm : all resistance ahead of the capacitor [ohm]; hold_f : its capacitance
    [F], above 0. Scalars or arrays. Raises `ValueError` for negative values. First-order charging, circuit theory.

    >>> round(settling_error(1.2e-6, 10_000.0, 11e-12), 7)
    1.83e-05
    """
    time_s = keep(time_s, 0, np.inf, name="sampling time", unit="s", advice="time runs forwards")
    source_ohm = keep(source_ohm, 0, np.inf, name="source_ohm", unit="ohm", advice="give a resistance")
    _positive(hold_f, "hold_f", "F", "give the sampling capacitance")
    with np.errstate(divide="ignore", invalid="ignore"):
        left = np.exp(-np.divide(time_s, np.multiply(source_ohm, hold_f)))
    left = np.where((np.asarray(source_ohm) == 0) & (np.asarray(time_s) >= 0), 0.0, left)
    return like(left, left)


def settling_time_s(source_ohm, hold_f, bits, part_of_step=0.5):
    """Sampling time [s] after which a full-scale step has settled to `part_of_step` of one step of `bits`.

    t = R C ln(2**bits / part_of_step), for 1 to 24 bits and a part above 0 and at most the full scale,
    2**bits steps. `source_ohm` scalar or array. Same units and errors as `settling_error`.

    >>> round(settling_time_s(10_000.0, 11e-12, 10) * 1e6, 3)
    0.839
    """
    source_ohm = keep(source_ohm, 0, np.inf, name="source_ohm", unit="ohm", advice="give a resistance")
    _positive(hold_f, "hold_f", "F", "give the sampling capacitance")
    bits = keep(bits, 1, 24, name="bits", unit="bit", advice="give the converter's number of bits")
    _positive(part_of_step, "part_of_step", "LSB", "half a step is 0.5")
    keep(part_of_step, 0, 2**bits, name="part_of_step", unit="LSB", advice="half a step is 0.5")
    return source_ohm * hold_f * math.log(2**bits / part_of_step)
