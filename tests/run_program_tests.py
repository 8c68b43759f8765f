# SPDX-License-Identifier: Apache-2.0
"""Runs every test module of tests/cli in a process of its own, one more at once than there are
processors, since they wait for disks and clocks. What fails is printed whole; the last line is
"N passed, N failed"."""

import concurrent.futures
import os
import pathlib
import re
import subprocess
import sys

FOLDER = pathlib.Path(__file__).resolve().parent / "cli"


def run(module):
    done = subprocess.run(
        [sys.executable, "-W", "ignore::ResourceWarning", "-m", "unittest", module], cwd=FOLDER,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        errors="replace", check=False)
    ran = re.search(r"^Ran (\d+) tests?", done.stdout, re.MULTILINE)
    number = {name: int(count) for name, count in
              re.findall(r"(failures|errors|skipped|unexpected successes)=(\d+)", done.stdout)}
    bad = sum(number.get(name, 0) for name in ("failures", "errors", "unexpected successes"))
    total = int(ran[1]) if ran else 0
    if bad == 0 and (done.returncode not in (0, 5) or (total == 0 and done.returncode != 5)):
        bad = 1
    return module, total, bad, number.get("skipped", 0), done.stdout


def main():
    modules = sorted((path for path in FOLDER.glob("test_*.py")),
                     key=lambda path: -path.stat().st_size)
    passed = failed = not_run = 0
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count() + 1) as pool:
        for module, total, bad, skipped, output in pool.map(run, [m.stem for m in modules]):
            passed += max(total - bad - skipped, 0)
            failed += bad
            not_run += skipped
            if bad:
                print(f"== {module}\n{output}")
    print(f"{not_run} skipped")
    print(f"{passed} passed, {failed} failed")
    return failed > 0


if __name__ == "__main__":
    sys.exit(main())
