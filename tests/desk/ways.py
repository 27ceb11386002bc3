#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""What can be said at the command line can be said in the desk: every row of the table of commands has a
form, a question or a page there, which a link of the desk's own pages leads to and which opens. Then the
season is planned in the desk, and a search is stopped while the other pages answer.

    ways.py SIMPLING-PROGRAM SOURCE-FOLDER
"""
import glob
import re
import shutil
import sys
import time
from urllib.parse import quote, urlencode

from served import Desk

source = sys.argv[2]
desk = Desk(sys.argv[1], today="2027-03-20")
wrong = 0

# For who sits at the machine: the manual of the command line, an example, a book's beginning and its rescue.
EXCEPTIONS = {"help", "demo", "book init", "book repair", "book restore", "book import"}
# Where it is not the row's own words.
ELSEWHERE = {
    "": "/", "desk": "/", "start": "/",  # where there is no book, the desk begins with the questions of start
    "site show": "/place/", "site import": "/files/places", "hazard import": "/files/hazards", "weather import": "/files/weather",
    "calendar write": "/out/calendar", "slip write": "/out/slip", "site export": "/out/places", "book export": "/out/tables",
    "book backup": "/out/backup", "book lend": "/out/lent",
    "calendar check": "/files/calendar-check", "calendar busy": "/files/calendar-busy", "almanac add": "/files/almanac",
    "book merge": "/files/book", "photo add": "/files/photo", "photo look": "/files/photo",
    "calendar read": "/files/calendar", "slip read": "/files/notes", "hazard list": "/look/hazard-list",
    "dry start": "/act/drying-start", "dry turn": "/act/drying-turn", "dry weigh": "/act/drying-weigh",
    "dry test": "/act/drying-test", "dry finish": "/act/drying-finish", "dry list": "/look/drying-list", "dry show": "/drying/",
    "harvest show": "/harvest/", "batch show": "/batch/", "lot show": "/lot/", "need": "/reckon", "dilute": "/reckon",
    "trace": "/recall", "plan outings": "/plan", "plan year": "/year", "label": "/print?what=labels",
}


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def rows():
    """The words of each command of the table, in its order."""
    said = {}
    for name in glob.glob(f"{source}/src/command/*.c"):
        text = open(name, encoding="utf-8").read()
        for found in re.finditer(r'struct spl_command (spl_command_\w+) = \{\s*\.words = "([^"]*)"', text):
            said[found[1]] = found[2]
    table = open(f"{source}/src/command/commands.c", encoding="utf-8").read()
    return [said[name] for name in re.findall(r"&(spl_command_\w+),", table)]


def way_of(row):
    if row in ELSEWHERE:
        return [ELSEWHERE[row]]
    name = row.replace(" ", "-")
    if row.startswith("draw "):
        return [f"/print?what={row[5:]}"]
    return [f"/act/{name}", f"/look/{name}"]


def links(page):
    answer = desk.wait(desk.get(page))
    check(answer.status == 200, f"{page} opens", answer.status)
    return {link.replace("&amp;", "&") for link in re.findall(r'href="([^"#]+)', answer.text)}


desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()
found = {"/"}
for page in ("/", "/places", "/season", "/plan", "/year", "/log", "/racks", "/jars", "/shelf", "/reckon", "/recall", "/questions", "/files"):
    found |= links(page)
for kind in ("/place/", "/plant/", "/harvest/", "/drying/", "/batch/", "/lot/"):
    some = sorted(link for link in found if link.startswith(kind))
    check(some, f"a link leads to {kind}")
    if some:
        found |= links(some[0])

table = rows()
check(len(table) == len(set(table)) > 110, "the table is read whole", len(table))
check(len(EXCEPTIONS) <= 8 and EXCEPTIONS <= set(table), "the exceptions are rows")
opened = set()
for row in table:
    if row in EXCEPTIONS:
        continue
    # "/place/" is any of them; "/print?what=labels" may go on with what is asked.
    leads = sorted(link for link in found for way in way_of(row)
                   if (link.startswith(way) if way[-1] == "/" and way != "/" or "?" in way else link.partition("?")[0] == way))
    check(leads, f"'{row}' has a way in the desk", way_of(row))
    if leads and leads[0].partition("?")[0] not in opened and not leads[0].startswith("/print"):
        opened.add(leads[0].partition("?")[0])
        check(desk.wait(desk.get(leads[0])).status == 200, f"{leads[0]} of '{row}' opens")
for link in sorted(link for link in found if link.startswith("/look/")):
    answer = desk.wait(desk.get(link + "?asked=yes"))
    check(answer.status in (200, 422), f"{link} answers, or says what it wants", answer.status)

# Each form is reached from the page of the thing it is about, not only from the list of all forms.
pages = ["/", "/places", "/season", "/plan", "/year", "/log", "/racks", "/jars", "/shelf", "/recall?of=L26-001", "/questions", "/settings",
         "/ledger", "/count", "/look/site-list?asked=yes"]
for kind in ("/place/", "/harvest/", "/drying/", "/batch/", "/lot/"):
    pages += sorted(link for link in found if link.startswith(kind))[:8]
pages += sorted({link + "?asked=yes" for link in found if link.startswith("/look/")})
reached = set()
for page in pages:
    answer = desk.wait(desk.get(page))
    reached |= set(re.findall(r'(?:href|action)="/act/([a-z-]+)', answer.text))
acts = set(re.findall(r'^    \{"([a-z-]+)", "', open(f"{source}/src/desk/acts.c", encoding="utf-8").read(), re.M))
# What this day has not: an entry just written, herb on a rack, steps that are due, an entry deleted in a calendar.
SELDOM = {"take-back", "drying-turn", "drying-weigh", "drying-finish", "steps-done", "calendar-again"}
check(len(acts) > 50 and SELDOM < acts, "the table of acts is read", len(acts))
check(acts <= reached | SELDOM, "a form is reached from no page of its thing", acts - reached - SELDOM)

# The manual is searched, whatever the case and the order of the words; what is not in it is said, and what
# was typed is text.
found = desk.get("/help?find=SPRAY+ground").text
check("Found in the manual" in found and found.count("<li>") > 3 and "Nothing: the manual" not in found, "a word of the manual is found")
found = desk.get("/help/words?find=%3Cb%3Exyzzy%26").text
check("Nothing: the manual" in found and "<b>xyzzy" not in found and "&lt;b&gt;xyzzy&amp;" in found, "a word that is not there")

# The plan is made, and kept; what cannot be read stays in the form.
answer = desk.post("/plan", {"days": "sat,sun,noday"})
check(answer.status == 422 and "noday" in answer.text, "a day that is none", answer.status)
answer = desk.post("/plan", {"days": "sat,sun", "hours": "5"})
check(answer.status == 303 and answer.headers["Location"] == "/plan", "the outings are planned", answer.status, answer.text[:300])
kept = desk.json("plan", "outings", "--kept")["outings"]
told = desk.wait(desk.get("/plan")).text
check(kept and all(outing["date"] in told for outing in kept), "the plan shows every outing that is kept", len(kept))

# An outing is kept as it is, let loose, takes less of a herb, is moved, dropped; whom to call stands there,
# each with the form for what they say, its place and name filled in.
def outing(date):
    return next((one for one in desk.json("plan", "outings", "--kept")["outings"] if one["date"] == date), None)


first = next(one for one in kept if not one["fixed"] and not one["past"] and one["sites"][0]["takes"])
check(outing(first["date"])["fixed"] is False and f'/act/outing-pin?day={first["date"]}"' in told, "a way to keep it so")
check(desk.act("outing-pin", day=first["date"]).status == 303 and outing(first["date"])["fixed"] is True, "it is kept as it is")
told = desk.wait(desk.get("/plan")).text
check(f'/act/outing-pin?day={first["date"]}&amp;loose=yes' in told, "and a way to let it loose")
check(desk.act("outing-pin", day=first["date"], loose="yes").status == 303 and outing(first["date"])["fixed"] is False, "it is let loose")
stop, take = first["sites"][0], first["sites"][0]["takes"][0]
check(urlencode({"day": first["date"], "site": stop["site"], "material": take["material"]}, quote_via=quote, safe="").replace("&", "&amp;") in told,
      "a way to take more or less of it")
half = max(1, round(take["grams"] / 2))
check(desk.act("outing-take", day=first["date"], site=stop["site"], material=take["material"], weight=f"{half}g").status == 303 and
      outing(first["date"])["sites"][0]["takes"][0]["grams"] == half, "half of it", outing(first["date"])["sites"][0])
spare = next((one for one in desk.json("plan", "outings", "--kept")["outings"] if one["reserve"]), None)
if spare is not None:
    check(desk.act("outing-move", day=spare["date"], to="reserve").status == 303 and outing(spare["date"]) is None and outing(spare["reserve"]) is not None,
          "on its reserve day", spare["date"], spare["reserve"])
plan = desk.json("plan", "outings", "--kept")
told = desk.wait(desk.get("/plan")).text
check(plan["call"], "somebody is to be called")
for call in plan["call"]:
    check(f'/act/spray-note?site={quote(call["site"], safe="")}' in told and f'/act/site-permit?site={quote(call["site"], safe="")}' in told,
          f"a form for what {call['who']} says of {call['site']}")
last = desk.json("plan", "outings", "--kept")["outings"][-1]
check(desk.act("outing-drop", day=last["date"]).status == 303 and outing(last["date"]) is None, "dropped", last["date"])
kept = desk.json("plan", "outings", "--kept")["outings"]

# A search is stopped: other pages answer meanwhile, and the plan stands as it was.
answer = desk.ask("POST", "/plan", "hours=8&pickers=2", **{"Content-Type": "application/x-www-form-urlencoded"})
if answer.status == 303 and answer.headers["Location"].startswith("/work/"):
    at = answer.headers["Location"]
    since = time.monotonic()
    check(desk.get("/shelf").status == 200, "the shelf answers meanwhile")
    stopped = desk.wait(desk.ask("POST", at, "", **{"Content-Type": "application/x-www-form-urlencoded"}))
    over = desk.get(at)
    check("Stop it" not in over.text, "it is over at once", over.status)
    check(desk.json("plan", "outings", "--kept")["outings"] == kept or over.headers.get("Location") == "/plan", "stopped, the plan stands as it was")
check(desk.act("book-set", key="pickers", value="2").status == 303, "a setting is set")
check('"2"' in str(desk.json("book", "info")).replace("'", '"'), "and stands in the book")
desk.end()
sys.exit(wrong != 0)
