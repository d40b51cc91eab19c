"""A board as data: what its sensor, converter and program make of an air temperature, and the lines it prints.

The board measures, prints one line over its serial line, waits, and begins again. `Misbehaviour` says what is wrong
with its wiring or program; nothing is, by default.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tempkit.board.loop import ARITHMETICS, CHANGES
from tempkit.board.loop import program as loop
from tempkit.chain import Design, Link, Noise
from tempkit.ranges import floats, keep, like
from tempkit.signal import lagged
from tempkit.signal import loop_period_s as printing_period_s

# The air


def air_at(air_c, t_s):
    """True air temperature [degC] at times [s], an array: from a number, a function of time, or (times, temperatures).

    Between the times of a pair it runs straight, before and after it stays.

    >>> air_at(([0.0, 10.0], [20.0, 22.0]), np.array([5.0, 20.0]))
    array([21., 22.])
    """
    if callable(air_c):
        air_c = air_c(t_s)
    elif isinstance(air_c, tuple):
        air_c = np.interp(t_s, *air_c)
    return np.broadcast_to(floats(air_c, "air_c"), np.shape(t_s)).copy()


CHUNK = 2**20  # converter samples drawn at a time
MOST_SAMPLES = 20_000_000


@dataclass(frozen=True)
class Misbehaviour:
    """What a board does other than its design says; each entry left alone changes nothing.

    change, arithmetic : the program's loop as in `tempkit.board.loop` ("count": 2**N - 1, "divide_first": integer
    division, ...), for a linear sensor; assumed_v [V], at_0c_v [V], slope_v_per_c [V/degC] : constants of the
    program, where the design's own are not in it; stuck_code : the only code the converter gives; pin_v : volts at the
    converter's pin in place of the signal [V], or a function of (times [s], signal [V]) that gives them; noise_scale :
    times the design's noise; reference_noise_v : standard deviation of the true reference, from one reading to the
    next [V]; sag_v, lift_v : by how much the true reference falls and the pin rises while the program finds its reading
    above the high limit, and so sounds the buzzer [V]. A true reference other than the nominal one belongs in the
    design (`true_v`).

    >>> Misbehaviour(change="count").noise_scale
    1.0
    """

    change: str = "none"
    arithmetic: str = "float"
    assumed_v: float | None = None
    at_0c_v: float | None = None
    slope_v_per_c: float | None = None
    stuck_code: int | None = None
    pin_v: float | Callable | None = None
    noise_scale: float = 1.0
    reference_noise_v: float = 0.0
    sag_v: float = 0.0
    lift_v: float = 0.0

    def __post_init__(self):
        for name, allowed in (("change", CHANGES), ("arithmetic", ARITHMETICS)):
            if getattr(self, name) not in allowed:
                raise ValueError(f"{name} {getattr(self, name)!r} is not one of {', '.join(allowed)}: choose one")
        for name, unit in (("noise_scale", "(ratio)"), ("reference_noise_v", "V"), ("sag_v", "V"), ("lift_v", "V")):
            value = getattr(self, name)
            if not 0 <= value < math.inf:
                raise ValueError(f"{name} {value:g} {unit} must be 0 {unit} or more: correct it, or leave it out")


RIGHT = Misbehaviour()


@dataclass(frozen=True)
class Simulation:
    """A simulated stretch of a board's life: one entry for each line that it prints.

    t_s : the board's own clock [s]; air_c, sensor_c : true temperatures of air and sensor [degC]; code : mean of the
    samples of a reading [LSB], a whole number where there is one sample; reading_c : what the program makes of it
    [degC]; period_s : from one line to the next [s].
    """

    design: Design
    program: Misbehaviour
    t_s: np.ndarray
    air_c: np.ndarray
    sensor_c: np.ndarray
    code: np.ndarray
    reading_c: np.ndarray
    period_s: float


# Time


def line(t_s, code, reading_c, samples=1):
    """The line that the board prints: its clock [s], the code (with a decimal where it is a mean), the reading [degC].

    >>> line(12.0, 163, 24.79), line(12.0, 162.9375, 24.75, samples=16)
    (b't=12.0 code=163 read=24.8\\r\\n', b't=12.0 code=162.9 read=24.8\\r\\n')
    """
    code = f"{code:.0f}" if samples == 1 else f"{code:.1f}"
    return f"t={t_s:.1f} code={code} read={reading_c:.1f}\r\n".encode("ascii")


def loop_period_s(design, wait_s=None, buffer=None):
    """Time from one line of the board to the next [s]: the wait, and what its serial line adds.

    wait_s : how long the loop waits after printing [s], None for the alarm's sample period (1 s without one); buffer :
    characters that the board takes without being held up, None for a print that waits until the line has left, as in
    `tempkit.signal.loop`. The line is taken as long as one with four digits of seconds; reading and computing
    need no time. Raises `ValueError` for a wait below 0 s.

    >>> from tempkit.chain import scenario
    >>> round(loop_period_s(Design("bench", scenario())), 5)
    1.03021
    """
    link, samples = design.link or Link(), _noise(design).samples
    typical = line(1000.0, design.chain.converter.codes / 8, 25.0, samples)
    return printing_period_s([len(typical)], _wait_s(design, wait_s), link.baud, link.frame, buffer)


def _wait_s(design, wait_s):
    if wait_s is not None:
        return wait_s
    return design.alarm.sample_period_s if design.alarm else 1.0


def _noise(design):
    return design.noise or Noise()


# The board


def simulate(design, air_c, seconds, seed, program=RIGHT, *, start_s=0.0, sensor_c=None, wait_s=None, buffer=None):
    """A `Simulation` of a board of this design over so many seconds of its clock.

    air_c : true air temperature, as for `air_at` [degC]; seed : of `numpy.random.default_rng`; program : what is wrong
    with wiring or program; start_s : the clock at the first line [s]; sensor_c : temperature of the sensor then, None
    for settled [degC]; wait_s, buffer : as for `loop_period_s`. The sensor follows the air by the design's lag. The
    sensor and the converter are ideal but for noise: limits of error in the design are not drawn from. The reading
    is not smoothed. Raises `ValueError` for a temperature outside the sensor's range or too many samples.

    >>> from tempkit.chain import scenario
    >>> made = simulate(Design("bench", scenario()), 25.0, seconds=3, seed=1)
    >>> made.code, made.reading_c.round(2)
    (array([163., 163., 163.]), array([24.79, 24.79, 24.79]))
    """
    period_s = loop_period_s(design, wait_s, buffer)
    since_s = period_s * np.arange(_count(seconds, period_s, _noise(design).samples))
    t_s = start_s + since_s
    air = air_at(air_c, t_s)
    tau_s = design.response.tau_s if design.response else 0.0
    sensor = lagged(since_s, air, tau_s, sensor_c)
    _check_range(design.chain.sensor, sensor)
    code, reading = _measured(design, program, t_s, sensor, np.random.default_rng(seed))
    return Simulation(design, program, t_s, air, sensor, code, reading, period_s)


def lines(made, first=0, last=None):
    """The lines that the board prints, as bytes with their ends, for a `Simulation` or a slice of it.

    >>> from tempkit.chain import scenario
    >>> lines(simulate(Design("bench", scenario()), 25.0, seconds=2, seed=1))
    [b't=0.0 code=163 read=24.8\\r\\n', b't=1.0 code=163 read=24.8\\r\\n']
    """
    samples = _noise(made.design).samples
    columns = (each[first:last].tolist() for each in (made.t_s, made.code, made.reading_c))
    return [line(*values, samples) for values in zip(*columns, strict=True)]


def _count(seconds, period_s, samples):
    if not 0 < seconds < math.inf:
        raise ValueError(f"seconds {seconds:g} s must be above 0 s: how long the board runs")
    count = max(1, math.ceil(seconds / period_s - 1e-9))
    if count * samples > MOST_SAMPLES:
        most_s = MOST_SAMPLES // samples * period_s
        raise ValueError(f"seconds {seconds:g} s is outside 0 to {most_s:g} s at this rate: simulate it in pieces")
    return count


def _check_range(sensor, sensor_c):
    low, high = sensor.range_c
    wrong = sensor_c[~((sensor_c >= low) & (sensor_c <= high))]
    if wrong.size:
        raise ValueError(
            f"the sensor's temperature {wrong[0]:g} degC is outside {low:g} to {high:g} degC: "
            "keep the air within the sensor's range"
        )


def _measured(design, program, t_s, sensor_c, rng):
    """Mean codes and readings; where the supply sags, what the last reading decided counts for the next."""
    chain, noise = design.chain, _noise(design)
    signal_v = chain.volts(sensor_c)
    if program.pin_v is not None:
        pin_v = program.pin_v(t_s, signal_v) if callable(program.pin_v) else program.pin_v
        signal_v = np.broadcast_to(np.asarray(pin_v, dtype=float), t_s.shape)
    true_v = chain.reference.actual_v
    reference_v = np.maximum(true_v + program.reference_noise_v * rng.standard_normal(t_s.size), 1e-3 * true_v)
    pin_noise = (noise.input_v * program.noise_scale, noise.samples)
    if not (program.sag_v or program.lift_v) or design.alarm is None or design.alarm.high_c is None:
        code = _codes(chain, program, signal_v, reference_v, pin_noise, rng)
        return code, readings(design, code, program)
    state = rng.bit_generator.state
    quiet = _codes(chain, program, signal_v, reference_v, pin_noise, rng)
    rng.bit_generator.state = state  # the same noise, once with the buzzer off and once with it on
    sagged_v = np.maximum(reference_v - program.sag_v, 1e-3)
    loud = _codes(chain, program, signal_v + program.lift_v, sagged_v, pin_noise, rng)
    off, on = (readings(design, each, program) for each in (quiet, loud))
    sounding = _latched(off > design.alarm.high_c, on > design.alarm.high_c)
    return np.where(sounding, loud, quiet), np.where(sounding, on, off)


def _latched(beyond_off, beyond_on):
    """Whether the buzzer sounds during each reading: what the reading before it decided."""
    sounding, states = False, []
    for off, on in zip(beyond_off.tolist(), beyond_on.tolist(), strict=True):
        states.append(sounding)
        sounding = on if sounding else off
    return np.array(states, dtype=bool)


def _codes(chain, program, signal_v, reference_v, pin_noise, rng):
    """Mean code of the samples of each reading; a circuit that follows the supply does not see the supply change."""
    if program.stuck_code is not None:
        top = chain.converter.codes - 1
        stuck = keep(float(program.stuck_code), 0, top, name="stuck_code", unit="LSB", advice="no such code here")
        return np.full(signal_v.shape, stuck)
    sigma_v, samples = pin_noise
    true_v = chain.reference.actual_v
    follows = chain.circuit.needs_feed and chain.reference.kind == "supply"
    scale = np.ones(signal_v.shape) if follows else true_v / reference_v
    code, rows = np.empty(signal_v.shape), max(1, CHUNK // samples)
    for first in range(0, code.size, rows):
        part = slice(first, first + rows)
        v = signal_v[part, None] + sigma_v * rng.standard_normal((code[part].size, samples))
        code[part] = chain.converter.code(v * scale[part, None], true_v).mean(axis=1)
    return code


def readings(design, code, program=RIGHT):
    """Codes -> readings [degC] as the program computes them, without any check; scalar or array.

    Raises `ValueError` for a changed loop or constant where the sensor has no straight line.

    >>> from tempkit.chain import scenario
    >>> bench = Design("bench", scenario())
    >>> [round(readings(bench, 163, each), 2) for each in (RIGHT, Misbehaviour("count"), Misbehaviour("divide_first"))]
    [24.79, 24.89, -75.0]
    """
    chain = _believed(design.chain, program)
    if program.change == "none" and program.arithmetic == "float":
        return chain.reading(code, checked=False)
    whole = code if program.arithmetic == "float" else np.floor(np.asarray(code) + 0.5).astype(np.int64)
    return like(code, loop(chain, "c", program.arithmetic, program.change).reading_c(whole))


def _believed(chain, program):
    """The chain with the constants of the program in it."""
    constants = {"at_0c_v": program.at_0c_v, "slope_v_per_c": program.slope_v_per_c}
    constants = {name: value for name, value in constants.items() if value is not None}
    if constants and not chain.sensor.straight:
        raise ValueError("at_0c_v and slope_v_per_c are for a sensor with a straight line: take a linear sensor")
    sensor = replace(chain.sensor, **constants) if constants else chain.sensor
    reference = chain.reference
    if program.assumed_v is not None:
        reference = replace(reference, nominal_v=program.assumed_v, true_v=reference.actual_v)
    return replace(chain, sensor=sensor, reference=reference)
