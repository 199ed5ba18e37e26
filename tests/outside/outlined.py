#!/usr/bin/python3
"""Lettering made into outlines is found where Ghostscript made it from live text, and nowhere else.

    outlined.py LAPSTRAKE PROFILE

Outside: Ghostscript (-dNoOutputFonts) makes the outlines; where each line of text lies is known from the same page
with live text.
"""
import json
import os
import subprocess
import sys
import tempfile

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from parts import write_page  # noqa: E402
from planner import Judge, shop  # noqa: E402

K = 72 / 25.4 / 10  # the page is drawn at 1:10
FONTS = ["Helvetica", "Helvetica-Bold", "Times-Roman", "Times-Italic", "Courier"]
WORDS = ["Mobile Library", "555 0199", "OPEN 24 h", "www.county.example", "Bus"]
PATTERNS = {
    "dots": " ".join(f"{100 + i * 20} 300 m {108 + i * 20} 300 {108 + i * 20} 308 {100 + i * 20} 308 c {92 + i * 20} 308 {92 + i * 20} 300 {100 + i * 20} 300 c f" for i in range(12)),
    "windows": " ".join(f"{60 + i * 22} 200 15 {20 + i % 3} re f" for i in range(14)),
    "fence": " ".join(f"{60 + i * 9} 100 m {63 + i * 9} 130 l {66 + i * 9} 100 l f" for i in range(30)),
    "flowers": " ".join(f"{50 + i * 30} 60 m {55 + i * 30} 80 {65 + i * 30} 80 {70 + i * 30} 60 c {60 + i * 30} 55 l {52 + i * 30} 40 l {58 + i * 30} 50 l {50 + i * 30} 60 l f" for i in range(9)),
    "hills": "0 0 m 100 90 l 200 20 l 300 120 l 400 10 l f 0.2 0.5 0.1 0 k 0 0 m 90 60 150 90 500 20 c 500 0 l f",
}


def pdf(path, content):
    fonts = "".join(f"/F{i}<</Type/Font/Subtype/Type1/BaseFont/{name}>>" for i, name in enumerate(FONTS))
    write_page(path, 260, 190, content, f"/Resources<</Font<<{fonts}>>>>")


def lettering(lapstrake, folder, art):
    open(os.path.join(folder, "job.yaml"), "w").write(f"""job: T-1
start: 2027-03-01T08:00
drying: hung
print: {{condition: usual, bleed: 0 mm}}
surfaces:
  - name: left
    size: [2600, 1900]
    front: left
    artwork: [{{file: {art}, scale: 10, at: [0, 0]}}]
""")
    run = subprocess.run([lapstrake, "plan", folder, "--json", "--out", os.path.join(folder, "out")], capture_output=True, text=True)
    return json.loads(run.stdout)["surfaces"][0]["lettering"] if run.returncode in (0, 1) else [run.stderr]


def page(turned):
    """Five lines in five fonts, sizes and greys; or the same running up the page."""
    out = []
    for i, (font, words) in enumerate(zip(FONTS, WORDS)):
        size, at = (60 + 40 * i) * K / 0.7, [(150 + 60 * i) * K, (150 + 330 * i) * K]
        matrix = f"0 1 -1 0 {(350 + 450 * i) * K:.3f} {(100 + 50 * i) * K:.3f}" if turned else f"1 0 0 1 {at[0]:.3f} {at[1]:.3f}"
        out.append(f"0 0 0 {0.9 - 0.1 * i:.1f} k BT /F{i} {size:.3f} Tf {matrix} Tm ({words}) Tj ET")
    return "\n".join(out)


def judge_page(judge, lapstrake, folder, turned):
    name = "up" if turned else "along"
    pdf(os.path.join(folder, "live.pdf"), page(turned))
    subprocess.run(["gs", "-q", "-dSAFER", "-dNoOutputFonts", "-sDEVICE=pdfwrite", "-o", os.path.join(folder, "outlined.pdf"),
                    os.path.join(folder, "live.pdf")], check=True)
    live, outlined = (lettering(lapstrake, folder, f) for f in ("live.pdf", "outlined.pdf"))
    judge.hold(len(live) == 5 and not any(line["outlined"] for line in live), f"{name}: live text {live}")
    judge.hold(len(outlined) == 5 and all(line["outlined"] for line in outlined), f"{name}: {len(outlined)} lines: {outlined}")
    i = 1 if turned else 0
    for line in live:
        a, b = line["box_mm"][i], line["box_mm"][i + 2]
        found = [o["box_mm"] for o in outlined if o["box_mm"][i] >= a - 5 and o["box_mm"][i + 2] <= b + 5 and
                 o["box_mm"][1 - i] >= line["box_mm"][1 - i] - 5 and o["box_mm"][3 - i] <= line["box_mm"][3 - i] + 5]
        judge.hold(any(f[i + 2] - f[i] > 0.85 * (b - a) for f in found), f"{name}: {line['words']} not found: {found}")


def main():
    lapstrake, profile, judge = sys.argv[1], os.path.abspath(sys.argv[2]), Judge()
    with tempfile.TemporaryDirectory() as folder:
        open(os.path.join(folder, "shop.yaml"), "w").write(shop(profile))
        for turned in (False, True):
            judge_page(judge, lapstrake, folder, turned)
        for name, content in PATTERNS.items():
            pdf(os.path.join(folder, "pattern.pdf"), "0 0.4 0.2 0 k " + content)
            found = lettering(lapstrake, folder, "pattern.pdf")
            judge.hold(found == [], f"{name} is taken for lettering: {found}")
    print("\n".join(judge.faults) or f"{judge.checks} checks hold")
    return 1 if judge.faults else 0


if __name__ == "__main__":
    sys.exit(main())
