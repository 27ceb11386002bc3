#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Every .c and .h is laid out as .clang-format says, begins with its licence line and a comment that
# says what it is for, and stays a file that one can read; a planted misfit is found. Scripts, lists
# and the build's files bear the licence line too. Nothing outside the project is named. The shell
# scripts pass shellcheck.
#
#   sh tests/format/test.sh SOURCE-FOLDER
set -eu
cd "$1"
for tool in clang-format shellcheck; do
    command -v $tool >/dev/null 2>&1 || {
        echo "$tool is not installed"
        exit 77
    }
done
status=0
files=$(find src include tests -name '*.[ch]' | sort)

# shellcheck disable=SC2086 # file names of the house have no spaces
if ! clang-format --dry-run --Werror $files 2>"${TMPDIR:-/tmp}/simpling-format.$$"; then
    grep -E 'error:' "${TMPDIR:-/tmp}/simpling-format.$$" | sed 's/:[0-9]*:[0-9]*:.*//' | sort | uniq -c |
        sed 's/^ *\([0-9]*\) \(.*\)/\2: \1 places; run clang-format -i \2/'
    status=1
fi
rm -f "${TMPDIR:-/tmp}/simpling-format.$$"

for file in $files; do
    case $(head -n 1 "$file") in
    '/* SPDX-License-Identifier: MIT') ;;
    *)
        echo "$file: begin with the licence line and a comment on what the file is for"
        status=1
        ;;
    esac
    lines=$(wc -l <"$file")
    case $file in tests/*) most=900 ;; *) most=650 ;; esac
    if [ "$lines" -gt $most ]; then
        echo "$file: $lines lines; a file holds one noun in at most about 600"
        status=1
    fi
done

bare=$(find CMakeLists.txt .ci src tests data -type f \( -name run -o -name '*.sh' -o -name '*.py' -o \
    -name '*.pl' -o -name '*.mjs' -o -name '*.cpp' -o -name '*.cmake' -o -name CMakeLists.txt -o \
    -path 'tests/*.txt' ! -path '*/samples/*' ! -path 'tests/data/*' \) \
    -exec sh -c 'for file; do head -n 3 "$file" | grep -q "SPDX-License-Identifier: MIT" || echo "$file"; done' \
    sh {} + | sort)
if [ -n "$bare" ]; then
    echo "these bear no licence line (# SPDX-License-Identifier: MIT):"
    echo "$bare"
    status=1
fi

if printf 'int  spl_planted( void ){return 1 ;}\n' | clang-format --dry-run --Werror 2>/dev/null; then
    echo "clang-format accepts a planted misfit"
    status=1
fi

# The only way out of this folder is an environment variable.
if grep -rnE '[.][.]/shared' src include tests data calendars CMakeLists.txt ./*.md; then
    echo "these name a folder outside the project"
    status=1
fi

scripts=$(find . -path ./.git -prune -o -path './build*' -prune -o -path ./out -prune -o \
    -type f -name '*.sh' -print | sort)
# shellcheck disable=SC2086
shellcheck -S warning .ci/run $scripts || status=1
exit $status
