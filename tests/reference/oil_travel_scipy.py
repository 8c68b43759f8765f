# SPDX-License-Identifier: Apache-2.0
"""Motions of oil_test by scipy.

stdin, one a line: travel V_th V_c C B beta Q T_mean T_a omega until   (two states by Radau; the
valve opens as 1 - exp(-t / 0.02 s)), answered by theta p_L;
leak d h L eps k_ball mu F stroke grows   (time of a plunger by quadrature), answered by seconds.
"""

import math
import sys

from scipy.integrate import quad, solve_ivp


def travel(v, chamber, leak, viscous, bulk, flow, mean, swing, omega, until):
    capacity = chamber / (2 * bulk)

    def rates(t, state):
        torque = mean + swing * math.sin(omega * t)
        turning = (v * state[1] - torque) / viscous
        valve = flow * (1 - math.exp(-t / 0.02))
        return [turning, (valve - leak * state[1] - v * turning) / capacity]

    found = solve_ivp(rates, (0, until), [0, 0], method="Radau", rtol=1e-10, atol=[1e-12, 1e-4],
                      jac=[[0, v / viscous], [0, -(leak + v * v / viscous) / capacity]])
    return found.y[:, -1]


def leak_down(d, h, length, eps, ball, mu, force, stroke, grows):
    area = math.pi * d * d / 4

    def slowness(pushed):
        gap = math.pi * d * h**3 / (12 * mu * (length + grows * pushed)) * (1 + 1.5 * eps**2)
        return area / ((gap + ball / mu) * force / area)

    return [quad(slowness, 0, stroke, epsabs=0, epsrel=1e-12)[0]]


for line in sys.stdin:
    kind, *words = line.split()
    answer = (travel if kind == "travel" else leak_down)(*map(float, words))
    print(*(repr(float(value)) for value in answer))
