#!/usr/bin/env python3
"""Measures what each feature costs an embedder: crates, and seconds of processor and of the clock to build them from nothing.

Usage: table.py [FEATURES...]      prints the table of DEVELOPERS.md; about five minutes on two idle cores

Each set is built once with `cargo build --lib` into a folder of its own that is removed again; sources of crates are fetched
before. The seconds of processor count whatever else the machine does, those of the clock do not.
"""

import os
import pathlib
import resource
import shutil
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
# Sets of features with the words for them.
SETS = [
    ("", "none: SVG, DXF, HP-GL, G-code, polylines"),
    ("bench", "`bench`: hand cutters"),
    ("edit", "`edit`: setting and removing keys in the text of a job"),
    ("machines", "`machines`: files that machines run"),
    ("pdf", "`pdf`"),
    ("pictures", "`pictures`"),
    ("schema", "`schema`: JSON Schemas"),
    ("sheets", "`sheets`"),
    ("spreadsheets", "`spreadsheets`"),
    ("svg-import", "`svg-import`"),
    ("pdf,pictures", "`pdf` `pictures`"),
    ("cli", "`cli`, which includes them all"),
]


def cargo(*arguments, **options):
    return subprocess.run(["cargo", *arguments], cwd=ROOT, check=True, capture_output=True, text=True, **options)


def crates(features):
    chosen = ["--no-default-features", "--features", features]
    tree = cargo("tree", "-e", "normal", "--prefix", "none", *chosen).stdout
    return len({" ".join(line.split()[:2]) for line in tree.splitlines() if line}) - 1


def build(features):
    """Returns the seconds of processor and of the clock of a build from nothing."""
    target = tempfile.mkdtemp(prefix="backline-features-")
    try:
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
        cargo("build", "--no-default-features", "--features", features, "--lib",
              env={**os.environ, "CARGO_TARGET_DIR": target})
        clock, after = time.monotonic() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
        return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, clock
    finally:
        shutil.rmtree(target)


def main():
    asked = sys.argv[1:]
    cargo("fetch")
    print(f"load before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores", file=sys.stderr)
    print("| features | other crates | seconds of processor | seconds |\n|---|---|---|---|")
    for features, words in SETS:
        if asked and features not in asked:
            continue
        processor, clock = build(features)
        print(f"| {words} | {crates(features)} | {processor:.0f} | {clock:.0f} |", flush=True)
    print(f"load after: {os.getloadavg()[0]:.1f}", file=sys.stderr)


if __name__ == "__main__":
    main()
