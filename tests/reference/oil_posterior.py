# SPDX-License-Identifier: Apache-2.0
"""Posterior of two factors of an oil network by dense quadrature over both, for oil_test.

stdin: the network as oil_network_scipy.py reads it; element, median, sd of ln (a factor of its size,
normal in ln); element, low, high (a factor, alike between both); two lines node, read, standard
uncertainty, Pa; a node. stdout: 2.5 %, 50 % and 97.5 % of both factors and of the node's pressure.
"""

import sys

import numpy
from oil_network_scipy import Network

GRID = 90


def quantiles(name, values, weights):
    order = numpy.argsort(values)
    total = numpy.cumsum(weights[order])
    middle = (total - weights[order] / 2) / total[-1]
    for word, share in (("low", 0.025), ("median", 0.5), ("high", 0.975)):
        print(f"{name}_{word}", repr(float(numpy.interp(share, middle, values[order]))))


def main():
    lines = [line.split() for line in sys.stdin]
    network = Network(lines[0])
    a, median, sd = int(lines[1][0]), float(lines[1][1]), float(lines[1][2])
    b, low, high = int(lines[2][0]), float(lines[2][1]), float(lines[2][2])
    readings = [(int(n), float(read), float(u)) for n, read, u in lines[3:5]]
    node = int(lines[5][0])
    size = network.a.copy()
    logs = numpy.log(median) + sd * (numpy.arange(GRID) + 0.5 - GRID / 2) * 10 / GRID
    factors = low + (high - low) * (numpy.arange(GRID) + 0.5) / GRID
    rows = []
    for ln in logs:
        bars = numpy.full(network.nodes, 1.0)
        for factor in factors:
            network.a = size.copy()
            network.a[a] *= numpy.exp(ln)
            network.a[b] *= factor
            bars = network.root(bars).x
            assert abs(network.residual(bars)).max() < 1e-9
            misfit = sum(((bars[n] * 1e5 - read) / u) ** 2 for n, read, u in readings)
            misfit += ((ln - numpy.log(median)) / sd) ** 2
            rows.append((numpy.exp(ln), factor, bars[node] * 1e5, numpy.exp(-misfit / 2)))
    table = numpy.array(rows)
    for column, name in enumerate(("first", "second", "pressure")):
        quantiles(name, table[:, column], table[:, 3])


if __name__ == "__main__":
    main()
