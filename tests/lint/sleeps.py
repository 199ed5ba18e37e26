#!/usr/bin/env python3
"""Tests wait for what they wait for, with a limit, and not for a time: a sleep stands only in a loop that looks again, or
where the time itself is what is tried.

    sleeps.py SOURCE_DIR

ALLOWED says how many there are in a file, and why; such a number may only fall."""
import re
import subprocess
import sys

ALLOWED = {
    "tests/base/test_pool.c": (1, "a loop that looks whether the other turn is there"),
    "tests/browser/support.mjs": (2, "the loops that look: until, and whether a server answers"),
    "tests/outside/end_to_end.py": (2, "a loop that looks at a file's age; the moment of a kill, by chance"),
    "tests/outside/record.py": (3, "a loop that looks at the clock; two moments of a kill, by chance"),
    "tests/server/devices.py": (1, "the moment of a kill, by chance"),
    "tests/server/serving.py": (4, "the moment of a kill, by chance; a watch over memory; the pace of a client; one that drips"),
    "tests/server/shopfloor.py": (1, "the loop that looks: until"),
    "tests/web/test_work.c": (2, "loops that look whether work is over"),
}
SLEEP = re.compile(r"\b(?:u|nano|clock_nano)?sleep\(|\bsetTimeout\(|\bwaitForTimeout\(")


def main(top):
    listing = subprocess.run(["git", "-C", top, "ls-files", "tests", "fuzz"], capture_output=True, text=True)
    if listing.returncode:
        print("not a checkout: nothing to look at")
        return 77
    found = {}
    for path in listing.stdout.split():
        if not path.startswith("tests/lint/") and path.endswith((".py", ".c", ".h", ".mjs", ".js", ".sh")):
            lines = open(f"{top}/{path}", encoding="utf-8").read().split("\n")
            found[path] = [number for number, line in enumerate(lines, 1) if SLEEP.search(line)]
    faults = []
    for path in sorted({*ALLOWED, *(path for path, lines in found.items() if lines)}):
        lines, most = found.get(path, []), ALLOWED.get(path, (0, ""))[0]
        if len(lines) > most:
            faults.append(f"{path}: sleeps in lines {lines}, at most {most}: wait for what is waited for, with a limit")
        elif len(lines) < most:
            faults.append(f"{path}: {len(lines)} sleeps; ALLOWED says {most}: lower it")
    print(f"{sum(len(lines) for lines in found.values())} sleeps in {len(found)} files of tests")
    print("\n".join(faults) or "holds")
    return 1 if faults else 0


sys.exit(main(sys.argv[1].rstrip("/")))
