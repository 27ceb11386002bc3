#!/bin/sh
# SPDX-License-Identifier: MIT
#
# clang-tidy over the source files of some rooms, as .clang-tidy says, and a planted mistake is found.
#
#   sh tests/lint/tidy.sh SOURCE-FOLDER BUILD-FOLDER ROOM...
#   sh tests/lint/tidy.sh SOURCE-FOLDER BUILD-FOLDER others ROOM...
#
# With `others` those of every other room, without the analyzer, which takes ten times as long as all
# other checks: it looks at what reads and stores.
set -eu
command -v clang-tidy >/dev/null 2>&1 || {
    echo "clang-tidy is not installed"
    exit 77
}
cd "$1"
planted=$(mktemp -d "${TMPDIR:-/tmp}/simpling-tidy.XXXXXX")
trap 'rm -rf "$planted"' EXIT
cp .clang-tidy "$planted"
printf '#include <string.h>\nint f(const char *a);\nint f(const char *a) { return strcmp(a, "x") == 7 || a[0] == a[0]; }\n' \
    >"$planted/planted.c"
if clang-tidy --quiet "$planted/planted.c" -- -std=c17 >/dev/null 2>&1; then
    echo "clang-tidy does not find a planted mistake"
    exit 1
fi
build=$2
shift 2
checks=
if [ "$1" = others ]; then
    checks="--checks=-clang-analyzer-*"
    shift
    rooms=$(find src -mindepth 1 -maxdepth 1 -type d | grep -vxE "src/($(echo "$*" | tr ' ' '|'))")
else
    rooms=$(printf 'src/%s\n' "$@")
fi
# shellcheck disable=SC2086 # names of the house have no spaces
find $rooms -name '*.c' -print0 |
    xargs -0 -n 8 clang-tidy -p "$build" --quiet $checks 2>/dev/null
