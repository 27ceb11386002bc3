#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Installing what is missing (tests/packages.sh): another apt's lock is waited for, another failure is
# told at once, and nobody who guesses a file's name can have one written over. apt-get is a stand-in
# here: nothing is installed.
#
#   sh tests/install/packages.sh SOURCE-FOLDER
set -eu
source=$1
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-packages-test.XXXXXX")
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin" "$work/tmp"
printf 'spl-never-there spl-never-there\nsh sh\n# spl-nor-this\n' >"$work/list.txt"
for program in sudo dpkg-query; do
    ln -s /bin/false "$work/bin/$program"
done
printf '#!/bin/sh\necho 0\n' >"$work/bin/id"
# Says what $work/says has for its number of the call, and fails if it has something.
cat >"$work/bin/apt-get" <<END
#!/bin/sh
echo "\$*" >>"$work/calls"
n=\$(wc -l <"$work/calls")
[ -s "$work/says-\$n" ] || exit 0
cat "$work/says-\$n" >&2
exit 100
END
chmod +x "$work/bin/id" "$work/bin/apt-get"

# install: the shell that reads packages.sh, with a link where its number would be guessed.
install() {
    rm -f "$work/calls"
    TMPDIR=$work/tmp PATH=$work/bin:$PATH sh -c '
        ln -s "$2/victim" "$TMPDIR/simpling-packages.$$"
        . "$1/tests/packages.sh" && install_packages "$2/list.txt"' \
        sh "$source" "$work" >"$work/out" 2>"$work/err"
}
fail() {
    echo "$*"
    cat "$work/calls" "$work/out" "$work/err" || :
    exit 1
}

echo precious >"$work/victim"
echo 'E: Could not get lock /var/lib/apt/lists/lock. It is held by process 4711 (apt-get)' >"$work/says-1"
echo 'E: Could not get lock /var/cache/apt/archives/lock. It is held by process 4711 (apt)' >"$work/says-3"
install || fail "a lock that is given back stops the installation"
[ "$(cut -d' ' -f1 "$work/out")" = installing: ] || fail "it is not said what is installed"
[ "$(wc -l <"$work/calls")" = 4 ] || fail "not four calls: each of the two was locked once"
grep -q 'update$' "$work/calls" || fail "no update"
grep -q 'install .*spl-never-there' "$work/calls" || fail "no install"
! grep -q 'spl-nor-this\| sh\b' "$work/calls" || fail "installs what is there, or a comment"
grep -q 'waiting' "$work/err" || fail "nothing is said about waiting"
[ "$(cat "$work/victim")" = precious ] || fail "a file was written over through a guessed name"

rm -f "$work"/says-* "$work"/tmp/*
echo 'E: Unable to locate package spl-never-there' >"$work/says-2"
! install || fail "a failed installation counts as done"
grep -q 'Unable to locate' "$work/err" || fail "the cause is not told"
[ "$(wc -l <"$work/calls")" = 2 ] || fail "tried again in vain"
rm -f "$work"/tmp/simpling-packages.[0-9]*
[ -z "$(ls "$work/tmp")" ] || fail "left behind: $(ls "$work/tmp")"
