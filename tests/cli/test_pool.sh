#!/bin/bash
# farhue pool: repeat readings into their mean.
. "$(dirname "$0")/lib.sh"

table() { # SOURCE ROW...
    printf 'CGATS.17\nWEIGHTING_FUNCTION "D65/10"\nSHARED_1_SOURCE "%s"\nSHARED_1_STDEV_L 0.5\n' "$1"
    printf 'BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n'
    shift
    printf '%s\n' "$@" END_DATA
}

# By hand: L* 60, 61, 62 have variance 1; the mean's is 1/3, widened by (4.30 / 1.96)² (Student's t,
# 2 degrees of freedom, JCGM 100 table G.2); the shared 0.25 stays: 1.96 sqrt(1.6044 + 0.25) = 2.669.
start "three readings of one id, from three files"
for i in 0 1 2; do table instrument "dial 6$i 1 2" >"r$i.txt"; done
run pool r0.txt r1.txt r2.txt -o part.txt --json
exits 0
near "$(number readings)" 3 0 readings
says '^ +61(\.0)?,'
near "$(tr -d ' \n' <"$logs/out" | grep -oE '"lab_95":\[[0-9.]+' | grep -oE '[0-9.]+$')" 2.669 0.01 lab_95
has part.txt 'REPEATS 3'
has part.txt 'SHARED_1_SOURCE "instrument"'
run compare part.txt#dial lab:61,1,2 --tolerance 0.01
exits 0

start "different sources shrink with their share"
table one 'dial 60 1 2' >a.txt
table two 'dial 60 1 2' >b.txt
run pool a.txt b.txt -o part.txt
exits 0
has part.txt 'SHARED_2_SOURCE "two"'
has part.txt '0\.25'

start "ids stay apart, --as takes all"
table x 'p1 60 0 0' 'p2 60.2 0 0' 'p3 60.4 0 0' >places.txt
run pool places.txt
exits 0
warns 'no id comes twice'
says 'p2 +60\.20'
run pool places.txt --as coupon
exits 0
says 'coupon +60\.20 .* 3 '

start "without a file, part.txt; without -o nothing is saved"
table x 'p1 60 0 0' >part.txt
run pool
exits 0
nothing_new
rm part.txt
run pool
exits 2
warns 'no file for part is given; expected its name, or part.txt here, or --job FILE'

start "a reading of another place is named"
table x 'a 60 0 0' 'b 60.2 0 0' 'c 60.1 0.1 0' 'd 70 0 0' >places.txt
run pool places.txt --as p
warns 'one reading of d .*is it of the same place'

start "conditions that differ are refused"
table x 'p 60 0 0' >a.txt
sed 's/D65/A/' a.txt >b.txt
run pool a.txt b.txt -o out.txt
exits 3
warns 'have different conditions'
absent out.txt

start "never over an input"
table x 'p 60 0 0' >a.txt
cp a.txt copy.txt
run pool a.txt -o a.txt
exits 4
same a.txt copy.txt

finish
