# SPDX-License-Identifier: Apache-2.0
"""The work of `tautmark recording`, done with numpy and scipy: survey of the levels, edges with
sub-sample crossings, glitches, stalls, the crank wheel and the cycle without being told, angles by
monotone cubic, phase per cycle and its statistics, speed per turn.

Every step works on whole arrays or on pieces that fit the cache.
"""

import time

import numpy as np
from scipy.io import wavfile

from . import recording_decode, recording_edges

LOGIC_PIECE = 1 << 18  # bytes


def logic_edges(path, channels, rate):
    samples = np.memmap(path, np.uint8, "r")
    found = [np.empty(0, np.int64)]
    for at in range(0, samples.size - 1, LOGIC_PIECE):
        piece = samples[at:at + LOGIC_PIECE + 1]
        found.append(np.flatnonzero(piece[1:] != piece[:-1]) + at)
    at = np.concatenate(found)
    before, after = samples[at], samples[at + 1]
    edges = []
    for channel in range(channels):
        bit = np.uint8(1 << channel)
        changed = ((before ^ after) & bit) != 0
        up = (after[changed] & bit) != 0
        edges.append(((at[changed] + 0.5) / rate, np.where(up, 1, -1), 1 / rate / np.sqrt(12)))
    return edges


def sampled_edges(times, channels):
    """`times`: of every row, or the rate."""
    edges = []
    if np.ndim(times) == 0:
        step = 1 / times
    else:
        steps = np.diff(times)
        step = np.median(steps[:1 << 16])
        if steps.min() < 0 or steps.max() > 1.5 * step:
            raise ValueError("time has gaps or runs backwards")
    for values in channels:
        rows, polarity, uncertainty = recording_edges.sampled(values, step)
        if np.ndim(times) == 0:
            edges.append((rows * step, polarity, uncertainty))
        else:
            whole = rows.astype(np.int64)
            found = times[whole] + (rows - whole) * steps[whole]
            edges.append((found, polarity, uncertainty))
    return edges


def timed(kind, path, channels=0, rate=0):
    """Processor seconds of everything, and the result."""
    begin = time.process_time()
    if kind == "logic":
        edges = logic_edges(path, channels, rate)
    elif kind == "text":
        times, *columns = np.ascontiguousarray(np.loadtxt(path, delimiter=",", skiprows=1).T)
        edges = sampled_edges(times, columns)
    else:
        rate, samples = wavfile.read(path, mmap=True)
        edges = sampled_edges(float(rate), [channel.astype(np.float32) for channel in samples.T])
    glitches = []
    for i, (times, polarity, uncertainty) in enumerate(edges):
        times, polarity, dropped = recording_edges.without_glitches(times, polarity)
        edges[i] = times, polarity, uncertainty
        glitches.append(dropped)
    result = recording_decode.decoded(edges)
    result["glitches"] = glitches
    return time.process_time() - begin, result
