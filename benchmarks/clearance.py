# SPDX-License-Identifier: Apache-2.0
"""The maps of a V8 against numpy and plain loops, and the search for a way; budgets below.

Both alternate over some rounds, so that a busy machine slows both; the best of each counts.
"""

import json
import os
import pathlib
import subprocess
import sys

from peers import clearance_numpy

BUDGET_MS = {"maps/at_nodes": 50, "maps/between_nodes": 50, "way_of_one_camshaft": 100,
             "way_of_four_camshafts": 100}
BUDGET_NUMPY, BUDGET_PLAIN = 10, 100
ROUNDS = 3


def own_milliseconds():
    program = pathlib.Path(os.environ["TAUTMARK_PROGRAM"]).parent / "benchmarks/clearance_bench"
    out = subprocess.run([program, "--benchmark_format=json", "--benchmark_min_time=0.2"],
                         capture_output=True, text=True, check=True).stdout
    return {run["name"]: run["cpu_time"] for run in json.loads(out)["benchmarks"]}


def main():
    clearance_numpy.check()
    own, numpy = {}, float("inf")
    for _ in range(ROUNDS):
        for name, ms in own_milliseconds().items():
            own[name] = min(ms, own.get(name, ms))
        numpy = min(numpy, clearance_numpy.numpy_milliseconds())
    plain = clearance_numpy.plain_milliseconds()
    kept = True
    for name, budget in BUDGET_MS.items():
        kept = kept and own[name] < budget
        print(f"{name}: {own[name]:.2f} ms, budget {budget} ms")
    maps = own["maps/at_nodes"]
    kept = kept and numpy / maps >= BUDGET_NUMPY and plain / maps >= BUDGET_PLAIN
    print(f"the maps with numpy {numpy:.1f} ms, ratio {numpy / maps:.0f}; "
          f"with plain loops {plain:.0f} ms, ratio {plain / maps:.0f}")
    return 0 if kept else 1


sys.exit(main())
