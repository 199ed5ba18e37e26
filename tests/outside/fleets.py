#!/usr/bin/python3
"""A fleet: what differs by vehicle is made for each vehicle, once for the same words, and nothing else is.

    fleets.py LAPSTRAKE PROFILE files|sizes|copies|csv

Outside: Ghostscript draws the vehicles' pages. Within the print they may differ from one another inside the text's box
alone, and each has to be, pixel for pixel, the page of a job without a fleet whose text says that vehicle's words.
"""
import csv as csv_module
import io
import os
import re
import subprocess
import sys

import numpy as np

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from cases import run, run_case, words  # noqa: E402
from parts import K, write_page  # noqa: E402
from planner import shop  # noqa: E402

PPI = 50.8  # 2 pixels a millimetre
ROWS = [("201", "north"), ("202", "north"), ("2/3 #", "south"), ("=204", "south")]


def make(folder, profile, rows, unit="{unit}", place="{depot}", count=0):
    os.makedirs(folder, exist_ok=True)
    open(os.path.join(folder, "shop.yaml"), "w").write(shop(profile))
    write_page(os.path.join(folder, "art.pdf"), 250, 60, f"0.3 0.1 0 0 k 0 0 {250 * K} {60 * K} re f 0 0 0.5 0 k 100 20 300 60 re f")
    if rows:
        open(os.path.join(folder, "fleet.csv"), "w").write("unit,depot\n" + "".join(",".join(row) + "\n" for row in rows))
    badge = f"""  - name: door
    size: [1000, 600]
    pieces:
      - {{name: badge, artwork: {{file: art.pdf}}, at: [300, 200], cut: {{box: 2 mm}}, count: {count}}}
"""
    open(os.path.join(folder, "job.yaml"), "w").write(f"""job: T-1
start: 2027-03-01T08:00
drying: hung
print: {{condition: usual, bleed: 0 mm}}
{"vehicles: fleet.csv" if rows else ""}
surfaces:
  - name: left
    size: [2500, 600]
    panels: upright
    artwork: [{{file: art.pdf, scale: 10, at: [0, 0]}}]
    seams: [1200]
    text: [{{words: '{unit}', at: [200, 200], height: 120}}]
  - name: right
    size: [1000, 600]
    artwork: [{{file: art.pdf, scale: 10, at: [0, 0]}}]
    text: [{{words: '{place}', at: [200, 200], height: 120}}]
{badge if count else ""}""")


def pages(path):
    return int(subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout.split("Pages:")[1].split()[0])


def printed(folder, panel, file, page):
    """The pixels of the print, without the strips at its ends."""
    name = os.path.join(folder, "page.pgm")
    subprocess.run(["gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pgmraw", f"-r{PPI}", f"-dFirstPage={page}", f"-dLastPage={page}",
                    f"-sOutputFile={name}", os.path.join(folder, "out", file)], check=True)
    head, rest = open(name, "rb").read().split(b"\n255\n", 1)
    width, height = (int(n) for n in head.split(b"\n")[-1].split())
    f, p = panel["file_mm"], panel["print_mm"]
    px = width / (f[2] - f[0])
    x0, y0 = round((p[0] - f[0]) * px) + 1, round((f[3] - p[3]) * px) + 1
    x1, y1 = round((p[2] - f[0]) * px) - 1, round((f[3] - p[1]) * px) - 1
    return np.frombuffer(rest, np.uint8).reshape(height, width)[y0:y1, x0:x1], px


def files(lapstrake, profile, folder, judge):
    fleet, single = os.path.join(folder, "fleet"), os.path.join(folder, "single")
    make(fleet, profile, ROWS)
    status, plan, told = run(lapstrake, "make", fleet)
    judge.hold(status == 0, f"{status}: {told[:300]}")
    panels = {p["id"]: p for s in plan["surfaces"] for p in s["panels"]}
    judge.hold([p["id"] for p in panels.values() if p.get("varies")] == ["left-1", "right-1"], f"which differ: {panels.keys()}")
    judge.hold([panels[i]["copies"] for i in ("left-1", "left-2", "right-1")] == [1, 4, 1], "copies")
    want = {"T-1_left.pdf": 1, "T-1_left_201~204.pdf": 4, "T-1_right_201~2-3.pdf": 2}
    made = {n: pages(os.path.join(fleet, "out/panels", n)) for n in os.listdir(os.path.join(fleet, "out/panels")) if n.endswith(".pdf")}
    judge.hold(made == want, f"files and pages: {made}")
    judge.hold([v["name"] for v in plan["vehicles"]] == [r[0] for r in ROWS], "vehicles by name")
    judge.hold([v["fields"] for v in plan["vehicles"]] == [{"unit": u, "depot": d} for u, d in ROWS], "fields")
    told = [[(p["id"], os.path.basename(p["file"]), p["page"]) for p in v["panels"]] for v in plan["vehicles"]]
    judge.hold(told[1] == [("left-1", "T-1_left_201~204.pdf", 2), ("right-1", "T-1_right_201~2-3.pdf", 1)], f"prints of 202: {told[1]}")
    box = next(line["box_mm"] for line in plan["surfaces"][0]["lettering"])
    pictures = []
    for vehicle, (unit, depot) in zip(plan["vehicles"], ROWS):
        own = vehicle["panels"][0]
        picture, px = printed(fleet, panels["left-1"], own["file"], own["page"])
        pictures.append(picture)
        if depot == "north" and unit == "201":
            continue
        make(single, profile, None, unit, depot)
        run(lapstrake, "panels", single, "--only", "left")
        alone, _ = printed(single, panels["left-1"], "panels/T-1_left.pdf", 1)
        judge.hold(picture.shape == alone.shape and not np.any(picture != alone), f"{unit} is not as its words alone are")
    for picture in pictures[1:]:
        rows, columns = np.nonzero(picture != pictures[0])
        inside = columns.min() / px > box[0] - 2 and columns.max() / px < box[2] + 2 and \
            600 - rows.max() / px > box[1] - 2 and 600 - rows.min() / px < box[3] + 2
        judge.hold(len(rows) > 100 and inside, "vehicles differ outside the text's box, or not at all")
    sheet = words(fleet, "sheet.pdf")
    for i, (unit, _) in enumerate(ROWS):
        judge.hold(f"Vehicle {unit}, {i + 1} of 4" in sheet, f"the sheet has no page for {unit}")
    labels = words(fleet, "labels.pdf")
    judge.hold(all(len(re.findall(rf"left-1\s+{re.escape(unit)}\s", labels)) == 2 for unit, _ in ROWS), "two labels for each vehicle's print")
    judge.hold(not [n for n in os.listdir(os.path.join(fleet, "out/cache")) if "vehicle" in n], "temporary files are left")
    letters = []
    for rows in (ROWS, ROWS, ROWS[:3] + [("=205", "south")]):
        make(fleet, profile, rows)
        status, proof, told = run(lapstrake, "proof", fleet)
        letters.append(proof.get("letters"))
        judge.hold([(w["vehicle"], w["words"]) for w in proof["surfaces"][0]["vehicles"]] == [(r[0], r[0]) for r in rows], "words on the proof")
    judge.hold(letters[0] and letters[0] == letters[1] != letters[2], f"the last vehicle's words are not in the proof's letters: {letters}")


def sizes(lapstrake, profile, folder, judge):
    """Thirty vehicles have the same common files as two, and their pages are in two files: a file's artwork and profile are there
    once. A vehicle more is a page more, whose size is its words' and marks'."""
    made, marks = {}, {}
    for count in (2, 12, 30):
        job = os.path.join(folder, str(count))
        make(job, profile, [(str(200 + i), "north") for i in range(count)])
        status, plan, told = run(lapstrake, "make", job)
        judge.hold(status == 0, f"{status}: {told[:300]}")
        where = os.path.join(job, "out/panels")
        made[count] = {n: os.path.getsize(os.path.join(where, n)) for n in os.listdir(where) if n.endswith(".pdf")}
        marks[count] = plan["mark"]
    alike = [n for n in made[2] if "_left_2" not in n]
    judge.hold(alike and all(abs(made[2][n] - made[12][n]) < 0.02 * made[2][n] for n in alike), f"common files grew: {made}")
    own = {count: sum(size for n, size in files.items() if "_left_2" in n) for count, files in made.items()}
    page = (own[12] - own[2]) / 10
    judge.hold(0 < page < 40000, f"a vehicle more is {page} bytes more")
    judge.hold(abs(own[30] - 2 * own[2] - 26 * page) < 0.05 * own[30], f"thirty are not two files of their pages: {own}, {page} a page")
    judge.hold([len(made[n]) - len(made[2]) for n in (12, 30)] == [0, 1], f"files: {sorted(made[30])}")
    judge.hold(marks[2] != marks[12], "another fleet, and the plan has the same mark")


def copies(lapstrake, profile, folder, judge):
    """How many of each print, and for which vehicles, by hand: four rows, three badges on each vehicle."""
    make(folder, profile, ROWS, count=3)
    status, plan, told = run(lapstrake, "make", folder)
    judge.hold(status == 0, f"{status}: {told[:300]}")
    sheet = words(folder, "sheet.pdf")
    lots = sheet[sheet.index("Prints: how many of each"):sheet.index("Work card")]
    for row in (r"left-1 +panels/T-1_left_201~204.pdf, page 2 +1 202 ", r"left-2 +panels/T-1_left.pdf, page 1 +4 all 4 vehicles ",
                r"right-1 +panels/T-1_right_201~2-3.pdf, page 1 +2 201, 202 ", r"right-1 +panels/T-1_right_201~2-3.pdf, page 2 +2 2/3 #, =204 ",
                r"door-badge-1 +panels/T-1_door-badge.pdf, page 1 +12 all 4 vehicles, 3 on each "):
        judge.hold(len(re.findall(row, lots)) == 1, f"not in the table of copies: {row}")
    tables = sheet[:sheet.index("Prints: how many of each")]
    judge.hold(len(re.findall(r"left-2 .* 4$", tables, re.M)) == 1 and len(re.findall(r"left-1 .* 4, own", tables)) == 1, "copies in the tables of panels")
    card = sheet[sheet.index("Work card"):]
    judge.hold(all(f"left-1 {unit}" in card for unit, _ in ROWS) and "left-2, 4 copies" in card, "copies on the work card")
    judge.hold(sheet.count("door-badge-1 x 3") == 4, "three badges for each vehicle on its page")
    labels = words(folder, "labels.pdf")
    judge.hold([labels.count(f"copy {i} of 12") for i in (1, 12, 13)] == [2, 2, 0], "two labels for each of twelve badges")
    letters = []
    for count, written in ((3, "3 of it on each vehicle, 12 in all"), (2, "2 of it on each vehicle, 8 in all")):
        make(folder, profile, ROWS, count=count)
        letters.append(run(lapstrake, "proof", folder)[1].get("letters"))
        proof = words(folder, "proof.pdf")
        judge.hold(written in proof and re.search(r"Vehicles +4: 201, 202", proof), f"{written}: not on the proof")
    judge.hold(letters[0] and letters[0] != letters[1], "another count, and the proof has the same letters")


def written(rows, encoding, **form):
    """As Python's csv module writes it, the csv of RFC 4180 by default."""
    text = io.StringIO()
    csv_module.writer(text, **form).writerows([("unit", "depot"), *rows])
    return text.getvalue().encode(encoding)


# File, place, part of the sentence. Places are counted by hand.
REFUSED = [
    (b'unit,depot\n1,"a\n2,b\n', "2:3", "not closed"),
    (b'unit,depot\n1,a"b\n', "2:4", "a quote inside a cell"),
    ("unit,depot\n1,a\n".encode("utf-16"), "1:1", "UTF-16"),
    (b"unit;depot\n1;a\n1;b\n", "3:1", "there already in line 2"),
    (b"unit\tdepot\nA-1\ta\na 1\tb\n", "3:1", "the same letters and digits"),
    ("unit,depot\n1 2,a\n1\u00a02,b\n".encode(), "3:1", "the same letters and digits"),
    ("unit,depot\n\u00e9,a\ne\u0301,b\n".encode(), "3:1", "the same letters and digits"),
    (b"unit,depot\n" + b"x" * 61 + b",a\n", "2:1", "61 bytes long"),
    (b"unit,depot\n1,a\n,b\n", "3:1", "has no name"),
    (b"unit,depot\n1\x07,a\n", "2:1", "U+0007"),
    (b"unit,depot\n1\x00,a\n", "1:1", "not a CSV file"),
    ("unit,depot\n1\u202e2,a\n".encode(), "2:1", "U+202e"),
    ("unit,depot\n1,\u061ca\n".encode(), "2:3", "U+061c"),
    ("unit,depot\n1\u00ad,a\n".encode(), "2:1", "U+00ad"),
    ("unit,depot\n1\U000e0041,a\n".encode(), "2:1", "U+e0041"),
    (b"", "1:1", "empty"),
    (b"unit,unit\n1,a\n", "1:6", "there already as column 1"),
    (b"unit,depot\n1,a,b\n", "2:1", "3 cells"),
]


def csv(lapstrake, profile, folder, judge):
    """The same table however a spreadsheet writes it; each mistake with its place; names that are paths stay in the folder."""
    rows = [("201", "M\u00fcnz, gate \"2\""), ("202", "a;b"), ("203", " south ")]
    make(folder, profile, rows[:1])
    table = os.path.join(folder, "fleet.csv")
    for encoding, form in (("utf-8", {}), ("utf-8-sig", {"lineterminator": "\r\n"}), ("utf-8", {"delimiter": ";"}), ("utf-8", {"delimiter": "\t"}),
                           ("latin-1", {"delimiter": ";"}), ("utf-8", {"quoting": csv_module.QUOTE_ALL, "lineterminator": "\r"})):
        open(table, "wb").write(written(rows, encoding, **form))
        status, plan, told = run(lapstrake, "plan", folder)
        found = [tuple(v["fields"].values()) for v in plan.get("vehicles", [])]
        judge.hold([(u, d.strip()) for u, d in found] == [(u, d.strip()) for u, d in rows], f"{encoding} {form}: {found} {told[:200]}")
        judge.hold(("fleet.csv:1:1" in told and "ISO 8859-1" in told) == (encoding == "latin-1"), f"{encoding}: {told[:200]}")
    for content, place, sentence in REFUSED:
        open(table, "wb").write(content)
        status, _, told = run(lapstrake, "check", folder)
        lines = [line for line in told.splitlines() if line.startswith(f"fleet.csv:{place}: ") and sentence in line]
        judge.hold(status == 2 and len(lines) == 1, f"{content!r}: {status}, not {place} {sentence}: {told[:200]}")
    names = ["../../x", "..", "-rf", "a/b", "CON", "$(id)"]
    make(folder, profile, [(name, "d") for name in names])
    status, plan, told = run(lapstrake, "panels", folder)
    files = [print_["file"] for v in plan["vehicles"] for print_ in v["panels"]]
    judge.hold(status == 0 and all(re.fullmatch(r"panels/[A-Za-z0-9_~.-]+\.pdf", name) for name in files), f"{status} {files} {told[:200]}")
    judge.hold(all(os.path.exists(os.path.join(folder, "out", name)) for name in files), "a file of a hostile name is not there")


if __name__ == "__main__":
    sys.exit(run_case(files, sizes, copies, csv))
