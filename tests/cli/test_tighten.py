# SPDX-License-Identifier: Apache-2.0
"""`tautmark tighten`: the fasteners of an engine as cards."""
import json
import unittest

from program import run

DEMO = "vessgarth-v6-12"


class Tighten(unittest.TestCase):
    def test_every_unit_is_spelled_out(self):
        # trade.md 6.A: 12 N·m = 106 lbf·in; 35 N·m = 25.8 lbf·ft.
        done = run("tighten", DEMO)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("12 N·m (8.85 lbf·ft, 106 lbf·in)", done.stdout)
        self.assertIn("35 N·m (25.8 lbf·ft", done.stdout)
        self.assertIn("INVENTED ENGINE", done.stdout)
        self.assertIn("Nothing here approves", done.stdout)

    def test_the_wrench_that_does_not_fit_is_refused(self):
        done = run("tighten", DEMO, "camshaft cap bolts", "--wrench", "large: 40..200 N·m")
        self.assertIn("no wrench of the list fits", done.stdout)
        self.assertIn("not large: too large", done.stdout)
        done = run("tighten", DEMO, "camshaft cap bolts", "--wrench", "large: 40..200 N·m",
                   "--wrench", "small: 5..25 N·m")
        self.assertIn("take small", done.stdout)

    def test_json(self):
        done = run("tighten", DEMO, "--json", "-")
        answer = json.loads(done.stdout)
        self.assertEqual(answer["schema"], "tightening/1")
        bolts = {card["fastener"]: card for card in answer["drives"][0]["fasteners"]}
        self.assertTrue(bolts["phaser bolt"]["take_new"])
        self.assertEqual(bolts["phaser bolt"]["steps"][0]["torque_Nm"], 35)
        self.assertAlmostEqual(bolts["phaser bolt"]["steps"][1]["angle_deg"], 75)

    def test_names_are_suggested_and_ranges_refused(self):
        done = run("tighten", DEMO, "phaser bolts")
        self.assertEqual(done.returncode, 64)
        self.assertIn("phaser bolt", done.stderr)
        done = run("tighten", DEMO, "--wrench", "large")
        self.assertEqual(done.returncode, 64)
        self.assertIn("5..25 N·m", done.stderr)


if __name__ == "__main__":
    unittest.main()
