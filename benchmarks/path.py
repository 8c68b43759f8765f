# SPDX-License-Identifier: Apache-2.0
"""One full solve of the worked bank against scipy, side by side; budget 20 us and 200 times.

Both alternate over some rounds, so that a busy machine slows both; the best of each counts.
"""

import json
import os
import pathlib
import subprocess
import sys

from peers import path_scipy

BUDGET_US = 20
BUDGET_RATIO = 200
ROUNDS = 3
CASES = {"solve_new": 0.0, "solve_worn": 0.005}


def own_microseconds():
    program = pathlib.Path(os.environ["TAUTMARK_PROGRAM"]).parent / "benchmarks" / "path_bench"
    out = subprocess.run([program, "--benchmark_format=json", "--benchmark_min_time=0.2"],
                         capture_output=True, text=True, check=True).stdout
    return {run["name"]: run["cpu_time"] / 1000 for run in json.loads(out)["benchmarks"]}


def main():
    own, peer = {}, {}
    for _ in range(ROUNDS):
        for name, us in own_microseconds().items():
            own[name] = min(us, own.get(name, us))
        for name, elongation in CASES.items():
            us = path_scipy.microseconds(elongation)
            peer[name] = min(us, peer.get(name, us))
    kept = True
    for name, us in own.items():
        if name not in peer:
            print(f"{name}: {us:.2f} us")
            continue
        ratio = peer[name] / us
        kept = kept and us < BUDGET_US and ratio >= BUDGET_RATIO
        print(f"{name}: {us:.2f} us, scipy {peer[name]:.0f} us, ratio {ratio:.0f}")
    return 0 if kept else 1


sys.exit(main())
