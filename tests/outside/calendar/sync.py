#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The folder of `calendar write --split`, kept in step with a CalDAV server by vdirsyncer as the
manual shows it, while things go wrong: the server is gone, refuses the password, may not be written;
two devices; a device whose clock is years ahead. Nothing is lost, nothing is taken for a deletion,
and when all is said a further round moves no byte. Usage: sync.py SIMPLING"""
import glob
import os
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
work = tempfile.mkdtemp(prefix="simpling-sync.")
server = Server(f"{work}/server")


def on_server():
    held = {}
    for path in glob.glob(f"{work}/server/collections/collection-root/edda/season/*.ics"):
        with open(path, "rb") as file:
            held[path.rsplit("/", 1)[1]] = file.read()
    return held


def file_of(desk, title, kind="VEVENT"):
    for name, text in desk.files().items():
        if f"SUMMARY:{title}".encode() in text and f"BEGIN:{kind}".encode() in text:
            return f"{desk.folder}/{name}"
    sys.exit(f"no {title} in {desk.folder}")


def plain(desk):
    """The lines of each file, as the server may put them into another order."""
    return {name: sorted(re.sub(r"\r?\n[ \t]", "", text.decode()).split())
            for name, text in desk.files().items()}


def edit(path, *pairs):
    with open(path, encoding="utf-8", newline="") as file:
        text = file.read()
    for old, new in pairs:
        text, n = re.subn(old, new, text, count=1)
        assert n == 1, (path, old, text)
    with open(path, "w", encoding="utf-8", newline="") as file:
        file.write(text)


def main():
    house = House(sys.argv[1], work)
    server.start()
    home, phone = Desk(work, "home", server.url), Desk(work, "phone", server.url)

    def write():
        return house.ask("calendar", "write", "--tasks", "--split", home.folder)

    def read(*more):
        return house.ask("calendar", "read", home.folder, "--apply", *more)

    def quiet():
        """Nothing changed in the folder, and nothing in it is news."""
        assert home.files() == before, "the folder was changed"
        assert news(read()) == {}, news(read())

    write()
    home.discover()
    home.sync()
    phone.discover()
    phone.sync()
    before = home.files()
    assert len(before) > 60 and on_server().keys() == before.keys() == phone.files().keys()
    quiet()

    # The server is gone; it knows another password; it may only be read.
    server.stop()
    home.sync(ok=False)
    quiet()
    server.start()
    home.configure("willow")
    home.sync(ok=False)
    quiet()
    home.configure()
    home.sync()
    quiet()
    server.stop()
    server.start(rights="Rr")
    house.run("batch", "step", "B27-003", "shake", "--due", "2027-06-29")
    assert write()["changed"] == 2
    held = on_server()
    home.sync(ok=False)
    assert on_server() == held
    assert news(read()) == {}
    server.stop()
    server.start()
    home.sync()
    assert b"20270629" in on_server()[file_of(home, "Shake B27-003").rsplit("/", 1)[1]]
    phone.sync()
    print("sync: gone, refused, read-only: nothing lost, nothing taken for deleted")

    # Two devices: the phone moves one thing and the desk another.
    edit(file_of(phone, "Strain B27-003"), (r"DTSTART;VALUE=DATE:\d+", "DTSTART;VALUE=DATE:20270812"),
         (r"DTEND;VALUE=DATE:\d+", "DTEND;VALUE=DATE:20270813"))
    house.run("batch", "step", "B27-004", "strain", "--due", "2027-08-20")
    write()
    home.sync()
    phone.sync()
    home.sync()
    found = news(read())
    assert list(found) == ["moved"] and len(found["moved"]) == 1, found
    assert house.step("B27-003", "strain")["due"] == "2027-08-12"
    assert house.step("B27-004", "strain")["due"] == "2027-08-20"
    write()
    home.sync()
    phone.sync()
    assert plain(phone) == plain(home)
    print("sync: two devices: both moves hold, and both have them")

    # A device whose clock is four years ahead ticks a task and moves an event.
    edit(file_of(phone, "Ready B27-004"), (r"DTSTART;VALUE=DATE:\d+", "DTSTART;VALUE=DATE:20270805"),
         (r"DTEND;VALUE=DATE:\d+", "DTEND;VALUE=DATE:20270806"),
         (r"LAST-MODIFIED:\d+", "LAST-MODIFIED:20310101"), (r"DTSTAMP:\d+", "DTSTAMP:20310101"),
         (r"SEQUENCE:\d+", "SEQUENCE:7"))
    edit(file_of(phone, "Shake B27-004", "VTODO"),
         (r"STATUS:NEEDS-ACTION", "STATUS:COMPLETED\r\nCOMPLETED:20310101T080000Z"),
         (r"LAST-MODIFIED:\d+", "LAST-MODIFIED:20310101"))
    phone.sync()
    home.sync()
    found = news(read())
    assert [name for name in found] == ["moved", "done"], found
    assert house.step("B27-004", "ready")["due"] == "2027-08-05"
    assert house.step("B27-004", "shake")["done"] == "2027-06-20"
    write()
    home.sync()
    phone.sync()
    with open(file_of(phone, "Ready B27-004"), "rb") as file:
        ours = file.read()
    assert b"DTSTART;VALUE=DATE:20270805" in ours, ours
    assert int(re.search(rb"SEQUENCE:(\d+)", ours).group(1)) > 7, ours
    print("sync: a clock ahead: done today, and ours is the newer one")

    # Deleted on the phone, asked about once, dropped; and no byte moves after that.
    for kind in ("VEVENT", "VTODO"):
        os.unlink(file_of(phone, "Ready B27-003", kind))
    phone.sync()
    home.sync()
    assert "deleted" in news(read())
    house.run("calendar", "write", "--tasks", "--split", home.folder, status=1)
    read("--deleted", "drop")
    assert house.step("B27-003", "ready")["dropped"] == "2027-06-20"
    write()
    home.sync()
    phone.sync()
    snapshot = (home.files(), phone.files(), on_server())
    assert news(read()) == {}, news(read())
    assert [write()[key] for key in ("new", "changed", "cancelled")] == [0, 0, 0]
    home.sync()
    phone.sync()
    assert (home.files(), phone.files(), on_server()) == snapshot, "a byte moved"
    print("sync: deleted, asked about once, dropped; a further round moves no byte")


try:
    main()
finally:
    server.stop()
    shutil.rmtree(work, ignore_errors=True)
