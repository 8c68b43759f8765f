# SPDX-License-Identifier: Apache-2.0
"""tautmark recording: an earlier recording of the engine, and a log of the commanded angle."""

import json
import unittest
import xml.etree.ElementTree as xml

from program import ROOT, InFolder

SPEC = """tautmark: synthesis/1
output: {{sample_rate: 1 MHz}}
crank: {{wheel: 60-2, jitter: 0.02 deg crank}}
speed:
  - {{time: 1.5 s, from: 700 1/min, to: 900 1/min, ripple: 3 %, firings: 2}}
  - {{time: 8.5 s, from: 900 1/min, to: 800 1/min, ripple: 3 %, firings: 2}}
cams:
  - name: intake
    targets: [96 deg crank, 276 deg crank, 516 deg crank]
    sprocket_teeth: 38
    jitter: 0.05 deg crank
{intake}
  - name: exhaust
    targets: [132 deg crank, 372 deg crank, 552 deg crank]
    sprocket_teeth: 38
    jitter: 0.05 deg crank
"""
PHASER = """    phaser:
      commands:
        - {time: 4 s, angle: 20 deg crank}
      dead_time: 0.05 s
      slew_per_second: 100 deg crank
"""
QUELLMERE = ROOT / "drives" / "quellmere-i4-16.drive.yaml"


class More(InFolder):
    def make(self, name, intake=""):
        (self.folder / "spec.yaml").write_text(SPEC.format(intake=intake))
        self.expect(0, "recording", "--synthesise", "spec.yaml", "--to", name, "--overwrite")

    def test_one_tooth_between_two_recordings(self):
        self.make("before.csv", "    jumps: [{teeth: 1, way: late}]\n    elongation: 2.4 deg crank")
        self.make("after.csv")
        result = self.expect(0, "recording", "after.csv", "--before", "before.csv", "--json", "-")
        found = json.loads(result.stdout)["comparison"]
        self.assertTrue(found["comparable"], found["why"])
        intake, exhaust = found["cams"]
        # 720/38 and 2.4
        self.assertAlmostEqual(intake["change_deg"], 18.947 + 2.4, delta=0.3)
        self.assertLess(abs(exhaust["change_deg"]), 0.3)
        self.assertIn("earlier", intake["says"])
        drawn = self.expect(0, "recording", "after.csv", "--before", "before.csv", "--plot", "-")
        self.assertIn("before.csv", "".join(xml.fromstring(drawn.stdout).itertext()))
        against = self.expect(0, "recording", "after.csv", "--before", "before.csv", "--drive",
                              QUELLMERE, "--phasers", "base", "--plot", "a.svg")
        self.assertIn("bank 1 / intake camshaft", against.stdout)
        xml.fromstring((self.folder / "a.svg").read_text())

    def log(self, sense=1):
        rows = ["time [s],commanded angle [deg],engine speed [1/min]"]
        for i in range(100):
            t = i / 10
            speed = 700 + 200 * t / 1.5 if t < 1.5 else 900 - 100 * (t - 1.5) / 8.5
            rows.append(f"{t + 3:.2f},{sense * (20 if t >= 4 else 0)},{speed:.1f}")
        (self.folder / "log.csv").write_text("\n".join(rows) + "\n")

    def test_a_command_and_how_the_phaser_followed(self):
        self.make("a.csv", PHASER.rstrip())
        self.log(-1)
        command = ("recording", "a.csv", "--command-log", "log.csv")
        self.assertIn("scan tools differ", self.expect(64, *command).stderr)
        result = self.expect(0, *command, "--command-positive", "late", "--command-degrees", "crank",
                             "--json", "-")
        intake = json.loads(result.stdout)["cams"][0]["behaviour"]
        (response,) = intake["responses"]
        self.assertAlmostEqual(response["time_s"], 4, delta=0.15)  # the log's clock is 3 s ahead
        self.assertAlmostEqual(response["moved_deg"], 20, delta=0.5)
        self.assertLess(response["time_90_s"], 1)
        states = {state["name"]: state["seen"] for state in intake["states"]}
        self.assertEqual(states["stuck"], "not seen")

    def test_a_phaser_that_does_not_follow(self):
        self.make("a.csv")
        self.log()
        found = json.loads(self.expect(0, "recording", "a.csv", "--command-log", "log.csv",
                                       "--command-positive", "early", "--command-degrees", "crank",
                                       "--json", "-").stdout)
        states = {state["name"]: state["seen"] for state in found["cams"][0]["behaviour"]["states"]}
        self.assertEqual(states["stuck"], "seen")

    def test_a_log_without_a_clock_is_no_dead_end(self):
        self.make("a.csv", PHASER.rstrip())
        rows = ["time [s],commanded angle [deg]"]
        rows += [f"{i / 10 + 3:.2f},{20 if i >= 40 else 0}" for i in range(100)]
        (self.folder / "log.csv").write_text("\n".join(rows) + "\n")
        command = ("recording", "a.csv", "--command-log", "log.csv", "--command-positive", "early",
                   "--command-degrees", "crank")
        said = self.expect(0, *command).stdout
        (line,) = [line for line in said.splitlines() if line.startswith("command log")]
        self.assertIn("not used: the log has no engine speed", line)
        self.assertIn("say --command-offset", line)
        self.assertIn("moves", said)
        found = json.loads(self.expect(0, *command, "--json", "-").stdout)
        self.assertFalse(found["command_log"]["used"])
        found = json.loads(self.expect(0, *command, "--command-offset", "-3", "--json", "-").stdout)
        self.assertTrue(found["command_log"]["used"], found["command_log"])
        (response,) = found["cams"][0]["behaviour"]["responses"]
        self.assertAlmostEqual(response["time_s"], 4, delta=1e-6)
        far = json.loads(self.expect(0, *command, "--command-offset", "50", "--json", "-").stdout)
        self.assertIn("no row of it lies in the recording", far["command_log"]["why"])
        plain = json.loads(self.expect(0, "recording", "a.csv", "--json", "-").stdout)
        self.assertIsNone(plain["command_log"])
        self.assertIn("engine speed", self.expect(0, "recording", "--help").stdout)

    def test_what_is_not_comparable_says_only_why(self):
        self.make("before.csv")
        (self.folder / "spec.yaml").write_text(SPEC.format(intake="").replace("60-2", "36-1"))
        self.expect(0, "recording", "--synthesise", "spec.yaml", "--to", "after.csv")
        said = self.expect(0, "recording", "after.csv", "--before", "before.csv").stdout
        self.assertIn("not comparable", said)
        self.assertNotIn("no change that can be told", said)
        self.assertNotIn("than before", said)

    def test_what_cannot_be_used(self):
        self.make("a.csv")
        self.expect(2, "recording", "a.csv", "--before", "none.csv")
        (self.folder / "log.csv").write_text("no, log\n1, 2\n")
        error = self.expect(2, "recording", "a.csv", "--command-log", "log.csv",
                            "--command-positive", "early", "--command-degrees", "cam").stderr
        self.assertIn("log.csv", error)


if __name__ == "__main__":
    unittest.main()
