# SPDX-License-Identifier: Apache-2.0
"""`tautmark store account`: who may log in, from the machine of the store."""

import unittest

import program


class Accounts(program.InFolder):
    def account(self, status, *words):
        seat = () if words[0] == "list" else ("--seat", "desk")
        return self.expect(status, "store", "account", *words, "--store", "shop.store", *seat)

    def setUp(self):
        super().setUp()
        (self.folder / "first").write_text("three words together\n")
        (self.folder / "second").write_text("three other words\n")
        self.small_case()
        self.expect(0, "case", "import", "case", "--store", "shop.store", "--drives", self.folder)
        self.account(0, "add", "Anna", "--role", "manage", "--password-file", "first")

    def test_made_listed_changed(self):
        self.account(0, "add", "Ben", "--role", "read", "--password-file", "second")
        self.assertIn("Ben", self.account(0, "list").stdout)
        self.account(0, "role", "ben", "--role", "write")
        self.account(0, "password", "Ben", "--password-file", "first")
        self.account(0, "disable", "Ben")
        self.assertIn("disabled", self.account(0, "list").stdout)
        self.account(0, "disable", "Ben", "--back")
        audit = self.expect(0, "store", "audit", "--store", "shop.store").stdout
        self.assertGreaterEqual(audit.count("desk"), 6)
        self.expect(0, "store", "verify", "--store", "shop.store")

    def test_what_is_refused(self):
        self.assertIn("password", self.account(2, "add", "Carl").stderr)
        (self.folder / "short").write_text("short\n")
        self.account(2, "add", "Carl", "--password-file", "short")
        self.account(2, "add", "anna", "--password-file", "second")
        self.account(2, "password", "Nobody", "--password-file", "second")
        self.account(2, "disable", "Anna")  # the last who may manage
        self.account(64, "role", "Anna", "--role", "king")


if __name__ == "__main__":
    unittest.main()
