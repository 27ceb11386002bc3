#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""What the desk holds does not grow with what it was asked: after so many requests (pages, forms, wrong ones,
posts that are refused) its memory is less than twice that after a hundred.

    memory.py SIMPLING-PROGRAM REQUESTS
"""
import shutil
import sys

from served import Desk

REQUESTS = int(sys.argv[2])
desk = Desk(sys.argv[1])
desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()


def memory():
    with open(f"/proc/{desk.pid()}/status", encoding="ascii") as file:
        return next(int(line.split()[1]) for line in file if line.startswith("VmRSS"))


def ask(n):
    turn = n % 8
    if turn < 6:
        path = ("/shelf", "/files", "/nothing", "/act/harvest-add", "/lot/L26-001", "/jars")[turn]
        assert desk.get(path).status in (200, 404), path
    elif turn == 6:
        assert desk.act("harvest-add", site="Low Croft", weight="no weight").status == 422
    else:
        assert desk.act("stage-note", site="Low Croft", material="nettle leaf", stage="half grown").status == 303


for n in range(100):
    ask(n)
early = memory()
for n in range(100, REQUESTS):
    ask(n)
late = memory()
print(f"after 100 requests {early} kB, after {REQUESTS} {late} kB: {late / early:.2f}")
assert desk.end() == 0
sys.exit(0 if late < 2 * early else 1)
