"""Cut lines of one print as three other programs read them: the PDF by poppler (pdftocairo), the SVG by librsvg
(rsvg-convert), the DXF by ezdxf. Each line of one lies within 0.02 mm of the same line of the others.

    cut_readers.py PDF SVG DXF HEIGHT_MM [CIRCLES]

Prints how many lines and marks were compared, and the largest distance in mm.
"""
import math
import re
import subprocess
import sys

import ezdxf

MM = 25.4 / 72
MOST = 0.02


def numbers(text):
    return [float(n) for n in re.findall(r"-?\d*\.?\d+(?:e-?\d+)?", text)]


def cairo_lines(svg, words):
    """Stroked polylines whose tags hold the words, in what cairo writes: in their own units, and the matrix to its
    page."""
    lines = []
    for tag in re.findall(r"<path\b[^>]*>", svg):
        if not all(word in tag for word in words):
            continue
        matrix = numbers(re.search(r"matrix\(([^)]*)\)", tag)[1])
        for part in re.findall(r"M[^M]*", re.search(r'\bd="([^"]*)"', tag)[1]):
            values = numbers(re.sub(r"[A-Za-z]", " ", part))
            points = [tuple(values[i:i + 2]) for i in range(0, len(values), 2)]
            if len(points) > 1:
                lines.append((points + points[:1] if "Z" in part and points[0] != points[-1] else points, matrix))
    return lines


def poppler(path):
    """The page's own units, y up; the lines have round joins and 0.1 mm. (Cairo's page is rounded to whole points, and
    its matrix with it.)"""
    svg = subprocess.run(["pdftocairo", "-svg", path, "-"], check=True, capture_output=True, text=True).stdout
    found = cairo_lines(svg, ["stroke-width:0.28", "stroke-linejoin:round"])
    return [[(x * MM, y * MM) for x, y in points] for points, _ in found]


def librsvg(path, height):
    """Pixels of 1/96 inch, y down."""
    out = subprocess.run(["rsvg-convert", "-f", "svg", path], check=True, capture_output=True, text=True).stdout
    found = cairo_lines(out, ["stroke:rgb(100%,0%,100%)"])
    return [[((a * x + c * y + e) * 25.4 / 96, height - (b * x + d * y + f) * 25.4 / 96) for x, y in points]
            for points, (a, b, c, d, e, f) in found]


def dxf(path):
    doc = ezdxf.readfile(path)
    assert doc.dxfversion == "AC1009", doc.dxfversion
    assert not doc.audit().errors
    lines, circles, check = [], [], None
    for entity in doc.modelspace():
        if entity.dxftype() == "POLYLINE" and entity.dxf.layer == "KISS_CUT":
            points = [(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices]
            lines.append(points + points[:1] if entity.is_closed else points)
        elif entity.dxftype() == "CIRCLE" and entity.dxf.layer == "REGISTER_MARKS":
            circles.append((entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius))
        elif entity.dxftype() == "LINE" and entity.dxf.layer == "CHECK_LINE_100_MM":
            check = math.dist(entity.dxf.start, entity.dxf.end)
    assert abs(check - 100) < 1e-6, check
    return lines, circles


def same(one, other):
    """Largest distance of points that belong together."""
    assert len(one) == len(other), (len(one), len(other))
    worst = 0
    for a, b in zip(one, other):
        assert len(a) == len(b), (len(a), len(b))
        worst = max([worst] + [math.dist(p, q) for p, q in zip(a, b)])
    return worst


def main():
    pdf, svg, file, height = sys.argv[1], sys.argv[2], sys.argv[3], float(sys.argv[4])
    lines, circles = dxf(file)
    worst = max(same(lines, poppler(pdf)), same(lines, librsvg(svg, height)))
    assert worst <= MOST, worst
    print(len(lines), len(circles), f"{worst:.4f}")
    for x, y, radius in circles:
        print(f"{x:.4f} {y:.4f} {radius:.4f}")


if __name__ == "__main__":
    main()
