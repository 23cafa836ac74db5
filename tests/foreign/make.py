"""Writes the drawings of this folder with ezdxf and svgwrite, and what ezdxf measures of them.

    pip install ezdxf svgwrite && python3 make.py

The drawings are invented. ezdxf writes and evaluates DXF independently of this project: its own sizes and lengths of every layer
go to expected.json, in millimetres. SVG has no such judge; the sizes of its figures are worked out by hand, beside each.
"""

import json
import math
from pathlib import Path

import ezdxf
import svgwrite
from ezdxf import disassemble

HERE = Path(__file__).parent
expected = {}
# Nothing of the day, the program or the machine on which it was written.
ezdxf.options.write_fixed_meta_data_for_testing = True


def chains_of(entity):
    """Points of the strokes of a figure, so close that size and length are true to a millionth."""
    kind = entity.dxftype()
    if kind == "LINE":
        return [[entity.dxf.start, entity.dxf.end]]
    if kind in ("LWPOLYLINE", "POLYLINE"):
        return [chain for part in entity.virtual_entities() for chain in chains_of(part)]
    if kind in ("ARC", "CIRCLE"):
        start, end = (entity.dxf.start_angle, entity.dxf.end_angle) if kind == "ARC" else (0, 360)
        span = (end - start) % 360 or 360
        return [list(entity.vertices([start + span * at / 20000 for at in range(20001)]))]
    tool = entity.construction_tool()
    if kind == "SPLINE":
        knots = tool.knots()
        low, high = knots[tool.order - 1], knots[tool.count]
        return [list(tool.points([low + (high - low) * at / 20000 for at in range(20001)]))]
    if kind == "ELLIPSE":
        span = (tool.end_param - tool.start_param) % math.tau or math.tau
        return [list(tool.vertices([tool.start_param + span * at / 20000 for at in range(20001)]))]
    raise ValueError(kind)


def measured(document):
    layers = {}
    for entity in disassemble.recursive_decompose(document.modelspace()):
        if entity.dxftype() in ("TEXT", "POINT"):
            continue
        layer = layers.setdefault(entity.dxf.layer, {"length": 0.0, "points": []})
        for points in chains_of(entity):
            layer["length"] += sum(a.distance(b) for a, b in zip(points, points[1:]))
            layer["points"] += points
    result = {}
    for name, layer in layers.items():
        xs, ys = [p.x for p in layer["points"]], [p.y for p in layer["points"]]
        box = [min(xs), min(ys), max(xs), max(ys)]
        result[name] = {"box": [round(side, 5) for side in box], "length": round(layer["length"], 4)}
    return result


def save(document, name, unit):
    document.units = unit
    document.saveas(HERE / name)
    factor = {4: 1.0, 1: 25.4, 5: 10.0}[unit]
    layers = measured(document)
    for layer in layers.values():
        layer["box"] = [round(side * factor, 4) for side in layer["box"]]
        layer["length"] = round(layer["length"] * factor, 3)
    expected[name] = layers


def splines():
    document = ezdxf.new("R2000")
    space = document.modelspace()
    layer = lambda name: {"layer": name}
    space.add_open_spline([(0, 0), (60, 90), (140, -40), (180, 70), (220, 10)], degree=3, dxfattribs=layer("CUBIC"))
    space.add_open_spline([(0, 200), (50, 260), (110, 150), (160, 240), (210, 210), (260, 260)], degree=5, dxfattribs=layer("QUINTIC"))
    closed = space.add_spline(dxfattribs=layer("CLOSED"))
    closed.set_closed([(300, 0, 0), (380, 20, 0), (400, 110, 0), (330, 150, 0), (280, 80, 0)], degree=3)
    half = math.sqrt(0.5)
    ring = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    space.add_rational_spline(
        [(500 + 80 * x, 100 + 60 * y) for x, y in ring], [1, half] * 4 + [1], degree=2,
        knots=[0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4], dxfattribs=layer("OVAL"))
    space.add_spline_control_frame([(0, 400), (40, 460), (120, 430), (200, 480)], dxfattribs=layer("FITTED"))
    save(document, "splines.dxf", 4)


def blocks():
    document = ezdxf.new("R2000")
    space = document.modelspace()
    # The outer block comes first in the file, before the one that it inserts.
    outer, inner = document.blocks.new("A-MAT"), document.blocks.new("B-OPENING", base_point=(1, 1))
    inner.add_lwpolyline([(1, 1, 0, 0, 0), (5, 1, 0, 0, 0.5), (5, 4, 0, 0, 0), (1, 4, 0, 0, 0)], format="xyseb", close=True, dxfattribs={"layer": "OPENING"})
    inner.add_circle((3, 2.5), 0.5, dxfattribs={"layer": "HOLE"})
    outer.add_line((0, 0), (16, 0), dxfattribs={"layer": "EDGE"})
    outer.add_line((16, 0), (16, 12), dxfattribs={"layer": "EDGE"})
    outer.add_blockref("B-OPENING", (2, 3), dxfattribs={"layer": "CUT", "xscale": 1.5, "yscale": 0.75, "rotation": 30})
    outer.add_blockref("B-OPENING", (9, 6), dxfattribs={"layer": "CUT", "xscale": -1, "yscale": 1})
    space.add_blockref("A-MAT", (10, 5), dxfattribs={"layer": "PLACED", "rotation": 90, "xscale": 2, "yscale": 2})
    space.add_blockref("a-mat", (-30, 0), dxfattribs={"layer": "PLACED", "extrusion": (0, 0, -1)})
    rows = space.add_blockref("B-OPENING", (100, 20), dxfattribs={
        "layer": "ROWS", "rotation": 20, "column_count": 3, "row_count": 2, "column_spacing": 7, "row_spacing": 5})
    assert rows.mcount == 6
    save(document, "blocks.dxf", 1)


def curves():
    document = ezdxf.new("R2000")
    space = document.modelspace()
    space.add_ellipse((40, 30), major_axis=(30, 10), ratio=0.4, start_param=0.5, end_param=4.0, dxfattribs={"layer": "PART"})
    space.add_ellipse((140, 30), major_axis=(0, 25), ratio=0.6, dxfattribs={"layer": "WHOLE"})
    space.add_ellipse((240, 30), major_axis=(30, 10), ratio=0.4, start_param=5.5, end_param=1.0,
                      dxfattribs={"layer": "BEHIND", "extrusion": (0, 0, -1)})
    space.add_arc((60, 120), 20, start_angle=300, end_angle=45, dxfattribs={"layer": "ARC"})
    space.add_arc((60, 120), 20, start_angle=300, end_angle=45, dxfattribs={"layer": "ARC-BEHIND", "extrusion": (0, 0, -1)})
    vertices = [(0, 200, 0, 0, 0.3), (80, 200, 0, 0, -1.2), (90, 240, 0, 0, 0), (20, 260, 0, 0, 2.5)]
    space.add_lwpolyline(vertices, format="xyseb", close=True, dxfattribs={"layer": "BULGES"})
    space.add_lwpolyline(vertices, format="xyseb", close=True, dxfattribs={"layer": "BULGES-BEHIND", "extrusion": (0, 0, -1)})
    old = space.add_polyline2d([(150, 200), (220, 200), (220, 250)], format="xy", dxfattribs={"layer": "OLD"})
    old.vertices[0].dxf.bulge = -0.4
    old.close(True)
    space.add_text("not a line", height=5, dxfattribs={"layer": "WORDS"})
    save(document, "curves.dxf", 5)


def shapes():
    """One figure a group; the size of each in millimetres stands beside it."""
    drawing = svgwrite.Drawing(HERE / "shapes.svg", size=("20cm", "10cm"), viewBox="0 0 400 200", profile="full")
    # Two user units are a millimetre.
    sizes = {}

    def group(name, size, **extra):
        sizes[name] = size
        return drawing.add(drawing.g(id=name, **extra))

    plain = group("plain", [40.0, 20.0], fill="none", stroke="black")
    plain.add(drawing.rect((10, 10), (80, 40)))
    # Turned by a quarter and doubled: 2 · 40 / 2 by 2 · 80 / 2.
    turned = group("turned", [40.0, 80.0], transform="translate(200 20) scale(2) rotate(90)")
    turned.add(drawing.rect((0, 0), (80, 40)))
    # A circle of radius 20, slanted by x + y / 2: half a width of √(20² + 10²).
    slanted = group("slanted", [math.hypot(20, 10), 20.0], transform="matrix(1 0 0.5 1 0 0)")
    slanted.add(drawing.circle((60, 100), 20))
    # An oval with both axes turned by 30 degrees: √(a² cos² + b² sin²) and √(a² sin² + b² cos²).
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    oval = group("oval", [math.hypot(60 * c, 30 * s), math.hypot(60 * s, 30 * c)])
    oval.add(drawing.ellipse((0, 0), (60, 30), transform="translate(300,100) rotate(30)"))
    # Lengths with units of their own: 25.4 mm and half of it, since a user unit of 1/96 in is scaled to half a millimetre.
    factor = 0.5 / (25.4 / 96)
    units = group("units", [25.4 * factor, 12.7 * factor])
    units.add(drawing.rect(("1in", "1in"), ("1in", "0.5in")))
    # A page in the page: 10 units wide are shown in 50.
    inner = group("inner", [20.0, 10.0])
    view = inner.add(drawing.svg((10, 150), ("50", "25"), viewBox="0 0 10 5"))
    view.add(drawing.polyline([(1, 0), (9, 0), (9, 4), (1, 4)]))
    # Half the view box wide and a quarter high.
    shares = group("shares", [100.0, 25.0])
    shares.add(drawing.rect(("10%", "10%"), ("50%", "25%")))
    # A symbol, shown 30 wide.
    symbol = drawing.symbol(id="tick")
    symbol.viewbox(0, 0, 3, 3)
    symbol.add(drawing.path("M0 0 L3 3 M0 3 l3 -3"))
    drawing.defs.add(symbol)
    used = group("used", [15.0, 15.0])
    used.add(drawing.use("#tick", (250, 150), (30, 30)))
    drawing.save(pretty=True)
    expected["shapes.svg"] = {name: {"size": [round(side, 5) for side in size]} for name, size in sizes.items()}


splines()
blocks()
curves()
shapes()
(HERE / "expected.json").write_text(json.dumps(expected, indent=1) + "\n")
