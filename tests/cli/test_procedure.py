# SPDX-License-Identifier: Apache-2.0
"""tautmark procedure: of a drive, of a case; and what drive check says of one."""

import json
import unittest
import xml.etree.ElementTree

from program import ROOT, InFolder

DRIVES = ROOT / "drives"
QUELLMERE = DRIVES / "quellmere-i4-16.drive.yaml"


class OfADrive(InFolder):
    def test_prints_every_step_with_gates_and_torques_in_both_systems(self):
        text = self.expect(0, "procedure", "quellmere-i4-16", "--drives", DRIVES).stdout
        flat = " ".join(text.split())
        self.assertIn("INVENTED ENGINE", text)
        self.assertIn("The engine maker's procedure comes first", flat)
        self.assertIn("12 N·m (newton meters), 106 lbf·in (pound-force inches)", flat)
        self.assertIn("35 N·m (newton meters), 25.8 lbf·ft (pound-force feet) 2) a further 75 deg", flat)
        self.assertIn("GATE: the name of a second person who looked", flat)
        self.assertIn("TURNS THE ENGINE: only as the turning answer allows", flat)
        self.assertIn("47. Hand over", text)

    def test_the_printed_one_is_of_exactly_this_variant(self):
        text = self.expect(0, "procedure", "vessgarth-v6-12-tall", "--drives", DRIVES).stdout
        self.assertIn("tall block", text)

    def test_brief_names_the_steps_only(self):
        text = self.expect(0, "procedure", QUELLMERE, "--brief").stdout
        self.assertIn("Pull the pin  [gate: photo]", text)
        self.assertNotIn("CAUTION", text)

    def test_json_has_the_steps(self):
        out = json.loads(self.expect(0, "procedure", QUELLMERE, "--json", "-").stdout)
        self.assertEqual(out["schema"], "procedure/1")
        self.assertEqual(len(out["steps"]), 47)
        bolts = next(s for s in out["steps"] if s["name"] == "Tighten the phaser bolts")
        self.assertAlmostEqual(bolts["tightens"][0]["steps"][0]["torque"]["value"], 35)
        self.assertNotIn("status", bolts)

    def test_a_drive_without_one_says_so(self):
        result = self.expect(2, "procedure", "thin", "--drives", DRIVES)
        self.assertIn("has no procedure", result.stderr)

    def test_brief_and_json_do_not_share_the_output(self):
        self.expect(64, "procedure", QUELLMERE, "--brief", "--json", "-")


class SideBySide(InFolder):
    PAIR = ("procedure", "vessgarth-v6-12", "--beside", "vessgarth-v6-12-tall", "--drives", DRIVES)

    def test_says_what_bites_in_100_columns(self):
        text = self.expect(0, *self.PAIR).stdout
        self.assertLessEqual(max(map(len, text.splitlines())), 100)
        for words in ("INVENTED", "link counts", "bank 1 chain: links all round", "124", "126",
                      "not in the definition", "Take the oil deflector out"):
            self.assertIn(words, text)
        self.assertNotIn("phaser bolt: thread", text)
        self.assertIn("= phaser bolt: thread", self.expect(0, *self.PAIR, "--all").stdout)

    def test_json_has_a_cell_for_each_drive(self):
        out = json.loads(self.expect(0, *self.PAIR, "--json", "-").stdout)
        self.assertEqual(out["schema"], "procedure-beside/1")
        self.assertEqual([d["name"] for d in out["drives"]],
                         ["vessgarth-v6-12", "vessgarth-v6-12-tall"])
        links = next(r for r in out["rows"] if r["what"] == "bank 2 chain: links all round")
        self.assertEqual([c["text"] for c in links["cells"]], ["124", "126"])
        added = next(r for r in out["rows"] if r["what"] == "Fit the oil deflector")
        self.assertIsNone(added["cells"][0]["text"])

    def test_marks_what_is_taken_over_and_not_confirmed(self):
        (self.folder / "sister.drive.yaml").write_text(
            "tautmark: drive/1\nname: sister\nbased_on: vessgarth-v6-12\n")
        text = self.expect(0, "procedure", "vessgarth-v6-12", "--beside", "sister", "--drives",
                           self.folder, "--drives", DRIVES).stdout
        self.assertIn("[taken over, not confirmed]", " ".join(text.split()))

    def test_three_and_no_more_than_four(self):
        more = ["--beside", "quellmere-i4-16"]
        self.assertIn("quellmere-i4-16", self.expect(0, *self.PAIR, *more).stdout)
        self.expect(64, *self.PAIR, *more * 3)

    def test_is_of_drives_only(self):
        self.expect(64, *self.PAIR, "--brief")
        self.expect(64, "procedure", "vessgarth-v6-12", "--drives", DRIVES, "--all")
        self.expect(2, "procedure", "vessgarth-v6-12", "--beside", "none", "--drives", DRIVES)


class Printed(InFolder):
    def test_of_a_drive_has_boxes_for_every_gate(self):
        sheet = self.folder / "sheet.html"
        self.expect(0, "procedure", "vessgarth-v6-12-tall", "--drives", DRIVES, "--html", sheet)
        html = sheet.read_text()
        xml.etree.ElementTree.fromstring(html.replace("<!DOCTYPE html>", ""))
        steps = json.loads(self.expect(0, "procedure", "vessgarth-v6-12-tall", "--drives", DRIVES,
                                       "--json", "-").stdout)["steps"]
        self.assertEqual(html.count('class="gate-name"'), sum("gate" in s for s in steps))
        for words in ("photo number", "second person, who looked", "reading, with its unit",
                      "newton meters", "pound-force inches", "variant of", "second reader"):
            self.assertIn(words, html)

    def test_of_a_case_names_the_wrench_and_its_setting(self):
        case = self.folder / "case"
        self.expect(0, "case", "new", case, "--drive", "quellmere-i4-16", "--drives", DRIVES)
        with (case / "case.yaml").open("a") as file:
            file.write("instruments:\n  - {name: small click wrench, range: 5..25 N·m}\n")
        html = self.expect(0, "procedure", case, "--drives", DRIVES, "--html", "-").stdout
        self.assertIn("take small click wrench", html)
        self.assertIn("set to 12 N·m (8.85 lbf·ft, 106 lbf·in)", html)
        self.assertIn("DO NOT TURN", html)


class OfACase(InFolder):
    def setUp(self):
        super().setUp()
        self.case = self.folder / "case"
        self.expect(0, "case", "new", self.case, "--drive", "quellmere-i4-16", "--title", "Bay 3",
                    "--drives", DRIVES)

    def add(self, *words):
        self.expect(0, "case", "add", self.case, *words, "--by", "A.")

    def show(self, *words):
        return self.expect(0, "procedure", self.case, "--drives", DRIVES, *words).stdout

    def out(self):
        return json.loads(self.show("--json", "-"))

    def test_begins_with_the_first_step(self):
        out = self.out()
        self.assertEqual(out["next"], ["Identify the engine and read its codes"])
        self.assertIn("bank 1: chain as found", out["state"])
        self.assertEqual(out["turning"]["answer"], "DO NOT TURN")

    def test_says_where_it_stands_and_what_blocks_the_next(self):
        self.add("step", "step=Identify the engine and read its codes")
        self.add("step", "step=Pull the pin")
        self.add("step", "step=Pul the pin")
        text = " ".join(self.show("--brief").split())
        self.assertIn("last done: 1. Identify the engine and read its codes", text)
        self.assertIn("\"Pull the pin\" was entered while it was blocked", text)
        self.assertIn("did you mean \"Pull the pin\"?", text)
        self.assertIn("2. Measure the oil pressure", text)

    def test_a_gate_that_nothing_shows_stays_open(self):
        self.add("step", "step=Identify the engine and read its codes")
        self.add("step", "step=Measure the oil pressure", "late=yes")
        out = self.out()
        self.assertEqual(out["open"][0]["step"], "Measure the oil pressure")
        step = out["steps"][1]
        self.assertEqual((step["status"], step["late"]), ("done", True))
        self.assertIn("GATE OPEN", self.show())

    def test_the_turning_answer_blocks_a_turn_by_itself(self):
        step = next(s for s in self.out()["steps"] if s["name"] == "Turn to the reference")
        self.assertTrue(any("DO NOT TURN" in m["why"] and not m["may_override"]
                            for m in step["missing"]))

    def test_two_candidates_are_identified_first(self):
        both = self.folder / "both"
        self.expect(0, "case", "new", both, "--drive", "vessgarth-v6-12", "--drive",
                    "vessgarth-v6-12-tall", "--title", "Bay 3", "--drives", DRIVES)
        result = self.expect(2, "procedure", both, "--drives", DRIVES)
        self.assertIn("identify the engine first", result.stderr)
        self.expect(0, "case", "add", both, "identification", "variant=vessgarth-v6-12-tall")
        cards = self.expect(0, "tighten", both, "--drives", DRIVES).stdout
        self.assertEqual([line.split(",")[1] for line in cards.splitlines()
                          if line.startswith("Vessgarth")], [" tall block"])
        text = self.expect(0, "procedure", both, "--drives", DRIVES, "--brief").stdout
        self.assertIn("tall block", text)


class DriveCheck(InFolder):
    def check(self, old, new, status):
        text = QUELLMERE.read_text()
        self.assertIn(old, text)
        file = self.folder / "quellmere-i4-16.drive.yaml"
        file.write_text(text.replace(old, new, 1))
        return self.expect(status, "drive", "check", file).stderr

    def test_finds_nothing_in_the_demo_procedures(self):
        for name in ("quellmere-i4-16", "vessgarth-v6-12"):
            result = self.expect(0, "drive", "check", name, "--drives", DRIVES)
            self.assertNotIn("procedure", result.stderr)

    def test_names_step_line_and_column(self):
        text = self.check("gives: [tensioner released]", "gives: [tensioner relased]", 1)
        self.assertRegex(text, r"quellmere-i4-16\.drive\.yaml:\d+:\d+: error: \"tensioner relased\"")

    def test_catches_a_unit_mixed_up(self):
        text = self.check("steps: [{torque: 12 N·m}]", "steps: [{torque: 12 lbf·ft}]", 1)
        self.assertIn("its own figures say 12 N·m", text)


if __name__ == "__main__":
    unittest.main()
