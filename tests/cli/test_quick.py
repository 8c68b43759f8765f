# SPDX-License-Identifier: Apache-2.0
"""tautmark quick: every question once, asking back, and keeping an answer."""

import json
import shlex
import unittest

from program import InFolder, run

# Question, inputs in any of the ways of giving them, exit status, words of the answer.
ANSWERED = [
    ("clearance",
     ["bore=28.072 28.071 28.073 mm", "journal=27.962 27.962 27.962 mm",
      "limit=at most 0.110 mm", "instrument=bore gauge", "journal_instrument=micrometer 0.001"],
     3, "too close"),
    ("clearance", ["clearance=0.142 ± 0.005 mm", "--limit", "at most 0.110 mm"], 1, "0.110 mm"),
    ("clearance",
     ["clearance=0.060 ± 0.005 mm", "limit=at most 0.110 mm", "origin=maker",
      "source=service manual, p. 4"], 0, "0.060"),
    ("convert", ["106", "lbf·in"], 0, "12.0 N"),
    ("adapter", ["28 N·m", "350 mm", "40 mm", "straight"], 0, "25.1"),
    ("chain", ["320.90 mm", "40", "8.00 mm"], 0, "0.28"),
    ("teeth", ["--angle=21.4 deg crank late", "--teeth", "38"], 0, "1 tooth"),
    ("links", ["61 60 17", "pitches", "138"], 3, "138"),
    ("returns", ["124", "21", "42"], 0, "124"),
    ("dead-center", ["before=24.5 deg crank", "after=22.1 deg crank"], 0, "1.2"),
    ("marks", ["half a tooth left", "casting"], 0, "not fine"),
    ("life", ["60000 km 0.10 %; 120000 km 0.20 %", "± 0.02 %", "0.35 %"], 0, "210000 km"),
    ("phase", ["cam=bank 1 intake", "phaser=base", "off=21.4 deg crank late", "cam_teeth=38",
               "other=1.8 deg crank late", "other_on=same chain"], 0, "not a second tooth"),
    ("phase", ["--gap", "0.0 ms", "--edge", "13.3 ms", "--next-gap", "92.3 ms", "--next", "turn",
               "--cam", "bank 2", "--phaser", "unknown", "--polarity", "rising"], 0, "51.9°"),
    ("turn", ["apart=partly", "--chain", "on", "marks=wrong", "teeth=2", "camshaft=intake"], 0,
     "DO NOT TURN"),
    ("torque", ["106 lbf·in", "M6"], 0, "106 lbf·in"),
    ("torque", ["106 lbf·ft", "M6", "wrench=40..200 N·m"], 0, "more than the bolt bears"),
    ("bolt", ["single_use=unknown", "angle=yes"], 0, "No, take a new bolt"),
    ("pin", ["no", "yes", "yes", "yes", "unknown", "yes"], 0, "Not yet"),
    ("tensioner", ["hand=1", "engine=2", "known_by=it bolts on"], 0, "No: "),
    ("centerline", ["70.6/174.4, 70.4/174.5, 70.7/174.4 deg crank", "side=after"], 0, "122.5"),
]


class Quick(InFolder):
    def test_alone_lists_every_question_with_an_example(self):
        listed = self.expect(0, "quick").stdout
        for name in {question for question, *_ in ANSWERED}:
            self.assertIn(f"tautmark quick {name}", listed)

    def test_every_question_answers(self):
        for question, inputs, status, words in ANSWERED:
            with self.subTest(question=question):
                result = self.expect(status, "quick", question, *inputs)
                self.assertIn(words, result.stdout)
                self.assertEqual(result.stderr, "")

    def test_help_of_every_question_names_its_inputs(self):
        for question in {question for question, *_ in ANSWERED}:
            shown = self.expect(0, "quick", question, "--help").stdout
            self.assertIn("example:", shown)
            self.assertIn("inputs", shown)
        self.assertIn("--into", self.expect(0, "quick", "--help").stdout)

    def test_the_printed_examples_are_answered_as_they_stand(self):
        listed = self.expect(0, "quick").stdout.splitlines()
        examples = [line for line in listed if line.strip().startswith("tautmark quick ") and "=" in line]
        self.assertEqual(len(examples), len({question for question, *_ in ANSWERED}))
        for example in examples:
            with self.subTest(example=example):
                words = shlex.split(example)[1:]
                result = run(*words)
                self.assertIn(result.returncode, (0, 1, 3), result.stderr)
                self.assertEqual(result.stderr, "")
                self.assertIn(example.strip(), run("quick", words[1], "--help").stdout)

    def test_a_missing_unit_is_asked_back(self):
        for asked in (["convert", "106"], ["torque", "106", "M6"], ["torque", "106 lb", "M6"]):
            result = self.expect(2, "quick", *asked)
            self.assertEqual(result.stdout, "")
            self.assertIn("106 of what?" if "lb" not in asked[1] else "lbf", result.stderr)

    def test_degrees_without_crank_or_cam_are_asked_back(self):
        result = self.expect(2, "quick", "teeth", "angle=21.4 deg late", "teeth=38")
        self.assertIn("crank degrees or cam degrees", result.stderr)
        self.assertIn("crank, cam", result.stderr)

    def test_a_missing_input_is_asked_back_with_an_example(self):
        result = self.expect(2, "quick", "returns", "124", "21")
        self.assertIn("cam sprocket", result.stderr)
        self.assertIn("for example: 42", result.stderr)

    def test_piped_answers_are_asked_for_one_by_one(self):
        result = self.expect(0, "quick", "returns", answers="124\n21\n42\n")
        self.assertIn("124", result.stdout)
        self.assertIn("How many links has the chain?", result.stderr)

    def test_an_answer_that_can_mean_two_things_is_asked_again(self):
        result = self.expect(0, "quick", "convert", answers="106\n106 lbf·in\n")
        self.assertIn("106 of what?", result.stderr)
        self.assertIn("12.0 N", result.stdout)

    def test_an_input_that_changes_the_answer_is_offered(self):
        given = "320.90 ± 0.05 mm\n40\n8.00 mm\nat most 0.20 %\n"
        self.expect(1, "quick", "chain", answers=given)
        self.expect(0, "quick", "chain", answers="320.90 ± 0.05 mm\n40\n8.00 mm\n\n")

    def test_end_of_input_before_the_answer(self):
        self.assertIn("cam", self.expect(2, "quick", "returns", answers="124\n21\n").stderr)

    def test_wrong_usage(self):
        self.assertIn('"chain"', self.expect(64, "quick", "chian").stderr)
        self.assertIn("links", self.expect(64, "quick", "returns", "link=124").stderr)
        self.expect(64, "quick", "returns", "1", "2", "3", "4")
        self.expect(64, "quick", "returns", "links=1", "links=2")
        self.expect(64, "quick", "returns", "--links")

    def test_json(self):
        result = self.expect(1, "quick", "clearance", "clearance=0.142 ± 0.005 mm",
                             "limit=at most 0.110 mm", "--json", "-")
        answer = json.loads(result.stdout)
        self.assertEqual(answer["schema"], "quick/1")
        self.assertEqual(answer["verdict"], "fail")
        self.assertEqual(answer["asked"]["limit"], "at most 0.110 mm")
        self.assertAlmostEqual(answer["finding"]["limit"]["upper"], 1.1e-4)
        for key in ("question", "lines", "steps", "assumed", "cautions"):
            self.assertIn(key, answer)

    def test_no_answer_but_the_card_of_turn_says_that_an_engine_may_be_turned(self):
        for question, inputs, status, _ in ANSWERED:
            text = self.expect(status, "quick", question, *inputs).stdout
            self.assertNotIn("safe to turn", text)
            self.assertNotIn("TURN ONLY", text)

    def test_an_answer_is_kept_in_a_case(self):
        case = self.small_case()
        result = self.expect(0, "quick", "convert", "106 lbf·in", "--into", case, "--by", "desk",
                             "--at", "2026-03-02T10:15")
        self.assertIn("e1", result.stderr)
        shown = self.expect(0, "case", "show", case).stdout
        self.assertIn("2026-03-02T10:15 desk, quick", shown)
        self.assertIn("106", shown)

    def test_teeth_off_are_the_reason_in_the_case(self):
        case = self.small_case()
        self.expect(0, "quick", "teeth", "angle=38 deg crank late", "teeth=38", "--into", case)
        judged = json.loads(self.run_judge(case))["turning"]
        self.assertEqual(judged["answer"], "DO NOT TURN")
        self.assertIn("a camshaft is off: 2 teeth late", judged["because"])

    def run_judge(self, case):
        return run("judge", case, "--json", "-").stdout

    def test_a_case_that_cannot_take_it_stays_as_it_is(self):
        case = self.small_case()
        before = (case / "case.yaml").read_bytes()
        result = self.expect(2, "quick", "convert", "106 lbf·in", "--into", case,
                             "--at", "2026-02-31")
        self.assertIn("12.0 N", result.stdout)
        self.assertEqual((case / "case.yaml").read_bytes(), before)
        self.expect(2, "quick", "convert", "106 lbf·in", "--into", self.folder / "none")


if __name__ == "__main__":
    unittest.main()
