#!/usr/bin/python3
"""The page's server, judged from outside.

    serving.py LAPSTRAKE PROFILE CASE

One line a fault; exit status 1 when there is one.
"""
import json
import os
import random
import resource
import shutil
import signal
import socket
import sqlite3
import struct
import subprocess
import sys
import threading
import time
import uuid
import zlib
from datetime import datetime
from zoneinfo import ZoneInfo

from shopfloor import Shop, faults, hold, steady, until

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
JPEG = bytes.fromhex("ffd8ffe000104a46494600010100000100010000ffd9")


def shop(jobs=(1,)):
    return Shop(LAPSTRAKE, PROFILE, jobs)


def first_panel(s, job="T-1"):
    return s.planned(job)["panels"][0]["panel"]


# ---- the way through ----

def way():
    """A job from its folder to the final report: planned, printed, hung, gate shut, passed with a reason."""
    with shop().start() as s:
        floor = s.get("/api/floor").json()
        hold(any(j["job"] == "T-1" for j in floor["jobs"]), "the job folder is not in the list of jobs")
        panel = first_panel(s)
        view = s.get("/api/jobs/T-1").json()
        hold(view["plan"]["format"] == "lapstrake-plan/1", "the job's view has no plan in it")
        hold(view["steps"] and view["hours"] and view["surfaces"], "the job's view lacks steps, hours or surfaces")
        hold(s.fact("T-1", "laminated", panel).status == 409, "laminating what was never printed was not refused")
        hold(s.fact("T-1", "printed", panel).status == 200, "printed was refused")
        hold(s.fact("T-1", "hung", panel).status == 200, "hung was refused")
        shut = s.fact("T-1", "laminated", panel, air_c="21")
        gate = shut.json().get("gate", {})
        hold(shut.status == 409 and gate.get("may_override") and gate.get("from"), f"the drying gate was not shut: {shut.text()}")
        whys = gate.get("whys", [])
        hold([w["id"] for w in whys] == ["gate-dries"] and whys[0]["why"] == gate["why"], f"the gate's reason has no id: {whys}")
        hold(whys and all(whys[0]["args"][name] in gate["why"] for name in ("until", "whole", "left")), f"its words are not of its arguments: {whys}")
        hold(s.fact("T-1", "laminated", panel, air_c="21", override="a rush job, dry to the touch").status == 200,
             "a reason did not open the gate")
        facts = s.get("/api/jobs/T-1/facts").json()["facts"]
        hold(facts[0]["kind"] == "laminated" and facts[0]["override"] and facts[0]["gate"], "the override is not on record")
        hold(s.fact("T-1", "withdrawn", withdraws=facts[0]["number"], words="the wrong panel").status == 200, "no correction was taken")
        facts = s.get("/api/jobs/T-1/facts").json()["facts"]
        hold([f["withdrawn"] for f in facts if f["kind"] == "laminated"] == [True], "the corrected fact is not marked")
        report = s.get("/jobs/T-1/report.pdf")
        hold(report.status == 200 and report.body.startswith(b"%PDF-"), "there is no final report")
        hold(s.stop() == 0, "the server did not end politely")
        hold(s.run("record", "verify", s.folder).returncode == 0, "the record does not pass its check")


def twice():
    """The same form sent twice is one fact."""
    with shop().start() as s:
        panel, key = first_panel(s), uuid.uuid4().hex
        one = s.post("/api/jobs/T-1/facts", {"key": key, "kind": "printed", "panels": panel})
        two = s.post("/api/jobs/T-1/facts", {"key": key, "kind": "printed", "panels": panel})
        hold(one.status == two.status == 200 and one.json() == two.json(), f"{one.text()} then {two.text()}")
        facts = [f for f in s.get("/api/jobs/T-1/facts").json()["facts"] if f["kind"] == "printed"]
        hold(len(facts) == 1, f"{len(facts)} facts of one form")


def seams():
    """Trying seams answers from the planner; what is saved is a job file that the command line reads."""
    with shop().start() as s:
        view = s.planned("T-1")
        surface = view["plan"]["surfaces"][0]
        tried = s.post("/api/jobs/T-1/try", {"surface": surface["name"]})
        hold(tried.status == 200 and tried.json()["surface"]["panels"], f"the seams as written cannot be tried: {tried.text()[:200]}")
        marks = sorted({round(x["at_mm"], 1) for x in surface["seams"]})
        if marks:
            moved = ",".join(str(m + (5 if m == marks[0] else 0)) for m in marks)
            answer = s.post("/api/jobs/T-1/try", {"surface": surface["name"], "seams": moved})
            said = {f["code"] for f in answer.json()["findings"]} if answer.status == 200 else set()
            hold(answer.status == 200 and (answer.json()["surface"]["seams"] or "no-seam-possible" in said),
                 f"moved seams are neither planned nor refused: {answer.text()[:200]}")
        before = open(f"{s.folder}/T-1/job.yaml").read()
        path, value = "title", json.dumps("A van with <b>markup</b> & ümlauts")
        edited = s.post("/api/jobs/T-1/edit", {"fingerprint": view["fingerprint"], "path": path, "value": value})
        hold(edited.status == 200, f"the title could not be changed: {edited.text()}")
        stale = s.post("/api/jobs/T-1/edit", {"fingerprint": view["fingerprint"], "path": path, "value": '"again"'})
        hold(stale.status == 409, "a change to an older text was not a conflict")
        wrong = s.post("/api/jobs/T-1/edit", {"fingerprint": edited.json()["fingerprint"], "path": "print.overlap", "value": "12 parsecs"})
        hold(wrong.status == 422 and wrong.json()["mistakes"], "a length in parsecs was taken")
        undone = s.post("/api/jobs/T-1/undo", {"fingerprint": edited.json()["fingerprint"]})
        hold(undone.status == 200 and open(f"{s.folder}/T-1/job.yaml").read() == before, "undo did not give the old text back")
        hold(s.run("check", f"{s.folder}/T-1").returncode in (0, 1), "the command line does not read the job")


def new_job():
    """A new job, its artwork sent in pieces with a break between, sizes typed, planned."""
    with shop().start() as s:
        art = open(f"{s.folder}/T-1/" + [n for n in os.listdir(f"{s.folder}/T-1") if n.endswith(".pdf")][0], "rb").read() \
            if any(n.endswith(".pdf") for n in os.listdir(f"{s.folder}/T-1")) else open(f"{s.folder}/T-1/art/" + os.listdir(f"{s.folder}/T-1/art")[0], "rb").read()
        hold(s.post("/api/new", {"number": "N-7", "title": "A new one"}).status == 200, "no new job was made")
        hold(s.post("/api/new", {"number": "../N-8"}).status == 422, "a number with a path in it was taken")
        hold(s.post("/api/new", {"number": "N-7"}).status == 422, "the same number was taken twice")
        key = uuid.uuid4().hex
        form = {"name": "../../etc/left side.pdf", "bytes": len(art), "key": key}
        begun = s.post("/api/jobs/N-7/upload", form).json()
        half = len(art) // 2
        upload = f"/api/uploads/{begun['upload']}"
        hold(s.ask("PUT", f"{upload}?offset=0", art[:half]).json()["received"] == half, "the first half did not arrive")
        hold(s.ask("PUT", f"{upload}?offset=0", art[:half]).status == 409, "the first half was taken twice")
        hold(s.post("/api/jobs/N-7/upload", form).json() == {**begun, "received": half}, "the upload was not found again by its key")
        done = s.ask("PUT", f"{upload}?offset={half}", art[half:]).json()
        hold(done.get("file") == "art/left-side.pdf", f"the file is called {done}")
        hold(done.get("facts", {}).get("usable") and done["facts"]["kind"] == "PDF", f"the file says of itself: {done.get('facts')}")
        hold(open(f"{s.folder}/N-7/art/left-side.pdf", "rb").read() == art, "the file is not what was sent")
        hold(s.get(upload).status == 404, "a finished upload is still known")
        written = s.get("/api/jobs/N-7/written").json()
        change = [("fingerprint", written["fingerprint"]), ("path", "surfaces"),
                  ("value", "[{name: left, size: [1200, 800], front: left, artwork: [{file: art/left-side.pdf, fit: bleed}]}]")]
        hold(s.post("/api/jobs/N-7/edit", change).status == 200, "the surface was not taken")
        hold(s.planned("N-7")["surfaces"][0]["name"] == "left", "the new job was not planned")


# ---- what must not come to be on record, or get lost ----

def once():
    """No piece twice, no gate passed by an old key, no plan version without a plan, no day that is none."""
    with shop().start() as s:
        panels = [p["panel"] for p in s.planned("T-1")["panels"]]
        hold(s.fact("T-1", "planned", words="version 1").status == 422, "a plan version was put on record by hand")
        hold(s.fact("T-1", "printed", f"{panels[0]},{panels[0].upper()}").status == 422, "one panel was printed twice in one form")
        refused = s.fact("T-1", "note", words="x", at="2026-02-31T10:40")
        hold(refused.status == 422, "the 31st of February was taken")
        said = refused.json()
        hold(said.get("id") and all(str(a) in said["error"] for a in said["args"].values() if isinstance(a, str)) and "2026-02-31T10:40" in said["args"].values(),
             f"the refusal does not say what it speaks of: {said}")
        hold(s.fact("T-1", "printed", ",".join(panels[:2])).status == 200, "two panels could not be printed")
        key = uuid.uuid4().hex
        hung = lambda names: s.post("/api/jobs/T-1/facts", {"key": key, "kind": "hung", "panels": ",".join(names)}).status
        hold(hung(panels[:2]) == 200 and hung(panels[:2]) == 200, "the same form sent again was not taken as the same")
        hold(hung(panels[:3]) == 409, "a panel that was never printed was hung under a key that was used before")
        number = s.post("/api/jobs/T-1/edit", {"fingerprint": s.get("/api/jobs/T-1/written").json()["fingerprint"], "path": "job", "value": "T-9"})
        hold(number.status == 422, "a job lost what is on record of it with its number")
        done = s.run("record", "add", f"{s.folder}/T-1", "note", "--panels", f"{panels[0]} , {panels[1]}", "--words", "x")
        hold(done.returncode == 0, f"blanks between panels: {done.stderr}")
        many = s.run("record", "add", f"{s.folder}/T-1", "note", "--panels", ",".join(f"p{i}" for i in range(501)), "--words", "x")
        hold(many.returncode == 2 and "501" in many.stderr, f"of 501 panels: {many.stderr}")
        s.post("/api/jobs/t-1/plan")
        hold(s.get("/api/jobs/t-1").json()["job"] == "T-1", "a number in small letters is another job")
        hold(s.run("record", "verify", s.folder).returncode == 0, "the record does not pass its check")


def numbers():
    """One number, one job: no second one in another case or in the place of one that is on record, none recorded for a twin."""
    with shop().start() as s:
        s.planned("T-1")
        hold(s.post("/api/new", {"number": "t-1"}).status == 422, "a job of the same number in small letters was made")
        shutil.copytree(f"{s.folder}/T-1", f"{s.folder}/Z-copy")
        for command in (("plan",), ("add", "note", "--words", "x")):
            done = s.run("record", command[0], f"{s.folder}/Z-copy", *command[1:])
            hold(done.returncode == 2 and "T-1" in done.stderr, f"record {command[0]} of a copied folder went to the other: {done.stderr}")
        for folder in ("T-1", "Z-copy"):
            shutil.rmtree(f"{s.folder}/{folder}")
        hold(s.get("/api/jobs/T-1").status == 404, "a job whose folder was taken away is still shown")
        hold(s.post("/api/new", {"number": "T-1"}).status == 422, "a new job took over what is on record of another")


def changes():
    """Several change a job from one text: one is taken, the others hear of it. Undo keeps what another program wrote."""
    with shop().start() as s:
        s.planned("T-1")
        written = lambda: s.get("/api/jobs/T-1/written").json()["fingerprint"]
        for turn in range(5):
            now, answers = written(), []
            change = lambda i: answers.append(s.post("/api/jobs/T-1/edit", {"fingerprint": now, "path": "title", "value": f'"{turn} {i}"'}).status)
            threads = [threading.Thread(target=change, args=(i,)) for i in range(6)]
            [t.start() for t in threads], [t.join() for t in threads]
            hold(sorted(answers) == [200] + 5 * [409], f"six changes of one text: {answers}")
        s.post("/api/jobs/T-1/edit", {"fingerprint": written(), "path": "title", "value": '"from the page"'})
        with open(f"{s.folder}/T-1/job.yaml") as f:
            by_hand = f.read().replace("from the page", "by hand")
        with open(f"{s.folder}/T-1/job.yaml", "w") as f:
            f.write(by_hand)
        hold(s.post("/api/jobs/T-1/undo", {"fingerprint": written()}).status == 422, "undo went back over a change by hand")
        hold(open(f"{s.folder}/T-1/job.yaml").read() == by_hand, "what was written by hand is gone")


def arrivals():
    """Two files of one name are two files; one for a folder that is gone is refused; what is too large hears why."""
    with shop().start() as s:
        begin = lambda name, job="T-1": s.post(f"/api/jobs/{job}/upload", {"name": name, "bytes": 5, "key": uuid.uuid4().hex}).json()
        put = lambda upload, data: s.ask("PUT", f"/api/uploads/{upload['upload']}?offset=0", data)
        one, other = begin("same.pdf"), begin("same.pdf")
        put(one, b"first"), put(other, b"later")
        texts = [open(f"{s.folder}/T-1/{u['file']}", "rb").read() for u in (one, other)]
        hold(texts == [b"first", b"later"], f"two files of one name: {one['file']}, {other['file']}: {texts}")
        shutil.copytree(f"{s.folder}/T-1", f"{s.folder}/V-1")
        with open(f"{s.folder}/V-1/job.yaml") as f:
            text = f.read().replace("T-1", "V-1")
        with open(f"{s.folder}/V-1/job.yaml", "w") as f:
            f.write(text)
        lost = begin("lost.pdf", "V-1")
        shutil.rmtree(f"{s.folder}/V-1")
        hold(put(lost, b"12345").status in (422, 503) and not os.path.exists(f"{s.folder}/V-1"), "a file came into a folder that is gone")
        data = os.urandom(5 << 20)
        begun = s.post("/api/jobs/T-1/upload", {"name": "full.tif", "bytes": len(data), "key": uuid.uuid4().hex}).json()
        resource.prlimit(s.process.pid, resource.RLIMIT_FSIZE, ((3 << 20) + 12345, resource.RLIM_INFINITY))
        full = s.ask("PUT", f"/api/uploads/{begun['upload']}?offset=0", data)
        resource.prlimit(s.process.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
        there = s.get(f"/api/uploads/{begun['upload']}").json()["received"]
        hold(full.status == 507 and 0 < there < len(data), f"a disk that is full: {full.status}, {there} bytes there")
        rest = s.ask("PUT", f"/api/uploads/{begun['upload']}?offset={there}", data[there:])
        hold(rest.status == 200, f"after a full disk the rest is not taken: {rest.status}, {rest.body[:200]}")
        hold(open(f"{s.folder}/T-1/art/full.tif", "rb").read() == data, "after a full disk the file is not what was sent")
        large = s.ask("POST", "/api/jobs/T-1/photo", JPEG + bytes((16 << 20) + 1 - len(JPEG)), headers={"Content-Type": "image/jpeg"})
        hold(large.status == 413, f"a photograph of 16 MiB and one byte: {large.status}")


def mistakes():
    """A job with mistakes shows them and is not planned over and over; mending another file than its own mends it."""
    with shop().start() as s:
        os.mkdir(f"{s.folder}/B-1")
        with open(f"{s.folder}/B-1/job.yaml", "w") as f:
            f.write("job: B-1\nshop: its.yaml\nsurfaces: [{name: left, size: [1200, 800], front: left}]\n")
        view = s.get("/api/jobs/B-1").json()
        hold(view["mistakes"] and not view["planning"], f"mistakes: {view['mistakes']}, planning: {view['planning']}")
        os.mkdir(f"{s.folder}/F-1")
        with open(f"{s.folder}/F-1/job.yaml", "w") as f:
            f.write("job: F-1\nshop: ../T-1/shop.yaml\nsurfaces: [{name: left, size: [1200, 800], front: left}]\n")
        open(f"{s.folder}/F-1/out", "w").close()  # where a folder must be
        until(lambda: s.get("/api/jobs/F-1").json()["trouble"])
        views = [s.get("/api/jobs/F-1").json() for _ in range(2)]
        hold(all(v["trouble"] and not v["planning"] for v in views), f"planning that failed is begun again by looking: {views[0]['trouble']}")
        trouble = lambda: next(j["trouble"] for j in s.get("/api/floor").json()["jobs"] if j["job"] == "B-1")
        hold(trouble(), "a job without its shop is listed as if nothing were wrong")
        shutil.copy(f"{s.folder}/T-1/shop.yaml", f"{s.folder}/B-1/its.yaml")
        hold(until(lambda: trouble() is None), f"the shop is there, and the job still says: {trouble()}")


def zone():
    """The clock is the shop's, also when the first job comes after the server and when the shop file is changed."""
    with shop(()).start() as s:
        s.post("/api/new", {"number": "N-1"})
        for name in ("Asia/Tokyo", "Europe/Lisbon", "Asia/Tokyo"):
            with open(f"{s.folder}/shop.yaml") as f:
                lines = [line for line in f if "zone:" not in line]
            with open(f"{s.folder}/shop.yaml", "w") as f:
                f.writelines([f"zone: {name}\n", *lines])
            floor = s.get("/api/floor").json()
            right = datetime.fromtimestamp(floor["now"]["s"], ZoneInfo(name)).strftime("%H:%M")
            hold(floor["zone"] == name and floor["now"]["words"].endswith(right), f"in {name} at {right}: {floor['zone']} {floor['now']}")


# ---- several at once ----

def children(pid):
    found = []
    for thread in os.listdir(f"/proc/{pid}/task"):
        try:
            with open(f"/proc/{pid}/task/{thread}/children") as f:
                found += [int(child) for child in f.read().split()]
        except OSError:  # the thread is over
            pass
    return found


def opening():
    """While one job takes long to open, the others are shown."""
    with shop((1, 2)).start() as s:
        s.planned("T-1"), s.planned("T-2")
        stop, held = threading.Event(), []

        def hold_readers():  # what reads the artwork is a child: it sleeps
            while not stop.is_set():
                for child in children(s.process.pid):
                    if child not in held:
                        held.append(child)
                        os.kill(child, signal.SIGSTOP)
        for top, _, names in os.walk(f"{s.folder}/T-1/out/cache"):
            for name in names:
                os.remove(os.path.join(top, name))
        with open(f"{s.folder}/T-1/job.yaml", "a") as f:
            f.write("# looked at again\n")
        holder = threading.Thread(target=hold_readers)
        opener = threading.Thread(target=s.get, args=("/api/jobs/T-1",))
        holder.start(), opener.start()
        until(lambda: held, 10)
        stop.set(), holder.join()
        hold(held, "nothing was read to open the job: this case tries nothing")
        try:
            hold(s.get("/api/jobs/T-2", connection=s.connection(timeout=5)).status == 200, "the other job was not shown")
        except TimeoutError:
            hold(False, "the other job waited for the one that takes long to open")
        [os.kill(child, signal.SIGCONT) for child in held]
        opener.join()



def listen(s, heard, stop, there):
    c = s.connection(timeout=40)
    c.request("GET", "/api/live", headers={"Host": f"127.0.0.1:{s.port}"})
    response = c.getresponse()
    there.append(response.status)
    while not stop.is_set():
        line = response.fp.readline().decode()
        if line.startswith("data: ") and "revision" in line:
            heard.append((time.time(), json.loads(line[6:])))


def together():
    """Two people on one job: each step of one reaches the other, and a fact from the command line reaches both."""
    with shop().start() as s:
        panel = first_panel(s)
        heard, stop, there = [[], []], threading.Event(), []
        for h in heard:
            threading.Thread(target=listen, args=(s, h, stop, there), daemon=True).start()
        hold(until(lambda: len(there) == len(heard)), "not everyone could listen")
        s.fact("T-1", "printed", panel)
        hold(until(lambda: all(any(m.get("job") == "T-1" for _, m in h) for h in heard)), f"news did not reach everyone: {heard}")
        counts = [len(h) for h in heard]
        done = s.run("record", "add", f"{s.folder}/T-1", "hung", "--panels", panel, "--who", "bench")
        hold(done.returncode == 0, f"the command line could not add a fact: {done.stderr}")
        hold(until(lambda: all(len(h) > n for h, n in zip(heard, counts))), "a fact from the command line did not reach the pages")
        # two at once: one is first, the other hears why not
        answers = []
        threads = [threading.Thread(target=lambda: answers.append(s.fact("T-1", "hung", panel).status)) for _ in range(2)]
        [t.start() for t in threads], [t.join() for t in threads]
        hold(all(a in (200, 409, 422) for a in answers), f"two at once: {answers}")
        stop.set()


# ---- killed ----

def acknowledged(s, job, panels, seconds, seen):
    """Notes as fast as they are taken, until the server goes away; the numbers that it acknowledged."""
    end = time.time() + seconds
    c = s.connection()
    while time.time() < end:
        try:
            answer = s.ask("POST", f"/api/jobs/{job}/facts", {"key": uuid.uuid4().hex, "kind": "note", "panels": random.choice(panels),
                                                                 "words": f"note {len(seen)}"}, connection=c)
        except OSError:
            return
        except Exception:
            return
        if answer.status == 200:
            seen.extend(answer.json()["facts"])


def killed(times=25):
    """SIGKILL at random moments while four clients write and a file comes in: every acknowledged fact is there."""
    random.seed(5)
    with shop() as s:
        s.start()
        panels = [p["panel"] for p in s.planned("T-1")["panels"]]
        seen, uploads = [], 0
        for i in range(times):
            threads = [threading.Thread(target=acknowledged, args=(s, "T-1", panels, 5, seen)) for _ in range(4)]
            [t.start() for t in threads]
            try:
                s.post("/api/jobs/T-1/plan")
                begun = s.post("/api/jobs/T-1/upload", {"name": f"more{i}.png", "bytes": 3 << 20, "key": uuid.uuid4().hex})
                threading.Thread(target=lambda: try_put(s, begun.json()["upload"]), daemon=True).start()
            except Exception:
                pass
            time.sleep(random.uniform(0.02, 0.6))
            s.kill()
            [t.join() for t in threads]
            with sqlite3.connect(f"{s.folder}/record.sqlite") as db:
                hold(db.execute("PRAGMA integrity_check").fetchone()[0] == "ok", f"kill {i}: the database is not whole")
                there = {n for n, in db.execute("SELECT number FROM fact")}
            missing = [n for n in seen if n not in there]
            hold(not missing, f"kill {i}: {len(missing)} acknowledged facts are gone")
            s.start()
        hold(len(seen) > times, f"only {len(seen)} facts were acknowledged: nothing was tried")
        s.stop()
        hold(s.run("record", "verify", s.folder).returncode == 0, "the record does not pass its check")
        for top, _, names in os.walk(f"{s.folder}/T-1"):
            for name in names:
                if "out" not in top.split(os.sep) and name.startswith(".unfinished-"):
                    hold(False, f"{name} of a file that was coming in is left")
                if name.startswith("more") and os.path.getsize(os.path.join(top, name)) != 3 << 20:
                    hold(False, f"{name} is half a file")


def try_put(s, upload):
    try:
        s.ask("PUT", f"/api/uploads/{upload}?offset=0", os.urandom(3 << 20))
    except Exception:
        pass


# ---- much at once ----

def gigabyte():
    """1 GiB in one request: at most 8 MB more memory, and the bytes are there."""
    with shop().start() as s:
        s.planned("T-1")
        size, block = 1 << 30, os.urandom(1 << 20)
        begun = s.post("/api/jobs/T-1/upload", {"name": "big.tif", "bytes": size, "key": uuid.uuid4().hex}).json()
        before, peak, stop = s.resident_kb(), [0], threading.Event()

        def watch():
            while not stop.is_set():
                peak[0] = max(peak[0], s.resident_kb())
                time.sleep(0.02)
        watcher = threading.Thread(target=watch)
        watcher.start()
        answer = s.ask("PUT", f"/api/uploads/{begun['upload']}?offset=0", (block for _ in range(size >> 20)),
                       headers={"Content-Length": str(size)})
        stop.set(), watcher.join()
        hold((answer.json()["received"], answer.json()["file"]) == (size, "art/big.tif"), answer.text())
        hold(not answer.json()["facts"]["usable"], "noise was taken for a picture")
        hold(os.path.getsize(f"{s.folder}/T-1/art/big.tif") == size, "the file is not whole")
        with open(f"{s.folder}/T-1/art/big.tif", "rb") as f:
            f.seek(777 << 20)
            hold(f.read(1 << 20) == block, "the file's bytes are not those sent")
        hold(peak[0] - before <= 8 * 1024, f"the upload took {(peak[0] - before) / 1024:.1f} MB more memory")
        return peak[0] - before


def many_floors(s, clients):
    """Everyone reads once, so that what is opened once is open."""
    threads = [threading.Thread(target=s.get, args=("/api/floor",)) for _ in range(clients)]
    [t.start() for t in threads], [t.join() for t in threads]
    steady(s.descriptors)


def load(seconds=8, clients=30):
    """Many with the overview open while facts come in: every answer right, memory and descriptors as before."""
    with shop((1, 2, 3)).start() as s:
        panels = {j: s.planned_outside(j) for j in ("T-1", "T-2", "T-3")}
        many_floors(s, clients)
        descriptors, wrong, times = s.descriptors(), [], {"read": [], "fact": []}
        end = time.time() + seconds

        def client(number):
            c, r = s.connection(), random.Random(number)
            while time.time() < end:
                job, begun = r.choice(list(panels)), time.time()
                write = number % 3 == 0
                answer = s.ask("POST", f"/api/jobs/{job}/facts", {"key": uuid.uuid4().hex, "kind": "note", "words": "load",
                               "panels": r.choice(panels[job])}, connection=c) if write else s.ask("GET", "/api/floor", connection=c)
                times["fact" if write else "read"].append(time.time() - begun)
                if answer.status != 200:
                    wrong.append((answer.status, answer.text()[:100]))
                time.sleep(r.uniform(0.1, 0.5))
        threads = [threading.Thread(target=client, args=(n,)) for n in range(clients)]
        [t.start() for t in threads], [t.join() for t in threads]
        hold(not wrong, f"{len(wrong)} answers were wrong: {wrong[:3]}")
        resident = s.resident_kb()
        # The record opens up to four handles for readers, of two files each, as they are needed, and keeps them.
        hold(until(lambda: s.descriptors() <= descriptors + 8, 10), f"{s.descriptors() - descriptors} descriptors were left open")
        hold(resident < 60 * 1024, f"{resident / 1024:.0f} MB resident")
        return times, resident


# ---- abuse ----

def hostile_shapes():
    """Requests that no browser sends: refused, and the next one is answered."""
    with shop().start() as s:
        host = b"Host: 127.0.0.1:%d\r\n" % s.port
        origin = b"Origin: http://127.0.0.1:%d\r\n" % s.port
        form = b"Content-Type: application/x-www-form-urlencoded\r\n"
        shapes = {
            "two lengths": b"POST /api/new HTTP/1.1\r\n" + host + origin + form + b"Content-Length: 0\r\nContent-Length: 9\r\nConnection: close\r\n\r\n",
            "length and chunks": b"POST /api/new HTTP/1.1\r\n" + host + origin + form + b"Content-Length: 4\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n0\r\n\r\n",
            "chunks": b"POST /api/new HTTP/1.1\r\n" + host + origin + form + b"Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n0\r\n\r\n",
            "odd chunks": b"POST /api/new HTTP/1.1\r\n" + host + origin + b"Transfer-Encoding: xchunked\r\nConnection: close\r\n\r\n",
            "two hosts": b"GET / HTTP/1.1\r\n" + host + b"Host: evil.example\r\nConnection: close\r\n\r\n",
            "no host": b"GET / HTTP/1.1\r\nConnection: close\r\n\r\n",
            "other host": b"GET /api/floor HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n",
            "length with sign": b"POST /api/new HTTP/1.1\r\n" + host + origin + form + b"Content-Length: +1\r\nConnection: close\r\n\r\na",
            "length in hex": b"POST /api/new HTTP/1.1\r\n" + host + origin + form + b"Content-Length: 0x10\r\nConnection: close\r\n\r\n",
            "trace": b"TRACE / HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n",
            "delete": b"DELETE /api/jobs/T-1 HTTP/1.1\r\n" + host + origin + b"Content-Length: 0\r\nConnection: close\r\n\r\n",
            "nul": b"GET /%00 HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n",
            "dots": b"GET /page/../../../etc/passwd HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n",
            "coded dots": b"GET /page/%2e%2e%2f%2e%2e%2fetc%2fpasswd HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n",
            "absolute": b"GET http://evil.example/ HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n",
            "long address": b"GET /" + b"a" * 20000 + b" HTTP/1.1\r\n" + host + b"Connection: close\r\n\r\n",
            "many headers": b"GET / HTTP/1.1\r\n" + host + b"".join(b"X-%d: y\r\n" % i for i in range(20000)) + b"\r\n",
            "no protocol": b"GARBAGE\r\n\r\n",
            "tls": bytes.fromhex("16030100a5010000a10303") + os.urandom(200),
        }
        for name, shape in shapes.items():
            back = s.raw(shape, timeout=4)
            first = back.split(b"\r\n")[0]
            status = int(first.split()[1]) if first.startswith(b"HTTP/1.") else 0
            hold(status == 0 or status >= 400, f"{name}: answered with {first}")
            hold(b"root:" not in back, f"{name}: a file of this machine came back")
            hold(back.count(b"HTTP/1.1 200") == 0, f"{name}: a second request was answered inside the first")
        own_words_for_odd_heads(s, host)
        hold(s.get("/api/floor").status == 200, "after all that the server does not answer")


def unread(s, c):
    """Bytes of the connection that lie before the server unread, from the kernel's table of connections (proc(5))."""
    for line in open("/proc/net/tcp"):
        words = line.split()
        ends = tuple(int(words[i].split(":")[1], 16) for i in (1, 2) if ":" in words[i])
        if ends == (s.port, c.getsockname()[1]):
            return int(words[4].split(":")[1], 16)
    return None


def own_words_for_odd_heads(s, host):
    """A length that is none, or no request at all, gets one answer, and it is the page's own; a head may come in pieces."""
    for length in ("abc", "-5", "", "1, 1", "9" * 30):
        for path, mark in (("/", b"That did not work"), ("/api/new", b'"error": "')):
            back = s.raw(f"POST {path} HTTP/1.1\r\n".encode() + host + f"Content-Length: {length}\r\n\r\n".encode() + b"x" * 3000, timeout=4)
            hold(back.count(b"HTTP/1.1 4") == 1 and mark in back and b"Content-Security-Policy" in back, f"length {length!r} at {path}: {back[:300]}")
    back = s.raw(b"GARBAGE\r\n\r\n", timeout=4)
    hold(back.startswith(b"HTTP/1.1 400") and b"That did not work" in back, f"garbage: {back[:200]}")
    with socket.create_connection(("127.0.0.1", s.port), timeout=10) as c:
        sent = 0
        for piece in (b"GET /api/fl", b"oor HTTP/1.1\r\nHo", host[2:] + b"Connection: close\r\n\r", b"\n"):
            c.sendall(piece)
            sent += len(piece)
            until(lambda: unread(s, c) in (0, sent, None), 10)  # arrived, so that they are not one; a head that is not whole is left unread
        back = b"".join(iter(lambda: c.recv(65536), b""))
        hold(back.startswith(b"HTTP/1.1 200"), f"in pieces: {back[:200]}")


def hostile_pages():
    """What other servers' pages may make a browser send; markup in every text; files with hostile names."""
    with shop().start() as s:
        panel = first_panel(s)
        for origin in ("http://evil.example", "null", f"https://127.0.0.1:{s.port}", f"http://127.0.0.1:{s.port + 1}", None):
            answer = s.post("/api/new", {"number": "EVIL"}, headers={"Origin": origin})
            hold(answer.status == 403, f"a post from origin {origin} was answered with {answer.status}")
        hold(s.post("/api/new", {"number": "EVIL"}, headers={"Sec-Fetch-Site": "cross-site"}).status == 403, "a cross-site post was taken")
        hold(s.ask("POST", "/api/new", b'{"number": "EVIL"}', headers={"Content-Type": "text/plain"}).status == 415, "a plain text post was taken")
        hold(not os.path.exists(f"{s.folder}/EVIL"), "a job folder was made from another page")
        markup = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'&"
        s.fact("T-1", "note", panel, words=markup, who=markup, device=markup)
        page = s.get(f"/P/T-1/{panel.upper()}")
        hold(page.status == 200 and "<script>alert" not in page.text() and "<img src=x" not in page.text(), "markup in a note reached the page as markup")
        for answer in (page, s.get("/"), s.get("/api/floor")):
            policy = answer.headers.get("Content-Security-Policy", "")
            hold("default-src 'self'" in policy and "unsafe" not in policy and "frame-ancestors 'none'" in policy, f"policy: {policy}")
            hold(answer.headers.get("X-Content-Type-Options") == "nosniff", "a type may be guessed")
        for name in ("x.exe", "x", ".pdf/../x", "x.pdf\0.exe", "x.php", "a" * 5000 + ".exe"):
            answer = s.post("/api/jobs/T-1/upload", {"name": name, "bytes": 5, "key": uuid.uuid4().hex})
            hold(answer.status in (400, 422), f"{name[:20]!r} was taken: {answer.status}")
        for name in ("../../../up.pdf", "C:\\up.pdf", "-rf.pdf", "ünï.pdf", "a" * 5000 + ".pdf", ".pdf", "; rm.pdf", "%p.pdf", "@list.pdf"):
            answer = s.post("/api/jobs/T-1/upload", {"name": name, "bytes": 5, "key": uuid.uuid4().hex})
            file = answer.json().get("file", "") if answer.status == 200 else ""
            plain = file.startswith("art/") and all(c.isalnum() and c.isascii() or c in "-_." for c in file[4:]) and file[4:5].isalnum()
            hold(answer.status in (400, 422, 503, 507) or plain, f"{name[:20]!r} became {file!r} ({answer.status})")
        hold(s.post("/api/jobs/T-1/photo", "x", headers={"Content-Type": "image/jpeg"}).status == 422, "a photograph that is none was taken")
        svg = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
        hold(s.ask("POST", "/api/jobs/T-1/photo", svg, headers={"Content-Type": "image/svg+xml"}).status == 422, "an SVG was taken for a photograph")
        photo = s.ask("POST", "/api/jobs/T-1/photo", some_png(), headers={"Content-Type": "image/png"})
        hold(photo.status == 200, f"a photograph was refused: {photo.text()}")
        back = s.get(photo.json()["address"])
        hold(back.headers["Content-Type"] == "image/jpeg" and "sandbox" in back.headers["Content-Security-Policy"], "a photograph may run script")
        for address in ("/jobs/T-1/files/../../job.yaml", "/jobs/T-1/files/..%2f..%2fjob.yaml", "/jobs/T-1/files/job.yaml",
                        "/api/photos/..%2frecord.sqlite", "/page/sign-in.html", "/record.sqlite"):
            hold(s.get(address).status in (400, 404), f"{address} was answered")


def some_png():
    """8 x 8 grey pixels (PNG, second edition)."""
    chunk = lambda kind, data: struct.pack(">L", len(data)) + kind + data + struct.pack(">L", zlib.crc32(kind + data))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">LLBBBBB", 8, 8, 8, 0, 0, 0, 0)) + \
        chunk(b"IDAT", zlib.compress(bytes(8 * 9))) + chunk(b"IEND", b"")


def people():
    """With people set up: nothing without signing in; viewers look only; guessing waits; sessions are new ones."""
    with shop() as s:
        set_up = lambda name, role, password: s.run("person", s.folder, "--name", name, "--role", role, input=password + "\n")
        refused = s.run("serve", s.folder, "--listen", "0.0.0.0", "--port", str(s.port))
        hold(refused.returncode == 2 and "nobody is set up" in refused.stderr, f"a network address without people: {refused.stderr}")
        hold(set_up("bench", "viewer", "long enough words").returncode == 2, "the first person was a viewer: nobody could add others")
        hold(set_up("bench", "shop", "short").returncode == 2, "a short password was taken")
        hold(set_up("bench", "shop", "seven panels on the left").returncode == 0, "no person could be set up")
        hold(set_up("office", "viewer", "looking is for free").returncode == 0, "no viewer could be set up")
        hold("seven panels" not in open(f"{s.folder}/record.sqlite", "rb").read().decode("latin1"), "the password is in the file as it is")
        s.start()
        for path in ("/api/floor", "/api/jobs/T-1", "/api/live", "/jobs/T-1/report.pdf", "/api/people", "/api/photos/" + "0" * 64):
            hold(s.get(path).status == (401 if path.startswith("/api/") else 303), f"{path} without signing in: {s.get(path).status}")
        hold(b'value="/jobs"' in s.get("/sign-in?back=/jobs").body and b"evil" not in s.get("/sign-in?back=//evil.example").body,
             "signing in does not lead back to where one was, or leads away")
        hold(s.get("/jobs").headers.get("Location") == "/sign-in?back=/jobs", "the way to signing in is not shown")
        hold(s.post("/api/new", {"number": "X-1"}).status == 401, "a stranger made a job")
        fixed = "lapstrake=" + "ab" * 32
        answer = s.post("/sign-in", {"name": "bench", "password": "seven panels on the left"}, headers={"Cookie": fixed})
        cookie = answer.headers.get("Set-Cookie", "")
        hold(answer.status == 303 and "HttpOnly" in cookie and "SameSite=Strict" in cookie and fixed not in cookie, f"signing in: {cookie}")
        hold(s.get("/api/floor", headers={"Cookie": fixed}).status == 401, "a token of somebody else's making was taken up")
        s.cookie = cookie.split(";")[0]
        hold(s.get("/api/floor").json()["who"] == "bench", "signed in, and not known")
        back = s.post("/sign-in", {"name": "bench", "password": "seven panels on the left", "back": "//evil.example/"})
        hold(back.headers.get("Location") == "/", f"signing in leads away: {back.headers.get('Location')}")
        s.post("/sign-out")
        hold(s.get("/api/floor").status == 401, "signed out, and still in")
        hold(s.sign_in("office", "looking is for free").status == 303, "the viewer cannot sign in")
        hold(s.get("/api/floor").status == 200 and s.post("/api/new", {"number": "X-1"}).status == 403, "a viewer may change things")
        hold(s.fact("T-1", "note", words="x").status == 403 and s.post("/api/people", {"name": "x", "role": "shop", "password": "long enough words"}).status == 403, "a viewer may record")
        c, heard = s.connection(timeout=40), []
        c.request("GET", "/api/live", headers={"Host": f"127.0.0.1:{s.port}", "Cookie": s.cookie})
        news = c.getresponse()
        hold(s.run("person", s.folder, "--name", "office", "--role", "none").returncode == 0, "the viewer could not be taken out")
        hold(s.get("/api/floor").status == 401, "taken out, and still in")
        begun = time.time()
        while (line := news.fp.readline()) and time.time() - begun < 35:
            heard.append(line)
        hold(not line and not any(b"event: change" in h for h in heard), f"who was taken out hears news: {heard}")
        s.sign_in("bench", "seven panels on the left")
        set_up("bench", "shop", "eight panels on the left")
        hold(s.get("/api/floor").status == 401, "a session outlived its password")
        s.cookie = None
        tries = [s.sign_in("bench", f"guess number {i}").status for i in range(8)]
        hold(tries[0] == 401 and tries[-1] == 429, f"guessing: {tries}")
        hold(s.sign_in("bench", "seven panels on the left").status == 429, "after much guessing the password is tried at once")


def tls():
    """With the shop's certificate: https, a cookie for it alone, and no plain answers."""
    import http.client
    import ssl
    with shop() as s:
        made = subprocess.run(["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-keyout",
                               f"{s.folder}/key.pem", "-out", f"{s.folder}/shop.pem", "-days", "2", "-subj", "/CN=localhost",
                               "-addext", "subjectAltName=IP:127.0.0.1"], capture_output=True, text=True)
        hold(made.returncode == 0, made.stderr)
        lone = s.run("serve", s.folder, "--port", str(s.port), "--certificate", f"{s.folder}/shop.pem")
        hold(lone.returncode == 2 and "go together" in lone.stderr, f"a certificate without a key: {lone.stderr}")
        hold(s.run("person", s.folder, "--name", "bench", "--role", "shop", input="seven panels on the left\n").returncode == 0, "nobody was set up")
        s.start("--certificate", f"{s.folder}/shop.pem", "--key", f"{s.folder}/key.pem")
        trust = ssl.create_default_context(cafile=f"{s.folder}/shop.pem")
        s.connection = lambda timeout=30: http.client.HTTPSConnection("127.0.0.1", s.port, timeout=timeout, context=trust)
        form = {"name": "bench", "password": "seven panels on the left"}
        plain = s.post("/sign-in", form)
        hold(plain.status == 403, f"a form from a plain page was answered with {plain.status}")
        answer = s.post("/sign-in", form, headers={"Origin": f"https://127.0.0.1:{s.port}"})
        hold(answer.status == 303 and "; Secure" in answer.headers.get("Set-Cookie", ""), f"{answer.status} {answer.headers}")
        hold(b"HTTP/1.1 200" not in s.raw(b"GET /sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n", timeout=3), "plain http was answered")
        hold(s.stop() == 0, "the server did not end politely")


def slow():
    """Headers that drip for ever are cut off; others are served meanwhile."""
    import socket
    with shop().start() as s:
        drips = [socket.create_connection(("127.0.0.1", s.port)) for _ in range(20)]
        begun = time.time()
        for d in drips:
            d.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ")
        ended = set()
        while len(ended) < len(drips) and time.time() - begun < 50:
            hold(s.get("/api/floor").status == 200, "others are not served meanwhile")
            for i, d in enumerate(drips):
                try:
                    d.sendall(b"a")
                    d.setblocking(False)
                    if d.recv(1000) == b"":
                        ended.add(i)
                except BlockingIOError:
                    pass
                except OSError:
                    ended.add(i)
                finally:
                    d.setblocking(True)
            time.sleep(1)
        hold(len(ended) == len(drips), f"{len(drips) - len(ended)} of {len(drips)} dripping connections are still open after {time.time() - begun:.0f} s")


CASES = {"way": way, "twice": twice, "seams": seams, "new_job": new_job, "once": once, "numbers": numbers,
         "changes": changes, "arrivals": arrivals, "mistakes": mistakes, "zone": zone, "opening": opening,
         "together": together, "killed": killed, "gigabyte": gigabyte, "load": load,
         "hostile_shapes": hostile_shapes, "hostile_pages": hostile_pages, "people": people, "tls": tls, "slow": slow,
         "killed_long": lambda: killed(300)}

if __name__ == "__main__":
    CASES[CASE]()
    print("\n".join(faults) or "fine")
    sys.exit(1 if faults else 0)
