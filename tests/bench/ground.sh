#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Hazards at the scale of a region, side by side: a made layer of 200,000 polygons and 10,000 sites.
#
#   sh tests/bench/ground.sh [BUILD]     BUILD: a finished build folder (default: build-bench is made)
#   sh tests/bench/ground.sh BUILD 50000 another number of polygons
#   sh tests/bench/ground.sh BUILD growth  50,000 to 800,000 polygons of the same density, ours alone
#
# First it asserts that both sides give the same hits and distances; then it prints medians of three
# runs, by the clock and by the processor (on a busy machine the latter says more), and both command
# lines. Nothing fails on a time. Needs gdal-bin and python3-shapely. Called by run.sh as "hazards".
set -eu
cd "$(dirname "$0")/../.."
root=$(pwd)
build=${1-$root/build-bench}
polygons=${2-200000}
case "$build" in /*) ;; *) build=$root/$build ;; esac
[ $# != 0 ] || cmake -S . -B build-bench -G Ninja -DCMAKE_BUILD_TYPE=Release >/dev/null
cmake --build "$build" --target simpling simpling-ground bench_ground >/dev/null
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-ground.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM
export LC_ALL=C.UTF-8 SIMPLING_TODAY=2027-06-20 SIMPLING_BOOK="$work/book.db"
simpling=$build/bin/simpling
bench=$build/tests/bench_ground
python=/usr/bin/python3
export PYTHONWARNINGS=ignore
quiet() { "$@" >/dev/null 2>&1; }
median() { sort -n | sed -n 2p; }
before=: # done before each run, untimed

# timed COMMAND...: sets wall, processor (s) and peak (MB), medians of three runs, and prints them.
timed() {
    for _ in 1 2 3; do
        $before
        /usr/bin/time -f '%e %U %S %M' "$@" >/dev/null 2>"$work/time" || {
            case $? in 3 | 4) ;; *) cat "$work/time" && exit 1 ;; esac
        }
        tail -n 1 "$work/time" | awk '{ printf "%.2f %.2f %d\n", $1, $2 + $3, $4 / 1024 }'
    done >"$work/times"
    wall=$(cut -d' ' -f1 "$work/times" | median)
    processor=$(cut -d' ' -f2 "$work/times" | median)
    peak=$(cut -d' ' -f3 "$work/times" | median)
    echo "  \$ $*"
    echo "    clock $wall s, processor $processor s, peak $peak MB"
}

# asked COMMAND...: the same for a program that prints "ask A s (processor B s)" itself.
asked() {
    for _ in 1 2 3; do
        "$@" | tee "$work/said" | sed -n 's/.*ask \([0-9.]*\) s (processor \([0-9.]*\) s).*/\1 \2/p'
    done >"$work/times"
    wall=$(cut -d' ' -f1 "$work/times" | median)
    processor=$(cut -d' ' -f2 "$work/times" | median)
    echo "  \$ $*"
    echo "    ask alone: clock $wall s, processor $processor s; $(cat "$work/said")"
}
ratio() { awk -v a="$1" -v b="$2" 'BEGIN { printf "%.2f", a / b }'; }
# hundred: one check a hundred times; sets wall and processor to the means in ms.
hundred() {
    # shellcheck disable=SC2016 # for the inner shell
    /usr/bin/time -f '%e %U %S' -o "$work/time" sh -c 'i=0
        while [ $i -lt 100 ]; do
            "$0" check "place 77" >/dev/null 2>&1
            i=$((i + 1))
        done' "$simpling"
    wall=$(awk '{ printf "%.1f", $1 * 10 }' "$work/time")
    processor=$(awk '{ printf "%.1f", ($2 + $3) * 10 }' "$work/time")
}
fresh_book() {
    rm -f "$work/book.db"
    quiet "$simpling" book init --mark ANN
}
bring_in="--method boom --name-field NAME --date-field SPRAYED"

if [ "$polygons" = growth ]; then
    fresh_book
    quiet "$simpling" site add 'place 77' --at 54.1,-3.2 --accuracy 0
    hundred
    echo "one check in an empty book, mean of 100: clock $wall ms, processor $processor ms"
    for n in 50000 200000 800000; do
        quiet "$bench" make "$n" 10000 "$work"
        before=fresh_book
        # shellcheck disable=SC2086 # options
        timed "$simpling" hazard import "$work/layer.shp" $bring_in
        before=:
        quiet "$simpling" site import "$work/sites.geojson" --accuracy 0
        hundred
        echo "  $n polygons: one check, mean of 100: clock $wall ms, processor $processor ms"
        timed "$simpling" check --all --json
    done
    exit 0
fi

"$bench" make "$polygons" 10000 "$work"
echo
echo "hazard import: read, reprojected, validated, stored, indexed, committed"
before=fresh_book
# shellcheck disable=SC2086 # options
timed "$simpling" hazard import "$work/layer.shp" $bring_in
ours_wall=$wall
ours=$processor
no_layer() { rm -f "$work/layer.gpkg"; }
before=no_layer
timed ogr2ogr -f GPKG -t_srs EPSG:4326 -makevalid "$work/layer.gpkg" "$work/layer.shp"
import="hazard import / ogr2ogr: clock $(ratio "$ours_wall" "$wall"), processor $(ratio "$ours" "$processor")"
before=:
ours=$(sqlite3 "$work/book.db" 'SELECT count(*) FROM hazard')
theirs=$(sqlite3 "$work/layer.gpkg" 'SELECT count(*) FROM layer')
[ "$ours" = "$theirs" ] || { echo "imported $ours and $theirs records" >&2 && exit 1; }

echo
echo "check on a big layer: every polygon within 300 m of 10,000 sites, with its distance"
quiet "$simpling" site import "$work/sites.geojson" --accuracy 0
asked "$bench" ours "$work/book.db" "$work" "$root/data"
ours_wall=$wall
ours=$processor
asked "$bench" geos "$work"
geos="asking / C GEOS: clock $(ratio "$ours_wall" "$wall"), processor $(ratio "$ours" "$processor")"
asked "$python" "$root/tests/bench/ground_side.py" shapely "$work"
shapely="asking / shapely: clock $(ratio "$ours_wall" "$wall"), processor $(ratio "$ours" "$processor")"
"$python" "$root/tests/bench/ground_side.py" compare "$work/geos.csv" "$work/ours.csv"
"$python" "$root/tests/bench/ground_side.py" compare "$work/shapely.csv" "$work/ours.csv"

echo
echo "verdicts of all sites, every reason within 300 m, as JSON; one check"
quiet "$simpling" hazard method boom --ask 300 --why 'as far as the others are asked'
timed "$simpling" check --all --json
timed "$simpling" check 'place 77'
hundred
full_wall=$wall
full=$processor
SIMPLING_BOOK=$work/empty.db
quiet "$simpling" book init --mark ANN
quiet "$simpling" site add 'place 77' --at 54.1,-3.2 --accuracy 0
hundred
echo
echo "$import"
echo "$geos"
echo "$shapely"
echo "one check / the same in a book without hazards, mean of 100: clock $full_wall / $wall ms =" \
    "$(ratio "$full_wall" "$wall"), processor $full / $processor ms = $(ratio "$full" "$processor")"
