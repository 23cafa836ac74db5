"""Holds what a program read against what the job orders."""

import dataclasses
import math
import re

from programs.corpus import COARSER_MM

# Largest difference in millimetres of an edge, a size, or of an area over its perimeter.
LIMIT_MM = 0.01
# What formats themselves round: HP-GL has steps of 0.025 mm, and both edges of a size are on them.
FORMAT_MM = {"HP-GL": 0.025}
# Colours of the layers by kind of file, the red and black of plotter pens and of AutoCAD's index; 7 is black or white. A profile has its own.
PENS = {
    "DXF": {"CUT": {"#ff0000"}, "EDGE": {"#000000", "#ffffff"}},
    "HP-GL": {"CUT": {"#ff0000"}, "EDGE": {"#000000"}},
    "SVG": {"CUT": {"#be1414"}, "EDGE": {"#000000"}},
    "PDF": {"CUT": {"#be1414"}, "EDGE": {"#000000"}},
    "vector-cutter": {"CUT": {"#b03a6f"}, "EDGE": {"#1f6f78"}},
}


@dataclasses.dataclass
class Finding:
    """How far a program is from the order with one file, and what is wrong."""

    deviation: float = 0.0
    complaints: list = dataclasses.field(default_factory=list)


def judge(program, file, reading):
    """Compares what a program read of a file with the order."""
    if isinstance(reading, str):
        return Finding(math.inf, [f"is not read: {reading}"])
    finding = Finding()
    if "unit" in program.without:
        reading = reading.scaled(file.mm_per_unit)
    elif not reading.has_unit:
        finding.complaints.append("is read without a unit")
        reading = reading.scaled(file.mm_per_unit)
    limit = LIMIT_MM + COARSER_MM.get(file.view, 0) + FORMAT_MM.get(file.kind, 0) + program.rounding.get(file.kind, 0) + reading.rounding
    checks = [check_page(file, reading)]
    if "outlines" not in program.without:
        checks += [check_size(file, reading), *check_outlines(program, file, reading)]
    for what, deviation in checks:
        finding.deviation = max(finding.deviation, deviation)
        if deviation > limit:
            finding.complaints.append(f"{what} is off by {deviation:.4f} mm, more than {limit:.4f}")
    finding.complaints += check_layers(program, file, reading)
    return finding


def check_page(file, reading):
    if reading.page is None or file.page is None:
        return "page", 0.0
    return "page", max(abs(a - b) for a, b in zip(reading.page, file.page))


def check_size(file, reading):
    """The size of all lines; programs that draw the words of plotters as lines are held against the size with them."""
    size = file.size_with_texts if file.kind == "HP-GL" and file.size_with_texts else file.size
    if not reading.strokes:
        return "size", math.inf
    return "size", max(abs(a - b) for a, b in zip(reading.extent(), size))


def check_outlines(program, file, reading):
    closed = reading.closed()
    if not file.outlines:
        return
    edge = file.outlines[0]
    found = min(of_layer(closed, edge, program, file), key=lambda stroke: size_off(edge, stroke), default=None)
    if found is None:
        yield "the edge is not found, which", math.inf
        return
    origin = found.box[:2]
    for outline in file.outlines:
        candidates = of_layer(closed, outline, program, file)
        off = min((apart(outline, stroke, origin) for stroke in candidates), default=math.inf)
        yield f"an outline of {outline.layer}", off


def of_layer(strokes, outline, program, file):
    """Returns the strokes that a program shows on the layer and in the colour of an outline."""
    colours = PENS.get(file.view) or PENS[file.kind.split()[0]]
    return [
        stroke
        for stroke in strokes
        if ("layers" in program.without or (stroke.layer or "").upper() == outline.layer)
        and ("pens" in program.without or stroke.pen in colours[outline.layer])
    ]


def size_off(outline, stroke):
    left, bottom, right, top = stroke.box
    return max(abs(right - left - (outline.box[2] - outline.box[0])), abs(top - bottom - (outline.box[3] - outline.box[1])))


def apart(outline, stroke, origin):
    """Returns by how much edges and area differ, seen from the corner of the board; the area counts as a strip along the
    outline."""
    box = (side - origin[axis % 2] for axis, side in enumerate(stroke.box))
    edges = max(abs(a - b) for a, b in zip(box, outline.box))
    return max(edges, abs(stroke.area - outline.area) / outline.perimeter)


def check_layers(program, file, reading):
    if "layers" in program.without or file.kind == "HP-GL" or not reading.strokes:
        return
    # FreeCAD has no other signs in names than letters, digits and the low line.
    found = {re.sub(r"\W", "_", stroke.layer or "none").upper() for stroke in reading.strokes}
    wanted = {re.sub(r"\W", "_", layer).upper() for layer in file.layers}
    if found != wanted:
        yield f"has the layers {', '.join(sorted(found))}, not {', '.join(sorted(wanted))}"
