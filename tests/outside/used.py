#!/usr/bin/python3
"""Planned against used: jobs of a shop, judged by a second calculation (statistics, and Student's t by integration).

    used.py LAPSTRAKE PROFILE

Prints one line a fault; exit status 1 when there is one.
"""
import csv
import io
import json
import math
import os
import statistics
import subprocess
import sys
import tempfile

from parts import Checks

LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
CHECKS = Checks(LAPSTRAKE)
faults, hold = CHECKS.faults, CHECKS.hold
SHOP = f"""currency: EUR
zone: UTC
hours: {{mon-sun: 00:00-24:00}}
printers: [{{name: wide, media-width: 1625, edge: 8, max-length: 30 m, speed: 12 m2/h, setup: 20 min}}]
films: [{{name: cast-white, kind: cast, widths: [1370], length: 50 m, price: 9.80 per m2}}]
laminates: [{{name: cast-gloss, kind: cast, finish: gloss, widths: [1370], length: 50 m, price: 7.10 per m2}}]
inks: [{{name: eco, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [8, 8, 8, 8], price: 0.16 per ml}}]
conditions: [{{name: usual, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco, profile: {PROFILE}}}]
rates: {{design: 48, print: 35, laminate: 30, install: 42, install-speed: 1.6 m2/h, waste: 5 %}}
"""


def right(*arguments, **expected):
    return CHECKS.run(*arguments, **expected).stdout


def t_975(n):
    """Where the density of Student's t with n degrees of freedom has 0.475 above 0: Simpson's rule and halving."""
    scale = math.gamma((n + 1) / 2) / (math.sqrt(n * math.pi) * math.gamma(n / 2))
    density = lambda x: scale * (1 + x * x / n) ** (-(n + 1) / 2)

    def area(x, parts=4000):
        h = x / parts
        return h / 3 * (density(0) + density(x) + sum((4 if i % 2 else 2) * density(i * h) for i in range(1, parts)))
    low, high = 0.0, 20.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if area(middle) < 0.475 else (low, middle)
    return low


def near(a, b, share=1e-3):
    return a is not None and b is not None and abs(a - b) <= share * max(abs(b), 1e-9)


def job(folder, number, width):
    os.makedirs(f"{folder}/{number}")
    open(f"{folder}/{number}/job.yaml", "w").write(
        f"job: {number}\nshop: ../shop.yaml\nprint: {{condition: usual}}\ndrying: hung\nsurfaces:\n  - {{name: left, size: [{width}, 1200], front: left, panels: upright}}\n")
    right("record", "plan", f"{folder}/{number}")
    return f"{folder}/{number}"


def main(folder):
    os.makedirs(folder)
    open(f"{folder}/shop.yaml", "w").write(SHOP)
    ratios = [1.25, 1.4, 1.18, 1.31]
    jobs = [job(folder, f"J-{i}", width) for i, width in enumerate((2400, 2600, 3600, 1200))]
    plans = [json.loads(right("plan", j, "--json", "--quiet")) for j in jobs]
    hours = [next(line["hours"] for line in plan["cost"]["lines"] if line["what"] == "installing") for plan in plans]
    for j, h, ratio in zip(jobs, hours, ratios):
        right("record", "add", j, "used", "--what", "installing", "--amount", f"{h * ratio:.4f}")
    right("record", "add", jobs[0], "used", "--what", "film", "--of", "cast-white", "--amount", "8,2 m")
    right("record", "add", jobs[0], "used", "--what", "ink", "--of", "eco", "--amount", "0.5 l")
    right("record", "add", jobs[0], "used", "--what", "film", "--amount", "3 m", status=2, says="with its name in the shop")
    right("record", "add", jobs[0], "used", "--what", "glue", "--amount", "3", status=2, says="say what was used first")
    right("record", "add", jobs[0], "used", "--what", "design", "--amount", "3 m", status=2, says="hours such as")
    right("record", "add", jobs[0], "roll-in", "--what", "film", "--of", "cast-white", "--amount", "3", status=2)
    panels = [p["id"] for p in plans[1]["surfaces"][0]["panels"]]
    right("record", "add", jobs[1], "printed", "--panels", ",".join(panels), "--who", "Printing")
    right("record", "add", jobs[1], "reprint", "--panels", panels[0], "--words", "torn")
    right("record", "add", jobs[1], "printed", "--panels", panels[0], "--who", "Printing")
    answer = json.loads(right("used", folder, "--json"))
    lines = {(j["job"], line["what"]): line for j in answer["jobs"] for line in j["lines"]}
    hold([lines[(f"J-{i}", "installing")]["planned"] for i in range(4)] == hours, "planned hours are not those of the plans")
    hold(lines[("J-0", "film")]["used"] == 8200 and lines[("J-0", "ink")]["used"] == 500, "what was written is not what was used")
    lengths = [p["print_length_mm"] for p in plans[1]["surfaces"][0]["panels"]]
    laid = next(line["amount"] for line in plans[1]["materials"]["lines"] if line["what"] == "film")
    hold(lines[("J-1", "film")]["used"] == laid + lengths[0] and lines[("J-1", "film")]["from"] == "prints", "prints, the spoilt one too, are not what was used")
    hold(lines[("J-1", "film")]["planned"] == laid > sum(lengths), "the plan of the first print is not what was planned")
    rate = next(r for r in answer["rates"] if r["what"] == "installing")
    logs = [math.log(lines[(f"J-{i}", "installing")]["used"] / hours[i]) for i in range(4)]
    half = t_975(3) * statistics.stdev(logs) / 2
    low, high, median = math.exp(statistics.mean(logs) - half), math.exp(statistics.mean(logs) + half), math.exp(statistics.median(logs))
    hold(rate["jobs"] == 4 and near(rate["median"], median) and near(rate["low"], low) and near(rate["high"], high), f"{rate} is not {median} {low} {high}")
    hold(rate["sure"] == "perhaps" and rate["key"] == "install-speed" and rate["now"] == 1.6, f"{rate}")
    hold(near(rate["suggested"], 1.6 / median) and near(rate["suggested_low"], 1.6 / high) and near(rate["suggested_high"], 1.6 / low), f"not what the speed should be: {rate}")
    film = next(r for r in answer["rates"] if r["what"] == "film")
    hold(film["jobs"] == 2 and film["sure"] == "too few jobs", f"{film}")
    table = list(csv.DictReader(io.StringIO(right("used", folder, "--csv"))))
    hold(len(table) == len(lines) and table[0]["job"] == "J-0", "the table has other lines")
    right("used", jobs[0], says="installing")
    right("used", folder, says="install-speed: ")
    hold(all(r["jobs"] == 0 for r in json.loads(right("used", folder, "--json", "--since", "2090-01-01T00:00"))["rates"]), "jobs planned before count")
    right("record", "verify", folder)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        main(os.path.join(place, "shop"))
    print("\n".join(faults) or "holds")
    sys.exit(1 if faults else 0)
