#!/usr/bin/python3
"""Every code in the table of findings is really raised by some job, and no other is.

    raised.py LAPSTRAKE PROFILE

Small jobs, each with faults of its own, are checked, planned or made as a shop would; what they raise together must be
the table of `lapstrake doc findings`. Each case names the codes that it is there for.
"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

from parts import K, write_pdf
from random_surfaces import shop

LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
ENV = dict(os.environ, SOURCE_DATE_EPOCH="1800000000")
faults, raised = [], {}


def run(*arguments):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, env=ENV, timeout=300)


def pdf(path, width, height, content="0.3 0.1 0 0 k 0 0 9999 9999 re f", page="/Resources<<>>", objects=(), catalog="", count=1):
    """Pages of width x height mm, all alike."""
    box = f"[0 0 {width * K:.4f} {height * K:.4f}]"
    write_pdf(path, [f"<</Type/Catalog/Pages 2 0 R{catalog}>>", f"<</Type/Pages/Kids[{'3 0 R ' * count}]/Count {count}>>",
                     f"<</Type/Page/Parent 2 0 R/MediaBox{box}/Contents 4 0 R {page}>>",
                     f"<</Length {len(content)}>>stream\n{content}\nendstream", *objects])


class Job:
    """A folder with a shop, a job of one or more surfaces and its artwork, changed by each case."""

    def __init__(self, top, name):
        self.folder = os.path.join(top, name)
        os.makedirs(os.path.join(self.folder, "art"))
        self.shop = shop(PROFILE)
        self.head = ["job: T-1", "start: 2027-03-01T08:00", "indoors: {temperature: 21, humidity: 50 %}", "drying: hung"]
        self.print, self.surfaces = "condition: usual, bleed: 20 mm", []

    def art(self, name):
        return os.path.join(self.folder, "art", name)

    def surface(self, more="", size=(1000, 800), name="left", front="left", art="a.pdf", bare=False):
        placed = f", artwork: [{{file: art/{art}, scale: 10, at: [-20, -20]}}]" if art else "" if "artwork: [" in more or bare else ", artwork-follows: true"
        front = f", front: {front}" if front else ""
        self.surfaces.append(f"  - {{name: {name}, size: [{size[0]}, {size[1]}]{front}{placed}{', ' if more else ''}{more}}}")
        if art and not os.path.exists(self.art(art)):
            pdf(self.art(art), (size[0] + 40) / 10, (size[1] + 40) / 10)

    def swap(self, old, new):
        assert old in self.shop, old
        self.shop = self.shop.replace(old, new)

    def put(self, verb="check", *options):
        open(os.path.join(self.folder, "shop.yaml"), "w").write(self.shop)
        lines = self.head + [f"print: {{{self.print}}}", "surfaces:"] + self.surfaces
        open(os.path.join(self.folder, "job.yaml"), "w").write("\n".join(lines) + "\n")
        done = run(verb, self.folder, "--json", "--quiet", *options)
        if done.returncode not in (0, 1):
            faults.append(f"{self.folder}: {done.returncode} {done.stderr}")
            return set()
        return {f["code"] for f in json.loads(done.stdout)["findings"]}


def own_profile(job, change):
    """The condition's profile with its bytes changed."""
    data = bytearray(open(PROFILE, "rb").read())
    path = os.path.join(job.folder, "own.icc")
    open(path, "wb").write(change(data) or data)
    job.swap(PROFILE, path)


# ---- artwork ----

def files_of_customers(job):
    """Artworks with a fault each, on surfaces of their own."""
    open(job.art("damaged.pdf"), "wb").write(b"%PDF-1.6\nnothing\n")
    pdf(job.art("open.pdf"), 104, 84)
    subprocess.run(["gs", "-q", "-dSAFER", "-sDEVICE=pdfwrite", "-dEncryptionR=3", "-dKeyLength=128", "-sOwnerPassword=a", "-sUserPassword=b",
                    "-o", job.art("locked.pdf"), job.art("open.pdf")], check=True)
    subprocess.run(["convert", "-size", "60x40", "xc:red", job.art("small.png")], check=True)
    pdf(job.art("short.pdf"), 100, 80)
    pdf(job.art("mixed.pdf"), 104, 84, "1 0 0 rg 0 0 100 100 re f 0 1 0 0 k 0 0 50 50 re f")
    pdf(job.art("pages.pdf"), 104, 84, count=2)
    pdf(job.art("tall.pdf"), 40, 84)
    pdf(job.art("big.pdf"), 1040, 840)
    for i, art in enumerate(("damaged.pdf", "locked.pdf", "short.pdf", "mixed.pdf", "pages.pdf", "big.pdf")):
        job.surface(name=f"s{i}", art=art)
    job.surface(name="s7", art=None, bare=True)
    job.surface("artwork: [{file: art/small.png, fit: bleed}]", name="s8", art=None)
    job.surface("artwork: [{file: art/tall.pdf, fit: bleed}]", name="s9", art=None)
    job.surface("artwork: [{file: art/pages.pdf, page: 9, scale: 10}]", name="s10", art=None)
    return job.put()


def inside_pdfs(job):
    """What PDFs carry: spots, layers, fonts, overprint, transfer, annotations, boxes, another condition's output intent."""
    tint = "<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[0 1 0 0]/N 1>>"
    gold, cut = (f"[/Separation/{name}/DeviceCMYK {tint}]" for name in ("Gold", "Kiss#20Cut"))
    pdf(job.art("spots.pdf"), 104, 84, "/A cs 1 scn 0 0 50 50 re f /B cs 1 scn 50 0 50 50 re f", f"/Resources<</ColorSpace<</A {gold}/B {cut}>>>>")
    pdf(job.art("layers.pdf"), 104, 84, "/OC /L BDC 0 1 0 0 k 0 0 50 50 re f EMC", "/Resources<</Properties<</L 5 0 R>>>>",
        ["<</Type/OCG/Name(Notes)>>"], "/OCProperties<</OCGs[5 0 R]/D<</OFF[5 0 R]>>>>")
    pdf(job.art("fonts.pdf"), 104, 84, "0 0 0 1 k BT /F 20 Tf 20 20 Td (Words) Tj ET", "/Resources<</Font<</F<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>")
    pdf(job.art("over.pdf"), 104, 84, "1 0 0 0 k 0 0 300 300 re f /G gs 0 0 0 0 k 0 0 90 90 re f",
        "/Resources<</ExtGState<</G<</OP true/op true/OPM 1/TR 5 0 R>>>>>>", ["<</FunctionType 2/Domain[0 1]/N 2>>"])
    pdf(job.art("notes.pdf"), 104, 84, page="/Annots[5 0 R]",
        objects=["<</Type/Annot/Subtype/Stamp/F 4/Rect[10 10 90 60]/Contents(Mind this)/AP<</N 6 0 R>>>>",
                 "<</Type/XObject/Subtype/Form/BBox[0 0 80 50]/Length 21>>stream\n0 g 0 0 80 50 re f   \nendstream"])
    k = K * 10
    marks = " ".join(f"{x * k:.2f} {y0 * k:.2f} m {x * k:.2f} {y1 * k:.2f} l S" for x in (2, 10.4) for y0, y1 in ((0, 1.4), (8.9, 10.3))) + " " + \
        " ".join(f"{x0 * k:.2f} {y * k:.2f} m {x1 * k:.2f} {y * k:.2f} l S" for y in (2, 8.4) for x0, x1 in ((0, 1.4), (11, 12.4)))
    pdf(job.art("marks.pdf"), 124, 104, f"0 0 0 1 K 0.5 w {marks} 0.2 0 0 0 k {2 * k} {2 * k} {8.4 * k} {6.4 * k} re f", f"/TrimBox[{2 * k} {2 * k} {10.4 * k} {8.4 * k}]")
    pdf(job.art("boxes.pdf"), 104, 84, page="/TrimBox[-50 -50 290 230]")
    pdf(job.art("intent.pdf"), 104, 84, catalog="/OutputIntents[<</Type/OutputIntent/S/GTS_PDFX/OutputConditionIdentifier(Another press)>>]")
    for i, art in enumerate(("spots.pdf", "layers.pdf", "fonts.pdf", "over.pdf", "notes.pdf", "marks.pdf", "boxes.pdf", "intent.pdf")):
        job.surface(name=f"s{i}", art=art)
    group = "/Group<</S/Transparency/CS/%s>>/Resources<</ExtGState<</G<</ca 0.5>>>>>>"
    for name, space in (("rgb.pdf", "DeviceRGB"), ("grey.pdf", "DeviceGray")):
        pdf(job.art(name), 104, 84, "/G gs 1 0 0 0 k 0 0 100 100 re f", group % space)
    job.surface("artwork: [{file: art/rgb.pdf, scale: 10, at: [-20, -20]}, {file: art/grey.pdf, scale: 10, at: [-20, -20]}]", name="s20", art=None)
    return job.put()


def files_mistaken(job):
    """The artworks of two sides exchanged, an older version, lettering the wrong way round."""
    pdf(job.art("left.pdf"), 104, 84)
    pdf(job.art("right.pdf"), 104, 84)
    pdf(job.art("roof-v1.pdf"), 104, 84)
    pdf(job.art("roof-v2.pdf"), 104, 84, "0 0 1 0 k 9 9 9 9 re f")
    pdf(job.art("mirrored.pdf"), 104, 84, "0 0 0 1 k q -1 0 0 1 250 0 cm BT /F 40 Tf 20 100 Td (Lettering) Tj ET Q",
        "/Resources<</Font<</F<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>")
    job.surface(art="right.pdf")
    job.surface(name="right", front="right", art="left.pdf")
    job.surface(name="roof", art="roof-v1.pdf")
    job.surface(name="s3", art="mirrored.pdf")
    job.surface("artwork: [{file: art/left.pdf, scale: 10}, {file: art/left.pdf, scale: 10}]", name="s4", art=None)
    return job.put()


# ---- colour ----

def profile_damaged(job):
    job.surface()
    own_profile(job, lambda data: data[:200])
    return job.put()


def profile_class(job):
    job.surface()
    own_profile(job, lambda data: data.__setitem__(slice(12, 16), b"mntr"))
    return job.put()


def profile_space(job):
    job.surface()
    own_profile(job, lambda data: data.__setitem__(slice(16, 20), b"RGB "))
    return job.put()


def profile_in_printer(job):
    job.surface()
    job.swap(f"profile: {PROFILE}", "profile: in-printer")
    return job.put()


def profile_identity(job):
    """A standard's name, a wrong ID, another fingerprint than the shop remembers."""
    job.surface()
    own_profile(job, lambda data: bytes(data[:84]) + b"\x01" * 16 + bytes(data[100:]).replace("Demo".encode("utf-16-be"), "SWOP".encode("utf-16-be")).replace(b"Demo", b"SWOP"))
    job.swap("ink-limit: 400 %", f"ink-limit: 400 %, fingerprint: {'0' * 32}")
    return job.put()


def without_profile(job):
    job.surface()
    job.swap(f"profile: {PROFILE}, ", "")
    return job.put("panels", "--anyway")


def without_profile_in_pixels(job):
    job.print += ", format: tiff, resolution: 20"
    return without_profile(job)


def old_panels(job):
    job.surface()
    job.put("panels")
    job.print += ", overlap: 20 mm"
    job.surfaces = []
    job.surface(size=(1010, 800))
    return job.put()


def much_ink(job):
    pdf(job.art("a.pdf"), 104, 84, "1 1 1 1 k 0 0 9999 9999 re f")
    job.surface()
    job.swap("ink-limit: 400 %", "ink-limit: 250 %")
    return job.put()


# ---- material ----

RECESS = "features: [{kind: recess, box: [300, 300, 240, 240], depth: %d, wall: %d deg%s}]"


def stretched(job):
    """Steep recesses, one of them decided, one too wide, and ribs that do not say how they are laid."""
    job.surface(RECESS % (90, 70, ""))
    job.surface(RECESS % (90, 70, ", inlay: true"), name="s1")
    job.surface("features: [{kind: recess, box: [10, 10, 1990, 1500], depth: 90, wall: 70 deg, inlay: true}]", size=(2000, 1600), name="s2")
    job.surface("features: [{kind: corrugation, box: [0, 0, 1000, 800], profile: sinusoid, pitch: 76, depth: 14, runs: upright}]", name="s3")
    return job.put()


def unwritten_limits(job):
    job.shop = job.shop.replace(" stretch-limit: 15 %,", "").replace(", stretch-limit: 15 %", "")
    job.surface(RECESS % (25, 60, ""))
    job.head.append("durability: 9 y")
    job.swap("durability: 7 y, temperature", "temperature")
    return job.put()


def calendered_and_uv(job):
    job.swap("name: white, kind: cast", "name: white, kind: calendered")
    job.swap("technology: eco-solvent", "technology: uv")
    job.shop = job.shop.replace(" stretch-limit: 15 %,", "").replace(", stretch-limit: 15 %", "")
    job.surface(RECESS % (45, 60, ""))
    return job.put()


def no_laminate(job):
    job.surface()
    job.swap("laminate: gloss, ", "")
    return job.put()


def waived_laminate(job):
    job.surface()
    job.swap("laminate: gloss, ", "no-laminate: {reason: a show car for a week, until: 2027-12-31}, ")
    return job.put()


def narrow_laminate(job):
    job.swap("finish: gloss, widths: [1370, 1520]", "finish: gloss, widths: [600]")
    job.surface("glass: true")
    return job.put()


# ---- plan ----

def seams_by_hand(job):
    """Fixed through what they should not cut, too near to edges, and off the crest."""
    job.surface("seams: [480, 560, 700], features: [{kind: handle, box: [450, 300, 60, 60]}], keep-whole: [{box: [650, 100, 100, 100]}]")
    job.surface("panels: upright, seams: [1200], features: [{kind: gap, line: [1220, 0, 1220, 500]}]", size=(2400, 800), name="s1")
    job.surface("overlap: 30 mm, features: [{kind: corrugation, box: [0, 0, 2600, 800], profile: sinusoid, pitch: 76, depth: 4, laid: bridged, runs: upright}]",
                size=(2600, 800), name="s2")
    job.surface("overlap: 0 mm", size=(2600, 800), name="s3")
    job.surface("panels: upright, features: [{kind: keep-clear, box: [500, 0, 1700, 800]}]", size=(2700, 800), name="s4")
    job.surface("panels: lying, features: [{kind: gap, line: [500, 0, 500, 700]}, {kind: uncovered, box: [100, 100, 100, 50]}, {kind: glass, box: [600, 200, 100, 200]}]", name="s5")
    job.surface("features: [{kind: handle, box: [-10, 300, 60, 60]}]", name="s6")
    job.surface("overlap: 90 mm", size=(2600, 800), name="s7")
    return job.put()


def odd_surfaces(job):
    job.surface(name="panel", front=None)
    job.surface(size=(27000, 5000), name="s1", art=None)
    job.surface("panels: lying, features: [{kind: keep-clear, box: [0, 0, 32000, 800]}]", size=(32000, 800), name="s2", art=None)
    pdf(job.art("a.pdf"), 104, 84, "0.3 0.1 0 0 k 0 0 40 9999 re f")
    job.surface(size=(2600, 800), name="s3")
    return job.put()


def mixed_widths(job):
    job.head.append("mixed-widths: true")
    job.swap("widths: [1370, 1520], length: 50 m, thickness", "widths: [400, 1520], length: 50 m, thickness")
    job.swap("finish: gloss, widths: [1370, 1520]", "finish: gloss, widths: [400, 1520]")
    job.shop = job.shop.replace("threading", "threading") + "threading: 0 mm\n"
    job.surface(size=(1700, 5000))
    return job.put()


def apart(job):
    job.head.append("align: left-rear")
    job.surface("panels: lying, seams: [800]", size=(2000, 1800))
    job.surface("panels: lying, seams: [1100]", size=(1500, 1800), name="rear", front="away")
    return job.put()


def lettered(job):
    text = "0 0 0 1 k BT /F 40 Tf 20 100 Td (Lettering here) Tj ET"
    pdf(job.art("a.pdf"), 104, 84, text, "/Resources<</Font<</F<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>")
    job.surface("features: [{kind: handle, box: [200, 320, 200, 60]}]")
    return job.put()


# ---- time and money ----

def cold_and_late(job):
    """A cold, humid room, nothing said of drying, a small crew, an early date."""
    job.head = ["job: T-1", "start: 2027-03-01T08:00", "indoors: {temperature: 10, humidity: 70 %}", "due: 2027-03-02T12:00", "leaves: 2027-03-02T17:00"]
    job.surface(size=(1000, 2600))
    return job.put()


def hot_tight(job):
    job.head = ["job: T-1", "start: 2027-03-01T08:00", "indoors: {temperature: 34, humidity: 50 %}", "drying: tight-roll"]
    job.surface()
    return job.put()


def nothing_said(job):
    job.head = ["job: T-1", "start: 2027-03-01T08:00"]
    job.swap("price: 9.80 per m2, ", "")
    job.swap("waste: 5 %", "waste: 5 %, margin: 30 %")
    job.surface()
    return job.put("plan", "--choose", "9")


def printed_before(job):
    """On record for another plan."""
    job.surface(size=(2600, 800))
    job.put()
    for arguments in (("plan", job.folder), ("add", job.folder, "printed", "--panels", "left-1", "--who", "A B")):
        done = run("record", *arguments)
        if done.returncode not in (0, 1):
            faults.append(f"record {arguments}: {done.returncode} {done.stderr}")
    with open(job.art("a.pdf"), "ab") as out:
        out.write(b"% saved again\n")
    again = job.put()
    pdf(job.art("a.pdf"), 264, 84, "0 1 1 0 k 0 0 9999 9999 re f")
    changed = job.put()
    job.surfaces = []
    job.surface("seams: [900]", size=(2000, 800))
    return again | changed | job.put()


def on_record(job, *entries):
    for arguments in entries:
        done = run("record", *arguments)
        if done.returncode not in (0, 1):
            faults.append(f"record {arguments}: {done.returncode} {done.stderr}")


def proofs(job):
    """Approval awaited; then approved, and changed."""
    job.head = ["job: T-1", "proof: required"]
    job.surface()
    awaited = job.put()
    letters = json.loads(run("proof", job.folder, "--json").stdout)["letters"]
    on_record(job, ("add", job.folder, "approved", "--letters", letters, "--how", "mail", "--who", "C"))
    with open(job.art("a.pdf"), "ab") as out:
        out.write(b"% saved again\n")
    return awaited | job.put()


def printed_again(job):
    """Never made; then made, and everything changed; on record on a batch that is gone, and of artwork that nobody kept."""
    job.surface(size=(2600, 2000))
    again = lambda panel="left/left-1": job.put("reprint", panel, "--reason", "torn")
    never = again()
    job.put("make")
    own_profile(job, lambda data: data.__setitem__(slice(-40, -39), bytes([data[-40] ^ 1])))
    job.swap("ink-limit: 400 %", "ink-limit: 400 %, mode: slow")
    job.head.append("feed: 100.4 %")
    job.surfaces = []
    job.surface("seams: [900]", size=(2600, 2000))
    changed = again()
    on_record(job, ("plan", job.folder), ("add", job.folder, "roll-in", "--what", "film", "--of", "white", "--width", "1370", "--length", "50 m", "--batch", "B-1"),
              ("add", job.folder, "printed", "--panels", "left-1", "--batch", "B-9"))
    gone = again()
    shutil.rmtree(os.path.join(job.folder, "out"))
    on_record(job, ("add", job.folder, "printed", "--panels", "left-2", "--batch", "B-1"))
    return never | changed | gone | again("left/left-2")


def printed_too_long(job):
    """Another job on the same printer, film and mode was measured."""
    job.surface(size=(2600, 800))
    job.put()
    for arguments in (("plan", job.folder), ("add", job.folder, "printed", "--panels", "left-1", "--who", "A B"),
                      ("add", job.folder, "measured", "--panels", "left-1", "--who", "A B", "--planned", "800", "--measured", "802")):
        done = run("record", *arguments)
        if done.returncode not in (0, 1):
            faults.append(f"record {arguments}: {done.returncode} {done.stderr}")
    job.head = ["job: T-2", *job.head[1:]]
    return job.put()


def on_rolls(job):
    """Rolls too short for a print, a surface on two new ones, and stock of which no batch does it."""
    whole = job.shop
    job.shop = whole.replace("length: 50 m", "length: 3 m")
    job.surface("panels: upright", size=(1000, 2700))
    short = job.put("rolls")
    job.surfaces.clear()
    job.surface("panels: upright", size=(3000, 700), name="right", front="right", art="b.pdf")
    asked = job.put("rolls")
    job.shop = whole
    job.put()
    on_record(job, ("plan", job.folder), *[("add", job.folder, "roll-in", "--what", "film", "--of", "white", "--width", "1370", "--length", "4 m", "--batch", batch)
                                           for batch in ("B-1", "B-2")])
    return short | asked | job.put("rolls")


def bought_in(job):
    """Printed elsewhere: no lead time said, and one that is too short."""
    job.surface()
    job.head.append("printing: bought-in")
    unsaid = job.put()
    job.head.append("bought-in: {lead-time: 2 d}")
    return unsaid | job.put()


def wide_lap(job):
    job.print += ", overlap: 60 mm"
    job.surface()
    return job.put()


def proved(job):
    job.surface()
    return job.put("panels", "--prove")


def texts(job):
    """Words in fonts that are not there or lack a letter, too long, narrowed, low, and alone on a surface."""
    at = "at: [100, 300], height"
    for i, words in enumerate((f"words: H, {at}: 80, font: Nowhere Grotesk 9", f"words: \"\\u2603\", {at}: 80, font: Nimbus Sans",
                               f"words: HHHHHHHHHHHH, {at}: 80, width: 60", f"words: HHHH, {at}: 80, width: 300", f"words: H, {at}: 2")):
        job.surface(f"text: [{{{words}}}]", name=f"s{i}", art="a.pdf")
    job.surface(f"text: [{{words: H, {at}: 80}}]", name="alone", art=None, bare=True)
    return job.put()


def reprint_of_a_fleet(job):
    """The panel with each vehicle's number differs from vehicle to vehicle."""
    open(os.path.join(job.folder, "fleet.csv"), "w").write("unit\n201\n202\n")
    job.head.append("vehicles: fleet.csv")
    job.surface("text: [{words: '{unit}', at: [100, 300], height: 80}]")
    job.put("make")
    return job.put("reprint", "left/left-1", "--reason", "torn")


def pieces(job):
    """Cut along paths that are not there, not closed, or that cutter and film cannot hold; past the edge."""
    tint = "<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[0 1 0 0]/N 1>>"
    line = f"/Resources<</ColorSpace<</A [/Separation/Line/DeviceCMYK {tint}]>>>>"
    k = K
    spiked = [(5, 5), (40, 5), (40, 20), (60, 20), (60, 20.5), (40, 20.5), (40, 40), (25.2, 40), (25.2, 12), (25, 12), (25, 40), (5, 40)]
    path = lambda points, end: " ".join(f"{x * k:.3f} {y * k:.3f} {'l' if i else 'm'}" for i, (x, y) in enumerate(points)) + f" {end} "
    pdf(job.art("spiked.pdf"), 70, 50, "/A CS 1 SCN " + path(spiked, "s") + path([(62, 40), (63, 40), (63, 41)], "s"), line)
    pdf(job.art("open.pdf"), 70, 50, "/A CS 1 SCN " + path(spiked[:4], "S"), line)
    job.shop += "\ncutters: [{name: plotter, least-width: 4, least-gap: 3, least-radius: 1, least-area: 20}]\n"
    piece = lambda name, art, at, cut, more="": f"{{name: {name}, artwork: {{file: art/{art}, scale: 5}}, at: [{at}], cut: {{{cut}}}{more}}}"
    job.surface("pieces: [" + ", ".join((piece("thin", "spiked.pdf", "100, 100", "spot: Line"), piece("gone", "spiked.pdf", "100, 400", "spot: Nothing"),
                                         piece("open", "open.pdf", "500, 400", "spot: Line"), piece("past", "spiked.pdf", "900, 100", "box: 0"),
                                         piece("glass", "spiked.pdf", "500, 100", "box: 0"))) + "]", art=None, bare=True)
    return job.put()


def long_ago(job):
    job.head = ["job: T-1", "start: 2020-06-01T08:00", "due: 2020-06-20T17:00"]
    job.surface()
    return job.put()


CASES = {
    files_of_customers: "artwork-damaged artwork-locked artwork-short resolution-low no-profile mixed-colour artwork-missing artwork-page artwork-size artwork-cropped artwork-pages",
    inside_pdfs: "spot-colour spot-cut layers-hidden fonts-missing white-overprint transfer-curves annotation-left-out artwork-boxes artwork-remark artwork-groups output-intent-differs",
    files_mistaken: "artwork-other-surface artwork-newer artwork-mirrored artwork-twice",
    profile_in_printer: "profile-in-printer", bought_in: "lead-time-assumed lead-time-short",
    profile_damaged: "profile-damaged", profile_class: "profile-class", profile_space: "profile-space",
    profile_identity: "profile-generic profile-id-wrong profile-changed", without_profile: "profile-missing panels-own-colours",
    without_profile_in_pixels: "panels-not-made", old_panels: "panels-old", much_ink: "ink-over-limit heavy-ink",
    stretched: "stretch-over-limit stretch-if-stuck inlay-proposed inlay inlay-wide laid-unsaid stretch-near-limit",
    unwritten_limits: "stretch-limit-unwritten durability-short durability-unknown",
    calendered_and_uv: "ink-not-conformable film-not-conformable laminate-mismatch",
    no_laminate: "laminate-missing", waived_laminate: "laminate-waived", narrow_laminate: "width-short window-rules",
    seams_by_hand: "seam-crosses keep-whole-cut panel-narrow sliver overlap-off-crest overlap-none overlap-unusual no-seam-possible cut-line cut-out seal-bare surface-difference",
    odd_surfaces: "front-guessed size-doubtful panel-large panel-blank panel-too-long hanging-height",
    mixed_widths: "widths-mixed", apart: "seams-apart", lettered: "lettering-over",
    cold_and_late: "drying-slow drying-unsaid laminate-too-cold due-missed vehicle-leaves crew-short",
    hot_tight: "drying-not-possible laminate-too-warm", nothing_said: "room-assumed price-missing margin-meaning design-unsaid value-assumed",
    printed_too_long: "feed-recorded", printed_again: "never-made reprint-profile reprint-condition reprint-plan feed-kept reprint-batch reprint-unknown",
    texts: "font-missing glyph-missing text-long text-narrowed text-small text-alone", reprint_of_a_fleet: "reprint-vehicle",
    pieces: "cut-missing cut-open cut-thin cut-gap cut-corner cut-island cut-line-left-out piece-past-edge",
    proofs: "proof-awaited proof-changed",
    on_rolls: "roll-short batch-to-ask batch-short",
    printed_before: "printed-otherwise artwork-changed artwork-saved-again", long_ago: "date-past", proved: "panels-proved", wide_lap: "overlap-unusual",
}


def main():
    table = set(re.findall(r"^\| ([a-z-]+) \| (?:stop|warn|note) \|", run("doc", "findings").stdout, re.M))
    with tempfile.TemporaryDirectory() as top:
        for case, codes in CASES.items():
            got = case(Job(os.path.join(top, case.__name__), "job"))  # a record of its own
            faults.extend(f"{case.__name__}: {code} was not raised: {sorted(got)}" for code in codes.split() if code not in got)
            for code in got:
                raised.setdefault(code, case.__name__)
            shutil.rmtree(os.path.join(top, case.__name__))
    faults.extend(f"{code}: in the table, raised by no job" for code in sorted(table - set(raised)))
    faults.extend(f"{code}: raised by {raised[code]}, not in the table" for code in sorted(set(raised) - table))
    if len(table) < 50:
        faults.append("the table of findings was not read")
    print("\n".join(faults) or f"{len(table)} codes raised by {len(CASES)} jobs")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
