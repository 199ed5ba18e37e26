#!/usr/bin/python3
"""Draws the artwork of bench/vector.py: a PDF at 1:10 of a side of 12 x 2.5 m with 50 mm of bleed: gradients, some thousand
paths, lettering, transparency, and one embedded picture.

    bench/vector_artwork.py FILE.pdf [WIDTH_PX HEIGHT_PX]

Nothing in it comes from outside, and the same call gives the same bytes.
"""
import math
import random
import sys
import zlib

POINT = 72 / 25.4
BLEED = 5.01 * POINT  # at 1:10, and a hair more
WIDTH, HEIGHT = 1200 * POINT + 2 * BLEED, 250 * POINT + 2 * BLEED


def picture(width, height):
    """Rows of an RGB picture, waves with grain over them, each a third as large as with nothing packed."""
    rng = random.Random(7)
    grain = [bytes((b & 3) for b in rng.randbytes(width * 3)) for _ in range(61)]
    packer, packed = zlib.compressobj(6), []
    for y in range(height):
        slow = bytes((128 + int(90 * math.sin((x + 3 * y) / 400) * math.cos(y / 300))) & 255 for x in range(0, width, 64))
        row = bytearray(width * 3)
        for c in range(3):
            row[c::3] = b"".join(bytes((v,)) * 64 for v in slow)[:width] if c != y % 3 else bytes(width)
        mixed = int.from_bytes(row, "big") ^ int.from_bytes(grain[y % 61], "big")
        packed.append(packer.compress(b"\0" + mixed.to_bytes(width * 3, "big")))
    packed.append(packer.flush())
    return b"".join(packed)


def paths(rng, count):
    """Filled and stroked curves in CMYK, some of them half transparent."""
    out = []
    for i in range(count):
        x, y, r = rng.uniform(0, WIDTH), rng.uniform(0, HEIGHT), rng.uniform(4, 60)
        out.append("/T gs" if i % 7 == 0 else "/N gs")
        out.append(" ".join(f"{rng.random():.3f}" for _ in range(3)) + f" 0 {'k' if i % 3 else 'K'}")
        out.append(f"{x + r:.3f} {y:.3f} m")
        for step in range(1, 9):
            a, b = (step - 0.6) * math.pi / 4, step * math.pi / 4
            q = r * (1 + 0.4 * math.sin(3 * b))
            out.append(f"{x + 1.1 * r * math.cos(a):.3f} {y + 1.1 * r * math.sin(a):.3f} "
                       f"{x + q * math.cos(a + 0.3):.3f} {y + q * math.sin(a + 0.3):.3f} {x + q * math.cos(b):.3f} {y + q * math.sin(b):.3f} c")
        out.append("f" if i % 3 else f"{rng.uniform(0.2, 3):.2f} w S")
    return out


def content():
    rng = random.Random(11)
    out = ["/Sky sh", f"q {WIDTH * 0.4:.3f} 0 0 {HEIGHT * 0.8:.3f} {WIDTH * 0.3:.3f} 30 cm /Photo Do Q"]
    out += paths(rng, 4000)
    out += ["q /T gs", f"1 0 0 1 {WIDTH * 0.8:.2f} {HEIGHT / 2:.2f} cm /Sun sh Q", "/N gs BT /F 190 Tf 0 0 0 1 k 260 300 Td (Harbour Bakery) Tj ET"]
    for line in range(40):
        out.append(f"BT /F 12 Tf 1 0.6 0 0.1 k {100 + 700 * (line % 4)} {60 + 14 * (line // 4)} Td "
                   "(fresh every morning, on wheels, from six o'clock) Tj ET")
    return zlib.compress("\n".join(out).encode("ascii"), 6)


def stream(entries, data):
    return f"<< {entries} /Length {len(data)} >>\nstream\n".encode("ascii") + data + b"\nendstream"


def objects(width, height):
    fade = "<< /FunctionType 2 /Domain [0 1] /N 1.3 /C0 [0.9 0.3 0 0] /C1 [0 0.1 0.4 0] >>"
    trim = [BLEED, BLEED, WIDTH - BLEED, HEIGHT - BLEED]
    return [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        (f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {WIDTH:.4f} {HEIGHT:.4f}] /BleedBox [0 0 {WIDTH:.4f} {HEIGHT:.4f}] "
         f"/TrimBox [{' '.join(f'{v:.4f}' for v in trim)}] "
         "/Contents 4 0 R /Group << /S /Transparency /CS /DeviceCMYK >> /Resources << /XObject << /Photo 5 0 R >> /Font << /F 6 0 R >> "
         "/ExtGState << /T << /ca 0.5 /CA 0.5 >> /N << /ca 1 /CA 1 >> >> "
         f"/Shading << /Sky << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [0 0 {WIDTH:.2f} {HEIGHT:.2f}] /Function {fade} /Extend [true true] >> "
         f"/Sun << /ShadingType 3 /ColorSpace /DeviceCMYK /Coords [0 0 0 0 0 220] /Function {fade} >> >> >> >>").encode("ascii"),
        stream("/Filter /FlateDecode", content()),
        stream(f"/Type /XObject /Subtype /Image /Width {width} /Height {height} /BitsPerComponent 8 /ColorSpace /DeviceRGB "
               f"/Filter /FlateDecode /DecodeParms << /Predictor 15 /Colors 3 /BitsPerComponent 8 /Columns {width} >>", picture(width, height)),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica-Bold >>",
    ]


def main():
    width, height = map(int, sys.argv[2:4]) if len(sys.argv) > 3 else (6300, 3200)
    with open(sys.argv[1], "wb") as out:
        out.write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        places = []
        for number, body in enumerate(objects(width, height), 1):
            places.append(out.tell())
            out.write(b"%d 0 obj\n" % number + body + b"\nendobj\n")
        table = out.tell()
        out.write(b"xref\n0 %d\n0000000000 65535 f \n" % (len(places) + 1))
        out.write(b"".join(b"%010d 00000 n \n" % place for place in places))
        out.write(b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (len(places) + 1, table))


if __name__ == "__main__":
    main()
