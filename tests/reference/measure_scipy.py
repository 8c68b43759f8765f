# SPDX-License-Identifier: Apache-2.0
"""Reference values for src/measure, computed with scipy: one line "name value" each.

Usage: measure_scipy.py [GROUP...], all groups without one.

measure_scipy_test.cc runs this with the Python of the system and compares. Nothing here shares
code or formulas with the program: distributions, least squares and quantiles come from scipy.
"""

import sys

try:
    import numpy
    from scipy import integrate, optimize, stats
except ImportError as error:
    print(f"missing: {error}")
    sys.exit(3)


def show(name, value):
    print(f"{name} {float(value)!r}")


def student_quantile(tail, nu):
    """x with P(T > x) = tail. The quantiles of scipy 1.10 are good to 9 digits only, its tail
    probabilities to all: 12.706204736432 for tail 0.025, nu 1, where tan gives 12.706204736175."""
    guess = stats.t.isf(tail, nu)
    return optimize.brentq(lambda x: stats.t.sf(x, nu) / tail - 1, guess * 0.99, guess * 1.01,
                           xtol=1e-14 * guess, rtol=1e-14)


def distributions():
    for nu in (1, 1.5, 2, 4, 9.3, 16.75, 50, 570.408, 1e6):
        for p in (0.5, 0.9, 0.95, 0.99, 0.999):
            show(f"student_factor/{p}/{nu!r}", student_quantile((1 - p) / 2, nu))
    for x in (-8, -3, -1.5, 0, 0.1, 2, 5):
        show(f"normal_cdf/{x!r}", stats.norm.cdf(x))
        for nu in (1, 2.5, 30):
            show(f"student_cdf/{x!r}/{nu!r}", stats.t.cdf(x, nu))
    for x, a, b in ((0.4337, 18, 60), (2.5, 2, 18), (79.4, 2, 18), (1, 5, 7)):
        show(f"f_upper_tail/{x!r}/{a!r}/{b!r}", stats.f.sf(x, a, b))


# name, value, u, nu (0: infinite), lower, upper (None: none)
DECISIONS = (
    ("two-sided", 0.031, 0.004, 0, 0.025, 0.066),
    ("far-tail", 0.090, 0.003, 0, None, 0.070),
    ("few-readings", 0.0652, 0.003, 2, None, 0.070),
    ("lower-few", 0.0271, 0.0015, 3.7, 0.025, None),
    ("narrow-few", 0.030, 0.002, 4, 0.025, 0.035),
    ("one-degree", 0.050, 0.004, 1, 0.025, 0.066),
)


def decisions():
    for name, value, u, nu, lower, upper in DECISIONS:
        law = stats.norm(value, u) if nu == 0 else stats.t(nu, value, u)
        if lower is None:
            inside = law.cdf(upper)
        elif upper is None:
            inside = law.sf(lower)
        else:
            inside = law.cdf(upper) - law.cdf(lower)
        show(f"probability/{name}", inside)
        show(f"rejection_band/{name}",
             u * (stats.norm.ppf(0.95) if nu == 0 else student_quantile(0.05, nu)))
    # Two limits 5 u apart: the smallest distance from a limit at which 95 % are inside.
    def short_of(distance):
        return stats.norm.cdf(distance) - stats.norm.cdf(distance - 5) - 0.95
    show("guard_band/five-u", optimize.brentq(short_of, 1, 2.5, xtol=1e-15))


def budget():
    u = numpy.array([0.374166, 0.288675, 1.0, 0.57735, 0.3316])
    c = numpy.array([1, 1, -1, 2, 0.5])
    nu = numpy.array([4, 1e9, 12, 50, 3])
    variance = ((c * u) ** 2).sum()
    show("budget/u", numpy.sqrt(variance))
    show("budget/nu", variance**2 / (((c * u) ** 4) / nu).sum())
    r = numpy.eye(5)
    r[0, 2] = r[2, 0] = 0.4
    r[1, 3] = r[3, 1] = -0.7
    show("budget/u-correlated", numpy.sqrt((c * u) @ r @ (c * u)))


def oval():
    t = numpy.radians([3, 41, 77, 118, 149, 171])
    d = numpy.array([4.1, 11.7, 2.9, -9.8, -7.2, 0.4])  # micrometers from 25 mm

    # Amplitude and axis directly, not the linear form of the program.
    fit = optimize.least_squares(
        lambda x: x[0] + x[1] * numpy.cos(2 * (t - x[2])) - d,
        [0, 10, 0.5], jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    show("oval/mean", 25 + 1e-3 * fit.x[0])
    show("oval/amplitude", 1e-3 * fit.x[1])
    show("oval/axis", numpy.degrees(fit.x[2]) % 180)
    show("oval/residual-sd", 1e-3 * numpy.sqrt(2 * fit.cost / 3))
    covariance = numpy.linalg.inv(fit.jac.T @ fit.jac)
    show("oval/mean-u-factor", numpy.sqrt(covariance[0, 0]))
    show("oval/amplitude-u-factor", numpy.sqrt(covariance[1, 1]))


def trapezoid():
    """Sum of two rectangular parts by numerical convolution."""
    for a, b in ((10.5, 6.5), (5, 5), (9, 0.5)):
        def density(y, a=a, b=b):
            # Overlap of the window y ± b with ±a.
            return max(0.0, min(a, y + b) - max(-a, y - b)) / (4 * a * b)

        def inside(q, a=a, b=b, density=density):
            knots = [k for k in (-(a - b), a - b) if -q < k < q]
            return integrate.quad(density, -q, q, points=knots or None, epsabs=1e-13)[0]

        for p in (0.3, 0.95, 0.9973):
            q = optimize.brentq(lambda q, p=p: inside(q) - p, 1e-6, a + b, xtol=1e-13)
            show(f"trapezoid/{a!r}/{b!r}/{p!r}", q)


def summary():
    # A small generator that both sides can write: 31 bits, minimal standard (Park and Miller).
    state = 12345
    x = []
    for _ in range(1000):
        state = state * 48271 % 2147483647
        x.append(24.97 + 1e-6 * (state % 1000))
    x = numpy.array(x)
    show("summary/mean", x.mean())
    show("summary/sd", x.std(ddof=1))
    show("summary/lag1", ((x[:-1] - x.mean()) * (x[1:] - x.mean())).sum()
         / ((x - x.mean()) ** 2).sum())


def range_factors():
    """1 / d2 and 1 / sqrt(d2² + d3²) of the range of n normal values (gauge_rr.cc)."""
    x = numpy.linspace(-9, 9, 1801)
    w = numpy.linspace(0, 11, 1101)[:, None]
    for n in range(2, 11):
        # P(range <= w): one value is the smallest, the others lie at most w above it.
        below = n * stats.norm.pdf(x) * (stats.norm.cdf(x + w) - stats.norm.cdf(x)) ** (n - 1)
        outside = 1 - integrate.simpson(below, x=x, axis=1)
        mean = integrate.simpson(outside, x=w[:, 0])
        mean_square = integrate.simpson(2 * w[:, 0] * outside, x=w[:, 0])
        show(f"range_factor/mean/{n}", 1 / mean)
        show(f"range_factor/single/{n}", 1 / numpy.sqrt(mean_square))


GROUPS = (distributions, decisions, budget, oval, trapezoid, summary, range_factors)
wanted = sys.argv[1:] or [group.__name__ for group in GROUPS]
for group in GROUPS:
    if group.__name__ in wanted:
        group()
