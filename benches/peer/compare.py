#!/usr/bin/env python3
"""Times whole runs of `backline draw` side by side with a drawing program made from general Python libraries.

    python3 -m venv /tmp/peer && /tmp/peer/bin/pip install shapely ezdxf reportlab svgwrite
    cargo build --profile dist
    BACKLINE_PEER=FOLDER /tmp/peer/bin/python benches/peer/compare.py

FOLDER holds `gen.py`, which writes S1.json (one opening), S2.json (24 openings) and S3.json (1,000 mats of 1 to 9
openings), and `peer.py IN.json OUT`, which draws them in five formats. Without BACKLINE_PEER there is nothing to
compare with, and the script says so. BACKLINE names the program to time if it is not target/dist/backline.

Both programs write to the same folder in memory, on the same core, in turn: theirs one sheet with both views in five
formats, ours two views in the same five formats, ten files a mat. Before that, `backline check` must find the same
mats: each opening's sight and face outline has the same bounds within a micrometre. Times are medians; memory is the
peak of the process, as GNU time reports it.
"""

import json
import os
import math
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUNS = {"S1": 21, "S2": 21, "S3": 3}
FORMATS = "svg,pdf,dxf,hpgl,json"
FILES_PER_MAT = 10
BOUNDS_MM = 1e-3
HERE = Path(__file__).resolve().parents[2]


def main():
    folder = os.environ.get("BACKLINE_PEER")
    if not folder:
        print("BACKLINE_PEER is not set, so there is nothing to compare with; see the top of this script")
        return
    folder = Path(folder).resolve()
    program = os.environ.get("BACKLINE", str(HERE / "target/dist/backline"))
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as place:
        os.chdir(place)
        subprocess.run([sys.executable, folder / "gen.py"], check=True)
        rows = [row for name in RUNS for row in compare(name, program, folder / "peer.py")]
    print_table(rows)


def compare(name, program, peer):
    """Returns the rows of the table for one set of mats."""
    mats = json.loads(Path(f"{name}.json").read_text())
    jobs = [write_job(mat, Path(name)) for mat in mats]
    check_same_mats(mats, jobs, program, peer, name)
    theirs = Command([sys.executable, str(peer), f"{name}.json", "out"], {0})
    ours = Command(draw(program, jobs, 1), {0})
    commands = [theirs, ours]
    if len(mats) > 1 and (os.cpu_count() or 1) > 1:
        commands.append(Command(draw(program, jobs, 2), {0, 1}))
    for _ in range(RUNS[name]):
        for command in commands:
            command.run()
    for command in commands:
        command.measure_memory()
    written = len(os.listdir("out"))
    assert written == FILES_PER_MAT * len(mats), f"{written} files of {len(mats)} mats"
    return [(name, len(mats), command, theirs) for command in commands]


def draw(program, jobs, at_once):
    return [program, "draw", *jobs, "-o", "out", "--format", FORMATS, "--view", "back,face", "-j", str(at_once)]


class Command:
    """A command line, the cores it may use, and what its runs took."""

    def __init__(self, words, cores):
        self.words, self.cores = words, cores
        self.seconds, self.megabytes = [], 0.0

    def run(self):
        shutil.rmtree("out", ignore_errors=True)
        os.sched_setaffinity(0, self.cores)
        start = time.perf_counter()
        self.wait_for(self.words)
        self.seconds.append(time.perf_counter() - start)

    def measure_memory(self):
        """Runs once more, through GNU time: the kernel counts the memory of a process that starts another as the other's."""
        shutil.rmtree("out", ignore_errors=True)
        self.wait_for(["/usr/bin/time", "-f", "%M", "-o", "peak", *self.words])
        self.megabytes = int(Path("peak").read_text().split()[-1]) / 1024

    def wait_for(self, words):
        quiet = [(os.POSIX_SPAWN_OPEN, 2, "messages", os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o666)]
        _, status = os.waitpid(os.posix_spawn(words[0], words, os.environ, file_actions=quiet), 0)
        assert os.waitstatus_to_exitcode(status) == 0, (words[:9], Path("messages").read_text()[:2000])

    def median(self):
        return statistics.median(self.seconds)


def print_table(rows):
    print("| mats | program | cores | runs | median | mats a second | times as fast | peak memory |")
    print("|---|---|---|---|---|---|---|---|")
    for name, mats, command, theirs in rows:
        program = "peer" if command is theirs else "backline"
        median = command.median()
        print(
            f"| {name} ({mats}) | {program} | {len(command.cores)} | {len(command.seconds)} | {1e3 * median:.2f} ms "
            f"| {mats / median:.1f} | {theirs.median() / median:.1f} | {command.megabytes:.1f} MB |"
        )


def write_job(mat, folder):
    """Writes a mat as a job file and returns its name."""
    folder.mkdir(exist_ok=True)
    lines = [
        f"name = {json.dumps(mat['title'])}",
        'unit = "mm"',
        f"outer = [{mat['w']}, {mat['h']}]",
        f"board = {mat['t']}",
        "limits = { border = 0, bar = 0 }",
    ]
    for opening in mat["openings"]:
        left, bottom, right, top = sight_bounds(opening)
        lines += ["", "[[opening]]", *shape_lines(opening), f"at = {{ left = {left:.9f}, top = {mat['h'] - top:.9f} }}"]
    path = folder / f"{mat['id']}.toml"
    path.write_text("\n".join(lines) + "\n")
    return str(path)


def shape_lines(opening):
    """Returns the lines of a job file for the shape and size of an opening; its y axis runs up, that of the job down."""
    match opening["type"]:
        case "rect":
            return [f"size = [{opening['w']}, {opening['h']}]"]
        case "ellipse":
            return ['shape = "ellipse"', f"size = [{2 * opening['rx']:.9f}, {2 * opening['ry']:.9f}]"]
        case "regular":
            # A corner `rot` degrees anticlockwise from the right; ours is turned clockwise from standing on a side.
            turn = -opening["rot"] - 90 - 180 / opening["n"]
            keys = f"sides = {opening['n']}, turn = {turn:.9f}, across_corners = {2 * opening['r']:.9f}"
            return [f"shape = {{ regular_polygon = {{ {keys} }} }}"]
        case "polygon":
            corners = ", ".join(f"[{x}, {-y}]" for x, y in opening["pts"])
            return [f"shape = {{ polygon = {{ corners = [{corners}] }} }}"]


def sight_bounds(opening):
    """Returns the left, lower, right and upper end of an opening."""
    match opening["type"]:
        case "rect":
            return opening["x"], opening["y"], opening["x"] + opening["w"], opening["y"] + opening["h"]
        case "ellipse":
            cx, cy, rx, ry = (opening[key] for key in ("cx", "cy", "rx", "ry"))
            return cx - rx, cy - ry, cx + rx, cy + ry
        case "regular":
            steps = (math.radians(opening["rot"]) + math.tau * k / opening["n"] for k in range(opening["n"]))
            return bounds([(opening["cx"] + opening["r"] * math.cos(a), opening["cy"] + opening["r"] * math.sin(a)) for a in steps])
        case "polygon":
            return bounds(opening["pts"])


def bounds(points):
    xs, ys = zip(*points)
    return min(xs), min(ys), max(xs), max(ys)


def check_same_mats(mats, jobs, program, peer, name):
    """Stops unless both programs work out the same openings, and ours has nothing to say about them."""
    subprocess.run([sys.executable, peer, f"{name}.json", "peer-json", "--formats", "json"], check=True)
    checked = json.loads(subprocess.run([program, "check", "--json", *jobs], check=True, capture_output=True).stdout)
    for mat, found in zip(mats, checked if len(mats) > 1 else [checked], strict=True):
        assert not found["problems"], (mat["id"], found["problems"])
        drawn = json.loads(Path("peer-json", f"{mat['id']}.json").read_text())["polylines"]
        # Each outline is followed by its mirror image.
        faces = [line["points"] for line in drawn if line["layer"] == "FACE"][::2]
        openings = found["layers"][0]["openings"]
        for opening, ours, face in zip(mat["openings"], openings, faces, strict=True):
            left, lower, right, upper = sight_bounds(opening)
            same_bounds((left, lower, right, upper), ours["sight"], mat)
            if opening["type"] == "ellipse":
                # Their polygon misses the ends of the axes; those move by the width of the bevel.
                w = mat["t"]
                same_bounds((left - w, lower - w, right + w, upper + w), ours["face"], mat)
            else:
                same_bounds(bounds(face), ours["face"], mat)


def same_bounds(expected, box, mat):
    upper = mat["h"] - box["top"]
    found = (box["left"], upper - box["height"], box["left"] + box["width"], upper)
    assert all(abs(a - b) <= BOUNDS_MM for a, b in zip(expected, found)), (mat["id"], expected, found)


if __name__ == "__main__":
    main()
