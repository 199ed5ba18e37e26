#!/usr/bin/python3
"""Vector panels of long PDF artworks: time and memory, beside a general PDF tool that only copies.

    bench/vector.py BUILD [RUNS]

Two jobs: a side of 12 x 2.5 m whose artwork is drawn by vector_artwork.py (gradients, 4000 curved paths, transparency,
lettering, a picture of 20 megapixels: 30 MB), and the demo's trailer of 13.6 m. The plan is there (planned once before).
Of `lapstrake panels` is told: writing alone and the check alone, as its own progress lines say; the whole command; the
processor time of all its processes; the most that each process had resident. Beside it `qpdf --pages`, which puts the
artwork's page into a new file as often as there are panels, with no places, marks or check, and `cp` of what was
written. Interleaved; medians. Run demo/prepare BUILD first."""
import glob
import os
import re
import resource
import shutil
import statistics
import subprocess
import sys
import threading
import time

HERE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
WORK = os.environ.get("WORK", "/tmp/lapstrake-vector")
JOB = """job: BENCH-2
shop: shop.yaml
start: 2027-03-01T08:00
print: {condition: van-cast, overlap: 12 mm, bleed: 50 mm, resolution: 100, format: pdf}
surfaces:
  - name: side
    size: [12000, 2500]
    front: left
    panels: upright
    artwork:
      - {file: art.pdf, scale: 10, at: [0, 0]}
"""


def make_side():
    folder = f"{WORK}/side"
    os.makedirs(f"{folder}/profiles", exist_ok=True)
    demo = f"{HERE}/demo/library-van"
    shutil.copy(f"{demo}/profiles/van-cast.icc", f"{folder}/profiles/")
    shutil.copy(f"{demo}/shop.yaml", folder)
    with open(f"{folder}/job.yaml", "w", encoding="utf-8") as out:
        out.write(JOB)
    if not os.path.exists(f"{folder}/art.pdf"):
        subprocess.run([sys.executable, f"{HERE}/bench/vector_artwork.py", f"{folder}/art.pdf"], check=True)
    return folder


def make_trailer():
    shutil.copytree(f"{HERE}/demo/more/trailer", f"{WORK}/more/trailer", dirs_exist_ok=True)
    shutil.copy(f"{HERE}/demo/more/shop.yaml", f"{WORK}/more/")
    shutil.copytree(f"{HERE}/demo/library-van/profiles", f"{WORK}/library-van/profiles", dirs_exist_ok=True)
    return f"{WORK}/more/trailer"


def children(pid):
    try:
        with open(f"/proc/{pid}/task/{pid}/children", encoding="ascii") as text:
            return text.read().split()
    except OSError:
        return []


def note_memory(pid, most):
    """The most that the process had, under the name of what it does; a child before its exec is still its parent."""
    try:
        with open(f"/proc/{pid}/cmdline", "rb") as text:
            words = text.read().decode().split("\0")
        with open(f"/proc/{pid}/status", encoding="ascii") as text:
            size = int(re.search(r"VmHWM:\s+(\d+)", text.read())[1]) / 1024
    except (OSError, TypeError):
        return
    name = words[2] if len(words) > 2 and words[1] == "reader" else "main"
    most[name] = max(most.get(name, 0), size)


def watch(run, most):
    while run.poll() is None:
        own = children(run.pid)
        note_memory(run.pid, most)
        for pid in own:
            note_memory(pid, most)
        time.sleep(0.001)


def panels(build, job, watched=False):
    """Seconds of the steps, or the memory of the processes: looking on takes time of its own."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    with subprocess.Popen([f"{build}/lapstrake", "panels", job, "--anyway", "--quiet", "--steps"], stdout=subprocess.PIPE,
                          stderr=subprocess.DEVNULL, text=True, bufsize=1) as run:
        most, watcher = {}, None
        if watched:
            watcher = threading.Thread(target=watch, args=(run, most))
            watcher.start()
        writing = checking = start
        for line in run.stdout:
            if line.endswith("writing panels\n"):
                writing = time.perf_counter()
            if line.endswith("laying the panels back\n"):
                checking = time.perf_counter()
        status = run.wait()
        if watcher:
            watcher.join()
    end = time.perf_counter()
    if status not in (0, 1):
        sys.exit(f"{job}: status {status}")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return {"writing": checking - writing, "check": end - checking, "whole": end - start,
            "processor": after.ru_utime + after.ru_stime - used.ru_utime - used.ru_stime, "memory": most}


def seconds(*command):
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def resident(*command):
    done = subprocess.run(["/usr/bin/time", "-f", "%M", *command], check=True, capture_output=True, text=True)
    return int(done.stderr.split()[-1]) / 1024


def measure(build, name, job, artwork, runs):
    subprocess.run([f"{build}/lapstrake", "panels", job, "--anyway", "--quiet"], stdout=subprocess.DEVNULL, check=False)
    written = glob.glob(f"{job}/out/panels/*.pdf")[0]
    count = subprocess.run(["qpdf", "--show-npages", written], check=True, capture_output=True, text=True).stdout.strip()
    qpdf = ["qpdf", artwork, "--pages", artwork, ",".join(["1"] * int(count)), "--", f"{WORK}/copied.pdf"]
    ours, theirs, copies = [], [], []
    for _ in range(runs):
        ours.append(panels(build, job))
        theirs.append(seconds(*qpdf))
        copies.append(seconds("cp", written, f"{WORK}/copied.pdf"))
    memory = panels(build, job, watched=True)["memory"]
    middle = {key: statistics.median(run[key] for run in ours) for key in ("writing", "check", "whole", "processor")}
    print(f"{name}: {count} panels, {os.path.getsize(written) / 1e6:.1f} MB; median of {runs}")
    print(f"  writing {middle['writing']:.3f} s   check {middle['check']:.3f} s   whole command {middle['whole']:.3f} s"
          f" ({middle['processor']:.3f} s of processors)")
    print(f"  qpdf {statistics.median(theirs):.3f} s, {resident(*qpdf):.0f} MB   cp {statistics.median(copies):.3f} s")
    print("  resident: " + ", ".join(f"{what} {size:.0f} MB" for what, size in sorted(memory.items())))


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    build, runs = os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 5
    side, trailer = make_side(), make_trailer()
    measure(build, "12 x 2.5 m", side, f"{side}/art.pdf", runs)
    measure(build, "13.6 m trailer", trailer, f"{trailer}/art/side.pdf", runs)


main()
