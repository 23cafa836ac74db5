#!/usr/bin/env python3
"""Small files that mean harm: what each takes, with usual and with strict limits, as the table of DEVELOPERS.md.

Usage: attacks.py BACKLINE            (Linux or macOS; nothing but Python 3.11)

Every run may have 4 GB of memory and 60 s of processor. With --check, strict limits must keep each below 256 MB and 5 s.
"""

import os
import random
import resource
import signal
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

MEMORY, SECONDS = 4 << 30, 60
MOST_MEMORY, MOST_SECONDS = 256e6, 5.0

JOB = "unit = 'mm'\nouter = [1000, 1400]\n"
LEAF = "M5 30 C25 0 65 0 85 30 C65 60 25 60 5 30 Z"


def svg(inside, head=""):
    return f'{head}<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60">{inside}</svg>'


def outline(text):
    return {"job.toml": "border = '50 mm'\nopening.shape.svg = { file = 'a.svg', width = '100 mm' }\n", "a.svg": text}


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def zeros(count):
    """So many zero bytes, packed, without ever holding them."""
    packer, parts, block = zlib.compressobj(9), [], bytes(1 << 20)
    while count > 0:
        parts.append(packer.compress(block[: min(count, len(block))]))
        count -= len(block)
    return b"".join(parts) + packer.flush()


def png(width, height, profile=0):
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    extra = chunk(b"iCCP", b"x\0\0" + zeros(profile)) if profile else b""
    return b"\x89PNG\r\n\x1a\n" + head + extra + chunk(b"IDAT", zeros(height * (3 * width + 1))) + chunk(b"IEND", b"")


def picture(data):
    return {"job.toml": JOB + "opening = { size = [500, 700], picture = 'a.png' }\n", "a.png": data}


def comb(corners):
    teeth = ", ".join(f"[{10 + number / 4}, {20 + (number % 2) * 90}]" for number in range(corners))
    return {"job.toml": f"unit = 'mm'\nborder = 50\nopening.shape.polygon.corners = [[10, 150], {teeth}, [{11 + corners / 4}, 150]]\n"}


def ruled(lines, rows, columns):
    listed = ", ".join(str(5 + number / 1000) for number in range(lines))
    return {
        "job.toml": "unit = 'mm'\nouter = [1600, 1600]\nopening.size = [20, 20]\n"
        f"arrangement = {{ repeat = {{ rows = {rows}, columns = {columns} }}, gap = 15 }}\nruled.lines = [{listed}]\n"
    }


def ovals():
    lines = ", ".join(str(1 + number / 5) for number in range(11))
    return {
        "job.toml": "unit = 'mm'\nouter = [1600, 1600]\nopening = { shape = 'ellipse', size = [20, 18] }\n"
        f"arrangement = {{ repeat = {{ rows = 31, columns = 32 }}, gap = 15 }}\nruled.lines = [{lines}]\n"
    }


def order(blanks):
    chance = random.Random(1)
    sizes = [(chance.randint(100, 900), chance.randint(100, 700)) for _ in range(blanks)]
    return {"order.toml": "unit = 'mm'\n" + "".join(f"[[blank]]\nsize = [{w}, {h}]\nquantity = 4\n" for w, h in sizes)}


def scattered(count, head, line, tail):
    """A drawing of so many lines that meet nowhere; `line` makes one of a number and four coordinates."""
    chance = random.Random(1)
    lines = (line(number, *(round(1000 * chance.random(), 1) for _ in range(4))) for number in range(count))
    return head + "".join(lines) + tail


def dxf_lines(number, x, y, u, v):
    return f"0\nLINE\n8\nL{number}\n10\n{x}\n20\n{y}\n11\n{u}\n21\n{v}\n"


def svg_lines(number, x, y, u, v):
    return f'<g id="l{number}"><path d="M{x} {y}L{u} {v}"/></g>'


def hpgl_lines(_, x, y, u, v):
    return f"PU{40 * x:.0f},{40 * y:.0f};PD{40 * u:.0f},{40 * v:.0f};"


def gcode_lines(_, x, y, u, v):
    return f"G0 Z5\nG0 X{x} Y{y}\nG1 Z-1 F100\nG1 X{u} Y{v}\n"


ATTACKS = [
    ("SVG with one entity used many times", ["check", "job.toml"],
     lambda: outline(svg("&a;" * 80_000, f'<!DOCTYPE svg [<!ENTITY a "{"x" * 100_000}">]>'))),
    ("SVG element with 190,000 attributes", ["check", "job.toml"],
     lambda: outline(svg("<path " + " ".join(f"a{n}='1'" for n in range(190_000)) + f' d="{LEAF}"/>'))),
    ("SVG groups in each other, 100,000 deep", ["check", "job.toml"],
     lambda: outline(svg("<g>" * 100_000 + f'<path d="{LEAF}"/>' + "</g>" * 100_000))),
    ("SVG whose `use` doubles 30 times", ["check", "job.toml"],
     lambda: outline(svg(f'<defs><path id="u0" d="{LEAF}"/>' + "".join(
         f'<g id="u{n + 1}"><use href="#u{n}"/><use href="#u{n}"/></g>' for n in range(30)) + '</defs><use href="#u30"/>'))),
    ("SVG path of 8 MB", ["check", "job.toml"], lambda: outline(svg('<path d="M0 0' + "L9 9L1 0" * 1_000_000 + 'Z"/>'))),
    ("10,000 ruled lines round 992 openings", ["check", "job.toml"], lambda: ruled(10_000, 31, 32)),
    ("60 ruled lines round 992 openings", ["check", "job.toml"], lambda: ruled(60, 31, 32)),
    ("PNG of 200,000,000 × 1 pixels", ["picture", "job.toml", "-o", "out"], lambda: picture(png(200_000_000, 1))),
    ("PNG of 14,000 × 14,000 pixels", ["picture", "job.toml", "-o", "out"], lambda: picture(png(14_000, 14_000))),
    ("PNG whose colour profile unpacks to 1 GB", ["check", "job.toml"], lambda: picture(png(60, 40, 1 << 30))),
    ("comb polygon of 2,000 corners", ["check", "job.toml"], lambda: comb(2_000)),
    ("comb polygon of 4,000 corners", ["check", "job.toml"], lambda: comb(4_000)),
    ("900,000 notes on a workshop sheet", ["workshop", "job.toml", "-o", "out"],
     lambda: {"job.toml": JOB + "opening.size = [100, 100]\nnotes = [" + "'a'," * 900_000 + "]\n"}),
    ("JSON nested 1,000,000 deep", ["check", "job.json"], lambda: {"job.json": "[" * 1_000_000}),
    ("TOML table of 100,000 unknown keys", ["check", "job.toml"],
     lambda: {"job.toml": "".join(f"k{n} = 1\n" for n in range(100_000))}),
    ("992 ruled ovals in every view and format", ["draw", "job.toml", "--view", "all", "--format", "all", "-o", "out"], ovals),
    ("992 ruled ovals as a picture", ["picture", "job.toml", "-o", "out"], ovals),
    ("992 ruled ovals on office paper", ["print", "job.toml", "-o", "out"], ovals),
    ("8,000 blanks of 2,000 sizes", ["sheets", "order.toml"], lambda: order(2_000)),
    ("DXF of 150,000 lines, each on its own layer", ["measure", "a.dxf"],
     lambda: {"a.dxf": scattered(150_000, "0\nSECTION\n2\nENTITIES\n", dxf_lines, "0\nENDSEC\n0\nEOF\n")}),
    ("SVG of 100,000 lines, each in its own group", ["measure", "a.svg"],
     lambda: {"a.svg": scattered(100_000, '<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">',
                                 svg_lines, "</svg>")}),
    ("HP-GL of 330,000 strokes", ["measure", "a.plt"], lambda: {"a.plt": scattered(330_000, "IN;SP1;", hpgl_lines, "")}),
    ("G-code of 150,000 strokes", ["measure", "a.nc"], lambda: {"a.nc": scattered(150_000, "G21 G90\n", gcode_lines, "M2\n")}),
    ("a stream of 20,000 broken jobs", ["check", "--lines", "jobs.jsonl"], lambda: {"jobs.jsonl": '{"opening":1}\n' * 20_000}),
]


def limit():
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 1))


def run(backline, folder, arguments, limits):
    """Returns seconds of processor, bytes of memory at most, and how the run ended."""
    command = [backline, *arguments, "--limits", limits]
    child = subprocess.Popen(
        command, cwd=folder, preexec_fn=limit, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = 0
    peak = used.ru_maxrss * (1 if sys.platform == "darwin" else 1024)
    ended = "ended" if os.WIFEXITED(status) else f"killed ({signal.Signals(os.WTERMSIG(status)).name})"
    return used.ru_utime + used.ru_stime, peak, ended


def shown_size(bytes_):
    return f"{bytes_ / 1e6:.1f} MB" if bytes_ > 1e6 else f"{bytes_ / 1e3:.0f} kB"


def main(backline, check):
    backline = os.path.abspath(backline)
    print("| attack | size | usual limits: processor, memory | strict limits: processor, memory |\n|---|---|---|---|")
    failed = 0
    for name, arguments, make in ATTACKS:
        with tempfile.TemporaryDirectory() as folder:
            size = 0
            for file, data in make().items():
                data = data if isinstance(data, bytes) else data.encode()
                Path(folder, file).write_bytes(data)
                size += len(data)
            cells = []
            for limits in ("usual", "strict"):
                seconds, peak, ended = run(backline, folder, arguments, limits)
                cells.append(f"{seconds:.1f} s, {peak / 1e6:.0f} MB" + ("" if ended == "ended" else f", {ended}"))
                if limits == "strict" and (ended != "ended" or seconds > MOST_SECONDS or peak > MOST_MEMORY):
                    failed += 1
            print(f"| {name}: `{' '.join(arguments[:1])}` | {shown_size(size)} | {' | '.join(cells)} |", flush=True)
    if check and failed:
        print(f"{failed} attacks go beyond the strict limits", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "--check"]
    sys.exit(main(words[0], "--check" in sys.argv))
