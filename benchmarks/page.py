# SPDX-License-Identifier: Apache-2.0
"""What the page costs in a browser: first load, a turned frame, a recording of 50 million samples.

    ./bench page [SAMPLES]
"""

import pathlib
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.exit(subprocess.call(["node", HERE.parent / "tests" / "page" / "bench.mjs", *sys.argv[1:]]))
