#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The Debian package on a machine that has nothing: builds it, makes a bare Debian 12 root, lets apt
# install the package there with just what it says it depends on, and uses it as a person would.
#
#   sh tests/install/fresh.sh [ROOT]      as root, with debootstrap and a Debian mirror in reach
#
# ROOT: a folder with a bare root made before (debootstrap --variant=minbase --include=ca-certificates
# bookworm ROOT), which is then changed; default: a new one, removed afterwards. Not part of CI: it
# loads some 150 MB.
set -eu
cd "$(dirname "$0")/../.."
source=$(pwd)
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-fresh.XXXXXX")
root=${1-$work/root}
leave() {
    for place in dev/pts dev proc; do
        ! mountpoint -q "$root/$place" || umount "$root/$place"
    done
    rm -rf --one-file-system "$work"
}
trap leave EXIT
trap 'exit 130' INT TERM

[ "$(id -u)" = 0 ] || {
    echo "only root may make a root" >&2
    exit 1
}
{ cmake -S . -B build -G Ninja && cmake --build build --target all &&
    cpack --config build/CPackConfig.cmake -B "$work/pack"; } >"$work/log" 2>&1 || {
    cat "$work/log"
    exit 1
}
[ -d "$root" ] || debootstrap --variant=minbase --include=ca-certificates bookworm "$root" >"$work/log" 2>&1 || {
    tail -n 20 "$work/log"
    exit 1
}
cp "$work"/pack/simpling_*.deb "$root/root/"
[ ! -e /etc/resolv.conf ] || cp -L /etc/resolv.conf "$root/etc/resolv.conf"
cp "$source"/tests/command/samples/lanes.* "$root/root/"
mount -t proc proc "$root/proc"
mount --bind /dev "$root/dev"
mount -t devpts devpts "$root/dev/pts" 2>/dev/null || mount --bind /dev/pts "$root/dev/pts"

cat >"$root/root/use.sh" <<'END'
set -eu
export DEBIAN_FRONTEND=noninteractive HOME=/root/home
mkdir -p "$HOME"
cd /root
apt-get update -qq
apt-get install -y --no-install-recommends ./simpling_*.deb >/root/install.log 2>&1 || {
    cat /root/install.log
    exit 1
}
simpling --version
simpling demo season
export SIMPLING_BOOK=/root/season/book.db SIMPLING_TODAY=2027-06-20
simpling book check
simpling check 'Low Croft' || [ $? -ge 3 ]
# Each helper: cairo, PROJ with its data, the solver, GEOS loaded late.
simpling draw season --out season.pdf && [ "$(head -c 5 season.pdf)" = %PDF- ]
simpling draw map --out map.png
simpling label "$(simpling lot list --json | sed -n 's/.*"code": *"\([^"]*\)".*/\1/p' | head -n 1)" --out labels.pdf
simpling hazard import lanes.shp --method road
simpling hazard list
simpling plan outings --seconds 5 | tail -n 3
simpling calendar write --out season.ics && grep -q BEGIN:VEVENT season.ics
ls -l /usr/share/bash-completion/completions/simpling /usr/share/zsh/site-functions/_simpling \
    /usr/share/man/man1/simpling.1*
apt-get remove -y simpling >/dev/null 2>&1 && [ ! -e /usr/bin/simpling ] && [ -e season/book.db ]
echo "the package works"
END
chroot "$root" sh /root/use.sh
