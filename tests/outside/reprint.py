#!/usr/bin/python3
"""A panel printed again is the panel that was printed, or the program says what changed.

    reprint.py LAPSTRAKE PROFILE kept|recorded|pages|patches

Bytes are judged by SHA-256 (hashlib), looks of PDF pages by Ghostscript, the record by the sqlite3 program. Prints one
line a fault; exit status 1 when there is one.
"""
import glob
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile

from parts import K, write_pdf
from random_surfaces import shop

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
faults = []


def hold(true, words):
    if not true:
        faults.append(words)


def run(*arguments, at="1800000000"):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, env=dict(os.environ, SOURCE_DATE_EPOCH=at), timeout=300)


def right(*arguments, status=0, says="", at="1800000000"):
    done = run(*arguments, at=at)
    hold(done.returncode == status, f"{' '.join(arguments)}: status {done.returncode}, not {status}: {done.stderr}{done.stdout}")
    hold(says in done.stdout + done.stderr, f"{' '.join(arguments)}: does not say {says!r}: {done.stdout}{done.stderr}")
    return done


def pdf(path, content):
    width, height = 340, 104
    stream = f"0.3 0.1 0 0 k 0 0 9999 9999 re f {content}"
    write_pdf(path, ["<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
                     f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 {width * K:.4f} {height * K:.4f}]/Contents 4 0 R/Resources<<>>>>",
                     f"<</Length {len(stream)}>>stream\n{stream}\nendstream"])


SPOT = "0 1 1 0 k %d 60 40 40 re f"  # a red square, x in points of the page


def make_folder(folder, form="tiff"):
    """A side of three panels, 20 pixels per inch."""
    job = f"{folder}/van"
    os.makedirs(f"{job}/art")
    open(f"{folder}/shop.yaml", "w").write(shop(PROFILE))
    write_job(job, form)
    pdf(f"{job}/art/left.pdf", SPOT % 100)
    return job


def write_job(job, form="tiff", more="", surface="", feed=None):
    open(f"{job}/job.yaml", "w").write(
        f"job: T-1\nshop: ../shop.yaml\nstart: 2027-03-01T08:00\nindoors: {{temperature: 21, humidity: 50 %}}\ndrying: hung\n"
        f"{f'feed: {feed} %' if feed else '# no feed'}\nprint: {{condition: usual, bleed: 20 mm, format: {form}, resolution: 20{more}}}\nsurfaces:\n"
        f"  - {{name: left, size: [3360, 1000], front: left, panels: upright{surface}, artwork: [{{file: art/left.pdf, scale: 10, at: [-20, -20]}}]}}\n")


def swap(path, old, new):
    text = open(path).read()
    assert old in text, old
    open(path, "w").write(text.replace(old, new))


def sha(path):
    return hashlib.sha256(open(path, "rb").read()).hexdigest()


def again(job, *options, panel="left/left-2", at="1800500000"):
    """Printed again, days later; the answer and the status."""
    done = run("reprint", job, panel, "--reason", "torn", "--json", *options, at=at)
    if done.returncode not in (0, 1):
        faults.append(f"reprint {options}: {done.returncode} {done.stderr}")
        return {"findings": [], "same": None, "file": None, "sha256": None}, done.returncode
    return json.loads(done.stdout), done.returncode


def codes(answer):
    return {f["code"] for f in answer["findings"] if f["severity"] == "stop"}


def refused(job, code, why):
    """Stopped by that code alone, and no file of the panel is left in OUT/reprint; with --anyway it is made."""
    answer, status = again(job)
    hold(status == 1 and codes(answer) == {code}, f"{why}: status {status}, {codes(answer)}, not {code}")
    hold(not answer["same"] and answer["file"] is None, f"{why}: says that it is the same")
    hold(not glob.glob(f"{job}/out/reprint/panels/*left-2*"), f"{why}: a file was left")
    answer, status = again(job, "--anyway", "--no-record")
    hold(status == 1 and answer["file"] and os.path.exists(answer["file"]), f"{why}: --anyway made nothing")


def same(job, original, why, bytes_too=True):
    answer, status = again(job)
    hold(status == 0 and answer["same"], f"{why}: status {status}, {codes(answer)}")
    hold(answer["file"] and sha(answer["file"]) == answer["sha256"], f"{why}: another digest than the file's")
    hold(not bytes_too or answer["sha256"] == original, f"{why}: other bytes than the panel that was made")
    return answer


# ---- nothing on record ----

def kept(folder):
    """Against what `make` keeps in OUT."""
    job = make_folder(folder)
    answer, status = again(job)
    hold(status == 1 and codes(answer) == {"never-made"}, f"never made: {status} {codes(answer)}")
    right("reprint", job, "left/left-2", "--reason", "torn", status=1, says="this panel was never made")
    right("reprint", job, "left/left-2", status=2, says="--reason")
    right("make", job, "--quiet")
    right("reprint", job, "left/left-9", "--reason", "torn", status=2, says="left-1, left-2, left-3")
    right("reprint", job, "left", "--reason", "torn", status=2, says="name one panel")
    right("reprint", job, "rear/rear-1", "--reason", "torn", status=2, says="no such surface")
    panel = sorted(glob.glob(f"{job}/out/panels/*.tif"))[1]
    original, files = sha(panel), {f: sha(f) for f in glob.glob(f"{job}/out/panels/*") + [f"{job}/out/plan.json"]}
    first = same(job, original, "nothing changed")
    hold(first["same_bytes"] is True and first["compared_with"] == "made" and first["entry"] is None, f"{first}")
    same(job, original, "twice")
    hold(again(job, panel="left/2")[0]["sha256"] == original, "left/2 is another panel than left/left-2")
    right("make", job, "--only", "left/left-2", "--quiet", at="1800600000")
    later = sha(panel)
    hold(later != original and same(job, later, "made alone, later")["same_bytes"], "the date of then is not on the file made again")
    hold({f: sha(f) for f in files if f != panel} == {f: s for f, s in files.items() if f != panel}, "printing again changed other files of OUT")
    art, yaml, lines = f"{job}/art/left.pdf", open(f"{job}/job.yaml").read(), open(f"{folder}/shop.yaml").read()
    whole = open(art, "rb").read()
    open(art, "wb").write(whole + b"\n")  # a byte, and the same pixels
    refused(job, "artwork-changed", "one byte more")
    pdf(art, SPOT % 110)
    refused(job, "artwork-changed", "other pixels")
    open(art, "wb").write(whole)
    same(job, later, "the artwork put back")
    write_job(job, surface=", seams: [1200, 2300]")
    refused(job, "reprint-plan", "other seams")
    write_job(job, more=", overlap: 20 mm")
    refused(job, "reprint-plan", "another overlap")
    write_job(job, feed=100.4)
    answer = same(job, later, "another feed in the job")
    hold("feed-kept" in {f["code"] for f in answer["findings"]} and answer["feed_percent"] == 100, "the feed of then is not kept, or not said")
    open(f"{job}/job.yaml", "w").write(yaml)
    other = bytearray(open(PROFILE, "rb").read())
    other[84:100] = bytes(16)  # no ID of its own
    other[-40] ^= 1  # a value of the last table
    open(f"{folder}/other.icc", "wb").write(other)
    swap(f"{folder}/shop.yaml", PROFILE, f"{folder}/other.icc")
    refused(job, "reprint-profile", "another profile")
    open(f"{folder}/shop.yaml", "w").write(lines)
    same(job, later, "all put back")


# ---- on record ----

def judge(folder, statement):
    return subprocess.run(["sqlite3", f"{folder}/record.sqlite", statement], capture_output=True, text=True).stdout.strip()


def recorded(folder):
    """Against the panel's last `printed`, with feed, batch and stock."""
    job = make_folder(folder)
    write_job(job, feed=99.8)
    right("record", "plan", job)
    right("make", job, "--quiet")
    original = sha(sorted(glob.glob(f"{job}/out/panels/*.tif"))[1])
    film = "white"
    for width, length, batch in ((1370, "50 m", "B-1"), (1370, "9 m", "B-2"), (1370, "12 m", "B-1"), (1370, "1 m", "B-1")):
        right("record", "add", folder, "roll-in", "--what", "film", "--of", film, "--width", str(width), "--length", length, "--batch", batch)
    right("record", "add", job, "printed", "--panels", "left-1,left-2,left-3", "--roll", "R1", "--who", "Printing")
    write_job(job, feed=100.4)
    answer = same(job, original, "on record, another feed now")
    hold(answer["compared_with"] == "record" and answer["feed_percent"] == 99.8, f"the feed of then: {answer['feed_percent']}")
    roll = answer["material"]["roll"]
    hold(roll and roll["name"] == "R3" and roll["batch"] == "B-1", f"not the shortest roll of the batch that takes it: {roll}")
    hold(judge(folder, f"SELECT kind, panel, words, roll FROM fact WHERE number = {answer['entry']}") == "reprint|left-2|torn|R3", "not on record as to be printed again")
    hold(same(job, original, "asked again")["entry"] is None, "put on record twice")
    write_job(job, feed=99.8)
    art = f"{job}/art/left.pdf"
    whole = open(art, "rb").read()
    open(art, "wb").write(whole + b"\n")
    answer, status = again(job, "--no-record")
    hold(status == 0 and "artwork-saved-again" in {f["code"] for f in answer["findings"]}, f"saved again, the same pixels: {status} {codes(answer)}")
    pdf(art, SPOT % 400)
    refused(job, "artwork-changed", "other pixels on the panel")
    open(art, "wb").write(whole)
    write_job(job, feed=99.8, surface=", seams: [1200, 2300]")
    refused(job, "reprint-plan", "other seams")
    write_job(job, feed=99.8)
    text = open(f"{folder}/shop.yaml").read()
    swap(f"{folder}/shop.yaml", "ink-limit: 400 %", "ink-limit: 400 %, mode: slow")
    refused(job, "reprint-condition", "another mode")
    open(f"{folder}/shop.yaml", "w").write(text)
    for name in ("R1", "R3"):
        right("record", "add", folder, "roll-out", "--roll", name, "--words", "used up")
    refused(job, "reprint-batch", "the batch is used up")
    roll = again(job, "--anyway", "--no-record")[0].get("material", {}).get("roll")
    hold(roll and roll["name"] == "R2", f"not the roll of the next batch: {roll}")


# ---- a PDF with all panels of its surface ----

def page_picture(path, page, folder):
    out = f"{folder}/page.pam"
    subprocess.run(["gs", "-q", "-dSAFER", "-sDEVICE=pamcmyk32", "-r10", f"-dFirstPage={page}", f"-dLastPage={page}", "-o", out, path], check=True)
    return open(out, "rb").read()


def pages(folder):
    """The panel's page alone looks as it did in the file of all, and its bytes are those of `make --only`."""
    job = make_folder(folder, "pdf")
    right("make", job, "--quiet")
    whole = glob.glob(f"{job}/out/panels/*.pdf")[0]
    before = page_picture(whole, 2, folder)
    answer = same(job, None, "a page", bytes_too=False)
    hold(answer["same_bytes"] is None, "compares the bytes of one page with those of all")
    hold(page_picture(answer["file"], 1, folder) == before, "the page looks otherwise")
    hold(page_picture(whole, 1, folder) != before, "pages of two panels look alike: the judge sees nothing")
    right("make", job, "--only", "left/left-2", "--quiet")
    alone = [f for f in glob.glob(f"{job}/out/panels/*.pdf") if f != whole][0]
    hold(same(job, sha(alone), "made alone")["same_bytes"], "other bytes than make --only")


# ---- repair pieces ----

def square(content, count):
    """How many of the samples, CMYK, are of the red square: no cyan, magenta and yellow in full."""
    return sum(1 for i in range(0, 4 * count, 4) if content[i] < 40 and content[i + 1] > 215 and content[i + 2] > 215)


def patches(folder):
    """One piece is the red square that stands at the lower left corner, and no other piece has any of it."""
    for form in ("pdf", "tiff"):
        job = make_folder(f"{folder}-{form}", form)
        write_job(job, form, surface=", features: [{kind: opening, box: [400, 0, 300, 400]}, {kind: gap, line: [900, 0, 900, 900]}]")
        swap(f"{job}/job.yaml", "resolution: 20", "resolution: 60")
        pdf(f"{job}/art/left.pdf", f"0 1 1 0 k {2 * K:.4f} {2 * K:.4f} {15 * K:.4f} {20 * K:.4f} re f")  # 0..150, 0..200 mm of the surface
        right("make", job, "--quiet")
        answer, status = again(job, "--patches", panel="left/left-1")
        hold(status == 0 and answer["patch_count"] == 6 and os.path.exists(answer["patches"]), f"{form}: {status} {answer.get('patch_count')}")
        raw = f"{folder}-{form}.raw"
        if form == "pdf":
            subprocess.run(["gs", "-q", "-dSAFER", "-sDEVICE=pamcmyk32", "-r25.4", "-o", raw, answer["patches"]], check=True)
            samples, area = open(raw, "rb").read().split(b"ENDHDR\n", 1)[1], 1
        else:
            subprocess.run(["convert", answer["patches"], "-depth", "8", f"cmyk:{raw}"], check=True)
            samples, area = open(raw, "rb").read(), (25.4 / 60) ** 2
        found = square(samples, len(samples) // 4) * area
        hold(abs(found - 150 * 200) < 0.03 * 150 * 200, f"{form}: {found:.0f} mm2 of the red square on the sheet, not {150 * 200}")
    hold(again(job, panel="left/left-1")[0]["patches"] is None, "pieces that nobody asked for")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        {"kept": kept, "recorded": recorded, "pages": pages, "patches": patches}[CASE](os.path.join(place, "shop"))
    print("\n".join(faults) or "holds")
    sys.exit(1 if faults else 0)
