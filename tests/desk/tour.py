#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""The first day in the desk, from no book at all: the tour leads through the real forms, and a step is ticked
when the book has it, and only then.

    tour.py SIMPLING-PROGRAM
"""
import re
import sys

from served import Desk

desk = Desk(sys.argv[1], today="2027-05-20")
wrong = 0


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def steps():
    """Each step's title and how it stands, in order."""
    text = desk.get("/tour").text
    found = re.findall(r"<strong>([^<]*)</strong> <span class=\"[a-z ]*\">([a-z ]*)</span>", text)
    check(len(found) == 11, "eleven steps", found)
    return found


def done():
    return {title for title, how in steps() if how == "done"}


desk.begin()
check("A new book" in desk.get("/tour").text, "without a book it asks for one")
answer = desk.post("/start", {"mark": "EDD"})
check(answer.status == 200 and 'href="/tour"' in answer.text, "the new book leads to the tour", answer.status)
check(done() == set(), "a new book has nothing", done())
check([how for _, how in steps()] == ["next"] + 10 * ["to do"], "the first is next", steps())
check('href="/tour"' in desk.get("/").text and 'href="/tour"' in desk.get("/help").text, "Today and the help lead there")

SIGNS = "smooth hollow stalk, milky juice, one head"
DAY = [  # what is done, and the step that it ticks; None: none by itself
    ("book-set", {"key": "who", "value": "Edda"}, None),
    ("book-set", {"key": "home", "value": "54.59,-2.60"}, "Who you are, and where home is"),
    ("site-add", {"name": "Beck Meadow", "at": "54.60,-2.61", "accuracy": "10m"}, "A place"),
    ("site-permit", {"site": "Beck Meadow", "given": "yes", "by": "the farmer", "parts": "any"}, "Leave to gather"),
    ("spray-note", {"site": "Beck Meadow", "kind": "unsprayed", "source": "the farmer", "since": "2024"}, "What was said of spraying"),
    ("hazard-add", {"name": "the lane", "method": "road", "at": "54.65,-2.61", "accuracy": "10m"}, "Fields, roads and rails beside it"),
    ("stand-set", {"site": "Beck Meadow", "plant": "dandelion", "plants": "900"}, "What the place bears"),
    ("harvest-add", {"site": "Beck Meadow", "material": "dandelion flower", "weight": "300g", "stage": "in flower", "named_by": "Edda",
                     "signs": SIGNS}, "The first harvest"),
    ("batch-start", {"preparation": "tincture", "from": "H27-001", "jar": "1L"}, "The first jar"),
    ("batch-press", {"jars.0.code": "B27-001", "jars.0.yield": "400mL", "on": "2027-05-20"}, "Strained and bottled"),
    ("lot-use", {"lots": "L27-001:20mL", "for": "1001"}, "Given out"),
    ("plan-add", {"name": "dandelion of June", "preparation": "tincture", "materials": "dandelion root", "jar": "500mL"}, "The next batches, planned"),
]
had = set()
tour = desk.get("/tour").text
for act, fields, step in DAY:
    check(f'href="/act/{act}"' in tour or act == "book-set", f"the tour leads to {act}")
    answer = desk.act(act, **fields)
    if answer.status != 303:
        check(False, f"{act} is written", answer.status, re.findall(r'class="wrong">([^<]*)|<li>([^<]*)</li>', answer.text)[:4],
              re.findall(r'<a href="#[^"]*">([^<]*)', answer.text))
    if step is not None:
        had.add(step)
    check(done() == had, f"after {act}", done() ^ had)
check([how for _, how in steps()] == 11 * ["done"] and "All of it is in the book" in desk.get("/tour").text, "the day is whole")
check('href="/tour"' not in desk.get("/").text, "Today no longer speaks of it")
desk.end()
sys.exit(wrong != 0)
