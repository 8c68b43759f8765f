# SPDX-License-Identifier: Apache-2.0
"""Rules for every file of the repository that no compiler checks. One check per rule."""

import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
LONG_FILE = 400
CPP = (".h", ".cc")
CODE = (".h", ".cc", ".py", ".sh", ".cmake", ".ts", ".tsx")
SPDX = "// SPDX-License-Identifier: Apache-2.0"


def repository_files():
    """Tracked files and new ones that are not ignored; without git, all but build folders."""
    listed = subprocess.run(
        ["git", "-C", ROOT, "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others",
         "--exclude-standard"],
        capture_output=True, check=False,
    ) if (ROOT / ".git").exists() else None
    if listed and listed.returncode == 0:
        paths = [ROOT / name for name in listed.stdout.decode().split("\0") if name]
    else:
        skipped = {"build", ".git", "node_modules", "__pycache__"}
        paths = [path for path in ROOT.rglob("*")
                 if not skipped & set(path.relative_to(ROOT).parts)]
    return sorted(path for path in paths if path.is_file() and not path.is_symlink())


def read_text(path):
    """The text of a file, or None for a picture, a recording or other bytes."""
    data = path.read_bytes()
    if b"\0" in data:
        return None
    try:
        return data.decode()
    except UnicodeDecodeError:
        return None


def lines_with(pattern, suffixes=None):
    """A rule: no line matches `pattern` (in files that end in one of `suffixes`)."""
    expression = re.compile(pattern)

    def faults(path, text):
        if suffixes and path.suffix not in suffixes:
            return
        for number, line in enumerate(text.splitlines(), 1):
            if expression.search(line):
                yield f"{number}: {line.strip()[:120]}"

    return faults


def licence_line(path, text):
    if path.suffix in CPP and text.split("\n", 1)[0] != SPDX:
        yield f"1: the first line is not {SPDX}"


def importable_name(path, _):
    if path.parent == ROOT / "tests" / "cli" and path.suffix == ".py":
        if not path.stem.isidentifier():
            yield "1: unittest does not find a file whose name is no Python name"


NAMED = {}


def types_of_one_name(path, text):
    """Two types of one name are one name to the linker: it takes the functions of either."""
    if path.suffix != ".h" or path.parent.parent != ROOT / "src":
        return
    for match in re.finditer(
            r"^(?:struct|class|enum class) (\w+)(?: final)?(?: : [^;{]*)? \{", text, re.MULTILINE):
        spaces = re.findall(r"^namespace ([\w:]+) \{", text[:match.start()], re.MULTILINE)
        first = NAMED.setdefault((spaces[-1] if spaces else "", match[1]), path)
        if first != path:
            line = text.count("\n", 0, match.start()) + 1
            yield f"{line}: {match[1]} is also in {first.relative_to(ROOT)}"


RULES = {
    "no path of somebody's machine": lines_with(r"(?<![\w.\-])/(?:work|home|root|Users)/"),
    "no address of a package registry": lines_with(
        r"https?://(?:[\w-]+\.)*(?:registry|npm|pypi|crates|packages|mirrors?|proxy)\w*[.:]"),
    "licence in the first line of C++ files": licence_line,
    "no coroutines (g++ 12 miscompiles them)": lines_with(r"\bco_(?:await|yield|return)\b", CPP),
    "no two types of one name in the headers of src": types_of_one_name,
    "TO-DO notes carry an issue number": lines_with(r"\bTODO\b(?!\(#\d+\))", CODE),
    "tests of the program have names that unittest finds": importable_name,
}


def main():
    failed = set()
    for path in repository_files():
        text = read_text(path)
        if text is None:
            continue
        name = path.relative_to(ROOT)
        for rule, faults in RULES.items():
            for fault in faults(path, text):
                print(f"{name}:{fault}   [{rule}]")
                failed.add(rule)
        length = text.count("\n")
        if path.suffix in CODE and length > LONG_FILE:
            print(f"{name}: {length} lines; more than {LONG_FILE} are hard to review (a warning)")
    print(f"{len(RULES) - len(failed)} passed, {len(failed)} failed")
    return 1 if failed else 0


sys.exit(main())
