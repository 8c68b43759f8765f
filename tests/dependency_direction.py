# SPDX-License-Identifier: Apache-2.0
"""Checks every #include of src/ against the DEPENDS lists of the tm_library calls.

A module may include itself and what it declares, directly or through what it declares. Models
stand alone. Every source file is named in its module's CMakeLists.txt, or nobody compiles it.
"""

import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
MODELS = {
    "measure", "geometry", "clearance", "oil", "tighten", "recording", "dynamics", "diagnose",
}
MODELS_MAY_USE = {"base"}
KEYWORDS = ("SOURCES", "DEPENDS", "LINKS", "TESTS", "TEST_LINKS")
INCLUDE = re.compile(r'^\s*#\s*include\s*"([^"]+)"', re.MULTILINE)


def read_call(folder):
    """The tm_library call of one module: keyword -> words."""
    text = re.sub(r"#.*", "", (folder / "CMakeLists.txt").read_text())
    call = re.search(r"\btm_library\s*\(\s*(\w+)([^)]*)\)", text)
    if not call:
        raise ValueError("no tm_library call")
    if call[1] != folder.name:
        raise ValueError(f"tm_library({call[1]}) in the folder {folder.name}")
    lists = {keyword: [] for keyword in KEYWORDS}
    keyword = None
    for word in call[2].split():
        if word in KEYWORDS:
            keyword = word
        elif keyword:
            lists[keyword].append(word)
    lists["NAMED"] = set(re.split(r"[\s()]+", text))
    for patterns in re.findall(r"\bfile\s*\(\s*GLOB\b([^)]*)\)", text):
        for pattern in patterns.split():
            if pattern.endswith(".cc"):
                lists["NAMED"] |= {p.relative_to(folder).as_posix() for p in folder.glob(pattern)}
    return lists


def reach(start, depends):
    """Everything that `start` declares, directly or through others."""
    found, waiting = set(), list(start)
    while waiting:
        module = waiting.pop()
        if module not in found:
            found.add(module)
            waiting += depends.get(module, [])
    return found


def wrong_includes(path, module, allowed, modules):
    text = path.read_text()
    for match in INCLUDE.finditer(text):
        if "_test" in path.stem and (ROOT / "tests" / match[1]).is_file():
            continue  # tests/support
        line = text.count("\n", 0, match.start(1)) + 1
        place = f"{path.relative_to(ROOT)}:{line}: "
        target = match[1].split("/")[0] if "/" in match[1] else None
        if target not in modules:
            yield f'{place}"{match[1]}" is not a header of a module; write "module/file.h"'
        elif target != module and target not in allowed:
            yield f"{place}{module} does not declare that it depends on {target}"
        elif not (ROOT / "src" / match[1]).is_file():
            yield f'{place}"{match[1]}" does not exist'


def module_faults(module, calls, depends):
    call = calls[module]
    allowed = reach(depends[module], depends)
    for unknown in sorted(set(depends[module]) - set(calls)):
        yield f"src/{module}/CMakeLists.txt: depends on {unknown}, which is no module"
    if module in allowed:
        yield f"src/{module}/CMakeLists.txt: depends on itself in a circle"
    if module in MODELS and allowed - MODELS_MAY_USE:
        others = ", ".join(sorted(allowed - MODELS_MAY_USE))
        yield f"src/{module}/CMakeLists.txt: a model stands alone, but this one depends on {others}"

    extra = [word.removeprefix("tautmark_") for word in call["TEST_LINKS"]]
    for_tests = allowed | reach((word for word in extra if word in calls), depends)
    for path in sorted((ROOT / "src" / module).rglob("*")):
        if path.suffix not in (".h", ".cc"):
            continue
        is_test = "_test" in path.stem
        yield from wrong_includes(path, module, for_tests if is_test else allowed, calls)
        name = path.relative_to(ROOT / "src" / module).as_posix()
        if path.suffix == ".cc" and name not in call["NAMED"]:
            if f"src/{module}/{name}" not in (ROOT / "CMakeLists.txt").read_text():
                yield f"src/{module}/{name}: not named in CMakeLists.txt, so never compiled"


def main():
    folders = sorted(path for path in (ROOT / "src").glob("*/") if any(path.rglob("*.*")))
    calls, failed = {}, set()
    for folder in folders:
        try:
            calls[folder.name] = read_call(folder)
        except (OSError, ValueError) as error:
            print(f"src/{folder.name}/CMakeLists.txt: {error}")
            failed.add(folder.name)
    depends = {module: call["DEPENDS"] for module, call in calls.items()}
    for module in calls:
        for fault in module_faults(module, calls, depends):
            print(fault)
            failed.add(module)
    print(f"{len(folders) - len(failed)} passed, {len(failed)} failed")
    return 1 if failed or not folders else 0


sys.exit(main())
