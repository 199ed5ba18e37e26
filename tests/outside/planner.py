#!/usr/bin/python3
"""A second planner, written from doc/seams.md and from nothing else, against the program's plans.

    planner.py LAPSTRAKE PROFILE SURFACES [SEED]

Job folders of random surfaces (door gaps of part of the height, windows, handles, recesses, ribs, lettering, slivers)
are planned by the program; every seam of its plan is priced here again, and the least cost there is, by trying every
place 5 mm apart and a millimetre beside every edge, must be the program's to 2 cents. All measures are multiples of
5 mm, so that the best places are among these: costs change and films end only there.
"""
import json
import os
import random
import subprocess
import sys
import tempfile

import numpy as np

from parts import K, SHOP, write_page

SLIVER, SLIVER_LENGTH, LEAST, GAP_REST, GAP_SLANT = 60, 120, 150, 10, 6
LETTER_MARGIN, LETTER_SHARE, BETWEEN = 15, 0.60, 0.10
REACH = 20
FILM, LAMINATE, INSTALL = 9.80, 7.10, 42
ENDS = 120  # label strips at both ends of a panel
PANEL_MIN, LAP_MIN, GAP_MIN = 10, 3, 2
LAP, SHAPED, ACROSS, LETTERING, SLIVER_PRICE = 2, 40, 5, 60, 60
EDGE, WIDTHS = 10, (1370, 1520)
HARDWARE = {"handle": 30, "hinge": 30, "badge": 30, "light": 30}
STRICT = {"keep-clear": 20, "keep-whole": 0}


def cut(parts, low, high):
    return [q for a, b in parts for q in ((a, min(b, low)), (max(a, high), b)) if q[1] > q[0]]


def between(parts, low, high):
    return sum(max(0, min(b, high) - max(a, low)) for a, b in parts)


def join(parts):
    out = []
    for a, b in sorted(parts):
        if out and a <= out[-1][1] + 1e-6:
            out[-1][1] = max(out[-1][1], b)
        else:
            out.append([a, b])
    return out


class Seen:
    """A surface seen along its film: u across it, v along. Boxes are (u0, v0, u1, v1)."""

    def __init__(self, s, upright, lettering):
        turn = (lambda b: b) if upright else (lambda b: [b[1], b[0], b[3], b[2]])
        self.across, self.along = (s["w"], s["h"]) if upright else (s["h"], s["w"])
        self.s, self.upright = s, upright
        self.low_over = s["front"] == "left" if upright else s["front"] == "down"
        self.features = [(f["kind"], turn(f["box"]), f) for f in s["features"]]
        self.letters = [turn(b) for b in lettering]

    def of_kind(self, *kinds):
        return [(box, f) for kind, box, f in self.features if kind in kinds]

    def gaps(self):
        return [box for box, _ in self.of_kind("gap") if box[2] - box[0] <= GAP_SLANT]

    def look(self, u):
        """A seam at u: its price, whether it may stand, and what stands in its way."""
        s, parts, on = self.s, [(0, self.along)], []
        for box, _ in self.of_kind("opening"):
            if box[0] < u < box[2]:
                parts = cut(parts, box[1], box[3])
        seen = between(parts, 0, self.along)
        for box in self.gaps():
            if abs((box[0] + box[2]) / 2 - u) <= 0.5 and between(parts, box[1], box[3]) > 0:
                on.append((max(box[1], 0), min(box[3], self.along)))
        for a, b in on:
            parts = cut(parts, a, b)
        if on:
            on += [p for p in parts if p[1] - p[0] <= GAP_REST]
            parts = [p for p in parts if p[1] - p[0] > GAP_REST]
        on = join(on) if parts else [[0, self.along]] if on else []
        lap = between(parts, 0, self.along)
        turn, over, under = s["turn_in"], s["trim"], s["overlap"]
        beyond = (turn, turn) if on and not parts else (max(over, turn), max(under, turn)) if on else (over, under)
        low_beyond, high_beyond = beyond if self.low_over else beyond[::-1]
        shaped = sum(between(parts, b[1] - REACH, b[3] + REACH) for b, _ in self.of_kind("recess") if b[0] - REACH < u < b[2] + REACH)
        ribs = sum(between(parts, b[1], b[3]) for b, f in self.of_kind("corrugation") if b[0] < u < b[2])
        lettered, forbidding = self.letters_at(u, parts)
        sliver = self.sliver_at(u, parts) if parts else 0
        shows = (lap * LAP + shaped * SHAPED + ribs * ACROSS + lettered * LETTERING + sliver * SLIVER_PRICE) / 1000
        minutes = (lap * LAP_MIN + (seen - lap) * GAP_MIN) / 1000
        film = (low_beyond + high_beyond) / 1000 * self.along / 1000 * (FILM + LAMINATE)
        return {"cost": minutes / 60 * INSTALL + shows + film, "low": low_beyond, "high": high_beyond, "gaps": on, "laps": bool(parts) or not on,
                "may": not self.forbidden(u, parts, bool(on)), "sliver": sliver > 0, "letters": forbidding}

    def forbidden(self, u, parts, gap):
        for box, f in self.of_kind(*HARDWARE, *STRICT):
            margin = {**HARDWARE, **STRICT}[f["kind"]]
            if not box[0] - margin < u < box[2] + margin:
                continue
            if gap and f["kind"] in HARDWARE and between(parts, box[1] - margin, box[3] + margin) <= 0:
                continue
            return True
        return False

    def letters_at(self, u, parts):
        """Letters of this artwork are as white as its ground: between them everywhere."""
        met = [b for b in self.letters if b[0] - LETTER_MARGIN < u < b[2] + LETTER_MARGIN
               and between(parts, b[1] - LETTER_MARGIN, b[3] + LETTER_MARGIN) > 0]
        holds = max(WIDTHS) - 2 * EDGE
        return sum(BETWEEN * between(parts, b[1], b[3]) for b in met), any(b[2] - b[0] < LETTER_SHARE * holds for b in met)

    def sliver_at(self, u, parts):
        hidden = u - self.s["overlap"] if self.low_over else u + self.s["overlap"]
        low, high, total = min(u, hidden) - SLIVER, max(u, hidden) + SLIVER, 0
        for box in self.gaps():
            middle = (box[0] + box[2]) / 2
            if abs(u - middle) > 0.5 and low < middle < high:
                total += between(parts, box[1], box[3])
        for box, _ in self.of_kind("opening"):
            if max(box[0], low) < min(box[2], high):
                length = between(parts, box[1], box[3])
                total += length if length >= SLIVER_LENGTH else 0
        if low < 0 or high > self.across:
            length = between(parts, 0, self.along)
            total += length if length >= SLIVER_LENGTH else 0
        return total

    def places(self):
        edges = {x for _, box, _ in self.features for x in (box[0], box[2])} | {x for b in self.letters for x in (b[0], b[2])}
        beside = {int(x) + d for x in edges for d in (-1, 0, 1, 2)}
        return sorted(p for p in set(range(5, self.across, 5)) | beside if 0 < p < self.across)


def least_cost(seen, looks, places, usable, slivers, letters):
    """Of all numbers of panels; None where there is no way. The price of a panel is not in it."""
    ok = [p for p in places if looks[p]["may"] and (slivers or not looks[p]["sliver"]) and (letters or not looks[p]["letters"])]
    bleed = seen.s["bleed"]
    at = np.array([0] + ok + [seen.across])
    starts = np.array([-bleed] + [p - looks[p]["high"] for p in ok] + [0])
    ends = np.array([0] + [p + looks[p]["low"] for p in ok] + [seen.across + bleed])
    price = np.array([0] + [looks[p]["cost"] for p in ok] + [0])

    fits = (ends[:, None] - starts[None, :] <= usable + 1e-6) & (at[:, None] > at[None, :])

    def layers(least):
        """For each number of panels the least price of the seams."""
        gate = np.where(fits & (at[:, None] - at[None, :] >= least), 0, np.inf)
        best, out = np.full(len(at), np.inf), []
        best[0] = 0
        for _ in range(seen.across // usable + 6):
            best = (gate + best[None, :]).min(axis=1) + price
            out.append(best[-1])
            best[-1] = np.inf
        return out

    plain = layers(0)
    fewest = next((k for k, c in enumerate(plain) if np.isfinite(c)), None)
    if fewest is None:
        return None
    wide = layers(LEAST)
    if not np.isfinite(wide[fewest]):
        wide[fewest] = plain[fewest]  # narrow panels rather than one more
    return {k + 1: c for k, c in enumerate(wide) if k >= fewest and np.isfinite(c)}


def panel_price(seen, roll):
    return roll / 1000 * (seen.along + 2 * seen.s["bleed"] + ENDS) / 1000 * (FILM + LAMINATE) + PANEL_MIN / 60 * INSTALL


def best_price(s, lettering):
    views = [Seen(s, way == "upright", lettering) for way in (["upright", "lying"] if s["run"] == "auto" else [s["run"]])]
    looked = [(v, {p: v.look(p) for p in v.places()}) for v in views]
    for slivers, letters in ((False, False), (True, False), (True, True)):
        found = []
        for v, looks in looked:
            for roll in WIDTHS:
                costs = least_cost(v, looks, list(looks), roll - 2 * EDGE, slivers, letters)
                found += [c + k * panel_price(v, roll) for k, c in (costs or {}).items()]
        if found:
            return min(found)
    return None


def price_of_plan(judge, s, plan):
    """What the program's plan costs by this file's reckoning; its seams are held one by one."""
    upright = plan["panels_run"] == "upright"
    seen = Seen(s, upright, [line["box_mm"] for line in plan["lettering"]])
    total = sum(panel_price(seen, p["roll_width_mm"]) for p in plan["panels"])
    for seam in plan["seams"]:
        look = seen.look(seam["at_mm"])
        total += look["cost"]
        name = f"{s['name']} seam at {seam['at_mm']}"
        judge.hold(abs(look["cost"] - seam["cost"]) < 0.006, f"{name}: costs {look['cost']:.4f}, the plan says {seam['cost']}")
        judge.hold((seam["kind"] == "gap") == bool(look["gaps"]), f"{name}: {seam['kind']}, gaps {look['gaps']}")
        judge.hold(seam.get("gap_mm", []) == look["gaps"], f"{name}: gaps {look['gaps']}, the plan says {seam.get('gap_mm')}")
        judge.hold((seam["over"] is None) == (not look["laps"]), f"{name}: over {seam['over']}")
        judge.hold(look["may"], f"{name}: may not stand there")
        i = 0 if upright else 1
        first, second = sorted((p for p in plan["panels"] if p["id"] in seam["between"]), key=lambda p: p["visible_mm"][i])
        judge.hold(abs(first["print_mm"][i + 2] - seam["at_mm"] - look["low"]) < 1e-3, f"{name}: {first['id']} prints to {first['print_mm']}")
        judge.hold(abs(seam["at_mm"] - second["print_mm"][i] - look["high"]) < 1e-3, f"{name}: {second['id']} prints from {second['print_mm']}")
    return total


class Judge:
    def __init__(self):
        self.faults, self.checks = [], 0

    def hold(self, true, words):
        self.checks += 1
        if not true:
            self.faults.append(words)


# ---- random surfaces ----

def five(rng, low, high):
    return rng.randrange(low // 5, high // 5 + 1) * 5


def random_surface(rng, name):
    s = {"name": name, "w": five(rng, 1500, 5600), "h": five(rng, 800, 2300), "front": rng.choice(["left", "right", "up", "down"]),
         "run": rng.choice(["upright", "upright", "lying", "auto"]), "bleed": rng.choice([0, 20, 50]), "overlap": rng.choice([10, 15, 25, 40]),
         "trim": 5, "turn_in": 25, "features": [], "text": []}
    if s["front"] in ("up", "down"):
        s["run"] = "lying"  # upright seams there depend on the middle
    for _ in range(rng.randrange(1, 4)):
        add_gap(rng, s)
    for kind in rng.sample(["opening", "handle", "hinge", "keep-clear", "keep-whole", "recess", "corrugation", "badge", "opening"], rng.randrange(1, 6)):
        w, h = five(rng, 30, s["w"] // 4), five(rng, 30, s["h"] // 2)
        x, y = five(rng, 0, s["w"] - w), five(rng, 0, s["h"] - h)
        feature = {"kind": kind, "box": [x, y, x + w, y + h]}
        if kind == "corrugation":
            feature["runs"] = "lying" if s["run"] == "upright" else "upright"
            if s["run"] == "auto":
                continue
        s["features"].append(feature)
    for _ in range(rng.choice([0, 0, 1, 2])):
        s["text"].append([five(rng, 50, s["w"] - 400), five(rng, 50, s["h"] - 100), rng.choice([60, 100, 200])])
    return s


def add_gap(rng, s):
    upright = s["run"] != "lying" or rng.random() < 0.3
    length = s["h"] if upright else s["w"]
    across = s["w"] if upright else s["h"]
    at = five(rng, 100, across - 100)
    low = rng.choice([0, 0, five(rng, 0, length // 2)])
    high = rng.choice([length, length - 10, length - 15, length * 4 // 25 * 5, five(rng, low + 50, length)])
    s["features"].append({"kind": "gap", "box": [at, low, at, high] if upright else [low, at, high, at]})


def art(path, s):
    """White letters on nothing: lettering without detail. Helvetica is not embedded; what is found is in the plan."""
    k = K / 10
    b = s["bleed"]
    ops = ["0 0 0 0 k"] + [f"BT /F {high * k / 0.7:.3f} Tf {(x + b) * k:.3f} {(y + b) * k:.3f} Td (Line {i}) Tj ET" for i, (x, y, high) in enumerate(s["text"])]
    write_page(path, (s["w"] + 2 * b) / 10, (s["h"] + 2 * b) / 10, "\n".join(ops),
               "/Resources<</Font<</F<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>")


def shop(profile):
    return SHOP % dict(media=1625, edge=EDGE, widths=", ".join(map(str, WIDTHS)), profile=profile) + \
        f"rates: {{design: 48, print: 35, laminate: 30, install: {INSTALL}, install-speed: 1.6 m2/h, waste: 5 %}}\n"


def feature_line(f):
    a, b, c, d = f["box"]
    if f["kind"] == "gap":
        return f"      - {{kind: gap, line: [{a}, {b}, {c}, {d}]}}"
    more = {"recess": ", depth: 5, wall: 60 deg", "corrugation": f", profile: sinusoid, pitch: 76, depth: 4, laid: bridged, runs: {f.get('runs')}"}
    box = f"box: [{a}, {b}, {c - a}, {d - b}]"
    return f"      - {{kind: {f['kind']}, {box}{more.get(f['kind'], '')}}}"


def write_job(folder, surfaces, profile):
    os.makedirs(os.path.join(folder, "art"))
    open(os.path.join(folder, "shop.yaml"), "w").write(shop(profile))
    for s in surfaces:
        lines = ["job: T-1", "start: 2027-03-01T08:00", "indoors: {temperature: 21, humidity: 50 %}", "drying: hung", "print:", "  condition: usual",
                 f"  overlap: {s['overlap']} mm", f"  seam-trim: {s['trim']} mm", f"  turn-in: {s['turn_in']} mm", "surfaces:",
                 f"  - name: {s['name']}", f"    size: [{s['w']}, {s['h']}]", f"    front: {s['front']}", f"    panels: {s['run']}", f"    bleed: {s['bleed']} mm",
                 "    features:"] + [feature_line(f) for f in s["features"] if f["kind"] != "keep-whole"]
        whole = [f for f in s["features"] if f["kind"] == "keep-whole"]
        if whole:
            lines += ["    keep-whole:"] + [f"      - {{box: [{f['box'][0]}, {f['box'][1]}, {f['box'][2] - f['box'][0]}, {f['box'][3] - f['box'][1]}]}}" for f in whole]
        if s["text"]:
            art(os.path.join(folder, "art", s["name"] + ".pdf"), s)
            lines += ["    artwork:", f"      - {{file: art/{s['name']}.pdf, scale: 10, at: [{-s['bleed']}, {-s['bleed']}]}}"]
        open(os.path.join(folder, s["name"] + ".yaml"), "w").write("\n".join(lines) + "\n")


def judge_surface(judge, lapstrake, folder, s):
    job = os.path.join(folder, s["name"] + ".yaml")
    run = subprocess.run([lapstrake, "plan", job, "--json", "--out", os.path.join(folder, "out")], capture_output=True, text=True)
    if run.returncode not in (0, 1):
        judge.hold(False, f"{s['name']}: {run.returncode} {run.stderr}\n{open(job).read()}")
        return None
    plan = json.loads(run.stdout)["surfaces"][0]
    lettering = [line["box_mm"] for line in plan["lettering"]]
    least = best_price(s, lettering)
    judge.hold((least is None) == (not plan["panels"]), f"{s['name']}: least {least}, {len(plan['panels'])} panels\n{open(job).read()}")
    if least is None or not plan["panels"]:
        return None
    total = price_of_plan(judge, s, plan)
    judge.hold(abs(total - least) <= 0.02, f"{s['name']}: the plan costs {total:.3f}, the least is {least:.3f}\n{open(job).read()}")
    return plan


def main():
    lapstrake, profile, count = sys.argv[1], os.path.abspath(sys.argv[2]), int(sys.argv[3])
    rng, judge = random.Random(int(sys.argv[4]) if len(sys.argv) > 4 else 12), Judge()
    kinds = {"gap": 0, "part": 0, "lap": 0, "impossible": 0}
    with tempfile.TemporaryDirectory() as folder:
        surfaces = [random_surface(rng, f"s{i}") for i in range(count)]
        write_job(folder, surfaces, profile)
        for s in surfaces:
            plan = judge_surface(judge, lapstrake, folder, s)
            kinds["impossible"] += plan is None
            for seam in plan["seams"] if plan else []:
                kinds["lap" if seam["kind"] == "lap" else "part" if seam["over"] else "gap"] += 1
    print("\n".join(judge.faults[:20]) or f"{judge.checks} checks hold over {count} surfaces: {kinds}")
    return 1 if judge.faults else 0


if __name__ == "__main__":
    sys.exit(main())
