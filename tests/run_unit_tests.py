# SPDX-License-Identifier: Apache-2.0
"""run_unit_tests.py FOLDER [--leave-out FILTER] [MODULE...]: the unit tests built in FOLDER, all or
those of the modules named. Each program runs in shards, a process each and two for each processor,
since many wait for disks, databases and clocks. What fails is printed whole; the last line is
"N passed, N failed"."""

import argparse
import concurrent.futures
import json
import os
import pathlib
import subprocess
import sys
import tempfile

TESTS_OF_A_SHARD = 25
LONGEST_FIRST = ("recording", "store", "judge", "procedure")
LONGEST_SECONDS = 900


def number_of_tests(program, leave_out):
    listed = subprocess.run([program, "--gtest_list_tests", *leave_out], stdin=subprocess.DEVNULL,
                            stdout=subprocess.PIPE, text=True, check=True).stdout
    return sum(line.startswith("  ") for line in listed.split("\n"))


def run(program, leave_out, shard, shards):
    with tempfile.TemporaryDirectory() as folder:
        told = pathlib.Path(folder) / "told.json"
        environment = {**os.environ, "GTEST_TOTAL_SHARDS": str(shards), "GTEST_SHARD_INDEX": str(shard)}
        try:
            done = subprocess.run([program, "--gtest_brief=1", f"--gtest_output=json:{told}", *leave_out],
                                  cwd=program.parent, env=environment, stdin=subprocess.DEVNULL,
                                  stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace",
                                  timeout=LONGEST_SECONDS, check=False)
            status, output = done.returncode, done.stdout
        except subprocess.TimeoutExpired as late:
            status, output = 1, f"{late}\n{late.stdout}"
        ran = failed = skipped = 0
        if told.exists():
            tests = [test for suite in json.loads(told.read_text())["testsuites"] for test in suite["testsuite"]]
            skipped = sum(test["result"] == "SKIPPED" for test in tests)
            ran = sum(test["result"] == "COMPLETED" for test in tests)
            failed = sum("failures" in test for test in tests)
        # A program that dies tells nothing of its tests.
        if status != 0 and failed == 0:
            failed, ran = 1, ran + 1
        return ran - failed, failed, skipped, output


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("modules", nargs="*")
    parser.add_argument("--leave-out", default="")
    words = parser.parse_intermixed_args()
    leave_out = [f"--gtest_filter=-{words.leave_out}"] if words.leave_out else []
    built = {path.name.removesuffix("_test"): path.resolve()
             for path in words.folder.glob("**/*_test") if path.is_file()}
    modules = words.modules or sorted(built, key=lambda name: (name not in LONGEST_FIRST, name))
    passed = failed = not_run = 0
    with concurrent.futures.ThreadPoolExecutor(2 * os.cpu_count()) as pool:
        waiting = []
        for name in modules:
            shards = max(1, number_of_tests(built[name], leave_out) // TESTS_OF_A_SHARD)
            waiting += [(name, pool.submit(run, built[name], leave_out, shard, shards)) for shard in range(shards)]
        for name, shard in waiting:
            good, bad, skipped, output = shard.result()
            passed += good
            failed += bad
            not_run += skipped
            if bad:
                print(f"== {name}\n{output}")
    print(f"{not_run} skipped")
    print(f"{passed} passed, {failed} failed")
    return failed > 0 or passed == 0


if __name__ == "__main__":
    sys.exit(main())
