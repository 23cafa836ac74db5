"""Programs and libraries that read G-code."""

import math
import re
import subprocess

import gcodeparser
import pygcode

from programs.program import Program
from programs.reading import Reading, Stroke, arc

CALL = re.compile(r"([A-Z_]+)\(([^)]*)\)")


def rs274(files, _work):
    return {file.path: rs274_file(file.path) for file in files}


def rs274_file(path):
    """The interpreter of LinuxCNC says every movement with its target in the unit that the file has set."""
    done = subprocess.run(["rs274", "-g", path], stdin=subprocess.DEVNULL, capture_output=True, text=True, check=True)
    path_read, factor = Moves(), 1.0
    for name, words in CALL.findall(done.stdout):
        if name == "USE_LENGTH_UNITS":
            factor = {"CANON_UNITS_MM": 1.0, "CANON_UNITS_INCHES": 25.4}[words]
        elif name in ("STRAIGHT_TRAVERSE", "STRAIGHT_FEED"):
            x, y, z = (float(word) * factor for word in words.split(",")[:3])
            path_read.to(x, y, z)
        elif name == "ARC_FEED":
            # Target, centre, turns (negative is clockwise), height.
            x, y, i, j, turns, z = (float(word) for word in words.split(",")[:6])
            path_read.around(x * factor, y * factor, i * factor, j * factor, turns < 0, z * factor)
    return path_read.reading()


class Moves:
    """Collects what is cut: where the blade is below the surface of the board, which is at zero."""

    def __init__(self):
        self.x = self.y = self.z = 0.0
        self.strokes = []
        self.down = False

    def to(self, x, y, z):
        if z < 0 and (x, y) != (self.x, self.y):
            self.add([(self.x, self.y), (x, y)])
        self.moved(x, y, z)

    def around(self, x, y, i, j, clockwise, z):
        first = math.atan2(self.y - j, self.x - i)
        sweep = (math.atan2(y - j, x - i) - first) % (2 * math.pi) or 2 * math.pi
        if clockwise:
            sweep -= 2 * math.pi
            sweep = sweep or -2 * math.pi
        self.add(arc((i, j), math.hypot(self.x - i, self.y - j), first, sweep))
        self.moved(x, y, z)

    def add(self, points):
        if self.down:
            self.strokes[-1].points += points[1:]
        else:
            self.strokes.append(Stroke(points))
        self.down = True

    def moved(self, x, y, z):
        self.x, self.y, self.z = x, y, z
        self.down = self.down and z < 0

    def reading(self):
        return Reading(self.strokes)


def pygcode_library(files, _work):
    return {file.path: attempt(pygcode_file, file.path) for file in files}


def attempt(read, path):
    try:
        return read(path)
    except Exception as error:  # what a library raises on a file is what is asked for
        return f"{type(error).__name__}: {error}"


def pygcode_file(path):
    """A machine of the library says where it stands after every block."""
    machine, moves = pygcode.Machine(), Moves()
    machine.mode.set_mode(pygcode.GCodeUseMillimeters())
    for text in path.read_text().splitlines():
        line = pygcode.Line(text)
        arcs = [code for code in line.block.gcodes if isinstance(code, pygcode.GCodeArcMove)]
        before = machine.pos
        machine.process_block(line.block)
        factor = 25.4 if isinstance(machine.mode.modal_groups[pygcode.gcodes.MODAL_GROUP_MAP["units"]], pygcode.GCodeUseInches) else 1
        x, y, z = (machine.pos.values[axis] * factor for axis in "XYZ")
        if arcs:
            i, j = ((before.values[axis] + arcs[0].params[word].value) * factor for axis, word in (("X", "I"), ("Y", "J")))
            moves.around(x, y, i, j, isinstance(arcs[0], pygcode.GCodeArcMoveCW), z)
        else:
            moves.to(x, y, z)
    return moves.reading()


def gcodeparser_library(files, _work):
    return {file.path: attempt(gcodeparser_file, file.path) for file in files}


def gcodeparser_file(path):
    """The parser hands out words and numbers; what they mean is the standard's (ISO 6983, RS-274)."""
    moves, place, factor = Moves(), {"X": 0.0, "Y": 0.0, "Z": 0.0}, 1.0
    for line in gcodeparser.GcodeParser(path.read_text()).lines:
        if line.command == ("G", 20):
            factor = 25.4
        if line.command[0] != "G" or line.command[1] not in (0, 1, 2, 3):
            continue
        before = dict(place)
        place.update((axis, value * factor) for axis, value in line.params.items() if axis in place)
        if line.command[1] in (0, 1):
            moves.to(*place.values())
        else:
            centre = before["X"] + line.params["I"] * factor, before["Y"] + line.params["J"] * factor
            moves.around(place["X"], place["Y"], *centre, line.command[1] == 2, place["Z"])
    return moves.reading()


# Without layers and pens: G-code has neither.
NOTHING = frozenset(["layers", "pens"])
KINDS = ("G-code",)
PROGRAMS = [
    Program("LinuxCNC 2.9, rs274", KINDS, rs274, NOTHING, rounding={"G-code": 0.005}),
    Program("pygcode 0.2 (PyPI)", KINDS, pygcode_library, NOTHING),
    Program("gcodeparser 0.3 (PyPI)", KINDS, gcodeparser_library, NOTHING),
]
