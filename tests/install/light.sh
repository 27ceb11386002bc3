#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The everyday program needs none of the heavy libraries, and the helpers that do are really heavy:
# else this test would find nothing.
#
#   sh tests/install/light.sh PROGRAM HELPER...
set -eu
program=$1
shift
heavy='libicu|libical|libgeos|libproj|libexif|libjpeg|libCbc|libpango|libcairo|libgdk|libX11|libcurl|libarchive|libmicrohttpd'
found=$(ldd "$program" | grep -E "$heavy" || :)
if [ -n "$found" ]; then
    echo "the everyday program links heavy libraries:"
    echo "$found"
    exit 1
fi
ldd "$program" | grep -q libsqlite3 || {
    echo "ldd names not even SQLite: $(ldd "$program")"
    exit 1
}
for helper in "$@"; do
    case $helper in
    */simpling-slip) continue ;; # for the rooms' sake: command and desk do not know each other
    esac
    ldd "$helper" | grep -qE "$heavy" || {
        echo "$helper links no heavy library; why is it a helper?"
        exit 1
    }
done
