#!/bin/sh
# SPDX-License-Identifier: MIT
#
# No room but command and programs speaks the command line's language, and planted words are found.
#
#   sh tests/words/test.sh SOURCE-FOLDER
set -eu
root=$(cd "$1" && pwd)
check=$root/tests/words/check.sh
sh "$check" "$root" "$root/tests/words/allowed.txt"

house=$(mktemp -d "${TMPDIR:-/tmp}/simpling-words.XXXXXX")
trap 'rm -rf "$house"' EXIT
mkdir -p "$house/src/season" "$house/src/command" "$house/include/simpling"
printf '    .words = "site list",\n' >"$house/src/command/site.c"
: >"$house/allowed"

# planted WANTED LINE: season with this line must be refused with the words WANTED; "" must pass.
planted() {
    printf '/* planted */\n%s\n' "$2" >"$house/src/season/site.c"
    if answer=$(sh "$check" "$house" "$house/allowed"); then
        [ -z "$1" ] || {
            echo "not found: $2"
            exit 1
        }
        return
    fi
    case "$answer" in
    "src/season/site.c:"[23]": "*"$1"*) [ -n "$1" ] || {
        echo "refused though it is clean: $2"
        exit 1
    } ;;
    *)
        echo "$2: said '$answer', wanted '$1'"
        exit 1
        ;;
    esac
}
planted 'an option word' 'g_set_error(error, D, 1, "--garbled: more than the weight");'
planted 'an option word' 'g_set_error(error, D, 1, "%s: (amend %s --named-by WHO)", a, b);'
planted 'an option word' 'what = g_strconcat("--", key, "--%s", NULL);'
planted 'a command line' '    "see simpling site"'
planted 'site list' "    \"look at 'site list'\""
planted 'site list' '    "no sites yet (site list)"'
planted 'site list' "*offer == 0 ? \"look at 'site list'\" : \"\""
planted 'site list' "    \"look at the 'site \"
    \"list'\""
planted '' '    "a site listed by name"'
planted '' '    "a site", "list"'
planted '' '    /* --garbled is said by command */'
planted '' '    "install simpling whole"'
planted '' '    "a dash -- like this"'
planted '' 'n--; text = "more than the weight";'

# An entry of the list that is no longer needed is said.
echo 'src/season/site.c # was full of them' >"$house/allowed"
sh "$check" "$house" "$house/allowed" 2>&1 | grep -q 'take it off the list' || {
    echo "a clean file may stay on the list unsaid"
    exit 1
}

# Words that were given up do not come back, and one that is planted is found.
sh "$root/tests/words/decided.sh" "$root" "$root/tests/words/decided.txt"
printf 'g_strdup("sprayed or fouled ground");\n' >"$house/src/season/site.c"
if answer=$(sh "$root/tests/words/decided.sh" "$house" "$root/tests/words/decided.txt"); then
    echo "a word that was given up is not found"
    exit 1
fi
[ "$answer" = 'src/season/site.c:1: say "contaminated"' ] || {
    echo "a word that was given up: said '$answer'"
    exit 1
}
printf 'rms_k = sd; /* fouled */ list("sd", "rms");\n' >"$house/src/season/site.c"
sh "$root/tests/words/decided.sh" "$house" "$root/tests/words/decided.txt"
