# SPDX-License-Identifier: Apache-2.0
"""From samples to edges with numpy and scipy: the recipes of src/recording/survey.h and edges.h.

Whole-array operations on pieces that fit the cache. Hall and inductive channels share one way: the
samples between two crossings are one stretch with one largest value, so hysteresis, arming and
firing are decided once per stretch, not per sample.
"""

import numpy as np
from scipy import ndimage, signal

LOOKS, LOOK = 64, 4096  # stretches of a long channel that the survey looks at, samples of each
BINS = 4096
PIECE = 1 << 16
BASELINE_TIME, LEVEL_TIME = 0.3183, 0.2  # s
ARM, CONFIRM, CONFIRM_NOISE = 0.35, 0.10, 4
DECAY_PERIODS, FIRST_DECAY, LONGEST_DECAY = 4, 0.05, 1
GLITCH, WINDOW = 0.03, 8


def survey(values):
    """Kind and levels of a channel; of a long one from stretches spread over it."""
    if len(values) > 2 * LOOKS * LOOK:
        stride = len(values) // LOOKS
        looks = values[:stride * LOOKS].reshape(LOOKS, stride)[:, :LOOK]
    else:
        looks = values[np.newaxis]
    looks = looks.astype(np.float64)
    least, most = looks.min(), looks.max()
    steps = np.abs(np.diff(looks))
    if not np.isfinite(most - least) or most == least:
        return {"kind": "dead"}
    levels = {"least": least, "most": most, "baseline": looks.mean(), "noise": 0}
    if np.all((looks == least) | (looks == most)):
        return levels | {"kind": "hall", "low": least, "high": most}
    quantum = np.min(steps, where=steps > 0, initial=np.inf)
    rough = np.median(np.abs(np.diff(looks, 4))) * 1.4826 / np.sqrt(70)
    levels["noise"] = noise = max(rough, quantum / np.sqrt(12))
    counts, borders = np.histogram(looks, BINS, (least, most))
    below = np.cumsum(counts)
    share = below / below[-1]

    def quantile(wanted):
        return np.interp(wanted, np.concatenate([[0], share]), borders)

    low_tail, high_tail = quantile(1e-4), quantile(1 - 1e-4)
    if high_tail - low_tail < 8 * noise:
        return levels | {"kind": "dead"}
    # Otsu's threshold: greatest variance between the groups, the middle of equal ones.
    moment = np.cumsum(counts * np.arange(BINS))
    with np.errstate(invalid="ignore", divide="ignore"):
        apart = moment / below - (moment[-1] - moment) / (below[-1] - below)
        between = np.nan_to_num(share * (1 - share) * apart**2)
    best = np.flatnonzero(between == between.max())
    lower = share[(best[0] + best[-1]) // 2]
    low, high = quantile(lower / 2), quantile((1 + lower) / 2)
    swing = high - low
    inside = np.interp([low + swing / 4, high - swing / 4], borders, np.concatenate([[0], share]))
    if (swing > 0 and inside[1] - inside[0] < 0.15 and low - low_tail < swing / 2
            and high_tail - high < swing / 2):
        return levels | {"kind": "hall", "low": low, "high": high}
    usual = max(quantile(0.995) - levels["baseline"], levels["baseline"] - quantile(0.005))
    top = max(most - levels["baseline"], levels["baseline"] - least)
    return levels | {"kind": "inductive", "least_peak": max(0.05 * usual, 0.02 * top, 18 * noise)}


def pieces_of(values):
    """Every piece with one sample of the last one before it."""
    for begin in range(0, len(values) - 1, PIECE):
        yield begin, values[begin:begin + PIECE + 1]


class Stretches:
    """Stretches of one sign: the crossing that begins each, its slope, and its largest size."""

    def __init__(self):
        self.parts, self.first = [], None

    def add(self, begin, x, above):
        cross = np.flatnonzero(above[1:] != above[:-1])
        size = np.abs(x)
        # What precedes the first crossing belongs to the last stretch of the piece before.
        sizes = np.maximum.reduceat(size, np.concatenate([[0], cross + 1]))
        if self.first is None:
            self.first = above[0]
            self.parts.append((np.array([np.nan]), sizes[:1].copy(), np.array([np.nan])))
        else:
            self.parts[-1][1][-1:] = np.maximum(self.parts[-1][1][-1:], sizes[0])
        if len(cross):
            slope = x[cross + 1] - x[cross]
            self.parts.append((begin + cross - x[cross] / slope, sizes[1:], slope))

    def all(self):
        rows, sizes, slopes = (np.concatenate(columns) for columns in zip(*self.parts))
        sign = np.where((np.arange(len(rows)) % 2 == 0) == self.first, 1, -1)
        return rows, sizes, slopes, sign


def fired(stretches, confirmed, armed):
    """Rows, polarities and slopes where a confirmed stretch follows armed ones of other sign."""
    rows, _, slopes, sign = stretches
    kept = np.flatnonzero(confirmed)
    if len(kept) == 0:
        return np.empty(0), np.empty(0, int), np.empty(0)
    begins = np.flatnonzero(np.concatenate([[True], np.diff(sign[kept]) != 0]))
    was_armed = np.logical_or.reduceat(armed[kept], begins)[:-1]
    at = kept[begins[1:][was_armed]]
    return rows[at], sign[at], slopes[at]


def hall(values, levels, step):
    """Hysteresis at 35 and 65 %, the time of the 50 % crossing; both levels follow drift."""
    low, high = float(levels["low"]), float(levels["high"])
    least = (high - low) / 2
    found, margin = Stretches(), []
    for begin, piece in pieces_of(values):
        middle, swing = (low + high) / 2, high - low
        x = piece - piece.dtype.type(middle)
        above = x >= 0
        found.add(begin, x, above)
        margin.append(0.15 * swing)
        beyond_high, beyond_low = x > 0.15 * swing, x < -0.15 * swing
        counts = np.count_nonzero(beyond_high), np.count_nonzero(beyond_low)
        if counts[0]:
            kept = (1 - step / LEVEL_TIME)**counts[0]
            high = kept * high + (1 - kept) * (middle + x.dot(beyond_high) / counts[0])
        if counts[1]:
            kept = (1 - step / LEVEL_TIME)**counts[1]
            low = kept * low + (1 - kept) * (middle + x.dot(beyond_low) / counts[1])
        if high - low < least:
            low, high = levels["low"], levels["high"]
    return found.all(), np.median(margin)


def inductive(values, levels, step):
    """Zero crossings about a baseline of 0.5 Hz."""
    follow = min(1, step / BASELINE_TIME)
    b, a = [follow], [1, follow - 1]
    state = np.array([(1 - follow) * levels["baseline"]])
    found = Stretches()
    last = None
    for begin in range(0, len(values), PIECE):
        piece = values[begin:begin + PIECE]
        baseline, state = signal.lfilter(b, a, piece, zi=state)
        x = piece - baseline
        if last is not None:
            x = np.concatenate([last, x])
        last = x[-1:]
        found.add(begin - (begin > 0), x, x >= 0)
    return found


def tracked_peak(rows, sizes, least, decay_time):
    """p = max(|x|, p exp(-dt/tau)), one value per stretch; tau in samples."""
    decay = np.diff(np.nan_to_num(rows, nan=0), prepend=0) / decay_time
    # In logarithms the tracker is a running maximum of what is raised by the decay so far.
    raised = np.cumsum(np.minimum(decay, 50))
    return np.exp(np.maximum.accumulate(np.log(np.maximum(sizes, least)) + raised) - raised)


def fired_by_peak(stretches, levels, step):
    """Arms at 35 % of the peak; its decay takes four local tooth periods, known after one round."""
    rows, sizes = stretches[:2]
    decay_time = FIRST_DECAY / step
    for _ in range(2):
        peak = tracked_peak(rows, sizes, levels["least_peak"], decay_time)
        confirmed = (sizes >= CONFIRM * peak) & (sizes > CONFIRM_NOISE * levels["noise"])
        found, polarity, slopes = fired(stretches, confirmed, sizes > ARM * peak)
        falls = found[polarity < 0]
        if len(falls) < 5:
            break
        period = ndimage.median_filter(np.diff(falls), 5)
        nearest = np.minimum(np.searchsorted(falls, np.nan_to_num(rows)), len(period) - 1)
        decay_time = np.minimum(DECAY_PERIODS * period, LONGEST_DECAY / step)[nearest]
    return found, polarity, slopes


def without_glitches(times, polarity):
    """Drops the shortest pulse while below 3 % of the lower third of its neighbors' intervals."""
    dropped = 0
    while len(times) > 4:
        step = np.diff(times)
        # Nothing is a glitch that is not one beside the longest neighbor: few are asked further.
        asked = np.flatnonzero(step < GLITCH * ndimage.maximum_filter1d(step, 2 * WINDOW + 1))
        glitches = []
        for i in asked:
            around = np.sort(np.concatenate([step[max(0, i - WINDOW):i],
                                             step[i + 1:i + 1 + WINDOW]]))
            if len(around) >= 3 and step[i] < GLITCH * around[(len(around) - 1) // 3]:
                glitches.append(i)
        if not glitches:
            break
        at = min(glitches, key=lambda i: step[i])
        while at + 1 in glitches:
            at += 1
        times, polarity = np.delete(times, [at, at + 1]), np.delete(polarity, [at, at + 1])
        dropped += 1
    return times, polarity, dropped


def sampled(values, step):
    """Rows and polarities of the edges of one channel, and the time uncertainty of one of them."""
    levels = survey(values)
    if levels["kind"] != "dead":
        margin = max((levels["most"] - levels["least"]) / 2, 8 * levels["noise"])
        if values.min() < levels["least"] - margin or values.max() > levels["most"] + margin:
            raise ValueError("not foreseen by the survey")
    if levels["kind"] == "dead":
        return np.empty(0), np.empty(0, int), 0
    if levels["kind"] == "hall":
        stretches, margin = hall(values, levels, step)
        beyond = stretches[1] > margin
        rows, polarity, slopes = fired(stretches, beyond, beyond)
    else:
        rows, polarity, slopes = fired_by_peak(inductive(values, levels, step).all(), levels, step)
    if len(rows) == 0:
        return rows, polarity, 0
    return rows, polarity, step * levels["noise"] * np.sqrt(np.mean(1 / slopes**2))
