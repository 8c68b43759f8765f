# SPDX-License-Identifier: Apache-2.0
"""The running server when what it stands on fails: told in a sentence, nothing half written, and it
goes on afterwards without a new start."""

import contextlib
import http.client
import json
import os
import pathlib
import shutil
import signal
import sqlite3
import subprocess
import tempfile
import threading
import time
import unittest

import program
import serving

MIB = 1 << 20
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


class Killed:
    """On both databases; see below."""

    def test_killed_while_two_clients_send(self):
        store = self.new_store()
        self.serve(store)
        self.new_case()
        acknowledged, sent = [], []

        def send(seat):
            client = serving.Client(self.server)
            for number in range(10_000):
                words = f"{seat} {number}"
                sent.append(words)
                try:
                    answer = client.raw_once("POST", "/api/cases/bay/entries",
                                                    self.note(words, words.replace(" ", "-")))
                except (OSError, http.client.HTTPException):
                    return
                self.assertEqual(answer.status, 201, answer)
                acknowledged.append(words)

        for round_number in range(3):
            senders = [threading.Thread(target=send, args=(f"{round_number}{seat}",))
                       for seat in "ab"]
            for sender in senders:
                sender.start()
            before = len(acknowledged)
            self.assertTrue(serving.wait_until(lambda: len(acknowledged) > before + 15, 60))
            self.server.process.send_signal(signal.SIGKILL)
            self.server.process.wait()
            for sender in senders:
                sender.join()
            self.serve(store)
            stored = self.words_stored()
            self.assertEqual(len(set(stored)), len(stored))
            self.assertLessEqual(set(acknowledged), set(stored))
            self.assertLessEqual(set(stored), set(sent))
            self.expect_whole()
            for words in acknowledged[-4:]:
                self.add(words, words.replace(" ", "-"), status=200)
            last = sent[-1]
            self.add(last, last.replace(" ", "-"), status=200 if last in stored else 201)
            acknowledged.append(last)
            self.assertEqual(self.words_stored().count(last), 1)
        self.expect(0, "store", "verify", "--store", store)


class Embedded(Working, Killed):
    @property
    def store(self):
        return self.folder / "shop.store"

    def new_store(self):
        return self.store

    @unittest.skipUnless(is_root, "needs the right to mount")
    def test_a_full_disk(self):
        disk, change = self.enterContext(small_disk("3m"))
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

    @unittest.skipUnless(is_root, "needs the right to mount")
    def test_a_store_on_a_disk_that_can_only_be_read(self):
        disk, change = self.enterContext(small_disk("20m"))
        self.make_one()
        shutil.copy(self.store, disk / "shop.store")
        change("ro")
        self.serve(disk / "shop.store")
        self.expect_only_reading()

    def test_a_store_of_somebody_else(self):
        self.make_one()
        os.chmod(self.folder, 0o755 if is_root else 0o555)
        os.chmod(self.store, 0o444)
        words = self.server_words()
        self.server = self.enterContext(Started(words))
        self.client = serving.Client(self.server)
        self.expect_only_reading()
        os.chmod(self.folder, 0o755)

    def server_words(self):
        words = serving.Server(self.store).words
        if not is_root:
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
        for item in (pathlib.Path(self.server.scratch.name) / "tautmark").glob("run-*/*"):
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

    @unittest.skipUnless(is_root, "needs the right to mount")
    def test_the_disk_of_the_working_folder_is_full(self):
        disk, change = self.enterContext(small_disk("2m"))
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


class OnPostgres(serving.OnPostgres, Working, Killed):
    def new_store(self):
        return self.new_database()

    def test_the_database_goes_away_and_comes_back(self):
        self.serve(self.new_database())
        self.new_case()
        self.add("before")
        for act in ("stop", "kill"):
            self.act(act)
            try:
                for method, target, body in (("GET", "/api/cases", None),
                                             ("GET", "/api/cases/bay", None),
                                             ("GET", "/api/cases/bay/findings", None),
                                             ("POST", "/api/cases", {"name": "x"}),
                                             ("POST", "/api/cases/bay/entries", self.note(act))):
                    began = time.time()
                    self.assertIn("does not answer", self.told(503, method, target, body))
                    self.assertLess(time.time() - began, 10)
                self.ask(200, "GET", "/api/openapi.json")
                status = self.client.ask("GET", "/api/status")
                self.assertIn(status.status, (200, 503))
            finally:
                self.act("start")
            self.assertTrue(serving.wait_until(
                lambda: self.client.ask("GET", "/api/cases/bay").status == 200))
            self.add(f"after {act}")
        self.assertEqual(self.words_stored(), ["before", "after stop", "after kill"])
        self.assertEqual(len(self.ask(200, "GET", "/api/cases").json()["cases"]), 1)
        self.expect_whole()

    def test_it_goes_away_under_load(self):
        self.serve(self.new_database())
        self.new_case()
        over, stored, refused, other = threading.Event(), [], [], []

        def send(seat):
            client = serving.Client(self.server)
            number = 0
            while not over.is_set():
                words = f"{seat}-{number}"
                answer = client.ask("POST", "/api/cases/bay/entries", self.note(words, words))
                if answer.status in (200, 201):
                    stored.append(words)
                    number += 1
                elif answer.status == 503:
                    refused.append(words)  # and once more with the same key
                    time.sleep(0.05)
                else:
                    other.append(answer)
                    return

        senders = [threading.Thread(target=send, args=(seat,)) for seat in "abc"]
        for sender in senders:
            sender.start()
        for _ in range(2):
            before = len(stored)
            self.assertTrue(serving.wait_until(lambda: other or len(stored) > before + 10, 60))
            self.act("kill")
            time.sleep(0.3)
            self.act("start")
        before = len(stored)
        serving.wait_until(lambda: other or len(stored) > before + 10, 60)
        over.set()
        for sender in senders:
            sender.join()
        self.assertEqual(other, [])
        self.assertTrue(refused)
        there = self.words_stored()
        self.assertEqual(len(set(there)), len(there))
        self.assertLessEqual(set(stored), set(there))
        self.expect_whole()

    def test_two_servers_on_one_database(self):
        store = self.new_database()
        first, second = (serving.Client(self.enterContext(serving.Server(store)))
                         for _ in range(2))
        self.client = first
        self.new_case()
        events = http.client.HTTPConnection("127.0.0.1", second.server.port, timeout=20)
        events.request("GET", "/api/events?case=bay")
        stream = events.getresponse()
        time.sleep(0.2)
        for number in range(3):
            receipt = self.add(f"heard {number}").json()
            began = time.time()
            seq = 0
            while seq < receipt["seq"]:
                line = stream.readline().decode()
                if line.startswith("data:"):
                    seq = json.loads(line[5:])["seq"]
            self.assertLess(time.time() - began, 3)
        events.close()

        def send(client, seat):
            for number in range(30):
                self.add(f"{seat} {number}", client=client)

        senders = [threading.Thread(target=send, args=(client, seat))
                   for client, seat in ((first, "a"), (second, "b"))]
        for sender in senders:
            sender.start()
        for sender in senders:
            sender.join()
        views = [client.ask("GET", "/api/cases/bay").json() for client in (first, second)]
        self.assertEqual(views[0]["case"], views[1]["case"])
        words = [entry["words"] for entry in views[0]["case"]["entries"]]
        self.assertEqual(len(words), 63)
        for seat in "ab":
            self.assertEqual([w for w in words if w[0] == seat],
                             [f"{seat} {number}" for number in range(30)])
        self.assertEqual([r["seq"] for r in views[0]["receipts"]],
                         sorted(r["seq"] for r in views[0]["receipts"]))
        findings = [client.ask("GET", "/api/cases/bay/findings").json()
                    for client in (first, second)]
        self.assertEqual(*findings)
        self.expect_whole()

    def test_a_database_that_can_only_be_read(self):
        store = self.new_database()
        with serving.Server(store) as server:
            self.client = serving.Client(server)
            self.new_case()
            self.add("before")
        name = store.split("?")[0].rsplit("/", 1)[1]
        subprocess.run(["psql", "-q", self.url, "-c",
                        f"alter database {name} set default_transaction_read_only = on"],
                       check=True)
        self.serve(store)
        self.assertTrue(self.ask(200, "GET", "/api/status").json()["read_only"])
        self.assertEqual(self.words_stored(), ["before"])
        self.told(403, "POST", "/api/cases/bay/entries", self.note("x"))
        self.told(403, "POST", "/api/cases", {"name": "another"})


if __name__ == "__main__":
    unittest.main()
