#!/usr/bin/env python3
"""Every C file once more by another compiler's eyes: the warnings of meson.build, and the checks of .clang-tidy with its
analyzer, all as errors. clang.py BUILD_DIR [whole]

The analyzer follows each function for 8,000 steps, which is where its time stops growing much faster than what it finds;
with `whole` as far as it can (scripts/long). Exit status 77 where clang-tidy is not installed."""
import json
import os
import shlex
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

KEPT = ("-I", "-D", "-std", "-W", "-isystem")


SHORT = ("-Xclang", "-analyzer-config", "-Xclang", "max-nodes=8000")


def complaints(entry):
    words = shlex.split(entry["command"])
    options = [w for w in words if w.startswith(KEPT) and not w.startswith("-Wp,")]
    steps = () if "whole" in sys.argv else SHORT
    done = subprocess.run(["clang-tidy", "--quiet", entry["file"], "--", *options, *steps], cwd=entry["directory"], capture_output=True, text=True)
    return done.stdout + done.stderr if done.returncode else ""


def main():
    if not shutil.which("clang-tidy"):
        print("clang-tidy is not installed")
        return 77
    entries = json.load(open(os.path.join(sys.argv[1], "compile_commands.json")))
    each = {entry["file"]: entry for entry in entries if entry["file"].endswith(".c")}.values()
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        said = [words for words in pool.map(complaints, each) if words]
    print("".join(said) or f"{len(each)} files, no warning")
    return 1 if said or not each else 0


sys.exit(main())
