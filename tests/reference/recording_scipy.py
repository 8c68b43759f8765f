# SPDX-License-Identifier: Apache-2.0
"""Reference values for src/recording, computed with numpy and scipy: one line "name value" each.

phase_statistics_test.cc runs this with the Python of the system and compares. Least squares come
from numpy.linalg, distributions and the straight line from scipy; nothing is shared.
"""

import sys

try:
    import numpy
    from scipy import stats
except ImportError as error:
    print(f"missing: {error}")
    sys.exit(3)


def show(name, value):
    print(f"{name} {float(value)!r}")


i = numpy.arange(60)
time = 0.12 * i + 0.02 * numpy.sin(1.7 * i)
psi = 2 + 0.8 * numpy.sin(5.1 * time + 0.4) + 0.3 * numpy.cos(7.3 * i * i)

for f in (0.5, 0.81, 1.4):
    # The mean belongs to the phase zero of the fit: the middle of the recording.
    angle = 2 * numpy.pi * f * (time - (time[0] + time[-1]) / 2)
    design = numpy.column_stack([numpy.ones(60), numpy.cos(angle), numpy.sin(angle)])
    solution, *_ = numpy.linalg.lstsq(design, psi, rcond=None)
    rest = numpy.sum((psi - design @ solution) ** 2)
    total = numpy.sum((psi - psi.mean()) ** 2)
    statistic = ((total - rest) / 2) / (rest / 57)
    show(f"sine_amplitude/{f}", numpy.hypot(solution[1], solution[2]))
    show(f"sine_mean/{f}", solution[0])
    show(f"sine_f/{f}", statistic)
    show(f"sine_chance/{f}", stats.f.sf(statistic, 2, 57))

line = stats.linregress(time, psi)
show("line_slope", line.slope)
show("line_at_zero", line.intercept)
show("line_slope_error", line.stderr)
show("mean", numpy.mean(psi))
show("sd", numpy.std(psi, ddof=1))
show("jitter", numpy.std(numpy.diff(psi), ddof=1) / numpy.sqrt(2))
show("chi_squared_above/12.1/1", stats.chi2.sf(12.1, 1))
show("chi_squared_above/3/4", stats.chi2.sf(3, 4))
show("f_above/2.5/2/57", stats.f.sf(2.5, 2, 57))
show("f_above/40/2/9", stats.f.sf(40, 2, 9))
