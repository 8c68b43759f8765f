# SPDX-License-Identifier: Apache-2.0
"""The main job from the outside: the demo cases, exit status, output forms, formats."""
import json
import os
import pathlib
import shutil
import re
import subprocess
import tempfile
import unittest

import jsonschema
import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("TAUTMARK_PROGRAM", str(ROOT / "build/release/tautmark"))


def run(*arguments, cwd=ROOT, **more):
    return subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, text=True, cwd=cwd, **more)


class Demo(unittest.TestCase):
    def test_vessgarth_fails_and_says_so_first(self):
        done = run("judge", "demo/vessgarth")
        self.assertEqual(done.returncode, 1, done.stderr)
        self.assertEqual(done.stderr, "")
        lines = done.stdout.splitlines()
        self.assertEqual(lines[0], "INVENTED ENGINE, NOT FOR REAL WORK")
        self.assertIn("STOP: 7 outside the limit, proven", done.stdout)
        self.assertIn("DO NOT TURN", done.stdout)

    def test_output_is_the_same_on_every_run(self):
        for name in ("vessgarth", "quellmere"):
            outputs = {run("judge", f"demo/{name}", "--json", "-").stdout for _ in range(3)}
            self.assertEqual(len(outputs), 1)

    def test_brief_is_five_sentences(self):
        done = run("judge", "demo/quellmere", "--brief")
        self.assertEqual(len(done.stdout.splitlines()), 5)

    def test_a_file_or_its_folder_is_the_same_case(self):
        self.assertEqual(run("judge", "demo/quellmere").stdout, run("judge", "demo/quellmere/case.yaml").stdout)

    def test_json_as_input_gives_the_same_findings(self):
        case = yaml.load((ROOT / "demo/vessgarth/case.yaml").read_text(), Loader=OurScalars)

        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "case.json"
            path.write_text(json.dumps(case))
            shutil.copytree(ROOT / "demo/vessgarth/recordings", path.parent / "recordings")
            one = json.loads(run("judge", path, "--json", "-").stdout)
            two = json.loads(run("judge", "demo/vessgarth", "--json", "-").stdout)
            self.assertEqual(one["findings"], two["findings"])

    def test_the_readme_shows_what_the_program_prints(self):
        block = (ROOT / "README.md").read_text().split("```\n$ ./run judge demo/vessgarth\n")[1].split("```")[0]
        printed = run("judge", "demo/vessgarth").stdout
        position = 0
        for part in block.split("…\n"):
            position = printed.find(part, position)
            self.assertGreaterEqual(position, 0, part)

    def test_works_from_anywhere(self):
        with tempfile.TemporaryDirectory() as folder:
            self.assertEqual(run("judge", ROOT / "demo/vessgarth", cwd=folder).returncode, 1)


class ExitStatus(unittest.TestCase):
    def test_wrong_usage_is_64(self):
        for arguments in ((), ("judge",), ("judge", "demo/vessgarth", "--no-such-option"), ("no-such-command",)):
            self.assertEqual(run(*arguments).returncode, 64, arguments)

    def test_unusable_input_is_2_with_a_message(self):
        done = run("judge", "demo/nowhere")
        self.assertEqual(done.returncode, 2)
        self.assertIn("error:", done.stderr)

    def test_an_unknown_check_is_named_with_the_nearest(self):
        done = run("judge", "demo/vessgarth", "--only", "journal-clearanse")
        self.assertEqual(done.returncode, 64)
        self.assertIn('did you mean "journal-clearance"?', done.stderr)

    def test_a_full_disk_is_no_answer(self):
        for arguments in (("judge", "demo/vessgarth", "--only", "journal-diameter"), ("drive", "list"), ("quick",)):
            with open("/dev/full", "w") as full:
                done = subprocess.run([PROGRAM, *arguments], stdout=full, stderr=subprocess.PIPE, text=True, cwd=ROOT)
            self.assertEqual(done.returncode, 2, arguments)
            self.assertIn("cannot be written", done.stderr)

    def test_a_device_is_written_to_and_never_replaced(self):
        for device in ("/dev/full", "/dev/null"):
            self.assertTrue(pathlib.Path(device).is_char_device(), device)
            done = run("judge", "demo/vessgarth", "--only", "journal-diameter", "--json", device)
            self.assertEqual(done.returncode, 2 if device == "/dev/full" else 0)
            self.assertTrue(pathlib.Path(device).is_char_device(), device)

    def test_two_documents_on_one_output_are_refused(self):
        self.assertEqual(run("judge", "demo/vessgarth", "--json", "-", "--html", "-").returncode, 64)

    def test_only_may_stand_before_the_case(self):
        self.assertEqual(run("judge", "--only", "journal-diameter", "demo/vessgarth").returncode, 0)

    def test_an_unknown_command_is_named(self):
        self.assertIn('did you mean "judge"?', run("juge", "demo/vessgarth").stderr)

    def test_empty_no_limits_and_predicted_values_only_never_end_with_0(self):
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "case.yaml"
            path.write_text("tautmark: case/1\nname: empty\n")
            self.assertEqual(run("judge", path).returncode, 3)
            path.write_text("tautmark: case/1\nname: no-limits\nentries:\n"
                            "  - {kind: reading, id: e1, quantity: end play, place: camshaft, values: 0.11 0.12 0.11 mm}\n")
            self.assertEqual(run("judge", path).returncode, 3)
        self.assertEqual(run("judge", "demo/vessgarth", "--only", "what-if").returncode, 3)
        self.assertEqual(run("judge", "demo/vessgarth", "--only", "journal-diameter").returncode, 0)


class Formats(unittest.TestCase):
    def test_the_pages_and_schemas_are_current(self):
        with tempfile.TemporaryDirectory() as folder:
            self.assertEqual(run("formats", folder).returncode, 0)
            for made in pathlib.Path(folder).iterdir():
                kept = ROOT / "docs/formats" / made.name
                self.assertEqual(kept.read_text(), made.read_text(), f"{kept} is not current: run tautmark formats")

    def test_every_shipped_file_satisfies_its_schema(self):
        """Against python3-jsonschema, which we did not make."""
        for kind, files in (("drive", sorted((ROOT / "drives").glob("*.yaml"))), ("case", sorted((ROOT / "demo").glob("*/case.yaml")))):
            schema = json.loads((ROOT / f"docs/formats/{kind}.schema.json").read_text())
            jsonschema.Draft202012Validator.check_schema(schema)
            validator = jsonschema.Draft202012Validator(schema)
            self.assertTrue(files)
            for file in files:
                value = yaml.load(file.read_text(), Loader=OurScalars)
                errors = [f"{list(error.absolute_path)}: {error.message}" for error in validator.iter_errors(value)]
                self.assertEqual(errors, [], file)

    def test_the_schema_refuses_what_the_reader_refuses(self):
        validator = jsonschema.Draft202012Validator(json.loads((ROOT / "docs/formats/drive.schema.json").read_text()))
        self.assertTrue(list(validator.iter_errors({"tautmark": "drive/1"})))
        self.assertTrue(list(validator.iter_errors({"tautmark": "drive/1", "name": "x", "chians": []})))

    def test_every_key_of_the_example_is_read(self):
        """The example in the page loads as it stands; with its comments taken in, every key is known."""
        page = (ROOT / "docs/formats/drive.md").read_text()
        example = page.split("```yaml\n")[1].split("```")[0]
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / f"{yaml.safe_load(example)['name']}.drive.yaml"
            path.write_text(example)
            done = run("drive", "check", path)
            self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
            path.write_text(uncommented(example))
            self.assertNotIn("unknown key", run("drive", "check", path).stderr)

    def test_the_example_of_a_case_loads(self):
        page = (ROOT / "docs/formats/case.md").read_text()
        example = page.split("```yaml\n")[1].split("```")[0]
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "case.yaml"
            for attached in yaml.safe_load(example)["entries"]:
                if "file" in attached:
                    file = pathlib.Path(folder) / attached["file"]
                    file.parent.mkdir(parents=True)
                    file.write_bytes(b"")
            path.write_text(example)
            done = run("case", "show", path, "--drives", ROOT / "drives")
            self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
            path.write_text(uncommented(example))
            self.assertNotIn("unknown key", run("case", "show", path).stderr)


def uncommented(example):
    """With the keys that the page shows as a comment."""
    return re.sub(r"(?m)^( *)# (?=[ a-z_-]+:)", r"\1", example)


class OurScalars(yaml.SafeLoader):
    """Whole numbers and yes/no are bare in our files; every other scalar is text, quoted or not."""


def our_scalar(loader, node):
    text = loader.construct_scalar(node)
    if node.style in ("'", '"'):
        return text
    if text in ("true", "false"):
        return text == "true"
    return int(text) if text.isdigit() else text


for tag in ("str", "int", "float", "bool", "null", "timestamp"):
    OurScalars.add_constructor(f"tag:yaml.org,2002:{tag}", our_scalar)


if __name__ == "__main__":
    unittest.main()
