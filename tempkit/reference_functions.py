"""Reference functions of thermocouples: voltage [mV] of a hot junction at t [degC], cold junction at 0 degC.

E = sum of c_i t^i, and for type K above 0 degC also a0 exp(a1 (t - a2)^2). The coefficients are those of NIST
Monograph 175 (ITS-90), as NIST Standard Reference Database 60 gives them; read in a secondary copy.
"""

from dataclasses import dataclass

import numpy as np

SOURCE = "NIST Monograph 175 (ITS-90), coefficients as in NIST Standard Reference Database 60; read in a secondary copy"


@dataclass(frozen=True)
class Piece:
    """One polynomial of a reference function: from `low_c` to `high_c` [degC]; `bump` is (a0, a1, a2) or empty.

    >>> PIECES["K"][1].millivolts(np.array([25.0, 100.0])).round(4)
    array([1.0002, 4.0962])
    """

    low_c: float
    high_c: float
    coefficients: tuple
    bump: tuple = ()

    def millivolts(self, t_c):
        """Voltage [mV], scalar or array, without a look at the range.

        >>> PIECES["J"][0].millivolts(np.array([0.0, 100.0])).round(3)
        array([0.   , 5.269])
        """
        e = np.full_like(t_c, self.coefficients[-1], dtype=float)
        for c in self.coefficients[-2::-1]:
            e *= t_c
            e += c
        return e + self._bump(t_c) if self.bump else e

    def with_slope(self, t_c):
        """Voltage [mV] and slope [mV/degC], both in one pass; scalar or array, without a look at the range.

        >>> [each.round(4) for each in PIECES["K"][1].with_slope(np.array([25.0]))]
        [array([1.0002]), array([0.0405])]
        """
        e = np.full_like(t_c, self.coefficients[-1], dtype=float)
        slope = np.zeros_like(e)
        for c in self.coefficients[-2::-1]:
            slope *= t_c
            slope += e
            e *= t_c
            e += c
        if self.bump:
            bump = self._bump(t_c)
            return e + bump, slope + bump * (2 * self.bump[1]) * (t_c - self.bump[2])
        return e, slope

    def _bump(self, t_c):
        a0, a1, a2 = self.bump
        away = np.subtract(t_c, a2)
        return a0 * np.exp(a1 * (away * away))


PIECES = {
    "K": (
        Piece(-270.0, 0.0, (
            0.0, 0.394501280250e-01, 0.236223735980e-04, -0.328589067840e-06, -0.499048287770e-08,
            -0.675090591730e-10, -0.574103274280e-12, -0.310888728940e-14, -0.104516093650e-16,
            -0.198892668780e-19, -0.163226974860e-22,
        )),
        Piece(0.0, 1372.0, (
            -0.176004136860e-01, 0.389212049750e-01, 0.185587700320e-04, -0.994575928740e-07,
            0.318409457190e-09, -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18,
            0.971511471520e-22, -0.121047212750e-25,
        ), (0.118597600000e00, -0.118343200000e-03, 0.126968600000e03)),
    ),
    "J": (
        Piece(-210.0, 760.0, (
            0.0, 0.503811878150e-01, 0.304758369300e-04, -0.856810657200e-07, 0.132281952950e-09,
            -0.170529583370e-12, 0.209480906970e-15, -0.125383953360e-18, 0.156317256970e-22,
        )),
        Piece(760.0, 1200.0, (
            0.296456256810e03, -0.149761277860e01, 0.317871039240e-02, -0.318476867010e-05,
            0.157208190040e-08, -0.306913690560e-12,
        )),
    ),
    "T": (
        Piece(-270.0, 0.0, (
            0.0, 0.387481063640e-01, 0.441944343470e-04, 0.118443231050e-06, 0.200329735540e-07,
            0.901380195590e-09, 0.226511565930e-10, 0.360711542050e-12, 0.384939398830e-14,
            0.282135219250e-16, 0.142515947790e-18, 0.487686622860e-21, 0.107955392700e-23,
            0.139450270620e-26, 0.797951539270e-30,
        )),
        Piece(0.0, 400.0, (
            0.0, 0.387481063640e-01, 0.332922278800e-04, 0.206182434040e-06, -0.218822568460e-08,
            0.109968809280e-10, -0.308157587720e-13, 0.454791352900e-16, -0.275129016730e-19,
        )),
    ),
}  # fmt: skip
