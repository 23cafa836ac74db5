#!/usr/bin/env python3
"""Checks workshop sheets and pictures with poppler: paper, words and where they stand, lines, photographs.

Usage: check_workshop.py BACKLINE        draws the golden jobs of workshop sheets and checks them
                                         (pip install pillow; apt install poppler-utils)
"""

import pathlib
import re
import subprocess
import sys
import tempfile

from PIL import Image

# Width and height in points: ISO 216 A4, ANSI/ASME Y14.1 A.
PAPERS = {"a4": (595.276, 841.89), "letter": (612.0, 792.0)}
MARGIN = 10 / 25.4 * 72
# Half of the letters of a word may lie in its box above and below the letters themselves.
TRIM = 0.30
WORD = re.compile(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>')


def run(*command):
    return subprocess.run(command, check=True, capture_output=True).stdout


def words(path):
    """Returns the words of the first page with their boxes, trimmed to the letters."""
    page = run("pdftotext", "-bbox", path, "-").decode().split("</page>")[0]
    for x0, y0, x1, y1, word in WORD.findall(page):
        x0, y0, x1, y1 = map(float, (x0, y0, x1, y1))
        trim = TRIM * (y1 - y0)
        yield x0, y0 + trim, x1, y1 - 0.5 * trim, word


def overlaps(boxes):
    for index, a in enumerate(boxes):
        for b in boxes[index + 1:]:
            if min(a[2], b[2]) - max(a[0], b[0]) > 0.05 and min(a[3], b[3]) - max(a[1], b[1]) > 0.05:
                yield f"“{a[4]}” and “{b[4]}” overlap"


def check_sheet(path, paper):
    width, height = map(float, re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", run("pdfinfo", path).decode()).groups())
    if abs(width - PAPERS[paper][0]) > 0.1 or abs(height - PAPERS[paper][1]) > 0.1:
        yield f"the page is {width} x {height} points, not {paper}"
    boxes = list(words(path))
    if len(boxes) < 40:
        yield f"poppler finds only {len(boxes)} words"
    yield from overlaps(boxes)
    for x0, y0, x1, y1, word in boxes:
        if x0 < MARGIN - 0.5 or x1 > width - MARGIN + 0.5 or y0 < MARGIN - 3 or y1 > height - MARGIN + 3:
            yield f"“{word}” stands in the margin"
    ink = Image.open(render(path, 72)).convert("L").point(lambda value: 255 if value < 250 else 0).getbbox()
    if ink is None or ink[0] < MARGIN - 2 or ink[2] > width - MARGIN + 2 or ink[1] < MARGIN - 2 or ink[3] > height - MARGIN + 2:
        yield f"something is drawn in the margin: {ink}"


def render(path, dpi):
    target = path.with_suffix("")
    run("pdftoppm", "-r", str(dpi), "-singlefile", "-png", path, target)
    return target.with_suffix(".png")


def check_scale(path):
    """The edges of the plainest mat, 16 x 20 in, lie as far apart as the scale on its sheet says."""
    text = " ".join(run("pdftotext", "-layout", path, "-").decode().split())
    scale = float(re.search(r"scale 1 : ([\d.]+)\.", text).group(1))
    page = Image.open(render(path, 200)).convert("L")
    dark = page.point(lambda value: 1 if value < 50 else 0).tobytes()
    rows = [dark[start:start + page.width] for start in range(0, len(dark), page.width)]
    tall = 0.9 * 20 / scale * 200
    edges = [x for x in range(page.width) if sum(row[x] for row in rows) > tall]
    found = (max(edges) - min(edges)) / 200 if edges else 0
    if abs(found - 16 / scale) > 0.02:
        yield f"the edges lie {found:.3f} in apart, not {16 / scale:.3f} in"


def check_pictures(folder, stem):
    """The PDF file rendered by poppler and the PNG file show the same."""
    ours = Image.open(folder / f"{stem}-picture.png").convert("RGB")
    (folder / f"{stem}-picture.pdf").rename(folder / f"{stem}-poppler.pdf")
    theirs = Image.open(render(folder / f"{stem}-poppler.pdf", 60)).convert("RGB").resize(ours.size)
    ours, theirs = ours.tobytes(), theirs.tobytes()
    mean = sum(abs(a - b) for a, b in zip(ours, theirs)) / len(ours)
    if mean > 3:
        yield f"poppler's picture differs from resvg's by {mean:.2f} of 255 on average"


def main():
    program = sys.argv[1]
    jobs = sorted(pathlib.Path("golden-files/workshop").glob("*/job.toml"))
    failed = not jobs
    for job in jobs:
        name = job.parent.name
        with tempfile.TemporaryDirectory() as folder:
            folder = pathlib.Path(folder)
            complaints = []
            for paper in PAPERS:
                target = folder / paper
                subprocess.run([program, "workshop", job, "-o", target, "--paper", paper], check=True, stderr=subprocess.DEVNULL)
                complaints += [f"{paper}: {words}" for words in check_sheet(target / "job-workshop.pdf", paper)]
            subprocess.run([program, "picture", job, "-o", folder, "-f", "png,pdf", "--ppi", "60", "--longest", "480"], check=True,
                           stderr=subprocess.DEVNULL)
            if name == "single-opening":
                complaints += check_scale(folder / "a4" / "job-workshop.pdf")
            complaints += check_pictures(folder, "job")
        for complaint in complaints:
            print(f"{name}: {complaint}")
        failed = failed or bool(complaints)
    if failed:
        sys.exit(1)
    print(f"workshop sheets and pictures of {len(jobs)} jobs: good")


main()
