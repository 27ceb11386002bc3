#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""What goes wrong beside the desk: the disk is full, the book is of an earlier version, or was put there
while a form stood open. Each ends in a page that says what happened, with what was typed still in the form;
the book is as it was, and when all is right again the same form is taken.

Another process that works for it is killed: the page says so, and asked again it does it.

    trouble.py SIMPLING-PROGRAM SOURCE-FOLDER
"""
import os
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
import threading
import time

from served import Desk

SOURCE = sys.argv[2]
desk = Desk(sys.argv[1])
wrong = 0


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def holds(answer, *words):
    for word in words:
        check(word in answer.text, f"the page says {word!r}", answer.status, answer.text[-1500:])


def bytes_of(path):
    with open(path, "rb") as file:
        return file.read()


def older(path):
    """The demo's book as the program before the last schema wrote it."""
    dumps = sorted(os.listdir(f"{SOURCE}/tests/book/schemas"))
    with open(f"{SOURCE}/tests/book/schemas/{dumps[-2]}", encoding="utf-8") as file:
        db = sqlite3.connect(path)
        db.executescript(file.read())
        db.close()


desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()
HARVEST = {"site": "Low Croft", "material": "nettle leaf", "weight": "130g", "stage": "half grown", "named_by": 'Edda "the younger" <e>',
           "signs": "stinging hairs"}

# The process that draws is killed as soon as it is there.
def helpers():
    found = subprocess.run(["pgrep", "-P", str(desk.pid()), "simpling-page"], capture_output=True, text=True, check=False)
    return [int(word) for word in found.stdout.split()]


def with_helper(do, path):
    """Asks for a page, and does this to the process that makes it."""
    answers = []
    asking = threading.Thread(target=lambda: answers.append(desk.get(path)))
    asking.start()
    until = time.monotonic() + 60
    while not (found := helpers()) and asking.is_alive() and time.monotonic() < until:
        time.sleep(0.002)
    for pid in found:
        do(pid)
    asking.join()
    check(found, f"another process makes {path}")
    return answers[0]


answer = with_helper(lambda pid: os.kill(pid, signal.SIGKILL), "/season.svg")
check(answer.status == 500, "a killed helper is a failure", answer.status)
holds(answer, "ended before it was done", "try again")
answer = desk.get("/season.svg")
check(answer.status == 200 and answer.body.startswith(b"<?xml"), "asked again it is drawn", answer.status, answer.body[:100])
check(helpers() == [] and desk.get("/work/0123").status == 404, "nothing is left of it")

# One that takes long is a page that looks again by itself, beside which the others can be used; it can be
# stopped, and what was typed is still there.
def send_notes(answers):
    answers.append(desk.ask("POST", "/files/notes", "pasted=2027-06-19+Low+Croft%3A+nettle+leaf+300+g",
                            **{"Content-Type": "application/x-www-form-urlencoded"}))


answers = []
sending = threading.Thread(target=send_notes, args=[answers])
sending.start()
while not (found := helpers()) and sending.is_alive():
    time.sleep(0.002)
for each in found:
    os.kill(each, signal.SIGSTOP)
sending.join()
check(answers[0].status == 303 and answers[0].headers["Location"].startswith("/work/"), "it takes long", answers[0].status)
at = answers[0].headers["Location"]
answer = desk.get(at)
holds(answer, "being worked on", "Stop it")
check(answer.headers["Refresh"] == "1", "it looks again by itself", answer.headers["Refresh"])
check(desk.get("/shelf").status == 200, "the others can be used")
answer = desk.post(at, {})
holds(answer, "It was stopped, as you wished", "nettle leaf 300 g")
check(helpers() == [], "and nothing works on it any more")

# The file may not grow: what a full disk is, without a disk of its own. The file is made a page longer by
# an entry sooner or later, so a few are tried.
pid = desk.pid()
size = os.path.getsize(desk.book)
harvests = len(desk.json("harvest", "list"))
before = bytes_of(desk.book)
resource.prlimit(pid, resource.RLIMIT_FSIZE, (512, resource.RLIM_INFINITY))  # no journal can be written either
answer = desk.act("harvest-add", **HARVEST)
check(answer.status == 500, "a full disk is a failure", answer.status)
holds(answer, "130g", "Edda &quot;the younger&quot; &lt;e&gt;", "stinging hairs", "disk")
check(bytes_of(desk.book) == before, "the book is as it was")
check(desk.get("/shelf").status == 200, "and can be read")
resource.prlimit(pid, resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))  # the journal can, the book cannot
grown = [desk.act("harvest-add", **dict(HARVEST, remark="long " * 700)) for _ in range(4)]
written = sum(answer.status == 303 for answer in grown)
check(written < 4, "a disk that gets full in the middle is a failure", [answer.status for answer in grown])
check(len(desk.json("harvest", "list")) == harvests + written, "each entry is in whole, or not at all")
resource.prlimit(pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
again = grown[-1].fields()
check(again["weight"] == "130g" and "form" in again, "the form came back whole", again)
answer = desk.post("/act/harvest-add", again)
check(answer.status == 303, "sent again when there is room, it is written", answer.status, answer.text[-800:])
check(len(desk.json("harvest", "list")) == harvests + written + 1, "once")
check(desk.simpling("book", "check") is not None, "and the book is sound")

# The book of an earlier version: its upgrade is offered before anything else, and it is not touched until
# the person says so.
os.remove(desk.book)
older(desk.book)
before = bytes_of(desk.book)
answer = desk.get("/shelf?all=1")
holds(answer, "earlier version", "A copy as it is now is kept", 'action="/upgrade"')
answer = desk.act("harvest-add", **HARVEST)
check(answer.status == 412, "a form sent to it asks first", answer.status)
holds(answer, "earlier version", "Upgrade the book, then write it", 'value="130g"')
check(bytes_of(desk.book) == before, "an older book is not touched unasked")
check(desk.get("/style/x").status in (200, 404), "the desk serves on")
answer = desk.post("/act/harvest-add", answer.fields())
check(answer.status == 303, "the upgrade and the entry in one touch", answer.status, answer.text[-800:])
copies = [name for name in os.listdir(desk.folder) if "before-schema" in name]
check(len(copies) == 1 and bytes_of(f"{desk.folder}/{copies[0]}")[60:64] == before[60:64], "the copy is of the earlier version", copies)
check(desk.get("/shelf").text.count("earlier version") == 0, "then the pages are there")

# The same from the page that offers it, which goes on to where the person wanted; never to another machine.
shutil.move(f"{desk.folder}/{copies[0]}", desk.book)
for to, there in (("/shelf?all=1", "/shelf?all=1"), ("//evil.example/", "/"), ("/\\evil.example", "/"), ("http://evil.example/", "/"),
                  ("/shelf?x=\r\nSet-Cookie: a=b", "/")):
    answer = desk.post("/upgrade", {"to": to})
    check(answer.status == 303 and answer.headers["Location"] == there, f"from {to!r} on to {there!r}", answer.status,
          answer.headers["Location"])
check(desk.simpling("book", "check") is not None, "the upgraded book is sound")
check(desk.end() == 0, "the desk ends well")
print(f"{'no' if not wrong else wrong} wrong")
sys.exit(1 if wrong else 0)
