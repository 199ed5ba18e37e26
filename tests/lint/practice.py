#!/usr/bin/env python3
"""Values that decide stand in one table, src/model/practice.c: each row is asked for somewhere by its name, is in
doc/practice.md with its mark, and no number beside it in the code calls itself a judgement.

    practice.py SOURCE
"""
import pathlib
import re
import sys

top = pathlib.Path(sys.argv[1])
table = top / "src/model/practice.c"
rows = re.findall(r'\{"([a-z0-9-]+)", ([-0-9.]+), "', table.read_text())
code = {path: path.read_text() for path in (top / "src").rglob("*.[ch]") if path != table}
doc = (top / "doc/practice.md").read_text()
code_of_table = set(re.findall(r'practice_value\("([a-z0-9-]+)"', table.read_text()))
asked = code_of_table | set(re.findall(r'"([a-z0-9-]+)"', "\n".join(code.values())))
asked |= {prefix + end for prefix in re.findall(r'"([a-z0-9-]+-)%s', "\n".join(code.values())) for end in ("low", "high")}
faults = [f"practice.c: {name} is asked for nowhere" for name, _ in rows if name not in asked]
faults += [f"practice.c: {name} stands twice" for name in {n for n, _ in rows} if [n for n, _ in rows].count(name) > 1]
faults += [f"doc/practice.md: no row {name} with {value}" for name, value in rows if f"| {name} | {value} |" not in doc]
judged = re.compile(r"=\s*-?[0-9][0-9.]*.*(our|own) (own )?judgement|(our|own) (own )?judgement[^\n]*\*/\n[^\n]*=\s*-?[0-9.]+[^\n]*;", re.I)
for path, text in code.items():
    faults += [f"{path.relative_to(top)}: a judgement outside of practice.c: {hit.group(0).strip()[:90]}" for hit in judged.finditer(text)]
if not rows:
    faults.append("practice.c: no rows found")
print("\n".join(faults) or f"{len(rows)} values, each asked for by name")
sys.exit(bool(faults))
