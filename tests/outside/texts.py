#!/usr/bin/python3
"""Text set on a surface, as it comes out of the panel files, and the texts that are refused.

    texts.py LAPSTRAKE PROFILE heights|refused

Outside: Ghostscript draws the panel pages; the height of the H is counted in their pixels, 0.1 mm each, and its place on
the surface follows from the file's rectangle in plan.json. Font files are those of the machine, copied.
"""
import os
import shutil
import subprocess
import sys

import numpy as np

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from cases import run, run_case  # noqa: E402
from parts import write_page  # noqa: E402
from planner import shop  # noqa: E402

PPI = 254  # 0.1 mm a pixel
SERIF = "/usr/share/fonts/truetype/dejavu/DejaVuSerif-Bold.ttf"


def make(folder, profile, texts, vehicles=None):
    os.makedirs(folder, exist_ok=True)
    open(os.path.join(folder, "shop.yaml"), "w").write(shop(profile))
    write_page(os.path.join(folder, "art.pdf"), 120, 60)  # nothing on it: what is black is text
    if vehicles:
        open(os.path.join(folder, "fleet.csv"), "w").write(vehicles)
    lines = "".join("      - {%s}\n" % text for text in texts)
    open(os.path.join(folder, "job.yaml"), "w").write(f"""job: T-1
start: 2027-03-01T08:00
drying: hung
print: {{condition: usual, bleed: 0 mm}}
{"vehicles: fleet.csv" if vehicles else ""}
surfaces:
  - name: door
    size: [1200, 600]
    artwork: [{{file: art.pdf, scale: 10, at: [0, 0]}}]
    text:
{lines}""")


def ink_box(folder, panel, window):
    """The box of what is dark within `window` (mm on the surface), mm."""
    x0, y0, x1, y1 = panel["file_mm"]
    name = os.path.join(folder, "page.pgm")
    subprocess.run(["gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=pgmraw", f"-r{PPI}", f"-dFirstPage={panel['page']}",
                    f"-dLastPage={panel['page']}", f"-sOutputFile={name}", os.path.join(folder, "out", panel["file"])], check=True)
    head, rest = open(name, "rb").read().split(b"\n255\n", 1)
    width, height = (int(n) for n in head.split(b"\n")[-1].split())
    px = width / (x1 - x0)
    page = np.frombuffer(rest, np.uint8).reshape(height, width) < 128
    left, right = round((window[0] - x0) * px), round((window[2] - x0) * px)
    top, bottom = round((y1 - window[3]) * px), round((y1 - window[1]) * px)
    rows, columns = np.nonzero(page[top:bottom, left:right])
    return [x0 + (left + columns.min()) / px, y1 - (top + rows.max() + 1) / px, x0 + (left + columns.max() + 1) / px,
            y1 - (top + rows.min()) / px]


def heights(lapstrake, profile, folder, judge):
    make(folder, profile, [
        "words: H, at: [50, 300], height: 80",
        "words: H, at: [500, 300], height: 200, font: Nimbus Sans, align: centre",
        "words: H, at: [900, 300], height: 33.3, font: serif.ttf, align: right",
        "words: '{{HIH', at: [50, 100], height: 60, width: 200",
    ])
    shutil.copy(SERIF, os.path.join(folder, "serif.ttf"))
    status, plan, told = run(lapstrake, "make", folder)
    judge.hold(status == 0, f"{status}: {told[:300]} {[f['text'] for f in plan['findings'] if f['severity'] == 'stop']}")
    if status:
        return
    panel = plan["surfaces"][0]["panels"][0]
    judge.hold(len(plan["surfaces"][0]["panels"]) == 1, "one panel was expected")
    for window, height in (((20, 280, 300, 500), 80), ((350, 250, 700, 550), 200), ((800, 280, 1000, 400), 33.3)):
        box = ink_box(folder, panel, window)
        judge.hold(abs(box[3] - box[1] - height) <= 0.2, f"capitals of {height} mm are {box[3] - box[1]:.2f} mm")
        judge.hold(abs(box[1] - 300) <= 0.2, f"the base line of {height} mm is at {box[1]:.2f}, not 300")
        if height == 200:
            judge.hold(abs((box[0] + box[2]) / 2 - 500) < 2, f"the H is not centred: {box}")  # its side bearings are alike
        if height == 33.3:
            judge.hold(890 < box[2] <= 900, f"the H does not end at 900: {box}")
    box = ink_box(folder, panel, (20, 50, 400, 250))
    judge.hold(50 <= box[0] and box[2] <= 250 and box[2] - box[0] > 180, f"the words do not fill their 200 mm: {box}")
    narrowed = [f for f in plan["findings"] if f["code"] == "text-narrowed"]
    judge.hold(len(narrowed) == 1 and "{{HIH" in narrowed[0]["text"], f"narrowed: {narrowed}")
    folder_cache = os.path.join(folder, "out/cache")
    first = {n: open(os.path.join(folder_cache, n), "rb").read() for n in os.listdir(folder_cache) if n.startswith("text-")}
    shutil.rmtree(os.path.join(folder, "out"))
    run(lapstrake, "plan", folder)
    again = {n: open(os.path.join(folder_cache, n), "rb").read() for n in os.listdir(folder_cache) if n.startswith("text-")}
    judge.hold(len(first) == 1 and first == again, "the text's file is not the same bytes again")


FLEET = "unit,name\n201,Ann\n202,B\u2603b\n203,A very long name for a door\n"
REFUSED = [
    ("words: 'H', at: [50, 300], height: 80, font: DejaVu Sanz", "font-missing", "nearest name is DejaVu Sans"),
    ("words: 'H', at: [50, 300], height: 80, font: Nowhere Grotesk 9", "font-missing", "is not installed"),
    ("words: 'H', at: [50, 300], height: 80, font: DejaVu Sans Heavy Italic", "font-missing", "its family has: "),
    ("words: 'H', at: [50, 300], height: 80, font: Sans", "font-missing", "is not installed"),
    ("words: 'H', at: [50, 300], height: 80, font: none.ttf", "font-missing", "not a font that can be read"),
    ("words: '{name}', at: [50, 300], height: 80, font: Nimbus Sans", "glyph-missing", "no \"\u2603\" for \"{name}\" on vehicle 202"),
    ("words: '{name}', at: [50, 300], height: 80, width: 400", "text-long", "on vehicle 203"),
]


def refused(lapstrake, profile, folder, judge):
    for i, (text, code, words) in enumerate(REFUSED):
        job = os.path.join(folder, str(i))
        make(job, profile, [text], FLEET)
        open(os.path.join(job, "none.ttf"), "w").write("no font")
        status, plan, told = run(lapstrake, "make", job)
        found = [f for f in plan.get("findings", []) if f["code"] == code and words in f["text"]]
        judge.hold(status == 1 and len(found) == 1 and found[0]["severity"] == "stop",
                   f"{code} {words}: {status} {told[:200]} {[f['text'] for f in plan.get('findings', []) if f['severity'] == 'stop']}")
        judge.hold(not os.path.exists(os.path.join(job, "out/panels")) or not os.listdir(os.path.join(job, "out/panels")), f"{code}: panels in spite of it")
    make(os.path.join(folder, "small"), profile, ["words: 'small', at: [50, 300], height: 4"])
    status, plan, _ = run(lapstrake, "plan", os.path.join(folder, "small"))
    judge.hold(status == 0 and any(f["code"] == "text-small" and "4 mm" in f["text"] for f in plan["findings"]), "text-small is not told")
    make(os.path.join(folder, "gone"), profile, ["words: 'H', at: [50, 300], height: 80, font: gone.ttf"])
    status, _, told = run(lapstrake, "plan", os.path.join(folder, "gone"))
    judge.hold(status == 2 and "job.yaml:11:" in told and "gone.ttf is not there" in told, f"a font file that is not there: {status} {told}")


if __name__ == "__main__":
    sys.exit(run_case(heights, refused))
