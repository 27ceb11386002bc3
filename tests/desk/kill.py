#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""The desk is killed while forms are sent to it, begun again, and the same form is sent once more: what
was confirmed is in the book, each form's entry once and none twice.

    kill.py SIMPLING-PROGRAM [KILLS]
"""
import http.client
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from urllib.parse import urlencode

PROGRAM, KILLS = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 20
FOLDER = tempfile.mkdtemp(prefix="simpling-desk-kill-")
ENV = dict(os.environ, SIMPLING_BOOK=f"{FOLDER}/book.db", SIMPLING_TODAY="2027-06-20", XDG_RUNTIME_DIR=f"{FOLDER}/run",
           XDG_CONFIG_HOME=FOLDER, HOME=FOLDER)
random.seed(20270620)


def simpling(*words):
    done = subprocess.run([PROGRAM, *words], env=ENV, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 3):
        raise SystemExit(f"{words}: {done.stderr}")
    return done.stdout


def begin():
    child = subprocess.Popen([PROGRAM, "desk", "--no-browser"], env=ENV, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    return child, re.fullmatch(r"http://([^/]*)/\?key=(.*)", child.stdout.readline().strip())


def post(host, cookie, form, grams):
    """The status, 0 when no answer came."""
    port = int(host.rsplit(":", 1)[1])
    there = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    body = urlencode({"form": form, "site": "Low Croft", "material": "nettle leaf", "weight": f"{grams}g", "stage": "half grown"})
    try:
        there.request("POST", "/act/harvest-add", body, {"Host": host, "Origin": f"http://{host}", "Cookie": cookie,
                                                        "Content-Type": "application/x-www-form-urlencoded"})
        return there.getresponse().status
    except (OSError, http.client.HTTPException):
        return 0
    finally:
        there.close()


os.makedirs(f"{FOLDER}/run", mode=0o700)
simpling("book", "init", "--mark", "ANN")
simpling("site", "add", "Low Croft", "--at", "54.6012,-2.5871", "--accuracy", "10")
simpling("site", "permit", "Low Croft", "--given", "--by", "the tenant", "--parts", "any", "--on", "2027-03-01")
simpling("spray", "note", "Low Croft", "--kind", "unsprayed", "--source", "the tenant", "--on", "2027-05-20", "--since", "2020-01-01")
cookie, grams, cut_off, sent = None, 100, 0, []
for _ in range(KILLS):
    child, found = begin()
    host = found[1]
    if cookie is None:
        there = http.client.HTTPConnection("127.0.0.1", int(host.rsplit(":", 1)[1]))
        there.request("GET", f"/?key={found[2]}", headers={"Host": host})
        cookie = there.getresponse().getheader("Set-Cookie").split(";")[0]
    begun = time.monotonic()
    status = post(host, cookie, str(uuid.uuid4()), grams := grams + 1)
    assert status == 303, f"an undisturbed form: {status}"
    took = time.monotonic() - begun
    sent.append(grams)
    form = str(uuid.uuid4())
    killer = threading.Timer(random.uniform(0, 3 * took), child.kill)
    killer.start()
    status = post(host, cookie, form, grams := grams + 1)
    killer.join()
    child.wait()
    cut_off += status == 0
    child, found = begin()
    assert found[1] == host, "begun again it has the same address"
    if status == 303:
        entries = [entry["weight_g"] for entry in json.loads(simpling("harvest", "list", "--json"))]
        assert grams in entries, f"{grams} g was confirmed and is not in the book"
    assert post(host, cookie, form, grams) == 303, "the same form is taken after the kill"
    sent.append(grams)
    child.terminate()
    assert child.wait(10) == 0
entries = sorted(entry["weight_g"] for entry in json.loads(simpling("harvest", "list", "--json")))
assert entries == sorted(sent), f"sent {sent}, in the book {entries}"
simpling("book", "check")
shutil.rmtree(FOLDER)
assert cut_off > 0, "no kill came before the answer: nothing was tried"
print(f"{KILLS} kills, {cut_off} before the answer; {len(entries)} entries, each once")
