# SPDX-License-Identifier: Apache-2.0
"""The worked bank of the path benchmark, solved the straight way with numpy and scipy.

The same equations (src/geometry/path.h), the same bracket by small steps, scipy's brentq. Lengths
in mm. Alone it prints arm angle, stroke and microseconds per solve.
"""

import math
import timeit

import numpy as np
from scipy.optimize import brentq

PITCH, LINKS = 8.0, 106
SIDES = np.array([-1, 1, -1, 1])
CENTERS = np.array([[0, 0], [-160, 112], [0, 302], [286, 151]], float)
TEETH = {0: 20, 2: 40}
RADII = {1: 140.0, 3: 250.0}
PIVOT = np.array([-50, 40], float)
BASE, PAD, PAD_RADIUS = np.array([-56, 150.0]), np.array([-44, 150.0]), 6.0


def turned(point, arm):
    """About the pivot, clockwise."""
    c, s = math.cos(arm), math.sin(arm)
    return PIVOT + np.array([[c, s], [-s, c]]) @ (point - PIVOT)


def lay(arm, elongation):
    """Pitches of the path; centers, signed radii, strands, their directions and the wraps."""
    pitch = PITCH * (1 + elongation)
    centers = CENTERS.copy()
    centers[1] = turned(CENTERS[1], arm)
    radii = np.array([
        pitch / (2 * math.sin(math.pi / TEETH[i])) if i in TEETH else RADII[i] for i in range(4)])
    counts = np.array([
        TEETH[i] / (2 * math.pi) if i in TEETH else 1 / (2 * math.asin(pitch / (2 * RADII[i])))
        for i in range(4)])
    d = np.roll(centers, -1, axis=0) - centers
    q = np.roll(SIDES * radii, -1) - SIDES * radii
    strands = np.sqrt((d**2).sum(axis=1) - q**2)
    direction = np.arctan2(d[:, 1], d[:, 0]) - np.arctan2(q, strands)
    wraps = SIDES * (direction - np.roll(direction, 1)) % (2 * math.pi)
    pitches = strands.sum() / pitch + (counts * wraps).sum()
    return pitches, centers, SIDES * radii, strands, direction, wraps


def points(centers, reach, direction):
    """Where the strands leave and arrive."""
    normal = np.column_stack([-np.sin(direction), np.cos(direction)])
    return (centers - reach[:, None] * normal,
            centers - reach[:, None] * np.roll(normal, 1, axis=0))


def solve(elongation):
    """Arm angle (deg), stroke (mm) and the path."""
    def excess(arm):
        return lay(arm, elongation)[0] - LINKS

    step = math.radians(0.25)
    low, high = 0.0, step
    while excess(high) < 0:
        low, high = high, high + step
    arm = brentq(excess, low, high, xtol=1e-14)
    stroke = (turned(PAD, arm) - BASE)[0] - PAD_RADIUS
    _, centers, reach, strands, direction, wraps = lay(arm, elongation)
    return math.degrees(arm), stroke, strands, wraps, points(centers, reach, direction)


def microseconds(elongation, least_seconds=0.2):
    timer = timeit.Timer(lambda: solve(elongation))
    count, seconds = timer.autorange()
    runs = max(3, int(least_seconds / max(seconds, 1e-9)))
    return min(timer.repeat(runs, count)) / count * 1e6


if __name__ == "__main__":
    for worn in (0.0, 0.005):
        print(f"elongation {worn}: arm {solve(worn)[0]:.6f} deg, stroke {solve(worn)[1]:.6f} mm, "
              f"{microseconds(worn):.0f} us")
