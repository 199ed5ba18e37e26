#!/usr/bin/python3
"""A second planner, written from doc/seams.md and from nothing else, against the program's plans.

    planner.py LAPSTRAKE PROFILE SURFACES [SEED]

Job folders of random surfaces (random_surfaces.py: door gaps of part of the height, windows, handles, recesses, ribs
across and along the seams, lettering live and outlined, slivers, pictures, corners that wrap) are planned by the
program; every seam of its plan is priced here again, and the least cost there is must be the program's to 2 cents. All
places 5 mm apart are tried, a millimetre beside every edge and the ends of every crest: costs change and films end only
there. A picture's detail changes everywhere: with one, and where there is lettering, every millimetre is tried.
"""
import json
import math
import os
import random
import subprocess
import sys
import tempfile

import numpy as np

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from detail_map import Detail, cut  # noqa: E402
from random_surfaces import DEPTH, EDGE, INSTALL, WALL_DEG, WIDTHS, bleeds, has_art, random_surface, shop, wraps, write_job, write_shop  # noqa: E402,F401

SLIVER, SLIVER_LENGTH, LEAST, GAP_REST, GAP_SLANT = 60, 120, 150, 10, 6
LETTER_MARGIN, LETTER_SHARE, BETWEEN, LETTER_GAP = 15, 0.60, 0.10, 1
CREST_SHARE, LEAST_CREST = 0.125, 0.5
REACH = 20
FILM, LAMINATE = 9.80, 7.10
ENDS = 120  # label strips at both ends of a panel
PANEL_MIN, LAP_MIN, GAP_MIN = 10, 3, 2
LAP, DETAIL, SHAPED, ACROSS, LETTERING, SLIVER_PRICE = 2, 10, 40, 5, 60, 60
HARDWARE = {"handle": 30, "hinge": 30, "badge": 30, "light": 30}
STRICT = {"keep-clear": 20, "keep-whole": 0}
TOGETHER = 15  # surfaces in a job


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

    def __init__(self, s, upright, lettering, maps):
        turn = (lambda b: b) if upright else (lambda b: [b[1], b[0], b[3], b[2]])
        self.across, self.along = (s["w"], s["h"]) if upright else (s["h"], s["w"])
        self.s, self.upright = s, upright
        self.low_over = s["front"] == "left" if upright else s["front"] == "down"
        self.features = [(f["kind"], turn(f["box"]), f) for f in s["features"]]
        self.letters = [turn(b) for b in lettering]
        beyond = bleeds(s)
        self.low, self.high, self.start, self.end = (beyond[e] for e in (("left", "right", "bottom", "top") if upright else ("bottom", "top", "left", "right")))
        openings = [box for box, _ in self.of_kind("opening")]
        self.detail = Detail(maps, upright, self.across, self.along, openings) if maps else None
        self.strokes = [self.detail.strokes(b, LETTER_GAP) if maps else None for b in self.letters]

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
        ribs = sum(between(parts, b[1], b[3]) for b, f in self.of_kind("corrugation") if not self.runs_along(f) and b[0] < u < b[2])
        lettered, forbidding = self.letters_at(u, parts)
        sliver = self.sliver_at(u, parts) if parts else 0
        shows = (lap * (LAP + DETAIL * self.band(u, on, parts)) + shaped * SHAPED + ribs * ACROSS + lettered * LETTERING + sliver * SLIVER_PRICE) / 1000
        minutes = (lap * LAP_MIN + (seen - lap) * GAP_MIN) / 1000
        film = (low_beyond + high_beyond) / 1000 * self.along / 1000 * (FILM + LAMINATE)
        return {"cost": minutes / 60 * INSTALL + shows + film, "low": low_beyond, "high": high_beyond, "gaps": on, "laps": bool(parts) or not on,
                "may": not self.forbidden(u, parts, bool(on)) and self.on_crests(u, parts, bool(on)), "sliver": sliver > 0, "letters": forbidding}

    def forbidden(self, u, parts, gap):
        for box, f in self.of_kind(*HARDWARE, *STRICT):
            margin = {**HARDWARE, **STRICT}[f["kind"]]
            if not box[0] - margin < u < box[2] + margin:
                continue
            if gap and f["kind"] in HARDWARE and between(parts, box[1] - margin, box[3] + margin) <= 0:
                continue
            return True
        return False

    def over_band(self, u, before, beyond):
        """From `before` under the panel that lies over to `beyond` past its edge."""
        return (u - before, u + beyond) if self.low_over else (u - beyond, u + before)

    def band(self, u, on, parts):
        if not self.detail or not parts:
            return 0
        return self.detail.band(*self.over_band(u, self.s["overlap"], 0), on)

    # ---- ribs ----

    def runs_along(self, feature):
        return (feature["runs"] == "upright") == self.upright

    def on_crests(self, u, parts, gap):
        """Along ribs the line is on a crest, and the whole overlap where a crest is wide enough."""
        for box, f in self.of_kind("corrugation"):
            if not self.runs_along(f) or (gap and between(parts, box[1], box[3]) <= 0):
                continue
            wide = crest(f)
            if not holds(box, f, wide, u, u):
                return False
            if self.s["overlap"] <= max(0, math.floor(wide - 1 + 1e-9)) and not holds(box, f, wide, *self.over_band(u, self.s["overlap"], 0)):
                return False
        return True

    def letters_at(self, u, parts):
        """How much of the lap runs through letters, and whether it may: between letters a tenth counts."""
        holds_mm, total, forbids = max(WIDTHS) - 2 * EDGE, 0, False
        for b, strokes in zip(self.letters, self.strokes):
            if not b[0] - LETTER_MARGIN < u < b[2] + LETTER_MARGIN or between(parts, b[1] - LETTER_MARGIN, b[3] + LETTER_MARGIN) <= 0:
                continue
            total += (1 if self.cuts(u, strokes) else BETWEEN) * between(parts, b[1], b[3])
            forbids |= b[2] - b[0] < LETTER_SHARE * holds_mm
        return total, forbids

    def cuts(self, u, strokes):
        """What both panels print the same, and what is cut back, meets a letter."""
        if strokes is None:
            return True
        first, there = strokes
        low, high = self.over_band(u, self.s["overlap"], max(self.s["trim"], 1))
        return bool(there[max(int(low) - first, 0):max(int(high) - first, 0)].any())

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

    def crest_ends(self):
        """Whole millimetres at which a crest's line or band begins and ends."""
        ends, overlap = set(), self.s["overlap"]
        for box, f in self.of_kind("corrugation"):
            half = crest(f) / 2
            for i in range(int((box[2] - box[0]) / f["pitch"]) + 2 if self.runs_along(f) else 0):
                middle = box[0] + i * f["pitch"]
                ends |= {rounded for x in (middle - half, middle + half, middle - half + overlap, middle + half - overlap)
                         for rounded in (math.floor(x), math.ceil(x))}
        return ends

    def places(self):
        edges = {x for _, box, _ in self.features for x in (box[0], box[2])} | {x for b in self.letters for x in (b[0], b[2])}
        beside = {int(x) + d for x in edges for d in (-1, 0, 1, 2)} | self.crest_ends()
        if self.s["picture"]:
            return list(range(1, self.across))
        for b in self.letters:
            beside |= set(range(int(b[0]) - self.s["overlap"] - LETTER_MARGIN, int(b[2]) + self.s["overlap"] + LETTER_MARGIN))
        return sorted(p for p in set(range(5, self.across, 5)) | beside if 0 < p < self.across)


def crest(f):
    """So wide that a seam may stand on it: a quarter of the pitch of a round rib, the flat of a trapezoid."""
    half = f["pitch"] * CREST_SHARE
    if f["profile"] == "trapezoid":
        half = f["pitch"] / 4 - DEPTH / math.tan(math.radians(WALL_DEG)) / 2
    return 2 * max(LEAST_CREST, half)


def holds(box, f, wide, low, high):
    """Whether all of it is on one crest or beside the ribs; crests stand at the box's edge and every pitch on."""
    if high <= box[0] or low >= box[2]:
        return True
    low, high = max(low, box[0]), min(high, box[2])
    middle = box[0] + f["pitch"] * math.floor(((low + high) / 2 - box[0]) / f["pitch"] + 0.5)
    return low >= middle - wide / 2 - 1e-9 and high <= middle + wide / 2 + 1e-9


def least_cost(seen, looks, places, usable, slivers, letters):
    """Of all numbers of panels; None where there is no way. The price of a panel is not in it."""
    ok = [p for p in places if looks[p]["may"] and (slivers or not looks[p]["sliver"]) and (letters or not looks[p]["letters"])]
    at = np.array([0] + ok + [seen.across])
    starts = np.array([-seen.low] + [p - looks[p]["high"] for p in ok] + [0])
    ends = np.array([0] + [p + looks[p]["low"] for p in ok] + [seen.across + seen.high])
    price = np.array([0] + [looks[p]["cost"] for p in ok] + [0])
    first = np.searchsorted(at, at - usable)  # no panel is wider

    def reach(j, least):
        """The seams from which one panel reaches seam j."""
        q = np.arange(first[j], j)
        return q[(ends[j] - starts[q] <= usable + 1e-6) & (at[j] - at[q] >= least)]

    def layers(least):
        """For each number of panels the least price of the seams."""
        before = [reach(j, least) for j in range(len(at))]
        best, out = np.full(len(at), np.inf), []
        best[0] = 0
        for _ in range(seen.across // usable + 5):
            best = np.array([best[q].min() if len(q) else np.inf for q in before]) + price
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
    return roll / 1000 * (seen.along + seen.start + seen.end + ENDS) / 1000 * (FILM + LAMINATE) + PANEL_MIN / 60 * INSTALL


def best_price(looked):
    """Over the surface as seen each way that its panels may run."""
    for slivers, letters in ((False, False), (True, False), (True, True)):
        found = []
        for v, looks in looked:
            for roll in WIDTHS:
                costs = least_cost(v, looks, list(looks), roll - 2 * EDGE, slivers, letters)
                found += [c + k * panel_price(v, roll) for k, c in (costs or {}).items()]
        if found:
            return min(found)
    return None


def price_of_plan(judge, s, plan, looked):
    """What the program's plan costs by this file's reckoning; its seams are held one by one."""
    upright = plan["panels_run"] == "upright"
    seen = next(v for v, _ in looked if v.upright == upright)
    hold_edges(judge, s, plan)
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


def hold_edges(judge, s, plan):
    """The outermost prints: bleed, the wrap and what is cut back, or nothing under a neighbour's wrap."""
    prints = list(zip(*(p["print_mm"] for p in plan["panels"])))
    ends = {"left": -min(prints[0]), "bottom": -min(prints[1]), "right": max(prints[2]) - s["w"], "top": max(prints[3]) - s["h"]}
    for edge, wanted in bleeds(s).items():
        judge.hold(abs(ends[edge] - wanted) < 1e-3, f"{s['name']}: prints {ends[edge]} mm beyond its {edge} edge, not {wanted}")
    said = {c["other"]: (c["over"] == s["name"], c["wrap_mm"]) for c in plan["corners"]}
    judge.hold(said == {c["name"]: wraps(c, s) for c in s["corners"]}, f"{s['name']}: corners {said}")


class Judge:
    def __init__(self):
        self.faults, self.checks = [], 0

    def hold(self, true, words):
        self.checks += 1
        if not true:
            self.faults.append(words)


def judge_surface(judge, s, plan, maps):
    lettering = [line["box_mm"] for line in plan["lettering"]]
    views = [Seen(s, way == "upright", lettering, maps) for way in (["upright", "lying"] if s["run"] == "auto" else [s["run"]])]
    looked = [(v, {p: v.look(p) for p in v.places()}) for v in views]
    least = best_price(looked)
    judge.hold((least is None) == (not plan["panels"]), f"{s['name']}: least {least}, {len(plan['panels'])} panels\n{s}")
    if least is None or not plan["panels"]:
        return False
    total = price_of_plan(judge, s, plan, looked)
    judge.hold(abs(total - least) <= 0.02, f"{s['name']}: the plan costs {total:.3f}, the least is {least:.3f}\n{s}")
    return True


def judge_job(judge, lapstrake, folder, surfaces, kinds):
    """Several surfaces in a job: the program starts once for them."""
    job, out = os.path.join(folder, "job.yaml"), os.path.join(folder, "out")
    write_job(job, surfaces)
    run = subprocess.run([lapstrake, "plan", job, "--json", "--quiet", "--out", out], capture_output=True, text=True)
    if run.returncode not in (0, 1):
        judge.hold(False, f"{surfaces[0]['name']}: {run.returncode} {run.stderr}\n{open(job).read()}")
        return
    plans = {plan["name"]: plan for plan in json.loads(run.stdout)["surfaces"]}
    for s in surfaces:
        maps = os.path.join(out, "cache", s["name"] + ".maps") if has_art(s) else None
        if judge_surface(judge, s, plans[s["name"]], maps):
            count_kinds(kinds, s, plans[s["name"]])
        else:
            kinds["impossible"] += 1


def count_kinds(kinds, s, plan):
    kinds["detail"] += any(seam["detail"] > 0 for seam in plan["seams"])
    kinds["outlined"] += any(line["outlined"] for line in plan["lettering"])
    kinds["corners"] += bool(plan["corners"])
    kinds["ribs"] += any(f.get("runs") == plan["panels_run"] for f in s["features"])
    for seam in plan["seams"]:
        kinds["lap" if seam["kind"] == "lap" else "part" if seam["over"] else "gap"] += 1


def main():
    lapstrake, profile, count = sys.argv[1], os.path.abspath(sys.argv[2]), int(sys.argv[3])
    rng, judge = random.Random(int(sys.argv[4]) if len(sys.argv) > 4 else 12), Judge()
    kinds = dict.fromkeys(("gap", "part", "lap", "impossible", "detail", "outlined", "corners", "ribs"), 0)
    with tempfile.TemporaryDirectory() as folder:
        surfaces = [random_surface(rng, f"s{i}") for i in range(count)]
        write_shop(folder, profile)
        for first in range(0, count, TOGETHER):
            judge_job(judge, lapstrake, folder, surfaces[first:first + TOGETHER], kinds)
    print("\n".join(judge.faults[:20]) or f"{judge.checks} checks hold over {count} surfaces: {kinds}")
    return 1 if judge.faults else 0


if __name__ == "__main__":
    sys.exit(main())
