# SPDX-License-Identifier: Apache-2.0
"""A running server of the program, and a client that checks every answer against openapi.json."""

import contextlib
import functools
import http.client
import json
import os
import pathlib
import re
import signal
import ssl
import subprocess
import tempfile
import time
import unittest
import urllib.parse

import jsonschema

import program

ROOT = program.ROOT
POSTGRES = ROOT / "tests" / "support" / "postgres_for_tests.sh"


def has_postgres():
    return pathlib.Path("/usr/lib/postgresql/15/bin/postgres").exists()


class Server:
    """`tautmark serve` on a free port; ends with the context."""

    def __init__(self, store, *words, environment=None, drives=()):
        """`drives`: folders before the one of the source tree."""
        self.scratch = tempfile.TemporaryDirectory()
        self.environment = {**os.environ, "XDG_CACHE_HOME": self.scratch.name, "NO_COLOR": "1",
                            **(environment or {})}
        self.words = [program.PROGRAM, "serve", "--store", str(store), "--listen", "127.0.0.1:0",
                      *(word for folder in (*drives, ROOT / "drives")
                        for word in ("--drives", str(folder))), *map(str, words)]

    def __enter__(self):
        self.log = tempfile.TemporaryFile(mode="w+")
        self.process = subprocess.Popen(self.words, stdout=subprocess.PIPE, stderr=self.log,
                                        stdin=subprocess.DEVNULL, text=True, env=self.environment)
        self.said = []
        for line in self.process.stdout:
            self.said.append(line.rstrip("\n"))
            found = re.search(r"^(?:open | +)(https?)://(\[[^\]]*\]|[^:/]+):(\d+)/", line)
            if found:
                self.scheme, self.host, self.port = found[1], found[2], int(found[3])
                if self.scheme == "https":
                    self.hear_the_notice()
                return self
        self.log.seek(0)
        raise AssertionError(f"the server did not start: {self.said} {self.log.read()}")

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        try:
            self.status = self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            self.status = None
        self.process.stdout.close()
        self.log.seek(0)
        self.errors = self.log.read()
        self.log.close()
        self.scratch.cleanup()

    def hear_the_notice(self):
        """The rest of what sharing says, to its last line; nobody reads on afterwards."""
        for line in self.process.stdout:
            self.said.append(line.rstrip("\n"))
            if line.startswith("Ctrl-C ends"):
                return

    def memory(self):
        """Resident bytes of the server."""
        text = pathlib.Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.search(r"VmRSS:\s+(\d+) kB", text)[1]) * 1024


class Answer:
    def __init__(self, response):
        self.status = response.status
        self.headers = response.headers
        self.type = (response.getheader("Content-Type") or "").split(";")[0]
        self.bytes = response.read()

    def json(self):
        return json.loads(self.bytes)

    def __repr__(self):
        return f"{self.status} {self.type} {self.bytes[:600]!r}"


class SharedServer(Server):
    """`tautmark serve --share`, with a first account; reached over loopback."""

    MANAGER, PASSWORD = "Anna Q", "socket wrench nine"
    ADDRESS = "192.168.20.31"  # what tablets would use; the certificate holds loopback as well

    def __init__(self, store, *words, environment=None):
        super().__init__(store, "--share", "--address", self.ADDRESS, "--manager", self.MANAGER,
                         *words, environment=environment)
        self.password_file = pathlib.Path(self.scratch.name) / "password"
        self.password_file.write_text(self.PASSWORD + "\n")
        self.words += ["--password-file", str(self.password_file)]
        self.certificates = pathlib.Path(f"{store}.certificates")

    def context(self):
        """Trusts the shop's own authority and nothing else; names are checked."""
        der = fetch_certificate(self.port)
        return ssl.create_default_context(cadata=der)


def fetch_certificate(port):
    """As a new tablet does it: without trust, over /trust/certificate."""
    blind = ssl.create_default_context()
    blind.check_hostname, blind.verify_mode = False, ssl.CERT_NONE
    line = http.client.HTTPSConnection("127.0.0.1", port, timeout=20, context=blind)
    with contextlib.closing(line):
        line.request("GET", "/trust/certificate")
        return line.getresponse().read()


class Client:
    """One keep-alive connection. Every answer of /api is checked against the API's document."""

    def __init__(self, server, context=None, source="127.0.0.1"):
        self.server = server
        self.context = context
        self.source = source
        self.cookies = {}
        self.connection = None
        self._document = None

    def connect(self):
        if self.server.scheme == "https":
            return http.client.HTTPSConnection("127.0.0.1", self.server.port, timeout=60,
                                               context=self.context,
                                               source_address=(self.source, 0))
        return http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)

    def close(self):
        if self.connection is not None:
            self.connection.close()

    def raw(self, method, target, body=None, headers=None):
        sent = {"Content-Type": "application/json"} if body is not None else {}
        if self.cookies:
            sent["Cookie"] = "; ".join(f"{k}={v}" for k, v in self.cookies.items())
        sent.update(headers or {})
        if isinstance(body, (dict, list)):
            body = json.dumps(body).encode()
        for again in (True, False):
            if self.connection is None:
                self.connection = self.connect()
            try:
                self.connection.request(method, target, body=body, headers=sent)
                answer = Answer(self.connection.getresponse())
                break
            except (http.client.RemoteDisconnected, ConnectionResetError, BrokenPipeError):
                self.connection.close()
                self.connection = None
                if not again:
                    raise
        for cookie in answer.headers.get_all("Set-Cookie") or []:
            name, value = cookie.split(";")[0].split("=", 1)
            self.cookies[name] = value
            if not value:
                self.cookies.pop(name)
        return answer

    def raw_once(self, method, target, body):
        """Never sent a second time: for a server that is about to be killed."""
        self.connection = self.connection or self.connect()
        self.connection.request(method, target, body=json.dumps(body).encode(),
                                headers={"Content-Type": "application/json"})
        return Answer(self.connection.getresponse())

    def ask(self, method, target, body=None, headers=None):
        answer = self.raw(method, target, body, headers)
        path = urllib.parse.urlsplit(target).path
        if path.startswith("/practice/api/") and path not in self.document["paths"]:
            path = path.removeprefix("/practice")
        if path.startswith(("/api/", "/practice/api/")):
            self.check(method, path, answer)
        return answer

    @property
    def document(self):
        if self._document is None:
            self._document = self.raw("GET", "/api/openapi.json").json()
        return self._document

    def check(self, method, path, answer):
        """The answer is one of those that the document promises."""
        operation = operation_of(self.document, method, path)
        if operation is None:
            assert answer.status in (404, 405), f"{method} {path}: {answer}"
            return
        responses = operation["responses"]
        key = str(answer.status)
        assert key in responses or "default" in responses, f"{method} {path}: {answer}"
        response = responses.get(key, responses.get("default"))
        if "$ref" in response:
            response = self.document["components"]["responses"][response["$ref"].split("/")[-1]]
        content = response.get("content")
        if content is None:
            assert answer.bytes == b"", f"{method} {path}: {answer}"
            return
        assert answer.type in content, f"{method} {path}: {answer} is none of {list(content)}"
        schema = content[answer.type].get("schema")
        if schema and answer.type.endswith("json"):
            validate(self.document, schema, answer.json())


def operation_of(document, method, path):
    best = None
    for pattern, operations in document["paths"].items():
        expression = "".join("[^/]+" if part.startswith("{") else re.escape(part)
                             for part in re.split(r"(\{[^}]*\})", pattern))
        if re.fullmatch(expression, path) and method.lower() in operations:
            if best is None or pattern.count("{") < best[0]:
                best = (pattern.count("{"), operations[method.lower()])
    return best[1] if best else None


@functools.lru_cache(maxsize=None)
def validator(document_text, schema_text):
    document = json.loads(document_text)
    schema = dict(json.loads(schema_text), components=document["components"])
    return jsonschema.Draft202012Validator(schema)


def validate(document, schema, value):
    validator(json.dumps(document, sort_keys=True), json.dumps(schema, sort_keys=True)).validate(
        value)


@contextlib.contextmanager
def postgres():
    """A PostgreSQL 15 of its own in a temporary folder; gives its URL and an `act` function."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)

        def act(*words):
            subprocess.run(["sh", str(POSTGRES), words[0], folder, *words[1:]], check=True,
                           stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=120)

        with open(f"{folder}/users", "w") as users:
            import fcntl
            fcntl.flock(users, fcntl.LOCK_SH)
            act("serve", "off", "2")
            try:
                yield f"postgresql:///postgres?host={folder}/server&user=postgres", act
            finally:
                with contextlib.suppress(Exception):
                    act("stop")
                time.sleep(0.1)


@unittest.skipUnless(has_postgres(), "no PostgreSQL 15 here")
class OnPostgres(program.InFolder):
    """Tests with a PostgreSQL of their own, and a new database in it for each."""
    kind = "server"

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.url, act = cls.enterClassContext(postgres())
        cls.act = staticmethod(act)

    def new_database(self):
        OnPostgres.databases += 1
        name = f"t{OnPostgres.databases}"
        subprocess.run(["psql", "-q", self.url, "-c", f"create database {name}"], check=True)
        return self.url.replace("/postgres?", f"/{name}?")

    databases = 0


def wait_until(true, seconds=10):
    end = time.time() + seconds
    while time.time() < end:
        if true():
            return True
        time.sleep(0.02)
    return False
