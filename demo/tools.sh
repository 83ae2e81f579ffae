# What demo/run and its steps are played with. `graftbook` here types a command, runs it, and stops the demo if it fails.

# All that is typed and answered goes to stdout, which demo/run keeps as a file; who watches reads, on descriptor 3, what is
# said, and the first command after it.
told=

# A few plain words before what follows.
say() {
    words=$(printf '%s\n' "$1" | tr '\n' ' ' | fold -s -w 80 | sed 's/ *$//')
    printf '\n%s\n' "$words"
    printf '%s\n' "$words" >&3
    told=
}

# A new part: its title, and the day it plays on.
part() {
    export GRAFTBOOK_TODAY="$2"
    printf '\n\n== %s (%s)\n' "$1" "$2"
    printf '\n== %s (%s)\n' "$1" "$2" >&3
}

# A command as a person would type it, long ones on several lines, an option kept beside its value.
typed() {
    line='$ graftbook' piece= begun=
    printf '\n'
    for word in "$@" --end; do
        case $word in
            -[!0-9]*) add_piece ;;
        esac
        case $word in
            *\"*) word="'$word'" ;;
            '' | *[!A-Za-z0-9._,/:=%@+-]*) word="\"$word\"" ;;
        esac
        piece="$piece $word"
    done
    printf '%s%s\n' "$line" "${into:+ > $into}"
    [ -n "$told" ] || printf '%s\n' "${begun:-$line}" >&3
    told=yes
}

add_piece() {
    if [ $((${#line} + ${#piece})) -gt 78 ]; then
        printf '%s \\\n' "$line"
        begun=${begun:-$line …}
        line='   '
    fi
    line="$line$piece"
    piece=
}

graftbook() {
    typed "$@"
    "$python" -m graftbook "$@" 2>&1
}

# refused CODE COMMAND...: what must be refused, with this exit code and no other.
refused() {
    wanted=$1
    shift
    typed "$@"
    code=0
    "$python" -m graftbook "$@" 2>&1 || code=$?
    printf '[exit code %s]\n' "$code"
    if [ "$code" -ne "$wanted" ]; then
        printf 'demo/run: this should have ended with exit code %s.\n' "$wanted" >&2
        exit 1
    fi
}

# into FILE COMMAND...: a report kept as a file.
into() {
    into=$1
    shift
    typed "$@"
    "$python" -m graftbook "$@" >"$into"
    into=
}

# The number of the newest entry in the journal.
newest_entry() {
    "$python" -m graftbook journal --limit 1 --json |
        "$python" -c 'import json, sys; print(json.load(sys.stdin)["rows"][0]["entry"])'
}
