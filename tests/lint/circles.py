#!/usr/bin/env python3
"""Files use each other one way only: no two sources, and no longer chain of them, need each other's functions or tables.
Read from what the compiler made of them, by nm (POSIX): the names that each object defines, and those it asks for.

    circles.py BUILD_DIR
"""
import glob
import os
import subprocess
import sys

DEFINED = set("TDBRVW")  # code, data and constants that other objects can see
LEAST = 300  # fewer sources than the house has: the build was not read


def source_of(build, path):
    """"job/read.c" of src/job/libjob.a.p/read.c.o, "cli/main.c" of lapstrake.p/src_cli_main.c.o."""
    name, folders = os.path.basename(path).removesuffix(".o"), os.path.relpath(path, build).split("/")
    return f"{folders[1]}/{name}" if folders[0] == "src" else name.removeprefix("src_").replace("_", "/", 1)


def objects(build):
    """{source: (names it defines for others, names it asks for)}"""
    paths = glob.glob(f"{build}/src/**/*.o", recursive=True) + glob.glob(f"{build}/lapstrake.p/*.o")
    found = {path: (set(), set()) for path in paths}
    listed = subprocess.run(["nm", "-A", *paths], capture_output=True, text=True, check=True).stdout
    for line in listed.splitlines():
        path, rest = line.split(".o:", 1)
        kind, name = rest.split()[-2:]
        defined, asked = found[path + ".o"]
        if kind in DEFINED:
            defined.add(name)
        elif kind == "U":
            asked.add(name)
    return {source_of(build, path): names for path, names in found.items()}



def uses(build):
    """{source: {source it uses: the names it uses of it}}"""
    made = objects(build)
    home = {name: source for source, (defined, _) in made.items() for name in defined}
    found = {source: {} for source in made}
    for source, (_, asked) in made.items():
        for name in asked:
            if home.get(name, source) != source:
                found[source].setdefault(home[name], set()).add(name)
    return found


def circles(found):
    """Sets of sources that all reach each other: strongly connected components, by Tarjan's method (1972)."""
    number, lowest, waiting, made = {}, {}, [], []

    def visit(source):
        number[source] = lowest[source] = len(number)
        waiting.append(source)
        for used in found[source]:
            if used not in number:
                visit(used)
            if used in waiting:
                lowest[source] = min(lowest[source], lowest[used])
        if lowest[source] == number[source]:
            at = waiting.index(source)
            made.append(sorted(waiting[at:]))
            del waiting[at:]

    for source in sorted(found):
        if source not in number:
            visit(source)
    return [members for members in made if len(members) > 1]


def main(build):
    sys.setrecursionlimit(10000)
    found = uses(build)
    faults = [] if len(found) >= LEAST else [f"the build was not read: {len(found)} objects"]
    for members in circles(found):
        faults.append(f"these files use each other in a circle: {', '.join(members)}")
        faults += [f"    {source} uses {', '.join(sorted(found[source][used]))} of {used}"
                   for source in members for used in members if used in found[source]]
    print("\n".join(faults) or f"{len(found)} sources, no circle")
    return 1 if faults else 0


sys.exit(main(sys.argv[1].rstrip("/")))
