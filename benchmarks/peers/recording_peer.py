# SPDX-License-Identifier: Apache-2.0
"""The work of `tautmark recording`, done with numpy and scipy: edges with interpolated crossings,
the gap of the crank wheel, and cam edges in crank degrees.

Every step works on whole arrays (logic samples in pieces that fit the cache). The recipes are
those of src/recording/edges.h; it knows less than the program: one kind of wheel (N minus m), no
glitches, no stalls.
"""

import time

import numpy as np
from scipy.io import wavfile

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
        edges.append(((at[changed] + 0.5) / rate, np.where(up, 1, -1)))
    return edges


def crossings(values, low, middle, high):
    """Row and polarity of every change between beyond `low` and beyond `high`, at `middle`."""
    is_high, is_low = values > high, values < low
    told = np.flatnonzero(is_high | is_low)
    state = is_high[told]
    turn = np.flatnonzero(state[1:] != state[:-1]) + 1
    above = values >= middle
    cross = np.flatnonzero(above[1:] != above[:-1])
    last = cross[np.searchsorted(cross, told[turn], "left") - 1]
    return (last + (middle - values[last]) / (values[last + 1] - values[last]),
            np.where(state[turn], 1, -1))


def sampled_edges(times, channels):
    """`times`: of every row, or the rate."""
    edges = []
    for values in channels:
        sample = values[::17]
        bottom, top = np.percentile(sample, [0.5, 99.5])
        swing = top - bottom
        noise = 1.4826 * np.median(np.abs(np.diff(values[:1 << 16], 4))) / np.sqrt(70)
        if swing <= 8 * noise:
            edges.append((np.empty(0), np.empty(0, int)))
            continue
        between = np.mean((sample > bottom + swing / 4) & (sample < top - swing / 4))
        if between < 0.15:
            rows, polarity = crossings(
                values, bottom + 0.35 * swing, bottom + 0.5 * swing, bottom + 0.65 * swing)
        else:
            rows, polarity = crossings(values - np.mean(sample), -0.175 * swing, 0, 0.175 * swing)
        if np.ndim(times) == 0:
            edges.append((rows / times, polarity))
        else:
            whole = rows.astype(np.int64)
            step = times[whole + 1] - times[whole]
            edges.append((times[whole] + (rows - whole) * step, polarity))
    return edges


def decoded(edges, crank_polarity):
    """Wheel as (slots, missing), median speed, and {(channel, polarity): mean angles}."""
    crank = max(range(len(edges)), key=lambda c: len(edges[c][0]))
    times = edges[crank][0][edges[crank][1] == crank_polarity]
    step = np.diff(times)
    ratio = step[1:] / step[:-1]
    gaps = np.flatnonzero((ratio[:-1] > 1.5) & (ratio[1:] < 1 / 1.5)) + 1
    missing = int(np.rint(np.median(step[gaps] / step[gaps - 1]))) - 1
    slots = int(np.median(np.diff(gaps))) + missing
    counts = np.ones(len(step))
    counts[gaps] = missing + 1
    angle = np.concatenate([[0], np.cumsum(counts)]) * 360 / slots
    angle -= angle[gaps[0] + 1]
    teeth = slots - missing
    speed = np.median(60 / (times[teeth:] - times[:-teeth]))
    places = {}
    for channel, (at, polarity) in enumerate(edges):
        if channel == crank or len(at) == 0:
            continue
        inside = (at > times[0]) & (at < times[-1])
        at, polarity = at[inside], polarity[inside]
        found = np.interp(at, times, angle) % 720
        for sign in 1, -1:
            one = np.sort(found[polarity == sign])
            parts = np.split(one, np.flatnonzero(np.diff(one) > 10) + 1)
            places[channel + 1, sign] = [float(np.mean(part)) for part in parts]
    return {"wheel": (slots, missing), "speed": float(speed), "places": places}


def timed(kind, path, channels=0, rate=0, crank_polarity=1):
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
    result = decoded(edges, crank_polarity)
    return time.process_time() - begin, result
