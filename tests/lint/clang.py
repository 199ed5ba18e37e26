#!/usr/bin/env python3
"""Every file once more by another compiler's eyes, with the warnings of meson.build as errors. clang.py BUILD_DIR

Exit status 77 where clang is not installed."""
import json
import os
import shlex
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

KEPT = ("-I", "-D", "-std", "-W", "-isystem")


def complaints(entry):
    words = shlex.split(entry["command"])
    options = [w for w in words if w.startswith(KEPT) and not w.startswith("-Wp,")]
    done = subprocess.run(["clang", "-fsyntax-only", "-Werror", *options, entry["file"]], cwd=entry["directory"], capture_output=True, text=True)
    return done.stderr if done.returncode else ""


def main():
    if not shutil.which("clang"):
        print("clang is not installed")
        return 77
    entries = json.load(open(os.path.join(sys.argv[1], "compile_commands.json")))
    each = {entry["file"]: entry for entry in entries if entry["file"].endswith(".c")}.values()
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        said = [words for words in pool.map(complaints, each) if words]
    print("".join(said) or f"{len(each)} files, no warning")
    return 1 if said or not each else 0


sys.exit(main())
