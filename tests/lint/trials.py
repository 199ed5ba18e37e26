#!/usr/bin/env python3
"""A field of an entry is described once, in the table of src/model/entry.c: a new one is a row there, a member of struct
fact, and its words in doc/record.md, and the record file, exports, options, forms and lists have it. So a field's name stands
in at most four source files, the table's two among them. lint-kinds holds the same of kinds of features.

    trials.py SOURCE_DIR

Counted too: the files that name a command, a format of panel files, and a view of the page (GROUPS): such a number may only
fall.

Of a field are counted the uses of a member of struct fact, names in SQL, and names in the page's forms and scripts. OWN has the fields
that a rule or a form of their own needs in more files, in how many, and why: such a number may only fall."""
import re
import subprocess
import sys

TABLE, STRUCT = "src/model/entry.c", "src/model/pub/model/record.h"
# The first form of the record file, as it once was and stays.
FROZEN = {"src/record/schema.c"}
# What makes an entry an entry: every part of the program may ask for it.
ENTRY = {"number", "key", "kind", "at", "recorded", "job", "panel", "who", "words"}
MOST = 4
OWN = {
    "device": (5, "the command line signs with its own; two views end with it"),
    "planned_mm": (7, "length marks: settled from the plan, judged, and folded into a panel's state"),
    "measured_mm": (7, "length marks"),
    "roll": (10, "chosen from the stock, checked against its width, counted as used; chosen again for a reprint"),
    "batch": (7, "taken from the roll, or from that of an off-cut; a column of the stock's form; a reprint is compared with it"),
    "artwork": (5, "what was printed: settled, compared when planning, and for a reprint"),
    "override": (8, "the reason that opens a gate: asked for by a form of its own"),
    "gate": (5, "what the gate said, beside the reason"),
    "photo": (8, "a picture, not words: kept, named by its digest, shown"),
    "what": (5, "of a roll and of what was used: checked, and added up"),
    "of": (6, "a roll's name in the shop, checked against the shop file; added up after the job"),
    "width_mm": (5, "of a roll"),
    "length_mm": (5, "of a roll, less what was used"),
    "withdraws": (8, "links two entries; forms of their own; the record writes and reads in two files"),
    "quantity": (5, "bought-in prints: with a rule and fields of their own"),
    "faulty": (5, "bought-in prints"),
    "letters": (5, "checked against the proofs made; read for planning; signed and approved in the page"),
    "cut_from": (5, "an off-cut takes film and batch from its roll, and its length off it"),
    "printed_with": (6, "feed: looked up for later prints; a reprint is compared with it"),
    "feed_percent": (7, "feed; a reprint keeps it"),
}
GROUPS = {
    "a command": (r"\bCOMMAND_CLOCK\b", 3),
    "a panel format": (r"\b(?:PANEL_PDF|PANEL_TIFF|PANEL_PDF_TENTH)\b", 3),
    "a view": (r"['\"]/(?:api/)?stock['\"]|\bstock\.js\b|\b(?:view|do)_stock\b", 4),
}
ACCESS = r"\b(?:f|fact|facts|kept|sent|dated|print|laminate)(?:\[[^\]]*\])?(?:->|\.)"
STRING = re.compile(r'"(?:[^"\\\n]|\\.)*"')


def fields(table):
    return re.findall(r'^    \{"([a-z_]+)", FACT_FORM_\w+,\s+\w+,\s+FORM_\d+,\s+IN_FACT\((\w+)\)', table, re.M)


def part_to_read(path, text):
    """What of a file can use a field: C that knows entries, and SQL of the record; the page as it is."""
    if not path.endswith((".c", ".h")):
        return text
    sql = "\n".join(STRING.findall(text)) if path.startswith("src/record/") else ""
    return (text if re.search(r"\bstruct fact\b", text) else "") + "\n" + sql


def uses(path, text, name, member):
    if not path.endswith((".c", ".h")):
        return re.search(rf"\bfact\.{name}\b|\bname=\"{name}\"|\bname: '{name}'", text)
    in_sql = path.startswith("src/record/") and "_" in name and re.search(rf'"[^"\n]*\b{name}\b', text)
    return in_sql or re.search(ACCESS + member + r"\b", text)


def judge(name, member, texts):
    found = sorted(path for path, text in texts.items() if uses(path, text, name, member))
    most = OWN[name][0] if name in OWN else MOST
    print(f"{name}: {2 + len(found)} source files")
    if 2 + len(found) > most:
        return [f"{name}: {2 + len(found)} source files, at most {most}: {', '.join([TABLE, STRUCT, *found])}; "
                "the table of fields describes it"]
    if name in OWN and 2 + len(found) < most:
        return [f"{name}: {2 + len(found)} source files; OWN says {most}: lower it"]
    return []


def judge_group(what, pattern, most, texts):
    found = sorted(path for path, text in texts.items() if re.search(pattern, text))
    print(f"{what}: {len(found)} source files")
    if len(found) == most:
        return []
    return [f"{what}: {len(found)} source files, GROUPS says {most}: {', '.join(found)}"]


def main(top):
    listing = subprocess.run(["git", "-C", top, "ls-files", "src"], capture_output=True, text=True)
    if listing.returncode:
        print("not a checkout: nothing to look at")
        return 77
    paths = [p for p in listing.stdout.split() if p.endswith((".c", ".h", ".js", ".html", ".build"))]
    whole = {path: open(f"{top}/{path}", encoding="utf-8").read() for path in paths}
    texts = {path: part_to_read(path, text) for path, text in whole.items()}
    rows = fields(texts.pop(TABLE))
    for path in FROZEN | {STRUCT}:
        texts.pop(path)
    faults = [] if len(rows) > 30 else [f"{TABLE}: the table was not read, {len(rows)} fields"]
    faults += [f"{name}: OWN names no field" for name in {*OWN, *ENTRY} - {name for name, _ in rows}]
    for name, member in rows:
        if name not in ENTRY:
            faults += judge(name, member, texts)
    for what, (pattern, most) in GROUPS.items():
        faults += judge_group(what, pattern, most, whole)
    print("\n".join(faults) or "holds")
    return 1 if faults else 0


sys.exit(main(sys.argv[1].rstrip("/")))
