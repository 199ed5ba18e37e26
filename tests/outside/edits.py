#!/usr/bin/python3
"""Changing job files without rewriting them, judged by another YAML reader (python3-yaml).

    edits.py EDIT_TOOL made|demo|quote

Many YAML texts in many ways of writing, and one change each: read by the judge, the result must be the tree with that
one change, and every line outside what was changed must be there byte for byte. Where things begin and end is the
judge's word too. Exit status 1 with one line a fault, 77 without the judge.
"""
import copy
import glob
import os
import random
import subprocess
import sys
import tempfile

from share import some

try:
    import yaml
except ImportError:
    print("python3-yaml is not installed")
    sys.exit(77)

TOOL, CASE = os.path.abspath(sys.argv[1]), sys.argv[2]
SOURCE = os.environ["LAPSTRAKE_SOURCE"]
VALUES = ["12 mm", "[1310, 2690]", "{kind: handle, box: [1, 2, 3, 4]}", "\"a: b # c\"", "'it''s'", "a, b", "x", "[]", "{}",
          "5 %", "2027-03-01T08:00", "near side", "-5 cm", "[{a: 1}, [2, 3]]"]
faults, refused = [], []


def load(text):
    """Every scalar as the words that stand there: what a number is, is the job room's business."""
    return yaml.load(text, Loader=yaml.BaseLoader)


# ---- job files in many ways of writing ----

class Writer:
    def __init__(self, rng):
        self.rng = rng

    def words(self):
        r = self.rng
        return r.choice(["12 mm", "left", "1350", "a long text", "0.5 in", "größer", "5 %", "2027-03-01T08:00", "art/left.pdf", "-3"])

    def tree(self, depth):
        r = self.rng
        kind = r.random()
        if depth == 0 or kind < 0.45:
            return self.words()
        if kind < 0.75:
            keys = r.sample(["kind", "box", "print", "overlap", "a", "keep-whole", "zu", "ünits", "at"], r.randrange(0, 5))
            return {k: self.tree(depth - 1) for k in keys}
        return [self.tree(depth - 1) for _ in range(r.randrange(0, 4))]

    def comment(self, chance):
        return self.rng.choice(["  # why: it, is {so}", " # é", "   # - old: [1"]) if self.rng.random() < chance else ""

    def scalar(self, words, flow):
        style = self.rng.random()
        if style < 0.2:
            return '"' + words + '"'
        if style < 0.35:
            return "'" + words + "'"
        return words

    def key(self, words):
        return self.rng.choice(['"%s"', "'%s'"]) % words if self.rng.random() < 0.15 else words

    def flow(self, tree, many):
        r = self.rng
        gap = lambda: r.choice(["", " ", " "])
        comma = lambda: "," + (self.comment(0.3) + "\n" + " " * 30 if many and r.random() < 0.4 else " ")
        if isinstance(tree, dict):
            inner = [f"{self.key(k)}: {self.flow(v, many)}" for k, v in tree.items()]
        elif isinstance(tree, list):
            inner = [self.flow(v, many) for v in tree]
        else:
            return self.scalar(tree, True)
        text = inner[0] if inner else ""
        for part in inner[1:]:
            text += gap() + comma() + part
        if inner and r.random() < 0.1:
            text += ","
        return ("{%s%s%s}" if isinstance(tree, dict) else "[%s%s%s]") % (gap(), text, gap())

    def block(self, tree, indent, inside):
        """Lines of a value behind its `key:` or `-`; the first goes on that line."""
        r = self.rng
        if not tree and isinstance(tree, (dict, list)) or r.random() < 0.3:
            return [" " + self.flow(tree, True) + self.comment(0.2)]
        if isinstance(tree, str):
            if r.random() < 0.08:
                return [" |" + self.comment(0.2), " " * (indent + 3) + tree, "", " " * (indent + 3) + "second line"]
            if r.random() < 0.06:
                return [self.comment(0.3), " " * (indent + 2) + tree]
            return [" " + self.scalar(tree, False) + self.comment(0.2)]
        lines = self.lines(tree, indent + (0 if isinstance(tree, list) and inside == "group" and r.random() < 0.3 else r.choice([1, 2, 4])))
        if inside == "list" and r.random() < 0.85:  # beside the dash
            first = lines[0].lstrip(" ")
            shift = indent + 2
            whole = self.lines(tree, shift)
            return [" " + whole[0][shift:]] + whole[1:] if whole[0].strip() and whole[0].lstrip()[0] != "#" else [""] + lines
        return [self.comment(0.2)] + lines

    def lines(self, tree, indent):
        out = []
        for key in tree:
            pad = " " * indent
            value = tree[key] if isinstance(tree, dict) else key
            head = pad + (self.key(key) + ":" if isinstance(tree, dict) else "-")
            body = self.block(value, indent, "group" if isinstance(tree, dict) else "list")
            out.append(head + body[0])
            out += body[1:]
            if self.rng.random() < 0.1:
                out.append(self.rng.choice(["", pad + "# said once", "# at the side", "      # far in"]))
        return out


def surfaces(w):
    r = w.rng
    names = r.sample(["left", "right", "near side", "roof", "2"], r.randrange(1, 4))
    return [{"name": n, **{k: w.tree(2) for k in r.sample(["seams", "features", "size", "front"], r.randrange(0, 4))}} for n in names]


def made(seed):
    rng = random.Random(seed)
    w = Writer(rng)
    tree = {k: w.tree(3) for k in rng.sample(["job", "title", "print", "due", "artwork", "indoors"], rng.randrange(1, 5))}
    if rng.random() < 0.8:
        tree["surfaces"] = surfaces(w)
    lines = ["# a job"] * (rng.random() < 0.4) + ["---"] * (rng.random() < 0.1) + w.lines(tree, 0)
    text = "\n".join(lines) + ("\n" if rng.random() < 0.8 else "")
    if rng.random() < 0.25:
        text = text.replace("\n", "\r\n")
    if rng.random() < 0.1:
        text = "\ufeff" + text
    return text, rng


# ---- one change, in the judge's tree ----

def places(tree, path=()):
    """Every path of a tree with its value."""
    yield path, tree
    entries = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for key, value in entries:
        yield from places(value, path + (key,))


def inside(tree, path):
    for key in path:
        tree = tree[key]
    return tree


def node_at(node, path):
    """The judge's node, and that of its key."""
    key_node = node
    for key in path:
        if isinstance(node, yaml.MappingNode):
            key_node, node = next(pair for pair in node.value if pair[0].value == key)
        else:
            node = key_node = node.value[key]
    return key_node, node


def first_line(text, root, path):
    """The line of an entry's key or dash."""
    key_node, node = node_at(root, path)
    outer, line = node_at(root, path[:-1])[1], key_node.start_mark.line
    if isinstance(outer, yaml.SequenceNode) and not outer.flow_style:
        lines, dash = text.lstrip("\ufeff").splitlines(), " " * outer.start_mark.column + "-"
        while line > outer.start_mark.line and not lines[line].startswith(dash):
            line -= 1
    return line


def last_line(node):
    """The line a node ends in; a block's last entry is its end, whatever comments follow."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        return last_line(last[1] if isinstance(last, tuple) else last)
    if node.end_mark.column == 0 and node.end_mark.line > node.start_mark.line:
        return node.end_mark.line - 1
    return node.end_mark.line


def spoken(tree, path, rng):
    """The path as people write it: surfaces by name or number."""
    words = [str(p) for p in path]
    if len(path) > 1 and path[0] == "surfaces" and isinstance(inside(tree, path[:2]), dict):
        names = [s.get("name") for s in tree["surfaces"] if isinstance(s, dict)]
        if rng.random() < 0.6 or words[1] in names:  # a name goes before a number
            words[1] = inside(tree, path[:2]).get("name", words[1])
    return ".".join(words)


def in_brackets(root, path):
    return any(isinstance(n, yaml.CollectionNode) and n.flow_style for n in [node_at(root, path[:i])[1] for i in range(len(path))])


def choose_change(text, rng):
    """Path as spoken, value, the tree afterwards, and the lines (first, last) of the text that may change."""
    tree, root = load(text), yaml.compose(text)
    path, value = rng.choice([p for p in places(tree) if p[0]])
    node = node_at(root, path)[1]
    outer = inside(tree, path[:-1])
    first, last = first_line(text, root, path), last_line(node)
    after = copy.deepcopy(tree)
    kind = rng.random()
    if kind < 0.4:  # another value
        new = rng.choice(VALUES)
        inside(after, path[:-1])[path[-1]] = load(new) if not new == "a, b" else new
        return spoken(tree, path, rng), new, after, (first, last)
    if kind < 0.65:  # take out
        del inside(after, path[:-1])[path[-1]]
        if in_brackets(root, path) or len(outer) == 1:
            first, last = first_line(text, root, path[:-1]) if path[1:] else 0, last_line(node_at(root, path[:-1])[1])
        return spoken(tree, path, rng), "", after, (first, last)
    new = rng.choice(VALUES)
    read = load(new) if new != "a, b" else new
    if isinstance(value, list) and path != ("surfaces",):
        inside(after, path).append(read)
        return spoken(tree, path, rng) + ".+", new, after, (last if value else first, last)
    target, where = (value, path) if isinstance(value, dict) else (tree, ())
    if target is tree:
        last, first = last_line(root), last_line(root)
    deep = rng.choice([["new"], ["new", "inner"], ["new", "+"], ["new", "inner", "+"]])
    made = read
    for part in reversed(deep[1:]):
        made = [made] if part == "+" else {part: made}
    inside(after, where)["new"] = made
    spoken_path = (spoken(tree, where, rng) + "." if where else "") + ".".join(deep)
    return spoken_path, new, after, (last if target else first, last)


def check(text, rng, name, folder):
    file = f"{folder}/job.yaml"
    data = text.encode()
    open(file, "wb").write(data)
    path, value, after, (first, last) = choose_change(text, rng)
    done = subprocess.run([TOOL, "change", file, path, value], capture_output=True)
    said = f"{name}: {path} = {value!r}"
    if done.returncode:
        refused.append(f"{said}: refused: {done.stderr.decode()}")
        # Text over lines takes in what comes behind it: a line break put at the file's end, or a comment far to the right
        # whose line before is taken out. Such a change may be refused, no other.
        return None if " |" in text else refused[-1]
    try:
        got = load(done.stdout.decode())
    except yaml.YAMLError as error:
        return f"{said}: not readable: {error}"
    if got != after and not (got in (None, "") and not after):
        return f"{said}: reads as {got}, should be {after}"
    mark = b"\xef\xbb\xbf"
    if data.startswith(mark) != done.stdout.startswith(mark):
        return f"{said}: the byte order mark"
    lines, new = data.removeprefix(mark).splitlines(True), done.stdout.removeprefix(mark).splitlines(True)
    before, behind = lines[:first], lines[last + 1:]
    if new[:len(before)] != before:
        return f"{said}: a line above was changed"
    if behind and new[-len(behind):] != behind:
        return f"{said}: a line below was changed"
    return None


def run_cases(count):
    seeds = some(range(count))
    with tempfile.TemporaryDirectory() as folder:
        for seed in seeds:
            text, rng = made(seed)
            try:
                load(text)
            except yaml.YAMLError:
                faults.append(f"seed {seed}: the maker wrote what the judge cannot read:\n{text}")
                continue
            fault = check(text, rng, f"seed {seed}", folder)
            if fault:
                faults.append(fault)
    if len(refused) > 1 + len(seeds) / 500:
        faults.extend(refused)


def run_demo():
    files = sorted(glob.glob(f"{SOURCE}/demo/**/job.yaml", recursive=True))
    if not files:
        faults.append("no job files in demo/")
    with tempfile.TemporaryDirectory() as folder:
        for file in files:
            text = open(file, encoding="utf-8", newline="").read()
            for seed in some(range(80)):
                fault = check(text, random.Random(seed), f"{os.path.relpath(file, SOURCE)} seed {seed}", folder)
                if fault:
                    faults.append(fault)


def run_quote():
    """YAML 1.2, 5.7: every character can be written; here every one of Unicode's planes 0 to 2, and awkward words."""
    words = ["null", "Yes", "off", "~", "", " x", "x ", "- a", "a: b", "a #b", "1.5", "0x1f", "2027-03-04", "12:30:00", "=", "<<",
             "[a", "{a", "*a", "&a", "!a", "|", ">", "%a", "@a", "`a", "'a'", '"a"', "\\", "a\nb", "\t", "é", "a,b", "y", "N", ".inf", "1e3"]
    block = [chr(c) for c in range(1, 0x30000) if not 0xD800 <= c < 0xE000]
    words += ["".join(block[i:i + 997]) for i in range(0, len(block), 997)]
    rng = random.Random(1)
    words += ["".join(rng.choice(block[:300]) for _ in range(rng.randrange(1, 12))) for _ in range(300)]
    for word in words:
        done = subprocess.run([TOOL, "quote"], input=word.encode(), capture_output=True)
        text = done.stdout.decode()
        for holder in ("k: %s\n", "{k: %s, j: 1}\n"):
            try:
                got = yaml.safe_load(holder % text)["k"]
            except yaml.YAMLError as error:
                got = error
            if got != word:
                faults.append(f"{word[:40]!r} is written {text[:60]!r} and reads as {str(got)[:60]!r}")


{"made": lambda: run_cases(3000), "demo": run_demo, "quote": run_quote}[CASE]()
print("\n".join(faults[:20]) or "as it should be")
sys.exit(1 if faults else 0)
