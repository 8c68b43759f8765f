# SPDX-License-Identifier: Apache-2.0
"""Commands on a store of the test's own, on either database."""

import json
import os
import random
import shutil
import unittest.mock

import program
import serving

DEMO = program.ROOT / "demo"
DRIVES = program.ROOT / "drives"
NAMES = {"vessgarth": "vessgarth-bay-3", "quellmere": "quellmere-coast-road"}


def files_of(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes()
            for path in folder.rglob("*") if path.is_file()}


class InStore(program.InFolder):
    """$TAUTMARK_STORE names the store of the test."""

    def setUp(self):
        super().setUp()
        self.use(self.store())

    def use(self, store):
        self.enterContext(unittest.mock.patch.dict(os.environ, TAUTMARK_STORE=str(store)))

    def take_in(self, *demos):
        for demo in demos or NAMES:
            self.expect(0, "case", "import", DEMO / demo, "--drives", DRIVES)

    def exported(self, name, folder):
        self.expect(0, "case", "export", name, "-o", folder, "--drives", DRIVES)
        return self.folder / folder

    def records(self, name):
        folder = self.exported(name, f"records-{random.random()}")
        lines = (folder / "record.jsonl").read_text().splitlines()
        shutil.rmtree(folder)
        return [json.loads(line) for line in lines[1:]]

    def refused(self, words, *command):
        said = self.expect(2, *command)
        self.assertIn(words, said.stderr)
        self.assertEqual(said.stdout, "")


class Embedded(InStore):
    def store(self):
        return self.folder / "shop.store"


class OnPostgres(serving.OnPostgres, InStore):
    def store(self):
        if not hasattr(self, "database"):
            self.database = self.new_database()
        return self.database
