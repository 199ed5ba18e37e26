#!/usr/bin/python3
"""What one job or file may take of the machine, as the system itself counts it (getrusage): processor time, memory, and
that a polite end is heard.

    bounds.py LAPSTRAKE PROFILE processor|patient|stopped|large

Prints one line a fault; exit status 1 when there is one. Times by the wall clock are in no check: see bench/README.md.
"""
import os
import random
import re
import resource
import signal
import subprocess
import sys

from make_jobs import SHOP, tiff
from parts import run_case

LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
K = 72 / 25.4
faults = []


def hold(true, words):
    if not true:
        faults.append(words)


def pdf(path, width, height, content, page="", objects=()):
    """One page of width x height mm; `objects` become 5, 6, ..."""
    bodies = ["<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
              f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 {width * K:.4f} {height * K:.4f}]/Contents 4 0 R {page}>>",
              f"<</Length {len(content)}>>stream\n{content}\nendstream", *objects]
    out, offsets = bytearray(b"%PDF-1.6\n"), []
    for number, body in enumerate(bodies, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body.encode())
    xref = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(bodies) + 1) + b"".join(b"%010d 00000 n \n" % o for o in offsets)
    out += b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (len(bodies) + 1, xref)
    open(path, "wb").write(out)


def job(folder, surfaces):
    os.makedirs(f"{folder}/art", exist_ok=True)
    open(f"{folder}/shop.yaml", "w").write(SHOP % dict(media=1625, edge=8, widths="1370, 1520", profile=PROFILE))
    lines = ["title: A job", "vehicle-type: van", "drying: hung", "start: 2027-03-01T08:00",
             "print: {condition: usual, bleed: 40 mm, resolution: 40}", "surfaces:"]
    for name, (width, height, art) in surfaces.items():
        lines.append(f"  - {{name: {name}, size: [{width}, {height}], front: left, panels: upright, artwork: [{art}]}}")
    open(f"{folder}/job.yaml", "w").write("\n".join(lines) + "\n")
    return folder


def used(what):
    """(result of what(), seconds of processor time of all processes it started, MB of the largest ever)."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    result = what()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return result, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, after.ru_maxrss / 1024


def run(*arguments):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, timeout=1200)


def endless(path):
    """Read at once, drawn for hours: 20,000 transparent groups over the whole page, each blended with all below."""
    field = f"0.3 0.1 0 0 k 0 0 {268 * K:.3f} {128 * K:.3f} re f"
    form = f"<</Type/XObject/Subtype/Form/BBox[0 0 999 999]/Group<</S/Transparency/I true>>/Length {len(field)}>>stream\n{field}\nendstream"
    pdf(path, 268, 128, "/G gs\n" + "/F Do\n" * 20000,
        "/Resources<</XObject<</F 5 0 R>>/ExtGState<</G<</BM/Multiply/ca .5>>>>>>", [form])


def processor(folder):
    """A page that is drawn for hours is refused after 60 s, by name, with what to do; what stands beside it is planned."""
    job(folder, {"left": (2600, 1200, "{file: art/a.pdf, scale: 10, at: [-40, -40]}"),
                 "second": (2600, 1200, "{file: art/b.pdf, scale: 10, at: [-40, -40]}")})
    endless(f"{folder}/art/a.pdf")
    pdf(f"{folder}/art/b.pdf", 268, 128, f"0.3 0.1 0 0 k 0 0 {268 * K:.3f} {128 * K:.3f} re f")
    done, seconds, _ = used(lambda: run("check", folder))
    told = [line for line in done.stdout.splitlines() if line.startswith("STOP")]
    hold(done.returncode == 1 and len(told) == 1, f"status {done.returncode}: {told} {done.stderr}")
    hold(told and "art/a.pdf" in told[0] and "60 s" in told[0] and "--patient" in told[0], f"{told}")
    hold(50 < seconds < 80, f"{seconds:.0f} s of processor time")
    hold("second:" in done.stdout, "the sound surface is not planned")


def limit_of_readers(folder, *more):
    """Seconds of processor time that the kernel grants the reader of an artwork: /proc/PID/limits, in proc(5)."""
    process = subprocess.Popen([LAPSTRAKE, "check", folder, "--quiet", *more], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    limits = set()
    while process.poll() is None and not limits:
        for entry in os.listdir("/proc"):
            try:
                if not entry.isdigit() or int(open(f"/proc/{entry}/stat").read().rsplit(")", 1)[1].split()[1]) != process.pid:
                    continue
                said = re.search(r"^Max cpu time +(\S+)", open(f"/proc/{entry}/limits").read(), re.M).group(1)
                if said != "unlimited":
                    limits.add(int(said))
            except (OSError, IndexError):
                continue  # it ended meanwhile
    process.terminate()
    process.wait(timeout=600)
    return limits


def patient(folder):
    """60 s of processor time for reading a customer's file and drawing its page, 600 with --patient."""
    job(folder, {"left": (2600, 1200, "{file: art/a.pdf, scale: 10, at: [-40, -40]}")})
    endless(f"{folder}/art/a.pdf")
    for more, wanted in (((), 60), (("--patient",), 600)):
        limits = limit_of_readers(folder, *more)
        hold(limits == {wanted}, f"{more}: {limits} s, not {wanted}")


def end_politely(folder, where, most_s):
    """TERM when it says that it does `where`: status 3, the word, and not the time that the work takes."""
    def work():
        process = subprocess.Popen([LAPSTRAKE, "plan", folder, "--steps"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for line in process.stdout:
            if where in line:
                break
        process.send_signal(signal.SIGTERM)
        words = process.communicate(timeout=600)[1]
        return process.returncode, words
    (status, words), seconds, _ = used(work)
    hold(status == 3 and "stopped" in words, f"{folder}: status {status}: {words}")
    hold(seconds < most_s, f"{folder}: {seconds:.1f} s of processor time after it was told to stop")
    hold(not os.path.exists(f"{folder}/out/plan.json"), f"{folder}: it went on")


def stopped(folder):
    """A hostile page, 2,400 artworks, files of 20 GB that have nothing in them: a polite end is heard in each. Left alone
    the first takes 60 s of processor time, the second a minute, the third two."""
    here = job(f"{folder}/hostile", {"left": (2600, 1200, "{file: art/a.pdf, scale: 10, at: [-40, -40]}")})
    endless(f"{here}/art/a.pdf")
    end_politely(here, "looking the artwork", 20)
    here = job(f"{folder}/many", {f"s{i}": (1500, 900, ", ".join(f"{{file: art/{i * 24 + k}.pdf, scale: 10}}" for k in range(24)))
                                  for i in range(100)})
    for i in range(2400):
        pdf(f"{here}/art/{i}.pdf", 158, 98, "0.3 0.1 0 0 k 0 0 99 99 re f")
    end_politely(here, "reading artwork", 20)
    here = job(f"{folder}/sparse", {"left": (1500, 900, "{file: art/a.pdf, scale: 10}"), "right": (1500, 900, "{file: art/a.tif, scale: 10}")})
    pdf(f"{here}/art/a.pdf", 158, 98, "")
    tiff(f"{here}/art/a.tif", 158, 98, 25.4, 1)
    for name in ("a.pdf", "a.tif"):
        os.truncate(f"{here}/art/{name}", 20 << 30)
    end_politely(here, "reading artwork", 20)


def large(folder):
    """60 x 6 m, the largest that is taken, is planned in 1 GB; a millimetre more is refused with the limit."""
    content = []
    dice = random.Random(3)
    for _ in range(3000):
        c, m, y = (dice.random() for _ in range(3))
        content.append(f"{c:.2f} {m:.2f} {y:.2f} 0 k {dice.random() * 6000 * K:.1f} {dice.random() * 600 * K:.1f} {dice.random() * 300 * K:.1f} {dice.random() * 100 * K:.1f} re f")
    for name, size in (("most", (60000, 6000)), ("over", (60001, 6000))):
        here = job(f"{folder}/{name}", {"left": (*size, "{file: art/a.pdf, scale: 10, at: [-40, -40]}")})
        pdf(f"{here}/art/a.pdf", 6008, 608, "\n".join(content))
        done, _, most_mb = used(lambda: run("plan", here))
        if name == "most":
            hold(done.returncode == 0 and "size-doubtful" in done.stdout, f"status {done.returncode}: {done.stdout[:300]}{done.stderr}")
            hold(most_mb < 1024, f"{most_mb:.0f} MB")
        else:
            hold(done.returncode == 2 and "60" in done.stderr, f"over: status {done.returncode}: {done.stderr}")


sys.exit(run_case(globals()[CASE], faults))
