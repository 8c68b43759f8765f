# SPDX-License-Identifier: Apache-2.0
"""Recordings read and decoded beside numpy and scipy, on one core: aim 10 times.

Both do the same on the same files, by turns; processor time without start-up; the best of each
counts. What they find must agree: crank channel and polarity, wheel, cycle, speed, every cam edge
in crank degrees with its count and sd, the phase's sd and jitter. The files are made here: a 60-2
wheel and two cams at a speed that goes up and down. Ends with 1 when they disagree, or when numpy
is faster. The aim is not reached: numpy too looks at every sample with vector code.
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
from scipy.io import wavfile

from peers import recording_peer

AIM = 10
ROUNDS = 3
AGREED_DEG = 0.05  # levels and peak are followed in other steps; spreads agree within a fifth
CAMS = [[(100, 140), (460, 520)], [(30, 210), (300, 330), (600, 700)]]  # high from, to


def engine(count, rate, first=0):
    """Crank angle and its rate; 800 to 1000 1/min."""
    t = np.arange(first, first + count) / rate
    return 6 * (900 * t + 100 / 3 * (1 - np.cos(3 * t))), 6 * (900 + 100 * np.sin(3 * t))


def levels(angle):
    """True and false of crank and cams."""
    slot = angle % 360
    channels = [(slot % 6 < 3) & (slot < 348)]
    for windows in CAMS:
        at = angle % 720
        channels.append(np.any([(at >= a) & (at < b) for a, b in windows], axis=0))
    return channels


def softened(channel):
    """Flanks of four samples."""
    return np.convolve(channel, np.full(4, 0.25), "same")


def write_logic(path, rate=10e6, pieces=26, piece=10_000_000):
    with open(path, "wb") as file:
        for k in range(pieces):
            angle, _ = engine(piece, rate, k * piece)
            packed = np.zeros(piece, np.uint8)
            for bit, channel in enumerate(levels(angle)):
                packed |= channel.astype(np.uint8) << bit
            file.write(packed.tobytes())


def write_text(path, rate=1e5, count=2_000_000):
    angle, _ = engine(count, rate)
    volts = [0.2 + 4.6 * softened(channel) for channel in levels(angle)]
    with open(path, "w", encoding="ascii") as file:
        file.write("time [s],crank,cam 1,cam 2\n")
        np.savetxt(file, np.column_stack([np.arange(count) / rate, *volts]), delimiter=",",
                   fmt=["%.6f", "%.3f", "%.3f", "%.3f"])


def write_sound(path, rate=96000, count=4_000_000):
    angle, speed = engine(count, rate)
    tooth = np.where(angle % 360 < 348, np.sin(angle * np.pi / 3), 0)
    noise = np.random.default_rng(4).normal(0, 10, (4, count))
    _, *cams = levels(angle)
    channels = [3 * speed * tooth / 6 * 2, *[20000 * softened(cam) - 10000 for cam in cams],
                np.zeros(count)]
    wavfile.write(path, rate, (np.array(channels) + noise).astype(np.int16).T)


def own(path, *words):
    program = pathlib.Path(os.environ["TAUTMARK_PROGRAM"]).parent / "benchmarks" / "recording_bench"
    out = subprocess.run([program, path, *map(str, words)], capture_output=True, text=True,
                         check=True).stdout
    seconds, _, found = out.partition("\n")
    return float(seconds), json.loads(found)


def disagreement(found, peer):
    """Largest difference of a cam edge, degrees; None when anything else differs."""
    slots, missing = peer["wheel"]
    crank, speed = found["crank"], found["speed"]
    alike = (crank["wheel"]["name"] == f"{slots}-{missing}",
             (crank["channel"], crank["polarity"]) == peer["crank"],
             found["cycle_resolved"] == peer["resolved"],
             crank["glitches"] == peer["glitches"][crank["channel"] - 1],
             speed["revolutions"] == len(peer["turns"]),
             np.allclose([speed[at] for at in ("min", "median", "max")], peer["speed"], rtol=1e-3))
    if not all(alike):
        return None
    edges = {}
    for cam in found["cams"]:
        for edge in cam["edges"]:
            edges.setdefault((cam["channel"], edge["polarity"]), []).append(edge)
        # The phase is told of the polarity with the smaller jitter.
        own = min((one["phase"] for (channel, _), one in peer["cams"].items()
                   if channel == cam["channel"]), key=lambda phase: phase["jitter"])
        for said, key in (("mean_deg", "mean"), ("sd_deg", "sd"), ("jitter_deg", "jitter")):
            if abs(cam["phase"][said] - own[key]) > AGREED_DEG / 5:
                return None
    places = {key: one["places"] for key, one in peer["cams"].items()}
    if {key: len(own) for key, own in edges.items()} != {
            key: len(own) for key, own in places.items()}:
        return None
    # The zero of the cycle is either's own choice of two turns.
    worst = []
    for shift in 0, 360:
        largest = 0
        for key, own in edges.items():
            for edge in own:
                off, place = min(
                    (abs((edge["angle_deg"] + shift - place["angle"] + 360) % 720 - 360), i)
                    for i, place in enumerate(places[key]))
                place = places[key][place]
                if (abs(edge["count"] - place["count"]) > 1 or
                        abs(edge["sd_deg"] - place["sd"]) > AGREED_DEG / 5):
                    off = float("inf")
                largest = max(largest, off)
        worst.append(largest)
    return min(worst) if min(worst) < 720 else None


def main():
    kept = True
    with tempfile.TemporaryDirectory() as folder:
        cases = [("text", write_text, "sampled CSV", ()),
                 ("logic", write_logic, "packed logic", (3, 1e7)),
                 ("sound", write_sound, "sound, 16 bits", ())]
        for kind, write, title, words in cases:
            path = pathlib.Path(folder) / kind
            write(path)
            best, peer_best = float("inf"), float("inf")
            for _ in range(ROUNDS):
                seconds, found = own(path, *words)
                peer_seconds, peer = recording_peer.timed(kind, path, *words)
                best, peer_best = min(best, seconds), min(peer_best, peer_seconds)
            worst = disagreement(found, peer)
            ratio = peer_best / best
            agrees = worst is not None and worst < AGREED_DEG
            kept = kept and agrees and ratio > 1
            said = "results differ" if worst is None else f"largest difference {worst:.4f} degrees"
            print(f"{title}, {path.stat().st_size / 1e6:.0f} MB: {1000 * best:.1f} ms, "
                  f"numpy {1000 * peer_best:.1f} ms, ratio {ratio:.1f} (aim {AIM}); {said}")
            path.unlink()
    return 0 if kept else 1


sys.exit(main())
