#!/usr/bin/env python3
"""Who includes whom: holds doc/architecture.md's table against the dependencies that the compiler wrote down.
And what is made at the edge only: JSON in the rooms of JSON_MADE, addresses of the server in web.

    rooms.py BUILD_DIR SOURCE_DIR
"""
import glob
import os
import re
import subprocess
import sys

HEADERS = {  # a library as doc/architecture.md names it: a fragment of the path of its headers
    "libyaml": "yaml.h", "jansson": "jansson", "libxml2": "libxml2", "MuPDF": "mupdf", "zlib": "zlib.h", "libtiff": "tiff",
    "libdeflate": "libdeflate.h", "libzstd": "zstd.h", "libjpeg": "jpeglib.h", "libpng": "png.h", "Little CMS": "lcms2",
    "pango": "pango", "cairo": "cairo", "fontconfig": "fontconfig", "libqrencode": "qrencode.h", "SQLite": "sqlite3.h",
    "libmicrohttpd": "microhttpd.h", "GEOS": "geos_c.h", "libsodium": "sodium", "pthread": "pthread.h",
}
JSON_MADE = {"base", "answer", "web", "cli"}  # the writer itself, and who writes with it
JSON_ELSEWHERE = {"src/job/written.c"}  # a job file as it is written: its tree is yaml's, no struct of ours
ADDRESS = re.compile(r'"[^"\n]*/(?:api|jobs)/')
UNSEEN = {"libc", "libm", "none", "Ghostscript as a child"}  # nothing to look for in an include


def table(source):
    """The table of rooms in doc/architecture.md: {room: rooms it may use}, {library: rooms that may see it}."""
    rows = []
    for line in open(f"{source}/doc/architecture.md", encoding="utf-8"):
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if line.startswith("|") and len(cells) == 4 and cells[0] not in ("room", "---"):
            rows.append(cells)
    rooms, libraries = {}, {}
    for room, _, may_use, outside in rows:
        every = may_use == "all of the above"
        rooms[room] = set(rooms) if every else set(may_use.replace("-", "").split())
        for name in filter(None, (part.strip() for part in re.split("[,;]", outside))):
            libraries.setdefault(name, set()).add(room)
    return rooms, libraries


def dependencies(build):
    """Every source of a room with the headers it was compiled with."""
    out = subprocess.run(["ninja", "-C", build, "-t", "deps"], capture_output=True, text=True, check=True).stdout
    for block in out.split("\n\n"):
        lines = block.splitlines()
        if lines and not lines[0].startswith("ninja:"):
            yield [os.path.normpath(os.path.join(build, line.strip())) for line in lines[1:]]


def faults_of(paths, source, rooms, libraries):
    """What a source (paths[0]) includes that its room may not; None when it is in no room."""
    inside = [os.path.relpath(path, source) for path in paths]
    unit = inside[0] if inside else ""
    match = re.match(r"src/(\w+)/[^/]+\.c$", unit)
    if not match:
        return None
    room, faults = match[1], []
    if room not in rooms:
        return [f"{unit}: the room {room} is not in the table of doc/architecture.md"]
    for path in inside[1:]:
        other = re.match(r"src/(\w+)/(pub/)?", path)
        if other and other[1] not in rooms[room] | {room}:
            faults.append(f"{unit} includes {path}: the room {room} may not use the room {other[1]}")
        elif other and other[1] != room and not other[2]:
            faults.append(f"{unit} includes {path}, which is private to the room {other[1]}")
        if path.startswith(".."):
            for name, may_see in libraries.items():
                if HEADERS[name] in path and room not in may_see:
                    faults.append(f"{unit} sees {path}: {name} belongs to {', '.join(sorted(may_see))} only")
    return faults


def own_threads(source):
    """pthread.h comes in with many system headers: what a source itself includes is looked at instead."""
    for name in sorted(glob.glob(f"{source}/src/*/*.c") + glob.glob(f"{source}/src/*/*.h")):
        if re.search(r"#include <pthread.h>", open(name, encoding="utf-8").read()):
            yield os.path.relpath(name, source)


def edge_faults(source):
    """JSON and addresses made in a room that gives structs; a fault too when nobody at the edge makes any."""
    faults, json_seen, addresses_seen = [], set(), set()
    for name in sorted(glob.glob(f"{source}/src/*/*.[ch]") + glob.glob(f"{source}/src/*/pub/*/*.h")):
        unit, text = os.path.relpath(name, source), open(name, encoding="utf-8").read()
        room = unit.split("/")[1]
        if '#include "base/json.h"' in text:
            json_seen.add(room)
            if room not in JSON_MADE and unit not in JSON_ELSEWHERE:
                faults.append(f"{unit} writes JSON; {room} gives structs, and answer writes them")
        if ADDRESS.search(text):
            addresses_seen.add(room)
            if room != "web":
                faults.append(f"{unit} makes an address of the server; only web does")
    if not {"answer", "web"} <= json_seen or "web" not in addresses_seen:
        faults.append("the sources were not read: nobody makes JSON or addresses")
    return faults


def main():
    build, source = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    rooms, libraries = table(source)
    faults, checked = [], 0
    for name in sorted(set(libraries) - set(HEADERS) - UNSEEN):
        faults.append(f"doc/architecture.md names {name}, which tests/lint/rooms.py cannot look for")
    threads = libraries.pop("pthread")
    faults += [f"{unit} includes pthread.h, which belongs to {', '.join(sorted(threads))} only"
               for unit in own_threads(source) if unit.split("/")[1] not in threads]
    libraries = {name: may_see for name, may_see in libraries.items() if name in HEADERS}
    faults += edge_faults(source)
    for paths in dependencies(build):
        found = faults_of(paths, source, rooms, libraries)
        checked += found is not None
        faults += found or []
    print("\n".join(sorted(set(faults))) or f"{checked} sources keep to their rooms")
    return 1 if faults or not checked else 0


sys.exit(main())
