# A throw-away PostgreSQL: its data in a temporary folder, one unix socket, no
# port. It keeps nothing, so it need not wait for the disk.

# PostgreSQL refuses to run as root; Debian's package brings a user for it.
as_postgres() {
    if [ "$(id -u)" = 0 ]; then
        setpriv --reuid=postgres --regid=postgres --clear-groups "$@"
    else
        "$@"
    fi
}

# on_postgres INITDB_OPTION... -- COMMAND...: runs the command with the server's
# address in WEFTDESK_TEST_POSTGRES. In a subshell, so that the server ends with it.
on_postgres() (
    options=()
    while [ "$1" != -- ]; do options+=("$1"); shift; done
    shift
    programs=$(postgres_programs) || { echo "tests/run: PostgreSQL is missing; Debian's package is 'postgresql'" >&2; exit 1; }
    # /tmp: a socket's path may be 107 bytes long at most, and TMPDIR can be longer
    folder=$(mktemp -d /tmp/weftdesk-pg.XXXXXX) || exit 1
    # INT and TERM as well: bash runs the EXIT trap only when it exits by itself
    trap 'exit 130' INT TERM
    trap 'as_postgres "$programs/pg_ctl" -s -D "$folder/data" -m immediate stop >/dev/null 2>&1; rm -rf "$folder"' EXIT
    if [ "$(id -u)" = 0 ]; then chown postgres: "$folder" || exit 1; fi
    cd "$folder" || exit 1 # where the server's user may be
    as_postgres "$programs/initdb" -U postgres --auth=trust --no-sync -E UTF8 "${options[@]}" -D "$folder/data" >initdb.log 2>&1 || {
        cat initdb.log
        exit 1
    }
    as_postgres "$programs/pg_ctl" -s -w -t 60 -D "$folder/data" -l "$folder/server.log" start -o "-k $folder \
        -c listen_addresses= -c max_connections=300 -c fsync=off -c synchronous_commit=off -c full_page_writes=off" || {
        cat "$folder/server.log"
        exit 1
    }
    cd "$OLDPWD" || exit 1
    WEFTDESK_TEST_POSTGRES="postgres://postgres@${folder//\//%2F}/postgres" "$@"
)
