# SPDX-License-Identifier: Apache-2.0
"""Writes the same two signals with general-purpose tools: the reference of the readers' tests.

Signal 1 is a sine of 50 Hz about 0.3, signal 2 a square of 20 Hz between 0.2 and 0.8; 20 000
samples a second for two seconds.
"""

import struct
import sys
import zipfile

import h5py
import numpy
import scipy.io
import scipy.io.wavfile

folder = sys.argv[1]
RATE = 20000
t = numpy.arange(2 * RATE) / RATE
sine = 0.3 + 0.5 * numpy.sin(2 * numpy.pi * 50 * t)
# Flanks between samples: half way at 12.5 us after the 500th sample, and so on.
square = 0.2 + 0.6 * (((t - 0.0000125) * 40) % 2 < 1)

both = numpy.stack([sine, square], axis=1)
scipy.io.wavfile.write(f"{folder}/int16.wav", RATE, (both * 32767).astype(numpy.int16))
scipy.io.wavfile.write(f"{folder}/float.wav", RATE, both.astype(numpy.float32))
scipy.io.savemat(f"{folder}/plain.mat", {"t": t, "crank": sine, "cam": square, "note": "text"})
scipy.io.savemat(f"{folder}/packed.mat", {"fs": float(RATE), "signals": both.T},
                 do_compression=True)
scipy.io.savemat(f"{folder}/tall.mat", {"about": {"by": "scipy", "n": 1.0}, "dt": 1 / RATE,
                                        "signals": both, "z": 1j, "list": ["a", "b"]},
                 do_compression=True)
scipy.io.savemat(f"{folder}/scaled.mat", {
    "interval": 1 / RATE, "signals": (both * 20000).astype(numpy.int16)})
scipy.io.savemat(f"{folder}/no_rate.mat", {"signals": both})
with h5py.File(f"{folder}/rate.h5", "w") as file:
    data = file.create_dataset("run/signals", data=both, chunks=(1000, 2), compression="gzip")
    data.attrs["sample_rate"] = RATE
with h5py.File(f"{folder}/time.h5", "w", userblock_size=512) as file:
    file["time"] = t
    file["crank"] = sine.astype(numpy.float32)
    file["cam"] = (square * 1000).astype(numpy.int32)
with h5py.File(f"{folder}/elsewhere.h5", "w") as file:
    file.create_dataset("signals", (100,), "f8", external=[("/dev/zero", 0, 800)])
with h5py.File(f"{folder}/wide.h5", "w") as file:
    file["signals"] = numpy.zeros((100, 65))
    file.attrs["fs"] = RATE

# The two long forms of WAV, by hand: EBU Tech 3306 (RF64), and W64 with its GUIDs for chunk names.
pcm = (both * 32767).astype("<i2").tobytes()
form = struct.pack("<HHIIHH", 1, 2, RATE, 4 * RATE, 4, 16)
with open(f"{folder}/long.rf64", "wb") as file:
    sizes = struct.pack("<QQQI", 4 + 36 + 24 + 8 + len(pcm), len(pcm), len(t), 0)
    file.write(b"RF64\xff\xff\xff\xffWAVE" + b"ds64" + struct.pack("<I", 28) + sizes
               + b"fmt " + struct.pack("<I", 16) + form + b"data\xff\xff\xff\xff" + pcm)
with open(f"{folder}/long.w64", "wb") as file:
    tail = bytes.fromhex("f3acd3118cd100c04f8edb8a")
    file.write(b"riff" + bytes.fromhex("2e91cf11a5d628db04c10000")
               + struct.pack("<Q", 40 + 40 + 24 + len(pcm)) + b"wave" + tail
               + b"fmt " + tail + struct.pack("<Q", 40) + form
               + b"data" + tail + struct.pack("<Q", 24 + len(pcm)) + pcm)

METADATA = ("[global]\n[device 1]\ncapturefile=logic-1\ntotal probes=2\nsamplerate=20 kHz\n"
            "probe1=crank\nprobe2=cam\nunitsize=1\n")


def session(name, members):
    with zipfile.ZipFile(f"{folder}/{name}.sr", "w", zipfile.ZIP_DEFLATED) as file:
        for member, data in members.items():
            file.writestr(member, data)


SOUND = {"version": "2", "metadata": METADATA}
levels = (square > 0.5).astype(numpy.uint8)
session("pieces", {**SOUND, "logic-1-10": levels[36000:].tobytes(),
                   **{f"logic-1-{k + 1}": levels[4000 * k:4000 * (k + 1)].tobytes()
                      for k in range(9)}})
session("missing", {**SOUND, "logic-1-1": b"\0\1", "logic-1-3": b"\0\1"})
session("bomb", {**SOUND, "logic-1-1": bytes(100 << 20)})
session("bare", {"version": "2"})
session("wide", {**SOUND, "metadata": METADATA.replace("probes=2", "probes=65"),
                 "logic-1-1": b"\0\1"})
