#!/usr/bin/env python3
"""Opens files of twenty jobs with programs that are not ours, and compares what they read with the order.

No program is told the unit. The table of all programs and formats stands in the documentation; this fails where a program
reads another size, area, layer or pen, and where the table has other verdicts than are found.

Usage: check_programs.py BACKLINE PAGE        BACKLINE_BLESS=1 writes the table into the page
       (apt, npm and pip packages: see programs/install; NODE_PATH is the folder of the npm packages)
"""

import collections
import os
import pathlib
import sys
import tempfile
import time

from programs import corpus, dxf_readers, gcode_readers, hpgl_readers, page_readers, table
from programs.judge import judge

GOLDEN = pathlib.Path(__file__).resolve().parents[2] / "golden-files/mats"
PROGRAMS = dxf_readers.PROGRAMS + page_readers.PROGRAMS + hpgl_readers.PROGRAMS + gcode_readers.PROGRAMS
# Complaints of one program that are printed.
SHOWN = 6


def check(program, files, work):
    """Returns findings by program, kind and unit."""
    mine = [file for file in files if file.kind in program.kinds]
    if not mine:
        raise SystemExit(f"there is no file for {program.name}")
    work.mkdir()
    started = time.monotonic()
    readings = program.read(mine, work)
    seconds = time.monotonic() - started
    results, complaints = collections.defaultdict(list), []
    for file in mine:
        finding = judge(program, file, readings.get(file.path, "nothing came back"))
        results[program, file.kind, file.unit].append(finding)
        complaints += [f"  {file.unit}, {file.kind}, {file.job}/{file.path.name}: {words}" for words in finding.complaints]
    print(f"{program.name}: {len(mine)} files in {seconds:.1f} s, {len(complaints)} complaints", flush=True)
    for words in complaints[:SHOWN]:
        print(words)
    return results, len(complaints)


def main(backline, page):
    backline, page = pathlib.Path(backline).resolve(), pathlib.Path(page)
    results, faults = {}, 0
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        files = corpus.draw(backline, GOLDEN, folder / "drawn")
        for number, program in enumerate(PROGRAMS):
            found, complaints = check(program, files, folder / str(number))
            results.update(found)
            faults += complaints
    tables = table.write(results)
    text = page.read_text(encoding="utf-8")
    if os.environ.get("BACKLINE_BLESS"):
        page.write_text(table.put(text, tables), encoding="utf-8")
    elif table.verdicts(table.kept(text)) != table.verdicts(tables):
        print(f"the table in {page} has other verdicts than these; BACKLINE_BLESS=1 writes them:\n{tables}")
        faults += 1
    print(f"{len(files)} files opened with {len(PROGRAMS)} programs, {faults} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
