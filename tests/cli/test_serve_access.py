# SPDX-License-Identifier: Apache-2.0
"""Who gets into a shared server, and who does not: over TLS, against the shop's own authority."""

import contextlib
import hashlib
import http.client
import re
import socket
import ssl
import time
import unittest

import serving
from shared import Shared

OPEN_PATHS = {"/", "/login", "/pair", "/people", "/trust", "/trust/certificate"}


class Doors(Shared):
    def test_nothing_without_log_in_and_nothing_above_ones_role(self):
        """Every operation of the document, with what stands in it about its role."""
        clients = {-1: self.stranger(), 0: self.person("Rita", "read"),
                   1: self.person("Will", "write"), 2: self.anna}
        document = self.anna.document
        seen = 0
        for pattern, operations in document["paths"].items():
            target = re.sub(r"\{[^}]*\}", "none", pattern)
            for method, operation in operations.items():
                if "x-role" not in operation:
                    self.assertEqual(operation["security"], [], operation["operationId"])
                    continue
                needs = ["read", "write", "manage"].index(operation["x-role"])
                if operation["operationId"] in ("events", "logOut"):  # below
                    continue
                seen += 1
                for role, client in clients.items():
                    if role == 2:
                        continue
                    answer = client.ask(method.upper(), target, *self.body(method, operation))
                    with self.subTest(f"{method} {target} as {role}"):
                        if role < 0:
                            self.assertEqual(answer.status, 401, answer)
                        elif role < needs:
                            self.assertEqual(answer.status, 403, answer)
                        else:
                            self.assertNotIn(answer.status, (401, 403), answer)
        self.assertGreater(seen, 30)
        self.ask(401, clients[-1], "GET", "/api/events")
        self.ask(401, clients[-1], "POST", "/api/logout", b"", {"Content-Type": "application/json"})

    @staticmethod
    def body(method, operation):
        if method == "get":
            return None, {}
        content = operation.get("requestBody", {}).get("content")
        return (b"{}" if content else b""), {"Content-Type": next(iter(content), "")
                                             if content else "application/json"}

    def test_what_strangers_may_see(self):
        stranger = self.stranger()
        for path in sorted(OPEN_PATHS):
            self.assertEqual(stranger.raw("GET", path).status, 200, path)
        page = stranger.raw("GET", "/login")
        self.assertIn("default-src 'self'", page.headers["Content-Security-Policy"])
        self.assertNotIn("unsafe-inline' ", page.headers["Content-Security-Policy"].split(";")[0])
        assets = re.findall(r'(?:src|href)="(/[^"]+)"', page.bytes.decode())
        self.assertIn("/code/index.js", assets)
        for asset in assets:
            self.assertEqual(stranger.raw("GET", asset).status, 200, asset)
        status = self.ask(200, stranger, "GET", "/api/status").json()
        self.assertEqual((status["shared"], status["cases"], status["paired"]), (True, 0, False))
        self.ask(200, stranger, "GET", "/api/openapi.json")
        self.assertEqual(stranger.raw("GET", "/trust/certificate").type,
                         "application/x-x509-ca-cert")
        self.assertNotIn("Anna", page.bytes.decode())

    def test_addresses_that_are_typed_and_scanned_are_those_of_the_page(self):
        stranger = self.stranger()
        page = stranger.raw("GET", "/").bytes
        for path in ("/login", "/pair", "/people"):
            self.assertEqual(stranger.raw("GET", path).bytes, page, path)
            self.assertEqual(stranger.raw("GET", f"{path}.html").status, 404, path)

    def test_how_to_trust_is_told_in_the_language_of_the_browser(self):
        stranger = self.stranger()
        for query, wanted, language in (("", "de-DE,de;q=0.9,en;q=0.8", "de"), ("", "fr", "en"),
                                        ("?in=de", "en", "de"), ("?in=en", "de", "en")):
            answer = stranger.raw("GET", f"/trust{query}", headers={"Accept-Language": wanted})
            self.assertIn(f'<html lang="{language}">'.encode(), answer.bytes)
            self.assertIn("Accept-Language", answer.headers["Vary"])

    def test_the_certificate_vouches_for_this_server_only(self):
        with self.assertRaises(ssl.SSLCertVerificationError):
            self.connect(ssl.create_default_context())
        with self.connect(self.context) as line:
            self.assertEqual(line.version(), "TLSv1.3")
        with self.assertRaises(ssl.SSLCertVerificationError):
            self.connect(self.context, "192.168.20.32")
        self.connect(self.context, self.server.ADDRESS).close()
        fingerprint = hashlib.sha256(serving.fetch_certificate(self.server.port)).hexdigest().upper()
        said = "".join("\n".join(self.server.said).split())
        self.assertIn(fingerprint, said)

    def connect(self, context, name="127.0.0.1"):
        line = socket.create_connection(("127.0.0.1", self.server.port), timeout=10)
        self.addCleanup(line.close)
        return context.wrap_socket(line, server_hostname=name)

    def test_plain_http_is_refused(self):
        with socket.create_connection(("127.0.0.1", self.server.port), timeout=10) as line:
            line.sendall(b"GET /api/status HTTP/1.1\r\nHost: localhost\r\n\r\n")
            try:
                got = line.recv(4096)
            except ConnectionResetError:
                got = b""
        self.assertNotIn(b"200", got)
        self.assertNotIn(b"tautmark", got)

    def test_links_from_elsewhere_open_pages_only(self):
        link = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate",
                "Sec-Fetch-Dest": "document"}
        for path in ("/", "/login", "/pair", "/trust"):
            self.assertEqual(self.stranger().raw("GET", path, headers=link).status, 200, path)
        for path in ("/api/status", "/api/cases"):
            self.assertEqual(self.anna.raw("GET", path, headers=link).status, 403, path)
        for name, value in (("Sec-Fetch-Dest", "iframe"), ("Sec-Fetch-Mode", "no-cors")):
            self.assertEqual(self.stranger().raw("GET", "/", headers=dict(link, **{name: value}))
                             .status, 403)

    def test_the_addresses_of_tablets_are_known(self):
        for host in (self.server.ADDRESS, f"{self.server.ADDRESS}:{self.server.port}"):
            self.assertEqual(self.anna.raw("GET", "/api/status", headers={"Host": host}).status, 200)
        self.assertEqual(self.anna.raw("GET", "/api/status",
                                       headers={"Host": "192.168.20.32"}).status, 421)


class LoggingIn(Shared):
    def test_the_cookie_is_for_this_server_alone(self):
        answer = self.ask(200, self.stranger(), "POST", "/api/login",
                          {"name": "anna  q", "password": self.server.PASSWORD})
        (cookie,) = answer.headers.get_all("Set-Cookie")
        flags = {part.strip().lower() for part in cookie.split(";")[1:]}
        self.assertLessEqual({"httponly", "secure", "samesite=strict", "path=/"}, flags)
        self.assertFalse(any(flag.startswith("domain") for flag in flags))
        self.assertEqual(answer.json()["name"], "Anna Q")
        token = cookie.split(";")[0].split("=")[1]
        self.assertEqual(len(token), 43)
        self.assertNotIn(token.encode(), self.store.read_bytes())

    def test_wrong_ones_are_not_told_apart(self):
        said = set()
        for name, password in (("Anna Q", "not this one at all"), ("Nobody", "not this one at all"),
                               ("' or 1=1 --", "x")):
            said.add(self.ask(401, self.stranger(), "POST", "/api/login",
                              {"name": name, "password": password}).json()["detail"])
        self.assertEqual(len(said), 1, said)

    def test_log_out_ends_the_session(self):
        kept = dict(self.anna.cookies)
        answer = self.ask(204, self.anna, "POST", "/api/logout", b"",
                          {"Content-Type": "application/json"})
        self.assertIn("Max-Age=0", answer.headers["Set-Cookie"])
        thief = self.stranger()
        thief.cookies = kept
        self.ask(401, thief, "GET", "/api/me")

    def test_a_disabled_account_loses_its_sessions(self):
        rita = self.person("Rita", "read")
        self.ask(200, rita, "GET", "/api/cases")
        self.ask(200, self.anna, "PUT", "/api/accounts/Rita", {"disabled": True})
        self.ask(401, rita, "GET", "/api/cases")
        self.ask(401, self.stranger(), "POST", "/api/login",
                 {"name": "Rita", "password": "ring spanner ten"})
        self.ask(422, self.anna, "PUT", "/api/accounts/Anna%20Q", {"disabled": True})

    def test_a_role_holds_from_the_next_request_on(self):
        rita = self.person("Rita", "read")
        self.ask(403, rita, "POST", "/api/cases", {"name": "bay 3"})
        self.ask(200, self.anna, "PUT", "/api/accounts/Rita", {"role": "write"})
        self.ask(201, rita, "POST", "/api/cases", {"name": "bay 3"})
        self.ask(200, self.anna, "PUT", "/api/accounts/Rita", {"role": "read"})
        self.ask(403, rita, "POST", "/api/cases", {"name": "bay 4"})

    def test_who_did_it_is_kept(self):
        will = self.person("Will", "write")
        self.ask(201, will, "POST", "/api/cases", {"name": "bay 3"})
        entry = self.ask(201, will, "POST", "/api/cases/bay%203/entries",
                         {"entry": {"kind": "note", "words": "oil is fresh"}}).json()
        self.assertEqual(entry["seat"], "Will")

    def test_ones_own_pin_and_password(self):
        will = self.person("Will", "write")
        self.ask(422, will, "PUT", "/api/me", {"old_password": "not mine at all", "pin": "2580"})
        self.ask(422, will, "PUT", "/api/me", {"pin": "2580"})
        self.ask(422, will, "PUT", "/api/me", {"old_password": "ring spanner ten", "pin": "25"})
        self.ask(204, will, "PUT", "/api/me", {"old_password": "ring spanner ten", "pin": "2580"})
        tablet = self.tablet()
        self.ask(200, tablet, "POST", "/api/login/pin", {"name": "Will", "pin": "2580"})
        self.ask(204, will, "PUT", "/api/me",
                 {"old_password": "ring spanner ten", "password": "torque wrench ten"})
        self.ask(401, will, "GET", "/api/me")
        self.ask(401, tablet, "GET", "/api/me")
        self.logged_in("Will", "torque wrench ten")
        self.assertIn(("PIN set", "Will"), self.acts())

    def test_an_open_stream_ends_with_its_session(self):
        rita = self.person("Rita", "read")
        line = self.enterContext(contextlib.closing(rita.connect()))
        line.request("GET", "/api/events", headers={
            "Cookie": "; ".join(f"{k}={v}" for k, v in rita.cookies.items())})
        stream = line.getresponse()
        self.assertEqual(stream.status, 200)
        self.assertEqual(stream.readline(), b"retry: 2000\n")
        self.ask(200, self.anna, "PUT", "/api/accounts/Rita", {"disabled": True})
        begun = time.time()
        with contextlib.suppress(http.client.IncompleteRead):
            while stream.readline():
                pass
        self.assertLess(time.time() - begun, 20)  # a heartbeat is 15 s


class Tablets(Shared):
    def setUp(self):
        super().setUp()
        self.person("Will", "write")
        self.ask(200, self.anna, "PUT", "/api/accounts/Will", {"pin": "2580"})

    def pin(self, status, client, pin="2580", name="Will"):
        return self.ask(status, client, "POST", "/api/login/pin", {"name": name, "pin": pin})

    def test_a_code_is_good_once(self):
        code = self.code()
        self.assertRegex(code, r"^[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}$")
        first, second = self.stranger(), self.stranger()
        answer = self.ask(204, first, "POST", "/api/pair", {"code": code.lower(), "name": "bay 3"})
        self.assertIn("HttpOnly", answer.headers["Set-Cookie"])
        self.assertIn("Secure", answer.headers["Set-Cookie"])
        self.ask(422, second, "POST", "/api/pair", {"code": code, "name": "bay 4"})
        self.assertEqual([d["name"] for d in self.ask(200, self.anna, "GET", "/api/devices")
                          .json()["devices"]], ["bay 3"])
        self.assertTrue(self.ask(200, first, "GET", "/api/status").json()["paired"])

    def test_a_code_is_good_for_ten_minutes(self):
        late, early = self.code(), self.code()
        self.sql("update pairing set expires = expires - 570000000 where code_hash = ?",
                 hashlib.sha256(early.replace("-", "").encode()).hexdigest())
        self.sql("update pairing set expires = expires - 600000000 where code_hash = ?",
                 hashlib.sha256(late.replace("-", "").encode()).hexdigest())
        self.ask(422, self.stranger(), "POST", "/api/pair", {"code": late, "name": "bay 3"})
        self.ask(204, self.stranger(), "POST", "/api/pair", {"code": early, "name": "bay 3"})

    def test_the_code_on_the_screen_pairs(self):
        said = "\n".join(self.server.said)
        code = re.search(r"the code +([0-9A-Z]{4}-[0-9A-Z]{4})", said)[1]
        self.ask(204, self.stranger(), "POST", "/api/pair", {"code": code, "name": "bay 3"})

    def test_a_pin_needs_a_paired_device(self):
        self.pin(401, self.stranger())
        forged = self.stranger()
        forged.cookies["tautmark_device"] = "A" * 43
        self.pin(401, forged)
        tablet = self.tablet()
        self.assertEqual(self.pin(200, tablet).json()["device"], "tablet bay 3")
        self.ask(201, tablet, "POST", "/api/cases", {"name": "bay 3"})
        entry = self.ask(201, tablet, "POST", "/api/cases/bay%203/entries",
                         {"entry": {"kind": "note", "words": "oil is fresh"}}).json()
        self.assertEqual(entry["seat"], "Will, tablet bay 3")

    def test_a_lost_tablet_is_out_at_once(self):
        tablet = self.tablet()
        self.pin(200, tablet)
        (device,) = self.ask(200, self.anna, "GET", "/api/devices").json()["devices"]
        self.ask(204, self.anna, "DELETE", f"/api/devices/{device['id']}", b"",
                 {"Content-Type": "application/json"})
        self.ask(401, tablet, "GET", "/api/me")
        self.pin(401, tablet)
        self.assertFalse(self.ask(200, tablet, "GET", "/api/status").json()["paired"])

    def test_wrong_pins_slow_down_and_in_the_end_revoke(self):
        tablet = self.tablet(source="127.0.0.3")
        for n in range(5):
            self.pin(401, tablet, f"000{n}")
        slow = self.pin(429, tablet, "2580")  # also for the right one
        self.assertGreaterEqual(int(slow.headers["Retry-After"]), 1)
        # Another address does not help: the store counts for the tablet.
        moved = self.stranger("127.0.0.4")
        moved.cookies = dict(tablet.cookies)
        self.assertGreaterEqual(int(self.pin(429, moved, "0000").headers["Retry-After"]), 1)
        # Waiting does, for a while: as if the waits were over, each from an address of its own.
        for n in range(15):
            self.sql("update pin_try set last = last - 1000000000")
            moved = self.stranger(f"127.0.0.{10 + n}")
            moved.cookies = dict(tablet.cookies)
            self.pin(401, moved, f"11{n:02}")
        self.sql("update pin_try set last = last - 1000000000")
        moved = self.stranger("127.0.0.99")
        moved.cookies = dict(tablet.cookies)
        # It is none of ours now: the name is slowed down for it as for any stranger.
        time.sleep(int(self.pin(429, moved, "2580").headers["Retry-After"]) + 0.1)
        self.assertIn("not paired", self.pin(401, moved, "2580").json()["detail"])
        self.assertIn(("device revoked", "tablet bay 3"), self.acts())

    def test_a_tablet_that_is_used_stays_logged_in(self):
        """Its session is prolonged, and the browser is told to keep the cookie once a day."""
        tablet = self.tablet()
        answer = self.pin(200, tablet)
        self.assertEqual(len(answer.headers.get_all("Set-Cookie")), 2)  # the pairing lasts too
        self.assertIsNone(self.ask(200, tablet, "GET", "/api/me").headers["Set-Cookie"])
        day = 86_400_000_000
        self.sql("update login_session set created = created - ?, last_seen = last_seen - ?,"
                 " expires = expires - ?", 40 * day, 25 * day, 25 * day)
        renewed = self.ask(200, tablet, "GET", "/api/cases")
        (cookie,) = renewed.headers.get_all("Set-Cookie")
        self.assertIn("tautmark_session=" + tablet.cookies["tautmark_session"], cookie)
        self.assertIn(f"Max-Age={30 * 86_400}", cookie)
        self.assertIn("Secure", cookie)
        self.assertIsNone(self.ask(200, tablet, "GET", "/api/me").headers["Set-Cookie"])


if __name__ == "__main__":
    unittest.main()
