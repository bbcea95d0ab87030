#!/bin/bash
# tie: two instruments brought together. Figures are invented.
. "$(dirname "$0")/lib.sh"

table() { # SOURCE ROW...
    printf 'CGATS.17\nWEIGHTING_FUNCTION "D65/10"\nKEYWORD "SHARED_1_SOURCE"\nSHARED_1_SOURCE "%s"\n' "$1"
    for axis in L A B; do printf 'KEYWORD "SHARED_1_STDEV_%s"\nSHARED_1_STDEV_%s 1.2\n' $axis $axis; done
    printf 'BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    shift
    printf '%s\n' "$@" END_DATA
}

chips() {
    table 'instrument: owner' 'white 90 0 2' 'grey 50 0 0' 'red 45 50 25' 'green 50 -35 20' \
        'blue 40 5 -35' 'ring 66 8 16' >owner.txt
    table 'instrument: helper' 'white 90.8 0 1.4' 'grey 50.8 0 -.6' 'red 45.8 50 24.4' \
        'green 50.8 -35 19.4' 'blue 40.8 5 -35.6' 'ring 66.8 8 15.4' >helper.txt
}

start "a constant offset is found and taken out"
chips
run tie owner.txt helper.txt -o tie.txt --date 2031-02-03 --json
exits 0
says '"kind": "offset"'
near "$(number after)" 0 0.1 "difference when tied"
has tie.txt '^TIE_KIND "offset"'
run tie owner.txt helper.txt
exits 0
says 'Correction: offset'
says 'Not saved'

start "with the tie a coupon passes that was in doubt without"
chips
run tie owner.txt helper.txt -o tie.txt
run spec --part owner.txt#ring --bare --lights D65/10 -o spec.txt
exits 0
run check helper.txt#ring
exits 5
run check helper.txt#ring --tie tie.txt
exits 0
says 'Accept'
run rank --spec spec.txt helper.txt --tie tie.txt --json
exits 0

start "a tie does not apply to other instruments"
chips
run tie owner.txt helper.txt -o tie.txt
table 'instrument: third' 'c 66 8 16' >coupon.txt
run spec --part owner.txt#ring --bare -o spec.txt
run check coupon.txt --tie tie.txt
exits 3
warns 'c was not measured by what the tie was made for'
sed 's/^TIE_OFFSET.*/TIE_OFFSET "9 9 9"/' tie.txt >changed.txt
run check helper.txt#ring --tie changed.txt
exits 3
warns 'changed.txt:[0-9]+:[0-9]+: check code'

start "too few objects, objects of one only"
chips
table 'instrument: helper' 'white 90.8 0 1.4' 'grey 50.8 0 -.6' 'other 45.8 50 24.4' >few.txt
run tie owner.txt few.txt -o tie.txt
exits 3
warns '2 objects were measured by both'
warns 'other: not among the owner'
nothing_new
run tie owner.txt helper.txt --lot -1
exits 2
run tie owner.txt
exits 2

finish
