"""How many of its cases a test takes: all, or the share that LAPSTRAKE_SHARE names. tests/meson.build sets it: a quarter for the
usual build, a tenth under the sanitizers, which make everything ten times slower. scripts/long takes all."""
import os

SHARE = float(os.environ.get("LAPSTRAKE_SHARE", "1"))


def some(cases):
    """The first of them, at least one."""
    cases = list(cases)
    return cases[:max(1, round(len(cases) * SHARE))]
