# SPDX-License-Identifier: Apache-2.0
"""All tests of the page; those that store something once more on PostgreSQL where there is one.
What fails beside others is run once more, alone, and both is printed.
run.py [--times] [FILE.test.mjs...]. The last line is "N passed, N failed"."""

import concurrent.futures
import contextlib
import os
import pathlib
import re
import subprocess
import sys
import time

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "cli"))
import serving  # noqa: E402

IS_LONG = "TAUTMARK_LONG" in os.environ
AT_ONCE = 3  # files; each waits for much of its time
# The longest begin first, so that none runs on alone at the end.
FIRST = ["stories", "screens", "work_story", "door", "device", "author", "traces", "print"]
STORIES = ["quellmere", "vessgarth"]


def ran(name, environment):
    """How many passed and failed of this file, what is to be said of it, and its seconds."""
    begun = time.monotonic()
    done = subprocess.run(["node", "--test", "--test-reporter=tap", name], cwd=HERE, text=True,
                          stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, check=False,
                          stderr=subprocess.STDOUT, env={**os.environ, **environment})
    counts = [re.search(rf"^# {word} (\d+)", done.stdout, re.M) for word in ("pass", "fail")]
    passed, failed = (int(found[1]) if found else 0 for found in counts)
    words = ""
    if done.returncode != 0 or passed == 0:
        failed = max(failed, 1)
        words = f"{name}:\n" + "\n".join(
            line for line in done.stdout.splitlines()
            if not re.match(r"\s*(ok |---|\.\.\.|duration_ms|type:|# Subtest)", line))
    return passed, failed, words, time.monotonic() - begun


def runs(wanted, url):
    """What is to be run: pairs of a file and its environment. `url`: of PostgreSQL, or None. One story
    is typed into files; --long types both into each kind of store."""
    for name in wanted:
        is_story = name.startswith("stories")
        for number, story in enumerate((STORIES if IS_LONG else STORIES[:1]) if is_story else [""]):
            yield name, {"TAUTMARK_PAGE_STORY": story}
            if url and (name.startswith("offline") or (is_story and IS_LONG)):
                database = f"page_{name.split('.')[0]}_{number}"
                subprocess.run(["psql", "-q", url, "-c", f"create database {database}"], check=True)
                yield name, {"TAUTMARK_PAGE_STORY": story,
                             "TAUTMARK_PAGE_STORE": url.replace("/postgres?", f"/{database}?")}


def place(name):
    return next((n for n, first in enumerate(FIRST) if name.startswith(f"{first}.")), len(FIRST))


def main():
    names = [word for word in sys.argv[1:] if not word.startswith("--")]
    wanted = sorted(names or (path.name for path in HERE.glob("*.test.mjs")), key=place)
    passed = failed = 0
    again = []
    with contextlib.ExitStack() as stack:
        is_stored = any(name.startswith(("stories", "offline")) for name in wanted)
        url = stack.enter_context(serving.postgres())[0] if is_stored and serving.has_postgres() else None
        pool = stack.enter_context(concurrent.futures.ThreadPoolExecutor(AT_ONCE))
        waiting = [(name, more, pool.submit(ran, name, more)) for name, more in list(runs(wanted, url))]
        for name, more, one in waiting:
            good, bad, words, seconds = one.result()
            if bad:
                again.append((name, more, words))
            else:
                passed += good
            if "--times" in sys.argv:
                print(f"{seconds:6.1f} s  {name}", flush=True)
        # Three browsers on two processors may be late; what fails alone too is wrong.
        for name, more, words in again:
            good, bad, alone, _ = ran(name, more)
            passed, failed = passed + good, failed + bad
            print(f"{words}\n{alone or f'{name}: passed alone'}", flush=True)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())
