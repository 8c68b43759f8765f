# SPDX-License-Identifier: Apache-2.0
"""The list of parts over the API; every answer is what the command line says, and as described."""

import json
import unittest

import program
import serving
from test_openapi import validator

DRIVE = "vessgarth-v6-12"


class Parts(program.InFolder):
    def setUp(self):
        super().setUp()
        self.server = self.enterContext(serving.Server(self.folder / "shop.tautmark"))
        self.client = serving.Client(self.server)
        self.addCleanup(self.client.close)

    def ask(self, status, method, target, body=None):
        answer = self.client.ask(method, target, body)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer.json()

    def told(self, target, schema):
        told = self.ask(200, "GET", target)
        validator(schema).validate(told)
        return told

    def test_of_a_drive_as_the_command_line_says(self):
        told = self.told(f"/api/drives/{DRIVE}/parts", "parts_list")
        out = json.loads(self.expect(0, "parts", DRIVE, "--drives", program.ROOT / "drives",
                                     "--json", "-").stdout)
        self.assertEqual((told["drives"], told["case"]), (out["drives"], None))

    def test_a_wrong_box_shows_as_a_conflict(self):
        self.ask(201, "POST", "/api/cases", {"name": "bay3", "drive": DRIVE})
        self.ask(201, "POST", "/api/cases/bay3/entries", {"entry": {
            "kind": "part", "by": "A.", "part": "bank 2 chain set", "bank": 2,
            "action": "in the box", "edition": "C", "date": "2026-01-15",
            "found": ["tensioner of bank 1 with gasket"], "differs": ["plunger side"]}})
        told = self.told("/api/cases/bay3/parts", "parts_list")
        of = told["drives"][0]
        self.assertEqual(told["after_record"], 2)
        failed = {one["why"] for one in of["conflicts"] if one["verdict"] == "fail"}
        self.assertEqual(failed, {"in the box lay a part of bank 1: tensioner of bank 1 with gasket",
                                  "new and old differ: plunger side"})
        findings = self.ask(200, "GET", "/api/cases/bay3/findings")["findings"]
        self.assertEqual({f["why"] for f in findings
                          if f["check"] == "parts" and f["verdict"] == "fail"}, failed)
        opened = next(one for one in of["sets"] if one["bank"] == 2)
        self.assertEqual((len(opened["opened"]), opened["differs"]), (1, ["plunger side"]))

    def test_coverage(self):
        told = self.told("/api/parts/coverage", "parts_coverage")
        self.assertIn(DRIVE, told["drives"])
        for row in told["rows"]:
            self.assertEqual(len(row["cells"]), len(told["drives"]))

    def test_what_is_not_there(self):
        self.ask(404, "GET", "/api/cases/none/parts")
        self.ask(404, "GET", "/api/drives/none/parts")


if __name__ == "__main__":
    unittest.main()
