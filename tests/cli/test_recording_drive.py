# SPDX-License-Identifier: Apache-2.0
"""tautmark recording --drive: windows, meaning, channels, exit status."""

import json
import unittest

from program import InFolder
from sensor_signals import QUELLMERE, VESSGARTH, signals

BANK_1 = ("--channel", "2=bank 1 / camshaft")
BASE = ("--phasers", "base")


class RecordingAgainstDrive(InFolder):
    def written(self, *arguments, name="a.csv", **named):
        file = self.folder / name
        file.write_text(signals(*arguments, **named))
        return file

    def judged(self, status, file, drive, *words):
        result = self.expect(status, "recording", file, "--drive", drive, *words, "--json", "-")
        return json.loads(result.stdout)

    def test_worn_chain_inside_its_window_passes_and_is_named(self):
        # trade.md 6.A: bank 2 2.2 degrees late, window 3.
        file = self.written(VESSGARTH, (0.5, 2.2))
        found = self.judged(0, file, "vessgarth-v6-12", *BANK_1, *BASE)
        self.assertEqual([cam["cam"] for cam in found["cams"]],
                         ["bank 1 / camshaft", "bank 2 / camshaft"])
        cam = found["cams"][1]
        self.assertEqual(cam["phase"]["against"], "reference")
        self.assertAlmostEqual(cam["phase"]["mean_deg"], -2.2, delta=0.05)
        self.assertEqual(cam["window"]["verdict"], "pass")
        self.assertEqual(cam["window"]["says"],
                         "2.2° late (crank), 1.1° cam: inside ± 3.0° of the definition")
        self.assertIsNone(cam["window"]["open_because"])
        self.assertEqual(found["hypotheses"][0]["name"], "elongation")
        self.assertFalse(found["separated"])
        self.assertIn("cannot be separated from", found["sentence"])
        self.assertEqual(found["verdict"], "pass")
        self.assertNotIn("nothing is judged", " ".join(found["notes"]))

    def test_one_tooth_and_wear(self):
        # trade.md 6.B: intake 21.4 late, exhaust 1.8: one tooth of 38 and elongation.
        file = self.written(QUELLMERE, (21.4, 1.8), slots=60, missing=(58, 59))
        found = self.judged(1, file, "quellmere-i4-16", *BASE)
        self.assertEqual(found["cams"][0]["window"]["verdict"], "fail")
        self.assertEqual(found["hypotheses"][0]["name"], "jump and elongation")
        self.assertIn("1 tooth late", found["hypotheses"][0]["says"])
        text = self.expect(1, "recording", file, "--drive", "quellmere-i4-16", *BASE).stdout
        self.assertIn("FAIL  bank 1 / intake camshaft", text)
        self.assertIn("21.4° late (crank), 10.7° cam: outside ± 4.0° of the definition", text)

    def test_phasers_that_nobody_vouched_for_keep_it_open(self):
        file = self.written(VESSGARTH, (0, 0))
        for words in ((), ("--phasers", "unknown"), ("--phasers", "commanded")):
            found = self.judged(3, file, "vessgarth-v6-12", *BANK_1, *words)
            for cam in found["cams"]:
                self.assertEqual(cam["window"]["verdict"], "open")
                self.assertIn("phaser", cam["window"]["open_because"])

    def test_channels_that_cannot_be_told_apart_say_what_decides(self):
        file = self.written(VESSGARTH, (0, 0))
        found = self.judged(3, file, "vessgarth-v6-12", *BASE)
        self.assertIn("Say it for one of them", found["not_compared"])
        self.assertEqual([h["name"] for h in found["hypotheses"]], ["cannot tell"])
        self.judged(0, file, "vessgarth-v6-12", *BASE, "--channel", "3=bank 2 / camshaft")

    def test_a_cam_that_is_not_there_and_another_wheel_stay_open(self):
        file = self.written(VESSGARTH, (0, 0))
        found = self.judged(3, file, "vessgarth-v6-12", *BASE, *BANK_1, "--channel", "3=not used")
        self.assertEqual(found["missing_cams"][0]["cam"], "bank 2 / camshaft")
        other = self.written(VESSGARTH, (0, 0), slots=60, missing=(58, 59), name="b.csv")
        found = self.judged(3, other, "vessgarth-v6-12", *BASE, *BANK_1)
        self.assertIn("60-2", found["contradictions"][0])
        self.assertEqual([h["name"] for h in found["hypotheses"]], ["cannot tell"])

    def test_without_edges_in_the_drive_nothing_passes(self):
        file = self.written(VESSGARTH, (0, 0))
        found = self.judged(3, file, "thin", *BASE)
        self.assertIn("an error equal on both is invisible", found["not_compared"])
        text = self.expect(0, "recording", file).stdout
        self.assertIn("an error equal on both is invisible", text)

    def test_wrong_words_are_wrong_usage(self):
        file = self.written(VESSGARTH, (0, 0))
        drive = ("recording", file, "--drive", "vessgarth-v6-12")
        self.assertIn("there are: crank", self.expect(64, *drive, "--channel", "2=bank 7").stderr)
        self.expect(64, *drive, "--channel", "bank 1 / camshaft")
        self.expect(64, *drive, "--channel", "2=crank", "--channel", "2=not used")
        self.expect(64, *drive, "--phasers", "perhaps")
        self.expect(64, "recording", file, "--phasers", "base")
        self.expect(2, "recording", file, "--drive", "no-such-drive")


if __name__ == "__main__":
    unittest.main()
