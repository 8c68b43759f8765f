# SPDX-License-Identifier: Apache-2.0
"""Runs the program under test: the one in TAUTMARK_PROGRAM, or the release build."""

import os
import pathlib
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("TAUTMARK_PROGRAM", str(ROOT / "build" / "release" / "tautmark"))
SECONDS = 60

DRIVE = """tautmark: drive/1
name: small
source: {origin: maker, document: service manual, page: p. 4}
chains:
  - {name: timing chain, pitch: 8.00 mm, links: 124}
crankshaft: {sprockets: [{teeth: 21}]}
banks:
  - number: 1
    camshafts: [{name: camshaft, sprocket_teeth: 42, journals: 3}]
fits:
  - {quantity: journal diameter, at: every journal, service: at least 27.950 mm}
"""


def run(*words, answers=None, cwd=None):
    """One run. Without `answers` standard input is at its end from the start."""
    environment = {key: value for key, value in os.environ.items() if key != "TAUTMARK_DRIVES"}
    return subprocess.run(
        [PROGRAM, *map(str, words)], input=answers or "", capture_output=True, text=True,
        encoding="utf-8", timeout=SECONDS, check=False, cwd=cwd, env=environment)


class InFolder(unittest.TestCase):
    """A test with a folder of its own."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def expect(self, status, *words, answers=None):
        result = run(*words, answers=answers, cwd=self.folder)
        self.assertEqual(result.returncode, status, f"{words}\n{result.stdout}\n{result.stderr}")
        return result

    def small_case(self):
        """A case of a small drive; its folder."""
        (self.folder / "small.drive.yaml").write_text(DRIVE)
        case = self.folder / "case"
        self.expect(0, "case", "new", case, "--drive", "small", "--title", "Bay 3",
                    "--drives", self.folder)
        (case / "small.drive.yaml").write_text(DRIVE)
        return case
