"""What the outside tests build job folders from: a shop, and artwork written byte by byte, so that what it holds is known.

PDF after ISO 32000-1 (7.5, file structure), TIFF after TIFF 6.0 (sections 2, 7 and 16), PNG after ISO/IEC 15948.
"""
import contextlib
import random
import shutil
import socket
import struct
import subprocess
import tempfile
import zlib

K = 72 / 25.4  # PDF units in a millimetre


@contextlib.contextmanager
def served(lapstrake, folder, env=None):
    """The shop in FOLDER, served for as long as this is open; gives the server's address."""
    with socket.socket() as lent:
        lent.bind(("127.0.0.1", 0))
        port = lent.getsockname()[1]
    server = subprocess.Popen([lapstrake, "serve", folder, "--port", str(port)], env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    server.stdout.readline()
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.communicate(timeout=60)


class Checks:
    """Faults found so far, and the program that is asked."""

    def __init__(self, lapstrake):
        self.lapstrake, self.faults = lapstrake, []

    def hold(self, true, words):
        if not true:
            self.faults.append(words)

    def run(self, *arguments, status=0, says=""):
        """Its output where status and words are as expected, and a fault where they are not."""
        done = subprocess.run([self.lapstrake, *arguments], capture_output=True, text=True, timeout=300)
        asked = " ".join(arguments)
        self.hold(done.returncode == status, f"{asked}: status {done.returncode}, not {status}: {done.stderr}{done.stdout}")
        self.hold(says in done.stdout + done.stderr, f"{asked}: does not say {says!r}: {done.stdout}{done.stderr}")
        return done


def write_pdf(path, bodies):
    """Objects 1, 2, ... with these bodies; the first is the catalogue."""
    out, offsets = bytearray(b"%PDF-1.6\n"), []
    for number, body in enumerate(bodies, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body if isinstance(body, bytes) else body.encode())
    xref = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(bodies) + 1) + b"".join(b"%010d 00000 n \n" % o for o in offsets)
    out += b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (len(bodies) + 1, xref)
    open(path, "wb").write(out)


def write_page(path, width, height, content="", page="/Resources<<>>", objects=(), catalogue="", count=1):
    """A PDF of one page of width x height mm. `page` and `catalogue` are entries for these; `objects` become 5, 6, ...;
    `count` is what the page tree says."""
    box = f"[0 0 {width * K:.4f} {height * K:.4f}]"
    content = content.encode()
    write_pdf(path, [f"<</Type/Catalog/Pages 2 0 R{catalogue}>>", f"<</Type/Pages/Kids[3 0 R]/Count {count}>>",
                     f"<</Type/Page/Parent 2 0 R/MediaBox{box}/TrimBox{box}/Contents 4 0 R {page}>>",
                     b"<</Length %d>>stream\n%s\nendstream" % (len(content), content), *objects])


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


def png(path, width, height):
    """An RGB PNG: one row of colours repeated."""
    rows = b"".join(b"\0" + bytes((x * 7 & 255, y & 255, 90)[c] for x in range(width) for c in range(3)) for y in range(height))
    def chunk(kind, data):
        return struct.pack(">L", len(data)) + kind + data + struct.pack(">L", zlib.crc32(kind + data))
    open(path, "wb").write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">2L5B", width, height, 8, 2, 0, 0, 0)) +
                           chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))


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


def run_case(case, faults):
    """Runs `case` in a new folder that is gone afterwards and prints the faults that it has put down; the exit status."""
    folder = tempfile.mkdtemp(prefix="outside-")
    try:
        case(folder)
    finally:
        shutil.rmtree(folder)
    for fault in faults[:20]:
        print(fault)
    return 1 if faults else 0
