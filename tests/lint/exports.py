#!/usr/bin/env python3
"""What a file of src gives to others is used by another file of src: else it is static, or goes.

    exports.py BUILD_DIR [NM]

Read from the objects that the program is linked from. ALLOWED has what only tests, fuzzers and benches use, and why
it stays. The list may only shrink: a name in it
that is used by the program, or is not there any more, is a fault too."""
import glob
import os
import subprocess
import sys

ALLOWED = {
    "answer_plan": "tests read the JSON of a plan that no run made",
    "contour_fit": "says what a cutter's camera makes of marks; tests hold the marks of prints to it",
    "contour_fit_expected_mm": "as contour_fit",
    "contour_part": "as contour_flaws_find",
    "crank_share": "a published series and its table are held against it; clock_curve is made of it",
    "crank_time_factor": "as crank_share",
    "detail_map_mean": "the plain sum, which the planner's own sums are held against",
    "elliptic_complete": "a published table is held against it",
    "factor_arcs": "one profile's formula: published lengths are held against it",
    "factor_cap": "as factor_arcs",
    "factor_sinusoid": "as factor_arcs",
    "factor_trapezoid": "as factor_arcs",
    "layout_outline_point": "where a placed point lies, for whoever draws an outline; tests do so until then",
    "layout_outlines": "rolls and pieces are to be laid by it; tests hold it until then",
    "measurement_from_bytes": "what a fuzzer and tests feed without a file",
    "qr_modules": "sizes of ISO/IEC 18004 are held against it",
    "settle_shop": "shops that tests make without a shop file",
    "settle_surface": "surfaces that a fuzzer and tests make without a job file",
    "sight_adjust": "measuring is to ask it; tests hold it until then",
    "str_distance": "distances worked by hand are held against it; suggestions are made of it",
    "table_run_plain": "the plain way, which the quick one must equal in every bit",
    "tiff_compression_name": "bench/pack says which one it measured",
    "tiff_out_rows": "tests write pictures by it without a sink",
    "upload_name": "what a fuzzer feeds with names",
}


def symbols(nm, objects, option):
    """name -> the objects that define it, or that need it."""
    found = {}
    listing = subprocess.run([nm, "-A", "--extern-only", option, *objects], capture_output=True, text=True, check=True)
    for line in listing.stdout.splitlines():
        path, rest = line.split(":", 1)
        name = rest.split()[-1]
        if not name.startswith("_") and "." not in name:
            found.setdefault(name, set()).add(path)
    return found


def file_of(path):
    """build/src/plan/libplan.a.p/clock.c.o -> plan/clock.c"""
    parts = path.split(os.sep)
    if parts[-2] == "lapstrake.p":
        return parts[-1].removesuffix(".o").removeprefix("src_").replace("_", "/", 1)
    return f"{parts[-3]}/{parts[-1].removesuffix('.o')}"


def main(build, nm):
    ours = glob.glob(f"{build}/src/*/lib*.a.p/*.o") + glob.glob(f"{build}/lapstrake.p/*.o")
    others = [path for room in ("tests", "bench", "demo", "fuzz") for path in glob.glob(f"{build}/{room}/**/*.o", recursive=True)]
    if len(ours) < 100:
        print(f"only {len(ours)} objects of src were found in {build}")
        return 1
    defined, needed = symbols(nm, ours, "--defined-only"), symbols(nm, ours, "--undefined-only")
    outside = symbols(nm, others, "--undefined-only") if others else {}
    faults, left = [], set()
    for name, places in sorted(defined.items()):
        if name == "main" or needed.get(name, set()) - places:
            continue
        left.add(name)
        if name in ALLOWED:
            continue
        where = ", ".join(sorted(file_of(path) for path in places))
        faults.append(f"{where}: {name} is used by tests only" if name in outside else
                      f"{where}: {name} is used in its own file only, or nowhere")
    faults += [f"{name}: ALLOWED has it, and the program uses it or it is gone: take it out" for name in sorted(ALLOWED.keys() - left)]
    print(f"{len(ours)} objects, {len(defined)} exports, {len(left)} not used by another file of the program")
    print("\n".join(faults) or "holds")
    return 1 if faults else 0


sys.exit(main(sys.argv[1].rstrip("/"), sys.argv[2] if len(sys.argv) > 2 else "nm"))
