#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Big seasons: a million harvests at 10,000 places pass the book's check, are all listed, and come back
# from an export as they were; seasons larger than any herbalist's are planned to the end.
#
#   sh tests/season/big.sh PROGRAM BENCHES      BENCHES: the folder of bench_big_book, bench_outings
set -eu
simpling=$1
benches=$2
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-big.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM
export LC_ALL=C.UTF-8 SIMPLING_TODAY=2027-06-20 XDG_CONFIG_HOME="$work"
harvests=1000000

"$benches/bench_big_book" "$work/big.db" 10000 $harvests
"$simpling" book check --book "$work/big.db"
listed=$("$simpling" harvest list --json --book "$work/big.db" | grep -c '"code"')
[ "$listed" = $harvests ] || {
    echo "$listed of $harvests harvests are listed"
    exit 1
}
"$simpling" book export "$work/csv" --book "$work/big.db" >/dev/null
"$simpling" book import "$work/csv" --book "$work/back.db" >/dev/null
sums='SELECT count(*), total(weight_g), min(day), max(day), count(DISTINCT site_id) FROM harvest'
there=$(sqlite3 "$work/big.db" "$sums")
back=$(sqlite3 "$work/back.db" "$sums")
[ "$there" = "$back" ] || {
    echo "exported $there, imported $back"
    exit 1
}
"$simpling" book check --book "$work/back.db"

# SITES MATERIALS DAYS SEED SECONDS: a plan is found, and its bound does not pass its cost.
for season in '40 12 120 1 300' '80 20 180 2 300' '160 30 210 3 300'; do
    # shellcheck disable=SC2086 # numbers
    "$benches/bench_outings" $season >"$work/plan"
    sed -n 's/^plan: .*cost \([0-9.]*\) h, bound \([0-9.]*\) h.*outings \([0-9]*\) .*/\1 \2 \3/p' "$work/plan" |
        awk -v season="$season" '{ n++; print season ": cost " $1 " h, bound " $2 " h, " $3 " outings"
            bad = $2 > $1 + 0.001 || $3 < 1 } END { exit(n != 1 || bad) }' || {
        cat "$work/plan"
        echo "no plan for $season"
        exit 1
    }
done
