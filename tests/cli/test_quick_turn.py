# SPDX-License-Identifier: Apache-2.0
"""tautmark quick turn: the card that is read aloud on the phone."""

import json
import unittest

from program import InFolder, run

INTACT = ["apart=partly", "loop=chain", "chain=on", "valves=in place", "marks=sprocket marks",
          "since=yes", "jump=no", "phaser=locked", "checked=by hand both ways",
          "tensioner=released", "variant=yes", "rotation=clockwise", "seen_from=front",
          "dropped=no", "resistance=no"]


def first_line(*words):
    return run("quick", "turn", *words).stdout.splitlines()[0]


class QuickTurn(InFolder):
    def test_nothing_said_is_do_not_turn_with_the_whole_card(self):
        done = run("quick", "turn", answers="")
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertTrue(done.stdout.startswith("DO NOT TURN"), done.stdout)
        for words in ("Because: ", "Instead: ", "What would change it: ", "Read aloud: ",
                      "caution:"):
            self.assertIn(words, done.stdout)

    def test_the_card_fits_a_screen(self):
        for words in (["apart=unknown"], INTACT, INTACT + ["teeth=2"], INTACT + ["want=start"]):
            with self.subTest(words=words):
                lines = self.expect(0, "quick", "turn", *words).stdout.splitlines()
                self.assertLessEqual(len(lines), 30, "\n".join(lines))

    def test_every_fact_that_is_taken_away_or_unknown_is_do_not_turn(self):
        self.assertTrue(first_line(*INTACT).startswith("TURN ONLY by hand"), first_line(*INTACT))
        for word in INTACT:
            name = word.split("=")[0]
            if name == "loop":
                continue  # chain or belt: only a word
            rest = [other for other in INTACT if other != word]
            with self.subTest(without=name):
                self.assertEqual(first_line(*rest), "DO NOT TURN.")
                self.assertEqual(first_line(*rest, f"{name}=unknown"), "DO NOT TURN.")

    def test_never_backwards_nor_on_the_starter_nor_a_start(self):
        for want in ("backwards", "starter", "start"):
            with self.subTest(want=want):
                self.assertEqual(first_line(*INTACT, f"want={want}"), "DO NOT TURN.")

    def test_what_is_not_understood_is_asked_back(self):
        done = self.expect(2, "quick", "turn", "chain=perhaps")
        self.assertIn("one of: on, off, unknown", done.stdout + done.stderr)

    def test_json_has_no_verdict(self):
        card = json.loads(self.expect(0, "quick", "turn", *INTACT, "--json", "-").stdout)
        self.assertIsNone(card["verdict"])
        self.assertEqual(card["question"], "turn")


if __name__ == "__main__":
    unittest.main()
