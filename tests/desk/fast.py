#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""The desk's pages beside season's own answers, in one run, on a book of 10,000 harvests and 5,000 uses.

Each page takes at most half as long again as the answers that it shows take as JSON; eight readers of one
page beside one writer: the slowest of a hundred waits less than ten times the page's quiet median; waiting
too is told in the desk's processor time, what it did from the asking to the answer.

    fast.py SIMPLING-PROGRAM BOOK-MAKER     BOOK-MAKER: bench_big_book

Both are told in processor time, in turns, so that what else the machine does has little part in it; what the
command line takes to begin at all is taken off its side, nothing off the page's. Only ratios are looked at,
of the least of some rounds.
"""
import http.client
import json
import multiprocessing
import os
import re
import resource
import statistics
import subprocess
import sys
import threading
import uuid

from served import Desk

desk = Desk(sys.argv[1])
subprocess.run([sys.argv[2], desk.book, "100", "10000", "5000"], check=True)
site = "Place 7"
desk.simpling("stage", "note", "Place 1", "nettle leaf", "half grown", "--on", "2027-06-19")  # settles what is kept
desk.simpling("stand", "set", site, "nettle", "--area", "60m2", "--cover", "50%")

jar, lot, picked = (desk.json(noun, "list")[-1]["code"] for noun in ("batch", "lot", "harvest"))
desk.simpling("dry", "start", "--from", picked)
desk.simpling("lot", "hold", lot, "--why", "it smells odd")
desk.simpling("spray", "note", "Place 9", "--kind", "sprayed", "--on", "2026-06-01", "--source", "a walker")
# The page, and the answers on it.
PAGES = (
    ("/", [()]),
    ("/places", [("check", "--all")]),
    ("/place/Place%207", [("check", site), ("site", "show", site), ("stand", "list", "--site", site), ("window", "list", "--site", site),
                          ("window", "list", "--site", site, "--year", "2028")]),
    ("/plant/dandelion", [("window", "list")]),
    ("/log", [("harvest", "list", "--from", "2026-06-21")]),
    ("/log?all=1", [("harvest", "list")]),
    ("/log?site=Place+7", [("harvest", "list", "--site", site)]),
    (f"/harvest/{picked}", [("harvest", "show", picked)]),
    ("/jars", [("batch", "list", "--standing")]),
    ("/jars?all=1", [("batch", "list")]),
    (f"/batch/{jar}", [("batch", "show", jar)]),
    ("/racks", [("dry", "list")]),
    ("/shelf", [("lot", "list")]),
    (f"/lot/{lot}", [("lot", "show", lot)]),
    ("/count", [("lot", "list"), ("batch", "list", "--standing")]),

    ("/questions", [("questions",)]),
    ("/recall?of=Place+7&sprayed=2026-05-20", [("trace", site, "--sprayed", "2026-05-20")]),
    ("/reckon?what=herb&material=nettle+leaf&preparation=tincture&jar=500mL", [("need", "nettle leaf", "tincture", "--jar", "500mL")]),
)
wrong = 0


def check(right, what):
    global wrong
    print("ok   " if right else "WRONG", what, flush=True)
    wrong += not right


def command(*words):
    """Seconds of processor that the command line took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([sys.argv[1], *words], env=desk.env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    assert done.returncode in (0, 3, 4), (words, done.returncode)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def worked():
    """Seconds of processor that the desk took so far."""
    tasks = f"/proc/{desk.pid()}/task"
    return sum(int(open(f"{tasks}/{task}/schedstat", encoding="ascii").read().split()[0]) for task in os.listdir(tasks)) / 1e9


def page(path, there=None):
    """One page; `there`: over this connection, as a browser keeps one."""
    there = there or http.client.HTTPConnection("127.0.0.1", int(desk.host.rsplit(":", 1)[1]), timeout=120)
    there.request("GET", path, headers={"Host": desk.host, "Cookie": desk.cookie})
    answer = there.getresponse()
    body = answer.read()
    assert answer.status == 200, (path, answer.status, body[:2000])
    return body


desk.begin()
for path, answers in PAGES[:int(sys.argv[3]) if len(sys.argv) > 3 else None]:
    for words in answers:
        told = subprocess.run([sys.argv[1], *words, "--json"], env=desk.env, capture_output=True, text=True, check=False).stdout
        assert json.loads(told), (words, "is empty")
        things = re.findall(r'"(?:code|material|site|about)": ?"([^"]+)"', told)
        assert any(thing in page(path).decode() for thing in things[:9]), (path, words, "is not on it")
    ours, theirs = [], []
    for _ in range(7):
        before = worked()
        page(path)
        ours.append(worked() - before)
        begins = command("--version")
        theirs.append(sum(command(*words, "--json") - begins for words in answers))
    ours, theirs = min(ours), min(theirs)  # what else runs only ever adds
    check(ours <= 1.5 * theirs, f"{path}: {1000 * ours:.1f} ms, as JSON {1000 * theirs:.1f} ms: {ours / theirs:.2f}")

# Readers beside a writer. Each keeps its connection, as a browser does.
READING = "/shelf"
stop, wrote = threading.Event(), []


def write():
    while not stop.is_set():
        answer = desk.act("stage-note", site=f"Place {len(wrote) % 100}", material="nettle leaf", stage="half grown", form=str(uuid.uuid4()))
        assert answer.status == 303, answer.status
        wrote.append(1)


def read(_):
    there = http.client.HTTPConnection("127.0.0.1", int(desk.host.rsplit(":", 1)[1]), timeout=120)
    seconds = []
    for _ in range(100):
        before = worked()
        page(READING, there)
        seconds.append(worked() - before)
    return seconds


# Each reader is a process, so that none waits for another of them instead of for the desk.
with multiprocessing.get_context("fork").Pool(8) as readers:
    writer = threading.Thread(target=write)
    writer.start()
    seconds = sum(readers.map(read, range(8), chunksize=1), [])
    stop.set()
    writer.join()
quiet = []
for _ in range(30):
    before = worked()
    page(READING)
    quiet.append(worked() - before)
quiet = statistics.median(quiet)
worst = sorted(seconds)[int(0.99 * len(seconds)) - 1]
check(len(seconds) == 800 and wrote, f"800 pages were read, {len(wrote)} stages noted beside them")
check(worst < 10 * quiet, f"eight readers and a writer: p99 {1000 * worst:.0f} ms, the quiet median {1000 * quiet:.1f} ms: {worst / quiet:.1f}")
check(desk.end() == 0, "the desk ends well")
sys.exit(1 if wrong else 0)
