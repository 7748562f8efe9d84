#!/bin/sh
# Installs the packages of the named sections of packages.txt that are missing:  sh .ci/install.sh run test
set -eu
here=$(cd "$(dirname "$0")" && pwd)

wanted() {
    awk -v names=" $* " '/^#/ || NF == 0 { next }
        /^\[/ { on = index(names, " " substr($0, 2, length($0) - 2) " ") > 0; next }
        on { print $1 }' "$here/packages.txt"
}

is_installed() {
    dpkg-query -W -f '${db:Status-Status}\n' "$1" 2>/dev/null | grep -qx installed
}

missing=
for package in $(wanted "$@"); do
    is_installed "$package" || missing="$missing $package"
done
[ -n "$missing" ] || exit 0

as_root=
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null; then
        echo "Not root and no sudo. As root, run: apt-get install$missing" >&2
        exit 1
    fi
    as_root="sudo"
fi

# A fresh system has no package lists at all; an old one has lists that name packages no longer there.
apt() { $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -o Dpkg::Use-Pty=0 "$@"; }
install() {
    # shellcheck disable=SC2086 # one word a package
    apt install -y --no-install-recommends $missing
}

echo "Installing:$missing"
if ! ls /var/lib/apt/lists/*_Packages* >/dev/null 2>&1; then
    apt update
    install
elif ! install; then
    apt update
    install
fi
