# SPDX-License-Identifier: Apache-2.0
"""The clearance maps of the V8 of benchmarks/clearance_bench.cc, with numpy and with plain loops.

The same equations (src/clearance/gap.h, piston.h, lift.h), the same 360 x 720 nodes, lengths in mm.
Alone it checks the blocked cells of one cylinder (known: 13710) and prints milliseconds.
"""

import math
import time
import timeit

import numpy as np

ROWS, COLUMNS = 360, 720
THROW, ROD, OFFSET = 43.0, 143.0, 0.8
BANKS = [[0, 270, 450, 180], [90, 360, 540, 630]]  # where cylinders 1 to 4 and 5 to 8 fire
# height, half duration, center, inclination, c0, R_p - R_v, e_x
INTAKE = (9.5, 155.0, 470.0, 20.0, 4.2, 1.8, 0.4)
EXHAUST = (9.0, 152.0, 250.0, 22.0, 3.9, 1.8, 0.3)


def drops(top):
    t = np.radians(np.arange(ROWS) * 360 / ROWS - top) - math.asin(OFFSET / (ROD + THROW))
    side = THROW * np.sin(t) + OFFSET
    return (math.sqrt((ROD + THROW) ** 2 - OFFSET ** 2) - THROW * np.cos(t)
            - np.sqrt(ROD ** 2 - side ** 2))


def lifts(valve, top):
    height, half, center = valve[:3]
    x = (np.arange(COLUMNS) * 720 / COLUMNS - top - center + 360) % 720 - 360
    u = np.maximum(1 - np.abs(x) / half, 0)
    return height * u ** 4 * (35 - 84 * u + 70 * u ** 2 - 20 * u ** 3)


def numpy_map(valves, wall):
    """`valves`: (valve, top). Whole arrays, in place where numpy can."""
    least = np.full((ROWS, COLUMNS), np.inf, np.float32)
    for valve, top in valves:
        gamma, gap, room, offset = valve[3:]
        drop, lift = drops(top), lifts(valve, top).astype(np.float32)
        at_row = (gap + drop * math.cos(math.radians(gamma))).astype(np.float32)
        sideways = (room - np.abs(offset - drop * math.sin(math.radians(gamma)))).astype(np.float32)
        axial = at_row[:, None] - lift[None, :]
        np.minimum(least, axial, out=least)
        axial -= np.float32(wall)
        np.maximum(axial, sideways[:, None], out=axial)
        np.minimum(least, axial, out=least)
    return least


def plain_rows(valves, wall, rows):
    """Some rows, every number by itself; lifts and drops are ready, as for the others."""
    ready = [(valve, drops(top).tolist(), lifts(valve, top).tolist()) for valve, top in valves]
    out = []
    for row in rows:
        cells = []
        for column in range(COLUMNS):
            least = math.inf
            for valve, drop, lift in ready:
                gamma, gap, room, offset = valve[3:]
                sideways = room - abs(offset - drop[row] * math.sin(math.radians(gamma)))
                axial = gap + drop[row] * math.cos(math.radians(gamma)) - lift[column]
                least = min(least, axial, max(sideways, axial - wall))
            cells.append(least)
        out.append(cells)
    return out


CAMSHAFTS = [[(valve, top) for top in bank] for bank in BANKS for valve in (INTAKE, EXHAUST)]


def numpy_milliseconds():
    def work():
        for valves in CAMSHAFTS:
            numpy_map(valves, 3.0)
    return min(timeit.repeat(work, timer=time.process_time, number=1, repeat=15)) * 1e3


def plain_milliseconds():
    """A tenth of the rows, ten times."""
    def work():
        for valves in CAMSHAFTS:
            plain_rows(valves, 3.0, range(0, ROWS, 10))
    return timeit.timeit(work, timer=time.process_time, number=1) * 10 * 1e3


def check():
    both = [(INTAKE, 0), (EXHAUST, 0)]
    blocked = int((numpy_map(both, 0.0) < 0).sum())
    assert blocked == 13710, blocked
    ours, plain = numpy_map(CAMSHAFTS[0], 3.0), plain_rows(CAMSHAFTS[0], 3.0, [0, 30, 200])
    assert np.allclose(ours[[0, 30, 200]], plain, atol=1e-4)


if __name__ == "__main__":
    check()
    print(f"numpy {numpy_milliseconds():.1f} ms, plain loops {plain_milliseconds():.0f} ms")
