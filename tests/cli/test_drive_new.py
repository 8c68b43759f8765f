# SPDX-License-Identifier: Apache-2.0
"""tautmark drive new, show, compare and list."""

import json
import unittest

from program import DRIVE, InFolder

# As far as the numbers of a short manual go; the rest follows with --rest-unknown or a line ".".
IDENTITY = ["Small engine", "yes", "1.6 L", "4", "", "", "", ""]
SOURCE = ["maker", "service manual", "", "p. 41", "point"]
CYLINDERS = ["4", "in line", "1-3-4-2", "mm", "80", "90"]
CRANKSHAFT = ["front", "clockwise", "dot"]
CHAINS = ["timing chain", "", "bush", "", "8", "124", "", "21", "guide; arm", "yes", "15", "", "",
          ""]
BANKS = ["1", "aluminium", "intake; exhaust", "42", "5", "steel", "yes", "full retard", "50 deg crank",
         "42", "5", "steel", "no"]
MARKS = ["pitches", "crank; exhaust; intake", "60", "17", "47"]
LIMITS = ["mm", "27.960..27.980", "at least 27.950", "mean", ""]
UP_TO_LIMITS = IDENTITY + SOURCE + CYLINDERS + CRANKSHAFT + CHAINS + BANKS + MARKS + LIMITS


def lines(answers):
    return "".join(answer + "\n" for answer in answers)


class DriveNew(InFolder):
    def made(self, answers, *options, status=0):
        file = self.folder / "small.drive.yaml"
        result = self.expect(status, "drive", "new", file, *options, answers=lines(answers))
        return file, result

    def test_answers_make_a_definition_that_checks(self):
        file, result = self.made(UP_TO_LIMITS + ["."])
        self.assertIn("can answer", result.stdout)
        text = file.read_text()
        self.assertTrue(text.startswith("tautmark: drive/1\nname: small\n"))
        self.assertIn("new: 27.960..27.980 mm", text)
        self.assertIn("stroke: 15 mm", text)
        self.expect(0, "drive", "check", file)

    def test_each_section_says_what_can_be_answered(self):
        _, result = self.made(UP_TO_LIMITS + ["."])
        self.assertIn("can now answer", result.stderr)

    def test_end_of_input_writes_nothing_unless_the_rest_is_unknown(self):
        file, result = self.made(UP_TO_LIMITS, status=2)
        self.assertFalse(file.exists())
        self.assertIn("nothing was written", result.stderr)
        file, _ = self.made(UP_TO_LIMITS, "--rest-unknown")
        self.assertTrue(file.exists())

    def test_nothing_known_is_a_definition_too(self):
        file, _ = self.made([], "--rest-unknown")
        self.assertEqual(file.read_text(), "tautmark: drive/1\nname: small\n")

    def test_an_existing_file_is_never_touched(self):
        file = self.folder / "small.drive.yaml"
        file.write_text("mine")
        self.made(["."], status=2)
        self.assertEqual(file.read_text(), "mine")

    def test_a_refused_answer_is_asked_again_with_the_reason(self):
        file, result = self.made(IDENTITY + SOURCE + ["four", "4", "."])
        self.assertIn("four", result.stderr)
        self.assertIn("count: 4", file.read_text())

    def test_a_contradiction_is_refused_when_it_is_said(self):
        answers = IDENTITY + SOURCE + CYLINDERS + CRANKSHAFT + CHAINS + BANKS[:3] + ["40", "42", "."]
        file, result = self.made(answers)
        self.assertIn("half crank speed", result.stderr)
        self.assertIn("sprocket_teeth: 42", file.read_text())

    def test_back_and_explain(self):
        file, result = self.made(["Wrong", "<", "?", "Right", "."])
        self.assertIn("title: Right", file.read_text())
        self.assertNotIn("Wrong", file.read_text())
        self.assertIn("For example:", result.stderr)

    def test_the_name_is_asked_where_no_file_says_it(self):
        result = self.expect(0, "drive", "new", answers="bad name\nasked-1\n.\n")
        self.assertIn("no short name", result.stderr)
        self.assertTrue((self.folder / "asked-1.drive.yaml").exists())

    def test_a_file_of_another_ending_is_wrong_usage(self):
        self.expect(64, "drive", "new", self.folder / "small.yaml", answers=".\n")


class DriveShow(InFolder):
    def setUp(self):
        super().setUp()
        (self.folder / "small.drive.yaml").write_text(
            DRIVE + "fasteners: [{name: phaser bolt, single_use: true, steps: [30 lbf·ft]}]\n")
        (self.folder / "other.drive.yaml").write_text(
            "tautmark: drive/1\nname: other\nbased_on: small\nchains:\n"
            "  - {name: timing chain, links: 126}\n")

    def test_show_has_limits_and_what_follows_from_counting(self):
        shown = self.expect(0, "drive", "show", self.folder / "small.drive.yaml").stdout
        for words in ("at least 27.950 mm", "17.143°", "8.571°", "124 crank turns", "40.6 N·m",
                      "SINGLE USE", "NOT CHECKED"):
            self.assertIn(words, shown)

    def test_show_marks_what_a_variant_did_not_confirm(self):
        shown = self.expect(0, "drive", "show", "other", "--drives", self.folder).stdout
        self.assertIn("8.00 mm *", shown)
        self.assertNotIn("126 *", shown)
        self.assertIn("torques", shown.split("* taken over")[1])

    def test_show_json_is_the_definition(self):
        shown = self.expect(0, "drive", "show", self.folder / "small.drive.yaml", "--json", "-").stdout
        self.assertEqual(json.loads(shown)["chains"][0]["pitch"], "8.00 mm")

    def test_compare(self):
        text = self.expect(0, "drive", "compare", "small", "other", "--drives", self.folder).stdout
        self.assertRegex(text, r"chains / timing chain / links +124 +126")
        self.assertIn("are the same", text)
        text = self.expect(0, "drive", "compare", "small", "small", "--drives", self.folder).stdout
        self.assertIn("0 fields differ", text)

    def test_list(self):
        text = self.expect(0, "drive", "list", "--drives", self.folder).stdout
        self.assertIn("other", text)
        self.assertIn("based on small", text)

    def test_a_drive_that_is_not_there(self):
        for words in (["show", "none"], ["compare", "small", "none"]):
            self.expect(2, "drive", *words, "--drives", self.folder)


if __name__ == "__main__":
    unittest.main()
