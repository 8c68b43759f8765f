# SPDX-License-Identifier: Apache-2.0
"""All tests of the page; those that store something once more on PostgreSQL where there is one.
The last line is "N passed, N failed"."""

import os
import pathlib
import re
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "cli"))
import serving  # noqa: E402


def ran(names, environment=None):
    """How many passed and failed of these test files."""
    done = subprocess.run(["node", "--test", "--test-concurrency=2", "--test-reporter=tap", *names], cwd=HERE, text=True,
                          stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, check=False,
                          stderr=subprocess.STDOUT, env={**os.environ, **(environment or {})})
    counts = [re.search(rf"^# {word} (\d+)", done.stdout, re.M) for word in ("pass", "fail")]
    passed, failed = (int(found[1]) if found else 0 for found in counts)
    if done.returncode != 0 or passed == 0:
        failed = max(failed, 1)
        print("\n".join(line for line in done.stdout.splitlines()
                        if not re.match(r"\s*(ok |---|\.\.\.|duration_ms|type:|# Subtest)", line)))
    return passed, failed


def main():
    wanted = sys.argv[1:] or sorted(path.name for path in HERE.glob("*.test.mjs"))
    passed, failed = ran(wanted)
    stored = [name for name in wanted if name.startswith(("stories", "offline"))]
    if stored and serving.has_postgres():
        with serving.postgres() as (url, _):
            for number, name in enumerate(stored):
                subprocess.run(["psql", "-q", url, "-c", f"create database page_{number}"], check=True)
                more = ran([name], {"TAUTMARK_PAGE_STORE": url.replace("/postgres?", f"/page_{number}?")})
                passed, failed = passed + more[0], failed + more[1]
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())
