"""A program that reads our files: what it is, what it reads, and what it cannot do by its nature."""

import dataclasses
from typing import Callable


@dataclasses.dataclass(eq=False)
class Program:
    name: str
    kinds: tuple
    # From files to a reading of each, or to words about what went wrong.
    read: Callable
    # What the program cannot tell by its nature: of "unit", "layers", "pens", "outlines" (closed lines with an area).
    without: frozenset = frozenset()
    # How far its own rounding goes beyond that of the format, in millimetres, by kind of file.
    rounding: dict = dataclasses.field(default_factory=dict)


# By what stands for curves: chords, or arcs of circles and ellipses.
DXF_OF_CHORDS = ("DXF R12", "DXF R12, lines")
DXF_OF_ARCS = ("DXF R12, bulges", "DXF R12, arcs", "DXF R2000", "DXF R2000, separate")
DXF = DXF_OF_CHORDS + DXF_OF_ARCS
