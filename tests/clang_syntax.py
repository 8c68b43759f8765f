# SPDX-License-Identifier: Apache-2.0
"""The second compiler's opinion of the test sources, and of those modules that the build of the
fuzz targets does not compile, without making objects.

Usage: clang_syntax.py FOLDER, a build folder configured for clang with its compile_commands.json.
"""

import concurrent.futures
import json
import os
import pathlib
import shlex
import subprocess
import sys


NOT_FUZZED = {"measure", "geometry", "judge", "draw", "quick", "report", "serve", "cli"}


def is_ours_to_check(file):
    path = pathlib.Path(file)
    modules = path.parts[path.parts.index("src") + 1:] if "src" in path.parts else ()
    return path.suffix == ".cc" and (
        path.stem.endswith("_test") or bool(modules) and modules[0] in NOT_FUZZED)


def checked(entry):
    words = shlex.split(entry["command"])
    launcher = 1 if pathlib.Path(words[0]).name == "ccache" else 0
    output = words.index("-o")
    command = words[launcher:output] + ["-fsyntax-only", entry["file"]]
    done = subprocess.run(command, cwd=entry["directory"], capture_output=True, text=True,
                          check=False)
    return entry["file"], done.returncode, done.stderr


def main():
    commands = json.loads((pathlib.Path(sys.argv[1]) / "compile_commands.json").read_text())
    tests = [entry for entry in commands if is_ours_to_check(entry["file"])]
    bad = 0
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for file, status, words in pool.map(checked, tests):
            if status != 0:
                bad += 1
                print(f"{file}:\n{words}")
    print(f"{len(tests) - bad} passed, {bad} failed")
    return 1 if bad or not tests else 0


sys.exit(main())
