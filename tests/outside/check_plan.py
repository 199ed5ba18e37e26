#!/usr/bin/python3
"""An independent judge of a plan: reads only plan.json and the panel files, knows nothing of the program.

    check_plan.py OUT_DIR [--no-files]

Every sentence of doc/plan.md that can be checked from there is checked; each fault is one line. Page boxes are read
by qpdf, pictures by tiffinfo.
"""
import itertools
import json
import os
import re
import subprocess
import sys

NEAR = 0.02  # mm


class Judge:
    def __init__(self):
        self.faults, self.checks = [], 0

    def hold(self, true, words):
        self.checks += 1
        if not true:
            self.faults.append(words)


def width(r):
    return r[2] - r[0]


def height(r):
    return r[3] - r[1]


def meet(a, b):
    return min(a[2], b[2]) - max(a[0], b[0]) > NEAR and min(a[3], b[3]) - max(a[1], b[1]) > NEAR


def inside(a, b):
    return a[0] >= b[0] - NEAR and a[1] >= b[1] - NEAR and a[2] <= b[2] + NEAR and a[3] <= b[3] + NEAR


def front_of(surface, seam, a, b):
    """Which of the two panels should lie over, by the rule of doc/plan.md: 'a' is the left or lower one."""
    front, axis = surface["front"], seam["axis"]
    middle = (surface["width_mm"] if axis == "x" else surface["height_mm"]) / 2
    nearer_middle = b if seam["at_mm"] < middle - NEAR else a
    if front in ("left", "right"):
        return (a if front == "left" else b) if axis == "x" else b
    if front in ("up", "down"):
        return nearer_middle if axis == "x" else (b if front == "up" else a)
    return nearer_middle if axis == "x" else b


def check_gap(judge, surface, seam, name, *beyonds):
    """Turn-in past the whole line; who lies over is said exactly where the gap leaves a rest of the line."""
    parts = seam["gap_mm"]
    judge.hold(bool(parts), f"{name}: a gap without its stretches")
    for (a, b), after in zip(parts, parts[1:] + [[seam["to_mm"] + 1, None]]):
        judge.hold(seam["from_mm"] - NEAR <= a < b <= seam["to_mm"] + NEAR and b < after[0], f"{name}: gap from {a} to {b}")
    covered = abs(sum(b - a for a, b in parts) - (seam["to_mm"] - seam["from_mm"])) < NEAR
    judge.hold((seam["over"] is None) == (seam["under"] is None), f"{name}: over {seam['over']}, under {seam['under']}")
    if covered:
        judge.hold(seam["over"] is None, f"{name}: nothing lies over in a gap")
        judge.hold(seam["overlap_mm"] == seam["seam_trim_mm"] == 0, f"{name}: an overlap in a gap")
    for beyond in beyonds:
        judge.hold(beyond > seam["turn_in_mm"] - NEAR, f"{name}: printed {beyond} mm past the gap")
        judge.hold(seam["over"] is not None or beyond < seam["turn_in_mm"] + NEAR, f"{name}: printed {beyond} mm past the gap")


def check_seam(judge, surface, panels, seam):
    name = f"{surface['name']}: seam at {seam['at_mm']}"
    i = 0 if seam["axis"] == "x" else 1
    first, second = sorted((panels[p] for p in seam["between"]), key=lambda p: p["visible_mm"][i])
    judge.hold(abs(first["visible_mm"][i + 2] - seam["at_mm"]) < NEAR, f"{name}: {first['id']} does not end there")
    judge.hold(abs(second["visible_mm"][i] - seam["at_mm"]) < NEAR, f"{name}: {second['id']} does not begin there")
    beyond_first = first["print_mm"][i + 2] - seam["at_mm"]
    beyond_second = seam["at_mm"] - second["print_mm"][i]
    reach_over = reach_under = 0
    if seam["kind"] == "gap":
        check_gap(judge, surface, seam, name, beyond_first, beyond_second)
        if seam["over"] is None:
            return
        reach_over = reach_under = seam["turn_in_mm"]
    over, under = panels[seam["over"]], panels[seam["under"]]
    beyond_over, beyond_under = (beyond_first, beyond_second) if over is first else (beyond_second, beyond_first)
    judge.hold(abs(beyond_under - max(seam["overlap_mm"], reach_under)) < NEAR, f"{name}: {under['id']} is printed {beyond_under} mm beneath")
    judge.hold(abs(beyond_over - max(seam["seam_trim_mm"], reach_over)) < NEAR, f"{name}: {over['id']} is printed {beyond_over} mm beyond its edge")
    judge.hold(under["order"] < over["order"], f"{name}: {over['id']} lies over and must be installed later")
    if not surface.get("over_by_hand"):
        judge.hold(over["id"] == front_of(surface, seam, first, second)["id"], f"{name}: the wrong panel lies over")


def check_tiling(judge, surface):
    name, panels = surface["name"], surface["panels"]
    for a, b in itertools.combinations(panels, 2):
        judge.hold(not meet(a["visible_mm"], b["visible_mm"]), f"{name}: {a['id']} and {b['id']} show twice")
    for p in panels:
        judge.hold(inside(p["visible_mm"], [0, 0, surface["width_mm"], surface["height_mm"]]), f"{p['id']}: visible outside of the surface")
        judge.hold(inside(p["visible_mm"], p["print_mm"]), f"{p['id']}: visible beyond its print")
        judge.hold(inside(p["print_mm"], p["file_mm"]), f"{p['id']}: printed beyond its file")
        judge.hold(abs(width(p["print_mm"]) * height(p["print_mm"]) / 1e6 - p["area_m2"]) < 1e-3, f"{p['id']}: area")
    box = surface["width_mm"] * surface["height_mm"]
    seen = sum(width(p["visible_mm"]) * height(p["visible_mm"]) for p in panels)
    judge.hold(seen <= box * 1.0001, f"{name}: more is seen than there is")
    if surface["area_m2"] * 1e6 > box * 0.9999:  # a rectangle without openings
        judge.hold(abs(seen - box) < box * 1e-4, f"{name}: {seen / box:.4%} of it is covered")
    order = sorted(p["order"] for p in panels)
    judge.hold(order == list(range(1, len(panels) + 1)), f"{name}: install order {order}")


def check_fit(judge, surface):
    i = 0 if surface["panels_run"] == "upright" else 1
    for p in surface["panels"]:
        for key in ("print_mm", "file_mm"):
            across = p[key][i + 2] - p[key][i]
            judge.hold(across <= surface["usable_mm"] + NEAR, f"{p['id']}: {key} {across} mm across, {surface['usable_mm']} fit")
        judge.hold(across <= p["roll_width_mm"] <= surface["roll_width_mm"], f"{p['id']}: {across} mm across on a roll of {p['roll_width_mm']}")
        for k in (i, i + 2):  # less than a pixel of a TIFF at 30 per inch; 4 mm of marks where less than 1.5 mm is hidden
            hidden = abs(p["print_mm"][k] - p["visible_mm"][k])
            past = abs(p["print_mm"][k] - p["file_mm"][k])
            judge.hold(past < (0.9 if hidden >= 1.5 else 4.9), f"{p['id']}: {past} mm of marks beyond the print across the film")


def check_rolls(judge, plan):
    panels = {p["id"]: (s, p) for s in plan["surfaces"] for p in s["panels"]}
    placed = []
    for roll in plan["rolls"]:
        boxes = []
        for place in roll["placements"]:
            surface, panel = panels[place["panel"]]
            judge.hold(panel["roll_width_mm"] == roll["width_mm"], f"{place['panel']}: on another roll than its own")
            upright = surface["panels_run"] == "upright"
            across = (width if upright else height)(panel["file_mm"])
            along = panel["print_length_mm"]
            boxes.append([place["across_mm"], place["along_mm"], place["across_mm"] + across, place["along_mm"] + along])
            judge.hold(place["across_mm"] >= -NEAR and boxes[-1][2] <= roll["width_mm"] + NEAR, f"{place['panel']}: off the roll")
            judge.hold(boxes[-1][3] <= roll["used_mm"] + 1, f"{place['panel']}: beyond what is used of the roll")
            placed.append(place["panel"])
        for a, b in itertools.combinations(boxes, 2):
            judge.hold(not meet(a, b), f"roll {roll['film']}: two panels lie on each other")
    judge.hold(sorted(placed) == sorted(panels), "not every panel has its place on a roll, once")


def check_times(judge, plan):
    for step in plan["schedule"]:
        judge.hold(step["start"][:16] <= step["end"][:16] or step["start"][16:] != step["end"][16:], f"{step['step']}: ends before it starts")
    for s in plan["surfaces"]:
        for p in s["panels"]:
            if p["dry_h"] is not None:
                judge.hold(p["dry_h"] >= 24 or p["coverage"]["mean_percent"] == 0, f"{p['id']}: dries in {p['dry_h']} h")


def pdf_boxes(path):
    """For each page: media, bleed and trim box in mm."""
    out = subprocess.run(["qpdf", "--json", "--json-key=pages", "--json-key=qpdf", path], capture_output=True, text=True)
    text = json.loads(out.stdout)
    objects = text["qpdf"][1]
    for page in text["pages"]:
        value = objects["obj:" + page["object"]]["value"]
        unit = value.get("/UserUnit", 1) * 25.4 / 72
        yield [[float(v) * unit for v in value[key]] for key in ("/MediaBox", "/BleedBox", "/TrimBox")]


def shifted(r, origin):
    return [r[0] - origin[0], r[1] - origin[1], r[2] - origin[0], r[3] - origin[1]]


def check_pdf(judge, out, surface):
    files = {p["file"] for p in surface["panels"]}
    boxes = {}
    for name in files:
        path = os.path.join(out, name)
        judge.hold(os.path.exists(path), f"{name} is not there")
        if not os.path.exists(path):
            return
        check = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True)
        judge.hold(check.returncode == 0, f"{name}: qpdf --check: {check.stdout} {check.stderr}")
        boxes[name] = list(pdf_boxes(path))
    for p in surface["panels"]:
        if p.get("stations"):
            continue
        pages = boxes[p["file"]]
        judge.hold(p["page"] <= len(pages), f"{p['file']} has no page {p['page']}")
        media, bleed, trim = pages[p["page"] - 1]
        for key, box in (("file_mm", media), ("print_mm", bleed), ("visible_mm", trim)):
            wanted = shifted(p[key], p["file_mm"])
            judge.hold(max(abs(a - b) for a, b in zip(wanted, box)) < NEAR, f"{p['id']}: {key} is {wanted}, its box {box}")


def check_tiff(judge, out, surface):
    for p in surface["panels"]:
        path = os.path.join(out, p["file"])
        info = subprocess.run(["tiffinfo", path], capture_output=True, text=True).stdout
        size = re.search(r"Image Width: (\d+) Image Length: (\d+)", info)
        ppi = re.search(r"Resolution: ([\d.]+), ([\d.]+) pixels/inch", info)
        judge.hold(bool(size and ppi), f"{p['file']}: tiffinfo says {info!r}")
        if not (size and ppi) or p.get("stations"):
            continue
        for pixels, mm, per_inch in ((size[1], width(p["file_mm"]), ppi[1]), (size[2], height(p["file_mm"]), ppi[2])):
            judge.hold(abs(int(pixels) - mm / 25.4 * float(per_inch)) < 0.02, f"{p['id']}: {pixels} pixels for {mm} mm")
        judge.hold("separated" in info and "8" in re.search(r"Bits/Sample: (\d+)", info)[1], f"{p['id']}: not CMYK of 8 bits")


def main():
    out = sys.argv[1]
    plan = json.load(open(os.path.join(out, "plan.json"), encoding="utf-8"))
    judge = Judge()
    judge.hold(plan["format"] == "lapstrake-plan/1", "format")
    for surface in plan["surfaces"]:
        panels = {p["id"]: p for p in surface["panels"]}
        if not panels:
            judge.hold(not surface["seams"], f"{surface['name']}: seams without panels")
            continue
        check_tiling(judge, surface)
        check_fit(judge, surface)
        for seam in surface["seams"]:
            check_seam(judge, surface, panels, seam)
        if "--no-files" not in sys.argv and all(p["file"] for p in panels.values()):
            (check_pdf if surface["panels"][0]["file"].endswith(".pdf") else check_tiff)(judge, out, surface)
    check_rolls(judge, plan)
    check_times(judge, plan)
    print("\n".join(judge.faults) or f"{judge.checks} checks hold")
    return 1 if judge.faults else 0


if __name__ == "__main__":
    sys.exit(main())
