#!/usr/bin/env python3
"""Draws mats for real works on paper in every format and checks their sizes.

Usage: works_on_paper.py BACKLINE        reads $BACKLINE_DATA/works-on-paper.csv; says so and stops if that is unset
"""

import csv
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

BATCH = 256
BORDER = 60.0
# What a metric job has where it says nothing.
OVERLAP = 3.0
MARGIN = 8.0
SAME_MM = 1e-6
# Formats write the size of a sheet with six decimals of a millimetre or as a number of 32 bits in points.
SHEET_MM = 1e-4


def jobs_of(row):
    """Yields name, job, art and how much larger than the art its opening is, in millimetres a side."""
    name = row["accession"]
    sheet = [float(row["sheet_width_mm"]), float(row["sheet_height_mm"])]
    yield name, {"unit": "mm", "border": BORDER, "opening": {"art": sheet}}, sheet, -OVERLAP
    if row["image_width_mm"] and row["image_height_mm"]:
        image = [float(row["image_width_mm"]), float(row["image_height_mm"])]
        opening = {"art": image, "margin": MARGIN}
        yield name + "-image", {"unit": "mm", "border": BORDER, "opening": opening}, image, MARGIN


def sheet_of_svg(path):
    with open(path, encoding="utf-8") as file:
        head = file.read(400)
    return [float(n) for n in re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', head).groups()]


def sheet_of_pdf(path):
    with open(path, "rb") as file:
        head = file.read(4000)
    sides = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", head).groups()
    return [float(side) * 25.4 / 72 for side in sides]


def differ(found, expected, allowed):
    return any(abs(a - b) > allowed for a, b in zip(found, expected, strict=True))


def check_mat(mat, art, larger):
    """Yields what is wrong with the sizes of a mat."""
    sight = [side + 2 * larger for side in art]
    outer = [side + 2 * BORDER for side in sight]
    opening = mat["layers"][0]["openings"][0]["sight"]
    if differ([opening["width"], opening["height"]], sight, SAME_MM):
        yield f"the sight opening is {opening}, not {sight}"
    if differ([mat["outer"]["width"], mat["outer"]["height"]], outer, SAME_MM):
        yield f"the mat is {mat['outer']}, not {outer}"


def check_files(folder, name, mat, formats):
    """Yields what is wrong with the files of a mat."""
    outer = [mat["outer"]["width"], mat["outer"]["height"]]
    for view in ("back", "cut"):
        for ending in formats:
            path = folder / f"{name}-{view}.{ending}"
            if not path.is_file() or path.stat().st_size == 0:
                yield f"{path.name} is missing"
                return
        svg = sheet_of_svg(folder / f"{name}-{view}.svg")
        pdf = sheet_of_pdf(folder / f"{name}-{view}.pdf")
        if differ(svg, pdf, SHEET_MM):
            yield f"{view}: the SVG has a sheet of {svg} mm, the PDF one of {pdf}"
        if view == "cut" and differ(svg, outer, SHEET_MM):
            yield f"the sheet of the cut path is {svg} mm, the mat {outer}"
        if view == "back" and not all(sheet > side for sheet, side in zip(svg, outer, strict=True)):
            yield f"the template of {svg} mm has no room for a mat of {outer}"


def run_batch(backline, folder, batch):
    """Draws and checks some jobs; yields what is wrong."""
    paths = []
    for name, job, _, _ in batch:
        path = folder / f"{name}.json"
        path.write_text(json.dumps(job), encoding="utf-8")
        paths.append(str(path))
    out = folder / "out"
    drawn = subprocess.run(
        [backline, "draw", *paths, "-o", out, "--view", "back,cut", "--format", "all"], capture_output=True, check=False
    )
    if drawn.returncode != 0:
        yield f"exit code {drawn.returncode}: {drawn.stderr.decode()[:2000]}"
        return
    checked = subprocess.run([backline, "check", "--json", *paths], capture_output=True, check=True)
    mats = json.loads(checked.stdout)
    mats = mats if isinstance(mats, list) else [mats]
    formats = ["svg", "pdf", "dxf", "plt", "txt", "json"]
    for (name, _, art, larger), mat in zip(batch, mats, strict=True):
        for complaint in [*check_mat(mat, art, larger), *check_files(out, name, mat, formats)]:
            yield f"{name}: {complaint}"


def main(backline):
    data = os.environ.get("BACKLINE_DATA")
    if not data:
        print("BACKLINE_DATA is not set: no works on paper were drawn")
        return 0
    with open(pathlib.Path(data) / "works-on-paper.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    jobs = [job for row in rows for job in jobs_of(row)]
    memory = "/dev/shm" if os.path.isdir("/dev/shm") else None
    failed = 0
    for start in range(0, len(jobs), BATCH):
        folder = pathlib.Path(tempfile.mkdtemp(prefix="backline-works-", dir=memory))
        try:
            for complaint in run_batch(backline, folder, jobs[start:start + BATCH]):
                failed += 1
                print(complaint, file=sys.stderr)
        finally:
            shutil.rmtree(folder)
    print(f"{len(rows)} works on paper, {len(jobs)} mats drawn in every format, {failed} faults")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
