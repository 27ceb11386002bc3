#!/bin/sh
# Hazards at the scale of a region, side by side: a made layer of 200,000 polygons and 10,000 sites.
#
#   sh tests/bench/ground.sh [BUILD]     BUILD: a finished build folder (default build-bench is made)
#   sh tests/bench/ground.sh BUILD 50000 another number of polygons
#
# First it asserts that both sides give the same hits and distances; then it prints times and both
# command lines. Nothing fails on a time. Needs gdal-bin and python3-shapely.
set -eu
cd "$(dirname "$0")/../.."
root=$(pwd)
build=${1-$root/build-bench}
polygons=${2-200000}
case "$build" in /*) ;; *) build=$root/$build ;; esac
if [ $# = 0 ]; then
    cmake -S . -B build-bench -G Ninja -DCMAKE_BUILD_TYPE=Release >/dev/null
fi
cmake --build "$build" --target simpling simpling-ground bench_ground >/dev/null
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-ground.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM
export LC_ALL=C.UTF-8 SIMPLING_TODAY=2027-06-20 SIMPLING_BOOK="$work/book.db"
simpling=$build/bin/simpling
bench=$build/tests/bench_ground
python=/usr/bin/python3
quiet() { "$@" >/dev/null 2>&1; }
# timed LINE...: wall seconds, processor seconds and peak memory of a command
timed() {
    echo "  \$ $*"
    /usr/bin/time -f '    %e s, processor %U + %S s, peak %M kB' "$@" >/dev/null 2>"$work/time" || {
        case $? in 3 | 4) ;; *) cat "$work/time" && exit 1 ;; esac
    }
    grep 'processor' "$work/time"
}

"$bench" make "$polygons" 10000 "$work"
quiet "$simpling" book init --mark ANN

echo "import of the layer:"
timed "$simpling" hazard import "$work/layer.shp" --method boom --name-field NAME --date-field SPRAYED
timed ogr2ogr -f GPKG -t_srs EPSG:4326 -makevalid "$work/layer.gpkg" "$work/layer.shp"
ours=$(sqlite3 "$work/book.db" 'SELECT count(*) FROM hazard')
theirs=$(sqlite3 "$work/layer.gpkg" 'SELECT count(*) FROM layer')
[ "$ours" = "$theirs" ] || { echo "imported $ours and $theirs records" >&2 && exit 1; }

echo "every polygon within 300 m of 10,000 sites:"
quiet "$simpling" site import "$work/sites.geojson" --accuracy 0
"$bench" geos "$work"
"$python" "$root/tests/bench/ground_side.py" shapely "$work"
"$bench" ours "$work/book.db" "$work" "$root/data"
"$python" "$root/tests/bench/ground_side.py" compare "$work/geos.csv" "$work/ours.csv"
"$python" "$root/tests/bench/ground_side.py" compare "$work/shapely.csv" "$work/ours.csv"

echo "verdicts, all reasons within 300 m, as JSON:"
quiet "$simpling" hazard method boom --ask 300 --why 'as far as the others are asked'
timed "$simpling" check --all --json
timed "$simpling" check 'place 77'
echo "the same question to a book without hazards:"
SIMPLING_BOOK=$work/empty.db quiet "$simpling" book init --mark ANN
SIMPLING_BOOK=$work/empty.db quiet "$simpling" site add 'place 77' --at 54.1,-3.2 --accuracy 0
SIMPLING_BOOK=$work/empty.db timed "$simpling" check 'place 77'
hundred() { i=0 && while [ $i -lt 100 ]; do "$simpling" check 'place 77' >/dev/null 2>&1 || :; i=$((i + 1)); done; }
start=$(date +%s%N) && hundred && full=$((($(date +%s%N) - start) / 100000))
SIMPLING_BOOK=$work/empty.db
start=$(date +%s%N) && hundred && empty=$((($(date +%s%N) - start) / 100000))
echo "  one check, mean of 100: $full us with $polygons hazards, $empty us without"
