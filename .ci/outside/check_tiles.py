#!/usr/bin/env python3
"""Lays the tiles of printed templates together and compares them with the drawing on one page, pixel by pixel.

Usage: check_tiles.py BACKLINE JOB...       (pip install numpy; apt install poppler-utils)

Tiles are cut out of the rendered pages where a framer cuts them and laid beside each other. The marks by which pages are
laid on each other, which one page alone does not have, are switched off.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import numpy

# Five pixels a millimetre, so that tiles of whole millimetres are of whole pixels.
PIXELS_PER_MM = 5
DPI = 25.4 * PIXELS_PER_MM
# Papers of whole points: a height that a PDF file can only round, such as that of A4, moves a whole page by a ten-thousandth of
# a pixel, and a renderer that rounds to quarters of a pixel makes that visible where a line lies on such a quarter.
# Even so the renderer rounds, away from seams, a point in a million to another sixteenth of a shade: one step in at most so many
# pixels of a drawing is let pass, and nothing at a seam. The shade and its blend with the paper are each rounded to a whole number.
STEP = 255 / 16 + 2
MOST_STEPS = 3
AT_SEAM = 3
ONE_PAGE = "24 x 36 in"
CHOICES = [
    ("letter", ["--paper", "letter"]),
    ("letter on its side", ["--paper", "letter", "--orientation", "landscape"]),
    ("edge to edge", ["--paper", "letter", "--overlap", "0"]),
    ("tabloid", ["--paper", "tabloid", "--overlap", "20 mm"]),
    ("ten by twelve", ["--paper", "10 x 12 in", "--margin", "3 mm"]),
]


def run(*command):
    return subprocess.run(command, check=True, capture_output=True).stdout


def without_register(path):
    """Switches the layer of the marks off that pages are laid on each other by; poppler mends the table of places."""
    data = path.read_bytes()
    objects = {}
    for part in data.split(b" 0 obj")[1:]:
        if b"/Name (register)" in part.split(b"endobj")[0]:
            number = data[: data.index(b" 0 obj" + part)].split()[-1]
            objects[number] = True
    for number in objects:
        data = data.replace(b"/D <<", b"/D << /OFF [" + number + b" 0 R]", 1)
    path.write_bytes(data)


def render(path, page):
    """Returns a page as rows of red, green and blue."""
    data = run("pdftoppm", "-r", str(DPI), "-f", str(page), "-l", str(page), path)
    width, height = map(int, data[:40].split()[1:3])
    return numpy.frombuffer(data[-3 * width * height:], numpy.uint8).reshape(height, width, 3).astype(int)


def pixels(rect, shift=(0, 0)):
    """Returns the rows and columns of a rectangle in millimetres."""
    edges = [
        (rect["y"] + shift[1]) * PIXELS_PER_MM,
        (rect["y"] + shift[1] + rect["height"]) * PIXELS_PER_MM,
        (rect["x"] + shift[0]) * PIXELS_PER_MM,
        (rect["x"] + shift[0] + rect["width"]) * PIXELS_PER_MM,
    ]
    whole = [round(edge) for edge in edges]
    assert all(abs(edge - near) < 1e-6 for edge, near in zip(edges, whole)), f"tiles are not of whole pixels: {edges}"
    return slice(whole[0], whole[1]), slice(whole[2], whole[3])


def layouts(backline, job, folder, choices):
    """Prints a job and returns what is known of each file, with its path."""
    lines = run(backline, "print", job, "-o", folder, "--json", "--force", *choices).decode().splitlines()
    for line in lines:
        layout = json.loads(line)
        path = pathlib.Path(layout["file"] + ".pdf")
        without_register(path)
        yield path, layout


def tile_of(path, number, page):
    """Returns the pixels of a tile, cut out of its page."""
    return render(path, number)[pixels(page["tile"], (page["shift"]["x"], page["shift"]["y"]))]


def check(backline, job, choices, folder):
    """Returns the number of pages, of pixels that differ, and of those that are rounded another way."""
    pages = different = rounded = 0
    whole = list(layouts(backline, job, folder / "whole", ["--paper", ONE_PAGE]))
    tiled = list(layouts(backline, job, folder / "tiled", choices))
    for (single, one), (path, layout) in zip(whole, tiled, strict=True):
        (only,) = one["pages"]
        wanted = tile_of(single, 1, only)
        origin = only["tile"]
        joined = numpy.full_like(wanted, 255)
        seams = numpy.zeros(wanted.shape[:2], bool)
        for number, page in enumerate(layout["pages"], 1):
            rows, columns = pixels(page["tile"], (-origin["x"], -origin["y"]))
            joined[rows, columns] = tile_of(path, number, page)
            inner = seams[rows, columns]
            for edge in (inner[:AT_SEAM], inner[-AT_SEAM:], inner[:, :AT_SEAM], inner[:, -AT_SEAM:]):
                edge[:] = True
            pages += 1
        assert (wanted < 128).any(), "there is nothing on the page"
        off = abs(joined - wanted).max(axis=2)
        steps = (off > 0) & (off <= STEP) & ~seams
        rounded += int(steps.sum())
        different += int(((off > 0) & ~steps).sum()) + max(0, int(steps.sum()) - MOST_STEPS)
    return pages, different, rounded


def main(backline, jobs):
    backline = str(pathlib.Path(backline).resolve())
    failed = total = steps = 0
    with tempfile.TemporaryDirectory() as folder:
        for job in jobs:
            for name, choices in CHOICES:
                pages, different, rounded = check(backline, job, choices, pathlib.Path(folder))
                total += pages
                steps += rounded
                if different or not pages:
                    failed += 1
                    print(f"{job}, {name}: {different} pixels differ", file=sys.stderr)
    print(f"{total} printed pages laid together at {DPI} dpi, {failed} drawings differ, {steps} pixels rounded")
    return 1 if failed or not total else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
