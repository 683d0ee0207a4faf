# Finds what the stages of tests/run need, and installs what is missing.

# The folder of PostgreSQL's own programs; Debian keeps them off the PATH.
postgres_programs() {
    local found
    if found=$(command -v initdb) && [ -x "$(dirname "$found")/pg_ctl" ]; then
        dirname "$found"
        return
    fi
    for found in $(printf '%s\n' /usr/lib/postgresql/*/bin | sort -rV); do
        [ -x "$found/initdb" ] && [ -x "$found/pg_ctl" ] && { echo "$found"; return; }
    done
    return 1
}

# The accessibility rules that the browser tests run in every page: the version and the checksum stand in tests/support/axe.
install_axe() {
    mkdir -p target/axe && cp tests/support/axe/package.json tests/support/axe/package-lock.json target/axe/ || return 1
    local wanted=target/axe/node_modules/.package-lock.json
    if [ -f "$wanted" ] && [ "$wanted" -nt tests/support/axe/package-lock.json ]; then return; fi
    (cd target/axe && npm ci --ignore-scripts --no-audit --no-fund)
}

# install_missing STAGE...
install_missing() {
    local packages=()
    if ! command -v cargo >/dev/null && [ -x "$HOME/.cargo/bin/cargo" ]; then PATH="$HOME/.cargo/bin:$PATH"; fi
    command -v cargo >/dev/null || { echo "tests/run: Rust is missing; see https://rustup.rs" >&2; return 1; }
    cargo fmt --version >/dev/null 2>&1 && cargo clippy --version >/dev/null 2>&1 || rustup component add rustfmt clippy || {
        echo "tests/run: cargo fmt and cargo clippy are missing; install Rust's rustfmt and clippy components" >&2
        return 1
    }
    command -v cc >/dev/null || packages+=(gcc libc6-dev)
    command -v python3 >/dev/null || packages+=(python3) # the independent judge of schedules
    if [[ " $* " == *" postgres"* ]]; then postgres_programs >/dev/null || packages+=(postgresql); fi
    if [[ " $* " == *" browser "* ]]; then
        command -v chromium >/dev/null || packages+=(chromium)
        command -v chromedriver >/dev/null || packages+=(chromium-driver)
        command -v pdftoppm >/dev/null && command -v pdftotext >/dev/null || packages+=(poppler-utils)
        command -v npm >/dev/null || packages+=(npm)
        # the smallest that has the signs of Chinese, Japanese and Korean
        [ -n "$(fc-list :lang=ko 2>/dev/null)" ] && [ -n "$(fc-list :lang=ja 2>/dev/null)" ] || packages+=(fontconfig fonts-wqy-microhei)
    fi
    [ ${#packages[@]} -gt 0 ] || return 0
    if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null; then
        echo "tests/run: missing here: ${packages[*]} (names of Debian packages)." >&2
        echo "tests/run: run 'sudo apt-get install ${packages[*]}', or this script as root on Debian." >&2
        return 1
    fi
    echo "tests/run: installing ${packages[*]}"
    apt-get update -q </dev/null &&
        DEBIAN_FRONTEND=noninteractive apt-get install -yq --no-install-recommends "${packages[@]}" </dev/null
}
