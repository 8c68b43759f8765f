# SPDX-License-Identifier: Apache-2.0
"""Posterior of two factors of an oil network by dense quadrature over both, for oil_test. The
pressures are solved on a coarse grid and laid through it by splines.

stdin: the network as oil_network_scipy.py reads it; element, median, sd of ln (a factor of its size,
normal in ln); element, low, high (a factor, alike between both); two lines node, read, standard
uncertainty, Pa; a node. stdout: 2.5 %, 50 % and 97.5 % of both factors and of the node's pressure.
"""

import sys

import numpy
from oil_network_scipy import Network
from scipy.interpolate import RectBivariateSpline

SOLVED = 28
FINE = 700


def quantiles(name, values, weights):
    order = numpy.argsort(values, axis=None)
    values, weights = values.ravel()[order], weights.ravel()[order]
    total = numpy.cumsum(weights)
    middle = (total - weights / 2) / total[-1]
    for word, share in (("low", 0.025), ("median", 0.5), ("high", 0.975)):
        print(f"{name}_{word}", repr(float(numpy.interp(share, middle, values))))


def middles(low, high):
    return low + (high - low) * (numpy.arange(FINE) + 0.5) / FINE


def main():
    lines = [line.split() for line in sys.stdin]
    network = Network(lines[0])
    a, median, sd = int(lines[1][0]), float(lines[1][1]), float(lines[1][2])
    b, low, high = int(lines[2][0]), float(lines[2][1]), float(lines[2][2])
    readings = [(int(n), float(read), float(u)) for n, read, u in lines[3:5]]
    node = int(lines[5][0])
    size = network.a.copy()
    first = numpy.linspace(-5, 5, SOLVED)  # standard deviations of ln
    second = numpy.linspace(numpy.log(low), numpy.log(high), SOLVED)
    pressure = numpy.empty((network.nodes, SOLVED, SOLVED))
    for i, z in enumerate(first):
        bars = numpy.full(network.nodes, 1.0)
        for j, ln in enumerate(second):
            network.a = size.copy()
            network.a[a] *= median * numpy.exp(sd * z)
            network.a[b] *= numpy.exp(ln)
            bars = network.root(bars).x
            assert abs(network.residual(bars)).max() < 1e-9
            pressure[:, i, j] = bars * 1e5
    z, factor = middles(-5, 5), middles(low, high)
    laid = [RectBivariateSpline(first, second, numpy.log(field))(z, numpy.log(factor))
            for field in pressure]
    misfit = (z**2)[:, None] + sum(
        ((numpy.exp(laid[n]) - read) / u) ** 2 for n, read, u in readings)
    weight = numpy.exp(-misfit / 2)
    quantiles("first", median * numpy.exp(sd * z), weight.sum(axis=1))
    quantiles("second", factor, weight.sum(axis=0))
    quantiles("pressure", numpy.exp(laid[node]), weight)


if __name__ == "__main__":
    main()
