# SPDX-License-Identifier: Apache-2.0
"""A killed server, a database server that goes away and comes back, two servers on one database."""

import http.client
import json
import signal
import subprocess
import threading
import time
import unittest

import serving
import working


class Killed(working.Working):
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


class Embedded(Killed):
    def new_store(self):
        return self.folder / "shop.store"


class OnPostgres(serving.OnPostgres, Killed):
    def new_store(self):
        return self.new_database()

    def test_the_database_goes_away_and_comes_back(self):
        self.serve(self.new_database())
        self.new_case()
        self.add("before")
        events = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=20)
        events.request("GET", "/api/events?case=bay")
        stream = events.getresponse()
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
            self.heard(stream, self.add(f"after {act}").json())
        events.close()
        self.assertEqual(self.words_stored(), ["before", "after stop", "after kill"])
        self.assertEqual(len(self.ask(200, "GET", "/api/cases").json()["cases"]), 1)
        self.expect_whole()

    def heard(self, stream, receipt):
        """An open page hears of an entry in time."""
        began = time.time()
        seq = 0
        while seq < receipt["seq"]:
            line = stream.readline().decode()
            self.assertTrue(line, "the stream has ended")
            if line.startswith("data:"):
                seq = json.loads(line[5:])["seq"]
        self.assertLess(time.time() - began, 3)

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
            self.heard(stream, self.add(f"heard {number}").json())
        events.close()

        def send(client, seat):
            for number in range(30):
                # A slow machine may hear "try again", and does, as the page would.
                for again in range(20):
                    answer = client.ask("POST", "/api/cases/bay/entries",
                                        self.note(f"{seat} {number}", f"{seat}-{number}"))
                    if answer.status != 503:
                        break
                self.assertEqual(answer.status, 201, f"{again}: {answer}")

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


del Killed


if __name__ == "__main__":
    unittest.main()
