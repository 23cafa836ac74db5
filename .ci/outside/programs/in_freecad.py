"""Runs FreeCAD's importer of DXF on many files; started with the Python of the system, which has its modules.

Usage: in_freecad.py LIST RESULT
"""

import json
import sys

sys.path.insert(0, "/usr/lib/freecad-python3/lib")
import FreeCAD  # noqa: E402
import Import  # noqa: E402

# Largest distance in millimetres of the points that stand for a curve.
NEAR = 0.0005


def strokes(document):
    for item in document.Objects:
        for edge in item.Shape.Edges:
            straight = edge.Curve.TypeId == "Part::GeomLine"
            points = edge.discretize(Number=2) if straight else edge.discretize(QuasiDeflection=NEAR)
            yield item.Label, [(point.x, point.y) for point in points]


FreeCAD.ParamGet("User parameter:BaseApp/Preferences/Mod/Draft").SetBool("groupLayers", True)
with open(sys.argv[1], encoding="utf-8") as paths, open(sys.argv[2], "w", encoding="utf-8") as results:
    for path in paths.read().splitlines():
        document = FreeCAD.newDocument("read")
        Import.readDXF(path)
        print(json.dumps({"path": path, "strokes": list(strokes(document))}), file=results)
        FreeCAD.closeDocument(document.Name)
