#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The demo season published on a CalDAV server; then 13 changes there by a client of another maker
(python3-caldav), as a person makes them. What the book and the server hold afterwards was written
down before: WANTED. A second round moves no byte. Usage: changes.py SIMPLING"""
import datetime
import glob
import re
import shutil
import sys
import tempfile

from house import House, news
from server import Desk, Server

for program in ("radicale", "vdirsyncer"):
    if shutil.which(program) is None:
        print(f"{program} is not installed")
        sys.exit(77)
try:
    import caldav
except ImportError:
    print("python3-caldav is not installed")
    sys.exit(77)

FOREIGN = """BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//someone//their phone//EN\r
BEGIN:VEVENT\r
UID:tea-with-ann\r
DTSTAMP:20270620T120000Z\r
DTSTART;VALUE=DATE:20270703\r
SUMMARY:Tea with Ann\r
END:VEVENT\r
END:VCALENDAR\r
"""

# The one that is to come; another is past.
OUTING = "Outing: Scarth Wood, Hag Bank, Mill Holme"

# What each of the 13 changes is in the end: in the book, and on the server.
WANTED = {
    "moved": ["Meadowsweet, Mill Holme", "Strain B27-003", "Outing"],
    "done": ["Ready B27-004"],
    "dropped": ["Shake B27-002"],
    "kept": ["alarm: Strain B27-004", "category: Yarrow, Hag Bank", "note: Haws, Hag Bank",
             "time: Outing", "title: Lime flower, Scarth Wood"],
    "deleted": ["Ready B27-003", "Ready B27-003"],  # the event and the task beside it
    "ignored": ["Strain B27-002"],
}

work = tempfile.mkdtemp(prefix="simpling-changes.")
server = Server(f"{work}/server")


def on_server():
    held = {}
    for path in glob.glob(f"{work}/server/collections/collection-root/edda/season/*.ics"):
        with open(path, "rb") as file:
            held[path.rsplit("/", 1)[1]] = file.read()
    return held


class Client:
    def __init__(self, url):
        client = caldav.DAVClient(url=url, username="edda", password="sallow")
        self.calendar = client.calendar(url=f"{url}edda/season/")

    def find(self, title, kind="VEVENT"):
        every = self.calendar.events() if kind == "VEVENT" else self.calendar.todos(
            include_completed=True)
        for one in every:
            part = one.icalendar_instance.walk(kind)[0]
            text = str(part["SUMMARY"])
            if text == title or text.startswith(f"{title}:"):
                return one, part
        sys.exit(f"no {title} on the server")

    def change(self, title, kind="VEVENT", **values):
        one, part = self.find(title, kind)
        for name, value in values.items():
            if name in part:
                del part[name]
            part.add(name, value)
        one.save()


def thirteen(client):
    day = datetime.date
    # 1 a window, 2 a step moved
    client.change("Meadowsweet, Mill Holme", dtstart=day(2027, 7, 5), dtend=day(2027, 7, 20))
    client.change("Strain B27-003", dtstart=day(2027, 8, 12), dtend=day(2027, 8, 13))
    # 3 an outing on the next day and later in the day, in UTC
    _, outing = client.find(OUTING)
    start = outing["DTSTART"].dt.astimezone(datetime.timezone.utc) + datetime.timedelta(days=1, hours=2)
    client.change(OUTING, dtstart=start, dtend=start + datetime.timedelta(hours=3))
    # 4 a task ticked on the evening before; 5 straining ticked, which needs its yield
    ticked = datetime.datetime(2027, 6, 19, 19, 30, tzinfo=datetime.timezone.utc)
    client.change("Ready B27-004", "VTODO", status="COMPLETED", completed=ticked)
    client.change("Strain B27-002", "VTODO", status="COMPLETED", completed=ticked)
    # 6 a step cancelled; 7 another deleted, with its task
    client.change("Shake B27-002", status="CANCELLED")
    for kind in ("VEVENT", "VTODO"):
        client.find("Ready B27-003", kind)[0].delete()
    # 8 another title, 9 another alarm, 10 a category, 11 a note
    client.change("Lime flower, Scarth Wood", summary="Lime walk with Ann")
    one, part = client.find("Strain B27-004")
    del part.subcomponents[0]["TRIGGER"]
    part.subcomponents[0].add("trigger", datetime.timedelta(hours=-39))
    one.save()
    client.change("Yarrow, Hag Bank", categories=["windows", "walks"])
    _, part = client.find("Haws, Hag Bank")
    client.change("Haws, Hag Bank", description=str(part["DESCRIPTION"]) + "\nBring the long hook.")
    # 12 an event of the person's own; 13 saved again without a change
    client.calendar.save_event(FOREIGN)
    client.find("Elderberries, Scarth Wood")[0].save()


def titles(found):
    """Without the change where the list says it, and up to the code or place."""
    short = {}
    for name, texts in found.items():
        cut = [re.sub(r"^(Outing).*", r"\1", re.sub(r" ?(B27-\d+):.*", r" \1", t.split(": ", 1)[1]))
               for t in texts]
        short[name] = sorted(f"{t.split(': ')[0]}: {c}" if name == "kept" else c
                             for t, c in zip(texts, cut))
    return short


def main():
    house = House(sys.argv[1], work)
    server.start()
    home = Desk(work, "home", server.url)

    def write():
        return house.ask("calendar", "write", "--tasks", "--split", home.folder)

    def read():
        return house.ask("calendar", "read", home.folder, "--apply", "--deleted", "drop")

    write()
    home.discover()
    home.sync()
    client = Client(server.url)
    thirteen(client)
    home.sync()
    found = read()
    got = titles(news(found))
    assert got == {name: sorted(value) for name, value in WANTED.items()}, got
    assert found["foreign"] == 1
    write()
    home.sync()

    # The book.
    windows = house.ask("window", "list", "--site", "Mill Holme", "--material", "meadowsweet/herb",
                        "--use", "medicine")
    assert ("2027-07-05", "2027-07-19", "fixed") in [
        (w["likely_start"], w["likely_end"], w["basis"]) for w in windows], windows
    assert house.step("B27-003", "strain")["due"] == "2027-08-12"
    assert house.step("B27-004", "ready")["done"] == "2027-06-19"
    assert house.step("B27-002", "strain")["done"] is None
    assert house.step("B27-002", "shake")["dropped"] == "2027-06-20"
    assert house.step("B27-003", "ready")["dropped"] == "2027-06-20"
    assert [o["date"] for o in house.ask("plan", "outings", "--kept")["outings"] if not o["past"]] == ["2027-07-04"]
    house.run("book", "check")

    # The server.
    def has(title, *parts, kind="VEVENT"):
        text = client.find(title, kind)[0].data
        text = re.sub(r"\r?\n[ \t]", "", text)
        for part in parts:
            assert part in text, (title, part, text)

    has("Meadowsweet, Mill Holme", "DTSTART;VALUE=DATE:20270705", "DTEND;VALUE=DATE:20270720")
    has("Strain B27-003", "DTSTART;VALUE=DATE:20270812")
    has(OUTING, "DTSTART;TZID=Europe/London:20270704T09", "TRANSP:OPAQUE")
    has("Ready B27-004", "STATUS:COMPLETED", "COMPLETED:20270619T", kind="VTODO")
    has("Strain B27-002", "STATUS:NEEDS-ACTION", kind="VTODO")
    has("Called off: Shake B27-002", "STATUS:CANCELLED")
    has("Lime walk with Ann", "The ground")
    has("Strain B27-004", "TRIGGER:-P1DT15H")
    has("Yarrow, Hag Bank", "CATEGORIES:windows,walks")
    has("Haws, Hag Bank", "Your note:\\nBring the long hook.", "Check again before picking")
    has("Tea with Ann")
    gone = [one for one in client.calendar.events() if "SUMMARY:Ready B27-003" in one.data]
    assert not gone, gone

    held, files = on_server(), home.files()
    again = house.ask("calendar", "read", home.folder, "--apply")
    assert titles(news(again)) == {}, news(again)
    assert [write()[key] for key in ("new", "changed", "cancelled")] == [0, 0, 0]
    home.sync()
    assert home.files() == files and on_server() == held, "a byte moved"
    print("changes: 13 by another client; book and server as they were to be; no byte moves again")


try:
    main()
finally:
    server.stop()
    shutil.rmtree(work, ignore_errors=True)
