# SPDX-License-Identifier: Apache-2.0
"""The rules of tightening, tried where a person types: drive file, case, quick question, --wrench."""
import json
import unittest

import program
from program import DRIVE, run

# What is typed, and newton meters. Factors: 1 lbf = 4.4482216152605 N, 1 ft = 0.3048 m, 1 in =
# 0.0254 m, 1 kgf = 9.80665 N (NIST SP 811, appendix B).
SPELLED = {"Nm": 1, "N·m": 1, "lb-ft": 1.3558179, "ft-lbs": 1.3558179, "lbf·ft": 1.3558179, "in-lbs": 0.11298483,
           "lbf·in": 0.11298483, "kgf·m": 9.80665, "kgf-m": 9.80665, "kgf·cm": 0.0980665}
# What is no torque, and what the program says to it.
ASKED_BACK = {"lb": "a factor of 12", "lbs": "a factor of 12", "kg": "is a mass", "": "no unit"}


def fastener(fields):
    return DRIVE + "fasteners:\n  - {name: bolt, " + fields + "}\n"


class Spellings(program.InFolder):
    def card(self, fields, *words):
        (self.folder / "small.drive.yaml").write_text(fastener(fields))
        done = self.expect(0, "tighten", self.folder / "small.drive.yaml", "bolt", "--json", "-", *words)
        return json.loads(done.stdout)["drives"][0]["fasteners"][0]

    def test_in_a_drive_file(self):
        for unit, factor in SPELLED.items():
            with self.subTest(unit=unit):
                step = self.card(f"steps: [{{torque: 20 {unit}}}]")["steps"][0]
                self.assertAlmostEqual(step["torque_Nm"], 20 * factor, delta=1e-4 * factor)
                self.assertTrue(step["target"].startswith(f"20 {unit}"), step["target"])

    def test_what_is_no_torque_is_asked_back_in_a_drive_file(self):
        for unit, says in {**ASKED_BACK, "bar": "pressure", "kgf/cm²": "pressure"}.items():
            with self.subTest(unit=unit):
                (self.folder / "small.drive.yaml").write_text(fastener(f"steps: [{{torque: 20 {unit}}}]"))
                done = self.expect(2, "tighten", self.folder / "small.drive.yaml")
                self.assertIn(says, done.stderr)
                self.assertIn("small.drive.yaml:", done.stderr)

    def test_of_a_wrench_typed_beside_the_command(self):
        for unit, factor in SPELLED.items():
            with self.subTest(unit=unit):
                low, high = (f"{12 / factor * part:.4f}" for part in (0.5, 2))
                card = self.card("thread: M8, steps: [{torque: 12 N·m}]", "--wrench", f"mine: {low}..{high} {unit}")
                self.assertIn("take mine", card["steps"][0]["wrench"])
        for unit in ASKED_BACK:
            with self.subTest(unit=unit):
                done = run("tighten", self.folder / "small.drive.yaml", "--wrench", f"mine: 5..25 {unit}")
                self.assertEqual(done.returncode, 64, done.stdout)

    def test_of_an_instrument_of_a_case(self):
        case = self.small_case()
        (case / "small.drive.yaml").write_text(fastener("thread: M8, steps: [{torque: 12 N·m}]"))
        text = (case / "case.yaml").read_text()
        for unit, factor in SPELLED.items():
            low, high = (f"{12 / factor * part:.4f}" for part in (0.5, 2))
            with self.subTest(unit=unit):
                (case / "case.yaml").write_text(
                    text + f"instruments: [{{name: mine, range: '{low}..{high} {unit}'}}]\n")
                self.assertIn("take mine", self.expect(0, "tighten", case).stdout)
        (case / "case.yaml").write_text(text + "instruments: [{name: mine, range: 5..25 lb}]\n")
        self.assertIn("a factor of 12", self.expect(2, "tighten", case).stderr)

    def test_in_a_quick_question(self):
        for unit in SPELLED:
            with self.subTest(unit=unit):
                done = run("quick", "convert", f"value=20 {unit}")
                self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        self.assertIn("kilopascal", run("quick", "convert", "value=20 bar").stdout)
        self.assertIn("kilopascal", run("quick", "convert", "value=20 kgf/cm²").stdout)
        self.assertIn("a factor of 12", "".join(
            (done := run("quick", "convert", "value=20 lb")).stdout + done.stderr))


class Rules(program.InFolder):
    def card(self, fields):
        (self.folder / "small.drive.yaml").write_text(fastener(fields))
        done = self.expect(0, "tighten", self.folder / "small.drive.yaml", "bolt", "--json", "-")
        return json.loads(done.stdout)["drives"][0]["fasteners"][0]

    def test_no_torque_is_offered_that_nobody_entered(self):
        for fields in ("thread: M8x1.25, class: '10.9', condition: threads oiled", "thread: M12"):
            card = self.card(fields)
            self.assertEqual(card["steps"], [])
            self.assertNotRegex(json.dumps(card), r"\d+(\.\d+)? (N·m|lbf)")
        # One that cannot be meant: its own figure, no other.
        card = self.card("thread: M6, class: '8.8', steps: [{torque: 106 lbf·ft}]")
        self.assertIn("check the sheet", " ".join(card["asks"]))
        self.assertNotRegex(" ".join(card["asks"]), r"\d (N·m|lbf·in)")

    def test_single_use_unknown_is_single_use(self):
        self.assertTrue(self.card("steps: [{torque: 12 N·m}]")["take_new"])
        self.assertFalse(self.card("single_use: false, steps: [{torque: 12 N·m}]")["take_new"])

    def test_lubrication_unknown_is_asked(self):
        self.assertIn("oiled or dry", " ".join(self.card("thread: M8, steps: [{torque: 12 N·m}]")["asks"]))
        known = self.card("thread: M8, condition: threads oiled, steps: [{torque: 12 N·m}]")
        self.assertNotIn("oiled or dry", " ".join(known["asks"]))

    def test_no_clamp_load_without_the_thread_its_condition_and_class(self):
        whole = {"thread": "M8x1.25", "class": "'8.8'", "condition": "threads oiled"}
        self.assertIn(" kN", self.card(self.fields(whole))["clamp_load"])
        for missing in whole:
            some = {key: value for key, value in whole.items() if key != missing}
            with self.subTest(missing=missing):
                self.assertNotIn(" kN", self.card(self.fields(some))["clamp_load"])
        self.assertNotIn(" kN", self.card(self.fields({**whole, "thread": "M8"}))["clamp_load"])

    @staticmethod
    def fields(some):
        return "".join(f"{key}: {value}, " for key, value in some.items()) + "steps: [{torque: 20 N·m}]"

    def test_a_clamp_load_approves_nothing(self):
        words = json.dumps(self.card(self.fields(
            {"thread": "M8x1.25", "class": "'8.8'", "condition": "threads oiled"})), ensure_ascii=False)
        for approving in ("pass", "approved", "good", "safe"):
            self.assertNotIn(f" {approving}", words)
        near = self.card("thread: M8x1.25, class: '8.8', condition: threads oiled, steps: [{torque: 27 N·m}]")
        self.assertIn("CAUTION", near["clamp_load"])

    def test_an_angle_over_an_adapter_is_not_corrected(self):
        card = self.card("thread: M8, steps: [{torque: 20 N·m}, {angle: 90 deg}]")
        self.assertIn("no angle over an adapter", " ".join(card["cautions"]))

    def test_a_small_step_is_refused_on_a_large_wrench(self):
        (self.folder / "small.drive.yaml").write_text(fastener("thread: M6, steps: [{torque: 12 N·m}]"))
        done = self.expect(0, "tighten", self.folder / "small.drive.yaml", "--wrench", "large: 40..200 N·m")
        self.assertIn("not large: too large", done.stdout)


if __name__ == "__main__":
    unittest.main()
