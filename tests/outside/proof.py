#!/usr/bin/python3
"""What the customer approves is what is printed, and the program says when it is not.

    proof.py LAPSTRAKE PROFILE letters|paper|approved

Digests by hashlib, the letters from the recipe of doc/proof.md worked out here a second time, the profile's ID after ICC.1
(7.2.18) by MD5, the paper's text and pixels by Poppler, artwork with fonts by Ghostscript. Prints one line a fault; exit
status 1 when there is one.
"""
import collections
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

from parts import Checks, K, write_pdf
from random_surfaces import shop

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
WIDTH, HEIGHT = 3000, 1200  # of the surface, mm; the artwork has 20 mm more on every side, at 1:10
MARK = (2400, 200, 300, 150)  # a red box on the surface: x, y, width, height
CHECKS = Checks(LAPSTRAKE)
faults, hold, run = CHECKS.faults, CHECKS.hold, CHECKS.run


def pdf(path, more=""):
    x, y, w, h = MARK
    stream = f"0.6 0.3 0 0 k 0 0 9999 9999 re f 0 1 1 0 k {(x + 20) * K / 10:.4f} {(y + 20) * K / 10:.4f} {w * K / 10:.4f} {h * K / 10:.4f} re f {more}"
    write_pdf(path, ["<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
                     f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 {(WIDTH + 40) * K / 10:.4f} {(HEIGHT + 40) * K / 10:.4f}]/Contents 4 0 R/Resources<<>>>>",
                     f"<</Length {len(stream)}>>stream\n{stream}\nendstream"])


def write_job(job, place="at: [-20, -20], scale: 10", size=(WIDTH, HEIGHT), more="", surface="", bare="[300, 600, 200, 100]", art="art/left.pdf"):
    open(f"{job}/job.yaml", "w").write(
        f"job: P-1\nshop: ../shop.yaml\ntitle: Test van\nindoors: {{temperature: 21, humidity: 50 %}}\ndrying: hung\n{more}"
        f"print: {{condition: usual, bleed: 20 mm, format: pdf}}\nsurfaces:\n"
        f"  - {{name: left, size: [{size[0]}, {size[1]}], front: left, panels: upright{surface}, features: [{{kind: opening, box: {bare}}}], artwork: [{{file: {art}, {place}}}]}}\n"
        f"  - {{name: rear, size: [1500, 1200], front: away, artwork-follows: true}}\n")


def make_folder(folder):
    job = f"{folder}/van"
    os.makedirs(f"{job}/art")
    open(f"{folder}/shop.yaml", "w").write(shop(PROFILE))
    pdf(f"{job}/art/left.pdf")
    write_job(job)
    return job


def proof(job, *options):
    done = run("proof", job, "--json", *options)
    return json.loads(done.stdout) if done.returncode == 0 else {"letters": None, "basis": "", "version": 0, "files": [], "lettering": [], "surfaces": []}


# ---- letters ----

def letters_of(basis):
    number, letters = int.from_bytes(hashlib.sha256(basis.encode()).digest()[:8], "big") % 24 ** 8, ""
    for _ in range(8):
        number, digit = divmod(number, 24)
        letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"[digit] + letters
    return letters


def profile_id():
    data = bytearray(open(PROFILE, "rb").read())
    data[44:48] = data[64:68] = bytes(4)
    data[84:100] = bytes(16)
    return hashlib.md5(bytes(data[:int.from_bytes(data[0:4], "big")])).hexdigest()


def expected_basis(job, films):
    art = hashlib.sha256(open(f"{job}/art/left.pdf", "rb").read()).hexdigest()
    w, h = WIDTH, HEIGHT
    under = [f"film {films[0]}", f"laminate {films[1]}", f"profile {profile_id()}"]
    return "\n".join(["lapstrake-proof/1", "job P-1", "surface left", f"outline 0.0 0.0 {w}.0 0.0 {w}.0 {h}.0 0.0 {h}.0", *under,
                      f"artwork {art} page 1 profile - at 10.000000 0.000000 0.000000 10.000000 -20.0 -20.0 clip -20.0 -20.0 {w + 20}.0 {h + 20}.0",
                      "bare opening 300.0 600.0 500.0 700.0", "surface rear", "outline 0.0 0.0 1500.0 0.0 1500.0 1200.0 0.0 1200.0", *under, ""])


def letters(folder):
    job = make_folder(folder)
    first = proof(job)
    films = (first["surfaces"][0]["film"], first["surfaces"][0]["laminate"]) if first["surfaces"] else ("", "")
    hold(first["basis"] == expected_basis(job, films), f"basis:\n{first['basis']}\nexpected:\n{expected_basis(job, films)}")
    hold(first["letters"] == letters_of(first["basis"]), f"letters {first['letters']}, by the recipe {letters_of(first['basis'])}")
    hold(first["fingerprint"] == hashlib.sha256(first["basis"].encode()).hexdigest(), "another fingerprint")
    hold([f["sha256"] for f in first["files"]] == [hashlib.sha256(open(f"{job}/art/left.pdf", "rb").read()).hexdigest()], f"files: {first['files']}")
    hold(json.load(open(f"{job}/out/proof.json")) == first, "OUT/proof.json is another than --json")
    hold(first["version"] == 1 and [s["artwork"] for s in first["surfaces"]] == [True, False], f"{first['version']} {first['surfaces']}")
    shown = {tuple(c["cmyk_percent"]): c for c in first["surfaces"][0]["colours"]}
    hold(set(shown) == {(60, 30, 0, 0), (0, 100, 100, 0)}, f"flat colours {list(shown)}")
    x, y, w, h = MARK
    red = shown.get((0, 100, 100, 0), {"at_mm": [0, 0], "share_percent": 0})
    hold(x < red["at_mm"][0] < x + w and y < red["at_mm"][1] < y + h, f"red is not at {red['at_mm']}")
    share = 100 * w * h / ((WIDTH + 40) * (HEIGHT + 40))
    hold(abs(red["share_percent"] - share) < 0.15, f"red covers {red['share_percent']} %, not {share:.2f}")  # pixels of 2 mm at its edge

    def same(why):
        hold(proof(job)["letters"] == first["letters"], f"{why}: other letters")

    def other(why, restore):
        hold(proof(job)["letters"] not in (first["letters"], None), f"{why}: the same letters")
        restore()

    os.utime(f"{job}/art/left.pdf", (1000000000, 1000000000))
    same("another time of the file")
    write_job(job, more="due: 2031-05-05\ncustomer: Somebody else\n")
    same("another due date")
    write_job(job, surface=", seams: [1000, 2000]")
    same("other seams")
    hold(proof(job, "--seams")["letters"] == first["letters"], "--seams: other letters")
    os.rename(f"{job}/art/left.pdf", f"{job}/art/new-name.pdf")
    write_job(job, art="art/new-name.pdf")
    same("another name of the file")
    os.rename(f"{job}/art/new-name.pdf", f"{job}/art/left.pdf")
    write_job(job)
    shutil.copytree(job, f"{folder}/elsewhere", ignore=shutil.ignore_patterns("out"))
    hold(proof(f"{folder}/elsewhere")["letters"] == first["letters"], "another folder: other letters")
    shutil.rmtree(f"{folder}/elsewhere")

    restore = lambda: write_job(job)
    art = open(f"{job}/art/left.pdf", "rb").read()
    open(f"{job}/art/left.pdf", "ab").write(b"%\n")
    other("one line more in the file", lambda: open(f"{job}/art/left.pdf", "wb").write(art))
    for why, keys in (("moved by a millimetre", {"place": "at: [-21, -20], scale: 10"}), ("scale", {"place": "at: [-20, -20], scale: 10.1"}),
                      ("size of the surface", {"size": (WIDTH - 1, HEIGHT)}), ("what is left bare", {"bare": "[301, 600, 200, 100]"})):
        write_job(job, **keys)
        other(why, restore)
    text = open(f"{folder}/shop.yaml").read()
    hold(films[0] in text, "the film is not in the shop file")
    for name in films:
        if name:
            open(f"{folder}/shop.yaml", "w").write(re.sub(rf"\b{re.escape(name)}\b", "another-one", text))
            other(f"film or laminate {name}", lambda: open(f"{folder}/shop.yaml", "w").write(text))
    same("all put back")
    known = [line.split() for line in open(f"{job}/out/proofs.txt")]
    hold([int(v) for v, _ in known] == list(range(1, len(known) + 1)) and len(known) > 7, f"versions: {known}")
    hold(all(a[1] != b[1] for a, b in zip(known, known[1:])), f"a version with the same letters: {known}")
    hold(proof(job)["version"] == len(known), "the last version is another")


# ---- the paper ----

def lettered(path):
    """Artwork with embedded fonts, and a word drawn as shapes."""
    program = (f"<</PageSize [{(WIDTH + 40) * K / 10:.3f} {(HEIGHT + 40) * K / 10:.3f}]>> setpagedevice 0.6 0.3 0 0 setcmykcolor 0 0 9999 9999 rectfill "
               "0 0 0 0 setcmykcolor /Helvetica findfont 60 scalefont setfont 60 220 moveto (Fresh bread daily) show "
               "/Times-Roman findfont 24 scalefont setfont 60 120 moveto (Call 555 0199) show "
               f"0 1 1 0 setcmykcolor {(MARK[0] + 20) * K / 10:.4f} {(MARK[1] + 20) * K / 10:.4f} {MARK[2] * K / 10:.4f} {MARK[3] * K / 10:.4f} rectfill showpage")
    subprocess.run(["gs", "-q", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pdfwrite", "-dPDFSETTINGS=/prepress", "-o", path, "-c", program], check=True)


def pixels(path):
    """A PPM (P6) as width, height, rows of (r, g, b)."""
    data = open(path, "rb").read()
    head = re.match(rb"P6\s+(\d+)\s+(\d+)\s+255\s", data)
    width, height = int(head[1]), int(head[2])
    body = data[head.end():]
    return width, height, lambda x, y: body[3 * (y * width + x):3 * (y * width + x) + 3]


def box_of(picture, like):
    width, height, at = picture
    hits = [(x, y) for y in range(height) for x in range(width) if like(*at(x, y))]
    return (min(x for x, _ in hits), min(y for _, y in hits), max(x for x, _ in hits) + 1, max(y for _, y in hits) + 1) if hits else (0, 0, 0, 0)


def paper(folder):
    job = make_folder(folder)
    lettered(f"{job}/art/left.pdf")
    said = proof(job)
    hold(said["lettering"] == ["Fresh bread daily", "Call 555 0199"], f"lettering: {said['lettering']}")
    words = subprocess.run(["pdftotext", "-layout", f"{job}/out/proof.pdf", "-"], capture_output=True, text=True, check=True).stdout
    code = said["letters"] or ""
    for wanted in (*said["lettering"], f"{code[:4]} {code[4:]}", "left", "rear", "opening", "does not show", "art/left.pdf", said["files"][0]["sha256"][:8], "Signature", "Test van", "C 0", "M 100"):
        hold(wanted in words, f"the paper does not say {wanted!r}")
    scale = re.search(r"scale 1 : (\d+)", words)
    hold(scale, "no scale is stated")
    subprocess.run(["pdftoppm", "-r", "100", "-f", "2", "-l", "2", f"{job}/out/proof.pdf", f"{folder}/page"], check=True)
    picture = pixels(next(f"{folder}/{f}" for f in sorted(os.listdir(folder)) if f.startswith("page")))
    red = box_of(picture, lambda r, g, b: r > 150 and g < 90 and b < 90)
    # the commonest colour but the paper's: the field at full strength, the surface without its faint bleed
    width, height, at = picture
    colours = collections.Counter(at(x, y) for y in range(0, height, 3) for x in range(0, width, 3))
    blue = next(c for c, _ in colours.most_common() if min(c) < 200)
    field = box_of(picture, lambda *rgb: max(abs(a - b) for a, b in zip(rgb, blue)) < 12)
    mm = (field[2] - field[0]) / WIDTH, (field[3] - field[1]) / HEIGHT  # pixels for a millimetre
    hold(abs(mm[0] / mm[1] - 1) < 0.02 and mm[0] > 0.2, f"not to one scale: {mm}")
    if scale:
        hold(abs(100 / 25.4 / mm[0] - float(scale[1])) < 0.6, f"scale 1 : {scale[1]} is stated, {100 / 25.4 / mm[0]:.2f} is drawn")
    x, y, w, h = MARK
    wanted = (field[0] + x * mm[0], field[3] - (y + h) * mm[1], field[0] + (x + w) * mm[0], field[3] - y * mm[1])
    hold(all(abs(a - b) <= 2 for a, b in zip(red, wanted)), f"red lies at {red}, not at {wanted}")
    before = words
    run("proof", job, "--seams", "--quiet")
    words = subprocess.run(["pdftotext", "-layout", f"{job}/out/proof.pdf", "-"], capture_output=True, text=True, check=True).stdout
    hold("order of installing" in words and "order of installing" not in before, "seams are not drawn when asked for, or are when not")


# ---- approvals ----

def checked(job):
    done = subprocess.run([LAPSTRAKE, "check", job, "--json"], capture_output=True, text=True, timeout=300)
    hold(done.returncode in (0, 1) and done.stdout, f"check: {done.returncode} {done.stderr}")
    return {} if done.returncode > 1 else {f["code"]: f for f in json.loads(done.stdout)["findings"] if f["code"].startswith("proof-")}, done.returncode


def approve(job, letters, *more, status=0, says=""):
    return run("record", "add", job, "approved", "--letters", letters, "--how", "mail", "--who", "C. Customer", *more, status=status, says=says)


def differs(job, words):
    """The finding names what differs, surface by surface, and nothing else."""
    text = checked(job)[0]["proof-changed"]["text"]
    hold(text.endswith(f" Different: {words}."), f"to be told {words!r}: {text}")


def different_parts(job):
    """One thing changed at a time beside the artwork, which stays changed."""
    for written, words in ((dict(size=(WIDTH, HEIGHT + 10)), "left: artwork, size or outline"),
                           (dict(place="at: [-10, -20], scale: 10"), "left: artwork, place of the artwork"),
                           (dict(bare="[320, 600, 200, 100]"), "left: artwork, what is left bare")):
        write_job(job, more="proof: required\n", **written)
        differs(job, words)
    write_job(job, more="proof: required\n")
    kept = open(f"{job}/job.yaml").read()
    open(f"{job}/job.yaml", "w").write(kept.replace("name: rear", "name: back"))
    differs(job, "left: artwork; back: new; rear: not on this job any more")
    open(f"{job}/job.yaml", "w").write(kept)


def approved(folder):
    job = make_folder(folder)
    run("record", "plan", job)
    hold(checked(job) == ({}, 0), f"nobody asked for an approval: {checked(job)}")
    approve(job, "ABCDEFGH", status=2, says="make it first")
    write_job(job, more="proof: required\n")
    told, status = checked(job)
    hold(status == 1 and told["proof-awaited"]["severity"] == "stop", f"required: {told}")
    run("make", job, "--quiet", status=1)
    hold(not os.path.exists(f"{job}/out/panels") or not os.listdir(f"{job}/out/panels"), "panels were made without approval")
    letters = proof(job)["letters"]
    approve(job, "ABCDEFGH", status=2, says=letters)
    run("record", "add", job, "approved", "--letters", letters, "--how", "telephone", "--who", "C", status=2, says="mail, signature, counter")
    run("record", "add", job, "approved", "--letters", letters, "--how", "mail", status=2, says="who approved")
    run("record", "plan", job, status=1)
    run("record", "add", job, "printed", "--panels", "left-1", status=1)  # the print gate
    approve(job, f"{letters[:4].lower()} {letters[4:].lower()}")
    hold(checked(job) == ({}, 0), f"approved: {checked(job)}")
    run("record", "plan", job)
    run("make", job, "--quiet")
    hold(os.listdir(f"{job}/out/panels"), "no panels after approval")
    fact = [f for f in json.loads(run("record", "export", job, "--json").stdout)["facts"] if f["kind"] == "approved"]
    hold(len(fact) == 1 and (fact[0]["letters"], fact[0]["how"], fact[0]["who"]) == (letters, "mail", "C. Customer"), f"on record: {fact}")
    again = proof(job)
    hold(again["approved"] and again["approved"]["letters"] == letters == again["letters"], f"approved in proof.json: {again['approved']}")

    pdf(f"{job}/art/left.pdf", "0 0 0 1 k 20 20 9 9 re f")
    told, status = checked(job)
    hold(status == 1 and told["proof-changed"]["severity"] == "stop" and letters in told["proof-changed"]["text"] and "C. Customer" in told["proof-changed"]["text"], f"changed: {told}")
    differs(job, "left: artwork")
    different_parts(job)
    run("make", job, "--quiet", status=1)
    run("record", "plan", job, status=1)
    run("record", "add", job, "printed", "--panels", "left-1", status=1)
    run("record", "add", job, "accepted", "--code", "proof-changed", "--words", "said so by telephone", "--who", "Ana")
    told, status = checked(job)
    hold(status == 0 and told["proof-changed"]["severity"] == "warn" and told["proof-changed"]["accepted"]["who"] == "Ana", f"overruled: {told}")
    run("record", "plan", job)
    pdf(f"{job}/art/left.pdf", "0 0 0 1 k 20 20 8 9 re f")
    told, status = checked(job)
    hold(status == 1 and told["proof-changed"]["severity"] == "stop", f"changed once more: the acceptance must lapse: {told}")
    newer = proof(job)
    hold(newer["version"] == again["version"] + 1 and newer["letters"] != letters, f"version {newer['version']} after {again['version']}")
    approve(job, newer["letters"])
    told, _ = checked(job)
    hold("proof-changed" not in told, f"approved again: {told}")
    run("record", "plan", job)
    run("record", "add", job, "printed", "--panels", "left-1")
    # withdrawn: what was approved before counts again
    last = [f for f in json.loads(run("record", "export", job, "--json").stdout)["facts"] if f["kind"] == "approved"][-1]
    run("record", "add", job, "withdrawn", "--withdraws", str(last["number"]), "--words", "another job's mail")
    told, status = checked(job)
    hold(status == 1 and "proof-changed" in told, f"withdrawn: {told}")
    hold(run("record", "verify", job).returncode == 0, "the record does not verify")


def main():
    with tempfile.TemporaryDirectory() as folder:
        {"letters": letters, "paper": paper, "approved": approved}[CASE](folder)
    print("\n".join(faults) or f"{CASE}: right")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
