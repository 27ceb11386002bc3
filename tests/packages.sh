# SPDX-License-Identifier: MIT
#
# shellcheck shell=sh
# Read by tests/run.sh, tests/bench/run.sh and data/demo/run.sh: installs the Debian packages that are
# missing.

# missing_packages LIST...: prints the packages of the lists that this machine lacks.
missing_packages() {
    sed -e 's/#.*//' "$@" | while read -r package command; do
        [ -n "$package" ] || continue
        if [ -n "$command" ] && command -v "$command" >/dev/null 2>&1; then
            continue
        fi
        if dpkg-query -W -f '${Status}\n' "$package" 2>/dev/null | grep -q ' installed$'; then
            continue
        fi
        printf '%s\n' "$package"
    done
}

# apt_get LOG ARGUMENT...: apt-get as root, its words in LOG. When another apt holds a lock it waits for it,
# up to ten minutes: apt-get by itself waits for one of its three locks only, and only when told.
apt_get() {
    apt_log=$1
    shift
    apt_tries=0
    # The words of $as_root are meant to be split.
    # shellcheck disable=SC2086
    until $as_root DEBIAN_FRONTEND=noninteractive LC_ALL=C apt-get -q -o Acquire::Retries=3 \
        -o DPkg::Lock::Timeout=600 -o Dpkg::Use-Pty=0 "$@" >"$apt_log" 2>&1 </dev/null; do
        grep -q 'Could not get lock\|Unable to lock' "$apt_log" || return 1
        [ $apt_tries != 0 ] || echo "another program installs packages here; waiting for it" >&2
        apt_tries=$((apt_tries + 1))
        [ $apt_tries -lt 300 ] || return 1
        sleep 2
    done
}

# install_packages LIST...: as root or by sudo; otherwise names them and gives up.
install_packages() {
    missing=$(missing_packages "$@" | sort -u | tr '\n' ' ')
    [ -n "$missing" ] || return 0
    if ! command -v apt-get >/dev/null 2>&1; then
        echo "these Debian 12 packages, or what they hold, are missing: $missing" >&2
        return 1
    fi
    if [ "$(id -u)" = 0 ]; then
        as_root='env'
    elif command -v sudo >/dev/null 2>&1; then
        as_root='sudo env'
        [ -t 0 ] || as_root='sudo -n env'
    else
        echo "missing packages; as root run: apt-get install $missing" >&2
        return 1
    fi
    echo "installing: $missing"
    words=$(mktemp "${TMPDIR:-/tmp}/simpling-packages.XXXXXX") || return 1
    # The words of $missing are meant to be split.
    # shellcheck disable=SC2086
    if ! { apt_get "$words" update && apt_get "$words" install -y --no-install-recommends $missing; }; then
        tail -n 15 "$words" >&2
        rm -f "$words"
        echo "could not install them; as root run: apt-get install $missing" >&2
        return 1
    fi
    rm -f "$words"
}
