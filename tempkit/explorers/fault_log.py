"""Chapter 11, first: a fault is chosen, and its log is seen beside that of the same bench without it."""

import html
from dataclasses import dataclass, replace

import numpy as np

from tempkit.book import tidy
from tempkit.chain import Outputs
from tempkit.explorers.controls import BENCH, FAULT, ROOM, completed, noise_of
from tempkit.explorers.fault_picture import FaultPicture, readable
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.faults import fault as fault_of
from tempkit.faults import hand_test, heard_lines, points, read_lines

POINTS = (
    ("supply_v", "supply"),
    ("reference_v", "reference"),
    ("sensor_supply_v", "sensor, supply leg"),
    ("sensor_ground_v", "sensor, ground leg"),
    ("sensor_output_v", "sensor, output leg"),
    ("pin_v", "converter's pin"),
    ("lamp_v", "lamp, tested"),
)


@dataclass(frozen=True)
class Shown:
    """A bench with a fault, and the same bench without it, during the hand test.

    `t_s`, `reading_c` of the log as heard (empty where no line can be read), `healthy_s`, `healthy_c` of the other;
    `line` is the log's second line; `met` and `right` are what a meter finds at rest, as the buzzer sounds, and as
    the lamp is tested (`tempkit.faults.Points`). `possible` is False where the bench cannot have the fault.
    """

    fault: object
    possible: bool
    room_c: float
    t_s: np.ndarray
    reading_c: np.ndarray
    healthy_s: np.ndarray
    healthy_c: np.ndarray
    line: bytes
    held_s: tuple
    end_s: float
    met: tuple
    right: tuple
    unreadable: float
    ruler_c: float | None = None

    def rest_c(self, healthy=False):
        """Median reading of the first rest [degC]; None where no line can be read."""
        t_s, readings = (self.healthy_s, self.healthy_c) if healthy else (self.t_s, self.reading_c)
        still = readings[t_s < self.held_s[0]]
        return float(np.median(still)) if still.size else None

    def scatter_c(self, healthy=False):
        """Standard deviation of the readings of the first rest [degC]; None where no line can be read."""
        t_s, readings = (self.healthy_s, self.healthy_c) if healthy else (self.t_s, self.reading_c)
        still = readings[t_s < self.held_s[0]]
        return float(still.std()) if still.size else None

    def heads(self, book, room):
        """Names and values above the chart."""
        met, right = (_volts(each[0].pin_v) for each in (self.met, self.right))
        return (("meter at the pin", met), ("there on a healthy bench", right))

    def problems(self, book):
        """What the reader should mind."""
        if not self.possible:
            yield "this bench cannot have that fault, so both logs are those of a healthy one"
        if self.met[0].warming_k > 10:
            yield f"in that sensor {tidy(self.met[0].sensor_w, 2)} W turn into heat"


def _volts(v):
    return f"{tidy(v, 3)} V"


def compute(design, t_c, fault, bench):
    """The log of a fault on a bench of this number, in a room at `t_c` [degC].

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 21.0, "no supply", 1)
    >>> round(at.rest_c(), 1), at.met[0].pin_v
    (-49.8, 0.0)
    """
    design, chosen = furnished(design), fault_of(fault)
    can = chosen.needs(design)
    test, healthy = hand_test(float(t_c)), fault_of("healthy")
    case = (chosen if can else healthy).case(design, np.random.default_rng(int(bench)))
    right = healthy.case(design, np.random.default_rng(int(bench)))
    lines, log = heard_lines(case, test), read_lines(heard_lines(right, test))
    own = read_lines(lines)
    return Shown(
        chosen,
        can,
        float(t_c),
        own.t_s,
        own.reading_c,
        log.t_s,
        log.reading_c,
        lines[1],
        (test.rest_s, test.rest_s + test.hold_s),
        test.seconds,
        _met(case, t_c),
        _met(right, t_c),
        own.unreadable,
    )


def furnished(design):
    """The design with an alarm, a lag, a lamp and noise: its own, or the bench's where it states none.

    >>> from tempkit.explorers.stage import north_bench
    >>> furnished(north_bench()).noise.samples
    16
    """
    design = completed(design)
    return replace(design, noise=noise_of(design), outputs=design.outputs or Outputs(lamp_current_a=0.006))


def _met(case, t_c):
    """What a meter finds at rest, while the buzzer sounds, and while the lamp is tested."""
    low, high = case.design.chain.sensor.range_c
    t_c = float(np.clip(t_c + case.off_c, low, high)) - case.off_c
    return tuple(points(case, t_c, **on) for on in ({}, {"buzzer": True}, {"lamp": True}))


def words(at, book):
    """The fault in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer(fault="no supply").result(), Book()))
    Supply lead of the sensor open. At rest the log reads −49.8 °C and scatters by 0.0 °C, a healthy one reads 21.1 °C.
    At the pin a meter finds 0.000 V, on a healthy bench 0.712 V. Low voltage, no danger; even so, power off before
    a wire is moved.
    """
    name = f"{at.fault.name[0].upper()}{at.fault.name[1:]}"
    healthy = f"a healthy one reads {book.temperature(at.rest_c(True))}"
    if at.rest_c() is None:
        log = f"No line can be read, {tidy(100 * at.unreadable, 0)} % of the characters are none; {healthy}"
    else:
        scatter = book.span(at.scatter_c())
        log = f"At rest the log reads {book.temperature(at.rest_c())} and scatters by {scatter}, {healthy}"
    pin, right = (_volts(each[0].pin_v) for each in (at.met, at.right))
    meter = f"At the pin a meter finds {pin}, on a healthy bench {right}"
    return f"{name}. {log}. {meter}. {at.fault.safety}" + warning(at.problems(book))


def facts(at, book):
    """Rows of the number table."""
    rows = [
        ("fault", at.fault.name),
        ("room", book.temperature(at.room_c)),
        ("a line of the log", readable(at.line)),
        ("characters that cannot be read", f"{tidy(100 * at.unreadable, 0)} %"),
    ]
    for name, healthy in (("log", False), ("healthy log", True)):
        rest, scatter = at.rest_c(healthy), at.scatter_c(healthy)
        if rest is None:
            rows.append((name, "no line can be read"))
        else:
            rows.append((f"{name} at rest", f"{book.temperature(rest)}, scatters by {book.span(scatter)}"))
    for name, label in POINTS:
        found, right = _cells(at, name)
        rows.append((label, f"{found}; healthy {right}"))
    return [*rows, ("safety", at.fault.safety), *(("mind", told) for told in at.problems(book))]


def _cells(at, name):
    """What the meter finds at a point: for the lamp while it is tested, else at rest."""
    place = 2 if name == "lamp_v" else 0
    return tuple(_volts(getattr(each[place], name)) for each in (at.met, at.right))


def table(at, book):
    """What a meter finds everywhere, as HTML: this bench and a healthy one, and what changes as the buzzer starts."""
    head = "".join(f'<th scope="col">{each}</th>' for each in ("meter at", "here", "healthy", "as the buzzer starts"))
    rows = "".join(_row(at, name, label) for name, label in POINTS)
    return f'<div class="tempkit-words"><table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>'


def _row(at, name, label):
    found, right = _cells(at, name)
    change = getattr(at.met[1], name) - getattr(at.met[0], name)
    moved = "" if name == "lamp_v" else f"{tidy(change, 3, signed=True)} V"
    cells = "".join(f"<td>{each.replace(' ', '&nbsp;')}</td>" for each in (found, right, moved))
    mark = '<b role="img" aria-label="differs:">&#9664;</b> ' if found != right else ""
    return f'<tr><th scope="row">{mark}{html.escape(label)}</th>{cells}</tr>'


PLAN = Plan(
    title="A fault and its log",
    controls=(FAULT, ROOM, BENCH),
    compute=compute,
    picture=lambda look, book: FaultPicture(look, book),
    words=words,
    facts=facts,
    table=table,
)


def explorer(design=None, **start):
    """The first explorer of chapter 11; `design` from a design file, `start` values of controls by name.

    >>> explorer(fault="turned").result().fault.name
    'sensor turned round'
    """
    return Explorer(PLAN, design, **start)
