#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Every program is built hardened, as CMakeLists.txt asks: position independent, with guarded stacks
# and checked buffers, all addresses bound at the start and then read-only. A program that is not is
# found.
#
#   sh tests/install/hardening.sh PROGRAM... -- ARCHIVE...
#
# Control flow is looked at in the objects of the rooms (ARCHIVE): a program counts as protected only
# if the C library's own start code is, and that of Debian 12 is not.
set -eu
for tool in hardening-check readelf; do
    command -v $tool >/dev/null || {
        echo "$tool is not installed"
        exit 77
    }
done
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-hardening.XXXXXX")
trap 'rm -rf "$work"' EXIT

# What is planted writes to a buffer, so that there is something to guard.
cat >"$work/planted.c" <<'END'
#include <stdio.h>
#include <string.h>
int main(int argc, char **argv)
{
    char buffer[20];
    (void)argc;
    strcpy(buffer, argv[0]);
    return puts(buffer);
}
END
# refused FLAG...: the planted program, hardened but for these last flags, must be found out.
refused() {
    cc -w -O2 -fPIE -fstack-protector-strong -D_FORTIFY_SOURCE=3 -pie -Wl,-z,relro,-z,now "$@" \
        -o "$work/planted" "$work/planted.c"
    ! hardening-check --nocfprotection --quiet "$work/planted" >/dev/null 2>&1 || {
        echo "hardening-check does not find what is missing with $*"
        exit 1
    }
}
refused -fno-pie -no-pie
refused -fno-stack-protector
refused -U_FORTIFY_SOURCE
refused -Wl,-z,norelro
refused -Wl,-z,lazy

programs=0
while [ "$1" != -- ]; do
    hardening-check --nocfprotection --quiet "$1" >"$work/said" 2>&1 || {
        cat "$work/said"
        exit 1
    }
    programs=$((programs + 1))
    shift
done
shift
[ $programs -gt 1 ] && [ $# -gt 0 ]
case $(uname -m) in
x86_64)
    for archive; do
        readelf -n "$archive" >"$work/notes" 2>/dev/null
        objects=$(ar t "$archive" | grep -c '\.o$')
        guarded=$(grep -c 'x86 feature: IBT, SHSTK' "$work/notes" || :)
        [ "$objects" = "$guarded" ] || {
            echo "$archive: $guarded of $objects objects protect the control flow"
            exit 1
        }
    done
    ;;
esac
echo "$programs programs are hardened"
