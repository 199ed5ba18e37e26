#!/usr/bin/python3
"""Job folders of our own making from a seed: every front, both directions, bleeds, features, PDF and TIFF.

    make_jobs.py SEED FOLDER [pdf|tiff]     one job folder; needs a CMYK profile at $LAPSTRAKE_PROFILE

Used by tests and, with other seeds, to look for trouble. The artwork is written here by hand, so that what it holds
is known: flat CMYK fields, lines and a rounded shape.
"""
import os
import random
import struct
import sys

FRONTS = ["left", "right", "up", "down", "away", "towards"]


def pdf(path, width, height, seed):
    """A one-page PDF of width x height mm with random CMYK shapes; objects and offsets by hand."""
    random.seed(seed)
    k = 72 / 25.4
    ops = [f"0.05 0.02 0 0 k 0 0 {width * k:.3f} {height * k:.3f} re f"]
    for _ in range(30):
        c = [round(random.random(), 2) for _ in range(4)]
        x, y, w, h = random.random() * width, random.random() * height, random.random() * width / 4, random.random() * height / 4
        ops.append("%g %g %g %g k %.3f %.3f %.3f %.3f re f" % (*c, x * k, y * k, w * k, h * k))
        ops.append("%g %g %g %g K 1 w %.3f %.3f m %.3f %.3f %.3f %.3f %.3f %.3f c S" % (
            *c, x * k, y * k, (x + w) * k, y * k, (x + w) * k, (y + h) * k, x * k, (y + h) * k))
    content = "\n".join(ops).encode()
    box = f"[0 0 {width * k:.4f} {height * k:.4f}]"
    objects = [b"<</Type/Catalog/Pages 2 0 R>>", b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
               f"<</Type/Page/Parent 2 0 R/MediaBox{box}/TrimBox{box}/Contents 4 0 R/Resources<<>>>>".encode(),
               b"<</Length %d>>stream\n%s\nendstream" % (len(content), content)]
    out, offsets = bytearray(b"%PDF-1.6\n"), []
    for number, body in enumerate(objects, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    xref = len(out)
    out += b"xref\n0 5\n0000000000 65535 f \n" + b"".join(b"%010d 00000 n \n" % o for o in offsets)
    out += b"trailer<</Size 5/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % xref
    open(path, "wb").write(out)


def tiff(path, width, height, ppi, seed):
    """An uncompressed CMYK TIFF (TIFF 6.0, sections 2, 7 and 16)."""
    random.seed(seed)
    w, h = round(width / 25.4 * ppi), round(height / 25.4 * ppi)
    rows = []
    for y in range(h):
        c, m = y * 255 // max(h - 1, 1), (y // 40 % 2) * 120
        row = bytearray(b"".join(bytes((c, m, (x * 3) & 255, 20 if x // 50 % 3 else 0)) for x in range(w)))
        rows.append(bytes(row))
    data = b"".join(rows)
    tags = [(256, 4, 1, w), (257, 4, 1, h), (258, 3, 4, None), (259, 3, 1, 1), (262, 3, 1, 5), (273, 4, 1, None), (277, 3, 1, 4),
            (278, 4, 1, h), (279, 4, 1, len(data)), (282, 5, 1, None), (283, 5, 1, None), (296, 3, 1, 2), (332, 3, 1, 1)]
    extra_at = 8 + 2 + 12 * len(tags) + 4
    extra = struct.pack("<4H", 8, 8, 8, 8) + struct.pack("<2L", round(ppi * 1000), 1000) * 2
    places = {258: extra_at, 282: extra_at + 8, 283: extra_at + 16, 273: extra_at + len(extra)}
    ifd = struct.pack("<H", len(tags))
    for tag, kind, count, value in tags:
        value = places.get(tag, value)
        ifd += struct.pack("<HHLL", tag, kind, count, value) if kind != 3 or count > 1 else struct.pack("<HHLHH", tag, kind, count, value, 0)
    open(path, "wb").write(b"II*\0" + struct.pack("<L", 8) + ifd + struct.pack("<L", 0) + extra + data)


SHOP = """currency: EUR
zone: Europe/Lisbon
hours: {mon-fri: 08:00-17:00, sat: closed, sun: closed}
printers:
  - {name: wide, media-width: %(media)d, edge: %(edge)d, max-length: 30 m, speed: 12 m2/h, setup: 20 min}
films:
  - {name: white, kind: cast, widths: [%(widths)s], length: 50 m, thickness: 0.05, price: 9.80 per m2, stretch-limit: 15 %%, durability: 7 y}
laminates:
  - {name: gloss, kind: cast, finish: gloss, widths: [%(widths)s], length: 50 m, price: 7.10 per m2, stretch-limit: 15 %%, durability: 7 y, temperature: [20, 23], bond: 24 h}
inks:
  - {name: eco, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [8, 8, 8, 8], price: 0.16 per ml, stretch-limit: 15 %%}
conditions:
  - {name: usual, printer: wide, film: white, laminate: gloss, ink: eco, profile: %(profile)s, ink-limit: 400 %%}
"""


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
