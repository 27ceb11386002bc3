#!/bin/sh
# SPDX-License-Identifier: MIT
# Plants one defect after the other in core (a sign, a unit, < for <=) and expects each to break the
# test that is named beside it: a test that no defect can break tests nothing.
#
#   sh tests/mutants/test.sh SOURCE-FOLDER BUILD-FOLDER
#
# mutants.txt: file, text as it stands, text with the defect, test; separated by tabs. The text must
# stand in the file once. Objects come before the archives, so the mutant replaces the real one.
# shellcheck disable=SC2086 # the compiler flags are words of their own
set -eu
source=$1
build=$2
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-mutants.XXXXXX")
trap 'rm -rf "$work"' EXIT
glib=$(pkg-config --cflags --libs glib-2.0 cmocka)
flags="-std=c17 -O1 -w -D_POSIX_C_SOURCE=200809L -D_DEFAULT_SOURCE"
paths="-I$source/src -I$source/include -I$source/tests"
tab=$(printf '\t')
killed=0
bad=0

# object TEST: the test's own object, compiled once.
object() {
    [ -f "$work/$1.o" ] || ${CC:-cc} $flags $paths -DSPL_SOURCE_DIR="\"$source\"" \
        -DSPL_BUILD_DIR="\"$build\"" $glib -c "$source/tests/core/test_$1.c" -o "$work/$1.o"
}

# run TEST OBJECT...: links and runs it.
run() {
    name=$1
    shift
    ${CC:-cc} "$work/$name.o" "$@" "$build/libcore.a" "$build/libbase.a" $glib -ljansson \
        -lsmartcols -lnettle -lgeos_c -lm -o "$work/run" || return 2
    "$work/run" >"$work/log" 2>&1
}

while IFS="$tab" read -r file from to test; do
    case $file in '' | \#*) continue ;; esac
    object "$test"
    if [ ! -f "$work/$test.clean" ]; then
        if ! run "$test"; then
            cat "$work/log"
            echo "core.$test fails without any defect" >&2
            exit 1
        fi
        : >"$work/$test.clean"
    fi
    MUTANT_FROM=$from MUTANT_TO=$to perl -0pe '
        BEGIN { $from = $ENV{MUTANT_FROM}; $to = $ENV{MUTANT_TO} }
        $n = s/\Q$from\E/$to/g; END { exit($n == 1 ? 0 : 3) }' \
        "$source/src/core/$file" >"$work/mutant.c" || {
        echo "$file: '$from' does not stand there once" >&2
        bad=1
        continue
    }
    if ! ${CC:-cc} $flags $paths $glib -c "$work/mutant.c" -o "$work/mutant.o"; then
        echo "$file: '$to' does not compile" >&2
        bad=1
        continue
    fi
    if run "$test" "$work/mutant.o"; then
        echo "SURVIVED $file: '$from' -> '$to' (core.$test)" >&2
        bad=1
    else
        killed=$((killed + 1))
        echo "killed $file: '$to' by core.$test"
    fi
done <"$source/tests/mutants/mutants.txt"

echo "$killed defects found by the tests"
[ $bad = 0 ] && [ $killed -ge 10 ]
