"""Strokes of the SVG files that other programs write: paths alone, with the layers that Inkscape names."""

import math
import xml.etree.ElementTree as xml

import svgelements

from programs.reading import PIECES, Reading, Stroke, bezier

SVG = "{http://www.w3.org/2000/svg}"
INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
# CSS: 96 pixels are an inch.
MM_PER_PIXEL = 25.4 / 96


def reading(text, mm_per_unit=MM_PER_PIXEL):
    """Reads paths and lines of a file whose unit is a pixel, or another where a program says so."""
    root = xml.fromstring(text.encode())
    strokes = list(strokes_of(root, None, None))
    return Reading(strokes).scaled(mm_per_unit)


def strokes_of(element, layer, pen):
    if element.tag in (SVG + "defs", SVG + "clipPath"):
        return
    if element.get(INKSCAPE + "groupmode") == "layer":
        layer = element.get(INKSCAPE + "label")
    pen = stroke_colour(element) or pen
    if element.tag == SVG + "path":
        path = abs(svgelements.Path(element.get("d")) * svgelements.Matrix(element.get("transform") or ""))
        for points in outlines(path):
            yield Stroke([(x, -y) for x, y in points], layer, pen)
    for child in element:
        yield from strokes_of(child, layer, pen)


def stroke_colour(element):
    style = dict(part.split(":", 1) for part in (element.get("style") or "").split(";") if ":" in part)
    words = style.get("stroke", element.get("stroke"))
    return None if words in (None, "none") else svgelements.Color(words.strip()).hexrgb


def outlines(path):
    points = []
    for step in path:
        if isinstance(step, svgelements.Move):
            if len(points) > 1:
                yield points
            points = [(step.end.x, step.end.y)]
        elif isinstance(step, (svgelements.Line, svgelements.Close)):
            if step.end is not None:
                points.append((step.end.x, step.end.y))
        elif isinstance(step, svgelements.Arc):
            points += [tuple(map(float, point)) for point in step.npoint(fractions(step.sweep))]
        else:
            points += bezier(*[(p.x, p.y) for p in (step.start, step.control1, step.control2, step.end)])[1:]
    if len(points) > 1:
        yield points


def fractions(sweep):
    count = max(2, math.ceil(PIECES * abs(sweep) / (math.pi / 2)))
    return [k / count for k in range(1, count + 1)]
