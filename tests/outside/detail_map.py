"""What the picture shows where a seam may stand: the map that the program made of the artwork, read from its cache.

The map is the second planner's measurement, as lettering is: how it is made of colours is tested elsewhere (scan-maps).
Cells are 1 mm across a seam and 10 mm along it, in 1/100 CIELAB units per mm; what crosses the seam counts double
(doc/seams.md, Detail).
"""
import struct

import numpy as np

# The header of a map file: magic, fingerprint; ink: box, columns, rows, 4 pointers; two detail maps: box, columns, rows,
# 2 pointers each; preview: box, width, height, pointer; check. Then the arrays.
HEADER = struct.Struct("<8sQ 4dQQ4Q 4dQQ2Q 4dQQ2Q 4diiQ Q")


class Detail:
    """Seen along the film: u across it by whole millimetres, v along it."""

    def __init__(self, path, upright, across_mm, along_mm, openings):
        box, cells = read_map(path, upright)
        self.u0, self.v0 = (box[0], box[1]) if upright else (box[1], box[0])
        u1, v1 = (box[2], box[3]) if upright else (box[3], box[2])
        self.cells = cells  # [u][v]
        self.cell_u, self.cell_v = (u1 - self.u0) / cells.shape[0], (v1 - self.v0) / cells.shape[1]
        self.along, self.openings = along_mm, openings
        self.running = np.hstack([np.zeros((cells.shape[0], 1)), np.cumsum(cells, axis=1)])
        sums = [self.millimetre(i, []) for i in range(across_mm)]
        self.sums = np.vstack([np.zeros((1, 2)), np.cumsum(np.array(sums), axis=0)])

    def up_to(self, row, v):
        """Of the row's cells below v."""
        at = min(max((v - self.v0) / self.cell_v, 0), self.cells.shape[1])
        whole = int(at)
        part = (at - whole) * self.cells[row, whole] if whole < self.cells.shape[1] else 0
        return self.running[row, whole] + part, at

    def millimetre(self, i, gaps):
        """Detail and length over what is seen of that millimetre of u, but for the gaps."""
        row = int((i + 0.5 - self.u0) / self.cell_u)
        parts = [(0, self.along)]
        for box in self.openings:
            if box[0] < i + 0.5 < box[2]:
                parts = cut(parts, box[1], box[3])
        for a, b in gaps:
            parts = cut(parts, a, b)
        total = length = 0
        for a, b in parts:
            (high, to), (low, start) = self.up_to(row, b), self.up_to(row, a)
            total, length = total + high - low, length + to - start
        return total, length

    def band(self, low, high, gaps):
        """Mean from `low` to `high` of u."""
        low, high = max(low, 0), min(high, len(self.sums) - 1)
        if low >= high:
            return 0
        detail, length = np.sum([self.millimetre(i, gaps) for i in range(low, high)], axis=0) if gaps else self.sums[high] - self.sums[low]
        return detail / length if length > 0 else 0

    def strokes(self, box, most):
        """For each millimetre from the box's left on whether the artwork shows more than that in the line's height."""
        first, last = int(np.floor(box[0])), int(np.ceil(box[2]))
        low, high = (int(np.clip(np.floor((v - self.v0) / self.cell_v), 0, self.cells.shape[1])) for v in (box[1], box[3] + self.cell_v))
        rows = [int((u + 0.5 - self.u0) / self.cell_u) for u in range(first, last)]
        return first, np.array([r < self.cells.shape[0] and bool((self.cells[r, low:high] > most).any()) for r in rows])


def cut(parts, low, high):
    return [q for a, b in parts for q in ((a, min(b, low)), (max(a, high), b)) if q[1] > q[0]]


def read_map(path, upright):
    data = open(path, "rb").read()
    f = HEADER.unpack_from(data)
    ink, at = f[6] * f[7], HEADER.size
    sizes = [(f[12:16], f[16], f[17]), (f[20:24], f[24], f[25])]
    at += 4 * ink * 2
    if not upright:
        at += 2 * sizes[0][1] * sizes[0][2] * 2
    box, columns, rows = sizes[0 if upright else 1]
    across = np.frombuffer(data, "<u2", columns * rows, at).reshape(rows, columns).astype(float)
    along = np.frombuffer(data, "<u2", columns * rows, at + columns * rows * 2).reshape(rows, columns).astype(float)
    cells = (2 * across + along) / 300
    return box, cells.T if upright else cells
