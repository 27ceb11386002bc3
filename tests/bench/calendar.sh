#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Calendars by the hundred thousand, beside libical alone. Called by run.sh.
#
#   calendar.sh SIMPLING TESTS FOLDER     TESTS: where the bench programs are; FOLDER: to work in
#
# Writing is the whole command: it reads the book, reckons every entry, records each and writes the
# file; the first time all are new, the second time none has changed. Beside it libical makes and
# serialises the very same components, one at a time, to a file; reading them is not in its time.
# "bare" is its serialising alone, of components that are there. Reading is our reader and the whole
# command beside libical's own parse of the file in one string. Both sides are asserted to have the
# same entries first. Times are seconds of processor time, medians; memory is the peak. Where a row
# has four times as much, "growth" is by how much the time grew for each entry.
set -eu
simpling=$1
tests=$2
cd "$3"
export LC_ALL=C.UTF-8 SIMPLING_TODAY=2027-06-20
table() { printf '%-38s %8s %8s %7s %7s %8s %9s\n' "$@"; }

# cost RUNS BEFORE COMMAND -> $cpu $peak
cost() {
    "$tests/bench_cost" "$1" "$2" "$3" >cost.txt
    read -r _ cpu peak <cost.txt
}
uids() { grep -a '^UID:' "$1" | sort | sha256sum; }
ratio() { awk "BEGIN { printf \"%.2f\", $1 / $2 }"; }
# libical TASK FILE... -> $their_cpu $their_peak $count
libical() {
    "$tests/bench_ical" "$@" >cost.txt
    read -r _ count _ _ _ their_cpu _ their_peak _ <cost.txt
}

table 'calendars' 'ours s' 'theirs s' ratio growth 'ours MB' 'theirs MB'
for batches in 20000 80000; do
    rm -f first.ics book.db
    "$tests/bench_big_calendar" book-new.db 100 $batches
    runs=3
    [ $batches = 20000 ] || runs=1
    cost $runs 'sh -c "cp book-new.db book.db; rm -f first.ics"' "$simpling calendar write --book book.db --out first.ics"
    first=$cpu first_peak=$peak
    cost $runs '' "$simpling calendar write --book book.db --out first.ics"
    second=$cpu second_peak=$peak
    libical again first.ics again.ics
    bare=$their_cpu
    libical make-again first.ics again.ics
    [ "$count" = "$(grep -ac '^BEGIN:VEVENT' first.ics)" ] && [ "$(uids first.ics)" = "$(uids again.ics)" ] || {
        echo "calendar write: the components differ" >&2
        exit 1
    }
    growth_first=- growth_second=-
    [ $batches = 20000 ] || {
        growth_first=$(ratio "$first / 4" "$small_first")
        growth_second=$(ratio "$second / 4" "$small_second")
    }
    small_first=$first small_second=$second
    table "write, first, $count events" "$first" "$their_cpu" "$(ratio "$first" "$their_cpu")" $growth_first "$first_peak" "$their_peak"
    table "write, nothing changed" "$second" "$their_cpu" "$(ratio "$second" "$their_cpu")" $growth_second "$second_peak" "$their_peak"
    table "write, first, beside bare serialising" "$first" "$bare" "$(ratio "$first" "$bare")" - "$first_peak" "$their_peak"
    if [ $batches = 20000 ]; then
        cost $runs '' "$tests/bench_ical read-libical first.ics"
        their_cpu=$cpu their_peak=$peak
        cost $runs '' "$simpling calendar read --book book.db first.ics"
        table 'read back, nothing changed' "$cpu" "$their_cpu" "$(ratio "$cpu" "$their_cpu")" - "$peak" "$their_peak"
    fi
    rm -f book-new.db again.ics
done
rm -f first.ics book.db

"$simpling" book init --mark ANN --book book.db >/dev/null 2>&1
"$tests/bench_ical" write 115000 other.ics >/dev/null
size=$(($(wc -c <other.ics) / 1000000))
ours=$("$tests/bench_ical" read other.ics | awk '{ print $2 }')
libical read-libical other.ics
[ "$ours" = "$count" ] || {
    echo "calendar read: the components differ: $ours and $count" >&2
    exit 1
}
cost 3 '' "$tests/bench_ical read-libical other.ics"
their_cpu=$cpu their_peak=$peak
cost 3 '' "$tests/bench_ical read other.ics"
table "read, $count events, $size MB" "$cpu" "$their_cpu" "$(ratio "$cpu" "$their_cpu")" - "$peak" "$their_peak"
cost 3 '' "$simpling calendar read other.ics --book book.db"
table "read, the whole command" "$cpu" "$their_cpu" "$(ratio "$cpu" "$their_cpu")" - "$peak" "$their_peak"
