# SPDX-License-Identifier: Apache-2.0
"""Stores that were changed behind the program's back: named, never taken for whole."""

import os
import random
import shutil
import sqlite3
import subprocess
import unittest

import program
import stored
from stored import DRIVES, NAMES, files_of


class Tampered(stored.InStore):
    """Without a database of its own it is not run; see below."""

    TAMPERED = {  # what to do to the tables: what verify names
        "update record set body = replace(body, 'kind: complaint', 'kind: note') where seq = 2":
            "record 2 was changed",
        "update record set seat = 'somebody' where seq = 3": "record 3 was changed",
        "update record set at = at + 1 where seq = 4": "record 4 was changed",
        "delete from record where seq = 5": "record 5",
        "delete from record where seq = (select max(seq) from record)": "the end is missing",
        "update cases set head_hash = replace(head_hash, '0', '1')": "note of its last record",
        "delete from entry_id where id = 'e2'": "entry ids",
        "update blob_piece set data = {bytes}": "has other bytes",
        "delete from blob_piece": "has lost",
        "update case_file set name = 'other.csv' where name like '%.csv'": "other.csv",
    }

    def test_tampering_is_named(self):
        self.take_in("vessgarth")
        where = f"store:{NAMES['vessgarth']}"
        for command, words in self.TAMPERED.items():
            with self.subTest(command):
                self.use(self.copied())
                self.change(command)
                said = self.expect(1, "store", "verify").stdout
                self.assertIn(words, said)
                self.assertIn(f'case "{NAMES["vessgarth"]}"', said)
                self.assertIn(words, self.expect(1, "case", "verify", where).stdout)
                self.refused("does not hold", "store", "backup", f"of {random.random()}")
        for command, words in {
                "delete from audit where number = 1": "audit",
                "update audit set who = 'somebody'": "audit",
                "delete from cases": "is gone without an act of deletion"}.items():
            with self.subTest(command):
                self.use(self.copied())
                if command == "delete from cases":
                    for table in ("record", "entry_id", "case_file", "word"):
                        self.change(f"delete from {table}")
                self.change(command)
                self.assertIn(words, self.expect(1, "store", "verify").stdout)
        self.use(self.copied())
        self.change("alter table blob_piece rename to gone")
        self.expect(2, "store", "verify")


class Embedded(stored.Embedded, Tampered):
    def copied(self):
        copy = self.folder / f"copy-{random.random()}.store"
        shutil.copy(self.store(), copy)  # nobody has it open
        return copy

    def change(self, command):
        with sqlite3.connect(os.environ["TAUTMARK_STORE"]) as database:
            database.execute(command.format(bytes="x'00'"))
        database.close()

    def test_any_byte_of_the_file(self):
        """A changed byte is found, or was none of what a case says."""
        self.take_in("vessgarth")
        good = self.store().read_bytes()
        whole = files_of(self.exported("vessgarth-bay-3", "whole"))
        words = [good.index(b"knocks like a loose"), good.index(b"another shop"), 3, 100, 4096 + 1]
        chance = random.Random(8604)
        named = 0
        for number, at in enumerate(words + [chance.randrange(len(good)) for _ in range(40)]):
            broken = self.folder / "broken.store"
            broken.write_bytes(good[:at] + bytes([good[at] ^ 0x15]) + good[at + 1:])
            done = program.run("store", "verify", "--store", broken)
            self.assertIn(done.returncode, (0, 1, 2), f"byte {at}: {done}")
            named += done.returncode != 0
            if number < len(words):
                self.assertNotEqual(done.returncode, 0, f"byte {at}")
            if done.returncode == 0:
                out = f"out-{number}"
                self.expect(0, "case", "export", "vessgarth-bay-3", "-o", out, "--drives", DRIVES,
                            "--store", broken)
                self.assertEqual(files_of(self.folder / out), whole, f"byte {at}")
            else:
                self.assertTrue(done.stdout + done.stderr)
        self.assertGreater(named, len(words))
        for text in (b"", b"no store", good[:len(good) // 2], good[:100]):
            broken.write_bytes(text)
            done = program.run("store", "verify", "--store", broken)
            self.assertIn(done.returncode, (1, 2), text[:20])
        self.expect(2, "store", "verify", "--store", "nowhere.store")


class OnPostgres(stored.OnPostgres, Tampered):
    def copied(self):
        copy = self.new_database()
        self.use(self.store())
        self.expect(0, "store", "move", self.store(), copy)
        return copy

    def change(self, command):
        subprocess.run(["psql", "-q", "-v", "ON_ERROR_STOP=1", os.environ["TAUTMARK_STORE"], "-c",
                        command.format(bytes="'x'")], check=True)


del Tampered


if __name__ == "__main__":
    unittest.main()
