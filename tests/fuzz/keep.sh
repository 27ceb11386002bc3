#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Makes a target's archive anew: its seeds, and of all that fuzzing has found the least that still
# reaches the same code. The same inputs give the same bytes.
#
#   sh tests/fuzz/keep.sh TARGET [SEED...]      SEED: a file that joins the seeds
#
# tests/fuzz/corpus/TARGET.tar.gz: seeds/ are made by hand or broke something once, and are tried with
# changes; kept/ are the fuzzer's.
set -eu
[ $# -ge 1 ] || {
    echo "usage: sh tests/fuzz/keep.sh TARGET [SEED...]" >&2
    exit 2
}
here=$(pwd)
cd "$(dirname "$0")/../.."
# shellcheck source=tests/fuzz/common.sh
. tests/fuzz/common.sh
target=$1
shift
fuzz_build "$target"
archive=tests/fuzz/corpus/$target.tar.gz
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-corpus.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM
mkdir -p "$work/out/seeds" "$work/out/kept" "$work/all" "build-fuzz/corpus/$target"
[ ! -e $archive ] || tar -C "$work/out" -xf $archive
for seed; do
    case $seed in /*) ;; *) seed=$here/$seed ;; esac
    cp "$seed" "$work/out/seeds/"
done

# Merged into what is there anyway, so that only what adds to it is kept.
n=0
for folder in "$work/out/seeds" $(fuzz_folders "$target" . | tr ' ' '\n' | grep -v /kept$); do
    for file in "$folder"/*; do
        n=$((n + 1))
        [ ! -f "$file" ] || cp "$file" "$work/all/there-$n"
    done
done
"build-fuzz/tests/fuzz_$target" -merge=1 -max_len=20000 -timeout=60 -rss_limit_mb=2048 "$work/all" \
    "$work/out/kept" "build-fuzz/corpus/$target" >"$work/log" 2>&1 || {
    tail -n 20 "$work/log"
    exit 1
}
rm -rf "$work/all"/there-* "$work/out/kept"
mv "$work/all" "$work/out/kept"
chmod -R u=rwX,go=rX "$work/out"
tar -C "$work/out" --format=ustar --sort=name --mtime=@0 --owner=0 --group=0 --numeric-owner \
    -cf "$work/tar" kept seeds
gzip -n -9 <"$work/tar" >$archive
echo "$archive: $(find "$work/out/seeds" -type f | wc -l) seeds, $(find "$work/out/kept" -type f | wc -l) kept"
