"""The table of programs and formats in the documentation."""

import math
import re

BEGIN, END = "<!-- The table is made by .ci/outside/check_programs.py. -->", "<!-- End of the table. -->"
# Columns of each table: kinds of files, in one unit or in both.
TABLES = [
    (["DXF R12", "DXF R12, lines", "DXF R12, bulges", "DXF R12, arcs"], ["mm", "in"]),
    (["DXF R2000", "DXF R2000, separate"], ["mm", "in"]),
    (["HP-GL", "SVG", "PDF"], ["mm"]),
    (["G-code"], ["mm", "in"]),
]


def write(results):
    """Returns the tables; `results` holds findings by program, kind and unit."""
    programs = list(dict.fromkeys(program for program, _, _ in results))
    parts = []
    for kinds, units in TABLES:
        columns = [(kind, unit) for kind in kinds for unit in units]
        columns = [column for column in columns if any((program, *column) in results for program in programs)]
        rows = [program for program in programs if any((program, *column) in results for column in columns)]
        if not rows:
            continue
        heads = [f"{kind}, {unit}" if len(units) > 1 else kind for kind, unit in columns]
        lines = ["| program | " + " | ".join(heads) + " |", "|---" * (len(heads) + 1) + "|"]
        for program in rows:
            cells = [cell(program, results.get((program, *column))) for column in columns]
            lines.append(f"| {program.name} | " + " | ".join(cells) + " |")
        parts.append("\n".join(lines))
    return "\n\n".join(parts)


def cell(program, findings):
    if findings is None:
        return ""
    largest = max(finding.deviation for finding in findings)
    if any(finding.complaints for finding in findings):
        return "WRONG" if math.isinf(largest) else f"WRONG, {largest:.3f}"
    verdict = "numbers right" if "unit" in program.without else "right"
    return f"{verdict}, {largest:.3f}"


def verdicts(text):
    """Returns the tables without their numbers, which may change a little from one release of a program to the next."""
    return re.sub(r", \d+\.\d+", "", text).strip()


def kept(page):
    return page.split(BEGIN, 1)[1].split(END, 1)[0]


def put(page, tables):
    before, rest = page.split(BEGIN, 1)
    return f"{before}{BEGIN}\n\n{tables}\n\n{END}{rest.split(END, 1)[1]}"
