#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Builds simpling and lets it keep a demo season: an invented dispensary in an invented valley.
#
#   sh data/demo/run.sh [DIR]     DIR: where the season goes, default out/demo; what an earlier demo
#                                 made there is replaced, what is yours never
#
# Needs Debian 12 with git and a shell; what is missing is installed by apt. The program is
# installed under out/ of the source folder, from where it can be used at once.
set -eu
here=$(pwd)
cd "$(dirname "$0")/../.."
root=$(pwd)
# shellcheck source=tests/packages.sh
. "$root/tests/packages.sh"

case "${1-}" in
-*)
    echo "usage: sh data/demo/run.sh [DIR]" >&2
    exit 2
    ;;
'') season=$root/out/demo ;;
/*) season=$1 ;;
*) season=$here/$1 ;;
esac

install_packages tests/packages.txt || exit 1

log=$(mktemp "${TMPDIR:-/tmp}/simpling-build.XXXXXX")
trap 'rm -f "$log"' EXIT
trap 'exit 130' INT TERM
echo "building (a minute or two)"
if ! { cmake -S . -B build-demo -G Ninja -DCMAKE_BUILD_TYPE=RelWithDebInfo -DSIMPLING_TESTS=OFF &&
    cmake --build build-demo &&
    cmake --install build-demo --prefix "$root/out"; } >"$log" 2>&1; then
    cat "$log"
    exit 1
fi
"$root/out/bin/simpling" demo --again "$season"
