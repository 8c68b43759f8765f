# SPDX-License-Identifier: Apache-2.0
"""The API's document against what OpenAPI 3.1 and JSON Schema ask, and against real output."""

import json
import re
import unittest

import jsonschema

from program import ROOT, InFolder, run

METHODS = {"get", "put", "post", "delete"}


def document():
    return json.loads((ROOT / "docs/formats/openapi.json").read_text())


def validator(name):
    """Of one component; the document itself is where its references lead."""
    whole = document()
    return jsonschema.Draft202012Validator({
        "$ref": f"#/components/schemas/{name}", "components": whole["components"]})


def references(value):
    if isinstance(value, dict):
        for key, item in value.items():
            if key == "$ref":
                yield item
            yield from references(item)
    elif isinstance(value, list):
        for item in value:
            yield from references(item)


def operations():
    for path, item in document()["paths"].items():
        for method, operation in item.items():
            yield method, path, operation


class Document(unittest.TestCase):
    def test_every_schema_is_one(self):
        schemas = document()["components"]["schemas"]
        self.assertGreater(len(schemas), 60)
        for name, schema in schemas.items():
            with self.subTest(name):
                self.assertRegex(name, r"^[a-zA-Z0-9._-]+$")
                jsonschema.Draft202012Validator.check_schema(schema)
        for _, path, operation in operations():
            for parameter in operation.get("parameters", []):
                jsonschema.Draft202012Validator.check_schema(parameter["schema"])

    def test_every_reference_leads_somewhere(self):
        whole = document()
        found = set(references(whole))
        self.assertIn("#/components/schemas/case_view", found)
        for reference in found:
            at = whole
            for part in reference.removeprefix("#/").split("/"):
                self.assertIn(part, at, reference)
                at = at[part]

    def test_no_schema_is_left_over(self):
        whole = document()
        used = {name.rsplit("/", 1)[1] for name in references(whole)}
        self.assertEqual(set(whole["components"]["schemas"]) - used, set())

    # OpenAPI 3.1.0, sections 4.8.1, 4.8.2, 4.8.8, 4.8.10, 4.8.12, 4.8.17.
    def test_the_document_has_what_it_must(self):
        whole = document()
        self.assertRegex(whole["openapi"], r"^3\.1\.\d+$")
        self.assertLessEqual({"title", "version"}, set(whole["info"]))
        self.assertIsInstance(whole["info"]["version"], str)
        self.assertLessEqual(
            set(whole), {"openapi", "info", "servers", "security", "paths", "components"})
        for requirement in whole["security"]:
            self.assertLessEqual(set(requirement), set(whole["components"]["securitySchemes"]))

    def test_every_operation_has_what_it_must(self):
        ids = set()
        for method, path, operation in operations():
            with self.subTest(f"{method} {path}"):
                self.assertIn(method, METHODS)
                self.assertRegex(path, "^(/practice)?/api/")
                self.assertNotIn(operation["operationId"], ids)
                ids.add(operation["operationId"])
                for status, response in operation["responses"].items():
                    self.assertRegex(status, r"^([1-5]\d\d|default)$")
                    self.assertTrue("$ref" in response or response["description"])
                self.assertTrue([s for s in operation["responses"] if s.startswith("2")])
                named = [p["name"] for p in operation.get("parameters", []) if p["in"] == "path"]
                self.assertEqual(sorted(named), sorted(re.findall(r"{(\w+)}", path)))
                for parameter in operation.get("parameters", []):
                    self.assertIn(parameter["in"], ("path", "query"))
                    self.assertTrue(parameter["in"] == "query" or parameter["required"])
                if "requestBody" in operation:
                    self.assertEqual(len(operation["requestBody"]["content"]), 1)
                self.assertEqual("x-role" in operation, "security" not in operation)

    def test_paths_do_not_fall_together(self):
        shapes = [re.sub(r"{\w+}", "{}", path) for path in document()["paths"]]
        self.assertEqual(len(shapes), len(set(shapes)))


class RealOutput(InFolder):
    def assert_valid(self, name, value):
        errors = [f"{list(e.absolute_path)}: {e.message[:200]}"
                  for e in validator(name).iter_errors(value)]
        self.assertEqual(errors, [])

    def broken(self, name, value, *path):
        """The value without one key: a schema that lets it pass is too weak."""
        copy = json.loads(json.dumps(value))
        at = copy
        for part in path[:-1]:
            at = at[part]
        del at[path[-1]]
        self.assertFalse(validator(name).is_valid(copy), path)

    def test_findings_of_the_demo_cases(self):
        count = 0
        for case in sorted((ROOT / "demo").iterdir()):
            if not (case / "case.yaml").exists():
                continue
            made = self.folder / f"{case.name}.json"
            self.run_any("judge", case, "--json", made)
            findings = json.loads(made.read_text())
            self.assert_valid("findings", findings)
            count += len(findings["findings"])
            for key in findings:
                self.broken("findings", findings, key)
            for key in set(findings["findings"][0]) - {"variants"}:
                self.broken("findings", findings, "findings", 0, key)
            schema = document()["components"]["schemas"]
            self.assertEqual(set(findings) - set(schema["findings"]["properties"]), set())
            for finding in findings["findings"]:
                self.assertEqual(set(finding) - set(schema["finding"]["properties"]), set())
        self.assertGreater(count, 20)

    def test_recordings_that_were_made(self):
        recordings = 0
        for spec in sorted((ROOT / "docs/training").glob("*.yaml")):
            recording = self.folder / f"{spec.stem}.csv"
            made = self.folder / f"{spec.stem}.json"
            self.expect(0, "recording", "--synthesise", spec, "--to", recording)
            self.run_any("recording", recording, "--json", made)
            if not made.exists():
                continue
            value = json.loads(made.read_text())
            self.assert_valid("recording_report", value)
            properties = document()["components"]["schemas"]["recording_report"]["properties"]
            self.assertEqual(set(value) - set(properties), set())
            for key in ("crank", "cams", "speed", "notes", "hypotheses"):
                self.broken("recording_report", value, key)
            recordings += 1
        self.assertGreater(recordings, 5)

    def test_recordings_of_a_case(self):
        drive = ROOT / "drives/vessgarth-v6-12.drive.yaml"
        spec = ROOT / "docs/training/0-good-engine.yaml"
        self.expect(0, "recording", "--synthesise", spec, "--to", self.folder / "r.csv")
        made = self.folder / "r.json"
        self.run_any("recording", self.folder / "r.csv", "--drive", drive, "--before",
                     self.folder / "r.csv", "--json", made)
        value = json.loads(made.read_text())
        self.assertIn("verdict", value)
        self.assert_valid("recording_report", value)

    def test_drives_written_as_json(self):
        for drive in sorted((ROOT / "drives").glob("*.drive.yaml")):
            made = self.folder / f"{drive.stem}.json"
            self.run_any("drive", "show", drive, "--json", made)
            self.assert_valid("drive", json.loads(made.read_text()))

    def run_any(self, *words):
        result = run(*words, cwd=self.folder)
        self.assertNotIn(result.returncode, (64, 134, 139), result.stderr)
        return result


if __name__ == "__main__":
    unittest.main()
