#!/usr/bin/python3
"""Quotes worked by hand to the cent, and the rules that hold for every quote.

    quotes.py LAPSTRAKE PROFILE CASE

Each case is a shop and a job of plain figures. What must come out stands beside it as worked with pencil and paper from
those figures and doc/quote.md: quantity x rate, each amount rounded once, half up. Every quote of every case is also
added up again in Python's decimal, which shares nothing with the program. Minor units: ISO 4217, list one.

Prints one line a fault; exit status 1 when there is one.
"""
import csv
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from decimal import ROUND_HALF_UP, Decimal

from parts import K, write_page

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
ENV = dict(os.environ, SOURCE_DATE_EPOCH="1800000000")  # Fri 15 Jan 2027, 08:00 UTC
DIGITS = {"EUR": 2, "USD": 2, "JPY": 0, "KWD": 3}
faults = []


def hold(true, words):
    if not true:
        faults.append(words)


def same(what, found, wanted):
    hold(found == wanted, f"{what}: {found!r}, worked by hand {wanted!r}")


def run(*arguments):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, env=ENV, timeout=120)


SHOP = """currency: %(currency)s
zone: Europe/Lisbon
hours: {mon-fri: 08:00-17:00}
printers: [{name: wide, media-width: 1625 mm, edge: 8 mm, speed: 12 m2/h, setup: 15 min}]
films: [{name: cast, kind: cast, widths: [1370], %(film)s durability: 7 y}]
laminates: [{name: gloss, kind: cast, widths: [1370], %(laminate)s durability: 5 y}]
inks: [{name: eco, technology: eco-solvent, %(ink)s durability: 4 y}]
conditions: [{name: usual, printer: wide, film: cast, laminate: gloss, ink: eco, ink-limit: 260 %%, profile: "%(profile)s"}]
threading: 1000 mm
seams: {panel-minutes: 6}
rates: {%(rates)s}
quote:
%(quote)s
"""
CHARGED = """  design: 65/h
  cleaning: 3/m2
  parts: 15/part
  removal: 14/m2
  film: 18/m2
  laminate: 9.50/m2
  ink: 4/m2
  print: 6/m2
  laminating: 2.50/m2
  trim: 1.20/m2
  install: {flat: 22/m2, shaped: 34/m2}
  finish: 40/vehicle
  travel: 0.85/km
"""
PRICED = dict(film="price: 9.80/m2,", laminate="price: 6.20/m2,", ink="price: 0.16/ml,")
SPEEDS = "install-speed: 2 m2/h, laminate-speed: 2 m/min"
NAMES = {"design", "measuring", "removal", "cleaning", "parts", "film", "laminate", "ink", "prints", "print",
         "laminating", "trim", "install", "finish", "travel", "other", "minimum"}


def shop(folder, quote, currency="EUR", rates=SPEEDS, prices=None):
    figures = dict(film="", laminate="", ink="", **{}) | (prices or {})
    open(f"{folder}/shop.yaml", "w").write(SHOP % dict(figures, currency=currency, rates=rates, quote=quote,
                                                       profile=PROFILE))


def job(folder, surfaces, more=""):
    open(f"{folder}/job.yaml", "w").write(
        "job: Q1\ntitle: A quote\nvehicle-type: van\ndrying: hung\n" + more + "\nsurfaces:\n" +
        "".join(f"  - {{{one}}}\n" for one in surfaces))


SIDES = ["name: left, size: [4000, 1500]", "name: right, size: [4000, 1500]"]  # 6.00 m2 each
ONE = ["name: left, size: [1000, 1000]"]  # 1.00 m2, one panel: print 1100 x 1100 mm with the bleed of 50 mm


def added_up(quote, name):
    """The sums again, from the lines as they stand."""
    digits = DIGITS[quote["currency"]]
    unit = Decimal(1).scaleb(-digits)

    def rounded(value):
        return value.quantize(unit, ROUND_HALF_UP)

    total = Decimal(0)
    for line in quote["lines"]:
        amount = rounded(Decimal(line["quantity"]) * Decimal(line["rate"]))
        hold(str(amount) == line["amount"], f"{name}: {line['id']}: {line['amount']}, is {amount}")
        hold(line["kind"] in NAMES, f"{name}: {line['id']}: kind {line['kind']}")
        hold(re.fullmatch(r"\d+\.\d\d", line["quantity"]), f"{name}: {line['id']}: quantity {line['quantity']}")
        total += amount
    before_minimum = sum(Decimal(line["amount"]) for line in quote["lines"] if line["kind"] != "minimum")
    discount = rounded(before_minimum * Decimal(quote["discount_percent"]) / 100)
    net = total - discount
    taxes = [rounded(net * Decimal(tax["percent"]) / 100) for tax in quote["tax"]]
    same(f"{name}: discount", quote["discount"], str(discount))
    same(f"{name}: net", quote["net"], str(net))
    same(f"{name}: taxes", [tax["amount"] for tax in quote["tax"]], [str(tax) for tax in taxes])
    same(f"{name}: gross", quote["gross"], str(net + sum(taxes)))


SHAPE = {"format": str, "job": str, "currency": str, "vehicles": int, "made": str, "valid_until": str, "valid_words": str,
         "finished": (str, type(None)), "estimated": bool, "lines": list, "discount": str, "discount_percent": str,
         "net": str, "tax": list, "gross": str, "deposit": str, "missing": list, "assumed": list,
         "not_included": list, "lasts": dict, "shop": dict, "before": (dict, type(None)), "changes": list}
LINE = {"id": str, "what": str, "kind": str, "quantity": str, "unit": str, "rate": str, "amount": str, "basis": str,
        "rate_basis": str, "cost": (str, type(None)), "left": (str, type(None))}


def shaped(quote, name):
    for key, kind in SHAPE.items():
        hold(key in quote and isinstance(quote[key], kind), f"{name}: {key} is {quote.get(key)!r}")
    for line in quote["lines"]:
        for key, kind in LINE.items():
            hold(key in line and isinstance(line[key], kind), f"{name}: {line.get('id')}: {key}")
    hold(re.fullmatch(r"\d{4}-\d\d-\d\d", quote["valid_until"]), f"{name}: valid until {quote['valid_until']}")


def quoted(folder, name, *options):
    done = run("quote", folder, "--json", *options)
    hold(done.returncode == 0, f"{name}: status {done.returncode}: {done.stderr}")
    quote = json.loads(done.stdout)
    same(f"{name}: file", json.load(open(f"{folder}/out/quote.json")), quote)
    shaped(quote, name)
    added_up(quote, name)
    if not options:
        one_price(folder, quote, name)
    return quote


def one_price(folder, quote, name):
    """The plan asks what the quote asks, and its hours of installing are the quote's."""
    plan = json.loads(run("plan", folder, "--json").stdout)
    rated = not [words for words in quote["missing"] if re.search("write `[a-z]+` under `quote`", words)]
    same(f"{name}: the plan's price is the quote's", plan["cost"]["quoted"], rated)
    if rated:
        same(f"{name}: the plan asks", Decimal(str(plan["cost"]["asked"])),
             Decimal(quote["net"]).quantize(Decimal("0.01"), ROUND_HALF_UP))
    installing = sum(line["hours"] for line in plan["cost"]["lines"] if line["what"] == "installing")
    by_hour = [line for line in quote["lines"] if line["kind"] == "install" and line["unit"] == "h"]
    if by_hour and not quote["estimated"] and quote["vehicles"] == 1:
        found = sum(float(line["quantity"]) for line in by_hour)
        hold(abs(found - installing) <= 0.005 * len(by_hour) + 5e-5, f"{name}: {found} h, planned {installing} h")


def worked(quote, name, lines, **sums):
    """`lines`: id -> (quantity, rate, amount) as worked by hand; all there are."""
    found = {line["id"]: (line["quantity"], line["rate"], line["amount"]) for line in quote["lines"]}
    for line in sorted(set(found) | set(lines)):
        same(f"{name}: {line}", found.get(line), lines.get(line))
    for key, value in sums.items():
        if key == "tax":
            same(f"{name}: tax", [tax["amount"] for tax in quote["tax"]], value)
        else:
            same(f"{name}: {key}", quote[key], value)


def charged_sides(vehicles):
    """12.00 m2 a vehicle by CHARGED, with design and travel once."""
    def each(rate):
        area = Decimal(12 * vehicles)
        return f"{area}.00", f"{Decimal(rate):.2f}", f"{area * Decimal(rate):.2f}"
    half = Decimal(6 * vehicles)
    install = (f"{half}.00", "22.00", f"{half * 22:.2f}")
    return {"design": ("4.00", "65.00", "260.00"), "cleaning": each("3"), "film/cast": each("18"),
            "laminate/gloss": each("9.5"), "ink/eco": each("4"), "print": each("6"), "laminating": each("2.5"),
            "trim": each("1.2"), "install/left": install, "install/right": install,
            "finish": (f"{vehicles}.00", "40.00", f"{40 * vehicles}.00"), "travel": ("84.00", "0.85", "71.40")}


def case_tax(folder):
    """1. Two flat sides, all charged, one tax, deposit.
    design 260.00; 12 m2 x (3 + 18 + 9.50 + 4 + 6 + 2.50 + 1.20 = 44.20) = 530.40; install 2 x 132.00; finish 40.00;
    travel 71.40: 1165.80. 19 % of it 221.502: 221.50. 1387.30; 30 % of that 416.19."""
    shop(folder, CHARGED + "  tax: 19 %\n  deposit: 30 %\n  valid: 14 d")
    job(folder, SIDES, "design: 4 h\nquote: {travel: 84}")
    quote = quoted(folder, "tax")
    worked(quote, "tax", charged_sides(1), net="1165.80", discount="0.00", tax=["221.50"], gross="1387.30",
           deposit="416.19", missing=[], valid_until="2027-01-29")
    same("tax: lasts", quote["lasts"]["upright"] | {"surface": ""},
         {"years": 4, "part": "ink", "name": "eco", "surface": ""})  # the least of 7, 5 and 4


def case_discount(folder):
    """2. Four vehicles, 5 % from three on, two taxes.
    once 260.00 + 71.40; each 530.40 + 264.00 + 40.00 = 834.40, four 3337.60: 3669.00. 5 % of it 183.45: 3485.55.
    5 % of that 174.2775: 174.28; 9.975 % 347.6836...: 347.68. 4007.51."""
    shop(folder, CHARGED + "  tax: [{name: state, percent: 5 %}, {name: county, percent: 9.975 %}]\n"
         "  discounts: [{from: 3, percent: 5 %}, {from: 10, percent: 8 %}]")
    job(folder, SIDES, "design: 4 h\nquote: {travel: 84}")
    quote = quoted(folder, "discount", "--vehicles", "4")
    worked(quote, "discount", charged_sides(4), discount="183.45", net="3485.55", tax=["174.28", "347.68"],
           gross="4007.51", vehicles=4)
    job(folder, SIDES, "design: 4 h\nvehicles: 4\nquote: {travel: 84}")  # as the job says
    same("discount: vehicles of the job", quoted(folder, "discount of the job")["gross"], "4007.51")
    # The next step: 331.40 + 10 x 834.40 = 8675.40; 8 % 694.032: 694.03
    quote = quoted(folder, "discount of ten", "--vehicles", "10")
    worked(quote, "discount of ten", charged_sides(10), discount="694.03", net="7981.37")


def case_minimum(folder):
    """3. A small panel under the minimum charge. 0.45 m2:
    1.35 + 8.10 + 4.275 (4.28) + 1.80 + 2.70 + 1.125 (1.13) + 0.54 + 9.90 + 40.00 = 69.80; to 250.00 lack 180.20.
    19 %: 47.50."""
    shop(folder, CHARGED + "  tax: 19 %\n  minimum: 250")
    job(folder, ["name: left, size: [900, 500]"], "design: 0 h")
    worked(quoted(folder, "minimum"), "minimum",
           {"cleaning": ("0.45", "3.00", "1.35"), "film/cast": ("0.45", "18.00", "8.10"),
            "laminate/gloss": ("0.45", "9.50", "4.28"), "ink/eco": ("0.45", "4.00", "1.80"),
            "print": ("0.45", "6.00", "2.70"), "laminating": ("0.45", "2.50", "1.13"),
            "trim": ("0.45", "1.20", "0.54"), "install/left": ("0.45", "22.00", "9.90"),
            "finish": ("1.00", "40.00", "40.00"), "minimum": ("1.00", "180.20", "180.20")},
           net="250.00", tax=["47.50"], gross="297.50")


def case_yen(folder):
    """4. A currency without a minor unit. 6.00 m2:
    12600 + 6900 + 2700 + 4800 + 333 x 6 = 1998 + 150.5 x 6 = 903 + 15600 + 2280 + 5000 + 2.5 x 6500 = 16250 and
    1.5 x 333 = 499.5: 500. Sum 69531; 10 % 6953.1: 6953. 76484."""
    shop(folder, "  design: 6500/h\n  cleaning: 380/m2\n  film: 2100/m2\n  laminate: 1150/m2\n  ink: 450/m2\n"
         "  print: 800/m2\n  laminating: 333/m2\n  trim: 150.5/m2\n  install: 2600/m2\n  finish: 5000/vehicle\n"
         "  tax: 10 %", currency="JPY")
    job(folder, SIDES[:1], "design: 150 min\nquote: {lines: [{what: Parking, quantity: 1.5, unit: h, rate: 333}]}")
    worked(quoted(folder, "yen"), "yen",
           {"design": ("2.50", "6500", "16250"), "cleaning": ("6.00", "380", "2280"),
            "film/cast": ("6.00", "2100", "12600"), "laminate/gloss": ("6.00", "1150", "6900"),
            "ink/eco": ("6.00", "450", "2700"), "print": ("6.00", "800", "4800"),
            "laminating": ("6.00", "333", "1998"), "trim": ("6.00", "150.5", "903"),
            "install/left": ("6.00", "2600", "15600"), "finish": ("1.00", "5000", "5000"),
            "other/Parking": ("1.50", "333", "500")},
           net="69531", tax=["6953"], gross="76484", discount="0", deposit="0")


def case_dinar(folder):
    """5. A currency with a minor unit of a thousandth. 6.00 m2:
    34.500 + 17.250 + 1.2345 x 6 = 7.407 + 11.400 + 4.800 + 0.3335 x 6 = 2.001 + 42.750 + 5.400 + 12.500 and
    3 x 0.0333 = 0.0999: 0.100. Sum 138.108; 5 % 6.9054: 6.905. 145.013."""
    shop(folder, "  cleaning: 0.9/m2\n  film: 5.75/m2\n  laminate: 2.875/m2\n  ink: 1.2345/m2\n  print: 1.9/m2\n"
         "  laminating: 0.8/m2\n  trim: 0.3335/m2\n  install: 7.125/m2\n  finish: 12.5/vehicle\n  tax: 5 %",
         currency="KWD")
    job(folder, SIDES[:1], "quote: {lines: [{what: Screws, quantity: 3, unit: piece, rate: 0.0333}]}")
    worked(quoted(folder, "dinar"), "dinar",
           {"cleaning": ("6.00", "0.900", "5.400"), "film/cast": ("6.00", "5.750", "34.500"),
            "laminate/gloss": ("6.00", "2.875", "17.250"), "ink/eco": ("6.00", "1.2345", "7.407"),
            "print": ("6.00", "1.900", "11.400"), "laminating": ("6.00", "0.800", "4.800"),
            "trim": ("6.00", "0.3335", "2.001"), "install/left": ("6.00", "7.125", "42.750"),
            "finish": ("1.00", "12.500", "12.500"), "other/Screws": ("3.00", "0.0333", "0.100")},
           net="138.108", tax=["6.905"], gross="145.013")


def case_missing(folder):
    """6. What nobody priced is named, and in no sum: 6.00 m2 of film, 18.00: 108.00, cleaning 18.00."""
    shop(folder, "  design: 65/h\n  cleaning: 3/m2\n  film: 18/m2\n  ink: included")
    job(folder, SIDES[:1], "quote: {travel: 10}")
    quote = quoted(folder, "missing")
    worked(quote, "missing", {"cleaning": ("6.00", "3.00", "18.00"), "film/cast": ("6.00", "18.00", "108.00"),
                              "ink/eco": (quote["lines"][2]["quantity"], "0.00", "0.00")},
           net="126.00", tax=[], gross="126.00")
    hold(quote["lines"][2].get("included") is True, "missing: ink is not said to be included")
    said = "\n".join(quote["missing"])
    for words in ("Design: ", "Laminate gloss, ", "Print, ", "Laminate the prints, ", "Trim panels, ",
                  "Install film, left, ", "Finish: heat, seal edges, next-day check, ", "Travel, 10.00 km: ", "Tax: "):
        hold(said.count(words) == 1, f"missing: {words!r} is named {said.count(words)} times")
    same("missing: how many", len(quote["missing"]), 9)
    words = run("quote", folder).stdout
    same("missing: words", words.count("MISSING"), 9)


def case_covered(folder):
    """7. A share of a difficult surface with old film.
    6.00 m2, 60 % covered: 3.60 m2. Removal of film of 8 years: 100 + (8 - 3) x 10 = 150 %: 14 x 1.5 = 21.00.
    Difficulty: recess 0.54 m2 counts twice, a hinge as 0.1 m2: (6 + 0.54 + 0.1) / 6 = 110.667 %, hard 150 %: 166 %;
    34 x 1.66 = 56.44. Two handles come off. 20 %:
    126.00 + 18.00 + 30.00 + 64.80 + 34.20 + 14.40 + 21.60 + 9.00 + 4.32 + 203.184 (203.18) + 40.00 = 565.50; 113.10."""
    shop(folder, CHARGED + "  tax: 20 %")
    job(folder, ["name: left, size: [4000, 1500], covered: 60 %, old-film: true, old-film-age: 8 y, difficulty: hard, "
                 "features: [{kind: recess, box: [500, 300, 1000, 540], depth: 5 mm}, "
                 "{kind: hinge, box: [3000, 600, 60, 100]}, {kind: handle, box: [2500, 900, 200, 80]}, "
                 "{kind: handle, box: [3500, 900, 200, 80]}]"], "design: 0 h")
    quote = quoted(folder, "covered")
    worked(quote, "covered",
           {"removal/left": ("6.00", "21.00", "126.00"), "cleaning": ("6.00", "3.00", "18.00"),
            "parts": ("2.00", "15.00", "30.00"), "film/cast": ("3.60", "18.00", "64.80"),
            "laminate/gloss": ("3.60", "9.50", "34.20"), "ink/eco": ("3.60", "4.00", "14.40"),
            "print": ("3.60", "6.00", "21.60"), "laminating": ("3.60", "2.50", "9.00"),
            "trim": ("3.60", "1.20", "4.32"), "install/left": ("3.60", "56.44", "203.18"),
            "finish": ("1.00", "40.00", "40.00")}, net="565.50", tax=["113.10"], gross="678.60", estimated=True)


COSTED = {"cleaning": ("0.07", "49.40", "3.46"), "film/cast": ("3.19", "12.74", "40.64"),
          "laminate/gloss": ("3.19", "8.06", "25.71"), "ink/eco": ("19.36", "0.208", "4.03"),
          "print": ("0.35", "39.00", "13.65"), "laminating": ("0.35", "36.40", "12.74"),
          "trim": ("0.10", "36.40", "3.64"), "install/left": ("0.60", "49.40", "29.64"),
          "finish": ("0.33", "49.40", "16.30")}
RATES = "print: 30, laminate: 28, install: 38, waste: 5 %, " + SPEEDS


def case_mark_up(folder):
    """8. Nothing charged: cost with a mark-up of 30 %. One panel of 1100 x 1100 mm.
    cleaning 1 m2 x 4 min = 0.07 h; film and laminate (1100 + 120 of ends + 1000 of threading) x 1370 mm + 5 % = 3.19 m2;
    ink 1.21 m2 x 200 % x 8 ml = 19.36 ml; print 15 min + 1.21 m2 at 12 m2/h = 0.35 h; laminating 20 min + 2.22 m at
    2 m/min = 0.35 h; trim 1.21 m2 at 12 m2/h = 0.10 h; install 1 m2 at 2 m2/h + 6 min = 0.60 h; check 20 min = 0.33 h.
    Rates 38, 9.80, 6.20, 0.16, 30, 28 x 1.3. Sum 149.81; 21 % 31.4601: 31.46. 181.27.
    Cost 2.66 + 31.26 + 19.78 + 3.10 + 10.50 + 9.80 + 2.80 + 22.80 + 12.54 = 115.24; 34.57 is left."""
    shop(folder, "  tax: 21 %", rates=RATES + ", mark-up: 30 %", prices=PRICED)
    job(folder, ONE)
    quote = quoted(folder, "mark-up")
    worked(quote, "mark-up", COSTED, net="149.81", tax=["31.46"], gross="181.27", missing=[])
    same("mark-up: shop", quote["shop"], {"cost": "115.24", "left": "34.57", "lines_without_cost": 0})
    told_apart(folder, quote)


def told_apart(folder, quote):
    """The customer's file has the prices and none of the costs; CSV has both."""
    words = subprocess.run(["pdftotext", "-layout", f"{folder}/out/quote.pdf", "-"], capture_output=True, text=True,
                           check=True).stdout.replace("\u202f", "").replace("\u00a0", " ")
    for line in quote["lines"]:
        hold(line["amount"] in words, f"customer: {line['amount']} is not there")
        hold(line["cost"] == line["amount"] or not re.search(rf"(?<![\d.]){re.escape(line['cost'])}(?![\d.])", words),
             f"customer: the cost {line['cost']} of {line['id']} is there")
    for shown in (quote["net"], quote["gross"], "Not included", "How long it lasts", "Care", "Signature", "14 Feb 2027"):
        hold(shown in words, f"customer: {shown!r} is not there")
    hold("mark-up" not in words and quote["shop"]["cost"] not in words, "customer: mark-up or cost is there")
    own = subprocess.run(["pdftotext", "-layout", f"{folder}/out/quote-shop.pdf", "-"], capture_output=True, text=True,
                         check=True).stdout.replace("\u202f", "").replace("\u00a0", " ")
    for line in quote["lines"]:
        for figure in (line["amount"], line["cost"], line["left"]):
            hold(re.search(rf"(?<![\d.]){re.escape(figure)}(?![\d.])", own), f"shop: {figure} of {line['id']} is not there")
    for shown in (quote["net"], quote["gross"], quote["shop"]["cost"], quote["shop"]["left"], "mark-up"):
        hold(shown in own, f"shop: {shown!r} is not there")
    rows = list(csv.DictReader(io.StringIO(run("quote", folder, "--csv").stdout)))
    same("csv", [(r["kind"], r["quantity"], r["rate"], r["amount"], r["cost"]) for r in rows[:len(quote["lines"])]],
         [(l["kind"], l["quantity"], l["rate"], l["amount"], l["cost"]) for l in quote["lines"]])
    same("csv: gross", [r["amount"] for r in rows if r["kind"] == "gross"], [quote["gross"]])


def case_margin(folder):
    """9. A margin of 25 % of the price, three vehicles, a discount, and still under the minimum.
    38 / 0.75 = 50.6667. Install 3 x 0.60 h = 1.80: 91.20006: 91.20; cleaning 3 x 240 s = 0.20 h: 10.13.
    101.33 less 5 % (5.0665: 5.07) = 96.26; to 400.00 lack 303.74. 7.7 %: 30.80. Deposit 50 % of 430.80: 215.40."""
    shop(folder, "".join(f"  {kind}: included\n" for kind in
                         ("film", "laminate", "ink", "print", "laminating", "trim", "finish")) +
         "  tax: 7.7 %\n  minimum: 400.00\n  deposit: 50 %\n  discounts: [{from: 3, percent: 5 %}]",
         rates="install: 38, money: 2, margin: 25 %, " + SPEEDS)
    job(folder, ONE)
    quote = quoted(folder, "margin", "--vehicles", "3")
    free = {line["id"]: (line["quantity"], line["rate"], line["amount"]) for line in quote["lines"]
            if line.get("included")}
    same("margin: included", {amount for _, _, amount in free.values()}, {"0.00"})
    worked(quote, "margin", free | {"cleaning": ("0.20", "50.6667", "10.13"),
                                    "install/left": ("1.80", "50.6667", "91.20"),
                                    "minimum": ("1.00", "303.74", "303.74")},
           discount="5.07", net="400.00", tax=["30.80"], gross="430.80", deposit="215.40", missing=[])


def case_artwork(folder):
    """10. The mark-up's job with half of it covered, then with artwork: 40 % of cyan everywhere.
    Before: half of film and laminate 3.193... / 2 = 1.60 m2, ink 9.68 ml, print 0.18 h (1263 s / 2), laminating 0.18 h
    (1267 s / 2), trim 0.05 h, install 0.30 h. 20.38 + 12.90 + 2.01 + 7.02 + 6.55 + 1.82 + 14.82, with cleaning 3.46 and
    finish 16.30: 85.26. With the artwork as in 8, but ink 1.21 m2 x 40 % x 8 ml = 3.87 ml: 0.80 for 4.03: 146.58."""
    shop(folder, "  tax: 21 %", rates=RATES + ", mark-up: 30 %", prices=PRICED)
    job(folder, [ONE[0] + ", covered: 50 %"])
    first = quoted(folder, "before artwork")
    worked(first, "before artwork",
           COSTED | {"film/cast": ("1.60", "12.74", "20.38"), "laminate/gloss": ("1.60", "8.06", "12.90"),
                     "ink/eco": ("9.68", "0.208", "2.01"), "print": ("0.18", "39.00", "7.02"),
                     "laminating": ("0.18", "36.40", "6.55"), "trim": ("0.05", "36.40", "1.82"),
                     "install/left": ("0.30", "49.40", "14.82")}, net="85.26", estimated=True, before=None, changes=[])
    first_bytes = open(f"{folder}/out/quote.json").read()
    quoted(folder, "before artwork, again")
    same("before artwork: again", open(f"{folder}/out/quote.json").read(), first_bytes)
    hold(not os.path.exists(f"{folder}/out/quote-1.json"), "a quote that says the same was kept")
    flat_artwork(f"{folder}/left.pdf")
    job(folder, [ONE[0] + ", covered: 50 %, artwork: [{file: left.pdf, at: [-50, -50]}]"])
    second = quoted(folder, "with artwork")
    worked(second, "with artwork", COSTED | {"ink/eco": ("3.87", "0.208", "0.80")}, net="146.58", estimated=False)
    same("kept", open(f"{folder}/out/quote-1.json").read(), first_bytes)
    compared(first, second)
    same("with artwork, again: changes", quoted(folder, "with artwork, again")["changes"], second["changes"])
    words = run("quote", folder).stdout
    hold("Against quote-1.json: 146.58 EUR without tax, before 85.26." in words, "words: the difference is not told")


def flat_artwork(path):
    """1100 x 1100 mm of 40 % cyan."""
    write_page(path, 1100, 1100, f"0.4 0 0 0 k 0 0 {1100 * K:.3f} {1100 * K:.3f} re f")


def compared(first, second):
    """Every line that differs, both amounts, a reason; and the lines' differences are the net's."""
    same("before", second["before"], {"file": "quote-1.json", "net": first["net"], "gross": first["gross"]})
    before = {line["what"]: line["amount"] for line in first["lines"]}
    now = {line["what"]: line["amount"] for line in second["lines"]}
    told = {change["what"]: change for change in second["changes"]}
    for what in before.keys() | now.keys():
        if before.get(what) == now.get(what):
            hold(what not in told, f"{what} is told and did not change")
        else:
            same(f"{what}: told", (told[what]["before"], told[what]["now"]), (before.get(what), now.get(what)))
            hold("the artwork is there now" in told[what]["why"], f"{what}: why is {told[what]['why']!r}")
    lines = [told[what] for what in told if what in before or what in now]
    difference = sum(Decimal(c["now"] or 0) - Decimal(c["before"] or 0) for c in lines)
    same("difference", difference, Decimal(second["net"]) - Decimal(first["net"]))


def case_changed(folder):
    """Other rates, vehicles and lines: new, gone and changed ones are told with why."""
    shop(folder, CHARGED + "  tax: 19 %")
    job(folder, SIDES, "design: 4 h\nquote: {travel: 84}")
    quoted(folder, "first")
    shop(folder, CHARGED.replace("film: 18/m2", "film: 20/m2") + "  tax: 20 %\n  discounts: [{from: 2, percent: 3 %}]")
    job(folder, SIDES, "design: 4 h\nquote: {lines: [{what: Crane, rate: 50}]}")
    quote = quoted(folder, "second", "--vehicles", "2")
    why = {change["what"]: change["why"] for change in quote["changes"]}
    for what, words in {"Film cast": "rate 20.00, before 18.00", "Crane": "new: ", "Travel": "no longer part",
                        "Discount": "3 %, before 0 %", "Tax": "20 %, before 19 %",
                        "Trim panels": "24.00 m2, before 12.00 m2"}.items():
        hold(words in why.get(what, ""), f"changed: {what}: {why.get(what)!r}")
    hold("Design" not in why, "changed: design did not change")
    open(f"{folder}/out/quote.json", "w").write("{}")
    same("a foreign quote.json", quoted(folder, "third", "--vehicles", "2")["before"], None)
    same("is kept", open(f"{folder}/out/quote-2.json").read(), "{}")


def case_bare(folder):
    """A vehicle and nothing else: a price and a date. Two vehicles are finished later than one."""
    shop(folder, "  tax: 21 %", rates=RATES + ", mark-up: 30 %", prices=PRICED)
    open(f"{folder}/vehicle.yaml", "w").write("name: Box van\ntype: box\nsurfaces:\n" +
                                              "".join(f"  - {{{one}}}\n" for one in SIDES))
    open(f"{folder}/job.yaml", "w").write("job: Q1\ndrying: hung\n")
    quote = quoted(folder, "bare")
    hold(Decimal(quote["net"]) > 0 and not quote["missing"], f"bare: {quote['net']}, missing {quote['missing']}")
    more = quoted(folder, "bare, 30", "--vehicles", "30")
    hold(quote["finished"] and more["finished"] > quote["finished"], f"bare: {quote['finished']}, {more['finished']}")
    same("bare: install of 30", Decimal(more["lines"][-2]["quantity"]) > 25 * Decimal(quote["lines"][-2]["quantity"]),
         True)


MISTAKES = [  # quote: lines of the shop file from line 13 on; place; what is said
    ("  install: 22", "shop.yaml:13:12", "a price such as 48/h or 25/m2"),
    ("  install: {flat: 22/m2, sloping: 30/m2}", "shop.yaml:13:26", "flat, shaped, lying or glass"),
    ("  film: 18/h", "shop.yaml:13:9", "a price such as 18/m2"),
    ("  film: cheap", "shop.yaml:13:9", "a price such as 18/m2"),
    ("  film: -3/m2", "shop.yaml:13:9", "a price such as 18/m2"),
    ("  film: 18.1234567/m2", "shop.yaml:13:9", "a price such as 18/m2"),
    ("  film: 2000000/m2", "shop.yaml:13:9", "from 0 to 1000000"),
    ("  tax: 190 %", "shop.yaml:13:8", "100 %"),
    ("  tax: 0.19", "shop.yaml:13:8", "19"),
    ("  minimum: much", "shop.yaml:13:12", "an amount of money such as 250.00"),
    ("  minimum: 250/m2", "shop.yaml:13:12", "an amount of money such as 250.00"),
    ("  discounts: [{from: 3, percent: 5 %}, {from: 2, percent: 8 %}]", "shop.yaml:13:40", "in order"),
    ("  discounts: [{from: 3, percent: 5 %}, {from: 5, percent: 4 %}]", "shop.yaml:13:40", "larger percentage"),
    ("  discounts: [{percent: 5 %}]", "shop.yaml:13:15", "from"),
    ("  discounts: [{from: 1, percent: 5 %}]", "shop.yaml:13:22", "2 to 500"),
    ("  valid: 30", "shop.yaml:13:10", "a duration with its unit"),
    ("  valid: 900 d", "shop.yaml:13:10", "out of range"),
    ("  letterhead: Example", "shop.yaml:13:15", "a list of at most 12 texts"),
    ("  care: [" + ", ".join("a b" for _ in range(13)) + "]", "shop.yaml:13:9", "13 entries"),
    ("  instal: 22/m2", "shop.yaml:13:3", "install"),
]


def case_mistakes(folder):
    for written, place, words in MISTAKES:
        shop(folder, written)
        job(folder, ONE)
        done = run("quote", folder)
        same(f"{written.strip()}: status", done.returncode, 2)
        hold(f"{place}: " in done.stderr and words in done.stderr, f"{written.strip()}: {done.stderr.strip()!r}")
        hold(not os.path.exists(f"{folder}/out/quote.json"), f"{written.strip()}: a quote was written")
    shop(folder, CHARGED)
    for written, words in (("covered: 0 %", "1 % to 100 %"), ("old-film-age: 90 y", "0 y to 40 y")):
        job(folder, [f"{ONE[0]}, {written}"])
        done = run("quote", folder)
        hold(done.returncode == 2 and "job.yaml:" in done.stderr, f"{written}: {done.stderr.strip()!r}")
    job(folder, ONE, "quote: {lines: [{what: Crane, quantity: 2}]}")
    done = run("quote", folder)
    hold(done.returncode == 2 and "rate" in done.stderr, f"line without a rate: {done.stderr.strip()!r}")
    same("--vehicles 501", run("quote", folder, "--vehicles", "501").returncode, 2)


def case_large(folder):
    """A line of 10^6 x 10^6 is 10^12 EUR: within 10^13; eleven of them are not, and nothing is written."""
    shop(folder, CHARGED + "  tax: 19 %")
    lines = ", ".join(f"{{what: Gold {i}, quantity: 1000000, rate: 1000000}}" for i in range(11))
    job(folder, ONE, f"design: 0 h\nquote: {{lines: [{lines}]}}")
    done = run("quote", folder)
    same("large: status", done.returncode, 2)
    hold("is over 10000000000000.00 EUR" in done.stderr, f"large: {done.stderr.strip()!r}")
    hold(not os.path.exists(f"{folder}/out/quote.pdf"), "large: a quote was written")
    job(folder, ONE, "design: 0 h\nquote: {lines: [{what: Gold, quantity: 999999.99, rate: 999999.999999}]}")
    quote = quoted(folder, "large")
    same("large: amount", [l["amount"] for l in quote["lines"] if l["kind"] == "other"],
         [str((Decimal("999999.99") * Decimal("999999.999999")).quantize(Decimal("0.01"), ROUND_HALF_UP))])


def main():
    folder = tempfile.mkdtemp(prefix="quotes-")
    try:
        globals()[f"case_{CASE}"](folder)
    finally:
        shutil.rmtree(folder)
    print("\n".join(faults))
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
