#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Books that cannot be written, or are none: one line on stderr that names the book, the right exit
# status, the file unchanged. Read-only file and folder (as nobody: root ignores modes), a full disk,
# a locked book, no home, and files that are not books.
#
#   sh tests/fault/disk.sh PROGRAM
set -eu
program=$(readlink -f "$1")
unset SIMPLING_DATA
export SIMPLING_TODAY=2027-05-04 LC_ALL=C.UTF-8
unset SIMPLING_BOOK XDG_DATA_HOME XDG_CONFIG_HOME
export HOME=/nonexistent

work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-disk.XXXXXX")
disk=
finish() {
    [ -z "$disk" ] || umount "$disk"
    chmod -R u+w "$work"
    rm -rf "$work"
}
trap finish EXIT
trap 'exit 130' INT TERM
chmod 755 "$work"
failed=0
complain() {
    echo "$*"
    failed=1
}

# As somebody whom modes bind.
if [ "$(id -u)" = 0 ]; then
    nobody() { setpriv --reuid=65534 --regid=65534 --clear-groups "$@"; }
    own() { chown -R 65534:65534 "$@"; }
else
    nobody() { "$@"; }
    own() { :; }
fi

made() { # made BOOK: a book with one site
    nobody "$program" --book "$1" book init --mark ANN >/dev/null 2>&1
    nobody "$program" --book "$1" site add 'Fell Side' --at 54.81,-2.41 >/dev/null 2>&1
}

# refused WHAT STATUS WORDS BOOK COMMAND...: the command fails with this status and one line that
# has the words in it, and the book stays as it was.
refused() {
    what=$1 wanted=$2 words=$3 target=$4
    shift 4
    before=$(cat "$target" 2>/dev/null | sha256sum)
    status=0
    nobody "$@" >"$work/out" 2>"$work/err" </dev/null || status=$?
    grep -v '^simpling: today is ' "$work/err" >"$work/said" || :
    [ $status = "$wanted" ] || complain "$what: status $status, not $wanted: $(cat "$work/err")"
    # Below the line may stand what would settle it.
    [ "$(grep -vc '^next: \|^  simpling ' "$work/said")" = 1 ] ||
        complain "$what: not one line: $(cat "$work/said")"
    grep -q -- "$words" "$work/said" || complain "$what: '$(cat "$work/said")' does not say '$words'"
    [ "$before" = "$(cat "$target" 2>/dev/null | sha256sum)" ] || complain "$what: the book changed"
}

note() { # note BOOK: a writing command
    set -- "$program" --book "$1" spray note 'Fell Side' --kind unsprayed --on 2027-04-20 \
        --source 'the farmer'
    "$@"
}

mkdir "$work/a"
own "$work/a"
book=$work/a/book.db
made "$book"
write_words() { # the writing command as words for refused
    refused "$1" "$2" "$3" "$4" "$program" --book "$4" spray note 'Fell Side' --kind unsprayed \
        --on 2027-04-20 --source 'the farmer'
}

chmod 444 "$book"
write_words 'a read-only file' 1 "$book" "$book"
nobody "$program" --book "$book" site list >/dev/null 2>&1 || complain 'a read-only file cannot be read'
chmod 644 "$book"
chmod 555 "$work/a"
write_words 'a read-only folder' 1 "$book" "$book"
nobody "$program" --book "$book" site list >/dev/null 2>&1 || complain 'a read-only folder cannot be read'
chmod 755 "$work/a"

refused 'a new book where no folder can be made' 1 "$work/none" "$work/none/book.db" \
    "$program" --book "$work/none/book.db" book init --mark ANN
refused 'a folder as book' 1 "$work/a" "$work/a" "$program" --book "$work/a" site list
refused 'no such book' 1 'there is no book' "$work/a/other.db" "$program" --book "$work/a/other.db" site list
unset HOME
refused 'no home' 1 '--book' "$work/a/other.db" "$program" site list
refused 'no home for a new book' 1 'another place for the book' "$work/a/other.db" "$program" book init --mark ANN
export HOME=/nonexistent

echo 'Dear diary' >"$work/a/text"
refused 'a text as book' 1 "$work/a/text" "$work/a/text" "$program" --book "$work/a/text" site list
sqlite3 "$work/a/foreign.db" 'CREATE TABLE site(name)'
own "$work/a/foreign.db"
refused 'a foreign database' 1 "$work/a/foreign.db" "$work/a/foreign.db" \
    "$program" --book "$work/a/foreign.db" site list
refused 'a foreign database, written' 1 "$work/a/foreign.db" "$work/a/foreign.db" \
    "$program" --book "$work/a/foreign.db" site add 'Fell' --at 54.8,-2.4
cp "$book" "$work/a/newer.db"
sqlite3 "$work/a/newer.db" 'PRAGMA user_version = 9999'
own "$work/a/newer.db"
refused 'a newer book' 1 "newer" "$work/a/newer.db" "$program" --book "$work/a/newer.db" site list
head -c 6000 "$book" >"$work/a/short.db"
own "$work/a/short.db"
refused 'a truncated book' 1 "$work/a/short.db" "$work/a/short.db" \
    "$program" --book "$work/a/short.db" site list
{ head -c 100 "$book" && head -c 20000 /dev/zero | tr '\0' 'x'; } >"$work/a/junk.db"
own "$work/a/junk.db"
refused 'a damaged book' 1 "$work/a/junk.db" "$work/a/junk.db" \
    "$program" --book "$work/a/junk.db" site list

# Another process holds the book for longer than the ten seconds that we wait.
mkfifo "$work/hold"
sqlite3 "$book" <"$work/hold" >/dev/null &
holder=$!
exec 9>"$work/hold"
printf 'BEGIN EXCLUSIVE; SELECT 1;\n' >&9
sleep 1
write_words 'a locked book' 1 'another' "$book"
exec 9>&-
wait $holder
note "$book" >"$work/err" 2>&1 || complain "a book once locked stays so: $(cat "$work/err")"

# A full disk: a small memory file system where root may mount one, else a limit on file sizes.
mkdir "$work/small"
if [ "$(id -u)" = 0 ] && mount -t tmpfs -o size=1m tmpfs "$work/small" 2>/dev/null; then
    disk=$work/small
    own "$disk"
    made "$disk/book.db"
    dd if=/dev/zero of="$disk/ballast" bs=1k 2>/dev/null || :
    write_words 'a full disk' 1 'full' "$disk/book.db"
    rm "$disk/ballast"
    note "$disk/book.db" >/dev/null 2>&1 || complain 'a disk with room again is not written'
else
    made "$work/small/book.db"
    trap '' XFSZ
    (
        ulimit -f 1
        note "$work/small/book.db"
    ) >/dev/null 2>"$work/err" && complain 'a file at its limit was written'
    grep -q "$work/small/book.db" "$work/err" || complain "a full disk: $(cat "$work/err")"
fi
nobody "$program" --book "$book" book check >/dev/null 2>&1 || complain 'the book is damaged afterwards'
exit $failed
