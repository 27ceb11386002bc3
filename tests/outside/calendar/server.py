# SPDX-License-Identifier: MIT
"""A CalDAV server of another maker (radicale) on loopback, for sync.py and changes.py."""
import os
import signal
import socket
import subprocess
import sys
import time


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Server:
    """edda, password sallow, may write; rights 'r' makes her collections read-only."""

    def __init__(self, folder):
        self.folder, self.port, self.child = folder, free_port(), None
        os.makedirs(folder, exist_ok=True)
        with open(f"{folder}/users", "w") as users:
            users.write("edda:sallow\n")

    def start(self, rights="RWrw"):
        with open(f"{self.folder}/rights", "w") as file:
            file.write(f"[root]\nuser: .+\ncollection:\npermissions: R\n"
                       f"[home]\nuser: .+\ncollection: {{user}}\npermissions: {rights}\n"
                       f"[own]\nuser: .+\ncollection: {{user}}/[^/]+\npermissions: {rights}\n")
        with open(f"{self.folder}/conf", "w") as conf:
            conf.write(f"[server]\nhosts = 127.0.0.1:{self.port}\n"
                       f"[auth]\ntype = htpasswd\nhtpasswd_filename = {self.folder}/users\n"
                       f"htpasswd_encryption = plain\ndelay = 0\n"
                       f"[rights]\ntype = from_file\nfile = {self.folder}/rights\n"
                       f"[storage]\nfilesystem_folder = {self.folder}/collections\n"
                       f"[logging]\nlevel = error\n")
        self.child = subprocess.Popen(["radicale", "-C", f"{self.folder}/conf"],
                                      stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for _ in range(150):
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
                return
            except OSError:
                time.sleep(0.1)
        sys.exit("radicale does not answer")

    def stop(self):
        if self.child is not None:
            self.child.send_signal(signal.SIGTERM)
            self.child.wait()
            self.child = None

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}/"


class Desk:
    """A folder of a calendar kept in step with the server by vdirsyncer, as the manual shows it."""

    def __init__(self, work, name, url, password="sallow"):
        self.folder, self.conf, self.work = f"{work}/{name}/season", f"{work}/{name}.conf", work
        os.makedirs(self.folder, exist_ok=True)
        self.name, self.url = name, url
        self.configure(password)

    def configure(self, password="sallow", prefer="b wins"):
        with open(self.conf, "w") as conf:
            conf.write(f"""[general]
status_path = "{self.work}/{self.name}-status/"

[pair season]
a = "here"
b = "there"
collections = ["season"]
conflict_resolution = "{prefer}"

[storage here]
type = "filesystem"
path = "{self.work}/{self.name}/"
fileext = ".ics"

[storage there]
type = "caldav"
url = "{self.url}"
username = "edda"
password = "{password}"
""")

    def sync(self, ok=True):
        run = subprocess.run(["vdirsyncer", "-c", self.conf, "sync"], capture_output=True, text=True,
                             timeout=120, check=False)
        if (run.returncode == 0) != ok:
            sys.exit(f"vdirsyncer: {run.returncode}\n{run.stdout}{run.stderr}")
        return run.stdout + run.stderr

    def discover(self):
        subprocess.run(["vdirsyncer", "-c", self.conf, "discover"], input="y\ny\ny\n", text=True,
                       capture_output=True, timeout=120, check=True)

    def files(self):
        held = {}
        for name in sorted(os.listdir(self.folder)):
            if name.endswith(".ics"):
                with open(f"{self.folder}/{name}", "rb") as file:
                    held[name] = file.read()
        return held
