# SPDX-License-Identifier: Apache-2.0
"""Letters of the blocks that src/base/case_fold.cc folds, and Python's str.casefold of each."""

import sys

sys.stdout.reconfigure(encoding="utf-8")

BLOCKS = [(0x41, 0x24F), (0x370, 0x52F), (0x1E00, 0x1EFF), (0xA640, 0xA69F), (0xFB00, 0xFB06)]

for first, last in BLOCKS:
    for code in range(first, last + 1):
        letter = chr(code)
        if letter.isalpha():
            print(letter, letter.casefold())
