# SPDX-License-Identifier: Apache-2.0
"""Phase fits of clearance_test by scipy.optimize.least_squares. The law of the lobe (4-5-6-7, 9.5 mm,
half duration 155, center 470 crank deg) is written here once more.

stdin: one fit a line: eps0 zero0 scale0 fit_scale sigma_y sigma_theta n theta_1 y_1 …  (deg, mm;
sigma_y 0: not stated). stdout: eps zero scale u_of_residuals u_stated
"""

import math
import sys

import numpy
from scipy.optimize import least_squares


def lift(theta):
    u = 1 - numpy.abs(numpy.mod(theta - 470 + 360, 720) - 360) / 155
    u = numpy.clip(u, 0, 1)
    return 9.5 * (35 * u**4 - 84 * u**5 + 70 * u**6 - 20 * u**7)


def slope(theta):
    x = numpy.mod(theta - 470 + 360, 720) - 360
    u = numpy.clip(1 - numpy.abs(x) / 155, 0, 1)
    return -numpy.sign(x) * 9.5 / 155 * 140 * u**3 * (1 - u) ** 3


def fit(eps, zero, scale, fit_scale, sigma_y, sigma_theta, theta, y):
    best = numpy.array([eps, zero, scale] if fit_scale else [eps, zero])
    for _ in range(60 if sigma_theta else 1):
        a = best[2] if fit_scale else 1
        variance = sigma_y**2 + (a * slope(theta + best[0]) * sigma_theta) ** 2 if sigma_y else 1
        weight = numpy.sqrt(numpy.ones(len(theta)) / variance)

        def residuals(p):
            return weight * ((p[2] if fit_scale else 1) * lift(theta + p[0]) + p[1] - y)

        def jacobian(p):
            columns = [(p[2] if fit_scale else 1) * slope(theta + p[0]), numpy.ones(len(theta))]
            if fit_scale:
                columns.append(lift(theta + p[0]))
            return (weight * numpy.array(columns)).T

        found = least_squares(residuals, best, jac=jacobian, method="lm", xtol=1e-15, ftol=1e-15,
                              gtol=1e-15)
        best = found.x
    covariance = numpy.linalg.inv(found.jac.T @ found.jac)[0, 0]
    freedom = len(theta) - len(best)
    return [*best, *([] if fit_scale else [1]), math.sqrt(covariance * 2 * found.cost / freedom),
            math.sqrt(covariance)]


for line in sys.stdin:
    words = [float(word) for word in line.split()]
    readings = numpy.array(words[7:]).reshape(-1, 2)
    print(*(repr(float(v)) for v in fit(*words[:3], bool(words[3]), *words[4:6], readings[:, 0],
                                        readings[:, 1])))
