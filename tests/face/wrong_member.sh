#!/bin/sh
# SPDX-License-Identifier: MIT
#
# A row whose member is of another type than its kind says does not compile; the same row with the
# right type does. The programs of tests/face see include/simpling alone.
#
#   sh tests/face/wrong_member.sh C-COMPILER SOURCE-FOLDER
set -eu
compiler=$1 root=$2
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-member.XXXXXX")
trap 'rm -rf "$work"' EXIT
flags=$(pkg-config --cflags glib-2.0)

# member TYPE KIND: whether a row of this kind on a member of this type compiles.
member() {
    cat >"$work/row.c" <<END
#include "simpling/input.h"
struct spl_some { const char *before; $1 value; };
static const struct spl_input rows[] = {
    SPL_INPUT(spl_some, value, $2, "value", "help", .needed = 1),
};
const struct spl_inputs spl_some_inputs = SPL_INPUTS("some", spl_some, rows);
END
    # shellcheck disable=SC2086 # flags are several words
    "$compiler" -std=c17 -Wall -Wextra -Wconversion -Werror -fsyntax-only $flags \
        -I "$root/include" "$work/row.c" >"$work/said" 2>&1
}
right() {
    member "$1" "$2" || {
        echo "a member '$1' of kind $2 does not compile:"
        cat "$work/said"
        exit 1
    }
}
wrong() {
    if member "$1" "$2"; then
        echo "a member '$1' of kind $2 compiles"
        exit 1
    fi
    grep -q 'spl_some.value is no' "$work/said" || {
        echo "a member '$1' of kind $2 is refused for another reason:"
        cat "$work/said"
        exit 1
    }
}
right double MASS
right 'const char *' SITE
right 'struct spl_day' DAY
right 'GArray *' LIST
right gboolean FLAG
wrong float MASS
wrong int MASS
wrong 'struct spl_day' MASS
wrong 'char *' SITE
wrong double DAY
wrong gint64 COUNT
wrong 'GPtrArray *' LIST
wrong 'struct spl_coordinates' AMOUNT

if grep -n '#include "' "$root"/tests/face/*.[ch] | grep -vE '"(simpling/[^"]*|expect\.h|photo_png\.h|tables\.h)"'; then
    echo "tests/face sees more than include/simpling"
    exit 1
fi
