#!/usr/bin/env python3
"""Every C file once more by another compiler's eyes: the warnings of meson.build as errors, and the checks of .clang-tidy
with its analyzer. clang.py BUILD_DIR [whole]

Tests get the compiler's warnings only, and the analyzer follows each function for 8,000 steps, which is where its time stops
growing much faster than what it finds; with `whole` tests are checked too, and the analyzer goes as far as it can
(scripts/long). Exit status 77 where clang or clang-tidy is not installed."""
import json
import os
import shlex
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

KEPT = ("-I", "-D", "-std", "-W", "-isystem")


SHORT = ("-Xclang", "-analyzer-config", "-Xclang", "max-nodes=8000")


def looking(file, options):
    if "whole" in sys.argv:
        return ["clang-tidy", "--quiet", file, "--", *options]
    if "/tests/" in file:
        return ["clang", "-fsyntax-only", "-Werror", *options, file]
    return ["clang-tidy", "--quiet", file, "--", *options, *SHORT]


def complaints(entry):
    words = shlex.split(entry["command"])
    options = [w for w in words if w.startswith(KEPT) and not w.startswith("-Wp,")]
    done = subprocess.run(looking(entry["file"], options), cwd=entry["directory"], capture_output=True, text=True)
    return done.stdout + done.stderr if done.returncode else ""


def main():
    if not shutil.which("clang-tidy") or not shutil.which("clang"):
        print("clang or clang-tidy is not installed")
        return 77
    entries = json.load(open(os.path.join(sys.argv[1], "compile_commands.json")))
    each = {entry["file"]: entry for entry in entries if entry["file"].endswith(".c")}.values()
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        said = [words for words in pool.map(complaints, each) if words]
    print("".join(said) or f"{len(each)} files, no warning")
    return 1 if said or not each else 0


sys.exit(main())
