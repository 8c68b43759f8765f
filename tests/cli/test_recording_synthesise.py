# SPDX-License-Identifier: Apache-2.0
"""tautmark recording --synthesise: recordings with known truth, and the exercises made of them."""

import bisect
import json
import math
import re
import unittest

import jsonschema
import numpy
import scipy.integrate
import yaml

from program import ROOT, InFolder

TRAINING = ROOT / "docs" / "training"
STATEMENT = "synthesised, invented, not a real engine"

SPEC = """tautmark: synthesis/1
output: {sample_rate: 1 MHz}
crank: {wheel: 36-2, jitter: 0.02 deg crank}
speed:
  - {time: 1 s, from: 300 1/min, to: 800 1/min, ripple: 8 %, firings: 3, ripple_phase: 40 deg}
  - {time: 4 s, from: 800 1/min, ripple: 3 %, firings: 4}
cams:
  - name: intake
    targets: [57.3 deg crank, 240.5 deg crank, 310.2 deg crank]
    sprocket_teeth: 42
    jumps: [{time: 3 s, teeth: 1, way: early}]
"""


def angles_of(found, channel):
    """Mean edges of one channel in a recording/1, by polarity."""
    cam = next(cam for cam in found["cams"] if cam["channel"] == channel)
    return [(edge["polarity"], edge["angle_deg"]) for edge in cam["edges"]]


class Synthesise(InFolder):
    def make(self, text=SPEC, name="a.csv", *more):
        (self.folder / "spec.yaml").write_text(text)
        self.expect(0, "recording", "--synthesise", "spec.yaml", "--to", name, "--truth",
                    "truth.json", "--overwrite", *more)
        return json.loads((self.folder / "truth.json").read_text())

    def decoded(self, name):
        return json.loads(self.expect(0, "recording", name, "--json", "-").stdout)

    def test_time_law_agrees_with_numerical_integration(self):
        # dt/dtheta = (1 + r cos(q pi theta/180 + p))/(6 n): signals.md section 9. The speed without
        # its ripple rises evenly in time, so it is integrated as an equation of two states.
        truth = self.make()
        angle0, time0, worst = 0.0, 0.0, 0.0
        edges = truth["crank"]["edges"]
        for piece in truth["speed"]:
            slope = (piece["to_per_min"] - piece["from_per_min"]) / piece["duration_s"]

            def rate(time, state, piece=piece, start=time0, slope=slope):
                n = piece["from_per_min"] + slope * (time - start)
                wave = math.cos(piece["order"] * math.radians(state[0]) + piece["phase_rad"])
                return [6 * n / (1 + piece["ripple"] * wave)]

            end = time0 + piece["duration_s"]
            # Short steps: the interpolation inside a step is coarser than its ends.
            path = scipy.integrate.solve_ivp(rate, (time0, end), [angle0], rtol=1e-11, atol=1e-9,
                                             method="DOP853", max_step=1e-3, dense_output=True)
            inside = [edge for edge in edges if time0 < edge[1] < end]
            self.assertGreater(len(inside), 100)
            found = path.sol(numpy.array([edge[1] for edge in inside]))[0]
            worst = max(worst, max(abs(found - numpy.array([edge[0] for edge in inside]))))
            angle0, time0 = path.y[0][-1], end
        self.assertLess(worst, 1e-5)
        self.assertAlmostEqual(angle0, truth["last_angle_deg"], delta=1e-5)

    def test_truth_names_what_was_put_in(self):
        truth = self.make()
        self.assertEqual(truth["schema"], "recording-truth/1")
        self.assertTrue(truth["invented"])
        self.assertEqual(truth["verdict"]["meaning"], "jump")
        fault = truth["verdict"]["faults"][0]
        self.assertEqual((fault["channel"], fault["teeth"], fault["way"]), ("intake", 1, "early"))
        self.assertAlmostEqual(fault["degrees"], 720 / 42, places=9)
        psi = truth["cams"][0]["psi_deg"]
        self.assertAlmostEqual(psi[0], 0, places=9)
        self.assertAlmostEqual(psi[-1], 720 / 42, places=9)
        # Every edge stands at a target less the phase of its cycle.
        for angle, _, polarity in truth["cams"][0]["edges"]:
            if polarity < 0:
                continue
            nearest = min(abs((angle - target + shift + 360) % 720 - 360)
                          for target in (57.3, 240.5, 310.2) for shift in (0, 720 / 42))
            self.assertLess(nearest, 1e-6)

    def test_each_format_reads_back_the_same_engine(self):
        # No jump, so that mean edges are the targets; first tooth after the gap is 0.
        text = re.sub(r"    jumps: .*\n", "", SPEC)
        text = text.replace("1 MHz", "44100 Hz")
        for name, more in (("a.csv", ""), ("a.vcd", ""), ("a.wav", ""), ("s.csv", "")):
            if name == "s.csv":
                text = text.replace("{sample_rate", "{format: sampled csv, sample_rate")
            truth = self.make(text, name)
            found = self.decoded(name)
            self.assertEqual(found["crank"]["wheel"]["name"], "36-2")
            rising = sorted(angle for polarity, angle in angles_of(found, 2) if polarity > 0)
            falling = sorted(angle for polarity, angle in angles_of(found, 2) if polarity < 0)
            # 800 1/min is 4800 deg/s: one sample is 0.11 deg, its mean over cycles far less; which
            # flank of the crank the zero is at moves all by the tooth's width.
            base = 57.3 if found["crank"]["polarity"] > 0 else 57.3 - 5
            for angles, first in ((rising, base), (falling, base + 20)):
                for got, want in zip(angles, (first, first + 183.2, first + 252.9), strict=True):
                    self.assertAlmostEqual(got, want, delta=0.1, msg=name)
            self.assertEqual(truth["verdict"]["meaning"], "right")
            self.assertIn(STATEMENT.encode(), (self.folder / name).read_bytes()[:200]
                          + (self.folder / name).read_bytes()[-200:])

    def test_same_seed_same_bytes_other_seed_others(self):
        self.make()
        first = (self.folder / "a.csv").read_bytes()
        truth = (self.folder / "truth.json").read_bytes()
        self.make()
        self.assertEqual((self.folder / "a.csv").read_bytes(), first)
        self.assertEqual((self.folder / "truth.json").read_bytes(), truth)
        self.make(SPEC, "a.csv", "--seed", "2")
        self.assertNotEqual((self.folder / "a.csv").read_bytes(), first)
        self.assertEqual(json.loads((self.folder / "truth.json").read_text())["seed"], 2)

    def test_recorded_edges_are_the_true_ones_within_a_sample(self):
        truth = self.make()
        lines = (self.folder / "a.csv").read_text().splitlines()
        self.assertEqual(lines[0], f"# {STATEMENT}")
        times = sorted({float(line.split(",")[0]) for line in lines[2:]})
        for channel in [truth["crank"], *truth["cams"]]:
            for _, time, _ in channel["edges"]:
                at = bisect.bisect_left(times, time - 1e-9)
                self.assertLessEqual(times[at] - time, 1e-6 + 1e-9)

    def test_what_is_wrong_is_said_with_its_place_and_nothing_is_written(self):
        for old, new, words in (("wheel: 36-2", "wheel: 36-", "spec.yaml:3:"),
                                ("jumps", "jump", "did you mean \"jumps\""),
                                ("57.3 deg crank", "57.3 deg", "crank"),
                                ("4 s, from: 800 1/min", "9000 s, from: 8000 1/min", "edges"),
                                ("4 s, from: 800 1/min", "1000000 s, from: 0 1/min", "seconds"),
                                ("way: early", "way: 1", "spec.yaml:11:")):
            (self.folder / "spec.yaml").write_text(SPEC.replace(old, new))
            result = self.expect(2, "recording", "--synthesise", "spec.yaml", "--to", "b.csv")
            self.assertIn(words, result.stderr)
            self.assertFalse((self.folder / "b.csv").exists())

    def test_never_overwrites_without_being_told_and_modes_exclude_each_other(self):
        (self.folder / "spec.yaml").write_text(SPEC)
        (self.folder / "a.csv").write_text("mine")
        self.expect(2, "recording", "--synthesise", "spec.yaml", "--to", "a.csv")
        self.assertEqual((self.folder / "a.csv").read_text(), "mine")
        for words in (["--synthesise", "spec.yaml"], ["--synthesise", "spec.yaml", "a.csv"], [],
                      ["--synthesise", "spec.yaml", "--to", "b.csv", "--live"], ["--live"],
                      ["a.csv", "--to", "b.csv"], ["--live", "a.csv"],
                      ["--synthesise", "spec.yaml", "--to", "b.csv", "--truth", "b.csv"]):
            self.expect(64, "recording", *words)

    def test_the_documented_example_of_every_key_is_made(self):
        page = (ROOT / "docs" / "formats" / "synthesis.md").read_text()
        self.expect(0, "formats", self.folder)
        self.assertEqual((self.folder / "synthesis.md").read_text(), page)
        truth = self.make(re.search(r"```yaml\n(.*?)```", page, re.DOTALL)[1])
        self.assertEqual(truth["verdict"]["meaning"], "several")


class Exercises(InFolder):
    WANTED = {"0-good-engine": "right", "exercise-1": "right", "exercise-2": "jump",
              "exercise-3": "elongation", "exercise-4": "jump and elongation",
              "exercise-5": "phaser", "exercise-6": "phaser", "exercise-7": "slipped",
              "exercise-8": "sensor"}

    def test_every_exercise_is_made_decoded_and_has_its_answer(self):
        files = {file.stem: file for file in TRAINING.glob("*.yaml")}
        self.assertEqual(set(files), set(self.WANTED))
        schema = jsonschema.Draft202012Validator(
            json.loads((ROOT / "docs" / "formats" / "synthesis.schema.json").read_text()))
        found, truths = {}, {}
        for name, file in files.items():
            self.expect(0, "recording", "--synthesise", file, "--to", f"{name}.csv", "--truth",
                        f"{name}.json")
            truths[name] = json.loads((self.folder / f"{name}.json").read_text())
            self.assertEqual(truths[name]["verdict"]["meaning"], self.WANTED[name])
            # Titles give nothing away, since the recording carries them.
            spec = yaml.safe_load(file.read_text())
            self.assertRegex(spec["title"], r"^(Exercise \d|The good engine)$")
            schema.validate(spec)
            found[name] = json.loads(
                self.expect(0, "recording", f"{name}.csv", "--json", "-").stdout)
            # A tooth missing in every turn is a gap of the wheel.
            self.assertEqual(found[name]["crank"]["wheel"]["name"],
                             "60-2-1" if name == "exercise-8" else "60-2", name)
            self.assertTrue(found[name]["cycle_resolved"], name)
        # Decoded edges move against the good engine as the truth says (mean over the recording).
        good = found["0-good-engine"]
        for name in ("exercise-1", "exercise-2", "exercise-3", "exercise-4", "exercise-7"):
            self.assertEqual(found[name]["crank"]["polarity"], good["crank"]["polarity"])
            for channel in (2, 3):
                moved = self.moved(found[name], good, channel)
                psi = self.mean_psi(truths[name], channel)
                self.assertAlmostEqual(moved, psi - self.mean_psi(truths["0-good-engine"], channel),
                                       delta=0.3, msg=f"{name} channel {channel}")

    @staticmethod
    def mean_psi(truth, channel):
        psi = truth["cams"][channel - 2]["psi_deg"]
        return sum(psi) / len(psi)

    @staticmethod
    def moved(found, good, channel):
        """Mean move of a channel's edges, advance positive; each keeps its place in the order."""
        a, b = angles_of(found, channel), angles_of(good, channel)
        best = None
        for shift in range(len(b)):
            turned = a[shift:] + a[:shift]
            if [p for p, _ in turned] != [p for p, _ in b]:
                continue
            moves = [-((x - y + 360) % 720 - 360) for (_, x), (_, y) in zip(turned, b)]
            if max(moves) - min(moves) < 1:
                best = sum(moves) / len(moves)
        return best


if __name__ == "__main__":
    unittest.main()
