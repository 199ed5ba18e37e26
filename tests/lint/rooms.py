#!/usr/bin/env python3
"""Who includes whom: holds doc/architecture.md's table against the dependencies that the compiler wrote down.

    rooms.py BUILD_DIR SOURCE_DIR
"""
import os
import re
import subprocess
import sys

ROOMS = {
    "base": "", "geom": "base", "model": "base geom",
    "job": "base geom model", "survey": "base geom model", "pdf": "base geom model", "raster": "base geom model",
    "colour": "base geom model", "scan": "base geom model", "plan": "base geom model",
    "record": "base geom model", "draw": "base geom model",
    "art": "base geom model pdf raster colour",
    "make": "base geom model art pdf raster colour scan draw",
    "sheet": "base geom model draw",
    "app": "base geom model job survey pdf raster colour scan plan record art draw make sheet",
    "web": "app base geom model",
    "cli": "app web base model geom",
}
LIBRARIES = {  # a path fragment of a header and the rooms that may see it
    "yaml.h": {"job"}, "jansson": {"job"}, "libxml2": {"survey"}, "mupdf": {"pdf"}, "zlib.h": {"pdf", "raster"},
    "tiff": {"raster"}, "libdeflate.h": {"raster"}, "zstd.h": {"raster"},
    "jpeglib.h": {"raster"}, "png.h": {"raster"}, "lcms2": {"colour"}, "pango": {"draw"},
    "cairo": {"draw"}, "qrencode.h": {"draw"}, "sqlite3.h": {"record"}, "microhttpd.h": {"web"}, "sodium": {"web"}, "pthread.h": set(),
}


def dependencies(build):
    """Every source of a room with the headers it was compiled with."""
    out = subprocess.run(["ninja", "-C", build, "-t", "deps"], capture_output=True, text=True, check=True).stdout
    for block in out.split("\n\n"):
        lines = block.splitlines()
        if lines and not lines[0].startswith("ninja:"):
            yield [os.path.normpath(os.path.join(build, line.strip())) for line in lines[1:]]


def main():
    build, source = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    faults, checked = [], 0
    for paths in dependencies(build):
        inside = [os.path.relpath(path, source) for path in paths]
        unit = inside[0] if inside else ""
        match = re.match(r"src/(\w+)/[^/]+\.c$", unit)
        if not match:
            continue
        checked += 1
        room, allowed = match[1], set(ROOMS.get(match[1], "").split()) | {match[1]}
        if room not in ROOMS:
            faults.append(f"{unit}: the room {room} is not in the table of tests/lint/rooms.py")
        for path in inside[1:]:
            other = re.match(r"src/(\w+)/(pub/)?", path)
            if other and other[1] not in allowed:
                faults.append(f"{unit} includes {path}: the room {room} may not use the room {other[1]}")
            elif other and other[1] != room and not other[2]:
                faults.append(f"{unit} includes {path}, which is private to the room {other[1]}")
            if path.startswith(".."):
                for name, rooms in LIBRARIES.items():
                    if name in path and rooms and room not in rooms:
                        faults.append(f"{unit} sees {path}: {name} belongs to {', '.join(sorted(rooms))} only")
    print("\n".join(sorted(set(faults))) or f"{checked} sources keep to their rooms")
    return 1 if faults or not checked else 0


sys.exit(main())
