#!/usr/bin/env python3
"""Loads DXF files with ezdxf and audits them; fails unless every file has no error and needs no fix.

Files of both releases must name their unit in the header, in both of its variables.

Usage: check_dxf.py FILE...        (pip install ezdxf)
"""

import sys

import ezdxf

# Inches in $INSUNITS (DXF reference, header section).
INCHES = 1


def complaints(path):
    """Returns what is wrong with a file, a line each."""
    try:
        document = ezdxf.readfile(path)
    except (IOError, ezdxf.DXFError) as error:
        return [f"does not load: {error}"]
    auditor = document.audit()
    found = [f"error: {entry.message}" for entry in auditor.errors]
    found += [f"fix: {entry.message}" for entry in auditor.fixes]
    if document.dxfversion not in ("AC1009", "AC1015"):
        found.append(f"is {document.dxfversion}, neither AC1009 nor AC1015")
    unit = document.header.get("$INSUNITS", 0)
    if unit == 0:
        found.append("has no unit")
    if document.header.get("$MEASUREMENT") != (0 if unit == INCHES else 1):
        found.append("names a unit and another system of measurement")
    undefined = {entity.dxf.layer for entity in document.modelspace() if entity.dxf.layer not in document.layers}
    found += [f"the layer {layer} is not in the table" for layer in sorted(undefined)]
    return found


def main(paths):
    if not paths:
        print(__doc__, file=sys.stderr)
        return 2
    failed = 0
    for path in paths:
        found = complaints(path)
        failed += bool(found)
        for complaint in found:
            print(f"{path}: {complaint}", file=sys.stderr)
    print(f"{len(paths)} DXF files audited, {failed} with errors or fixes")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
