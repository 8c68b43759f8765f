# SPDX-License-Identifier: Apache-2.0
"""tautmark recording --live: the capture program as a child, its refusals and its hangs.

The built-in demonstration device serves where sigrok-cli is installed; what no device here does is
played by a small script of that name, first in PATH.
"""

import os
import shutil
import signal
import stat
import subprocess
import time
import unittest

from program import PROGRAM, SECONDS, InFolder

HAS_PROGRAM = shutil.which("sigrok-cli") is not None

# Plays the capture program: notes its words, then does what PLAY says.
PLAYER = """#!/bin/sh
printf '%s\\n' "$@" > words.txt
for word in "$@"; do
  case $word in
    --output-file=*) out=${word#--output-file=} ;;
    --scan) [ -n "$FOUND" ] && printf '%b' "$FOUND"; exit 0 ;;
  esac
done
PLAY
"""

EDGES = """$timescale 1 us $end
$var wire 1 ! crank $end
$enddefinitions $end
#0
0!
"""


class Live(InFolder):
    def play(self, script, *words, found="", path=None):
        player = self.folder / "bin" / "sigrok-cli"
        player.parent.mkdir(exist_ok=True)
        player.write_text(PLAYER.replace("PLAY", script))
        player.chmod(player.stat().st_mode | stat.S_IXUSR)
        environment = dict(os.environ, FOUND=found,
                           PATH=path or f"{player.parent}:{os.environ['PATH']}")
        return subprocess.run([PROGRAM, "recording", *words], cwd=self.folder, env=environment,
                              stdin=subprocess.DEVNULL, capture_output=True, text=True,
                              timeout=SECONDS, check=False)

    def left_behind(self):
        return sorted(file.name for file in self.folder.iterdir()
                      if file.name not in ("bin", "words.txt"))

    def test_the_program_is_not_there(self):
        for words in (["--list"], ["--live", "--driver", "demo", "--to", "a.sr"]):
            result = self.play("", *words, path=str(self.folder / "nothing"))
            self.assertEqual(result.returncode, 2, result.stderr)
            self.assertIn("apt-get install sigrok-cli", result.stderr)
        self.assertEqual(self.left_behind(), [])

    def test_no_device_and_a_device_that_refuses(self):
        live = ["--live", "--driver", "d", "--to", "a.sr", "--seconds", "1"]
        result = self.play("echo 'No devices found.' >&2; exit 1", *live)
        self.assertEqual(result.returncode, 2)
        self.assertIn("no device of driver d was found", result.stderr)
        result = self.play("echo 'Failed to set samplerate.' >&2; exit 1", *live)
        self.assertEqual(result.returncode, 2)
        self.assertIn("refused: Failed to set samplerate.", result.stderr)
        # It may end with 0 though it could save nothing.
        result = self.play("echo 'Error saving zipfile' >&2; exit 0", *live)
        self.assertEqual(result.returncode, 2)
        self.assertIn("nothing was captured: Error saving zipfile", result.stderr)
        self.assertEqual(self.left_behind(), [])

    def test_devices_are_listed_and_chosen(self):
        demo = "demo - Demo device with 2 channels: D0 D1\\n"
        result = self.play("", "--list", found=demo + "box:conn=1.5 - A box: 1 2\\n")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("box:conn=1.5 - A box: 1 2", result.stdout)
        result = self.play("", "--live", "--to", "a.sr", found=demo)
        self.assertEqual(result.returncode, 2)
        self.assertIn("--driver demo", result.stderr)
        two = demo + "box - A box: 1\\ntin - A tin: 1\\n"
        result = self.play("", "--live", "--to", "a.sr", found=two)
        self.assertEqual(result.returncode, 2)
        self.assertIn("choose one with --driver", result.stderr)
        result = self.play("exit 1", "--live", "--to", "a.sr", "--seconds", "1",
                           found=demo + "box:conn=1.5 - A box: 1\\n")
        self.assertIn("--driver=box:conn=1.5", (self.folder / "words.txt").read_text().split("\n"))

    def test_words_reach_the_program_as_they_are(self):
        script = "cp capture.vcd \"$out\""
        (self.folder / "capture.vcd").write_text(EDGES)
        result = self.play(script, "--live", "--driver", "d; touch harm", "--channels",
                           "$(touch harm),B 2", "--sample-rate", "100000", "--seconds", "1.5",
                           "--to", "it's.vcd")
        self.assertEqual((self.folder / "it's.vcd").read_text(), EDGES)
        # Kept, then read like any file: one edge is no engine.
        self.assertEqual(result.returncode, 2)
        self.assertIn("no crank signal", result.stderr)
        self.assertIn("caution: hands, hair", result.stderr)
        words = (self.folder / "words.txt").read_text().split("\n")
        for word in ("--driver=d; touch harm", "--channels=$(touch harm),B 2", "--time=1500",
                     "--config=samplerate=100000", "--output-format=vcd"):
            self.assertIn(word, words)
        self.assertFalse((self.folder / "harm").exists())

    def test_a_capture_never_replaces_a_file_unless_told(self):
        (self.folder / "capture.vcd").write_text(EDGES)
        (self.folder / "a.vcd").write_text("mine")
        live = ["--live", "--driver", "d", "--to", "a.vcd", "--seconds", "1"]
        result = self.play("cp capture.vcd \"$out\"", *live)
        self.assertEqual(result.returncode, 2)
        self.assertFalse((self.folder / "words.txt").exists())
        self.assertEqual((self.folder / "a.vcd").read_text(), "mine")
        self.play("cp capture.vcd \"$out\"", *live, "--overwrite")
        self.assertEqual((self.folder / "a.vcd").read_text(), EDGES)
        self.assertEqual(self.left_behind(), ["a.vcd", "capture.vcd"])

    def test_much_talk_does_not_fill_the_memory(self):
        result = self.play("head -c 100000000 /dev/zero | tr '\\0' 'x' >&2; exit 3", "--live",
                           "--driver", "d", "--to", "a.sr", "--seconds", "1")
        self.assertEqual(result.returncode, 2)
        self.assertLess(len(result.stderr), 5000)

    def test_a_child_that_hangs_is_ended(self):
        # It does not listen to being asked; --seconds 0.1 and 15 s of grace.
        began = time.monotonic()
        result = self.play("trap '' INT TERM; echo $$ > pid; sleep 100; sleep 100", "--live",
                           "--driver", "d", "--to", "a.sr", "--seconds", "0.1")
        self.assertEqual(result.returncode, 2)
        self.assertIn("did not end in time", result.stderr)
        self.assertLess(time.monotonic() - began, 40)
        with self.assertRaises(ProcessLookupError):
            os.kill(int((self.folder / "pid").read_text()), 0)
        self.assertEqual(self.left_behind(), ["pid"])

    def begun(self, *words):
        return subprocess.Popen([PROGRAM, "recording", "--live", *words], cwd=self.folder,
                                stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                stderr=subprocess.PIPE, text=True)

    @unittest.skipUnless(HAS_PROGRAM, "skipped: no sigrok-cli")
    def test_the_demonstration_device_for_a_time(self):
        for name in ("a.sr", "a.vcd"):
            result = self.expect(0, "recording", "--live", "--driver", "demo", "--channels",
                                 "D0,D1", "--sample-rate", "100000", "--seconds", "0.5", "--to",
                                 name)
            self.assertIn("2 channels, 0.500 s", result.stdout)
            self.assertIn("caution", result.stderr)
            self.assertNotIn("\r", result.stderr)
            self.assertEqual(self.expect(0, "recording", name).stdout, result.stdout)
        self.assertIn("demo - ", self.expect(0, "recording", "--list", "--driver", "demo").stdout)

    @unittest.skipUnless(HAS_PROGRAM, "skipped: no sigrok-cli")
    def test_the_demonstration_device_until_it_is_stopped(self):
        with self.begun("--driver", "demo", "--channels", "D0,D1", "--sample-rate", "100000",
                        "--to", "a.sr") as process:
            time.sleep(3)
            process.send_signal(signal.SIGINT)
            output, messages = process.communicate(timeout=SECONDS)
        self.assertEqual(process.returncode, 0, messages)
        self.assertIn("stopped by hand", messages)
        self.assertIn("2 channels", output)
        self.assertEqual(self.left_behind(), ["a.sr"])

    @unittest.skipUnless(HAS_PROGRAM, "skipped: no sigrok-cli")
    def test_the_real_program_refuses(self):
        for driver, channels, words in (("nosuch", "D0", "nosuch not found"),
                                        ("demo", "Q9", "unknown channel")):
            result = self.expect(2, "recording", "--live", "--driver", driver, "--channels",
                                 channels, "--seconds", "0.2", "--to", "a.sr")
            self.assertIn(words, result.stderr)
        self.assertEqual(self.left_behind(), [])


if __name__ == "__main__":
    unittest.main()
