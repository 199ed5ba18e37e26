#!/usr/bin/python3
"""Cut files and prints of pieces belong together: on PDF and TIFF panels, upright and lying, fed longer, mirrored.

    cut_files.py LAPSTRAKE PROFILE

An L with a hole is drawn here; where its corners come to lie on each print is worked out by hand. ezdxf reads the cut files,
Ghostscript and ImageMagick the prints. Register marks are found in the pixels by the middle of their ink. Tolerances are the
project's own: 0.02 mm for lines; a mark within a quarter of a pixel.
"""
import json
import math
import os
import re
import subprocess
import sys
import tempfile

import ezdxf
import numpy as np
from parts import Checks, K, write_pdf
from random_surfaces import shop

LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
ENV = dict(os.environ, SOURCE_DATE_EPOCH="1800000000")
checks = Checks(LAPSTRAKE)
hold = checks.hold
PPI, SCALE, BLEED, OVERCUT, WEEDING = 72, 5, 3, 1.5, 3
ELL = np.array([(10, 10), (90, 10), (90, 35), (40, 35), (40, 90), (10, 90)], float)
HOLE = np.array([(18, 18), (18, 28), (30, 28), (30, 18)], float)
CUTTER = f"cutters: [{{name: table, overcut: {OVERCUT}, speed: 80, dxf: FORM, marks: {{shape: circle, size: 6, distance: 5, count: 6}}}}]\n"
PIECE = "      - {{name: {name}, artwork: {{file: art/ell.pdf, scale: 5}}, at: [{x}, 100], cut: {{spot: Die Line}}{more}}}"
PLACES = {"door": 900, "glass": 100}


def draw(folder):
    os.makedirs(f"{folder}/art")
    tint = "<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[0 1 0 0]/N 1>>"
    path = lambda ring: " ".join(f"{x} {y} {'l' if i else 'm'}" for i, (x, y) in enumerate(ring)) + " h "
    content = (f"q {K} 0 0 {K} 0 0 cm 0.9 0.2 0 0 k 0 0 100 100 re f 0.5 0.9 0.9 0 k 0 50 50 50 re f "
               f"/Die CS 1 SCN 0.2 w {path(ELL)}{path(HOLE)}S Q")
    write_pdf(f"{folder}/art/ell.pdf",
              ["<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
               f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 {100 * K:.5f} {100 * K:.5f}]/Contents 4 0 R"
               f"/Resources<</ColorSpace<</Die[/Separation/Die#20Line/DeviceCMYK {tint}]>>>>>>",
               f"<</Length {len(content)}>>stream\n{content}\nendstream"])


def make(folder, form, feed, door="door", dxf="AC1009"):
    lines = ["job: C-1", "shop: shop.yaml", "start: 2027-03-01T08:00", "drying: hung", f"feed: {feed} %",
             f"print: {{condition: usual, bleed: 20 mm, format: {form}, resolution: {PPI}}}", "surfaces:"]
    for name, run in (("left", "upright"), ("right", "lying")):
        lines += [f"  - name: {name}", "    size: [4000, 1800]", f"    front: {name}", f"    panels: {run}", "    pieces:",
                  PIECE.format(name=door, x=PLACES["door"], more=", weeding-box: true"),
                  PIECE.format(name="glass", x=PLACES["glass"], more=", inside: true")]
    open(f"{folder}/shop.yaml", "w").write(shop(PROFILE) + CUTTER.replace("FORM", dxf))
    open(f"{folder}/job.yaml", "w").write("\n".join(lines) + "\n")
    done = subprocess.run([LAPSTRAKE, "make", folder, "--json"], capture_output=True, text=True, env=ENV, timeout=300)
    hold(done.returncode == 0, f"make {form}: {done.returncode} {done.stderr}")
    return json.loads(done.stdout)


class Print:
    """A piece's print: where a place of its artwork lies on its file, mm from the lower left corner."""

    def __init__(self, piece, feed):
        self.piece, self.panel = piece, piece["panels"][0]
        self.mirrored, self.at = piece["inside"], PLACES[piece["id"].split("-")[1]]
        long = feed / 100
        self.stretch = (1, long) if piece["surface"] == "left" else (long, 1)

    def on_file(self, art):
        x0, y0, x1, _ = self.panel["file_mm"]
        x, y = (np.asarray(art, float) * SCALE + [self.at, 100]).T
        return np.stack([(x1 - x if self.mirrored else x - x0) * self.stretch[0], (y - y0) * self.stretch[1]], axis=-1)


def pixels(folder, panel):
    """Cyan, magenta, yellow, black by Ghostscript or ImageMagick; 0 is no ink. The first row is the file's upper edge."""
    path = f"{folder}/out/{panel['file']}"
    if path.endswith(".tif"):
        size = subprocess.run(["identify", "-format", "%w %h", path], capture_output=True, text=True, check=True).stdout
        raw = subprocess.run(["convert", path, "-depth", "8", "cmyk:-"], capture_output=True, check=True).stdout
        width, height = map(int, size.split())
        return np.frombuffer(raw, np.uint8).reshape(height, width, 4).astype(float)
    # the older reader of PDF heeds that cut lines do not print
    done = subprocess.run(["gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-dNEWPDF=false", "-dPrinted=true", "-sDEVICE=pamcmyk32", "-dGraphicsAlphaBits=4", f"-r{PPI}",
                           "-sstdout=%stderr", "-sOutputFile=-", path], capture_output=True, check=True).stdout
    head, data = done.split(b"ENDHDR\n", 1)
    words = head.split()
    width, height = (int(words[words.index(key) + 1]) for key in (b"WIDTH", b"HEIGHT"))
    return np.frombuffer(data, np.uint8).reshape(height, width, 4).astype(float)


def entities(folder, id, dxf):
    """Kiss cuts in their order, whether each is closed, and the marks' middles."""
    cuts, marks = [], []
    drawing = ezdxf.readfile(f"{folder}/out/cut/C-1_{id}.dxf")
    hold(drawing.dxfversion == dxf and not drawing.audit().errors, f"{id}: {drawing.dxfversion} {[str(e.message) for e in drawing.audit().errors]}")
    hold(dxf == "AC1009" or drawing.units == ezdxf.units.MM, f"{id}: units {drawing.units}")
    for entity in drawing.modelspace():
        if entity.dxftype() in ("POLYLINE", "LWPOLYLINE"):
            hold(entity.dxf.layer == "KISS_CUT", f"{id}: a line on {entity.dxf.layer}")
            points = entity.get_points("xy") if entity.dxftype() == "LWPOLYLINE" else [(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices]
            cuts.append((np.array(points), entity.is_closed))
        elif entity.dxftype() == "CIRCLE":
            marks.append((entity.dxf.center.x, entity.dxf.center.y))
    return cuts, np.array(marks)


def beside(points, ring):
    """How far each point is from the ring's sides."""
    a, b = ring, np.roll(ring, -1, 0)
    side = b - a
    t = np.clip(((points[:, None] - a) * side).sum(2) / (side * side).sum(1), 0, 1)
    return np.min(np.hypot(*np.moveaxis(points[:, None] - (a + t[..., None] * side), 2, 0)), axis=1)


def inside(points, ring):
    out = np.zeros(len(points), bool)
    for (ax, ay), (bx, by) in zip(ring, np.roll(ring, -1, 0)):
        crosses = (ay > points[:, 1]) != (by > points[:, 1])
        out ^= crosses & (points[:, 0] < ax + (points[:, 1] - ay) * (bx - ax) / (by - ay if by != ay else 1))
    return out


def judge_lines(one, cuts, words):
    """The hole first; each along its ring from the middle of a side, and on past its start."""
    boxed = one.piece["id"].endswith("door")
    hold(len(cuts) == 2 + boxed, f"{words}: {len(cuts)} lines")
    for (points, closed), ring in zip(cuts, (HOLE, ELL)):
        ring = one.on_file(ring)
        hold(not closed and beside(points, ring).max() <= 0.02, f"{words}: {beside(points, ring).max()} mm beside its ring")
        hold(beside(ring, points).max() <= 0.02, f"{words}: a corner is not cut")
        hold(np.hypot(*(ring - points[0]).T).min() > 20, f"{words}: starts {np.hypot(*(ring - points[0]).T).min()} mm from a corner")
        hold(abs(math.dist(points[0], points[-1]) - OVERCUT) <= 0.01, f"{words}: overcut {math.dist(points[0], points[-1])}")
    if not boxed:
        return
    box, closed = cuts[2]
    ring = one.on_file(ELL)
    low, high = ring.min(0) - WEEDING, ring.max(0) + WEEDING
    hold(closed and np.allclose(box.min(0), low, atol=0.02) and np.allclose(box.max(0), high, atol=0.02), f"{words}: weeding box {box}, piece {low} to {high}")


def judge_marks(page, marks, cuts, words):
    """Where there is black ink, by its middle; clear of piece and bleed, and of the weeding box."""
    pixel = 25.4 / PPI
    hold(len(marks) >= 6, f"{words}: {len(marks)} marks")
    for x, y in marks:
        rows = [int((page.shape[0] * pixel - y + d) / pixel) for d in (-5, 5)]
        columns = [int((x + d) / pixel) for d in (-5, 5)]
        part = page[max(rows[0], 0):rows[1], max(columns[0], 0):columns[1], 3]
        if part.sum() < 255 * 50:
            hold(False, f"{words}: no mark at {x}, {y}")
            continue
        v, u = np.indices(part.shape) + 0.5
        found = ((u * part).sum() / part.sum() + max(columns[0], 0)) * pixel, page.shape[0] * pixel - ((v * part).sum() / part.sum() + max(rows[0], 0)) * pixel
        hold(math.dist(found, (x, y)) <= pixel / 4, f"{words}: mark at {x:.3f}, {y:.3f}, printed at {found[0]:.3f}, {found[1]:.3f}")
        hold(abs(part.sum() / 255 * pixel ** 2 / (math.pi * 9) - 1) < 0.1, f"{words}: mark of {part.sum() / 255 * pixel ** 2} mm2")
    clear = min(beside(marks, points).min() for points, _ in cuts)
    hold(clear >= 3 + 0.5, f"{words}: a mark {clear} mm from a cut")


def judge_ink(one, page, words):
    """Colour within cut and bleed alone; the right way round."""
    pixel = 25.4 / PPI
    v, u = (axis.ravel() for axis in np.mgrid[0:page.shape[0]:2, 0:page.shape[1]:3])
    at = np.stack([(u + 0.5) * pixel, (page.shape[0] - v - 0.5) * pixel], axis=-1)
    ink = page[..., 0][v, u] > 80
    ell, hole = one.on_file(ELL), one.on_file(HOLE)
    film = inside(at, ell) & ~inside(at, hole)
    off = np.minimum(beside(at, ell), beside(at, hole))
    hold(not (ink & ~film & (off > BLEED * max(one.stretch) + 1.5 * pixel)).any(), f"{words}: ink beyond the bleed")
    hold(ink[film | (off < BLEED - 1.5 * pixel)].all(), f"{words}: no ink within cut and bleed")
    for art, red in (((25, 75), True), ((80, 20), False), ((25, 40), False)):
        x, y = one.on_file(art)
        value = page[page.shape[0] - 1 - int(y / pixel), int(x / pixel)]
        hold((value[1] > 150) == red and value[0] > 80, f"{words}: at {art} of the artwork {value}")


def judge_time(plan):
    """As long as the lines are, all copies, at the speed of the shop's cutter."""
    length = sum(piece["cut_length_mm"] * piece["count"] for piece in plan["pieces"])
    cutting = plan["cutting"]
    by_hand = 4 * (2 * (80 + 80) + 2 * (12 + 10)) * SCALE  # an L is cut as far as its box
    hold(abs(length - by_hand) < 0.5 and abs(cutting["length_mm"] - by_hand) < 0.5, f"{length} {cutting['length_mm']}, by hand {by_hand}")
    hold(abs(cutting["seconds"] - by_hand / 80) < 0.2 and "shop.yaml" in cutting["speed_source"], f"{cutting}")
    hold(len(cutting["surfaces"]) == 4 and abs(sum(s["seconds"] for s in cutting["surfaces"]) - cutting["seconds"]) < 0.3, f"{cutting}")


def judge(folder, form, feed, dxf):
    plan = make(folder, form, feed, dxf=dxf)
    judge_time(plan)
    for piece in plan["pieces"]:
        words = f"{form}, feed {feed}, {piece['id']}"
        one = Print(piece, feed)
        page = pixels(folder, one.panel)
        cuts, marks = entities(folder, piece["id"], dxf)
        judge_lines(one, cuts, words)
        judge_marks(page, marks, cuts, words)
        judge_ink(one, page, words)


def judge_sheet(folder):
    """Which prints read backwards, whose speed the times go by; no length marks where a camera looks for others."""
    words = subprocess.run(["pdftotext", "-layout", f"{folder}/out/sheet.pdf", "-"], capture_output=True, text=True, check=True).stdout
    for found in (r"backwards \(mirrored\)\s+left glass, right glass", r"as it is\s+left door, right door", r"80 mm a second \(shop.yaml", r"left-door-1\s+none"):
        hold(re.search(found, words), f"the sheet does not say {found}")


def set_apart(folder):
    """Cut files of another plan do not stay beside those of this one."""
    before = set(os.listdir(f"{folder}/out/cut"))
    make(folder, "pdf", 101.5, door="gate")
    after, old = set(os.listdir(f"{folder}/out/cut")), set(os.listdir(f"{folder}/out/old"))
    hold("C-1_left-door.dxf" in before and "C-1_left-gate.dxf" in after, f"{before} {after}")
    hold(not [name for name in after if "door" in name], f"cut files of the plan before: {after}")
    hold({name for name in before if "door" in name} <= old, f"in old: {old}")


def main():
    with tempfile.TemporaryDirectory() as folder:
        draw(folder)
        for form, feed, dxf in (("tiff", 100, "AC1009"), ("tiff", 101.5, "AC1009"), ("pdf", 101.5, "AC1015")):
            judge(folder, form, feed, dxf)
        judge_sheet(folder)
        set_apart(folder)
    print("\n".join(checks.faults) or "3 jobs")
    return 1 if checks.faults else 0


if __name__ == "__main__":
    sys.exit(main())
