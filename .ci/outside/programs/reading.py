"""What another program read from a file: strokes with the layer and pen that it told, y up."""

import dataclasses
import math
from collections import defaultdict

# Ends that lie nearer are one point: the steps of HP-GL are 0.025 mm, other formats round far less.
TOUCHING_MM = 0.03
# Strokes for each piece of a curve; on an arc of a quarter with a radius of 300 mm they stay within 0.001 mm.
PIECES = 256


@dataclasses.dataclass
class Stroke:
    points: list
    layer: str | None = None
    pen: str | None = None

    def is_closed(self, near):
        return len(self.points) > 2 and math.dist(self.points[0], self.points[-1]) <= near

    @property
    def box(self):
        """Left, bottom, right, top."""
        xs, ys = zip(*self.points)
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def area(self):
        turned = self.points[1:] + self.points[:1]
        return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(self.points, turned))) / 2


@dataclasses.dataclass
class Reading:
    """Strokes in millimetres, or in the numbers of the file where the program has no idea of units."""

    strokes: list
    has_unit: bool = True
    # Width and height of the page.
    page: tuple | None = None
    # What this reading is rounded to, in millimetres.
    rounding: float = 0.0

    def scaled(self, factor):
        def move(stroke):
            return Stroke([(x * factor, y * factor) for x, y in stroke.points], stroke.layer, stroke.pen)

        return Reading([move(stroke) for stroke in self.strokes], self.has_unit, rounding=self.rounding * factor)

    def extent(self):
        left, bottom, right, top = zip(*(stroke.box for stroke in self.strokes))
        return max(right) - min(left), max(top) - min(bottom)

    def closed(self):
        """Returns closed outlines, after joining strokes of a layer and pen whose ends touch."""
        near = TOUCHING_MM + 2 * self.rounding
        kinds = defaultdict(list)
        for stroke in self.strokes:
            kinds[stroke.layer, stroke.pen].append(stroke.points)
        joined = (Stroke(points, *kind) for kind, lines in kinds.items() for points in join(lines, near))
        return [stroke for stroke in joined if stroke.is_closed(near)]


def join(lines, near):
    """Joins lines end to end for as long as exactly one other end is there."""
    ends = defaultdict(list)

    def cells(point):
        x, y = (math.floor(value / near) for value in point)
        return [(x + i, y + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]

    def others(point, number):
        found = {other for cell in cells(point) for other, end in ends[cell] if math.dist(point, end) <= near}
        return [other for other in found if other != number and not used[other]]

    used = [False] * len(lines)
    for number, line in enumerate(lines):
        if math.dist(line[0], line[-1]) <= near:
            continue
        for end in (line[0], line[-1]):
            ends[cells(end)[4]].append((number, end))
    for number, line in enumerate(lines):
        if used[number]:
            continue
        used[number] = True
        chain = list(line)
        for _ in range(2):
            while math.dist(chain[0], chain[-1]) > near or len(chain) == 2:
                following = others(chain[-1], number)
                if len(following) != 1:
                    break
                used[following[0]] = True
                added = lines[following[0]]
                if math.dist(added[0], chain[-1]) > math.dist(added[-1], chain[-1]):
                    added = added[::-1]
                chain += added[1:]
            chain.reverse()
        yield chain


def arc(centre, radius, start, sweep):
    """Returns points on an arc; angles in radians, a positive sweep is counterclockwise."""
    count = max(2, math.ceil(PIECES * abs(sweep) / (math.pi / 2)))
    angles = (start + sweep * k / count for k in range(count + 1))
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


def bezier(p0, p1, p2, p3):
    def at(t):
        s = 1 - t
        weights = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        return tuple(sum(w * p[axis] for w, p in zip(weights, (p0, p1, p2, p3))) for axis in (0, 1))

    return [at(k / PIECES) for k in range(PIECES + 1)]


def bulge(start, end, value):
    """Returns points on the arc of a DXF polyline: the bulge is the tangent of a quarter of its angle."""
    if value == 0:
        return [start, end]
    sweep = 4 * math.atan(value)
    chord = math.dist(start, end)
    radius = chord / (2 * math.sin(sweep / 2))
    direction = math.atan2(end[1] - start[1], end[0] - start[0])
    height = radius * math.cos(sweep / 2)
    centre = (
        (start[0] + end[0]) / 2 - height * math.sin(direction),
        (start[1] + end[1]) / 2 + height * math.cos(direction),
    )
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    return arc(centre, abs(radius), first, sweep)
