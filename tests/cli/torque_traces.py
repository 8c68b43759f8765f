# SPDX-License-Identifier: Apache-2.0
"""Invented recorded tightenings with a known fate, as files of an electronic wrench.

    python3 torque_traces.py FOLDER    writes right.csv, cross.csv, far.csv, soft.csv, torn.csv
"""
import math
import pathlib
import sys


def trace(slope=1000, angle=75, per_force=1.9e-3, cross=0.0):
    """Torque over angle of an invented stretch bolt (VDI 2230: k = 1.9 mm for M12x1.25 at 0.12).

    The sum of two soft corners: where the parts close, and where the bolt yields at 75 kN. `cross`:
    N·m per turn that the thread takes, in lumps, from 20° of the record on; it then closes 1.1 turns
    later.
    """
    def soft(x, width):
        return width * math.log1p(math.exp(min(x / width, 60))) if x / width < 60 else x

    closes = 550 if cross else 150
    lines, from_snug = ["Angle [deg];Torque [N·m]"], None
    for i in range(4000):
        at = i * 0.5
        clamp = soft(at - closes, 2)
        load = slope * (clamp - 0.97 * soft(clamp - 75000 / slope, 3))
        bound = cross * max(at - 20, 0) / 360 * (1 + 0.2 * math.sin(at / 9))
        torque = per_force * load + 0.3 + bound + 0.05 * math.sin(7.3 * i)
        lines.append(f"{at:.2f};{torque:.4f}")
        if from_snug is None and torque >= 35:
            from_snug = at
        if from_snug is not None and at >= from_snug + angle:
            break
    return "\n".join(lines) + "\n"


def torn():
    """A file that a person has edited: one cell is no number."""
    lines = trace().split("\n")
    lines[40] = "19.50;1,2,3"
    return "\n".join(lines)


if __name__ == "__main__":
    folder = pathlib.Path(sys.argv[1])
    for name, text in (("right", trace()), ("cross", trace(cross=12)), ("far", trace(angle=130)),
                       ("soft", trace(slope=650)), ("torn", torn())):
        (folder / f"{name}.csv").write_text(text)
