# SPDX-License-Identifier: Apache-2.0
"""A shared server under test, and people of different roles."""

import contextlib
import sqlite3

import program
import serving


class Shared(program.InFolder):
    """One server for each test; Anna may manage."""

    def setUp(self):
        super().setUp()
        self.store = self.folder / "shop.store"
        self.server = self.enterContext(serving.SharedServer(self.store))
        self.context = self.server.context()
        self.anna = self.logged_in(self.server.MANAGER, self.server.PASSWORD)

    def stranger(self, source="127.0.0.1"):
        client = serving.Client(self.server, self.context, source)
        self.addCleanup(client.close)
        return client

    def logged_in(self, name, password, source="127.0.0.1"):
        client = self.stranger(source)
        answer = client.ask("POST", "/api/login", {"name": name, "password": password})
        self.assertEqual(answer.status, 200, answer)
        return client

    def ask(self, status, client, method, target, body=None, headers=None):
        answer = client.ask(method, target, body, headers)
        self.assertEqual(answer.status, status, f"{method} {target}: {answer}")
        return answer

    def person(self, name, role, password="ring spanner ten"):
        self.ask(201, self.anna, "POST", "/api/accounts",
                 {"name": name, "role": role, "password": password})
        return self.logged_in(name, password)

    def code(self):
        return self.ask(201, self.anna, "POST", "/api/pairing", b"",
                        {"Content-Type": "application/json"}).json()["code"]

    def tablet(self, name="tablet bay 3", source="127.0.0.1"):
        client = self.stranger(source)
        self.ask(204, client, "POST", "/api/pair", {"code": self.code(), "name": name})
        return client

    def acts(self):
        listed = self.ask(200, self.anna, "GET", "/api/audit?limit=1000").json()["entries"]
        return [(one["what"], one["subject"]) for one in listed]

    def sql(self, text, *values):
        with contextlib.closing(sqlite3.connect(self.store, timeout=10)) as store, store:
            store.execute(text, values)
