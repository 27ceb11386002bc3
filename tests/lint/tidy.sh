#!/bin/sh
# SPDX-License-Identifier: MIT
#
# clang-tidy over the source files of some rooms, as .clang-tidy says, and planted mistakes are found.
#
#   sh tests/lint/tidy.sh SOURCE-FOLDER BUILD-FOLDER NODES ROOM...
#   sh tests/lint/tidy.sh SOURCE-FOLDER BUILD-FOLDER NODES others ROOM...
#
# With `others` those of every other room. The analyzer follows a function through at most NODES
# places; as many as it has by itself, 225000, take ten times as long as all other checks.
set -eu
command -v clang-tidy >/dev/null 2>&1 || {
    echo "clang-tidy is not installed"
    exit 77
}
cd "$1"
planted=$(mktemp -d "${TMPDIR:-/tmp}/simpling-tidy.XXXXXX")
trap 'rm -rf "$planted"' EXIT
cp .clang-tidy "$planted"
build=$2
deep="--extra-arg=-Xclang --extra-arg=-analyzer-config --extra-arg=-Xclang --extra-arg=max-nodes=$3"
shift 3
printf '#include <string.h>\nint f(const char *a);\nint f(const char *a) { return strcmp(a, "x") == 7 || a[0] == a[0]; }\n' \
    >"$planted/redundant.c"
# For the analyzer: over a call.
printf 'int f(int *p);\nstatic int g(int *q) { return *q; }\nint f(int *p) { return p == 0 ? g(p) : 1; }\n' \
    >"$planted/nothing.c"
for mistake in redundant nothing; do
    # shellcheck disable=SC2086 # several words
    if clang-tidy --quiet $deep "$planted/$mistake.c" -- -std=c17 >/dev/null 2>&1; then
        echo "clang-tidy does not find a planted mistake: $mistake"
        exit 1
    fi
done
if [ "$1" = others ]; then
    shift
    rooms=$(find src -mindepth 1 -maxdepth 1 -type d | grep -vxE "src/($(echo "$*" | tr ' ' '|'))")
else
    rooms=$(printf 'src/%s\n' "$@")
fi
# shellcheck disable=SC2086 # names of the house have no spaces
find $rooms -name '*.c' -print0 |
    xargs -0 -n 8 clang-tidy -p "$build" --quiet $deep 2>/dev/null
