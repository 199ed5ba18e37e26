#!/usr/bin/python3
"""A job held open: what trying seams says is what planning says once the same seams are written into the job file.

    live.py LAPSTRAKE PROFILE EDIT_TOOL LIVE_TOOL

Job folders from seeds; for each, seams are moved, one is taken out, one added, and alternatives are chosen. Exit status
1 with one line a fault.
"""
import json
import os
import random
import subprocess
import sys
import tempfile

from share import SHARE, some

HERE = os.path.dirname(os.path.abspath(__file__))
LAPSTRAKE, PROFILE, EDIT, LIVE = (os.path.abspath(a) for a in sys.argv[1:5])
os.environ.pop("SOURCE_DATE_EPOCH", None)  # both count from the clock, as a page does
ENV = dict(os.environ, LAPSTRAKE_PROFILE=PROFILE)
faults, compared = [], [0]


def plan(job, choose):
    done = subprocess.run([LAPSTRAKE, "plan", job, "--json", "--quiet", "--choose", str(choose)], capture_output=True, text=True)
    return json.loads(done.stdout) if done.returncode in (0, 1) else done.stderr


def without_help(plan):
    """A trial is not told what would help a surface without a way, and has no mark: that is of the files as they are written."""
    if isinstance(plan, dict):
        plan.pop("mark", None)
    for finding in plan.get("findings", []) if isinstance(plan, dict) else []:
        if finding["code"] == "no-seam-possible":
            finding["do"] = None
    return plan


def attempt(job, surface, seams, choose):
    done = subprocess.run([LIVE, LAPSTRAKE, job, surface, seams, str(choose)], capture_output=True, text=True)
    return json.loads(done.stdout) if done.returncode == 0 else done.stderr


def write(job, surface, seams):
    done = subprocess.run([EDIT, "change", f"{job}/job.yaml", f"surfaces.{surface}.seams", f"[{seams}]"], capture_output=True)
    assert done.returncode == 0, done.stderr
    open(f"{job}/job.yaml", "wb").write(done.stdout)


def compare(job, surface, seams, choose):
    tried = attempt(job, surface, seams, choose)
    original = open(f"{job}/job.yaml", "rb").read()
    if seams != "-":
        write(job, surface, seams)
    planned = plan(job, choose)
    open(f"{job}/job.yaml", "wb").write(original)
    compared[0] += 1
    if without_help(tried) != without_help(planned):
        where = [k for k in planned if planned[k] != tried.get(k)] if isinstance(planned, dict) and isinstance(tried, dict) else (tried, planned)
        faults.append(f"{job} {surface} {seams} {choose}: trying and planning differ in {where}")


def trials(rng, surface):
    axis = "x" if surface["panels_run"] == "upright" else "y"
    at = sorted({s["at_mm"] for s in surface["seams"] if s["axis"] == axis})
    across = int(surface["width_mm"] if axis == "x" else surface["height_mm"])
    yield [a + rng.choice([-20, 7.5, 30]) for a in at if 40 < a < across - 40]
    yield at[1:]
    yield sorted(at + [rng.randrange(1, across)])
    yield []


def replace(path, one, other):
    text = open(path).read()
    assert one in text, path
    open(path, "w").write(text.replace(one, other))


def run_job(seed, folder, form, prepare=None):
    job, rng = f"{folder}/j{seed}", random.Random(seed)
    subprocess.run([sys.executable, f"{HERE}/make_jobs.py", str(seed), job, form], check=True, env=ENV)
    if prepare:
        prepare(job)
    written = plan(job, 0)
    for surface in written["surfaces"]:
        for seams in trials(rng, surface):
            compare(job, surface["name"], ",".join(f"{a:g}" for a in seams), 0)
        box = surface["preview_mm"]
        png = subprocess.run([LIVE, LAPSTRAKE, job, surface["name"], "preview"], capture_output=True).stdout
        # PNG (ISO/IEC 15948), 5.2 and 11.2.2: the signature, and width and height in IHDR
        width, height = int.from_bytes(png[16:20], "big"), int.from_bytes(png[20:24], "big")
        if png[:8] != b"\x89PNG\r\n\x1a\n" or abs(width / height - (box[2] - box[0]) / (box[3] - box[1])) > 0.01 * width / height:
            faults.append(f"{job} {surface['name']}: the preview is {width} x {height} for {box}")
    for choose in range(1, len(written["alternatives"])):
        compare(job, written["surfaces"][0]["name"], "-", choose)


def short_prints(job):
    """Strips are cut again, so that what is known of strips counts too: with all cases as short as 900 mm, for which seams are
    searched four times as long."""
    replace(f"{job}/shop.yaml", "max-length: 30 m", f"max-length: {900 if SHARE == 1 else 1200} mm")


def in_line(job):
    """Two surfaces whose seams depend on each other: the plan of one that was not touched is no longer so."""
    names = [line.split()[-1] for line in open(f"{job}/job.yaml") if "- name:" in line]
    open(f"{job}/job.yaml", "a").write(f"align: {names[0]}-{names[1]}\n")


with tempfile.TemporaryDirectory() as place:
    for job in some([(7, place, "pdf", short_prints), (3, place, "tiff"), (10, place, "pdf", in_line), (1, place, "pdf")]):
        run_job(*job)
if compared[0] < 8:
    faults.append(f"only {compared[0]} trials")
print("\n".join(faults[:20]) or f"{compared[0]} trials hold")
sys.exit(1 if faults else 0)
