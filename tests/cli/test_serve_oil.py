# SPDX-License-Identifier: Apache-2.0
"""The oil of an engine through the API: what the gauges tell, drawn, and other clearances; every answer against
openapi.json."""

import json
import unittest
import xml.etree.ElementTree

import program
import working

CASE = "/api/cases/vessgarth-bay-3"
JOURNAL = "bank 2 / camshaft / journal 1"


class Oil(working.Working):
    def setUp(self):
        super().setUp()
        store = self.folder / "shop.store"
        self.expect(0, "case", "import", program.ROOT / "demo" / "vessgarth", "--store", store,
                    "--drives", program.ROOT / "drives")
        self.serve(store)
        self.addCleanup(self.client.close)

    def new(self, drive=None):
        self.ask(201, "POST", "/api/cases", {"name": "bay", **({"drive": drive} if drive else {})})

    def get(self, path):
        return self.ask(200, "GET", path).json()

    def solve(self, *clearances, status=200, case=CASE):
        body = {"clearances": [{"place": place, "mm": mm} for place, mm in clearances]}
        return self.ask(status, "POST", f"{case}/oil/circuit", body).json()

    def drawn(self, svg):
        root = xml.etree.ElementTree.fromstring(svg)
        self.assertTrue(root.tag.endswith("svg"))
        return " ".join("".join(root.itertext()).split())

    def test_it_is_what_the_command_says_and_drawn(self):
        told = self.get(f"{CASE}/oil")
        (drive,) = told["drives"]
        done = self.expect(1, "oil", program.ROOT / "demo" / "vessgarth", "--json", "-")
        (said,) = json.loads(done.stdout)["drives"]
        drawings = drive.pop("drawings")
        self.assertEqual(drive, said)
        self.assertEqual(told["after_record"], self.get(f"{CASE}/clearance")["after_record"])
        words = self.drawn(drawings["circuit"])
        for number in ("88", "140", "185"):
            self.assertIn(number, words)
        self.assertNotEqual(self.get(f"{CASE}/oil?paper=dark")["drives"][0]["drawings"]["circuit"], drawings["circuit"])
        self.ask(400, "GET", f"{CASE}/oil?paper=pink")

    def test_a_tighter_journal_raises_the_head_and_a_wider_one_lowers_it(self):
        (drive,) = self.get(f"{CASE}/oil")["drives"]
        network = drive["network"]
        names = [place["name"] for place in network["places"]]
        head, gallery = names.index(network["gauges"]["lowest"]), names.index("main gallery")
        as_found = self.solve()
        self.assertAlmostEqual(as_found["places"][head], 88, delta=3)
        self.assertAlmostEqual(as_found["places"][gallery], 185, delta=3)
        tight, wide = self.solve((JOURNAL, 0.06)), self.solve((JOURNAL, 0.2))
        self.assertGreater(tight["places"][head], as_found["places"][head] + 3)
        self.assertLess(wide["places"][head], as_found["places"][head] - 3)
        self.assertGreater(tight["authority"]["margin"], as_found["authority"]["margin"])
        # What the pump delivers leaves again.
        for solved in (as_found, tight, wide):
            flows = [(way, flow) for way, flow in zip(network["ways"], solved["ways"], strict=True)]
            self.assertAlmostEqual(sum(flow for way, flow in flows if way["from"] is None),
                                   sum(flow for way, flow in flows if way["to"] is None), delta=0.02)
        words = self.drawn(wide["circuit"])
        self.assertIn("No gauge has read this", words)
        self.assertIn("0.20", words)
        self.assertEqual(self.get(f"{CASE}/oil")["drives"][0]["network"], network)  # nothing was stored

    def test_what_cannot_be_is_refused_by_its_place(self):
        for asked, words in (([("bank 9 / camshaft / journal 1", 0.1)], "bank 9 / camshaft / journal 1"),
                             ([(JOURNAL, 0)], JOURNAL), ([(JOURNAL, -0.1)], JOURNAL), ([(JOURNAL, 5)], JOURNAL),
                             ([(JOURNAL, 0.1), (JOURNAL, 0.2)], "twice")):
            self.assertIn(words, self.solve(*asked, status=422)["detail"])
        for body in ({"clearances": [{"place": JOURNAL}]}, {"clearances": [{"place": JOURNAL, "mm": "thick"}]}, {"else": 1}):
            self.ask(422, "POST", f"{CASE}/oil/circuit", body)
        self.ask(404, "POST", "/api/cases/none/oil/circuit", {"clearances": []})
        self.ask(404, "GET", "/api/cases/none/oil")

    def test_an_engine_without_gauges_says_what_to_read(self):
        self.new("vessgarth-v6-12")
        (drive,) = self.get("/api/cases/bay/oil")["drives"]
        self.assertIsNone(drive["network"])
        self.assertIsNone(drive["drawings"]["circuit"])
        self.assertIn("main gallery", drive["ports"])
        self.assertTrue(drive["limits"])
        self.assertIn("main gallery", " ".join(drive["network_missing"]))
        self.assertIn("main gallery", self.solve((JOURNAL, 0.1), case="/api/cases/bay", status=404)["detail"])

    def test_an_engine_without_ways_or_without_a_drive(self):
        self.new("quellmere-i4-16")
        (drive,) = self.get("/api/cases/bay/oil")["drives"]
        self.assertIsNone(drive["network"])
        self.assertTrue(drive["missing"])
        self.assertIn("no ways of the oil", self.solve(case="/api/cases/bay", status=404)["detail"])
        self.ask(201, "POST", "/api/cases", {"name": "none"})
        self.assertEqual(self.get("/api/cases/none/oil")["drives"], [])
        self.assertIn("which engine", self.solve(case="/api/cases/none", status=404)["detail"])


if __name__ == "__main__":
    unittest.main()
