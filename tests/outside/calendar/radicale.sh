#!/bin/sh
# SPDX-License-Identifier: MIT
#
# A CalDAV server of another maker on loopback: every file of `calendar write --split` is PUT, comes
# back with a REPORT whole, is refused under a stale ETag (RFC 4791 5.3.2, 5.3.4), and a second PUT
# of the same adds nothing. Then todoman ticks a task of a folder and cancels another, and
# `calendar read --apply` takes both over.
# Usage: radicale.sh SIMPLING
set -eu
simpling=$1
for program in radicale todoman; do
    command -v $program >/dev/null || {
        echo "$program is not installed"
        exit 77
    }
done
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-radicale.XXXXXX")
trap 'rm -rf "$work"' EXIT
export HOME="$work" XDG_CONFIG_HOME="$work/config" XDG_CACHE_HOME="$work/cache" XDG_DATA_HOME="$work/data"
export SIMPLING_BOOK="$work/book.db" SIMPLING_TODAY=2027-06-20 LC_ALL=C.UTF-8 TZ=Europe/London
sim() { "$simpling" "$@" 2>"$work/errors" || { cat "$work/errors" >&2; exit 1; }; }

sim book init --mark ANN >/dev/null
sim book set zone Europe/London >/dev/null
sim site add "Withy Gill" --at 54.6012,-2.5871 --elevation 210 --accuracy 10 >/dev/null
sim site permit "Withy Gill" --given --by "the tenant" --parts any --on 2027-03-01 >/dev/null
sim spray note "Withy Gill" --kind unsprayed --source "the tenant" --on 2027-05-20 --since 2020-01-01 >/dev/null
sim stage note "Withy Gill" elder/flower 61 --on 2027-06-12 >/dev/null
sim harvest add "Withy Gill" elder/flower --weight 300g --stage 61 --on 2027-06-19 \
    --named-by Edda --signs "woody shrub, corky bark" >/dev/null
sim batch start tincture --from H27-001:80g --jar 500mL \
    --menstruum "spirit 40%, Ash Beck Still, 98" --on 2027-06-19 >/dev/null
sim calendar write --tasks --split "$work/split" --as server >/dev/null

/usr/bin/python3 - "$work" <<'PYTHON'
import glob, http.client, os, re, socket, subprocess, sys, time
import xml.etree.ElementTree as ET

work = sys.argv[1]
with socket.socket() as probe:
    probe.bind(("127.0.0.1", 0))
    port = probe.getsockname()[1]
with open(f"{work}/radicale.conf", "w") as conf:
    conf.write(f"[server]\nhosts = 127.0.0.1:{port}\n[auth]\ntype = none\n[rights]\n"
               f"type = authenticated\n[storage]\nfilesystem_folder = {work}/collections\n"
               f"[logging]\nlevel = error\n")
conf = open(f"{work}/radicale.conf").read().replace("type = authenticated", "type = owner_only")
open(f"{work}/radicale.conf", "w").write(conf)
server = subprocess.Popen(["radicale", "-C", f"{work}/radicale.conf"],
                          stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
try:
    for _ in range(100):
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
            break
        except OSError:
            time.sleep(0.1)

    def ask(method, path, body=b"", **headers):
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        headers = {name.replace("_", "-"): value for name, value in headers.items()}
        headers["Authorization"] = "Basic ZWRkYTo="  # edda, no password
        connection.request(method, path, body, headers)
        answer = connection.getresponse()
        return answer.status, answer.getheader("ETag"), answer.read().decode()

    status, _, text = ask("MKCALENDAR", "/edda/season/")
    assert status == 201, (status, text)
    files = sorted(glob.glob(f"{work}/split/*.ics"))
    assert len(files) > 6, files
    etags = {}
    for name in files:
        body = open(name, "rb").read()
        path = "/edda/season/" + os.path.basename(name)
        status, etags[path], text = ask("PUT", path, body, Content_Type="text/calendar; charset=utf-8",
                                        If_None_Match="*")
        assert status == 201, (name, status, text)
    # The same again under its ETag is taken, under a stale one refused, as a new one refused.
    path = "/edda/season/" + os.path.basename(files[0])
    body = open(files[0], "rb").read()
    assert ask("PUT", path, body, If_Match='"stale"')[0] == 412
    assert ask("PUT", path, body, If_None_Match="*")[0] == 412
    assert ask("PUT", path, body, If_Match=etags[path])[0] in (201, 204)
    # The same UID under another name is refused (RFC 4791 5.3.2.1, no-uid-conflict).
    assert ask("PUT", "/edda/season/other.ics", body)[0] in (403, 409)
    query = ('<C:calendar-query xmlns:D="DAV:" xmlns:C="urn:ietf:params:xml:ns:caldav"><D:prop>'
             '<D:getetag/><C:calendar-data/></D:prop><C:filter><C:comp-filter name="VCALENDAR"/>'
             '</C:filter></C:calendar-query>').encode()
    status, _, text = ask("REPORT", "/edda/season/", query, Depth="1",
                          Content_Type="application/xml")
    assert status == 207, (status, text)
    got = {}
    for data in ET.fromstring(text).iter("{urn:ietf:params:xml:ns:caldav}calendar-data"):
        unfolded = re.sub(r"\r?\n[ \t]", "", data.text)
        got[re.search(r"^UID:(.*?)\r?$", unfolded, re.M).group(1)] = unfolded
    assert len(got) == len(files), (len(got), len(files))

    def lines(text, kind):
        return sorted(line for line in re.sub(r"\r?\n[ \t]", "", text).replace("\r", "").split("\n")
                      if line and not line.startswith(("PRODID", "NAME", "X-WR-CALNAME", "VERSION")))
    for name in files:
        wanted = open(name, newline="").read()
        uid = re.search(r"^UID:(.*?)\r?$", wanted, re.M).group(1)
        assert lines(wanted, uid) == lines(got[uid], uid), (uid, wanted, got[uid])
    print(f"radicale: {len(files)} entries put and read back")
finally:
    server.terminate()
    server.wait()
PYTHON

# todoman on the folder of tasks.
sim calendar write --tasks-only --what steps --split "$work/lists/tasks" --as tasks >/dev/null
mkdir -p "$work/config/todoman"
cat >"$work/config/todoman/config.py" <<CONF
path = "$work/lists/*"
date_format = "%Y-%m-%d"
time_format = "%H:%M"
default_list = "tasks"
CONF
id=$(todoman --porcelain list | /usr/bin/python3 -c '
import json, sys
print(next(todo["id"] for todo in json.load(sys.stdin) if todo["summary"].startswith("Top up")))')
todoman "done" "$id" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
file=$(grep -l "SUMMARY:Top up" "$work"/lists/tasks/*.ics)
grep -q "STATUS:COMPLETED" "$file" || {
    echo "todoman did not tick it"
    cat "$file"
    exit 1
}
sim calendar read "$file" --as tasks --apply --json >"$work/read.json"
/usr/bin/python3 - "$work/read.json" <<'PYTHON'
import json, sys
read = json.load(open(sys.argv[1]))
assert [change["code"] for change in read["done"]] == ["B27-001"], read
assert read["done"][0]["applied"] is True, read
PYTHON
sim batch show B27-001 --json >"$work/batch.json"
/usr/bin/python3 - "$work/batch.json" <<'PYTHON'
import json, sys
steps = {step["step"]: step for step in json.load(open(sys.argv[1]))["steps"]}
assert steps["top-up"]["done"] is not None, steps["top-up"]
PYTHON
# Read again: nothing more.
sim calendar read "$file" --as tasks --apply --json >"$work/again.json"
/usr/bin/python3 -c 'import json, sys; read = json.load(open(sys.argv[1])); assert not read["done"], read' "$work/again.json"
# A task cancelled there is a step dropped here, and off in the next writing.
id=$(todoman --porcelain list | /usr/bin/python3 -c '
import json, sys
print(next(todo["id"] for todo in json.load(sys.stdin) if todo["summary"].startswith("Shake")))')
todoman cancel "$id" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
file=$(grep -l "SUMMARY:Shake" "$work"/lists/tasks/*.ics)
sim calendar read "$file" --as tasks --apply --json >"$work/read.json"
sim batch show B27-001 --json >"$work/batch.json"
/usr/bin/python3 - "$work/read.json" "$work/batch.json" <<'PYTHON'
import json, sys
read, batch = (json.load(open(name)) for name in sys.argv[1:])
assert [change["code"] for change in read["dropped"]] == ["B27-001"], read
steps = {step["step"]: step for step in batch["steps"]}
assert steps["shake"]["dropped"] == "2027-06-20", steps["shake"]
PYTHON
sim calendar write --tasks-only --what steps --split "$work/lists/tasks" --as tasks >/dev/null
grep -q "STATUS:CANCELLED" "$file" || {
    echo "the dropped step is still written as due"
    exit 1
}
echo "todoman: a ticked task is a step done, a cancelled one dropped"
