# SPDX-License-Identifier: Apache-2.0
"""Reference values for src/tighten, computed with scipy: one line "name value" each.

trace_scipy_test.cc writes a trace as "angle torque" lines to the standard input of
tighten_scipy.py WINDOW_POINTS LOW HIGH and compares: Savitzky-Golay value and slope of order 1, and
the straight line over LOW..HIGH degrees.
"""

import sys

try:
    import numpy
    from scipy import signal, stats
except ImportError as error:
    print(f"missing: {error}")
    sys.exit(3)

window = int(sys.argv[1])
low, high = float(sys.argv[2]), float(sys.argv[3])
angle, torque = numpy.loadtxt(sys.stdin, unpack=True)
step = angle[1] - angle[0]
value = signal.savgol_filter(torque, window, 1, mode="interp")
slope = signal.savgol_filter(torque, window, 1, deriv=1, delta=step, mode="interp")
for i, (v, s) in enumerate(zip(value, slope)):
    print(f"value/{i} {float(v)!r}")
    print(f"slope/{i} {float(s)!r}")
inside = (angle >= low - 1e-9) & (angle <= high + 1e-9)
line = stats.linregress(angle[inside], torque[inside])
print(f"line_slope {float(line.slope)!r}")
print(f"line_zero {float(line.intercept)!r}")
print(f"line_error {float(line.stderr)!r}")
