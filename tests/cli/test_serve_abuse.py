# SPDX-License-Identifier: Apache-2.0
"""What strangers and broken machines send: refused, with memory bounded."""

import socket
import time
import unittest

import program
import serving

MIB = 1 << 20


class Abuse(program.InFolder):
    def setUp(self):
        super().setUp()
        self.server = self.enterContext(serving.Server(self.folder / "shop.store"))
        self.client = serving.Client(self.server)

    def status(self, method, target, body=None, headers=None):
        return self.client.raw(method, target, body, headers).status

    def sent(self, data, seconds=5):
        """The first line of what comes back for these bytes; empty: closed without a word."""
        with socket.create_connection(("127.0.0.1", self.server.port), timeout=seconds) as line:
            line.sendall(data)
            got = b""
            try:
                while b"\r\n" not in got:
                    piece = line.recv(4096)
                    if not piece:
                        break
                    got += piece
            except (TimeoutError, ConnectionResetError):
                pass
        return got.split(b"\r\n")[0].decode()

    def test_only_our_own_names(self):
        for host in ("evil.example", "127.0.0.1.evil.example", "localhost.evil.example", "",
                     "tautmark.local", "[::2]"):
            self.assertIn(self.status("GET", "/api/status", headers={"Host": host}), (400, 421),
                          host)
        for host in ("localhost", "127.0.0.1:1", f"localhost:{self.server.port}"):
            self.assertEqual(self.status("GET", "/api/status", headers={"Host": host}), 200, host)

    def test_no_page_of_others_can_write(self):
        case = {"name": "x"}
        for headers in ({"Origin": "https://evil.example"}, {"Origin": "null"},
                        {"Origin": f"http://localhost:{self.server.port + 1}"},
                        {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}):
            self.assertEqual(self.status("POST", "/api/cases", case, headers), 403, headers)
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
            self.assertEqual(self.status("POST", "/api/cases", case, {"Content-Type": kind}), 415)
        answer = self.client.raw("GET", "/api/status", headers={"Origin": "https://evil.example"})
        self.assertFalse([h for h in answer.headers if h.lower().startswith("access-control")])
        self.assertEqual(self.client.raw("GET", "/api/cases").json()["cases"], [])

    def test_what_is_no_request(self):
        for data in (b"\x00\x01\x02\r\n\r\n", b"GET\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n",
                     b"GET /%2e%2e/%2e%2e/etc/passwd HTTP/1.1\r\nHost: localhost\r\n\r\n",
                     b"GET /../../etc/passwd HTTP/1.1\r\nHost: localhost\r\n\r\n",
                     b"GET /page/..%2f..%2fetc%2fpasswd HTTP/1.1\r\nHost: localhost\r\n\r\n",
                     b"POST /api/cases HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n",
                     b"POST /api/cases HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\n"
                     b"Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n"):
            line = self.sent(data)
            self.assertTrue(line == "" or " 4" in line or " 505" in line, (data, line))
        self.assertEqual(self.status("GET", "/api/status"), 200)

    def test_sizes_have_limits(self):
        line = self.sent(b"GET / HTTP/1.1\r\nHost: localhost\r\nX: " + b"a" * 100_000 + b"\r\n\r\n")
        self.assertTrue(line == "" or " 431" in line, line)
        line = self.sent(b"GET /" + b"a" * 8_000 + b" HTTP/1.1\r\nHost: localhost\r\n\r\n")
        self.assertTrue(" 414" in line or " 431" in line, line)
        line = self.sent(b"POST /api/cases HTTP/1.1\r\nHost: localhost\r\n"
                         b"Content-Type: application/json\r\nContent-Length: 999999999999\r\n\r\n")
        self.assertIn(" 413", line)

    def test_slow_ones_are_shed_and_disturb_nobody(self):
        slow = []
        for n in range(200):
            line = socket.create_connection(("127.0.0.1", self.server.port))
            line.sendall([b"", b"GET /api/status HT", b"POST /api/cases HTTP/1.1\r\nHost: localhost"
                          b"\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{"]
                         [n % 3])
            slow.append(line)
        begun = time.time()
        for _ in range(50):
            self.assertEqual(self.status("GET", "/api/status"), 200)
        self.assertLess(time.time() - begun, 20)
        for line in slow:
            line.close()

    def test_memory_stays(self):
        self.status("POST", "/api/cases", {"name": "x"})
        before = self.server.memory()
        octets = {"Content-Type": "application/octet-stream"}

        def pieces():
            for n in range(256):
                yield bytes([n]) * MIB

        answer = self.client.raw("POST", "/api/cases/x/files?name=long.bin", pieces(),
                                 dict(octets, **{"Content-Length": str(256 * MIB)}))
        self.assertEqual(answer.status, 201, answer)
        for n in range(300):
            self.sent(b"GET / HTTP/1.1\r\nHost: localhost\r\nX: " + b"a" * 60_000, seconds=0.01)
        self.assertLess(self.server.memory() - before, 160 * MIB)
        line = self.client.connect()
        line.request("GET", "/api/cases/x/file?name=long.bin")
        response, size = line.getresponse(), 0
        while piece := response.read(MIB):
            size += len(piece)
        self.assertEqual(size, 256 * MIB)
        self.assertLess(self.server.memory() - before, 160 * MIB)

    def test_it_ends_in_order(self):
        streams = []
        for _ in range(5):
            line = socket.create_connection(("127.0.0.1", self.server.port))
            line.sendall(b"GET /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n")
            streams.append(line)
        time.sleep(0.2)
        begun = time.time()
        self.server.process.terminate()
        self.assertEqual(self.server.process.wait(15), 0)
        self.assertLess(time.time() - begun, 8)
        for line in streams:
            line.close()


class Refusals(program.InFolder):
    def test_no_other_address_without_sharing(self):
        for address in ("0.0.0.0:0", "192.0.2.1:8604", "[::]:0"):
            result = self.expect(64, "serve", "--store", "s.store", "--listen", address)
            self.assertIn("--share", result.stderr)

    def test_a_port_in_use_is_said(self):
        with serving.Server(self.folder / "shop.store") as server:
            result = self.expect(2, "serve", "--store", "other.store", "--listen",
                                 f"127.0.0.1:{server.port}")
            self.assertIn(str(server.port), result.stderr)

    def test_a_file_that_is_no_store_is_not_touched(self):
        (self.folder / "letter.txt").write_text("dear customer, the chain was worn" * 20)
        before = (self.folder / "letter.txt").read_bytes()
        result = self.expect(2, "serve", "--store", "letter.txt")
        self.assertIn("not a store", result.stderr)
        self.assertEqual((self.folder / "letter.txt").read_bytes(), before)


if __name__ == "__main__":
    unittest.main()
