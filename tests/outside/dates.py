#!/usr/bin/python3
"""Dates and money a second time, on another path.

    dates.py LAPSTRAKE dates|money [CASES] [SEED]

Dates: every second of two months is marked open or closed as the shop's wall clock shows it (Python's zoneinfo), and
steps are laid over these marks by counting them; what decides is looked for by shortening each step, closure, wait and the
vehicle's arrival. Money: every line again in decimals, rounded half up once, from amounts and hours that the plan names.
Rules: doc/clock.md and doc/job-file.md.
"""
import datetime
import json
import math
import os
import random
import subprocess
import sys
import tempfile
from decimal import ROUND_HALF_UP, Decimal
from zoneinfo import ZoneInfo

import numpy

LAPSTRAKE, WHAT = os.path.abspath(sys.argv[1]), sys.argv[2]
CASES = int(sys.argv[3]) if len(sys.argv) > 3 else 12
SEED = int(sys.argv[4]) if len(sys.argv) > 4 else 1
DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
ZONE = ZoneInfo("Europe/Lisbon")
SPAN_S = 62 * 86400
WHOLE = 10 ** 12
failures = []


def hold(fine, words):
    if not fine:
        failures.append(words)
        print("FAILED", words)


# ---- a shop and a job of random numbers


def clock(minute):
    return "%02d:%02d" % (minute // 60 % 24, minute % 60)


def random_hours(rng):
    week = {}
    for day in DAYS:
        kind = rng.random()
        if kind < (0.12 if day not in ("sat", "sun") else 0.8):
            week[day] = []
        elif kind < 0.55:
            week[day] = [(rng.randrange(360, 560, 10), rng.randrange(900, 1140, 10))]
        elif kind < 0.9:
            noon = rng.randrange(690, 760, 10)
            week[day] = [(rng.randrange(400, 520, 10), noon), (noon + 40, rng.randrange(960, 1080, 10))]
        else:
            week[day] = [(rng.randrange(480, 600, 10), 900), (1320, 1440 + 360)]
    week["wed"] = week["wed"] or [(480, 1020)]
    return week


def random_case(rng):
    return {
        "week": random_hours(rng), "closed": [f"2027-03-{rng.randrange(1, 29):02d}" for _ in range(rng.randrange(0, 3))],
        "start": datetime.datetime(2027, 3, rng.randrange(1, 27), rng.randrange(0, 24), rng.randrange(0, 60)),
        "arrives": datetime.datetime(2027, 4, rng.randrange(1, 9), rng.randrange(6, 18), 0) if rng.random() < 0.3 else None,
        "speed": rng.choice([0.3, 1.5, 6, 12.5, 22]), "setup": rng.randrange(5, 60), "unattended": rng.random() < 0.4,
        "least": rng.choice([24, 30, 48, 60]), "bond": rng.choice([6, 12, 24, 36]), "while": rng.random() < 0.3,
        "lam": rng.choice([0.5, 2, 4]), "crew": rng.randrange(1, 4), "rate": rng.choice([0.9, 1.6, 3]),
        "wash": rng.choice([2, 4, 30]), "celsius": rng.choice([21, 21, 12, 7.5]), "humidity": rng.choice([50, 50, 70, 84]),
        "surfaces": [(rng.randrange(500, 3000), rng.randrange(500, 2200)) for _ in range(rng.randrange(1, 4))],
        "prices": {k: rng.choice(["", "%.2f" % (rng.random() * 60 + 1), "%.2f" % (rng.random() * 60 + 1)])
                   for k in ("film", "laminate", "design", "print", "laminating", "install")},
        "waste": rng.choice([0, 5, 7.5, 12.25]), "profit": rng.choice(["mark-up: 30 %", "mark-up: 17.5 %", "margin: 25 %",
                                                                     "margin: 33 %, money: 2", "margin: 12.5 %, money: 2", ""]),
        "design": rng.choice([None, 0.75, 3]), "roll": rng.choice([8, 15, 50]), "threading": rng.choice([0, 700, 1500]),
        "hard": rng.random() < 0.3, "old": rng.random() < 0.3, "seal": rng.random() < 0.3,
    }


def write_job(folder, c):
    price = lambda key, unit: f", price: {c['prices'][key]} per {unit}" if c["prices"][key] else ""
    rate = lambda name, key: f"{name}: {c['prices'][key]}, " if c["prices"][key] else ""
    hours = ", ".join(f"{d}: " + ("closed" if not o else "[" + ", ".join(f"{clock(a)}-{clock(b)}" for a, b in o) + "]")
                      for d, o in c["week"].items())
    open(f"{folder}/shop.yaml", "w").write(f"""
zone: Europe/Lisbon
hours: {{{hours}, closed: [{', '.join(c['closed'])}]}}
crew: {c['crew']}
two-person: 90 m
threading: {c['threading']} mm
tasks: {{wash: {c['wash']}}}
printers: [{{name: p, media-width: 1625, edge: 8, speed: {c['speed']} m2/h, setup: {c['setup']} min,
            unattended: {str(c['unattended']).lower()}}}]
films: [{{name: f, kind: cast, widths: [1370, 1520], length: {c['roll']} m{price('film', 'm2')}}}]
laminates: [{{name: l, kind: cast, widths: [1370, 1520], length: {c['roll']} m, bond: {c['bond']} h,
             trim-while-bonding: {str(c['while']).lower()}{price('laminate', 'm2')}}}]
inks: [{{name: i, technology: eco-solvent, price: 0.2, dry: {{least: {c['least']} h, most: 72 h}}}}]
conditions: [{{name: c, printer: p, film: f, laminate: l, ink: i}}]
rates: {{{rate('design', 'design')}{rate('print', 'print')}{rate('laminate', 'laminating')}{rate('install', 'install')}
        install-speed: {c['rate']} m2/h, laminate-speed: {c['lam']} m/min, waste: {c['waste']} %{', ' if c['profit'] else ''}{c['profit']}}}
""")
    surfaces = "\n".join(f"  - {{name: s{i}, size: [{w}, {h}], front: left, panels: upright, difficulty: "
                         f"{'hard' if c['hard'] else 'normal'}}}" for i, (w, h) in enumerate(c["surfaces"]))
    arrives = f"arrives: {c['arrives']:%Y-%m-%dT%H:%M}\n" if c["arrives"] else ""
    design = f"design: {c['design']} h\n" if c["design"] else ""
    open(f"{folder}/job.yaml", "w").write(f"""
job: D-1
start: {c['start']:%Y-%m-%dT%H:%M}
{arrives}{design}indoors: {{temperature: {c['celsius']}, humidity: {c['humidity']} %}}
drying: hung
old-film: {str(c['old']).lower()}
edge-seal: {str(c['seal']).lower()}
surfaces:
{surfaces}
""")


def planned(folder):
    done = subprocess.run([LAPSTRAKE, "plan", folder, "--json", "--quiet"], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        raise SystemExit(f"status {done.returncode}: {done.stderr}")
    return json.loads(done.stdout)


# ---- the second scheduler


def opening_marks(c, first):
    """A mark for every second from `first` (UTC seconds) on: is the shop open?"""
    marks = numpy.zeros(SPAN_S, bool)
    day = datetime.datetime.fromtimestamp(first, ZONE).date() - datetime.timedelta(days=2)
    while True:
        midnight = datetime.datetime.combine(day, datetime.time(), ZONE)
        if midnight.timestamp() > first + SPAN_S:
            return marks
        if day.isoformat() not in c["closed"]:
            for a, b in c["week"][DAYS[day.weekday()]]:
                wall = [(midnight + datetime.timedelta(days=m // 1440)).replace(hour=m // 60 % 24, minute=m % 60) for m in (a, b)]
                low, high = (max(0, min(SPAN_S, int(t.timestamp()) - first)) for t in wall)
                marks[low:high] = True
        day += datetime.timedelta(days=1)


class Calendar:
    def __init__(self, marks):
        self.open_at = numpy.flatnonzero(marks)

    def start(self, at):
        return int(self.open_at[numpy.searchsorted(self.open_at, at)])

    def work(self, at, seconds):
        k = int(numpy.searchsorted(self.open_at, at))
        return (int(self.open_at[k]), int(self.open_at[k + seconds - 1]) + 1) if seconds else (int(self.open_at[k]),) * 2


def up(seconds):
    return math.ceil(seconds - 1e-6)


def efforts(c, plan):
    room = 2 ** ((18 - c["celsius"]) / 10) if c["celsius"] < 18 else 1
    room *= 1 + (c["humidity"] - 65) / 20 if c["humidity"] > 65 else 1
    hard = 1.5 if c["hard"] else 1
    for surface, (width, height) in zip(plan["surfaces"], c["surfaces"]):
        panels = surface["panels"]
        area = [(p["print_mm"][2] - p["print_mm"][0]) * (p["print_mm"][3] - p["print_mm"][1]) / 1e6 for p in panels]
        film = sum(p["print_length_mm"] for p in panels)
        runs = len({p["roll_width_mm"] for p in panels})
        seen = width * height / 1e6
        prepare = up(seen * c["wash"] * 60 * hard) + (up(seen * 30 * 60 * hard) if c["old"] else 0)
        yield {"print": [up(runs * c["setup"] * 60), sum(up(a / c["speed"] * 3600) for a in area)],
               "dry": up(math.ceil(c["least"] * 3600 * room)),
               "laminate": up(runs * 1200 + (film + runs * c["threading"]) / 1000 / c["lam"] * 60), "bond": c["bond"] * 3600,
               "trim": up(sum(area) / 12 * 3600), "prepare": -(-prepare // c["crew"])}


def shorter(step, less):
    if isinstance(step, list):
        whole = max(0, sum(step) - less)
        return [min(step[0], whole), whole - min(step[0], whole)]
    return max(0, step - less)


def earliest(c, work, calendar, start, arrives, eased=(), enough=()):
    """First moment of installing. eased: (surface or None, step, seconds less)."""
    work = [dict(w) for w in work]
    for surface, step, less in eased:
        for i, w in enumerate(work):
            if surface in (None, i):
                w[step] = shorter(w[step], less)
    printer = laminator = table = start
    bonded, trimmed = [], []
    for w in work:
        at = start if "printer" in enough else printer
        setup, run = w["print"]
        if c["unattended"]:
            printed = calendar.work(at, setup)[1] + run
            hung = calendar.start(printed)
        else:
            printed = hung = calendar.work(at, setup + run)[1]
        dry = hung + w["dry"]
        laminated = calendar.work(dry if "laminator" in enough else max(dry, laminator), w["laminate"])[1]
        bond = laminated + w["bond"]
        trim_from = laminated if c["while"] else bond
        trim = calendar.work(trim_from if "table" in enough else max(trim_from, table), w["trim"])[1]
        printer, laminator, table = printed, laminated, trim
        bonded.append(bond)
        trimmed.append(trim)
    prepared = calendar.work(max(start, arrives), sum(w["prepare"] for w in work))[1]
    return calendar.start(max(max(bonded), trimmed[0], prepared))


def decided(c, work, marks, start, arrives):
    """The date and, of what moves it by a minute, the kinds with the largest gains, with these gains."""
    calendar = Calendar(marks)
    date = earliest(c, work, calendar, start, arrives)
    gains = []

    def judge(kind, little, whole):
        if little() < date:
            gains.append((date - whole(), kind))

    for step, kind in (("print", "print"), ("dry", "dry"), ("laminate", "laminate"), ("bond", "bond"), ("trim", "trim")):
        before = len(gains)
        for i in [*range(len(work)), None]:
            if i is not None or len(gains) == before:
                judge(kind, lambda: earliest(c, work, calendar, start, arrives, [(i, step, 60)]),
                      lambda: earliest(c, work, calendar, start, arrives, [(i, step, WHOLE)]))
    judge("install", lambda: earliest(c, work, calendar, start, arrives, [(None, "prepare", 60)]),
          lambda: earliest(c, work, calendar, start, arrives, [(None, "prepare", WHOLE)]))

    def opened(a, b):
        more = marks.copy()
        more[a:b] = True
        return earliest(c, work, Calendar(more), start, arrives)

    edges = numpy.flatnonzero(numpy.diff(marks[start:date].astype(numpy.int8), prepend=1, append=1))
    for a, b in zip(edges[::2] + start, edges[1::2] + start):
        if b < date:
            judge("closed", lambda: opened(max(a, b - 60), b), lambda: opened(a, b))
    for single in ("printer", "laminator", "table"):
        free = lambda: earliest(c, work, calendar, start, arrives, enough=(single,))
        judge("resource", free, free)
    here = lambda: earliest(c, work, calendar, start, 0)
    judge("arrival", here, here)
    if not gains:  # openings tie: every one begins earlier

        def sooner(seconds):
            more = marks.copy()
            for at in numpy.flatnonzero(numpy.diff(marks.astype(numpy.int8), prepend=1) == 1):
                more[max(0, at - seconds):at] = True
            return earliest(c, work, Calendar(more), start, arrives)

        judge("closed", lambda: sooner(60), lambda: sooner(43200))
    return date, gains


def check_dates(c, plan, name):
    first = int(datetime.datetime(2027, 2, 25, tzinfo=ZONE).timestamp())
    marks = opening_marks(c, first)
    start = int(c["start"].replace(tzinfo=ZONE).timestamp()) - first
    arrives = int(c["arrives"].replace(tzinfo=ZONE).timestamp()) - first if c["arrives"] else 0
    date, gains = decided(c, list(efforts(c, plan)), marks, start, arrives)
    told = int(datetime.datetime.fromisoformat(plan["earliest_install"]).timestamp()) - first
    hold(told <= date < told + 61, f"{name}: {plan['earliest_install']}, counted {datetime.datetime.fromtimestamp(first + date, ZONE)}")
    installs = [s["start"] for s in plan["schedule"] if s["step"] == "install"]
    hold(plan["earliest_install"] == min(installs), f"{name}: the first install step starts {min(installs)}")
    best = max((g for g, _ in gains), default=0)
    kinds = {kind for g, kind in gains if g >= best - 120}  # seconds up may order equals otherwise
    hold(plan["decided_by"] and (plan["decided_by"]["kind"] in kinds or not kinds), f"{name}: {plan['decided_by']}, counted {sorted(gains)[-3:]}")
    for step in plan["schedule"]:
        if step["step"] in ("dry", "bond") or (step["step"] == "print" and c["unattended"]):
            continue
        at = int(datetime.datetime.fromisoformat(step["start"]).timestamp()) - first
        hold(marks[at:at + 60].any(), f"{name}: {step['step']} starts {step['start']}, when the shop is closed")
    return plan["decided_by"] and plan["decided_by"]["kind"]


# ---- money


def cents(amount):
    return amount.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


def check_money(c, plan, name):
    price = {k: Decimal(v) if v else None for k, v in c["prices"].items()}
    price["ink"] = Decimal("0.2")
    lines, missing = {}, set()
    waste = 1 + Decimal(str(c["waste"])) / 100
    for line in plan["materials"]["lines"]:
        key = line["what"].split()[0]
        more = Decimal(1) if key == "ink" else waste
        amount = Decimal(str(line["amount"])) * (Decimal(str(line["width_mm"])) / 10 ** 6 if key != "ink" else 1)
        wanted = cents(amount * (price[key] or 0) * more)
        lines[key] = lines.get(key, 0) + wanted
        if price[key] is None:
            missing.add(f'{key} "{line["name"]}"')
        hold(abs(Decimal(str(line["cost"])) - wanted) <= Decimal("0.01"), f"{name}: {line}, counted {wanted}")
    length = sum(p["print_length_mm"] for s in plan["surfaces"] for p in s["panels"])
    runs = sum(len({p["roll_width_mm"] for p in s["panels"]}) for s in plan["surfaces"])
    for key in ("film", "laminate"):
        told = sum(line["amount"] for line in plan["materials"]["lines"] if line["what"] == key)
        hold(abs(told - length - runs * c["threading"]) < 0.1, f"{name}: {told} mm of {key}, counted {length + runs * c['threading']}")
    for line in plan["materials"]["buy"]:
        used = sum(m["amount"] for m in plan["materials"]["lines"] if (m["what"], m.get("width_mm")) == (line["what"], line["width_mm"]))
        hold(line["rolls"] >= math.ceil(used * float(waste) / line["length_mm"] - 1e-9), f"{name}: {line} for {used} mm")
        whole = cents(line["rolls"] * Decimal(str(line["width_mm"])) * Decimal(str(line["length_mm"])) / 10 ** 6 * (price[line["what"]] or 0))
        hold(Decimal(str(line["cost"])) == whole, f"{name}: {line}, counted {whole}")
    rate = {"printing": "print", "laminating": "laminating", "trimming": "laminating", "design": "design"}
    words = {"print": "an hour of printing", "laminating": "an hour of laminating", "design": "an hour of design",
             "install": "an hour of installing"}
    total = Decimal(0)
    for line in plan["cost"]["lines"]:
        cost = Decimal(str(line["cost"]))
        total += cost
        if "hours" in line:
            key = rate.get(line["what"], "install")
            wanted = cents(Decimal(round(line["hours"] * 3600)) / 3600 * (price[key] or 0))
            if price[key] is None:
                missing.add(words[key])
            hold(cost == wanted, f"{name}: {line}, counted {wanted}")
        elif line["what"] in lines:
            hold(abs(cost - lines[line["what"]]) <= Decimal("0.01"), f"{name}: {line}, counted {lines[line['what']]}")
        hold(("missing" in line) == (price[rate.get(line["what"], "install") if "hours" in line else line["what"]] is None),
             f"{name}: {line}: missing or not")
    hold(set(plan["cost"]["missing"]) == missing, f"{name}: missing {plan['cost']['missing']}, counted {missing}")
    codes = {f["code"]: f["text"] for f in plan["findings"]}
    hold(("price-missing" in codes) == bool(missing), f"{name}: price-missing")
    hold(total == Decimal(str(plan["cost"]["total"])), f"{name}: total {plan['cost']['total']}, counted {total}")
    percent = Decimal(c["profit"].split()[1]) / 100 if c["profit"] else Decimal(0)
    true_margin = "money: 2" in c["profit"]
    wanted = cents(total / (1 - percent) if true_margin else total * (1 + percent))
    hold(Decimal(str(plan["cost"]["price"])) == wanted, f"{name}: price {plan['cost']['price']}, counted {wanted}")
    meaning = c["profit"].startswith("margin") and not true_margin
    hold(("margin-meaning" in codes) == meaning, f"{name}: margin-meaning")
    if meaning:
        hold(str(wanted) in codes["margin-meaning"] and str(cents(total / (1 - percent))) in codes["margin-meaning"],
             f"{name}: {codes['margin-meaning']}")
    return c["profit"]


def main():
    seen = {}
    for case in range(CASES):
        c = random_case(random.Random(SEED * 1000 + case))
        with tempfile.TemporaryDirectory() as folder:
            write_job(folder, c)
            plan = planned(folder)
        if not plan["earliest_install"]:
            hold(False, f"case {case}: no date, {[f for f in plan['findings'] if f['severity'] == 'stop']}")
            continue
        kind = (check_dates if WHAT == "dates" else check_money)(c, plan, f"case {SEED * 1000 + case}")
        seen[kind] = seen.get(kind, 0) + 1
    print(f"{CASES} jobs: {seen}; {len(failures)} differ")
    sys.exit(bool(failures))


main()
