# SPDX-License-Identifier: Apache-2.0
"""From edges to the wheel, the cams and their phase with numpy and scipy, nothing told beforehand:
the recipes of src/recording/wheel_find.cc, wheel_path.h, cycle.h, classes.h and cam_phase.h.

Wheels without a gap (even, coded or few unequal teeth) are not found: the files have none.
"""

import numpy as np
from scipy import ndimage
from scipy.interpolate import PchipInterpolator

STALL, WINDOW = 8, 8
FEWEST_SLOTS, MOST_SLOTS, FEWEST_TEETH = 8, 130, 7
CORRELATED, SCORED = 6000, 500
SIGMA, SIGMA_PAST_EXTRA = 0.15, 0.12
RARE = np.log(0.01)
WRONG_EDGE = 20  # degrees
LEAST_SENSOR = 0.005


def accepted(times, fraction):
    """Without the edges that come less than a part of a slot after the last one."""
    step = np.diff(times)
    if len(step) < 9:
        return times
    slot = ndimage.median_filter(step, 9)
    if not np.any(step < fraction * slot):
        return times
    kept = [0]
    for i in range(1, len(times)):
        if times[i] - times[kept[-1]] >= fraction * slot[i - 1]:
            kept.append(i)
    return times[kept]


def parts_between_stalls(times):
    step = np.diff(times)
    # Only what is long beside its shortest neighbor can be long beside their median.
    asked = np.flatnonzero(step > STALL * ndimage.minimum_filter1d(step, 2 * WINDOW + 1))
    cuts = [i + 1 for i in asked
            if step[i] > STALL * np.median(step[max(0, i - WINDOW):i + WINDOW + 1])]
    return [part for part in np.split(times, cuts) if len(part) >= 4]


def whole_slots(step, reach):
    base = ndimage.median_filter(step, 19)
    slots = np.clip(np.rint(step / base), 1, 1000)
    unit = step / slots
    windows = np.lib.stride_tricks.sliding_window_view(np.pad(unit, reach, "reflect"),
                                                       2 * reach + 1)
    base = np.median(np.delete(windows, reach, axis=1), axis=1)
    return np.clip(np.rint(step / base), 1, 1000).astype(int)


def canonical(present):
    """A wheel's slots from the first tooth after the largest gap, and its shortest repetition."""
    present = np.asarray(present, bool)
    for period in range(1, len(present)):
        if len(present) % period == 0 and np.array_equal(present, np.roll(present, period)):
            present = present[:period]
            break
    teeth = np.flatnonzero(present)
    if len(teeth) == 0:
        return None
    turns = [np.roll(present, -tooth) for tooth in teeth]
    steps = [tuple(np.diff(np.flatnonzero(np.append(turn, True)))[::-1]) for turn in turns]
    return turns[max(range(len(turns)), key=lambda i: steps[i])]


def gaps(present):
    return int(np.count_nonzero(present & ~np.roll(present, -1)))


def candidates(times):
    """Wheels of 8 to 130 slots that the slots without an edge suggest, the likeliest first."""
    step = np.diff(times[:CORRELATED])
    weights = {}
    for reach in 4, 2:
        slots = np.minimum(whole_slots(step, reach), MOST_SLOTS)
        missing = np.ones(slots.sum())
        missing[np.concatenate([[0], np.cumsum(slots)[:-1]])] = 0
        missing = missing[:CORRELATED]
        centered = missing - missing.mean()
        size = 1 << (2 * len(centered) - 1).bit_length()
        power = np.abs(np.fft.rfft(centered, size))**2
        lags = np.arange(FEWEST_SLOTS, min(MOST_SLOTS, len(missing) // 2) + 1)
        if len(lags) == 0:
            continue
        likeness = np.fft.irfft(power)[lags] / (len(missing) - lags)
        for lag in lags[np.argsort(-likeness, kind="stable")[:8]]:
            turns = min(4, len(missing) // lag)
            folds = len(missing) // (turns * lag)
            folded = missing[:folds * turns * lag].reshape(folds, turns, lag).sum(axis=1)
            rows, counts = np.unique(folded < 0.6 * turns, axis=0, return_counts=True)
            for row, count in zip(rows, counts):
                wheel = canonical(row)
                if (wheel is None or len(wheel) < FEWEST_SLOTS or wheel.sum() < FEWEST_TEETH
                        or 2 * wheel.sum() < len(wheel) or gaps(wheel) == 0):
                    continue
                key = wheel.tobytes()
                weights[key] = weights.get(key, 0) + count * turns * lag
    best = sorted(weights, key=weights.get, reverse=True)[:8]
    return [np.frombuffer(key, bool) for key in best]


def clean_path(times, wheel):
    """Slot of every edge where each interval clearly is a whole number of slots and they are the
    wheel's, in one way; and the log score."""
    step = np.diff(times)
    ratio = step / ndimage.median_filter(step, 19)
    if not np.all(ratio > 0.5):
        return None
    slots = np.rint(ratio).astype(int)
    off = np.log(ratio / slots)
    if np.max(np.abs(off)) > SIGMA:
        return None
    teeth = np.flatnonzero(np.append(wheel, True))
    turn = np.diff(teeth)
    if len(slots) < 2 * len(turn):
        return None
    expected = np.resize(turn, len(slots) + len(turn))
    windows = np.lib.stride_tricks.sliding_window_view(expected, 2 * len(turn))[:len(turn)]
    first = np.flatnonzero(np.all(windows == slots[:2 * len(turn)], axis=1))
    if len(first) != 1 or not np.array_equal(expected[first[0]:first[0] + len(slots)], slots):
        return None
    score = np.mean(-0.5 * (off / SIGMA)**2) - np.log(SIGMA * np.sqrt(2 * np.pi))
    return teeth[first[0]] + np.concatenate([[0], np.cumsum(slots)]), np.arange(len(times)), score


def searched_path(times, wheel):
    """The likeliest way through the slots when teeth are lost or edges too many (Viterbi)."""
    step = np.diff(times)
    slot_time = ndimage.median_filter(step, 19)
    n, longest = len(wheel), 8
    before = (np.arange(n)[None] - np.arange(1, longest + 1)[:, None]) % n  # [moves, to]
    twice = np.concatenate([[0], np.cumsum(np.tile(wheel, 3))])
    to = np.arange(n) + n
    passed = twice[to][None] - twice[to[None] - np.arange(longest)[:, None]]
    cost = np.where(wheel[before] & wheel[None], RARE * passed, -np.inf)
    score = np.full((len(times), n), -np.inf)
    score[0, wheel] = 0
    come = np.zeros((len(times), n, 2), np.int32)  # edges back, slots
    log_k = np.log(np.arange(1, longest + 1))
    for i in range(1, len(times)):
        ways = []
        for back in range(1, min(3, i) + 1):
            sigma = SIGMA if back == 1 else SIGMA_PAST_EXTRA
            off = (np.log((times[i] - times[i - back]) / slot_time[i - 1]) - log_k) / sigma
            move = -0.5 * off**2 - np.log(sigma * np.sqrt(2 * np.pi)) + (back - 1) * RARE
            if back == 1:
                move = np.maximum(move, RARE - 2)
            ways.append(score[i - back][before] + cost + move[:, None])
        ways = np.concatenate(ways)
        best = np.argmax(ways, axis=0)
        score[i] = ways[best, np.arange(n)]
        come[i, :, 0], come[i, :, 1] = best // longest + 1, best % longest + 1
        lost = np.where(wheel, score[i - 1].max() + RARE - 14, -np.inf)
        jumps = lost > score[i]
        score[i, jumps] = lost[jumps]
        came_from = int(np.argmax(score[i - 1]))
        come[i, jumps, 0], come[i, jumps, 1] = 1, (np.flatnonzero(jumps) - came_from - 1) % n + 1
    i, slot = len(times) - 1, int(np.argmax(score[-1]))
    edges, moves = [i], []
    while i > 0:
        back, k = come[i, slot]
        moves.append(k)
        i, slot = i - back, (slot - k) % n
        edges.append(i)
    slots = slot + np.concatenate([[0], np.cumsum(moves[::-1])]).astype(int)
    return slots, np.array(edges[::-1]), score[-1].max() / (len(times) - 1)


def path(times, wheel):
    return clean_path(times, wheel) or searched_path(times, wheel)


def dissimilarity(times, lag):
    ratio = np.log(np.diff(times)[1:] / np.diff(times)[:-1])
    return np.median(np.abs(ratio[lag:] - ratio[:-lag])) if len(ratio) > lag else np.inf


def best_wheel(wheels, times):
    def total(wheel, score):
        whole = 20 if 720 % len(wheel) == 0 else 0
        return whole + score * len(times) - 0.5 * np.log(len(times)) * (2 * gaps(wheel) + 1)

    scored = [(total(wheel, clean[2]), i, clean[2]) for i, wheel in enumerate(wheels)
              if 720 % len(wheel) == 0 and (clean := clean_path(times, wheel))]
    if not scored:
        even = np.ones(FEWEST_SLOTS, bool)
        least = total(even, path(times, even)[2])
        scored = [(score, i, log) for i, wheel in enumerate(wheels)
                  if (score := total(wheel, log := path(times, wheel)[2])) > least and log > 0]
    if not scored:
        return None
    _, i, log = max(scored)
    return wheels[i], log


def gapped(times):
    """Wheel, score and dissimilarity of an edge train; None: no wheel with gaps."""
    clean = accepted(times, 0.45)
    if len(clean) < 2 * FEWEST_TEETH + 2:
        return None
    wheels = candidates(clean)
    if not wheels:
        return None
    edges = accepted(times, 0.1)
    last = max(0, len(edges) - SCORED)
    begins = [0, last // 2, last] if last > SCORED else [last // 2]
    found = [best for begin in begins if (best := best_wheel(wheels, edges[begin:begin + SCORED]))]
    if not found:
        return None
    wheel, log = max(found, key=lambda one: one[1])
    turn = len(times) and np.median(edges[int(wheel.sum()):] - edges[:-int(wheel.sum())])
    return {"wheel": wheel, "log": log, "turn": turn,
            "unlike": dissimilarity(clean, int(wheel.sum()))}


def better(one, other):
    """The polarity that repeats more exactly, then the one with fewer gaps, then the more even."""
    if one["unlike"] > 2 * other["unlike"] or other["unlike"] > 2 * one["unlike"]:
        return one["unlike"] < other["unlike"]
    if gaps(one["wheel"]) != gaps(other["wheel"]):
        return gaps(one["wheel"]) < gaps(other["wheel"])
    return one["log"] > other["log"] + 0.01


def find_crank(edges):
    found = []
    for channel, (times, polarity, _) in enumerate(edges):
        if len(times) < 16:
            continue
        best = None
        for sign in 1, -1:
            one = gapped(times[polarity == sign])
            if one and (best is None or better(one, best)):
                best = one | {"channel": channel, "polarity": sign}
        if best:
            found.append(best)
    return min(found, key=lambda one: one["turn"])


def repetition(places, slots):
    """Edges and slots after which a cam repeats: the smallest that fits 80 % of its edges."""
    for k in range(1, min(64, len(places) // 3) + 1):
        apart = places[k:] - places[:-k]
        length = np.median(apart)
        whole = slots * np.rint(length / slots)
        if whole < 1 or abs(length - whole) > 0.25:
            continue
        agreement = np.mean(np.abs(apart - length) < max(0.5, 0.03 * min(length, 144)))
        if agreement >= 0.8:
            return k, int(whole), agreement * len(places)
    return None


def statistics(values):
    return {"count": len(values), "mean": values.mean(),
            "sd": values.std(ddof=1) if len(values) > 1 else 0,
            "jitter": np.diff(values).std(ddof=1) / np.sqrt(2) if len(values) > 2 else 0,
            "peak_to_peak": np.ptp(values)}


def cam_phase(times, angle, cycle, knots, uncertainty, crank_uncertainty):
    """Places of a cam's edges in the cycle with their statistics, and the phase of every cycle."""
    at = angle % cycle
    order = np.sort(at)
    wide = np.flatnonzero(np.diff(order) > 10)
    borders = (order[wide] + order[wide + 1]) / 2
    place = np.searchsorted(borders, at)
    if order[0] + cycle - order[-1] <= 10:  # one place on both sides of the zero
        place[place == len(borders)] = 0
    count = place.max() + 1
    middles = np.array([at[np.argmax(place == p)] for p in range(count)])
    off = (at - middles[place] + cycle / 2) % cycle - cycle / 2
    center = np.array([np.median(off[place == p]) for p in range(count)])
    off -= center[place]
    good = np.abs(off) <= WRONG_EDGE
    times, angle, off, place = times[good], angle[good], off[good], place[good]
    # Psi of every edge, weighted by what it is uncertain of.
    knot_times, knot_angles = knots
    after = np.clip(np.searchsorted(knot_times, times, "right"), 1, len(knot_times) - 1)
    apart = knot_angles[after] - knot_angles[after - 1]
    speed = apart / (knot_times[after] - knot_times[after - 1])
    part = (angle - knot_angles[after - 1]) / apart
    per_place = [statistics(off[place == p]) for p in range(count)]
    jitter = np.array([max(one["jitter"], LEAST_SENSOR) for one in per_place])
    mean = np.array([one["mean"] for one in per_place])
    between = 0.15 * (np.minimum(apart, 60) / 30)**3 * np.minimum(1, 1500 / speed)**2
    variance = ((speed * uncertainty)**2 + jitter[place]**2 + between**2 +
                (1 - 2 * part + 2 * part**2) * (speed * crank_uncertainty)**2)
    psi, weight = mean[place] - off, 1 / variance
    turn = np.rint((angle - off - (middles + center)[place]) / cycle).astype(int)
    turn -= turn.min()
    sums = [np.bincount(turn, one) for one in (weight, weight * psi, weight * psi**2, times)]
    edges = np.bincount(turn)
    kept = edges > 0
    weights, firsts, squares, moments = (one[kept] for one in sums)
    phase = firsts / weights
    cycles = {"time": moments / edges[kept], "psi": phase, "sigma": weights**-0.5,
              "chi_squared": np.maximum(0, squares - phase * firsts)}
    angles = (middles + center + mean) % cycle
    return {"places": [dict(one, angle=a) for one, a in zip(per_place, angles)],
            "phase": statistics(phase), "cycles": cycles, "wrong": int(np.count_nonzero(~good))}


def decoded(edges):
    """`edges`: times, polarities and uncertainty per channel. Wheel, speed, cams."""
    crank = find_crank(edges)
    wheel, channel = crank["wheel"], crank["channel"]
    times, polarity, crank_uncertainty = edges[channel]
    slots, pieces = len(wheel), []
    for part in parts_between_stalls(accepted(times[polarity == crank["polarity"]], 0.1)):
        at, index, _ = path(part, wheel)
        pieces.append((part[index], at.astype(float)))
    splines = [PchipInterpolator(*piece) for piece in pieces]
    found = {}
    for other, (cam_times, cam_polarity, _) in enumerate(edges):
        for sign in (1, -1) if other != channel else ():
            own = cam_times[cam_polarity == sign]
            for (knot_times, _), spline in zip(pieces, splines):
                inside = own[(own >= knot_times[0]) & (own <= knot_times[-1])]
                found.setdefault((other, sign), []).append((inside, spline(inside)))
    main = max(range(len(pieces)), key=lambda i: len(pieces[i][0]))
    votes, kept = {}, {}
    for key, own in found.items():
        repeats = repetition(own[main][1], slots)
        if repeats:
            kept[key] = repeats
            votes[repeats[1]] = votes.get(repeats[1], 0) + repeats[2]
    length = max(votes, key=votes.get)
    while 2 * length in votes and votes[2 * length] >= 8:
        length *= 2
    resolved = length == 2 * slots
    cycle = 720 if resolved else 360
    per_slot = 360 / slots
    speeds = []
    for knot_times, knot_slots in pieces:
        zero = knot_times[knot_slots % slots == 0]
        speeds.append(60 / np.diff(zero))
    cams = {}
    for (other, sign), (_, own_length, _) in kept.items():
        if length % own_length:
            continue
        knot_times, knot_slots = pieces[main]
        own_times, own_slots = found[other, sign][main]
        one = cam_phase(own_times, own_slots * per_slot, cycle,
                        (knot_times, knot_slots * per_slot), edges[other][2], crank_uncertainty)
        if max(place["jitter"] for place in one["places"]) <= 3:  # more: a coil or an injector
            cams[other + 1, sign] = one
    speeds = np.concatenate(speeds)
    return {"wheel": (slots, slots - int(wheel.sum())), "crank": (channel + 1, crank["polarity"]),
            "speed": (speeds.min(), float(np.median(speeds)), speeds.max()), "turns": speeds,
            "cams": cams, "resolved": resolved}
