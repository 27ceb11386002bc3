#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The man page says what help says, in clean roff; completion completes commands, options and files;
# the schemas in data/schema are those of today's commands.
#
#   sh tests/pages/test.sh PROGRAM PAGES-FOLDER WRITE-PAGES SOURCE-FOLDER
set -eu
program=$1 pages=$2 write_pages=$3 source=$4
export LC_ALL=C.UTF-8
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-pages.XXXXXX")
trap 'rm -rf "$work"' EXIT
failed=0
complain() {
    echo "$*"
    failed=1
}

command -v mandoc >/dev/null || {
    echo "mandoc is not installed"
    exit 77
}
mandoc -Tlint -W warning "$pages/man/simpling.1" || complain 'the man page is not clean'
mandoc -Tlint -W warning "$pages/man/simpling-manual.7" || complain 'the manual is no clean man page'
# What the manual types is known to the help: the command, and each of its options.
grep -h '^    simpling ' "$source"/data/manual/*.md | sed "s/'[^']*'/X/g" >"$work/typed"
[ "$(wc -l <"$work/typed")" -ge 15 ] || complain 'hardly any command in the manual'
while read -r _ one two rest; do
    "$program" help "$one" "$two" >"$work/help" 2>/dev/null || "$program" help "$one" >"$work/help" ||
        complain "the manual types a command that is not known: $one $two"
    for word in $two $rest; do
        case $word in
        --*) grep -q -e "^  $word" "$work/help" || complain "the manual types $one $two $word, which is no option" ;;
        esac
    done
done <"$work/typed"
flat() { sed 's/…/.../g' | tr -s ' \n' '  '; }
mandoc -Tutf8 -O width=500 "$pages/man/simpling.1" | sed 's/.\x08//g' | flat >"$work/man"

sed -n "/<<'END'/,/^END/p" "$pages/bash/simpling" | sed '1d;$d' >"$work/commands"
[ "$(wc -l <"$work/commands")" -ge 20 ] || complain 'hardly any command in the completion'
while read -r words; do
    # shellcheck disable=SC2086 # the words of a command
    "$program" help $words >"$work/help"
    sed -n '/^$/,$p' "$work/help" | sed '/^Options of every command/,$d' | grep -v '^Options' |
        while read -r line; do
            line=$(printf '%s' "$line" | flat)
            [ -n "$line" ] || continue
            grep -qF -- "$line" "$work/man" || echo "not in the man page, $words: $line"
        done >"$work/missing"
    [ ! -s "$work/missing" ] || complain "$(cat "$work/missing")"
done <"$work/commands"

# completed WORD...: what bash offers for the last of these words of a command line.
cat >"$work/complete" <<'END'
. "$1"
shift
COMP_WORDS=("$@")
COMP_CWORD=$(($# - 1))
_simpling
printf '%s\n' "${COMPREPLY[@]}"
END
completed() { bash "$work/complete" "$pages/bash/simpling" "$@" | sort | tr '\n' ' '; }
offers() { # offers WANTED WORD...
    wanted=$1
    shift
    got=$(completed "$@")
    [ "$got" = "$wanted " ] || complain "completion of '$*' offers '$got', not '$wanted'"
}
cd "$work"
: >field.ics
offers 'site' simpling sit
offers 'list note' simpling stage ''
offers 'list' simpling site li
offers '--elevation' simpling site add 'Brant Fell' --ele
offers '--today' simpling site list --to
offers '--all' simpling check --al
offers 'field.ics' simpling almanac add fie
offers 'field.ics' simpling check --book "fi"
shellcheck -s bash -S warning "$pages/bash/simpling" || complain 'the completion for bash is not clean'
if command -v zsh >/dev/null 2>&1; then
    cat >"$work/zsh" <<'END'
compadd() { shift; print -l -- "$@"; }
_files() { print -l -- files; }
completion() { local -a words=("${(@)argv[2,-1]}"); local CURRENT=$#words; source $argv[1]; }
completion "$@"
END
    zsh_offers() {
        wanted=$1
        shift
        got=$(zsh -f "$work/zsh" "$pages/zsh/_simpling" "$@" | sort -u | tr '\n' ' ')
        case " $got" in
        *" $wanted "*) ;;
        *) complain "zsh's completion of '$*' offers '$got', not '$wanted'" ;;
        esac
    }
    zsh_offers 'list note' simpling stage ''
    zsh_offers '--elevation' simpling site add 'Brant Fell' --ele
    zsh_offers 'files' simpling almanac add fie
fi

"$write_pages" "$work/again" 1 2027-01-01
diff -r "$work/again/bash" "$pages/bash" || complain 'the completion is not of today'
"$write_pages" --manual "$source/data/manual" "$work/again" 1 2027-01-01
diff -r "$work/again/site" "$pages/site" || complain 'the plain site is not of the manual of today'
"$write_pages" --schemas "$work/schema"
diff -r "$work/schema" "$source/data/schema" ||
    complain "data/schema is not of today's commands: run ninja schemas and commit it"
exit $failed
