#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Leaves the demo book of this build as an SQL dump in tests/book/schemas, under the number of its
# schema: what later versions must still open. To be run once for each schema that lands.
#
#   sh tests/book/dump_schema.sh BUILD-FOLDER
set -eu
simpling=$(readlink -f "$1")/bin/simpling
schemas=$(readlink -f "$(dirname "$0")")/schemas
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-schema.XXXXXX")
trap 'rm -rf "$work"' EXIT
"$simpling" demo "$work" >/dev/null
version=$(sqlite3 "$work/book.db" 'PRAGMA user_version')
mkdir -p "$schemas"
{
    echo "PRAGMA application_id = $(sqlite3 "$work/book.db" 'PRAGMA application_id');"
    echo "PRAGMA user_version = $version;"
    sqlite3 "$work/book.db" .dump
} >"$schemas/$(printf '%04d' "$version").sql"
