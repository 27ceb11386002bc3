#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Files out of the desk: each comes as a file to be kept, is read by a general library or program, says what
the command line says, and leaves nothing in the temp folder.

    downloads.py SIMPLING-PROGRAM
"""
import csv
import io
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import zipfile
from xml.etree import ElementTree

from served import Desk

desk = Desk(sys.argv[1])
wrong = 0
shown = set()  # a file that a page only showed, kept for who applies it


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def bytes_of(path):
    with open(path, "rb") as file:
        return file.read()


def file_of(kind, name, media, **fields):
    """Fills in the form of the page and sends it; the bytes that came."""
    form = desk.get(f"/out/{kind}")
    check(form.status == 200 and "<form" in form.text, f"{kind}: its form", form.status)
    answer = desk.post(f"/out/{kind}", dict(form.fields(), **fields))
    check(answer.status == 200 and (answer.headers["Content-Type"] or "").split(";")[0] == media, f"{kind}: a file comes", answer.status,
          answer.headers["Content-Type"], re.sub(r"<[^>]+>", " ", answer.text)[-600:] if answer.status != 200 else "")
    said = answer.headers["Content-Disposition"] or ""
    check(re.fullmatch(f'attachment; filename="{name}"', said) is not None, f"{kind}: it is kept under a name (RFC 6266)", said)
    check(answer.headers["X-Content-Type-Options"] == "nosniff", f"{kind}: and is not shown as a page of the desk")
    check(set(desk.kept()) <= shown, f"{kind}: something is left", desk.kept())
    return answer.body


def kept_as(name, data):
    path = f"{desk.folder}/{name}"
    with open(path, "wb") as file:
        file.write(data)
    return path


def names_by_gdal(path):
    """NAME of each feature, and its kind, as GDAL reads them; None: there is no GDAL here."""
    if shutil.which("ogr2ogr") is None:
        return None
    done = subprocess.run(["ogr2ogr", "-f", "GeoJSON", "/vsistdout/", path] + (["waypoints"] if path.endswith(".gpx") else []),
                          capture_output=True, text=True, check=False)
    check(done.returncode == 0, f"{path}: GDAL reads it", done.stderr)
    features = json.loads(done.stdout)["features"]
    return sorted(feature["properties"].get("name") or feature["properties"].get("NAME") for feature in features)


desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()
page = desk.get("/files").text
for link in ("calendar", "slip", "places", "tables", "backup", "lent"):
    check(f'href="/out/{link}"' in page, f"a link leads to {link}")
check(desk.get("/out/nothing").status == 404 and desk.get("/out").status == 404 and desk.post("/out/nothing", {}).status == 404, "nothing else")
places = sorted(site["name"] for site in desk.json("site", "list"))
before = bytes_of(desk.book)

# A backup is a whole book (SQLite's own check), with the same rows; the book is as it was.
path = kept_as("copy.db", file_of("backup", r"backup-2027-06-20\.db", "application/vnd.sqlite3"))
with sqlite3.connect(path) as copy, sqlite3.connect(desk.book) as own:
    check(copy.execute("PRAGMA integrity_check").fetchone()[0] == "ok", "the backup is sound")
    for table in ("thing", "harvest", "batch", "site"):
        rows = f"SELECT * FROM {table} ORDER BY 1, 2"
        check(copy.execute(rows).fetchall() == own.execute(rows).fetchall() != [], f"the backup's {table}")
check(bytes_of(desk.book) == before, "a backup changes nothing")

# Places in three forms.
found = json.loads(file_of("places", r"places-2027-06-20\.geojson", "application/geo+json"))
check(sorted(feature["properties"]["name"] for feature in found["features"]) == places, "GeoJSON has every place (RFC 7946)")
data = file_of("places", r"places-2027-06-20\.gpx", "application/gpx+xml", ending=".gpx")
root = ElementTree.fromstring(data)
space = "{http://www.topografix.com/GPX/1/1}"
check(sorted(point.findtext(f"{space}name") for point in root.iter(f"{space}wpt")) == places, "GPX has every place as a waypoint")
check(names_by_gdal(kept_as("places.gpx", data)) in (None, places), "and GDAL finds them")
data = file_of("places", r"places-2027-06-20\.zip", "application/zip", ending=".shp")
with zipfile.ZipFile(io.BytesIO(data)) as parts:
    check(parts.testzip() is None and {name.rsplit(".")[-1] for name in parts.namelist()} >= {"shp", "shx", "dbf", "prj"}, "a shapefile's parts", parts.namelist())
    parts.extractall(desk.folder)
    shape = next(name for name in parts.namelist() if name.endswith(".shp"))
check(names_by_gdal(f"{desk.folder}/{shape}") in (None, places), "GDAL finds them in it")
check(bytes_of(desk.book) == before, "nor do places")

# Every table, and the way back.
data = file_of("tables", r"everything-2027-06-20\.zip", "application/zip")
with zipfile.ZipFile(io.BytesIO(data)) as tables:
    check(tables.testzip() is None, "the zip is sound")
    with tables.open("everything/harvest.csv") as file:
        rows = list(csv.DictReader(io.TextIOWrapper(file, "utf-8")))
    with sqlite3.connect(desk.book) as own:
        check(len(rows) == own.execute("SELECT count(*) FROM harvest").fetchone()[0] > 0, "every harvest is a row", len(rows))
    check(json.loads(tables.read("everything/sites.geojson"))["type"] == "FeatureCollection", "with a map")
    tables.extractall(f"{desk.folder}/unpacked")
desk.simpling("book", "import", f"{desk.folder}/unpacked/everything", "--book", f"{desk.folder}/again.db")
check(desk.json("harvest", "list") == json.loads(desk.simpling("harvest", "list", "--json", "--book", f"{desk.folder}/again.db")), "the tables make the book again")

# A slip, as page and as text.
data = file_of("slip", r"slip-2027-06-20\.html", "text/html").decode()
check(data.startswith("<!DOCTYPE html>") or data.lower().startswith("<!doctype html>"), "a slip is a page", data[:60])
check("Withy Gill" in data, "with the places")
data = file_of("slip", r"slip-2027-06-20\.txt", "text/plain", ending=".txt", days="3").decode()
check(data.startswith("SIMPLING SLIP: ") and "Withy Gill" in data, "and a text", data[:80])
answer = desk.post("/out/slip", {"days": "900", "ending": ".txt"})
check(answer.status == 422 and "900" in answer.text and "Content-Disposition" not in answer.headers, "too many days come back with the form", answer.status)
check('value=".txt" selected' in answer.text and desk.kept() == [], "as it was filled in")
check(bytes_of(desk.book) == before, "slips change nothing")

# The calendar: the same bytes a second time; what is deleted in it is asked about when it comes back.
data = file_of("calendar", r"season-2027-06-20\.ics", "text/calendar")
check(file_of("calendar", r"season-2027-06-20\.ics", "text/calendar") == data, "an unchanged book writes the same bytes")
if subprocess.run(["/usr/bin/python3", "-c", "import icalendar"], capture_output=True, check=False).returncode == 0:
    read = subprocess.run(["/usr/bin/python3", "-c", "import icalendar, sys; print(sum(1 for part in icalendar.Calendar.from_ical(sys.stdin.buffer.read())"
                                                     ".walk('VEVENT')))"], input=data, capture_output=True, check=False)
    check(read.stdout.decode().strip() == str(data.count(b"BEGIN:VEVENT")) != "0", "icalendar reads every entry", read.stdout, read.stderr)
answer = desk.post("/out/calendar", {"new_only": "yes"})
check(answer.status == 422 and "has not had" in answer.text, "nothing new is said", answer.status)
event = re.search(r"BEGIN:VEVENT.*?END:VEVENT\r\n", data.decode(), re.S)[0]
answer = desk.upload("calendar", [("season.ics", data.decode().replace(event, "").encode())])
check(answer.status == 200 and "deleted" in answer.text, "what was deleted in it is asked about", answer.status)
shown.update(desk.kept())
answer = desk.post("/out/calendar", {"what": "moons"})
check(answer.status == 422 and "moons" in answer.text, "what is no kind of entry comes back", answer.status)

# A book for a second machine: it writes under its own mark, each trusts the other, once.
data = file_of("lent", r"lent-2027-06-20\.db", "application/vnd.sqlite3", mark="ANL")
path = kept_as("lent.db", data)
with sqlite3.connect(path) as copy:
    check(copy.execute("PRAGMA integrity_check").fetchone()[0] == "ok", "the lent book is sound")
check(json.loads(desk.simpling("book", "info", "--json", "--book", path))["mark"] == "ANL", "and writes under its own mark")
answer = desk.post("/out/lent", {"mark": "ANL"})
check(answer.status == 422 and "ANL is written under already" in answer.text and set(desk.kept()) <= shown, "a mark is lent once", answer.status, desk.kept())

# Sent from elsewhere it makes nothing.
answer = desk.ask("POST", "/out/backup", "", **{"Content-Type": "application/x-www-form-urlencoded", "Sec-Fetch-Site": "cross-site"})
check(answer.status == 403 and "Content-Disposition" not in answer.headers, "another site's form gets no book", answer.status)
check(desk.get("/").status == 200, "the desk serves on")
check(os.listdir(desk.temp) == [], "the temp folder is empty", os.listdir(desk.temp))
check(desk.end() == 0, "the desk ends well")
sys.exit(wrong != 0)
