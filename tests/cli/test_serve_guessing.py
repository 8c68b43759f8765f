# SPDX-License-Identifier: Apache-2.0
"""What a shared server notes of people, and how it stands wrong passwords."""

import collections
import json
import threading
import time
import unittest

from shared import Shared

MIB = 1 << 20


class Audit(Shared):
    def test_acts_are_noted(self):
        will = self.person("Will", "write")
        self.ask(201, will, "POST", "/api/cases", {"name": "bay 3"})
        self.ask(200, will, "GET", "/api/cases/bay%203/pack")
        self.ask(204, self.anna, "DELETE", "/api/cases/bay%203", {"reason": "made by mistake"})
        self.ask(200, self.anna, "PUT", "/api/accounts/Will", {"role": "read", "pin": "2580"})
        self.ask(204, will, "POST", "/api/logout", b"", {"Content-Type": "application/json"})
        self.ask(401, self.stranger(), "POST", "/api/login", {"name": "Will", "password": "x"})
        self.ask(401, self.stranger(), "POST", "/api/login", {"name": "my secret", "password": "x"})
        self.ask(200, self.anna, "PUT", "/api/accounts/Will", {"disabled": True})
        self.tablet()
        acts = self.acts()
        for act in (("log-in", "Will"), ("log-out", "Will"), ("log-in refused", "Will"),
                    ("role set", "Will"), ("PIN set", "Will"), ("account disabled", "Will"),
                    ("device paired", "tablet bay 3"), ("pairing code made", "a tablet")):
            self.assertIn(act, acts)
        what = " ".join(one for one, _ in acts)
        for word in ("export", "delet", "account"):
            self.assertIn(word, what)
        # What was typed for a name may have been a password.
        self.assertNotIn("my secret", json.dumps(acts))


class Guessing(Shared):
    def test_ten_thousand_wrong_tries(self):
        """From eight connections; meanwhile somebody at another address logs in."""
        self.person("Will", "write")
        before = self.server.memory()
        answered, faults = [], []

        def guess(worker):
            client = self.stranger()
            try:
                for n in range(1250):
                    answer = client.raw("POST", "/api/login", {
                        "name": ["Anna Q", "Will", f"nobody {n}"][n % 3],
                        "password": f"guess {worker} {n} of many"})
                    answered.append(answer.status)  # of eight threads; a count would lose some
            except Exception as fault:  # told below, in the thread of the test
                faults.append(fault)

        threads = [threading.Thread(target=guess, args=(n,)) for n in range(8)]
        for thread in threads:
            thread.start()
        slowest, log_ins = 0, 0
        while any(thread.is_alive() for thread in threads):
            begun = time.time()
            self.logged_in("Will", "ring spanner ten", "127.0.0.2")
            slowest, log_ins = max(slowest, time.time() - begun), log_ins + 1
        for thread in threads:
            thread.join()
        self.assertEqual(faults, [])
        statuses = collections.Counter(answered)
        self.assertLessEqual(set(statuses), {401, 429}, statuses)
        self.assertEqual(sum(statuses.values()), 10_000)
        self.assertLess(statuses[401], 20, statuses)
        self.assertGreater(log_ins, 0)
        self.assertLess(slowest, 8)
        # Two passwords are hashed at once, 64 MiB each.
        self.assertLess(self.server.memory() - before, 200 * MIB)

    def test_from_many_addresses_a_name_is_slowed_down_but_not_locked(self):
        tablet = self.tablet(source="127.0.0.50")
        self.ask(200, self.anna, "PUT", "/api/accounts/Anna%20Q", {"pin": "2580"})
        statuses = []
        for n in range(30):
            answer = self.stranger(f"127.0.1.{n + 1}").ask(
                "POST", "/api/login", {"name": "ANNA q", "password": f"guess {n} of many"})
            statuses.append(answer.status)
        self.assertEqual(statuses[:20], [401] * 20)
        self.assertIn(429, statuses[20:])
        # A paired device is not held up, nor is another name.
        self.ask(200, tablet, "POST", "/api/login/pin", {"name": "Anna Q", "pin": "2580"})
        end = time.time() + 6
        while (answer := self.stranger("127.0.2.1").ask("POST", "/api/login", {
                "name": "Anna Q", "password": self.server.PASSWORD})).status == 429:
            self.assertLessEqual(int(answer.headers["Retry-After"]), 4)
            self.assertLess(time.time(), end)
            time.sleep(0.5)
        self.assertEqual(answer.status, 200, answer)


if __name__ == "__main__":
    unittest.main()
