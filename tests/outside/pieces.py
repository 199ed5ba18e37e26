#!/usr/bin/python3
"""Pieces and covered regions, from a customer's files to plan, rolls, print and cut files.

    pieces.py LAPSTRAKE PROFILE

Shapes are drawn here with known geometry: a circle of four Bezier curves, a house of straight lines with a hole. What comes
out is held against them: a path in the file within 0.02 mm, areas within 0.1 % (offset of a convex outline: A + L d + pi d2,
Steiner), a traced circle within 0.2 mm of smoothing and half a pixel. Ghostscript shows that ink stays within cut and bleed.
"""
import json
import math
import os
import re
import subprocess
import sys
import tempfile
import zlib

import ezdxf
import numpy as np
from parts import Checks, K, write_pdf
from random_surfaces import shop

LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
ENV = dict(os.environ, SOURCE_DATE_EPOCH="1800000000")
checks = Checks(LAPSTRAKE)
hold = checks.hold
HANDLE = 0.5522847498  # of a circle's Bezier curves, for radius 1
SCALE = 5  # artwork is drawn at a fifth
HOUSE = [(10, 10), (90, 10), (90, 40), (50, 90), (10, 40)]
HOLE = [(30, 20), (50, 20), (50, 30), (30, 30)]


def circle_path(x, y, r):
    h = HANDLE * r
    return (f"{x + r} {y} m {x + r} {y + h} {x + h} {y + r} {x} {y + r} c {x - h} {y + r} {x - r} {y + h} {x - r} {y} c "
            f"{x - r} {y - h} {x - h} {y - r} {x} {y - r} c {x + h} {y - r} {x + r} {y - h} {x + r} {y} c h ")


def polygon_path(points):
    return " ".join(f"{x} {y} {'l' if i else 'm'}" for i, (x, y) in enumerate(points)) + " h "


def bezier_circle(x, y, r, n=2000):
    """Points of the same curves."""
    t = np.linspace(0, 1, n)[:, None]
    out = []
    for quarter in range(4):
        c, s = [(1, 0), (0, 1), (-1, 0), (0, -1)][quarter]
        turn = lambda px, py: np.array([c * px - s * py, s * px + c * py])
        a, b, d, e = (turn(*p) for p in ((1, 0), (1, HANDLE), (HANDLE, 1), (0, 1)))
        out.append((1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * d + t ** 3 * e)
    return np.concatenate(out) * r + [x, y]


def art(path, content, resources="", objects=(), catalog=""):
    """A page of 100 x 100 mm, drawn in millimetres."""
    content = f"q {K} 0 0 {K} 0 0 cm {content} Q"
    write_pdf(path, [f"<</Type/Catalog/Pages 2 0 R{catalog}>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
                     f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 {100 * K:.5f} {100 * K:.5f}]/Contents 4 0 R/Resources<<{resources}>>>>",
                     f"<</Length {len(content)}>>stream\n{content}\nendstream", *objects])


def circle_png(path, side, r):
    """A disc in the middle, each pixel as opaque as the disc covers it (8 x 8 places in it)."""
    at = (np.arange(side * 8) + 0.5) / 8 - side / 2
    inside = (at[:, None] ** 2 + at[None, :] ** 2 <= r * r).reshape(side, 8, side, 8).mean((1, 3))
    pixels = np.zeros((side, side, 4), np.uint8)
    pixels[..., 0], pixels[..., 3] = 200, np.round(inside * 255)
    rows = b"".join(b"\0" + row.tobytes() for row in pixels)
    chunk = lambda kind, data: len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")
    open(path, "wb").write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", side.to_bytes(4, "big") * 2 + b"\x08\x06\0\0\0") +
                           chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))


def draw(folder):
    os.makedirs(f"{folder}/art")
    tint = "<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[0 1 0 0]/N 1>>"
    die = f"/ColorSpace<</Die[/Separation/Die#20Line/DeviceCMYK {tint}]>>"
    ground = "0.9 0.2 0 0 k 0 0 100 100 re f "
    ring = "0.2 w /Die CS 1 SCN " + circle_path(50, 50, 40) + "S "
    step = "<</Type/OCG/Name(My cut)/GTS_Metadata<</GTS_ProcStepsGroup/Structural/GTS_ProcStepsType/Cutting>>>>"
    art(f"{folder}/art/spot.pdf", ground + ring, die)
    art(f"{folder}/art/layer.pdf", ground + "/OC /L BDC " + ring + "EMC", die + "/Properties<</L 5 0 R>>", [step],
        "/OCProperties<</OCGs[5 0 R]/D<</ON[5 0 R]>>>>")
    clipped = "q 60 15 10 10 re W n 0 1 1 0 k 50 0 100 100 re f Q "
    art(f"{folder}/art/house.pdf", "0 0 0 0.5 k " + polygon_path(HOUSE) + polygon_path(HOLE) + "f* " + clipped)
    circle_png(f"{folder}/art/disc.png", 500, 200)


PIECES = """
      - {name: spot, artwork: {file: art/spot.pdf, scale: 5}, at: [100, 100], cut: {spot: Die Line}, count: 3, tape: true}
      - {name: layer, artwork: {file: art/layer.pdf, scale: 5}, at: [700, 100], cut: {layer: my cut}}
      - {name: step, artwork: {file: art/layer.pdf, scale: 5}, at: [1300, 100], cut: {step: cutting, depth: through}}
      - {name: house, artwork: {file: art/house.pdf, scale: 5}, at: [1900, 100], cut: {silhouette: 0}, other-side: right}
      - {name: wide, artwork: {file: art/house.pdf, scale: 5}, at: [2500, 100], cut: {silhouette: 10 mm}}
      - {name: filled, artwork: {file: art/house.pdf, scale: 5}, at: [3100, 100], cut: {silhouette: 10 mm, fill-holes: 6000, mitre: true}}
      - {name: disc, artwork: {file: art/disc.png, width: 250}, at: [100, 1000], cut: {silhouette: 0}}
      - {name: long, artwork: {file: art/spot.pdf, scale: 21}, at: [550, -150], cut: {spot: Die Line}}
"""


def plan_of(folder):
    head = ["job: P-1", "shop: shop.yaml", "start: 2027-03-01T08:00", "drying: hung", "print: {condition: usual, bleed: 20 mm}", "surfaces:"]
    surfaces = ["  - name: left", "    size: [4000, 1800]", "    front: left", "    pieces:" + PIECES.rstrip(),
                "  - {name: right, size: [4100, 1800], front: right}",
                "  - name: back", "    size: [2000, 1500]", "    front: left", "    cover: {behind: 700, bleed: 15}",
                "    artwork: [{file: art/house.pdf, fit: bleed}]"]
    open(f"{folder}/shop.yaml", "w").write(shop(PROFILE) + "tapes: [{name: paper, widths: [600], length: 10 m, price: 0.50}]\n")
    open(f"{folder}/job.yaml", "w").write("\n".join(head + surfaces) + "\n")
    done = subprocess.run([LAPSTRAKE, "make", folder, "--json", "--anyway"], capture_output=True, text=True, env=ENV, timeout=300)
    hold(done.returncode in (0, 1), f"make: {done.returncode} {done.stderr}")
    return json.loads(done.stdout)


BARE_HOST = """job: P-2
shop: shop.yaml
start: 2027-03-01T08:00
drying: hung
print: {condition: usual, bleed: 20 mm}
surfaces:
  - name: left
    size: [4000, 1800]
    front: left
    features: [{kind: gap, name: door, line: [800, 0, 800, 1800]}]
    cover: {behind: 2000, edge: contour}
    artwork: [{file: art/house.pdf, fit: bleed}]
    pieces: [{name: house, artwork: {file: art/house.pdf, scale: 5}, at: [600, 400], cut: {silhouette: 0}, other-side: right}]
  - {name: right, size: [4100, 1800], front: right}
"""


def bare_host(folder):
    """A piece on what its host leaves bare: the door gap under it counts, on the other side what it shows moves along."""
    open(f"{folder}/job.yaml", "w").write(BARE_HOST)
    done = subprocess.run([LAPSTRAKE, "make", folder, "--json", "--anyway"], capture_output=True, text=True, env=ENV, timeout=300)
    plan = json.loads(done.stdout)
    told = [f["text"] for f in plan["findings"] if f["code"] == "cut-line" and "left-house" in f["text"]]
    hold(len(told) == 1 and "door" in told[0], f"the gap under the piece is not told: {told}")
    left = next(s for s in plan["surfaces"] if s["name"] == "left")
    near(left["cut_length_mm"], 2 * (2000 + 20 + 1800 + 2 * 20), 0.1, "cut round the cover, with its edges' bleed")
    parts = [np.array(ring) for panel in left["panels"] for ring in dxf_of(folder, f"2_{panel['id']}", *panel["file_mm"][:2])["KISS_CUT"]]
    low, high = np.concatenate(parts).min(0), np.concatenate(parts).max(0)
    hold(len(left["panels"]) > 1 and np.allclose([*low, *high], [2000, -20, 4020, 1820], atol=0.01), f"cut files of the cover reach from {low} to {high}")
    for piece, x in (("left-house", 600), ("right-house", 4100 - 1100)):
        panel = next(p for p in plan["pieces"] if p["id"] == piece)["panels"][0]
        page, px, py = printed(folder, panel)
        ink = page[np.abs(py - 600) < 20][:, (px > x + 300) & (px < x + 400)]  # between the hole and the right wall
        hold(ink.size and (ink < 250).all(), f"{piece}: no ink where it is cut")


def area(ring):
    x, y = np.array(ring).T
    return abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2


def off_circle(points, x, y, r):
    """How far points and the middles between them lie beside the curves around x, y: by angle, r being the curves' own there."""
    points = np.array(points)
    dx, dy = (np.concatenate([points, (points + np.roll(points, -1, 0)) / 2]) - [x, y]).T
    curve = bezier_circle(0, 0, r)
    angles = np.arctan2(*curve.T[::-1])
    order = np.argsort(angles)
    return np.abs(np.hypot(dx, dy) - np.interp(np.arctan2(dy, dx), angles[order], np.hypot(*curve.T)[order], period=2 * math.pi)).max()


def near(a, b, most, words):
    hold(abs(a - b) <= most, f"{words}: {a}, by hand {b}")


def judge_paths(pieces):
    for name, x in (("spot", 100), ("layer", 700), ("step", 1300)):
        piece = pieces[f"left-{name}"]
        curve = bezier_circle(x + 50 * SCALE, 100 + 50 * SCALE, 40 * SCALE)
        off = off_circle(piece["outline_mm"], x + 250, 350, 40 * SCALE)
        hold(off <= 0.02, f"{name}: {off} mm off its path")
        near(area(piece["outline_mm"]) / area(curve), 1, 1e-3, f"{name}: area")
        near(piece["area_m2"], area(curve) / 1e6, 2e-4, f"{name}: area_m2")
    hold(pieces["left-spot"]["count"] == 3 and pieces["left-step"]["cut_depth"] == "through", "count or depth")


def judge_silhouettes(pieces):
    outer, hole = area(HOUSE) * 25, area(HOLE) * 25
    length = sum(math.dist(a, b) for a, b in zip(HOUSE, HOUSE[1:] + HOUSE[:1])) * SCALE
    house, wide, filled = (pieces[f"left-{name}"] for name in ("house", "wide", "filled"))
    hold(sorted(map(tuple, house["outline_mm"]))[0] == (1950, 150), f"house: {house['outline_mm']}")
    near(area(house["outline_mm"]), outer, 0.1, "house")
    near(area(house["holes_mm"][0]), hole, 0.1, "its hole")
    near(house["cut_length_mm"], length + 60 * SCALE, 0.1, "its cut")
    grown = outer + length * 10 + math.pi * 100
    near(area(wide["outline_mm"]) / grown, 1, 1e-3, "house and 10 mm")
    near(area(wide["holes_mm"][0]), (100 - 20) * (50 - 20), 1, "its hole less 10 mm")
    hold(len(filled["holes_mm"]) == 0 and area(filled["outline_mm"]) > grown, "holes filled, corners mitred")
    disc = np.array(pieces["left-disc"]["outline_mm"])
    r = np.hypot(*(disc - [225, 1125]).T)
    hold(abs(r - 100).max() <= 0.45, f"disc: radius {r.min()} to {r.max()}")  # 0.2 mm and half of a pixel of 0.5 mm
    near(area(disc) / (math.pi * 1e4), 1, 2e-3, "disc")


def judge_sides(plan, pieces):
    """Across the vehicle as far from the other end; not mirrored."""
    one, other = pieces["left-house"], pieces["right-house"]
    hold(other["surface"] == "right", other["surface"])
    left, right = (min(x for x, _ in piece["outline_mm"]) for piece in (one, other))
    near(right, 4100 - 2400 + 50, 0.01, "place on the other side")  # its trim ends 2400 mm from the left
    hold([[round(x - left, 2), y] for x, y in one["outline_mm"]] == [[round(x - right, 2), y] for x, y in other["outline_mm"]], "it was mirrored")
    hosts = {s["name"]: s for s in plan["surfaces"]}
    hold(not hosts["left"]["panels"] and not any("left" in words for words in plan["cost"].get("without", [])), "the host is planned")


def dxf_of(folder, name, x0, y0):
    """The lines of a cut file as ezdxf reads them, on the surface: rings closed, by layer."""
    lines = {}
    for entity in ezdxf.readfile(f"{folder}/out/cut/P-{name}.dxf").modelspace():
        if entity.dxftype() == "POLYLINE":
            hold(entity.is_closed, f"{name}: a line stays open")
            lines.setdefault(entity.dxf.layer, []).append(np.array([(v.dxf.location.x + x0, v.dxf.location.y + y0) for v in entity.vertices]))
    return lines


def judge_seams(folder, pieces):
    """Wider than the film: parted within its outline, each part cut round what of the piece lies on it."""
    long, x, y, r = pieces["left-long"], 1600, 900, 40 * 21
    panels = long["panels"]
    hold(len(panels) >= 2, f"{len(panels)} panels of 1680 mm")
    hold([round(v) for v in long["print_mm"]] == [x - r - 3, y - r - 3, x + r + 3, y + r + 3], f"{long['print_mm']}")
    cut, lying = [], abs(panels[0]["visible_mm"][3] - panels[1]["visible_mm"][1]) < 0.01  # they meet along a level line
    for panel in panels:
        a, b, c, d = panel["print_mm"]
        hold(a >= x - r - 3.3 and c <= x + r + 3.3 and b >= y - r - 3.3 and d <= y + r + 3.3, f"{panel['id']} reaches past the piece: {panel['print_mm']}")
        rings = dxf_of(folder, f"1_{panel['id']}", *panel["file_mm"][:2])["KISS_CUT"]
        hold(len(rings) == 1, f"{panel['id']}: {len(rings)} lines")
        at = rings[0]
        beside = np.minimum(np.min(np.abs(at[:, None, 0] - [a, c]), axis=1), np.min(np.abs(at[:, None, 1] - [b, d]), axis=1))
        arc = at[beside > 0.02]
        off = np.abs(np.hypot(arc[:, 0] - x, arc[:, 1] - y) - r * 1.00014)  # the curves reach 0.028 % out
        hold(len(arc) > 50 and off.max() <= r * 0.00014 + 0.02, f"{panel['id']}: cut {off.max()} mm beside the circle")
        cut.append((area(at), *((b - y, d - y) if lying else (a - x, c - x))))
        page, px, py = printed(folder, panel)
        far = np.hypot(px[None, :] - x, py[:, None] - y)
        inside = (px[None, :] > a + 1) & (px[None, :] < c - 1) & (py[:, None] > b + 1) & (py[:, None] < d - 1)
        hold(not ((page < 250) & inside & (far > r + 3 + 0.8)).any(), f"{panel['id']}: ink beyond the bleed")
        hold((page < 250)[inside & (far < r + 2)].all(), f"{panel['id']}: no ink within cut and bleed")
    for (piece, low, high) in cut:
        segment = lambda v: v * math.sqrt(r * r - v * v) + r * r * math.asin(v / r)  # twice the half disc's, up to v
        near(piece / (segment(min(high, r)) - segment(max(low, -r))), 1, 1e-3, "area of a part")
    cut.sort(key=lambda one: one[1])
    hold(all(one[2] > other[1] for one, other in zip(cut, cut[1:])), "parts do not overlap")


def judge_cover(plan):
    """Behind x = 700 with the front left: 700 to 2000, 15 mm printed beyond, the surface's own bleed elsewhere."""
    back = next(s for s in plan["surfaces"] if s["name"] == "back")
    xs = [p["visible_mm"][0] for p in back["panels"]] + [back["panels"][-1]["visible_mm"][2]]
    hold(xs[0] == 700 and xs[-1] == 2000, f"covered: {xs}")
    hold(back["panels"][0]["print_mm"][0] == 685 and back["panels"][-1]["print_mm"][2] == 2020, f"{[p['print_mm'] for p in back['panels']]}")
    near(back["area_m2"], 1.3 * 1.5, 1e-6, "covered area")
    wash = [t for t in plan["tasks"] if t["unit"] == "m2" and t["surface"] == "back"]
    hold(all(t["quantity"] <= 1.96 for t in wash), f"{wash}")


def judge_rolls(plan):
    laid = [p["panel"] for roll in plan["rolls"] for p in roll["placements"]]
    hold(laid.count("left-spot-1") == 3 and laid.count("left-layer-1") == 1, f"on rolls: {laid}")


def judge_shop_rolls(folder):
    """The outline of what is printed, where it lies on the roll: the right way round and inside its rectangle."""
    done = subprocess.run([LAPSTRAKE, "rolls", folder, "--json"], capture_output=True, text=True, env=ENV, timeout=300)
    laid = {p["panel"]: p for roll in json.loads(done.stdout)["rolls"] for p in roll["placements"]}
    for p in laid.values():
        if not p["outline_mm"]:
            continue
        points = np.array(p["outline_mm"])
        low, high = [p["across_mm"], p["along_mm"]], [p["across_mm"] + p["wide_mm"], p["along_mm"] + p["long_mm"]]
        hold((points >= np.array(low) - 0.05).all() and (points <= np.array(high) + 0.05).all(), f"{p['panel']}: outline beyond its print")
    round_one = np.array(laid["left-spot-1"]["outline_mm"])
    r = np.hypot(*(round_one - (round_one.min(0) + round_one.max(0)) / 2).T)
    hold(r.min() > 202.9 and r.max() < 203.2, f"spot and 3 mm of bleed: radius {r.min()} to {r.max()}")
    house, turned = np.array(laid["left-house-1"]["outline_mm"]), laid["left-house-1"]["turned_deg"]
    # 400 mm across the base at its foot, the ridge in the middle: lying, its foot is on the right of the film
    foot = house[house[:, 0] > house[:, 0].max() - 1] if turned else house[house[:, 1] < house[:, 1].min() + 1]
    hold(399 < np.ptp(foot[:, 1 if turned else 0]) < 407, f"the house stands on its ridge: {foot}")


def judge_tape(folder, panel):
    """Application tape over the three prints of the one piece that asks for it, label strips and all."""
    done = subprocess.run([LAPSTRAKE, "rolls", folder, "--json"], capture_output=True, text=True, env=ENV, timeout=300)
    tapes = [m for m in json.loads(done.stdout)["materials"] if m["what"] == "application tape"]
    long = 3 * (panel["file_mm"][3] - panel["file_mm"][1])
    hold(len(tapes) == 1 and abs(tapes[0]["amount"] - long) < 0.01, f"tape, {long} mm by hand: {tapes}")


def printed(folder, panel):
    """Ghostscript's picture of a panel's page, 2 pixels a millimetre, and where its columns and rows are on the surface."""
    x0, _, _, y1 = panel["file_mm"]
    ppi = 50.8  # 2 pixels a millimetre
    raw = subprocess.run(["gs", "-q", "-dSAFER", "-dNOPAUSE", "-dBATCH", "-dNEWPDF=false", "-dPrinted=true", "-sDEVICE=pgmraw", f"-r{ppi}", f"-dFirstPage={panel['page']}", f"-dLastPage={panel['page']}", "-sOutputFile=-", f"{folder}/out/{panel['file']}"],
                         capture_output=True, check=True).stdout
    head = re.match(rb"P5\s+(?:#[^\n]*\n)?(\d+) (\d+)\s+255\s", raw)
    width, height = int(head[1]), int(head[2])
    page = np.frombuffer(raw, np.uint8, offset=head.end()).reshape(height, width)
    return page, (np.arange(width) + 0.5) / 2 + x0, y1 - (np.arange(height) + 0.5) / 2


def judge_print(folder, piece, x):
    """No ink further out than cut and bleed; of the customer's line, 1 mm wide along the cut, nothing."""
    panel = piece["panels"][0]
    page, px, py = printed(folder, panel)
    far = np.hypot(px[None, :] - x - 250, py[:, None] - 350)
    line = page[abs(far - 200) < 0.3]
    hold(line.size > 1000 and (abs(line.astype(int) - int(page[far < 190].max())) <= 2).all(), f"{piece['id']}: the line prints, {line.min()} to {line.max()}")
    a, b, c, d = np.array(panel["print_mm"]) + [1, 1, -1, -1]  # marks begin at its edge
    inside = (px[None, :] > a) & (px[None, :] < c) & (py[:, None] > b) & (py[:, None] < d)
    hold(not ((page < 250) & inside & (far > 203 + 0.8)).any(), "ink beyond the bleed")
    hold((page < 250)[far < 202].all(), "no ink within cut and bleed")


def judge_preserved(folder, panel):
    """The customer's processing step is still one, as qpdf reads the panel: off for print and view."""
    text = subprocess.run(["qpdf", "--qdf", "--object-streams=disable", f"{folder}/out/{panel['file']}", "-"], capture_output=True, check=True).stdout.decode("latin-1")
    theirs = [part for part in text.split("endobj") if "(My cut)" in part]
    words = " ".join(theirs[0].split()) if theirs else ""
    for word in ("/Type /OCG", "/GTS_ProcStepsGroup /Structural", "/GTS_ProcStepsType /Cutting", "/PrintState /OFF", "/ViewState /OFF"):
        hold(word in words, f"not in the customer's layer: {word}: {words}")


def judge_cut_files(folder, pieces):
    for name in ("spot", "house"):
        outline = np.array(pieces[f"left-{name}"]["outline_mm"])
        svg = open(f"{folder}/out/cut/P-1_left-{name}.svg").read()
        rings = [np.array(re.findall(r"(-?[\d.]+)[ ,](-?[\d.]+)", d), float) for d in re.findall(r'<path[^>]* d="([^"]*)"', svg)]
        sizes = [np.ptp(ring, axis=0) for ring in rings if len(ring) > 3]
        hold(any(abs(size - np.ptp(outline, axis=0)).max() <= 0.02 for size in sizes), f"{name}: {sizes}")
        hold(os.path.exists(f"{folder}/out/cut/P-1_left-{name}.dxf"), f"no {name}.dxf")


def main():
    with tempfile.TemporaryDirectory() as folder:
        draw(folder)
        plan = plan_of(folder)
        pieces = {piece["id"]: piece for piece in plan["pieces"]}
        hold(len(pieces) == 9, f"{sorted(pieces)}")
        judge_paths(pieces)
        judge_silhouettes(pieces)
        judge_sides(plan, pieces)
        judge_seams(folder, pieces)
        judge_cover(plan)
        judge_rolls(plan)
        judge_tape(folder, pieces["left-spot"]["panels"][0])
        for name, x in (("spot", 100), ("layer", 700), ("step", 1300)):
            judge_print(folder, pieces[f"left-{name}"], x)
        judge_preserved(folder, pieces["left-layer"]["panels"][0])
        judge_shop_rolls(folder)
        judge_cut_files(folder, pieces)
        bare_host(folder)
    print("\n".join(checks.faults) or f"{len(pieces)} pieces")
    return 1 if checks.faults else 0


if __name__ == "__main__":
    sys.exit(main())
