#!/usr/bin/env python3
"""Checks licences and sources of every crate that is built, against deny.toml.

Usage: check_crates.py            (in the folder of Cargo.toml; needs nothing but cargo)
"""

import json
import re
import subprocess
import sys
import tomllib


def allows(expression, allowed):
    """Tells whether a licence expression (SPDX 2.3, annex D) can be met with the allowed licences."""
    tokens = re.findall(r"\(|\)|[A-Za-z0-9.+-]+(?: WITH [A-Za-z0-9.+-]+)?", expression.replace("/", " OR "))

    def choice():
        met = both()
        while tokens and tokens[0] == "OR":
            tokens.pop(0)
            met = both() or met
        return met

    def both():
        met = single()
        while tokens and tokens[0] == "AND":
            tokens.pop(0)
            met = single() and met
        return met

    def single():
        token = tokens.pop(0)
        if token == "(":
            met = choice()
            tokens.pop(0)
            return met
        return token in allowed

    return choice()


def main():
    with open("deny.toml", "rb") as file:
        rules = tomllib.load(file)
    allowed, banned = set(rules["licenses"]["allow"]), set(rules["bans"]["deny"])
    assert allows("MIT OR GPL-3.0", {"MIT"}) and not allows("MIT AND GPL-3.0", {"MIT"})
    assert allows("(MIT OR X) AND Zlib", {"MIT", "Zlib"}) and not allows("Apache-2.0 WITH X", {"Apache-2.0"})
    host = subprocess.run(["rustc", "-vV"], check=True, capture_output=True, text=True).stdout
    host = re.search(r"^host: (.*)$", host, re.MULTILINE).group(1)
    command = ["cargo", "metadata", "--locked", "--format-version", "1", "--all-features", "--filter-platform", host]
    metadata = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    used = {node["id"] for node in metadata["resolve"]["nodes"]}
    packages = [package for package in metadata["packages"] if package["id"] in used and package["source"]]
    faults = []
    for package in packages:
        name = f"{package['name']} {package['version']}"
        if not package["license"] or not allows(package["license"], allowed):
            faults.append(f"{name}: licence {package['license'] or package['license_file']}")
        if package["source"] != "registry+https://github.com/rust-lang/crates.io-index":
            faults.append(f"{name}: source {package['source']}")
        if package["name"] in banned:
            faults.append(f"{name} is banned")
    for fault in faults:
        print(fault, file=sys.stderr)
    print(f"licences and sources of {len(packages)} crates checked, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
