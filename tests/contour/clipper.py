#!/usr/bin/python3
"""Regions and offsets against an independent polygon library: Clipper (python3-pyclipper, BSL-1.0), whose clipping is
Vatti's algorithm on whole numbers. Its offsets are asked for with arcs of a hundredth of our tolerance.

    clipper.py OUTLINES [COUNT [FROM]]
"""
import math
import os
import subprocess
import sys

import pyclipper

SCALE = 10000  # our grid: what is read is exact


def rings_of(lines):
    _, count = next(lines).split()
    rings = []
    for _ in range(int(count)):
        numbers = [round(float(word) * SCALE) for word in next(lines).split()]
        rings.append(list(zip(numbers[::2], numbers[1::2])))
    return rings


def area(rings):
    return sum(pyclipper.Area(ring) for ring in rings) / SCALE ** 2


def combine(one, other, operation, fill=pyclipper.PFT_NONZERO):
    clipper = pyclipper.Pyclipper()
    for rings, kind in ((one, pyclipper.PT_SUBJECT), (other, pyclipper.PT_CLIP)):
        for ring in rings:
            try:
                clipper.AddPath(ring, kind, True)
            except pyclipper.ClipperException:  # encloses nothing
                pass
    return clipper.Execute(operation, fill, fill)


def grown(rings, by, mitre):
    """By Clipper: outlines and holes together, its arcs 100 times finer than ours."""
    offset = pyclipper.PyclipperOffset(4.0, 0.0001 * SCALE)
    for ring in rings:
        offset.AddPath(ring, pyclipper.JT_MITER if mitre else pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    return offset.Execute(by * SCALE)


def reaches_out(one, other, by):
    """Whether `one` has a place further than `by` from `other`. Clipper fails now and then where lines lie on each other
    (it says so): then with a little more."""
    if not one or not other:
        return abs(area(one)) > 0
    for more in (1, 1.03, 1.07, 1.12):
        try:
            return abs(area(combine(one, grown(other, by * more, False), pyclipper.CT_DIFFERENCE))) > 1e-6
        except pyclipper.ClipperException:
            pass
    return True


def differs_by(one, other):
    """How far, in mm, the one reaches out of the other at most, by steps."""
    for step in (0.003, 0.005, 0.01, 0.015, 0.02, 0.03, 0.045):
        if not reaches_out(one, other, step) and not reaches_out(other, one, step):
            return step
    return 9.0


def main(program, count, start):
    faults, deepest, furthest, slowest = [], 0.0, 0.0, 0.0
    mitred = ["mitre"] if os.environ.get("MITRE") else []
    out = subprocess.run([program, str(start), str(count), *mitred], capture_output=True, text=True, check=True).stdout
    lines = iter(out.splitlines())
    for line in lines:
        number, by, seconds = line.split()
        raw, clean, offset = rings_of(lines), rings_of(lines), rings_of(lines)
        theirs = combine(raw, [], pyclipper.CT_UNION, pyclipper.PFT_EVENODD)
        for what, ours, judge in (("clean", clean, theirs), ("offset", offset, grown(theirs, float(by), bool(mitred)))):
            # 0.1 % of the area, or a hundredth of a mm along the edge where there is hardly any area
            length = sum(math.dist(p, q) for ring in judge for p, q in zip(ring, ring[1:] + ring[:1])) / SCALE
            missed, allowed = abs(area(ours) - area(judge)), max(0.001 * area(judge), 0.01 * length) + 0.01
            depth = differs_by(ours, judge)
            deepest = max(deepest, depth)
            furthest = max(furthest, missed / max(area(judge), 1.0))
            if missed > allowed or depth > 0.05:
                faults.append(f"outline {number}, {what}: area {area(ours):.3f} mm2, Clipper {area(judge):.3f}; {depth:.3f} mm apart")
        slowest = max(slowest, float(seconds))
    print("\n".join(faults) or f"{count} outlines: at most {deepest:.3f} mm apart, areas within {100 * furthest:.4f} %, slowest {slowest:.3f} s")
    return 1 if faults or not out else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 20, int(sys.argv[3]) if len(sys.argv) > 3 else 0))
