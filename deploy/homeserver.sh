#!/bin/sh
# Builds .venv-homeserver, the folder that holds the Matrix homeserver which the tests talk to; does nothing when nothing
# has changed since. It has pins of its own, in deploy/homeserver.txt, and the program itself never needs it.
#
#   sh deploy/homeserver.sh            build it; fails where it cannot be built
#
# .venv-homeserver/built-for holds the checksum of what was installed and the folder it was built in. It is removed first
# and written last: an environment without it was left half-built, and is made anew.

set -eu
unset CDPATH PIP_TARGET PIP_PREFIX
cd "$(dirname "$0")/.."

environment=.venv-homeserver

say() {
    printf '%s\n' "rackside: $*" >&2
}

wanted="$(cksum deploy/homeserver.txt) $(pwd -P)"
if [ "$(cat "$environment/built-for" 2>/dev/null)" = "$wanted" ] && "$environment/bin/python" -c 'import synapse' 2>/dev/null; then
    exit 0
fi

# Debian may have put a stand-in first; the project's own rule finds one that works.
python=$(sh deploy/environment.sh python)
say "building the Matrix homeserver that the tests talk to, in $environment (a minute or two)"
rm -rf "$environment"
trap 'say "stopped; the next run builds it anew"; exit 130' INT TERM
if ! {
    "$python" -m venv "$environment" &&
        PIP_USER=0 "$environment/bin/python" -m pip install --disable-pip-version-check --no-input --quiet --prefer-binary \
            --constraint deploy/homeserver.txt matrix-synapse
}; then
    say "it could not be built: the lines above say why. The first run needs the network."
    exit 1
fi
"$environment/bin/python" -m compileall -q "$environment/lib" >/dev/null || :
printf '%s\n' "$wanted" >"$environment/built-for"
