#!/usr/bin/python3
"""The production record from the command line, judged by the sqlite3 program.

    record.py LAPSTRAKE PROFILE used|older|feeds|killed [KILLS]

Prints one line a fault; exit status 1 when there is one, 77 when the judge is missing.
"""
import csv
import datetime
import io
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
KILLS = int(sys.argv[4]) if len(sys.argv) > 4 else 60
faults = []

SHOP = """currency: EUR
zone: UTC
hours: {mon-sun: 00:00-24:00}
printers: [{name: wide, media-width: 1625, edge: 8, max-length: 30 m, speed: 12 m2/h, setup: 20 min}]
films: [{name: cast-white, kind: cast, widths: [1370, 1520], length: 50 m, price: 9.80 per m2}]
laminates: [{name: cast-gloss, kind: cast, finish: gloss, widths: [1370, 1520], length: 50 m, price: 7.10 per m2}]
inks: [{name: eco, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [8, 8, 8, 8], price: 0.16 per ml}]
conditions:
  - {name: van-cast, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco, mode: 8 pass, profile: PROFILE}
  - {name: no-profile, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco}
""".replace("PROFILE", PROFILE)
JOB = """job: LV-2031
title: Mobile library van
vehicle: long van
shop: ../shop.yaml
print: {condition: van-cast}
drying: hung
surfaces:
  - {name: left, size: [3600, 1900], front: left, panels: upright}
"""


def hold(true, words):
    if not true:
        faults.append(words)


def run(*arguments):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, timeout=120)


def right(*arguments, status=0, says=""):
    done = run(*arguments)
    hold(done.returncode == status, f"{' '.join(arguments)}: status {done.returncode}, not {status}: {done.stderr}{done.stdout}")
    hold(says in done.stdout + done.stderr, f"{' '.join(arguments)}: does not say {says!r}: {done.stdout}{done.stderr}")
    return done


def judge(path, statements):
    return subprocess.run(["sqlite3", path, statements], capture_output=True, text=True).stdout.strip()


def ago(hours):
    return (datetime.datetime.now(datetime.timezone.utc) - datetime.timedelta(hours=hours)).strftime("%Y-%m-%dT%H:%MZ")


def later(seconds):
    """Waits until the clock has moved on: an entry taken back within seconds is undone, not corrected."""
    until = time.time() + seconds
    while time.time() < until:
        time.sleep(until - time.time())


def make_shop(folder):
    os.makedirs(f"{folder}/van")
    open(f"{folder}/shop.yaml", "w").write(SHOP)
    open(f"{folder}/van/job.yaml", "w").write(JOB)
    right("record", "plan", f"{folder}/van", says="plan version 1 is on record")
    return f"{folder}/van", f"{folder}/record.sqlite"


def used(folder):
    """A job through the shop: gates, reasons, corrections, exports, copies, and a record that was tampered with."""
    job, record = make_shop(folder)
    all_panels = "left-1,left-2,left-3"
    hold(judge(record, "SELECT count(*) FROM plan_panel") == "3", "the plan is not on record")
    right("record", "add", job, "printed", status=2, says="which panels")
    right("record", "add", job, "glued", status=2, says="lists the kinds")
    right("record", "add", job, "printed", "--panels", "left-9", status=2, says="left-1, left-2, left-3")
    right("record", "add", job, "laminated", "--panels", "left-1", status=1, says="not on record as printed")
    right("record", "add", folder, "roll-in", "--what", "film", "--of", "cast-white", "--batch", "C-5541", "--width", "1370", "--length", "50 m", says="roll: R1")
    right("record", "add", folder, "roll-in", "--what", "film", "--of", "cast-blue", status=2, says="cast-white")
    right("record", "add", job, "printed", "--panels", all_panels, "--at", ago(60), "--who", "Printing", "--roll", "R1", says="on record: 5")
    right("record", "add", job, "hung", "--panels", "left-1,left-2", "--at", ago(50))
    right("record", "add", job, "hung", "--panels", "left-3", "--at", ago(20))
    right("record", "add", job, "laminated", "--panels", "left-3", status=1, says="Dries until")
    right("record", "add", job, "laminated", "--panels", "left-1", "--air", "17", status=1, says="20 to 23")
    right("record", "add", job, "laminated", "--panels", "left-1", status=1, says="The room: say how many degrees C")
    right("record", "add", job, "laminated", "--panels", "left-1", "--air", "70 F", "--batch", "L-17")
    right("record", "add", job, "laminated", "--panels", "left-2", "--air", "17", "--reason", "due tomorrow", "--batch", "L-17")
    right("record", "stock", folder, says="R1  film cast-white, 1370 mm wide, batch C-5541, ")
    hold(judge(record, "SELECT batch, air_c FROM fact WHERE panel = 'left-1' AND kind IN ('printed', 'laminated')") == "C-5541|\nL-17|21.1111111111111",
         "the batch of the roll or the temperature is not on record")
    right("record", "show", job, says="next: laminated (dries until")
    right("record", "show", job, says="1 gate passed with a reason")
    wrong = judge(record, "SELECT number FROM fact WHERE panel = 'left-2' AND kind = 'laminated'")
    later(13)
    right("record", "add", job, "withdrawn", "--withdraws", wrong, "--words", "it was left-1 only", "--key", "withdrawal-1")
    right("record", "add", job, "withdrawn", "--withdraws", wrong, "--words", "it was left-1 only", "--key", "withdrawal-1")
    hold(judge(record, "SELECT count(*) FROM fact WHERE kind = 'withdrawn'") == "1", "the same key was recorded twice")
    right("record", "add", job, "withdrawn", "--withdraws", wrong, "--words", "it was neither", "--key", "withdrawal-1", status=1, says="says something else")
    right("record", "add", job, "measured", "--panels", "left-1", "--measured", "2,004", status=2, says='"2,004" can be 2004 or 2.004')
    right("record", "add", job, "measured", "--panels", "left-1", "--measured", "2004,0", says="on record")
    right("record", "show", job, says="4 mm long (more than 1.5 mm; `feed: 99.80 %` mends a reprint)")

    hold(run("plan", job, "--quiet").returncode == 0, "a job on record cannot be planned")
    steps = json.load(open(f"{job}/out/plan.json"))["schedule"]
    hold(any(s["step"] == "print" and s["why"] == "On record." and len(s["panels"]) == 3 for s in steps), "plan.json does not say what is on record")
    hold(all(s["why"] == "On record." or s["step"] in ("dry", "bond") or s["start"] >= ago(0.1) for s in steps), "a step that is not done begins in the past")

    undone = right("record", "add", job, "note", "--words", "said to be taken back").stdout.split()[2]
    right("record", "add", job, "withdrawn", "--withdraws", undone)
    rows = list(csv.DictReader(io.StringIO(right("record", "export", folder).stdout)))
    facts = json.loads(right("record", "export", folder, "--job", "lv-2031", "--json").stdout)["facts"]
    hold(len(rows) == int(judge(record, "SELECT count(*) FROM fact")), "the table does not have every fact")
    hold(len(facts) == int(judge(record, "SELECT count(*) FROM fact WHERE job = 'LV-2031'")), "the JSON does not have every fact of the job")
    hold(sum(row["withdrawn"] == "yes" for row in rows) == 2, "the table does not say what was withdrawn")
    hold(sum(row["undone"] == "yes" for row in rows) == 2, "the table does not say what was undone, or what undid it")

    right("record", "report", job, says="report.pdf")
    words = subprocess.run(["pdftotext", "-layout", f"{job}/out/report.pdf", "-"], capture_output=True, text=True).stdout
    for wanted in ("Final report LV-2031", "batch C-5541", "batch L-17", "(withdrawn)", "Length marks"):
        hold(wanted in words, f"the final report does not say {wanted!r}")
    hold("taken back" not in words, "the final report says what was undone at once")

    stopped(folder)
    rows = list(csv.DictReader(io.StringIO(right("record", "export", folder).stdout)))
    copy = f"{folder}/copies/monday.sqlite"
    right("record", "verify", folder, says="The record is whole")
    right("record", "backup", folder, copy, says="Copied and checked")
    hold(judge(copy, "PRAGMA integrity_check; SELECT count(*) FROM fact") == f"ok\n{len(rows)}", "the copy is not whole")
    right("record", "verify", copy, says=f"{len(rows)} entries")
    right("record", "backup", folder, record, status=2, says="the record itself")
    judge(record, "DROP TRIGGER fact_stays; UPDATE fact SET at = at - 3600 WHERE number = 6")
    right("record", "verify", job, status=1, says="entry 6, or the one before it, was changed")
    right("record", "backup", folder, copy, status=2, says="not sound")
    right("record", "verify", copy)
    right("record", "verify", f"{folder}/nowhere", status=2, says="is not there")


def stopped(folder):
    """A job with a stop is not printed without a reason."""
    os.makedirs(f"{folder}/stop")
    open(f"{folder}/stop/job.yaml", "w").write(JOB.replace("LV-2031", "LV-2032").replace("van-cast", "no-profile"))
    right("record", "plan", f"{folder}/stop", status=1, says="1 stop, ")
    right("record", "show", f"{folder}/stop", says="the job has a stop")
    right("record", "add", f"{folder}/stop", "printed", "--panels", "left-1", status=1, says="the job has a stop")
    right("record", "add", f"{folder}/stop", "printed", "--panels", "left-1", "--reason", "the printer has its own")


def older(folder):
    """A record as an earlier form of the program left it: read as it is, added to, and its digests stay."""
    record = f"{folder}/record.sqlite"
    dump = os.path.join(os.path.dirname(os.path.abspath(__file__)), "record-form-1.sql")
    subprocess.run(["sqlite3", record], stdin=open(dump), check=True)
    before = judge(record, "SELECT number, digest FROM fact")
    right("record", "verify", folder, says="9 entries")
    right("record", "backup", folder, f"{folder}/copy.sqlite")
    hold(judge(f"{folder}/copy.sqlite", "PRAGMA user_version") == "1", "reading an older record changed its form")
    facts = json.loads(right("record", "export", folder, "--json").stdout)["facts"]
    hold([f["kind"] for f in facts] == ["planned", "roll-in", "printed", "printed", "hung", "laminated", "measured", "withdrawn", "accepted"],
         "an older record does not read as it was written")
    hold(facts[5]["air_c"] == 17.3 and facts[5]["override"] == "due tomorrow, the maker allows it" and facts[5]["withdrawn"], "a field was lost")
    right("record", "add", folder, "roll-out", "--roll", "R1", says="on record: 10")
    right("record", "verify", folder, says="10 entries")
    hold(judge(record, "SELECT number, digest FROM fact WHERE number < 10") == before, "digests of older entries changed")
    os.makedirs(f"{folder}/new")
    open(f"{folder}/new/shop.yaml", "w").write(SHOP)
    right("record", "add", f"{folder}/new", "roll-in", "--what", "film", "--of", "cast-white", says="roll: R1")
    newest = judge(f"{folder}/new/record.sqlite", "PRAGMA user_version")
    hold(int(newest) >= 5 and judge(record, "PRAGMA user_version") == newest, "the record was not brought to the new form")
    right("record", "verify", f"{folder}/copy.sqlite", says="9 entries")
    judge(record, "DROP TRIGGER fact_stays; UPDATE fact SET sent_as = 'x' WHERE number = 5")
    right("record", "verify", folder, status=1, says="entry 5")


def feeds(folder):
    """What is measured is remembered for printer, film and mode, and for no other; what is written stands above it."""
    shop = SHOP.replace("  - {name: no-profile,", "  - {name: fast, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco, mode: 4 pass, profile: PROFILE}\n  - {name: no-profile,")
    shop = shop.replace("PROFILE", PROFILE)
    open(f"{folder}/shop.yaml", "w").write(shop)
    two = "surfaces:\n  - {name: left, size: [1200, 1900], front: left, panels: upright}\n  - {name: right, size: [1200, 1900], front: right, panels: upright, condition: fast}\n"

    def job(number, more=""):
        os.makedirs(f"{folder}/{number}", exist_ok=True)
        open(f"{folder}/{number}/job.yaml", "w").write(JOB.replace("LV-2031", number).split("surfaces:")[0] + more + two)
        return f"{folder}/{number}"

    def plan_of(number, more=""):
        done = run("plan", job(number, more), "--json")
        hold(done.returncode in (0, 1), f"plan {number}: {done.stderr}")
        return {s["name"]: s for s in json.loads(done.stdout)["surfaces"]}

    def said(number, more=""):
        return tuple(round(plan_of(number, more)[name]["feed_percent"], 4) for name in ("left", "right"))

    one = job("A-1")
    plan = plan_of("A-1")
    hold([plan[n]["printed_with"] for n in ("left", "right")] == ["wide / cast-white / 8 pass", "wide / cast-white / 4 pass"], "printer, film and mode are not in the plan")
    # The print along the film as it should be; what would have made it so is in proportion (plain arithmetic).
    length = plan["left"]["panels"][0]["print_mm"][3] - plan["left"]["panels"][0]["print_mm"][1]
    right("record", "plan", one)
    right("record", "add", one, "printed", "--panels", "left-1,right-1", "--at", ago(30), "--who", "Printing")
    hold(said("B-1") == (100, 100), "a feed out of nothing")
    right("record", "add", one, "measured", "--panels", "left-1", "--measured", f"{length + 4}", "--at", ago(20))
    first = round(100 * length / (length + 4), 4)
    hold(said("B-1") == (first, 100), f"the measured mode prints with {said('B-1')}, not {first}, and the other with 100")
    right("record", "add", one, "measured", "--panels", "right-1", "--measured", "998", "--planned", "1000", "--at", ago(10))
    second = round(100 * 1000 / 998, 4)
    hold(said("B-1") == (first, second), f"each mode has its own: {said('B-1')}")
    right("record", "add", one, "measured", "--panels", "left-1", "--measured", "1001", "--planned", "1000", "--at", ago(1))
    newest = round(100 * 1000 / 1001, 4)
    hold(said("B-1") == (newest, second), f"the newest counts: {said('B-1')}")
    hold(said("A-1") == (100, 100), f"a job keeps what it was printed with, for reprints: {said('A-1')}")
    hold(said("B-2", "feed: 99.5 %\n") == (99.5, 99.5), "the job's own feed stands above the record")
    open(f"{folder}/shop.yaml", "w").write(shop.replace("mode: 4 pass,", "mode: 4 pass, feed: 100.25 %,"))
    hold(said("B-3") == (newest, 100.25), "the shop's feed of a condition stands above the record, and only there")
    open(f"{folder}/shop.yaml", "w").write(shop)
    number = judge(f"{folder}/record.sqlite", "SELECT max(number) FROM fact WHERE kind = 'measured'")
    right("record", "add", one, "withdrawn", "--withdraws", number, "--words", "read off the wrong mark")
    hold(said("B-4") == (first, second), f"what is withdrawn is not remembered: {said('B-4')}")
    # A job that prints with the remembered feed and is measured again: the correction adds to it.
    two_job = job("B-5")
    right("record", "plan", two_job)
    right("record", "add", two_job, "printed", "--panels", "left-1", "--at", ago(0.5), "--who", "Printing")
    right("record", "add", two_job, "measured", "--panels", "left-1", "--measured", "1002", "--planned", "1000", "--at", ago(0.4))
    both = 100 * length / (length + 4) * 1000 / 1002
    hold(abs(said("B-6")[0] - both) < 2e-4, f"measured on what was corrected: {said('B-6')[0]}, not {both:.4f}")
    right("record", "add", one, "measured", "--panels", "right-1", "--measured", "700", "--planned", "1000")
    hold(said("B-7")[1] == second, "a length that no feed mends is remembered")
    right("record", "verify", folder)


def killed_at_birth(folder, rng):
    """Killed while the file is being made: the next one finds nothing, or a whole record, and goes on."""
    for i in range(KILLS // 5):
        place = f"{folder}/new-{i}"
        os.makedirs(place)
        open(f"{place}/shop.yaml", "w").write(SHOP)
        roll = ["record", "add", place, "roll-in", "--what", "film", "--of", "cast-white", "--key", "born-once"]
        child = subprocess.Popen([LAPSTRAKE, *roll], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        time.sleep(rng.random() * 0.03)
        child.send_signal(signal.SIGKILL)
        child.communicate()
        right(*roll, says="on record: 1")
        right("record", "verify", place, says="1 entry,")
        shutil.rmtree(place)


def killed(folder):
    """Killed at any moment while recording: what was acknowledged is there, all of it, and nothing is half there."""
    job, record = make_shop(folder)
    rng, acknowledged, sent = random.Random(3), {}, 0
    begun = time.monotonic()
    right("record", "add", job, "note", "--words", "how long it takes", "--panels", "left-1,left-2,left-3")
    whole = time.monotonic() - begun
    early = late = 0
    killed_at_birth(folder, rng)
    for i in range(KILLS):
        child = subprocess.Popen([LAPSTRAKE, "record", "add", job, "note", "--words", f"kill {i}", "--panels", "left-1,left-2,left-3",
                                  "--key", f"killed-number-{i}"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        time.sleep(rng.random() * whole * 1.2)
        child.send_signal(signal.SIGKILL)
        out = child.communicate()[0]
        sent += 1
        if "on record" in out:
            acknowledged[i], late = out.split()[2], late + 1
        else:
            early += 1
        if i % 20 == 19 or i == KILLS - 1:
            hold(judge(record, "PRAGMA integrity_check") == "ok", f"after {i + 1} kills: {judge(record, 'PRAGMA integrity_check')}")
            right("record", "verify", folder, says="The record is whole")
    rows = [line.split("|") for line in judge(record, "SELECT key, number FROM fact WHERE key LIKE 'killed-number-%' ORDER BY number").splitlines()]
    there = {}
    for key, number in rows:
        there.setdefault(int(key.split("-")[2]), []).append(number)
    for i, numbers in there.items():
        hold(len(numbers) == 3, f"of fact {i} only {len(numbers)} of 3 panels are on record")
    for i, first in acknowledged.items():
        hold(i in there and there[i][0] == first, f"fact {i} was acknowledged as {first} and is not on record")
    hold(min(early, late) >= 3, f"{early} kills came before the answer and {late} after it: the moments were not well spread")
    stray = sorted(set(os.listdir(folder)) - {"shop.yaml", "van", "record.sqlite", "record.sqlite-wal", "record.sqlite-shm"})
    hold(not stray, f"left behind: {stray}")
    right("record", "add", job, "note", "--words", "after all that")
    print(f"{sent} kills, {len(acknowledged)} acknowledged, {len(there)} on record")


if not shutil.which("sqlite3") or not shutil.which("pdftotext"):
    print("sqlite3 or pdftotext is not installed")
    sys.exit(77)
with tempfile.TemporaryDirectory() as place:
    {"used": used, "older": older, "feeds": feeds, "killed": killed}[CASE](place)
print("\n".join(faults) or "holds")
sys.exit(1 if faults else 0)
