#!/bin/sh
# SPDX-License-Identifier: MIT
#
# One table: how long simpling takes, beside what one would use instead, on the same work in the same
# run; the ratio; how our time grows with ten times as much.
#
#   sh tests/bench/run.sh [--keep] [PATTERN]     PATTERN: only the rows whose name matches
#
# With --keep the rows are appended to tests/bench/history, one line each: day, commit, machine, row,
# ours in ms, ratio, growth. Ratios of different machines may be compared, milliseconds may not.
#
# Each row first asserts that both sides give the same answer. Times are medians of wall time in
# milliseconds of whole processes unless the row says otherwise. Both command lines are printed below
# the table. Nothing fails on a time. What is missing is installed by apt.
set -eu
cd "$(dirname "$0")/../.."
root=$(pwd)
keep=
[ "${1-}" != --keep ] || {
    keep=yes
    shift
}
pattern=${1-.}
# shellcheck source=tests/packages.sh
. "$root/tests/packages.sh"
install_packages tests/packages.txt tests/packages-tests.txt tests/packages-slow.txt \
    tests/packages-bench.txt || exit 1
export LC_ALL=C.UTF-8 SIMPLING_TODAY=2027-06-20
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-bench.XXXXXX")
at=start
leave() {
    status=$?
    rm -rf "$work"
    [ $status = 0 ] || echo "stopped at: $at" >&2
}
trap leave EXIT
trap 'exit 130' INT TERM

# do_or_say WHAT COMMAND...: shows the output only when the command fails, and ends with it.
do_or_say() {
    what=$1
    shift
    "$@" >"$work/said" 2>&1 || {
        tail -n 30 "$work/said" >&2
        echo "$what: failed" >&2
        exit 1
    }
}
do_or_say configuring cmake -S . -B build-bench -G Ninja -DCMAKE_BUILD_TYPE=Release -DSIMPLING_TESTS=ON
do_or_say building cmake --build build-bench --target programs benches
simpling=$root/build-bench/bin/simpling
tests=$root/build-bench/tests
cd "$work"
: >lines
: >rows

differ() {
    echo "$1: the answers differ: '$2' and '$3'" >&2
    exit 1
}

# side ARGUMENT...: the medians of two command lines, or the reason why not.
side() {
    "$tests/bench_side" "$@" 2>"$work/said" || {
        tail -n 5 "$work/said" >&2
        exit 1
    }
}

# row NAME RUNS OURS THEIRS OURS-TEN-TIMES: a line of the table; '' leaves a column out.
row() {
    ours=$(side "$2" "$3" "$4")
    large=
    [ -z "$5" ] || large=$(side "$2" "$5" '')
    echo "$1;$ours;$large" | awk -F';' '{
        split($2, t, " "); split($3, l, " ")
        theirs = "-"; ratio = "-"; growth = "-"
        if (t[2] + 0 > 0) { theirs = sprintf("%.2f", t[2]); ratio = sprintf("%.2f", t[1] / t[2]) }
        if (l[1] + 0 > 0) growth = sprintf("%.2f", l[1] / t[1])
        printf "%-34s %9.2f %10s %7s %8s\n", $1, t[1], theirs, ratio, growth
        printf "%s;%.2f;%s;%s\n", $1, t[1], ratio, growth >"rows.new"
    }'
    cat rows.new >>rows
    printf '%s\n  ours:   %s\n  theirs: %s\n' "$1" "$3" "${4:-none}" >>lines
}
# wanted NAME: is this section's name, or a part of it, asked for?
wanted() {
    at=$1
    printf '%s' "$1" | grep -q -- "$pattern"
}

do_or_say 'the demo' "$simpling" demo "$work/demo"
demo=$work/demo/book.db
"$tests/bench_big_book" small.db 1000 10000
"$tests/bench_big_book" large.db 10000 100000

printf '%-34s %9s %10s %7s %8s\n' row 'ours ms' 'theirs ms' ratio '10x as much'

wanted start-up && row start-up 100 "$simpling help" 'sqlite3 -version' ''

if wanted check; then
    ours=$("$simpling" site list --json --book "$demo" 2>/dev/null | grep -o '"name": *"[^"]*"' | head -n 1)
    theirs=$(sqlite3 "$demo" 'SELECT name FROM site ORDER BY name LIMIT 1')
    case "$ours" in *"\"$theirs\"") ;; *) differ check "$ours" "$theirs" ;; esac
    row 'check, demo book' 100 "$simpling check 'Low Croft' --book $demo" \
        "sqlite3 $demo 'SELECT name FROM site LIMIT 1'" ''
    row 'check, 10,000 harvests' 50 "$simpling check 'Place 5' --book small.db" \
        "sqlite3 small.db 'SELECT name FROM site LIMIT 1'" "$simpling check 'Place 5' --book large.db"
fi

if wanted 'harvest list'; then
    ours=$("$simpling" harvest list --json --book small.db 2>/dev/null | grep -c '"code"')
    theirs=$(sqlite3 small.db 'SELECT count(*) FROM harvest')
    [ "$ours" = "$theirs" ] || differ 'harvest list' "$ours" "$theirs"
    row 'harvest list, all 10,000' 5 "$simpling harvest list --json --book small.db" \
        "sqlite3 -json small.db 'SELECT h.*, t.kind, t.year, t.number, s.name FROM harvest h JOIN thing t USING (id) JOIN site s ON s.id = h.site_id ORDER BY day'" \
        "$simpling harvest list --json --book large.db"
    row 'harvest list, one site' 50 "$simpling harvest list --site 'Place 5' --json --book small.db" \
        "sqlite3 -json small.db 'SELECT * FROM harvest WHERE site_id = 6'" \
        "$simpling harvest list --site 'Place 5' --json --book large.db"
fi

if wanted 'harvest add'; then
    cp small.db raw.db
    insert="sqlite3 raw.db 'PRAGMA synchronous = EXTRA; PRAGMA foreign_keys = ON; BEGIN IMMEDIATE; INSERT INTO thing (uuid, kind, mark, year, number, at) VALUES (lower(hex(randomblob(16))), \"H\", \"BIG\", 2027, 50000 + @, 1); INSERT INTO harvest (id, site_id, material, stage, day, weight_g, verdict, reasons) VALUES (last_insert_rowid(), 6, \"nettle/leaf\", 41, 20990, 100, \"clear\", \"[]\"); COMMIT'"
    row 'harvest add, one' 30 \
        "$simpling harvest add 'Place 5' nettle/leaf --weight 100g --stage 41 --by Ann --book small.db" \
        "$insert" \
        "$simpling harvest add 'Place 5' nettle/leaf --weight 100g --stage 41 --by Ann --book large.db"
    before=$(sqlite3 small.db 'SELECT count(*) FROM harvest')
    after=$(sqlite3 raw.db 'SELECT count(*) FROM harvest')
    [ "$before" = "$after" ] || differ 'harvest add' "$before" "$after"
fi

# One file a table, as CSV. The other side's tables are bare: no types, keys, rules or box index.
if wanted 'harvests from CSV'; then
    cat >load.sh <<'END'
set -eu
rm -f "$2"
{
    echo 'PRAGMA synchronous = FULL; BEGIN;'
    for file in "$1"/*.csv; do
        name=${file##*/}
        echo ".import --csv $file ${name%.csv}"
    done
    echo 'COMMIT;'
} | sqlite3 "$2"
END
    for size in small large; do
        "$simpling" book export "csv-$size" --book "$size.db" >/dev/null 2>&1
    done
    "$simpling" book import csv-small --book ours.db >/dev/null 2>&1
    sh load.sh csv-small theirs.db
    sums='SELECT count(*), total(weight_g), min(day), max(day) FROM harvest'
    ours=$(sqlite3 ours.db "$sums")
    theirs=$(sqlite3 theirs.db "$sums")
    [ "$ours" = "$theirs" ] || differ 'harvests from CSV' "$ours" "$theirs"
    row 'harvests from CSV, 10,000' 5 "$simpling book import csv-small --book new-@.db" \
        'sh load.sh csv-small theirs.db' "$simpling book import csv-large --book new-large-@.db"
    rm -f new-*.db
fi

if wanted need; then
    cat >model.py <<'END'
import importlib.util, sys
spec = importlib.util.spec_from_file_location("model", sys.argv[1])
model = importlib.util.module_from_spec(spec)
sys.stdout, out = open("/dev/null", "w"), sys.stdout
spec.loader.exec_module(model)
final, pool = model.spirit(87.0, 5.0, 0.85, 0.40, 1.25)
out.write("%.1f %.0f\n" % (final * 100, pool))
END
    ours=$("$simpling" need dandelion/flower tincture --herb 87g --ratio 1:5 --strength 40% \
        --moisture 85% --press hand --json 2>/dev/null |
        sed -n 's/.*"final_abv": *\([0-9.]*\).*/\1/p; s/.*"yield_ml": *\([0-9.]*\).*/\1/p' |
        tr '\n' ' ' | awk '{ a = $1; b = $2; if (a > b) { c = a; a = b; b = c } printf "%.1f %.0f", a, b }')
    theirs=$(/usr/bin/python3 model.py "$root/tests/outside/batch_model.py")
    [ "$ours" = "$theirs" ] || differ need "$ours" "$theirs"
    row 'need, one tincture' 50 \
        "$simpling need dandelion/flower tincture --herb 87g --ratio 1:5 --strength 40% --moisture 85% --press hand" \
        "/usr/bin/python3 model.py $root/tests/outside/batch_model.py" ''
fi

if wanted calendar; then
    "$tests/bench_ical" write 10000 ours.ics >/dev/null
    "$tests/bench_ical" write-libical 10000 theirs.ics >/dev/null
    "$tests/bench_ical" write 100000 many.ics >/dev/null
    [ "$(grep -c '^BEGIN:VEVENT' ours.ics)" = "$(grep -c '^BEGIN:VEVENT' theirs.ics)" ] ||
        differ 'calendar write' ours theirs
    row 'calendar write, 10,000 events' 5 "$tests/bench_ical write 10000 ours.ics" \
        "$tests/bench_ical write-libical 10000 theirs.ics" "$tests/bench_ical write 100000 many.ics"
    row 'calendar read, 10,000 events' 5 "$tests/bench_ical read ours.ics" \
        "$tests/bench_ical read-libical ours.ics" "$tests/bench_ical read many.ics"
    if /usr/bin/python3 -c 'import icalendar' 2>/dev/null; then
        row 'calendar read, beside icalendar' 3 "$tests/bench_ical read ours.ics" \
            "/usr/bin/python3 -c 'import icalendar; assert len(icalendar.Calendar.from_ical(open(\"ours.ics\",\"rb\").read()).walk(\"VEVENT\")) == 10000'" ''
    fi
fi

# At the almanac's own place, where no window is moved.
if wanted 'window list'; then
    for places in 20 200; do
        "$simpling" book init --mark ANN --book "place-$places.db" >/dev/null 2>&1
        i=0
        while [ $i -lt $places ]; do
            i=$((i + 1))
            "$simpling" site add "Ground $i" --at 54.5,-2.5 --elevation 100 --book "place-$places.db" >/dev/null 2>&1
        done
    done
    cat >lines.py <<'END'
import json, sys
for w in json.load(sys.stdin):
    print(w["material"], w["use"], w["flush"], w["likely_start"], w["likely_end"])
END
    "$simpling" window list --json --book place-20.db 2>/dev/null | /usr/bin/python3 lines.py | sort >ours.txt
    /usr/bin/python3 "$root/tests/bench/windows.py" "$root/calendars/britain.ics" 2027 20 | sort >theirs.txt
    cmp -s ours.txt theirs.txt || differ 'window list' "$(head -n 1 ours.txt)" "$(head -n 1 theirs.txt)"
    row 'window list, 20 places' 10 "$simpling window list --json --book place-20.db" \
        "/usr/bin/python3 $root/tests/bench/windows.py $root/calendars/britain.ics 2027 20" \
        "$simpling window list --json --book place-200.db"
fi

# Forward from a harvest to the bottles, mixed six deep.
if wanted trace; then
    sed 's/100001/10001/g; s/0000\([^0-9.]\)/000\1/g; s/10000\.0/1000.0/g' "$root/tests/season/trace_large.sql" >mixed-small.sql
    cp "$root/tests/season/trace_large.sql" mixed-large.sql
    for size in small large; do
        "$simpling" book init --mark ANN --book "mixed-$size.db" >/dev/null 2>&1
        { echo 'BEGIN;' && cat "mixed-$size.sql" && echo 'COMMIT;'; } | sqlite3 "mixed-$size.db"
    done
    down="WITH RECURSIVE down (id) AS (SELECT id FROM thing WHERE kind = 'H' AND year = 2026 AND number = 501
        UNION SELECT taker_id FROM draw JOIN down ON source_id = down.id)
        SELECT t.kind || '27-' || printf('%03d', t.number) AS code, l.* FROM down JOIN thing t USING (id)
        JOIN lot l USING (id) ORDER BY code"
    echo "$down" >down.sql
    "$simpling" trace H26-501 --json --book mixed-small.db 2>/dev/null | grep -o '"code": *"L[^"]*"' |
        grep -o 'L27-[0-9]*' | sort -u >ours.txt
    sqlite3 mixed-small.db "$down" | cut -d '|' -f 1 | sort -u >theirs.txt
    { [ -s ours.txt ] && cmp -s ours.txt theirs.txt; } || differ trace "$(head -n 1 ours.txt)" "$(head -n 1 theirs.txt)"
    row 'trace, 10,000 harvests' 50 "$simpling trace H26-501 --json --book mixed-small.db" \
        "sqlite3 -json mixed-small.db '.read down.sql'" "$simpling trace H26-501 --json --book mixed-large.db"
fi

# A small season to its proven optimum; the other side has the model ready made.
if wanted plan; then
    "$tests/bench_outings" 6 5 60 1 60 lp season.lp proven >plan.txt
    ours=$(sed -n 's/^plan: .*cost \([0-9.]*\) h.*gap 0.0 %.*/\1/p' plan.txt)
    theirs=$(cbc season.lp solve quit | awk '/^Objective value:/ { printf "%.3f", $3 }')
    [ "$ours" = "$theirs" ] || differ plan "$ours" "$theirs"
    row 'plan, 6 places, 5 materials, 60 days' 5 "$tests/bench_outings 6 5 60 1 60 proven" 'cbc season.lp solve quit' ''
fi

if wanted 'hazard import'; then
    for size in 20000 200000; do
        mkdir -p "ground-$size"
        "$tests/bench_ground" make $size 100 "ground-$size" >/dev/null
    done
    "$simpling" book init --mark ANN --book ground.db >/dev/null 2>&1
    import="--method boom --name-field NAME --date-field SPRAYED --book ground.db"
    geopackage='ogr2ogr -f GPKG -overwrite -t_srs EPSG:4326 -makevalid ground.gpkg ground-20000/layer.shp'
    # shellcheck disable=SC2086 # several words
    "$simpling" hazard import ground-20000/layer.shp $import >/dev/null 2>&1
    $geopackage
    ours=$(sqlite3 ground.db 'SELECT count(*) FROM hazard')
    theirs=$(sqlite3 ground.gpkg 'SELECT count(*) FROM layer')
    [ "$ours" = "$theirs" ] || differ 'hazard import' "$ours" "$theirs"
    row 'hazard import, 20,000 polygons' 3 "$simpling hazard import ground-20000/layer.shp $import" \
        "$geopackage" "$simpling hazard import ground-200000/layer.shp $import"
fi
# The other side draws the SVG that ours wrote: the same picture, from its description to pixels.
if wanted pictures; then
    for sheet in season map; do
        "$tests/bench_picture" "$sheet" svg "$sheet.svg"
        rsvg-convert --unlimited -o "$sheet.png" "$sheet.svg"
    done
    row 'pictures: almanac page, 200 lines' 5 "$tests/bench_picture season svg season.svg" \
        'rsvg-convert --unlimited -o season.png season.svg' ''
    row 'pictures: map, 500 places, 20,000 hazards' 5 "$tests/bench_picture map svg map.svg" \
        'rsvg-convert --unlimited -o map.png map.svg' ''
fi
echo
cat lines
if [ -n "$keep" ]; then
    # A tree that is no commit's is marked with a plus.
    commit=$(git -C "$root" rev-parse --short=10 HEAD)$(git -C "$root" diff --quiet HEAD || echo +)
    machine=$(sed -n 's/^model name[^:]*: *//p' /proc/cpuinfo | head -n 1 | tr ';' ' ')
    sed "s|^|$(date +%F);$commit;$(nproc) x $machine;|" rows >>"$root/tests/bench/history"
fi

# At the scale of a region, each with a table of its own.
if wanted calendars; then
    echo
    sh "$root/tests/bench/calendar.sh" "$simpling" "$tests" "$work"
fi
if wanted hazards; then
    echo
    sh "$root/tests/bench/ground.sh" "$root/build-bench"
fi
