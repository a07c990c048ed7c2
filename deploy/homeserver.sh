#!/bin/sh
# Builds .venv-homeserver, the folder that holds the Matrix homeserver which the tests talk to; does nothing when nothing
# has changed since. It has pins of its own, in deploy/homeserver.txt, and the program itself never needs it.
#
#   sh deploy/homeserver.sh            build it; fails where it cannot be built
#
# Where Node is found, a client for it that trusts signed devices only is fetched too, into .venv-homeserver/client; the one
# test that needs it is left out elsewhere, and says why.
#
# .venv-homeserver/built-for holds the checksum of what was installed and the folder it was built in. It is removed first
# and written last: an environment without it was left half-built, and is made anew.

set -eu
unset CDPATH PIP_TARGET PIP_PREFIX
cd "$(dirname "$0")/.."

environment=.venv-homeserver
client=matrix-js-sdk@36.2.0 # the last whole version that runs on Node 20

say() {
    printf '%s\n' "rackside: $*" >&2
}

# Fetches the client, if it can be had.
fetch_client() {
    [ "$(cat "$environment/client/built-for" 2>/dev/null)" != "$client" ] || return 0
    command -v npm >/dev/null && node -e 'process.exit(parseInt(process.versions.node) < 20 ? 1 : 0)' 2>/dev/null || return 0
    say "fetching $client, a client that trusts signed devices only"
    rm -rf "$environment/client"
    mkdir "$environment/client"
    if npm install --prefix "$environment/client" --no-audit --no-fund --ignore-scripts --loglevel=error "$client" >&2; then
        printf '%s\n' "$client" >"$environment/client/built-for"
    else
        say "it could not be fetched: the lines above say why; the test that needs it is left out"
    fi
}

wanted="$(cksum deploy/homeserver.txt) $(pwd -P)"
if [ "$(cat "$environment/built-for" 2>/dev/null)" = "$wanted" ] && "$environment/bin/python" -c 'import synapse' 2>/dev/null; then
    fetch_client
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
fetch_client
