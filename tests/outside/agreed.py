#!/usr/bin/python3
"""What the customer and the shop agree on, as a reader of its papers sees it: quotes, proofs, reprints.

    agreed.py LAPSTRAKE PROFILE DEMO CASE

Pages are read by poppler (pdftotext), sums are worked in Python's decimal. Prints one line a fault; exit status 1 when
there is one.
"""
import json
import os
import re
import shutil
import subprocess
import sys
from decimal import ROUND_HALF_UP, Decimal

from parts import K, Checks, run_case, write_page

LAPSTRAKE, PROFILE, DEMO, CASE = *(os.path.abspath(a) for a in sys.argv[1:4]), sys.argv[4]
CHECKS = Checks(LAPSTRAKE)
faults, hold = CHECKS.faults, CHECKS.hold
SHOP = f"""currency: CHF
zone: Europe/Zurich
hours: {{mon-thu: [07:30-12:00, 13:00-16:30], fri: 07:30-12:00}}
printers: [{{name: roll-1, media-width: 1640, edge: 5, max-length: 25 m, speed: 9 m2/h, setup: 18 min}}]
films:
  - {{name: cast-a, kind: cast, widths: [1220, 1525], length: 45 m, price: 11.35 per m2, stretch-limit: 20 %, durability: 8 y}}
  - {{name: mono-b, kind: calendered, widths: [1370], length: 50 m, price: 5.15 per m2, stretch-limit: 4 %, durability: 5 y}}
laminates:
  - {{name: lam-a, kind: cast, widths: [1240, 1540], length: 45 m, price: 8.25 per m2, stretch-limit: 20 %, durability: 7 y}}
  - {{name: lam-b, kind: calendered, widths: [1380], length: 50 m, price: 3.95 per m2, stretch-limit: 4 %, durability: 4 y}}
inks: [{{name: ink4, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [7, 7.5, 8, 9], price: 0.21 per ml}}]
conditions:
  - {{name: wrap, printer: roll-1, film: cast-a, laminate: lam-a, ink: ink4, profile: {PROFILE}, ink-limit: 300 %}}
  - {{name: flat, printer: roll-1, film: mono-b, laminate: lam-b, ink: ink4, profile: {PROFILE}, ink-limit: 300 %}}
rates: {{design: 71, print: 39.50, laminate: 33, install: 57.50, install-speed: 1.9 m2/h, margin: 35 %, waste: 7 %, money: 2}}
quote:
  design: 98.50/h
  measuring: 85/job
  removal: 31.25/m2
  parts: 17.35/part
  film: 24.90/m2
  print: 62/h
  install: {{flat: 29.35/m2, shaped: 43.85/m2}}
  finish: 37.77/vehicle
  travel: 0.93/km
  minimum: 675.50
  discounts: [{{from: 2, percent: 2.5 %}}, {{from: 4, percent: 6 %}}]
  tax: [{{name: federal, percent: 8.1 %}}, {{name: local, percent: 0.7 %}}]
  valid: 21 d
  deposit: 40 %
"""
JOB = """job: TH-3
title: Van in two films
shop: ../shop.yaml
vehicle-type: van
drying: hung
design: 3 h 20 min
print: {condition: wrap, bleed: 40 mm}
quote:
  travel: 86
  lines: [{what: Scaffold, quantity: 2.5, unit: h, rate: 41.10}]
surfaces:
"""
SURFACES = {"left": (3140, 1410, "covered: 65 %, features: [{kind: handle, box: [900, 640, 180, 60]}, "
                                 "{kind: recess, box: [1500, 300, 800, 300], depth: 9, wall: 45 deg}]"),
            "right": (3140, 1410, "covered: 65 %, features: [{kind: handle, box: [2000, 640, 180, 60]}]"),
            "rear": (1480, 1390, "covered: 40 %, condition: flat, old-film: true, old-film-age: 6")}
FONT = b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>"  # one of the standard 14 (ISO 32000-1, 9.6.2.2)
INKS = {"left": "0.9 0.4 0 0.1", "right": "0.9 0.4 0 0.1", "rear": "0 0.9 0.8 0"}


def cents(amount):
    return amount.quantize(Decimal("0.01"), ROUND_HALF_UP)


def shop(folder, text=SHOP):
    os.makedirs(f"{folder}/van", exist_ok=True)
    open(f"{folder}/shop.yaml", "w").write(text)


def job(folder, drawn, names=SURFACES):
    """The van: its surfaces, with artwork of one ink mix and a yellow box when `drawn`."""
    text = JOB
    for name in names:
        width, height, keys = SURFACES[name]
        if drawn:
            wide, high = (width + 80) / 10, (height + 80) / 10
            write_page(f"{folder}/van/{name}.pdf", wide, high,
                       f"{INKS[name]} k 0 0 {wide * K:.3f} {high * K:.3f} re f 0 0.1 0.9 0 k 100 60 200 120 re f "
                       f"BT /F1 24 Tf 0 0 0 1 k 40 {high * K * 0.6:.1f} Td (MADE-UP BREAD) Tj ET",
                       page="/Resources<</Font<</F1 5 0 R>>>>", objects=[FONT])
            keys += f", artwork: [{{file: {name}.pdf, scale: 10}}]"
        text += f"  - {{name: {name}, size: [{width}, {height}], {keys}}}\n"
    open(f"{folder}/van/job.yaml", "w").write(text)


def pages(path):
    """The words of each page, figures with plain spaces."""
    words = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    return words.replace("\u202f", "").replace("\u00a0", " ").split("\f")[:-1]


def quoted(folder, *options):
    CHECKS.run("quote", f"{folder}/van", *options)
    return json.load(open(f"{folder}/van/out/quote.json"))


def adds_up(quote, name):
    """Lines are quantity x rate, sums are those of doc/quote.md, each rounded once, half up."""
    lines = [Decimal(line["amount"]) for line in quote["lines"]]
    for line, amount in zip(quote["lines"], lines):
        hold(cents(Decimal(line["quantity"]) * Decimal(line["rate"])) == amount, f"{name}: {line['id']}")
    discount = cents(sum(lines) * Decimal(quote["discount_percent"]) / 100)
    taxes = [cents((sum(lines) - discount) * Decimal(tax["percent"]) / 100) for tax in quote["tax"]]
    hold([discount, sum(lines) - discount, taxes, sum(lines) - discount + sum(taxes)] ==
         [Decimal(quote["discount"]), Decimal(quote["net"]), [Decimal(t["amount"]) for t in quote["tax"]],
          Decimal(quote["gross"])], f"{name}: the sums are others")


def differences_add_up(before, now, name):
    """Each line and the discount: their differences are the net's, with the discount's own sign."""
    sums = {"Total without tax": "net", "Tax": None, "Total with tax": "gross"}
    told = [c for c in now["changes"] if c["what"] not in sums]
    for change in now["changes"]:
        worked = Decimal(change["now"] or 0) - Decimal(change["before"] or 0)
        hold(change.get("difference") == str(worked), f"{name}: {change['what']}: {change.get('difference')}, worked {worked}")
    whole = Decimal(now["net"]) - Decimal(before["net"])
    found = sum(Decimal(c.get("difference", 0)) for c in told)
    hold(found == whole, f"{name}: the differences are {found} in all, the net sum differs by {whole}")


def quote_papers(folder):
    """Before artwork, with it, and for four vehicles; on paper the sums and the room to sign stay with what they belong to."""
    shop(folder)
    job(folder, False)
    quotes = [quoted(folder)]
    job(folder, True)
    quotes += [quoted(folder), quoted(folder, "--vehicles", "4")]
    for quote, name in zip(quotes, ("before", "drawn", "four")):
        adds_up(quote, name)
    for before, now, name in zip(quotes, quotes[1:], ("drawn", "four")):
        differences_add_up(before, now, name)
    customer, own = pages(f"{folder}/van/out/quote.pdf"), pages(f"{folder}/van/out/quote-shop.pdf")
    # 2 handles on each of 4 vans; a count is not written 8.00, and nothing follows "4 alike" when the van has no name
    for words in (r"\b8 parts\b", r"\b1 job\b", r"\b4 vehicles\b", r"\b4 alike\n"):
        hold(re.search(words, "".join(customer)), f"customer: {words} is not there")
    hold(not re.search(r"\d\.00 (part|job|vehicle)", "".join(customer + own)), "a count has decimals")
    signed = [page for page in customer if "Signature" in page]
    hold(len(signed) == 1 and "Care" in signed[0] and "Not included" in signed[0], "the room to sign stands alone")
    for name, book in (("customer", customer), ("shop", own)):
        sums = [page for page in book if re.search("Total without tax .*5|Deposit with the order", page)]
        page = next(p for p in book if "Deposit with the order" in p)
        hold(all(words in page for words in ("Scaffold", "Total without tax", "federal", "local", "Total with tax"))
             or name == "customer" and len(sums) == 1, f"{name}: the sums stand on several pages")
    hold("covered of" not in "".join(own).split("Changed since")[0], "the whole is said to be covered of itself")


def demo_quote(folder):
    """The demo job, its artwork still to come: every price is known."""
    shutil.copytree(DEMO, f"{folder}/van", ignore=shutil.ignore_patterns("out", "art", "profiles"))
    text = open(f"{folder}/van/job.yaml").read()
    text = re.sub(r"    artwork:\n((      .*)\n)+", "    artwork-follows: true\n", text)
    open(f"{folder}/van/job.yaml", "w").write(text)
    CHECKS.run("quote", f"{folder}/van")
    quote = json.load(open(f"{folder}/van/out/quote.json"))
    hold(quote["missing"] == [] and Decimal(quote["gross"]) > 0, f"missing: {quote['missing']}")
    hold("NOT COMPLETE" not in "".join(pages(f"{folder}/van/out/quote.pdf")), "the demo's quote is stamped")
    adds_up(quote, "demo")


def margin_words(folder):
    """`margin` without `money: 2`: the price is the quote's, so the cost with the margin is not called the price."""
    shop(folder, SHOP.replace(", money: 2", ""))
    job(folder, False)
    quote = quoted(folder)
    found = json.loads(CHECKS.run("check", f"{folder}/van", "--json").stdout)["findings"]
    meaning = [f["text"] for f in found if f["code"] == "margin-meaning"]
    hold(len(meaning) == 1 and "price" not in meaning[0], f"{meaning}")
    hold(quote["net"] not in meaning[0].replace("\u202f", ""), "the quote's sum is cost with margin, so this says nothing")


def proof_pages(folder):
    """What is to be checked stands whole on a page: the colours with their heading, the lettering with its own."""
    shop(folder)
    job(folder, True)
    CHECKS.run("proof", f"{folder}/van")
    book = pages(f"{folder}/van/out/proof.pdf")
    hold(len(book) == 1 + len(SURFACES), f"{len(book)} pages for {len(SURFACES)} surfaces with three colours each")
    for page, name in zip(book[1:], SURFACES):
        mix = " ".join(f"{ink} {float(part) * 100:.0f}" for ink, part in zip("CMYK", INKS[name].split()))
        flat = re.sub(" +", " ", page)
        hold(page.startswith("TH-3") and f"\n{name}, " in page, f"{name}: is not on its page")
        hold("Colours to check" in page and "Ink in percent" in page and mix in flat, f"{name}: {mix} is not with its heading")
        hold("Lettering: check the spelling" in page and "MADE-UP BREAD" in page, f"{name}: the lettering is not there")


def spare_rolls(folder):
    """Two torn panels do not go on one off-cut that is long enough for one: 1410 mm and 2 x 40 mm of bleed, with label
    strips of 60 mm at both ends (doc/rolls.md), is 1.61 m; the off-cuts have 1.8 and 2.0 m."""
    shop(folder)
    job(folder, True, ["left"])
    van = f"{folder}/van"
    CHECKS.run("record", "plan", van)
    for length in ("45 m", "1.8 m", "2 m"):
        CHECKS.run("record", "add", folder, "roll-in", "--what", "film", "--of", "cast-a", "--batch", "B7", "--width", "1220", "--length", length)
    CHECKS.run("record", "add", van, "printed", "--panels", "left-1,left-2,left-3", "--roll", "R1", "--who", "P")

    def told(panel, *options):
        done = CHECKS.run("reprint", van, f"left/{panel}", "--reason", "torn", "--who", "A", "--json", *options)
        answer = json.loads(done.stdout)
        hold(answer["material"]["film_mm"] == 1410 + 2 * 40 + 2 * 60, f"{panel}: {answer['material']['film_mm']} mm of film")
        return answer["material"]["roll"]["name"], answer["entry"] is not None
    hold(told("left-1") == ("R2", True), "left-1 is not on the shortest off-cut")
    hold(told("left-2") == ("R3", True), "left-2 is told to go where left-1 goes")
    again = CHECKS.run("reprint", van, "left/left-1", "--reason", "scratched", says="is to be printed again already").stdout
    hold("Print it on R2 " in again, "left-1 is told to go elsewhere the second time")
    hold("1.61 m of film" in again, "the length is rounded down")
    CHECKS.run("record", "add", van, "printed", "--panels", "left-1", "--roll", "R1", "--who", "P")
    hold(told("left-3", "--no-record") == ("R2", False), "R2 is still kept for left-1, which was printed on R1")


CASES = {f.__name__: f for f in (quote_papers, demo_quote, margin_words, proof_pages, spare_rolls)}
sys.exit(run_case(CASES[CASE], faults))
