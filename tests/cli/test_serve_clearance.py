# SPDX-License-Identifier: Apache-2.0
"""Gaps, way, positive stop and dial indicator through the API; every answer against openapi.json."""

import unittest
import xml.etree.ElementTree

import working

CASE = "/api/cases/bay"
QUELLMERE = "quellmere-i4-16"
# trade.md 6.B: least gap of the intake, phaser locked and at full advance, by teeth early.
INTAKE = {3: (0.19, -3.95), 1: (4.20, -0.64), 0: (5.02, 1.60), -3: (5.04, 5.04)}
# trade.md 6.B, turning forward: 6.00 mm of lift, opening and closing.
PAIRS = [{"lift": "6.00 mm", "opens": f"{a} deg crank", "closes": f"{b} deg crank"}
         for a, b in ((70.6, 174.4), (70.4, 174.5), (70.7, 174.4))]


class Clearance(working.Working):
    def setUp(self):
        super().setUp()
        self.serve(self.folder / "shop.store")
        self.addCleanup(self.client.close)

    def new(self, drive=None):
        self.ask(201, "POST", "/api/cases", {"name": "bay", **({"drive": drive} if drive else {})})

    def get(self, path):
        return self.ask(200, "GET", path).json()

    def test_the_gaps_of_a_drive_are_those_of_the_trade_and_allow_nothing(self):
        told = self.get(f"/api/drives/{QUELLMERE}/clearance")
        (drive,) = told["drives"]
        self.assertEqual((told["schema"], drive["turn"], told["after_record"]), ("clearance/1", "DO NOT TURN", None))
        self.assertNotIn("way", told)
        rows = {row["teeth_early"]: row["cells"] for row in drive["valves"][0]["rows"]}
        for teeth, gaps in INTAKE.items():
            for cell, gap in zip(rows[teeth], gaps, strict=True):
                self.assertAlmostEqual(cell["gap_mm"], gap, delta=0.0101)
        self.assertEqual((rows[1][1]["answer"], rows[1][1]["words"]), ("contact", "contact by 0.64 mm"))

    def test_a_case_without_figures_has_the_procedure_and_no_number(self):
        self.new("vessgarth-v6-12")
        told = self.get(f"{CASE}/clearance")
        cells = [cell for drive in told["drives"] for valves in drive["valves"] for row in valves["rows"] for cell in row["cells"]]
        self.assertEqual({cell["gap_mm"] for cell in cells} - {None}, set())
        self.assertIn("every follower out", " ".join(told["drives"][0]["without_figures"]))
        self.assertFalse((told["way"] or {"may_turn": False})["may_turn"])

    def test_a_case_without_a_drive_has_the_procedure_too(self):
        self.new()
        told = self.get(f"{CASE}/clearance")
        self.assertEqual(told["drives"], [])
        self.assertIn("every follower out", " ".join(told["without_figures"]))
        self.assertFalse((told["way"] or {"may_turn": False})["may_turn"])

    def test_an_answer_says_after_which_record(self):
        self.new(QUELLMERE)
        before = self.get(f"{CASE}/clearance")["after_record"]
        self.add("cover is off")
        self.assertEqual(self.get(f"{CASE}/clearance")["after_record"], before + 1)

    # geometry.md 5.2 and trade.md 7, question 16: 24.5 before, 22.1 after.
    def test_the_stop_is_read_before_it_is_entered_and_nothing_is_stored(self):
        self.new(QUELLMERE)
        told = self.ask(200, "POST", f"{CASE}/clearance/stop",
                        {"before": "24.5 deg crank", "after": "22.1 deg crank", "reading": "0.5 deg crank"}).json()
        found = told["found"]
        self.assertIsNone(told["why_not"])
        self.assertAlmostEqual(found["wheel_reads_deg"], -1.2, delta=0.02)
        self.assertAlmostEqual(found["half_angle_deg"], 23.3, delta=0.02)
        self.assertGreater(found["U_deg"], 0)
        self.assertIn("starter", " ".join(found["cautions"]))
        self.assertEqual(self.get(CASE)["case"].get("entries", []), [])

    def test_what_is_no_pair_of_stops_is_not_answered(self):
        self.new(QUELLMERE)
        for before, after in (("1 deg crank", "1.5 deg crank"), ("24.5 24.4 deg crank", "22.1 deg crank")):
            told = self.ask(200, "POST", f"{CASE}/clearance/stop", {"before": before, "after": after}).json()
            self.assertIsNone(told["found"])
            self.assertRegex(told["why_not"], r"\w+ \w+")
        self.ask(422, "POST", f"{CASE}/clearance/stop", {"before": "24.5 deg crank"})
        self.ask(404, "POST", "/api/cases/none/clearance/stop", {"before": "24.5 deg crank", "after": "22.1 deg crank"})

    def test_pairs_of_equal_lift_give_the_center_line(self):
        self.new(QUELLMERE)
        place = "bank 1 / intake camshaft"
        told = self.ask(200, "POST", f"{CASE}/clearance/indicator", {"place": place, "pairs": PAIRS}).json()
        found = told["found"]
        self.assertAlmostEqual(found["center_deg"], 122.5, delta=0.02)
        self.assertAlmostEqual(found["nominal_center_deg"], 122.0, delta=0.02)
        self.assertAlmostEqual(found["early_deg"], -0.5, delta=0.02)
        self.assertEqual((found["camshaft"], found["valves"]), (place, "intake"))
        none = self.ask(200, "POST", f"{CASE}/clearance/indicator", {"place": place}).json()
        self.assertIsNone(none["found"])
        self.assertEqual(self.get(CASE)["case"].get("entries", []), [])

    def test_what_is_drawn(self):
        self.new(QUELLMERE)
        cam = "cam=bank%201%20/%20intake%20camshaft"
        for of in (f"/api/drives/{QUELLMERE}", CASE):
            for what in ("map.svg?", "map.svg?paper=dark&", "section.svg?error=1&phaser=full%20advance&", "section.svg?"):
                svg = self.ask(200, "GET", f"{of}/clearance/{what}{cam}")
                root = xml.etree.ElementTree.fromstring(svg.bytes)
                self.assertTrue(root.tag.endswith("svg"))
                words = " ".join("".join(node.itertext()) for node in root.iter())
                self.assertIn("DO NOT TURN", words)
                self.assertNotIn("TURN ONLY", words)
            self.ask(400, "GET", f"{of}/clearance/map.svg")
            self.ask(400, "GET", f"{of}/clearance/map.svg?paper=pink&{cam}")
            self.ask(404, "GET", f"{of}/clearance/map.svg?cam=bank%209")
            self.ask(404, "GET", f"{of}/clearance/section.svg?phaser=elsewhere&{cam}")

    def test_without_knowing_the_engine_a_lift_says_nothing(self):
        self.new()
        told = self.ask(200, "POST", f"{CASE}/clearance/indicator", {"place": "bank 1 / intake camshaft", "pairs": PAIRS}).json()
        self.assertIsNone(told["found"])
        self.assertIn("which engine", told["why_not"])


if __name__ == "__main__":
    unittest.main()
