#!/usr/bin/python3
"""Lays panel pages back on the surface and compares them with the artwork, both rendered by Ghostscript.

    lay_back.py OUT_DIR SURFACE ARTWORK.pdf SCALE AT_X AT_Y [PPI [images]]

Both sides are rendered in RGB without anti-aliasing, with overprint simulated; visible_mm of each panel is compared.
A pixel is off when a sample differs by more than 2 of 255. At most 0.1 % may be off, and each must hold what the
artwork has within one pixel of there. With the word "images" 0.5 % may be off: where a picture's pixels are as small
as the rendering's, Ghostscript's single-precision matrices decide which of two neighbours is drawn.
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


def trim_corner(path):
    """Lower left corner of the first page's TrimBox, in points from that of its MediaBox, as pdfinfo reads them."""
    words = subprocess.run(["pdfinfo", "-box", path], check=True, capture_output=True, text=True).stdout
    boxes = {line.split(":")[0]: [float(v) for v in line.split(":")[1].split()] for line in words.splitlines() if "Box:" in line}
    return [t - m for t, m in zip(boxes["TrimBox"][:2], boxes["MediaBox"][:2])]


def strays(seen, wanted):
    """Which pixels are off at all, and which hold what the artwork has nowhere within one pixel of there."""
    off = numpy.abs(seen - wanted).max(axis=2) > 2
    low, high = wanted.copy(), wanted.copy()
    for axis in (0, 1):  # least and most of the 3 x 3 pixels about each
        for rim, pick in ((low, numpy.minimum), (high, numpy.maximum)):
            before, after = rim.copy(), rim.copy()
            index = [slice(None)] * 3
            index[axis] = slice(1, None)
            other = [slice(None)] * 3
            other[axis] = slice(None, -1)
            before[tuple(index)] = rim[tuple(other)]
            after[tuple(other)] = rim[tuple(index)]
            pick(pick(rim, before), after, out=rim)
    outside = ((seen < low - 2) | (seen > high + 2)).any(axis=2)
    return off, off & outside


def main():
    out, name, artwork = sys.argv[1:4]
    scale, at_x, at_y = map(float, sys.argv[4:7])
    ppi = float(sys.argv[7]) if len(sys.argv) > 7 else 100
    most = 0.005 if "images" in sys.argv else 0.001
    plan = json.load(open(os.path.join(out, "plan.json"), encoding="utf-8"))
    surface = next(s for s in plan["surfaces"] if s["name"] == name)
    pixel = 25.4 / ppi
    trim = trim_corner(artwork)
    worst = 0.0
    for panel in surface["panels"]:
        x0, y0, x1, y1 = panel["visible_mm"]
        # whole pixels of one grid with its origin at the surface's: one common offset for all panels
        i0, j0 = math.ceil(x0 / pixel), math.ceil(y0 / pixel)
        size = (math.floor(x1 / pixel) - i0, math.floor(y1 / pixel) - j0)
        corner = (i0 * pixel, j0 * pixel)
        file_corner = panel["file_mm"][:2]
        seen = render(os.path.join(out, panel["file"]), panel["page"], ppi, [(c - f) * MM for c, f in zip(corner, file_corner)], size, 1)
        page_corner = [(c - at) / scale * MM + t for c, at, t in zip(corner, (at_x, at_y), trim)]
        wanted = render(artwork, 1, ppi, page_corner, size, scale)
        off, outside = strays(seen, wanted)
        share, stray = off.mean(), outside.sum()
        worst = max(worst, share)
        print(f"{panel['id']}: {share:.4%} of {off.size} pixels off, {stray} of them show what the artwork has nowhere near")
        if share > most or stray:
            print("the panel does not give the artwork again")
            return 1
    print(f"worst panel {worst:.4%}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
