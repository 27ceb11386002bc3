#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""A weather service on loopback, over TLS, with the faults of real ones.

    server.py FOLDER CERTIFICATE KEY    serves FOLDER, prints its port, ends with its stdin

/NAME            the file NAME of FOLDER, packed with gzip if the client takes it
/slow            begins to answer and stops
/short           says more bytes than it sends
/gone            404
/broken          500
/elsewhere       301 to another host
/next            301 to /daily.csv on this one
/round           301 to itself
/bomb            100 MB of zeros in a few kB of gzip, as the encoding of the answer
/bomb.gz, .zip   the same as a packed file
/short.gz, .zip  a packed file without its second half
/NAME.gz, .zip   the file NAME of FOLDER packed
/produkt.zip     the file produkt_days.txt of FOLDER beside two that describe it
/two.zip         two files of which neither is the table
"""
import gzip
import http.server
import io
import os
import ssl
import sys
import threading
import time
import zipfile

FOLDER, CERTIFICATE, KEY = sys.argv[1:4]
ZEROS = bytes(100 * 1024 * 1024)
BOMB = gzip.compress(ZEROS)  # made before anybody asks: the client does not wait for long


def of_folder(name):
    with open(os.path.join(FOLDER, os.path.basename(name)), "rb") as file:
        return file.read()


def zipped(files):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as folder:
        for name, body in files.items():
            folder.writestr(name, body)
    return made.getvalue()


BOMB_FOLDER = zipped({"daily.csv": ZEROS})


def packed_file(path):
    """The bytes of a packed file; None: it is not asked for."""
    name, ending = os.path.splitext(path)
    if path == "/produkt.zip":
        return zipped({"Metadaten_Geographie.txt": b"x", "Metadaten_Geraete.txt": b"y",
                       "produkt_days.txt": of_folder("produkt_days.txt")})
    if path == "/two.zip":
        return zipped({"one.csv": b"date,tmin,tmax\n", "two.csv": b"date,tmin,tmax\n"})
    if ending not in (".gz", ".zip"):
        return None
    if name == "/bomb":
        return BOMB if ending == ".gz" else BOMB_FOLDER
    body = of_folder("daily.csv" if name == "/short" else name)
    made = gzip.compress(body) if ending == ".gz" else zipped({os.path.basename(name): body})
    return made[:len(made) // 2] if name == "/short" else made


class Handler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def log_message(self, *arguments):
        with open(os.path.join(FOLDER, "asked"), "a", encoding="ascii") as log:
            log.write(self.path + "\n")

    def answer(self, body, packed=False, length=None):
        self.send_response(200)
        self.send_header("Content-Type", "text/csv")
        if packed:
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(body) if length is None else length))
        self.end_headers()
        self.wfile.write(body)

    def move(self, to):
        self.send_response(301)
        self.send_header("Location", to)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def do_GET(self):
        path = self.path.split("?")[0]
        if path == "/slow":
            self.answer(b"date,tmin,tmax\n", length=100000)
            self.wfile.flush()
            time.sleep(30)
        elif path == "/short":
            self.answer(b"date,tmin,tmax\n2027-01-01,1,5\n", length=5000)
            self.close_connection = True
        elif path == "/gone":
            self.send_error(404)
        elif path == "/broken":
            self.send_error(503)
        elif path == "/elsewhere":
            self.move("https://elsewhere.invalid/daily.csv")
        elif path == "/next":
            self.move("/daily.csv")
        elif path == "/round":
            self.move("/round")
        elif path == "/bomb":
            self.answer(BOMB, packed=True)
        else:
            try:
                body = packed_file(path)
                if body is not None:
                    self.answer(body)
                    return
                body = of_folder(path)
            except OSError:
                self.send_error(404)
                return
            packed = "gzip" in self.headers.get("Accept-Encoding", "")
            self.answer(gzip.compress(body) if packed else body, packed)


server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
server.daemon_threads = True
context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
context.load_cert_chain(CERTIFICATE, KEY)
server.socket = context.wrap_socket(server.socket, server_side=True)
print(server.server_address[1], flush=True)
threading.Thread(target=server.serve_forever, daemon=True).start()
sys.stdin.read()
