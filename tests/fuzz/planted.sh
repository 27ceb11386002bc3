#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Does the shapefile fuzzer find an overflow? One is planted in a copy of the reader of records (where
# a ring or line that is too short is made longer, the place after its last one is taken), and the
# sanitizer must report it within 60 seconds, from the seeds alone.
#
#   sh tests/fuzz/planted.sh [SEED]      SEED: of the fuzzer's random numbers, default 2
#
# How far it is from the seeds: all of theirs have five places and more, or three. What lies behind
# the last place is mostly memory that the row has in reserve; only a first shape of one single place
# has none. So the number of places, one byte of several hundred, must become exactly 1. The script
# first runs the planted reader over all seeds: none may reach it. Found with the numbers 1, 2, 3 after
# 44,394, 3,515 and 51,906 executions: 13, 1 and 30 s.
set -eu
cd "$(dirname "$0")/../.."
root=$(pwd)
# shellcheck source=tests/fuzz/common.sh
. tests/fuzz/common.sh
fuzz_build shapefile
seeds=$root/build-fuzz/tests/corpus/shapefile/seeds
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-planted.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM

perl -0pe '$n = s/(last = spl_geometry_points\(raw\)\[spl_geometry_n_points\(raw\)) - 1\]/$1]/;
    END { exit($n == 1 ? 0 : 3) }' src/exchange/shape_rings.c >"$work/shape_rings.c" || {
    echo "the line to spoil is no longer in src/exchange/shape_rings.c" >&2
    exit 1
}
mkdir "$work/corpus"
# The planted object comes before the archives and so replaces theirs.
# shellcheck disable=SC2046 # flags are words of their own
clang -std=gnu17 -g -O1 -w -fno-omit-frame-pointer -D_POSIX_C_SOURCE=200809L -D_DEFAULT_SOURCE \
    -DSPL_SPLIT_MAX=2000 \
    -fsanitize=fuzzer,address,undefined -fno-sanitize-recover=all -Isrc -Iinclude -Itests/fuzz \
    "$work/shape_rings.c" tests/fuzz/fuzz_shapefile.c tests/fuzz/fuzz.c \
    build-fuzz/libexchange.a build-fuzz/libcore.a build-fuzz/libbase.a \
    $(pkg-config --cflags --libs glib-2.0 gio-2.0 jansson proj libical nettle smartcols sqlite3) \
    -lshp -lcsv -lgeos_c -lm -o "$work/fuzz"
"$work/fuzz" -runs=0 "$seeds" >"$work/seeds" 2>&1 || {
    echo "a seed by itself reaches the overflow: that proves nothing" >&2
    exit 1
}
cd "$work"
start=$(date +%s)
"$work/fuzz" -seed="${1-2}" -max_total_time=60 -max_len=20000 -timeout=60 -print_final_stats=1 \
    corpus "$seeds" >log 2>&1 || :
seconds=$(($(date +%s) - start))
if grep -q 'ERROR: AddressSanitizer: heap-buffer-overflow' log &&
    grep -q 'in spl_shape_parts ' log; then
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' log)
    echo "found after $seconds s and $runs executions"
    exit 0
fi
tail -n 20 log
echo "not found within $seconds s" >&2
exit 1
