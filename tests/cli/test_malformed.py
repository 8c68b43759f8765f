# SPDX-License-Identifier: Apache-2.0
"""Files that cannot be used, each with what must be said about it.

tests/malformed/drive/ holds drive files, tests/malformed/case/ case folders. What is expected
stands in comments at the end of the file, or in FILE.expect where no comment can stand:

    # expect: LINE:COLUMN | text of the message [| text of the hint]
    # status: 1                    of `drive check`; 2 where it is not given

Every mistake of a file is listed, and no other may be reported. Whatever the file holds: the
program ends by itself, in bounded time and memory, with nothing on standard output and nothing
written. Large and hostile files are made here, in a temporary folder.
"""

import hashlib
import json
import os
import pathlib
import re
import resource
import shutil
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = os.environ.get("TAUTMARK_PROGRAM", str(ROOT / "build" / "release" / "tautmark"))
MALFORMED = ROOT / "tests" / "malformed"
SECONDS = 10
MEMORY = 400 << 20
ERROR = re.compile(r"^(?P<file>[^\n]*?):(?:(?P<line>\d+):(?P<column>\d+):)? error: (?P<text>.*)$")
EXPECT = re.compile(r"^# expect: (\d+):(\d+) \| (.*?)(?: \| (.*))?$")
STATUS = re.compile(r"^# status: (\d)$")


def is_sanitized():
    """A sanitizer reserves more address space than any limit allows."""
    with open(PROGRAM, "rb") as program:
        return b"__asan_init" in program.read()


SANITIZED = is_sanitized()


def run(*arguments, cwd=None):
    def limits():
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        if not SANITIZED:
            resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))

    environment = {key: value for key, value in os.environ.items() if key != "TAUTMARK_DRIVES"}
    return subprocess.run(
        [PROGRAM, *map(str, arguments)], cwd=cwd, env=environment, preexec_fn=limits,
        stdin=subprocess.DEVNULL, capture_output=True, timeout=SECONDS * (6 if SANITIZED else 1),
        check=False)


def tree_state(folder):
    """Names, sizes and sums of everything below, so that nothing is written unnoticed."""
    state = {}
    for path in sorted(folder.rglob("*")):
        if path.is_symlink():
            state[path] = os.readlink(path)
        elif path.is_file():
            state[path] = hashlib.sha256(path.read_bytes()).hexdigest()
        else:
            state[path] = path.stat().st_mode
    return state


def expectation(path):
    """[(line, column, message, hint)], status of `drive check`."""
    beside = pathlib.Path(f"{path}.expect")
    text = beside.read_text() if beside.exists() else path.read_text()
    wanted, status = [], 2
    for line in text.splitlines():
        if found := EXPECT.match(line):
            wanted.append((int(found[1]), int(found[2]), found[3], found[4] or ""))
        if found := STATUS.match(line):
            status = int(found[1])
    return wanted, status


def blocks_of(output):
    """The errors of a run: (file, line, column, message, everything below it)."""
    blocks, keep = [], False
    for line in output.splitlines():
        if found := ERROR.match(line):
            blocks.append([found["file"], int(found["line"] or 0), int(found["column"] or 0),
                           found["text"], ""])
            keep = True
        elif re.match(r"^\S", line):
            keep = False
        elif keep:
            blocks[-1][4] += line + "\n"
    return blocks


class Bad(unittest.TestCase):
    """What holds for every bad input."""

    def assert_refused(self, done, status=2, stdout=b""):
        output = done.stderr.decode()  # fails when the message is no text
        self.assertEqual(done.returncode, status, output[:2000])
        if stdout is not None:
            self.assertEqual(done.stdout, stdout)
        self.assertNotIn("internal error", output)
        self.assertRegex(output, r"(?m)^.*: error: .")
        self.assertNotRegex(output, r"[\x00-\x08\x0b-\x1f\x7f]", "told to the terminal")
        return blocks_of(output)

    def assert_said(self, blocks, wanted, file):
        """Each wanted mistake is said at its place, and no other one."""
        rest = [block for block in blocks if block[0] == str(file)]
        self.assertEqual(len(rest), len(blocks), f"errors of other files: {blocks}")
        for line, column, message, hint in wanted:
            found = [block for block in rest if block[1:3] == [line, column]
                     and message in block[3] and hint in block[4]]
            self.assertTrue(found, f"{file}:{line}:{column}: {message} | {hint}\nsaid: {rest}")
            rest.remove(found[0])
        self.assertEqual(rest, [], "more was said than is expected")

    def assert_pointed(self, blocks, file):
        """Under the message stand the line and a caret at its column."""
        lines = file.read_bytes().decode(errors="replace").removeprefix("\ufeff").split("\n")
        for _, line, column, message, below in blocks:
            if not line or not lines[line - 1].strip("\r") or len(lines[line - 1]) > 150:
                continue
            shown = re.search(r"^ +\d+ \| (.*)\n +\| ( *)\^", below, re.MULTILINE)
            self.assertTrue(shown, f"no line and caret below: {message}")
            self.assertEqual(len(shown[2]) + 1, column, message)


class MalformedDrives(Bad):
    def test_every_file(self):
        files = sorted(path for path in (MALFORMED / "drive").iterdir() if path.suffix != ".expect")
        self.assertGreaterEqual(len(files), 100)
        before = tree_state(MALFORMED)
        for file in files:
            with self.subTest(file=file.name):
                wanted, status = expectation(file)
                self.assertTrue(wanted, "the file says nothing of what is expected")
                done = run("drive", "check", file)
                blocks = self.assert_refused(done, status, stdout=b"" if status == 2 else None)
                if file.name.startswith("base-in-a-circle"):
                    blocks = [[str(file), *block[1:]] for block in blocks]  # either of the two
                self.assert_said(blocks, wanted, file)
                self.assert_pointed(blocks, file)
        self.assertEqual(tree_state(MALFORMED), before)

    def test_a_contradictory_drive_judges_nothing(self):
        for file in sorted((MALFORMED / "drive").glob("*.drive.yaml")):
            wanted, status = expectation(file)
            if status != 1 or file.name == "name-with-blanks.drive.yaml":
                continue
            with self.subTest(file=file.name), tempfile.TemporaryDirectory() as folder:
                name = file.name.removesuffix(".drive.yaml")
                case = pathlib.Path(folder) / "case.yaml"
                case.write_text(f"tautmark: case/1\nname: a\ndrive: {name}\n")
                done = run("judge", case, "--drives", file.parent, "--drives", MALFORMED / "drives")
                blocks = self.assert_refused(done)
                self.assertEqual([block[1:3] for block in blocks], [list(w[:2]) for w in wanted])

    def test_the_sound_drive_is_sound(self):
        done = run("drive", "check", MALFORMED / "drives" / "sound.drive.yaml")
        self.assertEqual((done.returncode, done.stderr), (0, b""))


class MalformedCases(Bad):
    def test_every_folder(self):
        folders = sorted((MALFORMED / "case").iterdir())
        self.assertGreaterEqual(len(folders), 60)
        before = tree_state(MALFORMED)
        for folder in folders:
            file = folder / ("case.yaml" if (folder / "case.yaml").exists() else "case.json")
            with self.subTest(case=folder.name), tempfile.TemporaryDirectory() as out:
                wanted, _ = expectation(file)
                self.assertTrue(wanted, "the file says nothing of what is expected")
                written = pathlib.Path(out) / "findings.json"
                done = run("judge", folder, "--json", written)
                blocks = self.assert_refused(done)
                self.assert_said(blocks, wanted, file)
                self.assert_pointed(blocks, file)
                self.assertEqual(list(pathlib.Path(out).iterdir()), [], "nothing is written")
                self.assertEqual(run("judge", file).stderr, done.stderr, "file and folder differ")
        self.assertEqual(tree_state(MALFORMED), before)

    def test_no_output_file_is_made_or_changed(self):
        with tempfile.TemporaryDirectory() as out:
            kept = pathlib.Path(out) / "kept.json"
            kept.write_text("{}")
            before = tree_state(pathlib.Path(out))
            folder = MALFORMED / "case" / "unit-missing"
            self.assert_refused(run("judge", folder, "--json", kept, "--html", f"{out}/a.html"))
            self.assert_refused(run("judge", folder, "--json", "-"))
            self.assertEqual(tree_state(pathlib.Path(out)), before)

    def test_the_sound_case_is_sound(self):
        done = run("judge", MALFORMED / "sound")
        self.assertIn(done.returncode, (0, 1, 3), done.stderr.decode())
        self.assertEqual(done.stderr, b"")


class Hostile(Bad):
    """Files made to fill the memory or the day."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def refused(self, text, message, ending="yaml", head=b"tautmark: drive/1\nname: a\n"):
        """As a drive and as a case; the errors of the drive."""
        data = text if isinstance(text, bytes) else text.encode()
        file = self.folder / f"a.drive.{ending}"
        file.write_bytes(head + data)
        case = self.folder / f"case.{ending}"
        case.write_bytes(head.replace(b"drive/1", b"case/1") + data)
        before = tree_state(self.folder)
        self.assert_refused(run("judge", case))
        done = run("drive", "check", file)
        blocks = self.assert_refused(done)
        self.assertLess(len(done.stderr), 1 << 20, "messages are bounded too")
        self.assertTrue(any(message in block[3] for block in blocks), blocks[:3])
        self.assertEqual(tree_state(self.folder), before)
        return blocks

    def test_hundred_megabytes(self):
        file = self.folder / "case.yaml"
        with open(file, "wb") as out:
            for _ in range(100):
                out.write(b"# " + b"x" * 998 + b"\n" + b"y" * ((1 << 20) - 1001))
        for arguments in (("judge", file), ("judge", self.folder), ("drive", "check", file)):
            blocks = self.assert_refused(run(*arguments))
            self.assertRegex(blocks[0][3], r"^10\d{7} bytes; a file of this kind has at most 16 MB")

    def test_a_sparse_terabyte(self):
        file = self.folder / "case.yaml"
        with open(file, "wb") as out:
            out.truncate(1 << 40)
        self.assert_refused(run("judge", file))

    def test_largest_file_of_nothing_but_one_text(self):
        self.refused("note: " + "x" * (15 << 20) + "\ntitl: a\n", 'unknown key "titl"')

    def test_deep_nesting(self):
        for text in ("[" * 10000, "{a: " * 10000, "- " * 10000, "? " * 10000,
                     "".join(" " * n + "a:\n" for n in range(2000))):
            with self.subTest(start=text[:12]):
                self.refused("note: " + text if text[0] in "[{" else text, "", head=b"")
        self.refused("note: " + "[" * 10000 + "]" * 10000 + "\n", "nested deeper than 48 levels")
        self.refused("note: " + "{a: " * 100 + "}" * 100 + "\n", "nested deeper than 48 levels")
        for text in ('{"a":' * 10000 + "1" + "}" * 10000, "[" * 10000 + "]" * 10000):
            self.refused(text, "nested deeper than 48 levels", "json", head=b"")

    def test_alias_bomb(self):
        text = "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
        for level in range(1, 20):
            name, before = chr(97 + level), chr(96 + level)
            text += f"{name}: &{name} [{', '.join([f'*{before}'] * 10)}]\n"
        blocks = self.refused(text, "anchors (&) and aliases (*) are not used")
        self.assertEqual(blocks[0][1:3], [3, 4])

    def test_five_megabytes_in_one_line(self):
        self.refused("chains: [" + "{name: a}, " * 450000 + "]\n", "more parts than any file")
        self.refused("chains: [" + "{name: a, pitch: 8}, " * 9000 + "]\n", "8 has no unit")
        self.refused("{" + ", ".join(f"k{n}: {n}" for n in range(150000)) + "}\n",
                     "not readable as JSON", head=b"")
        self.refused("cylinders: {" + ", ".join(f"k{n}: {n}" for n in range(150000)) + "}\n",
                     'unknown key "k0"')
        self.refused("cylinders: {" + "k: 1, " * 150000 + "}\n", "stands here a second time")

    def test_many_megabytes_of_json_in_one_line(self):
        many = '{"tautmark":"drive/1","name":"a","chains":[' + '{"name":"a","pitch":"8"},' * 30000
        blocks = self.refused(many + "{}]}", "8 has no unit", "json", head=b"")
        self.assertLess(len(blocks), 250)
        self.refused('{"tautmark":"drive/1",' + ",".join(f'"k{n}":1' for n in range(150000)) + "}",
                     'unknown key "k0"', "json", head=b"")
        self.refused('[' + "[]," * 500000 + "[]]", "more parts than any file", "json", head=b"")

    def test_three_hundred_thousand_entries(self):
        text = "tautmark: case/1\nname: a\nentries:\n" + "".join(
            f"  - {{kind: note, id: e{n}, words: w}}\n" for n in range(300000))
        file = self.folder / "case.yaml"
        file.write_text(text)
        blocks = self.assert_refused(run("judge", file))
        self.assertIn("more parts than any file", blocks[0][3])

    def test_as_many_entries_as_are_read(self):
        entries = 20000
        text = "tautmark: case/1\nname: a\ndrive: sound\nentries:\n" + "".join(
            f"  - {{kind: reading, id: e{n}, replaces: x{n}, quantity: journal diameter, "
            f"place: bank 1 / camshaft / journal {n}, values: 27.9 mm}}\n" for n in range(entries))
        file = self.folder / "case.yaml"
        file.write_text(text)
        blocks = self.assert_refused(run("judge", file, "--drives", MALFORMED / "drives"))
        self.assertLess(len(blocks), 210)
        self.assertIn("more than 200 mistakes", blocks[-1][3])

    def test_more_of_everything_than_an_engine_has(self):
        many = 20000
        for text, message in (
            ("fits:\n" + "  - {quantity: end play, at: every camshaft, service: at most 1 mm}\n"
             * many, "20000 limits; at most 400 are read"),
            ("banks:\n  - number: 1\n    camshafts:\n" + "".join(
                f"      - {{name: c{n}, journals: 40}}\n" for n in range(many)),
             "20000 camshafts; at most 8 are read"),
            ("chains:\n" + "".join(f"  - name: c{n}\n" for n in range(many)),
             "20000 chains; at most 32 are read"),
        ):
            with self.subTest(message=message):
                self.refused(text, message)

    def test_a_mistake_in_every_line(self):
        for line in ("\tx: 1\n", "?\n", "a: 1\n", "\x01\n", "'\n", "%TAG\n", "---\n", "...\n",
                     ":\n"):
            with self.subTest(line=line):
                self.refused(line * (500000 // len(line)), "", head=b"")

    def test_too_many_instruments(self):
        file = self.folder / "case.yaml"
        file.write_text("tautmark: case/1\nname: a\ninstruments:\n" + "  - {name: m}\n" * 5000)
        blocks = self.assert_refused(run("judge", file))
        self.assertEqual(len(blocks), 1)
        self.assertIn("5000 instruments; at most 200 are read", blocks[0][3])

    def test_a_mistake_in_a_text_of_megabytes(self):
        text = "title: a\nchains:\n" + ("  - {name: a, type: " + "x" * 70000 + "}\n") * 200
        self.refused(text, "is not one of: roller")

    def test_too_many_candidates(self):
        file = self.folder / "case.yaml"
        file.write_text("tautmark: case/1\nname: a\ncandidates: [" + "sound, " * 5000 + "]\n")
        blocks = self.assert_refused(run("judge", file, "--drives", MALFORMED / "drives"))
        self.assertIn("5000 candidates; at most 16 are read", blocks[0][3])


class NotFiles(Bad):
    """What stands where a file is wanted."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def both(self, path, message):
        for arguments in (("judge", path), ("drive", "check", path)):
            with self.subTest(command=arguments[0]):
                blocks = self.assert_refused(run(*arguments))
                self.assertEqual(len(blocks), 1)
                self.assertIn(message, blocks[0][3])
                self.assertIn(str(path), blocks[0][0])

    def test_nothing_there(self):
        self.both(self.folder / "none.yaml", "no such file")
        self.both(self.folder / "none" / "none.yaml", "no such file")

    def test_a_folder_without_a_case(self):
        blocks = self.assert_refused(run("judge", self.folder))
        self.assertIn("no case.yaml in this folder", blocks[0][3])
        blocks = self.assert_refused(run("drive", "check", self.folder))
        self.assertIn("this is a folder", blocks[0][3])

    def test_a_folder_named_like_a_case(self):
        (self.folder / "case.yaml").mkdir()
        blocks = self.assert_refused(run("judge", self.folder))
        self.assertIn("this is a folder", blocks[0][3])

    def test_a_pipe_does_not_hang(self):
        os.mkfifo(self.folder / "case.yaml")
        self.both(self.folder / "case.yaml", "not a regular file")

    def test_devices(self):
        devices = [pathlib.Path(name) for name in ("/dev/zero", "/dev/null", "/dev/full")]
        devices = [device for device in devices if device.is_char_device()]
        self.assertTrue(devices)
        for device in devices:
            self.both(device, "not a regular file")

    def test_a_link_to_itself(self):
        (self.folder / "case.yaml").symlink_to("case.yaml")
        self.both(self.folder / "case.yaml", "cannot be read")

    def test_a_link_to_nothing(self):
        (self.folder / "case.yaml").symlink_to("none.yaml")
        self.both(self.folder / "case.yaml", "no such file")

    @unittest.skipIf(os.geteuid() == 0, "root reads everything")
    def test_an_unreadable_file(self):
        file = self.folder / "case.yaml"
        file.write_text("tautmark: case/1\nname: a\n")
        file.chmod(0)
        self.both(file, "cannot be read")

    def test_a_name_as_long_as_none_can_be(self):
        for arguments in (("judge", "x" * 5000), ("drive", "check", "x" * 5000)):
            self.assert_refused(run(*arguments))

    def test_an_attachment_that_is_a_pipe(self):
        os.mkfifo(self.folder / "photo.jpg")
        (self.folder / "case.yaml").write_text(
            "tautmark: case/1\nname: a\nentries:\n"
            "  - {kind: attachment, id: e1, file: photo.jpg}\n")
        blocks = self.assert_refused(run("judge", self.folder))
        self.assertIn("is not a file", blocks[0][3])

    def test_an_attachment_that_leads_out_by_a_link(self):
        inside = self.folder / "case"
        inside.mkdir()
        (self.folder / "secret.jpg").write_text("x")
        (inside / "photo.jpg").symlink_to("../secret.jpg")
        (inside / "case.yaml").write_text(
            "tautmark: case/1\nname: a\nentries:\n"
            "  - {kind: attachment, id: e1, file: photo.jpg}\n")
        blocks = self.assert_refused(run("judge", inside))
        self.assertIn("leads out of the case folder", blocks[0][3])

    def test_a_drive_beside_the_case_that_is_broken(self):
        shutil.copy(MALFORMED / "drive" / "unit-missing.drive.yaml", self.folder / "x.drive.yaml")
        (self.folder / "case.yaml").write_text("tautmark: case/1\nname: a\ndrive: x.drive.yaml\n")
        blocks = self.assert_refused(run("judge", self.folder))
        self.assertEqual(blocks[0][:3], [str(self.folder / "x.drive.yaml"), 4, 9])


if __name__ == "__main__":
    unittest.main()
