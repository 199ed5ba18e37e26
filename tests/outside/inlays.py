#!/usr/bin/python3
"""What `inlay: true` and `relief: true` on a recess change, from outside: the stop goes, and the piece is in plan.json, the
panel files, the rolls, the price and the job sheet.

    inlays.py LAPSTRAKE PROFILE

The recess is 300 x 240 mm and 90 mm deep with walls of 70 degrees: pushed in, the film gets 2 d tan(a/2) / w = 52.5 %
longer (geometry). A wall laid flat is d tan(a/2) = 63.019 mm longer than its run; 10 mm more lie under the film all round.
"""
import json
import math
import os
import shutil
import subprocess
import sys
import tempfile

import planner
from random_surfaces import TRIM

LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
BOX = [1500, 700, 1800, 940]
MORE = 90 * math.tan(math.radians(35)) + 10
SIZE = [300 + 2 * MORE, 240 + 2 * MORE]
judge = planner.Judge()
hold = judge.hold


def job(folder, decision, form):
    """One side with artwork all over and the recess, decided so."""
    recess = {"kind": "recess", "box": BOX}
    s = {"name": "left", "w": 3000, "h": 1800, "front": "left", "run": "upright", "bleed": 50, "overlap": 10, "features": [recess],
         "text": [[200, 200, 100, False]], "outlined": [], "picture": [], "corners": []}
    path = os.path.join(folder, "left.yaml")
    planner.write_shop(folder, PROFILE)
    planner.write_job(path, [s])
    text = open(path).read().replace("depth: 5, wall: 60 deg", f"depth: 90, wall: 70 deg{decision}").replace("print:\n", f"print:\n  format: {form}\n  resolution: 20\n")
    open(path, "w").write(text)
    done = subprocess.run([LAPSTRAKE, "make", path, "--json", "--out", os.path.join(folder, "out")], capture_output=True, text=True)
    hold(done.returncode in (0, 1), f"{decision} {form}: {done.returncode} {done.stderr}")
    return done.returncode, json.loads(done.stdout)


def codes(plan):
    return {f["code"] for f in plan["findings"]}


def cost(plan, what):
    return next((line["cost"] for line in plan["cost"]["lines"] if line["what"] == what), 0)


def near(a, b, most, words):
    hold(abs(a - b) <= most, f"{words}: {a}, by hand {b}")


def judge_print(plan, inlay, folder):
    hold(inlay["kind"] == "inlay" and inlay["id"] == "left-inlay-1", f"{inlay}")
    near(inlay["piece_width_mm"], SIZE[0], 0.06, "width")
    near(inlay["print_mm"][1], BOX[1] - MORE, 0.01, "lower edge")
    near(inlay["area_m2"], SIZE[0] * SIZE[1] / 1e6, 1e-4, "area")
    over = [p["id"] for p in plan["surfaces"][0]["panels"] if p["visible_mm"][0] < BOX[2] and p["visible_mm"][2] > BOX[0]]
    hold(inlay["panels"] == over, f"panels over it: {inlay['panels']}, {over}")
    hold(os.path.exists(os.path.join(folder, "out", inlay["file"])), f"no {inlay['file']}")


def judge_material(plan, plain, inlay):
    """Film of its length on the same roll: film, laminate and rim are charged."""
    roll, length = plan["rolls"][0], SIZE[1] + 120
    hold([i["inlay"] for i in roll["inlays"]] == ["left-inlay-1"], f"{roll}")
    near(roll["used_mm"] - plain["rolls"][0]["used_mm"], length, 0.02, "film")
    area = length * roll["width_mm"] / 1e6
    near(cost(plan, "film") - cost(plain, "film"), area * 9.80 * 1.05, 0.011, "price of film")
    near(cost(plan, "laminate") - cost(plain, "laminate"), area * 7.10 * 1.05, 0.011, "price of laminate")
    near(cost(plan, "installing") - cost(plain, "installing"), (10 + 2 * 0.54 * 3) / 60 * 42, 0.013, "installing")  # whole seconds
    near(inlay["print_length_mm"], length, 0.02, "print length")
    hold(plan["cost"]["price"] > plain["cost"]["price"], "the price has no inlay")


def sheet_words(folder):
    return subprocess.run(["pdftotext", "-layout", os.path.join(folder, "out", "sheet.pdf"), "-"], capture_output=True, text=True).stdout


def judge_file(folder, plan, inlay):
    """A page of its own after the panels', at full size, with its own code."""
    path, page = os.path.join(folder, "out", inlay["file"]), str(inlay["page"])
    hold(inlay["page"] == len(plan["surfaces"][0]["panels"]) + 1, f"page {inlay['page']}")
    size = subprocess.run(["pdfinfo", "-f", page, "-l", page, "-box", path], capture_output=True, text=True).stdout
    bleed = next(line for line in size.splitlines() if "BleedBox" in line).split()[-4:]
    near((float(bleed[2]) - float(bleed[0])) * 25.4 / 72, SIZE[0], 0.05, "width of the page's print")
    if shutil.which("zbarimg"):
        subprocess.run(["pdftoppm", "-r", "80", "-gray", "-png", "-singlefile", "-f", page, "-l", page, path, f"{folder}/inlay"], check=True)
        read = subprocess.run(["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", f"{folder}/inlay.png"], capture_output=True, text=True)
        hold(set(read.stdout.split()) == {"T-1/left-inlay-1"}, f"the code says {read.stdout!r}")


def judge_labels(folder):
    words = subprocess.run(["pdftotext", os.path.join(folder, "out", "labels.pdf"), "-"], capture_output=True, text=True).stdout
    hold(words.count("left-inlay-1\n") == 2 and words.count("left-1\n") == 2, f"not two labels each: {words[:400]}")


def record(*arguments, status=0, says=""):
    done = subprocess.run([LAPSTRAKE, "record", *arguments], capture_output=True, text=True)
    hold(done.returncode == status and says in done.stdout + done.stderr, f"record {arguments}: {done.returncode} {done.stdout}{done.stderr}")


def judge_record(path):
    """An inlay is put on record, gated and judged like a panel."""
    os.rename(os.path.join(path, "left.yaml"), os.path.join(path, "job.yaml"))
    record("plan", path, says="plan version 1")
    record("add", path, "laminated", "--panels", "left-inlay-1", "--air", "21", status=1, says="not on record as printed")
    record("add", path, "printed", "--panels", "left-1,left-inlay-1", "--who", "Printing", "--reason", "an early start")
    record("add", path, "hung", "--panels", "left-inlay-1")
    record("add", path, "laminated", "--panels", "left-inlay-1", "--air", "21", status=1, says="Dries until")
    record("show", path, says="left-inlay-1")
    record("verify", os.path.dirname(path))
    done = subprocess.run([LAPSTRAKE, "plan", path, "--json", "--out", os.path.join(path, "out")], capture_output=True, text=True)
    hold("printed-otherwise" not in codes(json.loads(done.stdout)), "an inlay that was printed is said to be gone from the plan")


def roll_by_hand(s, piece_across, piece_along):
    """The roll on which panels and piece together cost least, and that cost: planner.py, and the piece's film."""
    view = planner.Seen(s, True, [], None)
    looks = {p: view.look(p) for p in view.places()}
    best = (math.inf, 0)
    for roll in planner.WIDTHS:
        costs = planner.least_cost(view, looks, list(looks), roll - 2 * planner.EDGE, False, False) or {}
        if piece_across > roll - 2 * planner.EDGE:
            continue
        film = (piece_along + planner.ENDS) * roll / 1e6 * (planner.FILM + planner.LAMINATE)
        best = min([best, *((c + k * planner.panel_price(view, roll) + film, roll) for k, c in costs.items())])
    return best


def judge_rolls(top):
    """The piece decides the roll: where the narrow one does not hold it, and where its film turns the balance."""
    seen, turned = set(), 0
    for i, (wide, high) in enumerate([(1250, 240), (300, 240), (200, 1500), (600, 1500)]):
        for width in range(2500, 5400, 580):
            recess = {"kind": "recess", "box": [200, 100, 200 + wide, 100 + high]}
            s = {"name": "left", "w": width, "h": 1800, "front": "left", "run": "upright", "bleed": 50, "overlap": 10, "trim": TRIM,
                 "turn_in": 25, "features": [recess], "text": [], "outlined": [], "picture": [], "corners": []}
            folder = f"{top}/roll-{i}-{width}"
            planner.write_shop(folder, PROFILE)
            planner.write_job(f"{folder}/job.yaml", [s])
            text = open(f"{folder}/job.yaml").read().replace("depth: 5, wall: 60 deg", "depth: 90, wall: 70 deg, inlay: true")
            open(f"{folder}/job.yaml", "w").write(text)
            done = subprocess.run([LAPSTRAKE, "plan", folder, "--json", "--quiet"], capture_output=True, text=True)
            hold(done.returncode in (0, 1), f"{folder}: {done.stderr}")
            surface = json.loads(done.stdout)["surfaces"][0]
            (cost, roll), bare = roll_by_hand(s, wide + 2 * MORE, high + 2 * MORE), roll_by_hand(s, 0, -planner.ENDS)
            hold(surface["roll_width_mm"] == roll, f"{wide} x {high} on {width}: roll {surface['roll_width_mm']}, by hand {roll} for {cost:.3f}")
            hold("inlay-wide" not in codes(json.loads(done.stdout)), f"{wide} x {high} on {width}: does not fit")
            seen.add(roll)
            turned += bare[1] != roll
    hold(len(seen) == 2 and turned > 0, f"the cases say nothing: rolls {seen}, {turned} turned")


def main():
    with tempfile.TemporaryDirectory() as top:
        status, plain = job(f"{top}/plain", "", "pdf")
        hold(status == 1 and {"stretch-over-limit", "inlay-proposed"} <= codes(plain), f"no stop without a decision: {status}, {codes(plain)}")
        near(plain["surfaces"][0]["stretch_percent"], 100 * 2 * 90 * math.tan(math.radians(35)) / 240, 0.01, "stretch")
        for form in ("pdf", "tiff"):
            status, plan = job(f"{top}/{form}", ", inlay: true", form)
            inlay = plan["surfaces"][0]["inlays"][0]
            hold(status == 0 and "inlay" in codes(plan) and "stretch-over-limit" not in codes(plan), f"{form}: {status}, {codes(plan)}")
            hold(plan["surfaces"][0]["stretch_percent"] == 0, "the recess still stretches the film")
            judge_print(plan, inlay, f"{top}/{form}")
            judge_material(plan, plain, inlay)
            hold(sum(b["length_mm"] * b["rolls"] for b in plan["materials"]["buy"]) > 0, "nothing is bought")
            if shutil.which("pdftotext"):
                hold("left-inlay-1" in sheet_words(f"{top}/{form}"), "the sheet does not name the inlay")
                judge_labels(f"{top}/{form}")
                if form == "pdf":
                    judge_file(f"{top}/{form}", plan, inlay)
                    judge_record(f"{top}/{form}")
        judge_rolls(top)
        status, plan = job(f"{top}/relief", ", relief: true", "pdf")
        hold(status == 0 and plan["surfaces"][0]["inlays"][0]["kind"] == "relief", f"relief: {status}")
        hold(plan["rolls"] == plain["rolls"], "relief cuts take film")
        near(cost(plan, "installing") - cost(plain, "installing"), 5 / 60 * 42, 0.013, "relief cuts")
        hold("relief cuts" in sheet_words(f"{top}/relief"), "the sheet does not name the relief cuts")
    print("\n".join(judge.faults) or f"{judge.checks} checks hold")
    return 1 if judge.faults else 0


sys.exit(main())
