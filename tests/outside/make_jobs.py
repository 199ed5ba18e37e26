#!/usr/bin/python3
"""Job folders of our own making from a seed: every front, both directions, bleeds, features, PDF and TIFF.

    make_jobs.py SEED FOLDER [pdf|tiff]     one job folder; needs a CMYK profile at $LAPSTRAKE_PROFILE

Used by tests and, with other seeds, to look for trouble. The artwork is written here by hand, so that what it holds
is known: flat CMYK fields, lines and a rounded shape.
"""
import os
import random
import sys

from parts import K, SHOP, tiff, write_page

FRONTS = ["left", "right", "up", "down", "away", "towards"]


def pdf(path, width, height, seed):
    """A one-page PDF of width x height mm with random CMYK shapes."""
    random.seed(seed)
    ops = [f"0.05 0.02 0 0 k 0 0 {width * K:.3f} {height * K:.3f} re f"]
    for _ in range(30):
        c = [round(random.random(), 2) for _ in range(4)]
        x, y, w, h = random.random() * width, random.random() * height, random.random() * width / 4, random.random() * height / 4
        ops.append("%g %g %g %g k %.3f %.3f %.3f %.3f re f" % (*c, x * K, y * K, w * K, h * K))
        ops.append("%g %g %g %g K 1 w %.3f %.3f m %.3f %.3f %.3f %.3f %.3f %.3f c S" % (
            *c, x * K, y * K, (x + w) * K, y * K, (x + w) * K, (y + h) * K, x * K, (y + h) * K))
    write_page(path, width, height, "\n".join(ops))


def surface(rng, i, form):
    front = FRONTS[i % 6]
    width, height = rng.randrange(400, 3600), rng.randrange(300, 2400)
    bleed = rng.choice([0, 20, 50])
    lines = [f"  - name: s{i}", f"    size: [{width}, {height}]", f"    front: {front}",
             f"    panels: {rng.choice(['upright', 'lying', 'auto'])}", f"    bleed: {bleed} mm", "    features:"]
    for _ in range(rng.randrange(0, 4)):
        x, y = rng.randrange(0, width - 60), rng.randrange(0, height - 60)
        lines.append(f"      - {{kind: {rng.choice(['handle', 'keep-clear'])}, box: [{x}, {y}, 50, 40]}}")
    if rng.random() < 0.4:
        x = rng.randrange(width // 3, width * 2 // 3)
        top = height * rng.choice([100, 100, 98, 80, 55]) // 100  # the usual door is lower than the panels
        lines.append(f"      - {{kind: gap, line: [{x}, 0, {x}, {top}]}}")
    if lines[-1] == "    features:":
        lines.pop()
    lines.append("    artwork:")
    if form == "tiff":
        lines.append(f"      - {{file: art/s{i}.tif, at: [{-bleed}, {-bleed}]}}")
    else:
        lines.append(f"      - {{file: art/s{i}.pdf, scale: 10, at: [{-bleed}, {-bleed}]}}")
    return lines, width + 2 * bleed, height + 2 * bleed


def main():
    seed, folder = int(sys.argv[1]), sys.argv[2]
    form = sys.argv[3] if len(sys.argv) > 3 else "pdf"
    rng = random.Random(seed)
    os.makedirs(os.path.join(folder, "art"), exist_ok=True)
    widths = rng.choice(["1370", "1520", "1370, 1520", "1067"])
    shop = SHOP % {"media": rng.choice([1625, 1400, 1100]), "edge": rng.choice([0, 8, 12]), "widths": widths,
                   "profile": os.environ["LAPSTRAKE_PROFILE"]}
    open(os.path.join(folder, "shop.yaml"), "w").write(shop)
    job = [f"job: T-{seed}", "start: 2027-03-01T08:00", "indoors: {temperature: 21, humidity: 50 %}", "drying: hung", "print:",
           "  condition: usual", f"  overlap: {rng.choice([8, 12, 25])} mm", f"  format: {form}", "  resolution: 30", "surfaces:"]
    for i in rng.sample(range(6), 2 if form == "pdf" else 1):
        lines, width, height = surface(rng, i, form)
        job += lines
        if form == "tiff":
            tiff(os.path.join(folder, f"art/s{i}.tif"), width, height, 30, seed * 10 + i)
        else:
            pdf(os.path.join(folder, f"art/s{i}.pdf"), width / 10, height / 10, seed * 10 + i)
    if seed % 2:
        job.append("mixed-widths: true")
    open(os.path.join(folder, "job.yaml"), "w").write("\n".join(job) + "\n")


if __name__ == "__main__":
    main()
