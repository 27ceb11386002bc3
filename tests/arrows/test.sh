#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The arrows between the rooms hold, and each kind of planted violation is found.
#
#   sh tests/arrows/test.sh SOURCE-FOLDER
set -eu
root=$(cd "$1" && pwd)
check=$root/tests/arrows/check.sh
table=$root/tests/arrows/allowed.txt

sh "$check" "$root" "$table"

house=$(mktemp -d "${TMPDIR:-/tmp}/simpling-arrows.XXXXXX")
trap 'rm -rf "$house"' EXIT

# planted FILE WANTED LINE: a house with this one line in FILE must be refused with the words WANTED.
planted() {
    rm -rf "$house/src" "$house/include"
    mkdir -p "$house/src/base" "$house/include/simpling" "$(dirname "$house/$1")"
    echo '#include <glib.h>' >"$house/src/base/text.c"
    sh "$check" "$house" "$table" || {
        echo "a house without a violation is refused"
        exit 1
    }
    printf '/* planted */\n%s\n' "$3" >"$house/$1"
    if answer=$(sh "$check" "$house" "$table"); then
        echo "not found: $3 in $1"
        exit 1
    fi
    case "$answer" in
    "$1:2: "*"$2"*) ;;
    *)
        echo "$3 in $1: said '$answer', wanted '$1:2: $2'"
        exit 1
        ;;
    esac
}

planted src/core/verdict.c 'core may not see book' '#include "book/book.h"'
planted src/core/verdict.c 'core may not see season' '#include "simpling/site.h"'
planted src/book/site.c 'book may not see exchange' '#include "exchange/entry.h"'
planted src/exchange/entry.c 'exchange may not see book' '#include "book/book.h"'
planted src/picture/label.c 'picture may not see exchange' '  #  include "exchange/entry.h"'
planted src/season/site.c 'season may not see command' '#include "command/command.h"'
planted src/command/site.c 'command may not see book' '#include "book/site.h"'
planted src/command/site.c 'command may not see core' '#include "core/verdict.h"'
planted src/command/site.c 'command may see no more of season' '#include "season/state.h"'
planted src/desk/html.c 'desk may see no more of season' '#include "season/state.h"'
planted src/desk/html.c 'desk may not see command' '#include "command/command.h"'
planted src/desk/html.c 'desk may not see book' '#include "book/site.h"'
planted src/command/site.c 'command may not see desk' '#include "desk/html.h"'
planted src/season/site.c 'season may not use <microhttpd.h>' '#include <microhttpd.h>'
planted src/command/site.c 'command may not see exchange' '#include "exchange/entry.h"'
planted src/command/site.c 'command may not see picture' '#include "picture/page.h"'
planted src/command/site.c 'command may not see programs' '#include "programs/pages.h"'
planted src/season/site.c 'season may not see programs' '#include "programs/pages.h"'
planted src/base/row.c 'base may not see core' '#include "core/verdict.h"'
planted src/season/site.c 'with its room' '#include "site.h"'
planted src/season/site.c 'season may not use <sqlite3.h>' '#include <sqlite3.h>'
planted src/core/verdict.c 'core may not use <gio/gio.h>' '#include <gio/gio.h>'
planted src/book/site.c 'book may not use <libical/ical.h>' '#include <libical/ical.h>'
planted include/simpling/site.h 'a public header may not need' '#include "book/site.h"'
planted src/season/site.c 'SQL outside the book' 'static const char q[] = "SELECT name FROM site";'
planted src/core/verdict.c 'only command prints or exits' '    printf("clear\n");'
planted src/book/site.c 'only command knows stdout' '    fprintf(stderr, "no\n");'
