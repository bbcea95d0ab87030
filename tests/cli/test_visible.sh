#!/bin/bash
# File names and words of the command line that hold what controls a terminal: it never reaches
# stdout, stderr or a saved file as it is, and JSON stays JSON.
. "$(dirname "$0")/lib.sh"

esc=$'\x1b[31mred' turned=$'\xe2\x80\xaegnp' c1=$'\xc2\x9b2J' latin=$'m\xe4h' lines=$'two\nlines'

# clean FILE...: none of them holds such a character, and all is UTF-8.
clean() {
    local file
    for file; do
        [ -e "$file" ] || continue
        LC_ALL=C grep -qP '[\x00-\x08\x0b-\x1f\x7f]|\xc2[\x80-\x9f]|\xe2\x80[\xaa-\xae]|\xe2\x81[\xa6-\xa9]' "$file" &&
            trouble "$file holds a control character"
        iconv -f UTF-8 -t UTF-8 "$file" >"$logs/utf8" 2>&1 || trouble "$file is not UTF-8"
    done
}

good='id,name,L,a,b,condition
a,sand,50,0,0,D65/10
b,stone,60,1,2,D65/10'

for name in "$esc" "$turned" "$c1" "$latin" "$lines"; do
    shown=$(printf %s "$name" | LC_ALL=C sed ':a;N;$!ba;s/\n/\\\\x0a/;' |
        LC_ALL=C sed 's/\x1b/\\\\x1b/; s/\xe2\x80\xae/\\\\u202e/; s/\xc2\x9b/\\\\u009b/; s/\xe4/\\\\xe4/; s/\[/\\[/')
    start "a file of the name $(printf %q "$name")"
    run pool "$name"
    exits 4
    warns "^farhue pool: $shown: no such file$"
    clean "$logs/err"
    printf '%s\n' "$good" | sed 's/50/much/' >"$name"
    run pool "$name"
    exits 3
    warns "^farhue pool: $shown:2:8: L is"
    clean "$logs/err"
    printf '%s\n' "$good" >"$name"
    run swatches validate "$name"
    exits 0
    [ "$name" = "$lines" ] || says "^$shown: 2 readings" # a new line there does no harm
    clean "$logs/out" "$logs/err"
    run swatches validate "$name" --json
    exits 0
    clean "$logs/out" "$logs/err"
    [ "$name" = "$latin" ] && says '"file": "m\\\\xe4h"' # JSON has no other way to say it
    [ "$name" = "$c1" ] && says '"file": "\\u009b2J"'     # this is the very name
    run swatches join "$name" -o job.txt
    clean "$logs/err" job.txt
    exits 3
    warns 'a line break or a control character in a name or a value'
    absent job.txt
    run compare "$name#a" "$name#none"
    exits 3
    clean "$logs/out" "$logs/err"
    run "$name"
    exits 2
    clean "$logs/err"
    run pool --"$name"
    exits 2
    warns "unknown option --"
    clean "$logs/err"
done

start "readings that are saved name their photo"
cp "$top/tests/data/chart_flat.png" "$latin"
run sample "$latin" -c 40,40,160,40,160,112,40,112 -s spot=200,40,9 -o out
exits 3
warns 'name the photo; expected a name of plain text'
clean "$logs/err"
absent out
run sample "$latin" -c 40,40,160,40,160,112,40,112 -s spot=200,40,9
exits 0
clean "$logs/out" "$logs/err"

start "what comes to stand in a file must be readable in it"
printf '%s\n' "$good" >in
for word in "$esc" "$turned" "$c1" "$latin" "$lines"; do
    run pool in --describe "$word" -o out
    exits 2
    warns 'describe .*: expected one line of plain text in UTF-8'
    clean "$logs/err"
    run swatches add in lab:50,1,1 --id "$word" -o out
    exits 2
    clean "$logs/err"
    run spec --part in#a --title "$word" -o out
    exits 2
    clean "$logs/err"
    run sample none.png -s "$word=1,1,1"
    exits 2
    clean "$logs/err"
    absent out
done
run pool in --describe 'Größe, 色' -o out
exits 0
has out 'Größe, 色'

finish
