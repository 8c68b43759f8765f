# SPDX-License-Identifier: Apache-2.0
"""tautmark recording: text, recording/1, and what cannot be read."""

import json
import os
import pathlib
import resource
import subprocess
import unittest
import xml.etree.ElementTree as xml
import zipfile

from program import PROGRAM, SECONDS, InFolder

# Recordings published with an open-source engine-control firmware, see shared/data/recordings.
REAL = pathlib.Path(__file__).resolve().parents[3] / "shared" / "data" / "recordings"


def crank_and_cam(turns=24, minus=(58, 59), cam_at=(100.0, 460.0)):
    """Edges of a 60-2 wheel and a two-tooth cam at constant speed, one row per change."""
    rows, second_per_degree = [], 1 / (6 * 600)
    for turn in range(turns):
        for slot in range(60):
            if slot not in minus:
                angle = 360 * turn + 6 * slot
                rows += [(angle, 0, 1), (angle + 3, 0, 0)]
    for cycle in range(turns // 2):
        for at in cam_at[:1]:
            rows += [(720 * cycle + at, 1, 1), (720 * cycle + at + 30, 1, 0)]
        rows += [(720 * cycle + cam_at[1], 1, 1), (720 * cycle + cam_at[1] + 60, 1, 0)]
    state, lines = [0, 0], ["time [s],crank,cam", "0,0,0"]
    for angle, channel, level in sorted(rows):
        state[channel] = level
        lines.append(f"{0.01 + angle * second_per_degree:.9f},{state[0]},{state[1]}")
    return "\n".join(lines) + "\n"


class Recording(InFolder):
    def written(self, text):
        file = self.folder / "a.csv"
        file.write_text(text)
        return file

    def test_edges_come_back_in_crank_degrees(self):
        file = self.written(crank_and_cam())
        found = json.loads(self.expect(0, "recording", file, "--json", "-").stdout)
        self.assertEqual(found["schema"], "recording/1")
        self.assertTrue(found["cycle_resolved"])
        self.assertEqual(found["crank"]["wheel"]["name"], "60-2")
        self.assertAlmostEqual(found["speed"]["median"], 600, delta=0.1)
        rising = [e["angle_deg"] for e in found["cams"][0]["edges"] if e["polarity"] == 1]
        self.assertAlmostEqual((rising[1] - rising[0]) % 720, 360, delta=0.01)
        self.assertEqual([h["name"] for h in found["hypotheses"]], ["cannot tell"])
        self.assertIn("nothing is judged", self.expect(0, "recording", file).stdout)

    def test_what_is_no_recording_is_refused_with_a_sentence(self):
        for text in ["", "hello\n", "time,crank\n0,0\n"]:
            result = self.expect(2, "recording", self.written(text))
            self.assertTrue(result.stderr.strip(), text)
        self.expect(2, "recording", self.folder / "none.csv")

    def test_plot_is_a_drawing_of_what_was_decoded(self):
        file, svg = self.written(crank_and_cam()), self.folder / "a.svg"
        told = self.expect(0, "recording", file, "--plot", svg).stdout
        self.assertIn("60-2", told)  # the text still comes
        root = xml.fromstring(svg.read_text())
        words = ["".join(e.itertext()) for e in root.iter() if e.tag.endswith("}text")]
        for word in "60-2, rising edges", "own mean", "a.csv", "gap, 2 missing", "100.0°", "460.0°":
            self.assertIn(word, words)
        teeth = [e for e in root.iter() if "data-tooth" in e.attrib]
        self.assertEqual(len(teeth), 2 * 2 * 58)  # two cycles of two turns
        cycles = [e for e in root.iter() if "data-cycle" in e.attrib]
        self.assertIn(f"n {len(cycles)} cycles", " ".join(words))
        self.assertGreaterEqual(len(cycles), 10)

    def test_plot_goes_to_standard_output_on_the_paper_wanted(self):
        file = self.written(crank_and_cam())
        dark = self.expect(0, "recording", file, "--plot", "-", "--paper", "dark").stdout
        self.assertIn("tm-dark", xml.fromstring(dark).get("class"))
        self.expect(64, "recording", file, "--plot", "-", "--paper", "pink")
        self.expect(2, "recording", file, "--plot", self.folder / "none" / "a.svg")

    @unittest.skipUnless(REAL.is_dir(), "skipped: no recordings")
    def test_real_recordings_agree_with_their_table(self):
        # signals.md section 12, r01: 243.97 (rising), 596.64 (falling), 1402/1419/1436, 30 turns.
        found = json.loads(self.expect(0, "recording", REAL / "r01.csv", "--json", "-").stdout)
        self.assertEqual(found["crank"]["wheel"]["name"], "36-2-1")
        angles = sorted(edge["angle_deg"] for edge in found["cams"][0]["edges"])
        self.assertAlmostEqual(angles[1] - angles[0], 596.64 - 243.97, delta=0.1)
        for key, value in ("min", 1402), ("median", 1419), ("max", 1436):
            self.assertAlmostEqual(found["speed"][key], value, delta=0.005 * value)


LEVELS_PER_TURN = 60000
MEBI = 1 << 20


def packed_turns():
    """Two turns of a 60-2 wheel and a cam, one byte a sample, at 600 1/min and 600 kHz."""
    levels = bytearray(2 * LEVELS_PER_TURN)
    for at in range(len(levels)):
        slot = at % LEVELS_PER_TURN // 500
        levels[at] = (slot % 2 == 0 and slot < 116) | (20000 <= at < 75000) << 1
    return bytes(levels)


class Memory(InFolder):
    """What is read and let go: anonymous memory does not grow with the file."""

    LIMIT = 64 * MEBI  # the program alone needs some 30

    def found_within_limit(self, file, *words):
        def limited():
            resource.setrlimit(resource.RLIMIT_DATA, (self.LIMIT, self.LIMIT))
            resource.setrlimit(resource.RLIMIT_STACK, (MEBI, MEBI))
        # What glibc reserves for stacks and arenas of threads counts without being used.
        result = subprocess.run(
            [PROGRAM, "recording", file, "--json", "-", *words], capture_output=True, text=True,
            timeout=SECONDS, check=False, preexec_fn=limited,
            env={**os.environ, "MALLOC_ARENA_MAX": "1"})
        self.assertEqual(result.returncode, 0, result.stderr)
        found = json.loads(result.stdout)
        self.assertEqual(found["crank"]["wheel"]["name"], "60-2")
        return found

    def test_packed_logic_with_holes(self):
        file = self.folder / "logic"
        turns = packed_turns()
        with file.open("wb") as out:  # the engine turns at the end of 300 MB of nothing
            out.seek(300 * MEBI)
            out.write(turns * 20)
        self.found_within_limit(file, "--logic-channels", "2", "--sample-rate", "600000")

    def test_packed_session(self):
        file = self.folder / "a.sr"
        turns = packed_turns()
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as out:
            out.writestr("version", "2")
            out.writestr("metadata", "[device 1]\ncapturefile=logic-1\ntotal probes=2\n"
                         "samplerate=600 kHz\nprobe1=crank\nprobe2=cam\nunitsize=1\n")
            with out.open("logic-1-1", "w") as member:
                for _ in range(10):
                    member.write(turns * 64)  # 77 MB in all
        self.found_within_limit(file)

    def test_sampled_text(self):
        file = self.folder / "a.csv"
        rows = "".join(f"{level & 1}.0,{level >> 1}.0\n" for level in packed_turns()[::20])
        with file.open("w") as out:
            out.write("crank,cam\n")
            for _ in range(20):
                out.write(rows * 64)  # 61 MB in all
        self.found_within_limit(file, "--sample-rate", "30000")


if __name__ == "__main__":
    unittest.main()
