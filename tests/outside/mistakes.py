#!/usr/bin/python3
"""A small shop's ordinary mistakes with artwork, made on purpose: what the program says of them, as its users run it.

    mistakes.py LAPSTRAKE PROFILE CASE

Prints one line a fault; exit status 1 when there is one.
"""
import datetime
import glob
import json
import os
import shutil
import struct
import subprocess
import sys

from parts import K, SHOP, png, run_case, served, tiff, write_page

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
ENV = dict(os.environ, SOURCE_DATE_EPOCH="1800000000")
faults = []


def hold(true, words):
    if not true:
        faults.append(words)


def run(*arguments, **more):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, env=ENV, timeout=300, **more)


def pdf(path, width, height, content="", page="", objects=(), count=1, layers=""):
    write_page(path, width, height, content, page, objects, f"/OCProperties<</OCGs[{layers}]/D<<>>>>", count)


def field(width, height, colour="0.3 0.1 0 0 k"):
    return f"{colour} 0 0 {width * K:.3f} {height * K:.3f} re f"


def job(folder, surfaces, form="pdf", more=""):
    """`surfaces`: name -> (width, height, artwork as written)."""
    os.makedirs(f"{folder}/art", exist_ok=True)
    open(f"{folder}/shop.yaml", "w").write(SHOP % dict(media=1625, edge=8, widths="1370, 1520", profile=PROFILE))
    lines = ["title: A small job", "vehicle-type: van", "drying: hung", "start: 2027-03-01T08:00",
             f"print: {{condition: usual, bleed: 40 mm, resolution: 40, format: {form}}}", more, "surfaces:"]
    for name, (width, height, art) in surfaces.items():
        lines.append(f"  - {{name: {name}, size: [{width}, {height}], front: {'right' if name == 'right' else 'left'}, panels: upright, artwork: [{art}]}}")
    open(f"{folder}/job.yaml", "w").write("\n".join(lines) + "\n")
    return folder


def findings(folder, code, *options):
    done = run("check", folder, "--json", *options)
    try:
        return [f for f in json.loads(done.stdout)["findings"] if f["code"] == code], done
    except ValueError:
        hold(False, f"{folder}: no answer: {done.stderr}")
        return [], done


def damaged(folder):
    """Every faulty file is named at `check`, all at once: pages not counted, a drawing within itself, no unit, rows that
    cannot be unpacked."""
    job(folder, {n: (1500, 900, f"{{file: art/{f}, scale: 10}}") for n, f in
                 dict(a="count.pdf", b="self.pdf", c="unit.pdf", d="rows.png", e="short.tif", f="good.pdf").items()})
    pdf(f"{folder}/art/count.pdf", 158, 98, field(158, 98), count=3)
    form = "<</Type/XObject/Subtype/Form/BBox[0 0 99 99]/Resources<</XObject<</F 5 0 R>>>>/Length 5>>stream\n/F Do\nendstream"
    pdf(f"{folder}/art/self.pdf", 158, 98, "/F Do", "/Resources<</XObject<</F 5 0 R>>>>", [form])
    pdf(f"{folder}/art/unit.pdf", 158, 98, field(158, 98), "/UserUnit 0")
    pdf(f"{folder}/art/good.pdf", 158, 98, field(158, 98))
    png(f"{folder}/art/rows.png", 158, 98)
    bytes_ = bytearray(open(f"{folder}/art/rows.png", "rb").read())
    bytes_[len(bytes_) // 2] ^= 0x55
    bytes_[len(bytes_) // 2 + 9] ^= 0x55
    open(f"{folder}/art/rows.png", "wb").write(bytes_)
    tiff(f"{folder}/art/short.tif", 158, 98, 25.4, 1)
    os.truncate(f"{folder}/art/short.tif", os.path.getsize(f"{folder}/art/short.tif") * 2 // 3)
    told, done = findings(folder, "artwork-damaged")
    hold(done.returncode == 1, f"status {done.returncode}: {done.stderr}")
    for where, name in dict(a="count.pdf", b="self.pdf", c="unit.pdf", d="rows.png", e="short.tif").items():
        hold(any(f["where"] == where and name in f["text"] for f in told), f"{name} is not refused by name: {told}")
    hold(not any(f["where"] == "f" for f in told), "good.pdf is refused")


def missing(folder):
    """Every file that is not there, at once, with its place in the file that names it, whatever else is wrong."""
    job(folder, {"a": (1500, 900, "art/one.pdf"), "b": (1500, 900, "art/two.tif"), "c": (1500, 900, "art/three.png")})
    pdf(f"{folder}/art/one.pdf", 158, 98, field(158, 98))
    done = run("check", folder)
    hold(done.returncode == 2, f"status {done.returncode}")
    for name in ("two.tif", "three.png"):
        hold(any("job.yaml:" in line and name in line for line in done.stderr.splitlines()), f"{name} is not told: {done.stderr}")
    rewrite(folder, "job.yaml", "size: [1500, 900]", "drawing: {file: surfaces/a.svg}")
    rewrite(folder, "shop.yaml", "outside.icc", "gone.icc")
    open(f"{folder}/job.yaml", "a").write("no-such-key: 1\n")
    expect(folder, "all at once", 2, "surfaces/a.svg", "two.tif", "three.png", "gone.icc", "no-such-key")


SPOT = "[/Separation/%s/DeviceCMYK<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[0 1 0 0]/N 1>>]"
STEP = "<</Type/OCG/Name(Outline)/GTS_Metadata<</GTS_ProcStepsGroup/Structural/GTS_ProcStepsType/Cutting>>>>"


def ink_of(folder):
    plan = json.loads(run("check", folder, "--json").stdout)
    return [p["coverage"]["channels_percent"]["M"] for s in plan["surfaces"] for p in s["panels"]]


def spots(folder):
    """A field in a spot colour: as ink it is magenta all over; named for cutting, or on a layer for it, it is none."""
    for name, spot, layer, wanted in (("ink", "Harbour", False, 100), ("cut", "Kiss#20Cut", False, 0), ("step", "Harbour", True, 0)):
        here = job(f"{folder}/{name}", {"left": (1500, 900, "{file: art/a.pdf, scale: 10}")})
        begin, end = ("/OC/L BDC ", " EMC") if layer else ("", "")
        page = "/Resources<</ColorSpace<</S %s>>/Properties<</L 5 0 R>>>>" % (SPOT % spot)
        pdf(f"{here}/art/a.pdf", 158, 98, f"{begin}/S cs 1 scn 0 0 {158 * K:.3f} {98 * K:.3f} re f{end}", page, [STEP],
            layers="5 0 R" if layer else "")
        told, _ = findings(here, "spot-cut")
        hold(bool(told) == (name != "ink") and all(f["severity"] == "warn" for f in told), f"{name}: {told}")
        inks = ink_of(here)
        hold(inks and all(abs(m - wanted) < 2 for m in inks), f"{name}: {inks} % of magenta, not {wanted}")
    # beside an ink in one space: 30 % of magenta are its own, and the cut adds none
    here = job(f"{folder}/beside", {"left": (1500, 900, "{file: art/a.pdf, scale: 10}")})
    program = "<</FunctionType 4/Domain[0 1 0 1]/Range[0 1 0 1 0 1 0 1]/Length 36>>stream\n{add dup 1 gt {pop 1} if 0 exch 0 0} \nendstream"
    pdf(f"{here}/art/a.pdf", 158, 98, f"/S cs .3 1 scn 0 0 {158 * K:.3f} {98 * K:.3f} re f",
        "/Resources<</ColorSpace<</S[/DeviceN[/Magenta/Kiss#20Cut]/DeviceCMYK 5 0 R]>>>>", [program])
    told, _ = findings(here, "spot-cut")
    hold(bool(told), "a colorant for cutting beside an ink is not told")
    inks = ink_of(here)
    hold(inks and all(abs(m - 30) < 2 for m in inks), f"beside an ink: {inks} % of magenta, not 30")


def names(folder):
    """Names as they come from other machines: nearly the same name is offered for one that is not there; blanks and brackets
    are no trouble; a copy is no newer version; the same picture twice at one place, and the two sides' files crosswise, are told."""
    def check(here, surfaces, files):
        here = job(f"{folder}/{here}", {n: (1500, 900, ", ".join(f'{{file: "art/{f}", scale: 10}}' for f in arts)) for n, arts in surfaces.items()})
        for i, f in enumerate(files):
            pdf(f"{here}/art/{f}", 158, 98, field(158, 98, "0.3 0.%d 0 0 k" % (0 if "copy" in f or "(1)" in f else i)))
        done = run("check", here, "--json")
        return done.returncode, done.stderr, [(f["code"], f["severity"], f["where"]) for f in json.loads(done.stdout or '{"findings": []}')["findings"] if f["code"].startswith("artwork-")]
    for here, asked, there in (("case", "left.pdf", "left.PDF"), ("ending", "left.tif", "Left.pdf"), ("blanks", "left  side.pdf", "left-side.pdf"),
                               ("hard", "left side.pdf", "left\u00a0side.pdf"), ("none", "left", "left.pdf")):
        code, said, _ = check(here, {"left": [asked]}, [there])
        hold(code == 2 and f"did you mean `art/{there}`?" in said, f"{here}: {code} {said}")
    code, said, _ = check("two", {"left": ["LEFT.pdf"]}, ["left.pdf", "Left.pdf"])
    hold(code == 2 and "did you mean" not in said, f"one of two is offered: {said}")
    for here, arts, there, wanted in (
            ("brackets", {"left": ["artwork (1).pdf"], "rear": ["rear side.PDF"]}, ["artwork (1).pdf", "rear side.PDF"], []),
            ("copy", {"left": ["left.pdf"]}, ["left.pdf", "left (1).pdf"], []),
            ("twice", {"left": ["left.pdf", "left.pdf"]}, ["left.pdf"], [("artwork-twice", "warn", "left")]),
            ("renamed", {"left": ["left.pdf", "left copy.pdf"]}, ["left.pdf", "left copy.pdf"], [("artwork-twice", "warn", "left")]),
            ("crossed", {"left": ["van R.pdf"], "right": ["van L.pdf"]}, ["van L.pdf", "van R.pdf"], [("artwork-other-surface", "stop", n) for n in ("left", "right")]),
            ("rechts", {"left": ["bus-rechts.pdf"], "right": ["bus-links.pdf"]}, ["bus-links.pdf", "bus-rechts.pdf"], [("artwork-other-surface", "stop", n) for n in ("left", "right")]),
            ("right", {"left": ["van L.pdf"], "right": ["van R.pdf"]}, ["van L.pdf", "van R.pdf"], []),
            ("letters", {"left": ["plan r.pdf"], "right": ["side l.pdf"]}, ["plan r.pdf", "side l.pdf"], [])):
        code, said, told = check(here, arts, there)
        hold(told == wanted, f"{here}: {told} {said}")


def words_of(path):
    return " ".join(subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=True).stdout.split())


def pages_of(path):
    """Media boxes in units, as poppler reads them, which knows no UserUnit."""
    said = subprocess.run(["pdfinfo", "-f", "1", "-l", "99", "-box", path], capture_output=True, text=True, check=True).stdout
    return [[float(v) for v in line.split()[-4:]] for line in said.splitlines() if "MediaBox:" in line]


def visible(path, page, ppi, panel, scale):
    """Poppler's pixels of what is visible of a panel, its page drawn at 1:scale."""
    import numpy
    data = subprocess.run(["pdftoppm", "-r", str(ppi), "-f", str(page), "-l", str(page), "-aa", "no", "-aaVector", "no", path], capture_output=True, check=True).stdout
    head = data.split(b"\n", 3)
    width, height = map(int, head[1].split())
    pixels = numpy.frombuffer(head[3], numpy.uint8).reshape(height, width, 3).astype(int)
    (fx, fy, _, top), (x0, y0, x1, y1) = panel["file_mm"], panel["visible_mm"]
    per_mm = ppi / 25.4 / scale
    return pixels[round((top - y1) * per_mm) + 2:round((top - y0) * per_mm) - 2, round((x0 - fx) * per_mm) + 2:round((x1 - fx) * per_mm) - 2]


def large(folder):
    """Panels over 5.08 m in the three forms: sizes and pictures by poppler, TIFF by ImageMagick; sheet, labels, order and the
    panel's own label say what to see in the queue."""
    drawn = {}
    for form in ("userunit", "scale-10", "tiff"):
        here = job(f"{folder}/{form}", {"left": (6000, 1300, "{file: art/a.pdf, scale: 10}"), "rear": (1300, 1200, "{file: art/b.pdf, scale: 10}")})
        text = open(f"{here}/job.yaml").read().replace("panels: upright", "panels: lying").replace("format: pdf", f"format: pdf, large: {form}")
        open(f"{here}/job.yaml", "w").write(text)
        pdf(f"{here}/art/a.pdf", 608, 138, "0.3 0.1 0 0 k 0 0 1800 400 re f 0 0.8 0.9 0 k 300 90 m 900 350 l 1500 60 l f")
        pdf(f"{here}/art/b.pdf", 138, 128, field(138, 128))
        done = run("make", here, "--quiet")
        hold(done.returncode == 0, f"{form}: status {done.returncode}: {done.stderr}")
        hold(run("order", here, "--quiet").returncode == 0, f"{form}: no order")
        panel = next(s for s in json.load(open(f"{here}/out/plan.json"))["surfaces"] if s["name"] == "left")["panels"][0]
        file, (x0, y0, x1, y1) = f"{here}/out/{panel['file']}", panel["file_mm"]
        words = [f"queue shows {x1 - x0:.0f} x {y1 - y0:.0f} mm"]
        if form == "scale-10":
            words = ["print at 1000 %", f"queue: {(x1 - x0) / 10:.0f} x {(y1 - y0) / 10:.0f} mm"]
        for paper in ("sheet", "labels", "order"):
            said = words_of(f"{here}/out/{paper}.pdf")
            hold(all(w in said for w in words), f"{form}: {paper}.pdf does not say: {words}")
        told, _ = findings(here, "panel-large")
        hold(len(told) == 1 and told[0]["where"] == "left" and told[0]["severity"] == "note", f"{form}: {told}")
        hold(panel.get("print_at_percent") == (1000 if form == "scale-10" else None), f"{form}: {panel}")
        hold(sorted(panels_of(here)) == sorted({os.path.basename(file), f"{form}_rear.pdf"}), f"{form}: {panels_of(here)}")
        if form == "tiff":
            size = subprocess.run(["identify", "-format", "%w %h", file + "[0]"], capture_output=True, text=True, check=True).stdout.split()
            hold([int(v) for v in size] == [round((x1 - x0) / 25.4 * 40), round((y1 - y0) / 25.4 * 40)], f"tiff: {size} pixels for {panel['file_mm']}")
            continue
        part = 10 if form == "scale-10" else 2
        box = pages_of(file)[panel["page"] - 1]
        hold(all(abs(box[i + 2] * part / K - (x1 - x0, y1 - y0)[i]) < 0.05 for i in (0, 1)), f"{form}: page {box} for {panel['file_mm']}")
        hold(("print-at-1000-percent" in file) == (form == "scale-10"), f"{form}: {file}")
        drawn[form] = visible(file, panel["page"], 10 * part, panel, part)
    one, other = drawn["userunit"], drawn["scale-10"]
    hold(one.shape == other.shape and (abs(one - other).max(axis=2) > 2).mean() < 0.002, "drawn at 1:10 it is another picture")
    again = run("panels", f"{folder}/scale-10", "--only", "left/1", "--quiet")
    hold(again.returncode == 0 and any("left_1_print-at-1000-percent" in p for p in panels_of(f"{folder}/scale-10")), f"{again.stderr} {panels_of(f'{folder}/scale-10')}")


def panels_of(folder):
    return sorted(os.path.basename(p) for p in glob.glob(f"{folder}/out/panels/*") if not p.endswith("profiles.txt"))


def old_plan(folder):
    """OUT/panels holds files of the plan in plan.json and no others; those of another one lie in OUT/old, the same
    files, until the next plan that differs."""
    def write(bleed, form):
        job(folder, {n: (1900, 900, "{file: art/a.pdf, scale: 10}") for n in ("left", "right")}, form)
        text = open(f"{folder}/job.yaml").read().replace("bleed: 40", f"bleed: {bleed}")
        open(f"{folder}/job.yaml", "w").write(text)
    write(40, "tiff")
    pdf(f"{folder}/art/a.pdf", 198, 98, field(198, 98))
    hold(run("make", folder).returncode == 0, "make fails")
    first = panels_of(folder)
    mark = json.load(open(f"{folder}/out/plan.json"))["mark"]
    hold(len(mark) == 8 and all(f"plan {mark}".encode() in open(f"{folder}/out/panels/{p}", "rb").read() for p in first), f"plan {mark} is not in the files")
    inode = os.stat(f"{folder}/out/panels/{first[0]}").st_ino
    hold(len(first) == 4, f"{first}")
    os.remove(f"{folder}/out/panels/{first[1]}")
    run("panels", folder, "--only", "left/2")
    hold(panels_of(folder) == first and not os.path.exists(f"{folder}/out/old"), "--only of the same plan moves files")
    write(30, "tiff")
    hold(findings(folder, "panels-old")[0], "check does not say that the panels are of another plan")
    hold(panels_of(folder) == first, "check moves files")
    run("panels", folder, "--only", "right/1")
    hold(len(panels_of(folder)) == 1, f"{panels_of(folder)}")
    hold(os.stat(f"{folder}/out/old/{first[0]}").st_ino == inode, "the old files are copies")
    hold(os.path.exists(f"{folder}/out/old/sheet.pdf"), "the old sheet stays")
    plan = json.load(open(f"{folder}/out/plan.json"))
    hold(plan["mark"] != mark, "another plan has the same mark")
    hold(plan["surfaces"][0]["panels"][0]["print_mm"][0] == -30, "plan.json is not of the panels")
    pdf(f"{folder}/art/a.pdf", 198, 98, field(198, 98, "0 0.4 0 0 k"))
    run("plan", folder)
    hold(panels_of(folder) == [], f"panels of another artwork stay: {panels_of(folder)}")
    hold(len(glob.glob(f"{folder}/out/old/*")) == 1, "OUT/old keeps what is older than one plan")
    run("make", folder)
    open(f"{folder}/job.yaml", "a").write("no-such-key: 1\n")
    made = panels_of(folder)
    done = run("make", folder)
    hold(done.returncode == 2 and panels_of(folder) == made, "a job that cannot be read moves files")
    hold("of another plan" in done.stderr, f"not said: {done.stderr}")
    write(30, "tiff")
    os.truncate(f"{folder}/art/a.pdf", 300)
    hold(run("make", folder).returncode == 1 and panels_of(folder) == [], "a stop leaves panels of an earlier plan")


def replaced(folder):
    """Artwork replaced while `make` runs, by another file or in place with size and time kept: status 2, no panels."""
    job(folder, {"left": (2600, 1200, "{file: art/a.pdf, scale: 10}")})
    path = f"{folder}/art/a.pdf"
    for way in ("renamed", "written over"):
        pdf(path, 268, 128, field(268, 128))
        pdf(f"{folder}/new.pdf", 268, 128, field(268, 128, "0.1 0.5 0 0 k"))
        shutil.rmtree(f"{folder}/out", ignore_errors=True)
        making = subprocess.Popen([LAPSTRAKE, "make", folder, "--steps"], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                  text=True, env=ENV)
        done = False
        for line in making.stdout:
            if done or "writing panels" not in line:
                continue
            done = True
            if way == "renamed":
                os.rename(f"{folder}/new.pdf", path)
            else:
                before = os.stat(path)
                with open(path, "r+b") as f:
                    f.write(open(f"{folder}/new.pdf", "rb").read())
                os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
        words = making.stderr.read()
        hold(done and making.wait() == 2, f"{way}: status {making.returncode}, {words}")
        hold("art/a.pdf" in words and panels_of(folder) == [], f"{way}: {words} {panels_of(folder)}")


def record(folder, *arguments, status=0):
    done = run("record", *arguments)
    hold(done.returncode == status, f"record {' '.join(arguments)}: status {done.returncode}: {done.stdout}{done.stderr}")
    return done


def since_printing(folder):
    """(what `check` says of artwork changed since, its status)."""
    done = run("check", folder, "--json")
    told = [f for f in json.loads(done.stdout)["findings"] if f["code"] in ("artwork-changed", "artwork-saved-again")]
    return {f["code"]: f for f in told}, done.returncode


def boxes(*more):
    """A field with a dark stroke on each half and what else there is: x, y, width, height in mm on the file at 1:10."""
    strokes = [(40, 50, 30, 30), (180, 50, 30, 30), *more]
    return "\n".join([field(268, 128)] + ["0 0 0 1 k"] + ["%.3f %.3f %.3f %.3f re f" % tuple(v * K for v in b) for b in strokes])


def changed(folder):
    """Artwork changed after left-1 was printed: a stop where its pixels differ, with panel, box and picture; nothing for
    another name, a note for the same pixels in other bytes. The surface's 0, 0 lies at 40, 40 mm of the artwork."""
    here = f"{folder}/van"
    job(here, {n: (2600, 1200, "{file: art/a.pdf, scale: 10, at: [-40, -40]}") for n in ("left", "right")})
    art = f"{here}/art/a.pdf"
    pdf(art, 268, 128, boxes())
    record(folder, "plan", here)
    hold(run("make", here).returncode == 0 and len(panels_of(here)) > 0, "make fails")
    mark = json.load(open(f"{here}/out/plan.json"))["mark"]
    said = [subprocess.run(["pdfinfo", f"{here}/out/panels/{p}"], capture_output=True, text=True, check=True).stdout for p in panels_of(here)]
    hold(all(f"plan {mark}" in words for words in said), f"plan {mark} is not in the files: {said}")
    record(folder, "add", here, "printed", "--panels", "left-1")
    hold(since_printing(here) == ({}, 0), f"unchanged: {since_printing(here)}")

    # the same pixels: another name, other bytes (a comment; all of it written again by Ghostscript), a hair beside its place
    before = open(f"{here}/job.yaml").read()
    os.rename(art, f"{here}/art/other.pdf")
    open(f"{here}/job.yaml", "w").write(before.replace("art/a.pdf", "art/other.pdf"))
    hold(since_printing(here) == ({}, 0), f"renamed: {since_printing(here)}")
    os.rename(f"{here}/art/other.pdf", art)
    open(f"{here}/job.yaml", "w").write(before)
    pdf(art, 268, 128, boxes() + "\n% saved again")
    told, status = since_printing(here)
    hold(list(told) == ["artwork-saved-again"] and status == 0 and "art/a.pdf" in told["artwork-saved-again"]["text"], f"saved again: {told}")
    pdf(f"{here}/first.pdf", 268, 128, boxes())
    subprocess.run(["gs", "-q", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-o", art, f"{here}/first.pdf"], check=True)
    told, status = since_printing(here)
    hold(list(told) == ["artwork-saved-again"] and status == 0, f"written again by Ghostscript: {told}")
    pdf(art, 268, 128, boxes())
    open(f"{here}/job.yaml", "w").write(before.replace("[-40, -40]", "[-39.7, -40]"))
    told, status = since_printing(here)
    hold("artwork-changed" not in told and status == 0, f"moved by 0.3 mm: {told}")

    # on the other panel only
    open(f"{here}/job.yaml", "w").write(before)
    pdf(art, 268, 128, boxes((230, 20, 10, 10)))
    told, status = since_printing(here)
    hold("artwork-changed" not in told and status == 0, f"changed beside what is printed: {told}")

    # on the printed panel: a stroke 2 mm wide and 12 mm high on the vehicle, as of a small figure
    pdf(art, 268, 128, boxes((20, 30, 0.2, 1.2)))
    told, status = since_printing(here)
    f = told.get("artwork-changed", {"text": "", "severity": "", "where": "", "box_mm": [0] * 4})
    hold(status == 1 and f["severity"] == "stop" and f["where"] == "left", f"small stroke: {status} {told}")
    hold("left-1" in f["text"] and "left-2" not in f["text"] and "art/a.pdf" in f["text"], f["text"])
    true = [20 * 10 - 40, 30 * 10 - 40, 20.2 * 10 - 40, 31.2 * 10 - 40]
    hold(all(abs(a - b) <= 1.5 for a, b in zip(f.get("box_mm", [0] * 4), true)), f"box {f.get('box_mm')}, not {true}")
    hold(os.path.getsize(f"{here}/out/pictures/artwork-changed-left.png") > 1000 and "artwork-changed-left.png" in f["text"], "no picture")
    done = run("make", here)
    hold(done.returncode == 1 and panels_of(here) == [], f"make goes on: {done.returncode} {panels_of(here)}")
    hold(run("panels", here).returncode == 1, "panels go on")

    # an override takes a reason; other artwork needs another one
    record(folder, "plan", here, status=1)
    record(folder, "add", here, "accepted", "--code", "artwork-changed", status=2)
    record(folder, "add", here, "accepted", "--code", "artwork-changed", "--words", "Customer takes left-1 as it is", "--who", "Ana")
    told, status = since_printing(here)
    hold(status == 0 and told["artwork-changed"]["severity"] == "warn" and told["artwork-changed"]["accepted"]["who"] == "Ana", f"accepted: {told}")
    hold(run("make", here).returncode == 0 and panels_of(here), "make does not go on with a reason")
    os.utime(art, (1e9, 1e9))
    told, status = since_printing(here)
    hold(status == 0 and "accepted" in told["artwork-changed"], f"accepted, the same file put back with another time: {told}")
    open(f"{here}/job.yaml", "w").write(before.replace("[-40, -40]", "[-35, -40]"))
    told, status = since_printing(here)
    hold(status == 1 and "accepted" not in told["artwork-changed"], f"accepted, then moved by 5 mm: {told}")
    open(f"{here}/job.yaml", "w").write(before)
    pdf(art, 268, 128, boxes((20, 30, 0.2, 1.3)))
    told, status = since_printing(here)
    hold(status == 1 and told["artwork-changed"]["severity"] == "stop", f"another change after the acceptance: {told}")

    # placed elsewhere; put back; what was kept is lost; printed again
    pdf(art, 268, 128, boxes())
    open(f"{here}/job.yaml", "w").write(before.replace("[-40, -40]", "[-35, -40]"))
    told, status = since_printing(here)
    hold(status == 1 and "left-1" in told["artwork-changed"]["text"], f"moved by 5 mm: {told}")
    open(f"{here}/job.yaml", "w").write(before)
    hold(since_printing(here) == ({}, 0), f"put back: {since_printing(here)}")
    pdf(art, 268, 128, boxes((20, 30, 0.2, 1.2)))
    os.rename(f"{here}/out/printed", f"{here}/aside")
    told, status = since_printing(here)
    hold(status == 0 and "accepted" in told["artwork-changed"], f"as accepted, with nothing to compare with: {told}")
    pdf(art, 268, 128, boxes((20, 30, 0.2, 1.4)))
    told, status = since_printing(here)
    hold(status == 1 and "out/printed" in told["artwork-changed"]["text"], f"nothing to compare with: {told}")
    record(folder, "add", here, "reprint", "--panels", "left-1", "--words", "new artwork")
    hold(since_printing(here) == ({}, 0), f"to be printed again: {since_printing(here)}")
    hold("whole" in record(folder, "verify", folder).stdout, "the record is not whole")


def told(folder, command="check"):
    """Exit status, and everything that was said."""
    done = run(command, folder)
    return done.returncode, done.stdout + done.stderr


def expect(folder, name, status, *words):
    code, said = told(folder)
    hold(code == status and all(w in said for w in words), f"{name}: status {code}, not {status} with {words}:\n{said}")


def rewrite(folder, file, old, new):
    text = open(f"{folder}/{file}").read()
    assert old in text, old
    open(f"{folder}/{file}", "w").write(text.replace(old, new, 1))


def sound(folder, art="{file: art/a.pdf, scale: 10}", size=(4300, 1400), more=""):
    """A van's left side with artwork of the right size."""
    shutil.rmtree(folder, ignore_errors=True)
    job(folder, {"left": (*size, art)}, more=more)
    pdf(f"{folder}/art/a.pdf", 438, 148, field(438, 148))
    return folder


def measures(folder):
    """Scales and sizes as people write them."""
    here = f"{folder}/job"
    expect(sound(here, "{file: art/a.pdf, scale: 1:10}"), "scale 1:10", 0, "left: 3 panels")
    expect(sound(here, "{file: art/a.pdf, scale: 1:20}"), "scale 1:20", 1, "8760 x 2960 mm", "scale 10 fits")
    expect(sound(here, "{file: art/a.pdf, scale: 1:0}"), "scale 1:0", 2, "job.yaml:", "from 0.01 to 1000")
    expect(sound(here, size=(430, 140)), "centimetres", 1, "scale 1 fits, or the surface was written in centimetres and is 4300 x 1400 mm")
    expect(sound(here, "{file: art/a.pdf, fit: bleed}", (430, 140)), "centimetres, fitted", 0, "WARN  size-doubtful",
           "4300 x 1400 mm, the side of a van")
    features = "], features: [{kind: handle, box: [%s]}, {kind: gap, line: [1350, 0, 1350, 1400]}], seams: [1450, 2880"
    sound(here, "{file: art/a.pdf, scale: 10}" + features % "1420, 780, 160, 60", (430, 140))
    expect(here, "size alone in centimetres", 2, "job.yaml:", "write `size: [4300, 1400]`")
    sound(here, "{file: art/a.pdf, scale: 10}" + features % "1420, 780, 160, 60")
    expect(here, "features in their places", 0, "left: 3 panels")
    sound(here, "{file: art/a.pdf, scale: 10}" + features % "3420, 780, 3580, 840")
    expect(here, "two corners", 0, "WARN  surface-difference", "`box: [3420, 780, 160, 60]`")
    sound(here, "{file: art/a.pdf, scale: 10}], seams: [1350, 5000, -30")
    expect(here, "seams off the vehicle", 2, "a seam at 5000 mm", "a seam at -30 mm", "from 0 to 4300 mm")
    expect(sound(here, "{file: art/a.pdf, fit: bleed}", (43000, 1400)), "43 m", 0, "WARN  size-doubtful", "43.0 x 1.4 m",
           "With a digit less it would be 4300 x 1400 mm")
    expect(sound(here, "{file: art/a.pdf, fit: bleed}", (43000, 14000)), "43 x 14 m", 2, "43.0 m by 14.0 m", "it would be 4300 x 1400 mm")


def dates(folder):
    """A date alone, a date that is past; a date in the shop's own hours (mon-fri 08:00-17:00)."""
    here, year = f"{folder}/job", datetime.date.today().year + 1
    day = datetime.date(year, 3, 1)
    friday = day + datetime.timedelta((4 - day.weekday()) % 7 + 7)
    start = lambda d: rewrite(sound(here), "job.yaml", "start: 2027-03-01T08:00", f"start: {d}\ndue: {{due}}")
    def due(first, last):
        start(first)
        rewrite(here, "job.yaml", "{due}", last)
    due(f"{day}", f"{friday}")
    plan = json.loads(run("plan", here, "--json").stdout)
    first = min(s["start"] for s in plan["schedule"])
    hold(not first < f"{day}T08:00" and first[11:16] == "08:00", f"a start without an hour: {first}")
    hold(not [f for f in plan["findings"] if f["code"] in ("due-missed", "date-past")], "due by closing time is missed")
    finished = datetime.datetime.fromisoformat(plan["finished"])
    due(f"{day}", f"{finished.date() - datetime.timedelta(1)}")
    late = [f["text"] for f in findings(here, "due-missed")[0]]
    hold(late and "17:00" in late[0], f"a date alone is closing time: {late}")
    due(f"{day}", f"{friday + datetime.timedelta(1)}")
    expect(here, "a closed day", 0, "the shop is closed on", f"`due` is taken as {friday} 17:00")
    due("2020-02-20T08:00", "2020-03-06")
    expect(here, "due past", 0, "WARN  date-past", "Fri 6 Mar 2020, 17:00")
    due("2020-02-20T08:00", f"{friday}")
    expect(here, "start past", 0, "WARN  date-past", "Dates count from `start`")


def rooms(folder):
    """A room too cold to apply in; shares written as factors."""
    here = f"{folder}/job"
    expect(sound(here, more="indoors: {temperature: 12, humidity: 50 %}"), "cold", 0, "WARN  apply-too-cold", "12 degrees C", "from 15")
    code, said = told(sound(here, more="indoors: {temperature: 21, humidity: 50 %}"))
    hold(code == 0 and "too-cold" not in said, f"a warm room: {said}")
    expect(sound(here, more="indoors: {temperature: 21, humidity: 0.5}"), "humidity 0.5", 2, "job.yaml:", "0.5 % or 50 %")
    for name in ("margin", "mark-up"):
        sound(here)
        open(f"{here}/shop.yaml", "a").write(f"rates: {{print: 35, laminate: 30, install: 42, {name}: 1.3}}\n")
        expect(here, name, 2, "shop.yaml:", "1.3 %", "`mark-up: 30 %`")


def unpriced(folder):
    """What has no artwork, and what cannot be planned, is not in the price, and the price says so."""
    here = f"{folder}/job"
    def plan(right):
        shutil.rmtree(here, ignore_errors=True)
        job(here, {"left": (4300, 1400, "{file: art/a.pdf, scale: 10}"), "right": (4300, 1400, right)})
        pdf(f"{here}/art/a.pdf", 438, 148, field(438, 148))
        open(f"{here}/shop.yaml", "a").write("rates: {print: 35, laminate: 30, install: 42}\n")
        done = run("plan", here, "--json")
        return done.returncode, json.loads(done.stdout)
    rewrite(sound(here), "job.yaml", "title", "title")
    open(f"{here}/shop.yaml", "a").write("rates: {print: 35, laminate: 30, install: 42}\n")
    alone = json.loads(run("plan", here, "--json").stdout)["cost"]["asked"]
    code, bare = plan("")
    hold(code == 0 and bare["cost"]["asked"] == alone, f"no artwork: {bare['cost']}, alone {alone}")
    hold(bare["cost"]["without"] == ["right (no artwork)"], f"{bare['cost']}")
    hold(not [s for s in bare["schedule"] if any(p.startswith("right") for p in s["panels"])], "no artwork: work on it")
    hold(not [p for r in bare["rolls"] for p in r["placements"] if p["panel"].startswith("right")], "no artwork: film for it")
    code, follows = plan("], artwork-follows: true, keep-whole: [")
    hold(follows["cost"]["without"] == [] and follows["cost"]["asked"] > 1.5 * alone, f"artwork follows: {follows['cost']}")
    code, stuck = plan("{file: art/a.pdf, scale: 10}], features: [{kind: keep-clear, box: [100, 100, 4000, 1200]}")
    hold(code == 1 and stuck["cost"]["without"] == ["right (cannot be planned)"] and stuck["cost"]["asked"] == alone,
         f"cannot be planned: {code} {stuck['cost']}")
    expect(here, "price on the terminal", 1, f"Price: {alone:.2f} EUR without right (cannot be planned).")


def namesakes(folder):
    """Two folders whose names make one job number are told of, both of them, until one writes its own."""
    names = ("M\u00fcller", "Mueller", "Moeller")
    for name in names:
        job(f"{folder}/{name}", {"left": (1500, 900, "{file: art/a.pdf, scale: 10}")})
        pdf(f"{folder}/{name}/art/a.pdf", 158, 98, field(158, 98))
    for name, other in ((names[0], names[1]), (names[1], names[0])):
        done = run("check", f"{folder}/{name}")
        hold(done.returncode == 2 and other in done.stderr and "`job:`" in done.stderr, f"{name}: status {done.returncode}: {done.stderr}")
    hold(run("check", f"{folder}/{names[2]}").returncode == 0, "another name is refused")
    path = f"{folder}/{names[0]}/job.yaml"
    words = open(path).read()
    open(path, "w").write("job: M-2\n" + words)
    for name in names:
        hold(run("check", f"{folder}/{name}").returncode == 0, f"{name} is refused although one of them writes its number")


def tag_of(path, wanted):
    """The bytes of a field of a little-endian classic TIFF's first directory, as TIFF 6.0, section 2, lays it out."""
    data = open(path, "rb").read()
    hold(data[:4] == b"II*\0", f"{path} is no classic TIFF")
    at, = struct.unpack_from("<I", data, 4)
    count, = struct.unpack_from("<H", data, at)
    for i in range(count):
        tag, kind, length, place = struct.unpack_from("<HHII", data, at + 2 + 12 * i)
        if tag == wanted:
            hold(kind in (1, 7), f"tag {wanted} has type {kind}")  # BYTE or UNDEFINED (XMP specification, part 3)
            return data[place:place + length]
    return b""


def metadata(folder):
    """Panel files carry the plan's mark as the version of the document, in XMP (ISO 16684-1), well-formed though the title
    is not (Python's parser), where the formats have it: /Metadata of the PDF's catalogue (poppler finds it, qpdf takes the
    file), tag 700 of the TIFF (read here, and by libvips)."""
    import xml.etree.ElementTree as tree
    rdf = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
    for form in ("pdf", "tiff"):
        here = job(f"{folder}/{form}", {"left": (1900, 900, "{file: art/a.pdf, scale: 10}")}, form)
        text = open(f"{here}/job.yaml").read().replace("title: A small job", "title: 'Rose & <Crown> \u00e9'")
        open(f"{here}/job.yaml", "w").write(text)
        pdf(f"{here}/art/a.pdf", 198, 98, field(198, 98))
        done = run("make", here, "--quiet")
        hold(done.returncode == 0, f"{form}: {done.stderr}")
        mark = json.load(open(f"{here}/out/plan.json"))["mark"]
        file = f"{here}/out/panels/{panels_of(here)[0]}"
        if form == "pdf":
            packet = subprocess.run(["pdfinfo", "-meta", file], capture_output=True, check=True).stdout
            checked = subprocess.run(["qpdf", "--check", file], capture_output=True, text=True)
            hold(checked.returncode == 0, f"qpdf: {checked.stdout} {checked.stderr}")
        else:
            packet = tag_of(file, 700)
            seen = subprocess.run(["vipsheader", "-a", file], capture_output=True, text=True, check=True).stdout
            hold("xmp-data" in seen, "libvips finds no XMP")
        root = tree.fromstring(packet.strip())
        hold(root.tag == "{adobe:ns:meta/}xmpmeta", root.tag)
        said = {child.tag: "".join(child.itertext()).strip() for child in root.find(f"{rdf}RDF/{rdf}Description")}
        hold(said.get("{http://ns.adobe.com/xap/1.0/mm/}VersionID") == mark, f"{form}: version {said}")
        hold(said.get("{http://ns.adobe.com/xap/1.0/}CreateDate") == "2027-01-15T08:00:00Z", f"{form}: made {said}")
        hold(f"plan {mark}" in said.get("{http://purl.org/dc/elements/1.1/}description", ""), f"{form}: {said}")
        if form == "pdf":
            hold("Rose & <Crown> \u00e9" in said["{http://purl.org/dc/elements/1.1/}description"], f"{said}")


def overlaps(folder):
    """Laps far from the trade's 10 to 25 mm (12 is the usual one): a warning with the figure, once for a job; over 100 mm
    the job file is refused. The bounds are our own judgement (5 and 50 mm); 0 is butted on purpose."""
    here = job(folder, {n: (1900, 900, "{file: art/a.pdf, scale: 10}") for n in ("left", "right")})
    pdf(f"{here}/art/a.pdf", 198, 98, field(198, 98))
    text = open(f"{here}/job.yaml").read()
    for written, figure, words in (("12 mm", None, ""), ("25", None, ""), ("0", None, ""), ("5", None, ""), ("50", None, ""),
                                   ("1.2 mm", "1.2 mm", "trimming hand"), ("90", "90 mm", "wide"), ("6 cm", "60 mm", "wide")):
        open(f"{here}/job.yaml", "w").write(text.replace("bleed: 40 mm", f"bleed: 40 mm, overlap: {written}"))
        found, done = findings(here, "overlap-unusual")
        hold(len(found) == (figure is not None), f"overlap {written}: {found} {done.stderr}")
        hold(not figure or (found[0]["severity"] == "warn" and found[0]["where"] == "job" and figure in found[0]["text"] and words in found[0]["text"]),
             f"overlap {written}: {found}")
    open(f"{here}/job.yaml", "w").write(text.replace("name: right,", "name: right, overlap: 2 mm,"))
    found, _ = findings(here, "overlap-unusual")
    hold([f["where"] for f in found] == ["right"], f"of one surface: {found}")
    open(f"{here}/job.yaml", "w").write(text.replace("bleed: 40 mm", "bleed: 40 mm, overlap: 120 mm"))
    done = run("check", here)
    hold(done.returncode == 2 and "from 0 mm to 100 mm" in done.stderr, f"overlap 120: {done.returncode} {done.stderr}")


def old_panels_told(folder):
    """The job's answer to the page says when OUT/panels is of another plan, also when the job cannot be read any more;
    nothing is moved by looking."""
    import urllib.request
    here = job(f"{folder}/J-1", {"left": (1900, 900, "{file: art/a.pdf, scale: 10}")})
    pdf(f"{here}/art/a.pdf", 198, 98, field(198, 98))
    hold(run("make", here, "--quiet").returncode == 0 and run("record", "plan", here).returncode == 0, "it cannot be made")
    made, text = panels_of(here), open(f"{here}/job.yaml").read()
    with served(LAPSTRAKE, folder, ENV) as address:
        for written, old in ((text, False), (text.replace("bleed: 40", "bleed: 30"), True), (text + "no-such-key: 1\n", True), (text, False)):
            open(f"{here}/job.yaml", "w").write(written)
            with urllib.request.urlopen(f"{address}/api/jobs/J-1", timeout=120) as answer:
                said = json.load(answer)
            hold(said["panels_old"] is old, f"{written[-20:]!r}: panels_old {said['panels_old']}")
            hold(panels_of(here) == made, "looking moved files")


sys.exit(run_case(globals()[CASE], faults))
