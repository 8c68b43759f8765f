# SPDX-License-Identifier: Apache-2.0
"""Anonymous memory of reading long recordings: budget 200 MB for 10 GB of packed logic.

Of the other formats a short and a four times as long recording; their growth is that of the edges,
so how long a recording the budget holds follows. RssAnon is polled, of the program and its child
together.
With --quick the 10 GB become one.
"""

import json
import os
import pathlib
import shutil
import struct
import subprocess
import sys
import tempfile
import time
import zipfile

import h5py
import numpy as np

BUDGET = 200e6
RATE = 100_000
TURN = 10_000  # samples: 600 1/min
PROGRAM = os.environ["TAUTMARK_PROGRAM"]


def cycle():
    """Crank (36-1) and cam over two turns, 0 and 1; any number of them follow each other."""
    at = np.arange(2 * TURN)
    slot = at % TURN * 36 / TURN
    crank = (slot % 1 < 0.5) & (slot < 35)
    cam = (at > 0.3 * TURN) & (at < 0.5 * TURN) | (at > 0.8 * TURN) & (at < 1.4 * TURN)
    return crank.astype(np.uint8), cam.astype(np.uint8)


def repeated(file, block, size):
    many = block * max(1, (4 << 20) // len(block))
    while size > 0:
        file.write(many)
        size -= len(many)


def write_logic(path, size):
    """Sparse: what is not written is zero. A tooth every 27 778 samples is 2 048 of them long."""
    with open(path, "wb") as file:
        file.truncate(size)
        turn = 36 * 27778
        tooth, cam = b"\1" * 2048, b"\2" * 3000
        for begin in range(0, size - turn, turn):
            for slot in range(35):
                os.pwrite(file.fileno(), tooth, begin + slot * 27778)
            if begin // turn % 2 == 0:
                os.pwrite(file.fileno(), cam, begin + 300000)
                os.pwrite(file.fileno(), cam, begin + 500000)
    return ["--logic-channels", "2", "--sample-rate", "1e7"]


def write_text(path, size):
    crank, cam = cycle()
    rows = "".join(f"{0.2 + 4.6 * a:.3f},{0.1 + 4.8 * b:.3f}\n" for a, b in zip(crank, cam))
    with open(path, "wb") as file:
        file.write(b"crank,cam\n")
        repeated(file, rows.encode(), size)
    return ["--sample-rate", str(RATE)]


def sound_block():
    crank, cam = cycle()
    return (np.stack([crank, cam], axis=1) * 20000 - 10000).astype("<i2").tobytes()


def write_sound(path, size):
    block = sound_block()
    count = size // len(block) * len(block)
    form = struct.pack("<HHIIHH", 1, 2, RATE, 4 * RATE, 4, 16)
    with open(path, "wb") as file:
        file.write(b"RIFF" + struct.pack("<I", 36 + count) + b"WAVEfmt " + struct.pack("<I", 16)
                   + form + b"data" + struct.pack("<I", count))
        for _ in range(count // len(block)):
            file.write(block)
    return []


def write_matlab(path, size):
    """Two plain arrays of 16 bits, by hand: the element's tag, flags, sizes, name, numbers."""
    crank, cam = cycle()
    count = size // (8 * TURN) * 2 * TURN
    with open(path, "wb") as file:
        file.write(b"MATLAB 5.0 MAT-file".ljust(124) + struct.pack("<HH", 0x0100, 0x4D49))
        for name, block in ((b"crank", crank), (b"cam", cam)):
            head = struct.pack("<IIIIII", 6, 8, 10, 0, 5, 8) + struct.pack("<II", count, 1)
            head += struct.pack("<II", 1, len(name)) + name.ljust(8, b"\0")
            head += struct.pack("<II", 3, 2 * count)
            file.write(struct.pack("<II", 14, len(head) + 2 * count) + head)
            for _ in range(count // (2 * TURN)):
                file.write((block * 3).astype("<i2").tobytes())
    return ["--sample-rate", str(RATE)]


def write_hdf5(path, size):
    """Packed chunks, both channels beside each other."""
    block = np.stack(cycle(), axis=1).astype("<i2")
    count = size // (8 * TURN)
    with h5py.File(path, "w") as file:
        data = file.create_dataset("signals", (count * 2 * TURN, 2), "<i2",
                                   chunks=(2 * TURN, 2), compression="gzip", compression_opts=1)
        data.attrs["sample_rate"] = RATE
        for k in range(count):
            data[k * 2 * TURN:(k + 1) * 2 * TURN] = block
    return []


def write_session(path, size):
    crank, cam = cycle()
    block = (crank | cam << 1).tobytes()
    metadata = ("[device 1]\ncapturefile=logic-1\ntotal probes=2\nsamplerate=100 kHz\n"
                "probe1=crank\nprobe2=cam\nunitsize=1\n")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as file:
        file.writestr("version", "2")
        file.writestr("metadata", metadata)
        with file.open("logic-1-1", "w", force_zip64=True) as member:
            repeated(member, block, size)
    return []


def write_dump(path, size):
    crank, cam = cycle()
    with open(path, "w", encoding="ascii") as file:
        file.write("$timescale 10 us $end\n$var wire 1 ! crank $end\n$var wire 1 \" cam $end\n"
                   "$enddefinitions $end\n#0\n0!\n0\"\n")
        at = 0
        changes = [(i, name, wave[i]) for name, wave in (("!", crank), ('"', cam))
                   for i in range(2 * TURN) if wave[i] != wave[i - 1]]
        changes.sort()
        while file.tell() < size:
            file.write("".join(f"#{at + i}\n{level}{name}\n" for i, name, level in changes))
            at += 2 * TURN
    return []


def family(pid):
    """The process and its children."""
    try:
        children = pathlib.Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii")
    except OSError:
        return [pid]
    return [pid, *map(int, children.split())]


def anonymous(pid):
    total = 0
    for one in family(pid):
        try:
            status = pathlib.Path(f"/proc/{one}/status").read_text(encoding="ascii")
        except OSError:
            continue
        for line in status.splitlines():
            if line.startswith("RssAnon:"):
                total += 1024 * int(line.split()[1])
    return total


def peak(path, words):
    begin = time.monotonic()
    with subprocess.Popen([PROGRAM, "recording", path, "--json", "-", *words],
                          stdout=subprocess.PIPE) as process:
        most = 0
        while True:
            most = max(most, anonymous(process.pid))
            try:
                process.wait(0.002)
                break
            except subprocess.TimeoutExpired:
                continue
        found = json.load(process.stdout) if process.returncode == 0 else None
    if found is None:
        sys.exit(f"{path.name} could not be read")
    return most, found, time.monotonic() - begin


def main():
    long = 10**9 if "--quick" in sys.argv else 10**10
    kept = True
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        if shutil.disk_usage(folder).free < 12e9:
            sys.exit("12 GB of room are needed")
        path = folder / "packed logic"
        most, found, seconds = peak(path, write_logic(path, long))
        path.unlink()
        kept = kept and most < BUDGET
        print(f"packed logic, {long / 1e9:.0f} GB: {most / 1e6:.1f} MB anonymous, "
              f"{found['speed']['revolutions']} revolutions, {seconds:.1f} s; budget 200 MB")
        for title, write, size in (
                ("sampled CSV", write_text, 500e6), ("sound, 16 bits", write_sound, 500e6),
                ("MATLAB level 5", write_matlab, 250e6), ("HDF5, packed", write_hdf5, 250e6),
                ("logic session, packed", write_session, 250e6),
                ("value change dump", write_dump, 25e6)):
            results = []
            for times in 1, 4:
                path = folder / title
                most, found, seconds = peak(path, write(path, int(size * times)))
                results.append((most, found["speed"]["revolutions"]))
                path.unlink()
            (small, few), (large, many) = results
            each = (large - small) / (many - few)
            hours = (BUDGET - small + few * each) / each / 600 / 60
            print(f"{title}, {size / 1e6:.0f} and {4 * size / 1e6:.0f} MB: {small / 1e6:.1f} and "
                  f"{large / 1e6:.1f} MB anonymous, {each / 72:.0f} bytes an edge; 200 MB hold "
                  f"{hours:.1f} h at 600 1/min of a 36-1 wheel")
    return 0 if kept else 1


sys.exit(main())
