# SPDX-License-Identifier: Apache-2.0
"""Packed cases. Python's zipfile makes and reads the zips that the program reads and makes."""

import json
import os
import shutil
import signal
import subprocess
import tempfile
import time
import unittest
import zipfile

from pack_files import CSV, Packs, files_of, sha256
from program import DRIVE, PROGRAM, ROOT

BASE = DRIVE.replace("name: small", "name: base")
VARIANT = """tautmark: drive/1
name: variant
based_on: base
confirms: [chain links, link counts, marks, phaser base, rotation, single use, torques]
chains:
  - {name: timing chain, links: 126}
"""


class RoundTrip(Packs):
    def test_zipfile_reads_what_was_packed(self):
        self.pack()
        with zipfile.ZipFile(self.zip) as packed:
            self.assertIsNone(packed.testzip())
            files = {name: packed.read(name) for name in packed.namelist()}
        manifest = json.loads(files.pop("manifest.json"))
        self.assertEqual(files, files_of(self.case))
        self.assertEqual(manifest["schema"], "pack/1")
        self.assertEqual(manifest["case_sha256"], sha256(files["case.yaml"]))
        self.assertTrue(manifest["program"].startswith("tautmark "))
        self.assertEqual(
            {file["name"]: (file["bytes"], file["sha256"]) for file in manifest["files"]},
            {name: (len(data), sha256(data)) for name, data in files.items()})

    def test_folder_to_pack_to_folder_keeps_every_byte(self):
        self.pack()
        self.unpack()
        self.assertEqual(files_of(self.folder / "out"), files_of(self.case))

    def test_reads_what_zipfile_packed(self):
        self.make_zip(files_of(self.case))
        self.expect(0, "case", "verify", self.zip)
        self.unpack()
        self.assertEqual(files_of(self.folder / "out"), files_of(self.case))

    @unittest.skipUnless(shutil.which("zip"), "no zip program here")
    def test_reads_folders_of_other_programs(self):
        files = files_of(self.case)
        (self.case / "manifest.json").write_text(self.manifest(files))
        subprocess.run(["zip", "-q", "-r", self.zip, "."], cwd=self.case, check=True)
        with zipfile.ZipFile(self.zip) as packed:
            self.assertIn("recordings/", packed.namelist())
        self.unpack()
        self.assertEqual(files_of(self.folder / "out"), files)

    def test_reads_sizes_that_stand_behind_the_bytes(self):
        files = files_of(self.case)
        read, write = os.pipe()
        with self.zip.open("wb") as target:
            copying = subprocess.Popen(["cat"], stdin=read, stdout=target)
        os.close(read)
        with os.fdopen(write, "wb") as pipe, zipfile.ZipFile(pipe, "w") as out:
            out.writestr("manifest.json", self.manifest(files))
            for name, data in files.items():
                out.writestr(name, data)
        self.assertEqual(copying.wait(), 0)
        self.unpack()
        self.assertEqual(files_of(self.folder / "out"), files)

    def test_same_folder_gives_the_same_bytes(self):
        self.pack()
        first = self.zip.read_bytes()
        self.zip.unlink()
        for path in self.case.rglob("*"):
            os.utime(path, (1e9, 1e9))
        os.chmod(self.case / "case.yaml", 0o600)
        environment = dict(os.environ, TZ="Asia/Tokyo")
        subprocess.run([PROGRAM, "case", "pack", self.case, "-o", self.zip], check=True,
                       env=environment, stdout=subprocess.DEVNULL)
        self.assertEqual(self.zip.read_bytes(), first)

    def test_standard_output_and_default_names(self):
        self.pack()
        piped = subprocess.run([PROGRAM, "case", "pack", self.case, "-o", "-"], check=True,
                               stdout=subprocess.PIPE)
        self.assertEqual(piped.stdout, self.zip.read_bytes())
        self.zip.unlink()
        self.expect(0, "case", "pack", self.case)
        shutil.move(self.case, self.folder / "moved")
        self.expect(0, "case", "unpack", "case.zip")
        self.assertEqual(files_of(self.case), files_of(self.folder / "moved"))

    def test_drives_that_do_not_lie_beside_the_case_come_with_it(self):
        (self.case / "small.drive.yaml").unlink()
        (self.folder / "small.drive.yaml").unlink()
        shelf = self.folder / "shelf"
        shelf.mkdir()
        (shelf / "base.drive.yaml").write_text(BASE)
        (shelf / "variant.drive.yaml").write_text(VARIANT)
        file = self.case / "case.yaml"
        file.write_text(file.read_text().replace("drive: small", "drive: variant"))
        self.pack(status=2)
        self.assertFalse(self.zip.exists())
        self.pack("--drives", shelf)
        with zipfile.ZipFile(self.zip) as packed:
            manifest = json.loads(packed.read("manifest.json"))
        self.assertEqual(sorted(f["name"] for f in manifest["files"] if f.get("added")),
                         ["base.drive.yaml", "variant.drive.yaml"])
        here = json.loads(self.judged(self.case, "--drives", shelf))
        shutil.rmtree(shelf)
        self.assertEqual(json.loads(self.judged(self.zip)), here)

    def judged(self, case, *words):
        environment = dict(os.environ, TMPDIR=str(self.folder / "tmp"))
        (self.folder / "tmp").mkdir(exist_ok=True)
        result = subprocess.run([PROGRAM, "judge", case, "--json", "-", *map(str, words)],
                                capture_output=True, text=True, check=False, cwd=self.folder,
                                env=environment)
        self.assertIn(result.returncode, (0, 1, 3), result.stderr)
        self.assertEqual(list((self.folder / "tmp").iterdir()), [])
        self.assertNotIn(str(self.folder / "tmp"), result.stdout + result.stderr)
        return result.stdout

    def test_a_pack_is_judged_like_its_folder(self):
        for demo in ("vessgarth", "quellmere"):
            packed = self.folder / f"{demo}.zip"
            self.expect(0, "case", "pack", ROOT / "demo" / demo, "-o", packed)
            self.assertEqual(self.judged(packed), self.judged(ROOT / "demo" / demo))

    def test_show_reads_a_pack_and_add_does_not(self):
        self.pack()
        shown = self.expect(0, "case", "show", self.case).stdout
        packed = self.expect(0, "case", "show", self.zip).stdout
        self.assertEqual(packed.replace(str(self.zip), str(self.case)), shown)
        before = self.zip.read_bytes()
        refused = self.expect(2, "case", "add", self.zip, "note", "words=late")
        self.assertIn("unpack it first", refused.stderr)
        self.assertEqual(self.zip.read_bytes(), before)

    def test_mistakes_of_a_packed_case_name_the_pack(self):
        files = {"case.yaml": b"tautmark: case/1\nname: x\nentries: 7\n"}
        self.make_zip(files)
        result = self.expect(2, "judge", self.zip)
        self.assertIn(f"{self.zip}/case.yaml:3:", result.stderr)

    def test_bytes_with_nothing_in_them_come_back(self):
        (self.case / "silence.bin").write_bytes(bytes(8 << 20))
        self.pack()
        self.unpack()
        self.assertEqual((self.folder / "out" / "silence.bin").read_bytes(), bytes(8 << 20))


class Kill(Packs):
    def test_a_kill_leaves_no_folder_and_the_next_one_clears_up(self):
        (self.case / "long.bin").write_bytes(os.urandom(1 << 20) * 48)
        self.pack()
        killed = 0
        for wait in (0.02, 0.05, 0.1, 0.2, 0.3, 0.4):
            child = subprocess.Popen([PROGRAM, "case", "unpack", self.zip, "-o", "out"],
                                     cwd=self.folder, stdout=subprocess.DEVNULL)
            time.sleep(wait)
            child.send_signal(signal.SIGKILL)
            if child.wait() == 0:
                break
            killed += 1
            self.assertFalse((self.folder / "out").exists())
        self.assertGreater(killed, 0)
        if not (self.folder / "out").exists():
            self.unpack()
        self.assertEqual(files_of(self.folder / "out"), files_of(self.case))
        self.assertEqual([p.name for p in self.folder.iterdir() if p.name.startswith(".")], [])

    def test_what_a_killed_judge_left_is_cleared_by_the_next(self):
        (self.case / "long.bin").write_bytes(os.urandom(64 << 20))
        self.pack()
        scratch = self.folder / "tmp"
        scratch.mkdir()
        (scratch / "tautmark-other").mkdir()
        environment = dict(os.environ, TMPDIR=str(scratch))
        child = subprocess.Popen([PROGRAM, "judge", self.zip], stdout=subprocess.DEVNULL,
                                 env=environment)
        self.addCleanup(child.wait)
        self.addCleanup(child.kill)
        # Something in its folder: then the folder is locked.
        while child.poll() is None and not list(scratch.glob("tautmark-case-*/*")):
            time.sleep(0.001)
        child.send_signal(signal.SIGSTOP)
        if child.poll() is not None:
            self.skipTest("judged before it could be stopped")
        # The folder of one that is still at work is left alone.
        subprocess.run([PROGRAM, "case", "show", self.zip], check=True, env=environment,
                       stdout=subprocess.DEVNULL)
        self.assertEqual(len(list(scratch.iterdir())), 2)
        child.kill()
        child.wait()
        subprocess.run([PROGRAM, "case", "show", self.zip], check=True, env=environment,
                       stdout=subprocess.DEVNULL)
        self.assertEqual([path.name for path in scratch.iterdir()], ["tautmark-other"])

    def test_a_kill_while_packing_leaves_no_pack(self):
        (self.case / "long.bin").write_bytes(os.urandom(64 << 20))
        for wait in (0.05, 0.3, 0.6):
            child = subprocess.Popen([PROGRAM, "case", "pack", self.case, "-o", self.zip],
                                     cwd=self.folder, stdout=subprocess.DEVNULL)
            time.sleep(wait)
            child.send_signal(signal.SIGKILL)
            if child.wait() == 0:
                break
            self.assertFalse(self.zip.exists())
        if not self.zip.exists():
            self.pack()
        self.assertEqual([p.name for p in self.folder.iterdir() if p.name.startswith(".")], [])
        self.expect(0, "case", "verify", self.zip)


class Verify(Packs):
    def test_a_folder_that_holds(self):
        said = self.expect(0, "case", "verify", self.case).stdout
        self.assertIn("holds: 2 files named by entries there, 1 with a sum", said)

    def test_a_folder_whose_recording_was_changed(self):
        (self.case / "recordings" / "idle.csv").write_text(CSV + "9,9\n")
        said = self.expect(1, "case", "verify", self.case).stdout
        self.assertIn("entry e2: \"recordings/idle.csv\" was changed", said)
        # A pack of it holds as a pack, and says the same of the entry.
        self.pack()
        self.assertIn("entry e2", self.expect(1, "case", "verify", self.zip).stdout)

    def test_a_folder_without_its_photo(self):
        (self.case / "Kettenrad Ölspur.jpg").unlink()
        said = self.expect(1, "case", "verify", self.case).stdout
        self.assertIn("entry e1: \"Kettenrad Ölspur.jpg\" is missing", said)

    def test_small_disks(self):
        """Where tests may mount: a file system of 80 MiB, of which 64 stay free."""
        disk = self.folder / "disk"
        disk.mkdir()
        mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=80m", "none", disk],
                                 check=False, capture_output=True)
        if mounted.returncode:
            self.skipTest("mounting is not allowed here")
        self.addCleanup(subprocess.run, ["umount", disk], check=True)
        (self.case / "long.bin").write_bytes(os.urandom(17 << 20))
        self.pack()
        said = self.expect(2, "case", "unpack", self.zip, "-o", disk / "out").stderr
        self.assertIn("too little room on the disk", said)
        self.assertEqual(list(disk.iterdir()), [])
        (disk / "filler").write_bytes(bytes(70 << 20))
        said = self.expect(2, "case", "pack", self.case, "-o", disk / "x.zip").stderr
        self.assertIn("cannot be written", said)
        self.assertEqual([path.name for path in disk.iterdir()], ["filler"])

    def test_what_cannot_be_read(self):
        self.expect(2, "case", "verify", self.folder / "none")
        (self.case / "case.yaml").write_text("tautmark: case/1\nnaem: x\n")
        self.expect(2, "case", "verify", self.case)

    def test_temporary_files_go_where_tmpdir_says(self):
        self.pack()
        with tempfile.TemporaryDirectory() as other:
            result = subprocess.run([PROGRAM, "judge", self.zip], check=False,
                                    capture_output=True, text=True,
                                    env=dict(os.environ, TMPDIR=other + "/none"))
        self.assertEqual(result.returncode, 2)
        self.assertIn("TMPDIR", result.stderr)


if __name__ == "__main__":
    unittest.main()
