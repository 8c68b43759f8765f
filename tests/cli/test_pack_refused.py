# SPDX-License-Identifier: Apache-2.0
"""Packs that are refused, each by name and whole; zipfile makes the hostile ones."""

import json
import os
import stat
import struct
import unittest
import zipfile

from pack_files import CSV, Packs, files_of


class PackRefuses(Packs):
    def refused(self, words):
        result = self.pack(status=2)
        self.assertIn(words, result.stderr)
        self.assertFalse(self.zip.exists())
        self.assertEqual([p.name for p in self.folder.iterdir() if p.name.startswith(".")], [])

    def test_links(self):
        (self.case / "link.csv").symlink_to("recordings/idle.csv")
        self.refused("\"link.csv\" is a symbolic link")

    def test_links_to_folders(self):
        (self.case / "link").symlink_to(self.folder)
        self.refused("\"link\" is a symbolic link")

    def test_pipes(self):
        os.mkfifo(self.case / "pipe")
        self.refused("\"pipe\" is neither a file nor a folder")

    def test_names_that_differ_in_case_only(self):
        (self.case / "kettenrad ölspur.JPG").write_text("x")
        self.refused("differ only in upper and lower case")

    def test_names_that_other_machines_cannot_hold(self):
        (self.case / "a\\b.csv").write_text("x")
        self.refused("write / between folders")

    def test_its_own_manifest_name(self):
        (self.case / "manifest.json").write_text("{}")
        self.refused("kept for the manifest")

    def test_a_file_that_is_there(self):
        self.zip.write_text("mine")
        self.assertIn("there already", self.pack(status=2).stderr)
        self.assertEqual(self.zip.read_text(), "mine")

    def test_a_pack_inside_the_case(self):
        self.expect(2, "case", "pack", self.case, "-o", self.case / "x.zip")

    def test_hidden_files_are_left_out_and_said(self):
        (self.case / ".git").mkdir()
        (self.case / ".git" / "config").write_text("x")
        (self.case / ".notes").write_text("x")
        said = self.pack().stderr
        self.assertIn(".git\n", said)
        self.assertIn(".notes\n", said)
        with zipfile.ZipFile(self.zip) as packed:
            self.assertEqual([n for n in packed.namelist() if n.startswith(".")], [])


class UnpackRefuses(Packs):
    """Every one of these zips is made by zipfile, and refused whole and by name."""

    def refused(self, *words, verify=2):
        result = self.unpack(status=2)
        for word in words:
            self.assertIn(word, result.stderr)
        self.expect(verify, "case", "verify", self.zip)
        self.expect(2, "judge", self.zip)
        self.assertFalse((self.folder.parent / "evil.txt").exists())

    def with_entry(self, name, data=b"x", **attributes):
        files = files_of(self.case)
        with zipfile.ZipFile(self.zip, "w", zipfile.ZIP_DEFLATED) as out:
            out.writestr("manifest.json", self.manifest({**files, name: data}))
            for one, content in files.items():
                out.writestr(one, content)
            info = zipfile.ZipInfo(name)
            info.compress_type = zipfile.ZIP_DEFLATED
            for key, value in attributes.items():
                setattr(info, key, value)
            out.writestr(info, data)

    def test_names_that_lead_out(self):
        for name in ("../evil.txt", "a/../../evil.txt", "/tmp/evil.txt", "a\\..\\evil.txt",
                     "C:evil.txt", "C:/evil.txt", "./evil.txt", "a//evil.txt", ".bashrc"):
            with self.subTest(name):
                self.with_entry(name)
                self.refused(f"\"{name}\"")

    def test_names_that_no_terminal_should_get(self):
        for name, shown in (("a\x1b[2Jb", "\"a\\x1B[2Jb\""), ("a\nb", "\"a\\x0Ab\""),
                            ("a\u202egpj.exe", "\\xE2\\x80\\xAE")):
            with self.subTest(shown):
                self.with_entry(name)
                self.refused(shown, "control character")

    def test_names_too_long_or_too_deep(self):
        for name in ("x" * 201, "/".join(["y" * 90] * 5), "d/" * 17 + "x"):
            with self.subTest(name[:10]):
                self.with_entry(name)
                self.refused("at most")

    def test_links_and_special_files(self):
        for mode, what in ((stat.S_IFLNK, "a symbolic link"), (stat.S_IFIFO, "a special file"),
                           (stat.S_IFCHR, "a special file"), (stat.S_IFDIR, "a special file")):
            with self.subTest(what):
                self.with_entry("evil", b"/etc/passwd", create_system=3,
                                external_attr=(mode | 0o777) << 16)
                self.refused(f"\"evil\" is {what}")

    def test_twice_the_same_name(self):
        files = files_of(self.case)
        self.make_zip(files)
        with self.assertWarns(UserWarning), zipfile.ZipFile(self.zip, "a") as out:
            out.writestr("recordings/idle.csv", b"other")
        self.refused("\"recordings/idle.csv\" stands in it twice")

    def test_the_same_name_in_upper_and_lower_case(self):
        self.with_entry("Recordings/IDLE.csv")
        self.refused("differ only in upper and lower case")
        self.with_entry("KETTENRAD ÖLSPUR.jpg")
        self.refused("differ only in upper and lower case")

    def test_a_file_that_is_a_folder_too(self):
        self.with_entry("recordings")
        self.refused("\"recordings\" is a file and a folder")

    def test_bombs(self):
        self.with_entry("zeros.bin", bytes(64 << 20))
        self.refused("\"zeros.bin\" claims to be 67108864 bytes", "a bomb")

    def test_claims_of_sizes(self):
        # The size of the last entry, in the directory and its local header, is a lie.
        self.with_entry("big.bin", b"y" * 1000)
        for claim in (999, 1001, 0x7FFFFFFF):
            data = bytearray(self.zip.read_bytes())
            for signature, at in ((b"PK\1\2", 24), (b"PK\3\4", 22)):
                place = data.rfind(signature)
                struct.pack_into("<I", data, place + at, claim)
            with self.subTest(claim):
                broken = self.folder / "broken.zip"
                broken.write_bytes(data)
                result = self.expect(2, "case", "unpack", broken, "-o", "out")
                self.assertIn("big.bin", result.stderr)
                self.assertFalse((self.folder / "out").exists())

    def test_local_header_against_directory(self):
        self.with_entry("b.txt")
        data = self.zip.read_bytes()
        place = data.rfind(b"PK\3\4")
        self.zip.write_bytes(data[:place] + data[place:].replace(b"b.txt", b"c.txt", 1))
        self.refused("contradict each other")

    def test_entries_that_overlap(self):
        # Every directory entry leads to the same bytes.
        files = {"case.yaml": (self.case / "case.yaml").read_bytes()}
        noise = os.urandom(1 << 16)
        for i in range(50):
            files[f"n{i:02}"] = noise
        self.make_zip({"case.yaml": files["case.yaml"], "n00": noise},
                      manifest=self.manifest(files))
        data = self.zip.read_bytes()
        entry = data.rfind(b"PK\1\2")
        end = data.rfind(b"PK\5\6")
        fake = b"".join(data[entry:end].replace(b"n00", f"n{i:02}".encode()) for i in range(1, 50))
        tail = bytearray(data[end:])
        begin = struct.unpack_from("<I", tail, 16)[0]
        struct.pack_into("<HHI", tail, 8, 52, 52, end + len(fake) - begin)
        self.zip.write_bytes(data[:end] + fake + bytes(tail))
        with zipfile.ZipFile(self.zip) as check:
            self.assertEqual(len(check.namelist()), 52)
        self.refused("overlap")

    def test_encrypted_entries(self):
        self.with_entry("secret.csv", flag_bits=0)
        data = bytearray(self.zip.read_bytes())
        for signature, at in ((b"PK\1\2", 8), (b"PK\3\4", 6)):
            data[data.rfind(signature) + at] |= 1
        self.zip.write_bytes(data)
        self.refused("\"secret.csv\" is encrypted")

    def test_unusual_packing(self):
        self.with_entry("x.bin", b"x" * 100, compress_type=zipfile.ZIP_LZMA)
        self.refused("\"x.bin\" is packed in an unusual way")

    def test_too_many_entries(self):
        files = files_of(self.case)
        with zipfile.ZipFile(self.zip, "w") as out:
            out.writestr("manifest.json", self.manifest(files))
            for i in range(10_001):
                out.writestr(f"f{i}", b"")
        self.refused("at most 10000")

    def test_a_huge_directory(self):
        with zipfile.ZipFile(self.zip, "w") as out:
            for i in range(2000):
                info = zipfile.ZipInfo(f"f{i}")
                info.comment = b"c" * 10_000
                out.writestr(info, b"")
        self.refused("list of entries is too long")

    def test_no_manifest(self):
        with zipfile.ZipFile(self.zip, "w") as out:
            out.writestr("case.yaml", (self.case / "case.yaml").read_bytes())
        self.refused("without manifest.json", "tautmark case pack")

    def test_a_huge_manifest(self):
        with zipfile.ZipFile(self.zip, "w") as out:
            out.writestr("manifest.json", b"{" + b" " * (17 << 20))
        self.refused("at most 16 MB")

    def test_manifests_that_are_none(self):
        files = files_of(self.case)
        good = json.loads(self.manifest(files))
        twice = good["files"] + good["files"][:1]
        for manifest in ("", "[]", "{}", "{" * 10_000, "\0", json.dumps({**good, "schema": "pack/9"}),
                         json.dumps({**good, "files": 3}), json.dumps({**good, "files": twice}),
                         json.dumps({**good, "case_file": "../x"}),
                         json.dumps({**good, "case_sha256": "0" * 64}),
                         json.dumps({**good, "files": [{"name": "x"}]})):
            with self.subTest(manifest[:60]):
                self.make_zip(files, manifest=manifest or " ")
                self.refused("manifest.json")

    def test_changed_missing_and_added_files_are_named(self):
        files = files_of(self.case)
        manifest = self.manifest(files)
        self.make_zip({**files, "recordings/idle.csv": CSV.replace("3", "4").encode()}, manifest)
        self.refused("\"recordings/idle.csv\" was changed: its SHA-256", verify=1)
        self.make_zip({**files, "case.yaml": files["case.yaml"] + b"#"}, manifest)
        self.refused("\"case.yaml\" was changed", verify=1)
        self.make_zip({**files, "more.txt": b"x"}, manifest)
        self.refused("\"more.txt\" was added", verify=1)
        short = dict(files)
        del short["recordings/idle.csv"]
        self.make_zip(short, manifest)
        self.refused("\"recordings/idle.csv\" is missing", verify=1)

    def test_a_changed_byte_is_found_wherever_it_is(self):
        files = files_of(self.case)
        with zipfile.ZipFile(self.zip, "w", zipfile.ZIP_STORED) as out:
            out.writestr("manifest.json", self.manifest(files))
            for name, data in files.items():
                out.writestr(name, data)
        good = self.zip.read_bytes()
        # Not the fields that say nothing about the files: times, versions, attributes.
        place = good.index(CSV.encode()[:50])
        for at in [*range(place, place + len(CSV), 997), good.index(b"case.yaml"),
                   good.rfind(b"PK\1\2") + 16, good.rfind(b"PK\1\2") + 42]:
            self.zip.write_bytes(good[:at] + bytes([good[at] ^ 1]) + good[at + 1:])
            with self.subTest(at):
                self.expect(2, "case", "unpack", self.zip, "-o", "out")
                self.assertFalse((self.folder / "out").exists())

    def test_files_that_are_cut_off(self):
        self.pack()
        good = self.zip.read_bytes()
        for length in [0, 1, 4, 21, 22, 30, len(good) - 1, *range(100, len(good), 1777)]:
            self.zip.write_bytes(good[:length])
            with self.subTest(length):
                self.unpack(status=2)
                self.expect(2, "case", "verify", self.zip)

    def test_a_folder_that_is_there(self):
        self.pack()
        out = self.folder / "out"
        out.mkdir()
        self.assertIn("there already",
                      self.expect(2, "case", "unpack", self.zip, "-o", out).stderr)
        self.assertEqual(list(out.iterdir()), [])


if __name__ == "__main__":
    unittest.main()
