#!/usr/bin/env python3
"""Every code of the table of findings is raised somewhere in the sources, and no other is.

    findings.py SOURCE_DIR
"""
import glob
import re
import sys

TABLE = "src/model/finding.c"


def main(source):
    codes = re.findall(r'^    \{"([a-z-]+)", SEVERITY_', open(f"{source}/{TABLE}", encoding="utf-8").read(), re.M)
    said = {}
    for path in glob.glob(f"{source}/src/**/*.c", recursive=True):
        if path.endswith(TABLE) or "/english/" in path:
            continue
        for word in re.findall(r'"([a-z]+(?:-[a-z]+)*)"', open(path, encoding="utf-8").read()):
            said.setdefault(word, path)
    faults = [f"{code}: in the table, raised nowhere" for code in codes if code not in said]
    raised = re.compile(r'(?:finding_add\(\s*[^;,"]*,\s*|\badd\(j, p, )"([a-z-]+)"')
    for path in glob.glob(f"{source}/src/**/*.c", recursive=True):
        for code in raised.findall(open(path, encoding="utf-8").read()):
            if code not in codes:
                faults.append(f"{path}: raises {code}, which is not in the table")
    if len(codes) < 50:
        faults.append("the table of findings was not read")
    print("\n".join(faults) or "holds")
    return 1 if faults else 0


sys.exit(main(sys.argv[1]))
