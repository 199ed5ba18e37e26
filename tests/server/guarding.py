#!/usr/bin/python3
"""What no one may do to the page's server, from outside: end it, starve it, or make it say what is not so.

    guarding.py LAPSTRAKE PROFILE CASE

One line a fault; exit status 1 when there is one.
"""
import os
import random
import sys
import threading
import time
import uuid

from shopfloor import Shop, faults, hold

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


CASES = {"held": held}

if __name__ == "__main__":
    CASES[CASE]()
    print("\n".join(faults) or "fine")
    sys.exit(1 if faults else 0)
