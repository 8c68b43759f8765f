# SPDX-License-Identifier: Apache-2.0
"""Every command on a definition of twenty lines from a service manual."""

import json
import unittest

from program import ROOT, InFolder

THIN = ROOT / "drives" / "thin.drive.yaml"


@unittest.skipUnless(THIN.exists(), "no thin drive")
class Thin(InFolder):
    def command(self, status, *words):
        return self.expect(status, *words, "--drives", THIN.parent)

    def test_goes_through_every_command(self):
        self.assertIn("can answer", self.command(0, "drive", "check", "thin").stdout)
        self.assertIn("Limits", self.command(0, "drive", "show", "thin").stdout)
        self.assertIn("0 fields differ", self.command(0, "drive", "compare", "thin", "thin").stdout)
        self.assertIn("thin", self.command(0, "drive", "list").stdout)
        case = self.folder / "case"
        self.command(0, "case", "new", case, "--drive", "thin")
        place = "bank 1 / camshaft / journal 1"
        self.command(0, "case", "add", case, "reading", "quantity=journal diameter",
                     f"place={place}", "values=1.1266 1.1265 1.1266 in",
                     "instrument=micrometer 0.001")
        self.command(0, "quick", "convert", "30 lbf·ft", "--into", case)
        self.assertIn(place, self.command(0, "case", "show", case).stdout)
        judged = self.command(3, "judge", case, "--json", "-").stdout
        subjects = {finding["subject"] for finding in json.loads(judged)["findings"]}
        self.assertIn(place, subjects)


if __name__ == "__main__":
    unittest.main()
