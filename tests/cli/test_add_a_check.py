# SPDX-License-Identifier: Apache-2.0
"""The walk in docs/add-a-check.md, walked: its code is built against the program and run."""
import json
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("TAUTMARK_PROGRAM", ROOT / "build/release/tautmark"))
# What the program is linked with: cmake/TmDependencies.cmake.
HDF5 = next(pathlib.Path("/usr/lib").glob("*/hdf5/serial/libhdf5.so"), "-lhdf5")
SYSTEM = [str(HDF5), *(f"-l{name}" for name in (
    "sndfile", "zip", "z", "yaml-cpp", "fmt", "sodium", "soci_core", "soci_sqlite3",
    "soci_postgresql", "pq", "sqlite3", "ssl", "crypto", "qrencode")), "-pthread"]
CASE = """tautmark: case/1
name: walk
drive: thin
entries:
  - {kind: note, id: e1, words: nothing yet}
"""


class AddACheck(unittest.TestCase):
    def test_the_walk_gives_a_check_that_answers(self):
        build = PROGRAM.resolve().parent
        blocks = re.findall(r"```cpp\n(.*?)```", (ROOT / "docs/add-a-check.md").read_text(), re.S)
        self.assertEqual(len(blocks), 3, "one file, one row, one line")
        code, row, declaration = blocks
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            overlay = folder / "src/judge/checks"
            overlay.mkdir(parents=True)
            (overlay / "oil_grade.cc").write_text(code)
            header = (ROOT / "src/judge/checks/checks.h").read_text()
            anchor = "std::vector<Finding> oil_pressure"
            self.assertIn(anchor, header)
            (overlay / "checks.h").write_text(header.replace(anchor, declaration + anchor, 1))
            table = (ROOT / "src/judge/table.cc").read_text()
            anchor = '      {.name = "oil-pressure"'
            self.assertIn(anchor, table)
            (folder / "src/judge/table.cc").write_text(table.replace(anchor, row + anchor, 1))
            objects = []
            for source in ("src/judge/checks/oil_grade.cc", "src/judge/table.cc"):
                objects.append(str(folder / (pathlib.Path(source).stem + ".o")))
                self.run_tool(["g++", "-std=c++20", "-O0", "-Wall", "-Wextra", "-Wconversion", "-Werror",
                               f"-I{folder / 'src'}", f"-I{ROOT / 'src'}", "-c", str(folder / source), "-o", objects[-1]])
            libraries = ["-Wl,--start-group", *map(str, build.glob("**/libtautmark_*.a")), "-Wl,--end-group"]
            commands = map(str, build.glob("src/cli/CMakeFiles/tautmark.dir/*.o"))
            self.run_tool(["g++", *commands, *objects, *libraries, *SYSTEM, "-o", str(folder / "tautmark")])
            shutil.copy(ROOT / "drives/thin.drive.yaml", folder)
            self.assertEqual(self.verdict(folder, CASE), (3, "open"))
            self.assertEqual(self.verdict(folder, CASE + "  - {kind: oil, id: e2, grade: 5W-30}\n"), (0, "pass"))
            self.assertEqual(self.verdict(folder, CASE + "  - {kind: oil, id: e2, grade: 10W-40}\n"), (1, "fail"))

    def run_tool(self, command):
        done = subprocess.run(command, capture_output=True, text=True)
        self.assertEqual(done.returncode, 0, done.stderr)

    def verdict(self, folder, case):
        (folder / "case.yaml").write_text(case)
        done = subprocess.run([folder / "tautmark", "judge", folder / "case.yaml", "--only", "oil-grade", "--json", "-"],
                              capture_output=True, text=True)
        findings = json.loads(done.stdout)["findings"]
        self.assertEqual(len(findings), 1)
        return done.returncode, findings[0]["verdict"]


if __name__ == "__main__":
    unittest.main()
