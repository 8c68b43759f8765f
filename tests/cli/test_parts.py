# SPDX-License-Identifier: Apache-2.0
"""tautmark parts: the lists of both demo cases, row by row; sets against engines."""

import json
import unittest

from program import ROOT, InFolder

DRIVES = ROOT / "drives"
DEMO = ROOT / "demo"


def rows_of(told):
    """(count, part, bank, first set or None) of the only drive."""
    return {
        (f"{row['count']}" + (f" (+{row['only_if']})" if row["only_if"] else ""), row["part"],
         row["bank"], row["from"][0] if row["from"] else None)
        for row in told["drives"][0]["rows"]
    }


class OfTheDemoCases(InFolder):
    """Whole rows, as the two lists were written by hand with the invented engines."""

    def told(self, case):
        return json.loads(self.expect(0, "parts", DEMO / case, "--json", "-").stdout)

    def test_vessgarth(self):
        told = self.told("vessgarth")
        one, two = "bank 1 chain set", "bank 2 chain set"
        self.assertEqual(rows_of(told), {
            ("1", "cylinder head with camshaft caps", 2, None),
            ("1", "head gasket", 2, None),
            ("8", "cylinder head bolts", 2, None),
            ("1", "exhaust gasket", 2, None),
            ("1", "intake gasket", 2, None),
            ("1", "phaser", 2, None),
            ("1", "phaser bolt", 1, None),
            ("1", "phaser bolt", 2, None),
            ("1", "chain of 124 links", 1, one),
            ("1", "chain of 124 links", 2, two),
            ("1", "tensioner of bank 1 with gasket", 1, one),
            ("1", "tensioner of bank 2 with gasket", 2, two),
            ("1", "fixed guide", 1, one),
            ("1", "fixed guide", 2, two),
            ("1", "tensioner arm", 1, one),
            ("1", "tensioner arm", 2, two),
            ("1", "crank bolt", None, None),
            ("1", "front seal", None, None),
            ("1", "cover gasket set", None, None),
            ("2", "camshaft cover gaskets", None, None),
            ("1", "sealant", None, None),
            ("1", "specified oil, 6.0 L", None, None),
            ("1", "oil filter with anti-drain-back valve", None, None),
        })
        not_ordered = {(row["part"], row["bank"]) for row in told["drives"][0]["not_ordered"]}
        self.assertLessEqual(
            {("oil pump", None), ("camshaft sensor", None), ("oil control valve", None),
             ("camshaft", 2), ("phaser", 1)}, not_ordered)
        self.assertEqual(told["drives"][0]["conflicts"], [])
        self.assertIn("e57", told["drives"][0]["decided_in_words"][0])

    def test_quellmere(self):
        told = self.told("quellmere")
        of_set = "timing chain set"
        self.assertEqual(rows_of(told), {
            ("1", "chain of 138 links", None, of_set),
            ("1", "tensioner with gasket", None, of_set),
            ("1", "tensioner arm", None, of_set),
            ("1", "fixed guide", None, of_set),
            ("1", "top guide", None, of_set),
            ("1", "crank sprocket", None, of_set),
            ("1", "intake phaser", None, None),
            ("1 (+1)", "phaser bolt", None, None),
            ("1", "crank bolt", None, None),
            ("1", "friction washer of the crank sprocket", None, None),
            ("1", "front seal", None, None),
            ("1", "cover gasket", None, None),
            ("1", "camshaft cover gasket", None, None),
            ("1", "sealant", None, None),
            ("1", "specified oil, 4.8 L", None, None),
            ("1", "oil filter", None, None),
        })
        not_ordered = {row["part"]: row for row in told["drives"][0]["not_ordered"]}
        self.assertEqual(set(not_ordered), {"head gasket", "cylinder head", "valves",
                                            "camshaft sensor", "oil control valve",
                                            "exhaust phaser"})
        self.assertEqual(not_ordered["head gasket"]["entry"], "e28")

    def test_reads_well_on_paper(self):
        text = " ".join(self.expect(0, "parts", DEMO / "vessgarth").stdout.split())
        self.assertIn("[ ] 8 cylinder head bolts, bank 2; in no set: order apart; to order", text)
        self.assertIn("the chain or the bolt was off, so the phaser bolt is new (e11)", text)
        self.assertIn("bank 2 chain set, edition B, 2026-01-15", text)
        self.assertIn("not in it: phaser bolt", text)
        self.assertIn("An invented engine", text)


class OfDrives(InFolder):
    def test_what_the_whole_procedure_uses_up(self):
        told = json.loads(self.expect(0, "parts", "quellmere-i4-16", "--drives", DRIVES, "--json",
                                      "-").stdout)
        self.assertIsNone(told["case"])
        self.assertIn(("2", "phaser bolt", None, None), rows_of(told))

    def test_a_drive_without_a_procedure_says_so(self):
        text = self.expect(0, "parts", "thin", "--drives", DRIVES).stdout
        self.assertIn("has no procedure", text)

    def test_coverage_shows_gaps(self):
        names = ("vessgarth-v6-12", "vessgarth-v6-12-tall", "quellmere-i4-16", "thin")
        text = self.expect(0, "parts", *names, "--drives", DRIVES, "--coverage").stdout
        self.assertIn("GAP: order apart", text)
        told = json.loads(self.expect(0, "parts", *names, "--drives", DRIVES, "--coverage",
                                      "--json", "-").stdout)
        self.assertEqual(told["drives"], list(names))
        chain = next(row for row in told["rows"] if row["part"] == "chain of 126 links")
        self.assertEqual([cell["covered"] for cell in chain["cells"]],
                         ["not needed", "in a set", "not needed", "not known"])

    def test_several_do_not_share_one_json(self):
        self.expect(64, "parts", "thin", "quellmere-i4-16", "--drives", DRIVES, "--json", "-")


class Conflicts(InFolder):
    def setUp(self):
        super().setUp()
        self.case = self.folder / "case"
        self.expect(0, "case", "new", self.case, "--drive", "vessgarth-v6-12", "--title", "Bay 3",
                    "--drives", DRIVES)

    def test_a_tensioner_of_the_other_bank_fails(self):
        self.expect(0, "case", "add", self.case, "part", "part=tensioner of bank 1 with gasket",
                    "action=fitted", "bank=2", "--by", "A.")
        result = self.expect(1, "judge", self.case, "--drives", DRIVES, "--only", "parts")
        self.assertIn("the part is of bank 1, and it is entered for bank 2",
                      " ".join(result.stdout.split()))
        text = self.expect(0, "parts", self.case, "--drives", DRIVES).stdout
        self.assertIn("FAIL: tensioner of bank 1 with gasket", text)

    def test_a_bolt_that_looks_good_is_not_used_again(self):
        # Question 15: "The phaser bolt looks perfect, reuse?"
        self.expect(0, "case", "add", self.case, "part", "part=phaser bolt", "action=reused",
                    "bank=1", "reason=looks perfect", "--by", "A.")
        self.expect(1, "judge", self.case, "--drives", DRIVES, "--only", "fastener-reuse")


if __name__ == "__main__":
    unittest.main()
