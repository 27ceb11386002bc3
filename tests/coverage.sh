#!/bin/sh
# SPDX-License-Identifier: MIT
#
# How much of each room the tests run: lines and branches, a table; fails below the floors, which are
# 95 % of lines and 90 % of branches for core and 85 % of lines for the other rooms; 75 % for desk, most
# of whose pages are read by the tests in a browser, which are not counted here for their time.
#
#   sh tests/coverage.sh
#
# Builds in build-coverage/.
set -eu
cd "$(dirname "$0")/.."
# Without the tests that look at the source or the installation, that repeat under other settings what
# another does, the longest of those with faults and other programs, and those of commands whose lines
# others run as well: all of these run elsewhere, and what is told here is told by half their time.
without='^(lint|install|fault|face|fuzz)\.|^outside\.(calendar|outing_lp|plan)|^core\.m'
without="$without"'|^house\.(arrows|format|core_symbols|words|answers)'
without="$without"'|^command\.(draw|batches|agreement|window_places|reasons|outings|calendar_theirs)'
without="$without"'|^command\.(guarded|hold_reasons|clock|trust|recall|care)'
without="$without"'|^command\.batch_bad_input|^season\.(order|trace_large)|^outside\.cherry'
without="$without"'|^browser\.|^desk\.(slip_check|memory|kill)'
folder=build-coverage
log=$(mktemp "${TMPDIR:-/tmp}/simpling-coverage.XXXXXX")
trap 'rm -f "$log" "$log".csv' EXIT

if ! { cmake -S . -B $folder -G Ninja -DSIMPLING_TESTS=ON -DSIMPLING_COVERAGE=ON \
    -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG= -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=gold &&
    cmake --build $folder; } >"$log" 2>&1; then
    cat "$log"
    exit 1
fi
find $folder -name '*.gcda' -exec rm -f {} +
# One at a time more than there are cores: some wait for other programs.
if ! ctest --test-dir $folder -j $(($(nproc) + 1)) -E "$without" --output-on-failure >"$log" 2>&1; then
    grep -vE '^ *[0-9]+/[0-9]+ Test .*Passed|^ *Start ' "$log" | tail -n 200
    exit 1
fi
gcovr -r . --object-directory $folder --filter src/ --exclude-unreachable-branches -j "$(nproc)" \
    --csv -o "$log.csv" $folder 2>"$log" || {
    cat "$log"
    exit 1
}
awk -F, '
NR == 1 {
    for (i = 1; i <= NF; i++) column[$i] = i
    next
}
{
    split($column["filename"], path, "/")
    room = path[2]
    if (!(room in lines)) order[++rooms] = room
    lines[room] += $column["line_total"]
    lines_run[room] += $column["line_covered"]
    branches[room] += $column["branch_total"]
    branches_run[room] += $column["branch_covered"]
    if ($column["line_total"] > 0 && $column["line_covered"] / $column["line_total"] < 0.8)
        low = low sprintf("  %s %.0f %%\n", $column["filename"],
                          100 * $column["line_covered"] / $column["line_total"])
}
END {
    printf "%-10s %7s %8s %9s %8s\n", "room", "lines", "run", "branches", "run"
    for (i = 1; i <= rooms; i++) {
        room = order[i]
        l = 100 * lines_run[room] / (lines[room] ? lines[room] : 1)
        b = 100 * branches_run[room] / (branches[room] ? branches[room] : 1)
        bad = room == "core" ? l < 95 || b < 90 : l < (room == "desk" ? 75 : 85)
        printf "%-10s %7d %6.1f %% %9d %6.1f %%%s\n", room, lines[room], l, branches[room], b,
               bad ? "  below the floor" : ""
        failed = failed || bad
    }
    if (low != "") printf "files under 80 %% of lines:\n%s", low
    exit failed
}' "$log.csv"
