#!/usr/bin/env python3
"""Jobs of up to 12 panels: is the length that bench-rolls proves the least there is? A SAT solver is asked: it must find
a layout of that length, and show that there is none one unit shorter.

    proofs.py BENCH_ROLLS JOBS SEED --seconds S | --tries N

The formula is that of Soh, Inoue, Tamura, Banbara and Nabeshima, Fundamenta Informaticae 102 (2010) 467-487 (from memory,
unchecked): a variable for each place "begins at e or before", and for each two panels four of which one holds: left of,
right of, before, behind. Status 77 without minisat, 1 when the two differ or nothing was proven; how many were is printed."""
import random
import shutil
import subprocess
import sys
import tempfile


def job(dice):
    """Panels as a planner makes them, in units of 20 mm on a roll of 1,360 mm: strips as wide as a roll, the rest
    narrower, label strips and small pieces."""
    width, panels = 68, []
    for _ in range(dice.randint(4, 12)):
        kind = dice.random()
        if kind < 0.4:
            panels.append((dice.randint(45, 68), dice.randint(20, 130)))
        elif kind < 0.8:
            panels.append((dice.randint(10, 45), dice.randint(10, 100)))
        else:
            panels.append((dice.randint(3, 15), dice.randint(3, 30)))
    return width, panels


class Formula:
    def __init__(self):
        self.count, self.clauses = 0, []

    def new(self):
        self.count += 1
        return self.count

    def add(self, *literals):
        self.clauses.append(literals)

    def satisfied(self):
        with tempfile.NamedTemporaryFile("w", suffix=".cnf") as file:
            file.write(f"p cnf {self.count} {len(self.clauses)}\n")
            file.writelines(" ".join(map(str, clause)) + " 0\n" for clause in self.clauses)
            file.flush()
            return subprocess.run(["minisat", "-verb=0", file.name, "/dev/null"], capture_output=True).returncode == 10


def begins(formula, most):
    """Variables 0..most: begins at e or before; the last one is true, before the first none is."""
    names = [formula.new() for _ in range(most + 1)]
    for a, b in zip(names, names[1:]):
        formula.add(-a, b)
    formula.add(names[-1])
    return names


def comes_first(formula, if_true, first, second, side):
    """If `if_true`, what has that side and begins by `first` ends before the other begins, by `second`."""
    for e in range(len(second)):
        # the second begins at e or before -> the first begins at e - side or before
        if e < side:
            formula.add(-if_true, -second[e])
        elif e - side < len(first):
            formula.add(-if_true, -second[e], first[e - side])


def fits(width, panels, length):
    formula = Formula()
    if any(h > length or w > width for w, h in panels):
        return False
    across = [begins(formula, width - w) for w, _ in panels]
    along = [begins(formula, length - h) for _, h in panels]
    for i in range(len(panels)):
        for k in range(i):
            choices = []
            for places, side in ((across, 0), (along, 1)):
                for a, b in ((i, k), (k, i)):
                    if panels[a][side] + panels[b][side] > (width, length)[side]:
                        continue
                    choices.append(formula.new())
                    comes_first(formula, choices[-1], places[a], places[b], panels[a][side])
            formula.add(*choices)
    return formula.satisfied()


def ours(program, width, panels, effort):
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as file:
        file.write(f"{len(panels)}\n{width}\n")
        file.writelines(f"{i + 1} {w} {h}\n" for i, (w, h) in enumerate(panels))
        file.flush()
        words = subprocess.run([program, file.name, *effort], capture_output=True, text=True, check=True).stdout.split()
    return int(words[2]), words[3] == "proven"


def main(program, jobs, seed, *effort):
    if not shutil.which("minisat"):
        print("minisat is not installed")
        return 77
    dice, proven, differ = random.Random(int(seed)), 0, 0
    for n in range(int(jobs)):
        width, panels = job(dice)
        length, best = ours(program, width, panels, effort)
        proven += best
        if not best:
            print(f"job {n}: {len(panels)} panels, {length}, not proven")
        elif not fits(width, panels, length) or fits(width, panels, length - 1):
            print(f"job {n}: {width} wide, {panels}: {length} is not the least")
            differ += 1
    print(f"{proven} of {jobs} proven, {differ} of them wrong")
    return 1 if differ or not proven else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
