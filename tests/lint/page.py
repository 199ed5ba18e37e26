#!/usr/bin/env python3
"""The page keeps to what its server's policy allows and to what people with gloves, in dark rooms or without a mouse need.

Contrast is computed as WCAG 2.2 defines it (relative luminance; success criteria 1.4.3: 4.5:1 for text, 1.4.11: 3:1 for
what is no text). Greys without hue around artwork: ISO 3664 asks for a neutral surround (from memory).
"""
import os
import re
import subprocess
import sys

LINES_MOST = 400
SERVED = (".html", ".css", ".js", ".svg", ".webmanifest")
BANNED = {  # what may not stand in modules or HTML, and why
    r"\binnerHTML\b|\bouterHTML\b|insertAdjacentHTML|document\.write": "elements are built by functions (dom.js), never from text",
    r"\beval\s*\(|new Function\b": "no code is made from text",
    r"<[^>]*\son[a-z]+\s*=": "no handler in HTML: the policy would not run it",
    r"<[^>]*\sstyle\s*=": "no style attribute: the policy would not apply it",
    r"<script(?![^>]*\bsrc=)[^>]*>|<style": "no script or style inside HTML",
    r"setAttribute\(\s*'style'": "a class, or element.style",
    r"'(?!\})[^'`\n]*\$\{[^'`\n]*'": "a place in words takes backticks: in plain quotes it is shown as it stands",
}
ADDRESS = re.compile(r"(?:https?:)?//[a-z0-9.-]+\.[a-z]{2,}", re.I)
NAMESPACE = "http://www.w3.org/2000/svg"
COLOURED = {"--accent", "--stop", "--warn"}  # every other colour is a grey
TEXT, SHAPE = 4.5, 3.0
# What stands on what, and how much contrast it needs.
PAIRS = [(ink, ground, TEXT) for ground in ("--ground", "--sheet", "--raised") for ink in ("--text", "--soft", "--accent", "--stop", "--warn", "--note", "--done")]
PAIRS += [("--text", "--surround", TEXT), ("--on-accent", "--accent", TEXT), ("--on-works", "--works", TEXT), ("--on-waits", "--waits", TEXT),
          ("--on-badge", "--badge", TEXT), ("--accent", "--raised", SHAPE), ("--seam", "--seam-edge", SHAPE),
          ("--text", "--open-hours", SHAPE), ("--text", "--closed-hours", SHAPE), ("--works", "--open-hours", SHAPE), ("--works", "--closed-hours", SHAPE)]
faults = []


def channels(colour):
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(d * 2 for d in digits)
    return [int(digits[i:i + 2], 16) for i in (0, 2, 4)]


def luminance(colour):
    linear = [c / 255 / 12.92 if c / 255 <= 0.04045 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in channels(colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def schemes(css):
    """Variables of bright and dark rooms."""
    blocks = [dict(re.findall(r"(--[\w-]+):\s*(#[0-9a-f]{3,6})\s*;", block)) for block in re.findall(r":root\s*\{([^}]*)\}", css)]
    bright = blocks[0]
    dark = next((block for block in blocks[1:] if block), {})
    return {"bright": bright, "dark": {**bright, **dark}}


def look_at_colours(css):
    for scheme, colours in schemes(css).items():
        for name, colour in colours.items():
            if name not in COLOURED and len(set(channels(colour))) > 1:
                faults.append(f"style.css: {name} {colour} has a hue; only {', '.join(sorted(COLOURED))} may")
        for ink, ground, least in PAIRS:
            got = contrast(colours[ink], colours[ground])
            if got < least:
                faults.append(f"style.css, {scheme}: {ink} on {ground} has contrast {got:.2f}; at least {least}")
    body = re.sub(r":root\s*\{[^}]*\}", "", css)
    for colour in re.findall(r"#[0-9a-f]{3,8}\b", body):
        if len(set(channels(colour))) > 1:
            faults.append(f"style.css: {colour} has a hue and stands outside the variables")
    for word in re.findall(r"\b(?:rgb|hsl|oklch|lab)a?\(", body):
        faults.append(f"style.css: {word}...) is written as #rrggbb, so that this check can read it")


def look_at_template(name, text):
    """Sections are closed in the order in which they were opened, none inside one of the same name."""
    open_sections = []
    for kind, section in re.findall(r"\{\{([#^/])(\w+)\}\}", re.sub(r"\{\{!.*?\}\}", "", text, flags=re.S)):
        if kind != "/":
            if section in open_sections:
                faults.append(f"{name}: {section} stands inside {section}")
            open_sections.append(section)
        elif not open_sections or open_sections.pop() != section:
            faults.append(f"{name}: {section} is closed where it is not open")
    if open_sections:
        faults.append(f"{name}: {', '.join(open_sections)} is not closed")
    told = set(re.findall(r"\w+", re.search(r"\{\{!(.*?)\}\}", text, re.S)[1])) if "{{!" in text else set()
    for used in set(re.findall(r"\{\{[#^{/]?(\w+)\}\}", text)) - told:
        faults.append(f"{name}: {used} is not told in the comment at its top")


def look_at_text(name, text):
    for pattern, why in BANNED.items():
        for found in re.finditer(pattern, text):
            faults.append(f"{name}: `{found[0][:40]}`: {why}")
    for address in ADDRESS.findall(text.replace(NAMESPACE, "")):
        faults.append(f"{name}: {address}: the page fetches nothing from elsewhere")


def look_at_imports(folder, names):
    """What a module takes from another stands there: a browser finds out only when it loads the view."""
    texts = {name: open(f"{folder}/{name}", encoding="utf-8").read() for name in names if name.endswith(".js")}
    given = {name: set(re.findall(r"export (?:async )?(?:function|class|const) (\w+)", text)) for name, text in texts.items()}
    for name, text in texts.items():
        for taken, other in re.findall(r"import \{([^}]*)\} from '\./([\w.-]+)'", text):
            for one in {word.strip() for word in taken.split(",")} - {""} - given.get(other, set()):
                faults.append(f"{name}: takes {one} from {other}, which has no such thing")


def main():
    top, node = sys.argv[1], sys.argv[2] if len(sys.argv) > 2 else None
    folder = f"{top}/src/web/page"
    names = sorted(os.listdir(folder))
    for name in names:
        if not name.endswith(SERVED):
            faults.append(f"{name}: the server does not send such a file (src/web/list-page)")
            continue
        text = open(f"{folder}/{name}", encoding="utf-8").read()
        look_at_text(name, text)
        if name.endswith(".html"):
            look_at_template(name, text)
        if name.endswith(".js"):
            if text.count("\n") > LINES_MOST:
                faults.append(f"{name}: {text.count(chr(10))} lines, at most {LINES_MOST}")
            if node and subprocess.run([node, "--input-type=module", "--check"], input=text, text=True, capture_output=True).returncode:
                faults.append(f"{name}: node cannot read it")
    look_at_imports(folder, names)
    look_at_colours(open(f"{folder}/style.css", encoding="utf-8").read())
    print("\n".join(faults) or "clean")
    return 1 if faults else 0


sys.exit(main())
