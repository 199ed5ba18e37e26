#!/usr/bin/python3
"""Lays panel pages back on the surface and compares them with the artwork, both rendered by Ghostscript.

    lay_back.py OUT_DIR SURFACE ARTWORK.pdf SCALE AT_X AT_Y [PPI]

Both sides are rendered in RGB without anti-aliasing, with overprint simulated. What lies inside visible_mm of each
panel is compared; a pixel counts as off when a sample differs by more than 2 of 255, and must then lie within one
pixel of an edge of the artwork. At most 0.1 % may be off.
"""
import json
import math
import os
import subprocess
import sys
import tempfile

import numpy

MM = 72 / 25.4


def render(path, page, ppi, origin, size, scale):
    """Pixels of the page with `origin` (page points) at the lower left, `size` in pixels, enlarged `scale` times."""
    with tempfile.TemporaryDirectory() as folder:
        out = os.path.join(folder, "out.ppm")
        k = scale
        setup = f"<</Install{{{k:.9f} {k:.9f} scale {-origin[0]:.9f} {-origin[1]:.9f} translate}}/PageOffset[0 0]>>setpagedevice"
        subprocess.run(
            ["gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=ppmraw", f"-r{ppi}", f"-g{size[0]}x{size[1]}", "-dFIXEDMEDIA",
             "-dOverprint=/simulate", f"-dFirstPage={page}", f"-dLastPage={page}", f"-sOutputFile={out}", "-c", setup, "-f", path],
            check=True, stdout=subprocess.DEVNULL)
        data = open(out, "rb").read()
    header = data.split(b"\n", 3)
    start = len(data) - size[0] * size[1] * 3
    assert header[0] == b"P6" and start > 0
    return numpy.frombuffer(data, numpy.uint8, offset=start).reshape(size[1], size[0], 3).astype(numpy.int16)


def at_edges(image):
    """True within one pixel of a place where the artwork changes."""
    change = numpy.zeros(image.shape[:2], bool)
    across = numpy.abs(numpy.diff(image, axis=1)).max(axis=2) > 2
    down = numpy.abs(numpy.diff(image, axis=0)).max(axis=2) > 2
    change[:, 1:] |= across
    change[:, :-1] |= across
    change[1:, :] |= down
    change[:-1, :] |= down
    wide = change.copy()
    wide[1:, :] |= change[:-1, :]
    wide[:-1, :] |= change[1:, :]
    wide[:, 1:] |= wide[:, :-1]
    wide[:, :-1] |= wide[:, 1:]
    return wide


def main():
    out, name, artwork = sys.argv[1:4]
    scale, at_x, at_y = map(float, sys.argv[4:7])
    ppi = float(sys.argv[7]) if len(sys.argv) > 7 else 100
    plan = json.load(open(os.path.join(out, "plan.json"), encoding="utf-8"))
    surface = next(s for s in plan["surfaces"] if s["name"] == name)
    pixel = 25.4 / ppi
    worst = 0.0
    for panel in surface["panels"]:
        x0, y0, x1, y1 = panel["visible_mm"]
        # whole pixels of one grid with its origin at the surface's: one common offset for all panels
        i0, j0 = math.ceil(x0 / pixel), math.ceil(y0 / pixel)
        size = (math.floor(x1 / pixel) - i0, math.floor(y1 / pixel) - j0)
        corner = (i0 * pixel, j0 * pixel)
        file_corner = panel["file_mm"][:2]
        seen = render(os.path.join(out, panel["file"]), panel["page"], ppi, [(c - f) * MM for c, f in zip(corner, file_corner)], size, 1)
        page_corner = [(corner[0] - at_x) / scale * MM, (corner[1] - at_y) / scale * MM]
        wanted = render(artwork, 1, ppi, page_corner, size, scale)
        off = numpy.abs(seen - wanted).max(axis=2) > 2
        share = off.mean()
        stray = (off & ~at_edges(wanted)).sum()
        worst = max(worst, share)
        print(f"{panel['id']}: {share:.4%} of {off.size} pixels off, {stray} of them not at an edge")
        if share > 0.001 or stray:
            print("the panel does not give the artwork again")
            return 1
    print(f"worst panel {worst:.4%}")
    return 0


sys.exit(main())
