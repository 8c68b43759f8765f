# SPDX-License-Identifier: Apache-2.0
"""tautmark recording: text, recording/1, and what cannot be read."""

import json
import pathlib
import unittest
import xml.etree.ElementTree as xml

from program import InFolder

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
        self.assertEqual(found["hypotheses"], [])
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


if __name__ == "__main__":
    unittest.main()
