#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Two builds of one source, in two folders whose names differ in length, give the same package, byte
# for byte: what somebody else built can be held against what this source says.
#
#   sh tests/install/reproducible.sh SOURCE-FOLDER [FOLDER]
#
# With a FOLDER the two packages stay there. Builds all programs twice: minutes (label long).
set -eu
source=$1
for need in cpack dpkg-deb dpkg-shlibdeps; do
    command -v $need >/dev/null || {
        echo "$need is not installed"
        exit 77
    }
done
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-twice.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM
keep=${2-$work/packages}
mkdir -p "$keep"
# What a cache of objects gives was built in one of the folders only.
export CCACHE_DISABLE=1
unset CMAKE_C_COMPILER_LAUNCHER || :

# make_package FOLDER NAME DAY UMASK BUILD-FOLDER: the package of a copy of the source there, as NAME.deb.
make_package() {
    mkdir -p "$1"
    (cd "$source" && git ls-files -z | xargs -0 tar cf -) | tar xf - -C "$1"
    # As the times of another's checkout would be.
    find "$1" -exec touch -d "$3" {} +
    (umask "$4" && cmake -S "$1" -B "$1/$5" -G Ninja && cmake --build "$1/$5" --target programs &&
        umask 022 && # CPack gives what it packs in (not what is packed) the rights of who calls it
        cd "$1" && cpack --config "$1/$5/CPackConfig.cmake" -B "$1/pack") >"$work/log" 2>&1 || {
        tail -n 30 "$work/log"
        exit 1
    }
    mv "$1"/pack/simpling_*.deb "$keep/$2.deb"
}
make_package "$work/one" one 2026-02-01 022 build
make_package "$work/another/and/a/longer/name" another 2026-03-04 027 made
if cmp -s "$keep/one.deb" "$keep/another.deb"; then
    echo "the same: $(sha256sum "$keep/one.deb" | cut -c 1-64)"
    exit 0
fi
echo "two builds differ:"
for name in one another; do
    dpkg-deb --fsys-tarfile "$keep/$name.deb" | tar tvf - >"$work/$name.list"
    mkdir "$work/$name.content"
    dpkg-deb -R "$keep/$name.deb" "$work/$name.content"
done
diff "$work/one.list" "$work/another.list" | head -n 10 || :
diff -rq "$work/one.content" "$work/another.content" | head -n 20 || :
exit 1
