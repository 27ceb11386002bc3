# shellcheck shell=sh
# SPDX-License-Identifier: MIT
#
# What the scripts of the fuzzers share; read in the project's folder.

# fuzz_build TARGET: builds it for libFuzzer in build-fuzz, which unpacks its archive too.
fuzz_build() {
    # Only once: CMake forgets the other options when it is told the compiler a second time.
    [ -e build-fuzz/build.ninja ] ||
        cmake -S . -B build-fuzz -G Ninja -DCMAKE_C_COMPILER=clang -DCMAKE_C_FLAGS=-w \
            -DSIMPLING_TESTS=ON -DSIMPLING_FUZZ=ON -DSIMPLING_SANITIZE=ON >/dev/null
    cmake --build build-fuzz --target "fuzz_$1" >/dev/null
    # What libraries lose by themselves is known by its frames. GEOS and PROJ take theirs through
    # C++'s own `new`, behind which the fast unwinder sees no more; ours never does.
    { cat tests/lsan.supp && echo 'leak:libstdc++'; } >build-fuzz/lsan.supp
    LSAN_OPTIONS=suppressions=$(pwd)/build-fuzz/lsan.supp:print_suppressions=0
    export LSAN_OPTIONS
}

# fuzz_folders TARGET ROOT: the folders of inputs that the target begins with, seen from where ROOT is
# the project's folder.
fuzz_folders() {
    for folder in "build-fuzz/tests/corpus/$1/seeds" "build-fuzz/tests/corpus/$1/kept"; do
        [ ! -d "$2/$folder" ] || echo "$2/$folder"
    done
    [ "$1" != photo ] || echo "$2/build-fuzz/tests/photo_seeds"
    [ "$1" != ical ] || echo "$2/tests/data/ical" "$2/calendars"
}
