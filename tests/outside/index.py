#!/usr/bin/env python3
"""The shared collection of real artwork and profiles, each file through the program: accepted, warned of or refused
as its INDEX.tsv expects; none may end the program in another way or keep it for long.

    index.py LAPSTRAKE PROFILE [-v]      PROFILE: an output profile for the conditions

Left out: drawings (tests/survey/test_hostile.c reads them) and measurement files, which nothing reads yet.
"""
import csv
import json
import os
import subprocess
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
INPUTS = f"{HERE}/../../../shared/inputs"
LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
VERBOSE = "-v" in sys.argv
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


def main():
    if not os.path.exists(f"{INPUTS}/INDEX.tsv"):
        print("the shared inputs are not there")
        return 77
    faults = looked = 0
    with tempfile.TemporaryDirectory() as place:
        for n, row in enumerate(csv.DictReader(open(f"{INPUTS}/INDEX.tsv"), delimiter="\t", quoting=csv.QUOTE_NONE)):
            kind, path, expected = row["kind"], f"{INPUTS}/{row['local_file']}", row["expected_behaviour"]
            if kind not in PICTURES | {"icc"} or not os.path.exists(path):
                continue
            from_second, folder = time.time(), f"{place}/{n}"
            if kind == "icc":
                outcome, words = profile(folder, os.path.realpath(path), "as output" in expected or "source/output" in expected)
            else:
                outcome, words = picture(folder, os.path.realpath(path))
            looked += 1
            right = outcome in wanted(expected)
            faults += not right
            if VERBOSE or not right:
                print(f"{'' if right else 'NOT '}as expected: {row['local_file']} ({time.time() - from_second:.1f} s)\n"
                      f"    expected: {expected}\n    {outcome}: {words[:300]}")
    print(f"{looked} files looked at, {faults} not as the index expects")
    return 1 if faults or not looked else 0


sys.exit(main())
