#!/usr/bin/env python3
"""The demo's artwork, judged by programs that are not ours: qpdf, poppler, Ghostscript and libtiff's tiffinfo.

    artwork.py MAKE_DEMO_ART
"""
import hashlib
import os
import re
import shutil
import subprocess
import sys
import tempfile

JUDGES = ["qpdf", "pdfinfo", "pdffonts", "pdfimages", "gs", "tiffinfo"]
POINT_MM = 25.4 / 72
# Sizes on the vehicle in mm, as the jobs in demo/ say them; the trim is 50 mm larger on every edge, at 1:10.
PAGES = {
    "library-van/art/left.pdf": (5600, 2000), "library-van/art/right.pdf": (5600, 2000),
    "more/box-truck/art/side.pdf": (6200, 2400), "more/bus-with-windows/art/side.pdf": (12000, 3000),
    "more/bonnet/art/bonnet.pdf": (1560, 1080), "more/trailer/art/side.pdf": (13600, 2600),
    "more/pattern/art/side.pdf": (5400, 1900), "more/hopeless/art/side.pdf": (4000, 1800),
    "more/fleet-vans/art/half.pdf": (4800, 1700), "more/fleet-vans/art/emblem.pdf": (500, 500),
}
REAR = "library-van/art/rear.tif"


class Tap:
    def __init__(self):
        self.number, self.failed = 0, 0

    def check(self, holds, words):
        self.number += 1
        self.failed += not bool(holds)
        print(f"{'ok' if holds else 'not ok'} {self.number} - {words}")


def run(*command):
    return subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace")


def make(tool, folder):
    result = run(tool, folder)
    if result.returncode:
        raise SystemExit(f"Bail out! {result.stdout}")


def digests(folder):
    return [hashlib.sha256(open(f"{folder}/{name}", "rb").read()).hexdigest() for name in [*PAGES, REAR]]


def check_page(tap, folder, name, size):
    path = f"{folder}/{name}"
    tap.check(run("qpdf", "--check", path).returncode == 0, f"{name}: qpdf finds nothing wrong")
    box = re.search(r"TrimBox:\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)", run("pdfinfo", "-box", path).stdout)
    x0, y0, x1, y1 = (float(value) for value in box.groups())
    wide, high = (x1 - x0) * POINT_MM * 10, (y1 - y0) * POINT_MM * 10
    # pdfinfo writes hundredths of a point: 0.035 mm on the vehicle each
    close = abs(wide - size[0] - 100) < 0.08 and abs(high - size[1] - 100) < 0.08
    tap.check(close, f"{name}: the trim is the surface and 50 mm around it ({wide:.2f} x {high:.2f} mm)")
    fonts = run("pdffonts", path).stdout.splitlines()[2:]
    embedded = [font for font in fonts if re.search(r"TrueType\s+WinAnsi\s+yes", font)]
    tap.check(fonts and fonts == embedded, f"{name}: fonts are embedded")
    said = run("gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=nullpage", path)
    tap.check(said.returncode == 0 and not said.stdout.strip(), f"{name}: Ghostscript has nothing to say")


def check_photograph(tap, folder, name):
    row = run("pdfimages", "-list", f"{folder}/{name}").stdout.splitlines()[2].split()
    # ppi on the drawing; a tenth of it on the vehicle
    tap.check(row[5] == "icc" and float(row[12]) / 10 >= 99, f"{name}: photograph with a profile, {row[12]} / 10 ppi")


def check_rear(tap, folder):
    said = run("tiffinfo", f"{folder}/{REAR}").stdout
    width, height = (int(re.search(rf"Image {side}: (\d+)", said)[1]) for side in ("Width", "Length"))
    enough = width / 72 * 25.4 >= 1800 and height / 72 * 25.4 >= 1900
    tap.check(enough, f"{REAR}: covers 1700 x 1800 mm and 50 mm around it at 72 ppi")
    for words in ("Resolution: 72, 72 pixels/inch", "LZW", "RGB color", "ICC Profile: <present>"):
        tap.check(words in said, f"{REAR}: {words}")


def main():
    tool = sys.argv[1]
    missing = [judge for judge in JUDGES if not shutil.which(judge)]
    if missing:
        print(f"1..0 # SKIP not installed: {' '.join(missing)}")
        return 0
    tap = Tap()
    with tempfile.TemporaryDirectory() as folder:
        first, second = os.path.join(folder, "first"), os.path.join(folder, "second")
        make(tool, first)
        make(tool, second)
        tap.check(digests(first) == digests(second), "the same bytes when made again")
        for name, size in PAGES.items():
            check_page(tap, first, name, size)
        check_photograph(tap, first, "library-van/art/left.pdf")
        check_photograph(tap, first, "library-van/art/right.pdf")
        check_rear(tap, first)
        refused = run(tool, first, "no-such-job")
        tap.check(refused.returncode == 2 and "no-such-job" in refused.stdout, "an unknown job is refused by name")
    print(f"1..{tap.number}")
    return 1 if tap.failed else 0


sys.exit(main())
