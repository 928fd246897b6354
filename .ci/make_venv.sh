#!/bin/sh
# Makes .venv with Python 3.11 or newer where there is none. Debian and Ubuntu keep the venv module in a package of its
# own: it is installed when it is missing.
set -eu
cd "$(dirname "$0")/.."
[ -x .venv/bin/pip ] && exit 0

python=
for name in python3 python3.14 python3.13 python3.12 python3.11; do
    if command -v "$name" >/dev/null && "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
        python=$name
        break
    fi
done
if [ -z "$python" ]; then
    echo "Python 3.11 or newer is needed and none was found: install it (on Debian 12: apt-get install python3)." >&2
    exit 1
fi

if ! "$python" -c 'import ensurepip, venv' 2>/dev/null; then
    package=$("$python" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])')
    if ! command -v apt-get >/dev/null; then
        echo "Python's venv module is missing: install it with this system's package manager." >&2
        exit 1
    fi
    echo "Installing $package."
    as_root=
    [ "$(id -u)" = 0 ] || as_root=sudo
    export DEBIAN_FRONTEND=noninteractive
    $as_root apt-get install -y -q "$package" || { $as_root apt-get update -q && $as_root apt-get install -y -q "$package"; }
fi
rm -rf .venv
"$python" -m venv .venv
