#!/usr/bin/env python3
"""Habits that a reader relies on: file sizes, sources that open with what they are for, no left-over markers, no path of one
machine, no printf family, millimetres in an inch by their name, and assertions in the rooms that work things out."""
import re
import subprocess
import sys

LINES_MOST = 800
# A heading such as "/* ---- reading ---- */" does not say what the file is for.
OPENING = re.compile(r"/\* \w")
MARKERS = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b")
MACHINE = re.compile(r"(^|[^A-Za-z0-9_.])/(work|farm|root|home)/")
LOCALE = re.compile(r"\b(s?n?printf|strtod|atof|sscanf|setlocale|setjmp|longjmp)\s*\(")
# Text and comments are passed over; base/units.h is where the number has its name.
INCH = re.compile(r'"(?:[^"\\]|\\.)*"|/\*.*?\*/|(?<![\w.])25\.4(?![\w.])', re.S)
UNITS = "src/base/pub/base/units.h"
# Rooms that work things out say what must hold of it; so many in 1000 lines is our judgement.
ASSERTING = ("plan", "survey", "scan", "raster")
ASSERTIONS_LEAST = 5
ASSERTION = re.compile(r"^\s+assert\(")


def bare_inches(name, text):
    found = [m.start() for m in INCH.finditer(text) if m[0] == "25.4"]
    return [f"{name}:{text.count(chr(10), 0, at) + 1}: MM_PER_INCH of base/units.h, not a bare 25.4" for at in found]


def bare_rooms(sources):
    """`sources`: the lines of each .c file by its name."""
    faults = []
    for room in ASSERTING:
        lines = [line for name, text in sources.items() if name.startswith(f"src/{room}/") for line in text]
        said = sum(bool(ASSERTION.match(line)) for line in lines)
        if said * 1000 < ASSERTIONS_LEAST * len(lines):
            faults.append(f"src/{room}: {said} assertions in {len(lines)} lines, at least {ASSERTIONS_LEAST} in 1000")
    return faults


def main():
    top = sys.argv[1]
    listing = subprocess.run(["git", "-C", top, "ls-files"], capture_output=True, text=True)
    if listing.returncode:
        print("not a checkout: nothing to look at")
        return 77
    faults, sources = [], {}
    for name in listing.stdout.split():
        if not name.endswith((".c", ".h", ".py", ".md", ".build", ".yaml", ".sh")) and not name.startswith("scripts/"):
            continue
        try:
            lines = open(f"{top}/{name}", encoding="utf-8").read().splitlines()
        except FileNotFoundError:
            continue
        if name.endswith(".c"):
            sources[name] = lines
        if name.endswith((".c", ".h")) and len(lines) > LINES_MOST:
            faults.append(f"{name}: {len(lines)} lines, at most {LINES_MOST}")
        if name.startswith("src/") and name.endswith(".c") and not OPENING.match(lines[0] if lines else ""):
            faults.append(f"{name}:1: open with a comment that says what the file is for")
        if name.startswith(("src/", "demo/", "bench/")) and name.endswith((".c", ".h")) and name != UNITS:
            faults += bare_inches(name, "\n".join(lines))
        for number, line in enumerate(lines, 1):
            if name != "tests/lint/words.py" and MARKERS.search(line):
                faults.append(f"{name}:{number}: a left-over marker")
            if MACHINE.search(line):
                faults.append(f"{name}:{number}: a path of one machine")
            if name.startswith("src/") and LOCALE.search(line) and "format(printf" not in line:
                faults.append(f"{name}:{number}: numbers and text go through base/text.h and base/str.h")
    faults += bare_rooms(sources)
    print("\n".join(faults) or "clean")
    return 1 if faults else 0


sys.exit(main())
