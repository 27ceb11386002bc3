#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Files sent to the desk: what is good is shown and taken in as the command line would; forty hostile ones
each end in a page that says what to do, with nothing left in the temp folder and the book's bytes the same.

    uploads.py SIMPLING-PROGRAM
"""
import hashlib
import io
import json
import os
import re
import shutil
import sqlite3
import struct
import sys
import time
import zipfile
import zlib

from served import Desk

desk = Desk(sys.argv[1])
wrong = hostile = 0
shown = set()  # files of pages that only show; they are kept for who applies them


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def bytes_of(path):
    with open(path, "rb") as file:
        return file.read()


def zipped(*files, how=zipfile.ZIP_DEFLATED):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", how, compresslevel=1) as made:
        for name, data in files:
            made.writestr(name, data)
    return out.getvalue()


def main_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text[answer.text.find("<main"):]))


GPX = ('<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
       '<wpt lat="54.6" lon="-2.58"><name>{}</name></wpt></gpx>')
NAMELESS = b'<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="x" lon=""/></gpx>'


def png_of(width, height, pixels):
    """A PNG of 8-bit grey (ISO/IEC 15948): signature, IHDR, IDAT, IEND, each with its sum."""
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)) +
            chunk(b"IDAT", zlib.compress(pixels)) + chunk(b"IEND", b""))


SIGHT = png_of(64, 48, b"".join(b"\0" + bytes((x * 3 + y) % 256 for x in range(64)) for y in range(48)))
PNG = b"\x89PNG\r\n\x1a\n" + os.urandom(3000)

desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()
check(desk.get("/files").status == 200 and desk.get("/files/nothing").status == 404, "the list")

# Notes: shown, then applied, by file and pasted; what is shown is not written.
LINE = "2027-06-19 Low Croft: nettle leaf 300 g, half grown"
before = bytes_of(desk.book)
answer = desk.upload("notes", [("my notes.txt", LINE.encode())], by="Edda")
check(answer.status == 200 and "Nothing is written yet" in answer.text and "300 g nettle/leaf" in answer.text, "notes are shown", main_of(answer))
check(bytes_of(desk.book) == before and len(desk.kept()) == 1, "and not written", desk.kept())
answer = desk.post("/files/notes", answer.fields())
check(answer.status == 200 and "written" in answer.text, "then they are", main_of(answer))
check(desk.kept() == [], "the file is gone", desk.kept())
check(sum(entry["weight_g"] == 300 for entry in desk.json("harvest", "list")) == 1, "and in the log once")
answer = desk.upload("notes", [("", b"")], pasted=LINE.replace("300", "310"))
check("310 g nettle/leaf" in answer.text, "pasted lines are shown", main_of(answer))
answer = desk.post("/files/notes", answer.fields())
check(sum(entry["weight_g"] == 310 for entry in desk.json("harvest", "list")) == 1, "and written", main_of(answer))

# A calendar that the book wrote, with an entry ticked off elsewhere.
path = f"{desk.folder}/mine.ics"
desk.simpling("calendar", "write", "--out", path, "--what", "steps")
text = bytes_of(path).decode()
steps = [event for event in re.findall(r"BEGIN:VEVENT.*?END:VEVENT", text, re.S) if "STATUS:CANCELLED" not in event]
check(steps, "the calendar has steps")
moved = text
if steps:
    day = re.search(r"DTSTART;VALUE=DATE:(\d{8})", steps[-1])[1]
    later = f"{int(day[:6] + '28'):08d}" if day[6:] != "28" else f"{int(day[:6] + '27'):08d}"
    after = f"{int(later) + 1:08d}" if later[6:] != "28" or day[4:6] != "02" else day[:4] + "0301"
    other = re.sub(r"DTSTART;VALUE=DATE:\d{8}", f"DTSTART;VALUE=DATE:{later}", steps[-1])
    other = re.sub(r"DTEND;VALUE=DATE:\d{8}", f"DTEND;VALUE=DATE:{after}", other)
    moved = text.replace(steps[-1], other)
answer = desk.upload("calendar", [("mine.ics", moved.encode())])
check(answer.status == 200 and "moved" in answer.text, "what was moved is shown", main_of(answer))
answer = desk.post("/files/calendar", answer.fields())
check(answer.status == 200 and "Taken into the book" in answer.text, "and taken in", main_of(answer))

# Places by GPX and GeoJSON; the second time it is asked whether they are to be moved, with the file kept.
answer = desk.upload("places", [("walk.gpx", GPX.format("New Gill").encode())])
check("Taken into the book" in answer.text, "places of a phone", main_of(answer))
answer = desk.upload("places", [("walk.gpx", GPX.format("New Gill").encode())])
check(answer.status == 422 and "there is a site of the name" in answer.text and 'name="upload"' in answer.text, "a known name is asked about")
answer = desk.post("/files/places", dict(answer.fields(), update="yes"))
check("Taken into the book" in answer.text and desk.kept() == [], "and moved", main_of(answer))
point = {"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"name": "Map <b>Place</b>"},
                                                    "geometry": {"type": "Point", "coordinates": [-2.6, 54.61]}}]}
answer = desk.upload("places", [("map.geojson", json.dumps(point).encode())])
names = [site["name"] for site in desk.json("site", "list")]
check("New Gill" in names and "Map <b>Place</b>" in names, "they are in the book", names)

# A map layer as its parts and as a zip in a folder of it: shown with its columns, then taken in with a method.
desk.simpling("site", "export", f"{desk.folder}/layer.shp")
parts = [(name, bytes_of(f"{desk.folder}/{name}")) for name in sorted(os.listdir(desk.folder)) if name.startswith("layer.")]
for files in (parts, [("layer.zip", zipped(*[(f"some/folder/{name}", data) for name, data in parts]))]):
    answer = desk.upload("hazards", files)
    check(answer.status == 200 and "Nothing is written yet" in answer.text and "VERDICT" in answer.text, "a layer is shown", main_of(answer))
    answer = desk.post("/files/hazards", dict(answer.fields(), method=""))
    check(answer.status == 422 and "say what the layer shows" in answer.text and 'name="upload"' in answer.text, "it needs a method", main_of(answer))
    answer = desk.post("/files/hazards", dict(answer.fields(), method="road", layer=f"Roads {len(files)}"))
    check(answer.status == 200 and "Taken into the book" in answer.text, "and is taken in", main_of(answer))
check({"Roads 1", f"Roads {len(parts)}"} <= {layer["layer"] for layer in desk.json("hazard", "list")}, "both are in the book")
for name, data in (("fields.geojson", json.dumps(dict(point, features=[dict(point["features"][0], geometry={
        "type": "LineString", "coordinates": [[-2.6, 54.6], [-2.59, 54.61]]})])).encode()),
        ("walk.gpx", GPX.format("Old sump").encode())):
    answer = desk.upload("hazards", [(name, data)])
    check(answer.status == 200 and "Nothing is written yet" in answer.text and "name" in answer.text, f"{name} is shown", main_of(answer))
    answer = desk.post("/files/hazards", dict(answer.fields(), method="road", layer=f"of {name}"))
    check("Taken into the book" in answer.text, f"{name} is taken in", main_of(answer))
    check(f"of {name}" in {layer["layer"] for layer in desk.json("hazard", "list")}, f"{name} is in the book")
answer = desk.upload("weather", [("days.csv", b"date,tmin,tmax\n2027-05-01,4,14\n2027-05-02,5,15\n2027-05-03,6,16\n")], station="Low Croft",
                     at="54.59,-2.61", elevation="160m")
check("Taken into the book" in answer.text, "weather", main_of(answer))

# A photo: what it says is shown, then it goes with its harvest; a browser may send it twice.
code = desk.json("harvest", "list")[-1]["code"]
answer = desk.get(f"/files/photo?code={code}")
check(answer.status == 200 and f'value="{code}"' in answer.text and answer.fields().get("code") == code, "the form for a photo knows its harvest")
before = bytes_of(desk.book)
answer = desk.upload("photo", [("leaf base.png", SIGHT)], code=code)
check(answer.status == 200 and "Nothing is written yet" in answer.text and "PNG" in answer.text.upper(), "a photo is looked at", main_of(answer))
check(bytes_of(desk.book) == before, "and not written")
fields = answer.fields()
answer = desk.post("/files/photo", fields)
check(answer.status == 200 and "Taken into the book" in answer.text, "then it is taken in", main_of(answer))
photos = desk.json("photo", "list", code)
check(len(photos) == 1 and photos[0]["sha256"] == hashlib.sha256(SIGHT).hexdigest(), "it is the harvest's, byte for byte", photos)
answer = desk.post("/files/photo", fields)
check(answer.status == 422 and "no longer kept" in answer.text, "a second time it is not there", main_of(answer))

# What takes a photo leads to its form, with its code.
for act, said in (("harvest-add", {"material": "nettle/leaf", "site": "Low Croft", "weight": "200g", "stage": "31", "hold": "picked before it was known"}),
                  ("stage-note", {"site": "Low Croft", "material": "nettle/leaf", "stage": "31"}),
                  ("spray-note", {"site": "Withy Gill", "kind": "unsprayed", "source": "the tenant"})):
    answer = desk.act(act, **said)
    check(answer.status == 303, f"{act} is written", answer.status, main_of(answer)[:400])
    leads = re.findall(r'href="/files/photo\?code=([^"]+)"', desk.get(answer.headers["Location"] or "/").text)
    check(len(leads) == 1, f"{act} leads to the form for its photo", leads)
    if leads:
        answer = desk.upload("photo", [("note.png", SIGHT + leads[0].encode())], code=leads[0])
        answer = desk.post("/files/photo", answer.fields())
        check("Taken into the book" in answer.text and len(desk.json("photo", "list", leads[0])) == 1, f"{act} has its photo", main_of(answer)[:400])

# An almanac: what is understood is shown, then it is in the book.
ALMANAC = ("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nX-WR-CALNAME:The upper dale\r\nBEGIN:VEVENT\r\nUID:a@b\r\n"
           "DTSTAMP:20260101T000000Z\r\nDTSTART;VALUE=DATE:20260420\r\nDTEND;VALUE=DATE:20260520\r\nSUMMARY:Nettle leaf\r\n"
           "END:VEVENT\r\nEND:VCALENDAR\r\n").encode()
before = bytes_of(desk.book)
answer = desk.upload("almanac", [("dale.ics", ALMANAC)])
check(answer.status == 200 and "Nothing is written yet" in answer.text and "The upper dale" in answer.text, "an almanac is shown", main_of(answer))
check(bytes_of(desk.book) == before and not any(row["almanac"] == "The upper dale" for row in desk.json("almanac", "list")), "and not written")
answer = desk.post("/files/almanac", answer.fields())
check("Taken into the book" in answer.text, "then it is", main_of(answer))
rows = [row for row in desk.json("almanac", "list") if row["almanac"] == "The upper dale"]
check([row["material"] for row in rows] == ["nettle/leaf"], "its window is in the book", rows)

# A calendar is only looked at: its faults, and the days that it keeps busy.
before = bytes_of(desk.book)
answer = desk.upload("calendar-check", [("mine.ics", text.encode())])
check(answer.status == 200 and "Nothing was written" in answer.text, "a calendar is checked", main_of(answer))
answer = desk.upload("calendar-check", [("mine.ics", ALMANAC.replace(b"DTSTAMP:20260101T000000Z\r\n", b""))])
check(answer.status == 200 and "DTSTAMP" in answer.text, "its fault is named (RFC 5545, 3.6.1)", main_of(answer))
answer = desk.upload("calendar-busy", [("mine.ics", ALMANAC.replace(b"20260420", b"20270703").replace(b"20260520", b"20270705"))])
check(answer.status == 200 and "2027-07-03" in answer.text.replace("3 July 2027", "2027-07-03"), "busy days are shown", main_of(answer))
check(bytes_of(desk.book) == before and desk.kept() == [], "of both nothing is written, nothing left", desk.kept())

# A colleague's book: shown with what waits, then taken in; all is agreed to but what was ticked.
codes = [entry["code"] for entry in desk.json("harvest", "list")][-2:]
theirs = f"{desk.folder}/theirs.db"
desk.simpling("book", "init", "--mark", "BOB", "--book", theirs)
desk.simpling("book", "merge", desk.book, "--book", theirs)
mark = desk.json("book", "info")["mark"]
for code in codes:
    desk.simpling("strike", f"{mark}:{code}", "--why", "it was never picked", "--by", "Bob", "--book", theirs)
book = bytes_of(theirs)
before = bytes_of(desk.book)
answer = desk.upload("book", [("bobs book.db", book)])
check(answer.status == 200 and "Nothing is written yet" in answer.text and "BOB" in answer.text, "a book is shown", main_of(answer))
check(bytes_of(desk.book) == before, "and not merged")
numbers = re.findall(r'name="leave" value="(\d+)"', answer.text)
check(len(numbers) == 2, "both strikes wait for an answer", numbers, main_of(answer))
fields = {key: value for key, value in answer.fields().items() if key != "leave"}
answer = desk.post("/files/book", dict(fields, accept="yes", leave=numbers[0]))
check(answer.status == 200 and "Taken into the book" in answer.text, "it is taken in", main_of(answer))
left = [code for code in codes if any(entry["code"] == code for entry in desk.json("harvest", "list"))]
struck = desk.json("book", "merge", theirs, "--dry-run")["revisions"]
check(len(struck) == 1, "what was ticked is still a question, the other is settled", struck, left)
answer = desk.upload("book", [("bobs book.db", book)])
check(len(re.findall(r'name="leave"', answer.text)) == 1, "and a second time it is the only one", main_of(answer))
shown_book = answer.fields()
answer = desk.post("/files/book", {key: value for key, value in shown_book.items() if key != "leave"})
check(answer.status == 200 and desk.json("book", "merge", theirs, "--dry-run")["added"] == 0, "taken in again, it adds nothing", main_of(answer))
check(desk.kept() == [], "nothing is left of all these", desk.kept())

# Hostile files.
before = bytes_of(desk.book)


def attack(what, kind, files, status=(422,), words=(), **fields):
    global hostile
    hostile += 1
    begun = time.monotonic()
    answer = desk.upload(kind, files, **fields)
    check(answer.status in status, f"{what}: status", answer.status, main_of(answer)[:600])
    check("<h1" in answer.text and "<script" not in answer.text, f"{what}: is a page")
    for word in ("choose", *words) if answer.status != 200 else words:
        check(word in answer.text, f"{what}: says {word!r}", main_of(answer)[:600])
    if answer.status == 200:  # it was read as far as it can be, and nothing is written before a person says so
        check("Nothing is written yet" in answer.text, f"{what}: is only shown", main_of(answer)[:600])
        shown.update(desk.kept())
    else:
        check(set(desk.kept()) <= shown, f"{what}: something is left", desk.kept())
    check(bytes_of(desk.book) == before, f"{what}: the book changed")
    check(time.monotonic() - begun < 120, f"{what}: took long")


for kind in ("notes", "calendar", "places", "hazards", "weather", "photo", "almanac", "book", "calendar-check", "calendar-busy"):
    attack(f"a program for {kind}", kind, [("setup.exe", b"MZ" + os.urandom(2000))], words=("ending",))
for kind, name in (("calendar", "a.ics"), ("places", "a.gpx"), ("places", "a.geojson"), ("hazards", "a.shp"), ("weather", "a.csv"),
                   ("photo", "a.jpg"), ("almanac", "b.ics"), ("book", "a.db")):
    attack(f"nothing as {name}", kind, [(name, b"")], status=(200, 422) if kind == "calendar" else (422,))
attack("a picture as GPX", "places", [("photo.gpx", PNG)])
attack("a picture as GeoJSON", "places", [("photo.geojson", PNG)])
attack("a picture as a layer", "hazards", [("photo.shp", PNG), ("photo.dbf", PNG), ("photo.shx", PNG)])
attack("a picture as weather", "weather", [("photo.csv", PNG)])
attack("half a photo", "photo", [("leaf.png", SIGHT[:len(SIGHT) // 2])], code=code)
attack("a program as a photo", "photo", [("leaf.jpg", b"MZ" + os.urandom(3000))], code=code)
attack("a picture of 60,000 by 60,000", "photo", [("leaf.png", png_of(60000, 60000, b""))], code=code)
attack("a photo of nothing that is there", "photo", [("leaf.png", SIGHT + b"x")], status=(200, 422), code="H27-999")
attack("half a book", "book", [("theirs.db", book[:len(book) // 2])])
attack("a book of noise", "book", [("theirs.db", b"SQLite format 3\0" + os.urandom(40000))])
other = sqlite3.connect(f"{desk.folder}/strange.db")
other.execute("CREATE TABLE harvest(a)")
other.commit()
other.close()
attack("another program's tables as a book", "book", [("theirs.db", bytes_of(f"{desk.folder}/strange.db"))])
torn = bytearray(book)
torn[8192:12288] = os.urandom(4096)
attack("a book with a page of noise", "book", [("theirs.db", bytes(torn))])
attack("half an almanac", "almanac", [("dale.ics", ALMANAC[:120])])
attack("a book as notes", "notes", [("book.txt", before)], status=(200, 422))
attack("a book as a zip", "hazards", [("book.zip", before)], words=("zip",))
whole = zipped(*parts)
attack("half a zip", "hazards", [("layer.zip", whole[:len(whole) // 2])], words=("zip",))
attack("half a layer", "hazards", [(name, data[:len(data) // 2]) for name, data in parts], status=(200, 422))
attack("half a GPX", "places", [("walk.gpx", GPX.format("Half").encode()[:-30])])
attack("half a GPX of hazards", "hazards", [("walk.gpx", GPX.format("Half").encode()[:-30])])
attack("half a GeoJSON of hazards", "hazards", [("map.geojson", json.dumps(point).encode()[:-20])])
attack("a picture as hazards", "hazards", [("photo.geojson", PNG)])
attack("half a GeoJSON", "places", [("map.json", json.dumps(point).encode()[:-20])])
attack("half a calendar", "calendar", [("mine.ics", text.encode()[:len(text) // 2])], status=(200, 422))
for name in ("../../../etc/cron.d/x.gpx", "..\\..\\windows\\x.gpx", "/etc/x.gpx", "-rf.gpx", ".gpx", "CON.gpx", "x%00.gpx", "a" * 300 + ".gpx"):
    attack(f"a file called {name[:30]}", "places", [(name, NAMELESS)])
attack("names with paths in a zip", "places", [("a.zip", zipped(("../../../../tmp/evil.gpx", NAMELESS), ("/etc/evil.txt", b"x")))])
attack("two of one name in a zip", "places", [("a.zip", zipped(("a/walk.gpx", NAMELESS), ("b/walk.gpx", NAMELESS)))], words=("twice",))
attack("nothing of ours in a zip", "places", [("a.zip", zipped(("readme.doc", b"x")))])
attack("a zip in a zip", "places", [("a.zip", zipped(("b.zip", zipped(("walk.gpx", NAMELESS)))))])
attack("a zip of 20,000 files", "places", [("a.zip", zipped(*[(f"{n}.txt", b"") for n in range(20000)], how=zipfile.ZIP_STORED))], words=("too many",))
bomb = zipfile.ZipInfo("a.gpx")
attack("a zip with a link", "places", [("a.zip", zipped((bomb, b"/etc/passwd")).replace(b"\0\0\x80\x01", b"\0\0\xff\xa1"))])


def bomb_of(name, megabytes):
    """One file of zero bytes, deflated, without making it whole first."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    block, sum_, data = bytes(1 << 20), 0, b""
    for _ in range(megabytes):
        data += packer.compress(block)
        sum_ = zlib.crc32(block, sum_)
    data += packer.flush()
    head = struct.pack("<HHHHHIIIHH", 20, 0, 8, 0, 0, sum_, len(data), megabytes << 20, len(name), 0)
    local = b"PK\3\4" + head + name + data
    central = b"PK\1\2" + b"\x14\0" + head + struct.pack("<HHHII", 0, 0, 0, 0, 0) + name
    return local + central + struct.pack("<IHHHHIIH", 0x06054B50, 0, 0, 1, 1, len(central), len(local), 0)


attack("a bomb", "hazards", [("bomb.zip", bomb_of(b"bomb.shp", 600))], words=("512 MB",))
laughs = ('<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "ha">' + "".join(
    f'<!ENTITY {chr(98 + n)} "{("&" + chr(97 + n) + ";") * 10}">' for n in range(12)) + ']><gpx version="1.1"><wpt lat="1" lon="1"><name>&m;</name></wpt></gpx>')
attack("a billion laughs", "places", [("walk.gpx", laughs.encode())])
attack("a billion laughs of hazards", "hazards", [("walk.gpx", laughs.encode())])
attack("a deep pile of brackets of hazards", "hazards", [("map.json", b"[" * 2000000)])
attack("17 MB of hazards", "hazards", [("map.json", b'{"type":"FeatureCollection","features":[' + b" " * (17 << 20) + b"]}")])
attack("a deep pile of brackets", "places", [("map.json", b"[" * 2000000)])
attack("one endless line", "calendar", [("mine.ics", b"BEGIN:VCALENDAR\r\nX:" + b"x" * 20000000)], status=(200, 422))
attack("no file at all", "places", [])
attack("two of one name", "places", [("a.gpx", NAMELESS), ("A.gpx", NAMELESS), ("a.gpx", NAMELESS)], words=("one name",))
attack("nine files", "places", [(f"{n}.gpx", NAMELESS) for n in range(9)], status=(413,), words=("eight",))

# What a browser would not send.
hostile += 2
mark = "x" * 20
head = f'--{mark}\r\nContent-Disposition: form-data; name="file"; filename="a.gpx"\r\n\r\n'.encode()
answer = desk.ask("POST", "/files/places", head + NAMELESS, **{"Content-Type": f"multipart/form-data; boundary={mark}"})
check(answer.status == 422 and "not come whole" in answer.text, "a form that ends too soon", answer.status, main_of(answer)[:400])
check(set(desk.kept()) <= shown, "a form that ends too soon: something is left", desk.kept())


def two_gigabytes():
    yield head
    block = bytes(1 << 20)
    for _ in range(2048):
        yield block
    yield f"\r\n--{mark}--\r\n".encode()


length = len(head) + (2048 << 20) + len(mark) + 8
answer = desk.ask("POST", "/files/places", two_gigabytes(), timeout=300,
                  **{"Content-Type": f"multipart/form-data; boundary={mark}", "Content-Length": str(length)})
check(answer.status == 413 and "256 MB" in answer.text, "2 GB", answer.status, main_of(answer)[:400])
check(set(desk.kept()) <= shown, "2 GB: something is left", desk.kept())
check(bytes_of(desk.book) == before, "and the book is the same")
check(hostile >= 40, "forty", hostile)
check(desk.get("/").status == 200, "the desk serves on")
desk.child.kill()
desk.child.wait()
desk.begin()
check(desk.kept() == [], "what a killed desk kept is gone when the next begins", desk.kept())
check(desk.end() == 0, "the desk ends well")
print(f"{hostile} hostile files; {'no' if not wrong else wrong} wrong")
sys.exit(1 if wrong else 0)
