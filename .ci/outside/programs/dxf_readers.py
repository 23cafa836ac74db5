"""CAD and drawing programs, and libraries, that read DXF."""

import json
import os
import pathlib
import re
import subprocess

import ezdxf
import ezdxf.path
import ezdxf.units

from programs import svg_paths, traced
from programs.program import DXF, DXF_OF_ARCS, Program
from programs.reading import Reading, Stroke, arc, bulge

HERE = pathlib.Path(__file__).resolve().parent
SYSTEM_PYTHON = "/usr/bin/python3"
# Drawings may begin a little off the origin.
MARGIN_MM = 25

# LibreCAD draws in whole steps of 1,200 to an inch, and leaves out what lies beyond its page: A4 in the unit of the
# drawing, so a page for inches is 25.4 times as large.
STEPS_PER_MM = 1200 / 25.4
A4_MM = (210, 297)


def librecad(files, work):
    """Prints to PDF, as large as all of it can be seen, and measures the lines there."""
    scales = {file.path: librecad_scale(file) for file in files}
    environment = {"QT_QPA_PLATFORM": "offscreen", "HOME": str(work), "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"}
    for scale in sorted(set(scales.values())):
        names = []
        for number, file in enumerate(files):
            if scales[file.path] == scale:
                names.append(str(work / f"{number}.dxf"))
                pathlib.Path(names[-1]).symlink_to(file.path.resolve())
        command = ["librecad", "dxf2pdf", "-s", str(scale), "-t", str(work / "pdf"), *names]
        subprocess.run(command, env=environment, check=True, capture_output=True)
    return {
        file.path: librecad_page(work / "pdf" / f"{number}.pdf", scales[file.path]) for number, file in enumerate(files)
    }


def librecad_scale(file):
    room = min(side / (length + 2 * MARGIN_MM) for side, length in zip(A4_MM, file.size))
    return next(scale for scale in (1, 0.5, 0.25, 0.1) if scale <= room)


def librecad_page(path, scale):
    page = traced.pages(path)[0]
    # LibreCAD draws by the mean of its steps in a millimetre across and down, with the page in whole millimetres.
    mean = sum(round(length * STEPS_PER_MM) / round(length) for length in page.page) / 2
    drawn = Reading(page.strokes).scaled(STEPS_PER_MM / mean / scale)
    drawn.rounding = 1 / STEPS_PER_MM / scale
    return drawn


def child(script, files, work, interpreter=SYSTEM_PYTHON, more=()):
    """Runs a script in an interpreter of its own, which prints what it read as JSON lines."""
    (work / "files.txt").write_text("\n".join(str(file.path) for file in files))
    done = subprocess.run([interpreter, str(HERE / script), str(work / "files.txt"), str(work / "read.jsonl"), *more],
                          env={**os.environ, "HOME": str(work)}, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{script} failed: {done.stderr[-2000:]}")
    lines = (work / "read.jsonl").read_text().splitlines()
    return {pathlib.Path(data["path"]): data for data in map(json.loads, lines)}


def freecad(files, work):
    found = child("in_freecad.py", files, work)
    return {path: Reading([Stroke(points, layer) for layer, points in data["strokes"]]) for path, data in found.items()}


def inkscape(method):
    def read(files, work):
        found = child("in_inkscape.py", files, work, more=[method])
        return {path: inkscape_page(data["svg"]) for path, data in found.items()}

    return read


def inkscape_page(text):
    """Reads what the importer hands to Inkscape, where it rounds lines to about a thousandth of a millimetre."""
    read = svg_paths.reading(text)
    read.rounding = 0.0015
    return read


# GDAL makes chords of arcs, of four degrees where it is not told otherwise.
FINE_ARCS = ["--config", "OGR_ARC_STEPSIZE", "0.25"]


def ogrinfo(files, _work):
    return {file.path: ogrinfo_file(file.path) for file in files}


def ogrinfo_file(path):
    """Reads points as `ogrinfo` prints them; it has no idea of units."""
    printed = subprocess.run(["ogrinfo", "-al", "-q", *FINE_ARCS, path], capture_output=True, check=True).stdout.decode("latin-1")
    strokes = []
    for feature in printed.split("OGRFeature(entities)")[1:]:
        layer = re.search(r"^  Layer \(String\) = (.*)$", feature, re.MULTILINE)
        pen = re.search(r"^  Style = PEN\(c:(#\w{6})", feature, re.MULTILINE)
        for line in re.findall(r"\(([-\d.][^()]*)\)", feature.split("Style = ")[-1].split("\n", 1)[-1]):
            points = [tuple(map(float, point.split()[:2])) for point in line.split(",")]
            strokes.append(Stroke(points, layer and layer.group(1), pen and pen.group(1)))
    return Reading(strokes, has_unit=False)


def node(library):
    """Runs a reader of the npm registry; the unit is what it tells of the header."""

    def read(files, work):
        found = child("in_node.js", files, work, "node")
        return {path: node_reading(data[library]) for path, data in found.items()}

    return read


def node_reading(data):
    if isinstance(data, str):
        return data
    strokes = []
    for shape in data["shapes"]:
        points = []
        for start, end in zip(shape["points"], shape["points"][1:]):
            points += bulge(start[:2], end[:2], start[2] if len(start) > 2 else 0)[1 if points else 0:]
        if "arc" in shape:
            points = arc(*shape["arc"])
        strokes.append(Stroke([tuple(point[:2]) for point in points], shape["layer"], shape["pen"]))
    millimetres = {1: 25.4, 4: 1.0}.get(data["unit"])
    drawn = Reading(strokes, has_unit=millimetres is not None)
    return drawn.scaled(millimetres) if millimetres else drawn


def ezdxf_library(files, _work):
    return {file.path: ezdxf_file(file.path) for file in files}


def ezdxf_file(path):
    document = ezdxf.readfile(path)
    strokes = []
    for entity in document.modelspace():
        points = [(point.x, point.y) for point in ezdxf.path.make_path(entity).flattening(0.00002)]
        color = ezdxf.colors.aci2rgb(document.layers.get(entity.dxf.layer).color)
        strokes.append(Stroke(points, entity.dxf.layer, color.to_hex()))
    unit = ezdxf.units.unit_name(document.units)
    drawn = Reading(strokes, has_unit=document.units in (1, 4))
    return drawn.scaled({"Inches": 25.4, "Millimeters": 1.0}[unit]) if drawn.has_unit else drawn


NO_LAYERS = frozenset(["layers"])
PROGRAMS = [
    Program("LibreCAD 2.2", DXF, librecad, NO_LAYERS),
    Program("FreeCAD 0.20", DXF, freecad, frozenset(["pens"])),
    Program("Inkscape 1.2, importer, unit read from the file", DXF, inkscape("file")),
    Program("Inkscape 1.2, importer as it is set at first", DXF, inkscape("manual"), frozenset(["unit"])),
    Program("GDAL 3.6, ogrinfo", DXF, ogrinfo, frozenset(["unit"])),
    Program("dxf-parser 1.1 (npm)", DXF, node("dxf-parser")),
    # Makes chords of five degrees of arcs.
    Program("dxf 5.3 (npm)", DXF, node("dxf"), frozenset(["unit"]), rounding=dict.fromkeys(DXF_OF_ARCS, 0.25)),
    # Makes cubic curves of arcs.
    Program("ezdxf 1.4 (PyPI)", DXF, ezdxf_library, rounding=dict.fromkeys(DXF_OF_ARCS, 0.02)),
]
