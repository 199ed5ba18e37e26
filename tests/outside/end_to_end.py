#!/usr/bin/python3
"""The program as its users run it, judged from outside.

    end_to_end.py LAPSTRAKE PROFILE CASE

Each case is one test: it makes job folders from seeds in a folder of its own, runs the binary, and asks other programs
and check_plan.py what came out. Prints one line a fault; exit status 1 when there is one, 77 when a judge is missing.
"""
import glob
import hashlib
import json
import os
import random
import struct
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time

from parts import K, write_page, write_pdf
from share import some

HERE = os.path.dirname(os.path.abspath(__file__))
LAPSTRAKE, PROFILE, CASE = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2]), sys.argv[3]
ENV = dict(os.environ, LAPSTRAKE_PROFILE=PROFILE, SOURCE_DATE_EPOCH="1800000000")
faults = []


def hold(true, words):
    if not true:
        faults.append(words)


def make_job(seed, folder, form="pdf"):
    subprocess.run([sys.executable, f"{HERE}/make_jobs.py", str(seed), folder, form], check=True, env=ENV)


def run(*arguments, **more):
    return subprocess.run([LAPSTRAKE, *arguments], capture_output=True, text=True, env=ENV, timeout=300, **more)


def judge(out, *more):
    return subprocess.run([sys.executable, f"{HERE}/check_plan.py", out, *more], capture_output=True, text=True)


def files_of(folder):
    """Every file below the folder with its fingerprint; the cache is no result."""
    found = {}
    for top, folders, names in os.walk(folder):
        folders[:] = [f for f in folders if f != "cache"]
        for name in names:
            path = os.path.join(top, name)
            found[os.path.relpath(path, folder)] = hashlib.sha256(open(path, "rb").read()).hexdigest()
    return found


def plans(folder):
    """Forty jobs (or a share of them) over all fronts and directions: the plan holds by itself."""
    planned, seeds = 0, some(range(40))
    for seed in seeds:
        job = f"{folder}/j{seed}"
        make_job(seed, job)
        done = run("plan", job, "--quiet")
        hold(done.returncode in (0, 1), f"seed {seed}: status {done.returncode}: {done.stderr}")
        if done.returncode in (0, 1):
            verdict = judge(f"{job}/out", "--no-files")
            hold(verdict.returncode == 0, f"seed {seed}: {verdict.stdout}")
            planned += done.returncode == 0
        shutil.rmtree(job)
    hold(planned * 2 >= len(seeds), f"only {planned} of {len(seeds)} jobs could be planned: the generator tests nothing")


def pdf_panels(folder):
    """Six jobs to PDF panels: boxes, qpdf, and the panels laid back by Ghostscript."""
    laid, seeds = 0, some((1, 2, 3, 5, 8, 13))
    for seed in seeds:
        job = f"{folder}/j{seed}"
        make_job(seed, job)
        done = run("make", job, "--quiet")
        hold(done.returncode in (0, 1), f"seed {seed}: status {done.returncode}: {done.stderr}")
        if done.returncode:
            continue
        verdict = judge(f"{job}/out")
        hold(verdict.returncode == 0, f"seed {seed}: {verdict.stdout}")
        plan = json.load(open(f"{job}/out/plan.json"))
        for s in plan["surfaces"][:1]:
            art = f"{job}/art/{s['name']}.pdf"
            bleed = next(float(line.split(":")[1].split()[0]) for line in bleeds(job, s["name"]))
            back = subprocess.run([sys.executable, f"{HERE}/lay_back.py", f"{job}/out", s["name"], art, "10", str(-bleed), str(-bleed), "100"],
                                  capture_output=True, text=True)
            hold(back.returncode == 0, f"seed {seed}: {back.stdout} {back.stderr[-300:]}")
            laid += 1
    hold(laid * 3 >= len(seeds), "too few jobs could be laid back")


def bleeds(job, name):
    lines = open(f"{job}/job.yaml").read().splitlines()
    start = next(i for i, line in enumerate(lines) if line.strip() == f"- name: {name}")
    return [line for line in lines[start:start + 6] if "bleed:" in line]


def tiff_panels(folder):
    """CMYK artwork at the output's resolution reaches its panels unchanged, sample by sample (read by ImageMagick)."""
    import numpy
    for seed in some((21, 22, 23)):
        job = f"{folder}/j{seed}"
        make_job(seed, job, "tiff")
        done = run("make", job, "--prove", "--quiet")
        hold(done.returncode in (0, 1), f"seed {seed}: status {done.returncode}: {done.stderr}")
        if done.returncode:
            continue
        verdict = judge(f"{job}/out")
        hold(verdict.returncode == 0, f"seed {seed}: {verdict.stdout}")
        for s in json.load(open(f"{job}/out/plan.json"))["surfaces"]:
            art = pixels(f"{job}/art/{s['name']}.tif", numpy)
            bleed = next(float(line.split(":")[1].split()[0]) for line in bleeds(job, s["name"]))
            top = s["height_mm"] + bleed
            for p in s["panels"]:
                got = pixels(f"{job}/out/{p['file']}", numpy)
                mm = 25.4 / 30
                x0, y0, x1, y1 = p["visible_mm"]
                i, j = round((p["file_mm"][0] + bleed) / mm), round((top - p["file_mm"][3]) / mm)
                a, b = -(-(x0 + bleed) // mm), -(-(top - y1) // mm)
                c, d = (x1 + bleed) // mm, (top - y0) // mm
                a, b, c, d = int(a), int(b), int(c), int(d)
                same = (got[b - j:d - j, a - i:c - i] == art[b:d, a:c]).all()
                hold(same, f"seed {seed}: {p['id']}: the artwork's numbers did not arrive unchanged")


def pixels(path, numpy):
    size = subprocess.run(["identify", "-format", "%w %h", path + "[0]"], check=True, capture_output=True, text=True).stdout.split()
    raw = subprocess.run(["convert", path + "[0]", "-depth", "8", "cmyk:-"], check=True, capture_output=True).stdout
    return numpy.frombuffer(raw, numpy.uint8).reshape(int(size[1]), int(size[0]), 4)


def transicc(colours, source="*sRGB"):
    """What Little CMS without optimisation makes of sRGB or CIELAB: relative colorimetric with black point compensation."""
    text = "".join("%f %f %f\n" % c for c in colours)
    out = subprocess.run(["transicc", "-n", f"-i{source}", f"-o{PROFILE}", "-t1", "-b", "-c0"], input=text, check=True, capture_output=True, text=True)
    return [[float(v) * 2.55 for v in line.split()] for line in out.stdout.splitlines() if len(line.split()) == 4]


def rgb_patches(count):
    rng = random.Random(11)
    return [(0, 0, 0), (255, 255, 255), (255, 0, 0), (0, 255, 0), (0, 0, 255)] + [tuple(rng.randrange(256) for _ in range(3)) for _ in range(count - 5)]


def one_surface(folder, art, width, height, form="tiff"):
    """A job with one plain surface without bleed at 25.4 pixels per inch: a pixel is a millimetre."""
    make_job(3, folder)
    lines = open(f"{folder}/job.yaml").read().split("surfaces:")[0].replace("format: pdf", f"format: {form}").replace("resolution: 30", "resolution: 25.4")
    open(f"{folder}/job.yaml", "w").write(lines + f"surfaces:\n  - {{name: side, size: [{width}, {height}], front: left, panels: upright, bleed: 0 mm, "
                                          f"artwork: [{art}]}}\n")


def compare_patches(job, colours, side, numpy, what, most, *options, wanted=None):
    done = run("make", job, "--quiet", *options)
    hold(done.returncode == 0, f"{what}: status {done.returncode}: {done.stderr} {done.stdout[:300]}")
    if done.returncode:
        return
    wanted = wanted or transicc(colours)
    plan = json.load(open(f"{job}/out/plan.json"))
    seen = 0
    for p in plan["surfaces"][0]["panels"]:
        got = pixels(f"{job}/out/{p['file']}", numpy)
        for n, cmyk in enumerate(wanted):
            x, y = (n % 16) * side + side // 2, (n // 16) * side + side // 2
            if not p["visible_mm"][0] + 1 < x < p["visible_mm"][2] - 1:
                continue
            at = got[round(p["file_mm"][3] - (plan["surfaces"][0]["height_mm"] - y)), round(x - p["file_mm"][0])]
            worst = max(abs(float(a) - b) for a, b in zip(at, cmyk))
            hold(worst <= most, f"{what}: {colours[n]} is {at.tolist()}, transicc says {[round(v, 1) for v in cmyk]}")
            seen += 1
    hold(seen >= len(colours) - 20, f"{what}: only {seen} patches were seen")


def patches_tiff(folder, colours, side, mixed):
    """A picture of patches; mixed: every other pixel is of the next patch's colour, so that nothing is flat."""
    w, h = 16 * side, 10 * side
    rows = b"".join(bytes(v for x in range(w) for v in colours[(y // side * 16 + x // side + mixed * ((x + y) % 2)) % 160])
                    for y in range(h))
    os.makedirs(f"{folder}/job/art")
    open(f"{folder}/job/art/p.ppm", "wb").write(b"P6 %d %d 255\n" % (w, h) + rows)
    subprocess.run(["convert", f"{folder}/job/art/p.ppm", "-density", "25.4", "-units", "PixelsPerInch", "-type", "TrueColor", f"{folder}/job/art/p.tif"], check=True)
    one_surface(f"{folder}/job", "{file: art/p.tif, at: [0, 0]}", w, h)


def colour_tiff(folder):
    """RGB without a profile is taken as sRGB and converted once, within a level of transicc; large enough that a table
    is used."""
    import numpy
    colours, side = rgb_patches(160), 60
    patches_tiff(folder, colours, side, False)
    compare_patches(f"{folder}/job", colours, side, numpy, "TIFF", 1.0)


def colour_lab(folder):
    """A CIELAB TIFF (TIFF 6.0, section 23: L* in 255ths of 100, a* and b* signed, 8 bits each) is a colour and needs no
    profile: within a level of transicc from Lab, and nothing is said of sRGB."""
    import numpy
    rng, side = random.Random(5), 60
    colours = [(0, 0, 0), (255, 0, 0), (128, 0, 0)] + [(rng.randrange(40, 240), rng.randrange(-50, 51), rng.randrange(-50, 51)) for _ in range(157)]
    w, h = 16 * side, 10 * side
    row = [bytes(v & 255 for x in range(w) for v in colours[n * 16 + x // side]) for n in range(10)]
    data = b"".join(row[y // side] for y in range(h))
    tags = [(256, 4, 1, w), (257, 4, 1, h), (258, 3, 3, 200), (259, 3, 1, 1), (262, 3, 1, 8), (273, 4, 1, 300), (277, 3, 1, 3), (278, 4, 1, h),
            (279, 4, 1, len(data)), (282, 5, 1, 210), (283, 5, 1, 210), (296, 3, 1, 2)]
    head = b"II*\0" + struct.pack("<LH", 8, len(tags)) + b"".join(struct.pack("<HHLL", *tag) for tag in tags) + bytes(4)
    head = head.ljust(200, b"\0") + struct.pack("<3H", 8, 8, 8)
    head = head.ljust(210, b"\0") + struct.pack("<2L", 254, 10)
    os.makedirs(f"{folder}/job/art")
    open(f"{folder}/job/art/p.tif", "wb").write(head.ljust(300, b"\0") + data)
    one_surface(f"{folder}/job", "{file: art/p.tif, at: [0, 0]}", w, h)
    wanted = transicc([(c[0] * 100 / 255, *c[1:]) for c in colours], "*Lab")
    compare_patches(f"{folder}/job", colours, side, numpy, "CIELAB", 1.0, wanted=wanted)
    told = [f["code"] for f in json.load(open(f"{folder}/job/out/plan.json"))["findings"]]
    hold("no-profile" not in told, f"CIELAB: {told}")


def colour_exact(folder):
    """With --exact also what is not flat equals transicc, which does not round: half a level, and a trifle for the
    16 bits between the library's steps."""
    import numpy
    colours, side = rgb_patches(160), 60
    patches_tiff(folder, colours, side, True)
    compare_patches(f"{folder}/job", colours, side, numpy, "TIFF, exact", 0.56, "--exact")


def colour_photos(folder):
    """The shared photographs (of large ones a corner) by the quick way against --exact, which colour_exact holds against transicc: mean
    difference at most 0.2 of 255, at most 0.2 % of samples off by more than 1, none by more than 6."""
    import numpy
    photos = f"{HERE}/../../../shared/inputs/photo"
    if not os.path.isdir(photos):
        print("the shared photographs are not there")
        sys.exit(77)
    sizes = {name: [int(v) for v in subprocess.run(["identify", "-format", "%w %h", f"{photos}/{name}[0]"], check=True,
                                                   capture_output=True, text=True).stdout.split()]
             for name in sorted(os.listdir(photos))}
    large = {name: size for name, size in sizes.items() if size[0] * size[1] >= 300000}  # of fewer pixels no table is made
    hold(len(large) >= 3, f"only {len(large)} photographs are large enough")
    for name, (width, height) in some(large.items()):
        job = f"{folder}/{name}"
        one_surface(job, "{file: '%s', at: [0, 0], resolution: 25.4}" % os.path.realpath(f"{photos}/{name}"),
                    min(width - 1, 1250), min(height - 1, 1700))  # one panel: where seams fall may hang on a pixel
        made = []
        for out, options in ((f"{job}/fast", ()), (f"{job}/exact", ("--exact",))):
            done = run("make", job, "--anyway", "--quiet", "--out", out, *options)
            hold(done.returncode in (0, 1), f"{name}: status {done.returncode}: {done.stderr}")
            made.append([pixels(f"{out}/{p['file']}", numpy).astype(int)
                         for p in json.load(open(f"{out}/plan.json"))["surfaces"][0]["panels"]])
        differences = numpy.concatenate([abs(a - b).ravel() for a, b in zip(*made)])
        mean, off, most = differences.mean(), (differences > 1).mean() * 100, differences.max()
        hold(mean <= 0.2 and off <= 0.2 and most <= 6, f"{name}: mean {mean:.4f}, {off:.4f} % off by more than 1, most {most}")
        hold(differences.any(), f"{name}: the quick way was not used")
        shutil.rmtree(job)


def touched(folder):
    """Artwork that was written over with as many bytes, under the times it had: the plan sees what is there, right
    away and after it has lain for a while."""
    picture = f"{folder}/art.tif"
    one_surface(f"{folder}/job", "{file: ../art.tif, at: [0, 0]}", 800, 500)

    def planned(colour, *waits):
        subprocess.run(["convert", "-size", "810x510", f"xc:{colour}", "-density", "25.4", "-units", "PixelsPerInch", "-type",
                        "TrueColor", f"{folder}/new.tif"], check=True)
        times = os.stat(picture) if os.path.exists(picture) else None
        with open(picture, "r+b" if times else "wb") as art:
            art.write(open(f"{folder}/new.tif", "rb").read())
        if times:
            os.utime(picture, ns=(times.st_atime_ns, times.st_mtime_ns))
        for wait in waits:
            while time.time() < os.stat(picture).st_ctime + wait:
                time.sleep(0.05)
            done = run("plan", f"{folder}/job", "--quiet")
            hold(done.returncode in (0, 1), f"status {done.returncode}: {done.stderr}")
            yield sum(p["coverage"]["mean_percent"] for p in json.load(open(f"{folder}/job/out/plan.json"))["surfaces"][0]["panels"])

    new, settled = planned("#202020", 0, 6)
    hold(new == settled, f"the same artwork has other ink later: {new} and {settled}")
    (light,) = planned("#f0f0f0", 6)
    hold(light < new / 2, f"other artwork under the same times was taken for what was there: {new} and {light}")
    (again,) = planned("#202020", 0)
    hold(again == new, f"artwork written over just now was not seen: {new} and {again}")


def ink(folder):
    """The ink of each print file: means as vips counts them, window peak and histogram as numpy does, and the plan's
    estimate within 1 % of what was counted."""
    import numpy
    os.makedirs(f"{folder}/job/art")
    subprocess.run(["convert", "-size", "6300x1500", "-seed", "3", "plasma:navy-orange", "-attenuate", "0.4", "+noise", "Gaussian",
                    "-density", "100", "-units", "PixelsPerInch", "-type", "TrueColor", f"{folder}/job/art/p.tif"], check=True)
    one_surface(f"{folder}/job", "{file: art/p.tif, at: [0, 0]}", 1600, 380)
    text = open(f"{folder}/job/job.yaml").read().replace("resolution: 25.4", "resolution: 100")
    open(f"{folder}/job/job.yaml", "w").write(text)
    done = run("make", f"{folder}/job", "--quiet")
    hold(done.returncode == 0, f"status {done.returncode}: {done.stderr} {done.stdout[:300]}")
    plan = {p["id"]: p for p in json.load(open(f"{folder}/job/out/plan.json"))["surfaces"][0]["panels"]}
    counted = json.load(open(f"{folder}/job/out/ink.json"))["panels"]
    hold(len(counted) == len(plan) >= 2, f"{len(counted)} panels counted, {len(plan)} planned")
    for c in counted:
        p, path = plan[c["id"]], f"{folder}/job/out/{c['file']}"
        mm = 25.4 / 100
        x0, y0 = round((p["print_mm"][0] - p["file_mm"][0]) / mm - 0.499), round((p["file_mm"][3] - p["print_mm"][3]) / mm - 0.499)
        x1, y1 = round((p["print_mm"][2] - p["file_mm"][0]) / mm + 0.499), round((p["file_mm"][3] - p["print_mm"][1]) / mm + 0.499)
        subprocess.run(["vips", "crop", path, f"{folder}/print.v", str(x0), str(y0), str(x1 - x0), str(y1 - y0)], check=True)
        for n, channel in enumerate("CMYK"):
            subprocess.run(["vips", "extract_band", f"{folder}/print.v", f"{folder}/one.v", str(n)], check=True)
            mean = float(subprocess.run(["vips", "avg", f"{folder}/one.v"], check=True, capture_output=True, text=True).stdout) / 2.55
            # Marks stand in the print where the overlap hides it, black and without the artwork's inks; they are not counted.
            # So they add black and only ever take away from the other inks: what is missing there may be theirs, what is over is not.
            missing = c["channels_percent"][channel] - mean
            hold(-(0.1 if channel == "K" else 0.01) <= missing <= 0.1, f"{c['id']} {channel}: {c['channels_percent'][channel]} %, vips says {mean}")
            estimate = p["coverage"]["channels_percent"][channel]
            hold(abs(estimate - c["channels_percent"][channel]) <= 1, f"{c['id']} {channel}: estimated {estimate} %, counted {c['channels_percent'][channel]}")
        hold(abs(p["coverage"]["mean_percent"] - c["mean_percent"]) <= 1, f"{c['id']}: estimated {p['coverage']['mean_percent']}")
        total = pixels(path, numpy)[y0:y1, x0:x1].astype(int).sum(axis=2)
        sums = numpy.pad(total.cumsum(0).cumsum(1), ((1, 0), (1, 0)))
        w = round(5 / mm)
        windows = (sums[w:, w:] - sums[:-w, w:] - sums[w:, :-w] + sums[:-w, :-w]) / w / w / 2.55
        hold(abs(windows.max() - c["peak_percent"]) < 0.01, f"{c['id']}: peak {c['peak_percent']}, numpy says {windows.max()}")
        bins = numpy.bincount((total / 2.55 / 5).astype(int).ravel(), minlength=81) / total.size * 100
        worst = abs(bins - numpy.array(c["histogram_percent"])).max()
        hold(worst < 0.1, f"{c['id']}: the histogram is off by {worst}")
    for form, wanted in (("tiff", "counted at full size, on every pixel"), ("pdf", "estimated from a rendering")):
        limited = limited_job(f"{folder}/job", f"{folder}/{form}", form, max(c["peak_percent"] for c in counted) - 3)
        done = run("make", limited, "--quiet")
        sheet = subprocess.run(["pdftotext", "-layout", f"{limited}/out/sheet.pdf", "-"], capture_output=True, text=True).stdout
        hold(done.returncode == 0 and "Where the ink is over" in sheet and wanted in sheet, f"{form}: the sheet does not say {wanted!r}")
        peak = max(int(n) for n in re.findall(r"^ +[A-H] +(\d+) %", sheet, re.M) or [0])
        hold(form == "pdf" or peak == round(max(c["peak_percent"] for c in counted)), f"the sheet's heaviest place has {peak} %")


def limited_job(job, copy, form, limit):
    """The same job with an ink limit and panels in that form."""
    shutil.copytree(job, copy, ignore=shutil.ignore_patterns("out"))
    for name, old, new in (("shop.yaml", "ink-limit: 400 %", f"ink-limit: {limit:.1f} %"), ("job.yaml", "format: tiff", f"format: {form}")):
        text = open(f"{copy}/{name}").read()
        hold(old in text, f"{name} has no {old!r}")
        open(f"{copy}/{name}", "w").write(text.replace(old, new))
    return copy


def profile_swapped(folder):
    """A profile that took the place of the one the panels were made with is told until every panel is made again."""
    make_job(3, f"{folder}/job", "tiff")
    shop = open(f"{folder}/job/shop.yaml").read()
    hold(PROFILE in shop, "the shop file names the profile in another way than this test expects")
    bytes_ = bytearray(open(PROFILE, "rb").read())
    own = f"{folder}/own.icc"
    open(own, "wb").write(bytes_)
    open(f"{folder}/job/shop.yaml", "w").write(shop.replace(PROFILE, own))

    def codes(*arguments):
        done = run(*arguments, f"{folder}/job", "--json")
        return {f["code"] for f in json.loads(done.stdout)["findings"]}
    hold("profile-changed" not in codes("panels"), "a profile was called changed before anything was made")
    hold("profile-changed" not in codes("check"), "an unchanged profile was called changed")
    bytes_[len(bytes_) - 1] ^= 1  # edited: the fingerprint is over all bytes (ICC.1, profile ID)
    open(own, "wb").write(bytes_)
    hold("profile-changed" in codes("check"), "an edited profile was not noticed")
    hold("profile-changed" in codes("plan"), "an edited profile was told only once")
    only = json.load(open(f"{folder}/job/out/plan.json"))["surfaces"][0]["name"]
    codes("panels", "--only", only)
    hold("profile-changed" in codes("check"), "one surface made again was taken for all")
    codes("panels")
    hold("profile-changed" not in codes("check"), "it was told after every panel had been made again")


def artwork_profile(folder):
    """Another profile under the name of the one that untagged artwork was made for: the plan's ink is the new one's. By the
    condition's own profile numbers pass; by one that differs in its last byte black becomes four inks."""
    subprocess.run(["convert", "-size", "810x510", "xc:cmyk(0,0,0,128)", "-density", "25.4", "-units", "PixelsPerInch", f"{folder}/art.tif"],
                   check=True)
    shutil.copy(PROFILE, f"{folder}/own.icc")
    one_surface(f"{folder}/job", "{file: ../art.tif, profile: ../own.icc, at: [0, 0]}", 800, 500)

    def planned():
        done = run("plan", f"{folder}/job", "--quiet")
        hold(done.returncode in (0, 1), f"status {done.returncode}: {done.stderr}")
        return sum(p["coverage"]["mean_percent"] for p in json.load(open(f"{folder}/job/out/plan.json"))["surfaces"][0]["panels"])

    passed = planned()
    other = bytearray(open(PROFILE, "rb").read())
    other[-1] ^= 1
    open(f"{folder}/own.icc", "wb").write(other)
    converted = planned()
    hold(abs(converted - passed) > 5, f"the ink of the profile before: {passed} and {converted}")
    for what, data in (("empty", b""), ("cut off", bytes(other[:100]))):
        open(f"{folder}/own.icc", "wb").write(data)
        done = run("plan", f"{folder}/job", "--quiet")
        words = done.stdout + done.stderr
        hold(done.returncode in (1, 2) and "own.icc" in words and "art.tif" in words, f"{what} profile: status {done.returncode}: {words[:300]}")


def colour_pdf(folder):
    """RGB inside a PDF, drawn as CMYK pixels by Ghostscript, which links profiles through tables of its own: within
    three levels of transicc (measured: 2.6 in the steepest place)."""
    import numpy
    colours, side = rgb_patches(160), 40
    w, h, k = 16 * side, 10 * side, 72 / 25.4
    ops = []
    for n, c in enumerate(colours):
        x, y = (n % 16) * side, h - (n // 16 + 1) * side
        ops.append("%f %f %f rg %f %f %f %f re f" % (*[v / 255 for v in c], x * k, y * k, side * k, side * k))
    os.makedirs(f"{folder}/job/art")
    content = "\n".join(ops).encode()
    objects = [b"<</Type/Catalog/Pages 2 0 R>>", b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
               b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 %.4f %.4f]/Contents 4 0 R/Resources<<>>>>" % (w * k, h * k),
               b"<</Length %d>>stream\n%s\nendstream" % (len(content), content)]
    write_pdf(f"{folder}/job/art/p.pdf", objects)
    one_surface(f"{folder}/job", "{file: art/p.pdf, at: [0, 0]}", w, h)
    compare_patches(f"{folder}/job", colours, side, numpy, "PDF", 3.0)


def save_at(job, seconds):
    """The sheet says when each artwork was saved, so the same input has the same times."""
    for place, _, names in os.walk(job):
        for name in names:
            os.utime(f"{place}/{name}", (seconds, seconds))


def same_bytes(folder):
    """Same input, same bytes: two folders, and one thread against two."""
    results = []
    for n, threads in enumerate(("1", "2")):
        job = f"{folder}/{n}/job"
        make_job(3, job)
        save_at(job, 1790000000)
        done = run("make", "job", "--threads", threads, "--quiet", cwd=f"{folder}/{n}")
        hold(done.returncode == 0, done.stderr)
        results.append(files_of(f"{job}/out"))
    for name in sorted(set(results[0]) | set(results[1])):
        hold(results[0].get(name) == results[1].get(name), f"{name} differs")
    hold(len(results[0]) > 8, "too few files were made")
    kept_maps_are_judged(job, results[1])


def kept_maps_are_judged(job, whole):
    """Maps kept from an earlier run and damaged since, at their start, in what they say of their place, inside, at their end or
    cut off, are made again."""
    maps = glob.glob(f"{job}/out/cache/*.maps")[0]
    kept = open(maps, "rb").read()
    for damage in (lambda b: b[:8] + bytes([b[8] ^ 1]) + b[9:], lambda b: b[:23] + bytes([b[23] ^ 0x40]) + b[24:], lambda b: b[:len(b) // 2] + bytes([b[len(b) // 2] ^ 1]) + b[len(b) // 2 + 1:],
                   lambda b: b[:-1] + bytes([b[-1] ^ 1]), lambda b: b[:-1], lambda b: b + b"0", lambda b: b""):
        with open(maps, "wb") as out:
            out.write(damage(kept))
        done = run("make", job, "--quiet")
        hold(done.returncode == 0, done.stderr)
        hold(files_of(f"{job}/out") == whole and open(maps, "rb").read()[-5000:] == kept[-5000:], "damaged maps were taken")


def killed(folder):
    """Killed at any moment: no half file under a final name, and the next run clears up and succeeds."""
    job = f"{folder}/job"
    make_job(3, job)
    run("make", job, "--quiet")
    whole = files_of(f"{job}/out")
    known = set(open(f"{job}/out/made.txt"))  # a line for each panel, written as surfaces are made
    rng = random.Random(7)
    for _ in range(25):
        shutil.rmtree(f"{job}/out", ignore_errors=True)
        child = subprocess.Popen([LAPSTRAKE, "make", job, "--quiet"], env=ENV, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(rng.random() * 1.6)
        child.send_signal(signal.SIGKILL)
        child.wait()
        for name, mark in files_of(f"{job}/out").items():
            if name == "made.txt":
                made = set(open(f"{job}/out/made.txt"))
                hold(made <= known, f"made.txt knows of what was not made: {made - known}")
            elif not os.path.basename(name).startswith((".unfinished-", ".lock")):
                hold(whole.get(name) == mark, f"{name} is not whole after a kill")
    done = run("make", job, "--quiet")
    hold(done.returncode == 0, done.stderr)
    left = files_of(f"{job}/out")
    hold(left == whole, f"after kills: {sorted(set(left) ^ set(whole))}")


def refusals(folder):
    """Usage and input mistakes: status 2, a sentence that names the place; nothing is written."""
    job = f"{folder}/job"
    make_job(3, job)
    cases = [(["make", f"{folder}/none"], "is not there"), (["mkae", job], "make"), (["make"], "needs"), (["make", job, "--thread", "2"], "--threads"),
             (["make", job, "--threads", "0"], "1 to 64"), (["make", job, "--only", "nowhere"], "no such surface"),
             (["make", job, "--compress", "gzip"], "lzw"), (["check", job, "more"], "only one")]
    for arguments, words in cases:
        done = run(*arguments)
        hold(done.returncode == 2, f"{arguments}: status {done.returncode}")
        hold(words in done.stderr, f"{arguments}: {done.stderr!r} does not say {words!r}")
    for broken, words in (("overlap: x", "job.yaml:"), ("condition: nobody", "nobody"), ("overlpa: 3", "overlap")):
        text = open(f"{job}/job.yaml").read()
        bad = text.replace("print:", "print:\n  " + broken, 1) if "overlpa" in broken else text.replace(
            next(line.strip() for line in text.splitlines() if line.strip().startswith(broken.split(":")[0] + ":")), broken)
        os.makedirs(f"{folder}/bad", exist_ok=True)
        shutil.copy(f"{job}/shop.yaml", f"{folder}/bad/shop.yaml")
        open(f"{folder}/bad/job.yaml", "w").write(bad)
        done = run("make", f"{folder}/bad")
        hold(done.returncode == 2, f"{broken}: status {done.returncode}")
        hold(words in done.stderr, f"{broken}: {done.stderr!r}")
        hold(not os.path.exists(f"{folder}/bad/out"), f"{broken}: something was written")


def options(folder):
    """Help and reader agree for every command: what its help lists is taken, with a value just where one is named; what only
    another command lists is refused by name, behind the command and before it."""
    commands = re.findall(r"^  lapstrake (\w+) \[?[A-Z]+\]?  ", run("--help").stdout, re.M)
    verbs = re.findall(r"^  lapstrake (record \w+) ", run("record", "--help").stdout, re.M)
    listed = {c: dict(re.findall(r"^  (--[\w-]+)(?: (\S+))? ", run(*c.split(), "--help").stdout, re.M)) for c in commands + verbs}
    hold(len(commands) > 10 and len(verbs) > 7 and "--compress" in listed["make"] and "--air" in listed["record add"], f"help is not read: {listed}")
    for command, own in listed.items():
        words = command.split()
        given = [f"{name}={'1' if takes == 'N' else takes.split('|')[0]}" if takes else name for name, takes in own.items()]
        done = run(*words, *given)
        hold(done.returncode == 0 and not done.stderr, f"{command} {given}: {done.stderr!r}")
        family = verbs if command in verbs else commands
        for name in sorted({n for c in family for n in listed[c]} - set(own))[::9]:
            done = run(*words, "--help", name)  # so that one that is taken by mistake starts nothing
            hold(done.returncode == 2 and done.stderr.startswith(f"lapstrake: {name} is no"), f"{command} {name}: {done.returncode} {done.stderr!r}")
            if command in commands:
                takes = next(listed[c][name] for c in family if name in listed[c])
                done = run(name, *(["none" if name == "--compress" else "1"] if takes else []), command, "--help")
                hold(done.returncode == 2 and done.stderr.startswith(f"lapstrake: {name} is not an option of {command}"),
                     f"{name} before {command}: {done.returncode} {done.stderr!r}")
        if command in commands:
            done = run(*given, command, "--help")
            hold(done.returncode == 0 and not done.stderr, f"{given} before {command}: {done.stderr!r}")
        for name, takes in list(own.items())[::9]:
            done = run(*words, name if takes else name + "=1")
            hold(done.returncode == 2 and done.stderr.startswith(f"lapstrake: {name} {'needs' if takes else 'takes no value'}"),
                 f"{command} {name}: {done.returncode} {done.stderr!r}")
    for words in (["make", "--threads", "1.5", folder], ["--threads", "1.5", "make", folder], ["record", "plan", "--threads", "1.5", folder]):
        done = run(*words)
        hold(done.returncode == 2 and done.stderr == "lapstrake: --threads 1.5: must be a whole number from 1 to 64\n", f"{words}: {done.stderr!r}")
    for words, of in ((["--foo"], "lapstrake"), (["record", "--foo"], "record"), (["record", "show", "--foo"], "record show")):
        done = run(*words)
        hold(done.returncode == 2 and done.stderr == f"lapstrake: --foo is not an option of {of}; --help lists them\n", f"{words}: {done.stderr!r}")


def stops(folder):
    """A stop: status 1, the plan complete, the sheet stamped, panels only with --anyway."""
    job = f"{folder}/job"
    make_job(3, job)
    text = open(f"{job}/job.yaml").read()
    open(f"{job}/job.yaml", "w").write(text.replace("drying: hung", "drying: tight-roll"))
    done = run("make", job, "--quiet")
    hold(done.returncode == 1, f"status {done.returncode}")
    plan = json.load(open(f"{job}/out/plan.json"))
    hold(plan["earliest_install"] is None, "a date is given for prints on a tight roll")
    hold(any(f["code"] == "drying-not-possible" and f["severity"] == "stop" for f in plan["findings"]), "no drying-not-possible")
    hold(not os.path.exists(f"{job}/out/panels"), "panels were written in spite of a stop")
    words = subprocess.run(["pdftotext", f"{job}/out/sheet.pdf", "-"], capture_output=True, text=True).stdout
    hold("NOT TO BE PRINTED" in words, "the sheet is not stamped")
    done = run("panels", job, "--anyway", "--quiet")
    hold(done.returncode == 1 and os.listdir(f"{job}/out/panels"), f"--anyway: status {done.returncode}")


def unusable_profiles():
    """What a shop may have in place of its profile, each made from the good one, and a word that names the trouble (class and
    tags: ICC.1, 7.2 and 7.3)."""
    good = open(PROFILE, "rb").read()

    def marred(tags, gone):
        bad = bytearray(good)
        for n in range(int.from_bytes(good[128:132], "big")):
            entry = 132 + 12 * n
            place = entry if gone else int.from_bytes(good[entry + 4:entry + 8], "big")
            if good[entry:entry + 3] == tags:
                bad[place:place + 4] = b"zzzz"
        return bytes(bad)

    return {"not there": (None, "no file"), "cut short": (good[:5000], "cut short"), "camera": (good[:12] + b"scnr" + good[16:], "camera"),
            "no way out": (marred(b"B2A", True), "B2A"), "no way in": (marred(b"A2B", True), "A2B"),
            "broken out": (marred(b"B2A", False), "B2A"), "broken in": (marred(b"A2B", False), "A2B")}


def no_profile(folder):
    """With a profile that cannot be used, --anyway gives PDF panels in the artwork's own colours, and refuses TIFF panels, naming
    the file and what is wrong with it. Another surface whose profile is right is made all the same."""
    for form in ("pdf", "tiff"):
        for n, (what, (content, word)) in enumerate(some(unusable_profiles().items())):
            job, name, case = f"{folder}/{form}{n}", f"shop-{n}.icc", f"{form}, {what}"
            make_job(4, job, form)
            if content:
                open(f"{job}/{name}", "wb").write(content)
            lines = open(f"{job}/shop.yaml").read().splitlines()
            right = lines[-1].replace("name: usual", "name: right")
            open(f"{job}/shop.yaml", "w").write("\n".join([*lines[:-1], lines[-1].replace(PROFILE, name), right]))
            open(f"{job}/job.yaml", "a").write(f"  - {{name: extra, size: [500, 400], condition: right, artwork: [{{file: art/{os.listdir(f'{job}/art')[0]}}}]}}\n")
            done = run("panels", job, "--anyway", "--json", "--quiet")
            hold(done.returncode == 1, f"{case}: status {done.returncode} {done.stderr}")
            files = [f for f in files_of(f"{job}/out") if f.endswith((".tif", ".pdf"))]
            hold(any("extra" in f for f in files), f"{case}: no panels with the right profile: {files}")
            hold((form == "pdf") == any("extra" not in f for f in files), f"{case}: {files}")
            code = "panels-own-colours" if form == "pdf" else "panels-not-made"
            told = [f for f in json.loads(done.stdout or "{}").get("findings", []) if f["code"] == code]
            hold(told and all(name in f["text"] and word in f["text"] and f["where"] != "extra" for f in told), f"{case}: {told}")
            without = run("panels", job)
            hold(("not even with this stop overridden" in without.stdout) == (form == "tiff"), f"{case}: {without.stdout}")
            hold(without.returncode == 1 and ("`--anyway` writes" in without.stdout) == (form == "pdf"), f"{case}: without --anyway {without.stdout[-300:]}")


def schema(folder):
    """plan.json and --json are the same, and hold what doc/plan.schema.json asks (types and required keys)."""
    job = f"{folder}/job"
    make_job(5, job)
    done = run("plan", job, "--json")
    hold(open(f"{job}/out/plan.json").read() == done.stdout, "--json is not plan.json")
    plan, rules = json.loads(done.stdout), json.load(open(f"{HERE}/../../doc/plan.schema.json"))
    check_schema(plan, rules, rules, "plan")


TYPES = {"object": dict, "array": list, "string": str, "number": (int, float), "integer": int, "null": type(None), "boolean": bool}


def check_schema(value, rule, root, where):
    if "$ref" in rule:
        rule = root["$defs"][rule["$ref"].rsplit("/", 1)[1]]
    for part in rule.get("allOf", []):
        check_schema(value, part, root, where)
    kinds = rule.get("type", [])
    kinds = [kinds] if isinstance(kinds, str) else kinds
    if kinds and not any(isinstance(value, TYPES[k]) for k in kinds):
        faults.append(f"{where} is {value!r}, not {kinds}")
        return
    hold("const" not in rule or value == rule["const"], f"{where}: {value!r}")
    hold("enum" not in rule or value in rule["enum"], f"{where}: {value!r} is none of {rule.get('enum')}")
    if isinstance(value, (int, float)) and "minimum" in rule:
        hold(value >= rule["minimum"], f"{where}: {value}")
    if isinstance(value, dict):
        for key in rule.get("required", []):
            hold(key in value, f"{where} has no {key}")
        for key, below in rule.get("properties", {}).items():
            if key in value:
                check_schema(value[key], below, root, f"{where}.{key}")
    if isinstance(value, list):
        hold(len(value) >= rule.get("minItems", 0), f"{where} is too short")
        for i, item in enumerate(value):
            check_schema(item, rule.get("items", {}), root, f"{where}[{i}]")


def damage(rng, text):
    """One to three of the mistakes people and disks make, in a text file."""
    lines = text.split("\n")
    for _ in range(rng.randrange(1, 4)):
        lines = lines or [""]
        i = rng.randrange(len(lines))
        kind = rng.randrange(12)
        if kind == 0:
            lines.insert(i, lines[i])
        elif kind == 1:
            del lines[i]
        elif kind == 2:
            lines[i] = lines[i].replace(":", "", 1)
        elif kind == 3:
            lines[i] = lines[i][: rng.randrange(len(lines[i]) + 1)]
        elif kind == 4:
            lines[i] = "\t" + lines[i]
        elif kind == 5:
            lines[i] = "".join(rng.choice("0123456789-xyz{}[]:,\"'&*") if c.isdigit() else c for c in lines[i])
        elif kind == 6:
            lines[i] = lines[i].swapcase()
        elif kind == 7:
            lines[i] += rng.choice([" &a *a", " {", "]", " !!python/x", "\0", " 1e999", " -1", " nan mm", "<", "&#0;", "\"", "/>"])
        elif kind == 8:
            word = rng.choice(lines[i].split() or ["x"])
            lines[i] = lines[i].replace(word, word[::-1], 1)
        elif kind == 9:
            lines = lines[: i + 1]
        elif kind == 10:
            lines[i] = lines[i] * 40
        else:
            lines[i] = lines[i] + "\ud800"
    return "\n".join(lines).encode("utf-8", "surrogatepass")


DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="240mm" height="100mm" viewBox="0 0 240 100">
  <g id="side" transform="translate(2,1) scale(0.98)">
    <path class="outline" d="M10 90 L10 40 Q12 10 60 8 H220 a12 12 0 0 1 12 12 V90 Z"/>
    <circle class="opening" cx="60" cy="90" r="16"/>
    <rect id="handle-1" x="120" y="50" width="8" height="3" rx="1"/>
    <line class="gap" x1="110" y1="8" x2="110" y2="90" stroke="black"/>
  </g>
</svg>
"""


def malformed(folder):
    """240 damaged (or a share of them) job, shop and drawing files: refused with status 2 and a place, or still a job; never anything else."""
    rng, job, refused = random.Random(5), f"{folder}/job", 0
    make_job(3, job)
    head = open(f"{job}/job.yaml").read().split("surfaces:")[0]
    whole = {"job.yaml": head + "surfaces:\n  - name: side\n    drawing: {file: side.svg, scale: 10}\n    front: left\n    panels: upright\n"
                                "    features:\n      - {kind: keep-clear, box: [300, 200, 80, 60], margin: 20 mm}\n",
             "shop.yaml": open(f"{job}/shop.yaml").read(), "side.svg": DRAWING}
    for name, text in whole.items():
        open(f"{job}/{name}", "w").write(text)
    done = run("check", job)
    hold(done.returncode == 0, f"the whole job is refused: {done.stderr}")
    variants = some(range(240))
    for n in variants:
        name = list(whole)[n % 3]
        open(f"{job}/{name}", "wb").write(damage(rng, whole[name]))
        done = subprocess.run([LAPSTRAKE, "check", job], capture_output=True, env=ENV, timeout=60)
        words = done.stderr.decode("utf-8", "replace")
        hold(done.returncode in (0, 1, 2), f"variant {n} of {name}: status {done.returncode}: {words[-600:]}")
        if done.returncode == 2:
            refused += 1
            hold(any(f"{file}" in words for file in whole), f"variant {n} of {name}: no place in {words[:300]!r}")
        open(f"{job}/{name}", "w").write(whole[name])
    hold(refused * 2 >= len(variants), f"only {refused} of {len(variants)} variants were refused: the damage is too mild")


PITCH, DEPTH = 76.0, 18.0


def arc(y):
    """Length along z = A cos(2 pi y / p) from a crest to y, by Simpson's rule: independent of the program's series."""
    import math
    n = max(2, 2 * int(abs(y)))
    rise = lambda t: math.sqrt(1 + (DEPTH / 2 * 2 * math.pi / PITCH * math.sin(2 * math.pi * t / PITCH)) ** 2)
    return y / n / 3 * sum(rise(y * i / n) * (1 if i in (0, n) else 4 if i % 2 else 2) for i in range(n + 1))


def unfold(length):
    """The y whose length along the profile this is, by bisection."""
    low, high = 0.0, length
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if arc(middle) < length else (low, middle)
    return low


def lines_pdf(path, width, height, step):
    """Fine horizontal lines every `step` mm from the lower edge."""
    content = "\n".join("0 0 0 1 k 0 %f %f %f re f" % ((y - 1) * K, width * K, 2 * K) for y in range(step, height, step))
    write_page(path, width, height, content)


def folded(folder):
    """The print of a followed corrugation, laid into its valleys, reads as the flat design within 0.5 mm: as PDF
    (drawn by poppler) and as TIFF."""
    import numpy
    job, width, height, step, ppi = f"{folder}/job", 900, 760, 38, 101.6
    os.makedirs(f"{job}/art")
    lines_pdf(f"{job}/art/lines.pdf", width, height, step)
    one_surface(job, "{file: art/lines.pdf, at: [0, 0]}", width, height, "pdf")
    text = open(f"{job}/job.yaml").read().replace("bleed: 0 mm, ", "bleed: 0 mm, features: [{kind: corrugation, box: [0, 0, %d, %d], "
                                                  "profile: sinusoid, pitch: 76, depth: 18, runs: lying, follow: true}], " % (width, height))
    for form in ("pdf", "tiff"):
        open(f"{job}/job.yaml", "w").write(text.replace("resolution: 25.4", "resolution: 101.6").replace("format: pdf", f"format: {form}"))
        done = run("make", job, "--quiet", "--out", f"{folder}/{form}")
        hold(done.returncode == 0, f"{form}: status {done.returncode}: {done.stdout[:300]} {done.stderr}")
        if done.returncode:
            continue
        plan = json.load(open(f"{folder}/{form}/plan.json"))
        for p in plan["surfaces"][0]["panels"]:
            source = f"{folder}/{form}/{p['file']}"
            if form == "pdf":
                subprocess.run(["pdftoppm", "-r", str(ppi), "-f", str(p["page"]), "-l", str(p["page"]), "-gray", "-singlefile", source, f"{folder}/page"], check=True)
                data = open(f"{folder}/page.pgm", "rb").read()
                w, h = map(int, data.split(b"\n", 2)[1].split())
                dark = 255 - numpy.frombuffer(data[-w * h:], numpy.uint8).reshape(h, w).astype(int)
            else:
                dark = pixels(source, numpy)[:, :, 3].astype(int)
            column = dark[:, int(dark.shape[1] * 0.6)] > 127
            edges = numpy.flatnonzero(numpy.diff(column.astype(int)))
            centres = [(a + b) / 2 + 1 for a, b in zip(edges[::2], edges[1::2]) if 2 <= b - a <= 20]
            seen = sorted((dark.shape[0] - c) / ppi * 25.4 + p["file_mm"][1] for c in centres)
            seen = [s for s in seen if 1 < s < arc(height) - 1]
            hold(len(seen) == len(range(step, height, step)), f"{form} {p['id']}: {len(seen)} lines were found")
            for n, s in enumerate(seen, 1):
                hold(abs(unfold(s) - n * step) < 0.5, f"{form} {p['id']}: line {n} folds to {unfold(s):.2f}, not {n * step}")


def bought_in(folder):
    """The order sheet names what was ordered; the drying picture is well-formed; the clock says hours and room. The
    roll's width is that of the wound-length formula L = pi (D^2 - d^2) / (4 t)."""
    import math
    import re
    job = f"{folder}/job"
    make_job(3, job)
    hold(run("order", job, "--quiet").returncode == 0, "order failed")
    words = subprocess.run(["pdftotext", "-layout", f"{job}/out/order.pdf", "-"], capture_output=True, text=True).stdout
    for wanted in ("Purchase order for printing T-3", "white, cast", "eco-solvent", "outside.icc", "gloss", "Delivery check list", "cut and hung", "safety data sheet"):
        hold(wanted in words, f"the order does not say {wanted!r}")
    plan = json.load(open(f"{job}/out/plan.json")) if os.path.exists(f"{job}/out/plan.json") else json.loads(run("plan", job, "--json").stdout)
    for s in plan["surfaces"]:
        for p in s["panels"]:
            hold(f"{p['id']} " in words and p["file"] in words, f"{p['id']} is not ordered")
    hold(subprocess.run(["qpdf", "--check", f"{job}/out/order.pdf"], capture_output=True).returncode == 0, "order.pdf is not clean")
    done = run("clock", job, "--quiet")
    hold(done.returncode == 0 and subprocess.run(["xmllint", "--noout", f"{job}/out/pictures/drying.svg"]).returncode == 0, "clock failed")
    rolls = re.findall(r"wound loosely: ([\d.]+) m with gaps of 3 mm are a roll of (\d+) mm", done.stdout)
    hold(len(rolls) == len(plan["surfaces"]), f"rolls: {done.stdout}")
    for length, diameter in rolls:
        wanted = math.sqrt(76.2 ** 2 + 4 * 3.05 * float(length) * 1000 / math.pi)
        hold(abs(float(diameter) - wanted) < 2, f"{length} m make a roll of {diameter} mm, not {wanted:.0f}")
    dries = max(p["dry_h"] for s in plan["surfaces"] for p in s["panels"])
    hold(f"{dries:.1f} h from cutting" in done.stdout, f"the clock does not say {dries:.1f} h")


def codes(folder):
    """The codes on the labels as another reader reads them: job and panel, or the panel's address on the shop's page."""
    if not shutil.which("zbarimg") or not shutil.which("pdftoppm"):
        print("zbarimg or pdftoppm is not installed")
        sys.exit(77)
    for page, start in ((None, "T-4/"), ("http://shop-pc:8017", "HTTP://SHOP-PC:8017/P/T-4/")):
        job = f"{folder}/{'page' if page else 'plain'}"
        make_job(4, job)
        if page:
            open(f"{job}/shop.yaml", "a").write(f"page: {page}\n")
        done = run("make", job, "--quiet", "--anyway")
        hold(done.returncode in (0, 1), done.stderr)
        plan = json.load(open(f"{job}/out/plan.json"))
        for surface in plan["surfaces"]:
            for panel in surface["panels"][:2]:
                subprocess.run(["pdftoppm", "-r", "80", "-gray", "-png", "-singlefile", "-f", str(panel["page"]), "-l", str(panel["page"]),
                                f"{job}/out/{panel['file']}", f"{folder}/panel"], check=True)
                read = subprocess.run(["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", f"{folder}/panel.png"], capture_output=True, text=True)
                wanted = start + (panel["id"].upper() if page else panel["id"])
                hold(set(read.stdout.split()) == {wanted}, f"{panel['id']}: the codes say {read.stdout!r}, not {wanted}")


def pages(folder):
    """doc/findings.md and doc/practice.md are what the program's tables say."""
    for name in ("findings", "practice"):
        done = run("doc", name)
        hold(open(f"{HERE}/../../doc/{name}.md").read() == done.stdout, f"doc/{name}.md is old: lapstrake doc {name} > doc/{name}.md")
    reference = open(f"{HERE}/../../doc/job-file.md").read()
    hold(reference.endswith(run("doc", "keys").stdout), "the tables of doc/job-file.md are old: lapstrake doc keys")


CASES = {f.__name__: f for f in (plans, pdf_panels, tiff_panels, colour_tiff, colour_exact, colour_lab, colour_photos, touched, ink, profile_swapped, artwork_profile, colour_pdf, same_bytes, killed, refusals, options, stops, no_profile, schema, malformed, folded, bought_in, codes, pages)}

if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        CASES[CASE](place)
    print("\n".join(faults) or "holds")
    sys.exit(1 if faults else 0)
