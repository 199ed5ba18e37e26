#!/usr/bin/env python3
"""Sentences for people stand in the tables of src/base/english/, and nowhere else.

    sentences.py SOURCE_DIR

Every row is used and every id in use has a row; a call gives exactly the arguments that its row names; rows
are in the order of their ids, and no id stands twice. Elsewhere in the sources no literal reads as a sentence
(four words or more), but in the tables of their own subjects (TABLES) and, up to the numbers of LEFT, what is
left for the reason that stands there. Constructions that doc/words.md refuses stand in no table.
"""
import glob
import re
import sys

CALLS = ("finding_add", "report_add", "report_remark", "error_set", "header_remark", "layback_differs", "refuse",
         "gate_say", "gate_refuse", "gate_object", "gate_reason", "sentence_words", "reason_say", "sentence_into", "text_say", "sentence_plain")
# Tables that say each thing of their subject once: its sentences are rows there.
TABLES = {
    "src/model/finding.c", "src/model/practice.c", "src/model/feature.c", "src/model/entry.c", "src/cli/commands.c",
    "src/cli/record_commands.c", "src/job/shop.c", "src/job/job_keys.c", "src/job/stock_keys.c", "src/job/stock.h",
    "src/job/surfaces.c", "src/job/features.c", "src/job/artworks.c", "src/job/supply.c", "src/job/supply.h",
    "src/job/hours.c", "src/job/charges.c", "src/job/cutters.c", "src/job/read.c", "src/job/corners.c",
    "src/job/texts.c", "src/job/texts.h", "src/job/pieces.c", "src/job/surfaces.h",
}
REFUSED = re.compile(r"(?<!here )\bis no (?!longer|more)[a-z]|\banew\b|all the same|right would be|(?<!front )\b(is|are) right\b|\bit is told\b"
                     r"|in spite of|behind it\b|on and up\b")
# What stays outside, file by file, and why: these are no words of ours to people.
LEFT = {
    "src/colour/profile_published.c": (1, "the name of a published printing condition"),
    "src/job/yaml.c": (9, "libyaml's words, to find ours by"),
}  # LEFT


def literals(text):
    """(start, end, words) of each run of string literals, comments and characters left out."""
    at, found = 0, []
    piece = re.compile(r'/\*.*?\*/|\'(?:[^\'\\]|\\.)*\'|"(?:[^"\\]|\\.)*"(?:\s*"(?:[^"\\]|\\.)*")*', re.S)
    for match in piece.finditer(text):
        if match[0][0] == '"':
            found.append((match.start(), match.end(), "".join(re.findall(r'"((?:[^"\\]|\\.)*)"', match[0]))))
    return found


def split_call(text, opening):
    """The arguments of the call whose bracket opens at `opening`, and where it ends."""
    depth, start, arguments = 0, opening + 1, []
    at = opening
    while at < len(text):
        c = text[at]
        if c in "\"'":
            end = at + 1
            while text[end] != c:
                end += 2 if text[end] == "\\" else 1
            at = end
        elif text.startswith("/*", at):
            at = text.index("*/", at) + 1
        elif c in "([{":
            depth += 1
        elif c in ")]}":
            depth -= 1
            if not depth:
                arguments.append(text[start:at].strip())
                return arguments, at + 1
        elif c == "," and depth == 1:
            arguments.append(text[start:at].strip())
            start = at + 1
        at += 1
    raise ValueError("a call does not end")


def tables(source, faults):
    rows = {}
    for path in sorted(glob.glob(f"{source}/src/base/english/*.c")):
        text = open(path, encoding="utf-8").read()
        ids = []
        for row in re.findall(r'\{\s*("[a-z0-9-]+"),\s*((?:"(?:[^"\\]|\\.)*"\s*)+)\}', text):
            name = row[0][1:-1]
            if name in rows:
                faults.append(f"{path}: {name} stands twice")
            rows[name] = "".join(re.findall(r'"((?:[^"\\]|\\.)*)"', row[1]))
            ids.append(name)
        if ids != sorted(ids):
            faults.append(f"{path}: rows are not in the order of their ids")
    return rows


def names_in(words):
    return set(re.findall(r"\{([a-z0-9_]+)[}|?]", words.replace("{{", "")))


def judge_calls(path, text, rows, used, faults):
    for match in re.finditer(r"\b(" + "|".join(CALLS) + r")\(", text):
        arguments, _ = split_call(text, match.end() - 1)
        line = text[:match.start()].count("\n") + 1
        given = [a for a in arguments if a == "NULL" or a.startswith("ARGUMENTS(")]
        named = [(i, a) for i, a in enumerate(arguments)
                 if a.startswith('"') or ' ? "' in a and not a.startswith("ARGUMENTS(")]
        if match[1] == "sentence_plain":
            ids, names = re.findall(r'"([a-z0-9-]+)"', arguments[0]), set()
        elif given and named:
            ids = re.findall(r'"([a-z0-9-]+)"', named[-1][1])
            each = split_call(given[-1], given[-1].index("("))[0] if given[-1] != "NULL" else []
            names = {re.match(r'arg_\w+\(\s*"([a-z0-9_]+)"', a)[1] for a in each}
        else:
            continue
        for name in ids:
            if name not in rows:
                faults.append(f"{path}:{line}: no row has the id {name}")
            elif len(ids) == 1 and names_in(rows[name]) != names:
                faults.append(f"{path}:{line}: {name} wants {sorted(names_in(rows[name]))}, given are {sorted(names)}")
    used.update(words for _, _, words in literals(text))


def machine_reads(before, words):
    """Columns and clauses of SQL, attributes, lines of a protocol, an assembler's; what a compiler says."""
    return bool(re.match(r"([a-z0-9_]+, )+([a-z0-9_]+)?$| FROM [a-z_]+ ", words)
                or re.match(r' [a-z-]+=\\"', words) or "\\r\\n" in words
                or re.search(r"(_Static_assert\([^;]*|__asm__\()$", before))


def sentences_elsewhere(path, text):
    count = 0
    for start, _, words in literals(text):
        if machine_reads(text[:start], words):
            continue
        plain = re.sub(r"%[-0-9.*]*[a-z]+|\\n", "", words)
        if " " not in plain or re.search(r"[<>{}]|--|\b(SELECT|INSERT|CREATE|PRAGMA|UPDATE|DELETE)\b|charset=|HttpOnly", plain):
            continue
        count += len(re.findall(r"[A-Za-z]{2,}", plain)) >= 4
    return count


def main(source):
    faults, used = [], set()
    rows = tables(source, faults)
    if len(rows) < 300:
        faults.append("the tables of sentences were not read")
    left = {}
    for path in sorted(glob.glob(f"{source}/src/**/*.[ch]", recursive=True)):
        name = path[len(source) + 1:]
        if name.startswith("src/base/english"):
            continue
        text = open(path, encoding="utf-8").read()
        judge_calls(name, text, rows, used, faults)
        count = sentences_elsewhere(name, text)
        if name not in TABLES and count:
            left[name] = count
    if "--left" in sys.argv:
        print(",\n".join(f'    "{k}": {v}' for k, v in left.items()))
    for name in sorted(set(left) | set(LEFT)):
        count, most = left.get(name, 0), LEFT.get(name, (0, ""))[0]
        if count > most:
            faults.append(f"{name}: {count} sentences outside the tables (src/base/english/), at most {most}")
        elif count < most:
            faults.append(f"{name}: {count} sentences are left; write {count} for {most} in tests/lint/sentences.py")
    for name, words in rows.items():
        if REFUSED.search(words):
            faults.append(f"{name}: \"{REFUSED.search(words)[0]}\" is refused by doc/words.md")
    for name in sorted(TABLES):
        for _, _, words in literals(open(f"{source}/{name}", encoding="utf-8").read()):
            if " " in words and REFUSED.search(words):
                faults.append(f"{name}: \"{REFUSED.search(words)[0]}\" is refused by doc/words.md: {words}")
    for name in sorted(set(rows) - used - {"as-said"}):
        faults.append(f"{name}: a row that nothing says")
    print("\n".join(faults) or "holds")
    return 1 if faults else 0


sys.exit(main(sys.argv[1].rstrip("/")))
