# SPDX-License-Identifier: Apache-2.0
"""`tautmark tighten`: the fasteners of an engine as cards, and a recorded tightening."""
import json
import unittest
import xml.etree.ElementTree

import program
from program import run
from torque_traces import trace

DEMO = "vessgarth-v6-12"


class Tighten(unittest.TestCase):
    def test_every_unit_is_spelled_out(self):
        # trade.md 6.A: 12 N·m = 106 lbf·in; 35 N·m = 25.8 lbf·ft.
        done = run("tighten", DEMO)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("12 N·m (8.85 lbf·ft, 106 lbf·in)", done.stdout)
        self.assertIn("35 N·m (25.8 lbf·ft", done.stdout)
        self.assertIn("INVENTED ENGINE", done.stdout)
        self.assertIn("Nothing here approves", done.stdout)

    def test_the_wrench_that_does_not_fit_is_refused(self):
        done = run("tighten", DEMO, "camshaft cap bolts", "--wrench", "large: 40..200 N·m")
        self.assertIn("no wrench of the list fits", done.stdout)
        self.assertIn("not large: too large", done.stdout)
        done = run("tighten", DEMO, "camshaft cap bolts", "--wrench", "large: 40..200 N·m",
                   "--wrench", "small: 5..25 N·m")
        self.assertIn("take small", done.stdout)

    def test_json(self):
        done = run("tighten", DEMO, "--json", "-")
        answer = json.loads(done.stdout)
        self.assertEqual(answer["schema"], "tightening/1")
        bolts = {card["fastener"]: card for card in answer["drives"][0]["fasteners"]}
        self.assertTrue(bolts["phaser bolt"]["take_new"])
        self.assertEqual(bolts["phaser bolt"]["steps"][0]["torque_Nm"], 35)
        self.assertAlmostEqual(bolts["phaser bolt"]["steps"][1]["angle_deg"], 75)

    def test_names_are_suggested_and_ranges_refused(self):
        done = run("tighten", DEMO, "phaser bolts")
        self.assertEqual(done.returncode, 64)
        self.assertIn("phaser bolt", done.stderr)
        done = run("tighten", DEMO, "--wrench", "large")
        self.assertEqual(done.returncode, 64)
        self.assertIn("5..25 N·m", done.stderr)

BOLTS = """fasteners:
  - name: phaser bolt
    thread: M12x1.25
    class: "10.9"
    count: 4
    condition: threads oiled
    single_use: true
    steps: [{torque: 35 N·m}, {angle: 75 deg}]
  - name: cap bolts
    thread: M6
    single_use: false
    steps: [{torque: 106 lbf·ft}]
"""


class Traces(program.InFolder):
    """A recorded tightening by itself, and within a case."""

    def setUp(self):
        super().setUp()
        self.case = self.small_case()
        for file in (self.folder / "small.drive.yaml", self.case / "small.drive.yaml"):
            file.write_text(program.DRIVE + BOLTS)
        self.drive = self.folder / "small.drive.yaml"

    def trace(self, name="1.csv", **how):
        (self.case / name).write_text(trace(**how))
        return self.case / name

    def tighten(self, status, name, *more):
        return self.expect(status, "tighten", self.drive, name, *more).stdout

    def test_a_good_trace_approves_nothing(self):
        text = self.tighten(3, "phaser bolt", "--trace", self.trace())
        self.assertIn("it yields at", text)
        self.assertIn("friction 0.08 to 0.16 assumed", text)
        self.assertIn("A trace approves no joint", text)
        answer = json.loads(self.tighten(3, "phaser bolt", "--trace", self.trace(), "--json", "-"))
        self.assertEqual(answer["schema"], "tightening-trace/1")
        self.assertEqual(answer["answer"], "not decided")
        self.assertEqual(answer["signs"], [])
        # What was put in: 1.9 N·m per 1000 N, 1000 N per degree.
        self.assertAlmostEqual(answer["values"]["gradient_Nm_per_deg"], 1.9, delta=0.03)
        self.assertAlmostEqual(answer["values"]["yield"]["torque_Nm"], 1.9e-3 * 75000, delta=4)
        self.assertAlmostEqual(answer["values"]["origin_deg"], 150, delta=1.5)

    def test_one_turned_too_far_must_come_out(self):
        text = self.tighten(1, "phaser bolt", "--trace", self.trace(angle=130))
        self.assertIn("turned too far", text)
        self.assertIn("take the bolt out", text)
        self.assertIn("new bolt", text)

    def test_what_the_definition_lacks_is_asked(self):
        text = self.tighten(3, "cap bolts", "--trace", self.trace())
        self.assertIn("ASKED: strength class", text)
        self.assertIn("ASKED: condition", text)
        self.assertIn("ASKED: thread pitch (M6: M6x1", text)
        text = self.tighten(3, "cap bolts", "--trace", self.trace(), "--thread", "M6x1",
                            "--class", "8.8", "--condition", "oiled", "--step", "1")
        self.assertNotIn("ASKED", text)
        self.assertIn("yields unmeant", text)

    def test_the_drawing(self):
        for paper in ("screen", "dark", "print"):
            drawing = self.folder / f"{paper}.svg"
            self.tighten(3, "phaser bolt", "--trace", self.trace(), "--plot", drawing, "--paper",
                         paper)
            words = " ".join(xml.etree.ElementTree.parse(drawing).getroot().itertext())
            self.assertIn("yields", words)
            self.assertIn("torque, N·m", words)

    def test_mistakes_are_named(self):
        file = self.trace()
        self.assertIn("wants the FASTENER",
                      self.expect(64, "tighten", self.drive, "--trace", file).stderr)
        self.assertIn("did you mean \"phaser bolt\"?",
                      self.expect(64, "tighten", self.drive, "phaser bolts", "--trace",
                                  file).stderr)
        file.write_text("Angle [deg];Torque [N·m]\n1;x\n")
        self.assertIn("1.csv:2", self.expect(2, "tighten", self.drive, "phaser bolt", "--trace",
                                             file).stderr)

    def add(self, *fields):
        return self.expect(0, "case", "add", self.case, *fields)

    def test_in_a_case_it_is_summed_and_judged_beside_its_brothers(self):
        for bolt in range(1, 5):
            self.trace(f"{bolt}.csv", slope=650 if bolt == 4 else 990 + 10 * bolt)
            self.add("torque trace", "fastener=phaser bolt", f"bolt={bolt}", f"file={bolt}.csv")
        text = (self.case / "case.yaml").read_text()
        self.assertEqual(text.count("sha256:"), 4)
        judged = json.loads(self.expect(3, "judge", self.case, "--json", "-").stdout)
        found = {one["subject"]: one for one in judged["findings"]
                 if one["check"] == "torque-trace"}
        self.assertEqual({one["verdict"] for one in found.values()}, {"open"})
        self.assertIn("softer than its brothers", found["phaser bolt, no. 4"]["why"])
        self.assertNotIn("brothers", found["phaser bolt, no. 2"]["why"])
        seen = self.expect(3, "tighten", self.case, "phaser bolt", "--trace", self.case / "4.csv")
        self.assertIn("CHECK: it gains", seen.stdout)
        (self.case / "4.csv").write_text(trace())
        text = self.expect(1, "case", "verify", self.case)
        self.assertIn("4.csv\" was changed", text.stdout + text.stderr)

    def test_question_14_a_figure_in_the_wrong_unit(self):
        # 106 lbf·in = 12 N·m; as lbf·ft it is 144 N·m, which no M6 bears.
        for source in (self.drive, self.case):
            text = self.expect(0, "tighten", source, "cap bolts").stdout
            self.assertIn("CHECK: check the sheet: 106 lbf·ft is more than the bolt bears", text)
            self.assertIn("lbf·in", text)
        checked = run("drive", "check", self.drive)
        self.assertIn("106 lbf·ft", checked.stdout + checked.stderr)

    def test_question_15_a_stretch_bolt_is_not_used_again(self):
        self.add("part", "part=phaser bolt", "action=reused", "reason=looks perfect")
        judged = json.loads(self.expect(1, "judge", self.case, "--json", "-").stdout)
        found = [one for one in judged["findings"] if one["check"] == "fastener-reuse"]
        self.assertEqual([one["verdict"] for one in found], ["fail"])
        self.assertIn("used once", found[0]["why"])
        self.add("part", "part=phaser bolt", "action=in the box", "beside_old=marks; teeth")
        self.assertIn("beside_old", (self.case / "case.yaml").read_text())


if __name__ == "__main__":
    unittest.main()
