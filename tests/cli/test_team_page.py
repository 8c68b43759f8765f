# SPDX-License-Identifier: Apache-2.0
"""The commands of docs/team.md, run as they stand there against a PostgreSQL of the test."""

import os
import pathlib
import re
import socket
import subprocess
import unittest

import program
import serving

PAGE = (program.ROOT / "docs" / "team.md").read_text()
PASSWORD = "a pass phrase"
BIN = "/usr/lib/postgresql/15/bin"
# What differs from a Debian machine: where the cluster lies, who runs it, its name and its port.
AS_POSTGRES = "setpriv --reuid=postgres --regid=postgres --clear-groups" if os.geteuid() == 0 else ""


def blocks(heading):
    section = PAGE.split(f"\n## {heading}\n")[1].split("\n## ")[0]
    return re.findall(r"^```sh\n(.*?)^```$", section, re.M | re.S)


def free_port():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


class TeamPage(serving.OnPostgres):
    def setUp(self):
        super().setUp()
        os.chmod(self.folder, 0o755)
        self.server = pathlib.Path(re.search(r"host=([^&]*)", self.url)[1])
        self.port = free_port()
        self.make_certificate("localhost", self.server / "data")
        # Debian's beginning: the system vouches for its users, here for anybody on this socket.
        (self.server / "data" / "pg_hba.conf").write_text("local all postgres trust\n")
        self.environment = {
            **os.environ, "HOME": str(self.folder), "PGHOST": str(self.server),
            "PGUSER": "postgres", "PGPORT": "5432", "LC_ALL": "C.UTF-8",
            "PATH": f"{pathlib.Path(program.PROGRAM).parent}:{BIN}:{os.environ['PATH']}"}
        for name in ("TAUTMARK_STORE", "PGPASSFILE", "PGPASSWORD"):
            self.environment.pop(name, None)

    def make_certificate(self, name, folder):
        """One that signs itself, as Debian's package makes it."""
        subprocess.run(
            ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj",
             f"/CN={name}", "-addext", f"subjectAltName=DNS:{name}", "-addext",
             "basicConstraints=critical,CA:FALSE", "-keyout", folder / "server.key", "-out",
             folder / "server.crt"], check=True, capture_output=True)
        os.chmod(folder / "server.key", 0o600)
        if os.geteuid() == 0:
            subprocess.run(["chown", "postgres:", folder / "server.key", folder / "server.crt"],
                           check=True)

    def here(self, commands):
        data = self.server / "data"
        start = (f"-k {self.server} -c ssl=on -c port={self.port} -c fsync=off "
                 f"-c unix_socket_permissions=0777")
        for old, new in (
                (r"^apt-get .*$", ""), (r"^cd .*$", f"cd {self.server}"),
                (r"runuser -u postgres -- ", ""),
                (r"192\.168\.7\.0/24", "127.0.0.1/32"),
                (r"/etc/postgresql/15/main/pg_hba\.conf", str(data / "pg_hba.conf")),
                (r"^systemctl restart .*$",
                 f"{AS_POSTGRES} pg_ctl -D {data} -m fast -w stop && {AS_POSTGRES} pg_ctl -D {data}"
                 f" -w -l {self.server}/log -o '{start}' start; export PGPORT={self.port}"),
                (r"db\.shop\.example:5432", f"localhost:{self.port}"),
                (r"db\.shop\.example", f"localhost:{self.port}"),
                (r"THE PASSWORD", PASSWORD), (r"import CASE", f"import {self.demo}")):
            commands, times = re.subn(old, new, commands, flags=re.M)
        return commands

    demo = f"{program.ROOT}/demo/vessgarth --drives {program.ROOT}/drives"

    def sh(self, commands, answers="", status=0):
        done = subprocess.run(["sh", "-eu", "-c", self.here(commands)], input=answers, text=True,
                              cwd=self.folder, env=self.environment, timeout=120,
                              capture_output=True, start_new_session=True)
        self.assertEqual(done.returncode, status, f"{commands}\n{done.stdout}\n{done.stderr}")
        return done

    def test_from_nothing_to_a_moved_store(self):
        setting_up, first_use = blocks("Set-up in ten lines")
        self.assertEqual(len(setting_up.splitlines()), 10)
        self.sh(setting_up, answers=f"{PASSWORD}\n{PASSWORD}\n")
        for key in ("PGHOST", "PGUSER", "PGPORT"):
            self.environment.pop(key)
        password, = blocks("Where the password goes")
        self.sh(password)
        self.assertEqual((self.folder / ".pgpass").stat().st_mode & 0o77, 0)
        info = first_use.splitlines()[-1]
        self.sh(info, status=2)  # nobody to sign for the other end
        (self.folder / ".postgresql").mkdir()
        certificate = self.folder / ".postgresql" / "root.crt"
        certificate.write_bytes((self.server / "data" / "server.crt").read_bytes())

        # The way in that is told works, and no other.
        self.sh("tautmark case import CASE --store shop.store")
        move, = blocks("Moving from the file")
        self.assertEqual(len(move.splitlines()), 1)
        self.assertIn("copied and verified", self.sh(move).stdout)
        self.demo = self.demo.replace("vessgarth", "quellmere")
        self.assertIn("2 cases", self.sh(first_use).stdout)
        self.assertIn("no encryption", self.sh(info.replace("verify-full", "disable"), status=2).stderr)
        self.sh(info.replace("localhost", "127.0.0.1").replace("db.shop.example",
                                                               "127.0.0.1"), status=2)
        (self.folder / ".pgpass").write_text(f"localhost:{self.port}:shop:tautmark:wrong\n")
        said = self.sh(info, status=2).stderr
        self.assertIn("password authentication failed", said)
        self.assertNotIn(PASSWORD, said)
        self.sh(password)
        other = self.folder / "other"
        other.mkdir()
        self.make_certificate("localhost", other)
        certificate.write_bytes((other / "server.crt").read_bytes())
        self.assertIn("certificate verify failed", self.sh(info, status=2).stderr)
        certificate.write_bytes((self.server / "data" / "server.crt").read_bytes())

        # Copies and back.
        url = re.search(r'"(postgresql:[^"]*)"', move)[1]
        ours, = [block for block in blocks("Back-up") if "store backup" in block]
        (self.folder / "disk").mkdir()
        self.sh(ours.replace("postgresql://…", url).replace("/mnt/other-disk", "disk"))
        self.sh("tautmark store restore disk/*.store --store back.store\n"
                "tautmark store verify --store back.store")
        dump, = [block for block in blocks("Back-up") if "pg_dump" in block]
        with open(self.server / "data" / "pg_hba.conf", "a") as access:
            access.write("hostssl new tautmark 127.0.0.1/32 scram-sha-256\n")
        subprocess.run(["psql", "-q", "-o", os.devnull, "-h", self.server, "-p", str(self.port),
                        "-U", "postgres", "-c", "create database new owner tautmark", "-c",
                        "select pg_reload_conf()"], check=True)
        new = url.replace("/shop", "/new")
        (self.folder / ".pgpass").write_text(f"localhost:{self.port}:*:tautmark:{PASSWORD}\n")
        self.sh(dump.replace("postgresql://…/new", new).replace("postgresql://…", url))
        self.sh(f'tautmark store verify --store "{new}"')


if __name__ == "__main__":
    unittest.main()
