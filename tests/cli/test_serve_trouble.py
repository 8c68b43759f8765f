# SPDX-License-Identifier: Apache-2.0
"""The running server when what it stands on fails: told in a sentence, nothing half written, and it
goes on afterwards without a new start."""

import contextlib
import os
import pathlib
import shutil
import sqlite3
import threading
import time
import unittest

import program
import serving
import working

MIB = 1 << 20


class Trouble(working.Working):
    @property
    def store(self):
        return self.folder / "shop.store"
    @unittest.skipUnless(working.is_root, "needs the right to mount")
    def test_a_full_disk(self):
        disk, change = self.enterContext(working.small_disk("3m"))
        self.serve(disk / "shop.store")
        self.new_case()
        stored = 0
        text = "x" * 20_000
        for stored in range(1000):
            answer = self.client.ask("POST", "/api/cases/bay/entries", self.note(text))
            if answer.status != 201:
                break
        self.assertEqual(answer.status, 507, answer)
        self.assertIn("full", answer.json()["detail"])
        self.assertGreater(stored, 3)
        upload = "/api/cases/bay/files?name=long.bin"
        kind = {"Content-Type": "application/octet-stream"}
        self.assertIn("full", self.told(507, "POST", upload, b"\x01" * 8 * MIB, kind))
        self.assertEqual(self.ask(200, "GET", "/api/cases/bay/files").json()["files"], [])
        self.assertEqual(len(self.words_stored()), stored)
        self.ask(200, "GET", "/api/cases/bay/findings")
        change("size=40m")
        self.add("there is room")
        self.ask(201, "POST", upload, b"\x01" * 8 * MIB, kind)
        self.assertEqual(len(self.words_stored()), stored + 1)
        self.expect_whole()
        self.expect(0, "store", "verify", "--store", disk / "shop.store")
        # What the failed upload had left behind is gone with the one after it.
        with contextlib.closing(sqlite3.connect(disk / "shop.store")) as database:
            pieces, = database.execute("select count(*) from blob_piece").fetchone()
        self.assertEqual(pieces, 8)

    def expect_only_reading(self):
        status = self.ask(200, "GET", "/api/status").json()
        self.assertTrue(status["read_only"], status)
        self.assertEqual(self.words_stored(), ["before"])
        self.ask(200, "GET", "/api/cases/bay/findings")
        self.ask(200, "GET", "/api/cases/bay/pack")
        self.ask(200, "GET", "/api/cases?q=before")
        kind = {"Content-Type": "application/octet-stream"}
        zipped = {"Content-Type": "application/zip"}
        packed = self.client.raw("GET", "/api/cases/bay/pack").bytes
        for method, target, body, headers in (
                ("POST", "/api/cases", {"name": "another"}, None),
                ("POST", "/api/cases/bay/entries", self.note("x"), None),
                ("POST", "/api/cases/bay/head", {"title": "x"}, None),
                ("POST", "/api/cases/bay/files?name=a.bin", b"x" * 3 * MIB, kind),
                ("POST", "/api/cases/import?name=b", packed, zipped),
                ("DELETE", "/api/cases/bay", {"reason": "room"}, None)):
            with self.subTest(f"{method} {target}"):
                self.assertIn("read", self.told(403, method, target, body, headers))

    def make_one(self):
        with serving.Server(self.store) as server:
            self.client = serving.Client(server)
            self.new_case()
            self.add("before")

    @unittest.skipUnless(working.is_root, "needs the right to mount")
    def test_a_store_on_a_disk_that_can_only_be_read(self):
        disk, change = self.enterContext(working.small_disk("20m"))
        self.make_one()
        shutil.copy(self.store, disk / "shop.store")
        change("ro")
        self.serve(disk / "shop.store")
        self.expect_only_reading()

    def test_a_store_of_somebody_else(self):
        self.make_one()
        os.chmod(self.folder, 0o755 if working.is_root else 0o555)
        os.chmod(self.store, 0o444)
        words = self.server_words()
        self.server = self.enterContext(Started(words))
        self.client = serving.Client(self.server)
        self.expect_only_reading()
        os.chmod(self.folder, 0o755)

    def server_words(self):
        words = serving.Server(self.store).words
        if not working.is_root:
            return words
        return ["setpriv", "--reuid=nobody", "--regid=nogroup", "--clear-groups", *words]

    def test_another_program_holds_it_for_long(self):
        self.serve(self.store)
        self.new_case()
        self.add("before")
        holder = sqlite3.connect(self.store, isolation_level=None)
        holder.execute("begin immediate")
        began = time.time()
        answers = []

        def send():
            client = serving.Client(self.server)
            answers.append(client.ask("POST", "/api/cases/bay/entries", self.note("held", "k1")))

        senders = [threading.Thread(target=send) for _ in range(3)]
        for sender in senders:
            sender.start()
        self.assertEqual(self.words_stored(), ["before"])  # reading goes on
        for sender in senders:
            sender.join()
        self.assertLess(time.time() - began, 30)
        for answer in answers:
            self.assertEqual(answer.status, 503, answer)
            self.assertIn("again", answer.json()["detail"])
            self.assertTrue(answer.headers["Retry-After"])
        holder.execute("rollback")
        holder.close()
        self.add("held", "k1")
        time.sleep(1.1)  # the time that is filled in is another one by now
        self.add("held", "k1", status=200)
        self.add("other words", "k1", status=409)
        self.assertEqual(self.words_stored(), ["before", "held"])
        self.expect_whole()

    def test_the_working_folder_is_gone(self):
        self.serve(self.store)
        self.new_case()
        self.add("before")
        self.ask(200, "GET", "/api/cases/bay/findings")
        shutil.rmtree(pathlib.Path(self.server.scratch.name) / "tautmark")
        self.expect_works()
        # A part of it.
        for item in (pathlib.Path(self.server.scratch.name) / "tautmark").glob("tautmark-run-*/*"):
            shutil.rmtree(item) if item.is_dir() else item.unlink()
        self.expect_works()
        self.expect_whole()

    def expect_works(self):
        self.ask(200, "GET", "/api/cases/bay/findings")
        self.add("more")
        self.ask(200, "GET", "/api/cases/bay/findings")
        packed = self.ask(200, "GET", "/api/cases/bay/pack").bytes
        self.ask(200, "POST", "/api/cases/import", packed, {"Content-Type": "application/zip"})
        kind = {"Content-Type": "application/octet-stream"}
        name = f"{time.time()}.csv"
        recording = (program.ROOT / "demo/vessgarth/recordings/cold-start.csv").read_bytes()
        self.ask(201, "POST", f"/api/cases/bay/files?name={name}", recording, kind)
        self.ask(200, "GET", f"/api/cases/bay/recording/wave?name={name}&channel=1")

    @unittest.skipUnless(working.is_root, "needs the right to mount")
    def test_the_disk_of_the_working_folder_is_full(self):
        disk, change = self.enterContext(working.small_disk("2m"))
        self.serve(self.store, environment={"XDG_CACHE_HOME": str(disk)})
        self.new_case()
        self.add("before")
        filling = disk / "filling"
        with contextlib.suppress(OSError), open(filling, "wb", buffering=0) as out:
            while True:
                out.write(b"x" * 4096)
        with contextlib.suppress(OSError), open(filling, "ab", buffering=0) as out:
            while True:
                out.write(b"x")
        self.assertIn("full", self.told(507, "POST", "/api/cases/bay/entries", self.note("x")))
        self.told(507, "GET", "/api/cases/bay/pack")
        self.told(507, "POST", "/api/cases/import", b"PK" * MIB, {"Content-Type": "application/zip"})
        self.ask(200, "GET", "/api/cases")
        filling.unlink()
        self.add("after")
        self.ask(200, "GET", "/api/cases/bay/findings")
        self.ask(200, "GET", "/api/cases/bay/pack")
        self.assertEqual(self.words_stored(), ["before", "after"])


class Started(serving.Server):
    """A server by its command."""

    def __init__(self, words):
        super().__init__("")
        self.words = words
        os.chmod(self.scratch.name, 0o777)


if __name__ == "__main__":
    unittest.main()
