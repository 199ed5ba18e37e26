"""What tests of several cases share: PROGRAM LAPSTRAKE PROFILE CASE, each case a function (lapstrake, profile, folder, judge)."""
import json
import os
import subprocess
import sys
import tempfile

from planner import Judge


def run(lapstrake, verb, folder, *more):
    done = subprocess.run([lapstrake, verb, folder, "--json", *more], capture_output=True, text=True)
    return done.returncode, json.loads(done.stdout) if done.stdout else {}, done.stderr


def words(folder, name):
    """The text of a page of the output folder."""
    return subprocess.run(["pdftotext", "-layout", os.path.join(folder, "out", name), "-"], capture_output=True, text=True, check=True).stdout


def run_case(*cases):
    lapstrake, profile, case, judge = sys.argv[1], os.path.abspath(sys.argv[2]), sys.argv[3], Judge()
    with tempfile.TemporaryDirectory() as folder:
        {one.__name__: one for one in cases}[case](lapstrake, profile, folder, judge)
    print("\n".join(judge.faults) or f"{judge.checks} checks hold")
    return 1 if judge.faults else 0
