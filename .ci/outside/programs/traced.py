"""Strokes of the pages of a PDF file, as MuPDF sees them."""

import re
import subprocess
import xml.etree.ElementTree as xml

from programs.reading import Reading, Stroke, bezier

MM_PER_POINT = 25.4 / 72


def pages(path):
    """Returns a reading of every page; pens are colours, layers those of the file."""
    trace = subprocess.run(["mutool", "trace", path, "1-N"], capture_output=True, check=True).stdout
    return [page(element) for element in xml.fromstring(repaired(trace)).iter("page")]


def repaired(trace):
    """The trace writes letters without escaping those that XML reserves; words are not asked for."""
    text = trace.decode("utf-8", "replace")
    return re.sub(r"<(fill_text|clip_text|ignore_text).*?</\1>", "", text, flags=re.DOTALL)


def page(element):
    left, bottom, right, top = (float(word) for word in element.get("mediabox").split())
    layer, strokes = None, []
    for part in element.iter():
        if part.tag == "layer":
            layer = part.get("name")
        elif part.tag == "end_layer":
            layer = None
        elif part.tag == "stroke_path":
            matrix = [float(word) for word in part.get("transform").split()]
            pen = colour([float(word) for word in part.get("color").split()])
            strokes += [Stroke(points, layer, pen) for points in outlines(part, matrix)]
    size = (right - left) * MM_PER_POINT, (top - bottom) * MM_PER_POINT
    return Reading(strokes, page=size)


def colour(parts):
    """Returns the colour as six hexadecimal digits."""
    if len(parts) == 1:
        parts = parts * 3
    return "#" + "".join(f"{round(255 * part):02x}" for part in parts)


def outlines(path, matrix):
    """Returns the points of every outline of a path in millimetres, y up."""
    a, b, c, d, e, f = matrix

    def point(step, suffix=""):
        x, y = float(step.get("x" + suffix)), float(step.get("y" + suffix))
        return (a * x + c * y + e) * MM_PER_POINT, -(b * x + d * y + f) * MM_PER_POINT

    found = []
    for step in path:
        if step.tag == "moveto":
            found.append([point(step)])
        elif step.tag == "lineto":
            found[-1].append(point(step))
        elif step.tag == "curveto":
            found[-1] += bezier(found[-1][-1], point(step, "1"), point(step, "2"), point(step, "3"))[1:]
        elif step.tag == "closepath":
            found[-1].append(found[-1][0])
        else:
            raise ValueError(f"unknown step {step.tag}")
    return [points for points in found if len(points) > 1]
