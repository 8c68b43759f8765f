# SPDX-License-Identifier: Apache-2.0
"""Recordings of crank and cam sensors with known truth, as CSV text with one row per change."""

import random

# Rising edges of the two banks of vessgarth-v6-12, and of the two camshafts of quellmere-i4-16.
VESSGARTH = ((52, 97, 232, 412, 592), (52, 232, 412, 457, 592))
QUELLMERE = ((96, 276, 516), (132, 372, 552))


def signals(cams, late, *, slots=36, missing=(35,), turns=40, per_minute=650, seed=1, width=20):
    """Crank and cams; `late`: crank degrees of each cam, negative: early."""
    chances, rows = random.Random(seed), []
    for turn in range(turns):
        for slot in range(slots):
            if slot not in missing:
                at = 360 * turn + 360 / slots * slot
                rows += [(at, 0, 1), (at + 180 / slots, 0, 0)]
    for channel, (edges, off) in enumerate(zip(cams, late), 1):
        for cycle in range(turns // 2):
            for edge in edges:
                at = 720 * cycle + edge + off + chances.gauss(0, 0.05)
                rows += [(at, channel, 1), (at + width, channel, 0)]
    state = [0] * (1 + len(cams))
    names = ["crank"] + [f"cam {i + 1}" for i in range(len(cams))]
    lines = ["time [s]," + ",".join(names), "0," + ",".join("0" * len(state))]
    for at, channel, level in sorted(rows):
        state[channel] = level
        lines.append(f"{0.2 + at / (6 * per_minute):.9f}," + ",".join(map(str, state)))
    return "\n".join(lines) + "\n"
