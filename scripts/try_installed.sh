#!/bin/sh
# Installs a built wheel into empty environments, by pip, pipx and uv tool, and lets each installed lidoff do its work.
#
#   scripts/try_installed.sh WHEEL [WAY ...]        ways: pip pipx uv (all if none is named)
#
# PYTHON names the interpreter (python3). Node must not be needed: nothing of that name is on the PATH of what is tried.
set -eu

usage() {
    sed -n '2,6s/^# \{0,1\}//p' "$0" >&2
    exit 2
}

[ $# -ge 1 ] || usage
wheel=$(readlink -f -- "$1")
shift
case $wheel in *.whl) [ -f "$wheel" ] || usage ;; *) usage ;; esac
python=$(command -v "${PYTHON:-python3}")
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
trap 'exit 130' INT TERM

# A PATH of links to the few programs that a bare machine has: no Node, and no lidoff but the one just installed.
mkdir "$place/bin"
for name in sh env cat ls mkdir rm uname dirname basename; do ln -s "$(command -v "$name")" "$place/bin/$name"; done

works() { # works PROGRAM: the installed lidoff does its work away from its sources
    cd "$place"
    rm -rf work && mkdir work
    env -i HOME="$place" PATH="$place/bin" LANG=C.UTF-8 TMPDIR="$place" sh -euc '
        program=$1
        "$program" --version
        "$program" start work/lamp > work/start.txt
        "$program" analyse work/lamp > work/analyse.txt
        "$program" demo --list > work/demos.txt
        for name in $(cat work/demos.txt); do "$program" demo "$name" --into "work/$name" --no-open > "work/$name.txt"; done
        "$program" shelf work > work/shelf.txt
    ' sh "$1" || return 1
    for name in $(cat work/demos.txt); do
        for file in report.html report.pdf; do
            [ -s "work/$name/out/$file" ] || { echo "$file of $name was not written" >&2; return 1; }
        done
    done
    pages=$(find "$place" -path '*lidoff/bench/pages/index.html' | head -n 1)
    [ -n "$pages" ] || { echo "the workbench's pages are missing from what was installed" >&2; return 1; }
}

for way in ${*:-pip pipx uv}; do
    printf '== %s, %s\n' "$way" "$("$python" -V)"
    case $way in
        pip)
            "$python" -m venv "$place/pip"
            "$place/pip/bin/python" -m pip install --quiet --disable-pip-version-check "$wheel"
            works "$place/pip/bin/lidoff"
            rm -rf "$place/pip"
            ;;
        pipx)
            "$python" -m venv "$place/with-pipx"
            "$place/with-pipx/bin/python" -m pip install --quiet --disable-pip-version-check pipx
            PIPX_HOME="$place/pipx" PIPX_BIN_DIR="$place/pipx-bin" PIPX_MAN_DIR="$place/pipx-man" PIPX_DEFAULT_PYTHON="$python" \
                "$place/with-pipx/bin/pipx" install --quiet "$wheel"
            works "$place/pipx-bin/lidoff"
            rm -rf "$place/pipx" "$place/pipx-bin" "$place/with-pipx"
            ;;
        uv)
            "$python" -m venv "$place/with-uv"
            "$place/with-uv/bin/python" -m pip install --quiet --disable-pip-version-check uv
            UV_SYSTEM_CERTS="${UV_SYSTEM_CERTS-1}" UV_TOOL_DIR="$place/uv" UV_TOOL_BIN_DIR="$place/uv-bin" UV_CACHE_DIR="$place/uv-cache" \
                "$place/with-uv/bin/uv" tool install --quiet --python "$python" "$wheel"
            works "$place/uv-bin/lidoff"
            rm -rf "$place/uv" "$place/uv-bin" "$place/with-uv" "$place/uv-cache"
            ;;
        *) usage ;;
    esac
    printf '%s works\n' "$way"
done
