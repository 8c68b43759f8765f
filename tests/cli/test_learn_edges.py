# SPDX-License-Identifier: Apache-2.0
"""tautmark drive learn --recordings: from good engines to a drive that judges a jumped one."""

import json
import re
import statistics
import unittest

from program import InFolder, ROOT
from sensor_signals import VESSGARTH, signals

CHANNELS = ("--channel", "2=bank 1 / camshaft", "--channel", "3=bank 2 / camshaft")
WORDS = ("--phasers", "locked, warm idle", "--vouched-by", "second line: counts and marks proven")
GOOD = ((0.6, -0.2), (-0.5, 0.4), (0.1, 0.3), (0.9, -0.6))  # late
DRIVE = """tautmark: drive/1
name: learned
source: {origin: maker, document: service manual, page: p. 4}
chains:
  - {name: bank 1 chain, bank: 1, pitch: 8.00 mm, links: 124}
  - {name: bank 2 chain, bank: 2, pitch: 8.00 mm, links: 124}
"""
CRANK = "crankshaft: {sprockets: [{teeth: 21}]}\n"
BANKS = """banks:
  - number: 1
    camshafts: [{name: camshaft, sprocket_teeth: 42}]
  - number: 2
    camshafts: [{name: camshaft, sprocket_teeth: 42}]
"""


class LearnEdges(InFolder):
    def recording(self, name, late, **named):
        file = self.folder / f"{name}.csv"
        file.write_text(signals(VESSGARTH, late, **named))
        return file

    def good(self):
        return [self.recording(f"good-{i}", late, seed=i, per_minute=640 + 5 * i)
                for i, late in enumerate(GOOD, 1)]

    def drive(self, text=DRIVE + CRANK + BANKS):
        file = self.folder / "learned.drive.yaml"
        file.write_text(text)
        return file

    def learn(self, status, *words):
        return self.expect(status, "drive", "learn", self.drive(), "--recordings", *words)

    def with_sections(self, printed):
        """The drive with the learned sections put in by hand, as the page says."""
        printed = printed.replace("crankshaft:\n", "crankshaft:\n  sprockets: [{teeth: 21}]\n")
        printed = printed.replace("- name: camshaft\n",
                                  "- name: camshaft\n        sprocket_teeth: 42\n")
        return self.drive(DRIVE + printed)

    def test_round_trip_from_good_engines_to_a_jumped_one(self):
        printed = self.learn(0, *self.good(), *WORDS, *CHANNELS, "--variant", "from 2024").stdout
        self.assertIn("# No window: nothing passes", printed)
        self.assertIn("origin: shop", printed)
        self.assertIn("engines: 4", printed)
        self.assertIn("from 2024", printed)
        spread = statistics.stdev(late[0] for late in GOOD)
        seen = re.search(r"# bank 1 / camshaft: ([0-9.]+)° standard deviation", printed)
        self.assertAlmostEqual(float(seen[1]), spread, delta=0.03)
        drive = self.with_sections(printed)
        self.assertNotIn("error:", self.expect(0, "drive", "check", drive).stderr)

        right = self.recording("right", (0.2, 0.1), seed=8)
        against = ("--drive", drive, *CHANNELS, "--phasers", "base", "--json", "-")
        found = json.loads(self.expect(3, "recording", right, *against).stdout)
        self.assertEqual({c["window"]["open_because"] for c in found["cams"]},
                         {"the drive gives no window"})
        self.assertEqual(found["hypotheses"][0]["name"], "right")

        late = self.recording("jumped", (17.4, 0.1), seed=9)
        found = json.loads(self.expect(3, "recording", late, *against).stdout)
        self.assertEqual(found["hypotheses"][0]["name"], "jump")
        self.assertIn("bank 1 / camshaft 1 tooth late", found["hypotheses"][0]["says"])

    def test_a_window_is_somebodys_decision(self):
        words = (*self.good(), *WORDS, *CHANNELS)
        self.learn(64, *words, "--window", "3 deg crank")
        self.learn(64, *words, "--window", "3", "--window-by", "shop")
        printed = self.learn(0, *words, "--window", "3 deg crank", "--window-by",
                             "shop decision of 2 March").stdout
        self.assertIn("window: shop decision of 2 March", printed)
        drive = self.with_sections(printed)
        against = ("--drive", drive, *CHANNELS, "--phasers", "base")
        self.expect(0, "recording", self.recording("right", (0.2, 0.1), seed=8), *against)
        self.expect(1, "recording", self.recording("jumped", (17.4, 0.1), seed=9), *against)

    def test_an_engine_unlike_the_others_is_named(self):
        jumped = self.recording("jumped", (0, 17.14), seed=9)
        printed = self.learn(0, jumped, *self.good()[:2], *WORDS, *CHANNELS).stdout
        self.assertIn("LEFT OUT, find out why: jumped.csv: bank 2 / camshaft 17.", printed)
        self.assertIn("engines: 2", printed)
        self.assertIn("spread: 0.5", printed)  # of two engines never less
        refused = self.learn(2, jumped, self.good()[0], *WORDS, *CHANNELS).stderr
        self.assertIn("jumped.csv", refused)
        self.assertIn("which of them is good cannot be told", refused)

    def test_the_present_definition_is_compared(self):
        printed = self.expect(0, "drive", "learn", "vessgarth-v6-12", "--recordings", *self.good(),
                              *WORDS, *CHANNELS).stdout
        self.assertIn("# bank 1 / camshaft: 0.3° late (crank), 0.1° cam of the present", printed)
        self.assertIn("first_tooth: 60 deg crank", printed)
        self.assertNotIn("window: 3", printed)

    def test_one_engine_does_not_say_how_far_good_ones_differ(self):
        printed = self.learn(0, self.good()[0], *WORDS, *CHANNELS).stdout
        self.assertIn("cannot be known from it, 0.5° stays", printed)
        self.assertNotIn("spread:", printed)

    def test_what_is_asked_before_anything_is_learned(self):
        good = self.good()[:2]
        self.assertIn("--channel \"2=bank 1 / camshaft", self.learn(64, *good, *WORDS).stderr)
        self.assertIn("nothing is learned", self.learn(64, *good, *CHANNELS).stderr)
        for state in ("unknown", "warm idle", "commanded", "not locked", "unlocked"):
            self.learn(64, *good, *CHANNELS, "--phasers", state, "--vouched-by", "me")
        self.assertIn("who says", self.learn(64, *good, *CHANNELS, "--phasers", "locked").stderr)
        self.assertIn("twice", self.learn(2, good[0], good[0], *WORDS, *CHANNELS).stderr)
        self.expect(64, "drive", "learn", self.drive())

    def test_few_cycles_and_another_wheel_are_refused(self):
        brief = self.recording("brief", (0, 0), turns=14)
        self.assertIn("brief.csv: too few cycles", self.learn(2, brief, *WORDS, *CHANNELS).stderr)
        other = self.recording("other", (0, 0), slots=60, missing=(58, 59))
        self.assertIn("other.csv: the crank's wheel is 60-2",
                      self.learn(2, self.good()[0], other, *WORDS, *CHANNELS).stderr)
        shipped = self.expect(2, "drive", "learn", ROOT / "drives" / "vessgarth-v6-12.drive.yaml",
                              "--recordings", other, *WORDS, *CHANNELS)
        self.assertIn("in the definition 36-1", shipped.stderr)


if __name__ == "__main__":
    unittest.main()
