#!/usr/bin/env python3
"""Habits that a reader relies on: file sizes, no left-over markers, no path of one machine, no printf family."""
import re
import subprocess
import sys

LINES_MOST = 800
MARKERS = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b")
MACHINE = re.compile(r"(^|[^A-Za-z0-9_.])/(work|farm|root|home)/")
LOCALE = re.compile(r"\b(s?n?printf|strtod|atof|sscanf|setlocale|setjmp|longjmp)\s*\(")


def main():
    top = sys.argv[1]
    listing = subprocess.run(["git", "-C", top, "ls-files"], capture_output=True, text=True)
    if listing.returncode:
        print("not a checkout: nothing to look at")
        return 77
    faults = []
    for name in listing.stdout.split():
        if not name.endswith((".c", ".h", ".py", ".md", ".build", ".yaml", ".sh")) and not name.startswith("scripts/"):
            continue
        try:
            lines = open(f"{top}/{name}", encoding="utf-8").read().splitlines()
        except FileNotFoundError:
            continue
        if name.endswith((".c", ".h")) and len(lines) > LINES_MOST:
            faults.append(f"{name}: {len(lines)} lines, at most {LINES_MOST}")
        for number, line in enumerate(lines, 1):
            if name != "tests/lint/words.py" and MARKERS.search(line):
                faults.append(f"{name}:{number}: a left-over marker")
            if MACHINE.search(line):
                faults.append(f"{name}:{number}: a path of one machine")
            if name.startswith("src/") and LOCALE.search(line) and "format(printf" not in line:
                faults.append(f"{name}:{number}: numbers and text go through base/text.h and base/str.h")
    print("\n".join(faults) or "clean")
    return 1 if faults else 0


sys.exit(main())
