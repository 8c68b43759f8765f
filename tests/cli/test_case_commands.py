# SPDX-License-Identifier: Apache-2.0
"""tautmark case new, add and show."""

import os
import subprocess
import unittest

from program import PROGRAM, InFolder

READING = ["reading", "quantity=journal diameter", "place=bank 1 / camshaft / journal 1",
           "values=27.957 27.958 27.956 mm"]


class CaseNew(InFolder):
    def test_makes_a_case_that_can_be_judged(self):
        case = self.small_case()
        text = (case / "case.yaml").read_text()
        self.assertTrue(text.startswith("tautmark: case/1\n"))
        self.assertIn("drive: small", text)
        self.expect(3, "judge", case, "--drives", self.folder)

    def test_never_touches_a_case_that_is_there(self):
        case = self.small_case()
        before = (case / "case.yaml").read_bytes()
        self.expect(2, "case", "new", case, "--drive", "small", "--drives", self.folder)
        self.assertEqual((case / "case.yaml").read_bytes(), before)

    def test_refuses_a_drive_that_is_not_there(self):
        self.expect(2, "case", "new", self.folder / "x", "--drive", "none")
        self.assertFalse((self.folder / "x").exists())

    def test_several_drives_are_candidates(self):
        self.small_case()
        text = (self.folder / "small.drive.yaml").read_text()
        (self.folder / "other.drive.yaml").write_text(text.replace("small", "other"))
        self.expect(0, "case", "new", "both", "--drive", "small", "--drive", "other", "--drives",
                    self.folder)
        self.assertIn("candidates:", (self.folder / "both" / "case.yaml").read_text())


class CaseAdd(InFolder):
    def setUp(self):
        super().setUp()
        self.case = self.small_case()
        self.file = self.case / "case.yaml"

    def add(self, *words, status=0):
        return self.expect(status, "case", "add", self.case, *words)

    def test_prints_the_id_and_keeps_what_was_there(self):
        before = self.file.read_text()
        self.assertEqual(self.add(*READING, "--by", "bay 3", "--at", "2026-03-02").stdout, "e1\n")
        self.assertEqual(self.add("note", "words=customer waits", "replaces=e1").stdout, "e2\n")
        after = self.file.read_text()
        self.assertTrue(after.startswith(before))
        self.assertIn("27.957 27.958 27.956 mm", after)

    def test_show_lists_entries_and_marks_replaced_ones(self):
        self.add(*READING, "--by", "bay 3", "--at", "2026-03-02")
        self.add(*READING, "replaces=e1", "limit=at least 27.940 mm", "applies_to=mean",
                 "limit_source.origin=shop", "limit_source.document=bench notes")
        shown = self.expect(0, "case", "show", self.case).stdout
        self.assertIn("REPLACED by e2", shown)
        self.assertIn("2026-03-02 bay 3, reading", shown)
        self.assertIn("journal diameter, bank 1 / camshaft / journal 1", shown)

    def test_every_kind_of_value(self):
        self.add("codes", "codes=P0021; P0011")
        self.add("previous-work", "words=chain replaced", "done_by=another shop")
        self.add("state", "apart=partly", "phaser=not locked")
        self.add("step", "step=pinned", "late=yes")
        text = self.file.read_text()
        self.assertIn("- P0021\n", text)
        self.assertIn("kind: previous work", text)

    def test_a_group_in_one_text_is_answered_with_the_form_that_works(self):
        result = self.expect(2, "case", "add", self.case, "marks", "chain=timing chain",
                             "strands=crank to camshaft 61")
        self.assertIn("strands.1.from", result.stderr)

    def test_a_list_of_groups_is_given_item_by_item(self):
        counts = ["marks", "chain=timing chain", "counted=pitches",
                  "strands.1.from=crank", "strands.1.to=bank 1 / camshaft", "strands.1.links=64",
                  "strands.2.from=bank 1 / camshaft", "strands.2.to=crank", "strands.2.links=60",
                  "sprockets.1.at=crank", "sprockets.1.stands=right"]
        self.add(*counts)
        text = self.file.read_text()
        self.assertIn("links: 60", text)
        self.assertEqual(text.count("from:"), 2)
        self.assertIn("strands.1.from", self.expect(0, "case", "add", self.case, "marks", "--help").stdout)
        for wrong in ("strands.from=crank", "strands.3.from=crank", "strands.x.from=crank", "strands.1=crank",
                      "strands.1.from.x=crank", "strands=crank"):
            done = self.add("marks", "chain=timing chain", wrong, status=2)
            self.assertIn("error:", done.stderr)
        done = self.add("marks", "chain=timing chain", "sprockets.1.at=crank", "sprockets.1.stands=not right", status=2)
        self.assertIn("say how it stands", done.stderr)

    def test_refused_input_leaves_the_file_as_it_is(self):
        self.add(*READING)
        before = self.file.read_bytes()
        refused = [
            (READING[:2] + ["place=bank 9 / camshaft / journal 1"] + READING[3:], "no place"),
            (READING[:3] + ["values=27.957 27.958"], "unit"),
            (READING[:3] + ["values=27.957 kPa"], "pressure"),
            (READING[:3], "without any value"),
            (["reading", "quantity=jornal diameter"], "journal diameter"),
            (["reading", "plce=x"], "place"),
            (["raeding"], "reading"),
            (["note", "words=x", "replaces=e9"], "e9"),
            (["note", "words=x", "id=e7"], "id"),
            (["note", "words=x", "words=y"], "twice"),
            (["note", "x"], "key=value"),
            (["note", "words=x", "at=2026-02-31"], "2026-02-31"),
            (["attachment", "file=none.jpg"], "none.jpg"),
        ]
        for words, said in refused:
            with self.subTest(words=words):
                self.assertIn(said, self.add(*words, status=2).stderr)
                self.assertEqual(self.file.read_bytes(), before)
        self.assertEqual(sorted(os.listdir(self.case)), ["case.yaml", "small.drive.yaml"])

    def test_a_case_with_a_mistake_takes_nothing(self):
        self.file.write_text(self.file.read_text() + "titel: x\n")
        before = self.file.read_bytes()
        self.assertIn("titel", self.add("note", "words=x", status=2).stderr)
        self.assertEqual(self.file.read_bytes(), before)

    def test_help_shows_the_kinds_and_the_keys_of_one(self):
        shown = self.expect(0, "case", "add", "--help").stdout
        for kind in ("reading", "pressure", "previous work", "quick"):
            self.assertIn(kind, shown)
        for words in (["reading"], [self.case, "reading"]):
            self.assertIn("quantity (needed)", self.expect(0, "case", "add", *words, "--help").stdout)
        self.expect(64, "case", "add", self.case)

    def test_two_writers_lose_nothing(self):
        script = ('for i in $(seq 20); do "$1" case add "$2" note words="$3 $i" || exit 1; done')
        writers = [subprocess.Popen(["/bin/sh", "-c", script, "sh", PROGRAM, str(self.case), who],
                                    stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
                   for who in ("left", "right")]
        ids = []
        for writer in writers:
            out, err = writer.communicate(timeout=120)
            self.assertEqual(writer.returncode, 0, err)
            ids += out.split()
        self.assertEqual(sorted(ids), sorted(f"e{n}" for n in range(1, 41)))
        text = self.file.read_text()
        for who in ("left", "right"):
            for number in range(1, 21):
                self.assertIn(f"words: {who} {number}\n", text)
        self.expect(0, "case", "show", self.case)


if __name__ == "__main__":
    unittest.main()
