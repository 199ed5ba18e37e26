#!/usr/bin/python3
"""Marks, corners and cut-outs of panels held against plain arithmetic: the panel pages are rendered by poppler, and
looked at where the job's own measures say that a mark has to be.

    marks.py LAPSTRAKE PROFILE
"""
import json
import os
import subprocess
import sys
import tempfile

from parts import K, write_page

PPI = 100
SHOP = """currency: EUR
hours: {mon-fri: 08:00-17:00}
printers: [{name: p, media-width: 1625, edge: 8, max-length: 30 m, speed: 12 m2/h}]
films: [{name: f, kind: cast, widths: [1370], length: 50 m, price: 9}]
laminates: [{name: l, kind: cast, widths: [1370], length: 50 m, price: 7, temperature: [20, 23], bond: 24 h}]
inks: [{name: i, technology: eco-solvent, channels: [C, M, Y, K]}]
conditions: [{name: c, printer: p, film: f, laminate: l, ink: i, profile: PROFILE}]
rates: {print: 35, laminate: 30, install: 42, install-speed: 1.6 m2/h}
"""
JOB = """job: M1
drying: hung
feed: 100.3 %
corners: [left-rear, {surfaces: roof-left, wrap: 25 mm}]
surfaces:
  - name: left
    size: [3300, 1700]
    front: left
    panels: lying
    bleed: 0
    artwork: [{file: grey.pdf, scale: 10, at: [-150, -150]}]
    features:
      - {kind: gap, line: [1210, 0, 1210, 1700]}
      - {kind: uncovered, box: [2000, 200, 300, 150], margin: 12}
      - {kind: glass, name: small pane, box: [2600, 300, 500, 300], cut-short: 8 mm}
  - name: rear
    size: [1200, 1600]
    front: away
    artwork: [{file: grey.pdf, scale: 10, at: [-150, -150]}]
  - name: roof
    size: [1150, 3300]
    front: up
    artwork: [{file: grey.pdf, scale: 10, at: [-150, -150]}]
"""


def grey_page(path, width, height):
    """One page in a light cyan: marks are darker and their fields lighter."""
    write_page(path, width, height, "0.6 0 0 0 k 0 0 %.3f %.3f re f" % (width * K, height * K))


class Page:
    """A panel's page as poppler shows it: x, y in millimetres of the surface, y up, along the feed-corrected film."""

    def __init__(self, folder, panel, run, feed):
        self.panel = panel
        self.fx, self.fy = (feed, 1) if run == "lying" else (1, feed)
        self.x0, self.top = panel["file_mm"][0] * self.fx, panel["file_mm"][3] * self.fy
        pgm = subprocess.run(["pdftoppm", "-r", str(PPI), "-gray", "-f", str(panel["page"]), "-l", str(panel["page"]),
                              f"{folder}/out/{panel['file']}"], capture_output=True, check=True).stdout
        magic, width, height, most, rest = pgm.split(None, 4)
        self.width, self.height = int(width), int(height)
        self.pixels = pgm[len(pgm) - self.width * self.height:]

    def darkest_and_lightest(self, x0, y0, x1, y1):
        scale = PPI / 25.4
        columns = range(max(0, int((x0 * self.fx - self.x0) * scale)),
                        min(self.width, int((x1 * self.fx - self.x0) * scale) + 1))
        rows = range(max(0, int((self.top - y1 * self.fy) * scale)),
                     min(self.height, int((self.top - y0 * self.fy) * scale) + 1))
        values = [self.pixels[r * self.width + c] for r in rows for c in columns]
        return (min(values), max(values)) if values else (255, 0)

    def has_mark(self, x0, y0, x1, y1):
        dark, light = self.darkest_and_lightest(x0, y0, x1, y1)
        return dark < 110 and light > 240


def near(a, b):
    return abs(a - b) < 0.02


def main():
    lapstrake, profile = map(os.path.abspath, sys.argv[1:3])
    faults, checks = [], 0

    def hold(true, words):
        nonlocal checks
        checks += 1
        if not true:
            faults.append(words)

    with tempfile.TemporaryDirectory() as folder:
        open(f"{folder}/shop.yaml", "w").write(SHOP.replace("PROFILE", profile))
        open(f"{folder}/job.yaml", "w").write(JOB)
        grey_page(f"{folder}/grey.pdf", 360, 360)
        made = subprocess.run([lapstrake, "make", folder, "--quiet"], capture_output=True, text=True)
        hold(made.returncode == 0, f"make ended with {made.returncode}: {made.stdout[:400]} {made.stderr[:400]}")
        if made.returncode == 0:
            plan = json.load(open(f"{folder}/out/plan.json"))
            look_at(plan, folder, hold)
            look_at_labels(plan, folder, hold)
    print("\n".join(faults) or f"{checks} checks")
    return 1 if faults else 0


def look_at_labels(plan, folder, hold):
    words = subprocess.run(["pdftotext", f"{folder}/out/labels.pdf", "-"], capture_output=True, text=True).stdout
    for surface in plan["surfaces"]:
        for panel in surface["panels"]:
            hold(words.count(panel["id"] + "\n") == 2, f"{panel['id']} is not on two labels")


def look_at(plan, folder, hold):
    surfaces = {s["name"]: s for s in plan["surfaces"]}
    left, rear, roof = surfaces["left"], surfaces["rear"], surfaces["roof"]
    # Corners: the left side wraps 20 mm (usual) and 3 mm of trim over the rear, the roof 25 and 3 over the left.
    for panel in left["panels"]:
        hold(near(panel["print_mm"][2], 3300 + 23), f"left prints to {panel['print_mm'][2]}")
        hold(near(panel["print_mm"][3], panel["visible_mm"][3]) or panel["visible_mm"][3] < 1700, "left under the roof")
    hold(near(rear["panels"][0]["print_mm"][0], 0), "the rear ends at its left corner")
    hold(near(rear["panels"][-1]["print_mm"][2], 1200 + 50), "the rear keeps its bleed where nothing meets it")
    hold(near(roof["panels"][0]["print_mm"][0], -28), "the roof wraps over the left side")
    steps = sorted((s for s in plan["schedule"] if s["step"] == "install"), key=lambda s: s["start"])
    order = [s["panels"][0].split("-")[0] for s in steps]
    hold(order.index("rear") < order.index("left") < order.index("roof"), f"installed {order}")
    # Area: the plate's box grown by its margin (Steiner's formula) is not covered; plan.json gives four decimals.
    plate = 300 * 150 + 2 * 450 * 12 + 3.14159265 * 144
    # And the seal of the pane: its box less film 8 mm inside it with corners of 10 mm.
    seal = 500 * 300 - (484 * 284 - (4 - 3.14159265) * 100)
    hold(abs(left["area_m2"] - (3300 * 1700 - plate - seal) / 1e6) < 6e-5, f"left covers {left['area_m2']}")
    for panel in left["panels"]:
        page = Page(folder, panel, "lying", 1.003)
        v, p = panel["visible_mm"], panel["print_mm"]
        hidden_low, hidden_high = v[1] - p[1], p[3] - v[3]
        for low, hidden in ((True, hidden_low), (False, hidden_high)):
            outer = p[1] if low else p[3]
            # hidden film inside the print, else beside it where the film has room
            y0, y1 = (outer, outer + 1.4) if low == (hidden >= 1.5) else (outer - 1.4, outer)
            there = hidden >= 1.5 or panel["file_mm"][1 if low else 3] != outer
            if not there:
                continue
            for x in list(range(500, 3300, 500)) + [1210]:
                hold(page.has_mark(x - 1.2, y0, x + 1.2, y1), f"{panel['id']}: no mark at x {x}, y {y0:.0f}")
            hold(not page.has_mark(800 - 1, y0, 800 + 1, y1), f"{panel['id']}: a mark where none belongs")
    # Round the plate's cut, 12 mm outside of its box: squares inside the cut, none outside.
    seen = 0
    for marked, (x0, y0, x1, y1) in ((True, (2010, 188.2, 2290, 191)), (True, (2010, 359, 2290, 361.8)),
                                     (False, (2010, 184, 2290, 187.2)), (False, (2010, 363, 2290, 366))):
        for panel in left["panels"]:
            if not (panel["visible_mm"][1] <= y0 - 5 and y1 + 5 <= panel["visible_mm"][3]):
                continue
            page, seen = Page(folder, panel, "lying", 1.003), seen + 1
            hold(page.has_mark(x0, y0, x1, y1) == marked, f"{'no' if marked else 'a'} mark of the cut in {x0}, {y0}")
    hold(seen >= 2, "no panel shows the cut")
    # Words beside the print end before the film does: of "gap: cut here", g and p reach lowest.
    low = next(p for p in left["panels"] if p["visible_mm"][1] == 0)
    page, edge = Page(folder, low, "lying", 1.003), low["file_mm"][1]
    hold(page.darkest_and_lightest(1212, edge + 1, 1236, edge + 3)[0] < 110, "the gap's words are not beside the print")
    hold(page.darkest_and_lightest(1212, edge, 1236, edge + 0.02)[0] > 128, "words are cut off at the file's edge")
    look_at_pane(left, folder, hold)


def look_at_pane(left, folder, hold):
    """Both cuts are marked over the ring of 8 mm along each side of the pane; its glass and the body beside it are print."""
    said = next(f for f in left["panes"] if f["name"] == "small pane")
    hold(said["cut_short_mm"] == 8 and said["box_mm"] == [2600, 300, 3100, 600], f"the pane: {said}")
    xs, ys = zip(*said["film_mm"])
    hold(all(map(near, (min(xs), min(ys), max(xs), max(ys)), (2608, 308, 3092, 592))), f"film on the glass: {min(xs)} to {max(xs)}")
    panel = next(p for p in left["panels"] if p["visible_mm"][1] <= 290 and p["visible_mm"][3] >= 610)
    page = Page(folder, panel, "lying", 1.003)
    for x0, y0, x1, y1 in ((2640, 300.4, 3060, 307.6), (2640, 592.4, 3060, 599.6), (2600.4, 340, 2607.6, 560), (3092.4, 340, 3099.6, 560)):
        hold(page.has_mark(x0, y0, x1, y1), f"no mark over the seal in {x0}, {y0}")
        low, high = (x0, x0 + 0.8, y0, y1), (x1 - 0.8, x1, y0, y1)  # the lines at both sides of the ring
        if x1 - x0 > 20:
            low, high = (x0, x1, y0, y0 + 0.8), (x0, x1, y1 - 0.8, y1)
        for u0, u1, v0, v1 in (low, high):
            hold(page.darkest_and_lightest(u0, v0, u1, v1)[0] < 110, f"no line along the cut in {u0}, {v0}")
    for x0, y0, x1, y1 in ((2612, 312, 3088, 588), (2580, 280, 2598, 620), (2620, 602, 3080, 620)):
        hold(not page.has_mark(x0, y0, x1, y1), f"a mark on glass or body in {x0}, {y0}")


sys.exit(main())
