#!/usr/bin/env python3
"""Draws the pictures of docs/opening-files.md: what other programs read from our files.

Usage: pictures.py BACKLINE FOLDER        (needs what check_programs.py needs)
"""

import math
import pathlib
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from programs import corpus, dxf_readers, hpgl_readers  # noqa: E402

JOB = 'name = "Oval portrait"\nunit = "in"\nouter = [11, 14]\n[opening]\nshape = "ellipse"\nsize = [6.5, 8.75]\n'
# Colours that are read on white and on dark pages.
RIGHT, WRONG, PAPER, INK = "#1f7a4d", "#c0392b", "#fbfaf7", "#222222"


class Picture:
    """An SVG file with strokes in millimetres, y up, in panels side by side."""

    def __init__(self, width, height):
        self.width, self.height, self.parts = width, height, []

    def strokes(self, lines, colour, left, bottom, scale, width=1.2):
        def place(point):
            return f"{left + scale * point[0]:.1f} {bottom - scale * point[1]:.1f}"

        for points in lines:
            self.parts.append(f'<path d="M{"L".join(map(place, thinned(points)))}" stroke="{colour}" stroke-width="{width}"/>')

    def words(self, text, x, y, anchor="middle", size=13):
        self.parts.append(f'<text x="{x}" y="{y}" text-anchor="{anchor}" font-size="{size}" fill="{INK}" stroke="none">{text}</text>')

    def write(self, path):
        head = (f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width}" height="{self.height}" '
                f'viewBox="0 0 {self.width} {self.height}" fill="none" font-family="Helvetica, Arial, sans-serif">')
        paper = f'<rect width="{self.width}" height="{self.height}" fill="{PAPER}"/>'
        path.write_text("\n".join([head, paper, *self.parts, "</svg>", ""]), encoding="utf-8")


def thinned(points, apart=0.4):
    """Leaves out points that a picture of this size does not need."""
    kept = [points[0]]
    for point in points[1:-1]:
        if math.dist(point, kept[-1]) >= apart:
            kept.append(point)
    return [*kept, points[-1]]


def units(files, work):
    """The same inch file, taken for millimetres and with the unit that it states."""
    picture = Picture(560, 330)
    for number, (method, colour, words) in enumerate([
        ("manual", WRONG, ["taken for millimetres:", "11 × 14 mm"]), ("file", RIGHT, ["unit read from the file:", "11 × 14 in"])
    ]):
        folder = work / method
        folder.mkdir()
        read = dxf_readers.inkscape(method)([files["in"]], folder)[files["in"].path]
        left = min(stroke.box[0] for stroke in read.strokes)
        bottom = min(stroke.box[1] for stroke in read.strokes)
        lines = [[(x - left, y - bottom) for x, y in stroke.points] for stroke in read.strokes]
        picture.strokes(lines, colour, 50 + 280 * number, 270, 0.7)
        picture.words(words[0], 140 + 280 * number, 293)
        picture.words(words[1], 140 + 280 * number, 312)
    return picture


def curves(files, work):
    """The top right quarter of an oval: chords, and what is left where a program drops the bulges of arcs."""
    picture = Picture(720, 260)
    ways = [
        ("coarse", RIGHT, ["chords, here with", "--tolerance 1mm"], False),
        ("bulges", RIGHT, ["arcs of circles", "(bulges)"], False),
        ("bulges", WRONG, ["the same file where", "bulges are dropped"], True),
    ]
    for number, (name, colour, words, dropped) in enumerate(ways):
        folder = work / f"{number}"
        folder.mkdir()
        data = dxf_readers.child("in_node.js", [files[name]], folder, "node")[files[name].path]["dxf-parser"]
        if dropped:
            for shape in data["shapes"]:
                shape["points"] = [point[:2] for point in shape["points"]]
        oval = next(stroke for stroke in dxf_readers.node_reading(data).strokes if stroke.layer == "CUT")
        left, bottom, right, top = oval.box
        points = [(x - left, y - bottom) for x, y in oval.points]
        picture.strokes([points], colour, 45 + 240 * number, 210, 0.85, 1.6)
        picture.words(words[0], 115 + 240 * number, 232, size=12)
        picture.words(words[1], 115 + 240 * number, 248, size=12)
    return picture


def pens(files, work):
    """A back template as a plotter draws it, each pen in its colour."""
    read = hpgl_readers.hp2xx([files["plot"]], work)[files["plot"].path]
    left, bottom, right, top = (side(line) for side, line in zip((min, min, max, max), zip(*(s.box for s in read.strokes))))
    picture = Picture(round(1.2 * (right - left) + 40), round(1.2 * (top - bottom) + 40))
    for stroke in read.strokes:
        points = [(x - left, y - bottom) for x, y in stroke.points]
        picture.strokes([points], stroke.pen, 20, picture.height - 20, 1.2, 0.9)
    return picture


def drawn(backline, folder):
    """Draws the job in the ways that are shown."""
    job = folder / "job.toml"
    job.write_text(JOB, encoding="utf-8")

    def one(name, *choices):
        out = folder / name
        subprocess.run([backline, "draw", job, "-o", out, *choices], check=True, capture_output=True)
        path = next(out.iterdir())
        return corpus.Drawn(path, "", "in" if name == "in" else "mm", "", "", [], (280, 360), None, None, set())

    cut = ("--view", "cut", "--format", "dxf")
    return {
        "in": one("in", *cut, "--unit", "in"),
        "coarse": one("coarse", *cut, "--tolerance", "1 mm"),
        "bulges": one("bulges", *cut, "--dxf-figures", "bulges", "--tolerance", "0.5 mm"),
        "plot": one("plot", "--view", "back", "--format", "hpgl"),
    }


def main(backline, folder):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as work:
        work = pathlib.Path(work)
        files = drawn(pathlib.Path(backline).resolve(), work)
        for make in (units, curves, pens):
            (work / make.__name__).mkdir()
            make(files, work / make.__name__).write(folder / f"{make.__name__}.svg")


if __name__ == "__main__":
    main(*sys.argv[1:])
