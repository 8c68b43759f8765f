# SPDX-License-Identifier: Apache-2.0
"""A case in a store and a client of its server, for tests of what happens when something fails."""

import contextlib
import os
import pathlib
import subprocess
import tempfile

import program
import serving

is_root = os.geteuid() == 0


@contextlib.contextmanager
def small_disk(size):
    """A file system of this size in memory, and a way to give it another one."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", folder], check=True)
        try:
            yield pathlib.Path(folder), lambda options: subprocess.run(
                ["mount", "-o", f"remount,{options}", folder], check=True)
        finally:
            subprocess.run(["umount", "-l", folder], check=True)


class Working(program.InFolder):
    """A case in a store, and a client of its server."""

    def serve(self, store, *words, **more):
        self.server = self.enterContext(serving.Server(store, *words, **more))
        self.client = serving.Client(self.server)
        return self.client

    def ask(self, status, method, target, body=None, headers=None, client=None):
        answer = (client or self.client).ask(method, target, body, headers)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer

    def told(self, status, method, target, body=None, headers=None):
        """An answer that says in a sentence what is wrong."""
        answer = self.ask(status, method, target, body, headers)
        detail = answer.json()["detail"]
        self.assertRegex(detail, r"^[^\n]{10,200}$")
        for word in ("SQL", "sqlite", "insert into", "SELECT", str(self.folder)):
            self.assertNotIn(word, detail)
        return detail

    def new_case(self):
        self.ask(201, "POST", "/api/cases", {"name": "bay", "drive": "vessgarth-v6-12"})

    def note(self, words, key=None):
        return {"entry": {"kind": "note", "words": words}, **({"key": key} if key else {})}

    def add(self, words, key=None, status=201, client=None):
        return self.ask(status, "POST", "/api/cases/bay/entries", self.note(words, key),
                        client=client)

    def words_stored(self):
        view = self.ask(200, "GET", "/api/cases/bay").json()
        return [entry["words"] for entry in view["case"]["entries"]]

    def expect_whole(self):
        self.assertTrue(self.ask(200, "GET", "/api/cases/bay/verify").json()["holds"])
