#!/usr/bin/env python3
"""Compares the face and the back of openings with mitred buffers of shapely (GEOS), for polygons and sampled curves.

Usage: check_offsets.py BACKLINE [JOB...]        random openings, and the openings of the jobs
                                                 (pip install shapely)
"""

import json
import math
import os
import random
import subprocess
import sys
import tempfile

from shapely import Polygon

# Points on a sampled curve: its chords are then within a hundred-thousandth of a millimetre of it.
POINTS = 20_000
# Largest relative difference of area and perimeter, and largest difference of bounds in millimetres.
SAME_SHARE = 1e-6
SAME_MM = 1e-4


def star(dice):
    """A polygon that is hardly ever convex."""
    count = dice.randint(3, 12)
    corners = []
    for k in range(count):
        angle = 2 * math.pi * (k + 0.7 * dice.random()) / count
        radius = dice.uniform(60, 160)
        corners.append([round(radius * math.cos(angle), 3), round(radius * math.sin(angle), 3)])
    return {"shape": {"polygon": {"corners": corners}}}, corners


def regular(dice):
    sides = dice.randint(3, 16)
    flats = round(dice.uniform(60, 200), 2)
    radius = 0.5 * flats / math.cos(math.pi / sides)
    first = 0.5 * math.pi + math.pi / sides
    corners = [
        [radius * math.cos(first + 2 * math.pi * k / sides), radius * math.sin(first + 2 * math.pi * k / sides)]
        for k in range(sides)
    ]
    return {"shape": {"regular_polygon": {"sides": sides, "across_flats": flats}}}, corners


def ellipse(dice):
    width, height = round(dice.uniform(60, 300), 2), round(dice.uniform(60, 300), 2)
    turn = [2 * math.pi * k / POINTS for k in range(POINTS)]
    return (
        {"shape": "ellipse", "size": [width, height]},
        [[0.5 * width * math.cos(t), 0.5 * height * math.sin(t)] for t in turn],
    )


def rounded(dice):
    width, height = round(dice.uniform(60, 300), 2), round(dice.uniform(60, 300), 2)
    radius = round(dice.uniform(5, 29), 2)
    points = []
    for k, (x, y) in enumerate([(1, 1), (-1, 1), (-1, -1), (1, -1)]):
        for step in range(POINTS // 4 + 1):
            angle = 0.5 * math.pi * (k + step / (POINTS // 4))
            points.append([
                x * (0.5 * width - radius) + radius * math.cos(angle),
                y * (0.5 * height - radius) + radius * math.sin(angle),
            ])
    return {"size": [width, height], "shape": {"rectangle": {"corner_radius": radius}}}, points


def notched(dice):
    """A tongue of board and a slot of the opening, each narrower than twice the largest bevel."""
    width, height = round(dice.uniform(120, 300), 2), round(dice.uniform(120, 300), 2)
    tongue, slot, deep = (round(dice.uniform(0.5, 9), 2) for _ in range(3))
    x, y = round(dice.uniform(20, 80), 2), round(dice.uniform(20, 80), 2)
    corners = [
        [0, 0], [x, 0], [x, deep + 2], [x + tongue, deep + 2], [x + tongue, 0], [width, 0],
        [width, y], [width + deep, y], [width + deep, y + slot], [width, y + slot], [width, height], [0, height],
    ]
    return {"shape": {"polygon": {"corners": corners}}}, corners


def measures(outline):
    left, top, right, bottom = outline.bounds
    return {
        "width": right - left,
        "height": bottom - top,
        "area": outline.area,
        "perimeter": outline.exterior.length,
    }


def complaints(found, expected):
    for name, value in expected.items():
        allowed = SAME_MM if name in ("width", "height") else SAME_SHARE * value
        if abs(found[name] - value) > allowed:
            yield f"{name} is {found[name]}, not {value}"


def check_random(backline):
    dice = random.Random(1874)
    cases = []
    for number in range(500):
        shapes = [star, star, regular, ellipse, rounded] if number < 400 else [notched]
        opening, points = shapes[number % len(shapes)](dice)
        named = ["sight", "face", "back"][number % 3]
        job = {
            "unit": "mm",
            "outer": [600, 600],
            "sizes": named,
            "board": {"thickness": round(dice.uniform(0.8, 4.5), 3)},
            "bevel": {
                "direction": dice.choice(["standard", "reverse"]),
                "angle_from_upright": dice.choice([45, 45, 52, 30]),
            },
            "opening": opening,
        }
        cases.append((job, named, Polygon(points)))
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for number, (job, _, _) in enumerate(cases):
            paths.append(os.path.join(folder, f"{number}.json"))
            with open(paths[-1], "w", encoding="utf-8") as file:
                json.dump(job, file)
        printed = subprocess.run([backline, "check", "--json", *paths], capture_output=True, check=False).stdout
    failed = compared = refused = trimmed = 0
    for (job, named, outline), mat in zip(cases, json.loads(printed), strict=True):
        if not mat["layers"]:
            refused += 1
            codes = {problem["code"] for problem in mat["problems"]}
            if codes != {"no-bevel"}:
                failed += 1
                print(f"{codes}: {json.dumps(job)}", file=sys.stderr)
            continue
        trimmed += any(problem["code"] == "trimmed" for problem in mat["problems"])
        layer = mat["layers"][0]
        opening = layer["openings"][0]
        width = layer["bevel"]["width"]
        larger = "face" if layer["bevel"]["direction"] == "standard" else "back"
        for edge in ["sight", "face", "back"]:
            distance = (width if edge == larger else 0) - (width if named == larger else 0)
            expected = outline if distance == 0 else outline.buffer(distance, join_style="mitre", mitre_limit=1e6)
            compared += 1
            for complaint in complaints(opening[edge], measures(expected)):
                failed += 1
                print(f"{edge}: {complaint}: {json.dumps(job)[:300]}", file=sys.stderr)
    print(f"{compared} outlines compared with shapely, {trimmed} jobs trimmed, {refused} without a bevel, {failed} faults")
    return failed or refused > len(cases) // 4


def drawn(backline, job, view, folder):
    """Returns the cut outlines of each board of a job as finely flattened polygons."""
    out = os.path.join(folder, view)
    command = [backline, "draw", job, "-o", out, "--view", view, "--format", "json", "--tolerance", "0.0001 mm", "--force"]
    if subprocess.run(command, capture_output=True, check=False).returncode != 0:
        return {}
    boards = {}
    for name in sorted(os.listdir(out)):
        with open(os.path.join(out, name), encoding="utf-8") as file:
            drawing = json.load(file)
        cuts = [line for line in drawing["polylines"] if line["role"] == "cut"]
        width = drawing["sheet"]["width"]
        # The path from the back is mirrored.
        turn = (lambda x, width=width: width - x) if view == "cut" else (lambda x: x)
        polygons = [Polygon([(turn(x), y) for x, y in line["points"]]) for line in cuts]
        boards[name.removesuffix(f"-{view}.json")] = polygons
    return boards


def check_job(backline, job):
    """Returns how many openings of a job were compared and how many differ from the buffers of shapely."""
    with tempfile.TemporaryDirectory() as folder:
        backs, faces = drawn(backline, job, "cut", folder), drawn(backline, job, "cut-face", folder)
    if not backs:
        return 0, 0
    printed = subprocess.run([backline, "check", "--json", job], capture_output=True, check=False).stdout
    compared = failed = 0
    for layer, back, face in zip(json.loads(printed)["layers"], backs.values(), faces.values(), strict=True):
        for opening, b, f in zip(layer["openings"], back, face, strict=True):
            bevel = opening.get("bevel") or layer["bevel"]
            inner, outer = (f, b) if bevel["direction"] == "reverse" else (b, f)
            expected = inner.buffer(bevel["width"], join_style="mitre", mitre_limit=1e6)
            compared += 1
            # Flattening leaves a sliver along the outline; anything wider is a fault.
            sliver = outer.symmetric_difference(expected).area / outer.exterior.length
            if sliver > 2e-3:
                failed += 1
                print(f"{job}: opening {opening['id']}: {sliver:.5f} mm off on average", file=sys.stderr)
    return compared, failed


def main(backline, jobs):
    failed = check_random(backline)
    results = [check_job(backline, job) for job in jobs]
    if jobs:
        compared, faults = (sum(column) for column in zip(*results, strict=True))
        print(f"{compared} bevels of {len(jobs)} jobs compared with shapely, {faults} faults")
        failed = failed or faults
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
