#!/usr/bin/env python3
"""Checks what the program reads and prints against the JSON Schemas that it prints, with a validator that is not ours.

Usage: check_schema.py BACKLINE JOB...        (pip install jsonschema)
"""

import json
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

import jsonschema

WRONG = [
    {"opening": {"art": [8, 10], "overlpa": 1}},
    {"unit": "furlong"},
    {"outer": [1, 2, 3]},
    {"opening": {"shape": "blob"}},
]

JOB = "examples/jobs/harbour-print.toml"
WRONG_JOB = "golden-files/problems/contradiction.job.toml"
RECORD = "golden-files/problems/drift.record.toml"
CUT = "golden-files/mats/single-rectangle/cut.dxf"
CUT_JOB = "golden-files/mats/single-rectangle/job.toml"
STOCK = "golden-files/nest/ornaments-with-a-gap/stock.toml"
SIX = "examples/jobs/six-snapshots.toml"

# Every command that prints data, with the kinds of what it prints.
PRINTED = [
    ("check", ["check", "--json", JOB, SIX, WRONG_JOB, "no-such-file.toml"]),
    ("settings", ["settings", "--json", JOB, SIX]),
    ("whole-order", ["settings", "--together", "--json", JOB, SIX]),
    ("sheets", ["sheets", "--json", "--time", "1", JOB]),
    ("measure", ["measure", "--json", CUT]),
    ("measure", ["measure", "--json", CUT, "--against", CUT_JOB]),
    ("calibration", ["calibrate", "fit", "--json", RECORD]),
    ("square", ["square", "--unit", "mm", "sides", "300", "300.8", "400", "--json"]),
    ("trouble", ["trouble", "hook", "--json"]),
    ("signs", ["trouble", "--json"]),
    ("machines", ["machines", "--json"]),
    ("machines", ["machines", "--json", "pen-plotter"]),
    ("print", ["print", "--json", JOB, "-o", "{out}"]),
    ("problems", ["settings", "--json", WRONG_JOB]),
    ("test-pieces", ["calibrate", "piece", "--json", "-o", "{out}/pieces"]),
    ("printer-page", ["printer", "page", "--json", "-o", "{out}/test.pdf"]),
    ("printer-found", ["printer", "save", "--json", "--short", "180 mm", "--long", "270 mm", "-o", "{out}/printer.toml"]),
    ("ledger", ["stock", "report", "--json", "--stock", STOCK]),
    ("manifest", ["draw", JOB, WRONG_JOB, "-o", "{out}", "--manifest", "{out}/list.jsonl"]),
]

# Files that people write, by the kind of their schema.
WRITTEN = [
    ("cutter", ["new", "cutter"]),
    ("order", ["new", "order"]),
    ("stock", ["new", "stock"]),
    ("printer", ["new", "printer"]),
    ("machine", ["machines", "pen-plotter"]),
]


def load(path):
    with open(path, "rb") as file:
        return json.load(file) if path.endswith(".json") else tomllib.load(file)


def run(backline, arguments):
    return subprocess.run([backline, *arguments], capture_output=True, text=True)


def closed(schema):
    """The schema in which a key that it does not list is a fault."""
    if isinstance(schema, list):
        return [closed(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    return {key: closed_below(key, part) for key, part in schema.items()}


def closed_below(key, part):
    if key in ("$defs", "properties"):
        return {name: with_end(closed(one)) for name, one in part.items()}
    if key == "items":
        return with_end(closed(part))
    return closed(part)


def with_end(schema):
    # What a choice or a reference does not list may be listed beside it.
    if isinstance(schema, dict) and "properties" in schema and "additionalProperties" not in schema:
        return {**schema, "unevaluatedProperties": False}
    return schema


class Checker:
    def __init__(self, backline):
        self.backline = backline
        self.validators = {}
        self.failed = 0

    def fail(self, words):
        self.failed += 1
        print(words, file=sys.stderr)

    def validator(self, kind, is_output):
        if kind not in self.validators:
            schema = json.loads(run(self.backline, ["schema", kind]).stdout)
            checker = jsonschema.validators.validator_for(schema)
            checker.check_schema(schema)
            if is_output:
                version = schema["properties"]["schema"]["const"]
                name, _, number = version.partition("/")
                if not name.startswith("backline-") or not number.isdigit():
                    self.fail(f"{kind} has no version: {version}")
                schema = with_end(closed(schema))
            self.validators[kind] = checker(schema)
        return self.validators[kind]

    def check(self, kind, where, value, is_output):
        for error in self.validator(kind, is_output).iter_errors(value):
            self.fail(f"{where}: {error.json_path}: {error.message[:300]}")


def values(text):
    """What is printed: one object, an array of them, or a line for each."""
    try:
        value = json.loads(text)
        return value if isinstance(value, list) else [value]
    except json.JSONDecodeError:
        return [json.loads(line) for line in text.splitlines()]


def check_printed(checker):
    with tempfile.TemporaryDirectory() as out:
        for kind, arguments in PRINTED:
            arguments = [argument.format(out=out) for argument in arguments]
            done = run(checker.backline, arguments)
            text = done.stdout
            if kind == "problems":
                text = "\n".join(line for line in done.stderr.splitlines() if line.startswith("{"))
            elif kind == "manifest":
                text = Path(out, "list.jsonl").read_text(encoding="utf-8")
            found = values(text) if text.strip() else []
            if not found:
                checker.fail(f"{arguments} printed nothing: {done.stderr[:300]}")
            for value in found:
                checker.check(kind, f"backline {' '.join(arguments)}", value, True)
            if checker.validator(kind, True).is_valid({"schema": "other/1"}):
                checker.fail(f"the schema {kind} lets anything pass")
    return len(PRINTED)


def main(backline, paths):
    checker = Checker(backline)
    for path in paths:
        checker.check("job", path, load(path), False)
    for job in WRONG:
        if checker.validator("job", False).is_valid(job):
            checker.fail(f"the schema lets {job} pass")
    for kind, arguments in WRITTEN:
        checker.check(kind, f"backline {' '.join(arguments)}", tomllib.loads(run(backline, arguments).stdout), False)
    printed = check_printed(checker)
    files = len(paths) + len(WRITTEN)
    print(f"{files} files and the data of {printed} commands checked against {len(checker.validators)} schemas, {checker.failed} faults")
    return 1 if checker.failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
