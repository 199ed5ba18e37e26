#!/usr/bin/python3
"""What no one may do to the page's server, from outside: end it, starve it, or make it say what is not so.

    guarding.py LAPSTRAKE PROFILE CASE

One line a fault; exit status 1 when there is one.
"""
import http.client
import os
import random
import shutil
import socket
import struct
import subprocess
import sys
import tempfile
import threading
import time
import uuid

from shopfloor import Shop, faults, hold, until

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]


def shop(jobs=(1,)):
    return Shop(LAPSTRAKE, PROFILE, jobs)


# ---- jobs held open ----

STEPS = ("printed", "hung", "laminated", "trimmed", "installed")


def put_steps(s, job, panels, chance):
    """Some panels come some way, some are damaged, some of that is taken back: every kind of thing on record."""
    for panel in panels:
        for step in STEPS[:chance.randint(0, len(STEPS))]:
            s.fact(job, step, panel, override="tried from outside", air_c="21", surface_c="21")
        if chance.random() < 0.3:
            s.fact(job, "damaged", panel, words="creased")
    newest = s.get(f"/api/jobs/{job}/facts").json()["facts"]
    if newest and newest[0]["kind"] != "planned":
        s.fact(job, "withdrawn", withdraws=newest[0]["number"], words="the wrong one")


def try_all(s, job, surfaces, chance, answers):
    """As an arrow key on a seam does, and the same for what no page sends."""
    for surface in surfaces:
        marks = sorted({round(x["at_mm"], 1) for x in surface["seams"]})
        for form in ({}, {"seams": ",".join(str(m + chance.choice((-10, -1, 1, 10))) for m in marks)}, {"choose": "1"}):
            answers.append(s.post(f"/api/jobs/{job}/try", {"surface": surface["name"], **form}).status)
    answers.append(s.post(f"/api/jobs/{job}/try", {"choose": "2"}).status)
    answers.append(s.get(f"/api/jobs/{job}").status)


def held():
    """Seams are tried in jobs with all kinds of things on record, more jobs than are held open, while others record."""
    with shop((1, 2, 3, 4)) as s:
        panels = {f"T-{n}": s.planned_outside(f"T-{n}") for n in range(1, 5)}
        s.start()
        surfaces = {job: s.planned(job)["plan"]["surfaces"] for job in panels}
        [put_steps(s, job, panels[job], random.Random(n)) for n, job in enumerate(panels)]
        answers = []

        def person(n):
            chance = random.Random(100 + n)
            for _ in range(2):
                job = chance.choice(list(panels))
                try_all(s, job, surfaces[job], chance, answers)
                s.fact(job, "note", chance.choice(panels[job]), words="tried")
        threads = [threading.Thread(target=person, args=(n,)) for n in range(4)]
        [t.start() for t in threads], [t.join() for t in threads]
        hold(len(answers) > 30 and set(answers) <= {200, 422} and 200 in answers, f"{len(answers)} answers, {sorted(set(answers))}")
        hold(s.stop() == 0, "the server did not end politely")


# ---- who takes all the room ----

def begin(s, name="a.pdf", size=1000, job="T-1"):
    return s.post(f"/api/jobs/{job}/upload", {"name": name, "bytes": size, "key": uuid.uuid4().hex})


def send(s, upload, data):
    return s.ask("PUT", f"/api/uploads/{upload.json()['upload']}?offset=0", data)


def with_people(s, names=("bench", "press"), viewers=()):
    """Each with the password `NAME looks at NAME`; their cookies by name."""
    for name in (*names, *viewers):
        done = s.run("person", s.folder, "--name", name, "--role", "viewer" if name in viewers else "shop", input=password(name) + "\n")
        hold(done.returncode == 0, f"{name} could not be set up: {done.stderr}")
    if not s.process:
        s.start()
    cookies = {}
    for name in (*names, *viewers):
        s.cookie = None
        s.sign_in(name, password(name))
        cookies[name] = s.cookie
    return cookies


def password(name):
    return f"{name} looks at {name}"


def begun():
    """One who begins uploads without a byte, as many as they like, does not keep others from sending theirs."""
    with shop() as s:
        cookies = with_people(s)
        s.cookie = cookies["press"]
        answers = [begin(s, f"x{i}.pdf") for i in range(40)]
        hold([a.status for a in answers[:8]] == [200] * 8, f"the first uploads: {[a.status for a in answers[:8]]}")
        late = answers[-1]
        hold(late.status == 503 and late.json()["code"] == "uploads-full" and late.headers.get("Retry-After"), f"the 40th: {late.status} {late.text()}")
        s.cookie = cookies["bench"]
        for i in range(3):
            mine = begin(s, f"mine{i}.pdf", 4)
            hold(mine.status == 200 and send(s, mine, b"%PDF").json().get("file") == f"art/mine{i}.pdf", f"the other's file: {mine.status} {mine.text()}")
        hold(send(s, answers[0], b"x" * 1000).status == 404, "one person's upload takes another's bytes")


def connect(s, source):
    c = socket.socket()
    c.bind((source, 0))
    c.settimeout(10)
    c.connect(("127.0.0.1", s.port))
    return c


def quiet():
    """Two addresses with as many quiet connections as they get, some before a request, some in one: others are served."""
    with shop().start() as s:
        begun_post = b"POST /api/new HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nOrigin: http://127.0.0.1:%d\r\nContent-Length: 90\r\n" \
                     b"Content-Type: application/x-www-form-urlencoded\r\n\r\nn" % (s.port, s.port)
        openings = (b"", b"GET / HTTP/1.1\r\nX: ", begun_post, b"GET /api/live HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n" % s.port)
        for opening in openings:
            kept, longest = [], 0
            for i in range(320):
                try:
                    c = connect(s, "127.0.0.2" if i % 2 else "127.0.0.3")
                    c.sendall(opening)
                    kept.append(c)
                except OSError:  # refused: there are too many already
                    pass
            for _ in range(10):
                at = time.time()
                try:
                    hold(s.get("/api/floor", connection=s.connection(timeout=5)).status == 200, f"after {opening[:20]}: another answer")
                except OSError as trouble:
                    hold(False, f"after {len(kept)} connections with {opening[:20]}: {trouble}")
                longest = max(longest, time.time() - at)
            hold(longest < 4, f"after {opening[:20]}: the answer took {longest:.1f} s")
            [c.close() for c in kept]
        hold(s.get("/api/floor").status == 200, "after all that the server does not answer")


def unfinished(s):
    return [os.path.join(top, name) for top, _, names in os.walk(f"{s.folder}/T-1") for name in names if name.startswith(".unfinished-")]


def swept():
    """What a kill leaves of files coming in is gone when the server starts; what another server writes just then stays."""
    with shop().start() as s:
        for name in ("a.pdf", "b.svg", "c.icc"):
            hold(send(s, begin(s, name, 9000), b"x" * 5000).status == 200, f"half of {name} was not taken")
        hold(len(unfinished(s)) == 3, f"nothing was coming in: {unfinished(s)}")
        with Shop(LAPSTRAKE, PROFILE, (), folder=s.folder).start() as other:
            hold(len(unfinished(s)) == 3, "another server took away what this one writes")
            other.stop()
        s.kill()
        hold(len(unfinished(s)) == 3, "the kill left nothing: this case tries nothing")
        s.start()
        hold(not unfinished(s), f"left after a kill and a start: {unfinished(s)}")


def room():
    """A disk that gets full: told before, files refused, entries still recorded."""
    folder = tempfile.mkdtemp(prefix="small-")
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=40m", "tmpfs", folder], capture_output=True).returncode:
        print("skipped: no small disk can be mounted here")
        os.rmdir(folder)
        sys.exit(77)
    try:
        with Shop(LAPSTRAKE, PROFILE, (1,), folder=folder).start() as s:
            panel = s.planned("T-1")["panels"][0]["panel"]
            said = s.get("/api/floor").json()["room"]
            hold(said and not said["full"] and 0 < said["left_mb"] <= 40, f"of the disk with 40 MB: {said}")
            large = begin(s, "large.tif", 60 << 20)
            hold(large.status == 507 and large.json()["code"] == "disk-full", f"60 MB on a disk of 40: {large.status} {large.text()}")
            with open(f"{folder}/fill", "wb") as f:
                while os.statvfs(folder).f_bavail * os.statvfs(folder).f_frsize > 9 << 20:
                    f.write(bytes(1 << 20)), f.flush()
            half = begin(s, "half.tif", 4 << 20)
            with open(f"{folder}/fill", "ab") as f:
                f.write(bytes(8 << 20))
            stopped = send(s, half, bytes(4 << 20)) if half.status == 200 else half
            hold(stopped.status == 507 and stopped.json()["code"] == "disk-full", f"bytes for a full disk: {stopped.status} {stopped.text()}")
            hold(s.get("/api/floor").json()["room"]["full"], "nobody is told that the disk is full")
            hold(s.post("/api/jobs/T-1/plan").status == 507, "a plan was begun on a full disk")
            hold(s.fact("T-1", "note", panel, words="still here").status == 200, "an entry was refused while some room is kept for it")
            os.truncate(f"{folder}/fill", 0)
            there = s.get(f"/api/uploads/{half.json()['upload']}").json()["received"]
            rest = s.ask("PUT", f"/api/uploads/{half.json()['upload']}?offset={there}", bytes((4 << 20) - there))
            hold(rest.status == 200 and rest.json()["file"] == "art/half.tif", f"with room again: {rest.status} {rest.text()}")
    finally:
        subprocess.run(["umount", "-l", folder])
        os.rmdir(folder)


# ---- signing in ----

def sign_in_from(s, source, name, words, cookie=None):
    c = http.client.HTTPConnection("127.0.0.1", s.port, timeout=30, source_address=(source, 0))
    return s.ask("POST", "/sign-in", {"name": name, "password": words}, connection=c, headers={"Cookie": cookie})


def patience():
    """Junk names and many addresses do not make the server forget guesses; a known device comes in all the same."""
    with shop() as s:
        cookies = with_people(s)
        old = cookies["bench"]
        s.cookie = old
        s.post("/sign-out")
        hold(s.get("/api/floor").status == 401, "signed out, and still in")
        tried = 0
        for i in range(60):
            for k in range(3):
                sign_in_from(s, f"127.1.{i}.{k + 1}", f"junk {i} {k}", "nothing of the kind")
            tried += sign_in_from(s, f"127.2.{i}.1", "bench", f"guess number {i}").status == 401
        hold(tried <= 6, f"{tried} guesses at one name were tried within a minute")
        hold(sign_in_from(s, "127.3.0.1", "bench", password("bench")).status == 429, "a strange device with the password came in while the name waits")
        hold(sign_in_from(s, "127.3.0.1", "press", password("press")).status == 303, "another person has to wait for it")
        hold(sign_in_from(s, "127.3.0.2", "press", "wrong", cookie=old).status == 401, "a device that is known for one is known for another")
        back = sign_in_from(s, "127.2.1.1", "bench", password("bench"), cookie=old)
        hold(back.status == 303, f"the owner is locked out on a known device: {back.status}")
        own = [sign_in_from(s, "127.4.0.1", "bench", "guess", cookie=back.headers["Set-Cookie"].split(";")[0]).status for _ in range(8)]
        hold(own[-1] == 429, f"a known device may guess for ever: {own}")


def restart():
    """Sessions outlive the server, ended politely or killed at once; those that are over, taken out or of an old password do not."""
    with shop() as s:
        cookies = with_people(s, ("bench", "press", "office"))
        s.cookie = cookies["press"]
        s.post("/sign-out")
        s.kill(), s.start()
        who = {name: s.get("/api/floor", headers={"Cookie": cookie}) for name, cookie in cookies.items()}
        hold(who["bench"].status == 200 and who["bench"].json()["who"] == "bench", f"after a kill: {who['bench'].status}")
        hold(who["press"].status == 401 and who["press"].json()["code"] == "session-ended", f"signed out before the kill: {who['press'].text()}")
        hold(s.get("/api/floor", headers={"Cookie": None}).json()["code"] == "sign-in", "a stranger hears of a session")
        kept = open(f"{s.folder}/.sessions").read()
        hold(not any(c.split("=")[1] in kept for c in cookies.values()), "a token is in the file of sessions")
        s.run("person", s.folder, "--name", "office", "--role", "none")
        hold(s.stop() == 0, "the server did not end politely")
        s.start()
        hold(s.get("/api/floor", headers={"Cookie": cookies["bench"]}).status == 200, "after a polite end the session is gone")
        hold(s.get("/api/floor", headers={"Cookie": cookies["office"]}).status == 401, "who was taken out is still in")


# ---- what it says and shows ----

def viewers():
    """Who may look may not try, plan, or set up people, and is told what they may do."""
    with shop() as s:
        cookies = with_people(s, ("bench",), ("office",))
        s.cookie = cookies["bench"]
        surface = s.planned("T-1")["plan"]["surfaces"][0]["name"]
        hold(s.get("/api/floor").json()["may"] == ["look", "record", "change", "people"], "the role shop is not told what it may do")
        hold(s.post("/api/jobs/T-1/try", {"surface": surface}).status == 200, "the role shop may not try")
        s.cookie = cookies["office"]
        for view in ("/api/floor", "/api/jobs/T-1", "/api/stock"):
            hold(s.get(view).json()["may"] == ["look"], f"{view}: a viewer is not told what they may do")
        for address in ("try", "plan", "make", "stop", "edit", "undo", "facts", "photo", "upload"):
            hold(s.post(f"/api/jobs/T-1/{address}", {"surface": surface}).status == 403, f"a viewer may {address}")
        for address in ("/api/people", "/people", "/new"):
            hold(s.get(address).status == 403, f"a viewer is shown {address}")
        hold(s.get("/api/jobs/T-1").json()["plan"], "a viewer does not see the plan")


def plain():
    """No answer says where the server's folder is; what is not there is a page with a way on."""
    with shop().start() as s:
        panel = s.planned("T-1")["panels"][0]["panel"]
        os.mkdir(f"{s.folder}/B-1")
        with open(f"{s.folder}/B-1/job.yaml", "w") as f:
            f.write("job: B-1\nshop: nowhere.yaml\nsurfaces: [{name: left, size: [900, 700], front: left, artwork: [{file: art/none.pdf}]}]\n")
        os.mkdir(f"{s.folder}/F-1")
        with open(f"{s.folder}/F-1/job.yaml", "w") as f:
            f.write("job: F-1\nshop: ../T-1/shop.yaml\nsurfaces: [{name: left, size: [1200, 800], front: left}]\n")
        open(f"{s.folder}/F-1/out", "w").close()
        addresses = ["/", "/api/floor", "/api/stock", "/api/conditions", "/api/keys", "/api/people", "/nothing", "/P/GONE-1/x-1", f"/P/T-1/{panel}",
                     "/P/T-1/none-9", "/api/photos/none", "/api/photos/none/small", "/api/uploads/none", "/jobs/T-1/files/none.pdf", "/jobs/GONE-1/report.pdf"]
        for job in ("T-1", "B-1", "F-1", "GONE-1"):
            addresses += [f"/api/jobs/{job}{more}" for more in ("", "/written", "/facts", "/preview/0.png", "/preview/-1.png", "/preview/x", "/preview/99.png")]
        said = [(a, s.get(a)) for a in addresses]
        for job in ("T-1", "B-1", "F-1", "GONE-1"):
            said += [(f"{what} {job}", s.post(f"/api/jobs/{job}/{what}", {"surface": "left", "fingerprint": "0" * 16, "path": "title", "value": "x"}))
                     for what in ("try", "edit", "undo", "facts", "plan", "upload")]
        until(lambda: s.get("/api/jobs/F-1").json().get("trouble"), 30)
        view = s.get("/api/jobs/F-1")
        hold(view.json()["trouble"], "F-1 was planned: this case tries less than it should")
        said += [("trouble of F-1", view), ("the floor with it", s.get("/api/floor"))]
        for address, answer in said:
            hold(s.folder.encode() not in answer.body, f"{address} says where the folder is: {answer.body[:300]}")
            hold(answer.status < 500, f"{address}: {answer.status} {answer.body[:200]}")
        for address in ("/nothing", "/P/GONE-1/x-1", "/P/T-1/none-9", "/jobs/T-1/files/none.pdf"):
            answer = s.get(address)
            hold(answer.status == 404 and "text/html" in answer.headers["Content-Type"] and 'href="/' in answer.text(), f"{address}: {answer.status} {answer.text()[:100]}")


def write_job(s, artwork, job="W-1", more=""):
    os.makedirs(f"{s.folder}/{job}/art", exist_ok=True)
    with open(f"{s.folder}/{job}/job.yaml", "w") as f:
        f.write(f"job: {job}\nshop: ../T-1/shop.yaml\n{more}surfaces: [{{name: left, size: [1200, 800], front: left, artwork: [{{file: {artwork}, fit: bleed}}]}}]\n")


def mistakes(s, job="W-1"):
    """As the page shows them when planning is over."""
    until(lambda: not s.get(f"/api/jobs/{job}").json()["planning"])
    return " ".join(m["text"] for m in s.get(f"/api/jobs/{job}").json()["mistakes"])


def reach():
    """Files that a job names lie below the served folder, whatever they are and however they are named; --anywhere lifts it."""
    with shop() as s, tempfile.TemporaryDirectory() as outside:
        art = [os.path.join(top, n) for top, _, names in os.walk(f"{s.folder}/T-1") for n in names if n.endswith(".pdf")][0]
        shutil.copy(art, f"{outside}/secret.pdf"), shutil.copy(f"{s.folder}/T-1/shop.yaml", f"{outside}/shop.yaml")
        write_job(s, "art/a.pdf")
        os.symlink(f"{outside}/secret.pdf", f"{s.folder}/W-1/art/a.pdf"), os.symlink(outside, f"{s.folder}/W-1/elsewhere")
        s.start()
        shown = lambda words, **more: (write_job(s, words, **more), mistakes(s))[1]
        for named in ("art/a.pdf", f"{outside}/secret.pdf", f"../../{os.path.basename(outside)}/secret.pdf", "elsewhere/secret.pdf",
                      "/etc/hostname", "/etc/no-such-file", "../../none/../x.pdf", "elsewhere/none.pdf"):
            said = shown(named)
            hold("outside" in said, f"{named} was read: {said}")
        for more in (f"vehicle: {outside}/shop.yaml\n", "vehicle: elsewhere/shop.yaml\n", "vehicle: /etc/passwd\n"):
            said = shown("../T-1/" + os.path.relpath(art, f"{s.folder}/T-1"), more=more)
            hold("outside" in said, f"{more.strip()} was read: {said}")
        for named in (f"{outside}/shop.yaml", "elsewhere/shop.yaml", "art/shop.svg"):
            write_job(s, "art/b.pdf")
            with open(f"{s.folder}/W-1/job.yaml") as f:
                text = f.read().replace("../T-1/shop.yaml", named)
            with open(f"{s.folder}/W-1/job.yaml", "w") as f:
                f.write(text)
            said = mistakes(s)
            hold("outside" in said or "is not a shop file" in said, f"shop {named} was read: {said}")
        inside = shown("../T-1/" + os.path.relpath(art, f"{s.folder}/T-1"))
        hold(not inside, f"what lies in the folder may not be named: {inside}")
        write_job(s, f"{outside}/secret.pdf")
        limited, free = (s.run("check", f"{s.folder}/W-1", *more) for more in (("--within", s.folder), ()))
        hold(limited.returncode == 2 and "outside" in limited.stderr, f"check --within: {limited.returncode} {limited.stderr}")
        hold(free.returncode in (0, 1), f"check without it: {free.returncode} {free.stderr}")
        s.stop()
        s.start("--anywhere")
        hold(not mistakes(s), f"with --anywhere: {mistakes(s)}")


def links():
    """Links in OUT are neither listed nor sent, and nothing is written through them; uploads do not follow one either."""
    with shop() as s, tempfile.TemporaryDirectory() as outside:
        s.planned_outside("T-1")
        for name in ("secret.txt", "secret.pdf"):
            open(f"{outside}/{name}", "w").write("nobody's business")
        os.symlink(f"{outside}/secret.txt", f"{s.folder}/T-1/out/note.txt"), os.symlink("../job.yaml", f"{s.folder}/T-1/out/job.pdf")
        shutil.rmtree(f"{s.folder}/T-1/out/panels", ignore_errors=True)
        os.symlink(outside, f"{s.folder}/T-1/out/panels")
        s.start()
        names = [f["name"] for f in s.get("/api/jobs/T-1").json()["files"]]
        hold("plan.json" in names and not {"note.txt", "job.pdf", "panels/secret.pdf"} & set(names), f"the list of files: {names}")
        for name in ("note.txt", "job.pdf", "panels/secret.pdf", "panels/secret.txt"):
            hold(s.get(f"/jobs/T-1/files/{name}").status == 404, f"{name} was sent")
        s.post("/api/jobs/T-1/make", {"anyway": "1"})
        until(lambda: not s.get("/api/jobs/T-1").json()["making"])
        hold(sorted(os.listdir(outside)) == ["secret.pdf", "secret.txt"], f"made through a link: {os.listdir(outside)}")
        os.symlink(outside, f"{s.folder}/T-1/profiles")
        begun = begin(s, "p.icc", 4)
        hold(begun.status == 422 and sorted(os.listdir(outside)) == ["secret.pdf", "secret.txt"], f"an upload followed a link: {begun.status} {begun.text()}")


# ---- photographs; the judge is ImageMagick ----

def exif(orientation):
    """EXIF (CIPA DC-008) with an orientation, a camera's name and a place: 38 42 N, 9 8 W."""
    place = b"".join(struct.pack(">LL", *r) for r in ((38, 1), (42, 1), (0, 1), (9, 1), (8, 1), (0, 1)))
    make, gps_at = b"a telephone\0", 8 + 2 + 3 * 12 + 4
    place_at = gps_at + 2 + 4 * 12 + 4
    main = struct.pack(">H", 3) + struct.pack(">HHLL", 0x010F, 2, len(make), place_at + len(place)) + \
        struct.pack(">HHLHH", 0x0112, 3, 1, orientation, 0) + struct.pack(">HHLL", 0x8825, 4, 1, gps_at) + bytes(4)
    gps = struct.pack(">H", 4) + struct.pack(">HHL4s", 1, 2, 2, b"N\0") + struct.pack(">HHLL", 2, 5, 3, place_at) + \
        struct.pack(">HHL4s", 3, 2, 2, b"W\0") + struct.pack(">HHLL", 4, 5, 3, place_at + 24) + bytes(4)
    return b"MM\0*" + struct.pack(">L", 8) + main + gps + place + make


def with_exif(jpeg, orientation):
    block = b"Exif\0\0" + exif(orientation)
    return jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block + jpeg[2:]


def magick(*arguments, data=None):
    done = subprocess.run([shutil.which("magick") or "convert", *arguments], input=data, capture_output=True)
    if done.returncode:
        raise RuntimeError(done.stderr.decode())
    return done.stdout


def identify(data, what):
    return subprocess.run(["identify", "-format", what, "-"], input=data, capture_output=True).stdout.decode()


def far_from(one, other):
    """Root mean square difference of two pictures, of 1, as ImageMagick has it."""
    with tempfile.TemporaryDirectory() as folder:
        for name, data in (("a", one), ("b", other)):
            open(f"{folder}/{name}", "wb").write(data)
        done = subprocess.run(["compare", "-metric", "RMSE", f"{folder}/a", f"{folder}/b", "null:"], capture_output=True, text=True)
        return float(done.stderr.split("(")[1].rstrip(")"))


def post_photo(s, data, kind="image/jpeg"):
    return s.ask("POST", "/api/jobs/T-1/photo", data, headers={"Content-Type": kind})


def photographs():
    """Whatever way up it was taken: shown upright, small enough, without the place, and nothing that is no picture."""
    scene = ("-size", "3000x2000", "gradient:red-blue", "-fill", "yellow", "-draw", "rectangle 100,100 1400,500", "-fill", "lime", "-draw", "circle 2400,1500 2400,1700")
    whole = magick(*scene, "-quality", "92", "jpg:-")
    with shop().start() as s:
        for orientation in range(1, 9):
            taken = with_exif(whole, orientation)
            hold("38" in identify(taken, "%[EXIF:GPSLatitude]"), "the judge sees no place in what was sent: this case tries nothing")
            answer = post_photo(s, taken)
            if answer.status != 200:
                hold(False, f"orientation {orientation}: {answer.status} {answer.text()}")
                continue
            kept, small = s.get(answer.json()["address"]), s.get(answer.json()["address"] + "/small")
            for name, back, most in (("kept", kept, 2048), ("small", small, 320)):
                width, height = map(int, identify(back.body, "%w %h").split())
                hold(back.headers["Content-Type"] == "image/jpeg" and max(width, height) <= most and max(width, height) > most // 3, f"{name}: {width} x {height}")
                hold(not identify(back.body, "%[EXIF:*]").strip() and b"Exif" not in back.body and b"telephone" not in back.body, f"{name}: says more than the picture")
                right = magick("jpg:-", "-auto-orient", "-strip", "-resize", f"{width}x{height}!", "png:-", data=taken)
                away = far_from(right, back.body)
                hold(away < 0.02, f"orientation {orientation}, {name}: {away:.3f} away from what ImageMagick turns it to")
            again = s.get(answer.json()["address"] + "/small", headers={"If-None-Match": small.headers["ETag"]})
            hold(again.status == 304, f"a small picture that is known was sent again: {again.status}")
        sizes_and_kinds(s, scene)


def sizes_and_kinds(s, scene):
    tiny = magick("-size", "60x40", "gradient:navy-orange", "png:-")
    kept = s.get(post_photo(s, tiny, "image/png").json()["address"]).body
    hold(identify(kept, "%w %h") == "60 40" and far_from(magick("png:-", "png:-", data=tiny), kept) < 0.03, "a small PNG is another picture")
    grey = magick(*scene, "-colorspace", "Gray", "-depth", "16", "png:-")
    hold(post_photo(s, grey, "image/png").status == 200, "a grey PNG of 16 bits was refused")
    whole = magick(*scene, "jpg:-")
    wrong = {"no picture": b"x" * 2000, "half a JPEG": whole[:len(whole) // 2], "a PDF with a JPEG's start": whole[:3] + b"%PDF-1.4" + bytes(500),
             "the start alone": bytes.fromhex("ffd8ffe000104a46494600010100000100010000ffd9"), "GIF": magick(*scene, "-resize", "90x60", "gif:-"),
             "CMYK": magick(*scene, "-resize", "90x60", "-colorspace", "CMYK", "jpg:-"), "TIFF": magick(*scene, "-resize", "90x60", "tiff:-"),
             "SVG": b"<svg xmlns='http://www.w3.org/2000/svg'/>", "nothing": b""}
    for name, data in wrong.items():
        answer = post_photo(s, data)
        hold(answer.status == 422 and answer.json()["error"], f"{name}: {answer.status} {answer.text()[:200]}")
    hold(s.get("/api/floor").status == 200, "after all that the server does not answer")


# ---- long ----

def soak(seconds=40, clients=30):
    """Many who look, try, record, send files and photographs, plan, change and come and go: every answer is one that was meant."""
    photo = magick("-size", "900x700", "gradient:red-blue", "jpg:-")
    with shop((1, 2, 3, 4)) as s:
        panels = {f"T-{n}": s.planned_outside(f"T-{n}") for n in range(1, 5)}
        s.start()
        surfaces = {job: s.planned(job)["plan"]["surfaces"] for job in panels}
        end, wrong, counts = time.time() + seconds, [], {}
        meant = {200, 202, 206, 303, 304, 401, 404, 409, 422, 429, 503}

        def one(r, c):
            job = r.choice(list(panels))
            panel, surface = r.choice(panels[job]), r.choice(surfaces[job])
            marks = ",".join(str(round(x["at_mm"] + r.choice((-20, -1, 0, 1, 20)), 1)) for x in surface["seams"])
            return r.choice([
                lambda: s.ask("GET", "/api/floor", connection=c), lambda: s.ask("GET", f"/api/jobs/{job}", connection=c),
                lambda: s.ask("GET", f"/api/jobs/{job}/facts", connection=c), lambda: s.ask("GET", f"/P/{job}/{panel}", connection=c),
                lambda: s.ask("GET", f"/api/jobs/{job}/preview/{r.randint(0, 3)}.png", connection=c),
                lambda: s.ask("GET", f"/jobs/{job}/report.pdf", connection=c), lambda: s.ask("GET", "/jobs/T-1/files/plan.json", connection=c),
                lambda: s.post(f"/api/jobs/{job}/try", {"surface": surface["name"], "seams": marks}, connection=c),
                lambda: s.post(f"/api/jobs/{job}/try", {"choose": str(r.randint(0, 3))}, connection=c),
                lambda: s.fact(job, r.choice(STEPS + ("note", "damaged", "reprint")), panel, override="soak", air_c="21", surface_c="21", words="soak"),
                lambda: s.fact(job, "note", panel, words="soak"), lambda: s.post(f"/api/jobs/{job}/plan", connection=c),
                lambda: s.post(f"/api/jobs/{job}/edit", {"fingerprint": s.get(f"/api/jobs/{job}/written").json()["fingerprint"],
                                                         "path": "title", "value": f'"soak {r.randint(0, 9)}"'}),
                lambda: post_photo(s, photo), lambda: s.post("/sign-in", {"name": f"x{r.randint(0, 99)}", "password": "soak"}),
                lambda: [a := begin(s, f"soak{r.randint(0, 9)}.png", 200000), a.status == 200 and r.random() < 0.7 and send(s, a, bytes(200000))][0],
                lambda: hang_up(s), lambda: s.post(f"/api/jobs/{job}/stop", connection=c)])

        def client(number):
            r, c = random.Random(number), s.connection(timeout=120)
            while time.time() < end:
                try:
                    answer = one(r, c)()
                except (OSError, http.client.HTTPException) as trouble:
                    c = s.connection(timeout=120)
                    if s.process.poll() is not None:
                        wrong.append(("the server ended", repr(trouble)))
                        return
                    continue
                counts[answer.status] = counts.get(answer.status, 0) + 1
                if answer.status not in meant:
                    wrong.append((answer.status, answer.text()[:200]))
        threads = [threading.Thread(target=client, args=(n,)) for n in range(clients)]
        [t.start() for t in threads], [t.join() for t in threads]
        hold(not wrong, f"{len(wrong)} answers were not meant: {wrong[:5]}")
        hold(counts.get(200, 0) > seconds, f"hardly anything was answered: {counts}")
        print(f"{sum(counts.values())} answers: {dict(sorted(counts.items()))}, {s.resident_kb() // 1024} MB, {s.descriptors()} descriptors")
        hold(s.stop() == 0, "the server did not end politely")
        hold(s.run("record", "verify", s.folder).returncode == 0, "the record does not pass its check")


def hang_up(s):
    """Begins a request and goes away."""
    with socket.create_connection(("127.0.0.1", s.port), timeout=10) as c:
        c.sendall(b"POST /api/jobs/T-1/facts HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nContent-Length: 500\r\n\r\nkind=no" % s.port)
    return s.get("/page/style.css")


CASES = {"held": held, "begun": begun, "quiet": quiet, "swept": swept, "room": room, "patience": patience, "restart": restart,
         "viewers": viewers, "plain": plain, "reach": reach, "links": links, "photographs": photographs,
         "soak": soak, "soak_long": lambda: soak(30 * 60)}

if __name__ == "__main__":
    CASES[CASE]()
    print("\n".join(faults) or "fine")
    sys.exit(1 if faults else 0)
