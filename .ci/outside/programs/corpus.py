"""The files that the other programs read: twenty jobs in every format, both units, for all machines."""

import dataclasses
import json
import pathlib
import re
import shutil
import subprocess

JOBS = """accented-name arch-elliptical arch-pointed double-mat ellipse free-polygon french-lines heart lines-and-arcs
reverse-8-ply ring-with-centre-piece rounded-corners single-rectangle smaller-lower-board star straight-oval svg-windows
turned-opening v-groove worked-corners""".split()

# Format, its view or machine and the unit are in the name, such as job-2-second-cut-face-in.dxf.
NAME = re.compile(r"job(?:-(\d+)-.*?)??-(VIEWS)(-r2000)?(-in|-mm)?\.(\w+)")
# What DXF can be told to draw outlines as, besides what it does if not told.
FIGURES = [("dxf", "bulges"), ("dxf", "lines"), ("dxf", "arcs"), ("dxf-r2000", "arcs")]
# Machines that follow the outlines themselves, with no leads, over-runs or turned boards; upright tools the smaller ones.
FOLLOWING = {"drawing-exchange": "face", "oldest-readers": "back", "vector-cutter": "sight"}
# How much farther than 0.01 mm their strokes may lie from the curves, by the tolerance of the profile.
COARSER_MM = {"oldest-readers": 0.01}
# Refusals that are right: the head of a machine cannot follow a curve, cut such a bevel, groove or so thick a board.
REFUSAL = re.compile(r"error\[machine-(curve|bevel|thickness|groove)\]")


@dataclasses.dataclass
class Outline:
    """What a job orders: an outline of a board, as `check` says it, from the corner of the board at the bottom left."""

    layer: str
    box: tuple
    area: float
    perimeter: float


@dataclasses.dataclass
class Drawn:
    path: pathlib.Path
    kind: str
    unit: str
    job: str
    view: str
    outlines: list
    # Width and height of all lines, and with the words that are no lines.
    size: tuple
    size_with_texts: tuple | None
    page: tuple | None
    layers: set

    @property
    def mm_per_unit(self):
        return 25.4 if self.unit == "in" else 1.0


def draw(backline, golden, folder):
    """Draws all files into the folder and returns them."""
    jobs = folder / "jobs"
    for name in JOBS:
        (jobs / name).mkdir(parents=True)
        for part in ("job.toml", "windows.svg"):
            if (golden / name / part).exists():
                shutil.copy(golden / name / part, jobs / name)
    machines = {unit: profiles(backline, folder / "profiles" / unit, unit) for unit in ("mm", "in")}
    files = []
    for unit in ("mm", "in"):
        def into(name, *choices):
            run(backline, "draw", jobs, "-o", folder / unit / name, "--verify", *choices)

        formats = "svg,pdf,hpgl,dxf,dxf-r2000" if unit == "mm" else "dxf,dxf-r2000"
        into("drawn", "--view", "back,cut,cut-face", "--format", formats, "--unit", unit)
        for format, figures in FIGURES:
            into(f"{format}-{figures}", "--view", "cut", "--format", format, "--dxf-figures", figures, "--unit", unit)
        for name, profile in machines[unit].items():
            into(name, "--machine", profile)
        files += collect(backline, folder / unit, jobs, unit, machines[unit])
        missing = set(machines[unit]) - {file.view for file in files if file.unit == unit}
        if missing:
            raise SystemExit(f"there is no file for {', '.join(sorted(missing))}")
    return files


def run(*command):
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, check=False)
    faults = [line for line in done.stderr.splitlines() if line.startswith("error") and not REFUSAL.match(line)]
    if faults or done.returncode not in (0, 1):
        raise SystemExit("\n".join(faults) or done.stderr)


def profiles(backline, folder, unit):
    """Writes the profiles that come with the program, in millimetres or in inches where a format has a choice."""
    folder.mkdir(parents=True)
    found = {}
    for name in json.loads(output(backline, "machines", "--json")):
        text = output(backline, "machines", name["name"])
        written = re.search(r'^unit = "(mm|in)"', text, re.MULTILINE)
        if written is None and unit == "in":
            continue
        if written and written.group(1) != unit:
            text = in_other_unit(text, written.group(1), unit)
        found[name["name"]] = folder / f"{name['name']}.toml"
        found[name["name"]].write_text(text, encoding="utf-8")
    return found


def in_other_unit(text, old, new):
    """Changes the unit of a profile; lengths without a unit of their own keep the old one."""
    text = re.sub(r"^offset = \[([\d.]+), ([\d.]+)\]", rf'offset = ["\1 {old}", "\2 {old}"]', text, flags=re.MULTILINE)
    return text.replace(f'unit = "{old}"', f'unit = "{new}"', 1)


def output(*command):
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def collect(backline, out, jobs, unit, machines):
    views = "|".join(["cut-face", "cut", "back", *machines])
    name = re.compile(NAME.pattern.replace("VIEWS", views))
    mats = {job: json.loads(output(backline, "check", "--json", jobs / job / "job.toml")) for job in JOBS}
    paths = sorted(path for path in out.rglob("*") if path.is_file())
    measured = measure(backline, [path for path in paths if path.suffix != ".pdf"])
    files = []
    for path in paths:
        board, view, _, _, _ = name.fullmatch(path.name).groups()
        mat = mats[path.parent.name]
        # PDF is not measured; the SVG file of the same drawing is.
        known = measured[path.with_suffix(".svg") if path.suffix == ".pdf" else path]
        layers = {layer["name"] for layer in known["layers"]}
        lines = outlines(mat, int(board or 1) - 1, FOLLOWING.get(view, view))
        sizes = known["size"], known.get("size_with_texts"), page_of(path)
        files.append(Drawn(path, kind(path), unit, path.parent.name, view, lines, *sizes, layers))
    return files


def measure(backline, paths):
    done = subprocess.run([backline, "measure", "--json", *paths], capture_output=True, text=True, check=True)
    return {pathlib.Path(file["file"]): file for file in json.loads(done.stdout)}


def page_of(path):
    """Returns the size of the sheet of a drawing as its SVG file states it; pages are checked in PDF alone."""
    if path.suffix != ".pdf":
        return None
    head = path.with_suffix(".svg").read_text(encoding="utf-8")[:500]
    return tuple(float(re.search(rf' {side}="([\d.]+)mm"', head).group(1)) for side in ("width", "height"))


def kind(path):
    """Names the kind of a file as the table has it, by what is in it."""
    if path.suffix != ".dxf":
        return {".plt": "HP-GL", ".nc": "G-code", ".svg": "SVG", ".pdf": "PDF"}[path.suffix]
    text = path.read_text(encoding="latin-1")
    entities = text.split("ENTITIES", 1)[1]
    if "AC1015" in text:
        return "DXF R2000" if "LWPOLYLINE" in entities else "DXF R2000, separate"
    if "POLYLINE" in entities:
        return "DXF R12, bulges" if re.search(r"^ *42$", entities, re.MULTILINE) else "DXF R12"
    return "DXF R12, arcs" if re.search("^(ARC|CIRCLE)$", entities, re.MULTILINE) else "DXF R12, lines"


def outlines(mat, number, side):
    """Returns what a board is cut to, from the back (mirrored) or from the face; nothing for machines of their own ways."""
    edge = {"cut": "back", "back": "back", "cut-face": "face", "face": "face", "sight": "sight"}.get(side)
    if edge is None:
        return []
    layer = mat["layers"][number]
    inset = layer.get("inset", 0.0)
    width, height = (mat["outer"][name] - 2 * inset for name in ("width", "height"))
    found = [Outline("EDGE", (0, 0, width, height), width * height, 2 * (width + height))]
    for opening in layer["openings"]:
        line = opening[edge]
        left, top = line["left"] - inset, line["top"] - inset
        if edge == "back":
            left = width - left - line["width"]
        box = left, height - top - line["height"], left + line["width"], height - top
        found.append(Outline("CUT", box, line["area"], line["perimeter"]))
    return found
