"""A program that reads HP-GL: hp2xx."""

import re
import subprocess

from programs import svg_paths
from programs.program import Program

# Its SVG has 72 units in an inch.
MM_PER_UNIT = 25.4 / 72
IGNORED = re.compile(r"HPGL command\(s\) ignored: (\d+)\s+Unexpected event\(s\): +(\d+)")


def hp2xx(files, work):
    return {file.path: hp2xx_file(file.path, work / "read.svg") for file in files}


def hp2xx_file(path, out):
    """Converts to SVG at true size; it names its pens by colour."""
    command = ["hp2xx", "-t", "-N", "-m", "svg", "-f", out, path]
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=True)
    ignored = IGNORED.search(done.stderr.decode("latin-1"))
    # It has no forces to set.
    forces = path.read_bytes().count(b";FS") + path.read_bytes().count(b"\nFS")
    if ignored.groups() != (str(forces), "0"):
        return f"{ignored.group(1)} instructions ignored, {ignored.group(2)} unexpected"
    return svg_paths.reading(out.read_text(encoding="latin-1"), MM_PER_UNIT)


PROGRAMS = [Program("hp2xx 3.4", ("HP-GL",), hp2xx, frozenset(["layers"]), rounding={"HP-GL": 0.01})]
