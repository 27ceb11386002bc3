#!/bin/sh
# Fuzzes one target for some seconds with libFuzzer under ASan and UBSan, from its seeds.
#
#   sh tests/fuzz/run.sh TARGET SECONDS      TARGET: values, wkt, csv, weather, shapefile, gpx, geojson, ical
#
# What is found is left in build-fuzz/corpus/TARGET; an input that breaks something stands in
# build-fuzz and belongs, once mended, into tests/fuzz/seeds/TARGET.
set -eu
[ $# = 2 ] || {
    echo "usage: sh tests/fuzz/run.sh TARGET SECONDS" >&2
    exit 2
}
cd "$(dirname "$0")/../.."
# Only once: CMake forgets the other options when it is told the compiler a second time.
[ -e build-fuzz/build.ninja ] ||
    cmake -S . -B build-fuzz -G Ninja -DCMAKE_C_COMPILER=clang -DCMAKE_C_FLAGS=-w \
        -DSIMPLING_TESTS=ON -DSIMPLING_FUZZ=ON -DSIMPLING_SANITIZE=ON >/dev/null
cmake --build build-fuzz --target "fuzz_$1" >/dev/null
mkdir -p "build-fuzz/corpus/$1"
seeds=tests/fuzz/seeds/$1
[ -d "$seeds" ] || seeds=
case "$1" in
ical) seeds="$seeds tests/data/ical calendars" ;;
csv) seeds="$seeds tests/fuzz/seeds/weather" ;;
esac
folders=$(for folder in $seeds; do printf '%s ' "../$folder"; done)
# What libraries lose by themselves is known by its frames. GEOS and PROJ take theirs through C++'s
# own `new`, behind which the fast unwinder sees no more; ours never does.
{ cat tests/lsan.supp && echo 'leak:libstdc++'; } >build-fuzz/lsan.supp
LSAN_OPTIONS=suppressions=$(pwd)/build-fuzz/lsan.supp:print_suppressions=0
export LSAN_OPTIONS
cd build-fuzz
# One input may take long only because the machine has other work.
# shellcheck disable=SC2086 # several folders
exec "./tests/fuzz_$1" -max_total_time="$2" -max_len=20000 -timeout=60 -rss_limit_mb=2048 \
    -print_final_stats=1 "corpus/$1" $folders
