#!/bin/sh
# SPDX-License-Identifier: MIT
#
# core calls only what tests/core_symbols/allowed.txt allows, and a library with planted calls of
# the clock, the environment, a file and the random generator is refused for each.
#
#   sh tests/core_symbols/test.sh SOURCE-FOLDER CORE-LIBRARY PLANTED-LIBRARY
set -eu
check=$1/tests/core_symbols/check.sh
list=$1/tests/core_symbols/allowed.txt

sh "$check" "$2" "$list"

if answer=$(sh "$check" "$3" "$list"); then
    echo "the planted calls were not found"
    exit 1
fi
for symbol in time getenv fopen g_random_int g_date_time_new_now_local strftime g_file_get_contents; do
    case "$answer" in
    *"core may not call $symbol (planted.c.o)"*) ;;
    *)
        echo "the planted call of $symbol was not found: $answer"
        exit 1
        ;;
    esac
done
case "$answer" in
*g_string_new* | *memcpy*)
    echo "an allowed call was refused: $answer"
    exit 1
    ;;
esac
