#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Twice as many events take at most 2.5 times the processor time: an almanac of 20,000 events that are
all titled alike, and the busy times of 20,000 weekly ones, each beside half of it in the same run.
Usage: growth.py SIMPLING"""
import os
import resource
import subprocess
import sys
import tempfile

HEAD = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n"
ALMANAC = ("BEGIN:VEVENT\r\nUID:a{0}\r\nDTSTAMP:20270101T000000Z\r\nDTSTART;VALUE=DATE:20250412\r\n"
           "DTEND;VALUE=DATE:20250503\r\nSUMMARY:Nettle leaf\r\nEND:VEVENT\r\n")
WEEKLY = ("BEGIN:VEVENT\r\nUID:a{0}\r\nDTSTAMP:20270101T000000Z\r\nDTSTART:20270104T080000Z\r\n"
          "DTEND:20270104T083000Z\r\nRRULE:FREQ=WEEKLY\r\nSUMMARY:Class\r\nEND:VEVENT\r\n")


def cost(*words):
    """Seconds of processor time, the least of three."""
    least = None
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.argv[1], *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                       check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        least = spent if least is None else min(least, spent)
    return least


with tempfile.TemporaryDirectory(prefix="simpling-growth.") as work:
    os.environ["SIMPLING_BOOK"] = f"{work}/book.db"
    os.environ["SIMPLING_TODAY"] = "2027-06-20"
    subprocess.run([sys.argv[1], "book", "init", "--mark", "ANN"], check=True,
                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    for what, event, words in (
            ("almanac add", ALMANAC, ["--at", "54.6,-2.6", "--elevation", "140"]),
            ("calendar busy", WEEKLY, ["--from", "2027-01-01", "--to", "2027-03-01"])):
        spent = []
        for count in (10000, 20000):
            path = f"{work}/{count}.ics"
            with open(path, "w", encoding="utf-8", newline="") as file:
                file.write(HEAD + "".join(map(event.format, range(count))) + "END:VCALENDAR\r\n")
            spent.append(cost(*what.split(), path, *words))
        ratio = spent[1] / spent[0]
        print(f"{what}: {spent[0]:.2f} s, twice as many {spent[1]:.2f} s, {ratio:.2f} times")
        if ratio > 2.5:
            sys.exit(1)
