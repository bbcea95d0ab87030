#!/bin/bash
# What all commands share: help, version, options, exit codes, where the report goes.
. "$(dirname "$0")/lib.sh"

start "help names every command and exits 0"
run help
exits 0
says '^  compare +the difference between two colours'
quiet

start "help of a command lists its options and the common ones"
run help compare
exits 0
says '--tolerance T'
says '-o, --output FILE'
run compare --help
exits 0
says 'farhue compare A B'

start "version"
run --version
exits 0
says '^farhue [0-9]+\.[0-9]+\.[0-9]+$'

start "no command, an unknown command"
run
exits 2
silent
run comprae
exits 2
warns 'unknown command comprae; did you mean compare\?'
run xyzzy
exits 2
warns 'unknown command xyzzy$'

start "unknown options get the nearest name"
run compare --tolerence=2 lab:1,2,3 lab:1,2,3
exits 2
warns '^farhue compare: unknown option --tolerence=2; did you mean --tolerance\?'
run compare --zzz lab:1,2,3 lab:1,2,3
exits 2
warns 'unknown option --zzz$'
silent

start "options: twice, without value, with a value too many, out of range"
run compare --tolerance 1 --tolerance 2 lab:1,2,3 lab:1,2,3
exits 2
warns '\-\-tolerance is given twice'
run compare lab:1,2,3 lab:1,2,3 --tolerance
exits 2
warns '\-\-tolerance lacks its value'
run compare lab:1,2,3 lab:1,2,3 --json=yes
exits 2
warns '\-\-json=yes takes no value'
run compare lab:1,2,3 lab:1,2,3 --tolerance 2,5
exits 2
warns 'not a number; write a decimal point'
run compare lab:1,2,3 lab:1,2,3 --tolerance -1
exits 2
warns 'out of range'

start "too few and too many arguments"
run compare lab:1,2,3
exits 2
warns '1 of at least 2'
run compare lab:1,2,3 lab:1,2,3 lab:1,2,3
exits 2
warns 'lab:1,2,3 was not expected'

start "options may stand anywhere, -- ends them"
run compare --tolerance=2 lab:50,0,0 -- lab:50,0,1
exits 0
run compare -- --json lab:50,0,1
exits 2
warns '\-\-json is neither a file nor a colour'

start "-o saves the report whole, and never over nothing by half"
run compare lab:50,0,0 lab:50,0,1 -o report.txt
exits 0
silent
has report.txt 'ΔE00'
run compare lab:50,0,0 lab:50,0,1 -o no/such/folder.txt
exits 4
warns 'no/such/folder.txt: no such directory'
nothing_new
run compare lab:50,0,0 lab:50,0,1 -o .
exits 4
warns 'this is a directory'

start "a full disk leaves nothing"
ls -A "$work" >"$logs/before"
(ulimit -f 0; "$FARHUE" compare lab:50,0,0 lab:50,0,1 -o full.txt 2>&1; echo "code $?") |
    cat >"$logs/err" # a pipe: the limit holds for the shell's own files too
warns 'full.txt: the file would exceed the size limit; nothing was written'
warns 'code 4'
nothing_new
run compare lab:50,0,0 lab:50,0,1 -o /dev/full
exits 4
warns '/dev/full: the disk is full'

start "standard output that cannot be written"
"$FARHUE" compare lab:50,0,0 lab:50,0,1 >/dev/full 2>"$logs/err"
code=$?
exits 4
warns 'could not be written'

start "JSON is one object and nothing else"
run compare --json lab:50,0,0 lab:50,0,1
exits 0
quiet
says '"notes": \[\]'
[ "$(head -c 1 "$logs/out")$(tail -n 1 "$logs/out")" = '{}' ] || trouble "not one object"

start "patches only on a terminal or when asked for"
run compare lab:50,0,0 lab:50,0,1
never_says $'\033'
run compare lab:50,0,0 lab:50,0,1 --patches
says $'\033\\[48;2;119;119;119m'

finish
