#!/usr/bin/python3
"""What is said of files that came in, against other readers of the same files: pdfinfo and tiffinfo.

    uploads.py FACTS_TOOL LAPSTRAKE

Exit status 1 with one line a fault, 77 without the judges.
"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
sys.dont_write_bytecode = True
import make_jobs  # noqa: E402

TOOL, LAPSTRAKE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
faults = []


def hold(true, words):
    if not true:
        faults.append(words)


def near(one, other, by=0.01):
    return one is not None and abs(one - other) <= by


def facts(path):
    done = subprocess.run([TOOL, LAPSTRAKE, path], capture_output=True, text=True)
    return json.loads(done.stdout) if done.returncode == 0 else done.stderr


def codes(told):
    return {f["code"] for f in told["findings"]}


def pdfs(folder):
    for width, height in ((550, 200), (123.4, 56.7)):
        path = f"{folder}/left side.pdf"
        make_jobs.pdf(path, width, height, 5)
        told = facts(path)
        said = subprocess.run(["pdfinfo", "-box", path], capture_output=True, text=True).stdout
        box = [float(v) * 25.4 / 72 for v in re.search(r"TrimBox:\s+(.*)", said)[1].split()]
        pages = int(re.search(r"Pages:\s+(\d+)", said)[1])
        hold(told["file"] == "left side.pdf" and told["kind"] == "PDF" and told["usable"], f"{told}")
        hold(told["pages"] == pages and told["colour"] == "CMYK" and told["width_px"] is None, f"{told}")
        hold(near(told["width_mm"], box[2] - box[0]) and near(told["height_mm"], box[3] - box[1]), f"{told} against {box}")


def bleeds(folder):
    """A BleedBox is what may be printed beyond the trim (ISO 32000-1, 14.11.2)."""
    path = f"{folder}/bleed.pdf"
    make_jobs.pdf(path, 300, 100, 5)
    data = open(path, "rb").read()
    width, height = 300 * 72 / 25.4, 100 * 72 / 25.4
    start = data.index(b"/TrimBox")
    old = data[start:data.index(b"]", start) + 1]
    new = f"/TrimBox[20 20 {width - 20:.0f} {height - 20:.0f}]/BleedBox[10 10 {width - 10:.0f} {height - 10:.0f}]".encode()
    data = data.replace(old, new)
    open(path, "wb").write(data)
    subprocess.run(["qpdf", path, "--replace-input"], capture_output=True)  # mends the offsets
    told = facts(path)
    said = subprocess.run(["pdfinfo", "-box", path], capture_output=True, text=True).stdout
    for box, key in (("TrimBox", "trim_mm"), ("BleedBox", "bleed_mm"), ("MediaBox", "media_mm")):
        wanted = [float(v) * 25.4 / 72 for v in re.search(rf"{box}:\s+(.*)", said)[1].split()]
        hold(told[key] and all(near(a, b) for a, b in zip(told[key], wanted)), f"{key}: {told[key]}, not {wanted}")


def tiffs(folder):
    path = f"{folder}/roof.tif"
    make_jobs.tiff(path, 400, 300, 30, 5)
    told = facts(path)
    said = subprocess.run(["tiffinfo", path], capture_output=True, text=True).stdout
    size = [int(v) for v in re.search(r"Image Width: (\d+) Image Length: (\d+)", said).groups()]
    ppi = float(re.search(r"Resolution: ([\d.]+)", said)[1])
    hold([told["width_px"], told["height_px"]] == size and near(told["x_ppi"], ppi), f"{told} against {said}")
    hold(near(told["width_mm"], size[0] * 25.4 / ppi) and told["colour"] == "CMYK" and told["bits"] == 8, f"{told}")
    hold(not told["profile"] and "no-profile" in codes(told), f"a CMYK picture without a profile: {told}")


def troubles(folder):
    whole = open(f"{folder}/roof.tif", "rb").read()
    for name, data in (("cut.tif", whole[:200]), ("cut.pdf", b"%PDF-1.6\nnothing"), ("words.txt", b"no picture"), ("empty.png", b"")):
        open(f"{folder}/{name}", "wb").write(data)
        told = facts(f"{folder}/{name}")
        hold(isinstance(told, dict) and not told["usable"] and told["trouble"] and told["width_mm"] is None, f"{name}: {told}")
        hold(isinstance(told, dict) and "artwork-damaged" in codes(told), f"{name}: {told}")
    hold("cannot be opened" in facts(f"{folder}/absent.pdf"), "a file that is not there")


if not all(shutil.which(judge) for judge in ("pdfinfo", "tiffinfo", "qpdf")):
    print("pdfinfo, tiffinfo or qpdf is not installed")
    sys.exit(77)
with tempfile.TemporaryDirectory() as place:
    pdfs(place)
    bleeds(place)
    tiffs(place)
    troubles(place)
print("\n".join(faults) or "holds")
sys.exit(1 if faults else 0)
