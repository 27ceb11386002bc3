#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Fuzzes one target for some seconds with libFuzzer under ASan and UBSan, from its archive.
#
#   sh tests/fuzz/run.sh TARGET SECONDS      TARGET: tests/fuzz/fuzz_TARGET.c
#
# What is found is left in build-fuzz/corpus/TARGET, outside the project's history; keep.sh takes what
# reaches new code into the archive. An input that breaks something stands in build-fuzz and belongs,
# once mended, to the seeds there.
set -eu
[ $# = 2 ] || {
    echo "usage: sh tests/fuzz/run.sh TARGET SECONDS" >&2
    exit 2
}
cd "$(dirname "$0")/../.."
# shellcheck source=tests/fuzz/common.sh
. tests/fuzz/common.sh
fuzz_build "$1"
mkdir -p "build-fuzz/corpus/$1"
cd build-fuzz
# One input may take long only because the machine has other work.
# shellcheck disable=SC2046 # several folders
exec "./tests/fuzz_$1" -max_total_time="$2" -max_len=20000 -timeout=60 -rss_limit_mb=2048 \
    -print_final_stats=1 "corpus/$1" $(fuzz_folders "$1" ..)
