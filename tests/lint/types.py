#!/usr/bin/env python3
"""The page's modules hold what their comments say of types: TypeScript's checker reads them, and changes nothing.

    types.py SOURCE_DIR [NODE]
"""
import os
import subprocess
import sys


def main(source, node):
    checker = f"{source}/tests/browser/node_modules/typescript/bin/tsc"
    if not node or not os.path.exists(checker):
        print("skipped: node, or the checker that tests/browser/package-lock.json names, is not installed")
        return 77
    run = subprocess.run([node, checker, "-p", f"{source}/tests/browser/tsconfig.json"], capture_output=True, text=True)
    print(run.stdout or "holds")
    return 1 if run.returncode else 0


sys.exit(main(sys.argv[1], sys.argv[2] if len(sys.argv) > 2 else None))
