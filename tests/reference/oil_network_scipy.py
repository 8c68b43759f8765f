# SPDX-License-Identifier: Apache-2.0
"""Oil networks of oil_test by scipy.optimize.root; the laws of the elements are written here once
more.

stdin: one network a line: nodes mu rho n elements, and for every element kind from to a b (node -1:
the sump; laminar: m³, film; orifice: m²; checked: m², Pa; relief: m³/(s·Pa), Pa; pump: m³ per turn,
slip m³; fixed: m³/s). stdout: the pressures of the nodes, Pa; "nan" where no start led anywhere.
"""

import sys

import numpy
from scipy.optimize import root

DP_C = 100.0
TRAVEL = 1e4
SHUT = 1e-9
KINDS = ["laminar", "orifice", "checked", "relief", "pump", "fixed"]


class Network:
    def __init__(self, words):
        self.nodes = int(words[0])
        self.mu, self.rho, self.n = (float(word) for word in words[1:4])
        table = numpy.array(words[5:]).reshape(int(words[4]), 5)
        self.kind = numpy.array([KINDS.index(kind) for kind in table[:, 0]])
        self.start, self.end = table[:, 1].astype(int), table[:, 2].astype(int)
        self.a, self.b = table[:, 3].astype(float), table[:, 4].astype(float)
        self.brought = numpy.where(self.kind == 4, self.a * self.n, 0) + numpy.where(
            self.kind == 5, self.a, 0)
        self.scale = abs(self.brought).sum()

    def flows(self, pressure):
        """Flow and its slope of every element."""
        padded = numpy.append(pressure, 0.0)  # index -1: the sump
        dp = padded[self.start] - padded[self.end]
        root4 = (dp**2 + DP_C**2) ** 0.25
        hole = self.a * numpy.sqrt(2 / self.rho)
        q_hole = hole * dp / root4
        s_hole = hole * (dp**2 / 2 + DP_C**2) / root4**5
        u = (dp - self.b) / TRAVEL
        v = numpy.clip(u, 0, 1)
        share = SHUT + (1 - SHUT) * (3 * v**2 - 2 * v**3)
        ramp = numpy.where(u > 1, u, 2 * v**2 - v**3)
        ramp_slope = numpy.where(u > 1, 1, 4 * v - 3 * v**2)
        film = numpy.where(self.kind == 0, self.b, 1)
        line = numpy.where(self.kind == 4, self.b, self.a / film) / self.mu
        which = [self.kind == k for k in range(6)]
        q = numpy.select(which, [
            line * dp, q_hole, q_hole * share, self.a * (TRAVEL * ramp + SHUT * dp), line * dp, 0])
        slope = numpy.select(which, [
            line, s_hole, s_hole * share + q_hole * (1 - SHUT) * 6 * v * (1 - v) / TRAVEL,
            self.a * (ramp_slope + SHUT), line, 0])
        return q + self.brought, slope

    def residual(self, bars):
        q, _ = self.flows(bars * 1e5)
        total = numpy.zeros(self.nodes + 1)
        numpy.add.at(total, self.start, q)
        numpy.add.at(total, self.end, -q)
        return total[:-1] / self.scale

    def jacobian(self, bars):
        _, slope = self.flows(bars * 1e5)
        total = numpy.zeros((self.nodes + 1, self.nodes + 1))
        for i, j, sign in ((self.start, self.start, 1), (self.end, self.end, 1),
                           (self.start, self.end, -1), (self.end, self.start, -1)):
            numpy.add.at(total, (i, j), sign * slope)
        return total[:-1, :-1] * 1e5 / self.scale

    def root(self, start, method="hybr"):
        options = {"xtol": 1e-14} if method == "hybr" else {"xtol": 1e-15, "ftol": 1e-15}
        return root(self.residual, start, jac=self.jacobian, method=method, options=options)

    def solve(self):
        for bars in (1.0, 0.1, 10.0, 100.0, 1000.0):
            for method in ("hybr", "lm"):
                x = self.root(numpy.full(self.nodes, bars), method).x
                for _ in range(3):  # on from where it stopped
                    x = self.root(x, "hybr").x
                if abs(self.residual(x)).max() < 1e-11:
                    return x * 1e5
        return numpy.full(self.nodes, numpy.nan)


def main():
    for line in sys.stdin:
        print(*(repr(float(p)) for p in Network(line.split()).solve()))


if __name__ == "__main__":
    main()
