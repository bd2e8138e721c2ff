# Read by ./lidoff and ./check, which set `root` to this project's folder first.
#
# Everything lives beside the project: .tools/ holds uv, which pip fetches (a bare Debian has pip, but neither the
# venv module nor leave to install outside one), and .venv/ holds Python packages in the exact versions of pyproject.toml.

uv_version=0.13.9

stop() { # stop WHAT REMEDY...
    printf 'lidoff: %s\n' "$1" >&2
    shift
    for line in "$@"; do printf '  %s\n' "$line" >&2; done
    exit 2
}

# prepare run|check: does nothing when the environment is there and fits pyproject.toml.
prepare() {
    if is_current "$1"; then return; fi
    [ -w "$root" ] || stop "cannot set up: no permission to write in $root" \
        "clone or copy the project to a folder of your own and start it there"
    find_python
    fetch_uv
    fill_environment "$1"
    environment_state > "$root/.venv/set-up-for-run"
    if [ "$1" = check ]; then environment_state > "$root/.venv/set-up-for-check"; fi
}

# Names all that would make an old environment wrong: the stated versions, a moved folder, another Python.
environment_state() {
    printf '%s %s %s\n' "$(cksum < "$root/pyproject.toml")" "$(readlink -f "$root/.venv/bin/python")" "$root"
}

is_current() {
    [ -x "$root/.venv/bin/python" ] && [ -r "$root/.venv/set-up-for-$1" ] || return 1
    read -r was < "$root/.venv/set-up-for-$1" && [ "$was" = "$(environment_state)" ]
}

find_python() {
    seen=""
    for name in python3 python3.14 python3.13 python3.12 python3.11; do
        python=$(command -v "$name") || continue
        if "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then break; fi
        seen="$seen $("$python" -V 2>&1)"
        python=""
    done
    if [ -z "$python" ] && [ -n "$seen" ]; then
        stop "Python 3.11 or newer is needed, found only:$seen" "install a newer Python 3 and start this again"
    elif [ -z "$python" ]; then
        stop "Python 3 is needed and there is none on the PATH" \
            "on Debian or Ubuntu: apt-get install python3 python3-pip"
    fi
}

has_uv() {
    [ "$("$root/.tools/bin/uv" --version 2>/dev/null | cut -d ' ' -f 2)" = "$uv_version" ]
}

fetch_uv() {
    if has_uv; then return; fi
    "$python" -m pip --version > /dev/null 2>&1 || stop "pip is needed and $python has none" \
        "on Debian or Ubuntu: apt-get install python3-pip"
    printf 'lidoff: setting up beside the project, once (about 500 MB, needs the network) …\n' >&2
    # Into a folder of its own first: an interrupted download leaves nothing that looks complete.
    part="$root/.tools.part.$$"
    trap 'rm -rf "$part"' EXIT
    trap 'exit 130' INT TERM
    "$python" -m pip install --quiet --disable-pip-version-check --no-warn-script-location --root-user-action ignore --retries 2 \
        --target "$part" "uv==$uv_version" || stop "could not fetch uv $uv_version; pip's reason stands above" \
        "is the network there? Behind a proxy set HTTPS_PROXY; behind a company's certificate set SSL_CERT_FILE"
    # Another start may have been quicker; it must not lose what it is about to run.
    if ! has_uv; then
        rm -rf "$root/.tools"
        mv "$part" "$root/.tools"
    fi
    rm -rf "$part"
    trap - EXIT INT TERM
}

fill_environment() {
    # A folder that was moved or copied has scripts that point to the old place.
    if [ -f "$root/.venv/set-up-for-run" ]; then
        read -r was < "$root/.venv/set-up-for-run"
        case $was in *" $root") ;; *) rm -rf "$root/.venv" ;; esac
    fi
    quiet=""
    [ -t 2 ] || quiet=--quiet
    case $1 in
        run) groups="--no-dev --inexact" ;; # leaves what an earlier ./check has added
        check) groups="" ;;
    esac
    # Only a new environment is told its Python: uv makes an old one anew when the same Python goes by another path.
    new_python=""
    "$root/.venv/bin/python" -c '' 2> /dev/null || new_python="$python"
    # The machine's own certificates, since a company's network may need them.
    # shellcheck disable=SC2086 # both are lists of options
    env -u VIRTUAL_ENV -u UV_PROJECT_ENVIRONMENT UV_SYSTEM_CERTS="${UV_SYSTEM_CERTS-1}" \
        "$root/.tools/bin/uv" sync --project "$root" ${new_python:+--python "$new_python"} $groups $quiet ||
        stop "could not set up the Python packages; uv's reason stands above" \
            "is the network there, and room on the disk (about 1 GB)? Then start this again"
    # Compiled ahead, so that the first start is as quick as the rest.
    "$root/.venv/bin/python" -m compileall -q "$root/src/lidoff" || true
}
