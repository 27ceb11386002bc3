# SPDX-License-Identifier: MIT
"""A desk for the tests that speak to it without a browser: a folder of its own, the program as a person
starts it, its cookie. Import it from beside this file.
"""
import atexit
import http.client
import json
import os
import re
import shutil
import subprocess
import tempfile
import time
import uuid
from html.parser import HTMLParser
from urllib.parse import urlencode


class Answer:
    def __init__(self, status, headers, body):
        self.status, self.headers, self.body = status, headers, body
        self.text = body.decode("utf-8", "replace")

    def fields(self):
        """What the form of the page would send again, untouched."""
        form = Fields()
        form.feed(self.text)
        return form.pairs


class Fields(HTMLParser):
    def __init__(self):
        super().__init__()
        self.pairs, self.within = {}, None

    def handle_starttag(self, tag, attrs):
        has = dict(attrs)
        if tag == "input" and "name" in has and (has.get("type") != "checkbox" or "checked" in has):
            self.pairs[has["name"]] = has.get("value") or ""
        elif tag in ("select", "textarea"):
            self.within = has.get("name")
            self.pairs[self.within] = ""
        elif tag == "option" and "selected" in has:
            self.pairs[self.within] = has.get("value") or ""

    def handle_endtag(self, tag):
        if tag in ("select", "textarea"):
            self.within = None

    def handle_data(self, data):
        if self.within is not None and self.lasttag == "textarea":
            self.pairs[self.within] += data


class Desk:

    def __init__(self, program, today="2027-06-20"):
        self.program, self.folder = program, tempfile.mkdtemp(prefix="simpling-desk-")
        self.book = f"{self.folder}/book.db"
        self.temp = f"{self.folder}/temp"
        self.env = dict(os.environ, SIMPLING_BOOK=self.book, SIMPLING_TODAY=today, XDG_RUNTIME_DIR=f"{self.folder}/run",
                        XDG_CONFIG_HOME=self.folder, XDG_CACHE_HOME=f"{self.folder}/cache", HOME=self.folder, TMPDIR=self.temp)
        self.child, self.cookie, self.host = None, None, None
        os.makedirs(f"{self.folder}/run", mode=0o700)
        os.makedirs(self.temp)

    def simpling(self, *words):
        done = subprocess.run([self.program, *words], env=self.env, capture_output=True, text=True, check=False)
        if done.returncode not in (0, 3):
            raise SystemExit(f"{words}: {done.stderr}")
        return done.stdout

    def json(self, *words):
        return json.loads(self.simpling(*words, "--json"))

    def begin(self):
        self.child = subprocess.Popen([self.program, "desk", "--no-browser"], env=self.env, stdout=subprocess.PIPE, text=True)
        atexit.register(self.child.kill)  # a test that stops in the middle leaves none behind
        found = re.fullmatch(r"http://([^/]*)/\?key=(.*)", self.child.stdout.readline().strip())
        self.host = found[1]
        if self.cookie is None:
            self.cookie = self.ask("GET", f"/?key={found[2]}").headers["Set-Cookie"].split(";")[0]
        return self

    def pid(self):
        """Of the helper that serves: the program becomes it, or waits for it."""
        kids = subprocess.run(["pgrep", "-P", str(self.child.pid), "-f", "simpling-desk"], capture_output=True, text=True, check=False)
        return int(kids.stdout.split()[0]) if kids.stdout.strip() else self.child.pid

    def ask(self, method, path, body=None, timeout=120, **more):
        there = http.client.HTTPConnection("127.0.0.1", int(self.host.rsplit(":", 1)[1]), timeout=timeout)
        heads = {"Host": self.host, **more}
        if self.cookie:
            heads["Cookie"] = self.cookie
        if method == "POST":
            heads["Origin"] = f"http://{self.host}"
        try:
            there.request(method, path, body, heads)
            answer = there.getresponse()
            return Answer(answer.status, answer.headers, answer.read())
        finally:
            there.close()

    def get(self, path, **more):
        return self.ask("GET", path, **more)

    def post(self, path, fields, **more):
        return self.wait(self.ask("POST", path, urlencode(fields), **{"Content-Type": "application/x-www-form-urlencoded", **more}))

    def act(self, act, **fields):
        return self.post(f"/act/{act}", {"form": str(uuid.uuid4()), **fields})

    def upload(self, kind, files, **fields):
        """Sends files as a browser does; `files`: of name and bytes."""
        mark = uuid.uuid4().hex
        body = b""
        for name, value in fields.items():
            body += f'--{mark}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
        for name, data in files:
            body += (f'--{mark}\r\nContent-Disposition: form-data; name="file"; filename="{name}"\r\n'
                     "Content-Type: application/octet-stream\r\n\r\n").encode() + data + b"\r\n"
        body += f"--{mark}--\r\n".encode()
        return self.wait(self.ask("POST", f"/files/{kind}", body, **{"Content-Type": f"multipart/form-data; boundary={mark}"}))

    def wait(self, answer):
        """Looks again, as the page does by itself, until what takes long is done."""
        at = answer.headers.get("Location") or ""
        while at.startswith("/work/") and (answer.status == 303 or "Refresh" in answer.headers):
            time.sleep(0.2)
            answer = self.get(at)
        return answer

    def kept(self):
        """Files that the desk keeps of what was sent, and of what other programs leave in the temp folder."""
        found = []
        for folder in (f"{self.folder}/cache", self.temp):
            for at, _, names in os.walk(folder):
                found += [os.path.join(at, name) for name in names]
        return found

    def end(self):
        self.child.terminate()
        code = self.child.wait(20)
        shutil.rmtree(self.folder)
        return code
