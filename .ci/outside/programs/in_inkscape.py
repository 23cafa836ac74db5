"""Runs Inkscape's importer of DXF on many files; started with the Python of the system, which has its modules.

Usage: in_inkscape.py LIST RESULT METHOD        the method of scaling: file or manual
"""

import io
import json
import sys

sys.path.insert(0, "/usr/share/inkscape/extensions")
import dxf_input  # noqa: E402


def imported(path, method):
    """Returns the SVG text that Inkscape opens in place of the file."""
    result = io.BytesIO()
    dxf_input.DxfInput().run([f"--scalemethod={method}", path], result)
    return result.getvalue().decode()


with open(sys.argv[1], encoding="utf-8") as paths, open(sys.argv[2], "w", encoding="utf-8") as results:
    for path in paths.read().splitlines():
        print(json.dumps({"path": path, "svg": imported(path, sys.argv[3])}), file=results)
