#!/usr/bin/python3
"""What shows of the seams that the planner chose, beside seams at equal spacing with as many panels.

    bench/visible.py LAPSTRAKE [DEMO_FOLDER]

Plans every job of the demo as it stands, and once more with seams fixed at equal spacing, run the same way; prints the
visible cost of both (`cost_shows` in plan.json: what shows or lifts, no time, no film). What equal spacing cuts that
no seam may cut is counted beside it, at no price. Run demo/prepare first."""
import json
import os
import shutil
import subprocess
import sys
import tempfile

import yaml


def plan_of(lapstrake, job):
    done = subprocess.run([lapstrake, "plan", job, "--json", "--quiet"], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        sys.exit(f"{job}: {done.stdout}{done.stderr}")
    return json.loads(done.stdout)


def along(surface):
    """The axis of the seams between strips, and the surface's extent along it."""
    return ("x", surface["width_mm"]) if surface["panels_run"] == "upright" else ("y", surface["height_mm"])


def strips_of(surface):
    return len({seam["at_mm"] for seam in surface["seams"] if seam["axis"] == along(surface)[0]}) + 1


def shows(surface):
    return sum(float(seam["cost_shows"]) for seam in surface["seams"] if seam["axis"] == along(surface)[0])


def asks_for_even(job_file, name):
    specs = yaml.load(open(job_file), Loader=yaml.BaseLoader).get("surfaces", [])
    return any(s["name"] == name and s.get("even") == "true" for s in specs)


def write_equal(job_file, plan):
    """The same job with seams fixed at equal spacing, for as many strips as the plan has."""
    job = yaml.load(open(job_file), Loader=yaml.BaseLoader)
    specs = job.setdefault("surfaces", [])
    for surface in plan["surfaces"]:
        spec = next((s for s in specs if s["name"] == surface["name"]), None)
        if spec is None:
            specs.append(spec := {"name": surface["name"]})
        count, extent = strips_of(surface), along(surface)[1]
        spec["panels"] = surface["panels_run"]
        spec["seams"] = [f"{extent * i / count:.1f}" for i in range(1, count)]
    with open(job_file, "w") as out:
        yaml.safe_dump(job, out)


def main():
    lapstrake, here = os.path.abspath(sys.argv[1]), os.path.dirname(os.path.abspath(__file__))
    demo = sys.argv[2] if len(sys.argv) > 2 else os.path.join(here, "..", "demo")
    rows, cut = [], 0
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(demo, f"{folder}/demo", ignore=shutil.ignore_patterns("out"))
        jobs = [f"{folder}/demo/library-van"] + sorted(f.path for f in os.scandir(f"{folder}/demo/more") if f.is_dir())
        for job in jobs:
            chosen = plan_of(lapstrake, job)
            even = {s["name"] for s in chosen["surfaces"] if asks_for_even(f"{job}/job.yaml", s["name"])}
            write_equal(f"{job}/job.yaml", chosen)
            equal = plan_of(lapstrake, job)
            bad = [f for f in equal["findings"] if f["code"] in ("keep-whole-cut", "seam-crosses", "no-seam-possible")]
            cut += len(bad)
            for one, other in zip(chosen["surfaces"], equal["surfaces"]):
                if len(one["panels"]) > 1 and other["panels"]:
                    rows.append((os.path.basename(job), one["name"], len(one["panels"]), shows(one), shows(other),
                                 one["name"] in even))
    print(f"{'job':18} {'surface':8} {'panels':>6} {'chosen':>8} {'equal':>8}  share")
    for job, name, panels, one, other, even in rows:
        asked = "  (the job asks for equal spacing: not in the sum)" if even else ""
        print(f"{job:18} {name:8} {panels:6} {one:8.2f} {other:8.2f}  {one / other if other else 1:.2f}{asked}")
    one, other = (sum(row[i] for row in rows if not row[5]) for i in (3, 4))
    print(f"{'in sum':34} {one:8.2f} {other:8.2f}  {one / other:.2f}")
    print(f"equal spacing got {cut} findings of seams where none should be")
    return 0 if one <= other / 2 else 1


sys.exit(main())
