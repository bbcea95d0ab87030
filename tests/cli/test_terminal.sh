#!/bin/bash
# What only a terminal shows: sentences broken between words, true-colour patches, NO_COLOR. `script`
# lends the program a terminal.
. "$(dirname "$0")/lib.sh"

# lend_terminal COLUMNS REDIRECTION COMMAND...: what the command shows on a terminal, in out.
lend_terminal() {
    local columns=$1 aside=$2 line
    shift 2
    printf -v line '%q ' "$FARHUE" "$@"
    COLUMNS=$columns TERM=xterm script -qec "$line $aside" /dev/null </dev/null 2>"$logs/err" |
        sed 's/\r$//; s/.*\r//; s/^\x1b\[K//' >"$logs/out"
    code=${PIPESTATUS[0]}
}

# on_terminal COLUMNS COMMAND...: its report; notes_on_terminal: its notes.
on_terminal() { lend_terminal "$1" '2>/dev/null' "${@:2}"; }
notes_on_terminal() { lend_terminal "$1" '>/dev/null' "${@:2}"; }

# within COLUMNS: no line of out is wider.
within() {
    local widest
    widest=$(LC_ALL=C.UTF-8 wc -L <"$logs/out")
    [ -s "$logs/out" ] || trouble "nothing was shown"
    [ "$widest" -le "$1" ] && return 0
    trouble "a line of $widest columns on a terminal of $1"
    show "$logs/out" 12
}

if ! script -qec true /dev/null </dev/null >/dev/null 2>&1; then
    skip_test "on a terminal" "no command script here, or no pseudo-terminals (a bare chroot)"
    finish
fi

start "sentences are broken between words, and none is lost"
run name lab:62.1,18.4,40.2
tr -s ' \n' '\n' <"$logs/out" | grep -v '─' >plain
NO_COLOR=1 on_terminal 62 name lab:62.1,18.4,40.2
exits 0
tr -s ' \n' '\n' <"$logs/out" | grep -v '─' >shown
same plain shown
within 62

# A table's long cells go on in the next line: every letter is there, if in another order.
start "tables lose nothing on a narrow terminal"
words() { grep -v '─' "$1" | tr -d ' \n' | fold -b -w 1 | sort | uniq -c; }
for columns in 80 60; do
    run mix "$top/swatches/pots.txt" --part "$top/swatches/pots.txt#blue-5" --bare
    words "$logs/out" >plain
    NO_COLOR=1 on_terminal $columns mix "$top/swatches/pots.txt" --part "$top/swatches/pots.txt#blue-5" --bare
    exits 0
    words "$logs/out" >shown
    same plain shown
    run plan --now 2026-03-09T10:00 --deadline 2026-03-22 --coats 2
    words "$logs/out" >plain
    NO_COLOR=1 on_terminal $columns plan --now 2026-03-09T10:00 --deadline 2026-03-22 --coats 2
    words "$logs/out" >shown
    same plain shown
done

# Own requirement: what a person looks at is never wider than the terminal, and keeps its words.
start "reports, help and notes keep to the width"
spec=$work/spec.txt
"$FARHUE" spec --part lab:60,4,14 --bare --date 2031-02-03 -o "$spec" >/dev/null 2>&1
for columns in 80 60 40; do
    for command in "rank --bare -p lab:50,40,20 $top/swatches/filaments.txt" \
        "compare lab:60,4,14 lab:70,4,14" "check lab:61,4,14 --spec $spec" \
        "plan --now 2026-03-09T10:00 --deadline 2026-03-22 --coats 2" \
        "swatches list $top/swatches/filaments.txt" "help" "help sample" "help mix"; do
        NO_COLOR=1 on_terminal $columns $command
        within $columns
        run $command
        # The words that the plain report has.
        tr -cs 'A-Za-z' '\n' <"$logs/out" | grep -E '^.{6,}$' | sort -u >words
        NO_COLOR=1 on_terminal $columns $command
        tr -d ' \n\\' <"$logs/out" >shown
        [ "$columns" = 80 ] || continue
        while read -r word; do
            grep -q "$word" shown || trouble "$command at $columns: $word is lost"
        done <words
    done
    notes_on_terminal $columns rank --bare -p lab:50,40,20 "$top/swatches/filaments.txt" lab:50,40,21
    within $columns
    tr '\n' ' ' <"$logs/out" | tr -s ' ' >shown
    grep -q 'state no uncertainty (STDEV_L, STDEV_A, STDEV_B) and count as exact' shown ||
        trouble "the note at $columns: $(cat shown)"
done
on_terminal 40 rank --bare -p lab:50,40,20 "$top/swatches/filaments.txt"
says '^name +brick$' # where no table fits: a list, each figure behind its heading
says '^worst, 95 % +1'

start "patches are shown, and not where NO_COLOR is set"
on_terminal 100 name lab:62.1,18.4,40.2
exits 0
says $'\x1b\[48;2;'
NO_COLOR=1 on_terminal 100 name lab:62.1,18.4,40.2
never_says $'\x1b\[48;2;'

start "what goes to a file or a pipe is neither broken nor coloured"
run compare lab:62.1,18.4,40.2 lab:60.9,18.0,43.1
never_says $'\x1b'

finish
