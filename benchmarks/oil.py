# SPDX-License-Identifier: Apache-2.0
"""The solver of oil networks beside scipy.optimize.root, which is given the Jacobian; budgets below.

Both solve the same 60 elements from cold, by turns, so that a busy machine slows both; the best of
each counts, in processor time. They must find the same pressures.
"""

import os
import pathlib
import subprocess
import sys
import time

import numpy

ROOT = pathlib.Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests/reference"))
import oil_network_scipy  # noqa: E402

BUDGET_US = 100
BUDGET_RATIO = 100
BUDGET_MANY_S = 5
ROUNDS = 5
SOLVES = 20  # of scipy, in a round
BENCH = pathlib.Path(os.environ["TAUTMARK_PROGRAM"]).parent / "benchmarks/oil_bench"


def own(*arguments):
    return subprocess.run([BENCH, *arguments], capture_output=True, text=True, check=True).stdout


def main():
    network = oil_network_scipy.Network(own("--network").split())
    start = numpy.ones(network.nodes)  # bar
    ours, theirs = float("inf"), float("inf")
    for _ in range(ROUNDS):
        us, *pressures = (float(word) for word in own().split())
        ours = min(ours, us)
        before = time.process_time()
        for _ in range(SOLVES):
            found = network.root(start)
        theirs = min(theirs, 1e6 * (time.process_time() - before) / SOLVES)
    difference = abs(found.x * 1e5 / numpy.array(pressures) - 1).max()
    many, mean = min(tuple(map(float, own("--many").split())) for _ in range(2))
    print(f"{len(network.kind)} elements, {network.nodes} nodes: {ours:.1f} µs, "
          f"budget {BUDGET_US} µs")
    print(f"scipy's root: {theirs:.0f} µs, ratio {theirs / ours:.0f}, at least {BUDGET_RATIO}; "
          f"pressures differ by {difference:.1e}")
    print(f"100 000 solves on two cores: {many:.2f} s, budget {BUDGET_MANY_S} s "
          f"(mean at the phaser {mean / 1e5:.4f} bar)")
    kept = (ours < BUDGET_US and theirs / ours >= BUDGET_RATIO and many < BUDGET_MANY_S
            and difference < 1e-6 and len(network.kind) == 60)
    return 0 if kept else 1


sys.exit(main())
