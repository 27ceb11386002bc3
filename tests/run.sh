#!/bin/sh
# Builds simpling and runs its tests.
#
#   sh tests/run.sh          what a change needs: under five minutes on two cores
#   sh tests/run.sh --all    the same under AddressSanitizer and UBSan too, and the slow tests
#                            (label slow), and the coverage of each room against its floor; a
#                            skipped test is then a failure, unless tests/skips.txt names it
#
# Needs Debian 12 with git and a shell; what is missing is installed by apt. Builds in build/ and
# build-asan/ and build-coverage/. The last line is ctest's own.
set -eu
cd "$(dirname "$0")/.."
root=$(pwd)
# shellcheck source=tests/packages.sh
. "$root/tests/packages.sh"

all=no
case "${1-}" in
'') ;;
--all) all=yes ;;
*)
    echo "usage: sh tests/run.sh [--all]" >&2
    exit 2
    ;;
esac

lists="tests/packages.txt tests/packages-tests.txt"
[ $all = no ] || lists="$lists tests/packages-slow.txt"
# shellcheck disable=SC2086
install_packages $lists || exit 1

jobs=$(nproc)
log=$(mktemp -d "${TMPDIR:-/tmp}/simpling-tests.XXXXXX")
trap 'rm -rf "$log"' EXIT
trap 'exit 130' INT TERM

# quietly NAME COMMAND...: shows the output only when the command fails.
quietly() {
    name=$1
    shift
    start=$(date +%s)
    if ! "$@" >"$log/$name" 2>&1; then
        cat "$log/$name"
        echo "$name: failed" >&2
        exit 1
    fi
    echo "$name: $(($(date +%s) - start)) s"
}

# The packages of the npm registry that tests read calendars, weather and moistures with.
node_modules() {
    mkdir -p build/node
    cp tests/outside/node-packages.json build/node/package.json
    if ! cmp -s build/node/package.json build/node/installed.json; then
        (cd build/node && npm install --no-audit --no-fund --ignore-scripts --loglevel=error) &&
            cp build/node/package.json build/node/installed.json
    fi
}

# build FOLDER CMAKE-OPTION...
build() {
    folder=$1
    shift
    [ -f "$folder/build.ninja" ] || rm -f "$folder/CMakeCache.txt"
    cmake -S . -B "$folder" -G Ninja -DSIMPLING_TESTS=ON \
        -DCMAKE_COMPILE_WARNING_AS_ERROR=ON "$@" && cmake --build "$folder" -j "$jobs"
}

# check_skips LOG: 1 if a test was skipped that may not be.
check_skips() {
    sed -n 's/^.*Test *#[0-9]*: \([^ ]*\) \.*\*\*\*Skipped.*$/\1/p' "$1" | sort -u >"$log/skipped"
    bad=0
    while read -r name; do
        if [ ! -d ../shared/reference/data ] && sed 's/#.*//' tests/skips.txt | grep -qx "$name *"; then
            continue
        fi
        echo "skipped, which tests/skips.txt does not allow: $name" >&2
        bad=1
    done <"$log/skipped"
    return $bad
}

# run FOLDER LABELS: the folder's tests without those whose label matches.
run() {
    rm -f "$log/passed"
    { ctest --test-dir "$1" -j "$jobs" --output-on-failure -LE "$2" 2>&1 && touch "$log/passed"; } |
        tee "$log/ctest"
    [ -f "$log/passed" ] || exit 1
    [ $all = no ] || check_skips "$log/ctest" || exit 1
}

export LC_ALL=C.UTF-8
export ASAN_OPTIONS="detect_leaks=1:strict_string_checks=1:check_initialization_order=1"
export LSAN_OPTIONS="suppressions=$root/tests/lsan.supp:print_suppressions=0"
export UBSAN_OPTIONS="print_stacktrace=1"

quietly "node packages" node_modules
quietly "plain build" build build -DSIMPLING_SANITIZE=OFF
if [ $all = no ]; then
    run build '^slow$'
    exit 0
fi
# -O1 -g1: half the time to build, and still the lines in what the sanitizers say.
quietly "sanitizer build" build build-asan -DSIMPLING_SANITIZE=ON \
    -DCMAKE_C_FLAGS_RELWITHDEBINFO='-O1 -g1'
# Prints the table of the rooms; below the floors it fails.
sh tests/coverage.sh
# The sanitizer run comes first and leaves out what it cannot make sharper (label once: format,
# arrows, installation, valgrind), so that the closing line is that of the whole plain run.
run build-asan '^once$'
run build '^none$'
