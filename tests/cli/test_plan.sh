#!/bin/bash
# farhue plan: schedules by hand (the filament route of tests/unit/match/test_plan.c), decisions, input.
. "$(dirname "$0")/lib.sh"

now='--now 2026-03-09T10:00'
plan() { run plan $now "$@"; }

start "the filament route by hand"
plan --deadline 2026-03-15T20:00 --without owner-paints --without helper-paints
exits 0
says '^Print in a filament that fits: fits, done Sat 14 Mar 15:00 at the earliest'
says '^do the long print +helper +24 h +Wed 11 Mar 12:00 +Thu 12 Mar 17:00'
says 'open until Tue 10 Mar 15:00; then it is too late to get the filament'
says '^- print a draft of what must fit \(helper\)'
says 'Opening equipment'
never_says '^Painting'

start "painting routes, with cautions"
plan --deadline 2026-03-22
exits 0
says '^The helper prints and paints: fits'
says '^paint coat 3 +helper'
says '^paint coat 1 +owner'
for title in Painting Sanding Solvents 'Opening equipment' Always; do says "^$title: "; done
plan --deadline 2026-03-22 --json
says 'try them on a hidden spot'
plan --deadline 2026-03-22 --without owner-paints --without helper-paints --json
never_says 'try them on a hidden spot'
says 'holds a dangerous charge'

start "a route that does not fit says what takes longest"
plan --deadline 2026-03-12 --hours print=60
exits 0
says 'Print in a filament that fits: DOES NOT FIT'
says 'closed, unless .* saved; the longest step without spare time is: do the long print \(2 d 12 h\)'

start "what is urgent today is said"
plan --deadline 2026-03-14T20:00 --without owner-paints --without helper-paints
says 'so decide today'

start "JSON"
plan --deadline 2026-03-15T20:00 --json
exits 0
says '"latest_start": "2026-03-12T17:00"'
says '"open_until": "2026-03-10T15:00"'
says '"urgent": "filament"'
quiet

start "steps that are done, coats, hours of a file"
printf 'STEP,HOURS,DONE\nfilament,0,yes\nprint,31.5,\ndraft,,yes\n' >plan.csv
plan plan.csv --deadline 2026-03-20 --coats 1
exits 0
never_says 'get the filament'
never_says 'let coat 1 dry'
says '^do the long print +helper +31 h 30 min'
says '^- print a coupon \(helper\)'

# The film of test_hide.sh: hides at S X = 11.4, and by ΔE00 1 at what the report says.
start "coats from farhue hide"
film() { # NAME R OF THE BACKING R OF THE LOOK
    printf 'CGATS.17\nMEASUREMENT_GEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nSPECTRAL_UNIT "factor"\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_BACKING SPECTRAL_NM380 SPECTRAL_NM555 SPECTRAL_NM730\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    printf '%s - %s %s %s\nfilm %s %s %s %s\nEND_DATA\n' "$1" "$2" "$2" "$2" "$1" "$3" "$3" "$3"
}
film black 0 0.5 >black.txt
film white 0.8 0.8333333333 >white.txt
run hide black.txt white.txt --amount 1 --unit-name coats --index 1 --coat 3 --drying 2.5 --tolerance 2 --json
coats=$(tr -d '\n ' <"$logs/out" | grep -oE '"goal":"difference".*' | grep -oE '"coats_safe":[0-9]+' | head -n 1 | cut -d: -f2)
run hide black.txt white.txt --amount 1 --unit-name coats --index 1 --coat 3 --drying 2.5 --tolerance 2 --json -o coats.json
exits 0
plan --deadline 2026-03-22 --hide coats.json
exits 0
[ "$coats" -ge 2 ] && [ "$coats" -le 12 ] || trouble "$coats coats"
says "; $coats coats of paint;"
says "^paint coat $coats +owner"
says '^let coat 1 dry +owner +2 h 30 min'
warns "note: $coats coats from coats.json, for a ΔE00 of at most 2 bare, and their drying"
plan --deadline 2026-03-22 --hide coats.json --hours dry=7
says '^let coat 1 dry +owner +7 h'
plan --deadline 2026-03-22 --hide coats.json --coats 2
exits 2
warns 'expected one of them'

start "a clear coat is one coat more, and farhue mix knows coats as well"
film black 0 0.5 >black.txt
film white 0.8 0.8333333333 >white.txt
run hide black.txt white.txt --amount 1 --index 1 --coat 3 --drying 2.5 --clear-coat 1.5 --json
coats=$(tr -d '\n ' <"$logs/out" | grep -oE '"goal":"difference".*' | grep -oE '"coats_safe":[0-9]+' | head -n 1 | cut -d: -f2)
run hide black.txt white.txt --amount 1 --index 1 --coat 3 --drying 2.5 --clear-coat 1.5 --json -o clear.json
exits 0
plan --deadline 2026-03-22 --hide clear.json
exits 0
says "; $((coats + 1)) coats of paint;"
warns "$coats coats and a clear coat from clear.json"
{
    printf 'CGATS.17\nMEASUREMENT_GEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nSPECTRAL_UNIT "factor"\nKEYWORD "PAINT_INDEX"\nPAINT_INDEX 1\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_BACKING PAINT_1 PARTS_1 FILM_AMOUNT R380 R555 R730\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    printf 'B - "" "" "" 0 0 0\nW - "" "" "" 0.8 0.8 0.8\nwb B white 1 1 0.5 0.5 0.5\nww W white 1 1 0.833333 0.833333 0.833333\nEND_DATA\n'
} >films.txt
run mix films.txt --part lab:100,0,0 --coat 1 --drying 2.5 --json -o mix.json
exits 0
plan --deadline 2026-03-22 --hide mix.json
exits 0
warns "coats from mix.json, for a ΔE00 of at most 1 bare, and their drying"
safe=$(tr -d '\n ' <mix.json | grep -oE '"goal":"difference".*' | grep -oE '"coats_safe":[0-9]+' | head -n 1 | cut -d: -f2)
warns "note: $safe coats from mix.json"
warns "coats would do if the paints are as their file says; planned to be safe"

start "a plan file that can't be right"
printf 'STEP,HOURS\ncoat,-1\n' >plan.csv
run plan plan.csv --now 2026-03-09T10:00 --deadline 2026-03-22
exits 3
warns 'plan.csv:2:6: out of range; expected hours from 0 to 10000'
printf 'STEP,HOURS\ncoat,1\nprint,20\ncoat,2\n' >plan.csv
run plan plan.csv --now 2026-03-09T10:00 --deadline 2026-03-22
exits 3
warns 'plan.csv:4:1: this step is there twice'
plan --deadline 2026-03-22 --hours paintout=-1
exits 2

start "files that are not of farhue hide, or know no coats"
film black 0 0.5 >black.txt
film white 0.8 0.8333333333 >white.txt
run hide black.txt white.txt --amount 1 --unit-name coats --index 1 --json -o none.json
plan --deadline 2026-03-22 --hide none.json
exits 3
warns 'none.json: no number of coats; expected it from farhue hide --coat'
run hide black.txt white.txt --amount 1 --unit-name coats --index 1 --coat 0.1 --json -o many.json
plan --deadline 2026-03-22 --hide many.json
exits 3
warns 'many.json: [0-9]+ coats; expected a whole number up to 12'
run hide black.txt white.txt --wall --amount 1 --json -o wall.json
plan --deadline 2026-03-22 --hide wall.json
exits 3
warns 'wall.json: this is of a printed wall'
for text in '' '[' '[]' '3' '{"kind": "coat", "goals": 7}' '{"kind": 1, "goals": [{"goal": "difference", "bare": {"coats": 2}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats": "two"}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats": 2.5}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats": 2, "hours": -1}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats": 0.5, "coats_safe": 3, "hours": 5}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats": 2, "coats_safe": 3.5, "hours": 5}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats_safe": 3, "hours": 5}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats": 2, "hours": 1e9}}]}' \
    '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"possible": false}}]}'; do
    echo "$text" >bad.json
    plan --deadline 2026-03-22 --hide bad.json
    exits 3
    silent
done
warns 'this paint never hides'
echo '{"kind": "coat", "goals": [{"goal": "difference", "bare": {"coats": 2, "coats_safe": 13, "hours": 5}}]}' >bad.json
plan --deadline 2026-03-22 --hide bad.json
exits 3
warns 'bad.json: 13 coats to be safe; expected a whole number up to 12'
plan --deadline 2026-03-22 --hide absent.json
exits 4

# The filament route again, its deadline from the file; then from the spec, which says a day alone.
start "the file and the spec know the deadline"
rm -f plan.csv
{
    printf 'CGATS.17\nKEYWORD "DEADLINE"\nDEADLINE "2026-03-15T20:00"\nKEYWORD "WITHOUT"\nWITHOUT "owner-paints helper-paints"\nKEYWORD "COATS"\nCOATS 2\n'
    printf 'BEGIN_DATA_FORMAT\nSTEP DONE\nEND_DATA_FORMAT\nBEGIN_DATA\nprime no\nEND_DATA\n'
} >plan.txt
plan
exits 0
says '^Print in a filament that fits: fits, done Sat 14 Mar 15:00 at the earliest, 29 h to spare'
says '; 2 coats of paint;'
never_says 'owner paints'
plan --deadline 2026-03-14T20:00 --coats 1
says 'at the earliest, 5 h to spare'
says '; 1 coat of paint;'
printf 'CGATS.17\nDEADLINE soon\nBEGIN_DATA_FORMAT\nSTEP DONE\nEND_DATA_FORMAT\nBEGIN_DATA\nprime no\nEND_DATA\n' >late.txt
plan late.txt
exits 3
warns 'late.txt:2:10: no date; expected such as 2026-03-14'
run swatches join plan.txt -o job.txt
exits 0
rm plan.txt
plan --job job.txt
exits 0
says '^Print in a filament that fits: fits, done Sat 14 Mar 15:00 at the earliest, 29 h to spare'
run spec --part lab:50,20,20 --bare --deadline 2026-03-15 --date 2026-03-09 -o spec.txt
plan --without owner-paints --without helper-paints
exits 0
warns 'note: the deadline is that of spec.txt: 2026-03-15'
says 'to Sun 15 Mar 22:00;'
plan --without owner-paints --without helper-paints --awake 8-20
says '29 h to spare'
rm spec.txt job.txt

start "without --now the clock counts"
run plan --deadline 2999-01-01
exits 3
warns 'more than ten years off'
run plan --deadline 1999-01-01
exits 3
warns 'has passed'

start "wrong input"
plan
exits 2
warns 'no deadline'
plan --deadline tomorrow
exits 2
warns 'tomorrow is no date'
plan --deadline 2026-02-30
exits 2
plan --deadline 2026-03-20 --hours prnt=3
exits 2
warns 'no step prnt; did you mean print'
plan --deadline 2026-03-20 --hours print
exits 2
plan --deadline 2026-03-20 --hours print=-1
exits 2
warns 'expected STEP=HOURS from 0 to 10000'
plan --deadline 2026-03-20 --coats 13
exits 2
plan --deadline 2026-03-20 --awake 22-8
exits 2
plan --deadline 2026-03-20 --without all
exits 2
printf 'STEP,HOURS\nprint,2,5\n' >bad.csv
plan bad.csv --deadline 2026-03-20
exits 3
printf 'STEP,HOURS\nprnt,2\n' >bad.csv
plan bad.csv --deadline 2026-03-20
exits 3
warns 'bad.csv:2:1: no such step'
printf 'A,B\nprint,2\n' >bad.csv
plan bad.csv --deadline 2026-03-20
exits 3
warns 'expected columns STEP and HOURS'

finish
