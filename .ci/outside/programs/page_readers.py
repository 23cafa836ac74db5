"""Programs that read SVG and PDF."""

import json
import subprocess

from programs import svg_paths, traced
from programs.program import Program
from programs.reading import Reading

MM_PER_POINT = 25.4 / 72
# A page on which every drawing has room, in millimetres.
LARGE_PAGE = 2000


def chromium(files, work):
    """Prints all files into one document, each on a page, and measures the lines there."""
    # As images they would be fitted to whole pixels.
    pages = "".join(f"<div>{file.path.read_text(encoding='utf-8').split('?>', 1)[1]}</div>" for file in files)
    style = f"@page {{size: {LARGE_PAGE}mm; margin: 0}} body {{margin: 0}} svg {{display: block}} div {{break-after: page}}"
    text = f'<!DOCTYPE html><meta charset="utf-8"><style>{style}</style><body>{pages}'
    (work / "all.html").write_text(text, encoding="utf-8")
    command = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={work}/profile",
               "--no-pdf-header-footer", f"--print-to-pdf={work}/all.pdf", (work / "all.html").as_uri()]
    subprocess.run(command, check=True, capture_output=True)
    read = traced.pages(work / "all.pdf")
    return {file.path: Reading(page.strokes) for file, page in zip(files, read, strict=True)}


def inkscape(files, work):
    """Opens each file as a person would and saves it as PDF."""
    names = {file.path: work / f"{number}.pdf" for number, file in enumerate(files)}
    actions = [f"file-open:{path};export-filename:{name};export-do;file-close" for path, name in names.items()]
    command = ["inkscape", "--shell"]
    environment = {"HOME": str(work), "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"}
    subprocess.run(command, input="\n".join([*actions, "quit", ""]), env=environment, text=True, check=True, capture_output=True)
    return {path: traced.pages(name)[0] for path, name in names.items()}


def mupdf(files, _work):
    return {file.path: traced.pages(file.path)[0] for file in files}


def poppler(files, work):
    """Converts to SVG, whose unit is then a point; it would make pages of whole points without `-noshrink`."""
    return {file.path: svg_paths.reading(converted(file.path, work), MM_PER_POINT) for file in files}


def converted(path, work):
    subprocess.run(["pdftocairo", "-svg", "-origpagesizes", "-noshrink", path, work / "page.svg"], check=True, capture_output=True)
    return (work / "page.svg").read_text(encoding="utf-8")


def ghostscript(files, work):
    """Writes the page anew, as it has understood it."""
    return {file.path: ghostscript_file(file.path, work / "page.pdf") for file in files}


def ghostscript_file(path, out):
    command = ["gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-sDEVICE=pdfwrite", "-r7200", f"-sOutputFile={out}", path]
    subprocess.run(command, check=True, capture_output=True)
    return traced.pages(out)[0]


def qpdf(files, _work):
    return {file.path: qpdf_file(file.path) for file in files}


def qpdf_file(path):
    """Checks the structure and tells the size of the page; it does not look at lines."""
    done = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        return done.stdout + done.stderr
    printed = subprocess.run(["qpdf", "--json", "--json-key=qpdf", path], capture_output=True, check=True).stdout
    objects = json.loads(printed)["qpdf"][1].values()
    page = next(entry["value"] for entry in objects if isinstance(entry.get("value"), dict) and "/MediaBox" in entry["value"])
    left, bottom, right, top = page["/MediaBox"]
    return Reading([], page=((right - left) * MM_PER_POINT, (top - bottom) * MM_PER_POINT))


NO_LAYERS = frozenset(["layers"])
PROGRAMS = [
    Program("Chromium", ("SVG",), chromium, NO_LAYERS),
    # Makes four cubic curves of an ellipse.
    Program("Inkscape 1.2", ("SVG", "PDF"), inkscape, NO_LAYERS, rounding={"SVG": 0.03}),
    Program("MuPDF 1.21", ("PDF",), mupdf),
    Program("poppler 22.12", ("PDF",), poppler, NO_LAYERS),
    Program("Ghostscript 10.0", ("PDF",), ghostscript, NO_LAYERS),
    Program("qpdf 11.3", ("PDF",), qpdf, frozenset(["layers", "pens", "outlines"])),
]
