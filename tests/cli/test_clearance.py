# SPDX-License-Identifier: Apache-2.0
"""tautmark clearance: gaps of valve to piston, and what is never said of them."""

import json
import re
import unittest
import xml.etree.ElementTree

import program

# trade.md 6.B, phaser locked and at the other end; from 3 teeth early to 3 late.
INTAKE = [(0.19, -3.95), (2.41, -2.60), (4.20, -0.64), (5.02, 1.60), (5.04, 3.62), (5.04, 4.86), (5.04, 5.04)]
EXHAUST = [(4.02, 4.02), (4.02, 4.02), (4.02, 3.30), (3.86, 1.60), (2.68, -0.54), (0.73, -2.59), (-1.43, -4.13)]


class Clearance(program.InFolder):
    def told(self, drive, code=0):
        done = self.expect(code, "clearance", drive, "--json", "-")
        return json.loads(done.stdout)["drives"][0]

    def test_the_table_of_the_trade(self):
        valves = self.told("quellmere-i4-16")["valves"]
        for of_cam, printed in zip(valves, (INTAKE, EXHAUST), strict=True):
            for row, gaps in zip(of_cam["rows"], printed, strict=True):
                for cell, gap in zip(row["cells"], gaps, strict=True):
                    self.assertAlmostEqual(cell["gap_mm"], gap, delta=0.0101)

    # trade.md 6.B: center lines 122.0 after and 113.0 before the top, so (122 + 113) / 2.
    def test_events_of_the_definition(self):
        events = self.told("quellmere-i4-16")["events"]
        self.assertEqual(len(events), 3)
        self.assertTrue(events[-1].endswith("lobe separation 117.5° cam"), events)
        self.assertIn("Events by the definition at 1.00 mm lift", self.expect(0, "clearance", "quellmere-i4-16").stdout)
        self.assertEqual(self.told("vessgarth-v6-12", 3)["events"], [])

    # trade.md 7, question 1 and 24.
    def test_early_on_the_intake_touches_off_its_lock_only(self):
        rows = {row["words"]: row["cells"] for row in self.told("quellmere-i4-16")["valves"][0]["rows"]}
        locked, advanced = rows["1 tooth early"]
        self.assertEqual((locked["answer"], advanced["answer"]), ("no contact expected", "contact"))
        self.assertEqual(rows["2 teeth late"][0]["answer"], "no contact expected")

    def test_says_no_more_than_it_may(self):
        for name, code in (("quellmere-i4-16", 0), ("vessgarth-v6-12", 3), ("thin", 3)):
            with self.subTest(name=name):
                text = self.expect(code, "clearance", name).stdout
                self.assertIn("DO NOT TURN", text)
                self.assertNotIn("TURN ONLY", text)
                self.assertNotRegex(text, r"(?i)\bsafe\b|\bpass\b")
                self.assertIn("Never on the starter", text)
                self.assertIn("hold it at its flats", text)
                self.assertNotRegex(text, r" [-−]\d")

    def test_without_figures_it_says_how_to_find_them(self):
        text = re.sub(r"\s+", " ", self.expect(3, "clearance", "vessgarth-v6-12").stdout)
        self.assertIn("no gap is computed from nothing", text)
        self.assertIn("soft clay", text)
        self.assertIn("every follower out, or the camshaft caps loosened evenly", text)
        self.assertNotRegex(text, r"\d mm")

    def test_a_figure_taken_out_leaves_it_not_known(self):
        whole = program.ROOT / "drives/quellmere-i4-16.drive.yaml"
        for key in ("head_thickness", "pocket_depth", "uncertainty", "margin_between", "crown", "lash"):
            with self.subTest(key=key):
                text = "\n".join(line for line in whole.read_text().split("\n") if not line.strip().startswith(key + ":"))
                (self.folder / "less.drive.yaml").write_text(text.replace("name: quellmere-i4-16", "name: less"))
                told = self.told(self.folder / "less.drive.yaml", 3)
                answers = {cell["answer"] for valves in told["valves"] for row in valves["rows"] for cell in row["cells"]}
                self.assertNotIn("no contact expected", answers)
                self.assertIn("soft clay", self.expect(3, "clearance", self.folder / "less.drive.yaml").stdout)
                self.assertTrue(told["free_camshafts"]["not_known"])

    # docs/clearance.md: the case it shows is the one that is run here.
    def test_the_way_that_the_guide_shows(self):
        guide = (program.ROOT / "docs/clearance.md").read_text()
        entries = re.search(r"```yaml\n(entries:.*?)```", guide, re.DOTALL).group(1)
        case = self.folder / "way.case.yaml"
        case.write_text("tautmark: case/1\nname: way\ndrive: quellmere-i4-16\n" + entries)
        told = self.expect(0, "clearance", case)
        self.assertIn("TURN ONLY", told.stdout)
        self.assertNotRegex(told.stdout, "DO NOT TURN(?! on this table)")
        self.assertRegex(told.stdout, r"(?i)chain off here")
        way = json.loads(self.expect(0, "clearance", case, "--json", "-").stdout)["way"]
        self.assertTrue(way["moves"])
        for move in way["moves"]:
            self.assertGreater(move["least_mm"], 0)
        _, text = self.drawn(case, "--plot", "-")
        self.assertNotRegex(text, r"(?i)\bsafe\b")
        brief = self.expect(0, "judge", "--brief", case).stdout
        self.assertIn("TURN ONLY", brief)
        self.assertIn("Move 1: chain off here", brief)
        self.assertIn("Caution: A freed camshaft", brief)

    # Without its uncertainty no figure of the standing counts.
    def test_a_standing_that_lacks_something_allows_nothing(self):
        guide = (program.ROOT / "docs/clearance.md").read_text()
        entries = re.search(r"```yaml\n(entries:.*?)```", guide, re.DOTALL).group(1)
        case = self.folder / "way.case.yaml"
        for said in ("resistance: false, ", "    surfaced: false\n", "    since_jump: turned by hand      # as the stop needs it\n", ", within: 1 deg crank"):
            with self.subTest(said=said):
                self.assertIn(said, entries)
                case.write_text("tautmark: case/1\nname: way\ndrive: quellmere-i4-16\n" + entries.replace(said, "", 1))
                told = self.expect(3, "clearance", case).stdout
                self.assertIn("DO NOT TURN", told)
                self.assertNotIn("TURN ONLY", told)

    def drawn(self, *words, code=0):
        done = self.expect(code, "clearance", *words)
        return xml.etree.ElementTree.fromstring(done.stdout), done.stdout

    def test_a_map_of_the_camshaft_asked_for(self):
        root, text = self.drawn("quellmere-i4-16", "--plot", "-", "--cam", "bank 1 / exhaust camshaft", "--paper", "print")
        self.assertTrue(root.tag.endswith("svg"))
        self.assertIn("DO NOT TURN", text)
        self.assertIn(">0.73<", text)
        self.assertIn("tm-print", text)
        self.assertNotRegex(text, r"(?i)\bsafe\b|TURN ONLY")

    def test_a_section_at_the_error_asked_for(self):
        told = self.expect(0, "clearance", "quellmere-i4-16", "--plot", self.folder / "valve.svg", "--section", "1 tooth early, full advance")
        self.assertIn("DO NOT TURN", told.stdout)
        self.assertIn("contact by 0.64 mm", (self.folder / "valve.svg").read_text())

    def test_drawings_that_are_not_there(self):
        for code, words, said in (
            (3, ("vessgarth-v6-12",), "nothing is drawn from nothing"),
            (64, ("quellmere-i4-16", "--cam", "bank 2 / camshaft"), "bank 1 / exhaust camshaft"),
            (64, ("quellmere-i4-16", "--section", "a bit early"), "2 teeth early"),
            (64, ("quellmere-i4-16", "--section", "right, half way"), "full advance"),
            (64, ("quellmere-i4-16", "--section", ""), "2 teeth early"),
        ):
            with self.subTest(words=words):
                done = self.expect(code, "clearance", *words, "--plot", "-")
                self.assertEqual(done.stdout, "")
                self.assertIn(said, done.stderr)


if __name__ == "__main__":
    unittest.main()
