# SPDX-License-Identifier: Apache-2.0
"""tautmark recording on damaged, odd and hostile files: a clear answer each time."""

import json
import struct
import unittest
import zipfile

from program import InFolder
from test_recording import crank_and_cam, packed_turns


def table(text):
    """Rows of an event file as numbers."""
    return [[float(cell) for cell in line.split(",")] for line in text.splitlines()[1:]]


def written_out(rows, header="time [s],crank,cam"):
    lines = [",".join([f"{row[0]:.9f}", *(f"{cell:g}" for cell in row[1:])]) for row in rows]
    return "\n".join([header, *lines]) + "\n"


def sampled(count=60000, rate=10000):
    """A 60-2 wheel and a cam, in volts, at 600 1/min."""
    rows = ["time [s],crank,cam"]
    for i in range(count):
        angle = 3600 * i / rate % 720
        crank = angle % 6 < 3 and angle % 360 < 348
        rows.append(f"{i / rate:.5f},{4.8 if crank else 0.2},{4.6 if 100 <= angle < 300 else 0.3}")
    return rows


class Odd(InFolder):
    def file(self, content, name="a.csv"):
        path = self.folder / name
        if isinstance(content, str):
            content = content.encode()
        path.write_bytes(content)
        return path

    def found(self, content, *words, name="a.csv"):
        result = self.expect(0, "recording", self.file(content, name), "--json", "-", *words)
        self.assertNotIn('"pass"', result.stdout)
        return json.loads(result.stdout)

    def notes(self, content, *words, name="a.csv"):
        """What the person reads."""
        return self.expect(0, "recording", self.file(content, name), *words).stdout

    def refused(self, content, *words, name="a.csv"):
        return self.expect(2, "recording", self.file(content, name), *words).stderr

    def is_engine(self, found, wheel="60-2"):
        self.assertEqual(found["crank"]["wheel"]["name"], wheel)
        self.assertAlmostEqual(found["speed"]["median"], 600, delta=1)

    def test_cut_off_within_a_row(self):
        text = crank_and_cam()[:-4]
        self.is_engine(self.found(text))
        self.assertIn("truncated", self.notes(text))
        self.assertIn("truncated", self.notes(crank_and_cam() + "2.1,1\n"))

    def test_wrong_unit_of_time_is_asked_for(self):
        rows = table(crank_and_cam())
        slow = written_out([[row[0] * 1e6, *row[1:]] for row in rows])
        self.assertIn("is the unit of time right?", self.refused(slow))
        slow = written_out([[row[0] * 100, *row[1:]] for row in rows])
        self.assertIn("is the unit of time right?", self.notes(slow))

    def test_cut_off_sound_session_and_samples(self):
        turns = packed_turns()[::10]
        frames = b"".join(struct.pack("<hh", 20000 * (b & 1), 20000 * (b >> 1)) for b in turns) * 10
        head = (b"RIFF" + struct.pack("<I", 36 + len(frames)) + b"WAVEfmt "
                + struct.pack("<IHHIIHH", 16, 1, 2, 60000, 240000, 4, 16)
                + b"data" + struct.pack("<I", len(frames)))
        whole = head + frames
        self.is_engine(self.found(whole, name="a.wav"))
        self.assertIn("truncated", self.notes(whole[:-90001], name="a.wav"))
        path = self.folder / "a.sr"
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
            out.writestr("version", "2")
            out.writestr("metadata", "[device 1]\ncapturefile=logic-1\ntotal probes=2\n"
                         "samplerate=60 kHz\nprobe1=crank\nprobe2=cam\nunitsize=1\n")
            out.writestr("logic-1-1", turns * 10)
        session = path.read_bytes()
        self.is_engine(self.found(session, name="a.sr"))
        self.assertIn("zip", self.refused(session[:-50], name="a.sr"))
        wide = b"".join(bytes([b, 0]) for b in turns * 10)
        self.assertIn("within a sample", self.notes(
            wide[:-1], "--logic-channels", "9", "--sample-rate", "60000", name="logic"))

    def test_not_a_number(self):
        rows = sampled()
        for i in range(2000, 2020):
            rows[i] = rows[i].rsplit(",", 1)[0] + ",NaN"
        self.is_engine(self.found("\n".join(rows) + "\n"))
        rows[3000] = "NaN,0.2,0.3"
        self.assertIn("a.csv:3001", self.refused("\n".join(rows) + "\n"))

    def test_gap_in_time(self):
        rows = sampled()
        del rows[20001:26001]
        text = "\n".join(rows) + "\n"
        self.is_engine(self.found(text))
        self.assertIn("a gap in time", self.notes(text))

    def test_time_backwards(self):
        lines = crank_and_cam().splitlines()
        lines[1000], lines[500] = lines[500], lines[1000]
        self.assertRegex(self.refused("\n".join(lines) + "\n"), r"a\.csv:\d+.*(\n.*)*backwards")

    def test_one_cam_dead(self):
        rows = [[*row, 0] for row in table(crank_and_cam())]
        found = self.found(written_out(rows, "time [s],crank,cam 1,cam 2"))
        self.is_engine(found)
        self.assertTrue(found["cycle_resolved"])
        self.assertEqual([one["channel"] for one in found["rejected_channels"]], [3])
        self.assertIn("no edges", found["rejected_channels"][0]["why"])

    def test_crank_missing(self):
        rows = [[time, 0, cam] for time, _, cam in table(crank_and_cam())]
        self.assertIn("no crank signal", self.refused(written_out(rows)))

    def test_only_the_crank(self):
        rows = [[time, crank] for time, crank, _ in table(crank_and_cam())]
        found = self.found(written_out(rows, "time [s],crank"))
        self.is_engine(found)
        self.assertFalse(found["cycle_resolved"])
        self.assertEqual(found["cams"], [])

    def test_two_cranks(self):
        rows = [[*row, row[1]] for row in table(crank_and_cam())]
        text = written_out(rows, "time [s],crank,cam,crank 2")
        said = self.refused(text)
        self.assertIn("two channels look like the crank", said)
        self.assertIn("say which", said)
        found = self.found(text, "--crank", "3")
        self.is_engine(found)
        self.assertEqual(found["crank"]["channel"], 3)

    def test_one_sample(self):
        self.assertIn("no crank signal", self.refused("time [s],crank,cam\n0,0,1\n"))
        self.assertIn("no crank signal", self.refused(
            b"\1", "--logic-channels", "2", "--sample-rate", "1000", name="logic"))

    def test_sixty_four_channels_and_one_more(self):
        rows = [[*row, *([0] * 61), i // 200 % 2]
                for i, row in enumerate(table(crank_and_cam()))]
        header = ",".join(["time [s]", *(f"c{k}" for k in range(1, 65))])
        found = self.found(written_out(rows, header))
        self.is_engine(found)
        self.assertEqual(len(found["rejected_channels"]), 62)
        more = [[*row, 0] for row in rows]
        self.assertIn("at most 64", self.refused(written_out(more, header + ",c65")))

    def test_stopped_and_started_again(self):
        rows = table(crank_and_cam())
        again = [[row[0] + rows[-1][0] + 3, *row[1:]] for row in rows]
        text = written_out(rows + again)
        self.is_engine(self.found(text))
        self.assertIn("the engine stopped", self.notes(text))

    def test_swings_back_at_key_off(self):
        """The last turn becomes slower and slower, then the teeth come again in reverse."""
        rows = table(crank_and_cam())
        stop = rows[-1][0]
        slow = []
        for time, *levels in rows:
            left = stop - time
            slow.append([time if left > 0.1 else stop - 0.1 + (0.1 - left) ** 2 * 40
                         + (0.1 - left), *levels])
        end = slow[-1][0]
        back = [[end + 0.02 + (end - row[0]), *before[1:]]
                for row, before in zip(reversed(slow[-60:]), reversed(slow[-61:-1]))]
        text = written_out(slow + back)
        self.is_engine(self.found(text))
        said = self.notes(text)
        self.assertIn("swung back", said)
        self.assertIn("jitter 0.00°", said)

    def test_hostile(self):
        for content in (b"PK\3\4" + bytes(60), b"RIFF\xff\xff\xff\xffWAVEfmt ",
                        b"\x89HDF\r\n\x1a\n",
                        b"MATLAB 5.0 MAT-file".ljust(128), b"$var wire 1 ! c $end\n",
                        b"\xff\xfe" + bytes(99), b"1,2\n" + b"9" * 200000, bytes(range(256)) * 9):
            said = self.refused(content, name="a")
            self.assertTrue(said.strip())
            self.assertNotIn("\x1b", said)


if __name__ == "__main__":
    unittest.main()
