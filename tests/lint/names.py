#!/usr/bin/env python3
"""A name says one thing: no static function and no struct tag stands in two files of the sources, and no static function has
the name of one that another file gives to all.

    names.py SOURCE_DIR
"""
import collections
import glob
import re
import sys

FUNCTION = re.compile(r"^static (?:inline )?(?:[\w]+[\s*]+)+?(\w+)\s*\(", re.M)
GIVEN = re.compile(r"^(?!static|typedef|#)(?:[\w]+[\s*]+)+?(\w+)\s*\([^;{]*\)\s*\{", re.M)
TAG = re.compile(r"^(?:static )?(?:const )?struct (\w+) \{", re.M)
ATTRIBUTE = re.compile(r"__attribute__\(\(.*?\)\)", re.S)


def where(source, pattern):
    found = collections.defaultdict(set)
    for path in glob.glob(f"{source}/src/**/*.[ch]", recursive=True):
        text = ATTRIBUTE.sub("", open(path, encoding="utf-8").read())
        for name in pattern.findall(text):
            found[name].add(path[len(source) + 1:])
    return found


def main(source):
    functions, tags = where(source, FUNCTION), where(source, TAG)
    faults = [f"{kind} {name} stands in {', '.join(sorted(paths))}: each says its subject, as `strip_begin` does"
              for kind, names in (("static function", functions), ("struct", tags))
              for name, paths in sorted(names.items()) if len(paths) > 1]
    given = where(source, GIVEN)
    faults += [f"static function {name} of {min(functions[name])} has the name of one in {min(given[name])}" for name in sorted(set(functions) & set(given))]
    if len(given) < 500 or len(functions) < 1000 or len(tags) < 200:
        faults.append(f"the sources were not read: {len(functions)} functions, {len(tags)} structs")
    print("\n".join(faults) or "holds")
    return 1 if faults else 0


sys.exit(main(sys.argv[1].rstrip("/")))
