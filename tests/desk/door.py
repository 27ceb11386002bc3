#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""The desk's door by raw sockets: every request that a browser would not send, and those that foreign
pages would. What is let in is answered, all else refused, and the desk serves on.

    door.py SIMPLING-PROGRAM

Beside the project's own rules the test holds RFC 9112 (two lengths, a length and a coding: 6.3; one
Host: 3.2) and RFC 6265 (the cookie) against it.
"""
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time

PROGRAM = sys.argv[1]
FOLDER = tempfile.mkdtemp(prefix="simpling-door-")
ENV = dict(os.environ, SIMPLING_BOOK=f"{FOLDER}/book.db", SIMPLING_TODAY="2027-06-20",
           XDG_RUNTIME_DIR=f"{FOLDER}/run", XDG_CONFIG_HOME=FOLDER, HOME=FOLDER)
NASTY = "<script>alert(1)</script>\"'&"
wrong = 0


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def simpling(*words):
    done = subprocess.run([PROGRAM, *words], env=ENV, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 3):
        raise SystemExit(f"{words}: {done.stderr}")
    return done.stdout


class Desk:
    def __init__(self):
        self.child = subprocess.Popen([PROGRAM, "desk", "--no-browser"], env=ENV, stdout=subprocess.PIPE, text=True)
        self.address = self.child.stdout.readline().strip()
        found = re.fullmatch(r"http://([0-9a-f]{10})\.localhost:([0-9]+)/\?key=([0-9a-f]{96})", self.address)
        check(found, "the first line is the address", self.address)
        self.name, self.port, self.key = found[1], int(found[2]), found[3]
        self.host = f"{self.name}.localhost:{self.port}"
        self.cookie = None

    def connect(self):
        there = socket.create_connection(("127.0.0.1", self.port), timeout=30)
        return there

    def raw(self, text, wait=True):
        """Sends these bytes; all that comes until the other side closes or is silent."""
        there = self.connect()
        answer = b""
        try:
            there.sendall(text if isinstance(text, bytes) else text.encode())
            if wait:
                there.shutdown(socket.SHUT_WR)
            while piece := there.recv(65536):
                answer += piece
        except OSError:
            pass
        there.close()
        return answer.decode("utf-8", "replace")

    def ask(self, method="GET", path="/", body=None, drop=(), **more):
        """One request with all that is right, but what `more` sets and `drop` leaves out."""
        heads = {"Host": self.host, "Connection": "close"}
        if self.cookie:
            heads["Cookie"] = self.cookie
        if body is not None:
            heads["Content-Length"] = str(len(body))
            heads["Content-Type"] = "application/x-www-form-urlencoded"
        if method == "POST":
            heads["Origin"] = f"http://{self.host}"
        heads.update({name.replace("_", "-"): value for name, value in more.items()})
        for name in drop:
            heads.pop(name, None)
        lines = [f"{method} {path} HTTP/1.1"] + [f"{name}: {value}" for name, value in heads.items()]
        return self.raw("\r\n".join(lines) + "\r\n\r\n" + (body or ""), wait=False)


def status(answer):
    found = re.match(r"HTTP/1\.1 (\d+)", answer)
    return int(found[1]) if found else 0


def form(**fields):
    from urllib.parse import urlencode
    return urlencode({"form": "0b9f6a3e-1f0d-4b8e-9a53-000000000001", **fields})


os.makedirs(f"{FOLDER}/run", mode=0o700)
simpling("book", "init", "--mark", "ANN")
simpling("site", "add", NASTY, "--at", "54.6012,-2.5871", "--accuracy", "10")
simpling("site", "permit", NASTY, "--given", "--by", NASTY, "--parts", "any", "--on", "2027-03-01")
simpling("spray", "note", NASTY, "--kind", "unsprayed", "--source", NASTY, "--on", "2027-05-20", "--since", "2020-01-01")
simpling("stage", "note", NASTY, "nettle leaf", "half grown", "--by", NASTY)
simpling("harvest", "add", NASTY, "nettle leaf", "--weight", "400g", "--stage", "half grown", "--by", NASTY,
         "--named-by", NASTY, "--signs", NASTY, "--weather", NASTY, "--remark", NASTY)
simpling("batch", "start", "tincture", "--from", "H27-001:80g", "--jar", "500mL", "--by", NASTY, "--remark", NASTY)
simpling("batch", "press", "B27-001", "--yield", "300mL", "--by", NASTY, "--remark", NASTY, "--on", "2027-06-20")
simpling("lot", "bottle", "L27-001", "3x100mL", "--at", NASTY)
simpling("lot", "use", "L27-001:20mL", "--for", "1042", "--directions", NASTY)
desk = Desk()

# The key, once.
answer = desk.ask(path=f"/?key={desk.key}")
check(status(answer) == 200 and 'http-equiv="refresh"' in answer, "the key lets in", answer[:300])
desk.cookie = re.search(r"Set-Cookie: ([^;]*);", answer)[1]
check(re.search(r"Set-Cookie: [^\r]*; HttpOnly; SameSite=Strict", answer), "the cookie is not for scripts or others")
good, desk.cookie = desk.cookie, None
check(status(desk.ask(path=f"/?key={desk.key}")) == 403, "a key is good once")
check(status(desk.ask()) == 403, "no cookie")
check(status(desk.ask(Cookie=good[:-1] + ("0" if good[-1] != "0" else "1"))) == 403, "a wrong cookie")
desk.cookie = good
check(status(desk.ask()) == 200, "the cookie lets in")
check(status(desk.ask(path=f"/?key={desk.key}")) == 200, "who is in stays in with an old key")

# Every answer carries what keeps foreign pages and caches out.
for path in ("/", "/nothing", "/shelf"):
    answer = desk.ask(path=path)
    for line in ("Content-Security-Policy: default-src 'none'", "X-Content-Type-Options: nosniff", "X-Frame-Options: DENY",
                 "Referrer-Policy: same-origin", "Cache-Control: no-store"):
        check(line in answer, f"{path} says {line}")
    check("Access-Control" not in answer, f"{path}: no other origin is let in")

# Names under which a foreign page may reach loopback.
for host in ("evil.example", f"evil.example:{desk.port}", "127.0.0.2", f"{desk.name}.localhost.evil.example", "",
             f"{desk.name}.localhost:", f"{desk.name}.localhost:1x", f"x{desk.name}.localhost", "0.0.0.0", "[::2]"):
    check(status(desk.ask(Host=host)) in (400, 421), f"Host {host!r} is refused", status(desk.ask(Host=host)))
for host in (f"127.0.0.1:{desk.port}", "127.0.0.1:9000", "localhost:9000", "[::1]:9000", desk.host.upper()):
    check(status(desk.ask(Host=host)) == 200, f"Host {host!r} is ours")

# Forms of foreign pages.
body = form(site=NASTY, kind="unsprayed", source="the tenant", on="2027-06-01", since="2020-01-01")
for more, what in (({"Origin": "http://evil.example"}, "a foreign Origin"), ({"Origin": "null"}, "Origin null"),
                   ({"Origin": f"http://localhost:{desk.port}"}, "another name's Origin"),
                   ({"Origin": f"https://{desk.host}"}, "another scheme's Origin"),
                   ({"Sec_Fetch_Site": "cross-site"}, "a cross-site post"), ({"Sec_Fetch_Site": "same-site"}, "a same-site post"),
                   ({"Sec_Fetch_Site": "none"}, "a post from nowhere"), ({"Content_Type": "text/plain"}, "a plain text"),
                   ({"Content_Type": "multipart/form-data; boundary=xx"}, "a file")):
    check(status(desk.ask("POST", "/act/spray-note", body, **more)) in (403, 415), f"{what} is refused")
check(status(desk.ask("POST", "/act/spray-note", body, drop=["Origin"])) == 403, "no Origin")
check(status(desk.ask("POST", "/act/spray-note", body, drop=["Cookie"])) == 403, "a post without cookie")
check(status(desk.ask(Sec_Fetch_Site="cross-site")) == 403, "a foreign page's picture")
check(status(desk.ask(Sec_Fetch_Site="same-site")) == 403, "a page of another port")
for dest in ("iframe", "frame", "object", "embed"):
    check(status(desk.ask(Sec_Fetch_Site="same-origin", Sec_Fetch_Dest=dest)) == 403, f"not in a {dest}")
check(status(desk.ask("POST", "/act/spray-note", body.replace("form=0b9f", "form=zzzz"))) == 400, "a form without identity")
notes = simpling("site", "show", NASTY, "--json")
check(notes.count('"unsprayed"') == 1, "none of these was written", notes.count('"unsprayed"'))

# Paths.
for path in ("/../etc/passwd", "/..", "/%2e%2e/shelf", "/shelf/..%2f", "//shelf", "/shelf%00x", "/place/%00", "/%00",
             "http://evil.example/", "/place/%ff", "/a/b/c/d/e/f/g/h", "shelf", "/place//x", "/place/%0a"):
    answer = desk.ask(path=path)
    check(status(answer) in (400, 404), f"{path} is refused", status(answer))
    check("root:" not in answer, f"{path} shows a file")
check(status(desk.ask(path="/" + "x" * 9000)) == 414, "a long address", status(desk.ask(path="/" + "x" * 9000)))

# What the library's parser lets through.
head = f"GET / HTTP/1.1\r\nHost: {desk.host}\r\nCookie: {desk.cookie}\r\nConnection: close\r\n"
post = (f"POST /act/spray-note HTTP/1.1\r\nHost: {desk.host}\r\nCookie: {desk.cookie}\r\nOrigin: http://{desk.host}\r\n"
        "Content-Type: application/x-www-form-urlencoded\r\n")
for text, what in ((head + f"Host: {desk.host}\r\n\r\n", "two Hosts"), (head + "Host: evil.example\r\n\r\n", "a second Host"),
                   (head + f"Cookie: {desk.cookie}\r\n\r\n", "two Cookies"),
                   (post + "Content-Length: 5\r\nContent-Length: 30\r\n\r\nform=GET / HTTP/1.1\r\n\r\n", "two lengths"),
                   (post + "Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n", "a length and a coding"),
                   (post + "Transfer-Encoding: chunked\r\n\r\n5\r\nform=\r\n0\r\n\r\n", "a coding"),
                   (post + "Content-Length: -1\r\n\r\n", "a length below nothing"),
                   (post + "Content-Length: 5x\r\n\r\nform=", "a length that is none"),
                   (post + "\r\nform=", "no length"), (head.replace("GET", "PUT") + "\r\n", "PUT"),
                   (head.replace("GET", "TRACE") + "\r\n", "TRACE"), (head.replace("GET", "OPTIONS") + "\r\n", "OPTIONS"),
                   (head + "Content-Length: 3\r\n\r\nabc", "a body that nothing asked for")):
    answer = desk.raw(text)
    check(400 <= status(answer) < 500 or answer == "", f"{what} is refused", answer[:80])
    # To a length that is none the library itself says no, and once more to what lies behind it.
    check(set(re.findall(r"HTTP/1\.1 (\d)", answer)) <= {"4"}, f"nothing behind {what} is taken for a request", answer[:200])
check(status(desk.raw(head.replace("GET", "HEAD") + "\r\n")) == 200, "HEAD")

# Large, lying and slow.
start = time.monotonic()
answer = desk.raw(post + "Content-Length: 1073741824\r\n\r\n")
check(status(answer) == 413, "1 GB is refused", answer[:80])
# Who sends all the same may find the door shut before the answer is read.
answer = desk.raw(post + "Content-Length: 1073741824\r\n\r\n" + "x" * 100000)
check(answer == "" or status(answer) == 413, "1 GB is refused while it comes", answer[:80])
check(status(desk.raw(post + "Content-Length: 65537\r\n\r\n")) == 413, "more than a form")
there = desk.connect()
there.sendall((post + "Content-Length: 1000\r\n\r\nform=").encode())  # and nothing more
lying = there
slow = desk.connect()
slow.sendall(f"GET / HTTP/1.1\r\nHost: {desk.host}\r\n".encode())
crowd = []
for _ in range(200):
    one = socket.socket()
    one.settimeout(30)
    one.connect(("127.0.0.1", desk.port))
    crowd.append(one)
begun = time.monotonic()
check(status(desk.ask()) == 200, "an honest browser among 200 silent ones is served")
waited = time.monotonic() - begun
for one in crowd:
    one.close()


def cut_after(there, drip):
    """Seconds until the other side ends what is sent to it, one byte a half second."""
    begun = time.monotonic()
    there.settimeout(0.5)
    while time.monotonic() - begun < 40:
        try:
            if drip:
                there.sendall(drip)
            if there.recv(4096) == b"":
                break
        except TimeoutError:
            continue
        except OSError:
            break
    return time.monotonic() - begun


check(cut_after(slow, b"x") < 20, "a head that drips in is cut")
check(cut_after(lying, b"x") < 20, "a body that never ends is cut")
check(status(desk.ask()) == 200, "and the desk serves on")

# Names with script and quotes, in every field that has them.
for path in ("/", "/places", "/log", "/harvest/H27-001", "/jars?all=1", "/batch/B27-001", "/shelf", "/lot/L27-001",
             "/recall?of=L27-001", "/questions", "/place/%3Cscript%3Ealert(1)%3C%2Fscript%3E%22'%26",
             "/log?site=%3Cscript%3E", "/act/harvest-add?site=%22%3E%3Cscript%3E&remark=%3C/textarea%3E%3Cscript%3E",
             "/reckon?what=herb&material=%3Cscript%3E", "/plant/%3Cscript%3E", "/act/%3Cscript%3E"):
    answer = desk.ask(path=path)
    check(status(answer) in (200, 404, 400, 422), f"{path}", status(answer))
    check("<script" not in answer and "</textarea><" not in answer.replace("</textarea></p>", ""), f"{path} lets markup in")
check("&lt;script&gt;" in desk.ask(path="/lot/L27-001"), "and still shows what was said")

# The same form twice is one entry, and a correction of what moved meanwhile is told.
body = form(site=NASTY, material="nettle leaf", weight="100g", stage="half grown")
first = desk.ask("POST", "/act/harvest-add", body, Sec_Fetch_Site="same-origin")
second = desk.ask("POST", "/act/harvest-add", body)
check(status(first) == 303 and status(second) == 303, "a form is taken", first[:200], second[:200])
check(re.search("Location: (.*)", first)[1] == re.search("Location: (.*)", second)[1], "the second leads to the first's page")
check(simpling("harvest", "list", "--json").count('"code"') == 2, "sent twice, written once")
page = desk.ask(path="/act/lot-count?code=L27-001")
stamp = re.search('name="stamp" value="([0-9a-f]+)"', page)[1]
simpling("lot", "use", "L27-001:30mL", "--for", "1043")
fields = {"code": "L27-001", "counted": "240mL", "stamp": stamp, "stamped": "L27-001", "form": "0b9f6a3e-1f0d-4b8e-9a53-000000000002"}
key = re.search('name="(counted|amount)"', page)[1]
fields[key] = fields.pop("counted")
answer = desk.ask("POST", "/act/lot-count", form(**fields))
check(status(answer) == 409 and "changed since" in answer, "two windows: the second is told", status(answer))
check('value="240mL"' in answer, "and what was typed is still there")

# Too many wrong keys.
desk.cookie = None
for _ in range(21):
    answer = desk.ask(path="/?key=" + "0" * 96)
check(status(answer) == 429, "after twenty wrong keys none is taken for a minute", status(answer))
desk.cookie = good

# A second call opens the first; an end in the middle of a request lets that be finished.
again = simpling("desk", "--no-browser").splitlines()[0]
check(again.startswith(f"http://{desk.host}/?key=") and again != desk.address, "a second call opens the first", again)
mode = os.stat(f"{FOLDER}/run/simpling").st_mode & 0o777
check(mode == 0o700, "the runtime folder is the person's alone", oct(mode))
body = form(form="0b9f6a3e-1f0d-4b8e-9a53-000000000003", site=NASTY, material="nettle leaf", weight="50g", stage="half grown")
there = desk.connect()
there.sendall((post.replace("spray-note", "harvest-add") + f"Content-Length: {len(body)}\r\n\r\n" + body[:20]).encode())
time.sleep(0.3)
desk.child.send_signal(signal.SIGTERM)
time.sleep(0.3)
there.sendall(body[20:].encode())
answer = there.recv(65536).decode()
check(status(answer) == 303, "what was begun is finished and said", answer[:100])
check(desk.child.wait(10) == 0, "and the desk ends well")
check(simpling("harvest", "list", "--json").count('"code"') == 3, "and it is in the book")
try:
    socket.create_connection(("127.0.0.1", desk.port), timeout=1)
    check(False, "nothing listens any more")
except OSError:
    pass
# Begun again it has the same name, cookie and port, so that forms that stand open go on.
more = Desk()
more.cookie = good
check(more.host == desk.host, "the same address", more.host)
check(status(more.ask()) == 200, "the old cookie holds")
check(status(more.ask("POST", "/act/harvest-add", form(form="0b9f6a3e-1f0d-4b8e-9a53-000000000004"))) == 422, "an empty form comes back")
more.child.send_signal(signal.SIGINT)
check(more.child.wait(10) == 0, "Ctrl-C ends it well")
shutil.rmtree(FOLDER)
print(f"{'no' if not wrong else wrong} wrong; the honest one waited {waited:.1f} s among 200; all in {time.monotonic() - start:.0f} s")
sys.exit(1 if wrong else 0)
