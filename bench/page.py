#!/usr/bin/python3
"""The page under load: 30 clients for a minute on loopback, a third of them putting notes on record, the others reading
what is ready; then the server's memory, and whether it left descriptors open; then what 1 GiB coming in adds to it.

    bench/page.py BUILD_DIR [SECONDS]
"""
import os
import sys

TOP = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
build, seconds = os.path.abspath(sys.argv[1]), float(sys.argv[2]) if len(sys.argv) > 2 else 60
sys.argv = ["serving.py", f"{build}/lapstrake", f"{build}/tests/outside.icc", "load"]
sys.path.insert(0, f"{TOP}/tests/server")
import serving


def percentile(values, share):
    return sorted(values)[min(len(values) - 1, int(len(values) * share))] * 1000


times, resident_kb = serving.load(seconds)
for kind, values in times.items():
    print(f"{kind}: {len(values)} answers, median {percentile(values, 0.5):.1f} ms, 99th percentile {percentile(values, 0.99):.1f} ms, "
          f"longest {max(values) * 1000:.1f} ms")
print(f"resident memory {resident_kb / 1024:.1f} MB")
print(f"1 GiB uploaded in one request: {serving.gigabyte() / 1024:.1f} MB more")
print("\n".join(serving.faults) or "no fault")
