#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Requests and forms, made wrong at random, sent to a desk for some seconds: whatever comes, the desk neither
ends nor stops answering, and the book stays sound. To be run with a program built with the sanitizers, whose
reports end it.

    desk.py SIMPLING-PROGRAM SECONDS [SEED]

The seeds are every page and form that the desk itself links to, with its own fields filled in.
"""
import os
import random
import re
import shutil
import socket
import sys
import time
from html import unescape
from urllib.parse import quote, quote_plus, urlencode

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "desk"))
from served import Desk

SECONDS = float(sys.argv[2])
SEED = int(sys.argv[3]) if len(sys.argv) > 3 else int(time.time())
random.seed(SEED)
os.environ.setdefault("ASAN_OPTIONS", "detect_leaks=0:abort_on_error=1")
os.environ.setdefault("UBSAN_OPTIONS", "halt_on_error=1:abort_on_error=1:print_stacktrace=1")
desk = Desk(sys.argv[1])
desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()
PORT = int(desk.host.rsplit(":", 1)[1])
WORDS = ["", " ", "0", "-1", "1e999", "nan", "99999999999999999999", "2027-02-30", "9999-12-31", "0001-01-01", "half", "½", "1/0", "dandelion/leaf",
         "Low Croft", "H27-001", "B27-001", "L27-001", "D27-001", "P27-001", "ANN:L26-001", "L27-001:1mL", "<b>'\"&", "\u202e", "\ud7ff", "%00", "\x01",
         "a" * 5000, "é" * 300, "..", "../..", "1,5 g", "10 oz", "40%", "54.6,-2.6", "91,181", "today", "yes", "no", "1:5", "6x100mL", "H27-001:80g"]


def crawl():
    """All pages and forms, from the first page on."""
    seen, todo, forms = set(), ["/", "/files"], []
    while todo and len(seen) < 150:
        path = todo.pop()
        if path in seen:
            continue
        seen.add(path)
        answer = desk.get(path)
        todo += [unescape(link) for link in re.findall(r'href="(/[^"]*)"', answer.text)]
        for form in re.findall(r'<form[^>]*method="post".*?</form>', answer.text, re.S):
            answer.text = form
            forms.append((unescape(re.search(r'action="([^"]*)"', form)[1]),
                          dict(answer.fields(), **{name: "" for name in re.findall(r'name="([^"]*)"', form) if name not in answer.fields()})))
    return sorted(seen), forms


def spoil(data):
    """A few bytes changed, left out, doubled or put in."""
    data = bytearray(data)
    for _ in range(random.choice((0, 1, 1, 2, 5, 20))):
        at = random.randrange(len(data) + 1)
        what = random.randrange(5)
        if what == 0 and data:
            data[at % len(data)] = random.randrange(256)
        elif what == 1:
            del data[at:at + random.randrange(1, 20)]
        elif what == 2:
            data[at:at] = data[at:at + random.randrange(1, 200)]
        elif what == 3:
            data[at:at] = random.choice((b"\r\n", b"\0", b"%", b"&", b"=", b"--", b"/", b"?", b"\xff", b": ", b"%00", b"%ff", b"A" * 9000))
        else:
            data = data[:at]
    return bytes(data)


def head(method, path, more):
    lines = [f"{method} {path} HTTP/1.1", f"Host: {desk.host}", f"Cookie: {desk.cookie}", "Connection: close"] + [f"{name}: {value}" for name, value in more.items()]
    return ("\r\n".join(lines) + "\r\n\r\n").encode("utf-8", "replace")


def page():
    path = random.choice(pages)
    if random.random() < 0.5:
        path += ("&" if "?" in path else "?") + urlencode({random.choice(keys): random.choice(WORDS) for _ in range(random.randrange(4))}, errors="replace")
    if random.random() < 0.3:
        path = "/" + "/".join(quote(random.choice(WORDS + ["place", "plant", "batch", "lot", "work", "act", "files", "log"]), safe="", errors="replace")
                              for _ in range(random.randrange(1, 4)))
    return head(random.choice(("GET", "GET", "HEAD")), path, {})


def form():
    action, fields = random.choice(forms)
    fields = dict(fields)
    for name in random.sample(sorted(fields), random.randrange(len(fields) + 1)):
        fields[name] = random.choice(WORDS)
    for _ in range(random.choice((0, 0, 1, 3))):
        fields[random.choice(keys + ["jars.0.yield", "jars.9999999999.code", "upload", "apply", "to", "form", "stamp"])] = random.choice(WORDS)
    if random.random() < 0.8:
        fields["form"] = f"{random.getrandbits(32):08x}-1111-4111-8111-{random.getrandbits(48):012x}"
    body = "&".join(f"{quote_plus(name, errors='replace')}={quote_plus(value, errors='replace')}" for name, value in fields.items()).encode()
    if random.random() < 0.2:
        body = spoil(body)
    return head("POST", action, {"Origin": f"http://{desk.host}", "Content-Type": "application/x-www-form-urlencoded", "Content-Length": len(body)}) + body


def upload():
    kind, name = random.choice((("notes", "a.txt"), ("calendar", "a.ics"), ("places", "a.gpx"), ("places", "a.geojson"), ("hazards", "a.zip"),
                                ("weather", "a.csv"), ("hazards", "a.shp")))
    mark = "m" * 16
    body = "".join(f'--{mark}\r\nContent-Disposition: form-data; name="{random.choice(keys)}"\r\n\r\n{random.choice(WORDS)}\r\n'
                   for _ in range(random.randrange(3))).encode("utf-8", "replace")
    body += f'--{mark}\r\nContent-Disposition: form-data; name="file"; filename="{name}"\r\n\r\n'.encode() + random.choice(files) + f"\r\n--{mark}--\r\n".encode()
    body = spoil(body)
    return head("POST", f"/files/{kind}", {"Origin": f"http://{desk.host}", "Content-Type": f"multipart/form-data; boundary={mark}",
                                           "Content-Length": len(body)}) + body


def send(data):
    there = socket.create_connection(("127.0.0.1", PORT), timeout=2)
    answer = b""
    try:
        there.sendall(data)
        while piece := there.recv(65536):
            answer += piece
        return answer
    except OSError:  # what is cut short waits for the rest; the answer to what is whole has come
        return answer
    finally:
        there.close()


pages, forms = crawl()
forms = [form for form in forms if form[0] != "/close"]  # that one does end the desk
keys = sorted({name for _, fields in forms for name in fields}) + ["code", "of", "on", "what", "site", "material", "all"]
files = [b"2027-06-19 Low Croft: nettle leaf 300 g, half grown\nshook all but B27-003\n", b"date,tmin,tmax\n2027-05-01,4,14\n",
         b'<?xml version="1.0"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="54.6" lon="-2.5"><name>x</name></wpt></gpx>',
         b'{"type":"Feature","properties":{"name":"x"},"geometry":{"type":"Point","coordinates":[-2.6,54.6]}}',
         b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VEVENT\r\nUID:x\r\nDTSTART;VALUE=DATE:20270601\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
         b"PK\3\4" + bytes(26) + b"a.shp", b"\0\0\x27\x0a" + bytes(200)]
print(f"seed {SEED}: {len(pages)} pages, {len(forms)} forms", flush=True)
until, n, statuses, last = time.monotonic() + SECONDS, 0, {}, []
while time.monotonic() < until:
    data = random.choice((page, form, form, upload))()
    if random.random() < 0.2:
        data = spoil(data)
    last = last[-20:] + [data]
    try:
        answer = send(data)
    except ConnectionRefusedError:
        answer = b""
        desk.child.wait(20)
    n += 1
    found = re.match(rb"HTTP/1\.1 (\d+)", answer)
    status = int(found[1]) if found else 0
    statuses[status] = statuses.get(status, 0) + 1
    if desk.child.poll() is not None or (n % 50 == 0 and desk.get("/shelf").status != 200):
        break
    if status == 500 and b"ended before it was done" in answer:
        print("a helper ended:", data[:2000], flush=True)
        break
else:
    checked = desk.json("book", "check")
    print(f"{n} requests, {dict(sorted(statuses.items()))}; the book: {checked}")
    sys.exit(desk.end())
print(f"after {n} requests the desk is not well; the last ones:")
for data in last:
    print(data[:3000])
sys.exit(1)
