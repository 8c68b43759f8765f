# SPDX-License-Identifier: Apache-2.0
"""Processor time of a cold `tautmark judge demo/vessgarth`, in ms and as a multiple of /bin/true.

Runs of both alternate, so that a busy machine slows both and the multiple stays comparable.
"""

import os
import statistics
import sys

COMMAND = [os.environ["TAUTMARK_PROGRAM"], "judge", "demo/vessgarth"]
ANSWERS = (0, 1, 3)  # passed, failed, open: the findings were printed


def cpu_ms(command, answers):
    """User and system time of one run whose output is thrown away."""
    quiet = [
        (os.POSIX_SPAWN_OPEN, 0, os.devnull, os.O_RDONLY, 0),
        (os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0),
    ]
    child = os.posix_spawn(command[0], command, os.environ, file_actions=quiet)
    _, status, usage = os.wait4(child, 0)
    if os.waitstatus_to_exitcode(status) not in answers:
        sys.exit(f"{' '.join(command)} ended with {os.waitstatus_to_exitcode(status)}")
    return 1000 * (usage.ru_utime + usage.ru_stime)


def main():
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 51
    judge, true = [], []
    for _ in range(runs):
        judge.append(cpu_ms(COMMAND, ANSWERS))
        true.append(cpu_ms(["/bin/true"], (0,)))
    median, floor = statistics.median(judge), statistics.median(true)
    print(f"judge demo/vessgarth: median {median:.2f} ms CPU over {runs} runs")
    print(f"/bin/true: median {floor:.2f} ms CPU; ratio {median / floor:.1f}")


main()
