#!/usr/bin/python3
"""Ordinary mistakes put into sound jobs at random, and whether the program says so with the right figure.

    injected.py LAPSTRAKE PROFILE [MISTAKES [JOBS [SEED]]]

The jobs, the mistakes and what would have been right come from here alone: each mistake knows its figure from the sound
job it was put into. Sound jobs must give no stop and less than one warning in two jobs; of the mistakes at least 95 in
100 must be told with the figure. Which mistakes are ordinary: our own judgement.
"""
import copy
import datetime
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile

from parts import K, SHOP, tiff, write_pdf

LAPSTRAKE, PROFILE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
ENV = dict(os.environ, SOURCE_DATE_EPOCH="1800000000")
YEAR = datetime.date.today().year + 1
WORDS = ["MOBILE", "LIBRARY", "OPEN", "FRESH BREAD", "SINCE 1921", "CALL US"]
SCALES = [1, 2, 5, 10, 20]


# ---- artwork: a ground, a few fields and a line in a font drawn here, so that nothing in it is to be told

def font(first):
    """A Type 3 font (ISO 32000-1, 9.6.5) of bars; its character procedures are objects `first` and after."""
    letters = sorted(set("".join(WORDS)) - {" "})
    procs = [f"<</Length 44>>stream\n700 0 0 0 600 700 d1 0 0 {200 + 13 * i:3d} 700 re f     \nendstream" for i, _ in enumerate(letters)]
    procs = [p.replace("/Length 44", f"/Length {len(p.split('stream' + chr(10))[1]) - 10}") for p in procs]
    names = {"1": "one", "2": "two", "9": "nine"}
    glyphs = [names.get(c, c) for c in letters]
    codes = " ".join(f"{ord(c)}/{g}" for c, g in zip(letters, glyphs))
    chars = "".join(f"/{g} {first + i} 0 R" for i, g in enumerate(glyphs))
    widths = " ".join("700" for _ in range(32, 127))
    entry = (f"<</Type/Font/Subtype/Type3/FontBBox[0 0 700 700]/FontMatrix[.001 0 0 .001 0 0]/CharProcs<<{chars}>>"
             f"/Encoding<</Type/Encoding/Differences[{codes}]>>/FirstChar 32/LastChar 126/Widths[{widths}]/Resources<<>>>>")
    return entry, procs


def page_content(rng, art):
    w, h = art["w"] / art["scale"], art["h"] / art["scale"]
    ops = [f"{art.get('ground', '0.2 0.05 0 0')} k 0 0 {w * K:.3f} {h * K:.3f} re f"]
    for _ in range(4):
        c = [round(rng.random() * 0.5, 2) for _ in range(3)]
        ops.append("%g %g %g 0 k %.3f %.3f %.3f %.3f re f" % (*c, rng.random() * w * K / 2, rng.random() * h * K / 2, w * K / 3, h * K / 4))
    size = min(h / 9, w / len(art["words"]), 850 / art["scale"] / 0.7 / len(art["words"])) * K  # a panel holds the line
    turn = f"-1 0 0 1 {w * K:.3f} 0 cm " if art.get("mirrored") else ""
    ops.append(f"q {turn}0 0 0 0 k BT /F {size:.3f} Tf {w * K * 0.2:.3f} {h * K * 0.2:.3f} Td ({art['words']}) Tj ET Q")
    return w, h, "\n".join(ops)


def write_art(path, art):
    rng = random.Random(art["seed"])
    os.makedirs(os.path.dirname(path), exist_ok=True)
    if path.endswith(".tif"):
        tiff(path, art["w"], art["h"], art.get("ppi", 76), art["seed"])
        return
    pages, objects = art.get("pages", [art]), []
    first = 3 + 2 * len(pages)
    entry, procs = font(first)
    for i, one in enumerate(pages):
        w, h, content = page_content(rng, one)
        box = f"[0 0 {w * K:.4f} {h * K:.4f}]"
        objects += [f"<</Type/Page/Parent 2 0 R/MediaBox{box}/TrimBox{box}/Contents {4 + 2 * i} 0 R/Resources<</Font<</F {entry}>>>>>>",
                    f"<</Length {len(content)}>>stream\n{content}\nendstream"]
    kids = " ".join(f"{3 + 2 * i} 0 R" for i in range(len(pages)))
    write_pdf(path, ["<</Type/Catalog/Pages 2 0 R>>", f"<</Type/Pages/Kids[{kids}]/Count {len(pages)}>>", *objects, *procs])


# ---- sound jobs

def sound_surface(rng, name, width, height, bleed, seed):
    kind = rng.choice(["at", "at", "centre", "fit"])
    art = {"file": f"art/{name}.pdf", "scale": rng.choice(SCALES), "place": kind, "w": width + 2 * bleed, "h": height + 2 * bleed,
           "words": rng.choice(WORDS), "seed": seed}
    features = []
    for _ in range(rng.randrange(0, 3)):
        x, y = rng.randrange(width * 2 // 3, width - 260), rng.randrange(height // 3, height * 2 // 3)
        features.append({"kind": "handle", "box": [x, y, 160, 60]})
    if rng.random() < 0.3 and width > 3000:
        features.append({"kind": "opening", "box": [rng.randrange(300, width // 3), height // 2, 900, height // 3]})
    return {"name": name, "size": [width, height], "front": {"left": "left", "right": "right", "rear": "away", "bonnet": "up"}[name],
            "features": features, "art": art, "bleed": bleed}


def sound_door(rng, bleed, seed):
    """A small surface with a picture."""
    width, height = rng.randrange(500, 800, 10), rng.randrange(400, 600, 10)
    return {"name": "door", "size": [width, height], "front": "left", "features": [], "bleed": bleed,
            "art": {"file": "art/door.tif", "scale": 1, "place": "at", "w": width + 2 * bleed, "h": height + 2 * bleed, "seed": seed, "words": ""}}


def sound_job(rng, number):
    kind = rng.choice(["van", "car", "box", "car"])
    length, height = {"van": (4800, 1500), "box": (5600, 2100), "car": (3900, 1150)}[kind]
    length, height = length - rng.randrange(0, 900, 10), height - rng.randrange(0, 200, 10)
    bleed = rng.choice([20, 40, 50])
    names = rng.choice([["left"], ["left", "right"], ["left", "right"], ["right", "rear"], ["rear"], ["left", "bonnet"], ["right"]])
    sizes = {"left": (length, height), "right": (length, height), "rear": (height + 100, height), "bonnet": (1380, 1120)}
    surfaces = [sound_surface(rng, n, *sizes[n], bleed, number * 10 + i) for i, n in enumerate(names)]
    if rng.random() < 0.2:
        surfaces.append(sound_door(rng, bleed, number * 10 + 9))
    return {"number": number, "type": kind, "surfaces": surfaces, "bleed": bleed, "overlap": rng.choice([10, 12, 20]),
            "start": f"{YEAR}-03-{rng.randrange(1, 20):02d}T08:00", "due": f"{YEAR}-05-{rng.randrange(1, 28):02d}",
            "indoors": f"{{temperature: {rng.choice([20, 21, 22])}, humidity: {rng.choice([40, 50, 60])} %}}",
            "drying": "hung", "shop": [], "rates": "mark-up: 30 %", "files": {}, "more": []}


def art_line(s):
    a = s["art"]
    if a is None:
        return []
    parts = [f"file: {a['file']}"]
    if a["place"] == "fit":
        parts.append("fit: bleed")
    elif not a["file"].endswith(".tif") or a["scale"] != 1:
        parts += [f"scale: {a.get('written', a['scale'])}"] if a.get("written", a["scale"]) is not None else []
    if a["place"] == "at":
        parts.append("at: [%g, %g]" % tuple(a.get("at", (-s["bleed"], -s["bleed"]))))
    if a["file"].endswith(".tif"):
        parts.append(f"profile: {PROFILE}")
    return [f"    artwork: [{{{', '.join(parts + a.get('keys', []))}}}]"]


def job_text(job):
    lines = [f"job: J-{job['number']}", f"vehicle-type: {job['type']}", f"drying: {job['drying']}", f"start: {job['start']}", f"due: {job['due']}",
             f"indoors: {job['indoors']}", f"print: {{condition: usual, bleed: {job['bleed']} mm, overlap: {job['overlap']} mm}}", *job["more"], "surfaces:"]
    for s in job["surfaces"]:
        size = ", ".join(str(v) for v in s["size"])
        lines += [f"  - name: {s['name']}", f"    size: [{size}]", f"    front: {s['front']}", *s.get("keys", [])]
        if s["features"]:
            lines += ["    features:"] + [f"      - {{kind: {f['kind']}, box: {f['box']}}}" for f in s["features"]]
        lines += art_line(s)
    return "\n".join(lines) + "\n"


def shop_text(job):
    text = SHOP % dict(media=1625, edge=8, widths="1370, 1520", profile=PROFILE)
    text += f"crew: 2\nrates: {{print: 35, laminate: 30, install: 42, install-speed: 1.6 m2/h, waste: 5 %, {job['rates']}}}\n"
    for old, new in job["shop"]:
        assert old in text, old
        text = text.replace(old, new)
    return text


def write_job(folder, job):
    os.makedirs(folder, exist_ok=True)
    open(f"{folder}/job.yaml", "w").write(job_text(job))
    open(f"{folder}/shop.yaml", "w").write(shop_text(job))
    for s in job["surfaces"]:
        if s["art"] and not s["art"].get("gone"):
            write_art(f"{folder}/{s['art']['file']}", s["art"])
    for path, art in job["files"].items():
        write_art(f"{folder}/{path}", art)


def run(*arguments):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, env=ENV, timeout=300)


def check(folder):
    """Status, findings and what went to standard error."""
    done = run("check", folder, "--json")
    try:
        return done.returncode, json.loads(done.stdout)["findings"], done.stderr
    except ValueError:
        return done.returncode, [], done.stderr


# ---- mistakes: each changes a copy of a sound job and says what must be told: (code, severities, figures), or
# ("refused", figures) for a job that is not read at all. None: this job has no place for it.

def pdf_surface(rng, job, *places):
    found = [s for s in job["surfaces"] if s["art"]["file"].endswith(".pdf") and (not places or s["art"]["place"] in places)]
    return rng.choice(found) if found else None


def scale_left_out(rng, job):
    s = pdf_surface(rng, job, "at", "centre")
    if not s or s["art"]["scale"] == 1:
        return None
    s["art"]["written"] = None
    return "artwork-size", ["stop"], [f"scale {s['art']['scale']} fits", "%d x %d mm" % (s["size"][0], s["size"][1])]


def scale_wrong(rng, job):
    s = pdf_surface(rng, job, "at", "centre")
    if not s:
        return None
    s["art"]["written"] = rng.choice([x for x in SCALES + ["1:10", "1:1"] if x not in (s["art"]["scale"], f"1:{s['art']['scale']}")])
    return "artwork-size", ["stop"], [f"scale {s['art']['scale']} fits"]


def page_beyond(rng, job):
    s = pdf_surface(rng, job)
    if not s:
        return None
    s["art"]["keys"] = [f"page: {rng.randrange(2, 9)}"]
    return "artwork-page", ["stop"], [s["art"]["file"], "the file has 1"]


def page_wrong(rng, job):
    """All surfaces in one file, a page each; another surface's page is named."""
    s = pdf_surface(rng, job, "at", "centre")
    if not s:
        return None
    w, h = s["art"]["w"], s["art"]["h"]
    other = dict(s["art"], w=h * 8 // 10, h=h * 7 // 10)
    s["art"]["pages"], s["art"]["keys"] = [dict(s["art"]), other], ["page: 2"]
    if s["art"]["place"] == "at":
        return "artwork-short", ["warn", "stop"], ["right", f"{w - other['w']:d} mm", "top", f"{h - other['h']:d} mm"]
    return "artwork-short", ["warn", "stop"], [f"{(w - other['w']) / 2:g} mm", f"{(h - other['h']) / 2:g} mm"]


def exchanged(rng, job):
    left = [s for s in job["surfaces"] if s["name"] == "left"]
    right = [s for s in job["surfaces"] if s["name"] == "right"]
    if not left or not right:
        return None
    left[0]["art"], right[0]["art"] = right[0]["art"], left[0]["art"]
    return "artwork-other-surface", ["stop"], ["art/left.pdf", "art/right.pdf"][:1]


def front_wrong(rng, job):
    s = [s for s in job["surfaces"] if s["name"] in ("left", "right")]
    if not s:
        return None
    s[0]["front"] = "right" if s[0]["name"] == "left" else "left"
    return "front-guessed", ["stop"], [f"`front: {s[0]['front']}`", s[0]["name"]]


def older_version(rng, job):
    s = pdf_surface(rng, job)
    if not s:
        return None
    old, new = rng.choice([("-v1", "-v2"), ("-v2", "-v10"), ("", "-final"), (" rev 1", " rev 3"), ("_old", ""), ("-2027-01-10", "-2027-02-03")])
    base = s["art"]["file"][:-4]
    s["art"]["file"] = f"{base}{old}.pdf"
    job["files"][f"{base}{new}.pdf"] = dict(s["art"], seed=s["art"]["seed"] + 1)
    return "artwork-newer", ["warn"], [f"{base}{old}.pdf", os.path.basename(f"{base}{new}.pdf")]


def mirrored(rng, job):
    s = pdf_surface(rng, job)
    if not s:
        return None
    s["art"]["mirrored"] = True
    return "artwork-mirrored", ["warn"], [s["art"]["words"], s["art"]["file"]]


def size_in_centimetres(rng, job):
    s = pdf_surface(rng, job, "at", "centre")
    if not s or s["name"] == "bonnet":
        return None
    figure = "%d x %d mm" % tuple(s["size"])
    s["size"] = [v / 10 for v in s["size"]]
    s["features"] = []
    return [("artwork-size", ["stop", "warn"], [figure]), ("size-doubtful", ["warn"], [figure])]


def size_in_inches(rng, job):
    s = pdf_surface(rng, job, "at", "centre")
    if not s:
        return None
    s["size"], s["features"] = [round(v / 25.4, 1) for v in s["size"]], []
    return [("artwork-size", ["stop"], ["25.4 times"]), ("artwork-size", ["stop"], ["written in inches"])]


def side_in_centimetres_fitted(rng, job):
    s = pdf_surface(rng, job, "fit")
    if not s or s["name"] not in ("left", "right"):
        return None
    figure = "%d x %d mm" % tuple(s["size"])
    s["size"], s["features"] = [v // 10 for v in s["size"]], []
    return "size-doubtful", ["warn"], [figure]


def digit_too_many(rng, job):
    s = pdf_surface(rng, job)
    if not s or s["size"][0] < 3000:
        return None
    figure = "%d x %d mm" % tuple(s["size"])
    which = rng.choice([[0], [1], [0, 1]])
    s["size"] = [v * 10 if i in which else v for i, v in enumerate(s["size"])]
    if min(s["size"]) > 6000 or max(s["size"]) > 60000:
        return "refused", [figure]
    return "size-doubtful", ["warn"], [figure]


def digit_missing(rng, job):
    s = pdf_surface(rng, job, "at", "centre")
    if not s:
        return None
    which = rng.randrange(2)
    s["size"][which], s["features"] = s["size"][which] // 10, []
    return "artwork-size", ["warn", "stop"], ["%d x %d mm" % (s["art"]["w"], s["art"]["h"]), "%d x %d mm" % tuple(s["size"])]


def place_slip(rng, job):
    s = pdf_surface(rng, job, "at")
    if not s:
        return None
    which, by = rng.randrange(2), s["bleed"] * 9
    s["art"]["at"] = [-s["bleed"] - (by if i == which else 0) for i in range(2)]
    return "artwork-short", ["warn"], [["right", "top"][which], f"{by} mm"]


def bleed_slip(rng, job):
    s = pdf_surface(rng, job, "at")
    if not s:
        return None
    by = s["bleed"] * 9
    job["bleed"] = s["bleed"] * 10
    return "artwork-short", ["warn", "stop"], [f"{by} mm", "left", "right", "top", "bottom"]


def no_bleed(rng, job):
    """Artwork cut to the outline: nothing beyond it."""
    s = pdf_surface(rng, job, "at", "centre")
    if not s:
        return None
    s["art"]["w"], s["art"]["h"], s["art"]["at"] = *s["size"], (0, 0)
    return "artwork-short", ["warn"], [f"{s['bleed']} mm", "left", "right", "top", "bottom"]


def cropped(rng, job):
    """Filled with artwork of other proportions."""
    s = pdf_surface(rng, job, "fit")
    if not s:
        return None
    more = rng.choice([1.2, 1.5, 2])
    s["art"]["w"] = round(s["art"]["w"] * more / 2) * 2
    lost = (s["art"]["w"] - s["art"]["h"] * (s["size"][0] + 2 * s["bleed"]) / (s["size"][1] + 2 * s["bleed"])) / 2
    return "artwork-cropped", ["warn"], [f"{lost:.0f} mm at the left", f"{100 - 100 / more:.1f} %"]


def profile_gone(rng, job):
    job["shop"].append((PROFILE, "profiles/wide-cast.icc"))
    return "profile-missing", ["stop"], ["profiles/wide-cast.icc"]


def profile_unnamed(rng, job):
    job["shop"].append((f", profile: {PROFILE}", ""))
    return "profile-missing", ["stop"], ["usual"]


def file_gone(rng, job):
    for s in job["surfaces"]:
        s["art"]["gone"] = True
    return "refused", [s["art"]["file"] for s in job["surfaces"]]


def art_forgotten(rng, job):
    if len(job["surfaces"]) < 2:
        return None
    s = rng.choice(job["surfaces"])
    s["art"] = None
    return "artwork-missing", ["warn"], []


def two_corners(rng, job):
    s = pdf_surface(rng, job)
    w, h = s["size"] if s else (0, 0)
    if not s or w < 1500:
        return None
    x, y = rng.randrange(w // 2 + 60, w - 400), rng.randrange(h // 2 + 60, h - 300)
    s["features"].append({"kind": "handle", "box": [x, y, x + 160, y + 60]})
    return "surface-difference", ["warn"], [f"[{x}, {y}, 160, 60]"]


def feature_off(rng, job):
    s = pdf_surface(rng, job)
    if not s:
        return None
    s["features"] = [{"kind": "handle", "box": [40, 200, 160, 60]}, {"kind": "handle", "box": [s["size"][0] * 5, 300, 160, 60]}]
    return "refused", ["handle", "%d x %d mm" % tuple(s["size"])]


def seam_off(rng, job):
    s = pdf_surface(rng, job)
    if not s or s["size"][0] < 3000 or job["type"] == "car":
        return None
    s["keys"] = ["    seams: [1350, 27000]"]
    return "refused", ["27000 mm", f"from 0 to {s['size'][0]} mm"]


def overlap_slip(rng, job):
    job["overlap"] = job["overlap"] * 10
    return ("refused", ["overlap", "0 mm to 100 mm"]) if job["overlap"] > 100 else None


def due_past(rng, job):
    job["start"], job["due"] = f"{YEAR - 2}-03-01T08:00", f"{YEAR - 2}-05-04"
    return "date-past", ["warn"], [f"May {YEAR - 2}", "17:00"]


def due_first(rng, job):
    job["due"] = f"{YEAR}-02-10"
    return "refused", ["`due` is not after `start`"]


def due_tight(rng, job):
    job["due"] = job["start"][:10]
    return "due-missed", ["warn"], ["17:00", "late"]


def no_such_day(rng, job):
    job["due"] = f"{YEAR}-04-31"
    return "refused", [f"due: {YEAR}-04-31"]


def factor(rng, job):
    percent, name = rng.choice([20, 30, 50]), rng.choice(["mark-up", "margin"])
    job["rates"] = f"{name}: {1 + percent / 100:g}"
    return "refused", [f"{percent} %"]


def cold(rng, job):
    c = rng.randrange(8, 15)
    job["indoors"] = f"{{temperature: {c}, humidity: 50 %}}"
    return "apply-too-cold", ["warn"], [f"{c} degrees C"]


def degrees_f(rng, job):
    job["indoors"] = "{temperature: 70, humidity: 50 %}"
    return "refused", ["temperature: 70", "60 degrees C"]


def share_slip(rng, job):
    job["indoors"] = "{temperature: 21, humidity: 0.5}"
    return "refused", ["50 %"]


def tight_roll(rng, job):
    job["drying"] = "tight-roll"
    return "drying-not-possible", ["stop"], ["tight-roll"]


def no_laminate(rng, job):
    job["shop"].append((", laminate: gloss", ", laminate: none"))
    return "laminate-missing", ["stop"], ["usual"]


def other_laminate(rng, job):
    job["shop"].append(("name: gloss, kind: cast", "name: gloss, kind: calendered"))
    return "laminate-mismatch", ["warn"], ["cast", "calendered"]


def key_typo(rng, job):
    job["more"] = ["vehicel: long-van"]
    return "refused", ["vehicel", "did you mean `vehicle`"]


def picture_coarse(rng, job):
    s = [s for s in job["surfaces"] if s["name"] == "door"]
    if not s:
        return None
    s[0]["art"]["ppi"] = 20
    return "resolution-low", ["warn"], ["has 20 "]


def cut_off(rng, job, folder):
    s = pdf_surface(rng, job)
    if not s:
        return None
    write_job(folder, job)
    os.truncate(f"{folder}/{s['art']['file']}", 200)
    return "artwork-damaged", ["stop"], [s["art"]["file"]]


# ---- mistakes of the shop floor: what was said when they were made

def wrong_roll(rng, job, folder):
    """Printed from a roll of laminate, or from one that is not here."""
    write_job(folder, job)
    run("record", "plan", folder)
    panel = f"{job['surfaces'][0]['name']}-1"
    run("record", "add", folder, "roll-in", "--what", "laminate", "--of", "gloss", "--width", "1520", "--length", "50 m")
    roll = rng.choice(["R1", "R7"])
    done = run("record", "add", folder, "printed", "--panels", panel, "--roll", roll)
    return "said", [roll, "gloss" if roll == "R1" else ""], done


def changed_since(rng, job, folder):
    """Other artwork once a panel was printed."""
    s = pdf_surface(rng, job)
    if not s:
        return None
    write_job(folder, job)
    run("record", "plan", folder)
    panel = f"{s['name']}-1"
    run("record", "add", folder, "printed", "--panels", panel, "--reason", "as agreed")
    s["art"]["ground"] = "0 0.3 0.2 0"
    write_job(folder, job)
    return "artwork-changed", ["stop"], [panel]


def old_plan(rng, job, folder):
    """Panels made, then a job file of another plan."""
    write_job(folder, job)
    run("make", folder)
    job["overlap"] += 5
    write_job(folder, job)
    return "panels-old", ["warn"], ["another plan"]


OFTEN = [scale_left_out, scale_wrong, page_wrong, exchanged, older_version, mirrored, wrong_roll]
MISTAKES = OFTEN * 2 + [
    page_beyond, front_wrong, size_in_centimetres, size_in_inches, side_in_centimetres_fitted, digit_too_many, digit_missing, place_slip, bleed_slip,
    no_bleed, cropped, profile_gone, profile_unnamed, file_gone, art_forgotten, two_corners, feature_off, seam_off, overlap_slip, due_past, due_first,
    due_tight, no_such_day, factor, cold, degrees_f, share_slip, tight_roll, no_laminate, other_laminate, key_typo, picture_coarse,
    cut_off, changed_since, old_plan]
ON_THE_FLOOR = (cut_off, wrong_roll, changed_since, old_plan)


def has(findings, code, severities, figures):
    for f in findings:
        text = (f["text"] + " " + f["do"]).replace("\u202f", "").replace("\u00a0", " ")
        if f["code"] == code and f["severity"] in severities and all(w in text for w in figures):
            return True
    return False


def is_told(answer, folder):
    """None when it was; else what was said instead. An answer may be a list of which one is enough."""
    if answer[0] == "said":
        done = answer[2]
        said = done.stdout + done.stderr
        return None if done.returncode != 0 and all(w in said for w in answer[1]) else f"status {done.returncode}: {said}"
    status, findings, words = check(folder)
    if answer[0] == "refused":
        return None if status == 2 and all(w in words for w in answer[1]) else f"status {status}: {words} {[f['code'] for f in findings]}"
    if any(has(findings, *one) for one in (answer if isinstance(answer, list) else [answer])):
        return None
    return f"status {status}: {words}" + "".join(f"\n    {f['severity']} {f['code']} {f['text']} {f['do']}" for f in findings if f["severity"] != "note")


def inject(rng, sound, folder):
    """One mistake that this job has a place for; its name, and None when it was told."""
    while True:
        mistake, job = rng.choice(MISTAKES), copy.deepcopy(sound)
        shutil.rmtree(os.path.dirname(folder), ignore_errors=True)  # with the record beside it
        answer = mistake(rng, job, folder) if mistake in ON_THE_FLOOR else mistake(rng, job)
        if not answer:
            continue
        if mistake not in ON_THE_FLOOR:
            write_job(folder, job)
        fault = is_told(answer, folder)
        return mistake.__name__, fault and f"{mistake.__name__}, wanted {answer[:3]}, {folder}:\n  {fault}"


def main():
    count = int(sys.argv[3]) if len(sys.argv) > 3 else 30
    jobs = int(sys.argv[4]) if len(sys.argv) > 4 else 10
    rng = random.Random(int(sys.argv[5]) if len(sys.argv) > 5 else 13)
    sounds = [sound_job(rng, i + 1) for i in range(jobs)]
    stops, warnings, missed, kinds = [], [], [], {}
    with tempfile.TemporaryDirectory(prefix="injected-") as folder:
        for job in sounds:
            write_job(f"{folder}/sound", job)
            status, findings, words = check(f"{folder}/sound")
            stops += [f"sound job {job['number']}: status {status} {words} {[f['text'] for f in findings if f['severity'] == 'stop']}"] if status else []
            warnings += [f"sound job {job['number']}: {f['code']} {f['text']}" for f in findings if f["severity"] == "warn"]
            shutil.rmtree(f"{folder}/sound")
        for i in range(count):
            name, fault = inject(rng, sounds[i % jobs], f"{folder}/shop/job")
            kinds[name] = kinds.get(name, 0) + 1
            missed += [fault] if fault else []
    print("\n".join(stops + warnings + missed))
    print(f"{count - len(missed)} of {count} mistakes of {len(kinds)} kinds told with their figure; {jobs} sound jobs: "
          f"{len(stops)} false stops, {len(warnings)} false warnings ({len(warnings) / jobs:.2f} a job)")
    sys.exit(1 if stops or len(warnings) >= jobs / 2 or len(missed) > count * 0.05 else 0)


main()
