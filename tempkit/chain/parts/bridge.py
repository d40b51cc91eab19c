"""Two dividers side by side, of which the difference counts."""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from tempkit.chain.deviations import EXACT, Doubt, check_above, check_tolerance, factor, percent
from tempkit.chain.parts.bases import WithLeads, odds, part_of
from tempkit.chain.quantities import Relative, SomeOhms, Wires
from tempkit.text import ohms, within

ARMS = {
    "top_sensor": "bridge, above the sensor",
    "top_balance": "bridge, above the balance",
    "balance": "bridge, balance resistor",
}


@dataclass(frozen=True, kw_only=True)
class Bridge(WithLeads):
    """Two dividers side by side: the sensor under one upper resistor, `balance_ohm` under the other.

    top_ohm : both upper resistors [ohm]; balance_ohm [ohm] : the output is 0 where the sensor has this resistance;
    arm_tolerance : relative, +-, of each of the three resistors. Two wires: both leads are in the sensor's arm. Three:
    one there and one in the arm beside it, so that they cancel near balance; the third leads both currents from the
    sensor to ground, and takes a little of the feed. The output is sensor side minus balance side. The other fields
    are those of `WithLeads`.

    >>> from tempkit.chain.parts.platinum import PlatinumSensor
    >>> Bridge(top_ohm=1000.0, balance_ohm=100.0, gain=100.0).volts(PlatinumSensor(), 0.0, feed_v=5.0)
    0.0
    """

    top_ohm: SomeOhms
    balance_ohm: SomeOhms
    arm_tolerance: Relative = 0.0
    wires: Wires = 3

    kind: ClassVar[str] = "bridge"
    called: ClassVar[str] = "a bridge"
    possible_wires: ClassVar[tuple] = (2, 3)
    across_feed: ClassVar[bool] = True
    has_amplifier: ClassVar[bool] = True

    def __post_init__(self):
        super().__post_init__()
        check_above(self, 0, top_ohm="ohm", balance_ohm="ohm")
        check_tolerance(self, "arm_tolerance")

    def _leads(self):
        """Lead resistance in the sensor's arm, in the arm beside it, and common to both [ohm]."""
        return (2 * self.lead_ohm, 0.0, 0.0) if self.wires == 2 else (self.lead_ohm,) * 3

    def _ohms(self, r_ohm, off=EXACT):
        """Of a sensor of `r_ohm`: its low side, its whole arm, the low and whole arm beside it, the common lead [ohm].

        The feed drives a current of feed * beside / (arm * beside + common * (arm + beside)) through the sensor's arm.
        """
        leads = self._leads()
        low = r_ohm + leads[0] + off.get("leads", 0.0)
        low_beside = self.balance_ohm * factor(off, "balance") + leads[1]
        arm = self.top_ohm * factor(off, "top_sensor") + low
        beside = self.top_ohm * factor(off, "top_balance") + low_beside
        return low, arm, low_beside, beside, leads[2] + off.get("common", 0.0)

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> bridge = Bridge(top_ohm=1000.0, balance_ohm=100.0, gain=100.0)
        >>> round(bridge.volts(PlatinumSensor(), 25.0, feed_v=2.5), 4)
        1.9936
        """
        self.check_off(sensor, t_c, off)
        low, arm, low_beside, beside, common = self._ohms(sensor.line(t_c, off), off)
        part = (low / arm - low_beside / beside) / (1 + common * (1 / arm + 1 / beside))
        return self.at_pin(feed_v * factor(off, "feed") * part, off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(Bridge(top_ohm=1000.0, balance_ohm=100.0, gain=100.0).celsius(PlatinumSensor(), 1.9936, 2.5), 2)
        25.0
        """
        _, _, low_beside, beside, common = self._ohms(0.0)
        feed_v, v = np.asarray(feed_v, dtype=float), self.before(v)
        low_v = low_beside / beside * feed_v + v * (1 + common / beside + common / self.top_ohm)
        part = part_of(low_v, feed_v + v * common / self.top_ohm)
        return sensor.inverse(self.top_ohm * odds(part) - self._leads()[0])

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(Bridge(top_ohm=1000.0, balance_ohm=100.0).volts_per_c(PlatinumSensor(), 0.0, 2.5), 6)
        0.000808
        """
        _, arm, _, beside, common = self._ohms(sensor.line(t_c))
        total = arm * beside + common * (arm + beside)
        part_per_ohm = self.top_ohm * beside * (beside + 2 * common) / (total * total)
        return self.gain * feed_v * part_per_ohm * sensor.slope(t_c)

    def power_w(self, sensor, t_c, feed_v):
        """Power that warms the sensor [W].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(Bridge(top_ohm=900.0, balance_ohm=100.0).power_w(PlatinumSensor(), 0.0, feed_v=1.0), 9)
        0.0001
        """
        r_ohm = sensor.line(t_c)
        _, arm, _, beside, common = self._ohms(r_ohm)
        return (feed_v * beside / (arm * beside + common * (arm + beside))) ** 2 * r_ohm

    def doubts(self, kind):
        """Also the three resistors, each on its own [%], and "common", the lead that both arms share [ohm].

        >>> Bridge(top_ohm=1000.0, balance_ohm=100.0, arm_tolerance=0.001).doubts("fixed")["balance"][:2]
        (0.1, '%')
        """
        arms = {key: percent(self, "arm_tolerance", name) for key, name in ARMS.items()}
        own = super().doubts(kind)
        common_ohm = self._leads()[2] * self.lead_tolerance
        common = Doubt(common_ohm, "ohm", "lead common to both arms", "lead_tolerance")
        return arms | {"leads": own["leads"], "common": common} | own

    def rows(self, chain):
        return [
            ("kind", f"bridge, {self.wires} wires to the sensor"),
            ("upper resistors", within(ohms(self.top_ohm), self.arm_tolerance)),
            ("balance resistor", within(ohms(self.balance_ohm), self.arm_tolerance)),
            self.fed_row(chain),
            *self.around(chain),
        ]

    def needs(self, chain):
        return f"3 resistors{self.and_amplifier()}"

    def resistors(self):
        """The two above, alike, and the balance."""
        upper = ("upper resistors, two", self.top_ohm, self.arm_tolerance)
        return upper, ("balance resistor", self.balance_ohm, self.arm_tolerance)

    def drawn(self, chain, sheet):
        """Two columns; with three wires the arm beside joins the sensor's far end, above the lead that both share."""
        upper, lower = (
            ("resistor", [within(ohms(r_ohm), self.arm_tolerance)]) for r_ohm in (self.top_ohm, self.balance_ohm)
        )
        first = [self.lead(2 if self.wires == 2 else 1), sheet.sensor]
        second = [self.lead() if self.wires == 3 else ("wire", []), lower]
        joined = self.wires == 3 and self.lead_ohm > 0
        if joined:
            first.append(self.lead())
        elif not self.lead_ohm:
            first, second = first[1:], second[1:]
        return sheet.two_columns(upper, first, second, joined)

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.platinum import PlatinumSensor

        sensor = PlatinumSensor(range_c=(-40.0, 125.0))
        doubtful = {"lead_ohm": 0.5, "lead_tolerance": 0.1, "arm_tolerance": 0.001, "gain_tolerance": 0.002}
        doubtful |= {"bias_v": 1.0, "offset_v": 1e-5}
        yield cls(top_ohm=2000.0, balance_ohm=100.0, gain=20.0, **doubtful), sensor
        fed = {"supply_v": 5.0, "supply_tolerance": 0.01}
        yield cls(top_ohm=3000.0, balance_ohm=110.0, wires=2, gain=25.0, bias_v=1.2, **fed), sensor
