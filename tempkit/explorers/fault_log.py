"""Chapter 11, first: a fault is chosen, and its log is seen beside that of the same bench without it."""

import html
from dataclasses import dataclass, replace

import numpy as np

from tempkit.book import tidy
from tempkit.chain import Outputs
from tempkit.draw import SENSOR, Fact, Facts, Line
from tempkit.explorers.controls import BENCH, FAULT, ROOM, completed, noise_of
from tempkit.explorers.fault_picture import LOG_FACTS, NO_LINE, level, log_charts, scatter
from tempkit.explorers.stage import Explorer, Plan, minds, warning
from tempkit.faults import HandTest, hand_test, heard_lines, points, read_lines
from tempkit.faults import fault as fault_of
from tempkit.text import volts


@dataclass(frozen=True)
class Shown:
    """A bench with a fault, and the same bench without it, during the hand test.

    `log` and that of the healthy bench are as heard, empty where no line can be read; `line` is the log's second line;
    `met` and `right` are what a meter finds at rest, as the buzzer sounds, and as
    the lamp is tested (`tempkit.faults.Points`). `possible` is False where the bench cannot have the fault.
    """

    fault: object
    possible: bool
    test: HandTest
    log: object
    healthy: object
    line: bytes
    met: tuple
    right: tuple

    @property
    def logs(self):
        """Both logs, as they are seen together."""
        return self.log, self.healthy

    def problems(self, book):
        """What the reader should mind."""
        if not self.possible:
            yield "this bench cannot have that fault, so both logs are those of a healthy one"
        if self.met[0].warming_k > 10:
            yield f"in that sensor {tidy(self.met[0].sensor_w, 2)} W turn into heat"


def compute(design, t_c, fault, bench):
    """The log of a fault on a bench of this number, in a room at `t_c` [degC].

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 21.0, "no supply", 1)
    >>> round(float(np.median(at.log.reading_c)), 1), at.met[0].pin_v
    (-74.7, 0.0)
    """
    design, chosen = furnished(design), fault_of(fault)
    can = chosen.needs(design)
    test, healthy = hand_test(float(t_c)), fault_of("healthy")
    case = (chosen if can else healthy).case(design, np.random.default_rng(int(bench)))
    right = healthy.case(design, np.random.default_rng(int(bench)))
    lines = heard_lines(case, test)
    logs = read_lines(lines), read_lines(heard_lines(right, test))
    return Shown(chosen, can, test, *logs, lines[1], _met(case, t_c), _met(right, t_c))


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


# ---- told


def _volts(at, name, healthy=False):
    """What the meter finds at a point: for the lamp while it is tested, else at rest."""
    return volts(getattr((at.right if healthy else at.met)[2 if name == "lamp_v" else 0], name))


def _both(name, label):
    return Fact(name, label, lambda at, _: f"{_volts(at, name)}; healthy {_volts(at, name, healthy=True)}")


POINTS = (
    ("supply_v", "supply"),
    ("reference_v", "reference"),
    ("sensor_supply_v", "sensor, supply leg"),
    ("sensor_ground_v", "sensor, ground leg"),
    ("sensor_output_v", "sensor, output leg"),
    ("pin_v", "converter's pin"),
    ("lamp_v", "lamp, tested"),
)
FACTS = Facts([
    Fact("fault", "fault", lambda at, _: at.fault.name),
    Fact("room", "room", lambda at, book: book.temperature(at.test.room_c)),
    *LOG_FACTS,
    Fact("healthy", "a healthy log at rest", lambda at, book: level(at.healthy, at.test, book)),
    Fact("healthy_scatter", "at rest that one scatters by", lambda at, book: scatter(at.healthy, at.test, book)),
    Fact("pin", "", lambda at, _: _volts(at, "pin_v"), head="meter at the pin", short="pin", table=False),
    Fact("right", "", lambda at, _: _volts(at, "pin_v", healthy=True), head="there on a healthy bench", short=None,
         table=False),
    *(_both(name, label) for name, label in POINTS),
    Fact("safety", "safety", lambda at, _: at.fault.safety),
])  # fmt: skip


def words(at, book):
    """The fault in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer(fault="no supply").result(), Book()))
    Supply lead of the sensor open. At rest the log reads −74.7 °C and scatters by 0.0 °C, a healthy one reads 20.9 °C.
    At the pin a meter finds 0.000 V, on a healthy bench 0.768 V. Low voltage, no danger; even so, power off before
    a wire is moved.
    """
    told = FACTS.told(at, book)
    log = "At rest the log reads {rest} and scatters by {scatter}," if told["rest"] else f"{NO_LINE};"
    template = (
        f"{at.fault.name[0].upper()}{at.fault.name[1:]}. {log} a healthy one reads {{healthy}}. "
        "At the pin a meter finds {pin}, on a healthy bench {right}. {safety}"
    )
    return template.format_map(told) + warning(at.problems(book))


def facts(at, book):
    """Rows of the number table."""
    return [*FACTS.rows(at, book), *minds(at.problems(book))]


def table(at, book):
    """What a meter finds everywhere, as HTML: this bench and a healthy one, and what changes as the buzzer starts."""
    head = "".join(f'<th scope="col">{each}</th>' for each in ("meter at", "here", "healthy", "as the buzzer starts"))
    rows = "".join(_row(at, name, label) for name, label in POINTS)
    return f'<div class="tempkit-words"><table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>'


def _row(at, name, label):
    found, right = _volts(at, name), _volts(at, name, healthy=True)
    change = getattr(at.met[1], name) - getattr(at.met[0], name)
    moved = "" if name == "lamp_v" else f"{tidy(change, 3, signed=True)} V"
    cells = "".join(f"<td>{each.replace(' ', '&nbsp;')}</td>" for each in (found, right, moved))
    mark = '<b role="img" aria-label="differs:">&#9664;</b> ' if found != right else ""
    return f'<tr><th scope="row">{mark}{html.escape(label)}</th>{cells}</tr>'


HEALTHY = Line(lambda at: (at.healthy.t_s, at.healthy.reading_c), SENSOR, "healthy")
PLAN = Plan(
    title="A fault and its log",
    controls=(FAULT, ROOM, BENCH),
    compute=compute,
    picture=log_charts(HEALTHY, FACTS),
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
