# SPDX-License-Identifier: Apache-2.0
"""Writes the same two signals with general-purpose tools: the reference of the readers' tests.

Signal 1 is a sine of 50 Hz about 0.3, signal 2 a square of 20 Hz between 0.2 and 0.8; 20 000
samples a second for two seconds.
"""

import sys

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
