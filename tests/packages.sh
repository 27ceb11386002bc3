# shellcheck shell=sh
# Read by tests/run.sh and data/demo/run.sh: installs the Debian packages that are missing.

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
    # The words of $as_root and $missing are meant to be split.
    # shellcheck disable=SC2086
    if ! { $as_root DEBIAN_FRONTEND=noninteractive apt-get -q -o Acquire::Retries=3 update &&
           $as_root DEBIAN_FRONTEND=noninteractive apt-get -q -y -o Acquire::Retries=3 \
               -o Dpkg::Use-Pty=0 install --no-install-recommends $missing; } \
           >"${TMPDIR:-/tmp}/simpling-packages.$$" 2>&1 </dev/null; then
        tail -n 15 "${TMPDIR:-/tmp}/simpling-packages.$$" >&2
        rm -f "${TMPDIR:-/tmp}/simpling-packages.$$"
        echo "could not install them; as root run: apt-get install $missing" >&2
        return 1
    fi
    rm -f "${TMPDIR:-/tmp}/simpling-packages.$$"
}
