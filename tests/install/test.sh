#!/bin/sh
# SPDX-License-Identifier: MIT
#
# `cmake --install` puts everything where a Unix user expects it, and what it puts there works with
# the source and build folders gone: in a mount namespace of its own where one may be made, both are
# hidden; elsewhere a copy of the source is built, installed and renamed.
#
#   sh tests/install/test.sh SOURCE-FOLDER BUILD-FOLDER [deb]
#
# With `deb` what is used is the content of the Debian package that CPack makes; its dependencies
# must be found by apt, its notices must name each of them, and lintian must find no error in it.
set -eu
source=$1
build=$2
kind=${3-}
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-install.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM
prefix=$work/usr

cat >"$work/use.sh" <<'END'
set -eu
prefix=$1 work=$2
for file in bin/simpling share/simpling/data/plants.csv share/simpling/data/materials.csv \
    share/simpling/data/preparations.csv share/simpling/data/hazards.csv \
    share/simpling/schema/check.json share/man/man1/simpling.1 share/man/man7/simpling-manual.7 \
    share/bash-completion/completions/simpling share/zsh/site-functions/_simpling \
    share/applications/simpling.desktop share/icons/hicolor/scalable/apps/simpling.svg \
    share/doc/simpling/LICENSE; do
    # A package compresses pages and has the terms where its kind has them.
    [ -s "$prefix/$file" ] || [ -s "$prefix/$file.gz" ] ||
        { [ "${file##*/}" = LICENSE ] && [ -s "$prefix/share/doc/simpling/copyright" ]; } || { echo "not installed: $file"; exit 1; }
done
ls "$prefix"/share/simpling/calendars/*.ics >/dev/null
xmllint --noout "$prefix/share/icons/hicolor/scalable/apps/simpling.svg"
unset SIMPLING_DATA SIMPLING_BOOK XDG_DATA_HOME XDG_CONFIG_HOME SIMPLING_TODAY || :
export HOME="$work/home" LC_ALL=C.UTF-8
mkdir "$HOME"
cd /
simpling=$prefix/bin/simpling
"$simpling" help >"$work/help.txt"
"$simpling" --version | grep -Eqx 'simpling [0-9]+\.[0-9]+\.[0-9]+'
"$simpling" need nettle/leaf tincture --jar 500mL --json >"$work/need.json"
"$simpling" demo "$work/demo" >"$work/demo.txt"
# What it says at the end can be pasted as it stands, though the program is not in PATH.
sed -n 's/^    //p' "$work/demo.txt" >"$work/lines"
[ "$(wc -l <"$work/lines")" -ge 8 ]
while read -r line; do
    case $line in
    *' desk '*) # serves until it is told to end: its address is said, and it ends well
        XDG_RUNTIME_DIR="$work" timeout -s TERM 5 sh -c "exec $line --no-browser" >"$work/said" 2>&1 </dev/null || :
        grep -q '^http://[0-9a-f]*\.localhost:[0-9]*/?key=' "$work/said" || {
            echo "the demo says: $line"
            cat "$work/said"
            exit 1
        }
        continue
        ;;
    esac
    sh -c "$line" >"$work/said" 2>&1 </dev/null || case $? in
    3 | 4) ;;
    *)
        echo "the demo says: $line"
        cat "$work/said"
        exit 1
        ;;
    esac
done <"$work/lines"
export SIMPLING_BOOK="$work/demo/book.db" SIMPLING_TODAY=2027-06-20
"$simpling" book check
"$simpling" site list
"$simpling" window list --year 2027 --json >"$work/windows.json"
# A drawing comes from a helper program, where this build has it.
if "$simpling" help draw >/dev/null 2>&1; then
    "$simpling" draw season --out "$work/season.pdf"
    [ "$(head -c 5 "$work/season.pdf")" = '%PDF-' ]
fi
mandoc -Tlint -W warning "$prefix"/share/man/man1/simpling.1*
echo used
END

if [ "$kind" = deb ]; then
    command -v dpkg-shlibdeps >/dev/null || {
        echo "dpkg-dev is not installed"
        exit 77
    }
    (cd "$work" && cpack --config "$build/CPackConfig.cmake" -B "$work/pack" >"$work/log" 2>&1) || {
        cat "$work/log"
        exit 1
    }
    dpkg-deb -x "$work"/pack/simpling_*.deb "$work"
    dpkg-deb -f "$work"/pack/simpling_*.deb Depends >"$work/depends"
    grep -q 'libsqlite3-0' "$work/depends" || {
        echo "the package depends on: $(cat "$work/depends")"
        exit 1
    }
    # Every library that it needs has its line in the notices.
    sed 's/([^)]*)//g; s/|[^,]*//g; s/,/\n/g' "$work/depends" | tr -d ' ' | grep -v '^tzdata$' >"$work/needs"
    [ "$(wc -l <"$work/needs")" -gt 15 ]
    while read -r library; do
        grep -q "^ .*\b$library\b.*: " "$work/usr/share/doc/simpling/copyright" || {
            echo "data/debian/copyright says nothing of $library"
            exit 1
        }
    done <"$work/needs"
    if command -v lintian >/dev/null; then
        # -q: what it says of being root is no finding.
        lintian -q --fail-on error "$work"/pack/simpling_*.deb >"$work/log" 2>&1 || {
            cat "$work/log"
            exit 1
        }
    fi
    if [ "$(id -u)" = 0 ]; then
        apt-get -s install "$work"/pack/simpling_*.deb >"$work/log" 2>&1 || {
            cat "$work/log"
            exit 1
        }
    fi
fi
own=
for as in --mount '--map-root-user --mount'; do
    # shellcheck disable=SC2086 # two words
    [ -n "$own" ] || ! unshare $as true 2>/dev/null || own="unshare $as"
done
if [ -n "$own" ]; then
    [ "$kind" = deb ] || cmake --install "$build" --prefix "$prefix" >/dev/null
    $own sh -c '
        mount -t tmpfs none "$1" && { [ ! -d "$2" ] || mount -t tmpfs none "$2"; } &&
        [ ! -e "$1/CMakeLists.txt" ] && [ ! -e "$2/build.ninja" ] && sh "$3/use.sh" "$4" "$3"' \
        sh "$source" "$build" "$work" "$prefix" >"$work/log" 2>&1 || {
        cat "$work/log"
        exit 1
    }
elif [ "$kind" = deb ]; then
    sh "$work/use.sh" "$prefix" "$work" >"$work/log" 2>&1 || {
        cat "$work/log"
        exit 1
    }
else
    (cd "$source" && tar -c --exclude=./.git --exclude='./build*' --exclude=./out .) |
        { mkdir "$work/source" && tar -x -C "$work/source"; }
    { cmake -S "$work/source" -B "$work/build" -G Ninja -DSIMPLING_TESTS=OFF &&
        cmake --build "$work/build" && cmake --install "$work/build" --prefix "$prefix"; } \
        >"$work/log" 2>&1 || {
        cat "$work/log"
        exit 1
    }
    mv "$work/source" "$work/source.gone"
    mv "$work/build" "$work/build.gone"
    sh "$work/use.sh" "$prefix" "$work" >"$work/log" 2>&1 || {
        cat "$work/log"
        exit 1
    }
fi
tail -n 1 "$work/log" | grep -qx used || {
    cat "$work/log"
    exit 1
}
