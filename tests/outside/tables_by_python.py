#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The tables as another program's reader of CSV has them, given back unchanged; and one own row that
names only what it changes, written by it, counts beside a bad one.

    python3 tests/outside/tables_by_python.py SIMPLING ROOT
"""
import csv
import glob
import io
import os
import subprocess
import sys
import tempfile

simpling, root = map(os.path.abspath, sys.argv[1:3])
faults = []


def again(path):
    with open(path, encoding="utf-8", newline="") as file:
        text = file.read()
    rows = list(csv.reader(io.StringIO(text), strict=True))
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    if out.getvalue() != text:
        at = next(k for k, (a, b) in enumerate(zip(text + "\0", out.getvalue() + "\0")) if a != b)
        faults.append(f"{path}: comes back otherwise at {text[at - 20:at + 40]!r}")
    if any(len(row) != len(rows[0]) for row in rows):
        faults.append(f"{path}: a row has other columns than the first")


tables = sorted(glob.glob(os.path.join(root, "data", "*.csv"))) + [os.path.join(root, "data", "SOURCES")]
if len(tables) < 14:
    faults.append(f"only {len(tables)} tables are there")
for table in tables:
    again(table)

# One's own row, as a spreadsheet saves it: with a mark at its head and carriage returns.
with tempfile.TemporaryDirectory(prefix="simpling-own-") as own:
    os.mkdir(os.path.join(own, "simpling"))
    with open(os.path.join(own, "simpling", "materials.csv"), "w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows(
            [["plant", "part", "moisture_pct", "moisture_low_pct", "moisture_high_pct", "spoken"],
             ["nettle", "leaf", "70", "65", "75", 'leaf, "young" ones'],
             ["nettle", "seed", "a lot", "", "", "seed"]])
    env = dict(os.environ, SIMPLING_DATA=os.path.join(root, "data"), XDG_CONFIG_HOME=own,
               SIMPLING_BOOK=os.path.join(own, "none.db"))
    answer = subprocess.run([simpling, "need", "nettle/leaf", "tincture", "--herb", "100g", "--explain"],
                            env=env, capture_output=True, text=True)
    if answer.returncode != 0:
        faults.append(f"a bad own row stopped a command: {answer.stderr}")
    if "0.7 / 0.9982" not in answer.stdout:
        faults.append(f"the own water of nettle leaf does not count:\n{answer.stdout}")
    if "materials.csv:3" not in answer.stderr or "a lot" not in answer.stderr:
        faults.append(f"nothing was said of the bad row: {answer.stderr!r}")

print("\n".join(faults))
sys.exit(bool(faults))
