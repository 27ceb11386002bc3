#!/bin/sh
# clang-tidy over every source file as .clang-tidy says (its analyzer over base, book and exchange),
# and a planted mistake is found.
#
#   sh tests/lint/tidy.sh SOURCE-FOLDER BUILD-FOLDER
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
# The analyzer takes ten times as long as all other checks: it looks at what reads and stores.
find src/base src/book src/exchange -name '*.c' -print0 |
    xargs -0 -n 4 -P "$(nproc)" clang-tidy -p "$2" --quiet 2>/dev/null
find src -name '*.c' ! -path 'src/base/*' ! -path 'src/book/*' ! -path 'src/exchange/*' -print0 |
    xargs -0 -n 8 -P "$(nproc)" clang-tidy -p "$2" --quiet --checks='-clang-analyzer-*' 2>/dev/null
