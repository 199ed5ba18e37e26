#!/usr/bin/env python3
"""A kind of feature is described once: nothing but its table names it, so that a new kind touches four files (the
constant, the name and row, the generated reference, a test). Kinds with a geometry of their own (a gap is a line) and
the word for inner parts of an outline are the exceptions, counted here."""
import re
import subprocess
import sys

TABLE = {"src/model/feature.c", "src/model/pub/model/feature.h"}
# Where a kind may be named besides: file by kind.
ALSO = {"GAP": 6, "CORRUGATION": 3, "RECESS": 3, "DOME": 3, "OPENING": 1, "KEEP_WHOLE": 1}


def main():
    top = sys.argv[1]
    read = lambda name: open(f"{top}/{name}", encoding="utf-8").read()
    header = read("src/model/pub/model/feature.h")
    kinds = re.findall(r"\bFEATURE_([A-Z_]+),", header)
    names = dict(re.findall(r"\[FEATURE_([A-Z_]+)\] = \"([a-z-]+)\"", read("src/model/feature.c")))
    listing = subprocess.run(["git", "-C", top, "ls-files", "src"], capture_output=True, text=True)
    if listing.returncode:
        print("not a checkout: nothing to look at")
        return 77
    files = [f for f in listing.stdout.split() if f.endswith((".c", ".h", ".js")) and f not in TABLE]
    texts = {f: read(f) for f in files}
    faults = []
    for kind in kinds:
        if kind not in names:
            faults.append(f"FEATURE_{kind} has no name")
            continue
        word = re.compile(rf"\bFEATURE_{kind}\b" + (rf"|['\"]{names[kind]}['\"]" if "-" in names[kind] else ""))
        where = [f for f, text in texts.items() if word.search(text)]
        extra = ALSO.get(kind, 0)
        if kind == "KEEP_WHOLE":  # a key of the job file as well
            where = [f for f in where if re.search(r"\bFEATURE_KEEP_WHOLE\b", texts[f])]
        if len(where) > extra:
            faults.append(f"{names[kind]}: named in {', '.join(where)}; the table describes it")
        print(f"{names[kind]}: {2 + len(where)} source files")
    faults += [f"{f}: a switch over kinds" for f, text in texts.items() if re.search(r"case FEATURE_", text)]
    print("\n".join(faults) or "clean")
    return 1 if faults else 0


sys.exit(main())
