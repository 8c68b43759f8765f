# SPDX-License-Identifier: Apache-2.0
"""A case with files, and packs of it made by another hand than the program's."""

import hashlib
import json
import zipfile

from program import InFolder

CSV = "time,crank\n" + "".join(f"{i},{i % 7}\n" for i in range(5000))


def sha256(data):
    return hashlib.sha256(data).hexdigest()


def files_of(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes()
            for path in folder.rglob("*") if path.is_file()}


class Packs(InFolder):
    def setUp(self):
        super().setUp()
        self.case = self.small_case()
        (self.case / "recordings").mkdir()
        (self.case / "recordings" / "idle.csv").write_text(CSV)
        (self.case / "Kettenrad Ölspur.jpg").write_bytes(bytes(range(256)) * 40)
        self.expect(0, "case", "add", self.case, "attachment", "file=Kettenrad Ölspur.jpg")
        self.expect(0, "case", "add", self.case, "recording", "file=recordings/idle.csv")
        self.zip = self.folder / "case.zip"

    def pack(self, *words, status=0):
        return self.expect(status, "case", "pack", self.case, "-o", self.zip, *words)

    def unpack(self, status=0, out="out"):
        result = self.expect(status, "case", "unpack", self.zip, "-o", out)
        if status:
            self.assertFalse((self.folder / out).exists())
        self.assertEqual([p.name for p in self.folder.iterdir() if p.name.startswith(".")], [])
        return result

    def make_zip(self, files, manifest=None, **entry):
        """A pack as this program would make it, out of `files`, by another hand."""
        with zipfile.ZipFile(self.zip, "w", zipfile.ZIP_DEFLATED) as out:
            out.writestr("manifest.json", manifest or self.manifest(files), **entry)
            for name, data in files.items():
                out.writestr(name, data)

    def manifest(self, files, **more):
        return json.dumps({
            "schema": "pack/1", "case": "case", "case_file": "case.yaml",
            "case_sha256": sha256(files["case.yaml"]),
            "files": [{"name": name, "bytes": len(data), "sha256": sha256(data)}
                      for name, data in files.items()], **more})
