#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Builds simpling and runs its tests, in one of three tiers.
#
#   sh tests/run.sh          what a change needs, under five minutes on two cores: the plain build, and
#                            all tests but those with the label slow
#   sh tests/run.sh --all    what must pass before a change lands (.ci/run), under 25 minutes: those
#                            with the label slow too, under AddressSanitizer and UBSan where these can
#                            tell something, else plain, and the coverage of each room against its
#                            floor; a skipped test is then a failure, unless tests/skips.txt names it
#   sh tests/run.sh --long [SECONDS]
#                            by hand, hours: what only time finds. Kills in hundreds, every fault
#                            in small steps, big seasons (the tests of `ctest -C long`), and each
#                            fuzzer for SECONDS (900 if not said)
#
# Needs Debian 12 with git and a shell; what is missing is installed by apt. Builds in build/, which all
# three share, for --all in build-asan/ and build-coverage/ too, and for --long in build-fuzz/. Data of others that some tests need: DEVELOPERS.md, at SIMPLING_OPEN_DATA. The last line
# of the first two is ctest's own.
set -eu
cd "$(dirname "$0")/.."
root=$(pwd)
# shellcheck source=tests/packages.sh
. "$root/tests/packages.sh"
# shellcheck source=tests/fuzz/common.sh
. "$root/tests/fuzz/common.sh"

tier=quick
case "${1-} $#" in
' 0') ;;
'--all 1') tier=all ;;
'--long 1' | '--long 2') tier=long ;;
*)
    echo "usage: sh tests/run.sh [--all | --long [SECONDS]]" >&2
    exit 2
    ;;
esac
if [ -n "${SIMPLING_OPEN_DATA-}" ] && [ ! -d "$SIMPLING_OPEN_DATA" ]; then
    echo "SIMPLING_OPEN_DATA: $SIMPLING_OPEN_DATA is no folder; name the one that holds the open data, or none" >&2
    exit 2
fi

lists="tests/packages.txt tests/packages-tests.txt"
[ $tier = quick ] || lists="$lists tests/packages-slow.txt"
[ $tier != long ] || lists="$lists tests/packages-long.txt"
# shellcheck disable=SC2086
install_packages $lists || exit 1

jobs=$(nproc)
log=$(mktemp -d "${TMPDIR:-/tmp}/simpling-tests.XXXXXX")
scratch=
trap 'rm -rf "$log" $scratch' EXIT
trap 'exit 130' INT TERM

# The books of the tests in memory, where that can be had and programs can be started there: each
# commit waits for the disk four times, and what a power cut leaves is told by the fault tests'
# own disk.
if [ -z "${TMPDIR-}" ] && [ -w /dev/shm ] &&
    [ "$(df -kP /dev/shm | awk 'NR == 2 { print $4 }')" -ge 4000000 ]; then
    scratch=$(mktemp -d /dev/shm/simpling-tests.XXXXXX)
    chmod 1777 "$scratch" # as /tmp: some tests go on as a user who may little
    printf '#!/bin/sh\n' >"$scratch/starts"
    chmod +x "$scratch/starts"
    if "$scratch/starts" 2>"$log/starts"; then
        export TMPDIR="$scratch"
    fi
fi

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

# The npm packages that tests read calendars, weather and moistures with.
node_modules() {
    mkdir -p build/node
    cp tests/outside/node-packages.json build/node/package.json
    if ! cmp -s build/node/package.json build/node/installed.json; then
        (cd build/node && npm install --no-audit --no-fund --ignore-scripts --loglevel=error) &&
            cp build/node/package.json build/node/installed.json
    fi
}

# configure FOLDER CMAKE-OPTION...
configure() {
    folder=$1
    shift
    [ -f "$folder/build.ninja" ] || rm -f "$folder/CMakeCache.txt"
    cmake -S . -B "$folder" -G Ninja -DSIMPLING_TESTS=ON -DCMAKE_COMPILE_WARNING_AS_ERROR=ON "$@"
}

# What keeps no more than one core busy, all of it at once; shows what failed.
prepare() {
    node_modules >"$log/node" 2>&1 &
    node=$!
    asan=
    if [ $tier = all ]; then
        configure_asan >"$log/asan" 2>&1 &
        asan=$!
    fi
    configure build -DSIMPLING_SANITIZE=OFF || return 1
    [ -z "$asan" ] || wait "$asan" || { cat "$log/asan" && return 1; }
    wait "$node" || { cat "$log/node" && return 1; }
}

# -O1 -g1: half the time to build, and still the lines in what the sanitizers say. gold links what
# nobody installs in half the time.
configure_asan() {
    configure build-asan -DSIMPLING_SANITIZE=ON -DCMAKE_C_FLAGS_RELWITHDEBINFO='-O1 -g1' \
        -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=gold
}

# check_skips LOG: 1 if a test was skipped that may not be.
check_skips() {
    sed -n 's/^.*Test *#[0-9]*: \([^ ]*\) \.*\*\*\*Skipped.*$/\1/p' "$1" | sort -u >"$log/skipped"
    bad=0
    while read -r name; do
        if [ -z "${SIMPLING_OPEN_DATA-}" ] && sed 's/#.*//' tests/skips.txt | grep -qx "$name *"; then
            continue
        fi
        echo "skipped, which tests/skips.txt does not allow: $name" >&2
        bad=1
    done <"$log/skipped"
    return $bad
}

# run FOLDER CTEST-OPTION...: those of the folder's tests, one at a time more than there are cores: much
# of it waits, for browsers and other programs.
run() {
    folder=$1
    shift
    rm -f "$log/passed"
    { ctest --test-dir "$folder" -j $((jobs + 1)) --output-on-failure "$@" 2>&1 && touch "$log/passed"; } |
        tee "$log/ctest"
    [ -f "$log/passed" ] || exit 1
    [ $tier = quick ] || check_skips "$log/ctest" || exit 1
}

# fuzz SECONDS: each target of tests/fuzz for so long, as many at a time as there are cores.
fuzz() {
    targets=$(find tests/fuzz -name 'fuzz_*.c' | sed 's|.*/fuzz_\(.*\)\.c|\1|' | sort)
    for target in $targets; do
        quietly "fuzz_$target" fuzz_build "$target"
    done
    # shellcheck disable=SC2016 # for the inner shell
    printf '%s\n' "$targets" | xargs -P "$jobs" -I TARGET sh -c '
        if sh tests/fuzz/run.sh TARGET "$1" >"$2/fuzz_TARGET" 2>&1; then
            echo "fuzz TARGET: $(sed -n "s/^stat::number_of_executed_units: *//p" "$2/fuzz_TARGET") inputs, nothing found"
        else
            tail -n 40 "$2/fuzz_TARGET"
            echo "fuzz TARGET: failed"
            exit 1
        fi' sh "$1" "$log"
}

export LC_ALL=C.UTF-8
export ASAN_OPTIONS="detect_leaks=1:strict_string_checks=1:check_initialization_order=1"
export LSAN_OPTIONS="suppressions=$root/tests/lsan.supp:print_suppressions=0"
export UBSAN_OPTIONS="print_stacktrace=1"

quietly "node packages and configuring" prepare
quietly "plain build" cmake --build build -j "$jobs"
case $tier in
quick)
    run build -LE '^slow$'
    ;;
all)
    quietly "sanitizer build" cmake --build build-asan -j "$jobs"
    # Prints the table of the rooms; below the floors it fails.
    sh tests/coverage.sh
    # The sanitizer run leaves out what it cannot make sharper (label once: format, arrows,
    # installation, valgrind); the plain one is for those, and for what the sanitizers' build has not;
    # fault.commands is a part of fault.every_command.
    run build-asan -LE '^once$'
    passed=$(ctest --test-dir build-asan -N -LE '^once$' | sed -n 's/^ *Test *#[0-9]*: *//p' | paste -sd '|')
    run build -E "^($passed|fault\.commands)\$"
    ;;
long)
    quietly "programs for big seasons" cmake --build build --target benches
    run build -C long -L '^long$'
    fuzz "${2-900}"
    ;;
esac
