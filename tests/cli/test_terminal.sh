#!/bin/bash
# What only a terminal shows: sentences broken between words, true-colour patches, NO_COLOR. `script`
# lends the program a terminal.
. "$(dirname "$0")/lib.sh"

# on_terminal COLUMNS COMMAND...: what the command shows on a terminal of that width, in out; notes
# and progress come by the same way and are left out.
on_terminal() {
    local columns=$1 line
    shift
    printf -v line '%q ' "$FARHUE" "$@"
    COLUMNS=$columns TERM=xterm script -qec "$line" /dev/null </dev/null 2>"$logs/err" |
        sed 's/\r$//; s/.*\r//; s/^\x1b\[K//' | grep -v '^farhue .*: note' >"$logs/out"
    code=${PIPESTATUS[0]}
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
widest=$(LC_ALL=C.UTF-8 wc -L <"$logs/out")
[ "$widest" -le 62 ] || trouble "a line of $widest columns on a terminal of 62"

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
