#!/bin/sh
# Builds .venv, the folder that holds what Rackside runs on; does nothing when nothing has changed since.
#
#   sh deploy/environment.sh chat      what the program itself needs
#   sh deploy/environment.sh test      that, and what the checks need
#   sh deploy/environment.sh python    only tell which Python would be taken
#
# PYTHON=... names the Python to take. What is said goes to stderr, so that the chat's answers can be piped.
#
# .venv/built-for-chat and .venv/built-for-test hold the checksums of what was installed, .venv/built-in the folder it was
# built in, for an environment cannot be moved. They are removed first and written last: an environment without them was
# left half-built, and is made anew.

set -eu
unset CDPATH PIP_TARGET PIP_PREFIX
cd "$(dirname "$0")/.."

environment=.venv
purpose=${1:-}

say() {
    printf '%s\n' "rackside: $*" >&2
}

more() {
    printf '%s\n' "          $*" >&2
}

# Sets python and python_version, or tells the remedy and fails.
find_python() {
    bare='' bare_version='' old=''
    if [ -n "${PYTHON:-}" ]; then
        set -- "$PYTHON"
    else
        set -- python3.14 python3.13 python3.12 python3.11 python3
    fi
    for candidate in "$@"; do
        # A candidate may be a stand-in that only says that this Python is not here, so each one is run.
        verdict=$("$candidate" -c '
import sys
version = "%d.%d.%d" % tuple(sys.version_info[:3])
if sys.version_info < (3, 11):
    print("old " + version)
else:
    try:
        import ensurepip, venv
        print("good " + version)
    except ImportError:
        print("bare " + version)
' 2>/dev/null) || continue
        case $verdict in
        'good '*)
            python=$candidate python_version=${verdict#* }
            return 0
            ;;
        'bare '*)
            [ -n "$bare" ] || bare=$candidate bare_version=${verdict#* }
            ;;
        'old '*)
            old="$old $candidate (${verdict#* })"
            ;;
        esac
    done

    if [ -n "$bare" ]; then
        say "$bare ($bare_version) has no venv module that works: ensurepip is missing."
        more "Debian and Ubuntu keep it in a package of its own:"
        more "    sudo apt-get install python${bare_version%.*}-venv"
        more "Elsewhere install the package that holds Python's ensurepip, or name another Python:"
    elif [ -n "$old" ]; then
        say "Python 3.11 or later is needed; found only$old."
        more "Install a later one (Debian 12, Ubuntu 24.04 or later: sudo apt-get install python3 python3-venv)"
        more "or name one that is there:"
    elif [ -n "${PYTHON:-}" ]; then
        say "PYTHON=$PYTHON is no Python that can be run. Leave it out, or name one of 3.11 or later:"
    else
        say "Python 3.11 or later is needed; none was found."
        more "Install one (Debian 12, Ubuntu 24.04 or later: sudo apt-get install python3 python3-venv)"
        more "or name one that is there:"
    fi
    more "    make ${purpose:-chat} PYTHON=/path/to/python3.12"
    return 1
}

# Whether a finished environment stands here, was built in this folder and still runs (its Python may have been removed or
# replaced by another version since).
is_whole() {
    [ -x "$environment/bin/rackside" ] || return 1
    [ "$(cat "$environment/built-in" 2>/dev/null)" = "$(pwd -P)" ] || return 1
    # Without site, which takes longer than all the rest of a start of Python: only whether it runs is asked, and where it
    # keeps what was installed.
    packages=$("$environment/bin/python" -I -S -c 'import sys
print("%s/lib/python%d.%d/site-packages" % (sys.argv[1], *sys.version_info[:2]))' "$environment" 2>/dev/null) || return 1
    for installed in "$packages/pip" "$packages/alembic" "$packages"/rackside-*.dist-info; do
        [ -e "$installed" ] || return 1
    done
    [ -z "${PYTHON:-}" ] || [ "$(version_of "$environment/bin/python")" = "$(version_of "$PYTHON")" ]
}

version_of() {
    "$1" -c 'import sys; print("%d.%d" % tuple(sys.version_info[:2]))' 2>/dev/null
}

# Installs Rackside from this folder with the given extras. pip's own report is long: of it only the names are kept.
install() {
    rm -f "$environment/installed"
    {
        PYTHONUNBUFFERED=1 PIP_USER=0 "$environment/bin/python" -m pip install --disable-pip-version-check --no-input \
            --progress-bar off --constraint deploy/constraints.txt --editable ".$1" && : >"$environment/installed"
    } | show_names
    rm "$environment/installed" 2>/dev/null
}

# Whole lines only, for pip's warnings go to the same screen.
show_names() {
    line=
    while read -r word name _; do
        name=${name%%[!A-Za-z0-9._-]*}
        case "$word $name" in
        'Installing collected')
            [ -z "$line" ] || more "$line"
            line=
            say "unpacking what was fetched"
            ;;
        'Collecting '*)
            line="$line${line:+ }$name"
            [ "${#line}" -lt 60 ] || { more "$line" && line=; }
            ;;
        esac
    done
    [ -z "$line" ] || more "$line"
}

case $purpose in
python)
    find_python
    printf '%s\n' "$python"
    exit 0
    ;;
chat) extras='' what='what the chat needs' ;;
test) extras='[matrix,postgres,telegram,test]' what='what the chat and the checks need' ;;
*)
    say "use: sh deploy/environment.sh chat|test|python"
    exit 2
    ;;
esac

wanted=$(cksum pyproject.toml deploy/constraints.txt)
whole=no
if is_whole; then
    whole=yes
    if [ "$(cat "$environment/built-for-$purpose" 2>/dev/null)" = "$wanted" ]; then
        say "the environment is ready, nothing to build"
        exit 0
    fi
fi

trap 'say "stopped; the next run makes the environment anew"; exit 130' INT TERM
if [ "$whole" = no ]; then
    find_python
    if [ -e "$environment" ]; then
        say "the environment in $environment is not whole, or was built elsewhere: making it anew"
    fi
    say "making the environment in $environment with $python (Python $python_version)"
    "$python" -m venv --clear "$environment" || {
        say "that did not work: the lines above say why"
        exit 1
    }
    say "fetching $what (a minute or two)"
else
    say "bringing the environment up to date: $what"
fi
rm -f "$environment/built-in" "$environment"/built-for-*
if ! install "$extras"; then
    say "that did not work: the lines above say why. The first run needs the network; the next one makes the environment anew."
    exit 1
fi
# So that the first start is as quick as later ones, even where Python is told to write no bytecode.
"$environment/bin/python" -m compileall -q bot core || :
printf '%s\n' "$wanted" >"$environment/built-for-chat"
[ "$purpose" = chat ] || printf '%s\n' "$wanted" >"$environment/built-for-$purpose"
pwd -P >"$environment/built-in"
say "the environment is ready"
