#!/usr/bin/env python3
"""Checks PDF files with poppler: size of the page, words, and where the lines lie when the page is rendered.

Usage: check_pdf.py BACKLINE        draws the golden jobs and checks them
                                    (pip install numpy; apt install poppler-utils)
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile

import numpy

DPI = 200
PIXELS_PER_MM = DPI / 25.4
# The ticks at the ends of a scale bar are as wide as its line, half of each beyond its end; a row of pixels may hold them.
BAR_LINE_MM = 0.18
# Letters that the built-in font of the PDF does not have are drawn as boxes.
BEYOND_FONT = re.compile(r"[\u3000-\u9fff]")


def run(*command):
    return subprocess.run(command, check=True, capture_output=True).stdout


def page_size(path):
    """Returns width and height in inches."""
    width, height = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", run("pdfinfo", path).decode()).groups()
    return float(width) / 72, float(height) / 72


def sheet_of_svg(path):
    """Returns width and height in inches of the same drawing as SVG."""
    head = path.read_text(encoding="utf-8")[:2000]
    return tuple(float(re.search(rf'<svg[^>]* {name}="([\d.]+)mm"', head).group(1)) / 25.4 for name in ("width", "height"))


def check_sizes(path, check):
    found = page_size(path)
    expected = [sheet_of_svg(path.with_suffix(".svg"))]
    if re.search(r"-cut(-face)?\.pdf$", path.name) and len(check["layers"]) == 1:
        expected.append((check["outer"]["width"] / 25.4, check["outer"]["height"] / 25.4))
    for width, height in expected:
        if abs(found[0] - width) > 0.001 or abs(found[1] - height) > 0.001:
            yield f"the page is {found[0]:.4f} x {found[1]:.4f} in, not {width:.4f} x {height:.4f}"


def check_words(path, check):
    text = " ".join(run("pdftotext", "-layout", path, "-").decode().split())
    for part in BEYOND_FONT.split(check["name"]):
        # A long name may be broken into lines.
        for word in part.split():
            if word not in text:
                yield f"pdftotext does not find {word}"


def render(path):
    """Returns the page as an array of rows of red, green and blue."""
    data = run("pdftoppm", "-r", str(DPI), path)
    width, height = map(int, data[:40].split()[1:3])
    return numpy.frombuffer(data[-3 * width * height:], numpy.uint8).reshape(height, width, 3).astype(int)


def centre_lines(mask, axis, least):
    """Returns the middles of the lines that run along an axis over at least so many pixels."""
    counts = mask.sum(axis=axis)
    hits = numpy.flatnonzero(counts >= least)
    groups = numpy.split(hits, numpy.flatnonzero(numpy.diff(hits) > 1) + 1) if hits.size else []
    return [float(numpy.average(group + 0.5, weights=counts[group])) for group in groups]


def longest_run(row):
    padded = numpy.concatenate([[0], row.astype(int), [0]])
    ends = numpy.flatnonzero(numpy.diff(padded))
    return int((ends[1::2] - ends[::2]).max()) if ends.size else 0


def check_lines(path, check):
    """Measures the cut of a mat with one rectangle on its rendered back template, in pixels."""
    page = render(path)
    red, green, blue = page[..., 0], page[..., 1], page[..., 2]
    black = page.max(axis=2) < 110
    cut = (red > 120) & (green < 140) & (blue < 140) & (red - green > 60)
    opening = check["layers"][0]["openings"][0]["back"]
    outer = check["outer"]
    tall = 0.6 * PIXELS_PER_MM * opening["height"]
    wide = 0.6 * PIXELS_PER_MM * opening["width"]
    edges_x = centre_lines(black, 0, 0.9 * PIXELS_PER_MM * outer["height"])
    edges_y = centre_lines(black, 1, 0.9 * PIXELS_PER_MM * outer["width"])
    cuts_x, cuts_y = centre_lines(cut, 0, tall), centre_lines(cut, 1, wide)
    if [len(edges_x), len(edges_y), len(cuts_x), len(cuts_y)] != [2, 2, 2, 2]:
        yield f"edges at {edges_x} and {edges_y}, cuts at {cuts_x} and {cuts_y}"
        return
    right = outer["width"] - opening["left"] - opening["width"]
    for name, found, expected in [
        ("width of the board", edges_x[1] - edges_x[0], outer["width"]),
        ("height of the board", edges_y[1] - edges_y[0], outer["height"]),
        # Mirrored: what is on the right in front lies on the left.
        ("left of the cut", cuts_x[0] - edges_x[0], right),
        ("right of the cut", cuts_x[1] - edges_x[0], right + opening["width"]),
        ("top of the cut", cuts_y[0] - edges_y[0], opening["top"]),
        ("bottom of the cut", cuts_y[1] - edges_y[0], opening["top"] + opening["height"]),
    ]:
        if abs(found - expected * PIXELS_PER_MM) > 1:
            yield f"{name} is {found / PIXELS_PER_MM:.3f} mm, not {expected:.3f}"
    # A thin line between two rows of pixels is grey in both.
    below = page[int(edges_y[1]) + 5:].max(axis=2) < 200
    runs = [longest_run(row) / PIXELS_PER_MM for row in below]
    pixel = 1 / PIXELS_PER_MM
    for length in (100.0, 101.6):
        if not any(length - pixel <= run <= length + BAR_LINE_MM + pixel for run in runs):
            yield f"no scale bar of {length} mm; the longest line is {max(runs):.2f} mm"


def draw(backline, folder):
    """Draws every golden job that has drawings into a folder of its own."""
    golden = pathlib.Path(__file__).resolve().parents[2] / "golden-files/mats"
    for job in sorted(golden.glob("*/job.toml")):
        check = json.loads(run_any(backline, "check", "--json", job))
        if not check["layers"]:
            continue
        out = folder / job.parent.name
        run(backline, "draw", job, "-o", out, "--view", "all", "--format", "svg,pdf")
        (out / "check.json").write_text(json.dumps(check), encoding="utf-8")


def run_any(*command):
    """Runs a program whose exit code does not matter."""
    return subprocess.run(command, check=False, capture_output=True).stdout


def check_all(root):
    failed = pages = measured = 0
    for folder in sorted(path for path in pathlib.Path(root).iterdir() if path.is_dir()):
        check = json.loads((folder / "check.json").read_text(encoding="utf-8"))
        for path in sorted(folder.glob("*.pdf")):
            pages += 1
            found = list(check_sizes(path, check))
            if re.search(r"(?<!-cut)-(back|face)\.pdf$", path.name):
                found += check_words(path, check)
            layers = check["layers"]
            simple = len(layers) == 1 and [o["shape"] for o in layers[0]["openings"]] == ["rectangle"]
            square = "rounded" not in folder.name
            if path.name.endswith("-back.pdf") and simple and square:
                measured += 1
                found += check_lines(path, check)
            failed += len(found)
            for complaint in found:
                print(f"{path}: {complaint}", file=sys.stderr)
    print(f"{pages} pages checked with poppler, {measured} measured at {DPI} dpi, {failed} faults")
    return 1 if failed or not measured else 0


def main(backline):
    backline = pathlib.Path(backline).resolve()
    with tempfile.TemporaryDirectory() as folder:
        draw(backline, pathlib.Path(folder))
        return check_all(folder)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
