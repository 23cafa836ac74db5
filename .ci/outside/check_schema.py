#!/usr/bin/env python3
"""Checks job files against the JSON Schema that the program prints.

Usage: check_schema.py BACKLINE JOB...        (pip install jsonschema)
"""

import json
import subprocess
import sys
import tomllib

import jsonschema

WRONG = [
    {"opening": {"art": [8, 10], "overlpa": 1}},
    {"unit": "furlong"},
    {"outer": [1, 2, 3]},
    {"opening": {"shape": "blob"}},
]


def load(path):
    with open(path, "rb") as file:
        return json.load(file) if path.endswith(".json") else tomllib.load(file)


def main(backline, paths):
    schema = json.loads(subprocess.run([backline, "schema"], check=True, capture_output=True).stdout)
    kind = jsonschema.validators.validator_for(schema)
    kind.check_schema(schema)
    validator = kind(schema)
    failed = 0
    for path in paths:
        for error in validator.iter_errors(load(path)):
            failed += 1
            print(f"{path}: {error.json_path}: {error.message}", file=sys.stderr)
    for job in WRONG:
        if validator.is_valid(job):
            failed += 1
            print(f"the schema lets {job} pass", file=sys.stderr)
    print(f"{len(paths)} jobs checked against the schema, {failed} faults")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
