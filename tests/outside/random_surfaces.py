"""Random surfaces for the second planner (planner.py), and the job folders that ask the program for them.

All measures are multiples of 5 mm, so that without a picture the best places for seams are among those the second
planner tries. A surface is a dict; boxes are [x0, y0, x1, y1].
"""
import os

from parts import K, SHOP, write_page

PITCHES = (60, 75, 100, 150, 200)
WRAP_USUAL = 20
TRIM, TURN_IN = 5, 25  # of every job
# Of a view by where the front lies: the edges at which other surfaces meet it, and how those are seen.
MEETS = {"left": [("right", "away"), ("top", "up")], "right": [("left", "away"), ("top", "up")],
         "up": [("left", "left"), ("bottom", "away")], "down": [("right", "left"), ("top", "away")]}
LIES_OVER = {"up": 2, "down": 2, "left": 1, "right": 1, "away": 0}  # roof over side, side over rear
EDGES = ("left", "right", "top", "bottom")
# Letters as drawn: outlines on a unit square.
GLYPHS = [[(0, 0), (.6, 0), (.6, .2), (.2, .2), (.2, 1), (0, 1)],
          [(.25, 0), (.45, 0), (.45, .8), (.7, .8), (.7, 1), (0, 1), (0, .8), (.25, .8)],
          [(0, 0), (.2, 0), (.2, .4), (.5, .4), (.5, 0), (.7, 0), (.7, 1), (.5, 1), (.5, .6), (.2, .6), (.2, 1), (0, 1)],
          [(0, 0), (.6, 0), (.6, .2), (.2, .2), (.2, .4), (.5, .4), (.5, .6), (.2, .6), (.2, .8), (.6, .8), (.6, 1), (0, 1)],
          [(.3, 0), (.5, 0), (.8, 1), (.6, 1), (.4, .3), (.2, 1), (0, 1)]]


def five(rng, low, high):
    return rng.randrange(low // 5, high // 5 + 1) * 5


def random_surface(rng, name):
    s = {"name": name, "w": five(rng, 1500, 5600), "h": five(rng, 800, 2300), "front": rng.choice(["left", "right", "up", "down"]),
         "run": rng.choice(["upright", "upright", "lying", "auto"]), "bleed": rng.choice([0, 20, 50]), "overlap": rng.choice([10, 15, 25, 40]),
         "trim": TRIM, "turn_in": TURN_IN, "features": [], "text": [], "outlined": [], "picture": [], "corners": []}
    if s["front"] in ("up", "down"):
        s["run"] = "lying"  # upright seams there depend on the middle
    for _ in range(rng.randrange(1, 4)):
        add_gap(rng, s)
    for kind in rng.sample(["opening", "handle", "hinge", "keep-clear", "keep-whole", "recess", "corrugation", "badge", "opening"], rng.randrange(1, 6)):
        add_box(rng, s, kind)
    if rng.random() < 0.3:
        add_box(rng, s, "ribs")
    if rng.random() < 0.5:
        add_artwork(rng, s)
    for edge, front in MEETS[s["front"]]:
        if rng.random() < 0.25:
            over = rng.choice([None, "self", "other"])
            s["corners"].append({"edge": edge, "front": front, "name": f"{name}n{len(s['corners'])}", "over": over, "wrap": rng.choice([None, 15, 25])})
    return s


def add_artwork(rng, s):
    for _ in range(rng.choice([0, 1, 1, 2])):
        s["text"].append([five(rng, 50, s["w"] - 400), five(rng, 50, s["h"] - 100), rng.choice([60, 100, 200]), rng.random() < 0.5])
    if rng.random() < 0.5:
        s["outlined"].append([five(rng, 50, s["w"] - 700), five(rng, 50, s["h"] - 200), rng.choice([60, 100, 200]), rng.randrange(4, 12), rng.random() < 0.7])
    if rng.random() < 0.5:
        add_picture(rng, s)


def add_gap(rng, s):
    upright = s["run"] != "lying" or rng.random() < 0.3
    length = s["h"] if upright else s["w"]
    across = s["w"] if upright else s["h"]
    at = five(rng, 100, across - 100)
    low = rng.choice([0, 0, five(rng, 0, length // 2)])
    high = rng.choice([length, length - 10, length - 15, length * 4 // 25 * 5, five(rng, low + 50, length)])
    s["features"].append({"kind": "gap", "box": [at, low, at, high] if upright else [low, at, high, at]})


def add_box(rng, s, kind):
    """`ribs`: a corrugation whose ribs run as the panels do, so that seams stand on crests."""
    w, h = five(rng, 30, s["w"] // 4), five(rng, 30, s["h"] // 2)
    if kind == "ribs":
        w, h = (five(rng, 200, s["w"] // 2), h) if s["run"] != "lying" else (w, five(rng, 200, s["h"] // 2))
    x, y = five(rng, 0, s["w"] - w), five(rng, 0, s["h"] - h)
    feature = {"kind": "corrugation" if kind == "ribs" else kind, "box": [x, y, x + w, y + h]}
    if feature["kind"] == "corrugation":
        along = "lying" if s["run"] == "lying" else "upright"
        feature["runs"] = along if kind == "ribs" else {"lying": "upright", "upright": "lying"}[along]
        feature["pitch"], feature["profile"] = rng.choice(PITCHES), rng.choice(["sinusoid", "trapezoid"])
    s["features"].append(feature)


def add_picture(rng, s):
    """Boxes of colour, and stripes that show wherever a seam runs through them: [x, y, w, h, (C, M, Y, K)]."""
    colour = lambda: tuple(round(rng.random() * 0.7, 2) for _ in range(4))  # noqa: E731
    for _ in range(rng.randrange(5, 30)):
        w, h = rng.randrange(50, s["w"] // 2), rng.randrange(50, s["h"])
        s["picture"].append([rng.randrange(-50, s["w"] - w), rng.randrange(-50, s["h"] - h + 50), w, h, colour()])
    x, w, step, ink = rng.randrange(0, s["w"] // 2), rng.randrange(300, s["w"] // 2), rng.choice([20, 37, 60]), colour()
    s["picture"] += [[x + i * step, 0, step // 2, s["h"], ink] for i in range(w // step)]


# ---- who wraps round corners ----

def wraps(corner, s):
    """Whether the surface lies over at that corner, and how far it reaches round it."""
    over = corner["over"] == "self" if corner["over"] else LIES_OVER[s["front"]] > LIES_OVER[corner["front"]]
    return over, WRAP_USUAL if corner["wrap"] is None else corner["wrap"]


def bleeds(s):
    """What is printed beyond each edge: at a corner the wrap and what is cut back, or nothing."""
    out = dict.fromkeys(EDGES, s["bleed"])
    for corner in s["corners"]:
        over, wrap = wraps(corner, s)
        out[corner["edge"]] = wrap + s["trim"] if over else 0
    return out


# ---- the artwork: a page at 1:10 ----

def glyphs(x, y, high, count, seed):
    """A word of outlines: letters of one height on a line, their paths in millimetres."""
    for i in range(count):
        shape = GLYPHS[(seed + i * 3) % len(GLYPHS)]
        yield [(x + px * high, y + py * high) for px, py in shape]
        x += 0.93 * high


def art(path, s):
    """Helvetica is not embedded; what lettering is found is in the plan."""
    k = K / 10
    b = s["bleed"]
    at = lambda x, y: f"{(x + b) * k:.3f} {(y + b) * k:.3f}"  # noqa: E731
    ink = lambda black: "0 0 0 1 k" if black else "0 0 0 0 k"  # noqa: E731
    ops = [f"{c} {m} {ye} {bl} k {at(x, y)} {w * k:.3f} {h * k:.3f} re f" for x, y, w, h, (c, m, ye, bl) in s["picture"]]
    for i, (x, y, high, black) in enumerate(s["text"]):
        ops.append(f"{ink(black)} BT /F {high * k / 0.7:.3f} Tf {at(x, y)} Td (Line {i}) Tj ET")
    for x, y, high, count, black in s["outlined"]:
        ops.append(ink(black))
        ops += [" ".join(at(*p) + (" l" if i else " m") for i, p in enumerate(g)) + " f" for g in glyphs(x, y, high, count, s["w"])]
    write_page(path, (s["w"] + 2 * b) / 10, (s["h"] + 2 * b) / 10, "\n".join(ops or ["0 0 0 0 k"]),
               "/Resources<</Font<</F<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>")


# ---- the job folder ----

EDGE, WIDTHS, INSTALL = 10, (1370, 1520), 42  # the printer's unprintable edge, rolls, an hour's price


def shop(profile):
    return SHOP % dict(media=1625, edge=EDGE, widths=", ".join(map(str, WIDTHS)), profile=profile) + \
        f"rates: {{design: 48, print: 35, laminate: 30, install: {INSTALL}, install-speed: 1.6 m2/h, waste: 5 %}}\n"


WALL_DEG, DEPTH = 45, 4  # of trapezoids


def feature_line(f):
    a, b, c, d = f["box"]
    if f["kind"] == "gap":
        return f"      - {{kind: gap, line: [{a}, {b}, {c}, {d}]}}"
    wall = f", wall: {WALL_DEG} deg" if f.get("profile") == "trapezoid" else ""
    more = {"recess": ", depth: 5, wall: 60 deg",
            "corrugation": f", profile: {f.get('profile')}, pitch: {f.get('pitch')}, depth: {DEPTH}{wall}, laid: bridged, runs: {f.get('runs')}"}
    box = f"box: [{a}, {b}, {c - a}, {d - b}]"
    return f"      - {{kind: {f['kind']}, {box}{more.get(f['kind'], '')}}}"


def corner_lines(s):
    out = []
    for c in s["corners"]:
        over = {"self": f", over: {s['name']}", "other": f", over: {c['name']}", None: ""}[c["over"]]
        wrap = f", wrap: {c['wrap']} mm" if c["wrap"] is not None else ""
        out.append(f"  - {{surfaces: {s['name']}-{c['name']}{over}{wrap}}}")
    return out


def surface_lines(s):
    lines = [f"  - name: {s['name']}", f"    size: [{s['w']}, {s['h']}]", f"    front: {s['front']}", f"    panels: {s['run']}", f"    bleed: {s['bleed']} mm", f"    overlap: {s['overlap']} mm",
             "    features:"] + [feature_line(f) for f in s["features"] if f["kind"] != "keep-whole"]
    whole = [f for f in s["features"] if f["kind"] == "keep-whole"]
    if len(whole) == len(s["features"]):
        lines.pop()
    if whole:
        lines += ["    keep-whole:"] + [f"      - {{box: [{f['box'][0]}, {f['box'][1]}, {f['box'][2] - f['box'][0]}, {f['box'][3] - f['box'][1]}]}}" for f in whole]
    if has_art(s):
        lines += ["    artwork:", f"      - {{file: art/{s['name']}.pdf, scale: 10, at: [{-s['bleed']}, {-s['bleed']}]}}"]
    else:
        lines.append("    artwork-follows: true")
    return lines + [f"  - {{name: {c['name']}, size: [600, 500], front: {c['front']}, panels: upright, artwork-follows: true}}" for c in s["corners"]]


def has_art(s):
    return bool(s["text"] or s["outlined"] or s["picture"])


def write_job(path, surfaces):
    """One job of these surfaces, beside the shop."""
    folder, corners = os.path.dirname(path), [line for s in surfaces for line in corner_lines(s)]
    lines = ["job: T-1", "start: 2027-03-01T08:00", "indoors: {temperature: 21, humidity: 50 %}", "drying: hung", "print:", "  condition: usual",
             f"  seam-trim: {TRIM} mm", f"  turn-in: {TURN_IN} mm"] + ["corners:"] * bool(corners) + corners + ["surfaces:"]
    for s in surfaces:
        lines += surface_lines(s)
        if has_art(s):
            art(os.path.join(folder, "art", s["name"] + ".pdf"), s)
    open(path, "w").write("\n".join(lines) + "\n")


def write_shop(folder, profile):
    os.makedirs(os.path.join(folder, "art"))
    open(os.path.join(folder, "shop.yaml"), "w").write(shop(profile))
