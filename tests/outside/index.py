#!/usr/bin/env python3
"""The shared collection of real artwork and profiles, each file through the program: accepted, warned of or refused
as its INDEX.tsv expects; none may end the program in another way or keep it for long.

    index.py LAPSTRAKE PROFILE [-v] [PART]      PROFILE: an output profile for the conditions; PART: of the paths to look at

Drawings: none of them is of a vehicle, so none has an outline and many have no real size, and each must be refused for that
with the file and the line. A copy that is given both must then do what the index expects, and another copy, all of whose shapes
are handles, so that every one is read, may not end the program in another way. Measurement files are told of by `lapstrake profile` and, where the index speaks of
CMYK or they have what it takes, set against the profile.
"""
import csv
import json
import os
import re
import subprocess
import sys
import tempfile
import time

from share import SHARE

HERE = os.path.dirname(os.path.abspath(__file__))
INPUTS = f"{HERE}/../../../shared/inputs"
LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
VERBOSE = "-v" in sys.argv
ONLY = ([a for a in sys.argv[3:] if a != "-v"] or [""])[0]
SECONDS_MOST = 120
PICTURES = {"pdf", "jpeg", "png", "tiff", "photo"}

SHOP = """
printers: [{name: wide, media-width: 1625}]
films: [{name: white, kind: cast, widths: [1370], length: 50 m}]
laminates: [{name: clear, kind: cast, widths: [1370], length: 50 m}]
inks: [{name: ink, technology: latex, channels: [C, M, Y, K]}]
conditions: [{name: usual, printer: wide, film: white, laminate: clear, ink: ink, profile: "%s", intent: relative}]
"""
JOB = """
job: IX-1
shop: shop.yaml
start: 2027-03-01T08:00
print: {condition: usual, overlap: 12 mm, bleed: 0 mm, resolution: 36, format: tiff}
surfaces:
  - {name: side, size: [400, 300], front: left, panels: upright, artwork: [%s]}
"""


def run(*arguments):
    """Status, standard output and error; None for a status when it took too long."""
    try:
        done = subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, errors="replace", timeout=SECONDS_MOST)
        return done.returncode, done.stdout, done.stderr
    except subprocess.TimeoutExpired:
        return None, "", ""


def job(folder, art, profile, *verb):
    os.makedirs(folder, exist_ok=True)
    open(f"{folder}/shop.yaml", "w").write(SHOP % profile)
    open(f"{folder}/job.yaml", "w").write(JOB % art)
    status, out, err = run(*(verb or ("panels", "--anyway")), folder, "--json", "--quiet")
    findings = []
    if status in (0, 1):
        findings = json.loads(out)["findings"]
    return status, findings, err


REFUSALS = {"artwork-damaged", "artwork-locked", "artwork-page"}


def picture(folder, path):
    """What became of one artwork: accepted, warned, refused, or a fault in words; and the codes or the sentence."""
    status, findings, err = job(folder, '{file: "%s", fit: bleed}' % path, PROFILE)
    if status is None:
        return f"took more than {SECONDS_MOST} s", ""
    if status == 2:
        return "refused", err.strip()
    if status not in (0, 1):
        return f"ended with status {status}", err.strip()
    codes = {f["code"] for f in findings}
    if codes & REFUSALS:
        return "refused", next(f["text"] for f in findings if f["code"] in REFUSALS)
    about_art = [f for f in findings if f["where"].startswith("side") and f["severity"] in ("warn", "stop")
                 or f["code"].startswith(("artwork", "picture"))]
    return ("warned" if about_art else "accepted"), " ".join(sorted(codes))


def profile(folder, path, as_output):
    status, out, err = run("profile", path)
    if status is None or status not in (0, 2):
        return f"ended with status {status}", err.strip()
    if status == 2 or not as_output:
        return ("refused" if status == 2 else "accepted"), (out + err).strip()
    status, findings, err = job(folder, '{file: "%s/photo/coffee.png", fit: bleed}' % INPUTS, path, "check")
    stops = [f["code"] for f in findings if f["severity"] == "stop" and f["code"].startswith("profile-")]
    if status not in (0, 1):
        return f"ended with status {status}", err.strip()
    return ("refused" if stops else "accepted"), " ".join(stops)


# What the index expects of any reader of drawings and a drawing of a surface cannot do.
DRAWINGS_OTHERWISE = {"bug515-pattern-billion-laughs.svg": "patterns are paint, which is not read: nothing grows, nothing is to be refused"}
TARGETS = "CTI2 marks the target values of a chart, not a measurement"
UNMEASURED = "nothing can be measured without a real size (doc/drawings.md); with one it is read"


def completed(text, kind=""):
    """The drawing with a size where it has no real one, an outline as large as its paper, and a kind for all its other shapes."""
    start = re.search(r"<svg\b[^>]*>", text)
    if not start:
        return text
    tag = start.group(0)
    box = re.search(r"viewBox=[\"']([^\"']*)", tag)
    sides = [float(re.search(side + r"=[\"']([\d.]+)", tag).group(1)) if re.search(side + r"=[\"'][\d.]", tag) else 200 for side in (r"\swidth", r"\sheight")]
    x, y, w, h = [float(n) for n in re.split(r"[ ,]+", box.group(1).strip())] if box else [0, 0, *sides]
    if not re.search(r"\swidth=[\"'][^%\"']*[\"']", tag):
        tag = re.sub(r"\s(width|height)=[\"'][^\"']*[\"']", "", tag)
        tag = tag[:-1] + f' width="{w}mm" height="{h}mm">'
    tag = tag[:-1] + (f' class="{kind}">' if kind else ">")
    end = text.rindex("</svg")
    outline = f'<rect class="outline" x="{x}" y="{y}" width="{w}" height="{h}"/>'
    return text[:start.start()] + tag + text[start.end():end] + outline + text[end:]


def check_drawing(folder, path):
    """Status and words of a job whose surface is this drawing."""
    os.makedirs(folder, exist_ok=True)
    open(f"{folder}/shop.yaml", "w").write(SHOP % PROFILE)
    text = JOB.replace("size: [400, 300]", 'drawing: {file: "%s", scale: 5}' % path).replace(", artwork: [%s]", "")
    open(f"{folder}/job.yaml", "w").write(text)
    status, _, err = run("check", folder, "--json", "--quiet")
    return status, "\n".join(line for line in err.splitlines() if os.path.basename(path) in line)


def drawing(folder, path):
    """What became of the drawing once it has what a drawing of a surface needs; as it stands it must be refused with its place."""
    name = os.path.basename(path)
    status, words = check_drawing(folder, path)
    place = re.search(re.escape(name) + r":\d+", words)
    if status != 2 or not place:
        return f"as it stands, ended with status {status}", words
    text = open(path, encoding="latin-1").read()
    for kind in ("handle", ""):
        open(f"{folder}/{name}", "w", encoding="latin-1").write(completed(text, kind))
        status, words = check_drawing(folder, f"{folder}/{name}")
        if status not in (0, 1, 2) or (status == 2 and not re.search(re.escape(name) + r":\d+", words)):
            return f"completed, ended with status {status}", words
    return ("refused" if status == 2 else "warned" if "stretches" in words else "accepted"), words


def drawing_as_expected(folder, path, expected):
    """As `judge`. What the index says of a missing size is about the drawing as it stands, everything else about the completed one."""
    name = os.path.basename(path)
    outcome, words = drawing(folder, path)
    as_it_stands = check_drawing(folder, path)[1]
    unmeasured = "not a real size" in as_it_stands or "has no width" in as_it_stands
    if "no real size" in expected or "no absolute size" in expected:
        return unmeasured and outcome == "accepted", "refused", as_it_stands, None
    right = outcome in wanted(expected)
    if name in DRAWINGS_OTHERWISE:
        return not right and outcome == "accepted", outcome, words, DRAWINGS_OTHERWISE[name]
    return right, outcome, words, UNMEASURED if unmeasured else None


def wanted(expected):
    """The outcomes that the index allows."""
    words = expected.strip('"').lower()
    either = " or " in words or "/" in words.split(";")[0] or "no crash" in words or "no infinite" in words
    if "as output" in words or "source/output" in words:
        return {"refused"}
    if words.startswith("ingredient"):
        return {"accepted", "warned"}
    if either:
        return {"accepted", "warned", "refused"}
    if words.startswith("refuse"):
        return {"refused"}
    if "warn" in words:
        return {"warned", "refused"} if words.startswith("warn") else {"warned"}
    return {"accepted", "warned"}


def measurement(path, expected):
    """What is said of the file alone; refused, too, when it is refused beside a CMYK profile and the index is about that."""
    status, out, err = run("profile", path)
    if status not in (0, 2) or (status == 2 and path not in err):
        return f"ended with status {status}", err.strip()
    beside, _, words = run("profile", PROFILE, "--against", path)
    if beside != (0 if "It can stand beside" in out else 2) or (beside and path not in words):
        return f"beside a profile, ended with status {beside}", words.strip()
    if status == 2 or "for CMYK use" in expected:
        return ("refused" if beside else "accepted"), (err or words).strip()
    return "accepted", out.strip()


def judge(kind, folder, path, expected):
    """Whether the program does as expected, what became of the file, in which words, and where this is not what the index says, why."""
    if kind == "svg":
        return drawing_as_expected(folder, path, expected)
    if kind == "icc":
        outcome, words = profile(folder, path, "as output" in expected or "source/output" in expected)
    elif kind == "cgats":
        outcome, words = measurement(path, expected)
        if open(path, "rb").read(4) == b"CTI2":
            return outcome == "refused", outcome, words, TARGETS
    else:
        outcome, words = picture(folder, path)
    return outcome in wanted(expected), outcome, words, None


def main():
    if not os.path.exists(f"{INPUTS}/INDEX.tsv"):
        print("the shared inputs are not there")
        return 77
    faults = looked = 0
    every = round(1 / SHARE)
    with tempfile.TemporaryDirectory() as place:
        for n, row in enumerate(csv.DictReader(open(f"{INPUTS}/INDEX.tsv"), delimiter="\t", quoting=csv.QUOTE_NONE)):
            kind, path, expected = row["kind"], f"{INPUTS}/{row['local_file']}", row["expected_behaviour"]
            if kind not in PICTURES | {"icc", "svg", "cgats"} or ONLY not in path or not os.path.exists(path) or n % every:
                continue
            from_second = time.time()
            right, outcome, words, why = judge(kind, f"{place}/{n}", os.path.realpath(path), expected)
            looked += 1
            faults += not right
            if VERBOSE or not right:
                print(f"{'' if right else 'NOT '}as expected: {row['local_file']} ({time.time() - from_second:.1f} s)\n"
                      f"    expected: {expected}\n    {outcome}: {words[:300]}")
            if right and why:
                print(f"{row['local_file']}: the index says {expected!r}; {why}")
    print(f"{looked} files looked at, {faults} not as the index expects")
    return 1 if faults or not looked else 0


sys.exit(main())
