#!/usr/bin/python3
"""The shop's rolls judged from outside: rolls.json against plan.json, the stock and the shop file.

    rolls.py LAPSTRAKE PROFILE random [JOBS [SEED]]    random shops, jobs and stocks
    rolls.py LAPSTRAKE PROFILE material                a material list worked by hand
    rolls.py LAPSTRAKE PROFILE stock                   off-cuts back into stock, prints on record, batches that are short

What is checked is written here a second time from doc/rolls.md: every print once and in its size, inside the roll and its
ends, gaps, one batch for a surface, its order, prints no longer than the printer takes, laminate, off-cuts, purchases.
"""
import json
import math
import os
import random
import subprocess
import sys

from parts import SHOP, run_case
from share import some

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
ENV = dict(os.environ, SOURCE_DATE_EPOCH="1800000000")
EPS = 0.005  # figures are written to 0.001 mm
faults = []


def hold(true, words):
    if not true:
        faults.append(words)
    return true


def run(*arguments):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, env=ENV, timeout=900)


def good(*arguments, status=(0, 1)):
    done = run(*arguments)
    hold(done.returncode in status, f"{' '.join(arguments)}: {done.returncode} {done.stderr}{done.stdout[-400:]}")
    return done


# ---- jobs of our own ----

def write_shop(folder, shop):
    text = SHOP % {"media": shop["media"], "edge": shop["edge"], "widths": ", ".join(map(str, shop["widths"])), "profile": PROFILE}
    text = text.replace("length: 50 m", f"length: {shop['length']} mm").replace("max-length: 30 m", f"max-length: {shop['max']} mm")
    if not shop["laminate"]:
        text = text.replace("laminate: gloss, ", "")
    text += "".join(f"{key}: {value}\n" for key, value in shop.get("more", {}).items())
    text += f"threading: {shop['threading']} mm\nrates: {{waste: {shop['waste']} %}}\n"
    text += f"rolls: {{gap: {shop['gap']}, leader: {shop['leader']}, tail: {shop['tail']}, off-cut-width: {shop['least'][0]}, off-cut-length: {shop['least'][1]}}}\n"
    open(os.path.join(folder, "shop.yaml"), "w").write(text)


def write_job(folder, name, surfaces, *lines):
    os.makedirs(os.path.join(folder, name))
    text = [f"job: {name}", "shop: ../shop.yaml", "start: 2027-03-01T08:00", "drying: hung", "indoors: {temperature: 21, humidity: 50 %}", *lines, "surfaces:"]
    for s in surfaces:
        more = f", {s['more']}" if s.get("more") else ""
        text.append(f"  - {{name: {s['name']}, size: [{s['w']}, {s['h']}], front: {s['front']}, panels: {s['run']}, bleed: {s['bleed']} mm, artwork-follows: true{more}}}")
    open(os.path.join(folder, name, "job.yaml"), "w").write("\n".join(text) + "\n")
    return os.path.join(folder, name)


def random_shop(rng):
    return {"media": rng.choice([1400, 1625]), "edge": rng.choice([0, 5, 12]), "widths": rng.choice([[1370], [1370, 1520], [1067, 1370], [1220, 1370, 1520]]),
            "length": rng.choice([10000, 25000, 50000]), "max": rng.choice([6000, 15000, 30000]), "laminate": rng.random() < 0.7,
            "threading": rng.choice([0, 1000]), "waste": rng.choice([0, 5]), "gap": rng.choice([0, 10, 25]), "leader": rng.choice([0, 300]),
            "tail": rng.choice([0, 200]), "least": rng.choice([[300, 500], [150, 300]])}


def random_surfaces(rng, count):
    return [{"name": f"s{i}", "w": rng.randrange(500, 4500, 5), "h": rng.randrange(300, 2200, 5), "front": rng.choice(["left", "right"]),
             "run": rng.choice(["upright", "upright", "lying", "auto"]), "bleed": rng.choice([0, 20, 50])} for i in range(count)]


def random_stock(rng, folder, shop):
    for i in range(rng.randrange(0, 6)):
        what = rng.choice(["film", "film", "laminate"])
        good("record", "add", folder, "roll-in", "--what", what, "--of", {"film": "white", "laminate": "gloss"}[what], "--width", str(rng.choice(shop["widths"])),
             "--length", str(rng.randrange(2000, shop["length"])), "--batch", rng.choice(["B-1", "B-2", "B-3"]), status=(0,))


# ---- judging ----

def stock_of(folder):
    """The rolls by name, from the record's own export."""
    done = run("record", "export", folder, "--json")
    rolls = {}
    for entry in json.loads(done.stdout)["facts"] if done.returncode == 0 else []:
        if entry["kind"] == "roll-in":
            rolls[entry["roll"]] = {k: entry.get(k) for k in ("what", "of", "batch", "width_mm", "length_mm", "cut_from")}
    return rolls


def prints_of(job):
    """Every print of a job's plan by its id."""
    plan, prints = json.load(open(os.path.join(job, "out", "plan.json"))), {}
    for surface in plan["surfaces"]:
        lying = surface["panels_run"] == "lying"
        inlays = [i for i in surface["inlays"] if "print_mm" in i]
        for turn, panel in enumerate(sorted(surface["panels"], key=lambda p: p["order"]) + inlays):
            size = lambda box: (box[3] - box[1], box[2] - box[0])[not lying]
            prints[panel["id"]] = {"surface": surface["name"], "turn": turn, "lying": lying, "least": size(panel["print_mm"]), "most": size(panel["file_mm"]),
                                   "long": panel["print_length_mm"], "feed": surface["feed_percent"]}
    return plan["job"], prints


def check_print(shop, roll, placed, wanted, turning):
    where = f"{placed['job']} {placed['panel']} on {roll['roll']}"
    turned = (placed["turned_deg"] == 90) != wanted["lying"]
    wide, length = (placed["long_mm"], placed["wide_mm"]) if turned else (placed["wide_mm"], placed["long_mm"])
    hold(not turned or (turning and wanted["feed"] == 100), f"{where}: turned")
    hold(abs(length - wanted["long"]) < 0.02, f"{where}: {length} long, planned {wanted['long']}")
    hold(wanted["least"] - EPS <= wide <= wanted["most"] + EPS, f"{where}: {wide} wide, print {wanted['least']}, file {wanted['most']}")
    usable = min(roll["width_mm"], shop["media"]) - shop["edge"]
    hold(placed["across_mm"] >= shop["edge"] - EPS and placed["across_mm"] + placed["wide_mm"] <= usable + EPS, f"{where}: beyond the edges")
    ends = shop["tail"] + (shop["threading"] if shop["laminate"] else 0)
    hold(placed["along_mm"] >= shop["leader"] - EPS and placed["along_mm"] + placed["long_mm"] <= roll["used_mm"] - ends + EPS, f"{where}: in leader or tail")


def apart(one, other, gap):
    return any(one[at] + one[size] + gap <= other[at] + EPS or other[at] + other[size] + gap <= one[at] + EPS
               for at, size in (("across_mm", "wide_mm"), ("along_mm", "long_mm")))


def check_roll(shop, roll, stock):
    name, placed = roll["roll"], roll["placements"]
    hold(placed, f"{name}: nothing lies on it")
    for i, one in enumerate(placed):
        for other in placed[i + 1:]:
            hold(apart(one, other, shop["gap"]), f"{name}: {one['panel']} and {other['panel']} are too near")
    hold(roll["used_mm"] <= roll["length_mm"] + EPS, f"{name}: {roll['used_mm']} used of {roll['length_mm']}")
    for sent in {p["sent"] for p in placed}:
        those = [p for p in placed if p["sent"] == sent]
        length = max(p["along_mm"] + p["long_mm"] for p in those) - min(p["along_mm"] for p in those)
        hold(length <= shop["max"] + EPS, f"{name}: {length} sent at once")
    if roll["new"]:
        hold(roll["width_mm"] in shop["widths"] and roll["length_mm"] == shop["length"] and roll["batch"] is None, f"{name}: not a roll that is bought")
    elif hold(name in stock, f"{name}: not in stock"):
        entry = stock[name]
        hold(entry["what"] == "film" and roll["width_mm"] == entry["width_mm"] and roll["batch"] == entry["batch"] and
             roll["length_mm"] <= entry["length_mm"] + EPS, f"{name}: {roll} is not {entry}")


def check_surface(shop, key, placed, feed_order):
    """placed: (roll, placement) of one surface of one vehicle."""
    hold(len({("new",) if r["new"] else ("batch", r["batch"]) for r, _ in placed}) == 1, f"{key}: on several batches")
    hold(len({p["turned_deg"] for _, p in placed}) == 1, f"{key}: not all the same way up")
    placed = sorted(placed, key=lambda rp: feed_order[rp[1]["panel"]])
    left, last = set(), None
    for roll, p in placed:
        name = roll["roll"]
        hold(name not in left, f"{key}: comes back to {name}")
        if last and last[0] != name:
            left.add(last[0])
        if last and last[0] == name:
            hold(p["along_mm"] >= last[1] - EPS, f"{key}: {p['panel']} begins before the one before it")
            hold(p["along_mm"] <= last[2] + shop["gap"] + EPS or p["sent"] != last[3], f"{key}: other prints lie within it")
        end = p["along_mm"] + p["long_mm"]
        last = (name, p["along_mm"], max(end, last[2]) if last and last[0] == name else end, p["sent"])


def check_laminates(shop, result, stock):
    runs = result["laminates"]
    if not shop["laminate"]:
        hold(not runs, "laminate without one")
        return
    for roll in result["rolls"]:
        over = [r for r in runs if r["over"] == roll["roll"]]
        length = sum(r["to_mm"] - r["from_mm"] for r in over)
        hold(over and length >= roll["used_mm"] - EPS, f"{roll['roll']}: {length} of laminate over {roll['used_mm']}")
        wide = max(p["across_mm"] + p["wide_mm"] for p in roll["placements"]) - min(p["across_mm"] for p in roll["placements"])
        if len(over) == 1:
            hold(over[0]["width_mm"] >= wide - EPS, f"{roll['roll']}: laminate of {over[0]['width_mm']} over {wide}")
    for name in {r["roll"] for r in runs}:
        own = sorted((r["from_mm"], r["to_mm"]) for r in runs if r["roll"] == name)
        most = next(r["length_mm"] for r in runs if r["roll"] == name)
        hold(own[-1][1] <= most + EPS and all(a[1] <= b[0] + EPS for a, b in zip(own, own[1:])), f"{name}: runs {own} of {most}")
        hold(name.startswith("new") or stock[name]["what"] == "laminate", f"{name}: not laminate in stock")


def check_off_cuts(shop, result):
    rolls = {r["roll"]: r for r in result["rolls"]}
    for cut in result["off_cuts"]:
        roll = rolls[cut["cut_from"]]
        box = {"across_mm": cut["across_mm"], "along_mm": cut["along_mm"], "wide_mm": cut["width_mm"], "long_mm": cut["length_mm"]}
        hold(cut["width_mm"] >= shop["least"][0] - EPS and cut["length_mm"] >= shop["least"][1] - EPS, f"{cut['name']}: too small to keep")
        hold(cut["across_mm"] >= -EPS and cut["across_mm"] + cut["width_mm"] <= roll["width_mm"] + EPS and cut["along_mm"] + cut["length_mm"] <= roll["used_mm"] + EPS,
             f"{cut['name']}: outside its roll")
        hold(all(apart(box, p, 0) for p in roll["placements"]), f"{cut['name']}: under a print")
        for other in result["off_cuts"]:
            if other is not cut and other["cut_from"] == cut["cut_from"]:
                hold(apart(box, {"across_mm": other["across_mm"], "along_mm": other["along_mm"], "wide_mm": other["width_mm"], "long_mm": other["length_mm"]}, 0),
                     f"{cut['name']} and {other['name']} overlap")


def check_buys(shop, result):
    for what, rows in (("film", result["rolls"]), ("laminate", result["laminates"])):
        for width in {r["width_mm"] for r in rows}:
            new = [r for r in rows if r["new"] and r["width_mm"] == width]
            length = sum(r["used_mm"] if what == "film" else r["to_mm"] - r["from_mm"] for r in new)
            begun = len({r["roll"] for r in new})
            rolls = max(begun, math.ceil(length * (1 + shop["waste"] / 100) / shop["length"] - 1e-9))
            bought = sum(b["rolls"] for b in result["buy"] if b["what"] == what and b["width_mm"] == width)
            hold(bought == rolls, f"{what} {width}: {bought} rolls to buy, not {rolls}")


def check_all(shop, jobs, vehicles, result, stock, turning):
    plans = dict(prints_of(job) for job in jobs)
    seen, surfaces = {}, {}
    for roll in result["rolls"]:
        check_roll(shop, roll, stock)
        for placed in roll["placements"]:
            who = (placed["job"], placed["panel"], placed["vehicle"])
            hold(who not in seen, f"{who}: laid twice")
            seen[who] = True
            wanted = plans[placed["job"]][placed["panel"]]
            check_print(shop, roll, placed, wanted, turning)
            surfaces.setdefault((placed["job"], wanted["surface"], placed["vehicle"]), []).append((roll, placed))
    for print_left in result["left_out"]:
        who = (print_left["job"], print_left["panel"], print_left["vehicle"])
        hold(who not in seen, f"{who}: laid and left out")
        seen[who] = False
    wanted = {(job, panel, vehicle) for job, prints in plans.items() for panel in prints for vehicle in range(1, vehicles + 1)}
    hold(set(seen) == wanted, f"laid {sorted(set(seen) - wanted)}, missing {sorted(wanted - set(seen))}")
    for key, placed in surfaces.items():
        check_surface(shop, key, placed, {panel: p["turn"] for panel, p in plans[key[0]].items()})
    used = sum(r["used_mm"] for r in result["rolls"])
    hold(abs(result["used_mm"] - used) < 0.1 and result["lower_bound_mm"] <= used + EPS, f"used {used}, {result['used_mm']}, bound {result['lower_bound_mm']}")
    area = sum(p["wide_mm"] * p["long_mm"] for r in result["rolls"] for p in r["placements"])
    widest = max([min(w, shop["media"]) for w in shop["widths"]] + [1])
    hold(result["lower_bound_mm"] >= area / widest - 1, f"the bound {result['lower_bound_mm']} is below the area")
    check_laminates(shop, result, stock), check_off_cuts(shop, result), check_buys(shop, result)
    return all(seen.values())


def lay(jobs, *options, seconds="600"):
    done = good("rolls", *jobs, "--json", "--seconds", seconds, *options)
    return json.loads(done.stdout) if done.returncode in (0, 1) else None


# ---- cases ----

def one_random(folder, seed):
    rng = random.Random(seed)
    os.makedirs(folder)
    shop, vehicles, turning = random_shop(rng), rng.choice([1, 1, 1, 2, 3]), rng.random() < 0.3
    write_shop(folder, shop)
    jobs = [write_job(folder, f"J-{n}", random_surfaces(rng, rng.randrange(1, 4)), f"turning: {'yes' if turning else 'no'}") for n in range(rng.choice([1, 1, 2]))]
    random_stock(rng, folder, shop)
    for job in jobs:
        good("plan", job, "--quiet")
    result = lay(jobs, "--vehicles", str(vehicles))
    if result is None:
        return
    before = len(faults)
    check_all(shop, jobs, vehicles, result, stock_of(folder), turning)
    for i in range(before, len(faults)):
        faults[i] = f"seed {seed}: {faults[i]}"
    if seed % 5 == 0:
        hold(lay(jobs, "--vehicles", str(vehicles)) == result, f"seed {seed}: laid again it is another layout")


def random_jobs(folder):
    count, first = int(sys.argv[4]) if len(sys.argv) > 4 else 12, int(sys.argv[5]) if len(sys.argv) > 5 else 0
    for seed in some(range(first, first + count)):
        one_random(os.path.join(folder, str(seed)), seed)


PLAIN = {"media": 1625, "edge": 10, "widths": [1370], "length": 50000, "max": 30000, "laminate": True, "threading": 1000, "waste": 10, "gap": 10,
         "leader": 300, "tail": 200, "least": [300, 500]}


def material(folder):
    """Two panels 1000 x 1200 mm (two surfaces without bleed), for three vehicles, by hand."""
    shop = dict(PLAIN, more={"tapes": "[{name: paper, widths: [600, 1100], length: 10 m, price: 0.50}]", "cleaner": "{name: wipe, ml-per-m2: 25, price: 0.02}",
                             "primer": "{name: stick, ml-per-m2: 40, price: 0.10}"})
    write_shop(folder, shop)
    recess = "features: [{kind: recess, box: [300, 300, 200, 500], depth: 2, wall: 30 deg}]"
    job = write_job(folder, "M-1", [{"name": n, "w": 1000, "h": 1200, "front": "left", "run": "upright", "bleed": 0, "more": recess if n == "a" else ""} for n in "ab"],
                    "tape: yes", "cleaner: yes", "primer: yes")
    good("plan", job, "--quiet")
    result = lay([job], "--vehicles", "3")
    # Each print is 1200 mm and 60 mm of label strip at both ends, 1320 mm long and 1000 mm wide: one beside the other does not fit.
    # Six of them, five gaps, leader, tail and threading: 6 x 1320 + 5 x 10 + 300 + 200 + 1000 = 9470 mm.
    lines = {(m["what"], m.get("width_mm")): m for m in result["materials"]}
    hold(abs(result["used_mm"] - 9470) < EPS and abs(result["lower_bound_mm"] - 9470) < EPS, f"{result['used_mm']} mm used, bound {result['lower_bound_mm']}, not 9470")
    for what in ("film", "laminate"):
        hold(abs(lines[(what, 1370)]["amount"] - 9470) < EPS and lines[(what, 1370)]["rolls"] == 1, f"{what}: {lines[(what, 1370)]}")
    hold(lines[("film", 1370)]["cost"] == 671.30, "film: 1.37 x 50 m x 9.80 is 671.30")
    hold(lines[("laminate", 1370)]["cost"] == 486.35, "laminate: 1.37 x 50 m x 7.10 is 486.35")
    tape = lines[("application tape", 1100)]  # 1100 covers 1000; 6 x 1320 = 7920 mm and 10 % are 8712: one roll of 10 m at 1.1 x 10 x 0.50
    hold(abs(tape["amount"] - 7920) < EPS and tape["rolls"] == 1 and tape["cost"] == 5.50, f"tape: {tape}")
    cleaner = lines[("cleaner", None)]  # 3 x 2 x 1.2 m2 x 25 ml = 180 ml, 3.60
    hold(abs(cleaner["amount"] - 180) < EPS and cleaner["cost"] == 3.60 and cleaner["name"] == "wipe", f"cleaner: {cleaner}")
    primer = lines[("primer", None)]  # 3 x 0.2 x 0.5 m2 x 40 ml = 12 ml, 1.20
    hold(abs(primer["amount"] - 12) < EPS and primer["cost"] == 1.20, f"primer: {primer}")
    hold(abs(result["cash"] - (671.30 + 486.35 + 5.50)) < EPS, f"cash: {result['cash']}")
    saves = result["batch_saves"]  # alone: 2 x 1320 + 10 + 1500 = 4150 mm, and three rolls of each in place of one
    hold(saves["vehicles"] == 3 and abs(saves["together_mm"] - 9470) < EPS and abs(saves["singly_mm"] - 3 * 4150) < EPS, f"batch: {saves}")
    hold(saves["together_rolls"] == 3 and saves["singly_rolls"] == 9, f"batch: {saves}")
    # From the edge of 10, 1000 of print with 4 of marks at both sides (doc/plan.md, file_mm) and the gap of 10 on: 342 mm beside
    # 6 x 1320 + 5 x 10 = 7970 mm.
    cut = result["off_cuts"]
    hold(len(cut) == 1 and abs(cut[0]["width_mm"] - 342) < EPS and abs(cut[0]["length_mm"] - 7970) < EPS, f"off-cut: {cut}")
    doubled = json.load(open(os.path.join(job, "out", "rolls.json")))
    hold(doubled == result, "rolls.json is not what --json says")


def codes(result):
    return {f["code"] for f in result["findings"]}


def enter(folder, *more, status=(0,)):
    return good("record", "add", folder, "roll-in", *more, status=status)


def stock(folder):
    """A batch that is short, an off-cut back into stock, prints on record, a roll too short, a surface on two new rolls."""
    write_shop(folder, dict(PLAIN, laminate=False, threading=0))
    side = {"name": "left", "w": 3800, "h": 1500, "front": "left", "run": "upright", "bleed": 0}
    job = write_job(folder, "S-1", [side])
    good("record", "plan", job)
    film = ["--what", "film", "--of", "white", "--width", "1370"]
    enter(folder, *film, "--length", "4000", "--batch", "A-1"), enter(folder, *film, "--length", "4000", "--batch", "A-2")
    short = lay([job])
    hold("batch-short" in codes(short) and [r["new"] for r in short["rolls"]] == [True], "a batch that is short: not told, or mixed")
    enter(folder, *film, "--length", "3500", "--batch", "A-1")
    both = lay([job])
    hold({r["roll"] for r in both["rolls"]} == {"R1", "R3"} and not both["buy"], f"the same batch on two rolls: {[r['roll'] for r in both['rolls']]}")
    enter(folder, "--cut-from", "R9", "--length", "1000", status=(2,)), enter(folder, "--cut-from", "R1", "--width", "1500", "--length", "1000", status=(2,))
    enter(folder, "--cut-from", "R1", "--what", "laminate", "--length", "1000", status=(2,))
    enter(folder, "--cut-from", "r1", "--length", "1000"), enter(folder, "--cut-from", "R2", "--width", "450", "--length", "2.5 m")
    have = stock_of(folder)
    hold(have["R4"]["of"] == "white" and have["R4"]["batch"] == "A-1" and have["R4"]["width_mm"] == 1370 and have["R4"]["cut_from"] == "R1", f"off-cut: {have.get('R4')}")
    shown = good("record", "stock", folder).stdout
    hold("3.0 m of 4.0 m left" in shown and "cut from R1" in shown, f"an off-cut as wide as its roll comes off it: {shown}")
    hold("R2  film white, 1370 mm wide, batch A-2, 4.0 m of 4.0 m left" in shown, f"one beside prints does not: {shown}")
    good("record", "add", job, "printed", "--panels", "left-1", "--batch", "A-1", "--reason", "a test", status=(0,))
    left = lay([job])
    hold([(p["panel"], p["why"]) for p in left["left_out"]] == [("left-1", "printed already")], f"printed: {left['left_out']}")
    long = write_job(folder, "S-2", [dict(side, w=60000)])
    hold("batch-to-ask" in codes(lay([long])), "a surface on two new rolls: not told")
    small = os.path.join(folder, "small")  # 2700 and 120 of label strips go on 3000, but not with leader and tail
    os.makedirs(small)
    write_shop(small, dict(PLAIN, laminate=False, threading=0, length=3000))
    unlaid = lay([write_job(small, "S-3", [dict(side, w=1200, h=2700)])])
    hold("roll-short" in codes(unlaid) and [p["why"] for p in unlaid["left_out"]] == ["no roll holds it"], f"a roll too short: {unlaid['left_out']}")
    hold(run("rolls", job, job).returncode == 2, "a job named twice")
    many = run("rolls", long, "--vehicles", "500")
    hold(many.returncode == 2 and "1,000" in many.stderr.replace("1000", "1,000"), f"too many prints: {many.returncode} {many.stderr}")


sys.exit(run_case({"random": random_jobs, "material": material, "stock": stock}[CASE], faults))
