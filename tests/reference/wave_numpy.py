# SPDX-License-Identifier: Apache-2.0
"""Checks answers of the wave endpoint (docs/formats/wave.md) against the recording, by numpy.

wave_numpy.py RECORDING.csv FOLDER: every FOLDER/<channel>-<number>.wave; ends with 1 when one
differs. The recording has a column of time in seconds and is read by numpy alone.
"""

import pathlib
import struct
import sys

import numpy as np


def recording(path):
    rows = np.genfromtxt(path, delimiter=",", skip_header=1)
    return rows[:, 0], rows[:, 1:].astype(np.float32)


def expected_bins(times, values, start, end, bins):
    edges = start + (end - start) * np.arange(bins + 1) / bins
    edges[-1] = end
    index = np.searchsorted(edges, times, side="right") - 1
    index[times == end] = bins - 1
    inside = (times >= start) & (times <= end) & ~np.isnan(values)
    low = np.full(bins, np.inf, np.float32)
    high = np.full(bins, -np.inf, np.float32)
    np.minimum.at(low, index[inside], values[inside])
    np.maximum.at(high, index[inside], values[inside])
    low[np.isinf(low)] = np.nan
    high[np.isinf(high)] = np.nan
    return np.column_stack([low, high])


def is_right(path, times, values):
    data = path.read_bytes()
    magic, flags, count, start, end, first, last, samples = struct.unpack_from("<8sIIddddd", data)
    rest = data[56:]
    if magic != b"TMWAVE1\n" or (first, last, samples) != (times[0], times[-1], len(times)):
        return False
    if flags & 1:
        inside = (times >= start) & (times <= end)
        got_times = np.frombuffer(rest[:8 * count], "<f8")
        got_values = np.frombuffer(rest[8 * count:], "<f4")
        return (np.array_equal(got_times, times[inside])
                and np.array_equal(got_values, values[inside], equal_nan=True))
    got = np.frombuffer(rest, "<f4").reshape(count, 2)
    return np.array_equal(got, expected_bins(times, values, start, end, count), equal_nan=True)


def main():
    times, columns = recording(sys.argv[1])
    kinds, wrong = set(), 0
    for path in sorted(pathlib.Path(sys.argv[2]).glob("*.wave")):
        kinds.add(struct.unpack_from("<I", path.read_bytes(), 8)[0])
        if not is_right(path, times, columns[:, int(path.name.split("-")[0]) - 1]):
            print(f"{sys.argv[1]}: {path.name} differs")
            wrong += 1
    if not kinds:
        print("no answers")
    return 1 if wrong or not kinds else 0


sys.exit(main())
