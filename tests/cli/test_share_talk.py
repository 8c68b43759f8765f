# SPDX-License-Identifier: Apache-2.0
"""`tautmark serve --share` on a terminal: what it asks, and how it ends."""

import fcntl
import os
import pty
import select
import signal
import subprocess
import tempfile
import termios
import time
import unittest

import program


class Talk(program.InFolder):
    """The questions of --share on a terminal."""

    def begin(self):
        self.leader, follower = pty.openpty()
        self.addCleanup(os.close, self.leader)
        scratch = self.enterContext(tempfile.TemporaryDirectory())
        self.process = subprocess.Popen(
            [program.PROGRAM, "serve", "--store", "shop.store", "--share", "--listen",
             "127.0.0.1:0", "--address", "192.168.20.31"],
            stdin=follower, stdout=follower, stderr=follower, cwd=self.folder,
            start_new_session=True, preexec_fn=self.own_terminal,
            env=dict(os.environ, XDG_CACHE_HOME=scratch, NO_COLOR="1"))
        os.close(follower)
        self.addCleanup(self.end)
        self.seen = ""

    @staticmethod
    def own_terminal():
        # A shell that starts tests in the background has them ignore it, and so what they start.
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        fcntl.ioctl(0, termios.TIOCSCTTY, 0)

    def end(self):
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()

    def until(self, text, seconds=20):
        end = time.time() + seconds
        while text not in self.seen:
            self.assertLess(time.time(), end, f"waiting for {text!r}: {self.seen}")
            if select.select([self.leader], [], [], 0.2)[0]:
                try:
                    self.seen += os.read(self.leader, 65536).decode(errors="replace")
                except OSError:
                    self.fail(f"it ended before {text!r}: {self.seen}")

    def type(self, text):
        os.write(self.leader, text.encode())

    def test_the_first_account_is_asked_for(self):
        self.begin()
        self.until("Your name: ")
        self.type("Anna Q\n")
        self.until("is shown): ")
        self.type("socket wrench nine\n")
        self.until("The same again: ")
        self.type("socket wrench nine\n")
        self.until("Ctrl-C ends sharing.")
        self.assertNotIn("socket wrench", self.seen)
        self.assertIn("Anna Q can log in.", self.seen)
        self.assertIn("https://192.168.20.31:", self.seen)
        self.type("\x03")
        self.assertEqual(self.process.wait(10), 0)

    def test_control_c_ends_the_questions(self):
        for asked, typed in (("Your name: ", ""), ("is shown): ", "Anna Q\n")):
            with self.subTest(asked):
                self.begin()
                if typed:
                    self.until("Your name: ")
                    self.type(typed)
                self.until(asked)
                time.sleep(0.2)
                self.type("\x03")
                self.assertNotEqual(self.process.wait(10), 0)
        result = self.expect(2, "serve", "--store", "shop.store", "--share", "--address",
                             "192.168.20.31")
        self.assertIn("Nobody can log in yet", result.stderr)


if __name__ == "__main__":
    unittest.main()
